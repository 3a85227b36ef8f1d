package strength

import "math"

// Bending is the moment at which a part yields that is bent, pushed or pulled and twisted
// in the same proportion, N·m.
//
//	√(σ² + 3·τ²) = S_y,  σ = N/A + M·c/I · 1/(1 − N/N_cr),  τ = T/W_t,  N_cr = π²·E·I/L²
//
// M, N and T grow together. The moment is larger for a push by what it bows the part over
// its length L; a pull makes nothing smaller. Source: Shigley, Mechanical Engineering
// Design, eq. 3-24, 3-36, 5-15 (from memory); AISC 360-16, C2 and appendix 8, for the
// amplification (from memory). c is Section.Far, W_t its Twist. Where the part bends at a
// weld, S_w of the weld counts, as Column says.
func Bending(s Section, length, moment, thrust, torque float64, m Material) (Result, error) {
	if err := positive("bending", s.Area, s.Second, s.Far, s.Twist, length, moment, m.Yield, m.Welded, m.E); err != nil {
		return Result{}, err
	}
	if err := finite("bending", thrust, torque); err != nil {
		return Result{}, err
	}
	yield := math.Min(m.Yield, m.Welded)
	critical := math.Pi * math.Pi * m.E * s.Second / (length * length)
	stress := func(times float64) float64 {
		bow := 1.0
		if push := times * thrust / critical; push >= 1 {
			return math.Inf(1)
		} else if push > 0 {
			bow = 1 / (1 - push)
		}
		sigma := times * (math.Abs(thrust)/s.Area + moment*s.Far/s.Second*bow)
		tau := times * math.Abs(torque) / s.Twist
		return math.Sqrt(sigma*sigma + 3*tau*tau)
	}
	low, high := 0.0, yield/stress(1e-9)*1e-9*2
	for range 200 {
		if mid := (low + high) / 2; stress(mid) < yield {
			low = mid
		} else {
			high = mid
		}
	}
	return Result{
		Value:  low * moment,
		Method: "bending with thrust and torsion, √(σ² + 3τ²) = yield", Source: "Shigley, Mechanical Engineering Design, eq. 3-24 and 5-15; " + m.Source,
		Assumptions: []string{"moment, thrust and torsion grow together", "taken as welded where it bends"},
		Working: []Step{
			{"moment", moment, "N·m"}, {"thrust", thrust, "N"}, {"torsion", torque, "N·m"}, {"section modulus", s.Second / s.Far * 1e9, "mm³"},
			{"area", mm2(s.Area), "mm²"}, {"yield", mpa(yield), "MPa"}, {"buckles at", critical, "N"},
		},
	}, nil
}
