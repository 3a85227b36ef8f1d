package strength

import (
	"math"
)

// BoltShear is the force across a bolt at which it yields in shear, N.
//
//	F = n · 0.577 · S_y · A
//
// n is the number of shear planes, S_y the yield strength, A the area of the shank
// or, where a plane passes through the thread, of the thread's root. 0.577 is
// 1/√3, the distortion-energy theory. Source: Shigley, Mechanical Engineering
// Design, chapters 5 and 8 (from memory).
func BoltShear(d, pitch float64, c Class, planes int, threadInShear bool) (Result, error) {
	if planes != 1 && planes != 2 {
		return Result{}, outside("bolt shear", "a joint shears a bolt in one or two planes, not %d", planes)
	}
	root, err := RootDiameter(d, pitch)
	if err != nil {
		return Result{}, err
	}
	where, dia := "shank", d
	if threadInShear {
		where, dia = "thread root", root
	}
	area := math.Pi / 4 * dia * dia
	return Result{
		Value:  float64(planes) * c.Yield * area / math.Sqrt(3),
		Method: "shear yield of the bolt, F = planes × 0.577 × yield × area", Source: "Shigley, Mechanical Engineering Design, ch. 5 and 8; " + c.Source,
		Assumptions: []string{"shear planes pass through the " + where, "the planes share the load equally"},
		Working:     []Step{{"planes", float64(planes), ""}, {"yield", mpa(c.Yield), "MPa"}, {"area of the " + where, mm2(area), "mm²"}},
	}, nil
}
