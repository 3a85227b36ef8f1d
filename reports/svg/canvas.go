package svg

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// width of every view, in picture units: at this size letters are as large as
// on a page, and on a small screen still legible.
const width = 400

// canvas collects the elements of one view. y runs down.
type canvas struct {
	b      strings.Builder
	w      float64
	top    float64 // nothing lies above it
	floor  float64 // everything so far lies above it
	scale  float64 // picture units per millimetre
	flat   projection
	ox, oy float64

	labels []label
	boxes  []box     // nothing may be written there
	lines  []segment // better not written across
}

// projection turns a place into right and up, in millimetres.
type projection func(p verdict.Point) (u, v float64)

type xy struct{ x, y float64 }

type segment struct {
	a, b   xy
	weight float64 // how bad it is to write across
}

type box struct{ x, y, w, h float64 }

func newCanvas(w float64) *canvas { return &canvas{w: w, floor: 6} }

// fit lays the drawing so that all points come to lie within the width less
// margins at the sides, and within the height, below what is there. Two thirds
// of that margin stay free above and below. It is false when there is nothing to draw.
func (c *canvas) fit(points []verdict.Point, flat projection, side, height float64) bool {
	lo, hi := xy{math.Inf(1), math.Inf(1)}, xy{math.Inf(-1), math.Inf(-1)}
	for _, p := range points {
		if !known(p) {
			continue
		}
		u, v := flat(p)
		lo, hi = xy{min(lo.x, u), min(lo.y, v)}, xy{max(hi.x, u), max(hi.y, v)}
	}
	if lo.x > hi.x {
		return false
	}
	const least = 100 // mm: a drawing of one point still has a scale
	du, dv := max(hi.x-lo.x, least), max(hi.y-lo.y, least)
	above := side * 2 / 3
	c.scale = min((c.w-2*side)/du, height/dv)
	c.flat = flat
	c.ox = c.w/2 - c.scale*(lo.x+hi.x)/2
	tall := c.scale*(hi.y-lo.y) + 2*above
	c.oy = c.floor + above + c.scale*hi.y
	c.floor += tall
	return true
}

func known(p verdict.Point) bool {
	sum := p.X + p.Y + p.Z + p.Tol[0] + p.Tol[1] + p.Tol[2]
	return !math.IsNaN(sum) && !math.IsInf(sum, 0)
}

// at is where a place is drawn.
func (c *canvas) at(p verdict.Point) xy {
	u, v := c.flat(p)
	return xy{c.ox + c.scale*u, c.oy - c.scale*v}
}

func (c *canvas) line(class string, a, b xy) {
	fmt.Fprintf(&c.b, `<line class="%s" x1="%s" y1="%s" x2="%s" y2="%s"/>`+"\n", class, num(a.x), num(a.y), num(b.x), num(b.y))
	weight := 1.0
	if strings.HasPrefix(class, "rod") {
		weight = 3
	}
	c.lines = append(c.lines, segment{a, b, weight})
}

func (c *canvas) rect(class string, r box) {
	fmt.Fprintf(&c.b, `<rect class="%s" x="%s" y="%s" width="%s" height="%s"/>`+"\n", class, num(r.x), num(r.y), num(r.w), num(r.h))
}

func (c *canvas) circle(class string, at xy, r float64) {
	fmt.Fprintf(&c.b, `<circle class="%s" cx="%s" cy="%s" r="%s"/>`+"\n", class, num(at.x), num(at.y), num(r))
}

// polygon draws a closed line.
func (c *canvas) polygon(class string, corners []xy) {
	var list []string
	for i, p := range corners {
		list = append(list, num(p.x)+","+num(p.y))
		c.lines = append(c.lines, segment{p, corners[(i+1)%len(corners)], 1})
	}
	fmt.Fprintf(&c.b, `<polygon class="%s" points="%s"/>`+"\n", class, strings.Join(list, " "))
}

func (c *canvas) text(class string, at xy, s string) {
	fmt.Fprintf(&c.b, `<text class="%s" x="%s" y="%s">%s</text>`+"\n", class, num(at.x), num(at.y), esc(s))
}

// say writes a line of text below everything so far.
func (c *canvas) say(class, s string) {
	h := 17.0
	if class == "big" {
		h = 24
	}
	c.floor += h
	c.text(class, xy{8, c.floor - 5}, s)
}

func (c *canvas) picture(title, desc string) Picture {
	return Picture{Title: plain.Line(title), Desc: plain.Line(desc), W: c.w, H: math.Ceil(c.floor + 6 - c.top), top: c.top, body: c.b.String()}
}

// scaleBar draws a bar of a round length, of about a quarter of the width.
func (c *canvas) scaleBar() {
	want := c.w / 4 / c.scale
	mm := math.Pow(10, math.Floor(math.Log10(want)))
	for _, f := range []float64{5, 2} {
		if mm*f <= want {
			mm *= f
			break
		}
	}
	word := fmt.Sprintf("%g mm", mm)
	if mm >= 1000 {
		word = fmt.Sprintf("%g m", mm/1000)
	}
	y, end := c.floor+12, 10+mm*c.scale
	c.line("thin", xy{10, y}, xy{end, y})
	c.line("thin", xy{10, y - 4}, xy{10, y + 4})
	c.line("thin", xy{end, y - 4}, xy{end, y + 4})
	c.text("small", xy{end + 6, y + 4}, word)
	c.floor += 22
}

// arrow draws a line with a head at its end and a word beyond it.
func (c *canvas) arrow(from, to xy) {
	c.line("thin", from, to)
	d := math.Hypot(to.x-from.x, to.y-from.y)
	if d == 0 {
		return
	}
	ux, uy := (to.x-from.x)/d, (to.y-from.y)/d
	c.polygon("solid", []xy{to, {to.x - 7*ux + 3*uy, to.y - 7*uy - 3*ux}, {to.x - 7*ux - 3*uy, to.y - 7*uy + 3*ux}})
}

// num prints a coordinate with a tenth of a unit.
func num(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "0"
	}
	s := strconv.FormatFloat(math.Round(v*10)/10, 'f', 1, 64)
	s = strings.TrimSuffix(s, ".0")
	if s == "-0" {
		return "0"
	}
	return s
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")

func esc(s string) string { return escaper.Replace(plain.Line(s)) }

// short cuts a text to n columns, at its middle, because ids differ at both
// ends.
func short(s string, n int) string {
	runes := []rune(plain.Line(s))
	if columns(runes) <= n {
		return string(runes)
	}
	head, tail := 0, len(runes)
	for columns(runes[:head+1]) <= (n-1)*2/3 {
		head++
	}
	for columns(runes[:head])+columns(runes[tail-1:]) <= n-1 {
		tail--
	}
	return string(runes[:head]) + "…" + string(runes[tail:])
}

// columns counts the letters of a text as a typewriter spaces them: those of
// scripts that it lacks may take two.
func columns(runes []rune) int {
	n := len(runes)
	for _, r := range runes {
		if r >= 0x500 && r < 0x2000 || r >= 0x2300 {
			n++
		}
	}
	return n
}

// textWidth is how wide a text is at the size of labels, where a column is 0.6 of
// the height of 12.
func textWidth(s string) float64 { return 7.25 * float64(columns([]rune(s))) }
