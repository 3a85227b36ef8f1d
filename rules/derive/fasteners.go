package derive

import (
	"math"
	"slices"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/statics"
	"setdown/model/strength"
	"setdown/rules/facts"
)

// lockWorks says of each kind of lock whether it still works when the clamp is
// lost: AC 43.13-1B, 7-63 and 7-64, and the positive locking of student racing
// rules; spring washers, patches and thread compound do not count.
var lockWorks = map[string]bool{
	"none": false, "split pin": true, "wire": true, "nylon-insert nut": true, "all-metal nut": true,
	"tab washer": true, "jam nut": true, "circlip": true, "spring washer": false, "thread compound": false, "nylon patch": false,
}

func (d *Deriver) fastenerFit(item *model.Item, o *facts.Object) {
	o.Derive("mark_broken", facts.Known(recorded(item, "found.mark_broken")))
	o.Derive("egged", facts.Known(recorded(item, "found.hole_egged")))
	o.Derive("was_forced", facts.Known(recorded(item, "found.forced")))
	o.Derive("beside_groove", facts.Known(seenNot(item, "found.in_groove")))
	o.Derive("torque_share", torqueShare(item))
	o.Derive("stretched", facts.Known(stretched(item)))
	o.Derive("edge_ratio", share(item, "tab.edge", "hole"))
	o.Derive("tab_held", facts.Known(d.tabHeld(item)))
	o.Derive("spacers_in", facts.Known(d.spacersIn(item)))
	hole, measured := item.Quantity("hole")
	t, written := item.Thread("thread")
	o.Derive("hole_much_too_large", facts.Known(measured && written && hole.Value-t.Diameter > mostClearance(t.Diameter)))
	d.fastenerCount(item, o)
	d.fastenerThread(item, o)
	c, unknown := class(item)
	if unknown != nil {
		o.Derive("grade", *unknown)
		o.Derive("yield", *unknown)
		o.Derive("preload_share", *unknown)
	} else {
		o.Derive("grade", facts.Known(c.Name))
		o.Derive("yield", known(stress(c.Yield)))
		o.Derive("preload_share", d.preloadShare(item, c))
	}
	if lock, ok := item.Text("lock"); ok {
		o.Derive("lock_counts", facts.Known(lockWorks[lock]))
	} else {
		o.Derive("lock_counts", facts.NotRecorded(item.Path()+".lock"))
	}
	critical, _ := item.Bool("critical")
	suspension := critical
	bonded, bushes := true, 0
	for _, name := range item.Texts("holds") {
		m := d.byName[name]
		suspension = true // also what holds a support: the vehicle stands on it
		if m == nil {
			bonded = false
			continue
		}
		kind := ""
		if !m.link {
			kind, _ = m.item.Text("bush")
		}
		bonded = bonded && kind == "bonded"
		bushes++
	}
	o.Derive("suspension", facts.Known(suspension))
	o.Derive("clamps_bonded_bush", facts.Known(bonded && bushes > 0))
}

// mostClearance is by how much a hole may be larger than its bolt, m: the larger of the normal
// clearances, EN 1090-2 table 11 (from memory), and a thousandth of a millimetre for rounding.
func mostClearance(d float64) float64 {
	if d >= 0.027 {
		return 0.003 + 1e-6
	}
	return 0.002 + 1e-6
}

// spacersOn lists the sets of spacers on a bolt.
func (d *Deriver) spacersOn(item *model.Item) []*model.Item {
	var sets []*model.Item
	for _, name := range item.Texts("holds") {
		for _, h := range d.holders[name] {
			if h.Kind.Name == "spacers" {
				sets = append(sets, h)
			}
		}
	}
	return sets
}

// spacersIn reports whether every spacer on a bolt is known to be in.
func (d *Deriver) spacersIn(item *model.Item) bool {
	return !slices.ContainsFunc(d.spacersOn(item), func(set *model.Item) bool {
		missing := countMissing(set, "needed", "found.fitted")
		return missing.Unknown != nil || missing.V.(int64) > 0
	})
}

