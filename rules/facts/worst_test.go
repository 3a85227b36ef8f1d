package facts_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/rules/facts"
)

// mounted bolts a box of some mass to the frame and lets brackets with welds hold it, of which
// the file says what spec says.
func mounted(t *testing.T, kg float64, needed int, spec string) *facts.Object {
	t.Helper()
	s := with(t,
		"format: setdown/1", "format: setdown/2",
		"joints:\n", fmt.Sprintf("  box: {mass: %g kg, cg: [1000, 0, 550], role: body}\njoints:\n  box-mounts: {kind: bolted face, between: [box, frame], at: [1000, 0, 500]}\n", kg),
		"supports:\n", fmt.Sprintf("welds:\n  brackets: {holds: [box-mounts], role: mount, needed: %d, parent: mild steel, found: {made: full}, %s}\nsupports:\n", needed, spec))
	return item(t, s, "welds", "brackets")
}

// TestTakenAtItsWorst leaves out of a weld what a builder does not know by heart. Four brackets
// with 120 mm of 4 mm fillet each hold a box of 20 kg many times over, whatever they are
// made of; of 200 kg where the weld stands and how wide its lines are decides, and of
// the metals nothing.
func TestTakenAtItsWorst(t *testing.T) {
	const short = "fillet: {leg: 4 mm, length: 120 mm, sides: 2}, base: 4 mm"
	light := mounted(t, 20, 4, short)
	require.Less(t, value(t, light, "utilisation"), 0.5)
	list := facts.Comparisons(light)
	require.Len(t, list, 1)
	for _, said := range []string{"fillet.centre not recorded: 50 mm", "fillet.width not recorded: 8 mm", "fillet.layout not recorded", "fillet.filler not recorded", "base.material not recorded"} {
		require.True(t, slices.ContainsFunc(list[0].Bears.Assumptions, func(a string) bool { return strings.HasPrefix(a, said) }), "%s: %v", said, list[0].Bears.Assumptions)
	}
	_, unknown := mounted(t, 200, 4, short).Quantity("utilisation")
	require.ElementsMatch(t, []string{"welds.brackets.fillet.centre", "welds.brackets.fillet.width"}, unknown.Missing)

	// By hand: nothing that the file may say of what was taken for sure is worse.
	worst := value(t, light, "utilisation")
	for _, said := range []string{
		"fillet: {leg: 4 mm, length: 120 mm, sides: 2, layout: two lines, width: 8 mm, centre: [950, 0, 500], filler: E60}, base: 4 mm 1020 plate",
		"fillet: {leg: 4 mm, length: 120 mm, sides: 2, layout: two lines, width: 40 mm, centre: [1000, 50, 500], filler: ER308L}, base: 4 mm S355 plate",
		"fillet: {leg: 4 mm, length: 120 mm, sides: 2, layout: circle, centre: [1000, 0, 550], filler: ER70S-6}, base: 4 mm E235 plate",
	} {
		require.LessOrEqual(t, value(t, mounted(t, 20, 4, said), "utilisation"), worst+1e-9, said)
	}
	require.Greater(t, value(t, mounted(t, 20, 1, short), "utilisation"), 3*worst, "one bracket alone has no others to share with")
}
