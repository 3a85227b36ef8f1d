package statics

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Fate is what happens when something lets go, from harmless to grave.
type Fate uint8

// The fates.
const (
	Holds Fate = iota // something else carries, or there was nothing to carry
	Drops             // parts that hang from the vehicle drop; the vehicle stays
	Rocks             // the vehicle drops onto other supports
	Falls             // nothing holds the vehicle
)

// String returns the fate as one word.
func (f Fate) String() string { return [...]string{"holds", "drops", "rocks", "falls"}[f] }

// Removal is what is taken away at once: what one bolt or one weld holds.
type Removal struct {
	Joints, Links []int
	Supports      []int // ties are numbered after the supports
}

// Outcome is what happens when something lets go.
type Outcome struct {
	Fate   Fate
	Bodies []int   // the bodies that go
	Mass   float64 // kg, of these with the upper end of their ±
	Words  string  // which parts go and how
	Case   string  // the load case in which it is worst
}

// LetGo takes something away and says what happens, worst over every load case.
//
// With the reactions as they are, equilibrium inside is still possible when the
// forces in what was removed can be taken over by self-stress. If not, the load
// drives a motion; if no body on a loaded support moves in it, parts drop. Else
// the question is whether other reactions could hold what is left.
func (s *Step) LetGo(r Removal) (out Outcome, err error) {
	defer recoverTo(&err)
	if s.Failure != nil {
		return out, fmt.Errorf("there is no equilibrium to lose")
	}
	out.Words = "nothing moves"
	var cols []int
	for _, j := range r.Joints {
		cols = append(cols, s.m.cols[j]...)
	}
	for _, l := range r.Links {
		cols = append(cols, s.m.cols[len(s.m.sys.Joints)+l]...)
	}
	if len(cols) > 0 {
		s.loseMembers(cols, r.Supports, &out)
	}
	if len(r.Supports) > 0 && out.Fate < Falls {
		s.loseSupports(r.Supports, &out)
	}
	for _, b := range out.Bodies {
		for _, w := range s.m.sys.Bodies[b].Masses {
			out.Mass += w.M + w.Tol
		}
	}
	return out, nil
}

// loseMembers removes unknowns. It works in the few coordinates of self-stress
// and needs no new factorisation of the vehicle.
func (s *Step) loseMembers(cols, supports []int, out *Outcome) {
	z := s.m.strandedBy(cols)
	if z == nil {
		return
	}
	_, nz := z.Dims()
	fates := map[int]Fate{}
	for i := range s.cases {
		lc := &s.cases[i]
		if worst, known := fates[lc.dir]; out.Fate == Falls || known && out.Fate >= max(worst, Drops) {
			continue // this case can end no worse
		}
		lost := make([]float64, nz)
		driven := false
		for k := range lc.shares {
			weigh(lost, z, cols, func(c int) float64 { return lc.shares[k].x[c] })
			if driven = norm(lost) > balance; driven {
				break
			}
		}
		for k := 1; !driven && k < len(s.m.loads); k++ {
			weigh(lost, z, cols, func(c int) float64 { return s.at(lc, c, k) })
			driven = norm(lost) > balance*s.m.unit(k)
		}
		for k := 0; !driven && k < len(s.m.slips); k++ {
			weigh(lost, z, cols, func(c int) float64 { return s.slip(lc, c, k) })
			driven = norm(lost) > balance*s.m.unit(1)
		}
		if !driven {
			continue
		}
		motion := s.motion(cols, z, lost)
		moving := s.moving(motion)
		fate := Drops
		if s.bearsLoad(lc, motion, moving) {
			f, known := fates[lc.dir]
			if !known {
				f = s.otherwise(lc.dir, cols, z, supports)
				fates[lc.dir] = f
			}
			fate = f
		}
		if fate > out.Fate {
			out.Fate, out.Bodies, out.Case = fate, moving, lc.name
			how := s.m.how
			if fate != Drops {
				how = s.m.gives
			}
			out.Words = s.m.describe(motion, moving, how)
		}
	}
}

