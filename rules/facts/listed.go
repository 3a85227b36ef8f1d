package facts

import (
	"cmp"
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
	count("frame_nodes", "entries of welds of the nodes of the frame that the file lists", func(it item) int64 { return it.ofFrame("welds") }),
	// Who lists the nodes need not say that they are welded: there silence passes.
	yesNo("frame_unbolted", "the file says that its frame is bolted together and lists no bolt that does so", func(it item) bool {
		how, stated := frameMade.ifStated(it)
		return stated && how == "bolted" && it.ofFrame("fasteners") == 0
	}),
	text("bare_places", "in a checklist, the places with wheels, or that straps tie up, of which no bolt of a pivot, clamp or U-bolt is listed, nor a weld of an adapter or perch: nothing is said of what joins them to the frame; 'nothing' when there is none", barePlaces),
	text("miscounted", "where the pieces counted at the vehicle are not those that the file lists, or were counted on a day to come, in words; 'nothing' when all agree", miscounted),
)

// ofFrame is how many entries of a kind the file lists that hold the frame itself together.
func (it item) ofFrame(kind string) (all int64) {
	for _, one := range it.mechanism().Build.Of(kind) {
		if it.of(one).isStated(schema.OfFrame) {
			all++
		}
	}
	return all
}

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

// countAt is what somebody counted at a place.
func countAt(b *model.Build, place string) (model.Listed, bool) {
	i := slices.IndexFunc(b.Listed, func(l model.Listed) bool { return l.Place == place })
	if i < 0 {
		return model.Listed{}, false
	}
	return b.Listed[i], true
}

