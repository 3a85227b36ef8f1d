package check_test

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/schema"
	"setdown/rules/engine"
	"setdown/rules/verdict"
)

var (
	states    = flag.Int("states", 60, "how many random states TestNeverFreed judges")
	firstSeed = flag.Uint64("seed", 2026, "seed of its random states")
)

// TestNeverFreed puts two and three faults at random into the demos, one after the
// other. A state that is worse, or of which less is known, must never turn NO-GO
// into GO; sizes, places, directions and materials are forgotten like findings. To judge
// many, a move is cut to one of its steps, drawn at random. With
// -states it judges as many as asked for, from another -seed another lot.
func TestNeverFreed(t *testing.T) {
	e := rules(t)
	var cases []*start
	for _, name := range append(slices.Clone(mended), "special-asfound", "liveaxle-asfound", "buggy-asfound", "checklist-asfound", generated) {
		b := load(t, name)
		list := append(monotone(faults(b)), forgetful(b)...)
		for _, m := range b.Of("moves") {
			for i := range stepsOf(b, m.ID) {
				c := b.Clone()
				c.Item(m.ID).Set("steps", schema.Value{V: []schema.Value{{V: stepsOf(c, m.ID)[i]}}})
				cases = append(cases, &start{name: name, move: m.ID, step: i, build: c, faults: list})
			}
		}
	}
	var mu sync.Mutex
	var wait sync.WaitGroup
	var sum tally
	seed := uint64(0)
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for {
				mu.Lock()
				if sum.states >= *states {
					mu.Unlock()
					return
				}
				seed++
				r := rand.New(rand.NewPCG(*firstSeed, seed))
				mu.Unlock()
				one := cases[r.IntN(len(cases))].chain(e, r)
				mu.Lock()
				sum.add(one)
				mu.Unlock()
			}
		})
	}
	wait.Wait()
	t.Logf("%d states of two or three faults in %d steps judged: %d NO-GO, %d came from NO-GO by a fault more, %d of these were freed",
		sum.states, len(cases), sum.held, sum.fromHeld, len(sum.freed))
	slices.Sort(sum.freed)
	require.Empty(t, sum.freed)
	require.Positive(t, sum.fromHeld, "no state came from NO-GO: nothing was shown")
}

// start is a state to put faults into: a demo with one move of one step.
type start struct {
	name, move string
	step       int
	build      *model.Build
	faults     []fault
	once       sync.Once
	decision   verdict.Decision // without a fault
}

// tally counts what came out.
type tally struct {
	states, held, fromHeld int
	freed                  []string
}

func (s *tally) add(o tally) {
	s.states, s.held, s.fromHeld, s.freed = s.states+o.states, s.held+o.held, s.fromHeld+o.fromHeld, append(s.freed, o.freed...)
}

// monotone are the faults that make no state better, whatever else is wrong: a part
// taken off takes its weight along, and is no fault of what carries the rest.
func monotone(all []fault) []fault {
	return slices.DeleteFunc(all, func(f fault) bool { return f.kind == "parts" })
}

// chain adds three faults to a state, no two of one fact, and judges it after each.
func (s *start) chain(e *engine.Engine, r *rand.Rand) tally {
	var sum tally
	s.once.Do(func() { s.decision = s.judge(e, s.build, &sum) })
	b, before := s.build.Clone(), s.decision
	var done []fault
	for len(done) < 3 {
		f := s.faults[r.IntN(len(s.faults))]
		if slices.ContainsFunc(done, func(d fault) bool {
			return d.item == f.item && (d.fact == f.fact || d.fact == "found" || f.fact == "found")
		}) {
			continue
		}
		f.spoil(b)
		done = append(done, f)
		now := s.judge(e, b, &sum)
		if len(done) > 1 {
			sum.states++
			if now == verdict.NoGo {
				sum.held++
			}
		}
		if before == verdict.NoGo {
			sum.fromHeld++
			if now != verdict.NoGo {
				sum.freed = append(sum.freed, fmt.Sprintf("%s, %s, step %d: %v", s.name, s.move, s.step, done))
			}
		}
		before = now
	}
	return sum
}

func (s *start) judge(e *engine.Engine, b *model.Build, sum *tally) verdict.Decision {
	report, err := run(e, b, s.move)
	if err != nil {
		sum.freed = append(sum.freed, err.Error())
		return verdict.NoGo
	}
	return report.Moves[0].Decision
}
