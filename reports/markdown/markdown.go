// Package markdown writes a verdict for an issue or a build log: headings, boxes
// to tick, tables. Whatever comes from the build file is text and stays text.
package markdown

import (
	"fmt"
	"io"
	"strings"
	"unicode"

	"setdown/model/quantity"
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
	for _, a := range r.Assumed {
		d.line("**ASSUMED, not found on the vehicle:** `%s`\n", code(a))
	}
	d.line("| move | verdict | findings that hold it |")
	d.line("| --- | --- | --- |")
	for i := range r.Moves {
		m := &r.Moves[i]
		d.line("| %s: %s | **%s** | %d |", esc(m.ID), esc(m.Title), m.Decision, m.Holds())
	}
	for i := range r.Moves {
		d.move(&r.Moves[i])
	}
	d.tacks(r)
	d.line("\n## Before anyone moves weight\n")
	for _, c := range r.Cautions {
		d.line("- %s", esc(c))
	}
}

func title(r *verdict.Report) string {
	if r.Vehicle != "" {
		return r.Vehicle
	}
	return r.File
}

func (d *doc) move(m *verdict.Move) {
	d.line("\n## %s: %s, %s\n", m.Decision, esc(m.ID), esc(m.Title))
	if s := m.SignOff; s != nil {
		state := "stands"
		if !s.Stands {
			state = "**no longer stands**: " + esc(strings.Join(s.Why, "; "))
		}
		d.line("Signed off by %s on %s; the sign-off %s.\n", esc(s.By), s.On, state)
	}
	d.findings("What holds it", m, func(f verdict.Finding) bool { return f.Blocks() && f.Outcome != verdict.NotRecorded })
	d.findings("Not recorded: look and write down", m, func(f verdict.Finding) bool { return f.Blocks() && f.Outcome == verdict.NotRecorded })
	d.plain("Waived", m.Of(verdict.Waived))
	d.plain("Cautions", m.Of(verdict.Caution))
	d.plain("Notes", m.Of(verdict.Note))
	for i, s := range m.Steps {
		d.line("\n### Step %d: %s\n", i+1, esc(s.Name))
		if s.Solved != "yes" {
			d.line("%s\n", esc(s.Solved))
		}
		d.line("| support | even | worst | rated |")
		d.line("| --- | ---: | ---: | ---: |")
		for _, r := range s.Supports {
			d.line("| %s | %s | %s | %s |", esc(r.ID), fig(r.Even), fig(r.Worst), fig(r.Rated))
		}
		if s.Stability != nil {
			d.line("\n%s", esc(s.Stability.Words))
		}
		for _, w := range s.Watch {
			d.line("\nWatch: %s", esc(w))
		}
	}
	if len(m.Tightest) > 0 {
		d.line("\n| item | check | load | factor | strength | uses |")
		d.line("| --- | --- | ---: | ---: | ---: | ---: |")
		for _, s := range m.Tightest {
			d.line("| %s | %s | %s | %s | %s | %.2f |", esc(s.Item), esc(s.Check), s.Load, quantity.Format(s.Factor), s.Strength, s.Utilisation)
		}
	}
}

func fig(f *verdict.Figure) string {
	if f == nil {
		return ""
	}
	return f.String()
}

func (d *doc) findings(head string, m *verdict.Move, wanted func(verdict.Finding) bool) {
	place, any := "\x00", false
	for _, f := range m.Findings {
		if !wanted(f) {
			continue
		}
		if !any {
			d.line("### %s\n", head)
			any = true
		}
		if f.Place != place {
			place = f.Place
			if place != "" {
				d.line("**%s**\n", esc(place))
			}
		}
		d.line("- [ ] %s (`%s`)", esc(f.Say), code(f.Rule))
		for _, miss := range f.Missing {
			if miss.Path != "" {
				d.line("  - write down `%s`: %s", code(miss.Path), esc(miss.Doc))
			} else {
				d.line("  - %s", esc(miss.Reason))
			}
		}
		if f.Outcome != verdict.NotRecorded {
			d.line("  - fix: %s", esc(f.Fix))
		}
	}
	if any {
		d.line("")
	}
}

func (d *doc) plain(head string, list []verdict.Finding) {
	if len(list) == 0 {
		return
	}
	d.line("### %s\n", head)
	for _, f := range list {
		text := esc(f.Say)
		if f.Waiver != nil && f.Waiver.Counts {
			text += fmt.Sprintf(" (waived by %s until %s: %s)", esc(f.Waiver.By), f.Waiver.Until, esc(f.Waiver.Reason))
		}
		d.line("- %s (`%s`)", text, code(f.Rule))
	}
	d.line("")
}

func (d *doc) tacks(r *verdict.Report) {
	if len(r.Tacks) == 0 {
		return
	}
	d.line("\n## Welds that are not made full\n")
	d.line("| weld | made | waits for | holds |")
	d.line("| --- | --- | --- | --- |")
	for _, t := range r.Tacks {
		var holds []string
		for _, m := range t.Moves {
			if m.Blocks {
				holds = append(holds, esc(m.Move))
			}
		}
		d.line("| %s | %s %s | %s | %s |", esc(t.ID), esc(t.Made), esc(t.What), esc(t.WaitsFor), strings.Join(holds, ", "))
	}
}

// Punch writes the punch list with boxes to tick.
func Punch(w io.Writer, p verdict.Punch) error {
	d := &doc{w: w}
	d.line("# Punch list: %s\n", esc(strings.Join(p.Moves, ", ")))
	if len(p.Buy) > 0 {
		d.line("## To buy or make\n")
		for _, b := range p.Buy {
			d.line("- [ ] %d × %s, for %s", b.Quantity, esc(b.Part), esc(strings.Join(b.Items, ", ")))
		}
	}
	phase := ""
	for _, j := range p.Jobs {
		if j.Phase != phase {
			phase = j.Phase
			d.line("\n## %s%s\n", strings.ToUpper(phase[:1]), phase[1:])
		}
		where := ""
		if j.Place != "" {
			where = esc(j.Place) + ", "
		}
		d.line("- [ ] %s%s: %s (%s)", where, esc(j.Item), esc(j.Do), esc(strings.Join(j.Moves, ", ")))
	}
	return d.err
}

// esc escapes every character that Markdown or HTML inside it gives a meaning.
func esc(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case unicode.IsControl(r) || unicode.Is(unicode.Cf, r):
			b.WriteByte(' ')
		case r == '<':
			b.WriteString("&lt;")
		case r == '>':
			b.WriteString("&gt;")
		case r == '&':
			b.WriteString("&amp;")
		case strings.ContainsRune("\\`*_{}[]#|~!@", r):
			b.WriteByte('\\')
			b.WriteRune(r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// code makes a text safe between backticks.
func code(s string) string {
	return strings.Map(func(r rune) rune {
		if r == '`' || r == '|' || unicode.IsControl(r) || unicode.Is(unicode.Cf, r) {
			return '\''
		}
		return r
	}, s)
}
