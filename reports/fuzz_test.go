package reports_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"setdown/reports"
	"setdown/reports/csvr"
	"setdown/reports/golden"
	"setdown/rules/verdict"
)

// fuzzed are the stored reports that the targets below fill: a small real one, and
// one of what real ones leave out, to which a step with geometry is added. Each is
// filled as it is and without findings.
var fuzzed = []string{"checklist-asfound", "synthetic"}

// fuzzWriter gives a writer reports into whose every text and figure the fuzzer
// has written, together with what was written for a harmless text in the same
// places. No text may change what is not text.
func fuzzWriter(f *testing.F, check func(t *testing.T, r *verdict.Report, plain, got []byte), write func(io.Writer, *verdict.Report) error) {
	var stored [][]byte
	for _, name := range fuzzed {
		text, err := os.ReadFile(filepath.Join(folder, name+".report.json"))
		require.NoError(f, err)
		stored = append(stored, text)
	}
	drawing, err := os.ReadFile(filepath.Join(folder, "svg-sample.step.json"))
	require.NoError(f, err)
	for i := range 2 * len(stored) {
		f.Add(uint8(i), hostile, 1.0)
	}
	f.Add(uint8(0), "<!--", 1e300)
	f.Add(uint8(1), "]]>&amp;", -1e-300)
	f.Add(uint8(2), "`\\|\"\t*_~[x](y)", 0.0)
	f.Fuzz(func(t *testing.T, which uint8, text string, figure float64) {
		if math.IsNaN(figure) || math.IsInf(figure, 0) || len(text) > 500 {
			return // figures are finite: the reader of build files sees to that
		}
		filled := func(text string) (*verdict.Report, []byte) {
			list, err := golden.Verdicts(bytes.NewReader(stored[int(which/2)%len(stored)]))
			require.NoError(t, err)
			if which/2%2 == 1 {
				var step verdict.Step
				require.NoError(t, json.Unmarshal(drawing, &step))
				list[0].Moves[0].Steps = append(list[0].Moves[0].Steps, step)
			}
			for i := range list[0].Moves {
				if which%2 == 1 {
					list[0].Moves[i].Findings = nil
				}
			}
			list[0].Decide()
			// A letter on either side, or a text of spaces alone would leave a line out.
			spread(reflect.ValueOf(list[0]), "x"+text+"x", figure)
			var b bytes.Buffer
			require.NoError(t, write(&b, list[0]))
			return list[0], b.Bytes()
		}
		// What fits hangs on the length of a text and on its hyphens and colons, so the text
		// to compare with is the same without the signs that begin or end markup.
		_, plain := filled(strings.NewReplacer("<", "x", ">", "x", "&", "x", `"`, "x", "'", "x", "]", "x").Replace(text))
		r, got := filled(text)
		require.True(t, utf8.Valid(got))
		if !strings.Contains(strings.ToLower(text), "n") {
			require.NotRegexp(t, `\bNaN\b|[+-]Inf\b`, string(got))
		}
		check(t, r, plain, got)
	})
}

// spread appends a text to every text of a report, but for the words that the
// program itself chooses, and sets every figure.
func spread(v reflect.Value, text string, figure float64) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			spread(v.Elem(), text, figure)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).Name != "Format" {
				spread(v.Field(i), text, figure)
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			spread(v.Index(i), text, figure)
		}
	case reflect.String:
		if v.Type() == reflect.TypeFor[string]() {
			v.SetString(v.String() + text)
		}
	case reflect.Float64:
		v.SetFloat(figure)
	}
}

func format(f *testing.F, name string) func(io.Writer, *verdict.Report) error {
	write, err := reports.Check.As(name)
	require.NoError(f, err)
	return func(out io.Writer, r *verdict.Report) error {
		return write(out, []*verdict.Report{r}, reports.Options{Detail: true, Width: 80})
	}
}

// steady holds text for people to what cannot steer a terminal or turn the
// writing round, and keeps a GO out of the beginning of the lines of a NO-GO. A
// word that is wrapped stands further in.
func steady(t *testing.T, r *verdict.Report, got []byte) {
	for _, c := range string(got) {
		if c != '\n' && (unicode.IsControl(c) || unicode.In(c, unicode.Cf, unicode.Zl, unicode.Zp)) {
			t.Fatalf("%U gets through", c)
		}
	}
	if !slices.ContainsFunc(r.Moves, func(m verdict.Move) bool { return m.Decision == verdict.Go }) {
		require.Empty(t, string(regexp.MustCompile(`(?m)^GO\b.*`).Find(got)), "a line of its own says GO")
	}
}

func FuzzText(f *testing.F) {
	fuzzWriter(f, func(t *testing.T, r *verdict.Report, _, got []byte) { steady(t, r, got) }, func(w io.Writer, r *verdict.Report) error {
		for _, name := range []string{"all.txt", "loads.txt", "tacks.txt", "punch.txt", "compare.txt"} {
			if err := printers[name](w, r); err != nil {
				return err
			}
		}
		return nil
	})
}

