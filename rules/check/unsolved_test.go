package check_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/schema"
	"setdown/rules/check"
	"setdown/rules/verdict"
)

// A part that nothing holds leaves every load open. That finding comes first, the
// list does not look complete, and no tack is said to carry nothing.
func TestAPartThatNothingHolds(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(builds, "special-asfound.yaml"))
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "special.yaml")
	loose := strings.Replace(string(text), "parts:\n", "parts:\n  body-x: {mass: 40 kg, cg: [1200, 0, 500], role: body}\n", 1)
	require.NoError(t, os.WriteFile(file, []byte(loose), 0o600))
	b, err := model.Load(file)
	require.NoError(t, err)
	r := judge(t, rules(t), b, "onto-hub-stands")
	m := &r.Moves[0]
	require.Equal(t, verdict.NoGo, m.Decision)
	assert.True(t, m.Unsolved)
	assert.Equal(t, "equilibrium", m.Findings[0].Rule)
	assert.True(t, m.Findings[0].Root())
	p := m.Punch
	assert.True(t, p.Jobs[0].First)
	assert.Contains(t, p.Jobs[0].Do, "body-x")
	assert.Equal(t, []string{m.ID}, p.Unsolved)
	require.NotEmpty(t, r.Tacks)
	for _, tack := range r.Tacks {
		assert.Empty(t, tack.Moves[0].Carries, tack.ID)
	}

	whole, err := model.Load(filepath.Join(builds, "special-asfound.yaml"))
	require.NoError(t, err)
	assert.False(t, judge(t, rules(t), whole, "onto-hub-stands").Moves[0].Unsolved)
	checklist, err := model.Load(filepath.Join(builds, "checklist-asfound.yaml"))
	require.NoError(t, err)
	assert.False(t, judge(t, rules(t), checklist).Moves[0].Unsolved, "of a checklist no loads are expected")
}

// A check that fails is no answer, and says where it failed.
func TestACheckThatFails(t *testing.T) {
	b := load(t, "checklist-mended")
	stepsOf(b, "onto-stands")[0].Set("supports", schema.Value{V: []schema.Value{{V: true}}}) // no id, as no reader makes it
	report, err := check.Run(t.Context(), b, rules(t), check.Options{Today: today})
	assert.Nil(t, report)
	require.ErrorContains(t, err, "check of onto-stands failed: ")
	assert.ErrorContains(t, err, "record.go:")
}

// Who is asked for a word learns which words there are.
func TestMissingWords(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(builds, "special-asfound.yaml"))
	require.NoError(t, err)
	require.Contains(t, string(text), "bears_on: frame node")
	file := filepath.Join(t.TempDir(), "special.yaml")
	require.NoError(t, os.WriteFile(file, []byte(strings.ReplaceAll(string(text), ", bears_on: frame node", "")), 0o600))
	b, err := model.Load(file)
	require.NoError(t, err)
	words := ""
	for _, f := range judge(t, rules(t), b, "onto-hub-stands").Moves[0].Findings {
		for _, m := range f.Missing {
			if strings.HasSuffix(m.Path, ".bears_on") {
				words = m.Words
			}
		}
	}
	assert.Equal(t, "frame node, lifting point, axle, arm, upright, tyre, round tube, sheet, pan, overhang or moving arm", words)
}

// TestEveryStepThatBlocks lacks a fact in one step and breaks the same rule in the next:
// both steps are NO-GO, and the missing fact is named.
func TestEveryStepThatBlocks(t *testing.T) {
	b := load(t, "special-mended")
	stepsOf(b, "onto-hub-stands")[0].Delete("people")
	stepsOf(b, "onto-hub-stands")[1].Set("people", schema.Value{V: int64(9)})
	m := judge(t, rules(t), b, "onto-hub-stands").Moves[0]
	for i, want := range []verdict.Decision{verdict.NoGo, verdict.NoGo, verdict.Go} {
		require.Equal(t, want, m.Steps[i].Decision, m.Steps[i].Name)
	}
	require.Len(t, m.Stopping(), 1)
	require.Equal(t, 1, m.FactsMissing())
}
