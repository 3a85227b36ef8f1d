package derive

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/statics"
	"setdown/model/strength"
	"setdown/rules/facts"
	"setdown/rules/verdict"
)

// strength records one comparison of a load with what bears it, and keeps the
// tightest in the facts strength and utilisation of the item.
func (f *floor) strength(item *model.Item, o *facts.Object, s verdict.Strength) facts.Fact {
	s.Item, s.Kind, s.Place, s.Step = item.ID, item.Kind.Name, f.Place(item), f.out.Report.Name
	var use facts.Fact
	if s.NotComputed == "" {
		s.Utilisation = s.Load.Value * s.Factor / s.Strength.Value
		use = known(number(s.Utilisation))
	} else {
		use = facts.NotComputed("%s", s.NotComputed)
	}
	f.out.Strengths[item.ID] = append(f.out.Strengths[item.ID], s)
	f.out.Report.Strengths = append(f.out.Report.Strengths, s)
	if old, unknown := o.Quantity("utilisation"); unknown != nil || s.NotComputed != "" || !(s.Utilisation <= old.Value) { // NaN is the tightest
		if unknown == nil || s.NotComputed != "" || !derivedSoFar(f, item) {
			o.Derive("utilisation", use)
			if s.NotComputed == "" {
				o.Derive("strength", known(force(s.Strength.Value)))
			} else {
				o.Derive("strength", use)
			}
		}
	}
	return use
}

// derivedSoFar reports whether an earlier comparison of the item already left
// its utilisation unknown: one that could not be computed keeps it unknown.
func derivedSoFar(f *floor, item *model.Item) bool {
	list := f.out.Strengths[item.ID]
	return slices.ContainsFunc(list[:len(list)-1], func(s verdict.Strength) bool { return s.NotComputed != "" })
}

// compare makes a comparison from a method's result. An error of the method
// means not computed.
func (f *floor) compare(item *model.Item, o *facts.Object, check string, load float64, r strength.Result, err error) facts.Fact {
	s := verdict.Strength{
		Check: check, Load: newtons(load), Factor: f.number("design_factor"), Strength: newtons(r.Value),
		Method: r.Method, Source: r.Source, Assumptions: r.Assumptions,
	}
	for _, w := range r.Working {
		s.Working = append(s.Working, verdict.Amount{Name: w.Name, Figure: verdict.Figure{Value: w.Value, Unit: w.Unit}})
	}
	if err == nil && !(r.Value > 0) {
		err = errors.New("the strength came out as nothing")
	}
	if err != nil {
		s.NotComputed = err.Error()
	}
	return f.strength(item, o, s)
}

// unknownStrength leaves the utilisation of an item unknown for lack of facts.
func unknownStrength(o *facts.Object, why facts.Fact, names ...string) {
	for _, n := range append(names, "utilisation", "strength") {
		o.Derive(n, why)
	}
}

// strengths compares the load of every item of the step with what it bears.
func (f *floor) strengths() {
	for _, item := range f.build.Of("joints") {
		f.jointStrength(item, f.object(item))
	}
	for _, item := range f.build.Of("links") {
		f.linkStrength(item, f.object(item))
	}
	for _, item := range f.build.Of("fasteners") {
		f.fastenerStrength(item, f.object(item))
	}
	for _, item := range f.build.Of("ball_joints") {
		f.nutStrength(item, f.object(item))
	}
	for _, item := range f.build.Of("welds") {
		f.weldStrength(item, f.object(item))
	}
	for _, item := range f.items {
		f.supportStrength(item, f.object(item))
	}
	f.out.Report.Strengths = tightestFirst(f.out.Report.Strengths)
	for id, list := range f.out.Strengths {
		f.out.Strengths[id] = tightestFirst(list)
	}
}

// tightestFirst sorts by utilisation, highest first; what is the same but for
// rounding keeps its order. The comparisons are large: their places are sorted and
// each is copied once.
func tightestFirst(list []verdict.Strength) []verdict.Strength {
	if len(list) < 2 {
		return list
	}
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(float32(list[b].Utilisation), float32(list[a].Utilisation)) })
	sorted := make([]verdict.Strength, len(list))
	for i, k := range order {
		sorted[i] = list[k]
	}
	return sorted
}

