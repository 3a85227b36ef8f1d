package svg

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// Room at the sides of the overview for what stands beside the supports, and the height
// of what stands beside one: three lines where there are few, one line where there are
// many, and no more than so many.
const (
	side    = 108.0
	margin  = 11.0 // between the drawing and what stands beside it
	beside  = 47.0
	brief   = 16.0
	few     = 4
	atMost  = 14
	letters = 12 // in a line beside a support
)

// legs is how far below a support the floor is drawn where its height is not known, mm.
const legs = 300

// floorUnder is how high the floor lies under a support that has a place.
func floorUnder(r verdict.Reaction) float64 {
	switch {
	case r.Kind == "wheel":
		return r.At.Z
	case r.Height != nil && r.Height.Value > 0 && r.Height.Value < 1e5:
		return r.At.Z - r.Height.Value
	}
	return r.At.Z - legs
}

// Overview draws the step from above and, below it at the same scale and place, from the
// left, with the nose to the left: the plumb line of the centre of gravity runs through
// both. The left of the vehicle is below in the plan, so supports have their names.
func Overview(s *verdict.Step, marks []Mark, figures plain.Figures) Picture {
	const title = "From above and from the left, to scale"
	c := &canvas{figures: figures}
	lo, hi, found := extent(s)
	if !found {
		return c.nothing(title, "Nothing to draw: no positions are recorded.")
	}
	scale := min((width-2*side)/max(hi.X-lo.X, 200), 300/max(hi.Y-lo.Y, 200))
	middle := (lo.X + hi.X) / 2
	x := func(p verdict.Point) float64 { return width/2 - (p.X-middle)*scale }

	rights, lefts := labels(s, func(p verdict.Point) bool { return p.X < middle })
	pitch := beside
	if max(len(rights), len(lefts)) > few {
		pitch = brief
	}
	half := max(scale*(hi.Y-lo.Y)/2, pitch*float64(min(atMost, max(len(rights), len(lefts))))/2) + 8
	above, below := rows(marks)
	top := 6.0
	if len(above) > 0 {
		top += 28
	}
	centre := top + half
	plan := func(p verdict.Point) xy { return xy{x(p), centre + (p.Y-(lo.Y+hi.Y)/2)*scale} }
	c.vehicle(s, plan)
	if st := s.Stability; st != nil {
		var corners []xy
		for _, p := range st.Polygon {
			if known(p) {
				corners = append(corners, plan(p))
			}
		}
		c.line("poly", true, corners...)
	}
	for _, r := range s.Supports {
		if r.At != nil && known(*r.At) {
			c.crossed(plan(*r.At))
		}
	}
	for _, w := range wheels(s) {
		const half = 5 // nobody knows how wide it is
		at, r := plan(w.At), w.Radius.Value*scale
		c.line(tyre(w), true, xy{at.x - r, at.y - half}, xy{at.x + r, at.y - half}, xy{at.x + r, at.y + half}, xy{at.x - r, at.y + half})
	}
	for _, col := range []struct {
		list []verdict.Reaction
		text float64 // where the text begins or ends
		end  bool
	}{{rights, width - side + margin, false}, {lefts, side - margin, true}} {
		var ys []float64
		for _, r := range col.list[:min(atMost, len(col.list))] {
			ys = append(ys, plan(*r.At).y)
		}
		for i, y := range spread(ys, pitch, top+pitch/2, centre+half-pitch/2+6) {
			c.support(col.list[i], plan(*col.list[i].At), xy{col.text, y}, col.end, pitch == brief)
		}
	}
	c.numbers(above, plan, top-18)
	bottom := centre + half
	if len(below) > 0 {
		bottom += 14
		c.numbers(below, plan, bottom)
		bottom += 14
	}

	// From the left, below.
	floor := lo.Z
	for _, r := range s.Supports {
		if r.At != nil && known(*r.At) {
			floor = min(floor, floorUnder(r))
		}
	}
	bottom += 10
	ground := bottom + (hi.Z-floor)*scale
	elevation := func(p verdict.Point) xy { return xy{x(p), ground - (p.Z-floor)*scale} }
	c.arrow(xy{44, ground - 12}, xy{8, ground - 12})
	c.text("b", xy{8, ground - 20}, "front")
	c.line("pen", false, xy{side - 24, ground}, xy{width - side + 24, ground})
	for gx := side - 16; gx < width-side+24; gx += 14 {
		c.line("thin", false, xy{gx, ground}, xy{gx - 5, ground + 6})
	}
	c.vehicle(s, elevation)
	for _, w := range wheels(s) {
		if w.At.Y >= 0 { // those behind lie under them
			c.circle(tyre(w), elevation(w.At), w.Radius.Value*scale)
		}
	}
	for _, r := range s.Supports {
		if r.At != nil && known(*r.At) && r.Kind != "wheel" {
			c.standing(elevation(*r.At), ground)
		}
	}
	text := c.balance(s, plan, elevation, ground)
	text = append(text, carried(s, figures)...)
	return c.picture(title, strings.Join(text, " ")+words(marks), ground+38, width)
}

