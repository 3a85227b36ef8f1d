package derive

import (
	"math"
	"slices"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/statics"
	"setdown/rules/facts"
)

// supportFacts derives what the rules ask of supports beyond their load.
func (f *floor) supportFacts() {
	for _, item := range f.build.Of("supports") {
		o := f.object(item)
		o.Derive("on_tacked", f.onTacked(item))
		o.Derive("unlocated_by", facts.Known(f.unlocatedBy(item)))
		o.Derive("height_difference", f.heightDifference(item))
	}
	for _, item := range f.build.Of("wheels") {
		f.object(item).Derive("on_floor", f.orNameless("wheel", f.wheelOnFloor(item)))
	}
}

// onTacked reports whether a weld that holds what the support bears on is not
// made full.
func (f *floor) onTacked(item *model.Item) facts.Fact {
	for _, h := range f.holders[item.ID] {
		if h.Kind.Name != "welds" {
			continue
		}
		made, known := h.Text("found.made")
		switch {
		case !known:
			return facts.NotRecorded(h.Path() + ".found.made")
		case made != "full":
			return facts.Known(true)
		}
	}
	return facts.Known(false)
}

// unlocatedBy names what leaves the part under a support free to move: the first
// link, or the first bolt, nut or weld of a joint or link of the part, that is not
// shown to be fitted, tight and fully welded; "nothing" when there is none. A part
// of the frame needs nothing to locate it.
func (f *floor) unlocatedBy(item *model.Item) string {
	under, ok := item.Text("under")
	if !ok || under == f.base() {
		return "nothing"
	}
	for _, m := range f.meets {
		if f.setting.isOff(m) || !slices.Contains(m.parts[:], under) {
			continue
		}
		ends := []*meet{m}
		if m.link {
			if fitted, known := m.item.Bool("found.fitted"); !known || !fitted {
				return m.item.ID
			}
			ends = f.ends(m.item)
		}
		for _, e := range ends {
			if id := f.unsound(e); id != "" {
				return id
			}
		}
	}
	return "nothing"
}

// unsound names what holds a joint or link end and is not shown to do so; the
// joint itself when nothing holds it.
func (f *floor) unsound(m *meet) string {
	for _, h := range f.holders[m.name] {
		if !holds(h) {
			return h.ID
		}
		if h.Kind.Name != "fasteners" {
			continue
		}
		if word, _ := look[string](h, "found.tightness"); word == "snug" {
			return h.ID
		}
	}
	if len(f.holders[m.name]) == 0 {
		return m.item.ID
	}
	return ""
}

// sameEnd is how far apart along the vehicle two supports of one end may be, m.
const sameEnd = 0.3

// heightDifference compares the set height of a support with the others at its
// end of the vehicle.
func (f *floor) heightDifference(item *model.Item) facts.Fact {
	h, ok := item.Quantity("height")
	if !ok {
		return facts.NotRecorded(item.Path() + ".height")
	}
	at, placed := item.Vec("at")
	worst := 0.0
	for _, other := range f.items {
		if other == item {
			continue
		}
		there, ok := other.Vec("at")
		if !placed || !ok || math.Abs(there.X-at.X) > sameEnd {
			continue
		}
		o, ok := other.Quantity("height")
		if !ok {
			return facts.NotRecorded(other.Path() + ".height")
		}
		worst = max(worst, math.Abs(o.Value-h.Value))
	}
	return known(length(worst))
}

// gear derives the facts of hoists, dollies and cranes.
func (f *floor) gear(records []*schema.Record, i int) {
	for _, item := range f.build.Of("hoists") {
		f.hoist(item, f.object(item))
	}
	for _, item := range f.build.Of("dollies") {
		f.dolly(item, f.object(item), records, i)
	}
	for _, item := range f.build.Of("cranes") {
		f.crane(item, f.object(item), records, i)
	}
}

// on lists the supports of the step that name an item in one of their fields.
func (f *floor) on(field, id string) []int {
	var list []int
	for i, s := range f.items {
		if name, ok := s.Text(field); ok && name == id {
			list = append(list, i)
		}
	}
	return list
}

// orNameless is whether a wheel, hoist or dolly is used. While a support of its
// kind does not say which one it is, it may be any that no other names.
func (f *floor) orNameless(field string, used bool) facts.Fact {
	kind := map[string]string{"wheel": "wheel", "hoist": "hoist pad", "dolly": "dolly"}[field]
	if used {
		return facts.Known(true)
	}
	var missing []string
	for _, s := range f.items {
		if k, _ := s.Text("kind"); k != kind {
			continue
		}
		if _, named := s.Text(field); !named {
			missing = append(missing, s.Path()+"."+field)
		}
	}
	if len(missing) > 0 {
		return facts.NotRecorded(missing...)
	}
	return facts.Known(false)
}

