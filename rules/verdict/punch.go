package verdict

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
)

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
	// Sets lists what the build file says once the line is done. An empty value
	// stands for what is seen then: nobody knows it before somebody has looked.
	Sets []Value `json:"sets,omitempty"`
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
	Jobs  []Job      `json:"jobs"` // what has to come first, then in working order: by phase, then in walk-round order
	// Unsolved lists the moves of which the loads are not computed: their jobs are
	// those known so far.
	Unsolved []string `json:"unsolved,omitempty"`
}

// Punch lists the work that frees the named moves, or every move when none is
// named. Only what blocks is on it: a line that frees nothing is not work that
// the move waits for. What one line does for an item is not asked for in
// another, and what only says that another item is not sound yet has no line
// beside that item's own.
//
// Doing the list may uncover more: a nut that was missing has no torque to ask
// for before it is fitted. The list is then made again from the new file.
func (r *Report) Punch(moves ...string) Punch {
	var p Punch
	var l lines
	for i := range r.Moves {
		m := &r.Moves[i]
		if len(moves) > 0 && !slices.Contains(moves, m.ID) {
			continue
		}
		p.Moves = append(p.Moves, m.ID)
		if m.Unsolved {
			p.Unsolved = append(p.Unsolved, m.ID)
		}
		for j := range m.Findings {
			if f := &m.Findings[j]; f.Blocks() {
				l.take(f, m.ID)
			}
		}
		l.walk(m.Findings)
	}
	l.record()
	l.merge(outdoes, false)
	l.merge(does, true)
	for _, line := range l.list {
		slices.SortFunc(line.Moves, func(a, b string) int { return slices.Index(p.Moves, a) - slices.Index(p.Moves, b) })
		p.Jobs = append(p.Jobs, line.Job)
	}
	slices.SortStableFunc(p.Jobs, func(a, b Job) int {
		return cmp.Or(
			cmp.Compare(after(a), after(b)),
			cmp.Compare(slices.Index(Phases, a.Phase), slices.Index(Phases, b.Phase)),
			cmp.Compare(slices.Index(l.places, a.Place), slices.Index(l.places, b.Place)),
		)
	})
	p.Buy = l.shopping()
	return p
}

// after is 0 for what has to come before everything else.
func after(j Job) int {
	if j.First {
		return 0
	}
	return 1
}

// line is a job with what decides whether another line does it too.
type line struct {
	Job
	blames []string // items that its findings name as the reason
	parts  []part   // what it takes
}

// part is what one line takes from the shop.
type part struct {
	name  string
	count int
}

// missing is one fact of one item that somebody has to write down.
type missing struct {
	path, doc, words string
	Job
}

// lines is a punch list in the making.
type lines struct {
	list   []*line
	absent []*missing
	places []string // in walk-round order
}

// take adds a finding that blocks.
func (l *lines) take(f *Finding, move string) {
	job := Job{Phase: "other", Place: f.Place, Item: f.Item, Kind: f.Kind, Do: f.Fix}
	if f.Outcome == NotRecorded {
		asked := false
		for _, m := range f.Missing {
			if m.Path != "" {
				l.miss(m, job).note(f.Rule, move)
				asked = true
			}
		}
		if asked {
			return
		}
	} else if f.Work != nil {
		job.Phase, job.Do, job.Sets = f.Work.Phase, f.Work.Do, f.Work.Set
	}
	i := slices.IndexFunc(l.list, func(o *line) bool { return o.Item == job.Item && o.Do == job.Do })
	if i < 0 {
		i = len(l.list)
		l.list = append(l.list, &line{Job: job})
	}
	l.list[i].note(f.Rule, move)
	l.list[i].First = l.list[i].First || f.Root()
	if f.Outcome != NotRecorded && f.Work != nil && f.Work.Part != "" {
		l.list[i].need(part{f.Work.Part, max(1, f.Work.Quantity)})
	}
	if len(job.Sets) == 0 {
		for _, b := range f.Because {
			for _, v := range b.Values {
				l.list[i].blames = add(l.list[i].blames, v.Value)
			}
		}
	}
}

func (j *Job) note(rule, move string) {
	j.Rules, j.Moves = add(j.Rules, rule), add(j.Moves, move)
}

// miss finds or adds the fact of an item that is not recorded.
func (l *lines) miss(m Missing, job Job) *missing {
	i := slices.IndexFunc(l.absent, func(o *missing) bool { return o.Item == job.Item && o.path == m.Path })
	if i < 0 {
		i = len(l.absent)
		l.absent = append(l.absent, &missing{path: m.Path, doc: m.Doc, words: m.Words, Job: job})
	}
	return l.absent[i]
}

func (l *line) need(p part) {
	if !slices.ContainsFunc(l.parts, func(o part) bool { return o.name == p.name }) {
		l.parts = append(l.parts, p)
	}
}

