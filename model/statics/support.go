package statics

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Support pushes up on a body at a point and never pulls.
type Support struct {
	Name string
	Body int
	At   Vec
	Tol  float64 // m, of each coordinate of At

	// Height is that of the contact above a level floor, m, with its ±. The heights of a way
	// of standing give its attitude; one with a support that has none (a jack, a crane)
	// takes the pitch and roll of the step, but for the lean along the line of those that have.
	Height *Height

	// Spins is the bearing of a wheel that turns freely; nil of everything else.
	Spins *Spin

	// Contact is how it takes a sideways force. Without one it takes its share in
	// proportion to its load, whatever its size, as in a roll along the way.
	Contact *Contact
}

// Spin is the axis about which a wheel turns freely.
type Spin struct {
	At, Along Vec
	Held      bool // chocks keep it from turning, or nothing need
}

// touches is where a support touches the floor under a direction of gravity: a wheel that turns
// freely does so below its axis, wherever the attitude of the vehicle puts that.
func (p Support) touches(down Vec) Vec {
	if p.Spins == nil {
		return p.At
	}
	u := r3.Unit(p.Spins.Along)
	out := r3.Sub(p.At, p.Spins.At)
	abeam := r3.Scale(r3.Dot(out, u), u)
	below := r3.Sub(down, r3.Scale(r3.Dot(down, u), u))
	if r3.Norm(below) < 1e-6 {
		return p.At // its axis is upright: nothing drives it
	}
	return r3.Add(p.Spins.At, r3.Add(abeam, r3.Scale(r3.Norm(r3.Sub(out, abeam)), r3.Unit(below))))
}

// Height is a height and its ±, m.
type Height struct{ Z, Tol float64 }

// Contact is how a support takes a sideways force.
type Contact struct {
	Mu    float64 // greatest sideways force as a share of the force along the normal; 0 of what is free to roll or swing
	Rolls Vec     // the direction in which it is free and takes nothing; zero where it is free in none
	Floor bool    // a tyre or castor: its normal is the floor's; else it is the underside of the part, up in the vehicle's frame
}

// Tie is a strap, rope or chain between two bodies, or a stop that one rests against. It
// passes a force along its line one way only.
type Tie struct {
	Name   string
	A, B   int // indexes of the bodies
	PA, PB Vec // its ends, m
	Pushes bool
}

// Attitude is how the vehicle stands and what pushes it. The points of the vehicle stay
// as drawn and gravity turns.
type Attitude struct {
	Pitch float64    // rad, nose up; of ways of standing whose heights are not all known
	Roll  float64    // rad, left side up; the same
	Slope float64    // rad, of the floor, in a direction that nobody knows
	Doubt [2]float64 // rad, what nobody wrote of the pitch and roll; of tipping alone
	Push  float64    // sideways push through every centre of gravity, as a share of the weight
	Pull  float64    // a second size of it, that of a person who works on the vehicle; 0 for none
}

// Stance is a vehicle's place on its supports.
type Stance struct {
	Supports []Support
	Ties     []Tie
	Scrubs   []Scrub
	Attitude
}

// Scrub is a pair of tyres, by their supports, that are lowered without turning or rolling:
// as the suspension gives they hold each other apart or together across the vehicle with
// the friction Mu.
type Scrub struct {
	Left, Right int
	Mu          float64
}

// down is the direction of gravity as the tilted vehicle sees it: −(∂h/∂x, ∂h/∂y, 1),
// normalised, h the height by which each point of a level plane of the vehicle is raised.
func (a Attitude) down() Vec {
	return downOf(math.Tan(a.Pitch), math.Tan(a.Roll))
}

func downOf(x, y float64) Vec { return r3.Unit(Vec{X: -x, Y: -y, Z: -1}) }

// level returns the level directions towards the nose and the left side.
func level(down Vec) (forward, left Vec) {
	forward = r3.Unit(r3.Sub(Vec{X: 1}, r3.Scale(down.X, down)))
	return forward, r3.Cross(forward, down)
}

