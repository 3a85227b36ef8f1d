package statics

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// How one body moves, in words: turning about +y lowers the nose, about +x the right side, about +z
// swings a front to the left.
func TestMotionInWords(t *testing.T) {
	left, right, middle := Vec{X: 1, Y: .8}, Vec{X: 1, Y: -.8}, Vec{X: 1, Y: .04}
	for _, c := range []struct {
		move, turn Vec
		centre     Vec
		joint      Vec // where it is held; nowhere when zero
		how, gives string
	}{
		{Vec{Z: -1}, Vec{}, left, Vec{}, "moves down", "moves away"},
		{Vec{Z: 1}, Vec{X: .04}, left, Vec{}, "moves up", "moves away"},
		{Vec{Z: 1}, Vec{X: .06}, left, Vec{}, "leans, its top going inward", "turns"},
		{Vec{X: 1, Z: 1}, Vec{}, left, Vec{}, "moves up", "moves away"},
		{Vec{Y: -1, Z: -1}, Vec{}, left, Vec{}, "moves down", "moves away"},
		{Vec{X: 1}, Vec{}, left, Vec{}, "moves forward", "moves away"},
		{Vec{X: -1}, Vec{}, left, Vec{}, "moves back", "moves away"},
		{Vec{X: 1, Y: 1}, Vec{}, left, Vec{}, "moves forward", "moves away"},
		{Vec{X: -1, Y: 1, Z: .9}, Vec{}, left, Vec{}, "moves back", "moves away"},
		{Vec{X: .9, Y: 1, Z: .9}, Vec{}, left, Vec{}, "moves to the left", "moves away"},
		{Vec{X: .9, Y: -1}, Vec{}, left, Vec{}, "moves to the right", "moves away"},

		{Vec{}, Vec{Z: 1}, left, Vec{}, "turns, its front going outward", "turns"},
		{Vec{}, Vec{Z: -1}, left, Vec{}, "turns, its front going inward", "turns"},
		{Vec{}, Vec{Z: 1}, right, Vec{}, "turns, its front going inward", "turns"},
		{Vec{}, Vec{Z: -1}, right, Vec{}, "turns, its front going outward", "turns"},
		{Vec{}, Vec{Y: 1}, left, Vec{}, "tilts, its front going down", "turns"},
		{Vec{}, Vec{Y: -1}, left, Vec{}, "tilts, its front going up", "turns"},
		{Vec{}, Vec{Y: 1, Z: .9}, left, Vec{}, "tilts, its front going down", "turns"},
		{Vec{}, Vec{X: 1}, left, Vec{}, "leans, its top going inward", "turns"},
		{Vec{}, Vec{X: -1}, left, Vec{}, "leans, its top going outward", "turns"},
		{Vec{}, Vec{X: 1}, right, Vec{}, "leans, its top going outward", "turns"},
		{Vec{}, Vec{X: -1}, right, Vec{}, "leans, its top going inward", "turns"},
		{Vec{}, Vec{X: 1}, middle, Vec{}, "tips to the right", "turns"},
		{Vec{}, Vec{X: -1}, middle, Vec{}, "tips to the left", "turns"},

		// Held at a point: half a metre ahead of it a turn that lowers the nose moves it down.
		{Vec{Z: -.5}, Vec{Y: 1}, left, Vec{X: .5, Y: .8}, "swings down about pin", "turns about pin"},
		{Vec{Z: .5}, Vec{Y: -1}, left, Vec{X: .5, Y: .8}, "swings up about pin", "turns about pin"},
		{Vec{}, Vec{Y: 1}, left, left, "turns, its front going down about pin", "turns about pin"},
		{Vec{}, Vec{Z: 1}, left, left, "turns, its front going outward about pin", "turns about pin"},
		{Vec{}, Vec{X: 1}, left, left, "leans, its top going inward about pin", "turns about pin"},
		{Vec{}, Vec{X: 1}, middle, middle, "tips to the right about pin", "turns about pin"},
		{Vec{Z: -.5}, Vec{Y: 1}, left, Vec{X: .7, Y: .8}, "tilts, its front going down", "turns"},
	} {
		for _, size := range []float64{1, 2} { // m, of the geometry: turns are kept times it
			m := &Model{size: size, centre: []Vec{{}, c.centre}, sys: System{Bodies: []Body{{Name: "frame"}, {Name: "part"}}}}
			if c.joint != (Vec{}) {
				m.sys.Joints = []Joint{{Name: "itself", A: 1, B: 1, At: c.joint}, {Name: "another", At: c.joint}, {Name: "pin", A: 0, B: 1, At: c.joint}, {Name: "second", A: 1, B: 0, At: c.joint}}
			}
			v := []float64{0, 0, 0, 0, 0, 0, c.move.X, c.move.Y, c.move.Z, size * c.turn.X, size * c.turn.Y, size * c.turn.Z}
			if size > 1 && c.turn != (Vec{}) && c.joint == (Vec{}) && c.move != (Vec{}) {
				continue // how much it turns beside how much it moves is by the size
			}
			assert.Equal(t, c.how, m.how(v, 1), "%+v", c)
			assert.Equal(t, c.gives, m.gives(v, 1), "%+v", c)
		}
	}
}

