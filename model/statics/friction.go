package statics

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// lateral is a level force on the vehicle, a share of the weight, and its moment about the
// plumb line of the centre of gravity; d is what else the force asks of the free motions,
// nil for a push through every centre of gravity.
type lateral struct {
	x, y, turn float64
	d          []float64
}

// answer is what the holders of a way pass, in their order: against gravity, and level,
// forward and to the left.
type answer struct {
	v []float64
	f [][2]float64
}

// takers lists the sets of loaded supports that may take a push: all of them, and every
// two or more, by their places in the way; straight down nobody has to. With supports
// that take any push it is shared by all.
func (s *Step) takers(lc *loadCase) [][]int {
	if lc.px == 0 && lc.py == 0 {
		return [][]int{nil}
	}
	return s.sets(lc.footing, func(k int) bool { return lc.r.At(k, 0) > balance })
}

// sets lists the sets of supports of a way that may take a level force. Single ones are
// among them: they take what passes over them.
func (s *Step) sets(w *footing, loaded func(k int) bool) [][]int {
	var takes []int
	any := true
	for k, j := range w.on {
		if j >= len(s.Supports) || !loaded(k) {
			continue
		}
		if c := s.Supports[j].Contact; c == nil || c.Mu > 0 {
			takes = append(takes, k)
			any = any && c == nil
		}
	}
	switch {
	case len(takes) == 0:
		return nil
	case any:
		return [][]int{takes}
	}
	list := [][]int{takes}
	for bits := 1<<min(len(takes), manyTakers) - 2; bits > 0; bits-- {
		var set []int
		for i, k := range takes {
			if bits>>i&1 == 1 {
				set = append(set, k)
			}
		}
		list = append(list, set)
	}
	return list
}

// manyTakers is of how many supports every set is tried; a stiff vehicle stands on three.
const manyTakers = 6

// settled is when the reactions of a push count as found, as a share of the weight, and
// rounds how often they are corrected for where the push is taken: what is left shrinks
// each time by the friction times the supports' difference in height over their distance.
const (
	settled = 1e-12
	rounds  = 40
)

// answer shares a level force on a set of supports:
//
//	f_i = V_i · D_i · (a + ω × ρ_i)
//
// with a and ω from the three equations of the plane: two forces and the couple about the
// plumb line. V_i is what a support carries, ρ_i its place in plan from the centre of
// gravity, D_i takes out the direction in which it rolls. It is what sliding friction
// would do at the first slip of the whole as one, scaled down. ok is false where the set
// cannot take the force.
func (s *Step) answer(w *footing, set []int, push lateral) (a answer, ok bool) {
	n := len(w.on)
	a = answer{v: make([]float64, n), f: make([][2]float64, n)}
	bare := w.bare(push)
	for range rounds {
		if change := w.carry(a, bare); change < settled || len(set) == 0 {
			return a, true
		}
		if !s.plane(w, a, set, push) {
			return a, false
		}
	}
	return a, false
}

// bare is what the holders of a footing would carry of weight and push without any level force.
func (w *footing) bare(push lateral) []float64 {
	v := mat.Col(nil, 0, w.bears[0])
	for i := range v {
		if push.d == nil {
			v[i] += push.x*w.bears[1].At(i, 0) + push.y*w.bears[2].At(i, 0)
		}
		for k, d := range push.d {
			v[i] += w.k.At(i, k) * d
		}
	}
	return v
}

// carry works out what the holders of a footing carry beside their level forces, bare what they would
// without, and returns by how much the greatest change of it differs from before.
func (w *footing) carry(a answer, bare []float64) (change float64) {
	for i, v := range bare {
		forward, left := w.relieved[0].RawRowView(i), w.relieved[1].RawRowView(i)
		for j, f := range a.f {
			v -= f[0]*forward[j] + f[1]*left[j]
		}
		change = max(change, math.Abs(v-a.v[i]))
		a.v[i] = v
	}
	return change
}

