package strength

// Bearing is the force at which a bolt yields the edge of its hole, N.
//
//	F = S_y · d · t
//
// d is the bolt diameter, t the thickness of one tab, S_y its yield strength;
// two tabs of a fork carry half of the load each. Source: Shigley, Mechanical
// Engineering Design, eq. 8-56 (bearing on projected area, from memory). The
// ultimate bearing strength of EN 1993-1-8 table 3.4 is up to 2.5 times as high.
func Bearing(d, thickness, yield float64) (Result, error) {
	if err := positive("bearing", d, thickness, yield); err != nil {
		return Result{}, err
	}
	return Result{
		Value:  yield * d * thickness,
		Method: "bearing on one tab, F = yield × bolt diameter × thickness", Source: "Shigley, Mechanical Engineering Design, eq. 8-56",
		Working: []Step{{"bolt", mm(d), "mm"}, {"thickness", mm(thickness), "mm"}, {"yield", mpa(yield), "MPa"}},
	}, nil
}
