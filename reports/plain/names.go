package plain

import (
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
