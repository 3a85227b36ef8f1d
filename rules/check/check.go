// Package check takes one build state to one verdict: it derives the facts of
// every step, has the rules judge them, and puts what came out into one report.
//
// It decides nothing of its own beyond what the design fixes: how findings of
// several steps become one, what a waiver may do, and the order in which a
// person walks round the vehicle.
//
// The files, in the order in which they build on one another:
//
//   - places.go: where an item is, on the vehicle and on the walk round
//   - outline.go: the pictures of a step
//   - waivers.go: what somebody answers for
//   - merge.go: the findings of the steps of a move put together
//   - rows.go: what a report shows of a step
//   - looks.go: what the log of looks says, and its cards
//   - taken.go: what was taken as known
//   - orders.go: what is still to come
//   - tacks.go: welds that are not made full
//   - check.go: one build state to one report
//   - until.go: what lies ahead of it
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
	"strings"
	"sync"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
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
	Cache   *vehicle.Cache  // what statics worked out for states before this one; nil for none
	Before  *Judged         // of the same file, before the last looks: what they leave as it was is kept; nil for none
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
// answering is a finding that blocks. The state is not hashed: who writes the report
// or signs it does so with StateHash.
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
	report.Units = cmp.Or(o.Units, b.Units())
	report.Checklist, _ = b.Vehicle.Bool("checklist")
	c := &checker{
		build: b, engine: e, facts: facts.New(b, e.Policy(), looks.Moment{Day: o.Today, Clock: o.Clock, Timed: o.Timed}), waivers: waivers, today: o.Today, order: walkOrder(b),
		done: map[string]*judgedSteps{}, days: map[int]*checker{},
	}
	c.facts.Speak(report.Units)
	c.facts.Vehicle.Cache = cmp.Or(o.Cache, c.facts.Vehicle.Cache)
	if o.Before != nil {
		c.facts.After(o.Before.facts)
		defer c.facts.Settle()
	}
	report.Orders, report.Taken = c.orders(), taken(b)
	report.Moves = make([]verdict.Move, len(moves))
	errs := make([]error, len(moves))
	var wait sync.WaitGroup
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

	mu    sync.Mutex
	welds map[string]map[string]weldInMove // by weld and move
	done  map[string]*judgedSteps          // by move
}

// judgedSteps are the steps of a move, and what each rule said of each.
type judgedSteps struct {
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
	move.Findings = append(c.logFindings(&move, judged.steps), withoutEchoes(merged.findings(), move.Steps)...)
	c.mark(move.Findings)
	for _, path := range lacking(move.Steps) {
		move.First = append(move.First, engine.MissingAt(path))
	}
	move.Passed = merged.passes()
	move.Tightest, move.Heavier = tightest(move.Steps, c.policy("bend_asked").Value)
	c.markSupports(&move)
	return move, nil
}

// steps works out and judges the steps of a move, side by side.
func (c *checker) steps(ctx context.Context, item *model.Item) (*judgedSteps, error) {
	move := c.facts.Vehicle.Move(item)
	j := &judgedSteps{steps: make([]*step, len(move.Steps)), results: make([][]engine.Result, len(move.Steps))}
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
				today := c.first.done[item.ID]
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
	if c.done != nil {
		c.mu.Lock()
		c.done[item.ID] = j
		c.mu.Unlock()
	}
	return j, errors.Join(errs...)
}

// unsolved reports whether the loads of a step could have been computed and were
// not: the vehicle does not stand, or a fact that they need is missing. Of a
// checklist no loads are expected.
func (c *checker) unsolved(s *verdict.Step) bool {
	checklist, _ := c.build.Vehicle.Bool("checklist")
	return !checklist && (s.Mass == nil || s.Solved == verdict.NoEquilibrium)
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
