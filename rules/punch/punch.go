// Package punch makes the work list of a check: what is left to do and to buy before
// moves can go, in working order, each piece of work once.
//
// It reads the findings that block, and once none is left the cautions that have work.
// The list is part of the verdict, so that every report shows the same.
package punch

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"setdown/rules/verdict"
)

// Fill puts the work lists into a report: that of each move, and that of all moves.
func Fill(r *verdict.Report) {
	for i := range r.Moves {
		r.Moves[i].Punch = List(r.Moves[i : i+1])
	}
	r.Punch = List(r.Moves)
}

// List lists the work that frees the moves. Only what blocks is on it: a line that
// frees nothing is not work that a move waits for, and that of cautions stands apart,
// without parts to buy. What one line does for an item is
// not asked for in another, and what only says that another item is not sound yet has
// no line beside that item's own.
//
// Doing the list may uncover more: a nut that was missing has no torque to ask
// for before it is fitted. The list is then made again from the new file.
func List(moves []verdict.Move) verdict.Punch {
	var p verdict.Punch
	for i := range moves {
		m := &moves[i]
		p.Moves = append(p.Moves, m.ID)
		if m.Unsolved {
			p.Unsolved = append(p.Unsolved, m.ID)
		}
	}
	l := work(moves, (*verdict.Finding).Blocks)
	if p.Jobs = l.jobs(p.Moves); len(p.Jobs) == 0 {
		p.Further = work(moves, func(f *verdict.Finding) bool { return f.Outcome == verdict.Caution && f.Work != nil }).jobs(p.Moves)
	}
	p.Buy = l.shopping()
	return p
}

// work makes lines of the findings that are wanted.
func work(moves []verdict.Move, wanted func(*verdict.Finding) bool) *lines {
	l := lines{byItem: map[string][]*line{}, absent: map[of]*missing{}, at: map[string]string{}, first: map[string]bool{}}
	for i := range moves {
		for _, f := range moves[i].Findings {
			l.at[f.Item] = f.Place
		}
		for _, m := range moves[i].First {
			l.first[m.Path] = true
		}
	}
	for i := range moves {
		m := &moves[i]
		for j := range m.Findings {
			if f := &m.Findings[j]; wanted(f) {
				l.take(f, m.ID)
			}
		}
		for _, fact := range m.First {
			missing := l.miss(fact, l.owner(fact.Path, verdict.Job{Phase: "record", Item: m.ID, Kind: "moves"}))
			missing.Moves = add(missing.Moves, m.ID)
		}
		l.walk(m.Findings)
	}
	l.record()
	l.merge(outdoes, false)
	l.merge(does, true)
	return &l
}

// jobs lists the lines in working order, each with its moves in the order given.
func (l *lines) jobs(moves []string) []verdict.Job {
	var jobs []verdict.Job
	for _, line := range l.list {
		slices.SortFunc(line.Moves, func(a, b string) int { return slices.Index(moves, a) - slices.Index(moves, b) })
		jobs = append(jobs, line.Job)
	}
	slices.SortStableFunc(jobs, func(a, b verdict.Job) int {
		return cmp.Or(
			cmp.Compare(after(a), after(b)),
			cmp.Compare(slices.Index(verdict.Phases, a.Phase), slices.Index(verdict.Phases, b.Phase)),
			cmp.Compare(slices.Index(l.places, a.Place), slices.Index(l.places, b.Place)),
		)
	})
	return jobs
}

// after is 0 for what has to come before everything else.
func after(j verdict.Job) int {
	if j.First {
		return 0
	}
	return 1
}

// line is a job with what decides whether another line does it too.
type line struct {
	verdict.Job
	at     int      // when it was added
	blames []string // items that its findings name as the reason
	parts  []part   // what it takes
}

// part is what one line takes from the shop.
type part struct {
	name          string
	count         int
	thread, class string
}

// of is something of one item: a fact by its path, or a part that it takes.
type of struct{ item, what string }

// missing is a fact that somebody has to write down.
type missing struct {
	doc, words string
	line
}

// lines is a punch list in the making.
type lines struct {
	list   []*line
	byItem map[string][]*line
	absent map[of]*missing
	order  []of              // of absent
	places []string          // in walk-round order
	at     map[string]string // the place of each item that something was found of
	first  map[string]bool   // paths of what loads wait for
}

func (l *lines) add(job verdict.Job) *line {
	added := &line{Job: job, at: len(l.list)}
	l.list = append(l.list, added)
	l.byItem[job.Item] = append(l.byItem[job.Item], added)
	return added
}

// take adds a finding that blocks.
func (l *lines) take(f *verdict.Finding, move string) {
	job := verdict.Job{Phase: "other", Place: f.Place, Item: f.Item, Kind: f.Kind, Do: f.Fix}
	if f.Outcome == verdict.NotRecorded {
		found := false
		for _, m := range f.Missing {
			if m.Path != "" {
				l.miss(m, l.owner(m.Path, job)).note(f, move)
				found = true
			}
		}
		if found {
			return
		}
	} else if f.Work != nil {
		job.Phase, job.Do, job.Sets = f.Work.Phase, f.Work.Do, f.Work.Set
	}
	var to *line
	if i := slices.IndexFunc(l.byItem[job.Item], func(o *line) bool { return o.Do == job.Do }); i >= 0 {
		to = l.byItem[job.Item][i]
	} else {
		to = l.add(job)
	}
	to.note(f, move)
	to.First = to.First || f.Root()
	if f.Outcome != verdict.NotRecorded && f.Work != nil && f.Work.Part != "" {
		n := max(1, f.Work.Quantity)
		to.need(part{name: f.Work.Part, count: n, thread: f.Work.Thread, class: f.Work.Class})
		if f.Work.With != "" {
			to.need(part{name: f.Work.With, count: n})
		}
	}
	if len(job.Sets) == 0 {
		for _, b := range f.Because {
			for _, v := range b.Values {
				to.blames = add(to.blames, v.Value)
			}
		}
	}
}

