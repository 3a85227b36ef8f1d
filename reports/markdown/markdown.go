// Package markdown writes a verdict for an issue or a build log: headings, boxes
// to tick, tables. Whatever comes from the build file is text and stays text.
package markdown

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"setdown/model/quantity"
	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// doc writes lines and keeps the first error.
type doc struct {
	w   io.Writer
	err error
}

func (d *doc) line(format string, args ...any) {
	if d.err == nil {
		_, d.err = fmt.Fprintf(d.w, format+"\n", args...)
	}
}

// Write writes the verdicts of one or more build files.
func Write(w io.Writer, reports []*verdict.Report) error {
	d := &doc{w: w}
	for i, r := range reports {
		if i > 0 {
			d.line("\n---\n")
		}
		d.report(r)
	}
	return d.err
}

func (d *doc) report(r *verdict.Report) {
	d.line("# %s: %s\n", r.Decision, esc(title(r)))
	d.line("Build file `%s`, judged for %s.\n", code(r.File), r.Today)
	if len(r.Moves) != 1 {
		d.line("%s\n", esc(plain.BoardLead(r)))
	}
	for _, a := range r.Assumed {
		d.line("**ASSUMED, not found on the vehicle:** `%s`\n", code(a))
	}
	d.line("| move | verdict | what stops it |")
	d.line("| --- | --- | --- |")
	for i := range r.Moves {
		m := &r.Moves[i]
		d.line("| %s: %s | **%s** | %s |", esc(m.ID), esc(m.Title), m.Decision, cmp.Or(plain.Tally(m), "nothing recorded stops it"))
	}
	if orders := plain.Orders(r); len(orders) > 0 {
		d.line("\n## On order\n")
		for _, o := range orders {
			d.line("- %s", esc(o))
		}
	}
	for i := range r.Moves {
		d.move(r, &r.Moves[i])
	}
	if list := plain.Taken(r); len(list) > 0 {
		d.line("\n## %s\n", plain.TakenHead)
		for _, t := range list {
			d.line("- %s", esc(t))
		}
	}
	d.tacks(r)
	d.line("\n## Before weight moves\n")
	for _, c := range append(slices.Clone(plain.Usual), r.Cautions...) {
		d.line("- %s", esc(c))
	}
	d.line("\nJudged by %d rules in %s; build state `%s`, rules `%s`.", r.RuleSet.Count, esc(strings.Join(r.RuleSet.Packs, ", ")), code(r.State), code(r.Rules))
	for _, id := range r.RuleSet.Added {
		d.line("\nRule of the builder's own: `%s`", code(id))
	}
	for _, id := range r.RuleSet.Disabled {
		d.line("\n**Rule switched off:** %s", esc(id))
	}
	for _, v := range r.Policy {
		if v.Changed {
			d.line("\n**Policy changed:** `%s` = %s", code(v.Name), esc(v.Value))
		}
	}
}

func title(r *verdict.Report) string {
	if r.Vehicle != "" {
		return r.Vehicle
	}
	return r.File
}

