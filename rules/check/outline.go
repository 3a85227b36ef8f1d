package check

import (
	"math"
	"slices"

	"setdown/model"
	"setdown/rules/facts"
	"setdown/rules/vehicle"
	"setdown/rules/verdict"
)

// outline is the vehicle of the step as lines and points, for pictures. It is nil
// for a file without places.
func (s *step) outline() *verdict.Outline {
	out := &verdict.Outline{}
	points := map[string][]verdict.Point{}
	for _, m := range s.now.Vehicle.Meets {
		if m.At == nil || s.now.Off(m) {
			continue
		}
		points[m.Parts[0]] = append(points[m.Parts[0]], place(*m.At))
		if !m.Link {
			points[m.Parts[1]] = append(points[m.Parts[1]], place(*m.At))
		}
	}
	for _, support := range s.now.Supports {
		under, on := support.Text("under")
		if at, placed := support.Vec("at"); on && placed {
			points[under] = append(points[under], place(at))
		}
	}
	hanging := s.hanging()
	for _, p := range s.now.Parts {
		o := s.facts.Of(p)
		part := verdict.OutlinePart{ID: p.ID, Role: o.Text("role"), Place: o.Text("at_place"), Points: points[p.ID], Hangs: hanging[p.ID], Tied: s.now.Tied(p.ID)}
		if cg, ok := p.Vec("cg"); ok {
			c := place(cg)
			part.CG = &c
		}
		out.Parts = append(out.Parts, part)
	}
	for _, item := range s.now.Vehicle.Build.Of("joints") {
		s.outlineJoint(item, out)
	}
	for _, item := range s.now.Vehicle.Build.Of("links") {
		s.outlineMember(item, out)
	}
	s.wheels(out)
	if len(out.Joints)+len(out.Members) == 0 && !slices.ContainsFunc(out.Parts, func(p verdict.OutlinePart) bool { return p.CG != nil }) {
		return nil
	}
	return out
}

// wheels lists the wheels of which it is known where they touch the floor.
func (s *step) wheels(out *verdict.Outline) {
	for _, support := range s.now.Vehicle.Build.Of("supports") {
		kind, _ := support.Text("kind")
		under, _ := support.Text("under")
		tread, placed := support.Vec("at")
		wheel := s.now.Vehicle.Build.Item(under)
		if kind != "wheel" || wheel == nil || !placed {
			continue
		}
		if role, _ := wheel.Text("role"); role != "wheel" {
			continue
		}
		centre, known := wheel.Vec("cg")
		if !known || centre.Z <= tread.Z {
			continue
		}
		out.Wheels = append(out.Wheels, verdict.OutlineWheel{
			ID: wheel.ID, Place: s.now.Vehicle.Place(wheel), At: place(centre),
			Radius: verdict.Figure{Value: math.Round((centre.Z - tread.Z) * 1e3), Unit: "mm"}, Off: !slices.Contains(s.now.Parts, wheel),
		})
	}
}

// hanging names the parts whose joints or links drop only parts when they go.
func (s *step) hanging() map[string]bool {
	hanging := map[string]bool{}
	for _, m := range s.now.Vehicle.Meets {
		if s.facts.Of(m.Item).Text("lets_go") == "drops" {
			for _, p := range m.Parts {
				hanging[p] = hanging[p] || p != s.now.Vehicle.Base()
			}
		}
	}
	return hanging
}

func (s *step) outlineJoint(item *model.Item, out *verdict.Outline) {
	m, o := s.now.Vehicle.Meet(item.ID), s.facts.Of(item)
	if m.At == nil || s.now.Off(m) {
		return
	}
	j := verdict.OutlineJoint{ID: item.ID, Place: o.Text("at_place"), Kind: m.Kind, At: place(*m.At), Parts: m.Parts[:], State: gravest(s.states(m))}
	if q, unknown := o.Quantity("load"); unknown == nil {
		j.Force = &verdict.Figure{Value: math.Round(q.Value), Unit: "N"}
	}
	j.Use = useOf(o)
	out.Joints = append(out.Joints, j)
}

func (s *step) outlineMember(item *model.Item, out *verdict.Outline) {
	ends, o := s.now.Vehicle.Ends(item), s.facts.Of(item)
	if len(ends) == 0 || ends[0].At == nil || ends[1].At == nil || s.now.Off(ends[0]) {
		return
	}
	m := verdict.OutlineMember{
		ID: item.ID, Place: o.Text("at_place"), Role: o.Text("role"), From: place(*ends[0].At), To: place(*ends[1].At),
		State: gravest(s.memberStates(item, ends)), Use: useOf(o),
	}
	if s.now.NoLoads == nil {
		m.Force = &verdict.Figure{Value: math.Round(s.now.Link(item).Nominal), Unit: "N"}
	}
	out.Members = append(out.Members, m)
}

func useOf(o *facts.Object) *float64 {
	q, unknown := o.Quantity("utilisation")
	if unknown != nil {
		return nil
	}
	return &q.Value
}

// memberStates are those of a link and its two ends.
func (s *step) memberStates(item *model.Item, ends []*vehicle.Meet) []string {
	states := slices.Concat(s.states(ends[0]), s.states(ends[1]))
	fitted, known := item.Bool("found.fitted")
	switch {
	case !known:
		states = append(states, "not recorded")
	case !fitted:
		states = append(states, "missing")
	}
	if nuts, ok := item.Text("found.jam_nuts"); ok && nuts != "tight" {
		states = append(states, "loose")
	}
	return states
}

// states are those of what holds a joint or link end.
func (s *step) states(m *vehicle.Meet) []string {
	holders := s.now.Vehicle.Holders(m.Name)
	if len(holders) == 0 {
		return []string{"not recorded"}
	}
	var states []string
	for _, h := range holders {
		states = append(states, stateOf(h))
	}
	return states
}

func stateOf(h *vehicle.Holder) string {
	tightens := h.Kind.Name != "welds" && h.Kind.Name != "spacers"
	switch {
	case len(h.Missing) > 0:
		return "not recorded"
	case h.Short > 0 || h.Made == "none":
		return "missing"
	case h.Made == "tack" || h.Made == "part":
		return "tack"
	case h.Tight == "loose" || h.Tight == "finger":
		return "loose"
	case h.Tight == "" && tightens:
		return "not recorded"
	}
	return "sound"
}

func gravest(states []string) string {
	for _, s := range verdict.States {
		if slices.Contains(states, s) {
			return s
		}
	}
	return "sound"
}
