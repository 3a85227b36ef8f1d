package ask_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/looks"
	"setdown/rules/ask"
	"setdown/rules/check"
	"setdown/rules/verdict"
)

// Whatever is typed, the line is one look at one item by one person, or no line.
func FuzzLook(f *testing.F) {
	for _, say := range []string{"M10", "a, b", `x"}, of: [y]`, "1\n- {}", "\u2028", "'", "# no", "~", "yes", "{}", "\x00", "\u202e", "?", "not sure", "null", "Null"} {
		f.Add("TN", say, "")
		f.Add(say, "8.8", say)
	}
	q := &verdict.Question{Kind: "fasteners", Of: []verdict.Asked{{ID: "bolt", Members: 1}}, Fact: "class_mark", Lines: []verdict.Line{{Fact: "class_mark", Text: true}}}
	at, err := looks.ParseMoment("2026-11-25 08:00:00")
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, by, say, note string) {
		line, err := ask.Look(q, ask.Answer{Of: []string{"bolt"}, Fact: "class_mark", Say: say, Note: note}, at, by, "test")
		if err != nil {
			return
		}
		require.False(t, strings.ContainsAny(line, "\n\r"), "%q", line)
		b, err := model.Read("car.yaml", []byte("format: setdown/2\nfasteners: {bolt: {}, nut: {}}\n"), model.Companions{Looks: []byte(line + "\n")})
		if err != nil {
			return // refused before it is written
		}
		require.Len(t, b.Log.Looks, 1)
		look := b.Log.Looks[0]
		require.Len(t, look.Of, 1)
		assert.Equal(t, "bolt", look.Of[0].ID)
		assert.Equal(t, looks.NotSaid, look.Good)
		assert.Equal(t, []string{"class_mark"}, look.Of[0].Found.Names())
		assert.Empty(t, b.Log.Notes)
	})
}

func TestValuesTakeTheUnitBesideThem(t *testing.T) {
	at, err := looks.ParseMoment("2026-11-25 08:00:00")
	require.NoError(t, err)
	for _, c := range []struct {
		kind       string
		line       verdict.Line
		say, wants string
	}{
		{"fasteners", verdict.Line{Fact: "torqued", Unit: "N·m"}, "45", `{torqued: "45 N·m"}`},
		{"fasteners", verdict.Line{Fact: "torqued", Unit: "N·m"}, "33 ft·lbf", `{torqued: "33 ft·lbf"}`},
		{"links", verdict.Line{Fact: "engaged", Unit: "in", Pair: true}, "3/4, 5/8", `{engaged: ["3/4 in", "5/8 in"]}`},
		{"links", verdict.Line{Fact: "engaged", Unit: "mm", Pair: true}, "18 19", `{engaged: ["18 mm", "19 mm"]}`},
		{"welds", verdict.Line{Fact: "made", Words: []string{"tack", "full"}}, "full", `{made: full}`},
		{"fasteners", verdict.Line{Fact: "count"}, "4", `{count: "4"}`},
	} {
		q := &verdict.Question{Kind: c.kind, Of: []verdict.Asked{{ID: "x", Members: 1}}, Fact: c.line.Fact, Lines: []verdict.Line{c.line}}
		look, err := ask.Look(q, ask.Answer{Of: []string{"x"}, Fact: c.line.Fact, Say: c.say}, at, "TN", "test")
		require.NoError(t, err)
		assert.Contains(t, look, "found: "+c.wants+"}")
	}
	q := &verdict.Question{Kind: "links", Of: []verdict.Asked{{ID: "x", Members: 1}}, Fact: "engaged", Lines: []verdict.Line{{Fact: "engaged", Unit: "mm", Pair: true}}}
	_, err = ask.Look(q, ask.Answer{Of: []string{"x"}, Fact: "engaged", Say: "18 mm"}, at, "TN", "test")
	assert.ErrorContains(t, err, "two ends")
}

// Names of places are the builder's own: none of them stops the round.
func TestOddPlaces(t *testing.T) {
	text := "format: setdown/2\nvehicle: {checklist: yes, built_on: car}\nplaces: [\"-\", front--left, Ähre-links, \"\\u00a0x\"]\nparts: {car: {}}\nwelds: {äl-mount: {}, -x: {}, w: {}}\nsupports: {s: {kind: stand, under: car}}\nmoves: {m: {kind: rest, steps: [{name: so, supports: [s]}]}}\n"
	b, err := model.Read("car.yaml", []byte(text), model.Companions{})
	require.NoError(t, err)
	r, err := check.Run(t.Context(), b, rules(t), check.Options{Today: day})
	require.NoError(t, err)
	round, err := ask.Round(b, r, "m")
	require.NoError(t, err)
	assert.NotEmpty(t, round.Screens)
	round, err = ask.Round(b, &verdict.Report{Moves: []verdict.Move{{ID: "m"}}}, "m")
	require.NoError(t, err)
	assert.Equal(t, []verdict.Screen{}, round.Screens, "with nothing left to ask a reader of the list gets a list")

	_, err = ask.Round(b, r, "another")
	assert.EqualError(t, err, `the report holds no move "another"`)
	b.Log = nil
	_, err = ask.Round(b, r, "m")
	assert.ErrorContains(t, err, "first format")
}
