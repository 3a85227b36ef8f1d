package check_test

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/layouts"
	"setdown/model/schema"
	"setdown/model/statics"
	"setdown/rules/vehicle"
	"setdown/rules/verdict"
)

// TestLayoutsGo fills the vehicles that 'new' writes with invented measures and looks, and
// has them set down: every step is in equilibrium, and every move of every layout is GO. So
// no member and no holder is missing, and nothing is asked that the file has no place for.
func TestLayoutsGo(t *testing.T) {
	e := rules(t)
	front, err := layouts.Find("double wishbone")
	require.NoError(t, err)
	rear, err := layouts.Find("leaves")
	require.NoError(t, err)
	for _, layout := range layouts.All() {
		for i, pair := range [][2]*layouts.Layout{{front, layout}, {layout, rear}} {
			if layout.Only == "front" && i == 0 || layout.Only == "rear" && i == 1 {
				continue
			}
			t.Run(pair[0].Name+", "+pair[1].Name, func(t *testing.T) {
				b := allFilled(t, pair)
				for _, m := range judge(t, e, b).Moves {
					assert.Equal(t, verdict.Go, m.Decision, "%s: %v", m.ID, said(m.Findings))
					for _, step := range m.Steps {
						assert.Equal(t, verdict.Solved, step.Solved, "%s: %s: %s %v", m.ID, step.Name, step.Reason, step.Lacks)
					}
				}
			})
		}
	}
}

// allFilled is the vehicle that 'new' writes of two layouts, with invented measures, seen good.
func allFilled(t *testing.T, pair [2]*layouts.Layout) *model.Build {
	t.Helper()
	car, table := layouts.Write(pair[0], pair[1], "points.csv")
	car = filled(car)
	with := model.Companions{Table: func(string) ([]byte, error) { return placed(car, table, pair), nil }}
	drawn, err := model.Read("car.yaml", car, with)
	require.NoError(t, err, "%s", car)
	with.Looks = allGood(drawn)
	car = append(car, counted(drawn, vehicle.New(drawn, vehicle.Policy{}))...)
	b, err := model.Read("car.yaml", car, with)
	require.NoError(t, err)
	return b
}

// TestSprungLayoutsGo is the same for the layouts whose struts may be coil-overs. Their springs are
// chosen and their collars set so that the vehicle stands as it is drawn: by hand, what a spring
// carries over its rate is what it is pressed together.
func TestSprungLayoutsGo(t *testing.T) {
	e := rules(t)
	front, err := layouts.Find("double wishbone on coil-overs")
	require.NoError(t, err)
	rear, err := layouts.Find("leaves")
	require.NoError(t, err)
	tried := 0
	for _, layout := range layouts.All() {
		on, err := layouts.Find(layout.Name + " on coil-overs")
		if err != nil {
			continue
		}
		tried++
		pair := [2]*layouts.Layout{front, on}
		if layout.Only == "front" {
			pair = [2]*layouts.Layout{on, rear}
		}
		t.Run(on.Name, func(t *testing.T) {
			car, table := layouts.Write(pair[0], pair[1], "points.csv")
			car = filled(car)
			with := model.Companions{Table: func(string) ([]byte, error) { return placed(car, table, pair), nil }}
			seen := func(carries map[string]float64, rate float64) *model.Build {
				text := []byte(strings.ReplaceAll(string(car), "RATE", fmt.Sprintf("%.1f N/mm", rate)))
				drawn, err := model.Read("car.yaml", text, with)
				require.NoError(t, err, "%s", text)
				text = strappedArms(drawn, damped(drawn, text))
				drawn, err = model.Read("car.yaml", text, with)
				require.NoError(t, err)
				with.Looks = append(allGood(drawn), setCollars(drawn, carries, rate)...)
				b, err := model.Read("car.yaml", append(text, counted(drawn, vehicle.New(drawn, vehicle.Policy{}))...), with)
				require.NoError(t, err)
				return b
			}
			any := seen(nil, 40)
			carries, least := map[string]float64{}, math.Inf(1)
			for _, load := range judge(t, e, any, "roll-out").Moves[0].Steps[0].Loads {
				carries[load.Item] = -load.Nominal.Value // N, of a link its pull
			}
			for _, spring := range any.Of("springs") {
				least = min(least, carries[spring.Texts("holds")[0]])
			}
			for _, m := range judge(t, e, seen(carries, least/pressed)).Moves {
				assert.Equal(t, verdict.Go, m.Decision, "%s: %v", m.ID, said(m.Findings))
			}
		})
	}
	assert.Greater(t, tried, 8)
}

