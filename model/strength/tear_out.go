package strength

import "math"

// TearOut is the force at which a bolt tears out of the edge of one tab, N.
//
//	F = 0.577 · S_y · 2 · t · (e − d₀/2)
//
// e is the distance from the hole's centre to the edge along the load, d₀ the
// hole, t the thickness: two planes from the hole to the edge shear. Source:
// AISC 360-16, eq. J3-6c has the same planes with 0.6·F_u per plane on the clear
// distance (from memory); here at yield. Below e = d₀ it does not apply.
func TearOut(hole, edge, thickness, yield float64) (Result, error) {
	if err := positive("tear-out", hole, edge, thickness, yield); err != nil {
		return Result{}, err
	}
	if edge < hole {
		return Result{}, outside("tear-out", "the hole's centre is less than one hole diameter from the edge")
	}
	area := 2 * thickness * (edge - hole/2)
	return Result{
		Value:  yield / math.Sqrt(3) * area,
		Method: "tear-out of one tab, F = 0.577 × yield × 2 × thickness × (edge − hole/2)", Source: "AISC 360-16, eq. J3-6 (shear planes to the edge), at yield",
		Working: []Step{{"edge", mm(edge), "mm"}, {"hole", mm(hole), "mm"}, {"shear area", mm2(area), "mm²"}, {"yield", mpa(yield), "MPa"}},
	}, nil
}
