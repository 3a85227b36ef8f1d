package looks_test

import (
	"flag"
	"fmt"
	"math/rand"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
)

// This file is a second reading of the rules of looks, slow and plain: every rule
// as a sentence over the whole log, with the good answers and the remakes of three
// kinds of item written out here and not taken from the table.

// plainFact is what the design says of one fact.
type plainFact struct {
	good    func(v any) bool
	card    any    // what 'good' states; nil for what is critical or of the whole group
	endedBy string // the facts that say how the thing is made and end this one
	undone  string // the facts whose faults are not mended without undoing this one
	first   string // the facts that go on after it: it may be done again before they are
	worst   []string
}

func yes(v any) bool { return v == true }
func no(v any) bool  { return v == false }

// plainFacts are those that the random logs state.
var plainFacts = map[string]map[string]plainFact{
	"fasteners": {
		"fitted":      {good: yes, card: true, endedBy: "count"},
		"count":       {good: func(v any) bool { return v.(int64) >= 3 }, endedBy: "fitted"},
		"torqued":     {good: func(v any) bool { return v.(quantity.Quantity).Value >= 0.9*45-1e-6 }, endedBy: "fitted count marked", undone: "tightness lock_fitted mark_broken", first: "marked lock_fitted mark_broken"},
		"tightness":   {good: func(v any) bool { return v == "torqued" }, card: "torqued", endedBy: "fitted count marked", undone: "lock_fitted mark_broken", first: "marked lock_fitted mark_broken", worst: []string{"loose", "finger", "snug", "torqued"}},
		"marked":      {good: yes, card: true, endedBy: "fitted count torqued tightness", undone: "mark_broken"},
		"lock_fitted": {good: yes, endedBy: "fitted count torqued tightness", undone: "mark_broken"},
		"mark_broken": {good: no, card: false, endedBy: "fitted count torqued tightness"},
	},
	"stud_nuts": {
		"fitted":      {good: yes, card: true},
		"torqued":     {good: func(v any) bool { return v.(quantity.Quantity).Value >= 0.9*60-1e-6 }, endedBy: "fitted marked", undone: "tightness lock_fitted lined_up", first: "marked lock_fitted mark_broken lined_up"},
		"tightness":   {good: func(v any) bool { return v == "torqued" }, card: "torqued", endedBy: "fitted marked", undone: "lock_fitted lined_up", first: "marked lock_fitted mark_broken lined_up", worst: []string{"loose", "finger", "snug", "torqued"}},
		"marked":      {good: yes, card: true, endedBy: "fitted torqued tightness"},
		"lock_fitted": {good: yes, endedBy: "fitted torqued tightness", undone: "lined_up"},
		"lined_up":    {good: func(v any) bool { return v != "backed off" }, card: "tightened on", endedBy: "fitted torqued tightness", worst: []string{"backed off", "tightened on", "as torqued"}},
	},
	"welds": {
		"made":      {good: func(v any) bool { return v == "full" }, undone: "crack", worst: []string{"none", "tack", "part", "full"}},
		"sides":     {good: func(v any) bool { return v.(int64) >= 2 }, card: int64(2), endedBy: "made", undone: "crack"},
		"inspected": {good: yes, card: true, endedBy: "made sides dressed", undone: "crack"},
		"crack":     {good: no, card: false, endedBy: "made sides dressed"},
		"dressed":   {good: no, card: false, endedBy: "made", undone: "crack"},
	},
}

var critical = map[string]bool{"torqued": true, "lock_fitted": true, "made": true}

// plainThing is a thing of the random logs.
type plainThing struct {
	id, kind string
	members  int
	drawn    []looks.Drawn
	touches  []string // what its events touch besides
	prints   []string
	before   string
}

var plainThings = printed(
	plainThing{id: "bolts", kind: "fasteners", members: 3, drawn: []looks.Drawn{{Path: "needed", Text: "3", Unsaid: "1"}, {Path: "torque", Text: "45"}}, touches: []string{"nut"}},
	plainThing{id: "nut", kind: "stud_nuts", members: 1, drawn: []looks.Drawn{{Path: "torque", Text: "60"}}, touches: []string{"bolts"}},
	plainThing{id: "weld", kind: "welds", members: 1, drawn: []looks.Drawn{{Path: "fillet.sides", Text: "2"}}},
)

// printed takes the fingerprints of the random logs: of this design, of it before its last fact was
// written, of it by an earlier program, which did not say what was written, and of another design.
func printed(things ...plainThing) []plainThing {
	for i := range things {
		p := &things[i]
		now, then := p.thing(), p.thing()
		then.Design = then.Design[:len(then.Design)-1]
		p.before = then.Print()
		early, _, _ := strings.Cut(now.Print(), " ")
		p.prints = []string{now.Print(), now.Print(), now.Print(), p.before, early, "ffff of torque"}
	}
	return things
}

// other says whether a fingerprint is of another design.
func (p plainThing) other(print string) bool { return strings.HasPrefix(print, "ffff") }

