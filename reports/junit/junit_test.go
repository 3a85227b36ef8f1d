package junit_test

import (
	"bytes"
	"encoding/xml"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/quantity"
	"setdown/model/source"
	"setdown/reports/golden"
	"setdown/reports/junit"
	"setdown/rules/verdict"
)

func span(line int) source.Span {
	return source.Span{File: "car.yaml", Start: source.Pos{Line: line, Column: 3}}
}

// sample has one finding of each outcome, and items with several.
func sample() *verdict.Report {
	until := quantity.Date{Year: 2026, Month: 12, Day: 1}
	waiver := &verdict.Waiver{Counts: true, By: "RT", Reason: "a tag is on it", Until: until}
	rule := source.Span{File: "welds/weld-full.yaml", Start: source.Pos{Line: 1, Column: 1}}
	r := &verdict.Report{
		Version: "0.1.0", File: "car.yaml", Today: quantity.Date{Year: 2026, Month: 11, Day: 25}, State: "s1", Rules: "r1",
		Assumed: []string{"fl-mount.found.made=full"}, RuleSet: verdict.RuleSet{Disabled: []string{"stage-note: by RT: small moves"}},
		Moves: []verdict.Move{{ID: "onto-stands", Steps: []verdict.Step{{Name: "rear raised"}, {Name: "on four"}},
			Findings: []verdict.Finding{
				{Rule: "weld-full", Outcome: verdict.Stop, Severity: verdict.Stop, Blocking: true, Item: "fl-mount", Place: "front-left",
					Say: "fl-mount: 3 < 4 & \x00\x1b[31m\"tacked\"\xff", Fix: "weld it full", Why: "A tack is no weld.\n", Steps: []string{"rear raised"},
					Because: []verdict.Because{{Expr: "weld.made == \"full\"\n", Values: []verdict.Value{{Name: "weld.made", Value: "tack"}}}},
					LetsGo:  "falls", Goes: "the front left corner", Span: span(12), RuleSpan: rule},
				{Rule: "weld-full", Outcome: verdict.NotRecorded, Severity: verdict.Stop, Blocking: true, Item: "fr-mount",
					Missing: []verdict.Missing{{Path: "welds.fr-mount.found.made", Doc: "how far it is made"}, {Reason: "no geometry"}},
					Waiver:  &verdict.Waiver{Refused: "it ended on 2026-11-01"}, Span: span(14), RuleSpan: rule},
				{Rule: "weld-full", Outcome: verdict.Waived, Severity: verdict.Stop, Item: "fr-mount", Say: "fr-mount: tacked", Waiver: waiver, Span: span(14), RuleSpan: rule},
				{Rule: "own", Outcome: verdict.Error, Blocking: true, Item: "onto-stands", Say: "the rule went past its limit", Span: span(90)},
				{Rule: "nut-locked", Outcome: verdict.Waived, Severity: verdict.Stop, Item: "a-nut", Say: "a-nut: no lock", Fix: "fit one", Waiver: waiver, Span: span(20)},
				{Rule: "bush-plain", Outcome: verdict.Caution, Severity: verdict.Caution, Item: "b", Say: "b: plain", Fix: "grease it", Span: span(30)},
				{Rule: "mark", Outcome: verdict.NotRecorded, Severity: verdict.Note, Item: "c", Missing: []verdict.Missing{{Path: "fasteners.c.found.marked", Doc: "a mark is on it"}}, Span: span(31)},
			},
			Passed:  []verdict.Passed{{Rule: "mark", Items: []string{"a-nut", "c"}}, {Rule: "weld-full", Items: []string{"fl-mount", "rr"}}},
			SignOff: &verdict.SignOff{By: "RT", On: quantity.Date{Year: 2026, Month: 11, Day: 20}, Why: []string{"fl-mount: found.made was full, is tack"}},
		}, {ID: "off", Steps: []verdict.Step{{Name: "up"}}}},
		Cautions: []string{"Nobody under the vehicle."},
	}
	r.Decide()
	return r
}

func write(t testing.TB, reports ...*verdict.Report) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, junit.Write(&b, reports))
	return b.Bytes()
}

func TestGolden(t *testing.T) {
	got := write(t, sample())
	file := filepath.Join("testdata", "sample.xml")
	golden.Equal(t, file, string(got))
}

// every lists reports of all kinds, those of whole build files included.
func every(t *testing.T) map[string][]*verdict.Report {
	t.Helper()
	noMoves := &verdict.Report{File: "a.yaml"}
	noMoves.Decide()
	noSteps := &verdict.Report{File: "a.yaml", Moves: []verdict.Move{{ID: "m"}}}
	noSteps.Decide()
	clear := &verdict.Report{File: "a.yaml", Moves: []verdict.Move{{ID: "m", Steps: []verdict.Step{{Name: "s"}}}}}
	clear.Decide()
	all := map[string][]*verdict.Report{"nothing": nil, "no moves": {noMoves}, "no steps": {noSteps}, "go": {clear}, "one of two": {clear, noMoves}, "sample": {sample()}}
	files, err := filepath.Glob("../../testdata/golden/*.report.json")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		reports, err := golden.Verdicts(bytes.NewReader(text))
		require.NoError(t, err)
		all[filepath.Base(file)] = reports
	}
	return all
}

