package verdict

// Job is one line of the punch list: one piece of work on one item.
type Job struct {
	Phase string   `json:"phase"`
	Place string   `json:"place"`
	Item  string   `json:"item"`
	Kind  string   `json:"kind"`
	Do    string   `json:"do"`    // does not name the item again
	Rules []string `json:"rules"` // the rules that ask for it
	Moves []string `json:"moves"` // the moves it holds up
	// First is set where no loads are computed before the line is done, so that
	// nobody knows all the work yet.
	First bool `json:"first,omitempty"`
	// Clears lists the findings that are gone once the line is done.
	Clears []Cleared `json:"clears"`
	// Sets lists what the build file says once the line is done. An empty value
	// stands for what is seen then: nobody knows it before somebody has looked.
	Sets []Value `json:"sets,omitempty"`
}

// Cleared is one finding that a line of work clears.
type Cleared struct {
	Move string `json:"move"`
	Rule string `json:"rule"`
	Item string `json:"item"`
	// Follows is set where the finding only repeats that the item of the line is not
	// sound: a stand that cannot count before a nut is on.
	Follows bool `json:"follows,omitempty"`
}

// Purchase is one part to buy or make, totalled over the vehicle.
type Purchase struct {
	Part     string   `json:"part"`
	Quantity int      `json:"quantity"`
	Thread   string   `json:"thread,omitempty"`
	Class    string   `json:"class,omitempty"`
	Items    []string `json:"items"`
	Moves    []string `json:"moves"`
}

// Punch is the work left before some moves can go.
type Punch struct {
	Moves []string   `json:"moves"` // the moves it is for
	Buy   []Purchase `json:"buy"`
	Jobs  []Job      `json:"jobs"` // what has to come first, then in working order: by phase, then in walk-round order
	// Further is the work of cautions, in working order, once no move waits for any other.
	Further []Job `json:"further,omitempty"`
	// Unsolved lists the moves of which the loads are not computed: their jobs are
	// those known so far.
	Unsolved []string `json:"unsolved,omitempty"`
}
