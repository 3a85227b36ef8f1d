package looks

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"setdown/model/schema"
	"setdown/model/source"
)

// Thing is an item as the fold needs it.
type Thing struct {
	ID      string
	Kind    *schema.Kind
	Members int     // of a group; 1 for a single thing
	Design  []Drawn // what is written down of its design; nil of what has none, such as the site
	IsSet   bool    // it is set anew from day to day; what the vehicle weighs and the steps of a move are their setting
	// Lookup gives a fact of the design, or one computed from it, by its path.
	Lookup func(path string) (any, bool)
	// Touched lists the ids of what else an event of it touches.
	Touched func(Event) []string
}

// Fact is what stands of one fact today.
type Fact struct {
	schema.Value
	Stamp
	Via    string
	Digest string // of the look it comes from
	Fault  bool   // it is not good, and no later look at it alone says otherwise
	Whole  bool   // it was said of every member of the group in one look
	ByCard bool   // it follows from 'good', as the worst that the card allows
	Print  string // of the design that was looked at; empty where none is written
	Second string // who saw the same without seeing this answer
}

// Same reports whether it was said in the same look, and counts as much.
func (f Fact) Same(other Fact) bool {
	f.Value, other.Value = schema.Value{}, schema.Value{} // which may be of no kind that can be compared
	return f == other
}

// Facts are the facts of one thing by the name of their field. What is not in it
// nobody knows today.
type Facts map[string]Fact

// State is what stands of one item.
type State struct {
	Members []Facts // of each member; one for a single thing
	Group   Facts   // the worst of the members
	Signed  []*Note // when a move was signed that it is set for
	Words   []*Look // in which somebody wrote a note and no fact, and after which nobody said more
}

// Without is what stands but for one fact.
func (s *State) Without(name string) *State {
	without := func(facts Facts) Facts {
		facts = maps.Clone(facts)
		delete(facts, name)
		return facts
	}
	c := &State{Group: without(s.Group), Signed: s.Signed, Words: s.Words}
	for _, facts := range s.Members {
		c.Members = append(c.Members, without(facts))
	}
	return c
}

// Trouble is what stops every move until somebody mends it in the log.
type Trouble struct {
	Span          source.Span
	Item          string // empty when it is of no item of the file
	Message, Hint string
	Found         bool // somebody found the item not good: it stops what the item carries in, and no more
}

// Fold works out what the log says today, by the id of each thing.
func Fold(things []*Thing, log *Log) (map[string]*State, []Trouble) {
	folded := new(Folded).Again(things, log)
	return folded.States, folded.Troubles
}

// Folded is what a log says today.
type Folded struct {
	States   map[string]*State // by the id of the thing; nobody changes them, for they may be of the next as well
	Troubles []Trouble
	log      *Log
	things   map[string]*told
	filed    map[*Target]seen // each as it is before others are held against it
}

// told is what was said of a thing and what followed from it.
type told struct {
	on       []seen
	events   []ending
	reopened []Stamp
	members  []*history // nil where all that follows from it is kept
	state    *State
	troubles []Trouble // of the state
}

// Again works out what the log says when more was looked at: what was said before of the very same things,
// designs and people is kept of each thing about which nothing was said since.
func (was *Folded) Again(things []*Thing, log *Log) *Folded {
	if was.log == nil || !log.SameNotes(was.log) {
		was = new(Folded)
	}
	f := &folding{log: log, was: was, things: map[string]*Thing{}, on: map[string][]seen{}, events: map[string][]ending{}, filed: map[*Target]seen{}, signed: map[string][]*Note{}}
	for _, t := range things {
		f.things[t.ID] = t
	}
	f.file()
	f.notes()
	all := make(map[string]*told, len(things))
	for _, t := range things {
		one := f.said(t)
		all[t.ID] = one
		for _, at := range one.reopened {
			f.touch(t, Replaced, at)
		}
	}
	states := make(map[string]*State, len(things))
	for _, t := range things {
		one := all[t.ID]
		f.follow(t, one)
		states[t.ID] = one.state
		f.troubles = append(f.troubles, one.troubles...)
	}
	return &Folded{States: states, Troubles: f.troubles, log: log, things: all, filed: f.filed}
}

