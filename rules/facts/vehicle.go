package facts

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/strength"
	"setdown/rules/vehicle"
)

var ofVehicle = append(fixed(
	yesNo("geometry_known", "the file lists joints or links, so that loads in them are computed and strength is asked for; always known", func(it item) bool { return len(it.mechanism().Meets) > 0 }),
	yesNo("masses_listed", "the file has the mass of a part, so that something is worked out from it; always known", func(it item) bool { return allMass.of(it) > 0 }),
	text("came_wrong", "the orders of which what came is not what was ordered and that say of nothing what it is for; 'nothing' when there are none", func(it item) string {
		var wrong []string
		for _, order := range it.mechanism().Build.Orders {
			if right, checked := order.Bool("checked"); checked && !right && len(order.Texts("for")) == 0 {
				wrong = append(wrong, order.ID)
			}
		}
		return orNothing(wrong)
	}),
	// A brake that nobody looked at by itself is as good as the one that was tried.
	text("brakes_off", "brakes that were found off, or that do not hold the wheel; 'nothing' when there are none", func(it item) string {
		var off []string
		for _, brake := range it.mechanism().Build.Of("brakes") {
			if one := it.of(brake); brakeOn.denied(one) || brakeHolds.denied(one) {
				off = append(off, brake.ID)
			}
		}
		return orNothing(off)
	}),
	text("outweighed", "arms, uprights and wheels heavier than the part that everything is built on; 'nothing' when there are none", func(it item) string {
		base := it.mechanism().Build.Item(it.mechanism().Base())
		if base == nil {
			return "nothing"
		}
		// A mass that nobody wrote is asked for with the loads.
		own, weighed := massOf.ifStated(it.of(base))
		var heavier []string
		for _, p := range it.mechanism().Build.Of("parts") {
			m, _ := massOf.ifStated(it.of(p))
			if weighed && p != base && m > own && it.of(p).is(schema.Corner) {
				heavier = append(heavier, p.ID)
			}
		}
		return orNothing(heavier)
	}),
	measured("recorded_mass", quantity.Mass, "mass of all parts of the file, on the vehicle or off it, as far as it is recorded", func(it item) float64 {
		all := 0.0
		for _, part := range it.mechanism().Build.Of("parts") {
			m, _ := massOf.ifStated(it.of(part))
			all += m
		}
		return all
	}),
	measured("extent", quantity.Length, "distance between the joints, link ends and places of supports that are drawn farthest apart, seen from above; nothing where none is drawn", func(it item) float64 { return it.mechanism().Extent() }),
),
	yesNo("masses_known", "every part that is on it has a mass and a centre of gravity", func(it item) bool { return it.step().MassesKnown() }),
)

var ofParts = append(fixed(
	yesNo("mass_exact", "it is more than a twentieth of all recorded mass and written without ±", func(it item) bool {
		m, _ := massOf.field.ifStated(it)
		return m.Tol == 0 && m.Value > allMass.of(it.whole())/20
	}),
	// A centre of gravity that nobody wrote is asked for where it decides.
	measured("cg_below", quantity.Length, "how far its centre of gravity lies below the lowest joint, link end and place of a support that are drawn; nothing above", func(it item) float64 {
		at, placed := cgOf.ifStated(it)
		if !placed {
			return 0
		}
		return it.mechanism().Below(at)
	}),
	measured("section_mass", quantity.Mass, "what its section weighs at the least, straight from joint to joint along each of its legs, in the lightest metal of its kind; nothing of a part of which no mass, no whole section or less than two places are drawn", sectionMass),
	measured("cg_outside", quantity.Length, "how far the centre of gravity of an arm, upright, axle or wheel is drawn outside the box round its joints, the ends of links on it and the supports under it; nothing of another part, and where nobody drew it", func(it item) float64 {
		at, placed := cgOf.ifStated(it)
		if !placed || !it.isStated(schema.Rigid) {
			return 0
		}
		return it.mechanism().OutOf(it.id(), at)
	}),
	measured("off_axle", quantity.Length, "how far the centre of gravity of a wheel is drawn from the axis of the joint that it turns on or is bolted by; nothing of another part, and where nobody drew it", func(it item) float64 {
		at, placed := cgOf.ifStated(it)
		if what, _ := role.ifStated(it); !placed || what != "wheel" {
			return 0
		}
		return it.mechanism().OffAxle(at, it.id())
	}),
	measured("steep", quantity.Angle, "how steeply an arm is drawn, from the middle of its hinge to its farthest joint; nothing of another part, and where nobody drew it", func(it item) float64 {
		if what, _ := role.ifStated(it); what != "arm" {
			return 0
		}
		return it.mechanism().Steep(it.id())
	}),
	yesNo("proof_void", "it was cut, welded, drilled or bent since it came off the vehicle that it is proven on; false where the file proves it on none", func(it item) bool {
		return proven.there(it) && provenCut.of(it)
	}),
	measured("proven_times", quantity.Number, provenTimes, item.provenTimes),
	yesNo("of_frame", "it is what the vehicle is built on, or a frame, body or drive that does not move against that: of its own welds the file lists what carries", func(it item) bool {
		what, _ := role.ifStated(it)
		return it.id() == it.mechanism().Base() || slices.Contains([]string{"frame", "body", "drivetrain"}, what) && it.mechanism().Rigid(it.id())
	}),
),
	// What is on the vehicle weighs, and passes on what is hung on it.
	working(onVehicle, func(it item) bool { return slices.Contains(it.step().Parts, it.item) }),
	text("half_held", "of a leaf or torsion bar that an axle, arm or upright hangs on, the shackles and the like that are drawn on it and out in this step; 'nothing' when there are none", item.halfHeld),
	yesNo("under_load", "it is on the vehicle, and a support of the step bears on it or a joint or link of it carries; in a checklist, which does not say what joins what, wherever it is on the vehicle", underLoad),
	measured("bends", quantity.Torque, "largest bending moment with its torsion, √(M² + ¾T²), in an arm, upright, axle or other single piece along its line, of two legs in the worse or in the cross tube between them, worst over load cases; nothing in what is no such piece", func(it item) float64 { return most(bentBy.of(it)).Felt() }),
	working(bentBy, bend),
	measured("bend_utilisation", quantity.Number, "that moment with thrust and torsion × design factor ÷ what its section bears; of a part that is proven on a production vehicle the load of its corner or of a joint ÷ the axle load there, half of it sideways", use(partBends, partProven)),
	working(partBends, partAgainstSection),
	working(partProven, partAgainstProof),
)

