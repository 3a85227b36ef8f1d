package model

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
)

// maxMembers is the most that one group may have.
const maxMembers = 100

// maxPressed is the most members of a group of which something is critical: each
// of them is looked at and named.
const maxPressed = 8

// members is how many an item stands for.
func members(item *Item) int {
	if item.Kind.Name == "spacers" || item.Field("needed") == nil {
		return 1 // the spacers of one joint are one stack
	}
	if n, ok := item.Count("needed"); ok {
		return int(min(n, maxMembers))
	}
	return 1
}

// stand lays what the log says today into the items: a found block as if
// somebody had written it, of a group the worst of its members.
func (r *reader) stand(log *looks.Log) {
	var things []*looks.Thing
	r.build.Things = map[string]*looks.Thing{}
	add := func(id string, kind *schema.Kind, record *schema.Record, item *Item) {
		if kind.Found() == nil {
			return
		}
		t := &looks.Thing{ID: id, Kind: kind, Members: 1, Design: r.designs[id], Lookup: r.build.lookup(record, item)}
		t.Touched = func(e looks.Event) []string { return r.touched(id, item, e) }
		if item != nil {
			t.Members, t.IsSet = members(item), settings[kind.Name] != nil
		} else {
			t.IsSet = id == "vehicle"
		}
		things = append(things, t)
		r.build.Things[id] = t
	}
	add("vehicle", schema.KindOf("vehicle"), r.build.Vehicle, nil)
	add("site", schema.KindOf("site"), r.build.Site, nil)
	for _, kind := range schema.Kinds() {
		for _, item := range r.build.Of(kind.Name) {
			add(item.ID, kind, item.Record, item)
		}
	}
	r.heard.folded = r.before.folded.Again(things, log)
	states := maps.Clone(r.heard.folded.States)
	r.build.comeApart(states)
	r.build.Log, r.build.Standing, r.build.Troubles = log, states, r.heard.folded.Troubles
	for _, t := range things {
		record := r.build.Vehicle
		if item := r.build.byID[t.ID]; item != nil {
			record = item.Record
		} else if t.ID == "site" {
			record = r.build.Site
		}
		if found := foundRecord(t, states[t.ID]); found != nil {
			record.Set(schema.Found, schema.Value{V: found, Span: found.Span})
		}
	}
}

// comeApart takes back that each piece at a place that is tied up hangs in a strap, or is bolted to one that
// does, where something that is bolted, welded or hung there was found wrong and nobody said it surely later.
func (b *Build) comeApart(states map[string]*looks.State) {
	const eachPiece = "each_piece"
	for _, restraint := range b.Of("restraints") {
		said, known := states[restraint.ID].Group[eachPiece]
		if !known || len(restraint.TiedPlaces) == 0 {
			continue
		}
		wrong := func(fact looks.Fact) bool { return fact.Fault && !said.After(fact.Stamp) }
		for _, kind := range []string{"fasteners", "stud_nuts", "welds", "links", "springs"} {
			for _, item := range b.Of(kind) {
				if !slices.Contains(restraint.TiedPlaces, b.Place(item)) {
					continue
				}
				for _, facts := range states[item.ID].Members {
					if slices.ContainsFunc(slices.Collect(maps.Values(facts)), wrong) {
						states[restraint.ID] = states[restraint.ID].Without(eachPiece)
					}
				}
			}
		}
	}
}

// foundRecord is what stands as a found block; nil when nothing does.
func foundRecord(t *looks.Thing, state *looks.State) *schema.Record {
	field := t.Kind.Found()
	if len(state.Group) == 0 {
		return nil
	}
	var found *schema.Record
	for i := range field.Fields {
		name := field.Fields[i].Name
		fact, known := state.Group[name]
		if !known {
			continue
		}
		if found == nil {
			found = schema.NewRecord(field.Fields, fact.Span)
		}
		found.Set(name, fact.Value)
	}
	countMembers(found, state, t.Members)
	day, by, known := oldest(t, state)
	if known {
		found.Set("on", schema.Value{V: day, Span: found.Span})
		found.Set("by", schema.Value{V: by, Span: found.Span})
	}
	if second := secondPair(field, state, by); second != "" {
		found.Set("seen_by", schema.Value{V: second, Span: found.Span})
	}
	return found
}

