package plain

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"setdown/model/quantity"
	"setdown/rules/verdict"
)

// Sheet is what a tired person reads of one move, in this order, on a terminal, a page
// or paper: the verdict, what stops it, what to look at, cautions, what to buy.
type Sheet struct {
	Decision verdict.Decision
	Title    string // what the move does
	Source   string // file, vehicle, day
	// Bold and Rest are the verdict in sentences; Bold is the one that must be read.
	Bold, Rest string
	Assumed    []string
	// What stops it, worst first, alike things together. Faults stand before questions.
	Stops []Stop
	Jobs  string   // how many jobs clear how many stops
	Waits []string // stops that only follow from others
	After string   // what is left when the jobs are done
	Fails string   // what happens if one of the faults lets go
	Looks []Look   // facts that nobody recorded and that stop it
	Soft  []Look   // facts that are asked for and do not stop it
	// First are the facts without which no loads are computed: before them nobody knows
	// what carries, and so what else is to be asked. Then Looks is what is known so far.
	First []Look
	// Cautions are the findings that neither stop it nor ask for a fact.
	Cautions []string
	Waived   []string
	Buy      []string
	Steps    []Row
	Nearest  string   // the item nearest to its limit; empty where no strength was computed
	Idle     string   // what is known to be bad and carries nothing; empty where there is none
	Until    string   // how long a GO stays one, and what runs out then
	Awaits   []string // the orders that the move waits for, and what comes then
	Another  string   // the way that has less left to do; empty where none was found
}

// Stop is one fault, or several that are alike, with the work that cures it.
type Stop struct {
	Number int
	Items  []string
	Places []string          // of the items
	At     [][]verdict.Point // where each item is on the vehicle
	Over   bool              // loaded past its strength
	Kind   string
	Phase  string // of its work
	Fault  string
	Fix    string
	state  string
	step   bool // the fault names a step first
	called Naming
}

// Naming words several items as one name: Names or Called.
type Naming func(ids []string) string

// All words its questions, one behind the other.
func (l Look) All() string { return inRow(l.Questions) }

func inRow(questions []string) string {
	return strings.ReplaceAll(strings.Join(questions, "; "), "?; ", "? ")
}

// Name words the items.
func (s Stop) Name() string {
	if s.Kind == "moves" {
		return "the move"
	}
	return s.called(s.Items)
}

// Gist is the fault in few words. What is said of one step of the move has its name in
// front.
func (s Stop) Gist() string {
	if s.step {
		return GistOf(s.Fault)
	}
	return Gist(s.Fault)
}

// Look is one item, or several that are alike, with the questions about it.
type Look struct {
	Place     string
	Items     []string
	Questions []string
	Name      string // of the items
}

// Row is one step in figures.
type Row struct {
	Name, Watch      string
	Support          string // the one that is nearest to its plate, or carries most
	Carries, Plate   string
	Inside, Unsolved string // how far the centre of gravity is inside the supports; why there are no figures
}

// NewSheet puts a move together for a reader, who knows the items by such names.
func NewSheet(r *verdict.Report, m *verdict.Move, called Naming) Sheet {
	s := Sheet{
		Decision: m.Decision, Title: cmp.Or(m.Title, Spoken(m.Kind)), Assumed: r.Assumed, Source: Source(r), Another: anotherWay(m, called), After: onceDone(m),
	}
	s.stops(m, called)
	first, rest := firstOf(m)
	s.First, s.Looks = looks(first, called), looks(rest, called)
	s.Cautions, s.Soft = cautions(m, called)
	for _, f := range m.Of(verdict.Waived) {
		text := Say(&f)
		if w := f.Waiver; w != nil {
			text += fmt.Sprintf(" (waived by %s until %s: %s)", w.By, w.Until, w.Reason)
		}
		s.Waived = append(s.Waived, text)
	}
	for _, b := range m.Punch.Buy {
		s.Buy = append(s.Buy, Part(b))
	}
	s.Until = Until(m)
	for _, a := range m.Awaits {
		s.Awaits = append(s.Awaits, Awaited(r, a))
	}
	s.Idle = idle(m, called)
	u := Figures(r.Units)
	for i := range m.Steps {
		s.Steps = append(s.Steps, u.row(&m.Steps[i]))
	}
	if len(m.Tightest) > 0 {
		t := m.Tightest[0]
		s.Nearest = fmt.Sprintf("%s at %s of what it can take (%s)", t.Item, Percent(t.Utilisation), t.Check)
	}
	s.Bold, s.Rest = sentence(r, m, &s)
	return s
}

