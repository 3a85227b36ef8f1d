package looks

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
)

// statement is one fact as one look states it of one member.
type statement struct {
	*seen
	field *schema.Field
	value any
	span  source.Span
	// byCard: it follows from 'good'. alone: the look was at this one member and
	// nothing else. whole: of every member of its group; only: and of nothing else. good, where
	// known: it is the good answer.
	byCard, alone, whole, only, good, known bool
}

func (s *statement) fault() bool { return s.known && !s.good }

// clears says whether it is a later look at the one member alone that states the fact of a fault
// and finds it good. What was said of a whole group in one look is taken back in one as well, by
// the name of the fact: a round's 'good' is no answer to it. So is a fault of a member that was
// counted otherwise then.
func (s *statement) clears(fault *statement) bool {
	answers := s.alone && !fault.elsewhere || fault.whole && s.whole && s.only && !s.byCard
	return answers && s.known && s.good && s.counts() && s.After(fault.Stamp)
}

// counts says whether what is good in it is known of this thing today.
func (s *statement) counts() bool { return !s.dead && s.withdrawn == nil }

// history is all that was said of one member.
type history struct {
	folding *folding
	thing   *Thing
	stated  map[string][]*statement
	mended  []mending
	ends    []ending
	remakes []*statement // after which something that was said before may count no more
	remade  map[*statement]bool
}

// mending is a fault and the look at the one member alone that first found it gone, or each of
// them where the log does not say which was first.
type mending struct{ fault, good *statement }

// members are the histories of the members of a thing.
func (f *folding) members(t *Thing) []*history {
	all := make([]*history, t.Members)
	for i := range all {
		all[i] = f.member(t, i+1)
	}
	return all
}

func (f *folding) member(t *Thing, m int) *history {
	h := &history{folding: f, thing: t, stated: map[string][]*statement{}, remade: map[*statement]bool{}}
	found := t.Kind.Found()
	if found == nil {
		return h
	}
	for _, s := range f.on[t.ID] {
		if s.Covers(m) {
			h.read(s, found)
		}
	}
	for _, list := range h.stated {
		h.mend(list)
	}
	return h
}

// mend notes when the faults of a fact were mended that cannot be mended without undoing more
// of the thing.
func (h *history) mend(list []*statement) {
	if list[0].field.Undoes == nil {
		return
	}
	for _, fault := range list {
		if !fault.fault() || fault.withdrawn != nil {
			continue
		}
		var first []*statement // none of them surely later than another
		clears := func(s *statement) bool { return s.clears(fault) }
		for _, s := range list {
			if !clears(s) || slices.ContainsFunc(first, func(o *statement) bool { return s.After(o.Stamp) }) {
				continue
			}
			first = append(slices.DeleteFunc(first, func(o *statement) bool { return o.After(s.Stamp) }), s)
		}
		// One may be later than another that fell out, for looks with and without a time have no one order.
		later := func(s *statement) bool {
			return slices.ContainsFunc(list, func(o *statement) bool { return clears(o) && s.After(o.Stamp) })
		}
		if slices.ContainsFunc(first, func(s *statement) bool { return !later(s) }) {
			first = slices.DeleteFunc(first, later)
		}
		for _, s := range first {
			h.mended = append(h.mended, mending{fault, s})
		}
	}
}

// happened takes in the events of the member.
func (h *history) happened(member int) {
	for _, e := range h.folding.events[h.thing.ID] {
		if covers(e.members, member) {
			h.ends = append(h.ends, e)
		}
	}
}

