package facts

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/rules/vehicle"
)

var ofSteps = []fact{
	text("name", "the step in a few words", func(it item) string { return it.step().Name }),
	yesNo("first", "it is the first step", func(it item) bool { return it.step().Index == 0 }),
	yesNo("changes", "it rests on other supports than the step before; false of the first step", func(it item) bool { return it.step().Move.ChangesAt(it.step().Index) }),
	yesNo("last", "it is the last step", func(it item) bool { return it.step().Index == len(it.step().Move.Steps)-1 }),
	quoted("pitch", quantity.Angle, "nose-up angle while it stands so, by a level on the frame, else as it is meant; level unless the file says otherwise", func(it item) quantity.Quantity { return it.stated("pitch") }),
	quoted("roll", quantity.Angle, "left-side-up angle while it stands so, in the same way", func(it item) quantity.Quantity { return it.stated("roll") }),
	yesNo("level_read", "somebody laid a level on the frame while it stood so", func(it item) bool {
		_, read := it.step().Record.Record("found")
		return read
	}),
	yesNo("level_counts", "somebody laid one on it today, so that it says how the vehicle stands", func(it item) bool {
		_, counts := it.level()
		return counts
	}),
	measured("level_age", quantity.Duration, "how long ago that was; nothing where nobody did", func(it item) float64 {
		level, read := it.step().Record.Record("found")
		if !read {
			return 0
		}
		on, dated := level.Date("on")
		if it.wants(dated, "found.on"); !dated {
			return 0
		}
		days := on.DaysUntil(it.today())
		if days < 0 {
			it.not("the level is of %s, after today (%s)", on, it.today())
		}
		return float64(days) * quantity.Day
	}),
	measured("height_pitch", quantity.Angle, "nose-up angle at which the set heights of its supports put it", func(it item) float64 { return tenth(it.leans().nose) }),
	measured("height_roll", quantity.Angle, "left-side-up angle at which they put it", func(it item) float64 { return tenth(it.leans().left) }),
	yesNo("heights_contradict", "the set heights of its supports tilt it otherwise, by more than 3 degrees, than the step's pitch and roll; not recorded when they tilt it so far and the step says neither, or when some of its stands have a height and others have none; false when none has", heightsContradict),
	measured("height_off", quantity.Angle, "by how much the set heights of its supports tilt it otherwise than the step's pitch and roll; nothing where they or the step do not say", heightOff),
	measured("heights_apart", quantity.Length, "by how much the set heights of its supports differ, where their places do not say how that tilts the vehicle and the step does not say both pitch and roll, or others than supports of such heights give; not recorded where it says one of them and they differ by more than the policy allows", heightsApart),
	text("unlifted", "supports that this step takes over although the vehicle does not stay up in between, on the jacks, cranes and hoist pads of this step and the one before and on what both share; 'nothing' when there are none", func(it item) string { return it.step().Unlifted() }),
	measured("given_up", quantity.Mass, "mass that bore on the supports of the step before which this step does without; 0 in the first step; in a checklist the share of the vehicle that those supports are by their number", func(it item) float64 {
		kg, unknown := it.step().GivenUp()
		it.because(unknown)
		return kg
	}),
	text("fitted_yet_off", "parts that are off in this first step although they were found fitted, or what holds them was found in place; 'nothing' when there are none", fittedYetOff),
	text("base_off", "the part that the vehicle is built on, where it is off in this step; 'nothing' where it is on, or the file lists no parts", func(it item) string {
		base := it.mechanism().Build.Item(it.mechanism().Base())
		if base == nil || slices.Contains(it.step().Parts, base) {
			return "nothing"
		}
		return base.ID
	}),
	text("off_before", "parts that are off in this first step for no other reason than that an earlier move of the file takes them off, with that move; 'nothing' when there are none", offBefore),
	text("goes_on", "parts that were found not to be on the vehicle and that this step puts on, with no more than themselves resting on what fastens them, and the bolts, nuts, spacers and wheels that go in with them; 'nothing' when there are none", goesOn),
	text("unhooked", "parts that come off or on between the step before and this one, more than its people can carry, and that no crane of the file lifts; 'nothing' when there are none", unhooked),
	text("lifted_on_jack", "parts that come off or on between the step before and this one although it stands on a jack then, and what a hook has to lift although their supports differ; 'nothing' when there are none", liftedOnJack),
	text("lapsed", "stands, trestles, jacks and cranes of the move whose last examination is longer ago than the policy allows, or on a day to come, with the day; 'nothing' when there are none", func(it item) string { return it.gear(true) }),
	text("unexamined", "those of which nobody wrote down when they were last examined", func(it item) string { return it.gear(false) }),
	yesNo("brake_lifted", "the parking brake holds wheels of one end, and in this step only wheels of the other end are on the floor; false where nobody wrote down which it holds", brakeLifted),
	measured("tilt", quantity.Angle, "how far it stands out of level, by its pitch and roll together or by the set heights of its supports, whichever is more", func(it item) float64 {
		nose, left := it.step().Tilt()
		l := it.lean()
		return tenth(max(math.Hypot(nose, left), math.Hypot(l.nose, l.left)))
	}),
	quoted("stage", quantity.Length, "height gained or lost in one go", func(it item) quantity.Quantity {
		q, stated := it.step().Quantity("stage")
		it.wants(stated, "stage")
		return q
	}),
	// Nobody has to measure what is above it; a roof too near counts.
	yesNo("headroom_short", "measured: above the vehicle at its highest there is less than 100 mm, or less than the step gains in one go; false when nobody measured", func(it item) bool {
		above, measured := headroom.ifStated(item{it.set.Site, it.r})
		stage, _ := it.step().Quantity("stage")
		return measured && above < max(0.1, stage.Value)
	}),
	count("people", "people needed at one time", func(it item) int64 {
		n, stated := it.step().Count("people")
		it.wants(stated, "people")
		return n
	}),
	text("watch", "what to look at", func(it item) string {
		watch, _ := it.step().Text("watch")
		return watch
	}),
	count("support_count", "how many supports it rests on; of a checklist, which draws no places, in pieces", supportCount),
	yesNo("solved", "equilibrium was found for every load case; unknown without geometry or masses", func(it item) bool {
		it.because(it.step().Unsolved)
		return it.step().Failure == ""
	}),
	text("motion", "what moves and how when there is no equilibrium", func(it item) string {
		it.because(it.step().Unsolved)
		return it.step().Failure
	}),
	yesNo("slides", "a push from the side makes it slide, slew or roll off its supports; not recorded while nobody knows which way its jack rolls", func(it item) bool { return it.slides() != "" }),
	text("slides_how", "how it does, and the friction that would hold it", item.slides),
	yesNo("stands", "the centre of gravity is inside the supports, worst over the ±", func(it item) bool {
		st := it.step().Stability()
		it.because(it.step().Unsolved)
		return st != nil && st.Edges[st.Nearest].Worst > 0
	}),
	yesNo("in_line", "its supports, by the places that are written, stand in one line or in one place", func(it item) bool {
		is, unknown := it.step().InLine()
		it.because(unknown)
		return is
	}),
	text("bare", "in a checklist without measured places: the end or side under which, by the places of its supports, nothing stands, or how three of them with a jack are no triangle round the weight; 'nothing' where it stands on both ends", func(it item) string {
		how, unknown := it.step().Bare()
		it.because(unknown)
		return cmp.Or(how, "nothing")
	}),
	yesNo("checklist_tips", "the file is a checklist, and the places that it gives all the same show that it tips", func(it item) bool {
		s := it.step()
		return it.mechanism().Checklist() && s.Unsolved == nil && s.Failure != ""
	}),
	measured("tip_margin", quantity.Length, "least distance from the plumb line of the centre of gravity to an edge of the supports, worst over the ±; negative outside", func(it item) float64 { return it.nearest().Worst }),
	measured("tip_doubt", quantity.Length, "how much of that distance hangs on what nobody wrote: the ± of the centres of gravity that have none, and how it stands where neither heights nor pitch, roll or a level say", func(it item) float64 {
		metres, _ := it.doubt()
		return metres
	}),
	text("tip_doubts", "what that is: the parts whose centre of gravity has no ±, the heaviest first, and the attitude; 'nothing' where all is written", func(it item) string {
		_, of := it.doubt()
		return orNothing(of)
	}),
	measured("tip_span", quantity.Length, "distance across the supports in the direction of that edge", func(it item) float64 { return it.nearest().Span }),
	measured("tip_push", quantity.Force, "sideways push at the height of the centre of gravity that starts to tip it", func(it item) float64 { return min(it.nearest().Push, 1e9) }),
	yesNo("worked_at", "somebody works on it while it stands so: the move ends in it, is a rest, or people are under it", func(it item) bool { return it.step().Works() }),
	measured("pull_tips", quantity.Force, "least pull of a person at sill, hub or the end of a bar there that tips it", func(it item) float64 { return min(it.pulls().Tips.Force, 1e9) }),
	text("pull_tips_where", "which way and where", func(it item) string { return it.pulls().Tips.Where(it.set.Units) }),
	measured("pull_doubt", quantity.Force, "how much of that pull hangs on what nobody wrote, as of tip_margin", func(it item) float64 {
		p := it.pulls()
		return min(p.Tips.Force, 1e9) - min(p.Doubtful.Force, 1e9)
	}),
	text("pull_doubt_where", "which way and where the least pull is then", func(it item) string { return it.pulls().Doubtful.Where(it.set.Units) }),
	text("pull_doubts", "what that is, as of tip_margin", func(it item) string {
		p := it.pulls()
		if it.open() {
			return ""
		}
		return orNothing(unwritten(it.step(), p.Over))
	}),
	measured("pull_slides", quantity.Force, "least pull of a person across at the sill that makes it slide", func(it item) float64 {
		s := it.step()
		if it.because(s.Unsolved); !s.Solved() {
			it.not("no equilibrium: %s", s.Failure)
			return 0
		}
		pull, unknown := s.PullSlides()
		it.because(unknown)
		return min(pull, 1e9)
	}),
	measured("pull_slews", quantity.Force, "least pull of a person across at a hub or on a bar there that slews it round on its supports", func(it item) float64 { return min(it.pulls().Slews.Force, 1e9) }),
	measured("weight", quantity.Force, "weight of the vehicle, nominal", func(it item) float64 {
		s := it.step()
		if it.because(s.Unsolved); s.Unsolved != nil {
			return 0
		}
		return s.Weight()
	}),
	yesNo("triangle", "three supports: the supports are a triangle", func(it item) bool {
		st := it.step().Stability()
		it.because(it.step().Unsolved)
		return st != nil && len(st.Corners) == 3
	}),
	yesNo("on_hoist", "a support of the step is a hoist pad", rests("hoist pad")),
	yesNo("on_stands", "a support of the step is a stand, crib or trestle", rests("stand", "crib", "trestle")),
	yesNo("on_wheels", "a support of the step is a wheel", rests("wheel")),
	count("wheels_unlisted", "wheels that it rests on beyond those that a checklist lists with their nuts; 0 in a full file, which asks what holds each wheel to its hub", wheelsUnlisted),
	yesNo("on_dolly", "a support of the step is a dolly or table", rests("dolly", "table")),
	yesNo("on_feet", "a support of the step is a table that stands on its feet and rolls no way", func(it item) bool {
		return it.mechanism().AnySupport(it.step().Record, func(support *model.Item) bool { return onFeet(it.of(support)) })
	}),
	yesNo("on_jack", "a support of the step is a jack", rests("jack")),
	yesNo("on_crane", "a support of the step is a crane", rests("crane")),
	yesNo("one_hook", "all that it rests on is one hook of a crane", func(it item) bool {
		return supportCount(it) == 1 && rests("crane")(it)
	}),
	yesNo("checklist_on_three", "the file is a checklist and it is left on three supports: none is a jack, crane or hoist pad", func(it item) bool {
		return it.mechanism().Checklist() && !rests("jack", "crane", "hoist pad")(it) && supportCount(it) == 3
	}),
	yesNo("on_all_three_wheels", "it rests on the wheels of a three-wheeler and on nothing else", func(it item) bool {
		return !slices.ContainsFunc(it.step().Supports, func(s *model.Item) bool { return !vehicle.OfKind("wheel")(s) }) && wheelsOfIt.of(it.whole()) == 3
	}),
	yesNo("under_suspension", "a support of the step bears on an arm or upright", func(it item) bool {
		return anyOf(it, it.step().Supports, func(support item) bool { return onSuspension.of(support) })
	}),
	yesNo("all_unlocked", "of the bolts and stud nuts that carry there are several, some are known to be without their lock, and of none is it known to be in", func(it item) bool {
		out, in, open := it.locks(func(item) bool { return true })
		several := in == 0 && out+len(open) > 1
		if several && out == 0 {
			it.because(vehicle.NotRecorded(open...))
		}
		return several
	}),
	yesNo("locks_out", "more than one of the critical bolts and of the stud nuts that carry is known to be without its lock; not recorded while those that nobody looked at could make it so", func(it item) bool {
		out, _, open := it.locks(func(nut item) bool {
			named, stated := critical.ifStated(nut)
			return nut.Kind != "fasteners" || !stated || named
		})
		if out < 2 && out+len(open) > 1 {
			it.because(vehicle.NotRecorded(open...))
		}
		return out > 1
	}),
	yesNo("rigid_corner", "a rigid stand-in carries the vehicle in this step", func(it item) bool {
		return anyOf(it, it.mechanism().Build.Of("links"), func(link item) bool {
			standIn, _ := temporary.ifStated(link)
			return standIn && carries.of(link) == "vehicle"
		})
	}),
	text("unsprung", "why it does not stand by its springs on its wheels; 'nothing' where it does, where none of its struts is a spring, and where an axle leans by its bushes or bends, which is not worked out", unsprung),
	measured("springs_hold", quantity.Number, "how many times over its springs hold up what stands on them as drawn, by their rates: below 1 it rolls or pitches over on them; 1000 at most, and where nothing stands on a coil", func(it item) float64 {
		s := it.step()
		if it.because(s.NoLoads); s.NoLoads != nil {
			return 0
		}
		times, unknown := s.SpringsHold()
		it.because(unknown)
		return min(times, 1000)
	}),
	measured("scales_off", quantity.Number, "by how much the scales under all of its wheels, together, differ from the masses of the file beyond their ±, as a share of these; nothing where not every wheel was weighed", func(it item) float64 { return it.scales().off }),
	measured("scales_aside", quantity.Length, "how far the centre of gravity by these scales lies from that of the masses beyond its ±; nothing where not every wheel was weighed", func(it item) float64 { return it.scales().aside }),
	measured("scale_alone", quantity.Number, "by how much the reading of the scale under one of its wheels differs from what that wheel carries by the file, as a share of this; nothing where every wheel was weighed, or none", func(it item) float64 { return it.scales().alone }),
	measured("scales_past", quantity.Number, "by how much the scales under its wheels together read more than all that is on the vehicle, by its masses with their ±, as a share of these; nothing where nobody weighed", scalesPast),
	measured("hung_share", quantity.Number, "mass that hangs on its straps, as the file says it of straps that tie up whole places, as a share of all recorded mass; nothing where the file has no mass of a part", func(it item) float64 {
		all, hung := allMass.of(it.whole()), 0.0
		for _, strap := range it.mechanism().Build.Of("restraints") {
			if it.step().Uses(strap) {
				each, _ := massOf.ifStated(it.of(strap)) // asked for with the rating of the strap
				hung += each * float64(vehicle.Pieces(strap))
			}
		}
		if all == 0 {
			return 0
		}
		return hung / all
	}),
	yesNo("part_hangs", "a link holds up a part that would drop without it; only links are looked at", func(it item) bool {
		return anyOf(it, it.mechanism().Build.Of("links"), func(link item) bool { return letsGo.of(link) == "drops" })
	}),
	text("rests_instead", "joints and links that are undone and not missed, each with the droop straps and stops that hold instead; 'nothing' when there are none", func(it item) string {
		var all []string
		for _, c := range it.step().Caught() {
			all = append(all, ids(c.Undone)+" ("+ids(c.Limits)+")")
		}
		return orNothing(all)
	}),
	text("swings_down", "parts that may turn on their bearing and whose weight turns them, for it is beside the axis by more than 50 mm; 'nothing' when there are none", func(it item) string {
		s := it.step()
		if it.because(s.NoLoads); s.NoLoads != nil {
			return ""
		}
		var all []string
		for _, w := range s.Swinging() {
			if w.Beside > drawnBeside {
				all = append(all, w.Parts...)
			}
		}
		return orNothing(all)
	}),
	measured("gain", quantity.Number, "newtons in a joint or link that carries the vehicle for each newton of push from the side; the most of any", func(it item) float64 { return it.located(true).Gain }),
	text("gain_in", "the joint or link that gets them", func(it item) string { return it.located(true).GainIn }),
	measured("gain_hanging", quantity.Number, "the same in the joints and links that only hold up what hangs", func(it item) float64 { return it.located(false).Gain }),
	text("gain_hanging_in", "the joint or link that gets them", func(it item) string { return it.located(false).GainIn }),
	measured("tape_change", quantity.Number, "share of the weight by which the ± of the measured points may change the load in a joint or link that carries the vehicle; nothing where that is less than the load itself", func(it item) float64 { return it.located(true).Change }),
	text("tape_in", "the joint or link with that load", func(it item) string { return it.located(true).In }),
	text("tape_points", "the points whose ± matters most for it, at most four", func(it item) string { return it.located(true).Points }),
	yesNo("tape_rough", "one of these points is known to no better than 5 mm", func(it item) bool { return it.located(true).Rough }),
	yesNo("part_off_later", "a later step takes a part off the vehicle", func(it item) bool {
		s := it.step()
		return takesOff(s.Move.Steps[s.Index+1:])
	}),
}

