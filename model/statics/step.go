package statics

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// maxWays bounds the number of ways of standing that are followed in one step: sixteen
// supports of a stiff vehicle have 560, and take a few tenths of a second.
const maxWays = 2000

// Step is a vehicle on its supports with everything that follows. All of it is worked out when the
// vehicle is put there, or once when it is first asked for: several may ask at once.
type Step struct {
	// Failure is set when there is no equilibrium; then there are no loads.
	Failure *Failure

	m *Model
	Stance
	lean  lean
	cu    *mat.Dense  // free motions × holders: nullᵀ·(a unit force), three columns a support and one a tie
	xu    [][]float64 // asksᵀ·(the same): what each asks of every unknown
	dirs  []direction
	even  []float64 // N, straight down
	bases []base
	cases []loadCase
	swing []swung
	split bool            // the axial force of a hinge is split between its bearings
	grown func() []growth // of every joint and then of every link; worked out when a bend first asks for it
}

// Failure says why the vehicle does not stand.
type Failure struct {
	Words  string  // what moves and how
	Bodies []int   // the bodies that move, those that move most first
	Needs  float64 // the friction that would keep it from slewing off; 0 where that is not the reason
}

// direction is one direction of gravity with the reactions it asks for. A sideways push
// through every centre of gravity, its reactions shared by the supports in proportion to
// their vertical load, is gravity leaning over; so is a slope.
type direction struct {
	name   string
	px, py float64    // the push forward and to the left, shares of the weight
	g      Vec        // a unit of gravity, the push beside it and what may lean it further
	c, d   *mat.Dense // nullᵀ·reactions, one column a holder, and nullᵀ·(weights and springs)

	slips *mat.Dense // nullᵀ·(what the slips ask for)
}

// xb is by how much a unit reaction of a holder against a direction of gravity relieves an
// unknown, and x0 what the unknown is by weight without any.
func (s *Step) xb(g Vec, col, holder int) float64 {
	n := len(s.Supports)
	if holder >= n {
		return s.xu[2*n+holder][col]
	}
	u := s.xu[3*holder : 3*holder+3]
	return -(g.X*u[0][col] + g.Y*u[1][col] + g.Z*u[2][col])
}

// relieve adds that of every unknown to into, so many times.
func (s *Step) relieve(into []float64, g Vec, holder int, times float64) {
	n := len(s.Supports)
	if holder >= n {
		floats.AddScaled(into, times, s.xu[2*n+holder])
		return
	}
	for i, e := range [3]float64{g.X, g.Y, g.Z} {
		floats.AddScaled(into, -times*e, s.xu[3*holder+i])
	}
}

func (s *Step) x0(g Vec, col int) float64 {
	return r3.Dot(g, s.m.alone[col])
}

// holders is the number of supports and ties.
func (s *Step) holders() int { return len(s.Supports) + len(s.Ties) }

func (s *Step) holder(i int) string {
	if n := len(s.Supports); i >= n {
		return s.Ties[i-n].Name
	}
	return s.Supports[i].Name
}

// Step puts the vehicle on supports that take a sideways push in proportion to their
// loads, the axial force of a hinge split between its bearings; see Stand.
func (m *Model) Step(supports []Support, a Attitude) (*Step, error) {
	s, err := m.Stand(Stance{Supports: supports, Attitude: a})
	if s != nil {
		s.split = true
	}
	return s, err
}

// Stand puts the vehicle on its supports and computes every load case: straight
// down, and pushed forward, back, left and right. An error means wrong data; that the
// vehicle does not stand is a Failure.
func (m *Model) Stand(st Stance) (s *Step, err error) {
	defer recoverTo(&err)
	if err := st.validate(len(m.sys.Bodies)); err != nil {
		return nil, err
	}
	s = &Step{m: m, Stance: st}
	s.grown = sync.OnceValue(s.growing)
	if len(st.Supports) == 0 {
		s.Failure = &Failure{Words: "the vehicle rests on nothing"}
		return s, nil
	}
	all := make([]int, len(st.Supports))
	for i := range all {
		all[i] = i
	}
	s.lean = st.leanOn(all, st.down())
	s.influences()
	s.swung()
	s.directions()
	for i := range s.dirs {
		if err := s.reach(i); err != nil || s.Failure != nil {
			return s.orError(err)
		}
	}
	if err := s.stand(); err != nil || s.Failure != nil {
		return s.orError(err)
	}
	return s.orError(s.check())
}

// Tilt is how the vehicle stands, rad, nose up and left side up: by the heights of its
// supports where all are known, else by the pitch and roll of the step.
func (s *Step) Tilt() (pitch, roll float64) {
	return math.Atan(s.lean.down.X / s.lean.down.Z), math.Atan(s.lean.down.Y / s.lean.down.Z)
}

