package statics

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// onAxis is how far beside an axis a force may pass and still not drive what swings
// about it, m: a wheel rolls as far, and nobody draws a point more exactly.
const onAxis = 5e-3

// holdSwings adds an unknown moment for everything that may swing and is free to, so
// that its freedom is no lack of equilibrium: hinges that say so, and parts that spin
// about their own two points (a shackle, a link drawn as a part, the rod of a damper).
// It reports whether it added any. What these moments hold beyond the weight of what
// swings is no equilibrium: see Step.driven.
func (m *Model) holdSwings() bool {
	var list []column
	for _, j := range m.sys.Joints {
		if j.Swings && (j.Kind == Pivot || j.Kind == Ball) && j.A != j.B {
			list = append(list, column{a: j.A, b: j.B, moment: r3.Scale(bushWidth*m.size, r3.Unit(j.Axis)), at: j.At})
		}
	}
	said := len(list)
	for b := range m.sys.Bodies {
		if c, ok := m.spin(b); ok {
			list = append(list, c)
		}
	}
	_, q := m.null.Dims()
	var taken *mat.Dense // orthonormal free motions that are held already, one a column
	col := make([]float64, m.rows)
	for i, c := range list {
		clear(col)
		m.wrench(col, c.b, Vec{}, c.moment, c.at)
		m.wrench(col, c.a, Vec{}, r3.Scale(-1, c.moment), c.at)
		var free mat.VecDense
		free.MulVec(m.null.T(), mat.NewVecDense(m.rows, col))
		if taken != nil {
			var part, back mat.VecDense
			part.MulVec(taken.T(), &free)
			back.MulVec(taken, &part)
			free.SubVec(&free, &back)
		}
		size := mat.Norm(&free, 2)
		if size < rankFirm*norm(col) {
			continue // something holds it
		}
		free.ScaleVec(1/size, &free)
		if next := mat.NewDense(q, 1, nil); taken == nil {
			next.SetCol(0, free.RawVector().Data)
			taken = next
		} else {
			grown := taken.Grow(0, 1).(*mat.Dense)
			_, n := grown.Dims()
			grown.SetCol(n-1, free.RawVector().Data)
			taken = grown
		}
		m.swings = append(m.swings, swing{col: len(m.basis), said: i < said})
		m.basis = append(m.basis, c)
	}
	m.n = len(m.basis)
	return len(m.swings) > 0
}

// spin is the moment that would keep a body from turning about its own two points, where
// two points, or one on the axis along which it slides, are all that hold it, to two bodies or
// to one (a strap ties what it joins to the frame), and its centre of gravity lies between them:
// what hangs beside its axis swings.
func (m *Model) spin(b int) (column, bool) {
	type hold struct {
		at    Vec
		other int
		axis  Vec
	}
	var holds []hold
	other := func(a, b2 int) int { return a + b2 - b }
	for _, j := range m.sys.Joints {
		if j.A == j.B || j.A != b && j.B != b {
			continue
		}
		h := hold{at: j.At, other: other(j.A, j.B)}
		switch j.Kind {
		case Slider:
			h.axis = r3.Unit(j.Axis)
		case Ball:
		default:
			return column{}, false
		}
		holds = append(holds, h)
	}
	for _, l := range m.sys.Links {
		switch {
		case l.A == l.B:
		case l.A == b:
			holds = append(holds, hold{at: l.PA, other: l.B})
		case l.B == b:
			holds = append(holds, hold{at: l.PB, other: l.A})
		}
	}
	if b == m.sys.Base || len(holds) != 2 {
		return column{}, false
	}
	axis := r3.Sub(holds[1].at, holds[0].at)
	for _, h := range holds {
		if h.axis == (Vec{}) {
			continue
		}
		if r3.Norm(r3.Cross(axis, h.axis)) > onAxis {
			return column{}, false
		}
		axis = h.axis
	}
	if r3.Norm(axis) < 1e-6 {
		return column{}, false
	}
	if beside := r3.Cross(r3.Unit(axis), r3.Sub(m.centre[b], holds[0].at)); len(m.sys.Bodies[b].Masses) > 0 && r3.Norm(beside) > onAxis {
		return column{}, false
	}
	return column{a: holds[0].other, b: b, moment: r3.Scale(bushWidth*m.size, r3.Unit(axis)), at: holds[0].at}, true
}

// swing is the unknown that keeps something from swinging, and whether somebody said that
// it may.
type swing struct {
	col  int
	said bool
}

// driven is the failure of something that may swing and is driven by more than the
// weight of what swings with it: a support pushes beside its axis, or the body that the
// vehicle is built on goes with it.
func (s *Step) driven(lc *loadCase, k *share) *Failure {
	for i, w := range s.m.swings {
		motion, moving := s.swing[i].motion, s.swing[i].moving
		limit, power := 0.0, 0.0
		for j, p := range s.Supports {
			if f := k.force[j]; slices.Contains(moving, p.Body) && (p.Spins == nil || !p.Spins.Held) {
				power += r3.Dot(f, s.m.velocity(motion, p.Body, p.touches(lc.down)))
				if w.said {
					limit += onAxis * r3.Norm(f)
				}
			}
		}
		for _, p := range s.m.sys.Springs {
			apart := r3.Sub(s.m.velocity(motion, p.B, p.PB), s.m.velocity(motion, p.A, p.PA))
			power += r3.Dot(p.on(), apart) / s.m.weight
		}
		if slices.Contains(moving, s.m.sys.Base) {
			limit = -1
		}
		if moment := math.Abs(power) * r3.Norm(s.m.basis[w.col].moment); moment > limit+balance*s.m.size || limit < 0 {
			return &Failure{Words: fmt.Sprintf("%s: %s, driven by more than its own weight", lc.name, s.m.describe(motion, moving, s.m.how)), Bodies: moving}
		}
	}
	return nil
}

// Swinging is what may turn freely about a bearing, and how far the plumb line of its centre of
// gravity passes beside the axis as the vehicle stands, m.
type Swinging struct {
	Bodies []int
	Beside float64
}

// Swinging lists what somebody said may swing and what bears on no support; nothing without
// equilibrium.
func (s *Step) Swinging() []Swinging {
	var list []Swinging
	for i, w := range s.m.swings {
		if !w.said || s.Failure != nil {
			continue
		}
		motion, moving := s.swing[i].motion, s.swing[i].moving
		if slices.ContainsFunc(s.Supports, func(p Support) bool { return slices.Contains(moving, p.Body) }) {
			continue
		}
		power, kg := 0.0, 0.0
		for _, b := range moving {
			for _, mass := range s.m.sys.Bodies[b].Masses {
				power += mass.M * r3.Dot(s.lean.down, s.m.velocity(motion, b, mass.CG))
				kg += mass.M
			}
		}
		if kg > 0 {
			list = append(list, Swinging{moving, math.Abs(power) * r3.Norm(s.m.basis[w.col].moment) / kg})
		}
	}
	return list
}

// swung is the motion of what swings when the moment that holds it is taken away, and
// the bodies that move in it.
type swung struct {
	motion []float64
	moving []int
}

// swung works the motions of all that swings out.
func (s *Step) swung() {
	for _, w := range s.m.swings {
		v := s.m.frees.RawRowView(w.col)
		s.swing = append(s.swing, swung{v, s.moving(v)})
	}
}
