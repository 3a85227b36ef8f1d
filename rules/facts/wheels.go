package facts

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model/quantity"
	"setdown/rules/vehicle"
)

var ofWheels = append(fixed(
	stretched,
	count("missing", "how many nuts are missing", item.short),
	torqueShare,
	measured("engaged_ratio", quantity.Number, "thread engaged by turns ÷ stud diameter", func(it item) float64 {
		turns := turned.of(it)
		if it.open() {
			return 0
		}
		t := stud.of(it)
		return turns * t.Pitch / t.Diameter
	}),
	// Nobody has to count the turns of a nut that only keeps a hanging wheel on.
	yesNo("few_turns", "its turns were counted, and less than one stud diameter of thread is engaged; false when nobody counted", func(it item) bool {
		if _, counted := turned.ifStated(it); !counted {
			return false
		}
		return engagedOf.of(it) < 1
	}),
	// A hub nut that is not torqued by any wrench is a matter of found.hub_nut. A torque that
	// somebody wrote down asks what it is to be held against.
	yesNo("hub_slack", "too little torque was reached on its hub nut; false where nobody wrote one down", func(it item) bool {
		if _, read := hubTorqued.ifStated(it); read {
			hubWanted.of(it)
		}
		return it.slack(hubTorqued, hubWanted)
	}),
	yesNo("hub_stretched", "its hub nut was torqued to more than one and a half times what it is to have; false where nobody wrote one down", func(it item) bool {
		return it.overdone(hubTorqued, hubWanted)
	}),
),
	yesNo("on_floor", "the wheel stands on the floor in this step", func(it item) bool { return it.supports("wheel", "wheel") }),
)

// supports reports whether a wheel, hoist or dolly stands under the vehicle in the step. While
// a support of its kind does not say which one it is, it may be any that no other names.
func (it item) supports(field string, kinds ...string) bool {
	s := it.step()
	if len(s.On(field, it.id())) > 0 {
		return true
	}
	for _, support := range s.Supports {
		if _, named := support.Text(field); !named && vehicle.OfKind(kinds...)(support) {
			it.because(vehicle.NotRecorded(support.Path() + "." + field))
		}
	}
	return false
}

// scales is what the scales under all wheels say against the masses of the file.
type scales struct {
	off   float64 // share of the mass, beyond its ±
	aside float64 // m, of the centre of gravity in plan, beyond its ±
	// alone is the most by which a reading differs from what its wheel carries by the file, as a
	// share of that, where not every wheel was weighed.
	alone float64
}

// scales holds what was read under the wheels against the masses. Nobody has to weigh it.
func (it item) scales() (out scales) {
	s := it.step()
	if !s.OnWheels() {
		return out
	}
	var sum, alone float64
	var at r3.Vec
	weighed := 0
	for i, support := range s.Supports {
		read, known := onScale.ifStated(it.of(support))
		if !known {
			continue
		}
		weighed++
		if it.because(s.Unsolved); !s.Solved() {
			return out
		}
		carried := s.Reaction(i).Nominal
		alone = max(alone, math.Abs(read-carried)/max(carried, 1))
		sum += read
		at = r3.Add(at, r3.Scale(read, s.SupportAt(i)))
	}
	switch {
	case weighed == 0:
		return out
	case weighed < len(s.Supports):
		return scales{alone: alone}
	}
	whole, unknown := s.WholeWeight()
	if it.because(unknown); it.open() || sum == 0 {
		return scales{off: 1}
	}
	centre, spread, kg := s.Centre()
	weight := kg * vehicle.Gravity
	apart := r3.Sub(r3.Scale(1/sum, at), centre)
	return scales{
		off:   max(0, math.Abs(sum-weight)-(whole-weight)) / weight,
		aside: math.Hypot(max(0, math.Abs(apart.X)-spread.X), max(0, math.Abs(apart.Y)-spread.Y)),
	}
}

// scalesPast holds what was read under the wheels of a step, few or all, against the whole vehicle.
func scalesPast(it item) float64 {
	sum, weighed := 0.0, false
	for _, support := range it.step().Supports {
		read, known := onScale.ifStated(it.of(support))
		sum, weighed = sum+read, weighed || known
	}
	if !weighed {
		return 0
	}
	whole, unknown := it.step().WholeWeight()
	if it.because(unknown); it.open() {
		return 0
	}
	return max(0, sum-whole) / max(whole, 1)
}
