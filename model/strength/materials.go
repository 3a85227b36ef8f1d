package strength

import (
	"fmt"
	"strings"
)

// Material is a metal with its least strengths.
type Material struct {
	Name    string
	Yield   float64 // Pa
	Tensile float64 // Pa
	E       float64 // Pa, Young's modulus
	Source  string
}

// materials are least values for tube and plate of small thickness, from memory.
var materials = []Material{
	{"S235", 235e6, 360e6, 210e9, "EN 10025-2, table 7, t ≤ 16 mm"},
	{"S275", 275e6, 410e6, 210e9, "EN 10025-2, table 7, t ≤ 16 mm"},
	{"S355", 355e6, 470e6, 210e9, "EN 10025-2, table 7, t ≤ 16 mm"},
	{"E235", 235e6, 340e6, 210e9, "EN 10305-1, table 4, +N"},
	{"E355", 355e6, 490e6, 210e9, "EN 10305-1, table 4, +N"},
	{"4130", 435e6, 670e6, 205e9, "AISI 4130 normalised sheet and tube, handbook value"},
	{"1020", 205e6, 380e6, 205e9, "AISI 1020 hot-rolled (ASTM A513), handbook value"},
	{"6061-T6", 240e6, 260e6, 69e9, "EN 755-2"},
	{"6082-T6", 250e6, 290e6, 70e9, "EN 755-2"},
	{"304", 210e6, 520e6, 200e9, "EN 10088-2, 1.4301"},
	{"studding 4.6", 240e6, 400e6, 205e9, "ISO 898-1, class 4.6"},
	{"studding 8.8", 640e6, 800e6, 205e9, "ISO 898-1, class 8.8"},
}

// MaterialOf returns the material that a builder wrote, such as "E355" or
// "6082-T6"; delivery conditions after a plus sign or "normalised" are ignored.
func MaterialOf(text string) (Material, error) {
	name := strings.ToLower(strings.Join(strings.Fields(text), " "))
	name, _, _ = strings.Cut(name, "+")
	for _, cut := range []string{" normalised", " normalized", " plate", " tube", " sheet", "aisi ", "jr", "j2", "j0"} {
		name = strings.ReplaceAll(name, cut, "")
	}
	for _, m := range materials {
		if strings.ToLower(m.Name) == strings.TrimSpace(name) {
			return m, nil
		}
	}
	return Material{}, fmt.Errorf("%q is no material known here; known are %s", text, strings.Join(MaterialNames(), ", "))
}

// MaterialNames lists the materials.
func MaterialNames() []string {
	names := make([]string, len(materials))
	for i, m := range materials {
		names[i] = m.Name
	}
	return names
}
