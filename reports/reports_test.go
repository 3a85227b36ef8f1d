package reports_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/quantity"
	"setdown/model/source"
	"setdown/reports"
	"setdown/reports/browser"
	"setdown/reports/csvr"
	"setdown/reports/golden"
	"setdown/reports/jsonr"
	"setdown/reports/markdown"
	"setdown/reports/plain"
	"setdown/reports/text"
	"setdown/rules/punch"
	"setdown/rules/verdict"
)

func TestMain(m *testing.M) { os.Exit(browser.Main(m)) }

const folder = "../testdata/golden"

// names are the stored reports: four of real checks and one of what these leave
// out.
var names = []string{"special-asfound-board", "special-asfound-onto-hub-stands", "special-mended-onto-hub-stands", "checklist-asfound", "synthetic"}

func stored(t testing.TB, name string) *verdict.Report {
	t.Helper()
	file, err := os.Open(filepath.Join(folder, name+".report.json"))
	require.NoError(t, err)
	defer file.Close()
	list, err := golden.Verdicts(file)
	require.NoError(t, err)
	require.Len(t, list, 1)
	return list[0]
}

// printers are every way in which the four writers can be asked to write.
var printers = map[string]func(w io.Writer, r *verdict.Report) error{
	"txt": func(w io.Writer, r *verdict.Report) error {
		return text.Write(w, []*verdict.Report{r}, text.Options{})
	},
	"all.txt": func(w io.Writer, r *verdict.Report) error {
		return text.Write(w, []*verdict.Report{r}, text.Options{Detail: true})
	},
	"loads.txt":     func(w io.Writer, r *verdict.Report) error { return text.Loads(w, r, text.Options{}) },
	"loads.all.txt": func(w io.Writer, r *verdict.Report) error { return text.Loads(w, r, text.Options{Detail: true}) },
	"tacks.txt":     func(w io.Writer, r *verdict.Report) error { return text.Tacks(w, r, text.Options{Detail: true}) },
	"punch.txt":     func(w io.Writer, r *verdict.Report) error { return text.Punch(w, r.Punch, text.Options{}) },
	"compare.txt": func(w io.Writer, r *verdict.Report) error {
		before := &verdict.Report{File: "before.yaml", Moves: []verdict.Move{{ID: "gone", Decision: verdict.Go}}}
		changes := []verdict.PathChange{{Path: "welds." + first(r) + ".found.made", Old: "full", New: "tack"}}
		return text.Compare(w, verdict.Compare(before, r, changes), text.Options{})
	},
	"md":       func(w io.Writer, r *verdict.Report) error { return markdown.Write(w, []*verdict.Report{r}) },
	"punch.md": func(w io.Writer, r *verdict.Report) error { return markdown.Punch(w, r.Punch) },
	"csv":      func(w io.Writer, r *verdict.Report) error { return csvr.Punch(w, r.Punch) },
}

func first(r *verdict.Report) string {
	for _, m := range r.Moves {
		for _, f := range m.Findings {
			return f.Item
		}
	}
	return "item"
}

func write(t testing.TB, format string, r *verdict.Report) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, printers[format](&b, r))
	return b.String()
}

// TestSynthetic keeps the report of everything that the real ones leave out. It stands
// before the tests that read it back.
func TestSynthetic(t *testing.T) {
	var fresh bytes.Buffer
	require.NoError(t, jsonr.Write(&fresh, []*verdict.Report{synthetic()}))
	golden.Equal(t, filepath.Join(folder, "synthetic.report.json"), fresh.String())
}

func TestGolden(t *testing.T) {
	for _, name := range names {
		for format := range printers {
			t.Run(name+"."+format, func(t *testing.T) {
				golden.Equal(t, filepath.Join(folder, name+"."+format), write(t, format, stored(t, name)))
			})
		}
	}
}

