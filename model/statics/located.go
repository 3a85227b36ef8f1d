package statics

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/spatial/r3"
)

// Located says how surely the geometry holds a member's load in place.
type Located struct {
	Gain   float64 // N for each newton of sideways push, shared in proportion to the loads; worst over ways of standing and both directions
	Change float64 // N, by how much the ± of all points may change its load straight down, worst over the ways of standing; +Inf where nothing but the drawn place holds it
	Load   float64 // N, its load in that way of standing
	Points []Point // the points whose ± matter most, at most four
}

// Point is a place whose ± changes a load.
type Point struct {
	Name   string
	Tol    float64 // m
	Change float64 // N
}

// mattering is how many points a Located names.
const mattering = 4

// Members says of every joint, and then of every link, how surely it is located.
//
// The derivative of the unknowns y = (x, r) of A·x + B·r = w by a coordinate is that of
// the balance: dy = −[A B]⁺·(dA·x + dB·r), each a few entries: a joint that moves turns
// its force into a couple on either body, an end of a link turns its force as well.
func (s *Step) Members() []Located {
	joints := len(s.m.sys.Joints)
	list := make([]Located, joints+len(s.m.sys.Links))
	for i := range s.cases {
		lc := &s.cases[i]
		if lc.dir > 0 {
			break
		}
		if !lc.nominal || lc.scrubs {
			continue
		}
		points, changes := s.moves(lc)
		by := make([]Point, len(points))
		for m := range list {
			parts := s.parts(m)
			for way := range 2 {
				var v Vec
				for _, p := range parts {
					v = r3.Add(v, r3.Scale(lc.gain[way][p.col], p.by))
				}
				list[m].Gain = max(list[m].Gain, length(v))
			}
			sum := 0.0
			for k, p := range points {
				by[k] = Point{Name: p.Name, Tol: p.Tol}
				for _, dx := range changes[k] {
					if dx == nil {
						by[k].Change = math.Inf(1)
						break
					}
					by[k].Change += p.Tol * s.m.weight * length(sumOf(parts, dx))
				}
				sum += by[k].Change
			}
			if sum > list[m].Change {
				list[m].Change, list[m].Points = sum, foremost(by)
				list[m].Load = s.m.weight * r3.Norm(sumOf(parts, lc.shares[0].x))
			}
		}
	}
	return list
}

// foremost are the points that matter most, the first of those that matter alike first.
func foremost(points []Point) []Point {
	var most []Point
	for _, p := range points {
		at := len(most)
		for at > 0 && p.Change > most[at-1].Change*(1+noise) {
			at--
		}
		if at < mattering {
			most = slices.Insert(most, at, p)
			most = most[:min(mattering, len(most))]
		}
	}
	return most
}

// parts are the forces of a joint, or after the joints of a link.
func (s *Step) parts(member int) []part {
	if member < len(s.m.sys.Joints) {
		return s.forces(member)
	}
	var list []part
	for _, c := range s.m.cols[member] {
		list = append(list, part{c, s.m.basis[c].force})
	}
	return list
}

// moves lists the points that have a ±, and for each the changes of all unknowns for a
// metre along x, y and z in a case.
func (s *Step) moves(lc *loadCase) (points []Point, changes [][3][]float64) {
	axes := []Vec{{X: 1}, {Y: 1}, {Z: 1}}
	need := make([]float64, s.m.rows)
	x := lc.shares[0].x
	up := make([][]float64, len(lc.on)) // what a unit reaction of each holder relieves
	for i, j := range lc.on {
		up[i] = make([]float64, s.m.n)
		s.relieve(up[i], lc.down, j, 1)
	}
	add := func(name string, tol float64, touched []int, write func(e Vec)) {
		var d [3][]float64
		for i, e := range axes {
			clear(need)
			write(e)
			d[i] = s.follow(lc.footing, up, need, touched)
		}
		points, changes = append(points, Point{Name: name, Tol: tol}), append(changes, d)
	}
	// What balances must be carried: the opposite of the change in what is passed.
	couple := func(body int, force, e Vec) { s.m.wrench(need, body, Vec{}, r3.Scale(-1, r3.Cross(e, force)), Vec{}) }
	for i, j := range s.m.sys.Joints {
		if j.Tol == 0 || j.A == j.B {
			continue
		}
		f := sumOf(s.forces(i), x)
		add(j.Name, j.Tol, []int{j.A, j.B}, func(e Vec) {
			couple(j.B, f, e)
			couple(j.A, r3.Scale(-1, f), e)
		})
	}
	bar := func(l Link, pull float64) {
		if l.Tol == 0 || l.A == l.B {
			return
		}
		u := r3.Unit(r3.Sub(l.PA, l.PB)) // on B, towards A
		long := r3.Norm(r3.Sub(l.PA, l.PB))
		for end, sign := range []float64{1, -1} {
			add(l.Name+[]string{"/a", "/b"}[end], l.Tol, []int{l.A, l.B}, func(e Vec) {
				turned := r3.Scale(-sign*pull/long, r3.Sub(e, r3.Scale(r3.Dot(u, e), u)))
				s.m.wrench(need, l.B, turned, Vec{}, l.PB)
				s.m.wrench(need, l.A, r3.Scale(-1, turned), Vec{}, l.PA)
				if end == 0 {
					couple(l.A, r3.Scale(-pull, u), e)
				} else {
					couple(l.B, r3.Scale(pull, u), e)
				}
			})
		}
	}
	for i, l := range s.m.sys.Links {
		if cols := s.m.cols[len(s.m.sys.Joints)+i]; len(cols) > 0 {
			bar(l, x[cols[0]])
		}
	}
	for _, p := range s.m.sys.Springs {
		bar(Link{Name: p.Name, A: p.A, B: p.B, PA: p.PA, PB: p.PB, Tol: p.Tol}, -p.Push/s.m.weight)
	}
	for i, p := range s.Supports {
		if p.Tol == 0 || lc.shares[0].v[i] == 0 {
			continue
		}
		add(p.Name, p.Tol, []int{p.Body}, func(e Vec) { couple(p.Body, lc.shares[0].force[i], e) })
	}
	return points, changes
}

// follow is how the unknowns change when a footing has to carry something more, nil where
// it cannot.
func (s *Step) follow(w *footing, up [][]float64, need []float64, touched []int) []float64 {
	_, q := w.k.Dims()
	free := make([]float64, q)
	rows := make([]int, 0, 2*6)
	for _, b := range touched {
		for row := 6 * b; row < 6*b+6; row++ {
			if need[row] == 0 {
				continue
			}
			rows = append(rows, row)
			floats.AddScaled(free, need[row], s.m.null.RawRowView(row))
		}
	}
	r := make([]float64, len(w.on))
	for i := range r {
		r[i] = floats.Dot(w.k.RawRowView(i), free)
	}
	left := free
	for i, j := range w.on {
		for k := range left {
			left[k] -= r[i] * w.c.At(k, j)
		}
	}
	if norm(left) > 1e-6*(norm(need)+balance) {
		return nil
	}
	dx := make([]float64, s.m.n)
	if s.m.n == 0 {
		return dx // one body on its supports: nothing passes at a joint
	}
	for _, row := range rows {
		floats.AddScaled(dx, need[row], s.m.asks.RawRowView(row))
	}
	for i := range r {
		floats.AddScaled(dx, -r[i], up[i])
	}
	return dx
}