// extent is the box around everything that has a place.
func extent(s *verdict.Step) (lo, hi verdict.Point, found bool) {
	lo, hi = verdict.Point{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}, verdict.Point{X: math.Inf(-1), Y: math.Inf(-1), Z: math.Inf(-1)}
	take := func(p verdict.Point) {
		if known(p) {
			found = true
			lo = verdict.Point{X: min(lo.X, p.X), Y: min(lo.Y, p.Y), Z: min(lo.Z, p.Z)}
			hi = verdict.Point{X: max(hi.X, p.X), Y: max(hi.Y, p.Y), Z: max(hi.Z, p.Z)}
		}
	}
	for _, r := range s.Supports {
		if r.At != nil {
			take(*r.At)
		}
	}
	if s.CG != nil {
		take(*s.CG)
	}
	if o := s.Outline; o != nil {
		for _, p := range o.Parts {
			for _, q := range p.Points {
				take(q)
			}
		}
		for _, j := range o.Joints {
			take(j.At)
		}
		for _, m := range o.Members {
			take(m.From)
			take(m.To)
		}
		for _, w := range wheels(s) {
			for _, r := range []float64{-w.Radius.Value, w.Radius.Value} {
				take(verdict.Point{X: w.At.X + r, Y: w.At.Y, Z: w.At.Z + r})
			}
		}
	}
	return lo, hi, found
}

// wheels are those that can be drawn.
func wheels(s *verdict.Step) []verdict.OutlineWheel {
	if s.Outline == nil {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(s.Outline.Wheels), func(w verdict.OutlineWheel) bool {
		return !known(w.At) || !(w.Radius.Value > 0 && w.Radius.Value < 1e5)
	})
}

func tyre(w verdict.OutlineWheel) string {
	if w.Off {
		return "tyre-off"
	}
	return "tyre"
}

// labels sorts the supports that can be drawn to the right and to the left of the
// drawing, each from top to bottom.
func labels(s *verdict.Step, right func(verdict.Point) bool) (rights, lefts []verdict.Reaction) {
	for _, r := range s.Supports {
		switch {
		case r.At == nil || !known(*r.At):
		case right(*r.At):
			rights = append(rights, r)
		default:
			lefts = append(lefts, r)
		}
	}
	byY := func(a, b verdict.Reaction) int { return cmp.Compare(a.At.Y, b.At.Y) }
	slices.SortStableFunc(rights, byY)
	slices.SortStableFunc(lefts, byY)
	return rights, lefts
}

// rows sorts the marks into those on the right of the vehicle, which stand above the
// plan, and those on its left, below.
func rows(marks []Mark) (above, below []Mark) {
	for _, m := range marks {
		if m.At.Y < 0 {
			above = append(above, m)
		} else {
			below = append(below, m)
		}
	}
	return above, below
}