// TestLinesFit: no line is wider than the page, but for one word that is.
func TestLinesFit(t *testing.T) {
	for _, name := range names {
		for format := range printers {
			if !strings.HasSuffix(format, "txt") {
				continue
			}
			for _, line := range strings.Split(write(t, format, stored(t, name)), "\n") {
				if utf8.RuneCountInString(line) > 80 {
					fields := strings.Fields(line)
					longest := 0
					for _, f := range fields {
						longest = max(longest, utf8.RuneCountInString(f))
					}
					assert.Greater(t, longest, 60, "%s.%s: %q", name, format, line)
				}
			}
		}
	}
}

func TestNarrowPage(t *testing.T) {
	for _, width := range []int{40, 60, 132} {
		var b bytes.Buffer
		require.NoError(t, text.Write(&b, []*verdict.Report{stored(t, "checklist-asfound")}, text.Options{Width: width}))
		for _, line := range strings.Split(b.String(), "\n") {
			if utf8.RuneCountInString(line) > width {
				assert.LessOrEqual(t, len(strings.Fields(line)), 2, "width %d: %q", width, line)
			}
		}
	}
}

// TestFirstLines: who reads the first lines knows the verdict, of what, and what it
// does not mean.
func TestFirstLines(t *testing.T) {
	first := func(name string) string {
		return strings.Join(strings.Fields(strings.Join(strings.SplitN(write(t, "txt", stored(t, name)), "\n", 7)[:6], " ")), " ")
	}
	stopped := first("special-asfound-onto-hub-stands")
	assert.Regexp(t, `^NO-GO onto-hub-stands: .* special-asfound.yaml, `, stopped)
	assert.Contains(t, stopped, "11 findings stop this move. Do not make it. This does not say that the vehicle is safe where it is now")
	free := first("special-mended-onto-hub-stands")
	assert.Regexp(t, `^GO onto-hub-stands: .* special-mended.yaml, `, free)
	assert.Contains(t, free, "It is not permission and not proof.")
	assert.Regexp(t, `^NO-GO special-asfound.yaml, .* Nothing recorded stops 2 of 6 moves. This is not permission.`, first("special-asfound-board"))
}

// TestOneScreen: whatever the file, a verdict fits a screen, and what stops a move is
// on it before anything else.
func TestOneScreen(t *testing.T) {
	for _, name := range names {
		got := write(t, "txt", stored(t, name))
		assert.LessOrEqual(t, strings.Count(got, "\n"), 40, name)
		assert.Contains(t, got, "Before weight moves\n 1 ", name)
	}
	long := stored(t, "special-asfound-onto-hub-stands")
	m := &long.Moves[0]
	for i := range 300 {
		f := m.Findings[0]
		f.Item, f.Say = fmt.Sprintf("bolt-%d", i), fmt.Sprintf("bolt-%d: fault %d", i, i)
		m.Findings = append(m.Findings, f)
	}
	punch.Fill(long)
	got := write(t, "txt", long)
	assert.Equal(t, 40, strings.Count(got, "\n"))
	assert.Contains(t, got, "more faults (--all prints them)")
	assert.Contains(t, write(t, "all.txt", long), "bolt-299")

	// Three hundred alike are one line.
	alike := stored(t, "special-asfound-onto-hub-stands")
	m = &alike.Moves[0]
	for i := range 300 {
		f := m.Findings[0]
		f.Item, f.Say = fmt.Sprintf("bolt-%d", i), fmt.Sprintf("bolt-%d: only finger tight", i)
		m.Findings = append(m.Findings, f)
	}
	punch.Fill(alike)
	got = write(t, "txt", alike)
	assert.LessOrEqual(t, strings.Count(got, "\n"), 40)
	assert.Contains(t, got, "bolt-0, -1, -2, -3, -4, -5 and 294 more")
	assert.NotContains(t, got, "more faults")
}

