package check_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/rules/verdict"
)

// stops lists the rules that stop the only move of a file, or whose answer is missing.
func stops(t *testing.T, file string) map[string]verdict.Outcome {
	t.Helper()
	b, err := model.Read("test.yaml", []byte(file))
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
// parallel (M14). The gains of a trial in numpy: 36, 15, 7.3, 4.9 and 3.7 for 2, 5, 10, 15 and
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

// Heights and slope stood in the file and not in the statics (M1): 75 mm inside was GO. By hand,
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

// The push went to a rolling jack as to anything else (M6). By hand: 0.05 W at the centre of
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

// A bush that nobody listed was made up for by the one that was left (M15): a bush holds one
// point. A wheel on its bearing turned, and nothing could be said against it (W1).
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

// A pushrod in the middle of a lower arm bends it, and no rule spoke of it (M2). By hand: the
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
	assert.NotContains(t, stops(t, file(", section: {od: 60 mm, wall: 5 mm, material: E355, legs: 2}")), "part-bends")
	assert.NotContains(t, stops(t, file(", section: {diameter: 60 mm, material: E355, legs: 2}")), "part-bends", "a solid bar")
	assert.Equal(t, verdict.NotRecorded, stops(t, file(", section: {od: 60 mm, material: E355, legs: 2}"))["part-bends"], "a tube whose wall nobody measured is no bar")

	const was = ", proven: {vehicle: small saloon, axle_load: %d kg, altered: %s}"
	assert.Equal(t, verdict.NotRecorded, stops(t, file(fmt.Sprintf(was, 900, "no")))["part-bends"], "the stand is where its wheel never was")
	hub := strings.NewReplacer("links:", "  hub: {kind: bolted face, between: [wheel, arm], at: [2000, 640, 200]}\nlinks:", "joints:", "  wheel: {mass: 10 kg ± 1 kg, cg: [2000, 660, 200], role: wheel}\njoints:")
	assert.NotContains(t, stops(t, hub.Replace(file(fmt.Sprintf(was, 900, "no")))), "part-bends")
	assert.Equal(t, verdict.Stop, stops(t, hub.Replace(file(fmt.Sprintf(was, 150, "no"))))["part-bends"])
	assert.Equal(t, verdict.NotRecorded, stops(t, hub.Replace(file(fmt.Sprintf(was, 900, "yes"))))["part-bends"], "it was cut")
	assert.Equal(t, verdict.NotRecorded, stops(t, hub.Replace(strings.Replace(file(fmt.Sprintf(was, 900, "no")), ", altered: no", "", 1)))["part-bends"])
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

// A person's pull was nowhere. By hand, tipping about the left stands by whoever stands on a bar
// on the hub: 239 kg · g · 215 mm ÷ (417 + 600) mm = 496 N, on a bar of 1 m 356 N. Pulled level at
// the sill it slides at 0.2 of its weight, 469 N, oily at half of that.
func TestPullOfAPerson(t *testing.T) {
	pulls := func(file string) *verdict.Pulls {
		b, err := model.Read("test.yaml", []byte(file))
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

	assert.NotContains(t, stops(t, engineOut(low, "")), "pull-tips")
	assert.NotContains(t, stops(t, engineOut(low, "")), "pull-slides")
	assert.Equal(t, verdict.Stop, stops(t, engineOut(low, ", bar: 1 m"))["pull-tips"])
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