// passes is what a joint or link end passes across and along its bolt.
type passes struct {
	radial, axial, resultant, moment float64
	split                            bool // the direction of the bolt is known
	hinge                            bool // the moment is that of a hinge, which its one pin takes
}

// pass splits what a joint or link end passes. Where the direction of the bolt is
// not recorded, the whole may act across it and the whole along it.
func (f *floor) pass(m *meet) passes {
	p, known := f.split[m]
	if !known {
		p = f.splitAt(m)
		f.split[m] = p
	}
	return p
}

func (f *floor) splitAt(m *meet) passes {
	var p passes
	if m.link {
		r := f.step.Link(f.assembly.links[m.item.ID])
		p.resultant = max(r.Most, -r.Least)
		p.radial, p.axial = p.resultant, p.resultant
		if ends := f.ends(m.item); m.axis != nil {
			other := ends[0]
			if other == m {
				other = ends[1]
			}
			l := distance(*m.at, *other.at)
			n := math.Sqrt(sq(m.axis.X) + sq(m.axis.Y) + sq(m.axis.Z))
			along := ((other.at.X-m.at.X)*m.axis.X + (other.at.Y-m.at.Y)*m.axis.Y + (other.at.Z-m.at.Z)*m.axis.Z) / l / n
			p.axial = p.resultant * math.Abs(along)
			p.radial = p.resultant * math.Sqrt(max(0, 1-along*along))
			p.split = true
		}
		return p
	}
	i := f.assembly.joints[m.name]
	joint := f.step.Joint(i)
	p.resultant, p.moment = joint.Worst, joint.Moment
	p.radial, p.axial = p.resultant, p.resultant
	if m.axis != nil {
		along := f.step.Along(i, point(*m.axis))
		p.axial = max(along.Most, -along.Least)
		p.radial = f.step.Across(i, point(*m.axis))
		p.split = true
	}
	return p
}

func (f *floor) jointStrength(item *model.Item, o *facts.Object) {
	m := f.byName[item.ID]
	rated, ratedOK := item.Quantity("static_rating")
	axialRated, axialOK := item.Quantity("axial_rating")
	everyWay := m.kind != "spherical bearing" && m.kind != "rod end"
	switch {
	case axialOK || !ratedOK:
	case everyWay:
		axialRated.Value = rated.Value
	default:
		axialRated.Value = rated.Value * f.number("axial_share")
	}
	o.Derive("has_rating", facts.Known(ratedOK))
	switch {
	case ratedOK || axialOK:
		o.Derive("axial_allowed", known(force(axialRated.Value)))
	default:
		o.Derive("axial_allowed", facts.NotRecorded(item.Path()+".static_rating"))
	}
	switch {
	case f.setting.isOff(m):
		for _, n := range []string{"axial", "radial"} {
			o.Derive(n, known(force(0)))
		}
		o.Derive("utilisation", known(number(0)))
		return
	case f.none != nil:
		unknownStrength(o, *f.none, "axial", "radial")
		return
	}
	p := f.pass(m)
	o.Derive("axial", known(force(p.axial)))
	o.Derive("radial", known(force(p.radial)))
	if !ratedOK {
		unknownStrength(o, facts.NotRecorded(item.Path()+".static_rating"))
		return
	}
	r, err := strength.RodEnd(p.radial, p.axial, rated.Value, axialRated.Value)
	if !p.split {
		r.Assumptions = append(r.Assumptions, "direction of the bolt not recorded: the whole force taken across it and along it")
	}
	check := "bearing against its rating"
	if everyWay {
		check = "joint against its rating"
		if !axialOK {
			r.Assumptions = append(r.Assumptions, "the rating of this kind of joint counts in every direction")
		}
	}
	f.compare(item, o, check, p.radial+p.axial, r, err)
}

func (f *floor) linkStrength(item *model.Item, o *facts.Object) {
	names := []string{"tension", "compression", "buckling_utilisation", "rod_end_utilisation", "axial_utilisation"}
	o.Derive("tube_words", facts.Known("a tube that bears its push"))
	switch {
	case f.setting.isOff(f.ends(item)[0]):
		o.Derive("tension", known(force(0)))
		o.Derive("compression", known(force(0)))
		for _, n := range []string{"buckling_utilisation", "rod_end_utilisation", "axial_utilisation", "utilisation"} {
			o.Derive(n, known(number(0)))
		}
		return
	case f.none != nil:
		unknownStrength(o, *f.none, names...)
		return
	}
	r := f.step.Link(f.assembly.links[item.ID])
	push, pull := max(0, -r.Least), max(0, r.Most)
	o.Derive("tension", known(force(pull)))
	o.Derive("compression", known(force(push)))
	o.Derive("buckling_utilisation", f.barStrength(item, o, push, pull))
	f.tubeFor(item, o, push)
	f.rodEndStrength(item, o, max(push, pull))
}

