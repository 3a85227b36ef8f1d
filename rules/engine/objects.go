package engine

import (
	"errors"
	"reflect"
	"slices"
	"strings"

	"github.com/google/cel-go/common/types"
	"github.com/google/cel-go/common/types/ref"
	"github.com/google/cel-go/interpreter"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/facts"
)

// descriptor tells the expression language about one kind of item, or about a
// block inside one. A field whose value nobody knows reads as unknown, with the
// path of the fact as its trail; no field is ever absent, so that nothing can
// ask whether a fact is there.
type descriptor struct {
	*types.Type
	fields []schema.Field // those that rules read
	at     []int          // where each stands among the fields of the item
	byName map[string]*types.FieldType
	blocks []*descriptor // by field; nil where the field is no block
	begins []int         // by field: where the values of the block begin among those of the item
	size   int           // how many values there are with those of the blocks
}

// describe makes the descriptors of some fields and of the blocks in them.
func describe(name string, fields []schema.Field) *descriptor {
	// The colon keeps the name apart from anything that can stand in an expression.
	d := &descriptor{Type: types.NewObjectType("item:" + name), byName: map[string]*types.FieldType{}}
	for i := range fields {
		f := &fields[i]
		t, block := d.typeOf(name, f)
		if t == nil {
			continue
		}
		n := len(d.fields)
		d.fields, d.at, d.blocks = append(d.fields, *f), append(d.at, i), append(d.blocks, block)
		d.byName[f.Name] = &types.FieldType{Type: t, IsSet: func(any) bool { return true }, GetFrom: func(from any) (any, error) {
			switch o := from.(type) {
			case *object:
				return o.field(n), nil
			case *types.Unknown:
				return o, nil
			}
			return nil, errors.New("no item here")
		}}
	}
	d.size, d.begins = len(d.fields), make([]int, len(d.fields))
	for i, block := range d.blocks {
		if block != nil {
			d.begins[i] = d.size
			d.size += block.size
		}
	}
	return d
}

// typeOf is the type of a field, with the descriptor of a block, or nil when rules do
// not read it: places, directions and blocks with names of the file's choosing.
func (d *descriptor) typeOf(name string, f *schema.Field) (*types.Type, *descriptor) {
	switch f.Type {
	case schema.Bool:
		return types.BoolType, nil
	case schema.Count:
		return types.IntType, nil
	case schema.Text, schema.Enum, schema.Ref:
		return types.StringType, nil
	case schema.Quantity:
		return typeOf[f.Dim], nil
	case schema.Thread:
		return threadType, nil
	case schema.Date:
		return dateType, nil
	case schema.Object:
		block := describe(name+"."+f.Name, f.Fields)
		return block.Type, block
	case schema.List:
		if f.Elem.Type == schema.Object {
			return nil, nil
		}
		if t, _ := d.typeOf(name, f.Elem); t != nil {
			return types.NewListType(t), nil
		}
	}
	return nil, nil
}

// all lists the descriptor and those of the blocks in it.
func (d *descriptor) all() []*descriptor {
	list := []*descriptor{d}
	for _, b := range d.blocks {
		if b != nil {
			list = append(list, b.all()...)
		}
	}
	return list
}

// ReflectType is nil: all kinds have the same Go type.
func (d *descriptor) ReflectType() reflect.Type { return nil }

// FieldNames lists the fields that rules read.
func (d *descriptor) FieldNames() []string { return schema.Names(d.fields) }

// FindFieldType finds a field.
func (d *descriptor) FindFieldType(name string) (*types.FieldType, bool) {
	t, ok := d.byName[name]
	return t, ok
}

// NewValue refuses: a rule reads facts, it does not make them.
func (d *descriptor) NewValue(types.Adapter, map[string]ref.Val) ref.Val {
	return types.NewErr("a rule does not make items")
}

// Adapt passes our own values through.
func (d *descriptor) Adapt(_ types.Adapter, v any) ref.Val {
	if o, ok := v.(*object); ok {
		return o
	}
	return types.NewErr("no item here")
}

// object is an item, or a block of one, as the expressions see it. It keeps the
// values that were asked for and is used by one goroutine at a time.
type object struct {
	opaque
	facts  *facts.Object
	n      int // among the items of its kind
	kind   *descriptor
	values []ref.Val // by field, then those of the blocks
}

func newObject(o *facts.Object, d *descriptor) *object {
	return &object{facts: o, kind: d, values: make([]ref.Val, d.size)}
}

// newObjects makes the objects of many items of a kind. Their values take the first
// of the free memory; the rest is returned.
func newObjects(list []*facts.Object, d *descriptor, free []ref.Val) ([]*object, []ref.Val) {
	all := make([]object, len(list))
	objects := make([]*object, len(list))
	n := d.size
	for i, o := range list {
		all[i] = object{facts: o, n: i, kind: d, values: free[:n:n]}
		objects[i], free = &all[i], free[n:]
	}
	return objects, free
}

func (o *object) Type() ref.Type { return o.kind }

func (o *object) Value() any { return o }

