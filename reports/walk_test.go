package reports_test

import (
	"bytes"
	"reflect"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/reports"
	"setdown/reports/plain"
	"setdown/reports/text"
	"setdown/rules/verdict"
)

// round is a walk-round with a question of every kind.
func round() *verdict.Round {
	crack := verdict.Line{Fact: "crack", Ask: "Any crack?", Good: "no", Words: []string{"yes", "no"}, Bad: []string{"yes"}}
	made := verdict.Line{Fact: "made", Ask: "How far welded?", Good: "full", Words: []string{"tack", "full"}, Bad: []string{"tack"}}
	torqued := verdict.Line{Fact: "torqued", Ask: "Torque reached?", Good: "at least 0.9 × the torque drawn", Unit: "N·m", Drawn: "45 N·m", MayNotApply: true}
	return &verdict.Round{
		Format: verdict.RoundFormat, File: "car.yaml", Vehicle: "Cyclecar", Move: "onto-stands", Title: "onto four stands", Decision: verdict.NoGo, Stops: 1, Facts: 3,
		Screens: []verdict.Screen{{Place: "front-left", Spot: "bracket", Questions: []verdict.Question{
			{Kind: "welds", Item: "weld", Of: []verdict.Asked{{ID: "mount", Members: 1}, {ID: "lugs", Members: 2}}, Fact: "made", Each: true, Lines: []verdict.Line{made}},
			{Kind: "welds", Item: "weld", Of: []verdict.Asked{{ID: "mount", Members: 1}}, Card: 1, Lines: []verdict.Line{crack}, Was: []verdict.HistoryFact{{Item: "mount", Fact: "crack", Value: "yes", By: "EA", When: "2026-11-20"}}},
			{Kind: "fasteners", Item: "fastener", Of: []verdict.Asked{{ID: "bolt", Members: 1}}, Fact: "torqued", Lines: []verdict.Line{torqued}},
		}}},
		Written: []verdict.Missing{{Path: "listed.body.bolts", Doc: "what was counted"}, {Path: "listed.body.links", Doc: "what was counted"}, {Path: "vehicle.frame", Doc: "how its frame is put together"}, {Path: "welds.mount.fillet.leg", Doc: "leg"}, {Path: "welds.mount.parent", Doc: "what the pieces are made of"}},
	}
}

// TestWalk holds the sheet and the questions to their words, and to 80 columns.
func TestWalk(t *testing.T) {
	var out bytes.Buffer
	r := round()
	write, err := reports.Walk.As("text")
	require.NoError(t, err)
	require.NoError(t, write(&out, r, reports.Options{}))
	for i := range r.Screens[0].Questions {
		require.NoError(t, text.Question(&out, r, &r.Screens[0], &r.Screens[0].Questions[i], text.Options{}))
	}
	require.NoError(t, text.Standing(&out, r, text.Options{}))
	for line := range strings.Lines(out.String()) {
		assert.LessOrEqual(t, utf8.RuneCountInString(strings.TrimSuffix(line, "\n")), 80, line)
	}
	for _, words := range []string{
		"NO-GO  onto-stands: 1 stop, 3 facts to look at or write down. Do not make it.",
		"  [ ] lugs{2}\n", "  [ ] bolt ________\n", "  ! mount, crack: yes (EA, 2026-11-20). Mended?\n",
		"Front left: bracket · 3 welds", "  1 mount 2 lugs{1} 3 lugs{2}", "Otherwise as '3: tack'.",
		"g good   n not good   c cannot see   l later   b back   q stop\n", "d does not apply",
		"3 questions left to look at.",
	} {
		assert.Contains(t, out.String(), words)
	}
	assert.NotContains(t, out.String(), "\nGO")
	assert.Equal(t, []string{"listed.body: bolts, links (what was counted)", "vehicle: frame (how its frame is put together)",
		"welds.mount: fillet.leg (leg); parent (what the pieces are made of)"}, plain.ToWrite(r))

	// As long as loads wait for something, that comes first, and what may not matter last.
	r.First, r.Facts, r.Screens[0].May = []verdict.Missing{{Path: "parts.arm.mass", Doc: "mass with its ±"}, {Path: "parts.hub.mass", Doc: "mass with its ±"}}, 90, true
	assert.Equal(t, "1 stops it, 2 to write down first", plain.Strip(r))
	out.Reset()
	require.NoError(t, write(&out, r, reports.Options{}))
	assert.Contains(t, strings.Join(strings.Fields(out.String()), " "), "1 stop, 2 facts to write down first, for no loads are known without them; 88 more may follow. Do not make it.")
	assert.Contains(t, out.String(), "  - arm, hub: mass with its ±\nThen it is known what carries")
	assert.NotContains(t, out.String(), "[ ] mount")
	out.Reset()
	require.NoError(t, text.Question(&out, r, &r.Screens[0], &r.Screens[0].Questions[0], text.Options{}))
	assert.Contains(t, out.String(), "Perhaps: what it carries is not known yet.")
	html, err := reports.Walk.As("html")
	require.NoError(t, err)
	out.Reset()
	require.NoError(t, html(&out, r, reports.Options{}))
	assert.Contains(t, out.String(), "<li>arm, hub: mass with its ±</li>")
	assert.NotContains(t, out.String(), "<li>mount</li>")
	r.First = nil

	r.Decision, r.Stops, r.Facts, r.Screens = verdict.Go, 0, 0, nil
	out.Reset()
	require.NoError(t, text.Standing(&out, r, text.Options{}))
	assert.Contains(t, out.String(), "nothing recorded stops it. 0 cautions. This is not\n       permission.")
	assert.Contains(t, out.String(), "Nobody under a vehicle that moves")
}

// TestNothingBreaksOutOfTheWalk puts a text that tries to into every string of a round.
func TestNothingBreaksOutOfTheWalk(t *testing.T) {
	r := round()
	spread(reflect.ValueOf(r), hostile, 1)
	r.Decision = verdict.NoGo
	for _, format := range []string{"text", "html"} {
		write, err := reports.Walk.As(format)
		require.NoError(t, err)
		var out bytes.Buffer
		require.NoError(t, write(&out, r, reports.Options{}))
		if format == "text" {
			for i := range r.Screens[0].Questions {
				require.NoError(t, text.Question(&out, r, &r.Screens[0], &r.Screens[0].Questions[i], text.Options{}))
			}
		}
		for _, c := range out.String() {
			if c != '\n' && (unicode.IsControl(c) || unicode.In(c, unicode.Cf, unicode.Zl, unicode.Zp)) || c == utf8.RuneError {
				t.Fatalf("%s lets %U through", format, c)
			}
		}
		if format == "html" {
			assert.NotContains(t, out.String(), "<script")
		}
		assert.NotContains(t, out.String(), "\nGO", format)
	}
}
