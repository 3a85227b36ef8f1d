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
	"maps"
	"slices"
	"strings"

	"setdown/model/schema"
	"setdown/model/source"
)

// Build is the state of one vehicle as its build file records it.
type Build struct {
	File    *source.File
	Vehicle *schema.Record // never nil; empty when the file has none
	Site    *schema.Record // never nil; empty when the file has none
	Places  []string       // walk-round order
	// Items holds the items by the name of their kind, in file order; what
	// mirror entries made follows what is written, entry by entry.
	Items map[string][]*Item
	byID  map[string]*Item
}

// Item is one entry of the build file: a part, a weld, a move.
type Item struct {
	Kind *schema.Kind
	ID   string // for a listed kind, such as waivers, its number from 1
	*schema.Record
	Span source.Span // of the id in the file
	// MirroredFrom is the id of the item whose design this one copies, and
	// empty for an item that stands in the file on its own.
	MirroredFrom string
}

// Path names the item from the top of the file, such as "fasteners.fl-bolt".
func (i *Item) Path() string { return i.Kind.Name + "." + i.ID }

// Item returns the item with that id, or nil.
func (b *Build) Item(id string) *Item { return b.byID[id] }

// Of returns the items of one kind, by the kind's name.
func (b *Build) Of(kind string) []*Item { return b.Items[kind] }

// Joint is a place where two parts pass force: an item of "joints", or one end
// of a link.
type Joint struct {
	Name   string         // "fl-lower-ball" or "fl-strut/top"
	Item   *Item          // the joint, or the link
	End    string         // name of the link's end; empty for a joint
	Record *schema.Record // the fields of the joint, or of the link's end
}

// Joint finds a joint by its id, or one end of a link by "link/end".
func (b *Build) Joint(name string) (Joint, bool) {
	id, end, isEnd := strings.Cut(name, "/")
	item := b.byID[id]
	switch {
	case item == nil:
		return Joint{}, false
	case !isEnd:
		return Joint{Name: name, Item: item, Record: item.Record}, item.Kind.Name == "joints"
	case item.Kind.Name != "links":
		return Joint{}, false
	}
	ends, ok := item.Record.Record("ends")
	if !ok {
		return Joint{}, false
	}
	v, ok := ends.Lookup(end)
	if !ok {
		return Joint{}, false
	}
	return Joint{Name: name, Item: item, End: end, Record: v.V.(*schema.Record)}, true
}

// Joints lists all joints: the items of "joints" in their order, then the ends
// of the links.
func (b *Build) Joints() []Joint {
	var joints []Joint
	for _, item := range b.Of("joints") {
		joints = append(joints, Joint{Name: item.ID, Item: item, Record: item.Record})
	}
	for _, link := range b.Of("links") {
		for _, end := range endNames(link) {
			if j, ok := b.Joint(link.ID + "/" + end); ok {
				joints = append(joints, j)
			}
		}
	}
	return joints
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
		Vehicle: b.Vehicle.Clone(),
		Site:    b.Site.Clone(),
		Places:  slices.Clone(b.Places),
		Items:   make(map[string][]*Item, len(b.Items)),
		byID:    maps.Clone(b.byID),
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
