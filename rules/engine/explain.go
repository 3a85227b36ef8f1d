package engine

import (
	"cmp"
	"slices"
	"strings"

	"github.com/google/cel-go/cel"
	"github.com/google/cel-go/common/ast"
	"github.com/google/cel-go/common/operators"
	"github.com/google/cel-go/common/types"
	"github.com/google/cel-go/common/types/ref"
	"github.com/google/cel-go/interpreter"

	"setdown/model/schema"
	"setdown/model/source"
	"setdown/rules/facts"
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

// hungOn lists the facts on which the answer of a condition hangs: where one of several
// alternatives holds, those of it alone, whichever is read first.
func (p *program) hungOn(r *roots) []*slot {
	if !p.chooses() {
		return p.reads()
	}
	state := p.track(r)
	if state == nil {
		return nil
	}
	// The state has no value of an or inside an or.
	var alternatives func(n ast.NavigableExpr) []ast.NavigableExpr
	alternatives = func(n ast.NavigableExpr) []ast.NavigableExpr {
		if called(n, operators.LogicalOr) == nil {
			return []ast.NavigableExpr{n}
		}
		var list []ast.NavigableExpr
		for _, child := range n.Children() {
			list = append(list, alternatives(child)...)
		}
		return list
	}
	holds := func(n ast.NavigableExpr) bool { v, _ := state.Value(n.ID()); return v == types.True }
	var list []*slot
	var walk func(n ast.NavigableExpr)
	walk = func(n ast.NavigableExpr) {
		if s, ok := slotOf(p.tree, n); ok {
			list = append(list, s)
			return
		}
		parts := n.Children()
		if called(n, operators.LogicalOr) != nil {
			if parts = alternatives(n); slices.ContainsFunc(parts, holds) {
				parts = slices.DeleteFunc(parts, func(n ast.NavigableExpr) bool { return !holds(n) })
			}
		}
		for _, part := range parts {
			walk(part)
		}
	}
	walk(ast.NavigateAST(p.tree))
	return list
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
	for _, fact := range waitsFor(u) {
		list = append(list, r.missingOf(fact)...)
	}
	slices.SortFunc(list, func(a, b verdict.Missing) int {
		return cmp.Or(cmp.Compare(a.Path, b.Path), cmp.Compare(a.Reason, b.Reason), cmp.Compare(a.Fact, b.Fact))
	})
	return slices.Compact(list)
}

// unplanned lists what nobody wrote of the plan of a move where a rule waits for nothing else to know
// whether it applies. It is asked before what the rule wants: who lifts nothing by hand need not say
// how much. What is found is not, for both are seen on one visit.
func (r *roots) unplanned(when *types.Unknown) []verdict.Missing {
	if when == nil {
		return nil
	}
	for _, path := range waitsFor(when) {
		field, ofMove := strings.CutPrefix(path, r.move.facts.Path+".")
		if why := r.unknownOf(path); !ofMove || strings.Contains(field, ".") || why == nil || !slices.Equal(why.Missing, []string{path}) {
			return nil
		}
	}
	return r.missing(when)
}

// waitsFor lists the paths of the facts that make a value unknown.
func waitsFor(u *types.Unknown) []string {
	var facts []string
	for _, id := range u.IDs() {
		trails, _ := u.GetAttributeTrails(id)
		for _, t := range trails {
			facts = append(facts, t.Variable())
		}
	}
	return facts
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

// exactly prints a value to be retraced: what is computed in the builder's measures, what is
// written with them beside it.
func (r *roots) exactly(v ref.Val) string {
	a, ok := v.(*amount)
	if !ok {
		return r.show(v)
	}
	own := r.units.In(a.q)
	if a.written && own.Unit != a.q.Unit {
		return a.q.String() + " (" + own.String() + ")"
	}
	return own.String()
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
