package check_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/schema"
	"setdown/rules/engine"
	"setdown/rules/pack"
	"setdown/rules/packs"
	"setdown/rules/verdict"
)

// with loads a demo with some recorded values replaced, as --assume does.
func with(t *testing.T, name string, changes ...string) *model.Build {
	t.Helper()
	b, err := model.Load(filepath.Join(builds, name+".yaml"), assumed(t, changes)...)
	require.NoError(t, err)
	return b
}

// blocked reports whether a rule blocks an item in the only move of a report.
func blocked(r *verdict.Report, rule, item string) bool {
	return slices.ContainsFunc(r.Moves[0].Findings, func(f verdict.Finding) bool {
		return f.Blocks() && f.Rule == rule && f.Item == item
	})
}

func strengthOf(t *testing.T, r *verdict.Report, item, check string) verdict.Strength {
	t.Helper()
	var best verdict.Strength
	for _, s := range r.Moves[0].Steps {
		for _, st := range s.Strengths {
			if st.Item == item && st.Check == check && st.Utilisation >= best.Utilisation {
				best = st
			}
		}
	}
	require.NotEmpty(t, best.Item, "no %q of %s", check, item)
	return best
}

// TestThinnerTube thins the wall of a stand-in bar. The verdict turns where a hand
// calculation by Euler and Johnson (Shigley, Mechanical Engineering Design, eq.
// 4-43 and 4-48) with the factor 3 says, and nowhere else.
func TestThinnerTube(t *testing.T) {
	e := rules(t)
	turned := false
	for _, wall := range []float64{2.5, 2, 1.5, 1, 0.8, 0.6, 0.5, 0.45, 0.4, 0.35, 0.3, 0.25, 0.2} {
		r := judge(t, e, with(t, "special-mended", fmt.Sprintf("rl-strut.tube.wall=%g mm", wall)), "onto-hub-stands")
		s := strengthOf(t, r, "rl-strut", "bar in compression")
		// Another way, in N and mm: the bar of 414.4 mm, E355 with 355 MPa, between M12 shanks of
		// 420 MPa exposed for 32 mm at either end, root diameter 12 − 1.2268·1.75 (ISO 68-1). It
		// buckles at the push under which it bends half a wave, found by walking along it; below
		// that as Johnson has it.
		od, id, root, young := 25.0, 25-2*wall, 12-1.2268*1.75, 210000.0
		area := math.Pi / 4 * (od*od - id*id)
		stiff, soft := young*math.Pi/64*(math.Pow(od, 4)-math.Pow(id, 4)), young*math.Pi/64*math.Pow(root, 4)
		elastic := halfWave(414.4, 32, min(soft, stiff), stiff)
		yields := min(area*355, math.Pi/4*root*root*420)
		bears := elastic
		if elastic > yields/2 {
			bears = yields * (1 - yields/(4*elastic))
		}
		require.InEpsilon(t, bears, s.Strength.Value, 2e-3, "wall %g mm", wall)
		want := s.Load.Value*3 > bears
		require.Equal(t, want, blocked(r, "link-column", "rl-strut"), "wall %g mm: %g N × 3 against %g N", wall, s.Load.Value, bears)
		turned = turned || want
	}
	require.True(t, turned, "the sweep never reached the limit")
}

