package travel_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/schema"
	"setdown/rules/travel"
	"setdown/rules/verdict"
)

const deg = math.Pi / 180

var usual = travel.Options{Droop: 0.04, Bump: 0.04, Good: 0.05 * deg}

func load(t testing.TB, path string, assume ...string) *model.Build {
	t.Helper()
	var list []model.Assumption
	for _, text := range assume {
		a, err := model.ParseAssumption(text)
		require.NoError(t, err)
		list = append(list, a)
	}
	b, err := model.Load(path, list...)
	require.NoError(t, err)
	return b
}

func TestLayouts(t *testing.T) {
	// What each layout does by its kind, whatever its measures: exact.
	type want struct {
		wheels  int
		trouble verdict.TroubleKind
		toe     bool // changes with travel
		camber  bool
		ratio   bool
	}
	layouts := map[string]want{
		"pushrod":           {2, "", true, true, true},
		"strut":             {2, verdict.TravelLocked, false, false, false},
		"strut-slides":      {2, "", true, true, true},
		"trailing-arm":      {2, "", false, false, true},
		"semi-trailing-arm": {2, "", true, true, true},
		"five-link":         {2, "", true, true, true},
		"swing-axle":        {2, "", true, true, true},
		"swing-axle-pivots": {2, "", false, true, true},
		"leaf-live":         {2, verdict.TravelLocked, false, false, false},
		"four-link-panhard": {2, "", false, false, true},
		"four-link-splayed": {2, "", false, false, true},
		"three-link-watt":   {2, "", false, false, true},
		"three-link-a-arm":  {2, "", false, false, true},
		"de-dion":           {2, "", false, false, true},
		"beam-front":        {2, verdict.TravelLocked, false, false, false},
		"swinging-arm":      {1, "", false, false, true},
	}
	files, err := filepath.Glob("testdata/layouts/*.yaml")
	require.NoError(t, err)
	require.Len(t, files, len(layouts))
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".yaml")
		t.Run(name, func(t *testing.T) {
			w, ok := layouts[name]
			require.True(t, ok)
			doc, err := travel.Of(load(t, file), usual)
			require.NoError(t, err)
			require.Len(t, doc.Wheels, w.wheels)
			for _, wheel := range doc.Wheels {
				if w.trouble != "" {
					require.NotNil(t, wheel.Trouble)
					require.Equal(t, w.trouble, wheel.Trouble.Kind)
					continue
				}
				require.Nil(t, wheel.Trouble, "%+v", wheel.Trouble)
				require.Empty(t, wheel.Ends)
				require.Len(t, wheel.Curve, 41)
				require.Len(t, wheel.Rows, 9)
				var toe, camber float64
				for i, p := range wheel.Curve {
					require.InDelta(t, -40+2*float64(i), p.Travel, 1e-6)
					toe, camber = max(toe, math.Abs(p.Toe)), max(camber, math.Abs(p.Camber))
				}
				require.Equal(t, w.toe, toe > 1e-3, "toe changes by %g°", toe)
				require.Equal(t, w.camber, camber > 1e-3, "camber changes by %g°", camber)
				for _, r := range wheel.Rows {
					require.Equal(t, w.ratio, r.MotionRatio != nil)
				}
			}
		})
	}
}

// A Watt's linkage keeps its axle in the middle; a Panhard rod draws it across by
// what its end goes round: L − √(L² − h²), 1.86 mm... worked out from its length.
func TestAcross(t *testing.T) {
	watt, err := travel.Of(load(t, "testdata/layouts/three-link-watt.yaml"), usual)
	require.NoError(t, err)
	for _, p := range watt.Wheels[0].Curve {
		require.InDelta(t, 0, p.HalfTrack, 0.05)
	}
	panhard, err := travel.Of(load(t, "testdata/layouts/four-link-panhard.yaml"), usual)
	require.NoError(t, err)
	const l = 860.0
	for i := range panhard.Wheels[0].Curve {
		left, right := panhard.Wheels[1].Curve[i], panhard.Wheels[0].Curve[i]
		want := l - math.Sqrt(l*l-left.Travel*left.Travel)
		require.InDelta(t, want, left.HalfTrack, 0.02, "to the left, where the rod ends on the frame")
		require.InDelta(t, -left.HalfTrack, right.HalfTrack, 1e-6)
	}
}

