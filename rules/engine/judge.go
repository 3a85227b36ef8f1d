package engine

import (
	"context"
	"fmt"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"github.com/google/cel-go/common/types"
	"github.com/google/cel-go/common/types/ref"

	"setdown/rules/facts"
	"setdown/rules/pack"
	"setdown/rules/verdict"
)

// Result is how one rule came out for one item.
type Result struct {
	Rule    *pack.Rule
	Item    *facts.Object // nil for a rule about the step
	Outcome verdict.Outcome
	*Words  // never nil
}

// Words are what there is to say of a result; nothing of a pass.
type Words struct {
	Say     string
	Fix     string
	Because []verdict.Because
	Missing []verdict.Missing
	Work    *verdict.Work
	Err     error // why the rule could not be judged
}

// silent are the words of all that passed: by far the most.
var silent = &Words{}

// scratch is the memory of one step: the facts that were looked up and what rules were
// asked. The next step uses it again.
type scratch struct {
	values []ref.Val
	asked  []question
}

var memory = sync.Pool{New: func() any { return new(scratch) }}

// question is a rule that applies, and to what.
type question struct {
	unit *unit
	item *object // nil: the step
	when *types.Unknown
	err  error
	pass bool // as before the last look
}

// Judge judges one step of a move by every rule in force that is about this kind
// of move, for every item of its kinds. Rules that do not apply to an item give
// no result. The order is that of the packs, the rules and the items, and the rules
// about what no other rule judged come last. When the context ends, the results are not
// complete, and the caller must not use them.
func (e *Engine) Judge(ctx context.Context, set *facts.Set) []Result {
	return e.judge(ctx, e.wanted(set), set)
}

func (e *Engine) judge(ctx context.Context, units []*unit, set *facts.Set) []Result {
	m := memory.Get().(*scratch)
	defer memory.Put(m)
	r := newRoots(set)
	m.ask(ctx, units, set, r, answersOf(set.Before()))
	// What a rule wants is compiled only where it applies to something.
	var musts []*part
	for i, q := range m.asked {
		if i == 0 || q.unit != m.asked[i-1].unit {
			musts = append(musts, &q.unit.must)
		}
	}
	prepare(musts)
	m.last()
	results := make([]Result, 0, len(m.asked))
	passedOver := false
	var passes []atomic.Bool
	for i, q := range m.asked {
		first := i == 0 || q.unit != m.asked[i-1].unit
		if first && ctx.Err() != nil {
			return results
		}
		if first && !passedOver && q.unit.isLast() {
			e.passOver(set, r, m.asked[:i], results)
			passedOver = true
		}
		r.variable, r.item = q.unit.scope.variable, q.item
		if first {
			passes = q.unit.passes(set, r)
		}
		if q.pass || passes != nil && passes[q.item.n].Load() && q.err == nil {
			results = append(results, q.passed())
			continue
		}
		res := q.unit.judge(r, q)
		if passes != nil && res.Outcome == verdict.Pass {
			passes[q.item.n].Store(true)
		}
		results = append(results, res)
	}
	remember(set, units, m.asked, results)
	return results
}

// passes tells of which items of its kind the rule is known to hold in every step, where all that it
// wants is of facts that are the same in each: most rules are. It is nil for any other.
func (u *unit) passes(set *facts.Set, r *roots) []atomic.Bool {
	must, errs := u.must.ready()
	changes := func(s *slot) bool {
		if s.of != nil && (s.of(r) == r.step || s.of(r) == r.move) {
			return true
		}
		o, i := s.fact(r)
		return !o.Same(i)
	}
	if r.item == nil || len(errs) > 0 || slices.ContainsFunc(must.reads(), changes) {
		return nil
	}
	return set.Once(u, func() any { return make([]atomic.Bool, len(set.Items[u.scope.kind])) }).([]atomic.Bool)
}

// ask finds out which rules apply to what.
func (m *scratch) ask(ctx context.Context, units []*unit, set *facts.Set, r *roots, before answers) {
	ask := func(u *unit) {
		switch before.again(u, r) {
		case notAsked:
		case passed:
			m.asked = append(m.asked, question{unit: u, item: r.item, pass: true})
		default:
			m.asked = u.ask(m.asked, r)
		}
	}
	items := map[string][]*object{}
	whens := make([]*part, len(units))
	size, most := 0, 0
	for i, u := range units {
		whens[i] = &u.when
		if kind := u.scope.kind; kind != "" && items[kind] == nil {
			items[kind] = make([]*object, 0, len(set.Items[kind]))
			size += len(set.Items[kind]) * kindOf()[kind].size
		}
		most += max(1, len(set.Items[u.scope.kind]))
	}
	prepare(whens)
	m.values = slices.Grow(m.values[:0], size)
	free := m.values[:size]
	clear(free)
	m.asked = slices.Grow(m.asked[:0], most)
	for _, u := range units {
		if ctx.Err() != nil {
			return
		}
		kind := u.scope.kind
		if kind == "" {
			r.item = nil
			ask(u)
			continue
		}
		if len(items[kind]) == 0 {
			items[kind], free = newObjects(set.Items[kind], kindOf()[kind], free)
		}
		r.variable = u.scope.variable
		for _, item := range items[kind] {
			r.item = item
			ask(u)
		}
	}
}

