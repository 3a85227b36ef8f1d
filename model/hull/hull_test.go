package hull

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestCorners(t *testing.T) {
	for _, c := range []struct {
		name   string
		points []Point
		onEdge float64
		want   []int
	}{
		{"none", nil, 0, nil},
		{"one", []Point{{1, 1}}, 0, nil},
		{"a line", []Point{{1, 0}, {0, 0}, {2, 0}}, 0, []int{1, 2}},
		{"a square with its middle and one on an edge", []Point{{0, 0}, {2, 2}, {2, 0}, {0, 2}, {1, 1}, {1, 0}}, 0, []int{0, 2, 1, 3}},
		{"just outside an edge", []Point{{0, 0}, {2, 0}, {1, 2}, {1, -0.01}}, 0, []int{0, 3, 1, 2}},
		{"and counted as on it", []Point{{0, 0}, {2, 0}, {1, 2}, {1, -0.01}}, 0.02, []int{0, 1, 2}},
	} {
		assert.Equal(t, c.want, append([]int(nil), Corners(c.points, c.onEdge)...), c.name)
	}
}

// No point lies outside any edge, and walking round turns left at every corner.
func TestCornersHoldEveryPoint(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		points := make([]Point, 3+random.IntN(20))
		for i := range points {
			points[i] = Point{random.NormFloat64(), random.NormFloat64()}
		}
		corners := Corners(points, 0)
		least := math.Inf(1)
		for k, i := range corners {
			p, q := points[i], points[corners[(k+1)%len(corners)]]
			for _, r := range points {
				least = min(least, (q.X-p.X)*(r.Y-p.Y)-(q.Y-p.Y)*(r.X-p.X))
			}
		}
		assert.GreaterOrEqual(t, least, -1e-12)
		assert.GreaterOrEqual(t, len(corners), 3)
	}
}

func TestCommon(t *testing.T) {
	square := []Point{{0, 0}, {2, 0}, {2, 2}, {0, 2}}
	for _, c := range []struct {
		name           string
		points, within []Point
		want           []Point
	}{
		{"none", nil, square, nil},
		{"one inside", []Point{{1, 1}}, square, []Point{{1, 1}}},
		{"one outside", []Point{{3, 1}}, square, nil},
		{"one on a corner", []Point{{2, 2}}, square, []Point{{2, 2}}},
		{"a line that sticks out both ways", []Point{{1, -1}, {1, 3}}, square, []Point{{1, 0}, {1, 2}}},
		{"a narrow one across a wide one", []Point{{-1, .5}, {3, .5}, {3, 1.5}, {-1, 1.5}}, square, []Point{{0, .5}, {2, .5}, {2, 1.5}, {0, 1.5}}},
		{"one within the other", square, []Point{{-1, -1}, {3, -1}, {3, 3}, {-1, 3}}, square},
		{"beside each other", []Point{{5, 0}, {6, 0}, {5, 1}}, square, nil},
		{"within a line", square, []Point{{0, 0}, {2, 2}}, nil},
	} {
		got := Common(c.points, c.within)
		assert.Subset(t, got, c.want, c.name)
		assert.Subset(t, c.want, got, c.name)
	}
}

// By hand: a square of 2 by 0.25 is one of 1.5; the apex of a triangle of legs 1 and 0.3 comes in by
// 0.04/sin(16.7°) = 0.1392, its base by 0.04, which is wide 2·(0.3 − 0.04·(1.044 + 0.3)) there.
func TestInset(t *testing.T) {
	assert.Equal(t, []Point{{.25, .25}, {1.75, .25}, {1.75, 1.75}, {.25, 1.75}}, Inset([]Point{{0, 0}, {2, 0}, {2, 2}, {0, 2}, {1, 1}}, .25))
	got := Inset([]Point{{0, .3}, {0, -.3}, {1, 0}}, .04)
	assert.Len(t, got, 3)
	for i, want := range []Point{{.04, -.2462}, {.8608, 0}, {.04, .2462}} {
		assert.InDelta(t, want.X, got[i].X, 1e-4)
		assert.InDelta(t, want.Y, got[i].Y, 1e-4)
	}
	assert.Empty(t, Inset([]Point{{0, .05}, {0, -.05}, {1, 0}}, .05), "nothing is left")
	assert.Empty(t, Inset([]Point{{0, 0}, {2, 2}}, .04), "a line")
}

// What two hulls have in common is no larger than either, and a point in both is in it.
func TestCommonIsInBoth(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	cloud := func() []Point {
		points := make([]Point, 3+random.IntN(6))
		for i := range points {
			points[i] = Point{random.NormFloat64(), random.NormFloat64()}
		}
		return points
	}
	in := func(p Point, points []Point) bool {
		corners := Corners(points, 0)
		for k, i := range corners {
			a, b := points[i], points[corners[(k+1)%len(corners)]]
			if (b.X-a.X)*(p.Y-a.Y)-(b.Y-a.Y)*(p.X-a.X) < -1e-9 {
				return false
			}
		}
		return len(corners) > 2
	}
	both := 0
	for range 300 {
		a, b := cloud(), cloud()
		common := Common(a, b)
		for _, p := range common {
			assert.True(t, in(p, a) && in(p, b))
		}
		if p := (Point{random.NormFloat64(), random.NormFloat64()}); in(p, a) && in(p, b) {
			both++
			assert.True(t, in(p, common))
		}
	}
	assert.Greater(t, both, 10)
}