// numbers draws the marks of one row with their numbers.
func (c *canvas) numbers(row []Mark, flat func(verdict.Point) xy, y float64) {
	const gap, most = 23, 8
	row = slices.Clone(row)
	slices.SortStableFunc(row, func(a, b Mark) int { return cmp.Compare(flat(a.At).x, flat(b.At).x) })
	row = slices.CompactFunc(row, func(a, b Mark) bool { return a.Number == b.Number && flat(a.At) == flat(b.At) })
	row = row[:min(len(row), most)]
	var xs []float64
	for _, m := range row {
		xs = append(xs, flat(m.At).x)
	}
	at := spread(xs, gap, side+3, width-side-3) // so that no line to a number runs over what stands beside
	for i, m := range row {
		to := xy{at[i], y + 10}
		if flat(m.At).y < y {
			to.y = y - 10
		}
		c.leader(flat(m.At), to)
	}
	for i, m := range row {
		c.mark(m.Shape, flat(m.At), 4.5)
		c.balloon(xy{at[i], y}, m.Number)
	}
}

// vehicle draws parts and links.
func (c *canvas) vehicle(s *verdict.Step, flat func(verdict.Point) xy) {
	o := s.Outline
	if o == nil {
		return
	}
	base := frame(o)
	for i := range o.Parts {
		p := &o.Parts[i]
		class := "part"
		switch {
		case p.Role == "wheel":
			continue // drawn as the wheel that it is
		case p == base:
			class = "frame"
		case p.Role == "arm":
			class = "arm"
		}
		shape := project(bones(o, p), flat)
		c.outline(class, shape)
		if class == "arm" {
			c.taken = append(c.taken, within(shape))
		}
	}
	for _, m := range o.Members {
		if known(m.From) && known(m.To) {
			c.bar(flat(m.From), flat(m.To), 4)
			c.leaders = append(c.leaders, [2]xy{flat(m.From), flat(m.To)})
		}
	}
}

// frame is the part that the vehicle is built on; without one of that role, the part
// that meets most others.
func frame(o *verdict.Outline) *verdict.OutlinePart {
	var base *verdict.OutlinePart
	for i := range o.Parts {
		p := &o.Parts[i]
		switch {
		case p.Role == "frame":
			return p
		case base == nil || len(p.Points) > len(base.Points):
			base = p
		}
	}
	return base
}

// bones are the places that make the shape of a part: of an arm the joints alone, so
// that it is the triangle that it is.
func bones(o *verdict.Outline, p *verdict.OutlinePart) []verdict.Point {
	if p.Role != "arm" {
		return p.Points
	}
	var list []verdict.Point
	for _, j := range o.Joints {
		if slices.Contains(j.Parts, p.ID) {
			list = append(list, j.At)
		}
	}
	if len(list) < 3 {
		return p.Points
	}
	return list
}

func project(points []verdict.Point, flat func(verdict.Point) xy) []xy {
	var list []xy
	for _, p := range points {
		if known(p) {
			list = append(list, flat(p))
		}
	}
	return list
}

// crossed draws a support from above.
func (c *canvas) crossed(at xy) {
	const r = 7
	c.taken = append(c.taken, around(at, r))
	c.line("sup", true, xy{at.x - r, at.y - r}, xy{at.x + r, at.y - r}, xy{at.x + r, at.y + r}, xy{at.x - r, at.y + r})
	c.line("pen", false, xy{at.x - r, at.y - r}, xy{at.x + r, at.y + r})
	c.line("pen", false, xy{at.x - r, at.y + r}, xy{at.x + r, at.y - r})
}

// standing draws a support from the side.
func (c *canvas) standing(at xy, ground float64) {
	c.line("sup", true, xy{at.x - 5, at.y}, xy{at.x + 5, at.y}, xy{at.x + 10, ground}, xy{at.x - 10, ground})
}

