package facts_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"

	"setdown/rules/facts"
)

// with changes the trailer: each pair is a piece of its text and what stands there
// instead.
func with(t *testing.T, pairs ...string) *facts.Set {
	t.Helper()
	file := strings.Replace(trailer, "RESTRAINTS", "", 1)
	for i := 0; i < len(pairs); i += 2 {
		require.Contains(t, file, pairs[i])
		file = strings.Replace(file, pairs[i], pairs[i+1], 1)
	}
	return steps(t, file)[0]
}

func value(t *testing.T, o *facts.Object, name string) float64 {
	t.Helper()
	q, unknown := o.Quantity(name)
	require.Nil(t, unknown, "%s.%s: %+v", o.Path, name, unknown)
	return q.Value
}

// TestStrapFromAboveCarriesNoVehicle ties a box that is welded to the frame down to
// the arm that stands on the crib. Tied so, the strap would take over what the bar
// carries, as if it could push.
func TestStrapFromAboveCarriesNoVehicle(t *testing.T) {
	s := with(t,
		"joints:\n", "  box: {mass: 1 kg, cg: [-300, 0, 600], role: body}\njoints:\n  box-weld: {kind: welded face, between: [box, frame], at: [-300, 0, 600]}\n",
		"ties: [arm], to: frame", "ties: [box], to: arm",
		"under-arm]", "under-arm], restraints: [strap]")
	require.Equal(t, "falls", text(t, item(t, s, "links", "bar"), "lets_go"))
	require.Equal(t, "false", text(t, item(t, s, "restraints", "strap"), "used"))
}

// TestTiedToSubframe lets the arm hang from a subframe that stands on a support
// itself. It is bolted to the frame, so the strap need not carry what the stand does.
func TestTiedToSubframe(t *testing.T) {
	s := with(t,
		"joints:\n", "  sub: {mass: 4 kg, cg: [-300, 0, 600], role: frame}\njoints:\n  sub-bolts: {kind: bolted face, between: [sub, frame], at: [-300, 0, 600]}\n",
		"under: arm, at: [-600, 0, 300]", "under: sub, at: [-600, 0, 300]",
		"ties: [arm], to: frame", "ties: [arm], to: sub",
		"under-arm]", "under-arm], restraints: [strap]")
	require.Equal(t, "true", text(t, item(t, s, "restraints", "strap"), "used"))
}

// bolts writes the fasteners of the trailer.
func bolts(list ...string) []string {
	spec := `shear_planes: 2, thread: M10x1.5, found: {fitted: yes, class_mark: "8.8"`
	return []string{"supports:\n", "fasteners:\n" + strings.ReplaceAll(strings.Join(list, ""), "SPEC", spec) + "supports:\n"}
}

// TestSharedBolts lists the bolts of both pivots as one item of two, and as one
// long bolt. Two bolts bear one pivot each, the long bolt bears both.
func TestSharedBolts(t *testing.T) {
	apart := with(t, bolts("  a: {holds: [pivot-left], SPEC}}\n", "  b: {holds: [pivot-right], SPEC}}\n")...)
	worst := max(value(t, item(t, apart, "fasteners", "a"), "shear_utilisation"), value(t, item(t, apart, "fasteners", "b"), "shear_utilisation"))
	require.Positive(t, worst)
	pair := with(t, bolts("  a: {holds: [pivot-left, pivot-right], needed: 2, SPEC, count: 2}}\n")...)
	require.InDelta(t, worst, value(t, item(t, pair, "fasteners", "a"), "shear_utilisation"), 1e-9)
	long := with(t, bolts("  a: {holds: [pivot-left, pivot-right], SPEC}}\n")...)
	require.InDelta(t, 2*worst, value(t, item(t, long, "fasteners", "a"), "shear_utilisation"), 1e-9)
}

// TestBoltUnderSupport has a bolt that holds what a stand bears on: the whole push of
// the stand goes over it.
func TestBoltUnderSupport(t *testing.T) {
	s := with(t, bolts("  pad: {holds: [left], SPEC}}\n")...)
	pad := item(t, s, "fasteners", "pad")
	require.Equal(t, "true", text(t, pad, "suspension"), "the strength of what the vehicle stands on is asked for")
	// Two planes of M10 at the root, 8.8: 2 · 640 MPa / √3 · π/4 · 8.16² mm².
	root := 10 - 1.22687*1.5
	bears := 2 * 640 / math.Sqrt(3) * math.Pi / 4 * root * root
	require.InDelta(t, 3*value(t, pad, "load")/bears, value(t, pad, "shear_utilisation"), 1e-6)
}

