package travel

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/linkage"
	"setdown/model/schema"
	"setdown/rules/vehicle"
	"setdown/rules/verdict"
)

// suspension is one linkage of a vehicle: a corner, or an axle with both wheels.
type suspension struct {
	build   *model.Build
	sys     linkage.System
	link    *linkage.Linkage
	drawn   *linkage.State // driven by the heights of its wheels
	wheels  []wheel
	joints  []jointAt
	bars    []barAt        // those of sys.Bars
	struts  []barAt        // those of sys.Struts
	bodyOf  map[string]int // of its parts
	trouble *verdict.TravelTrouble
	// together: rigid members let the wheels of an axle go up only together.
	together bool
}

type wheel struct {
	part  *model.Item
	place string
}

// jointAt is a joint whose angle is of interest.
type jointAt struct {
	item  *model.Item
	a, b  int
	axis  linkage.Vec
	limit *float64 // rad
}

// barAt is a link of the build file.
type barAt struct {
	item   *model.Item
	ends   [2]string // names of its ends, as in linkage.Bar
	on     [2]int
	part   [2]string       // that its ends are on
	axis   [2]*linkage.Vec // of the bolts
	square [2]bool         // a bolt is square to the link, whichever way it points
	steers bool
}

func (b barAt) end(i int) string { return b.item.ID + "/" + b.ends[i] }

// largest is how many bodies a linkage may have. A corner with a rocker has four, an
// axle with everything a dozen; the work grows with the third power.
const largest = 40

// Suspensions are the linkages of a vehicle that carry a wheel, found and solved as drawn once for
// all that is asked of them. They are safe for concurrent use.
type Suspensions struct {
	build *model.Build
	list  []*suspension
	coils map[string]*vehicle.Spring // by the id of their links
	mu    sync.Mutex                 // a pose is for one goroutine at a time
}

// moving are the kinds of joint that are more than a point.
var moving = map[string]linkage.Kind{"long bearing": linkage.Hinge, "slider": linkage.Slider}

func (s *suspension) missing(path string) {
	if s.trouble == nil {
		s.trouble = &verdict.TravelTrouble{Kind: verdict.TravelNotRecorded}
	}
	if s.trouble.Kind == verdict.TravelNotRecorded && !slices.Contains(s.trouble.Fields, path) {
		s.trouble.Fields = append(s.trouble.Fields, path)
	}
}

// point reads a place with its ±.
func (s *suspension) point(r *schema.Record, path string) (at, tol linkage.Vec, ok bool) {
	v, ok := r.Vec("at")
	if !ok {
		s.missing(path + ".at")
		return at, tol, false
	}
	for i, t := range v.Tol {
		if t == 0 {
			v.Tol[i] = vehicle.Tape
		}
	}
	return vehicle.Point(v), linkage.Vec{X: v.Tol[0], Y: v.Tol[1], Z: v.Tol[2]}, true
}

// addJoint adds a joint. Two joints between the same parts make a hinge, each as a ball; a pivot
// alone is a ball as well, as it is to the statics: what holds a moment is called a long bearing.
func (s *suspension) addJoint(m meet, a, b int) {
	item := m.item
	at, tol, ok := s.point(item.Record, item.Path())
	if !ok {
		return
	}
	j := linkage.Joint{Name: item.ID, A: a, B: b, At: at, Tol: tol}
	axis, hasAxis := item.Vec("axis")
	kind, _ := item.Text("kind")
	if how, moves := moving[kind]; moves {
		if !hasAxis {
			s.missing(item.Path() + ".axis")
			return
		}
		j.Kind, j.Axis = how, vehicle.Point(axis)
	}
	s.sys.Joints = append(s.sys.Joints, j)
	if hasAxis {
		s.joints = append(s.joints, jointAt{item, a, b, vehicle.Point(axis), angle(item.Record, "misalignment_limit")})
	}
}

func angle(r *schema.Record, path string) *float64 {
	q, ok := r.Quantity(path)
	if !ok {
		return nil
	}
	return &q.Value
}