// needed is what weight and push ask of the free motions.
func (s *Step) needed(w *footing, push lateral) []float64 {
	_, q := w.k.Dims()
	need := make([]float64, q)
	for k := range need {
		need[k] = w.d[0][k]
		if push.d != nil {
			need[k] += push.d[k]
		} else {
			need[k] += push.x*w.d[1][k] + push.y*w.d[2][k]
		}
	}
	return need
}

// sliding is how a support would slip forward and to the left with a unit of a, a and ω, and so how its
// friction would push back but for the direction in which it rolls.
type sliding struct{ slips, pushes [2][3]float64 }

// freely is how the supports of a footing would slip; ties do not.
func (s *Step) freely(w *footing) []sliding {
	list := make([]sliding, len(w.on))
	for i, j := range w.on {
		if j >= len(s.Supports) {
			continue
		}
		p := &s.Supports[j]
		rho := r3.Sub(p.At, s.m.origin)
		x, y := r3.Dot(rho, w.forward)/s.m.size, r3.Dot(rho, w.left)/s.m.size
		free := [2][3]float64{{1, 0, -y}, {0, 1, x}}
		list[i] = sliding{free, free}
		if p.Contact != nil && p.Contact.Rolls != (Vec{}) {
			u, v := r3.Dot(p.Contact.Rolls, w.forward), r3.Dot(p.Contact.Rolls, w.left)
			l := math.Max(math.Hypot(u, v), 1e-9)
			u, v = u/l, v/l
			for c := range 3 {
				along := u*free[0][c] + v*free[1][c]
				list[i].pushes[0][c] -= along * u
				list[i].pushes[1][c] -= along * v
			}
		}
	}
	return list
}

// plane solves the three equations of the plane for the sideways forces of a set. They are those of virtual
// work with the three motions of the slip itself, so that their matrix is symmetric.
func (s *Step) plane(w *footing, a answer, set []int, push lateral) bool {
	var k [3][3]float64
	for _, on := range set {
		carried, f := max(0, a.v[on]), &w.slides[on]
		for r := range 3 {
			for c := range 3 {
				k[r][c] += carried * (f.slips[0][r]*f.pushes[0][c] + f.slips[1][r]*f.pushes[1][c])
			}
		}
	}
	want := [3]float64{-push.x, -push.y, -push.turn / s.m.size}
	at, ok := leastOf3(k, want)
	if !ok {
		return false
	}
	for _, on := range set {
		carried := max(0, a.v[on])
		for way, f := range w.slides[on].pushes {
			a.f[on][way] = carried * (f[0]*at[0] + f[1]*at[1] + f[2]*at[2])
		}
	}
	return true
}

// leastOf3 solves three equations with a symmetric matrix that may be singular, where
// they have an answer: Gauss and Jordan with the largest pivot on the diagonal, leaving out
// what has none.
func leastOf3(k [3][3]float64, want [3]float64) (x [3]float64, ok bool) {
	scale := math.Max(k[0][0], math.Max(k[1][1], k[2][2]))
	size := math.Abs(want[0]) + math.Abs(want[1]) + math.Abs(want[2])
	var used [3]bool
	m, b := k, want
	for range 3 {
		p := -1
		for i := range 3 {
			if !used[i] && m[i][i] > 1e-9*scale && (p < 0 || m[i][i] > m[p][p]) {
				p = i
			}
		}
		if p < 0 {
			break
		}
		used[p] = true
		for i := range 3 {
			if i == p {
				continue
			}
			f := m[i][p] / m[p][p]
			for c := range 3 {
				m[i][c] -= f * m[p][c]
			}
			b[i] -= f * b[p]
		}
	}
	for i := range 3 {
		switch {
		case used[i]:
			x[i] = b[i] / m[i][i]
		case math.Abs(b[i]) > 1e-6*size:
			return x, false
		}
	}
	return x, true
}