// TestThinnerBoltFound gauges an M6 where the file asks for an M10.
func TestThinnerBoltFound(t *testing.T) {
	drawn := with(t, bolts("  a: {holds: [pivot-left], SPEC}}\n")...)
	found := with(t, bolts("  a: {holds: [pivot-left], SPEC, thread_read: M6x1}}\n")...)
	was, is := value(t, item(t, drawn, "fasteners", "a"), "shear_utilisation"), value(t, item(t, found, "fasteners", "a"), "shear_utilisation")
	rootDrawn, rootFound := 10-1.22687*1.5, 6-1.22687
	require.InDelta(t, was*rootDrawn*rootDrawn/rootFound/rootFound, is, 1e-9)
	thicker := with(t, bolts("  a: {holds: [pivot-left], SPEC, thread_read: M12x1.75}}\n")...)
	require.InDelta(t, was, value(t, item(t, thicker, "fasteners", "a"), "shear_utilisation"), 1e-12, "a thicker bolt is not counted on")
}

// TestMatingPairOfAnotherThread gauges a bolt and a nut that fit each other and not
// the thread asked for: changing the second as well makes nothing better.
func TestMatingPairOfAnotherThread(t *testing.T) {
	for gauged, want := range map[string]string{
		"thread_read: M10x1.5, nut_thread: M10x1.5": "false",
		"thread_read: M10x1.5, nut_thread: M7x1":    "true",
		"thread_read: M7x1, nut_thread: M7x1":       "true",
		"thread_read: M7x1":                         "true",
		"nut_thread: M7x1":                          "true",
	} {
		s := with(t, bolts("  a: {holds: [pivot-left], SPEC, "+gauged+"}}\n")...)
		require.Equal(t, want, text(t, item(t, s, "fasteners", "a"), "mismatched"), gauged)
	}
}

// TestWeldTurnedAnyWay forgets how the lines of a weld lie. It may then bear no more
// than with the lines turned any way, slanting ones too.
func TestWeldTurnedAnyWay(t *testing.T) {
	bears := func(directions string) float64 {
		s := with(t, "supports:\n", "welds:\n  bracket: {holds: [pivot-left], found: {made: full}, base: {material: S355, thickness: 3 mm}, "+
			"fillet: {leg: 4 mm, length: 80 mm, layout: rectangle, width: 20 mm, filler: ER70S-6, centre: [20, 330, 310]"+directions+"}}\nsupports:\n")
		return value(t, item(t, s, "welds", "bracket"), "utilisation")
	}
	unknown := bears("")
	r := rand.New(rand.NewPCG(3, 1))
	most := 0.0
	for range 200 {
		a := r3.Unit(r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()})
		n := r3.Cross(a, r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()})
		most = max(most, bears(fmt.Sprintf(", along: [%f, %f, %f], normal: [%f, %f, %f]", a.X, a.Y, a.Z, n.X, n.Y, n.Z)))
	}
	require.LessOrEqual(t, most, unknown)
	require.Greater(t, most, 0.8*unknown, "the bound is a close one")
	level := max(bears(", along: [1, 0, 0], normal: [0, 0, 1]"), bears(", along: [0, 1, 0], normal: [0, 0, 1]"),
		bears(", along: [1, 0, 0], normal: [0, 1, 0]"), bears(", along: [0, 0, 1], normal: [0, 1, 0]"),
		bears(", along: [0, 1, 0], normal: [1, 0, 0]"), bears(", along: [0, 0, 1], normal: [1, 0, 0]"))
	require.Greater(t, most, level, "the axes of the vehicle alone are not the worst")
}

