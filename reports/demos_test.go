package reports_test

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/reports"
	"setdown/reports/browser"
	"setdown/rules/check"
	"setdown/rules/engine"
	"setdown/rules/pack"
	"setdown/rules/packs"
	"setdown/rules/verdict"
	"setdown/rules/ways"
)

// TestEveryDemo: the text of every move and board of every demo fits a screen; the page
// of all its moves has less than 400 kB and prints one sheet a move, and one for the
// board, with nothing cut.
func TestEveryDemo(t *testing.T) {
	all, err := pack.LoadFS(packs.FS, ".")
	require.NoError(t, err)
	e, err := engine.New(all)
	require.NoError(t, err)
	var files []string
	for _, name := range []string{"special", "liveaxle", "buggy", "checklist"} {
		files = append(files, "../testdata/builds/"+name+"-asfound.yaml", "../testdata/builds/"+name+"-mended.yaml")
	}
	for _, file := range files {
		b, err := model.Load(file)
		require.NoError(t, err)
		o := check.Options{Today: quantity.Date{Year: 2026, Month: 11, Day: 25}, Version: "test"}
		r, err := check.Run(t.Context(), b, e, o)
		require.NoError(t, err)
		for i := range r.Moves { // each sheet says as much as that of a move that was asked for alone
			one := *r
			one.Moves = r.Moves[i : i+1]
			require.NoError(t, ways.Find(t.Context(), b, func(done []model.Assumption) (*model.Build, error) { return model.Load(file, done...) }, e, o, &one))
		}
		as := func(name string, r *verdict.Report) string {
			write, err := reports.Check.As(name)
			require.NoError(t, err)
			var out bytes.Buffer
			require.NoError(t, write(&out, []*verdict.Report{r}, reports.Options{}))
			return out.String()
		}
		t.Run(filepath.Base(file), func(t *testing.T) {
			assert.LessOrEqual(t, strings.Count(as("text", r), "\n"), 40, "the board")
			for _, m := range r.Moves {
				one := *r
				one.Moves = []verdict.Move{m}
				text := as("text", &one)
				assert.LessOrEqual(t, strings.Count(text, "\n"), 40, m.ID)
				assert.Equal(t, m.Another != nil, strings.Contains(text, "Another way:"), m.ID)
				if m.Decision == verdict.NoGo {
					assert.NotContains(t, text, "more faults", "%s: every fault is on the screen", m.ID)
				}
			}
			page := as("html", r)
			assert.Less(t, len(page), 400_000)
			var free []float64
			browser.Show(t, page, browser.Look{Width: 703, Paper: true}).Eval(browser.Room, &free)
			for i, mm := range free {
				assert.GreaterOrEqual(t, mm, 0.0, "sheet %d runs into its foot", i+1)
			}
		})
	}
}
