package quantity

import (
	"math"
	"strings"
)

// Exact definitions: NIST SP 811 (2008), appendix B.8, and the international
// yard and pound agreement of 1959.
const (
	inch     = 0.0254
	pound    = 0.45359237
	Gravity  = 9.80665 // m/s², standard acceleration of free fall
	poundF   = pound * Gravity
	degree   = math.Pi / 180
	day      = 86400.0
	psi      = poundF / (inch * inch)
	shortTon = 2000 * pound
	longTon  = 2240 * pound
)

// unit is one accepted unit: the way it is printed, what it measures and its
// size in SI units.
type unit struct {
	name   string
	dim    Dimension
	factor float64
}

// units are the units in the order in which hints name them. Spellings that
// differ only in dots, middle dots, signs of multiplication and spaces are the
// same unit; see fold.
var units = []unit{
	{"mm", Length, 1e-3}, {"in", Length, inch}, {"cm", Length, 1e-2}, {"m", Length, 1}, {"ft", Length, 12 * inch}, {"µm", Length, 1e-6},
	{"kg", Mass, 1}, {"lb", Mass, pound}, {"t", Mass, 1000}, {"g", Mass, 1e-3}, {"oz", Mass, pound / 16}, {"short ton", Mass, shortTon}, {"long ton", Mass, longTon},
	{"N", Force, 1}, {"kN", Force, 1e3}, {"lbf", Force, poundF}, {"daN", Force, 10}, {"kgf", Force, Gravity}, {"kip", Force, 1000 * poundF}, {"MN", Force, 1e6},
	{"N·m", Torque, 1}, {"ft·lbf", Torque, 12 * inch * poundF}, {"in·lbf", Torque, inch * poundF}, {"kgf·m", Torque, Gravity}, {"kN·m", Torque, 1e3}, {"N·mm", Torque, 1e-3},
	{"MPa", Stress, 1e6}, {"ksi", Stress, 1000 * psi}, {"psi", Stress, psi}, {"GPa", Stress, 1e9}, {"kPa", Stress, 1e3}, {"Pa", Stress, 1}, {"bar", Stress, 1e5},
	{"°", Angle, degree}, {"rad", Angle, 1},
	{"days", Duration, day}, {"h", Duration, 3600}, {"min", Duration, 60}, {"s", Duration, 1}, {"weeks", Duration, 7 * day},
	{"", Number, 1}, {"%", Number, 1e-2}, {"mm/m", Number, 1e-3},
}

// spellings are further ways to write a unit.
var spellings = map[string]string{
	"\"": "in", "″": "in", "inch": "in", "inches": "in", "'": "ft", "um": "µm", "μm": "µm", "metre": "m", "metres": "m",
	"lbs": "lb", "kgs": "kg", "tonne": "t", "tonnes": "t", "us ton": "short ton", "uk ton": "long ton",
	"nm": "N·m", "ftlb": "ft·lbf", "ftlbs": "ft·lbf", "ftlbf": "ft·lbf", "lbft": "ft·lbf", "lbfft": "ft·lbf", "lbsft": "ft·lbf",
	"inlb": "in·lbf", "inlbs": "in·lbf", "inlbf": "in·lbf", "lbin": "in·lbf", "lbfin": "in·lbf", "kgfm": "kgf·m", "kgm": "kgf·m", "knm": "kN·m", "nmm": "N·mm",
	"n/mm2": "MPa", "n/mm²": "MPa", "lbf/in2": "psi",
	"deg": "°", "degs": "°", "degree": "°", "degrees": "°", "radian": "rad", "radians": "rad",
	"d": "days", "day": "days", "hour": "h", "hours": "h", "minutes": "min", "minute": "min", "week": "weeks", "seconds": "s",
	"percent": "%",
}

// find returns the unit with that spelling.
func find(text string) (unit, bool) {
	text = strings.TrimSpace(text)
	for _, u := range units {
		if u.name == text {
			return u, true
		}
	}
	folded := fold(text)
	name, ok := spellings[folded]
	for _, u := range units {
		if ok && u.name == name || !ok && u.name != "" && fold(u.name) == folded && !caseMatters(text, u.name) {
			return u, true
		}
	}
	return unit{}, false
}

// caseMatters tells units apart that differ only in the size of their letters:
// MPa and mPa, MN and mN, Mm and mm.
func caseMatters(text, name string) bool {
	return strings.HasPrefix(name, "M") != strings.HasPrefix(text, "M") || name == "m" || name == "t" || name == "g" || name == "mm"
}

// fold drops what people write differently in products of units.
func fold(s string) string {
	return strings.NewReplacer("·", "", "⋅", "", "×", "", "*", "", ".", "", "-", "").Replace(strings.Join(strings.Fields(strings.ToLower(s)), " "))
}

// ambiguous are spellings that mean different units to different people.
var ambiguous = map[string]string{
	"ton":  "write t (1000 kg), short ton (2000 lb) or long ton (2240 lb)",
	"tons": "write t (1000 kg), short ton (2000 lb) or long ton (2240 lb)",
	"mon":  "write days or weeks", "month": "write days or weeks", "months": "write days or weeks",
}
