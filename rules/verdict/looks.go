package verdict

// Card is what a look at one kind of item covers: what is asked when it is fitted
// or made, and what every round asks again.
type Card struct {
	Kind    string     `json:"kind"` // such as "fasteners"
	Item    string     `json:"item"` // such as "fastener"
	Version int        `json:"version"`
	Parts   []CardPart `json:"parts"`
}

// CardPart is one list of a card.
type CardPart struct {
	Name  string     `json:"name"`
	Lines []CardLine `json:"lines"`
}

// CardLine is one question of a card.
type CardLine struct {
	Fact     string `json:"fact"`
	Question string `json:"question"`
	Good     string `json:"good"`               // the good answer in words
	OnlyFor  string `json:"only_for,omitempty"` // the items it is for, in words; all when empty
	Critical bool   `json:"critical,omitempty"` // named in the look: never taken from 'good'
}

// History is what was seen of the vehicle or of one item, and what stands of it.
type History struct {
	File     string        `json:"file"`
	Item     string        `json:"item,omitempty"` // empty for the whole log
	Lines    []HistoryLine `json:"lines"`          // in the order of their days
	Now      []HistoryFact `json:"now,omitempty"`
	Unknown  []string      `json:"unknown,omitempty"` // facts of the card that nobody knows today
	Troubles []string      `json:"troubles,omitempty"`
}

// HistoryLine is one line of the log.
type HistoryLine struct {
	When  string   `json:"when"`
	By    string   `json:"by"`
	Items []string `json:"items"`
	Says  []string `json:"says"`
	Note  string   `json:"note,omitempty"`
}

// HistoryFact is one fact that stands today.
type HistoryFact struct {
	Item   string `json:"item"` // with its number for a member of a group
	Fact   string `json:"fact"`
	Value  string `json:"value"`
	When   string `json:"when"`
	By     string `json:"by"`
	Second string `json:"second,omitempty"` // who saw the same independently
	Fault  bool   `json:"fault,omitempty"`
}