// noBar reports whether nobody asks how a part bends. The frame, the body and the engine are
// no bars, but what is called so and moves against what the vehicle is built on is one; a
// wheel is judged by its maker, and a leaf that an axle hangs on bends by design.
func (it item) noBar() bool {
	if it.id() == it.mechanism().Base() {
		return true
	}
	switch what, _ := role.ifStated(it); what {
	case "frame", "body", "drivetrain":
		return it.mechanism().Rigid(it.id())
	case "wheel":
		return it.mechanism().AtEnd(it.id())
	case "spring":
		return !sectionThere.there(it) && it.bearsAxle()
	}
	return false
}

// underLoad reports whether a part passes anything on.
func underLoad(it item) bool {
	if !onVehicle.of(it) {
		return false
	}
	if it.mechanism().Checklist() || slices.ContainsFunc(it.step().Supports, func(s *model.Item) bool { on, _ := under.ifStated(it.of(s)); return on == it.id() }) {
		return true
	}
	var joined []*model.Item
	for _, m := range it.mechanism().Meets {
		if slices.Contains(m.Parts[:], it.id()) {
			joined = append(joined, m.Item)
		}
	}
	return anyOf(it, joined, carrying.of)
}

// halfHeld lists what a leaf or torsion bar is joined to by the drawing and not in the step, while an axle, arm or
// upright hangs on it and what is out would hold it to the rest of the vehicle.
func (it item) halfHeld() string {
	what, _ := role.ifStated(it)
	if what != "spring" || !onVehicle.of(it) {
		return "nothing"
	}
	bears, out := false, []string(nil)
	for _, m := range it.mechanism().Meets {
		other, joined := m.Other(it.id())
		switch off := it.step().Off(m); {
		case !joined:
		case it.part(other).is(schema.Suspension):
			bears = bears || !off
		case off && it.leadsOn(other):
			out = append(out, other)
		}
	}
	if !bears {
		return "nothing"
	}
	return orNothing(out)
}

// leadsOn reports whether something that is off would join the item to another part that is on the vehicle.
func (it item) leadsOn(off string) bool {
	return slices.ContainsFunc(it.mechanism().Meets, func(m *vehicle.Meet) bool {
		beyond, joined := m.Other(off)
		return joined && beyond != it.id() && onVehicle.of(it.part(beyond))
	})
}

// bearsAxle reports whether a part is joined to an axle.
func (it item) bearsAxle() bool {
	return slices.ContainsFunc(it.mechanism().Meets, func(m *vehicle.Meet) bool {
		k := slices.Index(m.Parts[:], it.id())
		if k < 0 {
			return false
		}
		what, _ := role.ifStated(it.part(m.Parts[1-k]))
		return what == "axle"
	})
}

