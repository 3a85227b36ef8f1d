// Package text writes a verdict for the terminal, for a tired person with dirty
// hands: the first lines say go or no-go and what to do, everything else comes
// in the order in which it is needed.
//
// It formats and does not judge: what is printed, in which order, is what the
// report holds. Lines are at most Options.Width wide, except where one word is
// wider. Names and notes from the build file cannot move the cursor or change
// colours.
package text

import (
	"fmt"
	"io"
	"strings"

	"setdown/rules/verdict"
)

// Options says how to write.
type Options struct {
	Color  bool
	Width  int  // columns; 0 is 80
	Detail bool // everything: what passed, every move in full
}

// Write writes the verdicts of one or more build files.
func Write(w io.Writer, reports []*verdict.Report, o Options) error {
	p := newPage(w, o)
	if len(reports) > 1 {
		p.summary(reports)
		if !o.Detail {
			return p.err
		}
	}
	for i, r := range reports {
		if i > 0 || len(reports) > 1 {
			p.line("")
		}
		p.report(r)
	}
	return p.err
}

// summary is one line a file, those that may go first.
func (p *page) summary(reports []*verdict.Report) {
	for _, want := range []verdict.Decision{verdict.Go, verdict.NoGo} {
		for _, r := range reports {
			if r.Decision != want {
				continue
			}
			held := 0
			for i := range r.Moves {
				if r.Moves[i].Decision == verdict.NoGo {
					held++
				}
			}
			p.line("%s  %s: %s", p.decision(r.Decision), clean(r.File), count(held, "move held", "moves held", fmt.Sprintf(" of %d", len(r.Moves))))
		}
	}
}

func (p *page) report(r *verdict.Report) {
	if len(r.Moves) == 1 {
		m := &r.Moves[0]
		p.opening(r, m)
		p.assumed(r)
		p.move(r, m)
	} else {
		p.board(r)
		if p.o.Detail {
			for i := range r.Moves {
				p.line("")
				p.rule()
				p.opening(r, &r.Moves[i])
				p.move(r, &r.Moves[i])
			}
		}
	}
	p.tackBrief(r)
	p.usual(r)
}

// opening is the verdict, the move, and the first thing to do.
func (p *page) opening(r *verdict.Report, m *verdict.Move) {
	title := m.Title
	if title == "" {
		title = m.Kind
	}
	p.wrap(p.decision(m.Decision)+"  ", "       ", fmt.Sprintf("%s: %s (%s)", clean(m.ID), clean(title), clean(orFile(r))))
	if m.Decision == verdict.Go {
		p.para("", "Nothing recorded holds this move. That is no permission: read the cautions, look once more, and let one person give the word.")
		return
	}
	holds, facts := split(m)
	var what []string
	if len(holds) > 0 {
		what = append(what, count(len(holds), "finding holds it", "findings hold it", ""))
	}
	if len(facts) > 0 {
		what = append(what, count(len(facts), "fact is not recorded", "facts are not recorded", ""))
	}
	first := "Leave the weight where it is."
	if jobs := r.Punch(m.ID).Jobs; len(jobs) > 0 {
		first += " First: " + clean(jobs[0].Item) + ": " + clean(jobs[0].Do) + "."
	}
	p.para("", strings.Join(what, ", ")+". "+first)
	p.para("", fmt.Sprintf("The whole list in working order: setdown punch %s --move %s", clean(r.File), clean(m.ID)))
}

func orFile(r *verdict.Report) string {
	if r.Vehicle == "" {
		return r.File
	}
	return r.Vehicle
}

// split parts what blocks into holds and facts not recorded.
func split(m *verdict.Move) (holds, missing []verdict.Finding) {
	for _, f := range m.Findings {
		switch {
		case !f.Blocks():
		case f.Outcome == verdict.NotRecorded:
			missing = append(missing, f)
		default:
			holds = append(holds, f)
		}
	}
	return holds, missing
}

func (p *page) assumed(r *verdict.Report) {
	if len(r.Assumed) == 0 {
		return
	}
	p.head("ASSUMED, not found on the vehicle")
	for _, a := range r.Assumed {
		p.item("", clean(a))
	}
	p.para("  ", "This is an answer to 'what if'. It is worth nothing for the move itself.")
}

