package check_test

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/rules/engine"
	"setdown/rules/verdict"
)

// done reads a demo again with jobs of its punch list done: what each line says
// the file holds then is laid over it, read as what a person would type.
func done(t *testing.T, name string, sets []verdict.Value) *model.Build {
	t.Helper()
	var assumed []model.Assumption
	for _, s := range sets {
		assumed = append(assumed, model.Assumption{Path: s.Name, Value: s.Value})
	}
	b, err := model.Load(filepath.Join(builds, name+".yaml"), assumed...)
	require.NoError(t, err)
	return b
}

func TestDump(t *testing.T) {
	e := rules(t)
	for _, name := range []string{"special-asfound", "liveaxle-asfound", "buggy-asfound", "checklist-asfound"} {
		b := load(t, name)
		for _, m := range b.Of("moves") {
			dump(t, e, name, m.ID)
		}
	}
}

func dump(t *testing.T, e *engine.Engine, name, move string) {
	var sets []verdict.Value
	for round := 1; round <= 3; round++ {
		r := judge(t, e, done(t, name, sets), move)
		t.Logf("##### %s %s round %d: %s", name, move, round, r.Decision)
		if r.Decision == verdict.Go {
			return
		}
		p := r.Punch(move)
		for _, b := range p.Buy {
			t.Logf("  BUY %d × %s %v", b.Quantity, b.Part, b.Items)
		}
		for _, j := range p.Jobs {
			var s []string
			for _, v := range j.Sets {
				s = append(s, strings.TrimPrefix(v.Name, j.Kind+"."+j.Item+".")+"="+v.Value)
				sets = append(sets, v)
			}
			t.Logf("  [%s] %s: %s {%s} %v", j.Phase, j.Item, j.Do, strings.Join(s, "; "), j.Rules)
		}
	}
}
