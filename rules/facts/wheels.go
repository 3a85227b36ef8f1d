package facts

import (
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
	// A hub nut that is not torqued by any wrench is a matter of found.hub_nut; two torques
	// that are written and do not fit are bad.
	yesNo("hub_slack", "both torques of its hub nut are written, and too little was reached", func(it item) bool {
		reached, read := hubTorqued.ifStated(it)
		wanted, stated := hubWanted.ifStated(it)
		return read && stated && reached < torqueLeast.of(it.policy())*wanted
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