// Apart is what was found of members of a group, laid over what stands of all of them.
type Apart struct {
	Members []int // their numbers
	Record  *schema.Record
}

// StandOut lists the members of a group of which the worst of all does not tell everything: a size
// may be bad on either side, as a torque is, and what was measured of some members alone stands
// of no group. What somebody assumed is of all of them.
func (b *Build) StandOut(item *Item) []Apart {
	state := b.Standing[item.ID]
	if state == nil || len(state.Members) < 2 {
		return nil
	}
	field := item.Kind.Found()
	found := schema.NewRecord(field.Fields, item.Span)
	if stands, ok := item.Record.Record(schema.Found); ok {
		found = stands
	}
	var list []Apart
	seen := map[string]int{} // where it is in the list, by what is its own
	for i, member := range state.Members {
		own := ""
		var its []*schema.Field // what stands of the member in place of the worst
		for j := range field.Fields {
			f := &field.Fields[j]
			one, said := member[f.Name]
			worst, told := state.Group[f.Name]
			is, known := found.Lookup(f.Name)
			if !said || known != told || is.Span != worst.Span {
				continue
			}
			its = append(its, f) // what another lacks is not asked of it
			if f.Measured() && !(told && inSI(f, one.V) == inSI(f, worst.V)) {
				own += f.Name + " = " + inSI(f, one.V) + "\n"
			}
		}
		if own == "" {
			continue
		}
		if at, again := seen[own]; again {
			list[at].Members = append(list[at].Members, i+1)
			continue
		}
		seen[own] = len(list)
		of, record := found.Clone(), item.Record.Clone()
		for _, f := range its {
			of.Set(f.Name, member[f.Name].Value)
		}
		record.Set(schema.Found, schema.Value{V: of, Span: of.Span})
		list = append(list, Apart{[]int{i + 1}, record})
	}
	return list
}

// countMembers says how many of a group are there when each member was looked at.
// With one missing the group is there, but short.
func countMembers(found *schema.Record, state *looks.State, members int) {
	if members == 1 || found.Field("count") == nil {
		return
	}
	fitted, known := found.Lookup("fitted")
	if !known {
		return
	}
	there := int64(0)
	for _, facts := range state.Members {
		if fact, ok := facts["fitted"]; ok && fact.V == true {
			there++
		} else if !ok && fitted.V == true {
			return
		}
	}
	if count, counted := found.Count("count"); !counted || there < count {
		found.Set("count", schema.Value{V: there, Span: fitted.Span})
	}
	count, _ := found.Count("count")
	found.Set("fitted", schema.Value{V: count > 0, Span: fitted.Span})
}

// witnesses are the facts that keep what was made fresh: as long as the mark is
// unbroken, the pin in and no crack to be seen, the torque is what it was.
var witnesses = map[string][]string{
	"fasteners": {"marked"},
	"stud_nuts": {"marked", "lock_fitted"},
	"welds":     {"crack"},
	"links":     {"jam_nuts"},
}

// Witnessed says whether how things of a kind were made lasts as long as something at them
// that every round sees says that it is as it was.
func Witnessed(kind *schema.Kind) bool { return witnesses[kind.Name] != nil }

// oldest is the day of the oldest look that a fact rests on, and whose it was. A
// fact of how the thing was made is as fresh as its witness.
func oldest(t *looks.Thing, state *looks.State) (day quantity.Date, by string, known bool) {
	for _, facts := range state.Members {
		var witness looks.Fact
		for _, name := range witnesses[t.Kind.Name] {
			if fact, ok := facts[name]; ok && !fact.Fault && fact.After(witness.Stamp) || ok && !fact.Fault && witness.Day == (quantity.Date{}) {
				witness = fact
			}
		}
		for name, fact := range facts {
			if t.Life(t.Kind.Found().Field(name)) == schema.Made && witness.After(fact.Stamp) {
				fact = witness
			}
			if fact.Day == (quantity.Date{}) {
				return day, by, false
			}
			c := fact.Day.Compare(day)
			if !known || c < 0 || c == 0 && fact.By < by {
				day, by, known = fact.Day, fact.By, true
			}
		}
	}
	return day, by, known && by != ""
}

