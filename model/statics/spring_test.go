package statics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// strapped is a trailing arm of 10 kg on two bearings at x = 0, its spring half a metre and its strap a
// metre behind them, both upright, under a frame of 100 kg on three stands.
func strapped(t *testing.T, push float64) *Step {
	t.Helper()
	m, err := New(System{
		Bodies:  []Body{{Name: "frame", Masses: []Mass{{Name: "frame", M: 100, Tol: 5, CG: Vec{Z: 1}}}}, {Name: "arm", Masses: []Mass{{Name: "arm", M: 10, CG: Vec{X: -.5, Z: .3}}}}},
		Joints:  []Joint{{Name: "left", A: 0, B: 1, At: Vec{Y: .1, Z: .3}, Tol: .001}, {Name: "right", A: 0, B: 1, At: Vec{Y: -.1, Z: .3}, Tol: .001}},
		Springs: []Spring{{Name: "spring", A: 0, B: 1, PA: Vec{X: -.5, Z: .8}, PB: Vec{X: -.5, Z: .3}, Tol: .001, Push: push}},
	})
	require.NoError(t, err)
	s, err := m.Stand(Stance{
		Supports: []Support{{Name: "a", At: Vec{X: 1, Y: 1}}, {Name: "b", At: Vec{X: 1, Y: -1}}, {Name: "c", At: Vec{X: -1}}},
		Ties:     []Tie{{Name: "strap", A: 0, B: 1, PA: Vec{X: -1, Z: 1}, PB: Vec{X: -1, Z: .3}}},
	})
	require.NoError(t, err)
	require.Nil(t, s.Failure, "%+v", s.Failure)
	return s
}

// A pressed spring beside a taut strap, by hand: the strap takes half of what spring and arm weigh on it,
// the two bearings the other half, and the arm is bent in the middle between them. The stands feel nothing
// of what is pressed inside.
func TestSpringBesideAStrap(t *testing.T) {
	const push = 1000.0
	slack, s := strapped(t, 0), strapped(t, push)
	half := (push + 10*Gravity) / 2
	assert.InDelta(t, half, s.Tie(0).Most, 1e-6)
	assert.InDelta(t, 5*Gravity, slack.Tie(0).Most, 1e-6)
	for i := range 2 {
		assert.InDelta(t, half/2, s.Joint(i).Nominal.Z, 1e-6, "the frame holds the arm up")
		assert.InDelta(t, half/2, s.Along(i, Vec{Z: 1}).Most, 1e-6)
	}
	for i := range s.Supports {
		assert.InDelta(t, slack.Reaction(i).Most, s.Reaction(i).Most, 1e-6)
	}
	b, err := s.Bending(1, Vec{Z: .3}, Vec{X: -1, Z: .3}, 0)
	require.NoError(t, err)
	assert.InDelta(t, half/2, b.Moment, 1e-6, "half a metre from the strap")
	assert.Equal(t, "spring", s.Acting(1)[2].Name)
	out, err := s.LetGo(Removal{Supports: []int{3}})
	require.NoError(t, err)
	assert.Equal(t, Drops, out.Fate)
	out, err = s.LetGo(Removal{Joints: []int{0}})
	require.NoError(t, err)
	assert.Equal(t, Drops, out.Fate)
}

