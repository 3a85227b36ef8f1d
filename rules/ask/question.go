package ask

import (
	"maps"
	"slices"
	"strings"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/verdict"
)

// maxTogether is the most items that one question names: each of them is looked at.
const maxTogether = 8

// questions asks after the things of one spot: alike ones together, one that was found
// wrong by itself. How far a thing is made or tightened comes first, for saying so ends
// what was seen on an earlier make; then the cards; then what a card does not say.
func questions(list []*want) []verdict.Question {
	var makes, cards, facts []verdict.Question
	for _, w := range singled(list) {
		lines, open := cardLines(w)
		onCard := func(name string) bool {
			return slices.ContainsFunc(lines, func(l verdict.Line) bool { return l.Fact == name })
		}
		names := w.names()
		if slices.ContainsFunc(names, onCard) || len(names) == 0 && len(lines) > 0 {
			cards = together(cards, w, verdict.Question{Card: looks.CardVersion(w.thing.Kind), Lines: lines, Open: open})
		}
		for _, name := range names {
			if onCard(name) {
				continue
			}
			field := w.thing.Kind.Found().Field(name)
			q := verdict.Question{Fact: name, Lines: []verdict.Line{line(w.thing, field)}, Each: field.Critical}
			if field.Critical && field.Remakes != nil {
				makes = together(makes, w, q)
			} else {
				facts = together(facts, w, q)
			}
		}
	}
	return slices.Concat(makes, cards, facts)
}

// singled asks after every member of a group that was found wrong by itself: a look at the
// group does not end it.
func singled(list []*want) []*want {
	var all []*want
	for _, w := range list {
		if w.thing.Members == 1 || len(w.faults) == 0 {
			all = append(all, w)
			continue
		}
		group := *w
		group.faults, group.facts = nil, maps.Clone(w.facts)
		members := map[string]*want{}
		var names []string
		for _, was := range w.faults {
			delete(group.facts, was.Fact)
			m := members[was.Item]
			if m == nil {
				one := *w
				one.member, one.faults, one.facts = was.Item, nil, map[string]bool{}
				m, members[was.Item] = &one, &one
				names = append(names, was.Item)
			}
			m.faults = append(m.faults, was)
		}
		slices.Sort(names)
		for _, name := range names {
			all = append(all, members[name])
		}
		if len(group.names()) > 0 {
			all = append(all, &group)
		}
	}
	return all
}

// names lists the facts that are wanted, in the order of the card; a day alone is none.
func (w *want) names() []string {
	var names []string
	for _, f := range w.thing.Kind.Found().Fields {
		wrong := slices.ContainsFunc(w.faults, func(was verdict.HistoryFact) bool { return was.Fact == f.Name })
		if (w.facts[f.Name] || wrong) && f.Life != schema.OfLook {
			names = append(names, f.Name)
		}
	}
	return names
}

// together adds a thing to a question that asks the same of alike things, or asks it
// by itself. A length, a name or a number is of one thing.
func together(questions []verdict.Question, w *want, q verdict.Question) []verdict.Question {
	q.Kind, q.Item, q.Was, q.Around, q.First = w.thing.Kind.Name, w.thing.Kind.Item, w.faults, w.around(), w.first
	asked := verdict.Asked{ID: w.thing.ID, Members: w.thing.Members, Print: w.thing.Print}
	if w.member != "" {
		asked.ID, asked.Members = w.member, 1
	}
	for i := range questions {
		other := &questions[i]
		alike := other.Kind == q.Kind && other.Fact == q.Fact && other.First == q.First && len(other.Of) < maxTogether && len(other.Was)+len(q.Was) == 0 &&
			slices.Equal(other.Open, q.Open) && slices.EqualFunc(other.Lines, q.Lines, sameLine) && shared(q)
		if alike {
			other.Of = append(other.Of, asked)
			return questions
		}
	}
	q.Of = []verdict.Asked{asked}
	return append(questions, q)
}

// shared says whether one answer may be of several things: a card, a word, or a measure
// of which the lowest is held against one drawn figure.
func shared(q verdict.Question) bool {
	if q.Fact == "" {
		return true
	}
	line := q.Lines[0]
	return len(line.Words) > 0 || line.Drawn != "" && line.Unit != "" && !line.Pair
}

