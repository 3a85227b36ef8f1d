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
// m·δ, and one for the push of each spring; and its extremes over the box of all ± are found mass by mass
// and spring by spring, exactly.

// param is one uncertain mass and where its loads stand in Model.loads.
type param struct {
	mass   Mass
	weight int    // of its mass; −1 where that has no ±
	shifts []step // of its centre of gravity
}

// step is one direction in which a centre of gravity is uncertain.
type step struct {
	load int
	tol  float64 // m
}

// load is one unit load: on one body weight of 1 kg at a point (first nil) or the
// moment of a first moment of 1 kg·m in one direction; or a newton more of a spring.
type load struct {
	body    int
	at      Vec
	moment  bool
	along   Vec
	nominal bool // the whole vehicle as nominal
	spring  bool // asks for the same whichever way gravity pulls
}

func (m *Model) parameters() {
	m.loads = []load{{nominal: true}}
	for i, b := range m.sys.Bodies {
		for _, w := range b.Masses {
			if w.M == 0 && w.Tol == 0 {
				continue
			}
			p := param{mass: w, weight: -1}
			weight := load{body: i, at: w.CG}
			if w.Tol > 0 {
				p.weight = len(m.loads)
				m.loads = append(m.loads, weight)
			} else {
				m.slips = append(m.slips, weight)
			}
			tols := []float64{w.CGTol.X, w.CGTol.Y, w.CGTol.Z}
			for k, e := range []Vec{{X: 1}, {Y: 1}, {Z: 1}} {
				l := load{body: i, at: w.CG, moment: true, along: e}
				if tols[k] == 0 {
					m.slips = append(m.slips, l)
					continue
				}
				p.shifts = append(p.shifts, step{len(m.loads), tols[k]})
				m.loads = append(m.loads, l)
			}
			if w.Tol > 0 || len(p.shifts) > 0 {
				m.params = append(m.params, p)
			}
		}
	}
	may := func(of int, push, more float64) {
		if more > 0 {
			m.doubts = append(m.doubts, doubt{push, more, of, len(m.loads)})
			m.loads = append(m.loads, load{spring: true})
		}
	}
	for i, p := range m.sys.Springs {
		may(i, p.Push, p.More)
	}
	for i, h := range m.sys.Held {
		may(len(m.sys.Springs)+i, h.Push, h.More)
	}
}

