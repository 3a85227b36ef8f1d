package vehicle

import (
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/statics"
)

// Gravity is the standard acceleration of free fall, m/s².
const Gravity = statics.Gravity

// Weight is the weight of the vehicle in a solved step, N.
func (s *Step) Weight() float64 { return s.stance.step.Weight() }

// Centre is the centre of gravity of the vehicle with the ± of each coordinate, m, and its
// mass, kg.
func (s *Step) Centre() (centre, spread r3.Vec, kg float64) {
	centre, kg = s.stance.assembly.model.Centre()
	return centre, s.stance.assembly.model.CentreSpread(), kg
}

// Unwritten is the ± of the centre of gravity of a part, along and across, that counts because nobody
// wrote one, m.
func (s *Step) Unwritten(part *model.Item) [2]float64 { return s.Vehicle.unwritten(part) }

// AttitudeDoubt is the same of the pitch and roll of a step, rad.
func (s *Step) AttitudeDoubt() [2]float64 { return s.stance.Doubt }

// Reaction is what the i-th support of a solved step carries, N.
func (s *Step) Reaction(i int) statics.Range {
	if h := s.hungOn(i); h != nil {
		return h.weight
	}
	return s.stance.step.Reaction(i)
}

// hungOn is what hangs by itself on the i-th support of a step; nil for one of the vehicle's.
func (s *Step) hungOn(i int) *hung {
	if i < len(s.stance.places) {
		return nil
	}
	k := slices.IndexFunc(s.stance.assembly.hung, func(h *hung) bool { return h.item == s.Supports[i] })
	return s.stance.assembly.hung[k]
}

// SupportAt is where the i-th support bears.
func (s *Step) SupportAt(i int) r3.Vec {
	at, _ := s.Supports[i].Vec("at")
	return Point(at)
}

// Tilt is how the vehicle stands, rad, nose up and left side up: by the heights of its
// supports where all are known, else by what the step says.
func (s *Step) Tilt() (nose, left float64) {
	if s.Unsolved != nil {
		return s.stance.Pitch, s.stance.Roll
	}
	return s.stance.step.Tilt()
}

// Slides says how the vehicle slides or rolls away when it is pushed; "" when it stays. It is
// unknown while nobody wrote down which way a jack rolls that might keep it, or how wide a stand is
// where that decides.
func (s *Step) Slides() (how string, unknown *Unknown) {
	if s.Unsolved != nil || s.stance.slides == "" {
		return "", s.Unsolved
	}
	var open []string
	for _, support := range s.Supports {
		if _, written := support.Text("along"); OfKind("jack")(support) && !written && !s.stance.works {
			open = append(open, support.Path()+".along")
		}
	}
	if len(open) > 0 {
		return "", NotRecorded(open...)
	}
	if missing := s.bases(); missing != nil && s.onWideStands().stance.slides == "" {
		return "", NotRecorded(missing...)
	}
	how = s.stance.slides
	if narrow := s.narrow(); narrow != nil {
		names := make([]string, len(narrow))
		for i, support := range narrow {
			names[i] = support.ID
		}
		how += "; tips over its feet before its saddle slips: " + strings.Join(names, ", ")
	}
	return how, nil
}

// narrow are the stands of a step that tip before their saddles slip, by their width or the usual one.
func (s *Step) narrow() (list []*model.Item) {
	for _, support := range s.Supports {
		share, unknown := FootHolds(support)
		if OfKind("stand", "crib", "trestle")(support) && unknown == nil && share <= s.Vehicle.contact(support, s.stance.situation).Mu {
			list = append(list, support)
		}
	}
	return list
}

// bases are the widths of these that nobody wrote.
func (s *Step) bases() (missing []string) {
	for _, support := range s.narrow() {
		_, base := support.Quantity("base")
		_, length := support.Quantity("block_length")
		if !base && !length {
			missing = append(missing, support.Path()+".base")
		}
	}
	return missing
}

// onWideStands is the step on stands so wide, where nobody wrote it, that they slip before they tip.
func (s *Step) onWideStands() *Step {
	wide, in := *s, s.stance.situation
	in.wide = true
	wide.stance = s.Vehicle.stand(s.stance.assembly, s.Texts("supports"), in)
	return &wide
}

// Ways are the ways in which the vehicle of a solved step can stand on few of its supports,
// whatever else hangs in straps and against stops.
func (s *Step) Ways() []statics.Way {
	var list []statics.Way
	for _, w := range s.stance.step.Ways() {
		n := slices.IndexFunc(w.Supports, func(i int) bool { return i >= len(s.stance.places) })
		if n < 0 {
			n = len(w.Supports)
		}
		w.Supports, w.Carry = w.Supports[:n], w.Carry[:n]
		if !slices.ContainsFunc(list, func(l statics.Way) bool { return slices.Equal(l.Supports, w.Supports) }) {
			list = append(list, w)
		}
	}
	return list
}

// Joint is the force that a joint passes.
func (s *Step) Joint(joint *model.Item) statics.Force {
	if i, between := s.stance.assembly.joints[joint.ID]; between {
		return s.stance.step.Joint(i)
	}
	return statics.Force{}
}

