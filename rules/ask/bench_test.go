package ask_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/rules/ask"
	"setdown/rules/check"
)

// BenchmarkAnswer is what a person at the four-corner car waits for after an answer: all
// files read again, the move judged again and the questions made, with a log of 77 looks.
// The write itself is not in it.
func BenchmarkAnswer(b *testing.B) {
	e := rules(b)
	var reading, judging time.Duration
	answer := func() {
		start := time.Now()
		build, err := model.Load("../../testdata/short/special-mended.yaml")
		require.NoError(b, err)
		reading += time.Since(start)
		start = time.Now()
		r, err := check.Run(b.Context(), build, e, check.Options{Moves: []string{"onto-hub-stands"}, Today: quantity.Date{Year: 2026, Month: 11, Day: 25}})
		require.NoError(b, err)
		_, err = ask.Round(build, r, "onto-hub-stands")
		require.NoError(b, err)
		judging += time.Since(start)
	}
	answer() // compiles the rules
	reading, judging = 0, 0
	for b.Loop() {
		answer()
	}
	b.ReportMetric(float64(reading.Milliseconds())/float64(b.N), "ms-reading/op")
	b.ReportMetric(float64(judging.Milliseconds())/float64(b.N), "ms-judging/op")
}
