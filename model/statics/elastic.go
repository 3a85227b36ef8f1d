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

	// What Share asks of it as well: its ±, and how long it is when it just pushes no more, with its ±.
	RateTol, Free, FreeTol float64 // N/m, m
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
	switch most := values[q-1]; {
	case most > 0:
		return 1 / most
	case most <= 0:
		return math.Inf(1)
	}
	return 0 // no number
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
	var loaded []int
	for j, r := range s.even {
		if r > balance*s.m.weight {
			loaded = append(loaded, j)
		}
	}
	var pressed [][]float64
	for c := range s.m.basis {
		if _, spring := gives[c]; spring {
			pressed = append(pressed, s.m.unknown(c))
		}
	}
	free := s.giving(gives, loaded)
	if free.IsEmpty() {
		return nil
	}
	by := spanned(product(free.T(), sideBySide(pressed)), true)
	if by.IsEmpty() {
		return nil
	}
	return product(free, by)
}

// giving are the motions in which springs give while all else stays held, on some of its supports and ties.
func (s *Step) giving(gives map[int]float64, on []int) *mat.Dense {
	var held [][]float64
	hardly, _ := s.hardly(gives)
	for c := range s.m.basis {
		if _, spring := gives[c]; spring {
			continue
		}
		wrench := mat.NewVecDense(s.m.rows, s.m.unknown(c))
		for _, sum := range hardly {
			wrench.AddScaledVec(wrench, -sum.times[c], sum.wrench)
		}
		held = append(held, wrench.RawVector().Data)
	}
	for _, j := range on {
		held = append(held, s.up(j))
	}
	if len(held) == 0 {
		return identity(s.m.rows)
	}
	return spanned(sideBySide(held), false)
}

// sideBySide is a matrix of columns.
func sideBySide(columns [][]float64) *mat.Dense {
	a := mat.NewDense(len(columns[0]), len(columns), nil)
	for k, col := range columns {
		a.SetCol(k, col)
	}
	return a
}

// hardlyHolds is how many newtons of other joints and links hold one of a spring so that they hardly do: links of an axle
// that are nearly parallel keep it from rolling by so much, and give before its springs do. Rockers have levers of up to three to one.
const hardlyHolds = 10

// sum is a sum of unknowns, each so many times, the squares of which are one, and its wrench.
type sum struct {
	times  []float64
	wrench *mat.VecDense
}

// hardly are the sums in which all else hardly holds springs; beside reports whether some spring has something beside
// it that holds.
func (s *Step) hardly(gives map[int]float64) (sums []sum, beside bool) {
	if s.m.stress == nil {
		return nil, false
	}
	_, p := s.m.stress.Dims()
	var cols []int
	for c := range s.m.basis {
		if _, spring := gives[c]; spring {
			cols = append(cols, c)
		}
	}
	own := mat.NewDense(len(cols), p, nil)
	for i, c := range cols {
		own.SetRow(i, s.m.stress.RawRowView(c))
	}
	var svd mat.SVD
	if !svd.Factorize(own, mat.SVDThin) {
		panic("the self-stress of springs could not be factorised")
	}
	var v mat.Dense
	svd.VTo(&v)
	for k, share := range svd.Values(nil) {
		switch others := math.Sqrt(max(0, 1-share*share)); {
		case share < rankFirm:
		case others <= hardlyHolds*share:
			beside = true
		default:
			of := sum{along(mat.DenseCopyOf(s.m.stress.T()), mat.Col(nil, k, &v)), mat.NewVecDense(s.m.rows, nil)}
			for c := range of.times {
				of.times[c] /= others
				if _, spring := gives[c]; spring {
					of.times[c] = 0
				}
				of.wrench.AddScaledVec(of.wrench, of.times[c], mat.NewVecDense(s.m.rows, s.m.unknown(c)))
			}
			sums = append(sums, of)
		}
	}
	return sums, beside
}

// up is the wrench of a support that pushes up with a newton, or of a tie that pulls with one.
func (s *Step) up(holder int) []float64 {
	col := make([]float64, s.m.rows)
	if n := len(s.Supports); holder < n {
		s.m.wrench(col, s.Supports[holder].Body, r3.Scale(-1, s.lean.down), Vec{}, s.Supports[holder].At)
	} else {
		s.m.pulled(col, s.Ties[holder-n], 1)
	}
	return col
}

