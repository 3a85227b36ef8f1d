package check_test

import (
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"setdown/model"
	"setdown/rules/verdict"
)

// TestAccidents judges reported falls, each written down truthfully, and the same
// vehicles with what the reports found wrong put right.
func TestAccidents(t *testing.T) {
	const folder = "../../testdata/accidents"
	var table map[string]struct {
		Report    string
		StoppedBy map[string][]string `yaml:"stopped_by"`
		Mended    []string
	}
	text, err := os.ReadFile(filepath.Join(folder, "table.yaml"))
	require.NoError(t, err)
	require.NoError(t, yaml.Unmarshal(text, &table))
	files, err := filepath.Glob(filepath.Join(folder, "[0-9]*.yaml"))
	require.NoError(t, err)
	require.Len(t, table, len(files), "every file stands in the table")
	require.Len(t, files, 24)
	e := rules(t)
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".yaml")
		want, listed := table[name]
		require.True(t, listed, name)
		t.Run(name, func(t *testing.T) {
			require.NotEmpty(t, want.Report)
			require.NotEmpty(t, want.StoppedBy)
			b, err := model.Load(file)
			require.NoError(t, err)
			r := judge(t, e, b)
			assert.Equal(t, verdict.NoGo, r.Decision)
			for rule, items := range want.StoppedBy {
				for _, item := range items {
					assert.True(t, slices.ContainsFunc(r.Moves[0].Findings, func(f verdict.Finding) bool {
						return f.Rule == rule && f.Item == item && f.Outcome == verdict.Stop
					}), "%s stops %s", rule, item)
				}
			}
			var mended []model.Assumption
			for _, m := range want.Mended {
				a, err := model.ParseAssumption(m)
				require.NoError(t, err)
				mended = append(mended, a)
			}
			b, err = model.Load(file, mended...)
			require.NoError(t, err)
			r = judge(t, e, b)
			left := map[string]string{}
			for _, f := range r.Moves[0].Findings {
				if f.Blocks() {
					left[f.Rule+" "+f.Item] = f.Say
				}
			}
			assert.Empty(t, slices.Sorted(maps.Keys(left)), "mended it is GO")
			assert.Equal(t, verdict.Go, r.Decision)
		})
	}
}
