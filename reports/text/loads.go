package text

import (
	"fmt"
	"io"
	"strings"

	"setdown/model/quantity"
	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// Loads writes where the weight goes and what is nearest to its limit, so that it fits a screen;
// in detail every load and strength, step by step.
func Loads(w io.Writer, r *verdict.Report, o Options) error {
	p := newPage(w, o)
	p.figures = plain.Figures(r.Units)
	switch {
	case o.Detail:
		p.everyLoad(r)
	case len(r.Moves) == 1:
		p.moveLoads(r, &r.Moves[0])
	default:
		p.boardLoads(r)
	}
	return p.err
}

// nearest is how many items are listed that are near their limits.
const nearest = 8

// moveLoads are the loads of one move.
func (p *page) moveLoads(r *verdict.Report, m *verdict.Move) {
	steps := section{head: "What each support carries at most", one: "more step", what: "more steps", levels: make([][][]string, 2)}
	for i := range m.Steps {
		s := &m.Steps[i]
		title := fmt.Sprintf("%d %s", i+1, clean(s.Name))
		steps.levels[0] = append(steps.levels[0], p.block(func(p *page) {
			p.wrap(" ", "   ", p.style(bold, title))
			if why := plain.Solved(s); why != "" {
				p.wrap("   ", "   ", clean(why))
			}
			p.supports(*s)
		}))
		steps.levels[1] = append(steps.levels[1], p.block(func(p *page) { p.wrap(" ", "   ", p.style(bold, title)+": "+p.onSupports(s)) }))
	}
	near := section{head: "Nearest to their limits: load × design factor, over 100 % stops the move", one: "more item", what: "more items", foot: p.block(func(p *page) { p.heavier(m) })}
	if n := len(m.Tightest); n > 0 {
		for _, list := range [][]verdict.Strength{m.Tightest, m.Tightest[:min(n, nearest)]} {
			var rows [][]string
			for _, l := range p.block(func(p *page) { p.uses(list) }) {
				rows = append(rows, []string{l})
			}
			near.levels = append(near.levels, rows)
		}
		near.keep = min(len(near.levels[1]), nearest+1)
	}
	p.screenful(func(p *page) { p.loadsHead(r, m) }, steps, near)
}

// boardLoads is a line or two for each of several moves.
func (p *page) boardLoads(r *verdict.Report) {
	sec := section{one: "more move", what: "more moves", levels: make([][][]string, 2), foot: p.block(func(p *page) {
		p.wrap("", "  ", "One move: setdown loads "+clean(r.File)+" -m NAME")
	})}
	for i := range r.Moves {
		m := &r.Moves[i]
		near := "no strength was computed"
		if len(m.Tightest) > 0 {
			t := m.Tightest[0]
			near = fmt.Sprintf("nearest to its limit: %s at %s of what it can take (%s)", clean(t.Item), plain.Percent(t.Utilisation), clean(t.Check))
		}
		name := p.style(bold, clean(m.ID)) + ": "
		sec.levels[0] = append(sec.levels[0], p.block(func(p *page) {
			p.wrap(" ", "   ", name+clean(m.Title))
			p.wrap("   ", "   ", near)
		}))
		sec.levels[1] = append(sec.levels[1], p.block(func(p *page) { p.wrap(" ", "   ", name+near) }))
	}
	p.screenful(func(p *page) {
		p.wrap("", "  ", p.style(bold, "Loads of every move")+" ("+named(r.Vehicle, r.File)+")")
	}, sec)
}

func (p *page) loadsHead(r *verdict.Report, m *verdict.Move) {
	p.wrap("", "  ", p.style(bold, "Loads of "+clean(m.ID)+": "+clean(m.Title))+" ("+named(r.Vehicle, r.File)+")")
}

// onSupports is what the supports of a step carry, in a row.
func (p *page) onSupports(s *verdict.Step) string {
	if why := plain.Solved(s); why != "" && len(s.Supports) == 0 {
		return clean(why)
	}
	var parts []string
	for _, r := range s.Supports {
		text := clean(r.ID) + " " + p.orDash(r.Worst)
		if r.Rated != nil {
			text += " of " + p.shown(*r.Rated)
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, ", ")
}

// everyLoad prints the tables of loads and strengths, step by step.
func (p *page) everyLoad(r *verdict.Report) {
	for i := range r.Moves {
		m := &r.Moves[i]
		if i > 0 {
			p.line("")
		}
		p.loadsHead(r, m)
		for n, s := range m.Steps {
			p.head(fmt.Sprintf("%d. %s", n+1, clean(s.Name)))
			if why := plain.Solved(&s); why != "" {
				p.para("  ", clean(why))
			}
			if s.Mass != nil && s.CG != nil {
				at := func(v float64) string { return p.figures.Cell(&v, "mm", 0) }
				p.para("  ", fmt.Sprintf("mass %s, centre of gravity at x %s, y %s, z %s %s (± %s, %s, %s)", p.shown(*s.Mass),
					at(s.CG.X), at(s.CG.Y), at(s.CG.Z), p.figures.In("mm"), at(s.CG.Tol[0]), at(s.CG.Tol[1]), at(s.CG.Tol[2])))
			}
			p.supports(s)
			if weights := p.figures.Weights(&s); weights != "" {
				p.para("  ", clean(weights))
			}
			if s.Stability != nil {
				p.para("  ", clean(s.Balance(quantity.System(p.figures))))
			}
			p.cases(s)
			p.rocking(s)
			p.loads(s)
			p.strengths(s)
		}
	}
	p.line("")
	p.para("", "Pull is +, push is -. Worst load of: an even floor, every way it can rock, a sideways push of "+clean(policy(r, "side_push"))+" (roll: "+clean(policy(r, "side_push_roll"))+"), the fall of the floor whichever way it runs, the ± of heights and of masses. What balance leaves open is split evenly on an even floor; most and worst are where one of those that share it is ten times as stiff as the rest, and the axial force of a hinge is wholly on either bearing. Workings are shown where a strength is used by "+plain.Percent(worked)+" or more; the JSON has them all.")
}

// cases says in which load case each support carries most.
func (p *page) cases(s verdict.Step) {
	for _, r := range s.Supports {
		if r.Case != "" {
			p.item("  ", "worst on "+clean(r.ID)+" when "+clean(r.Case)+", with the ± of the masses")
		}
	}
}

func (p *page) rocking(s verdict.Step) {
	if len(s.Rocking) == 0 {
		return
	}
	p.para("  ", "It can rock onto these supports alone:")
	for _, k := range s.Rocking {
		var parts []string
		for i, id := range k.Supports[:min(len(k.Supports), len(k.Carry))] {
			parts = append(parts, clean(id)+" "+p.shown(k.Carry[i]))
		}
		p.item("  ", strings.Join(parts, ", "))
	}
}

func (p *page) loads(s verdict.Step) {
	var links, joints [][]string
	for _, l := range s.Loads {
		switch l.Kind {
		case "link":
			links = append(links, []string{clean(l.Item), p.shown(l.Nominal), p.orDash(l.Tension), p.orDash(l.Compression), goes(l.LetsGo, l.Goes)})
		case "joint":
			joints = append(joints, []string{clean(l.Item), p.shown(l.Worst), p.orDash(l.Axial), p.orDash(l.Radial), goes(l.LetsGo, l.Goes)})
		}
	}
	if len(links) > 0 {
		p.table("  ", []string{"link", "straight down", "most pull", "most push", "if lost"}, links)
	}
	if len(joints) > 0 {
		p.table("  ", []string{"joint", "worst", "along bolt", "across bolt", "if lost"}, joints)
	}
	var parts [][]string
	for _, b := range s.Bends {
		parts = append(parts, []string{clean(b.Item), p.shown(b.Moment), p.shown(b.Thrust), p.shown(b.Torsion)})
	}
	if len(parts) > 0 {
		p.table("  ", []string{"part", "bent with", "pushed with", "twisted with"}, parts)
	}
}

// worked is the utilisation from which on the working is printed with a
// strength; below it nobody retraces the figures, and the JSON has them.
const worked = 0.1

func (p *page) strengths(s verdict.Step) {
	if len(s.Strengths) == 0 {
		return
	}
	p.para("  ", "Strengths, tightest first (load × design factor as % of strength, item, what):")
	for _, st := range s.Strengths {
		if st.NotComputed != "" {
			p.wrap("  -     ", "        ", clean(st.Item)+", "+clean(st.Check)+": not computed: "+clean(st.NotComputed))
			continue
		}
		p.wrap("  "+plain.Percent(st.Utilisation)+"  ", "        ", fmt.Sprintf("%s, %s: %s × %s ÷ %s", clean(st.Item), clean(st.Check), p.full(st.Load), number(st.Factor), p.full(st.Strength)))
		if st.Utilisation < worked {
			continue
		}
		p.wrap("        ", "        ", clean(st.Method)+"; "+clean(st.Source))
		var working []string
		for _, a := range st.Working {
			working = append(working, clean(a.Name)+" = "+p.full(a.Figure))
		}
		if len(working) > 0 {
			p.wrap("        ", "        ", strings.Join(working, ", "))
		}
		if len(st.Assumptions) > 0 {
			p.wrap("        assumes ", "                ", clean(strings.Join(st.Assumptions, "; ")))
		}
	}
}