// weigh sets lost to what of some forces self-stress cannot take over.
func weigh(lost []float64, z *mat.Dense, cols []int, force func(col int) float64) {
	clear(lost)
	for i, c := range cols {
		f := force(c)
		for a := range lost {
			lost[a] += z.At(i, a) * f
		}
	}
}

// slip is one unknown in a load case under one of the model's slips.
func (s *Step) slip(lc *loadCase, col, k int) float64 {
	f := 0.0
	for i, size := range []float64{lc.g.X, lc.g.Y, lc.g.Z} {
		f += size * s.m.pull[i].slipX.At(col, k)
	}
	for i, j := range lc.on {
		f -= s.xb(lc.g, col, j) * lc.slip.At(i, k)
	}
	return f
}

// stranded returns the combinations of removed unknowns that self-stress cannot
// take over, one a column, or nil when it can take over all. What it could only
// take over through geometry that New would refuse, it does not.
func (m *Model) stranded(cols []int) *mat.Dense {
	if m.stress == nil {
		return identity(len(cols))
	}
	_, p := m.stress.Dims()
	part := mat.NewDense(len(cols), p, nil)
	for i, c := range cols {
		part.SetRow(i, m.stress.RawRowView(c))
	}
	if left := spanned(part, false); !left.IsEmpty() {
		return left
	}
	return nil
}

// strandedBy is stranded, remembered: it is the same for every step.
func (m *Model) strandedBy(cols []int) *mat.Dense {
	key := fmt.Sprint(cols)
	m.mu.Lock()
	defer m.mu.Unlock()
	z, known := m.lost[key]
	if !known {
		z = m.stranded(cols)
		m.lost[key] = z
	}
	return z
}

// motion is the motion that the lost forces had kept from happening, with the
// base held still where the rest of the vehicle lets it be.
func (s *Step) motion(cols []int, z *mat.Dense, lost []float64) []float64 {
	v := make([]float64, s.m.rows)
	for i, c := range cols {
		f := 0.0
		for a, l := range lost {
			f += z.At(i, a) * l
		}
		floats.AddScaled(v, f, s.m.frees.RawRowView(c))
	}
	return v
}

// moving lists the bodies that move, those that move most first.
func (s *Step) moving(v []float64) []int {
	size := func(b int) float64 { return norm(v[6*b : 6*b+6]) }
	most := 0.0
	for b := range s.m.sys.Bodies {
		most = max(most, size(b))
	}
	var list []int
	for b := range s.m.sys.Bodies {
		if size(b) > 1e-6*most && most > 0 {
			list = append(list, b)
		}
	}
	slices.SortStableFunc(list, func(a, b int) int {
		switch d := size(b) - size(a); {
		case d > 1e-9*most:
			return 1
		case d < -1e-9*most:
			return -1
		}
		return 0
	})
	return list
}

// bearsLoad reports whether a body that moves bears on a loaded support and moves
// there, or is the base itself.
func (s *Step) bearsLoad(lc *loadCase, v []float64, moving []int) bool {
	if slices.Contains(moving, s.m.sys.Base) {
		return true
	}
	for i, p := range s.Supports {
		if !slices.Contains(moving, p.Body) || s.most(lc, i) <= balance {
			continue
		}
		if r3.Norm(s.m.velocity(v, p.Body, p.At)) > 1e-7*norm(v) {
			return true
		}
	}
	return false
}

// most is the most that a holder carries in a case over the ±, a share of the weight.
func (s *Step) most(lc *loadCase, holder int) float64 {
	k := slices.Index(lc.on, holder)
	if k < 0 {
		return 0
	}
	_, most := s.m.extremes(lc.r.RawRowView(k))
	for _, sh := range lc.shares {
		most = max(most, sh.v[holder])
	}
	return most
}

