package check_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/verdict"
)

// seenAgain is a short demo with looks added at the end of its log.
func seenAgain(t *testing.T, demo, looks string) (*model.Build, error) {
	t.Helper()
	return edited(t, "../short/"+demo, strings.Clone, looks)
}

// TestMembersOfAGroup: what is found wrong with some of a group says with which, in the finding
// and in its work; with all of it there is nothing to single out.
func TestMembersOfAGroup(t *testing.T) {
	for of, want := range map[string]string{
		`"front-pivot-bolts{3}"`:   " (number 3 of 4)",
		`"front-pivot-bolts{1,3}"`: " (numbers 1, 3 of 4)",
		`front-pivot-bolts`:        "",
	} {
		b, err := seenAgain(t, "checklist-mended", "- {day: 2026-11-25, by: TN, of: ["+of+"], found: {tightness: loose, marked: no}}\n")
		require.NoError(t, err)
		said := false
		for _, f := range judge(t, rules(t), b).Moves[0].Stopping() {
			if f.Rule == "fastener-tight" && f.Item == "front-pivot-bolts" {
				said = true
				assert.Equal(t, "front-pivot-bolts: loose; 45 N·m is needed"+want, f.Say)
				assert.Equal(t, "torque it to 45 N·m with a torque wrench and mark it"+want, f.Work.Do)
			}
		}
		assert.True(t, said, of)
	}
}

// TestOneOfAGroupTorquedTooFar finds one bolt of a group torqued too far, which the least torque of the
// group does not show: 90 N·m is twice its 45 N·m, and 60 N·m is no more than 1.5 times them and pulls
// an M10 of class 5.8 past its proof load. By hand: 60 / (0.2 · 10 mm) = 30 kN, of 58 mm² · 380 MPa = 22 kN.
func TestOneOfAGroupTorquedTooFar(t *testing.T) {
	for found, rule := range map[string]string{
		"torqued: 90 N·m":                      "torqued-too-far",
		"torqued: 60 N·m, class_mark: \"5.8\"": "bolt-past-proof",
		"torqued: 46 N·m":                      "",
	} {
		b, err := seenAgain(t, "checklist-mended", "- {day: 2026-11-25, by: TN, of: [\"front-pivot-bolts{3}\"], found: {"+found+"}}\n")
		require.NoError(t, err)
		var stops []string
		for _, f := range judge(t, rules(t), b).Moves[0].Stopping() {
			if f.Item == "front-pivot-bolts" && f.Rule != "class-below-drawn" {
				stops = append(stops, f.Rule)
			}
		}
		if rule == "" {
			assert.Empty(t, stops, found)
		} else {
			assert.Contains(t, stops, rule, found)
		}
	}
}

// TestMemberSpeaksAsAll: whatever size a gauge may read, at its least and its most by the table, of
// one member of a group alone stops where it stops of all: the worst of a group has two sides.
func TestMemberSpeaksAsAll(t *testing.T) {
	stops := func(demo, id, move, lines string) bool {
		b, err := seenAgain(t, demo, lines)
		if err != nil {
			return true // refused
		}
		return slices.ContainsFunc(judge(t, rules(t), b, move).Moves[0].Findings, func(f verdict.Finding) bool { return f.Blocks() && f.Item == id })
	}
	held := 0
	for _, group := range []struct{ demo, kind, id, move string }{
		{"checklist-mended", "fasteners", "front-pivot-bolts", "onto-stands"},
		{"special-mended", "fasteners", "rack-bolts", "onto-wheels"},
		{"special-mended", "fasteners", "engine-mount-bolts", "onto-wheels"},
	} {
		require.False(t, stops(group.demo, group.id, group.move, ""), group.id)
		for _, f := range schema.KindOf(group.kind).Found().Fields {
			if !f.Measured() || f.Bounds == nil {
				continue
			}
			for _, size := range []quantity.Quantity{f.Bounds.Least, f.Bounds.Most} {
				look := func(member string) string {
					return fmt.Sprintf("- {day: 2026-11-25, by: TN, of: [%q], found: {%s: %s}}\n", group.id+member, f.Name, size)
				}
				every := look("{1}") + look("{2}") + look("{3}") + look("{4}")
				if stops(group.demo, group.id, group.move, every) {
					held++
					assert.True(t, stops(group.demo, group.id, group.move, look("{2}")), "%s: %s", group.id, look("{2}"))
				}
			}
		}
	}
	assert.Greater(t, held, 6, "sizes at which the whole group stops")
}

// TestBarsOfOneLine: two bars that a checklist writes in one line are a pair, and the shorter is told
// from the longer as of two lines.
func TestBarsOfOneLine(t *testing.T) {
	const text = `format: setdown/2
vehicle: {name: x, checklist: yes}
axles: {front: other, rear: other}
places: [front]
parts: {car: {mass: 400 kg, role: frame}}
links: {front-bars: {place: front, role: strut, temporary: yes, needed: 2}}
supports: {w: {kind: wheel, under: car, place: front, needed: 2}}
moves: {onto-wheels: {kind: lower, steps: [{name: down, supports: [w]}]}}
`
	for second, want := range map[string]string{"395 mm": "", "394 mm": "front-bars: 6 mm shorter than the bar on the other side"} {
		log := "looks:\n- {day: 2026-11-25, by: TN, of: [\"front-bars{1}\"], found: {length: 400 mm}}\n- {day: 2026-11-25, by: TN, of: [\"front-bars{2}\"], found: {length: " + second + "}}\n"
		b, err := model.Read("b.yaml", []byte(text), model.Companions{Looks: []byte(log)})
		require.NoError(t, err)
		said := ""
		for _, f := range judge(t, rules(t), b).Moves[0].Stopping() {
			if f.Rule == "stand-in-length" && f.Outcome == verdict.Stop {
				said = f.Say
			}
		}
		assert.Equal(t, want, said, second)
	}
}
