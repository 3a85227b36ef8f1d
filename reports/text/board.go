package text

import (
	"fmt"
	"strings"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// board shows every move of a file side by side, in the order of the file, which is
// the order of the work: it is no menu of what is allowed.
func (p *page) board(r *verdict.Report) {
	top := p.block(func(p *page) {
		p.wrap(p.decision(r.Decision)+"  ", under, clean(plain.Source(r)))
		p.para(under, p.style(bold, clean(plain.BoardLead(r))))
		for _, a := range r.Assumed {
			p.para(under, "Assumed: "+clean(a))
		}
		p.own(r)
	})
	bottom := p.block(func(p *page) { p.usual() })
	p.all(top)
	if len(r.Moves) > 0 {
		sec := section{head: "Moves, in the order of the file", what: "more moves", foot: p.block(func(p *page) {
			p.wrap("", "  ", "One move: setdown check "+clean(r.File)+" -m NAME; its work list: setdown punch "+clean(r.File)+" -m NAME")
		})}
		sec.levels = make([][][]string, 2)
		for i := range r.Moves {
			m := &r.Moves[i]
			entry := p.block(func(p *page) {
				p.wrap(p.decision(m.Decision)+"  ", under, clean(m.ID)+": "+clean(m.Title))
				p.wrap(under, under, clean(state(m)))
			})
			sec.levels[0], sec.levels[1] = append(sec.levels[0], entry), append(sec.levels[1], entry[:1])
		}
		p.sections(screen-len(top)-len(bottom), []section{sec})
	}
	p.all(bottom)
}

// state says of a move in one line what it waits for.
func state(m *verdict.Move) string {
	if m.Decision == verdict.Go {
		text := "Nothing recorded stops it."
		if n := len(m.Of(verdict.Waived)); n > 0 {
			text = fmt.Sprintf("GO only because %s waived.", count(n, "stop is", "stops are"))
		}
		if n := len(m.Of(verdict.Caution)); n > 0 {
			text += " " + count(n, "caution", "cautions") + "."
		}
		if m.SignOff != nil && !m.SignOff.Stands {
			text += " Its sign-off no longer stands."
		}
		return text
	}
	text := plain.Tally(m)
	if m.Holds() == 1 {
		for _, f := range m.Holding() {
			text = plain.Say(&f)
		}
	}
	if m.Unsolved {
		// Nobody knows yet what the loads will ask for, parts to buy among it.
		return text + ": " + plain.KnownSoFar(m.Punch.Jobs)
	}
	var words []string
	for _, phase := range verdict.Phases {
		n := 0
		for _, j := range m.Punch.Jobs {
			if j.Phase == phase {
				n++
			}
		}
		if n > 0 {
			words = append(words, fmt.Sprintf("%s %d", phase, n))
		}
	}
	text += ": " + count(len(m.Punch.Jobs), "job", "jobs") + " (" + strings.Join(words, ", ") + ")"
	if n := len(m.Punch.Buy); n > 0 {
		text += fmt.Sprintf("; %d to buy", n)
	}
	return text
}
