package text

import (
	"fmt"
	"io"
	"strings"

	"setdown/rules/verdict"
)

// steps prints the steps in order: what it stands on, how much each support
// carries, how far it is from tipping, and what to watch.
func (p *page) steps(m *verdict.Move) {
	p.head("Step by step")
	for i, s := range m.Steps {
		p.wrap(fmt.Sprintf(" %d. ", i+1), "    ", p.decision(s.Decision)+"  "+clean(s.Name))
		if s.Solved != "yes" {
			p.wrap("    ", "    ", clean(s.Solved))
		}
		p.supports(s)
		if s.Stability != nil {
			p.wrap("    ", "    ", clean(s.Stability.Words))
		}
		for _, watch := range s.Watch {
			p.wrap("    watch: ", "           ", clean(watch))
		}
	}
}

func (p *page) supports(s verdict.Step) {
	var rows [][]string
	for _, r := range s.Supports {
		rows = append(rows, []string{clean(r.ID), orDash(r.Even), orDash(r.Least), orDash(r.Worst), orDash(r.Rated), clean(fate(r.LetsGo))})
	}
	p.table("    ", []string{"support", "even", "least", "worst", "rated", "without it"}, rows)
}

func orDash(f *verdict.Figure) string {
	if f == nil {
		return "-"
	}
	return f.String()
}

// fate words what happens without an item.
func fate(how string) string {
	if how == "" {
		return "not computed"
	}
	return "it " + how
}

func goes(how, what string) string {
	if what == "" || how == "holds" {
		return fate(how)
	}
	return what
}

// tightest prints the highest utilisations and the weight in hand.
func (p *page) tightest(m *verdict.Move) {
	if len(m.Tightest) == 0 {
		return
	}
	p.head("Tightest (load × design factor ÷ strength; above 1 holds)")
	var rows [][]string
	for i, s := range m.Tightest {
		if i == 5 && !p.o.Detail {
			break
		}
		rows = append(rows, []string{use(s.Utilisation), clean(s.Item), s.Load.String(), s.Strength.String(), clean(s.Check)})
	}
	p.table("  ", []string{"uses", "item", "load", "strength", "what"}, rows)
	if h := m.Heavier; h != nil {
		switch {
		case h.Share <= 0:
			p.para("  ", fmt.Sprintf("%s is past its strength already.", clean(h.Item)))
		case h.Mass.Unit != "":
			p.para("  ", fmt.Sprintf("All over, the vehicle may get %s heavier before %s turns the verdict.", h.Mass, clean(h.Item)))
		}
	}
}

func (p *page) tackBrief(r *verdict.Report) {
	if len(r.Tacks) == 0 {
		return
	}
	p.head("Welds that are not made full")
	for _, t := range r.Tacks {
		p.item("", tackLine(t))
	}
}

func tackLine(t verdict.Tack) string {
	text := clean(t.ID) + ": " + clean(t.Made)
	if t.What != "" {
		text += " (" + clean(t.What) + ")"
	}
	if t.WaitsFor != "" {
		text += ", waits for " + clean(t.WaitsFor)
	}
	var blocks, idle []string
	for _, m := range t.Moves {
		switch {
		case m.Blocks:
			blocks = append(blocks, clean(m.Move))
		default:
			idle = append(idle, clean(m.Move))
		}
	}
	if len(blocks) > 0 {
		text += "; holds " + strings.Join(blocks, ", ")
	}
	if len(idle) > 0 {
		text += "; holds up nothing in " + strings.Join(idle, ", ")
	}
	return text
}

