package statics

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/floats"
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
	c, d := product(t, dir.c), product(t, dir.d)
	sides, row := make([]float64, n), make([]float64, len(s.m.loads))
	count := 0
	for on := range combinations(n, rank-1) {
		if count++; count > maxWays {
			return nil, fmt.Errorf("%d supports and ties can carry in more than %d ways; describe the step with fewer", n, maxWays)
		}
		normal := sideThrough(c, on)
		if normal == nil {
			continue
		}
		addRows(sides, normal, c)
		least, most := min(0, slices.Min(sides)), max(0, slices.Max(sides))
		switch {
		case least < -balance && most > balance:
			continue // supports on both sides
		case most <= balance:
			floats.Scale(-1, normal)
		}
		addRows(row, normal, d)
		if low, _ := s.m.extremes(row); low < -balance {
			out := make([]float64, q)
			addRows(out, normal, t)
			floats.Scale(-1, out)
			return out, nil
		}
	}
	return nil, nil
}

// addRows sets into to the sum of the rows of a matrix, each so many times.
func addRows(into, times []float64, of *mat.Dense) {
	clear(into)
	for i, by := range times {
		floats.AddScaled(into, by, of.RawRowView(i))
	}
}

// sideThrough returns the unit normal of the plane through the chosen columns, or
// nil when they do not make a plane.
func sideThrough(c *mat.Dense, on []int) []float64 {
	rank, _ := c.Dims()
	plane := mat.NewDense(rank, rank, nil) // orthonormal rows that span it; those not yet found are nothing
	size := 0.0
	for _, j := range on {
		size = max(size, mat.Norm(c.ColView(j), 2))
	}
	for k, j := range on {
		row := plane.RawRowView(k)
		v := outside(plane, outside(plane, mat.Col(nil, j, c))) // twice, for what rounding leaves the first time
		if out := norm(v); out <= 1e-9*size {
			return nil
		} else {
			floats.AddScaled(row, 1/out, v)
		}
	}
	normal := make([]float64, rank)
	for i := range rank {
		axis := make([]float64, rank)
		axis[i] = 1
		if outside(plane, axis); norm(axis) > norm(normal) {
			normal = axis
		}
	}
	outside(plane, normal)
	floats.Scale(1/norm(normal), normal)
	return normal
}
