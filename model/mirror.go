package model

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"setdown/model/schema"
	"setdown/model/source"
)

// mirroring is one entry of mirror, ready to be carried out.
type mirroring struct {
	from, to, across string
	places           []string
	fromSpan         source.Span
	path             string
}

// mirror fills in the items that the mirror entries ask for.
func (r *reader) mirror() {
	done := r.mirrorings()
	refs := references{entries: done, ids: r.mirrored(done)}
	for _, m := range done {
		if !r.carryOut(m, refs) {
			r.failAt(m.fromSpan, m.path+".from", fmt.Sprintf("no id begins with %s, so nothing is mirrored", shown(m.from)), "")
		}
	}
}

// mirrorings reads the entries and refuses those that cannot be carried out.
func (r *reader) mirrorings() []mirroring {
	var good, done []mirroring
	for i, entry := range r.build.Of("mirror") {
		if i == maxMirrors {
			r.failAt(entry.Span, entry.Path(), fmt.Sprintf("there are more than %d mirror entries", maxMirrors), "")
			break
		}
		m := mirroring{places: r.build.Places, path: entry.Path()}
		var known [3]bool
		m.from, known[0] = entry.Text("from")
		m.to, known[1] = entry.Text("to")
		m.across, known[2] = entry.Text("across")
		if known != [3]bool{true, true, true} {
			continue // reported by the reader or by the check for needed keys
		}
		done = append(done, m)
		from, _ := entry.Lookup("from")
		to, _ := entry.Lookup("to")
		m.fromSpan = from.Span
		switch {
		case strings.ContainsFunc(m.to, notInID):
			r.failAt(to.Span, m.path+".to", fmt.Sprintf("an id cannot begin with %s", shown(m.to)), "use only letters, digits, - _ and .")
		case m.from == m.to:
			r.failAt(to.Span, m.path+".to", "a side cannot mirror itself", "'from' and 'to' must differ")
		case circular(done):
			r.failAt(from.Span, m.path+".from", fmt.Sprintf("copying %s to %s goes round in a circle", m.from, m.to), "describe one side and mirror it to the other")
		default:
			good = append(good, m)
		}
	}
	return good
}

// mirrored lists the ids that stand in the file or that an entry will make. It is
// nil when they are too many, which is refused when they are made.
func (r *reader) mirrored(entries []mirroring) map[string]bool {
	ids := map[string]bool{}
	for id := range r.build.byID {
		ids[id] = true
	}
	for _, m := range entries {
		for _, id := range slices.Collect(maps.Keys(ids)) {
			if item := r.build.byID[id]; strings.HasPrefix(id, m.from) && (item == nil || copies(item.Kind)) {
				ids[m.id(id)] = true
			}
			if len(ids) > maxItems {
				return nil
			}
		}
	}
	return ids
}

// copies says whether a mirror copies items of that kind.
func copies(kind *schema.Kind) bool {
	return !kind.Single && !kind.Listed && kind.Name != "moves"
}

// circular says whether what one entry makes could be copied by an entry up to
// itself again: then the copies would have no end.
func circular(done []mirroring) bool {
	last := done[len(done)-1]
	reached := []string{last.to}
	for i := 0; i < len(reached); i++ {
		for _, m := range done {
			if !strings.HasPrefix(reached[i], m.from) && !strings.HasPrefix(m.from, reached[i]) {
				continue
			}
			if m.from == last.from && m.to == last.to {
				return true
			}
			if !slices.Contains(reached, m.to) {
				reached = append(reached, m.to)
			}
		}
	}
	return false
}

