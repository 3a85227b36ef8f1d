package facts

import (
	"slices"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/vehicle"
)

// What an answer leaves as it was is kept: a fact stays what it was in the build state before as long as
// nothing that it hangs on has changed. What a fact hangs on at last is noted as it is computed: the
// objects of which something recorded stands behind it, and the mechanism, the step or the log. Only
// what the log says may differ between the two states, not the design: else nothing is kept.

// origins is what facts hang on at last, a bit each. Objects of a large file share bits: then more
// is computed anew than has to be.
type origins [4]uint64

const (
	originBits = 64 * len(origins{})
	ofOutside  = 8 // bits of what is of no object
)

// origin is the bit of what is read, but for a fact that is computed.
func origin(r read) (o origins) {
	bit := int(-r.at)
	if r.of != outside {
		bit = ofOutside + int(r.of)%(originBits-ofOutside)
	}
	o[bit/64] = 1 << (bit % 64)
	return o
}

func (o *origins) add(other origins) {
	for i := range o {
		o[i] |= other[i]
	}
}

// meets reports whether some of the one is of the other as well.
func (o origins) meets(other origins) bool {
	for i := range o {
		if o[i]&other[i] != 0 {
			return true
		}
	}
	return false
}

// within reports whether all of the one are of the other as well.
func (o origins) within(other origins) bool {
	for i := range o {
		if o[i]&^other[i] != 0 {
			return false
		}
	}
	return true
}

// aging are the origins of what may be another on another day.
var aging = func() (o origins) {
	o.add(origin(read{outside, theDay}))
	o.add(origin(read{outside, theHour}))
	return o
}()

// originsOf is what something that was read hangs on. Of an item that is looked at again on the day of
// a move, when that was hangs on the day.
func (s *Set) originsOf(r read) origins {
	if r.of == outside {
		return origin(r)
	}
	o, out := s.objects[r.of], origin(r)
	daily := r.at < 0 && o.layout.daily
	if r.at >= 0 {
		in, i := o.fact(int(r.at))
		if n := in.layout.cell[i]; n != nowhere {
			if known := in.home(n).cells[n].Load(); known != nil {
				return known.origins
			}
			return out // it was only asked whether there is such a fact
		}
		daily = in.layout.daily && in.layout.fields[i].Name == "on"
	}
	if daily {
		out.add(origin(read{outside, theDay}))
	}
	return out
}

// After makes the state keep of another what is the same in both: it is of the same file and day, and
// was judged. What statics worked out is kept with it. It is called before any fact is asked for, and Settle when all are.
func (s *State) After(was *State) {
	if !s.comparable(was) {
		return
	}
	s.Vehicle.Cache = was.Vehicle.Cache
	changed := origin(read{outside, theLog})
	if s.always.Clock != was.always.Clock {
		changed.add(origin(read{outside, theHour}))
	}
	mechanism := true
	for n, o := range s.always.objects {
		if o == nil || o == s.always.Policy {
			continue
		}
		before := was.always.objects[n]
		if o.Path != before.Path || !slices.Equal(o.apart, before.apart) {
			return
		}
		if same(o, before) && stands(s.Vehicle.Build, was.Vehicle.Build, o) {
			continue
		}
		changed.add(origin(read{of: int32(n)}))
		mechanism = mechanism && o.item != nil && s.Vehicle.SameWith(o.item, was.Vehicle, before.item)
	}
	if !mechanism {
		changed.add(origin(read{outside, allFields}))
		changed.add(origin(read{outside, theStep}))
	}
	s.before, s.always.was, s.always.changed = was, was.always, changed
}

// Settle lets go of the state before.
func (s *State) Settle() {
	s.before, s.always.was = nil, nil
	for _, set := range s.sets.Range {
		set.(*Set).was = nil
	}
}

// comparable reports whether two states differ at the most by looks.
func (s *State) comparable(was *State) bool {
	b, before := s.Vehicle.Build, was.Vehicle.Build
	return b.Log != nil && before.Log != nil && b.Source == before.Source && len(b.Log.Notes) == len(before.Log.Notes) &&
		s.always.Policy == was.always.Policy && s.always.Today == was.always.Today && s.always.Clock.Timed == was.always.Clock.Timed &&
		s.always.Units == was.always.Units && len(s.always.objects) == len(was.always.objects)
}

