package engine

import (
	"slices"

	"setdown/rules/facts"
	"setdown/rules/verdict"
)

// The rule of last resort: what is recorded and bad is always spoken of. A rule speaks of
// something that was found if it was asked of that item in that step, and not only because
// nobody wrote down what the item is, and its 'must' read it, itself or through a computed
// fact. A rule that says which kinds of move it is about has spoken of the others, but not of
// what is idle, where it would only be noted; and of people, floor and the vehicle as a whole
// it is enough that a rule asks, since chocks, straps and brakes matter in some moves alone.
// What then is left is told to the rules that read facts.PassedOver, which are asked last. Of
// what is critical and nobody recorded only a rule that stops and is asked here and now speaks.
//
// A rule may let something pass for another reason: a battery that is connected, since the gear is
// neutral. Of what is bad and spoken of, and on which no answer hung in this step, tell the rules
// that read facts.LetPass: it stops nothing here, and is not to be forgotten for the next move.

// fact finds the object that holds the fact of a slot, and the number of the fact in it.
func (s *slot) fact(r *roots) (*facts.Object, int) {
	root := r.item
	if s.of != nil {
		root = s.of(r)
	}
	o, kind := root.facts, root.kind
	for _, i := range s.path[:len(s.path)-1] {
		o, kind = o.In(kind.at[i]), kind.blocks[i]
	}
	return o, kind.at[s.path[len(s.path)-1]]
}

// last puts the questions about what no other rule judged behind all others.
func (m *scratch) last() {
	slices.SortStableFunc(m.asked, func(a, b question) int {
		switch last := a.unit.isLast(); {
		case last == b.unit.isLast():
			return 0
		case last:
			return 1
		}
		return -1
	})
}

// passOver gives every object the fact of what no rule judged, and of what was let pass.
func (e *Engine) passOver(set *facts.Set, r *roots, asked []question, results []Result) {
	doubtful := map[*facts.Object]*speaking{}
	for _, items := range set.Items {
		for _, o := range items {
			s := listenFor(set, o.Doubts())
			if len(s.doubts) == 0 {
				o.PassOver(nil, nil)
				continue
			}
			doubtful[o] = s
		}
	}
	around := [...]*facts.Object{set.Vehicle, set.Site, set.Move}
	var shared []*speaking
	for _, o := range around {
		shared = append(shared, listenFor(set, o.Doubts()))
	}
	for i, q := range asked {
		r.variable, r.item = q.unit.scope.variable, q.item
		out := results[i].Outcome
		if out != verdict.NotRecorded {
			for _, s := range shared {
				s.hear(q, r)
			}
		}
		if q.item == nil || doubtful[q.item.facts] == nil {
			continue
		}
		o := q.item.facts
		spoke := out == verdict.Stop || out != verdict.NotRecorded && !q.open(r)
		doubtful[o].listen(q.unit, r, speech{judged: spoke, stops: q.unit.rule.Else == string(verdict.Stop), stopped: out == verdict.Stop || o.Idle()})
		if spoke {
			doubtful[o].hear(q, r)
		}
	}
	for o, s := range doubtful {
		if !o.Idle() && !s.heardAll() {
			r.item = newObject(o, kindOf()[o.Kind])
			for _, u := range e.all() {
				if u.scope.kind == o.Kind && !isAbout(u.rule, set.Move) {
					s.listen(u, r, speech{judged: true})
				}
			}
		}
		o.PassOver(s.unspoken())
	}
	r.item = nil
	var passed []facts.Doubt
	for i, o := range around {
		s := shared[i]
		if len(s.doubts) > 0 {
			for _, u := range e.all() {
				s.listen(u, r, speech{judged: true, stopped: o.Idle()})
			}
		}
		left, let := s.unspoken()
		passed = append(passed, let...)
		if o == set.Move {
			let = passed // with floor, room and vehicle as it finds them
		}
		o.PassOver(left, let)
	}
}

// open reports whether a rule was asked only because nobody wrote down what the thing is: it
// may be about something else. That nobody can say what carries is no such doubt.
func (q question) open(r *roots) bool {
	if q.when == nil {
		return false
	}
	when, _ := q.unit.when.ready()
	return slices.ContainsFunc(when.reads(), func(s *slot) bool {
		o, i := s.fact(r)
		_, unknown := o.At(i)
		return unknown != nil && !o.Fields()[i].Derived
	})
}

