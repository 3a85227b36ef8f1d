package statics

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Leg is how one leg of a body bends that is two straight legs, from two joints of a hinge to
// an apex.
type Leg struct {
	Bend             // where the leg is bent most; At from its pivot
	Pivot    int     // the joint at its foot
	Long     float64 // m, from pivot to apex
	Reaction float64 // N, what that joint passes square to the plane of the legs
	Square   float64 // N·m, of the moment what bends it out of the plane of the legs
	InPlane  float64 // N·m, and in it
	Cross    Bend    // of the cross tube that is bent most, At from the first leg, Sides as Moment; nothing without a load between the legs
	Wide     float64 // m, how long that is
	Between  float64 // N·m, how a cross tube is bent by what stands on neither leg, with its torsion as Felt has it
}

// Where a place on legs counts, as shares of the way from hinge to apex: from nearApex on its load
// enters where the legs meet, and none may lie further behind the hinge than behindHinge. Of the
// way from one leg to the other a lug reaches nearLeg.
const (
	nearApex    = 0.9
	behindHinge = 0.05
	nearLeg     = 0.25
	sameTube    = 0.05 // of the way from hinge to apex, within which loads stand on one cross tube
)

// Legs returns the leg that is bent most of two that run straight from two joints to an apex. The
// joints pass force alone, so that each leg is a beam from its pivot to the apex:
//
//	out of the plane of the legs  M = R·x, R what its joint passes square to that plane, up to where
//	                              load enters; beyond it less what enters;
//	in the plane                  M = f·d·(l − d)/l for a load f across the leg at d of its length l;
//	                              what acts at the apex pushes and pulls the legs and bends neither.
//
// A load between the legs is shared by the lever rule, as by a cross tube under it, w long, which
// the legs let turn at its ends: at s of its length it is bent by F·w·s·(1 − s), on a lug by the
// moment of that as well, and twisted, the larger share of it. One near a leg or outside both stands
// on a lug of the nearer and twists it. A moment that the apex takes
// in the plane of the legs bends either with all of it. How the hinge's two joints share what
// pushes along it is open to equilibrium and does not enter. Source: equilibrium of a frame of
// three hinges (Timoshenko and Young, Theory of Structures, from memory). An error says why the
// body is no such thing.
func (s *Step) Legs(body int, pivots [2]int, apex Vec) (Leg, error) {
	if body < 0 || body >= len(s.m.sys.Bodies) {
		return Leg{}, errors.New("there is no such body")
	}
	p, err := s.legs(body, pivots, apex)
	if err != nil {
		return Leg{}, err
	}
	var out Leg
	for i := range s.cases {
		lc := &s.cases[i]
		doubts := s.doubted(lc)
		for k := range lc.shares {
			sh := &lc.shares[k]
			for n := range p.leg {
				l := p.bends(s, n, lc.g, sh)
				for d := range doubts {
					l = l.and(p.bends(s, n, Vec{}, &doubts[d]))
				}
				sides, cross, wide, between := max(out.Sides, l.Sides), out.Cross, out.Wide, out.Between
				if l.Felt() > out.Felt()*(1+noise) {
					l.Case, l.Pivot, l.Long = lc.name, pivots[n], p.leg[n].long
					out = l
				}
				out.Sides, out.Cross, out.Wide, out.Between = sides, cross, wide, between
			}
			crosses := func(under entry, counts func(entry) bool) Bend {
				c := p.crosses(s, under, counts, lc.g, sh)
				for d := range doubts {
					c = c.and(p.crosses(s, under, counts, Vec{}, &doubts[d]))
				}
				c.Case = lc.name
				return c
			}
			for _, e := range p.enters {
				if e.onBoth() {
					out.Between = max(out.Between, crosses(e, entry.onBoth).Felt())
				}
				if c := crosses(e, entry.inside); c.Felt() > out.Cross.Felt()*(1+noise) {
					out.Cross, out.Wide = c, p.between(e)
				}
			}
		}
	}
	more := s.heavier(s.actions(body)) * s.m.weight
	out.Bend, out.Cross = out.Bend.times(more), out.Cross.times(more)
	out.Between *= more
	for _, share := range []*float64{&out.Reaction, &out.Square, &out.InPlane} {
		*share *= s.m.weight
	}
	return out, nil
}

