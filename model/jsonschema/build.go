// Package jsonschema writes JSON Schemas (draft 2020-12) of the build file and
// of rule files, so that an editor completes and checks them while they are
// written.
//
// The schema of the build file is made from the one table of what a build file
// may hold, so a new fact needs no line here. Each schema refuses nothing that
// the program reads; the program refuses more than a schema can say: references
// that lead nowhere, ids used twice, facts that contradict each other, values out
// of range. The package reads and checks no files.
package jsonschema

import (
	"bytes"
	"encoding/json"
	"slices"

	"setdown/model/quantity"
	"setdown/model/schema"
)

type object = map[string]any

const dialect = "https://json-schema.org/draft/2020-12/schema"

// idPattern is the text of one id, without anchors.
const idPattern = `[\p{L}\p{Nd}._-]{1,100}`

// namePattern is the text of a name that the file chose inside an item: it has no
// dot, because a dot parts the names of a path.
const namePattern = `[\p{L}\p{Nd}_-]{1,100}`

// Build returns the schema of the build file, of either format.
func Build() []byte {
	unsure := []any{nil}
	for _, word := range schema.NotKnown {
		unsure = append(unsure, word)
	}
	first := builder{defs: object{"unsure": object{
		"description": "not known: the same as leaving the key out",
		"enum":        unsure,
	}}}
	second := builder{defs: first.defs, second: true}
	old := first.file("setdown/1")
	// With mirror, an item may leave to its other side what it cannot do without.
	old["if"] = object{"required": []string{"mirror"}}
	old["else"] = object{"properties": whole()}
	return marshal(object{
		"$schema":     dialect,
		"title":       "setdown build file",
		"description": "What a half-built vehicle should be and what was found on it. Coordinates follow ISO 8855: x forward, y left, z up.",
		"type":        "object",
		"required":    []string{"format"},
		"if":          object{"properties": object{"format": object{"const": "setdown/2"}}},
		"then":        second.file("setdown/2"),
		"else":        old,
		"$defs":       first.defs,
	})
}

// file is a build file of one format.
func (b builder) file(format string) object {
	properties := object{
		"format": object{"description": "the format of this file", "const": format},
		"places": maybe(object{"type": "array", "uniqueItems": true, "items": b.known(&schema.Field{Type: schema.Text})},
			"the places of the vehicle in the order in which people walk round it"),
	}
	for _, kind := range schema.Kinds() {
		properties[kind.Name] = b.section(kind)
		if kind.Also != "" {
			properties[kind.Also] = properties[kind.Name]
		}
	}
	properties["listed"] = b.listed()
	if b.second {
		text, texts := b.known(&schema.Field{Type: schema.Text}), object{"type": "array", "items": b.known(&schema.Field{Type: schema.Text})}
		properties["people"] = maybe(texts, "the names of those who look at the vehicle")
		properties["points"] = maybe(text, "the table with the places of joints, such as points.csv")
		properties["axles"] = maybe(object{"type": "object", "properties": object{"front": text, "rear": text}, "additionalProperties": false}, "how the axles are laid out, as 'setdown new --axles' wrote it; other, or none where there is no such axle")
		properties["looks"] = maybe(object{"type": "array", "items": object{"type": "object"}}, "what was seen, by whom and when; or in the log beside the file")
		properties["orders"] = b.section(schema.Orders)
	}
	return object{"properties": properties, "additionalProperties": false}
}

func marshal(v any) []byte {
	var text bytes.Buffer
	e := json.NewEncoder(&text)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(v); err != nil {
		panic(err) // maps, lists and texts of our own
	}
	return text.Bytes()
}

// maybe is a value that need not be known.
func maybe(known object, doc string) object {
	s := object{"anyOf": []any{known, ref("unsure")}}
	if doc != "" {
		s["description"] = doc
	}
	return s
}

func ref(def string) object { return object{"$ref": "#/$defs/" + def} }

// builder collects the definitions that fields share. Those of the second format
// have names of their own.
type builder struct {
	defs   object
	second bool
}

// name is the name of a definition.
func (b builder) name(of string) string {
	if b.second {
		return of + "-2"
	}
	return of
}

