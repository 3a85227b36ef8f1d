package derive

import (
	"fmt"
	"math"
	"slices"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/statics"
	"setdown/rules/facts"
	"setdown/rules/verdict"
)

// passing is what one joint, link or support, or what holds it, passes in a step
// and what happens if it lets go.
type passing struct {
	load    float64 // N, worst
	fate    statics.Fate
	goes    string
	carries string
}

// floor is one step being worked out.
type floor struct {
	*Deriver
	*stand
	setting setting
	all     map[string][]*facts.Object
	none    *facts.Fact // why there are no loads; nil when there are
	joints  map[string]passing
	links   map[string]passing
	rests   map[string]passing           // supports
	split   map[*meet]passes             // what pass has worked out
	uses    map[*facts.Object]facts.Fact // the tightest utilisation so far
	out     *Step
}

// object finds the facts of an item.
func (f *floor) object(item *model.Item) *facts.Object {
	return f.all[item.Kind.Name][f.index[item]]
}

// passAll asks of every joint, link and support what it passes and what happens
// if it lets go.
func (f *floor) passAll() error {
	f.joints, f.links, f.rests = map[string]passing{}, map[string]passing{}, map[string]passing{}
	if f.none != nil && !f.solved() {
		return nil
	}
	for i, item := range f.items {
		load := f.step.Reaction(i).Most
		p, err := f.lose(statics.Removal{Supports: []int{i}}, load)
		if err != nil {
			return err
		}
		f.rests[item.ID] = p
	}
	if f.rigid {
		return nil
	}
	for id, i := range f.assembly.joints {
		p, err := f.lose(statics.Removal{Joints: []int{i}}, f.step.Joint(i).Worst)
		if err != nil {
			return err
		}
		f.joints[id] = p
	}
	for id, i := range f.assembly.links {
		r := f.step.Link(i)
		p, err := f.lose(statics.Removal{Links: []int{i}}, max(r.Most, -r.Least))
		if err != nil {
			return err
		}
		f.links[id] = p
	}
	return f.together()
}

// lose takes something away and says who would miss it. A load above a small
// share of the weight counts as the vehicle's even where something else would take
// it over.
func (f *floor) lose(r statics.Removal, load float64) (passing, error) {
	out, err := f.step.LetGo(r)
	if err != nil {
		return passing{}, err
	}
	p := passing{load: load, fate: out.Fate, goes: goes(out), carries: "nothing"}
	switch {
	case out.Fate >= statics.Rocks || load > f.number("small_load")*f.step.Weight():
		p.carries = "vehicle"
	case out.Fate == statics.Drops:
		p.carries = "part"
	}
	return p, nil
}

func goes(o statics.Outcome) string {
	switch o.Fate {
	case statics.Drops:
		return fmt.Sprintf("%s kg drop: %s", quantity.Format(math.Round(o.Mass)), o.Words)
	case statics.Rocks:
		return "the vehicle rocks: " + o.Words
	case statics.Falls:
		return "the vehicle falls: " + o.Words
	}
	return ""
}

// together takes away, all at once, the members that carry nothing by themselves
// but are not known to be sound. Two doubtful members that stand in for each
// other would each seem to carry nothing.
func (f *floor) together() error {
	var r statics.Removal
	var names []string
	for _, item := range f.build.Of("joints") {
		i, on := f.assembly.joints[item.ID]
		if on && f.joints[item.ID].carries == "nothing" && !f.sound(item.ID) {
			r.Joints = append(r.Joints, i)
			names = append(names, item.ID)
		}
	}
	for _, item := range f.build.Of("links") {
		i, on := f.assembly.links[item.ID]
		if on && f.links[item.ID].carries == "nothing" && !f.soundLink(item) {
			r.Links = append(r.Links, i)
			names = append(names, item.ID)
		}
	}
	if len(names) < 2 {
		return nil
	}
	out, err := f.step.LetGo(r)
	if err != nil || out.Fate == statics.Holds {
		return err
	}
	carries := "part"
	if out.Fate >= statics.Rocks {
		carries = "vehicle"
	}
	for _, table := range []map[string]passing{f.joints, f.links} {
		for id, p := range table {
			if slices.Contains(names, id) {
				p.fate, p.carries = out.Fate, carries
				p.goes = "together with others that are not shown to be sound, " + goes(out)
				table[id] = p
			}
		}
	}
	return nil
}

