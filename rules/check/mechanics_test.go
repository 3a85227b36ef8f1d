package check_test

import (
	"cmp"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/statics"
	"setdown/rules/check"
	"setdown/rules/verdict"
)

// stops lists the rules that stop the only move of a file, or whose answer is missing.
func stops(t *testing.T, file string) map[string]verdict.Outcome {
	t.Helper()
	b, err := model.Read("test.yaml", []byte(file), model.Companions{})
	require.NoError(t, err)
	list := map[string]verdict.Outcome{}
	for _, f := range judge(t, rules(t), b).Moves[0].Findings {
		if f.Outcome == verdict.Stop || f.Outcome == verdict.NotRecorded {
			list[f.Rule] = f.Outcome
		}
	}
	return list
}

// liveAxle is a frame on two stands and on its rear axle: four links whose lower ones spread
// by some millimetres, two upright struts whose lower ends are known within so much, and where it says so, a Panhard rod.
func liveAxle(spread float64, within string, rod bool) string {
	link := func(name, from, to string) string {
		return fmt.Sprintf("  %s: {ends: {front: {on: frame, at: [%s]}, rear: {on: axle, at: [%s]}}}\n", name, from, to)
	}
	f := `format: setdown/1
parts:
  frame: {mass: 300 kg ± 5 kg, cg: [1200, 0, 400], role: frame}
  axle: {mass: 32 kg ± 1 kg, cg: [0, 0, 300], role: axle}
supports:
  fl: {kind: stand, under: frame, at: [2100, 400, 200]}
  fr: {kind: stand, under: frame, at: [2100, -400, 200]}
  rl: {kind: stand, under: axle, at: [0, 500, 200]}
  rr: {kind: stand, under: axle, at: [0, -500, 200]}
moves:
  rest: {kind: rest, steps: [{name: on four stands, supports: [fl, fr, rl, rr]}]}
links:
`
	for i, side := range []string{"l", "r"} {
		y := float64(1 - 2*i)
		f += link(side+"-lower", fmt.Sprintf("460, %g, 220", 400*y), fmt.Sprintf("0, %g, 220", (400+spread)*y))
		f += link(side+"-upper", fmt.Sprintf("460, %g, 400", 300*y), fmt.Sprintf("0, %g, 400", 300*y))
		f += link(side+"-strut", fmt.Sprintf("0, %g, 700", 450*y), fmt.Sprintf("0, %g%s, 300", 450*y, within))
	}
	if rod {
		f += link("panhard", "-100, 400, 320", "-100, -400, 300")
	}
	return f
}

// An axle without its Panhard rod stood as soon as its links were drawn a tape's error out of
// parallel. The gains of a trial in numpy: 36, 15, 7.3, 4.9 and 3.7 for 2, 5, 10, 15 and
// 20 mm.
func TestTapeErrorIsNoLocation(t *testing.T) {
	for _, spread := range []float64{2, 5, 10, 15, 20} {
		assert.Equal(t, verdict.Stop, stops(t, liveAxle(spread, "", false))["located"], "%g mm out of parallel", spread)
	}
	sound := stops(t, liveAxle(2, "", true))
	assert.NotContains(t, sound, "located")
	assert.NotContains(t, sound, "points-hold")
	assert.NotContains(t, sound, "points-measured")
	assert.NotContains(t, sound, "equilibrium")

	// What the tape's error decides is said of points that are known to 3 mm; rougher ones are
	// measured first.
	assert.Equal(t, verdict.Stop, stops(t, liveAxle(5, "", false))["points-hold"])
	assert.Equal(t, verdict.Stop, stops(t, liveAxle(20, " ± 15", false))["points-measured"])
	assert.NotContains(t, stops(t, liveAxle(20, " ± 15", false)), "points-hold")
	assert.Contains(t, stops(t, liveAxle(0, "", false)), "equilibrium")
}

// block is a stiff frame whose centre of gravity lies 1.4 m above the saddles, on four stands
// 2 m by 1 m; the right ones are set higher by so much.
func block(y, raised, slope float64, step string) string {
	f := fmt.Sprintf(`format: setdown/1
site: {found: {slope: %g mm/m}}
parts:
  frame: {mass: 400 kg ± 1 kg, cg: [0, %g, 1800], role: frame}
moves:
  rest: {kind: rest, steps: [{name: on four stands, supports: [fl, fr, rl, rr]%s}]}
supports:
`, slope, y, step)
	for i, id := range []string{"fl", "fr", "rl", "rr"} {
		x, left := 1000-2000*(i/2), 1-2*(i%2)
		h := 400.0
		if left < 0 {
			h += raised
		}
		f += fmt.Sprintf("  %s: {kind: stand, under: frame, at: [%d, %d, 400], height: %g mm}\n", id, x, 500*left, h)
	}
	return f
}

// Heights and slope stood in the file and not in the statics: 75 mm inside was GO. By hand,
// with the right stands 35 mm higher and 19 mm/m of slope, it is 75 − 1400·(35 + 19)/1000 = −0.6 mm.
func TestHeightsAndSlopeMoveTheWeight(t *testing.T) {
	assert.NotContains(t, stops(t, block(425, 0, 0, "")), "tip-floor", "75 mm inside")
	assert.NotContains(t, stops(t, block(425, 0, 0, "")), "stands-inside")
	assert.Contains(t, stops(t, block(425, 35, 0, "")), "tip-floor", "26 mm inside")
	assert.Contains(t, stops(t, block(425, 0, 19, "")), "tip-floor", "48 mm inside")
	assert.Contains(t, stops(t, block(425, 45, 19, "")), "stands-inside", "15 mm outside")

	// Heights win over what the step says, and are held against it.
	assert.Contains(t, stops(t, block(0, 80, 0, "")), "heights-contradict", "4.6 degrees")
	assert.NotContains(t, stops(t, block(0, 80, 0, ", roll: -4.5 deg")), "heights-contradict")

	// What a level on the frame said stands in for heights and slope both. By hand, 75 mm inside and
	// 1.4 m up: 3.07 degrees, and 0.3 more for the level, turn it over; 2 degrees leave 19 mm.
	level := func(y, raised, slope, roll float64, day string) map[string]verdict.Outcome {
		return stops(t, block(y, raised, slope, fmt.Sprintf(", found: {pitch: 0 deg, roll: %g deg, day: %s}", roll, day)))
	}
	assert.Contains(t, level(425, 45, 19, 0, "2026-11-25"), "stands-inside", "the slope explains the less of what the heights say")
	assert.Contains(t, level(425, 45, 0, 0, "2026-11-25"), "tip-floor", "level and heights at odds: the worse of both")
	assert.Contains(t, level(425, 35, 0, 0, "2026-11-24"), "tip-floor", "it says nothing of a day on which the stands were set")
	assert.Contains(t, level(425, 0, 0, 0, "2026-11-24"), "level-read")
	assert.Contains(t, stops(t, block(425, 15, 15, "")), "tip-floor", "stands shimmed on a floor that falls, both counted")
	assert.NotContains(t, level(425, 15, 15, 0, "2026-11-25"), "tip-floor", "shimmed level")
	assert.Contains(t, level(425, 0, 0, -2, "2026-11-25"), "tip-floor")
	assert.NotContains(t, level(425, 0, 0, -2, "2026-11-25"), "stands-inside")
	assert.Contains(t, level(425, 0, 0, -2.9, "2026-11-25"), "stands-inside")
	assert.Contains(t, level(0, 80, 0, 0, "2026-11-25"), "heights-contradict")
	assert.Contains(t, level(0, 0, 0, 0, "2026-10-01"), "level-read")
	assert.Equal(t, verdict.NotRecorded, stops(t, block(425, 0, 0, ", found: {pitch: 0 deg, day: 2026-11-25}"))["stands-inside"], "laid on one way alone")
}

// A centre of gravity without ± and a step that says nothing of how it stands counted as exact and
// level without a word where that decides. By hand: 20 mm of 75 mm, 8 mm more for the heights, and
// 1400 mm · tan 1° = 24 mm where there are none; 50 mm have to be left.
func TestWhatNobodyWroteDecides(t *testing.T) {
	doubt := func(y, step string, heights bool) verdict.Outcome {
		file := strings.Replace(block(0, 0, 0, step), "[0, 0, 1800]", "[0, "+y+", 1800]", 1)
		if !heights {
			file = strings.ReplaceAll(file, ", height: 400 mm", "")
		}
		return stops(t, file)["tip-doubt"]
	}
	assert.Empty(t, doubt("415", "", true))
	assert.Equal(t, verdict.Stop, doubt("425", "", true), "its centre of gravity")
	assert.Empty(t, doubt("425 ± 10", "", true))
	assert.Equal(t, verdict.Stop, doubt("425 ± 10", "", false), "how it stands")
	assert.Empty(t, doubt("425 ± 10", ", roll: 0 deg", false))

	// What is written of one way says nothing of the other.
	assert.Equal(t, verdict.Stop, doubt("425 ± 10", ", pitch: 0 deg", false), "level front to back says nothing of the sides")
	for _, at := range []string{"['0', '425', '1800 ± 1']", "['0 ± 1', '425', '1800']"} {
		assert.Equal(t, verdict.Stop, stops(t, strings.Replace(block(425, 0, 0, ""), "[0, 425, 1800]", at, 1))["tip-doubt"], at)
	}
}

// onJack is a frame with its front on a jack and its rear on two stands 480 mm apart, then on
// four stands.
func onJack(jack, stands string) string {
	return fmt.Sprintf(`format: setdown/1
parts:
  frame: {mass: 400 kg ± 1 kg, cg: [900, 0, 400], role: frame}
moves:
  down: {kind: lower, steps: [{name: front raised, supports: [jack, rl, rr]}, {name: on four stands, supports: [fl, fr, rl, rr]}]}
supports:
  jack: {kind: jack, under: frame, at: [1500, 0, 200]%s}
  fl: {kind: stand, under: frame, at: [1500, 240, 200], height: 300 mm}
  fr: {kind: stand, under: frame, at: [1500, -240, 200], height: 300 mm}
  rl: {kind: stand, under: frame, at: [0, 240, 200]%s}
  rr: {kind: stand, under: frame, at: [0, -240, 200]%s}
`, jack, stands, stands)
}

