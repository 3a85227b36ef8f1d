package check

import (
	"math"

	"setdown/model"
	"setdown/model/schema"
	"setdown/rules/vehicle"
	"setdown/rules/verdict"
)

// mark writes into each finding where its item is on the vehicle, for the pictures.
func (c *checker) mark(findings []verdict.Finding) {
	for i := range findings {
		if item := c.build.Item(findings[i].Item); item != nil {
			findings[i].At = c.where(item)
		}
	}
}

// where lists the places of an item: its own, those of the joints and link ends that it
// fastens, the middle of a link. What is not recorded is left out.
func (c *checker) where(item *model.Item) []verdict.Point {
	if p, placed := at(item); placed {
		return []verdict.Point{p}
	}
	v := c.facts.Vehicle
	if ends := v.Ends(item); len(ends) == 2 && ends[0].At != nil && ends[1].At != nil {
		a, b := inMillimetres(*ends[0].At), inMillimetres(*ends[1].At)
		return []verdict.Point{{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2, Z: (a.Z + b.Z) / 2}}
	}
	if item.Kind.Field("holds") == nil {
		return nil
	}
	var list []verdict.Point
	for _, name := range item.Texts("holds") {
		if m := v.Meet(name); m != nil && m.At != nil {
			list = append(list, inMillimetres(*m.At))
		} else if held := c.build.Item(name); held != nil && m == nil {
			if p, placed := at(held); placed {
				list = append(list, p)
			}
		}
	}
	return list
}

// at is the place of an item, where it has one.
func at(item *model.Item) (verdict.Point, bool) {
	v, placed := vehicle.Lookup[schema.Vec](item, "at")
	return inMillimetres(v), placed
}

func inMillimetres(v schema.Vec) verdict.Point {
	return verdict.Point{X: v.X * 1e3, Y: v.Y * 1e3, Z: v.Z * 1e3}
}

func place(v schema.Vec) verdict.Point {
	return verdict.Point{X: v.X * 1e3, Y: v.Y * 1e3, Z: v.Z * 1e3, Tol: [3]float64{v.Tol[0] * 1e3, v.Tol[1] * 1e3, v.Tol[2] * 1e3}}
}

// placed is the number of a place on the walk round; unknown places come last.
func (c *checker) placed(place string) int {
	if n, ok := c.order[place]; ok {
		return n
	}
	return math.MaxInt
}