// idle names what was found bad and is only noted, for nothing rests on it in any step of this
// move: it is not to be forgotten for the next.
func idle(m *verdict.Move, called Naming) string {
	var items []string
	for _, f := range m.Of(verdict.Note) {
		if f.KnownBad && len(f.Steps) == len(m.Steps) && !slices.Contains(items, f.Item) {
			items = append(items, f.Item)
		}
	}
	if len(items) == 0 {
		return ""
	}
	return fmt.Sprintf("Known bad, but nothing rests on it in this move: %s (%d)", called(items), len(items))
}

// said is a brief as a sheet says it, which is about one move and need not name it.
func (b Brief) said(called Naming) string {
	if b.Kind == "moves" {
		return Capital(b.Text)
	}
	return called(b.Items) + ": " + b.Text
}

// Own says in one sentence what of the rules is the builder's own choice; it is empty
// where nothing is.
func Own(r *verdict.Report) string {
	var parts []string
	add := func(what string, list []string) {
		if len(list) > 0 {
			parts = append(parts, what+": "+strings.Join(list, ", "))
		}
	}
	add("your own rules", r.RuleSet.Added)
	add("switched off", r.RuleSet.Disabled)
	var changed []string
	for _, v := range r.Policy {
		if v.Changed {
			changed = append(changed, v.Name+" = "+v.Value)
		}
	}
	add("changed policy", changed)
	if len(parts) == 0 {
		return ""
	}
	return Capital(strings.Join(parts, "; ")) + "."
}

// Part words one line of what to buy.
func Part(b verdict.Purchase) string {
	if b.Quantity == 1 {
		return b.Part
	}
	return fmt.Sprintf("%d × %s", b.Quantity, b.Part)
}

// notSafe stands under every NO-GO: only the move was judged, not how the vehicle stands now.
const notSafe = "This does not say that the vehicle is safe where it is now: if it is on a jack or crane, keep everybody clear."

// readFirst asks to read the cautions of a GO.
func readFirst(cautions int) string {
	if cautions == 1 {
		return "read the caution first"
	}
	return fmt.Sprintf("read the %d cautions first", cautions)
}

// sentence is the verdict in words that nobody can take for leave.
func sentence(r *verdict.Report, m *verdict.Move, s *Sheet) (bold, rest string) {
	if m.Decision == verdict.Go {
		bold = "GO means only this: nothing written in the file stops this move."
		rest = "It is not permission and not proof. Check the vehicle itself first; makers' instructions, local law and qualified people come before this sheet, and the person in charge decides."
		if n := len(s.Waived); n > 0 {
			bold = fmt.Sprintf("GO only because %s waived, and somebody answers for that. ", Count(n, "stop is", "stops are")) + bold
		}
		if r.Checklist {
			rest = "GO for a checklist: loads, balance and strength were not computed. " + rest
		}
		if n := len(s.Cautions) + len(s.Soft); n > 0 {
			rest += " " + Capital(readFirst(n)) + "."
		}
		if len(r.Assumed) > 0 {
			bold = "WHAT-IF ONLY: this rests on assumptions that nobody has found on the vehicle. Do not move weight on it."
		}
		return bold, rest
	}
	rest = notSafe
	if r.Checklist {
		rest += " A checklist: loads, balance and strength are not computed."
	}
	bold = cmp.Or(Tally(m), "Nothing was checked")
	if n := len(s.Waived); n > 0 {
		bold += ", and " + Count(n, "more is waived", "more are waived")
	}
	return bold + ". Do not make it.", rest
}

