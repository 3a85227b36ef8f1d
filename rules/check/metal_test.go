package check_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/rules/engine"
	"setdown/rules/pack"
	"setdown/rules/packs"
	"setdown/rules/verdict"
)

// engineWith has the built-in rules and a pack of the builder's own.
func engineWith(t *testing.T, own string) *engine.Engine {
	t.Helper()
	all, err := pack.LoadFS(packs.FS, ".")
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "mine.yaml")
	require.NoError(t, os.WriteFile(file, []byte(own), 0o600))
	mine, err := pack.LoadFile(file)
	require.NoError(t, err)
	e, err := engine.New(append(all, mine))
	require.NoError(t, err)
	return e
}

// rowOf is what was compared for an item in the last step of a move, by the words of the check.
func rowOf(t *testing.T, e *engine.Engine, file, move, item, check string) verdict.Strength {
	t.Helper()
	b, err := model.Read("b.yaml", []byte(file))
	require.NoError(t, err)
	steps := judge(t, e, b, move).Moves[0].Steps
	for _, s := range steps[len(steps)-1].Strengths {
		if s.Item == item && s.Check == check {
			return s
		}
	}
	require.Fail(t, "nothing was compared", "%s: %s", item, check)
	return verdict.Strength{}
}

// edited is a file with one thing written otherwise.
func edited(t *testing.T, file, old, new string) string {
	t.Helper()
	require.Contains(t, file, old)
	return strings.ReplaceAll(file, old, new)
}

// TestMetalCounts writes other metal, other sizes and other pieces into a demo and looks at the
// strength that counts then; beside each stands what it is by hand.
func TestMetalCounts(t *testing.T) {
	e := rules(t)
	file := text(t, "special-mended")
	of := func(file, item, check string) verdict.Strength {
		return rowOf(t, e, file, "onto-hub-stands", item, check)
	}
	working := func(s verdict.Strength, name string) float64 {
		for _, w := range s.Working {
			if w.Name == name {
				return w.Value
			}
		}
		require.Fail(t, "no such figure", "%s: %s", s.Check, name)
		return 0
	}

	// Aluminium: ER4043 bears 11.5 ksi × 19/30 on a throat of 0.707 × leg, and 6061-T6 beside the
	// weld 115/√3 MPa; a filler for steel bears nothing on it.
	light := edited(t, edited(t, file, "filler: ER70S-6", "filler: ER4043"), "base: 5 mm S355 plate, parent: mild steel", "base: {thickness: 5 mm, material: 6061-T6}, parent: aluminium")
	weld := of(light, "fl-strut-lower-mount", "fillet weld, full")
	assert.Empty(t, weld.NotComputed)
	assert.InDelta(t, 115, working(weld, "yield beside the weld"), 1e-9)
	assert.InDelta(t, 11.5*6.894757, working(weld, "shear strength of the filler"), 1e-3)
	assert.Less(t, weld.Strength.Value, of(file, "fl-strut-lower-mount", "fillet weld, full").Strength.Value/2)
	assert.Contains(t, of(edited(t, file, "base: 5 mm S355 plate", "base: {thickness: 5 mm, material: 6061-T6}"), "fl-strut-lower-mount", "fillet weld").NotComputed, "filler for steel")

	// The hole of a welded bracket lies in the softened metal, that of a forged or machined eye does not.
	bracket := edited(t, file, "tab: {thickness: 5 mm, edge: 22 mm, width: 44 mm, material: S355,", "tab: {thickness: 5 mm, edge: 22 mm, width: 44 mm, material: 6082-T6,")
	crushed := "tab crushed by the bolt"
	assert.InDelta(t, 125, working(of(bracket, "fl-strut-bottom-bolt", crushed), "yield"), 1e-9)
	head, rest, found := strings.Cut(bracket, "  fl-strut-bottom-bolt:")
	require.True(t, found)
	eye := edited(t, head+"  fl-strut-bottom-bolt:"+strings.Replace(rest, "material: 6082-T6,", "material: 6082-T6, integral: yes,", 1), "{holds: [fl-strut/bottom], role: bracket", "{holds: [fl-strut/top], role: bracket")
	assert.InDelta(t, 250, working(of(eye, "fl-strut-bottom-bolt", crushed), "yield"), 1e-9)

	// Thick plate yields earlier: EN 10025-2, S355 above 16 mm 345 MPa.
	thick := edited(t, file, "tab: {thickness: 5 mm, edge: 22 mm", "tab: {thickness: 20 mm, edge: 22 mm")
	assert.InDelta(t, 345, working(of(thick, "fl-strut-bottom-bolt", crushed), "yield"), 1e-9)

	// A flat bar of 40 × 12 mm on its weaker side: W = 40·12²/6 = 960 mm³.
	flat := edited(t, file, "section: {od: 30 mm, wall: 2.5 mm, material: E355, legs: 2}", "section: {width: 40 mm, thickness: 12 mm, material: E355, legs: 2}")
	assert.InDelta(t, 960, working(of(flat, "rl-lower-arm", "part in bending"), "section modulus"), 1e-9)

	// Tube that was formed cold, for a pack that says so: 0.49 takes off what EN 1993-1-1 does.
	bar := "bar in compression"
	mine := engineWith(t, "policy: {column_imperfection: \"0.49\"}")
	cold := rowOf(t, mine, file, "onto-hub-stands", "rl-strut", bar)
	assert.Contains(t, cold.Method, "EN 1993-1-1")
	usual := of(file, "rl-strut", bar)
	assert.Less(t, cold.Strength.Value, usual.Strength.Value)
	assert.Greater(t, cold.Strength.Value, usual.Strength.Value/1.5)
}