// section is one heading of the file.
func (b builder) section(kind *schema.Kind) object {
	switch {
	case kind.Single:
		return maybe(b.block(kind.Fields), kind.Doc)
	case kind.Listed:
		entry := object{"allOf": []any{b.block(kind.Fields), needs(kind.Fields)}}
		return maybe(object{"type": "array", "items": entry}, kind.Doc)
	}
	item := b.block(kind.Fields)
	if b.second {
		item["properties"].(object)["like"] = maybe(b.known(&schema.Field{Type: schema.Ref}), "the item whose design it has, but for what is written here")
	}
	b.defs[b.name(kind.Name)] = item
	return maybe(object{
		"type":                 "object",
		"propertyNames":        object{"pattern": "^" + idPattern + "$"},
		"additionalProperties": maybe(ref(b.name(kind.Name)), ""),
	}, kind.Doc)
}

// listed is what was counted at the vehicle, a place at a time; who and when may be said
// once for all places.
func (b builder) listed() object {
	who := func() object {
		return object{"day": maybe(b.known(&schema.Field{Type: schema.Date}), "the day it was counted"), "by": maybe(b.known(&schema.Field{Type: schema.Text}), "who counted")}
	}
	at := who()
	for _, p := range schema.Pieces {
		at[p.Name] = maybe(b.known(&schema.Field{Type: schema.Count}), p.Name+" at this place, in pieces")
	}
	return maybe(object{
		"type": "object", "properties": who(),
		"additionalProperties": maybe(object{"type": "object", "properties": at, "additionalProperties": false}, ""),
	}, "the pieces counted at the vehicle, a place at a time")
}

// block is a block with those keys, all of which may be absent.
func (b builder) block(fields []schema.Field) object {
	properties := object{}
	for i := range fields {
		f := &fields[i]
		if f.Derived || f.Second && !b.second {
			continue
		}
		s := maybe(b.known(f), f.Doc)
		if f.Default != nil {
			s["default"] = f.Default
			s["anyOf"] = []any{b.known(f), object{"type": "null"}} // a preset answers no question mark
		}
		if b.second && f.Type == schema.Vector && slices.ContainsFunc(fields, func(o schema.Field) bool { return o.Name == "square" }) {
			s["anyOf"] = append(s["anyOf"].([]any), object{"const": "square"})
		}
		properties[f.Name] = s
		if f.Also != "" {
			properties[f.Also] = s
		}
	}
	return object{"type": "object", "properties": properties, "additionalProperties": false}
}

// known is a value of the field that somebody wrote down.
func (b builder) known(f *schema.Field) object {
	switch f.Type {
	case schema.Enum:
		if b.second { // the trade's other words are read too; the editor offers ours
			return object{"anyOf": []any{object{"enum": f.Enum}, object{"type": "string"}}}
		}
		return object{"enum": f.Enum}
	case schema.Bool:
		if b.second {
			return object{"anyOf": []any{object{"enum": []any{true, false, "yes", "no"}}, object{"type": "string", "pattern": "^([Yy]([Ee][Ss])?|[Nn][Oo]?|[Oo][Kk])$"}}}
		}
	case schema.Quantity:
		return b.quantity(f.Dim, f.Signed, f.Band)
	case schema.Date:
		if b.second { // a look may say the time of day
			return object{"type": "string", "pattern": "^[12][0-9]{3}-[01][0-9]-[0-3][0-9]( [0-2][0-9]:[0-5][0-9](:[0-5][0-9])?)?$"}
		}
	case schema.Ref:
		if slices.Contains(f.Refs, "links") {
			return b.def("id-or-link-end", object{"type": []string{"string", "number", "boolean"}, "pattern": "^" + idPattern + "(/" + idPattern + ")?$"})
		}
		return b.def("id", object{"type": []string{"string", "number", "boolean"}, "pattern": "^" + idPattern + "$"})
	case schema.List:
		return b.list(f)
	case schema.Map:
		s := object{"type": "object", "propertyNames": object{"pattern": "^" + namePattern + "$"}, "additionalProperties": maybe(b.known(f.Elem), "")}
		if f.Size > 0 {
			s["maxProperties"] = f.Size
		}
		return s
	case schema.Object:
		s := b.block(f.Fields)
		if f.Shorthand != "" {
			return object{"anyOf": []any{s, b.plate()}}
		}
		return s
	case schema.Point:
		return b.def("point", object{
			"description": "[x, y, z]: bare numbers in the unit of vehicle.coordinates, or lengths with their unit, each with ± if need be",
			"type":        "array", "minItems": 3, "maxItems": 3, "items": b.coordinate(),
		})
	}
	return b.def(simple[f.Type].name, simple[f.Type].schema)
}