func (d *doc) move(r *verdict.Report, m *verdict.Move) {
	d.line("\n## %s: %s, %s\n", m.Decision, esc(m.ID), esc(m.Title))
	s := plain.NewSheet(r, m, plain.Names)
	d.line("**%s** %s\n", esc(s.Bold), esc(s.Rest))
	if s.Until != "" {
		d.line("%s\n", esc(s.Until))
	}
	for _, a := range s.Awaits {
		d.line("- %s", esc(a))
	}
	if len(s.Awaits) > 0 {
		d.line("")
	}
	if jobs := m.Punch.Jobs; len(jobs) > 0 {
		d.line("%s first: %s\n", esc(plain.Count(len(jobs), "job", "jobs")), esc(plain.Job(jobs[0])))
	}
	if s.After != "" {
		d.line("%s\n", esc(s.After))
	}
	if s.Another != "" {
		d.line("Another way: %s\n", esc(s.Another))
	}
	if so := m.SignOff; so != nil {
		state := "stands"
		if !so.Stands {
			state = "**is no longer valid**: " + esc(strings.Join(so.Why, "; "))
		}
		d.line("Signed off by %s on %s; the sign-off %s.\n", esc(so.By), so.On, state)
	}
	d.findings("What stops it", m.Stopping())
	d.missing("Not recorded: look and write down", m.Unrecorded())
	d.plain("Waived", m.Of(verdict.Waived))
	d.plain("Cautions", plain.Soft(m))
	d.plain("Notes", m.Of(verdict.Note))
	u := plain.Figures(r.Units)
	for i, s := range m.Steps {
		d.line("\n### Step %d: %s\n", i+1, esc(s.Name))
		if why := plain.Solved(&s); why != "" {
			d.line("%s\n", esc(why))
		}
		d.line("| support | even | worst | rated |")
		d.line("| --- | ---: | ---: | ---: |")
		for _, r := range s.Supports {
			d.line("| %s | %s | %s | %s |", esc(r.ID), fig(u, r.Even), fig(u, r.Worst), fig(u, r.Rated))
		}
		if weights := u.Weights(&s); weights != "" {
			d.line("\n%s", esc(weights))
		}
		if s.Stability != nil {
			d.line("\n%s", esc(s.Balance(r.Units)))
		}
		for _, w := range s.Watch {
			d.line("\nWatch: %s", esc(w))
		}
	}
	if len(m.Tightest) > 0 {
		d.line("\n| item | check | load | factor | strength | uses |")
		d.line("| --- | --- | ---: | ---: | ---: | ---: |")
		for _, s := range m.Tightest {
			d.line("| %s | %s | %s | %s | %s | %s |", esc(s.Item), esc(s.Check), fig(u, &s.Load), quantity.Format(s.Factor), fig(u, &s.Strength), esc(plain.Percent(s.Utilisation)))
		}
	}
}

func fig(u plain.Figures, f *verdict.Figure) string {
	if f == nil {
		return ""
	}
	return esc(u.Full(*f))
}

func (d *doc) findings(head string, list []verdict.Finding) {
	if len(list) == 0 {
		return
	}
	d.line("### %s\n", head)
	place := "\x00"
	for _, f := range list {
		place = d.place(place, f.Place)
		d.line("- [ ] %s (`%s`)", esc(plain.Say(&f)), code(f.Rule))
		if f.Goes != "" && f.LetsGo != "holds" {
			d.line("  - if it lets go: %s", esc(f.Goes))
		}
		d.line("  - fix: %s", esc(f.Fix))
	}
	d.line("")
}

// missing lists every item once with what is to be written down of it.
func (d *doc) missing(head string, list []verdict.Finding) {
	if len(list) == 0 {
		return
	}
	d.line("### %s\n", head)
	place := "\x00"
	for _, item := range plain.ToLook(list) {
		place = d.place(place, item.Place)
		var rules []string
		for _, rule := range item.Rules {
			rules = append(rules, "`"+code(rule)+"`")
		}
		d.line("- [ ] %s (%s)", esc(item.ID), strings.Join(rules, ", "))
		for _, fact := range plain.Facts(item.Facts, len(item.Facts)) {
			d.line("  - %s", esc(fact))
		}
		if len(item.Facts) == 0 {
			d.line("  - %s", esc(item.Say))
		}
	}
	d.line("")
}

// place opens a place when it is another than the one before, and returns it.
func (d *doc) place(before, place string) string {
	if place == before {
		return place
	}
	if before != "\x00" {
		d.line("")
	}
	if place == "" {
		d.line("**the move as a whole**\n")
	} else {
		d.line("**%s**\n", esc(place))
	}
	return place
}

