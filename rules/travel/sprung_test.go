package travel_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/travel"
	"setdown/rules/verdict"
)

const sprung = "../../testdata/sprung/special.yaml"

// onSprings copies the sprung demo with some of its text changed and returns where it is.
func onSprings(t *testing.T, pairs ...string) string {
	t.Helper()
	dir := t.TempDir()
	for _, name := range []string{"special.yaml", "special.looks.yaml", "points.csv"} {
		text, err := os.ReadFile("../../testdata/sprung/" + name)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(dir+"/"+name, []byte(strings.NewReplacer(pairs...).Replace(string(text))), 0o644))
	}
	return dir + "/special.yaml"
}

func heightsOf(t *testing.T, file string, want map[string]float64, cross float64) *verdict.Height {
	t.Helper()
	b, err := model.Load(file)
	require.NoError(t, err)
	doc, err := travel.Heights(b, want, cross)
	require.NoError(t, err)
	return doc
}

var seats = regexp.MustCompile(`of: \[(\w+-spring)\], good: yes(.*?)seats: [\d.]+ mm`)

// set writes the seats that a document says into the looks of a copy.
func set(t *testing.T, file string, doc *verdict.Height) {
	t.Helper()
	log := strings.Replace(file, ".yaml", ".looks.yaml", 1)
	text, err := os.ReadFile(log)
	require.NoError(t, err)
	changed := 0
	text = seats.ReplaceAllFunc(text, func(look []byte) []byte {
		of := seats.FindSubmatch(look)
		for _, w := range doc.Wheels {
			if a := w.Adjust; a.Link == string(of[1]) {
				changed++
				require.InDelta(t, a.Longer, *a.Turns*a.PerTurn, 1e-5)
				return fmt.Appendf(nil, "of: [%s], good: yes%sseats: %.4f mm", of[1], of[2], a.Length)
			}
		}
		return look
	})
	require.Equal(t, 4, changed)
	require.NoError(t, os.WriteFile(log, text, 0o644))
}

// What it weighs at its corners, in kg, is the whole, and by its axles and sides what the levers of
// its centre of gravity say: arithmetic on the masses of the file.
func TestCornerWeights(t *testing.T) {
	doc := heightsOf(t, sprung, nil, 0)
	require.True(t, doc.Sprung)
	load := map[string]float64{}
	whole := 0.0
	for _, w := range doc.Wheels {
		require.Nil(t, w.Trouble)
		load[w.Place] = *w.Load
		whole += *w.Load
	}
	require.InDelta(t, 118+128+22+9+2*(3+2+16+13+3.5+2.5+18+15), whole, 1e-3)
	front := (118*1180.0 + 128*330 + 22*1000 + 9*950 + 2*(3*2290+2*2278+16*2305+13*2300)) / 2300
	require.InDelta(t, front, load["front-left"]+load["front-right"], 0.5, "the tilt of some tenths of a millimetre apart")
	require.InDelta(t, 128*15.0, 670*(load["rear-left"]-load["rear-right"])+680*(load["front-left"]-load["front-right"]), 100, "kg·mm: only the engine is off the middle")
	require.InDelta(t, *doc.Cross, (load["front-right"]+load["rear-left"])/whole, 1e-5)
}

// The turns that are said, put into the file, give the heights to a tenth of a millimetre and
// the cross weight to a tenth of a per cent.
func TestTurnsOfCollars(t *testing.T) {
	for _, row := range []struct {
		want  map[string]float64
		cross float64
	}{
		{nil, 0}, {nil, 0.52},
		{map[string]float64{"front-left": 0.01, "front-right": 0.01, "rear-left": 0.01, "rear-right": 0.01}, 0.5},
		{map[string]float64{"front-left": -0.012, "front-right": -0.012, "rear-left": 0.004, "rear-right": 0.004}, 0.495},
	} {
		file := onSprings(t)
		doc := heightsOf(t, file, row.want, row.cross)
		goal := *doc.WantedCross
		if row.cross == 0 {
			require.InDelta(t, *doc.Cross, goal, 1e-9)
		}
		set(t, file, doc)
		doc = heightsOf(t, file, row.want, row.cross)
		require.InDelta(t, goal, *doc.Cross, 1e-3)
		for _, w := range doc.Wheels {
			require.InDelta(t, 1000*row.want[w.Place], *w.Height, 0.1, w.Place)
			require.InDelta(t, 0, w.Adjust.Longer, 0.01, w.Place)
		}
	}
}

