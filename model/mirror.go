package model

import (
	"fmt"
	"slices"
	"strings"

	"setdown/model/schema"
)

// foundBlock is the block that no mirror ever copies: what was seen on one side
// says nothing about the other.
const foundBlock = "found"

// mirroring is one entry of mirror, ready to be carried out.
type mirroring struct {
	from, to, across string
	places           []string
}

// mirror fills in the items that the mirror entries ask for.
func (r *reader) mirror() {
	var done []mirroring
	for i, entry := range r.build.Of("mirror") {
		if i == maxMirrors {
			r.failAt(entry.Span, entry.Path(), fmt.Sprintf("there are more than %d mirror entries", maxMirrors), "")
			return
		}
		m := mirroring{places: r.build.Places}
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
		switch {
		case strings.ContainsFunc(m.to, notInID):
			r.failAt(to.Span, entry.Path()+".to", fmt.Sprintf("%s cannot begin an id", shown(m.to)), "an id has letters, digits, - _ and . only")
		case m.from == m.to:
			r.failAt(to.Span, entry.Path()+".to", "a side cannot be the mirror of itself", "from and to must differ")
		case circular(done):
			r.failAt(from.Span, entry.Path()+".from", fmt.Sprintf("copying %s to %s leads round in a circle", m.from, m.to), "describe one side and mirror it to the other")
		case !r.carryOut(m):
			r.failAt(from.Span, entry.Path()+".from", fmt.Sprintf("no id begins with %s, so there is nothing to mirror", shown(m.from)), "")
		}
	}
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
func (r *reader) carryOut(m mirroring) bool {
	found := false
	for _, kind := range schema.Kinds() {
		if kind.Single || kind.Listed || kind.Name == "moves" {
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
			switch {
			case len(r.build.byID) >= maxItems:
				r.failAt(pattern.Span, path, fmt.Sprintf("the mirrored items make more than %d", maxItems), "")
				return true
			case twin == nil:
				twin = &Item{Kind: kind, ID: id, Span: pattern.Span, MirroredFrom: pattern.ID}
				twin.Record = m.record(pattern.Record, nil)
				twin.Record.Delete(foundBlock)
				r.add(twin)
			case twin.Kind != kind:
				r.failAt(twin.Span, path, fmt.Sprintf("%q is a %s here, but the mirror of %s makes it a %s", id, twin.Kind.Item, pattern.ID, kind.Item), "give one of them another id")
			case twin.MirroredFrom != "":
				r.failAt(pattern.Span, path, fmt.Sprintf("%q is made twice, from %s and from %s", id, twin.MirroredFrom, pattern.ID), "take out one of the mirror entries")
			default:
				twin.MirroredFrom = pattern.ID
				design := m.record(pattern.Record, nil)
				design.Delete(foundBlock)
				r.complete(twin.Record, design)
			}
		}
	}
	return found
}

// complete adds to what is written the fields of the mirrored design that are
// not written, block by block. A field that is written as not known stays so.
func (r *reader) complete(written, design *schema.Record) {
	for _, name := range design.Names() {
		copied, _ := design.Lookup(name)
		if r.left[slot{written, name}] != 0 {
			continue
		}
		own, ok := written.Lookup(name)
		if !ok {
			written.Set(name, copied)
			continue
		}
		inner, isBlock := own.V.(*schema.Record)
		if isBlock {
			r.complete(inner, copied.V.(*schema.Record))
		}
	}
}

// id carries an id, or "link/end", to the other side when it belongs to this one.
func (m mirroring) id(id string) string {
	if rest, ok := strings.CutPrefix(id, m.from); ok {
		return m.to + rest
	}
	return id
}

// record copies a block to the other side. elem describes the values of a block
// whose keys the file chose.
func (m mirroring) record(r *schema.Record, elem *schema.Field) *schema.Record {
	twin := schema.NewRecord(r.Fields, r.Span)
	for _, name := range r.Names() {
		v, _ := r.Lookup(name)
		field := elem
		if r.Fields != nil {
			field = r.Field(name)
		}
		if mirrored, ok := m.value(field, v); ok {
			twin.Set(name, mirrored)
		}
	}
	return twin
}

func (m mirroring) value(f *schema.Field, v schema.Value) (schema.Value, bool) {
	switch f.Type {
	case schema.Point, schema.Vector:
		v.V = m.vec(v.V.(schema.Vec))
	case schema.Ref:
		v.V = m.id(v.V.(string))
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

// vec changes the sign across the mirror plane. A direction is treated like a
// difference of two points, which is right for an axis and for a weld line.
func (m mirroring) vec(v schema.Vec) schema.Vec {
	switch m.across {
	case "x":
		v.X = 0 - v.X
	case "y":
		v.Y = 0 - v.Y
	case "z":
		v.Z = 0 - v.Z
	}
	return v
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
