package statics

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// tiny is the size below which a coefficient of scaled equations is rounding.
const tiny = 1e-11

// nnls finds x ≥ 0 that minimises |C·x − d| and returns it with the residual
// d − C·x. Method: Lawson and Hanson, Solving Least Squares Problems (1974),
// chapter 23, algorithm NNLS. The residual is zero exactly when supports that
// only push can carry the load, and otherwise it is a motion that the load
// drives and no support resists (Farkas).
func nnls(c *mat.Dense, d []float64) (x, residual []float64) {
	rows, n := c.Dims()
	x = make([]float64, n)
	residual = append([]float64(nil), d...)
	passive := make([]bool, n)
	scale := 0.0
	for _, v := range d {
		scale = max(scale, math.Abs(v))
	}
	for range 10*n + 10 {
		best, gain := -1, tiny*max(scale, 1e-30)
		for j := range n {
			if passive[j] {
				continue
			}
			g := 0.0
			for i := range rows {
				g += c.At(i, j) * residual[i]
			}
			if g > gain {
				best, gain = j, g
			}
		}
		if best < 0 {
			break
		}
		passive[best] = true
		for {
			s := leastSquares(c, passive, d)
			step := 1.0
			for j := range n {
				if passive[j] && s[j] <= 0 {
					step = min(step, x[j]/(x[j]-s[j]))
				}
			}
			done := true
			for j := range n {
				if !passive[j] {
					continue
				}
				if x[j] += step * (s[j] - x[j]); step < 1 && x[j] <= 1e-14 {
					x[j], passive[j], done = 0, false, false
				}
			}
			if done {
				break
			}
		}
		for i := range rows {
			residual[i] = d[i]
			for j := range n {
				residual[i] -= c.At(i, j) * x[j]
			}
		}
	}
	return x, residual
}

// leastSquares solves C·x ≈ d over the chosen columns with the least norm; the
// other entries are zero.
func leastSquares(c *mat.Dense, chosen []bool, d []float64) []float64 {
	rows, n := c.Dims()
	var cols []int
	for j := range n {
		if chosen[j] {
			cols = append(cols, j)
		}
	}
	x := make([]float64, n)
	if len(cols) == 0 {
		return x
	}
	sub := mat.NewDense(rows, len(cols), nil)
	for k, j := range cols {
		for i := range rows {
			sub.Set(i, k, c.At(i, j))
		}
	}
	p := pseudoInverse(sub)
	for k, j := range cols {
		for i := range rows {
			x[j] += p.At(k, i) * d[i]
		}
	}
	return x
}

// pseudoInverse returns the least-norm inverse of a small matrix; singular
// values below a thousandth of a millionth of the largest count as zero.
func pseudoInverse(a *mat.Dense) *mat.Dense {
	r, c := a.Dims()
	p := mat.NewDense(c, r, nil)
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDThin) {
		panic("a small matrix could not be factorised")
	}
	var u, v mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	values := svd.Values(nil)
	for k, s := range values {
		if s <= 1e-9*values[0] || s == 0 {
			break
		}
		for i := range c {
			row, by := p.RawRowView(i), v.At(i, k)/s
			for j := range row {
				row[j] += by * u.At(j, k)
			}
		}
	}
	return p
}

// independent returns orthonormal combinations of the rows of C, one a row, that
// span all of them, so that small systems can be solved exactly; nil when C is
// zero.
func independent(c *mat.Dense) *mat.Dense {
	rows, _ := c.Dims()
	var svd mat.SVD
	if !svd.Factorize(c, mat.SVDThin) {
		panic("a small matrix could not be factorised")
	}
	values := svd.Values(nil)
	rank := 0
	for _, s := range values {
		if s > 1e-7*max(values[0], 1e-30) && s > tiny {
			rank++
		}
	}
	var u mat.Dense
	svd.UTo(&u)
	if rank == 0 {
		return nil
	}
	t := mat.NewDense(rank, rows, nil)
	t.Copy(u.Slice(0, rows, 0, rank).T())
	return t
}
