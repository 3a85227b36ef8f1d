// Package plain holds the words and figures that all writers share, so that a
// finding reads the same on a terminal, on a page and in a log: what is missing,
// why a rule came out so, how many things hold a move.
//
// What it returns may hold text of the build file. Each writer makes that harmless
// in its own way; Line and Lines take out what no writer may let through.
package plain

import (
	"fmt"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"setdown/rules/verdict"
)

// Line makes a text harmless on one line: no control or format characters, no
// line breaks, nothing that is not valid.
func Line(s string) string {
	return strings.Map(func(r rune) rune {
		if r == '\n' {
			return ' '
		}
		return harmless(r)
	}, s)
}

// Lines does the same and keeps the line breaks.
func Lines(s string) string { return strings.Map(harmless, s) }

// harmless drops what moves a cursor, hides or turns the text around it, and what
// XML forbids.
func harmless(r rune) rune {
	switch {
	case r == '\n':
		return r
	case unicode.IsSpace(r), unicode.In(r, unicode.Zl, unicode.Zp):
		return ' '
	case unicode.IsControl(r), unicode.Is(unicode.Cf, r), r == utf8.RuneError, r&0xfffe == 0xfffe:
		return -1
	}
	return r
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

// Use prints a utilisation with two places, so that columns can be compared. It
// never rounds to one what is more, nor to nothing what is something.
func Use(v float64) string {
	text := fmt.Sprintf("%.2f", v)
	switch {
	case v > 1 && text == "1.00":
		return ">1.00"
	case v > 0 && text == "0.00":
		return "<0.01"
	}
	return text
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
