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
	State     string   `json:"state"`             // hash of the resolved build state
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

// Solution says how far the loads of a step were computed.
type Solution string

// What may come of the statics of a step. Beside each stands which field of Step says more.
const (
	Solved        Solution = "yes"
	Checklist     Solution = "checklist"      // the file is a list to go through
	Unrecorded    Solution = "not recorded"   // Lacks: what nobody recorded
	NotSolved     Solution = "not computed"   // Reason: why
	NoEquilibrium Solution = "no equilibrium" // Reason: what moves, and how
	// One rigid lump, for its reactions alone: the file lists no joints, or not their places.
	LumpWithoutJoints Solution = "no joints"
	LumpWithoutPlaces Solution = "no places"
)

// Step is one step of a move with what was computed for it.
type Step struct {
	Name      string     `json:"name"`
	Decision  Decision   `json:"decision"`
	Watch     []string   `json:"watch"` // what to look at
	Stops     int        `json:"stops"` // findings that block in this step
	Solved    Solution   `json:"solved"`
	Lacks     []string   `json:"lacks,omitempty"`  // what its loads wait for: paths in the build file
	Reason    string     `json:"reason,omitempty"` // in words
	Mass      *Figure    `json:"mass,omitempty"`
	CG        *Point     `json:"cg,omitempty"` // centre of gravity, nominal, with its ±
	Supports  []Reaction `json:"supports"`
	Cross     *Figure    `json:"cross_weight,omitempty"` // what its springs put on front right and rear left, of the whole
	Stability *Stability `json:"stability,omitempty"`
	Rocking   []Rocking  `json:"rocking,omitempty"` // every set of supports that can carry everything alone
	Loads     []Load     `json:"loads,omitempty"`
	Bends     []Bend     `json:"bends,omitempty"` // the single pieces that are bent
	Strengths []Strength `json:"strengths,omitempty"`
	Outline   *Outline   `json:"outline,omitempty"`
}

// Figure is a computed number in the unit it is shown in.
type Figure struct {
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
}

// String prints the figure as reports show it, such as "1518 N".
func (f Figure) String() string {
	if f.Unit == "" {
		return quantity.Format(f.Value)
	}
	return quantity.Format(f.Value) + " " + f.Unit
}

// Point is a place in millimetres: x forward, y left, z up.
type Point struct {
	X   float64    `json:"x"`
	Y   float64    `json:"y"`
	Z   float64    `json:"z"`
	Tol [3]float64 `json:"tol"` // ± along each axis
}

// Reaction is what one support of a step carries.
type Reaction struct {
	ID      string      `json:"id"`
	Kind    string      `json:"kind"`
	Under   string      `json:"under"`
	At      *Point      `json:"at,omitempty"`
	Height  *Figure     `json:"height,omitempty"` // that it is set to: the floor is so far below At
	Even    *Figure     `json:"even,omitempty"`   // share on an even floor
	Least   *Figure     `json:"least,omitempty"`  // least over rocking cases and ±
	Worst   *Figure     `json:"worst,omitempty"`  // most over rocking cases, pushes and ±
	Rated   *Figure     `json:"rated,omitempty"`  // of this one support
	Sprung  *Figure     `json:"sprung,omitempty"` // what its springs put on a wheel
	Scale   *Figure     `json:"scale,omitempty"`  // what the scale under a wheel read
	Case    string      `json:"case,omitempty"`   // in which it carries most
	LetsGo  string      `json:"lets_go"`          // holds, rocks, falls, "" when not computed
	Goes    string      `json:"goes,omitempty"`
	Outcome Outcome     `json:"outcome"` // gravest finding on it
	Span    source.Span `json:"span"`
}

// Rocking is one way in which the vehicle can stand on at most three supports.
type Rocking struct {
	Supports []string `json:"supports"`
	Carry    []Figure `json:"carry"` // in the order of Supports
}

// Stability says how far the vehicle is from tipping.
type Stability struct {
	Polygon  []Point `json:"polygon"` // corners of the supports in plan, counter-clockwise
	Edges    []Edge  `json:"edges"`
	Margin   Figure  `json:"margin"`          // least distance to an edge, worst over the ±
	TipAngle Figure  `json:"tip_angle"`       // over that edge
	TipPush  Figure  `json:"tip_push"`        // sideways at the height of the centre of gravity
	Pulls    *Pulls  `json:"pulls,omitempty"` // of a person; nil where nobody works on it while it stands so
	Words    string  `json:"words"`           // such as 'three supports: a triangle; nearest edge between stand-fl and stand-rl'; metric; writers print Step.Balance
}

// Pulls are the least pulls by which a person moves the vehicle; each is nil where no pull does.
type Pulls struct {
	Tips   *Pull `json:"tips,omitempty"`   // at sill, hub or on a bar
	Slides *Pull `json:"slides,omitempty"` // across at the sill
	Slews  *Pull `json:"slews,omitempty"`  // round on its supports, across at a hub
}

// Pull is a pull from which on the vehicle moves.
type Pull struct {
	Force Figure  `json:"force"`
	Way   string  `json:"way"` // across, up or down
	At    string  `json:"at"`  // the part that is pulled at
	Bar   *Figure `json:"bar,omitempty"`
}

// Edge is one edge of the supports in plan.
type Edge struct {
	From    string `json:"from"` // supports at its ends
	To      string `json:"to"`
	Nominal Figure `json:"nominal"` // distance of the plumb line of the centre of gravity from it
	Worst   Figure `json:"worst"`   // the same, worst over the ±
}

// Load is what one joint, link or support passes in a step.
type Load struct {
	Item        string  `json:"item"`
	Kind        string  `json:"kind"` // joint, link, support
	Place       string  `json:"place"`
	Nominal     Figure  `json:"nominal"` // straight down, even floor; a link's pull is positive
	Tension     *Figure `json:"tension,omitempty"`
	Compression *Figure `json:"compression,omitempty"`
	Axial       *Figure `json:"axial,omitempty"`
	Radial      *Figure `json:"radial,omitempty"`
	Worst       Figure  `json:"worst"` // resultant, worst over all cases and ±
	Case        string  `json:"case"`  // the case that is worst, in words
	Carries     string  `json:"carries"`
	LetsGo      string  `json:"lets_go"`
	Goes        string  `json:"goes,omitempty"`
}

// Bend is what a part that is one piece, such as an arm or an axle, passes across its line
// where it is bent most, worst over all cases.
type Bend struct {
	Item    string `json:"item"`
	Place   string `json:"place"`
	Moment  Figure `json:"moment"`
	Thrust  Figure `json:"thrust"` // a pull is negative
	Torsion Figure `json:"torsion"`
}

// Strength is one comparison of a load with what bears it, so complete that it
// can be retraced by hand.
type Strength struct {
	Item        string   `json:"item"`
	Kind        string   `json:"kind"`
	Place       string   `json:"place"`
	Check       string   `json:"check"` // what is compared, such as 'bolt in double shear'
	Load        Figure   `json:"load"`
	Factor      float64  `json:"factor"`
	Strength    Figure   `json:"strength"`
	Utilisation float64  `json:"utilisation"` // load × factor ÷ strength
	Method      string   `json:"method"`
	Source      string   `json:"source"`
	Assumptions []string `json:"assumptions,omitempty"`
	Working     []Amount `json:"working,omitempty"`      // intermediate figures in order
	NotComputed string   `json:"not_computed,omitempty"` // why there is no strength; then Utilisation is 0 and means nothing
	Step        string   `json:"step"`
}

// Amount is a named intermediate figure.
type Amount struct {
	Name string `json:"name"`
	Figure
}

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
