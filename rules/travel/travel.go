// Package travel works out, from a build state, what its suspension does: toe, camber and the rest
// over bump, droop and lock; how far joints go out of square at full droop; where the bracket of a
// toe link has to be; how high the vehicle stands by the lengths that were found, or on its springs
// with what each wheel carries then; and how many turns of which adjuster bring it where it is wanted.
//
// It takes the parts, joints and links of the build apart into linkages, moves them (model/linkage), and
// fills the documents of rules/verdict. What nobody recorded is named and not guessed, but for the ±
// of a point, which is 3 mm where none is written. Whether a result is good enough for a move is not
// said here: rules/facts ask for it.
//
// The files, in the order in which they build on one another:
//
//   - suspension.go: one linkage, a corner or an axle, in its poses
//   - reader.go: the linkages of a build state
//   - toelink.go: where the bracket of a toe link has to be
//   - travel.go: what each wheel does over bump, droop and lock
//   - adjuster.go: what a turn of a link does, and how much thread is left
//   - droop.go: at full droop
//   - sprung.go: on its springs
//   - height.go: how high it stands, and what brings it where it is wanted
package travel

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"setdown/model"
	"setdown/model/linkage"
	"setdown/rules/vehicle"
	"setdown/rules/verdict"
)

// Options say how far to go.
type Options struct {
	Places      []string // only wheels at these; all when empty
	Droop, Bump float64  // m, not negative, not both zero
	Rack        float64  // m each way; zero is that of the file, which without one does not steer
	Good        float64  // rad of toe change that is good enough
}

// The grid of heights: as many on either side of the drawn one, and every so many
// of them is a row of the table.
const (
	eachSide = 20
	everyRow = 5
	locks    = 4 // places of the rack on either side of the middle
)

// located is how far out or in the ± of the points may take a wheel that is located,
// m. Sound corners and axles come to 0.2 to 2 mm; four links without a Panhard rod,
// 2 mm out of parallel, to 314 mm: what measuring leaves open is no member.
const located = 0.03

// Of works out the travel of every wheel. It fails when a place is not one of the
// vehicle's or nothing carries a wheel.
func Of(build *model.Build, o Options) (*verdict.Travel, error) {
	if rack, written := build.Vehicle.Quantity("rack_travel"); written && o.Rack == 0 {
		o.Rack = rack.Value
	}
	t := &verdict.Travel{
		Format: verdict.TravelFormat, File: build.File, Droop: mm(o.Droop), Bump: mm(o.Bump), Rack: mm(o.Rack),
		Good: degrees(o.Good), GuessedPlusMinus: mm(vehicle.Tape),
	}
	t.Vehicle, _ = build.Vehicle.Text("name")
	all := of(build).list
	if err := known(build, all, o.Places); err != nil {
		return nil, err
	}
	for _, s := range all {
		for i, w := range s.wheels {
			if len(o.Places) == 0 || slices.Contains(o.Places, w.place) {
				t.Wheels = append(t.Wheels, s.travel(i, o))
			}
		}
	}
	sortByPlace(build, t.Wheels, func(w verdict.WheelTravel) string { return w.Place })
	for i := range t.Wheels {
		for _, earlier := range t.Wheels[:i] {
			if earlier.Like == "" && mirrored(earlier, t.Wheels[i]) {
				t.Wheels[i].Like = earlier.Place
				break
			}
		}
	}
	return t, nil
}

// mirrored reports whether what is said of one wheel holds of another, left for
// right: its curve, what measuring leaves open, its angles and whether they foul, and
// how many brackets it waits for.
func mirrored(a, b verdict.WheelTravel) bool {
	const same = 1e-3 // mm and degrees: less than anybody can measure
	near := func(x, y float64) bool { return math.Abs(x-y) < same }
	return a.Trouble == nil && b.Trouble == nil && len(a.Ends)+len(b.Ends) == 0 &&
		slices.EqualFunc(a.ToeLinks, b.ToeLinks, func(p, q verdict.ToeLink) bool { return len(p.Welds) == len(q.Welds) }) &&
		slices.EqualFunc(a.Angles, b.Angles, func(p, q verdict.JointAngle) bool {
			return near(p.Most, q.Most) && p.Over == q.Over
		}) &&
		slices.EqualFunc(a.Rows, b.Rows, func(p, q verdict.TravelRow) bool {
			return near(p.ToeBand, q.ToeBand) && near(p.CamberBand, q.CamberBand)
		}) &&
		slices.EqualFunc(a.Curve, b.Curve, func(p, q verdict.CurvePoint) bool {
			return near(p.Travel, q.Travel) && near(p.Toe, q.Toe) && near(p.Camber, q.Camber) && near(p.HalfTrack, q.HalfTrack) && near(p.Recession, q.Recession)
		})
}

