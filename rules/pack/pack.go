// Package pack reads rule files: the built-in packs, one rule a file, and the
// files of rules that a builder writes.
//
// It checks the form of a file and gives every part of it its place. Whether an
// expression means anything is the engine's business: expressions and templates
// are kept as text here, with a map from each character back to the file. All
// mistakes of all files are reported at once.
package pack

import "setdown/model/source"

// Pack is a set of rules that belong together, or a builder's own file.
type Pack struct {
	Name    string
	Title   string
	Order   int    // place in lists
	Caution string // printed once in a report that has findings of this pack
	Rules   []*Rule
	Policy  map[string]Setting // figures that are a choice, by name
	Disable []Disable
	Own     bool // a builder's own file
}

// Setting is the text of one policy value, such as "5 %".
type Setting struct {
	Text string
	Span source.Span
}

// Disable switches a rule off.
type Disable struct {
	ID, By, Reason string
	Span           source.Span
}

// Rule is one rule as its file says it.
type Rule struct {
	ID       string
	Pack     string   // name of its pack
	Each     []string // kinds of item it is asked of; none: it is asked once a step
	Var      string   // what the expressions call the item
	In       []string // kinds of move it is asked in; none: all
	When     Expr     // empty: always
	Must     Expr
	Else     string // stop, caution or note
	Waivable bool
	Root     bool // it says whether the vehicle stays as it is: what else is wrong in a step hangs on it
	KnownBad bool // what fails is known to be bad, and only noted because nothing rests on it
	Since    string
	Examples []Example
	Span     source.Span
	Own      bool

	Spans map[string]source.Span // of what stands under each of its keys

	words func() (*Words, source.Errors) // nil: it has none
}

// Words are what a rule has to say where it does not pass.
type Words struct {
	Say, Fix Template
	Why      string
	Basis    []string
	Work     *Work
}

// Words returns what the rule has to say, never nil. LoadRules puts off reading it
// until it is asked for here, and so are the mistakes in it.
func (r *Rule) Words() (*Words, source.Errors) {
	if r.words == nil {
		return &Words{}, nil
	}
	return r.words()
}

// At returns the place of what stands under a key of the rule, or of the rule
// when the key is absent.
func (r *Rule) At(key string) source.Span {
	if s, ok := r.Spans[key]; ok {
		return s
	}
	return r.Span
}

// Work is what is to be done when the rule fails, for the punch list.
type Work struct {
	Phase string
	Do    *Template // nil: the fix text
	Buy   *Template // nil: nothing to buy
	Count *Expr     // how many to buy; nil: one
	// What goes with each piece that is bought, as a line of its own, and its thread and
	// class for whoever sorts the list; nil: nothing.
	With, Thread, Class *Template
	Sets                []Set
	Span                source.Span
}

// Set is one value that the build file holds once the work is done. Its path
// lies below the item, or begins with move, site or vehicle.
type Set struct {
	Path  string
	Value Template
	Span  source.Span
}

// Example shows what the rule says of one state. A fact that it does not give
// is not known.
type Example struct {
	Why     string
	Of      string // kind of item, for rules about several
	Given   *Node  // facts of the item; nil: none
	With    *Node  // facts of the step, move, site, vehicle and policy, and today; nil: none
	Expect  string
	Missing []string // the facts asked for, such as nut.found.torqued; nil: not checked
	Span    source.Span
}

// What a rule says when it fails, and what an example may expect.
var (
	Severities = []string{"stop", "caution", "note"}
	Expected   = []string{"pass", "stop", "caution", "note", NotRecorded, DoesNotApply}
)

// Outcomes that only examples name by word.
const (
	NotRecorded  = "not recorded"
	DoesNotApply = "does not apply"
)
