package engine

import (
	"slices"
	"sync"
	"sync/atomic"

	"github.com/google/cel-go/cel"
	"github.com/google/cel-go/checker"
	"github.com/google/cel-go/common"
	"github.com/google/cel-go/common/ast"
	"github.com/google/cel-go/common/types"
	"github.com/google/cel-go/common/types/ref"

	"setdown/model/source"
	"setdown/rules/facts"
	"setdown/rules/pack"
)

// program is one expression ready to run.
type program struct {
	src *pack.Expr
	*code
}

// code is what an expression was compiled to, wherever it stands.
type code struct {
	tree    *ast.AST
	plain   cel.Program
	tracked func() (cel.Program, error) // keeps the value of every part
	reads   func() []*slot              // the facts that stand in it
	today   func() bool                 // so does the day
	chooses func() bool                 // it has alternatives
}

// language compiles expressions. Those of one scope share an environment, and
// those that say the same in it are compiled once: rules often do.
type language struct {
	mu    sync.Mutex
	envs  map[scope]func() (*cel.Env, error)
	codes map[saying]func() (*code, source.Errors)
}

// saying is all that compiling hangs on but the places.
type saying struct {
	scope
	want *cel.Type
	text string
}

func newLanguage() *language {
	return &language{envs: map[scope]func() (*cel.Env, error){}, codes: map[saying]func() (*code, source.Errors){}}
}

// compile makes an expression ready. A nil want takes a value of any type but an
// item.
func (l *language) compile(s scope, src *pack.Expr, want *cel.Type) (*program, source.Errors) {
	l.mu.Lock()
	env := l.envs[s]
	if env == nil {
		env = sync.OnceValues(s.env)
		l.envs[s] = env
	}
	key := saying{s, want, src.Text}
	get, known := l.codes[key]
	if !known {
		get = sync.OnceValues(func() (*code, source.Errors) { return compile(s, env, src, want) })
		l.codes[key] = get
	}
	l.mu.Unlock()
	c, errs := get()
	if len(errs) > 0 && known { // the same mistakes, at other places
		_, errs = compile(s, env, src, want)
	}
	if len(errs) > 0 {
		return nil, errs
	}
	return &program{src, c}, nil
}

func compile(s scope, environment func() (*cel.Env, error), src *pack.Expr, want *cel.Type) (c *code, errs source.Errors) {
	m := &mistakes{scope: s, src: src}
	defer func() {
		if p := recover(); p != nil { // nothing that a rule says may end the program
			m.fail(0, "", "the expression could not be compiled: %v", p)
		}
		errs = m.errs
	}()
	env, err := environment()
	if err != nil {
		m.fail(0, "", "the rule language could not be set up: %v", err)
		return nil, nil
	}
	m.env = env
	text := common.NewStringSource(src.Text, "")
	parsed, issues := env.ParseSource(text)
	if issues.Err() != nil {
		m.syntax(issues)
		return nil, nil
	}
	m.info = parsed.NativeRep().SourceInfo()
	m.lint(parsed.NativeRep().Expr())
	checked, issues := env.Check(parsed)
	if issues.Err() != nil {
		m.types(issues)
		return nil, nil
	}
	if len(m.errs) > 0 {
		return nil, nil
	}
	if got := checked.OutputType(); want != nil && !got.IsExactType(want) || got.Kind() == types.StructKind && kindOfType(got) {
		m.wrongResult(got, want)
		return nil, nil
	}
	cost, err := env.EstimateCost(checked, sizes{})
	if err != nil || cost.Max > maxCost {
		m.fail(0, "split the rule in two, or compare fewer words", "the expression takes more steps than a rule may (%d)", maxCost)
		return nil, nil
	}
	tree := checked.NativeRep()
	plain, err := env.PlanProgram(tree, cel.EvalOptions(cel.OptOptimize), cel.CustomDecoratorV2(slots(tree)))
	if err != nil {
		m.fail(0, "", "the expression cannot be planned: %v", err)
		return nil, nil
	}
	return &code{tree: tree, plain: plain, today: sync.OnceValue(func() bool { return names(tree, today) }), chooses: sync.OnceValue(func() bool { return chooses(tree) }), reads: sync.OnceValue(func() []*slot { return reads(tree) }), tracked: sync.OnceValues(func() (cel.Program, error) {
		return env.PlanProgram(tree, cel.EvalOptions(cel.OptTrackState, cel.OptExhaustiveEval))
	})}, nil
}

// sizes tells how long the lists and texts of facts may be. With them the cost
// of every expression is known before it runs, because none can hold a loop; no
// budget is needed while it runs.
type sizes struct{}

