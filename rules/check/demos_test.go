package check_test

import (
	"context"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/rules/check"
	"setdown/rules/engine"
	"setdown/rules/pack"
	"setdown/rules/packs"
	"setdown/rules/vehicle"
	"setdown/rules/verdict"
)

const builds = "../../testdata/builds"

// TestMain lets garbage lie four times as long as a program does: the nets judge thousands of states
// one after the other, and a sixth of their time went into collecting them. What lies there and what
// statics keeps (vehicle.Cache) stay below a bound together, above which it is collected more often.
func TestMain(m *testing.M) {
	debug.SetGCPercent(400)
	debug.SetMemoryLimit(1 << 30)
	os.Exit(m.Run())
}

var today = quantity.Date{Year: 2026, Month: 11, Day: 25}

func rules(t testing.TB) *engine.Engine {
	t.Helper()
	e, err := builtIn()
	require.NoError(t, err)
	return e
}

// builtIn are the built-in rules. Compiling them takes longer than judging by them: all tests share
// one engine.
var builtIn = sync.OnceValues(func() (*engine.Engine, error) {
	all, err := pack.LoadFS(packs.FS, ".")
	if err != nil {
		return nil, err
	}
	return engine.New(all)
})

// generated is the name of the state that is made from the table.
const generated = "everything"

func load(t testing.TB, name string) *model.Build {
	t.Helper()
	if name == generated {
		b, err := model.Read(name, []byte(everything(t).String()), model.Companions{})
		require.NoError(t, err)
		return b
	}
	b, err := model.Load(filepath.Join(builds, name+".yaml"))
	require.NoError(t, err)
	return b
}

// checklist is the demo of the short kind in the second format.
const checklist = "../short/checklist-mended"

// edited reads a demo whose file somebody wrote otherwise, with more looks at the end of its log, and
// what is written beside it.
func edited(t testing.TB, name string, edit func(string) string, looks string, written ...string) (*model.Build, error) {
	t.Helper()
	path := filepath.Join(builds, name)
	text, err := os.ReadFile(path + ".yaml")
	require.NoError(t, err)
	with := model.Companions{Table: func(name string) ([]byte, error) { return os.ReadFile(filepath.Join(filepath.Dir(path), name)) }}
	if log, err := os.ReadFile(path + ".looks.yaml"); err == nil {
		with.Looks = append(append(log, '\n'), looks...)
	}
	return model.Read("b.yaml", []byte(edit(string(text))), with, assumed(t, written)...)
}

// tiedUp has the short checklist hang by restraints, all of them used in its move.
func tiedUp(restraints, used string) func(string) string {
	return strings.NewReplacer("\nmoves:\n", "\nrestraints: {"+restraints+"}\nmoves:\n", "{kind: lower,", "{kind: lower, restraints: ["+used+"],").Replace
}

func judge(t testing.TB, e *engine.Engine, b *model.Build, moves ...string) *verdict.Report {
	t.Helper()
	r, err := run(e, b, moves...)
	require.NoError(t, err)
	return r
}

// run judges with what statics worked out for other states: most faults change nothing of it, and
// TestSolvedIsJudgedAnew says that it changes no verdict.
func run(e *engine.Engine, b *model.Build, moves ...string) (*verdict.Report, error) {
	return check.Run(context.Background(), b, e, check.Options{Today: today, Version: "test", Moves: moves, Cache: cache})
}

var cache = new(vehicle.Cache)

// decisions are those on the moves of demos as they are, by demo and move.
var decisions = map[string]verdict.Decision{}

// requireGo demands that a move of a demo is GO as it is. Each is judged once: a hundred faults are
// written into a dozen of them.
func requireGo(t *testing.T, name, move string) {
	t.Helper()
	key := name + " " + move
	if decisions[key] == "" {
		decisions[key] = judge(t, rules(t), load(t, name), move).Moves[0].Decision
	}
	require.Equal(t, verdict.Go, decisions[key], "%s as it is", key)
}

// expectation is what a fair judge says to a build file.
type expectation struct {
	Today string
	Moves map[string]struct {
		Verdict string
		Held    map[string]string
		Free    []string
	}
	Numbers []struct {
		Move, Step, Item, Fact, Value, Within string
		AtLeast                               string `yaml:"at_least"`
		AtMost                                string `yaml:"at_most"`
	}
}

