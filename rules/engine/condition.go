package engine

import (
	"slices"

	"github.com/google/cel-go/cel"
	"github.com/google/cel-go/common/ast"
	"github.com/google/cel-go/common/functions"
	"github.com/google/cel-go/common/operators"
	"github.com/google/cel-go/common/types"
	"github.com/google/cel-go/common/types/ref"

	"setdown/model/schema"
)

// Most of what rules ask is whether facts hold or how they compare, joined by and, or
// and not: nut.carrying && nut.found.fitted. These forms are evaluated here; to hand each of
// them to the interpreter costs more than all that they ask. What is anything else
// is a program of the expression language. The answers are those of the language,
// which a test holds them to for every rule: false decides an and whatever else is
// unknown, true an or; what is unknown goes before what failed.

// condition is a checked expression, or a part of one, ready to be evaluated.
type condition interface{ eval(*roots) ref.Val }

type (
	both   []condition // and
	either []condition // or
	not    struct{ condition }
	// fact is a field of a variable, or of a block in it.
	fact struct {
		variable string
		path     []int // among the fields that rules read
	}
	// oneOf asks whether the word that a fact holds is one of these.
	oneOf struct {
		fact
		words []string
	}
	// comparison puts two values in order.
	comparison struct {
		a, b condition
		op   functions.BinaryOp
	}
	literal struct{ ref.Val }
	// script is a program of the expression language.
	script struct{ cel.Program }
)

func (c both) eval(r *roots) ref.Val   { return join(r, c, types.False) }
func (c either) eval(r *roots) ref.Val { return join(r, c, types.True) }

// join evaluates conditions until one of them decides.
func join(r *roots, list []condition, decides types.Bool) ref.Val {
	var unknown *types.Unknown
	var failed ref.Val
	for _, c := range list {
		v := c.eval(r)
		if v == decides {
			return decides
		}
		if _, known := v.(types.Bool); known {
			continue
		}
		var isUnknown bool
		if unknown, isUnknown = types.MaybeMergeUnknowns(v, unknown); !isUnknown && failed == nil {
			failed = v
		}
	}
	switch {
	case unknown != nil:
		return unknown
	case failed != nil:
		return failed
	}
	return !decides
}

func (c not) eval(r *roots) ref.Val {
	v := c.condition.eval(r)
	if b, known := v.(types.Bool); known {
		return !b
	}
	return v
}

func (c fact) eval(r *roots) ref.Val {
	o := r.object(c.variable)
	for _, i := range c.path[:len(c.path)-1] {
		v := o.field(i)
		block, ok := v.(*object)
		if !ok {
			return v
		}
		o = block
	}
	return o.field(c.path[len(c.path)-1])
}

func (c oneOf) eval(r *roots) ref.Val {
	v := c.fact.eval(r)
	if word, known := v.(types.String); known {
		return types.Bool(slices.Contains(c.words, string(word)))
	}
	return v
}

func (c comparison) eval(r *roots) ref.Val {
	a := c.a.eval(r)
	if types.IsError(a) {
		return a
	}
	b := c.b.eval(r)
	if types.IsError(b) {
		return b
	}
	unknown, _ := types.MaybeMergeUnknowns(a, nil)
	if unknown, _ = types.MaybeMergeUnknowns(b, unknown); unknown != nil {
		return unknown
	}
	return c.op(a, b)
}

func (c literal) eval(*roots) ref.Val { return c.Val }

func (c script) eval(r *roots) ref.Val {
	v, _, err := c.Eval(r)
	if err != nil {
		if failed, ok := v.(*types.Err); ok {
			return failed
		}
		return types.WrapErr(err)
	}
	return v
}

// conditionOf makes a part of a checked expression ready.
func conditionOf(env *cel.Env, tree *ast.AST, n ast.Expr) (condition, error) {
	if f, ok := factOf(tree, n); ok {
		return f, nil
	}
	switch n.Kind() {
	case ast.LiteralKind:
		return literal{n.AsLiteral()}, nil
	case ast.CallKind:
		args := n.AsCall().Args()
		name := n.AsCall().FunctionName()
		if op := comparisons[name]; op != nil {
			a, err := conditionOf(env, tree, args[0])
			if err != nil {
				return nil, err
			}
			b, err := conditionOf(env, tree, args[1])
			return comparison{a, b, op}, err
		}
		switch name {
		case operators.LogicalAnd, operators.LogicalOr:
			return joinOf(env, tree, n, name)
		case operators.LogicalNot:
			inner, err := conditionOf(env, tree, args[0])
			return not{inner}, err
		case operators.Equals, operators.NotEquals, operators.In:
			if f, ok := factOf(tree, args[0]); ok {
				if words := wordsOf(args[1], name == operators.In); words != nil {
					c := oneOf{f, words}
					if name == operators.NotEquals {
						return not{c}, nil
					}
					return c, nil
				}
			}
		}
	}
	part := ast.NewCheckedAST(ast.NewAST(n, tree.SourceInfo()), tree.TypeMap(), tree.ReferenceMap())
	p, err := env.PlanProgram(part, cel.EvalOptions(cel.OptOptimize))
	return script{p}, err
}

// joinOf makes an and or an or ready; one inside another of its kind is part of it.
func joinOf(env *cel.Env, tree *ast.AST, n ast.Expr, name string) (condition, error) {
	var list []condition
	var add func(n ast.Expr) error
	add = func(n ast.Expr) error {
		if n.Kind() == ast.CallKind && n.AsCall().FunctionName() == name {
			for _, a := range n.AsCall().Args() {
				if err := add(a); err != nil {
					return err
				}
			}
			return nil
		}
		c, err := conditionOf(env, tree, n)
		list = append(list, c)
		return err
	}
	err := add(n)
	if name == operators.LogicalAnd {
		return both(list), err
	}
	return either(list), err
}

// factOf reads a part that is a field of a variable, and of no thread or other value.
func factOf(tree *ast.AST, n ast.Expr) (f fact, ok bool) {
	if n.Kind() == ast.IdentKind {
		return fact{variable: n.AsIdent()}, false
	}
	if n.Kind() != ast.SelectKind || n.AsSelect().IsTestOnly() {
		return f, false
	}
	operand := n.AsSelect().Operand()
	d := describedBy(tree.GetType(operand.ID()))
	if f, ok = factOf(tree, operand); d == nil || !ok && operand.Kind() != ast.IdentKind {
		return f, false
	}
	i := slices.IndexFunc(d.fields, func(field schema.Field) bool { return field.Name == n.AsSelect().FieldName() })
	f.path = append(f.path, i)
	return f, i >= 0
}

// wordsOf reads a literal word, or a list of them; nil when it is neither.
func wordsOf(n ast.Expr, isList bool) []string {
	parts := []ast.Expr{n}
	if isList {
		if n.Kind() != ast.ListKind {
			return nil
		}
		parts = n.AsList().Elements()
	}
	var words []string
	for _, p := range parts {
		if p.Kind() != ast.LiteralKind {
			return nil
		}
		word, ok := p.AsLiteral().(types.String)
		if !ok {
			return nil
		}
		words = append(words, string(word))
	}
	return words
}
