package vehicle

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// entry is a place where springs push on a part that is tied up: the end of a strut on it, or a joint or
// link through which what is not tied pushes, as the push rod of a rocker.
type entry struct {
	*Meet
	part  string
	force r3.Vec // on the part, N, the most
}

// pushedAt are the places where springs push on what is tied up in a step with loads.
func (s *Step) pushedAt() (list []entry) {
	for _, spring := range s.setting.pressed {
		ends := s.Vehicle.Ends(spring.Link)
		for _, end := range ends {
			if part := end.Parts[0]; s.Tied(part) {
				push := r3.Sub(Point(*end.At), Point(*s.Vehicle.Far(end).At))
				list = append(list, entry{end, part, r3.Scale(spring.push+spring.more, r3.Unit(push))})
			}
		}
		if s.inside(ends[0]) {
			continue
		}
		moving := s.moving(ends)
		for _, m := range s.Vehicle.Meets {
			k := slices.IndexFunc(m.Parts[:], s.Tied)
			if k < 0 || m.Link && k > 0 || m.Item == spring.Link || s.Off(m) || !slices.Contains(moving, m.Parts[1-k]) ||
				slices.ContainsFunc(list, func(e entry) bool { return e.Meet == m }) {
				continue
			}
			_, vectors, _, _ := s.Forces(m.Name)
			var most r3.Vec
			for _, f := range vectors {
				if r3.Norm(f) > r3.Norm(most) {
					most = f
				}
			}
			list = append(list, entry{m, m.Parts[k], most})
		}
	}
	return list
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
	if _, pressed := s.setting.presses(m.Item); pressed || !s.inside(m) || m.Link && s.Vehicle.steers(m) {
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

// steers reports whether a link does no more than to keep wheels from turning or from rolling against each other.
func (v *Vehicle) steers(end *Meet) bool {
	role, _ := end.Item.Text("role")
	return slices.Contains([]string{"toe link", "track rod", "anti-roll"}, role)
}

// turned is the most that a joint which takes moments may be turned with by what is pushed through it, N·m: that,
// over the way to the farthest place beyond it where a strap may hold. Where places are, somebody has to have
// written.
func (s *Step) turned(m *Meet) (moment float64, unknown *Unknown) {
	if m.Link || m.motion == turns {
		return 0, nil
	}
	var missing []string
	for _, e := range s.entries {
		for _, t := range s.setting.ties {
			if s.heldAt(e) || !slices.Contains(t.parts, e.part) || !slices.ContainsFunc(m.Parts[:], func(p string) bool { return slices.Contains(t.parts, p) }) {
				continue
			}
			far := 0.0
			for _, place := range s.beyond(m, e.part, t.parts) {
				if place.At == nil {
					missing = append(missing, place.Path("at"))
				} else {
					far = max(far, r3.Norm(r3.Sub(Point(*place.At), Point(*m.At))))
				}
			}
			moment += r3.Norm(e.force) * far
		}
	}
	if missing != nil {
		return 0, NotRecorded(missing...)
	}
	return moment, nil
}

// beyond are the joints and ends of links of those parts of a lump that a joint inside it leads to from one of
// them; of all of them where it is their joint to the rest, or other joints lead there as well.
func (s *Step) beyond(m *Meet, from string, lump []string) (places []*Meet) {
	side := func(part, not string) []string {
		return spread(part, func(p string) []string {
			return slices.DeleteFunc(s.Vehicle.neighbours(p, s.setting, false), func(n string) bool { return n == not || !slices.Contains(lump, n) })
		})
	}
	parts := lump
	if a, b := m.Parts[0], m.Parts[1]; slices.Contains(lump, a) && slices.Contains(lump, b) {
		first, second := side(a, b), side(b, a)
		switch onFirst, onSecond := slices.Contains(first, from), slices.Contains(second, from); {
		case onFirst && !onSecond:
			parts = second
		case onSecond && !onFirst:
			parts = first
		}
	}
	for _, place := range s.Vehicle.Meets {
		if !s.Off(place) && slices.ContainsFunc(parts, place.Of) {
			places = append(places, place)
		}
	}
	return places
}

// through is what passes so at a joint or link end: nobody knows which way in a joint.
func (s *Step) through(m *Meet) (Pass, *Unknown) {
	ends := []*Meet{m}
	if m.Link {
		ends = s.Vehicle.Ends(m.Item)
	}
	var missing []string
	for _, end := range ends {
		if end.At == nil {
			missing = append(missing, end.Path("at"))
		}
	}
	switch {
	case missing != nil:
		return Pass{}, NotRecorded(missing...)
	case m.Link:
		return s.split(m), nil
	}
	push := s.pushedThrough(m)
	moment, unknown := s.turned(m)
	return Pass{Across: push, Along: push, Whole: push, Twist: moment, Bend: moment, Split: m.Axis != nil, Hinge: m.motion == hinge}, unknown
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

// bentThrough is how a part bends that is tied up, has no hinge and is no axle, as an upright: what springs push comes in at
// one place of it and goes out at another, and bends it with no more than that by the way between both, square
// to it.
func (s *Step) bentThrough(part string) (Bend, *Unknown) {
	out := Bend{Tied: true}
	var places []*Meet
	for _, m := range s.Vehicle.Meets {
		if m.Of(part) && s.inside(m) && s.pushedThrough(m) > 0 {
			if m.At == nil {
				return Bend{}, NotRecorded(m.Path("at"))
			}
			places = append(places, m)
		}
	}
	for _, e := range s.entries {
		if s.heldAt(e) || !slices.ContainsFunc(s.setting.ties, func(t tie) bool {
			return slices.Contains(t.parts, e.part) && slices.Contains(t.parts, part)
		}) {
			continue
		}
		from := places
		if e.part == part {
			from = []*Meet{e.Meet}
		}
		way, longest, wide := r3.Unit(e.force), 0.0, 0.0
		for _, a := range from {
			for _, b := range places {
				off := r3.Sub(Point(*b.At), Point(*a.At))
				longest = max(longest, r3.Norm(off))
				wide = max(wide, r3.Norm(r3.Cross(off, way)))
			}
		}
		out.Moment += r3.Norm(e.force) * wide
		out.Thrust += r3.Norm(e.force)
		out.Long = max(out.Long, longest)
	}
	out.Sides = math.Sqrt2 * out.Moment
	if out.Long < shortest {
		return Bend{Tied: true}, nil
	}
	return out, nil
}
