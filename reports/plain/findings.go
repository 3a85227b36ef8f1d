package plain

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"setdown/model/source"
	"setdown/rules/verdict"
)

// Tally says how much stops a move: findings, and facts that nobody wrote down.
// It is empty where nothing does.
func Tally(m *verdict.Move) string {
	var list []string
	if n := len(m.Stopping()); n > 0 {
		list = append(list, Count(n, "finding stops this move", "findings stop this move"))
	}
	switch n, first := m.FactsMissing(), len(m.First); {
	case first > 0:
		list = append(list, firstFacts(first, n))
	case n > 0:
		list = append(list, Count(n, "fact is not recorded", "facts are not recorded"))
	}
	return strings.Join(list, ", ")
}

// firstFacts counts what the loads wait for, and the facts that may be asked after it.
func firstFacts(first, all int) string {
	text := Count(first, "fact", "facts") + " to write down first, for no loads are known without them"
	if more := all - first; more > 0 {
		text += fmt.Sprintf("; %d more may follow", more)
	}
	return text
}

// KnownSoFar counts the jobs of moves whose loads could not be computed: more may
// come to light with them.
func KnownSoFar(jobs []verdict.Job) string {
	text := Count(len(jobs), "job", "jobs") + " known so far; loads cannot be computed "
	if len(jobs) > 0 && jobs[0].First {
		return text + "until this is put right"
	}
	return text + "while facts are missing"
}

// PunchHead opens a punch list.
func PunchHead(p verdict.Punch) string {
	moves := strings.Join(p.Moves, ", ")
	switch len(p.Unsolved) {
	case 0:
		return Count(len(p.Jobs), "job", "jobs") + " for " + moves
	case len(p.Moves):
		return KnownSoFar(p.Jobs) + ": " + moves
	}
	return KnownSoFar(p.Jobs) + ": " + moves + " (not computed: " + strings.Join(p.Unsolved, ", ") + ")"
}

// FurtherHead opens the work of cautions, where no move waits for any other.
func FurtherHead(p verdict.Punch) string {
	return "Before it goes further: " + Count(len(p.Further), "job that a caution asks for", "jobs that cautions ask for") + ". It does not stop " + strings.Join(p.Moves, ", ") + ", and this is not permission to move."
}

// PhaseHead is what a job of the punch list stands under.
func PhaseHead(j verdict.Job) string {
	if j.First {
		return "first of all: no loads can be computed until this is put right"
	}
	return j.Phase
}

// Capital starts a text with a capital letter.
func Capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// Now picks the jobs of a punch list that can be told by now: as long as loads wait for what
// nobody recorded, that is what they wait for, and later counts the others.
func Now(p verdict.Punch) (now []verdict.Job, later int) {
	for _, j := range p.Jobs {
		if j.First && j.Phase == "record" {
			now = append(now, j)
		}
	}
	if len(now) == 0 {
		return p.Jobs, 0
	}
	return now, len(p.Jobs) - len(now)
}

// Later says of the other jobs why they are not listed.
func Later(n int) string {
	return fmt.Sprintf("%s more so far. What carries is known once these are recorded; what carries nothing is not asked for. All of them: --format csv.", Count(n, "job", "jobs"))
}

// Task is one piece of work at one thing, or the same at several that are alike.
type Task struct {
	verdict.Job
	Items, Places []string
}

// Tasks puts the same work at several things together; it stands where the first of them does.
func Tasks(jobs []verdict.Job) []Task {
	var list []Task
	for _, j := range jobs {
		i := slices.IndexFunc(list, func(t Task) bool {
			return t.Do == j.Do && t.Phase == j.Phase && t.First == j.First && slices.Equal(t.Moves, j.Moves) && Noted(t.Job) == Noted(j)
		})
		if i < 0 || named(j) {
			i = len(list)
			list = append(list, Task{Job: j})
		}
		t := &list[i]
		t.Items = append(t.Items, j.Item)
		if j.Place != "" && !slices.Contains(t.Places, j.Place) {
			t.Places = append(t.Places, j.Place)
		}
	}
	return list
}

