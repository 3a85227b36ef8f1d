package vehicle

import (
	"slices"
	"strings"
)

// lump is what restraints hold together: its parts, the restraints, and the joints and link
// ends that are shown to be sound, to other parts and within. Of those that are unsure nobody recorded
// enough; they may be sound as well.
type lump struct {
	parts        []string
	ties         []tie
	kept, within []*Meet
	unsure       []*Meet
	doubtful     map[*Meet][]string // what that is
}

// lump finds what hangs together on a restraint.
func (s *Step) lump(t tie) *lump {
	l := &lump{parts: slices.Clone(t.parts), ties: []tie{t}, doubtful: map[*Meet][]string{}}
	for grown := true; grown; {
		grown = false
		for _, other := range s.setting.ties {
			has := func(part string) bool { return slices.Contains(l.parts, part) }
			if slices.ContainsFunc(l.ties, func(t tie) bool { return t.item == other.item }) || !slices.ContainsFunc(other.parts, has) {
				continue
			}
			l.ties, grown = append(l.ties, other), true
			for _, p := range other.parts {
				if !has(p) {
					l.parts = append(l.parts, p)
				}
			}
		}
	}
	for _, m := range s.Vehicle.Meets {
		first, second := slices.Contains(l.parts, m.Parts[0]), slices.Contains(l.parts, m.Parts[1])
		if s.Off(m) || m.Parts[0] == m.Parts[1] || !first && (m.Link || !second) || m.Link && s.Vehicle.Damps(m.Item) {
			continue // a link to another part is there by its end on the lump; a damper may be anywhere in its stroke
		}
		sound, missing := s.Vehicle.shown(m)
		switch {
		case !sound && len(missing) > 0:
			l.unsure, l.doubtful[m] = append(l.unsure, m), missing
		case !sound:
		case first && second:
			l.within = append(l.within, m)
		default:
			l.kept = append(l.kept, m)
		}
	}
	return l
}

// piece is what of a lump its sound joints and links hold together. hopes are the joints that it
// keeps to other parts if all is sound of which nobody recorded enough, and doubtful what that is.
type piece struct {
	parts, others []string
	ties          []tie
	kept, hopes   []*Meet
	doubtful      []string
}

// pieces are what of a lump hangs together by sound joints and links: a strap round parts that
// nothing joins any more holds none of them by the others.
func (l *lump) pieces() []*piece {
	var list []*piece
	hoped := slices.Concat(l.within, l.unsure)
	for _, part := range l.parts {
		if slices.ContainsFunc(list, func(p *piece) bool { return slices.Contains(p.parts, part) }) {
			continue
		}
		p, wide := &piece{parts: l.joined(part, l.within)}, &piece{parts: l.joined(part, hoped)}
		p.others = slices.DeleteFunc(slices.Clone(l.parts), p.has)
		for _, t := range l.ties {
			if slices.ContainsFunc(t.parts, p.has) {
				p.ties = append(p.ties, t)
			}
		}
		for _, m := range l.kept {
			if p.meets(m) {
				p.kept = append(p.kept, m)
			}
			if wide.meets(m) {
				p.hopes = append(p.hopes, m)
			}
		}
		for _, m := range l.unsure {
			if !wide.meets(m) || p.all(m.Parts[:]) {
				continue
			}
			p.doubtful = append(p.doubtful, l.doubtful[m]...)
			if !wide.all(m.Parts[:]) {
				p.hopes = append(p.hopes, m)
			}
		}
		list = append(list, p)
	}
	return list
}

// joined are the parts of a lump that joints and links join to one of them, in order.
func (l *lump) joined(part string, by []*Meet) []string {
	return spread(part, func(p string) (next []string) {
		for _, m := range by {
			if other, meets := m.Other(p); meets && slices.Contains(l.parts, other) {
				next = append(next, other)
			}
		}
		return next
	})
}

func (p *piece) has(part string) bool { return slices.Contains(p.parts, part) }

func (p *piece) meets(m *Meet) bool { return slices.ContainsFunc(m.Parts[:], p.has) }

func (p *piece) all(parts []string) bool {
	return !slices.ContainsFunc(parts, func(part string) bool { return !p.has(part) })
}

// orAsk is what nobody recorded of the joints that might hold it all the same.
func (p *piece) orAsk(loose string) *Unknown {
	if loose != "" && len(p.doubtful) > 0 {
		return NotRecorded(slices.Clone(p.doubtful)...)
	}
	return nil
}

// guided reports whether joints leave a part little to do but to go up and down: a face, a long
// bearing or slide, two joints to one other part, or two and a link.
func guided(meets []*Meet) bool {
	joints, links := 0, 0
	to := map[string]int{}
	for _, m := range meets {
		switch {
		case m.Link:
			links++
		case m.motion != turns:
			return true
		default:
			joints++
			pair := []string{m.Parts[0], m.Parts[1]}
			slices.Sort(pair)
			key := strings.Join(pair, " ")
			if to[key]++; to[key] == 2 {
				return true
			}
		}
	}
	return joints >= 2 && links > 0
}
