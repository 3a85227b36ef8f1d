// Package verdict is the result of a check: the one document that every report
// is written from.
//
// It holds findings, loads, strengths and the outline of the vehicle, already
// decided, counted and sorted. Writers only format it. The package judges one
// thing itself, in one place: a move is GO when nothing holds it, and a report's
// exit code follows from its moves.
package verdict

import (
	"setdown/model/quantity"
	"setdown/model/source"
)

// Format names this version of the document in its JSON form. It changes when
// a field changes its meaning or goes away; new fields do not change it.
const Format = "setdown-report/1"

// Decision is the answer for a move, a step or a whole report.
type Decision string

// The two decisions. There is no third: what is not shown to be fit is NO-GO.
const (
	Go   Decision = "GO"
	NoGo Decision = "NO-GO"
)

// Outcome is how one rule came out for one item.
type Outcome string

// The outcomes of a rule, gravest first. Stop, Error and NotRecorded block;
// a NotRecorded fact blocks only where the rule is a stop rule (Finding.Blocks).
const (
	Stop        Outcome = "stop"
	Error       Outcome = "error"        // the rule failed or went past its limit
	NotRecorded Outcome = "not recorded" // the rule needs facts that nobody wrote down
	Waived      Outcome = "waived"       // a stop that somebody answers for
	Caution     Outcome = "caution"
	Note        Outcome = "note"
	Pass        Outcome = "pass"
)

// Report is the verdict on one build file.
type Report struct {
	Format  string        `json:"format"`
	Version string        `json:"version"` // of the program
	File    string        `json:"file"`    // as the user named it
	Vehicle string        `json:"vehicle"`
	Today   quantity.Date `json:"today"`
	// Units are the measures in which figures are shown to people. The figures of this
	// document are metric whatever they are.
	Units quantity.System `json:"units,omitempty"`
	// Checklist is set where the file lists things without masses and measures, so that
	// no loads, balance or strength are computed.
	Checklist bool     `json:"checklist,omitempty"`
	State     string   `json:"state"`             // hash of the resolved build state; empty where it is neither written nor signed
	Rules     string   `json:"rules"`             // hash of the rules and policy in force
	Assumed   []string `json:"assumed,omitempty"` // what-if overrides; a report with any is never signed
	RuleSet   RuleSet  `json:"rule_set"`
	Policy    []Policy `json:"policy"`
	Decision  Decision `json:"decision"` // GO only when every move is GO
	Moves     []Move   `json:"moves"`
	Punch     Punch    `json:"punch"`            // the work left before all moves can go
	Tacks     []Tack   `json:"tacks"`            // every weld that is not made full, in walk-round order
	Orders    []Order  `json:"orders,omitempty"` // what is still to come, in the order of the file
	Taken     []Taken  `json:"taken,omitempty"`  // what is taken as so, though no line of the file says it
	Cautions  []string `json:"cautions"`
}

// RuleSet says which rules were in force.
type RuleSet struct {
	Count    int      `json:"count"`
	Packs    []string `json:"packs"`              // names, built-in first
	Added    []string `json:"added,omitempty"`    // ids from the builder's own packs
	Disabled []string `json:"disabled,omitempty"` // ids switched off, each with who and why
}

// Policy is one figure that is a choice, as used.
type Policy struct {
	Name    string `json:"name"`
	Value   string `json:"value"`
	Doc     string `json:"doc"`
	Changed bool   `json:"changed,omitempty"` // set by the builder's own pack
}

// Move is the verdict on one move.
type Move struct {
	ID       string      `json:"id"`
	Kind     string      `json:"kind"` // lower, lift, rest or roll
	Title    string      `json:"title"`
	Span     source.Span `json:"span"`
	Decision Decision    `json:"decision"`
	Steps    []Step      `json:"steps"`
	Findings []Finding   `json:"findings"` // gravest first, then walk-round order
	Passed   []Passed    `json:"passed"`   // by rule
	Tightest []Strength  `json:"tightest"` // the highest utilisations of the move, highest first
	// Heavier is how much heavier the whole vehicle may get, as a share of its
	// mass, before the most loaded item reaches its strength with the design
	// factor; nil when no strength was computed.
	Heavier *Heavier `json:"heavier,omitempty"`
	SignOff *SignOff `json:"sign_off,omitempty"`
	// Unsolved is set where the loads of a step could not be computed: the vehicle
	// does not stay as it is in it, or a fact that they need is missing. What the
	// loads would hold up is then not known.
	Unsolved bool  `json:"unsolved,omitempty"`
	Punch    Punch `json:"punch"` // the work left before this move can go
	// First is what its loads wait for: before it is recorded nobody knows what carries, and so
	// what else there is to ask.
	First []Missing `json:"first,omitempty"`
	// Done is the move once its work list is done as it says, under the same conditions as
	// Another; nil where a line does not say what the file holds then.
	Done *Way `json:"done,omitempty"`
	// Another is the way with less left to do, where the move was checked alone, is NO-GO
	// and one was found.
	Another *Way `json:"another,omitempty"`
	// Until says of a GO how long it stays one; nil where nothing in the file ends it.
	Until *Until `json:"until,omitempty"`
	// Awaits are the orders that a NO-GO waits for.
	Awaits []Awaited `json:"awaits,omitempty"`
}

