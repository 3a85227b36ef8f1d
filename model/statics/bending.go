package statics

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Bend is what a part passes across a cut square to its line, where it feels most of it: worst over
// every case, with the ± of the masses.
type Bend struct {
	Moment  float64 // N·m, bending about the line at the cut
	Sides   float64 // N·m, the same as the sum of what bends it upright and level, worst by itself: what a corner of a rectangle feels
	Torsion float64 // N·m, about the line at that cut, in that case
	Thrust  float64 // N, along the line there; push is positive
	At      float64 // m, of the cut from the start of the line
	Case    string
}

// Felt is the moment that alone would stress a round section as moment and torsion together do,
// N·m: √(M² + ¾T²), from √(σ² + 3τ²) with a polar section modulus of twice that of bending. Source: Shigley, Mechanical
// Engineering Design, eq. 5-15 (from memory).
func (b Bend) Felt() float64 { return math.Hypot(b.Moment, math.Sqrt(.75)*b.Torsion) }

// acting is a place on a body at which force acts: a joint, an end of a link or spring, a support or
// a tie, or a mass.
type acting struct {
	at     Vec
	named  Place
	parts  []part // of a joint or link, on this body
	turns  []part
	member int     // whose they are: a joint or, after the joints, a link
	sign   float64 // −1 where the body is the joint's A
	hold   int     // a support or tie, −1 for none
	spring int     // −1 for none
	push   Vec     // of that, on this body for each newton, a share of the weight
	mass   Mass
}

// Place is where force acts on a body.
type Place struct {
	Name string
	At   Vec
}

// actions lists where force acts on a body.
func (s *Step) actions(body int) []acting {
	var list []acting
	m := s.m
	for i, j := range m.sys.Joints {
		if sign := side(body, j.A, j.B); sign != 0 {
			list = append(list, acting{at: j.At, named: Place{j.Name, j.At}, member: i, parts: s.forces(i), turns: m.moments(i, Vec{}), sign: sign, hold: -1, spring: -1})
		}
	}
	for i, l := range m.sys.Links {
		if sign := side(body, l.A, l.B); sign != 0 {
			at := map[float64]Vec{1: l.PB, -1: l.PA}[sign]
			list = append(list, acting{at: at, named: Place{l.Name, at}, member: len(m.sys.Joints) + i, parts: s.parts(len(m.sys.Joints) + i), sign: sign, hold: -1, spring: -1})
		}
	}
	for i, p := range m.sys.Springs {
		if sign := side(body, p.A, p.B); sign != 0 {
			at := map[float64]Vec{1: p.PB, -1: p.PA}[sign]
			list = append(list, acting{at: at, named: Place{p.Name, at}, spring: i, push: r3.Scale(sign/m.weight, p.line()), sign: sign, hold: -1})
		}
	}
	for i, p := range s.Supports {
		if p.Body == body {
			list = append(list, acting{at: p.At, named: Place{p.Name, p.At}, hold: i, sign: 1, spring: -1})
		}
	}
	for i, t := range s.Ties {
		if sign := side(body, t.A, t.B); sign != 0 {
			at := map[float64]Vec{1: t.PB, -1: t.PA}[sign]
			list = append(list, acting{at: at, named: Place{t.Name, at}, hold: len(s.Supports) + i, sign: sign, spring: -1})
		}
	}
	for _, w := range m.sys.Bodies[body].Masses {
		list = append(list, acting{at: w.CG, hold: -1, mass: w, sign: 1, spring: -1})
	}
	return list
}

// side is 1 for the second of two bodies, −1 for the first and 0 for neither or both.
func side(body, a, b int) float64 {
	switch {
	case a == b:
		return 0
	case body == b:
		return 1
	case body == a:
		return -1
	}
	return 0
}

// passes is what acts at a place, as shares of the weight, where one set of supports takes the push under gravity g.
func (s *Step) passes(a acting, g Vec, sh *share) (force, moment Vec) {
	switch n := len(s.Supports); {
	case a.mass.M > 0:
		return r3.Scale(a.mass.M*Gravity/s.m.weight, g), Vec{}
	case a.spring >= 0:
		return r3.Scale(sh.push[a.spring], a.push), Vec{}
	case a.hold >= n:
		t := s.Ties[a.hold-n]
		u := r3.Unit(r3.Sub(t.PA, t.PB))
		if t.Pushes {
			u = r3.Scale(-1, u)
		}
		return r3.Scale(a.sign*sh.v[a.hold], u), Vec{}
	case a.hold >= 0:
		return sh.force[a.hold], Vec{}
	}
	return r3.Scale(a.sign, sumOf(a.parts, sh.x)), r3.Scale(a.sign, sumOf(a.turns, sh.x))
}

// Acting lists the places at which joints, links, springs, supports and ties pass force to a body.
func (s *Step) Acting(body int) (places []Place) {
	for _, a := range s.actions(body) {
		if a.named.Name != "" {
			places = append(places, a.named)
		}
	}
	return places
}