// said is what was said of a thing, and when it was opened to mend something: an event at what holds a joint.
func (f *folding) said(t *Thing) *told {
	one := &told{on: f.on[t.ID]}
	if was := f.was.things[t.ID]; was != nil && slices.EqualFunc(one.on, was.on, seen.same) {
		one.reopened = was.reopened
		return one
	}
	one.members = f.members(t)
	for _, h := range one.members {
		for _, m := range h.mended {
			// One look may mend more than one fault.
			if m.good.field.Reopens && !slices.Contains(one.reopened, m.good.Stamp) {
				one.reopened = append(one.reopened, m.good.Stamp)
			}
		}
	}
	return one
}

// follow works out what stands of a thing.
func (f *folding) follow(t *Thing, one *told) {
	one.events = f.events[t.ID]
	if one.members == nil {
		if was := f.was.things[t.ID]; slices.EqualFunc(one.events, was.events, ending.same) {
			one.state, one.troubles = was.state, was.troubles
			return
		}
		one.members = f.members(t)
	}
	before := len(f.troubles)
	one.state = f.state(t, one.members)
	one.troubles = slices.Clone(f.troubles[before:])
	f.troubles = f.troubles[:before]
	one.members = nil
}

type folding struct {
	log      *Log
	things   map[string]*Thing
	on       map[string][]seen   // the looks at each item
	events   map[string][]ending // what ended its looks from outside
	signed   map[string][]*Note
	troubles []Trouble
	was      *Folded // by a log with the same notes
	filed    map[*Target]seen
}

// seen is one look at one item.
type seen struct {
	*Look
	*Target
	print     print // of the target
	dead      bool  // its fingerprint did not fit: what was good then is of another thing
	elsewhere bool  // at members of a group that was counted otherwise: which of them, nobody can say now
	moved     bool  // the thing was set otherwise then
	withdrawn *Note // taken back by who wrote it
}

// same reports whether a look among the same others says what it said before. What was taken back as meant for another thing
// hangs on the looks at that one as well.
func (s seen) same(was seen) bool {
	return s.Target == was.Target && s.withdrawn == nil
}

func covers(members []int, member int) bool {
	return members == nil || slices.Contains(members, member)
}

// ending is an event, or the day on which a member was added.
type ending struct {
	Stamp
	members []int
}

func (e ending) same(was ending) bool {
	return e.Stamp == was.Stamp && slices.Equal(e.members, was.members)
}

func (f *folding) stop(span source.Span, item, message, hint string) {
	f.troubles = append(f.troubles, Trouble{Span: span, Item: item, Message: message, Hint: hint})
}

