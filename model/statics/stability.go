package statics

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model/hull"
)

// Stability says how far a vehicle on its supports is from tipping.
type Stability struct {
	Corners []int  // supports at the corners of the polygon, counter-clockwise from above
	Edges   []Edge // from each corner to the next
	Nearest int    // index of the edge with the least worst distance
}

// Edge is one edge of the support polygon.
type Edge struct {
	From, To int     // supports
	Nominal  float64 // m, plumb line of the centre of gravity to the edge; positive inside
	Worst    float64 // m, least over the ± of masses and centres of gravity, of slope and heights
	Span     float64 // m, distance across the supports at right angles to the edge
	Height   float64 // m, highest centre of gravity above the edge; not positive when it hangs below
	Angle    float64 // rad, at which it tips over the edge; π/2 when it hangs below
	Push     float64 // N, sideways at the height of the centre of gravity that starts to tip it; +Inf when it hangs below

	In       Vec     // inwards, level
	Doubt    float64 // m, how much less than Worst the distance may be over what nobody wrote
	Moment   float64 // N·m, least of the weight about the edge, over every ± that is written
	Doubtful float64 // N·m, the same over what nobody wrote as well
}

// Stability computes the support polygon in plan, seen along gravity with the
// nose up by the pitch (rad), and the distances to its edges. It is nil when the
// supports do not span a polygon.
func (m *Model) Stability(supports []Support, pitch float64) *Stability {
	return m.stability(supports, Stance{}.leanOn(nil, Attitude{Pitch: pitch}.down()), [2]float64{})
}

// Stability is that of the vehicle as it stands, by the heights of its supports where all
// are known, else by pitch and roll, on a floor that slopes.
func (s *Step) Stability() *Stability { return s.m.stability(s.Supports, s.lean, s.Doubt) }

func (m *Model) stability(supports []Support, l lean, doubt [2]float64) *Stability {
	corners := l.hull(supports)
	if len(corners) < 3 {
		return nil
	}
	st := &Stability{Corners: corners}
	for i, from := range corners {
		to := corners[(i+1)%len(corners)]
		st.Edges = append(st.Edges, m.edge(l, supports, from, to, doubt))
	}
	for i, e := range st.Edges {
		if e.Worst < st.Edges[st.Nearest].Worst {
			st.Nearest = i
		}
	}
	return st
}

// flat returns a point's place in the level plane: forward and to the left.
func (l lean) flat(v Vec) (x, y float64) { return r3.Dot(v, l.forward), r3.Dot(v, l.left) }

func (m *Model) edge(level lean, supports []Support, from, to int, doubt [2]float64) Edge {
	p, q := supports[from].At, supports[to].At
	px, py := level.flat(p)
	qx, qy := level.flat(q)
	l := math.Hypot(qx-px, qy-py)
	// To the left of the edge is inside.
	in := r3.Add(r3.Scale(-(qy-py)/l, level.forward), r3.Scale((qx-px)/l, level.left))
	e := Edge{From: from, To: to, In: in, Nominal: r3.Dot(r3.Sub(m.origin, p), in)}
	e.Worst = m.least(p, in, written)
	for _, s := range supports {
		e.Span = max(e.Span, r3.Dot(r3.Sub(s.At, p), in))
	}
	// The tipping height is over the lower end of the edge: the safe side.
	up := r3.Scale(-1, level.down)
	e.Height = -m.least(Vec{}, level.down, written) - min(r3.Dot(p, up), r3.Dot(q, up))
	// Gravity that leans further moves the plumb line by the lean times the height.
	x, y := level.flat(in)
	further := max(0, e.Height) * level.spread(x, y)
	unsaid := max(0, e.Height) * math.Hypot(math.Tan(doubt[0])*x, math.Tan(doubt[1])*y)
	e.Doubt = e.Worst - m.least(p, in, unwritten) + unsaid
	e.Worst -= further
	e.Moment = m.moment(p, in, further, written)
	e.Doubtful = m.moment(p, in, further+unsaid, unwritten)
	if e.Height <= 0 {
		e.Angle, e.Push = math.Pi/2, math.Inf(1)
		return e
	}
	e.Angle = math.Atan2(max(0, e.Worst), e.Height)
	e.Push = max(0, e.Moment) / e.Height
	return e
}

