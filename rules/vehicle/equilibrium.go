package vehicle

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/statics"
)

// assembly is the vehicle as statics sees it in one setting: which parts are on
// it and which are tied together. Steps that differ only in their supports share
// it.
type assembly struct {
	missing []string // paths of the build file that nobody recorded and statics needs
	trouble string   // why there is no model although nothing is missing
	rigid   bool     // joints are unknown: the vehicle is taken as one lump, for its reactions alone
	members []string // what is not recorded of joints and links, so that it is rigid

	model  *statics.Model
	body   map[string]int // index of the body that a part belongs to
	joints map[string]int // index in the model, by joint id
	links  map[string]int // by link id
	parts  []*model.Item  // on the vehicle
	tied   map[string]bool
	hung   []*hung // what hangs on hooks beside it

	rests  []statics.Tie  // droop straps and stops
	restOn map[string]int // place in rests, by restraint id
}

// hung is what hangs on a hook by itself.
type hung struct {
	hook
	missing []string       // what nobody recorded of it
	model   *statics.Model // nil where something is missing or err says why
	err     error
	weight  statics.Range // N
}

// assemble builds the vehicle for one setting, or takes it from an earlier step.
func (v *Vehicle) assemble(s setting) *assembly {
	v.mu.Lock()
	defer v.mu.Unlock()
	key := s.key()
	if a, done := v.vehicles[key]; done {
		return a
	}
	a := &assembly{body: map[string]int{}, joints: map[string]int{}, links: map[string]int{}, tied: map[string]bool{}, restOn: map[string]int{}}
	v.vehicles[key] = a
	for _, p := range v.Build.Of("parts") {
		if !s.without(p.ID) {
			a.parts = append(a.parts, p)
		}
	}
	for _, h := range s.hooks {
		a.hung = append(a.hung, v.hang(h, s))
	}
	if len(a.parts) == 0 {
		a.missing = []string{"parts"}
		return a
	}
	masses, missing := s.masses(a.parts)
	a.missing = missing
	sys := statics.System{Say: func(metres float64) string { return v.Units.Say(quantity.Of(metres, quantity.Length, "mm")) }}
	lead := a.leads(s)
	a.members = v.missingMembers(s, lead)
	if len(v.Meets) == 0 || len(a.members) > 0 {
		a.rigid = true
		lump := statics.Body{Name: "the vehicle", Masses: masses}
		for _, p := range a.parts {
			a.body[p.ID] = 0
		}
		sys.Bodies = []statics.Body{lump}
	} else {
		a.lumps(lead, masses, &sys)
		v.members(s, a, &sys)
		a.restsOf(s)
		sys.Base = a.body[v.base]
	}
	if len(a.missing) > 0 {
		return a
	}
	built, err := statics.New(sys)
	if err != nil {
		a.trouble = err.Error()
		return a
	}
	a.model = built
	return a
}

// masses reads the mass and centre of gravity of parts, in order, and says what is missing. A
// part that was looked at without saying whether it is on the vehicle may or may not weigh on
// it. What is tied up and has no centre of gravity in the file weighs where its strap hangs.
func (s setting) masses(parts []*model.Item) (all []statics.Mass, missing []string) {
	for _, p := range parts {
		m, okM := p.Quantity("mass")
		c, okC := p.Vec("cg")
		w := mass(p.ID, m, c)
		if at, tied := s.hangsFrom(p.ID); tied && !okC {
			w.CG, okC = at, true
		}
		if !okM {
			missing = append(missing, p.Path()+".mass")
		}
		if !okC {
			missing = append(missing, p.Path()+".cg")
		}
		if _, looked := p.Record.Record("found"); looked {
			if _, known := p.Bool("found.fitted"); !known {
				missing = append(missing, p.Path()+".found.fitted")
			}
		}
		all = append(all, w)
	}
	return all, missing
}

// hang is what hangs on a hook, as one lump.
func (v *Vehicle) hang(on hook, s setting) *hung {
	h := &hung{hook: on}
	var parts []*model.Item
	for _, id := range on.parts {
		parts = append(parts, v.Build.Item(id))
	}
	masses, missing := s.masses(parts)
	if _, placed := on.item.Vec("at"); !placed {
		missing = append(missing, on.item.Path()+".at")
	}
	if h.missing = missing; len(missing) > 0 {
		return h
	}
	for _, w := range masses {
		h.weight.Nominal += w.M * Gravity
		h.weight.Least += max(0, w.M-w.Tol) * Gravity
		h.weight.Most += (w.M + w.Tol) * Gravity
	}
	h.model, h.err = statics.New(statics.System{Bodies: []statics.Body{{Name: on.parts[0], Masses: masses}}})
	return h
}

