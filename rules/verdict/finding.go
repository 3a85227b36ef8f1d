package verdict

import (
	"setdown/model/quantity"
	"setdown/model/source"
)

// Finding is one rule that did not pass for one item, in one or more steps of
// a move.
type Finding struct {
	Rule     string      `json:"rule"`
	Pack     string      `json:"pack"`
	Outcome  Outcome     `json:"outcome"`
	Severity Outcome     `json:"severity"` // what the rule says of a failure: stop, caution or note
	Item     string      `json:"item"`     // id; of the move for a rule about the move
	Kind     string      `json:"kind"`     // kind of the item, such as "welds"
	Place    string      `json:"place"`
	Say      string      `json:"say"`
	Fix      string      `json:"fix"`
	Why      string      `json:"why"`
	Basis    string      `json:"basis"`
	Steps    []string    `json:"steps"` // names of the steps in which it came out so
	Because  []Because   `json:"because,omitempty"`
	Missing  []Missing   `json:"missing,omitempty"`
	Carries  string      `json:"carries,omitempty"`
	LetsGo   string      `json:"lets_go,omitempty"`
	Goes     string      `json:"goes,omitempty"`
	Load     *Strength   `json:"load,omitempty"` // tightest comparison for the item, also where the rule is not about strength
	Waiver   *Waiver     `json:"waiver,omitempty"`
	Waivable bool        `json:"waivable"`
	RootRule bool        `json:"root_rule,omitempty"` // its rule says whether the vehicle stays as it is
	KnownBad bool        `json:"known_bad,omitempty"` // what it is on is bad, and only noted because nothing rests on it
	Work     *Work       `json:"work,omitempty"`      // what is to be done, for the punch list
	At       []Point     `json:"at,omitempty"`        // where the item is on the vehicle
	Span     source.Span `json:"span"`                // of the item in the build file
	RuleSpan source.Span `json:"rule_span"`
	// Blocking is set where the finding keeps the move from going: a stop, a
	// failed rule, or facts not recorded that a stop rule needs.
	Blocking bool `json:"blocking"`
}

// Blocks reports whether the finding keeps the move from going.
func (f *Finding) Blocks() bool { return f.Blocking }

// Root reports whether the finding is the reason that a step has no loads: the
// vehicle does not stand, or something of it moves. Whatever the loads would hold
// up is not known before it is cured.
func (f *Finding) Root() bool { return f.RootRule && f.Blocks() && f.Outcome == Stop }

// Because is one part of a rule that came out false: a fact that should be yes or
// no, or a comparison that does not hold.
type Because struct {
	Expr   string      `json:"expr"` // as the rule says it
	Left   Term        `json:"left"`
	Op     string      `json:"op,omitempty"`   // what is asked of Left, such as >= or in; '!': that it is no; empty: that it is yes
	Right  Term        `json:"right,omitzero"` // what it is compared with
	Values []Value     `json:"values"`         // of its operands, in the order they appear, under the names that Expr has for them
	Span   source.Span `json:"span"`
}

// Term is one side of a condition: a fact, a value that the rule writes out, or
// what an operator or a function makes of terms.
type Term struct {
	Value string `json:"value,omitempty"` // as people write it
	Fact  string `json:"fact,omitempty"`  // the path that names it, such as bolt.found.torqued
	Op    string `json:"op,omitempty"`    // what makes it of Of, such as * or max; List for a list of them
	Of    []Term `json:"of,omitempty"`
}

// List is the Op of a term that lists others.
const List = "list"

// Facts lists the facts in the term, each with its value.
func (t *Term) Facts() []*Term {
	if t.Fact != "" {
		return []*Term{t}
	}
	var list []*Term
	for i := range t.Of {
		list = append(list, t.Of[i].Facts()...)
	}
	return list
}

// Value is a named value in an explanation.
type Value struct {
	Name  string `json:"name"`
	Value string `json:"value"`
}

// Missing is one fact that a rule needs.
type Missing struct {
	Path   string `json:"path"`             // in the build file; empty when Reason says it all
	Place  string `json:"place,omitempty"`  // of the item that has it, where that is not the item of the finding
	Doc    string `json:"doc"`              // what the fact is, in words
	Ask    string `json:"ask,omitempty"`    // the question after it, where it is answered by yes or no: in words it would read as found
	Reason string `json:"reason,omitempty"` // why it was not computed
	Fact   string `json:"fact,omitempty"`   // the fact that was not computed, by its path
	Words  string `json:"words,omitempty"`  // that may be written there, where only some may: 'one line, two lines or circle'
	Falls  bool   `json:"falls,omitempty"`  // it was not computed because the vehicle does not stay as it is in the step
}

// Waiver is a stop that somebody answers for.
type Waiver struct {
	Counts  bool          `json:"counts"`            // false: it lets nothing pass
	Refused string        `json:"refused,omitempty"` // why it does not count
	By      string        `json:"by"`
	Reason  string        `json:"reason"`
	Until   quantity.Date `json:"until"`
	Span    source.Span   `json:"span"`
}

// Work is one line of the punch list.
type Work struct {
	Phase    string `json:"phase"` // one of Phases
	Do       string `json:"do"`
	Part     string `json:"part,omitempty"` // what to buy or make, with its size
	Quantity int    `json:"quantity,omitempty"`
	With     string `json:"with,omitempty"`   // what goes with each piece of it
	Thread   string `json:"thread,omitempty"` // of the part, where it has one
	Class    string `json:"class,omitempty"`
	// Set lists what the build file says once the line is done, where the line
	// alone decides it: path and value.
	Set []Value `json:"set,omitempty"`
}

// Phases of the punch list, in working order.
var Phases = []string{"buy", "support", "tie up", "fit", "weld", "inspect", "torque", "lock", "mark", "measure", "record", "people", "other"}

// Passed names the items for which a rule passed.
type Passed struct {
	Rule  string   `json:"rule"`
	Items []string `json:"items"`
}
