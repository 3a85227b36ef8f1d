package vehicle

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/statics"
)

// Bend is what a part passes across a cut through its line where it feels most of it, worst over
// every case and line; Long is the length of that line, m.
type Bend struct {
	statics.Bend
	Long  float64
	Leg   *Leg  // of two, that is bent so; nil of one piece
	Cross *Bend // of the cross tube between two legs; nil where nothing loads them between them
	// Between is what bends that tube of loads that stand on neither leg, N·m: then it is surely there.
	Between float64
	Tied    bool // it is tied up as one with others, and its strap taken to hold it at its farthest joint
}

// Leg is one of two legs of a part.
type Leg struct {
	Pivot           string  // the joint at its foot
	Reaction        float64 // N, what that joint passes square to the plane of the legs
	Lever           float64 // m, from there to where the leg is bent most
	Square, InPlane float64 // N·m, what bends it there out of that plane and in it
}

// Bends is how a part of a step with loads bends along its lines. A part that is tied to another,
// or off, does not bend by itself.
func (s *Step) Bends(part *model.Item) (Bend, *Unknown) {
	var worst Bend
	if s.NoLoads != nil || !s.alone(part.ID) {
		if s.NoLoads == nil {
			return s.pressedIn(part)
		}
		return worst, s.NoLoads
	}
	body := s.stance.assembly.body[part.ID]
	for _, l := range s.lines(part.ID, body) {
		long := r3.Norm(r3.Sub(l.to, l.from))
		if long < shortest {
			continue
		}
		b, err := s.stance.step.Bending(body, l.from, l.to, l.root)
		if err != nil {
			return worst, NotComputed("%v", err)
		}
		sides := max(worst.Sides, b.Sides)
		if b.Felt() > worst.Felt() {
			worst = Bend{Bend: b, Long: long}
		}
		worst.Sides = sides
	}
	return worst, nil
}

// pressedIn is how a part bends that is tied up, and on which springs push as they are drawn. A strap at the end
// of the strut leaves nothing between them to bend. Where one strap ties up several parts nobody knows on
// which it holds: the part is then a beam from its hinge to its farthest joint, as on its wheels. One that ties
// up this part alone is asked for its points, with which the corner is no lump any more.
func (s *Step) pressedIn(part *model.Item) (Bend, *Unknown) {
	out := Bend{Tied: true}
	if role, _ := part.Text("role"); role == "axle" {
		return s.pressedAcross(part)
	}
	if !s.Vehicle.hinged(part.ID, s.setting) {
		return s.bentThrough(part.ID)
	}
	var line [2]r3.Vec
	for _, e := range s.entries {
		if e.part != part.ID || !s.Tied(part.ID) {
			continue
		}
		alone := false
		var missing []string
		for _, t := range s.setting.ties {
			if slices.Contains(t.parts, part.ID) {
				alone = alone || len(t.parts) == 1
				missing = append(missing, t.unplaced()...)
			}
		}
		switch {
		case s.heldAt(e):
			continue
		case alone && len(missing) > 0:
			return Bend{}, NotRecorded(missing...)
		case alone:
			return Bend{}, NotComputed("%s pushes on %s where its strap does not hold it, and it does not stay put on the strap alone", e.Item.ID, part.ID)
		}
		if line[0] == line[1] {
			var unknown *Unknown
			if line, unknown = s.span(part.ID); unknown != nil {
				return Bend{}, unknown
			}
			out.Long = r3.Norm(r3.Sub(line[1], line[0]))
		}
		if out.Long < shortest {
			continue
		}
		along := r3.Scale(1/out.Long, r3.Sub(line[1], line[0]))
		from := r3.Sub(Point(*e.At), line[0])
		at := max(0, min(out.Long, r3.Dot(from, along)))
		thrust := r3.Dot(e.force, along)
		out.Moment += r3.Norm(r3.Sub(e.force, r3.Scale(thrust, along))) * at * (out.Long - at) / out.Long
		out.Torsion += r3.Norm(e.force) * r3.Norm(r3.Sub(from, r3.Scale(r3.Dot(from, along), along)))
		out.Thrust += math.Abs(thrust)
		out.Sides = math.Sqrt2 * out.Moment // whichever way it is bent
	}
	return out, nil
}