// The push went to a rolling jack as to anything else. By hand: 0.05 W at the centre of
// gravity turns the frame about the rear stands with 0.045 m·W; these carry 0.4 W and resist with
// 0.2 · 0.4 · 0.24 = 0.019 m·W, the jack across its length with 0.1 · 0.6 · 1.5 = 0.09 m·W.
func TestThePushGoesToWhoTakesIt(t *testing.T) {
	const tall = ", height: 300 mm"
	assert.NotContains(t, stops(t, onJack(", along: x", tall)), "slides")
	assert.Equal(t, verdict.NotRecorded, stops(t, onJack("", tall))["slides"], "nobody wrote which way the jack rolls")
	assert.Equal(t, verdict.Stop, stops(t, onJack(", along: y", tall))["slides"], "it rolls the way it is pushed")
	assert.Equal(t, verdict.Stop, stops(t, onJack(", along: x", tall+", found: {oily: yes}"))["slides"], "the stands hold the half, too little for the push along")
	assert.NotContains(t, stops(t, onJack(", along: none", tall)), "slides")

	// A stand tips over its own feet: half of the base over the height, 0.29 of three feet.
	for stand, want := range map[string]verdict.Outcome{
		", height: 600 mm":                         verdict.NotRecorded,
		", height: 600 mm, base: 300 mm, feet: 4":  "",
		", height: 1900 mm, base: 150 mm, feet: 4": verdict.Stop,
		", height: 900 mm, base: 150 mm, feet: 3":  verdict.Stop,
		", height: 900 mm, base: 150 mm":           verdict.Stop,
		", height: 900 mm, base: 150 mm, feet: 4":  "",
		", height: 480 mm":                         "",
	} {
		assert.Equal(t, want, stops(t, onJack(", along: x", stand))["stand-base"], stand)
	}
}

// trailingArm is a frame on two stands in front and on a wheel and a stand behind: the wheel on a
// trailing arm with a bar to the frame, and the arm on the joints that it is given.
func trailingArm(joints string) string {
	return `format: setdown/1
parts:
  frame: {mass: 300 kg ± 5 kg, cg: [900, 0, 400], role: frame}
  arm: {mass: 8 kg ± 1 kg, cg: [-200, 500, 300], role: arm}
  wheel: {mass: 12 kg ± 1 kg, cg: [-400, 620, 300], role: wheel}
joints:
` + joints + `
links:
  bar: {ends: {top: {on: frame, at: [-250, 450, 700]}, bottom: {on: arm, at: [-300, 450, 300]}}}
supports:
  fl: {kind: stand, under: frame, at: [2000, 400, 200], height: 320 mm}
  fr: {kind: stand, under: frame, at: [2000, -400, 200], height: 320 mm}
  rl: {kind: wheel, under: wheel, at: [-400, 620, 0], height: 120 mm}
  rr: {kind: stand, under: frame, at: [0, -400, 200], height: 320 mm}
moves:
  rest: {kind: rest, steps: [{name: on its arm, supports: [fl, fr, rl, rr]}]}
`
}

// A bush that nobody listed was made up for by the one that was left: a bush holds one
// point. A wheel on its bearing turned, and nothing could be said against it.
func TestOneBushIsNoHinge(t *testing.T) {
	const (
		inner = "  inner: {kind: bush, between: [arm, frame], at: [0, 350, 300], axis: [0, 1, 0]}\n"
		outer = "  outer: {kind: bush, between: [arm, frame], at: [0, 550, 300], axis: [0, 1, 0]}\n"
		long  = "  tube: {kind: long bearing, between: [arm, frame], at: [0, 450, 300], axis: [0, 1, 0]}\n"
		face  = "  hub: {kind: bolted face, between: [wheel, arm], at: [-400, 560, 300]}"
		hub   = "  hub: {kind: long bearing, between: [wheel, arm], at: [-400, 560, 300], axis: [0, 1, 0]%s}"
	)
	assert.NotContains(t, stops(t, trailingArm(inner+outer+face)), "equilibrium")
	assert.Contains(t, stops(t, trailingArm(inner+face)), "equilibrium", "the outer bush was forgotten")
	assert.Contains(t, stops(t, trailingArm(strings.ReplaceAll(inner, "bush", "pivot")+face)), "equilibrium")
	assert.NotContains(t, stops(t, trailingArm(long+face)), "equilibrium")

	assert.Contains(t, stops(t, trailingArm(inner+outer+fmt.Sprintf(hub, ""))), "equilibrium", "the wheel turns")
	assert.NotContains(t, stops(t, trailingArm(inner+outer+fmt.Sprintf(hub, ", swings: yes"))), "equilibrium")
}

// A pushrod in the middle of a lower arm bends it, and no rule spoke of it. By hand: the
// stand is under the outer end, 360 mm from the pivots; the bar 110 mm from them. What the arm
// passes at its end times the distance from there to the bar is the moment.
func TestPartsBend(t *testing.T) {
	file := func(arm string) string {
		return fmt.Sprintf(`format: setdown/1
parts:
  frame: {mass: 400 kg ± 1 kg, cg: [1000, 0, 400], role: frame}
  arm: {mass: 4 kg ± 1 kg, cg: [2000, 500, 200], role: arm%s}
joints:
  front: {kind: bush, between: [arm, frame], at: [2150, 300, 200]}
  rear: {kind: bush, between: [arm, frame], at: [1850, 300, 200]}
links:
  bar: {ends: {top: {on: frame, at: [2000, 410, 600]}, bottom: {on: arm, at: [2000, 410, 200]}}}
supports:
  fl: {kind: stand, under: arm, at: [2000, 660, 200], height: 320 mm}
  fr: {kind: stand, under: frame, at: [2000, -400, 200], height: 320 mm}
  rl: {kind: stand, under: frame, at: [0, 400, 200], height: 320 mm}
  rr: {kind: stand, under: frame, at: [0, -400, 200], height: 320 mm}
moves:
  rest: {kind: rest, steps: [{name: on its arm, supports: [fl, fr, rl, rr]}]}
`, arm)
	}
	assert.Equal(t, verdict.NotRecorded, stops(t, file(""))["part-bends"])
	assert.Equal(t, verdict.Stop, stops(t, file(", section: {od: 30 mm, wall: 2.5 mm, material: E355}"))["part-bends"])
	assert.NotContains(t, stops(t, file(", section: {od: 60 mm, wall: 5 mm, material: E355, legs: 2, cross_od: 60 mm, cross_wall: 5 mm}")), "part-bends")
	assert.NotContains(t, stops(t, file(", section: {diameter: 60 mm, material: E355, legs: 2, cross_od: 60 mm, cross_wall: 5 mm}")), "part-bends", "a solid bar")
	assert.Equal(t, verdict.NotRecorded, stops(t, file(", section: {od: 60 mm, material: E355, legs: 2}"))["part-bends"], "a tube whose wall nobody measured is no bar")

	// A part that is hardly bent is not asked for its section, and how much heavier the vehicle may get
	// is claimed no further than to where it is.
	light := strings.NewReplacer("mass: 400 kg", "mass: 80 kg", "at: [2000, 410,", "at: [2000, 640,", "height: 320 mm", "height: 320 mm, rated: 2 t, rated_per: each",
		"bar: {", "bar: {tube: {od: 40 mm, wall: 4 mm, material: E355}, ", "{kind: bush,", "{kind: bush, static_rating: 300 kN,").Replace(file(""))
	b, err := model.Read("test.yaml", []byte(light), model.Companions{})
	require.NoError(t, err)
	m := judge(t, rules(t), b).Moves[0]
	require.Len(t, m.Steps[0].Bends, 1)
	require.NotNil(t, m.Heavier, "%v %v", m.Steps[0].Bends, m.Steps[0].Strengths)
	assert.Equal(t, "arm", m.Heavier.Item)
	assert.InDelta(t, 60/m.Steps[0].Bends[0].Moment.Value-1, m.Heavier.Share, 1e-9)

	const was = ", proven: {vehicle: small saloon, axle_load: %d kg, altered: %s}"
	assert.Equal(t, verdict.NotRecorded, stops(t, file(fmt.Sprintf(was, 900, "no")))["part-bends"], "the stand is where its wheel never was")
	hub := strings.NewReplacer("links:", "  hub: {kind: bolted face, between: [wheel, arm], at: [2000, 640, 200]}\nlinks:", "joints:", "  wheel: {mass: 10 kg ± 1 kg, cg: [2000, 660, 200], role: wheel}\njoints:")
	assert.NotContains(t, stops(t, hub.Replace(file(fmt.Sprintf(was, 900, "no")))), "part-bends")
	assert.Equal(t, verdict.Stop, stops(t, hub.Replace(file(fmt.Sprintf(was, 150, "no"))))["part-bends"])
	assert.Equal(t, verdict.NotRecorded, stops(t, hub.Replace(file(fmt.Sprintf(was, 900, "yes"))))["part-bends"], "it was cut")
	assert.Equal(t, verdict.NotRecorded, stops(t, hub.Replace(strings.Replace(file(fmt.Sprintf(was, 900, "no")), ", altered: no", "", 1)))["part-bends"])
}