// along is what a wrench does along each motion.
func along(motions *mat.Dense, wrench []float64) []float64 {
	var w mat.VecDense
	w.MulVec(motions.T(), mat.NewVecDense(len(wrench), wrench))
	return w.RawVector().Data
}

// spanned is what the columns of a matrix span, or else what is square to all of them; empty where that is nothing.
func spanned(of mat.Matrix, inside bool) *mat.Dense {
	var svd mat.SVD
	if !svd.Factorize(of, mat.SVDFullU) {
		panic("what columns span could not be factorised")
	}
	rank := 0
	for _, v := range svd.Values(nil) {
		if v > rankFirm {
			rank++
		}
	}
	rows, _ := of.Dims()
	from, to := rank, rows
	if inside {
		from, to = 0, rank
	}
	if from == to {
		return new(mat.Dense)
	}
	var u mat.Dense
	svd.UTo(&u)
	return mat.DenseCopyOf(u.Slice(0, rows, from, to))
}

// stiffness adds up what the springs store, N/m.
func (s *Step) stiffness(into *mat.SymDense, gives map[int]float64, motions *mat.Dense) {
	for c, rate := range gives {
		presses := along(motions, s.m.unknown(c))
		into.SymRankOne(into, rate, mat.NewVecDense(len(presses), presses))
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

// Pressed is how hard a spring is pressed.
type Pressed struct {
	Push, More float64 // N, and by how much more or less that may be
}

// Share is how springs share what equilibrium leaves open among the supports: on three of four legs a stiff
// vehicle rocks, and one that has springs between each leg and the others stands on all four. pressed is in the
// order of the list; hold are those of it to be held, in a System of the same vehicle, so that equilibrium leaves
// nothing open any more. Both are nil where it leaves nothing open now, where it is not left to these springs alone
// (a stiff frame on four stands; an anti-roll bar), where a height is not known, or where some spring may not push.
//
// The least of the springs' energy, Σ(p₀ + k·E·v)²/2k, less the work of the weights, over the motions v that lift
// each support as far as its height is off the drawing: p₀ the push of each as drawn and E how far a motion presses
// it. More is what the ± of masses, heights, lengths and rates come to, each at its worst, and a push from the side that
// the supports share in proportion to their loads.
func (s *Step) Share(list []Rated) (pressed []Pressed, hold []int) {
	n, k := len(s.Supports), len(list)
	if k == 0 {
		return nil, nil
	}
	open, gives := s.open(list), map[int]float64{}
	cols := make([]int, k)
	for i, spring := range list {
		if c := s.m.cols[len(s.m.sys.Joints)+spring.Link]; len(c) > 0 {
			cols[i], gives[c[0]] = c[0], spring.Rate
		}
	}
	if hold = pivots(open); hold == nil || len(s.Ties)+len(s.m.sys.Springs) > 0 || len(gives) < k {
		return nil, nil
	}
	for _, p := range s.Supports {
		if p.Height == nil {
			return nil, nil
		}
	}
	if _, beside := s.hardly(gives); beside {
		return nil, nil
	}
	e, ok := s.elastic(list, cols, gives)
	if !ok {
		return nil, nil
	}
	pressed = make([]Pressed, k)
	w := s.m.along(s.lean.down, func(p pull) *mat.Dense { return p.w })
	for i, p := range e.pushes(e.load(w, 0), s.raised(), e.drawn) {
		pressed[i].Push = p
	}
	rows := mat.NewDense(k, len(s.m.loads), nil)
	for l := 1; l < len(s.m.loads); l++ {
		if !s.m.loads[l].spring {
			rows.SetCol(l, e.pushes(e.load(w, l), nil, nil))
		}
	}
	for i := range pressed {
		least, most := s.m.extremes(rows.RawRowView(i))
		pressed[i].More += max(-least, most)
	}
	more := func(by float64, f, raised, presses []float64) {
		for i, p := range e.pushes(f, raised, presses) {
			pressed[i].More += math.Abs(by * p)
		}
	}
	for i, p := range s.Supports {
		raised := make([]float64, n)
		raised[i] = 1
		more(p.Height.Tol+floorOff, nil, raised, nil)
	}
	for i, spring := range list {
		presses := make([]float64, k)
		presses[i] = 1
		more(spring.Rate*spring.FreeTol+pressed[i].Push*spring.RateTol/spring.Rate, nil, nil, presses)
	}
	size := max(s.Push, s.Pull) + s.lean.slope
	for _, side := range []Vec{s.lean.forward, s.lean.left} {
		more(size, e.sideways(side), nil, nil)
	}
	for _, p := range pressed {
		if p.Push-p.More <= 0 {
			return nil, nil
		}
	}
	return pressed, hold
}

// Ease looks for straps of which one may hang slack in a way of hanging that the geometry hardly holds: nearly parallel
// links keep an axle from rolling onto the other strap by forces many times as large, and what so little sag
// undoes is no way of hanging. For each it returns by how much that changes every unknown, to be eased in a System of the
// same vehicle: the sum of the unknowns, each so many times, is nothing where what equilibrium leaves open between straps and
// members is split by least norm. most is the newtons in a member for each newton that a strap bears less than another which
// still hold; nil where all do.
func (s *Step) Ease(most float64) [][]float64 {
	ways := s.ways()
	if len(s.Ties) == 0 || ways.IsEmpty() {
		return nil
	}
	n := len(s.Supports)
	holders, open := ways.Dims()
	by := spanned(ways.Slice(n, holders, 0, open).T(), true)
	if by.IsEmpty() {
		return nil
	}
	var list [][]float64
	all := product(ways, by)
	_, open = all.Dims()
	for a := range open {
		slack := 0.0
		for i := range s.Ties {
			slack = max(slack, math.Abs(all.At(n+i, a)))
		}
		times, worst := make([]float64, s.m.n), 0.0
		for c := range times {
			for j := range holders {
				times[c] -= s.xb(s.lean.down, c, j) * all.At(j, a)
			}
			if s.m.basis[c].force != (Vec{}) {
				worst = max(worst, math.Abs(times[c]))
			}
		}
		if worst > most*slack {
			list = append(list, times)
		}
	}
	return list
}

// floorOff is how far a workshop floor is off its plane under each of four supports, m: DIN 18202, table 3,
// finished floors, 10 mm in 4 m (memory), a quarter of it under each.
const floorOff = 10e-3 / 4

// open is what equilibrium leaves open among the supports: by how much each spring of a list is pressed in each
// of the ways that they can push without lifting or tipping anything.
func (s *Step) open(list []Rated) *mat.Dense {
	ways := s.ways()
	if ways.IsEmpty() {
		return ways
	}
	n := s.holders()
	_, open := ways.Dims()
	presses := mat.NewDense(len(list), open, nil)
	for i, spring := range list {
		for _, col := range s.m.cols[len(s.m.sys.Joints)+spring.Link] {
			for a := range open {
				for j := range n {
					presses.Set(i, a, presses.At(i, a)+s.xb(s.lean.down, col, j)*ways.At(j, a))
				}
			}
		}
	}
	return presses
}

// ways are the ways in which supports and ties can push and pull without lifting or tipping anything, one a column.
func (s *Step) ways() *mat.Dense {
	return spanned(s.columns(s.lean.down).T(), false)
}

// pivots are as many rows as a matrix has columns, each that which says most beside those before; nil where they
// do not settle the columns, or there are none.
func pivots(of *mat.Dense) (rows []int) {
	if of.IsEmpty() {
		return nil
	}
	left := mat.DenseCopyOf(of)
	n, cols := left.Dims()
	for range cols {
		best := 0
		for i := range n {
			if norm(left.RawRowView(i)) > norm(left.RawRowView(best))*(1+noise) {
				best = i
			}
		}
		size := norm(left.RawRowView(best))
		if size < rankFirm {
			return nil
		}
		rows = append(rows, best)
		u := mat.NewVecDense(cols, mat.Row(nil, best, left))
		u.ScaleVec(1/size, u)
		for i := range n {
			row := left.RowView(i).(*mat.VecDense)
			row.AddScaledVec(row, -mat.Dot(row, u), u)
		}
	}
	return rows
}

// elastic is a vehicle whose springs give, on all of its supports.
type elastic struct {
	s     *Step
	free  *mat.Dense   // rows × motions in which springs give, whatever they do to the supports
	lifts *mat.Dense   // motions × supports: a motion that raises one by a metre and no other
	stay  *mat.Dense   // motions × those of them that raise none and press springs
	e     *mat.Dense   // springs × motions: how far each presses each spring
	rate  []float64    // N/m
	drawn []float64    // N, push as drawn
	k     mat.Cholesky // of the springs over stay
}

// elastic makes it ready; ok is false where some supports are not apart by springs.
func (s *Step) elastic(list []Rated, cols []int, gives map[int]float64) (e *elastic, ok bool) {
	n := len(s.Supports)
	e = &elastic{s: s, free: s.giving(gives, nil)}
	_, q := e.free.Dims()
	h := mat.NewDense(n, q, nil) // how far each motion lifts each support
	for j := range n {
		h.SetRow(j, along(e.free, s.up(j)))
	}
	if _, rank := spanned(h.T(), true).Dims(); rank < n {
		return nil, false
	}
	e.lifts = pseudoInverse(h)
	e.e = mat.NewDense(len(list), q, nil)
	for i, spring := range list {
		e.e.SetRow(i, along(e.free, s.m.unknown(cols[i])))
		l := s.m.sys.Links[spring.Link]
		e.rate = append(e.rate, spring.Rate)
		e.drawn = append(e.drawn, spring.Rate*(spring.Free-r3.Norm(r3.Sub(l.PA, l.PB))))
	}
	level := spanned(h.T(), false)
	if level.IsEmpty() {
		return nil, false
	}
	inside := spanned(product(e.e, level).T(), true)
	if inside.IsEmpty() {
		return nil, false
	}
	e.stay = product(level, inside)
	_, width := e.stay.Dims()
	k, by := mat.NewSymDense(width, nil), product(e.e, e.stay)
	for i, rate := range e.rate {
		k.SymRankOne(k, rate, by.RowView(i))
	}
	return e, e.k.Factorize(k)
}

// load is what one load of the model does along each motion, N.
func (e *elastic) load(w *mat.Dense, load int) []float64 {
	f := along(e.free, mat.Col(nil, load, w))
	for i := range f {
		f[i] *= -e.s.m.weight
	}
	return f
}

// sideways is what a push of the whole weight does along each motion, N, that supports share in proportion to
// their loads.
func (e *elastic) sideways(side Vec) []float64 {
	f := e.load(e.s.m.along(side, func(p pull) *mat.Dense { return p.w }), 0)
	col := make([]float64, e.s.m.rows)
	for j, p := range e.s.Supports {
		e.s.m.wrench(col, p.Body, r3.Scale(-e.s.even[j], side), Vec{}, p.At)
	}
	for i, by := range along(e.free, col) {
		f[i] += by
	}
	return f
}

// pushes is by how much each spring pushes, N, for what a cause does along each motion, how far it raises each support
// and how much it presses each spring by itself; nil of each is nothing.
func (e *elastic) pushes(f, raised, presses []float64) []float64 {
	q, _ := e.stay.Dims()
	k := len(e.rate)
	push, left := make([]float64, k), make([]float64, q)
	copy(push, presses)
	copy(left, f)
	if raised != nil {
		lift := along(mat.DenseCopyOf(e.lifts.T()), raised)
		for i, by := range along(mat.DenseCopyOf(e.e.T()), lift) {
			push[i] += e.rate[i] * by
		}
	}
	for i, p := range push {
		for m := range left {
			left[m] -= p * e.e.At(i, m)
		}
	}
	need := along(e.stay, left)
	var z mat.VecDense
	if e.k.SolveVecTo(&z, mat.NewVecDense(len(need), need)) != nil {
		return make([]float64, k)
	}
	var v mat.VecDense
	v.MulVec(e.stay, &z)
	for i := range push {
		push[i] += e.rate[i] * mat.Dot(e.e.RowView(i), &v)
	}
	return push
}

// raised is how far each support is set above where it is drawn, m.
func (s *Step) raised() []float64 {
	list := make([]float64, len(s.Supports))
	for i, p := range s.Supports {
		list[i] = p.Height.Z - p.At.Z
	}
	return list
}
