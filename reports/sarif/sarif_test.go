package sarif_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/quantity"
	"setdown/model/source"
	"setdown/reports/golden"
	"setdown/reports/sarif"
	"setdown/rules/verdict"
)

func span(file string, line, column int) source.Span {
	return source.Span{File: file, Start: source.Pos{Line: line, Column: column}}
}

// sample has one finding of each outcome.
func sample() *verdict.Report {
	until := quantity.Date{Year: 2026, Month: 12, Day: 1}
	r := &verdict.Report{
		Format: verdict.Format, Version: "0.1.0", File: "builds/my car.yaml", Vehicle: "Special", Today: quantity.Date{Year: 2026, Month: 11, Day: 25},
		State: "s1", Rules: "r1", Assumed: []string{"fl-mount.found.made=full"},
		RuleSet: verdict.RuleSet{Count: 9, Packs: []string{"welds"}, Added: []string{"our-rule"}, Disabled: []string{"stage-note: by RT: small moves"}},
		Policy:  []verdict.Policy{{Name: "design_factor", Value: "4", Changed: true}, {Name: "side_push", Value: "5 %"}},
		Moves: []verdict.Move{{ID: "onto-stands", Kind: "lower", Span: span("builds/my car.yaml", 90, 3), Steps: []verdict.Step{{Name: "rear raised"}, {Name: "on four"}},
			Findings: []verdict.Finding{
				{Rule: "weld-full", Pack: "welds", Outcome: verdict.Stop, Severity: verdict.Stop, Blocking: true, Item: "fl-mount", Kind: "welds", Place: "front-left",
					Say: "fl-mount: only tacked", Fix: "weld it full.", Why: "A tack is no weld.\n", Basis: "common practice", Steps: []string{"rear raised", "on four"},
					LetsGo: "falls", Goes: "the front left corner", Span: span("builds/my car.yaml", 12, 3), RuleSpan: span("welds/weld-full.yaml", 1, 1)},
				{Rule: "weld-full", Pack: "welds", Outcome: verdict.NotRecorded, Severity: verdict.Stop, Blocking: true, Item: "fr-mount", Kind: "welds",
					Say: "fr-mount: not recorded", Steps: []string{"on four"}, Missing: []verdict.Missing{{Path: "welds.fr-mount.found.made", Doc: "how far it is made"}, {Reason: "no geometry"}},
					Waiver: &verdict.Waiver{Refused: "it ended on 2026-11-01", By: "RT", Reason: "x", Until: until, Span: span("builds/my car.yaml", 99, 5)},
					Span:   span("builds/my car.yaml", 14, 3), RuleSpan: span("welds/weld-full.yaml", 1, 1)},
				{Rule: "our-rule", Pack: "ours", Outcome: verdict.Error, Severity: verdict.Note, Blocking: true, Item: "onto-stands", Kind: "moves", Say: "the rule went past its limit",
					Span: span("builds/my car.yaml", 90, 3), RuleSpan: span("/shop/ours.yaml", 4, 5)},
				{Rule: "nut-locked", Pack: "nuts", Outcome: verdict.Waived, Severity: verdict.Stop, Item: "a-nut", Kind: "fasteners", Say: "a-nut: no lock", Fix: "fit one",
					Waiver: &verdict.Waiver{Counts: true, By: "RT", Reason: "a tag is on it", Until: until, Span: span("builds/my car.yaml", 97, 5)},
					Span:   span("builds/my car.yaml", 20, 3), RuleSpan: span("nuts/nut-locked.yaml", 1, 1)},
				{Rule: "bush-plain", Pack: "pivots", Outcome: verdict.Caution, Severity: verdict.Caution, Item: "b", Kind: "joints", Say: "b: see [the card](1) and {0} {x}",
					Span: source.Span{File: "builds/my car.yaml", Start: source.Pos{Line: 30, Column: 3}, End: source.Pos{Line: 30, Column: 9}}, RuleSpan: span("pivots/bush-plain.yaml", 1, 1)},
				{Rule: "mark", Pack: "nuts", Outcome: verdict.NotRecorded, Severity: verdict.Note, Item: "c", Kind: "fasteners", Missing: []verdict.Missing{{Path: "fasteners.c.found.marked", Doc: "a witness mark is on it"}},
					Span: source.Span{File: "builds/my car.yaml"}, RuleSpan: span("nuts/mark.yaml", 1, 1)},
			},
			Passed: []verdict.Passed{{Rule: "mark", Items: []string{"a-nut"}}},
		}},
		Cautions: []string{"Nobody under the vehicle."},
	}
	r.Decide()
	return r
}

