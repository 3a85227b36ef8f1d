package engine

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model/source"
	"setdown/rules/pack"
	"setdown/rules/verdict"
)

// randomRule writes a condition at random out of everything that rules use.
func randomRule(rnd *rand.Rand, depth int) string {
	pick := func(list ...string) string { return list[rnd.IntN(len(list))] }
	if depth == 0 {
		torque := []string{"nut.found.torqued", "nut.torque", "0.9 * nut.torque", "nut.torque_max - nut.torque", "max(nut.torque, nut.found.torqued)", "newton_metre(60)", "abs(-nut.torque)"}
		return pick("nut.found.fitted", "nut.found.seated", "nut.steering", `nut.lock == "wire"`, `nut.lock in ["wire", "none"]`, `nut.found.lined_up != "backed off"`,
			pick(torque...)+" "+pick("<", "<=", ">", ">=", "==", "!=")+" "+pick(torque...), "nut.torque / nut.torque_max >= 0.8")
	}
	a, b := randomRule(rnd, depth-1), randomRule(rnd, depth-1)
	return pick("!("+a+")", "("+a+") && ("+b+")", "("+a+") || ("+b+")", "("+a+") ? ("+b+") : ("+randomRule(rnd, depth-1)+")")
}

// TestKnowingMoreNeverContradicts takes facts away at random: whatever a rule
// says with less, it says with all, or it asked for facts.
func TestKnowingMoreNeverContradicts(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 11))
	all := known{
		"found.fitted": "yes", "found.seated": "no", "steering": "yes", "lock": "wire", "found.lined_up": "as torqued",
		"found.torqued": "70 N·m", "torque": "75 N·m", "torque_max": "90 N·m",
	}
	e := newEngine(t, "must: site.found.clear")
	definite := 0
	for range 150 {
		text := randomRule(rnd, 1+rnd.IntN(3))
		must := pack.Expr{Text: text, Span: source.Span{File: "x", Start: source.Pos{Line: 1, Column: 1}}}
		rule := &pack.Rule{ID: "random", Each: []string{"stud_nuts"}, Var: "nut", Must: must, Else: "stop"}
		require.Empty(t, e.CompileRule(rule), text)
		judge := func(k known) verdict.Outcome {
			res, applies := e.JudgeRule(rule, "stud_nuts", setOf(t, e, item(t, "stud_nuts", "stud_nuts.n", k)))
			require.True(t, applies)
			return res.Outcome
		}
		full := judge(all)
		require.NotEqual(t, verdict.NotRecorded, full, text)
		for range 12 {
			less := known{}
			for k, v := range all {
				if rnd.IntN(3) > 0 {
					less[k] = v
				}
			}
			got := judge(less)
			if got == verdict.NotRecorded {
				continue
			}
			definite++
			require.Equal(t, full, got, "%s with %v", text, less)
		}
	}
	require.Greater(t, definite, 100, "too few of the trials say anything")
}

// TestWhatIsAskedForSuffices writes down what a rule asks for, and it then says
// something.
func TestWhatIsAskedForSuffices(t *testing.T) {
	e := newEngine(t, "each: stud_nuts as nut", "must: |\n  nut.found.fitted && (nut.found.torqued >= nut.torque || nut.lock == \"wire\")")
	answers := known{"found.fitted": "yes", "found.torqued": "70 N·m", "torque": "60 N·m", "lock": "wire"}
	k := known{}
	for round := range 5 {
		got, res := outcome(t, e, item(t, "stud_nuts", "stud_nuts.n", k))
		if got != verdict.NotRecorded {
			require.Equal(t, verdict.Pass, got)
			require.Equal(t, 1, round, "one look is enough")
			return
		}
		for _, m := range res.Missing {
			name := strings.TrimPrefix(m.Path, "stud_nuts.n.")
			require.Contains(t, answers, name, fmt.Sprint(m))
			k[name] = answers[name]
		}
	}
	t.Fatal("it goes on asking")
}
