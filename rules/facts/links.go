package facts

import (
	"fmt"
	"math"
	"slices"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/strength"
	"setdown/rules/vehicle"
)

var ofLinks = append(fixed(
	yesNo("ends_tacked", "the welds at the ends of its tube are not made in full", endsTacked),
	measured("misalignment", quantity.Angle, "worst angle at its ends from the geometry", linkMisalignment),
	// An angle over the limit is recorded and bad; while a place, a direction or the limit is
	// not recorded, that end is not known to be.
	yesNo("fouls", "an end of it stands, by the points and the direction of its bolt, further out of square than its rod end can", func(it item) bool {
		limit, stated := rodLimit.ifStated(it)
		ends := it.ends()
		for i, e := range ends {
			if stated && e.Axis != nil && e.At != nil && ends[1-i].At != nil && *e.At != *ends[1-i].At && math.Asin(vehicle.AlongBolt(e, ends[1-i])) > limit {
				return true
			}
		}
		return false
	}),
	measured("steep", quantity.Angle, "how steeply a locating link, toe link or track rod is drawn; nothing of another, of a shackle, 200 mm long or less, and where nobody drew it", func(it item) float64 {
		if !it.isStated(schema.Locating) {
			return 0
		}
		return it.mechanism().LinkSteep(it.id())
	}),
	measured("engaged_min", quantity.Length, "the lesser thread engagement of its two ends", leastEngaged),
	measured("engaged_after", quantity.Length, "the lesser engagement once the planned turns are wound out", func(it item) float64 {
		// Each turn of the bar moves each of its ends by one pitch.
		turns, planned := turnsPlanned.ifStated(it)
		if !planned {
			return leastEngaged(it)
		}
		t := rodThread.of(it)
		if it.open() {
			return 0
		}
		return leastEngaged(it) - turns*t.Pitch
	}),
	measured("thread_diameter", quantity.Length, "nominal diameter of its rod ends' thread", func(it item) float64 { return rodThread.of(it).Diameter }),
	measured("span", quantity.Length, "distance between its ends in the build file", item.span),
	measured("past_part", quantity.Length, "how far one of its ends is drawn past the other points of the part that it is on; of a frame, body or engine nothing within the overhang; nothing where nobody drew it", func(it item) float64 {
		far := 0.0
		for _, e := range it.ends() {
			if e.At != nil {
				far = max(far, it.past(*e.At, e.Parts[0]))
			}
		}
		return far
	}),
	measured("length_off", quantity.Length, "by how much its measured length differs from that; nothing where nobody measured, or its ends have no place", func(it item) float64 {
		length, taken := foundLength.ifStated(it)
		ends := it.ends()
		if !taken || len(ends) == 0 || ends[0].At == nil || ends[1].At == nil {
			return 0
		}
		return math.Abs(length - distance(*ends[0].At, *ends[1].At))
	}),
	measured("twin_difference", quantity.Length, "measured length less that of its mirrored twin, without sign", func(it item) float64 {
		length := foundLength.of(it)
		if it.open() {
			return 0
		}
		if longest, several := it.longest(); several {
			return longest - length
		}
		twin, ok := it.twin()
		if !ok {
			return 0
		}
		return math.Abs(length - foundLength.of(twin))
	}),
	measured("twin_length", quantity.Length, "measured length of its mirrored twin; of a group the longest of its members", func(it item) float64 {
		if longest, several := it.longest(); several {
			return longest
		}
		if twin, ok := it.twin(); ok {
			return foundLength.of(twin) // what the shorter of the two is made to
		}
		return 0
	}),
	yesNo("has_twin", "a mirrored twin stands in the file, or it is a group of which several were measured", func(it item) bool {
		_, several := it.longest()
		return several || hasTwin(it)
	}),
	yesNo("has_rod_ends", "the file describes rod ends on it; not known of a bar of a checklist of which it says neither these nor what it is made of", func(it item) bool {
		has := rodEnds.there(it)
		if !has && len(it.ends()) == 0 && !tube.there(it) && !bar.there(it) {
			it.because(vehicle.NotRecorded(it.item.Path() + ".rod_ends"))
		}
		return has
	}),
	count("jam_nut_count", "how many jam nuts it has to have", func(item) int64 { return 2 }),
	yesNo("solid", "it is a bar of a known diameter and no tube, so that its ends have no adapters", func(it item) bool {
		d, stated := barDiameter.ifStated(it)
		return stated && d > 0 && !tube.there(it)
	}),
	yesNo("has_spring", "a spring that the file lists is in it", func(it item) bool { return it.spring() != nil }),
	yesNo("has_section", "the file describes a tube or bar for it", func(it item) bool { return tube.there(it) || bar.there(it) }),
	yesNo("hands_differ", "its ends have threads of different hand", func(it item) bool {
		// A bar that is set on the bench has two threads of one hand, unless somebody looked at its
		// jam nuts.
		if _, stated := rodHands.ifStated(it); !stated {
			inPlace, known := turnedInPlace.ifStated(it)
			if _, looked := jamNuts.ifStated(it); known && !inPlace && !looked {
				return false
			}
		}
		hands := rodHands.of(it)
		return !it.open() && hands[0] != hands[1]
	}),
	yesNo("jam_nuts_match", "each jam nut has the hand of its thread", func(it item) bool {
		hands := rodHands.of(it)
		if it.open() {
			return false
		}
		return slices.Equal(hands, jamNuts.of(it))
	}),
	yesNo("single_shear", "an end of it is bolted on one side only", func(it item) bool {
		ends := it.drawnEnds()
		if slices.ContainsFunc(ends, func(e *vehicle.Meet) bool { return e.Shear == "single" }) {
			return true
		}
		alone := false
		for _, e := range ends {
			n, stated := it.planesAt(e)
			alone = alone || stated && n == 1
			if e.Shear == "" && !stated {
				it.because(vehicle.NotRecorded(e.Path("shear")))
			}
		}
		return alone
	}),
	yesNo("held", "the file lists a fastener, nut or wheel that holds each of its two ends; the weld of a bracket does not count, and of a bar of a checklist without ends two bolts for each at its place; a coil by itself is held by its seats", func(it item) bool {
		switch {
		case len(it.ends()) == 0:
			return it.boltsListed()
		case seated(it):
			return true
		}
		return !slices.ContainsFunc(it.ends(), func(e *vehicle.Meet) bool { return !it.mechanism().Held(e) })
	}),
	yesNo("pulls", "it can pull as well as push: as recorded; where nobody did, a bar on two rod ends does that the file lists a bolt or nut for", func(it item) bool {
		if _, stated := canPull.ifStated(it); stated || it.sprung() || !rodEnds.there(it) || !it.bolted() {
			return canPull.of(it)
		}
		return true
	}),
	yesNo("seated", "a coil between seats of its own is in it: it pushes and never pulls, and its spring is asked what keeps it", seated),
	yesNo("steers", "it is a toe link or track rod", func(it item) bool { return it.isStated(schema.Steering) }),
	yesNo("sprung", "a coil-over or coil is in it: it is no bar, has no column, and is as long as its load makes it", item.sprung),
	measured("past_damper", quantity.Length, "by how much the length measured between its ends is more than its spring and damper are long at full droop, or less than they are closed; nothing of a bar, of a leaf, and where nobody measured it", func(it item) float64 {
		length, measured := foundLength.ifStated(it) // a spring is as long as its load makes it: nobody is asked to measure it
		if !measured || !it.sprung() {
			return 0
		}
		open, unknown := it.spring().Open()
		it.because(unknown)
		closed, unknown := it.spring().Closed()
		it.because(unknown)
		return max(0, length-open, closed-length)
	}),
	working(sectionOf, section),
),
	measured("pressed_past", quantity.Length, "by how much the length measured between its ends is less than its spring and seats leave it under the weight straight down; nothing of a bar, of a leaf, and where nobody measured it", func(it item) float64 {
		length, measured := foundLength.ifStated(it) // as above
		if !measured || !it.sprung() {
			return 0
		}
		return max(0, springLength(it.of(it.spring().Item))-length)
	}),
	measured("pose_angle", quantity.Angle, "how far out of square its worse end is in the pose of the step: at full droop where a spring of its suspension hangs, on its wheels as the springs carry it; nothing without springs", func(it item) float64 {
		return it.poseAngle(it.ends()...)
	}),
	yesNo("pose_fouls", "that is past the limit of its rod ends; false without any", func(it item) bool {
		angle := poseAngle.of(it)
		return !it.open() && angle > 0 && rodEnds.there(it) && angle > rodLimit.of(it)
	}),
	measured("tension", quantity.Force, "worst pull", func(it item) float64 { pull, _ := it.force(); return pull }),
	measured("compression", quantity.Force, "worst push", func(it item) float64 { _, push := it.force(); return push }),
	measured("buckling_utilisation", quantity.Number, "push × design factor ÷ column strength", use(barPushed)),
	measured("rod_end_utilisation", quantity.Number, "worst of pull and push × design factor ÷ static rating of its rod ends", func(it item) float64 {
		it.wantsRodEnds()
		return use(rodEndsBear)(it)
	}),
	measured("axial_utilisation", quantity.Number, "force along the bolts at its ends × design factor ÷ axial rating; unknown without bolt directions", func(it item) float64 {
		it.wantsRodEnds()
		return rodEndsIn.of(it).axial
	}),
	measured("tube_od", quantity.Length, "outside diameter of the smallest common tube that bears its push with the design factor", tubeFor),
	text("tube_words", "that tube, for a line of work; always known", func(it item) string {
		od, unknown := tubeChosen.why(it)
		switch {
		case unknown == nil:
			text := fmt.Sprintf("%s tube %s × %s", standInSteel, quantity.Format(od.Value*1000), quantity.Of(standInWall, quantity.Length, "mm"))
			if u := it.set.Units; u == quantity.Inch {
				text += fmt.Sprintf(" (%s × %s)", u.Say(od), u.Say(quantity.Of(standInWall, quantity.Length, "mm")))
			}
			return text
		case it.linkOff() || it.step().NoLoads != nil:
			return "a tube strong enough for its push"
		}
		return "a tube chosen by an engineer"
	}),
	working(barPushed, func(it item) *Comparison {
		pull, push := it.force()
		if it.open() || it.linkOff() || it.sprung() || it.mechanism().Damps(it.item) {
			return nil
		}
		s, unknown := sectionOf.why(it)
		if unknown != nil {
			if pull >= 1 || push >= 1 {
				it.because(unknown)
			}
			return nil
		}
		var r strength.Result
		g, err := s.guesses, s.err
		if err == nil {
			var shanks guesses
			r, shanks, err = it.column(s.section, s.material, push)
			g = slices.Concat(g, shanks)
		}
		r.Assumptions = append(r.Assumptions, it.sharing()...)
		return it.orAsk(it.compare("bar in compression", push, r, err), g)
	}),
	working(barPulled, func(it item) *Comparison {
		pull, _ := it.force()
		if barPushed.of(it) == nil || pull <= 0 {
			return nil
		}
		// What is too slender to be pushed may well be pulled.
		s := sectionOf.of(it)
		var r strength.Result
		err := s.err
		if err == nil {
			r, err = strength.BarTension(s.section, s.material)
		}
		r.Assumptions = append(r.Assumptions, it.sharing()...)
		return it.orAsk(it.compare("bar in tension", pull, r, err), s.guesses)
	}),
	working(rodEndsIn, rodEndsLoaded),
	working(rodEndsBear, func(it item) *Comparison { return rodEndsIn.of(it).bears }),
)