// weights returns what must be carried, one column a load, for gravity pulling
// along g: the negative of weight, divided by the nominal weight.
func (m *Model) weights(g Vec, loads []load) *mat.Dense {
	w := mat.NewDense(m.rows, len(loads), nil)
	col := make([]float64, m.rows)
	unit := r3.Scale(-Gravity/m.weight, g)
	for k, l := range loads {
		clear(col)
		switch {
		case l.spring:
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
	p := pull{w: m.weights(e, m.loads)}
	p.d = product(m.null.T(), p.w)
	if m.n > 0 {
		p.x = product(m.asks.T(), p.w)
	}
	if len(m.slips) == 0 {
		return p
	}
	w := m.weights(e, m.slips)
	p.slips = product(m.null.T(), w)
	if m.n > 0 {
		p.slipX = product(m.asks.T(), w)
	}
	return p
}

// pressed works out what the springs ask for.
func (m *Model) pressed() {
	springs, held := len(m.sys.Springs), len(m.sys.Held)
	if springs+held == 0 {
		return
	}
	m.press.w = mat.NewDense(m.rows, 1+len(m.doubts), nil)
	col := make([]float64, m.rows)
	put := func(k int, newtons float64, of Spring) {
		clear(col)
		force := r3.Scale(-newtons/m.weight, of.line())
		m.wrench(col, of.B, force, Vec{}, of.PB)
		m.wrench(col, of.A, r3.Scale(-1, force), Vec{}, of.PA)
		for row, w := range col {
			m.press.w.Set(row, k, m.press.w.At(row, k)+w)
		}
	}
	for _, s := range m.sys.Springs {
		put(0, s.Push, s)
	}
	for k, d := range m.doubts {
		if d.of < springs {
			put(1+k, 1, m.sys.Springs[d.of])
		}
	}
	m.press.d = product(m.null.T(), m.press.w)
	q, _ := m.press.d.Dims()
	for i, h := range m.sys.Held {
		m.press.d.Set(q-held+i, 0, m.press.d.At(q-held+i, 0)+h.Push/m.weight)
	}
	for k, d := range m.doubts {
		if i := d.of - springs; i >= 0 {
			m.press.d.Set(q-held+i, 1+k, 1/m.weight)
		}
	}
	if m.n > 0 {
		m.press.x = product(m.asks.T(), m.press.w)
	}
}

// pressedIn is what an unknown bears of the springs as they are drawn, without any support or tie.
func (m *Model) pressedIn(col int) float64 {
	if m.press.x == nil {
		return 0
	}
	return m.press.x.At(col, 0)
}

// asked is what weights and springs ask of the free motions under gravity along g, one column a load.
func (m *Model) asked(g Vec) *mat.Dense {
	d := m.along(g, func(p pull) *mat.Dense { return p.d })
	if m.press.d != nil {
		m.pressOn(d, m.press.d)
	}
	return d
}

// pressOn adds what springs ask for, a column for all and then one a doubt, to a column for each load.
func (m *Model) pressOn(loads, springs *mat.Dense) {
	for k := range loads.RawMatrix().Rows {
		row, by := loads.RawRowView(k), springs.RawRowView(k)
		row[0] += by[0]
		for i, of := range m.doubts {
			row[of.load] += by[1+i]
		}
	}
}

// along adds up what the three directions say of gravity pulling along g.
func (m *Model) along(g Vec, of func(pull) *mat.Dense) *mat.Dense {
	return combined([3]*mat.Dense{of(m.pull[0]), of(m.pull[1]), of(m.pull[2])}, g)
}

// combined adds three matrices up, each so many times; nil of none.
func combined(of [3]*mat.Dense, by Vec) *mat.Dense {
	if of[0] == nil {
		return nil
	}
	rows, cols := of[0].Dims()
	sum := mat.NewDense(rows, cols, nil)
	for i := range rows {
		row, a, b, c := sum.RawRowView(i), of[0].RawRowView(i), of[1].RawRowView(i), of[2].RawRowView(i)
		for k := range row {
			row[k] = by.X*a[k] + by.Y*b[k] + by.Z*c[k]
		}
	}
	return sum
}

// extremes returns the least and the greatest value of a result over the box of
// all ±. The row holds its nominal value and then its factors for each uncertain
// mass and spring, in the order of Model.loads.
func (m *Model) extremes(row []float64) (least, most float64) {
	least, most = row[0], row[0]
	for _, p := range m.params {
		spread := 0.0
		for _, s := range p.shifts {
			spread += math.Abs(row[s.load]) * s.tol
		}
		a := 0.0
		if p.weight >= 0 {
			a = row[p.weight]
		}
		light, heavy := max(0, p.mass.M-p.mass.Tol), p.mass.M+p.mass.Tol
		down, up := a*(light-p.mass.M), a*(heavy-p.mass.M)
		least += min(down-spread*light, up-spread*heavy)
		most += max(down+spread*light, up+spread*heavy)
	}
	for _, d := range m.doubts {
		soft, hard := -row[d.load]*min(d.push, d.more), row[d.load]*d.more
		least, most = least+min(soft, hard), most+max(soft, hard)
	}
	return least, most
}

// norm3 bounds by how much the length of a vector result grows over the box of all ± of masses, by its change for
// each load: the length of every change, added as if all pointed the same way.
func (m *Model) norm3(changes []Vec) float64 {
	total := 0.0
	for _, p := range m.params {
		if p.weight >= 0 {
			total += length(changes[p.weight]) * p.mass.Tol
		}
		for _, s := range p.shifts {
			total += (p.mass.M + p.mass.Tol) * length(changes[s.load]) * s.tol
		}
	}
	return total
}

// length is that of a force or moment as a share of the weight, which r3.Norm takes three times as long for:
// it minds numbers whose squares are too large or small to be written.
func length(v Vec) float64 { return math.Sqrt(r3.Norm2(v)) }

// pressed3 is the same for the ± of springs.
func (m *Model) pressed3(changes []Vec) float64 {
	total := 0.0
	for _, d := range m.doubts {
		total += length(changes[d.load]) * d.more
	}
	return total
}