// gear lists the stands, trestles, jacks and cranes of the move whose examination has run out,
// or of which nobody wrote one down.
func (it item) gear(lapsed bool) string {
	s := it.step()
	var all []string
	take := func(gear item) {
		switch on, known := examined.ifStated(gear); {
		case !known && !lapsed:
			all = append(all, gear.id())
		case known && lapsed:
			if days := on.DaysUntil(it.today()); days < 0 || float64(days)*quantity.Day > examinedMost.of(it.policy()) {
				all = append(all, fmt.Sprintf("%s (%s)", gear.id(), on))
			}
		}
	}
	named := map[string]bool{}
	for _, step := range s.Move.Steps {
		for _, id := range step.Texts("supports") {
			support := it.mechanism().Build.Item(id)
			if !named[id] && vehicle.OfKind("stand", "trestle", "jack")(support) {
				take(it.of(support))
			}
			named[id] = true
		}
	}
	for _, crane := range it.mechanism().Build.Of("cranes") {
		if at, known := used.ifStated(it.of(crane)); at || !known {
			take(it.of(crane))
		}
	}
	return orNothing(all)
}

// brakeLifted reports whether all wheels that the parking brake holds are off the floor. A
// wheel whose end the walk round does not tell may be held.
func brakeLifted(it item) bool {
	end, stated := parkingBrake.ifStated(it.whole())
	if !stated || end != "front" && end != "rear" {
		return false
	}
	other := map[string]string{"front": "rear", "rear": "front"}[end]
	down := 0
	for _, support := range it.step().Supports {
		if !vehicle.OfKind("wheel")(support) {
			continue
		}
		down++
		if !strings.HasPrefix(it.mechanism().Place(support), other) {
			return false
		}
	}
	return down > 0
}

