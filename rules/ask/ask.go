// Package ask says what is still to be looked at: from one judged build state, the
// questions whose answers can change the verdict of one move, in the order in which a
// person walks round the vehicle.
//
// It judges nothing. What has to be known is what the findings of the report miss, or
// found wrong or too old; how it is asked, and what is good, is the table of facts.
// What no look answers, such as a size that nobody drew, is listed and not asked.
package ask

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
	"setdown/rules/verdict"
)

// Round makes the walk-round before one move of a report. The report is of that build
// state and holds the move.
func Round(b *model.Build, r *verdict.Report, move string) (*verdict.Round, error) {
	i := slices.IndexFunc(r.Moves, func(m verdict.Move) bool { return m.ID == move })
	if i < 0 {
		return nil, fmt.Errorf("the report holds no move %q", move)
	}
	if b.Log == nil {
		return nil, fmt.Errorf("%s is of the first format, which keeps no log of looks; write format: setdown/2 on its first line", b.File)
	}
	m := &r.Moves[i]
	round := &verdict.Round{
		Format: verdict.RoundFormat, File: r.File, Vehicle: r.Vehicle, Move: move, Title: m.Title, Today: r.Today, Decision: m.Decision,
		Units: r.Units, Stops: len(m.Stopping()), Facts: m.FactsMissing(), First: m.First, Until: m.Until,
	}
	kind, _ := b.Item(move).Text("kind")
	a := &asker{build: b, units: r.Units, kind: kind, wanted: map[string]*want{}, written: map[string]verdict.Missing{}, done: map[recorded]string{}, may: len(m.First) > 0}
	for _, f := range m.Findings {
		if f.Blocks() {
			a.finding(&f)
		}
	}
	round.Screens = a.screens()
	round.Second = second(b, m, r.Units)
	for _, path := range slices.Sorted(maps.Keys(a.written)) {
		round.Written = append(round.Written, a.written[path])
	}
	return round, nil
}

type asker struct {
	build   *model.Build
	units   quantity.System
	kind    string                     // of the move
	wanted  map[string]*want           // by item
	written map[string]verdict.Missing // by path
	done    map[recorded]string        // what a fact says once the work of a rule that asks for it is done
	may     bool                       // no loads are known: nobody knows what carries
}

// recorded is one found fact of one item.
type recorded struct{ item, fact string }

// want is what a look at one item has to say.
type want struct {
	thing  *looks.Thing
	item   *model.Item // nil for the vehicle and the site
	units  quantity.System
	move   string // its kind
	member string // the one member of a group; empty for the thing as a whole
	place  string
	facts  map[string]bool
	own    bool // a finding is of it; else something else hangs on the facts, such as a strap on what joins what it ties
	hangs  bool // it only keeps together what hangs in straps: nothing else asks for it
	faults []verdict.HistoryFact
	stands looks.Facts // what was said of it until now; nil where it is asked for the first time
	first  string      // who has seen the facts; empty where it is no second look
	done   map[recorded]string
}

// day is the fact that every look brings with it.
const day = "on"

// finding notes what a look could say to a finding that blocks.
func (a *asker) finding(f *verdict.Finding) {
	if f.Work != nil {
		for _, set := range f.Work.Set {
			if id, name, found := a.split(set.Name); found {
				a.done[recorded{id, name}] = set.Value
			}
		}
	}
	for _, missing := range f.Missing {
		id, fact, found := a.split(missing.Path)
		switch {
		case found && !a.later(id, fact, f):
			a.want(id, f).facts[fact] = true
		case found:
		case missing.Path != "":
			missing.Doc = cmp.Or(missing.Doc, counted(missing.Path))
			a.written[missing.Path] = missing
		}
	}
	if f.Outcome != verdict.Stop {
		return
	}
	// Too old: every rule about age compares a day, or an age, of what was found.
	for _, id := range a.aged(f) {
		w := a.want(id, f)
		for name := range a.oldest(id) {
			w.facts[name] = true
		}
	}
	a.faulty(f)
}

// later says whether a fact is asked once the others that a finding misses are known.
func (a *asker) later(id, fact string, f *verdict.Finding) bool {
	last := func(id, fact string) bool { return a.build.Things[id].Kind.Found().Field(fact).Last }
	return last(id, fact) && slices.ContainsFunc(f.Missing, func(m verdict.Missing) bool {
		id, fact, found := a.split(m.Path)
		return found && !last(id, fact)
	})
}

// counted words what stands in no table of fields: a place of listed.
func counted(path string) string {
	if strings.HasPrefix(path, "listed.") {
		return "what was counted at the vehicle"
	}
	return "not written down"
}

