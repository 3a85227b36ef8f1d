package model

import (
	"slices"
	"strings"

	"setdown/model/schema"
	"setdown/model/source"
)

// yes reads a yes or no. The second format takes it as people type it.
func (d *decoder) yes(text string) (yes, ok bool) {
	if d.second {
		text = strings.ToLower(text)
	}
	switch text {
	case "yes", "true":
		return true, true
	case "no", "false":
		return false, true
	}
	return text == "y" || text == "ok", d.second && (text == "y" || text == "ok" || text == "n")
}

// synonym is our word for another one of the trade, where the field takes it.
// A word that means two things in one field stands in no line of the table.
func (d *decoder) synonym(f *schema.Field, text string) (string, bool) {
	if !d.second {
		return "", false
	}
	text = strings.ToLower(text)
	for _, s := range synonyms {
		if s.field != "" && s.field != f.Name || !slices.Contains(f.Enum, s.word) {
			continue
		}
		if text == strings.ToLower(s.word) || slices.Contains(s.also, text) {
			return s.word, true
		}
	}
	for _, word := range f.Enum {
		if text == strings.ToLower(word) {
			return word, true
		}
	}
	return "", false
}

// material is the designation of a material for the name that a shop calls it by.
func (d *decoder) material(path, text string) string {
	if !d.second || lastName(path) != "material" {
		return text
	}
	if name, ok := materials[strings.ToLower(strings.TrimSpace(text))]; ok {
		return name
	}
	return text
}

// materials are the names that stand for one steel. T45 is another one, and ERW
// tube is weaker than drawn tube: neither stands here.
var materials = map[string]string{
	"chromoly": "4130", "chrome moly": "4130", "chrome-moly": "4130", "cro-mo": "4130", "crmo": "4130", "4130n": "4130",
}