// TestBracketHoldsNoBolt lists the weld of a bracket and forgets the bolt in it.
func TestBracketHoldsNoBolt(t *testing.T) {
	s := with(t, "supports:\n", "welds:\n  bracket: {holds: [pivot-left, bar/top], found: {made: full}}\nsupports:\n")
	require.Equal(t, "false", text(t, item(t, s, "joints", "pivot-left"), "held"))
	require.Equal(t, "false", text(t, item(t, s, "links", "bar"), "held"))
	s = with(t, bolts("  a: {holds: [pivot-left, bar/top, bar/bottom], SPEC}}\n")...)
	require.Equal(t, "true", text(t, item(t, s, "joints", "pivot-left"), "held"))
	require.Equal(t, "true", text(t, item(t, s, "links", "bar"), "held"))
}

// boom welds a boom of 20 kg to the frame, its weight 1 m to the left of two lines
// of weld along x that are 6 mm apart, one on each side of a plate.
func boom(t *testing.T, found string) *facts.Object { return boomOn(t, "[1, 0, 0]", found) }

// boomOn is the same on lines that run that way.
func boomOn(t *testing.T, along, found string) *facts.Object {
	t.Helper()
	s := with(t,
		"joints:\n", "  boom: {mass: 20 kg, cg: [1000, 1000, 500], role: body}\njoints:\n  boom-face: {kind: welded face, between: [boom, frame], at: [1000, 0, 500]}\n",
		"supports:\n", `welds:
  boom-weld:
    {holds: [boom-face], fillet: {leg: 4 mm, length: 200 mm, sides: 2, filler: ER70S-6, layout: two lines, width: 6 mm, along: `+along+`, normal: [0, 1, 0], centre: [1000, 0, 500]},
     base: 6 mm S355 plate, found: {made: full`+found+`}}
supports:
`)
	return item(t, s, "welds", "boom-weld")
}

// TestMomentOpensTwoLines retraces the moment that bends a pair of lines about their
// own direction: it becomes a pull in one line and a push in the other.
func TestMomentOpensTwoLines(t *testing.T) {
	moment := 20 * 9.80665 * 1.0 // N·m
	line := moment / 0.006 / 0.1 // N/m
	bears := 0.004 / math.Sqrt2 * 0.75 * 70 * 6.894757293168e6 / math.Sqrt(3)
	require.Greater(t, value(t, boom(t, ""), "utilisation"), 3*line/bears)
}

// TestMomentKeepsItsDirection: the same moment bends two lines that stand upright over their length of 100 mm, as
// 3·M/d² (Shigley, table 9-2), and opens neither; the push, of no more than 15 % where the vehicle twists under it, bends them the other way.
func TestMomentKeepsItsDirection(t *testing.T) {
	weight := 20 * 9.80665
	bears := 0.004 / math.Sqrt2 * 0.75 * 70 * 6.894757293168e6 / math.Sqrt(3)
	level := 3 * weight * 1.0 / .1 / .1
	pushed := .15 * weight * 1.0 / .006 / .1
	use := value(t, boomOn(t, "[0, 0, 1]", ""), "utilisation")
	require.Greater(t, use, 3*level/bears)
	require.Less(t, use, 3*1.02*(level+pushed)/bears)
	require.Less(t, use, value(t, boom(t, ""), "utilisation")/3)
}

// TestWeldAsLaid compares the weld that was measured, not the one that was drawn.
func TestWeldAsLaid(t *testing.T) {
	drawn := value(t, boom(t, ""), "utilisation")
	require.InDelta(t, 2*drawn, value(t, boom(t, ", leg: 2 mm"), "utilisation"), 1e-9, "half the leg bears half")
	require.InDelta(t, drawn, value(t, boom(t, ", leg: 5 mm"), "utilisation"), 1e-9, "a thicker one is not counted on")
	for _, one := range []string{", sides: 1", ", made_length: 100 mm"} {
		o := boom(t, one)
		require.Equal(t, "true", text(t, o, "one_line"))
		_, unknown := o.Quantity("utilisation")
		require.Contains(t, unknown.Reason, "only one of its two lines", "one line beside the load is no half of two")
	}
	require.Equal(t, "false", text(t, boom(t, ", made_length: 120 mm"), "one_line"))
}

