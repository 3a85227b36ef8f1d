package engine

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/google/cel-go/cel"
	"github.com/google/cel-go/common/ast"
	"github.com/google/cel-go/common/operators"
	"github.com/google/cel-go/common/types"
	"github.com/google/cel-go/common/types/ref"
	"github.com/google/cel-go/interpreter"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
	"setdown/rules/facts"
	"setdown/rules/pack"
	"setdown/rules/verdict"
)

// track runs the program once more and keeps the value of every part, also of
// those that decide nothing.
func (p *program) track(r *roots) interpreter.EvalState {
	tracked, err := p.tracked()
	if err != nil {
		return nil
	}
	_, details, _ := tracked.Eval(r)
	if details == nil {
		return nil
	}
	return details.State()
}

// because lists the parts of a condition that came out false, with the values
// of what they compare.
func (p *program) because(r *roots) []verdict.Because {
	state := p.track(r)
	if state == nil {
		return nil
	}
	var list []verdict.Because
	var walk func(n ast.Expr)
	walk = func(n ast.Expr) {
		v, seen := state.Value(n.ID())
		if n.Kind() == ast.CallKind {
			call := n.AsCall()
			switch call.FunctionName() {
			case operators.LogicalAnd:
				for _, a := range call.Args() {
					walk(a)
				}
				return
			case operators.LogicalOr:
				// The state has no value of an or inside an or; it is as false as
				// the outer one.
				if !seen || v == types.False {
					for _, a := range call.Args() {
						walk(a)
					}
				}
				return
			case operators.Conditional:
				if v == types.False {
					args := call.Args()
					if c, _ := state.Value(args[0].ID()); c == types.True {
						walk(args[1])
					} else {
						walk(args[2])
					}
				}
				return
			}
		}
		if v != types.False {
			return
		}
		b := verdict.Because{Expr: p.text(n), Left: p.term(n, state, r), Span: p.begin(n)}
		if t := b.Left; t.Op != "" && len(t.Of) <= 2 {
			b.Left, b.Op = t.Of[0], t.Op
			if len(t.Of) == 2 {
				b.Right = t.Of[1]
			}
		}
		for _, o := range operands(n) {
			if v, ok := state.Value(o.ID()); ok {
				b.Values = append(b.Values, verdict.Value{Name: p.text(o), Value: r.exactly(v)})
			}
		}
		list = append(list, b)
	}
	walk(p.tree.Expr())
	return list
}

// term is a part of a condition with its value. That silence about a fact passes is
// left out, and so are two negations.
func (p *program) term(n ast.Expr, state interpreter.EvalState, r *roots) verdict.Term {
	n = bare(n)
	if not := called(n, operators.LogicalNot); not != nil {
		if again := called(bare(not), operators.LogicalNot); again != nil {
			return p.term(again, state, r)
		}
	}
	t := verdict.Term{Value: p.text(n)}
	if v, seen := state.Value(n.ID()); seen {
		t.Value = r.exactly(v)
	}
	var parts []ast.Expr
	switch {
	case n.Kind() == ast.LiteralKind:
		t.Value = show(n.AsLiteral())
	case n.Kind() == ast.ListKind:
		t.Op, parts = verdict.List, n.AsList().Elements()
	case constant(n):
	case n.Kind() == ast.CallKind && n.AsCall().FunctionName() != operators.Index:
		call := n.AsCall()
		t.Op = sign(call.FunctionName())
		if call.IsMemberFunction() {
			parts = append(parts, call.Target())
		}
		parts = append(parts, call.Args()...)
	default:
		t.Fact = p.text(n)
	}
	for _, part := range parts {
		t.Of = append(t.Of, p.term(part, state, r))
	}
	return t
}

// bare is a condition without the function that lets silence pass.
func bare(n ast.Expr) ast.Expr {
	if fact := called(n, stated); fact != nil {
		return fact
	}
	return n
}

// called is the first argument of a call of that function, or nil.
func called(n ast.Expr, name string) ast.Expr {
	if n.Kind() == ast.CallKind && n.AsCall().FunctionName() == name {
		return n.AsCall().Args()[0]
	}
	return nil
}

