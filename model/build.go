// Package model reads the build file strictly and holds what it records: every
// item with its fields, and for every value the place where it was written.
//
// Contract: what Read and Load return follows the table of model/schema, every
// reference leads somewhere, and the design of mirrored items is filled in.
// A fact that nobody wrote is absent; it has no default. Whatever is wrong with
// the file is reported in one go as source.Errors, each with its place.
//
// The package judges nothing: whether a recorded state is fit to carry weight,
// or old, or unlikely, is a matter for the rules.
package model

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
)

// Build is the state of one vehicle as its build file records it.
type Build struct {
	File    string         // as the user gave it, with slashes
	Files   []string       // where it was loaded from: the build file, its log, which may not be there yet, and its table
	Source  [32]byte       // a digest of the texts that it was read from, but for the log, and of what was assumed; zero in a copy
	Vehicle *schema.Record // never nil; empty when the file has none
	Site    *schema.Record // never nil; empty when the file has none
	Places  []string       // walk-round order
	// Items holds the items by the name of their kind, in file order; what
	// mirror entries made follows what is written, entry by entry.
	Items map[string][]*Item
	byID  map[string]*Item

	// What the second format says besides.

	People   []string                // who looks at the vehicle
	Axles    []Axle                  // as 'new' wrote them
	Listed   []Listed                // counted at the vehicle
	Measured []Measured              // points of the table that say on which day
	Orders   []*Item                 // of the kind schema.Orders
	Log      *looks.Log              // nil for a file of the first format
	Things   map[string]*looks.Thing // what looks are at, by its id, "vehicle" or "site"
	Standing map[string]*looks.State // who saw what of each item, by its id, "vehicle" or "site"
	Troubles []looks.Trouble         // of the log; each stops every move
}

// Axle is what an axle of the vehicle was laid out as.
type Axle struct {
	Name, Layout string
	Span         source.Span
}

// Measured is when somebody measured a point.
type Measured struct {
	Point string
	Day   quantity.Date
	Span  source.Span
}

// Listed is what somebody counted at one place of the vehicle, in pieces.
type Listed struct {
	Place  string
	Pieces map[string]int64 // by what they are, such as "stud nuts"
	Day    quantity.Date    // zero when nobody wrote it
	By     string
	Span   source.Span
}

// Item is one entry of the build file: a part, a weld, a move.
type Item struct {
	Kind *schema.Kind
	ID   string // for a listed kind, such as waivers, its number from 1
	*schema.Record
	Span source.Span // of the id in the file
	// MirroredFrom is the id of the item whose design this one copies, and
	// empty for an item that stands in the file on its own; Across is the coordinate that
	// changed its sign.
	MirroredFrom, Across string
	// Base is the id of the item that this one is like; empty for one that says all itself.
	Base string
	// HoldsByName: what it holds follows from its id.
	HoldsByName bool
	// MiddleOfJoints: nobody wrote where its centre of gravity is, and the middle
	// of its joints stands in for it.
	MiddleOfJoints bool
	// TiedPlaces are the places of the vehicle that a restraint ties up, where it
	// names no parts.
	TiedPlaces []string
}

// Path names the item from the top of the file, such as "fasteners.fl-bolt".
func (i *Item) Path() string { return i.Kind.Name + "." + i.ID }

// Is reports whether the role that is written of the item is of a sort.
func (i *Item) Is(sort schema.Sort) bool {
	f := i.Kind.Field("role")
	if f == nil {
		return false
	}
	role, _ := i.Text(f.Name)
	return f.Is(role, sort)
}

// Steps are the steps of a move, in order.
func (i *Item) Steps() []*schema.Record {
	list, _ := i.List("steps")
	steps := make([]*schema.Record, len(list))
	for n, v := range list {
		steps[n] = v.V.(*schema.Record)
	}
	return steps
}

// Item returns the item with that id, or nil.
func (b *Build) Item(id string) *Item { return b.byID[id] }

// Of returns the items of one kind, by the kind's name.
func (b *Build) Of(kind string) []*Item { return b.Items[kind] }

// Units are the measures that the builder thinks in: those that the file names, else those of
// its coordinates.
func (b *Build) Units() quantity.System {
	units, named := b.Vehicle.Text("units")
	if coordinates, _ := b.Vehicle.Text("coordinates"); coordinates == "in" && !named {
		return quantity.Inch
	}
	return quantity.System(units)
}

// Known reports whether a name is of one of the people of the file; where it names none, every name is.
func (b *Build) Known(name string) bool {
	return len(b.People) == 0 || slices.ContainsFunc(b.People, func(other string) bool { return looks.SamePerson(other, name) })
}