// Boxes is how many boxes a task has to tick: one for each piece of work with a wrench, one for
// what is written down at several, as for many.
func (t Task) Boxes() int {
	if n := len(t.Items); t.Phase != "record" && n <= 4 {
		return n
	}
	return 1
}

// Says names the things of a task, with their place if it is one, before what is to be done to
// them; where the words name the thing themselves, only the place is put behind them.
func (t Task) Says(do string) string {
	place := ""
	if len(t.Places) == 1 {
		place = " (" + Spoken(t.Places[0]) + ")"
	}
	if named(t.Job) {
		return do + place
	}
	return AllNames(t.Items) + place + ": " + do
}

// Job words one line of the punch list. Most name their item themselves; the
// others have it put in front.
func Job(j verdict.Job) string {
	if named(j) {
		return j.Do
	}
	return j.Item + ": " + j.Do
}

// named reports whether the words of a job name its item.
func named(j verdict.Job) bool {
	for word := range strings.FieldsSeq(j.Do) {
		if strings.Trim(word, ",.;:()") == j.Item {
			return true
		}
	}
	return false
}

// Noted says which facts to note while the tools are there, beside the work of a line; it is
// empty where the work is to note them.
func Noted(j verdict.Job) string {
	var names []string
	if j.Phase == "record" {
		return ""
	}
	for _, s := range j.Sets {
		_, name, found := strings.Cut(s.Name, ".found.")
		if !found {
			_, name, _ = strings.Cut(strings.TrimPrefix(s.Name, j.Kind+"."), ".")
		}
		names = append(names, FieldName(name))
	}
	return strings.Join(names, ", ")
}

// Shortly words a job in its first clause; of what is to be written down it says how much.
func Shortly(j verdict.Job) string {
	gist := Gist(j.Do)
	if n := len(j.Sets); j.Phase == "record" && gist != j.Do && n > 0 {
		gist += " " + Count(n, "fact", "facts")
	}
	return gist
}

// FieldName words the path of a fact inside its item: 'found', which every fact of a vehicle is,
// is left out.
func FieldName(path string) string {
	return strings.ReplaceAll(Spoken(strings.TrimPrefix(path, "found.")), ".", " ")
}

// Fact words one fact that is missing: what to look at, then its place in the
// build file and the words that may stand there; or why it was not computed.
func Fact(m verdict.Missing) string {
	where := m.Path
	if m.Words != "" {
		where += ": " + m.Words
	}
	switch {
	case m.Path == "":
		return cmp.Or(m.Reason, m.Doc)
	case m.Doc == "":
		return where
	}
	return m.Doc + " (" + where + ")"
}

// Facts words what is missing, each once, up to a limit.
func Facts(needs []verdict.Missing, limit int) []string {
	var lines []string
	for _, m := range needs {
		if text := Fact(m); text != "" && !slices.Contains(lines, text) {
			lines = append(lines, text)
		}
	}
	if more := len(lines) - limit; more > 0 {
		lines = append(lines[:limit], "and "+Count(more, "more fact", "more facts"))
	}
	return lines
}

// briefFacts is how many facts a finding on one line asks for.
const briefFacts = 3

// Open reports whether a finding leaves open whether anything is wrong, because a fact
// is missing. A caution is not open, as a stop is not: what it wants was recorded and is
// not so, even where nobody wrote down whether its rule applies.
func Open(f *verdict.Finding) bool { return f.Outcome == verdict.NotRecorded }

// Say is a finding in one sentence. It states nothing that nobody knows: what is
// open asks for the facts, and a fault that came up only because nobody wrote down
// whether its rule applies says so.
func Say(f *verdict.Finding) string {
	if Open(f) {
		if facts := Facts(f.Missing, briefFacts); len(facts) > 0 {
			return f.Item + ": not recorded: " + strings.Join(facts, "; ")
		}
		return cmp.Or(f.Say, f.Item+": not recorded")
	}
	if asked := Asked(f); asked != "" {
		return f.Say + asLongAs + asked + ")"
	}
	return f.Say
}

