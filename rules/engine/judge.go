package engine

import (
	"context"
	"fmt"
	"runtime"
	"slices"
	"sync"

	"github.com/google/cel-go/cel"
	"github.com/google/cel-go/common/types"
	"github.com/google/cel-go/common/types/ref"

	"setdown/model/source"
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

// values keeps the memory in which a step's facts were looked up for the next step.
var values = sync.Pool{New: func() any { return new([]ref.Val) }}

// Judge judges one step of a move by every rule in force that is about this kind
// of move, for every item of its kinds. Rules that do not apply to an item give
// no result. The order is that of the packs, the rules and the items. When the
// context ends, the results are not complete, and the caller must not use them.
func (e *Engine) Judge(ctx context.Context, set *facts.Set) []Result {
	units := e.wanted(set)
	prepare(units)
	r := newRoots(set)
	items := map[string][]*object{}
	most, size := 0, 0
	for _, u := range units {
		list := set.Items[u.scope.kind]
		most += max(1, len(list))
		if kind := u.scope.kind; kind != "" && items[kind] == nil {
			items[kind] = make([]*object, 0, len(list))
			size += len(list) * len(kindOf()[kind].fields)
		}
	}
	memory := values.Get().(*[]ref.Val)
	defer values.Put(memory)
	*memory = slices.Grow((*memory)[:0], size)
	free := (*memory)[:size]
	clear(free)
	results := make([]Result, 0, most)
	for _, u := range units {
		if ctx.Err() != nil {
			return results
		}
		kind := u.scope.kind
		if kind == "" {
			r.item = nil
			results = u.judge(results, r)
			continue
		}
		if len(items[kind]) == 0 {
			items[kind], free = newObjects(set.Items[kind], kindOf()[kind], free)
		}
		r.variable = u.scope.variable
		for _, item := range items[kind] {
			r.item = item
			results = u.judge(results, r)
		}
	}
	return results
}

// wanted lists what the step needs: the rules about its kind of move for the
// kinds of which there are items.
func (e *Engine) wanted(set *facts.Set) []*unit {
	var units []*unit
	for _, p := range e.packs {
		for _, r := range p.Rules {
			if e.off[r.ID] || !isAbout(r, set.Move) {
				continue
			}
			for _, kind := range kindsOf(r) {
				if kind == "" || len(set.Items[kind]) > 0 {
					units = append(units, e.unit(r, kind))
				}
			}
		}
	}
	return units
}

// isAbout reports whether a rule is asked in moves of this kind. A kind that is
// not known may be any.
func isAbout(r *pack.Rule, move *facts.Object) bool {
	kind, unknown := move.Get("kind")
	return len(r.In) == 0 || unknown != nil || slices.Contains(r.In, kind.(string))
}

// Prepare compiles the conditions of the rules in force, one after another, until
// the context ends. A caller that waits for something else may have it done
// meanwhile; what is asked for first is compiled where it is asked for.
func (e *Engine) Prepare(ctx context.Context) {
	for _, p := range e.packs {
		for _, r := range p.Rules {
			for _, kind := range kindsOf(r) {
				if ctx.Err() != nil {
					return
				}
				if !e.off[r.ID] {
					e.unit(r, kind).ready()
				}
			}
		}
	}
}

// prepare compiles the units that are not compiled yet, several at a time.
func prepare(units []*unit) {
	units = slices.DeleteFunc(slices.Clone(units), func(u *unit) bool { return u.compiled.Load() })
	if len(units) == 0 {
		return
	}
	next := make(chan *unit)
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for u := range next {
				u.ready()
			}
		})
	}
	for _, u := range units {
		next <- u
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
	results := e.unit(r, kind).judge(nil, e.rootsFor(r, kind, set))
	if len(results) == 0 {
		return Result{Words: silent}, false
	}
	return results[0], true
}

func (e *Engine) rootsFor(r *pack.Rule, kind string, set *facts.Set) *roots {
	roots := newRoots(set)
	if kind != "" {
		roots.variable, roots.item = r.Var, newObject(set.Items[kind][0], kindOf()[kind])
	}
	return roots
}

// finding is what the conditions of a rule give, before any words.
type finding struct {
	applies bool
	outcome verdict.Outcome
	must    *types.Unknown // what keeps the rule from being judged
	when    *types.Unknown // what keeps it open whether the rule applies
	err     error
}

// outcome evaluates the conditions. A rule of which it is not known whether it
// applies is taken to apply.
func (u *unit) outcome(r *roots) finding {
	if errs := u.ready(); len(errs) > 0 {
		return finding{applies: true, outcome: verdict.Error, err: errs.Err()}
	}
	f := finding{applies: true}
	if u.when != nil {
		switch v := run(u.when.plain, r).(type) {
		case types.Bool:
			if !v {
				return finding{}
			}
		case *types.Unknown:
			f.when = v
		default:
			f.outcome, f.err = verdict.Error, u.when.problem(v)
			return f
		}
	}
	switch v := run(u.must.plain, r).(type) {
	case types.Bool:
		f.outcome = verdict.Pass
		if !v {
			f.outcome = verdict.Outcome(u.rule.Else)
		}
	case *types.Unknown:
		f.outcome, f.must = verdict.NotRecorded, v
	default:
		f.outcome, f.err = verdict.Error, u.must.problem(v)
	}
	return f
}

// judge adds the result of the unit for one item.
func (u *unit) judge(results []Result, r *roots) []Result {
	f := u.outcome(r)
	if !f.applies {
		return results
	}
	res := Result{Rule: u.rule, Outcome: f.outcome, Words: silent}
	if r.item != nil {
		res.Item = r.item.facts
	}
	if f.outcome == verdict.Pass {
		return append(results, res)
	}
	res.Words = &Words{Err: f.err}
	switch f.outcome {
	case verdict.Error:
	case verdict.NotRecorded:
		res.Missing = r.missing(f.must)
		u.words(&res, r)
	default:
		res.Because = u.must.because(r)
		res.Missing = r.missing(f.when)
		u.words(&res, r)
	}
	if res.Err != nil {
		res.Say = fmt.Sprintf("the rule %s could not be judged: %v", u.rule.ID, res.Err)
		res.Fix = "this is a fault of the rule, not of the vehicle: judge the point by hand, and mend the rule"
	}
	return append(results, res)
}

// run evaluates a program. A failure, also a panic inside, comes back as a value
// that is neither true nor unknown.
func run(p cel.Program, r *roots) ref.Val {
	v, _, err := p.Eval(&r.frame)
	if err == nil || types.IsError(v) {
		return v
	}
	return types.WrapErr(err)
}

// problem says what went wrong and where.
func (p *program) problem(v ref.Val) error {
	err, ok := v.(*types.Err)
	if !ok {
		return &source.Error{Span: p.src.Span, Message: "the condition is neither true nor false"}
	}
	at := p.src.Span
	if r, found := p.tree.SourceInfo().GetOffsetRange(err.NodeID()); found {
		at = p.src.At(int(r.Start))
	}
	return &source.Error{Span: at, Message: err.Error()}
}
