package model

import (
	"fmt"
	"slices"
	"strings"

	"setdown/model/layouts"
	"setdown/model/looks"
	"setdown/model/schema"
	"setdown/model/source"
)

// axles are how both ends of a vehicle are laid out, held against what the file lists.
type axles struct {
	*reader
	log         *looks.Log
	front, rear *layouts.Layout
	span        source.Span // where the file says it
}

// checkAxles holds what the file lists against the layouts that it says its axles
// have. A vehicle from which a Panhard rod is not listed may well stand in the
// statics; the layout knows that there is one. Somebody who has taken it out on
// purpose says so in the log: struck, with why, day and name.
func (r *reader) checkAxles(log *looks.Log) {
	found, span := r.axleLayouts()
	checklist, _ := r.build.Vehicle.Bool("checklist")
	if found[0] == nil || found[1] == nil {
		if len(r.build.Axles) > 0 || checklist {
			r.unsaidAxles(span)
		}
		return
	}
	a := axles{r, log, found[0], found[1], span}
	a.checkNone()
	a.checkWheels()
	if checklist {
		a.checkHolders()
	} else {
		a.checkMembers()
	}
}

// axleLayouts finds the layouts that the file names, front and rear; nil for an end of which it says
// none, or one that there is not.
func (r *reader) axleLayouts() (found [2]*layouts.Layout, span source.Span) {
	for _, a := range r.build.Axles {
		layout, err := layouts.Find(a.Layout)
		i := slices.Index([]string{"front", "rear"}, a.Name)
		switch {
		case i < 0:
			r.failAt(a.Span, "axles", fmt.Sprintf("%s is no axle", shown(a.Name)), "the axles are front and rear")
		case a.Layout == otherLayout || a.Layout == noAxle:
			found[i], span = &layouts.Layout{Name: map[string]string{otherLayout: "an axle of its own kind", noAxle: "no axle"}[a.Layout]}, a.Span
		case err != nil:
			r.failAt(a.Span, "axles."+a.Name, err.Error(), fmt.Sprintf("%s where it has none of these names, %s where there is no such axle", otherLayout, noAxle))
		default:
			found[i], span = layout, a.Span
		}
	}
	return found, span
}

// checkNone stops a file that says of an end that it has no axle and lists there a wheel or what joins one
// to the frame: nothing would hold that end against what an axle needs.
func (a axles) checkNone() {
	for _, axle := range a.build.Axles {
		if axle.Layout != noAxle {
			continue
		}
		var there []string
		for _, kind := range schema.Kinds() {
			for _, item := range a.build.Of(kind.Name) {
				if ofAxle(item) && WhereIs(a.build.Place(item)).End == axle.Name {
					there = append(there, item.ID)
				}
			}
		}
		if len(there) > 0 {
			a.build.Troubles = append(a.build.Troubles, looks.Trouble{Span: axle.Span,
				Message: fmt.Sprintf("the file says that the vehicle has no axle at its %s, and lists %s there", axle.Name, namesOf(there)),
				Hint:    fmt.Sprintf("write how the axle is laid out, by its trade name; %s where it has none", otherLayout)})
		}
	}
}

// ofAxle reports whether there is an axle where there is such a thing: a wheel, what it turns on, or the bolt of a pivot.
func ofAxle(item *Item) bool {
	kind, role := "", ""
	switch item.Kind.Name {
	case "wheels":
		return true
	case "supports":
		kind, _ = item.Text("kind")
	case "parts", "fasteners":
		role, _ = item.Text("role")
	}
	return kind == "wheel" || slices.Contains([]string{"axle", "arm", "upright", "wheel", "pivot", "U-bolt"}, role)
}

// checkWheels refuses fewer wheels than the axles have.
func (a axles) checkWheels() {
	least := int64(4)
	for _, layout := range []*layouts.Layout{a.front, a.rear} {
		if layout.Single() {
			least--
		}
	}
	if v, stated := a.build.Vehicle.Lookup("wheels"); stated && v.V.(int64) < least {
		a.failAt(v.Span, "vehicle.wheels", fmt.Sprintf("with %s in front and %s behind it has at least %d wheels", a.front.Name, a.rear.Name, least), "correct wheels, or its axles")
	}
}

