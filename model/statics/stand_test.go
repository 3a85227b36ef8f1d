package statics_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model/statics"
)

// block is a stiff vehicle of 400 kg on four stands, 2 m by 1 m, its centre of gravity
// high above the middle of them.
func block(t *testing.T, height float64) (*statics.Model, []statics.Support) {
	t.Helper()
	m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "block", Masses: []statics.Mass{{Name: "block", M: 400, CG: statics.Vec{Z: height}}}}}})
	require.NoError(t, err)
	var stands []statics.Support
	for i, at := range []statics.Vec{{X: 1, Y: .5}, {X: 1, Y: -.5}, {X: -1, Y: .5}, {X: -1, Y: -.5}} {
		stands = append(stands, statics.Support{Name: []string{"fl", "fr", "rl", "rr"}[i], At: at})
	}
	return m, stands
}

func stand(t *testing.T, m *statics.Model, st statics.Stance) *statics.Step {
	t.Helper()
	s, err := m.Stand(st)
	require.NoError(t, err)
	return s
}

// A centre of gravity 1.4 m above the saddles, 75 mm inside; the
// stands of one side 35 mm higher, the floor falling 19 mm/m the same way. By hand the
// plumb line lies 75 − 1400·(35/1000) − 1400·0.019 = −0.6 mm for a track of 1 m, and
// outside on a narrower one.
func TestHeightsAndSlopeCount(t *testing.T) {
	for _, c := range []struct {
		raised, slope, inside float64 // mm, mm/m, mm
		stands                bool
	}{{0, 0, 75, true}, {35, 0, 26, true}, {35, 10, 12, true}, {35, 19, -0.6, false}, {0, 19, 48.4, true}, {60, 0, -9, false}} {
		m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "block", Masses: []statics.Mass{{Name: "block", M: 400, CG: statics.Vec{Y: .425, Z: 1.4}}}}}})
		require.NoError(t, err)
		_, stands := block(t, 1)
		for i := range stands {
			h := 0.4
			if stands[i].At.Y < 0 {
				h += c.raised / 1000
			}
			stands[i].Height = &statics.Height{Z: h}
		}
		s := stand(t, m, statics.Stance{Supports: stands, Attitude: statics.Attitude{Slope: c.slope / 1000}})
		st := s.Stability()
		require.NotNil(t, st)
		assert.InDelta(t, c.inside, 1000*st.Edges[st.Nearest].Worst, 1.5, "raised %g mm, slope %g mm/m: the cosine of a lean of 2° is all that by hand leaves out", c.raised, c.slope)
		if c.stands != (s.Failure == nil) && math.Abs(c.inside) > 15 {
			t.Errorf("raised %g mm, slope %g mm/m: %+v", c.raised, c.slope, s.Failure)
		}
	}
}

// Heights that say level are level, and a height that is missing leaves the attitude to
// the step.
func TestLevelHeightsChangeNothing(t *testing.T) {
	for seed := range uint64(20) {
		e := invented(rand.New(rand.NewPCG(seed, 23)))
		m, err := statics.New(e.sys)
		require.NoError(t, err)
		want := stand(t, m, statics.Stance{Supports: e.supports, Attitude: statics.Attitude{Push: .05}})
		require.Nil(t, want.Failure)
		level := append([]statics.Support(nil), e.supports...)
		for i := range level {
			level[i].Height = &statics.Height{Z: level[i].At.Z + 0.3}
		}
		pitched := append([]statics.Support(nil), level...)
		pitched[0].Height = nil
		for name, st := range map[string]statics.Stance{
			"level":                {Supports: level, Attitude: statics.Attitude{Push: .05}},
			"slope to nothing":     {Supports: e.supports, Attitude: statics.Attitude{Push: .05, Slope: 1e-12}},
			"friction to infinity": {Supports: rubbing(e.supports, 1e9), Attitude: statics.Attitude{Push: .05}},
			"one height missing":   {Supports: pitched, Attitude: statics.Attitude{Push: .05}},
		} {
			got := stand(t, m, st)
			require.Nil(t, got.Failure, name)
			for i := range e.supports {
				if name != "friction to infinity" {
					near(t, want.Reaction(i), got.Reaction(i), 1e-8*want.Weight(), name)
				}
			}
			for i := range e.sys.Links {
				w, g := want.Link(i), got.Link(i)
				if name == "friction to infinity" {
					// Every set may take the push, so that the old answer is one of them.
					assert.LessOrEqual(t, g.Least, w.Least+1e-8*want.Weight(), name)
					assert.GreaterOrEqual(t, g.Most, w.Most-1e-8*want.Weight(), name)
					continue
				}
				near(t, w, g, 1e-8*want.Weight(), name)
			}
		}
		for i := range pitched {
			pitched[i].Height = nil
		}
		drawn := stand(t, m, statics.Stance{Supports: pitched, Attitude: statics.Attitude{Pitch: .05, Push: .05}})
		old, err := m.Step(e.supports, statics.Attitude{Pitch: .05, Push: .05})
		require.NoError(t, err)
		for i := range e.supports {
			near(t, old.Reaction(i), drawn.Reaction(i), 1e-9*want.Weight(), "the pitch of the step")
		}
	}
}

func near(t *testing.T, want, got statics.Range, by float64, why string) {
	t.Helper()
	assert.InDelta(t, want.Nominal, got.Nominal, by, why)
	assert.InDelta(t, want.Least, got.Least, by, why)
	assert.InDelta(t, want.Most, got.Most, by, why)
}

// rubbing gives every support the same friction.
func rubbing(supports []statics.Support, mu float64) []statics.Support {
	out := append([]statics.Support(nil), supports...)
	for i := range out {
		out[i].Contact = &statics.Contact{Mu: mu}
	}
	return out
}

// A jack has no height, and the two stands of the other end were not looked at: 22 mm on 600 mm are
// 2.1 degrees across, and along it stands as the step says.
func TestTwoHeightsLean(t *testing.T) {
	m, stands := block(t, .3)
	jack := statics.Support{Name: "jack", At: r3.Scale(.5, r3.Add(stands[0].At, stands[1].At))}
	across := math.Abs(stands[2].At.Y - stands[3].At.Y)
	lean := func(low, pitch float64, on ...statics.Support) (nose, left float64) {
		for i := range on {
			if on[i].Name != "jack" {
				on[i].Height = &statics.Height{Z: .32, Tol: .003}
			}
		}
		on[len(on)-1].Height.Z -= low
		s := stand(t, m, statics.Stance{Supports: on, Attitude: statics.Attitude{Pitch: pitch}})
		require.Nil(t, s.Failure)
		return s.Tilt()
	}
	nose, left := lean(.022, .03, jack, stands[2], stands[3])
	assert.InDelta(t, .03, nose, 1e-9, "as the step says")
	assert.InDelta(t, math.Atan(.022/across), left, 1e-9, "the right stand is the lower one")
	drawn := slices.Clone(stands)
	drawn[2].At.Z, drawn[3].At.Z = .01, -.012
	nose, left = lean(.022, .03, jack, drawn[2], drawn[3])
	assert.InDelta(t, .03, nose, 1e-9)
	assert.InDelta(t, 0, left, 1e-9, "it is drawn on stands of those heights")
	nose, left = lean(0, .03, jack, stands[2], stands[3])
	assert.InDelta(t, .03, nose, 1e-9)
	assert.InDelta(t, 0, left, 1e-9)

	// Their ± leans it along their line: by hand 3 mm either way at both ends are 6 mm on their distance,
	// and move the weight, so high above them, from the one to the other by that.
	m, stands = block(t, .3)
	share := func(tol float64) float64 {
		on := []statics.Support{jack, stands[2], stands[3]}
		for i := range on[1:] {
			on[i+1].Height = &statics.Height{Z: .32, Tol: tol}
		}
		r := stand(t, m, statics.Stance{Supports: on}).Reaction(1)
		return r.Most - r.Nominal
	}
	assert.InDelta(t, 0, share(0), 1e-9)
	cg, weight := m.Centre()
	assert.InEpsilon(t, .006/across*(cg.Z-stands[2].At.Z)*weight*statics.Gravity/across, share(.003), 1e-3)
}

// A set that nothing restrains slews off, with the friction that it would need; by hand
// 400 kg on four stands with a push of 5 % need 0.05 where all share it.
func TestSlewsOff(t *testing.T) {
	m, stands := block(t, .3)
	for _, c := range []struct {
		mu    float64
		fails bool
	}{{.049, true}, {.0501, false}, {.2, false}} {
		s := stand(t, m, statics.Stance{Supports: rubbing(stands, c.mu), Attitude: statics.Attitude{Push: .05}})
		require.Equal(t, c.fails, s.Failure != nil, "%g", c.mu)
		if c.fails {
			assert.InDelta(t, .05, s.Failure.Needs, 1e-9)
			assert.Contains(t, s.Failure.Words, "slews off; friction of 0.05")
		}
	}
	// A slope uses up its own share, and a stand that is tilted the tangent of that: 0.05 and 0.01, 0.05
	// and 0.02 as near as makes no matter.
	for _, c := range []struct {
		mu, slope, pitch, needs float64
		floor                   bool
	}{
		{.0599, .01, 0, .06, false}, {.0601, .01, 0, 0, false}, {.0599, .01, 0, .06, true}, {.0601, .01, 0, 0, true},
		{.069, 0, .02, .07, false}, {.071, 0, .02, 0, false}, {.0499, 0, .02, .05, true}, {.0501, 0, .02, 0, true},
	} {
		on := rubbing(stands, c.mu)
		for i := range on {
			on[i].Contact.Floor = c.floor
		}
		s := stand(t, m, statics.Stance{Supports: on, Attitude: statics.Attitude{Push: .05, Slope: c.slope, Pitch: c.pitch}})
		require.Equal(t, c.needs > 0, s.Failure != nil, "%+v", c)
		if c.needs > 0 {
			assert.InDelta(t, c.needs, s.Failure.Needs, 1e-4, "%+v", c)
		}
	}
	// The two in front on a jack that is free along, the two behind on castors.
	free := rubbing(stands, .2)
	free[0].Contact.Rolls, free[1].Contact.Rolls = statics.Vec{X: 1}, statics.Vec{X: 1}
	free[2].Contact.Mu, free[3].Contact.Mu = 0, 0
	s := stand(t, m, statics.Stance{Supports: free, Attitude: statics.Attitude{Push: .05}})
	require.NotNil(t, s.Failure)
	assert.Contains(t, s.Failure.Words, "rolls away")
	assert.True(t, math.IsInf(s.Failure.Needs, 1))
}

