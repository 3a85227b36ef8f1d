package check

import (
	"slices"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/schema"
	"setdown/rules/verdict"
)

// taken lists what the check takes as so though no line of the file says it, or because
// somebody says that it is not there: each is said, so that nobody has to guess it.
func taken(b *model.Build) []verdict.Taken {
	found := map[verdict.TakenWhat][]string{}
	for _, kind := range schema.Kinds() {
		for _, item := range b.Of(kind.Name) {
			switch {
			case item.HoldsByName:
				found[verdict.HoldsByName] = append(found[verdict.HoldsByName], item.ID)
			case item.MiddleOfJoints:
				found[verdict.MiddleOfJoints] = append(found[verdict.MiddleOfJoints], item.ID)
			case len(item.TiedPlaces) > 0:
				found[verdict.TiesUpPlace] = append(found[verdict.TiesUpPlace], item.ID)
			}
			if unmeasured(item) {
				found[verdict.WithinTape] = append(found[verdict.WithinTape], item.ID)
			}
		}
	}
	var list []verdict.Taken
	for _, what := range []verdict.TakenWhat{verdict.HoldsByName, verdict.MiddleOfJoints, verdict.TiesUpPlace, verdict.WithinTape} {
		if items := found[what]; len(items) > 0 {
			list = append(list, verdict.Taken{What: what, Items: items})
		}
	}
	if b.Log != nil {
		for _, n := range b.Log.Notes {
			if n.Word == looks.Struck {
				list = append(list, verdict.Taken{What: verdict.NotThere, Items: []string{n.Item}, Why: n.Why, By: n.By, On: &n.Day})
			}
		}
	}
	return list
}

// unmeasured reports whether a place of an item is written without its ±.
func unmeasured(item *model.Item) bool {
	exact := func(v schema.Vec, known bool) bool { return known && slices.Max(v.Tol[:]) == 0 }
	switch item.Kind.Name {
	case "joints", "supports":
		return exact(item.Vec("at"))
	case "links":
		ends, ok := item.Record.Record("ends")
		return ok && slices.ContainsFunc(ends.Names(), func(end string) bool { return exact(ends.Vec(end + ".at")) })
	}
	return false
}