// bolted reports whether the file lists a bolt or nut at both ends of a link; not known of one without ends.
func (it item) bolted() bool {
	return len(it.ends()) > 0 && !slices.ContainsFunc(it.ends(), func(e *vehicle.Meet) bool {
		return !slices.ContainsFunc(it.holders(e.Name), func(h *vehicle.Holder) bool {
			return h.Kind.Name == "fasteners" || h.Kind.Name == "stud_nuts"
		})
	})
}

// planesAt is in how many planes the bolts of a link's end are sheared, by what is written of them:
// two where nothing is and the clear width between two tabs is.
func (it item) planesAt(e *vehicle.Meet) (n int64, stated bool) {
	between := false
	for _, h := range it.holders(e.Name) {
		switch h.Kind.Name {
		case "fasteners":
			if of, written := shearPlanes.ifStated(it.of(h.Item)); written && (!stated || of < n) {
				n, stated = of, true
			}
		case "spacers":
			_, gap := bracketGap.ifStated(it.of(h.Item))
			between = between || gap
		}
	}
	if !stated && between {
		return 2, true
	}
	return n, stated
}

// ends are the two ends of a link, in file order; none where a checklist has none written.
func (it item) ends() []*vehicle.Meet {
	it.r.note(readOf(it.Object, allFields))
	return it.set.state.Vehicle.Ends(it.item)
}

