package facts

import (
	"fmt"
	"slices"
	"strings"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/vehicle"
)

// PassedOver is the fact that says what was found bad and judged by no rule. It hangs on what
// the rules read, so whoever asks them gives it, after all others (Object.PassOver).
const PassedOver = "passed_over"

// LetPass is the fact that says what was found bad, and on which no answer of a rule hung.
const LetPass = "let_pass"

// ofFound are the facts of everything at which something is found.
var ofFound = []fact{
	text(PassedOver, "what was found of it that is not good and that no rule judged in this step, in words; 'nothing' when there is none", func(it item) string {
		it.not("it is known when all other rules were asked")
		return ""
	}),
	text(LetPass, "what was found of it that is not good and that every rule let pass in this step for another reason, in words; 'nothing' when there is none; of a move that of the site and the vehicle as well", func(it item) string {
		it.not("it is known when all other rules were asked")
		return ""
	}),
}

// ofUsed are the facts of the items that stand on the vehicle or under it.
var ofUsed = []fact{
	yesNo("idle", "it is known that nothing rests on it in this step and that the step does not use it", func(it item) bool {
		for _, works := range []field[bool]{onFloor, onVehicle, used, carrying} {
			if works.has(it) {
				at, known := works.ifStated(it)
				return known && !at
			}
		}
		return true
	}),
}

// Doubt is something that was found and is not good, or of which that cannot be said, or a
// strength that is not enough or could not be worked out.
type Doubt struct {
	Name    string
	Remakes []string // what was found on the same make and goes with it; empty but not nil is all of it
	Bad     bool
	Found   bool // somebody found it; else it was worked out
	// Elsewhere is set where it was found of a thing that by its design has no such part: no rule was made for it.
	Elsewhere bool
	// Critical is set where it is something critical that nobody recorded.
	Critical bool
	unknown  *Unknown // where it is not known to be bad: why not
	words    string
	at       read   // a rule that reads it speaks of the doubt;
	holder   []read // so does one that reads this, where there is one,
	load     []read // or all of these
}

// Doubts lists what was found of an object and is not known to be good by the table, and its
// strengths that are not enough. Of what is idle only what was found and is known to be bad
// counts: nothing more is asked of it.
func (o *Object) Doubts() []Doubt {
	list := o.notGood()
	if o.Idle() {
		return slices.DeleteFunc(slices.Clone(list), func(d Doubt) bool { return !d.Bad })
	}
	return slices.Concat(list, o.notNamed(), o.notEnough())
}

// Idle reports whether it is known that nothing rests on the object and that the step does not
// use it.
func (o *Object) Idle() bool {
	if !o.Has("idle") {
		return false
	}
	is, _ := o.Get("idle")
	return is == true
}

// notNamed lists what is critical of the object and nobody recorded: a look names it.
func (o *Object) notNamed() []Doubt {
	found := o.Block("found")
	var list []Doubt
	for i := range found.layout.fields {
		if f := &found.layout.fields[i]; f.Critical && found.values[i] == nil && o.has(f) {
			list = append(list, Doubt{Name: f.Name, Critical: true, unknown: vehicle.NotRecorded(found.Path + "." + f.Name), at: readOf(found, i)})
		}
	}
	return list
}

// has reports whether the object can have a fact by its design: it belongs to such items, and
// what it is held against is of a block that the file has.
func (o *Object) has(f *schema.Field) bool {
	var nobody Unknown
	if is, known := f.OnlyFor.Holds("", func(path string) (any, bool) { return o.lookUp(path, &nobody) }); len(f.OnlyFor) > 0 && known && !is {
		return false
	}
	for _, tests := range f.Good {
		for _, test := range tests {
			if block, _, nested := strings.Cut(test.Than, "."); nested && !o.Block(block).there {
				return false
			}
		}
	}
	return true
}