// TestTwoFilletsOnOnePlate welds a thin tab on both faces: its one section cannot bear
// what it would bear behind each of two lines on plates of their own.
func TestTwoFilletsOnOnePlate(t *testing.T) {
	bears := func(thickness, width string) float64 {
		s := with(t, "supports:\n", "welds:\n  tab: {holds: [pivot-left], found: {made: full}, base: {material: S235, thickness: "+thickness+"}, "+
			"fillet: {leg: 4 mm, length: 40 mm, layout: two lines, width: "+width+", filler: ER70S-6, along: [0, 0, 1], normal: [0, 1, 0], centre: [0, 300, 300]}}\nsupports:\n")
		tab := item(t, s, "welds", "tab")
		return value(t, tab, "load") / value(t, tab, "utilisation")
	}
	// Without a lever arm the force is spread evenly: a plate in shear bears t·L·S_y/√3,
	// with the design factor of 3.
	shear := 0.0015 * 235e6 / math.Sqrt(3) / 3
	require.InEpsilon(t, 0.020*shear, bears("1.5 mm", "5 mm"), 1e-6, "one section of 20 mm")
	require.InEpsilon(t, 0.040*shear, bears("1.5 mm", "40 mm"), 1e-6, "two tabs, a section each")
}

// TestSupportWeldFeelsThePush hangs the foot of a stand 200 mm below the weld that holds
// it: the sideways push of 5 % bends the weld, though the weight goes straight through.
func TestSupportWeldFeelsThePush(t *testing.T) {
	s := with(t, "supports:\n", "welds:\n  foot: {holds: [left], found: {made: full}, base: {material: S355, thickness: 6 mm}, "+
		"fillet: {leg: 4 mm, length: 80 mm, layout: two lines, width: 20 mm, filler: ER70S-6, along: [1, 0, 0], normal: [0, 0, 1], centre: [2000, 400, 500]}}\nsupports:\n")
	foot := item(t, s, "welds", "foot")
	reaction := value(t, foot, "load")
	line := 0.004 / math.Sqrt2 * 0.75 * 70 * 6.894757293168e6 / math.Sqrt(3)
	straight := reaction / 0.080
	moment := 0.05 * reaction * 0.2 / (0.020 * 0.040) // pushed sideways, across the lines
	// Its share of the push is the least: the two stands alone take the push with a twist, 1 m
	// ahead of the centre of gravity and 0.8 m apart.
	require.Greater(t, value(t, foot, "utilisation"), 3*math.Hypot(straight+moment, 0.05*straight)/line)
	require.Greater(t, moment, 0.5*straight)
}

// TestDoubtfulFaces bolts a box to the frame by two faces, each of which carries it when
// the other is let go. What is not known of both must count like what is known to be
// bad: neither is then shown to hold.
func TestDoubtfulFaces(t *testing.T) {
	carries := func(found string) string {
		s := with(t,
			"joints:\n", "  box: {mass: 1 kg, cg: [1000, 0, 600], role: body}\njoints:\n  face-a: {kind: bolted face, between: [box, frame], at: [1000, 0, 500]}\n  face-b: {kind: bolted face, between: [box, frame], at: [1100, 0, 500]}\n",
			"supports:\n", "fasteners:\n  a: {holds: [face-a], needed: 4, found: "+found+"}\n  b: {holds: [face-b], needed: 4, found: "+found+"}\nsupports:\n")
		return text(t, item(t, s, "fasteners", "a"), "carries")
	}
	require.Equal(t, "nothing", carries("{fitted: yes, count: 4, tightness: torqued}"))
	for _, doubtful := range []string{
		"{fitted: yes, count: 3, tightness: torqued}", "{fitted: yes, tightness: torqued}", "{count: 3, tightness: torqued}",
		"{fitted: yes, count: 4, tightness: loose}", "{fitted: yes, count: 4}", "{fitted: no}", "{}",
	} {
		require.NotEqual(t, "nothing", carries(doubtful), doubtful)
	}
}

