package statics

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// maxWays bounds the number of ways of standing that are followed in one step:
// sixteen supports of a stiff vehicle have 560.
const maxWays = 20000

// Step is a vehicle on its supports with everything that follows.
type Step struct {
	// Failure is set when there is no equilibrium; then there are no loads.
	Failure *Failure

	m        *Model
	supports []Support
	attitude Attitude
	dirs     []direction
	even     []float64 // N, straight down
	cases    []loadCase
}

// Failure says why the vehicle does not stand.
type Failure struct {
	Words  string // what moves and how
	Bodies []int  // the bodies that move, those that move most first
}

// direction is one direction of gravity with the reactions it asks for. A
// sideways push through every centre of gravity, its reactions shared by the
// supports in proportion to their vertical load, is gravity leaning over.
type direction struct {
	name string
	g    Vec        // a unit of gravity and the push beside it
	b    *mat.Dense // rows × supports
	c, d *mat.Dense // nullᵀ·b and nullᵀ·weights

	slips *mat.Dense // nullᵀ·(what the slips ask for)

	x0 *mat.Dense // pinv·weights
	xb *mat.Dense // pinv·b
}

// loadCase is one direction and one way of standing.
type loadCase struct {
	dir     int
	name    string
	on      []int      // supports that carry
	nominal bool       // possible with the nominal masses, not only within the ±
	r       *mat.Dense // supports × loads, share of the weight
	x       *mat.Dense // unknowns × loads, share of the weight
	slips   *mat.Dense // supports × slips; nil without any
}

// Attitude is how the vehicle stands and what pushes it.
type Attitude struct {
	Pitch float64 // rad, nose up; the points of the vehicle stay as drawn and gravity turns
	Push  float64 // sideways push through every centre of gravity, as a share of the weight
}

// down is the direction of gravity as the pitched vehicle sees it.
func (a Attitude) down() Vec { return Vec{X: -math.Sin(a.Pitch), Z: -math.Cos(a.Pitch)} }

// forward is the level direction towards the nose.
func (a Attitude) forward() Vec { return Vec{X: math.Cos(a.Pitch), Z: -math.Sin(a.Pitch)} }

// Step puts the vehicle on supports and computes every load case: straight
// down, and leaning forward, back, left and right by the push. An error means
// wrong data; that the vehicle does not stand is a Failure.
func (m *Model) Step(supports []Support, a Attitude) (s *Step, err error) {
	defer recoverTo(&err)
	switch {
	case math.IsNaN(a.Push) || a.Push < 0 || a.Push > 1:
		return nil, fmt.Errorf("a sideways push of %v of the weight is no share", a.Push)
	case math.IsNaN(a.Pitch) || math.Abs(a.Pitch) > math.Pi/4:
		return nil, fmt.Errorf("a pitch of %.0f° is outside what is computed here, ±45°", a.Pitch*180/math.Pi)
	}
	for _, p := range supports {
		if p.Body < 0 || p.Body >= len(m.sys.Bodies) || math.IsNaN(r3.Norm(p.At)) || math.IsInf(r3.Norm(p.At), 0) {
			return nil, fmt.Errorf("%s bears on no body, or its place is not a number", p.Name)
		}
	}
	s = &Step{m: m, supports: supports, attitude: a}
	if len(supports) == 0 {
		s.Failure = &Failure{Words: "the vehicle rests on nothing"}
		return s, nil
	}
	pushes := []struct {
		name string
		x, y float64
	}{{"straight down", 0, 0}, {"pushed forward", a.Push, 0}, {"pushed back", -a.Push, 0}, {"pushed left", 0, a.Push}, {"pushed right", 0, -a.Push}}
	if a.Push == 0 {
		pushes = pushes[:1]
	}
	for _, p := range pushes {
		g := r3.Add(a.down(), r3.Add(r3.Scale(p.x, a.forward()), Vec{Y: p.y}))
		s.dirs = append(s.dirs, m.direction(p.name, g, supports))
	}
	for i := range s.dirs {
		if err := s.solve(i); err != nil {
			return nil, err
		}
		if s.Failure != nil {
			return s, nil
		}
	}
	return s, s.check()
}

