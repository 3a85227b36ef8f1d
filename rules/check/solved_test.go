package check_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/rules/check"
	"setdown/rules/engine"
	"setdown/rules/facts"
	"setdown/rules/verdict"
)

// A state that is judged with what statics worked out for others comes out, to the last figure, as
// if it were judged alone: after an answer, after one taken back, after a place forgotten.
func TestSolvedIsJudgedAnew(t *testing.T) {
	e := rules(t)
	r := rand.New(rand.NewPCG(*firstSeed, 17))
	for left := *states; left > 0; {
		for _, name := range append(slices.Clone(mended), "special-asfound", "liveaxle-asfound", "buggy-asfound", generated) {
			b := load(t, name)
			list := append(faults(b), forgetful(b)...)
			moves := b.Of("moves")
			move := moves[r.IntN(len(moves))].ID
			for range 4 {
				alone, err := check.Run(t.Context(), b, e, check.Options{Today: today, Version: "test", Moves: []string{move}})
				require.NoError(t, err)
				require.Equal(t, alone, judge(t, e, b, move), "%s, %s", name, move)
				left--
				b = b.Clone()
				if f := list[r.IntN(len(list))]; f.fits(b) {
					f.spoil(b)
				}
			}
		}
	}
}

// A step that is judged behind others of its build state, of which it takes over what passes by facts
// that are the same in every step, comes out as one that is judged alone, in whatever order: what passes
// in one step and not in the next is in the demos one way or the other.
func TestStepsOfOneStateAreJudgedAsAlone(t *testing.T) {
	type said struct {
		rule, item string
		outcome    verdict.Outcome
		engine.Words
	}
	e := rules(t)
	judged := func(set *facts.Set) (list []said) {
		for _, r := range e.Judge(t.Context(), set) {
			one := said{rule: r.Rule.ID, outcome: r.Outcome, Words: *r.Words}
			if r.Item != nil {
				one.item = r.Item.Path
			}
			list = append(list, one)
		}
		return list
	}
	for _, name := range append(slices.Clone(mended), "special-asfound", "liveaxle-asfound", "buggy-asfound", generated) {
		b := load(t, name)
		for _, move := range b.Of("moves") {
			there, back := setsOf(b, e.Policy(), move.ID), setsOf(b, e.Policy(), move.ID)
			var alone [][]said
			for i := range there {
				alone = append(alone, judged(setsOf(b, e.Policy(), move.ID)[i]))
				require.Equal(t, alone[i], judged(there[i]), "%s, %s", name, move.ID)
			}
			for i, set := range slices.Backward(back) {
				require.Equal(t, alone[i], judged(set), "%s, %s, the last step first", name, move.ID)
			}
		}
	}
}
