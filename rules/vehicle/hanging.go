package vehicle

import (
	"slices"

	"setdown/model"
)

// hook is a crane's hook on which parts hang that nothing else joins to the vehicle any more.
type hook struct {
	item  *model.Item // the support
	parts []string
}

// hooks finds what hangs on the hooks of a step by itself: the part that a hook bears and what is
// joined to it, where no joint that is still done up leads to the part that the vehicle is built
// on. What hangs so is no part of the vehicle.
func (v *Vehicle) hooks(supports []string, s setting) []hook {
	var list []hook
	for _, id := range supports {
		item := v.Build.Item(id)
		under, named := item.Text("under")
		if !OfKind("crane")(item) || !named || slices.Contains(s.off, under) {
			continue
		}
		parts := []string{under}
		for i := 0; i < len(parts); i++ {
			for _, m := range v.Meets {
				k := slices.Index(m.Parts[:], parts[i])
				if k >= 0 && !s.isOff(m) && !v.undone(m) && !slices.Contains(parts, m.Parts[1-k]) {
					parts = append(parts, m.Parts[1-k])
				}
			}
		}
		if !slices.Contains(parts, v.base) {
			slices.Sort(parts)
			list = append(list, hook{item, parts})
		}
	}
	return list
}

// undone reports whether a joint, or the link with this end, is known to be undone: the link is
// out, or every bolt and nut of a joint is, and no weld holds it.
func (v *Vehicle) undone(m *Meet) bool {
	ends := []*Meet{m}
	if m.Link {
		if fitted, known := m.Item.Bool("found.fitted"); known && !fitted {
			return true
		}
		ends = v.Ends(m.Item)
	}
	return slices.ContainsFunc(ends, func(e *Meet) bool {
		bolts := 0
		for _, h := range v.holds[e.Name] {
			switch h.Kind.Name {
			case "fasteners", "stud_nuts":
				if bolts++; len(h.Missing) > 0 || h.Short < h.Needed() {
					return false
				}
			case "welds":
				if m.Kind == "welded face" && h.Made != "none" {
					return false
				}
				if m.Kind == "welded face" {
					bolts++
				}
			}
		}
		return bolts > 0
	})
}
