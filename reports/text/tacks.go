package text

import (
	"io"
	"slices"

	"setdown/model/quantity"
	"setdown/reports/plain"
	"setdown/rules/verdict"
)

func (p *page) tackBrief(r *verdict.Report) {
	if len(r.Tacks) == 0 {
		return
	}
	p.head("Welds not finished")
	for _, line := range p.tackLines(r) {
		p.item("", line)
	}
}

// tackLines is a line for each unfinished weld, those alike in everything together.
func (p *page) tackLines(r *verdict.Report) []string {
	var lines []string
	ids := map[string][]string{}
	for _, t := range r.Tacks {
		line := p.tackLine(t)
		if !slices.Contains(lines, line) {
			lines = append(lines, line)
		}
		ids[line] = append(ids[line], t.ID)
	}
	for i, line := range lines {
		lines[i] = clean(plain.AllNames(ids[line])) + ": " + line
	}
	return lines
}

// tackLine says of a weld how far it is made, what it waits for and which moves
// it holds.
func (p *page) tackLine(t verdict.Tack) string {
	text := clean(t.Made)
	if t.What != "" {
		text += " (" + clean(t.What) + ")"
	}
	if t.WaitsFor != "" {
		text += ", waits for " + clean(t.WaitsFor)
	}
	if t.Toe != nil {
		text += ": " + clean(t.Toe.Waits(quantity.System(p.figures)))
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
	sec := section{one: "more weld", what: "more welds", levels: make([][][]string, 2)}
	place := "\x00"
	for _, t := range r.Tacks {
		head := t.Place != place
		sec.levels[0] = append(sec.levels[0], p.block(func(p *page) {
			if head {
				if place != "\x00" {
					p.line("")
				}
				p.wrap("", "  ", p.style(bold, placeName(t.Place)))
			}
			p.tack(t)
		}))
		place = t.Place
	}
	for _, b := range p.tackLines(r) {
		sec.levels[1] = append(sec.levels[1], p.block(func(p *page) { p.item("", b) }))
	}
	p.screenful(func(p *page) {
		p.para("", count(len(r.Tacks), "weld is not finished", "welds are not finished")+" ("+named(r.Vehicle, r.File)+")")
		p.para("", "The strength of a tack is shown for information only. A tack that carries counts for: "+tackPolicy(r)+".")
	}, sec)
	return p.err
}

// tack is one weld with its moves.
func (p *page) tack(t verdict.Tack) {
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
		p.wrap("   ", "   ", clean(t.Toe.Waits(quantity.System(p.figures))))
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

func tackPolicy(r *verdict.Report) string {
	if v := policy(r, "tack_strength"); v != "0" && v != "0 %" {
		return clean(v) + " of their computed strength"
	}
	return "nothing"
}