// bent is one way of taking what bends a part.
type bent struct {
	vehicle.Bend
	asked  bool    // it counts when somebody has said how many legs there are
	cross  bool    // of the cross tube between legs
	stands float64 // N·m, of it by loads that stand on neither leg
	reason string  // why legs that are listed do not share it
}

// most is how a part bends in the way that bends it most.
func most(ways []bent) vehicle.Bend {
	var worst vehicle.Bend
	for _, b := range ways {
		if b.Felt() > worst.Felt() {
			worst = b.Bend
		}
	}
	return worst
}

// bend is how a part bends: two legs each by themselves, anything else as one piece. Of more legs than
// two, one is taken to bear what one piece or either of two would, whichever is more. So is a
// part of which nobody says how many legs it has, and where it stands as one piece alone, that is asked.
func bend(it item) []bent {
	if it.noBar() {
		return nil
	}
	legs, written := sectionLegs.ifStated(it)
	whole, unknown := it.step().Bends(it.item)
	it.because(unknown)
	ways := []bent{{Bend: whole}}
	if legs != 1 || !written {
		two, why := it.step().Legs(it.item)
		switch {
		case why == nil && legs == 2:
			ways = []bent{{Bend: two}}
		case why == nil:
			ways = append(ways, bent{Bend: two, asked: !written})
		case legs > 1:
			ways[0].reason = why.Error()
		}
		if two.Cross != nil {
			ways = append(ways, bent{Bend: *two.Cross, asked: !written, cross: true, stands: two.Between})
		}
	}
	for i := range ways {
		if b := &ways[i].Bend; b.Torsion < 1e-9*b.Moment { // rounding, which differs from machine to machine
			b.Torsion = 0
		}
	}
	return ways
}

// BendOf is how a part bends most in its step, where that is known.
func BendOf(o *Object) (vehicle.Bend, bool) {
	v, unknown := o.At(o.layout.slots[bentBy].at)
	ways, known := v.([]bent)
	return most(ways), known && unknown == nil
}

// partSection is the cross-section of one leg of a part.
func partSection(it item) barSection {
	if diameter, solid := sectionDiameter.ifStated(it); solid {
		s, err := strength.Round(diameter)
		return it.bar(s, err, sectionMaterial, diameter)
	}
	if thickness, flat := sectionFlat.ifStated(it); flat {
		s, err := strength.Flat(sectionWidth.of(it), thickness)
		return it.bar(s, err, sectionMaterial, thickness).withCorners()
	}
	wall := sectionWall.of(it)
	if width, box := sectionWidth.ifStated(it); box {
		s, err := strength.Box(width, sectionHeight.of(it), wall)
		return it.bar(s, err, sectionMaterial, wall).withCorners()
	}
	s, err := strength.Tube(sectionOD.of(it), wall)
	return it.bar(s, err, sectionMaterial, wall)
}

// sectionMass is what the section of a part weighs at the least, kg. What of it nobody wrote is asked for
// where it bends.
func sectionMass(it item) float64 {
	if _, weighed := massOf.ifStated(it); !weighed || !sectionThere.there(it) {
		return 0
	}
	own := reader{reads: it.r.reads}
	s := partSection(item{it.Object, &own})
	it.r.reads = own.reads
	if own.unknown() != nil || s.err != nil {
		return 0
	}
	legs, _ := sectionLegs.ifStated(it)
	return s.section.Area * it.mechanism().Runs(it.id(), legs) * s.material.Density()
}

// crossSection is the cross-section of the cross tube between the legs of a part, of the legs' metal. Nobody
// knows it by them: it is asked for where it is bent by what a section is asked for, and counts as one of
// them below that, and where nobody says that there are two legs or the loads stand so near to them
// that there may be no such tube.
func crossSection(it item, leg barSection, b bent) barSection {
	_, written := crossOD.ifStated(it)
	_, measured := crossWall.ifStated(it)
	if written && measured || !b.asked && b.stands > bendAsked.of(it.policy()) {
		s, err := strength.Tube(crossOD.of(it), crossWall.of(it))
		leg.section, leg.err, leg.corners = s, err, false
		return leg
	}
	path := paths[crossOD.field]
	switch {
	case b.asked:
		path = paths[sectionLegs]
	case written:
		path = paths[crossWall.field]
	}
	leg.guesses = append(slices.Clip(leg.guesses), guess{path: it.Path + "." + path, words: "its cross tube not measured: taken to be as one of its legs", likely: true})
	return leg
}

// withCorners marks a rectangle.
func (s barSection) withCorners() barSection {
	s.corners = true
	return s
}

