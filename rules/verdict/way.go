package verdict

// Way is a way to make a move that is stopped, judged in full like the move itself: the move
// made otherwise, another move of the file, or the move once its work is done.
type Way struct {
	Move  string `json:"move"`
	Title string `json:"title"` // of Move
	// As names the move of the file that is just that; empty where it has to be written first.
	As     string   `json:"as,omitempty"`
	Straps []Strap  `json:"straps,omitempty"` // that tie corners up
	Stands []string `json:"stands,omitempty"` // supports under the frame in place of those under the suspension
	Off    []string `json:"off,omitempty"`    // parts that are taken off first, each counted among Jobs

	Decision Decision `json:"decision"`
	Jobs     int      `json:"jobs"`     // left to do, as far as is known
	Facts    int      `json:"facts"`    // left to look at and write down, as far as is known
	Cautions int      `json:"cautions"` // rules that caution it
	// Unsolved is set where its loads could not be computed.
	Unsolved bool `json:"unsolved,omitempty"`
}

// Strap ties up a corner or an axle.
type Strap struct {
	Up   string `json:"up"`             // the place of the corner, or the axle
	With string `json:"with,omitempty"` // the restraint of the file; empty where it has none
}
