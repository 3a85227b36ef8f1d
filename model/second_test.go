package model_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/source"
)

const secondHead = "format: setdown/2\n"

// with reads a build file of the second format with a log beside it.
func with(t *testing.T, text, log string) *model.Build {
	t.Helper()
	b, err := model.Read("b.yaml", []byte(secondHead+text), model.Companions{Looks: []byte(log)})
	require.NoError(t, err)
	return b
}

// refusedSecond is the message for a build file of the second format.
func refusedSecond(text, log string) string {
	companions := model.Companions{Table: func(string) ([]byte, error) { return nil, errors.New("no table") }}
	if log != "" {
		companions.Looks = []byte(log)
	}
	_, err := model.Read("b.yaml", []byte(secondHead+text), companions)
	if err == nil {
		return ""
	}
	return err.Error()
}

func canonical(b *model.Build, prefix string) string {
	var lines []string
	for _, line := range strings.Split(string(b.Canonical()), "\n") {
		if rest, ok := strings.CutPrefix(line, prefix+"."); ok {
			lines = append(lines, rest)
		}
	}
	return strings.Join(lines, "\n")
}

func TestLikeTakesWhatAThingIs(t *testing.T) {
	b := with(t, `parts: {frame: {}, arm: {mass: 3 kg, cg: [1, 2, 3], role: arm}, other: {like: arm}}
joints:
  a: {kind: spherical bearing, between: [arm, frame], at: [1, 2, 3], axis: [1, 0, 0], static_rating: 30 kN, axial_rating: 4 kN}
  b: {like: a, between: [other, frame], axial_rating: null}
  c: {like: b, between: [other, frame], static_rating: 20 kN}
fasteners:
  a-bolt: {thread: M10x1.5, class: "10.9", torque: 60 N·m, needed: 2, tab: {thickness: 4 mm, edge: 20 mm}}
  b-bolt: {like: a-bolt, tab: {edge: 22 mm, thickness: null}}
welds:
  a-bracket: {fillet: {leg: 3 mm, length: 100 mm, centre: [1, 2, 3]}, waits_for: ride height}
  b-bracket: {like: a-bracket, fillet: {leg: 4 mm}}
`, "")
	assert.Equal(t, "mass = 3 kg\nrole = arm", canonical(b, "parts.other"), "not where it is")
	assert.Equal(t, "axis = [1, 0, 0]\nbetween = [other, frame]\nkind = spherical bearing\nstatic_rating = 30 kN", canonical(b, "joints.b"))
	assert.Equal(t, "axis = [1, 0, 0]\nbetween = [other, frame]\nkind = spherical bearing\nstatic_rating = 20 kN", canonical(b, "joints.c"), "what was taken away stays away")
	assert.Equal(t, "class = 10.9\nholds = [b]\ntab.edge = 22 mm\nthread = M10x1.5\ntorque = 60 N·m", canonical(b, "fasteners.b-bolt"), "a block field by field, and what it holds by its name")
	assert.True(t, b.Item("b-bolt").HoldsByName)
	assert.Equal(t, "fillet.leg = 4 mm\nfillet.length = 100 mm\nholds = [b]", canonical(b, "welds.b-bracket"))
}

// The ends of a link are its own.
func TestLikeOfLinks(t *testing.T) {
	b := with(t, `parts: {frame: {}, axle: {}}
links:
  panhard: {role: panhard rod, ends: {frame: {on: frame, shear: single}, axle: {on: axle, shear: double}}, bar: {diameter: 20 mm}}
  upper: {like: panhard, ends: {front: {on: frame}, axle: {on: axle}}}
`, "")
	assert.Equal(t, "bar.diameter = 20 mm\nends = [front, axle]\nends.axle.on = axle\nends.axle.shear = double\nends.front.on = frame\nrole = locating link", canonical(b, "links.upper"))
}

