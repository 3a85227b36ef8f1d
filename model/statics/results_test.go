package statics_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model/statics"
)

// forces are what a joint passes, without their moments.
func forces(s *statics.Step, joint int) (list []statics.Vec) {
	for _, w := range s.Wrenches(joint, statics.Vec{}) {
		list = append(list, w.Force)
	}
	return list
}

// A bracket bolted to a frame at the origin bears 100 ± 10 kg at (1, 0.2, 1) m. By hand it asks the
// bolts for W upwards and for (0.2, −1, 0)·W about them, a tenth more with its ±; a push of a tenth of
// the weight is met by as much against it.
func TestWhatAJointPassesByHand(t *testing.T) {
	m, err := statics.New(statics.System{Bodies: []statics.Body{
		{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 300, CG: statics.Vec{X: .5}}}},
		{Name: "load", Masses: []statics.Mass{{Name: "load", M: 100, Tol: 10, CG: statics.Vec{X: 1, Y: .2, Z: 1}}}},
	}, Joints: []statics.Joint{{Name: "bolted", Kind: statics.Fixed, A: 0, B: 1}, {Name: "to itself", Kind: statics.Fixed, A: 0, B: 0}}})
	require.NoError(t, err)
	stands := []statics.Support{{Name: "l", At: statics.Vec{X: 2, Y: .7, Z: -.1}}, {Name: "r", At: statics.Vec{X: 2, Y: -.7, Z: -.1}}, {Name: "rear", At: statics.Vec{X: -1, Z: -.1}}}
	s := stand(t, m, statics.Stance{Supports: stands})
	require.Nil(t, s.Failure)
	weight := 100 * statics.Gravity
	most, by := 1.1*weight, 1e-6*weight
	x, z, slant := statics.Vec{X: 1}, statics.Vec{Z: 2}, statics.Vec{X: 1, Z: 1}
	require.Len(t, forces(s, 0), 1)
	assert.InDelta(t, 0, r3.Norm(r3.Sub(statics.Vec{Z: most}, forces(s, 0)[0])), by)
	assert.InDelta(t, most, s.Across(0, x), by)
	assert.InDelta(t, 0, s.Across(0, z), by)
	assert.InDelta(t, most/math.Sqrt2, s.Across(0, slant), by)
	near(t, statics.Range{Nominal: weight, Least: .9 * weight, Most: most}, s.Along(0, z), by, "along")
	for _, c := range []struct {
		about        statics.Vec
		turns, bends float64
	}{{x, .2, 1}, {z, 0, math.Sqrt(1.04)}, {slant, .2 / math.Sqrt2, math.Sqrt(1.02)}} {
		turns, bends := s.Turns(0, c.about, statics.Vec{})
		assert.InDelta(t, c.turns*most, turns, by)
		assert.InDelta(t, c.bends*most, bends, by)
	}
	// The moment goes with its force, its ± whichever way; what something else takes is not in it.
	w := s.Wrenches(0, statics.Vec{})[0]
	assert.InDelta(t, 0, r3.Norm(r3.Sub(r3.Scale(weight, statics.Vec{X: .2, Y: -1}), w.Moment)), by)
	assert.InDelta(t, .1*math.Sqrt(1.04)*weight, w.More, by)
	assert.InDelta(t, 0, r3.Norm(r3.Sub(r3.Scale(weight, statics.Vec{X: .2}), s.Wrenches(0, statics.Vec{Y: -3})[0].Moment)), by)
	turns, bends := s.Turns(0, slant, statics.Vec{Y: 1})
	assert.InDelta(t, .2/math.Sqrt2*most, turns, by)
	assert.InDelta(t, .2/math.Sqrt2*most, bends, by)
	j := s.Joint(0)
	assert.InDelta(t, most, j.Worst, by)
	assert.InDelta(t, math.Sqrt(1.04)*most, j.Moment, by)
	assert.InDelta(t, weight, j.Nominal.Z, by)
	assert.InDelta(t, weight, j.At.Z, by)
	assert.Equal(t, "straight down, on l, r, rear", j.Case)

	pushed := stand(t, m, statics.Stance{Supports: stands, Attitude: statics.Attitude{Push: .1}})
	require.Nil(t, pushed.Failure)
	got := forces(pushed, 0)
	require.Len(t, got, 5)
	for i, want := range []statics.Vec{{Z: 1}, {X: -.1, Z: 1}, {X: .1, Z: 1}, {Y: -.1, Z: 1}, {Y: .1, Z: 1}} {
		assert.InDelta(t, 0, r3.Norm(r3.Sub(r3.Scale(most, want), got[i])), by, "case %d", i)
	}
	assert.InDelta(t, math.Sqrt(1.01)*most, pushed.Joint(0).Worst, by)

	assert.Equal(t, "straight down, on l, r, rear", s.Along(0, statics.Vec{Y: 1}).Case, "of nothing too")
	pulled := stand(t, m, statics.Stance{Supports: stands, Attitude: statics.Attitude{Pull: .1}})
	assert.Equal(t, got, forces(pulled, 0), "a pull without a push")

	// What joins a body to itself passes nothing.
	assert.Nil(t, s.Wrenches(1, statics.Vec{}))
	assert.Zero(t, s.Joint(1))
	assert.Zero(t, s.Along(1, x))
	assert.Zero(t, s.Across(1, x))
}