// shopping totals what the lines take, by part.
func (l *lines) shopping() []Purchase {
	var list []Purchase
	for _, line := range l.list {
		for _, p := range line.parts {
			i := slices.IndexFunc(list, func(b Purchase) bool { return b.Part == p.name })
			if i < 0 {
				i = len(list)
				list = append(list, Purchase{Part: p.name})
			}
			if !slices.Contains(list[i].Items, line.Item) {
				list[i].Items = append(list[i].Items, line.Item)
				list[i].Quantity += p.count
			}
			list[i].Moves = addAll(list[i].Moves, line.Moves)
		}
	}
	slices.SortFunc(list, func(a, b Purchase) int { return strings.Compare(a.Part, b.Part) })
	return list
}

// walk learns the order of the places. The findings of one outcome come in
// walk-round order, but not every outcome has one at every place.
func (l *lines) walk(findings []Finding) {
	next := 0
	for i, f := range findings {
		if f.Root() {
			continue // it comes first wherever it is
		}
		if i > 0 && f.Outcome != findings[i-1].Outcome {
			next = 0
		}
		at := slices.Index(l.places, f.Place)
		if at < 0 {
			at = next
			l.places = slices.Insert(l.places, at, f.Place)
		}
		next = at + 1
	}
}

// record makes one line for each item of which facts are missing that no other
// line of it will show.
func (l *lines) record() {
	jobs := slices.Clone(l.list)
	records := map[string]*line{}
	for _, m := range l.absent {
		done := slices.IndexFunc(jobs, func(o *line) bool {
			return o.Item == m.Item && covers(o.Moves, m.Moves) &&
				slices.ContainsFunc(o.Sets, func(v Value) bool { return v.Name == m.path })
		})
		if done >= 0 {
			jobs[done].Rules = addAll(jobs[done].Rules, m.Rules)
			continue
		}
		words, where := m.doc, m.path
		if m.doc != "" {
			where = strings.TrimPrefix(m.path, m.Kind+"."+m.Item+".")
		}
		if m.words != "" {
			where += ": " + m.words
		}
		if m.doc == "" {
			words = where
		} else {
			words += " (" + where + ")"
		}
		r, seen := records[m.Item]
		if !seen {
			r = &line{Job: Job{Phase: "record", Place: m.Place, Item: m.Item, Kind: m.Kind, Do: "look or measure, and write down: " + words}}
			records[m.Item] = r
			l.list = append(l.list, r)
		} else {
			r.Do += "; " + words
		}
		r.Rules, r.Moves = addAll(r.Rules, m.Rules), addAll(r.Moves, m.Moves)
		r.Sets = append(r.Sets, Value{Name: m.path})
	}
}

// merge takes out every line that another one makes needless; keep says that its
// parts are needed all the same.
func (l *lines) merge(needless func(by, a *line) bool, keep bool) {
	for i := 0; i < len(l.list); {
		a := l.list[i]
		into := slices.IndexFunc(l.list, func(b *line) bool { return a != b && needless(b, a) })
		if into < 0 {
			i++
			continue
		}
		by := l.list[into]
		by.Rules, by.Moves = addAll(by.Rules, a.Rules), addAll(by.Moves, a.Moves)
		by.First = by.First || a.First
		if keep {
			for _, p := range a.parts {
				by.need(p)
			}
		}
		l.list = slices.Delete(l.list, i, i+1)
	}
}

// does reports whether a line does what another asks, in every move that waits for
// it: it sets all that the other sets, or it is the work on the item that the other
// only names.
func does(by, a *line) bool {
	if !covers(by.Moves, a.Moves) {
		return false
	}
	if by.Item == a.Item {
		return len(a.Sets) > 0 && covers(by.Sets, a.Sets)
	}
	return slices.Contains(a.blames, by.Item)
}

// outdoes reports whether a line is the same work as another, asked by the same
// rule for a move that needs more: castors for the heavier load serve the lighter
// one too.
func outdoes(by, a *line) bool {
	if by.Item != a.Item || !slices.Equal(by.Rules, a.Rules) || len(by.Sets) != len(a.Sets) || len(a.Sets) == 0 {
		return false
	}
	for i, v := range a.Sets {
		if by.Sets[i].Name != v.Name || !atLeast(by.Sets[i].Value, v.Value) {
			return false
		}
	}
	return true
}

// atLeast compares two values as a build file writes them.
func atLeast(value, least string) bool {
	if value == least {
		return true
	}
	number, unit, _ := strings.Cut(value, " ")
	than, other, _ := strings.Cut(least, " ")
	a, errA := strconv.ParseFloat(number, 64)
	b, errB := strconv.ParseFloat(than, 64)
	return errA == nil && errB == nil && unit == other && a >= b
}

// covers reports whether a list holds everything that another does.
func covers[T comparable](all, some []T) bool {
	return !slices.ContainsFunc(some, func(t T) bool { return !slices.Contains(all, t) })
}

func addAll(list, more []string) []string {
	for _, s := range more {
		list = add(list, s)
	}
	return list
}

func add(list []string, s string) []string {
	if slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}
