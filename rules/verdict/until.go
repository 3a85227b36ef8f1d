package verdict

import (
	"setdown/model/quantity"
	"setdown/model/source"
)

// Until says how long a GO stays one, judged by the same rules on the days to come, as if
// floor, people and what the vehicle stands on were looked at again on each of them and
// found as they are now.
type Until struct {
	Last quantity.Date `json:"last"` // the last day on which it is still GO
	Left int           `json:"left"` // days from today to then
	Soon bool          `json:"soon"` // so few that it is a caution
	Ends []Ending      `json:"ends"` // what runs out then, in walk-round order
}

// Ending is one thing that runs out.
type Ending struct {
	Item string     `json:"item"`
	Kind string     `json:"kind"`
	What EndingWhat `json:"what"`
	Rule string     `json:"rule"`
	Say  string     `json:"say"` // what the rule says then
}

// EndingWhat is what of an item runs out.
type EndingWhat string

// What may run out: a look that grew too old, a waiver on its last day, or whatever else
// the rule says.
const (
	EndsLook   EndingWhat = "look"
	EndsWaiver EndingWhat = "waiver"
	EndsOther  EndingWhat = "other"
)

// Order is what is ordered and has not come in full, or came and was not checked.
type Order struct {
	ID       string         `json:"id"`
	What     string         `json:"what,omitempty"`
	For      []string       `json:"for,omitempty"`
	Ordered  int64          `json:"ordered"` // 0 where nobody wrote it
	Arrived  int64          `json:"arrived"`
	Expected *quantity.Date `json:"expected,omitempty"` // the day before which nobody expects it
	State    OrderState     `json:"state"`
	Span     source.Span    `json:"span"`
}

// OrderState is where an order stands.
type OrderState string

// The states of an order. What is here frees nothing: it is not on the vehicle yet.
const (
	OnOrder   OrderState = "on order"
	Overdue   OrderState = "overdue"
	Unchecked OrderState = "unchecked" // here, and nobody said that it is what was ordered
	WrongPart OrderState = "wrong"     // here, and not what was ordered
	Here      OrderState = "here"      // here and checked, to be fitted
)

// Awaited is an order, or several together, that a move waits for, and what the same rules say of
// the move once all that they are for is fitted and found good.
type Awaited struct {
	Orders []string `json:"orders"`
	For    []string `json:"for"`   // the items of theirs that stop the move
	Stops  int      `json:"stops"` // the findings that stop it then; none: they free it
}
