package quantity

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"setdown/model/source"
)

// Limits of what is read. No text of a build file is longer; beyond these
// values, in SI units, there is nothing in a workshop, and a slip of the keyboard.
const (
	maxText  = 64
	maxValue = 1e15
	minValue = 1e-15
)

// examples show how a quantity of each dimension is written.
var examples = []string{"0.2", "12 mm or 1/2 in", "420 kg ± 15 kg", "780 N or 175 lbf", "60 N·m or 45 ft·lbf", "355 MPa", "2 deg", "14 days", "30 N/mm or 170 lbf/in", "2 t or 20 kN"}

// Parse reads a quantity that measures what is wanted, such as "95 N·m",
// "5/32 in" or "420 kg ± 15 kg". A ± may have its own unit, share the unit of the
// value, or be a share of it: "420 kg ± 4 %". A plain number may be a share or a
// slope, "5 %" or "20 mm/m"; the ± of a share is in points.
//
// A wanted Load may be written as a mass and is then its weight at standard
// gravity. The error says what is wrong and how to write it.
func Parse(text string, want Dimension) (Quantity, error) {
	clean, err := tidy(text, want.String(), examples[want])
	if err != nil {
		return Quantity{}, err
	}
	q, err := parse(clean, want)
	if err != nil {
		return Quantity{}, fmt.Errorf("%q %w", clean, err)
	}
	return q.written(), nil
}

// term is a number and its unit; a nil unit was not written.
type term struct {
	value float64
	unit  *unit
}

// si is the term in SI units, as what is wanted: a mass wanted as a load is its
// weight.
func (t term) si(u *unit, want Dimension) float64 {
	if want == Load && u.dim == Mass {
		return t.value * u.factor * Gravity
	}
	return t.value * u.factor
}

func parse(text string, want Dimension) (Quantity, error) {
	first, second, hasTol := strings.Cut(text, "±")
	if strings.Contains(second, "±") {
		return Quantity{}, fmt.Errorf("has more than one ±")
	}
	value, err := read(first, want)
	if err != nil {
		return Quantity{}, err
	}
	var tol term
	if hasTol {
		if tol, err = read(second, want); err != nil {
			return Quantity{}, fmt.Errorf("%w (this is about what follows the ±)", err)
		}
		if tol.value < 0 {
			return Quantity{}, fmt.Errorf("has a ± below zero; a ± is written without a sign")
		}
	}
	isShare := tol.unit != nil && tol.unit.name == "%"
	u := value.unit
	switch {
	case u == nil && tol.unit != nil && (isShare || want == Number):
		// 0.2 ± 10 % may be 0.2 ± 0.02 or 0.2 % ± 10 %.
		return Quantity{}, fmt.Errorf("can be read in two ways; write the unit on both sides of the ±")
	case u == nil && tol.unit != nil:
		u = tol.unit // 420 ± 15 kg
	case u == nil && want == Number:
		one := named("", Number)
		u = &one
	case u == nil:
		return Quantity{}, fmt.Errorf("has no unit; write %s in %s, for example %s", a(want.String()), source.Either(want.Units()), examples[want])
	}
	isShare = isShare && u.name != "%"
	for _, part := range []*unit{u, tol.unit} {
		if part == nil || part.fits(want) || isShare && part == tol.unit {
			continue
		}
		return Quantity{}, fmt.Errorf("is %s; it must be %s, for example %s", a(part.dim.String()), a(want.String()), examples[want])
	}

	q := Quantity{Value: value.si(u, want), Dim: u.dim, Unit: u.name}
	if want == Load {
		q.Dim = Force
	}
	switch {
	case !hasTol:
	case isShare:
		q.Tol = tol.value * tol.unit.factor * math.Abs(q.Value)
	case tol.unit == nil:
		q.Tol = tol.si(u, want)
	default:
		q.Tol = tol.si(tol.unit, want)
	}
	for _, v := range []float64{math.Abs(q.Value), q.Tol} {
		switch {
		case v > maxValue:
			return Quantity{}, fmt.Errorf("is too large; check the unit")
		case v != 0 && v < minValue:
			return Quantity{}, fmt.Errorf("is too small; check the unit")
		}
	}
	return q, nil
}

// numberStart matches the number that a text begins with: a fraction with or
// without a whole number before it, or a decimal number.
var numberStart = regexp.MustCompile(`^[+-]? ?(?:(?:\d+[ -])?\d+/\d+|(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)`)

