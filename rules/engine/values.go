package engine

import (
	"fmt"
	"math"
	"reflect"
	"strings"

	"github.com/google/cel-go/common/types"
	"github.com/google/cel-go/common/types/ref"

	"setdown/model/quantity"
	"setdown/model/schema"
)

// The types of the expression language that are not its own. A quantity's type
// is named like its dimension, so that messages read well.
var (
	dimensions = []quantity.Dimension{quantity.Length, quantity.Mass, quantity.Force, quantity.Torque, quantity.Stress, quantity.Angle, quantity.Duration, quantity.Rate}
	typeOf     = func() (all [quantity.Load + 1]*types.Type) {
		all[quantity.Number] = types.DoubleType
		for _, d := range dimensions {
			all[d] = types.NewObjectType(d.String())
		}
		all[quantity.Load] = all[quantity.Force]
		return all
	}()
	dateType   = types.NewObjectType("date")
	threadType = types.NewObjectType("thread")
)

// opaque is what all of our values have in common: they turn into nothing else.
type opaque struct{}

func (opaque) ConvertToNative(t reflect.Type) (any, error) {
	return nil, fmt.Errorf("a value of a rule does not become a %s", t)
}

func (opaque) ConvertToType(t ref.Type) ref.Val {
	return types.NewErr("a value does not become a %s", t.TypeName())
}

// amount is a quantity with a dimension.
type amount struct {
	opaque
	q       quantity.Quantity
	written bool // in the build file or the policy, so that it is printed as it was written
}

func (a *amount) Type() ref.Type { return typeOf[a.q.Dim] }

func (a *amount) Value() any { return a }

func (a *amount) Equal(other ref.Val) ref.Val {
	b, ok := other.(*amount)
	return types.Bool(ok && a.q.Dim == b.q.Dim && order(a.q.Value, b.q.Value) == 0)
}

// day is a date.
type day struct {
	opaque
	d quantity.Date
}

func (d day) Type() ref.Type { return dateType }

func (d day) Value() any { return d }

func (d day) Equal(other ref.Val) ref.Val {
	o, ok := other.(day)
	return types.Bool(ok && d.d == o.d)
}

// screw is a thread. Two are equal when a nut of one belongs on a bolt of the
// other, however they are written.
type screw struct {
	opaque
	t quantity.Thread
}

func (s *screw) Type() ref.Type { return threadType }

func (s *screw) Value() any { return s }

func (s *screw) Equal(other ref.Val) ref.Val {
	o, ok := other.(*screw)
	return types.Bool(ok && s.t.Mates(o.t))
}

// same is how far two values may differ, as a share of the larger, and still
// count as equal: far above the noise of arithmetic, so that 0.9 of 95 N·m is
// 85.5 N·m, and far below what anybody measures.
const same = 1e-9

// order compares two numbers as a person does: those that differ by arithmetic
// noise are equal.
func order(a, b float64) int {
	switch {
	case math.Abs(a-b) <= same*max(math.Abs(a), math.Abs(b)):
		return 0
	case a < b:
		return -1
	}
	return 1
}

// value makes a value of the expression language of a known fact. A fact that
// does not hold what its field says is an error: the operators trust their types.
func value(v any, f *schema.Field) ref.Val {
	switch v := v.(type) {
	case bool:
		if f.Type == schema.Bool {
			return types.Bool(v)
		}
	case int64:
		if f.Type == schema.Count {
			return types.Int(v)
		}
	case string:
		if f.Type == schema.Text || f.Type == schema.Enum || f.Type == schema.Ref {
			return types.String(v)
		}
	case quantity.Quantity:
		if f.Type != schema.Quantity || typeOf[v.Dim] != typeOf[f.Dim] {
			break
		}
		if v.Dim == quantity.Number || math.IsNaN(v.Value) || math.IsInf(v.Value, 0) {
			return number(v.Value)
		}
		return &amount{q: v, written: !f.Derived}
	case quantity.Thread:
		if f.Type == schema.Thread {
			return &screw{t: v}
		}
	case quantity.Date:
		if f.Type == schema.Date {
			return day{d: v}
		}
	case []any:
		if f.Type != schema.List {
			break
		}
		list := make([]ref.Val, len(v))
		for i, e := range v {
			list[i] = value(e, f.Elem)
			if types.IsError(list[i]) {
				return list[i]
			}
		}
		return types.NewRefValList(types.DefaultTypeAdapter, list)
	}
	return types.NewErr("%q holds what it cannot hold: %v", f.Name, v)
}

// number is a plain number, or an error when it is none: a comparison with it
// would be false, and its opposite true.
func number(f float64) ref.Val {
	if math.IsNaN(f) || math.IsInf(f, 0) {
		return types.NewErr("the result is no finite number")
	}
	return types.Double(f)
}

// plain is the size of a number or quantity.
func plain(v ref.Val) float64 {
	switch v := v.(type) {
	case types.Double:
		return float64(v)
	case types.Int:
		return float64(v)
	case *amount:
		return v.q.Value
	}
	return math.NaN()
}

// show prints a value as people write it.
func show(v ref.Val) string {
	switch v := v.(type) {
	case types.Bool:
		if v {
			return "yes"
		}
		return "no"
	case types.Double:
		return quantity.Format(float64(v))
	case types.Int:
		return quantity.Format(float64(v))
	case types.String:
		return string(v)
	case *amount:
		return v.q.String()
	case *screw:
		return v.t.String()
	case day:
		return v.d.String()
	case *object:
		return v.facts.Path
	case *types.Unknown:
		return notRecorded
	case *types.Err:
		return notComputed
	}
	if list, ok := v.(interface{ Size() ref.Val }); ok {
		n, _ := list.Size().(types.Int)
		parts := make([]string, n)
		for i := range parts {
			parts[i] = show(v.(interface{ Get(ref.Val) ref.Val }).Get(types.Int(i)))
		}
		return strings.Join(parts, ", ")
	}
	return fmt.Sprint(v.Value())
}

// What stands for a value that is not known.
const (
	notRecorded = "not recorded"
	notComputed = "not computed"
)

func millimetres(metres float64) ref.Val {
	return &amount{q: quantity.Of(metres, quantity.Length, "mm")}
}
