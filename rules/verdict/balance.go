package verdict

import (
	"math"
	"slices"

	"setdown/model/quantity"
)

// firm are the kinds of supports that have nothing below them that tips or slides before
// the vehicle does.
var firm = []string{"wheel", "dolly", "table"}

// Balance words how far the vehicle is from tipping; it is empty where that was
// not computed. What pull of a person moves it stands in place of the push that tips it
// where somebody works on it. Two digits are all that either is good for.
func (s *Step) Balance() string {
	if s.Stability == nil {
		return ""
	}
	words := s.Stability.Words
	if s.Stability.Margin.Value <= 0 || s.Stability.TipAngle.Unit == "" || s.Stability.TipPush.Unit == "" {
		return words
	}
	words += "; it tips over that line at " + s.Stability.TipAngle.String()
	onFirm := len(s.Supports) > 0 && !slices.ContainsFunc(s.Supports, func(r Reaction) bool { return !slices.Contains(firm, r.Kind) })
	switch pulls := s.Stability.Pulls; {
	case pulls != nil:
		return words + pulls.Words()
	case onFirm:
		return words + ", or at a push of " + inTwoDigits(s.Stability.TipPush) + " at the height of the centre of gravity"
	}
	return words
}

// Words says by which pulls a person moves the vehicle.
func (p *Pulls) Words() string {
	words := ""
	add := func(pull *Pull, does string) {
		if pull != nil {
			words += ", " + pull.Words() + " " + does
		}
	}
	add(p.Tips, "tips it")
	add(p.Slides, "makes it slide")
	add(p.Slews, "slews it round")
	if words == "" {
		return "; no pull of a person moves it"
	}
	return "; a pull of " + words[2:]
}

// Words says how hard, which way and where somebody pulls.
func (p *Pull) Words() string {
	words := inTwoDigits(p.Force) + " " + p.Way
	if p.Bar != nil {
		words += " on a bar of " + p.Bar.String()
	}
	return words + " at " + p.At
}

func inTwoDigits(f Figure) string {
	return quantity.Format(twoDigits(f.Value)) + " " + f.Unit
}

// twoDigits rounds to two significant digits.
func twoDigits(v float64) float64 {
	if v == 0 {
		return 0
	}
	unit := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-1)
	return math.Round(v/unit) * unit
}