// Heavier says how much the vehicle may gain before the verdict turns.
type Heavier struct {
	Share float64 `json:"share"` // 0.25: a quarter heavier; negative when already past
	Mass  Figure  `json:"mass"`
	Item  string  `json:"item"` // the item that gives first
}

// Stops counts the findings that block the move.
func (m *Move) Stops() int {
	n := 0
	for i := range m.Findings {
		if m.Findings[i].Blocks() {
			n++
		}
	}
	return n
}

// Stopping returns the findings that block the move because something is wrong, or
// because a rule failed.
func (m *Move) Stopping() []Finding {
	return m.blocking(func(o Outcome) bool { return o != NotRecorded })
}

// Unrecorded returns the findings that block the move because facts are not
// recorded.
func (m *Move) Unrecorded() []Finding {
	return m.blocking(func(o Outcome) bool { return o == NotRecorded })
}

// Blocking returns all findings that block the move.
func (m *Move) Blocking() []Finding { return m.blocking(func(Outcome) bool { return true }) }

func (m *Move) blocking(wanted func(Outcome) bool) []Finding {
	var some []Finding
	for _, f := range m.Findings {
		if f.Blocks() && wanted(f.Outcome) {
			some = append(some, f)
		}
	}
	return some
}

// FactsMissing counts the facts that block the move because nobody recorded them.
// A fact that several rules need is one; a finding that names none counts as one.
func (m *Move) FactsMissing() int {
	seen := map[Missing]bool{}
	for _, f := range m.Unrecorded() {
		if len(f.Missing) == 0 {
			seen[Missing{Reason: f.Rule, Fact: f.Item}] = true
		}
		for _, fact := range f.Missing {
			seen[Missing{Path: fact.Path, Reason: fact.Reason, Fact: fact.Fact}] = true
		}
	}
	return len(seen)
}

// Of returns the findings with that outcome, in order.
func (m *Move) Of(o Outcome) []Finding {
	var some []Finding
	for _, f := range m.Findings {
		if f.Outcome == o {
			some = append(some, f)
		}
	}
	return some
}

// Tack is one weld that is not made full.
type Tack struct {
	ID       string         `json:"id"`
	Place    string         `json:"place"`
	Made     string         `json:"made"` // tack, part, none or "not recorded"
	What     string         `json:"what"` // such as '6 tacks × 8 mm'
	WaitsFor string         `json:"waits_for,omitempty"`
	Toe      *ToeLink       `json:"toe,omitempty"` // what its bracket does to the toe, where it is one of a toe link on the frame
	Since    *quantity.Date `json:"since,omitempty"`
	Moves    []TackMove     `json:"moves"`
	Span     source.Span    `json:"span"`
}

// TackMove says what one weld does in one move.
type TackMove struct {
	Move      string  `json:"move"`
	Carries   string  `json:"carries"` // nothing, part, vehicle; "" when not computed
	Load      *Figure `json:"load,omitempty"`
	WouldBear *Figure `json:"would_bear,omitempty"` // by the numbers, for information
	Blocks    bool    `json:"blocks"`
}

// SignOff is a recorded GO and whether it still stands.
type SignOff struct {
	By     string        `json:"by"`
	On     quantity.Date `json:"on"`
	File   string        `json:"file"`
	Stands bool          `json:"stands"`
	Why    []string      `json:"why,omitempty"` // why it does not
}

// Decide sets the decision of every step, move and of the report from the
// findings, and nothing else does. A report without moves is NO-GO: nothing was
// checked.
func (r *Report) Decide() {
	r.Decision = Go
	for i := range r.Moves {
		m := &r.Moves[i]
		m.Decision = Go
		stops := map[string]int{} // by the name of the step
		for k := range m.Findings {
			f := &m.Findings[k]
			if !f.Blocks() {
				continue
			}
			m.Decision = NoGo
			for _, step := range f.Steps {
				stops[step]++
			}
		}
		for j := range m.Steps {
			s := &m.Steps[j]
			s.Stops, s.Decision = stops[s.Name], Go
			if s.Stops > 0 {
				s.Decision = NoGo
			}
		}
		if len(m.Steps) == 0 {
			m.Decision = NoGo
		}
		if m.Decision == NoGo {
			r.Decision = NoGo
		}
	}
	if len(r.Moves) == 0 {
		r.Decision = NoGo
	}
}

// ExitCode is 0 when every move of every report is GO, and 1 otherwise. No
// report at all is not a GO.
func ExitCode(reports ...*Report) int {
	if len(reports) == 0 {
		return 1
	}
	for _, r := range reports {
		if r.Decision != Go {
			return 1
		}
	}
	return 0
}