// TestLayoutsCarryAsWorkedOutAnotherWay compares what those vehicles put on their wheels, joints and links
// with testdata/published/statics/layouts.json: layouts.py beside it says itself, by hand, what each layout
// is made of and what passes which way, with numpy and scipy. Straight down to 1e-6 of the weight; with the
// push from the side and the ± of the frame the program may only be wider, because it knows of more ±.
func TestLayoutsCarryAsWorkedOutAnotherWay(t *testing.T) {
	text, err := os.ReadFile("../../testdata/published/statics/layouts.json")
	require.NoError(t, err)
	var all struct {
		Vehicles []struct {
			Name          string
			Joints, Links []struct{ Name, A, B string }
			Answers       struct {
				Even   map[string]float64
				Forces map[string][]*float64
				Worst  map[string][]float64
			}
		}
	}
	require.NoError(t, json.Unmarshal(text, &all))
	var named []string
	for _, worked := range all.Vehicles {
		named = append(named, worked.Name)
		t.Run(worked.Name, func(t *testing.T) {
			b := allFilled(t, pairOf(t, worked.Name))
			v := vehicle.New(b, vehicle.Policy{SidePushRoll: 0.05})
			s := v.Move(b.Item("roll-out")).Step(0)
			require.True(t, s.Solved())
			want, near := worked.Answers, 1e-6*s.Weight()
			wider := func(name string, got statics.Range) {
				if worst := want.Worst[name]; worst != nil { // null: self-stress leaves it open
					assert.LessOrEqual(t, got.Least, worst[0]+2*near, "%s, least", name)
					assert.GreaterOrEqual(t, got.Most, worst[1]-2*near, "%s, most", name)
				}
			}
			require.Len(t, s.Supports, len(want.Even))
			for i, support := range s.Supports {
				require.Contains(t, want.Even, support.ID)
				assert.InDelta(t, want.Even[support.ID], s.Reaction(i).Nominal, near, support.ID)
				wider(support.ID, s.Reaction(i))
			}
			joins := map[string][]string{} // also where self-stress leaves open what it passes
			for _, m := range append(slices.Clone(worked.Joints), worked.Links...) {
				joins[m.Name] = []string{m.A, m.B}
			}
			passed := map[string][]float64{}
			for _, joint := range b.Of("joints") {
				f := s.Joint(joint).Nominal
				passed[joint.ID] = []float64{f.X, f.Y, f.Z}
				assert.Equal(t, joins[joint.ID], joint.Texts("between"), joint.ID)
			}
			for _, link := range b.Of("links") {
				passed[link.ID] = []float64{s.Link(link).Nominal}
				ends := v.Ends(link)
				assert.Equal(t, joins[link.ID], []string{ends[0].Parts[0], ends[1].Parts[0]}, link.ID)
				wider(link.ID, s.Link(link))
			}
			require.Len(t, passed, len(want.Forces))
			for name, forces := range want.Forces {
				require.Len(t, passed[name], len(forces), name)
				for k, force := range forces {
					if force != nil { // null: self-stress leaves it open
						assert.InDelta(t, *force, passed[name][k], near, "%s, axis %d", name, k)
					}
				}
			}
		})
	}
	var layoutsThere []string
	for _, layout := range layouts.All() {
		layoutsThere = append(layoutsThere, layout.Name)
	}
	assert.ElementsMatch(t, layoutsThere, named, "one vehicle for each layout")
}

// pairOf is a layout behind, with double wishbones in front, or in front with leaves behind where it only
// goes there.
func pairOf(t *testing.T, name string) [2]*layouts.Layout {
	t.Helper()
	find := func(name string) *layouts.Layout {
		layout, err := layouts.Find(name)
		require.NoError(t, err)
		return layout
	}
	if layout := find(name); layout.Only == "front" {
		return [2]*layouts.Layout{layout, find("leaves")}
	}
	return [2]*layouts.Layout{find("double wishbone"), find(name)}
}

