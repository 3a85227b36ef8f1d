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
	var made, cards, facts []*asked
	for _, w := range singled(list) {
		card := w.card()
		names := w.names()
		if !w.own && !w.around() {
			card.Lines = nil
		}
		if slices.ContainsFunc(names, func(name string) bool { return card.Line(name) != nil }) || len(names) == 0 && len(card.Lines) > 0 {
			cards = together(cards, w, card)
		}
		for _, name := range names {
			if card.Line(name) != nil {
				continue
			}
			field := w.thing.Kind.Found().Field(name)
			one := line(w.thing, field, w.units)
			if name == "tightness" && w.hangs && !w.item.Is(schema.Gripping) {
				one.Good = "finger tight or more: say which"
			}
			if good := w.done[recorded{w.thing.ID, name}]; len(field.Good) == 0 && slices.Contains(one.Words, good) {
				one.Good, one.Bad = good, others(one.Words, good) // what is good hangs on the move
			}
			q := verdict.Question{Fact: name, Lines: []verdict.Line{one}, Each: field.Critical}
			if makes(field) {
				made = together(made, w, q)
			} else {
				facts = together(facts, w, q)
			}
		}
	}
	var all []verdict.Question
	for _, one := range slices.Concat(made, cards, facts) {
		all = append(all, one.Question)
	}
	return all
}

// makes reports whether a fact says that a thing is there, or how far it is made or tightened: what was
// seen before it is of an earlier make.
func makes(f *schema.Field) bool { return f.Remakes != nil && (f.Critical || len(f.Remakes) == 0) }

// asked is a question and what it is of.
type asked struct {
	verdict.Question
	things []*looks.Thing
}

// singled asks after every member of a group that was found wrong by itself: a look at the
// group does not end it. What was said of the whole group is asked of it again.
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
			if was.Item == w.thing.ID {
				group.faults = append(group.faults, was)
				continue
			}
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
		if (w.facts[f.Name] || wrong || w.ends(&f)) && f.Life != schema.OfLook {
			names = append(names, f.Name)
		}
	}
	return names
}

// ends says whether a fact ends with the mending of what was found wrong, as the lock of a bolt that is
// torqued again: it is looked at on the same visit. What only keeps together what hangs in a strap is
// not asked in full.
func (w *want) ends(f *schema.Field) bool {
	if !w.own || f.Event != "" || f.NoGood != "" || f.Good.Drawn() && drawn(w.thing, f) == nil || !w.thing.Has(f) {
		return false
	}
	return slices.ContainsFunc(w.faults, func(was verdict.HistoryFact) bool {
		mended := w.thing.Kind.Found().Field(was.Fact)
		return slices.Contains(mended.Remakes, f.Name) || slices.Contains(mended.Undoes, f.Name)
	})
}

// together adds a thing to a question that asks the same of alike things, or asks it
// by itself. A length, a name or a number is of one thing.
func together(questions []*asked, w *want, q verdict.Question) []*asked {
	q.Kind, q.Item, q.Was, q.Around, q.First = w.thing.Kind.Name, w.thing.Kind.Item, w.faults, w.around(), w.first
	one := verdict.Asked{ID: w.thing.ID, Members: w.thing.Members, Print: w.thing.Print()}
	if w.member != "" {
		one.ID, one.Members = w.member, 1
	}
	for _, other := range questions {
		alike := other.Kind == q.Kind && other.Fact == q.Fact && other.First == q.First && len(other.Of) < maxTogether && len(other.Was)+len(q.Was) == 0 &&
			slices.Equal(other.Open, q.Open) && shared(q)
		if !alike {
			continue
		}
		lines, same := other.joined(other.Lines, q.Lines, w.thing)
		kept, sameKept := other.joined(other.Kept, q.Kept, w.thing)
		if same && sameKept {
			other.Lines, other.Kept = lines, kept
			other.Of, other.things = append(other.Of, one), append(other.things, w.thing)
			return questions
		}
	}
	q.Of = []verdict.Asked{one}
	return append(questions, &asked{q, []*looks.Thing{w.thing}})
}

// joined are the lines of a question together with those of one thing more; false where they
// are not alike. One side may have a line that is not of things of the other's design, such as
// the tag of a temporary bar beside a track rod: it names those that it is of. Where each has
// such lines, as a stand and a jack, they are two things to look at.
func (q *asked) joined(of, more []verdict.Line, thing *looks.Thing) (lines []verdict.Line, same bool) {
	fields := thing.Kind.Found().Fields
	ours, theirs := false, false // have lines of their own
	for i := range fields {
		f := &fields[i]
		here, there := lineOf(of, f.Name), lineOf(more, f.Name)
		switch {
		case here == nil && there == nil:
			continue
		case here != nil && there != nil && here.Drawn == there.Drawn && here.Good == there.Good:
			both := *here
			if len(both.Of) > 0 {
				both.Of = append(slices.Clip(both.Of), thing.ID)
			}
			lines = append(lines, both)
		case here != nil && there == nil && !thing.Has(f):
			one := *here
			if len(one.Of) == 0 {
				one.Of = q.ids()
			}
			lines, ours = append(lines, one), true
		case here == nil && !slices.ContainsFunc(q.things, func(t *looks.Thing) bool { return t.Has(f) }):
			one := *there
			one.Of = []string{thing.ID}
			lines, theirs = append(lines, one), true
		default:
			return nil, false
		}
	}
	return lines, !ours || !theirs
}

func (q *asked) ids() []string {
	var ids []string
	for _, thing := range q.things {
		ids = append(ids, thing.ID)
	}
	return ids
}