// A support that is free to roll one way, however that lies, takes nothing along it, and the others make
// the push whole in every case.
func TestRollsOneWay(t *testing.T) {
	for _, rolls := range []statics.Vec{{X: 1}, {Y: -3}, {X: 1, Y: 1}, {X: 2, Y: -1}, {X: -.1, Y: .3}} {
		m, stands := block(t, 0)
		on := rubbing(stands, .9)
		on[0].Contact.Rolls = rolls
		s := stand(t, m, statics.Stance{Supports: on, Attitude: statics.Attitude{Push: .05}})
		require.Nil(t, s.Failure, "%v", rolls)
		passes := make([][]statics.Vec, len(on))
		for i := range on {
			passes[i] = s.Pushes(i)
			require.Len(t, passes[i], len(passes[0]))
		}
		for k := range passes[0] {
			var sum statics.Vec
			for i := range on {
				sum = r3.Add(sum, passes[i][k])
			}
			level := math.Hypot(sum.X, sum.Y)
			assert.True(t, math.Abs(level-.05*s.Weight()) < 1e-6*s.Weight() || level < 1e-6*s.Weight(), "%v, case %d: %v", rolls, k, sum)
			assert.InDelta(t, s.Weight(), sum.Z, 1e-6*s.Weight())
			assert.InDelta(t, 0, r3.Dot(rolls, passes[0][k]), 1e-6*s.Weight(), "%v, case %d", rolls, k)
		}
	}
}

// Front on a jack that rolls, axle on two stands: the whole push goes to the stands. By
// hand, 100 kg at the middle of three legs, a pull across is shared by the two stands, and
// the one link across that ties the axle to the frame takes the frame's share of the push.
func TestPushGoesToWhoTakesIt(t *testing.T) {
	sys := statics.System{Bodies: []statics.Body{
		{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 800, CG: statics.Vec{X: 1, Z: .5}}}},
		{Name: "axle", Masses: []statics.Mass{{Name: "axle", CG: statics.Vec{Z: .3}}}},
	}, Links: []statics.Link{
		{Name: "lower-left", A: 0, B: 1, PA: statics.Vec{X: .5, Y: .4, Z: .2}, PB: statics.Vec{Y: .4, Z: .2}},
		{Name: "lower-right", A: 0, B: 1, PA: statics.Vec{X: .5, Y: -.4, Z: .2}, PB: statics.Vec{Y: -.4, Z: .2}},
		{Name: "upper", A: 0, B: 1, PA: statics.Vec{X: .5, Z: .4}, PB: statics.Vec{Z: .4}},
		{Name: "bar-left", A: 0, B: 1, PA: statics.Vec{Y: .4, Z: .8}, PB: statics.Vec{Y: .4, Z: .3}},
		{Name: "bar-right", A: 0, B: 1, PA: statics.Vec{Y: -.4, Z: .8}, PB: statics.Vec{Y: -.4, Z: .3}},
		{Name: "panhard", A: 0, B: 1, PA: statics.Vec{X: -.1, Y: .4, Z: .3}, PB: statics.Vec{X: -.1, Y: -.4, Z: .3}},
	}}
	m, err := statics.New(sys)
	require.NoError(t, err)
	supports := []statics.Support{
		{Name: "jack", Body: 0, At: statics.Vec{X: 2, Z: .2}, Contact: &statics.Contact{Mu: 0}},
		{Name: "left", Body: 1, At: statics.Vec{Y: .5, Z: .2}, Contact: &statics.Contact{Mu: .5}},
		{Name: "right", Body: 1, At: statics.Vec{Y: -.5, Z: .2}, Contact: &statics.Contact{Mu: .5}},
	}
	s := stand(t, m, statics.Stance{Supports: supports, Attitude: statics.Attitude{Push: .05}})
	require.Nil(t, s.Failure)
	push := .05 * s.Weight()
	// All of it passes through the Panhard rod.
	assert.InDelta(t, push, s.Link(5).Most, 1e-6*push)
	assert.InDelta(t, -push, s.Link(5).Least, 1e-6*push)
	// Without its rod the vehicle goes sideways under a push; straight down it does not need it,
	// whatever the ± of the masses.
	lost, err := s.LetGo(statics.Removal{Links: []int{5}})
	require.NoError(t, err)
	assert.Equal(t, statics.Falls, lost.Fate, lost.Words)
	level := stand(t, m, statics.Stance{Supports: supports})
	lost, err = level.LetGo(statics.Removal{Links: []int{5}})
	require.NoError(t, err)
	assert.Equal(t, statics.Holds, lost.Fate, lost.Words)
	sys.Bodies[0].Masses[0].Tol, sys.Bodies[0].Masses[0].CGTol = 20, statics.Vec{X: .05, Y: .05, Z: .05}
	wide, err := statics.New(sys)
	require.NoError(t, err)
	lost, err = stand(t, wide, statics.Stance{Supports: supports}).LetGo(statics.Removal{Links: []int{5}})
	require.NoError(t, err)
	assert.Equal(t, statics.Holds, lost.Fate, lost.Words)
	for i := range supports {
		supports[i].Contact = nil
	}
	// A slope pulls as a push of as much does.
	sloping := stand(t, m, statics.Stance{Supports: supports, Attitude: statics.Attitude{Slope: .001}})
	near(t, stand(t, m, statics.Stance{Supports: supports, Attitude: statics.Attitude{Push: .001}}).Link(5), sloping.Link(5), 1e-6*s.Weight(), "panhard")
	half := stand(t, m, statics.Stance{Supports: supports, Attitude: statics.Attitude{Push: .05}})
	assert.InDelta(t, push/2, half.Link(5).Most, .05*push, "the jack took its half before")
}

// Four links, struts upright and no Panhard rod: with the lower links out of parallel by a
// tape's error the vehicle stands on paper. The gains of the trial: 36, 15, 7.3, 4.9, 3.7, 2.5
// for 2, 5, 10, 15, 20, 30 mm, falling as one over the offset; with the rod below 2.
func TestTapeErrorIsNoLocation(t *testing.T) {
	at := func(x, y, z float64) statics.Vec { return statics.Vec{X: x, Y: y, Z: z} }
	car := func(offset float64, rod bool) statics.System {
		sys := statics.System{Bodies: []statics.Body{
			{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 300, CG: at(1.2, 0, .4)}}},
			{Name: "axle", Masses: []statics.Mass{{Name: "axle", M: 32, CG: at(0, 0, .3)}}},
		}}
		for _, side := range []float64{1, -1} {
			sys.Links = append(sys.Links,
				statics.Link{Name: "lower", A: 0, B: 1, PA: at(.46, side*.4, .22), PB: at(0, side*(.4+offset), .22)},
				statics.Link{Name: "upper", A: 0, B: 1, PA: at(.46, side*.3, .4), PB: at(0, side*.3, .4)},
				statics.Link{Name: "strut", A: 0, B: 1, PA: at(0, side*.45, .7), PB: at(0, side*.45, .3)})
		}
		if rod {
			sys.Links = append(sys.Links, statics.Link{Name: "panhard", A: 0, B: 1, PA: at(-.1, .4, .32), PB: at(-.1, -.4, .3)})
		}
		for i := range sys.Links {
			sys.Links[i].Tol = .003
		}
		return sys
	}
	supports := []statics.Support{{Name: "fl", At: at(2.1, .4, .2)}, {Name: "fr", At: at(2.1, -.4, .2)},
		{Name: "rl", Body: 1, At: at(0, .5, .2)}, {Name: "rr", Body: 1, At: at(0, -.5, .2)}}
	worst := func(offset float64, rod bool) (gain, change, weight float64) {
		m, err := statics.New(car(offset, rod))
		require.NoError(t, err)
		s := stand(t, m, statics.Stance{Supports: supports, Attitude: statics.Attitude{}})
		require.Nil(t, s.Failure)
		for _, l := range s.Members() {
			gain, change = math.Max(gain, l.Gain), math.Max(change, l.Change)
			assert.LessOrEqual(t, len(l.Points), 4)
			for i := 1; i < len(l.Points); i++ {
				assert.GreaterOrEqual(t, l.Points[i-1].Change, l.Points[i].Change)
			}
		}
		return gain, change, s.Weight()
	}
	for _, offset := range []float64{.002, .005, .01, .03} {
		gain, change, weight := worst(offset, false)
		t.Logf("%g mm: gain %.1f, change %.2f of the weight", offset*1000, gain, change/weight)
		if offset <= .01 {
			assert.Greater(t, gain, 3.0)
			assert.Greater(t, change, weight/10)
		}
		half, _, _ := worst(offset/2, false)
		assert.InDelta(t, 2, half/gain, .1, "the gain is one over the offset")
	}
	gain, change, weight := worst(.002, true)
	t.Logf("with the rod: gain %.1f, change %.3f of the weight", gain, change/weight)
	assert.Less(t, gain, 1.6)
	assert.Less(t, change, .14*weight)
}

