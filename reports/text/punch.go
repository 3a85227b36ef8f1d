package text

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// Punch writes the punch list with boxes to tick on paper, in working order, so that it fits a
// screen.
func Punch(w io.Writer, list verdict.Punch, o Options) error {
	p := newPage(w, o)
	jobs, later := plain.Now(list)
	numbered := list
	if len(list.Moves) > 1 {
		numbered.Moves = nil
		for i, m := range list.Moves {
			numbered.Moves = append(numbered.Moves, fmt.Sprintf("%d %s", i+1, m))
		}
	}
	head := plain.PunchHead(numbered)
	if len(list.Jobs) == 0 {
		if len(list.Further) == 0 {
			p.para("", "Nothing recorded is left to do for "+cleanAll(list.Moves)+". This is not permission to move.")
			return p.err
		}
		jobs, head = list.Further, plain.FurtherHead(numbered)
	}
	work := p.work(list, jobs)
	if later > 0 {
		work.foot = p.block(func(p *page) {
			p.line("")
			p.para("", plain.Later(later))
		})
	}
	p.screenful(func(p *page) { p.wrap("", "  ", clean(head)) }, p.buy(list), work)
	return p.err
}

// buy lists what is to be bought or made.
func (p *page) buy(list verdict.Punch) section {
	sec := section{head: "To buy or make", one: "more part", what: "more parts", levels: make([][][]string, 1)}
	if len(list.Jobs) == 0 {
		return sec
	}
	for _, b := range list.Buy {
		sec.levels[0] = append(sec.levels[0], p.block(func(p *page) {
			p.wrap("  [ ] ", "      ", fmt.Sprintf("%d × %s, for %s%s", b.Quantity, clean(b.Part), clean(plain.AllNames(b.Items)), frees(list, b.Moves)))
		}))
	}
	return sec
}

// work lists what is to be done, by phase: with what to write down, without it, and in short.
func (p *page) work(list verdict.Punch, jobs []verdict.Job) section {
	sec := section{one: "more line of work", what: "more lines of work", levels: make([][][]string, 3)}
	phase := ""
	for _, t := range plain.Tasks(jobs) {
		entry := func(do string, noted string) []string {
			return p.block(func(p *page) {
				if head := plain.PhaseHead(t.Job); head != phase {
					if phase != "" {
						p.line("")
					}
					p.wrap("", "  ", p.style(bold, plain.Capital(clean(head))))
				}
				p.wrap("  "+strings.Repeat("[ ] ", t.Boxes()), "      ", clean(t.Says(do))+frees(list, t.Moves))
				if noted != "" {
					p.wrap("      write down: ", "        ", clean(noted))
				}
			})
		}
		noted := plain.Noted(t.Job)
		sec.levels[0] = append(sec.levels[0], entry(t.Do, noted))
		sec.levels[1] = append(sec.levels[1], entry(t.Do, ""))
		sec.levels[2] = append(sec.levels[2], entry(plain.Shortly(t.Job), ""))
		phase = plain.PhaseHead(t.Job)
	}
	return sec
}

// frees says by their numbers which moves a line holds up.
func frees(list verdict.Punch, moves []string) string {
	switch {
	case len(list.Moves) < 2 || len(moves) == 0:
		return ""
	case len(moves) == len(list.Moves):
		return " (all moves)"
	}
	var numbers []string
	for i, m := range list.Moves {
		if slices.Contains(moves, m) {
			numbers = append(numbers, fmt.Sprint(i+1))
		}
	}
	if len(numbers) == 1 {
		return " (move " + numbers[0] + ")"
	}
	return " (moves " + strings.Join(numbers, ", ") + ")"
}