func (sizes) EstimateSize(node checker.AstNode) *checker.SizeEstimate {
	switch node.Type().Kind() {
	case types.ListKind:
		return &checker.SizeEstimate{Max: maxList}
	case types.StringKind:
		return &checker.SizeEstimate{Max: maxWord}
	}
	return &checker.SizeEstimate{Min: 1, Max: 1}
}

func (sizes) EstimateCallCost(string, string, *checker.AstNode, []checker.AstNode) *checker.CallEstimate {
	return nil
}

// unit is one rule for one kind of item. What it needs is compiled when it is
// first asked for: many rules do not apply, most pass, and their texts are never
// printed.
type unit struct {
	rule       *pack.Rule
	scope      scope
	lang       *language
	when, must part        // when has no program where the rule always applies
	isLast     func() bool // it is asked behind all others

	textOnce sync.Once
	textErrs source.Errors
	texts    map[*pack.Expr]*program
}

// part is one of the two conditions of a rule.
type part struct {
	compile func() (*program, source.Errors) // the first time
	isReady atomic.Bool
}

// ready returns the program of a condition, or tells what is wrong with it.
func (p *part) ready() (*program, source.Errors) {
	program, errs := p.compile()
	if !p.isReady.Load() {
		p.isReady.Store(true)
	}
	return program, errs
}

func newUnit(l *language, r *pack.Rule, kind string) *unit {
	u := &unit{rule: r, scope: scope{kind: kind, variable: r.Var}, lang: l}
	u.when.compile = sync.OnceValues(func() (*program, source.Errors) {
		if r.When.Empty() {
			return nil, nil
		}
		return l.compile(u.scope, &r.When, types.BoolType)
	})
	u.must.compile = sync.OnceValues(func() (*program, source.Errors) { return l.compile(u.scope, &r.Must, types.BoolType) })
	u.isLast = sync.OnceValue(u.readsPassedOver)
	return u
}

// readsPassedOver reports whether the rule is about what no other rule judged or all let pass.
func (u *unit) readsPassedOver() bool {
	must, errs := u.must.ready()
	return len(errs) == 0 && slices.ContainsFunc(must.reads(), func(s *slot) bool { return s.name == facts.PassedOver || s.name == facts.LetPass })
}

// conditions are the programs of when, if there is one, and of must; it tells what is
// wrong with them.
func (u *unit) conditions() ([]*program, source.Errors) {
	when, errs := u.when.ready()
	must, more := u.must.ready()
	errs = append(slices.Clone(errs), more...)
	if when == nil {
		return []*program{must}, errs
	}
	return []*program{when, must}, errs
}

// readyTexts compiles the expressions of the texts and tells what is wrong with
// them.
func (u *unit) readyTexts() source.Errors {
	u.textOnce.Do(func() {
		u.texts = map[*pack.Expr]*program{}
		compile := func(s scope, e *pack.Expr, want *cel.Type) {
			p, errs := u.lang.compile(s, e, want)
			u.textErrs = append(u.textErrs, errs...)
			u.texts[e] = p
		}
		template := func(s scope, t *pack.Template) {
			for _, part := range t.Parts {
				if part.Expr != nil {
					compile(s, part.Expr, nil)
				}
			}
		}
		words, errs := u.rule.Words()
		u.textErrs = append(u.textErrs, errs...)
		text := u.scope
		text.isText = true
		template(text, &words.Say)
		template(text, &words.Fix)
		if w := words.Work; w != nil {
			for _, t := range []*pack.Template{w.Do, w.Buy, w.With, w.Thread, w.Class} {
				if t != nil {
					template(text, t)
				}
			}
			if w.Count != nil {
				compile(u.scope, w.Count, types.IntType)
			}
			for i := range w.Sets { // what a build file will say is no wording
				template(u.scope, &w.Sets[i].Value)
			}
		}
		u.checkWork(words.Work)
	})
	return u.textErrs
}

// run evaluates a program. A failure, also a panic inside, comes back as a value
// that is neither true nor unknown.
func run(p cel.Program, r *roots) ref.Val {
	v, _, err := p.Eval(&r.frame)
	if err == nil || types.IsError(v) {
		return v
	}
	return types.WrapErr(err)
}

// problem says what went wrong and where.
func (p *program) problem(v ref.Val) error {
	err, ok := v.(*types.Err)
	if !ok {
		return &source.Error{Span: p.src.Span, Message: "the condition is neither true nor false"}
	}
	at := p.src.Span
	if r, found := p.tree.SourceInfo().GetOffsetRange(err.NodeID()); found {
		at = p.src.At(int(r.Start))
	}
	return &source.Error{Span: at, Message: err.Error()}
}