// What is said of the next turn is what a turn does.
func TestNextTurnOfACollar(t *testing.T) {
	was := heightsOf(t, sprung, nil, 0).Wheels[0]
	is := heightsOf(t, onSprings(t, "seats: 151.6 mm", "seats: 153.6 mm"), nil, 0).Wheels[0]
	require.InDelta(t, *was.Adjust.LoadMore, *is.Load-*was.Load, 1e-4)
	require.Positive(t, *was.Adjust.LoadMore)
	require.InDelta(t, *was.Adjust.FrameUp, *is.Height-*was.Height, 0.01)
}

// Springs as stiff as bars stand as the rigid demo does: both sets are as long as drawn.
func TestStiffSpringsStandLikeBars(t *testing.T) {
	b := load(t, sprung)
	for id, length := range map[string]float64{"fl": 0.3675, "fr": 0.3675, "rl": 0.4144, "rr": 0.4144} {
		spring := b.Item(id + "-spring")
		spring.Set("rate", schema.Value{V: quantity.Of(5e6, quantity.Rate, "N/mm")})
		found, _ := spring.Record.Record("found")
		found.Set("seats", schema.Value{V: quantity.Of(length-0.25, quantity.Length, "mm")})
	}
	doc, err := travel.Heights(b, nil, 0)
	require.NoError(t, err)
	require.Nil(t, doc.Wheels[0].Trouble)
	bars := heightsOf(t, special, nil, 0)
	for i, w := range doc.Wheels {
		require.InDelta(t, *bars.Wheels[i].Height, *w.Height, 1, w.Place)
		require.Less(t, math.Abs(*w.Height), 1.0)
	}
}

func TestSpringsNobodyMeasured(t *testing.T) {
	for _, missing := range []string{"found.seats", "rate", "free_length"} {
		b := load(t, sprung)
		r, name := b.Item("fl-spring").Record, missing
		if under, in, nested := strings.Cut(missing, "."); nested {
			r, _ = r.Record(under)
			name = in
		}
		r.Delete(name)
		doc, err := travel.Heights(b, nil, 0)
		require.NoError(t, err)
		require.Equal(t, []string{"springs.fl-spring." + missing}, doc.Wheels[0].Trouble.Fields)
		require.Nil(t, doc.Wheels[3].Load)
		require.Nil(t, doc.Wheels[0].Adjust)
	}
	b := load(t, sprung)
	b.Item("fl-spring").Delete("collar_pitch")
	doc, err := travel.Heights(b, nil, 0)
	require.NoError(t, err)
	require.Equal(t, []string{"springs.fl-spring.collar_pitch"}, doc.Wheels[0].Adjust.Fields)
	require.Nil(t, doc.Wheels[0].Adjust.Turns)

	// With its seat 200 mm too low the corner sinks onto its bump stop; with none it sinks on.
	b = load(t, sprung)
	found, _ := b.Item("rr-spring").Record.Record("found")
	found.Set("seats", schema.Value{V: quantity.Of(0.02, quantity.Length, "mm")})
	doc, err = travel.Heights(b, nil, 0)
	require.NoError(t, err)
	require.InDelta(t, 355, doc.Wheels[2].Found, 0.2)
	require.True(t, doc.Wheels[2].Adjust.OnStop)
	require.Nil(t, doc.Wheels[2].Adjust.Turns)
	require.Nil(t, doc.Wheels[2].Adjust.FrameUp)
	require.Positive(t, doc.Wheels[2].Adjust.Longer)
	require.False(t, doc.Wheels[0].Adjust.OnStop)
	b.Item("rr-spring").Delete("closed_length")
	doc, err = travel.Heights(b, nil, 0)
	require.NoError(t, err)
	require.Equal(t, "on its springs fl-wheel lifts off the floor", doc.Wheels[0].Trouble.Words)

	_, err = travel.Heights(load(t, special), nil, 0.5)
	require.EqualError(t, err, "a cross weight is that of four wheels on springs, two in front and two behind")
	doc = heightsOf(t, sprung, nil, 0.95)
	require.NotEmpty(t, doc.NoSeats)
}

// The demo on its springs, from the file to the figures, against another solver (demo.py in
// testdata/published/travel, by scipy and differences of energies).
func TestDemoOfAnotherSolver(t *testing.T) {
	text, err := os.ReadFile("../../testdata/published/travel/demo.json")
	require.NoError(t, err)
	var wheels []struct {
		Place       string
		Load, Strut float64 // N, mm
	}
	require.NoError(t, json.Unmarshal(text, &wheels))
	require.Len(t, wheels, 4)
	doc := heightsOf(t, sprung, nil, 0)
	for _, want := range wheels {
		for _, w := range doc.Wheels {
			if w.Place == want.Place {
				require.InDelta(t, want.Load, *w.Load*9.80665, 0.02, w.Place)
				require.InDelta(t, want.Strut, w.Found, 1e-3, w.Place)
			}
		}
	}
}