// plain lists findings that do not block. What states a fact comes before what is
// only not recorded.
func (d *doc) plain(head string, list []verdict.Finding) {
	if len(list) == 0 {
		return
	}
	d.line("### %s\n", head)
	for _, open := range []bool{false, true} {
		for _, f := range list {
			if plain.Open(&f) != open {
				continue
			}
			text := esc(plain.Say(&f))
			if f.Waiver != nil && f.Waiver.Counts {
				text += fmt.Sprintf(" (waived by %s until %s: %s)", esc(f.Waiver.By), f.Waiver.Until, esc(f.Waiver.Reason))
			}
			d.line("- %s (`%s`)", text, code(f.Rule))
		}
	}
	d.line("")
}

func (d *doc) tacks(r *verdict.Report) {
	if len(r.Tacks) == 0 {
		return
	}
	d.line("\n## Welds not finished\n")
	d.line("| weld | made | waits for | stops |")
	d.line("| --- | --- | --- | --- |")
	for _, t := range r.Tacks {
		var holds []string
		for _, m := range t.Moves {
			switch {
			case m.Blocks:
				holds = append(holds, esc(m.Move))
			case m.Carries == "":
				holds = append(holds, esc(m.Move)+": not known yet")
			}
		}
		d.line("| %s | %s %s | %s | %s |", esc(t.ID), esc(t.Made), esc(t.What), esc(waits(t, r.Units)), strings.Join(holds, ", "))
	}
}

// Punch writes the punch list with boxes to tick.
func Punch(w io.Writer, p verdict.Punch) error {
	d := &doc{w: w}
	d.line("# Punch list: %s\n", esc(strings.Join(p.Moves, ", ")))
	if len(p.Unsolved) > 0 {
		d.line("%s\n", esc(plain.PunchHead(p)))
	}
	if len(p.Buy) > 0 {
		d.line("## To buy or make\n")
		for _, b := range p.Buy {
			d.line("- [ ] %d × %s, for %s", b.Quantity, esc(b.Part), esc(strings.Join(b.Items, ", ")))
		}
	}
	now, later := plain.Now(p)
	d.jobs(now)
	if later > 0 {
		d.line("\n%s", esc(plain.Later(later)))
	}
	if len(p.Further) > 0 {
		d.line("%s", esc(plain.FurtherHead(p)))
		d.jobs(p.Further)
	}
	return d.err
}

// jobs writes lines of work by phase.
func (d *doc) jobs(jobs []verdict.Job) {
	phase := ""
	for _, t := range plain.Tasks(jobs) {
		if head := plain.PhaseHead(t.Job); head != phase {
			phase = head
			d.line("\n## %s\n", esc(head))
		}
		moves := " (" + esc(strings.Join(t.Moves, ", ")) + ")"
		if t.Boxes() == 1 {
			d.line("- [ ] %s", esc(t.Says(t.Do))+moves)
		} else {
			d.line("- %s", esc(t.Do)+moves)
			for _, item := range t.Items {
				d.line("  - [ ] %s", esc(item))
			}
		}
		if noted := plain.Noted(t.Job); noted != "" {
			d.line("  - write down: %s", esc(noted))
		}
	}
}

// Cards writes cards with boxes to tick, for the wall.
func Cards(w io.Writer, cards []verdict.Card) error {
	d := &doc{w: w}
	for _, c := range cards {
		d.line("# Card: %s, version %d\n", esc(c.Item), c.Version)
		for _, part := range c.Parts {
			d.line("## %s\n", esc(strings.ToUpper(part.Name[:1])+part.Name[1:]))
			for _, l := range part.Lines {
				text := fmt.Sprintf("%s %s", l.Question, l.Good)
				if l.OnlyFor != "" {
					text += " (" + l.OnlyFor + ")"
				}
				if l.Critical {
					text += " (say it by name)"
				}
				d.line("- [ ] %s", esc(text))
			}
			d.line("")
		}
	}
	return d.err
}

// waits says what a weld waits for.
func waits(t verdict.Tack, u quantity.System) string {
	if t.Toe != nil {
		return strings.TrimPrefix(t.WaitsFor+": "+t.Toe.Waits(u), ": ")
	}
	return t.WaitsFor
}