// The axial force of an arm on two bearings goes to either of them.
func TestHingeAxialGoesToEither(t *testing.T) {
	e := invented(rand.New(rand.NewPCG(1, 29)))
	m, err := statics.New(e.sys)
	require.NoError(t, err)
	split, err := m.Step(e.supports, statics.Attitude{})
	require.NoError(t, err)
	whole := stand(t, m, statics.Stance{Supports: e.supports})
	for arm := range 4 {
		front, rear := e.sys.Joints[2*arm], e.sys.Joints[2*arm+1]
		line := statics.Vec{X: rear.At.X - front.At.X, Y: rear.At.Y - front.At.Y, Z: rear.At.Z - front.At.Z}
		f, r := split.Along(2*arm, line), split.Along(2*arm+1, line)
		// The rear one lists its bodies the other way round.
		total := f.Nominal - r.Nominal
		near := whole.Along(2*arm, line)
		assert.LessOrEqual(t, near.Least, total+1e-9)
		assert.GreaterOrEqual(t, near.Most, total-1e-9)
		assert.InDelta(t, f.Nominal, near.Nominal, 1e-9, "the nominal force keeps the balance")
		other := whole.Along(2*arm+1, line)
		assert.InDelta(t, -near.Least, other.Most, 1e-6*whole.Weight())
	}
}

// Two blocks that nothing joins, each on its own three stands: a set of stands that leaves one of them
// without its own push is no answer, so that no stand passes more than the push of its own block.
func TestEveryPartTakesItsOwnPush(t *testing.T) {
	m, err := statics.New(statics.System{Bodies: []statics.Body{
		{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 400}}}, {Name: "cradle", Masses: []statics.Mass{{Name: "cradle", M: 80, CG: statics.Vec{X: 3}}}}}})
	require.NoError(t, err)
	var stands []statics.Support
	for b, x := range []float64{0, 3} {
		stands = append(stands, statics.Support{Name: "l", Body: b, At: statics.Vec{X: x + 1, Y: .5}}, statics.Support{Name: "r", Body: b, At: statics.Vec{X: x + 1, Y: -.5}}, statics.Support{Name: "rear", Body: b, At: statics.Vec{X: x - 1}})
	}
	s := stand(t, m, statics.Stance{Supports: rubbing(stands, .5), Attitude: statics.Attitude{Push: .05}})
	require.Nil(t, s.Failure)
	for i := range stands {
		own := .05 * []float64{400, 80}[i/3] * statics.Gravity
		most := 0.0
		for _, f := range s.Pushes(i) {
			most = math.Max(most, math.Hypot(f.X, f.Y))
		}
		assert.LessOrEqual(t, most, own*(1+1e-6), "stand %d", i)
		if i%3 == 2 {
			assert.InDelta(t, own, most, 1e-6*own, "in line with its middle the rear one may take all of it")
		}
	}
}

// By hand: a part of 10 kg on two bearings along the vehicle, its centre of gravity below a bar square to
// them, nose up by 0.1 rad: 10·g·sin 0.1
// passes along the hinge, half of it at each bearing as drawn, and all of it at either of them.
func TestHingeAxialByHand(t *testing.T) {
	for _, order := range [][2]int{{0, 1}, {1, 0}} {
		m, err := statics.New(statics.System{Bodies: []statics.Body{
			{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 300, CG: statics.Vec{X: 1, Z: .4}}}},
			{Name: "arm", Masses: []statics.Mass{{Name: "arm", M: 10, CG: statics.Vec{X: 1, Y: .8, Z: .3}}}},
		}, Joints: []statics.Joint{{Name: "front", A: 0, B: 1, At: statics.Vec{X: 1.2, Y: .4, Z: .3}}, {Name: "rear", A: order[0], B: order[1], At: statics.Vec{X: .8, Y: .4, Z: .3}}},
			Links: []statics.Link{{Name: "bar", A: 0, B: 1, PA: statics.Vec{X: 1, Y: .8, Z: .7}, PB: statics.Vec{X: 1, Y: .8, Z: .3}}}})
		require.NoError(t, err)
		stands := []statics.Support{{Name: "l", At: statics.Vec{X: 2, Y: .4}}, {Name: "r", At: statics.Vec{X: 2, Y: -.4}}, {Name: "rear", At: statics.Vec{}}}
		s := stand(t, m, statics.Stance{Supports: stands, Attitude: statics.Attitude{Pitch: .1}})
		require.Nil(t, s.Failure)
		for i, sign := range []float64{1, float64(order[1] - order[0])} {
			across := s.Across(i, statics.Vec{X: 1})
			along := s.Along(i, statics.Vec{X: sign})
			want := 10 * statics.Gravity * math.Sin(.1)
			near(t, statics.Range{Nominal: want / 2, Least: want, Most: want}, along, 1e-6, "along")
			assert.InDelta(t, math.Hypot(across, along.Most), s.Joint(i).Worst, 1e-6)
		}
	}
}

// A wheel on its bearing may turn: on its tyre it carries, and a tyre that touches beside
// the axle drives it.
func TestWheelMayTurn(t *testing.T) {
	car := func(swings bool) statics.System {
		return statics.System{Bodies: []statics.Body{
			{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 300, CG: statics.Vec{X: 1, Z: .4}}}},
			{Name: "wheel", Masses: []statics.Mass{{Name: "wheel", M: 12, CG: statics.Vec{Z: .3}}}},
		}, Joints: []statics.Joint{{Name: "bearing", Kind: statics.Pivot, A: 0, B: 1, At: statics.Vec{Z: .3}, Axis: statics.Vec{Y: 1}, Swings: swings}}}
	}
	for _, c := range []struct {
		swings bool
		beside float64
		words  string
	}{{true, 0, ""}, {true, .003, ""}, {true, .03, "driven by more than its own weight"}, {false, 0, "wheel turns"}} {
		m, err := statics.New(car(c.swings))
		require.NoError(t, err)
		s := stand(t, m, statics.Stance{Supports: []statics.Support{{Name: "l", At: statics.Vec{X: 2, Y: .5}}, {Name: "r", At: statics.Vec{X: 2, Y: -.5}},
			{Name: "tyre", Body: 1, At: statics.Vec{X: c.beside}}}})
		if c.words == "" {
			assert.Nil(t, s.Failure, "%+v", c)
			continue
		}
		require.NotNil(t, s.Failure, "%+v", c)
		assert.Contains(t, s.Failure.Words, c.words)
	}
}

// A wheel touches below its axis, wherever it is drawn, and chocks hold it against a push; free to roll
// it takes none along.
func TestWheelOnItsChocks(t *testing.T) {
	m, err := statics.New(statics.System{Bodies: []statics.Body{
		{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 300, CG: statics.Vec{X: 1, Z: .4}}}},
		{Name: "wheel", Masses: []statics.Mass{{Name: "wheel", M: 12, CG: statics.Vec{Z: .3}}}},
	}, Joints: []statics.Joint{{Name: "bearing", Kind: statics.Pivot, A: 0, B: 1, At: statics.Vec{Z: .3}, Axis: statics.Vec{Y: -2}, Swings: true}}})
	require.NoError(t, err)
	for _, c := range []struct {
		beside, pitch float64
		spin          *statics.Spin
		drives        string
	}{
		{.03, 0, nil, "straight down"},
		{.03, 0, &statics.Spin{At: statics.Vec{Z: .3}, Along: statics.Vec{Y: 1}}, "pushed forward"},
		{0, .1, nil, "straight down"}, // by hand 0.3 m · tan 0.1 = 30 mm beside
		{0, .1, &statics.Spin{At: statics.Vec{Z: .3}, Along: statics.Vec{Y: 1}}, "pushed forward"},
		{.03, 0, &statics.Spin{At: statics.Vec{Z: .3}, Along: statics.Vec{Y: 1}, Held: true}, ""},
		{0, .1, &statics.Spin{At: statics.Vec{Z: .3}, Along: statics.Vec{Y: 1}, Held: true}, ""},
	} {
		s := stand(t, m, statics.Stance{Attitude: statics.Attitude{Pitch: c.pitch, Push: .05}, Supports: []statics.Support{
			{Name: "l", At: statics.Vec{X: 2, Y: .5}}, {Name: "r", At: statics.Vec{X: 2, Y: -.5}}, {Name: "tyre", Body: 1, At: statics.Vec{X: c.beside}, Spins: c.spin}}})
		if c.drives == "" {
			assert.Nil(t, s.Failure, "%+v", c)
			continue
		}
		require.NotNil(t, s.Failure, "%+v", c)
		assert.Contains(t, s.Failure.Words, c.drives+", on ")
		assert.Contains(t, s.Failure.Words, "driven by more than its own weight")
	}
	_, err = m.Stand(statics.Stance{Supports: []statics.Support{{Name: "tyre", Body: 1, Spins: &statics.Spin{}}}})
	assert.ErrorContains(t, err, "the axis of its wheel is no line")
}

// A pair of hinges may swing as a long bearing does, and what hangs beside their axis is told.
func TestPairOfHingesSwings(t *testing.T) {
	car := func(axis statics.Vec, swings bool, kg float64) *statics.Step {
		m, err := statics.New(statics.System{Bodies: []statics.Body{
			{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 300, CG: statics.Vec{X: 1, Z: .4}}}},
			{Name: "door", Masses: []statics.Mass{{Name: "door", M: kg, CG: statics.Vec{X: .6, Y: .5, Z: .3}}}},
		}, Joints: []statics.Joint{
			{Name: "one", Kind: statics.Ball, A: 0, B: 1, At: statics.Vec{X: 1, Y: .5, Z: .3}, Axis: axis, Swings: swings},
			{Name: "other", Kind: statics.Ball, A: 0, B: 1, At: r3.Add(statics.Vec{X: 1, Y: .5, Z: .3}, r3.Scale(.3, axis)), Axis: axis, Swings: swings},
		}})
		require.NoError(t, err)
		return stand(t, m, statics.Stance{Supports: []statics.Support{{Name: "a", At: statics.Vec{X: 2, Y: .5}}, {Name: "b", At: statics.Vec{X: 2, Y: -.5}}, {Name: "c", At: statics.Vec{X: -1}}}})
	}
	upright, level := statics.Vec{Z: 1}, statics.Vec{Y: 1}
	assert.Empty(t, car(upright, false, 12).Swinging(), "nobody said that it may")
	hangs := car(upright, true, 12)
	require.Nil(t, hangs.Failure)
	require.Len(t, hangs.Swinging(), 1)
	assert.Equal(t, []int{1}, hangs.Swinging()[0].Bodies)
	assert.InDelta(t, 0, hangs.Swinging()[0].Beside, 1e-9)
	drops := car(level, true, 12)
	require.Nil(t, drops.Failure)
	require.Len(t, drops.Swinging(), 1)
	assert.InDelta(t, .4, drops.Swinging()[0].Beside, 1e-9, "its centre of gravity is 400 mm before the axis")
	require.NotNil(t, car(level, false, 12).Failure)
	sideways := car(statics.Vec{X: 1}, true, 12)
	require.Nil(t, sideways.Failure)
	assert.InDelta(t, 0, sideways.Swinging()[0].Beside, 1e-9, "it lies on its axis")
	assert.Empty(t, car(upright, true, 0).Swinging(), "it weighs nothing")
	_, err := statics.New(statics.System{Bodies: []statics.Body{{Masses: []statics.Mass{{M: 1}}}, {}}, Joints: []statics.Joint{{Name: "one", A: 0, B: 1, Swings: true}}})
	assert.ErrorContains(t, err, "one turns or slides without an axis")
}

