package jsonschema

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"setdown/model/quantity"
)

// The patterns below keep to what the regular expressions of editors and of Go
// have in common: no look-ahead, no flags, no short names of Unicode characters.
// They follow the readers in model/quantity, which have the last word.
const (
	// maxText is the longest quantity, thread or date in characters.
	maxText = 64

	// space has the ASCII ones, the no-break, the figure, the thin and the narrow space.
	space = "[ \t\n\r\u00a0\u2007\u2009\u202f]"
	dash  = "[-−‐‑‒–—﹣]"
	slash = "[/⁄∕]"

	unsigned  = `(([0-9]+(` + space + `+|` + dash + `))?[0-9]+` + slash + `[0-9]+|([0-9]+\.?[0-9]*|\.[0-9]+)([eE](\+|` + dash + `)?[0-9]+)?)`
	positive  = `(\+` + space + `*)?` + unsigned
	signed    = `((\+|` + dash + `)` + space + `*)?` + unsigned
	plusMinus = space + `*(±|\+` + slash + dash + `)` + space + `*`

	// The signs that may stand between the units of a product, and around it.
	between = "[ \t\n\r\u00a0\u2007\u2009\u202f·⋅∙•×*.−‐‑‒–—﹣-]"

	bareCoordinate = "^" + space + "*" + signed + "(" + plusMinus + positive + ")?" + space + "*$"

	// The days of a month are told apart, leap years are not.
	dateForm = "^" + space + "*(19|[2-9][0-9])[0-9][0-9]" + dash +
		"((0[13578]|1[02])" + dash + "(0[1-9]|[12][0-9]|3[01])|(0[469]|11)" + dash + "(0[1-9]|[12][0-9]|30)|02" + dash + "(0[1-9]|[12][0-9]))" + space + "*$"

	metricForm = `[Mm]` + space + `*[0-9]+(\.[0-9]+)?(` + space + `*([x×X*]|` + dash + `)` + space + `*[0-9]*\.?[0-9]+)?` +
		`((` + space + `|` + dash + `)+([0-9][a-zA-Z]){1,2}(` + slash + `[0-9][a-zA-Z])?)?`
	inchSize   = `(#?` + space + `*[0-9]+|([0-9]+(` + space + `+|` + dash + `))?[0-9]+` + slash + `[0-9]+|[0-9]*\.[0-9]+)(` + space + `|["″])*`
	series     = `[Uu][Nn]([CcFfSs]|[Ee][Ff])?`
	inchForm   = inchSize + `((` + dash + `|[x×])` + space + `*[0-9]+(` + space + `*` + series + `)?|` + series + `)((` + space + `|` + dash + `)+[0-9][ABab])?`
	handForm   = `(` + space + `|` + dash + `)*([LlRr][Hh]|([Ll][Ee][Ff][Tt]|[Rr][Ii][Gg][Hh][Tt])((` + space + `|` + dash + `)[Hh][Aa][Nn][Dd])?)`
	threadForm = "^" + space + "*(" + metricForm + "|" + inchForm + ")(" + handForm + ")?" + space + "*$"
)

// spellings are the other ways to write the units of a dimension, besides the
// way in which they are printed. In products a middle dot stands for any sign.
var spellings = map[quantity.Dimension][]string{
	quantity.Number:   {"percent"},
	quantity.Length:   {"MM", "millimetre", "millimetres", "millimeter", "millimeters", `"`, "″", "''", "inch", "inches", "metre", "metres", "meter", "meters", "'", "′", "foot", "feet", "um", "μm"},
	quantity.Mass:     {"kgs", "lbs", "pound", "pounds", "tonne", "tonnes", "metric·ton", "metric·tons", "ounce", "ounces", "short·ton", "short·tons", "us·ton", "us·tons", "long·ton", "long·tons", "uk·ton", "uk·tons"},
	quantity.Force:    {"kp", "kips"},
	quantity.Torque:   {"Nm", "m·N", "ft·lb", "ft·lbs", "lbf·ft", "lb·ft", "lbs·ft", "ftlb", "ftlbs", "ftlbf", "lbft", "lbfft", "foot·pounds", "pound·feet", "in·lb", "in·lbs", "lbf·in", "lb·in", "lbs·in", "inlb", "inlbs", "inlbf", "lbin", "lbfin", "inch·pounds", "pound·inches", "kg·m", "m·kgf", "m·kg", "kgfm", "kgm", "mkg", "kp·m", "kNm", "Nmm"},
	quantity.Stress:   {"N/mm2", "N/mm²", "N/mm^2", "kpsi", "lbf/in2", "lbf/in²", "lb/in2", "lb/in²", "kN/mm2", "kN/mm²", "N/m2", "N/m²"},
	quantity.Angle:    {"deg", "degs", "degree", "degrees", "radian", "radians"},
	quantity.Rate:     {"lb/in", "lbs/in", "lbf/inch", "lb/inch", "lbs/inch", "kg/mm", "kg/cm"},
	quantity.Duration: {"day", "d", "hour", "hours", "hr", "hrs", "mins", "minute", "minutes", "second", "seconds", "week"},
}

