package app

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/cmd/setdown/internal/signoff"
	"setdown/model"
	"setdown/model/quantity"
	"setdown/rules/verdict"
)

// Of two moves signed on one day the one signed last is compared with, in
// whatever order the file lists them.
func TestSinceTheLastSignOffOfADay(t *testing.T) {
	b, err := model.Load("../../../../testdata/builds/checklist-mended.yaml")
	require.NoError(t, err)
	car := filepath.ToSlash(filepath.Join(t.TempDir(), "car.yaml"))
	for _, move := range []string{"first", "second"} {
		_, err := signoff.Write(signoff.Dir(car), signoff.Record{
			Move: move, By: "AB", On: quantity.Date{Year: 2026, Month: 11, Day: 25}, File: "car.yaml",
			StateHash: "a", RulesHash: "b", Version: "test", State: []string{"when = " + move},
		})
		require.NoError(t, err)
	}
	for _, order := range [][]string{{"first", "second"}, {"second", "first"}} {
		report := &verdict.Report{File: car}
		for _, move := range order {
			report.Moves = append(report.Moves, verdict.Move{ID: move, Decision: verdict.Go})
		}
		c, err := sinceSigned(result{file: car, build: b, report: report})
		require.NoError(t, err)
		assert.Contains(t, c.Old, "0002-second", "listed as %v", order)
	}
}