// What spins about its own two points with its mass between them is located; an arm on two
// bearings that hangs beside their line is not, and nor is a spinning part with a stand under it.
func TestSpinsAboutItsOwnPoints(t *testing.T) {
	car := func(beside float64) statics.System {
		return statics.System{Bodies: []statics.Body{
			{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 300, CG: statics.Vec{X: 1, Z: .4}}}},
			{Name: "arm", Masses: []statics.Mass{{Name: "arm", M: 9, CG: statics.Vec{X: .1, Z: .3}}}},
			{Name: "bar", Masses: []statics.Mass{{Name: "bar", M: 2, CG: statics.Vec{X: .05 + beside, Z: .55}}}},
		}, Joints: []statics.Joint{
			{Name: "left", A: 0, B: 1, At: statics.Vec{X: .4, Y: .2, Z: .3}}, {Name: "right", A: 0, B: 1, At: statics.Vec{X: .4, Y: -.2, Z: .3}},
			{Name: "top", A: 0, B: 2, At: statics.Vec{X: .1, Z: .8}}, {Name: "bottom", A: 1, B: 2, At: statics.Vec{Z: .3}},
		}}
	}
	stands := []statics.Support{{Name: "l", At: statics.Vec{X: 2, Y: .5}}, {Name: "r", At: statics.Vec{X: 2, Y: -.5}}, {Name: "arm", Body: 1, At: statics.Vec{Z: .2}}}
	for beside, stands2 := range map[float64]bool{0: true, .004: true, .05: false} {
		m, err := statics.New(car(beside))
		require.NoError(t, err)
		s := stand(t, m, statics.Stance{Supports: stands})
		assert.Equal(t, stands2, s.Failure == nil, "%g m beside", beside)
		assert.Empty(t, s.Swinging(), "nobody said that it may")
	}
	for beside, stands2 := range map[float64]bool{.004: true, .006: false} {
		// Its arm is tied to the frame, as one body. By arithmetic no force at either of its two
		// points turns the bar about the line through both: nothing but its own weight does, 2 kg on 4 mm.
		tied := car(beside)
		tied.Bodies[0].Masses = append(tied.Bodies[0].Masses, tied.Bodies[1].Masses...)
		tied.Bodies = []statics.Body{tied.Bodies[0], tied.Bodies[2]}
		tied.Joints = []statics.Joint{{Name: "top", A: 0, B: 1, At: statics.Vec{X: .1, Z: .8}}, {Name: "bottom", A: 0, B: 1, At: statics.Vec{Z: .3}}}
		m, err := statics.New(tied)
		require.NoError(t, err)
		s := stand(t, m, statics.Stance{Supports: []statics.Support{stands[0], stands[1], {Name: "rear", At: statics.Vec{}}}})
		assert.Equal(t, stands2, s.Failure == nil, "%g m beside, between two places of one body", beside)
	}
	m, err := statics.New(car(0))
	require.NoError(t, err)
	under := append(stands, statics.Support{Name: "bar", Body: 2, At: statics.Vec{X: .05, Y: .02, Z: .4}})
	assert.NotNil(t, stand(t, m, statics.Stance{Supports: under}).Failure)
}

// A corner in droop without its strut rests in a strap; a strap that would have to push is
// none, and a bump stop the other way round.
func TestStrapAndStop(t *testing.T) {
	sys := statics.System{Bodies: []statics.Body{
		{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 300, CG: statics.Vec{X: 1, Z: .4}}}},
		{Name: "arm", Masses: []statics.Mass{{Name: "arm", M: 9, CG: statics.Vec{X: .3, Y: .7, Z: .3}}}},
	}, Joints: []statics.Joint{{Name: "front", A: 0, B: 1, At: statics.Vec{X: .5, Y: .3, Z: .3}}, {Name: "rear", A: 0, B: 1, At: statics.Vec{X: .1, Y: .3, Z: .3}}}}
	m, err := statics.New(sys)
	require.NoError(t, err)
	stands := []statics.Support{{Name: "l", At: statics.Vec{X: 2, Y: .4}}, {Name: "r", At: statics.Vec{X: 2, Y: -.4}}, {Name: "rl", At: statics.Vec{Y: .4}}, {Name: "rr", At: statics.Vec{Y: -.4}}}
	above, below := statics.Vec{X: .3, Y: .8, Z: .9}, statics.Vec{X: .3, Y: .8, Z: .1}
	end := statics.Vec{X: .3, Y: .8, Z: .3}
	for _, c := range []struct {
		name   string
		ties   []statics.Tie
		stands bool
	}{
		{"nothing", nil, false},
		{"strap above", []statics.Tie{{Name: "strap", A: 0, B: 1, PA: above, PB: end}}, true},
		{"strap below", []statics.Tie{{Name: "strap", A: 0, B: 1, PA: below, PB: end}}, false},
		{"stop below", []statics.Tie{{Name: "stop", A: 0, B: 1, PA: below, PB: end, Pushes: true}}, true},
		{"stop above", []statics.Tie{{Name: "stop", A: 1, B: 0, PA: end, PB: above, Pushes: true}}, false},
		{"two straps", []statics.Tie{{Name: "strap", A: 0, B: 1, PA: above, PB: end}, {Name: "other", A: 1, B: 0, PA: end, PB: statics.Vec{X: .3, Y: .4, Z: .8}}}, true},
	} {
		s := stand(t, m, statics.Stance{Supports: stands, Ties: c.ties})
		require.Equal(t, c.stands, s.Failure == nil, "%s: %+v", c.name, s.Failure)
		if c.stands {
			// 9 kg at 0.4 m from the hinge, the strap at 0.5 m.
			want := 9 * statics.Gravity * .4 / .5
			assert.InDelta(t, want, s.Tie(0).Most, .5, c.name)
			if len(c.ties) == 1 { // whether it is pulled or pushed, the hinge 0.4 m behind it bears the fifth
				bends, err := s.Bending(1, statics.Vec{X: .3, Y: .3, Z: .3}, end, 0)
				require.NoError(t, err)
				assert.InDelta(t, 9*statics.Gravity*.1/.5*.4, bends.Moment, .05, c.name)
				assert.InDelta(t, .4, bends.At, 1e-6, c.name)
			}
			out, err := s.LetGo(statics.Removal{Joints: []int{0}})
			require.NoError(t, err)
			assert.Equal(t, statics.Drops, out.Fate, "%s: %s", c.name, out.Words)
		}
		if len(c.ties) == 1 && c.stands {
			out, err := s.LetGo(statics.Removal{Supports: []int{len(stands)}})
			require.NoError(t, err)
			assert.Equal(t, statics.Drops, out.Fate, "%s: what hangs in it drops", c.name)
			assert.Equal(t, []int{1}, out.Bodies)
			assert.InDelta(t, 9, out.Mass, 1e-9)
		}
	}
}

// An arm that hangs half in its hinge and half in a strap, by hand: with 20 kg ± 2 kg in its middle the
// strap and the two bearings pass 10 kg ± 1 kg.
func TestHangsInAStrapWithinItsMass(t *testing.T) {
	m, err := statics.New(statics.System{Bodies: []statics.Body{
		{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 300, CG: statics.Vec{X: 1, Z: .4}}}},
		{Name: "arm", Masses: []statics.Mass{{Name: "arm", M: 20, Tol: 2, CG: statics.Vec{X: 1, Y: .9, Z: .3}}}},
	}, Joints: []statics.Joint{{Name: "front", A: 0, B: 1, At: statics.Vec{X: 1.2, Y: .4, Z: .3}}, {Name: "rear", A: 0, B: 1, At: statics.Vec{X: .8, Y: .4, Z: .3}}}})
	require.NoError(t, err)
	stands := []statics.Support{{Name: "l", At: statics.Vec{X: 2, Y: .4}}, {Name: "r", At: statics.Vec{X: 2, Y: -.4}}, {Name: "rear", At: statics.Vec{}}}
	strap := statics.Tie{Name: "strap", A: 0, B: 1, PA: statics.Vec{X: 1, Y: 1.4, Z: .9}, PB: statics.Vec{X: 1, Y: 1.4, Z: .3}}
	s := stand(t, m, statics.Stance{Supports: stands, Ties: []statics.Tie{strap}})
	require.Nil(t, s.Failure)
	near(t, statics.Range{Nominal: 10 * statics.Gravity, Least: 9 * statics.Gravity, Most: 11 * statics.Gravity}, s.Tie(0), 1e-9, "strap")
	for i := range 2 {
		near(t, statics.Range{Nominal: 5 * statics.Gravity, Least: 4.5 * statics.Gravity, Most: 5.5 * statics.Gravity}, s.Along(i, statics.Vec{Z: 1}), 1e-9, "bearing")
	}
	// A push forward of 20 of 320 kg, 0.5 m beside the hinge, is half at each bearing and a couple of them
	// 0.4 m apart.
	for _, l := range s.Members() {
		assert.InDelta(t, math.Hypot(10./320, 20./320*.5/.4), l.Gain, 1e-9)
	}
}

