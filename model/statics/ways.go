package statics

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// base is what an attitude asks of the vehicle, before any reaction.
type base struct {
	lean
	c, t *mat.Dense   // free motions × holders, reactions straight up; and combinations of its rows that span it
	d    [3][]float64 // what the nominal weights and springs ask of the free motions straight down, and the push of the weights forward and left
}

// footing is one way of standing on as few supports and ties as equilibrium needs, at the
// attitude that these give the vehicle: what they carry straight down, and by how much that
// changes for a little push forward and left, its reactions shared by the supports in
// proportion to their loads.
type footing struct {
	*base
	on []int        // holders
	k  *mat.Dense   // on × free motions: the reactions that balance a load
	r  [3][]float64 // shares of the weight, straight down and for a unit of push each way

	// What follows is linear in the loads, and so worked out once for every push: the reactions
	bears, slips [3]*mat.Dense // to the loads and slips straight down and to a unit of their push each way, on × each; slips nil without any
	relieved     [2]*mat.Dense // to a unit force forward and left at each, on × on

	// Where the vehicle may stand so in some case:
	slides []sliding    // how each would slip
	gain   [2][]float64 // what every unknown gains with a unit of push each way
}

// loadCase is one direction and one way of standing.
type loadCase struct {
	*footing
	dir     int
	name    string
	g       Vec        // a unit of gravity and the push beside it
	px, py  float64    // the push, forward and to the left
	r, slip *mat.Dense // on × loads, on × slips: the push shared in proportion to the loads
	loaded  []int      // holders that carry
	nominal bool       // possible with the nominal masses, not only within the ±
	scrubs  bool       // straight down with the tyres held against each other
	shares  []share    // who takes the push, and what follows; at least one
}

// share is one set of supports that takes the push, with the nominal masses; all as
// shares of the weight.
type share struct {
	v     []float64 // of every holder: a support's part against gravity, a tie's pull
	force []Vec     // of every support, all that it passes
	x     []float64 // of every unknown
	push  []float64 // N, of every spring
}

// stand follows every way of standing on as few supports as equilibrium needs: the
// vertices of the set of admissible reactions, those included that only the ± make
// possible. One set of supports may come up several times, each time beside another idle
// one: they share the nominal weight alike and the ± not.
func (s *Step) stand() error {
	mean := s.base(s.lean)
	if mean.t == nil {
		s.Failure = &Failure{Words: "no support takes any weight"}
		return nil
	}
	rank, _ := mean.t.Dims()
	count := 0
	found := make([]bool, len(s.dirs))
	for on := range combinations(s.holders(), rank) {
		if count++; count > maxWays {
			return fmt.Errorf("%d supports and ties can carry in more than %d ways; describe the step with fewer", s.holders(), maxWays)
		}
		w := s.way(mean, on)
		if w == nil {
			continue
		}
		for i := range s.dirs {
			d := &s.dirs[i]
			if i > 0 && d.px == 0 && d.py == 0 {
				continue // a lean without a push
			}
			lc, possible := s.loadCase(w, i)
			if !possible {
				continue
			}
			if w.slides == nil {
				w.slides = s.freely(w)
				w.gain = [2][]float64{s.gains(w, w.forward, 0), s.gains(w, w.left, 1)}
			}
			if s.share(lc); s.Failure != nil {
				return nil
			}
			s.cases = append(s.cases, *lc)
			found[i] = found[i] || lc.nominal
			if i == 0 && lc.nominal && len(s.Scrubs) > 0 {
				if s.scrub(*lc); s.Failure != nil {
					return nil
				}
			}
		}
	}
	for i := range s.dirs {
		switch d := &s.dirs[i]; {
		case found[i] || i > 0 && d.px == 0 && d.py == 0:
		case slices.ContainsFunc(s.Supports, func(p Support) bool { return p.Height != nil }):
			s.Failure = &Failure{Words: d.name + ": no few supports carry it at the attitude that they give it; set their heights alike"}
			return nil
		default:
			return fmt.Errorf("no way of standing was found although there is one: the supports are too close together to tell")
		}
	}
	slices.SortStableFunc(s.cases, func(a, b loadCase) int { return a.dir - b.dir })
	return nil
}

// base works an attitude out, or finds it among those that were.
func (s *Step) base(l lean) *base {
	for i := range s.bases {
		b := &s.bases[i]
		if r3.Norm(r3.Sub(b.down, l.down)) < 1e-12 {
			same := *b
			same.lean = l
			return &same
		}
	}
	b := &base{lean: l, c: s.columns(l.down)}
	b.t = independent(b.c)
	for i, g := range []Vec{l.down, l.forward, l.left} {
		b.d[i] = make([]float64, s.m.null.RawMatrix().Cols)
		for k := range b.d[i] {
			b.d[i][k] = r3.Dot(g, Vec{X: s.m.pull[0].d.At(k, 0), Y: s.m.pull[1].d.At(k, 0), Z: s.m.pull[2].d.At(k, 0)})
			if i == 0 && s.m.press.d != nil {
				b.d[i][k] += s.m.press.d.At(k, 0)
			}
		}
	}
	s.bases = append(s.bases, *b)
	return b
}

