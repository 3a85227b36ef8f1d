package facts

import (
	"slices"

	"setdown/model/quantity"
	"setdown/model/strength"
	"setdown/rules/vehicle"
)

var ofVehicle = append(fixed(
	yesNo("geometry_known", "the file lists joints or links, so that loads in them are computed and strength is asked for; always known", func(it item) bool { return len(it.mechanism().Meets) > 0 }),
	yesNo("masses_listed", "the file has the mass of a part, so that something is worked out from it; always known", func(it item) bool { return allMass.of(it) > 0 }),
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
			if what, _ := role.ifStated(it.of(p)); weighed && p != base && m > own && slices.Contains([]string{"arm", "upright", "wheel"}, what) {
				heavier = append(heavier, p.ID)
			}
		}
		return orNothing(heavier)
	}),
	working(allMass, func(it item) float64 {
		all := 0.0
		for _, part := range it.mechanism().Build.Of("parts") {
			m, _ := massOf.ifStated(it.of(part))
			all += m
		}
		return all
	}),
),
	measured("mass", quantity.Mass, "mass of all parts on it in this step, worst over the ±", func(it item) float64 {
		whole, unknown := it.step().WholeWeight()
		it.because(unknown)
		return whole / vehicle.Gravity
	}),
	yesNo("masses_known", "every part that is on it has a mass and a centre of gravity", func(it item) bool { return it.step().MassesKnown() }),
)

var ofParts = append(fixed(
	yesNo("mass_exact", "it is more than a twentieth of all recorded mass and written without ±", func(it item) bool {
		m, _ := massOf.field.ifStated(it)
		return m.Tol == 0 && m.Value > allMass.of(it.whole())/20
	}),
),
	measured("bends", quantity.Torque, "largest bending moment in an arm, upright, axle or other single piece along its line, worst over load cases; nothing in what is no such piece", func(it item) float64 { return it.bend().Moment }),
	measured("bend_utilisation", quantity.Number, "that moment with thrust and torsion × design factor ÷ what its section bears; of a part that is proven on a production vehicle the load of its corner ÷ the axle load there, half of it sideways", bendUtilisation),
)

// bend is how a part bends. The frame and the body are no bars, a wheel is judged by its
// maker, and a leaf spring or torsion bar bends by design.
func (it item) bend() vehicle.Bend {
	if what, _ := role.ifStated(it); slices.Contains([]string{"frame", "body", "drivetrain", "wheel", "spring"}, what) || it.id() == it.mechanism().Base() {
		return vehicle.Bend{}
	}
	b, unknown := it.step().Bends(it.item)
	it.because(unknown)
	return b
}

// bendUtilisation holds the bending of a part against its section, its corner's load against
// what it is proven for, or the worse where the file says both.
func bendUtilisation(it item) float64 {
	b := it.bend()
	if it.open() || b.Moment == 0 {
		return 0
	}
	used := 0.0
	if proven.there(it) {
		if used = it.provenUse(); it.open() || !sectionThere.there(it) {
			return used
		}
	}
	var s strength.Section
	var err error
	if diameter, bar := sectionDiameter.ifStated(it); bar {
		s, err = strength.Round(diameter)
	} else if od, wall := sectionOD.of(it), sectionWall.of(it); !it.open() {
		s, err = strength.Tube(od, wall)
	}
	name := sectionMaterial.of(it)
	if it.open() {
		return 0
	}
	legs, _ := sectionLegs.ifStated(it)
	share := 1 / float64(max(1, legs))
	m, known := strength.Material{}, err
	if known == nil {
		m, known = strength.MaterialOf(name)
	}
	var r strength.Result
	if known == nil {
		r, known = strength.Bending(s, b.Long, b.Moment*share, b.Thrust*share, b.Torsion*share, m)
	}
	if known != nil {
		it.not("%v", known)
		return 0
	}
	return max(used, b.Moment*share*designFactor.of(it.policy())/r.Value)
}

// provenUse is what a part off a production vehicle carries beside what it carried there: the
// whole permitted axle load on one side up, half of that level. Kerbs and braking are in it, so
// that no design factor comes on top.
func (it item) provenUse() float64 {
	provenOn.of(it)
	cut, limit := provenCut.of(it), provenAxle.of(it)
	up, level, elsewhere, unknown := it.step().Corner(it.item)
	it.because(unknown)
	switch {
	case it.open():
		return 0
	case cut:
		it.not("it was cut, welded, drilled or bent since, and is proven for nothing")
		return 0
	case elsewhere != "":
		it.not("%s loads it where its wheel and joints never did", elsewhere)
		return 0
	}
	return max(up/limit, 2*level/limit)
}

// part reads the part with that id.
func (it item) part(id string) item { return it.of(it.mechanism().Build.Item(id)) }
