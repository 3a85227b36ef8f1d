// Package hull finds the convex hull of points in a plane: the corners on which a
// vehicle would tip, the outline of a part in a drawing.
package hull

import (
	"cmp"
	"math"
	"slices"
)

// Point is a place in the plane, in any unit of length.
type Point struct{ X, Y float64 }

// Corners returns the indices of the points at the corners of the convex hull,
// counter-clockwise where y points to the left of x, from the one with the least x. A
// point that lies less than onEdge outside the line of its neighbours is no corner. Of
// points in one line the two ends are left; of points in one place, none. Method:
// Andrew's monotone chain.
func Corners(points []Point, onEdge float64) []int {
	order := make([]int, len(points))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(points[a].X, points[b].X), cmp.Compare(points[a].Y, points[b].Y), cmp.Compare(a, b))
	})
	// outside is how far a lies to the right of the line from o to b.
	outside := func(o, a, b int) float64 {
		p, q, r := points[o], points[a], points[b]
		line := math.Hypot(r.X-p.X, r.Y-p.Y)
		if line == 0 {
			return 0
		}
		return ((q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X)) / line
	}
	half := func(order []int) []int {
		var chain []int
		for _, i := range order {
			for len(chain) >= 2 && outside(chain[len(chain)-2], chain[len(chain)-1], i) <= onEdge {
				chain = chain[:len(chain)-1]
			}
			chain = append(chain, i)
		}
		return chain[:max(0, len(chain)-1)]
	}
	lower := half(order)
	slices.Reverse(order)
	return append(lower, half(order)...)
}

// Common returns the corners of what the convex hulls of two sets of points have in common, in the order of
// Corners of the first; points in one line or place count as such there. It is empty where the second
// spans nothing. Method: the hull of the first, cut along each edge of the other (Sutherland and
// Hodgman, 1974, from memory).
func Common(points, within []Point) []Point {
	var list []Point
	for _, i := range Corners(points, 0) {
		list = append(list, points[i])
	}
	if len(list) == 0 && len(points) > 0 {
		list = points[:1] // all in one place
	}
	edges := Corners(within, 0)
	if len(edges) < 3 {
		return nil
	}
	for k, i := range edges {
		list = cut(list, within[i], within[edges[(k+1)%len(edges)]])
	}
	return list
}

// Inset returns the corners of the convex hull of a set of points with each of its edges moved inwards, in
// the order of Corners. It is empty where nothing is left.
func Inset(points []Point, by float64) []Point {
	corners := Corners(points, 0)
	if len(corners) < 3 {
		return nil
	}
	var list []Point
	for _, i := range corners {
		list = append(list, points[i])
	}
	for k, i := range corners {
		p, q := points[i], points[corners[(k+1)%len(corners)]]
		long := math.Hypot(q.X-p.X, q.Y-p.Y)
		in := Point{-(q.Y - p.Y) / long * by, (q.X - p.X) / long * by}
		list = cut(list, Point{p.X + in.X, p.Y + in.Y}, Point{q.X + in.X, q.Y + in.Y})
	}
	return list
}

// cut is what lies of a convex outline to the left of a line or on it.
func cut(list []Point, p, q Point) (kept []Point) {
	inside := func(r Point) float64 { return (q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X) }
	for n, a := range list {
		b := list[(n+1)%len(list)]
		from, to := inside(a), inside(b)
		if from >= 0 {
			kept = append(kept, a)
		}
		if from*to < 0 {
			share := from / (from - to)
			kept = append(kept, Point{a.X + share*(b.X-a.X), a.Y + share*(b.Y-a.Y)})
		}
	}
	return kept
}
