package ways_test

import (
	"os"
	"path/filepath"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/rules/check"
	"setdown/rules/engine"
	"setdown/rules/pack"
	"setdown/rules/packs"
	"setdown/rules/verdict"
	"setdown/rules/ways"
)

var options = check.Options{Today: quantity.Date{Year: 2026, Month: 11, Day: 25}, Version: "test"}

func rules(t testing.TB) *engine.Engine {
	t.Helper()
	e, err := builtIn()
	require.NoError(t, err)
	return e
}

// builtIn are the built-in rules, compiled once for all tests.
var builtIn = sync.OnceValues(func() (*engine.Engine, error) {
	all, err := pack.LoadRules(packs.FS, ".")
	if err != nil {
		return nil, err
	}
	return engine.New(all)
})

// demo is a build file with some facts laid over it.
type demo struct {
	*model.Build
	assumed []model.Assumption
}

func (d demo) with(done []model.Assumption) (*model.Build, error) {
	return model.Load(d.File, append(d.assumed, done...)...)
}

func load(t testing.TB, name string, assume ...string) demo {
	t.Helper()
	var list []model.Assumption
	for _, text := range assume {
		a, err := model.ParseAssumption(text)
		require.NoError(t, err)
		list = append(list, a)
	}
	b, err := model.Load(filepath.Join("../../testdata/builds", name+".yaml"), list...)
	require.NoError(t, err)
	return demo{b, list}
}

// find checks one move and looks for another way; the state that it looks at stays as it is.
func find(t testing.TB, e *engine.Engine, d demo, move string) *verdict.Move {
	t.Helper()
	before := check.StateHash(d.Build)
	o := options
	o.Moves = []string{move}
	r, err := check.Run(t.Context(), d.Build, e, o)
	require.NoError(t, err)
	require.NoError(t, ways.Find(t.Context(), d.Build, d.with, e, o, r))
	require.Equal(t, before, check.StateHash(d.Build))
	return &r.Moves[0]
}

func straps(with ...string) []verdict.Strap {
	var list []verdict.Strap
	for i, place := range []string{"front-left", "front-right", "rear-right", "rear-left"}[:len(with)] {
		list = append(list, verdict.Strap{Up: place, With: with[i]})
	}
	return list
}