// addedSince is how many pieces of an entry the log says were added after a day.
func (it item) addedSince(one *model.Item, day quantity.Date) int64 {
	log := it.logged().Build.Log
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

// pieces are those of one sort that the file lists at one place.
type pieces struct {
	n       int64
	added   int64    // of these after the count, by the log
	redrawn []string // items that were another thing at a look after the count
	of      []string // the items
	unknown []string // what would have to be recorded to know how many the file has
}

// add adds an entry of the file, held against the log since the day of a count, if there was one.
func (p *pieces) add(it item, one *model.Item, since quantity.Date) {
	if since != (quantity.Date{}) {
		p.added += it.addedSince(one, since)
		if redrawnSince(it.logged().Build, one, since) {
			p.redrawn = append(p.redrawn, one.ID)
		}
	}
	switch n, known := it.piecesOf(one); {
	case known:
		p.n += n
		p.of = append(p.of, fmt.Sprintf("%s %d", one.ID, n))
	case one.Kind.Name == "wheels":
		p.unknown = append(p.unknown, one.Path()+".nuts")
	default:
		p.unknown = append(p.unknown, one.Path()+".needed")
	}
}

// which names the items, as far as they are few.
func (p *pieces) which() string {
	const few = 6
	switch {
	case len(p.of) == 0:
		return ""
	case len(p.of) > few:
		return fmt.Sprintf(" (%s and %d more)", strings.Join(p.of[:few], ", "), len(p.of)-few)
	}
	return " (" + strings.Join(p.of, ", ") + ")"
}

// listed are the pieces that the file lists, by place and sort, and the places where there are any or
// might be, in walk-round order.
func (it item) listed() (there map[string]map[string]*pieces, places []string) {
	b := it.mechanism().Build
	there, places = map[string]map[string]*pieces{}, slices.Clone(b.Places)
	for _, p := range schema.Pieces {
		for _, one := range b.Of(p.Kind) {
			place := cmp.Or(it.mechanism().Place(one), model.Elsewhere)
			if there[place] == nil {
				there[place] = map[string]*pieces{}
			}
			if there[place][p.Name] == nil {
				there[place][p.Name] = &pieces{}
			}
			if !slices.Contains(places, place) {
				places = append(places, place)
			}
			counted, _ := countAt(b, place)
			there[place][p.Name].add(it, one, counted.Day)
		}
	}
	if len(places) == 0 {
		places = []string{model.Elsewhere}
	}
	return there, places
}

// recount is what comes of holding counts against the file: what is wrong, and what nobody recorded.
type recount struct{ wrong, open []string }

func (r *recount) says(format string, args ...any) {
	r.wrong = append(r.wrong, fmt.Sprintf(format, args...))
}

// when holds the day of a count against the day of the check, and asks whose it is.
func (r *recount) when(it item, counted model.Listed) {
	if counted.Day == (quantity.Date{}) {
		r.open = append(r.open, "listed."+counted.Place+".day")
	} else if ago := counted.Day.DaysUntil(it.today()); ago < 0 {
		r.says("%s: counted on %s, a day to come", counted.Place, counted.Day)
	} else if float64(ago)*quantity.Day > countAge.of(it.policy()) {
		r.says("%s: counted %d days ago", counted.Place, ago)
	}
	if counted.By == "" {
		r.open = append(r.open, "listed."+counted.Place+".by")
	}
}

// what holds the count of a place against what the file lists there, each sort of piece: one that
// somebody left out of the count he may have left out of the file.
func (r *recount) what(counted model.Listed, there map[string]*pieces) {
	for _, p := range schema.Pieces {
		n, stated := counted.Pieces[p.Name]
		listed := there[p.Name]
		if listed == nil {
			listed = &pieces{}
		}
		switch {
		case !stated:
			r.open = append(r.open, "listed."+counted.Place+"."+p.Name)
		case len(listed.unknown) > 0:
			r.open = append(r.open, listed.unknown...)
		case n+listed.added != listed.n:
			since := ""
			if listed.added > 0 {
				since = fmt.Sprintf(" and %d added since", listed.added)
			}
			r.says("%s: %d %s counted%s, %d in the file%s", counted.Place, n, p.Name, since, listed.n, listed.which())
		case len(listed.redrawn) > 0:
			r.says("%s: counted on %s, and drawn otherwise since: %s", counted.Place, counted.Day, strings.Join(listed.redrawn, ", "))
		}
	}
}

// miscounted holds the count at each place against the file.
func miscounted(it item) string {
	b := it.mechanism().Build
	there, places := it.listed()
	var r recount
	for _, place := range places {
		counted, any := countAt(b, place)
		if !any {
			r.open = append(r.open, "listed."+place)
			continue
		}
		r.when(it, counted)
		r.what(counted, there[place])
	}
	for _, counted := range b.Listed {
		if !slices.Contains(places, counted.Place) && slices.ContainsFunc(schema.Pieces, func(p struct{ Name, Kind string }) bool { return counted.Pieces[p.Name] > 0 }) {
			r.says("%s: counted, but nothing of the file is there", counted.Place)
		}
	}
	switch {
	case len(r.wrong) > 0:
		return strings.Join(r.wrong, "; ") // what is wrong is said, whatever else was not counted
	case len(r.open) > 0:
		it.because(vehicle.NotRecorded(r.open...))
	}
	return "nothing"
}

// barePlaces names the places with wheels, or that straps tie up, of which nothing is listed that
// joins them to the frame. What a vehicle has at one end says nothing of the other. A bolt or weld of
// which nobody wrote what it does may.
func barePlaces(it item) string {
	v := it.mechanism()
	if !v.Checklist() {
		return "nothing"
	}
	joins := map[string]bool{}
	for kind, roles := range map[string][]string{"fasteners": {"pivot", "clamp", "U-bolt"}, "welds": {"adapter", "perch"}} {
		for _, one := range v.Build.Of(kind) {
			what, stated := role.ifStated(it.of(one))
			if !stated || slices.Contains(roles, what) {
				joins[v.Place(one)] = true
			}
		}
	}
	var bare []string
	hangs := func(place string) {
		if place != "" && !joins[place] && !slices.Contains(bare, place) {
			bare = append(bare, place)
		}
	}
	for _, wheel := range v.Build.Of("wheels") {
		hangs(v.Place(wheel))
	}
	for _, restraint := range v.Build.Of("restraints") {
		for _, place := range restraint.TiedPlaces {
			hangs(place)
		}
	}
	return orNothing(bare)
}