// supportCount counts the supports of a step. Where places are drawn each stands at its own; else one entry
// may be several alike.
func supportCount(it item) (pieces int64) {
	if !it.mechanism().Checklist() {
		return int64(len(it.step().Supports))
	}
	for _, support := range it.step().Supports {
		pieces += vehicle.Pieces(support)
	}
	return pieces
}

// wheelsUnlisted is how many wheels carry of which a checklist lists nothing.
func wheelsUnlisted(it item) int64 {
	if !it.mechanism().Checklist() {
		return 0
	}
	rests := int64(0)
	for _, support := range it.step().Supports {
		if vehicle.OfKind("wheel")(support) {
			rests += vehicle.Pieces(support)
		}
	}
	return max(0, rests-int64(len(it.mechanism().Build.Of("wheels"))))
}

// drawnBeside is how far beside its axis the centre of gravity of a wheel or of a hanging door may be drawn,
// m: nobody measures it more exactly.
const drawnBeside = 0.05

// ids are the names of items in a row.
func ids(items []*model.Item) string {
	var list []string
	for _, it := range items {
		list = append(list, it.ID)
	}
	return strings.Join(list, ", ")
}

// goesOn lists what the step puts on, and what goes in with it.
func goesOn(it item) string {
	var parts []string
	for _, on := range it.step().PutsOn() {
		parts = append(parts, on.Part+" ("+ids(on.By)+")")
	}
	return orNothing(parts)
}

