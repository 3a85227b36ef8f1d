package strength

import (
	"fmt"
	"regexp"
	"strings"
)

// Class is a property class or grade of bolts with its least strengths in Pa.
type Class struct {
	Name                  string
	Proof, Yield, Tensile float64 // Pa
	Source                string
}

// classRow holds one class for a range of nominal diameters (from, to], m.
type classRow struct {
	name                  string
	from, to              float64
	proof, yield, tensile float64 // MPa or ksi
	unit                  float64
	source                string
}

const (
	megapascal = 1e6
	ksi        = 6.894757293168e6
	inch       = 0.0254
)

// classes are ISO 898-1 tables 3 to 5, SAE J429 table 1 and ISO 3506-1 table 2,
// as dealers copy them (testdata/published). Yield is the stress at 0.2 % non-proportional
// elongation; that of 5.8 is a nominal value for calculation and no test value (footnote of
// ISO 898-1, table 3).
var classes = []classRow{
	{"4.6", 0, 0.039, 225, 240, 400, megapascal, "ISO 898-1, table 3"},
	{"4.8", 0, 0.039, 310, 340, 420, megapascal, "ISO 898-1, table 3"},
	{"5.6", 0, 0.039, 280, 300, 500, megapascal, "ISO 898-1, table 3"},
	{"5.8", 0, 0.039, 380, 420, 520, megapascal, "ISO 898-1, table 3"},
	{"6.8", 0, 0.039, 440, 480, 600, megapascal, "ISO 898-1, table 3"},
	{"8.8", 0, 0.016, 580, 640, 800, megapascal, "ISO 898-1, table 3"},
	{"8.8", 0.016, 0.039, 600, 660, 830, megapascal, "ISO 898-1, table 3"},
	{"9.8", 0, 0.016, 650, 720, 900, megapascal, "ISO 898-1, table 3"},
	{"10.9", 0, 0.039, 830, 940, 1040, megapascal, "ISO 898-1, table 3"},
	{"12.9", 0, 0.039, 970, 1100, 1220, megapascal, "ISO 898-1, table 3"},
	{"grade 2", 0.0063, 0.01906, 55, 57, 74, ksi, "SAE J429, table 1"},
	{"grade 2", 0.01906, 0.0382, 33, 36, 60, ksi, "SAE J429, table 1"},
	{"grade 5", 0.0063, 0.02541, 85, 92, 120, ksi, "SAE J429, table 1"},
	{"grade 5", 0.02541, 0.0382, 74, 81, 105, ksi, "SAE J429, table 1"},
	{"grade 8", 0.0063, 0.0382, 120, 130, 150, ksi, "SAE J429, table 1"},
	{"A2-70", 0, 0.024, 450, 450, 700, megapascal, "ISO 3506-1, table 2"},
	{"A4-70", 0, 0.024, 450, 450, 700, megapascal, "ISO 3506-1, table 2"},
	{"A4-80", 0, 0.024, 600, 600, 800, megapascal, "ISO 3506-1, table 2"},
}

// The trade says 'grade' of metric classes too, and writes stainless with or
// without its hyphen.
var (
	gradeText     = regexp.MustCompile(`^(?:sae )?(?:grade|gr\.?|g) ?([258])$`)
	classText     = regexp.MustCompile(`^(?:property )?(?:class|grade|gr\.?) ?([0-9]{1,2}\.[0-9])$`)
	stainlessText = regexp.MustCompile(`^(a[24])[ /]?([78]0)$`)
)

// longestGrade2 is the length up to which SAE J429 gives grade 2 its strengths, m: bolts
// longer than 6 in are made as grade 1.
const longestGrade2 = 6 * inch

// ClassOf returns the class or grade that a builder wrote, such as "10.9",
// "grade 8" or "A2-70", for a bolt of nominal diameter d and length under the head, both in m.
// A bolt of no known length counts as long.
func ClassOf(text string, d, length float64) (Class, error) {
	name := strings.ToLower(strings.Join(strings.Fields(text), " "))
	if m := gradeText.FindStringSubmatch(name); m != nil {
		name = "grade " + m[1]
	}
	name = classText.ReplaceAllString(name, "$1")
	name = stainlessText.ReplaceAllString(name, "$1-$2")
	if lightAlloy.MatchString(name) {
		return Class{}, outside("class "+text, "bolts of light alloy lose strength with heat, time and each tightening; none is computed here: put a steel bolt in")
	}
	known := false
	for _, c := range classes {
		if strings.ToLower(c.name) != name {
			continue
		}
		known = true
		if d <= c.from || d > c.to {
			continue
		}
		class := Class{c.name, c.proof * c.unit, c.yield * c.unit, c.tensile * c.unit, c.source}
		if c.name == "grade 2" && !(length > 0 && length <= longestGrade2) {
			class.Proof, class.Yield, class.Tensile = 33*ksi, 36*ksi, 60*ksi
			class.Source = "SAE J429, table 1, grade 1: a grade 2 bolt longer than 6 in, or of no recorded length"
		}
		return class, nil
	}
	if known {
		return Class{}, outside("class "+text, "its table does not reach a bolt of this diameter")
	}
	return Class{}, fmt.Errorf("%q is no class or grade known here; known are %s", text, strings.Join(ClassNames(), ", "))
}

// lightAlloy are the classes of ISO 8839 for bolts of aluminium, and what the trade calls
// them.
var lightAlloy = regexp.MustCompile(`^(al ?[1-6]|alumini?um|6061|6082|7075|2024)\b`)

// ClassNames lists the classes and grades, each once.
func ClassNames() []string {
	var names []string
	for _, c := range classes {
		if len(names) == 0 || names[len(names)-1] != c.name {
			names = append(names, c.name)
		}
	}
	return names
}
