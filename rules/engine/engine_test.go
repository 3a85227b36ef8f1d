package engine

import (
	"context"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/rules/verdict"
)

const waivableRule = "id: soft\nwaivable: true\nmust: site.found.clear\nelse: caution\nsay: s\nfix: f\nwhy: w\nbasis: b\n"

func TestRuleSetAndPolicy(t *testing.T) {
	all := loadRules(t, map[string]string{"r": ruleText("must: site.found.clear"), "soft": waivableRule})
	own := writeOwn(t, `pack: shop
policy: {design_factor: "4", side_push: 8 %}
disable:
  - {id: soft, by: A. Person, reason: our floor is swept every day}
rules:
  - {id: mine, each: welds as weld, must: weld.found.inspected, else: stop, say: s, fix: f, why: w, basis: b}
`)
	e, err := New(append(all, own))
	require.NoError(t, err)
	assert.Equal(t, verdict.RuleSet{Count: 3, Packs: []string{"p", "shop"}, Added: []string{"mine"}, Disabled: []string{"soft: our floor is swept every day (A. Person)"}}, e.RuleSet())
	assert.Equal(t, []string{"mine", "r", "soft", "unused"}, e.RuleIDs())
	assert.NotNil(t, e.Rule("soft"), "what is switched off can still be shown")
	assert.Nil(t, e.Rule("none"))
	assert.Len(t, e.Packs(), 2, "the policy file is no pack of rules")
	assert.Contains(t, e.PolicyList(), verdict.Policy{Name: "design_factor", Value: "4", Doc: "load is multiplied by it before it is compared with yield, buckling or a rating", Changed: true})
	assert.Contains(t, e.PolicyList(), verdict.Policy{Name: "tip_margin", Value: "100 mm", Doc: "distance of the centre of gravity from the edge of the supports below which there is a caution"})
	q, unknown := e.Policy().Quantity("side_push")
	require.Nil(t, unknown)
	assert.InDelta(t, 0.08, q.Value, 1e-12)
	for _, r := range e.Judge(context.Background(), setOf(t, e)) {
		assert.NotEqual(t, "soft", r.Rule.ID)
	}
	assert.Equal(t, []string{"Mind your fingers."}, e.Cautions(map[string]bool{"p": true, "shop": true}))
	assert.Empty(t, e.Cautions(nil))
}

func TestMistakesInABuildersPack(t *testing.T) {
	for text, want := range map[string]string{
		"disable: [{id: r, by: me, reason: x}]":                                                  `mine.yaml:1:11: the rule "r" cannot be switched off`,
		"disable: [{id: firm, by: me, reason: x}]":                                               `mine.yaml:1:11: the rule "firm" cannot be switched off (answer what it asks, or waive it for one item`,
		"disable: [{id: sofd, by: me, reason: x}]":                                               `mine.yaml:1:11: no rule is called "sofd" (did you mean "soft"?)`,
		"disable: [{id: soft, by: a, reason: b}, {id: soft, by: a, reason: b}]":                  "switched off twice",
		"policy: {desing_factor: \"3\"}":                                                         `mine.yaml:1:25: no policy value is called "desing_factor" (did you mean "design_factor"?)`,
		"policy: {tip_margin: 10}":                                                               `mine.yaml:1:22: tip_margin: "10" has no unit`,
		"policy: {tip_margin: -10 mm}":                                                           `below zero`,
		"policy: {design_factor: \"0.5\"}":                                                       `mine.yaml:1:25: design_factor may be from 1.5 to 1000, not 0.5: `,
		"policy: {tack_strength: \"50\"}":                                                        `mine.yaml:1:25: tack_strength may be from 0 to 1, not 50: `,
		"policy: {torque_share: \"0\"}":                                                          `mine.yaml:1:24: torque_share may be from 0.5 to 1, not 0: `,
		"policy: {slope_stop: \"9\"}":                                                            `mine.yaml:1:22: slope_stop may be from 1 mm/m to 50 mm/m, not 9: `,
		"policy: {age_limit: 1000 weeks}":                                                        `mine.yaml:1:21: age_limit may be from 1 day to 8 weeks, not 1000 weeks: `,
		"policy: {design_factor: 3 ± 2}":                                                         `mine.yaml:1:25: design_factor is a choice and has no ±`,
		"rules: [{id: r, must: site.found.clear, else: stop, say: s, fix: f, why: w, basis: b}]": `mine.yaml:1:14: a second rule is called "r"`,
	} {
		t.Run(text, func(t *testing.T) {
			all := loadRules(t, map[string]string{"r": ruleText("must: site.found.clear"), "soft": waivableRule, "firm": strings.NewReplacer("soft", "firm", "caution", "stop").Replace(waivableRule)})
			_, err := New(append(all, writeOwn(t, text)))
			assert.ErrorContains(t, err, want)
		})
	}
}

