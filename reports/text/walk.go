package text

import (
	"fmt"
	"io"
	"strings"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// Walk writes the sheet of a walk-round: boxes in the order in which one goes round,
// answered with a pencil.
func Walk(w io.Writer, r *verdict.Round, o Options) error {
	p := newPage(w, o)
	p.standing(r)
	p.holds(r)
	if len(r.Screens) == 0 {
		p.wrap("", "  ", fmt.Sprintf("No look is asked for. A fault all the same: setdown walk %s -m %s --by NAME", clean(r.File), clean(r.Move)))
	} else {
		p.line("Mark: tick = seen good, cross = not good (write what), empty = not looked at.")
	}
	first := p.loadsWait(r)
	for i := range r.Screens {
		s := &r.Screens[i]
		if s.May {
			continue
		}
		p.head(plain.Where(s))
		for _, q := range plain.OnPaper(s) {
			for _, was := range q.Was {
				p.wrap("  ! ", "    ", clean(plain.Was(was)))
			}
			for _, name := range plain.Members(&q) {
				blank := ""
				if q.Fact != "" && len(q.Lines[0].Words) == 0 {
					blank = " ________"
				}
				p.wrap("  [ ] ", "      ", clean(name)+blank)
			}
			for _, l := range q.Lines {
				p.wrap("      - ", "        ", clean(plain.CardLine(l)))
			}
		}
		p.line("  name ______________________  day and time ______________________")
	}
	if !first {
		p.written(r)
	}
	p.usual()
	return p.err
}

// standing is the verdict as it stands, in one line.
func (p *page) standing(r *verdict.Round) {
	p.wrap(p.decision(r.Decision)+"  ", under, clean(r.Move)+": "+plain.Standing(r))
}

// holds is how long a GO stays one.
func (p *page) holds(r *verdict.Round) {
	if text := plain.Holds(r.Until); text != "" {
		p.wrap("", "  ", clean(text))
	}
}

// loadsWait lists what the loads wait for, if they do.
func (p *page) loadsWait(r *verdict.Round) bool {
	first, then := plain.First(r)
	if then == "" {
		return false
	}
	p.head("First, write these into " + clean(r.File) + ": without them no loads are known")
	for _, l := range first {
		name, questions := lookWords(l)
		p.item("", name+": "+questions+clean(l.All()))
	}
	p.wrap("", "  ", then)
	return true
}

// written lists what no look answers.
func (p *page) written(r *verdict.Round) {
	if len(r.Written) == 0 {
		return
	}
	p.head("No look answers these: write them into " + clean(r.File))
	for _, text := range plain.ToWrite(r) {
		p.item("", clean(text))
	}
}

// Standing writes how it stands at the end of a round.
func Standing(w io.Writer, r *verdict.Round, o Options) error {
	p := newPage(w, o)
	p.line("")
	p.standing(r)
	p.holds(r)
	if !p.loadsWait(r) {
		p.written(r)
	}
	switch {
	case r.Decision == verdict.Go:
		p.usual()
	case r.Stops > 0:
		p.wrap("", "  ", fmt.Sprintf("What stops it, and what to do: setdown check %s -m %s", clean(r.File), clean(r.Move)))
	}
	if sure, may := r.Questions(); sure+may > 0 {
		p.line("%s left to look at.", plain.Count(sure+may, "question", "questions"))
	}
	return p.err
}

// Question writes one question for a terminal of 24 lines.
func Question(w io.Writer, r *verdict.Round, s *verdict.Screen, q *verdict.Question, o Options) error {
	p := newPage(w, o)
	p.line("")
	p.standing(r)
	names := plain.Members(q)
	what := plain.Count(len(names), q.Item, q.Item+"s")
	p.wrap("", "  ", p.style(bold, plain.Where(s))+" · "+clean(what))
	for _, was := range q.Was {
		p.wrap("! ", "  ", clean(plain.Was(was)))
	}
	if s.May {
		p.line("Perhaps: what it carries is not known yet.")
	}
	if q.First != "" {
		p.line("A second look: what the first one saw is not shown.")
	}
	p.names(names)
	if q.Fact == "" {
		p.line("Good means, of every one:")
		for _, l := range q.Lines {
			p.wrap("  - ", "    ", clean(plain.CardLine(l)))
		}
		all := "all good"
		if len(names) == 1 {
			all = "good"
		}
		p.keys("g "+all, "n not good", "c cannot see")
		return p.err
	}
	l := q.Lines[0]
	p.wrap("", "  ", clean(plain.CardLine(l)))
	switch {
	case q.Each && l.Unit == "" && len(names) > 1:
		p.wrap("", "  ", fmt.Sprintf("Type the numbers of those you saw good: '1 2'. Otherwise as '%d: %s'.", len(names), clean(last(l.Bad))))
	case len(l.Words) > 0:
		p.wrap("", "  ", "Type one: "+cleanAll(l.Words)+".")
	case len(names) > 1 && l.Unit != "":
		p.wrap("", "  ", fmt.Sprintf("The lowest of them, in %s; of one alone as '%d: 36'.", clean(l.Unit), len(names)))
	case l.Pair:
		p.wrap("", "  ", "Both ends, with a comma between, in "+clean(l.Unit)+".")
	case l.Unit != "":
		p.wrap("", "  ", "In "+clean(l.Unit)+", or with another unit.")
	}
	if l.MayNotApply {
		p.keys("c cannot see", "d does not apply")
	} else {
		p.keys("c cannot see")
	}
	return p.err
}

// keys prints what may be typed in place of an answer.
func (p *page) keys(first ...string) {
	p.line("%s", strings.Join(append(first, "l later", "b back", "q stop"), "   "))
}

func last(words []string) string {
	if len(words) == 0 {
		return "no"
	}
	return words[len(words)-1]
}

// names prints numbered names one after the other.
func (p *page) names(names []string) {
	if len(names) == 1 {
		p.wrap("  ", "  ", clean(names[0]))
		return
	}
	var parts []string
	for i, name := range names {
		parts = append(parts, fmt.Sprintf("%d %s", i+1, clean(name)))
	}
	p.wrap("  ", "  ", strings.Join(parts, "  "))
}

// Which asks which of several is not good.
func Which(w io.Writer, names []string, o Options) error {
	p := newPage(w, o)
	p.line("Which one is not good? Type its number.")
	p.names(names)
	return p.err
}

// What asks what is not good of one.
func What(w io.Writer, name string, faults []plain.Defect, o Options) error {
	p := newPage(w, o)
	p.wrap("", "  ", clean(name)+": what is not good? Type the numbers of all that are so, with commas.")
	for i, f := range faults {
		p.wrap(fmt.Sprintf("%3d ", i+1), "    ", clean(f.Words))
	}
	return p.err
}
