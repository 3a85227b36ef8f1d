package check_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/rules/verdict"
)

// What is taken as so without a line that says it is said: what a bolt holds by its name, the
// middle of an arm's joints, a place measured by nobody's ±, and what somebody struck out.
func TestTakenIsSaid(t *testing.T) {
	build := `format: setdown/2
places: [front-left]
parts: {frame: {mass: 100 kg, cg: [0, 0, 0], role: frame}, arm: {mass: 3 kg, role: arm, place: front-left}}
joints:
  in: {kind: bush, between: [arm, frame], at: [0, 0, 0]}
  out: {kind: bush, between: [arm, frame], at: [100 ± 2, 0 ± 2, 0 ± 2]}
fasteners: {in-bolt: {}, out-bolt: {holds: [out]}}
restraints: {strap: {ties: [front-left], to: frame}}
supports: {s: {kind: stand, under: frame, at: [0, 0, 0]}}
moves: {down: {kind: lower, steps: [{name: a, supports: [s], restraints: [strap]}]}}
`
	b, err := model.Read("b.yaml", []byte(build), model.Companions{Looks: []byte("- {struck: {item: anti-roll-bar, why: left off}, day: 2026-11-20, by: TN}\n")})
	require.NoError(t, err)
	day := b.Log.Notes[0].Day
	assert.Equal(t, []verdict.Taken{
		{What: verdict.HoldsByName, Items: []string{"in-bolt"}},
		{What: verdict.MiddleOfJoints, Items: []string{"arm"}},
		{What: verdict.TiesUpPlace, Items: []string{"strap"}},
		{What: verdict.WithinTape, Items: []string{"in", "s"}},
		{What: verdict.NotThere, Items: []string{"anti-roll-bar"}, Why: "left off", By: "TN", On: &day},
	}, judge(t, rules(t), b, "down").Taken)
	// What ties up the place of an arm ties the arm.
	assert.Equal(t, []string{"arm"}, b.Item("strap").Texts("ties"))
}
