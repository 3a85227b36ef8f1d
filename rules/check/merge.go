package check

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"setdown/model/schema"
	"setdown/rules/engine"
	"setdown/rules/facts"
	"setdown/rules/vehicle"
	"setdown/rules/verdict"
)

var ranks = []verdict.Outcome{verdict.Stop, verdict.Error, verdict.NotRecorded, verdict.Waived, verdict.Caution, verdict.Note, verdict.Pass}

func rank(o verdict.Outcome) int { return slices.Index(ranks, o) }

// merger puts the findings of the steps of one move together: one finding for a rule,
// an item and each outcome that blocks, with the steps in which it came out so. Of
// outcomes that do not block only the gravest is kept.
type merger struct {
	c      *checker
	move   string
	byKey  map[came]*verdict.Finding
	keys   []came // of byKey, in order
	failed map[asked]bool
	passed map[asked]bool
	rules  []string            // that passed for an item, in order
	items  map[string][]string // for which a rule passed, in order
}

// asked is a rule and what it was asked of: the path of an item, or the move.
type asked struct{ rule, path string }

// came is how it came out: the outcome where that blocks, else nothing.
type came struct {
	asked
	blocks verdict.Outcome
}

func newMerger(c *checker, move string) *merger {
	return &merger{c: c, move: move, byKey: map[came]*verdict.Finding{}, failed: map[asked]bool{}, passed: map[asked]bool{}, items: map[string][]string{}}
}

func (m *merger) add(step *step, results []engine.Result) {
	if len(m.passed) == 0 { // most that passes does so in the first step
		m.passed = make(map[asked]bool, len(results))
	}
	for _, r := range results {
		path := "moves." + m.move
		if r.Item != nil {
			path = r.Item.Path
		}
		key := asked{r.Rule.ID, path}
		if r.Outcome == verdict.Pass {
			if !m.passed[key] {
				m.passed[key] = true
				if m.items[key.rule] == nil {
					m.rules = append(m.rules, key.rule)
				}
				m.items[key.rule] = append(m.items[key.rule], path)
			}
			continue
		}
		kind, id, _ := strings.Cut(path, ".")
		f := m.c.finding(r, m.move, kind, id, step)
		out := came{asked: key}
		if f.Blocks() {
			out.blocks = f.Outcome
		}
		m.failed[key] = true
		old, seen := m.byKey[out]
		switch {
		case !seen:
			m.byKey[out] = &f
			m.keys = append(m.keys, out)
		case rank(f.Outcome) < rank(old.Outcome):
			*old = f
		case f.Outcome == old.Outcome && r.Item != nil && r.Item.Apart() != nil && slices.Contains(old.Steps, step.report.Name):
			// the whole group has said so
		case f.Outcome == old.Outcome:
			f.Steps = append(old.Steps, f.Steps...)
			if worseEnd(f, *old) {
				*old = f
			}
			old.Steps = f.Steps
		}
	}
}

// worseEnd reports whether a finding tells of a worse end than another of the same
// outcome: what falls goes before what drops, and the higher load before the lower.
func worseEnd(a, b verdict.Finding) bool {
	grave := func(f verdict.Finding) int { return vehicle.Grave(f.Carries, f.LetsGo) }
	use := func(f verdict.Finding) float64 {
		if f.Load == nil {
			return 0
		}
		return f.Load.Utilisation
	}
	return cmp.Or(cmp.Compare(grave(a), grave(b)), cmp.Compare(use(a), use(b))) > 0
}

// finding turns one result into a finding and lets a waiver speak.
func (c *checker) finding(r engine.Result, move, kind, id string, step *step) verdict.Finding {
	words, _ := r.Rule.Words() // the engine has told what is wrong with them
	f := verdict.Finding{
		Rule: r.Rule.ID, Pack: r.Rule.Pack, Outcome: r.Outcome, Severity: verdict.Outcome(r.Rule.Else),
		Item: id, Kind: kind, Say: r.Say, Fix: r.Fix, Why: strings.TrimSpace(words.Why), Basis: strings.Join(words.Basis, "; "),
		Steps: []string{step.report.Name}, Because: r.Because, Missing: c.written(r.Missing, id), Work: r.Work,
		Waivable: r.Rule.Waivable, RootRule: r.Rule.Root, KnownBad: r.Rule.KnownBad, RuleSpan: r.Rule.Span,
	}
	f.Blocking = r.Outcome == verdict.Stop || r.Outcome == verdict.Error ||
		r.Outcome == verdict.NotRecorded && f.Severity == verdict.Stop
	if r.Err != nil {
		f.Say = fmt.Sprintf("%s: the rule %s could not be applied: %v", id, r.Rule.ID, r.Err)
	}
	if item := c.build.Item(id); item != nil {
		f.Span = item.Span
	}
	if r.Item != nil {
		f.Place = r.Item.Text("at_place")
		f.Carries, f.LetsGo, f.Goes = r.Item.Text("carries"), r.Item.Text("lets_go"), r.Item.Text("goes")
		f.Load = step.strengths[id]
	}
	if of := c.ofGroup(&f, r.Item); of != "" {
		f.Say += of
		if f.Work != nil {
			work := *f.Work
			work.Do += of
			f.Work = &work
		}
	}
	c.waive(&f, move)
	return f
}

