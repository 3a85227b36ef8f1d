package facts

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/vehicle"
)

// reader goes with one computation of a fact. It remembers what was read and what of that
// nobody knows: a fact with something missing is unknown, whatever its function returned.
type reader struct {
	missing []string
	why     *Unknown // the first reason why something was not computed
	reads   []read
}

// Ages reports whether the i-th of its Fields, as far as it was asked for, hangs on the day: it was
// worked out from it, or is the day of a look that is taken again on each day of a move.
func (o *Object) Ages(i int) bool {
	n := o.layout.cell[i]
	if n == nowhere {
		return o.layout.daily && o.layout.fields[i].Name == "on"
	}
	out := o.home(n).cells[n].Load()
	return out != nil && out.origins.meets(aging)
}

// originsOf is what something that was read hangs on. Of an item that is looked at again on the day of
// a move, when that was hangs on the day.
func (s *Set) originsOf(r read) origins {
	if r.of == outside {
		return origin(r)
	}
	o, out := s.objects[r.of], origin(r)
	daily := r.at < 0 && o.layout.daily
	if r.at >= 0 {
		in, i := o.fact(int(r.at))
		if n := in.layout.cell[i]; n != nowhere {
			if known := in.home(n).cells[n].Load(); known != nil {
				return known.origins
			}
			return out // it was only asked whether there is such a fact
		}
		daily = in.layout.daily && in.layout.fields[i].Name == "on"
	}
	if daily {
		out.add(origin(read{outside, theDay}))
	}
	return out
}

// aging are the origins of what may be another on another day.
var aging = func() (o origins) {
	o.add(origin(read{outside, theDay}))
	o.add(origin(read{outside, theHour}))
	return o
}()

// readers are used again: their memory is most of what computing a fact costs.
var readers = sync.Pool{New: func() any { return new(reader) }}

// compute runs the function of a fact for an object.
func compute(o *Object, f func(item) any) *result {
	r := readers.Get().(*reader)
	v := f(item{o, r})
	out := &result{Fact: Fact{V: v, Unknown: r.unknown()}, reads: slices.Clone(r.reads)}
	for _, at := range out.reads {
		out.origins.add(o.set.originsOf(at))
	}
	if q, measured := v.(quantity.Quantity); out.Unknown == nil && measured && math.IsNaN(q.Value) {
		out.Unknown = vehicle.NotComputed("it came out as no number")
	}
	if out.Unknown != nil {
		out.V = nil
	}
	r.missing, r.why, r.reads = r.missing[:0], nil, r.reads[:0]
	readers.Put(r)
	return out
}

func (r *reader) unknown() *Unknown {
	if len(r.missing) > 0 {
		return vehicle.NotRecorded(slices.Clone(r.missing)...)
	}
	return r.why
}

// note remembers a read. Most things are read several times in a row.
func (r *reader) note(at read) {
	if !slices.Contains(r.reads, at) {
		r.reads = append(r.reads, at)
	}
}

// item is an object as the function of a fact reads it.
type item struct {
	*Object
	r *reader
}

// because takes over why something is not known. What was missing first counts: a reason is
// not asked for beside it, and nothing is asked for that a reason makes idle.
func (it item) because(u *Unknown) {
	switch {
	case u == nil || it.r.why != nil:
	case len(u.Missing) > 0:
		it.r.missing = append(it.r.missing, u.Missing...)
	case len(it.r.missing) == 0:
		it.r.why = u
	}
}

// lacks says which fields of the item nobody recorded.
func (it item) lacks(fields ...string) {
	for _, f := range fields {
		it.because(vehicle.NotRecorded(it.Path + "." + f))
	}
}

// wants asks for a field of the step that nobody recorded.
func (it item) wants(stated bool, field string) {
	if s := it.step(); !stated {
		it.because(vehicle.NotRecorded(s.Move.Path() + ".steps[" + s.Name + "]." + field))
	}
}

