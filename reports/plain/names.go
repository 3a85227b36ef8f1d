package plain

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// namesShown is how many ids are named before the others are counted.
const namesShown = 6

// Names words several ids as people say them: what they share is said once, as in
// 'rl-, rr-toe-mount', 'stand-fl, -fr, -rl' and 'top-, low-bolt at fl, fr'. Of many the first
// are named.
func Names(ids []string) string { return names(ids, namesShown) }

// AllNames words several ids as Names does and leaves none out.
func AllNames(ids []string) string { return names(ids, math.MaxInt) }

// corners are the letters by which the trade calls them, as words.
var corners = map[string]struct{ end, side string }{
	"fl": {"front", "left"}, "fr": {"front", "right"}, "rl": {"rear", "left"}, "rr": {"rear", "right"},
	"lf": {"front", "left"}, "rf": {"front", "right"}, "lr": {"rear", "left"},
}

// Called words several items as people say them aloud, the corner first where an id has the letters
// of one: 'front right lower nut', 'rear right and left toe mount'. Of many the first are named.
func Called(ids []string) string {
	type group struct{ corners, things []string }
	var groups []group
	shown := min(len(ids), namesShown)
	for _, id := range ids[:shown] {
		corner, thing := atCorner(id)
		same := func(g group) bool { return corner != "" && len(g.corners) > 0 && g.things[0] == thing }
		if i := slices.IndexFunc(groups, same); i >= 0 {
			groups[i].corners = append(groups[i].corners, corner)
			continue
		}
		g := group{things: []string{thing}}
		if corner != "" {
			g.corners = []string{corner}
		}
		groups = append(groups, g)
	}
	single := groups
	groups = nil
	for _, g := range single {
		if i := slices.IndexFunc(groups, func(o group) bool { return len(g.corners) > 0 && slices.Equal(o.corners, g.corners) }); i >= 0 {
			groups[i].things = append(groups[i].things, g.things...)
			continue
		}
		groups = append(groups, g)
	}
	var words []string
	for _, g := range groups {
		words = append(words, strings.TrimSpace(cornerWords(g.corners)+" "+strings.Join(g.things, ", ")))
	}
	text := strings.Join(words, "; ")
	if more := len(ids) - shown; more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return text
}

// atCorner parts an id into the corner that its first or last word names and the thing as it is
// said. A word of one letter keeps its hyphen, as in u-bolt.
func atCorner(id string) (corner, thing string) {
	list := strings.FieldsFunc(id, func(r rune) bool { return r == '-' || r == '_' })
	for _, i := range []int{0, len(list) - 1} {
		if len(list) < 2 {
			break
		}
		if _, ok := corners[strings.ToLower(list[i])]; ok {
			corner, list = strings.ToLower(list[i]), slices.Delete(list, i, i+1)
			break
		}
	}
	for i, word := range list {
		if i > 0 && len(list[i-1]) > 1 {
			thing += " "
		} else if i > 0 {
			thing += "-"
		}
		thing += word
	}
	return corner, cmp.Or(thing, id)
}

// cornerWords says corners: 'front left and right, rear left'.
func cornerWords(list []string) string {
	var words []string
	last := ""
	for _, c := range list {
		at := corners[c]
		if at.end == last {
			words[len(words)-1] += " and " + at.side
			continue
		}
		words, last = append(words, at.end+" "+at.side), at.end
	}
	return strings.Join(words, ", ")
}

func names(ids []string, most int) string {
	var words []string
	between := ", "
	room, more := most, 0
	for _, g := range alike(ids) {
		switch cost := max(len(g.corners), len(g.things)); {
		case room <= 0 || room < most && cost > room:
			room = 0
			more += len(g.ids)
		case len(g.corners) > 1 && len(g.things) > 1:
			room -= cost
			between = "; " // corners are a list of their own
			shown := min(len(g.things), most)
			more += (len(g.things) - shown) * len(g.corners)
			words = append(words, listed(g.things[:shown])+" at "+strings.Join(g.corners, ", "))
		default:
			shown := min(len(g.ids), room)
			room -= shown
			more += len(g.ids) - shown
			words = append(words, listed(g.ids[:shown]))
		}
	}
	text := strings.Join(words, between)
	if more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return text
}

// group is ids that are said together: each thing stands at each corner.
type group struct{ corners, things, ids []string }

// alike puts the things together that stand at the same corners. The corner is what comes
// before the first hyphen.
func alike(ids []string) []group {
	var groups []group
	at := func(match func(group) bool) *group {
		if i := slices.IndexFunc(groups, match); i >= 0 {
			return &groups[i]
		}
		groups = append(groups, group{})
		return &groups[len(groups)-1]
	}
	for _, id := range ids {
		corner, thing, _ := strings.Cut(id, "-")
		g := at(func(g group) bool { return thing != "" && g.things[0] == thing })
		g.corners, g.things, g.ids = append(g.corners, corner), []string{thing}, append(g.ids, id)
	}
	single := groups
	groups = nil
	for _, s := range single {
		g := at(func(g group) bool {
			return slices.Equal(g.corners, s.corners) && s.things[0] != "" && g.things[0] != ""
		})
		g.corners, g.things, g.ids = s.corners, append(g.things, s.things...), append(g.ids, s.ids...)
	}
	return groups
}

// listed names several ids one by one.
func listed(ids []string) string {
	if len(ids) < 2 {
		return strings.Join(ids, "")
	}
	head, tail := shared(ids, false), shared(ids, true)
	words := slices.Clone(ids)
	switch {
	case len(head) >= len(tail) && len(head) > 0:
		for i := range words[1:] {
			words[i+1] = strings.TrimPrefix(words[i+1], head[:len(head)-1])
		}
	case len(tail) > 0:
		for i := range words[:len(words)-1] {
			words[i] = strings.TrimSuffix(words[i], tail[1:])
		}
	}
	return strings.Join(words, ", ")
}

// shared is the beginning of all ids up to and with a hyphen, or the end from a hyphen
// on. Something of every id is left.
func shared(ids []string, atEnd bool) string {
	cut := func(s string) []string {
		list := strings.SplitAfter(s, "-")
		if atEnd {
			list = strings.Split(s, "-")
			for i := range list[1:] {
				list[i+1] = "-" + list[i+1]
			}
			slices.Reverse(list)
		}
		return list
	}
	same := cut(ids[0])
	same = same[:len(same)-1]
	for _, id := range ids[1:] {
		other := cut(id)
		n := 0
		for n < min(len(same), len(other)-1) && same[n] == other[n] {
			n++
		}
		same = same[:n]
	}
	if atEnd {
		same = slices.Clone(same)
		slices.Reverse(same)
	}
	return strings.Join(same, "")
}

// Spoken words the name of a place or kind of the build file.
func Spoken(s string) string { return strings.NewReplacer("-", " ", "_", " ").Replace(s) }
