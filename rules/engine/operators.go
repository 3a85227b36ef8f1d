package engine

import (
	"fmt"
	"math"

	"github.com/google/cel-go/cel"
	"github.com/google/cel-go/common/decls"
	"github.com/google/cel-go/common/functions"
	"github.com/google/cel-go/common/operators"
	"github.com/google/cel-go/common/types"
	"github.com/google/cel-go/common/types/ref"

	"setdown/model/quantity"
)

// literals are the functions that write a quantity in an expression, with the
// unit each stands for.
var literals = []struct {
	name, unit string
	dim        quantity.Dimension
}{
	{"mm", "mm", quantity.Length},
	{"kg", "kg", quantity.Mass},
	{"newton", "N", quantity.Force},
	{"newton_metre", "N·m", quantity.Torque},
	{"mpa", "MPa", quantity.Stress},
	{"degrees", "°", quantity.Angle},
	{"days", "days", quantity.Duration},
}

// unitSize is the size in SI of a unit that literals are written in.
func unitSize(unit string, dim quantity.Dimension) float64 {
	q, err := quantity.Parse("1 "+unit, dim)
	if err != nil {
		panic(fmt.Sprintf("engine: unit %q: %v", unit, err)) // a slip in the table above
	}
	return q.Value
}

// overloads collects the forms of one operator or function.
type overloads struct {
	name string
	opts []cel.FunctionOpt
}

func (o *overloads) add(result *cel.Type, binding any, args ...*cel.Type) {
	id := o.name
	for _, a := range args {
		id += "_" + a.TypeName()
	}
	var bound cel.OverloadOpt
	switch f := binding.(type) {
	case functions.UnaryOp:
		bound = cel.UnaryBinding(f)
	case functions.BinaryOp:
		bound = cel.BinaryBinding(f)
	}
	o.opts = append(o.opts, cel.Overload(id, args, result, bound))
}

// numbers adds one form for every pair of plain numbers.
func (o *overloads) numbers(result func(a, b *cel.Type) *cel.Type, f functions.BinaryOp) {
	for _, a := range []*cel.Type{types.DoubleType, types.IntType} {
		for _, b := range []*cel.Type{types.DoubleType, types.IntType} {
			o.add(result(a, b), f, a, b)
		}
	}
}

// operatorsOf declares the arithmetic of numbers and quantities.
func operatorsOf() []cel.EnvOption {
	var all []*overloads
	op := func(name string) *overloads {
		o := &overloads{name: name}
		all = append(all, o)
		return o
	}
	always := func(t *cel.Type) func(a, b *cel.Type) *cel.Type {
		return func(_, _ *cel.Type) *cel.Type { return t }
	}
	wider := func(a, b *cel.Type) *cel.Type {
		if a == types.IntType && b == types.IntType {
			return types.IntType
		}
		return types.DoubleType
	}
	for name, f := range comparisons {
		o := op(name)
		o.numbers(always(types.BoolType), f)
		for _, d := range dimensions {
			o.add(types.BoolType, f, typeOf[d], typeOf[d])
		}
		o.add(types.BoolType, f, dateType, dateType)
	}
	add, subtract, negate := op(operators.Add), op(operators.Subtract), op(operators.Negate)
	multiply, divide := op(operators.Multiply), op(operators.Divide)
	least, most, size := op("min"), op("max"), op("abs")
	sum := arithmetic(func(a, b float64) float64 { return a + b }, false)
	difference := arithmetic(func(a, b float64) float64 { return a - b }, false)
	product := arithmetic(func(a, b float64) float64 { return a * b }, false)
	quotient := arithmetic(func(a, b float64) float64 { return a / b }, true)
	lesser, greater := arithmetic(math.Min, false), arithmetic(math.Max, false)
	opposite := single(func(v float64) float64 { return -v })
	absolute := single(math.Abs)
	add.numbers(wider, sum)
	subtract.numbers(wider, difference)
	multiply.numbers(wider, product)
	// Three of four bolts are 0.75 of them, not none.
	divide.numbers(always(types.DoubleType), quotient)
	least.numbers(wider, lesser)
	most.numbers(wider, greater)
	for _, n := range []*cel.Type{types.DoubleType, types.IntType} {
		negate.add(n, opposite, n)
		size.add(n, absolute, n)
	}
	for _, d := range dimensions {
		t := typeOf[d]
		add.add(t, sum, t, t)
		subtract.add(t, difference, t, t)
		divide.add(types.DoubleType, quotient, t, t)
		least.add(t, lesser, t, t)
		most.add(t, greater, t, t)
		negate.add(t, opposite, t)
		size.add(t, absolute, t)
		for _, n := range []*cel.Type{types.DoubleType, types.IntType} {
			multiply.add(t, product, n, t)
			multiply.add(t, product, t, n)
			divide.add(t, quotient, t, n)
		}
	}
	subtract.add(typeOf[quantity.Duration], functions.BinaryOp(between), dateType, dateType)
	for _, l := range literals {
		o := op(l.name)
		unit := unitSize(l.unit, l.dim)
		write := functions.UnaryOp(func(v ref.Val) ref.Val { return &amount{q: quantity.Of(plain(v)*unit, l.dim, l.unit)} })
		o.add(typeOf[l.dim], write, types.DoubleType)
		o.add(typeOf[l.dim], write, types.IntType)
	}
	options := make([]cel.EnvOption, len(all), len(all)+1)
	for i, o := range all {
		// Expressions are checked and facts hold what their fields say, so the
		// operators need not look at their operands' types again.
		options[i] = cel.Function(o.name, append(o.opts, decls.DisableTypeGuards(true))...)
	}
	return append(options, cel.Function(stated, cel.Overload("stated_bool", []*cel.Type{cel.BoolType}, cel.BoolType,
		cel.OverloadIsNonStrict(), cel.UnaryBinding(func(v ref.Val) ref.Val {
			if types.IsUnknown(v) {
				return types.False
			}
			return v
		}))))
}

