package facts

import (
	"fmt"
	"maps"
	"slices"
	"sync/atomic"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/vehicle"
)

// Unknown says why a fact has no value.
type Unknown = vehicle.Unknown

// Fact is one computed value: known when Unknown is nil.
type Fact struct {
	V       any
	Unknown *Unknown
}

// Known returns a fact with a value. V has the Go type that the schema names
// for the field.
func Known(v any) Fact { return Fact{V: v} }

// NotRecorded returns a fact that waits for those paths of the build file.
func NotRecorded(paths ...string) Fact { return Fact{Unknown: vehicle.NotRecorded(paths...)} }

// NotComputed returns a fact that was not computed, and why.
func NotComputed(format string, args ...any) Fact {
	return Fact{Unknown: vehicle.NotComputed(format, args...)}
}

// Object is one item, or a block inside one, as the rules see it: what is recorded of it and
// what is computed for it. A computed fact is worked out when it is first asked for, and kept.
// It is safe for concurrent use.
type Object struct {
	Kind string // name of the kind, such as "fasteners"
	Path string // path in the build file, such as "fasteners.fl-bolt"

	layout *layout
	values []any     // recorded, by field; nil where nobody recorded it
	blocks []*Object // by field; nil where the field is no block
	there  bool      // the file has the item or block
	apart  []int     // the members of a group that it is of, beside the object of the whole group
	item   *model.Item
	n      int                      // its number in its set, and of a block that of its item
	from   int                      // of a block: how many facts of its item stand before its own
	set    *Set                     // around it; nil for an object that stands alone
	always *Object                  // holds the facts that are the same in every step; nil for itself
	cells  []atomic.Pointer[result] // computed facts, by their number in the layout
	wrong  atomic.Pointer[[]Doubt]  // of what was found, the same in every step; nil until it is asked for
}

// result is a computed fact and what it was computed from.
type result struct {
	Fact
	reads   []read
	origins origins
	given   bool // by who asks the rules, and not computed
}

// fact is one entry of the table: what is computed, what it means, and the function that
// reads what it needs and computes it. Nothing is declared without its function.
type fact struct {
	schema.Field
	compute func(*Object) *result
	fixed   bool // the same in every step
	hidden  bool // not for rules: what several facts are computed from
}

// layout is what all objects with the same fields share.
type layout struct {
	daily  bool           // of a kind, or its block of what was found, that is looked at again on the day of a move
	fields []schema.Field // that rules may see
	index  map[string]int
	blocks []*layout // by field
	facts  []*fact   // the computed ones
	cell   []int     // the number of a computed fact, by field; -1 for a recorded one
	begins []int     // by field: how many facts stand before those of a block, counted with it
	size   int       // how many facts there are, with those of the blocks
	slots  []slot    // where the fields are that the facts read, by the number of the field
}

// slot is where a field is: the field of the item, and inside it where that is a block. It
// is nowhere in a kind that has no such field.
type slot struct{ at, in int }

const nowhere = -1

func newLayout(fields []schema.Field, computed []*fact) *layout {
	l := &layout{fields: fields, index: make(map[string]int, len(fields)), blocks: make([]*layout, len(fields)), facts: computed}
	for i := range fields {
		f := &fields[i]
		l.index[f.Name] = i
		if f.Type == schema.Object && !f.Derived {
			l.blocks[i] = newLayout(f.Fields, nil)
		}
		l.cell = append(l.cell, nowhere)
	}
	for n, f := range computed {
		i, shown := l.index[f.Name]
		if !shown {
			i = len(l.cell)
			l.index[f.Name] = i
			l.cell = append(l.cell, nowhere)
		}
		l.cell[i] = n
	}
	l.size, l.begins = len(l.cell), make([]int, len(l.fields))
	for i, block := range l.blocks {
		if block != nil {
			l.begins[i] = l.size
			l.size += block.size
		}
	}
	return l
}

func newObject(l *layout, path string, record *schema.Record) *Object {
	o := &Object{Path: path, layout: l, there: record != nil, values: make([]any, len(l.fields)), blocks: make([]*Object, len(l.fields)), cells: make([]atomic.Pointer[result], len(l.facts))}
	if record != nil {
		for name, v := range record.All() {
			if i, ok := l.index[name]; ok {
				o.values[i] = schema.Bare(v.V)
			}
		}
	}
	for i, block := range l.blocks {
		if block != nil {
			inner, _ := o.values[i].(*schema.Record)
			o.blocks[i] = newObject(block, path+"."+l.fields[i].Name, inner)
			o.blocks[i].within(l.begins[i])
		}
	}
	return o
}

