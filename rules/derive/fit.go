package derive

import (
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/facts"
)

// need reads several recorded quantities of an item at once. It returns their
// SI values in order, or the fact that says which are missing.
func need(item *model.Item, paths ...string) ([]float64, *facts.Fact) {
	values := make([]float64, len(paths))
	var missing []string
	for i, p := range paths {
		q, ok := look[quantity.Quantity](item, p)
		if !ok {
			missing = append(missing, item.Path()+"."+p)
		}
		values[i] = q.Value
	}
	if len(missing) > 0 {
		f := facts.NotRecorded(missing...)
		return nil, &f
	}
	return values, nil
}

// look reads a recorded value by its dotted path. It is not there when nobody
// recorded it, or when items of this kind have no such field.
func look[T any](item *model.Item, path string) (T, bool) {
	var zero T
	field := item.Kind.Field
	for name := range strings.SplitSeq(path, ".") {
		f := field(name)
		if f == nil {
			return zero, false
		}
		field = f.Field
	}
	v, ok := item.Lookup(path)
	if !ok {
		return zero, false
	}
	t, ok := v.V.(T)
	return t, ok
}

func length(m float64) quantity.Quantity   { return quantity.Of(m, quantity.Length, "mm") }
func force(n float64) quantity.Quantity    { return quantity.Of(n, quantity.Force, "N") }
func angle(rad float64) quantity.Quantity  { return quantity.Of(rad, quantity.Angle, "°") }
func number(v float64) quantity.Quantity   { return quantity.Of(v, quantity.Number, "") }
func mass(kg float64) quantity.Quantity    { return quantity.Of(kg, quantity.Mass, "kg") }
func stress(pa float64) quantity.Quantity  { return quantity.Of(pa, quantity.Stress, "MPa") }
func known(q quantity.Quantity) facts.Fact { return facts.Known(q) }

// fit derives what follows from sizes and counts alone, the same in every step.
func (d *Deriver) fit(all map[string][]*facts.Object) {
	for _, kind := range []struct {
		name   string
		derive func(*model.Item, *facts.Object)
	}{
		{"joints", d.jointFit}, {"links", d.linkFit}, {"spacers", d.spacerFit}, {"wheels", d.wheelFit},
		{"fasteners", d.fastenerFit}, {"ball_joints", d.ballJointFit}, {"welds", d.weldFit},
		{"supports", d.supportFit}, {"hoists", d.hoistFit},
	} {
		items := d.build.Of(kind.name)
		for i, o := range all[kind.name] {
			kind.derive(items[i], o)
			if slices.Contains(worded, kind.name) {
				words(items[i], o)
			}
		}
	}
}

func (d *Deriver) jointFit(item *model.Item, o *facts.Object) {
	twin := d.twins[item.ID]
	o.Derive("has_twin", facts.Known(twin != nil))
	o.Derive("held", facts.Known(d.isHeld(item.ID)))
	o.Derive("has_play", facts.Known(recorded(item, "found.worn") || outOfItsEye(item)))
	o.Derive("fouls", facts.Known(fouls(item)))
	o.Derive("mirror_offset", d.mirrorOffset(item, twin))
	o.Derive("misalignment", joinMisalignment(item))
	single, missing, held := false, []string(nil), false
	for _, h := range d.holders[item.ID] {
		if h.Kind.Name != "fasteners" {
			continue
		}
		held = true
		planes, ok := h.Count("shear_planes")
		if !ok {
			missing = append(missing, h.Path()+".shear_planes")
		}
		single = single || ok && planes == 1
	}
	switch {
	case single || !held:
		o.Derive("in_single_shear", facts.Known(single))
	case len(missing) > 0:
		o.Derive("in_single_shear", facts.NotRecorded(missing...))
	default:
		o.Derive("in_single_shear", facts.Known(false))
	}
}

// outOfItsEye reports whether somebody saw that the bush, bearing or ball joint is not
// in its eye, or that nothing keeps it there.
func outOfItsEye(item *model.Item) bool {
	kind, _ := item.Text("kind")
	if kind == "bolted face" || kind == "welded face" {
		return false // has no eye
	}
	return seenNot(item, "found.kept") || kind != "pivot" && seenNot(item, "found.bush_fitted")
}

// fouls reports whether the angle measured on a joint is past its bearing's limit.
func fouls(item *model.Item) bool {
	v, unknown := need(item, "found.misalignment", "misalignment_limit")
	return unknown == nil && v[0] > v[1]
}

