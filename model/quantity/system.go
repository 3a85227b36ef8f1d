package quantity

import (
	"math"
	"strconv"
	"strings"
)

// System is the measures that a builder thinks in.
type System string

// The two systems. An empty one is Metric.
const (
	Metric System = "metric"
	Inch   System = "inch"
)

// inInch are the units of the one system for those of the other, as figures are
// computed in.
var inInch = map[string]string{"mm": "in", "cm": "in", "m": "ft", "kg": "lb", "t": "lb", "N": "lbf", "kN": "lbf", "N·m": "ft·lbf", "N·mm": "in·lbf", "MPa": "ksi", "GPa": "ksi", "N/mm": "lbf/in", "mm/m": "in/ft"}

// inMetric are the units of the one system for those of the other.
var inMetric = map[string]string{"in": "mm", "ft": "m", "lb": "kg", "lbf": "N", "ft·lbf": "N·m", "in·lbf": "N·m", "ksi": "MPa", "lbf/in": "N/mm", "in/ft": "mm/m"}

// powers are the signs behind a unit of length in an area, a section modulus and a second
// moment of area.
var powers = map[string]float64{"²": 2, "³": 3, "⁴": 4}

// Of converts a figure to the system. A unit that both use, such as a degree, stays.
func (s System) Of(value float64, unit string) (float64, string) {
	for sign, power := range powers {
		if base, is := strings.CutSuffix(unit, sign); is {
			one, other := s.Of(1, base)
			return value * math.Pow(one, power), other + sign
		}
	}
	other := inMetric[unit]
	if s == Inch {
		other = inInch[unit]
	}
	from, known := find(unit)
	to, _ := find(other)
	if other == "" || !known {
		return value, unit
	}
	return value * from.factor / to.factor, to.name
}

// In is a computed quantity in the units of the system.
func (s System) In(q Quantity) Quantity {
	from := named(q.Unit, q.Dim)
	_, unit := s.Of(q.Value/from.factor, from.name)
	return Of(q.Value, q.Dim, unit)
}

// Say prints a computed quantity for people, in the measures of the system and as exactly as
// anybody in a shop measures it: a tenth of a millimetre; a sixteenth of an inch from a foot
// on, hundredths below and thousandths below an inch; loads and masses whole from ten on.
func (s System) Say(q Quantity) string {
	v, unit := s.Of(q.Value/named(q.Unit, q.Dim).factor, named(q.Unit, q.Dim).name)
	size := math.Abs(v)
	switch {
	case unit == "in" && size >= foot:
		sixteenths := math.Round(v*16) / 16
		if text, ok := inchFraction(sixteenths); ok {
			return text + " in"
		}
		v = sixteenths
	case q.Dim == Length && unit != "mm":
		v = decimals(v, size, 1, 2, 3)
	case q.Dim == Mass, q.Dim == Force:
		v = decimals(v, size, 10, 0, 1)
	case q.Dim == Angle, unit == "mm":
		v = decimals(v, size, 1, 1, 2)
	case unit == "in/ft":
		v = decimals(v, size, 10, 1, 2)
	default:
		v = decimals(v, size, 100, 0, 1)
	}
	return Of(v*named(unit, q.Dim).factor, q.Dim, unit).String()
}

// Written prints a quantity as it is written, for a plate or a box has it so, and where that is
// in the other measures what it is in those of the system beside it.
func (s System) Written(q Quantity) string {
	if own := s.In(q); own.Unit != q.Unit {
		return q.String() + " (" + s.Say(own) + ")"
	}
	return q.String()
}

// Fixed prints a figure of a table with so many places, and its unit: in inches, which are
// larger, with two places more. It has no minus before a zero.
func (s System) Fixed(value float64, unit string, places int) (text, in string) {
	value, in = s.Of(value, unit)
	if in == "in" {
		places += 2
	}
	text = strconv.FormatFloat(value, 'f', places, 64)
	if strings.Trim(text, "-0.") == "" {
		text = strings.TrimPrefix(text, "-")
	}
	return text, in
}

// decimals rounds to so many decimals from a size on, and to others below it. What is
// something is never rounded to nothing.
func decimals(v, size, from float64, above, below int) float64 {
	n := above
	if size < from {
		n = below
	}
	scale := math.Pow(10, float64(n))
	if rounded := math.Round(v*scale) / scale; rounded != 0 {
		return rounded
	}
	return v
}