// fills are invented designs, by what the comment beside the first of alike things asks for.
var fills = map[string]string{
	"thread, class":                   `thread: M12x1.75, class: "10.9", spread: 120 mm, torque: 75 N·m, lock: nylon-insert nut, surface: plain, turns: no, tapped_into: nothing, stand_in: no, shear_planes: 2, thread_in_shear: no, hole: 12.2 mm, hollow_section: no, tab: {thickness: 6 mm, edge: 24 mm, width: 48 mm, material: S355, integral: no, cracked: no, bend_radius: 9 mm}`,
	"thread, torque":                  "thread: M12x1.25, torque: 60 N·m, torque_max: 75 N·m, lock: split pin",
	"fillet":                          weldDesign,
	"needed: how":                     "needed: 6, " + weldDesign,
	"ratings by":                      "bush: none, static_rating: 60 kN, axial_rating: 20 kN, misalignment_limit: 14 deg",
	"bush: bonded":                    "bush: plain, static_rating: 60 kN, axial_rating: 20 kN, misalignment_limit: 14 deg",
	"stud: up":                        "stud: up, carries_in: both, bush: none, axis: [0, 0, 1], static_rating: 25 kN, axial_rating: 9 kN, misalignment_limit: 25 deg",
	"spread of":                       "spread: 200 mm, bush: none, static_rating: 60 kN, axial_rating: 20 kN, misalignment_limit: 14 deg",
	"axis: the":                       "axis: [0, 0.1, 1], spread: 200 mm, bush: none, static_rating: 60 kN, axial_rating: 20 kN, misalignment_limit: 14 deg",
	"tube or bar":                     "temporary: no, can_pull: yes, adjusted_in_place: no, tube: {od: 32 mm, wall: 3 mm, material: E355}",
	"can_pull: yes where":             "can_pull: yes",
	"rate, free_length":               "rate: RATE, free_length: 200 mm, solid_length: 50 mm, collar_pitch: 2 mm",
	"stack, bore":                     "stack: {bracket_gap: 38 mm, ball_width: 16 mm, each: 11 mm}, bore: {bearing: 12 mm, spacer_outside: 12 mm, spacer_inside: 12 mm, bolt: 12 mm}",
	"nuts, torque":                    "nuts: 5, torque: 110 N·m, stud: M12x1.5, seat: cone, shaft_clamps_bearing: no",
	"rated, rated_per, closed_height": "rated: 2 t, rated_per: each, closed_height: 90 mm, clearance_after: 140 mm, along: x",
	"along, rated":                    "along: none, rated: 2 t, rated_per: each, height: 110 mm",
	"rated, rated_per, height":        "rated: 2 t, rated_per: each, height: 110 mm",
	"kind, rated":                     "kind: ratchet strap, rated: 2000 kg",
}

const weldDesign = "locates: no, bears_by_contact: no, fillet: {leg: 5 mm, length: 800 mm, filler: ER70S-6, sides: 2, layout: two lines, width: 45 mm, along: [0, 0, 1], normal: [0, 1, 0]}, base: 6 mm S355 plate, parent: mild steel"

var masses = map[string]string{"frame": "118 kg ± 8 kg", "drivetrain": "110 kg ± 5 kg", "arm": "3 kg ± 0.5 kg", "upright": "15 kg ± 1 kg", "wheel": "14 kg ± 1 kg", "axle": "40 kg ± 2 kg", "other": "5 kg ± 0.5 kg"}

