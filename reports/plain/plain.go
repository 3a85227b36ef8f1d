// Package plain holds the words and figures that all writers share, so that a
// finding reads the same on a terminal, on a page and in a log: what is missing,
// why a rule came out so, how many things stop a move.
//
// What it returns may hold text of the build file. Each writer makes that harmless
// in its own way; Line and Lines take out what no writer may let through.
package plain

import (
	"fmt"
	"math"
	"strings"
	"unicode"

	"setdown/model/source"
	"setdown/rules/verdict"
)

// Line makes a text harmless on one line (source.Visible); whatever is white space in
// it, line breaks too, is a space.
func Line(s string) string {
	return source.Visible(strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || unicode.In(r, unicode.Zs, unicode.Zl, unicode.Zp) {
			return ' '
		}
		return r
	}, s))
}

// Lines does the same line by line.
func Lines(s string) string {
	lines := strings.Split(s, "\n")
	for i := range lines {
		lines[i] = Line(lines[i])
	}
	return strings.Join(lines, "\n")
}

// Shown prints a figure to be read: whole from ten on, for nothing here is known
// better than that. Inches have one digit more up to a hundred.
func Shown(f verdict.Figure) string {
	digits := 0.0
	switch a := math.Abs(f.Value); {
	case a >= 10 && a < 100 && f.Unit == "in":
		digits = 1
	case a >= 10:
	case a >= 1:
		digits = 1
	default:
		digits = 2
	}
	scale := math.Pow(10, digits)
	return verdict.Figure{Value: math.Round(f.Value*scale) / scale, Unit: f.Unit}.String()
}

// Percent prints a utilisation as a percentage. It never rounds to 100 what is more,
// nor to nothing what is something.
func Percent(v float64) string {
	text := fmt.Sprintf("%.0f %%", 100*v)
	switch {
	case v > 1 && text == "100 %":
		return ">100 %"
	case v > 0 && text == "0 %":
		return "<1 %"
	}
	return text
}

// Count prints a number with its noun.
func Count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