// wanted lists what the step needs: the rules about its kind of move for the
// kinds of which there are items.
func (e *Engine) wanted(set *facts.Set) []*unit {
	var units []*unit
	for _, u := range e.all() {
		if kind := u.scope.kind; isAbout(u.rule, set.Move) && (kind == "" || len(set.Items[kind]) > 0) {
			units = append(units, u)
		}
	}
	return units
}

// Prepare compiles the conditions of the rules in force, one after another, until
// the context ends. A caller that waits for something else may have it done
// meanwhile; what is asked for first is compiled where it is asked for.
func (e *Engine) Prepare(ctx context.Context) {
	for _, of := range []func(*unit) *part{func(u *unit) *part { return &u.when }, func(u *unit) *part { return &u.must }} {
		for _, u := range e.all() {
			if ctx.Err() != nil {
				return
			}
			of(u).ready()
		}
	}
}

// prepare compiles the conditions that are not compiled yet, several at a time.
func prepare(parts []*part) {
	parts = slices.DeleteFunc(parts, func(p *part) bool { return p.isReady.Load() })
	if len(parts) == 0 {
		return
	}
	next := make(chan *part)
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for p := range next {
				p.ready()
			}
		})
	}
	for _, p := range parts {
		next <- p
	}
	close(next)
	wait.Wait()
}

// JudgeRule judges one rule for the first item of a kind in a set, or for the
// step when the kind is empty; it is false when the rule does not apply. Examples
// are judged so. The rule need not be one of the engine's.
func (e *Engine) JudgeRule(r *pack.Rule, kind string, set *facts.Set) (Result, bool) {
	if !isAbout(r, set.Move) {
		return Result{Words: silent}, false
	}
	u, roots := e.unit(r, kind), e.rootsFor(r, kind, set)
	asked := u.ask(nil, roots)
	if len(asked) == 0 {
		return Result{Words: silent}, false
	}
	return u.judge(roots, asked[0]), true
}

func (e *Engine) rootsFor(r *pack.Rule, kind string, set *facts.Set) *roots {
	roots := newRoots(set)
	if kind != "" {
		roots.variable, roots.item = r.Var, newObject(set.Items[kind][0], kindOf()[kind])
	}
	return roots
}

// ask adds the rule to what is asked unless it does not apply. One of which it is not
// known whether it applies is asked.
func (u *unit) ask(asked []question, r *roots) []question {
	q := question{unit: u, item: r.item}
	when, errs := u.when.ready()
	switch {
	case len(errs) > 0:
		q.err = errs.Err()
	case when != nil:
		switch v := run(when.plain, r).(type) {
		case types.Bool:
			if !v {
				return asked
			}
		case *types.Unknown:
			q.when = v
		default:
			q.err = when.problem(v)
		}
	}
	return append(asked, q)
}

// answer evaluates what a rule wants where it applies. An unknown outcome comes with
// what keeps the rule from being judged.
func (u *unit) answer(r *roots, q question) (verdict.Outcome, *types.Unknown, error) {
	if q.err != nil {
		return verdict.Error, nil, q.err
	}
	must, errs := u.must.ready()
	if len(errs) > 0 {
		return verdict.Error, nil, errs.Err()
	}
	switch v := run(must.plain, r).(type) {
	case types.Bool:
		if v {
			return verdict.Pass, nil, nil
		}
		return verdict.Outcome(u.rule.Else), nil, nil
	case *types.Unknown:
		return verdict.NotRecorded, v, nil
	default:
		return verdict.Error, nil, must.problem(v)
	}
}

// passed is the result of a rule that passes.
func (q question) passed() Result {
	res := Result{Rule: q.unit.rule, Outcome: verdict.Pass, Words: silent}
	if q.item != nil {
		res.Item = q.item.facts
	}
	return res
}

// judge is the result of the unit for one item.
func (u *unit) judge(r *roots, q question) Result {
	outcome, open, err := u.answer(r, q)
	res := Result{Rule: u.rule, Outcome: outcome, Words: silent}
	if r.item != nil {
		res.Item = r.item.facts
	}
	if outcome == verdict.Pass {
		return res
	}
	res.Words = &Words{Err: err}
	switch outcome {
	case verdict.Error:
	case verdict.NotRecorded:
		if res.Missing = r.unplanned(q.when); len(res.Missing) == 0 {
			res.Missing = r.missing(open)
		}
		u.words(&res, r)
	default:
		must, _ := u.must.ready()
		res.Because = must.because(r)
		res.Missing = r.missing(q.when)
		u.words(&res, r)
	}
	if res.Err != nil {
		res.Say = fmt.Sprintf("the rule %s could not be judged: %v", u.rule.ID, res.Err)
		res.Fix = "the rule is at fault, not the vehicle: check this point by hand and correct the rule"
	}
	return res
}
