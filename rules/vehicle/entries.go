package vehicle

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model/schema"
)

// entry is a place where springs push on a part that is tied up: the end of a strut on it, or a joint or
// link through which what is not tied pushes, as the push rod of a rocker.
type entry struct {
	*Meet
	part  string
	force r3.Vec // on the part, N, the most
}

// moving are the parts that a spring moves where it is not held as short as it is: those at its ends and what
// is joined to them, but for what is tied up and what the vehicle is built on.
func (s *Step) moving(ends []*Meet) (list []string) {
	body := s.stance.assembly.body
	fixed := func(part string) bool { return s.Tied(part) || body[part] == body[s.Vehicle.base] }
	for _, end := range ends {
		if !fixed(end.Parts[0]) {
			list = append(list, spread(end.Parts[0], func(p string) []string {
				return slices.DeleteFunc(s.Vehicle.neighbours(p, s.setting, false), fixed)
			})...)
		}
	}
	return list
}

// passesNothing reports whether a meet lies inside one body and is no end of a strut whose spring is pressed
// there, nor a joint or link that this pushes through.
func (s *Step) passesNothing(m *Meet) bool {
	_, pressed := s.setting.presses(m.Item)
	return s.inside(m) && !pressed && s.pushedThrough(m) == 0
}

// pushedThrough is the most that a joint or link inside what is tied up may pass of what springs push on its parts, N:
// nobody knows on which of them a strap holds, and each counts with the whole push. A strap at the end of a strut
// leaves nothing to pass, and what is undone passes nothing. Links that steer let a part turn that does not come out.
func (s *Step) pushedThrough(m *Meet) (newtons float64) {
	if _, pressed := s.setting.presses(m.Item); pressed || !s.inside(m) || m.Item.Is(schema.Across) {
		return 0
	}
	for _, e := range s.entries {
		if !s.heldAt(e) && slices.ContainsFunc(s.setting.ties, func(t tie) bool {
			return slices.Contains(t.parts, e.part) && slices.ContainsFunc(m.Parts[:], func(p string) bool { return slices.Contains(t.parts, p) })
		}) {
			newtons += r3.Norm(e.force)
		}
	}
	return newtons
}

// atEnd is how far from the end of a strut a strap may hold what the spring pushes there, m, so that nothing
// between them is bent by it.
const atEnd = 30e-3

// heldAt reports whether a strap ties up a part where springs push on it.
func (s *Step) heldAt(e entry) bool {
	return slices.ContainsFunc(s.setting.ties, func(t tie) bool {
		return slices.Contains(t.parts, e.part) && t.at != nil && r3.Norm(r3.Sub(Point(*t.at), Point(*e.At))) <= atEnd
	})
}