func (f *floor) hoist(item *model.Item, o *facts.Object) {
	pads := f.on("hoist", item.ID)
	used := f.orNameless("hoist", len(pads) > 0)
	o.Derive("used", used)
	if used.Unknown != nil {
		o.Derive("load", used)
		o.Derive("worst_arm", used)
		return
	}
	if len(pads) == 0 {
		o.Derive("load", known(force(0)))
		o.Derive("worst_arm", known(force(0)))
		return
	}
	whole, missing := f.wholeWeight()
	o.Derive("load", known(force(whole)))
	if len(missing) > 0 {
		o.Derive("load", facts.NotRecorded(missing...))
	}
	switch {
	case f.solved():
		worst := 0.0
		for _, i := range pads {
			worst = max(worst, f.step.Reaction(i).Most)
		}
		o.Derive("worst_arm", known(force(worst)))
	case f.checklist() && len(missing) == 0:
		o.Derive("worst_arm", known(force(whole)))
	case f.none != nil:
		o.Derive("worst_arm", *f.none)
	}
}

// usesDolly reports whether a step rests on a dolly.
func (d *Deriver) usesDolly(step *schema.Record, id string) bool {
	return slices.ContainsFunc(step.Texts("supports"), func(s string) bool {
		on, ok := d.build.Item(s).Text("dolly")
		return ok && on == id
	})
}

func (f *floor) dolly(item *model.Item, o *facts.Object, records []*schema.Record, i int) {
	now := f.usesDolly(records[i], item.ID)
	before := i > 0 && f.usesDolly(records[i-1], item.ID)
	last := f.usesDolly(records[len(records)-1], item.ID)
	any := slices.ContainsFunc(records, func(r *schema.Record) bool { return f.usesDolly(r, item.ID) })
	o.Derive("used", f.orNameless("dolly", now || before))
	o.Derive("leaving", facts.Known(any && !last))
	own, ok := item.Quantity("mass")
	whole, missing := f.wholeWeight()
	if !ok {
		missing = append(missing, item.Path()+".mass")
	}
	if len(missing) > 0 {
		o.Derive("third", facts.NotRecorded(missing...))
		o.Derive("worst_castor", facts.NotRecorded(missing...))
		return
	}
	o.Derive("third", known(force((whole+(own.Value+own.Tol)*statics.Gravity)/3)))
	o.Derive("worst_castor", f.worstCastor(item, own))
}

// worstCastor is the most that one castor carries over every set of three that
// can stand, the vehicle and its dolly taken as one rigid lump, pushed as the step is.
func (f *floor) worstCastor(item *model.Item, own quantity.Quantity) facts.Fact {
	castors, okAt := item.List("castors_at")
	cg, okCG := item.Vec("cg")
	missing := slices.Clone(f.assembly.missing)
	if !okAt {
		missing = append(missing, item.Path()+".castors_at")
	}
	if !okCG {
		missing = append(missing, item.Path()+".cg")
	}
	if len(missing) > 0 {
		return facts.NotRecorded(missing...)
	}
	lump := statics.Body{Name: "vehicle and dolly"}
	for _, p := range f.assembly.masses() {
		lump.Masses = append(lump.Masses, p)
	}
	slices.SortFunc(lump.Masses, func(a, b statics.Mass) int {
		if a.Name < b.Name {
			return -1
		}
		return 1
	})
	lump.Masses = append(lump.Masses, statics.Mass{
		Name: item.ID, M: own.Value, Tol: own.Tol, CG: point(cg), CGTol: statics.Vec{X: cg.Tol[0], Y: cg.Tol[1], Z: cg.Tol[2]},
	})
	var places []statics.Support
	for _, c := range castors {
		places = append(places, statics.Support{Name: "castor", At: point(c.V.(schema.Vec))})
	}
	built, err := statics.New(statics.System{Bodies: []statics.Body{lump}})
	if err != nil {
		return facts.NotComputed("%v", err)
	}
	step, err := built.Step(places, f.attitude)
	switch {
	case err != nil:
		return facts.NotComputed("%v", err)
	case step.Failure != nil:
		return facts.NotComputed("%s", step.Failure.Words)
	}
	worst := 0.0
	for i := range places {
		worst = max(worst, step.Reaction(i).Most)
	}
	return known(force(worst))
}

func (f *floor) crane(item *model.Item, o *facts.Object, records []*schema.Record, i int) {
	lifts, ok := item.Text("lifts")
	used := f.anySupport(records[i], "crane")
	for _, r := range records[i:] {
		used = used || ok && slices.Contains(r.Texts("off"), lifts)
	}
	o.Derive("used", facts.Known(used))
	if !ok {
		o.Derive("load", facts.NotRecorded(item.Path()+".lifts"))
		return
	}
	m, ok := f.build.Item(lifts).Quantity("mass")
	if !ok {
		o.Derive("load", facts.NotRecorded("parts."+lifts+".mass"))
		return
	}
	o.Derive("load", known(force((m.Value+m.Tol)*statics.Gravity)))
}