// Of parts that move much the first of the file is named, or else the one across the vehicle; three of
// the others by name.
func TestMovingPartsInWords(t *testing.T) {
	for _, c := range []struct {
		down   []float64 // of part a, b, c, ...
		across int
		moving []int
		words  string
	}{
		{[]float64{1}, -1, []int{0}, "a moves down"},
		{[]float64{.5, 1}, -1, []int{1, 0}, "a moves down, with b"},
		{[]float64{.25, 1}, -1, []int{1, 0}, "a moves down, with b"},
		{[]float64{.2, 1}, -1, []int{1, 0}, "b moves down, with a"},
		{[]float64{1, 1, .9}, 2, []int{0, 1, 2}, "c moves down, with a, b"},
		{[]float64{1, 1, .2}, 2, []int{0, 1, 2}, "a moves down, with b, c"},
		{[]float64{1, 1, 1, 1}, -1, []int{0, 1, 2, 3}, "a moves down, with b, c, d"},
		{[]float64{1, 1, 1, 1, 1, 1}, -1, []int{0, 1, 2, 3, 4, 5}, "a moves down, with b, c, d, 2 more"},
		{[]float64{.5, .9, 1}, -1, nil, "c moves down"},
		{[]float64{1, 1}, -1, nil, "a moves down"},
	} {
		m := &Model{size: 1}
		var v []float64
		for i, d := range c.down {
			m.sys.Bodies = append(m.sys.Bodies, Body{Name: string(rune('a' + i))})
			at := Vec{Y: 1}
			if i == c.across {
				at.Y = 0
			}
			m.centre = append(m.centre, at)
			v = append(v, 0, 0, -d, 0, 0, 0)
		}
		assert.Equal(t, c.words, m.describe(v, c.moving, m.how), "%+v", c)
	}
}

// A vehicle that does not stand says which way it tips, and over which line.
func TestTipsInWords(t *testing.T) {
	front, rear := []Support{{Name: "fl", At: Vec{X: 1, Y: .5}}, {Name: "fr", At: Vec{X: 1, Y: -.5}}}, []Support{{Name: "rl", At: Vec{X: -1, Y: .5}}, {Name: "rr", At: Vec{X: -1, Y: -.5}}}
	all := append(append([]Support{}, front...), rear...)
	for _, c := range []struct {
		at    Vec
		on    []Support
		push  float64
		slope float64
		words string
	}{
		{Vec{X: 1.1}, all, 0, 0, "its centre of gravity is 100 mm outside the line between fr and fl: it tips forward, on its nose"},
		{Vec{X: -1.0123}, all, 0, 0, "its centre of gravity is 12 mm outside the line between rl and rr: it tips back, on its tail"},
		{Vec{Y: .6}, all, 0, 0, "its centre of gravity is 100 mm outside the line between fl and rl: it tips to the left"},
		{Vec{Y: -.5004}, all, 0, 0, "its centre of gravity is less than 1 mm outside the line between rr and fr: it tips to the right"},
		{Vec{X: .98, Z: 1}, all, .05, 0, "pushed forward: its centre of gravity is only 20 mm inside the line between fr and fl: it tips forward, on its nose"},
		{Vec{X: 1.1}, front, 0, 0, "two supports carry a vehicle only in perfect balance: it tips forward, on its nose"},
		{Vec{X: -.5}, front, 0, 0, "two supports carry a vehicle only in perfect balance: it tips back, on its tail"},
		{Vec{X: 1, Y: .1}, front[1:], 0, 0, "one support carries a vehicle only in perfect balance: it tips to the left"},
		{Vec{X: .5}, []Support{front[0], front[1], {Name: "fm", At: Vec{X: 1}}}, 0, 0, "the supports stand in one line: it tips back, on its tail"},
		{Vec{Y: .49, Z: 1}, all, 0, .02, "leaning left: its centre of gravity is only 10 mm inside the line between fl and rl: it tips to the left"},
		{Vec{X: .49 * 2, Z: 1}, all, .01, .02, "pushed forward: its centre of gravity is only 20 mm inside the line between fr and fl: it tips forward, on its nose"},
		{Vec{}, nil, 0, 0, "the vehicle rests on nothing"},
	} {
		sys := System{Bodies: []Body{{Name: "block", Masses: []Mass{{Name: "block", M: 400, CG: c.at}}}}}
		m, err := New(sys)
		require.NoError(t, err)
		s, err := m.Stand(Stance{Supports: c.on, Attitude: Attitude{Push: c.push, Slope: c.slope}})
		require.NoError(t, err)
		require.NotNil(t, s.Failure, c.words)
		assert.Equal(t, c.words, s.Failure.Words)
	}
}

