// Package quantity holds measured values as a builder writes them: a number
// with its unit and its ±, a thread, a date.
//
// Values are kept in SI units (m, kg, N, N·m, Pa, rad, s) together with the unit
// they were written in, which they are printed in again. A bare number is
// refused wherever a unit is needed. NaN and infinite values do not exist here.
package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

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
	Load
)

var dimensionNames = []string{"plain number", "length", "mass", "force", "torque", "stress", "angle", "duration", "load"}

// String names the dimension, such as "torque".
func (d Dimension) String() string { return dimensionNames[d] }

// Units lists the units of a dimension, the most usual first.
func (d Dimension) Units() []string {
	var names []string
	for _, u := range units {
		if (u.dim == d || d == Load && (u.dim == Mass || u.dim == Force)) && u.name != "" {
			names = append(names, u.name)
		}
	}
	return names
}

// examples show how a quantity is written.
var examples = []string{"0.2", "12 mm or 1/2 in", "420 kg ± 15 kg", "780 N", "60 N·m or 45 ft·lbf", "355 MPa", "2 deg", "14 days", "2 t or 20 kN"}

// Quantity is a value in SI units with the half-width of its uncertainty and
// the unit it is printed in.
type Quantity struct {
	Value float64 // SI
	Tol   float64 // SI, not negative: the ± as written
	Dim   Dimension
	Unit  string // one of the units of Dim
}

// Of returns a computed quantity that is printed in that unit. The unit must be
// one of the dimension's.
func Of(value float64, dim Dimension, unit string) Quantity {
	return Quantity{Value: value, Dim: dim, Unit: unit}
}

// Limits of what is read: no text of a build file is longer, no value larger.
const (
	maxText  = 64
	maxValue = 1e15
)

// Parse reads a quantity that measures what is wanted, such as "95 N·m" or
// "420 kg ± 15 kg". The error says what is wrong and how to write it.
func Parse(text string, want Dimension) (Quantity, error) {
	var q Quantity
	if len(text) > maxText {
		return q, fmt.Errorf("too long for a %s, for example %s", want, examples[want])
	}
	clean := tidy(text)
	if clean == "" {
		return q, fmt.Errorf("empty; a %s is wanted, for example %s", want, examples[want])
	}
	main, tol, hasTol := strings.Cut(clean, "±")
	value, u, bare, err := one(main, want)
	if err != nil {
		return q, fmt.Errorf("%q: %w", text, err)
	}
	var spread float64
	if hasTol {
		spread, u, err = tolerance(tol, value, u, bare, want)
		if err != nil {
			return q, fmt.Errorf("%q: %w", text, err)
		}
	} else if bare && want != Number {
		return q, fmt.Errorf("%q has no unit; a %s is wanted, for example %s", text, want, examples[want])
	}
	q = Quantity{Value: value * u.factor, Tol: spread, Dim: u.dim, Unit: u.name}
	if want == Load && u.dim == Mass {
		q.Value, q.Tol, q.Dim = q.Value*Gravity, q.Tol*Gravity, Force
	}
	if math.Abs(q.Value) > maxValue || q.Tol > maxValue {
		return Quantity{}, fmt.Errorf("%q is too large", text)
	}
	return q, nil
}

// tolerance reads what follows the ±: '15 kg', '15' beside a unit, or '4 %'. In
// '420 ± 15 kg' the unit after it belongs to both.
func tolerance(text string, value float64, u unit, bare bool, want Dimension) (float64, unit, error) {
	tol, v, tolBare, err := one(text, want)
	if strings.HasSuffix(strings.TrimSpace(text), "%") && want != Number {
		share, _, _, err := one(text, Number)
		if err != nil {
			return 0, u, err
		}
		if bare {
			return 0, u, fmt.Errorf("no unit; a %s is wanted, for example %s", want, examples[want])
		}
		tol, v, tolBare = share*0.01*math.Abs(value), u, false
		err = nil
		if tol < 0 {
			return 0, u, fmt.Errorf("the ± is negative")
		}
		return tol * v.factor, u, err
	}
	switch {
	case err != nil:
		return 0, u, err
	case tol < 0:
		return 0, u, fmt.Errorf("the ± is negative")
	case bare && tolBare && want != Number:
		return 0, u, fmt.Errorf("no unit; a %s is wanted, for example %s", want, examples[want])
	case bare && !tolBare:
		u = v
	case tolBare && !bare:
		v = u
	}
	return tol * v.factor, u, nil
}