func (o *object) Equal(v ref.Val) ref.Val { return types.Bool(v == ref.Val(o)) }

func (o *object) field(n int) ref.Val {
	if v := o.values[n]; v != nil {
		return v
	}
	f := &o.kind.fields[n]
	v, unknown := o.facts.At(o.kind.at[n])
	inner, isBlock := v.(*facts.Object)
	switch block := o.kind.blocks[n]; {
	case unknown != nil:
		o.values[n] = types.NewUnknown(-1, types.NewAttributeTrail(o.facts.Path+"."+f.Name))
	case isBlock && block != nil:
		begin := o.kind.begins[n]
		o.values[n] = &object{facts: inner, kind: block, values: o.values[begin : begin+block.size]}
	default:
		o.values[n] = value(v, f)
	}
	return o.values[n]
}

// screwFields describes what of a thread can be read.
type screwFields struct{ *types.Type }

func (screwFields) ReflectType() reflect.Type { return nil }

func (screwFields) FieldNames() []string { return []string{"diameter", "pitch", "left"} }

func (screwFields) NewValue(types.Adapter, map[string]ref.Val) ref.Val {
	return types.NewErr("a rule does not make threads")
}

func (screwFields) Adapt(_ types.Adapter, v any) ref.Val {
	if s, ok := v.(*screw); ok {
		return s
	}
	return types.NewErr("no thread here")
}

func (screwFields) FindFieldType(name string) (*types.FieldType, bool) {
	t, read := types.BoolType, func(s *screw) any { return s.t.Left }
	switch name {
	case "diameter":
		t, read = typeOf[lengthDim], func(s *screw) any { return millimetres(s.t.Diameter) }
	case "pitch":
		t, read = typeOf[lengthDim], func(s *screw) any { return millimetres(s.t.Pitch) }
	case "left":
	default:
		return nil, false
	}
	return &types.FieldType{Type: t, IsSet: func(any) bool { return true }, GetFrom: func(from any) (any, error) {
		switch s := from.(type) {
		case *screw:
			return read(s), nil
		case *types.Unknown:
			return s, nil
		}
		return nil, errors.New("no thread here")
	}}, true
}

// roots are the items that one evaluation reads, behind the names of their
// variables. One is used by one goroutine at a time.
type roots struct {
	variable                          string
	item                              *object // nil: the rule is about the step
	step, move, vehicle, site, policy *object
	today                             ref.Val
	units                             quantity.System
	frame                             interpreter.ExecutionFrame // what a program evaluates: these items
}

func newRoots(set *facts.Set) *roots {
	kinds := kindOf()
	r := &roots{
		step: newObject(set.Step, kinds["steps"]), move: newObject(set.Move, kinds["moves"]),
		vehicle: newObject(set.Vehicle, kinds["vehicle"]), site: newObject(set.Site, kinds["site"]),
		policy: newObject(set.Policy, kinds["policy"]), today: day{d: set.Today}, units: set.Units,
	}
	r.frame.Activation = r
	return r
}

// Parent is nil: there is nothing around the variables of a rule.
func (r *roots) Parent() interpreter.Activation { return nil }

// ResolveName gives the value of a variable.
func (r *roots) ResolveName(name string) (any, bool) {
	if name == today {
		return r.today, true
	}
	o := r.object(name)
	return o, o != nil
}

// object gives the item behind a variable, or nil.
func (r *roots) object(name string) *object {
	if r.item != nil && name == r.variable {
		return r.item
	}
	if of := sharedOf[name]; of != nil {
		return of(r)
	}
	return nil
}

// sharedOf gives the items behind the shared variables.
var sharedOf = map[string]func(*roots) *object{
	"step":    func(r *roots) *object { return r.step },
	"move":    func(r *roots) *object { return r.move },
	"vehicle": func(r *roots) *object { return r.vehicle },
	"site":    func(r *roots) *object { return r.site },
	"policy":  func(r *roots) *object { return r.policy },
}

// unknownOf finds why a fact is not known, by the path in its trail.
func (r *roots) unknownOf(path string) *facts.Unknown {
	list := []*object{r.step, r.move, r.vehicle, r.site, r.policy}
	if r.item != nil {
		list = append(list, r.item)
	}
	// The longest path is the nearest item: a step lies inside its move.
	slices.SortStableFunc(list, func(a, b *object) int { return len(b.facts.Path) - len(a.facts.Path) })
	for _, o := range list {
		if rest, ok := strings.CutPrefix(path, o.facts.Path+"."); ok {
			if u := whyUnknown(o.facts, rest); u != nil {
				return u
			}
		}
	}
	return nil
}

func whyUnknown(o *facts.Object, path string) *facts.Unknown {
	name, rest, nested := strings.Cut(path, ".")
	if !slices.ContainsFunc(o.Fields(), func(f schema.Field) bool { return f.Name == name }) {
		return nil
	}
	v, unknown := o.Get(name)
	if inner, ok := v.(*facts.Object); ok && nested {
		return whyUnknown(inner, rest)
	}
	return unknown
}