// Two bearings between the same two bodies are a hinge, whatever order they list these in; a third, or
// one that holds its axis, makes them none.
func TestTwoBearingsAreAHinge(t *testing.T) {
	bearing := func(kind JointKind, a, b int, x float64) Joint {
		return Joint{Kind: kind, A: a, B: b, At: Vec{X: x}, Axis: Vec{X: 1}}
	}
	for name, c := range map[string]struct {
		joints []Joint
		other  []int
		sign   float64
	}{
		"two":              {[]Joint{bearing(Ball, 0, 1, 0), bearing(Ball, 0, 1, 1)}, []int{1, 0}, 1},
		"turned":           {[]Joint{bearing(Ball, 0, 1, 0), bearing(Ball, 1, 0, 1)}, []int{1, 0}, -1},
		"two pivots":       {[]Joint{bearing(Pivot, 0, 1, 0), bearing(Pivot, 0, 1, 1)}, []int{1, 0}, 1},
		"with a bar":       {[]Joint{bearing(Torsion, 0, 1, 0), bearing(Ball, 0, 1, 1)}, []int{1, 0}, 1},
		"two hinges":       {[]Joint{bearing(Ball, 0, 1, 0), bearing(Ball, 0, 2, 0), bearing(Ball, 0, 1, 1), bearing(Ball, 0, 2, 1)}, []int{2, 3, 0, 1}, 1},
		"one":              {[]Joint{bearing(Ball, 0, 1, 0), bearing(Ball, 0, 2, 1)}, []int{-1, -1}, 0},
		"three":            {[]Joint{bearing(Ball, 0, 1, 0), bearing(Ball, 0, 1, 1), bearing(Ball, 1, 0, 2)}, []int{-1, -1, -1}, 0},
		"in one place":     {[]Joint{bearing(Ball, 0, 1, 1), bearing(Ball, 0, 1, 1)}, []int{-1, -1}, 0},
		"one is fixed":     {[]Joint{bearing(Ball, 0, 1, 0), bearing(Fixed, 0, 1, 1)}, []int{-1, -1}, 0},
		"one slides":       {[]Joint{bearing(Slider, 0, 1, 0), bearing(Ball, 0, 1, 1)}, []int{-1, -1}, 0},
		"a rack":           {[]Joint{bearing(Ball, 0, 1, 0), bearing(Rack, 0, 1, 1)}, []int{-1, -1}, 0},
		"a third is fixed": {[]Joint{bearing(Ball, 0, 1, 0), bearing(Ball, 0, 1, 1), bearing(Fixed, 0, 1, 2)}, []int{-1, -1, -1}, 0},
		"to itself":        {[]Joint{bearing(Ball, 1, 1, 0), bearing(Ball, 1, 1, 1)}, []int{-1, -1}, 0},
	} {
		m := &Model{sys: System{Joints: c.joints}}
		m.hinges()
		require.Len(t, m.hinge, len(c.other), name)
		for i, h := range m.hinge {
			require.Equal(t, c.other[i], h.other, "%s: %d", name, i)
			if h.other >= 0 {
				assert.Equal(t, c.sign, h.sign, name)
				assert.Equal(t, c.joints[h.other].At.X-c.joints[i].At.X, h.axis.X, name)
			}
		}
	}
}