// vouches says whether a look with that fingerprint and 'good' vouches for a fact: not for one
// whose drawn value came later.
func (p plainThing) vouches(print, fact string) bool {
	return print != "" && !p.other(print) && (fact != "sides" || print != p.before)
}

func (p plainThing) thing() *looks.Thing {
	design := map[string]any{"needed": int64(p.members), "torque": torque(45), "fillet.sides": int64(2)}
	if p.kind == "stud_nuts" {
		design["torque"] = torque(60)
	}
	return &looks.Thing{ID: p.id, Kind: schema.KindOf(p.kind), Members: p.members, Design: p.drawn,
		Lookup:  func(path string) (any, bool) { v, ok := design[path]; return v, ok },
		Touched: func(looks.Event) []string { return p.touches }}
}

func torque(nm float64) quantity.Quantity { return quantity.Of(nm, quantity.Torque, "N·m") }

// claim is one fact as one look states it.
type claim struct {
	look   *looks.Look
	target *looks.Target
	value  any
	card   bool // by 'good', not by name
	alone  bool
	whole  bool // of all of a group
	dead   bool // said of another design
	taken  *looks.Note
}

// plain answers for one member of one thing.
type plain struct {
	log    *looks.Log
	thing  plainThing
	member int
}

func (p plain) now(id string, at looks.Stamp) string {
	for _, n := range p.log.Notes {
		if n.Word == looks.Renamed && n.Item == id && !at.After(n.Stamp) {
			return n.To
		}
	}
	return id
}

// takenBack says whether a note takes a look back: not one that its writer wrote after it.
func takenBack(look *looks.Look, id string, n *looks.Note) bool {
	switch {
	case n.Word != looks.Withdraw || n.By != look.By || n.Item != id || n.Of != look.Moment:
		return false
	case n.Look != "" && n.Look != look.Digest:
		return false
	case !look.Timed || !n.Timed || look.Day == quantity.Date{} || n.Day == quantity.Date{}:
		return true
	case look.Day != n.Day:
		return look.Day.Compare(n.Day) < 0
	case look.Clock != n.Clock:
		return look.Clock < n.Clock
	}
	return look.By == "" || look.Log != n.Log || look.Line <= n.Line
}

// prints lists when somebody looked at the thing, whichever member, with a fingerprint of another design or
// with one that fits.
func (p plain) prints(other bool) (at []looks.Stamp) {
	for _, look := range p.log.Looks {
		for _, target := range look.Of {
			if p.now(target.ID, look.Stamp) == p.thing.id && target.Print != "" && p.thing.other(target.Print) == other {
				at = append(at, look.Stamp)
			}
		}
	}
	return at
}

// drawnOtherwise says whether a look without a fingerprint may have been at another design: there was one, and
// nobody looked at that of today between the two.
func (p plain) drawnOtherwise(at looks.Stamp) bool {
	for _, other := range p.prints(true) {
		between := false
		for _, today := range p.prints(false) {
			between = between || today.After(other) && at.After(today)
		}
		if !between {
			return true
		}
	}
	return false
}

// claims lists all that was said of one fact.
func (p plain) claims(fact string) []claim {
	var list []claim
	for _, look := range p.log.Looks {
		for _, target := range look.Of {
			if p.now(target.ID, look.Stamp) != p.thing.id || target.Members != nil && !slices.Contains(target.Members, p.member) {
				continue
			}
			c := claim{look: look, target: target}
			c.alone = len(look.Of) == 1 && (p.thing.members == 1 || len(target.Members) == 1)
			c.whole = p.thing.members > 1 && target.Members == nil
			if fact == "count" {
				c.alone = len(look.Of) == 1 && target.Members == nil
			}
			c.dead = p.thing.other(target.Print) || target.Print == "" && p.drawnOtherwise(look.Stamp)
			for _, n := range p.log.Notes {
				switch {
				case takenBack(look, target.ID, n) && c.taken == nil:
					c.taken = n
				case n.Word == looks.Ended && n.Item == target.ID && n.Why == look.Digest:
					c.dead = true
				}
			}
			if value, named := p.named(target, fact); named {
				c.value = value
				list = append(list, c)
				continue
			}
			if fact == "good" {
				if look.Good == looks.NotGood {
					c.value = false
					list = append(list, c)
				} else if look.Good == looks.Good && p.thing.vouches(target.Print, fact) && !c.dead {
					c.value, c.card = true, true
					list = append(list, c)
				}
				continue
			}
			card := plainFacts[p.thing.kind][fact].card
			if look.Good == looks.Good && p.thing.vouches(target.Print, fact) && !c.dead && card != nil && !look.Except[fact] {
				c.value, c.card = card, true
				list = append(list, c)
			}
		}
	}
	return list
}

// named is what a look says of a fact by its name. A torque that was reached says
// how tight it is.
func (p plain) named(target *looks.Target, fact string) (any, bool) {
	if target.Found == nil || fact == "good" {
		return nil, false
	}
	if v, ok := target.Found.Lookup(fact); ok {
		return v.V, true
	}
	if fact == "tightness" {
		if v, ok := target.Found.Lookup("torqued"); ok && p.good("torqued", v.V) {
			return "torqued", true
		}
	}
	return nil, false
}

