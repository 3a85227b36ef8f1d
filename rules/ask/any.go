package ask

import (
	"fmt"
	"slices"
	"strings"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/verdict"
)

// Any is the question that an answer is to when the round does not ask it: what somebody
// saw is kept whether or not the move hangs on it now. Only what the file does not have is
// refused, by its name.
func Any(b *model.Build, units quantity.System, a Answer) (*verdict.Question, error) {
	if len(a.Of) == 0 {
		return nil, fmt.Errorf("an answer says of what it is: of: [item]")
	}
	var all *verdict.Question
	for _, name := range a.Of {
		q, err := anyOf(b, units, name, a.Fact)
		switch {
		case err != nil:
			return nil, err
		case all == nil:
			all = q
		case all.Kind != q.Kind:
			return nil, fmt.Errorf("%s is a %s and %s a %s; say it of each by itself", a.Of[0], all.Item, name, q.Item)
		default:
			join(all, q)
		}
	}
	return all, nil
}

// Things lists all that can be looked at, place by place in walk-round order, by name.
func Things(b *model.Build) []verdict.Screen {
	a := &asker{build: b, wanted: map[string]*want{}}
	for id, thing := range b.Things {
		if thing.Kind.Found() != nil {
			a.want(id, &verdict.Finding{})
		}
	}
	var screens []verdict.Screen
	for _, w := range a.inOrder() {
		if len(screens) == 0 || screens[len(screens)-1].Place != w.place {
			screens = append(screens, verdict.Screen{Place: w.place})
		}
		s := &screens[len(screens)-1]
		s.Questions = append(s.Questions, verdict.Question{Kind: w.thing.Kind.Name, Item: w.thing.Kind.Item, Of: []verdict.Asked{{ID: w.thing.ID, Members: w.thing.Members}}})
	}
	return screens
}

// Faults is all that can be wrong with one thing: a line for each fact that is found at it.
func Faults(b *model.Build, units quantity.System, name string) (*verdict.Question, error) {
	q, err := anyOf(b, units, name, "")
	if err != nil {
		return nil, err
	}
	id, _ := looks.SplitMember(name)
	thing := b.Things[id]
	q.Lines = nil
	fields := thing.Kind.Found().Fields
	for i := range fields {
		if f := &fields[i]; f.Life != schema.OfLook {
			q.Lines = append(q.Lines, line(thing, f, units))
		}
	}
	return q, nil
}

// anyOf is the question after one item: its card where the fact is empty.
func anyOf(b *model.Build, units quantity.System, name, fact string) (*verdict.Question, error) {
	id, member := looks.SplitMember(name)
	thing := b.Things[id]
	if thing == nil || thing.Kind.Found() == nil {
		return nil, fmt.Errorf("the file has no %s to look at", name)
	}
	if member > thing.Members {
		return nil, fmt.Errorf("%s: it has only %d", name, thing.Members)
	}
	q := &verdict.Question{Kind: thing.Kind.Name, Item: thing.Kind.Item, Fact: fact, Of: []verdict.Asked{{ID: name, Members: 1, Print: thing.Print()}}}
	if member == 0 {
		q.Of[0].Members = thing.Members
	}
	if fact == "" {
		card := (&want{thing: thing, item: b.Item(id), units: units}).card()
		q.Card, q.Lines, q.Open = card.Card, card.Lines, card.Open
		return q, nil
	}
	field := thing.Kind.Found().Field(fact)
	if field == nil || field.Life == schema.OfLook {
		var known []string
		for _, f := range thing.Kind.Found().Fields {
			if f.Life != schema.OfLook {
				known = append(known, f.Name)
			}
		}
		return nil, fmt.Errorf("%s: %q is nothing that is looked at on a %s (there are %s)", name, fact, thing.Kind.Item, strings.Join(known, ", "))
	}
	q.Lines = []verdict.Line{line(thing, field, units)}
	return q, nil
}

// join makes one question of two after alike things. 'Good' says no more than it says of
// each, and a bare number has no unit where their drawings have two.
func join(all, q *verdict.Question) {
	all.Of = append(all.Of, q.Of...)
	for _, fact := range q.Open {
		if !slices.Contains(all.Open, fact) {
			all.Open = append(all.Open, fact)
		}
	}
	if all.Fact == "" {
		all.Lines = slices.DeleteFunc(all.Lines, func(l verdict.Line) bool { return q.Line(l.Fact) == nil })
		return
	}
	l, other := &all.Lines[0], q.Lines[0]
	l.MayNotApply = l.MayNotApply && other.MayNotApply
	if l.Unit != other.Unit {
		l.Unit = ""
	}
}

// Turn is when an answer is taken among those that come together: first how far a thing
// is made, which ends what was seen on an earlier make, then cards, then single facts. So
// a fault stands whichever of them was written first.
func Turn(b *model.Build, a Answer) int {
	if a.Fact == "" {
		return 1
	}
	for _, name := range a.Of {
		id, _ := looks.SplitMember(name)
		if thing := b.Things[id]; thing != nil {
			if f := thing.Kind.Found().Field(a.Fact); f != nil && makes(f) {
				return 0
			}
		}
	}
	return 2
}
