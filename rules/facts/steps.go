package facts

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/vehicle"
)

var ofMoves = []fact{
	text("id", "its id in the build file", item.id),
	// Only where somebody goes under it is it asked; what is written down counts beside it too.
	yesNo("worked_on", "nobody goes under it, but something that carries is slackened, or somebody pulls hard or hammers, while it stands so; false where nobody wrote it down", func(it item) bool {
		under, stated := peopleUnder.ifStated(it)
		return stated && !under && (loosens.seen(it) || hardPull.seen(it))
	}),
	measured("moment_age", quantity.Duration, "how long ago the first of what holds for a moment was seen: nobody under it, who gives the word, the floor swept; what was seen longer ago than it counts is not recorded, and neither is what nobody wrote the hour of", momentAge),
	yesNo("transfers", "its weight goes over to other supports on the way: it is lowered or lifted, or its kind says that it rests or rolls and its steps do not all stand on the same", func(it item) bool {
		kind := kindOfIt.of(it)
		return kind == "lower" || kind == "lift" || it.step().Move.Changes()
	}),
	count("step_count", "how many steps it has", func(it item) int64 { return int64(len(it.step().Move.Steps)) }),
}

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
	measured("heights_apart", quantity.Length, "by how much the set heights of its supports differ, where their places do not say how that tilts the vehicle and the step does not say both pitch and roll; not recorded where it says one of them and they differ by more than the policy allows", heightsApart),
	text("unlifted", "supports that this step takes over although the vehicle does not stay up in between, on the jacks, cranes and hoist pads of this step and the one before and on what both share; 'nothing' when there are none", func(it item) string { return it.step().Unlifted() }),
	measured("given_up", quantity.Mass, "mass that bore on the supports of the step before which this step does without; 0 in the first step; in a checklist the whole vehicle where it does without all of them, else 0", func(it item) float64 {
		kg, unknown := it.step().GivenUp()
		it.because(unknown)
		return kg
	}),
	text("fitted_yet_off", "parts that are off in this first step although they were found fitted, or what holds them was found in place; 'nothing' when there are none", fittedYetOff),
	text("unhooked", "parts that come off or on between the step before and this one, more than its people can carry, and that no crane of the file lifts; 'nothing' when there are none", unhooked),
	text("lapsed", "stands, trestles, jacks and cranes of the move whose last examination is longer ago than the policy allows, or on a day to come, with the day; 'nothing' when there are none", func(it item) string { return it.gear(true) }),
	text("unexamined", "those of which nobody wrote down when they were last examined", func(it item) string { return it.gear(false) }),
	yesNo("brake_lifted", "the parking brake holds wheels of one end, and in this step only wheels of the other end are on the floor; false where nobody wrote down which it holds", brakeLifted),
	measured("tilt", quantity.Angle, "the largest of its pitch and of the tilt that the set heights of its supports give it", func(it item) float64 {
		nose, left := it.step().Tilt()
		l := it.lean()
		return tenth(max(math.Abs(nose), math.Abs(left), math.Abs(l.nose), math.Abs(l.left)))
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
	count("people", "hands needed at one time", func(it item) int64 {
		n, stated := it.step().Count("people")
		it.wants(stated, "people")
		return n
	}),
	text("watch", "what to look at", func(it item) string {
		watch, _ := it.step().Text("watch")
		return watch
	}),
	count("support_count", "how many supports it rests on", func(it item) int64 { return int64(len(it.step().Supports)) }),
	yesNo("solved", "equilibrium was found for every load case; unknown without geometry or masses", func(it item) bool {
		it.because(it.step().Unsolved)
		return it.step().Failure == ""
	}),
	text("motion", "what moves and how when there is no equilibrium", func(it item) string {
		it.because(it.step().Unsolved)
		return it.step().Failure
	}),
	yesNo("slides", "a push from the side makes it slide, slew or roll off its supports; not recorded while nobody knows which way its jack rolls", func(it item) bool {
		how, unknown := it.step().Slides()
		it.because(unknown)
		return how != ""
	}),
	text("slides_how", "how it does, and the friction that would hold it", func(it item) string {
		how, unknown := it.step().Slides()
		it.because(unknown)
		return how
	}),
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
	text("pull_tips_where", "which way and where", func(it item) string { return it.pulls().Tips.Where() }),
	measured("pull_slides", quantity.Force, "least pull of a person across at the sill that makes it slide", func(it item) float64 { return min(it.pulls().Slides.Force, 1e9) }),
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
	yesNo("on_dolly", "a support of the step is a dolly or table", rests("dolly", "table")),
	yesNo("on_jack", "a support of the step is a jack", rests("jack")),
	yesNo("on_crane", "a support of the step is a crane", rests("crane")),
	yesNo("checklist_on_three", "the file is a checklist and it is left on three supports: none is a jack, crane or hoist pad, and they are not the wheels of a three-wheeler", leftOnThree),
	yesNo("under_suspension", "a support of the step bears on an arm or upright", func(it item) bool {
		return anyOf(it, it.step().Supports, func(support item) bool { return onSuspension.of(support) })
	}),
	yesNo("all_unlocked", "of the bolts and stud nuts that carry there are several, some are known to be without their lock, and of none is it known to be in", func(it item) bool {
		off, on := 0, 0
		var open []string
		for _, kind := range []string{"fasteners", "stud_nuts"} {
			for _, nut := range it.mechanism().Build.Of(kind) {
				n := it.of(nut)
				switch in, seen := lockIn.ifStated(n); {
				case n.idle():
				case !seen:
					open = append(open, n.Path+".found.lock_fitted")
				case in:
					on++
				default:
					off++
				}
			}
		}
		several := on == 0 && off+len(open) > 1
		if several && off == 0 {
			it.because(vehicle.NotRecorded(open...))
		}
		return several
	}),
	yesNo("locks_out", "more than one of the critical bolts and of the stud nuts that carry is known to be without its lock; not recorded while those that nobody looked at could make it so", func(it item) bool {
		out := 0
		var open []string
		for _, kind := range []string{"fasteners", "stud_nuts"} {
			for _, nut := range it.mechanism().Build.Of(kind) {
				n := it.of(nut)
				if minor, stated := critical.ifStated(n); kind == "fasteners" && stated && !minor || n.idle() {
					continue
				}
				if in, seen := lockIn.ifStated(n); !seen {
					open = append(open, n.Path+".found.lock_fitted")
				} else if !in {
					out++
				}
			}
		}
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
	measured("scales_off", quantity.Number, "by how much the scales under all of its wheels, together, differ from the masses of the file beyond their ±, as a share of these; nothing where not every wheel was weighed", func(it item) float64 { return it.scales().off }),
	measured("scales_aside", quantity.Length, "how far the centre of gravity by these scales lies from that of the masses beyond its ±; nothing where not every wheel was weighed", func(it item) float64 { return it.scales().aside }),
	yesNo("part_hangs", "a link holds up a part that would drop without it; only links are looked at", func(it item) bool {
		return anyOf(it, it.mechanism().Build.Of("links"), func(link item) bool { return letsGo.of(link) == "drops" })
	}),
	text("rests_instead", "joints and links that are undone and not missed, each with the droop straps and stops that hold instead; 'nothing' when there are none", func(it item) string {
		var all []string
		for _, c := range it.step().Caught() {
			all = append(all, ids(c.Undone)+" ("+ids(c.Rests)+")")
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

// momentAge is how long ago the first look was at what holds for a moment, s; what is over
// is not recorded any more. A check of a whole day holds these looks against the last of
// them. A file of the first format has no hours.
func momentAge(it item) float64 {
	b, now := it.mechanism().Build, it.clock()
	seen := map[string]looks.Moment{} // by the path of the fact
	for id, path := range map[string]string{it.id(): it.Path, "site": "site"} {
		if state := b.Standing[id]; state != nil {
			for name, fact := range state.Group {
				if b.Things[id].Kind.Found().Field(name).Life == schema.Moment {
					seen[path+".found."+name] = it.set.seen(fact.Moment)
				}
			}
		}
	}
	for _, at := range seen {
		if !it.clock().Timed && at.Timed && at.Day == now.Day {
			now.Clock, now.Timed = max(now.Clock, at.Clock), true
		}
	}
	longest := 0
	for _, path := range slices.Sorted(maps.Keys(seen)) {
		at := seen[path]
		ago := quantity.Day * at.Day.DaysUntil(now.Day)
		if now.Timed {
			ago += now.Clock - at.Clock
		}
		if ago < 0 || float64(ago) > momentLimit.of(it.policy()) {
			it.because(vehicle.NotRecorded(path))
		}
		longest = max(longest, ago)
	}
	return float64(longest)
}

// fittedYetOff holds what is off in the first step against what was found: how a part comes
// off is a step as well. What no two hands can carry off is not taken as off unless somebody
// says so, or an earlier move of the file takes it off.
func fittedYetOff(it item) string {
	s := it.step()
	if s.Index > 0 {
		return "nothing"
	}
	var parts []string
	for _, p := range it.mechanism().Build.Of("parts") {
		if slices.Contains(s.Parts, p) {
			continue
		}
		part := it.of(p)
		fitted, seen := partFitted.ifStated(part)
		if seen && fitted {
			parts = append(parts, p.ID+" (fitted)")
			continue
		}
		if !part.lifted() || it.takenOff(p.ID) {
			continue
		}
		switch by, gone := part.heldYet(); {
		case by != "":
			parts = append(parts, p.ID+" ("+by+" in place)")
		case !gone:
			partFitted.of(part)
		}
	}
	return orNothing(parts)
}

// lifted reports whether a part comes off by a hook: more than one person carries, and none
// of what stands on its own wheels or hangs in the suspension, which is rolled or let down.
func (part item) lifted() bool {
	m, weighed := massOf.field.ifStated(part)
	what, _ := role.ifStated(part)
	return !(weighed && m.Value+m.Tol <= byHand.of(part.policy())) && !slices.Contains([]string{"wheel", "arm", "upright", "axle", "spring"}, what)
}

// takenOff reports whether a move that stands before this one in the file takes a part off.
func (it item) takenOff(part string) bool {
	for _, move := range it.mechanism().Build.Of("moves") {
		if move == it.step().Move.Item {
			return false
		}
		on := false
		for _, step := range move.Steps() {
			off := slices.Contains(step.Texts("off"), part)
			if off && on {
				return true
			}
			on = !off
		}
	}
	return false
}

// heldYet names the bolt, nut or weld by which a part is found to be still held, and reports
// whether all that would hold it is known to be gone. What was looked at before somebody saw
// the part itself says nothing of it.
func (part item) heldYet() (by string, gone bool) {
	day, seen := seenOn.ifStated(part)
	for _, m := range part.mechanism().Meets {
		if !slices.Contains(m.Parts[:], part.id()) {
			continue
		}
		for _, h := range part.mechanism().Holders(m.Name) {
			if !vehicle.Fastens(h, m) {
				continue
			}
			holder := part.of(h.Item)
			holder.holder()
			on, dated := seenOn.ifStated(holder)
			switch {
			case len(h.Missing) == 0 && h.Short >= h.Needed(), h.Made == "none":
				gone = true
			case seen && dated && on.DaysUntil(day) > 0:
			case len(h.Missing) == 0:
				return h.ID, false
			default:
				return "", false
			}
		}
	}
	return "", gone
}

// unhooked looks for what is lifted off or on by nothing.
func unhooked(it item) string {
	s := it.step()
	if s.Index == 0 {
		return "nothing"
	}
	before, now := s.Move.Steps[s.Index-1].Texts("off"), s.Texts("off")
	var parts []string
	for _, id := range slices.Concat(before, now) {
		part := it.part(id)
		if slices.Contains(before, id) && slices.Contains(now, id) || !part.lifted() {
			continue
		}
		if m := massOf.field.of(part); !it.hooked(id) {
			people, stated := s.Count("people")
			it.wants(stated, "people")
			if stated && m.Value+m.Tol > byHand.of(it.policy())*float64(people) {
				parts = append(parts, id)
			}
		}
	}
	return orNothing(parts)
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

// hooked reports whether a crane of the file lifts a part.
func (it item) hooked(part string) bool {
	return slices.ContainsFunc(it.mechanism().Build.Of("cranes"), func(crane *model.Item) bool {
		on, named := lifts.ifStated(it.of(crane))
		return named && on == part
	})
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

// leftOnThree reports whether a step of a checklist has a triangle of supports that stay.
func leftOnThree(it item) bool {
	if !it.mechanism().Checklist() || rests("jack", "crane", "hoist pad")(it) {
		return false
	}
	pieces := int64(0)
	for _, support := range it.step().Supports {
		alike, _ := needed.ifStated(it.of(support))
		pieces += max(1, alike)
	}
	wheels := 0
	for _, support := range it.mechanism().Build.Of("supports") {
		if vehicle.OfKind("wheel")(support) {
			wheels++
		}
	}
	threeWheeler := wheels == 3 && !slices.ContainsFunc(it.step().Supports, func(s *model.Item) bool { return !vehicle.OfKind("wheel")(s) })
	return pieces == 3 && !threeWheeler
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

// located says how surely the points hold the vehicle, or what only hangs on it, in place.
func (it item) located(vehicle bool) vehicle.Located {
	s := it.step()
	if it.because(s.NoLoads); s.NoLoads != nil {
		return noneLocated
	}
	return s.Located(vehicle)
}

var noneLocated vehicle.Located

// wants asks for a field of the step that nobody recorded.
func (it item) wants(stated bool, field string) {
	if s := it.step(); !stated {
		it.because(vehicle.NotRecorded(s.Move.Path() + ".steps[" + s.Name + "]." + field))
	}
}

// rests reports whether the step rests on a support of one of the kinds.
func rests(kinds ...string) func(item) bool {
	return func(it item) bool { return it.mechanism().AnySupport(it.step().Record, vehicle.OfKind(kinds...)) }
}

// pulls are the least pulls of a person that move the vehicle.
func (it item) pulls() (p vehicle.Pulls) {
	s := it.step()
	if it.because(s.Unsolved); s.Solved() {
		return s.Pulls()
	}
	it.not("no equilibrium: %s", s.Failure)
	return p
}

// doubt is how far the centre of gravity may lie elsewhere for want of words, m, and of which.
func (it item) doubt() (metres float64, of []string) {
	s := it.step()
	if it.because(s.Unsolved); s.Unsolved != nil {
		return 0, nil
	}
	centre, _, kg := s.Centre()
	parts := slices.Clone(s.Parts)
	mass := func(p *model.Item) float64 {
		m, _ := p.Quantity("mass")
		return m.Value
	}
	slices.SortStableFunc(parts, func(a, b *model.Item) int { return cmp.Compare(mass(b), mass(a)) })
	for _, p := range parts {
		if at, placed := p.Vec("cg"); placed && at.Tol == [3]float64{} {
			metres += cgWithin.of(it.policy()) * mass(p) / kg
			of = append(of, p.ID)
		}
	}
	if !it.attitudeWritten() && !it.lean().known {
		height := 0.0
		for i := range s.Supports {
			height = max(height, math.Abs(centre.Z-s.SupportAt(i).Z))
		}
		metres += height * math.Tan(levelWithin.of(it.policy()))
		of = append(of, "how it stands")
	}
	return metres, of
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

// mostContradiction is how far set heights may tilt the vehicle otherwise than the step
// says, rad: they are read to some millimetres and supports have play.
const mostContradiction = 3 * math.Pi / 180

// setHeights are the supports that are set to a height. Where one of a step has it recorded,
// the others are asked for theirs.
var setHeights = vehicle.OfKind("stand", "crib", "trestle", "table", "hoist pad")

// leaning is the attitude that follows from the set heights of the supports of a step, rad.
type leaning struct {
	nose, left float64
	known      bool
}

func tenth(rad float64) float64 { return math.Round(rad*1800/math.Pi) * math.Pi / 1800 }

// lean computes the attitude from the set heights. A wheel without a height stands on the
// floor.
func (it item) lean() (l leaning) {
	var floor []r3.Vec
	for _, support := range it.step().Supports {
		s := it.of(support)
		at, placed := placedAt.ifStated(s)
		height, set := setHeight.ifStated(s)
		if placed && (set || vehicle.OfKind("wheel")(support)) {
			p := vehicle.Point(at)
			p.Z -= height
			floor = append(floor, p)
		}
	}
	l.nose, l.left, l.known = vehicle.Lean(floor)
	return l
}

// leans is the same for what is not computed without it.
func (it item) leans() leaning {
	l := it.lean()
	if !l.known {
		it.not("fewer than three of its supports have a height and a position")
	}
	return l
}

// contradiction is how far the attitude that follows from the set heights is from the step's
// own, rad; nothing where they give none.
func (it item) contradiction() float64 {
	l := it.lean()
	if !l.known {
		return 0
	}
	return max(math.Abs(l.nose-it.stated("pitch").Value), math.Abs(l.left-it.stated("roll").Value))
}

// stated is how a level said that the vehicle stands in a step, nose or left side up, or else how it is
// meant to; level where nobody says.
func (it item) stated(way string) quantity.Quantity {
	for _, path := range []string{"found." + way, way} {
		if angle, written := it.step().Quantity(path); written {
			return angle
		}
	}
	return quantity.Of(0, quantity.Angle, "°")
}

// attitudeWritten reports whether the step, or a level in it, says how it stands. One that says the pitch or the
// roll alone is level the other way.
func (it item) attitudeWritten() bool {
	for _, path := range []string{"pitch", "roll", "found.pitch", "found.roll"} {
		if _, written := it.step().Quantity(path); written {
			return true
		}
	}
	return false
}

// heightOff is the contradiction, with what somebody wrote.
func heightOff(it item) float64 {
	if !it.attitudeWritten() {
		return 0
	}
	return tenth(it.contradiction())
}

// heightsApart is how far apart the set heights are that nothing explains, m: a checklist
// knows no places, so that only the step can say that it stands tilted, and by its pitch alone
// not whether its left supports are the high ones. A jack counts that somebody measured.
func heightsApart(it item) float64 {
	_, pitch := it.step().Quantity("pitch")
	_, roll := it.step().Quantity("roll")
	if pitch && roll || it.lean().known {
		return 0
	}
	var heights []float64
	for _, support := range it.step().Supports {
		if h, set := setHeight.ifStated(it.of(support)); set && (setHeights(support) || vehicle.OfKind("jack")(support)) {
			heights = append(heights, h)
		}
	}
	if len(heights) == 0 {
		return 0
	}
	apart := slices.Max(heights) - slices.Min(heights)
	if (pitch || roll) && apart > heightsMost.of(it.policy()) {
		it.wants(pitch, "pitch")
		it.wants(roll, "roll")
	}
	return apart
}

// heightsContradict reports whether the set heights say otherwise than the step. So far from
// level a height may be misread: a step that says nothing is asked.
func heightsContradict(it item) bool {
	if it.contradiction() > mostContradiction {
		it.wants(it.attitudeWritten(), "pitch")
		return true
	}
	heights := false
	var without []item
	for _, support := range it.step().Supports {
		if !setHeights(support) {
			continue
		}
		if _, set := setHeight.ifStated(it.of(support)); set {
			heights = true
		} else {
			without = append(without, it.of(support))
		}
	}
	if heights {
		for _, s := range without {
			setHeight.of(s)
		}
	}
	return false
}
