package strength

import "math"

// RodEndShank is the load at which the threaded shank of a rod end yields that is screwed
// into an arm, N, for a force across the shank and one along it together.
//
//	F_along/A + F_across·l/W = S_y,  A = π·d₁²/4,  W = π·d₁³/32
//
// l is the distance from the middle of the ball to where the thread is held, d₁ the thread's
// root. A maker's static rating is for a pull along the shank and says nothing of this (RBC
// Bearings, static radial load ratings, opened). Value is the resultant that yields it in the
// same proportion. Source: Shigley, Mechanical Engineering Design, eq. 3-24.
func RodEndShank(across, along, d, pitch, arm, yield float64) (Result, error) {
	if err := positive("rod end's shank", arm, yield); err != nil {
		return Result{}, err
	}
	if err := finite("rod end's shank", across, along); err != nil {
		return Result{}, err
	}
	root, err := RootDiameter(d, pitch)
	if err != nil {
		return Result{}, err
	}
	across, along = math.Abs(across), math.Abs(along)
	if across+along == 0 {
		return Result{}, outside("rod end's shank", "there is no load to bend it")
	}
	area, modulus := math.Pi/4*root*root, math.Pi*root*root*root/32
	stress := along/area + across*arm/modulus
	return Result{
		Value:  math.Hypot(across, along) * yield / stress,
		Method: "rod end's shank in bending, F_along/A + F_across × arm ÷ W = yield", Source: "Shigley, Mechanical Engineering Design, eq. 3-24",
		Assumptions: []string{"the thread is held at its face and bends at its root"},
		Working: []Step{
			{"across the shank", across, "N"}, {"along the shank", along, "N"}, {"root diameter", mm(root), "mm"}, {"arm", mm(arm), "mm"},
			{"section modulus", modulus * 1e9, "mm³"}, {"yield", mpa(yield), "MPa"},
		},
	}, nil
}
