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

	"setdown/model/schema"
	"setdown/model/source"
)

// Build is the state of one vehicle as its build file records it.
type Build struct {
	File    string         // as the user gave it, with slashes
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
