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
	kept    *sync.Map // what was made of these
	sets    *sync.Map // of *Set, by stepKey
	before  *State    // of which is kept what is the same; nil where nothing is
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
			SidePush: size("side_push"), SidePushRoll: size("side_push_roll"), GainMost: size("gain_most"), SmallLoad: size("small_load"),
			CGWithin: size("cg_within"), LevelWithin: size("level_within"), Pull: size("pull_stop"), PullShare: size("pull_share"),
			Undercut: size("undercut"), LegShort: size("leg_short"), WeldShare: size("weld_share"),
		}),
	}
	s.Vehicle.Today = now.Day
	suspensions := sync.OnceValue(func() *travel.Suspensions { return travel.Find(s.Vehicle) })
	s.standing = sync.OnceValues(func() (*travel.Standing, *verdict.TravelTrouble) { return suspensions().Stand() })
	s.droops = sync.OnceValue(func() map[string]*travel.Droop { return suspensions().Droops() })
	s.toes = sync.OnceValue(func() map[string]verdict.ToeLink { return suspensions().Brackets(size("toe_change")) })
	s.fill(&Set{Policy: policy, Today: now.Day, Clock: now})
	return s
}

// Later gives the facts of the same build state on a later day, as if what holds for the day of
// a move alone, the floor, the people, what the vehicle stands on, had been looked at again then
// and found as it is now (model.Build.LookedAgain). The mechanism is the same.
func (s *State) Later(day quantity.Date) *State {
	l := *s
	l.before = nil
	l.fill(&Set{Policy: s.always.Policy, Today: day, Clock: looks.Moment{Day: day}, Units: s.always.Units, again: true})
	return &l
}

// fill makes the objects of the items, with the facts that are the same in every step.
func (s *State) fill(always *Set) {
	b := s.Vehicle.Build
	s.index, s.kept, s.sets = map[*model.Item]int{}, new(sync.Map), new(sync.Map)
	s.always, always.Items, always.state = always, map[string][]*Object{}, s
	for _, kind := range Kinds() {
		if kind.Single || kind.Name == "moves" || kind.Name == "steps" {
			continue
		}
		add := func(item *model.Item, record *schema.Record, apart []int) {
			o := s.object(kind, item.Path(), record)
			o.item, o.set, o.apart = item, s.always, apart
			s.always.Items[kind.Name] = append(s.always.Items[kind.Name], o)
		}
		for i, item := range b.Of(kind.Name) {
			s.index[item] = i
			add(item, item.Record, nil)
		}
		for _, item := range b.Of(kind.Name) {
			for _, one := range b.StandOut(item) {
				add(item, one.Record, one.Members)
			}
		}
	}
	s.always.Vehicle = s.object(KindOf("vehicle"), "vehicle", b.Vehicle)
	s.always.Vehicle.set = s.always
	s.always.Site = s.object(KindOf("site"), "site", b.Site)
	s.always.enroll()
}

// object is the object of an item of the build state.
func (s *State) object(kind *schema.Kind, path string, record *schema.Record) *Object {
	o := NewObject(kind, path, record)
	if s.always.again && o.layout.daily {
		found := o.Block("found")
		if on := found.layout.index["on"]; found.values[on] != nil {
			found.values[on] = s.always.Today
		}
	}
	return o
}

// Speak sets the measures in which texts say what is computed: metric unless it is called.
func (s *State) Speak(units quantity.System) { s.always.Units, s.Vehicle.Units = units, units }

// Step gives the facts of one step of a move.
func (s *State) Step(move *vehicle.Move, i int) *Set { return s.On(move.Step(i)) }

// On gives the facts of a step that is worked out.
func (s *State) On(now *vehicle.Step) *Set {
	set := &Set{
		Policy: s.always.Policy, Today: s.always.Today, Clock: s.always.Clock, Units: s.always.Units, again: s.always.again,
		Items: make(map[string][]*Object, len(s.always.Items)),
		Now:   now, state: s,
	}
	set.Vehicle, set.Site = s.always.Vehicle.in(set), s.always.Site.in(set)
	set.Move = s.object(KindOf("moves"), now.Move.Path(), now.Move.Record)
	set.Move.item, set.Move.set = now.Move.Item, set
	set.Step = NewObject(KindOf("steps"), "step", nil)
	set.Step.set = set
	for kind, list := range s.always.Items {
		items := make([]*Object, len(list))
		for i, o := range list {
			items[i] = o.in(set)
		}
		set.Items[kind] = items
	}
	set.enroll()
	s.follow(set)
	return set
}

// layouts keeps the layout of each kind.
var layouts sync.Map // of *layout, by *schema.Kind

func layoutOf(kind *schema.Kind) *layout {
	if l, known := layouts.Load(kind); known {
		return l.(*layout)
	}
	l := newLayout(kind.Fields, computed(kind.Name))
	if kind.Daily() {
		l.daily, l.blocks[l.index["found"]].daily = true, true
	}
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
