// Package linkage moves a suspension: one corner, or an axle with both of its
// wheels. Arms, uprights and axles are rigid bodies, drawn in one pose; joints and
// bars between them and the frame are equations that every pose has to keep. With
// spring and damper taken out a corner has one freedom left and an axle two; a
// drive sets each of them, by the height of a wheel or the length of a strut.
//
// Poses are solved by damped Newton steps from a pose that is known, so that a
// solution is the one the parts reach by moving, and not another way of putting
// them together. Where they cannot reach it the error says how far they came and
// whether they bind or have two ways on. A solved pose knows its velocities as
// well: what a millimetre of travel, of a bar's length or of a measured point does.
//
// Numbers in, numbers and errors out, in SI units, angles in radians. The frame is
// that of ISO 8855: x forward, y left, z up, fixed to the frame of the vehicle.
// Parts do not bend and joints have no play. The package knows no build file and
// judges nothing.
package linkage

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Vec is a point in m, or a direction.
type Vec = r3.Vec

// Ground is the frame of the vehicle: it stands still and everything is measured
// from it.
const Ground = -1

// Kind says how a joint lets its bodies move.
type Kind uint8

// The kinds of joint.
const (
	Ball   Kind = iota // turns every way: three equations
	Hinge              // turns about Axis: five
	Slider             // slides along Axis and turns about it: four
)

// Joint is a place where bodies A and B meet.
type Joint struct {
	Name string
	Kind Kind
	A, B int
	At   Vec
	Tol  Vec // half-width of what measuring At leaves open, along each axis
	Axis Vec // for Hinge and Slider: any length
}

// Bar keeps two points at a distance.
type Bar struct {
	Name   string
	Ends   [2]string // what its ends are called
	A, B   int
	PA, PB Vec
	Tol    [2]Vec // half-widths of what measuring PA and PB leaves open
	// Length is the distance; zero is the distance as drawn.
	Length float64
	// Steer is how far an end on the frame moves for each metre of the steering
	// rack; zero for a bar that does not steer. The bar's A is the frame then.
	Steer Vec
}

// Wheel is a wheel on a body.
type Wheel struct {
	Name   string
	Body   int
	Centre Vec     // of the face that it is bolted to: the travel is the height of this point
	Tyre   Vec     // the middle of its tyre
	Axis   Vec     // of its spindle, outward, any length
	Radius float64 // under load, to the ground; zero measures at the middle of the tyre
}

// System is a corner or an axle as drawn.
type System struct {
	Bodies []string
	Joints []Joint
	Bars   []Bar
	// Struts are springs, dampers and what stands in for them: they are measured,
	// and hold nothing unless a drive sets their length.
	Struts []Bar
	Wheels []Wheel
}

// Linkage is a system made ready.
type Linkage struct {
	sys    System
	origin Vec     // the middle of all points; inside, coordinates are from here
	size   float64 // half the spread of the points, m; what a radian is weighed with
	centre []Vec   // of each body, about which it turns
	parts  []constraint
	first  []int // row of each constraint
	rows   int   // of the constraints, without drives
}

// New makes a linkage ready. It fails when a body is not there, a number is not
// finite, a direction or bar has no length, or there is nothing to move.
func New(sys System) (*Linkage, error) {
	if err := validate(sys); err != nil {
		return nil, err
	}
	l := &Linkage{sys: sys}
	l.centring()
	for _, j := range l.sys.Joints {
		if j.A == j.B {
			continue
		}
		switch j.Kind {
		case Ball:
			l.add(ball{j.A, j.B, j.At})
		case Hinge:
			l.add(ball{j.A, j.B, j.At})
			l.add(parallel(j))
		case Slider:
			l.add(inLine(j))
			l.add(parallel(j))
		}
	}
	for _, b := range l.sys.Bars {
		l.add(bar(b))
	}
	return l, nil
}

func (l *Linkage) add(c constraint) {
	l.parts = append(l.parts, c)
	l.first = append(l.first, l.rows)
	l.rows += c.rows()
}

// barRow is the row of a bar's equation.
func (l *Linkage) barRow(i int) int { return l.rows - len(l.sys.Bars) + i }

// System returns what the linkage was made from, in the coordinates of its maker.
func (l *Linkage) System() System {
	back := r3.Scale(-1, l.origin)
	return moved(l.sys, back)
}