// An arm of 20 kg hangs below its bar: its two bearings carry nothing as drawn, and may pass along any
// axis half of what the ± of its place, at its heaviest, takes off the bar 0.5 m from them. A place that may
// be past the bearings is worst with the arm at its heaviest at both ends.
func TestForceWithoutANominalDirection(t *testing.T) {
	for _, c := range []struct{ tol, place, least, most float64 }{
		{0, .1, 20 * .8, 20 * 1.2}, {5, .1, 15 * .8, 25 * 1.2}, {5, .6, -25 * .2, 25 * 2.2}, {30, .1, 0, 50 * 1.2}, {5, 0, 15, 25},
	} {
		m, err := statics.New(statics.System{Bodies: []statics.Body{
			{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 300, CG: statics.Vec{X: .5}}}},
			{Name: "arm", Masses: []statics.Mass{{Name: "arm", M: 20, Tol: c.tol, CG: statics.Vec{X: .5}, CGTol: statics.Vec{X: c.place}}}},
		}, Joints: []statics.Joint{{Name: "left", A: 0, B: 1, At: statics.Vec{Y: .2}}, {Name: "right", A: 0, B: 1, At: statics.Vec{Y: -.2}}},
			Links: []statics.Link{{Name: "bar", A: 0, B: 1, PA: statics.Vec{X: .5, Z: .5}, PB: statics.Vec{X: .5}}}})
		require.NoError(t, err)
		s := stand(t, m, statics.Stance{Supports: []statics.Support{{Name: "l", At: statics.Vec{X: 2, Y: .5}}, {Name: "r", At: statics.Vec{X: 2, Y: -.5}}, {Name: "rear", At: statics.Vec{X: -1}}}})
		require.Nil(t, s.Failure)
		const g = statics.Gravity
		near(t, statics.Range{Nominal: 20 * g, Least: c.least * g, Most: c.most * g}, s.Link(0), 1e-6, "bar")
		bound := (20 + c.tol) * g * c.place / .5 / 2
		got := forces(s, 0)
		require.Len(t, got, 3)
		for i, want := range []statics.Vec{{X: bound}, {Y: bound}, {Z: bound}} {
			assert.InDelta(t, 0, r3.Norm(r3.Sub(want, got[i])), 1e-6, "axis %d", i)
		}
		assert.InDelta(t, bound, s.Joint(0).Worst, 1e-6)
		near(t, statics.Range{Least: -bound, Most: bound}, s.Along(0, statics.Vec{Z: 1}), 1e-6, "along")
	}
}

// What stands pass, by hand: a plate of 90 ± 9 kg in the middle of three, a third each and a tenth
// more; on three of four corners, in the middle ± 0.2 m of 1 m, the one alone at its end takes half of
// the weight, the two at the other end half and nothing, each with a fifth more.
func TestWhatAStandPassesByHand(t *testing.T) {
	plate := func(mass statics.Mass, push float64, at ...statics.Vec) *statics.Step {
		m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "plate", Masses: []statics.Mass{mass}}}})
		require.NoError(t, err)
		var stands []statics.Support
		for _, p := range at {
			stands = append(stands, statics.Support{Name: "stand", At: p})
		}
		s := stand(t, m, statics.Stance{Supports: stands, Attitude: statics.Attitude{Push: push}})
		require.Nil(t, s.Failure)
		return s
	}
	h := math.Sqrt(3) / 2
	s := plate(statics.Mass{M: 90, Tol: 9}, .05, statics.Vec{X: 1}, statics.Vec{X: -.5, Y: h}, statics.Vec{X: -.5, Y: -h})
	third := 30 * statics.Gravity
	for i := range 3 {
		got := s.Pushes(i)
		require.Len(t, got, 5)
		for k, want := range []statics.Vec{{Z: 1}, {X: -.05, Z: 1}, {X: .05, Z: 1}, {Y: -.05, Z: 1}, {Y: .05, Z: 1}} {
			assert.InDelta(t, 0, r3.Norm(r3.Sub(r3.Scale(1.1*third, want), got[k])), 1e-6*third, "stand %d, case %d", i, k)
		}
	}
	s = plate(statics.Mass{M: 1000, CGTol: statics.Vec{Y: .2}}, 0, statics.Vec{X: 1, Y: .5}, statics.Vec{X: 1, Y: -.5}, statics.Vec{X: -1, Y: .5}, statics.Vec{X: -1, Y: -.5})
	for i := range 4 {
		var shares []float64
		for _, f := range s.Pushes(i) {
			assert.InDelta(t, 0, math.Hypot(f.X, f.Y), 1e-6*s.Weight())
			shares = append(shares, math.Round(1e6*f.Z/s.Weight())/1e6)
		}
		slices.Sort(shares)
		assert.Equal(t, []float64{0, .2, .5, .7}, slices.Compact(shares), "corner %d", i)
	}
}