// An axle off a van stands between its perches and its wheels, where 370 N·m bend it at a perch, 100 mm on; its wheel of
// 600 kg, 250 mm on, 1.5 kN·m (arithmetic). Inside of its perches, beside it or beyond its wheels nothing ever stood.
func TestAxleStandsAsOnItsWheels(t *testing.T) {
	for _, c := range []struct {
		x, y  int
		wheel int
		stops bool
	}{{0, 550, 0, false}, {0, 550, 700, false}, {0, 800, 700, true}, {0, 350, 0, true}, {0, 350, 700, true}, {100, 550, 0, true}} {
		wheels, hubs := "", ""
		if c.wheel > 0 {
			for side, sign := range map[string]int{"l": 1, "r": -1} {
				wheels += fmt.Sprintf("  %s-wheel: {mass: 10 kg, cg: [0, %d, 300], role: wheel}\n", side, sign*c.wheel)
				hubs += fmt.Sprintf("  %[1]s-hub: {kind: bolted face, between: [%[1]s-wheel, axle], at: [0, %d, 300], axis: [0, 1, 0]}\n", side, sign*c.wheel)
			}
		}
		assert.Equal(t, c.stops, stops(t, fmt.Sprintf(`format: setdown/2
vehicle: {name: truck, coordinates: mm, built_on: frame}
parts:
  frame: {mass: 600 kg ± 1 kg, cg: [600, 0, 400], role: frame}
  axle: {mass: 80 kg ± 1 kg, cg: [0, 0, 300], role: axle, proven: {vehicle: van, axle_load: 1200 kg, altered: no}}
%sjoints:
%s  l-perch: {kind: bolted face, between: [frame, axle], at: [0, 450, 320], axis: [0, 0, 1]}
  r-perch: {kind: bolted face, between: [frame, axle], at: [0, -450, 320], axis: [0, 0, 1]}
supports:
  fl: {kind: stand, under: frame, bears_on: frame node, at: [2000, 400, 270], height: 270 mm, base: 250 mm, feet: 4}
  fr: {kind: stand, under: frame, bears_on: frame node, at: [2000, -400, 270], height: 270 mm, base: 250 mm, feet: 4}
  rl: {kind: stand, under: axle, bears_on: axle, at: [%[3]d, %[4]d, 270], height: 270 mm, base: 250 mm, feet: 4}
  rr: {kind: stand, under: axle, bears_on: axle, at: [%[3]d, -%[4]d, 270], height: 270 mm, base: 250 mm, feet: 4}
moves:
  rest: {kind: rest, steps: [{name: on its axle, supports: [fl, fr, rl, rr]}]}
`, wheels, hubs, c.x, c.y))["part-bends"] != "", "%+v", c)
	}
}

// A beam is bent between what bears on it, and not only from the middle of its joints to a force. By hand:
// a jack in the middle of an axle between two perches 1 m apart, F·l/4, straight under it or on
// a lower plate; 300 and 200 kg at 0.1 and 0.6 m of 1.2 m between two stands, 125 · g · 0.6 m in the middle and 375 · g · 0.1 m between the
// two largest forces. A third stand under the axle at the end of a torque arm, under which nothing rests, changes
// nothing of that; what stands on a torque arm, 300 kg halfway to a stand at 1 m, bends that, 150 · g · 0.5 m.
func TestBeamIsBentBetweenItsPlaces(t *testing.T) {
	const (
		head = "format: setdown/1\nparts:\n"
		rest = "moves:\n  rest: {kind: rest, steps: [{name: up, supports: [%s]}]}\n"
	)
	perches := func(z int) string {
		return head + fmt.Sprintf(`  frame: {mass: 600 kg, cg: [200, 0, 600], role: frame}
  axle: {mass: 20 kg, cg: [0, 0, 400], role: axle}
joints:
  perch-l: {kind: bolted face, between: [axle, frame], at: [0, 500, 400]}
  perch-r: {kind: bolted face, between: [axle, frame], at: [0, -500, 400]}
supports:
  jack: {kind: stand, under: axle, at: [0, 0, %d]}
  l: {kind: stand, under: frame, at: [1500, 400, 500]}
  r: {kind: stand, under: frame, at: [1500, -400, 500]}
`, z) + fmt.Sprintf(rest, "jack, l, r")
	}
	aside := head + `  frame: {mass: 300 kg, cg: [0, 500, 400], role: frame}
  engine: {mass: 200 kg, cg: [0, 0, 400], role: drivetrain}
  axle: {mass: 20 kg, cg: [0, 0, 400], role: axle}
joints:
  left: {kind: bolted face, between: [axle, frame], at: [0, 500, 400]}
  mount: {kind: bolted face, between: [axle, engine], at: [0, 0, 400]}
supports:
  l: {kind: stand, under: axle, at: [0, 600, 400]}
  r: {kind: stand, under: axle, at: [0, -600, 400]}
  front: {kind: stand, under: frame, at: [1500, 500, 400]}
` + fmt.Sprintf(rest, "l, r, front")
	for name, c := range map[string]struct {
		file string
		hand float64
	}{
		"jack under the middle":  {perches(400), 600 * 1300 / 1500 * statics.Gravity / 4},
		"jack under a low plate": {perches(250), 600 * 1300 / 1500 * statics.Gravity / 4},
		"heavier on one side":    {aside, 125 * statics.Gravity * .6},
		"and a torque arm":       {strings.Replace(aside, "front: {kind: stand, under: frame, at: [1500, 500", "front: {kind: stand, under: axle, at: [700, 0", 1), 125 * statics.Gravity * .6},
		"on its torque arm": {strings.NewReplacer("mass: 200 kg, cg: [0, 0,", "mass: 300 kg, cg: [500, 0,", "mount: {kind: bolted face, between: [axle, engine], at: [0, 0,", "mount: {kind: bolted face, between: [axle, engine], at: [500, 0,",
			"front: {kind: stand, under: frame, at: [1500, 500", "front: {kind: stand, under: axle, at: [1000, 0").Replace(aside), 150 * statics.Gravity * .5},
	} {
		b, err := model.Read("test.yaml", []byte(c.file), model.Companions{})
		require.NoError(t, err)
		var got float64
		for _, bend := range judge(t, rules(t), b).Moves[0].Steps[0].Bends {
			if bend.Item == "axle" {
				got = bend.Moment.Value
			}
		}
		assert.Greater(t, got, .98*c.hand, name)
		assert.Less(t, got, 1.35*c.hand, "%s: it may be pushed by a tenth", name)
	}
}

// Two legs share an arm's bending as their joints are loaded. By hand: the stand at the end of the
// arm, 360 mm from the line of its pivots, is 2.27 of itself at a bar 110 mm from it; what both pivots pass is
// 1.27 of it, all of that at the front one where the bar stands on the front leg, 119 mm from its pivot. Half
// of it goes to either from a bar in the middle, and at the apex none of it.
func TestTwoLegs(t *testing.T) {
	file := func(section, bar string) string {
		return strings.ReplaceAll(`format: setdown/1
parts:
  frame: {mass: 400 kg ± 1 kg, cg: [1000, 0, 400], role: frame}
  arm: {mass: 0.1 kg ± 0.1 kg, cg: [2000, 500, 200], role: arm, section: {`+section+`}}
joints:
  front: {kind: bush, between: [arm, frame], at: [2150, 300, 200]}
  rear: {kind: bush, between: [arm, frame], at: [1850, 300, 200]}
links:
  bar: {ends: {top: {on: frame, at: [BAR, 600]}, bottom: {on: arm, at: [BAR, 200]}}}
supports:
  fl: {kind: stand, under: arm, at: [2000, 660, 200]}
  fr: {kind: stand, under: frame, at: [2000, -400, 200]}
  back: {kind: stand, under: frame, at: [0, 0, 200]}
moves:
  rest: {kind: rest, steps: [{name: on its arm, supports: [fl, fr, back]}]}
`, "BAR", bar)
	}
	const (
		onLeg, between, apex = "2104.17, 410", "2000, 410", "2000, 660"
		tube                 = "od: 60 mm, wall: 5 mm, material: E355"
		stout                = ", cross_od: 90 mm, cross_wall: 8 mm" // across
	)
	e := rules(t)
	judged := func(file string) verdict.Step {
		b, err := model.Read("test.yaml", []byte(file), model.Companions{})
		require.NoError(t, err)
		return judge(t, e, b).Moves[0].Steps[0]
	}
	for _, c := range []struct {
		bar         string
		share, long float64 // of what both pivots pass, and how far from its pivot
	}{{onLeg, 1, .1192}, {between, .5, .1192}} {
		s := judged(file(tube+", legs: 2"+stout, c.bar))
		row := rowOf(t, e, file(tube+", legs: 2"+stout, c.bar), "rest", "arm", "part in bending")
		stand := s.Supports[0].Worst.Value * statics.Gravity
		assert.InEpsilon(t, c.share*stand*250/110*c.long, row.Load.Value, .04, c.bar)
		assert.Equal(t, "force square to its legs at front", row.Working[0].Name)
		assert.InEpsilon(t, row.Working[0].Figure.Value*row.Working[1].Figure.Value/1000, row.Working[2].Figure.Value, 1e-3, "force times where its leg is bent most")
		assert.Contains(t, row.Assumptions, "what loads it between them stands on a cross tube")
	}
	assert.Less(t, judged(file(tube+", legs: 2", apex)).Bends[0].Moment.Value, 1.0)

	// A leg that the whole would break and half of it does not.
	weak := "od: 30 mm, wall: 2.5 mm, material: E355"
	assert.Equal(t, verdict.Stop, stops(t, file(weak+", legs: 2", onLeg))["part-bends"])
	assert.NotContains(t, stops(t, file(weak+", legs: 2"+stout, between)), "part-bends")

	// The tube across between them: by hand the bar presses F·w·s·(1 − s), at the middle of the 207 mm that the legs are apart
	// there. Nobody measured it, and what the legs bear says nothing of it: it is asked for.
	cross := rowOf(t, e, file("od: 38 mm, wall: 4 mm, material: E355, legs: 2, cross_od: 20 mm, cross_wall: 1.5 mm", between), "rest", "arm", "cross tube between its legs, in bending")
	stand := judged(file(tube+", legs: 2", between)).Supports[0].Worst.Value * statics.Gravity
	assert.InEpsilon(t, stand*360/110*.2083/4, cross.Load.Value, .05)
	for section, want := range map[string]verdict.Outcome{
		"od: 90 mm, wall: 6 mm, material: E355, legs: 2":                                      verdict.NotRecorded,
		"od: 35 mm, wall: 3 mm, material: E355, legs: 2":                                      verdict.NotRecorded,
		"od: 35 mm, wall: 3 mm, material: E355, legs: 2, cross_od: 45 mm":                     verdict.NotRecorded,
		"od: 35 mm, wall: 3 mm, material: E355, legs: 2, cross_od: 45 mm, cross_wall: 4 mm":   "",
		"od: 35 mm, wall: 3 mm, material: E355, legs: 2, cross_od: 20 mm, cross_wall: 1.5 mm": verdict.Stop,
	} {
		assert.Equal(t, want, stops(t, file(section, between))["part-bends"], section)
	}
	// A bar so near to a leg may stand on a lug of it, and there is no tube to measure then.
	assert.NotContains(t, stops(t, file("od: 90 mm, wall: 6 mm, material: E355, legs: 2", "2073, 410")), "part-bends")
	assert.Equal(t, verdict.NotRecorded, stops(t, file("od: 90 mm, wall: 6 mm, material: E355, legs: 2", "2040, 410"))["part-bends"])

	// No two joints to make a hinge of, or a joint on its legs that turns nothing: one leg bears it all.
	hub := strings.NewReplacer("joints:", "  plate: {mass: 1 kg ± 1 kg, cg: [2000, 410, 200], role: other}\njoints:", "links:", "  bolted: {kind: bolted face, between: [plate, arm], at: [2000, 410, 200]}\n  end: {kind: bolted face, between: [hub, arm], at: [2000, 660, 200]}\nlinks:",
		"parts:", "parts:\n  hub: {mass: 1 kg ± 1 kg, cg: [2000, 660, 200], role: other}")
	row := rowOf(t, e, hub.Replace(file(tube+", legs: 2", between)), "rest", "arm", "part in bending")
	assert.Contains(t, row.Assumptions, "one of its legs bears all of it: it has not two joints to one other part and one beyond")

	// How many legs it has is asked where that decides: a wheel 300 mm beside the line of the arm loads
	// one of two legs more than one stout bar. Of three, one bears what the worse of two would.
	wheel := strings.NewReplacer("parts:", "parts:\n  hub: {mass: 1 kg ± 1 kg, cg: [2000, 660, 200], role: wheel}", "under: arm, at: [2000, 660,", "under: hub, at: [2300, 660,",
		"links:", "  end: {kind: bolted face, between: [hub, arm], at: [2000, 660, 200]}\nlinks:")
	slim := "od: 35 mm, wall: 3 mm, material: E355"
	for legs, want := range map[string]verdict.Outcome{"": verdict.NotRecorded, ", legs: 1": "", ", legs: 2": verdict.Stop, ", legs: 3": verdict.Stop} {
		assert.Equal(t, want, stops(t, wheel.Replace(file(slim+legs, "2000, 600")))["part-bends"], "%q", legs)
	}
}