func (s *Step) orError(err error) (*Step, error) {
	if err != nil {
		return nil, err
	}
	return s, nil
}

// influences works out what a unit force in x, y and z at each support, and a unit pull
// of each tie, ask of the free motions and of the unknowns.
func (s *Step) influences() {
	_, q := s.m.null.Dims()
	n := 3*len(s.Supports) + len(s.Ties)
	s.cu = mat.NewDense(q, n, nil)
	s.xu = make([][]float64, n)
	for j := range s.xu {
		s.xu[j] = make([]float64, s.m.n)
	}
	col := make([]float64, s.m.rows)
	put := func(j int, bodies ...int) {
		for _, b := range bodies {
			for row := 6 * b; row < 6*b+6; row++ {
				if col[row] == 0 {
					continue
				}
				for k := range q {
					s.cu.Set(k, j, s.cu.At(k, j)+s.m.null.At(row, k)*col[row])
				}
				if s.m.n > 0 {
					floats.AddScaled(s.xu[j], col[row], s.m.asks.RawRowView(row))
				}
				col[row] = 0
			}
		}
	}
	for i, p := range s.Supports {
		for k, e := range []Vec{{X: 1}, {Y: 1}, {Z: 1}} {
			s.m.wrench(col, p.Body, e, Vec{}, p.At)
			put(3*i+k, p.Body)
		}
	}
	for i, t := range s.Ties {
		u := r3.Unit(r3.Sub(t.PA, t.PB)) // a pulling tie draws B towards A
		if t.Pushes {
			u = r3.Scale(-1, u)
		}
		s.m.wrench(col, t.B, u, Vec{}, t.PB)
		s.m.wrench(col, t.A, r3.Scale(-1, u), Vec{}, t.PA)
		put(3*len(s.Supports)+i, t.A, t.B)
	}
}

// directions lists straight down and each size of push each way. A slope and the ± of the
// heights lean gravity in any direction. Four ways of leaning it reach no less than any
// other by √2 of that lean.
func (s *Step) directions() {
	may := math.Sqrt2 * s.lean.most()
	s.direction("straight down", 0, 0, 0, 0)
	for i, size := range []float64{s.Push, s.Pull} {
		if size == 0 && (may == 0 || len(s.dirs) > 1) {
			continue
		}
		how := []string{"pushed ", "pulled "}[i]
		if size == 0 {
			how = "leaning "
		}
		s.direction(how+"forward", 1, 0, size, may)
		s.direction(how+"back", -1, 0, size, may)
		s.direction(how+"left", 0, 1, size, may)
		s.direction(how+"right", 0, -1, size, may)
	}
}

func (s *Step) direction(name string, x, y, size, may float64) {
	d := direction{name: name, px: size * x, py: size * y}
	side := r3.Add(r3.Scale(x, s.lean.forward), r3.Scale(y, s.lean.left))
	d.g = r3.Add(s.lean.down, r3.Scale(size+may, side))
	d.c = s.columns(d.g)
	d.d = s.m.asked(d.g)
	d.slips = s.m.along(d.g, func(p pull) *mat.Dense { return p.slips })
	s.dirs = append(s.dirs, d)
}

// columns are nullᵀ·(the reactions against a direction of gravity), one column a holder.
func (s *Step) columns(g Vec) *mat.Dense {
	q, _ := s.cu.Dims()
	n := len(s.Supports)
	c := mat.NewDense(q, s.holders(), nil)
	for k := range q {
		from, to := s.cu.RawRowView(k), c.RawRowView(k)
		for i := range n {
			to[i] = -(g.X*from[3*i] + g.Y*from[3*i+1] + g.Z*from[3*i+2])
		}
		copy(to[n:], from[3*n:])
	}
	return c
}

// reach asks whether there are reactions for one direction, over all of the ±.
func (s *Step) reach(i int) error {
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
	col := make([]float64, len(need))
	for k := 1; k < len(s.m.loads); k++ {
		if out := outside(t, mat.Col(col, k, dir.d)); norm(out) > balance*s.m.unit(k) {
			s.Failure = s.failure(dir, out)
			return nil
		}
	}
	for k := range s.m.slips {
		if out := outside(t, mat.Col(col, k, dir.slips)); norm(out) > balance*s.m.unit(1) {
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
	return nil
}

// unit is the size of one unit of a load beside the weight of the vehicle.
func (m *Model) unit(k int) float64 {
	if k == 0 {
		return 1
	}
	return Gravity / m.weight
}

// outside leaves of d the part that no combination of the orthonormal rows of t makes up.
func outside(t *mat.Dense, d []float64) []float64 {
	for k := range t.RawMatrix().Rows {
		row := t.RawRowView(k)
		floats.AddScaled(d, -floats.Dot(row, d), row)
	}
	return d
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
	n := s.holders()
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
