package verdict

import (
	"fmt"
	"strconv"
	"strings"

	"setdown/model/quantity"
)

// TravelFormat names this version of the travel document in its JSON form.
const TravelFormat = "setdown-travel/1"

// Travel is what the suspension of a vehicle does between droop and bump, with
// springs, dampers and their stand-ins out. Lengths are in mm, angles in degrees;
// toe and camber are those of ISO 8855: toe in is positive, and so is camber with
// the top of the wheel outward.
type Travel struct {
	Format  string   `json:"format"`
	File    string   `json:"file"`
	Vehicle string   `json:"vehicle"`
	Assumed []string `json:"assumed,omitempty"`
	// Units are the measures of texts; the figures here are metric.
	Units quantity.System `json:"-"`
	Droop float64         `json:"droop_mm"` // down from where it is drawn, as asked for
	Bump  float64         `json:"bump_mm"`
	Rack  float64         `json:"rack_mm,omitempty"` // travel of the steering rack each way, as asked for
	Good  float64         `json:"good_toe_change_deg"`
	// GuessedPlusMinus is the ± taken for points that have none written.
	GuessedPlusMinus float64       `json:"guessed_plus_minus_mm"`
	Wheels           []WheelTravel `json:"wheels"`
}

// WheelTravel is what one wheel does. Both wheels of an axle go up and down
// together.
type WheelTravel struct {
	Place string   `json:"place"`
	Wheel string   `json:"wheel"`          // its part
	With  []string `json:"with,omitempty"` // other wheels on the same linkage, at the same height
	Like  string   `json:"like,omitempty"` // the place of an earlier wheel of which it is the mirror image
	// Together is true where rigid members let the wheels go up only together: such
	// an axle leans by what its bushes give.
	Together bool `json:"together,omitempty"`
	// Trouble is why nothing was computed.
	Trouble *TravelTrouble `json:"trouble,omitempty"`
	Rows    []TravelRow    `json:"rows,omitempty"`  // from droop to bump
	Curve   []CurvePoint   `json:"curve,omitempty"` // the same, finer
	// Ends are where it stops short of what was asked for, or where it should.
	Ends []TravelEnd `json:"ends,omitempty"`
	Lock []LockRow   `json:"lock,omitempty"` // steered, at the drawn height

	Strut    string       `json:"strut,omitempty"` // the strut whose motion ratio is given
	Angles   []JointAngle `json:"angles,omitempty"`
	ToeLinks []ToeLink    `json:"toe_links,omitempty"`
}

// TroubleKind is a kind of reason for which a linkage cannot be moved.
type TroubleKind string

// The kinds of trouble.
const (
	TravelNotRecorded TroubleKind = "not recorded" // a place or direction is missing
	TravelFree        TroubleKind = "free"         // something moves by itself
	TravelUnlocated   TroubleKind = "not located"  // the ± of the points makes or unmakes what holds it
	TravelLocked      TroubleKind = "locked"       // nothing is left to move
	TravelTogether    TroubleKind = "together"     // its wheels go up only together, and lean by what bushes give
	TravelImpossible  TroubleKind = "impossible"   // points that cannot be: two of a link in one place
)

// TravelTrouble says why a linkage cannot be moved.
type TravelTrouble struct {
	Kind   TroubleKind `json:"kind"`
	Fields []string    `json:"fields,omitempty"` // what is not recorded, paths of the build file
	Parts  []string    `json:"parts,omitempty"`  // what moves by itself
	Words  string      `json:"words,omitempty"`  // what is impossible
}

// TravelRow is one height.
type TravelRow struct {
	CurvePoint
	// What the ± of the points leaves open, to each side.
	ToeBand    float64 `json:"toe_band_deg"`
	CamberBand float64 `json:"camber_band_deg"`
	TrackBand  float64 `json:"half_track_band_mm"`
	Worst      string  `json:"worst_point,omitempty"` // the point that the toe hangs on most

	Caster      *float64 `json:"caster_deg,omitempty"`      // top rearward is positive
	Inclination *float64 `json:"inclination_deg,omitempty"` // of the steering axis, top inward is positive
	MotionRatio *float64 `json:"motion_ratio,omitempty"`    // strut shortening for each mm of bump
}

// CurvePoint is where a wheel stands at one height.
type CurvePoint struct {
	Travel    float64  `json:"travel_mm"` // bump is positive
	Toe       float64  `json:"toe_deg"`
	Camber    float64  `json:"camber_deg"`
	HalfTrack float64  `json:"half_track_change_mm"` // where it meets the ground; outward is positive
	Recession float64  `json:"recession_mm"`         // of its centre; rearward is positive
	Strut     *float64 `json:"strut_mm,omitempty"`   // length of its strut
}

// EndKind is a way in which travel ends, or should.
type EndKind string