// secondPair is who saw all that is critical a second time; of a thing without it, all that
// stands. It is not the one who saw it first. What is a fault stops whoever saw it.
func secondPair(field *schema.Field, state *looks.State, first string) string {
	second := func(wanted func(*schema.Field) bool) (who string, any bool) {
		for i := range field.Fields {
			f := &field.Fields[i]
			for _, facts := range state.Members {
				fact, known := facts[f.Name]
				if !known || fact.Fault || !wanted(f) {
					continue
				}
				if who = fact.Second; who == "" {
					return "", true
				} else if who == first {
					who = fact.By // whose look is the newer
				}
				any = true
			}
		}
		return who, any
	}
	if who, any := second(func(f *schema.Field) bool { return f.Critical }); any {
		return who
	}
	who, _ := second(func(*schema.Field) bool { return true })
	return who
}

// Bad reports whether what was found of an item is known not to be good by the table.
func (b *Build) Bad(item *Item, f *schema.Field) bool {
	lookup := b.lookup(item.Record, item)
	if has, known := f.OnlyFor.Holds("", lookup); len(f.OnlyFor) > 0 && known && !has {
		return false // said of a thing that has no such part
	}
	good, known := f.Good.Holds(schema.Found+"."+f.Name, lookup)
	return known && !good
}

// Logged reports whether it is the log that says a fact of an item, and nobody assumed it.
func (b *Build) Logged(item *Item, name string) bool {
	state := b.Standing[item.ID]
	if state == nil {
		return false
	}
	stands, said := state.Group[name]
	is, _ := item.Lookup(schema.Found + "." + name)
	return said && is == stands.Value
}

// Vouched says whether a fact of the design of an item was there when somebody saw what vouches for
// it, or was measured; else it is of no thing that anybody looked at, and needs gives what has to be
// found. The path is that of the field.
func (b *Build) Vouched(item *Item, f *schema.Field, path string) (needs string, vouched bool) {
	if f.Vouched == nil || !b.Logged(item, f.Vouched.By) {
		return "", true
	}
	needs = f.Vouched.By
	if f.Vouched.Measure != "" {
		needs = f.Vouched.Measure
		if _, measured := item.Lookup(schema.Found + "." + needs); measured {
			return "", true
		}
	}
	for _, member := range b.Standing[item.ID].Members {
		if stands, said := member[f.Vouched.By]; said && !b.Things[item.ID].Knew(stands, path) {
			return schema.Found + "." + needs, false
		}
	}
	return "", true
}

// lookup gives the facts of a design, and the few that follow from other items.
func (b *Build) lookup(record *schema.Record, item *Item) func(path string) (any, bool) {
	return func(path string) (any, bool) {
		switch path {
		case "clamps_bonded_bush":
			return b.clampsBondedBush(item)
		case "threaded":
			_, pin := record.Lookup("pin")
			return !pin, true
		case "solid":
			_, bar := record.Lookup("bar.diameter")
			_, tube := record.Lookup("tube")
			return bar && !tube, true
		}
		name, rest, nested := strings.Cut(path, ".")
		field := record.Field(name)
		v, ok := record.Lookup(name)
		if !ok && field != nil && field.Default != nil {
			return field.Default, true
		}
		if !ok || !nested {
			return v.V, ok
		}
		switch inner := v.V.(type) {
		case quantity.Thread:
			size := inner.Diameter
			if rest == "pitch" {
				size = inner.Pitch
			}
			return quantity.Of(size, quantity.Length, "mm"), true
		case *schema.Record:
			v, ok := inner.Lookup(rest)
			return v.V, ok
		}
		return nil, false
	}
}