// What a spring may push more and less: the strap takes half of it either way, the bearings a quarter each, and the
// arm is bent by a quarter of it more. Softer than nothing it is not. Nothing else feels it.
func TestSpringMayPushMore(t *testing.T) {
	for push, soft := range map[float64]float64{1000: 200, 100: 100, 0: 0} {
		plain := strapped(t, push)
		sys := plain.m.sys
		sys.Springs = []Spring{sys.Springs[0]}
		sys.Springs[0].More = 200
		m, err := New(sys)
		require.NoError(t, err)
		s, err := m.Stand(plain.Stance)
		require.NoError(t, err)
		require.Nil(t, s.Failure)
		assert.InDelta(t, plain.Tie(0).Most+100, s.Tie(0).Most, 1e-6)
		assert.InDelta(t, plain.Tie(0).Least-soft/2, s.Tie(0).Least, 1e-6)
		assert.InDelta(t, plain.Tie(0).Nominal, s.Tie(0).Nominal, 1e-6)
		for i := range 2 {
			assert.InDelta(t, plain.Along(i, Vec{Z: 1}).Most+50, s.Along(i, Vec{Z: 1}).Most, 1e-6)
			assert.InDelta(t, plain.Joint(i).Worst+50, s.Joint(i).Worst, 1e-6)
			assert.InDelta(t, longest(plain.Wrenches(i, Vec{}))+50, longest(s.Wrenches(i, Vec{})), 1e-6)
		}
		for i := range s.Supports {
			assert.InDelta(t, plain.Reaction(i).Most, s.Reaction(i).Most, 1e-6)
		}
		before, err := plain.Bending(1, Vec{Z: .3}, Vec{X: -1, Z: .3}, 0)
		require.NoError(t, err)
		b, err := s.Bending(1, Vec{Z: .3}, Vec{X: -1, Z: .3}, 0)
		require.NoError(t, err)
		assert.InDelta(t, before.Moment+50, b.Moment, 1e-6)
		apex := Vec{X: -1, Z: .3}
		leg, err := plain.Legs(1, [2]int{0, 1}, apex)
		require.NoError(t, err)
		more, err := s.Legs(1, [2]int{0, 1}, apex)
		require.NoError(t, err)
		assert.InDelta(t, leg.Square+50*.5*math.Sqrt(1.01), more.Square, 1e-6, "half of the way out")
		assert.InDelta(t, leg.Cross.Moment+200*.1/4, more.Cross.Moment, 1e-6, "a tube of 0.1 m between the legs")
	}
}

// A spring inside one lump, with nothing that joins anything, is felt by no stand.
func TestSpringInsideOneLump(t *testing.T) {
	sys := System{Bodies: []Body{{Name: "lump", Masses: []Mass{{Name: "lump", M: 100, CG: Vec{Z: 1}}}}}}
	on := []Support{{Name: "a", At: Vec{X: 1, Y: 1}}, {Name: "b", At: Vec{X: 1, Y: -1}}, {Name: "c", At: Vec{X: -1}}}
	var reactions [2]float64
	for i := range reactions {
		m, err := New(sys)
		require.NoError(t, err)
		s, err := m.Stand(Stance{Supports: on, Attitude: Attitude{Push: .05}})
		require.NoError(t, err)
		require.Nil(t, s.Failure, "%+v", s.Failure)
		reactions[i] = s.Reaction(0).Most
		sys.Springs = []Spring{{Name: "spring", PA: Vec{Z: .2}, PB: Vec{Z: .8}, Push: 1000, More: 100}}
	}
	assert.InDelta(t, reactions[0], reactions[1], 1e-9)
	assert.Greater(t, reactions[0], 25*Gravity)
}

// What a spring may push more bends a leg more, whichever way it does.
func TestLegAndMore(t *testing.T) {
	l := Leg{Bend: Bend{Moment: 3, Sides: 4, Torsion: 1, Thrust: -5}, Reaction: 7, Square: 2, InPlane: 1, Pivot: 6, Long: .5}
	l = l.and(Leg{Bend: Bend{Moment: 30, Sides: 40, Torsion: 10, Thrust: 50}, Reaction: 70, Square: 20, InPlane: 10})
	assert.Equal(t, Leg{Bend: Bend{Moment: 33, Sides: 44, Torsion: 11, Thrust: -55}, Reaction: 77, Square: 22, InPlane: 11, Pivot: 6, Long: .5}, l)
}

