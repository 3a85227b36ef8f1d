package text

import (
	"fmt"
	"strings"

	"setdown/rules/verdict"
)

// board shows every move of a file side by side: what is possible today, and
// the least work that frees the others.
func (p *page) board(r *verdict.Report) {
	possible := 0
	for i := range r.Moves {
		if r.Moves[i].Decision == verdict.Go {
			possible++
		}
	}
	switch {
	case len(r.Moves) == 0:
		p.line("%s  %s has no moves: nothing was checked", p.decision(verdict.NoGo), clean(r.File))
		p.para("", "Write the move you plan under moves, with its steps and their supports.")
		return
	case possible == 0:
		p.line("%s  %s: no move is possible today", p.decision(r.Decision), clean(orFile(r)))
	case possible == len(r.Moves):
		p.line("%s  %s: nothing recorded holds any move", p.decision(r.Decision), clean(orFile(r)))
	default:
		p.line("%s  %s: %d of %d moves possible today", p.decision(r.Decision), clean(orFile(r)), possible, len(r.Moves))
	}
	p.para("", fmt.Sprintf("One move in full: setdown check %s --move NAME. The work in order: setdown punch %s --move NAME.", clean(r.File), clean(r.File)))
	p.assumed(r)
	p.head("What is possible today")
	for _, want := range []verdict.Decision{verdict.Go, verdict.NoGo} {
		for i := range r.Moves {
			m := &r.Moves[i]
			if m.Decision != want {
				continue
			}
			p.wrap(p.decision(m.Decision)+"  ", "       ", clean(m.ID)+": "+clean(m.Title))
			if m.Decision == verdict.Go {
				if n := len(m.Of(verdict.Caution)); n > 0 {
					p.wrap("       ", "       ", "with "+count(n, "caution", "cautions", ""))
				}
				if m.SignOff != nil && !m.SignOff.Stands {
					p.wrap("       ", "       ", "its sign-off no longer stands")
				}
				continue
			}
			p.wrap("       ", "       ", "held by "+gravest(m))
			p.wrap("       ", "       ", "to free it: "+shortest(r, m))
		}
	}
}

// gravest names the first items that hold a move, and how many there are.
func gravest(m *verdict.Move) string {
	var names []string
	for _, f := range m.Findings {
		if f.Blocks() && !has(names, clean(f.Item)) {
			names = append(names, clean(f.Item))
		}
	}
	text := strings.Join(names[:min(4, len(names))], ", ")
	if len(names) > 4 {
		text += fmt.Sprintf(" and %d more", len(names)-4)
	}
	return fmt.Sprintf("%s (%s)", text, count(m.Holds(), "finding", "findings", ""))
}

// shortest words the work that frees a move: lines by phase, parts to buy.
func shortest(r *verdict.Report, m *verdict.Move) string {
	punch := r.Punch(m.ID)
	var words []string
	for _, phase := range verdict.Phases {
		n := 0
		for _, j := range punch.Jobs {
			if j.Phase == phase {
				n++
			}
		}
		if n > 0 {
			words = append(words, fmt.Sprintf("%s %d", phase, n))
		}
	}
	text := count(len(punch.Jobs), "job", "jobs", "") + " (" + strings.Join(words, ", ") + ")"
	if len(punch.Buy) == 0 {
		return text + ", nothing to buy"
	}
	var buy []string
	for _, b := range punch.Buy {
		buy = append(buy, fmt.Sprintf("%d × %s", b.Quantity, clean(b.Part)))
	}
	return text + "; to buy: " + strings.Join(buy, ", ")
}