// tabHeld reports whether the file says what holds the tab that a bolt bears in: a weld for
// every joint and link end that it holds, or that it is one with its part. A bolt without
// a described tab leaves that to the rules that ask for its strength.
func (d *Deriver) tabHeld(item *model.Item) bool {
	if _, described := item.Record.Record("tab"); !described {
		return true
	}
	if integral, _ := look[bool](item, "tab.integral"); integral {
		return true
	}
	return !slices.ContainsFunc(item.Texts("holds"), func(name string) bool {
		return !slices.ContainsFunc(d.holders[name], func(h *model.Item) bool { return h.Kind.Name == "welds" })
	})
}

func (d *Deriver) fastenerCount(item *model.Item, o *facts.Object) {
	short, unknown := shortBy(item)
	if unknown != nil {
		o.Derive("all_fitted", *unknown)
		o.Derive("short_by", *unknown)
		return
	}
	o.Derive("all_fitted", facts.Known(short == 0))
	o.Derive("short_by", facts.Known(short))
}

// shortBy is how many of a fastener are known not to be there.
func shortBy(item *model.Item) (int64, *facts.Fact) {
	fitted, known := look[bool](item, "found.fitted")
	have, counted := look[int64](item, "found.count")
	n := needed(item)
	var none facts.Fact
	switch {
	case known && !fitted:
		return n, nil
	case counted:
		return max(0, n-have), nil
	case known && n == 1:
		return 0, nil
	case known:
		// Several are needed and somebody wrote 'fitted' without counting.
		none = facts.NotRecorded(item.Path() + ".found.count")
	default:
		none = facts.NotRecorded(item.Path() + ".found.fitted")
	}
	return 0, &none
}

func (d *Deriver) fastenerThread(item *model.Item, o *facts.Object) {
	into, tapKnown := item.Text("tapped_into")
	tapped := tapKnown && into != "nothing"
	o.Derive("tapped", facts.Known(tapped))
	if tapped {
		if n, err := strength.EngagementNeeded(into); err == nil {
			o.Derive("engagement_needed", known(number(n)))
		}
	}
	t, threadKnown := item.Thread("thread")
	read, readOK := look[quantity.Thread](item, "found.thread_read")
	nut, nutOK := look[quantity.Thread](item, "found.nut_thread")
	// A small bolt with its small nut mates, and is not the bolt that was asked for.
	o.Derive("mismatched", facts.Known(readOK && nutOK && !read.Mates(nut) ||
		threadKnown && (readOK && !read.Mates(t) || nutOK && !nut.Mates(t))))
	switch {
	case !readOK:
		o.Derive("threads_mate", facts.NotRecorded(item.Path()+".found.thread_read"))
	case !nutOK:
		o.Derive("threads_mate", facts.NotRecorded(item.Path()+".found.nut_thread"))
	default:
		o.Derive("threads_mate", facts.Known(read.Mates(nut)))
	}
	if !threadKnown {
		why := facts.NotRecorded(item.Path() + ".thread")
		for _, name := range []string{"thread_as_designed", "hole_clearance", "engagement_ratio", "threads_past"} {
			o.Derive(name, why)
		}
		return
	}
	if readOK {
		o.Derive("thread_as_designed", facts.Known(read.Mates(t)))
	} else {
		o.Derive("thread_as_designed", facts.NotRecorded(item.Path()+".found.thread_read"))
	}
	if hole, ok := item.Quantity("hole"); ok {
		o.Derive("hole_clearance", known(length(hole.Value-t.Diameter)))
	} else {
		o.Derive("hole_clearance", facts.NotRecorded(item.Path()+".hole"))
	}
	if e, ok := look[quantity.Quantity](item, "found.engaged"); ok {
		o.Derive("engagement_ratio", known(number(e.Value/t.Diameter)))
	} else {
		o.Derive("engagement_ratio", facts.NotRecorded(item.Path()+".found.engaged"))
	}
	n, counted := look[int64](item, "found.threads_past")
	past, seen := look[quantity.Quantity](item, "found.protruding")
	switch {
	case counted:
		o.Derive("threads_past", known(number(float64(n))))
	case seen:
		o.Derive("threads_past", known(number(past.Value/t.Pitch)))
	default:
		o.Derive("threads_past", facts.NotRecorded(item.Path()+".found.threads_past"))
	}
}