// engineOut is a light frame on four stands 480 mm apart, its centre of gravity 215 mm inside
// the line of the left ones, and a hub 417 mm outside it.
func engineOut(stands, move string) string {
	f := `format: setdown/1
parts:
  frame: {mass: 238 kg, cg: [950, 22.345, 200], role: frame}
  wheel: {mass: 1 kg, cg: [950, 657, 200], role: wheel}
joints:
  face: {kind: bolted face, between: [wheel, frame], at: [950, 600, 200]}
moves:
  rest: {kind: rest` + move + `, steps: [{name: engine out, supports: [fl, fr, rl, rr]}]}
supports:
`
	for i, id := range []string{"fl", "fr", "rl", "rr"} {
		f += fmt.Sprintf("  %s: {kind: stand, under: frame, at: [%d, %d, 200]%s}\n", id, 1700-1500*(i/2), 240-480*(i%2), stands)
	}
	return f
}

// A stand whose width nobody wrote was taken as 200 mm wide, and a light vehicle stopped for it without a
// word. By hand, 420 mm high it tips at 0.29 · 200/420 = 0.138 of its load, 324 N of the 352 N that have
// to hold it, and 270 mm wide at 0.186.
func TestWidthOfAStandIsAsked(t *testing.T) {
	for stands, want := range map[string]verdict.Outcome{
		"height: 420 mm":               verdict.NotRecorded,
		"height: 420 mm, base: 200 mm": verdict.Stop,
		"height: 420 mm, base: 270 mm": "",
		"height: 320 mm":               "",
	} {
		got := stops(t, engineOut(", "+stands, ", hard_pull: no"))
		assert.Equal(t, want, got["pull-slides"], stands)
		assert.Equal(t, want, got["slides"], stands)
	}
	// Dry saddles help where friction is what is short, and wider stands where these tip first.
	for stands, narrow := range map[string]bool{"height: 420 mm, base: 200 mm": true, "height: 320 mm, base: 270 mm, found: {oily: yes}": false} {
		b, err := model.Read("test.yaml", []byte(engineOut(", "+stands, ", hard_pull: yes")), model.Companions{})
		require.NoError(t, err)
		findings := judge(t, rules(t), b).Moves[0].Findings
		i := slices.IndexFunc(findings, func(f verdict.Finding) bool { return f.Rule == "slides" })
		require.GreaterOrEqual(t, i, 0, stands)
		assert.Equal(t, narrow, strings.Contains(findings[i].Say, "; tips over its feet before its saddle slips: fl, fr, rl, rr"), findings[i].Say)
	}
}

// A person's pull was nowhere. By hand, tipping about the left stands by whoever stands on a bar
// on the hub: 239 kg · g · 215 mm ÷ (417 + 600) mm = 496 N, on a bar of 1 m 356 N. Pulled level at
// the sill it slides at 0.2 of its weight, 469 N, oily at half of that.
func TestPullOfAPerson(t *testing.T) {
	pulls := func(file string) *verdict.Pulls {
		b, err := model.Read("test.yaml", []byte(file), model.Companions{})
		require.NoError(t, err)
		return judge(t, rules(t), b).Moves[0].Steps[0].Stability.Pulls
	}
	const low = ", height: 250 mm"
	usual := pulls(engineOut(low, ""))
	assert.InDelta(t, 496, usual.Tips.Force.Value, 8, "the heights are known to 3 mm")
	assert.Equal(t, "down", usual.Tips.Way)
	assert.Equal(t, "wheel", usual.Tips.At)
	assert.InDelta(t, 469, usual.Slides.Force.Value, 8)
	assert.InDelta(t, 356, pulls(engineOut(low, ", bar: 1 m")).Tips.Force.Value, 8)
	assert.Greater(t, pulls(engineOut(low, ", hard_pull: no")).Tips.Force.Value, 600.0, "no bar")

	// A light vehicle tips before a heavy one: 60 kg less of the 239 kg leave the stands with three quarters.
	light := pulls(strings.Replace(engineOut(low, ""), "mass: 238 kg", "mass: 238 kg ± 60 kg", 1))
	assert.Less(t, light.Tips.Force.Value, 0.8*usual.Tips.Force.Value)

	// With its wheel off, what the wheel goes on is the hub, whatever part that is.
	bare := pulls(strings.Replace(engineOut(low, ""), "{name: engine out,", "{name: engine out, off: [wheel],", 1))
	assert.Equal(t, "frame", bare.Tips.At)
	assert.Equal(t, "down", bare.Tips.Way)
	assert.InDelta(t, 238*9.81*(240-22.345)/(600+600-240), bare.Tips.Force.Value, 8)

	assert.NotContains(t, stops(t, engineOut(low, "")), "pull-tips")
	// A centre of gravity without ± counts with 20 mm of the 215: 521 N on 0.55 m leave 473 N, 472 N on
	// 0.65 m only 428 N.
	assert.NotContains(t, stops(t, engineOut(low, ", bar: 550 mm")), "pull-doubt")
	doubtful := engineOut(low, ", bar: 650 mm")
	assert.InDelta(t, 472, pulls(doubtful).Tips.Force.Value, 8)
	assert.NotContains(t, stops(t, doubtful), "pull-tips")
	assert.Equal(t, verdict.Stop, stops(t, doubtful)["pull-doubt"])
	assert.NotContains(t, stops(t, strings.Replace(doubtful, "[950, 22.345, 200]", "[950 ± 1, 22.345 ± 1, 200]", 1)), "pull-doubt")
	assert.NotContains(t, stops(t, engineOut(low, "")), "pull-slides")
	assert.Equal(t, verdict.Stop, stops(t, engineOut(low, ", bar: 1 m"))["pull-tips"])
	for units, says := range map[quantity.System]string{quantity.Metric: "on a bar of 1000 mm at", quantity.Inch: "on a bar of 39 3/8 in at"} {
		b, err := model.Read("test.yaml", []byte(engineOut(low, ", bar: 1 m")), model.Companions{})
		require.NoError(t, err)
		r, err := check.Run(t.Context(), b, rules(t), check.Options{Today: today, Units: units})
		require.NoError(t, err)
		assert.Contains(t, strings.Join(said(r.Moves[0].Findings), "\n"), says)
	}
	assert.NotContains(t, stops(t, engineOut(low, ", bar: 1 m, hard_pull: no")), "hard-pull", "a bar that is written is pulled on")
	assert.Equal(t, verdict.Stop, stops(t, engineOut(low, ", bar: 1 m, hard_pull: no"))["pull-tips"])
	assert.Equal(t, verdict.Stop, stops(t, engineOut(low+", found: {oily: yes}", ""))["pull-slides"])

	// In a move nobody works on it before it is where the move ends.
	lower := strings.Replace(engineOut(low, ", bar: 1 m"), "kind: rest", "kind: lower", 1)
	lower = strings.Replace(lower, "supports: [fl, fr, rl, rr]}]", "supports: [fl, fr, rl, rr]}, {name: on blocks, supports: [bl, br, cl, cr]}]", 1)
	for i, id := range []string{"bl", "br", "cl", "cr"} {
		lower += fmt.Sprintf("  %s: {kind: stand, under: frame, at: [%d, %d, 200], height: 100 mm}\n", id, 1700-1500*(i/2), 700-1400*(i%2))
	}
	assert.NotContains(t, stops(t, lower), "pull-tips")
}

// hanging is a frame of 300 kg on four stands, and an engine of 140 kg in it that is tied up to it or
// hangs on a hook.
func hanging(joints, holders, straps, hook string) string {
	names := ""
	for _, line := range strings.Split(straps, "\n") {
		if id, _, ok := strings.Cut(strings.TrimSpace(line), ":"); ok {
			names += id + ", "
		}
	}
	f := "format: setdown/1\n" +
		"parts:\n  frame: {mass: 300 kg ± 1 kg, cg: [1000, 0, 400], role: frame}\n  engine: {mass: 140 kg ± 1 kg, cg: [1000, 0, 500], role: drivetrain}\n" +
		"joints:\n" + joints + "\nfasteners:\n" + holders + "\n"
	if straps != "" {
		f += "restraints:\n" + straps + "\n"
	}
	f += "supports:\n"
	if hook != "" {
		f += "  hook: {kind: crane, under: engine, at: [" + hook + "]}\n"
	}
	on := map[bool]string{true: ", hook"}[hook != ""]
	for i, id := range []string{"fl", "fr", "rl", "rr"} {
		f += fmt.Sprintf("  %s: {kind: stand, under: frame, at: [%d, %d, 200], height: 250 mm}\n", id, 2000-2000*(i/2), 400-800*(i%2))
	}
	return f + "cranes: {crane: {rated: 500 kg, lifts: engine, sling: {legs: 2, rated: 200 kg, angle: 30 deg, choked: no}}}\n" +
		"moves: {rest: {kind: rest, steps: [{name: as it hangs, supports: [fl, fr, rl, rr" + on + "], restraints: [" + names + "]}]}}\n"
}

