// Package schema says what a build file may hold: the kinds of item, their
// fields, and what each field means. It is the one table from which the strict
// reader, the typed facts of the rules, the JSON Schema and the listings are
// made, so a new recordable fact is one line in kinds.go.
//
// The package holds descriptions and the typed records that follow them. It
// reads no files and judges nothing.
package schema

import (
	"slices"

	"setdown/model/quantity"
)

// NotKnown are the words for a value that nobody knows: the same as leaving it out.
var NotKnown = []string{"?", "not sure"}

// Type is the shape of one field's value.
type Type uint8

// The types of a field. Beside each stands the Go type of a known value.
const (
	Bool     Type = iota // bool, written yes or no
	Count                // int64, a whole number that is not negative
	Text                 // string
	Enum                 // string, one of Field.Enum
	Quantity             // quantity.Quantity in dimension Field.Dim
	Thread               // quantity.Thread
	Date                 // quantity.Date
	Point                // Vec, a place on the vehicle, with its ±
	Vector               // Vec, a direction without unit
	Ref                  // string, the id of an item of one of the kinds Field.Refs
	List                 // []Value, each as Field.Elem says
	Object               // *Record, as Field.Fields says
	Map                  // *Record whose field names the file chooses, each as Field.Elem says
)

// Vec is a point in metres or a direction without unit, in the frame of
// ISO 8855: x forward, y left, z up. Tol is the half-width of the uncertainty
// along each axis, zero where none was written.
type Vec struct {
	X, Y, Z float64
	Tol     [3]float64
}

// Mirrored is the vector with the sign of one coordinate, x, y or z, changed. A direction is treated
// like a difference of two points, which is right for an axis and for a weld line.
func (v Vec) Mirrored(across string) Vec {
	switch across {
	case "x":
		v.X = 0 - v.X
	case "y":
		v.Y = 0 - v.Y
	case "z":
		v.Z = 0 - v.Z
	}
	return v
}

// Field describes one field of an item or of a block inside an item.
type Field struct {
	Name   string
	Type   Type
	Dim    quantity.Dimension // for Quantity: what the text must measure
	Enum   []string           // for Enum: the words allowed, in a sensible order
	Sorts  map[Sort][]string  // for Enum: the words that judgement takes together
	Refs   []string           // for Ref: the kinds that may be named
	Elem   *Field             // for List and Map: what each element is
	Fields []Field            // for Object: the fields of the block
	Need   bool               // the item has no meaning without it: its absence is an error, not 'not recorded'
	Size   int                // for List and Map: exactly so many elements; 0 is any number
	// Default is the value of a field that shapes an item rather than states a
	// fact about it (one bolt unless the file says four). It is nil for every
	// fact: what nobody recorded stays unrecorded.
	Default any
	// Shorthand names the one-line form in which a block may also be written;
	// "plate" reads '4 mm S355 plate'.
	Shorthand string
	// Signed allows a quantity below zero; most things in a shop have none.
	Signed bool
	// Derived marks a fact that is computed and never stands in the file.
	Derived bool
	Doc     string

	// What follows is the rest of the table's columns.

	// Question is what a person is asked for it, at most 60 characters; Short
	// is the question where the words to choose from stand beside it.
	Question, Short string
	Also            string   // another spelling of the key
	Second          bool     // read in format setdown/2 only
	Own             bool     // where a thing is and what it belongs to: not taken over by 'like'
	Bounds          *Bounds  // for Quantity and Count: what it can be on such a vehicle; nil where it is no size
	Band            bool     // for Quantity: it may be written with a ±, for both ends of it are reckoned with
	Identity        bool     // for the design: it says what the thing is, so looks at another one do not count
	Vouched         *Vouched // for such design: what has to have been seen of it; nil where nothing has
	Unsaid          string   // for such design: the value that silence stands for; empty where silence says nothing
	Weighs          bool     // for the design: it says how heavy something is or where its weight acts
	Share           bool     // what it weighs is a share of what is weighed elsewhere, such as what hangs on one strap

	// The columns of what was found. Good is the good answer, as a condition on
	// the item, or NoGood says why there is none; OnlyFor names by their design
	// the items that have the fact at all, and Lasts those that cannot lose it.
	Good, OnlyFor Condition
	NoGood        string
	NotWhile      []string // the kinds of move in which it is not asked, for it has to be undone to make them
	Life          Life
	Lasts         Condition // things of such a design have it for as long as they are made so: their Life is Made
	Round         bool      // a line of the card that every round asks, at most five a kind
	Critical      bool      // never taken from a look that says 'good': named in the look, member by member
	Event         string    // why silence about it may pass: the fault is written down when it is seen; empty for all else
	Remakes       []string  // what was seen on the earlier make and ends with it; empty but not nil is all of it
	Witness       []string  // what was seen before it was found wrong and is not known since
	Undoes        []string  // what was seen before a fault of it was mended and ends with that; empty but not nil is all of it
	Last          bool      // asked after whatever else a finding misses, for mostly that makes it needless
	ToldBy        string    // the field whose good answer says this one as well, so that it is not read out beside it
	Reopens       bool      // mending it opens the joint: for all that holds it an event
	ComesOff      bool      // found so not to be, the thing was taken off: for all that fastens it an event
	Parts         bool      // found bad, it keeps no parts together, however tight the rest is
	Says          *Said     // what a good answer to this states as well
	OfWeights     bool      // it says that what the file weighs is right: another weight ends it
	Since         int       // the version of the card from which on it is a line; 0 is the first
}

