package vehicle

import (
	"cmp"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/schema"
)

// setting is what differs between steps beside their supports: which parts are on the
// vehicle and which are held together by restraints.
type setting struct {
	off  []string // parts that are not on it, sorted
	ties []tie
}

// tie is one restraint at work: parts held to another part, and where it is attached to these
// and to that, nil where nobody wrote it down.
type tie struct {
	item    *model.Item
	parts   []string
	to      string
	at, end *schema.Vec
}

// hangsFrom is where the strap of a tied part has its other end.
func (s setting) hangsFrom(part string) (at r3.Vec, tied bool) {
	for _, t := range s.ties {
		if t.end != nil && slices.Contains(t.parts, part) {
			return Point(*t.end), true
		}
	}
	return at, false
}

func (s setting) key() string {
	var k strings.Builder
	k.WriteString(strings.Join(s.off, ","))
	for _, t := range s.ties {
		k.WriteString(";" + t.item.ID + ":" + strings.Join(t.parts, ",") + ">" + t.to)
	}
	return k.String()
}

// isOff reports whether a meet is off the vehicle because a part of it is.
func (s setting) isOff(m *Meet) bool {
	return slices.Contains(s.off, m.Parts[0]) || slices.Contains(s.off, m.Parts[1])
}

// setting reads a step. A strap carries no vehicle: a restraint does nothing for a
// part that bears a support of the step, or that would pass on what such a part
// carries.
func (v *Vehicle) setting(step *schema.Record) setting {
	var s setting
	off := step.Texts("off")
	for _, p := range v.Build.Of("parts") {
		if fitted, known := p.Bool("found.fitted"); known && !fitted || slices.Contains(off, p.ID) {
			s.off = append(s.off, p.ID)
		}
	}
	slices.Sort(s.off)
	loaded := map[string]bool{}
	for _, id := range step.Texts("supports") {
		if under, ok := v.Build.Item(id).Text("under"); ok {
			loaded[under] = true
		}
	}
	for _, id := range step.Texts("restraints") {
		item := v.Build.Item(id)
		t := tie{item: item}
		t.to, _ = item.Text("to")
		t.at, t.end = vec(item.Record, "at"), vec(item.Record, "to_at")
		for _, p := range item.Texts("ties") {
			if !slices.Contains(s.off, p) && !v.passesOn(p, t.to, s, loaded) {
				t.parts = append(t.parts, p)
			}
		}
		if len(t.parts) > 0 && !slices.Contains(s.off, t.to) {
			s.ties = append(s.ties, t)
		}
	}
	slices.SortFunc(s.ties, func(a, b tie) int { return cmp.Compare(a.item.ID, b.item.ID) })
	return s
}

// passesOn reports whether tying a part to another would pass on what a support
// bears: from the part to what it is tied to, or the other way round, from the
// base and what is bolted to it into something that stands on a support.
func (v *Vehicle) passesOn(part, to string, s setting, loaded map[string]bool) bool {
	body := v.body(s)
	bears, _ := v.reach(part, to, s, body, loaded)
	if bears || body[to] {
		return bears
	}
	bears, based := v.reach(to, part, s, body, loaded)
	return bears && based
}

// reach reports whether a part is joined to one that bears a support, and whether
// to the base, by a way that leads neither over another part nor on over the base.
func (v *Vehicle) reach(part, not string, s setting, body, loaded map[string]bool) (bears, based bool) {
	seen := map[string]bool{not: true}
	next := []string{part}
	for len(next) > 0 {
		p := next[0]
		next = next[1:]
		if body[p] {
			based = true
			bears = bears || p == part && loaded[p]
			continue
		}
		if seen[p] {
			continue
		}
		seen[p] = true
		bears = bears || loaded[p]
		next = append(next, v.neighbours(p, s, false)...)
	}
	return bears, based
}

// body is the base and all that is bolted or welded face to face to it.
func (v *Vehicle) body(s setting) map[string]bool {
	body := map[string]bool{}
	next := []string{v.base}
	for len(next) > 0 {
		p := next[0]
		next = next[1:]
		if !body[p] {
			body[p] = true
			next = append(next, v.neighbours(p, s, true)...)
		}
	}
	return body
}

// neighbours lists the parts that a part is joined to, or only those that it is
// joined to by a face.
func (v *Vehicle) neighbours(part string, s setting, byFace bool) []string {
	var list []string
	for _, m := range v.Meets {
		if s.isOff(m) || byFace && (m.Link || !m.Face()) {
			continue
		}
		switch part {
		case m.Parts[0]:
			list = append(list, m.Parts[1])
		case m.Parts[1]:
			list = append(list, m.Parts[0])
		}
	}
	return list
}