// One rope held an engine whose mounts were undone as if it were welded on: a rope pulls along
// its line, at its points. By hand, for a strap half as far from the hinge as the centre of gravity:
// twice the weight of 141 kg, 2765 N.
func TestRopeIsNoWeld(t *testing.T) {
	const (
		mounts = "  mounts: {kind: bolted face, between: [engine, frame], at: [1000, 0, 300]}"
		front  = "  front: {kind: bush, between: [engine, frame], at: [400, 200, 500], axis: [0, 1, 0]}\n"
		rear   = "  rear: {kind: bush, between: [engine, frame], at: [400, -200, 500], axis: [0, 1, 0]}"
		in     = "  bolts: {holds: [%s], found: {fitted: yes, tightness: torqued}}"
		out    = "  bolts: {holds: [%s], found: {fitted: no}}"
		rope   = "  rope: {ties: [engine], to: frame, kind: rope, rated: 5 t%s}"
		left   = "\n  left: {ties: [engine], to: frame, kind: rope, rated: 5 t, at: [1000, 300, 520], to_at: [1000, 300, 1200]}"
		right  = "\n  right: {ties: [engine], to: frame, kind: rope, rated: 5 t, at: [1000, -300, 520], to_at: [1000, -300, 1200]}"
		low    = "\n  right: {ties: [engine], to: frame, kind: rope, rated: 5 t, at: [1000, -300, 300], to_at: [1000, -300, 1200]}"
		flat   = "\n  right: {ties: [engine], to: frame, kind: rope, rated: 5 t, at: [1000, -300, 520], to_at: [1000, -1300, 620]}"
	)
	holds := func(file string) verdict.Outcome { return stops(t, file)["strap-holds"] }
	bare := fmt.Sprintf(rope, "")
	assert.Equal(t, verdict.Stop, holds(hanging(mounts, fmt.Sprintf(out, "mounts"), bare, "")), "one rope")
	assert.Empty(t, holds(hanging(mounts, fmt.Sprintf(in, "mounts"), bare, "")), "its mounts are in")
	assert.Equal(t, verdict.NotRecorded, holds(hanging(mounts, "  bolts: {holds: [mounts]}", bare, "")), "nobody looked at them")
	assert.Empty(t, holds(hanging(front+rear, fmt.Sprintf(in, "front, rear"), bare, "")), "a hinge")
	assert.Equal(t, verdict.Stop, holds(hanging(front+rear, fmt.Sprintf(in, "front")+"\n"+strings.Replace(fmt.Sprintf(out, "rear"), "bolts", "other", 1), bare, "")), "one bush")

	gone := fmt.Sprintf(out, "mounts")
	assert.Empty(t, holds(hanging(mounts, gone, left+right, "")), "two straps on either side")
	assert.Equal(t, verdict.Stop, holds(hanging(mounts, gone, left, "")), "one strap")
	assert.Equal(t, verdict.Stop, holds(hanging(mounts, gone, left+low, "")), "it turns over")
	assert.Equal(t, verdict.Stop, holds(hanging(mounts, gone, left+flat, "")), "more than 60 degrees from the plumb line")

	const mid = ", at: [700, 0, 500], to_at: [700, 0, 1000]"
	b, err := model.Read("test.yaml", []byte(hanging(front+rear, fmt.Sprintf(in, "front, rear"), fmt.Sprintf(rope, mid), "")), model.Companions{})
	require.NoError(t, err)
	for _, s := range judge(t, rules(t), b).Moves[0].Steps[0].Strengths {
		if s.Item == "rope" {
			assert.InDelta(t, 2765, s.Load.Value, 60, "and a little for the push")
			return
		}
	}
	t.Error("the rope has no load")
}

// A strap that leans counted for more than what hangs on it and did not say why, one whose points nobody wrote was
// said to stand at 60 degrees like those whose points are, and the strap to buy was another than the one that mends it.
func TestStrapSaysHowItStands(t *testing.T) {
	const hinge = "  front: {kind: bush, between: [engine, frame], at: [400, 200, 500]}\n  rear: {kind: bush, between: [engine, frame], at: [400, -200, 500]}"
	for points, words := range map[string][2]string{
		"": {"60° from the plumb line (what hangs on it counts twice: where it pulls is not written)", "where it pulls is not written: it stands at 60° from the plumb line and pulls twice what hangs on it"},
		", at: [1000, 0, 500], to_at: [1000, 577.4, 1500]": {"30° from the plumb line, it is rated", "at 30° from the plumb line it pulls 1.15 times what hangs on it"},
		", at: [1000, 0, 500], to_at: [1000, 0, 1500]":     {"0° from the plumb line, it is rated", ""},
	} {
		file := hanging(hinge, "  bolts: {holds: [front, rear], found: {fitted: yes, tightness: torqued}}", "  rope: {ties: [engine], to: frame, kind: rope, rated: 100 kg"+points+"}", "")
		b, err := model.Read("test.yaml", []byte(file), model.Companions{})
		require.NoError(t, err)
		move := judge(t, rules(t), b).Moves[0]
		i := slices.IndexFunc(move.Findings, func(f verdict.Finding) bool { return f.Rule == "strap-rating" })
		require.GreaterOrEqual(t, i, 0)
		f := move.Findings[i]
		require.Contains(t, f.Say, words[0])
		require.Contains(t, f.Fix, f.Work.Part[strings.LastIndex(f.Work.Part, "lift"):], "one figure")
		for _, s := range move.Steps[0].Strengths {
			if s.Item == "rope" && words[1] != "" {
				require.Contains(t, s.Assumptions, words[1])
			} else if s.Item == "rope" {
				require.Len(t, s.Assumptions, 1)
			}
		}
	}
}

// What a strap ties was one lump whatever joined it: with the bolts out between an engine and its
// gearbox, one rope round both held the gearbox by the engine's mounts.
func TestStrapHoldsEachPiece(t *testing.T) {
	const (
		joints = "  mounts: {kind: bolted face, between: [engine, frame], at: [1000, 0, 300]}\n  bell: {kind: bolted face, between: [engine, box], at: [800, 0, 450]}"
		both   = "  rope: {ties: [engine, box], to: frame, kind: rope, rated: 5 t%s}"
		left   = "\n  left: {ties: [box], to: frame, kind: rope, rated: 5 t, at: [700, 200, 520], to_at: [700, 200, 1200]}"
		right  = "\n  right: {ties: [box], to: frame, kind: rope, rated: 5 t, at: [700, -200, 520], to_at: [700, -200, 1200]}"
		points = ", at: [900, 0, 520], to_at: [900, 0, 1200]"
	)
	holds := func(bell, straps string) verdict.Outcome {
		file := hanging(joints, "  bolts: {holds: [mounts], found: {fitted: yes, tightness: torqued}}\n  ring: {holds: [bell]"+bell+"}", straps, "")
		return stops(t, strings.Replace(file, "\njoints:", "\n  box: {mass: 40 kg ± 1 kg, cg: [700, 0, 450], role: drivetrain}\njoints:", 1))["strap-holds"]
	}
	const in, out = ", found: {fitted: yes, tightness: torqued}", ", found: {fitted: no}"
	rope := fmt.Sprintf(both, "")
	assert.Empty(t, holds(in, rope), "the gearbox is on the engine")
	assert.Equal(t, verdict.Stop, holds(out, rope), "nothing joins them")
	assert.Equal(t, verdict.Stop, holds(out, fmt.Sprintf(both, points)), "its one point says not which of them it holds")
	assert.Equal(t, verdict.NotRecorded, holds("", rope), "nobody looked at what joins them")
	assert.Empty(t, holds(out, strings.Replace(rope, ", box", "", 1)+left+right), "each hangs on straps of its own")
	assert.Equal(t, verdict.Stop, holds(out, strings.Replace(rope, ", box", "", 1)+left), "the gearbox hangs on one")
}

// Tied up, every place of every joint was asked: a lump has its masses and their centres of gravity, and no
// more is needed. Where it hangs on its strap says nothing of where it weighs.
func TestTiedCornerIsOneLump(t *testing.T) {
	text, err := os.ReadFile("../../testdata/builds/special-mended.yaml")
	require.NoError(t, err)
	root := parse(t, text)
	taken := 0
	unplaced := func(n *yaml.Node) {
		if child(n, "at") != nil {
			taken++
			drop(n, "at")
		}
	}
	for _, kind := range []string{"joints", "links"} {
		for id, entry := range pairs(child(root, kind)) {
			if !strings.HasPrefix(id, "fl-") && !strings.HasPrefix(id, "rl-") || strings.Contains(id, "wheel") {
				continue
			}
			unplaced(entry)
			if ends := child(entry, "ends"); ends != nil {
				for _, end := range pairs(ends) {
					unplaced(end)
				}
			}
		}
	}
	assert.Equal(t, 20, taken)
	for _, id := range []string{"fl-tie", "rl-tie"} {
		tie := child(child(root, "restraints"), id)
		put(tie, "to_at", parseFlow("[1000, 300, 600]"))
	}
	tied := func() verdict.Move {
		b, err := model.Read("tied.yaml", []byte(documentOf(t, root).String()), model.Companions{})
		require.NoError(t, err)
		return judge(t, rules(t), b, "off-table-tied").Moves[0]
	}
	m := tied()
	assert.Equal(t, verdict.Go, m.Decision, "%v", said(m.Findings))
	drop(child(child(root, "parts"), "rl-upright"), "cg")
	m = tied()
	assert.Equal(t, verdict.NoGo, m.Decision)
	assert.True(t, slices.ContainsFunc(m.Findings, func(f verdict.Finding) bool {
		return slices.ContainsFunc(f.Missing, func(missing verdict.Missing) bool { return missing.Path == "parts.rl-upright.cg" })
	}), "%v", said(m.Findings))
}