// threadThere is the thread that counts for strength: the one written on the box,
// or the one gauged on the bolt where that is the thinner. ok is false when nobody
// wrote down what it should be.
func threadThere(item *model.Item) (t quantity.Thread, ok bool) {
	t, ok = item.Thread("thread")
	read, gauged := look[quantity.Thread](item, "found.thread_read")
	if ok && gauged && read.Diameter < t.Diameter {
		return read, true
	}
	return t, ok
}

// class is the class that counts: the mark that somebody read on the head. What
// the file asks for is no proof of what is fitted.
func class(item *model.Item) (strength.Class, *facts.Fact) {
	var none facts.Fact
	text, ok := look[string](item, "found.class_mark")
	t, okT := threadThere(item)
	switch {
	case !ok:
		none = facts.NotRecorded(item.Path() + ".found.class_mark")
		return strength.Class{}, &none
	case !okT:
		none = facts.NotRecorded(item.Path() + ".thread")
		return strength.Class{}, &none
	}
	c, err := strength.ClassOf(text, t.Diameter)
	if err != nil {
		none = facts.NotComputed("%s.found.class_mark: %v", item.Path(), err)
		return c, &none
	}
	return c, nil
}

// preloadShare is the preload from the torque reached as a share of the proof
// load.
func (d *Deriver) preloadShare(item *model.Item, c strength.Class) facts.Fact {
	torque, ok := look[quantity.Quantity](item, "found.torqued")
	if !ok {
		return facts.NotRecorded(item.Path() + ".found.torqued")
	}
	t, _ := threadThere(item)
	surface, ok := item.Text("surface")
	if !ok {
		surface = "plain"
	}
	f, err := strength.Preload(torque.Value, d.number("nut_factor_"+surface), t.Diameter)
	if err != nil {
		return facts.NotComputed("%v", err)
	}
	proof, err := strength.BoltTension(t.Diameter, t.Pitch, t.Metric, c)
	if err != nil {
		return facts.NotComputed("%v", err)
	}
	return known(number(f / proof.Value))
}

var fastenerUses = []string{"shear_utilisation", "tension_utilisation", "bearing_utilisation", "tear_out_utilisation", "bending_utilisation"}

// fastenerStrength compares what a fastener carries with what it and its tab
// bear: shear across it, pull along it with what a moment adds, bearing and
// tear-out of the tab, and bending across a gap that missing spacers leave.
func (f *floor) fastenerStrength(item *model.Item, o *facts.Object) {
	names := item.Texts("holds")
	if len(names) == 0 {
		return
	}
	carries, unknown := o.Get("carries")
	if unknown == nil && carries == "nothing" {
		for _, n := range append(fastenerUses, "utilisation") {
			o.Derive(n, known(number(0)))
		}
		return
	}
	if f.none != nil && !f.onlySupports(item) {
		f.unknownStrength(o, *f.none, fastenerUses...)
		return
	}
	b, why := f.onBolt(item, names)
	if why != nil {
		f.unknownStrength(o, *why, fastenerUses...)
		return
	}
	f.boltStrength(item, o, b)
	f.tabStrength(item, o, b)
	f.gapStrength(item, o, b)
}

// onBolt is what one bolt of an entry carries.
type onBolt struct {
	across, along float64 // N
	whole         float64 // N, the resultant, whichever way the bolt points
	split         bool    // the direction of the bolt is known
	working       []strength.Step
}