// simple are the types whose values all fields write alike. A text may look like
// a number or a yes to an editor; the program takes it as text.
var simple = map[schema.Type]struct {
	name   string
	schema object
}{
	schema.Bool:  {"yes-or-no", object{"enum": []any{true, false, "yes", "no", "true", "false"}}},
	schema.Count: {"count", object{"description": "a whole number", "type": []string{"integer", "string"}, "minimum": 0, "maximum": 1_000_000, "pattern": "^[0-9]+$"}},
	schema.Text:  {"text", object{"type": []string{"string", "number", "boolean"}, "pattern": `\S`, "maxLength": 2_000}},
	schema.Date: {"date", object{"description": "a day, such as 2026-11-20", "type": "string", "maxLength": maxText,
		"pattern": dateForm}},
	schema.Thread: {"thread", object{"description": "a thread as written on the box, such as M12x1.75, 1/2-20 UNF or M12x1.75 LH", "type": "string", "maxLength": maxText,
		"pattern": threadForm}},
	schema.Vector: {"direction", object{"description": "[x, y, z]: plain numbers of which only the ratio counts",
		"type": "array", "minItems": 3, "maxItems": 3,
		"items":    object{"type": []string{"number", "string"}, "pattern": `^[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?$`},
		"contains": object{"not": object{"const": 0}}}},
}

// def files a definition under its name and refers to it.
func (b builder) def(name string, s object) object {
	b.defs[b.name(name)] = s
	return ref(b.name(name))
}

// list is a list of values that are all known. An empty one is read as not
// recorded, whatever its size should be.
func (b builder) list(f *schema.Field) object {
	item := b.known(f.Elem)
	if f.Elem.Type == schema.Object {
		item = object{"allOf": []any{item, needs(f.Elem.Fields)}}
	}
	s := object{"type": "array", "items": item}
	if f.Elem.Type == schema.Ref {
		s["uniqueItems"] = true
	}
	if f.Size > 0 {
		s["anyOf"] = []any{object{"maxItems": 0}, object{"minItems": f.Size, "maxItems": f.Size}}
	}
	return s
}

// coordinate is one of the three of a point.
func (b builder) coordinate() object {
	return b.def("coordinate", object{"anyOf": []any{
		object{"type": "number"},
		object{"type": "string", "maxLength": maxText, "pattern": bareCoordinate},
		b.quantity(quantity.Length, true, true),
	}})
}

// whole says what each item cannot do without, by section.
func whole() object {
	sections := object{}
	for _, kind := range schema.Kinds() {
		need := needs(kind.Fields)
		if kind.Single || kind.Listed || len(need) == 0 {
			continue
		}
		need["type"] = "object"
		sections[kind.Name] = object{"additionalProperties": need}
	}
	return sections
}

// needs says which keys a block cannot do without, and that they are known. It
// is empty where there are none.
func needs(fields []schema.Field) object {
	var required []string
	properties := object{}
	for i := range fields {
		f := &fields[i]
		if !f.Need {
			continue
		}
		required = append(required, f.Name)
		s := object{"not": ref("unsure")}
		switch f.Type {
		case schema.List:
			s["minItems"] = 1
		case schema.Map:
			s["minProperties"] = f.Size
			entry := needs(f.Elem.Fields)
			entry["type"] = "object"
			s["additionalProperties"] = entry
		}
		properties[f.Name] = s
	}
	if len(required) == 0 {
		return object{}
	}
	return object{"required": required, "properties": properties}
}
