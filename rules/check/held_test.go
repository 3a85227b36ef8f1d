package check_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/rules/verdict"
)

// TestWholeLinkHeld has a spring hold a link as a whole and not one of its ends, and
// leaves its place out: the place is that of the parts that the link joins. It was
// looked for in a field that only supports have, and the check failed.
func TestWholeLinkHeld(t *testing.T) {
	d := everything(t)
	i := d.find("springs", "fl-spring", "place")
	b, err := model.Read("everything.yaml", []byte(d.without(i).String()), model.Companions{})
	require.NoError(t, err)
	require.Contains(t, strings.Join(b.Item("fl-spring").Texts("holds"), " "), "fl-coil")
	require.Equal(t, verdict.Go, judge(t, rules(t), b, "engine-out").Decision)
}

// TestFreedOnce makes again what the nets found: something said otherwise stops a move, and
// what was then forgotten made it GO.
func TestFreedOnce(t *testing.T) {
	for what, c := range map[string]struct {
		move, kind, item string
		say              map[string]string // by path
		forget           string            // the path, or the item as a whole
		rule, at         string            // what stops it
	}{
		"a coil-over without its spring":         {"roll-out", "springs", "fl-spring", nil, "", "spring-listed", "fl-coil"},
		"a block that stands nobody knows where": {"off-the-table", "restraints", "fl-tie", map[string]string{"kind": "block"}, "at", "strap-holds", "fl-tie"},
		"an angle and no limit":                  {"onto-the-hoist", "joints", "fl-lower-front", nil, "misalignment_limit", "bearing-angle-past", "fl-lower-front"},
	} {
		d := everything(t)
		for path, value := range c.say {
			d = d.with(d.find(c.kind, c.item, path), value)
		}
		d = d.without(d.find(c.kind, c.item, c.forget))
		b, err := model.Read("everything.yaml", []byte(d.String()), model.Companions{})
		require.NoError(t, err)
		m := judge(t, rules(t), b, c.move).Moves[0]
		assert.Equal(t, verdict.NoGo, m.Decision, what)
		assert.True(t, slices.ContainsFunc(m.Findings, func(f verdict.Finding) bool { return f.Rule == c.rule && f.Item == c.at && f.Blocks() }), "%s: %v", what, said(m.Findings))
	}
}

// TestPerchPressedOn has the weld of a perch that is pressed on made full but with a fifth of
// its leg, which is no worse than the tack that may be there: GO while it does not roll.
func TestPerchPressedOn(t *testing.T) {
	d := everything(t)
	thin := d.with(d.find("welds", "axle-perch", "found.leg"), "1.2 mm")
	tacked := thin.with(d.find("welds", "axle-perch", "found.made"), "tack")
	unseen := d.without(d.find("welds", "axle-perch", "found.inspected"))
	n := &net{engine: rules(t)}
	for _, d := range []document{thin, unseen} {
		assert.Equal(t, verdict.Go, n.judge(d, "engine-out").Decision)
		assert.Equal(t, verdict.NoGo, n.judge(d, "roll-out").Decision)
	}
	assert.Equal(t, verdict.NoGo, n.judge(tacked, "roll-out").Decision)
}
