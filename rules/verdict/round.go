package verdict

import "setdown/model/quantity"

// RoundFormat names this version of the walk-round in its JSON form.
const RoundFormat = "setdown-walk/1"

// Round is what is still to be looked at before a move, in walk-round order: only
// questions whose answers can change the verdict.
type Round struct {
	Format   string        `json:"format"`
	File     string        `json:"file"`
	Vehicle  string        `json:"vehicle"`
	Move     string        `json:"move"`
	Title    string        `json:"title"`
	Today    quantity.Date `json:"today"`
	Decision Decision      `json:"decision"`
	Stops    int           `json:"stops"` // findings that block because something is wrong
	Facts    int           `json:"facts"` // facts not recorded that block
	// First are those of them that the loads wait for. Until they are written nobody knows
	// what carries, so that of the others not all may be asked.
	First []Missing `json:"first,omitempty"`
	// Units are the measures in which it asks.
	Units    quantity.System `json:"units,omitempty"`
	Cautions int             `json:"cautions"` // as the sheet of the move counts them
	Until    *Until          `json:"until,omitempty"`
	Screens  []Screen        `json:"screens"`
	// Second are what a second pair of eyes is asked that has not seen the first one's
	// answers: what is critical and one person has seen. It changes no verdict.
	Second []Screen `json:"second,omitempty"`
	// Written lists what no look answers: it is written into the build file, or built.
	Written []Missing `json:"written,omitempty"`
}

// Questions counts the questions of all screens: those that are asked whatever the loads
// are, and those that may be asked.
func (r *Round) Questions() (sure, may int) {
	for _, s := range r.Screens {
		if s.May {
			may += len(s.Questions)
		} else {
			sure += len(s.Questions)
		}
	}
	return sure, may
}

// Screen is what hands and eyes do where somebody stands: at a corner, or at one spot of
// what is as long as the vehicle.
type Screen struct {
	Place     string     `json:"place"` // empty for what belongs to no place
	Spot      string     `json:"spot"`  // such as "frame node" or "supports"; empty for a corner
	Questions []Question `json:"questions"`
	// May: nobody knows yet whether what is asked after carries.
	May bool `json:"may,omitempty"`
}

// Question is one thing to be answered of one or more alike items: their card where
// Fact is empty, else one fact.
type Question struct {
	Kind string  `json:"kind"` // such as "fasteners"
	Item string  `json:"what"` // such as "fastener"
	Of   []Asked `json:"of"`
	Card int     `json:"card,omitempty"` // version of the card; 0 for a question after one fact
	// Lines are what 'good' says of every item. A fault is said of one line of one item.
	Lines []Line `json:"lines"`
	// Open lists facts of the card that are asked by themselves: 'good' says nothing of them.
	Open []string `json:"open,omitempty"`
	// Kept are lines of the card that stand from an earlier look, to how a thing was made:
	// 'good' says nothing of them, and a fault may be said of them all the same.
	Kept []Line `json:"kept,omitempty"`
	Fact string `json:"fact,omitempty"`
	// Around: it is of the vehicle as a whole, the place it stands in or the people.
	Around bool `json:"around,omitempty"`
	// Each: it is critical, and said of every item by itself.
	Each bool `json:"each,omitempty"`
	// First is who has answered it already; it is asked of others alone, and blind.
	First string `json:"first,omitempty"`
	// Was lists what was found wrong and stands. Such an item is asked alone.
	Was []HistoryFact `json:"was,omitempty"`
}

// Line is what a question says of a fact; nil where it says nothing.
func (q *Question) Line(fact string) *Line {
	for _, lines := range [][]Line{q.Lines, q.Kept} {
		for i := range lines {
			if lines[i].Fact == fact {
				return &lines[i]
			}
		}
	}
	return nil
}

// Asked is one item that is asked after.
type Asked struct {
	ID      string `json:"id"`              // of one member of a group as 'bolts{3}'
	Members int    `json:"members"`         // of a group; 1 for a single thing
	Print   string `json:"print,omitempty"` // fingerprint of the design that is looked at
}

// Line is one fact as it is asked.
type Line struct {
	Fact  string   `json:"fact"`
	Ask   string   `json:"ask"`
	Good  string   `json:"good,omitempty"`  // the good answer in words; empty where there is none
	Words []string `json:"words,omitempty"` // the answers to choose from; none for a number, measure or text
	Bad   []string `json:"bad,omitempty"`   // those of them that are faults
	// Of names the items that have the fact; empty where all of the question have it.
	Of []string `json:"of,omitempty"`
	// Still is the word that stands from an earlier look, where several are good: 'good' says
	// it again.
	Still string `json:"still,omitempty"`
	Pair  bool   `json:"pair,omitempty"` // a value for each of two ends
	Text  bool   `json:"text,omitempty"` // free words
	// MayNotApply: the file does not say whether things of this make have the fact.
	MayNotApply bool   `json:"may_not_apply,omitempty"`
	Unit        string `json:"unit,omitempty"`  // of a measure: that of a bare number
	Drawn       string `json:"drawn,omitempty"` // the value that the file asks for, as it is written
	Own         string `json:"own,omitempty"`   // the same in the measures of the builder, where the file has others
}