// The centre of gravity of two masses and how far it may be from there, by hand: 110 kg at 1.1 m
// beside 100 kg at 0 is 121/210, 90 kg at 0.9 m is 81/190.
func TestCentreAndItsSpreadByHand(t *testing.T) {
	m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "one", Masses: []statics.Mass{
		{Name: "heavy", M: 100, Tol: 10, CG: statics.Vec{X: 1, Y: -2, Z: .5}, CGTol: statics.Vec{X: .1, Z: .02}}, {Name: "exact", M: 100}}}}})
	require.NoError(t, err)
	at, mass := m.Centre()
	assert.InDelta(t, 200, mass, 1e-9)
	assert.InDelta(t, 0, r3.Norm(r3.Sub(statics.Vec{X: .5, Y: -1, Z: .25}, at)), 1e-12)
	spread := m.CentreSpread()
	assert.InDelta(t, 121./210-.5, spread.X, 1e-9)
	assert.InDelta(t, 1-180./190, spread.Y, 1e-9)
	assert.InDelta(t, max(110*.52/210-.25, .25-90*.48/190), spread.Z, 1e-9)
}

// A floor under the points of a vehicle, drawn in its own frame: it falls towards the nose where the
// nose is up. Points of one line, and two, are no floor.
func TestLeanOfAFloor(t *testing.T) {
	floor := func(xy ...[2]float64) (list []statics.Vec) {
		for _, p := range xy {
			list = append(list, statics.Vec{X: p[0], Y: p[1], Z: .3 - .05*p[0] + .02*p[1]})
		}
		return list
	}
	for _, points := range [][]statics.Vec{floor([2]float64{2, .5}, [2]float64{2, -.5}, [2]float64{0, 0}), floor([2]float64{2, .5}, [2]float64{2, -.5}, [2]float64{0, .5}, [2]float64{0, -.5})} {
		pitch, roll, ok := statics.Lean(points)
		require.True(t, ok)
		assert.InDelta(t, math.Atan(.05), pitch, 1e-12)
		assert.InDelta(t, math.Atan(-.02), roll, 1e-12)
	}
	for _, points := range [][]statics.Vec{nil, floor([2]float64{2, .5}, [2]float64{2, -.5}), floor([2]float64{2, 1}, [2]float64{1, .5}, [2]float64{0, 0})} {
		_, _, ok := statics.Lean(points)
		assert.False(t, ok, "%v", points)
	}
}

// Everything of a vehicle that is no number, or joins nothing, is refused.
// What weighs less than a newton has its worst case as well.
func TestCaseOfALittle(t *testing.T) {
	m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "model", Masses: []statics.Mass{{Name: "model", M: .02, CG: statics.Vec{Z: .3}}}}}})
	require.NoError(t, err)
	_, stands := block(t, 0)
	s := stand(t, m, statics.Stance{Supports: stands})
	assert.Equal(t, "straight down, on fl, rr", s.Reaction(0).Case)
}

// Geometry that only a member a thousandth of a millimetre out of line holds is refused with how nearly
// singular it is beside the largest, however many joints make that large.
func TestNearlySingularBesideTheLargest(t *testing.T) {
	sys := statics.System{Bodies: []statics.Body{
		{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 100, CG: statics.Vec{X: -1, Z: .5}}}},
		{Name: "arm", Masses: []statics.Mass{{Name: "arm", M: 5, CG: statics.Vec{X: .3, Z: .5}}}},
	}, Joints: []statics.Joint{{Name: "right", A: 0, B: 1, At: statics.Vec{Y: -.2, Z: .5}}},
		Links: []statics.Link{{Name: "dead", A: 0, B: 1, PA: statics.Vec{X: -.5, Z: .5 + 1e-6}, PB: statics.Vec{X: .4, Z: .5}}}}
	for range 200 {
		sys.Joints = append(sys.Joints, statics.Joint{Name: "left", A: 0, B: 1, At: statics.Vec{Y: .2, Z: .5}})
	}
	_, err := statics.New(sys)
	var near *statics.ErrNearlySingular
	require.ErrorAs(t, err, &near)
	assert.Less(t, near.Value, 1e-7, "a lever of half a thousandth of a millimetre beside 200 joints")
	assert.Greater(t, near.Value, 1e-10)
	assert.Equal(t, "arm tilts, its front going down", near.Words)
}

func TestSystemIsRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	const (
		mass  = "frame: mass or centre of gravity is negative or not a number"
		none  = "no bodies, or the base is none of them"
		joins = " joins no body"
	)
	for _, c := range []struct {
		words string
		spoil func(*statics.System)
	}{
		{none, func(s *statics.System) { s.Bodies = nil }},
		{none, func(s *statics.System) { s.Base = -1 }},
		{none, func(s *statics.System) { s.Base = 2 }},
		{mass, func(s *statics.System) { s.Bodies[0].Masses[0].M = -1 }},
		{mass, func(s *statics.System) { s.Bodies[0].Masses[0].M = nan }},
		{mass, func(s *statics.System) { s.Bodies[0].Masses[0].M = inf }},
		{mass, func(s *statics.System) { s.Bodies[0].Masses[0].Tol = -1 }},
		{mass, func(s *statics.System) { s.Bodies[0].Masses[0].Tol = inf }},
		{mass, func(s *statics.System) { s.Bodies[0].Masses[0].M, s.Bodies[0].Masses[0].Tol = inf, inf }},
		{mass, func(s *statics.System) { s.Bodies[0].Masses[0].CG = statics.Vec{X: inf, Z: inf} }},
		{mass, func(s *statics.System) { s.Bodies[0].Masses[0].CG.Y = nan }},
		{mass, func(s *statics.System) { s.Bodies[0].Masses[0].CG.Z = inf }},
		{mass, func(s *statics.System) { s.Bodies[0].Masses[0].CG = statics.Vec{X: inf, Y: inf, Z: inf} }},
		{mass, func(s *statics.System) { s.Bodies[0].Masses[0].CG = statics.Vec{X: -inf, Y: inf} }},
		{mass, func(s *statics.System) { s.Bodies[0].Masses[0].CGTol.X = -1 }},
		{mass, func(s *statics.System) { s.Bodies[0].Masses[0].CGTol.Y = -1 }},
		{mass, func(s *statics.System) { s.Bodies[0].Masses[0].CGTol.Z = inf }},
		{"the vehicle has no mass", func(s *statics.System) { s.Bodies[0].Masses[0].M, s.Bodies[1].Masses = 0, nil }},
		{"joint" + joins, func(s *statics.System) { s.Joints[0].A = -1 }},
		{"joint" + joins, func(s *statics.System) { s.Joints[0].B = 2 }},
		{"joint: its place is not a number", func(s *statics.System) { s.Joints[0].At.X = nan }},
		{"joint: its place is not a number", func(s *statics.System) { s.Joints[0].Axis.Z = inf }},
		{"joint turns or slides without an axis", func(s *statics.System) { s.Joints[0].Kind = statics.Pivot }},
		{"joint turns or slides without an axis", func(s *statics.System) { s.Joints[0].Kind = statics.Slider }},
		{"joint turns or slides without an axis", func(s *statics.System) { s.Joints[0].Kind = statics.Rack }},
		{"joint turns or slides without an axis", func(s *statics.System) { s.Joints[0].Kind = statics.Torsion }},
		{"joint turns or slides without an axis", func(s *statics.System) { s.Joints[0].Swings = true }},
		{"joint: the ± of its place is not a length", func(s *statics.System) { s.Joints[0].Tol = -1 }},
		{"joint: the ± of its place is not a length", func(s *statics.System) { s.Joints[0].Tol = inf }},
		{"link" + joins, func(s *statics.System) { s.Links[0].A = 2 }},
		{"link" + joins, func(s *statics.System) { s.Links[0].B = -1 }},
		{"link: its ends are not numbers", func(s *statics.System) { s.Links[0].PA.X = inf }},
		{"link: its ends are not numbers", func(s *statics.System) { s.Links[0].PB.Y = nan }},
		{"link has no length", func(s *statics.System) { s.Links[0].PB = s.Links[0].PA }},
		{"link: the ± of its ends is not a length", func(s *statics.System) { s.Links[0].Tol = nan }},
		{"link: the ± of its ends is not a length", func(s *statics.System) { s.Links[0].Tol = inf }},
	} {
		sys := statics.System{Bodies: []statics.Body{
			{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 300, Tol: 3, CGTol: statics.Vec{X: .1, Y: .1, Z: .1}}}},
			{Name: "axle", Masses: []statics.Mass{{Name: "axle", CG: statics.Vec{X: 1}}}},
		}, Joints: []statics.Joint{{Name: "joint", Kind: statics.Fixed, A: 0, B: 1, At: statics.Vec{X: .5}}},
			Links: []statics.Link{{Name: "link", A: 1, B: 0, PA: statics.Vec{X: 1}, PB: statics.Vec{X: .2, Z: .1}}}}
		_, err := statics.New(sys)
		require.NoError(t, err)
		c.spoil(&sys)
		_, err = statics.New(sys)
		require.EqualError(t, err, c.words)
	}
}