type suites struct {
	Tests    int `xml:"tests,attr"`
	Failures int `xml:"failures,attr"`
	Errors   int `xml:"errors,attr"`
	Suites   []struct {
		ID       int `xml:"id,attr"`
		Tests    int `xml:"tests,attr"`
		Failures int `xml:"failures,attr"`
		Errors   int `xml:"errors,attr"`
		Skipped  int `xml:"skipped,attr"`
		Cases    []struct {
			Class   string   `xml:"classname,attr"`
			Name    string   `xml:"name,attr"`
			Failure []string `xml:"failure"`
			Error   []string `xml:"error"`
			Skipped *string  `xml:"skipped"`
			Out     string   `xml:"system-out"`
		} `xml:"testcase"`
	} `xml:"testsuite"`
}

// The sums are what the cases say, no case stands twice, and the file has a
// failure exactly when the verdict is NO-GO.
func TestCounts(t *testing.T) {
	for name, reports := range every(t) {
		t.Run(name, func(t *testing.T) {
			var all suites
			require.NoError(t, xml.Unmarshal(write(t, reports...), &all))
			tests, failures, errors := 0, 0, 0
			for i, s := range all.Suites {
				assert.Equal(t, i, s.ID)
				seen := map[string]bool{}
				f, e, k := 0, 0, 0
				for _, c := range s.Cases {
					assert.False(t, seen[c.Class+"\x00"+c.Name], "%s for %s stands twice", c.Class, c.Name)
					seen[c.Class+"\x00"+c.Name] = true
					switch {
					case len(c.Error) > 0:
						e++
					case len(c.Failure) > 0:
						f++
					case c.Skipped != nil:
						k++
					}
				}
				assert.Equal(t, []int{len(s.Cases), f, e, k}, []int{s.Tests, s.Failures, s.Errors, s.Skipped})
				tests, failures, errors = tests+s.Tests, failures+f, errors+e
			}
			assert.Equal(t, []int{tests, failures, errors}, []int{all.Tests, all.Failures, all.Errors})
			assert.Equal(t, verdict.ExitCode(reports...) == 0, failures+errors == 0)
		})
	}
}

func TestCases(t *testing.T) {
	var all suites
	require.NoError(t, xml.Unmarshal(write(t, sample()), &all))
	require.Len(t, all.Suites, 2)
	type outcome struct {
		failed, errored int
		skipped         bool
	}
	got := map[string]outcome{}
	text := map[string]string{}
	for _, c := range all.Suites[0].Cases {
		got[c.Class+" "+c.Name] = outcome{len(c.Failure), len(c.Error), c.Skipped != nil}
		text[c.Class+" "+c.Name] = strings.Join(append(append(c.Failure, c.Error...), c.Out), "\n")
	}
	assert.Equal(t, map[string]outcome{
		"weld-full fl-mount": {failed: 1}, "weld-full fr-mount": {failed: 1}, "weld-full rr": {}, "own onto-stands": {errored: 1},
		"nut-locked a-nut": {skipped: true}, "bush-plain b": {}, "mark c": {}, "mark a-nut": {},
	}, got)
	assert.Contains(t, text["weld-full fl-mount"], "fl-mount: 3 < 4 & \\x00\\x1b[31m\"tacked\"\\ufffd\nfix: weld it full\nbecause: weld.made == \"full\" is not so; weld.made is tack\nif it lets go: the front left corner\n")
	assert.Contains(t, text["weld-full fr-mount"], "look and write down: how far it is made (welds.fr-mount.found.made)\nmissing: no geometry\nthe waiver does not count: it ended on 2026-11-01\n")
	assert.Contains(t, text["weld-full fr-mount"], "waived by RT until 2026-12-01: a tag is on it", "what is waived in another step is still told")
	assert.Contains(t, text["bush-plain b"], "caution: b: plain")
}

// No character of a build file or of a rule may make the file unreadable.
func TestCharactersThatXMLCannotHold(t *testing.T) {
	r := sample()
	var bad strings.Builder
	for c := rune(0); c < 0x110; c++ {
		bad.WriteRune(c)
	}
	bad.WriteString("\xff\xc0\x80 \uFFFE \uFFFF \U0001F600 ]]> <![CDATA[ &amp; é")
	f := &r.Moves[0].Findings[0]
	f.Item, f.Say, f.Fix, f.Why, f.Place, f.Rule = bad.String(), bad.String(), bad.String(), bad.String(), bad.String(), bad.String()
	r.File, r.Version, r.Moves[0].ID = bad.String(), bad.String(), bad.String()
	text := write(t, r)
	var all suites
	require.NoError(t, xml.Unmarshal(text, &all))
	for _, c := range string(text) {
		require.True(t, c == '\n' || c == '\t' || c >= ' ' && c != 0xFFFD && c != 0xFFFE && c != 0xFFFF, "%U", c)
	}
	assert.Contains(t, string(text), "\U0001F600")
}

func TestThePublishedSchema(t *testing.T) {
	xmllint, err := exec.LookPath("xmllint")
	if err != nil {
		if os.Getenv("CI_XMLLINT") == "1" {
			t.Fatal("xmllint is not installed; on Debian it is in libxml2-utils")
		}
		t.Skip("xmllint is not installed, so the files are not held against the schema; on Debian it is in libxml2-utils")
	}
	check := func(text []byte) error {
		cmd := exec.Command(xmllint, "--noout", "--nonet", "--schema", "../../testdata/schemas/junit-4.xsd", "-")
		cmd.Stdin = bytes.NewReader(text)
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Logf("%.2000s", out)
		}
		return err
	}
	for name, reports := range every(t) {
		t.Run(name, func(t *testing.T) { assert.NoError(t, check(write(t, reports...))) })
	}
	t.Run("it can refuse", func(t *testing.T) {
		assert.Error(t, check(bytes.Replace(write(t, sample()), []byte("<failure "), []byte("<failed "), 1)))
	})
}