// joinMisalignment is the angle measured on a joint. A joint's two parts have
// no drawn square position, so nothing is computed for it.
func joinMisalignment(item *model.Item) facts.Fact {
	if q, ok := look[quantity.Quantity](item, "found.misalignment"); ok {
		return known(q)
	}
	return facts.NotRecorded(item.Path() + ".found.misalignment")
}

// endsTacked reports whether the welds at the ends of a tube are not made in full. A bar of
// studding and a link without a section have no such welds, unless somebody wrote
// down how far they are made.
func endsTacked(item *model.Item) facts.Fact {
	made, seen := item.Text("found.adapters")
	_, tube := item.Record.Record("tube")
	switch {
	case seen:
		return facts.Known(made == "tack" || made == "part" || made == "none" && tube)
	case tube:
		return facts.NotRecorded(item.Path() + ".found.adapters")
	}
	return facts.Known(false)
}

// mirrorOffset compares the place of a joint with the mirrored place of its
// twin, across the plane y = 0.
func (d *Deriver) mirrorOffset(item, twin *model.Item) facts.Fact {
	if twin == nil {
		return facts.NotComputed("the file has no twin of it")
	}
	a, okA := item.Vec("at")
	b, okB := twin.Vec("at")
	switch {
	case !okA:
		return facts.NotRecorded(item.Path() + ".at")
	case !okB:
		return facts.NotRecorded(twin.Path() + ".at")
	}
	b.Y = -b.Y
	return known(length(distance(a, b)))
}

func (d *Deriver) linkFit(item *model.Item, o *facts.Object) {
	o.Derive("ends_tacked", endsTacked(item))
	role, roleKnown := item.Text("role")
	held := true
	for _, e := range d.ends(item) {
		held = held && d.isHeld(e.name)
	}
	o.Derive("held", facts.Known(held))
	o.Derive("steers", facts.Known(roleKnown && (role == "toe link" || role == "track rod")))
	_, tube := item.Record.Record("tube")
	_, bar := item.Record.Record("bar")
	_, ends := item.Record.Record("rod_ends")
	o.Derive("has_section", facts.Known(tube || bar))
	o.Derive("has_rod_ends", facts.Known(ends))
	twin := d.twins[item.ID]
	o.Derive("has_twin", facts.Known(twin != nil))
	o.Derive("twin_difference", twinDifference(item, twin))
	o.Derive("twin_length", twinLength(twin))
	o.Derive("witness_open", facts.Known(seenNot(item, "found.witness_blocked")))
	o.Derive("thread_diameter", threadDiameter(item))
	o.Derive("engaged_min", engagedMin(item, 0))
	o.Derive("engaged_after", engagedAfter(item))
	o.Derive("hands_differ", handsDiffer(item))
	o.Derive("jam_nuts_match", jamNutsMatch(item))
	o.Derive("span", d.span(item))
	o.Derive("misalignment", d.linkMisalignment(item))
	o.Derive("single_shear", singleShear(item))
}

// isHeld reports whether the file lists what holds a joint or link end: a bolt or
// nut, at a welded face a weld. Spacers and springs alone hold nothing, and the weld
// of a bracket holds no bolt in it.
func (d *Deriver) isHeld(name string) bool {
	welded := d.byName[name].kind == "welded face"
	return slices.ContainsFunc(d.holders[name], func(h *model.Item) bool {
		return h.Kind.Name != "spacers" && h.Kind.Name != "springs" && (h.Kind.Name != "welds" || welded)
	})
}

func twinDifference(item, twin *model.Item) facts.Fact {
	if twin == nil {
		return facts.NotComputed("the file has no twin of it")
	}
	a, okA := look[quantity.Quantity](item, "found.length")
	b, okB := look[quantity.Quantity](twin, "found.length")
	switch {
	case !okA:
		return facts.NotRecorded(item.Path() + ".found.length")
	case !okB:
		return facts.NotRecorded(twin.Path() + ".found.length")
	}
	return known(length(math.Abs(a.Value - b.Value)))
}

// twinLength is the measured length of the twin: what the shorter of the two is
// made to.
func twinLength(twin *model.Item) facts.Fact {
	if twin == nil {
		return facts.NotComputed("the file has no twin of it")
	}
	v, unknown := need(twin, "found.length")
	if unknown != nil {
		return *unknown
	}
	return known(length(v[0]))
}

func threadDiameter(item *model.Item) facts.Fact {
	t, ok := look[quantity.Thread](item, "rod_ends.thread")
	if !ok {
		return facts.NotRecorded(item.Path() + ".rod_ends.thread")
	}
	return known(length(t.Diameter))
}

