package facts

import (
	"maps"
	"slices"

	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/vehicle"
)

var ofMoves = []fact{
	text("id", "its id in the build file", item.id),
	// Only where somebody goes under it is it asked; what is written down counts beside it too.
	yesNo("worked_on", "nobody goes under it, but something that carries is slackened, or somebody pulls hard or hammers, while it stands so; false where nobody wrote it down", func(it item) bool {
		under, stated := peopleUnder.ifStated(it)
		return stated && !under && (loosens.seen(it) || hardPull.seen(it))
	}),
	measured("moment_age", quantity.Duration, "how long ago the first of what holds for a moment was seen: nobody under it, who gives the word, the floor swept; what was seen longer ago than it counts is not recorded, and neither is what nobody wrote the hour of", momentAge),
	yesNo("transfers", "its weight goes over to other supports on the way: it is lowered or lifted, or its kind says that it rests or rolls and its steps do not all stand on the same", func(it item) bool {
		kind := kindOfIt.of(it)
		return kind == "lower" || kind == "lift" || it.step().Move.Changes()
	}),
	count("step_count", "how many steps it has", func(it item) int64 { return int64(len(it.step().Move.Steps)) }),
}

// momentAge is how long ago the first look was at what holds for a moment, s; what is over
// is not recorded any more. A check of a whole day holds these looks against the last of
// them. A file of the first format has no hours.
func momentAge(it item) float64 {
	b, now := it.logged().Build, it.clock()
	seen := map[string]looks.Moment{} // by the path of the fact
	for id, path := range map[string]string{it.id(): it.Path, "site": "site"} {
		if state := b.Standing[id]; state != nil {
			for name, fact := range state.Group {
				if b.Things[id].Kind.Found().Field(name).Life == schema.Moment {
					seen[path+".found."+name] = it.set.seen(fact.Moment)
				}
			}
		}
	}
	for _, at := range seen {
		if !it.clock().Timed && at.Timed && at.Day == now.Day {
			now.Clock, now.Timed = max(now.Clock, at.Clock), true
		}
	}
	longest := 0
	for _, path := range slices.Sorted(maps.Keys(seen)) {
		at := seen[path]
		ago := quantity.Day * at.Day.DaysUntil(now.Day)
		if now.Timed {
			ago += now.Clock - at.Clock
		}
		if ago < 0 || float64(ago) > momentLimit.of(it.policy()) {
			it.because(vehicle.NotRecorded(path))
		}
		longest = max(longest, ago)
	}
	return float64(longest)
}