// A part balanced on its hinge is held by its stay, however little that carries: nobody's mass or place
// is exact, with or without a word of how uncertain it is. With another stay it holds.
func TestBalancedPartDropsWithItsStay(t *testing.T) {
	for name, c := range map[string]struct {
		part  statics.Mass
		stays int
		fate  statics.Fate
	}{
		"nothing said":               {statics.Mass{}, 1, statics.Drops},
		"beside the hinge, its mass": {statics.Mass{Tol: 1}, 1, statics.Drops},
		"its place":                  {statics.Mass{CGTol: statics.Vec{X: .01, Y: .01, Z: .01}}, 1, statics.Drops},
		"another stay":               {statics.Mass{}, 2, statics.Holds},
		"of a heavy frame":           {statics.Mass{}, 1, statics.Drops},
	} {
		frame := 300.
		if name == "of a heavy frame" {
			frame = 1e5 // what it hangs from is no measure of it
		}
		c.part.Name, c.part.M, c.part.CG = "part", 20, statics.Vec{Z: .5}
		sys := statics.System{Bodies: []statics.Body{
			{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: frame, CG: statics.Vec{X: .5}}}}, {Name: "part", Masses: []statics.Mass{c.part}},
		}, Joints: []statics.Joint{{Name: "left", A: 0, B: 1, At: statics.Vec{Y: .2}}, {Name: "right", A: 0, B: 1, At: statics.Vec{Y: -.2}}}}
		for range c.stays {
			sys.Links = append(sys.Links, statics.Link{Name: "stay", A: 0, B: 1, PA: statics.Vec{X: .5, Z: .1}, PB: statics.Vec{Z: .5}})
		}
		m, err := statics.New(sys)
		require.NoError(t, err, name)
		s := stand(t, m, statics.Stance{Supports: []statics.Support{{Name: "l", At: statics.Vec{X: 2, Y: .5}}, {Name: "r", At: statics.Vec{X: 2, Y: -.5}}, {Name: "rear", At: statics.Vec{X: -1}}}})
		require.Nil(t, s.Failure, name)
		assert.InDelta(t, 0, s.Link(0).Nominal, 1e-9, name)
		out, err := s.LetGo(statics.Removal{Links: []int{0}})
		require.NoError(t, err)
		assert.Equal(t, c.fate, out.Fate, "%s: %s", name, out.Words)
		if c.fate == statics.Drops {
			assert.Equal(t, []int{1}, out.Bodies)
			assert.InDelta(t, 20+c.part.Tol, out.Mass, 1e-9)
			assert.Equal(t, "straight down, on l, r, rear", out.Case)
		}
	}
}

// A tray on three plumb bars hangs where it is drawn, and nothing but that holds it: a bar that is a
// millimetre out of plumb pushes it sideways, which nothing takes. A fourth across it takes the push.
func TestNothingButItsDrawnPlaceHoldsIt(t *testing.T) {
	for _, c := range []struct {
		mass   float64
		across bool
	}{{30, false}, {.03, false}, {30, true}} {
		sys := statics.System{Bodies: []statics.Body{
			{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 300, CG: statics.Vec{X: .5}}}},
			{Name: "tray", Masses: []statics.Mass{{Name: "tray", M: c.mass, CG: statics.Vec{X: .2}}}},
		}}
		for _, at := range []statics.Vec{{}, {X: .4, Y: .3}, {X: .4, Y: -.3}} {
			sys.Links = append(sys.Links, statics.Link{Name: "bar", A: 0, B: 1, Tol: .001, PA: r3.Add(at, statics.Vec{Z: .5}), PB: at})
		}
		if c.across {
			for _, e := range []struct{ at, to statics.Vec }{{statics.Vec{}, statics.Vec{X: -.5}}, {statics.Vec{}, statics.Vec{Y: .5}}, {statics.Vec{X: .4}, statics.Vec{X: .4, Y: .5}}} {
				sys.Links = append(sys.Links, statics.Link{Name: "level", A: 0, B: 1, PA: e.to, PB: e.at})
			}
		}
		m, err := statics.New(sys)
		require.NoError(t, err)
		s := stand(t, m, statics.Stance{Supports: []statics.Support{{Name: "l", At: statics.Vec{X: 2, Y: .5}}, {Name: "r", At: statics.Vec{X: 2, Y: -.5}}, {Name: "rear", At: statics.Vec{X: -1}}}})
		require.Nil(t, s.Failure)
		members := s.Members()
		if !c.across {
			assert.True(t, math.IsInf(members[0].Change, 1), "%g", members[0].Change)
			continue
		}
		assert.InDelta(t, 30*statics.Gravity/2, members[0].Load, 1e-6, "half of it, by hand")
		for _, member := range members {
			assert.Less(t, member.Change, .1*30*statics.Gravity)
			assert.LessOrEqual(t, len(member.Points), 4)
		}
		assert.NotZero(t, members[0].Change)
	}
}

