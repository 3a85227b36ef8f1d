package strength

import "math"

// ColumnWithShanks is the push at which a bar buckles or yields whose ends are exposed
// threaded shanks, N: shank at both ends, each of length exposed from the joint's middle to
// where the thread is held.
//
// Elastic load P of the stepped column, pinned at both ends, half of it
//
//	k₁·tan(k₁·(L/2 − c))·tan(k₂·c) = k₂,  k₁² = P/(E₁·I₁),  k₂² = P/(E₂·I₂)
//
// I₁ the bar, I₂ the shank, c its length; from that load as Column, P_y the lesser of A·S_y of
// shank and bar. Source: Timoshenko and Gere, Theory of Elastic Stability, 2.14, columns with a
// change in cross-section (from memory; the equation follows from the deflection and its
// slope being one where the sections meet). With no shank it is Column. The longer of two
// shanks is taken for both.
func ColumnWithShanks(s, shank Section, length, exposed, imperfection float64, m, thread Material) (Result, error) {
	plain, err := Column(s, length, imperfection, m)
	if err != nil {
		return Result{}, err
	}
	if err := positive("column with shanks", shank.Area, shank.Second, exposed, thread.Yield, thread.E); err != nil {
		return Result{}, err
	}
	if 2*exposed >= length {
		return Result{}, outside("column with shanks", "the shanks are longer than the bar")
	}
	stiff, soft := m.E*s.Second, thread.E*shank.Second
	if soft > stiff {
		soft = stiff // a shank stiffer than the bar helps nothing that is counted on
	}
	// Past the first root one of the tangents has jumped; both are below a quarter turn there.
	most := math.Min(stiff*math.Pow(math.Pi/(length-2*exposed), 2), soft*math.Pow(math.Pi/2/exposed, 2))
	low, high := 0.0, most
	for range 200 {
		p := (low + high) / 2
		k1, k2 := math.Sqrt(p/stiff), math.Sqrt(p/soft)
		if k1*math.Tan(k1*(length/2-exposed))*math.Tan(k2*exposed) < k2 {
			low = p
		} else {
			high = p
		}
	}
	elastic, squash := low, math.Min(shank.Area*thread.Yield, s.Area*m.Yield)
	stepped, err := buckles(elastic, squash, imperfection)
	if err != nil {
		return Result{}, err
	}
	r := plain
	r.Value = math.Min(plain.Value, stepped.Value)
	r.Method = "column with exposed shanks: the stepped column's elastic load, and below as a column"
	r.Source = "Timoshenko and Gere, Theory of Elastic Stability, 2.14; " + stepped.Source + plain.Source
	r.Working = append(append([]Step{}, plain.Working...),
		Step{"without shanks", plain.Value, "N"}, Step{"exposed shank", mm(exposed), "mm"}, Step{"second moment of the shank", shank.Second * 1e12, "mm⁴"},
		Step{"elastic load", elastic, "N"}, Step{"yields at", squash, "N"})
	return r, nil
}
