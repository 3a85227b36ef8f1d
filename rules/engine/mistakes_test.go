package engine

import (
	"errors"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/source"
	"setdown/rules/pack"
)

// TestMistakes is the table of what a rule writer gets to read. The rule stands
// in p/r.yaml; must is on line 3, and in a block on line 4.
func TestMistakes(t *testing.T) {
	for _, c := range []struct {
		name  string
		lines []string
		want  []string
	}{
		{"a field that does not exist", []string{"each: stud_nuts as nut", "must: nut.found.torqed >= nut.torque"},
			[]string{`p/r.yaml:3:17: nut.found has no field "torqed" (did you mean "torqued"?)`}},
		{"a field of the step", []string{"each: stud_nuts as nut", "must: step.on_weels"},
			[]string{`p/r.yaml:3:12: step has no field "on_weels" (did you mean "on_wheels"?)`}},
		{"an item that is not there", []string{"must: nut.carrying"},
			[]string{`p/r.yaml:2:7: "nut" is not known here (known here: move, policy, site, step, today, vehicle)`}},
		{"a word that a fact never has", []string{"each: welds as weld", "must: weld.found.made in [\"full\", \"fulll\"]"},
			[]string{`p/r.yaml:3:35: weld.found.made is never "fulll" (did you mean "full"?)`}},
		{"a word on the other side", []string{"each: welds as weld", "must: |\n  \"maid\" != weld.found.made"},
			[]string{`p/r.yaml:4:3: weld.found.made is never "maid" (its words: none, tack, part, full)`}},
		{"a word in a list of words", []string{"each: links as link", "must: |\n  \"up\" in link.rod_ends.hands"},
			[]string{`p/r.yaml:4:3: link.rod_ends.hands is never "up" (its words: right, left)`}},
		{"silence about what is no event", []string{"each: fasteners as bolt", "must: |\n  !stated(bolt.found.fitted) && stated(!bolt.found.lock_fitted)"},
			[]string{`p/r.yaml:4:22: bolt.found.fitted is no event, so silence about it does not mean no (leave stated out: what nobody wrote down then comes out as not recorded)`,
				`p/r.yaml:4:52: bolt.found.lock_fitted is no event, so silence about it does not mean no (leave stated out: what nobody wrote down then comes out as not recorded)`}},
		{"silence about a computed fact", []string{"each: fasteners as bolt", "must: stated(bolt.carrying)"},
			[]string{`p/r.yaml:3:19: bolt.carrying is no event, so silence about it does not mean no (leave stated out: what nobody wrote down then comes out as not recorded)`}},
		{"silence about more than a fact", []string{"each: fasteners as bolt", "must: |\n  !stated(bolt.found.hole_egged || bolt.found.forced)"},
			[]string{`p/r.yaml:4:33: stated takes one fact and nothing made of facts (name the fact itself, such as stated(bolt.found.hole_egged), or its negation)`}},
		{"silence about a measure", []string{"each: joints as joint", "must: stated(joint.found.misalignment)"},
			[]string{`p/r.yaml:3:13: stated does not take an angle`}},
		{"words in a condition", []string{"each: fasteners as bolt", "must: words(bolt.torque) == size(bolt)"},
			[]string{`p/r.yaml:3:12: there is no function "words"`, `p/r.yaml:3:33: there is no function "size"`}},
		{"words in what a build file will say", []string{"each: fasteners as bolt", "must: bolt.carrying", `work: {phase: fit, sets: {found.torqued: "{words(bolt.torque)}"}}`},
			[]string{`p/r.yaml:4:49: there is no function "words" (functions: abs, contains, days, degrees, endsWith, kg, max, min, mm, mpa, newton, newton_metre, startsWith, stated)`}},
		{"words for an item that has none", []string{"each: welds as weld", "must: weld.carrying", `say: "{reached(weld)}"`},
			[]string{`p/r.yaml:4:15: reached does not take a whole item`}},
		{"different dimensions", []string{"each: stud_nuts as nut", "must: nut.found.torqued >= nut.thread.diameter"},
			[]string{`p/r.yaml:3:25: a torque does not compare with a length`}},
		{"equality of different dimensions", []string{"each: stud_nuts as nut", "must: nut.found.torqued == nut.thread.diameter"},
			[]string{`p/r.yaml:3:25: a torque does not compare with a length`}},
		{"a bare number", []string{"each: spacers as spacer", "must: spacer.stack_error <= 0.5"},
			[]string{`p/r.yaml:3:26: a length does not compare with a plain number (write mm(5))`}},
		{"a bare number first", []string{"each: stud_nuts as nut", "must: 60 < nut.found.torqued"},
			[]string{`p/r.yaml:3:10: a plain number does not compare with a torque (write newton_metre(5))`}},
		{"a sum of different things", []string{"each: spacers as spacer", "must: spacer.stack_error + spacer.load < mm(5)"},
			[]string{`p/r.yaml:3:26: a length does not add to a force`}},
		{"a product of two lengths", []string{"each: spacers as spacer", "must: spacer.stack_error * spacer.stack_error < mm(5)"},
			[]string{`p/r.yaml:3:26: a length is not multiplied by a length`}},
		{"a whole number and one with a point", []string{"each: fasteners as bolt", "must: bolt.threads_past == 2"},
			[]string{`p/r.yaml:3:25: a whole number is not compared by == with one that has a decimal point (write both with a point, such as 2.0)`}},
		{"no condition", []string{"each: spacers as spacer", "must: spacer.stack_error"},
			[]string{`p/r.yaml:3:7: the expression gives a length, but a condition is needed`}},
		{"a length among conditions", []string{"each: spacers as spacer", "must: spacer.carrying && spacer.stack_error"},
			[]string{`p/r.yaml:3:33: this must be a condition, but it is a length (compare it with something)`}},
		{"a choice between different things", []string{"each: spacers as spacer", "must: |\n  (spacer.carrying ? spacer.stack_error : spacer.load) > mm(5)"},
			[]string{`p/r.yaml:4:20: the two sides of a choice are of different kinds`}},
		{"not of a length", []string{"each: spacers as spacer", "must: |\n  !spacer.stack_error"},
			[]string{`p/r.yaml:4:3: ! does not take a length`}},
		{"a function of the wrong thing", []string{"each: spacers as spacer", "must: spacer.stack_error < mm(spacer.id) && spacer.id.contains(spacer.stack_error)"},
			[]string{`p/r.yaml:3:30: mm does not take a word`, `p/r.yaml:3:63: contains does not take a word and a length`}},
		{"asking whether a fact is there", []string{"each: spacers as spacer", "must: has(spacer.stack_error)"},
			[]string{`p/r.yaml:3:10: there is no function "has" (never ask whether a fact is recorded: leave the question out, and a missing fact comes out as not recorded)`}},
		{"an optional field", []string{"each: spacers as spacer", "must: spacer.?stack_error == mm(5)"},
			[]string{`p/r.yaml:3:13: this is not an expression: unsupported syntax '.?' (never ask whether a fact is recorded: a missing fact comes out as not recorded by itself)`}},
		{"a loop over a list", []string{"each: spacers as spacer", "must: spacer.holds.all(h, h != \"\")"},
			[]string{`p/r.yaml:3:23: there is no function "all" (a rule is asked of one item at a time; name the kind under each)`}},
		{"a conversion", []string{"each: spacers as spacer", "must: double(spacer.needed) > 1.0"},
			[]string{`p/r.yaml:3:13: there is no function "double"`}},
		{"a place", []string{"each: joints as joint", "must: joint.at == joint.at"},
			[]string{`p/r.yaml:3:13: rules do not read "at": it is a place, a direction or a block with names of its own`, `p/r.yaml:3:25: rules do not read "at"`}},
		{"nothing", []string{"each: joints as joint", "must: joint.kind != null"},
			[]string{`p/r.yaml:3:21: a rule has no such value as this`}},
		{"a block made by the rule", []string{"each: joints as joint", "must: |\n  {\"a\": 1} == {\"a\": 1}"},
			[]string{`p/r.yaml:4:3: a rule makes no blocks`, `p/r.yaml:4:15: a rule makes no blocks`}},
		{"a single =", []string{"each: joints as joint", "must: joint.kind = \"bush\""},
			[]string{`p/r.yaml:3:18: this is not an expression: a single = stands here (compare by ==)`}},
		{"a bracket that is not closed", []string{"each: joints as joint", "must: (joint.carrying && joint.held"},
			[]string{`p/r.yaml:3:36: this is not an expression: `}},
		{"when and must, and a text", []string{"each: joints as joint", "when: joint.carying", "must: joint.hald", "say: \"{joint.di} is {joint.id}\""},
			[]string{`p/r.yaml:3:13: joint has no field "carying" (did you mean "carrying"?)`, `p/r.yaml:4:13: joint has no field "hald" (did you mean "held"?)`, `p/r.yaml:5:14: joint has no field "di"`}},
		{"a text of a whole item", []string{"each: joints as joint", "must: joint.held", "say: \"{joint.found}\""},
			[]string{`p/r.yaml:4:8: the expression gives a whole item, but a single value is needed`}},
		{"a kind that does not exist", []string{"each: joint as joint", "must: joint.held"},
			[]string{`p/r.yaml:2:7: "joint" is no kind of item that a rule is asked of (did you mean "joints"?)`}},
		{"a kind of which there is one", []string{"each: vehicle as v", "must: v.masses_known"},
			[]string{`p/r.yaml:2:7: "vehicle" is no kind of item that a rule is asked of (there is only one at a time: leave out each and read it as step, move, vehicle or site)`}},
		{"a kind of move that does not exist", []string{"in: [role]", "must: site.found.clear"},
			[]string{`p/r.yaml:2:5: "role" is no kind of move (did you mean "roll"?)`}},
		{"several kinds", []string{"each: welds, joints as it", "must: it.held"},
			[]string{`p/r.yaml:3:10: for welds: it has no field "held"`}},
		{"a phase and values that a build file does not hold", []string{"each: welds as weld", "must: weld.found.inspected", `work: {phase: welding, sets: {found.made: fulll, carrying: "yes", found.cold: "maybe", site.found.clear: "yes", fond: x}}`},
			[]string{`p/r.yaml:4:7: "welding" is not a phase of work`, `p/r.yaml:4:43: found.made: "fulll" is no word for it; did you mean "full"?`, `p/r.yaml:4:50: a build file holds no "carrying" here`,
				`p/r.yaml:4:79: found.cold: "maybe" is neither yes nor no`, `p/r.yaml:4:113: a build file holds no "fond" here`}},
		{"a count that is no whole number", []string{"each: welds as weld", "must: weld.found.inspected", `work: {phase: buy, buy: rod, count: weld.utilisation}`},
			[]string{`p/r.yaml:4:37: the expression gives a plain number, but a whole number is needed`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			e := newEngine(t, c.lines...)
			var errs source.Errors
			require.True(t, errors.As(e.CompileAll(), &errs))
			var got []string
			for i, err := range errs {
				text := err.Error()
				if i < len(c.want) && strings.HasPrefix(text, c.want[i]) {
					text = c.want[i]
				}
				got = append(got, text)
			}
			assert.Equal(t, c.want, got)
		})
	}
}