// A point that is known exactly says nothing of those after it.
func TestExactPointAmongOthers(t *testing.T) {
	for exact := range 2 {
		sys := statics.System{Bodies: []statics.Body{
			{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 300, CG: statics.Vec{X: 1, Z: .4}}}},
			{Name: "arm", Masses: []statics.Mass{{Name: "arm", M: 10, CG: statics.Vec{X: 1, Y: .8, Z: .3}}}},
		}, Joints: []statics.Joint{{Name: "front", A: 0, B: 1, At: statics.Vec{X: 1.2, Y: .4, Z: .3}, Tol: .003}, {Name: "rear", A: 0, B: 1, At: statics.Vec{X: .8, Y: .4, Z: .3}, Tol: .003}},
			Links: []statics.Link{{Name: "bar", A: 0, B: 1, PA: statics.Vec{X: 1, Y: .8, Z: .7}, PB: statics.Vec{X: 1, Y: 1, Z: .3}}}}
		sys.Joints[exact].Tol = 0
		m, err := statics.New(sys)
		require.NoError(t, err)
		s := stand(t, m, statics.Stance{Supports: []statics.Support{{Name: "l", At: statics.Vec{X: 2, Y: .4}}, {Name: "r", At: statics.Vec{X: 2, Y: -.4}}, {Name: "rear"}}})
		require.Nil(t, s.Failure)
		bar := s.Members()[2]
		require.Len(t, bar.Points, 1)
		assert.Equal(t, sys.Joints[1-exact].Name, bar.Points[0].Name)
		assert.Positive(t, bar.Points[0].Change)
	}
}

// The ± of a stand under an arm changes what its hinge passes, whatever is known of the other stands. By
// hand, 10 kg at 0.4 m from the hinge on a stand at 0.6 m: moved out by dy it carries 10·g·0.4/0.36·dy
// less, half of it at each bearing; moved ahead by dx its 65 N turn against bearings 0.4 m apart.
func TestStandsPlaceCounts(t *testing.T) {
	m, err := statics.New(statics.System{Bodies: []statics.Body{
		{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 300, CG: statics.Vec{X: 1, Z: .4}}}},
		{Name: "arm", Masses: []statics.Mass{{Name: "arm", M: 10, CG: statics.Vec{X: 1, Y: .8, Z: .3}}}},
	}, Joints: []statics.Joint{{Name: "front", A: 0, B: 1, At: statics.Vec{X: 1.2, Y: .4, Z: .3}}, {Name: "rear", A: 0, B: 1, At: statics.Vec{X: .8, Y: .4, Z: .3}}}})
	require.NoError(t, err)
	s := stand(t, m, statics.Stance{Supports: []statics.Support{{Name: "l", At: statics.Vec{X: 2, Y: .4}}, {Name: "r", At: statics.Vec{X: 2, Y: -.4}}, {Name: "tail"},
		{Name: "under the arm", Body: 1, At: statics.Vec{X: 1, Y: 1, Z: .3}, Tol: .003}}})
	require.Nil(t, s.Failure)
	for _, bearing := range s.Members() {
		require.Len(t, bearing.Points, 1)
		assert.Equal(t, "under the arm", bearing.Points[0].Name)
		assert.InDelta(t, .003*statics.Gravity*(10*.4/.36/2+10*.4/.6/.4), bearing.Change, 1e-9)
	}
}

// A load that may be there counts though nothing is drawn of it, by hand: up to 5 kg over the front stands
// are half at each.
func TestLoadThatMayBe(t *testing.T) {
	m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "block", Masses: []statics.Mass{{Name: "block", M: 100, CG: statics.Vec{Z: .3}}, {Name: "spare", Tol: 5, CG: statics.Vec{X: 1}}}}}})
	require.NoError(t, err)
	_, stands := block(t, 0)
	stands[2].At.Y = 0
	s := stand(t, m, statics.Stance{Supports: stands[:3]})
	require.Nil(t, s.Failure)
	near(t, statics.Range{Nominal: 25 * statics.Gravity, Least: 25 * statics.Gravity, Most: 27.5 * statics.Gravity}, s.Reaction(0), 1e-9, "front")
}