func sameLine(a, b verdict.Line) bool {
	return a.Fact == b.Fact && a.Drawn == b.Drawn
}

// cardLines are the lines of a card that 'good' states of a thing; open are those that it
// would state and that are not on it.
func cardLines(w *want) (lines []verdict.Line, open []string) {
	fields := w.thing.Kind.Found().Fields
	for i := range fields {
		f := &fields[i]
		_, states := w.thing.States(f)
		if !states || f.Name == "count" && w.thing.Members > 1 {
			continue
		}
		if leftOpen(w, f) {
			open = append(open, f.Name)
			continue
		}
		one := line(w.thing, f)
		one.Drawn = "" // a card is the same for a large and a small one
		lines = append(lines, one)
	}
	return lines, open
}

// leftOpen says whether a fact that 'good' would state is left out of it. Of the vehicle,
// the place it stands in and the people that is what this move does not ask, such as a
// brake for a lift, and a word where several are good, for what else is asked hangs on
// which; of all things what another fact can make good, such as plates that a concrete
// floor makes needless, and a measure that nobody has to take.
func leftOpen(w *want, f *schema.Field) bool {
	byAnother := slices.ContainsFunc(f.Good, func(c schema.Case) bool {
		return !slices.ContainsFunc(c, func(t schema.Test) bool { return t.Path == "" })
	})
	return w.around() && !w.facts[f.Name] && !f.Round || byAnother || f.Event != "" && f.Type != schema.Bool || w.thing.Kind.Single && len(goodWords(f)) > 1
}

// around says whether a thing is the vehicle as a whole, where it stands or who is there.
func (w *want) around() bool { return w.thing.Kind.Single || w.thing.Kind.Name == "moves" }

// goodWords are the words that are good by themselves.
func goodWords(f *schema.Field) []string {
	var words []string
	for _, c := range f.Good {
		for _, t := range c {
			if t.Path != "" || t.Op != schema.OneOf {
				continue
			}
			for _, v := range t.Values {
				words = append(words, model.Written(v))
			}
		}
	}
	return words
}

// line is one fact as it is asked of a thing.
func line(thing *looks.Thing, f *schema.Field) verdict.Line {
	l := verdict.Line{Fact: f.Name, Ask: f.Question, Good: f.Good.Words(), Pair: f.Type == schema.List, Text: f.Type == schema.Text || f.Type == schema.Thread || f.Type == schema.Date}
	if f.Short != "" {
		l.Ask = f.Short
	}
	value := f
	if f.Elem != nil {
		value = f.Elem
	}
	switch value.Type {
	case schema.Bool:
		l.Words = []string{"yes", "no"}
	case schema.Enum:
		l.Words = value.Enum
	case schema.Quantity:
		if l.Unit = unit(thing, f); l.Unit == "" && value.Bounds != nil {
			l.Unit = value.Bounds.Most.Unit
		}
	}
	if good := goodWords(f); len(good) > 0 && !l.Pair {
		for _, word := range l.Words {
			if !slices.Contains(good, word) {
				l.Bad = append(l.Bad, word)
			}
		}
	}
	l.Drawn = drawn(thing, f)
	if len(f.OnlyFor) > 0 {
		_, known := f.OnlyFor.Holds("", thing.Lookup)
		l.MayNotApply = !known
	}
	return l
}

// drawn is the value of the design that a fact is held against, in words.
func drawn(thing *looks.Thing, f *schema.Field) string {
	for _, c := range f.Good {
		for _, t := range c {
			if t.Than == "" || t.Path != "" {
				continue
			}
			if v, known := thing.Lookup(t.Than); known {
				return strings.Trim(model.Written(v), "[]")
			}
		}
	}
	return ""
}

// unit is the unit in which the drawing has it.
func unit(thing *looks.Thing, f *schema.Field) string {
	for _, c := range f.Good {
		for _, t := range c {
			if t.Than == "" {
				continue
			}
			if v, _ := thing.Lookup(t.Than); v != nil {
				if q, ok := v.(quantity.Quantity); ok {
					return q.Unit
				}
			}
		}
	}
	return ""
}
