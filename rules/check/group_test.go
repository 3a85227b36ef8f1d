package check_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
)

// TestMembersOfAGroup: what is found wrong with some of a group says with which, in the finding
// and in its work; with all of it there is nothing to single out.
func TestMembersOfAGroup(t *testing.T) {
	const short = "../../testdata/short/checklist-mended"
	build, err := os.ReadFile(short + ".yaml")
	require.NoError(t, err)
	log, err := os.ReadFile(short + ".looks.yaml")
	require.NoError(t, err)
	for of, want := range map[string]string{
		`"front-pivot-bolts{3}"`:   " (number 3 of 4)",
		`"front-pivot-bolts{1,3}"`: " (numbers 1, 3 of 4)",
		`front-pivot-bolts`:        "",
	} {
		path := filepath.Join(t.TempDir(), "b.yaml")
		require.NoError(t, os.WriteFile(path, build, 0o600))
		line := "\n- {day: 2026-11-25, by: TN, of: [" + of + "], found: {tightness: loose, marked: no}}\n"
		require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(path), "b.looks.yaml"), append([]byte(log), line...), 0o600))
		b, err := model.Load(path)
		require.NoError(t, err)
		said := false
		for _, f := range judge(t, rules(t), b).Moves[0].Stopping() {
			if f.Rule == "fastener-tight" && f.Item == "front-pivot-bolts" {
				said = true
				assert.Equal(t, "front-pivot-bolts: loose; 45 N·m is needed"+want, f.Say)
				assert.Equal(t, "torque it to 45 N·m with a torque wrench and mark it"+want, f.Work.Do)
			}
		}
		assert.True(t, said, of)
	}
}