func (m *Model) direction(name string, g Vec, supports []Support) direction {
	d := direction{name: name, g: g}
	d.b = mat.NewDense(m.rows, len(supports), nil)
	col := make([]float64, m.rows)
	for i, p := range supports {
		clear(col)
		m.wrench(col, p.Body, r3.Scale(-1, g), Vec{}, p.At)
		d.b.SetCol(i, col)
	}
	_, q := m.null.Dims()
	d.c = mat.NewDense(q, len(supports), nil)
	d.c.Mul(m.null.T(), d.b)
	d.d = m.along(g, func(p pull) *mat.Dense { return p.d })
	d.slips = m.along(g, func(p pull) *mat.Dense { return p.slips })
	d.x0 = m.along(g, func(p pull) *mat.Dense { return p.x })
	if m.n > 0 {
		d.xb = mat.NewDense(m.n, len(supports), nil)
		d.xb.Mul(m.pinv, d.b)
	}
	return d
}

// solve finds the reactions of one direction: whether there are any, and every
// way of standing.
func (s *Step) solve(i int) error {
	dir := &s.dirs[i]
	need := mat.Col(nil, 0, dir.d)
	r, residual := nnls(dir.c, need)
	if norm(residual) > balance {
		s.Failure = s.failure(dir, residual)
		return nil
	}
	t := independent(dir.c)
	if t == nil {
		s.Failure = &Failure{Words: "no support takes any weight"}
		return nil
	}
	// What the ± may ask for must be carried as well, and so what a mass without ±
	// asks for when it is heavier or lies beside its place: no word of how uncertain
	// it is does not make it exact, and what is only balanced is not held.
	for k := 1; k < len(s.m.loads); k++ {
		if out := outside(t, mat.Col(nil, k, dir.d)); norm(out) > balance*s.m.unit(k) {
			s.Failure = s.failure(dir, out)
			return nil
		}
	}
	for k := range s.m.slips {
		if out := outside(t, mat.Col(nil, k, dir.slips)); norm(out) > balance*s.m.unit(1) {
			s.Failure = s.failure(dir, out)
			return nil
		}
	}
	if out, err := s.beyondReach(dir, t); err != nil {
		return err
	} else if out != nil {
		s.Failure = s.failure(dir, out)
		return nil
	}
	if i == 0 {
		s.even = s.evenFloor(dir, t, r)
	}
	return s.ways(i, t)
}

// unit is the size of one unit of a load beside the weight of the vehicle.
func (m *Model) unit(k int) float64 {
	if k == 0 {
		return 1
	}
	return Gravity / m.weight
}

// outside is the part of d that no combination of the supports can balance.
func outside(t *mat.Dense, d []float64) []float64 {
	rank, rows := t.Dims()
	out := slices.Clone(d)
	for k := range rank {
		dot := 0.0
		for j := range rows {
			dot += t.At(k, j) * d[j]
		}
		for j := range rows {
			out[j] -= dot * t.At(k, j)
		}
	}
	return out
}

func norm(v []float64) float64 {
	s := 0.0
	for _, x := range v {
		s += x * x
	}
	return math.Sqrt(s)
}

// evenFloor shares the weight among supports of equal stiffness on an even
// floor: of all reactions that hold the balance, those with the least sum of
// squares. An active-set method: supports that would pull are let go until none
// does; start is an admissible answer to fall back on.
func (s *Step) evenFloor(dir *direction, t *mat.Dense, start []float64) []float64 {
	n := len(s.supports)
	rank, _ := t.Dims()
	c := mat.NewDense(rank, n, nil)
	c.Mul(t, dir.c)
	d := make([]float64, rank)
	for i := range rank {
		for j, v := range mat.Col(nil, 0, dir.d) {
			d[i] += t.At(i, j) * v
		}
	}
	free := make([]bool, n)
	for i := range free {
		free[i] = true
	}
	for range 4*n + 4 {
		r := leastSquares(c, free, d)
		worst := -1
		for i := range n {
			if free[i] && r[i] < -balance && (worst < 0 || r[i] < r[worst]) {
				worst = i
			}
		}
		if worst >= 0 {
			free[worst] = false
			continue
		}
		if !s.balanced(c, d, r) {
			break
		}
		// r = max(0, cᵀλ) at the optimum: a support that was let go must not
		// want to push.
		lambda := multipliers(c, free, r)
		wants := -1
		for i := range n {
			push := 0.0
			for k := range rank {
				push += c.At(k, i) * lambda[k]
			}
			if !free[i] && push > 1e-6 {
				wants = i
			}
		}
		if wants < 0 {
			return s.inNewtons(r)
		}
		free[wants] = true
	}
	return s.inNewtons(start)
}

func (s *Step) balanced(c *mat.Dense, d, r []float64) bool {
	rank, n := c.Dims()
	for i := range rank {
		sum := -d[i]
		for j := range n {
			sum += c.At(i, j) * r[j]
		}
		if math.Abs(sum) > balance {
			return false
		}
	}
	return true
}