// sign is an operator as a rule writes it; a function is written by its name.
func sign(name string) string {
	if name == operators.Conditional {
		return "?"
	}
	text, _ := operators.FindReverse(name)
	return cmp.Or(text, name)
}

// operands are the parts of a condition whose values explain it: what it
// compares, but nothing that is written out in it.
func operands(n ast.Expr) []ast.Expr {
	var list []ast.Expr
	var add func(n ast.Expr, top bool)
	add = func(n ast.Expr, top bool) {
		switch {
		case constant(n):
		case n.Kind() == ast.CallKind && (top || n.AsCall().FunctionName() == operators.LogicalNot || boolean(n)):
			call := n.AsCall()
			if call.IsMemberFunction() {
				add(call.Target(), false)
			}
			for _, a := range call.Args() {
				add(a, false)
			}
		case !slices.ContainsFunc(list, func(o ast.Expr) bool { return o.ID() == n.ID() }):
			list = append(list, n)
		}
	}
	add(n, true)
	return list
}

// boolean reports whether a call is a condition.
func boolean(n ast.Expr) bool {
	switch n.AsCall().FunctionName() {
	case operators.LogicalAnd, operators.LogicalOr, operators.Equals, operators.NotEquals, operators.In,
		operators.Less, operators.LessEquals, operators.Greater, operators.GreaterEquals, stated, "contains", "startsWith", "endsWith":
		return true
	}
	return false
}

// constant reports whether a part reads no fact.
func constant(n ast.Expr) bool {
	is := true
	ast.PreOrderVisit(n, ast.NewExprVisitor(func(e ast.Expr) { is = is && e.Kind() != ast.IdentKind }))
	return is
}

// text is a part of the expression as the rule says it.
func (p *program) text(n ast.Expr) string {
	text, err := cel.ExprToString(n, p.tree.SourceInfo())
	if err != nil {
		return strings.TrimSpace(p.src.Text)
	}
	return strings.Join(strings.Fields(text), " ")
}

// begin is the place in the file where a part of the expression begins.
func (p *program) begin(n ast.Expr) source.Span {
	first := -1
	ast.PreOrderVisit(n, ast.NewExprVisitor(func(e ast.Expr) {
		if r, ok := p.tree.SourceInfo().GetOffsetRange(e.ID()); ok && (first < 0 || int(r.Start) < first) {
			first = int(r.Start)
		}
	}))
	return p.src.At(first)
}

// leaves calls back for every part of the condition that is a condition itself
// and is made of no others.
func (p *program) leaves(visit func(n ast.Expr)) {
	var walk func(n ast.Expr)
	walk = func(n ast.Expr) {
		if n.Kind() == ast.CallKind {
			switch call := n.AsCall(); call.FunctionName() {
			case operators.LogicalAnd, operators.LogicalOr, operators.LogicalNot:
				for _, a := range call.Args() {
					walk(a)
				}
				return
			case operators.Conditional:
				for _, a := range call.Args() {
					if p.tree.GetType(a.ID()).IsExactType(types.BoolType) {
						walk(a)
					}
				}
				return
			}
		}
		if n.Kind() != ast.LiteralKind {
			visit(n)
		}
	}
	walk(p.tree.Expr())
}

// missing lists what would have to be known: the paths of the build file that
// nobody recorded, and why facts were not computed, sorted.
func (r *roots) missing(u *types.Unknown) []verdict.Missing {
	if u == nil {
		return nil
	}
	var list []verdict.Missing
	for _, id := range u.IDs() {
		trails, _ := u.GetAttributeTrails(id)
		for _, t := range trails {
			list = append(list, r.missingOf(t.Variable())...)
		}
	}
	slices.SortFunc(list, func(a, b verdict.Missing) int {
		return cmp.Or(cmp.Compare(a.Path, b.Path), cmp.Compare(a.Reason, b.Reason), cmp.Compare(a.Fact, b.Fact))
	})
	return slices.Compact(list)
}

