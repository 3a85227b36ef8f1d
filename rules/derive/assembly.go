package derive

import (
	"fmt"
	"slices"

	"setdown/model"
	"setdown/model/schema"
	"setdown/model/statics"
	"setdown/rules/facts"
)

// assembly is the vehicle as statics sees it in one setting: which parts are on
// it and which are tied together. Steps that differ only in their supports share
// it.
type assembly struct {
	missing []string // paths of the build file that nobody recorded and statics needs
	trouble string   // why there is no model although nothing is missing
	rigid   bool     // joints are unknown: the vehicle is taken as one lump, for its reactions alone

	model  *statics.Model
	bodies []statics.Body
	body   map[string]int // index of the body that a part belongs to
	joints map[string]int // index in the model, by joint id
	links  map[string]int // by link id
	parts  []*model.Item  // on the vehicle
	tied   map[string]bool
}

// assemble builds the vehicle for one setting, or takes it from an earlier step.
func (d *Deriver) assemble(s setting) *assembly {
	d.mu.Lock()
	defer d.mu.Unlock()
	key := s.key()
	if a, done := d.models[key]; done {
		return a
	}
	a := &assembly{body: map[string]int{}, joints: map[string]int{}, links: map[string]int{}, tied: map[string]bool{}}
	d.models[key] = a
	for _, p := range d.build.Of("parts") {
		if !slices.Contains(s.off, p.ID) {
			a.parts = append(a.parts, p)
		}
	}
	if len(a.parts) == 0 {
		a.missing = []string{"parts"}
		return a
	}
	masses := a.masses()
	sys := statics.System{}
	memberMissing := d.missingMembers(s)
	if len(d.meets) == 0 || len(memberMissing) > 0 {
		a.rigid = true
		lump := statics.Body{Name: "the vehicle"}
		for _, p := range a.parts {
			a.body[p.ID] = 0
			lump.Masses = append(lump.Masses, masses[p.ID])
		}
		sys.Bodies = []statics.Body{lump}
	} else {
		a.lumps(s, masses, &sys)
		d.members(s, a, &sys)
		sys.Base = a.body[d.base()]
	}
	a.bodies = sys.Bodies
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

// masses reads the mass and centre of gravity of every part, and notes what is
// missing. A part that was looked at without saying whether it is on the vehicle
// may or may not weigh on it.
func (a *assembly) masses() map[string]statics.Mass {
	all := map[string]statics.Mass{}
	for _, p := range a.parts {
		m, okM := p.Quantity("mass")
		c, okC := p.Vec("cg")
		if !okM {
			a.missing = append(a.missing, p.Path()+".mass")
		}
		if !okC {
			a.missing = append(a.missing, p.Path()+".cg")
		}
		if _, looked := p.Record.Record("found"); looked {
			if _, known := p.Bool("found.fitted"); !known {
				a.missing = append(a.missing, p.Path()+".found.fitted")
			}
		}
		all[p.ID] = statics.Mass{
			Name: p.ID, M: m.Value, Tol: m.Tol,
			CG: point(c), CGTol: statics.Vec{X: c.Tol[0], Y: c.Tol[1], Z: c.Tol[2]},
		}
	}
	return all
}

func point(v schema.Vec) statics.Vec { return statics.Vec{X: v.X, Y: v.Y, Z: v.Z} }

// missingMembers lists what statics needs to know of the joints and links and
// nobody recorded.
func (d *Deriver) missingMembers(s setting) []string {
	var missing []string
	for _, m := range d.meets {
		if s.isOff(m) {
			continue
		}
		if m.at == nil {
			missing = append(missing, m.path("at"))
		}
		if _, ok := d.jointKind(m); !m.link && !ok {
			missing = append(missing, m.path("axis"))
		}
	}
	return missing
}

// lumps makes one body of each part, or of several that a restraint holds
// together.
func (a *assembly) lumps(s setting, masses map[string]statics.Mass, sys *statics.System) {
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
	for _, p := range a.parts {
		root := find(p.ID)
		if _, made := a.body[root]; !made {
			a.body[root] = len(sys.Bodies)
			sys.Bodies = append(sys.Bodies, statics.Body{Name: root})
		}
		i := a.body[root]
		a.body[p.ID] = i
		sys.Bodies[i].Masses = append(sys.Bodies[i].Masses, masses[p.ID])
	}
}

// members adds the joints and links between parts that are on the vehicle.
func (d *Deriver) members(s setting, a *assembly, sys *statics.System) {
	for _, m := range d.meets {
		if s.isOff(m) || m.link {
			continue
		}
		kind, _ := d.jointKind(m)
		j := statics.Joint{Name: m.name, Kind: kind, A: a.body[m.parts[0]], B: a.body[m.parts[1]], At: point(*m.at)}
		if kind == statics.Pivot {
			j.Axis = point(*m.axis)
		}
		a.joints[m.name] = len(sys.Joints)
		sys.Joints = append(sys.Joints, j)
	}
	for _, item := range d.build.Of("links") {
		ends := d.ends(item)
		if s.isOff(ends[0]) {
			continue
		}
		a.links[item.ID] = len(sys.Links)
		sys.Links = append(sys.Links, statics.Link{
			Name: item.ID, A: a.body[ends[0].parts[0]], B: a.body[ends[1].parts[0]], PA: point(*ends[0].at), PB: point(*ends[1].at),
		})
	}
}

// stand is one step on its supports.
type stand struct {
	*assembly
	attitude statics.Attitude
	items    []*model.Item // the supports, in the order of the step
	step     *statics.Step // nil when nothing was computed
	places   []statics.Support
	unknown  *facts.Fact // why step is nil
	failure  string      // why the vehicle does not stand
}

// stand puts an assembly on the supports of a step.
func (d *Deriver) stand(a *assembly, ids []string, attitude statics.Attitude) *stand {
	s := &stand{assembly: a, attitude: attitude}
	missing := slices.Clone(a.missing)
	for _, id := range ids {
		item := d.build.Item(id)
		s.items = append(s.items, item)
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
		s.places = append(s.places, statics.Support{Name: id, Body: i, At: point(at)})
	}
	switch {
	case len(missing) > 0:
		f := facts.NotRecorded(missing...)
		s.unknown = &f
	case s.failure != "":
		f := facts.NotComputed("%s", s.failure)
		s.unknown = &f
	case a.trouble != "":
		f := facts.NotComputed("%s", a.trouble)
		s.unknown = &f
	}
	if s.unknown != nil {
		return s
	}
	step, err := a.model.Step(s.places, attitude)
	if err != nil {
		f := facts.NotComputed("%v", err)
		s.unknown = &f
		return s
	}
	s.step = step
	if step.Failure != nil {
		s.failure = step.Failure.Words
	}
	return s
}

// solved reports whether loads are at hand: equilibrium was found.
func (s *stand) solved() bool { return s.unknown == nil && s.failure == "" }

// noLoads says why there are no loads, for the facts that would need them. The
// forces in members are unknown as well when the vehicle was taken as one lump.
func (d *Deriver) noLoads(s *stand, setting setting) *facts.Fact {
	switch {
	case s.unknown != nil:
		return s.unknown
	case s.failure != "":
		f := facts.NotComputed("%s%s", NoEquilibrium, s.failure)
		return &f
	case s.rigid && len(d.meets) == 0:
		f := facts.NotRecorded("joints")
		return &f
	case s.rigid:
		f := facts.NotRecorded(d.missingMembers(setting)...)
		return &f
	}
	return nil
}
