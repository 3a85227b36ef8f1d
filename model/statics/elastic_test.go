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
		times := s.SpringsHold([]Rated{{0, rate}, {1, rate}})
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
	assert.InDelta(t, stiff/falls, s.SpringsHold([]Rated{{0, 24e3}, {1, 24e3}}), 1e-3)
	assert.Equal(t, math.Inf(1), s.SpringsHold(nil), "bars")
	hangs, _ := rolls(t, .2, .44, 0)
	assert.Greater(t, hangs.SpringsHold([]Rated{{0, 24e3}, {1, 24e3}}), 100.0, "its centre of gravity lies below the bearing")
}