// TestNoGoNeverLooksLikeGo: a NO-GO starts no line with GO but where the board names a
// move that is, and where that move's own sentence says what GO means.
func TestNoGoNeverLooksLikeGo(t *testing.T) {
	goLine := regexp.MustCompile(`^[\s\d.#*|\-]*GO\b`)
	for _, name := range names {
		r := stored(t, name)
		if r.Decision == verdict.Go {
			continue
		}
		for format := range printers {
			for _, line := range strings.Split(write(t, format, r), "\n") {
				if !goLine.MatchString(line) {
					continue
				}
				ok := strings.Contains(line, "GO means only this")
				for _, m := range r.Moves {
					ok = ok || m.Decision == verdict.Go && strings.Contains(line, m.ID)
				}
				assert.True(t, ok && len(r.Moves) > 1, "%s.%s: %q", name, format, line)
			}
		}
	}
}

// No verdict is a score.
func TestNoScores(t *testing.T) {
	for _, name := range names[:4] {
		for _, format := range []string{"txt", "md", "punch.txt"} {
			got := write(t, format, stored(t, name))
			assert.NotRegexp(t, `(?i)\d+ ?% (ready|done|complete)|score|✓|✔`, got)
			assert.NotContains(t, got, "NaN")
		}
	}
}

// TestSayOnce: a fact that several rules miss is listed once, and so is a fix
// that several findings of one rule share.
func TestSayOnce(t *testing.T) {
	got := write(t, "all.txt", stored(t, "checklist-asfound"))
	assert.Equal(t, 1, strings.Count(got, "supports.stand-rear-right.found.locked"))
	got = write(t, "all.txt", stored(t, "special-asfound-onto-hub-stands"))
	assert.Equal(t, 2, strings.Count(got, "both: weld it full"), "one at each rear corner")
	assert.NotContains(t, got, "bolt.torque_share", "the language of the rules is not for the shop")
	assert.Contains(t, strings.Join(strings.Fields(got), " "), "torque reached is 0 % of the torque asked for; wanted at least 90 % of the torque asked for (policy)")
}

// TestSameWordsEverywhere: the pages and the terminal count alike and ask for a
// fact in the same words.
func TestSameWordsEverywhere(t *testing.T) {
	for _, name := range names[:4] {
		r := stored(t, name)
		for _, format := range []string{"text", "markdown", "html"} {
			write, err := reports.Check.As(format)
			require.NoError(t, err)
			var b bytes.Buffer
			require.NoError(t, write(&b, []*verdict.Report{r}, reports.Options{Detail: true, Width: 10000}))
			got := strings.NewReplacer("\\", "", "&#39;", "'", "&amp;", "&").Replace(b.String())
			for i := range r.Moves {
				m := &r.Moves[i]
				assert.Contains(t, got, plain.Tally(m), "%s as %s", name, format)
				if format == "html" && len(r.Moves) > 1 {
					continue // the board has no workings
				}
				for _, s := range m.Steps {
					assert.Contains(t, got, s.Balance(r.Units), "%s as %s", name, format)
				}
				for _, b := range plain.Briefly(plain.Soft(m)) {
					if format != "markdown" { // which has them one by one
						assert.Contains(t, got, b.Text, "%s as %s", name, format)
					}
				}
				if format == "markdown" {
					for _, f := range plain.Soft(m) {
						assert.Contains(t, got, plain.Say(&f), "%s as %s", name, format)
					}
				}
				for _, f := range m.Unrecorded() {
					for _, fact := range plain.Facts(f.Missing, 1) {
						assert.Contains(t, got, fact, "%s as %s", name, format)
					}
				}
			}
			assert.NotRegexp(t, `push of \d\d0*[1-9]`, got, "%s as %s prints more digits than are known", name, format)
			assert.NotRegexp(t, `not recorded: [a-z_]+\.`, got, "%s as %s names a path instead of the fact", name, format)
		}
	}
}

