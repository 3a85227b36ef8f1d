package engine

import (
	"slices"

	"setdown/rules/facts"
	"setdown/rules/verdict"
)

// What a rule said of an item in the build state before holds again where all that it read is what it was
// (facts.Object.Kept). What stops or asks is judged anew, for its words hang on more.

// answers are what came out of the rules in one step: of each for every item of its kind, or for the step.
type answers map[*unit][]answer

// answer is how a rule came out that is not to be asked again.
type answer uint8

const (
	notAsked answer = iota // it did not apply
	passed
	open // it stopped or asked, or is asked last
)

// remember keeps what came out of the rules for the same step of the next build state.
func remember(set *facts.Set, units []*unit, asked []question, results []Result) {
	all := make(answers, len(units))
	for _, u := range units {
		all[u] = make([]answer, max(1, len(set.Items[u.scope.kind])))
	}
	for i, q := range asked {
		is := &all[q.unit][q.number()]
		if *is = open; results[i].Outcome == verdict.Pass && q.when == nil && !q.unit.isLast() {
			*is = passed
		}
	}
	set.Memory = all
}

// number is that of the item among those of its kind; nothing of the step.
func (q question) number() int {
	if q.item == nil {
		return 0
	}
	return q.item.n
}

// answersOf are the answers that were remembered of a step; nil where nothing is kept.
func answersOf(before *facts.Set) answers {
	if before == nil {
		return nil
	}
	all, _ := before.Memory.(answers)
	return all
}

// again is what the unit said of the item of the roots and says again.
func (all answers) again(u *unit, r *roots) answer {
	list := all[u]
	if list == nil {
		return open
	}
	was := list[question{item: r.item}.number()]
	if was == open || !u.when.kept(r) || was == passed && !u.must.kept(r) {
		return open
	}
	return was
}

// kept reports whether all that a condition reads is what it was.
func (p *part) kept(r *roots) bool {
	condition, errs := p.ready()
	return len(errs) == 0 && (condition == nil || !slices.ContainsFunc(condition.reads(), func(s *slot) bool { return !s.kept(r) }))
}

// kept reports whether a fact that a rule reads is what it was.
func (s *slot) kept(r *roots) bool {
	o := r.item
	if s.of != nil {
		o = s.of(r)
	}
	return o.facts.Kept(o.kind.at[s.path[0]])
}
