package verdict

import (
	"cmp"
	"slices"
	"strings"
)

// PathChange is one recorded value that differs between two build states. An
// empty Old or New means that it was not recorded there.
type PathChange struct {
	Path string `json:"path"`
	Old  string `json:"old"`
	New  string `json:"new"`
}

// Directions of a changed item.
const (
	Worse   = "worse"  // more holds it than before
	Better  = "better" // less holds it than before
	Changed = "changed"
	Added   = "new"
	Gone    = "gone"
)

// Log is the Kind of a change that is a line of the log of looks; its Item is the
// fingerprint of the line.
const Log = "looks"

// ItemChange is one item that differs between two states.
type ItemChange struct {
	Item      string       `json:"item"`
	Kind      string       `json:"kind"`
	Direction string       `json:"direction"`
	Changes   []PathChange `json:"changes"`
}

// MoveChange is the verdict on one move before and after.
type MoveChange struct {
	ID       string   `json:"id"`
	Before   Decision `json:"before"` // empty: the move is new
	After    Decision `json:"after"`  // empty: the move is gone
	NewStops []string `json:"new_stops,omitempty"`
	Cleared  []string `json:"cleared,omitempty"`
}

// Comparison says what changed between two states of a vehicle.
type Comparison struct {
	Old   string       `json:"old"`
	New   string       `json:"new"`
	Items []ItemChange `json:"items"` // worse first
	Moves []MoveChange `json:"moves"`
}

// Compare puts the verdicts on two states and the recorded values that differ
// together: an item is worse when something blocks it that did not before, and
// better when something stopped blocking it and nothing new began.
func Compare(before, after *Report, changes []PathChange) Comparison {
	c := Comparison{Old: before.File, New: after.File}
	was, is := blocking(before), blocking(after)
	for _, m := range after.Moves {
		change := MoveChange{ID: m.ID, After: m.Decision}
		if old := before.move(m.ID); old != nil {
			change.Before = old.Decision
		}
		for _, f := range m.Findings {
			if key := f.Rule + " " + f.Item; f.Blocks() && !was[m.ID+" "+key] {
				change.NewStops = append(change.NewStops, f.Say)
			}
		}
		if old := before.move(m.ID); old != nil {
			for _, f := range old.Findings {
				if f.Blocks() && !is[m.ID+" "+f.Rule+" "+f.Item] {
					change.Cleared = append(change.Cleared, f.Say)
				}
			}
		}
		c.Moves = append(c.Moves, change)
	}
	for _, m := range before.Moves {
		if after.move(m.ID) == nil {
			c.Moves = append(c.Moves, MoveChange{ID: m.ID, Before: m.Decision})
		}
	}
	c.Items = itemChanges(changes, was, is)
	return c
}

func (r *Report) move(id string) *Move {
	for i := range r.Moves {
		if r.Moves[i].ID == id {
			return &r.Moves[i]
		}
	}
	return nil
}

// blocking is the set of 'move rule item' that block.
func blocking(r *Report) map[string]bool {
	set := map[string]bool{}
	for _, m := range r.Moves {
		for _, f := range m.Findings {
			if f.Blocks() {
				set[m.ID+" "+f.Rule+" "+f.Item] = true
			}
		}
	}
	return set
}

func itemChanges(changes []PathChange, was, is map[string]bool) []ItemChange {
	byItem := map[string]*ItemChange{}
	var order []string
	for _, ch := range changes {
		kind, rest, _ := strings.Cut(ch.Path, ".")
		id, _, _ := strings.Cut(rest, ".")
		key := kind + "." + id
		if byItem[key] == nil {
			byItem[key] = &ItemChange{Item: id, Kind: kind}
			order = append(order, key)
		}
		byItem[key].Changes = append(byItem[key].Changes, ch)
	}
	list := make([]ItemChange, 0, len(order))
	for _, key := range order {
		item := byItem[key]
		item.Direction = direction(item, was, is)
		list = append(list, *item)
	}
	ranks := []string{Worse, Added, Gone, Changed, Better}
	slices.SortStableFunc(list, func(a, b ItemChange) int {
		return cmp.Compare(slices.Index(ranks, a.Direction), slices.Index(ranks, b.Direction))
	})
	return list
}

func direction(item *ItemChange, was, is map[string]bool) string {
	more, less := false, false
	for key := range is {
		more = more || strings.HasSuffix(key, " "+item.Item) && !was[key]
	}
	for key := range was {
		less = less || strings.HasSuffix(key, " "+item.Item) && !is[key]
	}
	whole := len(item.Changes) > 1 || item.Kind == Log // a line of the log is one value
	all := func(empty func(PathChange) bool) bool {
		return !slices.ContainsFunc(item.Changes, func(c PathChange) bool { return !empty(c) })
	}
	switch {
	case more:
		return Worse
	case less:
		return Better
	case item.Item != "" && all(func(c PathChange) bool { return c.Old == "" }) && whole:
		return Added
	case item.Item != "" && all(func(c PathChange) bool { return c.New == "" }) && whole:
		return Gone
	}
	return Changed
}
