package verdict

import "setdown/model/quantity"

// HeightFormat names this version of the height document in its JSON form.
const HeightFormat = "setdown-height/1"

// Height is how a vehicle stands on its wheels by the lengths of its links as they
// were found, against the drawing, and what brings it where it is wanted. Lengths
// are in mm, angles in degrees; a height counts up from where the frame is drawn.
type Height struct {
	Format  string   `json:"format"`
	File    string   `json:"file"`
	Vehicle string   `json:"vehicle"`
	Assumed []string `json:"assumed,omitempty"`
	// Units are the measures of texts; the figures here are metric.
	Units quantity.System `json:"-"`
	// Sprung is true where a strut is a spring: it then stands as its springs carry it, on
	// wheels that are free to creep sideways, and every wheel is on the floor.
	Sprung bool          `json:"sprung,omitempty"`
	Wheels []WheelHeight `json:"wheels"`
	// Cross is the share of the weight on front right and rear left together, of four wheels on
	// springs, and WantedCross what it is to be.
	Cross       *float64 `json:"cross_weight,omitempty"`
	WantedCross *float64 `json:"wanted_cross_weight,omitempty"`
	// NoSeats is why no seats of the springs give what is wanted.
	NoSeats string `json:"no_seats,omitempty"`
	// Twist is how far one wheel would be off a flat floor with the others on it;
	// nil where a wheel's place is not known.
	Twist *float64 `json:"twist_mm,omitempty"`
	// WantedTwist is the same of the heights that are wanted: on a flat floor they
	// are reached only when it is nought.
	WantedTwist *float64    `json:"wanted_twist_mm,omitempty"`
	Lowest      []Clearance `json:"lowest,omitempty"` // what hangs lowest, lowest first
}

// WheelHeight is one wheel and the frame above it.
type WheelHeight struct {
	Place   string         `json:"place"`
	Wheel   string         `json:"wheel"`
	Trouble *TravelTrouble `json:"trouble,omitempty"`
	Strut   string         `json:"strut,omitempty"`
	Drawn   float64        `json:"strut_drawn_mm"`
	Found   float64        `json:"strut_found_mm"`
	// Unmeasured are links whose found length nobody wrote: they count as drawn.
	Unmeasured []string `json:"unmeasured,omitempty"`

	Up     float64 `json:"wheel_up_mm"` // of the wheel in the frame, against the drawing
	Toe    float64 `json:"toe_deg"`
	Camber float64 `json:"camber_deg"`
	// Height is that of the frame over this wheel against the drawing, on a flat
	// floor; nil where not every wheel is known.
	Height *float64 `json:"height_mm,omitempty"`
	// Load is what it carries, kg, and Scale what the scale under it read; nil without springs
	// or without a scale.
	Load   *float64    `json:"load_kg,omitempty"`
	Scale  *float64    `json:"scale_kg,omitempty"`
	Want   float64     `json:"want_mm"`
	Adjust *Adjustment `json:"adjust,omitempty"`
}

// AdjustKind is a way of setting a link's length.
type AdjustKind string

// The ways of setting a length.
const (
	TurnInPlace AdjustKind = "in place"     // a right- and a left-hand thread: turned with both ends bolted
	OneEndOff   AdjustKind = "one end off"  // threads of one hand: an end comes off and is turned
	ByNuts      AdjustKind = "by nuts"      // studding set by its nuts
	ByCollar    AdjustKind = "by collar"    // the collar of a spring: Length is then what its seats take
	NoThread    AdjustKind = "not recorded" // how it is set is not recorded
)

// Adjustment is what brings a wheel where it is wanted.
type Adjustment struct {
	Link    string     `json:"link"`
	Kind    AdjustKind `json:"kind"`
	Fields  []string   `json:"fields,omitempty"` // what is not recorded of how it is set
	Length  float64    `json:"length_mm"`        // that it is to have
	Longer  float64    `json:"longer_mm"`        // than it was found
	PerTurn float64    `json:"mm_per_turn,omitempty"`
	Turns   *float64   `json:"turns,omitempty"` // positive makes it longer
	// UpLonger is what the next turn longer, UpShorter what the next shorter, does to the
	// wheel: it is not the same.
	UpLonger  *float64 `json:"wheel_up_next_turn_longer_mm,omitempty"`
	UpShorter *float64 `json:"wheel_up_next_turn_shorter_mm,omitempty"`
	// OutLeft is how many turns longer leave the engagement that its maker asks for
	// at both ends, after these turns.
	OutLeft *float64 `json:"turns_out_left,omitempty"`
	Short   bool     `json:"short_of_engagement,omitempty"`
	// OnStop: a spring whose damper is at its closed length. Its collar moves nothing until it is
	// off its stop, so that no turns are given.
	OnStop bool `json:"on_stop,omitempty"`
	// FrameUp is what the next turn of a collar does to the frame over the wheel, LoadMore to
	// the load on it.
	FrameUp  *float64 `json:"frame_up_next_turn_mm,omitempty"`
	LoadMore *float64 `json:"load_more_next_turn_kg,omitempty"`
}

// Clearance is how far a point is off the floor.
type Clearance struct {
	Point string  `json:"point"`
	Above float64 `json:"above_mm"`
}
