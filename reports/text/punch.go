package text

import (
	"fmt"
	"io"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// Punch writes the punch list with boxes to tick on paper.
func Punch(w io.Writer, list verdict.Punch, o Options) error {
	p := newPage(w, o)
	if len(list.Jobs) == 0 {
		if len(list.Further) == 0 {
			p.para("", "Nothing recorded is left to do for "+cleanAll(list.Moves)+". This is not permission to move.")
			return p.err
		}
		p.para("", clean(plain.FurtherHead(list)))
		p.jobs(list, list.Further)
		return p.err
	}
	p.wrap("", "  ", clean(plain.PunchHead(list)))
	if len(list.Buy) > 0 {
		p.head("To buy or make")
		for _, b := range list.Buy {
			p.wrap("  [ ] ", "      ", fmt.Sprintf("%d × %s, for %s%s", b.Quantity, clean(b.Part), cleanAll(b.Items), frees(list, b.Moves)))
		}
	}
	now, later := plain.Now(list)
	p.jobs(list, now)
	if later > 0 {
		p.line("")
		p.para("", plain.Later(later))
	}
	return p.err
}

// jobs prints lines of work by phase and place.
func (p *page) jobs(list verdict.Punch, jobs []verdict.Job) {
	phase, place := "", "\x00"
	for _, j := range plain.Alike(jobs) {
		if head := plain.PhaseHead(j); head != phase {
			phase, place = head, "\x00"
			p.head(plain.Capital(clean(head)))
		}
		if j.Place != place {
			place = j.Place
			p.sub(placeName(place))
		}
		p.wrap("  [ ] ", "      ", clean(plain.Job(j))+frees(list, j.Moves))
		if noted := plain.Noted(j); noted != "" {
			p.wrap("      write down: ", "        ", clean(noted))
		}
	}
}

// frees says which moves a line holds up, where the list is for several.
func frees(list verdict.Punch, moves []string) string {
	if len(list.Moves) < 2 {
		return ""
	}
	if len(moves) == len(list.Moves) {
		return " (all moves)"
	}
	return " (" + cleanAll(moves) + ")"
}
