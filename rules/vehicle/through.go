package vehicle

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

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
			_, passed, _ := s.Forces(m.Name)
			var most r3.Vec
			for _, w := range passed {
				if r3.Norm(w.Force) > r3.Norm(most) {
					most = w.Force
				}
			}
			list = append(list, entry{m, m.Parts[k], most})
		}
	}
	return list
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