// Hangs reports whether the distance to the edge hangs on a doubt along and across by more than a
// tenth of it.
func (e Edge) Hangs(doubt [2]float64) bool {
	return math.Hypot(e.In.X*doubt[0], e.In.Y*doubt[1]) > 0.1*math.Hypot(doubt[0], doubt[1])
}

// written is the least n·(c − p) of a mass over the ± of its centre of gravity; unwritten is that over
// what nobody wrote of it as well.
func written(w *Mass, p, n Vec) float64 {
	return r3.Dot(r3.Sub(w.CG, p), n) - math.Abs(n.X)*w.CGTol.X - math.Abs(n.Y)*w.CGTol.Y - math.Abs(n.Z)*w.CGTol.Z
}

func unwritten(w *Mass, p, n Vec) float64 {
	return written(w, p, n) - math.Hypot(n.X*w.Doubt[0], n.Y*w.Doubt[1])
}

// worse is a mass at that end of its ± that makes its moment on an arm the least.
func (w *Mass) worse(arm float64) float64 {
	if arm > 0 {
		return max(0, w.M-w.Tol)
	}
	return w.M + w.Tol
}

// reach is the least distance n·(c − p) of a mass from an edge through p with n inwards, m.
type reach func(w *Mass, p, n Vec) float64

// moment is the least moment of the weight about an edge through p with n inwards, N·m, each centre
// of gravity as its reach says and further out by so much: a light vehicle tips more easily than a
// heavy one.
func (m *Model) moment(p, n Vec, further float64, reach reach) (sum float64) {
	for i := range m.sys.Bodies {
		for k := range m.sys.Bodies[i].Masses {
			w := &m.sys.Bodies[i].Masses[k]
			arm := reach(w, p, n) - further
			sum += w.worse(arm) * arm * Gravity
		}
	}
	return sum
}

// least is the least value of n·(c − p), c the centre of gravity of the whole,
// over the box of all ±, of each mass as its reach says. c is Σ m·cᵢ ÷ Σ m, so the least value λ is where
// Σ min m·(n·(cᵢ − p) − λ) is zero, with each mass at the worse end of its ±;
// Newton's method on this decreasing concave function (Dinkelbach) reaches it in
// a few steps.
func (m *Model) least(p, n Vec, reach reach) float64 {
	lambda := r3.Dot(r3.Sub(m.origin, p), n)
	for range 50 {
		sum, mass := 0.0, 0.0
		for i := range m.sys.Bodies {
			for k := range m.sys.Bodies[i].Masses {
				w := &m.sys.Bodies[i].Masses[k]
				arm := reach(w, p, n) - lambda
				at := w.worse(arm)
				sum += at * arm
				mass += at
			}
		}
		if mass == 0 {
			return math.Inf(-1)
		}
		step := sum / mass
		lambda += step
		if math.Abs(step) < 1e-12 {
			break
		}
	}
	return lambda
}

// onEdge is how far outside the line of its neighbours a support is still on it, m.
// Nobody places a stand more exactly, and without that corner the polygon is smaller,
// which is the safe side.
const onEdge = 1e-4

// hull returns the corners of the support polygon, counter-clockwise from the rearmost.
func (l lean) hull(supports []Support) []int {
	points := make([]hull.Point, len(supports))
	for i, s := range supports {
		points[i].X, points[i].Y = l.flat(s.At)
	}
	return hull.Corners(points, onEdge)
}

// Centre returns the nominal centre of gravity of the whole vehicle and its
// nominal mass in kg.
func (m *Model) Centre() (Vec, float64) { return m.origin, m.weight / Gravity }

// CentreSpread returns how far the centre of gravity may be from the nominal one
// along each axis, over the box of all ±.
func (m *Model) CentreSpread() Vec {
	spread := func(e Vec, nominal float64) float64 {
		low := m.least(Vec{}, e, written)
		high := -m.least(Vec{}, r3.Scale(-1, e), written)
		return max(nominal-low, high-nominal)
	}
	return Vec{X: spread(Vec{X: 1}, m.origin.X), Y: spread(Vec{Y: 1}, m.origin.Y), Z: spread(Vec{Z: 1}, m.origin.Z)}
}