// pressedAcross is how an axle bends that is tied up, between the springs that push on either end of it and a strap
// that may hold it in the middle: where nobody knows where it does, nothing bends it more.
func (s *Step) pressedAcross(axle *model.Item) (Bend, *Unknown) {
	out := Bend{Tied: true}
	cg, placed := axle.Vec("cg")
	ends := map[bool]float64{} // N·m, of either
	for _, e := range s.entries {
		if e.part != axle.ID || !s.Tied(axle.ID) || s.heldAt(e) {
			continue
		}
		if !placed {
			return Bend{}, NotRecorded(axle.Path() + ".cg")
		}
		off := r3.Sub(Point(*e.At), Point(cg))
		turn := r3.Cross(off, e.force)
		ends[off.Y > 0] += math.Hypot(turn.X, turn.Z)
		out.Torsion += math.Abs(turn.Y)
		out.Long = max(out.Long, 2*math.Abs(off.Y))
	}
	out.Moment = max(ends[true], ends[false])
	out.Sides = math.Sqrt2 * out.Moment
	return out, nil
}

// bentThrough is how a part bends that is tied up, has no hinge and is no axle, as an upright: what springs push comes in at
// one place of it and goes out at another, and bends it with no more than that by the way between both, square
// to it.
func (s *Step) bentThrough(part string) (Bend, *Unknown) {
	out := Bend{Tied: true}
	var places []*Meet
	for _, m := range s.Vehicle.Meets {
		if m.Of(part) && s.inside(m) && s.pushedThrough(m) > 0 {
			if m.At == nil {
				return Bend{}, NotRecorded(m.Path("at"))
			}
			places = append(places, m)
		}
	}
	for _, e := range s.entries {
		if s.heldAt(e) || !slices.ContainsFunc(s.setting.ties, func(t tie) bool {
			return slices.Contains(t.parts, e.part) && slices.Contains(t.parts, part)
		}) {
			continue
		}
		from := places
		if e.part == part {
			from = []*Meet{e.Meet}
		}
		way, longest, wide := r3.Unit(e.force), 0.0, 0.0
		for _, a := range from {
			for _, b := range places {
				off := r3.Sub(Point(*b.At), Point(*a.At))
				longest = max(longest, r3.Norm(off))
				wide = max(wide, r3.Norm(r3.Cross(off, way)))
			}
		}
		out.Moment += r3.Norm(e.force) * wide
		out.Thrust += r3.Norm(e.force)
		out.Long = max(out.Long, longest)
	}
	out.Sides = math.Sqrt2 * out.Moment
	if out.Long < shortest {
		return Bend{Tied: true}, nil
	}
	return out, nil
}

// span is the line of a part from the middle of its hinge to the joint or end of a link that is farthest from
// there. What nobody wrote of the places of these is unknown.
func (s *Step) span(part string) (line [2]r3.Vec, unknown *Unknown) {
	var missing []string
	hinge, others := s.hinge(part)
	for _, m := range s.Vehicle.Meets {
		if m.Link && m.Parts[0] == part && !s.Off(m) {
			others = append(others, m)
		}
	}
	for _, m := range slices.Concat(hinge, others) {
		if m.At == nil {
			missing = append(missing, m.Path("at"))
		}
	}
	if missing != nil {
		return line, NotRecorded(missing...)
	}
	middle := r3.Scale(.5, r3.Add(Point(*hinge[0].At), Point(*hinge[1].At)))
	line = [2]r3.Vec{middle, middle}
	for _, m := range others {
		if far := Point(*m.At); r3.Norm(r3.Sub(far, middle)) > r3.Norm(r3.Sub(line[1], middle)) {
			line[1] = far
		}
	}
	return line, nil
}

// Legs is how a part of a step with loads bends that is two legs, from two joints to one other part to
// one apex: its only other joint, or the farthest place where force acts. why says what keeps it from
// being so.
func (s *Step) Legs(part *model.Item) (worst Bend, why error) {
	if s.NoLoads != nil || !s.alone(part.ID) {
		return worst, errors.New("by itself it has no loads: it is off or tied up, or there are none")
	}
	body := s.stance.assembly.body[part.ID]
	hinge, others := s.hinge(part.ID)
	if len(hinge) != 2 || len(others) > 1 {
		return worst, errors.New("it has not two joints to one other part and one beyond")
	}
	var pivots [2]int
	for i, m := range hinge {
		k, between := s.stance.assembly.joints[m.Name]
		if !between {
			return worst, fmt.Errorf("%s passes nothing", m.Name)
		}
		pivots[i] = k
	}
	line := [2]r3.Vec{Point(*hinge[0].At), Point(*hinge[1].At)}
	apex := line[0]
	if len(others) == 1 {
		apex = Point(*others[0].At)
	} else {
		places := s.stance.step.Acting(body)
		beside := func(p r3.Vec) float64 { return r3.Norm(r3.Cross(r3.Sub(p, line[0]), r3.Sub(line[1], line[0]))) }
		for _, p := range places {
			if beside(p.At) > beside(apex)*(1+alike) {
				apex = p.At
			}
		}
	}
	l, err := s.stance.step.Legs(body, pivots, apex)
	if err != nil {
		return worst, err
	}
	pivot := hinge[slices.Index(pivots[:], l.Pivot)].Name
	worst = Bend{Bend: l.Bend, Long: l.Long, Leg: &Leg{pivot, l.Reaction, l.At, l.Square, l.InPlane}, Between: l.Between}
	if l.Cross.Felt() > 0 {
		worst.Cross = &Bend{Bend: l.Cross, Long: l.Wide}
	}
	return worst, nil
}