// stops makes a stop of every job that clears a fault, those alike as one.
func (s *Sheet) stops(m *verdict.Move, called Naming) {
	type key struct{ rule, item string }
	found := map[key]*verdict.Finding{}
	for i := range m.Findings {
		f := &m.Findings[i]
		if k := (key{f.Rule, f.Item}); f.Blocks() && found[k] == nil {
			found[k] = f
		}
	}
	cleared := 0
	jobs := 0
	numbers := map[string]int{}            // of stops, by item
	follow := map[int][]string{}           // items that wait for a stop, by its number
	worst := map[string]*verdict.Finding{} // by item
	var follows []verdict.Cleared
	causes := map[string]string{} // what a following finding waits for
	for _, job := range m.Punch.Jobs {
		var cause *verdict.Finding
		for _, c := range job.Clears {
			f := found[key{c.Rule, c.Item}]
			switch {
			case f == nil:
			case f.Outcome == verdict.NotRecorded:
			case c.Follows:
				follows = append(follows, c)
				causes[c.Item] = job.Item
				cleared++
			default:
				cleared++
				if cause == nil || graver(f, cause) {
					cause = f
				}
			}
		}
		if cause == nil {
			continue // it asks for facts, and stands with them
		}
		jobs++
		worst[job.Item] = cause
		stop := Stop{Items: []string{job.Item}, Places: []string{cause.Place}, At: [][]verdict.Point{cause.At}, Over: use(cause) > 1, Kind: job.Kind, Phase: job.Phase, Fault: Fault(cause), Fix: job.Do, state: cause.LetsGo, step: strings.HasPrefix(cause.Say, job.Item+", "), called: called}
		if i := slices.IndexFunc(s.Stops, func(o Stop) bool {
			return o.Fault == stop.Fault && o.Fix == stop.Fix && o.Kind == stop.Kind && o.state == stop.state
		}); i >= 0 {
			s.Stops[i].Items, s.Stops[i].Places = append(s.Stops[i].Items, job.Item), append(s.Stops[i].Places, cause.Place)
			s.Stops[i].At, s.Stops[i].Over = append(s.Stops[i].At, cause.At), s.Stops[i].Over || stop.Over
			continue
		}
		s.Stops = append(s.Stops, stop)
	}
	slices.SortStableFunc(s.Stops, func(a, b Stop) int { return cmp.Compare(fate(a.state), fate(b.state)) })
	for i := range s.Stops {
		s.Stops[i].Number = i + 1
		for _, item := range s.Stops[i].Items {
			numbers[item] = i + 1
		}
	}
	for _, c := range follows {
		n := numbers[causes[c.Item]]
		if !slices.Contains(follow[n], c.Item) {
			follow[n] = append(follow[n], c.Item)
		}
	}
	if items := follow[0]; len(items) == 1 {
		s.Waits = append(s.Waits, called(items)+" waits for what is not written down")
	} else if len(items) > 1 {
		s.Waits = append(s.Waits, called(items)+" wait for what is not written down")
	}
	for n := 1; n <= len(s.Stops); n++ {
		switch items := follow[n]; len(items) {
		case 0:
		case 1:
			s.Waits = append(s.Waits, fmt.Sprintf("%s waits for %d", called(items), n))
		default:
			s.Waits = append(s.Waits, fmt.Sprintf("%s wait for %d", called(items), n))
		}
	}
	if jobs > 0 {
		s.Jobs = Count(jobs, "job clears", "jobs clear")
		switch all := len(m.Stopping()); {
		case cleared >= all && all > 1:
			s.Jobs += fmt.Sprintf(" all %d", all)
		case cleared >= all:
			s.Jobs += " it"
		default:
			s.Jobs += fmt.Sprintf(" %d", cleared)
		}
	}
	s.Fails = fails(s.Stops)
}

// fates are what happens when an item lets go, gravest first.
var fates = []struct{ how, words string }{{"falls", "the vehicle falls"}, {"rocks", "the vehicle drops a corner"}, {"drops", "what hangs on it swings or drops"}}

func fate(how string) int {
	for i, f := range fates {
		if f.how == how {
			return i
		}
	}
	return len(fates)
}

