package layouts

import (
	"slices"
	"strings"
)

// Members are alike members of a vehicle: the joints or links between parts of two
// roles, with the ids that 'new' gives them.
type Members struct {
	Sort     string // face, joint or link
	Roles    [2]string
	IDs      []string
	Brackets []string // the joints among them that stand in a bracket
}

// Of lists what a vehicle with those axles has to have, whatever its ids are.
func Of(front, rear *Layout) []Members {
	var all []Members
	add := func(sort, a, b, id string) *Members {
		roles := [2]string{min(a, b), max(a, b)}
		i := slices.IndexFunc(all, func(m Members) bool { return m.Sort == sort && m.Roles == roles })
		if i < 0 {
			i, all = len(all), append(all, Members{Sort: sort, Roles: roles})
		}
		all[i].IDs = append(all[i].IDs, id)
		return &all[i]
	}
	for _, a := range both(front, rear) {
		group := func(g Group, prefix string) {
			for _, j := range g.Joints {
				m := add(Sort(j.Value.Kind), a.role(j.Value.Between[0]), a.role(j.Value.Between[1]), prefix+j.Name)
				if slices.Contains(j.Value.HeldBy, "bracket") {
					m.Brackets = append(m.Brackets, prefix+j.Name)
				}
			}
			for _, l := range g.Links {
				name := l.Name
				if name == "steer" {
					name = map[string]string{"front": "track-rod", "rear": "toe-link"}[a.end]
				}
				add("link", a.role(l.Value.Ends[0].Value.On), a.role(l.Value.Ends[1].Value.On), prefix+name)
			}
		}
		group(a.Axle, a.letter+"-")
		group(a.Side, a.left)
		group(a.Side, a.right)
	}
	return all
}

// Sort is whether a joint of that kind lets its parts move.
func Sort(kind string) string {
	if kind == "bolted face" || kind == "welded face" {
		return "face"
	}
	return "joint"
}

// role is the role of a part that a layout names.
func (a axle) role(name string) string {
	switch name {
	case "frame":
		return "frame"
	case "engine":
		return "drivetrain"
	}
	for _, mark := range []string{"~", "left ", "right "} {
		name = strings.TrimPrefix(name, mark)
	}
	for _, parts := range []Ordered[string]{a.Side.Parts, a.Axle.Parts} {
		for _, p := range parts {
			if p.Name == name {
				return p.Value
			}
		}
	}
	panic("layouts: " + a.Name + " names the part " + name + ", which it has not")
}