// support writes what a support carries beside it.
func (c *canvas) support(r verdict.Reaction, from, at xy, end, brief bool) {
	class, edge := "", at.x-3
	if end {
		class, edge = " end", at.x+3
	}
	c.leader(from, xy{edge, at.y})
	if brief {
		words := r.ID
		if r.Worst != nil {
			words = c.figures.Shown(*r.Worst)
			words = short(r.ID, letters-1-len([]rune(words))) + " " + words
		}
		c.text(strings.TrimSpace(class), xy{at.x, at.y + 4}, short(words, letters))
		return
	}
	c.text(strings.TrimSpace(class), xy{at.x, at.y - 9}, short(r.ID, letters))
	if r.Even != nil {
		c.text("b"+class, xy{at.x, at.y + 6}, short(c.figures.Shown(*r.Even), letters))
	}
	if r.Worst != nil {
		c.text(strings.TrimSpace(class), xy{at.x, at.y + 21}, short("at most "+strings.TrimSuffix(c.figures.Shown(*r.Worst), " "+unit(c.figures, *r.Worst)), letters))
	}
}

// unit is the unit in which a figure is shown.
func unit(figures plain.Figures, f verdict.Figure) string {
	_, unit, _ := strings.Cut(figures.Shown(f), " ")
	return unit
}

// balance draws the centre of gravity in both views, its plumb line and how far it is
// from the supports fore and aft.
func (c *canvas) balance(s *verdict.Step, plan, elevation func(verdict.Point) xy, ground float64) []string {
	if s.CG == nil || !known(*s.CG) {
		return nil
	}
	above, beside := plan(*s.CG), elevation(*s.CG)
	text := []string{"Centre of gravity"}
	c.line("thin", false, above, xy{above.x, ground})
	c.gravity(above)
	c.gravity(beside)
	c.beside(above, "c.g.")
	if st := s.Stability; st != nil {
		margin := short(c.figures.Shown(st.Margin), letters)
		c.beside(above, margin+" inside")
		text = append(text, margin+" inside the supports")
	}
	front, rear := math.Inf(-1), math.Inf(1)
	for _, r := range s.Supports {
		if r.At != nil && known(*r.At) {
			front, rear = max(front, r.At.X), min(rear, r.At.X)
		}
	}
	if front-rear > 200 && s.CG.X < front && s.CG.X > rear {
		y := ground + 18
		a, b := elevation(verdict.Point{X: front}).x, elevation(verdict.Point{X: rear}).x
		c.line("pen", false, xy{a, y}, xy{b, y})
		for _, x := range []float64{a, above.x, b} {
			c.line("pen", false, xy{x, y - 4}, xy{x, y + 4})
		}
		for _, part := range []struct{ from, to, mm float64 }{{a, above.x, front - s.CG.X}, {above.x, b, s.CG.X - rear}} {
			word := short(c.figures.Shown(verdict.Figure{Value: math.Round(part.mm), Unit: "mm"}), letters)
			if room := math.Abs(part.to - part.from); room > 7.6*float64(len(word)) {
				c.text("mid", xy{(part.from + part.to) / 2, y + 14}, word)
			}
		}
	}
	return []string{strings.Join(text, " ") + "."}
}

// beside writes a text beside a sign, where nothing else is to be read; nowhere where there
// is no room: the words of the picture have it.
func (c *canvas) beside(at xy, text string) {
	for _, dy := range []float64{-8, 20, -22, 34, 48} {
		for _, class := range []string{"", "end"} {
			to := xy{at.x + 11, at.y + dy}
			if class == "end" {
				to.x = at.x - 11
			}
			if b := lettered(class, to, text); b.lo.x > side-margin && b.hi.x < width-side+margin && c.free(b) {
				c.text(class, to, text)
				return
			}
		}
	}
}

// carried says what each support carries, for those who cannot see it.
func carried(s *verdict.Step, figures plain.Figures) []string {
	var list []string
	for _, r := range s.Supports {
		switch {
		case r.Even == nil || r.Worst == nil:
			list = append(list, r.ID+": not computed.")
		default:
			list = append(list, fmt.Sprintf("%s carries %s, at most %s.", r.ID, figures.Shown(*r.Even), figures.Shown(*r.Worst)))
		}
	}
	return list
}
