package strength

import (
	"fmt"
	"math"
)

// EngagementNeeded is the thread engagement in diameters that a tapped hole in a
// material asks for: 1 in steel, 1.5 in aluminium and cast iron. Common practice.
func EngagementNeeded(material string) (float64, error) {
	switch material {
	case "steel":
		return 1, nil
	case "aluminium", "cast iron":
		return 1.5, nil
	}
	return 0, fmt.Errorf("no engagement is known for a hole in %q", material)
}

// EngagementForStrength is the engagement in diameters at which a tapped hole bears what its
// screw does: 1 in steel, 2 in aluminium, where 1.5 is the least that is good practice at all
// (TR Fastenings, opened), and 1.5 in cast iron.
func EngagementForStrength(material string) (float64, error) {
	if material == "aluminium" {
		return 2, nil
	}
	return EngagementNeeded(material)
}

// castWalls are yield strengths of cast metal by the greatest wall, m: grey iron EN-GJL-150,
// 0.65 of the tensile strength that EN 1561 expects in a casting of that wall (155, 130, 110
// MPa; from memory) and no more than TappedYield; sand-cast A356.0-T6 cut from the casting
// three quarters of separately cast bars (ASTM B26; a copy), whatever the wall.
var castWalls = map[string][]struct{ wall, yield float64 }{
	"aluminium": {{0.050, 0.75 * 165e6}},
	"cast iron": {{0.010, 98e6}, {0.020, 84e6}, {0.040, 71e6}},
}

// CastYield is TappedYield by the wall of the casting at the hole, m.
func CastYield(material string, wall float64) (float64, error) {
	if err := positive("cast metal", wall); err != nil {
		return 0, err
	}
	bands, known := castWalls[material]
	if !known {
		return 0, fmt.Errorf("no casting of %q is known here", material)
	}
	for _, b := range bands {
		if wall <= b.wall {
			return b.yield, nil
		}
	}
	return 0, outside("cast "+material, "its strength in a wall of %.0f mm is not known here", mm(wall))
}

// TappedYield is the yield strength of the weakest metal that a tapped hole of that kind is
// usually in, Pa: S235 (EN 10025-2), sand-cast A356.0-T6 (ASTM B26, 24 ksi) and grey
// iron EN-GJL-150 (EN 1561, 0.1 % proof); all from memory.
func TappedYield(material string) (float64, error) {
	switch material {
	case "steel":
		return 235e6, nil
	case "aluminium":
		return 165e6, nil
	case "cast iron":
		return 98e6, nil
	}
	return 0, fmt.Errorf("no strength is known for a hole in %q", material)
}

// ThreadStrip is the pull at which engaged thread is stripped, N, for the weaker
// of the two threads.
//
//	F = 0.577 · S_y · π · d₁ · L / 2
//
// d₁ is the root diameter, L the engaged length: half of the cylinder at the root
// carries. Source: FED-STD-H28 gives the shear area of internal and external
// threads as about half of the cylinder (from memory); the smaller cylinder is
// taken for both, which is on the safe side.
func ThreadStrip(d, pitch, engaged, yield float64) (Result, error) {
	if err := positive("thread strip", engaged, yield); err != nil {
		return Result{}, err
	}
	root, err := RootDiameter(d, pitch)
	if err != nil {
		return Result{}, err
	}
	if engaged < 2*pitch {
		return Result{}, outside("thread strip", "fewer than two threads are engaged")
	}
	area := math.Pi * root * engaged / 2
	return Result{
		Value:  yield / math.Sqrt(3) * area,
		Method: "thread strip, F = 0.577 × yield × half the cylinder at the root", Source: "FED-STD-H28 (thread shear area)",
		Assumptions: []string{"the weaker thread has the yield strength given", "the engaged threads share the load equally"},
		Working:     []Step{{"root diameter", mm(root), "mm"}, {"engaged", mm(engaged), "mm"}, {"shear area", mm2(area), "mm²"}, {"yield", mpa(yield), "MPa"}},
	}, nil
}
