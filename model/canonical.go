package model

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"setdown/model/quantity"
	"setdown/model/schema"
)

// Canonical returns the resolved state, after mirrors and assumptions, as one
// sorted line a fact: "welds.fl-mount.found.made = full". Two files that record
// the same state have the same lines, however they are laid out. Every item has
// a line of its own too, so that an item without facts is not lost.
func (b *Build) Canonical() []byte {
	facts := b.facts()
	var text strings.Builder
	for _, path := range sortedKeys(facts) {
		text.WriteString(path + " = " + facts[path] + "\n")
	}
	return []byte(text.String())
}

// Change is one fact that differs between two states. Old or New is empty when
// the fact is recorded on one side only.
type Change struct{ Path, Old, New string }

// Differences lists what changed from one state to another, sorted by path.
func Differences(old, new *Build) []Change {
	was, is := old.facts(), new.facts()
	all := map[string]string{}
	for path := range was {
		all[path] = ""
	}
	for path := range is {
		all[path] = ""
	}
	var changes []Change
	for _, path := range sortedKeys(all) {
		if was[path] != is[path] {
			changes = append(changes, Change{Path: path, Old: was[path], New: is[path]})
		}
	}
	return changes
}

func sortedKeys(m map[string]string) []string {
	keys := make([]string, 0, len(m))
	for key := range m {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	return keys
}

func (b *Build) facts() map[string]string {
	facts := map[string]string{}
	if len(b.Places) > 0 {
		facts["places"] = "[" + strings.Join(b.Places, ", ") + "]"
	}
	addFacts(facts, "vehicle", b.Vehicle)
	addFacts(facts, "site", b.Site)
	for kind, items := range b.Items {
		if kind == "mirror" {
			continue // what it makes is listed as it stands
		}
		for _, item := range items {
			facts[item.Path()] = item.Kind.Item
			addFacts(facts, item.Path(), item.Record)
		}
	}
	return facts
}

func addFacts(facts map[string]string, path string, record *schema.Record) {
	for _, name := range record.Names() {
		v, _ := record.Lookup(name)
		addFact(facts, path+"."+name, v.V)
	}
}

func addFact(facts map[string]string, path string, v any) {
	switch v := v.(type) {
	case *schema.Record:
		addFacts(facts, path, v)
		if v.Fields == nil {
			// The order of a link's ends is the order of its lists, such as engaged.
			facts[path] = "[" + strings.Join(v.Names(), ", ") + "]"
		}
	case []schema.Value:
		var words []string
		for i, e := range v {
			if block, ok := e.V.(*schema.Record); ok {
				addFacts(facts, path+"."+strconv.Itoa(i+1), block)
				words = append(words, strconv.Itoa(i+1))
				continue
			}
			words = append(words, plain(e.V))
		}
		facts[path] = "[" + strings.Join(words, ", ") + "]"
	default:
		facts[path] = plain(v)
	}
}

// plain writes one value so that equal values have equal text.
func plain(v any) string {
	switch v := v.(type) {
	case bool:
		if v {
			return "yes"
		}
		return "no"
	case int64:
		return strconv.FormatInt(v, 10)
	case string:
		return v
	case quantity.Quantity:
		return exact(v)
	case quantity.Thread:
		return v.String()
	case quantity.Date:
		return v.String()
	case schema.Vec:
		return "[" + coordinate(v.X, v.Tol[0]) + ", " + coordinate(v.Y, v.Tol[1]) + ", " + coordinate(v.Z, v.Tol[2]) + "]"
	}
	panic("model: a value of no type in the schema")
}

// exact writes a quantity as people do when that says all, and otherwise with
// every digit that was written: two states that differ must not look the same.
func exact(q quantity.Quantity) string {
	const digits = 12
	want := q.Dim
	if want == quantity.Force {
		want = quantity.Load // so that a rating in a unit of mass is read back
	}
	same := func(a, b float64) bool { return math.Abs(a-b) <= 1e-12*math.Abs(b) }
	text := q.String()
	if back, err := quantity.Parse(text, want); err == nil && same(back.Value, q.Value) && same(back.Tol, q.Tol) {
		return text
	}
	number := func(si float64) string {
		q.Value = si
		if v, err := q.In(q.Unit); err == nil {
			si = v
		}
		return strconv.FormatFloat(si, 'g', digits, 64)
	}
	text = number(q.Value)
	if q.Tol > 0 {
		text += " ± " + number(q.Tol)
	}
	return strings.TrimSpace(text + " " + q.Unit)
}

// coordinate writes one coordinate in metres to the nanometre, so that the same
// point written in another unit compares equal.
func coordinate(value, tol float64) string {
	number := func(v float64) string {
		return strconv.FormatFloat(math.Round(v*1e9)/1e9+0, 'f', -1, 64)
	}
	if tol == 0 {
		return number(value)
	}
	return number(value) + " ± " + number(tol)
}