func (p plain) good(fact string, v any) bool {
	if fact == "good" {
		return yes(v)
	}
	return plainFacts[p.thing.kind][fact].good(v)
}

func (p plain) alike(fact string, a, b claim) bool {
	return fmt.Sprint(a.value) == fmt.Sprint(b.value) || (a.card || b.card) && p.good(fact, a.value) && p.good(fact, b.value)
}

// events lists the days on which something happened to it.
func (p plain) events() []looks.Stamp {
	var list []looks.Stamp
	for _, look := range p.log.Looks {
		for _, target := range look.Of {
			if target.Event == looks.NoEvent {
				continue
			}
			id := p.now(target.ID, look.Stamp)
			itself := id == p.thing.id && (target.Members == nil || slices.Contains(target.Members, p.member))
			other := slices.ContainsFunc(plainThings, func(o plainThing) bool { return o.id == id && slices.Contains(o.touches, p.thing.id) })
			if itself || other {
				list = append(list, look.Stamp)
			}
		}
	}
	for _, n := range p.log.Notes {
		if n.Word == looks.Added && (n.Item == p.thing.id || n.Item == looks.Member(p.thing.id, p.member)) {
			list = append(list, n.Stamp)
		}
	}
	return list
}

// anew says whether a claim tells that the thing was made anew.
func (p plain) anew(fact string, c claim) bool {
	bad := !p.good(fact, c.value)
	if !bad && c.taken != nil {
		return false
	}
	claims := p.claims(fact)
	for _, before := range claims {
		if before.look == c.look || !p.alike(fact, before, c) || before.dead || before.taken != nil || !c.look.After(before.look.Stamp) {
			continue
		}
		quiet := true
		for _, o := range claims {
			differs := o.look != c.look && !p.alike(fact, o, c) && (!p.good(fact, o.value) || o.taken == nil)
			if differs && !before.look.After(o.look.Stamp) && !o.look.After(c.look.Stamp) {
				quiet = false
			}
		}
		for _, e := range p.events() {
			if !before.look.After(e) && !e.After(c.look.Stamp) {
				quiet = false
			}
		}
		if quiet {
			return false
		}
	}
	if bad || critical[fact] {
		return true
	}
	for _, o := range claims {
		if o.look != c.look && !p.alike(fact, o, c) && (!p.good(fact, o.value) || o.taken == nil) && !o.look.After(c.look.Stamp) {
			return true
		}
	}
	return false
}

// over says whether a good claim has come to its end.
func (p plain) over(fact string, c claim) bool {
	for _, e := range p.events() {
		if !c.look.After(e) {
			return true
		}
	}
	var makers []string
	if fact == "good" {
		for name := range plainFacts[p.thing.kind] {
			if name == "fitted" || name == "count" {
				makers = append(makers, name)
			}
		}
	} else {
		makers = strings.Fields(plainFacts[p.thing.kind][fact].endedBy)
	}
	for _, maker := range makers {
		for _, r := range p.claims(maker) {
			if r.look == c.look || c.look.After(r.look.Stamp) || !p.anew(maker, r) {
				continue
			}
			if goesOn := slices.Contains(strings.Fields(plainFacts[p.thing.kind][fact].first), maker); goesOn && p.good(maker, r.value) {
				continue
			}
			knew := false
			for _, o := range p.claims(maker) {
				knew = knew || o.look == c.look && o.target == c.target && p.alike(maker, o, r)
			}
			if !knew {
				return true
			}
		}
	}
	return p.undone(fact, c)
}

// undone says whether a fault was mended since that is not mended without undoing what the claim
// says.
func (p plain) undone(fact string, c claim) bool {
	for _, other := range strings.Fields(plainFacts[p.thing.kind][fact].undone) {
		goesOn := slices.Contains(strings.Fields(plainFacts[p.thing.kind][fact].first), other)
		claims := p.claims(other)
		clears := func(o, fault claim) bool {
			return p.answers(o, fault) && p.good(other, o.value) && !o.dead && o.taken == nil && o.look.After(fault.look.Stamp)
		}
		for _, fault := range claims {
			if p.good(other, fault.value) || fault.taken != nil {
				continue
			}
			for _, m := range claims {
				first := clears(m, fault)
				for _, o := range claims {
					first = first && !(clears(o, fault) && m.look.After(o.look.Stamp))
				}
				believed := c.look == m.look || c.look.After(m.look.Stamp) || goesOn && (c.look == fault.look || c.look.After(fault.look.Stamp))
				if first && !believed {
					return true
				}
			}
		}
	}
	return false
}

// answers says whether a claim may end a fault: it is of this one member, or it names the fact of
// the whole group as the fault did, and looks at nothing else.
func (p plain) answers(c, fault claim) bool {
	return c.alone || c.whole && len(c.look.Of) == 1 && fault.whole && !c.card
}

