package facts

import (
	"fmt"
	"math"
	"slices"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/strength"
	"setdown/rules/vehicle"
)

var ofHoists = append(fixed(
	measured("examined_ago", quantity.Duration, "how long ago it was examined", func(it item) float64 { return it.since(examined) }),
),
	measured("load", quantity.Force, "all of its pads together, worst", func(it item) float64 {
		if !used.of(it) {
			return 0
		}
		whole, unknown := it.step().WholeWeight()
		it.because(unknown)
		return whole
	}),
	measured("worst_arm", quantity.Force, "worst load on one arm", func(it item) float64 {
		s := it.step()
		switch {
		case !used.of(it):
			return 0
		case s.Solved():
			worst := 0.0
			for _, i := range s.On("hoist", it.id()) {
				worst = max(worst, s.Reaction(i).Most)
			}
			return worst
		case it.mechanism().Checklist():
			if whole, unknown := s.WholeWeight(); unknown == nil {
				return whole
			}
		}
		it.because(s.NoLoads)
		return 0
	}),
	yesNo("used", "the step rests on it", func(it item) bool { return it.supports("hoist", "hoist pad") }),
)

// ofSet are the facts of what is set for a move and looked at as it is set.
var ofSet = []fact{
	yesNo("as_set", "no other move that it is set for was signed since it was looked at; what was seen of its setting before that is not recorded", asSet),
}

// asSet asks again what was seen of how an item is set before another move was signed that it is set
// for: once that is made, it stands otherwise. What was looked at for a day to come was looked at since.
func asSet(it item) bool {
	b, move := it.logged().Build, it.step().Move.ID
	state := b.Standing[it.id()]
	if state == nil || it.set.again {
		return true
	}
	for _, signed := range state.Signed {
		for _, facts := range state.Members {
			for name, fact := range facts {
				_, known := state.Group[name]
				assumed := known && !b.Logged(it.item, name)
				if signed.To != move && it.item.Kind.Found().Field(name).Life == schema.Setting && !assumed && !fact.After(signed.Stamp) {
					it.lacks(schema.Found + "." + name)
				}
			}
		}
	}
	return true
}

var ofDollies = []fact{
	yesNo("used", "the vehicle rests on it in this step or in the step before", func(it item) bool {
		s := it.step()
		if s.Index > 0 {
			before := s.Move.Steps[s.Index-1]
			if it.restsOn(before) {
				return true
			}
			it.unnamed(before)
		}
		return it.supports("dolly", "dolly", "table")
	}),
	yesNo("leaving", "the move takes the vehicle off it", func(it item) bool {
		steps := it.step().Move.Steps
		for _, step := range steps {
			it.unnamed(step)
		}
		return slices.ContainsFunc(steps, it.restsOn) && !it.restsOn(steps[len(steps)-1])
	}),
	measured("third", quantity.Force, "what it bears, with its own weight, ÷ 3", func(it item) float64 {
		own := massOf.field.of(it)
		on, unknown := it.step().OnDolly(it.item)
		it.because(unknown)
		return (on + (own.Value+own.Tol)*vehicle.Gravity) / 3
	}),
	measured("outside", quantity.Length, "how far a castor stands beyond the rectangle round all that is drawn of the vehicle, as with supports", func(it item) float64 {
		far := 0.0
		castors, _ := castorsAt.ifStated(it) // the places are asked for with the load on them
		for _, at := range castors {
			far = max(far, it.mechanism().Outside(at.(schema.Vec)))
		}
		return far
	}),
	measured("worst_castor", quantity.Force, "most on one castor over every set of three that can stand", func(it item) float64 {
		massOf.of(it)
		_, unknown := it.step().WholeWeight()
		it.because(unknown)
		if it.open() {
			return 0
		}
		worst, unknown := it.step().WorstCastor(it.item)
		it.because(unknown)
		return worst
	}),
}

// unnamed asks for the dolly of each support of a step that stands on one and does not say
// which it is: it may be this one.
func (it item) unnamed(step *schema.Record) {
	for _, id := range step.Texts("supports") {
		support := it.mechanism().Build.Item(id)
		if _, named := support.Text("dolly"); !named && vehicle.OfKind("dolly", "table")(support) {
			it.because(vehicle.NotRecorded(support.Path() + ".dolly"))
		}
	}
}

// restsOn reports whether a step of a move rests on a dolly.
func (it item) restsOn(step *schema.Record) bool {
	return it.mechanism().AnySupport(step, func(support *model.Item) bool {
		on, named := support.Text("dolly")
		return named && on == it.id()
	})
}

var ofCranes = []fact{
	yesNo("used", "a support of the step is a crane, or the part it lifts comes off or on at this step or at a later one", func(it item) bool {
		s := it.step()
		if it.mechanism().AnySupport(s.Record, vehicle.OfKind("crane")) {
			return true
		}
		for i := max(1, s.Index); i < len(s.Move.Steps); i++ {
			before, now := s.Move.Steps[i-1].Texts("off"), s.Move.Steps[i].Texts("off")
			for _, part := range slices.Concat(before, now) {
				if slices.Contains(before, part) != slices.Contains(now, part) && lifts.of(it) == part {
					return true
				}
			}
		}
		return false
	}),
	measured("load", quantity.Force, "weight of what it lifts, with its ±, and what bears on hooks in the step, if more", func(it item) float64 {
		part := lifts.of(it)
		if it.open() {
			return 0
		}
		m := massOf.field.of(it.part(part))
		onHooks := 0.0
		for i, support := range it.step().Supports {
			if it.step().Solved() && vehicle.OfKind("crane")(support) {
				onHooks += it.step().Reaction(i).Most
			}
		}
		return max((m.Value+m.Tol)*vehicle.Gravity, onHooks)
	}),
	measured("sling_bears", quantity.Force, "load that its sling bears, by number and angle of its legs", func(it item) float64 {
		legs, rated, angle, choked := slingLegs.of(it), slingRated.of(it), slingAngle.of(it), slingChoked.of(it)
		if it.open() {
			return 0
		}
		bears, err := strength.Sling{Legs: int(legs), Angle: angle, Choked: choked}.Limit(rated)
		if err != nil {
			it.not("%v", err)
		}
		return bears.Value
	}),
}