// within makes it a block of an item of which so many facts stand before its own.
func (o *Object) within(facts int) {
	o.from += facts
	for _, block := range o.blocks {
		if block != nil {
			block.within(facts)
		}
	}
}

// number gives an item and the blocks in it a number.
func (o *Object) number(n int) {
	o.n = n
	for _, block := range o.blocks {
		if block != nil {
			block.number(n)
		}
	}
}

// in returns the same object in one step: what is recorded of it and the facts that are the
// same in every step are shared.
func (o *Object) in(set *Set) *Object {
	c := &Object{Kind: o.Kind, Path: o.Path, layout: o.layout, values: o.values, blocks: o.blocks, there: o.there, apart: o.apart, item: o.item, n: o.n, set: set, always: o}
	c.cells = make([]atomic.Pointer[result], len(o.cells))
	return c
}

// Same reports whether the i-th of the Fields of an item, of a block in one, of the vehicle, the
// site or the policy is the same in every step.
func (o *Object) Same(i int) bool {
	n := o.layout.cell[i]
	return n == nowhere || o.layout.facts[n].fixed
}

// Apart gives the numbers of the members of a group that the object is of, which stand out from the
// rest; nil of a whole item.
func (o *Object) Apart() []int { return o.apart }

// Fields lists what the object may hold.
func (o *Object) Fields() []schema.Field { return o.layout.fields }

// Derive gives a computed fact, whatever its function says. It panics when the table has
// no such fact, because that is a mistake in our own code.
func (o *Object) Derive(name string, f Fact) {
	i, ok := o.layout.index[name]
	if !ok || o.layout.cell[i] == nowhere {
		panic(fmt.Sprintf("facts: %s has no computed fact %q", o.Path, name))
	}
	o.cells[o.layout.cell[i]].Store(&result{Fact: f, given: true})
}

// Get returns a field's value, or why it is unknown. A block is returned as an
// *Object and is never unknown itself; what is inside it may be. A list is
// returned as []any, a quantity as quantity.Quantity, a reference as string.
func (o *Object) Get(name string) (any, *Unknown) {
	i, ok := o.layout.index[name]
	if !ok {
		panic(fmt.Sprintf("facts: %s has no field %q", o.Path, name))
	}
	return o.At(i)
}

// At returns the value of the i-th of its Fields, as Get does.
func (o *Object) At(i int) (any, *Unknown) {
	if n := o.layout.cell[i]; n != nowhere {
		r := o.result(n)
		return r.V, r.Unknown
	}
	if b := o.blocks[i]; b != nil {
		return b, nil
	}
	if v := o.values[i]; v != nil {
		return v, nil
	}
	field := &o.layout.fields[i]
	if field.Default != nil {
		return field.Default, nil
	}
	return nil, &Unknown{Missing: []string{o.Path + "." + field.Name}}
}

// everyStep is the object that stands for the item in every step.
func (o *Object) everyStep() *Object {
	if o.always != nil {
		return o.always
	}
	return o
}

// home is the object that keeps a computed fact: one for all steps where it is the same in each.
func (o *Object) home(n int) *Object {
	if o.layout.facts[n].fixed {
		return o.everyStep()
	}
	return o
}

// readOf is the read of the i-th of the fields of an object or block.
func readOf(o *Object, i int) read {
	if i >= 0 {
		i += o.from
	}
	return read{int32(o.n), int32(i)}
}

// fact finds the object or block, and the number of the field in it, of a fact of an item.
func (o *Object) fact(at int) (*Object, int) {
	for at >= len(o.layout.cell) {
		i := len(o.blocks) - 1
		for o.blocks[i] == nil || o.layout.begins[i] > at {
			i--
		}
		o, at = o.blocks[i], at-o.layout.begins[i]
	}
	return o, at
}

// keep takes a computed fact from the set before, where it is the same; nil where it is not.
func (o *Object) keep(n int) *result {
	if o.set == nil || o.set.was == nil {
		return nil
	}
	r := o.set.was.objects[o.n].cells[n].Load()
	if r == nil || r.given || r.origins.meets(o.set.changed) {
		return nil
	}
	return r
}

// Before is the set of the same step in the state before this one; nil where nothing is kept.
func (s *Set) Before() *Set { return s.was }