// Bending returns what a body passes across cuts square to a line in it: the moment of all
// forces beyond the cut, about the line at the cut, where moment and torsion together are
// felt most. Between the places where forces act it grows in a straight line, so that cuts on
// both sides of each place are enough. What acts at the end of the line acts beyond it; what acts within root
// along it, m, acts at its start, as what stands on an axle does where the line is of an arm on that. The ±
// of the masses lengthen all of it as much as they lengthen the greatest force on the body; what springs may
// push more is added as if it bent it the same way.
func (s *Step) Bending(body int, from, to Vec, root float64) (Bend, error) {
	long := r3.Norm(r3.Sub(to, from))
	if body < 0 || body >= len(s.m.sys.Bodies) || !(long > 1e-6) {
		return Bend{}, fmt.Errorf("there is no body, or its line has no length")
	}
	u := r3.Unit(r3.Sub(to, from))
	sideways := r3.Cross(u, Vec{Z: 1})
	if r3.Norm(sideways) < 1e-6 {
		sideways = Vec{X: 1} // an upright line
	}
	sideways = r3.Unit(sideways)
	acts := s.actions(body)
	place := make([]float64, len(acts))
	var cuts []float64
	for i, a := range acts {
		if at := r3.Dot(r3.Sub(a.at, from), u); at > root {
			place[i] = at
		}
		if at := place[i]; at > 0 && at < long {
			cuts = append(cuts, at*(1-1e-12), at*(1+1e-12))
		}
	}
	cuts = append(cuts, 0, long*(1-1e-12))
	slices.Sort(cuts)
	across := func(cut float64, f flow) Bend {
		about := r3.Add(from, r3.Scale(cut, u))
		var force, moment Vec
		for n, a := range acts {
			if place[n] > cut {
				force = r3.Add(force, f.forces[n])
				moment = r3.Add(moment, r3.Add(f.moments[n], r3.Cross(r3.Sub(a.at, about), f.forces[n])))
			}
		}
		turn := r3.Dot(moment, u)
		return Bend{
			Moment:  r3.Norm(r3.Sub(moment, r3.Scale(turn, u))),
			Sides:   math.Abs(r3.Dot(moment, sideways)) + math.Abs(r3.Dot(moment, r3.Cross(u, sideways))),
			Torsion: math.Abs(turn), Thrust: -r3.Dot(force, u), At: cut,
		}
	}
	var out Bend
	var here flow
	doubts := make([]flow, len(s.m.doubts))
	for i := range s.cases {
		lc := &s.cases[i]
		for d, more := range s.doubted(lc) {
			s.flow(&doubts[d], acts, Vec{}, &more)
		}
		for k := range lc.shares {
			s.flow(&here, acts, lc.g, &lc.shares[k])
			for _, cut := range cuts {
				b := across(cut, here)
				for _, d := range doubts {
					b = b.and(across(cut, d))
				}
				sides := max(out.Sides, b.Sides)
				if b.Felt() > out.Felt()*(1+noise) {
					out, out.Case = b, lc.name
				}
				out.Sides = sides
			}
		}
	}
	return out.times(s.heavier(acts) * s.m.weight), nil
}

// flow is what acts at each of some places, as shares of the weight.
type flow struct{ forces, moments []Vec }

func (s *Step) flow(into *flow, acts []acting, g Vec, sh *share) {
	into.forces, into.moments = into.forces[:0], into.moments[:0]
	for _, a := range acts {
		force, moment := s.passes(a, g, sh)
		into.forces, into.moments = append(into.forces, force), append(into.moments, moment)
	}
}

// and is a bend with another that adds to it whichever way it points.
func (b Bend) and(more Bend) Bend {
	b.Moment, b.Sides, b.Torsion = b.Moment+more.Moment, b.Sides+more.Sides, b.Torsion+more.Torsion
	b.Thrust += math.Copysign(more.Thrust, b.Thrust)
	return b
}

// times is a bend as many times as large.
func (b Bend) times(n float64) Bend {
	b.Moment, b.Sides, b.Torsion, b.Thrust = b.Moment*n, b.Sides*n, b.Torsion*n, b.Thrust*n
	return b
}

// heavier is the greatest of what acts on a body with the ± of masses to the same without.
func (s *Step) heavier(acts []acting) float64 {
	var most growth
	for _, a := range acts {
		if a.parts != nil {
			g := s.grown()[a.member]
			most.plain, most.more = max(most.plain, g.plain), max(most.more, g.more)
		}
	}
	if most.plain == 0 {
		return 1
	}
	return most.more / most.plain
}

// growth is the greatest force of a joint or link, without the ± of masses and with it, shares of the weight.
type growth struct{ plain, more float64 }

// growing is that of every joint and then of every link.
func (s *Step) growing() []growth {
	list := make([]growth, len(s.m.cols))
	for i := range list {
		for v := range s.vectors([][]part{s.parts(i)}) {
			f := length(v.is)
			list[i] = growth{max(list[i].plain, f), max(list[i].more, f+v.more)}
		}
	}
	return list
}
