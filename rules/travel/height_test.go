package travel_test

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/travel"
	"setdown/rules/verdict"
)

const special = "../../testdata/builds/special-asfound.yaml"

func heights(t *testing.T, b *model.Build, want map[string]float64) map[string]verdict.WheelHeight {
	t.Helper()
	doc, err := travel.Heights(b, want, 0)
	require.NoError(t, err)
	m := map[string]verdict.WheelHeight{}
	for _, w := range doc.Wheels {
		m[w.Place] = w
	}
	return m
}

func TestHeightsOfTheSpecial(t *testing.T) {
	doc, err := travel.Heights(load(t, special), nil, 0)
	require.NoError(t, err)
	rear := doc.Wheels[3]
	require.Equal(t, "rl-strut", rear.Strut)
	require.InDelta(t, 414.43214, rear.Drawn, 1e-5)
	require.InDelta(t, 414.4, rear.Found, 1e-9)
	a := rear.Adjust
	require.Equal(t, verdict.TurnInPlace, a.Kind)
	require.InDelta(t, 3.5, a.PerTurn, 1e-12, "M12x1.75 with a right- and a left-hand end")
	// At drawn length a turn moves the wheel −6.04539 and +6.01621 mm (own solver);
	// with the toe link as found, a few micrometres otherwise.
	require.InDelta(t, -6.04539, *a.UpLonger, 2e-4)
	require.InDelta(t, 6.01621, *a.UpShorter, 2e-4)
	// 24 and 25 mm are engaged, 18 mm needed: 6 mm of 1.75 mm are left.
	require.InDelta(t, 6/1.75, *a.OutLeft+*a.Turns, 1e-6)
	require.Equal(t, verdict.ByNuts, doc.Wheels[2].Adjust.Kind, "studding")
	require.Positive(t, *doc.Twist)
	require.Len(t, doc.Lowest, 5)
	require.InDelta(t, 150, doc.Lowest[0].Above, 0.5)
}

// The turns that are said, put into the file, give the heights that were asked for
// to a tenth of a millimetre, whether the frame is to be level or to lean.
func TestTurnsGiveTheHeights(t *testing.T) {
	text, err := os.ReadFile(special)
	require.NoError(t, err)
	for _, want := range []map[string]float64{
		nil,
		{"front-left": 0.010, "front-right": 0.010, "rear-left": 0.010, "rear-right": 0.010},
		{"front-left": -0.015, "front-right": -0.015, "rear-left": 0.005, "rear-right": 0.005},
		{"front-left": 0.008, "front-right": -0.008, "rear-left": 0.008 * 670 / 680, "rear-right": -0.008 * 670 / 680}, // leans as one
	} {
		build, err := model.Read(special, text, model.Companions{})
		require.NoError(t, err)
		after := string(text)
		before := heights(t, build, want)
		require.Len(t, before, 4)
		for place, w := range before {
			a := w.Adjust
			length := a.Length
			if a.Turns != nil {
				length = w.Found + *a.Turns*a.PerTurn
			}
			require.InDelta(t, a.Length, length, 1e-5, place)
			// Found lengths stand in blocks of their own for each side.
			block := regexp.MustCompile(`(?s)(\n  ` + w.Strut + `:.*?length: )[\d.]+( mm)`)
			require.Regexp(t, block, after)
			after = block.ReplaceAllString(after, fmt.Sprintf("${1}%.4f${2}", length))
		}
		build, err = model.Read(special, []byte(after), model.Companions{})
		require.NoError(t, err)
		for place, w := range heights(t, build, want) {
			require.InDelta(t, want[place]*1000, *w.Height, 0.1, place)
			require.InDelta(t, 0, w.Adjust.Longer, 0.001, place)
		}
	}
}

func TestHeightsNobodyMeasured(t *testing.T) {
	build := load(t, special)
	found, _ := build.Item("rl-strut").Record.Record("found")
	found.Delete("length")
	doc, err := travel.Heights(build, nil, 0)
	require.NoError(t, err)
	require.Equal(t, []string{"links.rl-strut.found.length"}, doc.Wheels[3].Trouble.Fields)
	require.Nil(t, doc.Wheels[3].Adjust)
	require.Nil(t, doc.Twist, "without one wheel nobody knows how it stands")
	require.Nil(t, doc.Wheels[0].Height)
	require.NotNil(t, doc.Wheels[0].Adjust, "its own length is known")

	build = load(t, special)
	found, _ = build.Item("fl-toe").Record.Record("found")
	found.Delete("length")
	require.Equal(t, []string{"fl-toe"}, heights(t, build, nil)["front-left"].Unmeasured)

	build = load(t, special)
	ends, _ := build.Item("fl-strut").Record.Record("rod_ends")
	ends.Delete("hands")
	a := heights(t, build, nil)["front-left"].Adjust
	require.Equal(t, verdict.NoThread, a.Kind)
	require.Equal(t, []string{"links.fl-strut.rod_ends.hands"}, a.Fields)
	require.Nil(t, a.Turns)

	build = load(t, special)
	found, _ = build.Item("fl-strut").Record.Record("found")
	found.Delete("engaged")
	a = heights(t, build, nil)["front-left"].Adjust
	require.Equal(t, []string{"links.fl-strut.found.engaged"}, a.Fields)
	require.Nil(t, a.OutLeft)

	_, err = travel.Heights(build, map[string]float64{"back": 0}, 0)
	require.EqualError(t, err, `no wheel is at "back"; there are wheels at front-left, front-right, rear-left, rear-right`)
}

// Too much to wind out is said.
func TestShortOfEngagement(t *testing.T) {
	a := heights(t, load(t, special), map[string]float64{"rear-left": 0.025})["rear-left"].Adjust
	require.Greater(t, *a.Turns, 6/1.75)
	require.True(t, a.Short)
	require.Negative(t, *a.OutLeft)
}

// A turnbuckle that lifts 8 kN by 159.155 N at 200 mm with an efficiency of 40 % has
// a velocity ratio of 125.66, so two threads of 5 mm (jiskha.com 1240406258, copy):
// a turn of both hands is twice the pitch.
func TestTurnbuckle(t *testing.T) {
	build := load(t, special)
	thread, err := quantity.ParseThread("M48x5")
	require.NoError(t, err)
	ends, _ := build.Item("rl-strut").Record.Record("rod_ends")
	ends.Set("thread", schema.Value{V: thread})
	a := heights(t, build, nil)["rear-left"].Adjust
	require.InEpsilon(t, 125.66, 2*math.Pi*200/a.PerTurn, 1e-4)
	require.InEpsilon(t, 8000.0, 159.155*0.4*2*math.Pi*200/a.PerTurn, 1e-4)
	// Of one hand, an end has to come off, and a turn of it is one pitch.
	build = load(t, special, "rl-strut.rod_ends.hands=[right, right]")
	a = heights(t, build, nil)["rear-left"].Adjust
	require.Equal(t, verdict.OneEndOff, a.Kind)
	require.InDelta(t, 1.75, a.PerTurn, 1e-12)
}