func TestPlacesCountLetters(t *testing.T) {
	e := newEngine(t, "each: joints as joint", "must: joint.held", `say: "ä\u00f6 {joint.di}"`)
	assert.ErrorContains(t, e.CompileAll(), `p/r.yaml:4:22: joint has no field "di"`)
}

func TestLimitsOfAnExpression(t *testing.T) {
	for name, must := range map[string]string{
		"longer than 4000 characters": strings.Repeat("joint.held && ", 400) + "joint.held",
		"deep inside each other":      strings.Repeat("(", 300) + "joint.held" + strings.Repeat(")", 300),
		"more steps than a rule may":  "joint.id.contains(joint.place) && " + strings.Repeat("joint.goes.contains(joint.id) && ", 60) + "joint.held",
	} {
		t.Run(name, func(t *testing.T) {
			started := time.Now()
			e := newEngine(t, "each: joints as joint", "must: "+must)
			assert.ErrorContains(t, e.CompileAll(), name)
			assert.Less(t, time.Since(started), 5*time.Second)
		})
	}
}

func TestTheBuildersRulesAreCompiledAtOnce(t *testing.T) {
	all := loadRules(t, nil)
	own := writeOwn(t, "rules:\n  - {id: mine, each: welds as weld, must: weld.cary, else: stop, say: s, fix: f, why: w, basis: b}\n")
	_, err := New(append(all, own))
	assert.ErrorContains(t, err, `mine.yaml:2:48: weld has no field "cary"`)
}

