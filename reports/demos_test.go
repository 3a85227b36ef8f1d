package reports_test

import (
	"bytes"
	_ "embed"
	"fmt"
	"io"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/reports"
	"setdown/reports/browser"
	"setdown/reports/plain"
	"setdown/reports/text"
	"setdown/rules/check"
	"setdown/rules/engine"
	"setdown/rules/pack"
	"setdown/rules/packs"
	"setdown/rules/travel"
	"setdown/rules/verdict"
	"setdown/rules/ways"
)

// measuring looks for what runs out of a page or over something else.
//
//go:embed html/testdata/measure.js
var measuring string

// fits holds a text to a screen of 40 lines of 80 columns.
func fits(t *testing.T, what string, write func(io.Writer) error) string {
	t.Helper()
	var out strings.Builder
	require.NoError(t, write(&out))
	assert.LessOrEqual(t, strings.Count(out.String(), "\n"), 40, what)
	for line := range strings.Lines(out.String()) {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 81, "%s: %s", what, line)
	}
	assert.NotRegexp(t, clumsy, out.String(), what)
	return out.String()
}

// clumsy is what no text says: one of many, a unit in small letters, a share as a fraction of what
// is borne, and 'holds' of what stops a move.
var clumsy = regexp.MustCompile(`(?:^|[^\d.,/]) ?\b1 (?:methods|supports|jobs|facts|findings|items|questions|answers|parts|moves|cautions|stops|steps)\b|\d (?:mpa|nm|kn)\b|\buses 0\.|\bholds? (?:up )?this move\b`)

// TestEveryDemo: each text of every move and board of every demo fits a screen; the page
// of all its moves has less than 400 kB, runs out of no telephone, screen or paper, no label over
// another, metric and inch, and prints one sheet a move, and one for the board, with nothing cut.
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
			every := func(what string, r *verdict.Report) string {
				fits(t, "loads of "+what, func(w io.Writer) error { return text.Loads(w, r, text.Options{}) })
				fits(t, "tacks of "+what, func(w io.Writer) error { return text.Tacks(w, r, text.Options{}) })
				fits(t, "punch list of "+what, func(w io.Writer) error { return text.Punch(w, r.Punch, text.Options{}) })
				return fits(t, what, func(w io.Writer) error { return text.Write(w, []*verdict.Report{r}, text.Options{}) })
			}
			for _, units := range []quantity.System{quantity.Inch, quantity.Metric} {
				r.Units = units
				every("the board in "+string(units), r)
				suspension(t, b, units)
			}
			toBuyAndToNote(t, r.Punch)
			for _, m := range r.Moves {
				one := *r
				one.Moves, one.Punch = []verdict.Move{m}, m.Punch
				sheet := every(m.ID, &one)
				lines := plain.NewSheet(&one, &m, plain.Names)
				assert.Equal(t, len(lines.Cautions)+len(lines.Soft), plain.Cautions(&m), "the board counts cautions as the sheet of %s lists them", m.ID)
				assert.Equal(t, m.Another != nil, strings.Contains(sheet, "Another way:"), m.ID)
				if m.Decision == verdict.NoGo {
					assert.NotContains(t, sheet, "more faults", "%s: every fault is on the screen", m.ID)
				}
			}
			if strings.HasSuffix(file, "-mended.yaml") {
				sameWordsBothSides(t, r)
			}
			for _, c := range []struct {
				units quantity.System
				look  browser.Look
			}{
				{quantity.Metric, browser.Look{Width: 360}}, {quantity.Inch, browser.Look{Width: 1200}},
				{quantity.Metric, browser.Look{Width: 703, Paper: true}}, {quantity.Inch, browser.Look{Width: 725, Paper: true}},
			} {
				t.Run(fmt.Sprintf("%s at %d", c.units, c.look.Width), func(t *testing.T) {
					r.Units = c.units
					page := as("html", r)
					assert.Less(t, len(page), 400_000)
					shown := browser.Show(t, page, c.look)
					var m struct {
						Width int
						Bad   []string
					}
					shown.Eval(measuring, &m)
					assert.Equal(t, c.look.Width, m.Width)
					assert.Empty(t, m.Bad)
					if !c.look.Paper {
						return
					}
					var free []float64
					shown.Eval(browser.Room, &free)
					for i, mm := range free {
						assert.GreaterOrEqual(t, mm, 0.0, "sheet %d runs into its foot", i+1)
					}
				})
			}
		})
	}
}