// filled writes the invented designs and masses into the first of alike things.
func filled(car []byte) []byte {
	text := string(car)
	var lines []string
	for _, line := range strings.Split(text, "\n") {
		item, asks, ok := strings.Cut(line, "}  # ")
		for prefix, design := range fills {
			if ok && strings.HasPrefix(asks, prefix) {
				line = strings.TrimSuffix(item+", ", "{, ")
				if line != item+", " {
					line += "{"
				}
				line += design + "}"
			}
		}
		// A bolt that no bracket is listed for sits in a plate or a casting.
		if m := bolt.FindStringSubmatch(line); m != nil && !strings.Contains(text, "  "+m[1]+"-bracket") {
			if strings.Contains(line, "integral: no") {
				line = strings.Replace(line, "integral: no", "integral: yes", 1)
			} else {
				line = strings.TrimSuffix(line, "}") + ", tab: {integral: yes}}"
			}
		}
		if name, ends, isLink := strings.Cut(line, "ends: {"); isLink {
			line = name + "ends: {" + end.ReplaceAllString(ends, "{on: $1, axis: square, shear: double}")
		}
		lines = append(lines, line)
	}
	text = strings.Join(lines, "\n")
	for role, mass := range masses {
		text = strings.ReplaceAll(text, "{role: "+role+",", "{mass: "+mass+", role: "+role+",")
	}
	text = strings.ReplaceAll(text, "mass: 3 kg", "section: {od: 60 mm, wall: 6 mm, material: E355, legs: 2, cross_od: 60 mm, cross_wall: 6 mm}, mass: 3 kg")
	for _, mass := range []string{"15 kg", "40 kg", "5 kg"} {
		text = strings.ReplaceAll(text, "mass: "+mass, "section: {od: 70 mm, wall: 6 mm, material: E355}, mass: "+mass)
	}
	text = strings.Replace(text, "people: []", "people: [TN, EA]", 1)
	text = strings.Replace(text, `frame: "?"`, "frame: welded", 1)
	text = toCount.ReplaceAllString(text, "")
	text = kindOfMove.ReplaceAllString(text, "$0    people_needed: 2\n    people_under: no\n    first_time: yes\n    stop_at: 25 mm\n    by_hand: no\n    stage: 25 mm\n")
	return []byte(strings.ReplaceAll(text, "supports: [", "pitch: 0 deg, watch: all saddles, supports: ["))
}

var (
	bolt       = regexp.MustCompile(`^  ([a-z-]+?)-(?:u-bolts|pinch-bolt|bolts?|cotter): `)
	end        = regexp.MustCompile(`\{on: ([a-z-]+)\}`)
	toCount    = regexp.MustCompile(`(?m)^listed:\n(?:  .*\n)+`)
	kindOfMove = regexp.MustCompile(`\n    kind: (lower|roll)\n`)
)

// allGood is a log in which somebody saw that all is well.
func allGood(b *model.Build) []byte {
	named := map[string]string{"fasteners": "torqued: 75 N·m, lock_fitted: yes", "stud_nuts": "torqued: 60 N·m, lock_fitted: yes", "welds": "made: full",
		"supports": "locked: yes", "wheels": "torqued: 110 N·m", "joints": "misalignment: 3 deg", "moves": "people: 2, in_charge: TN", "brakes": "fitted: no"}
	var log strings.Builder
	log.WriteString("looks:\n- session: {day: 2026-11-25, by: TN}\n- {of: [vehicle], good: yes, found: {high_voltage: none, battery: out, masses_current: yes}}\n- {of: [site], good: yes, found: {floor: concrete}}\n")
	for _, kind := range schema.Kinds() {
		for _, item := range b.Of(kind.Name) {
			if kind.Found() == nil {
				continue
			}
			print, found := "", ""
			if fp := b.Things[item.ID].Print(); fp != "" {
				print = ", fp: {" + item.ID + ": " + fp + "}"
			}
			if kind.Name == "links" {
				found = fmt.Sprintf(", found: {adapters: full, length: %.1f mm}", 1000*span(item))
			} else if named[kind.Name] != "" {
				found = ", found: {" + named[kind.Name] + "}"
			}
			fmt.Fprintf(&log, "- {of: [%s], good: yes%s%s}\n", item.ID, print, found)
		}
	}
	return []byte(log.String())
}

// What is invented of coil springs, mm: how long one is, and by how much the one that carries least
// is pressed together.
const (
	coil    = 200
	pressed = 25
)

// damped says how far the dampers of the first of alike springs go.
func damped(b *model.Build, car []byte) []byte {
	text := string(car)
	for _, spring := range b.Of("springs") {
		length := 1000 * span(b.Item(spring.Texts("holds")[0]))
		text = strings.Replace(text, "  "+spring.ID+": {", fmt.Sprintf("  %s: {open_length: %.0f mm, closed_length: %.0f mm, ", spring.ID, length+10, length-40), 1)
	}
	return []byte(text)
}

// strappedArms says of the straps of arms that are tied up alone where they pull, so that what their springs
// push on them is worked out: from where the wheel is bolted on straight up.
func strappedArms(b *model.Build, car []byte) []byte {
	text := string(car)
	for _, strap := range b.Of("restraints") {
		arm := b.Item(strap.Texts("ties")[0])
		if role, _ := arm.Text("role"); role != "arm" || len(strap.Texts("ties")) > 1 {
			continue
		}
		for _, joint := range b.Of("joints") {
			if at, placed := joint.Vec("at"); placed && slices.Contains(joint.Texts("between"), arm.ID) && !slices.Contains(joint.Texts("between"), "frame") {
				text = strings.Replace(text, "  "+strap.ID+": {", fmt.Sprintf("  %s: {at: [%.0f, %.0f, %.0f], to_at: [%[2]f, %[3]f, 700], ", strap.ID, 1e3*at.X, 1e3*at.Y, 1e3*at.Z), 1)
			}
		}
	}
	return []byte(text)
}

