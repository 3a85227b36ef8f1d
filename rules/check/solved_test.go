package check_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/rules/check"
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