// sound reports whether everything that holds a joint or link end is known to be
// there and made.
func (d *Deriver) sound(name string) bool {
	holders := d.holders[name]
	return len(holders) > 0 && !slices.ContainsFunc(holders, func(h *model.Item) bool { return !holds(h) })
}

// holds reports whether a bolt, nut or weld is known to be there, all of it, and done
// up or made in full.
func holds(h *model.Item) bool {
	switch h.Kind.Name {
	case "welds":
		made, _ := h.Text("found.made")
		return made == "full" && tooSmall(h) == "" && !recorded(h, "found.crack")
	case "spacers":
		return true // a missing spacer leaves the joint in its place, only loose
	case "wheels":
		missing := countMissing(h, "nuts", "found.nuts")
		return missing.Unknown == nil && missing.V.(int64) == 0 && doneUp(h)
	case "ball_joints":
		fitted, _ := h.Bool("found.fitted")
		return fitted && doneUp(h)
	}
	short, unknown := shortBy(h)
	return unknown == nil && short == 0 && doneUp(h)
}

// doneUp reports whether somebody found a bolt or nut drawn up, if only snug as a
// bonded bush wants it, or wrote down its torque.
func doneUp(h *model.Item) bool {
	word, said := look[string](h, "found.tightness")
	_, torqued := look[quantity.Quantity](h, "found.torqued")
	return word == "snug" || word == "torqued" || !said && torqued
}

func (d *Deriver) soundLink(item *model.Item) bool {
	if fitted, known := item.Bool("found.fitted"); !known || !fitted {
		return false
	}
	for _, e := range d.ends(item) {
		if !d.sound(e.name) {
			return false
		}
	}
	return true
}

// needed is how many of a fastener there are to be; one unless the file says so.
func needed(item *model.Item) int64 {
	if n, ok := look[int64](item, "needed"); ok {
		return n
	}
	return 1
}

// carry writes the facts of carrying into an object.
func (f *floor) carry(o *facts.Object, p passing) {
	o.Derive("carries", facts.Known(p.carries))
	o.Derive("carrying", facts.Known(p.carries != "nothing"))
	o.Derive("lets_go", facts.Known(p.fate.String()))
	o.Derive("goes", facts.Known(p.goes))
	o.Derive("load", known(force(p.load)))
}

// carryUnknown says why it is not known what an item carries.
func carryUnknown(o *facts.Object, why facts.Fact) {
	for _, name := range []string{"carries", "carrying", "lets_go", "goes", "load"} {
		o.Derive(name, why)
	}
}

// idle is an item that is not there in this step, or that nothing rests on.
var idle = passing{carries: "nothing"}

// carryAll writes what every item carries.
func (f *floor) carryAll() {
	for _, item := range f.build.Of("joints") {
		o := f.object(item)
		switch _, on := f.assembly.joints[item.ID]; {
		case f.setting.isOff(f.byName[item.ID]):
			o.Derive("gone", facts.Known(true))
			f.carry(o, idle)
		case f.none != nil:
			carryUnknown(o, *f.none)
		case on:
			f.carry(o, f.joints[item.ID])
		}
	}
	for _, item := range f.build.Of("links") {
		o := f.object(item)
		switch _, on := f.assembly.links[item.ID]; {
		case f.setting.isOff(f.ends(item)[0]):
			o.Derive("gone", facts.Known(true))
			f.carry(o, idle)
		case f.none != nil:
			carryUnknown(o, *f.none)
		case on:
			f.carry(o, f.links[item.ID])
		}
	}
	for _, kind := range holderKinds {
		for _, item := range f.build.Of(kind) {
			f.carryHolder(item, f.object(item))
		}
	}
	for _, item := range f.build.Of("supports") {
		f.carrySupport(item, f.object(item))
	}
	for _, item := range f.build.Of("restraints") {
		f.carryRestraint(item, f.object(item))
	}
}