// section reads the cross-section and material of a link.
func section(item *model.Item) (s strength.Section, m strength.Material, unknown *facts.Fact, err error) {
	_, tube := item.Record.Record("tube")
	_, bar := item.Record.Record("bar")
	block := "tube"
	var v []float64
	switch {
	case tube:
		if v, unknown = need(item, "tube.od", "tube.wall"); unknown != nil {
			return s, m, unknown, nil
		}
		s, err = strength.Tube(v[0], v[1])
	case bar:
		block = "bar"
		thread, threaded := look[quantity.Thread](item, "bar.thread")
		d, given := look[quantity.Quantity](item, "bar.diameter")
		switch {
		case threaded:
			var root float64
			if root, err = strength.RootDiameter(thread.Diameter, thread.Pitch); err == nil {
				s, err = strength.Round(root)
			}
		case given:
			s, err = strength.Round(d.Value)
		default:
			none := facts.NotRecorded(item.Path() + ".bar.diameter")
			return s, m, &none, nil
		}
	default:
		none := facts.NotRecorded(item.Path() + ".tube")
		return s, m, &none, nil
	}
	if err != nil {
		return s, m, nil, err
	}
	name, ok := look[string](item, block+".material")
	if !ok {
		none := facts.NotRecorded(item.Path() + "." + block + ".material")
		return s, m, &none, nil
	}
	m, err = strength.MaterialOf(name)
	return s, m, nil, err
}

// barStrength compares the push in a link with its column strength and the pull
// with its yield. A link that only pulls does not buckle.
func (f *floor) barStrength(item *model.Item, o *facts.Object, push, pull float64) facts.Fact {
	s, m, unknown, err := section(item)
	if unknown != nil {
		if push < 1 && pull < 1 {
			return known(number(0))
		}
		unknownStrength(o, *unknown)
		return *unknown
	}
	var r strength.Result
	if err == nil {
		ends := f.ends(item)
		r, err = strength.Column(s, distance(*ends[0].at, *ends[1].at), m)
	}
	use := f.compare(item, o, "bar in compression", push, r, err)
	if err == nil && pull > 0 {
		r, err = strength.BarTension(s, m)
		f.compare(item, o, "bar in tension", pull, r, err)
	}
	return use
}

// Tubes that a stand-in bar is made of: the common outside diameters, with one wall
// and the weaker of the usual steels, so that whatever the shop has is not weaker.
var (
	tubeSizes    = []float64{0.020, 0.025, 0.028, 0.030, 0.032, 0.035, 0.038, 0.042, 0.045, 0.050, 0.060}
	tubeWall     = 0.0025 // m
	tubeMaterial = "E235"
)

// tubeFor names the smallest of the common tubes that bears the push in a link
// with the design factor over its length.
func (f *floor) tubeFor(item *model.Item, o *facts.Object, push float64) {
	ends := f.ends(item)
	m, err := strength.MaterialOf(tubeMaterial)
	for _, od := range tubeSizes {
		var s strength.Section
		if err == nil {
			s, err = strength.Tube(od, tubeWall)
		}
		var r strength.Result
		if err == nil {
			r, err = strength.Column(s, distance(*ends[0].at, *ends[1].at), m)
		}
		if err == nil && push*f.number("design_factor") <= r.Value {
			o.Derive("tube_od", known(length(od)))
			o.Derive("tube_words", facts.Known(fmt.Sprintf("%s tube %s × %s", tubeMaterial, quantity.Format(od*1000), length(tubeWall))))
			return
		}
	}
	o.Derive("tube_od", facts.NotComputed("none of the usual tubes bears this push over this length"))
	o.Derive("tube_words", facts.Known("a tube that an engineer has chosen"))
}