// velocity is how fast a point of a body moves in a motion.
func (m *Model) velocity(v []float64, body int, at Vec) Vec {
	k := 6 * body
	turn := r3.Scale(1/m.size, Vec{X: v[k+3], Y: v[k+4], Z: v[k+5]})
	return r3.Add(Vec{X: v[k], Y: v[k+1], Z: v[k+2]}, r3.Cross(turn, r3.Sub(at, m.centre[body])))
}

// otherwise asks whether any reactions at all could hold what is left.
func (s *Step) otherwise(dir int, cols []int, z *mat.Dense, supports []int) Fate {
	d := &s.dirs[dir]
	_, nz := z.Dims()
	free, wanted := s.unheld(d)
	q, n := free.Dims()
	c := mat.NewDense(q+nz, n, nil)
	c.Slice(0, q, 0, n).(*mat.Dense).Copy(free)
	need := append(wanted, make([]float64, nz)...)
	// The motions that the removal adds are v = asks·z over the removed rows;
	// their work on a load is zᵀ·(asksᵀ·load), which is at hand.
	for a := range nz {
		for j := range n {
			sum := 0.0
			for i, col := range cols {
				sum += z.At(i, a) * s.xb(d.g, col, j)
			}
			c.Set(q+a, j, sum)
		}
		for i, col := range cols {
			need[q+a] += z.At(i, a) * (s.x0(d.g, col) + s.m.pressedIn(col))
		}
	}
	for _, j := range supports {
		c.SetCol(j, make([]float64, q+nz))
	}
	if _, residual := nnls(c, need); norm(residual) > balance {
		return Falls
	}
	return Rocks
}

// unheld are the equations of the supports in a direction, without those of what is held or eased: that gives
// where something lets go.
func (s *Step) unheld(d *direction) (c *mat.Dense, need []float64) {
	q, n := d.c.Dims()
	q -= len(s.m.sys.Held) + len(s.m.sys.Eased)
	return mat.DenseCopyOf(d.c.Slice(0, q, 0, n)), mat.Col(nil, 0, d.d)[:q]
}

// loseSupports asks only whether the other supports can hold the vehicle.
func (s *Step) loseSupports(gone []int, out *Outcome) {
	loaded := false
	for i := range s.cases {
		for _, j := range gone {
			loaded = loaded || s.most(&s.cases[i], j) > balance
		}
	}
	if !loaded {
		return
	}
	fate, words, name := Rocks, "", ""
	var bodies []int
	for i := range s.dirs {
		d := &s.dirs[i]
		c, need := s.unheld(d)
		for _, j := range gone {
			c.SetCol(j, make([]float64, len(need)))
		}
		r, residual := nnls(c, need)
		if norm(residual) > balance {
			f := s.failure(d, residual, gone...)
			fate, words, name = Falls, f.Words, d.name
			if s.onlyHang(f.Bodies, gone) {
				fate, bodies = Drops, f.Bodies
			}
			break
		}
		if i == 0 {
			words = "the vehicle comes to rest on "
			for j, v := range r {
				if v > balance {
					words += s.holder(j) + ", "
				}
			}
			words = words[:len(words)-2]
			name = d.name
		}
	}
	if fate > out.Fate {
		out.Fate, out.Words, out.Case, out.Bodies = fate, words, name, bodies
		for b := 0; bodies == nil && b < len(s.m.sys.Bodies); b++ {
			out.Bodies = append(out.Bodies, b)
		}
	}
}

// onlyHang reports whether bodies that move when ties let go bear on no support: they drop, and
// the vehicle stays.
func (s *Step) onlyHang(bodies, gone []int) bool {
	if len(bodies) == 0 || slices.Min(gone) < len(s.Supports) {
		return false
	}
	return !slices.ContainsFunc(s.Supports, func(p Support) bool { return slices.Contains(bodies, p.Body) })
}
