package vehicle

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/hull"
	"setdown/model/schema"
)

// halfLength is how far a vehicle may reach from its centres of gravity where nothing else of
// it is drawn, m: half of the longest.
const halfLength = 5.0

// Outside is how far a place lies, seen from above, beyond the rectangle round all that is drawn of
// the vehicle: its joints, the ends of its links, the middles of its welds and its centres of
// gravity, along x or y, m. It is nothing inside, and where nothing is drawn.
func (v *Vehicle) Outside(at schema.Vec) float64 {
	met := v.met("")
	room := halfLength
	if len(met) > 0 {
		room = 0
	}
	points := append(v.centres(""), met...)
	for _, weld := range v.Build.Of("welds") {
		if p, drawn := Lookup[schema.Vec](weld, "fillet.centre"); drawn {
			points = append(points, p)
		}
	}
	x, y, _ := beyond(at, points)
	return max(0, max(x, y)-room)
}

// Beside is the same of one part: its centre of gravity and where others meet it. Of a part
// with one point it is nothing, for nobody knows how far that reaches.
func (v *Vehicle) Beside(at schema.Vec, part string) float64 {
	points := append(v.centres(part), v.met(part)...)
	if len(points) < 2 {
		return 0
	}
	x, y, _ := beyond(at, points)
	return max(x, y)
}

// OutOf is how far a place lies outside the box round the joints of a part, the ends of links on it
// and the supports under it, along x, y or z, m; nothing where none is drawn.
func (v *Vehicle) OutOf(part string, at schema.Vec) float64 {
	x, y, z := beyond(at, append(v.met(part), v.supported(part)...))
	return max(x, y, z)
}

// Past is how far a place at which an item is attached to a part lies outside the box round its
// centre of gravity and all other places where something meets it, along x, y or z, m. Of a part with
// less than two of these it is nothing, for nobody knows how far that reaches.
func (v *Vehicle) Past(at schema.Vec, part string, item *model.Item) float64 {
	points := v.centres(part)
	for _, m := range v.Meets {
		if m.At != nil && m.Item != item && m.Of(part) {
			points = append(points, *m.At)
		}
	}
	if len(points) < 2 {
		return 0
	}
	x, y, z := beyond(at, points)
	return max(x, y, z)
}

// Below is how far a place lies below the lowest joint, link end and place of a support that are
// drawn, m; nothing above it, and where none is drawn.
func (v *Vehicle) Below(at schema.Vec) float64 {
	points := append(v.met(""), v.supported("")...)
	if len(points) == 0 {
		return 0
	}
	lowest := slices.MinFunc(points, func(a, b schema.Vec) int { return cmp.Compare(a.Z, b.Z) })
	return max(0, lowest.Z-at.Z)
}

// Extent is the distance, seen from above, between the joints, link ends and places of supports that are drawn
// farthest apart, m.
func (v *Vehicle) Extent() float64 {
	points, most := append(v.met(""), v.supported("")...), 0.0
	for i, a := range points {
		for _, b := range points[:i] {
			most = max(most, math.Hypot(a.X-b.X, a.Y-b.Y))
		}
	}
	return most
}

// Runs is the least length of all legs of a part, m: of two, straight from the two joints of its hinge to
// its farthest joint; else the distance between the two places farthest apart where others meet it.
// It is nothing where less is drawn.
func (v *Vehicle) Runs(part string, legs int64) float64 {
	long, both := 0.0, 0.0
	if legs > 1 {
		v.reaches(part, func(hinge []r3.Vec, at r3.Vec) {
			both = max(both, r3.Norm(r3.Sub(at, hinge[0]))+r3.Norm(r3.Sub(at, hinge[1])))
		})
	}
	points := v.met(part)
	for i, a := range points {
		for _, b := range points[:i] {
			long = max(long, r3.Norm(r3.Sub(Point(a), Point(b))))
		}
	}
	return max(long, both)
}

// met are the places drawn of where others meet a part, and of where links on it end; of "", of all.
func (v *Vehicle) met(part string) []schema.Vec {
	var points []schema.Vec
	for _, m := range v.Meets {
		if m.At != nil && (part == "" || m.Of(part)) {
			points = append(points, *m.At)
		}
	}
	return points
}

// supported are the places of the supports under a part; of "", of all.
func (v *Vehicle) supported(part string) []schema.Vec {
	var points []schema.Vec
	for _, support := range v.Build.Of("supports") {
		under, _ := support.Text("under")
		if at, placed := support.Vec("at"); placed && (part == "" || part == under) {
			points = append(points, at)
		}
	}
	return points
}

// centres are the centres of gravity of a part; of "", of all.
func (v *Vehicle) centres(part string) []schema.Vec {
	var points []schema.Vec
	for _, p := range v.Build.Of("parts") {
		if at, placed := p.Vec("cg"); placed && (part == "" || part == p.ID) {
			points = append(points, at)
		}
	}
	return points
}

