package packs

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/quantity"
	"setdown/model/schema"
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

// TestNoJobWritesALook: what a job sets is what was done to the thing. Who looked, when, and
// that the list of masses still holds are said by somebody who looks.
func TestNoJobWritesALook(t *testing.T) {
	_, all := load(t)
	sets := 0
	for _, p := range all {
		for _, r := range p.Rules {
			words, _ := r.Words()
			if words.Work == nil {
				continue
			}
			for _, set := range words.Work.Sets {
				kinds, path := r.Each, set.Path
				switch root, rest, _ := strings.Cut(set.Path, "."); root {
				case "vehicle", "site":
					kinds, path = []string{root}, rest
				case "move":
					kinds, path = []string{"moves"}, rest
				}
				for _, kind := range kinds {
					k := schema.KindOf(kind)
					require.NotNil(t, k, "%s: %s", r.ID, set.Path)
					name, rest, nested := strings.Cut(path, ".")
					field := k.Field(name)
					if field != nil && nested {
						field = field.Field(rest)
					}
					if field == nil {
						continue // of another of its kinds
					}
					sets++
					assert.NotEqual(t, schema.OfLook, field.Life, "%s sets %s", r.ID, set.Path)
					assert.NotEqual(t, "masses_current", field.Name, r.ID)
				}
			}
		}
	}
	assert.Greater(t, sets, 100)
}

// marked lists the rules that a mark of their YAML picks out, each after it was looked at.
func marked(all []*pack.Pack, is func(*pack.Rule) bool, look func(*pack.Rule)) (ids []string) {
	for _, p := range all {
		for _, r := range p.Rules {
			if is(r) {
				look(r)
				ids = append(ids, r.ID)
			}
		}
	}
	return ids
}

// TestWhatLoadsHangOn names the rules that say whether the vehicle stays as it is:
// reports put them first and count nothing that hangs on them.
func TestWhatLoadsHangOn(t *testing.T) {
	_, all := load(t)
	roots := marked(all, func(r *pack.Rule) bool { return r.Root }, func(r *pack.Rule) {
		assert.False(t, r.Waivable, r.ID)
		assert.Equal(t, "stop", r.Else, r.ID)
	})
	assert.ElementsMatch(t, []string{"equilibrium", "stands-inside", "hoist-balance", "one-hook"}, roots)
}

// What a card calls good is what policy allows without a word.
func TestGoodIsWhatPolicyAllows(t *testing.T) {
	e, _ := load(t)
	for _, c := range []struct{ kind, field, policy string }{
		{"welds", "undercut", "undercut"},
		{"site", "slope", "slope_caution"},
	} {
		allowed, _ := e.Policy().Quantity(c.policy)
		good := schema.KindOf(c.kind).Found().Field(c.field).Good
		assert.Equal(t, allowed.Value, good[0][0].Values[0].(quantity.Quantity).Value, c.policy)
	}
}

// A sheet names what is known to be bad although nothing rests on it.
func TestKnownBadIsANote(t *testing.T) {
	_, all := load(t)
	bad := marked(all, func(r *pack.Rule) bool { return r.KnownBad }, func(r *pack.Rule) {
		assert.Equal(t, "note", r.Else, r.ID)
	})
	assert.ElementsMatch(t, []string{"passed-over-idle", "ordered-right-idle", "part-altered-idle", "length-differs"}, bad)
}

// TestBoughtByThread: a part that is bought by the size of its thread has the thread in a column
// of its own, a bolt its class as well, and a nut and its pin are two things to buy. What has to be
// of another size than what is there has no thread yet, and what only goes beside it none at all.
func TestBoughtByThread(t *testing.T) {
	_, all := load(t)
	other := []string{"stronger ", "next size", "crush tube", "spacer ", " for a pin", " for stud nut"}
	bolts, sized := 0, 0
	for _, p := range all {
		for _, r := range p.Rules {
			words, errs := r.Words()
			require.Empty(t, errs, r.ID)
			w := words.Work
			if w == nil || w.Buy == nil {
				continue
			}
			part := w.Buy.String()
			assert.NotContains(t, part, " with split pin", r.ID)
			named := func(word string) bool { return strings.Contains(part, word) }
			if !(named("size(") || named("nut(")) || slices.ContainsFunc(other, named) {
				continue
			}
			sized++
			if assert.NotNil(t, w.Thread, "%s: %s", r.ID, part) {
				assert.Contains(t, w.Thread.String(), "{thread(", r.ID)
			}
			if strings.HasPrefix(part, "bolt ") || strings.HasPrefix(part, "longer bolt ") {
				bolts++
				assert.NotNil(t, w.Class, "%s: %s", r.ID, part)
			}
		}
	}
	assert.Greater(t, sized, 20)
	assert.Greater(t, bolts, 6)
}
