package html_test

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/quantity"
	"setdown/reports/golden"
	"setdown/reports/html"
	"setdown/rules/punch"
	"setdown/rules/verdict"
)

const folder = "../../testdata/golden/"

func write(t *testing.T, reports ...*verdict.Report) string {
	var b bytes.Buffer
	require.NoError(t, html.Write(&b, reports))
	return b.String()
}

// single keeps only one move, and assumes something.
func single(t *testing.T) *verdict.Report {
	r := sample(t)
	r.Moves = r.Moves[:1]
	r.Assumed = []string{"fasteners.fr-lower-nut.found.fitted=yes"}
	return r
}

func TestGolden(t *testing.T) {
	for name, reports := range map[string][]*verdict.Report{
		"html-board.html":   {sample(t)},
		"html-what-if.html": {single(t)},
		"html-nothing.html": {},
	} {
		got := write(t, reports...)
		golden.Equal(t, folder+name, got)
		safe(t, got)
	}
}

func TestShowsWhatTheReportHolds(t *testing.T) {
	board, page := write(t, sample(t)), write(t, single(t))
	for _, want := range []string{
		"<title>NO-GO: Hill-climb special</title>", "Nothing recorded stops 1 of 2 moves. This is not permission.", `<a href="#m1">`, "Nothing recorded stops it. 1 caution.",
		"GO means only this", "Signed off by RT on 2026-11-24; nothing in the file has changed since", "in charge of the move", "A signature is a record, not permission.", "No signatures: this move is not to be made.",
		"Your own rules: own-rule; switched off: tab-bend: RT, no bent tabs; changed policy: tack_strength = 0.", "4 tacks × 8 mm", "carries vehicle, 45 N; its computed strength is 9000 N; STOPS THE MOVE",
		"Nobody is under the vehicle while it moves.", "what a tack counts for", "design_factor", "This sheet compares what is written in the file with a set of rules.",
	} {
		assert.Contains(t, board, want)
	}
	for _, want := range []string{
		"Do not make it.", "Front right lower nut: no stud nut", "fit the nut", "What stops it: 2 jobs clear all 2", "Front right:</b> 1 ", "Front left and right hub stand: it stands under suspension",
		"<summary>In the words of the rule</summary><p><code>nut.found.fitted is no; wanted nut.found.fitted</code></p>", "<code>not: a || b</code>", "If it lets go: the vehicle falls: fr-upright swings.", "4 % of what it can take",
		"The waiver by RT does not count: it ran out.", "RULE FAILED", "fasteners.rr-bolt.found.torqued", "torque it was tightened to", "no load was computed",
		"waived by MK until 2026-11-24: it is gusseted", "node-1: looked at 11 days ago",
		"The sign-off by RT on 2026-11-24 is no longer valid: fr-lower-nut was fitted.", "No loads were computed: the place of jack-rear is not recorded",
		"Watch: all four saddles touch", "centre of gravity at least 570 mm inside", "column after Euler", "pinned at both ends", "slenderness <span class=\"n\">213</span>",
		"not computed: no rating is recorded", `<td class="n">2500 N</td><td class="n">182 %</td>`, "on three stands, pushed left", "pull 0 N, push 2637 N", "along 120 N, across 416 N",
		"What if: this sheet is not for signing.",
	} {
		assert.Contains(t, page, want)
	}
	assert.NotContains(t, page, "in charge of the move")
}

func TestGoOnlyWhenAllGo(t *testing.T) {
	r := sample(t)
	r.Moves = r.Moves[1:]
	r.Decide()
	assert.Contains(t, write(t, r), "<title>GO: Hill-climb special</title>")
	assert.NotContains(t, write(t, r), "NO-GO")
	assert.Contains(t, write(t, r, sample(t)), "<title>NO-GO: ")
	assert.Contains(t, write(t), "<title>NO-GO</title>")
	assert.Contains(t, write(t, &verdict.Report{Decision: verdict.NoGo, File: "empty.yaml"}), "nothing was checked")
}

// In builder's inches every figure that is shown is in them.
func TestInches(t *testing.T) {
	r := single(t)
	r.Units = quantity.Inch
	page := write(t, r)
	assert.Contains(t, page, "22.4 in inside")
	assert.Contains(t, page, " lb")
	assert.Contains(t, page, "pull 0 lbf, push 593 lbf")
}

var elements = strings.Fields("html head meta title style body main header section h1 h2 h3 h4 p ul ol li dl dt dd div span b code time table thead tbody tr th td figure figcaption details summary a svg desc rect text circle path br footer")