// onBolt shares what the held joints, link ends and supports pass among the bolts.
func (f *floor) onBolt(item *model.Item, names []string) (onBolt, *facts.Fact) {
	var most passes
	var hinge, at float64
	b := onBolt{split: true}
	for _, name := range names {
		p, on := f.passAt(name)
		if !on {
			continue
		}
		at++
		most.radial, most.axial, most.resultant = max(most.radial, p.radial), max(most.axial, p.axial), max(most.resultant, p.resultant)
		if p.hinge {
			hinge = max(hinge, p.bend)
		} else {
			most.twist, most.bend = max(most.twist, p.twist), max(most.bend, p.bend)
		}
		b.split = b.split && p.split
	}
	// What holds several joints is spread over them, also over one that is off in this
	// step: two bolts listed together for two joints are one each. One bolt through two
	// joints bears those that are on.
	if all := float64(len(names)); float64(needed(item)) >= all {
		at = all
	}
	n := float64(needed(item)+f.beside(item)) / max(1, at)
	b.across, b.along, b.whole = most.radial/n, most.axial/n, most.resultant/n
	b.working = []strength.Step{{Name: "bolts that share it", Value: n}}
	if most.twist+most.bend+hinge <= 1 {
		return b, nil
	}
	spread, ok := item.Quantity("spread")
	var none facts.Fact
	switch {
	case !ok:
		none = facts.NotRecorded(item.Path() + ".spread")
		return b, &none
	case most.twist+most.bend > 1 && n <= 1:
		none = facts.NotComputed("one bolt alone does not carry a moment of %s N·m", quantity.Format(math.Round(max(most.twist, most.bend))))
		return b, &none
	}
	// The bolts of a group stand in two rows, as far apart as the spread: bending pulls
	// one row against the other, twisting pushes them past each other. The odd one of
	// three stands alone in its row. The pin of a hinge bears on its two tabs, one push
	// each, that far apart.
	row := max(1, math.Floor(n/2))
	across, along := most.twist/spread.Value/row+2*hinge/spread.Value, most.bend/spread.Value/row
	b.across, b.along, b.whole = b.across+across, b.along+along, b.whole+math.Hypot(across, along)
	b.working = append(b.working,
		strength.Step{Name: "moment about the bolts", Value: most.twist, Unit: "N·m"},
		strength.Step{Name: "moment that bends the group", Value: most.bend, Unit: "N·m"},
		strength.Step{Name: "moment on the pin of a hinge", Value: hinge, Unit: "N·m"},
		strength.Step{Name: "spread", Value: 1e3 * spread.Value, Unit: "mm"},
		strength.Step{Name: "bolts in a row", Value: row})
	return b, nil
}

// beside counts the fasteners that other entries list for the same face: a face
// that is bolted together by several entries is shared by all of them.
func (f *floor) beside(item *model.Item) int64 {
	names := item.Texts("holds")
	if len(names) != 1 {
		return 0
	}
	m := f.byName[names[0]]
	if m == nil || m.link {
		return 0
	}
	if kind, _ := f.jointKind(m); kind != statics.Fixed {
		return 0
	}
	n := int64(0)
	for _, h := range f.holders[m.name] {
		if h != item && h.Kind.Name == "fasteners" && len(h.Texts("holds")) == 1 {
			n += needed(h)
		}
	}
	return n
}

// passAt is what passes at a joint, link end or support that something holds. A
// support presses in no recorded direction of the bolt: the whole across and along.
func (f *floor) passAt(name string) (p passes, on bool) {
	m := f.byName[name]
	switch {
	case m == nil:
		i := slices.IndexFunc(f.items, func(s *model.Item) bool { return s.ID == name })
		if i < 0 {
			return p, false
		}
		load := f.step.Reaction(i).Most
		return passes{radial: load, axial: load, resultant: load}, true
	case f.setting.isOff(m):
		return p, false
	}
	p = f.pass(m)
	kind, _ := f.jointKind(m)
	p.hinge = kind == statics.Pivot
	return p, true
}