// carryHolder finds what rests on something that holds joints, link ends or
// supports: what is worst among them, and what happens when all of them go at once.
func (f *floor) carryHolder(item *model.Item, o *facts.Object) {
	names := item.Texts("holds")
	if len(names) == 0 {
		f.carryLoner(item, o)
		return
	}
	var r statics.Removal
	worst := idle
	needsLoads := false
	for _, name := range names {
		var p passing
		switch m := f.byName[name]; {
		case m == nil:
			i := slices.IndexFunc(f.items, func(s *model.Item) bool { return s.ID == name })
			if i < 0 {
				continue // a support that this step does not use
			}
			if !f.solved() {
				carryUnknown(o, *f.none)
				return
			}
			r.Supports = append(r.Supports, i)
			p = f.rests[name]
		case f.setting.isOff(m):
			continue
		case f.none != nil:
			needsLoads = true
			continue
		case m.link:
			r.Links = append(r.Links, f.assembly.links[m.item.ID])
			p = f.links[m.item.ID]
		default:
			r.Joints = append(r.Joints, f.assembly.joints[name])
			p = f.joints[name]
		}
		worst = graver(worst, p)
	}
	if needsLoads {
		carryUnknown(o, *f.none)
		return
	}
	if len(r.Joints)+len(r.Links)+len(r.Supports) > 1 {
		p, err := f.lose(r, worst.load)
		if err != nil {
			carryUnknown(o, facts.NotComputed("%v", err))
			return
		}
		worst = graver(worst, p)
	}
	f.carry(o, worst)
}

// graver joins two answers: the larger load, and the graver end.
func graver(a, b passing) passing {
	rank := func(p passing) int { return slices.Index(facts.Carries, p.carries)*10 + int(p.fate) }
	out := a
	if rank(b) > rank(a) {
		out = b
	}
	out.load = max(a.load, b.load)
	return out
}

// carryLoner is for what holds nothing that the file names. A frame node carries
// the vehicle as soon as the table does not; a wheel on the floor does.
func (f *floor) carryLoner(item *model.Item, o *facts.Object) {
	role, _ := look[string](item, "role")
	switch {
	case item.Kind.Name == "welds" && role == "frame node" && f.onTable():
		f.carry(o, idle)
	case item.Kind.Name == "welds" && role == "frame node":
		o.Derive("carries", facts.Known("vehicle"))
		o.Derive("carrying", facts.Known(true))
		o.Derive("lets_go", facts.NotComputed("a node of the frame is no joint of this file"))
		o.Derive("goes", facts.Known("the frame holds the vehicle's shape, and no longer does"))
		o.Derive("load", facts.NotComputed("forces inside the frame are not computed"))
	case item.Kind.Name == "wheels" && f.wheelOnFloor(item):
		carryUnknown(o, facts.NotRecorded(item.Path()+".holds"))
		o.Derive("carries", facts.Known("vehicle"))
		o.Derive("carrying", facts.Known(true))
	default:
		carryUnknown(o, facts.NotRecorded(item.Path()+".holds"))
	}
}

// onTable reports whether all that the vehicle rests on is its table or dolly.
func (f *floor) onTable() bool {
	for _, s := range f.items {
		if kind, _ := s.Text("kind"); kind != "table" && kind != "dolly" {
			return false
		}
	}
	return len(f.items) > 0
}

func (f *floor) wheelOnFloor(wheel *model.Item) bool {
	return slices.ContainsFunc(f.items, func(s *model.Item) bool {
		w, _ := s.Text("wheel")
		return w == wheel.ID
	})
}

func (f *floor) carrySupport(item *model.Item, o *facts.Object) {
	i := slices.Index(f.items, item)
	o.Derive("used", facts.Known(i >= 0))
	if i < 0 {
		f.carry(o, idle)
		o.Derive("reaction", known(force(0)))
		o.Derive("share", known(number(0)))
		return
	}
	if f.solved() {
		p := f.rests[item.ID]
		// A support of the step is there to be stood on, also where the others
		// could do without it.
		if p.carries == "nothing" {
			p.carries = "part"
		}
		f.carry(o, p)
		o.Derive("reaction", known(force(f.step.Reaction(i).Nominal)))
		o.Derive("share", known(number(f.step.Reaction(i).Nominal/f.step.Weight())))
		return
	}
	carryUnknown(o, *f.none)
	o.Derive("carries", facts.Known("vehicle"))
	o.Derive("carrying", facts.Known(true))
	o.Derive("reaction", *f.none)
	o.Derive("share", *f.none)
	if all, missing := f.wholeWeight(); f.checklist() && len(missing) == 0 {
		// Without places each support may have to take everything.
		o.Derive("load", known(force(all)))
	} else if f.checklist() {
		o.Derive("load", facts.NotRecorded(missing...))
	}
}

