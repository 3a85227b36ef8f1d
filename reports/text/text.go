// Package text writes a verdict for the screen, for a tired person with dirty
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

	"setdown/reports/plain"
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

// summary is one line a file, those with a move that is stopped first.
func (p *page) summary(reports []*verdict.Report) {
	sec := section{one: "more file", what: "more files", levels: make([][][]string, 1)}
	for _, want := range []verdict.Decision{verdict.NoGo, verdict.Go} {
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
			sec.levels[0] = append(sec.levels[0], p.block(func(p *page) {
				p.wrap(p.decision(r.Decision)+"  ", under, fmt.Sprintf("%s: %d of %s stopped", clean(r.File), held, count(len(r.Moves), "move", "moves")))
			}))
		}
	}
	p.all(p.block(func(p *page) { p.sections(screen, []section{sec}) })[1:]) // nothing stands before them
}

func (p *page) report(r *verdict.Report) {
	p.figures = plain.Figures(r.Units)
	if len(r.Moves) == 1 {
		p.sheet(r, &r.Moves[0])
		if p.o.Detail {
			p.workings(&r.Moves[0])
		}
	} else {
		p.board(r)
		for i := range r.Moves {
			if p.o.Detail {
				p.line("")
				p.rule()
				p.sheet(r, &r.Moves[i])
				p.workings(&r.Moves[i])
			}
		}
	}
	if p.o.Detail {
		p.tackBrief(r)
		p.basis(r)
	}
}

// named is the vehicle and its file: a verdict is worth nothing without the file it is on.
func named(vehicle, file string) string {
	if vehicle == "" {
		return clean(file)
	}
	return clean(vehicle) + ", " + clean(file)
}

// workings is everything behind the verdict on a move.
func (p *page) workings(m *verdict.Move) {
	if s := m.SignOff; s != nil {
		p.signOff(s)
	}
	p.findings("What stops it, in full", m, m.Stopping())
	p.missing("Not recorded: look and write down", m.Unrecorded())
	p.waived(m.Of(verdict.Waived))
	p.brief("Cautions", plain.Soft(m))
	p.brief("Notes", m.Of(verdict.Note))
	p.steps(m)
	p.tightest(m)
	p.passed(m)
}

func (p *page) signOff(s *verdict.SignOff) {
	if s.Stands {
		p.head("Signed off")
		p.item("", fmt.Sprintf("by %s on %s; nothing in the file has changed since (%s)", clean(s.By), s.On, clean(s.File)))
		return
	}
	p.head("The sign-off is no longer valid")
	p.item("", fmt.Sprintf("by %s on %s (%s)", clean(s.By), s.On, clean(s.File)))
	for _, why := range s.Why {
		p.item("", clean(why))
	}
}

// basis says by which rules and figures it was judged, with the words of the packs.
func (p *page) basis(r *verdict.Report) {
	if list := plain.Taken(r); len(list) > 0 {
		p.head(plain.TakenHead)
		for _, t := range list {
			p.item("", clean(t))
		}
	}
	p.head("By what it was judged")
	for _, c := range r.Cautions {
		p.item("", clean(c))
	}
	p.para("", fmt.Sprintf("Judged for %s by %s in %s with design factor %s; build state %s, rules %s.",
		r.Today, count(r.RuleSet.Count, "rule", "rules"), cleanAll(r.RuleSet.Packs), clean(policy(r, "design_factor")), clean(short(r.State)), clean(short(r.Rules))))
	for _, id := range r.RuleSet.Added {
		p.item("", "your own rule: "+clean(id))
	}
	for _, id := range r.RuleSet.Disabled {
		p.item("", "switched off: "+clean(id))
	}
	for _, v := range r.Policy {
		if v.Changed {
			p.item("", fmt.Sprintf("changed policy: %s = %s (%s)", clean(v.Name), clean(v.Value), clean(v.Doc)))
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