// A cart on one stand is hinged to a trailer on two about an upright pin. By hand nothing keeps a pull
// across at its nose from folding them: no set of stands takes it as the friction of one vehicle would.
func TestPullThatFolds(t *testing.T) {
	m, err := statics.New(statics.System{Bodies: []statics.Body{
		{Name: "cart", Masses: []statics.Mass{{Name: "cart", M: 100, CG: statics.Vec{X: 1, Z: .3}}}},
		{Name: "trailer", Masses: []statics.Mass{{Name: "trailer", M: 100, CG: statics.Vec{X: -1, Z: .3}}}},
	}, Joints: []statics.Joint{{Name: "pin", Kind: statics.Pivot, A: 0, B: 1, At: statics.Vec{Z: .3}, Axis: statics.Vec{Z: 1}}}})
	require.NoError(t, err)
	on := rubbing([]statics.Support{{Name: "nose", At: statics.Vec{X: 1}}, {Name: "l", Body: 1, At: statics.Vec{X: -1, Y: .5}}, {Name: "r", Body: 1, At: statics.Vec{X: -1, Y: -.5}}}, .5)
	s := stand(t, m, statics.Stance{Supports: on})
	require.Nil(t, s.Failure)
	assert.InDelta(t, 0, s.PullAt(statics.Vec{X: 2}, statics.Vec{Y: 1}, math.Inf(1)).Slides, 1e-3)
	assert.Positive(t, s.PullAt(statics.Vec{X: 1}, statics.Vec{X: 1}, math.Inf(1)).Slides, "along, nothing folds")
}

// A person's pull counts where nobody says anything of a push, and a plain step takes a push whole and
// splits what passes along a hinge.
func TestPullWithoutAPush(t *testing.T) {
	m, stands := block(t, .3)
	_, err := m.Step([]statics.Support{{Name: "far", Body: 7}}, statics.Attitude{})
	require.EqualError(t, err, "far bears on no body, or its place is not a number")
	// 0.3 m up, a tenth of the weight moves 3 % of it from the right to the left of 1 m.
	stands[2].At.Y, stands[2].Name = 0, "rear"
	s := stand(t, m, statics.Stance{Supports: stands[:3], Attitude: statics.Attitude{Pull: .1}})
	assert.Equal(t, "pulled left, on fl, fr, rear", s.Reaction(0).Case)
	assert.InDelta(t, .28*s.Weight(), s.Reaction(0).Most, 1e-6)
	sys := statics.System{Bodies: []statics.Body{
		{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 300, CG: statics.Vec{X: 1, Z: .4}}}},
		{Name: "drum", Masses: []statics.Mass{{Name: "drum", M: 10, CG: statics.Vec{X: 1, Z: .3}}}},
	}, Joints: []statics.Joint{{Name: "left", A: 0, B: 1, At: statics.Vec{X: 1, Y: .4, Z: .3}}, {Name: "right", A: 0, B: 1, At: statics.Vec{X: 1, Y: -.4, Z: .3}}},
		Links: []statics.Link{{Name: "stay", A: 0, B: 1, PA: statics.Vec{X: 1.5, Z: .3}, PB: statics.Vec{X: 1.5, Z: .6}}}}
	hung, err := statics.New(sys)
	require.NoError(t, err)
	on := []statics.Support{{Name: "l", At: statics.Vec{X: 2, Y: .4}}, {Name: "r", At: statics.Vec{X: 2, Y: -.4}}, {Name: "rear"}}
	split, err := hung.Step(on, statics.Attitude{Push: .1})
	require.NoError(t, err)
	assert.InDelta(t, 5*statics.Gravity*.1, split.Along(0, statics.Vec{Y: 1}).Most, 1e-9, "half of 10 kg, pushed by a tenth")
	assert.InDelta(t, 10*statics.Gravity*.1, stand(t, hung, statics.Stance{Supports: on, Attitude: statics.Attitude{Push: .1}}).Along(0, statics.Vec{Y: 1}).Most, 1e-9)
}

// Straps in every direction hold a part as if it were one with the frame: what its joints
// carry beside them, and what the stands carry, is that of one stiff body.
func TestManyStrapsMakeOneLump(t *testing.T) {
	parts := func(joined bool) statics.System {
		sys := statics.System{Bodies: []statics.Body{
			{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 300, CG: statics.Vec{X: 1, Z: .4}}}},
			{Name: "axle", Masses: []statics.Mass{{Name: "axle", M: 40, CG: statics.Vec{X: .2, Z: .3}}}},
		}}
		if joined {
			sys.Joints = []statics.Joint{{Name: "welded", Kind: statics.Fixed, A: 0, B: 1, At: statics.Vec{X: .3, Z: .3}}}
		} else {
			sys.Joints = []statics.Joint{{Name: "left", A: 0, B: 1, At: statics.Vec{X: .6, Y: .3, Z: .3}}, {Name: "right", A: 0, B: 1, At: statics.Vec{X: .6, Y: -.3, Z: .3}}}
		}
		return sys
	}
	stands := []statics.Support{{Name: "l", At: statics.Vec{X: 2, Y: .4}}, {Name: "r", At: statics.Vec{X: 2, Y: -.4}}, {Name: "rear", At: statics.Vec{}}}
	var ties []statics.Tie
	for i := range 6 {
		y := .1 * float64(i-3)
		ties = append(ties, statics.Tie{Name: "strap", A: 0, B: 1, PA: statics.Vec{Y: y, Z: .8}, PB: statics.Vec{Y: y, Z: .3}})
	}
	lump, err := statics.New(parts(true))
	require.NoError(t, err)
	tied, err := statics.New(parts(false))
	require.NoError(t, err)
	a, b := stand(t, lump, statics.Stance{Supports: stands, Attitude: statics.Attitude{Push: .05}}), stand(t, tied, statics.Stance{Supports: stands, Ties: ties, Attitude: statics.Attitude{Push: .05}})
	require.Nil(t, a.Failure)
	require.Nil(t, b.Failure)
	for i := range stands {
		near(t, a.Reaction(i), b.Reaction(i), 1e-8*a.Weight(), stands[i].Name)
	}
}

// An off-centre load on a hook: 35 mm beside the centre of gravity, 400 mm above it, hangs
// 5.0° out, the limit at which riggers land it again (mechanics-sources H6, arithmetic).
func TestHangsBelowItsHook(t *testing.T) {
	m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "engine", Masses: []statics.Mass{{Name: "engine", M: 140, CG: statics.Vec{X: 2, Z: .3}, CGTol: statics.Vec{X: 0}}}}}})
	require.NoError(t, err)
	h := m.Hang(statics.Vec{X: 2.035, Z: .7})
	assert.True(t, h.Above)
	assert.InDelta(t, 5.0, h.Tilt*180/math.Pi, .01)
	assert.False(t, m.Hang(statics.Vec{X: 2, Z: .2}).Above)
}

// Three published problems of standing on a slope, a vehicle held by three wheels and a
// table on three legs stand in published_test.go and invariants_test.go.
func TestVehicleOnATenDegreeSlope(t *testing.T) {
	// what-when-how.com, Stability of a vehicle on a slope, example 31.6 (problem opened,
	// answers by arithmetic): 49 050 N, wheelbase 2.25 m, centre of gravity 1.0 m ahead of the
	// rear axle and 1.5 m up; nose uphill on 10° 15 791 N and 32 514 N across the slope, overturns
	// at atan(1.0/1.5) = 33.7°, slides at atan 0.35 = 19.3°.
	m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "car", Masses: []statics.Mass{{Name: "car", M: 49050 / statics.Gravity, CG: statics.Vec{X: 1, Z: 1.5}}}}}})
	require.NoError(t, err)
	wheels := []statics.Support{{Name: "fl", At: statics.Vec{X: 2.25, Y: .7}}, {Name: "fr", At: statics.Vec{X: 2.25, Y: -.7}}, {Name: "rl", At: statics.Vec{Y: .7}}, {Name: "rr", At: statics.Vec{Y: -.7}}}
	s := stand(t, m, statics.Stance{Supports: wheels, Attitude: statics.Attitude{Pitch: 10 * math.Pi / 180}})
	require.Nil(t, s.Failure)
	// The program's reactions are plumb; the book's are square to the slope.
	square := math.Cos(10 * math.Pi / 180)
	assert.InDelta(t, 15791, 2*square*s.Reaction(0).Nominal, 1)
	assert.InDelta(t, 32514, 2*square*s.Reaction(2).Nominal, 1)
	for _, c := range []struct {
		degrees float64
		mu      float64
		words   string
	}{{33, 1, ""}, {34, 1, "tips back"}, {19, .35, ""}, {19.6, .35, "slews off; friction of 0.36"}} {
		s := stand(t, m, statics.Stance{Supports: rubbing(wheels, c.mu), Attitude: statics.Attitude{Pitch: c.degrees * math.Pi / 180}})
		if c.words == "" {
			assert.Nil(t, s.Failure, "%+v %+v", c, s.Failure)
			continue
		}
		require.NotNil(t, s.Failure, "%+v", c)
		assert.Contains(t, s.Failure.Words, c.words)
	}
}

// Nose up and left side up are positive, as drawn by the heights: 100 mm in 2 m are 2.86°.
func TestTilt(t *testing.T) {
	m, stands := block(t, .3)
	for i := range stands {
		stands[i].At.Z = .1
		stands[i].Height = &statics.Height{Z: .5 + .05*stands[i].At.X + .03*stands[i].At.Y}
	}
	pitch, roll := stand(t, m, statics.Stance{Supports: stands}).Tilt()
	assert.InDelta(t, 2.862, pitch*180/math.Pi, .001)
	assert.InDelta(t, 1.718, roll*180/math.Pi, .001)
	stands[0].Height = nil
	pitch, roll = stand(t, m, statics.Stance{Supports: stands, Attitude: statics.Attitude{Pitch: .03, Roll: -.02}}).Tilt()
	assert.InDelta(t, .03, pitch, 1e-12)
	assert.InDelta(t, -.02, roll, 1e-12)
}

