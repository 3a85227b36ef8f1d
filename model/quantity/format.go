package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// digits is how many significant digits a computed number is printed with.
const digits = 4

// notComputed stands where a number would be printed that is none.
const notComputed = "not computed"

// Format prints a computed number for people: at most four significant digits,
// no exponent from 0.0001 up to ten million, no trailing zeros, no minus before
// zero. The whole part of a number below ten million is never rounded away:
// 12345.6 is 12346. What is no number prints as "not computed".
func Format(v float64) string { return format(v, digits) }

// format is Format with n significant digits.
func format(v float64, n int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return notComputed
	}
	if v == 0 {
		return "0"
	}
	if a := math.Abs(v); a < 1e-4 || a >= 1e7 {
		mantissa, exponent, _ := strings.Cut(strconv.FormatFloat(v, 'e', n-1, 64), "e")
		e, _ := strconv.Atoi(exponent)
		if e == -4 { // rounded up to where exponents end
			return format(math.Copysign(1e-4, v), n)
		}
		return trimZeros(mantissa) + "e" + strconv.Itoa(e)
	}
	decimals := n - 1 - int(math.Floor(math.Log10(math.Abs(v))))
	return trimZeros(strconv.FormatFloat(v, 'f', max(0, decimals), 64))
}

func trimZeros(s string) string {
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// foot is up to where a length is written as it was found to be a fraction of an inch;
// what is longer was measured with a tape, which has decimals as often.
const foot = 12

// inchFraction writes a length in inches as a workshop fraction when it is a
// whole number of sixty-fourths, and not a whole number of inches.
func inchFraction(v float64) (string, bool) {
	n := math.Round(v * 64)
	if v <= 0 || math.Abs(v*64-n) > 1e-10*n || math.Mod(n, 64) == 0 {
		return "", false
	}
	over, under := int(n), 64
	for over%2 == 0 {
		over, under = over/2, under/2
	}
	if over > under {
		return fmt.Sprintf("%d %d/%d", over/under, over%under, under), true
	}
	return fmt.Sprintf("%d/%d", over, under), true
}