func (l *line) note(f *verdict.Finding, move string) {
	l.Rules, l.Moves = add(l.Rules, f.Rule), add(l.Moves, move)
	l.Clears = add(l.Clears, verdict.Cleared{Move: move, Rule: f.Rule, Item: f.Item})
}

// takeOver makes a line do what another was there for.
func (l *line) takeOver(o *line) {
	l.Rules, l.Moves = addAll(l.Rules, o.Rules), addAll(l.Moves, o.Moves)
	for _, c := range o.Clears {
		c.Follows = c.Follows || o.Item != l.Item
		l.Clears = add(l.Clears, c)
	}
}

// owner is the job for a fact, by its path: that of the item whose fact it is, whichever
// item was found to lack it.
func (l *lines) owner(path string, asked verdict.Job) verdict.Job {
	kind, rest, _ := strings.Cut(path, ".")
	id, _, isItem := strings.Cut(rest, ".")
	if !isItem || kind == "vehicle" || kind == "site" || kind == "listed" || strings.HasPrefix(path, asked.Kind+"."+asked.Item+".") {
		return asked
	}
	asked.Kind, asked.Item = kind, id
	if _, known := l.at[id]; !known {
		l.at[id] = asked.Place
	}
	asked.Place = l.at[id]
	return asked
}

// miss finds or adds the fact of an item that is not recorded.
func (l *lines) miss(m verdict.Missing, job verdict.Job) *missing {
	key := of{job.Item, m.Path}
	if l.absent[key] == nil {
		l.absent[key] = &missing{doc: m.Doc, words: m.Words, line: line{Job: job}}
		l.order = append(l.order, key)
	}
	return l.absent[key]
}

func (l *line) need(p part) {
	if !slices.ContainsFunc(l.parts, func(o part) bool { return o.name == p.name }) {
		l.parts = append(l.parts, p)
	}
}

// shopping totals what the lines take, by part.
func (l *lines) shopping() []verdict.Purchase {
	var list []verdict.Purchase
	at := map[string]int{}   // by part
	counted := map[of]bool{} // an item takes a part once
	for _, line := range l.list {
		for _, p := range line.parts {
			i, seen := at[p.name]
			if !seen {
				i = len(list)
				at[p.name] = i
				list = append(list, verdict.Purchase{Part: p.name, Thread: p.thread, Class: p.class})
			}
			if key := (of{line.Item, p.name}); !counted[key] {
				counted[key] = true
				list[i].Items = append(list[i].Items, line.Item)
				list[i].Quantity += p.count
			}
			list[i].Moves = addAll(list[i].Moves, line.Moves)
		}
	}
	slices.SortFunc(list, func(a, b verdict.Purchase) int { return strings.Compare(a.Part, b.Part) })
	return list
}

// walk learns the order of the places. The findings of one outcome come in
// walk-round order, but not every outcome has one at every place.
func (l *lines) walk(findings []verdict.Finding) {
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
	type record struct {
		item  string
		first bool
	}
	records := map[record]*line{}
	for _, key := range l.order {
		m := l.absent[key]
		shown := slices.IndexFunc(l.byItem[key.item], func(o *line) bool {
			return covers(o.Moves, m.Moves) && slices.ContainsFunc(o.Sets, func(v verdict.Value) bool { return v.Name == key.what })
		})
		if shown >= 0 {
			l.byItem[key.item][shown].takeOver(&m.line)
			continue
		}
		// Facts stand in a row, so a meaning has no semicolon of its own; one without a meaning is
		// said by its name.
		words := strings.ReplaceAll(m.doc, ";", ",")
		if words == "" {
			words = strings.NewReplacer(".", " ", "_", " ").Replace(key.what)
		}
		if m.words != "" {
			words += ": " + m.words
		}
		of := record{key.item, l.first[key.what]}
		r := records[of]
		if r == nil {
			r = l.add(verdict.Job{Phase: "record", Place: m.Place, Item: m.Item, Kind: m.Kind, First: of.first, Do: "look or measure, and write down: " + words})
			records[of] = r
		} else {
			r.Do += "; " + words
		}
		r.takeOver(&m.line)
		r.Sets = append(r.Sets, verdict.Value{Name: key.what})
	}
}

// merge takes out every line that another one makes needless, which is one of the same
// item or of an item that it blames; keep says that its parts are needed all the same.
func (l *lines) merge(needless func(by, a *line) bool, keep bool) {
	l.list = slices.DeleteFunc(l.list, func(a *line) bool {
		var by *line
		for _, item := range append([]string{a.Item}, a.blames...) {
			for _, b := range l.byItem[item] {
				if a != b && needless(b, a) && (by == nil || b.at < by.at) {
					by = b
				}
			}
		}
		if by == nil {
			return false
		}
		by.takeOver(a)
		by.First = by.First || a.First
		if keep {
			for _, p := range a.parts {
				by.need(p)
			}
		}
		l.byItem[a.Item] = slices.DeleteFunc(l.byItem[a.Item], func(o *line) bool { return o == a })
		return true
	})
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

func addAll[T comparable](list, more []T) []T {
	for _, s := range more {
		list = add(list, s)
	}
	return list
}

func add[T comparable](list []T, s T) []T {
	if slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}