// way works out what some supports and ties carry, or returns nil where they cannot carry
// alone.
func (s *Step) way(mean *base, on []int) *footing {
	var stands []int
	for _, j := range on {
		if j < len(s.Supports) {
			stands = append(stands, j)
		}
	}
	b := s.base(s.leanOn(stands, s.lean.down))
	rank, q := mean.t.Dims()
	if rows, _ := b.t.Dims(); rows != rank {
		return nil
	}
	square, some := mat.NewDense(rank, rank, nil), mat.NewDense(q, rank, nil)
	for k, j := range on {
		some.SetCol(k, mat.Col(nil, j, b.c))
	}
	square.Mul(b.t, some)
	var lu mat.LU
	lu.Factorize(square)
	if lu.Cond() > 1e9 {
		return nil
	}
	w := &footing{base: b, on: slices.Clone(on), k: mat.NewDense(rank, q, nil)}
	if lu.SolveTo(w.k, false, b.t) != nil {
		return nil
	}
	for i, e := range []Vec{w.forward, w.left} {
		w.relieved[i] = product(w.k, s.sideways(w, e))
	}
	var loads, slips [3]*mat.Dense // under gravity along x, y and z
	for i, p := range s.m.pull {
		loads[i] = product(w.k, p.d)
		if p.slips != nil {
			slips[i] = product(w.k, p.slips)
		}
	}
	for i, g := range []Vec{w.down, w.forward, w.left} {
		w.bears[i], w.slips[i] = combined(loads, g), combined(slips, g)
		if i == 0 && s.m.press.d != nil {
			s.m.pressOn(w.bears[i], product(w.k, s.m.press.d))
		}
		w.r[i] = mat.Col(nil, 0, w.bears[i])
		for k := range w.r[i] {
			for j := 0; i > 0 && j < rank; j++ {
				w.r[i][k] += w.relieved[i-1].At(k, j) * w.r[0][j]
			}
		}
	}
	return w
}

// pushed are what the supports and ties of a footing carry with a push beside gravity that they
// share in proportion to what they carry, of the loads and of the slips:
//
//	r = b₀ + p·b + p·C·r
//
// b₀ and b what they bear straight down and for a unit of push, C what a unit force along the push
// at each relieves.
func (w *footing) pushed(px, py float64) (loads, slips *mat.Dense) {
	loads, slips = w.bears[0], w.slips[0]
	if px == 0 && py == 0 {
		return loads, slips
	}
	answer := identity(len(w.on))
	for k := range w.on {
		row, x, y := answer.RawRowView(k), w.relieved[0].RawRowView(k), w.relieved[1].RawRowView(k)
		for j := range row {
			row[j] -= px*x[j] + py*y[j]
		}
	}
	var lu mat.LU
	lu.Factorize(answer)
	solve := func(of [3]*mat.Dense) *mat.Dense {
		bare, r := combined(of, Vec{X: 1, Y: px, Z: py}), new(mat.Dense)
		if bare == nil || lu.SolveTo(r, false, bare) != nil {
			return bare // a push that tips over a point; the balance of every case is looked at
		}
		return r
	}
	return solve(w.bears), solve(w.slips)
}

// sideways is nullᵀ·(a unit force in a level direction at each support of a way).
func (s *Step) sideways(w *footing, e Vec) *mat.Dense {
	q, _ := s.cu.Dims()
	c := mat.NewDense(q, len(w.on), nil)
	for k := range q {
		row := s.cu.RawRowView(k)
		for i, j := range w.on {
			if j < len(s.Supports) {
				c.Set(k, i, e.X*row[3*j]+e.Y*row[3*j+1]+e.Z*row[3*j+2])
			}
		}
	}
	return c
}

// loadCase is a way of standing in one direction; possible is false where a support
// would have to pull, whatever the ± make of it.
func (s *Step) loadCase(w *footing, dir int) (lc *loadCase, possible bool) {
	d := &s.dirs[dir]
	lc = &loadCase{footing: w, dir: dir, px: d.px, py: d.py, nominal: true}
	lc.g = r3.Add(w.down, r3.Add(r3.Scale(d.px, w.forward), r3.Scale(d.py, w.left)))
	lc.r, lc.slip = w.pushed(d.px, d.py)
	for k, j := range w.on {
		row := lc.r.RawRowView(k)
		_, most := s.m.extremes(row)
		most += w.spread(w.r[1][k], w.r[2][k])
		if most < -balance {
			return nil, false
		}
		lc.nominal = lc.nominal && row[0] >= -balance
		if row[0] > balance {
			lc.loaded = append(lc.loaded, j)
		}
	}
	return lc, true
}

