package model

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
)

// check refuses what is readable value by value but cannot be as a whole: keys
// that are needed and absent, references that lead nowhere, and states that
// contradict themselves.
func (r *reader) check() {
	r.checkRecord(r.build.Vehicle, "vehicle", "vehicle", r.build.Vehicle.Span, nil)
	for _, kind := range schema.Kinds() {
		for _, item := range r.build.Of(kind.Name) {
			r.checkRecord(item.Record, item.Path(), kind.Item+" "+item.ID, item.Span, item)
			if contradiction := contradictions[kind.Name]; contradiction != nil {
				contradiction(r, item)
			}
			r.checkPlace(item)
			r.checkSecond(item)
		}
	}
	r.checkWaivers()
	r.checkOrders()
	r.checkChecklist()
	r.checkWheels()
	r.checkFrame()
	r.checkNeighbours()
	r.checkDollies()
	r.checkShear()
	r.checkSize()
}

// checkFrame refuses a frame of one piece of which nodes or bolts are listed.
func (r *reader) checkFrame() {
	v, written := r.build.Vehicle.Lookup("frame")
	if !written || v.V != "one piece" {
		return
	}
	for _, kind := range []string{"welds", "fasteners"} {
		for _, item := range r.build.Of(kind) {
			if item.Is(schema.OfFrame) {
				is, _ := item.Lookup("role")
				r.failAt(is.Span, item.Path()+".role", "it holds the frame together, but the vehicle has a frame of one piece", "correct the one or the other", source.Related{Span: v.Span, Message: "frame is written here"})
			}
		}
	}
}

// checkDollies refuses a dolly whose own weight is drawn below the floor under its castors: it would not tip.
func (r *reader) checkDollies() {
	for _, dolly := range r.build.Of("dollies") {
		cg, written := dolly.Vec("cg")
		castors, _ := dolly.List("castors_at")
		for _, castor := range castors {
			if at, ok := castor.V.(schema.Vec); ok && written && cg.Z < at.Z {
				r.clash(dolly, "cg", "its centre of gravity is drawn below its castors", "castors_at", "correct the one or the other")
				break
			}
		}
	}
}

// checkShear refuses a link end that is held on one side alone by a bolt that is sheared in two planes. A
// bolt that holds other things as well, as that of a rack does, is not the one through the end.
func (r *reader) checkShear() {
	for _, bolt := range r.build.Of("fasteners") {
		holds := bolt.Texts("holds")
		planes, stated := bolt.Lookup("shear_planes")
		if len(holds) != 1 || !stated || planes.V != int64(2) {
			continue
		}
		id, end, _ := strings.Cut(holds[0], "/")
		path := "ends." + end + ".shear"
		link := r.build.byID[id]
		if link == nil || link.Kind.Name != "links" {
			continue
		}
		if shear, said := link.Text(path); said && shear == "single" {
			v, _ := link.Lookup(path)
			r.failAt(v.Span, link.Path()+"."+path, fmt.Sprintf("the bolt at this end is in single shear, but %s has shear_planes: 2", bolt.ID),
				"correct the one or the other", source.Related{Span: planes.Span, Message: "shear_planes is written here"})
		}
	}
}

// checkWheels refuses more wheels than the vehicle is said to have, listed or on the floor, and
// one wheel that stands in two places of a step.
func (r *reader) checkWheels() {
	all, stated := r.build.Vehicle.Count("wheels")
	stood := map[string]bool{}
	var listed, standing int64
	count := func(n *int64, item *Item) {
		*n += int64(members(item))
		if stated && *n > all && *n-int64(members(item)) <= all {
			r.failAt(item.Span, item.Path(), fmt.Sprintf("it is wheel %d of a vehicle with wheels: %d", *n, all), "correct wheels of the vehicle, or take out what is no wheel")
		}
	}
	for _, wheel := range r.build.Of("wheels") {
		count(&listed, wheel)
	}
	for _, support := range r.build.Of("supports") {
		kind, _ := support.Text("kind")
		wheel, named := support.Text("wheel")
		if kind == "wheel" && !(named && stood[wheel]) {
			stood[wheel] = true
			count(&standing, support)
		}
	}
	for _, move := range r.build.Of("moves") {
		for _, step := range move.Steps() {
			on := map[string]string{}
			for _, id := range step.Texts("supports") {
				support := r.build.byID[id]
				if support == nil || support.Kind.Name != "supports" {
					continue // refused as a reference
				}
				wheel, named := support.Text("wheel")
				if other := on[wheel]; named && other != "" && other != id {
					r.failAt(step.Span, move.Path()+".steps", fmt.Sprintf("%s and %s of one step are both the wheel %s", other, id, wheel), "correct wheel of one of them")
				}
				on[wheel] = id
			}
		}
	}
}

