package vehicle

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/schema"
)

// setting is what differs between steps beside their supports: which parts are on the
// vehicle and which are held together by restraints.
type setting struct {
	off    []string // parts that are not on it, sorted
	fresh  []string // parts that were found not to be on it, and that the move has put on by then
	hooks  []hook   // with the parts that hang on them by themselves, none of the vehicle's
	ties   []tie
	limits []tie // droop straps, stops and dampers, which pass a force along their line one way only
	caught []Caught
	stiff  bool // the limits pass force either way, as bars: what a strap would bear
	// pressed are the springs that stay as short as they are drawn, for straps or stops hold what they push.
	pressed []pressed
	// shared are springs of which it is known how hard they are pressed, by how they share the weight.
	shared []pressed
	// eased are sums of what passes in joints and links that straps take over before geometry that hardly holds does.
	eased [][]float64
	// unpressed is what nobody recorded of springs of which a bar decides how short they are.
	unpressed []string
	// places are tied up as a whole, in a checklist: no part of theirs is listed.
	places []*model.Item // the restraints
}

// tie is one restraint, or one damper, at work: parts held to another part, and where it is attached to these
// and to that, nil where nobody wrote it down.
type tie struct {
	item    *model.Item
	parts   []string
	to      string
	at, end *schema.Vec
	pushes  bool // a stop
}

// pointed reports whether it is known where a strap pulls: a block has no line.
func (t tie) pointed() bool { return t.at != nil && t.end != nil && !t.block() }

// single reports whether it is a strap of which it is known where it pulls on one part.
func (t tie) single() bool {
	_, stated := t.item.Text("kind")
	return stated && t.pointed() && len(t.parts) == 1
}

// unplaced are the points of it that nobody wrote.
func (t tie) unplaced() []string {
	var missing []string
	if t.at == nil {
		missing = append(missing, t.item.Path()+".at")
	}
	if t.end == nil {
		missing = append(missing, t.item.Path()+".to_at")
	}
	return missing
}

func (t tie) block() bool {
	kind, _ := t.item.Text("kind")
	return kind == "block"
}

// lean is how far a strap stands from the plumb line, rad; more than a right angle where it pulls
// down.
func (t tie) lean() float64 {
	up := r3.Sub(Point(*t.end), Point(*t.at))
	return math.Acos(up.Z / r3.Norm(up))
}

func (s setting) key() string {
	var k strings.Builder
	k.WriteString(strings.Join(s.off, ","))
	for _, h := range s.hooks {
		k.WriteString(";" + h.item.ID + ":" + strings.Join(h.parts, ","))
	}
	for _, list := range [][]tie{s.ties, s.limits} {
		for _, t := range list {
			k.WriteString(";" + t.item.ID + ":" + strings.Join(t.parts, ",") + ">" + t.to)
		}
		k.WriteString(";|") // one strap may tie up in one setting and only limit in another
	}
	for _, item := range s.notMissed() {
		k.WriteString(";-" + item.ID)
	}
	if s.stiff {
		k.WriteString(";stiff")
	}
	for _, spring := range s.pressed {
		fmt.Fprintf(&k, ";%s=%g±%g", spring.ID, spring.push, spring.more)
	}
	for _, spring := range s.shared {
		fmt.Fprintf(&k, ";%s:%g±%g", spring.ID, spring.push, spring.more)
	}
	if s.eased != nil {
		fmt.Fprintf(&k, ";eased %g", s.eased)
	}
	return k.String()
}

// isOff reports whether a meet passes nothing: a part of it is off the vehicle, or what it was hangs in
// a strap or against a stop instead.
func (s setting) isOff(m *Meet) bool {
	return s.without(m.Parts[0]) || s.without(m.Parts[1]) || slices.Contains(s.notMissed(), m.Item)
}

// Caught are joints and links that are known to be undone, and the droop straps and stops that hold
// what would drop or turn without them.
type Caught struct{ Undone, Limits []*model.Item }

// notMissed are the joints and links that the limits stand in for.
func (s setting) notMissed() []*model.Item {
	var all []*model.Item
	for _, c := range s.caught {
		all = append(all, c.Undone...)
	}
	return all
}

// with is the setting with one more spring that pushes as it is drawn.
func (s setting) with(spring pressed) setting {
	s.pressed = append(slices.Clone(s.pressed), spring)
	return s
}

// less is the setting without a spring that pushes as it is drawn, and without its link.
func (s setting) less(spring pressed) setting {
	s.pressed = slices.DeleteFunc(slices.Clone(s.pressed), func(p pressed) bool { return p.Spring == spring.Spring })
	s.caught = append(slices.Clone(s.caught), Caught{Undone: []*model.Item{spring.Link}})
	return s
}

// asLimits is the setting with the straps that tie up one part alone as no more than straps: they hold it along
// their lines.
func (s setting) asLimits(part string) setting {
	its := func(t tie) bool { return t.single() && t.parts[0] == part }
	s.limits = slices.Clone(s.limits)
	for _, t := range s.ties {
		if its(t) {
			s.limits = append(s.limits, t)
		}
	}
	s.ties = slices.DeleteFunc(slices.Clone(s.ties), its)
	return s
}

// presses is the spring in a link that stays as it is drawn; on is false of other links.
func (s setting) presses(link *model.Item) (p pressed, on bool) {
	if i := slices.IndexFunc(s.pressed, func(p pressed) bool { return p.Link == link }); i >= 0 {
		return s.pressed[i], true
	}
	return p, false
}

