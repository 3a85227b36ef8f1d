package packtest

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/cel-go/cel"
	"github.com/google/cel-go/common/ast"
	"github.com/google/cel-go/common/operators"
	"github.com/google/cel-go/common/types"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/schema"
	"setdown/model/source"
	"setdown/rules/engine"
	"setdown/rules/pack"
	"setdown/rules/packs"
	"setdown/rules/verdict"
)

// leastTried is how many faults were put into the built-in rules when this was last
// written. It only grows: with fewer faults tried, a full share of them says less.
const leastTried = 3_400

// leastCaught is the share of the faults that the examples of the rules notice.
const leastCaught = 0.95

func TestExamplesNoticeFaultsInRules(t *testing.T) {
	all, err := pack.LoadFS(packs.FS, ".")
	require.NoError(t, err)
	e, err := engine.New(all)
	require.NoError(t, err)
	s := mutate(t, e, all)
	t.Logf("%d of %d faults noticed", s.caught, s.tried)
	for _, m := range s.survivors {
		t.Logf("\n%s", m)
	}
	assert.Empty(t, s.broken, "faults that make no rule show nothing")
	assert.GreaterOrEqual(t, s.tried, leastTried, "fewer faults are tried than before")
	assert.Less(t, s.tried, leastTried+leastTried/10, "more faults are tried: raise leastTried")
	assert.GreaterOrEqual(t, float64(s.caught), leastCaught*float64(s.tried))
}

// TestMutation counts by hand what is done to one rule.
func TestMutation(t *testing.T) {
	e, packs := load(t, nutRule)
	s := mutate(t, e, packs)
	assert.Equal(t, 9, s.tried)
	assert.Equal(t, 9, s.caught)
	e, packs = load(t, strings.Replace(nutRule, "torqued: 90 N·m", "torqued: 95 N·m", 1))
	s = mutate(t, e, packs)
	assert.Equal(t, []string{"p/r.yaml:5:7: r: nut.found.torqued >= 0.9 * nut.torque → nut.found.torqued > 0.9 * nut.torque"}, s.survivors)
	assert.Equal(t, 8, s.caught)
}

// score says how many faults put into rules the examples notice.
type score struct {
	tried, caught int
	survivors     []string // no example notices them
	broken        []string // they do not compile, or come out as an error
}

// mutate puts one fault after the other into every rule of the packs. It is noticed when an example
// comes out otherwise than it expects; an error is no notice.
func mutate(t *testing.T, e *engine.Engine, packs []*pack.Pack) score {
	t.Helper()
	var s score
	s.tryAll(t, e, packs, func(r *pack.Rule, text string) []fault { return faults(t, r, text) })
	return s
}

// tryAll puts every fault into every rule of the packs and judges the examples by it.
func (s *score) tryAll(t *testing.T, e *engine.Engine, packs []*pack.Pack, faults func(r *pack.Rule, text string) []fault) {
	t.Helper()
	for _, p := range packs {
		for _, r := range p.Rules {
			var states []*state
			for i := range r.Examples {
				state, errs := read(e, r, &r.Examples[i])
				require.Empty(t, errs, r.ID)
				states = append(states, state)
			}
			for _, m := range mutants(r, faults) {
				s.tried++
				line := fmt.Sprintf("%s: %s: %s", m.span, r.ID, m.change)
				switch noticed, err := m.noticed(e, states); {
				case err != nil:
					s.broken = append(s.broken, fmt.Sprintf("%s: %v", line, err))
				case noticed:
					s.caught++
				default:
					s.survivors = append(s.survivors, line)
				}
			}
		}
	}
}

// mutant is a rule with one deliberate fault.
type mutant struct {
	change string // what was changed into what
	span   source.Span
	rule   *pack.Rule
}

