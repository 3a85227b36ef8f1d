package model

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"setdown/model/schema"
	"setdown/model/syntax"
)

// AssumptionFile is the file name in the positions of assumptions; the line is
// the number of the assumption, from 1.
const AssumptionFile = "--assume"

// Assumption is one fact that is taken as recorded for a what-if.
type Assumption struct {
	// Path leads to the fact, by the item's id or by its kind and id:
	// "fl-mount.found.made" or "welds.fl-mount.found.made".
	Path string
	// Value is written as in the build file. An empty one, or 'not sure', takes
	// the fact out of the record.
	Value string
}

// ParseAssumption reads PATH=VALUE. Whether the path leads to anything is only
// known once a build file is read.
func ParseAssumption(text string) (Assumption, error) {
	path, value, ok := strings.Cut(text, "=")
	path, value = strings.TrimSpace(path), strings.TrimSpace(value)
	switch {
	case !ok || path == "":
		return Assumption{}, fmt.Errorf("%s is not a what-if (write it as fl-mount.found.made=full)", shown(text))
	case !utf8.ValidString(text) || strings.ContainsAny(text, "\n\r"):
		return Assumption{}, fmt.Errorf("%s is not a what-if: it must be one line of text", shown(text))
	}
	return Assumption{Path: path, Value: value}, nil
}

func (a Assumption) String() string { return a.Path + "=" + a.Value }

// assume lays the assumptions over the build.
func (r *reader) assume(list []Assumption) {
	for i, a := range list {
		d := decoder{file: AssumptionFile, line: i, column: utf8.RuneCountInString(a.Path) + 1, unit: r.unit, second: r.second, left: r.left, taken: map[slot]removal{}}
		r.lay(a, &d)
		for _, e := range d.errs {
			e.Message = shown(a.String()) + ": " + e.Message
			r.errs = append(r.errs, e)
		}
	}
}

func (r *reader) lay(a Assumption, d *decoder) {
	start := &yaml.Node{Line: 1, Column: 1 - d.column}
	kind, record, rest := r.subject(a.Path)
	if record == nil {
		prefix := kindPrefix(a.Path)
		id, rest, _ := strings.Cut(strings.TrimPrefix(a.Path, prefix), ".")
		if item := r.build.byID[id]; item != nil {
			wrong := schema.KindOf(strings.TrimSuffix(prefix, "."))
			d.fail(start, a.Path, fmt.Sprintf("%s is a %s, not a %s", id, item.Kind.Item, wrong.Item), "write "+join(item.Path(), rest))
			return
		}
		d.fail(start, a.Path, fmt.Sprintf("there is no item %s", shown(id)), meant(id, r.build.ids(), "the items are "))
		return
	}
	if rest == "" {
		d.fail(start, a.Path, "the path ends at the "+kind.Item+" itself", "go on to one of its facts, such as fl-mount.found.made")
		return
	}
	value := &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!null", Line: 1, Column: 1}
	if a.Value != "" && a.Value != "?" {
		if _, _, message, hint := syntax.BadCharacter([]byte(a.Value)); message != "" {
			d.fail(start, a.Path, message, hint)
			return
		}
		root, second, err := syntax.Decode([]byte(a.Value))
		if err != nil || second != nil {
			d.fail(start, a.Path, "the value cannot be read", "write it as in the build file")
			return
		}
		if root != nil {
			value = root
		}
	}
	if buildFile.Vet(value, d.span, &d.errs) {
		d.follow(a.Path, kind.Item, kind.Fields, record, rest, value)
	}
}

// follow goes down the blocks of a record to the field that rest names, making
// the blocks that are not there, and records the value.
func (d *decoder) follow(path, what string, fields []schema.Field, record *schema.Record, rest string, value *yaml.Node) {
	start := &yaml.Node{Line: 1, Column: 1 - d.column}
	var elem *schema.Field // describes the values of a block whose keys the file chose
	for {
		name, deeper, nested := strings.Cut(rest, ".")
		field := elem
		if elem == nil {
			field = record.Spelled(name)
			if field == nil || field.Derived || field.Second && !d.second {
				d.fail(start, path, fmt.Sprintf("%s is no key of %s", shown(name), what), meant(name, d.writable(fields), "the keys are "))
				return
			}
			name = field.Name
		} else if _, ok := record.Lookup(name); !ok {
			d.fail(start, path, fmt.Sprintf("%s is no name in %s", shown(name), what), meant(name, record.Names(), "the names are "))
			return
		}
		if !nested {
			d.set(record, field, name, value, path)
			return
		}
		if field.Type != schema.Object && field.Type != schema.Map {
			d.fail(start, path, fmt.Sprintf("%s has no keys below it", name), "a what-if sets one fact or one whole list")
			return
		}
		inner, ok := record.Lookup(name)
		if !ok {
			inner = schema.Value{V: schema.NewRecord(field.Fields, d.span(value)), Span: d.span(value)}
			record.Set(name, inner)
		}
		record, fields, what, rest, elem = inner.V.(*schema.Record), field.Fields, name, deeper, field.Elem
	}
}

// subject finds what the beginning of a path names, and the rest of the path.
// Ids may hold dots, so the longest id that fits is meant.
func (r *reader) subject(path string) (*schema.Kind, *schema.Record, string) {
	for end := len(path); end > 0; end = strings.LastIndexByte(path[:end], '.') {
		id := strings.TrimPrefix(path[:end], kindPrefix(path))
		rest := strings.TrimPrefix(path[end:], ".")
		item := r.build.byID[path[:end]]
		if item == nil {
			if item = r.build.byID[id]; item != nil && item.Kind != schema.KindOf(strings.TrimSuffix(kindPrefix(path), ".")) {
				item = nil
			}
		}
		switch {
		case item != nil:
			return item.Kind, item.Record, rest
		case path[:end] == "vehicle":
			return schema.KindOf("vehicle"), r.build.Vehicle, rest
		case path[:end] == "site":
			return schema.KindOf("site"), r.build.Site, rest
		}
	}
	return nil, nil, ""
}

// kindPrefix is the kind that a path begins with, with its dot, or nothing.
func kindPrefix(path string) string {
	name, _, nested := strings.Cut(path, ".")
	if kind := schema.KindOf(name); !nested || kind == nil || kind.Single || kind.Listed {
		return ""
	}
	return name + "."
}
