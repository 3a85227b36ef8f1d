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