// What is computed within seconds and a gigabyte of memory, with room for the largest vehicle made by
// hand: loads take the third power of the parts, a vehicle on n supports stands in n over three ways,
// and what is known of every step is kept until the last one is judged. One more is refused with the
// number, for nobody waits for an answer that does not come.
const (
	maxParts  = 100 // of the file
	maxSteps  = 300 // of all moves together
	maxStands = 16  // supports of one step, castors of one dolly
)

// checkSize refuses what would be computed for minutes.
func (r *reader) checkSize() {
	if parts := r.build.Of("parts"); len(parts) > maxParts {
		r.failAt(parts[maxParts].Span, parts[maxParts].Path(), fmt.Sprintf("the file has %d parts; at most %d are computed", len(parts), maxParts),
			"write what is rigidly one piece as one part, with its mass and centre of gravity")
	}
	var steps []*schema.Record
	for _, move := range r.build.Of("moves") {
		for _, step := range move.Steps() {
			r.checkStands(len(step.Texts("supports")), "a step with %d supports", step.Span, move)
			steps = append(steps, step)
		}
	}
	if len(steps) > maxSteps {
		r.failAt(steps[maxSteps].Span, "moves", fmt.Sprintf("the moves have %d steps; at most %d are judged", len(steps), maxSteps), "divide the moves over several files")
	}
	for _, dolly := range r.build.Of("dollies") {
		castors, _ := dolly.List("castors_at")
		r.checkStands(len(castors), "a dolly with %d castors", dolly.Span, dolly)
	}
}

func (r *reader) checkStands(n int, what string, at source.Span, item *Item) {
	if n > maxStands {
		r.failAt(at, item.Path(), fmt.Sprintf(what+"; at most %d are computed", n, maxStands), "write the outer ones: what stands between them may carry nothing")
	}
}

// checkChecklist refuses a checklist with joints or links: it asks for no loads,
// and these are there to compute them. In any other file the joints say what fastens a part.
func (r *reader) checkChecklist() {
	v, ok := r.build.Vehicle.Lookup("checklist")
	if yes, _ := v.V.(bool); !ok || !yes {
		for _, kind := range schema.Kinds() {
			if kind.Field("part") == nil {
				continue
			}
			for _, item := range r.build.Of(kind.Name) {
				if _, written := item.Lookup("part"); written {
					r.refuse(item, "part", "only in a checklist does a thing name the part that it fastens", "name the joint that it holds: holds")
				}
			}
		}
		return
	}
	listed := []string{"joints", "links"}
	if r.second {
		listed = []string{"joints"} // the short kind may list bars and straps
	}
	for _, kind := range listed {
		if items := r.build.Of(kind); len(items) > 0 {
			r.failAt(v.Span, "vehicle.checklist", "a checklist has no "+kind, "delete 'checklist: yes' to have loads computed, or delete the "+kind)
		}
	}
}

// checkRecord checks one block and the blocks inside it.
func (r *reader) checkRecord(record *schema.Record, path, what string, span source.Span, item *Item) {
	for _, f := range record.Fields {
		if _, ok := record.Lookup(f.Name); !ok && f.Need && !r.isBad(record, f.Name, item) && !r.spared(f, item) {
			r.failAt(span, path, fmt.Sprintf("%s needs the key %s: %s", what, f.Name, brief(f.Doc)), neededHint(f))
		}
	}
	for _, name := range record.Names() {
		v, _ := record.Lookup(name)
		r.checkValue(record.Field(name), v, join(path, name), item)
	}
}

// brief is the first statement of a field's description.
func brief(doc string) string {
	if i := strings.IndexAny(doc, ":;"); i > 0 {
		return doc[:i]
	}
	return doc
}

// neededHint lists the words that a needed key may have.
func neededHint(f schema.Field) string {
	if f.Type != schema.Enum {
		return ""
	}
	return "write one of: " + strings.Join(f.Enum, ", ")
}