// clampsBondedBush says whether a bolt clamps nothing but bonded bushes; not
// known where a joint does not say what is in it.
func (b *Build) clampsBondedBush(item *Item) (any, bool) {
	holds := item.Texts("holds")
	for _, id := range holds {
		joint := b.byID[id]
		if joint == nil || joint.Kind.Name != "joints" {
			return false, true
		}
		if bush, known := joint.Text("bush"); !known || bush != "bonded" {
			return false, known
		}
	}
	return len(holds) > 0, true
}

// touched lists what else an event of an item touches: the joint or link end that
// it holds, and whatever else holds that joint but its welds; of spacers in no drawn joint the
// pivots of their place; of a support the steps it stands in; of a part what is on it, or once it was
// off what fastens it; of the vehicle everything.
func (r *reader) touched(id string, item *Item, event looks.Event) []string {
	var ids []string
	switch {
	case id == "vehicle":
		ids = append(r.build.ids(), "site")
	case item == nil || item.Kind.Name == "welds":
	case item.Kind.Name == "supports":
		for _, move := range r.build.Of("moves") {
			for _, step := range move.Steps() {
				if on := step.Texts("supports"); slices.Contains(on, id) {
					ids = append(append(ids, on...), move.ID)
				}
			}
		}
	case item.Kind.Name == "parts" && event == looks.TakenOff:
		ids = r.fastensPart(item)
	case item.Kind.Name == "parts":
		ids = r.onPart(item)
	case item.Kind.Name == "joints":
		ids = r.holders(id)
	case item.Kind.Name == "links":
		if event != looks.Disturbed {
			ids = r.linkHolders(item)
		}
	case item.Field("holds") != nil:
		for _, target := range item.Texts("holds") {
			name, _, _ := strings.Cut(target, "/")
			ids = append(append(ids, name), r.holders(target)...)
			if link := r.build.byID[name]; event == looks.TakenOff && link != nil && link.Kind.Name == "links" {
				ids = append(ids, r.linkHolders(link)...) // a coil-over goes with its spring
			}
		}
		if item.Kind.Name == "spacers" && len(ids) == 0 {
			ids = r.pivotsAt(item)
		}
	}
	slices.Sort(ids)
	return slices.DeleteFunc(slices.Compact(ids), func(other string) bool { return other == id })
}

// onPart lists what is on a part: whatever names it but moves, and what holds a joint or link there,
// its welds as well, for a part that was worked on may have been cut and welded. A checklist has
// neither: there it is all at the place of the part, and of the frame, or of a part of which nobody
// wrote what it is, everything.
func (r *reader) onPart(part *Item) []string {
	checklist, _ := r.build.Vehicle.Bool("checklist")
	role, stated := part.Text("role")
	place := r.build.Place(part)
	if checklist && (!stated || role == "frame" || place == "") {
		return append(r.build.ids(), "vehicle")
	}
	var ids []string
	joined := map[string]bool{}
	for _, link := range r.build.Of("links") {
		for _, end := range endNames(link) {
			on, _ := link.Text("ends." + end + ".on")
			joined[link.ID+"/"+end] = on == part.ID
		}
	}
	for _, joint := range r.build.Of("joints") {
		joined[joint.ID] = slices.Contains(joint.Texts("between"), part.ID)
	}
	for _, kind := range schema.Kinds() {
		for _, item := range r.build.Of(kind.Name) {
			holds := item.Field("holds") != nil && slices.ContainsFunc(item.Texts("holds"), func(target string) bool { return joined[target] })
			if holds || checklist && r.build.Place(item) == place || kind.Name != "moves" && refersTo(nil, item.Record, part.ID) {
				ids = append(ids, item.ID)
			}
		}
	}
	return ids
}

