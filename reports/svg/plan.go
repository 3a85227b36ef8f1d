package svg

import (
	"fmt"
	"math"
	"strings"

	"setdown/model/hull"
	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// fromAbove looks down with the nose of the vehicle up on the page: its left is
// on the left.
func fromAbove(p verdict.Point) (u, v float64) { return -p.Y, p.X }

// Plan draws the step from above, to scale: parts, supports with what they
// carry, the polygon of the supports, the centre of gravity with its ± and the
// distance to the edge over which the vehicle tips first.
func Plan(s *verdict.Step) Picture {
	c := newCanvas(width)
	title := "Plan, from above"
	if !c.fit(stepPoints(s), fromAbove, 92, 460) {
		c.say("small", "No place is recorded that could be drawn from above.")
		return c.picture(title, "Nothing can be drawn: no place is recorded.")
	}
	c.parts(s.Outline)
	c.links(s.Outline)
	words := c.stability(s)
	words = append(words, c.supports(s.Supports)...)
	c.words(s.Outline, func(l state) bool { return l.name == "missing" || l.name == "tack" || l.name == "loose" }, 6)
	c.place()
	c.arrow(xy{c.w - 24, c.floor + 24}, xy{c.w - 24, c.floor})
	c.arrow(xy{c.w - 24, c.floor + 24}, xy{c.w - 48, c.floor + 24})
	c.text("small", xy{c.w - 54, c.floor + 9}, "nose")
	c.text("small", xy{c.w - 80, c.floor + 28}, "left")
	c.scaleBar()
	c.floor += 8
	c.legend(s, true)
	return c.picture(title, strings.Join(words, " "))
}

// fromLeft looks from the left of the vehicle: its nose is on the left of the
// page.
func fromLeft(p verdict.Point) (u, v float64) { return -p.X, p.Z }

// Side draws the step from its left side, to scale: parts, supports with an
// arrow as long as what they carry, and the plumb line of the centre of gravity.
func Side(s *verdict.Step) Picture {
	c := newCanvas(width)
	title := "Side, from the left"
	if !c.fit(stepPoints(s), fromLeft, 70, 300) {
		c.say("small", "No place is recorded that could be drawn from the side.")
		return c.picture(title, "Nothing can be drawn: no place is recorded.")
	}
	c.floor += 46 // for the arrows
	c.parts(s.Outline)
	c.links(s.Outline)
	words := c.plumb(s)
	words = append(words, c.pushes(s.Supports)...)
	c.place()
	c.arrow(xy{c.w - 64, c.floor + 12}, xy{c.w - 94, c.floor + 12})
	c.text("small", xy{c.w - 58, c.floor + 16}, "nose")
	c.scaleBar()
	c.legend(s, false)
	return c.picture(title, strings.Join(words, " "))
}

// stepPoints are all places that are drawn of a step.
func stepPoints(s *verdict.Step) []verdict.Point {
	var list []verdict.Point
	for _, r := range s.Supports {
		if r.At != nil {
			list = append(list, *r.At)
		}
	}
	if s.CG != nil {
		list = append(list, *s.CG)
	}
	if s.Stability != nil {
		list = append(list, s.Stability.Polygon...)
	}
	if o := s.Outline; o != nil {
		for _, p := range o.Parts {
			list = append(list, p.Points...)
		}
		for _, j := range o.Joints {
			list = append(list, j.At)
		}
		for _, m := range o.Members {
			list = append(list, m.From, m.To)
		}
	}
	return list
}

// parts draws each part as the hull of the places where it meets others.
func (c *canvas) parts(o *verdict.Outline) {
	if o == nil {
		return
	}
	for _, p := range o.Parts {
		c.part(p)
	}
}

func (c *canvas) part(p verdict.OutlinePart) {
	var points []hull.Point
	for _, q := range p.Points {
		if known(q) {
			at := c.at(q)
			points = append(points, hull.Point{X: at.x, Y: at.y})
		}
	}
	var corners []xy
	for _, i := range hull.Corners(points, 0) {
		corners = append(corners, xy{points[i].X, points[i].Y})
	}
	if len(corners) >= 2 {
		class := "part"
		if p.Hangs {
			class += " hangs"
		}
		c.polygon(class, corners)
	}
}

// links draws the links as rods in the manner of their state.
func (c *canvas) links(o *verdict.Outline) {
	if o == nil {
		return
	}
	for _, m := range o.Members {
		if known(m.From) && known(m.To) {
			c.line("rod "+looks(m.State).class, c.at(m.From), c.at(m.To))
		}
	}
}

// stability draws the polygon of the supports, its nearest edge and the centre
// of gravity, and says the same in words.
func (c *canvas) stability(s *verdict.Step) []string {
	var words []string
	st := s.Stability
	if st != nil {
		var corners []xy
		for _, p := range st.Polygon {
			if known(p) {
				corners = append(corners, c.at(p))
			}
		}
		if len(corners) >= 3 {
			c.polygon("poly", corners)
		}
		words = append(words, s.Balance()+".")
	}
	if s.CG == nil || !known(*s.CG) {
		return append(words, "The centre of gravity is not computed.")
	}
	at := c.at(*s.CG)
	if st != nil {
		c.margin(s, at)
		words = append(words, fmt.Sprintf("Least distance to an edge %s.", inside(st.Margin)))
	}
	c.gravity(at, c.scale*s.CG.Tol[1], c.scale*s.CG.Tol[0])
	lines := []string{"centre of gravity", fmt.Sprintf("±%s along, ±%s across", mm(s.CG.Tol[0]), mm(s.CG.Tol[1]))}
	if s.Mass != nil {
		lines[0] += ", " + plain.Shown(*s.Mass)
	}
	c.label(at, 8, "", lines...)
	return append(words, fmt.Sprintf("Centre of gravity at %s mm forward and %s mm left.", mm(s.CG.X), mm(s.CG.Y)))
}

// margin draws the nearest edge and the distance to it.
func (c *canvas) margin(s *verdict.Step, at xy) {
	where := map[string]xy{}
	for _, r := range s.Supports {
		if r.At != nil && known(*r.At) {
			where[r.ID] = c.at(*r.At)
		}
	}
	var nearest *verdict.Edge
	for i, e := range s.Stability.Edges {
		if nearest == nil || e.Worst.Value < nearest.Worst.Value {
			nearest = &s.Stability.Edges[i]
		}
	}
	if nearest == nil {
		return
	}
	a, okA := where[nearest.From]
	b, okB := where[nearest.To]
	long := math.Hypot(b.x-a.x, b.y-a.y)
	if !okA || !okB || long == 0 {
		return
	}
	c.line("edge", a, b)
	t := ((at.x-a.x)*(b.x-a.x) + (at.y-a.y)*(b.y-a.y)) / (long * long)
	foot := xy{a.x + t*(b.x-a.x), a.y + t*(b.y-a.y)}
	c.line("thin", at, foot)
	middle := xy{(at.x + foot.x) / 2, (at.y + foot.y) / 2}
	c.label(middle, 2, "bad", "tips first over this edge", inside(nearest.Nominal)+", at worst "+inside(nearest.Worst))
}

// inside words a distance to an edge.
func inside(f verdict.Figure) string {
	if f.Value < 0 {
		return plain.Shown(verdict.Figure{Value: -f.Value, Unit: f.Unit}) + " OUT"
	}
	return plain.Shown(f)
}

// gravity draws the centre of gravity with its ±, as half axes.
func (c *canvas) gravity(at xy, across, along float64) {
	if across > 0 || along > 0 {
		fmt.Fprintf(&c.b, `<ellipse class="spread" cx="%s" cy="%s" rx="%s" ry="%s"/>`+"\n", num(at.x), num(at.y), num(max(across, 1)), num(max(along, 1)))
	}
	c.circle("cg", at, 6)
	fmt.Fprintf(&c.b, `<path class="solid" d="M%s %sv-6a6 6 0 0 1 6 6zv6a6 6 0 0 1 -6 -6z"/>`+"\n", num(at.x), num(at.y))
}

// supports draws each support from above with what it carries.
func (c *canvas) supports(list []verdict.Reaction) []string {
	var words []string
	for _, r := range list {
		text := carries(r)
		words = append(words, r.ID+": "+strings.Join(text, ", ")+".")
		if r.At == nil || !known(*r.At) {
			continue
		}
		at := c.at(*r.At)
		class := tone(r.Outcome)
		c.rect("mark "+class, box{at.x - 6, at.y - 6, 12, 12})
		c.line("mark "+class, xy{at.x - 6, at.y - 6}, xy{at.x + 6, at.y + 6})
		c.line("mark "+class, xy{at.x - 6, at.y + 6}, xy{at.x + 6, at.y - 6})
		c.label(at, 8, class, append([]string{short(r.ID, 18) + flag(r.Outcome)}, text...)...)
	}
	return words
}

// carries words what a support carries.
func carries(r verdict.Reaction) []string {
	if r.Even == nil && r.Worst == nil {
		return []string{"not computed"}
	}
	var text []string
	if r.Even != nil {
		text = append(text, plain.Shown(*r.Even))
	}
	if r.Worst != nil {
		text = append(text, "at worst "+plain.Shown(*r.Worst))
	}
	return text
}

// flag marks an outcome without colour.
func flag(o verdict.Outcome) string {
	switch o {
	case verdict.Stop, verdict.Error:
		return " [stop]"
	case verdict.NotRecorded:
		return " [?]"
	case verdict.Caution:
		return " [!]"
	}
	return ""
}

func tone(o verdict.Outcome) string {
	switch o {
	case verdict.Stop, verdict.Error:
		return "bad"
	case verdict.NotRecorded, verdict.Caution:
		return "warn"
	}
	return ""
}

// plumb draws the centre of gravity and its plumb line from the side.
func (c *canvas) plumb(s *verdict.Step) []string {
	if s.CG == nil || !known(*s.CG) {
		return []string{"The centre of gravity is not computed."}
	}
	at := c.at(*s.CG)
	c.line("thin", at, xy{at.x, c.floor - 10})
	c.gravity(at, c.scale*s.CG.Tol[0], c.scale*s.CG.Tol[2])
	c.label(at, 8, "", "centre of gravity", fmt.Sprintf("%s ±%s mm high", mm(s.CG.Z), mm(s.CG.Tol[2])))
	return []string{fmt.Sprintf("Centre of gravity %s mm high.", mm(s.CG.Z))}
}

// pushes draws each support from the side as an arrow as long as what it
// carries. Supports that stand in one line share a label.
func (c *canvas) pushes(list []verdict.Reaction) []string {
	most := 0.0
	for _, r := range list {
		if r.Even != nil {
			most = max(most, r.Even.Value)
		}
	}
	type row struct {
		at    xy
		lines []string
		class string
	}
	var rows []row
	var words []string
next:
	for _, r := range list {
		if r.At == nil || !known(*r.At) {
			continue
		}
		text := short(r.ID, 14) + flag(r.Outcome) + " " + carries(r)[0]
		words = append(words, text+".")
		at := c.at(*r.At)
		if r.Even != nil && r.Even.Value > 0 && most > 0 {
			c.arrow(xy{at.x, at.y + 10 + 28*r.Even.Value/most}, xy{at.x, at.y + 3})
		}
		for i := range rows {
			if math.Hypot(rows[i].at.x-at.x, rows[i].at.y-at.y) < 9 {
				rows[i].lines = append(rows[i].lines, text)
				if tone(r.Outcome) == "bad" || rows[i].class == "" {
					rows[i].class = tone(r.Outcome)
				}
				continue next
			}
		}
		rows = append(rows, row{at, []string{text}, tone(r.Outcome)})
	}
	for _, r := range rows {
		c.circle("mark "+r.class, r.at, 3)
		c.label(r.at, 5, r.class, r.lines...)
	}
	return words
}