// engagedMin is the lesser engagement of the two ends, less what is still to be
// wound out. Both ends must be recorded: one says nothing of the other.
func engagedMin(item *model.Item, woundOut float64) facts.Fact {
	list, ok := look[[]schema.Value](item, "found.engaged")
	if !ok || len(list) < 2 {
		return facts.NotRecorded(item.Path() + ".found.engaged")
	}
	least := math.Inf(1)
	for _, v := range list {
		least = min(least, v.V.(quantity.Quantity).Value)
	}
	return known(length(least - woundOut))
}

// engagedAfter takes the planned turns off the engagement. Each turn of the
// bar moves each of its ends by one pitch.
func engagedAfter(item *model.Item) facts.Fact {
	turns, ok := look[quantity.Quantity](item, "found.turns_planned")
	if !ok {
		return engagedMin(item, 0)
	}
	t, ok := look[quantity.Thread](item, "rod_ends.thread")
	if !ok {
		return facts.NotRecorded(item.Path() + ".rod_ends.thread")
	}
	return engagedMin(item, turns.Value*t.Pitch)
}

func texts(item *model.Item, path string) ([]string, bool) {
	list, ok := look[[]schema.Value](item, path)
	if !ok || len(list) != 2 {
		return nil, false
	}
	return []string{list[0].V.(string), list[1].V.(string)}, true
}

func handsDiffer(item *model.Item) facts.Fact {
	hands, ok := texts(item, "rod_ends.hands")
	if !ok {
		return facts.NotRecorded(item.Path() + ".rod_ends.hands")
	}
	return facts.Known(hands[0] != hands[1])
}

func jamNutsMatch(item *model.Item) facts.Fact {
	hands, ok := texts(item, "rod_ends.hands")
	if !ok {
		return facts.NotRecorded(item.Path() + ".rod_ends.hands")
	}
	nuts, ok := texts(item, "found.jam_nut_hands")
	if !ok {
		return facts.NotRecorded(item.Path() + ".found.jam_nut_hands")
	}
	return facts.Known(slices.Equal(hands, nuts))
}

func (d *Deriver) ends(item *model.Item) []*meet {
	var ends []*meet
	for _, m := range d.meets {
		if m.link && m.item == item {
			ends = append(ends, m)
		}
	}
	return ends
}

func (d *Deriver) span(item *model.Item) facts.Fact {
	ends := d.ends(item)
	var missing []string
	for _, e := range ends {
		if e.at == nil {
			missing = append(missing, e.path("at"))
		}
	}
	if len(missing) > 0 {
		return facts.NotRecorded(missing...)
	}
	return known(length(distance(*ends[0].at, *ends[1].at)))
}

func distance(a, b schema.Vec) float64 {
	return r3.Norm(r3.Sub(point(a), point(b)))
}

// alongBolt is the cosine of the angle between a link and the bolt at one of its
// ends, whichever way the bolt points: 0 where the link stands square to it.
func alongBolt(end, other *meet) float64 {
	return min(1, math.Abs(r3.Cos(r3.Sub(point(*other.at), point(*end.at)), point(*end.axis))))
}

// linkMisalignment is the worst angle at its ends between the link and the
// square position across the bolt.
func (d *Deriver) linkMisalignment(item *model.Item) facts.Fact {
	ends := d.ends(item)
	worst := 0.0
	var missing []string
	for i, e := range ends {
		other := ends[1-i]
		switch {
		case e.at == nil:
			missing = append(missing, e.path("at"))
		case e.axis == nil:
			missing = append(missing, e.path("axis"))
		case other.at != nil && *other.at != *e.at:
			worst = max(worst, math.Asin(alongBolt(e, other)))
		}
	}
	if len(missing) > 0 {
		return facts.NotRecorded(missing...)
	}
	return known(angle(worst))
}

func singleShear(item *model.Item) facts.Fact {
	ends, _ := item.Record.Record("ends")
	var missing []string
	for _, name := range ends.Names() {
		end, _ := ends.Record(name)
		shear, ok := end.Text("shear")
		if shear == "single" {
			return facts.Known(true)
		}
		if !ok {
			missing = append(missing, item.Path()+".ends."+name+".shear")
		}
	}
	if len(missing) > 0 {
		return facts.NotRecorded(missing...)
	}
	return facts.Known(false)
}