// fastensPart lists what is undone when a part comes off: of what is on it all but the welds, and but
// joints and links, which come off whole. A checklist lists no joint to tell a link of the part by:
// there its links are undone as well.
func (r *reader) fastensPart(part *Item) []string {
	whole := []string{"welds"}
	if checklist, _ := r.build.Vehicle.Bool("checklist"); !checklist {
		whole = append(whole, "joints", "links")
	}
	return slices.DeleteFunc(r.onPart(part), func(id string) bool {
		item := r.build.byID[id]
		return item != nil && slices.Contains(whole, item.Kind.Name)
	})
}

// linkHolders lists what holds a link at its ends, and its spring.
func (r *reader) linkHolders(link *Item) []string {
	ids := r.holders(link.ID)
	for _, end := range endNames(link) {
		ids = append(ids, r.holders(link.ID+"/"+end)...)
	}
	return ids
}

// refersTo reports whether a value names an item.
func refersTo(f *schema.Field, value any, id string) bool {
	switch v := value.(type) {
	case string:
		return f.Type == schema.Ref && v == id
	case []schema.Value:
		return slices.ContainsFunc(v, func(e schema.Value) bool { return refersTo(f.Elem, e.V, id) })
	case *schema.Record:
		return slices.ContainsFunc(v.Names(), func(name string) bool {
			e, _ := v.Lookup(name)
			return refersTo(v.Field(name), e.V, id)
		})
	}
	return false
}

// SetFor lists what is set for a move: what its steps stand on and hang in, and the hoists, dollies and
// cranes that belong to it.
func (b *Build) SetFor(move *Item) []string {
	var ids []string
	named := func(id string) bool { return refersTo(nil, move.Record, id) }
	for _, kind := range schema.Kinds() {
		if !kind.Daily() || kind.Single || kind.Name == "moves" {
			continue
		}
		for _, item := range b.Of(kind.Name) {
			crane, lifts := kind.Name == "cranes", ""
			if crane {
				lifts, _ = item.Text("lifts")
			}
			if named(item.ID) || named(lifts) || slices.ContainsFunc(b.Of("supports"), func(support *Item) bool {
				what, _ := support.Text("kind")
				return named(support.ID) && (refersTo(nil, support.Record, item.ID) || crane && what == "crane")
			}) {
				ids = append(ids, item.ID)
			}
		}
	}
	return ids
}

// pivotsAt lists the bolts that may pass through spacers of which only the place is written: the
// pivots there of which no more is written either.
func (r *reader) pivotsAt(spacers *Item) []string {
	place, _ := spacers.Text("place")
	var ids []string
	for _, bolt := range r.build.Of("fasteners") {
		role, known := bolt.Text("role")
		if at, _ := bolt.Text("place"); at == place && (role == "pivot" || !known) && len(bolt.Texts("holds")) == 0 {
			ids = append(ids, bolt.ID)
		}
	}
	return ids
}

// holders lists what holds a joint or link end, its welds aside.
func (r *reader) holders(target string) []string {
	var ids []string
	for _, kind := range schema.Kinds() {
		if kind.Field("holds") == nil || kind.Name == "welds" {
			continue
		}
		for _, item := range r.build.Of(kind.Name) {
			if slices.Contains(item.Texts("holds"), target) {
				ids = append(ids, item.ID)
			}
		}
	}
	return ids
}

// checkGroups refuses a group that nobody presses member by member.
func (r *reader) checkGroups() {
	for _, restraint := range r.build.Of("restraints") {
		if n, _ := restraint.Count("needed"); n > maxMembers {
			r.refuse(restraint, "needed", fmt.Sprintf("%d are more than %d in one group", n, maxMembers), "make several groups")
		}
	}
	for _, kind := range schema.Kinds() {
		found := kind.Found()
		if found == nil || kind.Field("needed") == nil || !slices.ContainsFunc(found.Fields, func(f schema.Field) bool { return f.Critical }) {
			continue
		}
		for _, item := range r.build.Of(kind.Name) {
			if n := members(item); n > maxPressed && item.MirroredFrom == "" {
				r.refuse(item, "needed", fmt.Sprintf("%d in one group are too many to be looked at one by one", n), fmt.Sprintf("make groups of at most %d, each at one place", maxPressed))
			}
		}
	}
}

