package engine

import (
	"slices"

	"github.com/google/cel-go/common/ast"
	"github.com/google/cel-go/common/operators"
	"github.com/google/cel-go/common/types"
	"github.com/google/cel-go/common/types/ref"
	"github.com/google/cel-go/interpreter"

	"setdown/model/schema"
)

// slot reads one fact. It stands in a program in place of the interpreter's own
// chain of names, which is looked up name by name at each evaluation: rules read
// facts more often than they do anything else.
type slot struct {
	id   int64
	of   func(*roots) *object // nil: the item that the rule is asked of
	path []int                // among the fields that rules read
	name string               // of the fact
}

func (s *slot) ID() int64 { return s.id }

// Eval reads the fact.
func (s *slot) Eval(vars interpreter.Activation) ref.Val { return s.Exec(interpreter.AsFrame(vars)) }

// Exec reads the fact for one evaluation.
func (s *slot) Exec(f *interpreter.ExecutionFrame) ref.Val {
	r := f.Activation.(*roots)
	o := r.item
	if s.of != nil {
		o = s.of(r)
	}
	for _, i := range s.path[:len(s.path)-1] {
		v := o.field(i)
		block, ok := v.(*object)
		if !ok {
			return v
		}
		o = block
	}
	v := o.field(s.path[len(s.path)-1])
	if failed, ok := v.(*types.Err); ok {
		// The object keeps its value for other rules, and the interpreter writes
		// into an error where it came up.
		return types.LabelErrNode(s.id, types.WrapErr(failed))
	}
	return v
}

// slots puts slots in the place of the facts that a checked expression reads, but
// for those of which it reads a part: the interpreter takes that from a chain of
// its own alone.
func slots(tree *ast.AST) interpreter.InterpretableDecoratorV2 {
	all, parts := map[int64]*slot{}, map[int64]bool{}
	ast.PreOrderVisit(tree.Expr(), ast.NewExprVisitor(func(n ast.Expr) {
		if s, ok := slotOf(tree, n); ok && !parts[n.ID()] {
			all[n.ID()] = s
		}
		switch {
		case n.Kind() == ast.SelectKind:
			parts[n.AsSelect().Operand().ID()] = true
		case n.Kind() == ast.CallKind && n.AsCall().FunctionName() == operators.Index:
			parts[n.AsCall().Args()[0].ID()] = true
		}
	}))
	return func(i interpreter.InterpretableV2) (interpreter.InterpretableV2, error) {
		if s := all[i.ID()]; s != nil {
			return s, nil
		}
		return i, nil
	}
}

// slotOf reads a part of an expression that is a field of a variable, and of no
// thread or other value.
func slotOf(tree *ast.AST, n ast.Expr) (*slot, bool) {
	if n.Kind() == ast.IdentKind {
		return &slot{of: sharedOf[n.AsIdent()]}, false
	}
	if n.Kind() != ast.SelectKind {
		return nil, false
	}
	operand := n.AsSelect().Operand()
	d := describedBy(tree.GetType(operand.ID()))
	s, ok := slotOf(tree, operand)
	if d == nil || !ok && operand.Kind() != ast.IdentKind {
		return nil, false
	}
	i := slices.IndexFunc(d.fields, func(f schema.Field) bool { return f.Name == n.AsSelect().FieldName() })
	s.id, s.path, s.name = n.ID(), append(s.path, i), n.AsSelect().FieldName()
	return s, i >= 0
}

// reads lists the facts that stand in a checked expression.
func reads(tree *ast.AST) []*slot {
	var list []*slot
	ast.PreOrderVisit(tree.Expr(), ast.NewExprVisitor(func(n ast.Expr) {
		if s, ok := slotOf(tree, n); ok {
			list = append(list, s)
		}
	}))
	return list
}

// chooses reports whether a condition has alternatives.
func chooses(tree *ast.AST) bool {
	found := false
	ast.PreOrderVisit(tree.Expr(), ast.NewExprVisitor(func(n ast.Expr) {
		found = found || called(n, operators.LogicalOr) != nil
	}))
	return found
}

// names reports whether a variable stands in a checked expression.
func names(tree *ast.AST, variable string) bool {
	found := false
	ast.PreOrderVisit(tree.Expr(), ast.NewExprVisitor(func(n ast.Expr) {
		found = found || n.Kind() == ast.IdentKind && n.AsIdent() == variable
	}))
	return found
}