// share finds who can take the push of a case and what follows in every unknown. With
// nominal masses out of reach it is shared in proportion to the loads.
func (s *Step) share(lc *loadCase) {
	lc.name = s.dirs[lc.dir].name + ", on "
	for k, j := range lc.loaded {
		if k > 0 {
			lc.name += ", "
		}
		lc.name += s.holder(j)
	}
	push := lateral{x: lc.px, y: lc.py}
	if !lc.nominal {
		lc.shares = []share{s.inProportion(lc)}
		return
	}
	needs, held := math.Inf(1), false
	var drives []float64
	var all *answer // of the first set, and so the largest, that grips
	for _, set := range s.takers(lc) {
		a, ok := s.answer(lc.footing, set, push)
		if !ok {
			continue
		}
		if out := s.outOfBalance(lc.footing, a, push); norm(out) > 10*balance {
			drives = out
			continue
		}
		used := s.friction(lc.footing, a, 0)
		held = held || used.share <= 1+noise
		needs = min(needs, used.needs)
		switch grips := s.friction(lc.footing, a, mostGrip).share <= 1+noise; {
		case grips:
			lc.shares = append(lc.shares, s.results(lc, a))
			if all == nil {
				all = &a
			}
		case all != nil:
			lc.shares = append(lc.shares, s.results(lc, s.asFarAsItGrips(lc.footing, *all, a)))
		}
	}
	switch {
	case held:
		for i := range lc.shares {
			if s.Failure = s.driven(lc, &lc.shares[i]); s.Failure != nil {
				return
			}
		}
	case math.IsInf(needs, 1) && drives != nil:
		s.Failure = s.failure(&s.dirs[lc.dir], drives)
	case math.IsInf(needs, 1):
		s.Failure = &Failure{Words: lc.name + ": nothing that it rests on takes a sideways push; it rolls away", Needs: needs}
	default:
		s.Failure = &Failure{Words: fmt.Sprintf("%s: it slews off; friction of %.2f would hold it", lc.name, needs), Needs: needs}
	}
}

// inProportion is a case whose supports share the push in proportion to their loads.
func (s *Step) inProportion(lc *loadCase) share {
	a := answer{v: make([]float64, len(lc.on)), f: make([][2]float64, len(lc.on))}
	for k := range lc.on {
		a.v[k] = lc.r.At(k, 0)
		a.f[k] = [2]float64{-lc.px * a.v[k], -lc.py * a.v[k]}
	}
	return s.results(lc, a)
}

// results works out every unknown for what the supports of a way pass.
func (s *Step) results(lc *loadCase, a answer) share {
	n := len(s.Supports)
	sh := share{v: make([]float64, s.holders()), force: make([]Vec, n), x: make([]float64, s.m.n)}
	for _, p := range s.m.sys.Springs {
		sh.push = append(sh.push, p.Push)
	}
	for k, j := range lc.on {
		sh.v[j] = a.v[k]
		if j < n {
			sh.force[j] = lc.force(a, k)
		}
	}
	for c := range sh.x {
		sh.x[c] = s.x0(lc.g, c) + s.m.pressedIn(c)
	}
	for _, j := range lc.on {
		if j < n {
			s.relieve(sh.x, sh.force[j], j, 1)
		} else {
			s.relieve(sh.x, Vec{}, j, -sh.v[j])
		}
	}
	return sh
}

// doubted is by how much a case changes with each spring that may push more, where that pushes as much more
// as it may.
func (s *Step) doubted(lc *loadCase) []share {
	var list []share
	for _, d := range s.m.doubts {
		more, n := d.more, len(s.Supports)
		sh := share{v: make([]float64, s.holders()), force: make([]Vec, n), x: make([]float64, s.m.n), push: make([]float64, len(s.m.sys.Springs))}
		if d.of < len(sh.push) {
			sh.push[d.of] = more
		}
		for i, j := range lc.on {
			sh.v[j] = lc.r.At(i, d.load) * more
			if j < n {
				sh.force[j] = r3.Scale(-sh.v[j], lc.g)
			}
		}
		for c := range sh.x {
			sh.x[c] = s.at(lc, c, d.load) * more
		}
		list = append(list, sh)
	}
	return list
}

// force is all that a support of a way passes.
func (w *footing) force(a answer, k int) Vec {
	return r3.Add(r3.Scale(-a.v[k], w.down), r3.Add(r3.Scale(a.f[k][0], w.forward), r3.Scale(a.f[k][1], w.left)))
}
