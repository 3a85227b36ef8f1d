package text

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// Travel writes what each wheel does between droop and bump, so that it fits a screen: of each
// the ends of its travel, and a wheel that is the mirror image of an earlier one is a line. In
// detail every height and every joint.
func Travel(w io.Writer, t *verdict.Travel, o Options) error {
	p := newPage(w, o)
	p.figures = plain.Figures(t.Units)
	if o.Detail {
		p.travelHead(t, p.figures.TravelNote(t))
		for i := range t.Wheels {
			wheel := &t.Wheels[i]
			p.head(travelled(wheel))
			p.wheel(t, wheel, 0)
		}
		p.line("")
		p.para("", plain.TravelCaution)
		return p.err
	}
	sec := section{one: "more wheel", what: "more wheels", levels: make([][][]string, 3), foot: p.block(func(p *page) { p.para("", plain.TravelCaution) })}
	for i := range t.Wheels {
		wheel := &t.Wheels[i]
		for level := range sec.levels {
			sec.levels[level] = append(sec.levels[level], p.block(func(p *page) {
				p.wrap("", "  ", p.style(bold, travelled(wheel)))
				p.wheel(t, wheel, level)
			}))
		}
	}
	p.screenful(func(p *page) { p.travelHead(t, p.figures.TravelBrief(t)) }, sec)
	return p.err
}

// travelled names a wheel.
func travelled(wheel *verdict.WheelTravel) string {
	if wheel.Like != "" {
		return placeName(wheel.Place) + ": the mirror image of " + clean(wheel.Like)
	}
	return placeName(wheel.Place)
}

func (p *page) travelHead(t *verdict.Travel, note string) {
	p.para("", fmt.Sprintf("Travel of %s, from %s droop to %s bump", named(t.Vehicle, t.File), p.figures.Millimetres(t.Droop, 0), p.figures.Millimetres(t.Bump, 0)))
	p.whatIf(t.Assumed)
	p.para("  ", note)
}

// wheel is what one wheel does: level 0 with a table, level 2 with what stops or fouls alone.
func (p *page) wheel(t *verdict.Travel, wheel *verdict.WheelTravel, level int) {
	u := p.figures
	if wheel.Trouble != nil {
		p.para(" ", plain.Trouble(wheel.Trouble))
		return
	}
	mirrored := wheel.Like != "" && !p.o.Detail
	if len(wheel.With) > 0 && !mirrored {
		p.para(" ", "with "+cleanAll(wheel.With)+" at the same height")
	}
	if wheel.Together && !mirrored {
		p.para(" ", plain.Together)
	}
	switch {
	case mirrored:
	case p.o.Detail:
		p.table(" ", plain.TravelHeads, u.TravelCells(wheel.Rows))
	case level == 0:
		p.table(" ", plain.EndHeads, u.EndCells(wheel.Rows))
	case level == 1:
		p.para(" ", plain.Ends(wheel.Rows))
	}
	for _, e := range wheel.Ends {
		p.item("", u.TravelEnd(e))
	}
	if p.o.Detail || level == 0 && !mirrored {
		for _, l := range wheel.Lock {
			p.item("", fmt.Sprintf("rack %s: toe %s°, camber %s°", u.Millimetres(l.Rack, 1), plain.Fixed(l.Toe, 2), plain.Fixed(l.Camber, 2)))
		}
	}
	for _, link := range wheel.ToeLinks {
		lines := u.ToeLink(link, t.Good, p.o.Detail)
		if mirrored || level == 2 {
			lines = lines[:1]
		}
		p.item("", lines[0])
		for _, line := range lines[1:] {
			p.para("    ", line)
		}
	}
	if unsure := plain.Unsure(wheel, t.Good); unsure != "" && len(wheel.ToeLinks) > 0 && !mirrored && level < 2 {
		p.item("", unsure)
	}
	for _, a := range wheel.Angles {
		if p.o.Detail || a.Over && !mirrored {
			p.item("", plain.Angle(a))
		}
	}
}