// setCollars are looks at springs that are as long as drawn under what their links carry, in N,
// with their rate in N/mm.
func setCollars(b *model.Build, carries map[string]float64, rate float64) []byte {
	var log strings.Builder
	for _, spring := range b.Of("springs") {
		link := spring.Texts("holds")[0]
		seats := 1000*span(b.Item(link)) - (coil - carries[link]/rate)
		fmt.Fprintf(&log, "- {of: [%s], found: {seats: %.1f mm, kept_by: its damper, tightness: torqued}}\n", spring.ID, seats)
	}
	return []byte(log.String())
}

// span is the distance between the ends of a link as drawn, in m.
func span(link *model.Item) float64 {
	ends, _ := link.Record.Record("ends")
	var at []schema.Vec
	for _, name := range ends.Names() {
		one, _ := ends.Vec(name + ".at")
		at = append(at, one)
	}
	return math.Hypot(math.Hypot(at[0].X-at[1].X, at[0].Y-at[1].Y), at[0].Z-at[1].Z)
}

// counted is what somebody counts at a vehicle that has just what the file lists.
func counted(b *model.Build, v *vehicle.Vehicle) []byte {
	there := map[string]map[string]int64{}
	for _, place := range append(slices.Clone(b.Places), model.Elsewhere) {
		there[place] = map[string]int64{}
		for _, p := range schema.Pieces {
			there[place][p.Name] = 0
		}
	}
	for _, p := range schema.Pieces {
		for _, item := range b.Of(p.Kind) {
			n := int64(1)
			for _, of := range []string{"needed", "nuts"} {
				if item.Kind.Field(of) != nil {
					if stated, ok := item.Count(of); ok {
						n = stated
					}
				}
			}
			there[cmp.Or(v.Place(item), model.Elsewhere)][p.Name] += n
		}
	}
	text := "listed:\n  day: 2026-11-25\n  by: EA\n"
	for place, pieces := range there {
		var counts []string
		for what, n := range pieces {
			counts = append(counts, fmt.Sprintf("%s: %d", what, n))
		}
		text += "  " + place + ": {" + strings.Join(counts, ", ") + "}\n"
	}
	return []byte(text)
}

// placed gives every row of a table of points a place, and every bracket that of what it
// holds.
func placed(car, table []byte, pair [2]*layouts.Layout) []byte {
	lines := strings.Split(strings.TrimSpace(string(table)), "\n")
	for i, line := range lines[1:] {
		name, _, _ := strings.Cut(line, ",")
		at := place(name, pair)
		within := "" // mm, how far it may be off
		if strings.HasSuffix(name, "/cg") {
			within = "5"
		}
		lines[i+1] = fmt.Sprintf("%s,%g,%g,%g,%s,,,", name, at[0], at[1], at[2], within)
	}
	for _, m := range bracket.FindAllStringSubmatch(string(car), -1) {
		target := m[1]
		if target == "engine-mount" {
			target = "engine-mounts"
		}
		for _, line := range lines {
			name, at, _ := strings.Cut(line, ",")
			if strings.ReplaceAll(name, "/", "-") == target {
				lines = append(lines, m[1]+m[2]+","+at)
			}
		}
	}
	return []byte(strings.Join(lines, "\n") + "\n")
}

var bracket = regexp.MustCompile(`(?m)^  ([a-z-]+?)(-brackets?): `)

