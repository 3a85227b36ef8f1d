// Package check takes one build state to one verdict: it derives the facts of
// every step, has the rules judge them, and puts what came out into one report.
//
// It decides nothing of its own beyond what the design fixes: how findings of
// several steps become one, what a waiver may do, and the order in which a
// person walks round the vehicle.
package check

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"sync"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
	"setdown/rules/engine"
	"setdown/rules/facts"
	"setdown/rules/punch"
	"setdown/rules/vehicle"
	"setdown/rules/verdict"
)

// Options says what is checked.
type Options struct {
	Moves   []string // ids of the moves to check; all when empty
	Today   quantity.Date
	Clock   int             // seconds since midnight
	Timed   bool            // the check is made at that time; else it is one of the whole day
	Version string          // of the program, for the report
	Units   quantity.System // of the answers; the file's own when empty
	Assumed []string        // what-if overrides that the build state already holds
	Solved  *vehicle.Solved // what statics worked out for states before this one; nil for none
}

// Judged is a build state with the report on it, and what was worked out for it.
type Judged struct {
	Report *verdict.Report
	*checker
}

// Run checks a build state and gives the report.
func Run(ctx context.Context, b *model.Build, e *engine.Engine, o Options) (*verdict.Report, error) {
	j, err := Judge(ctx, b, e, o)
	if err != nil {
		return nil, err
	}
	return j.Report, nil
}

// Judge checks a build state. An error means that the question could not be
// asked, such as a move that the file does not have; whatever goes wrong while
// answering is a finding that blocks.
func Judge(ctx context.Context, b *model.Build, e *engine.Engine, o Options) (*Judged, error) {
	moves, err := chosen(b, o.Moves)
	if err != nil {
		return nil, err
	}
	waivers, err := readWaivers(b, e)
	if err != nil {
		return nil, err
	}
	name, _ := b.Vehicle.Text("name")
	report := &verdict.Report{
		Format: verdict.Format, Version: o.Version, File: b.File, Vehicle: name, Today: o.Today,
		Rules: e.Hash(), Assumed: o.Assumed,
		RuleSet: e.RuleSet(), Policy: e.PolicyList(),
	}
	report.Units = units(b, o.Units)
	report.Checklist, _ = b.Vehicle.Bool("checklist")
	c := &checker{
		build: b, engine: e, facts: facts.New(b, e.Policy(), looks.Moment{Day: o.Today, Clock: o.Clock, Timed: o.Timed}), waivers: waivers, today: o.Today, order: walkOrder(b),
		judged: map[string]*judged{}, days: map[int]*checker{},
	}
	c.facts.Speak(report.Units)
	c.facts.Vehicle.Solved = cmp.Or(o.Solved, c.facts.Vehicle.Solved)
	report.Orders, report.Taken = c.orders(), taken(b)
	report.Moves = make([]verdict.Move, len(moves))
	errs := make([]error, len(moves))
	var wait sync.WaitGroup
	wait.Go(func() { report.State = StateHash(b) })
	for i, m := range moves {
		wait.Go(func() {
			defer recoverTo(&errs[i], m.ID)
			report.Moves[i], errs[i] = c.move(ctx, m)
		})
	}
	wait.Wait()
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	punch.Fill(report)
	report.Tacks = c.tacks(report.Moves)
	report.Cautions = c.cautions(report.Moves)
	report.Decide()
	return &Judged{report, c}, nil
}

// units are the measures of the answers: those asked for, else those that the file
// names, else those of its coordinates.
func units(b *model.Build, asked quantity.System) quantity.System {
	named, _ := b.Vehicle.Text("units")
	if coordinates, _ := b.Vehicle.Text("coordinates"); coordinates == "in" && named == "" {
		named = string(quantity.Inch)
	}
	return cmp.Or(asked, quantity.System(named))
}

// recoverTo makes a panic an error that says where it was: a check that failed is no answer.
func recoverTo(err *error, move string) {
	if p := recover(); p != nil {
		*err = fmt.Errorf("check of %s failed: %v\n%s", move, p, debug.Stack())
	}
}

// StateHash is the fingerprint of a resolved build state. Two states have the
// same one only when every recorded value is the same.
func StateHash(b *model.Build) string {
	sum := sha256.Sum256(b.Canonical())
	return hex.EncodeToString(sum[:])
}

func chosen(b *model.Build, ids []string) ([]*model.Item, error) {
	all := b.Of("moves")
	if len(ids) == 0 {
		return all, nil
	}
	var known []string
	for _, m := range all {
		known = append(known, m.ID)
	}
	var moves []*model.Item
	for _, id := range ids {
		i := slices.IndexFunc(all, func(m *model.Item) bool { return m.ID == id })
		if i < 0 {
			hint := "the moves are: " + strings.Join(known, ", ")
			near := source.DidYouMean(id, known, "")
			return nil, &source.Error{Span: source.Span{File: b.File}, Message: fmt.Sprintf("there is no move %q", id), Hint: strings.TrimSpace(near + " " + hint)}
		}
		moves = append(moves, all[i])
	}
	return moves, nil
}