// An engine on a hook with its mounts undone was no equilibrium. It hangs stably with the hook
// above its centre of gravity; 5 degrees off is slung again: by hand 400 mm · tan 5° = 35 mm.
func TestEngineOnAHook(t *testing.T) {
	file := func(fitted, hook string) string {
		return hanging("  mounts: {kind: bolted face, between: [engine, frame], at: [1000, 0, 300]}",
			"  bolts: {holds: [mounts], needed: 4, found: {fitted: "+fitted+", count: "+map[string]string{"yes": "4", "no": "0"}[fitted]+", tightness: torqued}}", "", hook)
	}
	out := stops(t, file("no", "1000, 0, 900"))
	for _, rule := range []string{"equilibrium", "hook-above", "sling-rating", "slides", "stands-inside"} {
		assert.NotContains(t, out, rule)
	}
	assert.NotContains(t, out, "fastener-fitted", "undone bolts hold nothing")
	assert.NotContains(t, out, "support-on-node", "an engine has an eye, no node")
	assert.Equal(t, verdict.NotRecorded, out["left-on-jack"], "the engine may be left hanging as long as nobody is under it")
	under := strings.Replace(file("no", "1000, 0, 900"), "{kind: rest,", "{kind: rest, people_under: yes,", 1)
	assert.Equal(t, verdict.Stop, stops(t, under)["left-on-jack"])
	assert.NotContains(t, stops(t, file("no", "1034, 0, 900")), "hook-above")
	assert.Equal(t, verdict.Stop, stops(t, file("no", "1036, 0, 900"))["hook-above"])
	assert.Equal(t, verdict.Stop, stops(t, file("no", "1000, 0, 450"))["hook-above"], "slung below its centre of gravity")
	assert.NotContains(t, stops(t, file("yes", "1036, 0, 900")), "hook-above", "it is still bolted in")
	weak := strings.Replace(file("no", "1000, 0, 900"), "rated: 200 kg", "rated: 101 kg", 1)
	assert.NotContains(t, stops(t, weak), "sling-rating", "1.4 times 101 kg bear 141 kg")
	weak = strings.Replace(weak, "angle: 30 deg", "angle: 50 deg", 1)
	assert.Equal(t, verdict.Stop, stops(t, weak)["sling-rating"], "flat legs bear what one does")
}

// droop is a frame on four stands with a trailing arm and its wheel hanging on two bushes, and an
// upright on two ball joints one above the other.
func droop(rests ...string) string {
	f := `format: setdown/1
parts:
  frame: {mass: 300 kg ± 5 kg, cg: [900, 0, 400], role: frame}
  arm: {mass: 8 kg, cg: [-200, 500, 300], role: arm}
  wheel: {mass: 12 kg, cg: [-400, 500, 300], role: wheel}
  upright: {mass: 10 kg ± 1 kg, cg: [2000, 700, 300], role: upright}
joints:
  inner: {kind: bush, between: [arm, frame], at: [0, 450, 300], axis: [0, 1, 0]}
  outer: {kind: bush, between: [arm, frame], at: [0, 550, 300], axis: [0, 1, 0]}
  hub: {kind: bolted face, between: [wheel, arm], at: [-400, 560, 300]}
  upper: {kind: ball joint, between: [upright, frame], at: [2000, 600, 400]}
  lower: {kind: ball joint, between: [upright, frame], at: [2000, 600, 200]}
supports:
  fl: {kind: stand, under: frame, at: [1800, 400, 200], height: 250 mm}
  fr: {kind: stand, under: frame, at: [1800, -400, 200], height: 250 mm}
  rl: {kind: stand, under: frame, at: [100, 400, 200], height: 250 mm}
  rr: {kind: stand, under: frame, at: [100, -400, 200], height: 250 mm}
restraints:
`
	names := ""
	for i, rest := range rests {
		f += fmt.Sprintf("  rest-%d: {%s, rated: 2 t}\n", i, rest)
		names += fmt.Sprintf("rest-%d, ", i)
	}
	if len(rests) == 0 {
		f += "  none: {ties: [arm], to: frame}\n"
	}
	return f + "moves: {rest: {kind: rest, steps: [{name: corners hang, supports: [fl, fr, rl, rr], restraints: [" + names + "]}]}}\n"
}

// A corner that hung in droop, and an upright without its toe link, were no equilibrium: they
// rest against what the file names. By hand the strap 300 mm behind the hinge pulls with
// (8 kg · 200 + 12 kg · 400) ÷ 300 · g = 209 N.
func TestWhatHangsRestsAgainstItsStop(t *testing.T) {
	const (
		strap = "kind: droop strap, ties: [arm], to: frame, at: [-300, 500, 300], to_at: [-300, 500, 600]"
		below = "kind: stop, ties: [arm], to: frame, at: [-300, 500, 290], to_at: [-300, 500, 250]"
		above = "kind: stop, ties: [arm], to: frame, at: [-300, 500, 310], to_at: [-300, 500, 350]"
		left  = "kind: stop, ties: [upright], to: frame, at: [2000, 650, 300], to_at: [1950, 650, 300]"
		right = "kind: stop, ties: [upright], to: frame, at: [2000, 650, 300], to_at: [2050, 650, 300]"
	)
	for name, test := range map[string]struct {
		rests  []string
		stands bool
	}{
		"nothing":                   {nil, false},
		"strap and both locks":      {[]string{strap, left, right}, true},
		"droop stop and both locks": {[]string{below, left, right}, true},
		"bump stop":                 {[]string{above, left, right}, false},
		"one lock":                  {[]string{strap, left}, false},
	} {
		_, stopped := stops(t, droop(test.rests...))["equilibrium"]
		assert.Equal(t, !test.stands, stopped, name)
	}
	assert.Equal(t, verdict.NotRecorded, stops(t, droop("kind: droop strap, ties: [arm], to: frame", left, right))["strap-holds"], "its points are asked")
	b, err := model.Read("test.yaml", []byte(droop(strap, left, right)), model.Companions{})
	require.NoError(t, err)
	loads := map[string]float64{}
	for _, s := range judge(t, rules(t), b).Moves[0].Steps[0].Strengths {
		loads[s.Item] = s.Load.Value
	}
	assert.InDelta(t, 209, loads["rest-0"], 5, "and a little for the push")
}

// With its strut out beside its droop strap a corner was stopped, for the strut was taken as there and
// missed. It hangs in its strap, that has to bear it; what nothing holds instead stays asked for.
func TestCornerHangsWithItsStrutOut(t *testing.T) {
	const (
		strap  = "{ties: [fl-lower-arm], to: frame, kind: droop strap, rated: 500 kg, at: [2305, 480, 170], to_at: [2300, 265, 495], found: {fitted: yes, sound: yes, length: 390 mm, on: 2026-11-25, by: RT}}"
		within = "{ties: [fl-upright], to: frame, kind: stop, rated: 500 kg, at: [2180, 592, 203], to_at: [2180, 560, 203], found: {fitted: yes, sound: yes, on: 2026-11-25, by: RT}}"
		beyond = "{ties: [fl-upright], to: frame, kind: stop, rated: 500 kg, at: [2180, 592, 203], to_at: [2180, 620, 203], found: {fitted: yes, sound: yes, on: 2026-11-25, by: RT}}"
	)
	text, err := os.ReadFile("../../testdata/builds/special-mended.yaml")
	require.NoError(t, err)
	found := func(root *yaml.Node, kind, id, fact, value string) {
		put(child(child(child(root, kind), id), "found"), fact, parseFlow(value))
	}
	strutOut := func(root *yaml.Node) { found(root, "links", "fl-strut", "fitted", "no") }
	for name, test := range map[string]struct {
		change  func(root *yaml.Node)
		rests   []string
		stopped string // by this rule; "" is GO with the caution
		move    string // "" is hanging, off the table
	}{
		"in its strap":            {strutOut, []string{strap}, "", ""},
		"its bolt out":            {func(root *yaml.Node) { found(root, "fasteners", "fl-strut-bottom-bolt", "fitted", "no") }, []string{strap}, "", ""},
		"on a droop stop":         {strutOut, []string{strings.NewReplacer("droop strap", "stop", "480, 170", "480, 130", "265, 495", "480, 60").Replace(strap)}, "", ""},
		"toe link out too":        {func(root *yaml.Node) { strutOut(root); found(root, "links", "fl-toe", "fitted", "no") }, []string{strap, within, beyond}, "", ""},
		"one lock":                {func(root *yaml.Node) { found(root, "links", "fl-toe", "fitted", "no") }, []string{within}, "toe-link-fitted", ""},
		"nothing":                 {strutOut, nil, "link-fitted", ""},
		"a strap that pulls down": {strutOut, []string{strings.NewReplacer("265, 495", "480, 60").Replace(strap)}, "link-fitted", ""},
		"a strap on one side":     {func(root *yaml.Node) { strutOut(root); found(root, "links", "fr-strut", "fitted", "no") }, []string{strap}, "link-fitted", ""},
		"written the other way":   {strutOut, []string{"{ties: [frame], to: fl-lower-arm, kind: droop strap, rated: 500 kg, at: [2300, 265, 495], to_at: [2305, 480, 170], found: {fitted: yes, sound: yes, length: 390 mm, on: 2026-11-25, by: RT}}"}, "", ""},
		"a strap on two parts":    {strutOut, []string{strings.Replace(strap, "[fl-lower-arm]", "[fl-lower-arm, fl-upright]", 1)}, "stop-on-one-part", ""},
		"a slack strap":           {strutOut, []string{strings.Replace(strap, "390 mm", "402 mm", 1)}, "droop-strap-length", ""},
		"a strap two metres up":   {strutOut, []string{strings.NewReplacer("480, 170", "480, 2170", "265, 495", "265, 2495").Replace(strap)}, "end-past-part", ""},
		"a strap to a hoop":       {strutOut, []string{strings.NewReplacer("265, 495", "480, 900", "390 mm", "730 mm").Replace(strap)}, "", ""},
		"a toe link under the seat": {func(root *yaml.Node) {
			ends := child(child(child(root, "links"), "fl-toe"), "ends")
			put(child(ends, "inner"), "at", parseFlow("[190, 245, 195]"))
			put(child(ends, "outer"), "at", parseFlow("[180, 592, 203]"))
		}, nil, "end-past-part", "onto-hub-stands"},
		"a weak strap":              {strutOut, []string{strings.Replace(strap, "500 kg", "30 kg", 1)}, "strap-rating", ""},
		"down on its bump stop":     {strutOut, []string{strap, strings.NewReplacer("droop strap", "stop", "500 kg", "2 t", "2305, 480, 170", "2300, 500, 172", "2300, 265, 495", "2300, 500, 232").Replace(strap)}, "link-fitted", "onto-hub-stands"},
		"a strap that is not there": {strutOut, []string{strings.Replace(strap, "fitted: yes", "fitted: no", 1)}, "strap-fitted", ""},
	} {
		root, moved := parse(t, text), cmp.Or(test.move, "off-table-hanging")
		test.change(root)
		names := "[]"
		for i, rest := range test.rests {
			id := fmt.Sprintf("rest-%d", i)
			put(child(root, "restraints"), id, parseFlow(rest))
			names = strings.Replace(names, "]", id+", ]", 1)
		}
		for _, step := range child(child(child(root, "moves"), moved), "steps").Content {
			put(step, "restraints", parseFlow(names))
		}
		b, err := model.Read("test.yaml", []byte(documentOf(t, root).String()), model.Companions{})
		require.NoError(t, err, name)
		i := slices.IndexFunc(b.Of("moves"), func(m *model.Item) bool { return m.ID == moved })
		got := map[string]verdict.Outcome{}
		move := judge(t, rules(t), b).Moves[i]
		for _, f := range move.Findings {
			got[f.Rule] = f.Outcome
		}
		if test.stopped == "" {
			assert.Equal(t, verdict.Go, move.Decision, "%s: %v", name, said(move.Findings))
			assert.Equal(t, verdict.Caution, got["rests-instead"], name)
			continue
		}
		assert.Equal(t, verdict.NoGo, move.Decision, name)
		assert.Equal(t, verdict.Stop, got[test.stopped], "%s: %v", name, said(move.Findings))
	}
}