// asLongAs comes before the reason for which a rule was asked.
const asLongAs = " (it counts as long as "

// unasked are the fields of the file, or the reasons, for which a rule was asked of an item
// although nobody knows whether it applies.
func unasked(f *verdict.Finding) (fields []verdict.Missing, reasons []string) {
	if Open(f) {
		return nil, nil
	}
	for _, m := range f.Missing {
		if m.Path != "" {
			_, field, _ := strings.Cut(m.Path, "."+f.Item+".")
			m.Path = cmp.Or(field, m.Path)
			fields = append(fields, m)
		} else if text := cmp.Or(m.Reason, m.Doc); !slices.Contains(reasons, text) {
			reasons = append(reasons, text)
		}
	}
	return fields, reasons
}

// Asked says why a rule was asked of an item although nobody knows whether it
// applies; it is empty for other findings.
func Asked(f *verdict.Finding) string {
	fields, reasons := unasked(f)
	var paths []string
	for _, m := range fields {
		what, _, _ := strings.Cut(m.Doc, ";") // the rest explains the words of the field
		if what == "" {
			paths = append(paths, m.Path)
		} else {
			paths = append(paths, what+" ("+m.Path+")")
		}
	}
	switch {
	case len(paths) > 0:
		return "this is not written down: " + some(paths)
	case len(reasons) > 0:
		return "this is not known yet: " + some(reasons)
	}
	return ""
}

// some joins the first texts of a list and counts the others.
func some(list []string) string {
	if more := len(list) - briefFacts; more > 0 {
		list = append(slices.Clone(list[:briefFacts]), fmt.Sprintf("and %d more", more))
	}
	return strings.Join(list, "; ")
}

// Brief is the findings of one rule that do not block and say the same of their items,
// but for figures.
type Brief struct {
	Outcome verdict.Outcome // NotRecorded where nobody knows
	Kind    string          // of the items
	Items   []string
	Text    string // of the items, without their names; figures that differ as 'one and other' or 'least to most'
	Rule    string
}

// Briefly puts the findings of one rule that say the same together. What states a fact
// comes before what is only not recorded.
func Briefly(list []verdict.Finding) []Brief { return briefly(list, Say) }

func briefly(list []verdict.Finding, say func(*verdict.Finding) string) []Brief {
	type key struct {
		rule, say string
		open      bool
	}
	at := map[key]int{}
	var briefs []Brief
	var texts [][]string // of the items of each
	for i := range list {
		f := &list[i]
		text := unnamed(f, say(f))
		text = strings.ReplaceAll(text, cmp.Or(f.Kind, "moves")+"."+f.Item+".", "") // a field of what stands in front
		k := key{f.Rule, figure.ReplaceAllString(strings.ReplaceAll(text, f.Item, "\x00"), "$1#$3"), Open(f)}
		n, seen := at[k]
		if !seen {
			n = len(briefs)
			at[k] = n
			outcome := f.Outcome
			if k.open {
				outcome = verdict.NotRecorded
			}
			briefs, texts = append(briefs, Brief{Outcome: outcome, Kind: f.Kind, Rule: f.Rule}), append(texts, nil)
		}
		briefs[n].Items, texts[n] = append(briefs[n].Items, f.Item), append(texts[n], text)
	}
	for i := range briefs {
		briefs[i].Text = together(texts[i])
	}
	slices.SortStableFunc(briefs, func(a, b Brief) int {
		return cmp.Compare(rank(a), rank(b))
	})
	return briefs
}

// unnamed is what is said of an item without its name in front. Of a move it may be said of
// one of its steps, which is named.
func unnamed(f *verdict.Finding, text string) string {
	if f.Kind == "moves" {
		text = strings.TrimPrefix(text, f.Item+", ")
	}
	return strings.TrimPrefix(text, f.Item+": ")
}

// figure is a number that stands by itself, with its sign, not one in a name or a thread.
var figure = regexp.MustCompile(`(^|[ (±])(-?[0-9]+(?:\.[0-9]+)?)( |%|$)`)

