package svg

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"setdown/model/hull"
	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// width of every view, in picture units: at this size letters are as large as on a page,
// and on a small screen still legible.
const width = 400

// xy is a place in the picture; y runs down.
type xy struct{ x, y float64 }

// canvas collects the elements of one view.
type canvas struct {
	b       strings.Builder
	figures plain.Figures
	taken   []room  // by signs, numbers and texts
	leaders [][2]xy // bars, and lines from a sign to its number or name
}

// room is a part of the picture.
type room struct{ lo, hi xy }

func around(at xy, r float64) room { return room{xy{at.x - r, at.y - r}, xy{at.x + r, at.y + r}} }

// within is the room that places take together.
func within(places []xy) room {
	r := room{xy{math.Inf(1), math.Inf(1)}, xy{math.Inf(-1), math.Inf(-1)}}
	for _, p := range places {
		r = room{xy{min(r.lo.x, p.x), min(r.lo.y, p.y)}, xy{max(r.hi.x, p.x), max(r.hi.y, p.y)}}
	}
	return r
}

// letter is the width of the widest letter of a text, in picture units.
const letter = 7.6

// lettered is the room that a text takes.
func lettered(class string, at xy, s string) room {
	wide := letter * float64(columns([]rune(s)))
	switch {
	case strings.Contains(class, "mid"):
		at.x -= wide / 2
	case strings.Contains(class, "end"):
		at.x -= wide
	}
	return room{xy{at.x, at.y - 10}, xy{at.x + wide, at.y + 3}}
}

// free reports whether nothing that is to be read is in a part of the picture yet.
func (c *canvas) free(b room) bool {
	for _, o := range c.taken {
		if b.lo.x < o.hi.x && o.lo.x < b.hi.x && b.lo.y < o.hi.y && o.lo.y < b.hi.y {
			return false
		}
	}
	for _, l := range c.leaders {
		const parts = 64
		for i := range parts + 1 {
			f := float64(i) / parts
			x, y := l[0].x+f*(l[1].x-l[0].x), l[0].y+f*(l[1].y-l[0].y)
			if x > b.lo.x && x < b.hi.x && y > b.lo.y && y < b.hi.y {
				return false
			}
		}
	}
	return true
}

// leader draws a line from a sign to its number or name.
func (c *canvas) leader(from, to xy) {
	c.line("thin", false, from, to)
	c.leaders = append(c.leaders, [2]xy{from, to})
}

// line draws lines from place to place, closed or open.
func (c *canvas) line(class string, closed bool, points ...xy) {
	if len(points) < 2 {
		return
	}
	var d strings.Builder
	for i, p := range points {
		d.WriteString(map[bool]string{true: "M", false: "L"}[i == 0] + num(p.x) + " " + num(p.y))
	}
	if closed {
		d.WriteString("Z")
	}
	fmt.Fprintf(&c.b, `<path class="%s" d="%s"/>`+"\n", class, d.String())
}

// outline draws the hull of places.
func (c *canvas) outline(class string, places []xy) {
	points := make([]hull.Point, len(places))
	for i, p := range places {
		points[i] = hull.Point{X: p.x, Y: p.y}
	}
	var corners []xy
	for _, i := range hull.Corners(points, 0) {
		corners = append(corners, places[i])
	}
	c.line(class, true, corners...)
}

func (c *canvas) circle(class string, at xy, r float64) {
	fmt.Fprintf(&c.b, `<circle class="%s" cx="%s" cy="%s" r="%s"/>`+"\n", class, num(at.x), num(at.y), num(r))
}

// half fills the right half of a circle, or a quarter turned by quarters.
func (c *canvas) half(class string, at xy, r float64) {
	fmt.Fprintf(&c.b, `<path class="%s" d="M%s %sa%s %s 0 0 1 0 %sZ"/>`+"\n", class, num(at.x), num(at.y-r), num(r), num(r), num(2*r))
}

func (c *canvas) text(class string, at xy, s string) {
	c.taken = append(c.taken, lettered(class, at, s))
	fmt.Fprintf(&c.b, `<text class="%s" x="%s" y="%s">%s</text>`+"\n", class, num(at.x), num(at.y), esc(s))
}

// bar draws a link as two edges, w apart.
func (c *canvas) bar(a, b xy, w float64) {
	d := math.Hypot(b.x-a.x, b.y-a.y)
	if d == 0 {
		return
	}
	n := xy{(a.y - b.y) / d * w / 2, (b.x - a.x) / d * w / 2}
	c.line("bar", true, xy{a.x + n.x, a.y + n.y}, xy{b.x + n.x, b.y + n.y}, xy{b.x - n.x, b.y - n.y}, xy{a.x - n.x, a.y - n.y})
}

