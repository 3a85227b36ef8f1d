package strength

import "math"

// BoltBending is the force at the middle of a gap that yields the bolt across
// it, N.
//
//	F = 4 · M / L,   M = S_y · π · d₁³ / 32
//
// L is the clear gap, d₁ the diameter at the thread's root: a beam resting on both
// tabs with the load at mid-span, which is on the safe side of a clamped one.
// Source: Shigley, Mechanical Engineering Design, table A-9-5 and eq. 3-24 (from
// memory).
func BoltBending(d, pitch, gap, yield float64) (Result, error) {
	if err := positive("bolt bending", gap, yield); err != nil {
		return Result{}, err
	}
	root, err := RootDiameter(d, pitch)
	if err != nil {
		return Result{}, err
	}
	if gap > 20*d {
		return Result{}, outside("bolt bending", "the gap between its tabs is too wide for a joint")
	}
	modulus := math.Pi * root * root * root / 32
	return Result{
		Value:  4 * yield * modulus / gap,
		Method: "bolt bending across the gap, F = 4 × yield × π·d₁³/32 ÷ gap", Source: "Shigley, Mechanical Engineering Design, table A-9-5",
		Assumptions: []string{"load at mid-gap, bolt resting freely on both tabs", "the thread's root bends"},
		Working:     []Step{{"root diameter", mm(root), "mm"}, {"gap", mm(gap), "mm"}, {"section modulus", modulus * 1e9, "mm³"}, {"yield", mpa(yield), "MPa"}},
	}, nil
}

// BoltOverhang is the force that yields a bolt which is held in one tab and sticks out
// of it, N, acting the arm away from the tab's face.
//
//	F = M / arm,   M = S_y · π · d³ / 32
//
// d is the diameter at the thread's root, or of the shank where the thread begins past the
// tab. Source: Shigley, Mechanical Engineering Design, table A-9-1 and eq. 3-24 (from
// memory).
func BoltOverhang(d, pitch, arm, yield float64, inThread bool) (Result, error) {
	if err := positive("bolt bending", arm, yield); err != nil {
		return Result{}, err
	}
	root, err := RootDiameter(d, pitch)
	if err != nil {
		return Result{}, err
	}
	if arm > 10*d {
		return Result{}, outside("bolt bending", "it reaches too far past its tab for a joint")
	}
	bends, where := d, "the shank bends"
	if inThread {
		bends, where = root, "the thread's root bends"
	}
	modulus := math.Pi * bends * bends * bends / 32
	return Result{
		Value:  yield * modulus / arm,
		Method: "bolt bending out of one tab, F = yield × π·d³/32 ÷ arm", Source: "Shigley, Mechanical Engineering Design, table A-9-1",
		Assumptions: []string{"held in one tab alone, the load at the middle of what sits on it", where},
		Working:     []Step{{"diameter that bends", mm(bends), "mm"}, {"arm", mm(arm), "mm"}, {"section modulus", modulus * 1e9, "mm³"}, {"yield", mpa(yield), "MPa"}},
	}, nil
}