// spared says whether an item can do without a key that others cannot: of a bar of a checklist its
// place says enough, for its ends are those of the strut that it stands in for.
func (r *reader) spared(f schema.Field, item *Item) bool {
	checklist, _ := r.build.Vehicle.Bool("checklist")
	return checklist && r.second && f.Name == "ends" && item != nil && item.Kind.Name == "links"
}

// isBad says whether the absence of a field was or will be reported elsewhere:
// where its value is wrong, or at the item that this one mirrors.
func (r *reader) isBad(record *schema.Record, name string, item *Item) bool {
	if r.left[slot{record, name}] == isBad {
		return true
	}
	if item == nil || item.MirroredFrom == "" || record != item.Record {
		return false
	}
	_, there := r.build.byID[item.MirroredFrom].Lookup(name)
	return !there
}

func (r *reader) checkValue(f *schema.Field, v schema.Value, path string, item *Item) {
	switch f.Type {
	case schema.Ref:
		r.checkRef(f, v, path, item)
	case schema.Object:
		r.checkRecord(v.V.(*schema.Record), path, lastName(path), v.Span, item)
	case schema.Map:
		r.checkMap(f, v, path, item)
	case schema.List:
		seen := map[string]source.Span{}
		for i, e := range v.V.([]schema.Value) {
			inner := path
			if f.Elem.Type == schema.Object {
				inner = join(path, fmt.Sprint(i+1))
			}
			r.checkValue(f.Elem, e, inner, item)
			if f.Elem.Type != schema.Ref {
				continue
			}
			id := e.V.(string)
			if first, twice := seen[id]; twice {
				r.failAt(e.Span, path, fmt.Sprintf("%s names %s twice", lastName(path), id), differentHint(f), source.Related{Span: first, Message: "first here"})
			}
			seen[id] = e.Span
		}
	}
}

// differentHint is the way out for a list that names one thing twice.
func differentHint(f *schema.Field) string {
	if f.Size > 1 {
		return "name two different ones"
	}
	return "delete one of them"
}

func (r *reader) checkMap(f *schema.Field, v schema.Value, path string, item *Item) {
	inner := v.V.(*schema.Record)
	names := inner.Names()
	if f.Size > 0 && len(names) != f.Size {
		r.failAt(v.Span, path, fmt.Sprintf("%s must have %d entries, not %d", lastName(path), f.Size, len(names)), "")
	}
	for _, name := range names {
		e, _ := inner.Lookup(name)
		r.checkValue(f.Elem, e, join(path, name), item)
	}
}

// checkRef demands that a reference leads to an item of a kind that fits.
func (r *reader) checkRef(f *schema.Field, v schema.Value, path string, item *Item) {
	id := v.V.(string)
	if slices.ContainsFunc(f.Refs, func(kind string) bool { return r.badKinds[kind] }) {
		return
	}
	if item != nil && item.MirroredFrom != "" && r.badRefs[v.Span] {
		return // reported at the pattern
	}
	refuse := func(message, hint string, related ...source.Related) {
		r.badRefs[v.Span] = true
		r.failAt(v.Span, path, message, hint, related...)
	}
	link, end, isEnd := strings.Cut(id, "/")
	target := r.build.byID[link]
	switch {
	case target == nil || isEnd && (target.Kind.Name != "links" || !slices.Contains(f.Refs, "links")):
		refuse(fmt.Sprintf("there is no %s %s", itemNames(f.Refs), shown(id)), r.danglingHint(f, id, path))
	case !slices.Contains(f.Refs, target.Kind.Name):
		refuse(fmt.Sprintf("%q is a %s, but %s must be a %s", id, target.Kind.Item, lastName(path), itemNames(f.Refs)), "",
			source.Related{Span: target.Span, Message: "it is defined here"})
	case isEnd && r.left[slot{target.Record, "ends"}] != isBad:
		if names := endNames(target); !slices.Contains(names, end) {
			refuse(fmt.Sprintf("the link %s has no end %s", link, shown(end)), meant(end, names, "its ends are "))
		}
	}
}