func TestLikeAndMirror(t *testing.T) {
	b := with(t, `parts: {frame: {}, fl-arm: {}}
mirror: [{from: fl-, to: fr-, across: y}]
joints:
  fl-a: {kind: spherical bearing, between: [fl-arm, frame], at: [1, 200, 3], static_rating: 30 kN}
  fl-b: {like: fl-a, between: [fl-arm, frame], at: [5, 200, 3]}
  fr-b: {static_rating: null}
links:
  fl-toe: {ends: {inner: {on: frame, at: [0, 100, 0]}, outer: {on: fl-arm}}}
fasteners:
  fl-toe-inner-bolt: {thread: M10x1.5}
`, "")
	assert.Equal(t, "at = [0.005, -0.2, 0.003]\nbetween = [fr-arm, frame]\nkind = spherical bearing", canonical(b, "joints.fr-b"))
	assert.Equal(t, "holds = [fr-toe/inner]\nthread = M10x1.5", canonical(b, "fasteners.fr-toe-inner-bolt"))
}

func TestTheTradesWordsAreRead(t *testing.T) {
	b := with(t, `parts: {frame: {role: Chassis}, arm: {role: wishbone}}
joints: {j: {kind: heim joint, between: [arm, frame]}}
fasteners: {f: {holds: [j], lock: cotter pin, found: {fitted: Yes, tightness: Torqued, marked: ok, hole_egged: n, day: 2026-11-20, by: TN}}}
links: {l: {ends: {a: {on: frame}, b: {on: arm}}, role: Panhard rod, tube: {material: chromoly}}}
supports: {s: {kind: axle stand}}
`, "")
	assert.Equal(t, "role = frame", canonical(b, "parts.frame"))
	assert.Equal(t, "between = [arm, frame]\nkind = rod end", canonical(b, "joints.j"))
	assert.Equal(t, "found.by = TN\nfound.fitted = yes\nfound.hole_egged = no\nfound.marked = yes\nfound.on = 2026-11-20\nfound.tightness = torqued\nholds = [j]\nlock = split pin", canonical(b, "fasteners.f"))
	assert.Equal(t, "ends = [a, b]\nends.a.on = frame\nends.b.on = arm\nrole = locating link\ntube.material = 4130", canonical(b, "links.l"))
	assert.Equal(t, "kind = stand", canonical(b, "supports.s"))
}

