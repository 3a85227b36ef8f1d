package facts

import (
	"sync"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/travel"
	"setdown/rules/vehicle"
	"setdown/rules/verdict"
)

// State is one build state with its computed facts. It is safe for concurrent use.
type State struct {
	Vehicle *vehicle.Vehicle
	always  *Set // the facts that are the same in every step
	index   map[*model.Item]int
	// standing is how it stands on its wheels by its springs, worked out when first asked for.
	standing func() (*travel.Standing, *verdict.TravelTrouble)
	// droops are its suspensions with springs at full droop, by joint and link end.
	droops func() map[string]*travel.Droop
	// toes is what brackets that wait do to the toe, by weld.
	toes func() map[string]verdict.ToeLink
}

// New prepares a build state for a day, or for a time of one. The policy is a block of
// facts.Policy with all its values.
func New(b *model.Build, policy *Object, now looks.Moment) *State {
	size := func(name string) float64 {
		q, _ := policy.Quantity(name)
		return q.Value
	}
	s := &State{
		Vehicle: vehicle.New(b, vehicle.Policy{
			SidePush: size("side_push"), SidePushRoll: size("side_push_roll"), SmallLoad: size("small_load"),
			Pull: size("pull_stop"), PullShare: size("pull_share"),
		}),
		index: map[*model.Item]int{},
	}
	suspensions := sync.OnceValue(func() *travel.Suspensions { return travel.Find(s.Vehicle) })
	s.standing = sync.OnceValues(func() (*travel.Standing, *verdict.TravelTrouble) { return suspensions().Stand() })
	s.droops = sync.OnceValue(func() map[string]*travel.Droop { return suspensions().Droops() })
	s.toes = sync.OnceValue(func() map[string]verdict.ToeLink { return suspensions().Brackets(size("toe_change")) })
	s.always = &Set{Policy: policy, Today: now.Day, Clock: now, Items: map[string][]*Object{}, state: s}
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

// Speak sets the measures in which texts say what is computed: metric unless it is called.
func (s *State) Speak(units quantity.System) { s.always.Units, s.Vehicle.Units = units, units }

// Step gives the facts of one step of a move.
func (s *State) Step(move *vehicle.Move, i int) *Set {
	set := &Set{
		Policy: s.always.Policy, Today: s.always.Today, Clock: s.always.Clock, Units: s.always.Units,
		Items: make(map[string][]*Object, len(s.always.Items)),
		Now:   s.Vehicle.Step(move, i), state: s,
	}
	set.Vehicle, set.Site = s.always.Vehicle.in(set), s.always.Site.in(set)
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

// layouts keeps the layout of each kind.
var layouts sync.Map // of *layout, by *schema.Kind

func layoutOf(kind *schema.Kind) *layout {
	if l, known := layouts.Load(kind); known {
		return l.(*layout)
	}
	l := newLayout(kind.Fields, computed(kind.Name))
	for _, path := range paths {
		l.slots = append(l.slots, l.find(path))
	}
	kept, _ := layouts.LoadOrStore(kind, l)
	return kept.(*layout)
}

// NewObject returns the object of a recorded item that stands alone: its computed facts are
// those that it is given. The record may be nil.
func NewObject(kind *schema.Kind, path string, record *schema.Record) *Object {
	o := newObject(layoutOf(kind), path, record)
	o.Kind = kind.Name
	return o
}