// tags reads a page and lists its elements outside pictures, in order. Elements
// and attributes are held to those that the page uses.
func tags(t *testing.T, page string) []string {
	d := xml.NewDecoder(strings.NewReader(strings.TrimPrefix(page, "<!DOCTYPE html>")))
	d.Strict, d.AutoClose, d.Entity = false, []string{"meta"}, xml.HTMLEntity
	var list []string
	inside := 0
	for {
		token, err := d.Token()
		if err == io.EOF {
			return list
		}
		require.NoError(t, err)
		switch e := token.(type) {
		case xml.StartElement:
			require.Contains(t, elements, e.Name.Local)
			for _, a := range e.Attr {
				require.False(t, strings.HasPrefix(a.Name.Local, "on") || a.Name.Local == "src" || a.Name.Local == "style", a.Name.Local)
				require.True(t, a.Name.Local != "href" || strings.HasPrefix(a.Value, "#m"), a.Value)
			}
			if e.Name.Local == "svg" {
				inside++
			}
			if inside == 0 {
				list = append(list, e.Name.Local)
			}
		case xml.EndElement:
			if e.Name.Local == "svg" {
				inside--
			}
		}
	}
}

// safe holds the source of a page to what needs no network and no script.
func safe(t *testing.T, page string) {
	tags(t, page)
	for _, no := range []string{"http:", "https:", "url(", "@import", "<script", "<link", "<img", "javascript:", "ZgotmplZ"} {
		require.NotContains(t, strings.ToLower(page), strings.ToLower(no))
	}
	require.Contains(t, page, `content="default-src 'none'; style-src 'unsafe-inline'; img-src data:"`)
	require.Contains(t, page, `<html lang="en">`)
	require.Contains(t, page, `content="width=device-width, initial-scale=1"`)
	require.NotContains(t, page, "<th>", "every head of a table says what it heads")
	for _, r := range page {
		require.False(t, unicode.Is(unicode.Cf, r) || unicode.IsControl(r) && r != '\n', "%U", r)
	}
}

// fill sets every text in a value, apart from those that the page decides by and
// from those in a value of a type that is left out.
func fill(v reflect.Value, text string, except ...reflect.Type) {
	if slices.Contains(except, v.Type()) {
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			fill(v.Elem(), text, except...)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			fill(v.Field(i), text, except...)
		}
	case reflect.Slice:
		for i := range v.Len() {
			fill(v.Index(i), text, except...)
		}
	case reflect.String:
		if v.Type() == reflect.TypeFor[string]() {
			v.SetString(text)
		}
	}
}

func TestDataStaysText(t *testing.T) {
	filled := func(text string) []*verdict.Report {
		one, two := sample(t), single(t)
		fill(reflect.ValueOf(one), text)
		fill(reflect.ValueOf(two), text)
		return []*verdict.Report{one, two}
	}
	require.Greater(t, len(tags(t, write(t, filled("plain")...))), 300)
	for _, text := range []string{
		`<script>alert(1)</script>`, `"><img src=x onerror=alert(1)>`, `' onmouseover='x`, `]]>`, `&`, `&lt;b&gt;`, `<!--`, `-->`, `</style>`, `</title>`, `{{.}}`, `javascript:alert(1)`,
		"\u202egnitset\u202c", "\u200f\u200e\u2066x", "a\x00b\x1b[31m", "\xff\xfe", strings.Repeat("a-long-name-", 17), strings.Repeat("漢", 200), strings.Repeat("م", 90),
	} {
		page := write(t, filled(text)...)
		// What fits hangs on the length, and what is alike on the hyphens.
		same := write(t, filled(strings.Map(func(r rune) rune {
			if r == '-' {
				return r
			}
			return 'x'
		}, text))...)
		assert.Equal(t, tags(t, same), tags(t, page), "%.20q", text)
		for _, r := range page {
			require.False(t, unicode.Is(unicode.Cf, r) || unicode.IsControl(r) && r != '\n', "%U", r)
		}
	}
	// What decides how a thing is shown may be anything as well.
	odd := sample(t)
	odd.Decision, odd.Moves[0].Decision, odd.Moves[0].Findings[0].Outcome = "<b>", "<b>", "<b>"
	tags(t, write(t, odd))
	assert.NotContains(t, write(t, odd), "<b><b>")
}

// TestAFaultIsNeverCrowdedOut: however much is to be looked at, every fault is on the sheet; and of
// what a GO asks to be read first nothing is left out unnamed.
func TestAFaultIsNeverCrowdedOut(t *testing.T) {
	r := sample(t)
	few := slices.Clone(r.Moves[0].Findings)
	for i := range r.Moves {
		m := &r.Moves[i]
		for k := range 40 {
			for _, f := range few {
				if f.Outcome != verdict.NotRecorded || f.Blocking && m.Decision == verdict.Go {
					continue
				}
				f.Item = fmt.Sprintf("thing%d-%d", k, i)
				f.Missing = []verdict.Missing{{Path: fmt.Sprintf("welds.%s.found.x%d", f.Item, k), Doc: fmt.Sprintf("question %d, which is a rather long one to ask", k)}}
				m.Findings = append(m.Findings, f)
			}
		}
	}
	punch.Fill(r)
	page := write(t, r)
	require.Contains(t, page, "NO-GO")
	assert.Contains(t, page, "items that stop it until somebody has looked")
	assert.NotRegexp(t, `Not on this sheet: [^.]*\d faults?\b`, page)
	assert.Contains(t, page, "Front right lower nut: no stud nut")
	assert.Regexp(t, `Not on this sheet: [^.]*items? to look at \(thing`, page)
}