// mended says whether a fault has come to its end.
func (p plain) mended(fact string, fault claim) bool {
	cleared := false
	for _, c := range p.claims(fact) {
		cleared = cleared || p.answers(c, fault) && p.good(fact, c.value) && !c.dead && c.taken == nil && c.look.After(fault.look.Stamp)
	}
	if !cleared || fault.taken == nil || fault.taken.To == "" {
		return cleared
	}
	for _, look := range p.log.Looks {
		if len(look.Of) != 1 || p.now(look.Of[0].ID, look.Stamp) != fault.taken.To || !look.After(fault.look.Stamp) || look.Good == looks.NotSaid && look.Of[0].Found == nil {
			continue
		}
		back := slices.ContainsFunc(p.log.Notes, func(n *looks.Note) bool {
			return takenBack(look, look.Of[0].ID, n)
		})
		if !back {
			return true
		}
	}
	return false
}

// stands is what is known of a fact today.
func (p plain) stands(fact string) (value any, fault, known bool) {
	claims := p.claims(fact)
	var faults, good []claim
	for _, c := range claims {
		switch {
		case !p.good(fact, c.value):
			if !p.mended(fact, c) {
				faults = append(faults, c)
			}
		case !c.dead && c.taken == nil && !p.over(fact, c):
			good = append(good, c)
		}
	}
	worst := func(list []claim) any {
		v := list[0].value
		for _, c := range list[1:] {
			if p.worse(fact, c.value, v) {
				v = c.value
			}
		}
		return v
	}
	if len(faults) > 0 {
		var last []claim
		for _, c := range faults {
			if !slices.ContainsFunc(faults, func(o claim) bool { return o.taken == nil && o.look.After(c.look.Stamp) }) {
				last = append(last, c)
			}
		}
		if len(last) == 0 {
			last = faults
		}
		return worst(last), true, true
	}
	var last []claim
	for _, c := range good {
		if !slices.ContainsFunc(claims, func(o claim) bool { return o.taken == nil && o.look.After(c.look.Stamp) }) {
			last = append(last, c)
		}
	}
	if len(last) == 0 {
		return nil, false, false
	}
	return worst(last), false, true
}

func (p plain) worse(fact string, a, b any) bool {
	if order := plainFacts[p.thing.kind][fact].worst; order != nil {
		return slices.Index(order, a.(string)) < slices.Index(order, b.(string))
	}
	switch a := a.(type) {
	case int64:
		return a < b.(int64)
	case quantity.Quantity:
		return a.Value < b.(quantity.Quantity).Value
	}
	return false
}

var values = map[string][]any{
	"fitted": {true, true, false}, "count": {int64(3), int64(3), int64(2)}, "tightness": {"torqued", "torqued", "finger", "loose"}, "marked": {true, true, false},
	"lock_fitted": {true, true, false}, "mark_broken": {false, true}, "lined_up": {"as torqued", "tightened on", "backed off"},
	"made": {"full", "full", "tack", "part"}, "sides": {int64(2), int64(2), int64(1)}, "inspected": {true, true, false}, "crack": {false, false, true}, "dressed": {false, true},
	"torqued": {torque(45), torque(60), torque(60), torque(61), torque(20)},
}

// randomLog is a short log with all that the rules speak of.
func randomLog(random *rand.Rand) *looks.Log {
	log := &looks.Log{People: []string{"TN", "EA"}}
	moment := func() looks.Moment {
		m := looks.Moment{Day: quantity.Date{Year: 2026, Month: 11, Day: 20 + random.Intn(3)}}
		if random.Intn(2) == 0 {
			m.Clock, m.Timed = 36_000+3_600*random.Intn(3), true
		}
		return m
	}
	stamp := func(line int) looks.Stamp {
		return looks.Stamp{Moment: moment(), By: []string{"TN", "EA"}[random.Intn(2)], Log: []string{"a", "b"}[random.Intn(2)], Line: line}
	}
	n := 1 + random.Intn(6)
	for line := range n {
		look := &looks.Look{Stamp: stamp(line), Except: map[string]bool{}, Digest: fmt.Sprint(line)}
		targets := 1
		if random.Intn(4) == 0 {
			targets = 2
		}
		if random.Intn(3) > 0 {
			look.Good = looks.Good
			if random.Intn(8) == 0 {
				look.Good = looks.NotGood
			}
		}
		for _, i := range random.Perm(len(plainThings))[:targets] {
			thing := plainThings[i]
			target := &looks.Target{ID: thing.id}
			if thing.id == "nut" && random.Intn(6) == 0 {
				target.ID = "old-nut"
			}
			if thing.members > 1 && random.Intn(2) == 0 {
				target.Members = []int{1 + random.Intn(thing.members)}
			}
			if random.Intn(8) > 0 {
				target.Print = thing.prints[random.Intn(len(thing.prints))]
			}
			if random.Intn(8) == 0 {
				target.Event = looks.Disturbed
			}
			if random.Intn(3) > 0 {
				target.Found = schema.NewRecord(schema.KindOf(thing.kind).Found().Fields, look.Span)
				names := []string{}
				for name := range plainFacts[thing.kind] {
					names = append(names, name)
				}
				slices.Sort(names)
				for range 1 + random.Intn(3) {
					name := names[random.Intn(len(names))]
					if name == "count" && target.Members != nil {
						continue
					}
					target.Found.Set(name, schema.Value{V: values[name][random.Intn(len(values[name]))]})
					if random.Intn(6) == 0 {
						look.Except[names[random.Intn(len(names))]] = true
					}
				}
			}
			look.Of = append(look.Of, target)
		}
		log.Looks = append(log.Looks, look)
	}
	pick := func() (*looks.Look, *looks.Target) {
		look := log.Looks[random.Intn(n)]
		return look, look.Of[random.Intn(len(look.Of))]
	}
	log.Notes = append(log.Notes, &looks.Note{Word: looks.Renamed, Item: "old-nut", To: "nut", Stamp: looks.Stamp{Moment: looks.Moment{Day: quantity.Date{Year: 2026, Month: 11, Day: 30}}}})
	if random.Intn(5) == 0 {
		look, target := pick()
		note := &looks.Note{Word: looks.Withdraw, Item: target.ID, Of: look.Moment, Stamp: stamp(n)}
		note.By = look.By
		if random.Intn(2) == 0 {
			note.Look = look.Digest
		}
		if random.Intn(2) == 0 {
			note.To = plainThings[random.Intn(len(plainThings))].id
		}
		log.Notes = append(log.Notes, note)
	}
	if random.Intn(8) == 0 {
		look, target := pick()
		log.Notes = append(log.Notes, &looks.Note{Word: looks.Ended, Item: target.ID, Why: look.Digest, Stamp: stamp(n)})
	}
	if random.Intn(8) == 0 {
		log.Notes = append(log.Notes, &looks.Note{Word: looks.Added, Item: []string{"nut", "bolts{2}", "bolts"}[random.Intn(3)], Stamp: stamp(n)})
	}
	return log
}