// hinged reports whether a part has a hinge.
func (v *Vehicle) hinged(part string, s setting) bool {
	hinge, _ := v.hinge(part, s)
	return len(hinge) == 2
}

// hinge are the joints of a part of a step; see the same of the vehicle.
func (s *Step) hinge(part string) (hinge, others []*Meet) { return s.Vehicle.hinge(part, s.setting) }

// hinge are the joints of a part to that other part to which it has two, the last such if
// there are more, and its joints to others; without such a part all are others.
func (v *Vehicle) hinge(part string, s setting) (hinge, others []*Meet) {
	joints := map[string][]*Meet{}
	var to string
	for _, m := range v.Meets {
		if k := slices.Index(m.Parts[:], part); k >= 0 && !m.Link && !s.isOff(m) {
			other := m.Parts[1-k]
			if joints[other] = append(joints[other], m); len(joints[other]) == 2 {
				to = other
			}
		}
	}
	for _, m := range v.Meets {
		if slices.Contains(m.Parts[:], part) && !m.Link && !s.isOff(m) && !slices.Contains(joints[to], m) {
			others = append(others, m)
		}
	}
	return joints[to], others
}

// shortest is the length below which a part has no line to bend along, m: the two bolts of
// one lug are no bar.
const shortest = 0.03

// alone reports whether a part is on the vehicle and tied to no other.
func (s *Step) alone(part string) bool {
	body, on := s.stance.assembly.body[part]
	return on && !slices.ContainsFunc(s.Parts, func(p *model.Item) bool {
		return p.ID != part && s.stance.assembly.body[p.ID] == body
	})
}

// slender is the share of a line, within which off it all that loads a part leaves it a beam along that line. Off a
// hinge by as much of its width a load bends the part more between hinge and load than from joint to joint.
const slender = 0.25

// line is one along which a part may bend. What lies within root along it stands at its start.
type line struct {
	from, to r3.Vec
	root     float64
}

// lines are the lines along which a part may bend: from the middle of its hinge, two joints to one
// other part, to each other place where force acts, and along the hinge where the part is loaded
// beside that line and off its joints. Without a hinge they are its trunk and branches.
func (s *Step) lines(part string, body int) []line {
	places := s.stance.step.Acting(body)
	var hinge []r3.Vec // the two joints
	pair, _ := s.hinge(part)
	for _, m := range pair {
		hinge = append(hinge, Point(*m.At))
	}
	if len(hinge) != 2 {
		return branched(places)
	}
	var lines []line
	middle := r3.Scale(.5, r3.Add(hinge[0], hinge[1]))
	wide := r3.Sub(hinge[1], hinge[0])
	long := r3.Norm(wide)
	from, to, beside := 0.0, long, false
	for _, p := range places {
		if slices.Contains(hinge, p.At) {
			continue
		}
		lines = append(lines, line{from: middle, to: p.At})
		at := r3.Dot(r3.Sub(p.At, hinge[0]), wide) / long
		off := r3.Sub(r3.Sub(p.At, hinge[0]), r3.Scale(at/long, wide))
		// What stands over a level hinge or hangs under it loads it as if it were on it.
		if math.Hypot(off.X, off.Y) > slender*long || math.Abs(at) < shortest || math.Abs(at-long) < shortest {
			continue
		}
		from, to, beside = min(from, at), max(to, at), true
	}
	if beside {
		lines = append(lines, line{from: r3.Add(hinge[0], r3.Scale(from/long, wide)), to: r3.Add(hinge[0], r3.Scale(to/long, wide))})
	}
	return lines
}

