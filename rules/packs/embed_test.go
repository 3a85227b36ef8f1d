package packs

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/rules/engine"
	"setdown/rules/pack"
	"setdown/rules/packtest"
)

func load(t *testing.T) (*engine.Engine, []*pack.Pack) {
	t.Helper()
	all, err := pack.LoadFS(FS, ".")
	require.NoError(t, err)
	e, err := engine.New(all)
	require.NoError(t, err)
	return e, all
}

// TestPacks runs the examples of every built-in rule. With -v it is what the
// writer of a rule looks at: every line names the file and the line.
func TestPacks(t *testing.T) {
	e, all := load(t)
	for _, f := range packtest.Run(e, all) {
		t.Errorf("\n%s", f)
	}
}

// TestReadInParts holds what a check reads of the rules to their whole files. A rule
// that cannot be read in parts has its words at once, and a check is slower for it.
func TestReadInParts(t *testing.T) {
	_, whole := load(t)
	parts, err := pack.LoadRules(FS, ".")
	require.NoError(t, err)
	for i, p := range parts {
		for j, r := range p.Rules {
			words, errs := r.Words()
			require.Empty(t, errs)
			want, _ := whole[i].Rules[j].Words()
			require.Equal(t, want, words, r.ID)
			require.Equal(t, whole[i].Rules[j].Must, r.Must, r.ID)
			require.Equal(t, whole[i].Rules[j].When, r.When, r.ID)
			require.Empty(t, r.Examples, r.ID)
			require.NotContains(t, r.Spans, "say", "%s: its file does not begin with its id, or a line in it begins with no key", r.ID)
		}
	}
}

// TestWhatLoadsHangOn names the rules that say whether the vehicle stays as it is:
// reports put them first and count nothing that hangs on them.
func TestWhatLoadsHangOn(t *testing.T) {
	_, all := load(t)
	var roots []string
	for _, p := range all {
		for _, r := range p.Rules {
			if r.Root {
				roots = append(roots, r.ID)
				assert.False(t, r.Waivable, r.ID)
				assert.Equal(t, "stop", r.Else, r.ID)
			}
		}
	}
	assert.ElementsMatch(t, []string{"equilibrium", "stands-inside", "hoist-balance"}, roots)
}