// short stops a file that lists less of something than the axles have.
func (a axles) short(what string, wanted, there int, missing []string) {
	which := ""
	if len(missing) > 0 {
		which = " (" + strings.Join(missing, ", ") + ")"
	}
	a.build.Troubles = append(a.build.Troubles, looks.Trouble{Span: a.span,
		Message: fmt.Sprintf("a vehicle with %s in front and %s behind has %s: %d; listed: %d%s", a.front.Name, a.rear.Name, what, wanted, there, which),
		Hint:    "list what was forgotten, with the roles of its parts; what this vehicle has not is struck in the log: struck: {item: ..., why: ...}, with day and name"})
}

// checkMembers holds the joints and links of a file against those of its axles, by the roles of the
// parts that they join.
func (a axles) checkMembers() {
	have := map[string]int{}
	key := func(sort, a, b string) string { return sort + " " + min(a, b) + " " + max(a, b) }
	role := func(part string) string {
		if item := a.build.byID[part]; item != nil && item.Kind.Name == "parts" {
			text, _ := item.Text("role")
			return text
		}
		return ""
	}
	for _, joint := range a.build.Of("joints") {
		kind, _ := joint.Text("kind")
		if parts := joint.Texts("between"); len(parts) == 2 {
			have[key(layouts.Sort(kind), role(parts[0]), role(parts[1]))]++
		}
	}
	for _, link := range a.build.Of("links") {
		var on []string
		for _, end := range endNames(link) {
			part, _ := link.Text("ends." + end + ".on")
			on = append(on, role(part))
		}
		if len(on) == 2 {
			have[key("link", on[0], on[1])] += members(link)
		}
	}
	for _, m := range layouts.Of(a.front, a.rear) {
		there := have[key(m.Sort, m.Roles[0], m.Roles[1])]
		var missing []string
		struck := 0
		for _, id := range m.IDs {
			switch {
			case a.build.byID[id] != nil:
			case isStruck(a.log, id):
				struck++
			default:
				missing = append(missing, id)
			}
		}
		for _, id := range m.Brackets {
			a.brackets[id] = true
		}
		if there+struck < len(m.IDs) {
			a.short(fmt.Sprintf("%s between %s and %s", plural[m.Sort], m.Roles[0], m.Roles[1]), len(m.IDs), there+struck, missing)
		}
	}
}

// What a file says of an axle that is laid out as no layout is, and where it has none.
const otherLayout, noAxle = "other", "none"

// unsaidAxles stops a file that leaves out how an axle is laid out: a checklist, in which nothing
// else knows what there has to be, and one that says it of one end.
func (r *reader) unsaidAxles(span source.Span) {
	unsaid := slices.DeleteFunc([]string{"front", "rear"}, func(end string) bool {
		return slices.ContainsFunc(r.build.Axles, func(a Axle) bool { return a.Name == end })
	})
	if len(unsaid) == 0 {
		return // it is refused as it is written
	}
	if span == (source.Span{}) {
		span = r.build.Vehicle.Span
	}
	r.build.Troubles = append(r.build.Troubles, looks.Trouble{Span: span,
		Message: "nobody wrote how each axle is laid out: " + strings.Join(unsaid, ", "),
		Hint:    fmt.Sprintf("write it as axles: {front: double wishbone, rear: leaves}, by its trade name; %s where it has none, %s where there is no such axle", otherLayout, noAxle)})
}

// checkHolders holds the pieces of a checklist, in which nothing says what joins what, against
// what holds its axles by their layouts: bolts by what they are for, so that the engine's stand
// in for none of an arm, those of the whole vehicle, and those of each end.
func (a axles) checkHolders() {
	held, before := layouts.Held(a.front, a.rear), false // the sort before is short
	for _, sort := range holderSorts {
		if sort.part && before {
			continue
		}
		before = false
		for _, end := range []string{"", "front", "rear"} {
			if before = a.checkSort(sort, held, end); before {
				break
			}
		}
	}
	for _, end := range []string{"front", "rear"} {
		a.checkStruck(held, end)
	}
}

// checkStruck stops a file in which bolts or stud nuts that an axle needs are struck out and no others are
// listed in their place. Only what holds a bar that locates the axle may be struck for nothing: what each
// wheel hangs on, springs or steers by is there, or is held by something else.
func (a axles) checkStruck(held []layouts.Holders, end string) {
	wanted, there := 0, 0
	var struck []string
	for _, h := range held {
		out := a.build.byID[h.ID] == nil && isStruck(a.log, h.ID)
		switch {
		case h.End != end || h.Section != "fasteners" && h.Section != "stud_nuts" || h.Once && out:
		case out:
			struck = append(struck, h.ID)
			fallthrough
		default:
			wanted += h.Pieces
		}
	}
	if len(struck) == 0 {
		return
	}
	for _, kind := range []string{"fasteners", "stud_nuts"} {
		for _, item := range a.build.Of(kind) {
			if kind == "fasteners" {
				if role, _ := item.Text("role"); !slices.Contains(holdingRoles, role) {
					continue
				}
			}
			if !a.elsewhere(item, end) {
				there += pieces(item)
			}
		}
	}
	if there < wanted {
		a.build.Troubles = append(a.build.Troubles, looks.Trouble{Span: a.span,
			Message: fmt.Sprintf("%s struck out, and nothing is listed in its place: bolts and stud nuts that hold, spring and steer its %s: %d; listed: %d", namesOf(struck), end, wanted, there),
			Hint:    fmt.Sprintf("list what holds it; what has not come yet is listed, and seen in the log with fitted: no; an axle that has none is laid out otherwise: axles: {%s: %s}", end, otherLayout)})
	}
}

