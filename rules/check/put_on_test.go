package check_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/rules/verdict"
)

// onStands are steps of the hill-climb special on its four stands with its corners tied up, what is off in each, and a hook.
func onStands(off ...string) string {
	steps := "["
	for _, parts := range off {
		parts, hook, _ := strings.Cut(parts, " + ")
		steps += "{name: on stands, supports: [" + strings.Join(append([]string{"fl-stand, fr-stand, rl-stand, rr-stand"}, strings.Fields(hook)...), ", ") + "], off: [" + parts + "], restraints: [fl-tie, fr-tie, rl-tie, rr-tie], pitch: 0 deg, people: 2, watch: saddles}, "
	}
	return "engine-out.steps=" + steps + "]"
}

const (
	wheelsOff = "fl-wheel, fr-wheel, rl-wheel, rr-wheel"
	noEngine  = "engine.found={fitted: no, on: 2026-11-25, by: RT}"
	noBolts   = "engine-mount-bolts.found={fitted: no, count: 0, on: 2026-11-25, by: RT}"
	noWheel   = "fl-wheel.found={fitted: no, on: 2026-11-25, by: RT}"
)

// TestPutsOn: a part that was found not to be on the vehicle counts from the step that puts it on. Its bolts go in
// then, and whoever lets go of it looks at them; what carries after that asks for them before the move.
func TestPutsOn(t *testing.T) {
	requireGo(t, "special-mended", "engine-out")
	e := rules(t)
	const rests = "engine-out.steps=[{name: bare, supports: [fl-stand, fr-stand, rl-stand, rr-stand], off: [" + wheelsOff + "], restraints: [fl-tie, fr-tie, rl-tie, rr-tie], pitch: 0 deg, people: 2, watch: saddles}, " +
		"{name: a wheel under it, supports: [fl-contact, fr-stand, rl-stand, rr-stand], off: [fr-wheel, rl-wheel, rr-wheel], restraints: [fl-tie, fr-tie, rl-tie, rr-tie], pitch: 0 deg, people: 2, watch: saddles}]"
	hooked := strings.Replace(text(t, "special-mended"), "\nsupports:\n", "\nsupports:\n  hook: {kind: crane, under: engine, at: [330, 15, 600], rated: 500 kg, found: {on: 2026-11-25, by: RT}}\n", 1)
	for _, c := range []struct {
		why     string
		written []string
		rule    string // says so
		item    string
		stops   bool
	}{
		{"the engine goes on last", []string{onStands(wheelsOff+", engine", wheelsOff), noEngine, noBolts}, "goes-on", "engine-out", false},
		{"its bolts lie in their holes", []string{onStands(wheelsOff+", engine", wheelsOff), noEngine}, "goes-on", "engine-out", false},
		{"nobody looked whether they do", []string{onStands(wheelsOff+", engine", wheelsOff), noEngine, "engine-mount-bolts.found=?"}, "goes-on", "engine-out", false},
		{"it stays on for another step", []string{onStands(wheelsOff+", engine", wheelsOff, wheelsOff), noEngine, noBolts}, "fastener-fitted", "engine-mount-bolts", true},
		{"it hangs on the hook", []string{onStands(wheelsOff+", engine", wheelsOff+" + hook", wheelsOff+" + hook"), noEngine, noBolts}, "", "", false},
		{"the hook lets go", []string{onStands(wheelsOff+", engine", wheelsOff+" + hook", wheelsOff), noEngine, noBolts}, "fastener-fitted", "engine-mount-bolts", true},
		{"the hook lets go of bolts that nobody looked at", []string{onStands(wheelsOff+", engine", wheelsOff+" + hook", wheelsOff), noEngine, "engine-mount-bolts.found=?"}, "fastener-fitted", "engine-mount-bolts", true},
		{"somebody under it", []string{onStands(wheelsOff+", engine", wheelsOff), noEngine, noBolts, "engine-out.people_under=yes"}, "fastener-fitted", "engine-mount-bolts", true},
		{"the stands do not bear it", []string{onStands(wheelsOff+", engine", wheelsOff), noEngine, noBolts, "rl-stand.rated=130 kg", "rl-stand.rated_per=each"}, "stand-rating", "rl-stand", true},
		{"without it they do", []string{onStands(wheelsOff + ", engine"), noEngine, noBolts, "rl-stand.rated=130 kg", "rl-stand.rated_per=each"}, "", "", false},
		{"nothing lifts it", []string{onStands(wheelsOff+", engine", wheelsOff), noEngine, noBolts, "engine-crane.lifts=radiator"}, "part-hooked", "engine-out", true},
		{"a wheel goes on", []string{onStands(wheelsOff, "fr-wheel, rl-wheel, rr-wheel"), noWheel, "fl-wheel-nuts.found.nuts=0"}, "goes-on", "engine-out", false},
		{"and carries at once", []string{rests, noWheel, "fl-wheel-nuts.found.nuts=0"}, "wheel-nuts-fitted", "fl-wheel-nuts", true},
	} {
		t.Run(c.why, func(t *testing.T) {
			b, err := model.Read("special-mended.yaml", []byte(hooked), model.Companions{}, assumed(t, c.written)...)
			require.NoError(t, err)
			m := judge(t, e, b, "engine-out").Moves[0]
			if !c.stops {
				assert.Equal(t, verdict.Go, m.Decision, "%v", said(m.Findings))
			}
			if c.rule != "" {
				assert.True(t, slices.ContainsFunc(m.Findings, func(f verdict.Finding) bool {
					return f.Rule == c.rule && f.Item == c.item && f.Blocks() == c.stops
				}), "%s of %s: %v", c.rule, c.item, said(m.Findings))
			}
		})
	}
}