// Along is the force that a joint puts on its second part in a direction, N.
func (s *Step) Along(m *Meet, direction r3.Vec) statics.Range {
	if i, between := s.stance.assembly.joints[m.Name]; between {
		return s.stance.step.Along(i, direction)
	}
	return statics.Range{}
}

// Link is the force in a link, N, pull positive: as equilibrium asks of a bar, and of a strut that a strap or
// stop keeps as short as it is drawn as its spring pushes there; inside what is tied up either way, as much as springs push.
func (s *Step) Link(link *model.Item) statics.Range {
	if p, pressed := s.setting.presses(link); pressed {
		return statics.Range{Nominal: -p.push, Least: -p.push - p.more, Most: -max(0, p.push-p.more), Case: "its spring as drawn"}
	}
	if end := s.Vehicle.Ends(link); len(end) > 0 && s.inside(end[0]) {
		push := s.pushedThrough(end[0])
		return statics.Range{Least: -push, Most: push, Case: "what springs push on what is tied up"}
	}
	if i, between := s.stance.assembly.links[link.ID]; between {
		return s.stance.step.Link(i)
	}
	if i, between := s.stance.assembly.limitOn[link.ID]; between {
		return s.stance.step.Tie(i)
	}
	return statics.Range{}
}

// Droops reports whether a strut of a step with loads is at full droop, straight down: it is there, nothing
// pushes it, and no strap or stop that is taut as drawn keeps it shorter.
func (s *Step) Droops(link *model.Item) bool {
	return !s.Undone(link) && s.Link(link).Nominal >= 0
}

// SpringsHold is how many times over its springs hold up what stands on them in a step with loads, each as
// soft as its ± lets it be; see statics. Leaves and torsion bars count as stiff.
func (s *Step) SpringsHold() (times float64, unknown *Unknown) {
	a := s.stance.assembly
	var rated []statics.Rated
	var missing []string
	for _, spring := range s.Vehicle.springs {
		if !spring.Coil() {
			continue
		}
		i, between := a.links[spring.Link.ID]
		if !between || s.Link(spring.Link).Nominal >= 0 {
			continue
		}
		rate, written := spring.Quantity("rate")
		if !written {
			missing = append(missing, spring.Path()+".rate")
		}
		rated = append(rated, statics.Rated{Link: i, Rate: rate.Value - rate.Tol})
	}
	if missing != nil {
		return 0, NotRecorded(missing...)
	}
	return s.stance.step.SpringsHold(rated), nil
}

// Shares reports whether equilibrium leaves open how much of its load a joint or link takes: it counts as
// stiffer than what it shares it with.
func (s *Step) Shares(item *model.Item) bool {
	a := s.stance.assembly
	if i, between := a.joints[item.ID]; between {
		return s.stance.step.Shares(i)
	}
	i, between := a.links[item.ID]
	return between && s.stance.step.Shares(len(a.joints)+i)
}

// Torque is what a torsion bar passes in a step with loads, N·m, worst over every case.
func (s *Step) Torque(spring *Spring) (float64, *Unknown) {
	m := s.Vehicle.meets[spring.Joint.ID]
	i, there := s.stance.assembly.joints[m.Name]
	if !there {
		return 0, nil
	}
	axis := s.Vehicle.twistAxis(m)
	if axis == nil {
		return 0, NotRecorded(m.Path("axis"))
	}
	about, _ := s.stance.step.Turns(i, *axis, r3.Vec{})
	return about, nil
}

// anchored is the torque of the torsion bar whose far end a joint holds, N·m about the axis of its arm, in a step
// with loads; zero where it holds none. Where that axis is not known, the bar itself asks for it.
func (s *Step) anchored(m *Meet) r3.Vec {
	bar := s.Vehicle.bar(func(spring *Spring) bool { return spring.Anchor != nil && spring.Anchor == m.Item })
	if bar == nil {
		return r3.Vec{}
	}
	torque, unknown := s.Torque(bar)
	if unknown != nil || torque == 0 {
		return r3.Vec{}
	}
	return r3.Scale(torque, r3.Unit(*s.Vehicle.twistAxis(s.Vehicle.meets[bar.Joint.ID])))
}

// onHook is what hangs on a hook by itself and has this joint in it; nil for other joints.
func (s *Step) onHook(m *Meet) *hung {
	i := slices.IndexFunc(s.stance.assembly.hung, func(h *hung) bool {
		return slices.Contains(h.parts, m.Parts[0]) && slices.Contains(h.parts, m.Parts[1])
	})
	if i < 0 {
		return nil
	}
	return s.stance.assembly.hung[i]
}

// Hang is how something hangs on a hook.
type Hang = statics.Hang

// Hangs is how parts hang on a hook by themselves in a step; on is false for a support that is no
// such hook.
func (s *Step) Hangs(support *model.Item) (h Hang, on bool, unknown *Unknown) {
	i := slices.IndexFunc(s.stance.assembly.hung, func(h *hung) bool { return h.item == support })
	if i < 0 {
		return h, false, nil
	}
	hangs := s.stance.assembly.hung[i]
	switch {
	case len(hangs.missing) > 0:
		return h, true, NotRecorded(slices.Clone(hangs.missing)...)
	case hangs.err != nil:
		return h, true, NotComputed("what hangs on %s: %v", support.ID, hangs.err)
	}
	at, _ := support.Vec("at")
	return hangs.model.Hang(Point(at)), true, nil
}