// Making the state worse never eases it: less friction, more slope, wider ± of heights, a
// larger push or pull make no load smaller, and no stance that fell stand.
func TestWorseNeverEases(t *testing.T) {
	stance := func(e example, mu, slope, tol, push, pull float64) statics.Stance {
		st := statics.Stance{Supports: rubbing(e.supports, mu), Attitude: statics.Attitude{Slope: slope, Push: push, Pull: pull}}
		for i := range st.Supports {
			st.Supports[i].Height = &statics.Height{Z: st.Supports[i].At.Z + .3, Tol: tol}
		}
		return st
	}
	compared := 0
	for seed := range uint64(15) {
		e := invented(rand.New(rand.NewPCG(seed, 31)))
		m, err := statics.New(e.sys)
		require.NoError(t, err)
		for name, pair := range map[string][2]statics.Stance{
			"greasy":         {stance(e, .3, 0, 0, .05, 0), stance(e, .12, 0, 0, .05, 0)},
			"slope":          {stance(e, .3, .005, 0, .05, 0), stance(e, .3, .02, 0, .05, 0)},
			"heights":        {stance(e, .3, .005, .001, .05, 0), stance(e, .3, .005, .005, .05, 0)},
			"somebody pulls": {stance(e, .3, 0, 0, .05, 0), stance(e, .3, 0, 0, .05, .1)},
			"slippery and level against greasy and sloping": {stance(e, .3, 0, 0, .05, 0), stance(e, .04, .02, 0, .05, 0)},
		} {
			better, worse := stand(t, m, pair[0]), stand(t, m, pair[1])
			if better.Failure != nil || worse.Failure != nil {
				require.NotNil(t, worse.Failure, "seed %d, %s: it fell and stands when worse: %+v", seed, name, better.Failure)
				continue
			}
			compared++
			by := 1e-9 * better.Weight()
			wider := func(a, b statics.Range, what string) {
				assert.LessOrEqual(t, b.Least, a.Least+by, "seed %d, %s: %s", seed, name, what)
				assert.GreaterOrEqual(t, b.Most, a.Most-by, "seed %d, %s: %s", seed, name, what)
			}
			for i := range e.supports {
				wider(better.Reaction(i), worse.Reaction(i), e.supports[i].Name)
			}
			for i, l := range e.sys.Links {
				wider(better.Link(i), worse.Link(i), l.Name)
			}
			for i, j := range e.sys.Joints {
				assert.GreaterOrEqual(t, worse.Joint(i).Worst, better.Joint(i).Worst-by, "seed %d, %s: %s", seed, name, j.Name)
			}
			a, b := better.Stability(), worse.Stability()
			assert.LessOrEqual(t, b.Edges[b.Nearest].Worst, a.Edges[a.Nearest].Worst+1e-12, name)
			x, y := better.PullAt(statics.Vec{X: 1, Y: .8, Z: .5}, statics.Vec{Y: 1}, math.Inf(1)), worse.PullAt(statics.Vec{X: 1, Y: .8, Z: .5}, statics.Vec{Y: 1}, math.Inf(1))
			assert.LessOrEqual(t, y.Tips, x.Tips+by, name)
			assert.LessOrEqual(t, y.Slides, x.Slides+1e-3*better.Weight(), name)
		}
	}
	assert.Greater(t, compared, 40)
}

// More ± of a point never makes a member surer, and the change is the sum over the points.
func TestMoreToleranceIsLessSure(t *testing.T) {
	e := invented(rand.New(rand.NewPCG(3, 37)))
	change := func(tol float64) []statics.Located {
		for i := range e.sys.Links {
			e.sys.Links[i].Tol = tol
		}
		for i := range e.sys.Joints {
			e.sys.Joints[i].Tol = tol
		}
		m, err := statics.New(e.sys)
		require.NoError(t, err)
		return stand(t, m, statics.Stance{Supports: e.supports}).Members()
	}
	none, one, three := change(0), change(.001), change(.003)
	for i := range one {
		assert.Zero(t, none[i].Change)
		assert.Empty(t, none[i].Points)
		assert.Greater(t, one[i].Change, 0.0)
		assert.InDelta(t, 3*one[i].Change, three[i].Change, 1e-9*three[i].Change)
		assert.Len(t, three[i].Points, 4)
		assert.InDelta(t, none[i].Gain, three[i].Gain, 1e-9)
	}
}

// Bending by hand: a plank of no mass on two bearings at its ends with a load in the middle,
// F·L/4, and a bracket whose force passes beside its line twists it.
func TestBendingByHand(t *testing.T) {
	sys := statics.System{Bodies: []statics.Body{
		{Name: "plank", Masses: []statics.Mass{{Name: "plank"}}},
		{Name: "load", Masses: []statics.Mass{{Name: "load", M: 100, CG: statics.Vec{X: 1, Z: .5}}}},
	}, Joints: []statics.Joint{{Name: "bolted", Kind: statics.Fixed, A: 0, B: 1, At: statics.Vec{X: 1}}}}
	m, err := statics.New(sys)
	require.NoError(t, err)
	supports := []statics.Support{{Name: "near", At: statics.Vec{}}, {Name: "left", At: statics.Vec{X: 2, Y: .3}}, {Name: "right", At: statics.Vec{X: 2, Y: -.3}}}
	s := stand(t, m, statics.Stance{Supports: supports})
	got, err := s.Bending(0, statics.Vec{}, statics.Vec{X: 2}, 0)
	require.NoError(t, err)
	assert.InDelta(t, s.Weight()*2/4, got.Moment, 1e-6*s.Weight())
	assert.InDelta(t, 1, got.At, 1e-9)
	assert.InDelta(t, 0, got.Torsion, 1e-9)
	assert.InDelta(t, 0, got.Thrust, 1e-9)
	places := s.Acting(0)
	require.Len(t, places, 4)
	assert.Equal(t, "bolted", places[0].Name)
	// The load 0.1 m to the left: the two at the far end share it, and between the load and the
	// near end nothing twists.
	sys.Bodies[1].Masses[0].CG.Y = .1
	m, err = statics.New(sys)
	require.NoError(t, err)
	s = stand(t, m, statics.Stance{Supports: supports})
	got, err = s.Bending(0, statics.Vec{X: 2}, statics.Vec{}, 0)
	require.NoError(t, err)
	assert.InDelta(t, s.Weight()*2/4, got.Moment, 1e-6*s.Weight())
	// The plank's own 30 kg, 0.5 m from the far end: the near end carries 57.5 kg.
	sys.Bodies[1].Masses[0].CG.Y = 0
	sys.Bodies[0].Masses[0] = statics.Mass{Name: "plank", M: 30, CG: statics.Vec{X: 1.5}}
	m, err = statics.New(sys)
	require.NoError(t, err)
	s = stand(t, m, statics.Stance{Supports: supports})
	got, err = s.Bending(0, statics.Vec{}, statics.Vec{X: 2}, 0)
	require.NoError(t, err)
	assert.InDelta(t, 57.5*statics.Gravity, got.Moment, 1e-6*s.Weight())

	// The last 0.8 m of it as an arm: what stands within 0.3 m of its foot does not bend it, as the 30 kg; the
	// far end carries 72.5 kg.
	got, err = s.Bending(0, statics.Vec{X: 1.2}, statics.Vec{X: 2}, .3+1e-9)
	require.NoError(t, err)
	assert.InDelta(t, 72.5*.8*statics.Gravity, got.Moment, 1e-6*s.Weight())

	_, err = s.Bending(0, statics.Vec{X: 1}, statics.Vec{X: 1}, 0)
	require.Error(t, err)
	_, err = s.Bending(7, statics.Vec{}, statics.Vec{X: 1}, 0)
	require.Error(t, err)
}

// A bracket that slants up at 45° bears a load at its end, 0.2 m beside its line. By hand, at its
// foot: (1, 0.2, 1) m × W down is (−0.2, 1, 0)·W, of which 0.2/√2 twists and √1.02 bends; W/√2
// pushes along it. The load's ± of a tenth lengthens what bends it by a tenth.
func TestBracketBendsTwistsAndIsPushed(t *testing.T) {
	for _, tol := range []float64{0, 10} {
		m, err := statics.New(statics.System{Bodies: []statics.Body{
			{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 300, CG: statics.Vec{X: .5}}}},
			{Name: "bracket"},
			{Name: "load", Masses: []statics.Mass{{Name: "load", M: 100, Tol: tol, CG: statics.Vec{X: 1, Y: .2, Z: 1}}}},
		}, Joints: []statics.Joint{
			{Name: "foot", Kind: statics.Fixed, A: 0, B: 1}, {Name: "end", Kind: statics.Fixed, A: 1, B: 2, At: statics.Vec{X: 1, Z: 1}}}})
		require.NoError(t, err)
		s := stand(t, m, statics.Stance{Supports: []statics.Support{{Name: "l", At: statics.Vec{X: 2, Y: .5, Z: -.1}}, {Name: "r", At: statics.Vec{X: 2, Y: -.5, Z: -.1}}, {Name: "rear", At: statics.Vec{X: -1, Z: -.1}}}})
		require.Nil(t, s.Failure)
		weight, more := 100*statics.Gravity, 1+tol/100
		for _, to := range []float64{1, .4} { // the whole of its line, and a part
			got, err := s.Bending(1, statics.Vec{}, statics.Vec{X: to, Z: to}, 0)
			require.NoError(t, err)
			assert.InDelta(t, math.Sqrt(1.02)*weight*more, got.Moment, 1e-6*weight, "line to %g", to)
			assert.InDelta(t, (1+.2/math.Sqrt2)*weight*more, got.Sides, 1e-6*weight, "upright W, level 0.2·W/√2")
			assert.InDelta(t, .2/math.Sqrt2*weight*more, got.Torsion, 1e-6*weight)
			assert.InDelta(t, weight/math.Sqrt2*more, got.Thrust, 1e-6*weight, "it pushes")
			assert.InDelta(t, 0, got.At, 1e-9)
			assert.Equal(t, "straight down, on l, r, rear", got.Case)
		}
		hangs, err := s.Bending(1, statics.Vec{X: 1, Z: 1}, statics.Vec{}, 0)
		require.NoError(t, err)
		assert.InDelta(t, weight/math.Sqrt2*more, hangs.Thrust, 1e-6*weight, "whichever end its line starts at")
	}
}

