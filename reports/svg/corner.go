package svg

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"setdown/rules/verdict"
)

// Places lists the places of a step that are worth a view of their own, in the
// order in which they come up: those with a link, or with a joint that is not
// sound.
func Places(s *verdict.Step) []string {
	var list []string
	if s.Outline == nil {
		return nil
	}
	add := func(place string) {
		if !slices.Contains(list, place) {
			list = append(list, place)
		}
	}
	for _, m := range s.Outline.Members {
		add(m.Place)
	}
	for _, j := range s.Outline.Joints {
		if looks(j.State).class != "sound" {
			add(j.Place)
		}
	}
	return list
}

// Depth is drawn aslant and shortened, so that what lies behind is not hidden.
const (
	depthAcross = 0.36
	depthUp     = 0.24
)

// Corner draws what belongs to one place, seen from the front and from outside
// and a little above: across and up are to scale, depth is shortened. Every
// member carries its force, C when it is pushed together and T when it is pulled,
// the use it makes of its strength, and its state.
func Corner(s *verdict.Step, place string) Picture {
	c := newCanvas(width)
	name := place
	if name == "" {
		name = "what has no place"
	}
	title := "Corner: " + short(name, 40)
	o := at(s.Outline, place)
	if !c.fit(outlinePoints(o), aslant(o), 92, 280) {
		c.say("small", "No place is recorded that could be drawn.")
		return c.picture(title, "Nothing can be drawn: no place is recorded.")
	}
	c.parts(o)
	c.links(o)
	words := c.members(o)
	c.place()
	c.scaleBar()
	c.key(o)
	return c.picture(title, strings.Join(words, " "))
}

// at is the outline of one place. A part is cut down to what it shows there: the
// arm is there, the frame is not.
func at(o *verdict.Outline, place string) *verdict.Outline {
	here := &verdict.Outline{}
	if o == nil {
		return here
	}
	for _, p := range o.Parts {
		if p.Place == place && p.Role != "frame" {
			here.Parts = append(here.Parts, p)
		}
	}
	for _, j := range o.Joints {
		if j.Place == place {
			here.Joints = append(here.Joints, j)
		}
	}
	for _, m := range o.Members {
		if m.Place == place {
			here.Members = append(here.Members, m)
		}
	}
	return here
}

func outlinePoints(o *verdict.Outline) []verdict.Point {
	return stepPoints(&verdict.Step{Outline: o})
}

// aslant looks from the front, from the outside of the place.
func aslant(o *verdict.Outline) projection {
	side := 1.0
	for _, p := range outlinePoints(o) {
		if known(p) {
			side += math.Copysign(1, p.Y)
		}
	}
	inward := math.Copysign(depthAcross, -side)
	return func(p verdict.Point) (u, v float64) { return p.Y + inward*p.X, p.Z - depthUp*p.X }
}

// many is the number of labels beyond which sound joints get none.
const many = 12

// members marks the joints and labels joints and links.
func (c *canvas) members(o *verdict.Outline) []string {
	var words []string
	type text struct {
		at   xy
		s    state
		id   string
		load string
	}
	var list []text
	for _, m := range o.Members {
		l := looks(m.State)
		words = append(words, sentence(m.ID, load(m.Force, m.Use, true), m.State))
		if !known(m.From) || !known(m.To) {
			continue
		}
		a, b := c.at(m.From), c.at(m.To)
		c.circle("solid", a, 2.5)
		c.circle("solid", b, 2.5)
		for _, end := range []xy{a, b} {
			c.boxes = append(c.boxes, box{end.x - 4, end.y - 4, 8, 8})
		}
		list = append(list, text{xy{(a.x + b.x) / 2, (a.y + b.y) / 2}, l, m.ID, load(m.Force, m.Use, true)})
	}
	for _, j := range o.Joints {
		l := looks(j.State)
		words = append(words, sentence(j.ID, load(j.Force, j.Use, false), j.State))
		if !known(j.At) {
			continue
		}
		c.joint(c.at(j.At), l)
		list = append(list, text{c.at(j.At), l, j.ID, load(j.Force, j.Use, false)})
	}
	for _, t := range list {
		c.boxes = append(c.boxes, box{t.at.x - 7, t.at.y - 7, 14, 14})
	}
	for _, l := range looksOf {
		for _, t := range list {
			if t.s != l || l.class == "sound" && len(list) > many {
				continue
			}
			lines := []string{short(t.id, 20), t.load}
			if l.word != "" {
				lines = append(lines, l.word)
			}
			c.label(t.at, 7, l.tone, lines...)
		}
	}
	return words
}

func sentence(id, load, state string) string {
	return fmt.Sprintf("%s: %s, %s.", id, load, state)
}

// key explains the marks and dashes that the view uses.
func (c *canvas) key(o *verdict.Outline) {
	entry, done := c.rows()
	for _, l := range looksOf {
		if slices.ContainsFunc(o.Joints, func(j verdict.OutlineJoint) bool { return looks(j.State) == l }) {
			entry(16, "joint, "+l.name, func(at xy) { c.joint(xy{at.x + 8, at.y}, l) })
		}
	}
	for _, l := range looksOf {
		if slices.ContainsFunc(o.Members, func(m verdict.OutlineMember) bool { return looks(m.State) == l }) {
			entry(34, "link, "+l.name, func(at xy) { c.line("rod "+l.class, at, xy{at.x + 34, at.y}) })
		}
	}
	entry(0, "C pushed, T pulled · share of its strength used", func(xy) {})
	done()
}