// Place is the place of an item on the walk round: as written, else the one of several words whose
// initials its id begins with, as fl- is of front-left; "" where there is neither.
func (b *Build) Place(item *Item) string {
	if item.Field("place") != nil {
		if place, written := item.Text("place"); written {
			return place
		}
	}
	prefix, _, _ := strings.Cut(item.ID, "-")
	for _, place := range b.Places {
		initials := ""
		for word := range strings.SplitSeq(place, "-") {
			_, size := utf8.DecodeRuneInString(word)
			initials += word[:size]
		}
		if initials == prefix && strings.Contains(place, "-") {
			return place
		}
	}
	return ""
}

// Where is what the words of a place say of it: front or rear, left or right; "" where they do not.
type Where struct{ End, Side string }

// ofPlace are the words of places that say an end or a side.
var ofPlace = map[string]Where{
	"front": {End: "front"}, "rear": {End: "rear"}, "back": {End: "rear"}, "left": {Side: "left"}, "right": {Side: "right"},
	"fl": {"front", "left"}, "fr": {"front", "right"}, "rl": {"rear", "left"}, "rr": {"rear", "right"},
}

// WhereIs reads the end and the side of a vehicle off the name of a place.
func WhereIs(place string) (w Where) {
	for _, word := range strings.FieldsFunc(strings.ToLower(place), func(r rune) bool { return !unicode.IsLetter(r) }) {
		said := ofPlace[word]
		w.End, w.Side = cmp.Or(said.End, w.End), cmp.Or(said.Side, w.Side)
	}
	return w
}

// WrittenAt is the path at which a fact of the design is written, by the path of the item
// that lacks it: what an item takes over from another is said once, there.
func (b *Build) WrittenAt(path string) string {
	kind, rest, _ := strings.Cut(path, ".")
	item, field := b.ofPath(kind, rest)
	if item == nil || strings.HasPrefix(field, schema.Found) {
		return path
	}
	for range b.byID { // a ring was refused
		from := b.byID[item.MirroredFrom]
		if base := b.byID[item.Base]; from == nil && base != nil && base.takenOver(field) {
			from = base
		}
		if from == nil {
			break
		}
		item = from
	}
	return item.Path() + "." + field
}

// ofPath finds the item that a path leads into, and what of it. Ids may hold dots.
func (b *Build) ofPath(kind, rest string) (*Item, string) {
	for i, r := range rest {
		if item := b.byID[rest[:i]]; r == '.' && item != nil && item.Kind.Name == kind {
			return item, rest[i+1:]
		}
	}
	return nil, ""
}

// takenOver says whether 'like' takes a field of the item over: not what is its own, such as
// where it is.
func (i *Item) takenOver(path string) bool {
	fields := i.Kind.Fields
	for name := range strings.SplitSeq(path, ".") {
		at := slices.IndexFunc(fields, func(f schema.Field) bool { return f.Name == name })
		switch {
		case at >= 0 && fields[at].Own:
			return false
		case at >= 0 && fields[at].Type == schema.Map:
			if ends, ok := i.Record.Record(name); !ok || !slices.ContainsFunc(ends.Names(), func(end string) bool { return strings.HasPrefix(path, name+"."+end+".") }) {
				return false
			}
			fields = fields[at].Elem.Fields
		case at >= 0:
			fields = fields[at].Fields
		}
	}
	return true
}

// clocksDiffer is how far the clocks of two devices may be apart, in s.
const clocksDiffer = 60

// CheckLog refuses a log or a table of points with a line dated after the moment of the check, or
// after its day where it is one of the whole day: nobody has looked or measured in time to come,
// and such a look would outlive all that are still to come.
func (b *Build) CheckLog(now looks.Moment) error {
	if b.Log == nil {
		return nil
	}
	var errs source.Errors
	dated := func(on looks.Moment, path string, span source.Span) {
		switch c := on.Day.Compare(now.Day); {
		case c > 0:
			errs = append(errs, &source.Error{Span: span, Path: path, Message: fmt.Sprintf("this is dated %s, after the day of the check, %s", on.Day, now.Day), Hint: "correct the day, or check with --on the day it is"})
		case c == 0 && on.Timed && now.Timed && on.Clock > now.Clock+clocksDiffer:
			errs = append(errs, &source.Error{Span: span, Path: path, Message: fmt.Sprintf("this is dated %s, and now it is %s", on, now), Hint: "correct the time, or the clock of one of the two"})
		}
	}
	for _, look := range b.Log.Looks {
		dated(look.Moment, "looks", look.Span)
	}
	for _, note := range b.Log.Notes {
		dated(note.Moment, "looks", note.Span)
	}
	for _, m := range b.Measured {
		dated(looks.Moment{Day: m.Day}, m.Point, m.Span)
	}
	if len(errs) == 0 {
		return nil
	}
	return capped(errs.Sorted())
}

