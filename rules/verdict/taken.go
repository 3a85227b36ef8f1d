package verdict

import "setdown/model/quantity"

// Taken is what the check takes as so though no line says it.
type Taken struct {
	What  TakenWhat      `json:"what"`
	Items []string       `json:"items"`
	Why   string         `json:"why,omitempty"` // of what somebody struck out
	By    string         `json:"by,omitempty"`
	On    *quantity.Date `json:"on,omitempty"`
}

// TakenWhat is what is taken of an item.
type TakenWhat string

// What may be taken as so.
const (
	HoldsByName    TakenWhat = "holds by name"    // what it holds follows from its id
	MiddleOfJoints TakenWhat = "middle of joints" // its centre of gravity is there, with half their spread as ±
	TiesUpPlace    TakenWhat = "ties up a place"  // everything there that hangs on the frame
	WithinTape     TakenWhat = "within a tape"    // its place is known to 3 mm
	NotThere       TakenWhat = "not there"        // somebody struck it out: the vehicle has none
)
