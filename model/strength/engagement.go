package strength

import (
	"fmt"
	"math"
)

// EngagementNeeded is the thread engagement in diameters that a tapped hole in a
// material asks for: 1 in steel, 1.5 in aluminium and cast iron, and 2 in aluminium where more
// than half of the screw's proof load is used, which 1.5 would strip at (common practice; TR
// Fastenings, opened).
func EngagementNeeded(material string, used float64) (float64, error) {
	switch material {
	case "steel":
		return 1, nil
	case "aluminium":
		if !(used <= 0.5) {
			return 2, nil
		}
		return 1.5, nil
	case "cast iron":
		return 1.5, nil
	}
	return 0, fmt.Errorf("no engagement is known for a hole in %q", material)
}

// tapped are the yield strengths of the weakest metal that a tapped hole of a kind is usually
// in, each up to a wall of the casting in m: S235 (EN 10025-2; memory); sand-cast A356.0-T6
// cut from the casting, three quarters of the 24 ksi of separately cast bars (ASTM B26; a
// copy), whatever the wall; grey iron EN-GJL-150, 0.65 of the tensile strength that EN 1561
// expects in a casting of that wall (155, 130, 110 MPa; memory) and no more than its 0.1 %
// proof of 98 MPa.
var tapped = map[string][]struct{ wall, yield float64 }{
	"steel":     {{math.Inf(1), 235e6}},
	"aluminium": {{math.Inf(1), 0.75 * 165e6}},
	"cast iron": {{0.010, 98e6}, {0.020, 84e6}, {0.040, 71e6}},
}

// TappedYield is the yield strength of the metal round a tapped hole, Pa, by the wall of the
// casting, m; where that is not known, a wall of 0, of the thickest.
func TappedYield(material string, wall float64) (float64, error) {
	bands, known := tapped[material]
	if !known {
		return 0, fmt.Errorf("no strength is known for a hole in %q", material)
	}
	if !(wall >= 0) {
		return 0, fmt.Errorf("tapped hole: a wall of %g m is no measure", wall)
	}
	for _, b := range bands {
		if wall > 0 && wall <= b.wall {
			return b.yield, nil
		}
	}
	last := bands[len(bands)-1]
	if wall > last.wall {
		return 0, outside("cast "+material, "its strength in so thick a wall is not known here")
	}
	return last.yield, nil
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
