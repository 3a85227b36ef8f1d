package statics

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Pull is what a pull on the vehicle needs to move it, N.
type Pull struct {
	Tips     float64 // over an edge of the polygon of its supports; +Inf where it cannot
	Doubtful float64 // the same over what nobody wrote as well, no more than Tips
	Over     Edge    // the edge that it tips over then
	Slides   float64 // until a way of standing has no supports left that take it; +Inf where it cannot or all supports take any push
}

// PullAt asks how hard somebody has to pull at a point along a direction, in the vehicle's
// frame, until the vehicle tips or slides.
//
// It tips when the moment of the pull about an edge of the polygon is the least that the weight may
// have, over all ±: single sets of three supports only rock on. It slides when
// on some set of at most three supports, loaded by weight and pull together, none of the
// sets that may take the pull can. Whether it slides under more than enough, N, is not
// asked: whoever looks for the least of many pulls hands over the least so far, and 0 to ask for tipping alone.
func (s *Step) PullAt(at, direction Vec, enough float64) Pull {
	u := r3.Unit(direction)
	p := s.tipsAt(at, u)
	p.Slides = math.Inf(1)
	up := r3.Scale(-1, s.lean.down)
	if side := r3.Norm(r3.Sub(u, r3.Scale(r3.Dot(u, up), up))); side < 1e-9 {
		return p
	}
	for i := range s.cases {
		if lc := &s.cases[i]; lc.dir == 0 && lc.nominal && !lc.scrubs {
			most := min(mostPull, enough/s.m.weight, p.Slides/s.m.weight)
			p.Slides = min(p.Slides, s.slidesAt(lc, at, u, most))
		}
	}
	return p
}

// tipsAt is the least pull that tips the vehicle over an edge.
func (s *Step) tipsAt(at, u Vec) Pull {
	st := s.Stability()
	if st == nil {
		return Pull{}
	}
	p := Pull{Tips: math.Inf(1), Doubtful: math.Inf(1)}
	for _, e := range st.Edges {
		from, to := s.Supports[e.From].At, s.Supports[e.To].At
		// With the inside to the left, a turn about the edge that lifts it is positive. The
		// weight's moment is about the edge as it lies in plan.
		line := r3.Sub(to, from)
		over := r3.Dot(line, r3.Cross(r3.Sub(at, from), u)) / math.Hypot(s.lean.flat(line))
		if over < 1e-9 {
			continue
		}
		p.Tips = min(p.Tips, max(0, e.Moment)/over)
		if doubtful := max(0, e.Doubtful) / over; doubtful < p.Doubtful {
			p.Doubtful, p.Over = doubtful, e
		}
	}
	return p
}

// mostPull is the greatest pull that is tried, as a share of the weight, and halvings how
// often it is halved, to a millionth of the weight.
const (
	mostPull = 4.0
	halvings = 22
)

// slidesAt is the greatest pull that some set of supports of a footing takes, +Inf where one
// takes most, a share of the weight.
func (s *Step) slidesAt(lc *loadCase, at, u Vec, most float64) float64 {
	w := lc.footing
	load := make([]float64, s.m.rows)
	_, q := w.k.Dims()
	free := make([]float64, q)
	s.m.wrench(load, s.m.sys.Base, r3.Scale(-1, u), Vec{}, at)
	for row := 6 * s.m.sys.Base; row < 6*s.m.sys.Base+6; row++ {
		for k := range free {
			free[k] += load[row] * s.m.null.At(row, k)
		}
	}
	x, y := r3.Dot(u, w.forward), r3.Dot(u, w.left)
	arm := r3.Sub(at, s.m.origin)
	turn := r3.Dot(arm, w.forward)*y - r3.Dot(arm, w.left)*x
	// moves says what a pull of a share of the weight does.
	moves := func(set []int, share float64) (slips, lifts bool) {
		d := make([]float64, q)
		for k := range d {
			d[k] = share * free[k]
		}
		push := lateral{share * x, share * y, share * turn, d}
		a, ok := s.answer(w, set, push)
		switch {
		case !ok:
			return true, false
		case slices.Min(a.v) < -balance:
			return false, true // it rocks on to other supports before it slides
		}
		return s.friction(w, a, 0).share > 1+noise || norm(s.outOfBalance(w, a, push)) > 10*balance, false
	}
	best := 0.0
	for _, set := range s.sets(w, func(k int) bool { return w.r[0][k] > balance }) {
		if s.takesAny(w, set) {
			return math.Inf(1)
		}
		low, high := 0.0, most
		slips, lifts := moves(set, high)
		if !slips && !lifts {
			return math.Inf(1)
		}
		for range halvings {
			mid := (low + high) / 2
			switch slipsHere, liftsHere := moves(set, mid); {
			case slipsHere || liftsHere:
				high, slips = mid, slipsHere
			default:
				low = mid
			}
		}
		if !slips {
			return math.Inf(1)
		}
		best = max(best, low)
	}
	return best * s.m.weight
}

// takesAny reports whether all of a set take any push.
func (s *Step) takesAny(w *footing, set []int) bool {
	return !slices.ContainsFunc(set, func(k int) bool { return s.Supports[w.on[k]].Contact != nil })
}