func (r *roots) missingOf(fact string) []verdict.Missing {
	why := r.unknownOf(fact)
	if why == nil {
		return []verdict.Missing{MissingAt(fact)}
	}
	var list []verdict.Missing
	for _, path := range why.Missing {
		list = append(list, MissingAt(path))
	}
	if len(list) == 0 {
		list = append(list, verdict.Missing{Reason: why.Reason, Fact: fact, Falls: why.Falls})
	}
	return list
}

// show prints a value; an unknown one says whether it waits for somebody to
// write something down.
func (r *roots) show(v ref.Val) string {
	u, ok := v.(*types.Unknown)
	if !ok {
		return show(v)
	}
	if slices.ContainsFunc(r.missing(u), func(m verdict.Missing) bool { return m.Path != "" }) {
		return notRecorded
	}
	return notComputed
}

// MissingAt words a fact that nobody recorded: what it is and, where only some words may
// stand there, which, for who is asked for a layout cannot guess them.
func MissingAt(path string) verdict.Missing {
	m := verdict.Missing{Path: path}
	if f := fieldAt(path); f != nil {
		m.Doc = f.Doc
		if f.Type == schema.Bool {
			m.Ask = f.Question
		}
		if f.Type == schema.List && f.Elem != nil {
			f = f.Elem
		}
		m.Words = source.Either(f.Enum)
	}
	return m
}

// fieldAt finds in the schema what stands at a path of the build file; nil when it
// does not say.
func fieldAt(path string) *schema.Field {
	name, rest, _ := strings.Cut(path, ".")
	kind := facts.KindOf(name)
	if kind == nil {
		return nil
	}
	if kind.Single {
		return fieldIn(kind.Fields, rest)
	}
	// An id may hold dots itself, so every cut is tried.
	for {
		_, below, more := strings.Cut(rest, ".")
		if !more {
			return nil
		}
		if f := fieldIn(kind.Fields, below); f != nil {
			return f
		}
		rest = below
	}
}

func fieldIn(fields []schema.Field, path string) *schema.Field {
	name, rest, nested := strings.Cut(path, ".")
	// One of a list stands in brackets, by a name that may hold dots itself.
	if list, _, one := strings.Cut(name, "["); one {
		name, rest, nested = list, "", false
		if end := strings.LastIndex(path, "]."); end >= 0 {
			rest, nested = path[end+2:], true
		}
	}
	i := slices.IndexFunc(fields, func(f schema.Field) bool { return f.Name == name })
	if i < 0 {
		return nil
	}
	f := &fields[i]
	if nested && f.Type == schema.Map {
		if _, below, more := strings.Cut(rest, "."); more {
			return fieldIn(f.Elem.Fields, below)
		}
		return f
	}
	if nested && f.Type == schema.List && f.Elem != nil {
		return fieldIn(f.Elem.Fields, rest)
	}
	if nested && f.Type == schema.Object {
		return fieldIn(f.Fields, rest)
	}
	return f
}

// words fills the texts of a result that is no pass.
func (u *unit) words(res *Result, r *roots) {
	if errs := u.readyTexts(); len(errs) > 0 {
		res.Outcome, res.Err = verdict.Error, errs.Err()
		return
	}
	if res.Outcome == verdict.NotRecorded {
		u.askFor(res, r)
		return
	}
	words, _ := u.rule.Words()
	res.Say, res.Fix = u.fill(words.Say.Parts, r), u.fill(words.Fix.Parts, r)
	w := words.Work
	if w == nil {
		return
	}
	res.Work = &verdict.Work{Phase: w.Phase, Do: res.Fix}
	if w.Do != nil {
		res.Work.Do = u.fill(w.Do.Parts, r)
	}
	if w.Buy != nil {
		res.Work.Part, res.Work.Quantity = u.fill(w.Buy.Parts, r), 1
		if w.Count != nil {
			if n, ok := u.eval(w.Count, r).(types.Int); ok {
				res.Work.Quantity = int(n)
			}
		}
		res.Work.With, res.Work.Thread, res.Work.Class = u.known(w.With, r), u.known(w.Thread, r), u.known(w.Class, r)
		if res.Work.Quantity <= 0 {
			res.Work.Part, res.Work.Quantity, res.Work.With = "", 0, ""
		}
	}
	for _, s := range w.Sets {
		// A value that is not known cannot be what the file will say.
		if value, known := u.value(s.Value.Parts, r, r.show); known {
			res.Work.Set = append(res.Work.Set, verdict.Value{Name: r.pathOf(s.Path), Value: value})
		}
	}
}