func (d *Deriver) spacerFit(item *model.Item, o *facts.Object) {
	_, stack := item.Record.Record("stack")
	_, bore := item.Record.Record("bore")
	o.Derive("has_stack", facts.Known(stack))
	o.Derive("has_bore", facts.Known(bore))
	o.Derive("missing", countMissing(item, "needed", "found.fitted"))
	o.Derive("stack_error", stackError(item))
	o.Derive("gapes", facts.Known(d.gapes(item)))
	o.Derive("slide", slide(item))
	o.Derive("tabs_in", facts.Known(recorded(item, "found.tabs_drawn_in")))
	o.Derive("bore_clearance", boreClearance(item))
}

// countMissing is how many of what is needed are not there.
func countMissing(item *model.Item, needed, fitted string) facts.Fact {
	n, okN := look[int64](item, needed)
	have, okH := look[int64](item, fitted)
	var missing []string
	if !okN {
		missing = append(missing, item.Path()+"."+needed)
	}
	if !okH {
		missing = append(missing, item.Path()+"."+fitted)
	}
	if len(missing) > 0 {
		return facts.NotRecorded(missing...)
	}
	return facts.Known(max(0, n-have))
}

func stackError(item *model.Item) facts.Fact {
	v, unknown := need(item, "stack.bracket_gap", "stack.ball_width", "stack.each")
	n, ok := item.Count("needed")
	switch {
	case unknown != nil:
		return *unknown
	case !ok:
		return facts.NotRecorded(item.Path() + ".needed")
	}
	return known(length(math.Abs(v[0] - v[1] - float64(n)*v[2])))
}

// gapes reports whether a gap was measured although all spacers are in. The gap that a
// missing spacer leaves is no news.
func (d *Deriver) gapes(item *model.Item) bool {
	n, _ := item.Count("needed")
	have, counted := item.Count("found.fitted")
	gap, _ := item.Quantity("found.gap_left")
	most, _ := d.policy.Quantity("stack_error")
	return counted && have >= n && gap.Value > most.Value
}

// slide is the room along the bolt that the spacers in place leave.
func slide(item *model.Item) facts.Fact {
	v, unknown := need(item, "stack.bracket_gap", "stack.ball_width", "stack.each")
	n, ok := look[int64](item, "found.fitted")
	switch {
	case unknown != nil:
		return *unknown
	case !ok:
		return facts.NotRecorded(item.Path() + ".found.fitted")
	}
	return known(length(max(0, v[0]-v[1]-float64(n)*v[2])))
}

// boreClearance is the worst play of the two fits: bearing on sleeve, sleeve on
// bolt. An interference counts as its size, because it does not go together.
func boreClearance(item *model.Item) facts.Fact {
	v, unknown := need(item, "bore.bearing", "bore.spacer_outside", "bore.spacer_inside", "bore.bolt")
	if unknown != nil {
		return *unknown
	}
	return known(length(max(math.Abs(v[0]-v[1]), math.Abs(v[2]-v[3]))))
}

func (d *Deriver) wheelFit(item *model.Item, o *facts.Object) {
	o.Derive("missing", countMissing(item, "nuts", "found.nuts"))
	o.Derive("torque_share", torqueShare(item))
	o.Derive("stretched", facts.Known(stretched(item)))
	o.Derive("engaged_ratio", engagedRatio(item))
	o.Derive("hub_slack", facts.Known(d.hubSlack(item)))
}

func share(item *model.Item, over, under string) facts.Fact {
	v, unknown := need(item, over, under)
	switch {
	case unknown != nil:
		return *unknown
	case v[1] == 0:
		return facts.NotComputed("%s.%s is zero", item.Path(), under)
	}
	return known(number(v[0] / v[1]))
}

// torqueShare is the torque reached as a share of the wanted one. What is only
// loose, finger tight or snug has reached none that counts.
func torqueShare(item *model.Item) facts.Fact {
	// A nut that was found loose is loose, whatever was once reached on it.
	if word, said := look[string](item, "found.tightness"); said && word != "torqued" {
		return known(number(0))
	}
	return share(item, "found.torqued", "torque")
}

// stretched reports whether something was torqued so far past what it is to have that
// its thread is taken to have yielded. The usual torque brings three quarters of the
// proof load; half as much again passes it.
func stretched(item *model.Item) bool {
	const tooFar = 1.5
	v, unknown := need(item, "found.torqued", "torque")
	return unknown == nil && v[0] > tooFar*v[1]
}

// hubSlack reports whether both torques of a hub nut are written down and too little was
// reached.
func (d *Deriver) hubSlack(item *model.Item) bool {
	v, unknown := need(item, "found.hub_torqued", "hub_torque")
	return unknown == nil && v[0] < d.number("torque_share")*v[1]
}

