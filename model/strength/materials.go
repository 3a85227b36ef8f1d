package strength

import (
	"fmt"
	"slices"
	"strings"
)

// Material is a metal with its least strengths.
type Material struct {
	Name    string
	Yield   float64 // Pa
	Welded  float64 // Pa, yield strength beside a weld
	Tensile float64 // Pa
	E       float64 // Pa, Young's modulus
	Source  string
}

// leastSteelE tells steel from aluminium by its Young's modulus.
const leastSteelE = 150e9

// materials are least values for tube and plate of small thickness, from memory but
// for the two marked opened. Cold drawing and ageing do not survive the heat of a
// weld; hot-rolled and normalised steel keeps its strength beside one, and studding
// is not welded.
var materials = []Material{
	{"S235", 235e6, 235e6, 360e6, 210e9, "EN 10025-2, table 7, t ≤ 16 mm"},
	{"S275", 275e6, 275e6, 410e6, 210e9, "EN 10025-2, table 7, t ≤ 16 mm"},
	{"S355", 355e6, 355e6, 470e6, 210e9, "EN 10025-2, table 7, t ≤ 16 mm"},
	{"E235", 235e6, 235e6, 340e6, 210e9, "EN 10305-1, table 4, +N"},
	{"E355", 355e6, 355e6, 490e6, 210e9, "EN 10305-1, table 4, +N"},
	{"4130", 435e6, 435e6, 670e6, 205e9, "AISI 4130 normalised sheet and tube, handbook value"},
	{"1020", 205e6, 205e6, 380e6, 205e9, "AISI 1020 hot-rolled (ASTM A513), handbook value"},
	{"1020 DOM", 379e6, 205e6, 448e6, 205e9, "ASTM A513 type 5, 1020 stress-relieved (opened)"},
	{"6061-T6", 240e6, 115e6, 260e6, 69e9, "EN 1999-1-1, table 3.2b (opened)"},
	{"6005A-T6", 225e6, 115e6, 270e6, 70e9, "EN 1999-1-1, table 3.2b, t ≤ 5 mm (copy)"},
	{"6060-T6", 140e6, 60e6, 170e6, 70e9, "EN 1999-1-1, table 3.2b (copy)"},
	{"6063-T6", 160e6, 65e6, 195e6, 70e9, "EN 1999-1-1, table 3.2b (copy)"},
	{"5083-H22", 200e6, 135e6, 280e6, 70e9, "EN 1999-1-1, table 3.2b (copy)"},
	{"6082-T6", 250e6, 125e6, 290e6, 70e9, "EN 1999-1-1, table 3.2b"},
	{"304", 210e6, 210e6, 520e6, 200e9, "EN 10088-2, 1.4301"},
	{"studding 4.6", 240e6, 240e6, 400e6, 205e9, "ISO 898-1, class 4.6"},
	{"studding 8.8", 640e6, 640e6, 800e6, 205e9, "ISO 898-1, class 8.8"},
}

// conditions are the delivery conditions after the plus sign that leave a steel at
// least its listed yield strength. Soft annealed (+A) it has less.
var conditions = []string{"", "n", "ar", "m", "sr", "c", "lc"}

// MaterialOf returns the material that a builder wrote, such as "E355+N", "6082-T6"
// or "S355J2 plate". Quality letters and the words plate, tube,
// sheet and normalised change nothing; another delivery condition after a plus sign
// than those known is outside the table.
func MaterialOf(text string) (Material, error) {
	name := strings.ToLower(strings.Join(strings.Fields(text), " "))
	name, condition, _ := strings.Cut(name, "+")
	condition, _, _ = strings.Cut(strings.TrimSpace(condition), " ")
	for _, cut := range []string{" normalised", " normalized", " plate", " tube", " sheet", "aisi ", "jr", "j2", "j0"} {
		name = strings.ReplaceAll(name, cut, "")
	}
	for _, m := range materials {
		if strings.ToLower(m.Name) != strings.TrimSpace(name) {
			continue
		}
		if !slices.Contains(conditions, condition) {
			return Material{}, outside("material "+m.Name, "its strength in the condition +%s is not known here", strings.ToUpper(condition))
		}
		return m, nil
	}
	return Material{}, fmt.Errorf("%q is no material known here; known are %s", text, strings.Join(MaterialNames(), ", "))
}

// thickBands are the yield strengths of structural steel above 16 mm, up to 40 mm: EN
// 10025-2, table 7 (copy).
var thickBands = map[string]float64{"S235": 225e6, "S275": 265e6, "S355": 345e6}

// Thick returns the material as it is in plate or bar of some thickness, m: structural steel
// yields earlier above 16 mm, and above 40 mm nothing is known here.
func (m Material) Thick(thickness float64) (Material, error) {
	if err := positive("material "+m.Name, thickness); err != nil {
		return Material{}, err
	}
	band, banded := thickBands[m.Name]
	switch {
	case !banded || thickness <= 0.016:
		return m, nil
	case thickness > 0.040:
		return Material{}, outside("material "+m.Name, "its strength at a thickness of %.0f mm is not known here", mm(thickness))
	}
	m.Yield, m.Welded, m.Source = band, band, "EN 10025-2, table 7, 16 mm < t ≤ 40 mm"
	return m, nil
}

// MaterialNames lists the materials.
func MaterialNames() []string {
	names := make([]string, len(materials))
	for i, m := range materials {
		names[i] = m.Name
	}
	return names
}
