package vehicle

import (
	"slices"

	"setdown/model"
)

// PutOn is a part that was found not to be on the vehicle and that a step puts on, and what goes in with
// it: the bolts, nuts, spacers and wheels that fasten it to the rest, and nothing else, cannot be in before.
type PutOn struct {
	Part string
	By   []*model.Item
}

// PutsOn lists what the step puts on. What goes in with it carries nothing that was looked at: the
// part hangs on a hook, or in hands, until it is in.
func (s *Step) PutsOn() []PutOn { return s.putsOn }

// putOn finds what a step puts on, with no more resting on its bolts than the part itself: where a support
// bears on it, or on what it is joined to short of the part that the vehicle is built on, and where people work
// under it, they have to be in.
func (s *Step) putOn() (list []PutOn) {
	if under, _ := s.Move.Bool("people_under"); under {
		return nil
	}
	for _, part := range s.setting.fresh {
		wasOff := slices.Contains(s.Move.Steps[s.Index-1].Texts("off"), part)
		if !wasOff || s.setting.without(part) || s.borneBy(part) {
			continue
		}
		on := PutOn{Part: part}
		for _, kind := range []string{"fasteners", "stud_nuts", "spacers", "wheels"} {
			for _, item := range s.Vehicle.Build.Of(kind) {
				if s.holdsNoMore(item, part) {
					on.By = append(on.By, item)
				}
			}
		}
		if len(on.By) > 0 {
			list = append(list, on)
		}
	}
	return list
}

// borneBy reports whether a support of the step, no crane, bears on a part or on what hangs together with it.
func (s *Step) borneBy(part string) bool {
	if s.Vehicle.Checklist() {
		return s.mayBear(part)
	}
	together := spread(part, func(p string) []string {
		if p == s.Vehicle.base {
			return nil
		}
		return s.Vehicle.neighbours(p, s.setting, false)
	})
	return slices.ContainsFunc(s.Texts("supports"), func(id string) bool {
		support := s.Vehicle.Build.Item(id)
		under, _ := support.Text("under")
		return under != s.Vehicle.base && slices.Contains(together, under) && !OfKind("crane")(support)
	})
}

// holdsNoMore reports whether something holds a part to others and nothing else; a checklist says what it fastens.
func (s *Step) holdsNoMore(item *model.Item, part string) bool {
	if fastened, named := Lookup[string](item, "part"); named {
		return fastened == part
	}
	holds := item.Texts("holds")
	return len(holds) > 0 && !slices.ContainsFunc(holds, func(name string) bool {
		m := s.Vehicle.meets[name]
		return m == nil || m.Link || !slices.Contains(m.Parts[:], part)
	})
}

// goesIn reports whether an item goes in with what the step puts on.
func (s *Step) goesIn(item *model.Item) bool {
	return slices.ContainsFunc(s.putsOn, func(on PutOn) bool { return slices.Contains(on.By, item) })
}
