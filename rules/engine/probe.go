package engine

import (
	"github.com/google/cel-go/common/ast"
	"github.com/google/cel-go/common/types"

	"setdown/model/source"
	"setdown/rules/facts"
	"setdown/rules/pack"
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
	if len(u.ready()) > 0 || !isAbout(r, set.Move) {
		return nil
	}
	roots := e.rootsFor(r, kind, set)
	programs := []*program{u.when, u.must}
	if !u.outcome(roots).applies {
		programs = programs[:1]
	}
	var list []Part
	for _, p := range programs {
		if p == nil {
			continue
		}
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
