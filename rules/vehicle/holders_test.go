package vehicle

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
)

// A wheel of which one nut of four is missing counted as off, because one was all it needed.
func TestAWheelNeedsItsNuts(t *testing.T) {
	b, err := model.Read("wheel.yaml", []byte("format: setdown/1\nwheels: {front: {nuts: 4, found: {nuts: 3}}}\n"), model.Companions{})
	require.NoError(t, err)
	h := New(b, Policy{}).Holder(b.Item("front"))
	assert.Equal(t, int64(4), h.Needed())
	assert.Equal(t, int64(1), h.Short)
}

// Nuts of a group that nobody counts were all out as soon as one was.
func TestOneNutOfAGroupIsOut(t *testing.T) {
	for log, out := range map[string]int64{
		"- {day: 2026-11-25 10:00, by: AB, of: [nuts], found: {fitted: yes}}\n- {day: 2026-11-25 11:00, by: AB, of: [\"nuts{1}\"], found: {fitted: no}}\n": 1,
		"- {day: 2026-11-25 10:00, by: AB, of: [nuts], found: {fitted: no}}\n":                                                                             4,
		"- {day: 2026-11-25 10:00, by: AB, of: [\"nuts{1}\"], found: {fitted: no}}\n":                                                                      4, // nobody saw the others
	} {
		b, err := model.Read("nuts.yaml", []byte("format: setdown/2\npeople: [AB]\nstud_nuts: {nuts: {thread: M12x1.25, needed: 4}}\n"), model.Companions{Looks: []byte(log)})
		require.NoError(t, err)
		assert.Equal(t, out, New(b, Policy{}).Holder(b.Item("nuts")).Short, log)
	}
}

// The examples of rule weld-too-small stand at the same limits.
func TestASmallWeldIsNotSound(t *testing.T) {
	policy := Policy{Undercut: 0.001, LegShort: 0.002, WeldShare: 0.5}
	for _, c := range []struct {
		found string
		sound bool
	}{
		{"", true}, // nobody measured
		{"undercut: 1 mm", true},
		{"undercut: 1.1 mm", false},
		{"leg: 4 mm", true},
		{"leg: 3.9 mm", false},
		{"leg: 8 mm", true},
		{"made_length: 30 mm", true},
		{"made_length: 29 mm", false},
		{"crack: yes", false},
	} {
		b, err := model.Read("weld.yaml", []byte("format: setdown/1\nwelds: {bracket: {fillet: {leg: 6 mm, length: 60 mm}, found: {made: full, "+c.found+"}}}\n"), model.Companions{})
		require.NoError(t, err, c.found)
		assert.Equal(t, c.sound, New(b, policy).Holder(b.Item("bracket")).Sound(), c.found)
	}
}
