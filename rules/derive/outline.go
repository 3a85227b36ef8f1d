package derive

import (
	"math"
	"slices"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/facts"
	"setdown/rules/verdict"
)

// outline is the vehicle of the step as lines and points, for pictures. It is nil
// for a file without places.
func (f *floor) outline() *verdict.Outline {
	out := &verdict.Outline{}
	points := map[string][]verdict.Point{}
	for _, m := range f.meets {
		if m.at == nil || f.setting.isOff(m) {
			continue
		}
		points[m.parts[0]] = append(points[m.parts[0]], place(*m.at))
		if !m.link {
			points[m.parts[1]] = append(points[m.parts[1]], place(*m.at))
		}
	}
	for i, s := range f.items {
		if under, ok := s.Text("under"); ok {
			if at, ok := f.items[i].Vec("at"); ok {
				points[under] = append(points[under], place(at))
			}
		}
	}
	hanging := f.hanging()
	for _, p := range f.parts {
		role, _ := p.Text("role")
		part := verdict.OutlinePart{ID: p.ID, Role: role, Place: f.Place(p), Points: points[p.ID], Hangs: hanging[p.ID], Tied: f.tied[p.ID]}
		if cg, ok := p.Vec("cg"); ok {
			c := place(cg)
			part.CG = &c
		}
		out.Parts = append(out.Parts, part)
	}
	for _, item := range f.build.Of("joints") {
		f.outlineJoint(item, out)
	}
	for _, item := range f.build.Of("links") {
		f.outlineMember(item, out)
	}
	if len(out.Joints)+len(out.Members) == 0 && !slices.ContainsFunc(out.Parts, func(p verdict.OutlinePart) bool { return p.CG != nil }) {
		return nil
	}
	return out
}

func place(v schema.Vec) verdict.Point {
	return verdict.Point{X: v.X * 1e3, Y: v.Y * 1e3, Z: v.Z * 1e3, Tol: [3]float64{v.Tol[0] * 1e3, v.Tol[1] * 1e3, v.Tol[2] * 1e3}}
}

// hanging names the parts whose joints or links drop only parts when they go.
func (f *floor) hanging() map[string]bool {
	hanging := map[string]bool{}
	for _, m := range f.meets {
		o := f.object(m.item)
		if fate, unknown := o.Get("lets_go"); unknown == nil && fate == "drops" {
			for _, p := range m.parts {
				hanging[p] = hanging[p] || p != f.base()
			}
		}
	}
	return hanging
}

func (f *floor) outlineJoint(item *model.Item, out *verdict.Outline) {
	m := f.byName[item.ID]
	if m.at == nil || f.setting.isOff(m) {
		return
	}
	kind, _ := item.Text("kind")
	j := verdict.OutlineJoint{ID: item.ID, Place: f.Place(item), Kind: kind, At: place(*m.at), Parts: m.parts[:], State: f.state(m.name)}
	j.Force, j.Use = f.shown(f.object(item))
	out.Joints = append(out.Joints, j)
}

func (f *floor) outlineMember(item *model.Item, out *verdict.Outline) {
	ends := f.ends(item)
	if ends[0].at == nil || ends[1].at == nil || f.setting.isOff(ends[0]) {
		return
	}
	role, _ := item.Text("role")
	m := verdict.OutlineMember{ID: item.ID, Place: f.Place(item), Role: role, From: place(*ends[0].at), To: place(*ends[1].at), State: f.memberState(item, ends)}
	_, m.Use = f.shown(f.object(item))
	if f.none == nil {
		if i, on := f.assembly.links[item.ID]; on {
			r := f.step.Link(i)
			m.Force = &verdict.Figure{Value: math.Round(r.Nominal), Unit: "N"}
		}
	}
	out.Members = append(out.Members, m)
}

func (f *floor) shown(o *facts.Object) (force *verdict.Figure, use *float64) {
	if q, unknown := o.Quantity("load"); unknown == nil {
		force = &verdict.Figure{Value: math.Round(q.Value), Unit: "N"}
	}
	if q, unknown := o.Quantity("utilisation"); unknown == nil {
		use = &q.Value
	}
	return force, use
}

// memberState is the worst of a link and its two ends.
func (f *floor) memberState(item *model.Item, ends []*meet) string {
	states := []string{f.state(ends[0].name), f.state(ends[1].name)}
	fitted, known := item.Bool("found.fitted")
	switch {
	case !known:
		states = append(states, "not recorded")
	case !fitted:
		states = append(states, "missing")
	}
	if nuts, ok := look[string](item, "found.jam_nuts"); ok && nuts != "tight" {
		states = append(states, "loose")
	}
	return gravest(states)
}

// state is the worst of what holds a joint or link end.
func (f *floor) state(name string) string {
	states := []string{"sound"}
	if len(f.holders[name]) == 0 {
		states = append(states, "not recorded")
	}
	for _, h := range f.holders[name] {
		states = append(states, holderState(h))
	}
	return gravest(states)
}

func holderState(h *model.Item) string {
	if h.Kind.Name == "welds" {
		made, known := h.Text("found.made")
		switch {
		case !known:
			return "not recorded"
		case made == "none":
			return "missing"
		case made != "full":
			return "tack"
		}
		return "sound"
	}
	if h.Kind.Name == "spacers" {
		missing := countMissing(h, "needed", "found.fitted")
		switch {
		case missing.Unknown != nil:
			return "not recorded"
		case missing.V.(int64) > 0:
			return "missing"
		}
		return "sound"
	}
	fitted, known := look[bool](h, "found.fitted")
	if h.Kind.Name == "wheels" {
		missing := countMissing(h, "nuts", "found.nuts")
		known = missing.Unknown == nil
		fitted = known && missing.V.(int64) == 0
	}
	_, torqued := look[quantity.Quantity](h, "found.torqued")
	word, said := look[string](h, "found.tightness")
	switch {
	case !known:
		return "not recorded"
	case !fitted:
		return "missing"
	case said && (word == "loose" || word == "finger"):
		return "loose"
	case !said && !torqued:
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