var (
	logs = flag.Int("logs", 10_000, "random logs")
	seed = flag.Int64("seed", 1, "of the random logs")
)

func things() []*looks.Thing {
	var list []*looks.Thing
	for _, p := range plainThings {
		list = append(list, p.thing())
	}
	return list
}

// The fold and the plain reading say the same of every random log.
func TestFoldAgreesWithThePlainReading(t *testing.T) {
	random := rand.New(rand.NewSource(*seed))
	known, faulty := 0, 0
	for i := range *logs {
		log := randomLog(random)
		states, _ := fold(things(), log)
		for _, thing := range plainThings {
			for m := 1; m <= thing.members; m++ {
				p := plain{log, thing, m}
				for fact := range plainFacts[thing.kind] {
					value, fault, isKnown := p.stands(fact)
					got, ok := states[thing.id].Members[m-1][fact]
					if isKnown {
						known++
					}
					if fault {
						faulty++
					}
					if ok != isKnown || got.Fault != fault || ok && fmt.Sprint(got.V) != fmt.Sprint(value) {
						t.Fatalf("log %d, %s{%d}.%s: the fold says %v (fault %v, known %v), the rules say %v (fault %v, known %v)\n%s", i, thing.id, m, fact, got.V, got.Fault, ok, value, fault, isKnown, written(log))
					}
				}
			}
		}
	}
	require.Greater(t, known, *logs, "logs that say nothing show nothing")
	require.Greater(t, faulty, *logs/5)
}

// Whatever was folded before, of more looks, fewer or others in between, what is kept of it changes nothing.
func TestFoldedAgain(t *testing.T) {
	random := rand.New(rand.NewSource(*seed))
	kept, all := 0, 0
	for i := range *logs / 10 {
		log := randomLog(random)
		folded := new(looks.Folded)
		for range 6 {
			part := &looks.Log{People: log.People, Notes: log.Notes[:len(log.Notes)-random.Intn(2)*len(log.Notes)]}
			for _, look := range log.Looks {
				if random.Intn(8) > 0 {
					part.Looks = append(part.Looks, look)
				}
			}
			states, troubles := fold(things(), part)
			again := folded.Again(things(), part)
			require.Equal(t, states, again.States, "log %d\n%s", i, written(part))
			require.Equal(t, troubles, again.Troubles, "log %d\n%s", i, written(part))
			for id, state := range folded.States {
				all++
				if state == again.States[id] {
					kept++
				}
			}
			folded = again
		}
	}
	require.Greater(t, kept, all/10, "where nothing is kept nothing is shown")
}