// noticed reports whether an example of the rule comes out otherwise by the mutant.
func (m mutant) noticed(e *engine.Engine, states []*state) (noticed bool, err error) {
	if errs := e.CompileRule(m.rule); len(errs) > 0 {
		return false, errs.Err()
	}
	for i, s := range states {
		outcome, res := (&tester{e: e, rule: m.rule}).outcome(s, "")
		want := m.rule.Examples[i].Expect
		if outcome == string(verdict.Error) && want != outcome {
			err = res.Err
			continue
		}
		if outcome != want {
			return true, nil
		}
	}
	return false, err
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

// mutants makes faulty copies of a rule, each with one fault.
func mutants(r *pack.Rule, faults func(r *pack.Rule, text string) []fault) []mutant {
	var list []mutant
	for _, src := range []*pack.Expr{&r.When, &r.Must} {
		if src.Empty() {
			continue
		}
		for _, f := range faults(r, src.Text) {
			faulty := *r
			expr := pack.Expr{Text: f.text, Span: src.Span}
			if src == &r.When {
				faulty.When = expr
			} else {
				faulty.Must = expr
			}
			list = append(list, mutant{change: f.change, span: src.Span, rule: &faulty})
		}
	}
	return list
}

type fault struct{ text, change string }

// faults lists the faulty texts of an expression: a condition turned round, a bound a little or far
// off, a part left out, and for or and.
func faults(t *testing.T, r *pack.Rule, text string) []fault {
	t.Helper()
	return rewritten(t, r, text, func(f ast.ExprFactory, n ast.Expr) []ast.Expr { return others(f, r, n) })
}

// rewritten lists the texts of an expression in which something else stands in the place of one part.
func rewritten(t *testing.T, r *pack.Rule, text string, others func(ast.ExprFactory, ast.Expr) []ast.Expr) []fault {
	t.Helper()
	env, err := cel.NewEnv(cel.ClearMacros())
	require.NoError(t, err)
	parsed, issues := env.Parse(text)
	require.NoError(t, issues.Err(), r.ID)
	tree := parsed.NativeRep()
	print := func(n ast.Expr) string {
		text, err := cel.ExprToString(n, tree.SourceInfo())
		require.NoError(t, err)
		return text
	}
	var list []fault
	factory := ast.NewExprFactory()
	ast.PreOrderVisit(tree.Expr(), ast.NewExprVisitor(func(n ast.Expr) {
		for _, other := range others(factory, n) {
			whole := ast.Copy(tree)
			var at ast.Expr
			ast.PreOrderVisit(whole.Expr(), ast.NewExprVisitor(func(c ast.Expr) {
				if c.ID() == n.ID() {
					at = c
				}
			}))
			at.SetKindCase(other)
			list = append(list, fault{text: print(whole.Expr()), change: print(n) + " → " + print(other)})
		}
	}))
	return list
}

// others are the faults that can stand in the place of a part.
func others(f ast.ExprFactory, r *pack.Rule, n ast.Expr) []ast.Expr {
	not := func(n ast.Expr) ast.Expr { return f.NewCall(0, operators.LogicalNot, f.CopyExpr(n)) }
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
			list = append(list, not(n))
		}
	case ast.SelectKind:
		if isYesOrNo(r, n) {
			list = append(list, not(n))
		}
	case ast.LiteralKind:
		switch v := n.AsLiteral().(type) {
		case types.Int:
			if v != 0 {
				list = append(list, f.NewLiteral(n.ID(), v-1), f.NewLiteral(n.ID(), v+1))
			}
		case types.Double:
			if v != 0 && !math.IsNaN(float64(v)) {
				list = append(list, f.NewLiteral(n.ID(), v/2), f.NewLiteral(n.ID(), v*2))
			}
		}
	}
	return list
}

// isYesOrNo reports whether a chain of names is a fact that is yes or no.
func isYesOrNo(r *pack.Rule, n ast.Expr) bool {
	var path []string
	for ; n.Kind() == ast.SelectKind; n = n.AsSelect().Operand() {
		path = append(path, n.AsSelect().FieldName())
	}
	slices.Reverse(path)
	var kind string
	if root := n.AsIdent(); root == r.Var && r.Var != "" {
		kind = r.Each[0]
	} else if i := slices.IndexFunc(roots, func(k struct{ name, kind string }) bool { return k.name == root }); i >= 0 {
		kind = roots[i].kind
	}
	f := kindOf(kind).Field(path[0])
	for _, name := range path[1:] {
		if f.Type == schema.Thread {
			return name == "left"
		}
		f = f.Field(name)
	}
	return f.Type == schema.Bool
}
