package facts

import (
	"setdown/model/quantity"
	"setdown/model/schema"
)

func computes[T any](name string, t schema.Type, doc string, f func(item) T) fact {
	return fact{Field: schema.Field{Name: name, Type: t, Derived: true, Doc: doc}, compute: func(o *Object) *result { return compute(o, func(it item) any { return f(it) }) }}
}

func yesNo(name, doc string, f func(item) bool) fact  { return computes(name, schema.Bool, doc, f) }
func count(name, doc string, f func(item) int64) fact { return computes(name, schema.Count, doc, f) }
func text(name, doc string, f func(item) string) fact { return computes(name, schema.Text, doc, f) }
func word(name string, words []string, doc string, f func(item) string) fact {
	e := computes(name, schema.Enum, doc, f)
	e.Enum = words
	return e
}

// units are those in which computed quantities are shown.
var units = map[quantity.Dimension]string{
	quantity.Length: "mm", quantity.Force: "N", quantity.Torque: "N·m", quantity.Angle: "°", quantity.Number: "", quantity.Mass: "kg", quantity.Stress: "MPa", quantity.Duration: "days", quantity.Rate: "N/mm",
}

// measured is a quantity whose function returns it in SI units.
func measured(name string, dim quantity.Dimension, doc string, f func(item) float64) fact {
	return quoted(name, dim, doc, func(it item) quantity.Quantity { return quantity.Of(f(it), dim, units[dim]) })
}

// quoted is a quantity whose function returns it as somebody wrote it.
func quoted(name string, dim quantity.Dimension, doc string, f func(item) quantity.Quantity) fact {
	e := computes(name, schema.Quantity, doc, f)
	e.Dim, e.Signed = dim, true
	return e
}

// fixed marks facts that are the same in every step. Their functions ask for no step.
func fixed(facts ...fact) []fact {
	for i := range facts {
		facts[i].fixed = true
	}
	return facts
}

// working is what several facts are computed from. Rules do not see it.
func working[T any](f field[T], compute func(item) T) fact {
	e := computes(paths[f], 0, "", compute)
	e.hidden = true
	return e
}
