package quantity

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Thread is a screw thread as the trade writes it.
type Thread struct {
	Text     string // as written, tidied: "M12x1.75", "1/2-20 UNF LH"
	Metric   bool
	Diameter float64 // nominal, m
	Pitch    float64 // m
	Left     bool
	Series   string // UNC, UNF or "" where it was not written
}

var (
	metricThread = regexp.MustCompile(`^M ?(\d+(?:\.\d+)?)(?: ?[x×X] ?(\d+(?:\.\d+)?))?(?: ?-? ?\d[a-zA-Z]{1,2})?(?: (LH|RH|left|right))?$`)
	inchThread   = regexp.MustCompile(`^(#?\d+(?:[ -]\d+)?(?:/\d+)?|\d*\.\d+) ?- ?(\d+)(?: ?(UNC|UNF|UNEF|UN|UNS))?(?: ?-? ?\d[AB])?(?: (LH|RH|left|right))?$`)
)

// ParseThread reads M12x1.75, M12 (coarse pitch), 1/2-20 UNF or 3/8-16, with LH
// at the end for a left-hand thread. A pitch that no standard lists for its
// diameter is an error, because it is nearly always a slip.
func ParseThread(text string) (Thread, error) {
	if len(text) > maxText {
		return Thread{}, fmt.Errorf("too long for a thread, for example M12x1.75 or 1/2-20 UNF")
	}
	clean := tidy(text)
	if m := metricThread.FindStringSubmatch(clean); m != nil {
		return metric(text, m)
	}
	if m := inchThread.FindStringSubmatch(clean); m != nil {
		return unified(text, m)
	}
	return Thread{}, fmt.Errorf("%q is no thread; write it as M12x1.75, 1/2-20 UNF or M12x1.75 LH", text)
}

func metric(text string, m []string) (Thread, error) {
	d, err := strconv.ParseFloat(m[1], 64)
	pitches := metricPitches[d]
	if err != nil || len(pitches) == 0 {
		return Thread{}, fmt.Errorf("%q: no standard metric thread has %s mm", text, m[1])
	}
	pitch := pitches[0]
	if m[2] != "" {
		if pitch, err = strconv.ParseFloat(m[2], 64); err != nil {
			return Thread{}, fmt.Errorf("%q: %s is no pitch", text, m[2])
		}
		if !contains(pitches, pitch) {
			return Thread{}, fmt.Errorf("%q: M%s has no pitch of %s mm; it has %s", text, m[1], m[2], join(pitches))
		}
	}
	t := Thread{Metric: true, Diameter: d * 1e-3, Pitch: pitch * 1e-3, Left: isLeft(m[3])}
	t.Text = "M" + Format(d) + "x" + Format(pitch)
	if t.Left {
		t.Text += " LH"
	}
	return t, nil
}

func unified(text string, m []string) (Thread, error) {
	d, err := unifiedDiameter(m[1])
	if err != nil {
		return Thread{}, fmt.Errorf("%q: %w", text, err)
	}
	n, err := strconv.ParseFloat(m[2], 64)
	if err != nil || n < 4 || n > 80 {
		return Thread{}, fmt.Errorf("%q: %s threads an inch is no unified thread", text, m[2])
	}
	series := ""
	known := false
	for _, s := range unifiedSeries {
		if math.Abs(s.diameter-d) > 1e-6 {
			continue
		}
		switch n {
		case s.coarse:
			series, known = "UNC", true
		case s.fine:
			series, known = "UNF", true
		case s.extraFine:
			series, known = "UNEF", true
		}
		if !known {
			return Thread{}, fmt.Errorf("%q: %s has no %s threads an inch; it has %s (UNC), %s (UNF)", text, m[1], m[2], Format(s.coarse), Format(s.fine))
		}
	}
	if !known {
		return Thread{}, fmt.Errorf("%q: no standard unified thread has the size %s", text, m[1])
	}
	if m[3] != "" && m[3] != series && m[3] != "UN" && m[3] != "UNS" {
		return Thread{}, fmt.Errorf("%q: %s-%s is %s, not %s", text, m[1], m[2], series, m[3])
	}
	t := Thread{Diameter: d * inch, Pitch: inch / n, Series: series, Left: isLeft(m[4])}
	t.Text = strings.ReplaceAll(m[1], "-", " ") + "-" + m[2] + " " + series
	if t.Left {
		t.Text += " LH"
	}
	return t, nil
}

func unifiedDiameter(s string) (float64, error) {
	if no, ok := strings.CutPrefix(s, "#"); ok {
		n, err := strconv.Atoi(no)
		if err != nil || n > 12 {
			return 0, fmt.Errorf("%s is no numbered size", s)
		}
		return 0.060 + 0.013*float64(n), nil // ASME B1.1: 0.060 in + 0.013 in a number
	}
	return number(s)
}

func isLeft(hand string) bool { return hand == "LH" || hand == "left" }

func contains(list []float64, v float64) bool {
	for _, e := range list {
		if math.Abs(e-v) < 1e-9 {
			return true
		}
	}
	return false
}

func join(list []float64) string {
	parts := make([]string, len(list))
	for i, v := range list {
		parts[i] = Format(v)
	}
	return strings.Join(parts, ", ")
}

// String prints the thread as the trade writes it.
func (t Thread) String() string { return t.Text }

// Mates reports whether a nut of one thread belongs on a bolt of the other:
// same system, diameter, pitch and hand.
func (t Thread) Mates(o Thread) bool {
	return t.Metric == o.Metric && t.Left == o.Left &&
		math.Abs(t.Diameter-o.Diameter) < 1e-7 && math.Abs(t.Pitch-o.Pitch) < 1e-7
}