// together makes one text of several that differ in figures alone: where they do, it says
// each of two, and of more the least and the most.
func together(texts []string) string {
	text := texts[0]
	if !slices.ContainsFunc(texts, func(t string) bool { return t != text }) {
		return text
	}
	var rows [][]string // of each text its figures
	for _, t := range texts {
		var row []string
		for _, parts := range figure.FindAllStringSubmatch(t, -1) {
			row = append(row, parts[2])
		}
		rows = append(rows, row)
	}
	n := -1
	return figure.ReplaceAllStringFunc(text, func(s string) string {
		n++
		value := func(row []string) float64 {
			v, _ := strconv.ParseFloat(row[n], 64)
			return v
		}
		byValue := func(a, b []string) int { return cmp.Compare(value(a), value(b)) }
		least, most := slices.MinFunc(rows, byValue)[n], slices.MaxFunc(rows, byValue)[n]
		said := least + " to " + most
		switch {
		case least == most:
			return s
		case len(rows) == 2:
			said = rows[0][n] + " and " + rows[1][n]
		}
		return strings.Replace(s, rows[0][n], said, 1)
	})
}

func rank(b Brief) int {
	if b.Outcome == verdict.NotRecorded {
		return 1
	}
	return 0
}

// Soft lists the findings that ask for a look and do not block.
func Soft(m *verdict.Move) []verdict.Finding {
	var list []verdict.Finding
	for _, f := range m.Findings {
		if f.Outcome == verdict.Caution || f.Outcome == verdict.NotRecorded && !f.Blocks() {
			list = append(list, f)
		}
	}
	return list
}

// Item is one item to be looked at, with every fact that some rule needs of it.
type Item struct {
	Place, ID string
	Span      source.Span
	Rules     []string
	Facts     []verdict.Missing
	Say       string // what the finding says, where it names no fact
}

// ToLook puts what the findings wait for together by the item whose fact it is, in the order
// of places in which they come up.
func ToLook(list []verdict.Finding) []Item {
	var items []Item
	to := func(id, place string, f *verdict.Finding) *Item {
		i := slices.IndexFunc(items, func(o Item) bool { return o.Place == place && o.ID == id })
		if i < 0 {
			i = len(items)
			items = append(items, Item{Place: place, ID: id, Span: f.Span, Say: f.Say})
		}
		if !slices.Contains(items[i].Rules, f.Rule) {
			items[i].Rules = append(items[i].Rules, f.Rule)
		}
		return &items[i]
	}
	for _, f := range ByPlace(list) {
		if len(f.Missing) == 0 {
			to(f.Item, f.Place, &f)
		}
		for _, need := range f.Missing {
			id, place := f.Item, f.Place
			if of := owner(need); of != "" && of != f.Item {
				id = of
				place = need.Place
			}
			item := to(id, place, &f)
			if !slices.ContainsFunc(item.Facts, func(m verdict.Missing) bool { return Fact(m) == Fact(need) }) {
				item.Facts = append(item.Facts, need)
			}
		}
	}
	return items
}

// ByPlace puts the findings of one place together, and inside a place those of one
// rule, in the order in which each first comes up.
func ByPlace(findings []verdict.Finding) []verdict.Finding {
	var places, rules []string
	for _, f := range findings {
		if !slices.Contains(places, f.Place) {
			places = append(places, f.Place)
		}
		if !slices.Contains(rules, f.Place+"\x00"+f.Rule) {
			rules = append(rules, f.Place+"\x00"+f.Rule)
		}
	}
	list := slices.Clone(findings)
	slices.SortStableFunc(list, func(a, b verdict.Finding) int {
		return cmp.Or(
			cmp.Compare(slices.Index(places, a.Place), slices.Index(places, b.Place)),
			cmp.Compare(slices.Index(rules, a.Place+"\x00"+a.Rule), slices.Index(rules, b.Place+"\x00"+b.Rule)),
		)
	})
	return list
}