// Rest is the pull of a droop strap, or the push of a stop, in a solved step, N; on is false for
// other restraints.
func (s *Step) Rest(restraint *model.Item) (newtons float64, on bool) {
	i, on := s.stance.assembly.restOn[restraint.ID]
	if !on || !s.Solved() {
		return 0, on
	}
	return s.stance.step.Tie(i).Most, on
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

func mass(name string, m quantity.Quantity, cg schema.Vec) statics.Mass {
	return statics.Mass{Name: name, M: m.Value, Tol: m.Tol, CG: Point(cg), CGTol: statics.Vec{X: cg.Tol[0], Y: cg.Tol[1], Z: cg.Tol[2]}}
}

// tape is how exactly a point is known whose ± nobody wrote, m: measured once with a tape
// from a mark on the frame.
const tape = 3e-3

// within is the largest ± of the coordinates of a point, m.
func within(v schema.Vec) float64 {
	if tol := slices.Max(v.Tol[:]); tol > 0 {
		return tol
	}
	return tape
}

// missingMembers lists what statics needs to know of the joints and links and
// nobody recorded. What lies inside one lump passes nothing.
func (v *Vehicle) missingMembers(s setting, lead map[string]string) []string {
	var missing []string
	for _, m := range v.Meets {
		if s.isOff(m) || lead[m.Parts[0]] == lead[m.Parts[1]] {
			continue
		}
		if m.At == nil {
			missing = append(missing, m.Path("at"))
		}
		if m.axial() && m.Axis == nil {
			missing = append(missing, m.Path("axis"))
		}
	}
	return missing
}

// leads names for each part the one that stands for its body: several are one where a
// restraint holds them together.
func (a *assembly) leads(s setting) map[string]string {
	lead := map[string]string{}
	for _, p := range a.parts {
		lead[p.ID] = p.ID
	}
	find := func(id string) string {
		for lead[id] != id {
			id = lead[id]
		}
		return id
	}
	for _, t := range s.ties {
		for _, p := range t.parts {
			a.tied[p] = true
			lead[find(p)] = find(t.to)
		}
	}
	roots := map[string]string{}
	for _, p := range a.parts {
		roots[p.ID] = find(p.ID)
	}
	return roots
}

// lumps makes the bodies.
func (a *assembly) lumps(lead map[string]string, masses []statics.Mass, sys *statics.System) {
	for k, p := range a.parts {
		root := lead[p.ID]
		if _, made := a.body[root]; !made {
			a.body[root] = len(sys.Bodies)
			sys.Bodies = append(sys.Bodies, statics.Body{Name: root})
		}
		i := a.body[root]
		a.body[p.ID] = i
		sys.Bodies[i].Masses = append(sys.Bodies[i].Masses, masses[k])
	}
}

// kinds are those of statics.
var kinds = map[motion]statics.JointKind{turns: statics.Ball, hinge: statics.Pivot, slides: statics.Slider, rack: statics.Rack, face: statics.Fixed}

// joint is a joint for statics between two of its bodies. Where nobody wrote where it is it lies
// inside a lump and passes nothing.
func (m *Meet) joint(a, b int) statics.Joint {
	j := statics.Joint{Name: m.Name, Kind: kinds[m.motion], A: a, B: b}
	if m.At != nil {
		j.At, j.Tol = Point(*m.At), within(*m.At)
	}
	if may, _ := m.Item.Bool("swings"); m.Axis != nil && (m.axial() || may) {
		j.Axis, j.Swings = Point(*m.Axis), may
	}
	return j
}

// link is a link for statics, by its ends.
func (v *Vehicle) link(item *model.Item, a, b int) statics.Link {
	ends := v.Ends(item)
	return statics.Link{
		Name: item.ID, A: a, B: b, PA: Point(*ends[0].At), PB: Point(*ends[1].At),
		Tol: max(within(*ends[0].At), within(*ends[1].At)),
	}
}

// members adds the joints and links between bodies of the vehicle.
func (v *Vehicle) members(s setting, a *assembly, sys *statics.System) {
	for _, m := range v.Meets {
		from, to := a.body[m.Parts[0]], a.body[m.Parts[1]]
		switch {
		case s.isOff(m) || from == to:
		case !m.Link:
			j := m.joint(from, to)
			if axis := v.twistAxis(m); v.twistedBy(m) != nil && axis != nil && r3.Norm(*axis) > 0 {
				switch m.motion {
				case turns:
					j.Kind, j.Axis = statics.Torsion, *axis
				case hinge:
					j.Kind = statics.Fixed
				}
			}
			a.joints[m.Name] = len(sys.Joints)
			sys.Joints = append(sys.Joints, j)
		case m == v.Ends(m.Item)[0]:
			a.links[m.Item.ID] = len(sys.Links)
			sys.Links = append(sys.Links, v.link(m.Item, from, to))
		}
	}
}

// restsOf adds the droop straps and stops between bodies of the vehicle.
func (a *assembly) restsOf(s setting) {
	for _, t := range s.rests {
		if t.at == nil || t.end == nil {
			for name, at := range map[string]*schema.Vec{"at": t.at, "to_at": t.end} {
				if at == nil {
					a.missing = append(a.missing, t.item.Path()+"."+name)
				}
			}
			continue
		}
		kind, _ := t.item.Text("kind")
		from, to := a.body[t.to], a.body[t.parts[0]]
		if from != to {
			a.restOn[t.item.ID] = len(a.rests)
			a.rests = append(a.rests, statics.Tie{Name: t.item.ID, A: from, B: to, PA: Point(*t.end), PB: Point(*t.at), Pushes: kind == "stop"})
		}
	}
}

// hung reports how a piece comes loose that hangs on straps and on the joints it keeps, and how hard
// a strap pulls, N. The rest of the vehicle is held still for it.
func (s *Step) hung(p *piece, on tie) (loose string, pull float64, err error) {
	const rest, hangs = 0, 1
	bodies := []statics.Body{{Name: "the rest"}, {Name: p.parts[0]}}
	centre, heavier := Point(*on.end), 0.0
	masses, _ := s.setting.masses(s.Parts)
	for _, w := range masses {
		if slices.Contains(p.parts, w.Name) {
			bodies[hangs].Masses, heavier = append(bodies[hangs].Masses, w), heavier+10*w.M
		}
	}
	bodies[rest].Masses = []statics.Mass{{Name: "the rest", M: heavier, CG: centre}}
	sys := statics.System{Bodies: bodies}
	side := func(part string) int {
		if slices.Contains(p.parts, part) {
			return hangs
		}
		return rest
	}
	for _, m := range p.kept {
		if m.Link {
			ends := s.Vehicle.Ends(m.Item)
			sys.Links = append(sys.Links, s.Vehicle.link(m.Item, side(ends[0].Parts[0]), side(ends[1].Parts[0])))
		} else {
			sys.Joints = append(sys.Joints, m.joint(side(m.Parts[0]), side(m.Parts[1])))
		}
	}
	stance := statics.Stance{Attitude: s.stance.Attitude}
	stance.Pitch, stance.Roll = s.Tilt()
	for _, corner := range []r3.Vec{{X: 5, Y: 5}, {X: 5, Y: -5}, {X: -5}} {
		stance.Supports = append(stance.Supports, statics.Support{Name: "the rest", Body: rest, At: r3.Add(centre, corner)})
	}
	which := 0
	for i, t := range p.ties {
		stance.Ties = append(stance.Ties, statics.Tie{Name: t.item.ID, A: rest, B: hangs, PA: Point(*t.end), PB: Point(*t.at)})
		if t.item == on.item {
			which = i
		}
	}
	built, err := statics.New(sys)
	if err != nil {
		return err.Error(), 0, nil
	}
	step, err := built.Stand(stance)
	switch {
	case err != nil:
		return "", 0, err
	case step.Failure != nil:
		return step.Failure.Words, 0, nil
	}
	return "", step.Tie(which).Most, nil
}

// levelReads is the ± of an angle that somebody read off a level, rad: one of a pocket instrument on
// a welded frame.
const levelReads = 0.3 * math.Pi / 180

// attitude is how a step stands by what a level on the frame said, else by what the step and the
// floor say, where the heights of its supports say nothing else; and the push.
func (v *Vehicle) attitude(step *schema.Record) statics.Attitude {
	pitch, _ := step.Quantity("pitch")
	roll, _ := step.Quantity("roll")
	at := statics.Attitude{Pitch: pitch.Value, Roll: roll.Value, Push: v.policy.SidePush}
	if level, read := step.Record("found"); read {
		pitch, _ = level.Quantity("pitch")
		roll, _ = level.Quantity("roll")
		at.Pitch, at.Roll = pitch.Value, roll.Value
		at.Slope = math.Hypot(cmp.Or(pitch.Tol, levelReads), cmp.Or(roll.Tol, levelReads))
	} else if fall, ok := v.Build.Site.Quantity("found.slope"); ok {
		at.Slope = math.Atan(fall.Value)
	}
	return at
}

// situation is that of a step. Somebody works in the state in which a move ends, in every step of
// a rest, and where people are under it.
func (v *Vehicle) situation(s *Step) situation {
	in := situation{Attitude: v.attitude(s.Record)}
	if level, read := s.Record.Record("found"); read {
		in.level = true
		for _, way := range []string{"pitch", "roll"} {
			if _, known := level.Quantity(way); !known {
				in.unread = append(in.unread, s.Move.Path()+".steps["+s.Name+"].found."+way)
			}
		}
	}
	kind, _ := s.Move.Text("kind")
	under, _ := s.Move.Bool("people_under")
	in.works = kind == "rest" || under || s.Index == len(s.Move.Steps)-1
	in.lowers = kind == "lower"
	if in.rolls = kind == "roll"; in.rolls {
		in.Push = v.policy.SidePushRoll
	}
	return in
}

// pullThrough is the pull of a person who works on a vehicle, as a share of its weight; nothing
// where it is pushed harder anyway.
func (v *Vehicle) pullThrough(a *assembly, push float64) float64 {
	_, kg := a.model.Centre()
	if pull := min(v.policy.Pull/(kg*Gravity), v.policy.PullShare); pull > push {
		return pull
	}
	return 0
}

// height is the height of a support above a level floor; nil where nobody set one, and where a level
// says how the vehicle stands. A wheel stands on the floor unless it says what lies under it.
func (in situation) height(support *model.Item) *statics.Height {
	kind, _ := support.Text("kind")
	h, set := support.Quantity("height")
	switch {
	case in.level:
		return nil
	case kind == "jack" || kind == "crane":
		return nil // it moves
	case set && h.Tol == 0:
		return &statics.Height{Z: h.Value, Tol: tape}
	case set:
		return &statics.Height{Z: h.Value, Tol: h.Tol}
	case kind == "wheel":
		return &statics.Height{}
	}
	return nil
}

// The friction by which a support holds a sideways push, as a share of its load. A foot on
// concrete holds more than a saddle (0.3), so that the saddle decides.
const (
	saddleHolds = 0.2 // smooth or painted steel on steel, dry: the low end of handbook tables
	oilyHolds   = 0.1 // oil or grease between
	tyreHolds   = 0.3 // rubber on wet concrete
	jackHolds   = 0.1 // a trolley jack across its own length
)

// A stand without a base in the file counts with this one, m, up to this height, m.
const (
	usualBase = 0.2
	lowStand  = 0.5
)

// threeFeet is the distance from the middle of three feet to the edge between two of them, as
// a share of the distance of these; of four feet it is a half.
const threeFeet = 0.29

// FootHolds is the sideways push at the head of a stand, crib or trestle that tips it over an
// edge of its own feet, as a share of its load; what is not written leaves it unknown. Feet that
// nobody counted are three.
func FootHolds(support *model.Item) (share float64, unknown *Unknown) {
	height, set := support.Quantity("height")
	if !set {
		return 0, NotRecorded(support.Path() + ".height")
	}
	base, written := support.Quantity("base")
	if !written {
		base, written = support.Quantity("block_length")
	}
	switch feet, counted := support.Count("feet"); {
	case !written && height.Value > lowStand:
		return 0, NotRecorded(support.Path() + ".base")
	case !written:
		return usualBase * threeFeet / height.Value, nil
	case counted && feet != 3:
		return base.Value / 2 / height.Value, nil
	}
	return base.Value * threeFeet / height.Value, nil
}

// contact is how a support takes a sideways push. What is asked for by a rule of its own and
// nobody wrote, a lock or a chock, is taken as good here; what is written as bad is not.
func (v *Vehicle) contact(support *model.Item, s situation) *statics.Contact {
	bad := func(item *model.Item, field string) bool {
		good, written := item.Bool(field)
		return written && !good
	}
	c := &statics.Contact{Mu: saddleHolds}
	if oily, _ := support.Bool("found.oily"); oily {
		c.Mu = oilyHolds
	}
	kind, _ := support.Text("kind")
	dolly, _ := support.Text("dolly")
	switch kind {
	case "wheel", "dolly", "table":
		switch castors := v.Build.Item(dolly); {
		case s.rolls:
			return nil // it takes what pushes it along, and tips before it slides
		case kind == "wheel":
			c.Mu, c.Floor = tyreHolds, true
			if bad(support, "found.chocked") {
				c.Rolls = r3.Vec{X: 1}
			}
		case castors != nil && bad(castors, "found.held"):
			c.Mu = 0
		}
	case "jack":
		along, written := support.Text("along")
		c.Mu = min(c.Mu, jackHolds)
		switch along {
		case "x":
			c.Rolls = r3.Vec{X: 1}
		case "y":
			c.Rolls = r3.Vec{Y: 1}
		}
		if !written || s.works {
			c.Mu = 0
		}
	case "hoist pad":
		if bad(support, "found.locked") {
			c.Mu = 0
		}
	case "crane":
		c.Mu = 0
	default:
		if share, unknown := FootHolds(support); unknown == nil {
			c.Mu = min(c.Mu, share)
		}
	}
	return c
}

// spins is the bearing on which the wheel on a support turns freely; nil of everything else. Chocks
// hold it as a brake would; they are asked for by a rule of their own. In a roll nobody has to.
func (v *Vehicle) spins(support *model.Item, in situation) *statics.Spin {
	under, _ := support.Text("under")
	for _, m := range v.Meets {
		may, _ := Lookup[bool](m.Item, "swings")
		if may && m.motion == hinge && slices.Contains(m.Parts[:], under) && m.At != nil && m.Axis != nil && OfKind("wheel")(support) {
			chocked, written := support.Bool("found.chocked")
			return &statics.Spin{At: Point(*m.At), Along: Point(*m.Axis), Held: in.rolls || chocked || !written}
		}
	}
	return nil
}

// situation is what an assembly stands in: how it stands, and what is done while it does.
type situation struct {
	statics.Attitude
	works  bool     // somebody works on it
	rolls  bool     // it is rolled
	lowers bool     // it is let down
	level  bool     // a level on the frame says how it stands, whatever the heights of its supports
	unread []string // what of that nobody wrote down
}

// stance is an assembly on its supports.
type stance struct {
	assembly *assembly
	situation
	supports []*model.Item     // those of the vehicle, then the hooks on which parts hang by themselves
	places   []statics.Support // of the vehicle
	step     *statics.Step     // nil when nothing was computed
	unknown  *Unknown          // why step is nil
	failure  string            // why the vehicle does not stand
	slides   string            // how it slides or rolls away under the push; its loads are those without

	once    sync.Once
	located []statics.Located // of every joint, then of every link

	pullOnce sync.Once
	pulls    Pulls
}

// stand puts an assembly on supports.
func (v *Vehicle) stand(a *assembly, ids []string, in situation) *stance {
	s := &stance{assembly: a, situation: in}
	missing := slices.Concat(a.missing, in.unread)
	var hooks []*model.Item
	for _, h := range a.hung {
		if slices.Contains(ids, h.item.ID) {
			hooks, missing = append(hooks, h.item), append(missing, h.missing...)
		}
	}
	for _, id := range ids {
		item := v.Build.Item(id)
		if slices.Contains(hooks, item) {
			continue
		}
		s.supports = append(s.supports, item)
		at, ok := item.Vec("at")
		if !ok {
			missing = append(missing, item.Path()+".at")
		}
		under, ok := item.Text("under")
		i, on := a.body[under]
		switch {
		case !ok && !a.rigid:
			missing = append(missing, item.Path()+".under")
		case ok && !on:
			s.failure = fmt.Sprintf("%s bears on %s, which is off the vehicle in this step", id, under)
		}
		s.places = append(s.places, statics.Support{Name: id, Body: i, At: Point(at), Tol: within(at), Height: in.height(item), Spins: v.spins(item, in), Contact: v.contact(item, in)})
	}
	s.supports = append(s.supports, hooks...)
	switch {
	case len(missing) > 0:
		s.unknown = NotRecorded(missing...)
	case s.failure != "":
		s.unknown = NotComputed("%s", s.failure)
	case a.trouble != "":
		s.unknown = NotComputed("%s", a.trouble)
	}
	if s.unknown != nil {
		return s
	}
	if s.works {
		s.Pull = v.pullThrough(a, s.Push)
	}
	on := func() (*statics.Step, error) {
		return a.model.Stand(statics.Stance{Supports: s.places, Ties: a.rests, Scrubs: v.scrubs(s), Attitude: s.Attitude})
	}
	sliding := func(step *statics.Step, err error) bool {
		return err == nil && step.Failure != nil && step.Failure.Needs > 0
	}
	step, err := on()
	if sliding(step, err) {
		// What it would carry if it did not slide is still of use.
		s.slides, s.Pull = step.Failure.Words, 0
		step, err = on()
	}
	if sliding(step, err) {
		for i := range s.places {
			s.places[i].Contact = nil
		}
		step, err = on()
	}
	if err != nil {
		s.unknown = NotComputed("%v", err)
		return s
	}
	s.step = step
	if step.Failure != nil {
		s.failure = step.Failure.Words
	}
	return s
}

// oneEnd is how far apart along the vehicle the two tyres of one end may be, m.
const oneEnd = 0.3

// scrubs are the pairs of tyres that hold each other across while a vehicle is let down on its
// springs: they want to move apart as these give. On rigid bars nothing gives.
func (v *Vehicle) scrubs(s *stance) []statics.Scrub {
	sprung := slices.ContainsFunc(v.springs, func(spring *Spring) bool {
		if spring.Link == nil {
			return false
		}
		_, on := s.assembly.links[spring.Link.ID]
		return on
	})
	if !s.lowers || !sprung {
		return nil
	}
	var pairs []statics.Scrub
	for i, left := range s.places {
		for k, right := range s.places {
			across := r3.Sub(left.At, right.At)
			if OfKind("wheel")(s.supports[i]) && OfKind("wheel")(s.supports[k]) && math.Abs(across.X) < oneEnd && across.Y > math.Abs(across.X) {
				pairs = append(pairs, statics.Scrub{Left: i, Right: k, Mu: tyreHolds})
			}
		}
	}
	return pairs
}

// solved reports whether reactions are at hand: equilibrium was found.
func (s *stance) solved() bool { return s.unknown == nil && s.failure == "" }

// Gravity is the standard acceleration of free fall, m/s².
const Gravity = statics.Gravity

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

// Weight is the weight of the vehicle in a solved step, N.
func (s *Step) Weight() float64 { return s.stance.step.Weight() }

// Edge is one edge of the supports in plan.
type Edge = statics.Edge

// Stability is how far the vehicle is from tipping; nil where the supports span nothing, or
// nothing was computed.
func (s *Step) Stability() *statics.Stability {
	if s.Unsolved != nil {
		return nil
	}
	return s.stance.step.Stability()
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
// unknown while nobody wrote down which way a jack rolls that might keep it.
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
	return s.stance.slides, nil
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

// Located says how surely the points hold what passes at the joints and links of a step in
// place.
type Located struct {
	Gain   float64 // N for each newton of push from the side; the most of any member that is asked about
	GainIn string  // the joint or link
	Change float64 // share of the weight by which the ± of the points may change a load by more than itself
	In     string  // the joint or link with that load
	Points string  // the points that matter most for it, each with what it changes
	Rough  bool    // one of these is known no better than to roughly
}

// roughly is the ± above which a point is measured again before anything is concluded from
// it, m.
const roughly = 5e-3

// alike is by how much, as a share, one figure must exceed another to be the worst: of two
// that are the same on both sides the first in the file is named.
const alike = 1e-9

// pointName is the name in the file of a point that statics names: an end of a link has its
// own.
func (v *Vehicle) pointName(name string) string {
	link, end, of := strings.Cut(name, "/")
	if ends := v.ends[link]; of {
		return ends[strings.Index("ab", end)].Name
	}
	return name
}

// Located looks at the joints and links of a solved step that carry the vehicle, or at those
// that only hold up what hangs.
func (s *Step) Located(vehicle bool) Located {
	var l Located
	members := s.stance.members()
	look := func(item *model.Item, at statics.Located) {
		r := s.resting[item]
		if r.Carries == "nothing" || (r.Carries == "vehicle" || r.NoCarries != nil) != vehicle {
			return
		}
		if at.Gain > l.Gain*(1+alike) {
			l.Gain, l.GainIn = at.Gain, item.ID
		}
		share := at.Change / s.Weight()
		if at.Change <= at.Load || share <= l.Change*(1+alike) {
			return
		}
		l.Change, l.In, l.Rough = share, item.ID, false
		var words []string
		for _, p := range at.Points {
			words = append(words, s.Vehicle.pointName(p.Name))
			l.Rough = l.Rough || p.Tol > roughly
		}
		l.Points = strings.Join(words, ", ")
	}
	joints := s.stance.assembly.joints
	for _, item := range s.Vehicle.Build.Of("joints") {
		if i, on := joints[item.ID]; on {
			look(item, members[i])
		}
	}
	for _, item := range s.Vehicle.Build.Of("links") {
		if i, on := s.stance.assembly.links[item.ID]; on {
			look(item, members[len(joints)+i])
		}
	}
	return l
}

// members says how surely every joint, then every link is located, worked out once.
func (s *stance) members() []statics.Located {
	s.once.Do(func() { s.located = s.step.Members() })
	return s.located
}

// Swinging is what may turn freely about a bearing, and how far the plumb line of its centre of gravity
// passes beside the axis, m.
type Swinging struct {
	Parts  []string
	Beside float64
}

// Swinging lists what may turn freely in a solved step and bears on no support.
func (s *Step) Swinging() []Swinging {
	var list []Swinging
	for _, w := range s.stance.step.Swinging() {
		out := Swinging{Beside: w.Beside}
		for _, p := range s.Parts {
			if slices.Contains(w.Bodies, s.stance.assembly.body[p.ID]) {
				out.Parts = append(out.Parts, p.ID)
			}
		}
		list = append(list, out)
	}
	return list
}

// Centre is the centre of gravity of the vehicle with the ± of each coordinate, m, and its
// mass, kg.
func (s *Step) Centre() (centre, spread r3.Vec, kg float64) {
	centre, kg = s.stance.assembly.model.Centre()
	return centre, s.stance.assembly.model.CentreSpread(), kg
}

// SupportAt is where the i-th support bears.
func (s *Step) SupportAt(i int) r3.Vec {
	at, _ := s.Supports[i].Vec("at")
	return Point(at)
}

// Along is the force that a joint puts on its second part in a direction, N.
func (s *Step) Along(m *Meet, direction r3.Vec) statics.Range {
	if i, between := s.stance.assembly.joints[m.Name]; between {
		return s.stance.step.Along(i, direction)
	}
	return statics.Range{}
}

// Link is the force in a link, N, pull positive.
func (s *Step) Link(link *model.Item) statics.Range {
	if i, between := s.stance.assembly.links[link.ID]; between {
		return s.stance.step.Link(i)
	}
	return statics.Range{}
}

// Joint is the force that a joint passes.
func (s *Step) Joint(joint *model.Item) statics.Force {
	if i, between := s.stance.assembly.joints[joint.ID]; between {
		return s.stance.step.Joint(i)
	}
	return statics.Force{}
}

// Forces are the forces that a joint, link end or support of the step puts on what holds it,
// N, one a load case, where they act, and the worst moment of a joint, N·m. on is false for
// what is not there in the step.
func (s *Step) Forces(name string) (at r3.Vec, vectors []r3.Vec, moment float64, on bool) {
	m := s.Vehicle.meets[name]
	switch {
	case m == nil:
		i := s.SupportIndex(name)
		if i < 0 {
			return at, nil, 0, false
		}
		if h := s.hungOn(i); h != nil {
			return s.SupportAt(i), []r3.Vec{{Z: h.weight.Most}}, 0, true
		}
		return s.SupportAt(i), s.stance.step.Pushes(i), 0, true
	case s.Off(m) || s.inside(m):
		return at, nil, 0, false
	case m.Link:
		r := s.Link(m.Item)
		along := r3.Unit(r3.Sub(Point(*s.Vehicle.Far(m).At), Point(*m.At)))
		return Point(*m.At), []r3.Vec{r3.Scale(r.Most, along), r3.Scale(r.Least, along)}, 0, true
	}
	moment = s.Joint(m.Item).Moment
	if s.Vehicle.twistedBy(m) != nil {
		moment = 0 // the bar's anchor takes it
	}
	return Point(*m.At), s.stance.step.Forces(s.stance.assembly.joints[name]), moment, true
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
	joint := s.Joint(m.Item)
	p := Pass{Across: joint.Worst, Along: joint.Worst, Whole: joint.Worst, Twist: joint.Moment, Bend: joint.Moment, Hinge: m.motion == hinge}
	if m.Axis != nil {
		axis, i := Point(*m.Axis), s.stance.assembly.joints[m.Name]
		along := s.Along(m, axis)
		p.Along = max(along.Most, -along.Least)
		p.Across = s.stance.step.Across(i, axis)
		p.Twist, p.Bend = s.stance.step.Turns(i, axis)
		p.Split = true
	}
	if s.Vehicle.twistedBy(m) != nil {
		p.Twist, p.Bend = 0, 0 // the bar passes it and no bolt
	}
	return p
}

// AlongBolt is the cosine of the angle between a link and the bolt at one of its
// ends, whichever way the bolt points: 0 where the link stands square to it.
func AlongBolt(end, other *Meet) float64 {
	return min(1, math.Abs(r3.Cos(r3.Sub(Point(*other.At), Point(*end.At)), Point(*end.Axis))))
}

// end is what happens when something is taken away: one of LetsGo, and the parts that go
// in words.
type end struct{ fate, goes string }

// letGo takes joints, links and supports away, all at once.
func (s *Step) letGo(items ...*model.Item) (end, error) {
	var r statics.Removal
	for _, item := range items {
		switch item.Kind.Name {
		case "joints":
			if i, between := s.stance.assembly.joints[item.ID]; between {
				r.Joints = append(r.Joints, i)
			}
		case "links":
			if i, between := s.stance.assembly.links[item.ID]; between {
				r.Links = append(r.Links, i)
			}
		case "restraints":
			r.Supports = append(r.Supports, len(s.stance.places)+s.stance.assembly.restOn[item.ID])
		default:
			i := s.SupportIndex(item.ID)
			if h := s.hungOn(i); h != nil {
				return end{"drops", fmt.Sprintf("parts of %s kg come loose: %s falls off its hook", quantity.Format(math.Round(h.weight.Most/Gravity)), h.parts[0])}, nil
			}
			r.Supports = append(r.Supports, i)
		}
	}
	out, err := s.stance.step.LetGo(r)
	e := end{fate: out.Fate.String()}
	switch out.Fate {
	case statics.Drops:
		e.goes = fmt.Sprintf("%s: %s", out.Words, s.Vehicle.Units.Say(quantity.Of(out.Mass, quantity.Mass, "kg")))
	case statics.Rocks:
		e.goes = "the vehicle rocks: " + out.Words
	case statics.Falls:
		e.goes = "the vehicle falls: " + out.Words
	}
	return e, err
}

// Lean is the nose-up and left-side-up angle at which places on the floor put the vehicle,
// rad; ok is false for fewer than three.
func Lean(floor []r3.Vec) (nose, left float64, ok bool) { return statics.Lean(floor) }

// WorstCastor is the most that one castor of a dolly carries, N, over every set of three that
// can stand, the vehicle and its dolly taken as one rigid lump, pushed as the step is.
func (s *Step) WorstCastor(dolly *model.Item) (float64, *Unknown) {
	a := s.stance.assembly
	missing := slices.Clone(a.missing)
	castors, ok := dolly.List("castors_at")
	if !ok {
		missing = append(missing, dolly.Path()+".castors_at")
	}
	cg, ok := dolly.Vec("cg")
	if !ok {
		missing = append(missing, dolly.Path()+".cg")
	}
	if len(missing) > 0 {
		return 0, NotRecorded(missing...)
	}
	own, _ := dolly.Quantity("mass")
	masses, _ := s.setting.masses(s.Parts)
	lump := statics.Body{Name: "vehicle and dolly", Masses: masses}
	slices.SortFunc(lump.Masses, func(a, b statics.Mass) int { return cmp.Compare(a.Name, b.Name) })
	lump.Masses = append(lump.Masses, mass(dolly.ID, own, cg))
	var places []statics.Support
	for _, c := range castors {
		places = append(places, statics.Support{Name: "castor", At: Point(c.V.(schema.Vec))})
	}
	built, err := statics.New(statics.System{Bodies: []statics.Body{lump}})
	if err != nil {
		return 0, NotComputed("%v", err)
	}
	step, err := built.Stand(statics.Stance{Supports: places, Attitude: s.stance.Attitude})
	switch {
	case err != nil:
		return 0, NotComputed("%v", err)
	case step.Failure != nil:
		return 0, NotComputed("%s", step.Failure.Words)
	}
	worst := 0.0
	for i := range places {
		worst = max(worst, step.Reaction(i).Most)
	}
	return worst, nil
}
