package text

import (
	"fmt"

	"setdown/model/quantity"
	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// steps prints the steps in order: what it stands on, how much each support
// carries, how far it is from tipping, and what to watch. No step is called GO: the
// first steps of a move are no move.
func (p *page) steps(m *verdict.Move) {
	p.head("Step by step")
	for i, s := range m.Steps {
		text := clean(s.Name)
		if s.Decision != verdict.Go {
			text = p.style(red, "STOPPED") + "  " + text
		}
		p.wrap(fmt.Sprintf(" %d. ", i+1), "    ", text)
		if why := plain.Solved(&s); why != "" {
			p.wrap("    ", "    ", clean(why))
		}
		p.supports(s)
		if weights := p.figures.Weights(&s); weights != "" {
			p.wrap("    ", "    ", clean(weights))
		}
		if s.Stability != nil {
			p.wrap("    ", "    ", clean(s.Balance(quantity.System(p.figures))))
		}
		for _, watch := range s.Watch {
			p.wrap("    watch: ", "           ", clean(watch))
		}
	}
}

func (p *page) supports(s verdict.Step) {
	var rows [][]string
	for _, r := range s.Supports {
		rows = append(rows, []string{clean(r.ID), p.orDash(r.Even), p.orDash(r.Least), p.orDash(r.Worst), p.orDash(r.Rated), fate(r.LetsGo)})
	}
	p.table("    ", []string{"support", "even", "least", "worst", "rated", "if lost"}, rows)
}

// fate words what happens without an item.
func fate(how string) string {
	if how == "" {
		return dash
	}
	return "it " + clean(how)
}

func goes(how, what string) string {
	if what == "" || how == "holds" {
		return fate(how)
	}
	return clean(what)
}

// tightest prints the highest utilisations and the weight in hand.
func (p *page) tightest(m *verdict.Move) {
	if len(m.Tightest) == 0 {
		return
	}
	p.head("Tightest (load × design factor as % of strength; over 100 % stops the move)")
	p.uses(m.Tightest)
	p.heavier(m)
}

// uses is the table of utilisations.
func (p *page) uses(list []verdict.Strength) {
	var rows [][]string
	for _, s := range list {
		rows = append(rows, []string{plain.Percent(s.Utilisation), clean(s.Item), p.shown(plain.OnPlate(&s, s.Load)), p.shown(plain.OnPlate(&s, s.Strength)), clean(s.Check)})
	}
	p.table("  ", []string{"uses", "item", "load", "strength", "what"}, rows)
}

// heavier says how much more weight brings the first item to its limit.
func (p *page) heavier(m *verdict.Move) {
	switch h := m.Heavier; {
	case h == nil:
	case h.Share <= 0:
		p.para("  ", fmt.Sprintf("%s is already overloaded.", clean(h.Item)))
	case h.Mass.Unit != "":
		p.para("  ", fmt.Sprintf("%s is the weakest that was computed: %s more on the vehicle and it is past its limit, with nothing left for what was not computed.", clean(h.Item), p.shown(h.Mass)))
	}
}
