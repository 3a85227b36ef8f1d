// Package derive turns the build state into the facts that the rules read: the
// recorded fields of every item, and beside them what follows by computing, such
// as who carries what in a step, how hard it is loaded and what it would bear.
//
// Every computed fact is either known or says what is missing: the fields of the
// build file that nobody recorded, or the reason why a formula does not apply.
// The package judges nothing; the rules do.
package derive

import (
	"slices"
	"sync"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/facts"
	"setdown/rules/verdict"
)

// Deriver computes the facts of one build state. It is safe for concurrent use.
type Deriver struct {
	build   *model.Build
	policy  *facts.Object
	today   quantity.Date
	meets   []*meet                  // joints and link ends, in file order
	byName  map[string]*meet         // by joint id or "link/end"
	holders map[string][]*model.Item // what holds a joint, a link end or a support, by its name
	twins   map[string]*model.Item
	index   map[*model.Item]int        // the place of an item among those of its kind
	always  map[string][]*facts.Object // the facts that hold for every step

	mu     sync.Mutex
	models map[string]*assembly // by which parts are on and which are tied
}

// Step is one step of a move: what the rules read, and what reports show.
type Step struct {
	Facts     *facts.Set
	Report    verdict.Step
	Strengths map[string][]verdict.Strength // by item id, tightest first
}

// New prepares a build state. The policy is a block of facts.Policy.
func New(build *model.Build, policy *facts.Object, today quantity.Date) *Deriver {
	d := &Deriver{
		build: build, policy: policy, today: today,
		byName:  map[string]*meet{},
		holders: map[string][]*model.Item{},
		twins:   twins(build),
		models:  map[string]*assembly{},
		index:   map[*model.Item]int{},
	}
	d.findMeets()
	d.findHolders()
	d.always = d.objects()
	d.fit(d.always)
	return d
}

// holderKinds are the kinds that hold joints, link ends and supports.
var holderKinds = []string{"fasteners", "ball_joints", "spacers", "welds", "wheels", "springs"}

// Carrying are the kinds of item for which a step says whether they carry.
var Carrying = append([]string{"joints", "links"}, holderKinds...)

func (d *Deriver) findHolders() {
	for _, kind := range holderKinds {
		for _, item := range d.build.Of(kind) {
			for _, name := range item.Texts("holds") {
				d.holders[name] = append(d.holders[name], item)
			}
		}
	}
}

// twins pairs the items that a mirror makes from one another, both ways.
func twins(b *model.Build) map[string]*model.Item {
	pairs := map[string]*model.Item{}
	for _, kind := range schema.Kinds() {
		for _, item := range b.Of(kind.Name) {
			if item.MirroredFrom == "" {
				continue
			}
			if pattern := b.Item(item.MirroredFrom); pattern != nil {
				pairs[item.ID], pairs[pattern.ID] = pattern, item
			}
		}
	}
	return pairs
}

// number reads a policy value that has no dimension. The engine refuses a
// policy with a value missing, so it is always there.
func (d *Deriver) number(name string) float64 {
	q, _ := d.policy.Quantity(name)
	return q.Value
}

// fresh returns the facts that hold for every step, ready to take those of one.
func (d *Deriver) fresh() map[string][]*facts.Object {
	all := map[string][]*facts.Object{}
	for kind, list := range d.always {
		for _, o := range list {
			all[kind] = append(all[kind], o.Clone())
		}
	}
	return all
}

// objects makes the facts that hold for every step: what is recorded, its age
// and the place it belongs to.
func (d *Deriver) objects() map[string][]*facts.Object {
	all := map[string][]*facts.Object{}
	mass := 0.0
	for _, p := range d.build.Of("parts") {
		m, _ := p.Quantity("mass")
		mass += m.Value
	}
	for _, kind := range facts.Kinds() {
		if kind.Single || kind.Name == "moves" || kind.Name == "steps" {
			continue
		}
		for i, item := range d.build.Of(kind.Name) {
			d.index[item] = i
			o := facts.NewObject(kind, item.Path(), item.Record)
			o.Derive("id", facts.Known(item.ID))
			o.Derive("at_place", facts.Known(d.findPlace(item)))
			o.Derive("age", d.age(item))
			o.Derive("disturbed", facts.Known(recorded(item, "found.disturbed")))
			o.Derive("gone", facts.Known(false))
			if kind.Name == "parts" {
				o.Derive("mass_exact", facts.Known(massExact(item, mass)))
			}
			all[kind.Name] = append(all[kind.Name], o)
		}
	}
	return all
}

