// Package looks holds the log of what was seen on the vehicle and what follows
// from it today. A look is one person at one time looking at one or more items;
// the log only grows, so that a fault cannot be written over, and Fold says which
// facts stand.
//
// The rules, from the design: for each fact the newest look counts, unless the
// thing was made anew, disturbed or replaced since. A fault ends only by a later
// look at that one item, or that one member of a group, alone; one that was said of
// all of a group, also by one at that group that names the fact. Where the log does
// not say which of two looks was later, the worse counts and what ends looks ends both.
//
// The package reads no files and judges no move. What is good of a fact is a
// column of model/schema's table.
package looks

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
)

// Moment is when somebody looked: a day, and the time of day where it was
// written. The zero value is a day that nobody wrote down.
type Moment struct {
	Day   quantity.Date
	Clock int // seconds since midnight
	Timed bool
}

// ParseMoment reads '2026-11-24', '2026-11-24 17:05' or '2026-11-24 17:05:10'.
func ParseMoment(text string) (Moment, error) {
	day, clock, timed := strings.Cut(strings.TrimSpace(text), " ")
	var m Moment
	switch strings.ToLower(day) {
	case "today", "now", "yesterday":
		return m, fmt.Errorf("%q is another day tomorrow; write the day, such as 2026-11-24", day)
	}
	d, err := quantity.ParseDate(day)
	if err != nil {
		return m, err
	}
	m.Day = d
	if !timed {
		return m, nil
	}
	const parts = 3 // hours, minutes, seconds
	fields := strings.Split(strings.TrimSpace(clock), ":")
	for i, limit := range [parts]int{24, 60, 60} {
		m.Clock *= 60
		if i >= len(fields) {
			continue
		}
		n, err := strconv.Atoi(fields[i])
		if err != nil || n < 0 || n >= limit || len(fields[i]) != 2 || len(fields) < 2 || len(fields) > parts {
			return Moment{}, fmt.Errorf("%q is no time of day; write it as 17:05 or 17:05:10", clock)
		}
		m.Clock += n
	}
	m.Timed = true
	return m, nil
}

// SamePerson says whether two names are one person's: they differ in nothing but capitals, dots and
// spaces, as RT and r.t. do.
func SamePerson(a, b string) bool { return bareName(a) == bareName(b) }

// bareName is a name without what people leave out when they sign.
func bareName(name string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			return -1
		}
		return unicode.ToLower(r)
	}, name)
}

// String writes the moment as ParseMoment reads it; nothing for the zero value.
func (m Moment) String() string {
	switch {
	case m.Day == quantity.Date{}:
		return ""
	case !m.Timed:
		return m.Day.String()
	}
	return fmt.Sprintf("%s %02d:%02d:%02d", m.Day, m.Clock/3600, m.Clock/60%60, m.Clock%60)
}

// Stamp is who wrote a line, when, and where it stands.
type Stamp struct {
	Moment
	By   string
	Log  string // the file it stands in: lines of one log are in the order in which they were written
	Line int
}

// After says whether a is surely later than b: its day is, or on one day its
// time, or, where that does not say and one person wrote both in one log, its
// line. A day that nobody wrote is later than nothing.
func (a Stamp) After(b Stamp) bool {
	if (a.Day == quantity.Date{}) || (b.Day == quantity.Date{}) {
		return false
	}
	if c := a.Day.Compare(b.Day); c != 0 {
		return c > 0
	}
	if a.Timed && b.Timed && a.Clock != b.Clock {
		return a.Clock > b.Clock
	}
	return a.By != "" && a.By == b.By && a.Log == b.Log && a.Line > b.Line
}

// Answer is what a look says of the whole card.
type Answer uint8

// The answers.
const (
	NotSaid Answer = iota
	Good
	NotGood
)

// Look is one person at one time looking at one or more items.
type Look struct {
	Stamp
	Via, Note string
	Of        []*Target
	Good      Answer
	Card      int             // the version of the card that 'good' was said of; 0 where none is written
	Except    map[string]bool // facts that do not apply or could not be seen: 'good' does not state them
	Blind     bool            // asked without seeing what somebody else answered
	Span      source.Span
	Digest    string
}

// Target is one item that was looked at, or some members of a group.
type Target struct {
	ID      string
	Members []int          // numbers from 1; nil is all of them
	Found   *schema.Record // what was named, as the fields of the kind's found block
	Event   Event
	Print   string // fingerprint of the design that was looked at, as Thing.Print makes it; empty where none is written
	Span    source.Span
}

// Covers says whether that member of a group was looked at.
func (t *Target) Covers(member int) bool { return covers(t.Members, member) }

// Event is what ends looks and needs no clearing.
type Event uint8

// The events.
const (
	NoEvent Event = iota
	Disturbed
	Replaced
	TakenOff // it was found off: no word of the log, but what a look says
)

// Word names what a line other than a look says.
type Word string

// The lines that are no looks.
const (
	Withdraw Word = "withdraw" // somebody takes back a look of their own
	Renamed  Word = "renamed"
	Removed  Word = "removed"
	Struck   Word = "struck" // it is not on the vehicle
	Added    Word = "added"
	Arrived  Word = "arrived"
	Torn     Word = "torn"     // the rest of a line that was not written to its end
	Answered Word = "answered" // somebody says what a torn line said
	Ended    Word = "ended"    // a look whose fingerprint did not fit once
	Signed   Word = "signed"   // a move is made with what it is set on: for another one that is to be looked at again
)

// Note is a line of the log that is no look.
type Note struct {
	Stamp
	Word Word
	Item string // the item it is about, or the text of a torn line
	To   string // the new id of a renamed item, the item that a withdrawn look was meant for, or the move that was signed
	Why  string
	Of   Moment // when the withdrawn look was
	Look string // digest of the withdrawn look; empty for each of that moment
	// Of what arrived: how many, 0 where nobody wrote it, and whether it is what was ordered.
	Count   int64
	Checked Answer
	Span    source.Span
}

// TakesBack says whether it takes back a look at an item: one of who wrote the note, of that
// very moment. What they said again behind the note, in the same second too, stands.
func (n *Note) TakesBack(look *Look, item string) bool {
	return n.Word == Withdraw && n.By == look.By && n.Item == item && n.Of == look.Moment &&
		(n.Look == "" || n.Look == look.Digest) && !(look.Timed && n.Timed && look.After(n.Stamp))
}

// String is the note in one line.
func (n *Note) String() string {
	return strings.Join(strings.Fields(fmt.Sprint(n.Moment, " ", n.By, " ", n.Word, " ", n.Item, " ", n.To, " ", n.Of, " ", n.Look, " ", n.Why)), " ")
}

// Log is all that was written.
type Log struct {
	Looks  []*Look
	Notes  []*Note
	People []string // who may be a second pair of eyes
}

// SameNotes reports whether all that is written beside the looks is the same as in another log.
func (l *Log) SameNotes(other *Log) bool {
	return slices.EqualFunc(l.Notes, other.Notes, func(a, b *Note) bool { return *a == *b })
}

// Digest is the fingerprint of one line, by which a look is found again.
func Digest(line string) string {
	sum := sha256.Sum256([]byte(strings.TrimSpace(line)))
	return hex.EncodeToString(sum[:8])
}

// SplitMember takes a name such as 'rack-bolts{3}' apart; the number is 0 where
// there is none.
func SplitMember(name string) (id string, member int) {
	id, rest, ok := strings.Cut(name, "{")
	if n, err := strconv.Atoi(strings.TrimSuffix(rest, "}")); ok && err == nil && strings.HasSuffix(rest, "}") {
		return id, n
	}
	return name, 0
}
