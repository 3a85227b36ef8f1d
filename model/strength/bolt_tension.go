package strength

// BoltTension is the pull at which a bolt reaches its proof stress, N.
//
//	F = S_p · A_t
//
// S_p is the proof stress of the class and A_t the tensile stress area. Source:
// ISO 898-1, tables 5 and 7 (proof loads, from memory).
func BoltTension(d, pitch float64, metric bool, c Class) (Result, error) {
	area, err := StressArea(d, pitch, metric)
	if err != nil {
		return Result{}, err
	}
	return Result{
		Value: c.Proof * area, Method: "proof load of the bolt, F = proof stress × stress area", Source: c.Source,
		Working: []Step{{"stress area", mm2(area), "mm²"}, {"proof stress", mpa(c.Proof), "MPa"}},
	}, nil
}