// shape is what makes the look of a Markdown text: its lines by their first
// mark, and the columns of its tables.
func shape(text []byte) []string {
	var list []string
	for _, line := range strings.Split(string(text), "\n") {
		mark := regexp.MustCompile(`^(#+ |\| |\s*- |\s*\d+\. |>|\s*$)?`).FindString(line)
		if strings.HasPrefix(mark, "|") {
			mark = strings.Repeat("|", strings.Count(strings.ReplaceAll(line, `\|`, ""), "|"))
		}
		list = append(list, mark)
	}
	return list
}

func FuzzMarkdown(f *testing.F) {
	fuzzWriter(f, func(t *testing.T, r *verdict.Report, plain, got []byte) {
		steady(t, r, got)
		require.Equal(t, shape(plain), shape(got))
	}, func(w io.Writer, r *verdict.Report) error {
		return errors.Join(printers["md"](w, r), printers["punch.md"](w, r))
	})
}

func FuzzCSV(f *testing.F) {
	fuzzWriter(f, func(t *testing.T, _ *verdict.Report, plain, got []byte) {
		rows, err := csv.NewReader(bytes.NewReader(got)).ReadAll()
		require.NoError(t, err)
		want, err := csv.NewReader(bytes.NewReader(plain)).ReadAll()
		require.NoError(t, err)
		require.Len(t, rows, len(want))
		for _, row := range rows {
			require.Len(t, row, 9)
			for _, cell := range row {
				require.NotRegexp(t, `^\s*[=+\-@\t\r]`, cell)
				require.NotContains(t, cell, "\n")
			}
		}
	}, func(w io.Writer, r *verdict.Report) error { return csvr.Punch(w, r.Punch) })
}

// elements reads markup and lists its elements with the names of their
// attributes, in order.
func elements(t *testing.T, text []byte, html bool) []string {
	d := xml.NewDecoder(bytes.NewReader(bytes.TrimPrefix(text, []byte("<!DOCTYPE html>"))))
	if html {
		d.Strict, d.AutoClose, d.Entity = false, []string{"meta"}, xml.HTMLEntity
	}
	var list []string
	for {
		token, err := d.Token()
		if err == io.EOF {
			return list
		}
		require.NoError(t, err)
		if e, is := token.(xml.StartElement); is {
			name := e.Name.Local
			for _, a := range e.Attr {
				name += " " + a.Name.Local
			}
			list = append(list, name)
		}
	}
}

// sameElements demands the same elements in the same order, but for those that
// pictures are drawn of: a longer text is broken into other lines.
func sameElements(html bool) func(t *testing.T, _ *verdict.Report, plain, got []byte) {
	drawn := strings.Fields("tspan text line rect circle ellipse polygon path title desc")
	return func(t *testing.T, _ *verdict.Report, plain, got []byte) {
		before, after := elements(t, plain, html), elements(t, got, html)
		known := map[string]bool{}
		for _, e := range before {
			known[e] = true
		}
		for _, e := range after {
			require.True(t, known[e], "an element or an attribute that was not there: %s", e)
		}
		page := func(list []string) []string {
			return slices.DeleteFunc(list, func(e string) bool { return slices.Contains(drawn, strings.Fields(e)[0]) })
		}
		require.Equal(t, page(before), page(after))
		for _, c := range string(got) {
			require.False(t, unicode.Is(unicode.Cf, c) || unicode.IsControl(c) && c != '\n', "%U", c)
		}
	}
}

func FuzzHTML(f *testing.F) { fuzzWriter(f, sameElements(true), format(f, "html")) }

func FuzzSVG(f *testing.F) { fuzzWriter(f, sameElements(false), format(f, "svg")) }

func FuzzSARIF(f *testing.F) {
	levels := func(t *testing.T, text []byte) []string {
		var doc struct {
			Runs []struct {
				Results []struct{ Level string }
			}
		}
		require.NoError(t, json.Unmarshal(text, &doc))
		require.Len(t, doc.Runs, 1)
		var list []string
		for _, r := range doc.Runs[0].Results {
			list = append(list, r.Level)
		}
		return list
	}
	fuzzWriter(f, func(t *testing.T, r *verdict.Report, plain, got []byte) {
		want := levels(t, plain)
		require.ElementsMatch(t, want, levels(t, got))
		require.True(t, r.Decision == verdict.Go || slices.Contains(want, "error"), "a NO-GO without an error")
	}, format(f, "sarif"))
}

func FuzzJUnit(f *testing.F) {
	fuzzWriter(f, func(t *testing.T, r *verdict.Report, plain, got []byte) {
		require.Equal(t, elements(t, plain, false), elements(t, got, false))
		var all struct {
			Tests    int `xml:"tests,attr"`
			Failures int `xml:"failures,attr"`
			Errors   int `xml:"errors,attr"`
		}
		require.NoError(t, xml.Unmarshal(got, &all))
		require.NotZero(t, all.Tests)
		require.Equal(t, r.Decision != verdict.Go, all.Failures+all.Errors > 0)
	}, format(f, "junit"))
}