// massExact reports whether the mass of a part that matters beside all mass, kg, is written
// without ±, as if it were exact.
func massExact(part *model.Item, all float64) bool {
	m, ok := part.Quantity("mass")
	return ok && m.Tol == 0 && m.Value > all/20
}

// recorded reports whether somebody wrote down that an event happened. Events
// are written when they happen, so silence means that none did.
func recorded(item *model.Item, path string) bool {
	if _, ok := item.Record.Record("found"); !ok {
		return false
	}
	happened, _ := item.Bool(path)
	return happened
}

// seenNot reports whether somebody wrote down that a good thing is not so. Like an
// event it counts from the day it is written; silence says nothing.
func seenNot(item *model.Item, path string) bool {
	if _, ok := item.Record.Record("found"); !ok {
		return false
	}
	good, looked := item.Bool(path)
	return looked && !good
}

// age is how long ago an item was seen. A day in the future is no age.
func (d *Deriver) age(item *model.Item) facts.Fact {
	path := "found.on"
	if item.Kind.Field("found") == nil {
		return facts.NotComputed("nothing is looked at on it")
	}
	if _, ok := item.Record.Record("found"); !ok {
		return facts.NotRecorded(item.Path() + "." + path)
	}
	on, ok := item.Date(path)
	if !ok {
		return facts.NotRecorded(item.Path() + "." + path)
	}
	days := on.DaysUntil(d.today)
	if days < 0 {
		return facts.NotComputed("%s.%s is %s, after today (%s)", item.Path(), path, on, d.today)
	}
	return facts.Known(quantity.Of(float64(days)*86400, quantity.Duration, "days"))
}

// Place is the place of an item that stands in the file.
func (d *Deriver) Place(item *model.Item) string {
	text, _ := d.always[item.Kind.Name][d.index[item]].Get("at_place")
	return text.(string)
}

// findPlace finds the place of an item: as written, else the place of the part it
// belongs to, else the place whose name its id begins with.
func (d *Deriver) findPlace(item *model.Item) string {
	if item.Kind.Field("place") != nil {
		if p, ok := item.Text("place"); ok {
			return p
		}
	}
	for _, part := range d.partsOf(item) {
		if p, ok := part.Text("place"); ok {
			return p
		}
	}
	return ""
}

// partsOf lists the parts an item touches, those that are not the part the
// vehicle is built on first: a bracket of the front left corner belongs there,
// not to the frame.
func (d *Deriver) partsOf(item *model.Item) []*model.Item {
	var names []string
	switch item.Kind.Name {
	case "joints":
		names = item.Texts("between")
	case "links":
		for _, m := range d.meets {
			if m.item == item {
				names = append(names, m.parts[:]...)
			}
		}
	case "supports":
		if under, ok := item.Text("under"); ok {
			names = append(names, under)
		}
	case "wheels", "brakes":
		if on, ok := item.Text("on"); ok {
			names = append(names, on)
		}
	case "restraints":
		names = item.Texts("ties")
	}
	if slices.Contains(holderKinds, item.Kind.Name) {
		for _, held := range item.Texts("holds") {
			if m := d.byName[held]; m != nil {
				names = append(names, m.parts[:]...)
			} else if s := d.build.Item(held); s != nil {
				if under, ok := s.Text("under"); ok {
					names = append(names, under)
				}
			}
		}
	}
	base := d.base()
	slices.SortStableFunc(names, func(a, b string) int {
		switch {
		case a == base && b != base:
			return 1
		case b == base && a != base:
			return -1
		}
		return 0
	})
	var parts []*model.Item
	for _, n := range names {
		if p := d.build.Item(n); p != nil {
			parts = append(parts, p)
		}
	}
	return parts
}

// base names the part the vehicle is built on: as written, else the heaviest of
// its frame, else the heaviest that is no arm, upright or wheel.
func (d *Deriver) base() string {
	if named, ok := d.build.Vehicle.Text("built_on"); ok {
		return named
	}
	best, rank, most := "", -1, -1.0
	for _, p := range d.build.Of("parts") {
		m, _ := p.Quantity("mass")
		r := 1
		switch role, _ := p.Text("role"); role {
		case "frame":
			r = 2
		case "arm", "upright", "wheel":
			r = 0
		}
		if r > rank || r == rank && m.Value > most {
			best, rank, most = p.ID, r, m.Value
		}
	}
	return best
}
