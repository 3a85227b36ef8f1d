package verdict

import (
	"cmp"
	"fmt"
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
func (s *Step) Balance(u quantity.System) string {
	if s.Stability == nil {
		return ""
	}
	words := s.Stability.In(u)
	if s.Stability.Margin.Value <= 0 || s.Stability.TipAngle.Unit == "" || s.Stability.TipPush.Unit == "" {
		return words
	}
	words += "; it tips over that line at " + s.Stability.TipAngle.String()
	onFirm := len(s.Supports) > 0 && !slices.ContainsFunc(s.Supports, func(r Reaction) bool { return !slices.Contains(firm, r.Kind) })
	switch pulls := s.Stability.Pulls; {
	case pulls != nil:
		return words + pulls.Words(u)
	case onFirm:
		return words + ", or at a push of " + inTwoDigits(u, s.Stability.TipPush) + " at the height of the centre of gravity"
	}
	return words
}

// Words says by which pulls a person moves the vehicle.
func (p *Pulls) Words(u quantity.System) string {
	words := ""
	add := func(pull *Pull, does string) {
		if pull != nil {
			words += ", " + pull.Words(u) + " " + does
		}
	}
	add(p.Tips, "tips it")
	add(p.Slides, "makes it slide")
	add(p.Slews, "slews it round")
	switch {
	case words == "" && p.Partial:
		return "; a pull at a hub may move it, where that is not written"
	case words == "":
		return "; no pull of a person moves it"
	case p.Partial:
		words += ", and a smaller one may at a hub of which nobody wrote where it is"
	}
	return "; a pull of " + words[2:]
}

// Words says how hard, which way and where somebody pulls.
func (p *Pull) Words(u quantity.System) string {
	words := inTwoDigits(u, p.Force) + " " + p.Way
	if p.Bar != nil {
		words += " on a bar of " + u.Say(quantity.Of(p.Bar.Value/1e3, quantity.Length, p.Bar.Unit))
	}
	return words + " at " + p.At
}

func inTwoDigits(u quantity.System, f Figure) string {
	value, unit := u.Of(f.Value, f.Unit)
	return quantity.Format(twoDigits(value)) + " " + unit
}

// In says in the measures of a system the least distance of the centre of gravity from an edge of the supports.
func (s *Stability) In(u quantity.System) string {
	if len(s.Edges) == 0 {
		return s.Words
	}
	edge := slices.MinFunc(s.Edges, func(a, b Edge) int { return cmp.Compare(a.Worst.Value, b.Worst.Value) })
	far := u.Say(quantity.Of(math.Abs(edge.Worst.Value)/1e3, quantity.Length, edge.Worst.Unit))
	words := fmt.Sprintf("centre of gravity at least %s inside the line %s to %s, masses at the worst of their ±", far, edge.From, edge.To)
	if edge.Worst.Value <= 0 {
		words = fmt.Sprintf("centre of gravity may be %s OUTSIDE the line %s to %s", far, edge.From, edge.To)
	}
	if len(s.Polygon) == 3 {
		words = "on three supports: " + words
	}
	return words
}

// twoDigits rounds to two significant digits.
func twoDigits(v float64) float64 {
	if v == 0 {
		return 0
	}
	unit := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-1)
	return math.Round(v/unit) * unit
}