// TestPutOnWeighs holds the mass of the vehicle and its middle along against arithmetic: an engine of 128 kg at
// x = 330 mm comes on.
func TestPutOnWeighs(t *testing.T) {
	b, err := model.Load(builds+"/special-mended.yaml", assumed(t, []string{onStands(wheelsOff+", engine", wheelsOff), noEngine, noBolts})...)
	require.NoError(t, err)
	steps := judge(t, rules(t), b, "engine-out").Moves[0].Steps
	without, with := steps[0], steps[1]
	assert.InDelta(t, without.Mass.Value+128, with.Mass.Value, .5)
	assert.InDelta(t, (without.Mass.Value*without.CG.X+128*330)/(without.Mass.Value+128), with.CG.X, 1)
}

// TestAPartOfAChecklist: in a file without joints a bolt, nut or weld says which part it fastens. Nothing rests on it
// while that is off, and a part that a stand bears on is fastened by something.
func TestAPartOfAChecklist(t *testing.T) {
	const build, move = "../short/checklist-mended", "onto-stands"
	requireGo(t, build, move)
	text, err := os.ReadFile(builds + "/" + build + ".yaml")
	require.NoError(t, err)
	log, err := os.ReadFile(builds + "/" + build + ".looks.yaml")
	require.NoError(t, err)
	const (
		engine = "engine: {mass: 90 kg ± 5 kg, role: drivetrain, place: body}"
		clip   = "clip: {mass: 30 kg ± 3 kg, role: frame, place: front}"
		wheel  = "fl-wheel: {role: wheel, place: front, mass: 15 kg ± 1 kg}"
		mounts = "\n  mount-bolts: {like: front-pivot-bolts, place: body, role: engine mount, needed: 4, part: engine}"
		clamps = "\n  clip-bolts: {like: front-pivot-bolts, place: front, role: clamp, needed: 4, part: clip}"
		nuts   = "\nwheels: {fl-nuts: {place: front, nuts: 4, torque: 90 N·m, stud: M12x1.5, seat: cone, shaft_clamps_bearing: no, part: fl-wheel}}"
		out    = "mount-bolts], found: {fitted: no}"
	)
	e := rules(t)
	for _, c := range []struct {
		why         string
		parts       string // beside the vehicle
		fastened    string // by what
		more        string // headings
		body, front int    // bolts counted there beside those that are
		wheelNuts   int
		steps       []string // words of the steps, and what stands in their place
		seen        []string // lines of the log
		rule, item  string   // what stops it
	}{
		{"no engine", engine, mounts, "", 4, 0, 0, []string{", supports:", ", off: [engine], supports:"}, []string{"engine], found: {fitted: no}", out}, "", ""},
		{"an engine that is left out of the steps", engine, mounts, "", 4, 0, 0, nil, []string{"engine], found: {fitted: yes}", out}, "fastener-fitted", "mount-bolts"},
		{"nobody said what the bolts fasten", engine, strings.Replace(mounts, ", part: engine", "", 1), "", 4, 0, 0, []string{", supports:", ", off: [engine], supports:"}, []string{"engine], found: {fitted: no}", out}, "fastener-fitted", "mount-bolts"},
		{"no wheel", wheel, "", nuts, 0, 0, 4, []string{", supports:", ", off: [fl-wheel], supports:"}, []string{"fl-nuts], found: {nuts: 0}"}, "", ""},
		{"a wheel without nuts", wheel, "", nuts, 0, 0, 4, nil, []string{"fl-nuts], found: {nuts: 0}"}, "wheel-nuts-fitted", "fl-nuts"},
		{"a clip of which no bolt is listed", clip, "", "", 0, 0, 0, []string{"stand-front-left: {kind: axle stand, under: car", "stand-front-left: {kind: axle stand, under: clip"}, nil, "support-part-joined", "stand-front-left"},
		{"a clip whose bolts are out", clip, clamps, "", 0, 4, 0, []string{"stand-front-left: {kind: axle stand, under: car", "stand-front-left: {kind: axle stand, under: clip"}, []string{"clip-bolts], found: {fitted: no}"}, "fastener-fitted", "clip-bolts"},
		{"a clip that is off", clip, clamps, "", 0, 4, 0, []string{"stand-front-left: {kind: axle stand, under: car", "stand-front-left: {kind: axle stand, under: clip", ", supports:", ", off: [clip], supports:"}, nil, "support-part-joined", "stand-front-left"},
	} {
		t.Run(c.why, func(t *testing.T) {
			put := strings.NewReplacer(append([]string{
				"parts: {car", "parts: {" + c.parts + ", car", "\nstud_nuts:", c.fastened + "\nstud_nuts:", "\nmoves:", c.more + "\nmoves:", "{name: Cyclecar,", "{name: Cyclecar, built_on: car,",
				"body: {bolts: 0", fmt.Sprintf("body: {bolts: %d", c.body),
				"front: {bolts: 8, stud nuts: 2, spacers: 8, welds: 2, links: 0, wheel nuts: 0", fmt.Sprintf("front: {bolts: %d, stud nuts: 2, spacers: 8, welds: 2, links: 0, wheel nuts: %d", 8+c.front, c.wheelNuts),
			}, c.steps...)...)
			looks := string(log)
			for _, seen := range append([]string{"vehicle], found: {masses_current: yes}", "onto-stands], good: yes, card: 1, found: {people: 2, in_charge: TN}"}, c.seen...) {
				looks += "- {day: 2026-11-25, by: TN, of: [" + seen + "}\n"
			}
			dir := t.TempDir()
			require.NoError(t, os.WriteFile(filepath.Join(dir, "c.yaml"), []byte(put.Replace(string(text))), 0o600))
			require.NoError(t, os.WriteFile(filepath.Join(dir, "c.looks.yaml"), []byte(looks), 0o600))
			b, err := model.Load(filepath.Join(dir, "c.yaml"))
			require.NoError(t, err)
			m := judge(t, e, b, move).Moves[0]
			if c.rule == "" {
				assert.Equal(t, verdict.Go, m.Decision, "%v", said(m.Findings))
				return
			}
			assert.True(t, slices.ContainsFunc(m.Findings, func(f verdict.Finding) bool {
				return f.Rule == c.rule && f.Item == c.item && f.Blocks()
			}), "%s of %s: %v", c.rule, c.item, said(m.Findings))
		})
	}
}
