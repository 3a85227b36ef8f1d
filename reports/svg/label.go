package svg

import (
	"fmt"
	"math"
)

// label is a text that belongs to a point.
type label struct {
	at    xy
	clear float64 // radius of what is drawn there
	lines []string
	class string
}

const lineHeight = 14.5

// longest is how many columns a line of a label may have: two of them fit side by
// side.
const longest = 30

// label keeps a text to be written near a point, once everything is drawn.
func (c *canvas) label(at xy, clear float64, class string, lines ...string) {
	for i := range lines {
		lines[i] = short(lines[i], longest)
	}
	c.labels = append(c.labels, label{at: at, clear: clear, lines: lines, class: class})
	c.boxes = append(c.boxes, box{at.x - clear, at.y - clear, 2 * clear, 2 * clear})
}

// place writes the labels in the order in which they were given: each at the
// nearest free spot around its point, with a line to it when it is not beside
// it. The spots that are tried have a fixed order, so that the same drawing
// always looks the same. What finds no room is listed below the drawing.
func (c *canvas) place() {
	area := box{4, c.top + 6, c.w - 8, c.floor - c.top - 6}
	var leads []segment
	var left []label
	for _, l := range c.labels {
		spot, lead, ok := c.spot(l, area, leads)
		if !ok {
			left = append(left, l)
			continue
		}
		if math.Hypot(lead.b.x-lead.a.x, lead.b.y-lead.a.y) > 9 {
			fmt.Fprintf(&c.b, `<line class="lead" x1="%s" y1="%s" x2="%s" y2="%s"/>`+"\n", num(lead.a.x), num(lead.a.y), num(lead.b.x), num(lead.b.y))
			leads = append(leads, lead)
		}
		c.boxes = append(c.boxes, spot)
		c.write(l, spot)
	}
	c.labels = nil
	c.crop()
	for _, l := range left {
		l.lines[0] = "· " + l.lines[0]
		r := size(l)
		c.write(l, box{8, c.floor, r.w, r.h})
		c.floor += r.h + 2
	}
}

// crop takes away the room above and below that no label needed.
func (c *canvas) crop() {
	first, last := c.floor, c.top
	for _, b := range c.boxes {
		first, last = min(first, b.y), max(last, b.y+b.h)
	}
	for _, s := range c.lines {
		first, last = min(first, s.a.y, s.b.y), max(last, s.a.y, s.b.y)
	}
	c.top, c.floor = max(c.top, math.Floor(first-6)), min(c.floor, last+8)
}

func size(l label) box {
	w := 0.0
	for _, s := range l.lines {
		w = max(w, textWidth(s))
	}
	return box{w: w + 4, h: lineHeight*float64(len(l.lines)) + 2}
}

func (c *canvas) write(l label, r box) {
	c.rect("back", r)
	fmt.Fprintf(&c.b, `<text class="%s" x="%s" y="%s">`, l.class, num(r.x+2), num(r.y+11.5))
	for i, s := range l.lines {
		if i == 0 {
			c.b.WriteString(esc(s))
			continue
		}
		fmt.Fprintf(&c.b, `<tspan x="%s" dy="%s">%s</tspan>`, num(r.x+2), num(lineHeight), esc(s))
	}
	c.b.WriteString("</text>\n")
}

// spot finds the best free place for a label: near its point, across few lines.
func (c *canvas) spot(l label, area box, leads []segment) (box, segment, bool) {
	r := size(l)
	best, found := math.Inf(1), false
	var spot box
	var line segment
	// outward is the direction from the middle of the drawing, where most room is.
	outward := math.Atan2(l.at.y-(area.y+area.h/2), l.at.x-(area.x+area.w/2))
	for _, far := range []float64{3, 10, 20, 32, 46, 62, 80, 100, 125, 150, 180} {
		for turn := range 24 {
			angle := outward + math.Pi/12*float64((turn+1)/2)*float64(1-2*(turn%2))
			cos, sin := math.Cos(angle), math.Sin(angle)
			d := l.clear + far
			b := box{l.at.x + cos*(d+r.w/2) - r.w/2, l.at.y + sin*(d+r.h/2) - r.h/2, r.w, r.h}
			if !b.within(area) || c.taken(b) {
				continue
			}
			lead := segment{l.at, b.nearest(l.at), 1}
			if length := math.Hypot(lead.b.x-lead.a.x, lead.b.y-lead.a.y); length > l.clear {
				lead.a.x += (lead.b.x - lead.a.x) * l.clear / length
				lead.a.y += (lead.b.y - lead.a.y) * l.clear / length
			}
			if c.crosses(lead, l.at) || hits(leads, b) > 0 {
				continue
			}
			cost := far + 16*hits(c.lines, b) + 6*math.Abs(float64((turn+1)/2))/12
			if cost < best {
				best, spot, line, found = cost, b, lead, true
			}
		}
	}
	return spot, line, found
}

func (c *canvas) taken(b box) bool {
	for _, o := range c.boxes {
		if b.x < o.x+o.w && o.x < b.x+b.w && b.y < o.y+o.h && o.y < b.y+b.h {
			return true
		}
	}
	return false
}

// crosses reports whether a line to a label would run through something that is
// written or marked, other than at its own point.
func (c *canvas) crosses(lead segment, own xy) bool {
	for _, o := range c.boxes {
		if own.x >= o.x && own.x <= o.x+o.w && own.y >= o.y && own.y <= o.y+o.h {
			continue
		}
		if o.meets(lead) {
			return true
		}
	}
	return false
}

// hits adds up the lines that run through a box.
func hits(lines []segment, b box) float64 {
	sum := 0.0
	for _, s := range lines {
		if b.meets(s) {
			sum += s.weight
		}
	}
	return sum
}

func (b box) within(o box) bool {
	return b.x >= o.x && b.y >= o.y && b.x+b.w <= o.x+o.w && b.y+b.h <= o.y+o.h
}

// nearest is the point of the box that is nearest to p.
func (b box) nearest(p xy) xy {
	return xy{min(max(p.x, b.x), b.x+b.w), min(max(p.y, b.y), b.y+b.h)}
}

// meets reports whether a line runs through the box, by clipping it.
func (b box) meets(s segment) bool {
	from, to := 0.0, 1.0
	for _, side := range [][3]float64{
		{s.b.x - s.a.x, b.x - s.a.x, b.x + b.w - s.a.x},
		{s.b.y - s.a.y, b.y - s.a.y, b.y + b.h - s.a.y},
	} {
		d, lo, hi := side[0], side[1], side[2]
		if d == 0 {
			if lo > 0 || hi < 0 {
				return false
			}
			continue
		}
		t, u := lo/d, hi/d
		from, to = max(from, min(t, u)), min(to, max(t, u))
	}
	return from <= to
}