// synonyms are the trade's other words, in small letters: as the American and
// the British shop say it, and names that are trademarks somewhere. They are read
// and never printed. Common practice.
var synonyms = []struct {
	field string // the only field it is meant for; empty is any that has the word
	word  string
	also  []string
}{
	{"role", "arm", []string{"wishbone", "a-arm", "a arm", "control arm", "tca", "lower arm", "upper arm"}},
	{"role", "upright", []string{"knuckle", "steering knuckle", "hub carrier", "stub-axle carrier", "spindle"}},
	{"role", "axle", []string{"solid axle", "live axle", "beam axle", "axle casing", "axle case", "axle tube"}},
	{"role", "frame", []string{"chassis", "spaceframe", "tub", "ladder frame", "frame bolt", "frame mount", "subframe", "subframe bolt", "subframe mount", "cross-member", "crossmember", "cross-member bolt", "body mount"}},
	{"role", "drivetrain", []string{"engine", "gearbox", "transmission", "drive shaft", "driveshaft", "half shaft", "axle shaft", "cv shaft", "propshaft", "prop shaft", "propeller shaft"}},
	{"role", "strut", []string{"coilover", "coil-over"}},
	{"role", "damper", []string{"shock", "shock absorber"}},
	{"role", "track rod", []string{"tie rod", "steering link"}},
	{"role", "locating link", []string{"panhard rod", "panhard bar", "trailing link", "radius rod", "radius arm", "traction bar", "ladder bar", "torque rod", "watts link"}},
	{"role", "anti-roll", []string{"sway bar", "swaybar", "anti-roll bar", "anti roll bar", "arb", "stabiliser", "stabilizer", "stabilizer bar", "drop link", "end link"}},
	{"role", "spring", []string{"coil", "coil spring", "road spring", "leaf", "leaf spring"}},
	{"role", "U-bolt", []string{"ubolt", "u bolt"}},
	{"role", "hub nut", []string{"axle nut", "spindle nut"}},
	{"role", "pinch bolt", []string{"clamp bolt"}},
	{"role", "bracket", []string{"tab", "lug", "ear", "tang"}},
	{"role", "mount", []string{"mounting"}},
	{"role", "perch", []string{"spring perch", "spring pad", "axle pad"}},
	{"role", "frame node", []string{"node", "cluster", "junction"}},
	{"kind", "taper ball joint", []string{"tapered-stud ball joint", "tapered ball joint"}},
	{"kind", "ball joint", []string{"balljoint", "ball-joint"}},
	{"kind", "rod end", []string{"heim", "heim joint", "rose joint", "rosejoint", "uniball rod end", "spherical rod end", "joint end"}},
	{"kind", "spherical bearing", []string{"uniball", "monoball", "spherical"}},
	{"kind", "bush", []string{"bushing", "bushings", "rubber bush", "bonded bush", "silentbloc", "silent block", "metalastik"}},
	{"kind", "pivot", []string{"plain pivot"}},
	{"kind", "coil-over", []string{"coilover", "coil over", "coil-over damper"}},
	{"kind", "coil", []string{"coil spring"}},
	{"kind", "leaf", []string{"leaf spring", "cart spring"}},
	{"kind", "torsion bar", []string{"torsion-bar", "torsion spring"}},
	{"kind", "stand", []string{"jack stand", "jackstand", "axle stand", "axlestand", "safety stand", "support stand"}},
	{"kind", "trestle", []string{"saw horse", "sawhorse"}},
	{"kind", "crib", []string{"cribbing", "box crib", "timber stack", "sleeper", "sleepers", "dunnage"}},
	{"kind", "jack", []string{"trolley jack", "floor jack", "bottle jack", "scissor jack"}},
	{"kind", "hoist pad", []string{"lift pad", "arm pad", "puck"}},
	{"kind", "crane", []string{"engine hoist", "cherry picker", "shop crane", "engine crane", "chain hoist", "chain block", "lever hoist"}},
	{"kind", "dolly", []string{"cart", "skate", "skates", "wheel skate", "wheel dolly"}},
	{"kind", "table", []string{"build table", "frame table", "chassis table", "chassis jig", "surface plate"}},
	{"kind", "ratchet strap", []string{"tie down", "tie-down"}},
	{"kind", "droop strap", []string{"limit strap", "limiting strap", "check strap", "rebound strap"}},
	{"kind", "stop", []string{"bump stop", "rebound stop"}},
	{"bush", "bonded", []string{"rubber", "bonded bush", "rubber bush", "silentbloc", "silent block", "metalastik"}},
	{"lock", "split pin", []string{"cotter pin", "cotter", "cotterpin", "splitpin"}},
	{"lock", "wire", []string{"lock wire", "lockwire", "locking wire", "safety wire", "safetywire"}},
	{"lock", "nylon-insert nut", []string{"nyloc", "nylock", "ny-lock", "nylon lock nut"}},
	{"lock", "all-metal nut", []string{"stover nut", "prevailing-torque nut", "aerotight"}},
	{"lock", "tab washer", []string{"lock tab", "locktab", "bend tab"}},
	{"lock", "spring washer", []string{"lock washer", "lockwasher", "split washer"}},
	{"lock", "thread compound", []string{"threadlocker", "threadlock", "loctite", "stud lock"}},
	{"lock", "circlip", []string{"snap ring", "retaining ring", "c-clip"}},
	{"lock", "jam nut", []string{"check nut", "back nut"}},
	{"tapped_into", "aluminium", []string{"aluminum"}},
	{"parent", "aluminium", []string{"aluminum"}},
	{"parent", "alloy tube", []string{"chromoly", "chrome moly", "chrome-moly", "cro-mo", "crmo", "4130", "4130n", "t45"}},
	{"parent", "mild steel", []string{"low carbon steel", "crs", "hrs", "cds", "erw", "dom", "s235", "s275", "s355", "e235", "e355"}},
	{"parent", "stainless", []string{"stainless steel"}},
	{"seat", "cone", []string{"taper", "tapered", "conical", "acorn", "cone seat"}},
	{"seat", "ball", []string{"spherical", "radius", "radiused", "ball seat"}},
	{"seat", "flat", []string{"washer", "flat seat", "mag seat"}},
	{"floor", "timber", []string{"wood", "lumber"}},
	{"bears_on", "frame node", []string{"node", "cluster", "junction"}},
	{"bears_on", "lifting point", []string{"jacking point", "lift point"}},
	{"bears_on", "tyre", []string{"tire"}},
	{"bears_on", "upright", []string{"hub", "hub carrier", "knuckle", "steering knuckle", "spindle"}},
	{"bears_on", "arm", []string{"wishbone", "a-arm", "a arm", "control arm", "lower arm"}},
	{"bears_on", "axle", []string{"axle tube", "axle casing", "axle case"}},
	{"bears_on", "pan", []string{"sump", "oil pan", "floor pan"}},
	{"kept_by", "its damper", []string{"damper", "its shock"}},
	{"battery", "isolated", []string{"disconnected"}},
	{"gear", "in gear", []string{"park"}},
	{"air_springs", "holding height", []string{"at height"}},
}

