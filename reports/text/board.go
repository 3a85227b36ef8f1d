package text

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"setdown/reports/plain"
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
	text := fmt.Sprintf("%d of %d moves possible today", possible, len(r.Moves))
	switch {
	case len(r.Moves) == 0:
		text = "the file has no moves: nothing was checked"
	case possible == 0:
		text = "no move is possible today"
	case possible == len(r.Moves):
		text = "nothing recorded holds any move"
	}
	p.wrap(p.decision(r.Decision)+"  ", under, clean(cmp.Or(r.Vehicle, r.File))+": "+text)
	if len(r.Moves) == 0 {
		p.para(under, "Write the move you plan under moves, with its steps and their supports.")
		return
	}
	if r.Decision == verdict.Go {
		p.para(under, "That is no permission: read the cautions, look once more, and let one person give the word.")
	}
	p.para(under, "One move:  setdown check "+clean(r.File)+" -m NAME")
	if possible < len(r.Moves) {
		p.para(under, "Work list: setdown punch "+clean(r.File)+" -m NAME")
	}
	p.assumed(r)
	p.head("What is possible today")
	for _, want := range []verdict.Decision{verdict.Go, verdict.NoGo} {
		for i := range r.Moves {
			m := &r.Moves[i]
			if m.Decision != want {
				continue
			}
			p.wrap(p.decision(m.Decision)+"  ", under, clean(m.ID)+": "+clean(m.Title))
			if m.Decision == verdict.Go {
				if n := len(m.Of(verdict.Caution)); n > 0 {
					p.wrap(under, under, "with "+count(n, "caution", "cautions"))
				}
				if n := len(m.Of(verdict.Waived)); n > 0 {
					p.wrap(under, under, "with "+count(n, "finding that is waived", "findings that are waived"))
				}
				if m.SignOff != nil && !m.SignOff.Stands {
					p.wrap(under, under, "its sign-off no longer stands")
				}
				continue
			}
			p.wrap(under, under, "held by "+gravest(m))
			p.wrap(under, under, shortest(m))
		}
	}
}

// gravest names the first items that hold a move, and how many there are. A
// single finding says itself what it is.
func gravest(m *verdict.Move) string {
	var names []string
	for _, f := range m.Findings {
		if !f.Blocks() {
			continue
		}
		if m.Stops() == 1 && f.Outcome != verdict.NotRecorded {
			return clean(plain.Say(&f))
		}
		if !slices.Contains(names, clean(f.Item)) {
			names = append(names, clean(f.Item))
		}
	}
	text := strings.Join(names[:min(4, len(names))], ", ")
	if len(names) > 4 {
		text += fmt.Sprintf(" and %d more", len(names)-4)
	}
	return fmt.Sprintf("%s (%s)", text, plain.Tally(m))
}

// shortest words the work that frees a move: lines by phase, parts to buy.
func shortest(m *verdict.Move) string {
	punch := m.Punch
	var words []string
	for _, phase := range verdict.Phases {
		n := 0
		for _, j := range punch.Jobs {
			if j.Phase == phase {
				n++
			}
		}
		if n > 0 {
			words = append(words, fmt.Sprintf("%s %d", clean(phase), n))
		}
	}
	text := "to free it: " + count(len(punch.Jobs), "job", "jobs") + " (" + strings.Join(words, ", ") + ")"
	if m.Unsolved {
		// Nobody knows yet what the loads will ask for, parts to buy among it.
		return plain.KnownSoFar(punch.Jobs) + " (" + strings.Join(words, ", ") + ")"
	}
	if len(punch.Buy) == 0 {
		return text + ", nothing to buy"
	}
	var buy []string
	for _, b := range punch.Buy {
		buy = append(buy, fmt.Sprintf("%d × %s", b.Quantity, clean(b.Part)))
	}
	return text + "; to buy: " + strings.Join(buy, ", ")
}