// Add puts an item into a build state, for a what-if on a clone of it. The id is one that no
// item has.
func (b *Build) Add(kind *schema.Kind, id string, record *schema.Record) *Item {
	item := &Item{Kind: kind, ID: id, Record: record, Span: record.Span}
	b.Items[kind.Name] = append(b.Items[kind.Name], item)
	b.byID[id] = item
	return item
}

// endNames lists the names of a link's ends in file order.
func endNames(link *Item) []string {
	ends, ok := link.Record.Record("ends")
	if !ok {
		return nil
	}
	return ends.Names()
}

// ids lists the ids of all items, sorted.
func (b *Build) ids() []string { return slices.Sorted(maps.Keys(b.byID)) }

// Clone returns a deep copy, so that a what-if never touches the original.
func (b *Build) Clone() *Build {
	c := &Build{
		File:    b.File,
		Files:   b.Files,
		Vehicle: b.Vehicle.Clone(),
		Site:    b.Site.Clone(),
		Places:  slices.Clone(b.Places),
		Items:   make(map[string][]*Item, len(b.Items)),
		byID:    maps.Clone(b.byID),

		People: b.People, Axles: b.Axles, Listed: b.Listed, Measured: b.Measured, Orders: b.Orders,
		Log: b.Log, Things: b.Things, Standing: b.Standing, Troubles: b.Troubles,
	}
	for kind, items := range b.Items {
		for _, item := range items {
			twin := *item
			twin.Record = item.Record.Clone()
			c.Items[kind] = append(c.Items[kind], &twin)
			if c.byID[item.ID] == item {
				c.byID[item.ID] = &twin
			}
		}
	}
	return c
}

// LookedAgain gives the build as on a later day before a move: what holds for one day
// alone, the floor, the people, what the vehicle stands on, was looked at again then and
// found as it is now. What nobody looked at stays so.
func (b *Build) LookedAgain(day quantity.Date) *Build {
	c := b.Clone()
	c.Standing = maps.Clone(b.Standing)
	again := func(id string, record *schema.Record) {
		if seen, ok := record.Record(schema.Found); ok {
			if on, known := seen.Lookup("on"); known {
				seen.Set("on", schema.Value{V: day, Span: on.Span})
			}
		}
		if state := c.Standing[id]; state != nil {
			anew := *state
			anew.Group = maps.Clone(state.Group)
			for name, fact := range anew.Group {
				fact.Moment = looks.Moment{Day: day}
				anew.Group[name] = fact
			}
			c.Standing[id] = &anew
		}
	}
	again("vehicle", c.Vehicle)
	again("site", c.Site)
	for _, kind := range schema.Kinds() {
		if kind.Daily() {
			for _, item := range c.Of(kind.Name) {
				again(item.ID, item.Record)
			}
		}
	}
	return c
}

// Fitted gives the build as if some of its items were there that day, fitted as drawn and
// found good. What has no good answer by the table stays as it is recorded.
func (b *Build) Fitted(day quantity.Date, by string, ids ...string) *Build {
	c := b.Clone()
	c.Standing = maps.Clone(b.Standing)
	c.Orders = slices.DeleteFunc(slices.Clone(b.Orders), func(order *Item) bool { // what came is what was ordered
		return slices.ContainsFunc(ids, func(id string) bool { return slices.Contains(order.Texts("for"), id) })
	})
	for _, id := range ids {
		thing, item := b.Things[id], c.byID[id]
		if thing == nil || item == nil {
			continue
		}
		delete(c.Standing, id) // nobody has looked at what is to come
		field := thing.Kind.Found()
		found := schema.NewRecord(field.Fields, item.Span)
		if old, ok := item.Record.Record(schema.Found); ok {
			found = old
		}
		for i := range field.Fields {
			f := &field.Fields[i]
			if value, ok := thing.Best(f); ok {
				found.Set(f.Name, schema.Value{V: value, Span: item.Span})
			} else if len(f.Good) > 0 {
				found.Delete(f.Name) // no fault of what was there before
			}
		}
		found.Set("on", schema.Value{V: day, Span: item.Span})
		found.Set("by", schema.Value{V: by, Span: item.Span})
		item.Set(schema.Found, schema.Value{V: found, Span: item.Span})
	}
	return c
}
