package statics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// rolls is a frame of 1000 kg with its centre of gravity so high that rolls about a long bearing 300 mm
// above the floor in an axle on four feet, on two springs half a metre long that lean in at their tops.
func rolls(t *testing.T, height, apart, lean float64) (s *Step, springs []Link) {
	t.Helper()
	for _, side := range []float64{1, -1} {
		springs = append(springs, Link{Name: "spring", A: 0, B: 1, PA: Vec{Y: side * (apart/2 - lean), Z: .9}, PB: Vec{Y: side * apart / 2, Z: .4}})
	}
	m, err := New(System{
		Bodies: []Body{{Name: "frame", Masses: []Mass{{Name: "frame", M: 1000, CG: Vec{Z: height}}}}, {Name: "axle", Masses: []Mass{{Name: "axle", M: 80, CG: Vec{Z: .3}}}}},
		Joints: []Joint{{Name: "bearing", Kind: Pivot, A: 1, B: 0, At: Vec{Z: .3}, Axis: Vec{X: 1}}},
		Links:  springs,
	})
	require.NoError(t, err)
	var feet []Support
	for _, at := range []Vec{{X: .5, Y: .5}, {X: .5, Y: -.5}, {X: -.5, Y: .5}, {X: -.5, Y: -.5}} {
		feet = append(feet, Support{Name: "foot", Body: 1, At: at})
	}
	s, err = m.Stand(Stance{Supports: feet})
	require.NoError(t, err)
	require.Nil(t, s.Failure, "%+v", s.Failure)
	return s, springs
}

// Springs of a rate that is divided by what SpringsHold says just hold: by the potential energy of frame and
// springs as the frame rolls, differentiated by steps of a milliradian.
func TestSpringsHoldByEnergy(t *testing.T) {
	const rate, step = 24e3, 1e-3
	for _, c := range []struct{ height, apart, lean float64 }{{1, .44, 0}, {1, .44, .1}, {.5, .9, .05}, {1.5, .3, -.1}} {
		s, springs := rolls(t, c.height, c.apart, c.lean)
		times := s.SpringsHold([]Rated{{Link: 0, Rate: rate}, {Link: 1, Rate: rate}})
		energy := func(angle float64) float64 {
			turned := func(p Vec) Vec {
				p.Z -= .3
				sin, cos := math.Sincos(angle)
				return Vec{Y: p.Y*cos - p.Z*sin, Z: .3 + p.Y*sin + p.Z*cos}
			}
			v := 1000 * Gravity * turned(Vec{Z: c.height}).Z
			for i, l := range springs {
				push := -s.Link(i).Nominal
				require.Positive(t, push)
				drawn, now := r3.Norm(r3.Sub(l.PA, l.PB)), r3.Norm(r3.Sub(turned(l.PA), l.PB))
				pressed := push/(rate/times) + drawn - now
				v += rate / times / 2 * pressed * pressed
			}
			return v
		}
		bends := (energy(step) - 2*energy(0) + energy(-step)) / step / step
		assert.InDelta(t, 0, bends, 2e-3*1000*Gravity*c.height, "%+v: %.3f times", c, times)
	}
}

// By hand, with the springs upright and the frame's weight on its bearing: k·a²/2 a pair so far apart against W·h
// above the bearing, and the springs bear next to nothing.
func TestSpringsHoldByHand(t *testing.T) {
	s, _ := rolls(t, 1, .44, 0)
	push := -s.Link(0).Nominal
	stiff := 24e3 * .44 * .44 / 2
	// The lower ends stay, the upper go round the bearing 0.6 m above it, under a push on half a metre.
	falls := 1000*Gravity*.7 - 2*push*.6 + 2*push*.6*.6/.5
	assert.InDelta(t, stiff/falls, s.SpringsHold([]Rated{{Link: 0, Rate: 24e3}, {Link: 1, Rate: 24e3}}), 1e-3)
	assert.Equal(t, math.Inf(1), s.SpringsHold(nil), "bars")
	for _, rate := range []float64{math.NaN(), math.Inf(-1), 0, 1e-305} {
		assert.Zero(t, s.SpringsHold([]Rated{{Link: 0, Rate: rate}, {Link: 1, Rate: rate}}), "%g N/m", rate)
	}
	hangs, _ := rolls(t, .2, .44, 0)
	assert.Greater(t, hangs.SpringsHold([]Rated{{Link: 0, Rate: 24e3}, {Link: 1, Rate: 24e3}}), 100.0, "its centre of gravity lies below the bearing")
}

// coached is a frame of 1000 kg and two axles of 80 kg, each on two upright springs 440 mm apart and four links, on
// four feet 1200 mm apart under the axles. The springs are those of the list, the front left one first.
func coached(t *testing.T, held []Held, raised float64) (s *Step, springs []Rated) {
	t.Helper()
	sys := System{Held: held, Bodies: []Body{{Name: "frame", Masses: []Mass{{Name: "frame", M: 1000, CG: Vec{X: 1.2, Z: .7}}}}}}
	var feet []Support
	for end, x := range []float64{2.4, 0} {
		axle, back := 1+end, []float64{-1, 1}[end]
		sys.Bodies = append(sys.Bodies, Body{Name: "axle", Masses: []Mass{{Name: "axle", M: 80, CG: Vec{X: x, Z: .35}}}})
		for _, side := range []float64{1, -1} {
			springs = append(springs, Rated{Link: len(sys.Links), Rate: 24e3, Free: .25 + 1000*Gravity/4/24e3})
			sys.Links = append(sys.Links,
				Link{Name: "spring", A: 0, B: axle, PA: Vec{X: x, Y: side * .22, Z: .65}, PB: Vec{X: x, Y: side * .22, Z: .4}},
				Link{Name: "lower", A: 0, B: axle, PA: Vec{X: x + back*.5, Y: side * .38, Z: .32}, PB: Vec{X: x, Y: side * .45, Z: .3}},
				Link{Name: "upper", A: 0, B: axle, PA: Vec{X: x + back*.45, Y: side * .35, Z: .44}, PB: Vec{X: x, Y: side * .2, Z: .45}})
			feet = append(feet, Support{Name: "foot", Body: axle, At: Vec{X: x, Y: side * .6}, Height: &Height{Tol: 3e-3}})
		}
	}
	feet[0].Height.Z, feet[3].Height.Z = raised, raised
	m, err := New(sys)
	require.NoError(t, err)
	s, err = m.Stand(Stance{Supports: feet})
	require.NoError(t, err)
	require.Nil(t, s.Failure, "%+v", s.Failure)
	return s, springs
}