// What stands of one thing may hang on what is seen at another: that its joint was opened, or which of the
// two a look was meant for that was taken back.
func TestFoldedAgainOfAnother(t *testing.T) {
	joint := plainThing{id: "joint", kind: "joints", members: 1, touches: []string{"nut"}}
	stamp := func(day int) looks.Stamp {
		return looks.Stamp{Moment: looks.Moment{Day: quantity.Date{Year: 2026, Month: 11, Day: day}}, By: "TN"}
	}
	seen := func(day int, p plainThing, fact string, value any) *looks.Look {
		found := schema.NewRecord(schema.KindOf(p.kind).Found().Fields, source.Span{})
		found.Set(fact, schema.Value{V: value})
		return &looks.Look{Stamp: stamp(day), Digest: fmt.Sprint(day, p.id), Of: []*looks.Target{{ID: p.id, Found: found}}}
	}
	nut, weld := plainThings[1], plainThings[2]
	for _, c := range []struct {
		name  string
		looks []*looks.Look
		notes []*looks.Note
		says  []string // of the nut after each look: known, fault or nothing
	}{
		{
			name: "opened",
			looks: []*looks.Look{
				seen(19, joint, "bush_fitted", false), seen(20, nut, "fitted", true), seen(21, joint, "bush_fitted", true),
				seen(22, weld, "crack", false), seen(23, nut, "fitted", true),
			},
			says: []string{"", "known", "", "", "known"},
		},
		{
			name:  "meant for another",
			looks: []*looks.Look{seen(20, nut, "fitted", false), seen(21, nut, "fitted", true), seen(22, weld, "crack", false)},
			notes: []*looks.Note{{Word: looks.Withdraw, Item: "nut", Of: stamp(20).Moment, To: "weld", Stamp: stamp(20)}},
			says:  []string{"fault", "fault", "known"},
		},
	} {
		all := append(things(), joint.thing())
		folded := new(looks.Folded)
		for n, says := range c.says {
			folded = folded.Again(all, &looks.Log{Looks: c.looks[:n+1], Notes: c.notes})
			fact, known := folded.States["nut"].Members[0]["fitted"]
			is := ""
			if known {
				is = map[bool]string{true: "fault", false: "known"}[fact.Fault]
			}
			assert.Equal(t, says, is, "%s, %d looks", c.name, n+1)
		}
	}
}

func written(log *looks.Log) string {
	var b strings.Builder
	for _, l := range log.Looks {
		fmt.Fprintf(&b, "%s %s %s:%d good %d except %v\n", l.Moment, l.By, l.Log, l.Line, l.Good, l.Except)
		for _, target := range l.Of {
			fmt.Fprintf(&b, "   %s%v print %q event %d", target.ID, target.Members, target.Print, target.Event)
			if target.Found != nil {
				for _, name := range target.Found.Names() {
					v, _ := target.Found.Lookup(name)
					fmt.Fprintf(&b, " %s=%v", name, v.V)
				}
			}
			b.WriteString("\n")
		}
	}
	for _, n := range log.Notes {
		fmt.Fprintf(&b, "%s %s %s item %s to %s of %s why %s\n", n.Word, n.Moment, n.By, n.Item, n.To, n.Of, n.Why)
	}
	return b.String()
}

// better lists what is known and good in one state and was not in another.
func better(after, before map[string]*looks.State) string {
	for id, state := range after {
		for m, facts := range state.Members {
			for name, fact := range facts {
				was, known := before[id].Members[m][name]
				if !fact.Fault && (!known || was.Fault) {
					return fmt.Sprintf("%s{%d}.%s = %v", id, m+1, name, fact.V)
				}
			}
			for name, was := range before[id].Members[m] {
				if _, known := facts[name]; was.Fault && !known {
					return fmt.Sprintf("%s{%d}.%s is no fault any more", id, m+1, name)
				}
			}
		}
	}
	return ""
}

// fold is what a log says to whoever reads it for the first time.
func fold(things []*looks.Thing, log *looks.Log) (map[string]*looks.State, []looks.Trouble) {
	folded := new(looks.Folded).Again(things, log)
	return folded.States, folded.Troubles
}

// What makes the state worse never makes a fact good, and neither does a line
// that is lost, moved or doubled, as long as it does not tell that the thing was
// made anew.
func TestLogsAreSafe(t *testing.T) {
	random := rand.New(rand.NewSource(*seed))
	for i := range *logs {
		log := randomLog(random)
		before, troubles := fold(things(), log)

		worse := *log
		thing := plainThings[random.Intn(len(plainThings))]
		extra := &looks.Look{Stamp: log.Looks[0].Stamp, Of: []*looks.Target{{ID: thing.id}}}
		extra.Line, extra.Day.Day = 99, 19+random.Intn(5)
		what := "an event"
		// A fault seen at the item that a withdrawn look was meant for is a look at
		// that item, for which the withdrawn one waits: it moves, and is no better.
		waits := slices.ContainsFunc(log.Notes, func(n *looks.Note) bool { return n.Word == looks.Withdraw && n.To != "" })
		if waits || random.Intn(2) == 0 {
			extra.Of[0].Event = looks.Disturbed
		} else {
			what = "a fault"
			found := schema.NewRecord(schema.KindOf(thing.kind).Found().Fields, extra.Span)
			name, value := "lock_fitted", any(false)
			if thing.kind == "welds" {
				name, value = "crack", true
			}
			found.Set(name, schema.Value{V: value})
			extra.Of[0].Found = found
		}
		worse.Looks = append(slices.Clone(log.Looks), extra)
		after, _ := fold(things(), &worse)
		require.Empty(t, better(after, before), "log %d: %s made it better\n%s", i, what, written(&worse))

		mixed := *log
		mixed.Looks = slices.Clone(log.Looks)
		mixed.Looks = append(mixed.Looks, mixed.Looks[random.Intn(len(mixed.Looks))])
		random.Shuffle(len(mixed.Looks), func(a, b int) { mixed.Looks[a], mixed.Looks[b] = mixed.Looks[b], mixed.Looks[a] })
		after, again := fold(things(), &mixed)
		require.Equal(t, len(troubles), len(again))
		for id, state := range after {
			for m, facts := range state.Members {
				for name, fact := range facts {
					was := before[id].Members[m][name]
					require.Equal(t, fmt.Sprint(was.V, was.Fault), fmt.Sprint(fact.V, fact.Fault), "log %d: the order of lines or a double counts\n%s", i, written(log))
				}
				require.Len(t, facts, len(before[id].Members[m]))
			}
		}

		less := *log
		lost := random.Intn(len(log.Looks))
		ended := slices.ContainsFunc(log.Notes, func(n *looks.Note) bool { return n.Word == looks.Ended && n.Why == log.Looks[lost].Digest })
		if ended || !onlyGood(log.Looks[lost], log) {
			continue
		}
		less.Looks = slices.Delete(slices.Clone(log.Looks), lost, lost+1)
		after, _ = fold(things(), &less)
		require.Empty(t, better(after, before), "log %d: line %d lost made it better\n%s", i, lost, written(log))
	}
}

