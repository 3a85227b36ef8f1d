package vehicle

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/statics"
)

// Words for what rests on an item and what happens if it lets go, in the order from harmless
// to grave.
var (
	Carries = []string{"nothing", "part", "vehicle"}
	LetsGo  = []string{statics.Holds.String(), statics.Drops.String(), statics.Rocks.String(), statics.Falls.String()}
)

// Grave ranks what rests on an item and what happens if it lets go. What nobody knows may be the
// vehicle: nothing but to know that it is goes before it.
func Grave(carries, letsGo string) int {
	order := []string{"nothing", "part", "", "vehicle"}
	return 10*slices.Index(order, carries) + slices.Index(LetsGo, letsGo)
}

// Resting is what rests on an item in a step, and what happens if it lets go. Each has its
// own reason where it is not known.
type Resting struct {
	Carries, LetsGo, Goes string
	Load                  float64 // N, worst

	NoCarries, NoLetsGo, NoGoes, NoLoad *Unknown
}

// idle is an item that is not there in this step, or that nothing rests on.
var idle = Resting{Carries: "nothing", LetsGo: "holds"}

// unclear is an item of which nothing is known.
func unclear(why *Unknown) Resting {
	return Resting{NoCarries: why, NoLetsGo: why, NoGoes: why, NoLoad: why}
}

// Resting is what rests on a joint, link, support, restraint or something of HolderKinds.
func (s *Step) Resting(item *model.Item) Resting { return s.resting[item] }

// Pass is what passes at a joint, link end or support of a step with loads, by its name; on is
// false for what is not there in the step. A support presses in no recorded direction of the
// bolt: the whole across and along.
func (s *Step) Pass(name string) (p Pass, on bool) {
	if m := s.Vehicle.meets[name]; m != nil {
		p, on = s.passes[m]
		return p, on
	}
	i := s.SupportIndex(name)
	if i < 0 {
		return p, false
	}
	load := s.Reaction(i).Most
	return Pass{Across: load, Along: load, Whole: load}, true
}

// PulledOpen reports whether in some load case a joint of a step with loads is pulled apart up and
// down: the part with the higher centre of gravity is lifted off the other.
func (s *Step) PulledOpen(m *Meet) bool {
	height := func(part string) float64 {
		cg, _ := s.Vehicle.Build.Item(part).Vec("cg")
		return cg.Z
	}
	up := s.Along(m, r3.Vec{Z: 1}) // on the second part
	if height(m.Parts[0]) > height(m.Parts[1]) {
		return up.Most > alike*s.Weight()
	}
	return up.Least < -alike*s.Weight()
}

// rest works out what rests on every item, and what happens if it lets go. Where statics
// fails, nothing of the step is known.
func (s *Step) rest() {
	err := s.onMembers()
	if err == nil {
		err = s.onSupports()
	}
	if err != nil {
		s.Unsolved = NotComputed("%v", err)
		s.NoLoads = s.Unsolved
		_, _ = s.onMembers(), s.onSupports() // now without statics
	}
	for _, kind := range HolderKinds {
		for _, item := range s.Vehicle.Build.Of(kind) {
			s.resting[item] = s.onHolder(item)
		}
	}
	for _, item := range s.Vehicle.Build.Of("restraints") {
		s.resting[item] = s.onRestraint(item)
	}
	// A support of the step is there to be stood on, also where the others could do
	// without it. What holds it carries no more than that.
	for _, item := range s.Supports {
		if r := s.resting[item]; r.Carries == "nothing" {
			r.Carries = "part"
			s.resting[item] = r
		}
	}
}

