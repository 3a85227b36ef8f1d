package verdict

import (
	"cmp"
	"slices"
)

// Job is one line of the punch list: one piece of work on one item.
type Job struct {
	Phase string   `json:"phase"`
	Place string   `json:"place"`
	Item  string   `json:"item"`
	Kind  string   `json:"kind"`
	Do    string   `json:"do"`
	Rules []string `json:"rules"` // the rules that ask for it
	Moves []string `json:"moves"` // the moves it holds up
	Sets  []Value  `json:"sets,omitempty"`
}

// Purchase is one part to buy or make, totalled over the vehicle.
type Purchase struct {
	Part     string   `json:"part"`
	Quantity int      `json:"quantity"`
	Items    []string `json:"items"`
	Moves    []string `json:"moves"`
}

// Punch is the work left before some moves can go.
type Punch struct {
	Moves []string   `json:"moves"` // the moves it is for
	Buy   []Purchase `json:"buy"`
	Jobs  []Job      `json:"jobs"` // in working order: by phase, then in walk-round order
}

// Punch lists the work that frees the named moves, or every move when none is
// named. Only what blocks is on it: a line that frees nothing is not work that
// the move waits for. What several rules ask of one item in the same words is
// one line.
func (r *Report) Punch(moves ...string) Punch {
	var p Punch
	type key struct{ item, do string }
	jobs := map[key]*Job{}
	var order []key
	buys := map[string]*Purchase{}
	var parts []string
	for i := range r.Moves {
		m := &r.Moves[i]
		if len(moves) > 0 && !slices.Contains(moves, m.ID) {
			continue
		}
		p.Moves = append(p.Moves, m.ID)
		for j := range m.Findings {
			f := &m.Findings[j]
			if !f.Blocks() {
				continue
			}
			phase, do := "other", f.Fix
			var sets []Value
			if f.Work != nil {
				phase, do, sets = f.Work.Phase, f.Work.Do, f.Work.Set
			}
			if f.Outcome == NotRecorded {
				phase = "record"
			}
			k := key{f.Item, do}
			job, seen := jobs[k]
			if !seen {
				job = &Job{Phase: phase, Place: f.Place, Item: f.Item, Kind: f.Kind, Do: do, Sets: sets}
				jobs[k] = job
				order = append(order, k)
			}
			job.Rules = add(job.Rules, f.Rule)
			job.Moves = add(job.Moves, m.ID)
			if f.Work == nil || f.Work.Part == "" || f.Outcome == NotRecorded {
				continue
			}
			b, seen := buys[f.Work.Part]
			if !seen {
				b = &Purchase{Part: f.Work.Part}
				buys[f.Work.Part] = b
				parts = append(parts, f.Work.Part)
			}
			if !slices.Contains(b.Items, f.Item) {
				b.Items = append(b.Items, f.Item)
				b.Quantity += max(1, f.Work.Quantity)
			}
			b.Moves = add(b.Moves, m.ID)
		}
	}
	for _, k := range order {
		p.Jobs = append(p.Jobs, *jobs[k])
	}
	// The findings come in walk-round order, which a stable sort keeps.
	slices.SortStableFunc(p.Jobs, func(a, b Job) int {
		return cmp.Compare(slices.Index(Phases, a.Phase), slices.Index(Phases, b.Phase))
	})
	slices.Sort(parts)
	for _, part := range parts {
		p.Buy = append(p.Buy, *buys[part])
	}
	return p
}

func add(list []string, s string) []string {
	if slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}