// known fails when there is no wheel at all, or none at one of the places.
func known(b *model.Build, all []*suspension, places []string) error {
	var with []string
	for _, s := range all {
		for _, w := range s.wheels {
			with = append(with, w.place)
		}
	}
	checklist, _ := b.Vehicle.Bool("checklist")
	switch {
	case checklist:
		return errors.New("a checklist has no measures, so there is no suspension to move; this needs a file with the places of joints and wheels")
	case len(with) == 0:
		return errors.New("no part of the file has the role wheel and a face that it is bolted on by, so there is no suspension to move")
	}
	slices.Sort(with)
	for _, p := range places {
		if !slices.Contains(with, p) {
			return fmt.Errorf("no wheel is at %q; there are wheels at %s", p, strings.Join(with, ", "))
		}
	}
	return nil
}

// sortByPlace puts wheels into walk-round order.
func sortByPlace[T any](build *model.Build, list []T, place func(T) string) {
	at := func(w T) int {
		if i := slices.Index(build.Places, place(w)); i >= 0 {
			return i
		}
		return len(build.Places)
	}
	slices.SortStableFunc(list, func(a, b T) int { return at(a) - at(b) })
}

// travel is what one wheel of a suspension does.
func (s *suspension) travel(wheel int, o Options) verdict.WheelTravel {
	w := verdict.WheelTravel{Place: s.wheels[wheel].place, Wheel: s.wheels[wheel].part.ID, Trouble: s.trouble}
	w.Together = s.together
	for i, other := range s.wheels {
		if i != wheel {
			w.With = append(w.With, other.part.ID)
		}
	}
	if s.trouble != nil {
		return w
	}
	if len(s.struts) > 0 {
		w.Strut = s.struts[s.strutOf(wheel)].item.ID
	}
	down, end := s.sweep(o.Droop, -1, eachSide)
	if end != nil {
		w.Ends = append(w.Ends, *end)
	}
	up, end := s.sweep(o.Bump, 1, eachSide)
	if end != nil {
		w.Ends = append(w.Ends, *end)
	}
	slices.Reverse(down)
	poses := append(append(down, s.drawn), up...)
	for i, pose := range poses {
		point := s.curvePoint(wheel, pose)
		w.Curve = append(w.Curve, point)
		if (i-len(down))%everyRow == 0 || i == 0 || i == len(poses)-1 {
			w.Rows = append(w.Rows, s.row(wheel, pose, point))
		}
	}
	for _, r := range w.Rows {
		if r.TrackBand > mm(located) {
			return verdict.WheelTravel{Place: w.Place, Wheel: w.Wheel, With: w.With, Trouble: &verdict.TravelTrouble{Kind: verdict.TravelUnlocated}}
		}
	}
	w.Ends = append(w.Ends, overCentre(w.Curve, len(down))...)
	steered, stops := s.lock(o.Rack)
	w.Ends = append(w.Ends, stops...)
	for _, pose := range steered {
		a := pose.Wheel(wheel)
		w.Lock = append(w.Lock, verdict.LockRow{Rack: mm(pose.Rack()), Toe: degrees(a.Toe), Camber: degrees(a.Camber)})
	}
	w.Angles = s.angles(poses, steered)
	w.ToeLinks = s.toeLinks(wheel, poses, o, func(barAt) bool { return true })
	return w
}

