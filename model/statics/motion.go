package statics

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// failure names the motion that the load drives and no support resists, with
// some supports gone.
func (s *Step) failure(dir *direction, residual []float64, gone ...int) *Failure {
	v := make([]float64, s.m.rows)
	for i := range v {
		for k, y := range residual {
			v[i] -= s.m.null.At(i, k) * y // what must be carried points up; the motion goes with the weight
		}
	}
	words := ""
	if dir.name != "straight down" {
		words = dir.name + ": "
	}
	if s.asOne(v) {
		return &Failure{Words: words + s.tips(v, gone)}
	}
	relative := s.m.relativeToBase(v)
	moving := s.moving(relative)
	return &Failure{Words: words + s.m.describe(relative, moving, s.m.how), Bodies: moving}
}

// relativeToBase takes the motion of the base, as if all were one body, out of v.
func (m *Model) relativeToBase(v []float64) []float64 {
	out := make([]float64, len(v))
	at := 6 * m.sys.Base
	turn := r3.Scale(1/m.size, Vec{X: v[at+3], Y: v[at+4], Z: v[at+5]})
	for b := range m.sys.Bodies {
		u := m.velocity(v, m.sys.Base, m.centre[b])
		k := 6 * b
		out[k], out[k+1], out[k+2] = v[k]-u.X, v[k+1]-u.Y, v[k+2]-u.Z
		out[k+3], out[k+4], out[k+5] = v[k+3]-turn.X*m.size, v[k+4]-turn.Y*m.size, v[k+5]-turn.Z*m.size
	}
	return out
}

// asOne reports whether all bodies move as one.
func (s *Step) asOne(v []float64) bool {
	return norm(s.m.relativeToBase(v)) < 1e-6*norm(v)
}

// tips words the motion of the whole vehicle on the supports that are left.
func (s *Step) tips(v []float64, gone []int) string {
	k := 6 * s.m.sys.Base
	turn := Vec{X: v[k+3], Y: v[k+4], Z: v[k+5]}
	var left []Support
	for i, p := range s.Supports {
		if !slices.Contains(gone, i) {
			left = append(left, p)
		}
	}
	switch len(left) {
	case 0:
		return "the vehicle rests on nothing"
	case 1, 2:
		n := "one support carries"
		if len(left) == 2 {
			n = "two supports carry"
		}
		return fmt.Sprintf("%s a vehicle only in perfect balance: it tips %s", n, tipWay(turn))
	}
	st := s.m.stability(left, s.lean, s.Doubt)
	if st == nil {
		return fmt.Sprintf("the supports stand in one line: it tips %s", tipWay(turn))
	}
	e := st.Edges[0]
	for _, other := range st.Edges {
		if other.Nominal < e.Nominal {
			e = other
		}
	}
	if e.Nominal >= 0 {
		return fmt.Sprintf("its centre of gravity is only %s inside the line between %s and %s: it tips %s",
			s.m.say(e.Nominal), left[e.From].Name, left[e.To].Name, tipWay(turn))
	}
	return fmt.Sprintf("its centre of gravity is %s outside the line between %s and %s: it tips %s",
		s.m.say(-e.Nominal), left[e.From].Name, left[e.To].Name, tipWay(turn))
}

// say prints a distance in the measures of the system.
func (m *Model) say(metres float64) string {
	say := m.sys.Say
	if say == nil {
		say = func(metres float64) string { return fmt.Sprintf("%.0f mm", metres*1000) }
	}
	if metres < 0.0005 {
		return "less than " + say(0.001)
	}
	return say(math.Round(metres*1000) / 1000) // nobody measures it any better
}

// tipWay says to which side a turning vehicle tips. Turning about +y, the left
// side, lowers the nose.
func tipWay(turn Vec) string {
	switch {
	case math.Abs(turn.Y) >= math.Abs(turn.X) && turn.Y > 0:
		return "forward, on its nose"
	case math.Abs(turn.Y) >= math.Abs(turn.X) && turn.Y < 0:
		return "back, on its tail"
	case turn.X > 0:
		return "to the right"
	}
	return "to the left"
}