// danglingHint says what a reference that leads nowhere could have meant.
func (r *reader) danglingHint(f *schema.Field, id, path string) string {
	if len(r.errs) > 2*maxErrors {
		return "" // nobody reads that far, and the search takes its time
	}
	var known []string
	for _, kind := range f.Refs {
		for _, item := range r.build.Of(kind) {
			known = append(known, item.ID)
		}
	}
	if slices.Contains(f.Refs, "links") {
		for _, link := range r.build.Of("links") {
			for _, end := range endNames(link) {
				known = append(known, link.ID+"/"+end)
			}
		}
	}
	switch {
	case len(known) > 0:
		return meant(id, known, "there are ")
	case lastName(path) == "holds":
		return "if you list no joints, leave 'holds' out"
	}
	return "list it under " + f.Refs[0]
}

// itemNames says what entries of these kinds are called: "joint, link or support".
func itemNames(kinds []string) string {
	names := make([]string, len(kinds))
	for i, kind := range kinds {
		names[i] = schema.KindOf(kind).Item
	}
	return source.Either(names)
}

// checkPlace demands that the place of an item is one of the vehicle's, when
// the file lists them. A support may stand in the middle of an end of which only the corners are
// listed: front, where there is a front-left.
func (r *reader) checkPlace(item *Item) {
	if len(r.build.Places) == 0 || item.Kind.Field("place") == nil {
		return
	}
	v, ok := item.Lookup("place")
	if !ok || slices.ContainsFunc(r.build.Places, func(place string) bool {
		return place == v.V || item.Kind.Name == "supports" && strings.HasPrefix(place, v.V.(string)+"-")
	}) {
		return
	}
	r.failAt(v.Span, item.Path()+".place", fmt.Sprintf("this vehicle has no place %s", shown(v.V.(string))),
		meant(v.V.(string), r.build.Places, "the places are "))
}

// checkSecond refuses as a second pair of eyes the first one under another spelling.
func (r *reader) checkSecond(item *Item) {
	if item.Kind.Found() == nil {
		return
	}
	by, _ := item.Text("found.by")
	second, stated := item.Text("found.seen_by")
	if stated && second != by && looks.SamePerson(second, by) {
		r.clash(item, "found.seen_by", fmt.Sprintf("%s is %s again, and no second pair of eyes", shown(second), shown(by)), "found.by", "leave seen_by out until another person has looked")
	}
}

// checkWaivers demands that a waiver is for something that is in the file.
func (r *reader) checkWaivers() {
	known := append(r.build.ids(), "vehicle", "site")
	for _, waiver := range r.build.Of("waivers") {
		v, ok := waiver.Lookup("item")
		if !ok || r.build.byID[v.V.(string)] != nil || v.V == "vehicle" || v.V == "site" {
			continue
		}
		r.failAt(v.Span, waiver.Path()+".item", fmt.Sprintf("there is no item or move %s", shown(v.V.(string))), meant(v.V.(string), known, "there are "))
	}
}

// checkOrders refuses an order for a thing that the file does not have.
func (r *reader) checkOrders() {
	for _, order := range r.build.Orders {
		for _, id := range order.Texts("for") {
			if r.build.byID[id] == nil {
				v, _ := order.Lookup("for")
				r.failAt(v.Span, "orders."+order.ID+".for", fmt.Sprintf("there is no item %s", shown(id)), meant(id, r.build.ids(), "there are "))
			}
		}
	}
}

// lightest is what a part of a role weighs at the least, kg: a frame of some grams is a slip
// of the unit, and leaves the vehicle without a weight.
var lightest = map[string]float64{"frame": 4, "axle": 3, "drivetrain": 3}

