package quantity

import (
	"math"
	"strings"
)

// Exact definitions: NIST SP 811 (2008), appendix B.8, and the international
// yard and pound agreement of 1959.
const (
	inch  = 0.0254
	pound = 0.45359237
	// Gravity is the standard acceleration of free fall, m/s².
	Gravity = 9.80665
	poundF  = pound * Gravity
	degree  = math.Pi / 180
	// Day is a day, s.
	Day      = 86400
	psi      = poundF / (inch * inch)
	shortTon = 2000 * pound
	longTon  = 2240 * pound
)

// unit is one accepted unit: the way it is printed, what it measures, its size
// in SI units and the other ways to write it.
type unit struct {
	name   string
	dim    Dimension
	factor float64
	also   string // separated by commas
}

// units are the units in the order in which hints name them. Products are
// listed with a middle dot; simplify brings the other signs to it.
var units = []unit{
	{"mm", Length, 1e-3, "MM,millimetre,millimetres,millimeter,millimeters"},
	{"in", Length, inch, `",″,'',inch,inches`},
	{"cm", Length, 1e-2, ""},
	{"m", Length, 1, "metre,metres,meter,meters"},
	{"ft", Length, 12 * inch, "',′,foot,feet"},
	{"µm", Length, 1e-6, "um,μm"}, // the micro sign, the letter u, the letter mu

	{"kg", Mass, 1, "kgs"},
	{"lb", Mass, pound, "lbs,pound,pounds"},
	{"t", Mass, 1000, "tonne,tonnes,metric·ton,metric·tons"},
	{"g", Mass, 1e-3, ""},
	{"oz", Mass, pound / 16, "ounce,ounces"},
	{"short ton", Mass, shortTon, "short·ton,short·tons,us·ton,us·tons"},
	{"long ton", Mass, longTon, "long·ton,long·tons,uk·ton,uk·tons"},

	{"N", Force, 1, ""},
	{"kN", Force, 1e3, ""},
	{"lbf", Force, poundF, ""},
	{"daN", Force, 10, ""},
	{"kgf", Force, Gravity, "kp"},
	{"kip", Force, 1000 * poundF, "kips"},
	{"MN", Force, 1e6, ""},

	{"N·m", Torque, 1, "Nm,m·N"},
	{"ft·lbf", Torque, 12 * inch * poundF, "ft·lb,ft·lbs,lbf·ft,lb·ft,lbs·ft,ftlb,ftlbs,ftlbf,lbft,lbfft,foot·pounds,pound·feet"},
	{"in·lbf", Torque, inch * poundF, "in·lb,in·lbs,lbf·in,lb·in,lbs·in,inlb,inlbs,inlbf,lbin,lbfin,inch·pounds,pound·inches"},
	{"kgf·m", Torque, Gravity, "kg·m,m·kgf,m·kg,kgfm,kgm,mkg,kp·m"},
	{"kN·m", Torque, 1e3, "kNm"},
	{"N·mm", Torque, 1e-3, "Nmm"},

	{"MPa", Stress, 1e6, "N/mm2,N/mm²,N/mm^2"},
	{"ksi", Stress, 1000 * psi, "kpsi"},
	{"psi", Stress, psi, "lbf/in2,lbf/in²,lb/in2,lb/in²"},
	{"GPa", Stress, 1e9, "kN/mm2,kN/mm²"},
	{"kPa", Stress, 1e3, ""},
	{"Pa", Stress, 1, "N/m2,N/m²"},
	{"bar", Stress, 1e5, ""},

	{"°", Angle, degree, "deg,degs,degree,degrees"},
	{"rad", Angle, 1, "radian,radians"},

	{"days", Duration, Day, "day,d"},
	{"h", Duration, 3600, "hour,hours,hr,hrs"},
	{"min", Duration, 60, "mins,minute,minutes"},
	{"s", Duration, 1, "second,seconds"},
	{"weeks", Duration, 7 * Day, "week"},

	{"N/mm", Rate, 1e3, ""},
	{"lbf/in", Rate, poundF / inch, "lb/in,lbs/in,lbf/inch,lb/inch,lbs/inch"},
	{"kN/m", Rate, 1e3, ""},
	{"N/m", Rate, 1, ""},
	{"kgf/mm", Rate, 1e3 * Gravity, "kg/mm"},
	{"kgf/cm", Rate, 1e2 * Gravity, "kg/cm"},

	{"", Number, 1, ""},
	{"%", Number, 1e-2, "percent"},
	{"mm/m", Number, 1e-3, ""},
	{"in/ft", Number, 1.0 / 12, ""},
}

// spellings lists all ways to write the unit.
func (u unit) spellings() []string {
	return strings.FieldsFunc(u.name+","+u.also, func(r rune) bool { return r == ',' })
}

// sizeMatters are the units whose letters mean another unit when they are
// written large.
const sizeMatters = ",m,t,g,mm,"

// spelled leads from every spelling to its unit, foldedSpelled from every
// spelling in small letters, for people who write KG or FT-LB.
var spelled, foldedSpelled = func() (exact, folded map[string]unit) {
	exact, folded = map[string]unit{}, map[string]unit{}
	for _, u := range units {
		for _, name := range u.spellings() {
			exact[name] = u
			if !strings.Contains(sizeMatters, ","+name+",") {
				folded[strings.ToLower(name)] = u
			}
		}
	}
	return exact, folded
}()

// find returns the unit with that spelling.
func find(text string) (unit, bool) {
	text = simplify(text)
	if u, ok := spelled[text]; ok {
		return u, true
	}
	u, ok := foldedSpelled[strings.ToLower(text)]
	// In a symbol a large M is mega and a small one milli: mPa is not MPa.
	isSymbol := len(text) <= len("MPa") && strings.HasPrefix(strings.ToLower(u.name), "m")
	return u, ok && !(isSymbol && text[0] != u.name[0])
}

// simplify writes a product of units with single middle dots, whichever of the
// usual signs stood there, and drops the full stop of an abbreviation.
func simplify(text string) string {
	if spelled[text].name != "" {
		return text
	}
	factors := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" ·⋅∙•×*.-", r) })
	return strings.Join(factors, "·")
}

// named returns the unit of that name and dimension, or the SI unit of the
// dimension when there is none: a value is never printed without its unit or
// with a wrong one. A force may be printed in a unit of mass, as the weight of
// that mass.
func named(name string, dim Dimension) unit {
	for _, u := range units {
		if u.name == name && u.dim == dim {
			return u
		}
		if u.name == name && u.dim == Mass && dim == Force {
			u.factor *= Gravity
			return u
		}
	}
	for _, u := range units {
		if u.dim == dim && u.factor == 1 {
			return u
		}
	}
	return unit{factor: 1}
}

// ambiguous are spellings that mean different units to different people.
var ambiguous = map[string]string{
	"ton": whichTon, "tons": whichTon, "tonf": "write kN, kgf or lbf", "ton·force": "write kN, kgf or lbf",
	"mo": noMonths, "month": noMonths, "months": noMonths, "y": noMonths, "year": noMonths, "years": noMonths,
}

const (
	whichTon = "write t (1000 kg), short ton (2000 lb) or long ton (2240 lb)"
	noMonths = "write days or weeks"
)
