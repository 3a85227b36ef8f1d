package facts

import (
	"setdown/model"
	"setdown/model/quantity"
	"setdown/rules/vehicle"
)

// State is one build state with its computed facts. It is safe for concurrent use.
type State struct {
	Vehicle *vehicle.Vehicle
	always  *Set // the facts that are the same in every step
	index   map[*model.Item]int
}

// Set is what the rules may read in one step of one move.
type Set struct {
	Move, Step, Vehicle, Site, Policy *Object
	Items                             map[string][]*Object // by kind, in file order
	Today                             quantity.Date
	// Now is the step as a mechanism; nil in a set that no build state stands behind.
	Now   *vehicle.Step
	state *State
}

// New prepares a build state. The policy is a block of facts.Policy with all its values.
func New(b *model.Build, policy *Object, today quantity.Date) *State {
	share := func(name string) float64 {
		q, _ := policy.Quantity(name)
		return q.Value
	}
	s := &State{
		Vehicle: vehicle.New(b, vehicle.Policy{SidePush: share("side_push"), SidePushRoll: share("side_push_roll"), SmallLoad: share("small_load")}),
		index:   map[*model.Item]int{},
	}
	s.always = &Set{Policy: policy, Today: today, Items: map[string][]*Object{}, state: s}
	for _, kind := range Kinds() {
		if kind.Single || kind.Name == "moves" || kind.Name == "steps" {
			continue
		}
		for i, item := range b.Of(kind.Name) {
			s.index[item] = i
			o := NewObject(kind, item.Path(), item.Record)
			o.item, o.set = item, s.always
			s.always.Items[kind.Name] = append(s.always.Items[kind.Name], o)
		}
	}
	s.always.Vehicle = NewObject(KindOf("vehicle"), "vehicle", b.Vehicle)
	s.always.Vehicle.set = s.always
	s.always.Site = NewObject(KindOf("site"), "site", b.Site)
	return s
}

// Step gives the facts of one step of a move.
func (s *State) Step(move *vehicle.Move, i int) *Set {
	set := &Set{
		Site: s.always.Site, Policy: s.always.Policy, Today: s.always.Today,
		Items: make(map[string][]*Object, len(s.always.Items)),
		Now:   s.Vehicle.Step(move, i), state: s,
	}
	set.Vehicle = s.always.Vehicle.in(set)
	set.Move = NewObject(KindOf("moves"), move.Path(), move.Record)
	set.Move.item, set.Move.set = move.Item, set
	set.Step = NewObject(KindOf("steps"), "step", nil)
	set.Step.set = set
	for kind, list := range s.always.Items {
		items := make([]*Object, len(list))
		for i, o := range list {
			items[i] = o.in(set)
		}
		set.Items[kind] = items
	}
	return set
}

// Of finds the facts of an item.
func (s *Set) Of(item *model.Item) *Object {
	return s.Items[item.Kind.Name][s.state.index[item]]
}