func TestSecondFormatRefuses(t *testing.T) {
	for _, c := range []struct{ name, text, log, want string }{
		{"a ring", "welds: {a: {like: b}, b: {like: c}, c: {like: a}}\n", "",
			"b.yaml:2:19: these are like each other in a ring: a → b → c → a (write one of them out)"},
		{"like another kind", "welds: {a: {like: b}}\nparts: {b: {}}\n", "",
			"b.yaml:2:19: b is a part, and a weld cannot be like it"},
		{"like nothing", "welds: {a: {like: bb}, b: {}}\n", "",
			`b.yaml:2:19: there is no item "bb" (the items are a, b)`},
		{"like and mirror", "parts: {f: {}}\nmirror: [{from: l-, to: r-, across: y}]\nwelds: {l-a: {}, b: {}, r-a: {like: b}}\n", "",
			"b.yaml:4:37: r-a is the mirror of another item already (write like or let mirror make it, not both)"},
		{"null on nothing", "fasteners: {a: {thread: M10x1.5}, b: {like: a, thread: null, torque: null}}\n", "",
			"b.yaml:2:70: null takes torque away, but nothing gives it (take the line out, or write 'not sure')"},
		{"a group too large", "welds: {a: {needed: 9}}\n", "",
			"b.yaml:2:21: 9 in one group are too many to be looked at one by one (make groups of at most 8, each at one place)"},
		{"an alias into what was found", "welds: {a: {found: &f {made: full}}, b: {found: *f}}\n", "",
			"b.yaml:2:49: an alias copies what was found (look at each thing; what it is like is written as like: and its id)"},
		{"an alias of an item", "welds:\n  a: &a {found: {made: full}}\n  b: *a\n", "",
			"b.yaml:4:6: an alias copies what was found (look at each thing; what it is like is written as like: and its id)"},
		{"today", "welds: {a: {}}\n", "- {day: today, by: TN, of: [a], found: {made: full}}\n",
			`b.looks.yaml:1:9: "today" is another day tomorrow; write the day, such as 2026-11-24`},
		{"a place", "places: [body]\nwelds: {a: {place: body}}\n", "- {day: 2026-11-24, by: TN, of: [body], good: yes}\n",
			`b.looks.yaml:1:33: "body" is a place; a look is at items (name them: a)`},
		{"a block", "welds: {a: {}}\n", "- day: 2026-11-24\n  by: TN\n",
			"b.looks.yaml:1:1: a look in this file is written in braces, on one line (a block that is cut in the middle reads as a whole look)\n" +
				"b.looks.yaml:2:1: this line is no look (write it as - {day: 2026-11-24 17:05, by: TN, of: [item], found: {...}}, all on one line)"},
		{"nobody", "welds: {a: {}}\n", "- {day: 2026-11-24, of: [a], good: yes}\n",
			"b.looks.yaml:1:3: this line does not say who and when (write day: and by:, or say them once above in - session: {day: ..., by: ...})"},
		{"a look of somebody else", "welds: {a: {}}\n", "- {withdraw: {day: 2026-11-24, by: TN, of: a}, why: wrong, by: EA, day: 2026-11-25}\n",
			"b.looks.yaml:1:14: EA takes back a look of TN (everybody takes back their own; write a look of what is so)"},
		{"length of two", "parts: {f: {}, g: {}}\nlinks: {a: {ends: {x: {on: f}, y: {on: g}}}, b: {ends: {x: {on: f}, y: {on: g}}}}\n", "- {day: 2026-11-24, by: TN, of: [a, b], found: {length: 388 mm}}\n",
			"b.looks.yaml:1:48: length is measured at one thing a look (write a look for each)"},
		{"a point that nothing has", "points: p.csv\n", "",
			"b.yaml:2:9: p.csv: no table"},
		{"a point outside", "points: ../p.csv\n", "",
			"b.yaml:2:9: points must be the name of a table beside this file (write it as points: points.csv)"},
		{"a part by the name of the vehicle", "parts: {vehicle: {}}\n", "",
			`b.yaml:2:9: "vehicle" cannot be used as an id (in a look it means the vehicle itself; call this thing by another name)`},
		{"a place by the name of the site", "supports: {site: {kind: stand}}\n", "",
			`b.yaml:2:12: "site" cannot be used as an id (in a look it means the site itself; call this thing by another name)`},
		{"four wheels listed of three", "vehicle: {wheels: 3}\nwheels: {a: {}, b: {}, c: {}, d: {}}\n", "",
			"b.yaml:3:31: it is wheel 4 of a vehicle with wheels: 3 (correct wheels of the vehicle, or take out what is no wheel)"},
		{"three wheels on two axles of two", "vehicle: {wheels: 3, checklist: yes}\naxles: {front: double wishbone, rear: live axle on leaves}\n", "",
			"b.yaml:2:19: with double wishbone in front and live axle on leaves behind it has at least 4 wheels (correct wheels, or its axles)"},
		{"one wheel in two places", "wheels: {a: {}}\nsupports: {l: {kind: wheel, wheel: a}, r: {kind: wheel, wheel: a}}\nmoves: {m: {kind: rest, steps: [{name: x, supports: [l, r]}]}}\n", "",
			"b.yaml:4:33: l and r of one step are both the wheel a (correct wheel of one of them)"},
		{"a layout that nobody knows", "axles: {front: duoble wishbone, rear: leaves}\n", "",
			`b.yaml:2:9: no layout is called "duoble wishbone" (did you mean "double wishbone"?) (other where it has none of these names, none where there is no such axle)`},
		{"a third axle", "axles: {middle: leaves}\n", "",
			`b.yaml:2:9: "middle" is no axle (the axles are front and rear)`},
		{"listed what", "listed: {body: {bolds: 4}}\n", "",
			`b.yaml:2:17: "bolds" is not counted (did you mean "bolts"?)`},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, refusedSecond(c.text, c.log)) })
	}
}

