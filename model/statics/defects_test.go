package statics_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/statics"
)

// A tail on a hinge rests on one stand behind it. Its centre of gravity is drawn
// just behind the hinge and may be in front of it; then the stand would have to
// pull. The polygon of all stands does not show it.
func TestPartTipsWithinItsTolerance(t *testing.T) {
	for _, tol := range []float64{0.01, 0.1} {
		sys := statics.System{Bodies: []statics.Body{
			{Name: "main", Masses: []statics.Mass{{Name: "main", M: 300, CG: statics.Vec{Z: .5}}}},
			{Name: "tail", Masses: []statics.Mass{{Name: "tail", M: 60, CG: statics.Vec{X: -1.22, Z: .5}, CGTol: statics.Vec{X: tol}}}},
		}, Joints: []statics.Joint{{Name: "hinge", Kind: statics.Pivot, A: 0, B: 1, At: statics.Vec{X: -1.2, Z: .5}, Axis: statics.Vec{Y: 1}}}}
		m, err := statics.New(sys)
		require.NoError(t, err)
		s, err := m.Step([]statics.Support{{Name: "fl", At: statics.Vec{X: 1, Y: .5}}, {Name: "fr", At: statics.Vec{X: 1, Y: -.5}},
			{Name: "rl", At: statics.Vec{X: -1.5, Y: .5}}, {Name: "rr", At: statics.Vec{X: -1.5, Y: -.5}},
			{Name: "tail-stand", Body: 1, At: statics.Vec{X: -2, Z: .3}}}, statics.Attitude{})
		require.NoError(t, err)
		if tol < .02 {
			assert.Nil(t, s.Failure)
			continue
		}
		require.NotNil(t, s.Failure)
		assert.Equal(t, []int{1}, s.Failure.Bodies, s.Failure.Words)
		assert.Equal(t, "tail swings up about hinge", s.Failure.Words, "off its stand")
	}
}

// The other bar points past the hinge line by less than a tape measure can see:
// it cannot be counted on to take over.
func TestLetGoDoesNotLeanOnNearlySingularGeometry(t *testing.T) {
	for _, c := range []struct {
		offset float64
		want   statics.Fate
	}{{0, statics.Drops}, {1e-8, statics.Drops}, {1e-7, statics.Drops}, {1e-6, statics.Drops}, {1e-3, statics.Holds}} {
		sys := statics.System{Bodies: []statics.Body{
			{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 100, CG: statics.Vec{X: -1, Z: .5}}}},
			{Name: "arm", Masses: []statics.Mass{{Name: "arm", M: 5, CG: statics.Vec{X: .3, Z: .5}}}},
		}, Joints: []statics.Joint{{Name: "left", A: 0, B: 1, At: statics.Vec{Y: .2, Z: .5}}, {Name: "right", A: 0, B: 1, At: statics.Vec{Y: -.2, Z: .5}}},
			Links: []statics.Link{{Name: "good", A: 0, B: 1, PA: statics.Vec{X: -.1, Z: 1}, PB: statics.Vec{X: .4, Z: .5}},
				{Name: "dead", A: 0, B: 1, PA: statics.Vec{X: -.5, Z: .5 + c.offset}, PB: statics.Vec{X: .4, Z: .5}}}}
		m, err := statics.New(sys)
		require.NoError(t, err)
		s, err := m.Step([]statics.Support{{Name: "a", At: statics.Vec{Y: .5}}, {Name: "b", At: statics.Vec{Y: -.5}}, {Name: "c", At: statics.Vec{X: -2}}}, statics.Attitude{Push: .05})
		require.NoError(t, err)
		out, err := s.LetGo(statics.Removal{Links: []int{0}})
		require.NoError(t, err)
		assert.Equal(t, c.want, out.Fate, "offset %g: %s", c.offset, out.Words)
	}
}

// TestCentreInTheMiddle stands a plate whose centre of gravity is just in the middle,
// give or take 200 mm to the sides, on four corners 1 m apart across. By hand no corner
// carries more than half: the two in front carry that together. Two corners of a diagonal
// with one idle corner are one way to stand, with the other idle corner another, and no
// corner may come out lighter than its mirror image. Each way is followed as far as the ± goes,
// past where its third corner would lift: that bound is 0.5 + 0.2/1 of the weight.
func TestCentreInTheMiddle(t *testing.T) {
	weight := 1000 * statics.Gravity
	m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "plate", Masses: []statics.Mass{
		{Name: "plate", M: 1000, CG: statics.Vec{Z: 0.5}, CGTol: statics.Vec{Y: 0.2}}}}}})
	require.NoError(t, err)
	var corners []statics.Support
	for _, at := range []statics.Vec{{X: 1, Y: 0.5}, {X: 1, Y: -0.5}, {X: -1, Y: 0.5}, {X: -1, Y: -0.5}} {
		corners = append(corners, statics.Support{Name: fmt.Sprint(at), At: at})
	}
	s, err := m.Step(corners, statics.Attitude{})
	require.NoError(t, err)
	require.Nil(t, s.Failure)
	for i := range corners {
		require.InDelta(t, 0.7*weight, s.Reaction(i).Most, 1e-6*weight, "corner %d", i)
	}
	require.Len(t, s.Ways(), 2, "two diagonals")
}
