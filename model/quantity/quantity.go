// Package quantity holds measured values as a builder writes them: a number
// with its unit and its ±, a thread, a date.
//
// Values are kept in SI units (m, kg, N, N·m, Pa, rad, s) together with the unit
// they were written in, which they are printed in again. A bare number is
// refused wherever a unit is needed. NaN, infinite and absurdly large or small
// values are refused on entry, and a computed one prints as "not computed".
//
// The package does no arithmetic and knows no field of the build file: whether a
// mass may be zero or a length negative is the reader's business.
package quantity

import (
	"fmt"
	"math"
	"strings"

	"setdown/model/source"
)

// Dimension is what a quantity measures.
type Dimension uint8

// The dimensions. Load is only ever wanted, never had: a rating may be written
// as a mass, which stands for its weight, or as a force, and is a Force then.
const (
	Number Dimension = iota
	Length
	Mass
	Force
	Torque
	Stress
	Angle
	Duration
	Rate // of a spring: force for each length
	Load
)

var dimensionNames = []string{"plain number", "length", "mass", "force", "torque", "stress", "angle", "duration", "rate", "load"}

// String names the dimension, such as "torque".
func (d Dimension) String() string { return dimensionNames[d] }

// Units lists the units of a dimension as they are printed, the most usual first.
func (d Dimension) Units() []string {
	var names []string
	for _, u := range units {
		if u.fits(d) && u.name != "" {
			names = append(names, u.name)
		}
	}
	return names
}

func (u unit) fits(d Dimension) bool {
	return u.dim == d || d == Load && (u.dim == Mass || u.dim == Force)
}

// Quantity is a value in SI units with the half-width of its uncertainty and
// the unit it is printed in.
type Quantity struct {
	Value float64 // SI
	Tol   float64 // SI, not negative: the ± as written
	Dim   Dimension
	Unit  string // one of the units of Dim; for a force also one of mass

	// extra is how many digits more than a computed number it is printed with,
	// so that what was written is printed again and not a rounding of it.
	extra uint8
}

// Of returns a computed quantity that is printed in that unit, rounded as Format
// does. A unit of another dimension is replaced by the SI unit.
func Of(value float64, dim Dimension, unit string) Quantity {
	return Quantity{Value: value, Dim: dim, Unit: named(unit, dim).name}
}

// String prints the quantity in the unit it was written in, such as "95 N·m",
// "420 kg ± 15 kg" or "5/32 in". Parse reads it again as the same quantity.
func (q Quantity) String() string {
	text := q.print(q.Value)
	if q.Tol != 0 {
		text += " ± " + q.print(q.Tol)
	}
	return text
}

func (q Quantity) print(si float64) string {
	u := named(q.Unit, q.Dim)
	v := si / u.factor
	text := format(v, digits+int(q.extra))
	if fraction, ok := inchFraction(v); ok && u.name == "in" && v <= foot {
		text = fraction
	}
	switch {
	case text == notComputed || u.name == "":
		return text
	case u.name == "°":
		return text + "°"
	case v == 1 && (u.name == "days" || u.name == "weeks"):
		return text + " " + strings.TrimSuffix(u.name, "s")
	}
	return text + " " + u.name
}

// maxDigits is how many significant digits are kept of what was written.
const maxDigits = 12

// written returns the quantity with as many digits as it takes to print what was
// written: four for 95 N·m, five for 2410.5 mm.
func (q Quantity) written() Quantity {
	for digits+q.extra < maxDigits && !q.Exact() {
		q.extra++
	}
	return q
}

// Exact reports whether String says all of the quantity, to the last digit that
// anybody wrote.
func (q Quantity) Exact() bool {
	// Below the last digit kept, so that printing what was printed and read again
	// changes nothing; above the rounding of a change of units.
	const same = 1e-13
	size := named(q.Unit, q.Dim).factor
	for _, si := range []float64{q.Value, q.Tol} {
		v := si / size
		printed, err := decimal(format(v, digits+int(q.extra)))
		if err != nil || math.Abs(printed-v) > same*math.Abs(v) {
			return false
		}
	}
	return true
}

// In returns the value in another unit of its dimension, of a force also in a
// unit of mass: the mass with that weight at standard gravity. Any spelling that
// Parse reads will do.
func (q Quantity) In(name string) (float64, error) {
	u, ok := find(name)
	if ok && (u.dim == q.Dim || q.Dim == Force && u.dim == Mass) {
		return q.Value / named(u.name, q.Dim).factor, nil
	}
	if name == "" && q.Dim == Number {
		return q.Value, nil
	}
	return 0, fmt.Errorf("%s cannot be in %q; write %s", a(q.Dim.String()), name, source.Either(q.Dim.Units()))
}

// a puts the article before a word.
func a(word string) string {
	if strings.ContainsRune("aeiou", rune(word[0])) {
		return "an " + word
	}
	return "a " + word
}