// addLink adds a link. A spring, a damper or a bar in place of one, from the frame,
// is a strut; a pushrod has that role too, between two parts that move, and stays.
func (s *suspension) addLink(b barAt) {
	bar := linkage.Bar{Name: b.item.ID, Ends: b.ends, A: b.on[0], B: b.on[1]}
	both := true
	for i, p := range []*linkage.Vec{&bar.PA, &bar.PB} {
		end, _ := b.item.Record.Record("ends." + b.ends[i])
		at, tol, ok := s.point(end, b.item.Path()+".ends."+b.ends[i])
		*p, bar.Tol[i] = at, tol
		both = both && ok
	}
	if !both {
		return
	}
	if role, _ := b.item.Text("role"); slices.Contains([]string{"strut", "spring", "damper"}, role) && b.on[0] == linkage.Ground {
		s.sys.Struts, s.struts = append(s.sys.Struts, bar), append(s.struts, b)
		return
	}
	s.sys.Bars, s.bars = append(s.sys.Bars, bar), append(s.bars, b)
}

// addWheel reads a wheel: its centre is where its face is, its tyre stands where
// its support does.
func (s *suspension) addWheel(face, part *model.Item, body int, place string) {
	if slices.ContainsFunc(s.wheels, func(w wheel) bool { return w.part == part }) {
		return
	}
	s.wheels = append(s.wheels, wheel{part, place})
	at, _, ok := s.point(face.Record, face.Path())
	axis, hasAxis := face.Vec("axis")
	if !hasAxis {
		s.missing(face.Path() + ".axis")
	}
	if !ok || !hasAxis || axis.Y == 0 {
		if hasAxis && axis.Y == 0 {
			s.trouble = &verdict.TravelTrouble{Kind: verdict.TravelImpossible, Words: face.ID + ": the axis of a wheel points across the vehicle"}
		}
		return
	}
	out := r3.Unit(vehicle.Point(axis))
	if out.Y*at.Y < 0 || at.Y == 0 && out.Y < 0 {
		out = r3.Scale(-1, out)
	}
	lw := linkage.Wheel{Name: part.ID, Body: body, Centre: at, Tyre: at, Axis: out}
	for _, support := range s.build.Of("supports") {
		kind, _ := support.Text("kind")
		under, _ := support.Text("under")
		ground, ok := support.Vec("at")
		if kind == "wheel" && under == part.ID && ok {
			lw.Tyre = r3.Add(at, r3.Scale((ground.Y-at.Y)/out.Y, out))
			lw.Radius = max(0, lw.Tyre.Z-ground.Z)
			break
		}
	}
	s.sys.Wheels = append(s.sys.Wheels, lw)
}

// solve makes the linkage ready in its drawn pose.
func (s *suspension) solve() {
	if n := len(s.sys.Bodies); n > largest {
		s.trouble = &verdict.TravelTrouble{Kind: verdict.TravelImpossible, Words: fmt.Sprintf("%d parts move together, and %d are the most that are worked out", n, largest)}
	}
	if s.trouble != nil {
		return
	}
	var err error
	if s.link, err = linkage.New(s.sys); err != nil {
		s.trouble = &verdict.TravelTrouble{Kind: verdict.TravelImpossible, Words: err.Error()}
		return
	}
	var free *linkage.FreeError
	var locked *linkage.LockedError
	s.drawn, err = s.link.Drawn(s.heights(0)...)
	if errors.As(err, &locked) && len(s.wheels) > 1 {
		s.together = true
		s.drawn, err = s.link.Drawn(s.heights(0)...)
	}
	switch {
	case errors.As(err, &free):
		s.trouble = &verdict.TravelTrouble{Kind: verdict.TravelFree, Parts: []string{free.Body, free.Wheel}}
	case errors.As(err, &locked):
		s.trouble = &verdict.TravelTrouble{Kind: verdict.TravelLocked}
	case err != nil:
		s.trouble = &verdict.TravelTrouble{Kind: verdict.TravelImpossible, Words: err.Error()}
	}
}

// heights drives every wheel to the same height.
func (s *suspension) heights(bump float64) []linkage.Drive {
	if s.together {
		return []linkage.Drive{linkage.Together(bump)}
	}
	var list []linkage.Drive
	for i := range s.wheels {
		list = append(list, linkage.Height(i, bump))
	}
	return list
}

