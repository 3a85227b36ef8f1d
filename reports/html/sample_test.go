package html_test

import (
	"encoding/json"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model/quantity"
	"setdown/model/source"
	"setdown/rules/punch"
	"setdown/rules/verdict"
)

// sample is a report in which every field of the document says something: a move
// that is held, one that may go and is signed, one with a sign-off that fell.
func sample(t *testing.T) *verdict.Report {
	data, err := os.ReadFile("../../testdata/golden/svg-sample.step.json")
	require.NoError(t, err)
	var step verdict.Step
	require.NoError(t, json.Unmarshal(data, &step))

	span := func(line int) source.Span {
		at := source.Pos{Line: line, Column: 3}
		return source.Span{File: "special.yaml", Start: at, End: at}
	}
	newton := func(v float64) *verdict.Figure { return &verdict.Figure{Value: v, Unit: "N"} }
	day := quantity.Date{Year: 2026, Month: 11, Day: 24}
	column := verdict.Strength{Item: "rr-strut", Kind: "links", Place: "rear-right", Check: "column", Load: *newton(1518), Factor: 3, Strength: *newton(2500), Utilisation: 1.8216,
		Method: "column after Euler", Source: "any book on strength of materials", Assumptions: []string{"pinned at both ends", "straight"},
		Working: []verdict.Amount{{Name: "slenderness", Figure: verdict.Figure{Value: 213}}, {Name: "length", Figure: verdict.Figure{Value: 414, Unit: "mm"}}}, Step: step.Name}
	none := verdict.Strength{Item: "rl-strut", Kind: "links", Place: "rear-left", Check: "rod end", Load: *newton(1518), Factor: 3, Method: "static rating", Source: "its maker", NotComputed: "no rating is recorded", Step: step.Name}
	step.Strengths = []verdict.Strength{column, none}
	step.Loads = []verdict.Load{{Item: "rr-strut", Kind: "link", Place: "rear-right", Nominal: *newton(-1518), Tension: newton(0), Compression: newton(2637), Worst: *newton(2637), Case: "on three stands, pushed left", Carries: "vehicle", LetsGo: "falls", Goes: "the vehicle falls: it tips to the right"},
		{Item: "fl-lower-ball", Kind: "joint", Place: "front-left", Nominal: *newton(433), Axial: newton(120), Radial: newton(416), Worst: *newton(520), Case: "straight down", LetsGo: "holds"}}
	nut := step.Outline.Joints[slices.IndexFunc(step.Outline.Joints, func(j verdict.OutlineJoint) bool { return j.ID == "fr-lower-ball" })].At
	raised := verdict.Step{Name: "rear raised", Decision: verdict.NoGo, Stops: 1, Solved: verdict.NotSolved, Reason: "the place of jack-rear is not recorded", Supports: []verdict.Reaction{{ID: "jack-rear", Kind: "jack", Under: "frame", Span: span(9)}}}

	blocked := []verdict.Finding{
		{Rule: "stud-nut-fitted", Pack: "tapers", Outcome: verdict.Stop, Severity: verdict.Stop, Item: "fr-lower-nut", Kind: "fasteners", Place: "front-right", Say: "fr-lower-nut: no stud nut", Fix: "fit the nut and torque it to 60 N·m",
			Why: "only the nut would hold it", Basis: "common practice", Steps: []string{step.Name}, Because: []verdict.Because{{Expr: "nut.found.fitted", Values: []verdict.Value{{Name: "nut.found.fitted", Value: "no"}}}, {Expr: "a || b"}},
			Carries: "vehicle", LetsGo: "falls", Goes: "the vehicle falls: fr-upright swings", Load: &verdict.Strength{Load: *newton(456), Factor: 3, Strength: *newton(34987), Utilisation: 0.04}, Waiver: &verdict.Waiver{By: "RT", Refused: "it ran out", Reason: "late", Until: day},
			Work: &verdict.Work{Phase: "fit", Do: "fit the nut", Part: "stud nut M12×1.25", Quantity: 1}, At: []verdict.Point{nut}, Span: span(382), Blocking: true},
		{Rule: "own-rule", Outcome: verdict.Error, Item: "onto-hub-stands", Say: "the rule failed: too many steps", Fix: "mend the rule", Span: span(700), Blocking: true},
		{Rule: "bolt-tight", Outcome: verdict.NotRecorded, Item: "rr-bolt", Place: "rear-right", Missing: []verdict.Missing{{Path: "fasteners.rr-bolt.found.torqued", Doc: "torque it was tightened to"}, {Reason: "no load was computed", Fact: "load"}}, Span: span(300), Blocking: true},
	}
	soft := []verdict.Finding{
		{Rule: "second-look", Outcome: verdict.NotRecorded, Item: "rr-strut", Missing: []verdict.Missing{{Path: "links.rr-strut.found.seen_by"}}},
		{Rule: "under-suspension", Outcome: verdict.Caution, Item: "fl-hub-stand", Say: "fl-hub-stand: it stands under suspension"},
		{Rule: "under-suspension", Outcome: verdict.Caution, Item: "fr-hub-stand", Say: "fr-hub-stand: it stands under suspension"},
		{Rule: "ageing", Outcome: verdict.Note, Item: "node-1", Say: "node-1: looked at 11 days ago"},
		{Rule: "tab-edge", Outcome: verdict.Waived, Item: "tab-7", Say: "tab-7: the edge is short", Waiver: &verdict.Waiver{Counts: true, By: "MK", Reason: "it is gusseted", Until: day}},
	}
	fine := step
	fine.Name, fine.Decision, fine.Stops, fine.Loads, fine.Strengths = "on the table", verdict.Go, 0, nil, nil
	r := &verdict.Report{
		Format: verdict.Format, Version: "0.1", File: "special.yaml", Vehicle: "Hill-climb special", Today: quantity.Date{Year: 2026, Month: 11, Day: 25}, State: "96be5230696012ab", Rules: "bdcf888dbccb9911",
		RuleSet: verdict.RuleSet{Count: 120, Packs: []string{"fasteners", "welds"}, Added: []string{"own-rule"}, Disabled: []string{"tab-bend: RT, no bent tabs"}},
		Policy:  []verdict.Policy{{Name: "design_factor", Value: "3", Doc: "on yield or buckling"}, {Name: "tack_strength", Value: "0", Doc: "what a tack counts for", Changed: true}},
		Moves: []verdict.Move{
			{ID: "onto-hub-stands", Kind: "lower", Title: "from the frame stands onto four stands under the uprights", Span: span(690), Steps: []verdict.Step{step, raised}, Findings: append(blocked, soft...),
				Passed: []verdict.Passed{{Rule: "stand-rated", Items: []string{"fl-hub-stand", "fr-hub-stand"}}}, Tightest: []verdict.Strength{column},
				Heavier: &verdict.Heavier{Share: -0.2, Mass: verdict.Figure{Value: 294, Unit: "kg"}, Item: "rr-strut"}, SignOff: &verdict.SignOff{By: "RT", On: day, File: "go.yaml", Why: []string{"fr-lower-nut was fitted"}}},
			{ID: "off-table-tied", Kind: "lower", Steps: []verdict.Step{fine}, Findings: soft[1:2], Heavier: &verdict.Heavier{Share: 0.25, Mass: verdict.Figure{Value: 459, Unit: "kg"}, Item: "rl-stand"},
				SignOff: &verdict.SignOff{By: "RT", On: day, File: "go.yaml", Stands: true}},
		},
		Tacks: []verdict.Tack{{ID: "rl-toe-mount", Place: "rear-left", Made: "tack", What: "4 tacks × 8 mm", WaitsFor: "toe check", Since: &day, Span: span(634),
			Moves: []verdict.TackMove{{Move: "onto-hub-stands", Carries: "vehicle", Load: newton(45), WouldBear: newton(9000), Blocks: true}, {Move: "off-table-tied"}}}},
		Cautions: []string{"Nobody is under the vehicle while it moves.", "One person gives the word."},
	}
	punch.Fill(r)
	r.Decide()
	return r
}