// TestNobodyCanSayYet: a weld whose loads were not computed is not said to hold up
// nothing.
func TestNobodyCanSayYet(t *testing.T) {
	r := stored(t, "special-asfound-onto-hub-stands")
	r.Tacks = []verdict.Tack{{ID: "w", Made: "tack", Moves: []verdict.TackMove{{Move: "onto-hub-stands"}}}}
	for _, format := range []string{"all.txt", "tacks.txt", "md"} {
		got := write(t, format, r)
		assert.Contains(t, got, "not known yet", format)
		assert.NotContains(t, got, "carries nothing in", format)
		assert.NotContains(t, got, "does not stop it", format)
	}
	html, err := reports.Check.As("html")
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, html(&b, []*verdict.Report{r}, reports.Options{}))
	assert.Contains(t, b.String(), "not known yet")
}

// TestNothingIsAssertedUnasked: a fault that came up only because a fact is missing
// is said, and says so, in every format; what nobody knows asks for the fact instead.
func TestNothingIsAssertedUnasked(t *testing.T) {
	role := []verdict.Missing{{Path: "welds.w.role", Doc: "what it joins"}}
	r := stored(t, "special-asfound-onto-hub-stands")
	r.Moves[0].Findings = []verdict.Finding{
		{Rule: "a", Outcome: verdict.Stop, Blocking: true, Item: "w", Kind: "welds", Say: "w: a main node", Missing: role},
		{Rule: "b", Outcome: verdict.Caution, Severity: verdict.Caution, Item: "w", Kind: "welds", Say: "w: a burr", Missing: role},
		{Rule: "c", Outcome: verdict.NotRecorded, Severity: verdict.Caution, Item: "w", Kind: "welds", Say: "w: it will crack", Missing: role},
	}
	for _, format := range []string{"text", "markdown", "html", "sarif", "junit"} {
		write, err := reports.Check.As(format)
		require.NoError(t, err)
		var b bytes.Buffer
		require.NoError(t, write(&b, []*verdict.Report{r}, reports.Options{Width: 1000, Detail: true}))
		assert.Contains(t, b.String(), "w: a main node (it counts as long as this is not written down: what it joins (role))", format)
		assert.Contains(t, b.String(), "w: a burr (it counts as long as this is not written down: what it joins (role))", format)
		assert.NotContains(t, b.String(), "it will crack", format)
		assert.Regexp(t, `what it joins \((welds\.w\.)?role\)(\W|$)`, b.String(), format)
	}
}

// TestPunchOfAGo: a move that is GO with cautions that ask for work is not said to leave
// nothing to do.
func TestPunchOfAGo(t *testing.T) {
	list := verdict.Punch{Moves: []string{"down"}, Further: []verdict.Job{{Phase: "fit", Place: "rear", Item: "v", Do: "fit a lock nut", Kind: "fasteners", Sets: []verdict.Value{{Name: "fasteners.v.lock", Value: "nut"}, {Name: "fasteners.v.found.lock_fitted", Value: "yes"}}, Moves: []string{"down"}}}}
	for format, want := range map[string]string{"text": "Before it goes further", "markdown": "Before it goes further", "json": "further", "csv": "fit,rear,v,fit a lock nut,,,,,\"lock, lock fitted\"\n"} {
		write, err := reports.Punch.As(format)
		require.NoError(t, err)
		var b bytes.Buffer
		require.NoError(t, write(&b, list, reports.Options{}))
		assert.Contains(t, b.String(), want, format)
		assert.Contains(t, b.String(), "fit a lock nut", format)
		if format != "json" {
			assert.Contains(t, b.String(), "lock, lock fitted", format)
		}
		assert.NotContains(t, b.String(), "Nothing recorded", format)
	}
}

