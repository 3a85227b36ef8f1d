package statics_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/statics"
)

// A block on four stands that loses some of them, by hand: in the middle it comes to rest on the
// diagonal that is left; 0.2 m ahead and 0.1 m to the left its centre of gravity lies 0.4/√5 m outside
// that diagonal.
func TestLosesItsStands(t *testing.T) {
	for _, c := range []struct {
		at          statics.Vec
		push        float64
		gone        []int
		fate        statics.Fate
		words, when string
	}{
		{statics.Vec{}, 0, nil, statics.Holds, "nothing moves", ""},
		{statics.Vec{}, 0, []int{0}, statics.Rocks, "the vehicle comes to rest on fr, rl", "straight down"},
		{statics.Vec{X: .2, Y: .1}, 0, []int{3}, statics.Rocks, "the vehicle comes to rest on fl, fr, rl", "straight down"},
		{statics.Vec{X: .2, Y: .1}, .05, []int{3}, statics.Rocks, "the vehicle comes to rest on fl, fr, rl", "straight down"},
		{statics.Vec{X: .2, Y: .1}, 0, []int{0}, statics.Falls, "its centre of gravity is 179 mm outside the line between fr and rl: it tips to the left", "straight down"},
		{statics.Vec{Z: .3}, .05, []int{0}, statics.Falls, "pushed forward: its centre of gravity is only less than 1 mm inside the line between fr and rl: it tips to the left", "pushed forward"},
		{statics.Vec{X: -.2}, 0, []int{0, 1}, statics.Falls, "two supports carry a vehicle only in perfect balance: it tips forward, on its nose", "straight down"},
		{statics.Vec{}, 0, []int{1, 2, 3}, statics.Falls, "one support carries a vehicle only in perfect balance: it tips back, on its tail", "straight down"},
		{statics.Vec{}, 0, []int{0, 1, 2, 3}, statics.Falls, "the vehicle rests on nothing", "straight down"},
	} {
		m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "block", Masses: []statics.Mass{{Name: "block", M: 400, Tol: 5, CG: c.at}}}, {Name: "loose"}},
			Joints: []statics.Joint{{Name: "bolted", Kind: statics.Fixed, A: 0, B: 1}}})
		require.NoError(t, err)
		_, stands := block(t, 1)
		s := stand(t, m, statics.Stance{Supports: stands, Attitude: statics.Attitude{Push: c.push}})
		require.Nil(t, s.Failure)
		out, err := s.LetGo(statics.Removal{Supports: c.gone})
		require.NoError(t, err)
		assert.Equal(t, c.fate, out.Fate, "%+v: %s", c, out.Words)
		assert.Equal(t, c.words, out.Words)
		assert.Equal(t, c.when, out.Case, c.words)
		if c.fate > statics.Holds {
			assert.Equal(t, []int{0, 1}, out.Bodies, c.words)
			assert.InDelta(t, 405, out.Mass, 1e-9)
		}
	}
	m, stands := block(t, .3)
	_, err := stand(t, m, statics.Stance{Supports: stands[:2]}).LetGo(statics.Removal{})
	require.EqualError(t, err, "there is no equilibrium to lose")
}

// An axle that loses a member, the vehicle on two stands under the axle and a third in front, or on four
// under the frame.
func TestLosesAMember(t *testing.T) {
	at := func(x, y, z float64) statics.Vec { return statics.Vec{X: x, Y: y, Z: z} }
	sys := statics.System{Bodies: []statics.Body{
		{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 800, CG: at(1, 0, .5)}}},
		{Name: "axle", Masses: []statics.Mass{{Name: "axle", M: 60, Tol: 2, CG: at(0, 0, .3)}}},
		{Name: "drum", Masses: []statics.Mass{{Name: "drum", M: 9, CG: at(0, .6, .3)}}},
	}, Joints: []statics.Joint{
		{Name: "left", Kind: statics.Ball, A: 0, B: 1, At: at(.6, .4, .3)}, {Name: "right", Kind: statics.Ball, A: 0, B: 1, At: at(.6, -.4, .3)},
		{Name: "hub", Kind: statics.Fixed, A: 1, B: 2, At: at(0, .6, .3)},
	}, Links: []statics.Link{{Name: "strut", A: 0, B: 1, PA: at(0, .1, .8), PB: at(0, .1, .3)}}}
	m, err := statics.New(sys)
	require.NoError(t, err)
	axle := []statics.Support{{Name: "l", Body: 1, At: at(0, .5, .2)}, {Name: "r", Body: 1, At: at(0, -.5, .2)}, {Name: "front", At: at(2, 0, .2)}}
	frame := []statics.Support{{Name: "fl", At: at(2, .4, .2)}, {Name: "fr", At: at(2, -.4, .2)}, {Name: "rl", At: at(.3, .4, .2)}, {Name: "rr", At: at(.3, -.4, .2)}}
	spare := append(append([]statics.Support{}, axle...), frame[2:]...)
	for _, c := range []struct {
		name   string
		on     []statics.Support
		gone   statics.Removal
		fate   statics.Fate
		words  string
		bodies []int
		mass   float64
	}{
		{"strut, hanging", frame, statics.Removal{Links: []int{0}}, statics.Drops, "axle swings down about left, with drum", []int{1, 2}, 71},
		{"strut, under it", axle, statics.Removal{Links: []int{0}}, statics.Falls, "axle turns about left, with drum", []int{1, 2}, 71},
		{"strut, with a spare", spare, statics.Removal{Links: []int{0}}, statics.Rocks, "axle turns about left, with drum", []int{1, 2}, 71},
		{"strut and the spare", spare, statics.Removal{Links: []int{0}, Supports: []int{3, 4}}, statics.Falls, "axle turns about left, with drum", []int{1, 2}, 71},
		{"a joint, under it", axle, statics.Removal{Joints: []int{0}}, statics.Falls, "axle turns about right, with drum", []int{2, 1}, 71},
		{"a joint, with a spare", spare, statics.Removal{Joints: []int{0}}, statics.Rocks, "axle turns about right, with drum", []int{2, 1}, 71},
		{"a joint and the spare", spare, statics.Removal{Joints: []int{0}, Supports: []int{3, 4}}, statics.Falls, "axle turns about right, with drum", []int{2, 1}, 71},
		{"hub", frame, statics.Removal{Joints: []int{2}}, statics.Drops, "drum moves down", []int{2}, 9},
	} {
		s := stand(t, m, statics.Stance{Supports: c.on})
		require.Nil(t, s.Failure, c.name)
		out, err := s.LetGo(c.gone)
		require.NoError(t, err)
		assert.Equal(t, c.fate, out.Fate, "%s: %s", c.name, out.Words)
		assert.Equal(t, c.words, out.Words, c.name)
		assert.Equal(t, c.bodies, out.Bodies, "%s, what moves most first", c.name)
		assert.InDelta(t, c.mass, out.Mass, 1e-9, c.name)
	}
}