func TestAPolicyMustBeWhole(t *testing.T) {
	all := loadRules(t, nil)
	delete(all[0].Policy, "stage")
	_, err := New(all)
	assert.ErrorContains(t, err, `the policy says nothing of "stage"`)
}

func TestNoRulesIsAMistake(t *testing.T) {
	_, err := New(loadRules(t, nil)[:1])
	assert.ErrorContains(t, err, "no rules are in force")
}

func TestHash(t *testing.T) {
	base := newEngine(t, "must: site.found.clear")
	assert.Len(t, base.Hash(), 64)
	assert.Equal(t, base.Hash(), newEngine(t, "must: site.found.clear").Hash())
	assert.Equal(t, base.Hash(), newEngine(t, "must: site.found.clear", "say: other words").Hash(), "words do not judge")
	for _, lines := range [][]string{{"must: site.found.plates"}, {"must: site.found.clear", "else: note"}, {"must: site.found.clear", "in: [roll]"}, {"must: site.found.clear", "waivable: true"}, {"must: site.found.clear", "when: step.on_wheels"}} {
		assert.NotEqual(t, base.Hash(), newEngine(t, lines...).Hash(), lines)
	}
	all := loadRules(t, map[string]string{"r": ruleText("must: site.found.clear")})
	s := all[0].Policy["stage"]
	s.Text = "90 mm"
	all[0].Policy["stage"] = s
	changed, err := New(all)
	require.NoError(t, err)
	assert.NotEqual(t, base.Hash(), changed.Hash())
}

func TestExplain(t *testing.T) {
	e := newEngine(t, "each: fasteners as bolt", "when: bolt.carrying", "must: bolt.found.fitted && bolt.thread.pitch < mm(2) && bolt.found.torqued >= policy.torque_share * bolt.torque || bolt.carrying")
	assert.Equal(t, []verdict.Value{
		{Name: "bolt.carrying", Value: "it carries the vehicle or a part in this step"},
		{Name: "bolt.found.fitted", Value: "it is there"},
		{Name: "bolt.thread.pitch", Value: "pitch of the thread"}, {Name: "bolt.thread", Value: "its thread as written on the box"},
		{Name: "bolt.found.torqued", Value: "torque reached, by wrench"},
		{Name: "policy.torque_share", Value: "least share of the wanted torque that counts as torqued"},
		{Name: "bolt.torque", Value: "torque it is to have"},
	}, e.Explain(e.Rule("r")))
	assert.Empty(t, e.Explain(newEngine(t, "must: site.fond").Rule("r")))
}

// TestOlderWords: a pack that still says hold for stop is read as before.
func TestOlderWords(t *testing.T) {
	all := append(loadRules(t, map[string]string{"r": ruleText("must: site.found.clear")}), writeOwn(t, `policy: {slope_stop: 10 mm/m}
rules: [{id: ours, must: site.found.clear, else: stop, say: s, fix: f, why: w, basis: b}]`))
	e, err := New(all)
	require.NoError(t, err)
	i := slices.IndexFunc(e.settings, func(p verdict.Policy) bool { return p.Name == "slope_stop" })
	assert.Equal(t, verdict.Policy{Name: "slope_stop", Value: "10 mm/m", Doc: "steepest floor", Changed: true}, e.settings[i])
	assert.Equal(t, "stop", all[len(all)-1].Rules[0].Else)
}
