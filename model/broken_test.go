package model_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/source"
)

// Beginnings that several files below share.
const (
	head  = "format: setdown/1\n"
	parts = "parts: {chassis: {}, arm: {}}\n"
	bar   = "links:\n  bar: {ends: {top: {on: chassis}, bottom: {on: arm}}}\n"
	ball  = "joints:\n  ball: {kind: ball joint, between: [arm, chassis]}\n"
)

// broken holds one small file for each kind of mistake, and the very words in
// which it is reported.
var broken = []struct{ name, text, want string }{
	{"empty file",
		"",
		`b.yaml:1:1: the file is empty (begin with "format: setdown/1")`},
	{"only a comment",
		"# nothing yet\n",
		`b.yaml:1:1: the file is empty (begin with "format: setdown/1")`},
	{"no format",
		"parts: {chassis: {}}\n",
		`b.yaml:1:1: the first line must say the format (write "format: setdown/1" on the first line)`},
	{"another format",
		`format: setdown/9
welds: {x: {nonsense: 1}}
`,
		`b.yaml:1:9: this format is not known (write format: setdown/1)`},
	{"not a map",
		"- format\n",
		`b.yaml:1:1: the file needs keys such as format, welds and moves (begin with "format: setdown/1")`},
	{"unknown heading",
		head + "weld: {}\n",
		`b.yaml:2:1: a build file has no heading "weld" (did you mean "welds"?)`},
	{"unknown heading, nothing near",
		head + "aardvarks: {}\n",
		`b.yaml:2:1: a build file has no heading "aardvarks"`},
	{"unknown key",
		head + `welds:
  m: {found: {mode: tack}}
`,
		`b.yaml:3:15: "mode" is no key of found (did you mean "made"?)`},
	{"unknown key, short list",
		head + "parts: {chassis: {weight: 4 kg}}\n",
		`b.yaml:2:19: "weight" is no key of part chassis (the keys are mass, cg, hub, place, role, section, proven, found)`},
	{"heading without a map",
		head + "welds: [a, b]\n",
		`b.yaml:2:8: welds needs an id for each weld (write the id, a colon, and what is known about it)`},
	{"name with a dot",
		head + parts + "links:\n  bar: {ends: {top: {on: chassis}, top.a: {on: arm}}}\n",
		`b.yaml:4:15: ends must have 2 entries, not 1
b.yaml:4:36: "top.a" cannot be used as a name in ends (write it without a dot)`},
	{"item without a block",
		head + "welds: {m: tack}\n",
		`b.yaml:2:12: weld m must be a block of 'key: value' lines (write {key: value}, or one key per line)`},
	{"block inside an item without its keys",
		head + "spacers: {s: {stack: 9 mm}}\n",
		`b.yaml:2:22: stack must be a block of 'key: value' lines (write {key: value}, or one key per line; the keys are bracket_gap, ball_width, each)`},
	{"double key in an item",
		head + `welds:
  m:
    waits_for: paint
    waits_for: ride height
`,
		`b.yaml:5:5: "waits_for" appears twice here (keep one of the two)`},
	{"double id under one heading",
		head + `parts:
  a: {}
  b: {}
  a: {}
`,
		`b.yaml:5:3: "a" appears twice here (keep one of the two)`},
	{"one id for two things",
		head + `parts:
  front: {}
welds:
  front: {}
`,
		`b.yaml:5:3: the id "front" is already used, for a part (use each id for one thing only in the whole file)`},
	{"id with a slash",
		head + `parts:
  front/arm: {}
`,
		`b.yaml:3:3: "front/arm" cannot be used as an id (use only letters, digits, - _ and .)`},
	{"id with a space",
		head + `parts:
  front arm: {}
`,
		`b.yaml:3:3: "front arm" cannot be used as an id (use only letters, digits, - _ and .)`},
	{"id missing",
		head + `parts:
  ~: {}
`,
		`b.yaml:3:3: an id is missing here (write the id, a colon, and what is known about it)`},
	{"a ± that nothing reckons with",
		head + "fasteners: {a: {torque: 80 N·m ± 5 N·m, found: {torqued: 75 +/- 10 N·m}}}\nsupports: {s: {kind: stand, rated: 2 t ± 20 %}}\nmoves: {m: {kind: lift, lifted_mass: 60 kg ± 5 kg, steps: [{name: up, supports: [s], stage: 50 ± 10 mm}]}}\n",
		`b.yaml:2:25: torque takes no ±: it is judged as one figure (write its bad end: the least that it may be of what holds, the most of what loads or gapes)
b.yaml:2:58: torqued takes no ±: it is judged as one figure (write its bad end: the least that it may be of what holds, the most of what loads or gapes)
b.yaml:3:36: rated takes no ±: it is judged as one figure (write its bad end: the least that it may be of what holds, the most of what loads or gapes)
b.yaml:4:38: lifted_mass takes no ±: it is judged as one figure (write its bad end: the least that it may be of what holds, the most of what loads or gapes)
b.yaml:4:93: stage takes no ±: it is judged as one figure (write its bad end: the least that it may be of what holds, the most of what loads or gapes)`},
	{"legs, feet and castors that cannot be",
		head + `parts: {arm: {role: arm, section: {legs: 20}}}
supports: {s: {kind: stand, feet: 1}}
dollies:
  d: {castors: 2}
  e: {castors: 4, castors_at: [[0, 0, 0], [1, 0, 0], [0, 1, 0]]}
`,
		`b.yaml:2:42: legs is 20, but on such a vehicle it is 1 to 4 (check the figure and its unit)
b.yaml:3:35: feet is 1, but on such a vehicle it is 3 to 4 (check the figure and its unit)
b.yaml:5:16: castors is 2, but on such a vehicle it is 3 to 16 (check the figure and its unit)
b.yaml:6:16: it has 4 castors, but castors_at names 3 places (correct the one or the other)`},
	{"a node of the frame under the engine",
		head + `parts: {frame: {role: frame}, engine: {role: drivetrain}, seat: {role: body}}
supports:
  s: {kind: stand, under: engine, bears_on: frame node}
  t: {kind: stand, under: seat, bears_on: frame node}
`,
		`b.yaml:4:45: it bears on a frame node, but engine, which it is under, has the role drivetrain (correct the one or the other)
b.yaml:5:43: it bears on a frame node, but seat, which it is under, has the role body (correct the one or the other)`},
	{"yes or no",
		head + "parts: {a: {found: {fitted: maybe}}}\n",
		`b.yaml:2:29: fitted must be yes or no, not "maybe"`},
	{"yes or no as a list",
		head + "parts: {a: {found: {fitted: [yes]}}}\n",
		`b.yaml:2:29: fitted must be a single value (write yes or no)`},
	{"a direction where a word stands",
		head + "parts: {a: {}}\nsupports: {t: {kind: table, under: a, along: [1, 0, 0]}}\n",
		`b.yaml:3:46: along must be a single value (write one of: x, y, none)`},
	{"word not known",
		head + "welds: {m: {found: {made: tacked}}}\n",
		`b.yaml:2:27: "tacked" is not an answer for made (did you mean "tack"?)`},
	{"word that is near to its opposite",
		head + "welds: {m: {found: {made: done}}}\n",
		`b.yaml:2:27: "done" is not an answer for made (write one of: none, tack, part, full)`},
	{"word not known, nothing near",
		head + "welds: {m: {found: {made: somewhat}}}\n",
		`b.yaml:2:27: "somewhat" is not an answer for made (write one of: none, tack, part, full)`},
	{"count below zero",
		head + "welds: {m: {found: {tacks: -3}}}\n",
		`b.yaml:2:28: tacks must be a whole number, not "-3" (count them: 0, 1, 2 and so on)`},
	{"count with a fraction",
		head + "welds: {m: {found: {tacks: 2.5}}}\n",
		`b.yaml:2:28: tacks must be a whole number, not "2.5" (count them: 0, 1, 2 and so on)`},
	{"count without end",
		head + "welds: {m: {found: {tacks: 99999999999999999999}}}\n",
		`b.yaml:2:28: "99999999999999999999" is too large`},
	{"bare number for a quantity",
		head + "stud_nuts: {n: {torque: 75}}\n",
		`b.yaml:2:25: "75" has no unit; write a torque in N·m, ft·lbf, in·lbf, kgf·m, kN·m or N·mm, for example 60 N·m or 45 ft·lbf`},
	{"wrong dimension",
		head + "stud_nuts: {n: {torque: 75 kg}}\n",
		`b.yaml:2:25: "75 kg" is a mass; it must be a torque, for example 60 N·m or 45 ft·lbf`},
	{"negative mass",
		head + "parts: {a: {mass: -4 kg}}\n",
		`b.yaml:2:19: mass cannot be below zero`},
	{"mass within its ±",
		head + "parts: {a: {mass: 4 kg ± 5 kg}}\n",
		`b.yaml:2:19: the ± of mass is larger than the mass`},
	{"zero wall",
		head + parts + "links: {bar: {ends: {top: {on: chassis}, bottom: {on: arm}}, tube: {od: 28 mm, wall: 0 mm}}}\n",
		`b.yaml:3:86: wall cannot be zero (if it is not known, leave it out)`},
	{"zero hole",
		head + "fasteners: {b: {hole: 0 mm}}\n",
		`b.yaml:2:23: hole cannot be zero (if it is not known, leave it out)`},
	{"zero rating",
		head + "supports: {s: {kind: stand, rated: 0 t}}\n",
		`b.yaml:2:36: rated cannot be zero (if it is not known, leave it out)`},
	{"not a number",
		head + "parts: {a: {mass: .nan}}\n",
		`b.yaml:2:19: ".nan" does not begin with a number`},
	{"infinite",
		head + "parts: {a: {cg: [0, .inf, 0]}}\n",
		`b.yaml:2:21: ".inf" does not begin with a number`},
	{"point with two numbers",
		head + "parts: {a: {cg: [1, 2]}}\n",
		`b.yaml:2:17: cg must be three numbers in brackets (x forward, y left, z up: [1250, 20, 350])`},
	{"point with a gap",
		head + "parts: {a: {cg: [1, ~, 2]}}\n",
		`b.yaml:2:21: y of cg must be a number (leave the point out until all of it is known)`},
	{"point far away",
		head + "parts: {a: {cg: [1, 2, 200000]}}\n",
		`b.yaml:2:24: z of cg is more than 100 m from the origin (bare numbers are in mm)`},
	{"point in the wrong unit",
		head + "parts: {a: {cg: [1, 2, 3 kg]}}\n",
		`b.yaml:2:24: "3 kg" is a mass; it must be a length, for example 12 mm or 1/2 in`},
	{"direction without direction",
		head + parts + "joints: {j: {kind: pivot, between: [arm, chassis], axis: [0, 0, 0]}}\n",
		`b.yaml:3:58: axis is zero in all three directions (at least one must differ from zero)`},
	{"direction with a unit",
		head + parts + "joints: {j: {kind: pivot, between: [arm, chassis], axis: [0, 1 mm, 0]}}\n",
		`b.yaml:3:62: "1 mm" is not a plain number (a direction takes no unit and no ±)`},
	{"thread",
		head + "fasteners: {b: {thread: 12 by 75}}\n",
		`b.yaml:2:25: "12 by 75" is not a metric or unified thread; write it as M12x1.75, 1/2-20 UNF or M12x1.75 LH`},
	{"date",
		head + "welds: {m: {found: {on: 2026-02-30}}}\n",
		`b.yaml:2:25: "2026-02-30": February 2026 has no such day`},
	{"date the other way round",
		head + "welds: {m: {found: {on: 20.11.2026}}}\n",
		`b.yaml:2:25: "20.11.2026" is not a date; write it as 2026-11-20`},
	{"text too long",
		head + "vehicle: {name: " + strings.Repeat("x", 2001) + "}\n",
		`b.yaml:2:17: this text is longer than 2000 characters`},
	{"text with a control character",
		head + "vehicle: {name: \"a\\x07b\"}\n",
		`b.yaml:2:17: this text contains a control character (retype it)`},
	{"empty text",
		head + "vehicle: {name: \"\"}\n",
		`b.yaml:2:17: name is empty (fill it in or delete it)`},
	{"list wanted",
		head + parts + ball + "welds: {m: {holds: ball}}\n",
		`b.yaml:5:20: holds must be a list (write it in [brackets]: [ball])`},
	{"half a pair",
		head + parts + "links: {bar: {ends: {top: {on: chassis}, bottom: {on: arm}}, found: {engaged: [20 mm]}}}\n",
		`b.yaml:3:79: engaged must have 2 entries, not 1`},
	{"list with a gap",
		head + parts + "links: {bar: {ends: {top: {on: chassis}, bottom: {on: arm}}, found: {engaged: [20 mm, not sure]}}}\n",
		`b.yaml:3:87: engaged has an unknown entry (leave the list out until all of it is known)`},
	{"one end",
		head + parts + "links: {bar: {ends: {top: {on: chassis}}}}\n",
		`b.yaml:3:21: ends must have 2 entries, not 1`},
	{"ends on one part",
		head + parts + "links: {bar: {ends: {top: {on: chassis}, bottom: {on: chassis}}}}\n",
		`b.yaml:3:21: both ends are on the same part (a link joins two parts)`},
	{"ends absent",
		head + "links: {bar: {temporary: yes}}\n",
		`b.yaml:2:9: link bar needs the key ends: its two ends by name`},
	{"joint between one part",
		head + parts + "joints: {j: {kind: pivot, between: [arm, arm]}}\n",
		`b.yaml:3:42: between names arm twice (name two different ones)`},
	{"joint kind absent",
		head + parts + "joints: {j: {between: [arm, chassis]}}\n",
		`b.yaml:3:10: joint j needs the key kind: how it lets the parts move (write one of: taper ball joint, ball joint, spherical bearing, rod end, bush, pivot, long bearing, slider, rack, bolted face, welded face)`},
	{"joint kind wrong is said once",
		head + parts + "joints: {j: {kind: pivto, between: [arm, chassis]}}\n",
		`b.yaml:3:20: "pivto" is not an answer for kind (did you mean "pivot"?)`},
	{"reference to nothing",
		head + parts + ball + "welds: {m: {holds: [bal]}}\n",
		`b.yaml:5:21: there is no joint, link or support "bal" (did you mean "ball"?)`},
	{"reference to an end that is not there",
		head + parts + bar + "welds: {m: {holds: [bar/tip]}}\n",
		`b.yaml:5:21: the link bar has no end "tip" (did you mean "top"?)`},
	{"reference to the end of a joint",
		head + parts + ball + "welds: {m: {holds: [ball/top]}}\n",
		`b.yaml:5:21: there is no joint, link or support "ball/top" (there are ball)`},
	{"reference to the wrong kind",
		head + parts + ball + "welds: {m: {holds: [arm]}}\n",
		`b.yaml:5:21: "arm" is a part, but holds must be a joint, link or support`},
	{"the old key and the new one", // ball_joints is the old key
		head + "ball_joints: {n: {}}\nstud_nuts: {m: {}}\n",
		`b.yaml:3:1: ball_joints and stud_nuts are two spellings of one heading (put all of it under stud_nuts)`},
	{"holds without joints",
		head + "welds: {m: {holds: [ball]}}\n",
		`b.yaml:2:21: there is no joint, link or support "ball" (if you list no joints, leave 'holds' out)`},
	{"the same joint held twice",
		head + parts + ball + "welds: {m: {holds: [ball, ball]}}\n",
		`b.yaml:5:27: holds names ball twice (delete one of them)`},
	{"move without steps",
		head + "moves: {down: {kind: lower}}\n",
		`b.yaml:2:9: move down needs the key steps: the steps in order`},
	{"move with empty steps",
		head + "moves: {down: {kind: lower, steps: []}}\n",
		`b.yaml:2:9: move down needs the key steps: the steps in order`},
	{"a rest that is pushed by hand",
		head + `supports: {s: {kind: stand}}
moves: {up: {kind: rest, hand_push: yes, steps: [{name: a, supports: [s]}]}}
`,
		`b.yaml:3:37: only what rolls is pushed along the floor (write kind: roll, or hand_push: no)`},
	{"a vehicle let down that is pushed by hand",
		head + `supports: {s: {kind: stand}}
moves:
  down: {kind: lower, hand_push: yes, steps: [{name: a, supports: [s]}]}
  out: {kind: roll, hand_push: yes, steps: [{name: a, supports: [s]}]}
`,
		`b.yaml:4:34: only what rolls is pushed along the floor (write kind: roll, or hand_push: no)`},
	{"step without supports",
		head + "moves: {down: {kind: lower, steps: [{name: a}]}}\n",
		`b.yaml:2:37: entry 1 of steps needs the key supports: what the vehicle rests on`},
	{"step with an unknown key",
		head + `supports: {s: {kind: stand}}
moves: {down: {kind: lower, steps: [{name: a, supports: [s], suports: [s]}]}}
`,
		`b.yaml:3:62: "suports" is no key of entry 1 of steps (did you mean "supports"?)`},
	{"step on a support that is not listed",
		head + "moves: {down: {kind: lower, steps: [{name: a, supports: [s]}]}}\n",
		`b.yaml:2:58: there is no support "s" (list it under supports)`},
	{"step on one support twice",
		head + `supports: {s: {kind: stand}}
moves: {down: {kind: lower, steps: [{name: a, supports: [s, s]}]}}
`,
		`b.yaml:3:61: supports names s twice (delete one of them)`},
	{"the part it is built on taken off",
		head + parts + `vehicle: {built_on: chassis}
supports: {s: {kind: stand}}
moves: {down: {kind: lower, steps: [{name: a, supports: [s], off: [chassis]}]}}
`,
		`b.yaml:5:68: chassis cannot be off: everything is built on it`},
	{"more bolts than needed",
		head + "fasteners: {b: {needed: 4, found: {count: 5}}}\n",
		`b.yaml:2:43: 5 found, but there should be only 4 (correct one of the two, or write needed: 5)`},
	{"more bolts than one",
		head + "fasteners: {b: {found: {count: 2}}}\n",
		`b.yaml:2:32: 2 found, but there should be only 1 (correct one of the two, or write needed: 2)`},
	{"fitted but none there",
		head + "fasteners: {b: {found: {fitted: yes, count: 0}}}\n",
		`b.yaml:2:45: fitted and count contradict each other ('fitted: no' needs 'count: 0')`},
	{"no thread past the nut, and more than a pitch",
		head + "fasteners: {b: {thread: M10x1.5, found: {threads_past: 0, protruding: 3.2 mm}}}\n",
		`b.yaml:2:56: no thread past the nut beside protruding 3.2 mm, 2.1 pitches (look again, and correct the one or the other)`},
	{"more spacers than needed",
		head + "spacers: {s: {needed: 2, found: {fitted: 3}}}\n",
		`b.yaml:2:42: 3 found, but there should be only 2 (correct one of the two, or write needed: 3)`},
	{"more wheel nuts than studs",
		head + "wheels: {w: {nuts: 4, found: {nuts: 5}}}\n",
		`b.yaml:2:37: 5 found, but there should be only 4 (correct one of the two, or write nuts: 5)`},
	{"wall thicker than the tube",
		head + parts + "links: {bar: {ends: {top: {on: chassis}, bottom: {on: arm}}, tube: {od: 28 mm, wall: 14 mm}}}\n",
		`b.yaml:3:86: tube.wall is 14 mm beside tube.od 28 mm: a wall is less than half of the tube; a solid bar is written as bar: {diameter: ...} (correct the one or the other)`},
	{"a section of two shapes",
		head + "parts: {arm: {section: {od: 20 mm, wall: 1 mm, diameter: 60 mm}}, b: {section: {wall: 3 mm, width: 40 mm, height: 20 mm}}, c: {section: {width: 40 mm, thickness: 8 mm, diameter: 9 mm}}}\n",
		`b.yaml:2:58: these are the sizes of two shapes: a tube, a box, a solid bar or a flat bar (correct the one or the other)
b.yaml:2:163: these are the sizes of two shapes: a tube, a box, a solid bar or a flat bar (correct the one or the other)`},
	{"contact where nothing presses",
		head + `parts: {frame: {role: frame}, arm: {role: arm}, axle: {role: axle}}
joints: {pivot: {kind: spherical bearing, between: [arm, frame]}, face: {kind: bolted face, between: [arm, frame]}, seat: {kind: bolted face, between: [axle, frame]}}
welds:
  a: {role: perch, holds: [pivot], bears_by_contact: yes}
  b: {role: perch, holds: [face], bears_by_contact: yes}
  c: {role: perch, holds: [seat], bears_by_contact: yes}
`,
		`b.yaml:5:54: it holds pivot, which is no face on an axle: nothing presses it on (write bears_by_contact: no)
b.yaml:6:53: it holds face, which is no face on an axle: nothing presses it on (write bears_by_contact: no)`},
	{"a place tied up to what is in it",
		"format: setdown/2\nvehicle: {checklist: yes}\nplaces: [front, body]\nparts: {car: {place: body}}\nrestraints: {s: {ties: [front, body], to: car}}\n",
		`b.yaml:5:32: car itself stands in body: a place is not tied up to what is in it (name the places of the corners or axles)`},
	{"contact in a checklist",
		head + "vehicle: {checklist: yes}\nwelds: {a: {role: perch, bears_by_contact: yes}}\n",
		`b.yaml:3:44: a checklist computes no loads, so that nothing shows that it is pressed on (write bears_by_contact: no)`},
	{"a stud nut on a face",
		head + "parts: {a: {}, b: {}}\njoints: {j: {kind: bolted face, between: [a, b]}}\nstud_nuts: {n: {holds: [j]}}\n",
		`b.yaml:4:24: a stud nut draws a taper in, and j is a bolted face (correct the kind of the joint, or what the nut holds)`},
	{"tacks of no weld",
		head + "welds: {m: {found: {made: none, tacks: 3}}}\n",
		`b.yaml:2:40: a weld not started has no tacks (write made: tack)`},
	{"hoist pad rated by the pair",
		head + "supports: {s: {kind: hoist pad, rated: 1 t, rated_per: pair}}\n",
		`b.yaml:2:56: a hoist pad is not rated per pair (write the rating under the hoist: rated or arm_rated)`},
	{"a bush in a bearing",
		head + "parts: {chassis: {}, arm: {}}\njoints: {j: {kind: spherical bearing, between: [arm, chassis], bush: bonded}}\n",
		`b.yaml:3:70: a spherical bearing has no bush (write kind: bush, or bush: none)`},
	{"a bush that is none",
		head + "parts: {chassis: {}, arm: {}}\njoints: {j: {kind: bush, between: [arm, chassis], bush: none}}\n",
		`b.yaml:3:57: a bush without a bush (write what is in its eye: bush: bonded or plain, or another kind)`},
	{"a spherical bearing with the shank of a rod end",
		head + "parts: {a: {}, b: {}}\njoints: {j: {kind: spherical bearing, between: [a, b], rod_end: {thread: M12x1.75}}}\n",
		`b.yaml:3:65: a spherical bearing is screwed into no part, so that nobody asks how its shank bends (write kind: rod end, or take rod_end out)`},
	{"a face that swings, and one that does not",
		head + "parts: {a: {}, b: {}}\njoints: {i: {kind: welded face, between: [a, b], swings: no}, j: {kind: bolted face, between: [a, b], swings: yes}}\n",
		`b.yaml:3:111: a bolted face turns about nothing (write swings: yes at the bearing or the hinge, or correct the kind)`},
	{"proven on no vehicle",
		head + "parts: {a: {proven: {vehicle: none}}, b: {proven: {vehicle: None of ours}}, c: {proven: {vehicle: Own}}}\njoints: {j: {kind: bush, between: [a, b], proven: {vehicle: unknown}}}\n",
		`b.yaml:2:31: "none" is no production vehicle, and without one nothing is proven (write which it comes off, or leave proven out and write a section or rating)
b.yaml:2:99: "Own" is no production vehicle, and without one nothing is proven (write which it comes off, or leave proven out and write a section or rating)
b.yaml:3:61: "unknown" is no production vehicle, and without one nothing is proven (write which it comes off, or leave proven out and write a section or rating)`},
	{"the first person as the second",
		head + "links: {l: {ends: {a: {on: p}, b: {on: q}}, found: {fitted: yes, by: RT, seen_by: r.t.}}}\nparts: {p: {}, q: {}}\n",
		`b.yaml:2:83: "r.t." is "RT" again, and no second pair of eyes (leave seen_by out until another person has looked)`},
	{"one person twice among the people",
		"format: setdown/2\npeople: [RT, MK, r. t]\n",
		`b.yaml:2:18: "r. t" stands in the list twice, as "RT" too (two people need two names)`},
	{"a contact of another wheel",
		head + `parts: {car: {role: frame}, hub-l: {role: upright}, hub-r: {role: upright}}
wheels: {left: {on: hub-l}, right: {on: hub-r}}
supports: {s: {kind: wheel, under: hub-r, wheel: left}}
`,
		`b.yaml:4:50: it is said to be left, but it is under hub-r, where right is (correct the one or the other)`},
	{"a dolly with its weight below the floor",
		head + "dollies: {d: {castors_at: [[0, 0, 0], [1000, 0, 0], [0, 900, 0]], cg: [300, 300, -1]}}\n",
		`b.yaml:2:71: its centre of gravity is drawn below its castors (correct the one or the other)`},
	{"a bolt sheared in two planes at an end in single shear",
		head + `parts: {a: {}, b: {}}
links: {l: {ends: {top: {on: a, shear: single}, bottom: {on: b, shear: double}}}}
fasteners: {t: {holds: [l/top], shear_planes: 2}, u: {holds: [l/bottom], shear_planes: 2}}
`,
		`b.yaml:3:40: the bolt at this end is in single shear, but t has shear_planes: 2 (correct the one or the other)`},
	{"a contact of a wheel of another end",
		head + "wheels: {nuts: {place: rear-left}}\nsupports: {s: {kind: wheel, place: front, wheel: nuts}}\n",
		`b.yaml:3:50: it is said to be nuts, but it is at front, and nuts at rear-left (correct the one or the other)`},
	{"a contact of a wheel of another side",
		head + "wheels: {nuts: {place: front-left}}\nsupports: {s: {kind: wheel, place: fr, wheel: nuts}}\n",
		`b.yaml:3:47: it is said to be nuts, but it is at fr, and nuts at front-left (correct the one or the other)`},
	{"a wheel of another joint",
		head + `parts: {hub-l: {}, hub-r: {}, rim: {}}
joints: {face: {kind: bolted face, between: [hub-r, rim]}}
wheels: {left: {on: hub-l, holds: [face]}}
`,
		`b.yaml:4:21: it is bolted to hub-l, but face, which it holds, is between hub-r and rim (correct the one or the other)`},
	{"on its axle, under a leaf beside its clamp",
		head + `parts: {car: {role: frame}, tube: {role: axle}, leaf: {role: spring}}
joints: {clamp: {kind: bolted face, between: [leaf, tube], at: [2500, 420, 430]}}
supports: {on: {kind: stand, under: leaf, bears_on: axle, at: [2350, 420, 400]}, beside: {kind: stand, under: leaf, bears_on: axle, at: [2340, 420, 400]}}
`,
		`b.yaml:4:127: it bears on an axle, but leaf, which it is under, has the role spring (correct the one or the other)`},
	{"on an upright, under the frame",
		head + `parts: {car: {role: frame}, hub: {role: upright}}
supports: {s: {kind: stand, under: car, bears_on: upright}}
`,
		`b.yaml:3:51: it bears on an upright, but car, which it is under, has the role frame (correct the one or the other)`},
	{"on the frame, under an arm",
		head + `parts: {car: {role: frame}, bone: {role: arm}}
supports: {s: {kind: stand, under: bone, bears_on: frame node}}
`,
		`b.yaml:3:52: it bears on a frame node, but bone, which it is under, has the role arm (correct the one or the other)`},
	{"holds nothing",
		head + "spacers: {s: {holds: []}}\n",
		`b.yaml:2:22: holds names nothing (name what it holds, or leave holds out)`},
	{"a bracket welded on a tab that is none",
		head + parts + ball + `fasteners: {b: {holds: [ball], tab: {integral: yes}}}
welds: {m: {role: bracket, holds: [ball]}}
`,
		`b.yaml:5:48: its tab is one piece with its part, but m welds a bracket on for ball (correct the one or the other)`},
	{"the bracket of a track rod welded on a tab that is none",
		head + parts + ball + `fasteners: {b: {holds: [ball], tab: {integral: yes}}}
welds: {m: {role: track rod, holds: [ball]}}
`,
		`b.yaml:5:48: its tab is one piece with its part, but m welds a bracket on for ball (correct the one or the other)`},
	{"a thread on a clevis pin",
		head + parts + ball + "fasteners: {b: {holds: [ball], thread: M10x1.5, pin: {diameter: 10 mm}}}\n",
		`b.yaml:5:40: a clevis pin has no thread (leave out pin or thread)`},
	{"plate without thickness",
		head + "welds: {m: {base: S355 plate}}\n",
		`b.yaml:2:19: "S355 plate" must begin with a thickness (write it as 4 mm S355 plate, or as {thickness: 4 mm, material: S355})`},
	{"place not listed",
		head + `places: [front-left, body]
welds: {m: {place: front-lft}}
`,
		`b.yaml:3:20: this vehicle has no place "front-lft" (did you mean "front-left"?)`},
	{"an end of which only corners are listed, of what is no support",
		head + "places: [front-left, front-right]\nsupports: {s: {kind: jack, place: front}}\nparts: {a: {place: front}}\n",
		`b.yaml:4:20: this vehicle has no place "front" (the places are front-left, front-right)`},
	{"place twice",
		head + "places: [body, body]\n",
		`b.yaml:2:16: the place "body" is listed twice`},
	{"places not a list",
		head + "places: body\n",
		`b.yaml:2:9: places must be a list (write it as [front-left, front-right, body])`},
	{"waiver for nothing",
		head + `waivers:
  - {rule: r, item: mont, reason: why, by: RT, until: 2026-12-01}
welds: {mount: {}}
`,
		`b.yaml:3:21: there is no item or move "mont" (did you mean "mount"?)`},
	{"waiver without a name",
		head + `waivers:
  - {rule: r, item: mount, reason: why, until: 2026-12-01}
welds: {mount: {}}
`,
		`b.yaml:3:5: waiver 1 needs the key by: who answers for it`},
	{"waivers not a list",
		head + "waivers: {a: {}}\n",
		`b.yaml:2:10: waivers must be a list (begin each entry with a dash)`},
	{"mirror of itself",
		head + `parts: {fl-a: {}}
mirror: [{from: fl-, to: fl-, across: y}]
`,
		`b.yaml:3:26: a side cannot mirror itself ('from' and 'to' must differ)`},
	{"mirror in a circle",
		head + `parts: {fl-a: {}}
mirror:
  - {from: fl-, to: fr-, across: y}
  - {from: fr-, to: fl-, across: y}
`,
		`b.yaml:5:12: copying fr- to fl- goes round in a circle (describe one side and mirror it to the other)`},
	{"mirror into itself",
		head + `parts: {fl-a: {}}
mirror: [{from: fl-, to: fl-b-, across: y}]
`,
		`b.yaml:3:17: copying fl- to fl-b- goes round in a circle (describe one side and mirror it to the other)`},
	{"mirror of nothing",
		head + `parts: {a: {}}
mirror: [{from: fl-, to: fr-, across: y}]
`,
		`b.yaml:3:17: no id begins with "fl-", so nothing is mirrored`},
	{"mirror makes another kind",
		head + `parts:
  fl-a: {}
welds:
  fr-a: {}
mirror: [{from: fl-, to: fr-, across: y}]
`,
		`b.yaml:5:3: "fr-a" is a weld here, but mirroring fl-a makes it a part (give one of them another id)`},
	{"mirror makes one id twice",
		head + `parts: {fl-a: {}, ml-a: {}}
mirror:
  - {from: fl-, to: fr-, across: y}
  - {from: ml-, to: fr-, across: y}
`,
		`b.yaml:2:19: "fr-a" is made twice, from fl-a and from ml-a (delete one of the mirror entries)`},
	{"coil-over on a damper",
		"format: setdown/2\n" + `parts: {f: {role: frame}, a: {}, b: {}}
links:
  damped: {role: damper, ends: {top: {on: f}, low: {on: a}}}
  sprung: {role: strut, ends: {top: {on: f}, low: {on: b}}}
springs: {c: {holds: [damped], kind: coil-over}, e: {holds: [sprung], kind: coil-over}}
`,
		`b.yaml:4:18: a damper has no spring on it, and c is a coil-over on damped (write role: strut, or take the spring out)`},
	{"mirror to nothing",
		head + `parts:
  fl-a: {}
  fl-b: {}
  fl-c: {}
  fr-a: null
  fr-b:
  fr-c: {}
mirror: [{from: fl-, to: fr-, across: y}]
`,
		`b.yaml:6:3: nothing is written of fr-a, and fl-a is mirrored to it: is it there or not? (write {} where it is as fl-a is; where there is none, give fl-a an id that does not begin with fl-)
b.yaml:7:3: nothing is written of fr-b, and fl-b is mirrored to it: is it there or not? (write {} where it is as fl-b is; where there is none, give fl-b an id that does not begin with fl-)`},
	{"mirrored reference that fails is said once",
		head + `welds: {fl-m: {holds: [fl-ball]}}
mirror: [{from: fl-, to: fr-, across: y}]
`,
		`b.yaml:2:24: there is no joint, link or support "fl-ball" (if you list no joints, leave 'holds' out)`},
	{"mirrored item lacks what its pattern has not",
		head + `parts: {fl-a: {}, b: {}, fr-a: {}}
joints: {fl-j: {between: [fl-a, b]}}
mirror: [{from: fl-, to: fr-, across: y}]
`,
		`b.yaml:3:10: joint fl-j needs the key kind: how it lets the parts move (write one of: taper ball joint, ball joint, spherical bearing, rod end, bush, pivot, long bearing, slider, rack, bolted face, welded face)`},
	{"tab",
		head + "parts:\n\ta: {}\n",
		`b.yaml:3:1: this line begins with a tab (indent with spaces)`},
	{"byte order mark",
		"\ufeffformat: setdown/1\n",
		`b.yaml:1:1: the file begins with a byte order mark (save it again as UTF-8 without a mark (BOM))`},
	{"latin-1",
		head + "vehicle: {name: caf\xe9}\n",
		`b.yaml:2:20: this character is not UTF-8 (save the file again as UTF-8)`},
	{"control character",
		head + "vehicle: {name: a\u0001b}\n",
		`b.yaml:2:18: a control character (U+0001) stands here (delete it)`},
	{"lone carriage return",
		head + "parts: {}\rwelds: {}\n",
		`b.yaml:2:10: a line ends with a carriage return only (save the file again with normal line ends)`},
	{"two documents",
		head + `---
format: setdown/1
`,
		`b.yaml:2:1: a second document begins here (one file holds one vehicle; delete the line of three dashes)`},
	{"tag",
		head + "parts: !!map {a: {}}\n",
		`b.yaml:2:8: tags are not allowed in a build file (delete the word that begins with !)`},
	{"merge key",
		head + `parts:
  a: &a {mass: 1 kg}
  b: {<<: *a}
`,
		`b.yaml:4:7: merge keys (<<) are not allowed (write the keys out, or use mirror for the other side)`},
	{"alias that stands for nothing",
		head + `parts:
  a: {}
  b: *a
`,
		`b.yaml:4:3: the alias *a refers to nothing (the value it repeats must come first, marked &a)`},
	{"alias to itself",
		head + "parts: &p {a: {found: *p}}\n",
		`b.yaml:2:8: an alias refers to itself (write the value out)`},
	{"list as a key",
		head + "parts: {[a]: {}}\n",
		`b.yaml:2:9: a key must be a plain word`},
	{"open bracket",
		head + `places: [front, rear
parts: {a: {}}
`,
		`b.yaml:2:1: a bracket [ that opens here is not closed, or a comma is missing in it`},
	{"open brace",
		head + `parts:
  a: {mass: 4 kg
  b: {}
`,
		`b.yaml:3:3: a brace { that opens here is not closed, or a comma is missing in it`},
	{"open quote",
		head + `vehicle:
  name: "special
`,
		`b.yaml:3:3: a quote that opens here is not closed`},
	{"colon in a text",
		head + `vehicle:
  name: special: the second
`,
		`b.yaml:3:3: unexpected colon (put the text in quotes when it holds a colon, and check that the line above is finished)`},
	{"bad indentation",
		head + `parts:
    a: {}
  b: {}
`,
		`b.yaml:4:3: this line does not match the lines above it (check its indentation, its quotes and brackets)`},
	{"line without a colon",
		head + `parts:
  a: {}
  b
  c: {}
`,
		`b.yaml:4:3: a key without its colon, or a line that is indented wrongly (write key: value)`},
	{"question mark on its own",
		head + `welds:
  m:
    waits_for: ?
`,
		`b.yaml:4:5: unexpected question mark or key (for what is not known write 'not sure', or leave the key out)`},
	{"value begins with an at sign",
		head + `welds:
  m:
    waits_for: @home
`,
		`b.yaml:4:5: a value cannot begin with this character (put the value in quotes)`},
	{"a bar that is a mast",
		head + parts + "links:\n  b: {ends: {top: {on: chassis}, bottom: {on: arm}}, bar: {diameter: 18 m}}\n",
		`b.yaml:4:70: diameter is 18 m, but on such a vehicle it is 3 mm to 120 mm (check the figure and its unit)`},
	{"sizes in the wrong unit",
		head + `welds:
  m: {fillet: {leg: 4 m}, base: 4 m S355 plate, found: {leg: 4 m}}
fasteners:
  b: {torque: 2000 N·m, hole: 1.02 mm, tab: {edge: 22 m}, found: {torqued: 2000 N·m, engaged: 25 m}}
supports:
  s: {kind: stand, rated: 32 t, height: 300 m}
`,
		`b.yaml:3:21: leg is 4 m, but on such a vehicle it is 0.5 mm to 40 mm (check the figure and its unit)
b.yaml:3:33: thickness is 4 m, but on such a vehicle it is 0.4 mm to 80 mm (check the figure and its unit)
b.yaml:3:62: leg is 4 m, but on such a vehicle it is 0 mm to 40 mm (check the figure and its unit)
b.yaml:5:15: torque is 2000 N·m, but on such a vehicle it is 0.5 N·m to 1500 N·m (check the figure and its unit)
b.yaml:5:31: hole is 1.02 mm, but on such a vehicle it is 2 mm to 120 mm (check the figure and its unit)
b.yaml:5:52: edge is 22 m, but on such a vehicle it is 1 mm to 300 mm (check the figure and its unit)
b.yaml:5:76: torqued is 2000 N·m, but on such a vehicle it is 0 N·m to 1500 N·m (check the figure and its unit)
b.yaml:5:95: engaged is 25 m, but on such a vehicle it is 0 mm to 300 mm (check the figure and its unit)
b.yaml:7:27: rated is 32 t, but on such a vehicle it is 20 kg to 25 t (check the figure and its unit)
b.yaml:7:41: height is 300 m, but on such a vehicle it is 10 mm to 3 m (check the figure and its unit)`},
	{"one key in two spellings",
		head + "welds: {m: {found: {made: full, on: 2026-11-20, day: 2026-11-21}}}\n",
		`b.yaml:2:49: on and day are two spellings of one key (delete one of them)`},
	{"several at once, in reading order",
		head + `welds:
  m: {found: {made: ful, tacks: many}}
parts: {a: {mass: 4}}
`,
		`b.yaml:3:21: "ful" is not an answer for made (did you mean "full"?)
b.yaml:3:33: tacks must be a whole number, not "many" (count them: 0, 1, 2 and so on)
b.yaml:4:19: "4" has no unit; write a mass in kg, lb, t, g, oz, short ton or long ton, for example 420 kg ± 15 kg`},
}

