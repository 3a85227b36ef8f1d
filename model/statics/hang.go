package statics

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Hang is how a vehicle, or what is lifted out of it, hangs on one hook: a pendulum. It
// turns until its centre of gravity is below the hook.
type Hang struct {
	Tilt  float64 // rad, worst over the ± of masses and centres of gravity
	Above bool    // the hook is above the centre of gravity wherever that may be: it hangs stably
}

// Hang hangs the whole model on a hook.
func (m *Model) Hang(hook Vec) Hang {
	centre, spread := m.origin, m.CentreSpread()
	below := r3.Sub(hook, centre)
	side := math.Hypot(math.Abs(below.X)+spread.X, math.Abs(below.Y)+spread.Y)
	height := below.Z - spread.Z
	return Hang{Tilt: math.Atan2(side, height), Above: height > 0}
}
