package check_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/rules/check"
	"setdown/rules/verdict"
)

const waived = `format: setdown/1
vehicle: {name: x, checklist: yes}
parts: {car: {mass: 400 kg}}
fasteners:
  bolts: {thread: M10x1.5, critical: yes, found: {fitted: yes, tightness: torqued, class_mark: "5.8", on: 2026-11-24, by: AB}}
supports: {s: {kind: stand, rated: 2 t, rated_per: each}}
moves:
  m: {kind: rest, steps: [{name: on one stand, supports: [s]}]}
waivers:
  - {rule: RULE, item: ITEM, MOREreason: seen on the box, by: AB, until: UNTIL}
`

// TestWaivers says what a waiver lets pass, and that it is always shown.
func TestWaivers(t *testing.T) {
	e := rules(t)
	for _, c := range []struct {
		why, rule, item, more, until string
		outcome                      verdict.Outcome
		refused                      string
	}{
		{"counts until its day", "fastener-class", "bolts", "", "2026-11-25", verdict.Waived, ""},
		{"for this move alone", "fastener-class", "bolts", "move: m, ", "2026-12-01", verdict.Waived, ""},
		{"the longest term", "fastener-class", "bolts", "", "2026-12-09", verdict.Waived, ""},
		{"a day longer", "fastener-class", "bolts", "", "2026-12-10", verdict.Stop, "it ends on 2026-12-10; a waiver ends within the age of a finding, 14 days"},
		{"for ever", "fastener-class", "bolts", "", "2099-01-01", verdict.Stop, "it ends on 2099-01-01"},
		{"ended yesterday", "fastener-class", "bolts", "", "2026-11-24", verdict.Stop, "it ended on 2026-11-24"},
		{"people are not waived", "area-clear", "m", "", "2026-12-01", verdict.NotRecorded, "cannot be waived"},
	} {
		t.Run(c.why, func(t *testing.T) {
			text := strings.NewReplacer("RULE", c.rule, "ITEM", c.item, "MORE", c.more, "UNTIL", c.until).Replace(waived)
			b, err := model.Read("test.yaml", []byte(text), model.Companions{})
			require.NoError(t, err)
			r := judge(t, e, b)
			i := slices.IndexFunc(r.Moves[0].Findings, func(f verdict.Finding) bool { return f.Rule == c.rule && f.Item == c.item })
			require.GreaterOrEqual(t, i, 0)
			f := r.Moves[0].Findings[i]
			require.Equal(t, c.outcome, f.Outcome)
			require.Equal(t, c.outcome != verdict.Waived, f.Blocks())
			require.NotNil(t, f.Waiver, "a waiver is always shown")
			require.Contains(t, f.Waiver.Refused, c.refused)
			require.Equal(t, "AB", f.Waiver.By)
		})
	}
}

// TestWaiverOfNoRule is a mistake in the file: it would let nothing pass and look
// as if it did.
func TestWaiverOfNoRule(t *testing.T) {
	text := strings.NewReplacer("RULE", "fastener-clas", "ITEM", "bolts", "MORE", "", "UNTIL", "2026-12-01").Replace(waived)
	b, err := model.Read("test.yaml", []byte(text), model.Companions{})
	require.NoError(t, err)
	_, err = check.Run(context.Background(), b, rules(t), check.Options{Today: today})
	require.EqualError(t, err, `test.yaml:10:12: no rule is called "fastener-clas" (did you mean "fastener-class"?)`)
}