// one reads a number and a unit. bare says that there was no unit.
func one(text string, want Dimension) (value float64, u unit, bare bool, err error) {
	text = strings.TrimSpace(text)
	digits, rest := splitNumber(text)
	if digits == "" {
		return 0, u, false, fmt.Errorf("no number; a %s is wanted, for example %s", want, examples[want])
	}
	if value, err = number(digits); err != nil {
		return 0, u, false, err
	}
	if rest == "" {
		return value, unit{"", Number, 1}, true, nil
	}
	if hint, ok := ambiguous[strings.ToLower(rest)]; ok {
		return 0, u, false, fmt.Errorf("%q means different things to different people; %s", rest, hint)
	}
	u, ok := find(rest)
	if !ok {
		hint := "units of a " + want.String() + ": " + strings.Join(want.Units(), ", ")
		if near := source.Suggest(rest, want.Units()); near != "" {
			hint = fmt.Sprintf("did you mean %s? %s", near, hint)
		}
		return 0, u, false, fmt.Errorf("%q is no unit here; %s", rest, hint)
	}
	// A torque is also written with the mass units of the trade: ft·lb.
	if u.dim != want && !(want == Load && (u.dim == Mass || u.dim == Force)) {
		return 0, u, false, fmt.Errorf("that is a %s; a %s is wanted, for example %s", u.dim, want, examples[want])
	}
	return value, u, false, nil
}

// splitNumber cuts a text after its leading number, which may be a fraction or
// a whole number with a fraction.
func splitNumber(s string) (digits, rest string) {
	i := 0
	for i < len(s) {
		c := s[i]
		isExp := (c == 'e' || c == 'E') && i > 0 && isDigit(s[i-1]) && i+1 < len(s) && (isDigit(s[i+1]) || (s[i+1] == '-' || s[i+1] == '+') && i+2 < len(s) && isDigit(s[i+2]))
		isSign := (c == '-' || c == '+') && (i == 0 || s[i-1] == 'e' || s[i-1] == 'E' || i+1 < len(s) && isDigit(s[i+1]) && isDigit(s[i-1]))
		isSpace := c == ' ' && i+1 < len(s) && isDigit(s[i+1]) && strings.Contains(s[i:], "/") && isDigit(s[i-1])
		if !isDigit(c) && c != '.' && c != ',' && c != '/' && !isExp && !isSign && !isSpace {
			break
		}
		if c == '/' && (i+1 >= len(s) || !isDigit(s[i+1])) {
			break
		}
		i++
	}
	return s[:i], strings.TrimSpace(s[i:])
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// number reads 12, 1.5, 1e3, 5/32, 1 1/2 or 1-1/2.
func number(s string) (float64, error) {
	if strings.Contains(s, ",") {
		return 0, fmt.Errorf("%q has a comma; write a decimal point and no thousands sign, such as 1.5 or 1500", s)
	}
	whole, fraction := 0.0, s
	if i := strings.LastIndexAny(s, " -"); i > 0 && strings.Contains(s, "/") {
		w, err := strconv.ParseUint(strings.TrimSpace(s[:i]), 10, 32)
		if err != nil {
			return 0, fmt.Errorf("%q is no number; a fraction is written 5/32 or 1 1/2", s)
		}
		whole, fraction = float64(w), s[i+1:]
	}
	if over, under, ok := strings.Cut(fraction, "/"); ok {
		a, errA := strconv.ParseFloat(over, 64)
		b, errB := strconv.ParseFloat(under, 64)
		switch {
		case errA != nil || errB != nil:
			return 0, fmt.Errorf("%q is no fraction; write it as 5/32", s)
		case b == 0:
			return 0, fmt.Errorf("%q has zero below the line", s)
		}
		return finite(whole+a/b, s)
	}
	v, err := strconv.ParseFloat(fraction, 64)
	if err != nil && !math.IsInf(v, 0) {
		return 0, fmt.Errorf("%q is no number", s)
	}
	return finite(v, s)
}

func finite(v float64, s string) (float64, error) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%q is too large", s)
	}
	return v, nil
}

