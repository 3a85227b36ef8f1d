// Package svg draws one step of a move as pictures that stand alone: the vehicle from
// above and from the left with supports, what they carry, and the centre of gravity; and
// each corner from outside with what is wrong in it.
//
// A Picture needs no script, no font file and nothing from the network. Faults have a
// number, a shape and a word and are never told by colour alone. What the build file
// names is drawn as text, shortened where it is long, and can neither end a tag nor turn
// the direction of the line. Texts have columns and rows of their own and do not meet.
// The same step gives the same bytes.
//
// It computes nothing about the vehicle. It does not draw what has no place: a
// point that is not recorded is not guessed.
package svg

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// Picture is one finished view.
type Picture struct {
	Title string // what it shows
	Desc  string // what is to be seen, in words, for those who cannot see it
	W, H  float64
	body  string
}

// Inline is the picture as an element for a page that has Style among its styles and the
// properties of Colours.
func (p Picture) Inline() string { return p.element(`class="sd"`) }

// Write writes the picture as a file of its own.
func (p Picture) Write(w io.Writer) error {
	p.body = fmt.Sprintf("<style>%s%s</style>\n"+`<rect class="sheet" width="%s" height="%s"/>`+"\n", Colours(), Style, num(p.W), num(p.H)) + p.body
	_, err := io.WriteString(w, p.element(`xmlns="http://www.w3.org/2000/svg" class="sd"`)+"\n")
	return err
}

func (p Picture) element(attributes string) string {
	return fmt.Sprintf(`<svg %s role="img" viewBox="0 0 %s %s" width="%s" height="%s"><title>%s</title>`+"\n<desc>%s</desc>\n%s</svg>",
		attributes, num(p.W), num(p.H), num(p.W), num(p.H), esc(p.Title), esc(p.Desc), p.body)
}

// Write writes one picture of the step that matters most: one view of it, "plan" for the
// whole vehicle or a corner by the name of its place, or all of them where view is empty.
func Write(w io.Writer, reports []*verdict.Report, view string) error {
	r, m := matters(reports)
	if m == nil || len(m.Steps) == 0 {
		c := &canvas{}
		return c.nothing("Nothing to draw", "There is no step to draw.").Write(w)
	}
	s, marks, figures := Step(m), Marks(plain.NewSheet(r, m, plain.Called).Stops, Step(m)), plain.Figures(r.Units)
	places := Places(s)
	switch {
	case view == "":
		return Sheet(r, m).Write(w)
	case view == "plan":
		return Overview(s, marks, figures).Write(w)
	case slices.Contains(places, view):
		return Corner(s, view, marks, figures).Write(w)
	}
	return fmt.Errorf("there is no view %q; there are plan, %s", view, strings.Join(places, ", "))
}

// matters finds the move to draw: the first that is NO-GO, or else the first of all.
func matters(reports []*verdict.Report) (report *verdict.Report, move *verdict.Move) {
	for _, r := range reports {
		for i := range r.Moves {
			m := &r.Moves[i]
			if m.Decision == verdict.NoGo {
				return r, m
			}
			if move == nil {
				report, move = r, m
			}
		}
	}
	return report, move
}

// Step is the step of a move that is drawn: of those in which most stops it the last,
// which is where the vehicle comes to rest.
func Step(m *verdict.Move) *verdict.Step {
	best := &m.Steps[len(m.Steps)-1]
	for i := range m.Steps {
		if s := &m.Steps[i]; s.Stops > best.Stops {
			best = s
		}
	}
	return best
}

// Sheet stacks the views of a move under a heading: the whole vehicle, then the corners
// in which something stops it.
func Sheet(r *verdict.Report, m *verdict.Move) Picture {
	s, sheet, figures := Step(m), plain.NewSheet(r, m, plain.Called), plain.Figures(r.Units)
	marks := Marks(sheet.Stops, s)
	views := []Picture{Overview(s, marks, figures)}
	for _, place := range Marked(s, marks) {
		views = append(views, Corner(s, place, marks, figures))
	}
	c := &canvas{}
	plate, word := "plate", "b mid on"
	if m.Decision == verdict.Go {
		plate, word = "frame-go", "b mid"
	}
	c.line(plate, true, xy{8, 8}, xy{92, 8}, xy{92, 36}, xy{8, 36})
	c.text(word, xy{50, 27}, string(m.Decision))
	floor, row := 20.0, 0.0
	for _, head := range []struct{ class, text string }{{"b", m.ID + ": " + sheet.Title}, {"q", sheet.Source}} {
		for _, line := range lines(head.text, 38, 3) {
			c.text(head.class, xy{102, floor}, line)
			floor += 16
		}
	}
	floor = max(floor, 56)
	c.text("q", xy{8, floor}, short("step: "+s.Name, 52))
	floor += 10
	var descs []string
	for i, v := range views {
		x := 0.0
		if i > 0 && i%2 == 0 { // corners stand two in a row
			x = width / 2
		} else {
			floor += row
			row = 0
		}
		letters := 26
		if i == 0 {
			letters = 52
		}
		c.text("b", xy{x + 8, floor + 12}, short(v.Title, letters))
		c.b.WriteString(v.element(fmt.Sprintf(`x="%s" y="%s"`, num(x), num(floor+18))) + "\n")
		row = max(row, v.H+30)
		descs = append(descs, v.Title+": "+v.Desc)
	}
	floor += row + 12
	for _, stop := range sheet.Stops {
		c.text("b end", xy{24, floor}, fmt.Sprint(stop.Number))
		for _, line := range lines(plain.Capital(stop.Name())+": "+stop.Gist(), 49, 2) {
			c.text("", xy{32, floor}, line)
			floor += 16
		}
		floor += 2
	}
	return c.picture(fmt.Sprintf("%s: %s", m.Decision, m.ID), strings.Join(descs, " "), floor, width)
}