// not says why the fact is not computed although all is recorded.
func (it item) not(format string, args ...any) { it.because(vehicle.NotComputed(format, args...)) }

// open reports whether something is missing already, so that going on would ask for more
// than is needed now.
func (it item) open() bool { return len(it.r.missing) > 0 || it.r.why != nil }

// id is the item's id in the build file.
func (it item) id() string { return it.item.ID }

// of reads another item.
func (it item) of(other *model.Item) item { return item{it.set.Of(other), it.r} }

// anyOf reports whether something is so of one of several items. One is enough, whatever nobody
// knows of the others.
func anyOf(it item, items []*model.Item, so func(item) bool) bool {
	var waits []*Unknown
	for _, other := range items {
		r := reader{reads: it.r.reads}
		yes := so(item{it.set.Of(other), &r})
		it.r.reads = r.reads
		if u := r.unknown(); u != nil {
			waits = append(waits, u)
		} else if yes {
			return true
		}
	}
	for _, u := range waits {
		it.because(u)
	}
	return false
}

// policy reads the figures of choice.
func (it item) policy() item { return item{it.set.Policy, it.r} }

// whole reads the facts of the vehicle.
func (it item) whole() item { return item{it.set.Vehicle, it.r} }

// today is the day of the check.
func (it item) today() quantity.Date {
	it.r.note(read{outside, theDay})
	return it.set.Today
}

// clock is the day of the check, with the time of day where it is made at one.
func (it item) clock() looks.Moment {
	it.r.note(read{outside, theHour})
	return it.set.Clock
}

// mechanism is the vehicle: what meets and holds what. It hangs on no day, and on what was found of a
// bolt, nut, spacer or weld only through what is read as its holder.
func (it item) mechanism() *vehicle.Vehicle {
	it.r.note(read{outside, theMechanism})
	return it.set.state.Vehicle
}

// step is the step of the move, worked out.
func (it item) step() *vehicle.Step {
	it.r.note(read{outside, theStep})
	return it.set.Now
}

// holder is the item as something that holds a joint, as it was found.
func (it item) holder() *vehicle.Holder {
	it.r.note(readOf(it.Object, theHolder))
	return it.set.state.Vehicle.Holder(it.item)
}

// holders is what holds a joint, link end or support, each as it was found.
func (it item) holders(name string) []*vehicle.Holder {
	list := it.mechanism().Holders(name)
	for _, h := range list {
		it.r.note(readOf(it.set.Of(h.Item), asHeld))
	}
	return list
}

// logged is the vehicle with all that the log says.
func (it item) logged() *vehicle.Vehicle {
	it.r.note(read{outside, theLog})
	return it.mechanism()
}

// recorded is the item with all that is recorded of it.
func (it item) recorded() *model.Item {
	it.r.note(readOf(it.Object, allFields))
	return it.item
}

// meet is a joint as a place where two parts meet.
func (it item) meet() *vehicle.Meet {
	it.r.note(readOf(it.Object, allFields))
	return it.set.state.Vehicle.Meet(it.id())
}

// paths are the paths of all fields that facts read, by the number of the field.
var paths []string

// field is a recorded or computed field by its path, such as "found.torqued", looked up once
// for each kind.
type field[T any] int

func at[T any](path string) field[T] {
	paths = append(paths, path)
	return field[T](len(paths) - 1)
}

func (l *layout) find(path string) slot {
	name, rest, nested := strings.Cut(path, ".")
	i, ok := l.index[name]
	switch {
	case !ok:
		return slot{nowhere, nowhere}
	case !nested:
		return slot{i, nowhere}
	case l.blocks[i] == nil:
		return slot{nowhere, nowhere}
	}
	if in, ok := l.blocks[i].index[rest]; ok {
		return slot{i, in}
	}
	return slot{nowhere, nowhere}
}

