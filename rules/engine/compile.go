package engine

import (
	"fmt"
	"sync"
	"sync/atomic"

	"github.com/google/cel-go/cel"
	"github.com/google/cel-go/checker"
	"github.com/google/cel-go/common"
	"github.com/google/cel-go/common/ast"
	"github.com/google/cel-go/common/types"

	"setdown/model/source"
	"setdown/rules/pack"
)

// program is one expression ready to run.
type program struct {
	src     *pack.Expr
	want    *cel.Type
	tree    *ast.AST
	plain   cel.Program
	tracked func() (cel.Program, error) // keeps the value of every part
}

// compile makes an expression ready. A nil want takes a value of any type but an
// item.
func compile(s scope, env *cel.Env, src *pack.Expr, want *cel.Type) (*program, source.Errors) {
	m := &mistakes{scope: s, src: src}
	text := common.NewStringSource(src.Text, "")
	parsed, issues := env.ParseSource(text)
	if issues.Err() != nil {
		m.syntax(issues)
		return nil, m.errs
	}
	m.info = parsed.NativeRep().SourceInfo()
	m.lint(parsed.NativeRep().Expr())
	checked, issues := env.Check(parsed)
	if issues.Err() != nil {
		m.types(issues)
		return nil, m.errs
	}
	if len(m.errs) > 0 {
		return nil, m.errs
	}
	if got := checked.OutputType(); want != nil && !got.IsExactType(want) || got.Kind() == types.StructKind && kindOfType(got) {
		m.wrongResult(got, want)
		return nil, m.errs
	}
	cost, err := env.EstimateCost(checked, sizes{})
	if err != nil || cost.Max > maxCost {
		m.fail(0, "split the rule in two, or compare fewer words", "the expression takes more steps than a rule may (%d)", maxCost)
		return nil, m.errs
	}
	p, err := plan(env, src, want, checked.NativeRep())
	if err != nil {
		m.fail(0, "", "the expression cannot be planned: %v", err)
		return nil, m.errs
	}
	return p, nil
}

// plan turns a checked expression into a program.
func plan(env *cel.Env, src *pack.Expr, want *cel.Type, checked *ast.AST) (*program, error) {
	plain, err := env.PlanProgram(checked, cel.EvalOptions(cel.OptOptimize), cel.CustomDecoratorV2(slots(checked)))
	if err != nil {
		return nil, err
	}
	tracked := sync.OnceValues(func() (cel.Program, error) {
		return env.PlanProgram(checked, cel.EvalOptions(cel.OptTrackState, cel.OptExhaustiveEval))
	})
	return &program{src: src, want: want, tree: checked, plain: plain, tracked: tracked}, nil
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
// first asked for: most rules pass, and their texts are never printed.
type unit struct {
	rule  *pack.Rule
	scope scope

	once       sync.Once
	compiled   atomic.Bool
	errs       source.Errors
	when, must *program // when is nil: always

	textOnce sync.Once
	textErrs source.Errors
	texts    map[*pack.Expr]*program
}

// ready compiles the conditions and tells what is wrong with them.
func (u *unit) ready() source.Errors {
	u.once.Do(func() {
		defer u.compiled.Store(true)
		defer func() {
			if p := recover(); p != nil { // nothing that a rule says may end the program
				u.errs.Add(&source.Error{Span: u.rule.Span, Message: fmt.Sprintf("the rule could not be compiled: %v", p)})
			}
		}()
		env, err := u.scope.env()
		if err != nil {
			u.errs.Add(&source.Error{Span: u.rule.Span, Message: fmt.Sprintf("the rule language could not be set up: %v", err)})
			return
		}
		var errs source.Errors
		if !u.rule.When.Empty() {
			u.when, errs = compile(u.scope, env, &u.rule.When, types.BoolType)
			u.errs = append(u.errs, errs...)
		}
		u.must, errs = compile(u.scope, env, &u.rule.Must, types.BoolType)
		u.errs = append(u.errs, errs...)
	})
	return u.errs
}

// readyTexts compiles the expressions of the texts and tells what is wrong with
// them.
func (u *unit) readyTexts() source.Errors {
	u.textOnce.Do(func() {
		u.texts = map[*pack.Expr]*program{}
		env, err := u.scope.env()
		if err != nil {
			u.textErrs.Add(&source.Error{Span: u.rule.Span, Message: fmt.Sprintf("the rule language could not be set up: %v", err)})
			return
		}
		add := func(e *pack.Expr, want *cel.Type) {
			p, errs := compile(u.scope, env, e, want)
			u.textErrs = append(u.textErrs, errs...)
			u.texts[e] = p
		}
		words, errs := u.rule.Words()
		u.textErrs = append(u.textErrs, errs...)
		for _, t := range templates(words) {
			for _, part := range t.Parts {
				if part.Expr != nil {
					add(part.Expr, nil)
				}
			}
		}
		if w := words.Work; w != nil && w.Count != nil {
			add(w.Count, types.IntType)
		}
		u.checkWork(words.Work)
	})
	return u.textErrs
}

// templates lists the texts that hold expressions.
func templates(words *pack.Words) []*pack.Template {
	list := []*pack.Template{&words.Say, &words.Fix}
	if w := words.Work; w != nil {
		if w.Do != nil {
			list = append(list, w.Do)
		}
		if w.Buy != nil {
			list = append(list, w.Buy)
		}
		for i := range w.Sets {
			list = append(list, &w.Sets[i].Value)
		}
	}
	return list
}
