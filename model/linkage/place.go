package linkage

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Place is where the end of a toe link on the frame gives no toe change.
type Place struct {
	// At is the nearest such place to the drawn one; every point of the line
	// through it along Line does the same at three heights.
	At, Line Vec
	Length   float64   // of the link then, as its drawn height asks
	Toe      []float64 // what is left of toe change at each height asked about, rad
	// PerMetre is what moving the end along x, y and z does, the link set again
	// for the drawn height: the larger change at the two ends of the heights, where
	// it has turned furthest, rad/m.
	PerMetre Vec
	// Within is how far the end may be off in any direction for each radian of toe
	// change that is let pass, m/rad; infinite where nothing matters.
	Within float64
}

// tooStraight is how thin a bow the outer end may describe, as a share of its
// chord: flatter, the place lies so far away that no bracket is there.
const tooStraight = 1e-4

// ToePlace finds where the frame's end of a bar gives no toe change of a wheel.
// The toe is held as drawn, with the bar off; where its outer end comes to at three
// heights lies on a circle, and every point of that circle's axis is as far from
// all three. The heights are low, the drawn one and high; what is left is worked out
// at each of over. The state is the drawn one, and lift the drives that bring it to
// a height.
func (s *State) ToePlace(bar, wheel int, low, high float64, over []float64, lift func(bump float64) []Drive) (*Place, error) {
	l := s.l
	b := l.System().Bars[bar]
	if b.A != Ground || b.B == Ground {
		return nil, errors.New("neither end is on the frame")
	}
	without := l.System()
	without.Bars = append(append([]Bar(nil), without.Bars[:bar]...), without.Bars[bar+1:]...)
	open, err := New(without)
	if err != nil {
		return nil, err
	}
	drives := func(bump float64) []Drive { return append(lift(bump), straight(wheel)) }
	start, err := open.Drawn(drives(0)...)
	if err != nil {
		return nil, fmt.Errorf("with the link off: %w", err)
	}
	var outer [3]Vec
	for i, h := range [3]float64{low, 0, high} {
		at, err := open.Move(start, 0, drives(h)...)
		if err != nil {
			return nil, fmt.Errorf("with the toe held: %w", err)
		}
		outer[i] = at.Point(b.B, b.PB)
	}
	p, err := axisOf(outer, b.PA)
	if err != nil {
		return nil, err
	}

	placed := l.System()
	placed.Bars[bar].PA = p.At
	p.Length = r3.Norm(r3.Sub(p.At, b.PB))
	there, err := New(placed)
	if err != nil {
		return nil, err
	}
	drawn, err := there.Drawn(lift(0)...)
	if err != nil {
		return nil, err
	}
	var ends []*State
	for i, h := range over {
		at, err := there.Move(drawn, 0, lift(h)...)
		if err != nil {
			return nil, fmt.Errorf("with the link there: %w", err)
		}
		p.Toe = append(p.Toe, at.Wheel(wheel).Toe-drawn.Wheel(wheel).Toe)
		if i == 0 || i == len(over)-1 {
			ends = append(ends, at)
		}
	}
	var most float64
	p.PerMetre, most = ToePerPlace(bar, wheel, ends...)
	p.Within = 1 / most
	return p, nil
}

// ToePerPlace is how the toe changes when the frame's end of a bar is moved and the
// bar set again so that the drawn pose stays: the larger of the states along x, y and
// z, and in the worst direction, rad/m. The bar's pull has turned from u₀ to u, so it
// is too long by (u−u₀)·d.
func ToePerPlace(bar, wheel int, states ...*State) (along Vec, most float64) {
	for _, s := range states {
		b := &s.l.sys.Bars[bar]
		xa, xb := s.ends(b)
		u, u0 := r3.Unit(r3.Sub(xa, xb)), r3.Unit(r3.Sub(b.PA, b.PB))
		g := r3.Scale(s.PerLength(bar).Wheel(wheel).Toe, r3.Sub(u0, u))
		along = Vec{X: max(along.X, math.Abs(g.X)), Y: max(along.Y, math.Abs(g.Y)), Z: max(along.Z, math.Abs(g.Z))}
		most = max(most, r3.Norm(g))
	}
	return along, most
}

// axisOf finds the axis of the circle through three points, and its point nearest
// to a place.
func axisOf(p [3]Vec, near Vec) (*Place, error) {
	a, b := r3.Sub(p[0], p[1]), r3.Sub(p[2], p[1])
	n := r3.Cross(a, b)
	chord := r3.Norm(r3.Sub(p[2], p[0]))
	if r3.Norm(n) <= tooStraight*chord*chord {
		return nil, errors.New("the outer end goes up in a straight line: no place on the frame gives no toe change")
	}
	// The centre of the circumcircle, from p[1]: (|a|²b − |b|²a) × (a×b) / 2|a×b|².
	to := r3.Scale(1/(2*r3.Norm2(n)), r3.Cross(r3.Sub(r3.Scale(r3.Norm2(a), b), r3.Scale(r3.Norm2(b), a)), n))
	centre := r3.Add(p[1], to)
	line := r3.Unit(n)
	along := r3.Dot(r3.Sub(near, centre), line)
	return &Place{At: r3.Add(centre, r3.Scale(along, line)), Line: line}, nil
}