// read reads a number and a unit. Its errors go on from the text they are about:
// "has …", "is …".
func read(text string, want Dimension) (term, error) {
	text = strings.TrimSpace(text)
	number := numberStart.FindString(text)
	rest := strings.TrimSpace(text[len(number):])
	switch {
	case text == "":
		return term{}, fmt.Errorf("has no number")
	case strings.HasPrefix(rest, ",") && len(rest) > 1 && isDigit(rest[1]):
		return term{}, fmt.Errorf("has a comma; write 1.5 or 1500, with a point for decimals and nothing for thousands")
	case number == "":
		return term{}, fmt.Errorf("does not begin with a number")
	case rest != "" && (isDigit(rest[0]) || strings.ContainsAny(rest[:1], "./")):
		return term{}, fmt.Errorf("has more than one number; write 1500 without a space, a fraction as 5/32 or 1 1/2")
	}
	value, err := decimal(number)
	if err != nil || rest == "" {
		return term{value: value}, err
	}
	if way, ok := ambiguous[strings.ToLower(simplify(rest))]; ok {
		return term{}, fmt.Errorf("has the unit %q, which means different things to different people; %s", rest, way)
	}
	u, ok := find(rest)
	if !ok {
		return term{}, unknownUnit(rest, want)
	}
	return term{value, &u}, nil
}

func unknownUnit(text string, want Dimension) error {
	var known []string
	for _, u := range units {
		if u.fits(want) {
			known = append(known, u.spellings()...)
		}
	}
	hint := fmt.Sprintf("%s is written in %s", a(want.String()), source.Either(want.Units()))
	if u, ok := find(source.Suggest(text, known)); ok {
		hint = fmt.Sprintf("did you mean %s?", u.name)
	}
	return fmt.Errorf("has an unknown unit, %q; %s", text, hint)
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// decimal reads what numberStart matches: 12, -1.5, 1e3, 5/32, 1 1/2 or 1-1/2.
func decimal(text string) (float64, error) {
	unsigned := strings.TrimLeft(text, "+- ")
	sign := 1.0
	if strings.HasPrefix(text, "-") {
		sign = -1
	}
	over, under, isFraction := strings.Cut(unsigned, "/")
	if !isFraction {
		v, err := strconv.ParseFloat(unsigned, 64)
		mantissa, _, _ := strings.Cut(strings.ToLower(unsigned), "e")
		switch {
		case math.IsInf(v, 0):
			return 0, fmt.Errorf("is too large to be true; look at the exponent")
		case err != nil:
			return 0, fmt.Errorf("has no number that can be read: %q", text)
		case v == 0 && strings.ContainsAny(mantissa, "123456789"):
			return 0, fmt.Errorf("is too small to be true; look at the exponent")
		}
		return sign*v + 0, nil // no minus before zero
	}
	whole := 0.0
	if i := strings.LastIndexAny(over, " -"); i >= 0 {
		whole, _ = strconv.ParseFloat(over[:i], 64) // digits only; at most maxText of them
		over = over[i+1:]
	}
	n, _ := strconv.ParseFloat(over, 64)
	d, _ := strconv.ParseFloat(under, 64)
	switch {
	case d == 0:
		return 0, fmt.Errorf("has zero as the bottom of its fraction")
	case strings.ContainsAny(unsigned, " -") && n >= d:
		return 0, fmt.Errorf("has a fraction of 1 or more after a whole number; write 1 1/2")
	}
	return sign*(whole+n/d) + 0, nil
}

// tidy brings the many ways of typing to one: plain spaces, ASCII minus, one
// sign for ±. It refuses what is empty, too long or no text.
func tidy(text, what, example string) (string, error) {
	switch {
	case !utf8.ValidString(text):
		return "", fmt.Errorf("this is no readable text; save the file as UTF-8")
	case utf8.RuneCountInString(text) > maxText:
		return "", fmt.Errorf("too long for %s; write it as %s", a(what), example)
	}
	text = strings.Map(func(r rune) rune {
		switch {
		case strings.ContainsRune("−‐‑‒–—﹣-", r): // minus, hyphens and dashes
			return '-'
		case r == '⁄' || r == '∕': // fraction slash, division slash
			return '/'
		case unicode.IsSpace(r):
			return ' '
		}
		return r
	}, text)
	text = strings.ReplaceAll(text, "+/-", "±")
	if text = strings.Join(strings.Fields(text), " "); text == "" {
		return "", fmt.Errorf("empty; %s is wanted, for example %s", a(what), example)
	}
	return text, nil
}