// carryOut makes or completes the mirrored items of one entry. It is false when
// no item has the entry's prefix.
func (r *reader) carryOut(m mirroring, refs references) bool {
	found := false
	for _, kind := range schema.Kinds() {
		if !copies(kind) {
			continue
		}
		for _, pattern := range slices.Clone(r.build.Of(kind.Name)) {
			if !strings.HasPrefix(pattern.ID, m.from) {
				continue
			}
			found = true
			id := m.id(pattern.ID)
			path := kind.Name + "." + id
			twin := r.build.byID[id]
			other := side{mirroring: m, references: refs, from: pattern.ID, to: id}
			switch {
			case len(r.build.byID) >= maxItems:
				r.failAt(pattern.Span, path, fmt.Sprintf("the mirrored items make more than %d", maxItems), "")
				return true
			case twin == nil:
				twin = &Item{Kind: kind, ID: id, Span: pattern.Span, MirroredFrom: pattern.ID, Across: m.across}
				twin.Record = m.record(pattern.Record, nil)
				twin.Record.Delete(schema.Found)
				r.turnAll(other, twin.Record, nil, path)
				r.add(twin)
			case twin.Kind != kind:
				r.failAt(twin.Span, path, fmt.Sprintf("%q is a %s here, but mirroring %s makes it a %s", id, twin.Kind.Item, pattern.ID, kind.Item), "give one of them another id")
			case twin.MirroredFrom != "":
				r.failAt(pattern.Span, path, fmt.Sprintf("%q is made twice, from %s and from %s", id, twin.MirroredFrom, pattern.ID), "delete one of the mirror entries")
			default:
				if r.blank[twin] {
					r.failAt(twin.Span, path, fmt.Sprintf("nothing is written of %s, and %s is mirrored to it: is it there or not?", id, pattern.ID),
						fmt.Sprintf("write {} where it is as %s is; where there is none, give %s an id that does not begin with %s", pattern.ID, pattern.ID, m.from))
				}
				twin.MirroredFrom, twin.Across = pattern.ID, m.across
				design := m.record(pattern.Record, nil)
				design.Delete(schema.Found)
				r.complete(other, twin.Record, design, nil, path)
			}
		}
	}
	return found
}

// complete adds to what is written the fields of the mirrored design that are
// not written, block by block. A field that is written as not known stays so.
// elem describes the values of a block whose keys the file chose.
func (r *reader) complete(s side, written, design *schema.Record, elem *schema.Field, path string) {
	for _, name := range design.Names() {
		copied, _ := design.Lookup(name)
		if r.left[slot{written, name}] != 0 {
			r.takenAway(written, name)
			continue
		}
		field := described(design, name, elem)
		own, ok := written.Lookup(name)
		if !ok {
			written.Set(name, r.turned(s, field, copied, join(path, name)))
			continue
		}
		inner, isBlock := own.V.(*schema.Record)
		if isBlock {
			r.complete(s, inner, copied.V.(*schema.Record), field.Elem, join(path, name))
		}
	}
}

// described is what says what a field of a block holds: the table, or elem in a
// block whose keys the file chose.
func described(r *schema.Record, name string, elem *schema.Field) *schema.Field {
	if r.Fields != nil {
		return r.Field(name)
	}
	return elem
}

// references is what is known of ids when a reference is carried to the other side.
type references struct {
	entries []mirroring
	ids     map[string]bool // that there are once all entries are carried out
}

// side is where one item is copied to.
type side struct {
	mirroring
	references
	from, to string // ids of the pattern and of what is made of it
}

// turnAll carries the references of a copied block to the other side.
func (r *reader) turnAll(s side, record *schema.Record, elem *schema.Field, path string) {
	for _, name := range record.Names() {
		v, _ := record.Lookup(name)
		record.Set(name, r.turned(s, described(record, name, elem), v, join(path, name)))
	}
}

// turned carries the references in one copied value to the other side, and
// refuses one that would stay on the side it came from: the force of one side
// would go into the other.
func (r *reader) turned(s side, f *schema.Field, v schema.Value, path string) schema.Value {
	switch f.Type {
	case schema.Object, schema.Map:
		r.turnAll(s, v.V.(*schema.Record), f.Elem, path)
	case schema.List:
		list := v.V.([]schema.Value)
		for i, e := range list {
			list[i] = r.turned(s, f.Elem, e, path)
		}
	case schema.Ref:
		id := v.V.(string)
		twin, prefix := s.counterpart(id)
		switch {
		case prefix == "":
			v.V = twin
		case r.offThePlane(s, id, prefix):
			r.failAt(v.Span, path, fmt.Sprintf("%s, the mirror of %s, would go to %s as well, because there is no %s", s.to, s.from, shown(id), shown(twin)),
				fmt.Sprintf("list %s, or write this key at %s", twin, s.to))
		}
	}
	return v
}

// counterpart names what an id, or "link/end", is on the other side; an id that
// belongs to no side is its own. Where prefix is not empty, the id begins with
// this prefix of the other side and twin is not there.
//
// The item's own entry comes first. Among the others across the same plane the
// longest beginning of an id says most. What belongs to the far side comes back
// to the near one, as everything does in a mirror.
func (s side) counterpart(id string) (twin, prefix string) {
	best, missing := -1, ""
	take := func(m mirroring, own bool) {
		weight := func(prefix string) int {
			if own {
				return math.MaxInt
			}
			return len(prefix)
		}
		if rest, ok := strings.CutPrefix(id, m.from); ok && weight(m.from) > best {
			twin, best = m.to+rest, weight(m.from) // made, or refused where the pattern is
		}
		rest, ok := strings.CutPrefix(id, m.to)
		if !ok || weight(m.to) <= best {
			return
		}
		back := m.from + rest
		if name, _, _ := strings.Cut(back, "/"); s.ids == nil || s.ids[name] {
			twin, best = back, weight(m.to)
		} else if len(m.to) > len(prefix) {
			missing, prefix = back, m.to
		}
	}
	take(s.mirroring, true)
	for _, m := range s.entries {
		if m.across == s.across {
			take(m, false)
		}
	}
	switch {
	case twin != "":
		return twin, ""
	case prefix != "":
		return missing, prefix
	}
	return id, ""
}