// drawDesigns notes the design of all that looks are at.
func (r *reader) drawDesigns() {
	r.designs = map[string][]looks.Drawn{"vehicle": r.build.weights()}
	for _, kind := range schema.Kinds() {
		for _, item := range r.build.Of(kind.Name) {
			if kind.Found() != nil {
				r.designs[item.ID] = design(item, r.build.points(item), r.build.lookup(item.Record, item))
			}
		}
	}
}

// design is what is written down of what an item is, of what its card hangs on and of how it is
// set; nil for a kind of item of which nothing says what it is.
func design(item *Item, points []string, lookup func(path string) (any, bool)) []looks.Drawn {
	kind, drawn := item.Kind, []looks.Drawn{}
	if !kind.Identified() {
		return setting(item, points, nil)
	}
	var collect func(path string, fields []schema.Field, record *schema.Record)
	collect = func(path string, fields []schema.Field, record *schema.Record) {
		for i := range fields {
			f := &fields[i]
			v, known := schema.Value{}, false
			if record != nil {
				v, known = record.Lookup(f.Name)
			}
			if f.Type == schema.Object && f.Name != schema.Found {
				inner, _ := v.V.(*schema.Record)
				collect(path+f.Name+".", f.Fields, inner)
			}
			if f.Identity && known {
				drawn = append(drawn, looks.Drawn{Path: path + f.Name, Text: inSI(f, v.V), Unsaid: f.Unsaid})
			}
		}
	}
	collect("", kind.Fields, item.Record)
	for _, path := range hangsOn(kind) {
		name, _, _ := strings.Cut(path, ".")
		field := kind.Field(name)
		if field != nil && field.Identity || slices.ContainsFunc(drawn, func(d looks.Drawn) bool { return d.Path == path }) {
			continue
		}
		// Nobody has written what is worked out and not so.
		if v, known := lookup(path); known && (v != false || field != nil) {
			drawn = append(drawn, looks.Drawn{Path: path, Text: Written(v), Aspect: looks.Asked})
		}
	}
	if members(item) > 1 && item.Field("counted") != nil {
		if counted, said := item.Text("counted"); said {
			drawn = append(drawn, looks.CountedAs(counted))
		}
	}
	return setting(item, points, drawn)
}

// setting adds how an item is set to what is written down of it, and where the points of a dolly bear.
func setting(item *Item, points []string, drawn []looks.Drawn) []looks.Drawn {
	for _, name := range settings[item.Kind.Name] {
		if v, known := item.Lookup(name); known {
			drawn = append(drawn, looks.Drawn{Path: name, Text: inSI(item.Field(name), v.V), Aspect: looks.Set})
		}
	}
	if len(points) > 0 {
		drawn = append(drawn, looks.Drawn{Path: "points", Text: fmt.Sprint(points), Aspect: looks.Set})
	}
	if len(item.TiedPlaces) > 0 {
		drawn = append(drawn, looks.Drawn{Path: "ties.places", Text: fmt.Sprint(slices.Sorted(slices.Values(item.TiedPlaces))), Aspect: looks.Set})
	}
	return drawn
}

// points says of each support that belongs to a dolly where that bears on the vehicle, in an order that
// no name changes: with one of them elsewhere the vehicle stands on it otherwise.
func (b *Build) points(dolly *Item) []string {
	if dolly.Kind.Name != "dollies" {
		return nil
	}
	var points []string
	for _, support := range b.Of("supports") {
		if on, named := support.Text("dolly"); !named || on != dolly.ID {
			continue
		}
		point := ""
		for _, name := range []string{"under", "at", "place", "height"} {
			if v, known := support.Lookup(name); known {
				point += name + " = " + inSI(support.Field(name), v.V) + "\n"
			}
		}
		points = append(points, point)
	}
	slices.Sort(points)
	return points
}