func (st Stance) validate(bodies int) error {
	a := st.Attitude
	for _, share := range []float64{a.Push, a.Pull} {
		if math.IsNaN(share) || share < 0 || share > 1 {
			return fmt.Errorf("a sideways push of %v of the weight is no share", share)
		}
	}
	for _, angle := range []struct {
		name string
		rad  float64
	}{{"pitch", a.Pitch}, {"roll", a.Roll}, {"slope", a.Slope}} {
		if math.IsNaN(angle.rad) || math.Abs(angle.rad) > math.Pi/4 {
			return fmt.Errorf("a %s of %.0f° is outside what is computed here, ±45°", angle.name, angle.rad*180/math.Pi)
		}
	}
	inside := func(i int) bool { return i >= 0 && i < bodies }
	finite := func(v Vec) bool { return !math.IsNaN(r3.Norm(v)) && !math.IsInf(r3.Norm(v), 0) }
	for _, p := range st.Supports {
		if !inside(p.Body) || !finite(p.At) {
			return fmt.Errorf("%s bears on no body, or its place is not a number", p.Name)
		}
		if w := p.Spins; w != nil && (!finite(w.At) || !finite(w.Along) || w.Along == Vec{}) {
			return fmt.Errorf("%s: the axis of its wheel is no line", p.Name)
		}
		if h := p.Height; h != nil && (!finite(Vec{X: h.Z, Y: h.Tol}) || h.Tol < 0) {
			return fmt.Errorf("%s: its height is not a number", p.Name)
		}
		if c := p.Contact; c != nil && (!(c.Mu >= 0) || !finite(c.Rolls)) {
			return fmt.Errorf("%s: its friction is not a share, or the way it rolls is not a direction", p.Name)
		}
	}
	for _, c := range st.Scrubs {
		if n := len(st.Supports); c.Left < 0 || c.Right < 0 || c.Left >= n || c.Right >= n || c.Left == c.Right || !(c.Mu >= 0) || math.IsInf(c.Mu, 0) {
			return fmt.Errorf("tyres that scrub are no two supports, or their friction is not a share")
		}
	}
	for _, t := range st.Ties {
		switch {
		case !inside(t.A) || !inside(t.B) || t.A == t.B:
			return fmt.Errorf("%s does not tie two bodies", t.Name)
		case !finite(t.PA) || !finite(t.PB) || r3.Norm(r3.Sub(t.PA, t.PB)) < 1e-6:
			return fmt.Errorf("%s has no length, or its ends are not numbers", t.Name)
		}
	}
	return nil
}

// flattest is the least size of a triangle of supports, as its area over the square of
// the distance of the farthest two, from which heights still give an attitude.
const flattest = 0.02

// tilt is the plane through the height less the drawn z of some supports: its slopes
// along x and y, and what a unit of each height adds to them; of more than three the plane
// with the least squares counts. ok is false where a height is missing or they lie in a
// line.
func tilt(supports []Support, on []int) (x, y float64, by [][2]float64, ok bool) {
	var mid Vec
	for _, i := range on {
		if supports[i].Height == nil {
			return 0, 0, nil, false
		}
		mid = r3.Add(mid, r3.Scale(1/float64(len(on)), supports[i].At))
	}
	var xx, xy, yy float64
	for _, i := range on {
		d := r3.Sub(supports[i].At, mid)
		xx, xy, yy = xx+d.X*d.X, xy+d.X*d.Y, yy+d.Y*d.Y
	}
	det := xx*yy - xy*xy
	if len(on) < 3 || det <= flattest*flattest*(xx+yy)*(xx+yy) {
		return 0, 0, nil, false
	}
	for _, i := range on {
		d := r3.Sub(supports[i].At, mid)
		g := [2]float64{(yy*d.X - xy*d.Y) / det, (xx*d.Y - xy*d.X) / det}
		raised := supports[i].Height.Z - supports[i].At.Z
		x, y = x+g[0]*raised, y+g[1]*raised
		by = append(by, g)
	}
	return x, y, by, true
}

// shortest is the length of a line of supports from which two heights still give a lean, m: on less
// their ± alone is more than a degree.
const shortest = 0.3

