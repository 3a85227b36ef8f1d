package vehicle

import (
	"reflect"
	"slices"

	"setdown/model"
)

// SameWith reports whether an item does in this mechanism what it did in another, in which more or less of
// it was found. Of what holds joints this is so but for what it is as a Holder: on that hang the steps,
// which are compared by themselves.
func (v *Vehicle) SameWith(item *model.Item, before *Vehicle, was *model.Item) bool {
	switch item.Kind.Name {
	case "fasteners", "stud_nuts", "spacers", "welds":
		return true
	case "joints":
		return v.comesApart(item) == before.comesApart(was)
	}
	return false
}

// Same reports whether a step puts on every item what it did before an answer. The design is the same, and
// what was found of all that the mechanism itself goes by (SameWith).
func (s *Step) Same(was *Step) bool {
	if s.setting.key() != was.setting.key() || len(s.setting.places) != len(was.setting.places) || s.stance.step != was.stance.step {
		return false
	}
	if s.Failure != was.Failure || s.stance.slides != was.stance.slides || !reflect.DeepEqual([]*Unknown{s.Unsolved, s.NoLoads, s.stance.unknown}, []*Unknown{was.Unsolved, was.NoLoads, was.stance.unknown}) {
		return false
	}
	for _, kind := range slices.Concat([]string{"joints", "links", "supports", "restraints"}, HolderKinds) {
		before := was.Vehicle.Build.Of(kind)
		for i, item := range s.Vehicle.Build.Of(kind) {
			if now, then := s.resting[item], was.resting[before[i]]; now != then && !reflect.DeepEqual(now, then) {
				return false
			}
		}
	}
	return true
}