// fails says in one line what happens if the faults let go.
func fails(stops []Stop) string {
	var parts []string
	for _, f := range fates {
		var first, last, n int // they stand together: the stops are sorted by it
		for _, s := range stops {
			if s.state == f.how {
				first, last, n = cmp.Or(first, s.Number), s.Number, n+1
			}
		}
		switch {
		case n == 0:
		case n == len(stops) && n > 1:
			return "If any of these fails, " + f.words + "."
		case n == 1:
			parts = append(parts, fmt.Sprintf("if %d fails, %s", first, f.words))
		case n == 2:
			parts = append(parts, fmt.Sprintf("if %d or %d fails, %s", first, last, f.words))
		default:
			parts = append(parts, fmt.Sprintf("if any of %d to %d fails, %s", first, last, f.words))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return Capital(strings.Join(parts, "; ")) + "."
}

func graver(a, b *verdict.Finding) bool {
	return cmp.Or(cmp.Compare(fate(a.LetsGo), fate(b.LetsGo)), -cmp.Compare(use(a), use(b))) < 0
}

func use(f *verdict.Finding) float64 {
	if f.Load == nil {
		return 0
	}
	return f.Load.Utilisation
}

// Fault is what a finding says, without the name of its item in front, why it was asked in
// few words, and why a waiver of it does not count.
func Fault(f *verdict.Finding) string {
	text := unnamed(f, f.Say)
	fields, reasons := unasked(f)
	own := slices.DeleteFunc(fields, func(m verdict.Missing) bool { return owner(m) != "" }) // of the item itself
	switch {
	case len(own) > 0:
		names := make([]string, len(own))
		for i, m := range own {
			names[i] = cmp.Or(strings.ToLower(m.Ask), FieldName(m.Path))
		}
		text += asLongAs + "nobody writes down: " + some(names) + ")"
	case len(fields) > 0:
		text += asLongAs + "nobody can say what it carries)"
	case len(reasons) > 0:
		text += asLongAs + "nobody can say whether it matters here)"
	}
	if w := f.Waiver; w != nil && !w.Counts {
		text += fmt.Sprintf(" (the waiver by %s does not count: %s)", w.By, w.Refused)
	}
	return text
}

// looks puts the items that wait for facts together, those alike as one.
func looks(findings []verdict.Finding, called Naming) []Look {
	var all []Look
	for _, item := range ToLook(findings) {
		l := Look{Place: item.Place, Items: []string{item.ID}}
		for _, m := range item.Facts {
			q := question(m)
			if !slices.Contains(l.Questions, q) {
				l.Questions = append(l.Questions, q)
			}
		}
		if len(l.Questions) == 0 {
			l.Questions = []string{strings.TrimPrefix(item.Say, item.ID+": ")}
		}
		if i := slices.IndexFunc(all, func(o Look) bool { return slices.Equal(o.Questions, l.Questions) }); i >= 0 {
			all[i].Items = append(all[i].Items, item.ID)
			if all[i].Place != l.Place {
				all[i].Place = ""
			}
			continue
		}
		all = append(all, l)
	}
	for i := range all {
		l := &all[i]
		if l.Name = called(l.Items); strings.Contains(l.Name, Spoken(l.Place)) {
			l.Place = "" // the name says it
		}
	}
	return all
}

// firstOf parts what stops a move for lack of facts into what its loads wait for and the rest.
func firstOf(m *verdict.Move) (first, rest []verdict.Finding) {
	if len(m.First) == 0 {
		return nil, m.Unrecorded()
	}
	places := map[string]string{}
	for _, f := range m.Findings {
		places[f.Item] = f.Place
	}
	first = firstFindings(m.ID, m.First, places)
	for _, f := range m.Unrecorded() {
		asked := len(f.Missing)
		f.Missing = slices.DeleteFunc(slices.Clone(f.Missing), func(need verdict.Missing) bool {
			return slices.ContainsFunc(m.First, func(o verdict.Missing) bool { return o.Path == need.Path })
		})
		if len(f.Missing) > 0 || asked == 0 {
			rest = append(rest, f)
		}
	}
	return first, rest
}

// firstFindings are what the loads of a move wait for, by the items that have it.
func firstFindings(move string, needs []verdict.Missing, places map[string]string) []verdict.Finding {
	var list []verdict.Finding
	for _, need := range needs {
		id := cmp.Or(owner(need), move)
		list = append(list, verdict.Finding{Item: id, Place: places[id], Missing: []verdict.Missing{need}})
	}
	return list
}

// question is one fact in few words: what comes after a semicolon explains.
func question(m verdict.Missing) string {
	if m.Ask != "" {
		return m.Ask
	}
	text, _, _ := strings.Cut(Fact(verdict.Missing{Path: "", Reason: cmp.Or(m.Doc, m.Path, m.Reason)}), ";")
	return text
}

// owner is the item whose fact is missing; empty for a fact of the vehicle or of the site.
func owner(m verdict.Missing) string {
	parts := strings.SplitN(m.Path, ".", 3)
	if len(parts) < 3 || parts[0] == "vehicle" || parts[0] == "site" {
		return ""
	}
	return parts[1]
}

// open picks the findings that only ask for facts.
func open(list []verdict.Finding) []verdict.Finding {
	return slices.DeleteFunc(list, func(f verdict.Finding) bool { return !Open(&f) || len(f.Missing) == 0 })
}

// cautions are those of a move as every writer lists and counts them, alike ones as one: what is
// stated, and what is only asked.
func cautions(m *verdict.Move, called Naming) (stated []string, asked []Look) {
	for _, b := range briefly(told(m), Fault) {
		stated = append(stated, b.said(called))
	}
	return stated, looks(open(Soft(m)), called)
}

// told lists the cautions that state something.
func told(m *verdict.Move) []verdict.Finding {
	return slices.DeleteFunc(Soft(m), func(f verdict.Finding) bool { return Open(&f) && len(f.Missing) > 0 })
}

func (u Figures) row(s *verdict.Step) Row {
	row := Row{Name: s.Name, Watch: strings.Join(s.Watch, "; ")}
	row.Unsolved = Solved(s)
	var most *verdict.Reaction
	share := func(r *verdict.Reaction) float64 {
		if r.Rated == nil || r.Rated.Value <= 0 {
			return 0
		}
		return r.Worst.Value / r.Rated.Value
	}
	for i := range s.Supports {
		r := &s.Supports[i]
		if r.Worst != nil && (most == nil || cmp.Or(cmp.Compare(share(r), share(most)), cmp.Compare(r.Worst.Value, most.Worst.Value)) > 0) {
			most = r
		}
	}
	if most != nil {
		row.Support, row.Carries = most.ID, u.Shown(*most.Worst)
		if most.Rated != nil {
			row.Plate = u.Shown(*most.Rated)
		}
	}
	if s.Stability != nil {
		row.Inside = u.Shown(s.Stability.Margin)
	}
	return row
}

// Usual are the cautions under every report.
var Usual = []string{
	"This sheet compares what is written in the file with a set of rules. It has not seen the vehicle, it can be wrong, and it gives no permission.",
	"Makers' instructions (vehicle, parts, stands, jack, hoist, crane), local law and qualified people come first: where they differ from this sheet, follow them. Where an answer in the file is a guess, ask a qualified person before weight moves.",
	"No part of anybody goes under a vehicle that is moving, that is on a jack or crane, or that is on a hoist off its locks.",
	"While weight moves: only the people needed, nobody under it, in it or where it could fall. One named person gives the word; anybody may call stop.",
	"Move it a little at a time with the old supports close below. After each stage stop and look at every support, strap and lock.",
	"If anything creaks, leans, leaks or differs from this sheet, stop and stand clear; never reach in to save it. Any change after the check makes this sheet void.",
}

// UsualShort are the same for a terminal, a line each.
var UsualShort = []string{
	"This compares the file with rules. It has not seen the vehicle, can be wrong.",
	"Makers' instructions, local law and qualified people come before this sheet.",
	"Nobody under a vehicle that moves, is on a jack or crane, or off hoist locks.",
	"Only the people needed, none where it could fall; anybody may call stop.",
	"A little at a time, old supports close below; at each stage stop and look.",
	"If it creaks, leans or leaks, stand clear. Any change makes this sheet void.",
}

// Figures prints figures in the measures that a builder thinks in.
type Figures quantity.System

// Shown prints a figure to be read: whole from ten on, for nothing here is known better
// than that; in inches one digit more.
func (u Figures) Shown(f verdict.Figure) string {
	f.Value, f.Unit = quantity.System(u).Of(f.Value, f.Unit)
	return Shown(f)
}

// Full prints a figure to be retraced, as exactly as it was computed.
func (u Figures) Full(f verdict.Figure) string {
	f.Value, f.Unit = quantity.System(u).Of(f.Value, f.Unit)
	return f.String()
}

// Source is the file, the vehicle and the day that a verdict is about.
func Source(r *verdict.Report) string {
	return strings.Join(slices.DeleteFunc([]string{r.File, r.Vehicle, r.Today.String()}, func(s string) bool { return s == "" }), ", ")
}

// BoardLead is the verdict on all moves of a file in a sentence.
func BoardLead(r *verdict.Report) string {
	if len(r.Moves) == 0 {
		return "The file has no moves: nothing was checked. Write the move you plan under 'moves', with its steps and supports."
	}
	free := 0
	for i := range r.Moves {
		if r.Moves[i].Decision == verdict.Go {
			free++
		}
	}
	state := fmt.Sprintf("nothing recorded stops %d of %d moves", free, len(r.Moves))
	if free == 0 {
		state = fmt.Sprintf("none of %s can go", Count(len(r.Moves), "move", "moves"))
	}
	if len(r.Assumed) > 0 {
		return "WHAT-IF ONLY: with what is assumed, " + state + ". Nobody has found it on the vehicle. Do not move weight on it."
	}
	if free == 0 {
		return Capital(state) + ". " + notSafe
	}
	return Capital(state) + ". This is not permission."
}

// GistOf is the gist of a text that names its items first: the names alone say nothing.
func GistOf(text string) string {
	names, what, found := strings.Cut(text, ": ")
	if !found {
		return Gist(text)
	}
	gist := names + ": " + Gist(what)
	if strings.Contains(what, asLongAs) {
		gist += " (it counts until more is written down)"
	}
	return gist
}

// Gist is the first clause of a text, where what follows only explains it.
func Gist(text string) string {
	for _, end := range []string{asLongAs, " (the waiver", "; ", ", so that ", ", so ", ", because ", ", ends "} {
		if i := strings.Index(text, end); i > 0 {
			text = text[:i]
		}
	}
	// After a colon comes how it is done, but not after the name of an item.
	if do, _, how := strings.Cut(text, ": "); how && strings.Contains(do, " ") {
		return do
	}
	return text
}

// State says of a move in one line what it waits for.
func State(m *verdict.Move) string {
	if m.Decision == verdict.Go {
		text := "Nothing recorded stops it."
		if m.Until != nil {
			text += fmt.Sprintf(" Its looks count until %s.", m.Until.Last)
		}
		if n := len(m.Of(verdict.Waived)); n > 0 {
			text = fmt.Sprintf("GO only because %s waived.", Count(n, "stop is", "stops are"))
		}
		if n := Cautions(m); n > 0 {
			text += " " + Count(n, "caution", "cautions") + "."
		}
		if m.SignOff != nil && !m.SignOff.Stands {
			text += " Its sign-off is no longer valid."
		}
		return text
	}
	text := Tally(m)
	if m.Stops() == 1 {
		for _, f := range m.Stopping() {
			text = Say(&f)
		}
	}
	if len(m.First) > 0 {
		return text
	}
	if m.Unsolved {
		// Nobody knows yet what the loads will ask for, parts to buy among it.
		return text + ": " + KnownSoFar(m.Punch.Jobs)
	}
	var words []string
	for _, phase := range verdict.Phases {
		n := 0
		for _, j := range m.Punch.Jobs {
			if j.Phase == phase {
				n++
			}
		}
		if n > 0 {
			words = append(words, fmt.Sprintf("%s %d", phase, n))
		}
	}
	text += ": " + Count(len(m.Punch.Jobs), "job", "jobs") + " (" + strings.Join(words, ", ") + ")"
	if n := len(m.Punch.Buy); n > 0 {
		text += fmt.Sprintf("; %d to buy", n)
	}
	return text
}

// Questions words the questions of a look: one as it is, of several how many and the
// first.
func Questions(l Look) string {
	const few = 4
	of := ""
	if len(l.Items) > 1 {
		of = " each"
	}
	switch n := len(l.Questions); {
	case n == 1:
		return l.Questions[0]
	case n <= few:
		return fmt.Sprintf("%d questions%s: %s", n, of, l.All())
	default:
		return fmt.Sprintf("%d questions%s: %s", n, of, inRow(append(slices.Clone(l.Questions[:few]), "...")))
	}
}

// OnPlate is the load of a support as the mass that its plate is marked with, and every
// other force as a force.
func OnPlate(s *verdict.Strength, f verdict.Figure) verdict.Figure {
	if s.Kind == "supports" && f.Unit == "N" {
		return verdict.Figure{Value: f.Value / quantity.Gravity, Unit: "kg"}
	}
	return f
}
