package model

import (
	"fmt"
	"slices"
	"strings"

	"setdown/model/looks"
	"setdown/model/schema"
)

// holding are the kinds of things that a joint has because of what it is and what it joins,
// with what one is called.
var holding = []struct{ kind, one string }{{"fasteners", "bolt"}, {"stud_nuts", "stud nut"}, {"spacers", "spacers"}, {"welds", "weld"}}

// checkFamilies misses, at a joint that is like others of the same two kinds of part, what
// holds these: alike joints are held alike, and the one without bolt, spacers or bracket was
// forgotten, unless somebody has struck that out in the log, with why, day and name. Where
// none of them has a bracket, the layout of the axle knows whether they stand in one.
func (r *reader) checkFamilies(log *looks.Log) {
	held := map[string]map[string]string{} // by joint and kind, what holds it
	for _, h := range holding {
		for _, item := range r.build.Of(h.kind) {
			for _, id := range item.Texts("holds") {
				if held[id] == nil {
					held[id] = map[string]string{}
				}
				held[id][h.kind] = item.ID
			}
		}
	}
	type family struct {
		first *Item
		roles string // of the two parts: an arm on the frame is held otherwise than on an engine
	}
	families := map[family][]*Item{}
	of := func(joint *Item) family {
		var roles []string
		for _, id := range joint.Texts("between") {
			if part := r.build.byID[id]; part != nil && part.Kind.Name == "parts" {
				role, _ := part.Text("role")
				roles = append(roles, role)
			}
		}
		slices.Sort(roles)
		return family{r.firstOf(joint), strings.Join(roles, " ")}
	}
	for _, joint := range r.build.Of("joints") {
		if kind, _ := joint.Text("kind"); strings.HasSuffix(kind, "face") {
			continue // a face is bolted, clamped or welded as the two parts are made
		}
		families[of(joint)] = append(families[of(joint)], joint)
	}
	for _, joint := range r.build.Of("joints") {
		alike := families[of(joint)]
		for _, h := range holding {
			i := slices.IndexFunc(alike, func(other *Item) bool { return held[other.ID][h.kind] != "" })
			byLayout := h.kind == "welds" && r.brackets[joint.ID] && !r.oneWithPart(joint)
			if i < 0 && !byLayout || !slices.Contains(alike, joint) || held[joint.ID][h.kind] != "" || struckAt(log, joint.ID) {
				continue
			}
			message := fmt.Sprintf("%s stands in a bracket by the layout of its axle; the file lists no weld for it", joint.ID)
			if i >= 0 {
				message = fmt.Sprintf("%s is like %s, which has %s %s; the file lists none for it", joint.ID, alike[i].ID, h.one, held[alike[i].ID][h.kind])
			}
			r.build.Troubles = append(r.build.Troubles, looks.Trouble{Span: joint.Span,
				Message: message,
				Hint:    "list it; what this joint has not is struck in the log: struck: {item: ..., why: ...}, with day and name"})
		}
	}
}

// oneWithPart says whether a bolt of a joint bears in a tab that is one with its part.
func (r *reader) oneWithPart(joint *Item) bool {
	return slices.ContainsFunc(r.build.Of("fasteners"), func(bolt *Item) bool {
		integral, _ := bolt.Bool("tab.integral")
		return integral && slices.Contains(bolt.Texts("holds"), joint.ID)
	})
}

// firstOf is the item that one is like in the end, over all that lie between and over the
// mirror.
func (r *reader) firstOf(item *Item) *Item {
	for range schema.Kinds() { // a ring was refused
		switch like, ok := r.like[item]; {
		case item.MirroredFrom != "" && r.build.byID[item.MirroredFrom] != nil:
			item = r.build.byID[item.MirroredFrom]
		case ok && r.build.byID[like.base] != nil:
			item = r.build.byID[like.base]
		default:
			return item
		}
	}
	return item
}

// struckAt says whether somebody wrote that a joint has not what others like it have.
func struckAt(log *looks.Log, id string) bool {
	return slices.ContainsFunc(log.Notes, func(n *looks.Note) bool {
		return n.Word == looks.Struck && n.By != "" && (n.Item == id || strings.HasPrefix(n.Item, id+"-"))
	})
}