// halfWave is the push at which a straight bar of some length, softer for shank at both ends, stays
// bent: walked from one end in small steps, its slope is nothing in the middle.
func halfWave(length, shank, soft, stiff float64) float64 {
	const steps = 20000
	slopeInTheMiddle := func(push float64) float64 {
		bent, slope, step := 0.0, 1.0, length/2/steps
		for i := range steps {
			stiffness := stiff
			if (float64(i)+0.5)*step < shank {
				stiffness = soft
			}
			slope -= step / 2 * push * bent / stiffness
			bent += step * slope
			slope -= step / 2 * push * bent / stiffness
		}
		return slope
	}
	low, high := 0.0, math.Pi*math.Pi*stiff/(length*length)
	for range 60 {
		if middle := (low + high) / 2; slopeInTheMiddle(middle) > 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return low
}

// TestDeratedStand lowers the plate of a pair of stands across the worst load on
// one of them.
func TestDeratedStand(t *testing.T) {
	e := rules(t)
	base := judge(t, e, load(t, "special-mended"), "onto-hub-stands")
	worst := strengthOf(t, base, "rl-hub-stand", "support against its plate").Load.Value / 9.80665
	for _, pair := range []float64{2000, 1000, 500, 2*worst + 0.5, 2*worst - 0.5, 300} {
		r := judge(t, e, with(t, "special-mended", fmt.Sprintf("rl-hub-stand.rated=%.3f kg", pair)), "onto-hub-stands")
		require.Equal(t, worst > pair/2, r.Decision == verdict.NoGo, "a pair rated %.1f kg, worst on one %.1f kg", pair, worst)
	}
}

// TestShorterWeld shortens a bracket's weld: its strength falls faster than its
// length because the lever stays, and the verdict turns where the comparison says.
func TestShorterWeld(t *testing.T) {
	e := rules(t)
	last, turned := math.Inf(1), false
	for _, l := range []int{160, 120, 80, 60, 40, 30, 24, 16, 12, 8, 6} {
		b := with(t, "special-mended", fmt.Sprintf("rl-strut-upper-mount.fillet.length=%d mm", l), fmt.Sprintf("rl-strut-upper-mount.found.made_length=%d mm", l))
		r := judge(t, e, b, "onto-hub-stands")
		s := strengthOf(t, r, "rl-strut-upper-mount", "fillet weld, full")
		require.Less(t, s.Strength.Value, last, "%d mm", l)
		last = s.Strength.Value
		want := s.Load.Value*3 > s.Strength.Value
		require.Equal(t, want, blocked(r, "weld-strength", "rl-strut-upper-mount"), "%d mm", l)
		turned = turned || want
	}
	require.True(t, turned, "the sweep never reached the limit")
}

// TestLowerClass reads a lower class on a bolt's head. Below 8.8 it holds for its
// class alone; its shear strength is 0.577 of yield on two planes throughout.
func TestLowerClass(t *testing.T) {
	e := rules(t)
	for class, yield := range map[string]float64{"4.6": 240, "5.8": 420, "8.8": 640, "10.9": 940, "12.9": 1100} {
		r := judge(t, e, with(t, "special-mended", "rl-lower-front-bolt.found.class_mark="+class), "onto-hub-stands")
		s := strengthOf(t, r, "rl-lower-front-bolt", "bolt in double shear")
		require.InEpsilon(t, 2*0.57735*yield*math.Pi/4*100, s.Strength.Value, 1e-3, class)
		require.Equal(t, yield < 640, r.Decision == verdict.NoGo, class)
	}
}

// TestEveryStrengthHolds raises the design factor across the limit of the tightest
// item of each comparison: just below it nothing is held for that reason, just
// above it the item is. A strength that no rule reads would pass unseen here.
func TestEveryStrengthHolds(t *testing.T) {
	base := judge(t, rules(t), load(t, "special-mended"), "onto-hub-stands")
	tightest := map[string]verdict.Strength{}
	var all []verdict.Strength
	for _, s := range base.Moves[0].Steps {
		all = append(all, s.Strengths...)
		for _, st := range s.Strengths {
			if st.NotComputed == "" && st.Factor > 1 && st.Utilisation > tightest[st.Check].Utilisation {
				tightest[st.Check] = st
			}
		}
	}
	require.GreaterOrEqual(t, len(tightest), 7)
	rule := map[string]string{
		"bar in compression": "link-column", "rod ends against their rating": "rod-end-rating",
		"bearing against its rating": "joint-rating", "joint against its rating": "joint-rating", "bolt in double shear": "bolt-shear", "bolt in single shear": "bolt-shear",
		"bolt in tension": "bolt-pull", "bolt in shear and tension": "bolt-pull", "net section of the tab": "tab-tear-out", "tab crushed by the bolt": "tab-bearing", "tear-out of the tab": "tab-tear-out",
		"bar in tension": "passed-over", "part in bending": "part-bends", "bolt bending out of its one tab": "bolt-bending", "bolt bending across the open gap": "bolt-bending", "fillet weld, full": "weld-strength", "nut and stud against pull out of the taper": "stud-nut-strength",
	}
	for check, st := range tightest {
		id, known := rule[check]
		require.True(t, known, "which rule reads %q?", check)
		limit := st.Factor / st.Utilisation
		tighter := slices.ContainsFunc(all, func(o verdict.Strength) bool {
			return o.Item == st.Item && rule[o.Check] == id && o.Utilisation > st.Utilisation
		})
		for _, side := range []float64{0.999, 1.001} {
			if side < 1 && tighter {
				continue // another comparison that the same rule reads holds it already
			}
			r := judge(t, factor(t, limit*side), load(t, "special-mended"), "onto-hub-stands")
			require.Equal(t, side > 1, blocked(r, id, st.Item), "%s of %s at factor %.3f, limit %.3f", check, st.Item, limit*side, limit)
		}
	}
}

// factor makes the built-in rules with another design factor.
func factor(t *testing.T, f float64) *engine.Engine {
	t.Helper()
	own := filepath.Join(t.TempDir(), "own.yaml")
	require.NoError(t, os.WriteFile(own, fmt.Appendf(nil, "pack: own\npolicy: {design_factor: \"%.6f\"}\n", f), 0o600))
	all, err := pack.LoadRules(packs.FS, ".")
	require.NoError(t, err)
	mine, err := pack.LoadFile(own)
	require.NoError(t, err)
	e, err := engine.New(append(all, mine))
	require.NoError(t, err)
	return e
}

// TestLimitsOfTheWhole takes what is written to where it no longer counts: a floor that hardly falls is a level one,
// straps of any rating are as good as those of enough, and springs of any rate that push as hard as they did put on
// their wheels what they did.
func TestLimitsOfTheWhole(t *testing.T) {
	e := rules(t)
	figures := func(r *verdict.Report) (list []float64) {
		for _, s := range r.Moves[0].Steps {
			for _, p := range s.Supports {
				list = append(list, p.Even.Value, p.Least.Value, p.Worst.Value)
			}
			for _, l := range s.Loads {
				list = append(list, l.Nominal.Value, l.Worst.Value)
			}
		}
		require.NotEmpty(t, list)
		return list
	}
	same := func(want, got *verdict.Report) {
		t.Helper()
		require.Equal(t, verdict.Go, want.Decision, "%v", said(want.Moves[0].Findings))
		require.Equal(t, said(want.Moves[0].Findings), said(got.Moves[0].Findings))
		require.Equal(t, verdict.Go, got.Decision)
		require.InDeltaSlice(t, figures(want), figures(got), 0.1)
	}
	sloping := func(slope string) *verdict.Report {
		return judge(t, e, with(t, "special-mended", "site.found.slope="+slope+" mm/m"), "onto-hub-stands")
	}
	same(sloping("0"), sloping("0.0001"))

	straps := func(kg string) *verdict.Report {
		return judge(t, e, with(t, "buggy-mended", "fl-tie.rated="+kg, "fr-tie.rated="+kg, "rl-tie.rated="+kg, "rr-tie.rated="+kg), "engine-out-far")
	}
	same(straps("1000 kg"), straps("20 t"))
	require.Equal(t, verdict.NoGo, straps("10 kg").Decision)

	// As drawn a strut is as much longer than its coil as its seats say: that much less where a stiffer spring is
	// pressed less far for the same push.
	sprung := func(times, collar float64) *verdict.Report {
		b := sprungBuild(t)
		for _, end := range []struct{ spring, strut string }{{"fl-spring", "fl-strut"}, {"fr-spring", "fr-strut"}, {"rl-spring", "rl-strut"}, {"rr-spring", "rr-strut"}} {
			spring := b.Item(end.spring).Record
			found, _ := spring.Record("found")
			rate, _ := spring.Quantity("rate")
			free, _ := spring.Quantity("free_length")
			seats, _ := found.Quantity("seats")
			pressed := free.Value + seats.Value - span(b.Item(end.strut))
			rate.Value *= times
			seats.Value -= pressed * (1 - 1/times)
			spring.Set("rate", schema.Value{V: rate})
			found.Set("seats", schema.Value{V: seats})
		}
		found, _ := b.Item("fl-spring").Record.Record("found")
		seats, _ := found.Quantity("seats")
		seats.Value += collar
		found.Set("seats", schema.Value{V: seats})
		return judge(t, e, b, "standing")
	}
	carried := func(r *verdict.Report) (list []float64) {
		for _, p := range r.Moves[0].Steps[0].Supports {
			list = append(list, p.Sprung.Value)
		}
		return list
	}
	drawn, turned := carried(sprung(1, 0)), carried(sprung(1, .01))
	require.Greater(t, turned[0], drawn[0]+2)
	for _, times := range []float64{2, 10, 100} {
		require.InDeltaSlice(t, drawn, carried(sprung(times, 0)), .2, "%g times the rate", times)
		require.InDelta(t, turned[0], carried(sprung(times, .01/times))[0], .5, "a collar turned as far as it pushes as much more")
	}
}