// Of edges that are as near the first is named, and of cases that are as bad.
func TestFirstOfEquals(t *testing.T) {
	m, stands := block(t, 0)
	for i := range stands {
		stands[i].At.X /= 2
	}
	assert.Equal(t, 0, m.Stability(stands, 0).Nearest)
	hung, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 300}}}, {Name: "drum", Masses: []statics.Mass{{Name: "drum", M: 10}}}},
		Joints: []statics.Joint{{Name: "face", Kind: statics.Fixed, A: 0, B: 1}}})
	require.NoError(t, err)
	assert.Contains(t, stand(t, hung, statics.Stance{Supports: stands, Attitude: statics.Attitude{Push: .05}}).Joint(0).Case, "pushed forward, on ")
}

// On the line between two stands it still balances; a millimetre outside it does not.
func TestBalancesOnTheLine(t *testing.T) {
	for _, beside := range []float64{0, .001} {
		m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "block", Masses: []statics.Mass{{Name: "block", M: 100, CG: statics.Vec{X: 1 + beside, Z: .3}}}}}})
		require.NoError(t, err)
		_, stands := block(t, 0)
		assert.Equal(t, beside == 0, stand(t, m, statics.Stance{Supports: stands}).Failure == nil)
	}
}

// What a stand carries most is said with its case: of equals the first, else the push that puts it there.
func TestCaseOfTheWorst(t *testing.T) {
	for height, want := range map[float64]string{0: "straight down", .5: "pushed left"} {
		m, stands := block(t, height)
		stands[2].At.Y, stands[2].Name = 0, "rear"
		s := stand(t, m, statics.Stance{Supports: stands[:3], Attitude: statics.Attitude{Push: .05}})
		require.Nil(t, s.Failure)
		got := s.Reaction(0)
		assert.InDelta(t, s.Weight()/4, got.Nominal, 1e-9*s.Weight())
		// Pushed left it takes 0.05·height/1 more, forward half of 0.05·height/2.
		assert.InDelta(t, (.25+.05*height)*s.Weight(), got.Most, 1e-9*s.Weight())
		assert.Equal(t, want+", on fl, fr, rear", got.Case)
	}
}

// More ways of standing than can be followed are refused, not left out.
func TestTooManyWaysAreRefused(t *testing.T) {
	m, _ := block(t, .3)
	var ring []statics.Support
	for i := range 24 { // 24·23·22/6 = 2024
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 24)
		ring = append(ring, statics.Support{Name: "stand", At: statics.Vec{X: cos, Y: sin}})
	}
	_, err := m.Stand(statics.Stance{Supports: ring})
	require.EqualError(t, err, "24 supports and ties can carry in more than 2000 ways; describe the step with fewer")
}

// The polygon of four stands, 2 m by 1 m, one of them 0.1 m higher, by hand: a centre of gravity 0.1 m
// ahead and 50 mm to the left of its middle, ± 10, 20 and 30 mm.
func TestStabilityByHand(t *testing.T) {
	for _, c := range []struct{ height, over float64 }{{.5, .43}, {-.5, -.57}} {
		m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "block", Masses: []statics.Mass{{Name: "block", M: 100, CG: statics.Vec{X: .1, Y: .05, Z: c.height}, CGTol: statics.Vec{X: .01, Y: .02, Z: .03}}}}}})
		require.NoError(t, err)
		stands := []statics.Support{{Name: "fl", At: statics.Vec{X: 1, Y: .5, Z: .1}}, {Name: "fr", At: statics.Vec{X: 1, Y: -.5, Z: .2}}, {Name: "rl", At: statics.Vec{X: -1, Y: .5, Z: .1}}, {Name: "rr", At: statics.Vec{X: -1, Y: -.5, Z: .1}}}
		st := m.Stability(stands, 0)
		require.Equal(t, []int{3, 1, 0, 2}, st.Corners)
		assert.Equal(t, 2, st.Nearest)
		for i, want := range []struct{ nominal, worst, span float64 }{{.55, .53, 1}, {.9, .89, 2}, {.45, .43, 1}, {1.1, 1.09, 2}} {
			e := st.Edges[i]
			assert.Equal(t, []int{st.Corners[i], st.Corners[(i+1)%4]}, []int{e.From, e.To})
			assert.InDelta(t, want.nominal, e.Nominal, 1e-12)
			assert.InDelta(t, want.worst, e.Worst, 1e-12)
			assert.InDelta(t, want.span, e.Span, 1e-12)
			assert.InDelta(t, c.over, e.Height, 1e-12, "over the lower end of every edge")
			if c.over < 0 { // it hangs
				assert.Equal(t, math.Pi/2, e.Angle)
				assert.True(t, math.IsInf(e.Push, 1))
				continue
			}
			assert.InDelta(t, math.Atan(want.worst/c.over), e.Angle, 1e-12)
			assert.InDelta(t, 100*statics.Gravity*want.worst/c.over, e.Push, 1e-9)
		}
		assert.Nil(t, m.Stability(stands[:2], 0))
	}
	// Outside the polygon nothing is left to tip it.
	m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "block", Masses: []statics.Mass{{Name: "block", M: 100, CG: statics.Vec{X: 1.1, Z: 1}}}}}})
	require.NoError(t, err)
	_, stands := block(t, 1)
	st := m.Stability(stands, 0)
	e := st.Edges[st.Nearest]
	assert.InDelta(t, -.1, e.Worst, 1e-12)
	assert.Zero(t, e.Angle)
	assert.Zero(t, e.Push)
}