// stepKey is a step of the state by the id of its move and its number there.
type stepKey struct {
	move string
	step int
}

// follow makes a set keep what is the same in the set of that step in the state before.
func (s *State) follow(set *Set) {
	key := stepKey{set.Now.Move.ID, set.Now.Index}
	s.sets.Store(key, set)
	if s.before == nil {
		return
	}
	of, any := s.before.sets.Load(key)
	if !any {
		return
	}
	was := of.(*Set)
	set.was, set.changed = was, s.always.changed
	planned := same(set.Move, was.Move) && stands(s.Vehicle.Build, was.state.Vehicle.Build, set.Move)
	if !planned {
		set.changed.add(origin(readOf(set.Move, allFields)))
	}
	if !planned || !set.Now.Same(was.Now) {
		set.changed.add(origin(read{outside, theStep}))
	}
}

// keep takes a computed fact from the set before, where it is the same; nil where it is not.
func (o *Object) keep(n int) *result {
	if o.set == nil || o.set.was == nil {
		return nil
	}
	r := o.set.was.objects[o.n].cells[n].Load()
	if r == nil || r.given || r.origins.meets(o.set.changed) {
		return nil
	}
	return r
}

// Before is the set of the same step in the state before this one; nil where nothing is kept.
func (s *Set) Before() *Set { return s.was }

// Kept reports whether a field of an object is what it was in the set before, as far as it was asked
// for there; then it is known here as well. The i-th of the fields of a block counts as all of them.
func (o *Object) Kept(i int) bool {
	n := o.layout.cell[i]
	if n == nowhere || o.set == nil {
		return o.set == nil || !origin(readOf(o, i)).meets(o.set.changed)
	}
	o = o.home(n)
	if o.set.was == nil {
		return false
	}
	before := o.set.was.objects[o.n].cells[n].Load()
	if before == nil {
		return true
	}
	now := o.cells[n].Load()
	if now == nil {
		if now = o.keep(n); now == nil {
			return false
		}
		o.cells[n].Store(now)
	}
	return now == before
}

// same reports whether all that is recorded of two objects is the same, wherever it stands in the file.
func same(a, b *Object) bool {
	if a.there != b.there {
		return false
	}
	for i, v := range a.values {
		if block := a.blocks[i]; block != nil {
			if !same(block, b.blocks[i]) {
				return false
			}
		} else if !sameValue(v, b.values[i]) {
			return false
		}
	}
	return true
}

func sameValue(a, b any) bool {
	switch a := a.(type) {
	case nil:
		return b == nil
	case bool, int64, string, quantity.Quantity, quantity.Thread, quantity.Date, schema.Vec:
		return a == b
	case []any:
		b, list := b.([]any)
		return list && slices.EqualFunc(a, b, sameValue)
	case *schema.Record:
		b, record := b.(*schema.Record)
		return record && sameRecord(a, b)
	}
	return false
}

func sameRecord(a, b *schema.Record) bool {
	if !slices.Equal(a.Names(), b.Names()) {
		return false
	}
	for name, v := range a.All() {
		if other, _ := b.Lookup(name); !sameValue(schema.Bare(v.V), schema.Bare(other.V)) {
			return false
		}
	}
	return true
}

// stands reports whether of an object the same looks stand in two build states.
func stands(b, before *model.Build, o *Object) bool {
	id := o.Kind // of the vehicle and the site
	if o.item != nil {
		id = o.item.ID
	}
	now, was := b.Standing[id], before.Standing[id]
	if now == nil || was == nil {
		return now == was
	}
	return slices.EqualFunc(now.Members, was.Members, func(a, b looks.Facts) bool {
		if len(a) != len(b) {
			return false
		}
		for name, fact := range a {
			if !fact.Same(b[name]) {
				return false
			}
		}
		return true
	})
}

// holders is what holds a joint, link end or support, each as it was found.
func (it item) holders(name string) []*vehicle.Holder {
	list := it.mechanism().Holders(name)
	for _, h := range list {
		it.r.note(readOf(it.set.Of(h.Item), asHeld))
	}
	return list
}

// logged is the vehicle with all that the log says.
func (it item) logged() *vehicle.Vehicle {
	it.r.note(read{outside, theLog})
	return it.mechanism()
}
