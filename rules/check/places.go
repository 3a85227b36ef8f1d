package check

import (
	"math"
	"slices"
	"strings"

	"setdown/model"
	"setdown/model/schema"
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
	if at, ok := at(item.Record); ok {
		return []verdict.Point{at}
	}
	recorded := item.Names()
	switch {
	case slices.Contains(recorded, "ends"):
		ends, _ := item.Record.Record("ends")
		var list []verdict.Point
		for _, name := range ends.Names() {
			if end, ok := ends.Record(name); ok {
				if p, ok := at(end); ok {
					list = append(list, p)
				}
			}
		}
		if len(list) == 2 {
			a, b := list[0], list[1]
			return []verdict.Point{{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2, Z: (a.Z + b.Z) / 2}}
		}
	case slices.Contains(recorded, "holds"):
		var list []verdict.Point
		for _, ref := range item.Texts("holds") {
			id, end, isEnd := strings.Cut(ref, "/")
			held := c.build.Item(id)
			if held == nil {
				continue
			}
			record, ok := held.Record, true
			if isEnd {
				record, ok = record.Record("ends." + end)
			}
			if ok {
				if p, known := at(record); known {
					list = append(list, p)
				}
			}
		}
		return list
	}
	return nil
}

// at is the place of a record, in millimetres, where it has one.
func at(r *schema.Record) (verdict.Point, bool) {
	if !slices.Contains(r.Names(), "at") {
		return verdict.Point{}, false
	}
	v, ok := r.Vec("at")
	return verdict.Point{X: v.X * 1e3, Y: v.Y * 1e3, Z: v.Z * 1e3}, ok
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