// TestCompareReadsTheLog: a line of the log is what somebody saw, not its fingerprint.
func TestCompareReadsTheLog(t *testing.T) {
	const look = "2026-11-26 02:41:00 FB at mount"
	c := verdict.Compare(&verdict.Report{}, &verdict.Report{}, []verdict.PathChange{{Path: "looks.8de6d83161f35be2", New: look}, {Path: "looks.aa", Old: look}})
	write, err := reports.Compare.As("text")
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, write(&b, c, reports.Options{}))
	assert.Contains(t, b.String(), "  new in the log: "+look+"\n  gone from the log: "+look+"\n")
	assert.NotContains(t, b.String(), "8de6")
}

// TestCautionsSayWhy: where a GO has more cautions than a screen holds, none of those
// that are named is cut to its names.
func TestCautionsSayWhy(t *testing.T) {
	r := stored(t, "special-mended-onto-hub-stands")
	m := &r.Moves[0]
	m.Findings = nil
	for i := range 30 {
		rule := fmt.Sprint("rule-", i)
		for _, id := range []string{"a-long-name-of-a-bolt", "another-long-name-of-a-bolt", "one-more-name-of-a-bolt"} {
			f := verdict.Finding{Rule: rule, Outcome: verdict.Caution, Item: id, Say: id + ": worn: its face is " + rule}
			if i > 3 {
				id += rule
				f = verdict.Finding{Rule: rule, Outcome: verdict.NotRecorded, Severity: verdict.Caution, Item: id, Missing: []verdict.Missing{{Doc: "its leg"}, {Doc: "its side " + rule}}}
			}
			m.Findings = append(m.Findings, f)
		}
	}
	_, cautions, found := strings.Cut(write(t, "txt", r), "Cautions: 30\n - ")
	require.True(t, found)
	cautions, _, _ = strings.Cut(cautions, "\n\n")
	cautions, rest, _ := strings.Cut(cautions, "   and ")
	assert.Contains(t, rest, "more cautions")
	for c := range strings.SplitSeq(cautions, "\n - ") {
		assert.Regexp(t, `: (worn|not recorded: 2 questions)`, strings.Join(strings.Fields(c), " "))
	}
}

func TestColour(t *testing.T) {
	r := stored(t, "special-asfound-onto-hub-stands")
	assert.NotContains(t, write(t, "txt", r), "\x1b")
	var b bytes.Buffer
	require.NoError(t, text.Write(&b, []*verdict.Report{r}, text.Options{Color: true}))
	assert.True(t, strings.HasPrefix(b.String(), "\x1b[1;31mNO-GO\x1b[0m  "))
	bare := regexp.MustCompile("\x1b\\[[0-9;]*m").ReplaceAllString(b.String(), "")
	assert.Equal(t, write(t, "txt", r), bare, "colour changes nothing but colour")
}

func TestSeveralFiles(t *testing.T) {
	list := []*verdict.Report{stored(t, "checklist-asfound"), stored(t, "special-mended-onto-hub-stands")}
	var b bytes.Buffer
	require.NoError(t, text.Write(&b, list, text.Options{}))
	assert.Equal(t, "NO-GO  checklist-asfound.yaml: 1 of 1 move stopped\nGO     special-mended.yaml: 0 of 1 move stopped\n", b.String())
	b.Reset()
	require.NoError(t, text.Write(&b, list, text.Options{Detail: true}))
	assert.Contains(t, b.String(), "What stops it, in full")
	b.Reset()
	require.NoError(t, markdown.Write(&b, list))
	assert.Contains(t, b.String(), "\n# GO: Hill-climb special\n")
	assert.Contains(t, b.String(), "# NO-GO: Cyclecar\n")
}

