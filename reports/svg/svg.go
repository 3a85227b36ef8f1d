// Package svg draws one step of a move as pictures that stand alone: the plan
// with supports, reactions, support polygon and centre of gravity; the side; and
// each corner with the force and state of its members.
//
// A Picture needs no script, no font file and nothing from the network. States
// differ by dash, mark and word and never by colour alone. What the build file
// names is drawn as text, shortened where it is long, and can neither end a tag
// nor turn the direction of the line. Labels do not cover each other: what finds
// no room is listed below the drawing. The same step gives the same bytes.
//
// It computes nothing about the vehicle. It does not draw what has no place: a
// point that is not recorded is not guessed.
package svg

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"setdown/rules/verdict"
)

// Picture is one finished view.
type Picture struct {
	Title string // what it shows
	Desc  string // what is to be seen, in words, for those who cannot see it
	W, H  float64
	top   float64 // where the picture begins in its own measure
	body  string
}

// Inline is the picture as an element for a page that has Style among its
// styles.
func (p Picture) Inline() string { return p.element(`class="sd"`) }

// Write writes the picture as a file of its own.
func (p Picture) Write(w io.Writer) error {
	p.body = fmt.Sprintf("<style>%s</style>\n"+`<rect class="sheet" x="0" y="%s" width="%s" height="%s"/>`+"\n", Style, num(p.top), num(p.W), num(p.H)) + p.body
	_, err := io.WriteString(w, p.element(`xmlns="http://www.w3.org/2000/svg" class="sd"`)+"\n")
	return err
}

func (p Picture) element(attributes string) string {
	return fmt.Sprintf(`<svg %s role="img" viewBox="0 %s %s %s" width="%s" height="%s">%s</svg>`,
		attributes, num(p.top), num(p.W), num(p.H), num(p.W), num(p.H), p.inner())
}

func (p Picture) inner() string {
	return "<title>" + esc(p.Title) + "</title>\n<desc>" + esc(p.Desc) + "</desc>\n" + p.body
}

// Write writes one picture of the step that matters most, which is the first that is
// NO-GO in the first move that is NO-GO, or else the first of all: one view of it,
// "plan", "side" or a corner by the name of its place, or all of them where view is
// empty.
func Write(w io.Writer, reports []*verdict.Report, view string) error {
	r, m, s := matters(reports)
	if s == nil {
		c := newCanvas(width)
		c.say("small", "There is no step to draw.")
		return c.picture("Nothing to draw", "No report has a move with a step.").Write(w)
	}
	places := Places(s)
	switch {
	case view == "":
		return Sheet(r, m, s).Write(w)
	case view == "plan":
		return Plan(s).Write(w)
	case view == "side":
		return Side(s).Write(w)
	case slices.Contains(places, view):
		return Corner(s, view).Write(w)
	}
	return fmt.Errorf("there is no view %q; there are plan, side, %s", view, strings.Join(places, ", "))
}

// matters finds the step to draw.
func matters(reports []*verdict.Report) (*verdict.Report, *verdict.Move, *verdict.Step) {
	var report *verdict.Report
	var move *verdict.Move
	var step *verdict.Step
	for _, r := range reports {
		for i := range r.Moves {
			m := &r.Moves[i]
			for j := range m.Steps {
				s := &m.Steps[j]
				if s.Decision == verdict.NoGo {
					return r, m, s
				}
				if step == nil {
					report, move, step = r, m, s
				}
			}
		}
	}
	return report, move, step
}

// Sheet stacks the views of one step under a heading.
func Sheet(r *verdict.Report, m *verdict.Move, s *verdict.Step) Picture {
	views := []Picture{Plan(s), Side(s)}
	for _, place := range Places(s) {
		views = append(views, Corner(s, place))
	}
	c := newCanvas(width)
	name := r.Vehicle
	if name == "" {
		name = r.File
	}
	c.say("big", string(s.Decision)+": "+short(name, 34))
	c.say("small", short(m.ID+", "+m.Title, 56))
	c.say("small", short("step: "+s.Name, 56))
	for _, v := range views {
		c.floor += 8
		c.say("b", v.Title)
		c.b.WriteString(v.element(fmt.Sprintf(`x="0" y="%s"`, num(c.floor))) + "\n")
		c.floor += v.H
	}
	var descs []string
	for _, v := range views {
		descs = append(descs, v.Title+": "+v.Desc)
	}
	return c.picture(fmt.Sprintf("%s: %s, step %s", s.Decision, m.ID, s.Name), strings.Join(descs, " "))
}