// file files looks and events by the item they are of. A line that stands twice,
// as after a merge, counts once.
func (f *folding) file() {
	read := map[string]bool{}
	var lost []string // ids that the file does not have, each once
	var first *Look   // at one of them
	var at source.Span
	for _, look := range f.log.Looks {
		if look.Digest != "" && read[look.Digest] {
			continue
		}
		read[look.Digest] = true
		for _, target := range look.Of {
			id, explained := f.today(target.ID, look.Stamp)
			thing := f.things[id]
			if thing == nil {
				if !explained && !slices.Contains(lost, target.ID) {
					if lost = append(lost, target.ID); len(lost) == 1 {
						first, at = look, target.Span
					}
				}
				continue
			}
			for _, n := range target.Members {
				if n > thing.Members && !f.explained(Member(id, n), look.Stamp) {
					f.stop(target.Span, id, fmt.Sprintf("the look of %s by %s is at %s, but there are only %d", look.Moment, look.By, Member(id, n), thing.Members),
						"write the line removed for it, with day and name, or mend needed")
				}
			}
			s, again := f.was.filed[target]
			if !again {
				s = seen{Look: look, Target: target, print: readPrint(target.Print), withdrawn: f.withdrawal(look, target.ID)}
				s.elsewhere = target.Members != nil && thing.Members > 1 && thing.countedOtherwise(s.print)
				s.dead = s.elsewhere || target.Print != "" && !thing.fits(s.print) || f.ended(look, target.ID)
				s.moved = thing.setOtherwise(s.print)
			}
			f.on[id], f.filed[target] = append(f.on[id], s), s
			if s.foundOff() {
				f.touch(thing, TakenOff, look.Stamp)
			}
			if target.Event != NoEvent {
				f.events[id] = append(f.events[id], ending{look.Stamp, target.Members})
				f.touch(thing, target.Event, look.Stamp)
			}
		}
	}
	switch len(lost) {
	case 0:
	case 1:
		f.stop(at, "", fmt.Sprintf("the look of %s by %s is at %q, which the file does not have", first.Moment, first.By, lost[0]), becameOf(lost[0]))
	default:
		f.stop(at, "", fmt.Sprintf("looks are at %s, which the file does not have", strings.Join(lost, ", ")), becameOf(lost[0])+", and so for each")
	}
	f.unprinted()
}

// touch files an event of a thing at what else it touches.
func (f *folding) touch(t *Thing, event Event, at Stamp) {
	for _, other := range t.Touched(event) {
		f.events[other] = append(f.events[other], ending{at, nil})
	}
}

// foundOff says whether a look found the thing off the vehicle: whatever fastened it then was undone,
// and looks at that from before it was off say nothing of how it is fastened once it is on again.
func (s seen) foundOff() bool {
	if s.Found == nil || s.withdrawn != nil {
		return false
	}
	return slices.ContainsFunc(s.Found.Names(), func(name string) bool {
		if !s.Found.Field(name).ComesOff {
			return false
		}
		on, _ := s.Found.Bool(name)
		return !on
	})
}

// becameOf is the line of the log that is missing where the file has no such item.
func becameOf(id string) string {
	return fmt.Sprintf("say in the log what became of it: renamed, removed or struck, with day and name, as {day: ..., by: ..., struck: {item: %s, why: ...}}", id)
}

// unprinted takes the looks that somebody wrote without a fingerprint as of another design where others
// show that it changed: they are of the design of today only if one with a fingerprint that fits stands
// between them and the last one that does not.
func (f *folding) unprinted() {
	for id, list := range f.on {
		thing := f.things[id]
		if !thing.Kind.Identified() {
			continue
		}
		fits := func(s seen) bool { return thing.fits(s.print) }
		other := func(s seen) bool { return s.Print != "" && !fits(s) }
		if !slices.ContainsFunc(list, other) {
			continue
		}
		for i := range list {
			u := &list[i]
			u.dead = u.dead || u.Print == "" && slices.ContainsFunc(list, func(p seen) bool {
				return other(p) && !slices.ContainsFunc(list, func(q seen) bool {
					return q.Print != "" && fits(q) && q.After(p.Stamp) && u.After(q.Stamp)
				})
			})
		}
	}
}

// Member names one member of a group as the log does.
func Member(id string, n int) string { return fmt.Sprintf("%s{%d}", id, n) }

// today follows an id to the one it has now, and says whether the log explains
// that there is none.
func (f *folding) today(id string, at Stamp) (now string, explained bool) {
	for range f.log.Notes {
		i := slices.IndexFunc(f.log.Notes, func(n *Note) bool { return n.Word == Renamed && n.Item == id && !at.After(n.Stamp) })
		if i < 0 {
			break
		}
		id = f.log.Notes[i].To
	}
	return id, f.explained(id, at)
}

