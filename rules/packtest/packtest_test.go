package packtest

import (
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/rules/engine"
	"setdown/rules/pack"
)

// nutRule is a rule whose examples show all there is to show.
const nutRule = `id: r
each: stud_nuts as nut
in: [lower, roll]
when: nut.carrying
must: nut.found.fitted && nut.found.torqued >= 0.9 * nut.torque
else: stop
say: "{nut.id}"
fix: f
why: w
basis: b
examples:
  - {why: right, given: {carrying: true, torque: 100 N·m, found: {fitted: true, torqued: 90 N·m}}, expect: pass}
  - {why: a little loose, given: {carrying: true, torque: 100 N·m, found: {fitted: true, torqued: 80 N·m}}, expect: stop}
  - {why: no nut, given: {carrying: true, torque: 100 N·m, found: {fitted: false, torqued: 95 N·m}}, expect: stop}
  - {why: nobody looked, given: {carrying: true, found: {fitted: null, torqued: not sure}}, expect: not recorded, missing: [nut.found.fitted, nut.found.torqued, nut.torque]}
  - {why: idle, given: {carrying: false, torque: 100 N·m, found: {fitted: true, torqued: 95 N·m}}, expect: does not apply}
  - {why: another move, given: {carrying: true, torque: 100 N·m, found: {fitted: false}}, with: {move: {kind: rest}}, expect: does not apply}
`

func load(t *testing.T, rule string) (*engine.Engine, []*pack.Pack) {
	t.Helper()
	policy, err := os.ReadFile("../packs/policy.yaml")
	require.NoError(t, err)
	packs, err := pack.LoadFS(fstest.MapFS{
		"policy.yaml": {Data: policy}, "p/pack.yaml": {Data: []byte("pack: p\ntitle: P\n")}, "p/r.yaml": {Data: []byte(rule)},
	}, ".")
	require.NoError(t, err)
	e, err := engine.New(packs)
	require.NoError(t, err)
	return e, packs
}

func TestAGoodRule(t *testing.T) {
	e, packs := load(t, nutRule)
	assert.Empty(t, Run(e, packs))
}