// A log that nobody has written by looking is refused, and not worked on.
func TestALogHasAnEnd(t *testing.T) {
	line := "- {day: 2026-11-24, by: TN, of: [a], found: {made: full}}\n"
	log := strings.Repeat(line, 1000)
	assert.Empty(t, refusedSecond("welds: {a: {}}\n", log))
	assert.Equal(t, "b.looks.yaml:1001:3: up to here the log holds more than 1000 looks at a (begin a new build file with a new look at what stands)", refusedSecond("welds: {a: {}}\n", log+line))
}

// The second format's keys are none of the first.
func TestFirstFormatIsReadAsBefore(t *testing.T) {
	for text, want := range map[string]string{
		"people: [TN]\n":                         `no heading "people"`,
		"welds: {a: {needed: 2}}\n":              `"needed" is no key of weld a`,
		"welds: {a: {}, b: {like: a}}\n":         `"like" is no key of weld b`,
		"welds: {a: {found: {inspected: ok}}}\n": `inspected must be yes or no`,
		"joints: {j: {kind: heim}}\n":            `"heim" is not an answer for kind`,
	} {
		_, err := model.Read("b.yaml", []byte(head+text), model.Companions{})
		assert.ErrorContains(t, err, want)
	}
	_, err := model.Read("b.yaml", []byte(head), model.Companions{Looks: []byte("looks:\n")})
	assert.ErrorContains(t, err, "looks are read in the second format only")
}

func TestPointsFromATable(t *testing.T) {
	table := "point,x,y (cm),z,plus_minus,how,day,by\nfl-a,2420,21.5,150,2,tape,2026-11-20,RT\nfl-toe/outer,2180,592 ± 1 mm,203,,,,\nframe/cg,1180,0,330,,,,\nfr-a,2421,-21.6,151,,,,\nnot-yet,,,,,,,\n"
	text := `points: points.csv
parts: {frame: {}, fl-arm: {}}
mirror: [{from: fl-, to: fr-, across: y}]
joints: {fl-a: {kind: bush, between: [fl-arm, frame]}}
links: {fl-toe: {ends: {inner: {on: frame}, outer: {on: fl-arm}}}}
`
	read := func(table string) (*model.Build, error) {
		return model.Read("dir/b.yaml", []byte(secondHead+text), model.Companions{Table: func(name string) ([]byte, error) {
			assert.Equal(t, "points.csv", name)
			return []byte(table), nil
		}})
	}
	b, err := read(table)
	require.NoError(t, err)
	assert.Contains(t, canonical(b, "joints.fl-a"), "at = [2.42 ± 0.002, 0.215 ± 0.002, 0.15 ± 0.002]")
	assert.Contains(t, canonical(b, "joints.fr-a"), "at = [2.421, -0.216, 0.151]", "what was measured on this side counts")
	assert.Contains(t, canonical(b, "links.fr-toe"), "ends.outer.at = [2.18, -0.592 ± 0.001, 0.203]")
	assert.Contains(t, canonical(b, "parts.frame"), "cg = [1.18, 0, 0.33]")
	for table, want := range map[string]string{
		"point,x,y\n":                           "dir/points.csv:1:1: the column z is missing (the columns are point, x, y, z, plus_minus, how, day, on, by)",
		"point,x,y,z\nfl-b,1,2,3\n":             `dir/points.csv:2:1: there is no item for the point "fl-b" (did you mean "fl-a"?)`,
		"point,x,y,z\nfl-a,1,2,3\nfl-a,1,2,3\n": `dir/points.csv:3:1: the point "fl-a" stands in the table twice (keep the one that was measured)`,
		"point,x,y,z\nfl-a,1,,3\n":              `dir/points.csv:2:8: y of fl-a: `,
		"point,x,y,z\nfl-a,1,2000000,3\n":       "dir/points.csv:2:8: y of fl-a is out of all bounds (bare numbers are in mm)",
		"point,x,y,hight\n":                     `dir/points.csv:1:11: "hight" is no column of a table of points (the columns are `,
		"point,x,y,z\n\"fl-a,1,2,3\n":           "dir/points.csv:",
	} {
		_, err := read(table)
		require.Error(t, err, table)
		assert.Contains(t, err.Error(), want)
	}
}