// Tacks writes the audit of welds that are not made full.
func Tacks(w io.Writer, r *verdict.Report, o Options) error {
	p := newPage(w, o)
	if len(r.Tacks) == 0 {
		p.line("Every weld in the file is recorded as made full.")
		return p.err
	}
	p.line("%s", count(len(r.Tacks), "weld is not made full", "welds are not made full", ""))
	p.para("", "What tacks would bear is for information. When they carry they count as the policy says: "+tackPolicy(r)+".")
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
		var rows [][]string
		for _, m := range t.Moves {
			carries := m.Carries
			if carries == "" {
				carries = "not computed"
			}
			verdict := "does not hold it"
			if m.Blocks {
				verdict = "HOLDS it"
			}
			rows = append(rows, []string{clean(m.Move), carries, orDash(m.Load), orDash(m.WouldBear), verdict})
		}
		p.table("   ", []string{"in the move", "carries", "load", "would bear", ""}, rows)
	}
	return p.err
}

func tackPolicy(r *verdict.Report) string {
	if v := policy(r, "tack_strength"); v != "0" && v != "0 %" {
		return v + " of what they would bear"
	}
	return "nothing"
}

// Loads writes the tables of loads and strengths, step by step.
func Loads(w io.Writer, r *verdict.Report, o Options) error {
	p := newPage(w, o)
	for i := range r.Moves {
		m := &r.Moves[i]
		if i > 0 {
			p.line("")
		}
		p.line("%s", p.style(bold, clean(m.ID)+": "+clean(m.Title)))
		for n, s := range m.Steps {
			p.head(fmt.Sprintf("%d. %s", n+1, clean(s.Name)))
			if s.Solved != "yes" {
				p.para("  ", clean(s.Solved))
			}
			if s.Mass != nil && s.CG != nil {
				p.para("  ", fmt.Sprintf("mass %s, centre of gravity at x %s, y %s, z %s mm (± %s, %s, %s)", s.Mass,
					figure(s.CG.X), figure(s.CG.Y), figure(s.CG.Z), figure(s.CG.Tol[0]), figure(s.CG.Tol[1]), figure(s.CG.Tol[2])))
			}
			p.supports(s)
			if s.Stability != nil {
				p.para("  ", clean(s.Stability.Words))
			}
			p.rocking(s)
			p.loads(s)
			p.strengths(s)
		}
	}
	p.line("")
	p.para("", "Loads: worst over an even floor, every way it can rock, a sideways push of "+policy(r, "side_push")+" (roll: "+policy(r, "side_push_roll")+") and the ± of masses. Joint forces between two bearings of one part are the least-norm split.")
	return p.err
}

func (p *page) rocking(s verdict.Step) {
	if len(s.Rocking) == 0 {
		return
	}
	p.para("  ", "It can rock onto these alone:")
	for _, k := range s.Rocking {
		var parts []string
		for i, id := range k.Supports {
			parts = append(parts, clean(id)+" "+k.Carry[i].String())
		}
		p.item("  ", strings.Join(parts, ", "))
	}
}

func (p *page) loads(s verdict.Step) {
	var links, joints [][]string
	for _, l := range s.Loads {
		switch l.Kind {
		case "link":
			links = append(links, []string{clean(l.Item), l.Nominal.String(), orDash(l.Tension), orDash(l.Compression), clean(goes(l.LetsGo, l.Goes))})
		case "joint":
			joints = append(joints, []string{clean(l.Item), l.Worst.String(), orDash(l.Axial), orDash(l.Radial), clean(goes(l.LetsGo, l.Goes))})
		}
	}
	if len(links) > 0 {
		p.table("  ", []string{"link", "nominal (+ pull)", "most pull", "most push", "if it goes"}, links)
	}
	if len(joints) > 0 {
		p.table("  ", []string{"joint", "worst", "along bolt", "across bolt", "if it goes"}, joints)
	}
}