// TestFormats holds the registry to what it says: what is listed for a document is
// found by its name and writes it, and what is not listed is refused with what there is.
func TestFormats(t *testing.T) {
	r := stored(t, "checklist-asfound")
	try(t, reports.Check, []*verdict.Report{r}, "onto-stands", "text json markdown html svg sarif junit")
	try(t, reports.Loads, stored(t, "special-mended-onto-hub-stands"), "onto-hub-stands", "text json csv")
	try(t, reports.Tacks, r, "damper-brackets", "text json")
	try(t, reports.Punch, r.Punch, "onto-stands", "text json csv markdown")
	try(t, reports.Compare, verdict.Compare(r, r, nil), "onto-stands", "text json")
	card := verdict.Card{Item: "weld", Parts: []verdict.CardPart{{Name: "on every round", Lines: []verdict.CardLine{{Question: "Any crack?", Good: "no"}, {Question: "How far welded?", Good: "full", OnlyFor: "role bracket", Critical: true}}}}}
	try(t, reports.Cards, []verdict.Card{card}, "Any crack?", "text json markdown html")
	history := &verdict.History{File: "car.yaml", Item: "mount", Lines: []verdict.HistoryLine{{When: "2026-11-20", By: "TN", Items: []string{"mount"}, Says: []string{"good"}, Note: "cold"}},
		Now: []verdict.HistoryFact{{Item: "mount", Fact: "crack", Value: "yes", By: "EA", Second: "TN", Fault: true}}, Unknown: []string{"mount cold"}, Troubles: []string{"a line was torn off"}}
	try(t, reports.History, history, "mount", "text json")

	try(t, reports.Walk, round(), "mount", "text json html")

	_, err := reports.Check.As("jsn")
	assert.EqualError(t, err, `there is no format "jsn" for a verdict; did you mean "json"?`)
	_, err = reports.Punch.As("html")
	assert.EqualError(t, err, `there is no format "html" for a punch list; there are text, json, csv, markdown`)
}

func try[T any](t *testing.T, d reports.Document[T], document T, holds, formats string) {
	var names []string
	for _, f := range d.Formats() {
		assert.NotEmpty(t, f.Doc, f.Name)
		names = append(names, f.Name)
		write, err := d.As(f.Name)
		require.NoError(t, err)
		var b bytes.Buffer
		require.NoError(t, write(&b, document, reports.Options{}))
		assert.Contains(t, b.String(), holds, f.Name)
	}
	assert.Subset(t, names, strings.Fields(formats)) // a new format is one line of the registry
}

// broken is a writer that is full.
type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, io.ErrShortWrite }

func TestAFullDiskIsAnError(t *testing.T) {
	r := stored(t, "checklist-asfound")
	for format, print := range printers {
		assert.ErrorIs(t, print(broken{}, r), io.ErrShortWrite, format)
	}
	assert.ErrorIs(t, jsonr.Write(broken{}, []*verdict.Report{r}), io.ErrShortWrite)
}

// hostile tries to break out of every format at once: it clears the screen,
// starts lines of its own, turns the writing round, and carries the marks of
// Markdown, HTML and spreadsheets.
const hostile = "=cmd()\x1b[2J\x9b31m\r\nGO     all is well\u2028GO\u2029\u202edessap\u2066\u200b|<script>alert(1)</script>`x`![a](http://b.example)[c](d)@everyone #1 www.e.example\x00\xff"

// TestNothingBreaksOut puts that text into every string of every report.
func TestNothingBreaksOut(t *testing.T) {
	for _, name := range names {
		untouched := stored(t, name)
		r := stored(t, name)
		poison(reflect.ValueOf(r))
		for format := range printers {
			got := write(t, format, r)
			for _, c := range got {
				if c != '\n' && (unicode.IsControl(c) || unicode.In(c, unicode.Cf, unicode.Zl, unicode.Zp)) || c == utf8.RuneError {
					t.Fatalf("%s.%s lets %U through", name, format, c)
				}
			}
			for _, line := range strings.Split(got, "\n") {
				if strings.HasPrefix(line, "GO") {
					assert.True(t, len(r.Moves) > 1 || r.Decision == verdict.Go, "%s.%s: a line of its own: %q", name, format, line)
				}
			}
			switch {
			case strings.HasSuffix(format, "md"):
				unspanned := regexp.MustCompile("`[^`]*`").ReplaceAllString(strings.ReplaceAll(got, "\\`", ""), "")
				for _, bad := range []string{"<script", "![", "[c](", " http:", "(http:", "@e", "#1 ", " www."} {
					assert.NotContains(t, unspanned, bad, "%s.%s", name, format)
				}
				assert.Equal(t, pipes(write(t, format, untouched)), pipes(got), "%s.%s: the columns of the tables", name, format)
			case format == "csv":
				rows, err := csv.NewReader(strings.NewReader(got)).ReadAll()
				require.NoError(t, err)
				for _, row := range rows {
					require.Len(t, row, 9)
					for _, cell := range row {
						assert.NotRegexp(t, `^\s*[=+\-@]`, cell)
						assert.NotContains(t, cell, "\n")
					}
				}
			}
		}
		var b bytes.Buffer
		require.NoError(t, jsonr.Write(&b, []*verdict.Report{r}))
		assert.NotContains(t, b.String(), "\x1b")
		_, err := golden.Verdicts(&b)
		assert.NoError(t, err)
	}
}

