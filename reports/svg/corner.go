package svg

import (
	"cmp"
	"math"
	"slices"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// The direction from which a corner is looked at: from outside, above and ahead of a
// front corner or behind a rear one. So both arms are the triangles they are.
const (
	azimuth   = 46 * math.Pi / 180
	elevation = 28 * math.Pi / 180
)

// Places lists the places of a step that a corner view can show: those with a joint or
// link off the middle of the vehicle, in the order of the outline.
func Places(s *verdict.Step) []string {
	var list []string
	add := func(place string, at verdict.Point) {
		if place != "" && known(at) && !slices.Contains(list, place) {
			list = append(list, place)
		}
	}
	if s.Outline == nil {
		return nil
	}
	for _, m := range s.Outline.Members {
		add(m.Place, m.From)
	}
	for _, j := range s.Outline.Joints {
		add(j.Place, j.At)
	}
	base := frame(s.Outline)
	return slices.DeleteFunc(list, func(place string) bool {
		return base != nil && place == base.Place
	})
}

// Marked lists the places with a mark as they lie in the overview: those on the right of
// the vehicle first, and each side from the front.
func Marked(s *verdict.Step, marks []Mark) []string {
	list := slices.DeleteFunc(Places(s), func(place string) bool {
		return !slices.ContainsFunc(marks, func(m Mark) bool { return m.Place == place })
	})
	slices.SortStableFunc(list, func(a, b string) int {
		p, q := middle(placed(s, a)), middle(placed(s, b))
		if (p.Y < 0) != (q.Y < 0) {
			return cmp.Compare(p.Y, q.Y)
		}
		return cmp.Compare(q.X, p.X)
	})
	return list
}

// cornerWidth is the width of a corner, in picture units: it is half as wide as the whole
// vehicle on paper, and its numbers are as large there.
const cornerWidth = 200

// mostMarks is how many marks a corner has room for.
const mostMarks = 8

// Corner draws one place of the vehicle from outside: the frame's side of it dashed, its
// arms, links and upright, its support, and the marks with their numbers.
func Corner(s *verdict.Step, place string, marks []Mark, figures plain.Figures) Picture {
	const w, height, margin = cornerWidth, 128.0, 30.0
	title := plain.Capital(plain.Spoken(place)) + ", from outside"
	c := &canvas{figures: figures}
	o := s.Outline
	if o == nil {
		return c.nothing(title, "Nothing to draw: no positions are recorded.")
	}
	points := placed(s, place)
	if len(points) == 0 {
		return c.nothing(title, "Nothing to draw: no positions are recorded.")
	}
	var feet []verdict.Point
	for _, r := range s.Supports {
		if r.At != nil && known(*r.At) && r.Kind != "wheel" && slices.ContainsFunc(o.Parts, func(p verdict.OutlinePart) bool { return p.ID == r.Under && p.Place == place }) {
			feet = append(feet, *r.At)
		}
	}
	view, right := looking(s, points)
	lo, hi := xy{math.Inf(1), math.Inf(1)}, xy{math.Inf(-1), math.Inf(-1)}
	shown := append(slices.Clone(points), feet...)
	for _, w := range wheels(s) {
		if w.Place == place {
			shown = append(shown, hub(w)...)
		}
	}
	for _, p := range shown {
		q := view(p)
		lo, hi = xy{min(lo.x, q.x), min(lo.y, q.y)}, xy{max(hi.x, q.x), max(hi.y, q.y)}
	}
	foot := 0.0
	if len(feet) > 0 {
		foot = 20
	}
	scale := min((w-2*margin)/max(hi.x-lo.x, 60), (height-24-foot)/max(hi.y-lo.y, 60))
	flat := func(p verdict.Point) xy {
		q := view(p)
		return xy{w/2 + (q.x-(lo.x+hi.x)/2)*scale, 16 + (q.y-lo.y)*scale}
	}

	base := frame(o)
	if base != nil {
		c.outline("frame", project(slices.DeleteFunc(slices.Clone(base.Points), func(p verdict.Point) bool {
			return !slices.ContainsFunc(points, func(q verdict.Point) bool { return p.X == q.X && p.Y == q.Y && p.Z == q.Z })
		}), flat))
	}
	// From below: arms and links by their height, then what they carry.
	type piece struct {
		z    float64
		draw func()
	}
	var pieces []piece
	for i := range o.Parts {
		p := &o.Parts[i]
		if p.Place != place || p == base || p.Role == "wheel" {
			continue
		}
		shape := bones(o, p)
		if p.Role == "arm" {
			pieces = append(pieces, piece{middle(shape).Z, func() { c.outline("arm", project(shape, flat)) }})
		} else {
			pieces = append(pieces, piece{math.Inf(1), func() { c.outline("part", project(shape, flat)) }})
		}
	}
	for _, m := range o.Members {
		if m.Place == place && known(m.From) && known(m.To) {
			pieces = append(pieces, piece{(m.From.Z + m.To.Z) / 2, func() { c.bar(flat(m.From), flat(m.To), 5) }})
		}
	}
	for _, w := range wheels(s) {
		if w.Place == place {
			pieces = append(pieces, piece{w.At.Z, func() { c.line("hub", true, project(hub(w), flat)...) }})
		}
	}
	slices.SortStableFunc(pieces, func(a, b piece) int { return cmp.Compare(a.z, b.z) })
	for _, p := range pieces {
		p.draw()
	}
	bottom := 16 + (hi.y-lo.y)*scale
	for _, p := range feet {
		at := flat(p)
		c.line("sup", true, xy{at.x - 5, at.y}, xy{at.x + 5, at.y}, xy{at.x + 11, at.y + foot}, xy{at.x - 11, at.y + foot})
		bottom = max(bottom, at.y+foot)
	}
	for _, p := range points {
		c.circle("eye", flat(p), 2.4)
	}
	here := slices.DeleteFunc(slices.Clone(marks), func(m Mark) bool { return m.Place != place })
	here = here[:min(len(here), mostMarks)]
	c.columns(here, flat, max(bottom, 40))
	bottom = max(bottom, float64(26*((len(here)+1)/2))) + 16
	from, to := xy{8, bottom}, xy{34, bottom}
	if right {
		from, to = xy{w - 8, bottom}, xy{w - 34, bottom}
	}
	c.arrowFront(from, to)
	return c.picture(title, "Arms are triangles, links bars; the frame is dashed."+words(here), bottom+8, w)
}

// arrowFront draws which way the front is.
func (c *canvas) arrowFront(tip, tail xy) {
	c.arrow(tail, tip)
	if tip.x < tail.x {
		c.text("", xy{tail.x + 6, tail.y + 4}, "front")
		return
	}
	c.text("end", xy{tail.x - 6, tail.y + 4}, "front")
}

// hub is the face of a hub, on which the wheel sits: a third of the wheel, so that it hides
// no joint.
func hub(w verdict.OutlineWheel) []verdict.Point {
	const corners = 24
	var ring []verdict.Point
	for i := range corners {
		turn := 2 * math.Pi * float64(i) / corners
		r := w.Radius.Value / 3
		ring = append(ring, verdict.Point{X: w.At.X + r*math.Cos(turn), Y: w.At.Y, Z: w.At.Z + r*math.Sin(turn)})
	}
	return ring
}

// looking is the view of the corner that those places make. Right corners are true
// mirror images of left ones.
func looking(s *verdict.Step, points []verdict.Point) (view func(verdict.Point) xy, right bool) {
	lo, hi, _ := extent(s)
	at := middle(points)
	right = at.Y < 0
	a := azimuth
	if at.X < (lo.X+hi.X)/2 { // a rear corner
		a = -a
	}
	return func(p verdict.Point) xy {
		y := p.Y
		if right {
			y = -y
		}
		u := -p.X*math.Cos(a) + y*math.Sin(a)
		v := p.Z*math.Cos(elevation) - (p.X*math.Sin(a)+y*math.Cos(a))*math.Sin(elevation)
		if right {
			u = -u
		}
		return xy{u, -v}
	}, right
}

// placed are the places of the joints and links of a place.
func placed(s *verdict.Step, place string) []verdict.Point {
	var points []verdict.Point
	for _, j := range s.Outline.Joints {
		if j.Place == place && known(j.At) {
			points = append(points, j.At)
		}
	}
	for _, m := range s.Outline.Members {
		if m.Place == place && known(m.From) && known(m.To) {
			points = append(points, m.From, m.To)
		}
	}
	return points
}

func middle(points []verdict.Point) verdict.Point {
	var sum verdict.Point
	for _, p := range points {
		sum.X, sum.Y, sum.Z = sum.X+p.X, sum.Y+p.Y, sum.Z+p.Z
	}
	n := float64(max(1, len(points)))
	return verdict.Point{X: sum.X / n, Y: sum.Y / n, Z: sum.Z / n}
}

// columns draws the numbers of the marks in two columns at the edges, each sorted by
// height, so that leaders hardly cross and no text meets another.
func (c *canvas) columns(marks []Mark, flat func(verdict.Point) xy, bottom float64) {
	const gap, edge, w = 24, 12, cornerWidth
	slices.SortStableFunc(marks, func(a, b Mark) int { return cmp.Compare(flat(a.At).x, flat(b.At).x) })
	half := (len(marks) + 1) / 2
	if len(marks) == 1 && flat(marks[0].At).x > w/2 {
		half = 0
	}
	for _, m := range []struct {
		list []Mark
		x    float64
	}{{marks[:half], edge}, {marks[half:], w - edge}} {
		slices.SortStableFunc(m.list, func(a, b Mark) int { return cmp.Compare(flat(a.At).y, flat(b.At).y) })
		var ys []float64
		for _, k := range m.list {
			ys = append(ys, flat(k.At).y)
		}
		ys = spread(ys, gap, edge, max(bottom, edge+gap*float64(len(ys))))
		for i, k := range m.list {
			end := xy{m.x + 10, ys[i]}
			if m.x > w/2 {
				end.x = m.x - 10
			}
			c.leader(flat(k.At), end)
		}
		for i, k := range m.list {
			c.mark(k.Shape, flat(k.At), 5.5)
			c.balloon(xy{m.x, ys[i]}, k.Number)
		}
	}
}