func TestMistakesAreSaidWithTheirPlace(t *testing.T) {
	for _, c := range broken {
		t.Run(c.name, func(t *testing.T) {
			build, err := model.Read("b.yaml", []byte(c.text), model.Companions{})
			require.Error(t, err)
			assert.Nil(t, build)
			assert.Equal(t, c.want, err.Error())
			var errs source.Errors
			require.ErrorAs(t, err, &errs)
			for _, e := range errs {
				assert.NotZero(t, e.Span.Start.Line)
				assert.NotZero(t, e.Span.Start.Column)
			}
		})
	}
}

// TestContradictionsShowBothPlaces: what two fields say against one another is reported
// with the place of either, for only the builder knows which of them is the slip.
func TestContradictionsShowBothPlaces(t *testing.T) {
	for name, want := range map[string]string{
		"a bush in a bearing":            "3:20",
		"a bush that is none":            "3:20",
		"a contact of another wheel":     "4:36",
		"a wheel of another joint":       "4:35",
		"on an upright, under the frame": "3:36",
		"on the frame, under an arm":     "3:36",
		"a rest that is pushed by hand":  "3:20",
	} {
		i := slices.IndexFunc(broken, func(c struct{ name, text, want string }) bool { return c.name == name })
		require.GreaterOrEqual(t, i, 0, name)
		_, err := model.Read("b.yaml", []byte(broken[i].text), model.Companions{})
		var errs source.Errors
		require.ErrorAs(t, err, &errs, name)
		require.Len(t, errs, 1, name)
		require.Len(t, errs[0].Related, 1, name)
		assert.Equal(t, "b.yaml:"+want, errs[0].Related[0].Span.String(), name)
	}
}