// contradictions are the states that cannot be, by kind.
var contradictions = map[string]func(*reader, *Item){
	"parts": func(r *reader, part *Item) {
		role, _ := part.Text("role")
		m, ok := part.Quantity("mass")
		if least := lightest[role]; ok && m.Value < least {
			r.refuse(part, "mass", fmt.Sprintf("%s of %s is no %s", article(role), m, role), "weigh it, or write an estimate with ±")
		}
		r.oneShape(part)
		r.provenOnNone(part)
		if builtOn, _ := r.build.Vehicle.Text("built_on"); builtOn == part.ID && part.Is(schema.Corner) {
			v, _ := r.build.Vehicle.Lookup("built_on")
			r.failAt(v.Span, "vehicle.built_on", fmt.Sprintf("a vehicle is not built on its %s", role), "name the frame or body")
		}
	},
	"links": func(r *reader, link *Item) {
		var on []string
		for _, end := range endNames(link) {
			if part, ok := link.Text("ends." + end + ".on"); ok {
				on = append(on, part)
			}
		}
		if len(on) == 2 && on[0] == on[1] {
			r.refuse(link, "ends", "both ends are on the same part", "a link joins two parts")
		}
	},
	"springs": func(r *reader, spring *Item) {
		if kind, _ := spring.Text("kind"); kind != "coil-over" {
			return
		}
		for _, id := range spring.Texts("holds") {
			link := r.build.byID[id]
			if link == nil || link.Kind.Name != "links" {
				continue
			}
			if role, _ := link.Text("role"); role == "damper" {
				r.refuse(link, "role", fmt.Sprintf("a damper has no spring on it, and %s is a coil-over on %s", spring.ID, id), "write role: strut, or take the spring out")
			}
		}
	},
	"fasteners": func(r *reader, fastener *Item) {
		r.countable(fastener, "found.count", "needed", 1)
		fitted, knowsFitted := fastener.Bool("found.fitted")
		count, knowsCount := fastener.Count("found.count")
		if knowsFitted && knowsCount && fitted != (count > 0) {
			r.refuse(fastener, "found.count", "fitted and count contradict each other", "'fitted: no' needs 'count: 0'")
		}
		r.nonePast(fastener)
		r.weldedTab(fastener)
		r.threadedPin(fastener)
	},
	"joints": func(r *reader, joint *Item) {
		kind, _ := joint.Text("kind")
		bush, stated := joint.Text("bush")
		if ball := kind != "bush" && kind != "pivot" && kind != "long bearing" && !strings.HasSuffix(kind, "face"); stated && ball && bush != "none" {
			r.clash(joint, "bush", fmt.Sprintf("a %s has no bush", kind), "kind", "write kind: bush, or bush: none")
		}
		if _, shank := joint.Lookup("rod_end"); shank && kind != "" && kind != "rod end" {
			r.clash(joint, "rod_end", fmt.Sprintf("%s is screwed into no part, so that nobody asks how its shank bends", article(kind)), "kind", "write kind: rod end, or take rod_end out")
		}
		if kind == "bush" && bush == "none" {
			r.clash(joint, "bush", "a bush without a bush", "kind", "write what is in its eye: bush: bonded or plain, or another kind")
		}
		if turns, _ := joint.Bool("swings"); turns && strings.HasSuffix(kind, "face") {
			r.clash(joint, "swings", fmt.Sprintf("%s turns about nothing", article(kind)), "kind", "write swings: yes at the bearing or the hinge, or correct the kind")
		}
		r.provenOnNone(joint)
	},
	"stud_nuts": func(r *reader, nut *Item) {
		for _, id := range nut.Texts("holds") {
			if held := r.build.byID[id]; held != nil && held.Kind.Name == "joints" {
				if kind, _ := held.Text("kind"); strings.HasSuffix(kind, "face") {
					r.refuse(nut, "holds", fmt.Sprintf("a stud nut draws a taper in, and %s is a %s", id, kind), "correct the kind of the joint, or what the nut holds")
				}
			}
		}
	},
	"spacers": func(r *reader, spacers *Item) { r.countable(spacers, "found.fitted", "needed", unlimited) },
	"wheels": func(r *reader, wheel *Item) {
		r.countable(wheel, "found.nuts", "nuts", unlimited)
		on, stated := wheel.Text("on")
		for _, id := range wheel.Texts("holds") {
			joint := r.build.byID[id]
			if !stated || joint == nil || joint.Kind.Name != "joints" {
				continue
			}
			if between := joint.Texts("between"); len(between) == 2 && !slices.Contains(between, on) {
				r.clash(wheel, "on", fmt.Sprintf("it is bolted to %s, but %s, which it holds, is between %s and %s", on, id, between[0], between[1]), "holds", "correct the one or the other")
			}
		}
	},
	"welds": func(r *reader, weld *Item) {
		role, _ := weld.Text("role")
		if role == "frame node" && len(weld.Texts("holds")) > 0 {
			r.refuse(weld, "role", "a frame node fastens no joint", "for a weld that fastens a joint write role: bracket, mount or perch")
		}
		if byContact, _ := weld.Bool("bears_by_contact"); byContact && role != "perch" {
			r.refuse(weld, "bears_by_contact", "only a spring perch can carry by contact", "write role: perch, or bears_by_contact: no")
		}
		r.pressedOn(weld)
		made, _ := weld.Text("found.made")
		if tacks, _ := weld.Count("found.tacks"); made == "none" && tacks > 0 {
			r.refuse(weld, "found.tacks", "a weld not started has no tacks", "write made: tack")
		}
	},
	"supports": func(r *reader, support *Item) {
		kind, _ := support.Text("kind")
		if per, _ := support.Text("rated_per"); per == "pair" {
			switch kind {
			case "hoist pad":
				r.refuse(support, "rated_per", "a hoist pad is not rated per pair", "write the rating under the hoist: rated or arm_rated")
			case "jack", "crane", "wheel":
				r.refuse(support, "rated_per", article(kind)+" is not rated per pair", "write rated_per: each")
			}
		}
		r.underAnotherWheel(support)
		r.bearsElsewhere(support)
	},
	"dollies": func(r *reader, dolly *Item) {
		castors, counted := dolly.Count("castors")
		at, drawn := dolly.List("castors_at")
		if counted && drawn && int64(len(at)) != castors {
			r.clash(dolly, "castors", fmt.Sprintf("it has %d castors, but castors_at names %d places", castors, len(at)), "castors_at", "correct the one or the other")
		}
	},
	"moves": func(r *reader, move *Item) {
		kind, _ := move.Text("kind")
		if pushed, _ := move.Bool("hand_push"); pushed && kind != "" && kind != "roll" {
			r.clash(move, "hand_push", "only what rolls is pushed along the floor", "kind", "write kind: roll, or hand_push: no")
		}
		builtOn, ok := r.build.Vehicle.Text("built_on")
		for i, step := range move.Steps() {
			off, _ := step.List("off")
			for _, part := range off {
				if ok && part.V == builtOn {
					r.failAt(part.Span, fmt.Sprintf("%s.steps.%d.off", move.Path(), i+1), fmt.Sprintf("%s cannot be off: everything is built on it", builtOn), "")
				}
			}
		}
	},
}