func (p *page) move(r *verdict.Report, m *verdict.Move) {
	if s := m.SignOff; s != nil {
		p.signOff(s)
	}
	holds, missing := split(m)
	p.findings("What holds it", holds)
	p.missing("Not recorded: look and write down", missing)
	p.waived(m.Of(verdict.Waived))
	var soft []verdict.Finding
	for _, f := range m.Findings {
		if f.Outcome == verdict.Caution || f.Outcome == verdict.NotRecorded && !f.Blocks() {
			soft = append(soft, f)
		}
	}
	p.brief("Cautions", soft)
	p.brief("Notes", m.Of(verdict.Note))
	p.steps(m)
	p.tightest(m)
	if p.o.Detail {
		p.passed(m)
	}
}

func (p *page) signOff(s *verdict.SignOff) {
	if s.Stands {
		p.head("Signed off")
		p.item("", fmt.Sprintf("by %s on %s; nothing changed since (%s)", clean(s.By), s.On, clean(s.File)))
		return
	}
	p.head("The sign-off no longer stands")
	p.item("", fmt.Sprintf("by %s on %s (%s)", clean(s.By), s.On, clean(s.File)))
	for i, why := range s.Why {
		if i == 5 && !p.o.Detail {
			p.item("", fmt.Sprintf("and %d more changes", len(s.Why)-i))
			break
		}
		p.item("", clean(why))
	}
}

// group is the findings of one rule at one place that say the same to do.
type group struct {
	place string
	rule  string
	list  []verdict.Finding
}

func grouped(findings []verdict.Finding) []group {
	var groups []group
	for _, f := range findings {
		n := len(groups)
		at := -1
		for i := range groups {
			if groups[i].place == f.Place && groups[i].rule == f.Rule {
				at = i
				break
			}
		}
		if at < 0 {
			groups = append(groups, group{place: f.Place, rule: f.Rule})
			at = n
		}
		groups[at].list = append(groups[at].list, f)
	}
	return groups
}

// findings prints what blocks, place by place.
func (p *page) findings(title string, list []verdict.Finding) {
	if len(list) == 0 {
		return
	}
	p.head(title)
	place := "\x00"
	for _, g := range byPlace(grouped(list)) {
		if g.place != place {
			place = g.place
			p.sub(placeName(place))
		}
		for _, f := range g.list {
			p.finding(f)
		}
	}
}

// byPlace keeps the order in which places first come up, and puts the groups of
// one place together.
func byPlace(groups []group) []group {
	var order []string
	for _, g := range groups {
		if !has(order, g.place) {
			order = append(order, g.place)
		}
	}
	var sorted []group
	for _, place := range order {
		for _, g := range groups {
			if g.place == place {
				sorted = append(sorted, g)
			}
		}
	}
	return sorted
}

func has(list []string, s string) bool {
	for _, e := range list {
		if e == s {
			return true
		}
	}
	return false
}

func placeName(place string) string {
	if place == "" {
		return "the move as a whole, and what belongs to no place"
	}
	return clean(place)
}

func (p *page) finding(f verdict.Finding) {
	p.wrap("  "+p.mark(f.Outcome)+" ", "    ", clean(f.Say)+"  ["+f.Rule+"]")
	for _, b := range f.Because {
		// A comparison of figures says more than the finding does; a plain yes or
		// no only says it again.
		if p.o.Detail || strings.ContainsAny(b.Expr, "<>") {
			p.wrap("    because ", "            ", because(b))
		}
	}
	if f.Goes != "" && f.LetsGo != "holds" {
		p.wrap("    lets go ", "            ", clean(f.Goes))
	}
	if s := f.Load; s != nil && s.NotComputed == "" {
		text := fmt.Sprintf("%s × %s of %s: uses %s of what it bears", s.Load, figure(s.Factor), s.Strength, use(s.Utilisation))
		if s.Utilisation <= 0.5 {
			text += "; the trouble is not strength"
		}
		p.wrap("    loaded  ", "            ", text)
	}
	p.wrap("    fix     ", "            ", clean(f.Fix))
	if w := f.Waiver; w != nil && !w.Counts {
		p.wrap("    waiver  ", "            ", fmt.Sprintf("by %s does not count: %s", clean(w.By), clean(w.Refused)))
	}
}

// because words one false part of a rule with its values.
func because(b verdict.Because) string {
	var values []string
	for _, v := range b.Values {
		values = append(values, clean(v.Name)+" is "+clean(v.Value))
	}
	if len(values) == 0 {
		return "not: " + clean(b.Expr)
	}
	return strings.Join(values, ", ") + "; wanted " + clean(b.Expr)
}

