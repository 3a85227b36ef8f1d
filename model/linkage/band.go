package linkage

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Band is how much the ± of the measured points leaves open in a wheel's attitude:
// the sum of what each coordinate may do, so nothing lies outside.
type Band struct {
	Toe, Camber, Out float64
	Worst            string // the point that the toe hangs on most: a joint, or bar/end
}

// Band works out what the ± of the points leaves open against the drawn pose: with
// other points the bars are as long as these ask, so that the wheel is as drawn
// there and only its way from there differs. The ± enters to first order.
//
// Where an axle leans by its bushes, what rigid links make of it is decided by how
// little they are out of parallel, so that the ± would lean it any way: with bushes
// true the weakest motion is left out.
func (s *State) Band(wheel int, bushes bool) Band {
	l := s.l
	n := 6 * len(l.sys.Bodies)
	g := mat.NewDense(3, n, nil) // what each step does to toe, camber and half-track
	unit := make([]float64, n)
	body := l.sys.Wheels[wheel].Body
	for k := 6 * body; k < 6*body+6; k++ {
		unit[k] = 1
		a := Step{s, unit}.Wheel(wheel)
		unit[k] = 0
		g.SetCol(k, []float64{a.Toe, a.Camber, a.Out})
	}
	f := s.own()
	var by mat.Dense // what each residual does
	by.Mul(g, f.inv)
	if bushes {
		var weak mat.VecDense
		weak.MulVec(g, mat.NewVecDense(n, f.step))
		var part mat.Dense
		part.Outer(1/(math.Abs(f.tight)*f.largest), &weak, mat.NewVecDense(len(f.rows), f.rows))
		by.Sub(&by, &part)
	}

	var band Band
	worst := 0.0
	point := func(name string, tol Vec, shift func(e Vec) (row int, dr []float64)) {
		toe := 0.0
		for i, e := range axes {
			row, dr := shift(e)
			var sum [3]float64
			for k, d := range dr {
				for out := range sum {
					sum[out] += by.At(out, row+k) * d
				}
			}
			w := component(tol, i)
			toe += math.Abs(sum[0]) * w
			band.Camber += math.Abs(sum[1]) * w
			band.Out += math.Abs(sum[2]) * w
		}
		band.Toe += toe
		if toe > worst*(1+1e-9) {
			worst, band.Worst = toe, name
		}
	}
	next := 0
	for _, j := range l.sys.Joints {
		if j.A == j.B {
			continue
		}
		c := l.parts[next]
		row := l.first[next]
		next++
		if j.Kind != Ball {
			next++ // its axis has no ± of its own
		}
		point(j.Name, j.Tol, func(e Vec) (int, []float64) {
			d := r3.Sub(s.direction(j.A, e), s.direction(j.B, e))
			if line, ok := c.(onLine); ok {
				return row, []float64{
					-r3.Dot(s.direction(j.A, line.across[0]), d), -r3.Dot(s.direction(j.A, line.across[1]), d),
				}
			}
			return row, []float64{d.X, d.Y, d.Z}
		})
	}
	for i := range l.sys.Bars {
		b := &l.sys.Bars[i]
		xa, xb := s.ends(b)
		u := r3.Unit(r3.Sub(xa, xb))
		var drawn Vec
		if b.Length == 0 {
			drawn = r3.Unit(r3.Sub(b.PA, b.PB))
		}
		for end, on := range [2]int{b.A, b.B} {
			sign := 1 - 2*float64(end)
			point(b.Name+"/"+b.Ends[end], b.Tol[end], func(e Vec) (int, []float64) {
				return l.barRow(i), []float64{sign * (r3.Dot(u, s.direction(on, e)) - r3.Dot(drawn, e))}
			})
		}
	}
	return band
}