// An axle without its struts hangs in two straps, all of its links on it.
func TestAxleHangsInStraps(t *testing.T) {
	file := func(straps string) string {
		f := strings.NewReplacer("under: axle, at: [0, ", "under: frame, at: [100, ").Replace(liveAxle(0, "", true))
		f = strings.ReplaceAll(f, ": {ends:", ": {found: {fitted: yes}, ends:")
		f = strings.ReplaceAll(f, "-strut: {found: {fitted: yes}", "-strut: {found: {fitted: no}")
		f = strings.Replace(f, "supports: [fl, fr, rl, rr]}", "supports: [fl, fr, rl, rr], restraints: ["+straps+"]}", 1)
		return f + "restraints:\n" +
			"  left: {kind: droop strap, ties: [axle], to: frame, rated: 2 t, at: [0, 400, 330], to_at: [0, 400, 700]}\n" +
			"  right: {kind: droop strap, ties: [axle], to: frame, rated: 2 t, at: [0, -400, 330], to_at: [0, -400, 700]}\n"
	}
	both := stops(t, file("left, right"))
	assert.NotContains(t, both, "equilibrium")
	assert.NotContains(t, both, "located")
	assert.NotContains(t, both, "link-fitted")
	assert.Equal(t, verdict.Stop, stops(t, file("left"))["link-fitted"], "it hangs on one side")
	assert.Equal(t, verdict.Stop, stops(t, file(""))["link-fitted"])
}

// A wheel that was free on its bearing took no push, chocked as it was: no vehicle stood on its wheels
// without its brakes. Chocks hold it; in a roll nothing has to.
func TestFreeWheelsStandOnTheirChocks(t *testing.T) {
	text, err := os.ReadFile("../../testdata/builds/special-mended.yaml")
	require.NoError(t, err)
	stopped := func(move, chocked string) map[string]verdict.Outcome {
		root := parse(t, text)
		for _, corner := range []string{"fl", "fr", "rl", "rr"} {
			hub := child(child(root, "joints"), corner+"-wheel-face")
			if corner[1] == 'l' {
				for name, value := range map[string]string{"kind": "long bearing", "swings": "yes", "bush": "none", "static_rating": "20 kN", "axial_rating": "6 kN", "spread": "60 mm"} {
					put(hub, name, parseFlow(value))
				}
			}
			put(child(hub, "found"), "kept", parseFlow("yes"))
			put(child(hub, "found"), "bush_fitted", parseFlow("yes"))
			put(child(child(child(root, "supports"), corner+"-contact"), "found"), "chocked", parseFlow(chocked))
		}
		b, err := model.Read("test.yaml", []byte(documentOf(t, root).String()), model.Companions{})
		require.NoError(t, err)
		i := slices.IndexFunc(b.Of("moves"), func(m *model.Item) bool { return m.ID == move })
		list := map[string]verdict.Outcome{}
		for _, f := range judge(t, rules(t), b).Moves[i].Findings {
			if f.Outcome == verdict.Stop || f.Outcome == verdict.NotRecorded {
				list[f.Rule] = f.Outcome
			}
		}
		return list
	}
	assert.Empty(t, stopped("onto-wheels", "yes"))
	free := stopped("onto-wheels", "no")
	assert.Equal(t, verdict.Stop, free["equilibrium"])
	assert.Equal(t, verdict.Stop, free["wheel-chocked"])
	rolls := stopped("roll-out", "no")
	assert.NotContains(t, rolls, "equilibrium")
	assert.NotContains(t, rolls, "slides")
}

// A door on two hinges turns, and may when that is written down; what its weight turns is spoken of.
func TestDoorOnItsHinges(t *testing.T) {
	file := func(axis, swings string) *model.Build {
		hinge := func(id string, z int) string {
			return fmt.Sprintf("  %s: {kind: pivot, between: [engine, frame], at: [1500, 400, %d], axis: [%s]%s}\n", id, z, axis, swings)
		}
		f := strings.Replace(hanging(hinge("upper", 500)+hinge("lower", 300), "", "", ""), "role: drivetrain", "role: body", 1)
		b, err := model.Read("test.yaml", []byte(f), model.Companions{})
		require.NoError(t, err)
		return b
	}
	found := func(b *model.Build) map[string]verdict.Outcome {
		list := map[string]verdict.Outcome{}
		for _, f := range judge(t, rules(t), b).Moves[0].Findings {
			list[f.Rule] = f.Outcome
		}
		return list
	}
	assert.Equal(t, verdict.Stop, found(file("0, 0, 1", ""))["equilibrium"])
	door := found(file("0, 0, 1", ", swings: yes"))
	assert.NotContains(t, door, "equilibrium")
	assert.NotContains(t, door, "swings-down")
	assert.Equal(t, verdict.Stop, found(file("0, 1, 0", ", swings: yes"))["equilibrium"], "no hinge lies along it")
}

// sliding is a frame on three stands and on a stand under an upright that slides on a pillar, steered by
// a rack; some of its links are left out.
func sliding(without ...string) string {
	links := map[string]string{
		"bar":    "{ends: {top: {on: frame, at: [2000, 600, 700]}, bottom: {on: upright, at: [2000, 600, 350]}}}",
		"rod":    "{ends: {inner: {on: rack, at: [1900, 300, 300]}, outer: {on: upright, at: [1900, 600, 300]}}}",
		"column": "{ends: {on-rack: {on: rack, at: [1900, 100, 300]}, on-frame: {on: frame, at: [1900, -300, 300]}}}",
	}
	f := `format: setdown/1
parts:
  frame: {mass: 300 kg ± 5 kg, cg: [900, 100, 400], role: frame}
  rack: {mass: 3 kg ± 0.5 kg, cg: [1900, 0, 300], role: other}
  upright: {mass: 12 kg ± 1 kg, cg: [2000, 640, 300], role: upright}
joints:
  pillar: {kind: slider, between: [upright, frame], at: [2000, 600, 300], axis: [0, 0, 1]}
  housing: {kind: rack, between: [rack, frame], at: [1900, 0, 300], axis: [0, 1, 0]}
supports:
  fl: {kind: stand, under: upright, at: [2000, 640, 200], height: 250 mm}
  fr: {kind: stand, under: frame, at: [2000, -400, 200], height: 250 mm}
  rl: {kind: stand, under: frame, at: [0, 400, 200], height: 250 mm}
  rr: {kind: stand, under: frame, at: [0, -400, 200], height: 250 mm}
moves: {rest: {kind: rest, steps: [{name: on its pillar, supports: [fl, fr, rl, rr]}]}}
links:
`
	for _, id := range []string{"bar", "rod", "column"} {
		if !slices.Contains(without, id) {
			f += "  " + id + ": " + links[id] + "\n"
		}
	}
	return f
}

// Nothing could slide: a pillar, a damper's rod and a rack are held across their axis and not
// along it, a pillar not about it either. What holds these is missed when it is left out.
func TestWhatSlidesIsHeldByItsLinks(t *testing.T) {
	assert.NotContains(t, stops(t, sliding()), "equilibrium")
	assert.Contains(t, stops(t, sliding("bar")), "equilibrium", "the pillar slides down")
	assert.Contains(t, stops(t, sliding("rod")), "equilibrium", "the upright turns on its pillar")
	assert.Contains(t, stops(t, sliding("column")), "equilibrium", "the rack slides and the upright turns")

	// A strut: the upright is one with its tube, the rod slides in it and turns, its top is a ball,
	// a bar stands in for its spring.
	strut := strings.NewReplacer(
		"parts:\n", "parts:\n  damper-rod: {mass: 1 kg ± 0.1 kg, cg: [2000, 600, 600], role: other}\n",
		"pillar: {kind: slider, between: [upright, frame], at: [2000, 600, 300]", "piston: {kind: slider, between: [upright, damper-rod], at: [2000, 600, 450]",
		"  housing:", "  top: {kind: ball joint, between: [damper-rod, frame], at: [2000, 600, 800]}\n  lower: {kind: ball joint, between: [upright, arm], at: [2000, 600, 200]}\n"+
			"  arm-front: {kind: bush, between: [arm, frame], at: [2150, 250, 200]}\n  arm-rear: {kind: bush, between: [arm, frame], at: [1850, 250, 200]}\n  housing:",
		"  rack: {mass", "  arm: {mass: 3 kg ± 0.5 kg, cg: [2000, 450, 200], role: arm}\n  rack: {mass",
	)
	assert.NotContains(t, stops(t, strut.Replace(sliding())), "equilibrium")
	assert.Contains(t, stops(t, strut.Replace(sliding("bar"))), "equilibrium", "the rod slides in")
	assert.Contains(t, stops(t, strut.Replace(sliding("rod"))), "equilibrium", "it turns about its steering axis")
}