// quantity is a text with a value and its unit, and its ± where band is set; a plain
// number may stand alone.
func (b builder) quantity(dim quantity.Dimension, isSigned, band bool) object {
	name, number := strings.ReplaceAll(dim.String(), " ", "-"), positive
	if isSigned {
		name, number = "signed-"+name, signed
	}
	if band {
		name += "-plus-minus"
	}
	units := dim.Units()
	s := object{
		"description": "a " + dim.String() + ", in " + strings.Join(units, ", "),
		"type":        "string",
		"maxLength":   maxText,
		"pattern":     quantityForm(dim, number, band),
	}
	if dim == quantity.Number {
		s["description"] = "a plain number; also a share or a slope in " + strings.Join(units, ", ")
		s["type"] = []string{"number", "string"}
		if !isSigned {
			s["minimum"] = 0
		}
	}
	return b.def(name, s)
}

func quantityForm(dim quantity.Dimension, number string, band bool) string {
	unit := space + "*(" + unitForm(dim) + ")"
	value := number + unit
	if band {
		value += "(" + plusMinus + positive + "(" + unit + "|" + space + "*(%|[Pp][Ee][Rr][Cc][Ee][Nn][Tt]))?)?"
		value += "|" + number + plusMinus + positive + unit // 420 ± 15 kg
	}
	if dim == quantity.Number {
		value += "|" + number
	}
	return "^" + space + "*(" + value + ")" + space + "*$"
}

// unitForm matches every spelling of the units of a dimension.
func unitForm(dim quantity.Dimension) string {
	dims := []quantity.Dimension{dim}
	if dim == quantity.Load {
		dims = []quantity.Dimension{quantity.Mass, quantity.Force}
	}
	var forms []string
	for _, d := range dims {
		for _, s := range slices.Concat(d.Units(), spellings[d]) {
			forms = append(forms, anyCase(s, d))
		}
	}
	slices.Sort(forms)
	// A full stop may end an abbreviation, a dash may stand before the unit. A full
	// stop before it would belong to the number.
	return strings.Replace(between, ".", "", 1) + "*(" + strings.Join(slices.Compact(forms), "|") + ")" + between + "*"
}

// anyCase matches a unit in large and small letters as far as the reader of
// quantities takes them for the same: KG is kg, but mPa is not MPa.
func anyCase(unit string, dim quantity.Dimension) string {
	first := string([]rune(unit)[:1])
	rest := strings.TrimPrefix(unit, first)
	up, low := strings.ToUpper(first), strings.ToLower(first)
	same := func(text string) bool {
		a, err := quantity.Parse("1 "+unit, dim)
		b, other := quantity.Parse("1 "+text, dim)
		return err == nil && other == nil && a.Value == b.Value
	}
	switch {
	case each(same, up+strings.ToUpper(rest), up+strings.ToLower(rest), low+strings.ToUpper(rest), low+strings.ToLower(rest)):
		return letters(unit, true)
	case each(same, first+strings.ToUpper(rest), first+strings.ToLower(rest)):
		return letters(first, false) + letters(rest, true)
	}
	return letters(unit, false)
}

func each(is func(string) bool, texts ...string) bool {
	return !slices.ContainsFunc(texts, func(t string) bool { return !is(t) })
}

// letters is the pattern of one spelling. A product may have any of the signs
// between its factors.
func letters(text string, anyCase bool) string {
	var form strings.Builder
	for _, c := range text {
		up, low := unicode.ToUpper(c), unicode.ToLower(c)
		switch {
		case c == '·' || c == ' ':
			form.WriteString(between + "+")
		case anyCase && c < unicode.MaxASCII && up != low:
			form.WriteString("[" + string(up) + string(low) + "]")
		default:
			form.WriteString(regexp.QuoteMeta(string(c)))
		}
	}
	return form.String()
}

// plate is the short form of a plate: a thickness, then what it is made of.
func (b builder) plate() object {
	length := strings.TrimSuffix(quantityForm(quantity.Length, positive, false), "$")
	return b.def("plate", object{
		"description": "a thickness and a material, such as 4 mm S355 plate",
		"type":        "string",
		"pattern":     length + "(" + space + "+.*)?$",
	})
}
