package check_test

import (
	"fmt"
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
	b, err := model.Read("b.yaml", []byte(file), model.Companions{})
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

// rewritten is a file with one thing written otherwise.
func rewritten(t *testing.T, file, old, new string) string {
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
	light := rewritten(t, rewritten(t, file, "filler: ER70S-6", "filler: ER4043"), "base: 5 mm S355 plate, parent: mild steel", "base: {thickness: 5 mm, material: 6061-T6}, parent: aluminium")
	weld := of(light, "fl-strut-lower-mount", "fillet weld, full")
	assert.Empty(t, weld.NotComputed)
	assert.InDelta(t, 115, working(weld, "yield beside the weld"), 1e-9)
	assert.InDelta(t, 11.5*6.894757, working(weld, "shear strength of the filler"), 1e-3)
	assert.Less(t, weld.Strength.Value, of(file, "fl-strut-lower-mount", "fillet weld, full").Strength.Value/2)
	assert.Contains(t, of(rewritten(t, file, "base: 5 mm S355 plate", "base: {thickness: 5 mm, material: 6061-T6}"), "fl-strut-lower-mount", "fillet weld").NotComputed, "filler for steel")

	// The hole of a welded bracket lies in the softened metal, that of a forged or machined eye does not.
	bracket := rewritten(t, file, "tab: {thickness: 5 mm, edge: 22 mm, width: 44 mm, material: S355,", "tab: {thickness: 5 mm, edge: 22 mm, width: 44 mm, material: 6082-T6,")
	crushed := "tab crushed by the bolt"
	assert.InDelta(t, 125, working(of(bracket, "fl-strut-bottom-bolt", crushed), "yield"), 1e-9)
	head, rest, found := strings.Cut(bracket, "  fl-strut-bottom-bolt:")
	require.True(t, found)
	eye := rewritten(t, head+"  fl-strut-bottom-bolt:"+strings.Replace(rest, "material: 6082-T6,", "material: 6082-T6, integral: yes,", 1), "{holds: [fl-strut/bottom], role: bracket", "{holds: [fl-strut/top], role: bracket")
	assert.InDelta(t, 250, working(of(eye, "fl-strut-bottom-bolt", crushed), "yield"), 1e-9)

	// Thick plate yields earlier: EN 10025-2, S355 above 16 mm 345 MPa.
	thick := rewritten(t, file, "tab: {thickness: 5 mm, edge: 22 mm", "tab: {thickness: 20 mm, edge: 22 mm")
	assert.InDelta(t, 345, working(of(thick, "fl-strut-bottom-bolt", crushed), "yield"), 1e-9)

	// A flat bar of 40 × 12 mm on its weaker side: W = 40·12²/6 = 960 mm³.
	flat := rewritten(t, file, "section: {od: 38 mm, wall: 3 mm, material: E355, legs: 2}", "section: {width: 40 mm, thickness: 12 mm, material: E355, legs: 2}")
	assert.InDelta(t, 960, working(of(flat, "rl-lower-arm", "part in bending"), "section modulus"), 1e-9)

	// A box of 50 × 30 × 3 mm on its weaker side: 3.80 cm³ by EN 10219-2, table B.3 (memory).
	box := rewritten(t, file, "section: {od: 38 mm, wall: 3 mm, material: E355, legs: 2}", "section: {width: 30 mm, height: 50 mm, wall: 3 mm, material: E355, legs: 2}")
	bent := of(box, "rl-lower-arm", "part in bending")
	assert.InEpsilon(t, 3800, working(bent, "section modulus"), 0.005)
	assert.InDelta(t, (working(bent, "moment out of the plane of its legs")+working(bent, "moment in their plane"))*working(bent, "the ± of the masses"), bent.Load.Value, 0.1, "its corner feels both")

	// Tube that was formed cold, for a pack that says so: 0.49 takes off what EN 1993-1-1 does.
	bar := "bar in compression"
	mine := engineWith(t, "policy: {column_imperfection: \"0.49\"}")
	cold := rowOf(t, mine, file, "onto-hub-stands", "rl-strut", bar)
	assert.Contains(t, cold.Source, "EN 1993-1-1")
	usual := of(file, "rl-strut", bar)
	assert.Less(t, cold.Strength.Value, usual.Strength.Value)
	assert.Greater(t, cold.Strength.Value, usual.Strength.Value/1.5)
}

// TestRodEndInAnArm screws a rod end into a wishbone. By hand an M16 of 600 MPa, held 30 mm
// from the ball, yields at 600·244/30 = 4880 N across its shank.
func TestRodEndInAnArm(t *testing.T) {
	e := rules(t)
	joint := "{kind: spherical bearing, between: [fl-lower-arm, frame], at: [2420, 215, 150], axis: [1, 0, 0], bush: none,\n     "
	found := "misalignment: 4 deg, worn: no, on: 2026-11-20, by: RT}}\n  fl-lower-rear:"
	with := func(shank, seen string) string {
		file := rewritten(t, text(t, "special-mended"), joint, strings.Replace(joint, "spherical bearing", "rod end", 1)+shank)
		return rewritten(t, file, found, seen+found)
	}
	blocking := func(file string) []string {
		b, err := model.Read("b.yaml", []byte(file), model.Companions{})
		require.NoError(t, err)
		var list []string
		for _, f := range judge(t, e, b, "onto-hub-stands").Moves[0].Findings {
			if f.Blocks() && f.Item == "fl-lower-front" { // nothing is found on its twin
				list = append(list, f.Rule)
			}
		}
		return list
	}
	seen := "engaged: 20 mm, jam_nuts: tight, jam_nut_hand: right, "
	strong := "rod_end: {thread: M16x2, engagement_needed: 18 mm, hand: right, exposed: 30 mm, yield: 600 MPa},\n     "
	row := rowOf(t, e, with(strong, seen), "onto-hub-stands", "fl-lower-front", "shank of the rod end in bending")
	assert.InDelta(t, 4880, row.Strength.Value, 2)
	assert.Contains(t, row.Assumptions, "direction of the shank not recorded: the whole force taken across it")

	assert.Empty(t, blocking(with(strong, seen)))
	assert.ElementsMatch(t, []string{"arm-rod-end-engaged", "jam-nut-tight", "arm-rod-end-bends"}, blocking(with("", "")), "nothing is recorded")
	assert.Equal(t, []string{"arm-rod-end-bends"}, blocking(with(strings.Replace(strong, "exposed: 30 mm", "exposed: 120 mm", 1), seen)))
	assert.Equal(t, []string{"arm-rod-end-bends"}, blocking(with(strings.Replace(strong, "exposed: 30 mm, ", "", 1), seen)), "forgotten it is as bad as the worst")
	assert.Equal(t, []string{"arm-rod-end-engaged"}, blocking(with(strong, strings.Replace(seen, "20 mm", "12 mm", 1))))
	assert.Equal(t, []string{"arm-rod-end-hand"}, blocking(with(strong, strings.Replace(seen, "right", "left", 1))))
	assert.Equal(t, []string{"arm-rod-end-hand"}, blocking(with(strings.Replace(strong, "hand: right, ", "", 1), seen)), "what was seen of a nut is held against its thread")
	assert.Equal(t, []string{"jam-nut-tight"}, blocking(with(strong, strings.Replace(seen, "tight", "loose", 1))))
	assert.Equal(t, []string{"witness-hole"}, blocking(with(strong, seen+"witness_blocked: no, ")))
}

// TestExposedShanks screws the rod ends of a strut far out: 60 mm of M10 at either end nearly
// halve the column, and of what nobody measured the worst is taken.
func TestExposedShanks(t *testing.T) {
	e := rules(t)
	bears := func(thread, shank string) verdict.Strength {
		file := rewritten(t, text(t, "special-mended"), "rod_ends: {thread: M12x1.75,", "rod_ends: {thread: "+thread+",")
		return rowOf(t, e, rewritten(t, file, "exposed: 32 mm, yield: 420 MPa, ", shank), "onto-hub-stands", "rl-strut", "bar in compression")
	}
	far := bears("M10x1.5", "exposed: 60 mm, yield: 640 MPa, ")
	for _, w := range far.Working {
		if w.Name == "without shanks" {
			assert.Less(t, far.Strength.Value, 0.6*w.Value)
		}
	}
	none := bears("M12x1.75", "")
	assert.Len(t, none.Assumptions, 3, "%s", none.Assumptions)
	assert.Equal(t, bears("M12x1.75", "exposed: 120 mm, yield: 240 MPa, ").Strength, none.Strength)
	thin := rewritten(t, text(t, "special-mended"), "thread: M12x1.75, static_rating: 20 kN, axial_rating: 2 kN, engagement_needed: 18 mm, exposed: 32 mm, yield: 420 MPa,", "thread: M10x1.5, static_rating: 20 kN, axial_rating: 2 kN, engagement_needed: 18 mm,")
	assert.Contains(t, stopped(t, thin), "link-column", "asked for where the worst would not do")

	// Out of square past the limit stops it, where it was a caution on links.
	slanted := rewritten(t, text(t, "special-mended"), "bottom: {on: fl-lower-arm, at: [2305, 480, 172], axis: [1, 0, 0]", "bottom: {on: fl-lower-arm, at: [2305, 480, 172], axis: [1, 0.6, 0]")
	assert.Contains(t, stopped(t, slanted), "link-angle-past")
}

// TestAskedWhereItDecides: what is taken at its worst because nobody recorded it is asked for
// where it decides, and only there.
func TestAskedWhereItDecides(t *testing.T) {
	e := rules(t)
	file := text(t, "special-mended")
	const drawn = "at: [2420, 215, 150], axis: [1, 0, 0], bush: none,\n     static_rating: 30 kN, axial_rating: 4 kN"
	asks := func(e *engine.Engine, file, item string) map[string][]string {
		b, err := model.Read("b.yaml", []byte(file), model.Companions{})
		require.NoError(t, err)
		list := map[string][]string{}
		for _, f := range judge(t, e, b, "onto-hub-stands").Moves[0].Findings {
			if f.Blocks() && f.Item == item {
				list[f.Rule] = append(list[f.Rule], string(f.Outcome))
				for _, m := range f.Missing {
					list[f.Rule] = append(list[f.Rule], m.Path)
				}
			}
		}
		return list
	}
	strong := strings.NewReplacer("30 kN", "60 kN", "4 kN", "20 kN").Replace(drawn)
	without := func(joint string) string {
		return rewritten(t, file, drawn, strings.Replace(joint, "axis: [1, 0, 0], ", "", 1))
	}
	assert.Empty(t, asks(e, without(strong), "fl-lower-front"), "the whole force along its bolt would do")
	assert.Equal(t, map[string][]string{"joint-rating": {"not recorded", "joints.fl-lower-front.axis"}}, asks(e, without(drawn), "fl-lower-front"))
	weak := asks(e, without(strings.Replace(drawn, "4 kN", "1.2 kN", 1)), "fl-lower-front")
	assert.Equal(t, []string{"not recorded", "joints.fl-lower-front.axis"}, weak["bearing-side-load"])

	// Tabs on both sides of it are written as the clear width between them; without, it is asked
	// and nobody is told to support it on both sides.
	lower := text(t, "special-mended")
	planes := strings.ReplaceAll(lower, "shear_planes: 2, ", "")
	assert.Empty(t, asks(e, planes, "fl-lower-front-bolt"), "bracket_gap: two tabs")
	gapless := strings.ReplaceAll(planes, "bracket_gap: 38 mm, ", "")
	assert.NotContains(t, fmt.Sprint(asks(e, gapless, "fl-lower-front-bolt")["bolt-bending"]), "stop")

	// A bolt that its shank would bear, and its thread would not.
	bolt := rowOf(t, e, file, "onto-hub-stands", "rl-lower-front-bolt", "bolt in double shear")
	const between = 48e3 // N: M10 8.8 yields at 38.6 kN in two planes through its thread, at 58.0 kN in its shank
	hard := engineWith(t, fmt.Sprintf("policy: {design_factor: \"%.1f\"}", between/bolt.Load.Value))
	assert.NotContains(t, asks(hard, file, "rl-lower-front-bolt"), "bolt-shear")
	unsaid := strings.ReplaceAll(file, "shear_planes: 2, thread_in_shear: no,", "shear_planes: 2,")
	assert.Equal(t, []string{"not recorded", "fasteners.rl-lower-front-bolt.thread_in_shear"}, asks(hard, unsaid, "rl-lower-front-bolt")["bolt-shear"])
	assert.Equal(t, []string{"stop"}, asks(hard, rewritten(t, file, "shear_planes: 2, thread_in_shear: no,", "shear_planes: 2, thread_in_shear: yes,"), "rl-lower-front-bolt")["bolt-shear"])
}

// TestClevisPin puts a pin with a circlip in the place of a bolt: no class, no torque and no
// thread is asked of it. By hand 12 mm of C45 through an eye of 20 mm in plates of 5 mm with
// gaps of 1 mm: lever (20 + 4 + 10)/8 = 4.25 mm, W 169.6 mm³, bends at 0.8·169.6·305/4.25 = 9740 N,
// shears at 2·305/√3·113.1 = 39 831 N, together 9461 N.
func TestClevisPin(t *testing.T) {
	e := rules(t)
	from, to := "thread: M12x1.75, class: \"8.8\", torque: 75 N·m, surface: plain, lock: nylon-insert nut, tapped_into: nothing,\n     shear_planes: 2, thread_in_shear: no,", "pin: {diameter: 12 mm, eye: 20 mm, gap: 1 mm, material: C45}, lock: circlip,"
	seen := "tightness: torqued, torqued: 75 N·m, marked: yes, threads_past: 3, class_mark: \"8.8\", thread_read: M12x1.75,\n      nut_thread: M12x1.75, forced: no, "
	file := rewritten(t, rewritten(t, text(t, "special-mended"), from, to), seen, "")
	row := rowOf(t, e, file, "onto-hub-stands", "rl-strut-bottom-bolt", "clevis pin in its fork")
	assert.InDelta(t, 9461, row.Strength.Value, 5)
	assert.InDelta(t, 0.9, row.Utilisation, 0.1)

	stops := func(file string) []string {
		b, err := model.Read("b.yaml", []byte(file), model.Companions{})
		require.NoError(t, err)
		var list []string
		for _, f := range judge(t, e, b, "onto-hub-stands").Moves[0].Findings {
			if f.Blocks() && f.Item == "rl-strut-bottom-bolt" {
				list = append(list, f.Rule)
			}
		}
		return list
	}
	assert.Empty(t, stops(file))
	pin := func(old, new string) []string { return stops(rewritten(t, file, old, new)) }
	assert.Equal(t, []string{"pin-bears"}, pin("gap: 1 mm", "gap: 4 mm"), "a gap bends it")
	assert.Equal(t, []string{"pin-bears"}, pin(", material: C45}", "}"), "of what is it made?")
	assert.Equal(t, []string{"pin-kept"}, pin("lock_fitted: yes", "lock_fitted: no"))
	assert.Contains(t, pin("lock: circlip", "lock: none"), "pin-kept")

	// Along the pin a tenth of what it bears across may act: 946 N, with the factor of 3 then 315 N.
	along := rowOf(t, e, file, "onto-hub-stands", "rl-strut-bottom-bolt", "clevis pin pushed along")
	assert.InDelta(t, 946, along.Strength.Value, 1)
	assert.Equal(t, []string{"pin-along"}, pin("at: [45, 475, 172], axis: [1, 0, 0]", "at: [45, 475, 172], axis: [1, 0, 0.2]"), "ten degrees aslant")
}
