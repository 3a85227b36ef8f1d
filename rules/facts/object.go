package facts

import (
	"fmt"
	"slices"
	"sync"

	"setdown/model/quantity"
	"setdown/model/schema"
)

// Unknown says why a fact has no value. At least one of its fields is set.
type Unknown struct {
	// Missing are the paths in the build file of what nobody recorded, such as
	// "fasteners.fl-bolt.found.torqued", sorted.
	Missing []string
	// Reason says why nothing was computed although all was recorded, such as
	// 'column too slender for the formula'.
	Reason string
}

// Fact is one derived value: known when Unknown is nil.
type Fact struct {
	V       any
	Unknown *Unknown
	set     bool // an object was given it
}

// Known returns a fact with a value. V has the Go type that the schema names
// for the field.
func Known(v any) Fact { return Fact{V: v} }

// NotRecorded returns a fact that waits for those paths of the build file.
func NotRecorded(paths ...string) Fact {
	slices.Sort(paths)
	return Fact{Unknown: &Unknown{Missing: slices.Compact(paths)}}
}

// NotComputed returns a fact that was not computed, and why.
func NotComputed(format string, args ...any) Fact {
	return Fact{Unknown: &Unknown{Reason: fmt.Sprintf(format, args...)}}
}

// Object is one item, or a block inside one, as the rules see it.
type Object struct {
	Kind    string // name of the kind, such as "fasteners"
	Path    string // path in the build file, such as "fasteners.fl-bolt"
	layout  *layout
	record  *schema.Record // nil: nothing of it is recorded
	derived []Fact         // by field; not set where none was derived
	blocks  []*Object      // by field; nil where the field is no block
}

// layout is what all objects with the same fields share.
type layout struct {
	fields []schema.Field
	index  map[string]int
	blocks []*layout // by field
}

func newLayout(fields []schema.Field) *layout {
	l := &layout{fields: fields, index: make(map[string]int, len(fields)), blocks: make([]*layout, len(fields))}
	for i := range fields {
		f := &fields[i]
		l.index[f.Name] = i
		if f.Type == schema.Object && !f.Derived {
			l.blocks[i] = newLayout(f.Fields)
		}
	}
	return l
}

// layouts keeps the layout of each kind.
var layouts sync.Map // of *layout, by *schema.Kind

// NewObject returns the object of a recorded item. The record may be nil.
func NewObject(kind *schema.Kind, path string, record *schema.Record) *Object {
	l, known := layouts.Load(kind)
	if !known {
		l, _ = layouts.LoadOrStore(kind, newLayout(kind.Fields))
	}
	o := newObject(l.(*layout), path, record)
	o.Kind = kind.Name
	return o
}

func newObject(l *layout, path string, record *schema.Record) *Object {
	o := &Object{Path: path, layout: l, record: record, derived: make([]Fact, len(l.fields)), blocks: make([]*Object, len(l.fields))}
	for i, block := range l.blocks {
		if block == nil {
			continue
		}
		name := l.fields[i].Name
		var inner *schema.Record
		if record != nil {
			inner, _ = record.Record(name)
		}
		o.blocks[i] = newObject(block, path+"."+name, inner)
	}
	return o
}

// Fields lists what the object may hold.
func (o *Object) Fields() []schema.Field { return o.layout.fields }

// Derive sets a computed fact. It panics when the schema has no such derived
// field, because that is a mistake in our own code.
func (o *Object) Derive(name string, f Fact) {
	i, ok := o.layout.index[name]
	if !ok || !o.layout.fields[i].Derived {
		panic(fmt.Sprintf("facts: %s has no derived fact %q", o.Path, name))
	}
	f.set = true
	o.derived[i] = f
}

// Clone returns an object with the same facts whose derived facts can be set
// without touching the original.
func (o *Object) Clone() *Object {
	c := *o
	c.derived = slices.Clone(o.derived)
	return &c
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
	field := &o.layout.fields[i]
	if f := &o.derived[i]; f.set {
		return f.V, f.Unknown
	}
	if b := o.blocks[i]; b != nil {
		return b, nil
	}
	if field.Derived {
		return nil, &Unknown{Reason: "not computed: " + field.Doc}
	}
	if o.record != nil {
		if v, ok := o.record.Lookup(field.Name); ok {
			return plain(v.V), nil
		}
	}
	if field.Default != nil {
		return field.Default, nil
	}
	return nil, &Unknown{Missing: []string{o.Path + "." + field.Name}}
}

// Quantity returns a known quantity field of the object or of a block in it.
func (o *Object) Quantity(name string) (quantity.Quantity, *Unknown) {
	v, unknown := o.Get(name)
	if unknown != nil {
		return quantity.Quantity{}, unknown
	}
	return v.(quantity.Quantity), nil
}

// Block returns the block with that name, or nil.
func (o *Object) Block(name string) *Object {
	i, ok := o.layout.index[name]
	if !ok {
		return nil
	}
	return o.blocks[i]
}

func plain(v any) any {
	list, ok := v.([]schema.Value)
	if !ok {
		return v
	}
	out := make([]any, len(list))
	for i, e := range list {
		out[i] = plain(e.V)
	}
	return out
}

// Set is what the rules may read in one step of one move.
type Set struct {
	Move, Step, Vehicle, Site, Policy *Object
	Items                             map[string][]*Object // by kind, in file order
	Today                             quantity.Date
}