// TestNeighbours writes into every pair of sizes that belong together one that fits and one
// with a slip of a digit or a unit.
func TestNeighbours(t *testing.T) {
	joint := "parts: {a: {}, b: {}}\njoints: {j: {kind: rod end, between: [a, b]%s}}\n"
	link := "parts: {a: {}, b: {}}\nlinks: {l: {ends: {x: {on: a}, y: {on: b}}, %s}}\n"
	for _, c := range []struct{ file, fits, slip, says string }{
		{"parts: {a: {section: {od: 30 mm, wall: %s}}}\n", "2.5 mm", "25 mm", "section.wall is 25 mm beside section.od 30 mm"},
		{fmt.Sprintf(link, "tube: {od: 28 mm, wall: %s}"), "2.5 mm", "25 mm", "tube.wall is 25 mm beside tube.od 28 mm"},
		{fmt.Sprintf(link, "tube: {od: 18 mm}, rod_ends: {thread: %s}"), "M12x1.75", "M20x2.5", "rod_ends.thread is M20x2.5 beside tube.od 18 mm"},
		{fmt.Sprintf(link, "bar: {diameter: 18 mm}, rod_ends: {thread: %s}"), "M12x1.75", "M20x2.5", "rod_ends.thread is M20x2.5 beside bar.diameter 18 mm"},
		{fmt.Sprintf(link, "rod_ends: {thread: M12x1.75, engagement_needed: %s}"), "18 mm", "2 mm", "rod_ends.engagement_needed is 2 mm beside rod_ends.thread M12x1.75"},
		{fmt.Sprintf(link, "rod_ends: {axial_rating: %s, static_rating: 20 kN}"), "2 kN", "30 kN", "rod_ends.axial_rating is 30 kN beside rod_ends.static_rating 20 kN"},
		{fmt.Sprintf(link, "rod_ends: {static_rating: %s, thread: M12x1.75}"), "48 kN", "200 kN", "rod_ends.static_rating is 200 kN beside rod_ends.thread M12x1.75"},
		{fmt.Sprintf(link, "rod_ends: {thread: M12x1.75}, found: {engaged: [24 mm, %s]}"), "24 mm", "240 mm", "engaged is [24 mm, 240 mm] beside rod_ends.thread M12x1.75"},
		{fmt.Sprintf(link, "found: {length: 160 mm, engaged: [24 mm, %s]}"), "24 mm", "95 mm", "engaged is [24 mm, 95 mm] beside length 160 mm"},
		{fmt.Sprintf(joint, ", static_rating: 20 kN, axial_rating: %s"), "2 kN", "21 kN", "axial_rating is 21 kN beside static_rating 20 kN"},
		{"fasteners: {f: {thread: M10x1.5, hole: %s}}\n", "10.2 mm", "8.5 mm", "hole is 8.5 mm beside thread M10x1.5"},
		{"fasteners: {f: {hole: 10.2 mm, tab: {edge: %s}}}\n", "20 mm", "2 mm", "tab.edge is 2 mm beside hole 10.2 mm"},
		{"fasteners: {f: {hole: 10.2 mm, tab: {width: %s}}}\n", "40 mm", "4 mm", "tab.width is 4 mm beside hole 10.2 mm"},
		{"fasteners: {f: {thread: M10x1.5, tab: {edge: %s}}}\n", "20 mm", "220 mm", "tab.edge is 220 mm beside thread M10x1.5"},
		// The U-bolts of a leaf stand astride a tube of 60 to 100 mm, a rack's mounts 300 to 500 mm apart (common practice).
		{"fasteners: {f: {thread: M10x1.5, spread: %s}}\n", "490 mm", "2 m", "spread is 2 m beside thread M10x1.5"},
		{"fasteners: {f: {role: clamp, thread: M8x1.25, spread: %s}}\n", "630 mm", "650 mm", "spread is 650 mm beside thread M8x1.25"},
		{"fasteners: {f: {role: U-bolt, thread: M12x1.75, spread: %s}}\n", "350 mm", "370 mm", "spread is 370 mm beside thread M12x1.75"},
		{"fasteners: {f: {thread: M10x1.5, found: {engaged: %s}}}\n", "20 mm", "200 mm", "engaged is 200 mm beside thread M10x1.5"},
		// M10 of 8.8 is done up to 46 to 49 N·m, M12x1.25 of 12.9 to some 150 N·m by the tables of
		// makers (memory): both ways of a slip of a digit, and inch-pounds taken for foot-pounds.
		{"fasteners: {f: {thread: M10x1.5, torque: %s}}\n", "46 N·m", "4 N·m", "torque is 4 N·m beside thread M10x1.5: that is no torque"},
		{"fasteners: {f: {thread: M10x1.5, torque: %s}}\n", "49 N·m", "490 N·m", "torque is 490 N·m beside thread M10x1.5"},
		{"fasteners: {f: {thread: 3/8-24 UNF, torque: %s}}\n", "33 ft·lbf", "33 in·lbf", "torque is 33 in·lbf beside thread 3/8-24 UNF"},
		{"stud_nuts: {n: {thread: M12x1.25, torque: %s}}\n", "60 N·m", "6 N·m", "torque is 6 N·m beside thread M12x1.25"},
		{"wheels: {w: {stud: M12x1.25, torque: %s}}\n", "150 N·m", "1500 N·m", "torque is 1500 N·m beside stud M12x1.25"},
		{"stud_nuts: {n: {torque: 60 N·m, torque_max: %s}}\n", "75 N·m", "7.5 N·m", "torque_max is 7.5 N·m beside torque 60 N·m"},
		{fmt.Sprintf(joint, "") + "fasteners: {f: {holds: [j], thread: M10x1.5}}\nspacers: {s: {holds: [j], bore: {bolt: %s}}}\n", "10 mm", "12 mm", "bore.bolt is 12 mm beside thread M10x1.5"},
		{"welds: {w: {base: 4 mm S355 plate, fillet: {leg: %s}}}\n", "4 mm", "14 mm", "fillet.leg is 14 mm beside base.thickness 4 mm"},
		{"welds: {w: {base: 4 mm S355 plate, found: {leg: %s}}}\n", "4 mm", "14 mm", "leg is 14 mm beside base.thickness 4 mm"},
		{"welds: {w: {fillet: {length: 160 mm}, found: {made_length: %s}}}\n", "170 mm", "1600 mm", "made_length is 1600 mm beside fillet.length 160 mm"},
		{"supports: {s: {kind: jack, closed_height: 130 mm, height: %s}}\n", "300 mm", "30 mm", "height is 30 mm beside closed_height 130 mm"},
		{"hoists: {h: {rated: 3 t, arm_rated: %s}}\n", "750 kg", "7.5 t", "arm_rated is 7.5 t beside rated 3 t"},
	} {
		_, err := model.Read("b.yaml", []byte(head+fmt.Sprintf(c.file, c.fits)), model.Companions{})
		assert.NoError(t, err)
		_, err = model.Read("b.yaml", []byte(head+fmt.Sprintf(c.file, c.slip)), model.Companions{})
		assert.ErrorContains(t, err, c.says, c.file)
	}
	_, err := model.Read("b.yaml", []byte(head+"fasteners: {f: {role: hub nut, thread: M20x1.5, torque: 20 N·m}}\n"), model.Companions{})
	assert.NoError(t, err, "it sets the end float of a bearing")
}
