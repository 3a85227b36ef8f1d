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
// nothing changed that it hangs on (origins), and what a rule made of such facts stays as well. Only what
// the log says may differ between the two states, not the design: else nothing is kept.

// After makes the state keep of another what is the same in both: that one is of the same file and day, and
// was judged. What statics worked out is kept with it. It is called before any fact is asked for, and
// Settle when all are.
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
	return b.Log != nil && before.Log != nil && b.Source != [32]byte{} && b.Source == before.Source && b.Log.SameNotes(before.Log) &&
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
	if !planned || !sameStep(set.Now, was.Now) {
		set.changed.add(origin(read{outside, theStep}))
	}
}

// sameStep reports whether a step is what it was, and the one before it, of which it takes over what that
// gives up.
func sameStep(now, was *vehicle.Step) bool {
	before := max(now.Index-1, 0)
	return slices.EqualFunc(now.Move.Steps, was.Move.Steps, sameRecord) && now.Same(was) && now.Move.Step(before).Same(was.Move.Step(before))
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
	if now == was || now == nil || was == nil {
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