func TestFailures(t *testing.T) {
	for _, c := range []struct {
		name, old, new string
		want           string
	}{
		{"a wrong outcome says why", "80 N·m}}, expect: stop", "80 N·m}}, expect: pass", `p/r.yaml:13:5: r, example "a little loose": comes out as "stop", not as "pass": false is nut.found.torqued >= 0.9 * nut.torque [nut.found.torqued = 80 N·m] [0.9 * nut.torque = 90 N·m]`},
		{"a wrong outcome that waits for facts", "expect: not recorded, missing", "expect: stop, missing", `comes out as "not recorded", not as "stop": it asks for stud_nuts.example.found.fitted`},
		{"other facts are missing", "missing: [nut.found.fitted, ", "missing: [", `asks for [nut.found.fitted, nut.found.torqued, nut.torque], not for [nut.found.torqued, nut.torque]`},
		{"no example of a kind", "expect: not recorded, missing: [nut.found.fitted, nut.found.torqued, nut.torque]", "expect: pass", `p/r.yaml:1:1: r: no example is expected to come out as "not recorded"`},
		{"a condition never false", "fitted: false, torqued: 95", "fitted: true, torqued: 5", `p/r.yaml:5:7: r: no example shows "nut.found.fitted" false`},
		{"a fact that does not exist", "torque: 100 N·m, found: {fitted: true, torqued: 90", "torgue: 100 N·m, found: {fitted: true, torqued: 90", `p/r.yaml:12:42: r, example "right": nut has no fact "torgue" (did you mean "torque"?)`},
		{"a fact in a block that does not exist", "fitted: true, torqued: 90", "fited: true, torqued: 90", `nut.found has no fact "fited"`},
		{"a value that is none", "torqued: 90 N·m", "torqued: 90 mm", `nut.found.torqued: "90 mm" is a length; it must be a torque`},
		{"a block that is none", "found: {fitted: true, torqued: 90 N·m}", "found: 3", `facts are given as a block`},
		{"an unknown root", "with: {move:", "with: {mofe:", `p/r.yaml:17:98: r, example "another move": with has no "mofe"`},
		{"a bad day", "with: {move:", "with: {today: soon, move:", `"soon" is not a date`},
		{"a kind that the rule is not about", "{why: right,", "{why: right, of: welds,", `the rule is not about "welds"`},
		{"a rule that does not compile", "must: nut.found.fitted", "must: nut.found.fited", `p/r.yaml:5:17: r: nut.found has no field "fited" (did you mean "fitted"?)`},
		{"no example at all", nutRule[strings.Index(nutRule, "examples:"):], "", `no example is expected to come out as "pass"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.Contains(t, nutRule, c.old)
			e, packs := load(t, strings.Replace(nutRule, c.old, c.new, 1))
			var lines []string
			for _, f := range Run(e, packs) {
				lines = append(lines, f.String())
			}
			assert.Contains(t, strings.Join(lines, "\n"), c.want)
		})
	}
}

func last(list []Failure) string { return list[len(list)-1].String() }

func TestNoRulesIsAFailure(t *testing.T) {
	e, _ := load(t, nutRule)
	assert.Len(t, Run(e, nil), 1)
}

func TestRulesAboutSeveralKindsAndAboutTheStep(t *testing.T) {
	e, packs := load(t, `id: r
each: welds, fasteners as it
must: it.carrying
else: note
say: s
fix: f
why: w
basis: b
examples:
  - {why: a, of: welds, given: {carrying: true}, expect: pass}
  - {why: b, of: fasteners, given: {carrying: false}, expect: note}
  - {why: c, of: fasteners, expect: not recorded}
`)
	assert.Empty(t, Run(e, packs))
	e, packs = load(t, `id: r
each: welds, fasteners as it
must: it.carrying
else: note
say: s
fix: f
why: w
basis: b
examples: [{why: a, given: {carrying: true}, expect: pass}]
`)
	assert.Contains(t, last(Run(e, packs)), "the example does not say which (write of: welds or of: fasteners)")
	e, packs = load(t, `id: r
must: step.stage <= policy.stage && today - move.found.on <= days(2) && "s1" in move.found.by + ""
else: note
say: s
fix: f
why: w
basis: b
`)
	assert.Contains(t, Run(e, packs)[0].String(), "a word does not add to a word")
	e, packs = load(t, `id: r
must: step.stage <= policy.stage && today - move.found.on <= days(2) && vehicle.masses_known
else: note
say: s
fix: f
why: w
basis: b
examples:
  - {why: a, with: {today: 2026-11-03, policy: {stage: 50 mm}, step: {stage: 50 mm}, move: {found: {on: 2026-11-01}}, vehicle: {masses_known: true}}, expect: pass}
  - {why: b, with: {today: 2026-11-04, policy: {stage: 50 mm}, step: {stage: 60 mm}, move: {found: {on: 2026-11-01}}, vehicle: {masses_known: false}}, expect: note}
  - {why: c, given: {}, expect: not recorded, missing: [move.found.on, step.stage, vehicle.masses_known]}
  - {why: d, given: {found: {}}, expect: not recorded}
`)
	failures := Run(e, packs)
	require.Len(t, failures, 1)
	assert.Contains(t, failures[0].String(), "the rule is about the step and has no item")
}

// TestForgettingNeverPasses uses a rule that breaks the promise the only way
// that is left: a fact that has a value when nobody wrote one.
func TestForgettingNeverPasses(t *testing.T) {
	e, packs := load(t, `id: r
each: fasteners as bolt
must: bolt.needed <= 1
else: stop
say: s
fix: f
why: w
basis: b
examples:
  - {why: one, given: {needed: 1}, expect: pass}
  - {why: two, given: {needed: 2}, expect: stop}
`)
	failures := Run(e, packs)
	require.Len(t, failures, 1)
	assert.Equal(t, `p/r.yaml:11:5: r, example "two": becomes "pass" when bolt.needed is not known`, failures[0].String())
}
