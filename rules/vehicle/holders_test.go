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
