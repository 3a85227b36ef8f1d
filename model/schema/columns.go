package schema

import (
	"fmt"

	q "setdown/model/quantity"
)

// Life is how long a look at a fact counts.
type Life uint8

// The lives of what was found. A field of the design has none.
const (
	NoLife  Life = iota
	OfLook       // says who looked and when, not what was seen
	Seen         // what handling and time change: counts for the age limit of a finding
	Made         // how the thing was made: counts until it is made anew, disturbed or redrawn, as long as its witness is fresh
	Setting      // how it stands in this setting: ends when the setting changes, at the latest at midnight
	Moment       // holds for this move and this hour
)

// Sort is what several words of a field have in common for those who judge.
type Sort uint8

// The sorts of roles.
const (
	Bracket    Sort = iota // of a weld: it joins a bracket, whatever that holds
	Outboard               // of a weld or bolt: it holds parts that hang on the frame, not the frame itself, its engine or steering box
	OfFrame                // of a weld or bolt: it holds the frame itself together
	Spare                  // of a weld or bolt: without it a part that hangs in straps hangs as it did
	Clamped                // of a bolt: it and its nut stand still in what they hold
	Gripping               // of a bolt: what it holds is kept by its grip alone
	Corner                 // of a part: it is of one corner, and no vehicle is built on it
	Rigid                  // of a part: it hangs on the frame and does not bend, and reaches hardly further than its points
	Suspension             // of a part: it hangs on the frame
	Steering               // of a link: it keeps a wheel from turning
	Across                 // of a link: it goes on to the other side, or keeps wheels from turning or from rolling against each other, and no more
	Locating               // of a link: it keeps a wheel in its place
)

// Bounds are the least and the most that a measure or a count can be on a vehicle that a
// few people build by hand. They are wide, and there to notice a slip of the
// unit, not to judge: what lies outside is refused where it is written. Nothing
// stands behind a figure but common practice.
type Bounds struct{ Least, Most q.Quantity }

// Hold says whether a value, in SI units, lies between them.
func (b *Bounds) Hold(value float64) bool { return value >= b.Least.Value && value <= b.Most.Value }

// Said is a fact that follows from another one's good answer.
type Said struct {
	Field string
	Value any
}

// Vouched says what has to have been seen of a design for it to count: a look at the fact By that
// was taken when it was drawn already, or else Measure.
type Vouched struct{ By, Measure string }

// column fills in what the table says of a field beside its meaning.
type column func(*Field)

func with(f Field, columns []column) Field {
	for _, fill := range columns {
		fill(&f)
	}
	return f
}

// sort names the words that are of a sort.
func sort(s Sort, words ...string) column {
	return func(f *Field) {
		if f.Sorts == nil {
			f.Sorts = map[Sort][]string{}
		}
		f.Sorts[s] = words
	}
}

// ask is the question, at most 60 characters; short the one that is printed
// beside the list of words to choose from.
func ask(question string) column   { return func(f *Field) { f.Question = question } }
func short(question string) column { return func(f *Field) { f.Short = question } }

// good is the good answer: one of the cases holds, each with all of its tests.
// A test without a path is of the field itself.
func good(tests ...Test) column {
	return func(f *Field) { f.Good = append(f.Good, tests) }
}

// noGood says why there is no good answer.
func noGood(why string) column { return func(f *Field) { f.NoGood = why } }

// onlyFor names the items to which the fact belongs, by their own design.
func onlyFor(tests ...Test) column {
	return func(f *Field) { f.OnlyFor = append(f.OnlyFor, tests) }
}

// notWhile names the kinds of move in which nobody asks for it, for it has to be undone to make them: a
// wheel that is chocked does not roll.
func notWhile(moves ...string) column { return func(f *Field) { f.NotWhile = moves } }

// lasting names by their own design the items of which the fact is part of how they are made.
func lasting(tests ...Test) column {
	return func(f *Field) { f.Lasts = append(f.Lasts, tests) }
}

// event marks a fault or a disturbance that is written down when it is seen, so
// that silence about it may pass, and why.
func event(why string) column { return func(f *Field) { f.Event = why } }

// critical marks what is named in the look itself, member by member.
func critical(f *Field) { f.Critical = true }

