package quantity

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Exact definitions: NIST SP 811 (2008), appendix B.8; copy.
func TestSystem(t *testing.T) {
	for _, c := range []struct {
		value float64
		unit  string
		want  float64
		in    string
	}{
		{25.4, "mm", 1, "in"}, {0.45359237, "kg", 1, "lb"}, {4.4482216152605, "N", 1, "lbf"},
		{1.3558179483314, "N·m", 1, "ft·lbf"}, {6.894757293168, "MPa", 1, "ksi"}, {45, "°", 45, "°"}, {3, "", 3, ""},
	} {
		got, unit := Inch.Of(c.value, c.unit)
		assert.InEpsilon(t, c.want, got, 1e-12, c.unit)
		assert.Equal(t, c.in, unit)
		got, unit = Metric.Of(c.value, c.unit)
		assert.Equal(t, c.value, got)
		assert.Equal(t, c.unit, unit)
	}
	for metric, other := range inInch {
		from, ok := find(metric)
		assert.True(t, ok, metric)
		to, ok := find(other)
		assert.True(t, ok, other)
		assert.Equal(t, from.dim, to.dim, metric)
	}
}
