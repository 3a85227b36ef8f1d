package check_test

import (
	"bytes"
	"path/filepath"
	"reflect"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/reports/golden"
	"setdown/reports/jsonr"
	"setdown/rules/check"
	"setdown/rules/verdict"
)

// stored are the reports that the tests of the writers start from. They are
// real: the writers may not import the rules, so a fresh check is stored as JSON
// and this test fails when the two part. The writers' own files follow from them: after
// -update here comes the same in ./reports/...
var stored = []struct {
	name, build string
	moves       []string
}{
	{name: "special-asfound-board", build: "special-asfound.yaml"},
	{name: "special-asfound-onto-hub-stands", build: "special-asfound.yaml", moves: []string{"onto-hub-stands"}},
	{name: "special-mended-onto-hub-stands", build: "special-mended.yaml", moves: []string{"onto-hub-stands"}},
	{name: "checklist-asfound", build: "checklist-asfound.yaml"},
}

func TestStoredReports(t *testing.T) {
	e := rules(t)
	folder, err := filepath.Abs("../../testdata/golden")
	require.NoError(t, err)
	t.Chdir(builds) // so that the reports name the build files without a path
	for _, s := range stored {
		t.Run(s.name, func(t *testing.T) {
			b, err := model.Load(s.build)
			require.NoError(t, err)
			j, err := check.Judge(t.Context(), b, e, check.Options{Today: today, Version: "test", Moves: s.moves})
			require.NoError(t, err)
			require.NoError(t, j.Ahead(t.Context()))
			r := j.Report
			r.State = check.StateHash(b)
			shorten(r)
			var fresh bytes.Buffer
			require.NoError(t, jsonr.Write(&fresh, []*verdict.Report{r}))
			golden.Equal(t, filepath.Join(folder, s.name+".report.json"), fresh.String())
		})
	}
}

// shorten leaves out what would make a stored report megabytes long, and what
// changes with every edit of a rule: of a move alone the figures of its last step
// stay, of a board none; the rules are not counted.
func shorten(r *verdict.Report) {
	r.Rules, r.RuleSet.Count = "of the stored report", 100
	for i := range r.Moves {
		m := &r.Moves[i]
		m.Passed = m.Passed[:min(len(m.Passed), 5)]
		m.Tightest = m.Tightest[:min(len(m.Tightest), 8)]
		for j := range m.Steps {
			if len(r.Moves) > 1 || j < len(m.Steps)-1 {
				m.Steps[j].Loads, m.Steps[j].Strengths, m.Steps[j].Outline = nil, nil, nil
			}
			s := &m.Steps[j]
			s.Strengths = s.Strengths[:min(len(s.Strengths), 30)]
		}
	}
	round(reflect.ValueOf(r))
}

// round keeps six significant digits of every number: the last ones differ from
// one processor to another.
func round(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			round(v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			round(v.Field(i))
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			round(v.Index(i))
		}
	case reflect.Float64:
		f, err := strconv.ParseFloat(strconv.FormatFloat(v.Float(), 'g', 6, 64), 64)
		if err == nil {
			v.SetFloat(f)
		}
	}
}
