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