// places are invented, in mm from the middle of the axle on the floor; the names of
// one layout go before those that several share.
var places = map[string][3]float64{
	"lower-front": {140, 215, 150}, "lower-rear": {-140, 230, 150}, "upper-front": {110, 280, 340}, "upper-rear": {-110, 285, 340},
	"lower-ball": {5, 600, 158}, "upper-ball": {-8, 570, 370}, "wheel-face": {0, 650, 280}, "strut/bottom": {10, 480, 170}, "strut/top": {5, 265, 480},
	"track-rod/inner": {-120, 245, 195}, "track-rod/outer": {-125, 592, 203}, "toe-link/inner": {-120, 245, 195}, "toe-link/outer": {-125, 592, 203},
	"rocker-pivot": {0, 300, 420}, "pushrod/bottom": {0, 520, 175}, "pushrod/top": {0, 360, 430},
	"strut-clamp": {0, 590, 350}, "strut-top": {5, 520, 600},
	"arm-inner": {350, 250, 300}, "arm-outer": {350, 500, 300},
	"lower-front-link/inner": {150, 240, 160}, "lower-front-link/outer": {30, 600, 160}, "lower-rear-link/inner": {-150, 240, 160}, "lower-rear-link/outer": {-30, 600, 160},
	"upper-front-link/inner": {120, 280, 350}, "upper-front-link/outer": {25, 580, 370}, "upper-rear-link/inner": {-120, 280, 350}, "upper-rear-link/outer": {-25, 580, 370},
	"axle-ball": {0, 120, 290}, "radius-arm-front": {500, 350, 300}, "radius-arm-flange": {20, 500, 285}, "axle-front": {60, 120, 290}, "axle-rear": {-60, 120, 290},
	"spring-eye": {600, 430, 300}, "perch": {0, 430, 330}, "shackle/top": {-620, 430, 360}, "shackle/bottom": {-600, 430, 300}, "shackle-top": {-620, 430, 360}, "shackle-bottom": {-600, 430, 300},
	"panhard-rod/frame": {-120, 400, 330}, "panhard-rod/axle": {-120, -420, 320}, "lower-link/front": {600, 380, 200}, "lower-link/rear": {30, 440, 210},
	"upper-link/front": {450, 380, 420}, "upper-link/rear": {-20, 430, 410}, "a-arm-ball": {-10, 0, 420}, "a-arm-front": {450, 300, 430},
	"watt-pivot": {-120, 0, 300}, "watt-upper/frame": {-120, 400, 350}, "watt-upper/crank": {-120, 0, 350}, "watt-lower/frame": {-120, -400, 250}, "watt-lower/crank": {-120, 0, 250},
	"carrier-face": {0, 600, 290}, "lower-rod/front": {550, 560, 180}, "lower-rod/rear": {30, 580, 180}, "upper-rod/front": {550, 560, 400}, "upper-rod/rear": {20, 580, 400},
	"track-rod/left": {-130, 560, 260}, "track-rod/right": {-130, -560, 260}, "drag-link/drop-arm": {500, 400, 330}, "drag-link/steering-arm": {10, 460, 330},
	"kingpin": {0, 560, 290}, "pillar": {0, 580, 300}, "pivot-left": {450, 150, 300}, "pivot-right": {450, -150, 300}, "spindle": {0, 0, 290},
	"upright/cg": {0, 620, 280}, "wheel/cg": {0, 680, 280}, "axle/cg": {0, 0, 290}, "spring/cg": {0, 430, 320}, "half-axle/cg": {0, 350, 290}, "strut/cg": {0, 540, 450},
	"dedion-tube/cg": {0, 0, 300}, "hub-carrier/cg": {0, 620, 290}, "stub-axle/cg": {0, 600, 290}, "shackle/cg": {-610, 430, 330},
	"bearer": {-500, 240, 110}, "stand": {-650, 240, 110}, "hub-stand": {0, 595, 110}, "tie": {0, 540, 330}, "tie/to_at": {0, 480, 700}, "contact": {0, 680, 0},

	"double wishbone with pushrods strut/bottom": {0, 300, 500}, "double wishbone with pushrods strut/top": {0, 80, 500}, "five links strut/bottom": {0, 560, 250},
	"semi-trailing arm arm-inner": {240, 200, 300}, "semi-trailing arm arm-outer": {390, 500, 295},
	"four splayed links upper-link/front": {450, 430, 420}, "four splayed links upper-link/rear": {-10, 120, 410},
	"three links and Watt linkage upper-link/front": {450, 0, 430}, "three links and Watt linkage upper-link/rear": {-10, 0, 420},
	"swinging arm with one wheel strut/bottom": {100, 0, 340}, "swinging arm with one wheel strut/top": {150, 0, 600}, "swinging arm with one wheel wheel/cg": {0, 0, 290},
	"swinging arm with one wheel hub-stand": {0, 0, 110}, "swinging arm with one wheel contact": {0, 0, 0},
}

