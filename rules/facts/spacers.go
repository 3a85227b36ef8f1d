package facts

import (
	"math"

	"setdown/model/quantity"
	"setdown/rules/vehicle"
)

var ofSpacers = fixed(
	// A gap beside a missing spacer is no news; one beside all of them is recorded and bad.
	yesNo("gapes", "a gap was measured although all of them are in; false when nobody measured", func(it item) bool {
		have, counted := spacersIn.ifStated(it)
		want, _ := needed.ifStated(it)
		gap, _ := gapLeft.ifStated(it)
		return counted && have >= want && gap > stackError.of(it.policy())
	}),
	count("missing", "how many are missing", item.short),
	measured("stack_error", quantity.Length, "bracket gap less the full stack, without sign", func(it item) float64 {
		left := bracketGap.of(it) - ballWidth.of(it)
		each := eachSpacer.of(it)
		if it.open() {
			return 0
		}
		return math.Abs(left - float64(needed.of(it))*each)
	}),
	measured("bore_clearance", quantity.Length, "worst play across the bearing, spacer and bolt", func(it item) float64 {
		// An interference counts as its size, because it does not go together. On a bolt that fills
		// its bearing sits no sleeve: the spacers stand beside the ball.
		direct := math.Abs(boreBearing.of(it) - boreBolt.of(it))
		if !it.open() && direct <= boreCaution.of(it.policy()) {
			if inside, measured := boreInside.ifStated(it); measured {
				direct = max(direct, math.Abs(inside-boreBolt.of(it)))
			}
			return direct
		}
		return max(math.Abs(boreBearing.of(it)-boreOutside.of(it)), math.Abs(boreInside.of(it)-boreBolt.of(it)))
	}),
	yesNo("has_stack", "the file gives gap and widths", stack.there),
	yesNo("has_bore", "the file gives bores and bolt", bore.there),
)

// short is how many of what is needed are known not to be there.
func (it item) short() int64 {
	h := it.holder()
	for _, path := range h.Missing {
		it.because(vehicle.NotRecorded(path))
	}
	return h.Short
}
