package svg

import (
	"slices"
	"strconv"
	"strings"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// Mark is a numbered fault in a picture.
type Mark struct {
	Number int
	At     verdict.Point
	Place  string
	Shape  Shape
	Word   string // what is wrong, in few words
}

// shapeWords are the words for the shapes, in the order in which a caption has them.
var shapeWords = []struct {
	shape Shape
	word  string
}{{Missing, "missing"}, {Over, "overloaded"}, {Loose, "loose"}, {Tacked, "not fully welded"}, {Unseen, "not looked at"}, {Other, "see the list"}}

// Caption is the numbers of marks with the words for their shapes, as in '3 missing; 4, 5 not
// fully welded'.
func Caption(marks []Mark) string {
	var parts []string
	for _, s := range shapeWords {
		var numbers []string
		for _, m := range marks {
			if n := strconv.Itoa(m.Number); m.Shape == s.shape && !slices.Contains(numbers, n) {
				numbers = append(numbers, n)
			}
		}
		if len(numbers) > 0 {
			parts = append(parts, strings.Join(numbers, ", ")+" "+s.word)
		}
	}
	return strings.Join(parts, "; ")
}

// Shape is the sign of a mark. It can be told without colour.
type Shape string

// The shapes of marks.
const (
	Missing Shape = "missing" // a ring with a cross
	Tacked  Shape = "tack"    // a diamond with a dot
	Loose   Shape = "loose"   // a ring half filled
	Over    Shape = "over"    // a triangle on its point
	Unseen  Shape = "unseen"  // an empty square
	Other   Shape = "other"   // a square with a cross
)

// Marks lists the faults of a sheet that have a place on the vehicle, with the shape
// that the step's outline gives them.
func Marks(stops []plain.Stop, s *verdict.Step) []Mark {
	var list []Mark
	for _, stop := range stops {
		for i, at := range stop.At {
			for _, p := range at {
				if known(p) {
					list = append(list, Mark{Number: stop.Number, At: p, Place: stop.Places[i], Shape: shape(stop, p, s.Outline), Word: stop.Gist()})
				}
			}
		}
	}
	return list
}

// shape is the sign of a fault: the state of the joint or link end at its place, where it can be
// that of the thing itself, else whether it is past its strength. Several things hold one joint,
// and its state is that of the worst of them: the work tells which this one is.
func shape(stop plain.Stop, at verdict.Point, o *verdict.Outline) Shape {
	other := Other
	switch {
	case stop.Over:
		other = Over
	case stop.Phase == "torque":
		other = Loose // whatever it holds
	}
	if o == nil {
		return other
	}
	states := map[string]Shape{"not recorded": Unseen}
	switch {
	case stop.Kind == "welds":
		states["tack"] = Tacked
	case stop.Phase == "fit":
		states["missing"] = Missing
	case stop.Phase == "torque":
		states["missing"], states["loose"] = Loose, Loose
	default:
		states["missing"], states["loose"] = Missing, Loose
	}
	here := func(p verdict.Point) bool { return p.X == at.X && p.Y == at.Y && p.Z == at.Z }
	for _, j := range o.Joints {
		if found, bad := states[j.State]; bad && here(j.At) {
			return found
		}
	}
	for _, m := range o.Members {
		if found, bad := states[m.State]; bad && (here(m.From) || here(m.To)) {
			return found
		}
	}
	return other
}

// mark draws the sign, r across its half.
func (c *canvas) mark(s Shape, at xy, r float64) {
	c.taken = append(c.taken, around(at, 1.4*r))
	switch s {
	case Missing:
		c.circle("mk", at, r)
		c.line("mkx", false, xy{at.x - .6*r, at.y - .6*r}, xy{at.x + .6*r, at.y + .6*r})
		c.line("mkx", false, xy{at.x - .6*r, at.y + .6*r}, xy{at.x + .6*r, at.y - .6*r})
	case Tacked:
		d := 1.25 * r
		c.line("mk", true, xy{at.x, at.y - d}, xy{at.x + d, at.y}, xy{at.x, at.y + d}, xy{at.x - d, at.y})
		c.circle("mks", at, .45*r)
	case Loose:
		c.circle("mk", at, r)
		c.half("mks", at, r)
	case Over:
		c.line("mk", true, xy{at.x, at.y + 1.3*r}, xy{at.x + 1.35*r, at.y - .9*r}, xy{at.x - 1.35*r, at.y - .9*r})
	case Unseen:
		c.line("mk", true, xy{at.x - r, at.y - r}, xy{at.x + r, at.y - r}, xy{at.x + r, at.y + r}, xy{at.x - r, at.y + r})
	default:
		c.line("mk", true, xy{at.x - r, at.y - r}, xy{at.x + r, at.y - r}, xy{at.x + r, at.y + r}, xy{at.x - r, at.y + r})
		c.line("mkx", false, xy{at.x - .6*r, at.y - .6*r}, xy{at.x + .6*r, at.y + .6*r})
		c.line("mkx", false, xy{at.x - .6*r, at.y + .6*r}, xy{at.x + .6*r, at.y - .6*r})
	}
}

// words lists the marks for those who cannot see them.
func words(marks []Mark) string {
	text := ""
	for _, m := range marks {
		text += " " + strconv.Itoa(m.Number) + ": " + m.Word + "."
	}
	return text
}