// mostAsked is how many facts a line asks for; reports list them all.
const mostAsked = 3

// askFor words a result that waits for facts: what to write down, not what
// would be wrong.
func (u *unit) askFor(res *Result, r *roots) {
	subject := r.move.facts.Path
	if r.item != nil {
		subject = r.item.facts.Path
	}
	_, id, _ := strings.Cut(subject, ".")
	var asked, reasons []string
	for _, m := range res.Missing {
		what := m.Doc
		if what == "" {
			what = m.Path
		}
		switch {
		case m.Path == "":
			reasons = append(reasons, m.Reason)
		case !strings.HasPrefix(m.Path, subject+"."):
			asked = append(asked, what+" ("+m.Path+")")
		default:
			asked = append(asked, what)
		}
	}
	asked = slices.Compact(asked)
	if more := len(asked) - mostAsked; more > 0 {
		asked = append(asked[:mostAsked], fmt.Sprintf("and %d more", more))
	}
	if len(asked) == 0 {
		res.Say = id + ": not known: " + strings.Join(reasons, "; ")
		res.Fix = "find out another way, or change what prevents the computation: " + strings.Join(reasons, "; ")
	} else {
		res.Say = id + ": not recorded: " + strings.Join(asked, "; ")
		res.Fix = "look or measure, and write down: " + strings.Join(asked, "; ")
	}
	res.Work = &verdict.Work{Phase: "record", Do: res.Fix}
}

// fill prints a template.
func (u *unit) fill(parts []pack.Part, r *roots) string {
	text, _ := u.value(parts, r, r.say)
	return text
}

// known prints a template of which everything is known, and nothing of another or none.
func (u *unit) known(t *pack.Template, r *roots) string {
	if t == nil {
		return ""
	}
	text, known := u.value(t.Parts, r, r.say)
	if !known {
		return ""
	}
	return text
}

// value prints a template and says whether everything in it is known. Two values of a text
// that differ are never printed alike.
func (u *unit) value(parts []pack.Part, r *roots, print func(ref.Val) string) (text string, known bool) {
	known = true
	values := make([]ref.Val, len(parts))
	printed := map[string]ref.Val{}
	for i, p := range parts {
		if p.Expr == nil {
			continue
		}
		v := u.eval(p.Expr, r)
		values[i] = v
		known = known && !types.IsUnknownOrError(v)
		if other, seen := printed[print(v)]; seen && !types.IsUnknownOrError(v) && v.Equal(other) != types.True {
			print = r.exactly
		}
		printed[print(v)] = v
	}
	var b strings.Builder
	for i, p := range parts {
		if p.Expr == nil {
			b.WriteString(p.Text)
		} else {
			b.WriteString(print(values[i]))
		}
	}
	return b.String(), known
}

// say prints a value in a text: what is computed in the builder's measures, no finer than
// anybody measures it; a torque, mass or force as it is written, and what it is on the
// builder's own wrench or scale beside it.
func (r *roots) say(v ref.Val) string {
	a, ok := v.(*amount)
	switch {
	case !ok:
	case !a.written:
		return r.units.Say(a.q)
	case a.q.Dim == quantity.Torque || a.q.Dim == quantity.Mass || a.q.Dim == quantity.Force:
		if own := r.units.In(a.q); own.Unit != a.q.Unit {
			return r.show(v) + " (" + r.units.Say(own) + ")"
		}
	}
	return r.show(v)
}

// exactly prints a value to be retraced: what is computed in the builder's measures.
func (r *roots) exactly(v ref.Val) string {
	if a, ok := v.(*amount); ok && !a.written {
		return r.units.In(a.q).String()
	}
	return r.show(v)
}

// eval evaluates an expression of a text. An error only shows in the text: the
// outcome is settled by then.
func (u *unit) eval(e *pack.Expr, r *roots) ref.Val { return run(u.texts[e].plain, r) }