func (f *floor) rodEndStrength(item *model.Item, o *facts.Object, load float64) {
	if _, has := item.Record.Record("rod_ends"); !has {
		o.Derive("rod_end_utilisation", facts.NotRecorded(item.Path()+".rod_ends"))
		o.Derive("axial_utilisation", facts.NotRecorded(item.Path()+".rod_ends"))
		return
	}
	rated, ok := look[quantity.Quantity](item, "rod_ends.static_rating")
	if !ok {
		why := facts.NotRecorded(item.Path() + ".rod_ends.static_rating")
		unknownStrength(o, why, "rod_end_utilisation", "axial_utilisation")
		return
	}
	axialRated, ok := look[quantity.Quantity](item, "rod_ends.axial_rating")
	if !ok {
		axialRated.Value = rated.Value * f.number("axial_share")
	}
	worst, worstAxial := strength.Result{}, 0.0
	use, split, where := -1.0, true, ""
	var failure error
	for _, e := range f.ends(item) {
		p := f.pass(e)
		if !p.split {
			// A link pulls on the ball along itself; without the direction of the
			// bolt its angle is bounded by the joint's own misalignment.
			p.axial, p.radial, split = 0, p.resultant, false
		}
		r, err := strength.RodEnd(p.radial, p.axial, rated.Value, axialRated.Value)
		if err != nil {
			failure = err
			continue
		}
		if u := (p.radial + p.axial) / r.Value; u > use {
			use, worst, where = u, r, e.name
			worst.Value = load / max(u, 1e-12)
			if u == 0 {
				worst.Value = rated.Value
			}
		}
		worstAxial = max(worstAxial, p.axial*f.number("design_factor")/axialRated.Value)
	}
	worst.Assumptions = append(worst.Assumptions, "the worse end is "+where)
	o.Derive("rod_end_utilisation", f.compare(item, o, "rod ends against their rating", load, worst, failure))
	if split {
		o.Derive("axial_utilisation", known(number(worstAxial)))
	} else {
		var missing []string
		for _, e := range f.ends(item) {
			if e.axis == nil {
				missing = append(missing, e.path("axis"))
			}
		}
		o.Derive("axial_utilisation", facts.NotRecorded(missing...))
	}
}

// nutStrength compares the worst pull along a tapered stud with what its nut
// bears. The stud points away from the joint's body; a pull along it out of the
// taper is carried by the nut alone.
func (f *floor) nutStrength(item *model.Item, o *facts.Object) {
	var m *meet
	for _, name := range item.Texts("holds") {
		if at := f.byName[name]; at != nil {
			m = at
		}
	}
	switch {
	case m == nil:
		why := facts.NotRecorded(item.Path() + ".holds")
		for _, n := range []string{"pulled_out", "pull", "pulled_open", "opens_known"} {
			o.Derive(n, why)
		}
		return
	case f.setting.isOff(m):
		o.Derive("pulled_out", facts.Known(false))
		o.Derive("pull", known(force(0)))
		o.Derive("pulled_open", facts.Known(false))
		o.Derive("opens_known", facts.Known(true))
		return
	case f.none != nil:
		for _, n := range []string{"pulled_out", "pull", "pulled_open"} {
			o.Derive(n, *f.none)
		}
		_, ok := look[string](m.item, "carries_in")
		o.Derive("opens_known", facts.Known(ok))
		return
	case m.link:
		f.linkStud(m, item, o)
		return
	}
	f.studPull(m, item, o)
}

// linkStud is for the taper at a link's end. Its stud lies along the recorded
// direction of the bolt; which way it points is not recorded, so what goes along
// it counts as a pull. Such joints follow and are not opened.
func (f *floor) linkStud(m *meet, item *model.Item, o *facts.Object) {
	o.Derive("pulled_open", facts.Known(false))
	o.Derive("opens_known", facts.Known(true))
	if m.axis == nil {
		why := facts.NotRecorded(m.path("axis"))
		unknownStrength(o, why, "pulled_out", "pull")
		return
	}
	f.nutPull(item, o, f.pass(m).axial)
}