// TestHeightsAgainstPitch sets the supports of a step higher at one end or side than the step says.
func TestHeightsAgainstPitch(t *testing.T) {
	tilted := func(says, left, right, crib string) *facts.Object {
		return with(t,
			"name: on three,", "name: on three,"+says,
			"at: [2000, 400, 300], rated", "at: [2000, 400, 300], height: "+left+", rated",
			"at: [2000, -400, 300], rated", "at: [2000, -400, 300], height: "+right+", rated",
			"at: [-600, 0, 300], rated", "at: [-600, 0, 300], height: "+crib+", rated").Step
	}
	contradict := func(left, right, crib string) string {
		return text(t, tilted(" pitch: 0 deg,", left, right, crib), "heights_contradict")
	}
	// Over 2.6 m three degrees are 136 mm, over the 0.8 m between the stands 42 mm.
	require.Equal(t, "false", contradict("400 mm", "400 mm", "300 mm"))
	require.Equal(t, "true", contradict("450 mm", "450 mm", "300 mm"), "3.3° nose up")
	require.Equal(t, "true", contradict("300 mm", "300 mm", "450 mm"), "3.3° nose down")
	require.Equal(t, "true", contradict("350 mm", "300 mm", "325 mm"), "3.6° left side up")

	// A step that says nothing contradicts nothing: so far from level it is asked.
	silent := tilted("", "450 mm", "450 mm", "300 mm")
	_, unknown := silent.Get("heights_contradict")
	require.Equal(t, []string{"moves.rest.steps[on three].pitch"}, unknown.Missing)
	require.Zero(t, value(t, silent, "height_off"))
}

// TestThinnerFilletIsNoStronger lays less than was drawn on both faces of one thin plate.
func TestThinnerFilletIsNoStronger(t *testing.T) {
	last := 0.0
	for _, leg := range []string{"4 mm", "3.5 mm", "3 mm", "2.5 mm", "2.1 mm"} {
		s := with(t, "supports:\n", "welds:\n  tab: {holds: [pivot-left], found: {made: full, leg: "+leg+"}, base: {material: S235, thickness: 2 mm}, "+
			"fillet: {leg: 4 mm, length: 40 mm, layout: two lines, width: 9 mm, filler: ER70S-6, along: [0, 0, 1], normal: [0, 1, 0], centre: [0, 300, 300]}}\nsupports:\n")
		use := value(t, item(t, s, "welds", "tab"), "utilisation")
		require.GreaterOrEqual(t, use, last, leg)
		last = use
	}
}

// TestStrapHoldsWhatHangsOnStraps ties the arm to a bar of its own that is tied to the frame.
func TestStrapHoldsWhatHangsOnStraps(t *testing.T) {
	weigh := func(ties string) float64 {
		file := strings.Replace(trailer, "RESTRAINTS", ", restraints: [strap, outer]", 1)
		file = strings.Replace(file, "at: [-600, 0, 300], rated", "at: [2500, 0, 300], rated", 1)
		file = strings.Replace(file, "under: arm, ", "under: frame, ", 1)
		file = strings.Replace(file, "arm: {mass: 0 kg", "arm: {mass: 10 kg", 1)
		file = strings.Replace(file, "joints:\n", "  box: {mass: 2 kg, cg: [-300, 0, 600], role: body}\njoints:\n", 1)
		file = strings.Replace(file, "  strap: {ties: [arm], to: frame,", ties, 1)
		return value(t, item(t, steps(t, file)[0], "restraints", "outer"), "load")
	}
	spec := "kind: strap, rated: 500 kg, found: {fitted: yes, sound: yes}}\n"
	chain := weigh("  outer: {ties: [box], to: frame, " + spec + "  strap: {ties: [arm], to: box,")
	apart := weigh("  outer: {ties: [box], to: frame, " + spec + "  strap: {ties: [arm], to: frame,")
	require.InDelta(t, 2*2*9.80665, apart, 1e-9, "at 60 degrees from the plumb line")
	require.Greater(t, chain, apart+9.80665)
}

// TestBoltsOfAPartThatIsOff lists eight bolts for two boxes, and takes one box off: the other
// keeps its four.
func TestBoltsOfAPartThatIsOff(t *testing.T) {
	shear := func(off, count, held string) float64 {
		file := strings.Replace(trailer, "RESTRAINTS", off, 1)
		file = strings.Replace(file, "joints:\n", "  box: {mass: 20 kg, cg: [1000, 0, 600], role: body}\n  bag: {mass: 20 kg, cg: [1200, 0, 600], role: body}\njoints:\n"+
			"  box-face: {kind: bolted face, between: [box, frame], at: [1000, 0, 600], axis: [0, 0, 1]}\n  bag-face: {kind: bolted face, between: [bag, frame], at: [1200, 0, 600], axis: [0, 0, 1]}\n", 1)
		file = strings.Replace(file, "supports:\n", "fasteners:\n  bolts: {holds: ["+held+"], critical: yes, needed: "+count+", spread: 60 mm, shear_planes: 1, thread: M8x1.25, found: {fitted: yes, count: "+count+", class_mark: \"8.8\"}}\nsupports:\n", 1)
		return value(t, item(t, steps(t, file)[0], "fasteners", "bolts"), "shear_utilisation")
	}
	alone := shear("", "4", "box-face")
	require.Positive(t, alone)
	require.InDelta(t, alone, shear(", off: [bag]", "8", "box-face, bag-face"), 1e-9)
}