func lineOf(lines []verdict.Line, fact string) *verdict.Line {
	return (&verdict.Question{Lines: lines}).Line(fact)
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

// card is the question after the card of a thing. Its lines are what 'good' states; open is
// what it would state and is asked by itself, kept what nobody has to say again.
func (w *want) card() verdict.Question {
	q := verdict.Question{Card: looks.CardVersion(w.thing.Kind)}
	fields := w.thing.Kind.Found().Fields
	for i := range fields {
		f := &fields[i]
		_, states := w.thing.States(f)
		if !states || f.Name == "count" && w.thing.Members > 1 {
			continue
		}
		if lineOf(q.Lines, f.ToldBy) != nil && !slices.Contains(w.names(), f.Name) {
			continue
		}
		one := line(w.thing, f, w.units)
		one.Drawn, one.Own = "", "" // a card is the same for a large and a small one
		switch {
		case w.leftOpen(f):
			one.Still = w.still(f)
			if one.Still == "" {
				q.Open = append(q.Open, f.Name)
				continue
			}
			one.Good = one.Still
			q.Lines = append(q.Lines, one)
		case w.kept(f):
			q.Kept = append(q.Kept, one)
		default:
			q.Lines = append(q.Lines, one)
		}
	}
	return q
}

// leftOpen says whether a fact that 'good' would state is left out of it. Of the vehicle,
// the place it stands in and the people that is what this move does not ask, such as a
// brake for a lift, and a word where several are good, for what else is asked hangs on
// which; of a group what was found wrong of all of it, which a 'good' does not take back; of
// all things what another fact can make good, such as plates that a concrete floor makes
// needless, a measure that nobody has to take, what was said to be bad and is not asked, and what is
// undone to make the move, such as the chocks of what is rolled.
func (w *want) leftOpen(f *schema.Field) bool {
	byAnother := slices.ContainsFunc(f.Good, schema.Case.ByAnother)
	ofAll := w.thing.Members > 1 && slices.ContainsFunc(w.faults, func(was verdict.HistoryFact) bool { return was.Fact == f.Name && was.Item == w.thing.ID })
	return ofAll || w.saidBad(f) || slices.Contains(f.NotWhile, w.move) || w.around() && !w.facts[f.Name] && !f.Round || byAnother || f.Event != "" && f.Type != schema.Bool || w.thing.Kind.Single && len(goodWords(f)) > 1
}

// saidBad says whether a fact was found wrong by name and nothing asks it again: a 'good' of the lines
// beside it is not about it.
func (w *want) saidBad(f *schema.Field) bool {
	return w.stands[f.Name].Fault && !w.facts[f.Name] && !slices.ContainsFunc(w.faults, func(was verdict.HistoryFact) bool { return was.Fact == f.Name })
}

// still is the good word that stands of a fact, where somebody has to say it again: whoever
// reads it and says 'good' says that very word. It is one that somebody said by name: what an
// earlier 'good' left open is asked.
func (w *want) still(f *schema.Field) string {
	fact, stands := w.stands[f.Name]
	if !stands || fact.Fault || fact.ByCard || !w.facts[f.Name] || w.first != "" || len(w.faults) > 0 {
		return ""
	}
	if word := model.Written(fact.V); slices.Contains(goodWords(f), word) {
		return word
	}
	return ""
}

// kept says whether a line of the card need not be said again: it says how the thing was
// made, stands, and what every round sees says that the thing is as it was.
func (w *want) kept(f *schema.Field) bool {
	fact, stands := w.stands[f.Name]
	return stands && !fact.Fault && w.thing.Life(f) == schema.Made && model.Witnessed(w.thing.Kind) && !w.facts[f.Name] && !w.ends(f)
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

// others are the words that are not good.
func others(words []string, good ...string) []string {
	return slices.DeleteFunc(slices.Clone(words), func(word string) bool { return slices.Contains(good, word) })
}

// line is one fact as it is asked of a thing, in the measures of who is asked.
func line(thing *looks.Thing, f *schema.Field, units quantity.System) verdict.Line {
	l := verdict.Line{Fact: f.Name, Ask: f.Question, Good: f.Good.Words(units), Pair: f.Type == schema.List, Text: f.Type == schema.Text || f.Type == schema.Thread || f.Type == schema.Date}
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
		if value.Bounds != nil {
			l.Unit = value.Bounds.Most.Unit
		}
	}
	if good := goodWords(f); len(good) > 0 && !l.Pair {
		l.Bad = others(l.Words, good...)
	}
	v := drawn(thing, f)
	if v == nil && f.Good.Drawn() && len(f.Good) == 1 && l.Unit != "" {
		l.Good = "as its maker says; the file has no figure to hold it against"
	}
	if v != nil {
		l.Drawn = strings.Trim(model.Written(v), "[]")
		if q, ok := v.(quantity.Quantity); ok {
			l.Unit = q.Unit
			if units.In(q).Unit != q.Unit {
				l.Own = units.Say(q)
			}
		}
	}
	_, l.Unit = units.Of(1, l.Unit)
	if len(f.OnlyFor) > 0 {
		_, known := f.OnlyFor.Holds("", thing.Lookup)
		l.MayNotApply = !known
	}
	return l
}

// drawn is the value of the design that a fact is held against; nil where there is none.
func drawn(thing *looks.Thing, f *schema.Field) any {
	for _, c := range f.Good {
		for _, t := range c {
			if t.Than == "" || t.Path != "" {
				continue
			}
			if v, known := thing.Lookup(t.Than); known {
				return v
			}
		}
	}
	return nil
}