func degrees(rad float64) float64 { return tidy(rad * 180 / math.Pi) }

func mm(m float64) float64 { return tidy(m * 1000) }

// tidy rounds a figure of a document to what is no rounding of the solution, a
// millionth of a millimetre or degree, so that a zero is one.
func tidy(v float64) float64 {
	const places = 1e6
	return math.Round(v*places)/places + 0
}

// lacking collects what is not recorded.
type lacking []string

func (l *lacking) because(u *vehicle.Unknown) {
	if u != nil {
		*l = append(*l, u.Missing...)
	}
}

// strutOf is the strut of a wheel: the one that ends nearest to it.
func (s *suspension) strutOf(wheel int) int {
	best, least := 0, math.Inf(1)
	for i, strut := range s.sys.Struts {
		if d := r3.Norm(r3.Sub(strut.PB, s.sys.Wheels[wheel].Centre)); d < least*(1-1e-9) {
			best, least = i, d
		}
	}
	return best
}

// sweep moves all wheels one way, from the drawn height out, in so many steps.
func (s *suspension) sweep(far, sign float64, steps int) ([]*linkage.State, *verdict.TravelEnd) {
	var list []*linkage.State
	here := s.drawn
	for i := 1; i <= steps && far > 0; i++ {
		step := sign * far / float64(steps)
		h := step * float64(i)
		next, err := s.link.Move(here, 0, s.heights(h)...)
		if err != nil {
			return list, end(err, h-step, step)
		}
		list, here = append(list, next), next
	}
	return list, nil
}

// steers lists the bars that keep a wheel from turning.
func (s *suspension) steers(only func(b barAt) bool) []int {
	var list []int
	for i, b := range s.bars {
		if b.steers && only(b) {
			list = append(list, i)
		}
	}
	return list
}

// ends are the reasons of linkages in the words of the document.
var ends = map[linkage.Why]verdict.EndKind{linkage.Reach: verdict.Binds, linkage.TwoWays: verdict.TwoWays, linkage.Against: verdict.WorkAgainst}

// end is where a motion ends: the share that was reached of a step from a height.
func end(err error, from, step float64) *verdict.TravelEnd {
	e := &verdict.TravelEnd{Kind: verdict.Binds, At: mm(from)}
	var binds *linkage.BindsError
	if errors.As(err, &binds) {
		e.Kind, e.At = ends[binds.Why], mm(from+binds.Share*step)
	}
	return e
}

// square is a joint or link end that goes out of square.
type square struct {
	name  string
	limit *float64 // rad
	at    func(*linkage.State) float64
}

// squares are the joints and link ends whose bolts have a direction.
func (s *suspension) squares() []square {
	var list []square
	for _, j := range s.joints {
		list = append(list, square{j.item.ID, j.limit, func(p *linkage.State) float64 { return p.Turned(j.a, j.b, j.axis) }})
	}
	bars := append(slices.Clone(s.sys.Bars), s.sys.Struts...)
	for i, b := range append(slices.Clone(s.bars), s.struts...) {
		for e := range b.ends {
			if b.axis[e] != nil {
				list = append(list, square{b.end(e), angle(b.item.Record, "rod_ends.misalignment_limit"), func(p *linkage.State) float64 { return p.OutOfSquare(bars[i], b.on[e], *b.axis[e]) }})
			}
		}
	}
	return list
}

// outOfSquare is how far joints and link ends go out of square in a pose, rad, by joint or link/end:
// those whose bolt has a direction, and the most that those do whose bolt is square to the link.
func (s *suspension) outOfSquare(pose *linkage.State) (angles, atMost map[string]float64) {
	angles, atMost = map[string]float64{}, map[string]float64{}
	for _, q := range s.squares() {
		angles[q.name] = q.at(pose)
	}
	bars := append(slices.Clone(s.sys.Bars), s.sys.Struts...)
	for i, b := range append(slices.Clone(s.bars), s.struts...) {
		for e, square := range b.square {
			if square {
				atMost[b.end(e)] = pose.Tilted(bars[i], b.on[e])
			}
		}
	}
	return angles, atMost
}
