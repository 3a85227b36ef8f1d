package schema

import (
	"fmt"
	"iter"
	"slices"
	"strings"

	"setdown/model/quantity"
	"setdown/model/source"
)

// Value is one recorded value and where it stands in the file.
type Value struct {
	V    any
	Span source.Span
}

// Record is an item, or a block inside one, as recorded: it holds the fields
// that somebody wrote down and no others. A field that is not in the record is
// not recorded; it has no default.
type Record struct {
	Fields []Field     // what the record may hold
	Span   source.Span // where the record begins
	names  []string    // fields present, in file order: a dozen at most, so that looking through them is fastest
	values []Value     // of each
}

// NewRecord returns an empty record with those fields.
func NewRecord(fields []Field, span source.Span) *Record {
	return &Record{Fields: fields, Span: span}
}

// Set records a value, in place of an earlier one if there is one.
func (r *Record) Set(name string, v Value) {
	if i := slices.Index(r.names, name); i >= 0 {
		r.values[i] = v
		return
	}
	if r.names == nil {
		const few = 4
		r.names, r.values = make([]string, 0, few), make([]Value, 0, few)
	}
	r.names, r.values = append(r.names, name), append(r.values, v)
}

// Delete forgets a field of this record.
func (r *Record) Delete(name string) {
	if i := slices.Index(r.names, name); i >= 0 {
		r.names, r.values = slices.Delete(r.names, i, i+1), slices.Delete(r.values, i, i+1)
	}
}

// Names lists the recorded fields in file order.
func (r *Record) Names() []string { return slices.Clone(r.names) }

// All runs over the recorded fields in file order.
func (r *Record) All() iter.Seq2[string, Value] {
	return func(yield func(string, Value) bool) {
		for i, name := range r.names {
			if !yield(name, r.values[i]) {
				return
			}
		}
	}
}

// Lookup finds a recorded value by its dotted path, such as "found.torqued".
// It panics when the schema has no such field, because that is a mistake in our
// own code and not in the file.
func (r *Record) Lookup(path string) (Value, bool) {
	if i := slices.Index(r.names, path); i >= 0 {
		return r.values[i], true // most are asked for by their own name
	}
	name, rest, nested := strings.Cut(path, ".")
	if r.Fields != nil && find(r.Fields, name) == nil {
		panic(fmt.Sprintf("schema: no field %q among %v", name, Names(r.Fields)))
	}
	i := slices.Index(r.names, name)
	if i < 0 || !nested {
		return Value{}, false
	}
	inner, isRecord := r.values[i].V.(*Record)
	if !isRecord {
		panic(fmt.Sprintf("schema: field %q has no fields of its own, so no %q", name, path))
	}
	return inner.Lookup(rest)
}

// Bool returns a recorded yes or no.
func (r *Record) Bool(path string) (value, known bool) { return as[bool](r, path) }

// Count returns a recorded whole number.
func (r *Record) Count(path string) (int64, bool) { return as[int64](r, path) }

// Text returns a recorded text, word of an enumeration or reference.
func (r *Record) Text(path string) (string, bool) { return as[string](r, path) }

// Quantity returns a recorded quantity.
func (r *Record) Quantity(path string) (quantity.Quantity, bool) {
	return as[quantity.Quantity](r, path)
}

// Thread returns a recorded thread.
func (r *Record) Thread(path string) (quantity.Thread, bool) { return as[quantity.Thread](r, path) }

// Date returns a recorded date.
func (r *Record) Date(path string) (quantity.Date, bool) { return as[quantity.Date](r, path) }

// Vec returns a recorded point or direction.
func (r *Record) Vec(path string) (Vec, bool) { return as[Vec](r, path) }

// List returns a recorded list.
func (r *Record) List(path string) ([]Value, bool) { return as[[]Value](r, path) }

// Record returns a recorded block.
func (r *Record) Record(path string) (*Record, bool) { return as[*Record](r, path) }

// Texts returns a recorded list of texts or references; nil when it is absent.
func (r *Record) Texts(path string) []string {
	list, _ := r.List(path)
	var texts []string
	for _, v := range list {
		texts = append(texts, v.V.(string))
	}
	return texts
}

func as[T any](r *Record, path string) (T, bool) {
	v, ok := r.Lookup(path)
	if !ok {
		var zero T
		return zero, false
	}
	t, right := v.V.(T)
	if !right {
		panic(fmt.Sprintf("schema: field %q holds %T, not %T", path, v.V, t))
	}
	return t, true
}

// Clone returns a deep copy, so that a what-if never touches the original.
func (r *Record) Clone() *Record {
	c := &Record{Fields: r.Fields, Span: r.Span, names: slices.Clone(r.names), values: slices.Clone(r.values)}
	for i, v := range c.values {
		c.values[i] = CloneValue(v)
	}
	return c
}

// CloneValue returns a deep copy of a value.
func CloneValue(v Value) Value { return Value{V: cloneValue(v.V), Span: v.Span} }

func cloneValue(v any) any {
	switch v := v.(type) {
	case *Record:
		return v.Clone()
	case []Value:
		list := make([]Value, len(v))
		for i, e := range v {
			list[i] = Value{V: cloneValue(e.V), Span: e.Span}
		}
		return list
	default:
		return v
	}
}