// speaking is what the rules say of what is doubtful of one object.
type speaking struct {
	doubts []facts.Doubt
	heard  []heard // of each doubt
	trails *facts.Trails
}

// heard is what the rules said of one doubt: one that was judged spoke of it, one asked for it at
// least, one stopped at it, and the answer of one hung on it.
type heard struct{ spoke, asked, stopped, hung bool }

// speech is how a rule spoke: it was judged, and did not only ask; it is one that stops, and
// is asked of the item; it stopped, or nothing stops there for nothing rests on the item.
type speech struct{ judged, stops, stopped bool }

func listenFor(set *facts.Set, doubts []facts.Doubt) *speaking {
	s := &speaking{doubts: doubts}
	if len(doubts) > 0 {
		s.heard, s.trails = make([]heard, len(doubts)), set.Follow(doubts)
	}
	return s
}

// trail is what facts that a rule reads lead to.
func (s *speaking) trail(read []*slot, r *roots) facts.Trail {
	var trail facts.Trail
	for _, slot := range read {
		if slot.of != nil || r.item != nil { // else it is of an item, and asked is of none
			trail |= s.trails.From(slot.fact(r))
		}
	}
	return trail
}

// listen notes of what a rule speaks. Of what is critical only one speaks that stops, and of what the thing cannot
// have only one that stopped.
func (s *speaking) listen(u *unit, r *roots, how speech) {
	if s.heardAll() {
		return
	}
	must, errs := u.must.ready()
	if len(errs) > 0 {
		return
	}
	trail := s.trail(must.reads(), r)
	for i, d := range s.doubts {
		if (how.stops || !d.Critical) && (how.stopped || !d.Elsewhere) && s.trails.Tells(trail, i) {
			h := &s.heard[i]
			h.asked, h.spoke, h.stopped = true, h.spoke || how.judged, h.stopped || how.stopped
		}
	}
}

// hear notes on what the answer of a rule hung that was asked here and now.
func (s *speaking) hear(q question, r *roots) {
	open := func(i int) bool { return s.doubts[i].Bad && s.doubts[i].Found && !s.heard[i].hung }
	for _, part := range []*part{&q.unit.must, &q.unit.when} {
		any := false
		for i := range s.doubts {
			any = any || open(i)
		}
		if !any {
			return
		}
		p, errs := part.ready()
		if p == nil || len(errs) > 0 {
			continue
		}
		trail := s.trail(p.reads(), r)
		if trail == 0 {
			continue // a doubt of what was found is told by a fact
		}
		var hung facts.Trail
		traced := false
		for i := range s.doubts {
			if !open(i) || !s.trails.Tells(trail, i) {
				continue
			}
			if !traced {
				hung, traced = s.trail(p.hungOn(r), r), true
			}
			s.heard[i].hung = s.trails.Tells(hung, i)
		}
	}
}

// heardAll reports whether of everything that is doubtful a rule has spoken, and has stopped at
// what is made wrong: what the others read then changes nothing, and need not be worked out.
func (s *speaking) heardAll() bool {
	for i, d := range s.doubts {
		if h := s.heard[i]; !h.spoke || d.Bad && d.Remakes != nil && !h.stopped {
			return false
		}
	}
	return true
}

// unspoken are the doubts that no rule spoke of, and those that are bad, spoken of and let pass.
// What was seen on a make that is bad itself goes with it where a rule stops at that.
func (s *speaking) unspoken() (left, let []facts.Doubt) {
	for i, d := range s.doubts {
		switch h := s.heard[i]; {
		case !h.spoke && (d.Bad || !h.asked):
			left = append(left, d)
		case d.Bad && d.Found && !h.hung:
			let = append(let, d)
		}
	}
	for i, made := range s.doubts {
		if h := s.heard[i]; made.Bad && h.spoke && h.stopped && made.Remakes != nil {
			goes := func(d facts.Doubt) bool { return len(made.Remakes) == 0 || slices.Contains(made.Remakes, d.Name) }
			left, let = slices.DeleteFunc(left, goes), slices.DeleteFunc(let, goes)
		}
	}
	return left, let
}
