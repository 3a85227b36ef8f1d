package verdict

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"setdown/model/quantity"
)

// Kinds of supports by how they let go under a push: what stands on the first has
// nothing below it that tips before it does; the second may tip or slide.
var (
	firm     = []string{"wheel", "dolly", "table"}
	standing = []string{"stand", "crib", "trestle", "jack"}
)

// Balance words how far the vehicle is from tipping; it is empty where that was
// not computed. The push that tips it is given only where it stands on its own
// wheels, a dolly or a table: stands may tip or slide long before it does, and
// that is not computed. Two digits are all that the push is good for.
func (s *Step) Balance(u quantity.System) string {
	if s.Stability == nil {
		return ""
	}
	words := s.Stability.In(u)
	if s.Stability.Margin.Value <= 0 || s.Stability.TipAngle.Unit == "" || s.Stability.TipPush.Unit == "" {
		return words
	}
	words += "; it tips over that line at " + s.Stability.TipAngle.String()
	on := func(kinds []string) func(Reaction) bool {
		return func(r Reaction) bool { return slices.Contains(kinds, r.Kind) }
	}
	switch {
	case len(s.Supports) > 0 && !slices.ContainsFunc(s.Supports, func(r Reaction) bool { return !on(firm)(r) }):
		push, unit := u.Of(s.Stability.TipPush.Value, s.Stability.TipPush.Unit)
		return words + fmt.Sprintf(", or at a push of %s %s at the height of the centre of gravity", quantity.Format(twoDigits(push)), unit)
	case slices.ContainsFunc(s.Supports, on(standing)):
		return words + "; the stands may tip or slide sooner: not computed"
	}
	return words + "; the supports may give way sooner: not computed"
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