// centring moves the origin into the middle of the points, so that rounding is
// that of the corner's size and not of its distance from the origin.
func (l *Linkage) centring() {
	lo := Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}
	hi := r3.Scale(-1, lo)
	sums := make([]Vec, len(l.sys.Bodies))
	counts := make([]float64, len(l.sys.Bodies))
	each(l.sys, func(body int, p Vec) {
		lo = Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y), Z: min(lo.Z, p.Z)}
		hi = Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y), Z: max(hi.Z, p.Z)}
		if body != Ground {
			sums[body] = r3.Add(sums[body], p)
			counts[body]++
		}
	})
	l.origin = r3.Scale(0.5, r3.Add(lo, hi))
	l.size = r3.Norm(r3.Sub(hi, lo)) / 2
	l.sys = moved(l.sys, l.origin)
	for i, sum := range sums {
		l.centre = append(l.centre, r3.Sub(r3.Scale(1/counts[i], sum), l.origin))
	}
}

// moved returns a copy of a system with another origin.
func moved(sys System, origin Vec) System {
	s := System{Bodies: sys.Bodies}
	for _, j := range sys.Joints {
		j.At = r3.Sub(j.At, origin)
		s.Joints = append(s.Joints, j)
	}
	for _, b := range sys.Bars {
		b.PA, b.PB = r3.Sub(b.PA, origin), r3.Sub(b.PB, origin)
		s.Bars = append(s.Bars, b)
	}
	for _, b := range sys.Struts {
		b.PA, b.PB = r3.Sub(b.PA, origin), r3.Sub(b.PB, origin)
		s.Struts = append(s.Struts, b)
	}
	for _, w := range sys.Wheels {
		w.Centre, w.Tyre = r3.Sub(w.Centre, origin), r3.Sub(w.Tyre, origin)
		w.Axis = r3.Unit(w.Axis)
		s.Wheels = append(s.Wheels, w)
	}
	return s
}

// each visits every point of a system and the body that carries it.
func each(sys System, visit func(body int, p Vec)) {
	for _, j := range sys.Joints {
		visit(j.A, j.At)
		visit(j.B, j.At)
	}
	for _, list := range [][]Bar{sys.Bars, sys.Struts} {
		for _, b := range list {
			visit(b.A, b.PA)
			visit(b.B, b.PB)
		}
	}
	for _, w := range sys.Wheels {
		visit(w.Body, w.Centre)
		visit(w.Body, w.Tyre)
	}
}

func validate(sys System) error {
	if len(sys.Bodies) == 0 {
		return fmt.Errorf("there is nothing to move")
	}
	var err error
	note := func(ok bool, format string, args ...any) {
		if !ok && err == nil {
			err = fmt.Errorf(format, args...)
		}
	}
	seen := make([]bool, len(sys.Bodies))
	each(sys, func(body int, p Vec) {
		note(body >= Ground && body < len(sys.Bodies), "there is no body %d", body)
		note(finite(p), "a point is not finite: %v", p)
		if err == nil && body != Ground {
			seen[body] = true
		}
	})
	for _, j := range sys.Joints {
		note(j.Kind == Ball || long(j.Axis), "%s has no axis", j.Name)
	}
	for _, list := range [][]Bar{sys.Bars, sys.Struts} {
		for _, b := range list {
			note(long(r3.Sub(b.PA, b.PB)), "%s has no length", b.Name)
			note(b.Length >= 0 && !math.IsInf(b.Length, 0), "the length of %s is not one", b.Name)
			note(b.Steer == Vec{} || b.A == Ground && finite(b.Steer), "%s is steered by an end that is not on the frame", b.Name)
		}
	}
	for _, w := range sys.Wheels {
		note(long(w.Axis), "%s has no axis", w.Name)
		note(w.Radius >= 0 && !math.IsInf(w.Radius, 0), "the radius of %s is not one", w.Name)
	}
	for i, ok := range seen {
		note(ok || err != nil, "%s is joined to nothing", sys.Bodies[min(i, len(sys.Bodies)-1)])
	}
	return err
}

func finite(v Vec) bool { return !math.IsNaN(v.X+v.Y+v.Z) && !math.IsInf(v.X+v.Y+v.Z, 0) }

// long reports whether a vector has a length: a thousandth of a millimetre, far
// below what anybody measures.
func long(v Vec) bool { return finite(v) && r3.Norm(v) > 1e-6 }