// without reports whether a part is no part of the vehicle in this setting: it is off, or hangs on
// a hook by itself.
func (s setting) without(part string) bool {
	return slices.Contains(s.off, part) || slices.ContainsFunc(s.hooks, func(h hook) bool { return slices.Contains(h.parts, part) })
}

// setting reads the last of the steps that a move has come to. What was found not to be on the vehicle
// is off, until the move puts it on: a step has it off and a later one has not. A strap carries no
// vehicle: a restraint does nothing for a part that bears a support of the step, or that would pass on
// what such a part carries.
func (v *Vehicle) setting(steps []*schema.Record) setting {
	var s setting
	offIn := func(part string) func(*schema.Record) bool {
		return func(step *schema.Record) bool { return slices.Contains(step.Texts("off"), part) }
	}
	step := steps[len(steps)-1]
	for _, p := range v.Build.Of("parts") {
		fitted, known := p.Bool("found.fitted")
		absent := known && !fitted
		switch {
		case offIn(p.ID)(step), absent && !slices.ContainsFunc(steps, offIn(p.ID)):
			s.off = append(s.off, p.ID)
		case absent:
			s.fresh = append(s.fresh, p.ID)
		}
	}
	slices.Sort(s.off)
	s.hooks = v.hooks(step.Texts("supports"), s)
	loaded := map[string]bool{}
	for _, id := range step.Texts("supports") {
		if under, ok := v.Build.Item(id).Text("under"); ok {
			loaded[under] = true
		}
	}
	for _, id := range step.Texts("restraints") {
		item := v.Build.Item(id)
		kind, _ := item.Text("kind")
		limits := kind == "droop strap" || kind == "stop" // what it holds only rests on it
		if v.Checklist() && len(item.TiedPlaces) > 0 && !limits {
			s.places = append(s.places, item)
		}
		t := tie{item: item, pushes: kind == "stop"}
		t.to, _ = item.Text("to")
		t.at, t.end = vec(item.Record, "at"), vec(item.Record, "to_at")
		if limits {
			if on := item.Texts("ties"); len(on) == 1 && !s.without(on[0]) && !s.without(t.to) {
				t.parts = on
				s.limits = append(s.limits, t)
			}
			continue
		}
		for _, p := range item.Texts("ties") {
			if !s.without(p) && !v.passesOn(p, t.to, s, loaded) {
				t.parts = append(t.parts, p)
			}
		}
		if len(t.parts) > 0 && !s.without(t.to) {
			s.ties = append(s.ties, t)
		}
	}
	for _, link := range v.Build.Of("links") {
		ends := v.Ends(link)
		if v.Damps(link) && len(ends) > 0 && !s.isOff(ends[0]) && ends[0].At != nil && ends[1].At != nil {
			s.limits = append(s.limits, tie{item: link, parts: ends[0].Parts[:1], to: ends[1].Parts[0], at: ends[0].At, end: ends[1].At})
		}
	}
	for _, list := range [][]tie{s.ties, s.limits} {
		slices.SortFunc(list, func(a, b tie) int { return cmp.Compare(a.item.ID, b.item.ID) })
	}
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
	reached := spread(part, func(p string) []string {
		if body[p] {
			return nil
		}
		return slices.DeleteFunc(v.neighbours(p, s, false), func(n string) bool { return n == not && !body[n] })
	})
	for _, p := range reached {
		based = based || body[p]
		bears = bears || loaded[p] && (p == part || !body[p])
	}
	return bears, based
}

// body is the base and all that is bolted or welded face to face to it.
func (v *Vehicle) body(s setting) map[string]bool {
	body := map[string]bool{}
	for _, p := range spread(v.base, func(p string) []string { return v.neighbours(p, s, true) }) {
		body[p] = true
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
		if other, joined := m.Other(part); joined {
			list = append(list, other)
		}
	}
	return list
}

// hook is a crane's hook on which parts hang that nothing else joins to the vehicle any more.
type hook struct {
	item  *model.Item // the support
	parts []string
}

// hooks finds what hangs on the hooks of a step by itself: the part that a hook bears and what is
// joined to it, where no joint that is still done up leads to the part that the vehicle is built
// on. What hangs so is no part of the vehicle.
func (v *Vehicle) hooks(supports []string, s setting) []hook {
	var list []hook
	for _, id := range supports {
		item := v.Build.Item(id)
		under, named := item.Text("under")
		if !OfKind("crane")(item) || !named || slices.Contains(s.off, under) {
			continue
		}
		parts := spread(under, func(p string) (next []string) {
			for _, m := range v.Meets {
				if other, joined := m.Other(p); joined && !s.isOff(m) && !v.undone(m) {
					next = append(next, other)
				}
			}
			return next
		})
		if !slices.Contains(parts, v.base) {
			slices.Sort(parts)
			list = append(list, hook{item, parts})
		}
	}
	return list
}

// undone reports whether a joint, or the link with this end, is known to be undone: the link is
// out, or every bolt and nut of a joint is, and no weld holds it.
func (v *Vehicle) undone(m *Meet) bool {
	ends := []*Meet{m}
	if m.Link {
		if fitted, known := m.Item.Bool("found.fitted"); known && !fitted {
			return true
		}
		ends = v.Ends(m.Item)
	}
	return slices.ContainsFunc(ends, func(e *Meet) bool {
		bolts := 0
		for _, h := range v.holds[e.Name] {
			switch h.Kind.Name {
			case "fasteners", "stud_nuts":
				if bolts++; len(h.Missing) > 0 || h.Short < h.Needed() {
					return false
				}
			case "welds":
				if m.Kind == "welded face" && h.Made != "none" {
					return false
				}
				if m.Kind == "welded face" {
					bolts++
				}
			}
		}
		return bolts > 0
	})
}