// boltsListed reports whether a checklist lists two bolts for each bar that has no ends at the place of
// this one: those of its sort, for what hangs an arm fastens no strut, and neither does the bolt of a track rod. The stud
// nuts of a place are those of its track rods, too.
func (it item) boltsListed() bool {
	build, spare := it.mechanism().Build, it.spare()
	count := func(kind string, counts func(item) bool) (pieces int64) {
		for _, other := range build.Of(kind) {
			if one := it.of(other); build.Place(other) == build.Place(it.item) && counts(one) {
				alike, _ := needed.ifStated(one) // one, where nobody says how many
				pieces += max(1, alike)
			}
		}
		return pieces
	}
	steers := it.isStated(schema.Steering)
	bars := count("links", func(bar item) bool {
		return len(bar.ends()) == 0 && bar.spare() == spare && (steers || !bar.isStated(schema.Steering))
	})
	bolts := count("fasteners", func(bolt item) bool {
		isSpare := bolt.isStated(schema.Spare) && !bolt.isStated(schema.Clamped)
		does, _ := role.ifStated(bolt)
		return len(bolt.item.Texts("holds")) == 0 && bolt.isStated(schema.Outboard) && isSpare == spare && (steers || does != "track rod")
	})
	if steers {
		bolts += count("stud_nuts", func(nut item) bool { return len(nut.item.Texts("holds")) == 0 })
	}
	return bolts >= 2*bars
}

