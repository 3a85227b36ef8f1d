package text

import (
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
		sec := section{head: "Moves, in the order of the file", one: "more move", what: "more moves", foot: p.block(func(p *page) {
			for _, o := range plain.Orders(r) {
				p.wrap("", "  ", clean(plain.Capital(o))+".")
			}
			p.wrap("", "  ", "One move: setdown check "+clean(r.File)+" -m NAME; its work list: setdown punch "+clean(r.File)+" -m NAME")
		})}
		sec.levels = make([][][]string, 2)
		for i := range r.Moves {
			m := &r.Moves[i]
			entry := p.block(func(p *page) {
				p.wrap(p.decision(m.Decision)+"  ", under, clean(m.ID)+": "+clean(m.Title))
				p.wrap(under, under, clean(plain.State(m)))
			})
			sec.levels[0], sec.levels[1] = append(sec.levels[0], entry), append(sec.levels[1], entry[:1])
		}
		p.sections(screen-len(top)-len(bottom), []section{sec})
	}
	p.all(bottom)
}
