package packtest

import (
	"testing"

	"github.com/google/cel-go/common/ast"
	"github.com/google/cel-go/common/operators"
	"github.com/google/cel-go/common/types"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/rules/engine"
	"setdown/rules/pack"
	"setdown/rules/packs"
)

// beside is how far off a limit, as a share of it, an example may stand at most.
const beside = 0.1

// TestExamplesStandBesideLimits moves every figure of a rule, its own or one of policy, down and up:
// an example has to notice each.
func TestExamplesStandBesideLimits(t *testing.T) {
	all, err := pack.LoadFS(packs.FS, ".")
	require.NoError(t, err)
	e, err := engine.New(all)
	require.NoError(t, err)
	s := score{}
	s.tryAll(t, e, all, func(r *pack.Rule, text string) []fault { return movedLimits(t, e, r, text) })
	assert.Empty(t, s.broken)
	for _, m := range s.survivors {
		t.Errorf("no example stands beside this limit: %s", m)
	}
	assert.Greater(t, s.tried, 250)
}

// movedLimits lists the texts of an expression in which one figure is moved. A number that only
// counts has mutants of one more and one less, and a policy of 0 is none.
func movedLimits(t *testing.T, e *engine.Engine, r *pack.Rule, text string) []fault {
	return rewritten(t, r, text, func(f ast.ExprFactory, n ast.Expr) (moved []ast.Expr) {
		for _, share := range []types.Double{1 - beside, 1 + beside} {
			switch n.Kind() {
			case ast.SelectKind:
				of := n.AsSelect()
				if of.Operand().Kind() != ast.IdentKind || of.Operand().AsIdent() != "policy" {
					continue
				}
				if q, _ := e.Policy().Quantity(of.FieldName()); q.Value != 0 {
					moved = append(moved, f.NewCall(0, operators.Multiply, f.NewLiteral(0, share), f.CopyExpr(n)))
				}
			case ast.LiteralKind:
				if v, isDouble := n.AsLiteral().(types.Double); isDouble && v != 0 {
					moved = append(moved, f.NewLiteral(0, v*share))
				}
			case ast.CallKind:
				call := n.AsCall()
				if len(call.Args()) != 1 || call.Args()[0].Kind() != ast.LiteralKind {
					continue
				}
				if v, whole := call.Args()[0].AsLiteral().(types.Int); whole && v != 0 {
					moved = append(moved, f.NewCall(0, call.FunctionName(), f.NewLiteral(0, types.Double(v)*share)))
				}
			}
		}
		return moved
	})
}
