package statics

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Everything here is linear in the loads, and the loads are linear in two
// properties of each mass: the mass m itself, and its first moment m·δ, where δ is
// the distance of its centre of gravity from the nominal one. So each result is
// one nominal value plus, for every uncertain mass, a factor for m and three for
// m·δ; and its extremes over the box of all ± are found mass by mass, exactly.

// param is one uncertain mass. Its four loads follow one another in Model.loads.
type param struct {
	mass  Mass
	first int
}

// load is one unit load on one body: weight of 1 kg at a point (first nil) or the
// moment of a first moment of 1 kg·m in one direction.
type load struct {
	body    int
	at      Vec
	moment  bool
	along   Vec
	nominal bool // the whole vehicle as nominal
}

func (m *Model) parameters() {
	m.loads = []load{{nominal: true}}
	for i, b := range m.sys.Bodies {
		for _, w := range b.Masses {
			if w.Tol == 0 && w.CGTol == (Vec{}) {
				continue
			}
			m.params = append(m.params, param{mass: w, first: len(m.loads)})
			m.loads = append(m.loads, load{body: i, at: w.CG})
			for _, e := range []Vec{{X: 1}, {Y: 1}, {Z: 1}} {
				m.loads = append(m.loads, load{body: i, at: w.CG, moment: true, along: e})
			}
		}
	}
}

// weights returns what must be carried, one column a load, for gravity pulling
// along g: the negative of weight, divided by the
// nominal weight.
func (m *Model) weights(g Vec) *mat.Dense {
	w := mat.NewDense(m.rows, len(m.loads), nil)
	col := make([]float64, m.rows)
	unit := r3.Scale(-Gravity/m.weight, g)
	for k, l := range m.loads {
		clear(col)
		switch {
		case l.nominal:
			for i, b := range m.sys.Bodies {
				for _, mass := range b.Masses {
					m.wrench(col, i, r3.Scale(mass.M, unit), Vec{}, mass.CG)
				}
			}
		case l.moment:
			m.wrench(col, l.body, Vec{}, r3.Cross(l.along, unit), l.at)
		default:
			m.wrench(col, l.body, unit, Vec{}, l.at)
		}
		w.SetCol(k, col)
	}
	return w
}

// pullAlong works out a unit of gravity along e.
func (m *Model) pullAlong(e Vec) pull {
	p := pull{w: m.weights(e), d: new(mat.Dense)}
	p.d.Mul(m.null.T(), p.w)
	if m.n > 0 {
		p.x = new(mat.Dense)
		p.x.Mul(m.pinv, p.w)
	}
	return p
}

// along adds up what the three directions say of gravity pulling along g.
func (m *Model) along(g Vec, of func(pull) *mat.Dense) *mat.Dense {
	var sum, part mat.Dense
	sum.Scale(g.X, of(m.pull[0]))
	for i, size := range []float64{g.Y, g.Z} {
		part.Scale(size, of(m.pull[i+1]))
		sum.Add(&sum, &part)
	}
	return &sum
}

// extremes returns the least and the greatest value of a result over the box of
// all ±. The row holds its nominal value and then its four factors for each
// uncertain mass, in the order of Model.loads.
func (m *Model) extremes(row []float64) (least, most float64) {
	least, most = row[0], row[0]
	for _, p := range m.params {
		a := row[p.first]
		spread := math.Abs(row[p.first+1])*p.mass.CGTol.X + math.Abs(row[p.first+2])*p.mass.CGTol.Y + math.Abs(row[p.first+3])*p.mass.CGTol.Z
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, mass := range []float64{max(0, p.mass.M-p.mass.Tol), p.mass.M + p.mass.Tol} {
			lo = min(lo, a*(mass-p.mass.M)-spread*mass)
			hi = max(hi, a*(mass-p.mass.M)+spread*mass)
		}
		least += lo
		most += hi
	}
	return least, most
}

// norm3 bounds the length of a vector result over the box of all ±: the nominal
// length plus the length of every change, added as if all pointed the same way.
func (m *Model) norm3(rows [][]float64) float64 {
	at := func(k int) float64 {
		s := 0.0
		for _, r := range rows {
			s += r[k] * r[k]
		}
		return math.Sqrt(s)
	}
	total := at(0)
	for _, p := range m.params {
		heavy := p.mass.M + p.mass.Tol
		total += at(p.first)*p.mass.Tol + heavy*(at(p.first+1)*p.mass.CGTol.X+at(p.first+2)*p.mass.CGTol.Y+at(p.first+3)*p.mass.CGTol.Z)
	}
	return total
}
