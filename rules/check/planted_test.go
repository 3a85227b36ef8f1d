package check_test

import (
	"maps"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/rules/engine"
	"setdown/rules/pack"
	"setdown/rules/packs"
)

// lastResort are the rules that would speak of a planted mistake all the same.
var lastResort = []string{"passed-over", "passed-over-idle", "passed-over-setting"}

// rulesWithout are the built-in rules less those.
func rulesWithout(t *testing.T, ids ...string) *engine.Engine {
	t.Helper()
	all, err := pack.LoadFS(packs.FS, ".")
	require.NoError(t, err)
	left := 0
	for _, p := range all {
		p.Rules = slices.DeleteFunc(p.Rules, func(r *pack.Rule) bool { return slices.Contains(ids, r.ID) })
		left += len(p.Rules)
	}
	e, err := engine.New(all)
	require.NoError(t, err)
	require.Equal(t, len(rules(t).RuleIDs())-len(ids), left, "there is no rule %s", ids)
	return e
}

// TestPlantedMistakes plants what the nets are for, one mistake after the other, and has
// the same nets find it. Without the mistake they find nothing in the same place.
func TestPlantedMistakes(t *testing.T) {
	whole := everything(t)

	t.Run("an absence read as 0", func(t *testing.T) {
		slope := func(l line) bool { return l.name() == "site.found.slope" }
		sees := func(d document) document {
			if slices.ContainsFunc(d, slope) {
				return d
			}
			found := d.find("site", "site", "found")
			if found < 0 {
				return d
			}
			return slices.Insert(slices.Clone(d), found+1, line{depth: d[found].depth + 1, text: "slope: 0 mm/m"})
		}
		for planted, mistake := range map[bool]func(document) document{false: nil, true: sees} {
			n := &net{engine: rules(t), sees: mistake}
			n.every(n.proofs(whole, "on-wood"), slope)
			require.Greater(t, n.pairs, 10)
			_, caught := n.caught["site.found.slope frees site.found.slope ×50"]
			assert.Equal(t, planted, caught, "%v", n.caught)
		}
	})

	t.Run("a computed fact that nobody reads", func(t *testing.T) {
		const fact, rule = "wheels.engaged_ratio", "stud-engaged"
		list, _ := unread(readings(t))
		assert.NotContains(t, list, fact)
		list, _ = unread(readings(t, rule))
		assert.Contains(t, list, fact)
	})

	t.Run("a recorded fact that nobody reads", func(t *testing.T) {
		const field, rule = "vehicle.found.loose_load", "loose-load"
		require.Contains(t, readings(t), field)
		others := readings(t)
		for _, l := range whole {
			others[l.name()] = l.name() != field
		}
		for planted, e := range map[bool]*engine.Engine{false: rules(t), true: rulesWithout(t, append(lastResort, rule)...)} {
			list, _ := (&net{engine: e}).noEffect(whole, maps.Clone(others))
			assert.Equal(t, planted, slices.Contains(list, field), "%v", list)
		}
	})

	t.Run("a strength that no rule reads", func(t *testing.T) {
		rating := func(l line) bool { return l.name() == "supports.rated" }
		for planted, e := range map[bool]*engine.Engine{false: rules(t), true: rulesWithout(t, append(lastResort, "support-plate")...)} {
			n := &net{engine: e}
			n.every(n.proofs(whole, "on-the-cart"), rating)
			_, caught := n.caught["supports: support against its plate over 100 % is GO"]
			assert.Equal(t, planted, caught, "%v", n.caught)
		}
	})
}