// TestDemos compares the verdict on every demo with what stands beside it.
func TestDemos(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(builds, "*.expect.yaml"))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 6)
	e := rules(t)
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".expect.yaml")
		t.Run(name, func(t *testing.T) {
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			var want expectation
			require.NoError(t, yaml.Unmarshal(text, &want))
			require.Equal(t, today.String(), want.Today)
			r := judge(t, e, load(t, name))
			require.Len(t, r.Moves, len(want.Moves))
			for i := range r.Moves {
				m := &r.Moves[i]
				w, ok := want.Moves[m.ID]
				require.True(t, ok, "%s is not expected", m.ID)
				held := map[string]string{}
				for _, f := range m.Findings {
					if f.Blocks() {
						held[f.Item] = f.Rule
					}
				}
				require.Equal(t, w.Verdict, string(m.Decision), "%s, held by %v", m.ID, held)
				for id, reason := range w.Held {
					require.Contains(t, held, id, "%s: %s", m.ID, reason)
				}
				for _, id := range w.Free {
					require.NotContains(t, held, id, m.ID)
				}
			}
			for _, n := range want.Numbers {
				if n.Fact == "third" || n.Fact == "worst_castor" {
					continue // see TestCastors
				}
				checkNumber(t, r, n.Move, n.Step, n.Item, n.Fact, n.Value, n.Within, n.AtLeast, n.AtMost)
			}
		})
	}
}

// checkNumber compares one figure of a report with what is expected.
func checkNumber(t *testing.T, r *verdict.Report, move, step, item, fact, value, within, atLeast, atMost string) {
	t.Helper()
	got, unit, ok := figure(r, move, step, item, fact)
	require.True(t, ok, "%s, %s: no %s of %s", move, step, fact, item)
	read := func(s string) float64 {
		q, err := quantity.Parse(s, unit)
		require.NoError(t, err)
		return q.Value
	}
	if value != "" {
		require.InDelta(t, read(value), got, read(within), "%s, %s: %s of %s", move, step, fact, item)
	}
	if atLeast != "" {
		require.GreaterOrEqual(t, got, read(atLeast), "%s, %s: %s of %s", move, step, fact, item)
	}
	if atMost != "" {
		require.LessOrEqual(t, got, read(atMost), "%s, %s: %s of %s", move, step, fact, item)
	}
}

func figure(r *verdict.Report, move, step, item, fact string) (float64, quantity.Dimension, bool) {
	for _, m := range r.Moves {
		for _, s := range m.Steps {
			if m.ID != move || s.Name != step {
				continue
			}
			switch fact {
			case "reaction":
				for _, p := range s.Supports {
					if p.ID == item && p.Even != nil {
						return p.Even.Value, quantity.Mass, true
					}
				}
			case "compression", "tension":
				for _, l := range s.Loads {
					if l.Item == item && fact == "compression" {
						return l.Compression.Value, quantity.Force, true
					} else if l.Item == item {
						return l.Tension.Value, quantity.Force, true
					}
				}
			case "buckling_utilisation", "rod_end_utilisation":
				check := map[string]string{"buckling_utilisation": "bar in compression", "rod_end_utilisation": "rod ends against their rating"}[fact]
				for _, st := range s.Strengths {
					if st.Item == item && st.Check == check {
						return st.Utilisation, quantity.Number, true
					}
				}
			}
		}
	}
	return 0, 0, false
}

// TestCastors compares the load on castors with plain arithmetic: the trade's
// third of the whole (common practice), and the worst set of three: with one castor of the
// lighter end off the floor, one of the heavier end carries a whole side, which is half and
// what the push of 10 % at the height of the centre of gravity, 465 and 458 mm, and its
// ± to the side, 12 and 17 mm, add over a track of 760 mm.
func TestCastors(t *testing.T) {
	b := load(t, "buggy-asfound")
	for move, want := range map[string][2]float64{"dolly-engine-in": {187, (0.5 + (46.5+12)/760) * 561}, "dolly-engine-out": {123, (0.5 + (45.8+17)/760) * 369}} {
		dolly := setsOf(b, rules(t).Policy(), move)[0].Items["dollies"][0]
		for i, fact := range []string{"third", "worst_castor"} {
			q, unknown := dolly.Quantity(fact)
			require.Nil(t, unknown)
			require.InDelta(t, want[i], q.Value/9.80665, 16, "%s of %s", fact, move)
		}
	}
}
