package derive

import (
	"cmp"
	"slices"
	"strings"

	"setdown/model"
	"setdown/model/schema"
	"setdown/model/statics"
)

// meet is a place where two parts meet: a joint, or one end of a link. A link
// is there as a whole or not at all, so both of its ends share the item.
type meet struct {
	name  string // joint id, or "link/end"
	item  *model.Item
	link  bool
	kind  string // kind of joint; "rod end" for a link end
	parts [2]string
	at    *schema.Vec
	axis  *schema.Vec // direction of its bolt
	shear string      // of a link end: "single", "double", or "" when nobody recorded it
}

// path is the path of a field of the meet in the build file.
func (m *meet) path(field string) string {
	if _, end, ok := strings.Cut(m.name, "/"); ok {
		return m.item.Path() + ".ends." + end + "." + field
	}
	return m.item.Path() + "." + field
}

// far is the other end of the link that a meet is an end of.
func (d *Deriver) far(m *meet) *meet {
	ends := d.ends(m.item)
	if ends[0] == m {
		return ends[1]
	}
	return ends[0]
}

// findMeets reads the joints and the link ends.
func (d *Deriver) findMeets() {
	for _, item := range d.build.Of("joints") {
		m := &meet{name: item.ID, item: item}
		m.kind, _ = item.Text("kind")
		copy(m.parts[:], item.Texts("between"))
		m.at, m.axis = vec(item.Record, "at"), vec(item.Record, "axis")
		d.addMeet(m)
	}
	for _, item := range d.build.Of("links") {
		ends, _ := item.Record.Record("ends")
		names := ends.Names()
		for i, name := range names {
			end, _ := ends.Record(name)
			other, _ := ends.Record(names[1-i])
			m := &meet{name: item.ID + "/" + name, item: item, link: true, kind: "rod end"}
			m.parts[0], _ = end.Text("on")
			m.parts[1], _ = other.Text("on")
			m.at, m.axis = vec(end, "at"), vec(end, "axis")
			m.shear, _ = end.Text("shear")
			d.addMeet(m)
		}
	}
}

func (d *Deriver) addMeet(m *meet) {
	d.meets = append(d.meets, m)
	d.byName[m.name] = m
}

func vec(r *schema.Record, name string) *schema.Vec {
	v, ok := r.Vec(name)
	if !ok {
		return nil
	}
	return &v
}

// turning are the joints that, two between the same parts, make a hinge: each
// of them then passes force and no moment.
var turning = []string{"bush", "pivot", "spherical bearing", "rod end", "ball joint", "taper ball joint"}

// jointKind says how a joint lets its parts move. A lone pivot or bush turns
// about its axis; beside another joint between the same parts it is one of the
// two that make a hinge. ok is false when the axis it needs is not recorded.
func (d *Deriver) jointKind(m *meet) (kind statics.JointKind, ok bool) {
	switch m.kind {
	case "bolted face", "welded face":
		return statics.Fixed, true
	case "pivot", "bush":
		for _, other := range d.meets {
			if other != m && !other.link && samePair(other.parts, m.parts) && slices.Contains(turning, other.kind) {
				return statics.Ball, true
			}
		}
		return statics.Pivot, m.axis != nil
	default:
		return statics.Ball, true
	}
}

func samePair(a, b [2]string) bool {
	return a == b || a == [2]string{b[1], b[0]}
}

// setting is what differs between steps: which parts are on the vehicle and
// which are held together by restraints.
type setting struct {
	off  []string // parts that are not on it, sorted
	ties []tie
}

// tie is one restraint at work: parts held to another part.
type tie struct {
	item  *model.Item
	parts []string
	to    string
}

// setting reads a step. A strap carries no vehicle: a restraint does nothing for a
// part that bears a support of the step, or that would pass on what such a part
// carries.
func (d *Deriver) setting(step *schema.Record) setting {
	var s setting
	off := step.Texts("off")
	for _, p := range d.build.Of("parts") {
		if fitted, known := p.Bool("found.fitted"); known && !fitted || slices.Contains(off, p.ID) {
			s.off = append(s.off, p.ID)
		}
	}
	slices.Sort(s.off)
	loaded := map[string]bool{}
	for _, id := range step.Texts("supports") {
		if under, ok := d.build.Item(id).Text("under"); ok {
			loaded[under] = true
		}
	}
	for _, id := range step.Texts("restraints") {
		item := d.build.Item(id)
		t := tie{item: item}
		t.to, _ = item.Text("to")
		for _, p := range item.Texts("ties") {
			if !slices.Contains(s.off, p) && !d.passesOn(p, t.to, s, loaded) {
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
func (d *Deriver) passesOn(part, to string, s setting, loaded map[string]bool) bool {
	body := d.body(s)
	bears, based := d.reach(part, to, s, body, loaded)
	if bears || body[to] {
		return bears
	}
	bears, _ = d.reach(to, part, s, body, loaded)
	return bears && based
}

// reach reports whether a part is joined to one that bears a support, and whether
// to the base, by a way that leads neither over another part nor on over the base.
func (d *Deriver) reach(part, not string, s setting, body, loaded map[string]bool) (bears, based bool) {
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
		next = append(next, d.neighbours(p, s, false)...)
	}
	return bears, based
}

// body is the base and all that is bolted or welded face to face to it.
func (d *Deriver) body(s setting) map[string]bool {
	body := map[string]bool{}
	next := []string{d.base()}
	for len(next) > 0 {
		p := next[0]
		next = next[1:]
		if !body[p] {
			body[p] = true
			next = append(next, d.neighbours(p, s, true)...)
		}
	}
	return body
}

// neighbours lists the parts that a part is joined to, or only those that it is
// joined to by a face.
func (d *Deriver) neighbours(part string, s setting, byFace bool) []string {
	var list []string
	for _, m := range d.meets {
		if kind, _ := d.jointKind(m); s.isOff(m) || byFace && (m.link || kind != statics.Fixed) {
			continue
		}
		switch part {
		case m.parts[0]:
			list = append(list, m.parts[1])
		case m.parts[1]:
			list = append(list, m.parts[0])
		}
	}
	return list
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
func (s setting) isOff(m *meet) bool {
	return slices.Contains(s.off, m.parts[0]) || slices.Contains(s.off, m.parts[1])
}