func (f *folding) explained(id string, at Stamp) bool {
	return slices.ContainsFunc(f.log.Notes, func(n *Note) bool {
		return (n.Word == Removed || n.Word == Struck) && n.Item == id && !at.After(n.Stamp)
	})
}

// withdrawal is the line with which somebody took back a look of their own.
func (f *folding) withdrawal(look *Look, id string) *Note {
	i := slices.IndexFunc(f.log.Notes, func(n *Note) bool { return n.TakesBack(look, id) })
	if i < 0 {
		return nil
	}
	return f.log.Notes[i]
}

func (f *folding) ended(look *Look, id string) bool {
	return slices.ContainsFunc(f.log.Notes, func(n *Note) bool { return n.Word == Ended && n.Item == id && n.Why == look.Digest })
}

// notes deals with the lines that end looks or stop by themselves.
func (f *folding) notes() {
	for _, n := range f.log.Notes {
		switch n.Word {
		case Added:
			id, member := SplitMember(n.Item)
			var members []int
			if member > 0 {
				members = []int{member}
			}
			f.events[id] = append(f.events[id], ending{n.Stamp, members})
		case Removed, Struck:
			f.gone(n)
		case Signed:
			id, _ := f.today(n.Item, n.Stamp)
			f.signed[id] = append(f.signed[id], n)
		case Renamed:
			f.renamed(n)
		case Torn:
			answered := func(a *Note) bool { return a.Word == Answered && a.Item == n.Item }
			if !slices.ContainsFunc(f.log.Notes, answered) {
				f.stop(n.Span, "", fmt.Sprintf("a line of the log was torn off: %q", n.Item), "somebody who knows says what it said: answered: {torn: ..., why: ...}, with day and name")
			}
		case Withdraw:
			if !slices.ContainsFunc(f.log.Looks, func(l *Look) bool {
				return n.TakesBack(l, n.Item) && slices.ContainsFunc(l.Of, func(t *Target) bool { return t.ID == n.Item })
			}) {
				f.stop(n.Span, "", fmt.Sprintf("%s takes back a look at %s of %s that is not in the log", n.By, n.Item, n.Of), "a look is taken back by who wrote it, with its very day and time")
			}
		}
	}
}

// gone stops where somebody wrote that a thing or a member of a group is not there and the file lists
// it, until it is said which. Struck, a joint has not what others like it have.
func (f *folding) gone(n *Note) {
	name, member := SplitMember(n.Item)
	id, _ := f.today(name, n.Stamp)
	thing := f.things[id]
	if thing == nil || member > thing.Members || n.Word == Struck && thing.Kind.Name == "joints" {
		return
	}
	back := func(a *Note) bool { return a.Word == Added && (a.Item == n.Item || a.Item == name) && a.After(n.Stamp) }
	if slices.ContainsFunc(f.log.Notes, back) {
		return
	}
	f.stop(n.Span, id, fmt.Sprintf("%s wrote on %s that the vehicle has no %s, and the file lists it", n.By, n.Moment, n.Item),
		"take it out of the file or mend its needed, or say in the log that it is there: added: {item: ..., why: ...}, with day and name")
}

// renamed stops where the file still lists the old name, or something else was renamed to the new one
// as well: the looks at one thing would count for another, which nobody saw.
func (f *folding) renamed(n *Note) {
	other := func(a *Note) bool {
		return a.After(n.Stamp) && (a.Word == Added && a.Item == n.Item || a.Word == Renamed && a.To == n.Item)
	}
	if f.things[n.Item] != nil && !slices.ContainsFunc(f.log.Notes, other) {
		f.stop(n.Span, n.Item, fmt.Sprintf("%s wrote on %s that %s is now %s, and the file lists %s", n.By, n.Moment, n.Item, n.To, n.Item),
			"take the old name out of the file, or say in the log that another thing has it now: added: {item: ..., why: ...}, with day and name")
	}
	id, _ := f.today(n.Item, n.Stamp)
	twice := func(a *Note) bool {
		now, _ := f.today(a.Item, a.Stamp)
		return a.Word == Renamed && a.To == n.To && a.Item != n.Item && now == id
	}
	if f.things[id] != nil && slices.ContainsFunc(f.log.Notes, twice) {
		f.stop(n.Span, id, fmt.Sprintf("%s wrote on %s that %s is now %s, and so was another thing", n.By, n.Moment, n.Item, n.To),
			"give it a name that nothing had, and look at it again")
	}
}