// Four links without a Panhard rod are not located, however they are out of parallel
// by what a tape leaves open.
func TestNotLocated(t *testing.T) {
	text, err := os.ReadFile("testdata/layouts/four-link-panhard.yaml")
	require.NoError(t, err)
	lines := strings.Split(string(text), "\n")
	lines = slices.DeleteFunc(lines, func(l string) bool { return strings.Contains(l, "r-panhard-rod:") })
	for _, off := range []string{"420", "422", "425"} {
		without := strings.Replace(strings.Join(lines, "\n"), "front: {on: frame, at: [560, 420, 210]", "front: {on: frame, at: [560, "+off+", 210]", 1)
		require.Contains(t, without, "[560, "+off)
		build, err := model.Read("without.yaml", []byte(without), model.Companions{})
		require.NoError(t, err)
		doc, err := travel.Of(build, usual)
		require.NoError(t, err)
		for _, w := range doc.Wheels {
			require.NotNil(t, w.Trouble, off)
			require.Contains(t, []verdict.TroubleKind{verdict.TravelFree, verdict.TravelUnlocated}, w.Trouble.Kind, off)
			require.Empty(t, w.Curve)
		}
	}
	doc, err := travel.Of(load(t, "testdata/layouts/four-link-panhard.yaml"), usual)
	require.NoError(t, err)
	for _, r := range doc.Wheels[0].Rows {
		require.Less(t, r.TrackBand, 3.0)
		require.Less(t, r.ToeBand, 1.0)
	}
}

// A rocker that is turned far enough takes its strut past the line through its pivot.
func TestOverCentre(t *testing.T) {
	o := usual
	o.Bump = 0.15
	doc, err := travel.Of(load(t, "testdata/layouts/pushrod.yaml"), o)
	require.NoError(t, err)
	var over []verdict.TravelEnd
	for _, e := range doc.Wheels[0].Ends {
		if e.Kind == verdict.OverCentre {
			over = append(over, e)
		}
	}
	require.Len(t, over, 1)
	shortest := math.Inf(1)
	at := 0.0
	for _, p := range doc.Wheels[0].Curve {
		if *p.Strut < shortest {
			shortest, at = *p.Strut, p.Travel
		}
	}
	require.InDelta(t, at, over[0].At, 1e-9)
}

// A drive shaft that hangs on two joints slides in itself and holds nothing; an
// anti-roll bar lets both wheels go up together; a hub on its bearing turns.
func TestWhatHoldsNothing(t *testing.T) {
	text, err := os.ReadFile("testdata/layouts/five-link.yaml")
	require.NoError(t, err)
	with := strings.NewReplacer(
		"joints:\n", "joints:\n  rl-shaft-inner: {kind: ball joint, between: [rl-shaft, frame], at: [0, 150, 280]}\n  rl-shaft-outer: {kind: ball joint, between: [rl-shaft, rl-upright], at: [0, 600, 280]}\n"+
			"  rl-bar-bush: {kind: bush, between: [r-bar, frame], at: [-300, 300, 200]}\n",
		"parts:\n", "parts:\n  rl-shaft: {role: drivetrain}\n  r-bar: {role: other}\n",
		"links:\n", "links:\n  rl-drop-link: {role: anti-roll, ends: {top: {on: r-bar, at: [-200, 500, 300]}, bottom: {on: rl-upright, at: [-60, 560, 180]}}}\n",
		"kind: bolted face, between: [rl-wheel", "kind: pivot, between: [rl-wheel",
	).Replace(string(text))
	build, err := model.Read("with.yaml", []byte(with), model.Companions{})
	require.NoError(t, err)
	more, err := travel.Of(build, usual)
	require.NoError(t, err)
	plain, err := travel.Of(load(t, "testdata/layouts/five-link.yaml"), usual)
	require.NoError(t, err)
	require.Equal(t, plain.Wheels[0].Curve, more.Wheels[0].Curve)
}

