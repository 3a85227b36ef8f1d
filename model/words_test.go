package model

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/schema"
)

// said are the words of the American and the British shop for what a field of the format takes, by
// the word that is ours. From memory, common practice. Tools (spanner, torque seal), finishes and
// parts that no field names (bonnet, gaiter, thread insert, retaining washer) have no line here.
var said = []struct{ kind, field, word, said string }{
	{"parts", "role", "arm", "wishbone, A-arm, a arm, control arm, TCA, lower arm, upper arm"},
	{"parts", "role", "upright", "upright, knuckle, steering knuckle, hub carrier, spindle"},
	{"parts", "role", "axle", "solid axle, live axle, beam axle, axle casing, axle case, axle tube"},
	{"parts", "role", "frame", "chassis, spaceframe, tub, ladder frame"},
	{"parts", "role", "drivetrain", "half shaft, axle shaft, CV shaft, driveshaft, propshaft, prop shaft, propeller shaft"},
	{"parts", "role", "spring", "coil, leaf"},
	{"links", "role", "track rod", "tie rod, track rod, steering link"},
	{"links", "role", "toe link", "toe link"},
	{"links", "role", "locating link", "Panhard rod, panhard bar, trailing link, radius rod, radius arm, traction bar, ladder bar, torque rod, Watts link"},
	{"links", "role", "strut", "coilover, coil-over"},
	{"links", "role", "damper", "damper, shock, shock absorber"},
	{"links", "role", "anti-roll", "sway bar, swaybar, anti roll bar, ARB, stabiliser, end link, drop link"},
	{"links", "role", "spring", "coil, leaf"},
	{"joints", "kind", "rod end", "heim, heim joint, rose joint, rosejoint, uniball rod end, spherical rod end, joint end"},
	{"joints", "kind", "spherical bearing", "uniball, monoball, spherical"},
	{"joints", "kind", "ball joint", "balljoint, ball-joint"},
	{"joints", "kind", "bush", "bushing, bushings"},
	{"joints", "bush", "bonded", "metalastik, silentbloc, rubber bush, silent block"},
	{"fasteners", "role", "U-bolt", "ubolt, u bolt"},
	{"fasteners", "role", "hub nut", "axle nut, spindle nut, hub nut"},
	{"fasteners", "role", "pinch bolt", "clamp bolt"},
	{"fasteners", "lock", "split pin", "cotter pin, cotter, cotterpin, splitpin"},
	{"fasteners", "lock", "jam nut", "check nut, back nut"},
	{"fasteners", "lock", "nylon-insert nut", "nyloc, nylock, ny-lock, nylon lock nut"},
	{"fasteners", "lock", "all-metal nut", "stover nut, prevailing-torque nut, aerotight"},
	{"fasteners", "lock", "wire", "safety wire, safetywire, lockwire, lock wire, locking wire"},
	{"fasteners", "lock", "tab washer", "lock tab, locktab, bend tab"},
	{"fasteners", "lock", "spring washer", "lock washer, lockwasher, split washer"},
	{"fasteners", "lock", "thread compound", "threadlocker, threadlock, loctite, stud lock"},
	{"fasteners", "lock", "circlip", "circlip, snap ring, retaining ring, C-clip"},
	{"fasteners", "tapped_into", "aluminium", "aluminum"},
	{"stud_nuts", "lock", "split pin", "cotter pin"},
	{"welds", "role", "bracket", "lug, ear, tang"},
	{"welds", "role", "mount", "mounting"},
	{"welds", "role", "perch", "perch, spring pad, axle pad"},
	{"welds", "role", "frame node", "cluster, node"},
	{"welds", "parent", "mild steel", "low carbon steel, CRS, HRS"},
	{"welds", "parent", "alloy tube", "chromoly, chrome moly, cro-mo, CrMo, 4130N"},
	{"welds", "parent", "aluminium", "aluminum"},
	{"supports", "kind", "stand", "jack stand, jackstand, axle stand, axlestand, safety stand, support stand"},
	{"supports", "kind", "trestle", "saw horse, sawhorse"},
	{"supports", "kind", "crib", "cribbing, timber stack, sleepers, dunnage"},
	{"supports", "kind", "jack", "trolley jack, floor jack, bottle jack, scissor jack"},
	{"supports", "kind", "crane", "engine hoist, cherry picker, shop crane, engine crane"},
	{"supports", "kind", "dolly", "cart, skates"},
	{"supports", "kind", "table", "chassis jig, surface plate, build table"},
	{"supports", "kind", "hoist pad", "lift pad, arm pad, puck"},
	{"supports", "bears_on", "tyre", "tire"},
	{"restraints", "kind", "ratchet strap", "tie down, tie-down"},
	{"restraints", "kind", "droop strap", "droop strap, limit strap, check strap, rebound strap, limiting strap"},
}

