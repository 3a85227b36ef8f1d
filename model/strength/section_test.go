package strength

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestSectionsByHand holds area, mm², second moment, mm⁴, outermost fibre, mm, and torque for a unit of
// stress, mm³: of the round ones W_t is 2·I/c, of a flat bar of 40 × 10 mm 40·10²/(3 + 1.8/4).
func TestSectionsByHand(t *testing.T) {
	for name, c := range map[string]struct {
		of   func() (Section, error)
		want [4]float64
	}{
		"round 20":        {func() (Section, error) { return Round(0.020) }, [4]float64{314.159, 7853.98, 10, 1570.80}},
		"tube 28 × 2.5":   {func() (Section, error) { return Tube(0.028, 0.0025) }, [4]float64{200.277, 16435.2, 14, 2347.88}},
		"flat 40 × 10":    {func() (Section, error) { return Flat(0.040, 0.010) }, [4]float64{400, 3333.33, 5, 1159.42}},
		"flat 10 × 40":    {func() (Section, error) { return Flat(0.010, 0.040) }, [4]float64{400, 3333.33, 5, 1159.42}},
		"square 20 by 20": {func() (Section, error) { return Flat(0.020, 0.020) }, [4]float64{400, 13333.3, 10, 8000 / 4.8}},
	} {
		s, err := c.of()
		require.NoError(t, err)
		for i, got := range []float64{s.Area * 1e6, s.Second * 1e12, s.Far * 1e3, s.Twist * 1e9} {
			require.InDelta(t, c.want[i], got, 1e-5*c.want[i], "%s: %d", name, i)
		}
	}
}

// TestBoxInStrips adds a box up in strips along its longer side, corners and all, and takes its
// torsion from the rounded line in the middle of its wall; EN 10219-2 prints 5.41 cm², 13.4 cm⁴ and
// 11.2 cm³ of 60 × 40 × 3 (memory).
func TestBoxInStrips(t *testing.T) {
	chord := func(b, h, r, y float64) float64 { // of a rectangle with round corners, at y from its middle
		over := math.Max(0, math.Abs(y)-(b/2-r))
		if math.Abs(y) > b/2 {
			return 0
		}
		return h - 2*(r-math.Sqrt(math.Max(0, r*r-over*over)))
	}
	for _, c := range [][3]float64{{60, 40, 3}, {40, 60, 3}, {50, 50, 5}, {100, 40, 2}} {
		b, h, wall := math.Min(c[0], c[1]), math.Max(c[0], c[1]), c[2]
		area, second := 0.0, 0.0
		const strips = 200000
		for i := range strips {
			y := b * ((float64(i)+0.5)/strips - 0.5)
			w := (chord(b, h, 2*wall, y) - chord(b-2*wall, h-2*wall, wall, y)) * b / strips
			area, second = area+w, second+w*y*y
		}
		r := 1.5 * wall
		line := 2*(b-wall-2*r) + 2*(h-wall-2*r) + 2*math.Pi*r
		holds := (b-wall)*(h-wall) - 4*r*r + math.Pi*r*r
		twist := (wall*wall*wall*line/3 + 4*holds*holds*wall/line) / (wall + 2*holds/line)
		s, err := Box(c[0]/1000, c[1]/1000, c[2]/1000)
		require.NoError(t, err)
		require.InDelta(t, area, s.Area*1e6, 1e-6*area, "%v", c)
		require.InDelta(t, second, s.Second*1e12, 1e-6*second, "%v", c)
		require.InDelta(t, b/2, s.Far*1e3, 1e-9)
		require.InDelta(t, twist, s.Twist*1e9, 1e-9*twist, "%v", c)
		if c[0] == 60 {
			require.InDelta(t, 5.41, s.Area*1e4, 0.005)
			require.InDelta(t, 13.4, s.Second*1e8, 0.05)
			require.InDelta(t, 11.2, s.Twist*1e6, 0.05)
		}
	}
}
