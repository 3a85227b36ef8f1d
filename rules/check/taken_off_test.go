package check_test

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/rules/engine"
	"setdown/rules/verdict"
)

// TestTakenOffAndOn: whatever was found off the vehicle was undone, and looks from before say nothing of how it is
// fastened once it is on again. Looks at what fastens it from after that stand.
func TestTakenOffAndOn(t *testing.T) {
	e := rules(t)
	look := func(at, of, found string) string {
		return "- {day: 2026-11-25 " + at + ", by: RT, of: [" + of + "], found: {" + found + "}}\n"
	}
	offAndOn := func(of string) string { return look("08:00", of, "fitted: no") + look("09:00", of, "fitted: yes") }
	const (
		wheelNuts = "nuts: 4, tightness: torqued, torqued: 90 N·m, turns: 9, seats_match: yes, shaft_in: yes, hub_torqued: 120 N·m, hub_nut: yes, clear: yes, toe: 0.2 deg"
		contact   = "surface: concrete, plates: no, chocked: yes"
	)
	for name, c := range map[string]struct {
		build, move, log string
		asks             []string
	}{
		"a wheel":         {"short/special-mended", "onto-wheels", offAndOn("fl-wheel"), []string{"fl-wheel-nuts", "fl-contact"}},
		"a lower arm":     {"short/special-mended", "onto-wheels", offAndOn("fl-lower-arm"), []string{"fl-lower-front-bolt", "fl-lower-rear-bolt", "fl-lower-nut", "fl-strut-bottom-bolt", "fl-lower-front-spacers"}},
		"an upright":      {"short/special-mended", "onto-wheels", offAndOn("fl-upright"), []string{"fl-lower-nut", "fl-upper-nut", "fl-toe-outer-bolt", "fl-wheel-nuts"}},
		"an engine":       {"short/special-mended", "onto-wheels", offAndOn("engine"), []string{"engine-mount-bolts"}},
		"a bar":           {"short/special-mended", "onto-wheels", offAndOn("fl-strut"), []string{"fl-strut-top-bolt", "fl-strut-bottom-bolt"}},
		"a coil-over":     {"sprung/special", "onto-wheels", offAndOn("fl-strut"), []string{"fl-strut-top-bolt", "fl-strut-bottom-bolt", "fl-spring"}},
		"an axle":         {"short/liveaxle-mended", "onto-wheels", offAndOn("front-axle"), []string{"fl-u-bolts", "fr-u-bolts"}},
		"a leaf":          {"short/liveaxle-mended", "onto-wheels", offAndOn("fl-spring"), []string{"fl-u-bolts"}},
		"nobody wrote on": {"short/special-mended", "onto-wheels", look("08:00", "fl-strut", "fitted: no"), []string{"fl-strut-top-bolt"}},
		"its nuts seen since": {"short/special-mended", "onto-wheels", offAndOn("fl-wheel") +
			look("09:10", "fl-wheel-nuts", wheelNuts), []string{"fl-contact"}},
		"taken back by who wrote it": {"short/special-mended", "onto-wheels", look("08:00", "fl-wheel", "fitted: no") +
			"- {withdraw: {day: 2026-11-25 08:00, by: RT, of: fl-wheel}, why: another car, day: 2026-11-25 08:05, by: RT}\n", nil},
		"seen on": {"short/special-mended", "onto-wheels", look("09:00", "fl-wheel", "fitted: yes"), nil},
	} {
		t.Run(name, func(t *testing.T) {
			m := withLog(t, e, c.build, c.move, c.log)
			if len(c.asks) == 0 {
				assert.Equal(t, verdict.Go, m.Decision, "%v", said(m.Findings))
				return
			}
			for _, item := range c.asks {
				assert.True(t, asks(m, item), "%s: %v", item, said(m.Findings))
			}
			assert.False(t, asks(m, "rr-wheel-nuts"), "nobody touched it")
			if name == "its nuts seen since" {
				assert.False(t, asks(m, "fl-wheel-nuts"))
			}
		})
	}
}

// TestGoesOnAndCarries puts on in the move what was found off, with the looks from before it was off: they
// are no looks at how it is fastened when it carries.
func TestGoesOnAndCarries(t *testing.T) {
	e := rules(t)
	const steps = "engine-out.steps=[{name: bare, supports: [fl-stand, fr-stand, rl-stand, rr-stand], off: [" + wheelsOff + "], restraints: [fl-tie, fr-tie, rl-tie, rr-tie], pitch: 0 deg, people: 2, watch: saddles}, " +
		"{name: all on, supports: [fl-stand, fr-stand, rl-stand, rr-stand], pitch: 0 deg, people: 2, watch: saddles}, " +
		"{name: down, supports: [fl-contact, fr-contact, rl-stand, rr-stand], pitch: 0 deg, people: 2, watch: saddles}]"
	for log, want := range map[string]bool{"": false, "- {day: 2026-11-25, by: RT, of: [fl-wheel], found: {fitted: no}}\n": true} {
		m := withLog(t, e, "short/special-mended", "engine-out", log, steps)
		assert.Equal(t, want, asks(m, "fl-wheel-nuts"), "%q: %v", log, said(m.Findings))
	}
}

// TestTheFrameIsOff: a vehicle whose frame was found off is none, in whatever move.
func TestTheFrameIsOff(t *testing.T) {
	m := withLog(t, rules(t), "short/checklist-mended", "onto-stands", "- {day: 2026-11-25 08:00, by: TN, of: [car], found: {fitted: no}}\n")
	assert.True(t, slices.ContainsFunc(m.Findings, func(f verdict.Finding) bool { return f.Rule == "base-off" && f.Blocks() }), "%v", said(m.Findings))
}

// withLog judges a demo with more lines in its log, and with what somebody assumes of it.
func withLog(t *testing.T, e *engine.Engine, build, move, lines string, written ...string) verdict.Move {
	t.Helper()
	path := "../../testdata/" + build
	file, err := os.ReadFile(path + ".yaml")
	require.NoError(t, err)
	log, err := os.ReadFile(path + ".looks.yaml")
	require.NoError(t, err)
	table := func(name string) ([]byte, error) { return os.ReadFile(filepath.Join(filepath.Dir(path), name)) }
	b, err := model.Read("b.yaml", file, model.Companions{Looks: append(log, lines...), Table: table}, assumed(t, written)...)
	require.NoError(t, err)
	return judge(t, e, b, move).Moves[0]
}

// asks reports whether a move waits for a fact of an item.
func asks(m verdict.Move, item string) bool {
	return slices.ContainsFunc(m.Findings, func(f verdict.Finding) bool {
		return f.Item == item && f.Blocks() && len(f.Missing) > 0
	})
}
