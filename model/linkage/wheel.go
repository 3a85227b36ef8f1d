package linkage

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Attitude is how a wheel stands, by ISO 8855.
type Attitude struct {
	// Toe is the angle between the vehicle's x axis and the wheel's plane on the
	// ground; in is positive.
	Toe float64
	// Camber is the angle between the vertical and the wheel's plane; positive with
	// the top outward. It is not the angle seen from the front, which differs by
	// the toe: 0.07° at 14° of toe.
	Camber float64
	// Out is how far out, from the middle plane of the vehicle, the wheel meets the
	// ground: half the track. Without a radius it is the middle of the tyre.
	Out float64
	// Back is how far back its centre lies, and Up how high, from the origin.
	Back, Up float64
}

// Side is 1 for a wheel on the left and −1 for one on the right: where its axis
// points outward.
func (w Wheel) Side() float64 { return math.Copysign(1, w.Axis.Y) }

// Wheel says how a wheel stands in a state.
func (s *State) Wheel(i int) Attitude {
	w := s.l.sys.Wheels[i]
	x, a := r3.Add(s.point(w.Body, w.Centre), s.l.origin), s.direction(w.Body, w.Axis)
	tyre := r3.Add(s.point(w.Body, w.Tyre), s.l.origin)
	out := w.Side()
	t := Attitude{
		Toe:    math.Atan2(a.X, out*a.Y),
		Camber: -math.Asin(min(1, max(-1, a.Z))),
		Back:   -x.X,
		Up:     x.Z,
	}
	// The lowest point of the disc lies its radius away, down in the wheel's plane.
	flat := math.Hypot(a.X, a.Y)
	t.Out = out * (tyre.Y + w.Radius*a.Z*a.Y/flat)
	return t
}

// Ground is where a wheel meets a floor with that unit normal: the lowest point of
// its disc.
func (s *State) Ground(i int, normal Vec) Vec {
	w := s.l.sys.Wheels[i]
	x, a := r3.Add(s.point(w.Body, w.Tyre), s.l.origin), s.direction(w.Body, w.Axis)
	down := r3.Sub(r3.Scale(r3.Dot(normal, a), a), normal)
	if n := r3.Norm(down); n > 0 {
		x = r3.Add(x, r3.Scale(w.Radius/n, down))
	}
	return x
}

// Wheel is how fast a wheel's attitude changes.
func (t Step) Wheel(i int) Attitude {
	s, w := t.s, t.s.l.sys.Wheels[i]
	a := s.direction(w.Body, w.Axis)
	dx := s.pointRate(w.Body, s.point(w.Body, w.Centre), t.step)
	dt := s.pointRate(w.Body, s.point(w.Body, w.Tyre), t.step)
	da := s.directionRate(w.Body, a, t.step)
	out := w.Side()
	h2 := a.X*a.X + a.Y*a.Y
	h := math.Sqrt(h2)
	dh := (a.X*da.X + a.Y*da.Y) / h
	return Attitude{
		Toe:    out * (a.Y*da.X - a.X*da.Y) / h2,
		Camber: -da.Z / h,
		Out:    out * (dt.Y + w.Radius*(da.Z*a.Y/h+a.Z*da.Y/h-a.Z*a.Y*dh/h2)),
		Back:   -dx.X,
		Up:     dx.Z,
	}
}

// StrutLength is the length of a strut.
func (s *State) StrutLength(i int) float64 {
	a, b := s.ends(&s.l.sys.Struts[i])
	return r3.Norm(r3.Sub(a, b))
}

// StrutLength is how fast a strut grows longer.
func (t Step) StrutLength(i int) float64 {
	b := &t.s.l.sys.Struts[i]
	xa, xb := t.s.ends(b)
	u := r3.Unit(r3.Sub(xa, xb))
	return r3.Dot(u, r3.Sub(t.s.pointRate(b.A, xa, t.step), t.s.pointRate(b.B, xb, t.step)))
}

// Point is where a point of a body has come to.
func (s *State) Point(body int, at Vec) Vec {
	return r3.Add(s.point(body, r3.Sub(at, s.l.origin)), s.l.origin)
}

// Point is how fast a point of a body moves.
func (t Step) Point(body int, at Vec) Vec {
	if body == Ground {
		return Vec{}
	}
	return t.s.pointRate(body, t.s.point(body, r3.Sub(at, t.s.l.origin)), t.step)
}

// Turned is the angle that has come between an axis carried by one body and the
// same axis carried by another: how far a ball stud or a bearing is out of square.
func (s *State) Turned(a, b int, axis Vec) float64 {
	u, v := s.direction(a, axis), s.direction(b, axis)
	return math.Atan2(r3.Norm(r3.Cross(u, v)), r3.Dot(u, v))
}

// OutOfSquare is how far a bar is from square to the bolt at one of its ends.
func (s *State) OutOfSquare(b Bar, on int, bolt Vec) float64 {
	b.PA, b.PB = r3.Sub(b.PA, s.l.origin), r3.Sub(b.PB, s.l.origin)
	xa, xb := s.ends(&b)
	u, v := r3.Sub(xa, xb), s.direction(on, bolt)
	return math.Abs(math.Pi/2 - math.Atan2(r3.Norm(r3.Cross(u, v)), r3.Dot(u, v)))
}

// Tilted is the angle that has come between a bar and the direction in which it was drawn, carried
// by the body at one of its ends, rad: the most that the bar is out of square to a bolt there that
// was drawn square to it, whichever way that points.
func (s *State) Tilted(b Bar, on int) float64 {
	b.PA, b.PB = r3.Sub(b.PA, s.l.origin), r3.Sub(b.PB, s.l.origin)
	xa, xb := s.ends(&b)
	u, v := r3.Sub(xa, xb), s.direction(on, r3.Sub(b.PA, b.PB))
	return math.Atan2(r3.Norm(r3.Cross(u, v)), r3.Dot(u, v))
}

// Tight is how near parts stand to one line: the smallest singular value of the
// scaled equations as a share of the largest. Nought is a dead centre.
func (s *State) Tight() float64 { return s.own().tight }

// Linkage is what the state is one of.
func (s *State) Linkage() *Linkage { return s.l }

// Rack is the travel of the steering rack in this state.
func (s *State) Rack() float64 { return s.rack }