// namesOf names the first items of a list.
func namesOf(ids []string) string {
	const few = 4
	if len(ids) > few {
		return fmt.Sprintf("%s and %d more", strings.Join(ids[:few], ", "), len(ids)-few)
	}
	return strings.Join(ids, ", ")
}

// checkSort stops a file that lists less of a sort than is needed at an end, or in all. What has no
// end by its place may be of either.
func (a axles) checkSort(sort holderSort, held []layouts.Holders, end string) (short bool) {
	takes := func(role string) bool { return sort.roles == nil || slices.Contains(sort.roles, role) }
	wanted, there := 0, 0
	var missing []string
	for _, h := range held {
		if h.Section != sort.section || !takes(h.Role) || end != "" && h.End != end {
			continue
		}
		wanted += h.Pieces
		switch item := a.build.byID[h.ID]; {
		case item != nil && a.elsewhere(item, end):
			missing = append(missing, h.ID+" is of another end by its place")
		case item != nil:
		case isStruck(a.log, h.ID):
			there += h.Pieces
		default:
			missing = append(missing, h.ID)
		}
	}
	for _, item := range a.build.Of(sort.section) {
		role := ""
		if sort.roles != nil {
			role, _ = item.Text("role")
		}
		if takes(role) && !a.elsewhere(item, end) {
			there += pieces(item)
		}
	}
	if there >= wanted {
		return false
	}
	name := sort.name
	if end != "" {
		name += " at its " + end
	}
	a.short(name, wanted, there, missing)
	return true
}

// pieces are how many an item stands for; of spacers none, where it does not say.
func pieces(item *Item) int {
	n, stated := item.Count("needed")
	if !stated && item.Kind.Name != "spacers" {
		return 1
	}
	return int(n)
}

// elsewhere reports whether an item is of another end of the vehicle, by its place.
func (a axles) elsewhere(item *Item, end string) bool {
	at := WhereIs(a.build.Place(item)).End
	return end != "" && at != "" && at != end
}

// holdingRoles are those of bolts that hold, spring or steer an axle.
var holdingRoles = []string{"pivot", "clamp", "U-bolt", "spring mount", "steering mount", "track rod", "pinch bolt"}

// outboard are the roles of the welds that hold an axle.
var outboard = schema.KindOf("welds").Field("role").Sorts[schema.Outboard]

type holderSort struct {
	name, section string
	roles         []string
	part          bool // of the sort before it, and said where that is whole
}

// holderSorts are the sorts of pieces that hold an axle, and their roles where they have any. A mount
// of a strut may be listed as what holds an arm, and what holds an arm never as one of a strut.
var holderSorts = []holderSort{
	{"bolts of its arms, springs and steering", "fasteners", without(holdingRoles, "U-bolt"), false},
	{"bolts of its arms, leaves and steering", "fasteners", []string{"pivot", "clamp", "steering mount", "track rod", "pinch bolt"}, true},
	{"U-bolts", "fasteners", []string{"U-bolt"}, false},
	{"stud nuts", "stud_nuts", nil, false},
	{"spacers", "spacers", nil, false},
	{"brackets", "welds", outboard, false},
	{"brackets that are no spring mounts", "welds", without(outboard, "spring mount"), true},
}

func without(roles []string, other string) []string {
	return slices.DeleteFunc(slices.Clone(roles), func(role string) bool { return role == other })
}

var plural = map[string]string{"face": "bolted faces", "joint": "joints", "link": "links"}

// isStruck says whether somebody wrote that the vehicle has no such thing.
func isStruck(log *looks.Log, id string) bool {
	return slices.ContainsFunc(log.Notes, func(n *looks.Note) bool { return n.Word == looks.Struck && n.Item == id && n.By != "" })
}