// partAgainstSection holds what bends a part against its section, in the worst way of taking it. A
// part that is proven may do without one.
func partAgainstSection(it item) *Comparison {
	ways := bentBy.of(it)
	if it.open() || most(ways).Felt() == 0 || proven.there(it) && !sectionThere.there(it) {
		return nil
	}
	s := partSection(it)
	if it.open() {
		return nil
	}
	var worst *Comparison
	for _, b := range ways {
		if b.Felt() == 0 {
			continue
		}
		s := s
		if b.cross {
			if worst != nil && worst.Utilisation > 1 {
				break // whatever that tube is
			}
			s = crossSection(it, s, b)
			if it.open() {
				return nil
			}
		}
		c := it.bentAgainst(s, b)
		if b.asked && c.Utilisation > 1 && worst != nil && worst.Utilisation <= 1 {
			sectionLegs.of(it)
		}
		if worst == nil || c.NotComputed != "" || worst.NotComputed == "" && c.Utilisation > worst.Utilisation {
			worst = c
		}
	}
	return worst
}

// bentAgainst holds one way of taking what bends a part against its section.
func (it item) bentAgainst(s barSection, b bent) *Comparison {
	r, err, moment := strength.Result{}, s.err, b.Moment
	if s.corners {
		moment = b.Sides
	}
	if err == nil {
		r, err = strength.Bending(s.section, b.Long, moment, b.Thrust, b.Torsion, s.material)
	}
	if s.corners {
		r.Assumptions = append(r.Assumptions, "both ways of bending meet in its corner, about its weaker side", "its sides stand upright and level, those of legs in their plane and square to it")
	}
	switch l := b.Leg; {
	case l != nil:
		r.Working = append([]strength.Step{
			{Name: "force square to its legs at " + l.Pivot, Value: l.Reaction, Unit: "N"}, {Name: "where its leg is bent most, from there", Value: l.Lever * 1e3, Unit: "mm"},
			{Name: "moment out of the plane of its legs", Value: l.Square, Unit: "N·m"}, {Name: "of it from what stands off them or enters before", Value: l.Square - l.Reaction*l.Lever, Unit: "N·m"},
			{Name: "moment in their plane", Value: l.InPlane, Unit: "N·m"}, {Name: "the ± of the masses", Value: b.Moment / math.Hypot(l.Square, l.InPlane)},
		}, r.Working...)
		r.Assumptions = append(r.Assumptions, "its legs run straight from its two joints to where they meet", "what loads it between them stands on a cross tube", "both joints keep its legs from spreading")
	case b.reason != "":
		r.Assumptions = append(r.Assumptions, "one of its legs bears all of it: "+b.reason)
	}
	if b.Tied {
		r.Assumptions = append(r.Assumptions, "tied up as one with others, it is held at its farthest joint against what its springs push as drawn")
	}
	check := "part in bending"
	if b.cross {
		check = "cross tube between its legs, in bending"
		r.Assumptions = append(r.Assumptions, "its ends turn on its legs, which hold it up by the lever rule")
	}
	c := it.orAsk(it.compare(check, moment, r, err), s.guesses)
	c.Unit = units[quantity.Torque]
	return c
}

// partAgainstProof holds what a part off a production vehicle carries against what it carried
// there: in all, and at each of its joints and links, the whole permitted axle load on one side
// up and half of that level, the two shares added. Kerbs and braking are in it, so that no
// design factor comes on top.
func partAgainstProof(it item) *Comparison {
	if b := most(bentBy.of(it)); it.open() || b.Felt() == 0 || !proven.there(it) {
		return nil
	}
	provenOn.of(it)
	cut, limit := provenCut.of(it), provenAxle.of(it)
	up, level, elsewhere, unknown := it.step().Corner(it.item)
	it.because(unknown)
	if it.open() {
		return nil
	}
	var err error
	switch {
	case cut:
		err = errors.New("it was cut, welded, drilled or bent since, and is proven for nothing")
	case elsewhere != "":
		err = fmt.Errorf("%s loads it where its wheel and joints never did: write its section, or set it within 60 mm (2.4 in) of one of them, or on an axle outside of all but its wheel", elsewhere)
	}
	forces := []vehicle.Wrench{{Force: r3.Vec{X: level, Z: up}}}
	for _, m := range it.mechanism().Meets {
		if m.Of(it.id()) {
			_, passed, _ := it.step().Forces(m.Name)
			forces = append(forces, passed...)
		}
	}
	most := 0.0
	for _, f := range forces {
		most = max(most, r3.Norm(f.Force))
	}
	return provenAgainst("part against the axle load it is proven at", most, forces, limit, err)
}