// spare reports whether the bolts of a link hold no more than a strut, a damper or a track rod.
func (it item) spare() bool { return !it.isStated(schema.Locating) || it.isStated(schema.Steering) }

// drawnEnds are the same, asked for where they are not written.
func (it item) drawnEnds() []*vehicle.Meet {
	ends := it.ends()
	if len(ends) == 0 {
		it.because(vehicle.NotRecorded(it.item.Path() + ".ends"))
	}
	return ends
}

func (it item) linkOff() bool {
	ends := it.ends()
	return len(ends) > 0 && it.step().Off(ends[0])
}

// seated reports whether a link is a coil by itself.
func seated(it item) bool {
	s := it.spring()
	return s != nil && kindOfIt.of(it.of(s.Item)) == "coil"
}

// sprung reports whether a link is a spring on its damper or between its seats, and no bar.
func (it item) sprung() bool {
	s := it.spring()
	return s != nil && s.Coil()
}

// spring is an item of the springs, or the spring in a link; nil without one.
func (it item) spring() *vehicle.Spring {
	it.r.note(readOf(it.Object, allFields))
	return it.set.state.Vehicle.SpringOf(it.item)
}

// force is the worst pull and push in a link in the step, N; nothing when it is off.
func (it item) force() (pull, push float64) {
	s := it.step()
	if it.linkOff() {
		return 0, 0
	}
	it.because(s.NoLoads)
	if it.open() {
		return 0, 0
	}
	r := s.Link(it.item)
	return max(0, r.Most), max(0, -r.Least)
}

// endsTacked reports whether the welds at the ends of a tube are not made in full. A bar of
// studding and a link without a section have no such welds, unless somebody wrote
// down how far they are made.
func endsTacked(it item) bool {
	how, seen := adapters.ifStated(it)
	switch {
	case seen:
		return how == "tack" || how == "part" || how == "none" && tube.there(it)
	case tube.there(it):
		adapters.of(it)
	}
	return false
}

// leastEngaged is the lesser engagement of the two ends, m. Both ends must be recorded: one
// says nothing of the other.
func leastEngaged(it item) float64 {
	least := math.Inf(1)
	for _, v := range engagedEnds.of(it) {
		least = min(least, v.(quantity.Quantity).Value)
	}
	return least
}

// linkMisalignment is the worst angle at its ends between the link and the
// square position across the bolt, rad.
func linkMisalignment(it item) float64 {
	worst := 0.0
	ends := it.drawnEnds()
	for i, e := range ends {
		other := ends[1-i]
		switch {
		case e.At == nil:
			it.because(vehicle.NotRecorded(e.Path("at")))
		case e.Axis == nil:
			it.because(vehicle.NotRecorded(e.Path("axis")))
		case other.At != nil && *other.At != *e.At:
			worst = max(worst, math.Asin(vehicle.AlongBolt(e, other)))
		}
	}
	return worst
}

