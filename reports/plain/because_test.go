package plain

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"setdown/model/schema"
	"setdown/rules/facts"
	"setdown/rules/verdict"
)

func fact(name, value string) verdict.Term { return verdict.Term{Fact: name, Value: value} }

func word(value string) verdict.Term { return verdict.Term{Value: value} }

func made(op, value string, of ...verdict.Term) verdict.Term {
	return verdict.Term{Op: op, Value: value, Of: of}
}

func TestBecause(t *testing.T) {
	for _, c := range []struct {
		left  verdict.Term
		op    string
		right verdict.Term
		want  string
	}{
		{fact("bolt.torque_share", "0"), ">=", fact("policy.torque_share", "0.9"), "torque reached is 0 % of the torque asked for; wanted at least 90 % of the torque asked for (policy)"},
		{fact("link.engaged_min", "11 mm"), ">=", made("*", "24 mm", word("1.5"), fact("link.thread_diameter", "16 mm")), "thread in the bar at the shorter end is 11 mm; wanted at least 24 mm (1.5 × thread diameter)"},
		{fact("step.tip_margin", "1 mm"), ">=", made("*", "5 mm", fact("policy.tip_share", "0.1"), fact("step.tip_span", "50 mm")), "distance of the centre of gravity inside the supports is 1 mm; wanted at least 5 mm (policy)"},
		{made("-", "7 mm", fact("link.twin_length", "307 mm"), fact("link.found.length", "300 mm")), "<=", word("1 mm"), "length of the bar on the other side less length is 7 mm; wanted at most 1 mm"},
		{made("abs", "2°", fact("wheel.found.toe", "-2°")), "<=", word("1°"), "abs(toe) is 2°; wanted at most 1°"},
		{fact("site.found.on", "2026-11-26"), "<=", fact("today", "2026-11-25"), "the day it was seen is 2026-11-26; wanted at most 2026-11-25 (today)"},
		{fact("weld.found.made", "tack"), "in", made(verdict.List, "part, full", word("part"), word("full")), "made is tack; wanted part or full"},
		{fact("link.found.jam_nuts", "loose"), "==", word("tight"), "jam nuts is loose; wanted tight"},
		{fact("weld.found.inspected", "no"), "", verdict.Term{}, "inspected is no; wanted yes"},
		{fact("weld.one_sided", "yes"), "!", verdict.Term{}, "one sided is yes; wanted no"},
		{fact("spacer.missing", "1"), "==", word("0"), "number missing is 1; wanted 0"},
		{fact("weld.size", "1"), "f", verdict.Term{}, "size is 1; wanted: the rule's own text"},
		{made("in", "yes", fact("nut.lock", "none"), made(verdict.List, "none", word("none"))), "!", verdict.Term{}, "lock is none; wanted: the rule's own text"},
		{verdict.Term{}, "", verdict.Term{}, "wanted: the rule's own text"},
		{verdict.Term{}, ">=", verdict.Term{}, "wanted: the rule's own text"},
	} {
		assert.Equal(t, c.want, because(verdict.Because{Expr: "the rule's own text", Left: c.left, Op: c.op, Right: c.right}).String())
	}
}

// TestSpokenNamesAreOfFacts: no spoken name outlives its fact.
func TestSpokenNamesAreOfFacts(t *testing.T) {
	known := map[string]bool{}
	var add func([]schema.Field)
	add = func(fields []schema.Field) {
		for _, f := range fields {
			known[f.Name] = true
			add(f.Fields)
		}
	}
	for _, k := range append(facts.Kinds(), facts.Policy) {
		add(k.Fields)
	}
	for name := range spoken {
		assert.True(t, known[name], name)
	}
}

func TestSeveralLimitsAreOneLine(t *testing.T) {
	engaged := fact("link.engaged_min", "11 mm")
	f := verdict.Finding{Because: []verdict.Because{
		{Left: engaged, Op: ">=", Right: word("16 mm")},
		{Left: engaged, Op: ">=", Right: word("24 mm")},
		{Left: fact("link.found.jam_nuts", "loose"), Op: "==", Right: word("tight")},
		{Left: fact("policy.tack_strength", "0"), Op: ">", Right: word("0")},
	}}
	assert.Equal(t, []string{"thread in the bar at the shorter end is 11 mm; wanted at least 16 mm, and at least 24 mm"}, Reasons(&f, false))
	assert.Len(t, Reasons(&f, true), 3)
}
