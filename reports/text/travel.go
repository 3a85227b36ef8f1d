package text

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// Travel writes what each wheel does between droop and bump. Without detail the
// table has every second height, the angles are those past their limit, and a wheel
// that is the mirror image of an earlier one is a line.
func Travel(w io.Writer, t *verdict.Travel, o Options) error {
	p := newPage(w, o)
	p.para("", fmt.Sprintf("Travel of %s, from %s mm droop to %s mm bump", named(t.Vehicle, t.File), plain.Fixed(t.Droop, 0), plain.Fixed(t.Bump, 0)))
	p.whatIf(t.Assumed)
	p.para("  ", plain.TravelNote(t))
	for _, wheel := range t.Wheels {
		title := placeName(wheel.Place)
		if wheel.Like != "" && !o.Detail {
			p.head(title + ": the mirror image of " + clean(wheel.Like))
			for _, link := range wheel.ToeLinks {
				p.item("", plain.ToeLink(link, t.Good)[0])
			}
			continue
		}
		p.head(title)
		if wheel.Trouble != nil {
			p.para(" ", plain.Trouble(wheel.Trouble))
			continue
		}
		if len(wheel.With) > 0 {
			p.para(" ", "with "+cleanAll(wheel.With)+" at the same height")
		}
		if wheel.Together {
			p.para(" ", plain.Together)
		}
		var rows [][]string
		for i, r := range wheel.Rows {
			if o.Detail || i%2 == 0 || i == len(wheel.Rows)-1 {
				rows = append(rows, plain.TravelCells(r))
			}
		}
		p.table(" ", plain.TravelHeads, rows)
		for _, e := range wheel.Ends {
			p.item("", plain.TravelEnd(e))
		}
		for _, l := range wheel.Lock {
			p.item("", fmt.Sprintf("rack %s mm: toe %s°, camber %s°", plain.Fixed(l.Rack, 1), plain.Fixed(l.Toe, 2), plain.Fixed(l.Camber, 2)))
		}
		for _, link := range wheel.ToeLinks {
			lines := plain.ToeLink(link, t.Good)
			p.item("", lines[0])
			for _, line := range lines[1:] {
				p.para("    ", line)
			}
		}
		if unsure := plain.Unsure(wheel, t.Good); unsure != "" && len(wheel.ToeLinks) > 0 {
			p.item("", unsure)
		}
		for _, a := range wheel.Angles {
			if o.Detail || a.Over {
				p.item("", plain.Angle(a))
			}
		}
	}
	p.line("")
	p.para("", plain.TravelCaution)
	return p.err
}

// Height writes how the vehicle stands by its found lengths and what brings it
// where it is wanted.
func Height(w io.Writer, h *verdict.Height, o Options) error {
	p := newPage(w, o)
	how, with := "by the lengths as found", "with rigid bars for springs"
	if h.Sprung {
		how, with = "on its springs", "its wheels free to creep sideways and its anti-roll bars undone; seats are what the length between the centres is more than that of the coil"
	}
	p.para("", "Heights of "+named(h.Vehicle, h.File)+", "+how)
	p.whatIf(h.Assumed)
	p.para("  ", "Lengths in mm, angles in degrees. Height is that of the frame over a wheel against the drawing, on a flat floor, "+with+"; up is the wheel in the frame. Toe and camber are what the lengths make of those drawn, by ISO 8855.")
	p.head("How it stands")
	heads := []string{"wheel", "strut", "found", "longer", "up", "height", "wanted", "toe", "camber"}
	if h.Sprung {
		heads = append(slices.Concat(heads[:1], []string{"stands"}, heads[3:]), "kg", "scale")
	}
	var rows [][]string
	for _, wheel := range h.Wheels {
		if wheel.Trouble != nil {
			continue
		}
		row := []string{placeName(wheel.Place), clean(wheel.Strut), plain.Fixed(wheel.Found, 1), plain.Fixed(wheel.Found-wheel.Drawn, 1),
			plain.Fixed(wheel.Up, 1), plain.Optional(wheel.Height, 1), plain.Fixed(wheel.Want, 1), plain.Fixed(wheel.Toe, 2), plain.Fixed(wheel.Camber, 2)}
		if h.Sprung {
			row = append(slices.Delete(row, 1, 2), plain.Optional(wheel.Load, 1), plain.Optional(wheel.Scale, 1))
		}
		rows = append(rows, row)
	}
	if len(rows) > 0 {
		p.table(" ", heads, rows)
	}
	if h.Cross != nil {
		p.item("", plain.CrossWeight(h))
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
				p.item("", strings.Join(places, ", ")+": "+why)
			}
		} else if len(wheel.Unmeasured) > 0 {
			p.item("", placeName(wheel.Place)+": "+cleanAll(wheel.Unmeasured)+" not measured, and taken as drawn")
		}
	}
	if h.Twist != nil && *h.Twist >= 0.05 {
		p.item("", fmt.Sprintf("on a flat floor about %s mm are between the fourth wheel and the floor when three stand", plain.Fixed(*h.Twist, 1)))
	}
	if len(h.Lowest) > 0 {
		var low []string
		for _, c := range h.Lowest {
			low = append(low, clean(c.Point)+" "+plain.Fixed(c.Above, 0)+" mm")
		}
		p.item("", "lowest of the points in the file: "+strings.Join(low, ", ")+" above the floor")
	}
	if slices.ContainsFunc(h.Wheels, func(w verdict.WheelHeight) bool { return w.Adjust != nil }) || h.NoSeats != "" {
		p.head("What brings it to the heights that are wanted")
	}
	if h.WantedTwist != nil && *h.WantedTwist >= 0.05 {
		p.item("", fmt.Sprintf("the heights that are wanted do not lie in one plane: on a flat floor about %s mm are between the fourth wheel and the floor", plain.Fixed(*h.WantedTwist, 1)))
	}
	if h.NoSeats != "" {
		p.item("", "no seats of its springs give that: "+clean(h.NoSeats))
	}
	for _, wheel := range h.Wheels {
		if wheel.Adjust == nil {
			continue
		}
		lines := plain.Adjust(wheel.Adjust)
		p.item("", placeName(wheel.Place)+": "+lines[0])
		for _, line := range lines[1:] {
			p.para("    ", line)
		}
	}
	p.line("")
	p.para("", plain.TravelCaution)
	return p.err
}

// whatIf says that an answer is one to 'what if'.
func (p *page) whatIf(list []string) {
	if len(list) > 0 {
		p.para("  ", "Assumed, not found on the vehicle: "+cleanAll(list))
	}
}