// barSection is the cross-section and material of a link or part, or why they are of no use.
type barSection struct {
	section  strength.Section
	material strength.Material
	guesses  guesses
	corners  bool // a rectangle, whose corners feel both ways of bending
	err      error
}

func section(it item) barSection {
	switch {
	case tube.there(it):
		od, wall := tubeOD.of(it), tubeWall.of(it)
		s, err := strength.Tube(od, wall)
		return it.bar(s, err, tubeMaterial, wall)
	case !bar.there(it):
		it.lacks("tube")
		return barSection{}
	}
	thick := 0.0
	if thread, threaded := barThread.ifStated(it); threaded {
		root, err := strength.RootDiameter(thread.Diameter, thread.Pitch)
		if err != nil {
			return barSection{err: err}
		}
		thick = root
	} else {
		thick = barDiameter.of(it)
	}
	s, err := strength.Round(thick)
	return it.bar(s, err, barMaterial, thick)
}

// bar adds to a cross-section, or to why there is none, the material of its thickness.
func (it item) bar(s strength.Section, err error, material field[string], thickness float64) barSection {
	out := barSection{section: s, err: err}
	if !it.open() && err == nil {
		out.material, out.err = it.metal(material, thickness, false, &out.guesses)
	}
	return out
}

// span is the distance between the ends of a link as drawn, m.
func (it item) span() float64 {
	ends := it.drawnEnds()
	for _, e := range ends {
		if e.At == nil {
			it.because(vehicle.NotRecorded(e.Path("at")))
		}
	}
	if it.open() {
		return 0
	}
	return distance(*ends[0].At, *ends[1].At)
}

// barLength is the length over which a link may buckle, m: between its ends as drawn, or
// as it was measured where that is more.
func barLength(it item) float64 {
	measured, _ := foundLength.ifStated(it)
	return max(it.span(), measured)
}

// What is taken of a rod end of which nobody wrote it down: the longest shank that the file may
// have, and mild steel.
const (
	longestShank = 0.120 // m
	mildShank    = 240e6 // Pa
)

// shank is the threaded shank of a rod end as it counts.
type shank struct {
	exposed, yield float64 // m, from the middle of the ball to where the thread is held; Pa
	guesses        guesses
}

// shank reads a shank. What nobody wrote down is taken at its worst.
func (it item) shank(exposed, yield amount, longest float64) (s shank) {
	whole := quantity.Of(math.Round(longest*1e3)/1e3, quantity.Length, "mm").String() + " taken"
	s.exposed = orWorst(it, exposed.field, quantity.Of(longest, quantity.Length, "mm"), whole, &s.guesses).Value
	s.yield = orWorst(it, yield.field, quantity.Of(mildShank, quantity.Stress, "MPa"), "mild steel taken", &s.guesses).Value
	return s
}

// column is what a link bears when it is pushed, with the shanks of its rod ends exposed. Where
// nobody measured these and the worst there is would not do, they are asked for; where the bar
// would not do without them either, they are not what matters.
func (it item) column(section strength.Section, m strength.Material, push float64) (strength.Result, guesses, error) {
	length, crooked := barLength(it), imperfection.of(it.policy())
	plain, err := strength.Column(section, length, crooked, m)
	if err != nil || !rodEnds.there(it) {
		return plain, nil, err
	}
	t := rodThread.of(it)
	if it.open() {
		return plain, nil, nil
	}
	s := it.shank(rodExposed, rodYield, min(longestShank, length/2-t.Diameter))
	root, err := strength.RootDiameter(t.Diameter, t.Pitch)
	if err != nil {
		return plain, nil, err
	}
	thread, err := strength.Round(root)
	if err != nil {
		return plain, nil, err
	}
	const steel = 205e9 // Pa, Young's modulus
	r, err := strength.ColumnWithShanks(section, thread, length, s.exposed, crooked, m, strength.Material{Yield: s.yield, E: steel})
	if push*designFactor.of(it.policy()) > plain.Value {
		s.guesses = s.guesses.idle()
	}
	return r, s.guesses, err
}

// Tubes that a stand-in bar is made of: the common outside diameters, with one wall
// and the weaker of the usual steels, so that whatever the shop has is not weaker.
var standIns = []float64{0.020, 0.025, 0.028, 0.030, 0.032, 0.035, 0.038, 0.042, 0.045, 0.050, 0.060}

const (
	standInWall  = 0.0025 // m
	standInSteel = "E235"
)