// nutPull compares a pull along a stud with what a nut and stud of class 5.8 bear,
// because nobody marks them.
func (f *floor) nutPull(item *model.Item, o *facts.Object, pull float64) {
	o.Derive("pulled_out", facts.Known(pull > 1))
	o.Derive("pull", known(force(pull)))
	if pull <= 1 {
		o.Derive("utilisation", known(number(0)))
		return
	}
	t, ok := item.Thread("thread")
	if !ok {
		unknownStrength(o, facts.NotRecorded(item.Path()+".thread"))
		return
	}
	c, err := strength.ClassOf("5.8", t.Diameter)
	var r strength.Result
	if err == nil {
		r, err = strength.BoltTension(t.Diameter, t.Pitch, t.Metric, c)
	}
	r.Assumptions = append(r.Assumptions, "stud and nut of class 5.8, as nobody marks them")
	f.compare(item, o, "nut and stud against the pull out of the taper", pull, r, err)
}

// studPull finds the force along the stud. Of the joint's two parts the file names
// the one with the tapered hole first and the one with the ball's housing second
// (between: [upright, arm]); the stud points out of the housing through the hole,
// and the nut is on its tip.
func (f *floor) studPull(m *meet, item *model.Item, o *facts.Object) {
	meant, ok := m.item.Text("carries_in")
	o.Derive("opens_known", facts.Known(ok))
	stud, ok := m.item.Text("stud")
	if !ok {
		why := facts.NotRecorded(m.path("stud"))
		o.Derive("pulled_out", why)
		o.Derive("pull", why)
		o.Derive("pulled_open", why)
		return
	}
	dir := statics.Vec{Z: 1}
	switch {
	case stud == "down":
		dir.Z = -1
	case stud == "level" && m.axis == nil:
		why := facts.NotRecorded(m.path("axis"))
		o.Derive("pulled_out", why)
		o.Derive("pull", why)
		o.Derive("pulled_open", why)
		return
	case stud == "level":
		dir = point(*m.axis)
	}
	// Along is the force on the second part, the housing, towards the stud's tip. A
	// housing that is drawn towards the tip is held there by the stud, which it
	// draws out of the taper; one that is pushed away from it presses the taper home.
	along := f.step.Along(f.assembly.joints[m.name], dir)
	pull, seat := max(0, along.Most), max(0, -along.Least)
	if stud == "level" {
		pull = max(seat, pull)
	}
	f.nutPull(item, o, pull)
	words := "stud " + stud + ": this step seats it, but a jolt lifts it off its taper"
	if pull > 1 {
		words = "stud " + stud + ": this step pulls it out of its taper, and only the nut would hold it"
	}
	o.Derive("taper_words", facts.Known(words))
	switch meant {
	case "push":
		o.Derive("pulled_open", facts.Known(pull > seat))
	case "pull":
		o.Derive("pulled_open", facts.Known(seat > pull))
	case "follower":
		o.Derive("pulled_open", facts.Known(max(seat, pull) > f.number("small_load")*f.step.Weight()))
	default:
		o.Derive("pulled_open", facts.Known(false))
	}
}

func (f *floor) supportStrength(item *model.Item, o *facts.Object) {
	rating, unknown := o.Quantity("rating")
	load, noLoad := o.Quantity("load")
	if unknown != nil || noLoad != nil {
		return
	}
	f.strength(item, o, verdict.Strength{
		Check: "support against its plate", Load: newtons(load.Value), Factor: 1, Strength: newtons(rating.Value),
		Method: "worst load against the rated load", Source: "the maker's plate",
		Assumptions: []string{"the plate's rating holds the maker's own factor"},
	})
}

// tooSmall reports whether a weld was measured to have undercut deeper than 1 mm, a leg
// more than 2 mm shorter than drawn, or not half of its length.
func tooSmall(item *model.Item) bool {
	undercut, _ := look[quantity.Quantity](item, "found.undercut")
	legs, unknown := need(item, "fillet.leg", "found.leg")
	lengths, unmeasured := need(item, "fillet.length", "found.made_length")
	return undercut.Value > 0.001 || unknown == nil && legs[0]-legs[1] > 0.002 ||
		unmeasured == nil && lengths[1] < lengths[0]/2
}

