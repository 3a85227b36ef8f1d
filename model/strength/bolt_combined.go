package strength

import "math"

// BoltCombined is the load at which a bolt that is pulled and sheared at the same
// time has nothing left, N.
//
//	utilisation = the larger of  V/V_R + T/(1.4·T_R)  and  T/T_R
//
// V and T are the forces across and along the bolt in N, V_R and T_R what BoltShear
// and BoltTension give for either alone. Source: EN 1993-1-8, table 3.4, combined
// shear and tension (opened as quoted elsewhere); its straight line is nowhere more
// than 4 % above the ellipse of the distortion-energy theory and mostly well below.
// Value is the resultant force that reaches a utilisation of one in the same
// proportion; without any force it does not apply.
func BoltCombined(across, along float64, shear, tension Result) (Result, error) {
	if err := positive("bolt in shear and tension", shear.Value, tension.Value); err != nil {
		return Result{}, err
	}
	if err := finite("bolt in shear and tension", across, along); err != nil {
		return Result{}, err
	}
	v, t := math.Abs(across), math.Abs(along)
	if v+t == 0 {
		return Result{}, outside("bolt in shear and tension", "there is no load to combine")
	}
	use := max(v/shear.Value+t/(1.4*tension.Value), t/tension.Value)
	return Result{
		Value:  math.Hypot(v, t) / use,
		Method: "bolt in shear and tension together, V/V_R + T/(1.4·T_R)", Source: "EN 1993-1-8, table 3.4",
		Assumptions: append(append([]string{}, shear.Assumptions...), tension.Assumptions...),
		Working: []Step{
			{"across the bolt", v, "N"}, {"bears across", shear.Value, "N"},
			{"along the bolt", t, "N"}, {"bears along", tension.Value, "N"},
		},
	}, nil
}

// BoltCombinedAnyWay is the force at which such a bolt has nothing left whichever way the
// force points, N: at the worst angle to the bolt its utilisation in BoltCombined is
//
//	F · the larger of  √((1/V_R)² + (1/(1.4·T_R))²)  and  1/T_R
func BoltCombinedAnyWay(shear, tension Result) (Result, error) {
	if err := positive("bolt in shear and tension", shear.Value, tension.Value); err != nil {
		return Result{}, err
	}
	return Result{
		Value:  1 / max(math.Hypot(1/shear.Value, 1/(1.4*tension.Value)), 1/tension.Value),
		Method: "bolt in shear and tension together at the worst angle, V/V_R + T/(1.4·T_R)", Source: "EN 1993-1-8, table 3.4",
		Assumptions: append(append([]string{}, shear.Assumptions...), tension.Assumptions...),
		Working: []Step{
			{"bears across", shear.Value, "N"}, {"bears along", tension.Value, "N"},
		},
	}, nil
}