// The ways in which travel ends, or should.
const (
	Binds       EndKind = "binds"                   // the parts stand in one line and go no further
	TwoWays     EndKind = "two ways"                // the parts stand in one line and may go on in two ways
	WorkAgainst EndKind = "work against each other" // members contradict each other: bushes would have to give
	OverCentre  EndKind = "over centre"             // the strut is at its shortest or longest: past it, it works the other way
)

// TravelEnd is where travel ends before what was asked for, or should.
type TravelEnd struct {
	Kind EndKind `json:"kind"`
	At   float64 `json:"at_mm"`             // the last height that it reaches
	Rack float64 `json:"rack_mm,omitempty"` // the last rack travel, of a wheel that is steered
}

// LockRow is one place of the steering rack.
type LockRow struct {
	Rack   float64 `json:"rack_mm"`
	Toe    float64 `json:"toe_deg"`
	Camber float64 `json:"camber_deg"`
}

// JointAngle is how far a joint or link end goes out of square.
type JointAngle struct {
	Joint string   `json:"joint"`
	Droop float64  `json:"droop_deg"`
	Drawn float64  `json:"drawn_deg"`
	Bump  float64  `json:"bump_deg"`
	Most  float64  `json:"most_deg"` // over travel and lock
	Limit *float64 `json:"limit_deg,omitempty"`
	Over  bool     `json:"over,omitempty"`
}

// ToeLink is a link whose end on the frame decides how the toe changes with
// travel, and where that end would have to be.
type ToeLink struct {
	Link  string   `json:"link"`
	End   string   `json:"end"`             // its end on the frame, link/end
	Welds []string `json:"welds,omitempty"` // brackets of that end that are not made full
	// Change is the largest toe change from the drawn height, and At where.
	Change float64 `json:"toe_change_deg"`
	At     float64 `json:"at_mm"`
	Enough bool    `json:"good_enough"` // within what was asked for

	Now Point `json:"now_mm"`
	// PerMM is what moving the end by a millimetre along x, y and z does to the
	// largest change, the link set again for the drawn height.
	PerMM [3]float64 `json:"deg_per_mm"`
	Place *ToePlace  `json:"place,omitempty"`
	// Nowhere is why there is no such place.
	Nowhere string `json:"nowhere,omitempty"`
}

// Stands says what the end does to the toe as it stands.
func (l ToeLink) Stands(u quantity.System) string {
	if l.Change < 0.01 {
		return "as it stands less than 0.01° of toe change"
	}
	return fmt.Sprintf("as it stands %s° of toe change at %s", fixed(l.Change, 2), length(u, l.At, 0))
}

// Where says where its bracket may be welded, short.
func (l ToeLink) Where(u quantity.System) string {
	if l.Enough || l.Place == nil {
		return "where it is"
	}
	return "here (" + fixed(l.Change, 2) + "° of toe) or " + l.Way(u)
}

// Way says how the end is to be moved for no toe change; nothing where it is to stay. Inward and
// outward are those of its side.
func (l ToeLink) Way(u quantity.System) string {
	ways := [3][2]string{{"forward", "rearward"}, {"outward", "inward"}, {"up", "down"}}
	if l.Now.Y < 0 {
		ways[1] = [2]string{"inward", "outward"}
	}
	var words []string
	for i, v := range l.Place.Move {
		const least = 0.05 // mm: nobody moves a bracket by less
		switch {
		case v >= least:
			words = append(words, length(u, v, 1)+" "+ways[i][0])
		case v <= -least:
			words = append(words, length(u, -v, 1)+" "+ways[i][1])
		}
	}
	return strings.Join(words, " and ")
}

// Waits says what a bracket that waits does to the toe and where it may be finished.
func (l ToeLink) Waits(u quantity.System) string {
	switch {
	case l.Enough:
		return l.Stands(u) + ", which is good enough: finish it"
	case l.Place == nil:
		return l.Stands(u) + "; finish it if that will do, for no place was found that gives none"
	}
	return l.Stands(u) + "; finish it if that will do, or move it " + l.Way(u) + " for none, with " + l.Link + " set to " + length(u, l.Place.Length, 1)
}

// length prints a length in mm in the measures of the builder.
func length(u quantity.System, mm float64, places int) string {
	text, in := u.Fixed(mm, "mm", places)
	return text + " " + in
}

func fixed(v float64, places int) string { return strconv.FormatFloat(v, 'f', places, 64) }

// ToePlace is the nearest place of a bracket that gives no toe change.
type ToePlace struct {
	At     Point      `json:"at_mm"`
	Move   [3]float64 `json:"move_mm"` // from where it is, along x, y and z
	Line   [3]float64 `json:"line"`    // every point along this direction does the same
	Length float64    `json:"link_mm"` // of the link, centre to centre, then
	Left   float64    `json:"left_deg"`
	Within float64    `json:"within_mm"` // how far off it may be in any direction
}