// read takes in one look.
func (h *history) read(s seen, found *schema.Field) {
	group := h.thing.Members > 1
	alone := len(s.Look.Of) == 1 && (!group || len(s.Members) == 1)
	only := !slices.ContainsFunc(s.Of, func(o *Target) bool { return o.ID != s.Target.ID })
	whole := group && (s.elsewhere || h.thing.whole(s)) // a fault in any of them is one of all
	state := func(field *schema.Field, value any, span source.Span, byCard, alone bool) *statement {
		one := &statement{seen: &s, field: field, value: value, span: span, byCard: byCard, alone: alone, whole: whole, only: only}
		one.good, one.known = field.Good.Holds("found."+field.Name, func(path string) (any, bool) {
			if path == "found."+field.Name {
				return value, true
			}
			return h.thing.named(s, path)
		})
		one.known = one.known && len(field.Good) > 0 && h.thing.Has(field)
		h.stated[field.Name] = append(h.stated[field.Name], one)
		if field.Remakes != nil || one.fault() && field.Witness != nil {
			h.remakes = append(h.remakes, one)
		}
		return one
	}
	var said []*schema.Said
	if s.Found != nil {
		for _, name := range s.Found.Names() {
			field := found.Field(name)
			if field.Life == schema.OfLook {
				continue
			}
			v, _ := s.Found.Lookup(name)
			// The count of a group is of the group, not of a member.
			one := state(field, v.V, v.Span, false, alone || group && name == countField && len(s.Look.Of) == 1 && s.Members == nil)
			if field.Says != nil && (one.good && one.known || len(field.Good) == 0 && some(v.V)) {
				said = append(said, field.Says)
			}
		}
	}
	for _, says := range said {
		if field := found.Field(says.Field); !h.states(s, says.Field) {
			state(field, says.Value, s.Target.Span, false, alone)
		}
	}
	switch {
	case s.Good == NotGood:
		state(wholeCard, false, s.Look.Span, false, alone)
	case s.Good == Good && h.thing.printed(s):
		state(wholeCard, true, s.Look.Span, true, alone)
		for i := range found.Fields {
			field := &found.Fields[i]
			if h.states(s, field.Name) || s.Except[field.Name] || group && field.Name == countField || h.thing.needless(field, s) {
				continue
			}
			if value, ok := h.thing.byCard(field, s); ok {
				state(field, value, s.Target.Span, true, alone)
			}
		}
	}
}

// some says whether a count or measure is of something that is there.
func some(v any) bool {
	switch v := v.(type) {
	case int64:
		return v > 0
	case quantity.Quantity:
		return v.Value > 0
	}
	return false
}

// whole says whether a look is at every member of a group, by its name or by their numbers.
func (t *Thing) whole(s seen) bool {
	for m := 1; m <= t.Members; m++ {
		if !slices.ContainsFunc(s.Of, func(o *Target) bool { return o.ID == s.Target.ID && o.Covers(m) }) {
			return false
		}
	}
	return true
}

// countField is the fact that is of a group as a whole.
const countField = "count"

func cutFound(path string) (name string, own bool) {
	const prefix = "found."
	if len(path) > len(prefix) && path[:len(prefix)] == prefix {
		return path[len(prefix):], true
	}
	return path, false
}

// states says whether a look has stated a field already.
func (h *history) states(s seen, field string) bool {
	return slices.ContainsFunc(h.stated[field], func(one *statement) bool { return one.Look == s.Look && one.Target == s.Target })
}

// stand works out which facts stand.
func (h *history) stand() Facts {
	facts := make(Facts, len(h.stated))
	for _, name := range slices.Sorted(maps.Keys(h.stated)) {
		if fact, ok := h.fact(h.stated[name]); ok {
			facts[name] = fact
		}
	}
	return facts
}

func (h *history) fact(list []*statement) (Fact, bool) {
	var top []*statement
	for _, s := range list {
		if s.fault() && !h.cleared(s, list) {
			top = append(top, s)
		}
	}
	if len(top) > 0 {
		// Where all were taken back, or days lead round in a ring, none is the last.
		if last := newest(top, top); len(last) > 0 {
			top = last
		}
	} else {
		for _, s := range newest(list, list) {
			if !s.fault() && s.counts() && !h.ended(s) {
				top = append(top, s)
			}
		}
	}
	if len(top) == 0 {
		return Fact{}, false
	}
	one := top[0]
	for _, s := range top[1:] {
		switch {
		case same(s.value, one.value):
			if one.byCard && !s.byCard {
				one = s // who said so by name is the better witness
			}
		case len(s.field.Good) == 0:
			h.disagree(top)
			return Fact{}, false // none is the worse
		case worse(s.field, s.value, one.value):
			one = s
		}
	}
	fact := Fact{Value: schema.Value{V: one.value, Span: one.span}, Stamp: one.Stamp, Via: one.Via, Digest: one.Digest, Print: one.Print, Fault: one.fault(), ByCard: one.byCard, Whole: one.whole}
	fact.Second = h.second(one, list)
	return fact, true
}