func TestFind(t *testing.T) {
	e := rules(t)
	four := straps("fl-tie", "fr-tie", "rr-tie", "rl-tie")
	tests := map[string]struct {
		demo, move string
		assume     []string
		want       *verdict.Way // but for its counts
		facts      bool         // some are left
	}{
		"the corners tied up, as another move of the file has it": {
			demo: "special-asfound", move: "off-table-hanging",
			want: &verdict.Way{Move: "off-table-hanging", As: "off-table-tied", Straps: four, Decision: verdict.Go},
		},
		"one corner tied up, where one stops it": {
			demo: "special-mended", move: "off-table-hanging", assume: []string{"fr-lower-nut.found.fitted=no"},
			want: &verdict.Way{Move: "off-table-hanging", Straps: []verdict.Strap{{Up: "front-right", With: "fr-tie"}}, Decision: verdict.Go},
		},
		"another move, where the way of this one is no move any more": {
			demo: "special-asfound", move: "onto-hub-stands",
			want: &verdict.Way{Move: "off-table-tied", As: "off-table-tied", Decision: verdict.Go},
		},
		"stands under the frame, straight off the table": {
			demo: "special-mended", move: "onto-hub-stands",
			assume: []string{"fr-lower-nut.found.fitted=no", "off-table-tied.kind=lift", "off-table-hanging.kind=lift", "onto-wheels.kind=lift",
				"onto-hub-stands.steps=[{name: on the table, supports: [fl-bearer, fr-bearer, rl-bearer, rr-bearer], restraints: [fr-tie], people: 2}, {name: rear, supports: [fl-bearer, fr-bearer, jack-rear], restraints: [fr-tie], people: 2, stage: 20 mm, pitch: 0 deg}, {name: rear down, supports: [fl-bearer, fr-bearer, rl-stand, rr-stand], restraints: [fr-tie], people: 2, stage: 20 mm, pitch: 0 deg}, {name: front, supports: [jack-front, rl-stand, rr-stand], restraints: [fr-tie], people: 2, stage: 20 mm, pitch: 0 deg}, {name: down, supports: [fl-hub-stand, fr-hub-stand, rl-stand, rr-stand], restraints: [fr-tie], people: 2, stage: 20 mm, pitch: 0 deg}]"},
			want: &verdict.Way{Move: "onto-hub-stands", Stands: []string{"fl-stand", "fr-stand"}, Decision: verdict.Go},
		},
		"wheels are no stands: nothing else sets it on them": {demo: "special-asfound", move: "onto-wheels"},
		"a move that is GO waits for nothing":                {demo: "special-mended", move: "onto-hub-stands"},
		"the engine off, where its mounts stop it": {
			demo: "special-mended", move: "off-table-tied", assume: []string{"engine-mount-bolts.found.tightness=loose", "off-table-tied.bar=450 mm"},
			want: &verdict.Way{Move: "off-table-tied", Off: []string{"engine"}, Decision: verdict.Go, Jobs: 1},
		},
		"a checklist has no parts to tie up": {demo: "checklist-asfound", move: "onto-stands"},
	}
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			m := find(t, e, load(t, test.demo, test.assume...), test.move)
			if test.want == nil {
				require.Nil(t, m.Another)
				return
			}
			require.Equal(t, verdict.NoGo, m.Decision)
			require.NotNil(t, m.Another)
			got := *m.Another
			assert.Equal(t, test.facts, got.Facts > 0)
			got.Facts, got.Cautions, got.Title = 0, 0, ""
			assert.Equal(t, *test.want, got)
		})
	}
}

// TestNewStraps: what the file has no strap for is tied up with one of which nothing is
// known, so the way is no GO and asks for it.
func TestNewStraps(t *testing.T) {
	e := rules(t)
	b := load(t, "special-asfound", "fl-tie.ties=[seat]", "fr-tie.ties=[seat]", "rl-tie.ties=[seat]", "rr-tie.ties=[seat]", "off-table-tied.kind=lift")
	m := find(t, e, b, "off-table-hanging")
	require.NotNil(t, m.Another)
	assert.Equal(t, straps("", "", "", ""), m.Another.Straps)
	assert.Equal(t, verdict.NoGo, m.Another.Decision)
	assert.Equal(t, 16, m.Another.Facts, "of each: on and tight, sound, its rating, and the day")
	assert.Zero(t, m.Another.Jobs)
}

// TestSameJudgement: what is said of a way that is a move of the file is what a check of
// that move says.
func TestSameJudgement(t *testing.T) {
	e := rules(t)
	compared := 0
	for _, name := range []string{"special-asfound", "buggy-asfound"} {
		b := load(t, name)
		for _, item := range b.Of("moves") {
			w := find(t, e, b, item.ID).Another
			if w == nil || w.As == "" {
				continue
			}
			as := find(t, e, b, w.As)
			assert.Equal(t, as.Decision, w.Decision, "%s as %s", item.ID, w.As)
			assert.Equal(t, as.FactsMissing(), w.Facts, "%s as %s", item.ID, w.As)
			rules := map[string]bool{}
			for _, f := range as.Of(verdict.Caution) {
				rules[f.Rule] = true
			}
			assert.Len(t, rules, w.Cautions, "%s as %s", item.ID, w.As)
			compared++
		}
	}
	assert.GreaterOrEqual(t, compared, 4)
}