// notGood lists what is not good of what was found and of the tab of a bolt, in any step.
func (o *Object) notGood() []Doubt {
	o = o.everyStep()
	if known := o.wrong.Load(); known != nil {
		return *known
	}
	list := o.notGoodIn("found")
	if o.Block("tab") != nil {
		list = append(list, o.notGoodIn("tab")...)
	}
	o.wrong.Store(&list)
	return list
}

func (o *Object) notGoodIn(block string) []Doubt {
	found := o.Block(block)
	var list []Doubt
	for i := range found.layout.fields {
		f := &found.layout.fields[i]
		if found.values[i] == nil || len(f.Good) == 0 {
			continue
		}
		var why Unknown
		look := func(path string) (any, bool) { return o.lookUp(path, &why) }
		is, known := f.OnlyFor.Holds("", look)
		elsewhere := len(f.OnlyFor) > 0 && known && !is // said of a thing that has no such part
		why = Unknown{}
		good, known := f.Good.Holds(block+"."+f.Name, look)
		if good || elsewhere && !known {
			continue
		}
		d := Doubt{Name: f.Name, Remakes: f.Remakes, Bad: known, Found: true, Elsewhere: elsewhere, unknown: &why, at: readOf(found, i)}
		d.words = strings.TrimPrefix(block+" ", "found ") + strings.ReplaceAll(f.Name, "_", " ") + ": " + inWords(found.values[i], o.Units())
		if slices.Contains(asHolder, f.Name) {
			d.holder = []read{readOf(o, theHolder)}
		}
		list = append(list, d)
	}
	return list
}

// notEnough lists the strengths of the object that are less than the load asks for, or that
// could not be worked out though a load is on it.
func (o *Object) notEnough() []Doubt {
	var list []Doubt
	for _, check := range checks[o.Kind] {
		at := o.layout.slots[check.field].at
		v, unknown := o.At(at)
		if unknown != nil || v.(*Comparison) == nil {
			continue
		}
		c, d := v.(*Comparison), Doubt{Name: paths[check.field], Bad: true, at: readOf(o, at)}
		if check.field == plateBears || check.field == strapBears {
			d.load = o.result(o.layout.cell[at]).reads // rules hold the load against the plate themselves
		}
		switch {
		case c.NotComputed != "" && c.Load > 0:
			d.Bad, d.unknown = false, vehicle.NotComputed("%s: %s", c.Check, c.NotComputed) // nothing was found wrong
		case c.Utilisation > 1+rounding:
			d.words = fmt.Sprintf("%s at %.0f %%", c.Check, 100*c.Utilisation)
		default:
			continue
		}
		list = append(list, d)
	}
	return list
}

// rounding is what a sum may be off by.
const rounding = 1e-9

// Trails say of which of some doubts a rule speaks that reads a fact of a step: by the fact, and by
// all that this was worked out from. What a fact leads to is found once.
type Trails struct {
	set    *Set
	doubts []Doubt
	goals  map[read]Trail
	behind []origins // what each goal hangs on itself
	known  map[read]Trail
}

// Trail is what facts lead to, of what tells of the doubts: a bit for each.
type Trail uint64

// maxGoals is how much may tell of the doubts of one object; a test holds the table to it.
const maxGoals = 64

// Follow makes ready to follow facts of a step to doubts at one object.
func (s *Set) Follow(doubts []Doubt) *Trails {
	s.enroll()
	t := &Trails{set: s, doubts: doubts, goals: map[read]Trail{}, known: map[read]Trail{}}
	goal := func(r read) {
		if t.goals[r] == 0 && len(t.goals) < maxGoals {
			t.goals[r] = 1 << len(t.goals)
			t.behind = append(t.behind, s.originsOf(r))
		}
	}
	for _, d := range doubts {
		goal(d.at)
		for _, r := range slices.Concat(d.holder, d.load) {
			goal(r)
		}
	}
	return t
}

// From is what the i-th field of an object leads to.
func (t *Trails) From(o *Object, i int) Trail { return t.from(readOf(o, i)) }