// onMembers is for joints and links.
func (s *Step) onMembers() error {
	s.passes, s.resting = map[*Meet]Pass{}, map[*model.Item]Resting{}
	for _, m := range s.Vehicle.Meets {
		h := s.onHook(m)
		switch {
		case h != nil && len(h.missing) > 0:
			s.resting[m.Item] = unclear(NotRecorded(slices.Clone(h.missing)...))
		case h != nil:
			// What is inside a load on a hook may have to hold all of it.
			all := h.weight.Most
			s.passes[m] = Pass{Across: all, Along: all, Whole: all}
			s.resting[m.Item] = Resting{Carries: "part", LetsGo: "drops", Goes: "parts fall off what hangs on " + h.item.ID, Load: all}
		case s.Off(m) || m.Link && s.tiedUp(m.Item):
			s.resting[m.Item] = idle
		case s.NoLoads != nil:
			s.resting[m.Item] = unclear(s.NoLoads)
		case s.passesNothing(m):
			s.resting[m.Item] = idle
		case s.pushedThrough(m) > 0:
			pass, unknown := s.through(m)
			if unknown != nil {
				s.resting[m.Item] = unclear(unknown)
				continue
			}
			push := pass.Whole
			s.passes[m] = pass
			s.resting[m.Item] = Resting{Carries: "part", LetsGo: "drops", Goes: "a spring pushes apart what is tied up", Load: push}
		default:
			s.passes[m] = s.split(m)
			if _, done := s.resting[m.Item]; done {
				continue // the other end of the link
			}
			r, err := s.lose(s.passes[m].Whole, m.Item)
			if err != nil {
				return err
			}
			if p, pressed := s.setting.presses(m.Item); pressed && p.push > 0 {
				r.LetsGo, r.Goes = "drops", "its spring comes out, pressed with "+s.Vehicle.Units.Say(quantity.Of(p.push, quantity.Force, "N"))
				if s.Vehicle.standing(s.setting.less(p), s.Texts("supports"), s.stance.situation) == nil {
					r.Carries, r.LetsGo = "vehicle", "falls"
				} else if r.Carries == "nothing" {
					r.Carries = "part"
				}
			}
			s.resting[m.Item] = r
		}
	}
	for _, item := range s.Vehicle.Build.Of("links") {
		if len(s.Vehicle.Ends(item)) == 0 {
			s.resting[item] = s.onLoner(item)
		}
	}
	return s.together()
}

// lose takes items away and says who would miss them. A load above a small share of the
// weight counts as the vehicle's even where something else would take it over.
func (s *Step) lose(load float64, items ...*model.Item) (Resting, error) {
	out, err := s.letGo(items...)
	if err != nil {
		return Resting{}, err
	}
	r := Resting{Load: load, LetsGo: out.fate, Goes: out.goes, Carries: out.carries()}
	if load > s.Vehicle.policy.SmallLoad*s.Weight() {
		r.Carries = "vehicle"
		if times := s.leaves(items); r.LetsGo == "holds" && times > levered {
			r.LetsGo, r.Goes = "drops", fmt.Sprintf("what is left would have to hold with %.0f times as much, and gives way", times)
		}
	}
	return r, nil
}

// leaves is the most that another joint or link takes over of one link that goes, as a multiple; 0 of all else, and
// where equilibrium leaves nothing open of it.
func (s *Step) leaves(items []*model.Item) float64 {
	i, between := s.stance.assembly.links[items[0].ID]
	if len(items) > 1 || !between {
		return 0
	}
	if times := s.stance.assembly.model.Beside(i); !math.IsInf(times, 1) {
		return times
	}
	return 0
}

// end is what happens when something is taken away: one of LetsGo, and the parts that go
// in words.
type end struct{ fate, goes string }

// letGo takes joints, links and supports away, all at once.
func (s *Step) letGo(items ...*model.Item) (end, error) {
	var r statics.Removal
	for _, item := range items {
		switch item.Kind.Name {
		case "joints":
			for _, of := range s.Vehicle.freedWith(item) {
				if i, between := s.stance.assembly.joints[of.ID]; between {
					r.Joints = append(r.Joints, i)
				}
			}
		case "links":
			if i, between := s.stance.assembly.links[item.ID]; between {
				r.Links = append(r.Links, i)
			} else if i, on := s.stance.assembly.limitOn[item.ID]; on {
				r.Supports = append(r.Supports, len(s.stance.places)+i)
			}
		case "restraints":
			r.Supports = append(r.Supports, len(s.stance.places)+s.stance.assembly.limitOn[item.ID])
		default:
			i := s.SupportIndex(item.ID)
			if h := s.hungOn(i); h != nil {
				return end{"drops", fmt.Sprintf("parts of %s come loose: %s falls off its hook", s.Vehicle.Units.Say(quantity.Of(h.weight.Most/Gravity, quantity.Mass, "kg")), h.parts[0])}, nil
			}
			r.Supports = append(r.Supports, i)
		}
	}
	out, err := s.stance.step.LetGo(r)
	e := end{fate: out.Fate.String()}
	switch out.Fate {
	case statics.Drops:
		e.goes = fmt.Sprintf("%s: %s", out.Words, s.Vehicle.Units.Say(quantity.Of(out.Mass, quantity.Mass, "kg")))
	case statics.Rocks:
		e.goes = "the vehicle rocks: " + out.Words
	case statics.Falls:
		e.goes = "the vehicle falls: " + out.Words
	}
	return e, err
}

