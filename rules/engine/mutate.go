package engine

import (
	"math"

	"github.com/google/cel-go/cel"
	"github.com/google/cel-go/common/ast"
	"github.com/google/cel-go/common/operators"
	"github.com/google/cel-go/common/types"

	"setdown/model/source"
	"setdown/rules/facts"
	"setdown/rules/pack"
	"setdown/rules/verdict"
)

// Mutant is a rule with one deliberate fault. Examples that judge it as they
// judge the rule do not test the point where it differs.
type Mutant struct {
	Change string // what was changed into what
	Span   source.Span
	rule   *pack.Rule
	units  map[string]*unit
}

// Judge says how the faulty rule comes out for the first item of a kind in a
// set; it is false when the rule does not apply.
func (m *Mutant) Judge(e *Engine, kind string, set *facts.Set) (verdict.Outcome, bool) {
	u := m.units[kind]
	if u == nil {
		u = newUnit(e.lang, m.rule, kind)
		m.units[kind] = u
	}
	if !isAbout(m.rule, set.Move) {
		return "", false
	}
	roots := e.rootsFor(m.rule, kind, set)
	asked := u.ask(nil, roots)
	if len(asked) == 0 {
		return "", false
	}
	outcome, _, _ := u.answer(roots, asked[0])
	return outcome, true
}

// swaps are the faults that put another operator in the place of one.
var swaps = map[string][]string{
	operators.GreaterEquals: {operators.Greater, operators.Less},
	operators.Greater:       {operators.GreaterEquals, operators.LessEquals},
	operators.LessEquals:    {operators.Less, operators.Greater},
	operators.Less:          {operators.LessEquals, operators.GreaterEquals},
	operators.Equals:        {operators.NotEquals},
	operators.NotEquals:     {operators.Equals},
	operators.LogicalAnd:    {operators.LogicalOr},
	operators.LogicalOr:     {operators.LogicalAnd},
}

// Mutants makes faulty copies of a rule, each with one fault: a condition turned
// round, a bound a little or far off, a part left out, and for or and.
func (e *Engine) Mutants(r *pack.Rule) []*Mutant {
	u := e.unit(r, kindsOf(r)[0])
	programs, errs := u.conditions()
	if len(errs) > 0 {
		return nil
	}
	var list []*Mutant
	for _, p := range programs {
		for _, f := range p.faults() {
			faulty := *r
			if p.src == &r.When {
				faulty.When = r.When.With(f.text)
			} else {
				faulty.Must = r.Must.With(f.text)
			}
			list = append(list, &Mutant{Change: f.change, Span: f.span, rule: &faulty, units: map[string]*unit{}})
		}
	}
	return list
}

type fault struct {
	text, change string
	span         source.Span
}

// faults lists the faulty texts of an expression.
func (p *program) faults() []fault {
	var list []fault
	factory := ast.NewExprFactory()
	ast.PreOrderVisit(p.tree.Expr(), ast.NewExprVisitor(func(n ast.Expr) {
		for _, other := range p.others(factory, n) {
			whole := ast.Copy(p.tree)
			was := p.text(n)
			var at ast.Expr
			ast.PreOrderVisit(whole.Expr(), ast.NewExprVisitor(func(c ast.Expr) {
				if c.ID() == n.ID() {
					at = c
				}
			}))
			at.SetKindCase(other)
			text, err := cel.ExprToString(whole.Expr(), whole.SourceInfo())
			if err != nil {
				continue
			}
			list = append(list, fault{text: text, change: was + " → " + p.text(other), span: p.begin(n)})
		}
	}))
	return list
}

// others are the faults that can stand in the place of a part.
func (p *program) others(f ast.ExprFactory, n ast.Expr) []ast.Expr {
	var list []ast.Expr
	switch n.Kind() {
	case ast.CallKind:
		call := n.AsCall()
		name := call.FunctionName()
		for _, swap := range swaps[name] {
			list = append(list, f.NewCall(n.ID(), swap, f.CopyExpr(call.Args()[0]), f.CopyExpr(call.Args()[1])))
		}
		switch name {
		case operators.LogicalAnd, operators.LogicalOr:
			list = append(list, f.CopyExpr(call.Args()[0]), f.CopyExpr(call.Args()[1]))
		case operators.LogicalNot:
			list = append(list, f.CopyExpr(call.Args()[0]))
		case operators.In:
			list = append(list, f.NewCall(0, operators.LogicalNot, f.CopyExpr(n)))
		}
	case ast.SelectKind:
		if p.tree.GetType(n.ID()).IsExactType(types.BoolType) {
			list = append(list, f.NewCall(0, operators.LogicalNot, f.CopyExpr(n)))
		}
	case ast.LiteralKind:
		v := plain(n.AsLiteral())
		if math.IsNaN(v) || v == 0 {
			break
		}
		for _, factor := range []float64{0.5, 2} {
			if _, whole := n.AsLiteral().(types.Int); whole {
				list = append(list, f.NewLiteral(n.ID(), types.Int(int64(v+math.Copysign(1, factor-1)))))
			} else {
				list = append(list, f.NewLiteral(n.ID(), types.Double(v*factor)))
			}
		}
	}
	return list
}
