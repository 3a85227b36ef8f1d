package facts

import (
	"slices"

	"setdown/model"
	"setdown/model/schema"
	"setdown/rules/vehicle"
)

// fittedYetOff holds what is off in the first step against what was found: how a part comes
// off is a step as well. What is found fastened is not off, but for a wheel, which everybody takes
// off; and what no two hands can carry off is not taken as off unless somebody says so. Where an
// earlier move of the file takes it off, it is (offBefore).
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
		if role, _ := role.ifStated(part); role == "wheel" || it.takenOff(p.ID) != "" {
			continue
		}
		switch by, gone := part.heldYet(); {
		case by != "":
			parts = append(parts, p.ID+" ("+by+" in place)")
		case !gone && part.lifted():
			partFitted.of(part)
		}
	}
	return orNothing(parts)
}

// offBefore lists what is off in the first step for no other reason than that an earlier move of the
// file takes it off: it is found held, or nobody knows that it is not, and the move is to be made
// after that one.
func offBefore(it item) string {
	s := it.step()
	if s.Index > 0 {
		return "nothing"
	}
	var parts []string
	for _, p := range it.mechanism().Build.Of("parts") {
		part := it.of(p)
		if _, seen := partFitted.ifStated(part); seen || slices.Contains(s.Parts, p) {
			continue
		}
		before := it.takenOff(p.ID)
		if _, gone := part.heldYet(); before != "" && !gone {
			parts = append(parts, p.ID+" ("+before+")")
		}
	}
	return orNothing(parts)
}

// lifted reports whether a part comes off by a hook: more than one person carries, and none
// of what stands on its own wheels or hangs in the suspension, which is rolled or let down.
func (part item) lifted() bool {
	return part.heavy() && !part.isStated(schema.Suspension)
}

// heavy reports whether a part is more than one person carries.
func (part item) heavy() bool {
	m, weighed := massOf.field.ifStated(part)
	return !(weighed && m.Value+m.Tol <= byHand.of(part.policy()))
}

// takenOff names the move that stands before this one in the file and takes a part off; none does where
// it is empty.
func (it item) takenOff(part string) string {
	for _, move := range it.mechanism().Build.Of("moves") {
		if move == it.step().Move.Item {
			return ""
		}
		on := false
		for _, step := range move.Steps() {
			off := slices.Contains(step.Texts("off"), part)
			if off && on {
				return move.ID
			}
			on = !off
		}
	}
	return ""
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
		for _, h := range part.holders(m.Name) {
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

// offOrOn lists what comes off or on between the step before and this one, of the parts that are
// asked for.
func (it item) offOrOn(wanted func(part item) bool) []string {
	s := it.step()
	if s.Index == 0 {
		return nil
	}
	before, now := s.Move.Steps[s.Index-1].Texts("off"), s.Texts("off")
	return slices.DeleteFunc(slices.Concat(before, now), func(id string) bool {
		return slices.Contains(before, id) && slices.Contains(now, id) || !wanted(it.part(id))
	})
}

// unhooked looks for what is lifted off or on by nothing.
func unhooked(it item) string {
	s := it.step()
	var parts []string
	for _, id := range it.offOrOn(item.lifted) {
		if m := massOf.field.of(it.part(id)); !it.hooked(id) {
			people, stated := s.Count("people")
			it.wants(stated, "people")
			if stated && m.Value+m.Tol > byHand.of(it.policy())*float64(people) {
				parts = append(parts, id)
			}
		}
	}
	return orNothing(parts)
}

// liftedOnJack looks for what comes off or on while the vehicle stands on a jack, for somebody works on
// it then, and for what is heavy while it goes from some supports to others: nobody says on which it
// stands then. A wheel that is on the floor after a jack was put on while the jack held it up.
func liftedOnJack(it item) string {
	s := it.step()
	if s.Index == 0 {
		return "nothing"
	}
	kind := func(kinds ...string) func(id string) bool {
		return func(id string) bool { return vehicle.OfKind(kinds...)(it.mechanism().Build.Item(id)) }
	}
	stands := func(step *schema.Record) []string {
		return slices.DeleteFunc(slices.Sorted(slices.Values(step.Texts("supports"))), kind("crane"))
	}
	now, before := stands(s.Record), stands(s.Move.Steps[s.Index-1])
	onJack := slices.ContainsFunc(now, kind("jack"))
	ontoWheels := slices.ContainsFunc(before, kind("jack")) && slices.ContainsFunc(now, func(id string) bool { return !slices.Contains(before, id) && kind("wheel")(id) })
	return orNothing(it.offOrOn(func(part item) bool {
		what, _ := role.ifStated(part) // a wheel is rolled under or away
		return onJack || ontoWheels || !slices.Equal(now, before) && part.heavy() && what != "wheel"
	}))
}

// hooked reports whether a crane of the file lifts a part.
func (it item) hooked(part string) bool {
	return slices.ContainsFunc(it.mechanism().Build.Of("cranes"), func(crane *model.Item) bool {
		on, named := lifts.ifStated(it.of(crane))
		return named && on == part
	})
}

func takesOff(steps []*schema.Record) bool {
	return slices.ContainsFunc(steps, func(step *schema.Record) bool { return len(step.Texts("off")) > 0 })
}