func (f *floor) boltStrength(item *model.Item, o *facts.Object, b onBolt) {
	c, unknown := class(item)
	if unknown != nil {
		f.unknownStrength(o, *unknown, "shear_utilisation", "tension_utilisation")
		return
	}
	t, _ := threadThere(item)
	planes, ok := f.planes(item)
	kind := map[int64]string{1: "single", 2: "double"}[planes]
	var assumed []string
	if !b.split {
		assumed = []string{"direction of the bolt not recorded: the whole force taken across it and along it"}
	}
	var shear strength.Result
	if !ok {
		o.Derive("shear_utilisation", facts.NotRecorded(item.Path()+".shear_planes"))
	} else {
		inThread, known := item.Bool("thread_in_shear")
		r, err := strength.BoltShear(t.Diameter, t.Pitch, c, int(planes), !known || inThread)
		r.Assumptions, r.Working = append(r.Assumptions, assumed...), append(r.Working, b.working...)
		if !known {
			r.Assumptions = append(r.Assumptions, "nobody recorded whether the thread is in the shear plane: taken as if it is")
		}
		o.Derive("shear_utilisation", f.compare(item, o, "bolt in "+kind+" shear", b.across, r, err))
		shear = r
	}
	r, err := strength.BoltTension(t.Diameter, t.Pitch, t.Metric, c)
	r.Assumptions, r.Working = append(r.Assumptions, assumed...), append(r.Working, b.working...)
	use := f.compare(item, o, "bolt in tension", b.along, r, err)
	if b.across > 0 && b.along > 0 && shear.Value > 0 && err == nil {
		load, both, err := b.combined(shear, r)
		use = worse(use, f.compare(item, o, "bolt in shear and tension", load, both, err))
	}
	o.Derive("tension_utilisation", worse(use, f.stripStrength(item, o, t, b)))
	if !ok {
		f.unknownStrength(o, facts.NotRecorded(item.Path()+".shear_planes"))
	}
}

// stripStrength compares the pull on a bolt with what the thread of its tapped hole bears,
// whose metal is weaker than the bolt. Without a hole, or a length of thread in it, there
// is nothing to compare: other rules ask for that length.
func (f *floor) stripStrength(item *model.Item, o *facts.Object, t quantity.Thread, b onBolt) facts.Fact {
	engaged, measured := look[quantity.Quantity](item, "found.engaged")
	into, written := item.Text("tapped_into")
	switch {
	case !measured || into == "nothing":
		return known(number(0))
	case !written:
		return facts.NotRecorded(item.Path() + ".tapped_into")
	}
	yield, err := strength.TappedYield(into)
	var r strength.Result
	if err == nil {
		r, err = strength.ThreadStrip(t.Diameter, t.Pitch, engaged.Value, yield)
	}
	return f.compare(item, o, "thread strip in the tapped hole", b.along, r, err)
}

// combined is what a bolt bears in shear and pull together, and the load to hold against
// it. What acts across and along may each be worst in a case of its own: where the
// whole, at the worst angle, asks for less than both together, it counts.
func (b onBolt) combined(shear, tension strength.Result) (float64, strength.Result, error) {
	anyWay, err := strength.BoltCombinedAnyWay(shear, tension)
	if err != nil || !b.split {
		return b.whole, anyWay, err
	}
	load := math.Hypot(b.across, b.along)
	both, err := strength.BoltCombined(b.across, b.along, shear, tension)
	if err == nil && b.whole/anyWay.Value < load/both.Value {
		return b.whole, anyWay, nil
	}
	return load, both, err
}

// worse is the larger of two utilisations; an unknown one is worse than any.
func worse(a, b facts.Fact) facts.Fact {
	switch {
	case a.Unknown != nil:
		return a
	case b.Unknown != nil:
		return b
	case b.V.(quantity.Quantity).Value > a.V.(quantity.Quantity).Value:
		return b
	}
	return a
}