// shapes are the sizes of each shape that a section can have.
var shapes = [][]string{{"od", "wall"}, {"width", "height", "wall"}, {"diameter"}, {"width", "thickness"}}

// oneShape refuses the sizes of two shapes for one section: which of them it is decides what
// it bears.
func (r *reader) oneShape(part *Item) {
	var written []string
	for _, size := range []string{"od", "wall", "diameter", "width", "height", "thickness"} {
		if _, stands := part.Lookup("section." + size); stands {
			written = append(written, size)
		}
	}
	fits := func(shape []string) bool {
		return !slices.ContainsFunc(written, func(size string) bool { return !slices.Contains(shape, size) })
	}
	if len(written) > 1 && !slices.ContainsFunc(shapes, fits) {
		r.clash(part, "section."+written[len(written)-1], "these are the sizes of two shapes: a tube, a box, a solid bar or a flat bar", "section."+written[0], "correct the one or the other")
	}
}

// pressedOn refuses contact where nothing presses: a perch bears by contact on an axle, by a
// face, and in a checklist, which computes no loads, nothing shows that it is pressed on.
func (r *reader) pressedOn(weld *Item) {
	if byContact, _ := weld.Bool("bears_by_contact"); !byContact {
		return
	}
	if checklist, _ := r.build.Vehicle.Bool("checklist"); checklist {
		r.refuse(weld, "bears_by_contact", "a checklist computes no loads, so that nothing shows that it is pressed on", "write bears_by_contact: no")
		return
	}
	for _, id := range weld.Texts("holds") {
		held := r.build.byID[id]
		if held == nil {
			continue
		}
		kind, _ := held.Text("kind")
		onAxle := slices.ContainsFunc(held.Texts("between"), func(part string) bool {
			other := r.build.byID[part]
			if other == nil {
				return false
			}
			role, stated := other.Text("role")
			return role == "axle" || !stated
		})
		if !strings.HasSuffix(kind, "face") || !onAxle {
			r.clash(weld, "bears_by_contact", fmt.Sprintf("it holds %s, which is no face on an axle: nothing presses it on", id), "holds", "write bears_by_contact: no")
		}
	}
}

