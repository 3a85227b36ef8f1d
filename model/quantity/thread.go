package quantity

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"setdown/model/source"
)

// Thread is a screw thread as the trade writes it. The zero value is no thread.
type Thread struct {
	Text     string // in the one way it is printed: "M12x1.75", "1/2-20 UNF LH"
	Metric   bool
	Diameter float64 // nominal, m
	Pitch    float64 // m
	Left     bool
	Series   string // UNC, UNF, UNEF, UN or UNS; "" for a metric thread
}

// The forms of a thread once hand and class are off. A class of fit (6g, 2A)
// does not change what screws into what and is dropped.
var (
	handEnd      = regexp.MustCompile(`(?i)^(.*?)[ -]*(LH|RH|left|right|left[ -]hand|right[ -]hand)$`)
	metricThread = regexp.MustCompile(`^[Mm] ?(\d+(?:\.\d+)?)(?: ?[x×X*-] ?(\d*\.?\d+))?(?:[ -]+(?:\d[a-zA-Z]){1,2}(?:/\d[a-zA-Z])?)?$`)
	inchThread   = regexp.MustCompile(`^(#? ?\d+|\d+/\d+|\d+[ -]\d+/\d+|\d*\.\d+)[ "″]*(?: ?[-x×] ?(\d+))?(?: ?([Uu][Nn](?:[CcFfSs]|[Ee][Ff])?))?(?:[ -]+\d[ABab])?$`)
	british      = regexp.MustCompile(`(?i)\b(BSW|BSF|BSP[PT]?|BA|BSCy?|CEI)\b`)
)

const threadExample = "M12x1.75, 1/2-20 UNF or M12x1.75 LH"

// ParseThread reads M12x1.75, M12 (coarse pitch), 1/2-20 UNF, 1/2-20, 1/2 UNF or
// #10-32, with LH at the end for a left-hand thread. A pitch that the standard
// does not list for its diameter is an error with those that it does list,
// because it is nearly always a slip.
func ParseThread(text string) (Thread, error) {
	clean, err := tidy(text, "thread", threadExample)
	if err != nil {
		return Thread{}, err
	}
	base, left := clean, false
	if m := handEnd.FindStringSubmatch(clean); m != nil {
		base, left = m[1], strings.HasPrefix(strings.ToLower(m[2]), "l")
	}
	var t Thread
	if m := metricThread.FindStringSubmatch(base); m != nil {
		t, err = metric(m[1], m[2])
	} else if m := inchThread.FindStringSubmatch(base); m != nil && (m[2] != "" || m[3] != "") {
		t, err = unified(m[1], m[2], strings.ToUpper(m[3]))
	} else if british.MatchString(base) {
		err = fmt.Errorf("is a British thread, and BSW, BSF, BSP and BA are not known here; leave it out and have the joint looked at by somebody who knows it")
	} else {
		err = fmt.Errorf("is not a metric or unified thread; write it as %s", threadExample)
	}
	if err != nil {
		return Thread{}, fmt.Errorf("%q %w", clean, err)
	}
	if t.Left = left; left {
		t.Text += " LH"
	}
	return t, nil
}

// metric looks a metric thread up by its diameter and pitch in mm.
func metric(diameter, pitch string) (Thread, error) {
	d, err := strconv.ParseFloat(diameter, 64)
	if err != nil {
		return Thread{}, fmt.Errorf("has no diameter that can be read")
	}
	i := slices.IndexFunc(metricSizes, func(s metricSize) bool { return s.diameter == d })
	if i < 0 {
		return Thread{}, fmt.Errorf("has no standard diameter; near it are %s", near(metricSizes, func(s metricSize) (string, float64) { return "M" + Format(s.diameter), s.diameter }, d))
	}
	size := metricSizes[i]
	p := size.coarse
	switch {
	case pitch != "":
		if p, err = strconv.ParseFloat(pitch, 64); err != nil {
			return Thread{}, fmt.Errorf("has no pitch that can be read")
		}
	case p == 0:
		return Thread{}, fmt.Errorf("has no coarse pitch; write it as M%sx%s", Format(d), Format(size.fine[0]))
	}
	if p != size.coarse && !slices.Contains(size.fine, p) || p == 0 {
		var standard []string
		for _, s := range append([]float64{size.coarse}, size.fine...) {
			if s != 0 {
				standard = append(standard, fmt.Sprintf("M%sx%s", Format(d), Format(s)))
			}
		}
		return Thread{}, fmt.Errorf("has a pitch that is not standard; there is %s", source.Either(standard))
	}
	return Thread{Text: fmt.Sprintf("M%sx%s", Format(d), Format(p)), Metric: true, Diameter: d / 1000, Pitch: p / 1000}, nil
}