// describe words a motion: a part that moves much, how, about which joint, and
// what goes with it, in the words of how. With no list of bodies it finds the one that moves most. Of parts
// that move much the first of the file is named, or else one that lies across the vehicle, as
// an axle does, so that left and right read alike whichever of them moves a little more.
func (m *Model) describe(v []float64, moving []int, how func([]float64, int) string) string {
	size := func(b int) float64 { return norm(v[6*b : 6*b+6]) }
	if len(moving) == 0 {
		most := 0
		for b := range m.sys.Bodies {
			if size(b) > size(most) {
				most = b
			}
		}
		moving = []int{most}
	}
	moving = slices.Sorted(slices.Values(moving))
	most := slices.MaxFunc(moving, func(a, b int) int { return cmp.Compare(size(a), size(b)) })
	much := func(b int) bool { return size(b) >= size(most)/4 }
	lead := moving[slices.IndexFunc(moving, much)]
	if i := slices.IndexFunc(moving, func(b int) bool { return much(b) && m.spans(b) }); i >= 0 {
		lead = moving[i]
	}
	text := m.sys.Bodies[lead].Name + " " + how(v, lead)
	if len(moving) > 1 {
		var others []string
		for _, b := range moving {
			if b != lead {
				others = append(others, m.sys.Bodies[b].Name)
			}
		}
		if len(others) > 3 {
			others = append(others[:3], fmt.Sprintf("%d more", len(others)-3))
		}
		text += ", with " + strings.Join(others, ", ")
	}
	return text
}

// how words the motion of one body.
func (m *Model) how(v []float64, b int) string {
	k := 6 * b
	turn := r3.Scale(1/m.size, Vec{X: v[k+3], Y: v[k+4], Z: v[k+5]})
	move := Vec{X: v[k], Y: v[k+1], Z: v[k+2]}
	if r3.Norm(turn)*m.size < 0.05*r3.Norm(move) {
		return "moves " + way(move)
	}
	about := m.pivotOf(v, b)
	axis := r3.Unit(turn)
	if math.Abs(axis.Z) > 0.8 {
		side := "outward"
		// Turning left (about +z) swings the front of a part on the left side out.
		if (turn.Z > 0) != (m.centre[b].Y >= 0) {
			side = "inward"
		}
		return "turns, its front going " + side + about
	}
	if about != "" && r3.Norm(move) > 1e-3*r3.Norm(turn)*m.size {
		return "swings " + way(move) + about
	}
	if math.Abs(axis.Y) > math.Abs(axis.X) {
		verb := "tilts"
		if about != "" {
			verb = "turns" // as a wheel does on its bearing
		}
		if turn.Y > 0 {
			return verb + ", its front going down" + about
		}
		return verb + ", its front going up" + about
	}
	if m.spans(b) {
		return "tips " + tipWay(turn) + about
	}
	if (turn.X > 0) == (m.centre[b].Y >= 0) {
		return "leans, its top going inward" + about
	}
	return "leans, its top going outward" + about
}

// spans reports whether a part lies across the vehicle, as an axle does, so that it is of no side.
func (m *Model) spans(b int) bool { return math.Abs(m.centre[b].Y) < 0.05*m.size }

// gives words the motion of one body without its direction: how a vehicle goes that falls or
// rocks hangs on which way it is pushed first.
func (m *Model) gives(v []float64, b int) string {
	k := 6 * b
	turn := r3.Scale(1/m.size, Vec{X: v[k+3], Y: v[k+4], Z: v[k+5]})
	if r3.Norm(turn)*m.size < 0.05*r3.Norm(Vec{X: v[k], Y: v[k+1], Z: v[k+2]}) {
		return "moves away"
	}
	return "turns" + m.pivotOf(v, b)
}

// pivotOf names the first joint of the body that stays where it is while the body moves.
func (m *Model) pivotOf(v []float64, b int) string {
	still := 1e-3 * norm(v[6*b:6*b+6])
	for _, j := range m.sys.Joints {
		if j.A != j.B && (j.A == b || j.B == b) && r3.Norm(m.velocity(v, b, j.At)) < still {
			return " about " + j.Name
		}
	}
	return ""
}

// way names the main direction of a movement.
func way(v Vec) string {
	x, y, z := math.Abs(v.X), math.Abs(v.Y), math.Abs(v.Z)
	switch {
	case z >= x && z >= y && v.Z < 0:
		return "down"
	case z >= x && z >= y:
		return "up"
	case x >= y && v.X > 0:
		return "forward"
	case x >= y:
		return "back"
	case v.Y > 0:
		return "to the left"
	}
	return "to the right"
}