// field is that of the table, wherever in the kind it stands.
func field(t *testing.T, kind, name string) *schema.Field {
	t.Helper()
	k := schema.KindOf(kind)
	require.NotNil(t, k, kind)
	f := k.Field(name)
	if f == nil {
		f = k.Found().Field(name)
	}
	require.NotNil(t, f, "%s.%s", kind, name)
	return f
}

func TestEveryShopsWord(t *testing.T) {
	d := &decoder{second: true}
	for _, c := range said {
		f := field(t, c.kind, c.field)
		for word := range strings.SplitSeq(c.said, ", ") {
			got, ok := d.synonym(f, word)
			assert.True(t, ok, "%s.%s: %s", c.kind, c.field, word)
			assert.Equal(t, c.word, got, "%s.%s: %s", c.kind, c.field, word)
		}
	}
}

// TestOneWordOneMeaning: a synonym is one of one word of ours in a field, and what two shops mean
// differently is none.
func TestOneWordOneMeaning(t *testing.T) {
	fields := 0
	var walk func(path string, list []schema.Field)
	walk = func(path string, list []schema.Field) {
		for _, f := range list {
			if f.Type == schema.Object {
				walk(path+"."+f.Name, f.Fields)
			}
			if f.Type != schema.Enum {
				continue
			}
			fields++
			means := map[string]string{}
			for _, s := range synonyms {
				if s.field != f.Name || !slices.Contains(f.Enum, s.word) {
					continue
				}
				for _, word := range s.also {
					assert.Equal(t, strings.ToLower(word), word, "a synonym is written small")
					assert.Empty(t, means[word], "%s.%s: %s means %s too", path, f.Name, word, s.word)
					assert.NotContains(t, f.Enum, word, "%s.%s", path, f.Name)
					means[word] = s.word
				}
			}
			for _, doubt := range doubtful {
				for _, word := range doubt.said {
					why, _ := which(&f, word)
					if why != "" {
						assert.Empty(t, means[word], "%s.%s: %s is doubtful", path, f.Name, word)
						assert.NotContains(t, f.Enum, word, "%s.%s", path, f.Name)
					}
				}
			}
		}
	}
	for _, k := range schema.Kinds() {
		walk(k.Name, k.Fields)
	}
	assert.Greater(t, fields, 40)
	for _, s := range synonyms {
		assert.True(t, slices.ContainsFunc(schema.Kinds(), func(k *schema.Kind) bool { return takes(k.Fields, s.field, s.word) }), "no field %s takes %s", s.field, s.word)
	}
	for _, s := range doubtful {
		for _, word := range s.means {
			assert.True(t, slices.ContainsFunc(schema.Kinds(), func(k *schema.Kind) bool { return takes(k.Fields, s.field, word) }), "no field %s takes %s", s.field, word)
		}
	}
	for heading := range underHeading {
		assert.NotNil(t, schema.KindOf(heading), heading)
	}
}

func takes(fields []schema.Field, name, word string) bool {
	return slices.ContainsFunc(fields, func(f schema.Field) bool {
		return f.Name == name && slices.Contains(f.Enum, word) || takes(f.Fields, name, word)
	})
}

func TestDoubtfulWordsAreAsked(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"links: {l: {ends: {a: {}, b: {}}, role: Track Bar}}\n", `b.yaml:2:41: "Track Bar" is doubtful for role: a track bar is a Panhard rod to some and a track rod to others (write track rod or locating link)`},
		{"fasteners: {f: {lock: locknut}}\n", `b.yaml:2:23: "locknut" is doubtful for lock: a lock nut is a second nut to some and one nut that grips to others (write jam nut, nylon-insert nut or all-metal nut)`},
		{"stud_nuts: {n: {lock: Castle nut}}\n", `b.yaml:2:23: "Castle nut" is doubtful for lock: what locks a castle nut is what goes through its slots (write split pin or wire)`},
		{"stud_nuts: {n: {lock: R-clip}}\n", `b.yaml:2:23: "R-clip" is doubtful for lock: a clip that pulls out is no split pin (write none or split pin)`},
		{"supports: {s: {kind: ramp}}\n", `b.yaml:2:22: "ramp" is doubtful for kind: a vehicle rests on a hoist by its pads, and on a ramp by its wheels (write hoist pad or wheel)`},
		{"bolts: {}\n", `b.yaml:2:1: a build file has no heading "bolts" (write them under fasteners)`},
		{"Axle stands: {}\n", `b.yaml:2:1: a build file has no heading "Axle stands" (write them under supports)`},
	} {
		_, err := Read("b.yaml", []byte("format: setdown/2\n"+c.text), Companions{})
		assert.ErrorContains(t, err, c.want)
	}
}