// onlyGood says whether a look states nothing but good answers of this design, and
// none by which the thing was made anew or a fault of it mended. A look at another design tells that there
// was one, so that what was seen before it does not count either; so does one without a fingerprint beside such a look.
func onlyGood(look *looks.Look, log *looks.Log) bool {
	for _, target := range look.Of {
		another := func(l *looks.Look) bool {
			return slices.ContainsFunc(l.Of, func(t *looks.Target) bool { return strings.HasPrefix(t.Print, "ffff") })
		}
		if look.Good != looks.NotSaid || target.Event != looks.NoEvent || strings.HasPrefix(target.Print, "ffff") || target.Print == "" && slices.ContainsFunc(log.Looks, another) {
			return false
		}
		if target.Found == nil {
			continue
		}
		for _, name := range target.Found.Names() {
			v, _ := target.Found.Lookup(name)
			if makers := "fitted count torqued tightness made sides dressed"; slices.Contains(strings.Fields(makers), name) {
				return false
			}
			for _, thing := range plainThings {
				fact, has := plainFacts[thing.kind][name]
				if !has || !strings.HasSuffix(target.ID, thing.id) {
					continue
				}
				wrong := func(l *looks.Look) bool { return says(l, thing.id, name, func(v any) bool { return !fact.good(v) }) }
				if !fact.good(v.V) || slices.ContainsFunc(log.Looks, wrong) {
					return false
				}
			}
		}
	}
	return true
}

// says reports whether a look names a fact of an item with such a value.
func says(look *looks.Look, id, name string, such func(v any) bool) bool {
	return slices.ContainsFunc(look.Of, func(t *looks.Target) bool {
		if t.Found == nil || !strings.HasSuffix(t.ID, id) || t.Found.Field(name) == nil {
			return false
		}
		v, named := t.Found.Lookup(name)
		return named && such(v.V)
	})
}

// Two people kept the log apart and put it together: it says the same whoever's lines come
// first, and no fault of either is lost, unless the other has looked at that one thing alone.
func TestMergedLogsAreSafe(t *testing.T) {
	random := rand.New(rand.NewSource(*seed))
	lost, kept := 0, 0
	for i := range *logs {
		one, other := randomLog(random), randomLog(random)
		for _, look := range other.Looks { // written in another folder
			look.Digest, look.Log = "o"+look.Digest, "o"+look.Log
		}
		one.Notes, other.Notes = one.Notes[:1], other.Notes[:1] // the renamed item, which both know
		merge := func(a, b *looks.Log) map[string]*looks.State {
			both := &looks.Log{People: a.People, Looks: slices.Concat(a.Looks, b.Looks, a.Looks[:1]), Notes: a.Notes}
			states, _ := fold(things(), both)
			return states
		}
		before, _ := fold(things(), one)
		merged, turned := merge(one, other), merge(other, one)
		for id, state := range merged {
			for m, facts := range state.Members {
				for name, fact := range facts {
					was := turned[id].Members[m][name]
					require.Equal(t, fmt.Sprint(was.V, was.Fault), fmt.Sprint(fact.V, fact.Fault), "log %d: whose lines come first counts\n%s%s", i, written(one), written(other))
				}
				require.Len(t, facts, len(turned[id].Members[m]))
				for name, was := range before[id].Members[m] {
					alone := slices.ContainsFunc(other.Looks, func(l *looks.Look) bool {
						return len(l.Of) == 1 && strings.HasSuffix(l.Of[0].ID, id) && (l.Of[0].Members == nil || slices.Contains(l.Of[0].Members, m+1))
					})
					switch {
					case !was.Fault:
					case alone:
						lost++
					default:
						kept++
						require.True(t, facts[name].Fault, "log %d: %s of %s{%d} is no fault any more\n%s%s", i, name, id, m+1, written(one), written(other))
					}
				}
			}
		}
	}
	require.Greater(t, kept, *logs/5)
	require.Greater(t, lost, *logs/10)
}