// missing lists the facts to write down: each with what it is and where in the
// build file it belongs, a line an item.
func (p *page) missing(title string, list []verdict.Finding) {
	if len(list) == 0 {
		return
	}
	p.head(title)
	place := "\x00"
	said := map[string]bool{}
	for _, g := range byPlace(grouped(list)) {
		if g.place != place {
			place = g.place
			p.sub(placeName(place))
		}
		for _, f := range g.list {
			lines := facts(f)
			if key := f.Item + strings.Join(lines, "|"); said[key] {
				continue
			} else {
				said[key] = true
			}
			p.wrap("  ? ", "    ", fmt.Sprintf("%s (%s)  [%s]", clean(f.Item), f.Span, f.Rule))
			for _, l := range lines {
				p.wrap("      ", "      ", l)
			}
		}
	}
}

func facts(f verdict.Finding) []string {
	var lines []string
	for i, m := range f.Missing {
		if i == 8 {
			lines = append(lines, fmt.Sprintf("and %d more facts", len(f.Missing)-i))
			break
		}
		switch {
		case m.Path == "":
			lines = append(lines, clean(m.Reason))
		case m.Doc == "":
			lines = append(lines, clean(m.Path))
		default:
			lines = append(lines, clean(m.Path)+": "+clean(m.Doc))
		}
	}
	return lines
}

func (p *page) waived(list []verdict.Finding) {
	if len(list) == 0 {
		return
	}
	p.head("Waived: holds that somebody answers for")
	for _, f := range list {
		p.item("", fmt.Sprintf("%s  [%s] by %s until %s: %s", clean(f.Say), f.Rule, clean(f.Waiver.By), f.Waiver.Until, clean(f.Waiver.Reason)))
	}
}

// brief prints findings that do not block: one line a rule, with the items.
func (p *page) brief(title string, list []verdict.Finding) {
	if len(list) == 0 {
		return
	}
	p.head(title)
	var order []string
	byRule := map[string][]verdict.Finding{}
	for _, f := range list {
		if _, seen := byRule[f.Rule]; !seen {
			order = append(order, f.Rule)
		}
		byRule[f.Rule] = append(byRule[f.Rule], f)
	}
	for _, rule := range order {
		some := byRule[rule]
		text := clean(some[0].Say)
		if some[0].Outcome == verdict.NotRecorded {
			text = clean(some[0].Item) + ": not recorded: " + strings.Join(facts(some[0]), "; ")
		}
		if len(some) > 1 {
			var also []string
			for _, f := range some[1:] {
				also = append(also, clean(f.Item))
			}
			text += "; likewise " + strings.Join(also, ", ")
		}
		p.item("", text+"  ["+rule+"]")
	}
}

func (p *page) passed(m *verdict.Move) {
	p.head("What passed")
	for _, pass := range m.Passed {
		var items []string
		for _, id := range pass.Items {
			items = append(items, clean(id))
		}
		p.wrap("  "+pass.Rule+": ", "      ", strings.Join(items, ", "))
	}
}

// boardCautions is how many of the cautions, the usual ones first, stand under a
// board.
const boardCautions = 4

func (p *page) usual(r *verdict.Report) {
	p.head("Before anyone moves weight")
	for i, c := range r.Cautions {
		// The board is an overview; the words on single kinds of part come with
		// the move in full.
		if i == boardCautions && len(r.Moves) > 1 && !p.o.Detail {
			break
		}
		p.item("", c)
	}
	p.para("", fmt.Sprintf("Judged for %s by %s in %s with design factor %s; build state %s, rules %s.",
		r.Today, count(r.RuleSet.Count, "rule", "rules", ""), clean(strings.Join(r.RuleSet.Packs, ", ")), policy(r, "design_factor"), short(r.State), short(r.Rules)))
	for _, id := range r.RuleSet.Added {
		p.item("", "your own rule: "+clean(id))
	}
	for _, id := range r.RuleSet.Disabled {
		p.item("", "switched off: "+clean(id))
	}
	for _, v := range r.Policy {
		if v.Changed {
			p.item("", fmt.Sprintf("changed policy: %s = %s (%s)", v.Name, clean(v.Value), v.Doc))
		}
	}
}

func policy(r *verdict.Report, name string) string {
	for _, v := range r.Policy {
		if v.Name == name {
			return v.Value
		}
	}
	return "not set"
}

func short(hash string) string {
	if len(hash) > 12 {
		return hash[:12]
	}
	return hash
}
