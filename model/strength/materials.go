package strength

import (
	"fmt"
	"math"
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

// Density is what it weighs at the least, kg/m³: aluminium alloys from 2650, iron and steel from 7100 on (handbook
// values, memory).
func (m Material) Density() float64 {
	if m.E < leastSteelE {
		return 2650
	}
	return 7100
}

// leastSteelE tells steel from aluminium by its Young's modulus.
const leastSteelE = 150e9

// leastMildE tells steel from cast iron by it.
const leastMildE = 190e9

// materials are least values for tube and plate of small thickness, from memory but
// for the two marked opened. Cold drawing and ageing do not survive the heat of a
// weld; hot-rolled and normalised steel keeps its strength beside one, and studding
// is not welded.
var materials = []Material{
	{"S235", 235e6, 235e6, 360e6, 210e9, "EN 10025-2, table 7"},
	{"S275", 275e6, 275e6, 410e6, 210e9, "EN 10025-2, table 7"},
	{"S355", 355e6, 355e6, 470e6, 210e9, "EN 10025-2, table 7"},
	{"A36", 250e6, 250e6, 400e6, 200e9, "ASTM A36, 36 ksi and 58 ksi (memory)"},
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
	{"A356-T6", 0.75 * 165e6, 0.35 * 165e6, 0.75 * 234e6, 72e9, "ASTM B26, sand cast, cut from the casting 75 % (copies); half of it beside a weld"},
	{"EN-GJS-400-15", 250e6, 125e6, 400e6, 169e9, "EN 1563, t ≤ 30 mm (memory); half of it beside a weld"},
	{"304", 210e6, 210e6, 520e6, 200e9, "EN 10088-2, 1.4301"},
	{"11SMn30", 375e6, 375e6, 460e6, 205e9, "EN 10277, +C, 16 mm < d ≤ 40 mm, the lower band; clevis pins of ISO 2340 and 2341 (memory)"},
	{"C45", 305e6, 305e6, 580e6, 210e9, "EN ISO 683-1, +N, 16 mm < d ≤ 100 mm, the lower band (memory)"},
	{"studding 4.6", 240e6, 240e6, 400e6, 205e9, "ISO 898-1, class 4.6"},
	{"studding 8.8", 640e6, 640e6, 800e6, 205e9, "ISO 898-1, class 8.8"},
}

// conditions are the delivery conditions after the plus sign that leave a steel at
// least its listed yield strength. Soft annealed (+A) it has less.
var conditions = []string{"", "n", "ar", "m", "sr", "c", "lc"}

// thickBands are the yield strengths of what yields earlier the thicker it is, each up to a
// thickness in m; above the last nothing is known here. EN 10025-2, table 7 (copy); of 6005A
// EN 1999-1-1, table 3.2b (the first row a copy, the others from memory).
var thickBands = map[string][]struct{ to, yield float64 }{
	"S235":     {{0.016, 235e6}, {0.040, 225e6}},
	"S275":     {{0.016, 275e6}, {0.040, 265e6}},
	"S355":     {{0.016, 355e6}, {0.040, 345e6}},
	"6005A-T6": {{0.005, 225e6}, {0.010, 215e6}, {0.025, 200e6}},
}

// MaterialOf returns the material that a builder wrote, such as "E355+N", "6082-T6"
// or "S355J2 plate", as it is in plate, tube wall or bar of some thickness, m. Quality letters and the words plate, tube,
// sheet and normalised change nothing; another delivery condition after a plus sign
// than those known is outside the table.
func MaterialOf(text string, thickness float64) (Material, error) {
	if err := positive("material "+text, thickness); err != nil {
		return Material{}, err
	}
	name := strings.ToLower(strings.Join(strings.Fields(text), " "))
	name, condition, _ := strings.Cut(name, "+")
	condition, _, _ = strings.Cut(strings.TrimSpace(condition), " ")
	for _, cut := range []string{" normalised", " normalized", " plate", " tube", " sheet", "aisi ", "astm ", "jr", "j2", "j0"} {
		name = strings.ReplaceAll(name, cut, "")
	}
	for _, m := range materials {
		if strings.ToLower(m.Name) != strings.TrimSpace(name) {
			continue
		}
		if !slices.Contains(conditions, condition) {
			return Material{}, outside("material "+m.Name, "its strength in the condition +%s is not known here", strings.ToUpper(condition))
		}
		return m.thick(thickness)
	}
	return Material{}, fmt.Errorf("%q is no material known here; known are %s", text, strings.Join(MaterialNames(), ", "))
}

// Range is what every metal here bears at least, or every steel, at any thickness, and what the
// strongest yields at.
type Range struct {
	Least     Material
	Strongest float64 // Pa
}

// RangeOf is the range of all metals, or of the steels.
func RangeOf(steel bool) Range {
	r := Range{Least: Material{Name: "the weakest metal taken", Yield: math.Inf(1), Welded: math.Inf(1), Tensile: math.Inf(1), E: math.Inf(1), Source: "the least of the materials known here"}}
	m := &r.Least
	if steel {
		m.Name = "the weakest steel taken"
	}
	for _, one := range materials {
		if steel && one.E < leastMildE {
			continue
		}
		for _, band := range append([]struct{ to, yield float64 }{{yield: one.Yield}}, thickBands[one.Name]...) {
			m.Yield, m.Welded = min(m.Yield, band.yield), min(m.Welded, one.Welded, band.yield)
		}
		m.Tensile, m.E, r.Strongest = min(m.Tensile, one.Tensile), min(m.E, one.E), max(r.Strongest, one.Yield)
	}
	return r
}

// thick is the material at a thickness, m.
func (m Material) thick(thickness float64) (Material, error) {
	bands := thickBands[m.Name]
	for i, band := range bands {
		if thickness <= band.to {
			if i > 0 {
				m.Yield, m.Welded = band.yield, math.Min(m.Welded, band.yield)
				m.Source += fmt.Sprintf("; at t ≤ %.0f mm", mm(band.to))
			}
			return m, nil
		}
	}
	if len(bands) > 0 {
		return Material{}, outside("material "+m.Name, "its strength in so thick a piece is not known here")
	}
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