// disagree stops where looks say different things of a fact that has no good answer, and none is
// surely the last: either alone might stop a move, which silence lets pass.
func (h *history) disagree(top []*statement) {
	var said []string
	for _, s := range top {
		said = append(said, s.Moment.String()+" by "+s.By)
	}
	slices.Sort(said)
	message := fmt.Sprintf("the looks at %s of %s say different things of its %s, and none of them is surely the last", h.thing.ID, strings.Join(slices.Compact(said), ", "), top[0].field.Name)
	if slices.ContainsFunc(h.folding.troubles, func(t Trouble) bool { return t.Message == message }) {
		return // each member of a group says so
	}
	h.folding.stop(top[0].span, h.thing.ID, message, "look at it again, or write when each was, to the minute")
}

// newest leaves out what was said again surely later by one of the others, as
// long as that was not taken back.
func newest(list, others []*statement) []*statement {
	var last quantity.Date
	for _, o := range others {
		if o.withdrawn == nil && o.Day.Compare(last) > 0 {
			last = o.Day
		}
	}
	var top []*statement
	for _, s := range list {
		if (s.Day != quantity.Date{}) && s.Day.Compare(last) < 0 {
			continue // the last day is surely later
		}
		if !slices.ContainsFunc(others, func(o *statement) bool { return o.withdrawn == nil && o.After(s.Stamp) }) {
			top = append(top, s)
		}
	}
	return top
}

// cleared says whether a later look at the one member alone states the fact and
// finds it good. A fault that was taken back as seen at the wrong item is there
// until both items were looked at alone.
func (h *history) cleared(fault *statement, list []*statement) bool {
	if !slices.ContainsFunc(list, func(s *statement) bool { return s.clears(fault) }) {
		return false
	}
	if fault.withdrawn == nil || fault.withdrawn.To == "" {
		return true
	}
	id, member := SplitMember(fault.withdrawn.To)
	id, _ = h.folding.today(id, fault.withdrawn.Stamp)
	return slices.ContainsFunc(h.folding.on[id], func(s seen) bool {
		return len(s.Of) == 1 && s.withdrawn == nil && s.After(fault.Stamp) && (member == 0 || s.Covers(member)) && (s.Good != NotSaid || s.Found != nil)
	})
}

// ended says whether something came since that ends what a look found good: an
// event, or the thing was made anew.
func (h *history) ended(s *statement) bool {
	if h.thing.Kind.Settles(s.field) && s.moved {
		return true // at another place or height, or of other weights
	}
	for _, e := range h.ends {
		if !s.After(e.Stamp) {
			return true
		}
	}
	if slices.ContainsFunc(h.mended, func(m mending) bool { return h.undone(m, s) }) {
		return true
	}
	return slices.ContainsFunc(h.remakes, func(r *statement) bool {
		list := h.stated[r.field.Name]
		knows := func(o *statement) bool { return o.Look == s.Look && o.Target == s.Target && agree(o, r) }
		return remakes(r, s.field.Name) && r.Look != s.Look && !s.After(r.Stamp) && h.isRemake(r, list) && !slices.ContainsFunc(list, knows)
	})
}