// A line in a part of a plank is judged on that part only: by hand a quarter along it the bending is
// half of that under the load in the middle. No joint passes anything to the plank itself.
func TestBendsWithinItsLine(t *testing.T) {
	m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "plank", Masses: []statics.Mass{{Name: "load", M: 100, CG: statics.Vec{X: 1}}}}}})
	require.NoError(t, err)
	s := stand(t, m, statics.Stance{Supports: []statics.Support{{Name: "near", At: statics.Vec{}}, {Name: "left", At: statics.Vec{X: 2, Y: .3}}, {Name: "right", At: statics.Vec{X: 2, Y: -.3}}}})
	for _, c := range []struct{ from, to, moment, at float64 }{
		{0, .5, .25, .5}, {0, 2, .5, 1}, {1.5, 2, .25, 0}, {.5, 1.5, .5, .5},
	} {
		got, err := s.Bending(0, statics.Vec{X: c.from}, statics.Vec{X: c.to}, 0)
		require.NoError(t, err)
		assert.InDelta(t, c.moment*s.Weight(), got.Moment, 1e-6*s.Weight(), "%g to %g", c.from, c.to)
		assert.InDelta(t, c.at, got.At, 1e-9, "%g to %g", c.from, c.to)
	}
}

// Two shelves on a frame, 10 kg ± 1 kg and 20 kg ± 10 kg at 0.5 m from where they are bolted on: by hand each is bent
// by its own weight and ±, 11 kg and 30 kg at 0.5 m, whatever the other's ± is, and whichever is listed first.
func TestBendsByItsOwnTolerance(t *testing.T) {
	shelf := func(name string, x, kg, tol float64) (statics.Body, statics.Joint) {
		return statics.Body{Name: name, Masses: []statics.Mass{{Name: name, M: kg, Tol: tol, CG: statics.Vec{X: x, Y: .5, Z: 1}}}},
			statics.Joint{Name: name, Kind: statics.Fixed, A: 0, At: statics.Vec{X: x, Z: 1}}
	}
	for _, turned := range []bool{false, true} {
		light, lightOn := shelf("light", .2, 10, 1)
		heavy, heavyOn := shelf("heavy", -.2, 20, 10)
		frame := statics.Body{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 100, CG: statics.Vec{Z: .5}}}}
		lightOn.B, heavyOn.B = 1, 2
		sys := statics.System{Bodies: []statics.Body{frame, light, heavy}, Joints: []statics.Joint{lightOn, heavyOn}}
		if turned {
			flip(sys.Joints)
		}
		m, err := statics.New(sys)
		require.NoError(t, err)
		s := stand(t, m, statics.Stance{Supports: []statics.Support{{Name: "a", At: statics.Vec{X: 1, Y: 1}}, {Name: "b", At: statics.Vec{X: 1, Y: -1}}, {Name: "c", At: statics.Vec{X: -1}}}})
		require.Nil(t, s.Failure, "%+v", s.Failure)
		for body, x := range map[int]float64{1: .2, 2: -.2} {
			b, err := s.Bending(body, statics.Vec{X: x, Z: 1}, statics.Vec{X: x, Y: 1, Z: 1}, 0)
			require.NoError(t, err)
			assert.InDelta(t, map[int]float64{1: 11, 2: 30}[body]*statics.Gravity*.5, b.Moment, 1e-6)
		}
	}
}

// A pull by hand: a block of 400 kg on four stands with friction 0.5 slides at half its weight where
// it is pulled at their height, and where that is 1 m up tips over those 0.5 m beside its middle at
// 0.5·W. Straight up nothing slides. What slides only under more than enough is not asked.
func TestPullByHand(t *testing.T) {
	m, stands := block(t, .3)
	s := stand(t, m, statics.Stance{Supports: rubbing(stands, .5), Attitude: statics.Attitude{Push: .05}})
	require.Nil(t, s.Failure)
	same := func(want, got float64, what string) {
		if math.IsInf(want, 1) {
			assert.True(t, math.IsInf(got, 1), "%s at %g", what, got)
			return
		}
		assert.InDelta(t, want*s.Weight(), got, 1e-5*s.Weight(), what)
	}
	never := math.Inf(1)
	for _, c := range []struct {
		enough, slides float64 // shares of the weight
	}{{never, .5}, {.6, .5}, {.4, never}} {
		for _, along := range []statics.Vec{{Y: 1}, {Y: -1}, {X: 1}, {X: -3}, {X: 1, Y: 2}} {
			got := s.PullAt(statics.Vec{}, along, c.enough*s.Weight())
			same(c.slides, got.Slides, "slides")
			same(never, got.Tips, "tips")
		}
	}
	for _, c := range []struct {
		height float64
		along  statics.Vec
		tips   float64
	}{{1, statics.Vec{Y: 1}, .5}, {1, statics.Vec{Y: -2}, .5}, {.5, statics.Vec{X: 1}, 2}, {2, statics.Vec{X: -1}, .5}, {1, statics.Vec{X: .6, Y: .8}, .5 / .8}} {
		same(c.tips, s.PullAt(statics.Vec{Z: c.height}, c.along, never).Tips, "tips")
	}
	up := s.PullAt(statics.Vec{X: 1}, statics.Vec{Z: 1}, never)
	same(.5, up.Tips, "lifted at its nose it tips over its tail")
	same(never, up.Slides, "slides")

	// In a line they hold nothing; any push taken, none slides.
	same(never, stand(t, m, statics.Stance{Supports: stands}).PullAt(statics.Vec{}, statics.Vec{Y: 1}, never).Slides, "slides")
	line := stand(t, m, statics.Stance{Supports: stands[:2]})
	same(0, line.PullAt(statics.Vec{}, statics.Vec{X: 1}, never).Tips, "tips")
}

// What nobody wrote takes off what a pull needs, by hand: a block of 400 kg, 0.5 m inside the stands on
// either side and 1 m high, is pulled across at 1 m. With 20 mm of its centre of gravity unsaid it tips
// from 0.48·W; of a level attitude unsaid by 1° it loses 1 m · tan 1°. Of two masses only that without a
// ± counts. Pulled forwards no word on the roll matters.
func TestPullWithWhatNobodyWrote(t *testing.T) {
	_, stands := block(t, 1)
	for _, c := range []struct {
		doubt [2]float64 // of the centre of gravity
		level [2]float64
		light float64 // kg of another mass, exactly known
		along statics.Vec
		want  float64 // share of the weight
	}{
		{along: statics.Vec{Y: 1}, want: .5},
		{doubt: [2]float64{0, .02}, along: statics.Vec{Y: 1}, want: .48},
		{doubt: [2]float64{0, .02}, along: statics.Vec{Y: -1}, want: .48},
		{doubt: [2]float64{0, .02}, along: statics.Vec{X: 1}, want: 1},
		{doubt: [2]float64{.02, 0}, along: statics.Vec{X: 1}, want: .98},
		{level: [2]float64{0, math.Pi / 180}, along: statics.Vec{Y: 1}, want: .5 - math.Tan(math.Pi/180)},
		{level: [2]float64{0, math.Pi / 180}, along: statics.Vec{X: 1}, want: 1},
		{doubt: [2]float64{0, .02}, level: [2]float64{0, math.Pi / 180}, along: statics.Vec{Y: 1}, want: .48 - math.Tan(math.Pi/180)},
		{doubt: [2]float64{0, .02}, light: 400, along: statics.Vec{Y: 1}, want: .49},
		{doubt: [2]float64{0, .6}, along: statics.Vec{Y: 1}, want: 0},
	} {
		m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "block", Masses: []statics.Mass{
			{Name: "block", M: 400, CG: statics.Vec{Z: 1}, Doubt: c.doubt}, {Name: "exact", M: c.light, CG: statics.Vec{Z: 1}}}}}})
		require.NoError(t, err)
		s := stand(t, m, statics.Stance{Supports: stands, Attitude: statics.Attitude{Doubt: c.level}})
		require.Nil(t, s.Failure)
		got := s.PullAt(statics.Vec{Z: 1}, c.along, 0)
		assert.InDelta(t, c.want*s.Weight(), got.Doubtful, 1e-6, "%+v", c)
		written := .5*math.Abs(c.along.Y) + math.Abs(c.along.X)
		assert.InDelta(t, written*s.Weight(), got.Tips, 1e-6, "what is written alone, %+v", c)
		assert.InDelta(t, 1, -r3.Dot(got.Over.In, c.along), 1e-12, "the edge that it tips over, %+v", c)
		assert.InDelta(t, written-c.want, min(written, got.Over.Doubt), 1e-9, "1 m up its distance is the pull's share, %+v", c)
		assert.Equal(t, c.along.Y*c.doubt[1]+c.along.X*c.doubt[0] != 0, got.Over.Hangs(c.doubt), "%+v", c)
	}
}