// carries is what rests on something that ends so.
func (e end) carries() string {
	switch e.fate {
	case "rocks", "falls":
		return "vehicle"
	case "drops":
		return "part"
	}
	return "nothing"
}

// together takes away, all at once, the members that carry nothing by themselves
// but are not known to be sound. Two doubtful members that stand in for each
// other would each seem to carry nothing.
func (s *Step) together() error {
	if s.NoLoads != nil {
		return nil
	}
	var doubtful []*model.Item
	for _, m := range s.Vehicle.Meets {
		sound := s.Vehicle.sound(m)
		if m.Link {
			sound = s.Vehicle.soundLink(m.Item)
		}
		if !s.Off(m) && !s.passesNothing(m) && !sound && s.resting[m.Item].Carries == "nothing" && !slices.Contains(doubtful, m.Item) {
			doubtful = append(doubtful, m.Item)
		}
	}
	if len(doubtful) < 2 {
		return nil
	}
	out, err := s.letGo(doubtful...)
	if err != nil || out.carries() == "nothing" {
		return err
	}
	for _, item := range doubtful {
		s.resting[item] = Resting{
			Load: s.resting[item].Load, Carries: out.carries(), LetsGo: out.fate,
			Goes: "together with others not shown to be sound, " + out.goes,
		}
	}
	return nil
}

// onSupports is for the supports. Where no loads are known, what the step stands on carries
// the vehicle all the same; without places each may have to take everything.
func (s *Step) onSupports() error {
	for _, item := range s.Vehicle.Build.Of("supports") {
		s.resting[item] = idle
	}
	for i, item := range s.Supports {
		if s.Solved() {
			r, err := s.lose(s.Reaction(i).Most, item)
			if err != nil {
				return err
			}
			s.resting[item] = r
			continue
		}
		r := unclear(s.NoLoads)
		r.Carries, r.NoCarries = "vehicle", nil
		if s.Vehicle.Checklist() {
			r.Load, r.NoLoad = s.mostOnOne(item)
		}
		s.resting[item] = r
	}
	return nil
}

// ofCorner is the largest share of the weight that comes on one of the two supports of an end, one on each
// side, where nobody drew them: by statics it bears at most what its side weighs, however all of them share. A
// side weighs half; a sixth more is for what sits to one side, and for ends of unlike width.
const ofCorner = 2.0 / 3

// mostOnOne is the most that a support of a checklist may bear, N: all of the vehicle, or of one that has
// another across from it, with something under the other end, its share of it.
func (s *Step) mostOnOne(support *model.Item) (newtons float64, unknown *Unknown) {
	newtons, unknown = s.WholeWeight()
	here := s.Vehicle.StandsAt(support)
	var across, beyond bool
	for _, other := range s.Supports {
		switch at := s.Vehicle.StandsAt(other); {
		case at.End == "" || OfKind("crane")(other):
			return newtons, unknown
		case at.End != here.End:
			beyond = true
		case other == support:
			across = across || at.Side == "" && Pieces(other) >= 2
		default:
			across = across || at.Side != here.Side || at.Side == ""
		}
	}
	if !across || !beyond {
		return newtons, unknown
	}
	return ofCorner * newtons, unknown
}