// Wrench is a force with its moment.
type Wrench = statics.Wrench

// Forces are the forces that a joint, link end or support of the step puts on what holds it,
// N, one a load case, where they act, each with the moment of a joint there, N·m, without what a torsion bar
// takes. on is false for what is not there in the step.
func (s *Step) Forces(name string) (at r3.Vec, list []Wrench, on bool) {
	alone := func(forces ...r3.Vec) []Wrench {
		for _, force := range forces {
			list = append(list, Wrench{Force: force})
		}
		return list
	}
	m := s.Vehicle.meets[name]
	switch {
	case m == nil:
		i := s.SupportIndex(name)
		if i < 0 {
			return at, nil, false
		}
		if h := s.hungOn(i); h != nil {
			return s.SupportAt(i), alone(r3.Vec{Z: h.weight.Most}), true
		}
		return s.SupportAt(i), alone(s.stance.step.Pushes(i)...), true
	case s.Off(m) || s.passesNothing(m):
		return at, nil, false
	case s.pushedThrough(m) > 0 && s.passes[m] == Pass{}:
		return at, nil, false // asked for
	case s.pushedThrough(m) > 0 && !m.Link: // nobody knows which way
		push, moment := s.pushedThrough(m), s.passes[m].Bend
		return Point(*m.At), []Wrench{{Force: r3.Vec{X: push}, More: moment}, {Force: r3.Vec{Y: push}, More: moment}, {Force: r3.Vec{Z: push}, More: moment}}, true
	case m.Link:
		r := s.Link(m.Item)
		along := r3.Unit(r3.Sub(Point(*s.Vehicle.Far(m).At), Point(*m.At)))
		return Point(*m.At), alone(r3.Scale(r.Most, along), r3.Scale(r.Least, along)), true
	}
	list = s.stance.step.Wrenches(s.stance.assembly.joints[name], s.Vehicle.barTakes(m))
	if torque := s.anchored(m); torque != (r3.Vec{}) {
		passed := list
		list = nil
		for _, w := range passed { // either way round: the worst of the torque may go with any case
			for _, moment := range []r3.Vec{r3.Add(w.Moment, torque), r3.Sub(w.Moment, torque)} {
				w.Moment = moment
				list = append(list, w)
			}
		}
	}
	return Point(*m.At), list, true
}

// Pass is what passes across and along the bolt of a joint, link end or support.
type Pass struct {
	Across, Along, Whole float64 // N
	Twist, Bend          float64 // N·m, about the bolt and at right angles to it
	Split                bool    // the direction of the bolt is known
	Hinge                bool    // the moment is that of a hinge, which its one pin takes
}

// split splits what a joint or link end passes. Where the direction of the bolt is
// not recorded, the whole may act across it and the whole along it, and its moment may
// twist and bend.
func (s *Step) split(m *Meet) Pass {
	if m.Link {
		r := s.Link(m.Item)
		whole := max(r.Most, -r.Least)
		if m.Axis == nil {
			return Pass{Across: whole, Along: whole, Whole: whole}
		}
		along := AlongBolt(m, s.Vehicle.Far(m))
		return Pass{Across: whole * math.Sqrt(1-along*along), Along: whole * along, Whole: whole, Split: true}
	}
	joint, bar := s.Joint(m.Item), s.Vehicle.barTakes(m)
	i := s.stance.assembly.joints[m.Name]
	p := Pass{Across: joint.Worst, Along: joint.Worst, Whole: joint.Worst, Twist: joint.Moment, Bend: joint.Moment, Hinge: m.motion == hinge}
	if bar != (r3.Vec{}) {
		_, p.Bend = s.stance.step.Turns(i, bar, bar)
		p.Twist = p.Bend
	}
	if m.Axis != nil {
		axis := Point(*m.Axis)
		along := s.Along(m, axis)
		p.Along = max(along.Most, -along.Least)
		p.Across = s.stance.step.Across(i, axis)
		p.Twist, p.Bend = s.stance.step.Turns(i, axis, bar)
		p.Split = true
	}
	torque := s.anchored(m)
	twist, bend := r3.Norm(torque), r3.Norm(torque)
	if m.Axis != nil {
		u := r3.Unit(Point(*m.Axis))
		twist, bend = math.Abs(r3.Dot(torque, u)), r3.Norm(r3.Cross(torque, u))
	}
	p.Twist, p.Bend = p.Twist+twist, p.Bend+bend
	return p
}

// AlongBolt is the cosine of the angle between a link and the bolt at one of its
// ends, whichever way the bolt points: 0 where the link stands square to it.
func AlongBolt(end, other *Meet) float64 {
	return min(1, math.Abs(r3.Cos(r3.Sub(Point(*other.At), Point(*end.At)), Point(*end.Axis))))
}
