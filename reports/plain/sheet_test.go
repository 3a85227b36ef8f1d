package plain

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"setdown/rules/verdict"
)

// What is known to be bad is on the sheet although it stops nothing: once an item, and only
// where nothing rests on it in any step.
func TestIdle(t *testing.T) {
	note := func(item string, bad bool, steps ...string) verdict.Finding {
		return verdict.Finding{Rule: "a", Outcome: verdict.Note, Item: item, Steps: steps, KnownBad: bad}
	}
	m := &verdict.Move{Steps: []verdict.Step{{Name: "up"}, {Name: "down"}}}
	assert.Empty(t, idle(m, Names))
	m.Findings = []verdict.Finding{
		note("nut", true, "up", "down"), note("spacers", true, "up", "down"), note("nut", true, "up", "down"),
		note("bush", false, "up", "down"), note("strut", true, "up"), note("arm", true, "up", "down"),
	}
	assert.Equal(t, "Known bad, but nothing rests on it in this move: nut, spacers, arm (3)", idle(m, Names))
}

// A board says as many cautions of a move as its sheet lists: alike ones are one.
func TestOneCountOfCautions(t *testing.T) {
	m := &verdict.Move{Decision: verdict.Go, Findings: []verdict.Finding{
		finding("a", verdict.Caution, "v"), finding("a", verdict.Caution, "w"), finding("b", verdict.Caution, "u"),
		{Rule: "c", Outcome: verdict.NotRecorded, Item: "w", Kind: "welds", Missing: []verdict.Missing{leg}},
	}}
	s := NewSheet(&verdict.Report{}, m, Names)
	assert.Len(t, s.Cautions, 2)
	assert.Len(t, s.Soft, 1)
	assert.Equal(t, 3, Cautions(m))
	assert.Contains(t, State(m), "3 cautions")
	assert.Contains(t, s.Rest, "Read the 3 cautions first.")
}

func TestBoardLead(t *testing.T) {
	r := &verdict.Report{Moves: []verdict.Move{{Decision: verdict.NoGo}, {Decision: verdict.NoGo}}}
	assert.Equal(t, "None of 2 moves can go. This does not say that the vehicle is safe where it is now: if it is on a jack or crane, keep everybody clear.", BoardLead(r))
	r.Moves[1].Decision = verdict.Go
	assert.Equal(t, "Nothing recorded stops 1 of 2 moves. This is not permission.", BoardLead(r))
	r.Moves[1].Decision, r.Assumed = verdict.NoGo, []string{"nut.found.fitted=yes"}
	assert.Contains(t, BoardLead(r), "WHAT-IF ONLY: with what is assumed, none of 2 moves can go. ")
}
