package statics

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Rated is a link that is a spring.
type Rated struct {
	Link int
	Rate float64 // N/m
}

// SpringsHold is how many times over springs hold up what stands on them, by their rates: a vehicle
// whose springs give more way than its weight gains as it leans, sinks or pitches falls over though
// every force balances as drawn. Of all the ways that the springs let it move,
//
//	least of vᵀK·v ÷ −vᵀG·v
//
// K the stiffness of the springs and G what the forces at work add as their points move on (the
// geometric stiffness). It falls over below 1; leaning by itself at n it leans n/(n−1) times as far
// as on rigid bars. +Inf where none of them is pressed or the weight itself keeps it upright. Its
// supports are taken to hold it up and to let it creep sideways; what they carry is that on an even floor.
// Source: equilibrium is stable where the second variation of the potential energy is positive
// (Lagrange–Dirichlet), its constraints by Lagrange's multipliers, the forces of the joints.
func (s *Step) SpringsHold(list []Rated) float64 {
	gives := map[int]float64{} // rate by unknown
	for _, spring := range list {
		if cols := s.m.cols[len(s.m.sys.Joints)+spring.Link]; len(cols) > 0 && s.atEven(cols[0]) < -balance*s.m.weight {
			gives[cols[0]] = spring.Rate
		}
	}
	if len(gives) == 0 {
		return math.Inf(1)
	}
	motions := s.sprung(gives)
	if motions == nil {
		return math.Inf(1)
	}
	_, q := motions.Dims()
	k, g := mat.NewSymDense(q, nil), mat.NewSymDense(q, nil)
	s.stiffness(k, gives, motions)
	s.geometric(g, gives, motions)
	var c mat.Cholesky
	if !c.Factorize(k) {
		return 0
	}
	// −L⁻¹·G·L⁻ᵀ: its greatest value is what the weight takes of the springs.
	var l mat.TriDense
	c.LTo(&l)
	var half, whole mat.Dense
	if half.Solve(&l, g) != nil || whole.Solve(&l, half.T()) != nil {
		return 0
	}
	sym := mat.NewSymDense(q, nil)
	for i := range q {
		for j := range i + 1 {
			sym.SetSym(i, j, -(whole.At(i, j)+whole.At(j, i))/2)
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(sym, false) {
		return 0
	}
	values := eigen.Values(nil)
	if most := values[q-1]; most > 0 {
		return 1 / most
	}
	return math.Inf(1)
}

// unknown is the wrench on all bodies of a unit of an unknown.
func (m *Model) unknown(c int) []float64 {
	col := make([]float64, m.rows)
	b := m.basis[c]
	m.wrench(col, b.b, b.force, b.moment, b.at)
	m.wrench(col, b.a, r3.Scale(-1, b.force), r3.Scale(-1, b.moment), b.at)
	return col
}

// sprung are the motions that press springs while all else stays held and on its supports, one a column;
// nil where there are none.
func (s *Step) sprung(gives map[int]float64) *mat.Dense {
	var held [][]float64
	var pressed [][]float64
	for c := range s.m.basis {
		if _, spring := gives[c]; spring {
			pressed = append(pressed, s.m.unknown(c))
		} else {
			held = append(held, s.m.unknown(c))
		}
	}
	for j, r := range s.even {
		if r <= balance*s.m.weight {
			continue
		}
		col := make([]float64, s.m.rows)
		if n := len(s.Supports); j < n {
			s.m.wrench(col, s.Supports[j].Body, s.lean.down, Vec{}, s.Supports[j].At)
		} else {
			s.m.pulled(col, s.Ties[j-n], 1)
		}
		held = append(held, col)
	}
	free := identity(s.m.rows)
	if len(held) > 0 {
		free = spanned(held, s.m.rows, false)
	}
	_, q := free.Dims()
	if q == 0 {
		return nil
	}
	work := make([][]float64, len(pressed))
	for i, col := range pressed {
		var w mat.VecDense
		w.MulVec(free.T(), mat.NewVecDense(s.m.rows, col))
		work[i] = w.RawVector().Data
	}
	by := spanned(work, q, true)
	if _, n := by.Dims(); n == 0 {
		return nil
	}
	motions := new(mat.Dense)
	motions.Mul(free, by)
	return motions
}

// spanned is what columns of so many rows span, or else what is square to all of them.
func spanned(columns [][]float64, rows int, inside bool) *mat.Dense {
	a := mat.NewDense(rows, len(columns), nil)
	for k, col := range columns {
		a.SetCol(k, col)
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDFullU) {
		panic("the motions could not be factorised")
	}
	rank := 0
	for _, v := range svd.Values(nil) {
		if v > rankFirm {
			rank++
		}
	}
	var u mat.Dense
	svd.UTo(&u)
	from, to := rank, rows
	if inside {
		from, to = 0, rank
	}
	if from == to {
		return new(mat.Dense)
	}
	return mat.DenseCopyOf(u.Slice(0, rows, from, to))
}

// stiffness adds up what the springs store, N/m.
func (s *Step) stiffness(into *mat.SymDense, gives map[int]float64, motions *mat.Dense) {
	for c, rate := range gives {
		var presses mat.VecDense
		presses.MulVec(motions.T(), mat.NewVecDense(s.m.rows, s.m.unknown(c)))
		into.SymRankOne(into, rate, &presses)
	}
}

// geometric adds up what the forces at work do as their points move on, N/m: each force on a body
// keeps its direction, F·½θ×(θ×r) of a point at r being work done by it; a bar keeps its length, which
// turns it; and what bears or slides along an axis takes its moment and force along.
func (s *Step) geometric(into *mat.SymDense, gives map[int]float64, motions *mat.Dense) {
	m := s.m
	_, q := motions.Dims()
	virial := make([]mat.Dense, len(m.sys.Bodies)) // Σ F·rᵀ of each body
	for b := range virial {
		virial[b].ReuseAs(3, 3)
	}
	put := func(body int, force, at Vec) {
		r := r3.Sub(at, m.centre[body])
		virial[body].RankOne(&virial[body], 1, vec(force), vec(r))
	}
	columns := make([][]float64, q)
	for k := range columns {
		columns[k] = mat.Col(nil, k, motions)
	}
	turn := func(k, body int) Vec {
		v := columns[k][6*body:]
		return r3.Scale(1/m.size, Vec{X: v[3], Y: v[4], Z: v[5]})
	}
	add := func(of func(i, k int) float64) {
		for i := range q {
			for k := range i + 1 {
				into.SetSym(i, k, into.At(i, k)+(of(i, k)+of(k, i))/2)
			}
		}
	}
	for b, body := range m.sys.Bodies {
		for _, w := range body.Masses {
			put(b, r3.Scale(w.M*Gravity, s.lean.down), w.CG)
		}
	}
	for i, p := range s.Supports {
		put(p.Body, r3.Scale(-s.even[i], s.lean.down), p.At)
		if p.Spins != nil { // a tyre rolls on below its axis
			axis := r3.Unit(p.Spins.Along)
			radius := r3.Norm(r3.Cross(axis, r3.Sub(p.At, p.Spins.At)))
			add(func(a, b int) float64 {
				return s.even[i] * radius * r3.Dot(axis, turn(a, p.Body)) * r3.Dot(axis, turn(b, p.Body))
			})
		}
	}
	bar := func(a, b int, pa, pb Vec, pull float64) {
		u, long := r3.Unit(r3.Sub(pa, pb)), r3.Norm(r3.Sub(pa, pb)) // on b, towards a
		put(b, r3.Scale(pull, u), pb)
		put(a, r3.Scale(-pull, u), pa)
		swings := func(k int) Vec {
			d := r3.Sub(m.velocity(columns[k], b, pb), m.velocity(columns[k], a, pa))
			return r3.Sub(d, r3.Scale(r3.Dot(u, d), u))
		}
		add(func(i, k int) float64 { return pull / long * r3.Dot(swings(i), swings(k)) })
	}
	for i, l := range m.sys.Links {
		if cols := m.cols[len(m.sys.Joints)+i]; len(cols) > 0 {
			bar(l.A, l.B, l.PA, l.PB, s.atEven(cols[0]))
		}
	}
	for _, p := range m.sys.Springs {
		bar(p.A, p.B, p.PA, p.PB, -p.Push)
	}
	for i, t := range s.Ties {
		pull := s.even[len(s.Supports)+i]
		if t.Pushes {
			pull = -pull
		}
		bar(t.A, t.B, t.PA, t.PB, pull)
	}
	for i, j := range m.sys.Joints {
		force := s.evenVec(s.forces(i))
		put(j.B, force, j.At)
		put(j.A, r3.Scale(-1, force), j.At)
		if j.Kind != Pivot && j.Kind != Slider && j.Kind != Rack || j.A == j.B {
			continue
		}
		axis, moment := r3.Unit(j.Axis), s.evenVec(m.moments(i, Vec{}))
		add(func(i, k int) float64 {
			turns := r3.Dot(axis, r3.Sub(turn(k, j.B), turn(k, j.A)))
			slides := r3.Dot(axis, r3.Sub(m.velocity(columns[k], j.B, j.At), m.velocity(columns[k], j.A, j.At)))
			both := r3.Add(turn(i, j.A), turn(i, j.B))
			twists := r3.Dot(axis, r3.Cross(moment, both)) / 2 * turns
			if j.Kind == Pivot {
				return twists
			}
			return twists - 2*r3.Dot(axis, r3.Cross(turn(i, j.A), force))*slides
		})
	}
	for b := range virial {
		v := &virial[b]
		trace := v.At(0, 0) + v.At(1, 1) + v.At(2, 2)
		add(func(i, k int) float64 {
			x, y := turn(i, b), turn(k, b)
			var vy mat.VecDense
			vy.MulVec(v, vec(y))
			return trace*r3.Dot(x, y) - mat.Dot(vec(x), &vy)
		})
	}
}

func vec(v Vec) *mat.VecDense { return mat.NewVecDense(3, []float64{v.X, v.Y, v.Z}) }
