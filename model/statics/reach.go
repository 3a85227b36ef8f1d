package statics

import (
	"fmt"

	"gonum.org/v1/gonum/mat"
)

// beyondReach returns a motion that some load within the ± drives and no support
// resists, or nil when supports that only push can carry all of the ±. The loads
// they can carry are a cone; each of its sides is a plane through all but one of
// the reactions that equilibrium needs, with every support on one side of it. The
// least value of a load over the box of all ± along a side's normal is exact.
func (s *Step) beyondReach(dir *direction, t *mat.Dense) ([]float64, error) {
	rank, q := t.Dims()
	n := s.holders()
	var c, d mat.Dense
	c.Mul(t, dir.c)
	d.Mul(t, dir.d)
	count := 0
	for on := range combinations(n, rank-1) {
		if count++; count > maxWays {
			return nil, fmt.Errorf("%d supports and ties can carry in more than %d ways; describe the step with fewer", n, maxWays)
		}
		normal := sideThrough(&c, on)
		if normal == nil {
			continue
		}
		least, most := 0.0, 0.0
		for j := range n {
			v := mat.Dot(normal, c.ColView(j))
			least, most = min(least, v), max(most, v)
		}
		switch {
		case least < -balance && most > balance:
			continue // supports on both sides
		case most <= balance:
			normal.ScaleVec(-1, normal)
		}
		row := make([]float64, len(s.m.loads))
		for k := range row {
			row[k] = mat.Dot(normal, d.ColView(k))
		}
		if low, _ := s.m.extremes(row); low < -balance {
			out := mat.NewVecDense(q, nil)
			out.MulVec(t.T(), normal)
			out.ScaleVec(-1, out)
			return out.RawVector().Data, nil
		}
	}
	return nil, nil
}

// sideThrough returns the unit normal of the plane through the chosen columns, or
// nil when they do not make a plane.
func sideThrough(c *mat.Dense, on []int) *mat.VecDense {
	rank, _ := c.Dims()
	normal := mat.NewVecDense(rank, nil)
	if len(on) == 0 {
		normal.SetVec(0, 1) // a single reaction: the cone is a ray
		return normal
	}
	square := mat.NewDense(rank, rank, nil)
	for k, j := range on {
		for i := range rank {
			square.Set(k, i, c.At(i, j))
		}
	}
	var svd mat.SVD
	if !svd.Factorize(square, mat.SVDFullV) {
		panic("a small matrix could not be factorised")
	}
	if values := svd.Values(nil); values[rank-2] <= 1e-9*values[0] {
		return nil
	}
	var v mat.Dense
	svd.VTo(&v)
	normal.CopyVec(v.ColView(rank - 1))
	return normal
}