// doubtful are words, in small letters, that mean one thing to one shop and another to the next, or
// less than they seem to: whoever wrote one is asked which of ours it is. Common practice.
var doubtful = []struct {
	field string
	said  []string
	means []string // ours that it may be; it is doubtful where the field has them all
	why   string
}{
	{"role", []string{"track bar"}, []string{"track rod", "locating link"}, "a track bar is a Panhard rod to some and a track rod to others"},
	{"role", []string{"rocker"}, []string{"other", "body"}, "a rocker is a bellcrank (other) to some and a sill (body) to others"},
	{"role", []string{"rear end"}, []string{"axle", "body"}, "a rear end is an axle to some and the back of a car to others"},
	{"kind", []string{"tie rod end", "track rod end"}, []string{"taper ball joint", "rod end"}, "one of production has a tapered stud, one of a special is often a rod end"},
	{"kind", []string{"lift", "car lift", "two-post", "two-post lift", "four-post", "four-post lift", "hoist", "ramp", "ramps", "car ramp", "car ramps"}, []string{"hoist pad", "wheel"}, "a vehicle rests on a hoist by its pads, and on a ramp by its wheels"},
	{"bears_on", []string{"cross-member", "crossmember", "chassis rail", "frame rail", "rail", "subframe", "outrigger"}, []string{"frame node", "overhang"}, "it bears where other members meet it (frame node), and bends where it stands out alone (overhang)"},
	{"bears_on", []string{"sill", "pinch weld", "seam"}, []string{"lifting point", "sheet"}, "a sill bears at its jacking point, and buckles beside it (sheet)"},
	{"bears_on", []string{"diff", "differential"}, []string{"axle", "pan"}, "the casing of a solid axle bears, a cover or a thin housing does not (pan)"},
	{"kind", []string{"bench"}, []string{"trestle", "table"}, "a bench is a trestle to some and a table to others"},
	{"lock", []string{"castle nut", "castellated nut", "slotted nut"}, []string{"split pin", "wire"}, "what locks a castle nut is what goes through its slots"},
	{"lock", []string{"lock nut", "locknut", "locking nut", "self-locking nut"}, []string{"jam nut", "nylon-insert nut", "all-metal nut"}, "a lock nut is a second nut to some and one nut that grips to others"},
	{"lock", []string{"r-clip", "r clip", "hairpin", "hairpin cotter", "hitch pin", "spring cotter"}, []string{"none", "split pin"}, "a clip that pulls out is no split pin"},
	{"tapped_into", []string{"alloy"}, []string{"aluminium", "steel"}, "alloy is aluminium to some and steel to others"},
	{"parent", []string{"alloy"}, []string{"aluminium", "alloy tube"}, "alloy is aluminium to some and steel tube to others"},
}

// which asks what a doubtful word means; it is empty where the word is none.
func which(f *schema.Field, text string) (why, hint string) {
	for _, d := range doubtful {
		if d.field != f.Name || !slices.Contains(d.said, strings.ToLower(text)) {
			continue
		}
		if slices.ContainsFunc(d.means, func(word string) bool { return !slices.Contains(f.Enum, word) }) {
			continue
		}
		return d.why, "write " + source.Either(d.means)
	}
	return "", ""
}

// underHeading are the words under which people look for a heading, by its name.
var underHeading = map[string][]string{
	"parts":      {"arms", "uprights", "axle", "chassis", "frame", "engine"},
	"joints":     {"rod_ends", "bushes", "bushings", "bearings", "pivots", "hinges"},
	"links":      {"bars", "rods", "tie_rods", "track_rods", "toe_links", "struts", "dampers", "shocks"},
	"fasteners":  {"bolts", "screws", "cap_screws", "pins", "clevis_pins", "u_bolts"},
	"stud_nuts":  {"castle_nuts", "slotted_nuts", "taper_nuts", "ball_joint_nuts"},
	"spacers":    {"sleeves", "shims"},
	"welds":      {"tacks", "brackets", "tabs", "nodes", "frame_nodes"},
	"wheels":     {"hubs", "wheel_nuts", "lug_nuts", "lugs"},
	"springs":    {"coils", "coilovers", "coil_overs", "leaves"},
	"supports":   {"stands", "axle_stands", "jack_stands", "jacks", "cribs", "trestles"},
	"hoists":     {"lifts", "car_lifts"},
	"dollies":    {"tables", "carts", "skates"},
	"cranes":     {"engine_hoists", "engine_cranes"},
	"restraints": {"straps", "ratchet_straps", "tie_downs", "ropes"},
}

// headingOf is the heading under which the thing is written; empty where nobody knows.
func headingOf(word string) string {
	word = strings.NewReplacer(" ", "_", "-", "_").Replace(strings.ToLower(word))
	for heading, words := range underHeading {
		if slices.Contains(words, word) {
			return heading
		}
	}
	return ""
}