// branched are the lines of a part without a hinge: its trunk, between those two places from which all the
// others are the least far off in sum, the longest of such; and from there one to each place that is not near,
// as the end of a torque arm. How hard each is loaded does not matter for this: a link that bears next to
// nothing is no reason to cut an axle elsewhere.
func branched(places []statics.Place) []line {
	var trunk line
	var long float64
	least := math.Inf(1)
	for i, a := range places {
		for _, b := range places[:i] {
			l, off := line{from: b.At, to: a.At}, 0.0
			d := r3.Norm(r3.Sub(l.to, l.from))
			if d < shortest {
				continue
			}
			for _, p := range places {
				off += l.off(p.At)
			}
			if off < least-alike || off < least+alike && d > long*(1+alike) {
				trunk, long, least = l, d, off
			}
		}
	}
	if long == 0 {
		return nil
	}
	lines, root := []line{trunk}, func(p statics.Place) bool { return trunk.off(p.At) <= slender*long }
	for _, p := range places {
		if root(p) {
			continue
		}
		branch := line{from: trunk.foot(p.At), to: p.At}
		out := r3.Unit(r3.Sub(branch.to, branch.from))
		for _, b := range places {
			if root(b) {
				branch.root = max(branch.root, r3.Dot(r3.Sub(b.At, branch.from), out))
			}
		}
		lines = append(lines, branch)
	}
	return lines
}

// foot is the place of a line that is nearest to a point.
func (l line) foot(p r3.Vec) r3.Vec {
	along := r3.Sub(l.to, l.from)
	return r3.Add(l.from, r3.Scale(max(0, min(1, r3.Dot(r3.Sub(p, l.from), along)/r3.Norm2(along))), along))
}

// off is how far a point is from a line.
func (l line) off(p r3.Vec) float64 { return r3.Norm(r3.Sub(p, l.foot(p))) }

// sameUse is how far in plan from a joint of the part a support may stand and load a part as
// its wheel did, m.
const sameUse = 60e-3

// Corner is the most that one support puts on what a part belongs to, up to the part that the
// vehicle is built on, N: up and level. elsewhere names a support that loads the part
// itself where no joint of it is.
func (s *Step) Corner(part *model.Item) (up, level float64, elsewhere string, unknown *Unknown) {
	if s.NoLoads != nil {
		return 0, 0, "", s.NoLoads
	}
	reached := spread(part.ID, func(p string) []string {
		if p == s.Vehicle.base {
			return nil
		}
		return s.Vehicle.neighbours(p, s.setting, false)
	})
	for i, support := range s.Supports {
		under, _ := support.Text("under")
		if under == s.Vehicle.base || !slices.Contains(reached, under) {
			continue
		}
		for _, f := range s.stance.step.Pushes(i) {
			up, level = max(up, math.Abs(f.Z)), max(level, math.Hypot(f.X, f.Y))
		}
		if under == part.ID && !s.asItsWheel(part, s.SupportAt(i)) && !slices.ContainsFunc(s.Vehicle.Meets, func(m *Meet) bool {
			if m.At == nil {
				return false
			}
			off := r3.Sub(Point(*m.At), s.SupportAt(i))
			return slices.Contains(m.Parts[:], part.ID) && math.Hypot(off.X, off.Y) <= sameUse
		}) {
			elsewhere = support.ID
		}
	}
	return up, level, elsewhere, nil
}

// asItsWheel reports whether an axle is loaded at a place between all that joins it on that side and its wheel, the usual
// place of an axle stand: there as much load bends it less, inwards from there, than its wheel farther out does.
func (s *Step) asItsWheel(axle *model.Item, at r3.Vec) bool {
	role, _ := axle.Text("role")
	cg, placed := axle.Vec("cg")
	if role != "axle" || !placed || math.Abs(at.X-cg.X) > sameUse {
		return false
	}
	out := func(p r3.Vec) float64 { return math.Copysign(1, at.Y-cg.Y) * (p.Y - cg.Y) }
	joined := false
	for _, m := range s.Vehicle.Meets {
		other, its := m.Other(axle.ID)
		if !its || s.setting.isOff(m) {
			continue
		}
		if m.At == nil {
			return false
		}
		of, _ := s.Vehicle.Build.Item(other).Text("role")
		switch y := out(Point(*m.At)); {
		case of == "wheel":
			if y > 0 && y < out(at)-sameUse {
				return false // beyond its wheel
			}
		case y > out(at):
			return false
		default:
			joined = joined || y > 0
		}
	}
	return joined
}