var ofRestraints = []fact{
	yesNo("named", "the step names it", func(it item) bool { return slices.Contains(it.step().Texts("restraints"), it.id()) }),
	yesNo("used", "it holds something in the step", func(it item) bool { return it.step().Uses(it.item) }),
	yesNo("to_off", "the step names it, and what it is held to is off in this step", func(it item) bool {
		s := it.step()
		to := heldTo.of(it)
		return slices.Contains(s.Texts("restraints"), it.id()) && !slices.ContainsFunc(s.Parts, func(p *model.Item) bool { return p.ID == to })
	}),
	yesNo("on_several", "a droop strap or stop that names more than one part, so that nobody knows which of them it is attached to", func(it item) bool {
		kind, _ := kindOfIt.ifStated(it) // asked for where it holds something
		return (kind == "droop strap" || kind == "stop") && len(it.recorded().Texts("ties")) > 1
	}),
	measured("length_off", quantity.Length, "of a droop strap, by how much its length pulled taut differs from the distance at which its ends are drawn; nothing of any other", func(it item) float64 {
		if kind := kindOfIt.of(it); it.open() || kind != "droop strap" {
			return 0 // what it is comes first
		}
		at, to := strapAt.of(it), strapTo.of(it)
		if length := foundLength.of(it); !it.open() {
			return math.Abs(length - distance(at, to))
		}
		return 0
	}),
	// Without its points nothing is computed from them.
	measured("past_part", quantity.Length, "how far one of its points is drawn past the points of what it is attached to, the nearest of those that it ties; of a frame, body or engine nothing within the overhang; nothing where nobody drew it", func(it item) float64 {
		far := 0.0
		if at, drawn := strapAt.ifStated(it); drawn {
			nearest := math.Inf(1)
			for _, part := range it.recorded().Texts("ties") {
				nearest = min(nearest, it.past(at, part))
			}
			far = nearest
		}
		if to, drawn := strapTo.ifStated(it); drawn {
			if part, named := heldTo.ifStated(it); named {
				far = max(far, it.past(to, part))
			}
		}
		return far
	}),
	measured("load", quantity.Force, "its pull: what the parts weigh that it ties and what hangs on them, along its line; twice that where its points are not written; of a droop strap or stop what springs push beside it as well", func(it item) float64 { return it.tying().Load }),
	yesNo("holds", "what it ties keeps joints enough, or hangs on straps enough, to stay where it is", func(it item) bool { return it.tying().Loose == "" }),
	text("loose", "why it does not", func(it item) string { return it.tying().Loose }),
	yesNo("apart", "of a place of a checklist: what is out, loose, cracked or tacked there may be all that joins one part, and nobody saw each piece in a strap", func(it item) bool {
		return len(it.item.TiedPlaces) > 0 && it.tying().Apart != ""
	}),
	text("joined_by", "what is out, loose, cracked or tacked of that", func(it item) string { return it.tying().Apart }),
	measured("leans", quantity.Angle, "how far from the plumb line it stands, at which what hangs on it pulls so: as written, 60 degrees where it may stand anyhow; nothing of a block", func(it item) float64 { return it.tying().Lean }),
	yesNo("doubled", "its points are not written, so that its load counts twice: it may stand at 60 degrees", func(it item) bool { return it.tying().Doubled }),
	yesNo("sprung", "its load has in it what springs push beside it, whose struts are drawn short of full droop", func(it item) bool { return it.tying().Sprung }),
	yesNo("swings", "nothing but straps holds what it ties", func(it item) bool { return it.tying().Swings }),
	working(strapBears, func(it item) *Comparison {
		if !it.step().Uses(it.item) {
			return nil
		}
		load := loadOn.of(it)
		if it.open() {
			return nil
		}
		label := rated.of(it)
		if it.open() {
			return nil
		}
		assumes := []string{"it carries everything alone"}
		switch t := it.tying(); {
		case t.Limits:
			assumes = []string{"it hangs as it is drawn"}
		case t.Doubled:
			assumes = append(assumes, "where it pulls is not written: it stands at 60° from the plumb line and pulls twice what hangs on it")
		case t.Lean > 0:
			assumes = append(assumes, fmt.Sprintf("at %.0f° from the plumb line it pulls %s times what hangs on it", t.Lean*180/math.Pi, quantity.Format(math.Round(100/math.Cos(t.Lean))/100)))
		}
		return it.compare("rated load of the strap or block", load, strength.Result{
			Value: label, Method: "what it ties and what hangs on that against its label", Source: "the maker's label", Assumptions: assumes,
		}, nil)
	}),
}

// tying is how what a restraint ties up hangs.
func (it item) tying() vehicle.Tying {
	it.logged() // as everything is held
	t, unknown := it.step().Tying(it.item)
	it.because(unknown)
	return t
}