// place is where a point is on a vehicle with those layouts.
func place(name string, pair [2]*layouts.Layout) [3]float64 {
	whole := map[string][3]float64{"frame/cg": {1180, 0, 330}, "engine/cg": {800, 10, 330}, "engine-mounts": {800, 0, 260}, "jack-front": {1900, 0, 110}, "jack-rear": {60, 0, 110}}
	if at, ok := whole[name]; ok {
		return at
	}
	end, x := 0, 2400.0
	if name[0] == 'r' {
		end, x = 1, 0
	}
	_, member, _ := strings.Cut(name, "-")
	at, ok := places[strings.TrimSuffix(pair[end].Name, " on coil-overs")+" "+member]
	if !ok {
		at, ok = places[member]
	}
	if !ok {
		panic("no place is invented for " + name)
	}
	if end == 1 && (member == "bearer" || member == "stand") {
		at[0] = -at[0] / 3 // inside the wheelbase
	}
	at[0] += x
	return at
}

// shortFills are invented designs of the short kind.
var shortFills = map[string]string{
	"thread, class, torque, lock, tapped_into":         `thread: M10x1.5, class: "8.8", torque: 45 N·m, lock: nylon-insert nut, tapped_into: nothing`,
	"thread, torque, torque_max, lock":                 "thread: M12x1.25, torque: 60 N·m, torque_max: 75 N·m, lock: split pin",
	"parent":                                           "parent: mild steel",
	"needed: how many, at most 8 a group; parent":      "needed: 6, parent: mild steel",
	"nuts, torque, stud, seat, shaft_clamps_bearing":   "nuts: 5, torque: 110 N·m, stud: M12x1.5, seat: cone, shaft_clamps_bearing: no",
	"rated, rated_per, height":                         "rated: 2 t, rated_per: pair, height: 300 mm",
	"rated, rated_per, closed_height, clearance_after": "rated: 2 t, rated_per: each, closed_height: 90 mm, clearance_after: 140 mm",
	"along, rated, rated_per, height":                  "along: none, rated: 2 t, rated_per: each, height: 310 mm",
	"kind, rated":                                      "kind: ratchet strap, rated: 500 kg, mass: 30 kg ± 5 kg",
	"mass of the whole vehicle, with its ±":            "mass: 600 kg ± 30 kg",
	"beside steps: people_needed, people_under, stop_at, stage; in a step on unlike heights its pitch and roll": "",
}