// How far from the mirror plane a thing may lie and still be on it, in metres. An
// id such as rack begins with the side r by chance: then only a place well off the
// plane says that it belongs there, for hardly a part has its mass quite in the
// middle.
const (
	onPlane   = 0.001
	nearPlane = 0.050
)

// offThePlane says whether what an id names belongs to one side, going by where it
// is, or else by the prefix with which its id begins.
func (r *reader) offThePlane(s side, id, prefix string) bool {
	last, _ := utf8.DecodeLastRuneInString(prefix)
	chance := unicode.IsLetter(last)
	name, end, _ := strings.Cut(id, "/")
	item := r.build.byID[name]
	if item == nil {
		return !chance && s.ids[name] // made by a later entry; what is nowhere is reported by itself
	}
	if at, known := whereIs(item, end); known {
		off := math.Abs(map[string]float64{"x": at.X, "y": at.Y, "z": at.Z}[s.across])
		return off > nearPlane || off > onPlane && !chance
	}
	if item.Kind.Field("place") != nil {
		if place, known := item.Text("place"); known && opposite[s.across].Replace(place) != place {
			return true
		}
	}
	return !chance
}

// whereIs returns the place of an item, or of one end of a link, when the file
// gives it.
func whereIs(item *Item, end string) (schema.Vec, bool) {
	if end != "" {
		if item.Kind.Name != "links" {
			return schema.Vec{}, false // reported as a reference that leads nowhere
		}
		ends, known := item.Record.Record("ends")
		if !known {
			return schema.Vec{}, false
		}
		v, known := ends.Lookup(end)
		if !known {
			return schema.Vec{}, false
		}
		return v.V.(*schema.Record).Vec("at")
	}
	for _, name := range []string{"cg", "at"} {
		if item.Kind.Field(name) != nil {
			return item.Vec(name)
		}
	}
	return schema.Vec{}, false
}

// id carries an id to the other side.
func (m mirroring) id(id string) string { return m.to + strings.TrimPrefix(id, m.from) }

// record copies a block to the other side, but for its references. elem describes
// the values of a block whose keys the file chose.
func (m mirroring) record(r *schema.Record, elem *schema.Field) *schema.Record {
	twin := schema.NewRecord(r.Fields, r.Span)
	for _, name := range r.Names() {
		v, _ := r.Lookup(name)
		if mirrored, ok := m.value(described(r, name, elem), v); ok {
			twin.Set(name, mirrored)
		}
	}
	return twin
}

func (m mirroring) value(f *schema.Field, v schema.Value) (schema.Value, bool) {
	switch f.Type {
	case schema.Point, schema.Vector:
		v.V = v.V.(schema.Vec).Mirrored(m.across)
	case schema.Object:
		v.V = m.record(v.V.(*schema.Record), nil)
	case schema.Map:
		v.V = m.record(v.V.(*schema.Record), f.Elem)
	case schema.List:
		var list []schema.Value
		for _, e := range v.V.([]schema.Value) {
			mirrored, _ := m.value(f.Elem, e)
			list = append(list, mirrored)
		}
		v.V = list
	case schema.Text:
		if f.Name == "place" {
			place, ok := m.place(v.V.(string))
			v.V = place
			return v, ok
		}
	}
	return v, true
}

// opposite swaps the words for the two sides of a mirror plane.
var opposite = map[string]*strings.Replacer{
	"x": strings.NewReplacer("front", "rear", "rear", "front"),
	"y": strings.NewReplacer("left", "right", "right", "left"),
	"z": strings.NewReplacer("upper", "lower", "lower", "upper"),
}

// place carries the name of a place over when the vehicle has such a place.
// Otherwise the place is left out and follows from what the item belongs to.
func (m mirroring) place(place string) (string, bool) {
	swapped := opposite[m.across].Replace(place)
	return swapped, swapped != place && slices.Contains(m.places, place) && slices.Contains(m.places, swapped)
}