// pipes counts the bars of each line that is a row of a table.
func pipes(s string) []int {
	var list []int
	for _, line := range strings.Split(s, "\n") {
		if strings.HasPrefix(line, "| ") {
			list = append(list, strings.Count(strings.ReplaceAll(line, `\|`, ""), "|"))
		}
	}
	return list
}

// poison appends the hostile text to every string, but for the words that the
// program itself chooses.
func poison(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			poison(v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if name := v.Type().Field(i).Name; name != "Format" {
				poison(v.Field(i))
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			poison(v.Index(i))
		}
	case reflect.String:
		if v.Type() == reflect.TypeFor[string]() {
			v.SetString(hostile + v.String() + hostile)
		}
	}
}

// synthetic is a report with what the real ones leave out: a waiver that counts
// and one that does not, assumptions, a sign-off that is no longer valid, a rule
// that failed, rules switched off, changed policy, and names that try to be
// more than names.
func synthetic() *verdict.Report {
	day := quantity.Date{Year: 2026, Month: 11, Day: 25}
	at := source.Span{File: "odd.yaml", Start: source.Pos{Line: 7, Column: 3}}
	finding := func(rule string, o verdict.Outcome, item, say string) verdict.Finding {
		return verdict.Finding{Rule: rule, Pack: "own", Outcome: o, Severity: verdict.Stop, Item: item, Kind: "welds", Place: "front-left", Say: item + ": " + say,
			Fix: "weld it full", Why: "It holds.", Basis: "common practice", Steps: []string{"lowered"}, Span: at, RuleSpan: at,
			Blocking: o == verdict.Stop || o == verdict.Error || o == verdict.NotRecorded}
	}
	waived := finding("edge-distance", verdict.Waived, "fl-tab", "its edge is short")
	waived.Waiver = &verdict.Waiver{Counts: true, By: "RT", Reason: "doubler welded on | see log", Until: day, Span: at}
	refused := finding("weld-tacked", verdict.Stop, "fl-mount|<b>", "tack and it carries")
	refused.Waiver = &verdict.Waiver{By: "RT", Reason: "in a hurry", Refused: "this rule is about somebody's life and is never waived", Until: day, Span: at}
	refused.Because = []verdict.Because{
		{Expr: "weld.slack <= mm(0.5)", Left: verdict.Term{Fact: "weld.slack", Value: "2 mm"}, Op: "<=", Right: verdict.Term{Value: "0.5 mm"}, Values: []verdict.Value{{Name: "weld.slack", Value: "2 mm"}}, Span: at},
		{Expr: `weld.found.made in ["part", "full"]`, Left: verdict.Term{Fact: "weld.found.made", Value: "tack"}, Op: "in", Right: verdict.Term{Op: verdict.List, Of: []verdict.Term{{Value: "part"}, {Value: "full"}}}, Values: []verdict.Value{{Name: "weld.found.made", Value: "tack"}}, Span: at},
		{Expr: "!weld.hot", Left: verdict.Term{Fact: "weld.hot", Value: "yes"}, Op: "!", Values: []verdict.Value{{Name: "weld.hot", Value: "yes"}}, Span: at},
		{Expr: "weld.list.exists(w, w > 1)", Left: verdict.Term{Op: ">", Of: []verdict.Term{{Fact: "weld.list", Value: "3 welds"}, {Value: "1"}}}, Op: "exists", Values: []verdict.Value{{Name: "weld.list", Value: "3 welds"}}, Span: at},
	}
	refused.Load = &verdict.Strength{Item: "fl-mount|<b>", Kind: "welds", Check: "fillet weld", Load: verdict.Figure{Value: 1000.4, Unit: "N"}, Factor: 3, Strength: verdict.Figure{Value: 3000, Unit: "N"}, Utilisation: 1.0004}
	missing := finding("nut-torqued", verdict.NotRecorded, "fl-nut", "not torqued")
	missing.Place = ""
	missing.Missing = []verdict.Missing{{Path: "stud_nuts.fl-nut.found.torqued", Doc: "torque reached, by wrench"}, {Reason: "the load was not computed: no masses"}}
	r := &verdict.Report{
		Format: verdict.Format, Version: "test", File: "odd.yaml", Vehicle: "*Odd* [one](x) @all", Today: day, State: "0123456789abcdef", Rules: "fedcba9876543210",
		Assumed:  []string{"fl-mount.found.made=full"},
		RuleSet:  verdict.RuleSet{Count: 2, Packs: []string{"welds", "own"}, Added: []string{"own-rule"}, Disabled: []string{"weld-toes, by RT: no mirror"}},
		Policy:   []verdict.Policy{{Name: "design_factor", Value: "2", Doc: "load × this ÷ strength", Changed: true}},
		Cautions: []string{"Never work under a vehicle on a jack alone."},
		Moves: []verdict.Move{{
			ID: "down", Kind: "lower", Title: "GO GO GO down it goes, however long the title of the move may be and GO is the word on every line of it", Span: at,
			Steps: []verdict.Step{
				{Name: "raised", Solved: verdict.NotSolved, Reason: "no loads: fl-arm has no mass", Supports: []verdict.Reaction{{ID: "=jack", Kind: "jack", Span: at}}},
				{Name: "lowered", Solved: verdict.Solved, Watch: []string{"the arm"}, Supports: []verdict.Reaction{{ID: "stand", Kind: "stand", Even: &verdict.Figure{Value: 0.42, Unit: "kg"}, LetsGo: "falls", Span: at}}},
			},
			Findings: []verdict.Finding{
				refused, finding("own-rule", verdict.Error, "fl-arm", "the rule failed: division by zero"),
				missing, waived,
				finding("own-note", verdict.Note, "fl-arm", "- [x] looks done"),
				finding("own-caution", verdict.Caution, "fl-arm", "1. look here"),
			},
			Passed:   []verdict.Passed{{Rule: "weld-seen", Items: []string{"fl-arm"}}},
			Tightest: []verdict.Strength{*refused.Load},
			Heavier:  &verdict.Heavier{Share: 0.25, Mass: verdict.Figure{Value: 104.2, Unit: "kg"}, Item: "fl-arm"},
			SignOff:  &verdict.SignOff{By: "RT", On: day, File: "odd.signoff.yaml", Why: []string{"welds.fl-mount.found.made: tack, was full"}},
		}},
		Tacks: []verdict.Tack{{ID: "fl-mount|<b>", Place: "front-left", Made: "tack", What: "4 tacks × 8 mm", Since: &day, Span: at,
			Moves: []verdict.TackMove{{Move: "down", Carries: "vehicle", Load: &verdict.Figure{Value: 1000.4, Unit: "N"}, Blocks: true}}}},
	}
	punch.Fill(r)
	r.Decide()
	return r
}
