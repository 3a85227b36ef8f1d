package csvr

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	_ "setdown/reports/golden" // for -update
	"setdown/rules/verdict"
)

func TestHarmless(t *testing.T) {
	for in, want := range map[string]string{
		"weld it full":     "weld it full",
		"12 mm":            "12 mm",
		"=cmd()":           "'=cmd()",
		"+1":               "'+1",
		"-1":               "'-1",
		"@sum":             "'@sum",
		"\t=cmd()":         "'=cmd()",
		"\x1b\u200b=cmd()": `\x1b\u200b=cmd()`,
		"＝cmd()":           "'＝cmd()",
		"two\nlines":       "two lines",
		"":                 "",
	} {
		assert.Equal(t, want, harmless(in))
	}
}

// TestLoads writes a link, a bent part and what cannot be compared.
func TestLoads(t *testing.T) {
	newton := func(v float64) *verdict.Figure { return &verdict.Figure{Value: v, Unit: "N"} }
	r := &verdict.Report{Moves: []verdict.Move{{ID: "down", Steps: []verdict.Step{{
		Name:      "=on stands",
		Loads:     []verdict.Load{{Item: "strut", Kind: "link", Place: "rear-left", Nominal: *newton(-900), Tension: newton(0), Compression: newton(1518.5), Worst: *newton(1518.5), LetsGo: "falls"}},
		Bends:     []verdict.Bend{{Item: "arm", Place: "rear-left", Moment: verdict.Figure{Value: 101.4, Unit: "N·m"}, Thrust: *newton(-57), Torsion: verdict.Figure{Unit: "N·m"}}},
		Strengths: []verdict.Strength{{Item: "strut", Utilisation: 0.5}, {Item: "strut", Utilisation: 0.2}, {Item: "arm", NotComputed: "no section"}},
	}}}}}
	var b strings.Builder
	require.NoError(t, Loads(&b, r))
	assert.Equal(t, `move,step,kind,item,place,straight_down_n,most_pull_n,most_push_n,along_bolt_n,across_bolt_n,worst_n,bent_nm,pushed_n,twisted_nm,use,if_lost
down,'=on stands,link,strut,rear-left,-900.0000,0.0000,1518.5000,,,1518.5000,,,,0.5000,falls
down,'=on stands,part,arm,rear-left,,,,,,,101.4000,-57.0000,0.0000,,
`, b.String())
}
