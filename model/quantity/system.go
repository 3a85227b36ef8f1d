package quantity

// System is the measures that a builder thinks in.
type System string

// The two systems. An empty one is Metric.
const (
	Metric System = "metric"
	Inch   System = "inch"
)

// inInch are the units of the one system for those of the other, as figures are
// computed in.
var inInch = map[string]string{"mm": "in", "m": "ft", "kg": "lb", "N": "lbf", "N·m": "ft·lbf", "N·mm": "in·lbf", "MPa": "ksi", "N/mm": "lbf/in"}

// Of converts a computed figure to the system. A unit that both use, such as a degree,
// stays.
func (s System) Of(value float64, unit string) (float64, string) {
	other, has := inInch[unit]
	from, known := find(unit)
	to, _ := find(other)
	if s != Inch || !has || !known {
		return value, unit
	}
	return value * from.factor / to.factor, to.name
}