// and is a leg with what bends it more, whichever way that points.
func (l Leg) and(more Leg) Leg {
	l.Bend = l.Bend.and(more.Bend)
	l.Reaction, l.Square, l.InPlane = l.Reaction+more.Reaction, l.Square+more.Square, l.InPlane+more.InPlane
	return l
}

// legs are two legs of a body with what acts on them.
type legs struct {
	apex   Vec
	hinge  Vec // from the first pivot to the second, as wide as they are apart
	normal Vec // square to their plane
	leg    [2]leg
	enters []entry // between pivots and apex
	tip    []acting
}

// leg is one of two.
type leg struct {
	pivot         acting
	along, across Vec // in the plane of the legs
	long          float64
}

// entry is a place between pivots and apex at which load enters.
type entry struct {
	acting
	way    float64    // the share of the way from hinge to apex
	beside float64    // of the way from the first leg to the other
	share  [2]float64 // of each leg
	off    Vec        // m, from the leg or, between both, from their plane
}

// onBoth reports whether it is shared by both legs.
func (e entry) onBoth() bool { return e.share[0] > 0 && e.share[1] > 0 }

// inside reports whether it is between the lines of the legs.
func (e entry) inside() bool { return e.beside > 0 && e.beside < 1 }

func (s *Step) legs(body int, pivots [2]int, apex Vec) (*legs, error) {
	p := &legs{apex: apex}
	acts := s.actions(body)
	for n, joint := range pivots {
		if joint < 0 || joint >= len(s.m.sys.Joints) {
			return nil, errors.New("there is no such joint")
		}
		j := s.m.sys.Joints[joint]
		i := slices.IndexFunc(acts, func(a acting) bool { return a.hold < 0 && a.parts != nil && a.named == Place{j.Name, j.At} })
		if i < 0 || len(acts[i].turns) > 0 {
			return nil, errors.New("the joints of its hinge pass more than force")
		}
		p.leg[n].pivot = acts[i]
		acts = slices.Delete(acts, i, i+1)
	}
	foot, hinge := p.leg[0].pivot.at, r3.Sub(p.leg[1].pivot.at, p.leg[0].pivot.at)
	wide := r3.Norm(hinge)
	square := r3.Cross(hinge, r3.Sub(apex, foot))
	if !(wide > 1e-6) || !(r3.Norm(square) > 1e-3*wide*wide) {
		return nil, errors.New("its apex lies in the line of its hinge")
	}
	p.hinge = hinge
	hinge, p.normal = r3.Scale(1/wide, hinge), r3.Unit(square)
	out := r3.Cross(p.normal, hinge) // in the plane, from hinge to apex
	far := r3.Dot(out, r3.Sub(apex, foot))
	for n := range p.leg {
		l := &p.leg[n]
		line := r3.Sub(apex, l.pivot.at)
		l.long, l.along = r3.Norm(line), r3.Unit(line)
		l.across = r3.Cross(p.normal, l.along)
	}
	for _, a := range acts {
		r := r3.Sub(a.at, foot)
		e := entry{acting: a, way: r3.Dot(r, out) / far, off: r3.Scale(r3.Dot(r, p.normal), p.normal)}
		switch {
		case e.way >= nearApex:
			p.tip = append(p.tip, a)
			continue
		case len(a.turns) > 0:
			return nil, errors.New("a joint on its legs passes more than force")
		case e.way < -behindHinge:
			return nil, errors.New("it is loaded behind its hinge")
		}
		e.beside = (r3.Dot(r, hinge) - e.way*r3.Dot(r3.Sub(apex, foot), hinge)) / (wide * (1 - e.way))
		e.share = [2]float64{1 - e.beside, e.beside}
		for n, l := range p.leg {
			if e.share[n] > 1-nearLeg {
				e.share[n], e.share[1-n] = 1, 0
				e.off = r3.Sub(a.at, r3.Add(l.pivot.at, r3.Scale(e.way*l.long, l.along)))
			}
		}
		p.enters = append(p.enters, e)
	}
	return p, nil
}