// split takes the path of a recorded fact apart; found is false for a path that no
// look answers.
func (a *asker) split(path string) (id, fact string, found bool) {
	head, fact, found := strings.Cut(path, "."+schema.Found+".")
	if !found {
		return "", "", false
	}
	if kind, item, of := strings.Cut(head, "."); of && schema.KindOf(kind) != nil {
		head = item
	}
	thing := a.build.Things[head]
	if thing == nil {
		return "", "", false
	}
	fact, _, _ = strings.Cut(fact, "[")
	return head, fact, thing.Kind.Found().Field(fact) != nil
}

func (a *asker) want(id string, f *verdict.Finding) *want {
	w := a.wanted[id]
	asks := a.build.Item(f.Item)
	hangs := asks != nil && asks.Kind.Name == "restraints"
	if w != nil {
		w.own, w.hangs = w.own || f.Item == id, w.hangs && hangs
		return w
	}
	w = &want{thing: a.build.Things[id], item: a.build.Item(id), units: a.units, move: a.kind, facts: map[string]bool{}, own: f.Item == id, hangs: hangs, done: a.done}
	if state := a.build.Standing[id]; state != nil {
		w.stands = state.Group
	}
	if w.item != nil && !w.around() {
		own := ""
		if f.Item == id {
			own = f.Place
		}
		w.place = cmp.Or(a.build.Place(w.item), own, a.basePlace())
	}
	a.wanted[id] = w
	return w
}

// aged lists the things whose last look is too old for a finding.
func (a *asker) aged(f *verdict.Finding) []string {
	var ids []string
	for _, path := range cites(f) {
		variable, name, _ := strings.Cut(path, ".")
		switch {
		case name != "age" && name != schema.Found+"."+day:
		case variable == "site" || variable == "vehicle":
			ids = append(ids, variable)
		case a.build.Things[f.Item] != nil:
			ids = append(ids, f.Item)
		}
	}
	return ids
}

// cites lists the facts because of which a rule came out false, as the rule names them.
func cites(f *verdict.Finding) []string {
	var paths []string
	for i := range f.Because {
		for _, term := range []*verdict.Term{&f.Because[i].Left, &f.Because[i].Right} {
			for _, fact := range term.Facts() {
				paths = append(paths, fact.Fact)
			}
		}
	}
	return paths
}

// oldest lists the facts of a thing that have to be seen again: those that time takes
// away and nobody has said since its oldest look. How a thing was made lasts as long as
// its witness; it is asked for only where nothing else is as old.
func (a *asker) oldest(id string) map[string]bool {
	all, aging := map[string]bool{}, map[string]bool{}
	on := a.seenOn(id)
	for _, known := range a.build.Standing[id].Members {
		for name, fact := range known {
			if fact.Day.Compare(on) > 0 {
				continue
			}
			all[name] = true
			if thing := a.build.Things[id]; thing.Life(thing.Kind.Found().Field(name)) != schema.Made {
				aging[name] = true
			}
		}
	}
	if len(aging) > 0 {
		return aging
	}
	return all
}

// seenOn is the day of the oldest look that counts for a thing.
func (a *asker) seenOn(id string) quantity.Date {
	record := a.build.Vehicle
	if item := a.build.Item(id); item != nil {
		record = item.Record
	} else if id == "site" {
		record = a.build.Site
	}
	on, _ := record.Date(schema.Found + "." + day)
	return on
}

// faulty notes what stands at the item of a finding and is wrong: by the table, or by the
// rule that stops.
func (a *asker) faulty(f *verdict.Finding) {
	state := a.build.Standing[f.Item]
	if state == nil {
		return
	}
	cited := map[string]bool{}
	for _, path := range cites(f) {
		if _, fact, found := strings.Cut(path, "."+schema.Found+"."); found && fact != day {
			cited[fact] = true
		}
	}
	for i, known := range state.Members {
		for fact, stands := range known {
			if !stands.Fault && !cited[fact] {
				continue
			}
			name := f.Item
			if len(state.Members) > 1 && !stands.Whole {
				name = looks.Member(f.Item, i+1)
			}
			w := a.want(f.Item, f)
			was := wrong(name, fact, stands)
			if !slices.Contains(w.faults, was) {
				w.faults = append(w.faults, was)
			}
		}
	}
}

func wrong(name, fact string, stands looks.Fact) verdict.HistoryFact {
	return verdict.HistoryFact{Item: name, Fact: fact, Value: model.Written(stands.V), When: stands.Moment.String(), By: stands.By, Fault: true}
}