// hangsOn lists the facts of the design on which it hangs what the card of a kind asks and what
// of it is good.
func hangsOn(kind *schema.Kind) []string {
	var paths []string
	for _, f := range kind.Found().Fields {
		for _, path := range slices.Concat(f.OnlyFor.Paths(), f.Good.Paths()) {
			if !strings.HasPrefix(path, schema.Found+".") && !slices.Contains(paths, path) {
				paths = append(paths, path)
			}
		}
	}
	return paths
}

// settings are the fields that say how a thing is set: a stand is no other stand at another
// height, but its pin and its feet are to be looked at again.
var settings = map[string][]string{
	"supports":   {"under", "at", "place", "height", "bears_on", "dolly", "hoist"},
	"restraints": {"ties", "at", "to", "to_at", "place"},
	"moves":      {"steps"},
	"dollies":    {}, // its points
}

// weights is all that the file weighs, and where it acts: what somebody says of it is of these
// figures. A share of it is by itself, for written for the first time it makes nothing heavier.
func (b *Build) weights() []looks.Drawn {
	var all strings.Builder
	var shares []looks.Drawn
	for _, kind := range schema.Kinds() {
		for i := range kind.Fields {
			f := &kind.Fields[i]
			if !f.Weighs {
				continue
			}
			for _, item := range b.Of(kind.Name) {
				v, known := item.Lookup(f.Name)
				switch {
				case known && f.Share:
					shares = append(shares, looks.Drawn{Path: item.ID + "." + f.Name, Text: inSI(f, v.V), Aspect: looks.Set, Late: true})
				case known:
					fmt.Fprintf(&all, "%s.%s = %s\n", item.ID, f.Name, inSI(f, v.V))
				}
			}
		}
	}
	return append(shares, looks.Drawn{Path: "weights", Text: all.String(), Aspect: looks.Set})
}

// EndedLook is a look at an item that was drawn otherwise then.
type EndedLook struct{ Digest, Item string }

// NewlyEnded lists the looks whose fingerprint does not fit the design any more and
// of which the log does not say so yet. What has ended once never counts again, also
// when the old design comes back; so it is noted.
func (b *Build) NewlyEnded() []EndedLook {
	if b.Log == nil {
		return nil
	}
	noted := map[EndedLook]bool{}
	for _, n := range b.Log.Notes {
		if n.Word == looks.Ended {
			noted[EndedLook{n.Why, n.Item}] = true
		}
	}
	var ended []EndedLook
	for _, look := range b.Log.Looks {
		for _, target := range look.Of {
			thing, one := b.Things[target.ID], EndedLook{look.Digest, target.ID}
			if thing != nil && !thing.Fits(target.Print) && !noted[one] {
				noted[one] = true
				ended = append(ended, one)
			}
		}
	}
	return ended
}

// inSI writes a value so that equal values have equal text, whatever their unit
// and, for ids, their order.
func inSI(f *schema.Field, v any) string {
	switch v := v.(type) {
	case quantity.Quantity:
		const digits = 9 // below what units of one measure differ by
		return strconv.FormatFloat(v.Value, 'g', digits, 64) + " ± " + strconv.FormatFloat(v.Tol, 'g', digits, 64)
	case []schema.Value:
		if f.Elem.Type == schema.Object {
			return blocksInSI(v)
		}
		words := make([]string, len(v))
		for i, e := range v {
			words[i] = inSI(f.Elem, e.V)
		}
		if f.Elem.Type == schema.Ref {
			slices.Sort(words)
		}
		return "[" + strings.Join(words, ", ") + "]"
	}
	return Written(v)
}

// blocksInSI writes blocks one after the other, such as the steps of a move, without what was found.
func blocksInSI(blocks []schema.Value) string {
	var all strings.Builder
	for i, b := range blocks {
		fmt.Fprintf(&all, "%d\n", i+1)
		block := b.V.(*schema.Record)
		for j := range block.Fields {
			f := &block.Fields[j]
			if v, known := block.Lookup(f.Name); known && f.Name != schema.Found {
				fmt.Fprintf(&all, "%s = %s\n", f.Name, inSI(f, v.V))
			}
		}
	}
	return all.String()
}
