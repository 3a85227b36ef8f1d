package text

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
	assert.Equal(t, []string{"engaged min is 11 mm; wanted at least 16 mm, and at least 24 mm"}, reasons(f, false))
	assert.Len(t, reasons(f, true), 3)
}

func TestShown(t *testing.T) {
	for want, v := range map[string]float64{"218 kg": 218.2, "74 kg": 74.4, "9.5 kg": 9.46, "0.45 kg": 0.4527, "0 kg": -0.001, "-10 kg": -9.99, "10769 kg": 10768.6} {
		assert.Equal(t, want, shown(verdict.Figure{Value: v, Unit: "kg"}))
	}
	for want, v := range map[string]float64{"1.00": 1, "just over 1": 1.0004, "3.26": 3.26, "0.01": 0.013} {
		assert.Equal(t, want, use(v))
	}
}

// A table that is wider than the page becomes a list, and no cell is lost.
func TestTableWiderThanThePage(t *testing.T) {
	var b strings.Builder
	p := newPage(&b, Options{Width: 40})
	p.table("  ", []string{"support", "even", "none", "what"}, [][]string{{"a-support-with-a-very-long-name", "12 kg", "-", "it falls"}})
	assert.Equal(t, "  a-support-with-a-very-long-name: even\n    12 kg, what it falls\n", b.String())
}

// FuzzClean: what comes from a file never steers the terminal.
func FuzzClean(f *testing.F) {
	f.Add("\x1b[2J\r\n\u202e\x00\xff")
	f.Fuzz(func(t *testing.T, s string) {
		var b strings.Builder
		newPage(&b, Options{}).para("", clean(s))
		for _, r := range strings.ReplaceAll(b.String(), "\n", "") {
			if r < ' ' || r == 0x7f || r >= 0x80 && r < 0xa0 {
				t.Fatalf("%q lets %U through", s, r)
			}
		}
	})
}
