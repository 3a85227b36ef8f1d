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

// TestOneOfAGroupTorquedTooFar finds one bolt of a group torqued too far, which the least torque of the
// group does not show: 90 N·m is twice its 45 N·m, and 60 N·m is no more than 1.5 times them and pulls
// an M10 of class 5.8 past its proof load. By hand: 60 / (0.2 · 10 mm) = 30 kN, of 58 mm² · 380 MPa = 22 kN.
func TestOneOfAGroupTorquedTooFar(t *testing.T) {
	const short = "../../testdata/short/checklist-mended"
	build, err := os.ReadFile(short + ".yaml")
	require.NoError(t, err)
	log, err := os.ReadFile(short + ".looks.yaml")
	require.NoError(t, err)
	for found, rule := range map[string]string{
		"torqued: 90 N·m":                      "torqued-too-far",
		"torqued: 60 N·m, class_mark: \"5.8\"": "bolt-past-proof",
		"torqued: 46 N·m":                      "",
	} {
		path := filepath.Join(t.TempDir(), "b.yaml")
		require.NoError(t, os.WriteFile(path, build, 0o600))
		line := "\n- {day: 2026-11-25, by: TN, of: [\"front-pivot-bolts{3}\"], found: {" + found + "}}\n"
		require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(path), "b.looks.yaml"), append([]byte(log), line...), 0o600))
		b, err := model.Load(path)
		require.NoError(t, err)
		var stops []string
		for _, f := range judge(t, rules(t), b).Moves[0].Stopping() {
			if f.Item == "front-pivot-bolts" && f.Rule != "class-below-drawn" {
				stops = append(stops, f.Rule)
			}
		}
		if rule == "" {
			assert.Empty(t, stops, found)
		} else {
			assert.Contains(t, stops, rule, found)
		}
	}
}