// beyond is how far a place lies outside the box round some points, along each axis, m; nothing inside,
// and without any point.
func beyond(at schema.Vec, points []schema.Vec) (x, y, z float64) {
	if len(points) == 0 {
		return 0, 0, 0
	}
	outside := func(along func(schema.Vec) float64) float64 {
		least, most := math.Inf(1), math.Inf(-1)
		for _, p := range points {
			least, most = min(least, along(p)), max(most, along(p))
		}
		return max(0, least-along(at), along(at)-most)
	}
	return outside(func(p schema.Vec) float64 { return p.X }), outside(func(p schema.Vec) float64 { return p.Y }), outside(func(p schema.Vec) float64 { return p.Z })
}

// OffAxle is how far the centre of gravity of a wheel is drawn from the axis of the nearest joint
// that it turns on or is bolted by, along or up where nobody wrote a direction, m; nothing where
// none is drawn.
func (v *Vehicle) OffAxle(at schema.Vec, wheel string) float64 {
	nearest := math.Inf(1)
	for _, m := range v.Meets {
		if m.Link || m.At == nil || !slices.Contains(m.Parts[:], wheel) {
			continue
		}
		axis := r3.Vec{Y: 1} // of an axle
		if m.Axis != nil && *m.Axis != (schema.Vec{}) {
			axis = r3.Unit(Point(*m.Axis))
		}
		nearest = min(nearest, r3.Norm(r3.Cross(axis, r3.Sub(Point(at), Point(*m.At)))))
	}
	if math.IsInf(nearest, 1) {
		return 0
	}
	return nearest
}

// Steep is how steeply an arm is drawn, from the middle of its hinge, two joints to one other
// part, to its farthest joint with another, rad; nothing of an arm without.
func (v *Vehicle) Steep(arm string) float64 {
	long, steep := 0.0, 0.0
	v.reaches(arm, func(hinge []r3.Vec, at r3.Vec) {
		middle := r3.Scale(.5, r3.Add(hinge[0], hinge[1]))
		if far := r3.Norm(r3.Sub(at, middle)); far > long {
			long, steep = far, rises(middle, at)
		}
	})
	return steep
}

// reaches calls for each hinge of a part, two joints to one other part, and each of its joints to another.
func (v *Vehicle) reaches(part string, each func(hinge []r3.Vec, at r3.Vec)) {
	joints := map[string][]r3.Vec{} // by the other part
	for _, m := range v.Meets {
		if k := slices.Index(m.Parts[:], part); k >= 0 && !m.Link && m.At != nil {
			joints[m.Parts[1-k]] = append(joints[m.Parts[1-k]], Point(*m.At))
		}
	}
	for other, hinge := range joints {
		if len(hinge) != 2 {
			continue
		}
		for far, places := range joints {
			for _, at := range places {
				if far != other {
					each(hinge, at)
				}
			}
		}
	}
}

// shackle is the length of a link that may stand upright, as the shackle of a leaf spring does, m.
const shackle = 0.2

// LinkSteep is how steeply a link is drawn, rad; nothing of a shackle, and where one of its ends has
// no place.
func (v *Vehicle) LinkSteep(link string) float64 {
	var ends []r3.Vec
	for _, m := range v.Meets {
		if m.Link && m.Item.ID == link && m.At != nil {
			ends = append(ends, Point(*m.At))
		}
	}
	if len(ends) != 2 || r3.Norm(r3.Sub(ends[1], ends[0])) <= shackle {
		return 0
	}
	return rises(ends[0], ends[1])
}

// rises is the angle between a line and the level, rad.
func rises(from, to r3.Vec) float64 {
	return math.Atan2(math.Abs(to.Z-from.Z), math.Hypot(to.X-from.X, to.Y-from.Y))
}

// InLine reports whether the supports of a step stand in one line or in one place, so that
// the vehicle tips over it. Of less than three it is not asked, nor where something hangs; it
// is not known while one has no place and two or more that have are in line.
func (s *Step) InLine() (bool, *Unknown) {
	var places []hull.Point
	var missing []string
	for _, support := range s.Supports {
		if OfKind("crane")(support) {
			return false, nil
		}
		at, placed := Lookup[schema.Vec](support, "at")
		if !placed {
			missing = append(missing, support.Path()+".at")
			continue
		}
		places = append(places, hull.Point{X: at.X, Y: at.Y})
	}
	const tripod = 3
	switch {
	case len(s.Supports) < tripod || len(places) < 2 || len(hull.Corners(places, narrow)) >= tripod:
		return false, nil
	case missing != nil:
		return false, NotRecorded(missing...)
	}
	return true, nil
}

// narrow is how far a support may stand off the line of its neighbours and still be in it, m.
const narrow = 0.05