// walkOrder gives every place its number on the walk round the vehicle: as
// the file lists them, what belongs to no place last.
func walkOrder(b *model.Build) map[string]int {
	order := map[string]int{}
	for i, p := range b.Places {
		order[p] = i + 1
	}
	return order
}

type checker struct {
	build   *model.Build
	engine  *engine.Engine
	facts   *facts.State
	waivers []waiver
	today   quantity.Date
	order   map[string]int
	bare    bool             // no rows for a report are wanted
	days    map[int]*checker // of the same vehicle on later days, by how much later
	first   *checker         // of which this is one of those; nil on the day of the check

	mu     sync.Mutex
	welds  map[string]map[string]weldInMove // by weld and move
	judged map[string]*judged               // by move
}

// judged are the steps of a move, and what each rule said of each.
type judged struct {
	steps   []*step
	results [][]engine.Result
	ages    func() []*engine.Ages // of each step
}

func (c *checker) move(ctx context.Context, item *model.Item) (verdict.Move, error) {
	kind, _ := item.Text("kind")
	title, _ := item.Text("title")
	move := verdict.Move{ID: item.ID, Kind: kind, Title: title, Span: item.Span}
	merged := newMerger(c, item.ID)
	judged, err := c.steps(ctx, item)
	if err != nil {
		return move, err
	}
	for i, step := range judged.steps {
		merged.add(step, judged.results[i])
		if !c.bare {
			c.noteWelds(item.ID, step)
		}
		move.Steps = append(move.Steps, step.report)
		move.Unsolved = move.Unsolved || c.unsolved(&step.report)
	}
	move.Findings = append(c.logFindings(&move), withoutEchoes(merged.findings(), move.Steps)...)
	c.mark(move.Findings)
	for _, path := range lacking(move.Steps) {
		move.First = append(move.First, engine.MissingAt(path))
	}
	move.Passed = merged.passes()
	move.Tightest, move.Heavier = tightest(move.Steps, c.bendAsked())
	c.markSupports(&move)
	return move, nil
}

// steps works out and judges the steps of a move, side by side.
func (c *checker) steps(ctx context.Context, item *model.Item) (*judged, error) {
	move := c.facts.Vehicle.Move(item)
	j := &judged{steps: make([]*step, len(move.Steps)), results: make([][]engine.Result, len(move.Steps))}
	j.ages = sync.OnceValue(func() []*engine.Ages {
		list := make([]*engine.Ages, len(j.steps))
		for i, s := range j.steps {
			list[i] = c.engine.Ages(s.facts, j.results[i])
		}
		return list
	})
	errs := make([]error, len(move.Steps))
	var wait sync.WaitGroup
	for i := range move.Steps {
		wait.Go(func() {
			defer recoverTo(&errs[i], item.ID)
			if c.first != nil {
				today := c.first.judged[item.ID]
				set := c.facts.On(today.steps[i].now)
				j.steps[i], j.results[i] = newStep(set), today.ages()[i].Later(ctx, set)
				return
			}
			set := c.facts.Step(move, i)
			j.results[i] = c.engine.Judge(ctx, set)
			j.steps[i] = newStep(set)
			if !c.bare {
				j.steps[i].show()
			}
		})
	}
	wait.Wait()
	if err := ctx.Err(); err != nil {
		return nil, fmt.Errorf("check of %s was cut short: %w", item.ID, err)
	}
	if c.judged != nil {
		c.mu.Lock()
		c.judged[item.ID] = j
		c.mu.Unlock()
	}
	return j, errors.Join(errs...)
}

// lacking lists what the loads of any step wait for, each once.
func lacking(steps []verdict.Step) []string {
	var list []string
	for _, s := range steps {
		for _, path := range s.Lacks {
			if !slices.Contains(list, path) {
				list = append(list, path)
			}
		}
	}
	return list
}

// unsolved reports whether the loads of a step could have been computed and were
// not: the vehicle does not stand, or a fact that they need is missing. Of a
// checklist no loads are expected.
func (c *checker) unsolved(s *verdict.Step) bool {
	checklist, _ := c.build.Vehicle.Bool("checklist")
	return !checklist && (s.Mass == nil || s.Solved == verdict.NoEquilibrium)
}