// tabStrength checks the tab that a bolt bears in; a bolt in double shear has two.
func (f *floor) tabStrength(item *model.Item, o *facts.Object, b onBolt) {
	if _, ok := item.Record.Record("tab"); !ok {
		why := facts.NotRecorded(item.Path() + ".tab")
		o.Derive("bearing_utilisation", why)
		o.Derive("tear_out_utilisation", why)
		return
	}
	tabs := 1.0
	assumed := "one tab carries the load"
	if planes, ok := f.planes(item); ok && planes == 2 {
		tabs, assumed = 2, "two tabs carry half each"
	}
	name, okM := look[string](item, "tab.material")
	t, okT := threadThere(item)
	v, unknown := need(item, "tab.thickness")
	var missing []string
	if unknown != nil {
		missing = append(missing, unknown.Unknown.Missing...)
	}
	if !okM {
		missing = append(missing, item.Path()+".tab.material")
	}
	if !okT {
		missing = append(missing, item.Path()+".thread")
	}
	if len(missing) > 0 {
		why := facts.NotRecorded(missing...)
		o.Derive("bearing_utilisation", why)
		o.Derive("tear_out_utilisation", why)
		return
	}
	m, err := strength.MaterialOf(name)
	var r strength.Result
	if err == nil {
		r, err = strength.Bearing(t.Diameter, v[0], m.Yield)
	}
	r.Assumptions = append(r.Assumptions, assumed, m.Source)
	o.Derive("bearing_utilisation", f.compare(item, o, "bearing of the tab", b.across/tabs, r, err))
	e, unknown := need(item, "hole", "tab.edge")
	if unknown != nil {
		o.Derive("tear_out_utilisation", *unknown)
		return
	}
	if m, err = strength.MaterialOf(name); err == nil {
		r, err = strength.TearOut(e[0], e[1], v[0], m.Yield)
	}
	r.Assumptions = append(r.Assumptions, assumed)
	use := f.compare(item, o, "tear-out of the tab", b.across/tabs, r, err)
	w, unknown := need(item, "tab.width")
	if unknown != nil {
		o.Derive("tear_out_utilisation", *unknown)
		return
	}
	if m, err = strength.MaterialOf(name); err == nil {
		r, err = strength.NetSection(w[0], e[0], v[0], m.Yield)
	}
	r.Assumptions = append(r.Assumptions, assumed)
	o.Derive("tear_out_utilisation", worse(use, f.compare(item, o, "net section of the tab", b.across/tabs, r, err)))
}

// planes is in how many planes a bolt is sheared: as recorded, and no more than one where
// a link end that it holds is recorded as held on one side.
func (f *floor) planes(item *model.Item) (int64, bool) {
	n, ok := item.Count("shear_planes")
	for _, name := range item.Texts("holds") {
		if m := f.byName[name]; m != nil && m.shear == "single" {
			return 1, true
		}
	}
	return n, ok
}

// gapStrength checks the bending of a bolt: across the gap that missing spacers leave
// between two tabs, or out of the one tab of single shear, where spacers hold the load
// off the tab also when they are all in.
func (f *floor) gapStrength(item *model.Item, o *facts.Object, b onBolt) {
	planes, ok := f.planes(item)
	between := ok && planes == 2
	arm := 0.0
	for _, h := range f.spacersOn(item) {
		a, why := spacerArm(h, between)
		if why != nil {
			o.Derive("bending_utilisation", *why)
			return
		}
		arm = max(arm, a)
	}
	c, unknown := class(item)
	t, threadKnown := threadThere(item)
	switch {
	case arm == 0:
		o.Derive("bending_utilisation", known(number(0)))
	case unknown != nil:
		o.Derive("bending_utilisation", *unknown)
	case !threadKnown:
		o.Derive("bending_utilisation", facts.NotRecorded(item.Path()+".thread"))
	case between:
		r, err := strength.BoltBending(t.Diameter, t.Pitch, arm, c.Yield)
		o.Derive("bending_utilisation", f.compare(item, o, "bolt bending across the open gap", b.across, r, err))
	default:
		inThread, known := item.Bool("thread_in_shear")
		r, err := strength.BoltOverhang(t.Diameter, t.Pitch, arm, c.Yield, !known || inThread)
		o.Derive("bending_utilisation", f.compare(item, o, "bolt bending out of its one tab", b.across, r, err))
	}
}

// spacerArm is over what length a bolt bends for a set of spacers, m: the gap between
// two tabs if one is missing, or from the one tab over all of them to the middle of the
// ball. Without the thickness of each, a missing spacer leaves the gap of the bracket.
func spacerArm(set *model.Item, between bool) (float64, *facts.Fact) {
	missing := countMissing(set, "needed", "found.fitted")
	if missing.Unknown != nil {
		return 0, &missing
	}
	short := missing.V.(int64) > 0
	n, _ := set.Count("needed")
	if between && !short || n == 0 {
		return 0, nil
	}
	if !between {
		v, unknown := need(set, "stack.ball_width", "stack.each")
		if unknown == nil {
			return v[0]/2 + float64(n)*v[1], nil
		}
		if !short {
			return 0, unknown
		}
	}
	gap, unknown := need(set, "stack.bracket_gap")
	if unknown != nil {
		return 0, unknown
	}
	return gap[0], nil
}