// sizeRounding is how far a unified diameter written as a decimal may be from
// the exact one, in inches: 0.437 stands for 7/16. Sizes are 0.012 apart or more.
const sizeRounding = 0.0006

// unified looks a unified thread up by its size, its threads an inch and its
// series, of which one may be "".
func unified(size, perInch, series string) (Thread, error) {
	i := slices.IndexFunc(unifiedSizes, func(s unifiedSize) bool { return isSize(s, size) })
	if i < 0 {
		name := func(s unifiedSize) (string, float64) { return s.name, s.diameter }
		d, err := decimal(size)
		if err != nil || d == 0 || strings.HasPrefix(size, "#") {
			return Thread{}, fmt.Errorf("has no standard size; write it as 1/2-20 UNF or #10-32 UNF")
		}
		return Thread{}, fmt.Errorf("has no standard size; near it are %s", near(unifiedSizes, name, d))
	}
	s := unifiedSizes[i]
	n, _ := strconv.ParseFloat(perInch, 64) // digits only, or nothing
	var standard []string
	for _, p := range s.pitches() {
		isSeries := series == "" || series == p.series || series == "UN"
		if perInch == "" && series == p.series && series != "UN" && series != "UNS" || perInch != "" && n == p.perInch && isSeries {
			text := fmt.Sprintf("%s-%s %s", s.name, Format(p.perInch), p.series)
			return Thread{Text: text, Diameter: s.diameter * inch, Pitch: inch / p.perInch, Series: p.series}, nil
		}
		standard = append(standard, fmt.Sprintf("%s-%s %s", s.name, Format(p.perInch), p.series))
	}
	return Thread{}, fmt.Errorf("is not in the standard; for that size there is %s", source.Either(standard))
}

// isSize tells whether a text names a unified size. A whole number is a
// numbered size, as in 10-32, but for 1: one inch is far more usual than #1.
func isSize(s unifiedSize, text string) bool {
	if number, ok := strings.CutPrefix(strings.ReplaceAll(text, "# ", "#"), "#"); ok {
		return s.name == "#"+number
	}
	if s.name == "#"+text {
		return text != "1"
	}
	d, err := decimal(text)
	return err == nil && math.Abs(d-s.diameter) <= sizeRounding
}

// near names the two entries of a table, ordered by size, around a size.
func near[T any](table []T, of func(T) (string, float64), size float64) string {
	i := slices.IndexFunc(table, func(e T) bool { _, v := of(e); return v > size })
	switch i {
	case -1:
		i = len(table) - 1
	case 0:
		i = 1
	}
	below, _ := of(table[i-1])
	above, _ := of(table[i])
	return below + " and " + above
}

// String prints the thread as the trade writes it.
func (t Thread) String() string { return t.Text }

// Mates reports whether a nut of one thread belongs on a bolt of the other: same
// system, diameter, pitch and hand. What is no thread mates with nothing.
func (t Thread) Mates(o Thread) bool {
	const same = 1e-7 // m; the nearest different pitches are a hundred times further apart
	return t.Diameter > 0 && t.Metric == o.Metric && t.Left == o.Left &&
		math.Abs(t.Diameter-o.Diameter) < same && math.Abs(t.Pitch-o.Pitch) < same
}