// A strut whose rod slides is the strut that another solver has moved (corners.py in
// testdata/published/travel).
func TestStrutAgainstAnotherSolver(t *testing.T) {
	text, err := os.ReadFile("../../testdata/published/travel/corners.json")
	require.NoError(t, err)
	var corners []struct {
		Name string
		Rows []struct{ Travel, Toe, Camber, Strut float64 }
	}
	require.NoError(t, json.Unmarshal(text, &corners))
	at := slices.IndexFunc(corners, func(c struct {
		Name string
		Rows []struct{ Travel, Toe, Camber, Strut float64 }
	}) bool {
		return c.Name == "strut"
	})
	doc, err := travel.Of(load(t, "testdata/layouts/strut-slides.yaml"), usual)
	require.NoError(t, err)
	compared := 0
	for _, row := range corners[at].Rows {
		for _, p := range doc.Wheels[0].Curve {
			if math.Abs(p.Travel-row.Travel) < 1e-6 {
				require.InDelta(t, row.Toe, p.Toe, 1e-4)
				require.InDelta(t, row.Camber, p.Camber, 1e-4)
				require.InDelta(t, row.Strut, *p.Strut, 1e-3)
				compared++
			}
		}
	}
	require.GreaterOrEqual(t, compared, 4)
}

// A pivot alone holds a point and no more, as in the statics: the rocker on it is free, and what its
// strut does is no figure.
func TestLonePivot(t *testing.T) {
	text, err := os.ReadFile("testdata/layouts/pushrod.yaml")
	require.NoError(t, err)
	lone := strings.Replace(string(text), "kind: long bearing, between: [fl-rocker", "kind: pivot, between: [fl-rocker", 1)
	build, err := model.Read("lone.yaml", []byte(lone), model.Companions{})
	require.NoError(t, err)
	doc, err := travel.Of(build, usual)
	require.NoError(t, err)
	require.Equal(t, verdict.TravelFree, doc.Wheels[0].Trouble.Kind)
	require.Equal(t, "fl-rocker", doc.Wheels[0].Trouble.Parts[0])
}

// A steering rack that is a part of its own steers along its axis.
func TestRackAsAPart(t *testing.T) {
	o := usual
	o.Rack = 0.02
	text, err := os.ReadFile("testdata/layouts/strut-slides.yaml")
	require.NoError(t, err)
	on := strings.NewReplacer("inner: {on: frame,", "inner: {on: rack,", "parts:\n", "parts:\n  rack: {role: other, place: body}\n",
		"joints:\n", "joints:\n  rack-housing: {kind: rack, between: [rack, frame], at: [2190, 0, 230], axis: [0, -1, 0]}\n").Replace(string(text))
	build, err := model.Read("rack.yaml", []byte(on), model.Companions{})
	require.NoError(t, err)
	with, err := travel.Of(build, o)
	require.NoError(t, err)
	plain, err := travel.Of(load(t, "testdata/layouts/strut-slides.yaml"), o)
	require.NoError(t, err)
	require.Len(t, with.Wheels[0].Lock, 9)
	require.Equal(t, plain.Wheels[0].Lock, with.Wheels[0].Lock)
	// What the file says of the rack counts where nothing else is asked for.
	build = load(t, "testdata/layouts/strut-slides.yaml", "vehicle.rack_travel=20 mm")
	written, err := travel.Of(build, usual)
	require.NoError(t, err)
	require.Equal(t, plain.Wheels[0].Lock, written.Wheels[0].Lock)
}

// Work has an end: a chain of many parts is refused with its number.
func TestTooManyParts(t *testing.T) {
	var parts, joints strings.Builder
	for i := range 90 {
		fmt.Fprintf(&parts, "  p%d: {role: arm}\n", i)
		fmt.Fprintf(&joints, "  j%d: {kind: ball joint, between: [p%d, p%d], at: [%d, 0, 0]}\n", i, i, i+1, i)
	}
	text := "format: setdown/1\nvehicle: {name: chain, built_on: frame}\nparts:\n  frame: {role: frame}\n  p90: {role: arm}\n  w: {role: wheel}\n" + parts.String() +
		"joints:\n  face: {kind: bolted face, between: [w, p0], at: [0, 500, 300], axis: [0, 1, 0]}\n" + joints.String()
	build, err := model.Read("chain.yaml", []byte(text), model.Companions{})
	require.NoError(t, err)
	doc, err := travel.Of(build, usual)
	require.NoError(t, err)
	require.Equal(t, "91 parts move together, and 40 are the most that are worked out", doc.Wheels[0].Trouble.Words)
}

