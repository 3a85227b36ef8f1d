package verdict_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"setdown/model/quantity"
	"setdown/rules/verdict"
)

// Stands tip and slide themselves: a push that takes them for fixed is not printed. Where
// somebody works, what pull moves it is.
func TestBalance(t *testing.T) {
	step := func(kinds ...string) *verdict.Step {
		s := &verdict.Step{Stability: &verdict.Stability{
			Margin: verdict.Figure{Value: 570, Unit: "mm"}, TipAngle: verdict.Figure{Value: 87, Unit: "°"}, TipPush: verdict.Figure{Value: 55269, Unit: "N"},
			Words: "570 mm inside",
		}}
		for _, k := range kinds {
			s.Supports = append(s.Supports, verdict.Reaction{Kind: k})
		}
		return s
	}
	assert.Equal(t, "570 mm inside; it tips over that line at 87 °, or at a push of 55000 N at the height of the centre of gravity", step("wheel", "dolly", "table").Balance(quantity.Metric))
	for _, kind := range []string{"stand", "crib", "trestle", "jack", "hoist pad"} {
		assert.Equal(t, "570 mm inside; it tips over that line at 87 °", step("wheel", kind).Balance(quantity.Metric), kind)
	}
	worked := step("stand")
	worked.Stability.Pulls = &verdict.Pulls{
		Tips:  &verdict.Pull{Force: verdict.Figure{Value: 486, Unit: "N"}, Way: "down", At: "rl-upright", Bar: &verdict.Figure{Value: 600, Unit: "mm"}},
		Slews: &verdict.Pull{Force: verdict.Figure{Value: 157, Unit: "N"}, Way: "across", At: "fl-upright"},
	}
	assert.Equal(t, "570 mm inside; it tips over that line at 87 °; a pull of 490 N down on a bar of 600 mm at rl-upright tips it, 160 N across at fl-upright slews it round", worked.Balance(quantity.Metric))
	worked.Stability.Pulls = &verdict.Pulls{}
	assert.Contains(t, worked.Balance(quantity.Metric), "; no pull of a person moves it")
	assert.NotContains(t, step().Balance(quantity.Metric), "push of")
	small := step("wheel")
	small.Stability.TipPush.Value = 5.04
	assert.Contains(t, small.Balance(quantity.Metric), "push of 5 N")
	outside := &verdict.Step{Stability: &verdict.Stability{Margin: verdict.Figure{Value: -12, Unit: "mm"}, Words: "may be 12 mm OUTSIDE"}}
	assert.Equal(t, "may be 12 mm OUTSIDE", outside.Balance(quantity.Metric))
	feet := step("wheel")
	feet.Stability.Edges = []verdict.Edge{{From: "rl", To: "rr", Worst: verdict.Figure{Value: 570, Unit: "mm"}}}
	assert.Equal(t, "centre of gravity at least 22 7/16 in inside the line rl to rr, masses at the worst of their ±; it tips over that line at 87 °, or at a push of 12000 lbf at the height of the centre of gravity",
		feet.Balance(quantity.Inch))
	assert.Empty(t, (&verdict.Step{}).Balance(quantity.Metric))
}