// threadedPin refuses a thread on a clevis pin: what is done up by a nut is a bolt.
func (r *reader) threadedPin(fastener *Item) {
	pin, plain := fastener.Lookup("pin")
	thread, threaded := fastener.Lookup("thread")
	if plain && threaded {
		r.failAt(thread.Span, fastener.Path()+".thread", "a clevis pin has no thread", "leave out pin or thread",
			source.Related{Span: pin.Span, Message: "pin is written here"})
	}
}

// weldedTab refuses a tab in one piece with its part where a bracket is welded for what its
// bolt holds, and the bolt holds nothing else.
func (r *reader) weldedTab(fastener *Item) {
	integral, _ := fastener.Bool("tab.integral")
	holds := fastener.Texts("holds")
	if !integral || len(holds) != 1 {
		return
	}
	for _, weld := range r.build.Of("welds") {
		if weld.Is(schema.Bracket) && slices.Equal(weld.Texts("holds"), holds) {
			v, _ := fastener.Lookup("tab.integral")
			w, _ := weld.Lookup("role")
			r.failAt(v.Span, fastener.Path()+".tab.integral", fmt.Sprintf("its tab is one piece with its part, but %s welds a bracket on for %s", weld.ID, holds[0]), "correct the one or the other",
				source.Related{Span: w.Span, Message: "role is written here"})
			return
		}
	}
}

// noVehicle are the words that stand for no production vehicle where its name is asked.
var noVehicle = []string{"", "none", "no", "unknown", "n/a", "na", "own", "own design", "own make", "ours", "mine", "self", "self-made", "home-made", "homemade", "home made", "one-off", "prototype", "tbd", "-"}

// provenOnNone refuses a proof by a vehicle that is none: what was never on one has shown nothing.
func (r *reader) provenOnNone(item *Item) {
	v, stated := item.Lookup("proven.vehicle")
	if name, _ := v.V.(string); stated && slices.Contains(noVehicle, strings.ToLower(strings.Trim(name, " ."))) {
		r.refuse(item, "proven.vehicle", fmt.Sprintf("%s is no production vehicle, and without one nothing is proven", shown(name)), "write which it comes off, or leave proven out and write a section or rating")
	}
}

// underAnotherWheel refuses a contact that names one wheel and lies under another, or is of another
// place than the wheel.
func (r *reader) underAnotherWheel(support *Item) {
	named, _ := support.Text("wheel")
	under, _ := support.Text("under")
	wheel := r.build.byID[named]
	if wheel == nil {
		return
	}
	here, there := r.build.Place(support), r.build.Place(wheel)
	at, of := WhereIs(here), WhereIs(there)
	if other := func(a, b string) bool { return a != "" && b != "" && a != b }; other(at.End, of.End) || other(at.Side, of.Side) {
		v, _ := support.Lookup("wheel")
		related := source.Related{Span: wheel.Span, Message: named + " is written here"}
		if place, written := wheel.Lookup("place"); written {
			related = source.Related{Span: place.Span, Message: "place of " + named + " is written here"}
		}
		r.failAt(v.Span, support.Path()+".wheel", fmt.Sprintf("it is said to be %s, but it is at %s, and %s at %s", named, here, named, there), "correct the one or the other", related)
		return
	}
	if under == "" || slices.Contains(r.wheelOn(wheel), under) {
		return
	}
	for _, other := range r.build.Of("wheels") {
		if other != wheel && slices.Contains(r.wheelOn(other), under) {
			r.clash(support, "wheel", fmt.Sprintf("it is said to be %s, but it is under %s, where %s is", named, under, other.ID), "under", "correct the one or the other")
			return
		}
	}
}

// wheelOn lists the parts that a wheel belongs to: what it is bolted to, and the parts
// of the joints that it holds but the frame.
func (r *reader) wheelOn(wheel *Item) []string {
	var parts []string
	if on, ok := wheel.Text("on"); ok {
		parts = append(parts, on)
	}
	for _, id := range wheel.Texts("holds") {
		if joint := r.build.byID[id]; joint != nil && joint.Kind.Name == "joints" {
			parts = append(parts, joint.Texts("between")...)
		}
	}
	return slices.DeleteFunc(parts, func(id string) bool {
		part := r.build.byID[id]
		if part == nil {
			return true
		}
		role, _ := part.Text("role")
		return role == "frame" || role == "body" || role == "axle" // both wheels of an axle are on it
	})
}