// tidy brings the many ways of typing a quantity to one: plain spaces, ASCII
// minus, one sign for ±.
func tidy(s string) string {
	if !utf8.ValidString(s) {
		return ""
	}
	s = strings.Map(func(r rune) rune {
		switch {
		case r == '−' || r == '–':
			return '-'
		case unicode.IsSpace(r) || r == '\u2009' || r == '\u202f' || r == '\u00a0':
			return ' '
		}
		return r
	}, s)
	s = strings.ReplaceAll(s, "+/-", "±")
	return strings.Join(strings.Fields(s), " ")
}

// String prints the quantity in the unit it was written in, such as "95 N·m",
// "420 kg ± 15 kg" or "5/32 in".
func (q Quantity) String() string {
	text := q.print(q.Value)
	if q.Tol > 0 {
		text += " ± " + q.print(q.Tol)
	}
	return text
}

func (q Quantity) print(si float64) string {
	v := si / q.size()
	text := Format(v)
	if q.Unit == "in" {
		if f, ok := inchFraction(v); ok {
			text = f
		}
	}
	switch q.Unit {
	case "":
		return text
	case "°":
		return text + "°"
	}
	return text + " " + q.Unit
}

// inchFraction writes a length in inches as a workshop fraction when it is one
// of at most sixty-fourths and below twelve inches.
func inchFraction(v float64) (string, bool) {
	n := math.Round(v * 64)
	if math.Abs(v*64-n) > 1e-9 || v <= 0 || v > 12 || math.Mod(n, 64) == 0 {
		return "", false
	}
	over, under := int(n), 64
	for over%2 == 0 {
		over, under = over/2, under/2
	}
	if over > under {
		return fmt.Sprintf("%d %d/%d", over/under, over%under, under), true
	}
	return fmt.Sprintf("%d/%d", over, under), true
}

// size is the size of the quantity's unit in SI. A force may be printed in a
// unit of mass: the weight of that mass.
func (q Quantity) size() float64 {
	for _, u := range units {
		if u.name == q.Unit {
			if q.Dim == Force && u.dim == Mass {
				return u.factor * Gravity
			}
			return u.factor
		}
	}
	return 1
}

// In returns the value in another unit of its dimension.
func (q Quantity) In(name string) (float64, error) {
	u, ok := find(name)
	if !ok || u.dim != q.Dim && !(q.Dim == Force && u.dim == Mass) {
		return 0, fmt.Errorf("a %s is not measured in %q; its units: %s", q.Dim, name, strings.Join(q.Dim.Units(), ", "))
	}
	q.Unit = u.name
	return q.Value / q.size(), nil
}

// Format prints a number for people: four significant digits, no exponent
// between 0.0001 and ten million, no trailing zeros, no minus before zero.
// Whole numbers below ten million are printed whole.
func Format(v float64) string {
	if v == 0 {
		return "0"
	}
	if a := math.Abs(v); a < 1e-4 || a >= 1e7 {
		return strconv.FormatFloat(v, 'g', 4, 64)
	}
	if v == math.Trunc(v) {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	decimals := 3 - int(math.Floor(math.Log10(math.Abs(v))))
	text := strconv.FormatFloat(v, 'f', max(0, decimals), 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}