// Two feet across from each other that are 10 mm higher twist its axles by 2 · 10/1200 against each other and against their
// roll on their springs in a row, 2 · 24000 N/m · (0.22 m)² = 2323 N·m/rad each: by hand 19.4 N·m, 44 N a spring. So much of
// the ± of 5.5 mm of each of four is 48 N. With one spring held so, the supports say the same of the rest; as bars the
// vehicle rocks.
func TestSpringsShare(t *testing.T) {
	const each = 1000 * Gravity / 4
	s, springs := coached(t, nil, .01)
	assert.Greater(t, s.Link(springs[1].Link).Most, each, "it rocks")
	pressed, hold := s.Share(springs)
	require.Len(t, hold, 1)
	for i, sign := range []float64{1, -1, -1, 1} {
		assert.InDelta(t, each+sign*44, pressed[i].Push, 1)
		assert.InDelta(t, 48.4, pressed[i].More, 1)
	}
	one := hold[0]
	held := []Held{{Link: springs[one].Link, Push: pressed[one].Push, More: pressed[one].More}}
	s, _ = coached(t, held, .01)
	for i, spring := range springs {
		f := s.Link(spring.Link)
		assert.InDelta(t, -pressed[i].Push, f.Nominal, 1e-3*each)
		assert.Greater(t, f.Most-f.Least, 2*pressed[i].More*(1-noise))
		assert.Less(t, f.Most-f.Least, 2*pressed[i].More+60, "with what the heights lean it")
	}
	for i, sign := range []float64{1, -1, -1, 1} {
		assert.InDelta(t, (1000+160)*Gravity/4+sign*16, s.Reaction(i).Nominal, 1, "19.4 N·m on 1.2 m")
	}
	stiff, _ := coached(t, nil, .01)
	for i := range s.Supports {
		out, err := s.LetGo(Removal{Supports: []int{i}})
		require.NoError(t, err)
		rocks, err := stiff.LetGo(Removal{Supports: []int{i}})
		require.NoError(t, err)
		assert.Equal(t, rocks.Fate, out.Fate, "a foot that goes lets it rock as it would without springs")
	}
	_, hold = s.Share(springs)
	assert.Nil(t, hold, "nothing is left open")
}

// Nothing is shared where a height is not known.
func TestNothingIsSharedOnAJack(t *testing.T) {
	s, springs := coached(t, nil, 0)
	s.Supports[2].Height = nil
	_, hold := s.Share(springs)
	assert.Nil(t, hold)
}

// Links that are nearly parallel keep an axle from rolling by forces many times as large, and so hardly: what stands on
// two such axles with Panhard rods rolls about the middles of these, 315 mm up, on its springs. By hand as in rules/check
// TestTallOnItsSprings: 4 · 24000 N/m · (0.22 m)² = 4646 N·m/rad against 9807 N · (0.735 − 0.335 + 0.335²/0.25) m = 8325, 0.56 times.
func TestHardlyHeldIsNotHeld(t *testing.T) {
	sys := System{Bodies: []Body{{Name: "frame", Masses: []Mass{{Name: "frame", M: 1000, CG: Vec{X: 1.2, Z: 1.05}}}}}}
	var feet []Support
	var springs []Rated
	for end, x := range []float64{2.4, 0} {
		axle, back := 1+end, []float64{-1, 1}[end]
		sys.Bodies = append(sys.Bodies, Body{Name: "axle", Masses: []Mass{{Name: "axle", M: 80, CG: Vec{X: x, Z: .35}}}})
		sys.Links = append(sys.Links, Link{Name: "panhard", A: 0, B: axle, PA: Vec{X: x, Y: -.42, Z: .315}, PB: Vec{X: x, Y: .42, Z: .315}})
		for _, side := range []float64{1, -1} {
			springs = append(springs, Rated{Link: len(sys.Links), Rate: 24e3})
			sys.Links = append(sys.Links,
				Link{Name: "spring", A: 0, B: axle, PA: Vec{X: x, Y: side * .22, Z: .65}, PB: Vec{X: x, Y: side * .22, Z: .4}},
				Link{Name: "lower", A: 0, B: axle, PA: Vec{X: x + back*.5, Y: side * .44, Z: .255}, PB: Vec{X: x, Y: side * .45, Z: .25}},
				Link{Name: "upper", A: 0, B: axle, PA: Vec{X: x + back*.45, Y: side * .35, Z: .395}, PB: Vec{X: x, Y: side * .35, Z: .4}})
			feet = append(feet, Support{Name: "foot", Body: axle, At: Vec{X: x, Y: side * .6}})
		}
	}
	m, err := New(sys)
	require.NoError(t, err)
	s, err := m.Stand(Stance{Supports: feet})
	require.NoError(t, err)
	require.Nil(t, s.Failure, "%+v", s.Failure)
	assert.InDelta(t, .56, s.SpringsHold(springs), .03)
}
