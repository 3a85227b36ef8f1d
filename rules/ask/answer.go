package ask

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/schema"
	"setdown/rules/verdict"
)

// Answer is what somebody says to a question.
type Answer struct {
	Of   []string `json:"of"`             // the items, or one member of a group as 'bolts{3}'
	Fact string   `json:"fact,omitempty"` // empty for the card
	// Say is Good, NotGood, CannotSee or DoesNotApply, or the value of the fact.
	Say  string `json:"say"`
	Note string `json:"note,omitempty"`

	// Blind: it is a second look, by somebody who has not seen what the first one said.
	Blind bool `json:"blind,omitempty"`

	// Where the question stood before somebody at another time than now, as on a telephone
	// without network: the facts of the card that stood there, and the fingerprints of the
	// designs. 'Good' says no more than what stood there, of no other design, and again no
	// word but the one that was read.
	Seen   []string          `json:"seen,omitempty"`
	Still  map[string]string `json:"still,omitempty"`  // by fact
	Prints map[string]string `json:"prints,omitempty"` // by item
}

// What may be said in place of a value.
const (
	Good         = "good"
	NotGood      = "not good" // of a card, by what no line of it says: the note says it
	CannotSee    = "cannot see"
	DoesNotApply = "does not apply"
)

// Find finds the question of a round that an answer is to. A fault may be said of any
// line of a card.
func Find(r *verdict.Round, a Answer) (*verdict.Question, error) {
	if len(a.Of) == 0 {
		return nil, fmt.Errorf("an answer says of what it is: of: [item]")
	}
	screens := r.Screens
	if a.Blind {
		screens = r.Second
	}
	for i := range screens {
		for j := range screens[i].Questions {
			q := &screens[i].Questions[j]
			if q.Fact != a.Fact && (q.Fact != "" || q.Line(a.Fact) == nil) {
				continue
			}
			if !slices.ContainsFunc(a.Of, func(id string) bool { return !covers(q, id) }) {
				return q, nil
			}
		}
	}
	what := "its card"
	if a.Fact != "" {
		what = a.Fact
	}
	return nil, fmt.Errorf("%s: %s is not asked for this move now", strings.Join(a.Of, ", "), what)
}

func covers(q *verdict.Question, name string) bool {
	id, member := looks.SplitMember(name)
	return slices.ContainsFunc(q.Of, func(of verdict.Asked) bool {
		return of.ID == name || of.ID == id && member <= of.Members
	})
}

// Look writes an answer as one line of the log.
func Look(q *verdict.Question, a Answer, at looks.Moment, by, via string) (string, error) {
	if a.Say == DoesNotApply && (q.Fact == "" || !q.Lines[0].MayNotApply) {
		return "", fmt.Errorf("the file says that it applies; write into it what the thing is, or that it is not on the vehicle")
	}
	var b strings.Builder
	fmt.Fprintf(&b, "- {day: %s, by: %s, via: %s, of: %s", at, strconv.Quote(by), via, quoted(a.Of))
	switch {
	case a.Say == CannotSee || a.Say == DoesNotApply:
		key := "unseen"
		if a.Say == DoesNotApply {
			key = "na"
		}
		facts := []string{a.Fact}
		if a.Fact == "" {
			facts = nil
			for _, l := range q.Lines {
				facts = append(facts, l.Fact)
			}
		}
		fmt.Fprintf(&b, ", %s: %s", key, quoted(facts))
	case a.Fact == "" && a.Say == Good:
		fmt.Fprintf(&b, ", good: yes, card: %d", q.Card)
		b.WriteString(a.prints(q))
		still, unseen := a.cardSays(q)
		if len(still) > 0 {
			fmt.Fprintf(&b, ", found: {%s}", strings.Join(still, ", "))
		}
		if len(unseen) > 0 {
			fmt.Fprintf(&b, ", unseen: %s", quoted(unseen))
		}
	case a.Fact == "" && a.Say == NotGood && a.Note != "":
		b.WriteString(", good: no")
	case a.Fact == "":
		return "", fmt.Errorf("of a card one says good; what is not good is said of one line of it, or in a note")
	default:
		value, err := value(*q.Line(a.Fact), a.Say)
		if err != nil {
			return "", err
		}
		kind := schema.KindOf(q.Kind)
		member := func(name string) bool { _, m := looks.SplitMember(name); return m > 0 }
		if f := kind.Found().Field(a.Fact); kind.Settles(f) || f.Critical || slices.ContainsFunc(a.Of, member) {
			// What is named is true of any design, but a torque or a lock of this one, how it is set of this
			// setting, and a number of this way of counting.
			b.WriteString(a.prints(q))
		}
		fmt.Fprintf(&b, ", found: {%s: %s}", a.Fact, value)
	}
	if a.Blind {
		b.WriteString(", blind: yes")
	}
	if a.Note != "" {
		fmt.Fprintf(&b, ", note: %s", strconv.Quote(a.Note))
	}
	return b.String() + "}", nil
}

// prints are the fingerprints of what was looked at, as the log has them.
func (a Answer) prints(q *verdict.Question) string {
	var prints []string
	printed := map[string]bool{} // of a group some members are asked, and it has one design
	for _, of := range q.Of {
		id, _ := looks.SplitMember(of.ID)
		print := of.Print
		if a.Prints != nil {
			print = a.Prints[id]
		}
		if print != "" && !printed[id] && slices.ContainsFunc(a.Of, func(name string) bool { other, _ := looks.SplitMember(name); return other == id }) {
			printed[id] = true
			prints = append(prints, plain(id)+": "+plain(print))
		}
	}
	if len(prints) == 0 {
		return ""
	}
	return ", fp: {" + strings.Join(prints, ", ") + "}"
}

