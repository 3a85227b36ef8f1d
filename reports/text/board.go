package text

import (
	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// board shows every move of a file side by side, in the order of the file, which is
// the order of the work: it is no menu of what is allowed.
func (p *page) board(r *verdict.Report) {
	top := p.verdict(r.Decision, []string{clean(plain.Source(r))}, p.style(bold, clean(plain.BoardLead(r))), func(p *page) {
		for _, a := range r.Assumed {
			p.para(under, "Assumed: "+clean(a))
		}
		p.own(r)
	})
	bottom := p.block(func(p *page) { p.usual() })
	p.all(top)
	if len(r.Moves) > 0 {
		sec := section{head: "Moves, in the order of the file", one: "more move", what: "more moves", levels: make([][][]string, 2), foot: p.block(func(p *page) {
			p.wrap("", "  ", "One move: setdown check "+clean(r.File)+" -m NAME; its work list: setdown punch "+clean(r.File)+" -m NAME")
		})}
		for i := range r.Moves {
			m := &r.Moves[i]
			entry := p.block(func(p *page) {
				p.wrap(p.decision(m.Decision)+"  ", under, clean(m.ID)+": "+clean(m.Title))
				p.wrap(under, under, clean(plain.State(m)))
			})
			sec.levels[0], sec.levels[1] = append(sec.levels[0], entry), append(sec.levels[1], entry[:1])
		}
		orders := section{head: "On order", one: "more order", what: "more orders", levels: make([][][]string, 1)}
		for _, o := range plain.Orders(r) {
			orders.levels[0] = append(orders.levels[0], p.block(func(p *page) { p.wrap(" - ", "   ", clean(o)) }))
		}
		p.sections(screen-len(top)-len(bottom), []section{sec, orders})
	}
	p.all(bottom)
}
