package svg

import (
	"fmt"
	"slices"
	"strings"

	"setdown/model/quantity"
	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// state is how a state of a joint or member looks.
type state struct {
	name  string // as verdict.States
	class string // dash of a member
	tone  string // colour
	word  string // in a label
}

var looksOf = []state{
	{"missing", "missing", "bad", "MISSING"},
	{"tack", "tack", "bad", "TACK ONLY"},
	{"loose", "loose", "bad", "LOOSE"},
	{"not recorded", "unrec", "warn", "NOT RECORDED"},
	{"sound", "sound", "", ""},
}

// looks finds the look of a state. A state that it does not know is not taken
// for sound.
func looks(name string) state {
	for _, s := range looksOf {
		if s.name == name {
			return s
		}
	}
	return looksOf[3]
}

// joint draws the mark of a joint: a ring that is empty when sound, hatched when
// tacked, crossed out when missing, a lozenge when loose, a square with a
// question mark when not recorded.
func (c *canvas) joint(at xy, s state) {
	class := strings.TrimSpace("mark " + s.tone)
	switch s.class {
	case "sound":
		c.circle(class, at, 4)
	case "tack":
		c.circle(class, at, 5.5)
		c.line(class, xy{at.x - 4.5, at.y + 1.5}, xy{at.x + 1.5, at.y - 4.5})
		c.line(class, xy{at.x - 1.5, at.y + 4.5}, xy{at.x + 4.5, at.y - 1.5})
	case "missing":
		c.circle(class, at, 5.5)
		c.line(class, xy{at.x - 7, at.y - 7}, xy{at.x + 7, at.y + 7})
		c.line(class, xy{at.x - 7, at.y + 7}, xy{at.x + 7, at.y - 7})
	case "loose":
		c.polygon(class, []xy{{at.x, at.y - 7}, {at.x + 7, at.y}, {at.x, at.y + 7}, {at.x - 7, at.y}})
	default:
		c.rect(class, box{at.x - 6.5, at.y - 6.5, 13, 13})
		fmt.Fprintf(&c.b, `<path class="query" d="M%s %sc0-4 5.4-4 5.4-.6c0 2-2.7 2-2.7 4.2m0 2v.6"/>`+"\n", num(at.x-2.7), num(at.y-1.6))
	}
}

// legend explains what the picture uses, in rows below it.
func (c *canvas) legend(s *verdict.Step, plan bool) {
	entry, done := c.rows()
	if plan {
		entry(12, "support", func(at xy) {
			c.rect("mark", box{at.x, at.y - 6, 12, 12})
			c.line("mark", xy{at.x, at.y - 6}, xy{at.x + 12, at.y + 6})
			c.line("mark", xy{at.x, at.y + 6}, xy{at.x + 12, at.y - 6})
		})
		if s.Stability != nil {
			entry(22, "ground the supports span", func(at xy) { c.rect("poly", box{at.x, at.y - 6, 22, 12}) })
			entry(22, "edge it tips over first", func(at xy) { c.line("edge", at, xy{at.x + 22, at.y}) })
		}
	}
	if s.CG != nil {
		entry(14, "centre of gravity", func(at xy) { c.gravity(xy{at.x + 7, at.y}, 0, 0) })
		entry(22, "its ±", func(at xy) {
			fmt.Fprintf(&c.b, `<ellipse class="spread" cx="%s" cy="%s" rx="11" ry="6"/>`+"\n", num(at.x+11), num(at.y))
		})
	}
	if s.Outline != nil && slices.ContainsFunc(s.Outline.Parts, func(p verdict.OutlinePart) bool { return p.Hangs }) {
		entry(20, "part that hangs", func(at xy) { c.rect("part hangs", box{at.x, at.y - 6, 20, 12}) })
	}
	for _, l := range looksOf {
		if s.Outline != nil && slices.ContainsFunc(s.Outline.Members, func(m verdict.OutlineMember) bool { return looks(m.State) == l }) {
			entry(34, "link, "+l.name, func(at xy) { c.line("rod "+l.class, at, xy{at.x + 34, at.y}) })
		}
	}
	done()
}

// rows lays out a legend: entry adds a sample of some width and its word, and
// done ends it.
func (c *canvas) rows() (entry func(w float64, word string, draw func(at xy)), done func()) {
	x, y := 10.0, c.floor+12
	entry = func(w float64, word string, draw func(at xy)) {
		long := w + 6 + textWidth(word)*11/12 + 14
		if x > 10 && x+long > c.w {
			x, y = 10, y+18
		}
		draw(xy{x, y})
		c.text("small quiet", xy{x + w + 6, y + 4}, word)
		x += long
	}
	return entry, func() { c.floor = y + 12 }
}

// load words a force and the use it makes of a strength.
func load(f *verdict.Figure, use *float64, signed bool) string {
	if f == nil {
		return "force not computed"
	}
	text := plain.Shown(*f)
	if signed {
		text = Force(*f)
	}
	if use != nil {
		text += " · " + plain.Use(*use)
	}
	return text
}

// Force prints the force in a link: C when it is pushed together, T when pulled.
func Force(f verdict.Figure) string {
	switch {
	case f.Value < 0:
		return "C " + plain.Shown(verdict.Figure{Value: -f.Value, Unit: f.Unit})
	case f.Value > 0:
		return "T " + plain.Shown(f)
	}
	return plain.Shown(f)
}

// words labels the joints that are in a wanted state, the gravest first and at
// most so many.
func (c *canvas) words(o *verdict.Outline, wanted func(state) bool, most int) {
	if o == nil {
		return
	}
	n := 0
	for _, l := range looksOf {
		if !wanted(l) {
			continue
		}
		for _, j := range o.Joints {
			if looks(j.State) != l || !known(j.At) {
				continue
			}
			at := c.at(j.At)
			c.joint(at, l)
			c.boxes = append(c.boxes, box{at.x - 7, at.y - 7, 14, 14})
			if n < most {
				c.label(at, 7, l.tone, short(j.ID, 18), l.word)
			}
			n++
		}
	}
}

// mm prints millimetres, whole.
func mm(v float64) string { return quantity.Format(float64(int64(v + half(v)))) }

func half(v float64) float64 {
	if v < 0 {
		return -0.5
	}
	return 0.5
}