// multipliers solves cᵀλ = r over the free supports, least squares.
func multipliers(c *mat.Dense, free []bool, r []float64) []float64 {
	rank, n := c.Dims()
	ct := mat.NewDense(n, rank, nil)
	for i := range n {
		for k := range rank {
			if free[i] {
				ct.Set(i, k, c.At(k, i))
			}
		}
	}
	all := make([]bool, rank)
	for i := range all {
		all[i] = true
	}
	return leastSquares(ct, all, r)
}

func (s *Step) inNewtons(shares []float64) []float64 {
	out := make([]float64, len(shares))
	for i, v := range shares {
		out[i] = max(0, v) * s.m.weight
	}
	return out
}

// ways follows every way of standing on as few supports as equilibrium needs:
// the vertices of the set of admissible reactions, those included that only the
// ± of the masses make possible. One set of supports may come up several times, each
// time beside another idle one: they share the nominal weight alike and the ± not.
func (s *Step) ways(i int, t *mat.Dense) error {
	dir := &s.dirs[i]
	n := len(s.supports)
	rank, _ := t.Dims()
	c := mat.NewDense(rank, n, nil)
	c.Mul(t, dir.c)
	d := mat.NewDense(rank, len(s.m.loads), nil)
	d.Mul(t, dir.d)
	var slips mat.Dense
	if dir.slips != nil {
		slips.Mul(t, dir.slips)
	}
	var part mat.Dense
	count := 0
	found := false
	square := mat.NewDense(rank, rank, nil)
	for on := range combinations(n, rank) {
		if count++; count > maxWays {
			return fmt.Errorf("%d supports can carry in more than %d ways; describe the step with fewer", n, maxWays)
		}
		for k, j := range on {
			for row := range rank {
				square.Set(row, k, c.At(row, j))
			}
		}
		var lu mat.LU
		lu.Factorize(square)
		if lu.Cond() > 1e9 {
			continue
		}
		part.Reset()
		if lu.SolveTo(&part, false, d) != nil {
			continue
		}
		r := mat.NewDense(n, len(s.m.loads), nil)
		nominal, possible := true, true
		for k, j := range on {
			row := part.RawRowView(k)
			r.SetRow(j, row)
			if _, most := s.m.extremes(row); most < -balance {
				possible = false
			}
			if row[0] < -balance {
				nominal = false
			}
		}
		if !possible {
			continue
		}
		lc := loadCase{dir: i, nominal: nominal, r: r, x: s.internal(dir, r)}
		if dir.slips != nil {
			lc.slips = mat.NewDense(n, len(s.m.slips), nil)
			if part.Reset(); lu.SolveTo(&part, false, &slips) != nil {
				continue
			}
			for k, j := range on {
				lc.slips.SetRow(j, part.RawRowView(k))
			}
		}
		for _, j := range on {
			if r.At(j, 0) > balance {
				lc.on = append(lc.on, j)
			}
		}
		lc.name = s.caseName(dir, lc.on)
		s.cases = append(s.cases, lc)
		found = found || nominal
	}
	if !found {
		return fmt.Errorf("no way of standing was found although there is one: the supports are too close together to tell")
	}
	return nil
}

func (s *Step) caseName(dir *direction, on []int) string {
	name := dir.name + ", on "
	for k, j := range on {
		if k > 0 {
			name += ", "
		}
		name += s.supports[j].Name
	}
	return name
}

// internal is the least-norm set of joint and link forces that balances the
// loads and these reactions.
func (s *Step) internal(dir *direction, r *mat.Dense) *mat.Dense {
	if s.m.n == 0 {
		return nil
	}
	x := mat.NewDense(s.m.n, len(s.m.loads), nil)
	x.Mul(dir.xb, r)
	x.Sub(dir.x0, x)
	return x
}

// combinations yields every choice of k from n in order.
func combinations(n, k int) func(yield func([]int) bool) {
	return func(yield func([]int) bool) {
		if k > n {
			return
		}
		on := make([]int, k)
		for i := range on {
			on[i] = i
		}
		for {
			if !yield(on) {
				return
			}
			i := k - 1
			for i >= 0 && on[i] == n-k+i {
				i--
			}
			if i < 0 {
				return
			}
			on[i]++
			for j := i + 1; j < k; j++ {
				on[j] = on[j-1] + 1
			}
		}
	}
}

