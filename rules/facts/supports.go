package facts

import (
	"math"
	"slices"
	"strings"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/strength"
	"setdown/rules/vehicle"
)

var ofSupports = append(fixed(
	measured("rating", quantity.Force, "rated load of this one: half the plate of a pair", func(it item) float64 {
		load := rated.of(it)
		if it.open() {
			return 0
		}
		per, stated := ratedPer.ifStated(it)
		if !stated && isKind(it, "stand", "trestle", "table", "dolly", "crib") {
			ratedPer.of(it) // the plates of these may count a pair
		}
		if per == "pair" {
			load /= 2
		}
		return load
	}),
	measured("crib_ratio", quantity.Number, "height of the crib ÷ length of its blocks", func(it item) float64 { return share(it, setHeight, blockLength) }),
	measured("foot_holds", quantity.Number, "sideways push at its head that tips a stand, crib or trestle over its own feet, as a share of its load; a base that nobody wrote counts as 200 mm up to 500 mm of height", func(it item) float64 {
		share, unknown := vehicle.FootHolds(it.recorded())
		it.because(unknown)
		return share
	}),
	word("on_role", schema.KindOf("parts").Field("role").Enum, "role of the part it bears on", func(it item) string {
		part := under.of(it)
		if it.open() {
			return ""
		}
		return role.of(it.part(part))
	}),
	// Without its place nothing is computed from it, and that is asked for elsewhere.
	measured("outside", quantity.Length, "how far it stands beyond the rectangle round all that is drawn; of a vehicle of which only centres of gravity are drawn, beyond 5 m from them", func(it item) float64 {
		at, placed := placedAt.ifStated(it)
		if !placed {
			return 0
		}
		return it.mechanism().Outside(at)
	}),
	measured("beside", quantity.Length, "how far it stands beyond the points of the arm, upright, axle or wheel that it is under; nothing under what reaches further than its points, such as a frame", func(it item) float64 {
		at, placed := placedAt.ifStated(it)
		part, named := under.ifStated(it)
		if !placed || !named {
			return 0
		}
		by := it.mechanism().Beside(at, part)
		if by > besidePart.of(it.policy()) && !it.part(part).is(schema.Rigid) {
			return 0
		}
		return by
	}),
	measured("off_wheel", quantity.Length, "how far, seen from above, a tyre is drawn to touch the floor beside the centre of gravity of its wheel; nothing of anything else, and where nobody drew it", func(it item) float64 {
		at, placed := placedAt.ifStated(it)
		part, named := under.ifStated(it)
		if !placed || !named || !isKind(it, "wheel") {
			return 0
		}
		middle, drawn := cgOf.ifStated(it.part(part))
		if what, _ := role.ifStated(it.part(part)); !drawn || what != "wheel" {
			return 0
		}
		return math.Hypot(at.X-middle.X, at.Y-middle.Y)
	}),
	yesNo("trapped", "the jack is higher when closed than the room left once the vehicle is down", func(it item) bool { return closedHeight.of(it) > clearanceAfter.of(it) }),
	yesNo("under_wheel", "it is under a wheel; what the vehicle is built on is none", func(it item) bool {
		part := under.of(it)
		if it.open() || part == it.mechanism().Base() {
			return false
		}
		return role.of(it.part(part)) == "wheel"
	}),
	yesNo("on_suspension", "it bears on an arm or upright, by its own word or by the role of the part that it is under", func(it item) bool {
		suspended := func(on string) bool { return on == "arm" || on == "upright" }
		on, stated := bearsOn.ifStated(it)
		if _, named := under.ifStated(it); stated && suspended(on) || stated && !named {
			return suspended(on)
		}
		return suspended(onRole.of(it))
	}),
	text("seen_wrong", "what somebody saw wrong with it that no rule for its kind asks for, in words; 'nothing' when there is nothing of the kind", seenWrong),
	yesNo("dolly_named", "the file says which dolly it is part of, or of a table that it stands on its feet and rolls no way", func(it item) bool {
		return onFeet(it) || dollyOf.of(it) != ""
	}),
	yesNo("crane_listed", "the file lists a crane, so that its legs, slings and eye are asked for", func(it item) bool { return len(it.mechanism().Build.Of("cranes")) > 0 }),
	yesNo("on_tacked", "a weld that holds what it bears on is not made full", func(it item) bool {
		for _, h := range it.holders(it.id()) {
			if h.Kind.Name != "welds" {
				continue
			}
			if how := made.of(it.of(h.Item)); it.open() || how != "full" {
				return true
			}
		}
		return false
	}),
),
	yesNo("hangs", "a hook on which parts hang by themselves, with no joint to the vehicle that is not undone", func(it item) bool {
		_, on, _ := it.step().Hangs(it.item)
		return on
	}),
	yesNo("hook_above", "that hook is above their centre of gravity, wherever that may be", func(it item) bool { return it.hang().Above }),
	measured("hook_tilt", quantity.Angle, "by how much they turn until their centre of gravity is below the hook", func(it item) float64 { return it.hang().Tilt }),
	yesNo("joined", "what it bears on is on the vehicle and joined to it: it is what everything is built on, hangs in its suspension, or a bolt or weld of the file fastens it (part); of a file with joints, which say what joins it, always", joined),
	yesNo("used", "the step rests on it", func(it item) bool { return it.step().SupportIndex(it.id()) >= 0 }),
	yesNo("set_again", "an earlier step rests on it, and one in between does not", func(it item) bool {
		stood, away := false, false
		s := it.step()
		for _, step := range s.Move.Steps[:s.Index] {
			here := slices.Contains(step.Texts("supports"), it.id())
			away = away || stood && !here
			stood = stood || here
		}
		return away
	}),
	measured("reaction", quantity.Force, "even-floor share", item.reaction),
	measured("share", quantity.Number, "share of the weight on it, even floor, without the ± of masses and places", func(it item) float64 {
		n := it.reaction()
		if it.open() || n == 0 {
			return 0
		}
		return n / it.step().Weight()
	}),
	text("unlocated_by", "the first link, bolt, nut or weld that leaves the part under it free to move; nothing when all that locates it is fitted, tight and fully welded", func(it item) string {
		part, named := under.ifStated(it)
		if !named {
			return "nothing"
		}
		return it.logged().Unlocated(part, it.step().Off)
	}),
	measured("height_difference", quantity.Length, "largest difference in height to another support of the step at the same end", heightDifference),
	working(plateBears, func(it item) *Comparison {
		if it.step().SupportIndex(it.id()) < 0 {
			return nil
		}
		load, plate := loadOn.of(it), ratingOf.of(it)
		if it.open() {
			return nil
		}
		return against("support against its plate", load, 1, strength.Result{
			Value: plate, Method: "worst load against the rated load", Source: "the maker's plate",
			Assumptions: []string{"the rating already contains the maker's own factor"},
		}, nil)
	}),
)