// TestTabHeldForEveryJoint lists a weld for one of the two joints of an entry of bolts.
func TestTabHeldForEveryJoint(t *testing.T) {
	held := func(welds, integral string) string {
		s := with(t, "supports:\n", "welds:\n"+welds+"fasteners:\n  a: {holds: [pivot-left, pivot-right], needed: 2, tab: {thickness: 4 mm"+integral+"}}\nsupports:\n")
		return text(t, item(t, s, "fasteners", "a"), "tab_held")
	}
	left, right := "  left-tab: {holds: [pivot-left]}\n", "  right-tab: {holds: [pivot-right]}\n"
	require.Equal(t, "true", held(left+right, ""))
	require.Equal(t, "false", held(left, ""))
	require.Equal(t, "true", held(left, ", integral: yes"))
	require.Equal(t, "false", held(left, ", integral: no"))
}

// TestStepBetween changes supports that the vehicle cannot do without in between.
func TestStepBetween(t *testing.T) {
	unlifted := func(first, second string) string {
		file := strings.Replace(trailer, "RESTRAINTS", "", 1)
		file = strings.Replace(file, "supports:\n  left:", "supports:\n  jack: {kind: jack, under: frame, at: [2400, 300, 300]}\n  beside: {kind: stand, under: frame, at: [1900, 400, 300]}\n  left:", 1)
		file, _, _ = strings.Cut(file, "steps:")
		file += "steps: [{name: one, supports: [" + first + "]}, {name: two, supports: [" + second + "]}]}\n"
		return text(t, steps(t, file)[1].Step, "unlifted")
	}
	require.Equal(t, "nothing", unlifted("left, right, under-arm", "left, right, under-arm"))
	require.Equal(t, "beside", unlifted("left, right, under-arm", "beside, right, under-arm"), "nothing lifts it")
	require.Equal(t, "nothing", unlifted("left, right, under-arm, jack", "beside, right, under-arm"), "jack, right and arm hold it")
	require.Equal(t, "beside, left", unlifted("jack, right, under-arm", "beside, left"), "on the jack alone it falls")
}

// TestTwistShearsBolts hangs a weight beside a group of four bolts: about their own axis
// the moment shears them, at right angles to it it pulls them.
func TestTwistShearsBolts(t *testing.T) {
	uses := func(axis string) (shear, pull float64) {
		s := with(t,
			"joints:\n", "  box: {mass: 20 kg, cg: [1500, 0, 500], role: body}\njoints:\n  box-face: {kind: bolted face, between: [box, frame], at: [1000, 0, 500], axis: "+axis+"}\n",
			"supports:\n", `fasteners:
  box-bolts: {holds: [box-face], critical: yes, needed: 4, spread: 60 mm, shear_planes: 1, thread_in_shear: yes, thread: M8x1.25, hole: 8.4 mm,
    found: {fitted: yes, count: 4, class_mark: "8.8"}}
supports:
`)
		o := item(t, s, "fasteners", "box-bolts")
		return value(t, o, "shear_utilisation"), value(t, o, "tension_utilisation")
	}
	weight := 20 * 9.80665
	root := 8 - 1.22687*1.25
	bears := 640 / math.Sqrt(3) * math.Pi / 4 * root * root // N in one plane, at the root
	shear, _ := uses("[0, 1, 0]")
	require.Greater(t, shear, 3*(weight*0.5/0.060/2)/bears, "0.5 m beside the middle of two rows of two, 60 mm apart")
	straight, pull := uses("[1, 0, 0]")
	require.Less(t, straight, shear/3)
	require.Greater(t, pull, straight)
}