// weldFit derives what follows from sizes alone.
func (d *Deriver) weldFit(item *model.Item, o *facts.Object) {
	o.Derive("made_share", madeShare(item))
	o.Derive("too_small", facts.Known(tooSmall(item)))
	leg, ok := look[quantity.Quantity](item, "fillet.leg")
	found, seen := look[quantity.Quantity](item, "found.leg")
	switch {
	case !ok:
		o.Derive("leg_short", facts.NotRecorded(item.Path()+".fillet.leg"))
	case !seen:
		o.Derive("leg_short", facts.NotRecorded(item.Path()+".found.leg"))
	default:
		o.Derive("leg_short", known(length(max(0, leg.Value-found.Value))))
	}
	drawn, ok := look[int64](item, "fillet.sides")
	made, seen := look[int64](item, "found.sides")
	switch {
	case !ok:
		o.Derive("one_sided", facts.Known(false))
	case !seen:
		o.Derive("one_sided", facts.NotRecorded(item.Path()+".found.sides"))
	default:
		o.Derive("one_sided", facts.Known(made < drawn))
	}
}

// madeShare is how much of the drawn length is made.
func madeShare(item *model.Item) facts.Fact {
	made, ok := item.Text("found.made")
	if !ok {
		return facts.NotRecorded(item.Path() + ".found.made")
	}
	switch made {
	case "full":
		return known(number(1))
	case "none":
		return known(number(0))
	}
	l, unknown := madeLength(item)
	drawn, ok := look[quantity.Quantity](item, "fillet.length")
	switch {
	case unknown != nil:
		return *unknown
	case !ok:
		return facts.NotRecorded(item.Path() + ".fillet.length")
	}
	return known(number(min(1, l/drawn.Value)))
}

// madeLength is the length of weld that is there, m.
func madeLength(item *model.Item) (float64, *facts.Fact) {
	made, ok := item.Text("found.made")
	path := item.Path()
	var none facts.Fact
	switch {
	case !ok:
		none = facts.NotRecorded(path + ".found.made")
	case made == "none":
		return 0, nil
	case made == "full":
		if l, ok := look[quantity.Quantity](item, "fillet.length"); ok {
			made := l.Value * sidesShare(item)
			if seen, ok := look[quantity.Quantity](item, "found.made_length"); ok {
				made = min(made, seen.Value) // what was measured counts, whatever it is called
			}
			return made, nil
		}
		none = facts.NotRecorded(path + ".fillet.length")
	default:
		if l, ok := look[quantity.Quantity](item, "found.made_length"); ok {
			return l.Value, nil
		}
		n, okN := look[int64](item, "found.tacks")
		l, okL := look[quantity.Quantity](item, "found.tack_length")
		if okN && okL {
			return float64(n) * l.Value, nil
		}
		none = facts.NotRecorded(path + ".found.made_length")
		if made == "tack" {
			none = facts.NotRecorded(path+".found.tacks", path+".found.tack_length")
		}
	}
	return 0, &none
}

// sidesShare is the share of the drawn sides that are made. A side that nobody
// counted is taken as made: the word full says so.
func sidesShare(item *model.Item) float64 {
	drawn, okD := look[int64](item, "fillet.sides")
	made, okM := look[int64](item, "found.sides")
	if !okD || !okM || made >= drawn {
		return 1
	}
	return float64(made) / float64(drawn)
}

// weldStrength compares the forces that the held joints put on a weld with what
// the length made bears. Tacks count for what the policy says, by default
// nothing; what they would bear is kept for information.
func (f *floor) weldStrength(item *model.Item, o *facts.Object) {
	o.Derive("under_support", facts.Known(slices.ContainsFunc(f.items, func(s *model.Item) bool {
		return slices.Contains(item.Texts("holds"), s.ID)
	})))
	if len(item.Texts("holds")) == 0 {
		return
	}
	if f.none != nil && !f.onlySupports(item) {
		unknownStrength(o, *f.none, "would_bear")
		return
	}
	carries, unknown := o.Get("carries")
	if unknown == nil && carries == "nothing" {
		o.Derive("utilisation", known(number(0)))
		return
	}
	line, whole, missing, err := weldLine(item)
	if missing != nil {
		unknownStrength(o, *missing, "would_bear")
		return
	}
	if err != nil {
		f.compare(item, o, "fillet weld", 0, strength.Result{}, err)
		return
	}
	peak, load, working, missing, err := f.weldPeak(item, whole)
	if missing != nil {
		unknownStrength(o, *missing, "would_bear")
		return
	}
	full := line
	if err == nil && peak > 0 {
		full.Value = line.Value / peak * load
		full.Assumptions = append(slices.Clone(full.Assumptions), "strength of the whole weld against a force placed and directed like this one: what a millimetre bears ÷ peak × load")
	} else if err == nil {
		full.Value = line.Value * whole.Length
	}
	full.Working = append(slices.Clone(line.Working), working...)
	made, missing := madeLength(item)
	if missing != nil {
		unknownStrength(o, *missing, "would_bear")
		return
	}
	share := made / whole.Length
	o.Derive("would_bear", known(force(full.Value*min(1, share))))
	kind, _ := item.Text("found.made")
	switch {
	case kind == "tack" || share < 1:
		counts := share
		if kind == "tack" {
			counts *= f.number("tack_strength")
			full.Assumptions = append(slices.Clone(full.Assumptions), fmt.Sprintf("tacks count for %s of what they would bear", quantity.Format(f.number("tack_strength"))))
		}
		full.Assumptions = append(slices.Clone(full.Assumptions), "strength in proportion to the length made")
		full.Value *= counts
	}
	if err == nil && full.Value <= 0 {
		err = errors.New("what is made of it counts for nothing")
	}
	f.compare(item, o, "fillet weld, "+kind, load, full, err)
}