// line is the same for supports of which some have no height and those that do lie in a line: the
// slopes are those given, but for the one along the line, which is the heights'. What a unit of a
// height adds is nothing of one that has none.
func line(supports []Support, on []int, x, y float64) (_, _ float64, by [][2]float64) {
	var known []int
	for _, i := range on {
		if supports[i].Height != nil {
			known = append(known, i)
		}
	}
	var first, last Vec
	for _, i := range known {
		for _, k := range known {
			if a, b := flat(supports[i].At), flat(supports[k].At); r3.Norm(r3.Sub(b, a)) > r3.Norm(r3.Sub(last, first)) {
				first, last = a, b
			}
		}
	}
	long := r3.Norm(r3.Sub(last, first))
	if _, _, _, plane := tilt(supports, known); plane || long < shortest {
		return x, y, nil
	}
	u := r3.Scale(1/long, r3.Sub(last, first))
	mid, squares, slope := 0.0, 0.0, 0.0
	for _, i := range known {
		mid += r3.Dot(u, supports[i].At) / float64(len(known))
	}
	for _, i := range known {
		d := r3.Dot(u, supports[i].At) - mid
		squares, slope = squares+d*d, slope+d*(supports[i].Height.Z-supports[i].At.Z)
	}
	by = make([][2]float64, len(on))
	for k, i := range on {
		if supports[i].Height != nil {
			d := (r3.Dot(u, supports[i].At) - mid) / squares
			by[k] = [2]float64{d * u.X, d * u.Y}
		}
	}
	more := slope/squares - x*u.X - y*u.Y
	return x + more*u.X, y + more*u.Y, by
}

// flat is a place in plan.
func flat(at Vec) Vec { return Vec{X: at.X, Y: at.Y} }

// lean is a gravity with what may tilt it further.
type lean struct {
	down          Vec
	forward, left Vec // level
	slope         float64
	heights       [][2]float64 // rad along forward and left for the ± of each height
}

// leanOn is the attitude that some supports give the vehicle, or else, and where they say nothing of it,
// another one's gravity.
func (st Stance) leanOn(on []int, down Vec) lean {
	l := lean{slope: st.Slope}
	x, y, by, ok := tilt(st.Supports, on)
	if !ok {
		x, y, by = line(st.Supports, on, down.X/down.Z, down.Y/down.Z)
	}
	l.down = downOf(x, y)
	for k := range by {
		if h := st.Supports[on[k]].Height; h != nil && h.Tol > 0 {
			l.heights = append(l.heights, [2]float64{by[k][0] * h.Tol, by[k][1] * h.Tol})
		}
	}
	l.forward, l.left = level(l.down)
	return l
}

// spread is by how much a result may change with the attitude, x and y its derivatives by
// a lean of gravity forward and to the left.
func (l lean) spread(x, y float64) float64 {
	sum := l.slope * math.Hypot(x, y)
	for _, h := range l.heights {
		sum += math.Abs(h[0]*x + h[1]*y)
	}
	return sum
}

// spreadOf is the same for the length of a vector.
func (l lean) spreadOf(x, y Vec) float64 {
	sum := l.slope * math.Sqrt(r3.Norm2(x)+r3.Norm2(y))
	for _, h := range l.heights {
		sum += length(r3.Add(r3.Scale(h[0], x), r3.Scale(h[1], y)))
	}
	return sum
}

// leansFurther reports whether a slope or the ± of heights may tilt it further.
func (l lean) leansFurther() bool { return l.slope > 0 || len(l.heights) > 0 }

// most is how far gravity may lean further, rad.
func (l lean) most() float64 {
	sum := l.slope
	for _, h := range l.heights {
		sum += math.Hypot(h[0], h[1])
	}
	return sum
}

// Lean is how far a vehicle leans on a flat floor, rad, that touches it at these points
// of its own frame: nose up and left side up. Of more than three points the plane with
// the least squares counts. ok is false where they lie on a line or are fewer.
func Lean(floor []Vec) (pitch, roll float64, ok bool) {
	if len(floor) < 3 {
		return 0, 0, false
	}
	a, z := mat.NewDense(len(floor), 3, nil), mat.NewVecDense(len(floor), nil)
	for i, p := range floor {
		a.SetRow(i, []float64{1, p.X, p.Y})
		z.SetVec(i, p.Z)
	}
	var qr mat.QR
	qr.Factorize(a)
	var plane mat.VecDense
	if qr.Cond() > 1e6 || qr.SolveVecTo(&plane, false, z) != nil {
		return 0, 0, false
	}
	return math.Atan(-plane.AtVec(1)), math.Atan(-plane.AtVec(2)), true
}