func (t *Trails) from(r read) Trail {
	if r.of == outside {
		return 0
	}
	o, i := t.set.objects[r.of], int(r.at)
	if i >= 0 {
		o, i = o.fact(i)
	}
	if i < 0 || o.layout.cell[i] == nowhere {
		return t.goals[r]
	}
	// A goal is behind no fact that does not hang on all that it hangs on.
	result := o.result(o.layout.cell[i])
	if !slices.ContainsFunc(t.behind, func(goal origins) bool { return goal.within(result.origins) }) {
		return 0
	}
	to, known := t.known[r]
	if known {
		return to
	}
	to = t.goals[r]
	if !slices.Contains(tooMuch, o.layout.facts[o.layout.cell[i]].Name) {
		for _, next := range result.reads {
			to |= t.from(next)
		}
	}
	t.known[r] = to
	return to
}

// Tells reports whether a rule whose facts lead there speaks of the i-th doubt: it read the very
// fact. Of a strength it is enough that it read the load and what bears it.
func (t *Trails) Tells(to Trail, i int) bool {
	d := &t.doubts[i]
	reached := func(r read) bool { return to&t.goals[r] != 0 }
	missed := func(r read) bool { return r.of != outside && !reached(r) }
	return reached(d.at) || slices.ContainsFunc(d.holder, reached) || d.load != nil && !slices.ContainsFunc(d.load, missed)
}

// lookUp finds a fact by its path for a condition of the table, and notes why it is not known.
func (o *Object) lookUp(path string, why *Unknown) (any, bool) {
	name, rest, _ := strings.Cut(path, ".")
	v, unknown := o.Get(name)
	if block, nested := v.(*Object); nested && unknown == nil {
		return block.lookUp(rest, why)
	}
	if unknown != nil {
		why.Missing = append(why.Missing, unknown.Missing...)
		why.Reason = unknown.Reason
		return nil, false
	}
	if t, ok := v.(quantity.Thread); ok {
		switch rest {
		case "diameter":
			return quantity.Of(t.Diameter, quantity.Length, "mm"), true
		case "pitch":
			return quantity.Of(t.Pitch, quantity.Length, "mm"), true
		}
	}
	if list, ok := v.([]any); ok {
		values := make([]schema.Value, len(list))
		for i, e := range list {
			values[i].V = e
		}
		return values, true
	}
	return v, true
}

// PassOver gives the facts PassedOver and LetPass: the doubts that no rule spoke of, and those
// that every rule let pass. What is known to be bad is said before anything is asked.
func (o *Object) PassOver(doubts, let []Doubt) {
	o.Derive(PassedOver, spoken(doubts))
	o.Derive(LetPass, spoken(let))
}

func spoken(doubts []Doubt) Fact {
	var words []string
	var open Unknown
	for _, d := range doubts {
		if d.Bad {
			words = append(words, d.words)
			continue
		}
		open.Missing = append(open.Missing, d.unknown.Missing...)
		open.Reason = d.unknown.Reason
	}
	switch {
	case words != nil:
		return Known(strings.Join(words, "; "))
	case open.Missing != nil:
		return NotRecorded(open.Missing...)
	case open.Reason != "":
		return NotComputed("%s", open.Reason)
	}
	return Known("nothing")
}

// tooMuch are the computed facts that ask only whether something was overdone: who reads one says
// nothing of what was not done.
var tooMuch = []string{"stretched"}

func inWords(v any, units quantity.System) string {
	switch v := v.(type) {
	case bool:
		if v {
			return "yes"
		}
		return "no"
	case []any:
		words := make([]string, len(v))
		for i, e := range v {
			words[i] = inWords(e, units)
		}
		return strings.Join(words, ", ")
	case quantity.Quantity:
		return units.Written(v)
	}
	return fmt.Sprint(v)
}

// asHolder are the recorded fields by which an item counts as there: who asks how many of it are
// missing asks for these.
var asHolder = []string{"fitted", "count", "nuts", "made"}