// slides says how the vehicle slides or rolls away under a push.
func (it item) slides() string {
	how, unknown := it.step().Slides()
	it.because(unknown)
	return how
}

// locks counts the bolts and stud nuts that carry and are wanted: those known to be without their
// lock and those known to have it, and where it would be written of the others.
func (it item) locks(wanted func(nut item) bool) (out, in int, open []string) {
	for _, kind := range []string{"fasteners", "stud_nuts"} {
		for _, nut := range it.mechanism().Build.Of(kind) {
			n := it.of(nut)
			switch is, seen := lockIn.ifStated(n); {
			case !wanted(n) || n.idle():
			case !seen:
				open = append(open, n.Path+".found.lock_fitted")
			case is:
				in++
			default:
				out++
			}
		}
	}
	return out, in, open
}

// located says how surely the points hold the vehicle, or what only hangs on it, in place.
func (it item) located(vehicle bool) vehicle.Located {
	s := it.step()
	if it.because(s.NoLoads); s.NoLoads != nil {
		return noneLocated
	}
	return s.Located(vehicle)
}

var noneLocated vehicle.Located

// rests reports whether the step rests on a support of one of the kinds.
func rests(kinds ...string) func(item) bool {
	return func(it item) bool { return it.mechanism().AnySupport(it.step().Record, vehicle.OfKind(kinds...)) }
}