// TestTheLostAreOneTrouble: however many looks are at what the file does not have, one thing says all of them.
func TestTheLostAreOneTrouble(t *testing.T) {
	at := func(digest, id string) *looks.Look {
		return &looks.Look{Digest: digest, Of: []*looks.Target{{ID: id}}}
	}
	_, troubles := fold(things(), &looks.Log{Looks: []*looks.Look{at("a", "this"), at("b", "that"), at("c", "this")}})
	if assert.Len(t, troubles, 1) {
		assert.Equal(t, "looks are at this, that, which the file does not have", troubles[0].Message)
		assert.Contains(t, troubles[0].Hint, "struck: {item: this, why: ...}}, and so for each")
	}
}

func TestTroubles(t *testing.T) {
	log := &looks.Log{
		Looks: []*looks.Look{{Of: []*looks.Target{{ID: "nobody"}}}, {Digest: "x", Of: []*looks.Target{{ID: "bolts", Members: []int{4}}}}, {Digest: "y", Good: looks.NotGood, Of: []*looks.Target{{ID: "nut"}}}},
		Notes: []*looks.Note{{Word: looks.Torn, Item: "half a l"}, {Word: looks.Withdraw, Item: "nut", Stamp: looks.Stamp{By: "XY"}}},
	}
	_, troubles := fold(things(), log)
	var got []string
	for _, one := range troubles {
		got = append(got, one.Message)
		assert.NotEmpty(t, one.Hint)
	}
	assert.Equal(t, []string{
		"the look of  by  is at bolts{4}, but there are only 3",
		`the look of  by  is at "nobody", which the file does not have`,
		`a line of the log was torn off: "half a l"`,
		"XY takes back a look at nut of  that is not in the log",
		" found it not good on ",
	}, got)
}

// What somebody struck out or removed and the file lists is one or the other, and stops until it is
// said which; so is a member of a group.
func TestStruckAndListed(t *testing.T) {
	day := func(d int) looks.Stamp {
		return looks.Stamp{Moment: looks.Moment{Day: quantity.Date{Year: 2026, Month: 11, Day: d}}, By: "TN"}
	}
	for _, word := range []looks.Word{looks.Struck, looks.Removed} {
		for _, item := range []string{"nut", "bolts{2}", "bolts"} {
			log := &looks.Log{Notes: []*looks.Note{{Word: word, Item: item, Stamp: day(20)}, {Word: word, Item: "nobody", Stamp: day(20)}, {Word: word, Item: "bolts{4}", Stamp: day(20)}}}
			_, troubles := fold(things(), log)
			require.Len(t, troubles, 1, "%s %s", word, item)
			assert.Equal(t, "TN wrote on 2026-11-20 that the vehicle has no "+item+", and the file lists it", troubles[0].Message)
			log.Notes = append(log.Notes, &looks.Note{Word: looks.Added, Item: item, Stamp: day(19)})
			_, troubles = fold(things(), log)
			assert.Len(t, troubles, 1, "%s %s: added before", word, item)
			log.Notes = append(log.Notes, &looks.Note{Word: looks.Added, Item: item, Stamp: day(21)})
			_, troubles = fold(things(), log)
			assert.Empty(t, troubles, "%s %s", word, item)
		}
	}
}

// A new name leaves the old one, and two things are not renamed to one: looks at the one would count
// for the other.
func TestRenamedAndListed(t *testing.T) {
	day := func(d int) looks.Stamp {
		return looks.Stamp{Moment: looks.Moment{Day: quantity.Date{Year: 2026, Month: 11, Day: d}}, By: "TN"}
	}
	rename := func(from, to string, d int) *looks.Note {
		return &looks.Note{Word: looks.Renamed, Item: from, To: to, Stamp: day(d)}
	}
	for _, c := range []struct {
		says  string
		notes []*looks.Note
	}{
		{"", []*looks.Note{rename("old-nut", "nut", 20)}},
		{"", []*looks.Note{rename("old-nut", "older-nut", 20), rename("older-nut", "nut", 21)}},
		{"", []*looks.Note{rename("nut", "old-nut", 20), rename("old-nut", "nut", 21)}},
		{"TN wrote on 2026-11-20 that nut is now bolts, and the file lists nut", []*looks.Note{rename("nut", "bolts", 20)}},
		{"", []*looks.Note{rename("nut", "bolts", 20), {Word: looks.Added, Item: "nut", Stamp: day(21)}}},
		{"", []*looks.Note{rename("a", "nut", 20), rename("nut", "b", 21), rename("c", "nut", 22)}},
		{"TN wrote on 2026-11-20 that old-nut is now nut, and so was another thing", []*looks.Note{rename("old-nut", "nut", 20), rename("other-nut", "nut", 21)}},
	} {
		_, troubles := fold(things(), &looks.Log{Notes: c.notes})
		if c.says == "" {
			assert.Empty(t, troubles, "%v", c.notes)
			continue
		}
		require.NotEmpty(t, troubles, c.says)
		assert.Equal(t, c.says, troubles[0].Message)
	}
}
