package strength

import "math"

// Pin is a clevis pin of diameter D between a fork with two plates of thickness Fork and an
// eye of thickness Eye, with Gap between eye and fork on either side, m.
type Pin struct{ D, Eye, Fork, Gap float64 }

// ClevisPin is the force at which a clevis pin that is to come out again yields, N, the
// least of three:
//
//	shear and bending together   (M/M_R)² + (F/F_R)² = 1
//	  M = F/8·(b + 4·c + 2·a),  M_R = 0.8·W·S_y,  F_R = 2·0.577·S_y·A
//	bearing on pin, eye or fork  F = 0.6·t·d·S_y, the eye's t or both of the fork's
//
// a is the fork's plate, b the eye, c the gap, S_y the least yield strength of pin and plates in
// bearing. Source: EN 1993-1-8, table 3.10 and figure 3.11, replaceable pins (worked
// examples opened; the table as copied elsewhere); the shear at yield by Shigley. The moment
// takes the load as spread over eye and fork; as a beam with the load at its middle it would
// be F·s/4 with the span s, up to twice as much, and the report names which.
func ClevisPin(p Pin, pin, plates Material) (Result, error) {
	if err := positive("clevis pin", p.D, p.Eye, p.Fork, pin.Yield, plates.Yield); err != nil {
		return Result{}, err
	}
	if !(p.Gap >= 0) || p.Gap > p.D {
		return Result{}, outside("clevis pin", "its plates stand too far apart for a clevis on such a pin")
	}
	modulus := math.Pi * p.D * p.D * p.D / 32
	lever := (p.Eye + 4*p.Gap + 2*p.Fork) / 8
	bends := 0.8 * modulus * pin.Yield / lever
	shears := 2 * pin.Yield / math.Sqrt(3) * math.Pi / 4 * p.D * p.D
	both := 1 / math.Hypot(1/bends, 1/shears)
	bears := 0.6 * math.Min(pin.Yield, plates.Yield) * p.D * math.Min(p.Eye, 2*p.Fork)
	r := Result{
		Value: both, Method: "clevis pin in shear and bending, (M/M_R)² + (F/F_R)² = 1, M = F/8·(b + 4c + 2a)", Source: "EN 1993-1-8, table 3.10; " + pin.Source,
		Assumptions: []string{"the pin comes out again: M_R = 0.8·W·yield", "the load is spread over eye and fork"},
		Working: []Step{
			{"section modulus", modulus * 1e9, "mm³"}, {"lever, moment over force", mm(lever), "mm"}, {"bends at", bends, "N"},
			{"shears at", shears, "N"}, {"bearing at", bears, "N"}, {"yield of the pin", mpa(pin.Yield), "MPa"},
		},
	}
	if bears < both {
		r.Value, r.Method = bears, "bearing of a clevis pin that comes out again, F = 0.6·t·d·yield"
	}
	return r, nil
}