// Kept reports whether a field of an object is what it was in the set before, as far as it was asked
// for there; then it is known here as well. The i-th of the fields of a block counts as all of them.
func (o *Object) Kept(i int) bool {
	n := o.layout.cell[i]
	if n == nowhere || o.set == nil {
		return o.set == nil || !origin(readOf(o, i)).meets(o.set.changed)
	}
	o = o.home(n)
	if o.set.was == nil {
		return false
	}
	before := o.set.was.objects[o.n].cells[n].Load()
	if before == nil {
		return true
	}
	now := o.cells[n].Load()
	if now == nil {
		if now = o.keep(n); now == nil {
			return false
		}
		o.cells[n].Store(now)
	}
	return now == before
}

// result works a computed fact out, or takes it from an earlier time.
func (o *Object) result(n int) *result {
	o = o.home(n)
	r := o.cells[n].Load()
	if r != nil {
		return r
	}
	if r = o.keep(n); r != nil {
		// it is what it was before the last answer
	} else if f := o.layout.facts[n]; o.set == nil {
		r = &result{Fact: NotComputed("not computed: %s", f.Doc)}
	} else {
		r = f.compute(o)
	}
	o.cells[n].Store(r) // the same whoever works it out first
	return r
}

// Quantity returns a known quantity field of the object or of a block in it.
func (o *Object) Quantity(name string) (quantity.Quantity, *Unknown) {
	v, unknown := o.Get(name)
	if unknown != nil {
		return quantity.Quantity{}, unknown
	}
	return v.(quantity.Quantity), nil
}

// Text returns a known text or word; "" where it is not known or objects of its kind have none.
func (o *Object) Text(name string) string {
	if !o.Has(name) {
		return ""
	}
	v, _ := o.Get(name)
	text, _ := v.(string)
	return text
}

// Has reports whether objects of its kind have a field.
func (o *Object) Has(name string) bool {
	i, known := o.layout.index[name]
	return known && i < len(o.layout.fields) // behind them stand those that rules do not see
}

// Units are the measures in which texts say what is computed; metric where no build state
// stands behind the object.
func (o *Object) Units() quantity.System {
	if o.set == nil {
		return quantity.Metric
	}
	return o.set.Units
}

// In returns the block that is the i-th of its Fields, or nil.
func (o *Object) In(i int) *Object { return o.blocks[i] }

// Block returns the block with that name, or nil.
func (o *Object) Block(name string) *Object {
	i, ok := o.layout.index[name]
	if !ok {
		return nil
	}
	return o.blocks[i]
}

// Set is what the rules may read in one step of one move.
type Set struct {
	Move, Step, Vehicle, Site, Policy *Object
	Items                             map[string][]*Object // by kind, in file order, and then members that stand out
	Today                             quantity.Date
	Units                             quantity.System // in which texts say what is computed
	Clock                             looks.Moment    // Today, with the time of day where the check is made at one
	again                             bool            // what holds for the day of a move alone was looked at again today
	objects                           []*Object       // by their numbers
	was                               *Set            // of the same step in the state before; nil where nothing is kept
	changed                           origins         // since then
	Memory                            any             // of who asks the rules: what came out
	// Now is the step as a mechanism; nil in a set that no build state stands behind.
	Now   *vehicle.Step
	state *State
}

// enroll gives every object of the set its number: the same in each step.
func (s *Set) enroll() {
	if s.objects != nil {
		return
	}
	s.objects = []*Object{s.Policy, s.Vehicle, s.Site, s.Move, s.Step}
	for _, kind := range slices.Sorted(maps.Keys(s.Items)) {
		s.objects = append(s.objects, s.Items[kind]...)
	}
	for n, o := range s.objects {
		if o != nil && o.n != n {
			o.number(n)
		}
	}
}

// Once returns what was made under that key for any step of the same build state on the same day,
// or makes it. It has to follow from what is the same in every step (Object.Same).
func (s *Set) Once(key any, make func() any) any {
	if s.state == nil {
		return make()
	}
	if kept, known := s.state.kept.Load(key); known {
		return kept
	}
	kept, _ := s.state.kept.LoadOrStore(key, make())
	return kept
}

// seen is when something was seen that holds for a moment before a move.
func (s *Set) seen(at looks.Moment) looks.Moment {
	if s.again {
		return looks.Moment{Day: s.Today}
	}
	return at
}

// Of finds the facts of an item.
func (s *Set) Of(item *model.Item) *Object {
	return s.Items[item.Kind.Name][s.state.index[item]]
}