// hang is how parts hang on a hook by themselves; plumb where nothing does.
func (it item) hang() vehicle.Hang {
	h, on, unknown := it.step().Hangs(it.item)
	if it.because(unknown); !on {
		h.Above = true
	}
	return h
}

func isKind(it item, kinds ...string) bool { return slices.Contains(kinds, kindOfIt.of(it)) }

// reaction is what the support carries on an even floor, N.
func (it item) reaction() float64 {
	s := it.step()
	i := s.SupportIndex(it.id())
	if i < 0 {
		return 0
	}
	if !s.Solved() {
		it.because(s.NoLoads)
		return 0
	}
	return s.Reaction(i).Nominal
}

// seenWrong is what was written down as wrong with a support and is asked for by no rule
// of its kind: nobody has to look, but what was seen counts.
func seenWrong(it item) string {
	var words []string
	wrong := func(is func(item) bool, word string, kinds ...string) {
		if isKind(it, kinds...) && is(it) { // of another kind it is not even read: the rule of last resort has to speak
			words = append(words, word)
		}
	}
	wrong(contact.denied, "it does not touch with its whole saddle or pad", "jack", "dolly", "table", "wheel")
	wrong(level.denied, "it leans or is not level", "jack", "dolly", "table", "hoist pad")
	wrong(locked.denied, "its pawl, pin or lock is not fully home", "trestle", "dolly", "table", "hoist pad")
	wrong(ownPin.denied, "its pin is not the maker's own", "trestle", "dolly", "table")
	wrong(stacked.seen, "something lies under its foot", "dolly", "table")
	if len(words) == 0 {
		return "nothing"
	}
	return strings.Join(words, "; ")
}

// heightDifference compares the set height of a support with the others at its
// end of the vehicle. A jack or crane is set to none.
func heightDifference(it item) float64 {
	h := setHeight.of(it)
	at, placed := placedAt.ifStated(it)
	worst := 0.0
	for _, support := range it.step().Supports {
		other := it.of(support)
		there, ok := placedAt.ifStated(other)
		if it.open() || support == it.item || vehicle.OfKind("jack", "crane")(support) || !placed || !ok || math.Abs(there.X-at.X) > vehicle.SameEnd {
			continue
		}
		worst = max(worst, math.Abs(setHeight.of(other)-h))
	}
	return worst
}

// joined reports whether what a support of a checklist bears on is on the vehicle and joined to it.
func joined(it item) bool {
	part, named := under.ifStated(it)
	v := it.mechanism()
	if !v.Checklist() || !named || part == v.Base() {
		return true
	}
	return slices.Contains(it.step().Parts, v.Build.Item(part)) && (it.part(part).isStated(schema.Suspension) || v.Fastened(part))
}

// onFeet reports whether a support is a table that stands on its feet, and on no dolly.
func onFeet(it item) bool {
	way, _ := rollsAlong.ifStated(it)
	dolly, _ := dollyOf.ifStated(it)
	return isKind(it, "table") && way == "none" && dolly == ""
}