func FuzzReadSecond(f *testing.F) {
	f.Add("welds: {a: {like: b, found: {made: full, day: 2026-11-20}}, b: {needed: 3}}\npoints: p.csv\n", "- {day: 2026-11-20 10:00, by: TN, of: [\"b{2}\"], good: yes, fp: abcd1234, card: 1, na: [crack], found: {made: tack}}\n", "point,x (in),y,z\na,1,2,3\n")
	f.Add("people: [TN]\nlisted: {body: {welds: 3, by: TN, day: 2026-11-20}}\norders: {o: {what: nuts, ordered: 2}}\naxles: {front: leaves}\nlooks: [{day: 2026-11-20, by: TN, of: [site], found: {replaced: yes}}]\n", "looks:\n- session: {day: 2026-11-20, by: TN}\n- {withdraw: {day: 2026-11-20, by: TN, of: a}, why: x}\n- {renamed: {a: b}}\n- {torn: \"x\"}\n- {ended: {look: abc, of: a}}\n", "")
	f.Add("parts: {f: {}, l-a: {like: f, mass: null}}\nmirror: [{from: l-, to: r-, across: y}]\nrestraints: {s: {ties: front, to: f}}\nplaces: [front]\n", "- {day: 2026-11-20, by: TN, of: [vehicle], found: {disturbed: y}}", "x")
	f.Fuzz(func(t *testing.T, text, log, table string) {
		b, err := model.Read("b.yaml", []byte(secondHead+text), model.Companions{Looks: []byte(log), Table: func(string) ([]byte, error) { return []byte(table), nil }})
		if err == nil {
			again := b.Clone()
			if string(again.Canonical()) != string(b.Canonical()) {
				t.Fatal("a copy differs")
			}
			return
		}
		var errs source.Errors
		if !errors.As(err, &errs) || len(errs) == 0 {
			t.Fatalf("%T", err)
		}
		for _, e := range errs {
			if p := e.Span.Start; p.Line < 1 || p.Column < 1 || e.Message == "" || strings.ContainsAny(e.Error(), "\n\x00") {
				t.Fatalf("no proper place or message: %q", e)
			}
		}
	})
}

// Alike joints are held alike: the one without is missed, until somebody strikes it out.
func TestFamiliesAreHeldAlike(t *testing.T) {
	text := `parts: {frame: {role: frame}, l: {role: arm}, u: {role: arm}}
joints:
  low: {kind: spherical bearing, between: [l, frame]}
  up: {like: low, between: [u, frame]}
fasteners: {low-bolt: {}, up-bolt: {}}
spacers: {low-spacers: {needed: 2}, up-spacers: {needed: 2}}
`
	assert.Empty(t, with(t, text, "").Troubles)
	less := strings.Replace(text, ", up-spacers: {needed: 2}", "", 1)
	b := with(t, less, "")
	require.Len(t, b.Troubles, 1)
	assert.Equal(t, "up is like low, which has spacers low-spacers; the file lists none for it", b.Troubles[0].Message)
	assert.Equal(t, "b.yaml:5:3", b.Troubles[0].Span.String())
	assert.Empty(t, with(t, less, "- {struck: {item: up-spacers, why: a wide bearing}, day: 2026-11-20, by: TN}\n").Troubles)
	other := strings.Replace(less, "u: {role: arm}", "u: {role: drivetrain}", 1)
	assert.Empty(t, with(t, other, "").Troubles, "on another kind of part it is held otherwise")
}