func (p *page) strengths(s verdict.Step) {
	if len(s.Strengths) == 0 {
		return
	}
	p.para("  ", "Strengths, tightest first:")
	for _, st := range s.Strengths {
		if st.NotComputed != "" {
			p.wrap("  -     ", "        ", clean(st.Item)+", "+clean(st.Check)+": not computed: "+clean(st.NotComputed))
			continue
		}
		p.wrap("  "+use(st.Utilisation)+"  ", "        ", fmt.Sprintf("%s, %s: %s × %s ÷ %s", clean(st.Item), clean(st.Check), st.Load, figure(st.Factor), st.Strength))
		p.wrap("        ", "        ", clean(st.Method)+"; "+clean(st.Source))
		var working []string
		for _, a := range st.Working {
			working = append(working, clean(a.Name)+" = "+a.Figure.String())
		}
		if len(working) > 0 {
			p.wrap("        ", "        ", strings.Join(working, ", "))
		}
		if len(st.Assumptions) > 0 {
			p.wrap("        assumes ", "                ", clean(strings.Join(st.Assumptions, "; ")))
		}
	}
}

// Punch writes the punch list with boxes to tick on paper.
func Punch(w io.Writer, list verdict.Punch, o Options) error {
	p := newPage(w, o)
	if len(list.Jobs) == 0 {
		p.line("Nothing left to do for %s.", clean(strings.Join(list.Moves, ", ")))
		return p.err
	}
	p.wrap("", "  ", count(len(list.Jobs), "job", "jobs", "")+" left for "+clean(strings.Join(list.Moves, ", ")))
	if len(list.Buy) > 0 {
		p.head("To buy or make")
		for _, b := range list.Buy {
			p.wrap("  [ ] ", "      ", fmt.Sprintf("%d × %s, for %s%s", b.Quantity, clean(b.Part), clean(strings.Join(b.Items, ", ")), frees(list, b.Moves)))
		}
	}
	phase, place := "", "\x00"
	for _, j := range list.Jobs {
		if j.Phase != phase {
			phase, place = j.Phase, "\x00"
			p.head(strings.ToUpper(phase[:1]) + phase[1:])
		}
		if j.Place != place {
			place = j.Place
			p.sub(placeName(place))
		}
		p.wrap("  [ ] ", "      ", clean(j.Item)+": "+clean(j.Do)+frees(list, j.Moves))
	}
	return p.err
}

// frees says which moves a line holds up, where the list is for several.
func frees(list verdict.Punch, moves []string) string {
	if len(list.Moves) < 2 {
		return ""
	}
	if len(moves) == len(list.Moves) {
		return " (all moves)"
	}
	return " (" + clean(strings.Join(moves, ", ")) + ")"
}

// Compare writes what changed between two states.
func Compare(w io.Writer, c verdict.Comparison, o Options) error {
	p := newPage(w, o)
	p.line("%s, compared with %s", clean(c.New), clean(c.Old))
	p.head("Verdicts")
	for _, m := range c.Moves {
		switch {
		case m.Before == "":
			p.item("", fmt.Sprintf("%s: new move, %s", clean(m.ID), m.After))
		case m.After == "":
			p.item("", fmt.Sprintf("%s: the move is gone; it was %s", clean(m.ID), m.Before))
		case m.Before == m.After:
			p.item("", fmt.Sprintf("%s: %s as before", clean(m.ID), m.After))
		default:
			p.item("", fmt.Sprintf("%s: was %s, is %s", clean(m.ID), m.Before, m.After))
		}
		for _, s := range m.NewHolds {
			p.wrap("      holds it now: ", "        ", clean(s))
		}
		for _, s := range m.Cleared {
			p.wrap("      cleared: ", "        ", clean(s))
		}
	}
	if len(c.Items) == 0 {
		p.head("Nothing recorded is different")
		return p.err
	}
	p.head("What is different")
	for _, i := range c.Items {
		p.wrap("  "+i.Direction+": ", "    ", clean(i.Item))
		for _, ch := range i.Changes {
			p.wrap("      ", "        ", fmt.Sprintf("%s: %s, was %s", clean(ch.Path), orNothing(ch.New), orNothing(ch.Old)))
		}
	}
	return p.err
}

func orNothing(s string) string {
	if s == "" {
		return "not recorded"
	}
	return clean(s)
}