func write(t testing.TB, reports ...*verdict.Report) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, sarif.Write(&b, reports))
	return b.Bytes()
}

func TestGolden(t *testing.T) {
	got := write(t, sample())
	file := filepath.Join("testdata", "sample.sarif")
	golden.Equal(t, file, string(got))
	assert.Equal(t, string(got), string(write(t, sample())), "the same bytes every time")
}

func validate(t *testing.T, s *jsonschema.Schema, text []byte) {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	require.NoError(t, err)
	assert.NoError(t, s.Validate(doc))
}

func published(t *testing.T) *jsonschema.Schema {
	t.Helper()
	text, err := os.ReadFile("../../testdata/schemas/sarif-2.1.0.schema.json")
	require.NoError(t, err)
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	require.NoError(t, c.AddResource("sarif.json", doc))
	s, err := c.Compile("sarif.json")
	require.NoError(t, err)
	return s
}

func TestThePublishedSchema(t *testing.T) {
	s := published(t)
	validate(t, s, write(t, sample()))
	validate(t, s, write(t))
	empty := &verdict.Report{File: "a.yaml"}
	empty.Decide()
	validate(t, s, write(t, empty, sample()))
	for name, reports := range stored(t) {
		t.Run(name, func(t *testing.T) { validate(t, s, write(t, reports...)) })
	}
	t.Run("it can refuse", func(t *testing.T) {
		doc, err := jsonschema.UnmarshalJSON(strings.NewReader(strings.Replace(string(write(t, sample())), `"level": "error"`, `"level": "hold"`, 1)))
		require.NoError(t, err)
		assert.Error(t, s.Validate(doc))
	})
}

// stored are the reports that other tests keep, of whole build files.
func stored(t *testing.T) map[string][]*verdict.Report {
	t.Helper()
	files, err := filepath.Glob("../../testdata/golden/*.report.json")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	all := map[string][]*verdict.Report{}
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		reports, err := golden.Verdicts(bytes.NewReader(text))
		require.NoError(t, err)
		all[filepath.Base(file)] = reports
	}
	return all
}

type parsed struct {
	Runs []struct {
		ColumnKind string
		Tool       struct {
			Driver struct{ Rules []struct{ ID string } }
		}
		Results []struct {
			RuleID              string
			RuleIndex           int
			Level               string
			Message             struct{ Text string }
			PartialFingerprints map[string]string
			Suppressions        []struct{ Kind, Justification string }
			Locations           []struct {
				PhysicalLocation struct {
					ArtifactLocation struct{ URI, URIBaseID string }
					Region           struct{ StartLine, StartColumn int }
				}
			}
			RelatedLocations []struct {
				PhysicalLocation struct {
					ArtifactLocation struct{ URI, URIBaseID string }
				}
			}
		}
	}
}

func parse(t *testing.T, text []byte) parsed {
	t.Helper()
	var p parsed
	require.NoError(t, json.Unmarshal(text, &p))
	require.Len(t, p.Runs, 1)
	return p
}