// Kind describes one top-level map of the build file (Name, such as
// "stud_nuts") and what one entry of it is called (Item, "ball joint").
// A kind with Single set is one block, not a map from id to item; one with
// Listed set is a list of blocks that have no ids.
type Kind struct {
	Name   string
	Also   string // another spelling of the heading
	Item   string
	Single bool
	Listed bool
	Doc    string
	Fields []Field
}

// Pieces are what is counted at the vehicle, each with the kind of item that the file lists
// it as.
var Pieces = []struct{ Name, Kind string }{
	{"bolts", "fasteners"}, {"stud nuts", "stud_nuts"}, {"spacers", "spacers"}, {"welds", "welds"}, {"links", "links"}, {"wheel nuts", "wheels"},
}

// Field returns the description of the field with that name, or nil.
func (k *Kind) Field(name string) *Field { return find(k.Fields, name) }

// Found is the block of an item that holds what was seen on the vehicle. No mirror and no like
// copies it: what was seen on one thing says nothing about another.
const Found = "found"

// Found returns the description of that block, or nil for a kind of which nothing is seen.
func (k *Kind) Found() *Field { return k.Field(Found) }

// Daily reports whether a look at one of the kind counts for the day of a move alone: how
// a thing is set, or who stands where, is none of it tomorrow what it is today.
func (k *Kind) Daily() bool {
	found := k.Found()
	return found != nil && slices.ContainsFunc(found.Fields, func(f Field) bool { return f.Life == Setting || f.Life == Moment })
}

// Settles reports whether a fact of one of the kind is of how it is set, or of the vehicle of what
// the file weighs: another setting or another weight ends it.
func (k *Kind) Settles(f *Field) bool {
	return f.OfWeights || (f.Life == Setting || f.Life == Moment) && !k.Single
}

// Identified reports whether anything that is written down of a thing of the kind says what it is.
func (k *Kind) Identified() bool { return identified(k.Fields) }

func identified(fields []Field) bool {
	return slices.ContainsFunc(fields, func(f Field) bool {
		return f.Identity || f.Type == Object && f.Name != Found && identified(f.Fields)
	})
}

// Measured reports whether it is found by gauge or reading, such that one value may be bad in a way
// that a worse one is not, as a torque too high and one too low; how many of a group there are is none.
func (f *Field) Measured() bool {
	return f.Type != Bool && (f.Type != Enum || len(f.Good) == 0) && f.Life != OfLook && f.Name != "count"
}

// Is reports whether a word is one of those that judgement takes together as a sort.
func (f *Field) Is(word string, sort Sort) bool { return slices.Contains(f.Sorts[sort], word) }

// Field returns the description of the field inside the block f, or nil.
func (f *Field) Field(name string) *Field { return find(f.Fields, name) }

// Field returns the description of the field of this record, or nil. The record
// of a Map has none.
func (r *Record) Field(name string) *Field { return find(r.Fields, name) }

// Spelled is like Field and also takes another spelling of the key.
func (r *Record) Spelled(name string) *Field {
	if f := r.Field(name); f != nil {
		return f
	}
	i := slices.IndexFunc(r.Fields, func(f Field) bool { return f.Also != "" && f.Also == name })
	if i < 0 {
		return nil
	}
	return &r.Fields[i]
}

func find(fields []Field, name string) *Field {
	for i := range fields {
		if fields[i].Name == name {
			return &fields[i]
		}
	}
	return nil
}

// Names lists the names of fields, in the order of the table.
func Names(fields []Field) []string {
	names := make([]string, len(fields))
	for i, f := range fields {
		names[i] = f.Name
	}
	return names
}

// Kinds returns the kinds of the build file in the order in which a person
// writes them. The table is shared: callers do not change it.
func Kinds() []*Kind { return kinds }

// KindOf returns the kind with that name or other spelling, or nil.
func KindOf(name string) *Kind {
	i := slices.IndexFunc(kinds, func(k *Kind) bool { return k.Name == name || k.Also != "" && k.Also == name })
	if i < 0 {
		return nil
	}
	return kinds[i]
}
