package engine

import (
	"context"
	"slices"

	"setdown/rules/facts"
	"setdown/rules/verdict"
)

// Ages are what of a judged step hangs on the day.
type Ages struct {
	engine *Engine
	units  []*unit  // the rules that read something that does
	rest   []Result // of the other rules, what did not pass
}

// Ages finds the rules that read something that hangs on the day, as the facts of the judged
// step tell.
func (e *Engine) Ages(set *facts.Set, judged []Result) *Ages {
	r := newRoots(set)
	a := &Ages{engine: e, units: slices.DeleteFunc(e.wanted(set), func(u *unit) bool { return !u.ages(set, r) })}
	age := map[unitKey]bool{}
	for _, u := range a.units {
		age[unitKey{u.rule, u.scope.kind}] = true
	}
	for _, j := range judged {
		if j.Outcome == verdict.Pass {
			continue
		}
		key := unitKey{rule: j.Rule}
		if j.Item != nil {
			key.kind = j.Item.Kind
		}
		if !age[key] {
			a.rest = append(a.rest, j)
		}
	}
	return a
}

// Later judges the step on a later day, by the rules that hang on the day and by no others, and
// returns all that does not pass then. What no rule spoke of is taken to be the same on both days:
// the one built-in rule that is no longer asked as days pass reads nothing but ages.
func (a *Ages) Later(ctx context.Context, set *facts.Set) []Result {
	passed := func(r Result) bool { return r.Outcome == verdict.Pass }
	return slices.Concat(a.rest, slices.DeleteFunc(a.engine.judge(ctx, a.units, set), passed))
}

// ages reports whether, of any item, the rule was judged by something that hangs on the day.
func (u *unit) ages(set *facts.Set, r *roots) bool {
	var read []*slot
	for _, p := range []*part{&u.when, &u.must} {
		if !p.isReady.Load() {
			continue // nothing was judged by it
		}
		condition, _ := p.ready()
		if condition == nil {
			continue
		}
		if condition.today() {
			return true
		}
		read = append(read, condition.reads()...)
	}
	items, age := set.Items[u.scope.kind], func(s *slot) bool {
		o, i := s.fact(r)
		return o.Ages(i)
	}
	if u.scope.kind == "" {
		return slices.ContainsFunc(read, age)
	}
	r.item = &object{kind: kindOf()[u.scope.kind], facts: items[0]}
	if slices.ContainsFunc(read, age) {
		return true
	}
	// What is recorded, or is no fact of the item, ages with all items alike.
	read = slices.DeleteFunc(read, func(s *slot) bool {
		o, i := s.fact(r)
		return s.of != nil || !o.Fields()[i].Derived
	})
	return slices.ContainsFunc(items[1:], func(o *facts.Object) bool {
		r.item.facts = o
		return slices.ContainsFunc(read, age)
	})
}