// What nothing holds goes the way it is driven: down by its weight, and along with a push.
func TestGoesTheWayItIsDriven(t *testing.T) {
	for _, c := range []struct {
		kind     JointKind
		axis, cg Vec // from the joint
		words    string
	}{
		{Slider, Vec{Z: 1}, Vec{}, "part moves down"},
		{Slider, Vec{X: 1, Z: 1}, Vec{}, "part moves down"},
		{Rack, Vec{X: 1}, Vec{}, "pushed forward: part moves forward"},
		{Rack, Vec{X: -1}, Vec{X: -.1, Y: .1}, "pushed forward: part moves forward"},
		{Rack, Vec{Y: 1}, Vec{}, "pushed left: part moves to the left"},
		{Pivot, Vec{Y: 1}, Vec{X: .3}, "part swings down about pin"},
		{Pivot, Vec{Y: 1}, Vec{X: -.3}, "part swings down about pin"},
		{Pivot, Vec{X: 1}, Vec{Y: .3}, "part swings down about pin"},
		{Pivot, Vec{X: -1}, Vec{Y: -.3}, "part swings down about pin"},
		{Pivot, Vec{Z: 1}, Vec{Y: .3}, "pushed forward: part turns, its front going inward about pin"},
		{Pivot, Vec{Z: 1}, Vec{Y: -.3}, "pushed forward: part turns, its front going inward about pin"},
	} {
		m, err := New(System{Bodies: []Body{
			{Name: "frame", Masses: []Mass{{Name: "frame", M: 300, CG: Vec{X: .5}}}},
			{Name: "part", Masses: []Mass{{Name: "part", M: 10, CG: c.cg}}},
		}, Joints: []Joint{{Name: "pin", Kind: c.kind, A: 0, B: 1, Axis: c.axis}}})
		require.NoError(t, err)
		s, err := m.Stand(Stance{Supports: []Support{{At: Vec{X: 2, Y: 1}}, {At: Vec{X: 2, Y: -1}}, {At: Vec{X: -2}}}, Attitude: Attitude{Push: .05}})
		require.NoError(t, err)
		require.NotNil(t, s.Failure, c.words)
		assert.Equal(t, c.words, s.Failure.Words, "%+v", c)
		assert.Equal(t, []int{1}, s.Failure.Bodies)
	}
}

// What all bodies do as one is no motion of one of them beside the base, however the whole turns.
func TestRelativeToTheBase(t *testing.T) {
	m := &Model{size: 1.5, centre: []Vec{{X: .3, Y: -.2, Z: .5}, {X: 2, Y: .7, Z: .1}, {X: -1, Y: .4, Z: .9}}, sys: System{Bodies: make([]Body, 3), Base: 1}}
	for _, c := range []struct{ move, turn Vec }{{Vec{X: 1}, Vec{}}, {Vec{Y: -2, Z: .5}, Vec{X: 1}}, {Vec{}, Vec{Y: 1}}, {Vec{X: .2}, Vec{Z: -1}}, {Vec{X: .3, Y: .4, Z: .5}, Vec{X: .5, Y: -.6, Z: .7}}} {
		var v []float64
		for _, at := range m.centre {
			u := r3.Add(c.move, r3.Cross(c.turn, at))
			v = append(v, u.X, u.Y, u.Z, c.turn.X*m.size, c.turn.Y*m.size, c.turn.Z*m.size)
		}
		s := &Step{m: m}
		require.True(t, s.asOne(v), "%+v", c)
		want := make([]float64, len(v))
		for i := range 6 {
			v[12+i] += float64(i+1) / 10
			want[12+i] = float64(i+1) / 10
		}
		require.False(t, s.asOne(v))
		assert.InDeltaSlice(t, want, m.relativeToBase(v), 1e-12, "%+v", c)
		at := Vec{X: .1, Y: -.4, Z: .8}
		assert.InDelta(t, 0, r3.Norm(r3.Sub(r3.Add(c.move, r3.Cross(c.turn, at)), m.velocity(v, 0, at))), 1e-12)
	}
}

// How much it turns is held against how much it moves at the size of the vehicle: of one of 2 m, a turn of 0.03 moves its
// ends by 6 % of what the whole moves, and one of 0.02 by 4 %.
func TestTurnsOrMovesByItsSize(t *testing.T) {
	m := &Model{size: 2, centre: []Vec{{}, {X: 1, Y: .8}}, sys: System{Bodies: []Body{{Name: "frame"}, {Name: "part"}}}}
	for turn, how := range map[float64]string{.03: "leans, its top going inward", .02: "moves up"} {
		v := []float64{0, 0, 0, 0, 0, 0, 0, 0, 1, m.size * turn, 0, 0}
		assert.Equal(t, how, m.how(v, 1), "%g", turn)
		assert.Equal(t, how == "moves up", m.gives(v, 1) == "moves away", "%g", turn)
	}
}