// undone says whether what a look found good was undone when something was mended: it is of an
// earlier look.
func (h *history) undone(m mending, s *statement) bool {
	undoes := m.good.field.Undoes
	if lasts, known := m.good.field.Lasts.Holds("", h.thing.Lookup); lasts && known {
		undoes = nil // a lock that is part of its nut is mended with another nut
	}
	if m.good.field.Name == s.field.Name || len(undoes) > 0 && !slices.Contains(undoes, s.field.Name) || m.good.Look == s.Look || s.After(m.good.Stamp) {
		return false
	}
	// What goes on last may be seen after what it goes on to.
	return len(undoes) == 0 || !goesOn(m.good.field, s.field) || s.Look != m.fault.Look && !s.After(m.fault.Stamp)
}

// goesOn says whether the one fact is of what goes on to the other, as a mark or a pin on to a
// torque: made anew, the other ends it.
func goesOn(last, first *schema.Field) bool { return slices.Contains(first.Remakes, last.Name) }

// remakes says whether a statement is of a fact that says how the thing is made, such that another
// one ends with it, or tells that the witness of the other is gone.
func remakes(made *statement, field string) bool {
	f := made.field
	if f.Name == field {
		return false
	}
	return f.Remakes != nil && len(f.Remakes) == 0 || slices.Contains(f.Remakes, field) || made.fault() && slices.Contains(f.Witness, field)
}

// isRemake remembers what remake says, which many facts ask.
func (h *history) isRemake(r *statement, list []*statement) bool {
	is, known := h.remade[r]
	if !known {
		is = h.remake(r, list)
		h.remade[r] = is
	}
	return is
}

// remake says whether a statement tells that the thing was made anew, and does
// not only confirm how it was. What is critical says so when it is first named;
// of the rest something else must have been said before, for nobody looks at the
// lock of a nut that is not there.
func (h *history) remake(r *statement, list []*statement) bool {
	if !r.fault() && r.withdrawn != nil {
		return false
	}
	other := func(s *statement) bool { return s.Look != r.Look && !agree(s, r) && (s.fault() || s.withdrawn == nil) }
	confirmed := func(s *statement) bool {
		if s.Look == r.Look || !agree(s, r) || !s.counts() || !r.After(s.Stamp) {
			return false
		}
		between := func(at Stamp) bool { return !s.After(at) && !at.After(r.Stamp) }
		return !slices.ContainsFunc(list, func(o *statement) bool { return other(o) && between(o.Stamp) }) &&
			!slices.ContainsFunc(h.ends, func(e ending) bool { return between(e.Stamp) })
	}
	for _, s := range slices.Backward(list) { // the look before is the likeliest
		if confirmed(s) {
			return false
		}
	}
	return r.field.Critical || r.fault() || slices.ContainsFunc(list, func(s *statement) bool { return other(s) && !s.After(r.Stamp) })
}

// agree says whether two looks found the thing made alike. What 'good' states is
// a condition, and every good answer meets it.
func agree(a, b *statement) bool {
	return same(a.value, b.value) || (a.byCard || b.byCard) && a.known && b.known && a.good && b.good
}

// second is who else saw the fact, without seeing the first answer: both by name,
// both of the people of the file, and nothing since that would end the first.
func (h *history) second(one *statement, list []*statement) string {
	people := h.folding.log.People
	if one.byCard || one.fault() || !slices.Contains(people, one.By) {
		return ""
	}
	for _, s := range list {
		blind := s.Blind && !one.After(s.Stamp) || one.Blind && !s.After(one.Stamp)
		if s.By == one.By || s.byCard || !blind || !same(s.value, one.value) || !slices.Contains(people, s.By) || s.fault() || !s.counts() || h.ended(s) {
			continue
		}
		fault := func(o *statement) bool { return o.fault() && !(one.After(o.Stamp) && s.After(o.Stamp)) }
		if !slices.ContainsFunc(list, fault) {
			return s.By
		}
	}
	return ""
}

// printed says whether 'good' was said of this design. Of a thing with a design
// of its own that needs its fingerprint; without one only what is named counts.
func (t *Thing) printed(s seen) bool {
	return !s.dead && (!t.Kind.Identified() || s.Print != "")
}
