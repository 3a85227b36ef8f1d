package plain

import (
	"fmt"
	"slices"
	"strings"
)

// namesShown is how many ids are named before the others are counted.
const namesShown = 6

// Names words several ids as people say them: what they share is said once, as in
// 'rl-, rr-toe-mount' and 'stand-fl, -fr, -rl'. Of many the first are named.
func Names(ids []string) string {
	if len(ids) < 2 {
		return strings.Join(ids, "")
	}
	if text := everywhere(ids); text != "" {
		return text
	}
	if more := len(ids) - namesShown; more > 0 {
		return fmt.Sprintf("%s and %d more", listed(ids[:namesShown]), more)
	}
	return listed(ids)
}

// listed names several ids one by one.
func listed(ids []string) string {
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

// everywhere names several things that stand in the same way at several corners, as in
// 'upper-, lower-bolt at fl, fr'; nothing where they do not.
func everywhere(ids []string) string {
	var corners, things []string
	for _, id := range ids {
		corner, thing, _ := strings.Cut(id, "-")
		if !slices.Contains(corners, corner) {
			corners = append(corners, corner)
		}
		if !slices.Contains(things, thing) {
			things = append(things, thing)
		}
	}
	if len(corners) < 2 || len(things) < 2 || len(corners)*len(things) != len(ids) || slices.Contains(things, "") {
		return ""
	}
	return Names(things) + " at " + strings.Join(corners, ", ")
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
