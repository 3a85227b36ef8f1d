package engine

import (
	"cmp"
	"slices"

	"github.com/google/cel-go/common/ast"
	"github.com/google/cel-go/common/operators"
)

// called is the first argument of a call of that function, or nil.
func called(n ast.Expr, name string) ast.Expr {
	if n.Kind() == ast.CallKind && n.AsCall().FunctionName() == name {
		return n.AsCall().Args()[0]
	}
	return nil
}

// bare is a condition without the function that lets silence pass.
func bare(n ast.Expr) ast.Expr {
	if fact := called(n, stated); fact != nil {
		return fact
	}
	return n
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
