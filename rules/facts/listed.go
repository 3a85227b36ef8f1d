package facts

import (
	"fmt"
	"slices"
	"strings"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/vehicle"
)

// ofListed are the facts of what the file lists, held against what somebody counted at the
// vehicle. A file that was cut short, merged wrongly or begun without its brackets judges
// what it has as if that were all.
var ofListed = fixed(
	count("pieces", "bolts, stud nuts and welds that the file lists, in pieces", func(it item) int64 {
		var all int64
		for _, kind := range []string{"fasteners", "stud_nuts", "welds"} {
			for _, one := range it.mechanism().Build.Of(kind) {
				n, _ := it.piecesOf(one)
				all += n
			}
		}
		return all
	}),
	count("frame_nodes", "welds of the nodes of the frame that the file lists", func(it item) int64 {
		var all int64
		for _, weld := range it.mechanism().Build.Of("welds") {
			if what, stated := role.ifStated(it.of(weld)); stated && what == "frame node" {
				all++
			}
		}
		return all
	}),
	text("miscounted", "where the pieces counted at the vehicle are not those that the file lists, or were counted on a day to come, in words; 'nothing' when all agree", miscounted),
)

// piecesOf is how many pieces an entry of the file stands for; one where only a group says
// how many it has. It is not known where an entry that always has several does not say.
func (it item) piecesOf(one *model.Item) (n int64, known bool) {
	of := it.of(one)
	switch one.Kind.Name {
	case "wheels":
		return nutsOf.ifStated(of)
	case "spacers":
		return needed.ifStated(of)
	}
	if n, stated := needed.ifStated(of); stated {
		return n, true
	}
	return 1, true
}

// dayOfCount is the day on which somebody counted at a place.
func dayOfCount(b *model.Build, place string) (quantity.Date, bool) {
	for _, counted := range b.Listed {
		if counted.Place == place {
			return counted.Day, counted.Day != quantity.Date{}
		}
	}
	return quantity.Date{}, false
}

// addedSince is how many pieces of an entry the log says were added after a day.
func (it item) addedSince(one *model.Item, day quantity.Date) int64 {
	log := it.mechanism().Build.Log
	if log == nil {
		return 0
	}
	var all int64
	for _, n := range log.Notes {
		id, member := looks.SplitMember(n.Item)
		switch {
		case n.Word != looks.Added || id != one.ID || n.Day.Compare(day) <= 0:
		case member > 0:
			all++
		default:
			pieces, _ := it.piecesOf(one)
			all += pieces
		}
	}
	return all
}

// redrawnSince reports whether somebody, after a day, looked at an entry that was another
// thing then: a bolt of another size, a weld that held another joint.
func redrawnSince(b *model.Build, one *model.Item, day quantity.Date) bool {
	return b.Log != nil && slices.ContainsFunc(b.Log.Looks, func(look *looks.Look) bool {
		return look.Day.Compare(day) > 0 && slices.ContainsFunc(look.Of, func(t *looks.Target) bool {
			return t.ID == one.ID && !b.Things[one.ID].Fits(t.Print)
		})
	})
}

// miscounted holds the count at each place against the file. Each place is counted, and each
// kind of piece in it: a kind that somebody left out of the count he may have left out of the file.
func miscounted(it item) string {
	b := it.mechanism().Build
	type pieces struct {
		n       int64
		added   int64    // of these after the count, by the log
		redrawn []string // items that were another thing at a look after the count
		unknown []string // what would have to be recorded to know how many the file has
	}
	there := map[string]map[string]pieces{}
	places := slices.Clone(b.Places)
	for _, p := range schema.Pieces {
		for _, one := range b.Of(p.Kind) {
			place := it.mechanism().Place(one)
			if place == "" {
				place = model.Elsewhere
			}
			if there[place] == nil {
				there[place] = map[string]pieces{}
			}
			if !slices.Contains(places, place) {
				places = append(places, place)
			}
			sum := there[place][p.Name]
			if day, counted := dayOfCount(b, place); counted {
				sum.added += it.addedSince(one, day)
				if redrawnSince(b, one, day) {
					sum.redrawn = append(sum.redrawn, one.ID)
				}
			}
			if n, known := it.piecesOf(one); known {
				sum.n += n
			} else if p.Kind == "wheels" {
				sum.unknown = append(sum.unknown, one.Path()+".nuts")
			} else {
				sum.unknown = append(sum.unknown, one.Path()+".needed")
			}
			there[place][p.Name] = sum
		}
	}
	if len(places) == 0 {
		places = []string{model.Elsewhere}
	}
	var wrong, open []string
	for _, place := range places {
		i := slices.IndexFunc(b.Listed, func(l model.Listed) bool { return l.Place == place })
		if i < 0 {
			open = append(open, "listed."+place)
			continue
		}
		counted := b.Listed[i]
		if counted.Day == (quantity.Date{}) {
			open = append(open, "listed."+place+".day")
		} else if ago := counted.Day.DaysUntil(it.today()); ago < 0 {
			wrong = append(wrong, fmt.Sprintf("%s: counted on %s, a day to come", place, counted.Day))
		} else if float64(ago)*quantity.Day > countAge.of(it.policy()) {
			wrong = append(wrong, fmt.Sprintf("%s: counted %d days ago", place, ago))
		}
		if counted.By == "" {
			open = append(open, "listed."+place+".by")
		}
		for _, p := range schema.Pieces {
			n, stated := counted.Pieces[p.Name]
			listed := there[place][p.Name]
			switch {
			case !stated:
				open = append(open, "listed."+place+"."+p.Name)
			case len(listed.unknown) > 0:
				open = append(open, listed.unknown...)
			case n+listed.added != listed.n:
				since := ""
				if listed.added > 0 {
					since = fmt.Sprintf(" and %d added since", listed.added)
				}
				wrong = append(wrong, fmt.Sprintf("%s: %d %s counted%s, %d in the file", place, n, p.Name, since, listed.n))
			case len(listed.redrawn) > 0:
				wrong = append(wrong, fmt.Sprintf("%s: counted on %s, and drawn otherwise since: %s", place, counted.Day, strings.Join(listed.redrawn, ", ")))
			}
		}
	}
	for _, counted := range b.Listed {
		if !slices.Contains(places, counted.Place) && slices.ContainsFunc(schema.Pieces, func(p struct{ Name, Kind string }) bool { return counted.Pieces[p.Name] > 0 }) {
			wrong = append(wrong, counted.Place+": counted, but nothing of the file is there")
		}
	}
	switch {
	case len(wrong) > 0:
		return strings.Join(wrong, "; ") // what is wrong is said, whatever else was not counted
	case len(open) > 0:
		it.because(vehicle.NotRecorded(open...))
	}
	return "nothing"
}