// bearsElsewhere refuses a support that bears on an arm, upright or axle and lies under a
// part that is none, where the file has such parts, or under the frame where it has any suspension; and one on a node of the frame under a
// part that is no frame. A vehicle written as one lump may stand on its arms, and one
// without a frame on the nodes of its body; and a leaf bears its axle, on whose clamp plate it may stand.
func (r *reader) bearsElsewhere(support *Item) {
	on, _ := support.Text("bears_on")
	under, _ := support.Text("under")
	part := r.build.byID[under]
	if part == nil || part.Kind.Name != "parts" {
		return
	}
	role, known := part.Text("role")
	has := func(role string) bool {
		return slices.ContainsFunc(r.build.Of("parts"), func(p *Item) bool { is, _ := p.Text("role"); return is == role })
	}
	hung := slices.ContainsFunc(r.build.Of("parts"), func(p *Item) bool { return p.Is(schema.Suspension) })
	suspended := slices.Contains([]string{"arm", "upright", "axle"}, on)
	switch {
	case !known, on == "axle" && role == "spring" && r.onClamp(support, under):
	case suspended && role != on && (has(on) || !part.Is(schema.Suspension) && hung),
		on == "frame node" && role != "frame" && (role != "body" || has("frame")):
		r.clash(support, "bears_on", fmt.Sprintf("it bears on %s, but %s, which it is under, has the role %s", article(on), under, role), "under", "correct the one or the other")
	}
}

// plateReaches is how far from the middle of a leaf's clamp on its axle a support may stand and bear on its plate, m.
const plateReaches = 0.15

// onClamp reports whether a support stands where a leaf is clamped face to face on an axle, as far as places are written.
func (r *reader) onClamp(support *Item, leaf string) bool {
	at, placed := support.Vec("at")
	return slices.ContainsFunc(r.build.Of("joints"), func(joint *Item) bool {
		kind, _ := joint.Text("kind")
		between := joint.Texts("between")
		middle, known := joint.Vec("at")
		return (kind == "bolted face" || kind == "welded face") && slices.Contains(between, leaf) &&
			(!placed || !known || math.Hypot(at.X-middle.X, at.Y-middle.Y) <= plateReaches) &&
			slices.ContainsFunc(between, func(id string) bool {
				other := r.build.byID[id]
				if other == nil || other.Kind.Name != "parts" {
					return false
				}
				role, _ := other.Text("role")
				return role == "axle"
			})
	})
}

func article(noun string) string {
	if strings.ContainsRune("aeiou", rune(noun[0])) {
		return "an " + noun
	}
	return "a " + noun
}

// unlimited is the number needed of things when the file does not say.
const unlimited = maxCount

// countable refuses more of a thing found than there can be.
func (r *reader) countable(item *Item, found, needed string, absent int64) {
	there, ok := item.Count(found)
	most, known := item.Count(needed)
	if !known {
		most = absent
	}
	if ok && there > most {
		r.refuse(item, found, fmt.Sprintf("%d found, but there should be only %d", there, most), fmt.Sprintf("correct one of the two, or write %s: %d", needed, there))
	}
}

// nonePast refuses no thread past a nut past which a pitch or more protrudes: either answers alone,
// and without the count the length would stand. In a log the newer look counts.
func (r *reader) nonePast(fastener *Item) {
	threads, counted := fastener.Count("found.threads_past")
	past, seen := fastener.Quantity("found.protruding")
	v, _ := fastener.Lookup("thread")
	thread, drawn := v.V.(quantity.Thread)
	if !r.second && counted && seen && drawn && threads == 0 && past.Value >= thread.Pitch {
		r.clash(fastener, "found.threads_past", fmt.Sprintf("no thread past the nut beside protruding %s, %.2g pitches", past, past.Value/thread.Pitch), "found.protruding", "look again, and correct the one or the other")
	}
}

// clash reports two fields that cannot both be so, with both places.
func (r *reader) clash(item *Item, path, message, other, hint string) {
	v, _ := item.Lookup(path)
	o, _ := item.Lookup(other)
	r.failAt(v.Span, item.Path()+"."+path, message, hint, source.Related{Span: o.Span, Message: other + " is written here"})
}

// refuse reports a contradiction at a field.
func (r *reader) refuse(item *Item, path, message, hint string) {
	v, _ := item.Lookup(path)
	r.failAt(v.Span, item.Path()+"."+path, message, hint)
}