// check recomputes the balance of every body in every case from the forces
// themselves. An answer that does not balance is no answer.
func (s *Step) check() error {
	col := make([]float64, s.m.rows)
	for _, lc := range s.cases {
		clear(col)
		g := s.dirs[lc.dir].g
		for row := range s.m.rows {
			for i, size := range []float64{g.X, g.Y, g.Z} {
				col[row] -= size * s.m.pull[i].w.At(row, 0)
			}
		}
		for j, c := range s.m.basis {
			f := lc.x.At(j, 0)
			s.m.wrench(col, c.b, r3.Scale(f, c.force), r3.Scale(f, c.moment), c.at)
			s.m.wrench(col, c.a, r3.Scale(-f, c.force), r3.Scale(-f, c.moment), c.at)
		}
		for i, p := range s.supports {
			s.m.wrench(col, p.Body, r3.Scale(-lc.r.At(i, 0), g), Vec{}, p.At)
		}
		if out := norm(col); math.IsNaN(out) || out > 1e-6 {
			return fmt.Errorf("case %q is out of balance by %.1e of the weight", lc.name, out)
		}
	}
	return nil
}

// noise is by how much, as a share, a case must exceed another to be the worst: of
// two that are the same the first is named, not the one that rounding favours.
const noise = 1e-9

// Range is a result over all load cases.
type Range struct {
	Nominal     float64 // straight down, even floor, nominal masses
	Least, Most float64 // over every case and the ± of the masses
	Case        string  // the case of the value that is larger in size
}

// Weight is the nominal weight of the vehicle, N.
func (s *Step) Weight() float64 { return s.m.weight }

// Reaction returns the vertical push of a support, N.
func (s *Step) Reaction(i int) Range {
	out := s.over(func(lc loadCase) []float64 { return lc.r.RawRowView(i) }, s.even[i])
	out.Least = max(0, out.Least)
	return out
}

// Pushes returns what a support passes to its body in each load case, N: against
// gravity and the sideways push together, lengthened to its bound over the ± of the masses.
func (s *Step) Pushes(i int) []Vec {
	var list []Vec
	for _, lc := range s.cases {
		_, most := s.m.extremes(lc.r.RawRowView(i))
		list = append(list, r3.Scale(-max(0, most)*s.m.weight, s.dirs[lc.dir].g))
	}
	return list
}

// Link returns the force in a link, N; pull is positive.
func (s *Step) Link(i int) Range {
	cols := s.m.cols[len(s.m.sys.Joints)+i]
	if len(cols) == 0 {
		return Range{}
	}
	return s.over(func(lc loadCase) []float64 { return lc.x.RawRowView(cols[0]) }, s.atEven(cols[0]))
}

// Along returns the force that a joint passes along a direction, on its body B.
func (s *Step) Along(joint int, direction Vec) Range {
	cols := s.m.cols[joint]
	if len(cols) == 0 {
		return Range{}
	}
	u := r3.Unit(direction)
	row := make([]float64, len(s.m.loads))
	nominal := s.atEven(cols[0])*u.X + s.atEven(cols[1])*u.Y + s.atEven(cols[2])*u.Z
	return s.over(func(lc loadCase) []float64 {
		for k := range row {
			row[k] = lc.x.At(cols[0], k)*u.X + lc.x.At(cols[1], k)*u.Y + lc.x.At(cols[2], k)*u.Z
		}
		return row
	}, nominal)
}

func (s *Step) over(row func(loadCase) []float64, nominal float64) Range {
	out := Range{Nominal: nominal, Least: math.Inf(1), Most: math.Inf(-1)}
	size := -1.0
	for _, lc := range s.cases {
		least, most := s.m.extremes(row(lc))
		least, most = least*s.m.weight, most*s.m.weight
		if big := max(math.Abs(least), math.Abs(most)); big > size*(1+noise) {
			size, out.Case = big, lc.name
		}
		out.Least, out.Most = min(out.Least, least), max(out.Most, most)
	}
	return out
}

// atEven is one unknown, straight down on an even floor, N.
func (s *Step) atEven(col int) float64 {
	dir := &s.dirs[0]
	f := dir.x0.At(col, 0) * s.m.weight
	for j, r := range s.even {
		f -= dir.xb.At(col, j) * r
	}
	return f
}

// Force is what a joint passes to its body B.
type Force struct {
	Nominal Vec     // N, straight down on an even floor
	At      Vec     // N, the nominal vector of the worst case
	Worst   float64 // N, length over every case; the ± of the masses are added as if all pointed the same way
	Moment  float64 // N·m, the same for the moment; zero for a ball joint
	Case    string
}