// tubeFor is the smallest of the common tubes that bears the push in a link
// with the design factor over its length.
func tubeFor(it item) float64 {
	if it.linkOff() {
		it.not("it is off the vehicle in this step")
	}
	_, push := it.force()
	if it.open() {
		return 0
	}
	m, err := strength.MaterialOf(standInSteel, standInWall)
	for _, od := range standIns {
		var s strength.Section
		if err == nil {
			s, err = strength.Tube(od, standInWall)
		}
		var r strength.Result
		if err == nil {
			r, _, err = it.column(s, m, push)
		}
		if err == nil && push*designFactor.of(it.policy()) <= r.Value {
			return od
		}
	}
	it.not("none of the usual tubes is strong enough for this push at this length")
	return 0
}

// wantsRodEnds asks for the rod ends of a link that is on and loaded.
func (it item) wantsRodEnds() {
	if it.force(); !it.open() && !it.linkOff() && !rodEnds.there(it) {
		it.lacks("rod_ends")
	}
}

// rodEndUse is what the rod ends of a link bear: the worse of them, and the worst along a bolt.
type rodEndUse struct {
	bears *Comparison
	axial float64 // force along the bolt × design factor ÷ axial rating
}

func rodEndsLoaded(it item) (out rodEndUse) {
	pull, push := it.force()
	if it.open() || it.linkOff() || !rodEnds.there(it) {
		return out
	}
	rated, factor := rodRated.of(it), designFactor.of(it.policy())
	axial, own := rodRatedAxial.ifStated(it)
	if !own {
		axial = rated * axialShare.of(it.policy())
	}
	if it.open() {
		return out
	}
	load, worst := max(push, pull), strength.Result{}
	most, split, where := -1.0, true, ""
	var failure error
	for _, e := range it.ends() {
		p, _ := it.step().Pass(e.Name)
		if !p.Split {
			// A link pulls on the ball along itself, at an angle to the bolt that nobody
			// knows: the worst is where both shares together are most.
			across, along := 1/rated, 1/axial
			slant := math.Hypot(across, along)
			if p.Whole*slant*factor > 1 {
				it.because(vehicle.NotRecorded(e.Path("axis")))
				return out
			}
			p.Across, p.Along, split = p.Whole*across/slant, p.Whole*along/slant, false
		}
		r, err := strength.RodEnd(p.Across, p.Along, rated, axial)
		if err != nil {
			failure = err
			continue
		}
		if u := (p.Across + p.Along) / r.Value; u > most {
			most, worst, where = u, r, e.Name
			worst.Value = load / max(u, 1e-12)
			if u == 0 {
				worst.Value = rated
			}
		}
		out.axial = max(out.axial, p.Along*factor/axial)
	}
	if !split {
		worst.Assumptions = append(worst.Assumptions, "direction of a bolt not recorded: the worst slant is assumed")
	}
	worst.Assumptions = append(append(worst.Assumptions, "the worse end is "+where), it.sharing()...)
	out.bears = it.compare("rod ends against their rating", load, worst, failure)
	return out
}

// coil reports whether a spring pushes along its link; while its kind is not recorded nobody
// knows.
func (it item) coil(s *vehicle.Spring) bool {
	kindOfIt.of(it)
	return s.Coil()
}

// springLength is how long a coil's link stands in the step, m; as drawn where it is off.
func springLength(it item) float64 {
	s := it.spring()
	if !it.coil(s) || it.of(s.Link).linkOff() {
		return 0
	}
	it.because(it.step().NoLoads)
	if it.open() {
		return 0
	}
	length, unknown := 0.0, (*Unknown)(nil)
	it.r.note(read{outside, theMechanism})
	if st := it.set.OnSprings(); st != nil {
		length, _ = st.Length(s.Link.ID)
	} else {
		length, unknown = s.Under(-it.step().Link(s.Link).Nominal)
	}
	it.because(unknown)
	return math.Round(length*1e6) / 1e6
}

// longest is the greatest length, m, that was measured of the members of a group, both bars of a pair
// in one line; none where not several were measured.
func (it item) longest() (longest float64, several bool) {
	state := it.logged().Build.Standing[it.id()]
	if state == nil || len(state.Members) < 2 {
		return 0, false
	}
	n := 0
	for _, member := range state.Members {
		if length, measured := member["length"].V.(quantity.Quantity); measured {
			longest, n = max(longest, length.Value), n+1
		}
	}
	return longest, n > 1
}