// cardSays are the words that 'good' says again, as the log has them, and the facts of the
// card that it does not say.
func (a Answer) cardSays(q *verdict.Question) (still, unseen []string) {
	unseen = slices.Clone(q.Open)
	for _, l := range q.Kept {
		unseen = append(unseen, l.Fact)
	}
	for _, l := range q.Lines {
		switch {
		case a.Seen != nil && (!slices.Contains(a.Seen, l.Fact) || a.Still[l.Fact] != l.Still):
			unseen = append(unseen, l.Fact)
		case l.Still != "":
			still = append(still, l.Fact+": "+plain(l.Still))
		}
	}
	return still, unseen
}

// StillOpen lists the faults of which looks say that they are mended, and which stand all the
// same: each was found at one thing by itself, and ends by a look at that one alone.
func StillOpen(b *model.Build, said []*looks.Look) []verdict.HistoryFact {
	var open []verdict.HistoryFact
	for _, look := range said {
		for _, target := range look.Of {
			state := b.Standing[target.ID]
			for m := 1; state != nil && m <= len(state.Members); m++ {
				name := target.ID
				if len(state.Members) > 1 {
					name = looks.Member(name, m)
				}
				for fact, stands := range state.Members[m-1] {
					one := wrong(name, fact, stands)
					isMine := slices.ContainsFunc(said, func(l *looks.Look) bool { return l.Digest == stands.Digest })
					if stands.Fault && !isMine && target.Covers(m) && says(look, target, fact) && !slices.Contains(open, one) {
						open = append(open, one)
					}
				}
			}
		}
	}
	slices.SortFunc(open, func(x, y verdict.HistoryFact) int {
		return cmp.Or(cmp.Compare(x.Item, y.Item), cmp.Compare(x.Fact, y.Fact))
	})
	return open
}

// says reports whether a look is to a fact of a thing, by its name or by the card.
func says(look *looks.Look, target *looks.Target, fact string) bool {
	if target.Found != nil {
		if _, named := target.Found.Lookup(fact); named {
			return true
		}
	}
	return look.Good == looks.Good && !look.Except[fact]
}

// TakeBack writes the line with which somebody takes back a look of their own at one
// item.
func TakeBack(item string, look *looks.Look, at looks.Moment, by, via string) string {
	id, _ := looks.SplitMember(item)
	return fmt.Sprintf("- {withdraw: {day: %s, by: %s, of: %s, look: %q}, day: %s, by: %s, via: %s, why: taken back on the walk-round}", look.Moment, strconv.Quote(by), plain(id), look.Digest, at, strconv.Quote(by), via)
}

// Ended writes the line that says that a look at an item was at another design than the
// one drawn now: it does not count again when the old design comes back.
func Ended(look, item string, at looks.Moment, by string) string {
	return fmt.Sprintf("- {ended: {look: %s, of: %s}, day: %s, by: %s}", look, strconv.Quote(item), at, strconv.Quote(by))
}

// Signed writes the line that says that a move was signed: what it is set on stands otherwise
// once it is made, and is looked at again for another move.
func Signed(move string, of []string, at looks.Moment, by string) string {
	ids := make([]string, len(of))
	for i, id := range of {
		ids[i] = strconv.Quote(id)
	}
	return fmt.Sprintf("- {signed: {move: %s, of: [%s]}, day: %s, by: %s}", strconv.Quote(move), strings.Join(ids, ", "), at, strconv.Quote(by))
}

var bareNumber = regexp.MustCompile(`^[0-9]+([.,/ ][0-9/]+)?$`)

// value writes what was said as the log has it. A bare number takes the unit that stands
// beside the question.
func value(l verdict.Line, say string) (string, error) {
	say = strings.TrimSpace(say)
	if say == "" {
		return "", fmt.Errorf("nothing was said")
	}
	if len(l.Words) > 0 && !l.Pair && !slices.Contains(l.Words, say) {
		return "", fmt.Errorf("%q is no answer to it; there are %s", say, strings.Join(l.Words, ", "))
	}
	if !l.Pair {
		return scalar(l, say)
	}
	ends := strings.Split(say, ",")
	if fields := strings.Fields(say); len(ends) == 1 && len(fields) == 2 && bareNumber.MatchString(fields[1]) {
		ends = fields
	}
	if len(ends) != 2 {
		return "", fmt.Errorf("it has two ends: write both, with a comma between")
	}
	for i, end := range ends {
		var err error
		if ends[i], err = scalar(l, strings.TrimSpace(end)); err != nil {
			return "", err
		}
	}
	return "[" + strings.Join(ends, ", ") + "]", nil
}

// scalar writes one value. What the log would read as not known is refused: it would
// stand there as a look that says nothing.
func scalar(l verdict.Line, say string) (string, error) {
	switch {
	case slices.Contains(schema.NotKnown, say):
		return "", fmt.Errorf("%q answers nothing; say %q", say, CannotSee)
	case l.Unit != "" && bareNumber.MatchString(say):
		say += " " + l.Unit
	}
	return plain(say), nil
}

var bareWord = regexp.MustCompile(`^[\pL][\pL\pN_/ -]*$`)

// noWord is what YAML takes for nothing at all.
var noWord = regexp.MustCompile(`^(?i:null)$`)

// plain writes a scalar, in quotes where YAML might take it for something else.
func plain(text string) string {
	if bareWord.MatchString(text) && !noWord.MatchString(text) && !strings.HasSuffix(text, " ") {
		return text
	}
	return strconv.Quote(text)
}

func quoted(list []string) string {
	words := make([]string, len(list))
	for i, text := range list {
		words[i] = plain(text)
	}
	return "[" + strings.Join(words, ", ") + "]"
}