// engagedRatio is turns × pitch ÷ diameter of a wheel stud.
func engagedRatio(item *model.Item) facts.Fact {
	v, unknown := need(item, "found.turns")
	t, ok := look[quantity.Thread](item, "stud")
	switch {
	case unknown != nil:
		return *unknown
	case !ok:
		return facts.NotRecorded(item.Path() + ".stud")
	}
	return known(number(v[0] * t.Pitch / t.Diameter))
}

func (d *Deriver) ballJointFit(item *model.Item, o *facts.Object) {
	o.Derive("mark_broken", facts.Known(recorded(item, "found.mark_broken")))
	o.Derive("torque_share", torqueShare(item))
	o.Derive("stretched", facts.Known(stretched(item)))
	over := facts.Known(false)
	if limit, ok := item.Quantity("torque_max"); ok {
		if v, unknown := need(item, "found.torqued"); unknown != nil {
			over = *unknown
		} else {
			over = facts.Known(v[0] > limit.Value)
		}
	}
	o.Derive("over_torque", over)
	o.Derive("taper_words", facts.Known("the joint only sits on its taper"))
	stud := facts.NotRecorded(item.Path() + ".holds")
	for _, name := range item.Texts("holds") {
		m := d.byName[name]
		if m == nil || m.link {
			continue
		}
		stud = facts.NotRecorded(m.path("stud"))
		if s, ok := m.item.Text("stud"); ok {
			stud = facts.Known(s)
			break
		}
	}
	o.Derive("stud", stud)
}

func (d *Deriver) supportFit(item *model.Item, o *facts.Object) {
	o.Derive("seen_wrong", facts.Known(seenWrong(item)))
	o.Derive("rating", rating(item))
	o.Derive("crib_ratio", share(item, "height", "block_length"))
	under, ok := item.Text("under")
	if !ok {
		o.Derive("on_role", facts.NotRecorded(item.Path()+".under"))
		o.Derive("on_suspension", facts.NotRecorded(item.Path()+".under"))
		if on, ok := item.Text("bears_on"); ok {
			o.Derive("on_suspension", facts.Known(on == "arm" || on == "upright"))
		}
		return
	}
	part := d.build.Item(under)
	role, ok := part.Text("role")
	if !ok {
		o.Derive("on_role", facts.NotRecorded(part.Path()+".role"))
		o.Derive("on_suspension", facts.NotRecorded(part.Path()+".role"))
		return
	}
	o.Derive("on_role", facts.Known(role))
	o.Derive("on_suspension", facts.Known(role == "arm" || role == "upright"))
}

// seenWrong is what was written down as wrong with a support and is asked for by no rule
// of its kind: nobody has to look, but what was seen counts.
func seenWrong(item *model.Item) string {
	kind, _ := item.Text("kind")
	var words []string
	wrong := func(is bool, word string, kinds ...string) {
		if is && slices.Contains(kinds, kind) {
			words = append(words, word)
		}
	}
	wrong(seenNot(item, "found.contact"), "it does not touch with its whole saddle or pad", "jack", "dolly", "table", "wheel")
	wrong(seenNot(item, "found.level"), "it does not stand upright and level", "jack", "dolly", "table", "hoist pad")
	wrong(seenNot(item, "found.locked"), "its pawl, pin or lock is not home", "trestle", "dolly", "table", "hoist pad")
	wrong(seenNot(item, "found.own_pin"), "its pin is not the maker's own", "trestle", "dolly", "table")
	wrong(recorded(item, "found.stacked"), "something lies under its foot", "dolly", "table")
	if len(words) == 0 {
		return "nothing"
	}
	return strings.Join(words, "; ")
}

// rating is the rated load of one support: half the plate when the plate counts
// a pair.
func rating(item *model.Item) facts.Fact {
	v, unknown := need(item, "rated")
	per, ok := item.Text("rated_per")
	switch {
	case unknown != nil:
		return *unknown
	case !ok:
		if kind, _ := item.Text("kind"); kind == "stand" || kind == "trestle" {
			return facts.NotRecorded(item.Path() + ".rated_per")
		}
	}
	if per == "pair" {
		v[0] /= 2
	}
	return known(force(v[0]))
}

func (d *Deriver) hoistFit(item *model.Item, o *facts.Object) {
	on, ok := item.Date("found.examined")
	if !ok {
		o.Derive("examined_ago", facts.NotRecorded(item.Path()+".found.examined"))
		return
	}
	o.Derive("examined_ago", known(quantity.Of(float64(on.DaysUntil(d.today))*86400, quantity.Duration, "days")))
}
