package plain

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"setdown/rules/verdict"
)

// What is known to be bad is on the sheet although it stops nothing: once an item, and only
// where nothing rests on it in any step.
func TestIdle(t *testing.T) {
	note := func(item, fact string, steps ...string) verdict.Finding {
		return verdict.Finding{Rule: "a", Outcome: verdict.Note, Item: item, Steps: steps, Because: []verdict.Because{{Left: verdict.Term{Fact: fact}}}}
	}
	m := &verdict.Move{Steps: []verdict.Step{{Name: "up"}, {Name: "down"}}}
	assert.Empty(t, idle(m))
	m.Findings = []verdict.Finding{
		note("nut", "it.passed_over", "up", "down"), note("spacers", "it.passed_over", "up", "down"), note("nut", "it.passed_over", "up", "down"),
		note("bush", "bolt.found.tightness", "up", "down"), note("strut", "it.passed_over", "up"),
	}
	assert.Equal(t, "Known bad, but nothing rests on it in this move: nut, spacers (2)", idle(m))
}

func TestBoardLead(t *testing.T) {
	r := &verdict.Report{Moves: []verdict.Move{{Decision: verdict.NoGo}, {Decision: verdict.NoGo}}}
	assert.Equal(t, "None of 2 moves can go. This does not say that the vehicle is safe where it is now: if it is on a jack or crane, keep everybody clear.", BoardLead(r))
	r.Moves[1].Decision = verdict.Go
	assert.Equal(t, "Nothing recorded stops 1 of 2 moves. This is not permission.", BoardLead(r))
	r.Moves[1].Decision, r.Assumed = verdict.NoGo, []string{"nut.found.fitted=yes"}
	assert.Contains(t, BoardLead(r), "WHAT-IF ONLY: with what is assumed, none of 2 moves can go. ")
}
