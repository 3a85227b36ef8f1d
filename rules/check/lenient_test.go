package check_test

import "path"

// lenient lists the faults that may leave a move GO although weight may rest on the
// item, each group with its reason. The keys are patterns of
// fault.key; '*' stands for any text.
var lenient = []struct {
	why  string
	keys []string
}{
	{"who saw it and who looked again are cautions; a note is a word", []string{"*.by not recorded", "*.seen_by not recorded", "*.note not recorded"}},
	{"a witness mark shows a nut that turned; its absence is a caution, a broken one holds", []string{"*.marked *"}},
	{"a lock is a stop on wheels, on a hoist and rolling; at rest on stands nothing turns the nut, and it is a caution", []string{
		"fasteners.lock_fitted *", "stud_nuts.lock_fitted *", "fasteners.lock_reused *",
	}},
	{"another fact says the same: the torque by wrench, the count, the threads past the nut or how far it protrudes", []string{
		"*.tightness not recorded", "fasteners.fitted not recorded", "fasteners.protruding *", "fasteners.threads_past not recorded",
	}},
	{"a part is on the vehicle and weighs unless somebody says that it is off; nobody is asked when it was seen", []string{"parts.on *", "parts.found not recorded", "parts.disturbed *"}},
	{"a face has no eye", []string{"joints (bolted face).bush_fitted *", "joints (bolted face).kept *", "joints (welded face).bush_fitted *", "joints (welded face).kept *"}},
	{"asked where somebody goes under it", []string{"hoists.locks_down not recorded"}},
	{"asked in a roll, and there brakes that work are enough", []string{"moves.stop_means *"}},
	{"of a weld made in full its tacks are not asked; a size that nobody measured is a caution, and one that is too small stops", []string{
		"welds*.tacks not recorded", "welds*.tack_length not recorded", "welds*.leg not recorded", "welds*.undercut not recorded",
	}},
	{"a joint is held by its bolts, nuts and welds, and these are asked when they were seen", []string{"joints *.on *", "joints *.found not recorded"}},
	{"cautions of fit: an angle that was not measured or has no limit, a bolt that goes in hard", []string{"joints *.misalignment *", "joints *.bolt_slides *"}},
	{"the setting of a bar that the file does not compare with a twin, and ends without adapters; between two tabs the washer only backs up the tabs; a tag is for people; planned turns are not wound out yet", []string{
		"links.length *", "links.adapters not recorded", "links.adapters is none", "links.retaining_washer *", "links.tagged *", "links.turns_planned *",
	}},
	{"jam nuts are a caution while the frame stands and the wheels hang", []string{"links.jam_nuts *", "joints (rod end).jam_nuts *"}},
	{"a wheel off the floor only hangs; its nuts must all be on, and what the road asks is asked on the floor", []string{
		"wheels.tightness *", "wheels.torqued *", "wheels.hub_nut *", "wheels.seats_match *", "wheels.turns *",
	}},
	{"a perch that bears by contact may be set, welded and looked at in this move: a note says that it must be full before it rolls", []string{"welds (by contact).made *", "welds (by contact).tacks *", "welds (by contact).tack_length *", "welds (by contact).inspected *"}},
	{"an old examination of a hoist is a caution", []string{"hoists.examined *"}},
	{"brakes carry no weight; a loose one is a caution", []string{"brakes.*"}},
	{"a dolly is held while it carries, and its ties are counted when it leaves", []string{"dollies.held *", "dollies.ties_left *", "dollies.strapped *"}},
	{"cautions about people and order, and chocks where the move rolls or has no wheels on the floor", []string{
		"moves.catch *", "moves.in_charge *", "moves.order_read *", "moves.phone *", "moves.stop_word *", "moves.way_back *", "moves.chocked *",
		"supports (wheel).chocked *",
	}},
	{"the shop: cautions, and a floor that wheels may stand on", []string{
		"site.clear *", "site.extinguisher *", "site.flatness *", "site.headroom *", "site.outdoors *", "site.plates *", "site.floor *",
	}},
	{"cautions, or nothing that this kind of support has", []string{
		"supports (stand).padded *", "supports (jack).contact *", "supports (jack).level *", "supports (jack).padded *", "supports (jack).rolls_free *",
		"supports (wheel).contact *", "supports (wheel).floor *", "supports (wheel).level *", "supports (wheel).stacked *", "supports (wheel).condition *",
		"supports (dolly).contact *", "supports (dolly).floor *", "supports (dolly).level *", "supports (dolly).locked *", "supports (dolly).own_pin *",
		"supports (dolly).padded *", "supports (dolly).stacked *",
		"supports (table).contact *", "supports (table).floor *", "supports (table).level *", "supports (table).locked *", "supports (table).own_pin *",
		"supports (table).padded *", "supports (table).stacked *",
		"supports (trestle).locked *", "supports (trestle).own_pin *", "supports (trestle).padded *",
		"supports (crane).padded *", "supports (crane).contact *", "supports (crane).level *", "supports (crane).floor *", "supports (crane).condition *",
		"supports (crane).stacked *", "supports (crib).padded *", "supports (crib).stacked *", "supports (wheel).padded *",
		"supports (hoist pad).floor *", "supports (hoist pad).level *", "supports (hoist pad).locked *", "supports (hoist pad).own_pin *", "supports (hoist pad).padded *",
	}},
	{"cautions, or grave only together with another: fuel with hot work, a battery with a gear, brakes in a roll", []string{
		"vehicle.battery *", "vehicle.gear *", "vehicle.cleaner *", "vehicle.fuel *", "vehicle.hot_work *", "vehicle.loose_load *",
		"vehicle.brake_works *", "vehicle.parking_brake *", "vehicle.isolated_by *",
	}},
	{"a checklist counts no masses", []string{"vehicle.masses_current *"}},
	{"the strength counts what is made, and it bears; seen warm, ground flush or on a bad surface are cautions", []string{
		"welds*.made is part", "welds*.made_length *", "welds*.sides *", "welds*.leg is a third", "welds*.cold *", "welds*.dressed *", "welds*.surface *",
	}},
	{"the hub nut is asked for as a whole, the shaft only where it holds the bearing; a wheel that rubs or points out is a caution", []string{
		"wheels.clear *", "wheels.hub_torqued *", "wheels.shaft_in *", "wheels.toe *",
	}},
}

// leniency is the pattern in the reviewed list that covers a fault, or "".
func leniency(f fault) string {
	for _, group := range lenient {
		for _, pattern := range group.keys {
			if ok, _ := path.Match(pattern, f.key()); ok {
				return pattern
			}
		}
	}
	return ""
}
