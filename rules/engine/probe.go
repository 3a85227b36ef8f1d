package engine

import (
	"slices"

	"github.com/google/cel-go/common/ast"
	"github.com/google/cel-go/common/types"

	"setdown/model/schema"
	"setdown/model/source"
	"setdown/rules/facts"
	"setdown/rules/pack"
	"setdown/rules/verdict"
)

// Part is a condition inside a rule that is made of no others, such as
// nut.found.fitted, and how it came out.
type Part struct {
	Text  string
	Span  source.Span
	Known bool // false: it waits for a fact, or failed
	Value bool
}

// Parts evaluates the conditions inside a rule, those too that decide nothing,
// for the first item of a kind in a set: those of when always, those of must
// only where the rule applies. Tests measure by it what examples show.
func (e *Engine) Parts(r *pack.Rule, kind string, set *facts.Set) []Part {
	u := e.unit(r, kind)
	programs, errs := u.conditions()
	if len(errs) > 0 || !isAbout(r, set.Move) {
		return nil
	}
	roots := e.rootsFor(r, kind, set)
	if len(u.ask(nil, roots)) == 0 {
		programs = programs[:1]
	}
	var list []Part
	for _, p := range programs {
		state := p.track(roots)
		p.leaves(func(n ast.Expr) {
			part := Part{Text: p.text(n), Span: p.begin(n)}
			if state != nil {
				v, _ := state.Value(n.ID())
				b, known := v.(types.Bool)
				part.Known, part.Value = known, bool(b)
			}
			list = append(list, part)
		})
	}
	return list
}

// Explain lists the facts that a rule reads, in the order in which it names
// them, each with what it means. Of a rule about several kinds it explains the
// facts of the first. A rule that does not compile has none.
func (e *Engine) Explain(r *pack.Rule) []verdict.Value {
	u := e.unit(r, kindsOf(r)[0])
	programs, errs := u.conditions()
	if len(checkKinds(r)) > 0 || len(errs) > 0 {
		return nil
	}
	var list []verdict.Value
	for _, p := range programs {
		ast.PreOrderVisit(p.tree.Expr(), ast.NewExprVisitor(func(n ast.Expr) {
			t, ok := u.scope.resolve(n)
			if !ok || t.field == nil || t.field.Type == schema.Object {
				return
			}
			if v := (verdict.Value{Name: t.name, Value: t.field.Doc}); !slices.Contains(list, v) {
				list = append(list, v)
			}
		}))
	}
	return list
}