// in finds the object and the number of the field in it; nil for a kind without it.
func (f field[T]) in(it item) (*Object, int) {
	s := it.layout.slots[f]
	if s.at == nowhere {
		return nil, 0
	}
	o, i := it.Object, s.at
	if s.in != nowhere {
		o, i = o.blocks[i], s.in
	}
	it.r.note(readOf(o, i))
	return o, i
}

// why returns the value, or why it is not known, and leaves it to the caller what follows.
func (f field[T]) why(it item) (value T, unknown *Unknown) {
	o, i := f.in(it)
	if o == nil {
		panic(fmt.Sprintf("facts: %s has no field %q", it.Kind, paths[f]))
	}
	v, unknown := o.At(i)
	if unknown == nil {
		unknown = it.unseen(o, i, int(f))
	}
	if unknown == nil {
		value = v.(T)
	}
	return value, unknown
}

// unseen says what has to be found of a thing before a fact of its design counts that was drawn
// when everybody had looked.
func (it item) unseen(o *Object, i int, path int) *Unknown {
	if i >= len(o.values) || o.values[i] == nil || o.layout.fields[i].Vouched == nil || it.set == nil || it.set.state == nil {
		return nil
	}
	f := &o.layout.fields[i]
	needs, vouched := it.set.state.Vehicle.Build.Vouched(it.item, f, paths[path])
	if vouched {
		return nil
	}
	return vehicle.NotRecorded(it.Path + "." + needs)
}

// of returns the value. Where it is not known, neither is the fact.
func (f field[T]) of(it item) T {
	v, unknown := f.why(it)
	it.because(unknown)
	return v
}

// has reports whether items of this kind have the field.
func (f field[T]) has(it item) bool {
	o, _ := f.in(it)
	return o != nil
}

// ifStated returns the value if there is one: what nobody recorded, or what items of this kind
// do not have, is taken as said by nobody.
func (f field[T]) ifStated(it item) (value T, stated bool) {
	o, i := f.in(it)
	if o == nil {
		return value, false
	}
	if n := o.layout.cell[i]; n == nowhere && o.blocks[i] == nil && o.values[i] == nil && o.layout.fields[i].Default == nil {
		return value, false
	}
	v, unknown := o.At(i)
	if unknown != nil {
		return value, false
	}
	if unseen := it.unseen(o, i, int(f)); unseen != nil {
		it.because(unseen) // somebody wrote it, and silence is no answer to it
		return value, false
	}
	return v.(T), true
}

// amount is a field with a quantity, read in SI units.
type amount struct{ field[quantity.Quantity] }

func measureAt(path string) amount { return amount{at[quantity.Quantity](path)} }

func (f amount) of(it item) float64 { return f.field.of(it).Value }

func (f amount) ifStated(it item) (float64, bool) {
	q, stated := f.field.ifStated(it)
	return q.Value, stated
}

// is reports whether the role of the item is of a sort; isStated takes what nobody wrote for no.
func (it item) is(sort schema.Sort) bool {
	what := role.of(it)
	return it.layout.fields[it.layout.slots[role].at].Is(what, sort)
}

func (it item) isStated(sort schema.Sort) bool {
	_, stated := role.ifStated(it)
	return stated && it.is(sort)
}

// event is a thing that is written down when it happens: silence says that it did not.
type event struct{ field[bool] }

func eventAt(path string) event { return event{at[bool](path)} }

func (f event) seen(it item) bool {
	happened, _ := f.ifStated(it)
	return happened
}

// denied reports whether somebody wrote down that a good thing is not so. Like an
// event it counts from the day it is written; silence says nothing.
func (f event) denied(it item) bool {
	good, looked := f.ifStated(it)
	return looked && !good
}

// block is a block of a build file's item.
type block struct{ field[*Object] }

func blockAt(name string) block { return block{at[*Object](name)} }

// there reports whether the file has the block.
func (f block) there(it item) bool {
	o, _ := f.ifStated(it)
	return o != nil && o.there
}