func TestTheSpecial(t *testing.T) {
	o := usual
	o.Rack = 0.05
	doc, err := travel.Of(load(t, "../../testdata/builds/special-asfound.yaml"), o)
	require.NoError(t, err)
	var places []string
	for _, w := range doc.Wheels {
		places = append(places, w.Place+" "+w.Like)
	}
	require.Equal(t, []string{"front-left ", "front-right front-left", "rear-right ", "rear-left rear-right"}, places, "in walk-round order")

	rear := doc.Wheels[3]
	require.Equal(t, "rl-strut", rear.Strut)
	last := rear.Rows[8]
	require.InDelta(t, 0.091984, last.Toe, 1e-6)
	require.InDelta(t, -1.397574, last.Camber, 1e-6)
	require.Equal(t, "rl-toe/inner", last.Worst)
	require.Empty(t, rear.Lock, "it is not steered")
	require.Len(t, rear.ToeLinks, 1)
	toe := rear.ToeLinks[0]
	require.Equal(t, []string{"rl-toe-mount"}, toe.Welds)
	require.InDelta(t, 0.092, toe.Change, 1e-3)
	require.InDelta(t, 40, toe.At, 1e-6)
	require.False(t, toe.Enough)
	require.InDelta(t, 7.5145, toe.Place.Move[1], 1e-3, "out")
	require.InDelta(t, -2.0901, toe.Place.Move[2], 1e-3, "down")
	require.InDelta(t, 355.527, toe.Place.Length, 1e-3)

	front := doc.Wheels[0]
	require.Len(t, front.Lock, 9)
	require.Positive(t, front.Lock[8].Toe-front.Lock[0].Toe, "the rack to the left turns the left wheel in")
	require.Less(t, doc.Wheels[1].Lock[8].Toe, doc.Wheels[1].Lock[0].Toe, "and the right one out")
	require.Empty(t, front.ToeLinks[0].Welds)
}

// Travel that goes one way alone has a place as well, near that of both ways.
func TestOneWayTravel(t *testing.T) {
	for _, o := range []travel.Options{{Bump: 0.04, Good: 0.05 * deg}, {Droop: 0.04, Good: 0.05 * deg}} {
		doc, err := travel.Of(load(t, special), o)
		require.NoError(t, err)
		rear := doc.Wheels[3]
		require.Len(t, rear.Curve, 21)
		require.NotNil(t, rear.ToeLinks[0].Place, rear.ToeLinks[0].Nowhere)
		require.InDelta(t, 7.5, rear.ToeLinks[0].Place.Move[1], 2)
		require.InDelta(t, -2.1, rear.ToeLinks[0].Place.Move[2], 0.2)
		require.Less(t, rear.ToeLinks[0].Place.Left, 0.001)
	}
}

// A place that nothing hangs on has a figure as well, and no infinite one.
func TestWithin(t *testing.T) {
	o := usual
	o.Good = 1
	doc, err := travel.Of(load(t, special), o)
	require.NoError(t, err)
	require.InDelta(t, 50, doc.Wheels[3].ToeLinks[0].Place.Within, 1e-9)
}

// What differs between left and right is said of both.
func TestMirrorImagesAreAlike(t *testing.T) {
	doc, err := travel.Of(load(t, special, "rr-toe-mount.found.made=full"), usual)
	require.NoError(t, err)
	require.Empty(t, doc.Wheels[3].Like, "one waits for its bracket, the other does not")
	doc, err = travel.Of(load(t, special, "rl-lower-ball.misalignment_limit=3 deg"), usual)
	require.NoError(t, err)
	require.Empty(t, doc.Wheels[3].Like, "an angle is past its limit on one side")
}

