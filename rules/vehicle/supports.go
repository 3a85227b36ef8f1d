package vehicle

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/statics"
)

// height is the height of a support above a level floor; nil where nobody set one, and where a level
// says how the vehicle stands. A wheel stands on the floor unless it says what lies under it.
func (in situation) height(support *model.Item) *statics.Height {
	kind, _ := support.Text("kind")
	h, set := support.Quantity("height")
	switch {
	case in.level:
		return nil
	case kind == "jack" || kind == "crane":
		return nil // it moves
	case set && h.Tol == 0:
		return &statics.Height{Z: h.Value, Tol: Tape}
	case set:
		return &statics.Height{Z: h.Value, Tol: h.Tol}
	case kind == "wheel":
		return &statics.Height{}
	}
	return nil
}

// The friction by which a support holds a sideways push, as a share of its load. A foot on
// concrete holds more than a saddle (0.3), so that the saddle decides.
const (
	saddleHolds = 0.2 // smooth or painted steel on steel, dry: the low end of handbook tables
	oilyHolds   = 0.1 // oil or grease between
	tyreHolds   = 0.3 // rubber on wet concrete
	jackHolds   = 0.1 // a trolley jack across its own length
)

// A stand without a base in the file counts with this one, m, up to this height, m.
const (
	usualBase = 0.2
	lowStand  = 0.5
)

// threeFeet is the distance from the middle of three feet to the edge between two of them, as
// a share of the distance of these; of four feet it is a half.
const threeFeet = 0.29

// FootHolds is the sideways push at the head of a stand, crib or trestle that tips it over an
// edge of its own feet, as a share of its load; what is not written leaves it unknown. Feet that
// nobody counted are three.
func FootHolds(support *model.Item) (share float64, unknown *Unknown) {
	height, set := support.Quantity("height")
	if !set {
		return 0, NotRecorded(support.Path() + ".height")
	}
	base, written := support.Quantity("base")
	if !written {
		base, written = support.Quantity("block_length")
	}
	switch feet, counted := support.Count("feet"); {
	case !written && height.Value > lowStand:
		return 0, NotRecorded(support.Path() + ".base")
	case !written:
		return usualBase * threeFeet / height.Value, nil
	case counted && feet != 3:
		return base.Value / 2 / height.Value, nil
	}
	return base.Value * threeFeet / height.Value, nil
}

// contact is how a support takes a sideways push. What is asked for by a rule of its own and
// nobody wrote, a lock or a chock, is taken as good here; what is written as bad is not.
func (v *Vehicle) contact(support *model.Item, s situation) *statics.Contact {
	bad := func(item *model.Item, field string) bool {
		good, written := item.Bool(field)
		return written && !good
	}
	c := &statics.Contact{Mu: saddleHolds}
	if oily, _ := support.Bool("found.oily"); oily {
		c.Mu = oilyHolds
	}
	kind, _ := support.Text("kind")
	dolly, _ := support.Text("dolly")
	switch kind {
	case "wheel", "dolly", "table":
		switch castors := v.Build.Item(dolly); {
		case s.rolls:
			return nil // it takes what pushes it along, and tips before it slides
		case kind == "wheel":
			c.Mu, c.Floor = tyreHolds, true
			if bad(support, "found.chocked") {
				c.Rolls = r3.Vec{X: 1}
			}
		case castors != nil && bad(castors, "found.held"):
			c.Mu = 0
		}
	case "jack":
		along, written := support.Text("along")
		c.Mu = min(c.Mu, jackHolds)
		switch along {
		case "x":
			c.Rolls = r3.Vec{X: 1}
		case "y":
			c.Rolls = r3.Vec{Y: 1}
		}
		if !written || s.works {
			c.Mu = 0
		}
	case "hoist pad":
		if bad(support, "found.locked") {
			c.Mu = 0
		}
	case "crane":
		c.Mu = 0
	default:
		_, base := support.Quantity("base")
		_, length := support.Quantity("block_length")
		if share, unknown := FootHolds(support); unknown == nil && (base || length || !s.wide) {
			c.Mu = min(c.Mu, share)
		}
	}
	return c
}

// spins is the bearing on which the wheel on a support turns freely; nil of everything else. Chocks
// hold it as a brake would; they are asked for by a rule of their own. In a roll nobody has to.
func (v *Vehicle) spins(support *model.Item, in situation) *statics.Spin {
	under, _ := support.Text("under")
	if !OfKind("wheel")(support) {
		return nil
	}
	for _, m := range v.Meets {
		if m.motion != hinge || m.At == nil || m.Axis == nil || !slices.Contains(m.Parts[:], under) {
			continue
		}
		if may, _ := Lookup[bool](m.Item, "swings"); may {
			chocked, written := support.Bool("found.chocked")
			return &statics.Spin{At: Point(*m.At), Along: Point(*m.Axis), Held: in.rolls || chocked || !written}
		}
	}
	return nil
}