// suspension holds what is said of travel and of heights to a screen as well.
func suspension(t *testing.T, b *model.Build, units quantity.System) {
	t.Helper()
	if len(b.Of("joints")) == 0 { // a checklist has no linkage
		return
	}
	for _, rack := range []float64{0, 0.03} {
		doc, err := travel.Of(b, travel.Options{Droop: 0.06, Bump: 0.06, Rack: rack, Good: 0.001})
		require.NoError(t, err)
		doc.Units = units
		fits(t, "travel", func(w io.Writer) error { return text.Travel(w, doc, text.Options{}) })
	}
	doc, err := travel.Heights(b, nil, 0)
	require.NoError(t, err)
	doc.Units = units
	fits(t, "height", func(w io.Writer) error { return text.Height(w, doc, text.Options{}) })
}

// sized is a thread as shops list it.
var sized = regexp.MustCompile(`\bM\d+x[\d.]+|\b[\d/]+-\d+ UN[CFR]`)

// toBuyAndToNote holds a punch list to what is bought by number and thread, nut and pin apart, and
// to the facts that are noted while the wrench is there.
func toBuyAndToNote(t *testing.T, p verdict.Punch) {
	t.Helper()
	for _, b := range p.Buy {
		assert.Positive(t, b.Quantity, b.Part)
		assert.NotEmpty(t, b.Items, b.Part)
		assert.NotContains(t, b.Part, " with ", "%s: two things", b.Part)
		if thread := sized.FindString(b.Part); thread != "" {
			assert.Equal(t, thread, b.Thread, b.Part)
		}
		if strings.HasPrefix(b.Part, "castle nut") {
			assert.True(t, slices.ContainsFunc(p.Buy, func(o verdict.Purchase) bool {
				return strings.Contains(o.Part, "split pin") && slices.Equal(o.Items, b.Items)
			}), "%s: its pin", b.Part)
		}
	}
	for _, j := range p.Jobs {
		if j.Kind != "moves" && slices.Contains([]string{"fit", "weld", "torque", "lock", "mark"}, j.Phase) {
			assert.NotEmpty(t, plain.Noted(j), "%s: %s", j.Item, j.Do)
		}
	}
}

// sides exchanges left and right in names and words.
var sides = strings.NewReplacer("upright", "upright", "fl-", "fr-", "fr-", "fl-", "rl-", "rr-", "rr-", "rl-", "left", "right", "right", "left")

// sameWordsBothSides holds a vehicle that is alike on both sides to the same words for what
// happens there when the same thing lets go, but for the sides themselves.
func sameWordsBothSides(t *testing.T, r *verdict.Report) {
	t.Helper()
	part := func(l verdict.Load) string {
		words, _, _ := strings.Cut(l.Goes, ", with ") // then names of both sides follow, in the order of the file
		if l.LetsGo == "drops" {
			words, _, _ = strings.Cut(words, ": ") // the mass
		}
		return l.LetsGo + " " + words
	}
	for _, m := range r.Moves {
		for _, s := range m.Steps {
			goes := map[string]verdict.Load{}
			for _, l := range s.Loads {
				goes[l.Item] = l
			}
			for id, l := range goes {
				twin, ok := goes[sides.Replace(id)]
				if !ok || sides.Replace(id) == id {
					continue
				}
				assert.Equal(t, sides.Replace(part(l)), part(twin), "%s, %s: %s and %s", m.ID, s.Name, id, twin.Item)
			}
		}
	}
}
