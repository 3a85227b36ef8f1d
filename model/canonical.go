package model

import (
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
)

// Canonical returns the resolved state, after mirrors and assumptions, as one
// sorted line a fact: "welds.fl-mount.found.made = full". Two files that record
// the same state have the same lines, however they are laid out. Every item has
// a line of its own too, so that an item without facts is not lost.
func (b *Build) Canonical() []byte {
	var lines []string
	size := 0
	b.facts(func(path, value string) {
		line := path + " = " + value + "\n"
		lines, size = append(lines, line), size+len(line)
	})
	slices.Sort(lines)
	text := make([]byte, 0, size)
	for _, line := range lines {
		text = append(text, line...)
	}
	return text
}

// Change is one fact that differs between two states. Old or New is empty when
// the fact is recorded on one side only.
type Change struct{ Path, Old, New string }

// Differences lists what changed from one state to another, each given as the values
// of its facts by their paths, sorted by path.
func Differences(was, is map[string]string) []Change {
	all := maps.Clone(was)
	maps.Copy(all, is)
	var changes []Change
	for _, path := range slices.Sorted(maps.Keys(all)) {
		before, had := was[path]
		after, has := is[path]
		if had != has || before != after {
			changes = append(changes, Change{Path: path, Old: before, New: after})
		}
	}
	return changes
}

// Facts returns the resolved state as the values of its facts by their paths, the same
// that Canonical lists.
func (b *Build) Facts() map[string]string {
	facts := map[string]string{}
	b.facts(func(path, value string) { facts[path] = value })
	return facts
}

// FactsIn reads the lines of Canonical. A path holds no spaces, so all that follows the
// first ' = ' is the value.
func FactsIn(lines []string) map[string]string {
	facts := make(map[string]string, len(lines))
	for _, line := range lines {
		path, value, _ := strings.Cut(line, " = ")
		facts[path] = value
	}
	return facts
}

// facts gives every fact with its path, in no order.
func (b *Build) facts(give func(path, value string)) {
	if len(b.Places) > 0 {
		give("places", "["+strings.Join(b.Places, ", ")+"]")
	}
	b.logFacts(give)
	giveFacts(give, "vehicle", b.Vehicle)
	giveFacts(give, "site", b.Site)
	for kind, items := range b.Items {
		if kind == "mirror" {
			continue // what it makes is listed as it stands
		}
		for _, item := range items {
			give(item.Path(), item.Kind.Item)
			giveFacts(give, item.Path(), item.Record)
		}
	}
}

// logFacts gives every line of the log, so that one that is taken out afterwards is
// missed, and what was counted at the vehicle.
func (b *Build) logFacts(give func(path, value string)) {
	if b.Log != nil {
		for _, look := range b.Log.Looks {
			var of []string
			for _, target := range look.Of {
				of = append(of, target.ID)
			}
			give("looks."+look.Digest, strings.TrimSpace(look.Moment.String()+" "+look.By+" at "+strings.Join(of, ", ")))
		}
		for _, n := range b.Log.Notes {
			if n.Word != looks.Signed { // which is of the sign-off, and not of what was signed
				give("looks."+looks.Digest(n.String()), n.String())
			}
		}
	}
	for _, listed := range b.Listed {
		for what, n := range listed.Pieces {
			give("listed."+listed.Place+"."+what, strconv.FormatInt(n, 10))
		}
		give("listed."+listed.Place+".seen", strings.TrimSpace(listed.Day.String()+" "+listed.By))
	}
}

func giveFacts(give func(path, value string), path string, record *schema.Record) {
	for name, v := range record.All() {
		giveFact(give, path+"."+name, v.V)
	}
}

func giveFact(give func(path, value string), path string, v any) {
	switch v := v.(type) {
	case *schema.Record:
		giveFacts(give, path, v)
		if v.Fields == nil {
			// The order of a link's ends is the order of its lists, such as engaged.
			give(path, "["+strings.Join(v.Names(), ", ")+"]")
		}
	case []schema.Value:
		var words []string
		for i, e := range v {
			if block, ok := e.V.(*schema.Record); ok {
				giveFacts(give, path+"."+strconv.Itoa(i+1), block)
				words = append(words, strconv.Itoa(i+1))
				continue
			}
			words = append(words, Written(e.V))
		}
		give(path, "["+strings.Join(words, ", ")+"]")
	default:
		give(path, Written(v))
	}
}

// Written writes one value so that equal values have equal text.
func Written(v any) string {
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
	case []schema.Value:
		words := make([]string, len(v))
		for i, e := range v {
			words[i] = Written(e.V)
		}
		return "[" + strings.Join(words, ", ") + "]"
	case schema.Vec:
		return "[" + coordinate(v.X, v.Tol[0]) + ", " + coordinate(v.Y, v.Tol[1]) + ", " + coordinate(v.Z, v.Tol[2]) + "]"
	}
	panic("model: a value of no type in the schema")
}

// exact writes a quantity as people do when that says all, and otherwise with
// every digit that was written: two states that differ must not look the same.
func exact(q quantity.Quantity) string {
	const digits = 12
	if q.Exact() {
		return q.String()
	}
	number := func(si float64) string {
		q.Value = si
		if v, err := q.In(q.Unit); err == nil {
			si = v
		}
		return strconv.FormatFloat(si, 'g', digits, 64)
	}
	text := number(q.Value)
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