// TestShortLayoutsGo fills the short kind of every layout in: seen good, the vehicle goes onto its
// stands; with one bracket of several tacked it goes because the corners are tied up, and without the
// straps it does not.
func TestShortLayoutsGo(t *testing.T) {
	e := rules(t)
	front, err := layouts.Find("double wishbone")
	require.NoError(t, err)
	rear, err := layouts.Find("leaves")
	require.NoError(t, err)
	tacked, apart, mounts := 0, 0, 0
	for _, layout := range layouts.All() {
		for i, pair := range [][2]*layouts.Layout{{front, layout}, {layout, rear}} {
			if layout.Only == "front" && i == 0 || layout.Only == "rear" && i == 1 {
				continue
			}
			t.Run(pair[0].Name+", "+pair[1].Name, func(t *testing.T) {
				car := shortFilled(t, layouts.WriteShort(pair[0], pair[1]))
				read := func(car []byte, log string) *model.Build {
					drawn, err := model.Read("car.yaml", car, model.Companions{})
					require.NoError(t, err, "%s", car)
					car = append(car, counted(drawn, vehicle.New(drawn, vehicle.Policy{}))...)
					seen := strings.NewReplacer("torqued: 75 N·m", "torqued: 45 N·m").Replace(string(allGood(drawn))) + log
					b, err := model.Read("car.yaml", car, model.Companions{Looks: []byte(seen)})
					require.NoError(t, err)
					return b
				}
				verdictOf := func(b *model.Build) verdict.Move { return judge(t, e, b, "onto-stands").Moves[0] }
				whole := verdictOf(read(car, ""))
				assert.Equal(t, verdict.Go, whole.Decision, "%v", said(whole.Findings))
				for _, bolts := range read(car, "").Of("fasteners") {
					if role, _ := bolts.Text("role"); role != "pivot" {
						continue
					}
					n, _ := bolts.Count("needed")
					without := func(out int64) string {
						log := fmt.Sprintf("- {day: 2026-11-25 12:00, by: TN, of: [%s], found: {count: %d}}\n", bolts.ID, n-out)
						if n == 1 {
							log = strings.Replace(log, "count: 0", "fitted: no", 1)
						}
						return strings.Join(said(verdictOf(read(car, log)).Findings), "\n")
					}
					apart++
					assert.Contains(t, without(min(2, (n+1)/2)), "each arm, strut and upright that hangs there has a strap round it", "what it joined hangs on straps that tie nobody knows what")
					of := pair[0]
					if strings.HasPrefix(bolts.ID, "rear-") {
						of = pair[1]
					}
					switch {
					case of.TwoPivots():
						assert.Contains(t, without(1), "each arm, strut and upright that hangs there has a strap round it", "one of two pivots that hold a wheel")
					case n > 2:
						assert.NotContains(t, without(1), "each arm, strut and upright that hangs there has a strap round it", "every part has another")
					}
				}
				for _, weld := range read(car, "").Of("welds") {
					if role, _ := weld.Text("role"); role != "spring mount" {
						continue
					}
					// Without its strut what a strap ties up hangs as it did; untied it stands on it.
					mounts++
					log := "- {day: 2026-11-25 12:00, by: TN, of: [" + weld.ID + "], found: {made: tack}}\n"
					tied := verdictOf(read(car, log))
					assert.Equal(t, verdict.Go, tied.Decision, "%s: %v", weld.ID, said(tied.Findings))
					assert.Contains(t, strings.Join(allSaid(tied), "\n"), weld.ID+": found and not good, though nothing rests on it here: made: tack")
					assert.Equal(t, verdict.NoGo, verdictOf(read(untied.ReplaceAll(car, nil), log)).Decision, "%s tacked, and no straps", weld.ID)
					break
				}
				for _, weld := range read(car, "").Of("welds") {
					if role, _ := weld.Text("role"); role != "bracket" {
						continue
					}
					tacked++
					n, _ := weld.Count("needed")
					log := "- {day: 2026-11-25 12:00, by: TN, of: [\"" + weld.ID + "{1}\"], found: {made: tack}}\n"
					if n == 1 {
						log = strings.Replace(log, "\""+weld.ID+"{1}\"", weld.ID, 1)
					}
					tied := verdictOf(read(car, log))
					if n > 2 {
						assert.Equal(t, verdict.Go, tied.Decision, "%s: %v", weld.ID, said(tied.Findings))
					} else {
						assert.Contains(t, strings.Join(allSaid(tied), "\n"), "each arm, strut and upright that hangs there has a strap round it", "half of them may be all that joins one side")
						assert.Contains(t, strings.Join(said(tied.Findings), "\n"), weld.ID+" (only tacked)")
					}
					loose := verdictOf(read(untied.ReplaceAll(car, nil), log))
					assert.Equal(t, verdict.NoGo, loose.Decision, "%s tacked, and no straps", weld.ID)
					break
				}
			})
		}
	}
	assert.Greater(t, tacked, 15)
	assert.Greater(t, apart, 15)
	assert.Greater(t, mounts, 10)
}

var untied = regexp.MustCompile(`(?m)^    restraints: .*\n`)

// shortFilled writes the invented designs into the first of alike things.
func shortFilled(t *testing.T, car []byte) []byte {
	t.Helper()
	var lines []string
	for _, line := range strings.Split(string(car), "\n") {
		item, asks, ok := strings.Cut(line, "}  # ")
		if design, known := shortFills[asks]; ok && !strings.HasPrefix(line, "vehicle:") {
			require.True(t, known, "nothing is invented for %q", asks)
			line = strings.TrimSuffix(strings.TrimSuffix(item+", "+design, ", "), "{, ") + "}"
			line = strings.Replace(line, "{, ", "{", 1)
		}
		lines = append(lines, line)
	}
	text := strings.Replace(strings.Join(lines, "\n"), `frame: "?"`, "frame: welded", 1)
	text = toCount.ReplaceAllString(strings.Replace(text, "people: []", "people: [TN, EA]", 1), "")
	return []byte(kindOfMove.ReplaceAllString(text, "$0    people_needed: 2\n    people_under: no\n    first_time: yes\n    stop_at: 25 mm\n    by_hand: no\n    stage: 25 mm\n"))
}