// ofGroup names the members of a group that a finding is about: those that stand out, or those whose fault it read. It is
// empty of a single thing, and where all members are meant or nobody knows which.
func (c *checker) ofGroup(f *verdict.Finding, o *facts.Object) string {
	state := c.build.Standing[f.Item]
	if state == nil || len(state.Members) < 2 || f.Outcome == verdict.NotRecorded {
		return ""
	}
	var numbers []string
	for i, member := range state.Members {
		if o != nil && o.Apart() != nil {
			if slices.Contains(o.Apart(), i+1) {
				numbers = append(numbers, strconv.Itoa(i+1))
			}
			continue
		}
		faulty := func(t *verdict.Term) bool {
			_, field, found := strings.Cut(t.Fact, "."+schema.Found+".")
			return found && member[field].Fault
		}
		if slices.ContainsFunc(f.Because, func(b verdict.Because) bool { return slices.ContainsFunc(b.Left.Facts(), faulty) }) {
			numbers = append(numbers, strconv.Itoa(i+1))
		}
	}
	switch n := len(numbers); {
	case n == 0 || n == len(state.Members):
		return ""
	case n == 1:
		return fmt.Sprintf(" (number %s of %d)", numbers[0], len(state.Members))
	}
	return fmt.Sprintf(" (numbers %s of %d)", strings.Join(numbers, ", "), len(state.Members))
}

// written says of what is missing where it is to be written, each once: what is said once for
// alike things is asked for once; and where the item stands that has it, if that is not the one of
// the finding.
func (c *checker) written(missing []verdict.Missing, of string) []verdict.Missing {
	var list []verdict.Missing
	for _, m := range missing {
		m.Path = c.build.WrittenAt(m.Path)
		if _, rest, ok := strings.Cut(m.Path, "."); ok {
			id, _, _ := strings.Cut(rest, ".")
			if item := c.build.Item(id); item != nil && id != of {
				m.Place = c.facts.Vehicle.Place(item)
			}
		}
		if !slices.Contains(list, m) {
			list = append(list, m)
		}
	}
	return list
}

func (m *merger) findings() []verdict.Finding {
	list := make([]verdict.Finding, 0, len(m.keys))
	for _, k := range m.keys {
		list = append(list, *m.byKey[k])
	}
	blocked := func(f verdict.Finding) int {
		switch {
		case f.Root():
			return 0 // everything about loads hangs on it
		case f.Blocking:
			return 1
		}
		return 2
	}
	slices.SortStableFunc(list, func(a, b verdict.Finding) int {
		return cmp.Or(
			cmp.Compare(blocked(a), blocked(b)),
			cmp.Compare(rank(a.Outcome), rank(b.Outcome)),
			cmp.Compare(m.c.placed(a.Place), m.c.placed(b.Place)),
			a.Span.Start.Compare(b.Span.Start),
			cmp.Compare(a.Item, b.Item),
			cmp.Compare(a.Rule, b.Rule),
		)
	})
	return list
}

// passes lists the rules that passed for an item in every step in which they
// applied to it.
func (m *merger) passes() []verdict.Passed {
	var list []verdict.Passed
	for _, rule := range m.rules {
		p := verdict.Passed{Rule: rule}
		for _, path := range m.items[rule] {
			if !m.failed[asked{rule, path}] {
				_, id, _ := strings.Cut(path, ".")
				p.Items = append(p.Items, id)
			}
		}
		if len(p.Items) > 0 {
			list = append(list, p)
		}
	}
	return list
}

// withoutEchoes drops the findings that say no more than that there are no loads
// because the vehicle does not stand in a step, where that blocks the move by
// itself: a hundred strengths that were not computed hide the one reason.
func withoutEchoes(findings []verdict.Finding, steps []verdict.Step) []verdict.Finding {
	falls := map[string]bool{}
	for _, s := range steps {
		falls[s.Name] = s.Solved == verdict.NoEquilibrium
	}
	isEcho := func(f verdict.Finding) bool {
		return echo(f) && !slices.ContainsFunc(f.Steps, func(s string) bool { return !falls[s] })
	}
	own := map[string]bool{} // steps that something else blocks
	for _, f := range findings {
		if f.Blocks() && !isEcho(f) {
			for _, s := range f.Steps {
				own[s] = true
			}
		}
	}
	return slices.DeleteFunc(findings, func(f verdict.Finding) bool {
		return isEcho(f) && !slices.ContainsFunc(f.Steps, func(s string) bool { return !own[s] })
	})
}

// echo reports whether a finding hangs on an equilibrium alone: all that it waits
// for is one, or it asks something of an item only because nobody can say whether
// the item carries.
func echo(f verdict.Finding) bool {
	if f.Outcome == verdict.NotRecorded && len(f.Missing) > 0 && !slices.ContainsFunc(f.Missing, func(m verdict.Missing) bool { return !m.Falls }) {
		return true
	}
	return f.Carries == "" && (f.Kind == "joints" || f.Kind == "links" || slices.Contains(vehicle.HolderKinds, f.Kind))
}