// stated is the one function that lets silence pass: it is true where a fact is
// recorded and true, and false where nobody wrote it. It takes events alone, which are
// written down when they happen.
const stated = "stated"

// comparisons are the operators that put two numbers, quantities or dates in order.
var comparisons = map[string]functions.BinaryOp{
	operators.Less:          compare(func(c int) bool { return c < 0 }),
	operators.LessEquals:    compare(func(c int) bool { return c <= 0 }),
	operators.Greater:       compare(func(c int) bool { return c > 0 }),
	operators.GreaterEquals: compare(func(c int) bool { return c >= 0 }),
}

func compare(holds func(int) bool) functions.BinaryOp {
	return func(a, b ref.Val) ref.Val {
		if d, ok := a.(day); ok {
			return types.Bool(holds(d.d.Compare(b.(day).d)))
		}
		return types.Bool(holds(order(plain(a), plain(b))))
	}
}

// between is the time from one date to another.
func between(a, b ref.Val) ref.Val {
	days := b.(day).d.DaysUntil(a.(day).d)
	return &amount{q: quantity.Of(float64(days)*unitSize("days", quantity.Duration), quantity.Duration, "days")}
}

// arithmetic makes an operator of numbers and quantities. The result has the
// unit of the operand that has one; two operands of one dimension whose
// quotient is asked for give a plain number. The ± of a quantity is not carried
// on: facts that must hold over it are derived with it.
func arithmetic(f func(a, b float64) float64, isQuotient bool) functions.BinaryOp {
	return func(a, b ref.Val) ref.Val {
		result := f(plain(a), plain(b))
		unit, isAmount := a.(*amount)
		if other, ok := b.(*amount); ok {
			if isAmount && isQuotient {
				return number(result)
			}
			if !isAmount {
				unit, isAmount = other, true
			}
		}
		switch {
		case math.IsNaN(result) || math.IsInf(result, 0):
			return types.NewErr("the result is no finite number, as when something is divided by zero")
		case isAmount:
			return &amount{q: quantity.Of(result, unit.q.Dim, unit.q.Unit)}
		}
		_, whole := a.(types.Int)
		if _, ok := b.(types.Int); ok && whole && !isQuotient {
			return whole64(result)
		}
		return types.Double(result)
	}
}

func single(f func(float64) float64) functions.UnaryOp {
	return func(v ref.Val) ref.Val {
		switch v := v.(type) {
		case *amount:
			return &amount{q: quantity.Of(f(v.q.Value), v.q.Dim, v.q.Unit)}
		case types.Int:
			return whole64(f(float64(v)))
		}
		return number(f(plain(v)))
	}
}

// whole64 is a whole number, or an error where a double no longer holds one
// exactly.
func whole64(f float64) ref.Val {
	const exact = 1 << 53
	if f > exact || f < -exact {
		return types.NewErr("the result is too large")
	}
	return types.Int(int64(f))
}