// overCentre finds where a strut turns from shorter to longer, or back, either way
// from the drawn height: as a rocker does that goes over centre.
func overCentre(curve []verdict.CurvePoint, drawn int) []verdict.TravelEnd {
	var list []verdict.TravelEnd
	for _, way := range []int{-1, 1} {
		last := 0.0
		for i := drawn; i+way >= 0 && i+way < len(curve) && curve[i].Strut != nil; i += way {
			change := *curve[i+way].Strut - *curve[i].Strut
			if change*last < 0 {
				list = append(list, verdict.TravelEnd{Kind: verdict.OverCentre, At: curve[i].Travel})
				break
			}
			last = change
		}
	}
	return list
}

// curvePoint is where a wheel stands in a pose, against the drawn one.
func (s *suspension) curvePoint(wheel int, pose *linkage.State) verdict.CurvePoint {
	a, drawn := pose.Wheel(wheel), s.drawn.Wheel(wheel)
	p := verdict.CurvePoint{
		Travel: mm(a.Up - drawn.Up), Toe: degrees(a.Toe), Camber: degrees(a.Camber),
		HalfTrack: mm(a.Out - drawn.Out), Recession: mm(a.Back - drawn.Back),
	}
	if len(s.struts) > 0 {
		length := mm(pose.StrutLength(s.strutOf(wheel)))
		p.Strut = &length
	}
	return p
}

// row adds to a point what takes the velocities of its pose.
func (s *suspension) row(wheel int, pose *linkage.State, point verdict.CurvePoint) verdict.TravelRow {
	band := pose.Band(wheel, s.together)
	r := verdict.TravelRow{
		CurvePoint: point, ToeBand: degrees(band.Toe), CamberBand: degrees(band.Camber), TrackBand: mm(band.Out), Worst: band.Worst,
	}
	if band.Toe == 0 {
		r.Worst = ""
	}
	if axis, err := pose.SteerAxis(wheel, s.steers(func(barAt) bool { return true })); err == nil {
		caster, lean := degrees(axis.Caster()), degrees(axis.Inclination(s.sys.Wheels[wheel].Side()))
		r.Caster, r.Inclination = &caster, &lean
	}
	if len(s.struts) > 0 {
		ratio := 0.0
		for i := range s.heights(0) { // all wheels go up together
			ratio -= pose.PerDrive(i).StrutLength(s.strutOf(wheel))
		}
		r.MotionRatio = &ratio
	}
	return r
}

// lock steers both ways at the drawn height.
func (s *suspension) lock(rack float64) ([]*linkage.State, []verdict.TravelEnd) {
	steered := slices.ContainsFunc(s.sys.Bars, func(b linkage.Bar) bool { return b.Steer != linkage.Vec{} })
	if rack == 0 || !steered {
		return nil, nil
	}
	var list []*linkage.State
	var stops []verdict.TravelEnd
	for _, sign := range []float64{-1, 1} {
		here := s.drawn
		var side []*linkage.State
		for i := 1; i <= locks; i++ {
			next, err := s.link.Move(here, sign*rack*float64(i)/locks, s.heights(0)...)
			if err != nil {
				e := end(err, sign*rack*float64(i-1)/locks, sign*rack/locks)
				e.Rack, e.At = e.At, 0
				stops = append(stops, *e)
				break
			}
			side, here = append(side, next), next
		}
		if sign < 0 {
			slices.Reverse(side)
			side = append(side, s.drawn)
		}
		list = append(list, side...)
	}
	return list, stops
}

// angles is how far joints and link ends go out of square.
func (s *suspension) angles(poses, steered []*linkage.State) []verdict.JointAngle {
	var list []verdict.JointAngle
	for _, q := range s.squares() {
		a := verdict.JointAngle{Joint: q.name, Droop: degrees(q.at(poses[0])), Drawn: degrees(q.at(s.drawn)), Bump: degrees(q.at(poses[len(poses)-1]))}
		for _, pose := range append(poses, steered...) {
			a.Most = max(a.Most, degrees(q.at(pose)))
		}
		if q.limit != nil {
			l := degrees(*q.limit)
			a.Limit, a.Over = &l, a.Most > l
		}
		list = append(list, a)
	}
	return list
}