// onHolder is for something that holds joints, link ends or supports: what is worst among
// them, and what happens when all of them go at once. What goes in with a part that the step puts on
// is looked at once it is in.
func (s *Step) onHolder(item *model.Item) Resting {
	if s.goesIn(item) {
		return idle
	}
	names := item.Texts("holds")
	if len(names) == 0 {
		return s.onLoner(item)
	}
	var held []*model.Item
	worst := idle
	needsLoads := false
	for _, name := range names {
		m := s.Vehicle.meets[name]
		it := s.Vehicle.Build.Item(name)
		if ends := s.Vehicle.ends[name]; ends != nil {
			m = ends[0] // a spring in its link
		}
		switch {
		case m == nil && it.Kind.Name == "links":
			return s.onLoner(item) // a spring in a bar of a checklist
		case m == nil && s.SupportIndex(name) < 0:
			continue // a support that this step does not use
		case m == nil && !s.Solved():
			return unclear(s.NoLoads)
		case m == nil:
		case s.onHook(m) != nil:
			it = m.Item
		case s.Off(m):
			continue
		case s.NoLoads != nil:
			needsLoads = true
			continue
		case s.passesNothing(m):
			continue
		default:
			it = m.Item
		}
		held = append(held, it)
		worst = worse(worst, s.resting[it])
	}
	if needsLoads {
		return unclear(s.NoLoads)
	}
	if len(held) > 1 {
		r, err := s.lose(worst.Load, held...)
		if err != nil {
			return unclear(NotComputed("%v", err))
		}
		worst = worse(worst, r)
	}
	return worst
}

// worse joins two answers: the larger load, and the graver end.
func worse(a, b Resting) Resting {
	out := a
	if Grave(b.Carries, b.LetsGo) > Grave(a.Carries, a.LetsGo) {
		out = b
	}
	out.Load = max(a.Load, b.Load)
	return out
}

// onLoner is for what holds or joins nothing that the file names. A frame node, welded or bolted, carries
// the vehicle as soon as the table does not; a wheel on the floor does, and so does all
// that a checklist lists, which names no joints.
func (s *Step) onLoner(item *model.Item) Resting {
	node := item.Is(schema.OfFrame)
	switch {
	case s.tiedUp(item), s.offWith(item):
		return idle
	case node && s.onTable() && !s.rolls():
		return idle
	case node:
		return Resting{
			Carries: "vehicle", Goes: "the frame loses its shape",
			NoLetsGo: NotComputed("frame nodes are not in this computation"),
			NoLoad:   NotComputed("forces inside the frame are not computed"),
		}
	}
	joins := "holds"
	if item.Kind.Name == "links" {
		joins = "ends"
	}
	r := unclear(NotRecorded(item.Path() + "." + joins))
	if s.Vehicle.Checklist() || item.Kind.Name == "wheels" && len(s.On("wheel", item.ID)) > 0 {
		r.Carries, r.NoCarries = "vehicle", nil
	}
	return r
}

// offWith reports whether something of a checklist fastens a part that is off, with nothing that may bear on it.
func (s *Step) offWith(item *model.Item) bool {
	part, named := Lookup[string](item, "part")
	return named && s.setting.without(part) && !s.mayBear(part)
}

// rolls reports whether the move rolls: what lies on bearers is shaken then, and nothing keeps a frame in shape but
// its own nodes.
func (s *Step) rolls() bool {
	kind, _ := s.Move.Text("kind")
	return kind == "roll"
}

// onTable reports whether all that the vehicle rests on is its table or dolly.
func (s *Step) onTable() bool {
	table := OfKind("table", "dolly")
	return len(s.Supports) > 0 && !slices.ContainsFunc(s.Supports, func(item *model.Item) bool { return !table(item) })
}

// onRestraint is for a strap or block.
func (s *Step) onRestraint(item *model.Item) Resting {
	switch load, _, on, unknown := s.Limit(item); {
	case on && s.NoLoads != nil:
		return unclear(s.NoLoads)
	case unknown != nil:
		return unclear(unknown)
	case on:
		r, err := s.lose(load, item)
		if err != nil {
			return unclear(NotComputed("%v", err))
		}
		return r
	case !s.Uses(item):
		return idle
	}
	r := Resting{Carries: "part", LetsGo: "drops", Goes: "what it ties up drops"}
	t, unknown := s.Tying(item)
	r.Load, r.NoLoad = t.Load, unknown
	return r
}