// Doing what is said clears it: the bracket moved to its place, the toe change is
// within what is good enough, and its weld made full waits for nothing.
func TestDoingWhatIsSaid(t *testing.T) {
	const file = "../../testdata/builds/special-asfound.yaml"
	doc, err := travel.Of(load(t, file), usual)
	require.NoError(t, err)
	at := doc.Wheels[3].ToeLinks[0].Place.At
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	const drawn = "inner: {on: frame, at: [-165, 225, 190]"
	require.Contains(t, string(text), drawn)
	moved := strings.Replace(string(text), drawn, "inner: {on: frame, at: ["+num(at.X)+", "+num(at.Y)+", "+num(at.Z)+"]", 1)
	build, err := model.Read("moved.yaml", []byte(moved), model.Companions{})
	require.NoError(t, err)
	doc, err = travel.Of(build, usual)
	require.NoError(t, err)
	link := doc.Wheels[3].ToeLinks[0]
	require.True(t, link.Enough, "%g° are left", link.Change)
	require.Less(t, link.Change, 0.001)
	require.Equal(t, []string{"rl-toe-mount"}, link.Welds, "and is still to be welded")
	build = load(t, file, "rl-toe-mount.found.made=full")
	doc, err = travel.Of(build, usual)
	require.NoError(t, err)
	require.Empty(t, doc.Wheels[3].ToeLinks[0].Welds)
}

func num(v float64) string { return strconv.FormatFloat(v, 'f', 4, 64) }

func TestWhatIsMissing(t *testing.T) {
	const file = "../../testdata/builds/special-asfound.yaml"
	for field, forget := range map[string]func(b *model.Build){
		"joints.rl-lower-ball.at":    func(b *model.Build) { b.Item("rl-lower-ball").Delete("at") },
		"joints.rl-wheel-face.axis":  func(b *model.Build) { b.Item("rl-wheel-face").Delete("axis") },
		"joints.rl-wheel-face.at":    func(b *model.Build) { b.Item("rl-wheel-face").Delete("at") },
		"links.rl-toe.ends.outer.at": func(b *model.Build) { outer, _ := b.Item("rl-toe").Record.Record("ends.outer"); outer.Delete("at") },
	} {
		build := load(t, file)
		forget(build)
		doc, err := travel.Of(build, usual)
		require.NoError(t, err)
		rear := doc.Wheels[3]
		require.NotNil(t, rear.Trouble, field)
		require.Equal(t, verdict.TravelNotRecorded, rear.Trouble.Kind)
		require.Equal(t, []string{field}, rear.Trouble.Fields)
		require.Empty(t, rear.Rows)
		require.Nil(t, doc.Wheels[2].Trouble, "the other side is as it was")
	}
	_, err := travel.Of(load(t, file), travel.Options{Places: []string{"back"}, Bump: 0.04})
	require.EqualError(t, err, `no wheel is at "back"; there are wheels at front-left, front-right, rear-left, rear-right`)
	_, err = travel.Of(load(t, "../../testdata/builds/checklist-mended.yaml"), usual)
	require.ErrorContains(t, err, "a checklist has no measures")
}

// Whatever one fact is forgotten or a point moved a long way, there is an answer:
// figures that are numbers, or why not.
func TestAnythingForgotten(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	whole := load(t, special)
	for range 40 {
		build := whole.Clone()
		items := build.Of([]string{"joints", "links", "parts", "supports", "welds"}[rng.IntN(5)])
		item := items[rng.IntN(len(items))]
		names := item.Names()
		name := names[rng.IntN(len(names))]
		if field := item.Field(name); field == nil || field.Need {
			continue
		}
		if v, ok := item.Lookup(name); ok && rng.IntN(2) == 0 {
			if p, isPoint := v.V.(schema.Vec); isPoint {
				p.X, p.Y, p.Z = p.X+rng.NormFloat64(), p.Y+rng.NormFloat64(), p.Z+rng.NormFloat64()
				v.V = p
				item.Set(name, v)
			}
		} else {
			item.Delete(name)
		}
		doc, err := travel.Of(build, usual)
		require.NoError(t, err, "%s.%s", item.ID, name)
		_, err = json.Marshal(doc)
		require.NoError(t, err, "%s.%s", item.ID, name)
		stand, err := travel.Heights(build, nil, 0)
		require.NoError(t, err, "%s.%s", item.ID, name)
		_, err = json.Marshal(stand)
		require.NoError(t, err, "%s.%s", item.ID, name)
	}
}