// wholeWeight is the weight of all parts on the vehicle with the upper end of
// their ±, or the masses that are missing.
func (f *floor) wholeWeight() (newtons float64, missing []string) {
	for _, p := range f.parts {
		m, ok := p.Quantity("mass")
		if !ok {
			missing = append(missing, p.Path()+".mass")
		}
		newtons += (m.Value + m.Tol) * statics.Gravity
	}
	if len(f.parts) == 0 {
		missing = append(missing, "parts")
	}
	return newtons, missing
}

func (d *Deriver) checklist() bool {
	yes, _ := d.build.Vehicle.Bool("checklist")
	return yes
}

func (f *floor) carryRestraint(item *model.Item, o *facts.Object) {
	i := slices.IndexFunc(f.setting.ties, func(t tie) bool { return t.item == item })
	o.Derive("used", facts.Known(i >= 0))
	if i < 0 {
		f.carry(o, idle)
		return
	}
	load, unknown := f.hangsOn(f.setting.ties[i], nil)
	f.carry(o, passing{load: load, carries: "part", fate: statics.Drops, goes: "what it ties up drops"})
	if unknown != nil {
		f.unknownStrength(o, *unknown, "load")
		return
	}
	rated, ok := item.Quantity("rated")
	if !ok {
		o.Derive("strength", facts.NotRecorded(item.Path()+".rated"))
		o.Derive("utilisation", facts.NotRecorded(item.Path()+".rated"))
		return
	}
	f.strength(item, o, verdict.Strength{
		Check: "rated load of the strap or block", Load: newtons(load), Factor: f.number("design_factor"), Strength: newtons(rated.Value),
		Method: "what it ties and what hangs on that against its label", Source: "the maker's label",
		Assumptions: []string{"it carries all of it alone and pulls straight"},
	})
}

// hangsOn is the most that a restraint may have to hold, N: the weight of the parts that
// it ties, what every joint and link of theirs passes on from parts that it does not, and
// what is tied to them in turn. above are the restraints that this one hangs on.
func (f *floor) hangsOn(t tie, above []*model.Item) (float64, *facts.Fact) {
	if slices.Contains(above, t.item) {
		none := facts.NotComputed("%s hangs on itself, over what it ties", t.item.ID)
		return 0, &none
	}
	load, missing := 0.0, []string(nil)
	for _, id := range t.parts {
		m, ok := f.build.Item(id).Quantity("mass")
		if !ok {
			missing = append(missing, "parts."+id+".mass")
		}
		load += (m.Value + m.Tol) * statics.Gravity
	}
	if len(missing) > 0 {
		none := facts.NotRecorded(missing...)
		return 0, &none
	}
	tied := func(m *meet) bool {
		return slices.Contains(t.parts, m.parts[0]) || slices.Contains(t.parts, m.parts[1])
	}
	for _, spring := range f.build.Of("springs") {
		for _, name := range spring.Texts("holds") {
			in, known := spring.Bool("found.fitted")
			if m := f.byName[name]; m != nil && tied(m) && (in || !known) {
				none := facts.NotComputed("%s pushes on what it ties, and the force of a spring is not computed", spring.ID)
				return 0, &none
			}
		}
	}
	for _, m := range f.meets {
		switch inside := f.assembly.body[m.parts[0]] == f.assembly.body[m.parts[1]]; {
		case f.setting.isOff(m) || !tied(m) || inside:
		case f.none != nil:
			return 0, f.none
		case m.link:
			// Both its ends are meets; the one on the tied part passes its force.
			if slices.Contains(t.parts, m.parts[0]) {
				r := f.step.Link(f.assembly.links[m.item.ID])
				load += max(r.Most, -r.Least)
			}
		default:
			load += f.step.Joint(f.assembly.joints[m.name]).Worst
		}
	}
	for _, below := range f.setting.ties {
		if !slices.Contains(t.parts, below.to) {
			continue
		}
		more, unknown := f.hangsOn(below, append(slices.Clone(above), t.item))
		if unknown != nil {
			return 0, unknown
		}
		load += more
	}
	return load, nil
}

func newtons(v float64) verdict.Figure { return verdict.Figure{Value: v, Unit: "N"} }