func TestResults(t *testing.T) {
	run := parse(t, write(t, sample())).Runs[0]
	require.Len(t, run.Results, 6)
	assert.Equal(t, "unicodeCodePoints", run.ColumnKind)
	for i, want := range []string{"error", "error", "error", "error", "warning", "note"} {
		assert.Equal(t, want, run.Results[i].Level, i)
		assert.Equal(t, run.Results[i].RuleID, run.Tool.Driver.Rules[run.Results[i].RuleIndex].ID)
		assert.Equal(t, i == 3, len(run.Results[i].Suppressions) == 1, "only what is waived is suppressed")
	}
	first := run.Results[0]
	assert.Equal(t, "fl-mount: only tacked. Fix: weld it full. If it lets go: the front left corner. Stops the move onto-stands (rear raised, on four).", first.Message.Text)
	assert.Equal(t, "builds/my%20car.yaml", first.Locations[0].PhysicalLocation.ArtifactLocation.URI)
	assert.Equal(t, 12, first.Locations[0].PhysicalLocation.Region.StartLine)
	assert.Equal(t, "BUILT_IN_RULES", first.RelatedLocations[0].PhysicalLocation.ArtifactLocation.URIBaseID)
	assert.Equal(t, "file:///shop/ours.yaml", run.Results[2].RelatedLocations[0].PhysicalLocation.ArtifactLocation.URI)
	assert.Empty(t, run.Results[2].RelatedLocations[0].PhysicalLocation.ArtifactLocation.URIBaseID)
	assert.Contains(t, run.Results[1].Message.Text, "how far it is made (welds.fr-mount.found.made); no geometry. The waiver does not count: it ended on 2026-11-01.")
	assert.Equal(t, "waived by RT until 2026-12-01: a tag is on it", run.Results[3].Suppressions[0].Justification)
	assert.Contains(t, run.Results[4].Message.Text, `see [the card\](1) and {{0}} {x}`)
}

// A finding keeps its fingerprint when the file around it changes.
func TestFingerprints(t *testing.T) {
	before := parse(t, write(t, sample())).Runs[0].Results
	moved := sample()
	for i := range moved.Moves[0].Findings {
		f := &moved.Moves[0].Findings[i]
		f.Span.Start.Line += 40
		f.Say, f.Steps = "other words", nil
	}
	after := parse(t, write(t, moved)).Runs[0].Results
	seen := map[string]bool{}
	for i := range before {
		assert.Equal(t, before[i].PartialFingerprints, after[i].PartialFingerprints)
		for _, print := range before[i].PartialFingerprints {
			assert.False(t, seen[print], "two findings share a fingerprint")
			seen[print] = true
		}
	}
	other := sample()
	other.Moves[0].ID = "off-stands"
	assert.NotEqual(t, before[0].PartialFingerprints, parse(t, write(t, other)).Runs[0].Results[0].PartialFingerprints)
}

// A log without errors is never more than the verdict.
func TestEveryNoGoHasAnError(t *testing.T) {
	noMoves := &verdict.Report{File: "a.yaml"}
	noMoves.Decide()
	noSteps := &verdict.Report{File: "a.yaml", Moves: []verdict.Move{{ID: "m", Span: span("a.yaml", 3, 1)}}}
	noSteps.Decide()
	clear := &verdict.Report{File: "a.yaml", Moves: []verdict.Move{{ID: "m", Steps: []verdict.Step{{Name: "s"}}}}}
	clear.Decide()
	all := map[string][]*verdict.Report{"nothing": nil, "no moves": {noMoves}, "no steps": {noSteps}, "go": {clear}, "one of two": {clear, noMoves}, "sample": {sample()}}
	for name, reports := range stored(t) {
		all[name] = reports
	}
	for name, reports := range all {
		errors := 0
		for _, r := range parse(t, write(t, reports...)).Runs[0].Results {
			if r.Level == "error" && len(r.Suppressions) == 0 {
				errors++
			}
		}
		assert.Equal(t, verdict.ExitCode(reports...) == 0, errors == 0, name)
	}
}