// Joint returns the force that a joint passes.
func (s *Step) Joint(i int) Force {
	cols := s.m.cols[i]
	if len(cols) == 0 {
		return Force{}
	}
	var out Force
	out.Nominal = Vec{X: s.atEven(cols[0]), Y: s.atEven(cols[1]), Z: s.atEven(cols[2])}
	for _, lc := range s.cases {
		rows := [][]float64{lc.x.RawRowView(cols[0]), lc.x.RawRowView(cols[1]), lc.x.RawRowView(cols[2])}
		f := s.m.norm3(rows) * s.m.weight
		if f > out.Worst*(1+noise) {
			out.Case = lc.name
			out.At = r3.Scale(s.m.weight, Vec{X: rows[0][0], Y: rows[1][0], Z: rows[2][0]})
		}
		out.Worst = max(out.Worst, f)
		if len(cols) > 3 {
			rows = rows[:0]
			for _, c := range cols[3:] {
				rows = append(rows, lc.x.RawRowView(c))
			}
			arm := r3.Norm(s.m.basis[cols[3]].moment)
			out.Moment = max(out.Moment, s.m.norm3(rows)*s.m.weight*arm)
		}
	}
	return out
}

// Forces returns what a joint passes to its body B in each load case: the nominal
// vector, lengthened to its bound over the ± of the masses.
func (s *Step) Forces(i int) []Vec {
	cols := s.m.cols[i]
	if len(cols) == 0 {
		return nil
	}
	var list []Vec
	for _, lc := range s.cases {
		rows := [][]float64{lc.x.RawRowView(cols[0]), lc.x.RawRowView(cols[1]), lc.x.RawRowView(cols[2])}
		bound := s.m.norm3(rows) * s.m.weight
		f := r3.Scale(s.m.weight, Vec{X: rows[0][0], Y: rows[1][0], Z: rows[2][0]})
		if size := r3.Norm(f); size > 1e-9*s.m.weight {
			list = append(list, r3.Scale(bound/size, f))
		} else {
			// Without a nominal direction it may point along any axis.
			list = append(list, Vec{X: bound}, Vec{Y: bound}, Vec{Z: bound})
		}
	}
	return list
}

// Across returns the length of a joint's force at right angles to a direction,
// worst over every case.
func (s *Step) Across(joint int, direction Vec) float64 {
	cols := s.m.cols[joint]
	if len(cols) == 0 {
		return 0
	}
	u, v := across(direction)
	worst := 0.0
	rows := [][]float64{make([]float64, len(s.m.loads)), make([]float64, len(s.m.loads))}
	for _, lc := range s.cases {
		for k := range s.m.loads {
			f := Vec{X: lc.x.At(cols[0], k), Y: lc.x.At(cols[1], k), Z: lc.x.At(cols[2], k)}
			rows[0][k], rows[1][k] = r3.Dot(f, u), r3.Dot(f, v)
		}
		worst = max(worst, s.m.norm3(rows)*s.m.weight)
	}
	return worst
}

// Turns returns the moment that a joint passes about a direction and the moment at
// right angles to it, N·m, each worst over every case.
func (s *Step) Turns(joint int, direction Vec) (about, bends float64) {
	cols := s.m.cols[joint]
	if len(cols) <= 3 {
		return 0, 0
	}
	u, v := across(direction)
	axes := []Vec{r3.Unit(direction), u, v}
	for _, lc := range s.cases {
		rows := make([][]float64, len(axes))
		for i, axis := range axes {
			rows[i] = make([]float64, len(s.m.loads))
			for k := range s.m.loads {
				for _, c := range cols[3:] {
					rows[i][k] += lc.x.At(c, k) * r3.Dot(s.m.basis[c].moment, axis)
				}
			}
		}
		about = max(about, s.m.norm3(rows[:1])*s.m.weight)
		bends = max(bends, s.m.norm3(rows[1:])*s.m.weight)
	}
	return about, bends
}

// Way is one way in which the vehicle stands on few supports.
type Way struct {
	Supports []int
	Carry    []float64 // N
}

// Ways lists every way of standing straight down on as few supports as can carry
// everything, with nominal masses.
func (s *Step) Ways() []Way {
	var list []Way
	for _, lc := range s.cases {
		if lc.dir != 0 || !lc.nominal || slices.ContainsFunc(list, func(w Way) bool { return slices.Equal(w.Supports, lc.on) }) {
			continue
		}
		w := Way{Supports: lc.on}
		for _, j := range lc.on {
			w.Carry = append(w.Carry, lc.r.At(j, 0)*s.m.weight)
		}
		list = append(list, w)
	}
	return list
}
