package verdict

import (
	"setdown/model/quantity"
	"setdown/model/source"
)

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
	// Partial is set where a hub is asked for, at which a smaller pull may do.
	Partial bool `json:"partial,omitempty"`
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