// A step may be asked by several at once, which the race detector holds, and answers all alike.
func TestStepAnswersSeveralAtOnce(t *testing.T) {
	m, err := statics.New(statics.System{Bodies: []statics.Body{
		{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 300, CG: statics.Vec{X: 1, Z: .4}}}},
		{Name: "wheel", Masses: []statics.Mass{{Name: "wheel", M: 12, CG: statics.Vec{X: .1, Z: .3}}}},
	}, Joints: []statics.Joint{{Name: "bearing", Kind: statics.Pivot, A: 0, B: 1, At: statics.Vec{Z: .3}, Axis: statics.Vec{Y: 1}, Swings: true}}})
	require.NoError(t, err)
	_, stands := block(t, 0)
	for i := range stands {
		stands[i].At.X++
	}
	s := stand(t, m, statics.Stance{Supports: stands, Attitude: statics.Attitude{Push: .05}})
	require.Nil(t, s.Failure)
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			swings := s.Swinging()
			if assert.Len(t, swings, 1) {
				assert.Equal(t, []int{1}, swings[0].Bodies)
				assert.InDelta(t, .1, swings[0].Beside, 1e-9)
			}
			out, err := s.LetGo(statics.Removal{Joints: []int{0}})
			assert.NoError(t, err)
			assert.Equal(t, statics.Drops, out.Fate)
			assert.Len(t, s.Members(), 1)
			assert.InDelta(t, 12*statics.Gravity, s.Joint(0).Nominal.Z, 1e-6)
			assert.Positive(t, s.PullAt(statics.Vec{Z: 1}, statics.Vec{Y: 1}, math.Inf(1)).Tips)
		})
	}
	all.Wait()
}

// Everything that a stance is asked with is refused where it is no number.
func TestStanceIsRefused(t *testing.T) {
	m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "block", Masses: []statics.Mass{{Name: "block", M: 400, CG: statics.Vec{Z: .3}}}}, {Name: "loose"}}})
	require.NoError(t, err)
	_, stands := block(t, .3)
	nan, inf := math.NaN(), math.Inf(1)
	const (
		wheel    = "fl: the axis of its wheel is no line"
		height   = "fl: its height is not a number"
		friction = "fl: its friction is not a share, or the way it rolls is not a direction"
		scrub    = "tyres that scrub are no two supports, or their friction is not a share"
		bears    = "fl bears on no body, or its place is not a number"
		ties     = "strap does not tie two bodies"
		long     = "strap has no length, or its ends are not numbers"
	)
	strap := statics.Tie{Name: "strap", A: 0, B: 1, PA: statics.Vec{X: 1}}
	for _, c := range []struct {
		words string
		spoil func(*statics.Stance)
	}{
		{"a sideways push of NaN of the weight is no share", func(st *statics.Stance) { st.Pull = nan }},
		{"a sideways push of -0.1 of the weight is no share", func(st *statics.Stance) { st.Push = -.1 }},
		{"a sideways push of 1.1 of the weight is no share", func(st *statics.Stance) { st.Push = 1.1 }},
		{"a pitch of NaN° is outside what is computed here, ±45°", func(st *statics.Stance) { st.Pitch = nan }},
		{"a roll of 57° is outside what is computed here, ±45°", func(st *statics.Stance) { st.Roll = 1 }},
		{"a slope of -57° is outside what is computed here, ±45°", func(st *statics.Stance) { st.Slope = -1 }},
		{bears, func(st *statics.Stance) { st.Supports[0].Body = 7 }},
		{bears, func(st *statics.Stance) { st.Supports[0].Body = -1 }},
		{bears, func(st *statics.Stance) { st.Supports[0].At.X = nan }},
		{wheel, func(st *statics.Stance) { st.Supports[0].Spins = &statics.Spin{} }},
		{wheel, func(st *statics.Stance) { st.Supports[0].Spins = &statics.Spin{Along: statics.Vec{Y: inf}} }},
		{wheel, func(st *statics.Stance) {
			st.Supports[0].Spins = &statics.Spin{At: statics.Vec{Y: nan}, Along: statics.Vec{Y: 1}}
		}},
		{height, func(st *statics.Stance) { st.Supports[0].Height = &statics.Height{Z: inf} }},
		{height, func(st *statics.Stance) { st.Supports[0].Height = &statics.Height{Tol: nan} }},
		{height, func(st *statics.Stance) { st.Supports[0].Height = &statics.Height{Tol: -.001} }},
		{friction, func(st *statics.Stance) { st.Supports[0].Contact = &statics.Contact{Mu: -1} }},
		{friction, func(st *statics.Stance) { st.Supports[0].Contact = &statics.Contact{Mu: nan} }},
		{friction, func(st *statics.Stance) { st.Supports[0].Contact = &statics.Contact{Rolls: statics.Vec{X: inf}} }},
		{scrub, func(st *statics.Stance) { st.Scrubs = []statics.Scrub{{Left: 0, Right: 0, Mu: .3}} }},
		{scrub, func(st *statics.Stance) { st.Scrubs = []statics.Scrub{{Left: -1, Right: 0, Mu: .3}} }},
		{scrub, func(st *statics.Stance) { st.Scrubs = []statics.Scrub{{Left: 0, Right: -1, Mu: .3}} }},
		{scrub, func(st *statics.Stance) { st.Scrubs = []statics.Scrub{{Left: 4, Right: 0, Mu: .3}} }},
		{scrub, func(st *statics.Stance) { st.Scrubs = []statics.Scrub{{Left: 0, Right: 4, Mu: .3}} }},
		{scrub, func(st *statics.Stance) { st.Scrubs = []statics.Scrub{{Left: 0, Right: 1, Mu: -.3}} }},
		{scrub, func(st *statics.Stance) { st.Scrubs = []statics.Scrub{{Left: 0, Right: 1, Mu: inf}} }},
		{ties, func(st *statics.Stance) { st.Ties = []statics.Tie{{Name: "strap", PB: statics.Vec{X: 1}}} }},
		{ties, func(st *statics.Stance) { strap := strap; strap.A = -1; st.Ties = []statics.Tie{strap} }},
		{ties, func(st *statics.Stance) { strap := strap; strap.B = 2; st.Ties = []statics.Tie{strap} }},
		{long, func(st *statics.Stance) { strap := strap; strap.PB = strap.PA; st.Ties = []statics.Tie{strap} }},
		{long, func(st *statics.Stance) { strap := strap; strap.PA.Y = inf; st.Ties = []statics.Tie{strap} }},
		{long, func(st *statics.Stance) { strap := strap; strap.PB.Z = nan; st.Ties = []statics.Tie{strap} }},
	} {
		st := statics.Stance{Supports: append([]statics.Support(nil), stands...)}
		c.spoil(&st)
		_, err := m.Stand(st)
		require.EqualError(t, err, c.words)
	}
	for _, st := range []statics.Stance{
		{Attitude: statics.Attitude{Push: 1, Pull: 1}}, {Attitude: statics.Attitude{Pitch: math.Pi / 4}}, {Ties: []statics.Tie{strap}},
		{Scrubs: []statics.Scrub{{Left: 0, Right: 3}, {Left: 3, Right: 0, Mu: .3}}},
	} {
		st.Supports = stands
		_, err := m.Stand(st)
		require.NoError(t, err)
	}
}

// A slope and the ± of a height lean by hand: a plate on three stands, its centre of gravity 0.6 m above
// the middle of them. A slope of 0.01 moves the plumb line 6 mm, of 1 m from the middle to a stand:
// (2/3)·0.006 of the weight. A stand 1 m off that may be 3 mm higher than said tilts by 3 in 1500.
func TestLeansByHand(t *testing.T) {
	h := math.Sqrt(3) / 2
	for _, c := range []struct {
		slope, tol, spread float64
	}{{.01, 0, 2. / 3 * .006}, {0, .003, 2. / 3 * .6 * .003 / 1.5}, {.01, .003, 2. / 3 * .6 * (.01 + .003/1.5)}, {0, 0, 0}} {
		m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "plate", Masses: []statics.Mass{{Name: "plate", M: 90, CG: statics.Vec{Z: .6}}}}}})
		require.NoError(t, err)
		stands := []statics.Support{{Name: "front", At: statics.Vec{X: 1}}, {Name: "left", At: statics.Vec{X: -.5, Y: h}}, {Name: "right", At: statics.Vec{X: -.5, Y: -h}}}
		for i := range stands {
			stands[i].Height = &statics.Height{Z: .4}
		}
		stands[0].Height.Tol = c.tol
		s := stand(t, m, statics.Stance{Supports: stands, Attitude: statics.Attitude{Slope: c.slope}})
		require.Nil(t, s.Failure)
		near(t, statics.Range{Nominal: s.Weight() / 3, Least: (1./3 - c.spread) * s.Weight(), Most: (1./3 + c.spread) * s.Weight()}, s.Reaction(0), 1e-9*s.Weight(), "front")
		// The two behind lean half as far under a height in front, and as far under a slope.
		behind := c.spread - 2./3*.6*c.tol/1.5/2
		assert.InDelta(t, (1./3+behind)*s.Weight(), s.Reaction(1).Most, 1e-9*s.Weight())
		assert.InDelta(t, (1./3-behind)*s.Weight(), s.Reaction(2).Least, 1e-9*s.Weight())
		edges := s.Stability()
		assert.InDelta(t, .5-.6*(c.slope+c.tol/1.5), edges.Edges[edges.Nearest].Worst, 1e-9)
	}
}

// Three stands under a block, all of which are needed: that the first holds whatever comes, or bears nothing, says
// nothing of the grip of the others.
func TestSlipsBesideOneThatHolds(t *testing.T) {
	m, _ := block(t, 0)
	at := func(front float64) []statics.Support {
		return rubbing([]statics.Support{{Name: "front", At: statics.Vec{X: 1}}, {Name: "left", At: statics.Vec{X: front, Y: .5}}, {Name: "right", At: statics.Vec{X: front, Y: -.5}}}, .01)
	}
	bolted, idle := at(-1), at(0)
	bolted[0].Contact = nil
	for name, supports := range map[string][]statics.Support{"holds": bolted, "bears nothing": idle} {
		s := stand(t, m, statics.Stance{Supports: supports, Attitude: statics.Attitude{Push: .05}})
		require.NotNil(t, s.Failure, name)
		assert.Contains(t, s.Failure.Words, "slews off", name)
	}
}