// A bolt in single shear bent only where a set of spacers was listed: out of one tab it carries
// in the middle of the ball, whatever is listed. By hand for an M10 8.8 7 mm from its tab under some
// 2 kN: 14 N·m · 3 against 38 N·m of its root; an M16 11.2 mm from it 22 N·m · 3 against 165 N·m.
func TestSingleShearBendsItsBolt(t *testing.T) {
	file := func(thread, shear, more string) string {
		const hinge = "  inner: {kind: bush, between: [arm, frame], at: [0, 350, 300], axis: [0, 1, 0]}\n  outer: {kind: bush, between: [arm, frame], at: [0, 550, 300], axis: [0, 1, 0]}\n" +
			"  hub: {kind: bolted face, between: [wheel, arm], at: [-400, 560, 300]}"
		f := strings.Replace(trailingArm(hinge), "at: [-250, 450, 700]}", "at: [-250, 450, 700], axis: [0, 1, 0], shear: "+shear+"}", 1)
		return f + "fasteners:\n  pin: {holds: [bar/top], role: pivot, thread: " + thread + `, class: "8.8", found: {fitted: yes, class_mark: "8.8", tightness: torqued}}` + "\n" + more
	}
	assert.Equal(t, verdict.Stop, stops(t, file("M10x1.5", "single", ""))["bolt-bending"])
	assert.Equal(t, verdict.Stop, stops(t, file("M10x1.5", "single", "spacers:\n  washer: {holds: [bar/top], needed: 1, stack: {ball_width: 14 mm, each: 0.5 mm}, found: {fitted: 1}}\n"))["bolt-bending"])
	assert.NotContains(t, stops(t, file("M16x2", "single", "")), "bolt-bending")
	assert.NotContains(t, stops(t, file("M10x1.5", "double", "")), "bolt-bending")
}

// A perch that bears by contact passed while it was pulled off its axle. A box hangs below a
// frame by its perch, or stands on it.
func TestPulledPerchIsItsWeld(t *testing.T) {
	file := func(z, made, bolts string) string {
		axle := strings.NewReplacer("cg: [1000, 0, 500]", "cg: [1000, 0, "+z+"]", "role: drivetrain", "role: axle")
		return axle.Replace(hanging("  perch: {kind: welded face, between: [engine, frame], at: [1000, 0, 300]}", bolts, "", "")) +
			"welds: {perch-weld: {holds: [perch], role: perch, bears_by_contact: yes, found: {made: " + made + "}}}\n"
	}
	assert.Equal(t, verdict.Stop, stops(t, file("100", "tack", ""))["perch-pulled"], "it hangs on tacks")
	assert.NotContains(t, stops(t, file("500", "tack", "")), "perch-pulled", "it is pressed on")
	assert.NotContains(t, stops(t, file("100", "tack", "  bolts: {holds: [perch], found: {fitted: yes, tightness: torqued}}")), "perch-pulled", "bolts hold it")
}

// Tyres that are let down without rolling hold each other across as springs give; on rigid bars
// nothing gives.
func TestTyresScrubAsSpringsGive(t *testing.T) {
	scrubs := func(b *model.Build) bool {
		for _, m := range judge(t, rules(t), b).Moves {
			for _, step := range m.Steps {
				if slices.ContainsFunc(step.Loads, func(l verdict.Load) bool { return strings.Contains(l.Case, "tyres scrubbing") }) {
					return true
				}
			}
		}
		return false
	}
	assert.True(t, scrubs(sprungBuild(t)))
	rigid, err := model.Load("../../testdata/builds/special-mended.yaml")
	require.NoError(t, err)
	assert.False(t, scrubs(rigid))
}

// TestPulledAtItsHub pulls at the hub of a corner on which no wheel is drawn. By hand: up at the hub, 950 mm from the
// right stands, tips a frame of 170 kg, 250 mm from them, and an arm of 10 kg, 650 mm from them, with
// (170 · 250 + 10 · 650)·g ÷ 950 = 506 N; down on a bar of 0.6 m, 1050 mm outside the left stands, with
// (170 · 250 − 10 · 150)·g ÷ 1050 = 383 N.
func TestPulledAtItsHub(t *testing.T) {
	file := func(arm, move, frame string) string {
		return `format: setdown/1
parts:
  frame: {mass: ` + frame + `, cg: [1000, 0, 400], role: frame}
  corner: {mass: 10 kg, cg: [250, 400, 300], ` + arm + `}
joints:
  inner: {kind: bush, between: [corner, frame], at: [500, 250, 300]}
  outer: {kind: bush, between: [corner, frame], at: [500, 450, 300]}
links:
  bar: {ends: {top: {on: frame, at: [200, 400, 600]}, bottom: {on: corner, at: [200, 400, 300]}}}
supports:
  fl: {kind: stand, under: frame, at: [2000, 250, 200]}
  fr: {kind: stand, under: frame, at: [2000, -250, 200]}
  rl: {kind: stand, under: frame, at: [0, 250, 200]}
  rr: {kind: stand, under: frame, at: [0, -250, 200]}
restraints:
  strap: {ties: [corner], to: frame, kind: ratchet strap, rated: 500 kg, at: [100, 400, 300], to_at: [100, 400, 600]}
moves:
  rest: {kind: rest, ` + move + `steps: [{name: on stands, supports: [fl, fr, rl, rr]` + map[bool]string{true: ", restraints: [strap]"}[strings.Contains(arm, "upright")] + `}]}
`
	}
	pulled := func(file string) (newtons float64, findings map[string]verdict.Outcome) {
		b, err := model.Read("test.yaml", []byte(file), model.Companions{})
		require.NoError(t, err)
		return judge(t, rules(t), b).Moves[0].Steps[0].Stability.Pulls.Tips.Force.Value, stops(t, file)
	}
	const hub = ", hub: [0, 700, 300]"
	_, found := pulled(file("role: arm", "", "170 kg"))
	assert.Equal(t, verdict.NotRecorded, found["pull-tips"], "an arm whose wheel nobody lists")
	_, found = pulled(file("place: rear-left", "", "170 kg"))
	assert.Equal(t, verdict.NotRecorded, found["pull-tips"], "what may be such an arm, for nobody wrote what it is")
	// What an anti-roll bar joins it to on the other side is no wheel of its own.
	barred := strings.NewReplacer("joints:\n", `  right: {mass: 10 kg, cg: [250, -400, 300], role: upright, hub: [0, -700, 300]}
joints:
  rinner: {kind: bush, between: [right, frame], at: [500, -250, 300]}
  router: {kind: bush, between: [right, frame], at: [500, -450, 300]}
`, "links:\n", "links:\n  right-bar: {ends: {top: {on: frame, at: [200, -400, 600]}, bottom: {on: right, at: [200, -400, 300]}}}\n  roll: {role: anti-roll, ends: {left: {on: corner, at: [250, 350, 300]}, right: {on: right, at: [250, -350, 300]}}}\n")
	_, found = pulled(barred.Replace(file("role: arm", "", "170 kg")))
	assert.Equal(t, verdict.NotRecorded, found["pull-tips"], "joined to an upright by an anti-roll bar alone")
	force, found := pulled(file("role: arm"+hub, "", "170 kg"))
	assert.InDelta(t, 383, force, 1)
	assert.Equal(t, verdict.Stop, found["pull-tips"])
	force, found = pulled(file("role: arm"+hub, "hard_pull: no, ", "170 kg"))
	assert.InDelta(t, 506, force, 1)
	assert.NotContains(t, found, "pull-tips")
	_, found = pulled(file("role: other", "", "170 kg"))
	assert.NotContains(t, found, "pull-tips", "nothing says that a wheel goes there")
	_, found = pulled(file("role: other", "", "170 kg") + "brakes: {drum: {on: corner}}\n")
	assert.Equal(t, verdict.NotRecorded, found["pull-tips"], "it has a brake")

	// A light frame: by hand (130 · 250 + 10 · 650)·g ÷ 950 = 403 N up at the hub. Nobody lifts there where it is tied
	// up without its wheel and nobody pulls hard; where nobody said so, or it is free to be worked on, somebody may.
	for name, c := range map[string]struct {
		arm, move string
		want      verdict.Outcome
	}{
		"tied up, no hard pull":    {"role: upright" + hub, "hard_pull: no, ", ""},
		"tied up, a hard pull":     {"role: upright" + hub, "hard_pull: yes, ", verdict.Stop},
		"tied up, nobody said":     {"role: upright" + hub, "", verdict.Stop},
		"not tied, no hard pull":   {"role: arm" + hub, "hard_pull: no, ", verdict.Stop},
		"nobody wrote where it is": {"role: arm", "hard_pull: no, ", verdict.NotRecorded},
	} {
		_, found := pulled(file(c.arm, c.move, "130 kg"))
		assert.Equal(t, c.want, found["pull-tips"], name)
	}
}

// A stand under the plate of a leaf's U-bolts, where an axle on leaves is held up as a rule, was an error of input when it
// said that it bears on the axle, and a stop otherwise. Beside the clamp the leaf bends, and it stays one (`model` TestMistakesAreSaidWithTheirPlace).
func TestStandUnderASpringPlate(t *testing.T) {
	b, err := model.Load("../../testdata/builds/liveaxle-mended.yaml")
	require.NoError(t, err)
	for _, corner := range []string{"fl", "fr"} {
		b.Item(corner+"-axle-stand").Set("under", schema.Value{V: corner + "-spring"})
	}
	move := judge(t, rules(t), b, "onto-axle-stands").Moves[0]
	require.Equal(t, verdict.Go, move.Decision, "%v", said(move.Findings))
	last := move.Steps[len(move.Steps)-1]
	i := slices.IndexFunc(last.Supports, func(r verdict.Reaction) bool { return r.ID == "fl-axle-stand" })
	require.Greater(t, last.Supports[i].Even.Value, 100., "kg")
}
