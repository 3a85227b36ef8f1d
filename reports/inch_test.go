package reports_test

import (
	"bytes"
	"html"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/reports"
	"setdown/rules/ask"
	"setdown/rules/check"
	"setdown/rules/engine"
	"setdown/rules/pack"
	"setdown/rules/packs"
	"setdown/rules/travel"
	"setdown/rules/verdict"
)

// alone finds a metric figure with no other beside it, and a metric unit in words. What
// somebody said at the vehicle is quoted as it was said, and a policy is a rule's own figure.
var alone = regexp.MustCompile(`.{0,60}(?:\d ?(?:mm|cm|m|kg|t|N|kN|N·m|MPa|GPa|N/mm|mm/m|mm[²³⁴])(?:[^\pL\d²³⁴·/]|$)|\b[Ii]n mm\b|millimetre|per metre|newton).{0,30}`)

// quoted is what a text may say in metric to a builder who thinks in inches: a value as it is
// written with the inches beside it, what somebody found, materials by their standard, and in a
// page its style.
var quoted = regexp.MustCompile(`(?s)<style>.*?</style>|[\d.]+( × [\d.]+)? (?:mm|kg|t|N|kN|N·m)(?: ± [\d.]+ (?:mm|kg))? (?:\([^)]*(?:in|lb|lbf|ft·lbf)\)|= [\d./ ]+(?:in|lb|lbf|ft·lbf))|[a-z ]+: \[?[\d.]+ mm[^\n]*\)\. Mended|<(?:td|code)[^>]*>[^<]*</(?:td|code)><td class="w">[^<]*</td>|EN [^;]*(?:mm|memory|copy)\b`)

// TestInch: with --units inch no output of a demo has a metric figure alone, whatever the file
// is written in.
func TestInch(t *testing.T) {
	all, err := pack.LoadFS(packs.FS, ".")
	require.NoError(t, err)
	e, err := engine.New(all)
	require.NoError(t, err)
	demos, err := filepath.Glob("../testdata/short/*.yaml")
	require.NoError(t, err)
	travels, heights := 0, 0
	for _, file := range demos {
		if matched, _ := filepath.Match("*.looks.yaml", filepath.Base(file)); matched {
			continue
		}
		judged := func(file string) (*model.Build, *verdict.Report) {
			b, err := model.Load(file)
			require.NoError(t, err)
			r, err := check.Run(t.Context(), b, e, check.Options{Today: quantity.Date{Year: 2026, Month: 11, Day: 25}, Version: "test", Units: quantity.Inch})
			require.NoError(t, err)
			return b, r
		}
		b, r := judged(file)
		t.Run(filepath.Base(file), func(t *testing.T) {
			inches(t, reports.Check, []*verdict.Report{r})
			inches(t, reports.Loads, r)
			inches(t, reports.Tacks, r)
			inches(t, reports.Punch, r.Punch)
			if asFound := strings.Replace(file, "-mended", "-asfound", 1); asFound != file {
				// What has changed stands as the files have it, and is left out.
				_, before := judged(asFound)
				inches(t, reports.Compare, verdict.Compare(before, r, nil))
				inches(t, reports.Compare, verdict.Compare(r, before, nil))
			}
			for _, m := range r.Moves {
				round, err := ask.Round(b, r, m.ID)
				require.NoError(t, err)
				inches(t, reports.Walk, round)
			}
			if doc, err := travel.Of(b, travel.Options{Droop: 0.04, Bump: 0.04, Good: 0.001}); err == nil {
				travels++
				doc.Units = quantity.Inch
				inches(t, reports.Travel, doc)
			}
			if doc, err := travel.Heights(b, nil, 0); err == nil {
				heights++
				doc.Units = quantity.Inch
				inches(t, reports.Height, doc)
			}
		})
	}
	// A file without measures of a suspension has neither document; most demos have both.
	assert.GreaterOrEqual(t, travels, 6)
	assert.GreaterOrEqual(t, heights, 6)
	inches(t, reports.Cards, check.Cards(quantity.Inch))
}

// inches holds every format that people read to it.
func inches[T any](t *testing.T, d reports.Document[T], doc T) {
	t.Helper()
	for _, f := range d.Formats() {
		if f.Name == "json" || f.Name == "csv" || f.Name == "sarif" || f.Name == "junit" {
			continue // for programs, with their units beside the figures
		}
		for _, all := range map[bool][]bool{true: {false, true}, false: {false}}[f.Name == "text"] {
			write, err := d.As(f.Name)
			require.NoError(t, err)
			var out bytes.Buffer
			require.NoError(t, write(&out, doc, reports.Options{Detail: all, Width: 4000}))
			text := quoted.ReplaceAllString(html.UnescapeString(out.String()), " ")
			found := alone.FindAllString(text, 5)
			assert.Empty(t, found, f.Name)
		}
	}
}
