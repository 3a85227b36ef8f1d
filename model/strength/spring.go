package strength

// CoilBind is the push at which the coils of a spring touch, N: up to there it works by its
// rate, and beyond it is a bar.
//
//	F = k · (L0 − Ls)
//
// k is the rate in N/m, L0 the free length and Ls the solid length in m. Domain: the solid
// length is the shorter one; a rate that does not change with length. Source: Shigley,
// Mechanical Engineering Design, section 10-1 and example 10-2 (from memory); Hooke's law.
func CoilBind(rate, free, solid float64) (Result, error) {
	const method = "coil bind"
	if err := positive(method, rate, free, solid); err != nil {
		return Result{}, err
	}
	if solid >= free {
		return Result{}, outside(method, "its coils touch at %.4g mm, and it is %.4g mm long by itself", mm(solid), mm(free))
	}
	return Result{
		Value: rate * (free - solid), Method: "coil bind, F = k·(L0 − Ls)", Source: "Shigley, Mechanical Engineering Design, section 10-1",
		Working: []Step{{"rate k", rate * 1e-3, "N/mm"}, {"free length L0", mm(free), "mm"}, {"solid length Ls", mm(solid), "mm"}},
	}, nil
}
