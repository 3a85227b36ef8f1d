package check_test

import (
	"flag"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/schema"
	"setdown/rules/facts"
	"setdown/rules/verdict"
)

// Without one of these the tests take a sample.
var (
	long  = flag.Bool("long", false, "run every fault of the sweep and every varied state")
	kinds = flag.Bool("kinds", false, "run one fault of every kind in every move of every file")
)

var mended = []string{"special-mended", "liveaxle-mended", "checklist-mended", "buggy-mended"}

// TestSweep injects every single fault into every move of the mended demos that is
// GO. Each must end in NO-GO, unless nothing in that move rests on the item, by the
// facts of the very step, or unless the fault is in the reviewed list of those that
// never hold by themselves. It logs how many were tried and how many were missed. Without
// -long or -kinds it takes a sample that moves with the seed.
func TestSweep(t *testing.T) {
	n := &net{engine: rules(t)}
	used := map[string]bool{}
	states := mended
	if *long || *kinds {
		states = append(slices.Clone(mended), generated)
	}
	ran := 0 // -run may pick one of them
	for _, name := range states {
		t.Run(name, func(t *testing.T) { n.sweep(t, name, used); ran++ })
	}
	if (*long || *kinds) && ran == len(states) {
		var idle []string
		for _, group := range lenient {
			for _, pattern := range group.keys {
				if !used[pattern] {
					idle = append(idle, pattern)
				}
			}
		}
		assert.Empty(t, idle, "these hold after all, or no file has them: take them off the list")
	}
}

func (n *net) sweep(t *testing.T, name string, used map[string]bool) {
	r := rand.New(rand.NewPCG(*firstSeed, 1))
	e := n.engine
	b := load(t, name)
	before := judge(t, e, b)
	all := faults(b)
	require.NotEmpty(t, all)
	tried, held, idle, reviewed := 0, 0, 0, 0
	missed := map[string][]string{}
	for i := range before.Moves {
		m := &before.Moves[i]
		if m.Decision != verdict.Go {
			continue
		}
		seen := map[string]bool{}
		some := all
		if !*long && !*kinds {
			some = sample(r, all, 6)
		}
		for _, f := range some {
			if f.kind == "moves" && f.item != m.ID {
				continue // it is about another move
			}
			if *kinds && seen[f.key()] {
				continue
			}
			seen[f.key()] = true
			c := b.Clone()
			f.spoil(c)
			tried++
			by := n.stops(c, m.ID)
			switch pattern := leniency(f); {
			case by.rules != nil || by.last:
				held++
			case pattern != "":
				reviewed++
				used[pattern] = true
			case unloaded(setsOf(c, e.Policy(), m.ID), f):
				idle++
			case judge(t, e, c, m.ID).Moves[0].Decision == verdict.NoGo:
				held++ // by no rule: it is not solved, or the log is at odds
			default:
				missed[f.key()] = append(missed[f.key()], f.item+" in "+m.ID)
			}
		}
	}
	t.Logf("%s: %d faults tried in moves that are GO: %d hold it, %d are of items that carry nothing in it, %d are in the reviewed list, %d kinds missed",
		name, tried, held, idle, reviewed, len(missed))
	for _, key := range slices.Sorted(maps.Keys(missed)) {
		t.Errorf("missed: %s: %d times, first %s", key, len(missed[key]), missed[key][0])
	}
}

// unloaded reports whether the facts of every step of a move say that nothing
// rests on the item of a fault.
func unloaded(steps []*facts.Set, f fault) bool {
	for _, s := range steps {
		for _, o := range s.Items[f.kind] {
			if id, _ := o.Get("id"); id != f.item {
				continue
			}
			names := map[string]bool{}
			for _, field := range o.Fields() {
				names[field.Name] = true
			}
			switch {
			case names["used"]:
				if v, unknown := o.Get("used"); unknown != nil || v != false {
					return false
				}
			case names["carries"]:
				if v, unknown := o.Get("carries"); unknown != nil || v != "nothing" {
					return false
				}
			default:
				return false
			}
		}
	}
	return f.kind != "vehicle" && f.kind != "site" && f.kind != "moves"
}