// arrow draws a line with a head at its end.
func (c *canvas) arrow(from, to xy) {
	d := math.Hypot(to.x-from.x, to.y-from.y)
	if d == 0 {
		return
	}
	ux, uy := (to.x-from.x)/d*8, (to.y-from.y)/d*8
	c.line("pen", false, from, to)
	c.line("pen", false, xy{to.x - ux + uy/2, to.y - uy - ux/2}, to, xy{to.x - ux - uy/2, to.y - uy + ux/2})
}

// gravity draws the sign of a centre of gravity, a circle in quarters.
func (c *canvas) gravity(at xy) {
	const r = 7
	c.taken = append(c.taken, around(at, r))
	c.circle("ring", at, r)
	fmt.Fprintf(&c.b, `<path class="solid" d="M%s %sv-%da%d %d 0 0 1 %d %dzv%da%d %d 0 0 1 -%d -%dz"/>`+"\n", num(at.x), num(at.y), r, r, r, r, r, r, r, r, r, r)
}

// balloon draws a number in a circle.
func (c *canvas) balloon(at xy, n int) {
	c.taken = append(c.taken, around(at, 10))
	c.circle("ring", at, 10)
	c.text("b mid", xy{at.x, at.y + 4.5}, strconv.Itoa(n))
}

// picture finishes a view of that height and width.
func (c *canvas) picture(title, desc string, height, w float64) Picture {
	return Picture{Title: plain.Line(title), Desc: plain.Line(desc), W: w, H: math.Ceil(height), body: c.b.String()}
}

// nothing is a view of which nothing can be drawn.
func (c *canvas) nothing(title, why string) Picture {
	c.text("q", xy{8, 18}, why)
	return c.picture(title, why, 26, width)
}

func known(p verdict.Point) bool {
	sum := p.X + p.Y + p.Z
	return !math.IsNaN(sum) && !math.IsInf(sum, 0) && math.Abs(sum) < 1e9
}

// num prints a coordinate with a tenth of a unit.
func num(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "0"
	}
	s := strings.TrimSuffix(strconv.FormatFloat(math.Round(v*10)/10, 'f', 1, 64), ".0")
	if s == "-0" {
		return "0"
	}
	return s
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")

func esc(s string) string { return escaper.Replace(plain.Line(s)) }

// short cuts a text to n columns, at its middle, because ids differ at both ends; an id that
// begins and ends with whole words keeps these, as in 'fr-…-stand'.
func short(s string, n int) string {
	runes := []rune(plain.Line(s))
	if columns(runes) <= n {
		return string(runes)
	}
	first, rest, hyphens := strings.Cut(string(runes), "-")
	if last := rest[strings.LastIndex(rest, "-")+1:]; hyphens && first != "" && last != rest && last != "" {
		if words := first + "-…-" + last; columns([]rune(words)) <= n {
			return words
		}
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

// lines breaks a text into at most most lines of n columns; what is left over is cut.
func lines(s string, n, most int) []string {
	var list []string
	line := ""
	for word := range strings.FieldsSeq(plain.Line(s)) {
		switch whole := strings.TrimSpace(line + " " + word); {
		case line == "" || columns([]rune(whole)) <= n:
			line = whole
		case len(list) == most-1:
			return append(list, short(line+" …", n))
		default:
			list, line = append(list, short(line, n)), word
		}
	}
	return append(list, short(line, n))
}

// columns counts the letters of a text as a typewriter spaces them: those of scripts
// that it lacks may take two.
func columns(runes []rune) int {
	n := len(runes)
	for _, r := range runes {
		if r >= 0x500 && r < 0x2000 || r >= 0x2300 {
			n++
		}
	}
	return n
}

// spread moves places apart to at least gap, in their order, as little as may be: those
// that meet are pushed apart about their middle. They stay between least and most where
// there is room.
func spread(at []float64, gap, least, most float64) []float64 {
	type block struct {
		sum, start float64
		n          int
	}
	var blocks []block
	for _, v := range at {
		blocks = append(blocks, block{v, v, 1})
		for k := len(blocks); k > 1 && blocks[k-2].start+float64(blocks[k-2].n)*gap > blocks[k-1].start; k = len(blocks) {
			a, b := blocks[k-2], blocks[k-1]
			a.sum += b.sum - float64(a.n*b.n)*gap
			a.n += b.n
			a.start = a.sum / float64(a.n)
			blocks = append(blocks[:k-2], a)
		}
	}
	var list []float64
	for _, b := range blocks {
		for i := range b.n {
			list = append(list, b.start+float64(i)*gap)
		}
	}
	for i := len(list) - 1; i >= 0; i-- {
		list[i] = min(list[i], most-float64(len(list)-1-i)*gap)
	}
	for i := range list {
		list[i] = max(list[i], least+float64(i)*gap)
	}
	return list
}