func (f *floor) onlySupports(item *model.Item) bool {
	return f.solved() && !slices.ContainsFunc(item.Texts("holds"), func(n string) bool { return f.byName[n] != nil })
}

// weldLine reads a fillet and says what a metre of it bears.
func weldLine(item *model.Item) (strength.Result, strength.FilletGroup, *facts.Fact, error) {
	var g strength.FilletGroup
	v, unknown := need(item, "fillet.leg", "fillet.length", "base.thickness")
	var missing []string
	if unknown != nil {
		missing = unknown.Unknown.Missing
	}
	for _, name := range []string{"fillet.filler", "fillet.layout", "base.material"} {
		if _, ok := look[string](item, name); !ok {
			missing = append(missing, item.Path()+"."+name)
		}
	}
	if len(missing) > 0 {
		none := facts.NotRecorded(missing...)
		return strength.Result{}, g, &none, nil
	}
	g.Leg, g.Length = v[0], v[1]
	if laid, ok := look[quantity.Quantity](item, "found.leg"); ok {
		g.Leg = min(g.Leg, laid.Value) // the drawing asks, what was laid bears
	}
	g.Layout, _ = look[string](item, "fillet.layout")
	if w, ok := look[quantity.Quantity](item, "fillet.width"); ok {
		g.Width = w.Value
	}
	fillerName, _ := look[string](item, "fillet.filler")
	materialName, _ := look[string](item, "base.material")
	filler, err := strength.FillerOf(fillerName)
	if err != nil {
		return strength.Result{}, g, nil, err
	}
	material, err := strength.MaterialOf(materialName)
	if err != nil {
		return strength.Result{}, g, nil, err
	}
	r, err := strength.FilletLine(g.Leg, filler, v[2], material)
	return r, g, nil, err
}

// weldPeak is the greatest force on a metre of the whole weld from all that it
// holds, N/m, and their forces added up, N. The forces of several joints are
// added as if they were worst at the same point. Without the direction of the
// lines the worst of the directions is taken.
func (f *floor) weldPeak(item *model.Item, g strength.FilletGroup) (peak, load float64, working []strength.Step, missing *facts.Fact, err error) {
	centre, ok := look[schema.Vec](item, "fillet.centre")
	if !ok {
		none := facts.NotRecorded(item.Path() + ".fillet.centre")
		return 0, 0, nil, &none, nil
	}
	frames, assumed := weldFrames(item)
	for _, name := range item.Texts("holds") {
		at, vectors, moment, on := f.forcesOn(name)
		if !on {
			continue
		}
		arm := statics.Vec{X: at.X - centre.X, Y: at.Y - centre.Y, Z: at.Z - centre.Z}
		worst, size := 0.0, 0.0
		var force, turn strength.Vec3 // the worst, in the weld's own frame
		var steps []strength.Step
		for _, vector := range vectors {
			size = max(size, math.Sqrt(sq(vector.X)+sq(vector.Y)+sq(vector.Z)))
			m := cross(arm, vector)
			for _, fr := range frames {
				p, w, e := g.Peak(fr.in(vector), fr.in(m))
				if e != nil {
					return 0, 0, nil, nil, e
				}
				if p >= worst {
					worst, force, turn, steps = p, fr.in(vector), fr.in(m), w
				}
			}
		}
		if len(vectors) > 0 {
			steps = append(components(force, turn), steps...)
		}
		if moment > 0 {
			// Its direction is not kept: it may open the lines as well as turn them.
			p, _, e := g.Peak(strength.Vec3{}, strength.Vec3{moment, moment, moment})
			if e != nil {
				return 0, 0, nil, nil, e
			}
			worst += p
		}
		peak += worst
		load += size
		working = append(working, strength.Step{Name: "lever arm of " + name, Value: 1e3 * math.Sqrt(sq(arm.X)+sq(arm.Y)+sq(arm.Z)), Unit: "mm"})
		working = append(working, steps...)
	}
	if assumed {
		working = append(working, strength.Step{Name: "directions tried", Value: float64(len(frames))})
	}
	working = append(working, strength.Step{Name: "length of the lines", Value: g.Length * 1e3, Unit: "mm"})
	if g.Width > 0 {
		working = append(working, strength.Step{Name: "width between the lines", Value: g.Width * 1e3, Unit: "mm"})
	}
	return peak, load, working, nil, nil
}