// pulls are the least pulls of a person that move the vehicle.
func (it item) pulls() (p vehicle.Pulls) {
	s := it.step()
	if it.because(s.Unsolved); s.Solved() {
		pulls, unknown := s.Pulls()
		it.because(unknown)
		return pulls
	}
	it.not("no equilibrium: %s", s.Failure)
	return p
}

// doubt is how much of the least distance to an edge hangs on what nobody wrote, m, and on what. An
// edge that is farther off may be the nearer one then.
func (it item) doubt() (metres float64, of []string) {
	s := it.step()
	nearest := it.nearest()
	if s.Unsolved != nil || s.Stability() == nil {
		return 0, nil
	}
	edge := slices.MinFunc(s.Stability().Edges, func(a, b vehicle.Edge) int { return cmp.Compare(a.Worst-a.Doubt, b.Worst-b.Doubt) })
	return nearest.Worst - (edge.Worst - edge.Doubt), unwritten(s, edge)
}

// unwritten lists what nobody wrote and the distance to an edge hangs on above all: the parts whose
// centre of gravity has no ±, the heaviest first, without those that are a small part of their mass,
// and the attitude.
func unwritten(s *vehicle.Step, edge vehicle.Edge) (of []string) {
	mass := func(p *model.Item) float64 {
		m, _ := p.Quantity("mass")
		return m.Value
	}
	parts := slices.Clone(s.Parts)
	slices.SortStableFunc(parts, func(a, b *model.Item) int { return cmp.Compare(mass(b), mass(a)) })
	parts = slices.DeleteFunc(parts, func(p *model.Item) bool { return !edge.Hangs(s.Unwritten(p)) })
	kg := 0.0
	for _, p := range parts {
		if kg += mass(p); mass(p) >= kg/20 {
			of = append(of, p.ID)
		}
	}
	if edge.Hangs(s.AttitudeDoubt()) {
		of = append(of, "how it stands")
	}
	return of
}

// nearest is the edge of the supports that is nearest to the plumb line of the centre of
// gravity.
func (it item) nearest() (e vehicle.Edge) {
	s := it.step()
	it.because(s.Unsolved)
	st := s.Stability()
	if st == nil {
		it.not("the supports stand in one line")
		return e
	}
	return st.Edges[st.Nearest]
}