// basePlace is the place of the part that the vehicle is built on, to which belongs what
// holds nothing, such as a node of the frame.
func (a *asker) basePlace() string {
	base, _ := a.build.Vehicle.Text("built_on")
	if part := a.build.Item(base); part != nil {
		return a.build.Place(part)
	}
	return ""
}

// inOrder is what is wanted in walk-round order: what the vehicle is to stand on and is
// tied up with first, for it decides what else matters; then place by place; the people
// last, for they are there for an hour. What may not matter comes after them.
func (a *asker) inOrder() []*want {
	var list []*want
	for _, w := range a.wanted {
		list = append(list, w)
	}
	slices.SortFunc(list, func(x, y *want) int {
		return cmp.Or(cmp.Compare(a.turn(x), a.turn(y)), cmp.Compare(a.placed(x), a.placed(y)), cmp.Compare(a.spotTurn(x), a.spotTurn(y)),
			cmp.Compare(kindTurn(x), kindTurn(y)), a.span(x).Compare(a.span(y)), cmp.Compare(x.thing.ID, y.thing.ID))
	})
	return list
}

// screens puts what is wanted onto screens.
func (a *asker) screens() []verdict.Screen {
	list := a.inOrder()
	screens := []verdict.Screen{} // none is a list as well
	for from := 0; from < len(list); {
		first, to := list[from], from
		for to < len(list) && list[to].place == first.place && a.stand(list[to]) == a.stand(first) && a.turn(list[to]) == a.turn(first) {
			to++
		}
		if questions := questions(list[from:to]); len(questions) > 0 {
			screens = append(screens, verdict.Screen{Place: first.place, Spot: a.stand(first), Questions: questions, May: a.turn(first) == perhaps})
		}
		from = to
	}
	return screens
}

var standing = []string{"supports", "restraints", "dollies", "hoists", "cranes"}

// ofPlaces is the turn of what is looked at place by place; perhaps the same where nobody
// knows what of it carries.
const (
	ofPlaces = 2
	perhaps  = 5
)

func (a *asker) turn(w *want) int {
	switch kind := w.thing.Kind.Name; {
	case slices.Contains(standing, kind):
		return 0
	case kind == "site":
		return 1
	case kind == "vehicle":
		return 3
	case kind == "moves":
		return 4
	case a.may:
		return perhaps
	}
	return ofPlaces
}

func (a *asker) placed(w *want) int {
	if i := slices.Index(a.build.Places, w.place); i >= 0 {
		return i
	}
	return len(a.build.Places)
}

// spotTurn orders the spots of a place by the things that they are named after.
func (a *asker) spotTurn(w *want) string {
	if w.item != nil && w.item.Field("holds") == nil {
		return fmt.Sprintf("%02d %s", slices.Index(schema.Kinds(), w.thing.Kind), a.spot(w))
	}
	return fmt.Sprintf("%02d %s", a.heldKind(w), a.spot(w))
}

// heldKind is the kind of what a thing holds, by its number; its own where it says
// nothing.
func (a *asker) heldKind(w *want) int {
	kind := w.thing.Kind
	if held := a.held(w); held != nil {
		kind = held.Kind
	}
	return slices.Index(schema.Kinds(), kind)
}

func (a *asker) held(w *want) *model.Item {
	if w.item == nil || w.item.Field("holds") == nil {
		return nil
	}
	for _, id := range w.item.Texts("holds") {
		id, _, _ = strings.Cut(id, "/")
		return a.build.Item(id)
	}
	return nil
}

// stand is what one screen is of: a corner, all of which hands reach from one spot and
// which has no name but its place, or one spot of what is as long as the vehicle.
func (a *asker) stand(w *want) string {
	if corner := w.place != "" && w.place != a.basePlace(); corner && (a.turn(w) == ofPlaces || a.turn(w) == perhaps) {
		return ""
	}
	return a.spot(w)
}

// spot is what one looks at there: the joint, link or support that a bolt, bearing,
// spacer and bracket belong to.
func (a *asker) spot(w *want) string {
	item := w.item
	if held := a.held(w); held != nil {
		item = held
	}
	if item == nil {
		return w.thing.Kind.Item
	}
	switch kind := item.Kind.Name; {
	case slices.Contains(standing, kind):
		return "supports"
	case kind == "joints":
		name, _ := item.Text("kind")
		return name
	case item.Field("role") != nil:
		role, _ := item.Text("role")
		return cmp.Or(role, item.Kind.Item)
	}
	return item.Kind.Item
}

func kindTurn(w *want) int { return slices.Index(schema.Kinds(), w.thing.Kind) }

func (a *asker) span(w *want) source.Pos {
	if w.item == nil {
		return source.Pos{}
	}
	return w.item.Span.Start
}
