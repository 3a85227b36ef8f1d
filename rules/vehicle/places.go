package vehicle

import (
	"cmp"
	"slices"

	"setdown/model"
)

// Place finds the place of an item on the walk round: its own, else that of the part it belongs to,
// a node of the frame that of what the vehicle is built on; "" where there is none.
func (v *Vehicle) Place(item *model.Item) string {
	if p := v.Build.Place(item); p != "" {
		return p
	}
	for _, name := range v.Touches(item) {
		if part := v.Build.Item(name); part != nil {
			if p, ok := part.Text("place"); ok {
				return p
			}
		}
	}
	return ""
}

// Touches names the parts an item touches, those that are not the part the
// vehicle is built on first: a bracket of the front left corner belongs there,
// not to the frame.
func (v *Vehicle) Touches(item *model.Item) []string {
	var names []string
	named := func(field string) {
		if name, ok := item.Text(field); ok {
			names = append(names, name)
		}
	}
	switch item.Kind.Name {
	case "joints":
		names = item.Texts("between")
	case "welds":
		if role, _ := item.Text("role"); role == "frame node" {
			names = append(names, v.base)
		}
	case "links":
		for _, m := range v.Ends(item) {
			names = append(names, m.Parts[:]...)
		}
	case "supports":
		named("under")
	case "wheels", "brakes":
		named("on")
	case "restraints":
		names = item.Texts("ties")
	}
	if slices.Contains(HolderKinds, item.Kind.Name) {
		for _, held := range item.Texts("holds") {
			if m := v.meets[held]; m != nil {
				names = append(names, m.Parts[:]...)
			} else if s := v.Build.Item(held); s != nil { // a support, or a link as a whole
				names = append(names, v.Touches(s)...)
			}
		}
	}
	last := func(name string) int {
		if name == v.base {
			return 1
		}
		return 0
	}
	slices.SortStableFunc(names, func(a, b string) int { return cmp.Compare(last(a), last(b)) })
	return names
}