// TestSupportsTaken takes every support out of every step of a move that is GO. Where
// the let-go analysis said that the vehicle falls without it, the move must be held.
func TestSupportsTaken(t *testing.T) {
	e := rules(t)
	tried, falls := 0, 0
	for _, name := range mended {
		b := load(t, name)
		before := judge(t, e, b)
		for _, m := range before.Moves {
			if m.Decision != verdict.Go {
				continue
			}
			for i, s := range m.Steps {
				for k, support := range s.Supports {
					if !*long && (i+k)%5 != 0 {
						continue
					}
					c := b.Clone()
					takeSupport(c, m.ID, i, k)
					after := judge(t, e, c, m.ID).Moves[0]
					tried++
					if support.LetsGo == "falls" {
						falls++
						assert.Equal(t, verdict.NoGo, after.Decision, "%s, %s, %s without %s", name, m.ID, s.Name, support.ID)
					}
				}
			}
		}
	}
	t.Logf("%d supports taken away, without %d of them the vehicle falls", tried, falls)
}

// TestHeavier raises the mass of every part, step by step. The move must be held as
// soon as an item bears more than it may or the vehicle may tip, and at a thousand
// times its mass every part that is on the vehicle must hold the move.
func TestHeavier(t *testing.T) {
	e := rules(t)
	tried := 0
	for _, name := range mended {
		b := load(t, name)
		for _, m := range judge(t, e, b).Moves {
			if m.Decision != verdict.Go {
				continue
			}
			for i, part := range b.Of("parts") {
				if !*long && i%20 != 0 {
					continue
				}
				for _, factor := range []float64{1.5, 3, 10, 1000} {
					c := b.Clone()
					if !scale(c.Item(part.ID).Record, "mass", factor) {
						break
					}
					after := judge(t, e, c, m.ID).Moves[0]
					tried++
					if why := overloaded(&after); why != "" || factor == 1000 && onBoard(&m, b, part.ID) {
						assert.Equal(t, verdict.NoGo, after.Decision, "%s, %s: %s × %g, %s", name, m.ID, part.ID, factor, why)
					}
					if after.Decision == verdict.NoGo {
						break
					}
				}
			}
		}
	}
	t.Logf("%d heavier states", tried)
}

// overloaded names an item whose load exceeds what it may bear, or a step that may tip.
func overloaded(m *verdict.Move) string {
	for _, s := range m.Steps {
		for _, st := range s.Strengths {
			if st.NotComputed == "" && st.Utilisation > 1+1e-9 {
				return fmt.Sprintf("%s: %s at %.2f", st.Item, st.Check, st.Utilisation)
			}
		}
		if s.Stability != nil && s.Stability.Margin.Value < 0 {
			return s.Name + " may tip"
		}
		if s.Solved == verdict.NoEquilibrium {
			return s.Name + " does not stand"
		}
	}
	return ""
}

// onBoard reports whether a part is on the vehicle in a step of a move.
func onBoard(m *verdict.Move, b *model.Build, part string) bool {
	if fitted, known := b.Item(part).Bool("found.fitted"); known && !fitted {
		return false
	}
	return slices.ContainsFunc(stepsOf(b, m.ID), func(r *schema.Record) bool { return !slices.Contains(r.Texts("off"), part) })
}

// TestDerated lowers the plate of every support to just below and just above what it
// bears. Below it must hold; above it must not be held for its plate.
func TestDerated(t *testing.T) {
	e := rules(t)
	tried := 0
	for _, name := range mended {
		b := load(t, name)
		for _, m := range judge(t, e, b).Moves {
			if m.Decision != verdict.Go {
				continue
			}
			worst := map[string]float64{}
			for _, s := range m.Steps {
				for _, p := range s.Supports {
					if p.Worst != nil && p.Rated != nil {
						worst[p.ID] = math.Max(worst[p.ID], p.Worst.Value/p.Rated.Value)
					}
				}
			}
			for i, id := range slices.Sorted(maps.Keys(worst)) {
				if !*long && i%5 != 0 {
					continue
				}
				for _, share := range []float64{0.9, 1.1} {
					c := b.Clone()
					if !scale(c.Item(id).Record, "rated", worst[id]*share) {
						continue
					}
					tried++
					after := judge(t, e, c, m.ID)
					if share < 1 {
						assert.Equal(t, verdict.NoGo, after.Moves[0].Decision, "%s, %s: %s", name, m.ID, id)
					}
				}
			}
		}
	}
	t.Logf("%d derated supports", tried)
}
