package facts

import (
	"setdown/model/quantity"
	"setdown/rules/vehicle"
)

var ofVehicle = append(fixed(
	yesNo("geometry_known", "the file lists joints or links, so that loads in them are computed and strength is asked for; always known", func(it item) bool { return len(it.mechanism().Meets) > 0 }),
	yesNo("masses_listed", "the file has the mass of a part, so that something is worked out from it; always known", func(it item) bool { return allMass.of(it) > 0 }),
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

var ofParts = fixed(
	yesNo("mass_exact", "it is more than a twentieth of all recorded mass and written without ±", func(it item) bool {
		m, _ := massOf.field.ifStated(it)
		return m.Tol == 0 && m.Value > allMass.of(it.whole())/20
	}),
)

// part reads the part with that id.
func (it item) part(id string) item { return it.of(it.mechanism().Build.Item(id)) }