func writeOwn(t testing.TB, text string) *pack.Pack {
	t.Helper()
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("mine.yaml", []byte(text), 0o600))
	p, err := pack.LoadFile("mine.yaml")
	require.NoError(t, err)
	return p
}

// FuzzCompile holds the compiler to plain errors: no text of an expression may
// bring it down, and every mistake has a place in the file.
func FuzzCompile(f *testing.F) {
	for _, s := range []string{"bolt.carrying", "0.9 * bolt.torque <= bolt.found.torqued", "bolt.lock in [\"wire\"]", "!(bolt.turns) ? mm(5) < mm(6) : true", "has(bolt.x)", "bolt.?x", "{", "bolt.holds[0] == \"a\"", "-9223372036854775808 < 1", "bolt.thread.diameter == mm(1) || today - today < days(1)", "b\"x\" == b'y'", "1u < 2u", "ä.ö"} {
		f.Add(s)
	}
	s := scope{kind: "fasteners", variable: "bolt"}
	env := sync.OnceValues(s.env)
	f.Fuzz(func(t *testing.T, text string) {
		src := pack.Expr{Text: text, Span: source.Span{File: "x", Start: source.Pos{Line: 1, Column: 1}}}
		p, errs := compile(s, env, &src, nil)
		require.Equal(t, p == nil, len(errs) > 0)
		for _, err := range errs {
			require.NotZero(t, err.Span.Start.Line)
			require.NotEmpty(t, err.Message)
			require.NotContains(t, err.Message, "could not be compiled", "a panic")
		}
	})
}
