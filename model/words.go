package model

import (
	"slices"
	"strings"

	"setdown/model/schema"
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
	{"role", "upright", []string{"knuckle", "steering knuckle", "hub carrier", "spindle"}},
	{"role", "axle", []string{"solid axle", "live axle", "beam axle"}},
	{"role", "frame", []string{"chassis", "spaceframe", "tub", "ladder frame"}},
	{"role", "strut", []string{"damper", "shock", "shock absorber", "coilover", "coil-over"}},
	{"role", "track rod", []string{"tie rod", "steering link"}},
	{"role", "locating link", []string{"panhard rod", "panhard bar", "trailing link", "radius rod", "radius arm", "traction bar", "ladder bar", "torque rod", "watts link"}},
	{"role", "anti-roll", []string{"sway bar", "swaybar", "anti-roll bar", "anti roll bar", "arb", "drop link", "end link"}},
	{"role", "U-bolt", []string{"ubolt", "u bolt"}},
	{"role", "hub nut", []string{"axle nut", "spindle nut"}},
	{"role", "pinch bolt", []string{"clamp bolt"}},
	{"role", "perch", []string{"spring perch", "spring pad", "axle pad"}},
	{"role", "frame node", []string{"node", "cluster"}},
	{"kind", "taper ball joint", []string{"tapered-stud ball joint"}},
	{"kind", "ball joint", []string{"balljoint", "ball-joint"}},
	{"kind", "rod end", []string{"heim", "heim joint", "rose joint", "rosejoint", "uniball rod end", "spherical rod end"}},
	{"kind", "spherical bearing", []string{"uniball", "monoball", "spherical"}},
	{"kind", "bush", []string{"bushing"}},
	{"kind", "pivot", []string{"plain pivot"}},
	{"kind", "coil-over", []string{"coilover", "coil over", "coil-over damper"}},
	{"kind", "coil", []string{"coil spring"}},
	{"kind", "leaf", []string{"leaf spring", "cart spring"}},
	{"kind", "torsion bar", []string{"torsion-bar", "torsion spring"}},
	{"kind", "stand", []string{"jack stand", "jackstand", "axle stand", "axlestand", "safety stand", "support stand"}},
	{"kind", "trestle", []string{"saw horse", "sawhorse"}},
	{"kind", "crib", []string{"cribbing", "box crib", "timber stack", "sleepers", "dunnage"}},
	{"kind", "jack", []string{"trolley jack", "floor jack", "bottle jack", "scissor jack"}},
	{"kind", "hoist pad", []string{"lift pad", "arm pad", "puck"}},
	{"kind", "crane", []string{"engine hoist", "cherry picker", "shop crane", "engine crane"}},
	{"kind", "table", []string{"build table"}},
	{"kind", "ratchet strap", []string{"tie down", "tie-down"}},
	{"bush", "bonded", []string{"rubber", "bonded bush", "rubber bush", "silentbloc", "silent block", "metalastik"}},
	{"lock", "split pin", []string{"cotter pin", "cotter", "cotterpin", "splitpin"}},
	{"lock", "wire", []string{"lock wire", "lockwire", "safety wire", "safetywire"}},
	{"lock", "nylon-insert nut", []string{"nyloc", "nylock", "ny-lock", "nylon lock nut"}},
	{"lock", "all-metal nut", []string{"stover nut", "prevailing-torque nut", "aerotight"}},
	{"lock", "tab washer", []string{"lock tab", "locktab", "bend tab"}},
	{"lock", "spring washer", []string{"lock washer", "lockwasher", "split washer"}},
	{"lock", "thread compound", []string{"threadlocker", "threadlock", "loctite", "stud lock"}},
	{"lock", "circlip", []string{"snap ring", "retaining ring", "c-clip"}},
	{"lock", "jam nut", []string{"locknut", "check nut", "back nut"}},
	{"tapped_into", "aluminium", []string{"aluminum"}},
	{"parent", "aluminium", []string{"aluminum"}},
	{"parent", "alloy tube", []string{"chromoly", "chrome moly", "chrome-moly", "4130"}},
	{"parent", "mild steel", []string{"low carbon steel", "crs", "hrs"}},
	{"floor", "timber", []string{"wood", "lumber"}},
	{"bears_on", "lifting point", []string{"jacking point", "lift point"}},
	{"bears_on", "tyre", []string{"tire"}},
	{"battery", "isolated", []string{"disconnected"}},
	{"gear", "in gear", []string{"park"}},
	{"air_springs", "holding height", []string{"at height"}},
}
