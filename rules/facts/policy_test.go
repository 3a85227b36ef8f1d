package facts

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/quantity"
)

func TestPolicyValuesAreBounded(t *testing.T) {
	for _, c := range choices {
		least, most, err := c.bounds()
		require.NoError(t, err)
		assert.Less(t, least, most, c.name)
		assert.NotEmpty(t, c.because, c.name)
		check := func(v float64) error { return CheckPolicy(c.name, quantity.Quantity{Dim: c.dim, Value: v}) }
		assert.NoError(t, check(least), c.name)
		assert.NoError(t, check(most), c.name)
		assert.ErrorContains(t, check(math.Nextafter(least, -1)), "must be between "+c.least+" and "+c.most, c.name)
		assert.ErrorContains(t, check(math.Nextafter(most, math.Inf(1))), c.because, c.name)
		assert.Error(t, check(math.NaN()), c.name)
		assert.Error(t, CheckPolicy(c.name, quantity.Quantity{Dim: c.dim, Value: least, Tol: 1e-9}), c.name)
	}
	assert.Error(t, CheckPolicy("none", quantity.Quantity{}))
}

// A share of one is all there is: no policy lets a part count for more.
func TestSharesAreAtMostOne(t *testing.T) {
	factors := []string{"design_factor", "gain_most", "springs_hold"}
	for _, c := range choices {
		if c.dim != quantity.Number || slices.Contains(factors, c.name) {
			continue
		}
		_, most, err := c.bounds()
		require.NoError(t, err)
		assert.LessOrEqual(t, most, 1.0, c.name)
	}
}