// wholeCard is the line of the card that 'good: no' makes a fault of.
var wholeCard = &schema.Field{Name: "good", Type: schema.Bool, Good: schema.Condition{{{Op: schema.OneOf, Values: []any{true}}}}}

// state works out what stands of one item.
func (f *folding) state(t *Thing, members []*history) *State {
	state := &State{Signed: f.signed[t.ID], Words: f.words(t)}
	for i, h := range members {
		h.happened(i + 1)
		facts := h.stand()
		if fact, ok := facts[wholeCard.Name]; ok {
			if fact.Fault {
				f.notGood(t, fact)
			}
			delete(facts, wholeCard.Name)
		}
		state.Members = append(state.Members, facts)
	}
	state.Group = worst(t, state.Members)
	return state
}

// words lists the looks at a thing of which a note alone is kept, and that nobody followed with a look that
// says anything of the same members by fact or by the card.
func (f *folding) words(t *Thing) []*Look {
	var list []*Look
	for _, s := range f.on[t.ID] {
		if s.Note == "" || s.says() || s.withdrawn != nil || slices.Contains(list, s.Look) {
			continue
		}
		open := false
		for m := 1; m <= t.Members && !open; m++ {
			open = s.Covers(m) && !slices.ContainsFunc(f.on[t.ID], func(o seen) bool {
				return o.says() && o.withdrawn == nil && o.Covers(m) && o.After(s.Stamp)
			})
		}
		if open {
			list = append(list, s.Look)
		}
	}
	return list
}

// says reports whether a look says more than words of its thing.
func (s seen) says() bool {
	return s.Good != NotSaid || s.Found != nil && len(s.Found.Names()) > 0 || s.Event != NoEvent
}

// notGood stops where somebody said 'good: no' of a thing, with what he wrote beside it.
func (f *folding) notGood(t *Thing, fact Fact) {
	message := fmt.Sprintf("%s found it not good on %s", fact.By, fact.Moment)
	if i := slices.IndexFunc(f.log.Looks, func(l *Look) bool { return l.Span == fact.Span && l.Note != "" }); i >= 0 {
		message += ": " + f.log.Looks[i].Note
	}
	f.stop(fact.Span, t.ID, message, "mend it, look at it alone and say good: yes; or say what is wrong by its fact")
	f.troubles[len(f.troubles)-1].Found = true
}

// worst is the fact of a group: a fault of any member, else unknown when it is of
// any, else the worst of them. Its day is the oldest. A single thing is its own group.
func worst(t *Thing, members []Facts) Facts {
	if len(members) == 1 {
		return members[0]
	}
	group := Facts{}
	found := t.Kind.Found()
	if found == nil {
		return group
	}
	for i := range found.Fields {
		field := &found.Fields[i]
		var all []Fact
		faulty := false
		for _, facts := range members {
			if fact, known := facts[field.Name]; known {
				all = append(all, fact)
				faulty = faulty || fact.Fault
			}
		}
		if len(all) == 0 || len(all) < len(members) && !faulty {
			continue
		}
		one := all[0]
		for _, fact := range all[1:] {
			oldest := one.Stamp
			if oldest.After(fact.Stamp) {
				oldest = fact.Stamp
			}
			if fact.Fault && !one.Fault || fact.Fault == one.Fault && worse(field, fact.V, one.V) {
				one = fact
			}
			if !faulty {
				one.Moment = oldest.Moment
			}
		}
		group[field.Name] = one
	}
	return group
}
