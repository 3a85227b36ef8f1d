package vehicle

import (
	"slices"

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

	system *solvedSystem
	model  *statics.Model // of the system
	body   map[string]int // index of the body that a part belongs to
	joints map[string]int // index in the model, by joint id
	links  map[string]int // by link id
	parts  []*model.Item  // on the vehicle
	tied   map[string]bool
	hung   []*hung // what hangs on hooks beside it

	idle    []string       // anti-roll links of bars that are not drawn
	limits  []statics.Tie  // droop straps, stops and dampers
	limitOn map[string]int // place in limits, by the id of the restraint or link
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
	a := &assembly{body: map[string]int{}, joints: map[string]int{}, links: map[string]int{}, tied: map[string]bool{}, limitOn: map[string]int{}}
	v.vehicles[key] = a
	for _, p := range v.Build.Of("parts") {
		if !s.without(p.ID) {
			a.parts = append(a.parts, p)
		}
	}
	for _, h := range s.hooks {
		a.hung = append(a.hung, v.hang(h))
	}
	if len(a.parts) == 0 {
		a.missing = []string{"parts"}
		return a
	}
	masses, missing := massesOf(a.parts)
	for i, p := range a.parts {
		masses[i].Doubt = v.unwritten(p)
	}
	a.missing = missing
	units := v.Units
	sys := statics.System{Say: func(metres float64) string { return units.Say(quantity.Of(metres, quantity.Length, "mm")) }}
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
		a.limitsOf(s, &sys)
		sys.Eased = s.eased
		sys.Base = a.body[v.base]
	}
	if len(a.missing) > 0 {
		return a
	}
	a.system = v.Cache.system(sys, units)
	built, err := a.system.model()
	if err != nil {
		a.trouble = err.Error()
		return a
	}
	a.model = built
	return a
}

// massesOf reads the mass and centre of gravity of parts, in order, and says what is missing. A
// part that was looked at for more than damage, without saying whether it is on the vehicle, may or
// may not weigh on it.
func massesOf(parts []*model.Item) (all []statics.Mass, missing []string) {
	for _, p := range parts {
		w, lacks := Weight(p)
		missing = append(missing, lacks...)
		found, looked := p.Record.Record("found")
		if looked && !onlyDamage(p.Kind, found) {
			if _, known := found.Bool("fitted"); !known {
				missing = append(missing, p.Path()+".found.fitted")
			}
		}
		all = append(all, w)
	}
	return all, missing
}

// onlyDamage says whether of a part nothing was found but whether it is damaged, by whom and when.
func onlyDamage(kind *schema.Kind, found *schema.Record) bool {
	_, seen := found.Bool("damaged")
	return seen && !slices.ContainsFunc(found.Names(), func(name string) bool {
		return name != "damaged" && kind.Found().Field(name).Life != schema.OfLook
	})
}

// Weight reads the mass of a part and its centre of gravity, and says what of that is missing.
func Weight(part *model.Item) (w statics.Mass, missing []string) {
	m, weighed := part.Quantity("mass")
	cg, placed := part.Vec("cg")
	w = mass(part.ID, m, cg)
	if !weighed {
		missing = append(missing, part.Path()+".mass")
	}
	if !placed {
		missing = append(missing, part.Path()+".cg")
	}
	return w, missing
}

func mass(name string, m quantity.Quantity, cg schema.Vec) statics.Mass {
	return statics.Mass{Name: name, M: m.Value, Tol: m.Tol, CG: Point(cg), CGTol: statics.Vec{X: cg.Tol[0], Y: cg.Tol[1], Z: cg.Tol[2]}}
}

// unwritten is the ± along and across, m, of a centre of gravity for which nobody wrote one: whoever
// measured how far back it lies says nothing of how far aside.
func (v *Vehicle) unwritten(part *model.Item) (doubt [2]float64) {
	at, placed := part.Vec("cg")
	for k := range doubt {
		if placed && at.Tol[k] == 0 {
			doubt[k] = v.policy.CGWithin
		}
	}
	return doubt
}

// hang is what hangs on a hook, as one lump.
func (v *Vehicle) hang(on hook) *hung {
	h := &hung{hook: on}
	var parts []*model.Item
	for _, id := range on.parts {
		parts = append(parts, v.Build.Item(id))
	}
	masses, missing := massesOf(parts)
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

// idle reports whether a link is one of a bar between two wheels that is not drawn: the links of a bar pass
// +f on one side and -f on the other, so that both wheels go up together, and this one has nothing to push
// on. A bar that is drawn, a part of role other, makes them do so by itself, for it turns in its bearings.
func (v *Vehicle) idle(link *model.Item) bool {
	role, _ := link.Text("role")
	return role == "anti-roll" && !slices.ContainsFunc(v.Ends(link), func(end *Meet) bool {
		role, _ := v.Build.Item(end.Parts[0]).Text("role")
		return role == "other"
	})
}

// members adds the joints and links between bodies of the vehicle.
func (v *Vehicle) members(s setting, a *assembly, sys *statics.System) {
	for _, m := range v.Meets {
		from, to := a.body[m.Parts[0]], a.body[m.Parts[1]]
		spring, pressed := s.presses(m.Item)
		switch {
		case s.isOff(m) || from == to:
		case !m.Link:
			j := m.joint(from, to)
			if axis := v.twistAxis(m); v.twistedBy(m) != nil && axis != nil {
				switch m.motion {
				case turns:
					j.Kind, j.Axis = statics.Torsion, *axis
				case hinge:
					j.Kind = statics.Fixed
				}
			}
			a.joints[m.Name] = len(sys.Joints)
			sys.Joints = append(sys.Joints, j)
		case m != v.Ends(m.Item)[0]:
		case v.Damps(m.Item): // a limit
		case v.idle(m.Item):
			a.idle = append(a.idle, m.Item.ID)
		case pressed:
			l := v.link(m.Item, from, to)
			sys.Springs = append(sys.Springs, statics.Spring{Name: l.Name, A: l.A, B: l.B, PA: l.PA, PB: l.PB, Tol: l.Tol, Push: spring.push, More: spring.more})
		default:
			for _, held := range s.shared {
				if held.Link == m.Item {
					sys.Held = append(sys.Held, statics.Held{Link: len(sys.Links), Push: held.push, More: held.more})
				}
			}
			a.links[m.Item.ID] = len(sys.Links)
			sys.Links = append(sys.Links, v.link(m.Item, from, to))
		}
	}
}

// limitsOf adds the droop straps, stops and dampers between bodies of the vehicle.
func (a *assembly) limitsOf(s setting, sys *statics.System) {
	for _, t := range s.limits {
		if missing := t.unplaced(); missing != nil {
			a.missing = append(a.missing, missing...)
			continue
		}
		from, to := a.body[t.to], a.body[t.parts[0]]
		switch {
		case from == to || slices.Contains(s.notMissed(), t.item):
		case s.stiff:
			a.links[t.item.ID] = len(sys.Links)
			sys.Links = append(sys.Links, statics.Link{Name: t.item.ID, A: from, B: to, PA: Point(*t.end), PB: Point(*t.at)})
		default:
			a.limitOn[t.item.ID] = len(a.limits)
			a.limits = append(a.limits, statics.Tie{Name: t.item.ID, A: from, B: to, PA: Point(*t.end), PB: Point(*t.at), Pushes: t.pushes})
		}
	}
}
