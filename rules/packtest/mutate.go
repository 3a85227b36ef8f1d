package packtest

import (
	"fmt"

	"setdown/model/source"
	"setdown/rules/engine"
	"setdown/rules/pack"
)

// Score says how many faults put into rules the examples notice.
type Score struct {
	Mutants, Caught int
	Survivors       []Survivor
}

// Share is the share of the faults that were noticed; none of none is 0.
func (s Score) Share() float64 {
	if s.Mutants == 0 {
		return 0
	}
	return float64(s.Caught) / float64(s.Mutants)
}

// Survivor is a fault that no example notices.
type Survivor struct {
	Rule   string
	Span   source.Span
	Change string
}

// String prints file:line:column: rule: change.
func (s Survivor) String() string { return fmt.Sprintf("%s: %s: %s", s.Span, s.Rule, s.Change) }

// Mutate puts one fault after the other into every rule of the packs and judges
// the examples by it. A fault is noticed when an example comes out otherwise
// than it expects.
func Mutate(e *engine.Engine, packs []*pack.Pack) Score {
	var score Score
	for _, p := range packs {
		for _, r := range p.Rules {
			var states []*state
			var expect []string
			for i := range r.Examples {
				if s, errs := read(e, r, &r.Examples[i]); len(errs) == 0 {
					states = append(states, s)
					expect = append(expect, r.Examples[i].Expect)
				}
			}
			for _, m := range e.Mutants(r) {
				score.Mutants++
				if noticed(e, m, states, expect) {
					score.Caught++
				} else {
					score.Survivors = append(score.Survivors, Survivor{Rule: r.ID, Span: m.Span, Change: m.Change})
				}
			}
		}
	}
	return score
}

func noticed(e *engine.Engine, m *engine.Mutant, states []*state, expect []string) bool {
	for i, s := range states {
		outcome, applies := m.Judge(e, s.kind, s.set(""))
		got := string(outcome)
		if !applies {
			got = pack.DoesNotApply
		}
		if got != expect[i] {
			return true
		}
	}
	return false
}