// Two tyres that scrub against each other, by hand: each carries a quarter of the weight, and with a
// friction of 0.8 they push and pull the leg that one of them stands under by 0.2 of it; the less loaded
// of two counts.
func TestScrubByHand(t *testing.T) {
	for _, c := range []struct{ beside, least, nominal float64 }{{0, .25, .25}, {.1, .2, .3}, {-.1, .2, .2}} {
		m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 400, CG: statics.Vec{Y: c.beside * .5}}}}, {Name: "leg"}},
			Joints: []statics.Joint{{Name: "bolted", Kind: statics.Fixed, A: 0, B: 1, At: statics.Vec{X: 1, Y: .5}}}})
		require.NoError(t, err)
		st := statics.Stance{Supports: []statics.Support{{Name: "l", Body: 1, At: statics.Vec{X: 1, Y: .5}}, {Name: "r", At: statics.Vec{X: 1, Y: -.5}}, {Name: "rear", At: statics.Vec{X: -1}}}, Scrubs: []statics.Scrub{{Left: 0, Right: 1, Mu: .8}}}
		s := stand(t, m, st)
		require.Nil(t, s.Failure)
		w := s.Weight()
		near(t, statics.Range{Least: -.8 * c.least * w, Most: .8 * c.least * w}, s.Along(0, statics.Vec{Y: 1}), 1e-6*w, "across")
		near(t, statics.Range{Nominal: -c.nominal * w, Least: -c.nominal * w, Most: -c.nominal * w}, s.Along(0, statics.Vec{Z: 1}), 1e-6*w, "what it bears")
		got := s.Pushes(0)
		require.Len(t, got, 3, "straight down, together and apart")
		assert.InDelta(t, 0, got[1].Y+got[2].Y, 1e-6*w)
		require.Len(t, s.Ways(), 1)
	}

	// A block on four tyres stands on two across corners: in each way one tyre of a pair is idle.
	m, stands := block(t, 0)
	stands = append(stands, statics.Support{Name: "middle l", At: statics.Vec{Y: .5}}, statics.Support{Name: "middle r", At: statics.Vec{Y: -.5}})
	s := stand(t, m, statics.Stance{Supports: stands, Scrubs: []statics.Scrub{{Left: 0, Right: 1, Mu: .8}, {Left: 4, Right: 5, Mu: .8}}})
	require.Nil(t, s.Failure)
	most := 0.0
	for _, push := range s.Pushes(4) {
		most = max(most, math.Abs(push.Y))
	}
	assert.InDelta(t, .8*.5*s.Weight(), most, 1e-6*s.Weight(), "on the middle pair alone, half of the weight each")
}

// One body on supports that are known no better than to their ±, with a joint within it that holds
// nothing: there is nothing to be located, and no unknown to follow.
func TestNothingToLocate(t *testing.T) {
	sys := statics.System{
		Bodies: []statics.Body{{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 300, CG: statics.Vec{X: 1, Z: .4}}}}},
		Joints: []statics.Joint{{Name: "weld", At: statics.Vec{X: 1}, Tol: .003}},
	}
	m, err := statics.New(sys)
	require.NoError(t, err)
	s := stand(t, m, statics.Stance{Supports: []statics.Support{{Name: "l", At: statics.Vec{X: 2, Y: .4}, Tol: .003}, {Name: "r", At: statics.Vec{X: 2, Y: -.4}, Tol: .003}, {Name: "rear", Tol: .003}}})
	require.Nil(t, s.Failure)
	assert.Equal(t, []statics.Located{{}}, s.Members())
}