// bends is how a leg is bent most in a case, as shares of the weight.
func (p *legs) bends(s *Step, n int, g Vec, sh *share) Leg {
	l := p.leg[n]
	pivot, _ := s.passes(l.pivot, g, sh)
	reaction := r3.Dot(p.normal, pivot)

	// What acts at the apex, and the moment there about the normal.
	var tip, turn Vec
	for _, a := range p.tip {
		f, m := s.passes(a, g, sh)
		tip, turn = r3.Add(tip, f), r3.Add(turn, r3.Add(m, r3.Cross(r3.Sub(a.at, p.apex), f)))
	}
	forces := make([]Vec, len(p.enters))
	side := 0.0 // what the pivot passes across the leg, in the plane
	for k, e := range p.enters {
		forces[k], _ = s.passes(e.acting, g, sh)
		side -= e.share[n] * r3.Dot(forces[k], l.across) * (1 - e.way)
		for i, other := range p.leg {
			tip = r3.Add(tip, r3.Scale(e.share[i]*r3.Dot(forces[k], other.across)*e.way, other.across))
		}
	}
	// Both legs push the apex as far as what acts there pushes back: −tip = c·along + c'·along'.
	other := p.leg[1-n]
	push := -r3.Dot(r3.Cross(tip, other.along), p.normal) / r3.Dot(r3.Cross(l.along, other.along), p.normal)

	worst := Leg{Bend: Bend{Moment: -1}}
	sides := 0.0
	for _, cut := range p.cuts() {
		x := cut * l.long
		b := Leg{Bend: Bend{At: x, Thrust: push}, Reaction: math.Abs(reaction), Square: reaction * x, InPlane: -side * x}
		turns := math.Abs(r3.Dot(turn, p.normal)) * cut
		for k, e := range p.enters {
			f, d := r3.Scale(e.share[n], forces[k]), e.way*l.long
			off := r3.Cross(e.off, f)
			turns += math.Abs(r3.Dot(off, p.normal))
			if e.way > cut {
				b.Thrust -= r3.Dot(f, l.along)
				continue
			}
			b.Square += r3.Dot(f, p.normal)*(x-d) + r3.Dot(off, l.across)
			b.InPlane -= r3.Dot(f, l.across) * (x - d)
			b.Torsion += math.Abs(r3.Dot(off, l.along))
		}
		b.Square, b.InPlane = math.Abs(b.Square), math.Abs(b.InPlane)+turns
		sides = max(sides, b.Square+b.InPlane)
		if b.Moment = math.Hypot(b.Square, b.InPlane); worst.Moment < 0 || b.Felt() > worst.Felt()*(1+noise) {
			worst = b
		}
	}
	worst.Sides = sides
	return worst
}

// between is how far apart the legs are at a place, m.
func (p *legs) between(e entry) float64 { return r3.Norm(p.hinge) * (1 - e.way) }

// crosses is how the cross tube under a place is bent in a case by all that counts of what stands there, as shares of the weight.
func (p *legs) crosses(s *Step, under entry, counts func(entry) bool, g Vec, sh *share) Bend {
	u, at := r3.Unit(p.hinge), under.beside
	if !under.inside() {
		return Bend{}
	}
	var moment Vec
	out := Bend{At: at * p.between(under)}
	for _, e := range p.enters {
		x := e.beside
		if !counts(e) || math.Abs(e.way-under.way) > sameTube {
			continue
		}
		f, _ := s.passes(e.acting, g, sh)
		var lug Vec
		if e.onBoth() { // and not on a lug of a leg, which takes that
			lug = r3.Cross(e.off, f)
		}
		turn, larger := r3.Dot(lug, u), max(x, 1-x)
		moment = r3.Add(moment, r3.Scale(p.between(e)*min(x, at)*(1-max(x, at)), r3.Cross(u, f)))
		out.Sides += r3.Norm(r3.Sub(lug, r3.Scale(turn, u))) * larger // of lugs, whichever way
		out.Torsion += math.Abs(turn) * larger
		out.Thrust += math.Abs(r3.Dot(f, u)) * larger
	}
	out.Moment = r3.Norm(moment) + out.Sides
	out.Sides += math.Abs(r3.Dot(moment, p.normal)) + math.Abs(r3.Dot(moment, r3.Cross(p.normal, u)))
	return out
}

// cuts are the places along the legs at which the moment may be largest, as shares of their
// length: on both sides of each place where load enters, and at the apex.
func (p *legs) cuts() []float64 {
	cuts := []float64{1}
	for _, e := range p.enters {
		cuts = append(cuts, max(0, e.way*(1-1e-12)), max(0, e.way))
	}
	slices.Sort(cuts)
	return cuts
}
