package strength

// NetSection is the pull at which a tab yields across its bolt hole, N.
//
//	F = S_y · (w − d₀) · t
//
// w is the width of the tab across the hole, d₀ the hole, t the thickness. Source:
// Shigley, Mechanical Engineering Design, example 8-6 (opened). It does not hold
// where the hole takes more than three quarters of the width.
func NetSection(width, hole, thickness, yield float64) (Result, error) {
	if err := positive("net section", width, hole, thickness, yield); err != nil {
		return Result{}, err
	}
	if hole > 0.75*width {
		return Result{}, outside("net section", "the hole leaves next to nothing of the tab's width")
	}
	area := (width - hole) * thickness
	return Result{
		Value:  yield * area,
		Method: "tab pulled apart at its hole, F = yield × (width − hole) × thickness", Source: "Shigley, Mechanical Engineering Design, example 8-6",
		Assumptions: []string{"the hole is in the middle of the width"},
		Working:     []Step{{"width", mm(width), "mm"}, {"hole", mm(hole), "mm"}, {"net area", mm2(area), "mm²"}, {"yield", mpa(yield), "MPa"}},
	}, nil
}
