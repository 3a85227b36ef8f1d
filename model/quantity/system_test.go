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
		{1.3558179483314, "N·m", 1, "ft·lbf"}, {6.894757293168, "MPa", 1, "ksi"}, {1000.0 / 12, "mm/m", 1, "in/ft"}, {645.16, "mm²", 1, "in²"}, {16387.064, "mm³", 1, "in³"}, {416231.4256, "mm⁴", 1, "in⁴"}, {45, "°", 45, "°"}, {3, "", 3, ""},
	} {
		got, unit := Inch.Of(c.value, c.unit)
		assert.InEpsilon(t, c.want, got, 1e-12, c.unit)
		assert.Equal(t, c.in, unit)
		got, unit = Metric.Of(c.value, c.unit)
		assert.Equal(t, c.value, got)
		assert.Equal(t, c.unit, unit)
		got, unit = Metric.Of(c.want, c.in)
		assert.InEpsilon(t, c.value, got, 1e-12, c.unit)
		assert.Equal(t, c.unit, unit)
	}
	for _, table := range []map[string]string{inInch, inMetric} {
		for one, other := range table {
			from, ok := find(one)
			assert.True(t, ok, one)
			to, ok := find(other)
			assert.True(t, ok, other)
			assert.Equal(t, from.dim, to.dim, one)
		}
	}
}

// As exactly as a shop measures: tape to a sixteenth, rule and caliper to hundredths, feeler to
// thousandths (common practice).
func TestSay(t *testing.T) {
	for _, c := range []struct {
		metres       float64
		metric, inch string
	}{
		{0.02499, "25 mm", "0.984 in"}, {0.08075, "80.8 mm", "3.18 in"}, {0.4144, "414.4 mm", "16 5/16 in"}, {0.6096, "609.6 mm", "24 in"},
		{0.00021, "0.21 mm", "0.008 in"}, {0.000001, "0.001 mm", "3.937e-5 in"}, {0, "0 mm", "0 in"}, {-0.08075, "-80.8 mm", "-3.18 in"}, {0.0127, "12.7 mm", "1/2 in"},
	} {
		q := Of(c.metres, Length, "mm")
		assert.Equal(t, c.metric, Metric.Say(q))
		assert.Equal(t, c.inch, Inch.Say(q))
	}
	assert.Equal(t, "328 kg", Metric.Say(Of(327.6, Mass, "kg")))
	assert.Equal(t, "722 lb", Inch.Say(Of(327.6, Mass, "kg")))
	assert.Equal(t, "4.4 kg", Metric.Say(Of(4.36, Mass, "kg")))
	assert.Equal(t, "33.2 ft·lbf", Inch.Say(Of(45, Torque, "N·m")))
	assert.Equal(t, "149 N·m", Metric.Say(Inch.In(Of(149.1, Torque, "N·m"))))
	assert.Equal(t, "0.12 in/ft", Inch.Say(Of(0.01, Number, "mm/m")))
	assert.Equal(t, "60 mm/m", Metric.Say(Inch.In(Of(0.06, Number, "mm/m"))))
	for _, c := range []struct{ system, text, in string }{{"metric", "7.5", "mm"}, {"inch", "0.295", "in"}, {"", "7.5", "mm"}} {
		text, in := System(c.system).Fixed(7.5, "mm", 1)
		assert.Equal(t, c.text+c.in, text+in)
	}
	assert.Equal(t, "11 mm (0.433 in)", Inch.Written(Of(0.011, Length, "mm")))
	assert.Equal(t, "11 mm", Metric.Written(Of(0.011, Length, "mm")))
	text, _ := Metric.Fixed(-0.04, "mm", 1)
	assert.Equal(t, "0.0", text)
	assert.Equal(t, "5.8°", Inch.Say(Of(0.1012, Angle, "°")))
}