// A bar in place of the strap, and a prop under the end of the arm. Without the bar the spring presses the arm on the
// prop, and the vehicle rocks on to it; a spring that drew the arm up would leave nothing to hold it down.
func TestSpringHoldsAnArmOnItsProp(t *testing.T) {
	sys := strapped(t, 1000).m.sys
	sys.Links = []Link{{Name: "bar", A: 0, B: 1, PA: Vec{X: -1, Z: 1}, PB: Vec{X: -1, Z: .3}}}
	m, err := New(sys)
	require.NoError(t, err)
	st := Stance{Supports: []Support{{Name: "a", At: Vec{X: 1, Y: 1}}, {Name: "b", At: Vec{X: 1, Y: -1}}, {Name: "c", At: Vec{X: -1}}, {Name: "prop", Body: 1, At: Vec{X: -1, Z: .2}}}}
	s, err := m.Stand(st)
	require.NoError(t, err)
	require.Nil(t, s.Failure, "%+v", s.Failure)
	out, err := s.LetGo(Removal{Links: []int{0}})
	require.NoError(t, err)
	assert.Equal(t, Rocks, out.Fate, out.Words)
	draws := sys
	draws.Springs = []Spring{sys.Springs[0]}
	draws.Springs[0].PA.Z = -.2 // from below
	m, err = New(draws)
	require.NoError(t, err)
	s, err = m.Stand(st)
	require.NoError(t, err)
	out, err = s.LetGo(Removal{Links: []int{0}})
	require.NoError(t, err)
	assert.Equal(t, Falls, out.Fate, out.Words)
}

// By how much the ± of the points changes a load, against the vehicle solved anew with the spring's foot a
// millimetre further back: its lever is longer, and it leans.
func TestSpringMoves(t *testing.T) {
	s := strapped(t, 1000)
	const tol = 1e-3
	var by float64
	points, changes := s.moves(&s.cases[0])
	for k, p := range points {
		if p.Name == "spring/b" {
			by = tol * s.m.weight * changes[k][0][s.m.cols[0][2]]
		}
	}
	moved := s.m.sys
	moved.Springs = []Spring{moved.Springs[0]}
	moved.Springs[0].PB.X += tol
	m, err := New(moved)
	require.NoError(t, err)
	anew, err := m.Stand(s.Stance)
	require.NoError(t, err)
	assert.NotZero(t, by)
	assert.InDelta(t, anew.Joint(0).Nominal.Z-s.Joint(0).Nominal.Z, by, 1e-2*math.Abs(by))
}

// What turns freely on its bearing may not be driven by a spring that pushes beside it.
func TestSpringDrivesWhatSwings(t *testing.T) {
	sys := System{
		Bodies:  []Body{{Name: "frame", Masses: []Mass{{M: 100, CG: Vec{Z: 1}}}}, {Name: "door", Masses: []Mass{{M: 10, CG: Vec{Z: .5}}}}},
		Joints:  []Joint{{Name: "hinge", Kind: Pivot, A: 0, B: 1, At: Vec{Z: .5}, Axis: Vec{Z: 1}, Swings: true}},
		Springs: []Spring{{Name: "gas strut", A: 0, B: 1, PA: Vec{X: .2, Y: -.3, Z: .5}, PB: Vec{X: .2, Z: .5}}},
	}
	stands := Stance{Supports: []Support{{Name: "a", At: Vec{X: 1, Y: 1}}, {Name: "b", At: Vec{X: 1, Y: -1}}, {Name: "c", At: Vec{X: -1}}}}
	for push, holds := range map[float64]bool{0: true, 100: false} {
		sys.Springs[0].Push = push
		m, err := New(sys)
		require.NoError(t, err)
		s, err := m.Stand(stands)
		require.NoError(t, err)
		assert.Equal(t, holds, s.Failure == nil, "%g N", push)
	}
}

// Springs that are none are refused.
func TestSpringsRefused(t *testing.T) {
	good := strapped(t, 1).m.sys
	for words, spoil := range map[string]func(*Spring){
		"spring joins no body":   func(p *Spring) { p.B = 7 },
		"spring has no length":   func(p *Spring) { p.PB = p.PA },
		"its push is not a forc": func(p *Spring) { p.Push = math.NaN() },
		"the ± of that or of it": func(p *Spring) { p.More = -1 },
	} {
		bad := good
		bad.Springs = []Spring{good.Springs[0]}
		spoil(&bad.Springs[0])
		_, err := New(bad)
		assert.ErrorContains(t, err, words)
	}
	assert.InDelta(t, 1, r3.Norm(good.Springs[0].on()), 1e-12)
}