// round marks what every round at the vehicle asks again, at most five lines a kind.
func round(f *Field) { f.Round = true }

// last marks what is asked after whatever else a finding misses, for mostly that makes it needless:
// nobody asks for plates on a concrete floor.
func last(f *Field) { f.Last = true }

// toldBy names the fact whose question asks this one too, as of a mark that is there and unbroken: on a
// card it is not read out beside that one.
func toldBy(field string) column { return func(f *Field) { f.ToldBy = field } }

// identity marks design that says what the thing is: when it changes, what was
// seen on the old thing does not count for the new one.
func identity(f *Field) { f.Identity = true }

// unsaid is the value, as a fingerprint has it, that silence of such a design stands for: another
// that is written later makes another thing of it.
func unsaid(text string) column { return func(f *Field) { f.Unsaid = text } }

// vouched is of design that a strength counts on: the fact that was found and vouches for it where
// it was drawn by then, and the one that measures it, if any.
func vouched(by, measure string) column {
	return func(f *Field) { f.Vouched = &Vouched{By: by, Measure: measure} }
}

// weighs marks the design that a builder weighs or works out, share what is a share of it and makes
// nothing heavier, and ofWeights what vouches for all of it.
func weighs(f *Field)    { f.Weighs = true }
func share(f *Field)     { f.Weighs, f.Share = true, true }
func ofWeights(f *Field) { f.OfWeights = true }

// remakes names the facts that were seen on the earlier make and end with it;
// without a name it is everything that was seen.
func remakes(fields ...string) column {
	return func(f *Field) { f.Remakes = append([]string{}, fields...) }
}

// witness names the facts that are as they were as long as this one is good: found wrong, it ends
// what was seen of them before.
func witness(fields ...string) column { return func(f *Field) { f.Witness = fields } }

// undoes names the facts that mending the fault ends: it cannot be mended without undoing them.
// Without a name it is everything that was seen.
func undoes(fields ...string) column {
	return func(f *Field) { f.Undoes = append([]string{}, fields...) }
}

// reopens marks what cannot be mended without opening the joint: what the thing holds, and what
// else holds that, is seen again as when the thing is replaced.
func reopens(f *Field) { f.Reopens = true }

// comesOff marks what says whether the thing is on the vehicle: once it was off, what fastens it was
// undone, and is seen again when it is on.
func comesOff(f *Field) { f.ComesOff = true }

// parts marks what keeps no parts together once it is found bad, not even parts that hang in straps.
func parts(f *Field) { f.Parts = true }

// says names the fact that a good answer to this one states as well; where none is good, that anything there is
// to count or measure does.
func says(field string, value any) column { return func(f *Field) { f.Says = &Said{field, value} } }

// own marks where a thing is and what it belongs to, which 'like' never takes
// over; second what came with the second format.
func own(f *Field)    { f.Own = true }
func second(f *Field) { f.Second = true }

// band marks a measure whose ± is reckoned with, and which may have one.
func band(f *Field) { f.Band = true }

// also is another spelling of the key.
func also(name string) column { return func(f *Field) { f.Also = name } }

// of names the kinds that a reference may lead to.
func of(kinds ...string) column {
	return func(f *Field) {
		if f.Elem != nil {
			f = f.Elem
		}
		f.Refs = kinds
	}
}

func seen(f *Field)    { f.Life = Seen }
func made(f *Field)    { f.Life = Made }
func setting(f *Field) { f.Life = Setting }
func moment(f *Field)  { f.Life = Moment }
func ofLook(f *Field)  { f.Life, f.NoGood = OfLook, "it says who looked and when, not what was seen" }

// within are the bounds of a measure or a count, of each element of a list.
func within(least, most string) column {
	return func(f *Field) {
		if f.Elem != nil {
			f = f.Elem
		}
		f.Bounds = &Bounds{Least: measured(least, f.Dim), Most: measured(most, f.Dim)}
	}
}

// measured reads a measure of the table.
func measured(text string, dim q.Dimension) q.Quantity {
	m, err := q.Parse(text, dim)
	if err != nil {
		panic(fmt.Sprintf("schema: %q in the table: %v", text, err))
	}
	return m
}
