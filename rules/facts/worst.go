package facts

import (
	"fmt"
	"slices"
	"strings"

	"setdown/model/strength"
	"setdown/rules/vehicle"
)

// guess is something that nobody recorded and that a comparison took at its worst. What holds
// all the same is not asked for.
type guess struct {
	path  string // where it is asked for; empty where knowing it would not help
	words string // what was taken, for the list of assumptions
	// gain is how many times more it might bear if it were known; 0 is any number.
	gain float64
	// likely: it is the worst of the trade, and not the worst that a file may say. It has to leave
	// half of what is borne.
	likely bool
}

// guesses are what one comparison took at its worst.
type guesses []guess

// add notes what was taken for a field of an item.
func (g *guesses) add(it item, field string, one guess) {
	one.path = it.Path + "." + field
	*g = append(*g, one)
}

// idle are the same guesses where knowing better would not help.
func (g guesses) idle() guesses {
	out := slices.Clone(g)
	for i := range out {
		out[i].path = ""
	}
	return out
}

// leftByLikely is the share of what is borne that may be used where something was taken at what
// is likely.
const leftByLikely = 0.5

// orWorst is a field, or the worst that the file may say where nobody recorded it.
func orWorst[T any](it item, f field[T], worst T, taken string, g *guesses) T {
	v, stated := f.ifStated(it)
	if stated {
		return v
	}
	g.add(it, paths[f], guess{words: fmt.Sprintf("%s not recorded: %s", named(paths[f]), taken)})
	return worst
}

// named is a field in a sentence.
func named(path string) string { return strings.ReplaceAll(path, "_", " ") }

// orAsk adds to a comparison what it took at its worst, and asks for that where it would not
// do, or where nothing could be computed with it: a stop that a look may clear says what to look
// at. What can help only a little is asked for once that little decides.
func (it item) orAsk(c *Comparison, g guesses) *Comparison {
	limit, best := 1.0, c.Utilisation
	var ask, beside []string
	for _, one := range g {
		if one.words != "" {
			c.Bears.Assumptions = append(slices.Clip(c.Bears.Assumptions), one.words)
		}
		if one.likely {
			limit = leftByLikely
		}
		switch {
		case one.path == "" || slices.Contains(ask, one.path):
		case one.gain > 0:
			best /= one.gain
			beside = append(beside, one.path)
		default:
			ask = append(ask, one.path)
		}
	}
	if len(ask) == 0 && best <= 1 {
		ask = beside
	}
	if len(ask) > 0 && (c.NotComputed != "" || c.Utilisation > limit) {
		it.because(vehicle.NotRecorded(ask...))
	}
	return c
}

// metal is the material that a field names, at a thickness, m, or the weakest there is, of steel
// where that is known.
func (it item) metal(f field[string], thickness float64, steel bool, g *guesses) (strength.Material, error) {
	if name, stated := f.ifStated(it); stated {
		return strength.MaterialOf(name, thickness)
	}
	r := strength.RangeOf(steel)
	g.add(it, paths[f], guess{words: named(paths[f]) + " not recorded: " + r.Least.Name, gain: r.Strongest / r.Least.Welded})
	return r.Least, nil
}