// outOfBalance is what of the loads and these reactions the free motions feel: it is zero
// where the sideways forces drive nothing inside the vehicle.
func (s *Step) outOfBalance(w *footing, a answer, push lateral) []float64 {
	out := s.needed(w, push)
	for k := range out {
		row := s.cu.RawRowView(k)
		for i, j := range w.on {
			if j < len(s.Supports) {
				f := w.force(a, i)
				out[k] -= f.X*row[3*j] + f.Y*row[3*j+1] + f.Z*row[3*j+2]
			} else {
				out[k] -= a.v[i] * row[2*len(s.Supports)+j]
			}
		}
	}
	return out
}

// used is how much of the friction that supports have is used: the greatest share of any,
// and the friction that the worst of them needs. Above 1 it slips.
type used struct{ share, needs float64 }

// mostGrip is the friction that no contact here exceeds: rubber on dry concrete has 1.0, dry
// steel 0.6 (mechanical handbooks, opened). What a support is counted on to hold is a low
// figure; what it may put on the joints by holding more than that is not bounded by it.
const mostGrip = 1.0

// friction holds what every loaded support passes against its friction. The normal of a
// stand, pad or table is the underside of the part, so that the tangent of the tilt is used
// up; that of a tyre or castor is the floor's. A slope uses up its own share. Every contact
// counts with at least some friction.
func (s *Step) friction(w *footing, a answer, least float64) used {
	var u used
	for k, j := range w.on {
		if j >= len(s.Supports) || a.v[k] <= balance {
			continue
		}
		c := s.Supports[j].Contact
		if c == nil || c.Mu == 0 {
			continue
		}
		normal := Vec{Z: 1}
		if c.Floor {
			normal = r3.Scale(-1, w.down)
		}
		f := w.force(a, k)
		along := r3.Dot(f, normal)
		if along <= 0 {
			return used{math.Inf(1), math.Inf(1)}
		}
		needs := length(r3.Sub(f, r3.Scale(along, normal)))/along + w.slope
		if share := needs / max(c.Mu, least); share > u.share+noise {
			u = used{share, needs}
		}
	}
	return u
}

// asFarAsItGrips is the push that a few supports take as far as their friction goes, and all that
// take it together the rest: what lies between two answers is one. So a set that grips no more does
// not take its loads away at once.
func (s *Step) asFarAsItGrips(w *footing, all, few answer) answer {
	grips, slips := 0.0, 1.0
	for range 12 { // to a four-thousandth
		if part := (grips + slips) / 2; s.friction(w, between(all, few, part), mostGrip).share <= 1 {
			grips = part
		} else {
			slips = part
		}
	}
	return between(all, few, grips)
}

// between is the answer at a share of the way from one to another.
func between(from, to answer, part float64) answer {
	a := answer{v: make([]float64, len(from.v)), f: make([][2]float64, len(from.f))}
	for k := range a.v {
		a.v[k] = from.v[k] + part*(to.v[k]-from.v[k])
		for c := range a.f[k] {
			a.f[k][c] = from.f[k][c] + part*(to.f[k][c]-from.f[k][c])
		}
	}
	return a
}

// scrub adds the case of a footing straight down whose pairs of tyres all hold each other
// together, and apart. Friction that opposes itself holds nothing up: it is a load.
func (s *Step) scrub(lc loadCase) {
	lc.scrubs, lc.name = true, lc.name+", tyres scrubbing"
	straight := lc.shares[0]
	lc.shares = nil
	for _, way := range []float64{1, -1} {
		a := answer{v: make([]float64, len(lc.on)), f: make([][2]float64, len(lc.on))}
		for _, c := range s.Scrubs {
			l, r := slices.Index(lc.on, c.Left), slices.Index(lc.on, c.Right)
			if l < 0 || r < 0 {
				continue
			}
			f := way * c.Mu * min(straight.v[c.Left], straight.v[c.Right])
			a.f[l][1], a.f[r][1] = a.f[l][1]-f, a.f[r][1]+f
		}
		lc.carry(a, lc.bare(lateral{}))
		if out := s.outOfBalance(lc.footing, a, lateral{}); norm(out) > 10*balance {
			s.Failure = s.failure(&s.dirs[0], out)
			return
		}
		lc.shares = append(lc.shares, s.results(&lc, a))
	}
	s.cases = append(s.cases, lc)
}