// Height writes how the vehicle stands by its found lengths and what brings it
// where it is wanted.
func Height(w io.Writer, h *verdict.Height, o Options) error {
	p := newPage(w, o)
	u := plain.Figures(h.Units)
	how, with := "by the lengths as found", "with rigid bars for springs"
	if h.Sprung {
		how, with = "on its springs", "its wheels free to creep sideways and its anti-roll bars undone; seats are what the length between the centres is more than that of the coil"
	}
	stands := section{head: "How it stands", one: "more line", what: "more lines", levels: make([][][]string, 1)}
	bring := section{head: "What brings it to the heights that are wanted", one: "more line", what: "more lines", levels: make([][][]string, 1)}
	say := func(s *section, text string, more ...string) {
		s.levels[0] = append(s.levels[0], p.block(func(p *page) {
			p.item("", text)
			for _, line := range more {
				p.para("    ", line)
			}
		}))
	}
	key := p.block(func(p *page) {
		p.para("  ", "Lengths in "+u.Lengths()+", angles in degrees. Height is that of the frame over a wheel against the drawing, on a flat floor, "+with+"; up is the wheel in the frame. Toe and camber are what the lengths make of those drawn, by ISO 8855.")
	})
	heads := []string{"wheel", "strut", "found", "longer", "up", "height", "wanted", "toe", "camber"}
	if h.Sprung {
		heads = append(slices.Concat(heads[:1], []string{"stands"}, heads[3:]), u.In("kg"), "scale")
	}
	var rows [][]string
	for _, wheel := range h.Wheels {
		if wheel.Trouble != nil {
			continue
		}
		longer := wheel.Found - wheel.Drawn
		row := []string{placeName(wheel.Place), clean(wheel.Strut), u.Cell(&wheel.Found, "mm", 1), u.Cell(&longer, "mm", 1),
			u.Cell(&wheel.Up, "mm", 1), u.Cell(wheel.Height, "mm", 1), u.Cell(&wheel.Want, "mm", 1), plain.Fixed(wheel.Toe, 2), plain.Fixed(wheel.Camber, 2)}
		if h.Sprung {
			row = append(slices.Delete(row, 1, 2), u.Cell(wheel.Load, "kg", 1), u.Cell(wheel.Scale, "kg", 1))
		}
		rows = append(rows, row)
	}
	if len(rows) > 0 {
		for _, line := range p.block(func(p *page) { p.table(" ", heads, rows) }) {
			stands.levels[0] = append(stands.levels[0], []string{line})
		}
	}
	if h.Cross != nil {
		say(&stands, u.CrossWeight(h))
	}
	troubled := map[string][]string{} // the places, by what troubles them
	for _, wheel := range h.Wheels {
		if wheel.Trouble != nil {
			why := plain.Trouble(wheel.Trouble)
			troubled[why] = append(troubled[why], placeName(wheel.Place))
		}
	}
	for _, wheel := range h.Wheels {
		if wheel.Trouble != nil {
			why := plain.Trouble(wheel.Trouble)
			if places := troubled[why]; places[0] == placeName(wheel.Place) {
				say(&stands, strings.Join(places, ", ")+": "+why)
			}
		} else if len(wheel.Unmeasured) > 0 {
			say(&stands, placeName(wheel.Place)+": "+cleanAll(wheel.Unmeasured)+" not measured, and taken as drawn")
		}
	}
	if h.Twist != nil && *h.Twist >= 0.05 {
		say(&stands, fmt.Sprintf("on a flat floor about %s are between the fourth wheel and the floor when three stand", u.Millimetres(*h.Twist, 1)))
	}
	if len(h.Lowest) > 0 {
		var low []string
		for _, c := range h.Lowest {
			low = append(low, clean(c.Point)+" "+u.Millimetres(c.Above, 0))
		}
		say(&stands, "lowest of the points in the file: "+strings.Join(low, ", ")+" above the floor")
	}
	if h.WantedTwist != nil && *h.WantedTwist >= 0.05 {
		say(&bring, fmt.Sprintf("the heights that are wanted do not lie in one plane: on a flat floor about %s are between the fourth wheel and the floor", u.Millimetres(*h.WantedTwist, 1)))
	}
	if h.NoSeats != "" {
		say(&bring, "no seats of its springs give that: "+clean(h.NoSeats))
	}
	for _, wheel := range h.Wheels {
		if wheel.Adjust == nil {
			continue
		}
		lines := u.Adjust(wheel.Adjust)
		say(&bring, placeName(wheel.Place)+": "+lines[0], lines[1:]...)
	}
	caution := section{keep: 1, levels: [][][]string{{p.block(func(p *page) { p.para("", plain.TravelCaution) })}}}
	p.screenful(func(p *page) {
		p.para("", "Heights of "+named(h.Vehicle, h.File)+", "+how)
		p.whatIf(h.Assumed)
	}, section{keep: 1, levels: [][][]string{{key}}}, stands, bring, caution)
	return p.err
}

// whatIf says that an answer is one to 'what if'.
func (p *page) whatIf(list []string) {
	if len(list) > 0 {
		p.para("  ", "Assumed, not found on the vehicle: "+cleanAll(list))
	}
}
