package plain

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"setdown/rules/verdict"
)

// Until says how long a GO stays one and what runs out then; empty of a NO-GO, where nothing
// ends it, and where that is so soon that a caution says it.
func Until(m *verdict.Move) string {
	if m.Until == nil || m.Until.Soon {
		return ""
	}
	return Holds(m.Until)
}

// Holds is the same where no list of cautions stands beside it; empty where nothing ends a GO.
func Holds(u *verdict.Until) string {
	if u == nil {
		return ""
	}
	ends := map[verdict.EndingWhat][]string{}
	var words []string
	for _, e := range u.Ends {
		if !slices.Contains(ends[e.What], e.Item) {
			ends[e.What] = append(ends[e.What], e.Item)
		}
		if e.What == verdict.EndsOther {
			words = append(words, e.Say)
		}
	}
	var then []string
	if of := ends[verdict.EndsLook]; len(of) > 0 {
		then = append(then, "the look at "+few(of)+" is too old")
	}
	if of := ends[verdict.EndsWaiver]; len(of) > 0 {
		then = append(then, "the waiver for "+few(of)+" runs out")
	}
	if len(words) > 0 {
		then = append(then, words[0])
	}
	return fmt.Sprintf("It stays so until %s, with floor, people and supports looked at again on the day: then %s.", u.Last, strings.Join(then, "; "))
}

// few names the first of several items and counts the others.
func few(items []string) string {
	if len(items) == 1 {
		return items[0]
	}
	return fmt.Sprintf("%s and %d more", items[0], len(items)-1)
}

// Awaited says of an order, or of several, what the move does once it has come.
func Awaited(r *verdict.Report, a verdict.Awaited) string {
	then := "then this move goes"
	if a.Stops > 0 {
		then = "then " + Count(a.Stops, "stop is", "stops are") + " left"
	}
	if len(a.Orders) > 1 {
		return fmt.Sprintf("all %d of them here, fitted and looked at: %s", len(a.Orders), then)
	}
	words := a.Orders[0]
	for i := range r.Orders {
		if r.Orders[i].ID == a.Orders[0] {
			words = Ordered(&r.Orders[i])
		}
	}
	return fmt.Sprintf("%s. Here, fitted and looked at (%s): %s", words, Names(a.For), then)
}

// Ordered says what is ordered and where it stands.
func Ordered(o *verdict.Order) string {
	text := cmp.Or(o.What, o.ID)
	if o.Ordered > 1 {
		text = fmt.Sprintf("%d × %s", o.Ordered, text)
	}
	switch o.State {
	case verdict.Overdue:
		text += ": overdue since " + o.Expected.String()
	case verdict.Unchecked:
		return text + ": here; is it what was ordered, right thread, right taper?"
	case verdict.WrongPart:
		return text + ": here, and not what was ordered"
	case verdict.Here:
		return text + ": here, to be fitted"
	default:
		text += ": on order"
		if o.Expected != nil {
			text += ", not before " + o.Expected.String()
		}
	}
	if o.Arrived > 0 {
		text += fmt.Sprintf(", %d here", o.Arrived)
	}
	return text
}

// Orders lists what is ordered, for a board, with the moves that it frees by itself.
func Orders(r *verdict.Report) []string {
	var list []string
	for i := range r.Orders {
		o := &r.Orders[i]
		text := Ordered(o)
		var frees []string
		for j := range r.Moves {
			for _, a := range r.Moves[j].Awaits {
				if a.Stops == 0 && slices.Equal(a.Orders, []string{o.ID}) {
					frees = append(frees, r.Moves[j].ID)
				}
			}
		}
		if len(frees) > 0 {
			text += "; here, fitted and looked at it frees " + strings.Join(frees, ", ")
		}
		list = append(list, text)
	}
	return list
}
