package text

import (
	"io"
	"slices"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

func (p *page) tackBrief(r *verdict.Report) {
	if len(r.Tacks) == 0 {
		return
	}
	p.head("Welds not finished")
	// Welds that are alike in everything are one line.
	var lines []string
	ids := map[string][]string{}
	for _, t := range r.Tacks {
		line := tackLine(t)
		if !slices.Contains(lines, line) {
			lines = append(lines, line)
		}
		ids[line] = append(ids[line], t.ID)
	}
	for _, line := range lines {
		p.item("", cleanAll(ids[line])+": "+line)
	}
}

// tackLine says of a weld how far it is made, what it waits for and which moves
// it holds.
func tackLine(t verdict.Tack) string {
	text := clean(t.Made)
	if t.What != "" {
		text += " (" + clean(t.What) + ")"
	}
	if t.WaitsFor != "" {
		text += ", waits for " + clean(t.WaitsFor)
	}
	if t.Toe != nil {
		text += ": " + clean(t.Toe.Waits())
	}
	var blocks, idle, unknown []string
	for _, m := range t.Moves {
		switch {
		case m.Blocks:
			blocks = append(blocks, m.Move)
		case m.Carries == "":
			unknown = append(unknown, m.Move)
		default:
			idle = append(idle, m.Move)
		}
	}
	if len(blocks) > 0 {
		text += "; stops " + cleanAll(blocks)
	}
	if len(unknown) > 0 {
		text += "; not known yet whether it stops " + cleanAll(unknown)
	}
	if len(idle) > 0 {
		text += "; carries nothing in " + cleanAll(idle)
	}
	return text
}

// Tacks writes the audit of welds that are not made full.
func Tacks(w io.Writer, r *verdict.Report, o Options) error {
	p := newPage(w, o)
	p.figures = plain.Figures(r.Units)
	if len(r.Tacks) == 0 {
		p.para("", "Every weld in the file is recorded as fully welded; welds not in the file were not looked at ("+named(r.Vehicle, r.File)+").")
		return p.err
	}
	p.para("", count(len(r.Tacks), "weld is not finished", "welds are not finished")+" ("+named(r.Vehicle, r.File)+")")
	p.para("", "The strength of a tack is shown for information only. A tack that carries counts for: "+tackPolicy(r)+".")
	place := "\x00"
	for _, t := range r.Tacks {
		if t.Place != place {
			place = t.Place
			p.head(placeName(place))
		}
		text := clean(t.ID) + ": " + clean(t.Made)
		if t.What != "" {
			text += ", " + clean(t.What)
		}
		if t.Since != nil {
			text += ", seen " + t.Since.String()
		}
		p.wrap(" ", "   ", text)
		if t.WaitsFor != "" {
			p.wrap("   waits for ", "             ", clean(t.WaitsFor))
		}
		if t.Toe != nil {
			p.wrap("   ", "   ", clean(t.Toe.Waits()))
		}
		var rows [][]string
		for _, m := range t.Moves {
			carries := clean(m.Carries)
			if carries == "" {
				carries = "not computed"
			}
			holds := "does not stop it"
			switch {
			case m.Blocks:
				holds = "STOPS it"
			case m.Carries == "":
				holds = "not known yet"
			}
			rows = append(rows, []string{clean(m.Move), carries, p.orDash(m.Load), p.orDash(m.WouldBear), holds})
		}
		p.table("   ", []string{"in the move", "carries", "load", "computed strength", ""}, rows)
	}
	return p.err
}

func tackPolicy(r *verdict.Report) string {
	if v := policy(r, "tack_strength"); v != "0" && v != "0 %" {
		return clean(v) + " of their computed strength"
	}
	return "nothing"
}