// components lists a force and a moment in the weld's own frame.
func components(force, moment strength.Vec3) []strength.Step {
	var steps []strength.Step
	for i, axis := range []string{"along the lines", "across the lines", "out of the face"} {
		steps = append(steps, strength.Step{Name: "force " + axis, Value: force[i], Unit: "N"}, strength.Step{Name: "moment about " + axis, Value: moment[i], Unit: "N·m"})
	}
	return steps
}

// forcesOn are the forces that a joint, link end or support puts on what holds it,
// one a load case, and the worst moment of a joint.
func (f *floor) forcesOn(name string) (at statics.Vec, vectors []statics.Vec, moment float64, on bool) {
	m := f.byName[name]
	switch {
	case m == nil:
		i := slices.IndexFunc(f.items, func(s *model.Item) bool { return s.ID == name })
		if i < 0 {
			return at, nil, 0, false
		}
		return f.places[i].At, []statics.Vec{{Z: f.step.Reaction(i).Most}}, 0, true
	case f.setting.isOff(m):
		return at, nil, 0, false
	case m.link:
		ends := f.ends(m.item)
		other := ends[0]
		if other == m {
			other = ends[1]
		}
		r := f.step.Link(f.assembly.links[m.item.ID])
		l := distance(*m.at, *other.at)
		for _, size := range []float64{r.Most, r.Least} {
			vectors = append(vectors, statics.Vec{X: size * (other.at.X - m.at.X) / l, Y: size * (other.at.Y - m.at.Y) / l, Z: size * (other.at.Z - m.at.Z) / l})
		}
		return point(*m.at), vectors, 0, true
	}
	i := f.assembly.joints[name]
	return point(*m.at), f.step.Forces(i), f.step.Joint(i).Moment, true
}

// frame is the weld's own frame: along the lines, across them, out of the face.
type frame [3]statics.Vec

func (fr frame) in(v statics.Vec) strength.Vec3 {
	var out strength.Vec3
	for i, e := range fr {
		out[i] = e.X*v.X + e.Y*v.Y + e.Z*v.Z
	}
	return out
}

// weldFrames gives the weld's frame as recorded, or where it is not, the frames
// along the axes of the vehicle, of which the worst counts.
func weldFrames(item *model.Item) ([]frame, bool) {
	along, okA := look[schema.Vec](item, "fillet.along")
	normal, okN := look[schema.Vec](item, "fillet.normal")
	if okA && okN {
		a, n := unit(point(along)), unit(point(normal))
		across := unit(cross(n, a))
		return []frame{{a, across, cross(a, across)}}, false
	}
	x, y, z := statics.Vec{X: 1}, statics.Vec{Y: 1}, statics.Vec{Z: 1}
	return []frame{{x, y, z}, {x, z, y}, {y, x, z}, {y, z, x}, {z, x, y}, {z, y, x}}, true
}

func cross(a, b statics.Vec) statics.Vec {
	return statics.Vec{X: a.Y*b.Z - a.Z*b.Y, Y: a.Z*b.X - a.X*b.Z, Z: a.X*b.Y - a.Y*b.X}
}

func unit(v statics.Vec) statics.Vec {
	n := math.Sqrt(sq(v.X) + sq(v.Y) + sq(v.Z))
	return statics.Vec{X: v.X / n, Y: v.Y / n, Z: v.Z / n}
}
