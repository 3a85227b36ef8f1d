package verdict

// Outline is the vehicle in one step as lines and points, for pictures. All
// places are in millimetres.
type Outline struct {
	Parts   []OutlinePart   `json:"parts"`
	Joints  []OutlineJoint  `json:"joints"`
	Members []OutlineMember `json:"members"`
	Wheels  []OutlineWheel  `json:"wheels,omitempty"` // those of which it is known where they touch the floor
}

// OutlineWheel is a wheel, on the vehicle or off it.
type OutlineWheel struct {
	ID     string `json:"id"`
	Place  string `json:"place"`
	At     Point  `json:"at"` // its centre
	Radius Figure `json:"radius"`
	Off    bool   `json:"off,omitempty"`
}

// OutlinePart is a rigid part: its centre of gravity and the places where it
// meets others, which writers join by lines.
type OutlinePart struct {
	ID     string  `json:"id"`
	Role   string  `json:"role"`
	Place  string  `json:"place"`
	CG     *Point  `json:"cg,omitempty"`
	Points []Point `json:"points"`
	Hangs  bool    `json:"hangs"` // it hangs from the vehicle in this step
	Tied   bool    `json:"tied"`
}

// OutlineJoint is a joint with its state.
type OutlineJoint struct {
	ID    string   `json:"id"`
	Place string   `json:"place"`
	Kind  string   `json:"kind"`
	At    Point    `json:"at"`
	Parts []string `json:"parts"`
	State string   `json:"state"` // one of States
	Force *Figure  `json:"force,omitempty"`
	Use   *float64 `json:"use,omitempty"` // utilisation
}

// OutlineMember is a link with its force and state.
type OutlineMember struct {
	ID    string   `json:"id"`
	Place string   `json:"place"`
	Role  string   `json:"role"`
	From  Point    `json:"from"`
	To    Point    `json:"to"`
	Force *Figure  `json:"force,omitempty"` // pull positive
	Use   *float64 `json:"use,omitempty"`
	State string   `json:"state"`
}

// States of a joint or member in a picture, gravest first: the worst of what
// holds it.
var States = []string{"missing", "tack", "loose", "not recorded", "sound"}