// markSupports writes the gravest outcome on each support beside its reaction.
func (c *checker) markSupports(m *verdict.Move) {
	type at struct{ item, step string }
	worst := map[at]verdict.Outcome{}
	for _, f := range m.Findings {
		for _, step := range f.Steps {
			if was, seen := worst[at{f.Item, step}]; !seen || rank(f.Outcome) < rank(was) {
				worst[at{f.Item, step}] = f.Outcome
			}
		}
	}
	for i := range m.Steps {
		for j := range m.Steps[i].Supports {
			s := &m.Steps[i].Supports[j]
			s.Outcome = cmp.Or(worst[at{s.ID, m.Steps[i].Name}], verdict.Pass)
		}
	}
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
		Steps: []string{step.report.Name}, Because: r.Because, Missing: c.written(r.Missing), Work: r.Work,
		Waivable: r.Rule.Waivable, RootRule: r.Rule.Root, RuleSpan: r.Rule.Span,
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
		f.Place = textOf(r.Item, "at_place")
		f.Carries, f.LetsGo, f.Goes = textOf(r.Item, "carries"), textOf(r.Item, "lets_go"), textOf(r.Item, "goes")
		f.Load = step.strengths[id]
	}
	if of := c.ofGroup(&f); of != "" {
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

// ofGroup names the members of a group that a finding is about: those whose fault it read. It is
// empty of a single thing, and where all members are meant or nobody knows which.
func (c *checker) ofGroup(f *verdict.Finding) string {
	state := c.build.Standing[f.Item]
	if state == nil || len(state.Members) < 2 || f.Outcome == verdict.NotRecorded {
		return ""
	}
	var numbers []string
	for i, facts := range state.Members {
		faulty := func(t *verdict.Term) bool {
			_, field, found := strings.Cut(t.Fact, "."+schema.Found+".")
			return found && facts[field].Fault
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
// alike things is asked for once.
func (c *checker) written(missing []verdict.Missing) []verdict.Missing {
	var list []verdict.Missing
	for _, m := range missing {
		m.Path = c.build.WrittenAt(m.Path)
		if !slices.Contains(list, m) {
			list = append(list, m)
		}
	}
	return list
}

// textOf reads a known text fact; "" when it is unknown or the kind has none.
func textOf(o *facts.Object, name string) string {
	if !o.Has(name) {
		return ""
	}
	v, unknown := o.Get(name)
	if unknown != nil {
		return ""
	}
	text, _ := v.(string)
	return text
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

// tightest lists the highest utilisation of each item over the steps, highest
// first, and how much heavier the vehicle may get. All loads grow in proportion
// when every mass does, so the item with the highest utilisation gives first. Where a
// strength could not be computed nobody knows which gives first. A part whose section nobody wrote
// because it is hardly bent may be bent no further than up to where it is asked for, N·m.
func tightest(steps []verdict.Step, asked float64) ([]verdict.Strength, *verdict.Heavier) {
	best := map[string]verdict.Strength{}
	complete := true
	for _, s := range steps {
		for _, st := range s.Strengths {
			if st.NotComputed != "" {
				complete = false
				continue
			}
			if old, seen := best[st.Item]; !seen || st.Utilisation > old.Utilisation {
				best[st.Item] = st
			}
		}
	}
	list := make([]verdict.Strength, 0, len(best))
	for _, st := range best {
		list = append(list, st)
	}
	slices.SortFunc(list, func(a, b verdict.Strength) int {
		return cmp.Or(cmp.Compare(float32(b.Utilisation), float32(a.Utilisation)), cmp.Compare(a.Item, b.Item)) // rounding decides nothing
	})
	if len(list) == 0 || list[0].Utilisation <= 0 || !complete {
		return list, nil
	}
	h := &verdict.Heavier{Share: 1/list[0].Utilisation - 1, Item: list[0].Item}
	first := list[0].Step
	for _, s := range steps {
		for _, b := range s.Bends {
			more := asked/b.Moment.Value - 1
			switch _, compared := best[b.Item]; {
			case compared || more >= h.Share:
			case more < 0:
				return list, nil
			default:
				h.Share, h.Item, first = more, b.Item, s.Name
			}
		}
	}
	for _, s := range steps {
		if s.Name == first && s.Mass != nil {
			h.Mass = verdict.Figure{Value: s.Mass.Value * h.Share, Unit: s.Mass.Unit}
		}
	}
	return list, h
}

// bendAsked is the bending moment in a part from which on its section is asked for, N·m.
func (c *checker) bendAsked() float64 {
	asked, _ := c.engine.Policy().Quantity("bend_asked")
	return asked.Value
}

// cautions are the words of each pack that has findings.
func (c *checker) cautions(moves []verdict.Move) []string {
	found := map[string]bool{}
	for _, m := range moves {
		for _, f := range m.Findings {
			found[f.Pack] = true
		}
	}
	return c.engine.Cautions(found)
}
