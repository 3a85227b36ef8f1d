package facts

import (
	"math"
	"slices"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/vehicle"
)

// mostContradiction is how far set heights may tilt the vehicle otherwise than the step
// says, rad: they are read to some millimetres and supports have play.
const mostContradiction = 3 * math.Pi / 180

// setHeights are the supports that are set to a height. Where one of a step has it recorded,
// the others are asked for theirs.
var setHeights = vehicle.OfKind("stand", "crib", "trestle", "table", "hoist pad")

// leaning is the attitude that follows from the set heights of the supports of a step, rad.
type leaning struct {
	nose, left float64
	known      bool
}

func tenth(rad float64) float64 { return math.Round(rad*1800/math.Pi) * math.Pi / 1800 }

// lean computes the attitude.
func (it item) lean() (l leaning) {
	l.nose, l.left, l.known = vehicle.HeightsLean(it.step().Supports)
	return l
}

// leans is the same for what is not computed without it.
func (it item) leans() leaning {
	l := it.lean()
	if !l.known {
		it.not("fewer than three of its supports have a height and a position")
	}
	return l
}

// contradiction is how far the attitude that follows from the set heights is from the step's
// own, rad; nothing where they give none.
func (it item) contradiction() float64 {
	l := it.lean()
	if !l.known {
		return 0
	}
	return max(math.Abs(l.nose-it.stated("pitch").Value), math.Abs(l.left-it.stated("roll").Value))
}

// stated is how a level of the day said that the vehicle stands in a step, nose or left side up, or else how
// it is meant to; level where nobody says.
func (it item) stated(way string) quantity.Quantity {
	if level, counts := it.level(); counts {
		if angle, written := level.Quantity(way); written {
			return angle
		}
	}
	if angle, written := it.step().Quantity(way); written {
		return angle
	}
	return quantity.Of(0, quantity.Angle, "°")
}

// level is what a level on the frame said in a step, where it counts. It hangs on the day.
func (it item) level() (reading *schema.Record, counts bool) {
	if reading, _ = it.step().Record.Record("found"); reading == nil {
		return nil, false
	}
	it.today()
	return it.mechanism().Level(it.step().Record)
}

// attitudeWritten reports whether the step, or a level in it, says how it stands one way.
func (it item) attitudeWritten(way string) bool {
	_, written := it.step().Quantity(way)
	if level, counts := it.level(); counts && !written {
		_, written = level.Quantity(way)
	}
	return written
}

// anyAttitude reports whether they say either. One that says the pitch or the roll alone is level the
// other way.
func (it item) anyAttitude() bool { return it.attitudeWritten("pitch") || it.attitudeWritten("roll") }

// heightOff is the contradiction, with what somebody wrote.
func heightOff(it item) float64 {
	if !it.anyAttitude() {
		return 0
	}
	return tenth(it.contradiction())
}

// heightsApart is how far apart the set heights are that nothing explains, m: a checklist
// knows no places, so that only the step can say that it stands tilted, and by its pitch alone
// not whether its left supports are the high ones. A jack counts that somebody measured.
func heightsApart(it item) float64 {
	_, pitch := it.step().Quantity("pitch")
	_, roll := it.step().Quantity("roll")
	if it.lean().known {
		return 0
	}
	var heights []float64
	at := map[string][]float64{} // by end and by side
	for _, support := range it.step().Supports {
		if h, set := setHeight.ifStated(it.of(support)); set && (setHeights(support) || vehicle.OfKind("jack")(support)) {
			heights = append(heights, h)
			where := it.mechanism().StandsAt(support)
			at[where.End], at[where.Side] = append(at[where.End], h), append(at[where.Side], h)
		}
	}
	if len(heights) == 0 || pitch && roll && it.tiltOf("pitch", at["front"], at["rear"]) && it.tiltOf("roll", at["left"], at["right"]) {
		return 0
	}
	apart := slices.Max(heights) - slices.Min(heights)
	if (pitch || roll) && apart > heightsMost.of(it.policy()) {
		it.wants(pitch, "pitch")
		it.wants(roll, "roll")
	}
	return apart
}

// supportsApart is how far apart along and across a vehicle its supports may stand, m, least and most:
// common practice, from a microcar to a lorry.
var supportsApart = map[string][2]float64{"pitch": {1, 5}, "roll": {0.4, 2.5}}

// tiltOf reports whether heights of which nobody knows how far apart they stand can go with the angle of a
// step, front or left ones against the others.
func (it item) tiltOf(way string, high, low []float64) bool {
	if len(high) == 0 || len(low) == 0 {
		return true
	}
	rise := mean(high) - mean(low)
	near, far := math.Atan(rise/supportsApart[way][0]), math.Atan(rise/supportsApart[way][1])
	said, play := it.stated(way).Value, heightMisread.of(it.policy())
	return said >= min(near, far)-play && said <= max(near, far)+play
}

func mean(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum / float64(len(values))
}

// heightsContradict reports whether the set heights say otherwise than the step. So far from
// level a height may be misread: a step that says nothing is asked.
func heightsContradict(it item) bool {
	if it.contradiction() > mostContradiction {
		it.wants(it.anyAttitude(), "pitch")
		return true
	}
	heights := false
	var without []item
	for _, support := range it.step().Supports {
		if !setHeights(support) {
			continue
		}
		if _, set := setHeight.ifStated(it.of(support)); set {
			heights = true
		} else {
			without = append(without, it.of(support))
		}
	}
	if heights {
		for _, s := range without {
			setHeight.of(s)
		}
	}
	return false
}