// written writes a way of straps that the file has into a copy of the file, as a builder would:
// into each step of the move.
func written(t *testing.T, file string, w *verdict.Way) string {
	t.Helper()
	require.Empty(t, w.Stands, "write these as well")
	require.Empty(t, w.Off, "write these as well")
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	var doc yaml.Node
	require.NoError(t, yaml.Unmarshal(text, &doc))
	at := func(n *yaml.Node, key string) *yaml.Node {
		for i := 0; i+1 < len(n.Content); i += 2 {
			if n.Content[i].Value == key {
				return n.Content[i+1]
			}
		}
		return nil
	}
	for _, step := range at(at(at(doc.Content[0], "moves"), w.Move), "steps").Content {
		tied := at(step, "restraints")
		if tied == nil {
			tied = &yaml.Node{Kind: yaml.SequenceNode, Style: yaml.FlowStyle}
			step.Content = append(step.Content, &yaml.Node{Kind: yaml.ScalarNode, Value: "restraints"}, tied)
		}
		for _, strap := range w.Straps {
			tied.Content = append(tied.Content, &yaml.Node{Kind: yaml.ScalarNode, Value: strap.With})
		}
	}
	text, err = yaml.Marshal(&doc)
	require.NoError(t, err)
	copied := filepath.Join(t.TempDir(), "car.yaml")
	require.NoError(t, os.WriteFile(copied, text, 0o644))
	return copied
}

// TestTheWayGoes: a way that is said to be GO is GO when it is written into the file: for every
// stopped move of every demo, and for one fault at one corner.
func TestTheWayGoes(t *testing.T) {
	e := rules(t)
	goes := map[string]int{} // by how
	for _, demo := range []string{"special-asfound", "special-mended", "buggy-asfound", "buggy-mended", "liveaxle-asfound", "liveaxle-mended", "checklist-asfound"} {
		faults := [][]string{nil}
		if demo == "special-mended" {
			faults = [][]string{nil, {"fr-lower-nut.found.fitted=no"}, {"rl-strut-upper-mount.found.made=tack"}, {"fl-upper-rear-bolt.found.fitted=no"}}
		}
		for _, fault := range faults {
			d := load(t, demo, fault...)
			for _, item := range d.Of("moves") {
				w := find(t, e, d, item.ID).Another
				if w == nil || w.Decision != verdict.Go || w.Jobs > 0 {
					continue
				}
				how, file := "move", d.File
				if len(w.Straps) > 0 {
					how, file = "straps", written(t, d.File, w)
				}
				b, err := model.Load(file, d.assumed...)
				require.NoError(t, err)
				o := options
				o.Moves = []string{w.Move}
				r, err := check.Run(t.Context(), b, e, o)
				require.NoError(t, err)
				assert.Equal(t, verdict.Go, r.Moves[0].Decision, "%s with %v: %s by %+v", demo, fault, item.ID, w)
				goes[how]++
			}
		}
	}
	assert.GreaterOrEqual(t, goes["straps"], 3, goes)
	assert.GreaterOrEqual(t, goes["move"], 3, goes)
}

// TestDone: what is said to be left once the work is done is what a check of the file says
// in which it is done; a line that does not say what the file holds then is no answer.
func TestDone(t *testing.T) {
	e := rules(t)
	m := find(t, e, load(t, "special-asfound"), "onto-hub-stands")
	require.Equal(t, &verdict.Way{Move: m.ID, Title: m.Title, Decision: verdict.Go, Cautions: m.Done.Cautions}, m.Done)

	m = find(t, e, load(t, "special-mended", "fr-lower-nut.found.fitted=no"), "onto-hub-stands")
	require.Equal(t, verdict.Go, m.Done.Decision, "the whole card of the nut is in its job")

	m = find(t, e, load(t, "checklist-asfound"), "onto-stands")
	require.Equal(t, verdict.NoGo, m.Done.Decision)
	require.Equal(t, 2, m.Done.Facts, "a pin that nobody looked at is no job")
	require.Zero(t, m.Done.Jobs)

	require.Nil(t, find(t, e, load(t, "buggy-asfound"), "engine-out-near").Done, "where else the stands would be is no fact of the file")
}