// A bolt that is square to its link says so, and what is like it, or its mirror, too; a
// direction that is written counts.
func TestAxisSquare(t *testing.T) {
	b := with(t, `mirror: [{from: fl-, to: fr-, across: y}]
parts: {frame: {}, fl-arm: {}, fr-arm: {}}
links:
  fl-bar: {ends: {in: {on: frame, axis: square}, out: {on: fl-arm, axis: [1, 0, 0]}}}
  rl-bar: {like: fl-bar, ends: {in: {on: frame}, out: {on: fl-arm, axis: square}}}
`, "")
	for link, want := range map[string]string{"fl-bar": "in", "fr-bar": "in", "rl-bar": "in out"} {
		var square []string
		for _, end := range []string{"in", "out"} {
			is, _ := b.Item(link).Bool("ends." + end + ".square")
			_, drawn := b.Item(link).Vec("ends." + end + ".axis")
			if is {
				square = append(square, end)
			}
			assert.NotEqual(t, is, drawn, "%s/%s", link, end)
		}
		assert.Equal(t, want, strings.Join(square, " "), link)
	}
	_, err := model.Read("b.yaml", []byte("format: setdown/1\nparts: {frame: {}, arm: {}}\nlinks: {bar: {ends: {in: {on: frame, axis: square}, out: {on: arm}}}}\n"), model.Companions{})
	assert.ErrorContains(t, err, "axis")
}

// A ± is refused where none is reckoned with, whatever its size.
func TestNoPlusMinusOfNothing(t *testing.T) {
	for _, torque := range []string{"45 N·m ± 0 N·m", "45 N·m +/- 0"} {
		_, err := model.Read("b.yaml", []byte("format: setdown/1\nfasteners: {b: {torque: "+torque+"}}\n"), model.Companions{})
		assert.ErrorContains(t, err, "torque takes no ±", torque)
	}
}

// What is taken over from another item is written there, once: over like and mirror, but not
// what is its own.
func TestWrittenAt(t *testing.T) {
	b := with(t, `mirror: [{from: fl-, to: fr-, across: y}]
parts: {frame: {}, fl-arm: {}}
joints:
  fl-front: {kind: bush, between: [fl-arm, frame]}
  fl-rear: {like: fl-front, between: [fl-arm, frame]}
links:
  fl-bar: {ends: {in: {on: frame}, out: {on: fl-arm}}}
  fl-rod: {like: fl-bar, ends: {in: {on: frame}, up: {on: fl-arm}}}
`, "")
	for path, want := range map[string]string{
		"joints.fl-rear.static_rating":    "joints.fl-front.static_rating",
		"joints.fr-rear.static_rating":    "joints.fl-front.static_rating",
		"joints.fl-rear.at":               "joints.fl-rear.at",
		"joints.fr-rear.at":               "joints.fl-rear.at",
		"joints.fr-rear.found.worn":       "joints.fr-rear.found.worn",
		"links.fl-rod.tube.od":            "links.fl-bar.tube.od",
		"links.fl-rod.ends.in.shear":      "links.fl-bar.ends.in.shear",
		"links.fl-rod.ends.up.shear":      "links.fl-rod.ends.up.shear",
		"links.fr-rod.ends.in.at":         "links.fl-rod.ends.in.at",
		"parts.fr-arm.mass":               "parts.fl-arm.mass",
		"vehicle.frame":                   "vehicle.frame",
		"moves.down.steps[lowered].stage": "moves.down.steps[lowered].stage",
	} {
		assert.Equal(t, want, b.WrittenAt(path), path)
	}
}
