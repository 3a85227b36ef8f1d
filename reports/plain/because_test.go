package plain

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"setdown/rules/verdict"
)

func TestBecause(t *testing.T) {
	for _, c := range []struct {
		expr   string
		values []verdict.Value
		want   string
	}{
		{"bolt.torque_share >= policy.torque_share", []verdict.Value{{Name: "bolt.torque_share", Value: "0"}, {Name: "policy.torque_share", Value: "0.9"}}, "torque share is 0; wanted at least 0.9 (policy)"},
		{"link.engaged_min >= 1.5 * link.thread_diameter", []verdict.Value{{Name: "link.engaged_min", Value: "11 mm"}, {Name: "1.5 * link.thread_diameter", Value: "24 mm"}}, "engaged min is 11 mm; wanted at least 24 mm (1.5 × thread diameter)"},
		{"link.twin_difference <= mm(1.0)", []verdict.Value{{Name: "link.twin_difference", Value: "12 mm"}}, "twin difference is 12 mm; wanted at most 1 mm"},
		{`weld.found.made in ["part", "full"]`, []verdict.Value{{Name: "weld.found.made", Value: "tack"}}, "made is tack; wanted part or full"},
		{`link.found.jam_nuts == "tight"`, []verdict.Value{{Name: "link.found.jam_nuts", Value: "loose"}}, "jam nuts is loose; wanted tight"},
		{"weld.found.inspected", []verdict.Value{{Name: "weld.found.inspected", Value: "no"}}, "inspected is no; wanted yes"},
		{"!weld.one_sided", []verdict.Value{{Name: "weld.one_sided", Value: "yes"}}, "one sided is yes; wanted no"},
		{"spacer.missing == 0", []verdict.Value{{Name: "spacer.missing", Value: "1"}}, "missing is 1; wanted 0"},
		{"f(weld.size)", []verdict.Value{{Name: "weld.size", Value: "1"}}, "size is 1; wanted: f(weld.size)"},
		{"", nil, "wanted:"},
	} {
		assert.Equal(t, c.want, strings.TrimSpace(because(verdict.Because{Expr: c.expr, Values: c.values})), c.expr)
	}
}

func TestSeveralLimitsAreOneLine(t *testing.T) {
	engaged := verdict.Value{Name: "link.engaged_min", Value: "11 mm"}
	f := verdict.Finding{Because: []verdict.Because{
		{Expr: "link.engaged_min >= mm(16.0)", Values: []verdict.Value{engaged}},
		{Expr: "link.engaged_min >= mm(24.0)", Values: []verdict.Value{engaged}},
		{Expr: `link.found.jam_nuts == "tight"`, Values: []verdict.Value{{Name: "link.found.jam_nuts", Value: "loose"}}},
		{Expr: "policy.tack_strength > 0.0", Values: []verdict.Value{{Name: "policy.tack_strength", Value: "0"}}},
	}}
	assert.Equal(t, []string{"engaged min is 11 mm; wanted at least 16 mm, and at least 24 mm"}, Reasons(&f, false))
	assert.Len(t, Reasons(&f, true), 3)
}
