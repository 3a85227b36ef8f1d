package html

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"setdown/reports/plain"
	"setdown/reports/svg"
	"setdown/rules/verdict"
)

// file is a report as the page shows it.
type file struct {
	*verdict.Report
	Name    string
	Lead    string // of several moves
	Own     string // what of the rules is the builder's own choice
	Several bool   // moves
	OnOrder []string
	Sheets  []sheet
	// Workings are those of a move alone. With several moves the page is the board and a
	// sheet for each.
	Workings *workings
}

// sheet is a move on one sheet of paper.
type sheet struct {
	plain.Sheet
	ID       string
	Move     *verdict.Move
	Stops    []stop
	More     []string // what is left out for want of room
	Overview *svg.Picture
	Corners  []corner
	Own      string
	State    string
	Factor   string
	Careful  int      // cautions, with those that are not on the sheet
	Why      []string // the sign-off is no longer valid
}

// stop is a fault with its cure, as long as there is room for it.
type stop struct {
	plain.Stop
	Head, Fix string
	Boxes     []string // the items that have a box to tick
}

// corner is a place with the numbers of its faults.
type corner struct {
	Place, Words string
	View         svg.Picture
}

func newFile(r *verdict.Report) file {
	f := file{Report: r, Name: name(r), Lead: plain.BoardLead(r), Own: plain.Own(r), Several: len(r.Moves) != 1, OnOrder: plain.Orders(r)}
	for i := range r.Moves {
		f.Sheets = append(f.Sheets, newSheet(r, &r.Moves[i]))
	}
	if !f.Several {
		f.Workings = newWorkings(r, &r.Moves[0])
	}
	return f
}

func newSheet(r *verdict.Report, m *verdict.Move) sheet {
	s := sheet{Sheet: plain.NewSheet(r, m, plain.Called), ID: m.ID, Move: m, Own: plain.Own(r), State: short(r.State)}
	for _, p := range r.Policy {
		if p.Name == "design_factor" {
			s.Factor = p.Value
		}
	}
	if len(m.Steps) > 0 {
		if step := svg.Step(m); step.Outline != nil || slices.ContainsFunc(step.Supports, func(r verdict.Reaction) bool { return r.At != nil }) {
			s.draw(step, plain.Figures(r.Units))
		}
	}
	s.Title, s.Careful = plain.Capital(s.Title), len(s.Cautions)+len(s.Soft)
	for _, texts := range [][]string{s.Cautions, s.Waits} {
		for i, text := range texts {
			texts[i] = plain.Capital(text)
		}
	}
	for _, looks := range [][]plain.Look{s.First, s.Looks, s.Soft} {
		for i := range looks {
			looks[i].Name = plain.Capital(looks[i].Name)
		}
	}
	s.fit()
	return s
}

// draw makes the pictures: the whole vehicle, and the corners in which something stops
// the move.
func (s *sheet) draw(step *verdict.Step, figures plain.Figures) {
	marks := svg.Marks(s.Sheet.Stops, step)
	overview := svg.Overview(step, marks, figures)
	s.Overview = &overview
	for _, place := range svg.Marked(step, marks) {
		here := slices.DeleteFunc(slices.Clone(marks), func(m svg.Mark) bool { return m.Place != place })
		s.Corners = append(s.Corners, corner{plain.Capital(plain.Spoken(place)), clip(svg.Caption(here), 3*inCaption), svg.Corner(step, place, marks, figures)})
	}
}

// Sizes on paper, in millimetres. They are those of the style sheet; the letters of
// DejaVu Sans are the widest that it asks for.
const (
	paper   = 253.0 // height of a sheet that A4 and Letter both have
	fixed   = 67.0  // plate, heads, the six cautions, the foot
	line    = 4.3   // one line of text
	gap     = 2.4   // around a fault
	row     = 6.2   // of the steps, with a box
	signed  = 27.0  // the signatures, and the line for a fault
	drawing = 96.0  // width of the whole vehicle
	corners = 41.0  // width of a corner
)

// boxes is how many items of a fault have a box, keptSteps how many steps have their row before
// anything that nobody recorded.
const (
	boxes     = 6
	keptSteps = 8
)

// Letters in a line.
const (
	inTitle   = 46
	inVerdict = 84 // in its larger letters
	inHead    = 37 // of a fault
	inFix     = 41
	inColumn  = 47
	inCaption = 26
	inWatch   = 20
	inSupport = 10
)

// height is how high a text comes out in lines of so many letters.
func height(text string, letters int) float64 {
	return line * math.Ceil(float64(len([]rune(text)))/float64(letters))
}

// clip cuts a text that is longer than its place on a sheet.
func clip(text string, letters int) string {
	runes := []rune(text)
	if len(runes) <= letters {
		return text
	}
	return string(runes[:letters-1]) + "…"
}

// fit leaves out what would not come to stand on one sheet and counts it: first the long
// words of the cures, then the cures, then faults beyond those that there is room for.
// The verdict, the six cautions and the size of the letters stay.
func (s *sheet) fit() {
	s.ID = clip(s.ID, inTitle)
	s.Title, s.Source, s.Own = clip(s.Title, 2*inTitle), clip(s.Source, 2*inVerdict), clip(s.Own, 3*inVerdict)
	s.Assumed = s.Assumed[:min(3, len(s.Assumed))]
	left := paper - fixed - 1.2*height(s.Bold+" "+s.Rest, inVerdict) - 1.6*(height(s.Title, inTitle)-line)
	for _, text := range slices.Concat(s.Assumed, []string{s.Own, s.Until, s.ID + s.Source, strings.Join(s.Waits, ". ") + s.Fails + s.After}) {
		left -= height(text, inVerdict)
	}
	left += line // one of them is in what is fixed
	if so := s.Move.SignOff; so != nil {
		s.Why = []string{clip(strings.Join(so.Why, "; "), 2*inVerdict)}
		left -= line + height(strings.Join(s.Why, ", "), inVerdict)
	}
	if s.Decision == verdict.Go {
		// Its cautions stand beside the drawing, and none is left out. Their long words and what nobody
		// recorded give way to the steps: whoever works the jack needs these.
		if s.beside() > left-signed-s.rows(keptSteps) {
			for i, text := range s.Cautions {
				s.Cautions[i] = plain.GistOf(text)
			}
		}
		most := left - signed - s.rows(keptSteps)
		if s.Overview != nil {
			most = max(most, s.Overview.H/s.Overview.W*drawing) - s.beside()
		} else {
			most = 2*most - s.beside() - 6*line // in two columns, seldom even, with what is left out
		}
		s.cutLooks(&s.Soft, most, noun{"item to look at", "items to look at"})
		left -= s.drawings()
		s.table(left - signed)
		return
	}
	left -= s.drawings()
	// Two columns are seldom even, for nothing is broken inside a fault or a section: what
	// that costs is found by filling them a little less.
	for whole, spare := *s, 0.0; ; spare += 2 {
		s.fill(2 * max(0, left-spare))
		if s.columns() <= left || spare > left {
			return
		}
		*s, s.More = whole, slices.Clone(whole.More)
	}
}

// fill puts into two columns, so high together, what there is room for. The faults come first:
// they keep room for their cures in few words, and what is left over in the end goes into the
// full ones.
func (s *sheet) fill(columns float64) {
	if s.Another != "" {
		columns -= line + 2 + height(s.Another, inColumn)
	}
	heads := 0.0
	for _, o := range s.Sheet.Stops {
		heads += newStop(o, brief).height()
	}
	columns -= section(s.Awaits)
	rest, used := columns-min(heads, .65*columns), 0.0
	lists := []struct {
		texts *[]string
		most  float64 // share of what is there, unless there is room for all
		what  noun
	}{{&s.Waived, .2, noun{"waived stop", "waived stops"}}, {&s.Cautions, .4, noun{"caution", "cautions"}}, {&s.Buy, .3, noun{"part to buy or make", "parts to buy or make"}}}
	all := section(looked(s.Soft)) + section(looked(s.First)) + section(looked(s.Looks))
	for _, list := range lists {
		all += section(*list.texts)
	}
	if all > rest {
		rest -= 3 * line // to say what is left out: no fault gives way to that
	}
	share := func(most float64) float64 {
		if all <= rest {
			return rest
		}
		return most * rest
	}
	for _, list := range lists {
		used += s.cut(list.texts, share(list.most), list.what)
	}
	used += s.cutLooks(&s.Soft, share(.2), noun{"item to look at", "items to look at"})
	used += s.cutLooks(&s.First, share(.6), noun{"item that its loads wait for", "items that its loads wait for"})
	used += s.cutLooks(&s.Looks, rest-used, noun{"item that stops it until somebody has looked", "items that stop it until somebody has looked"})
	s.faults(columns - used - s.moreHigh())
}

// columns says how high the parts of a sheet in two columns come out.
func (s *sheet) columns() float64 {
	var faults []float64
	for _, st := range s.Stops {
		faults = append(faults, st.height())
	}
	high := evenly(faults)
	for _, looks := range [][]plain.Look{s.First, s.Looks} {
		if len(looks) > 0 {
			var heights []float64
			for _, text := range looked(looks) {
				heights = append(heights, texts([]string{text}))
			}
			high += line + 2 + evenly(heights)
		}
	}
	var another []string
	if s.Another != "" {
		another = []string{s.Another}
	}
	return high + evenly([]float64{section(s.Awaits), section(s.Buy), section(another), section(s.Cautions), section(looked(s.Soft)), section(s.Waived), s.moreHigh()})
}

// moreHigh says how high the line on what is left out comes out.
func (s *sheet) moreHigh() float64 {
	if len(s.More) == 0 {
		return 0
	}
	return height("Not on this sheet: "+strings.Join(s.More, ", ")+". “setdown check --all” prints them.", inColumn) + .6
}

// evenly says how high things come out in two columns, one behind the other and none broken.
func evenly(heights []float64) float64 {
	total := 0.0
	for _, h := range heights {
		total += h
	}
	first, best := 0.0, total
	for _, h := range heights {
		first += h
		best = min(best, max(first, total-first))
	}
	return best
}

// section says how high texts come out under a head.
func section(list []string) float64 {
	if len(list) == 0 {
		return 0
	}
	return line + 2 + texts(list)
}

// drawings says how high the drawings come out, and keeps four corners at most.
func (s *sheet) drawings() float64 {
	if n := len(s.Corners) - 4; n > 0 {
		s.Corners, s.More = s.Corners[:4], append(s.More, more(n, noun{"corner", "corners"}))
	}
	beside := 0.0
	if s.Decision == verdict.Go {
		beside = s.beside() + texts(looked(s.Soft))
	}
	for i, c := range s.Corners {
		if i%2 == 0 {
			beside += c.View.H/c.View.W*corners + max(height(c.Place+c.Words, inCaption), line) + 2
		}
	}
	if s.Overview == nil && s.Decision == verdict.Go {
		heights := []float64{s.moreHigh()}
		for _, list := range [][]string{s.Cautions, looked(s.Soft), s.Waived} {
			for _, text := range list {
				heights = append(heights, texts([]string{text}))
			}
		}
		return evenly(heights) + 3*line
	}
	if s.Overview == nil {
		return beside
	}
	return max(s.Overview.H/s.Overview.W*drawing, beside) + 3
}

// Watched reports whether there is anything to watch in a step, Balanced whether it is known how far
// inside its supports the vehicle is.
func (s sheet) Watched() bool {
	return slices.ContainsFunc(s.Steps, func(r plain.Row) bool { return r.Watch != "" })
}

func (s sheet) Balanced() bool {
	return slices.ContainsFunc(s.Steps, func(r plain.Row) bool { return r.Inside != "" })
}

// beside says how high the cautions of a move that is GO come out, beside the drawing.
func (s *sheet) beside() float64 { return 3*line + texts(slices.Concat(s.Cautions, s.Waived)) }

// texts says how high they come out in a column.
func texts(list []string) (high float64) {
	for _, text := range list {
		high += height(text, inColumn) + .6
	}
	return high
}

// rows says how high the table of the first n steps comes out, with what stands around it.
func (s *sheet) rows(n int) float64 {
	high := 2*line + row + height(s.Nearest, inVerdict) + height(s.Idle, inVerdict)
	support := inSupport
	if !s.Watched() {
		support = inWatch // the room of that column
	}
	for _, r := range s.Steps[:min(n, len(s.Steps))] {
		high += max(row, height(r.Watch, inWatch), height(r.Name, inWatch), height(cmp.Or(r.Support, r.Unsolved), support))
	}
	return high
}

// table leaves out the steps beyond what is left.
func (s *sheet) table(left float64) {
	shown := len(s.Steps)
	for shown > 0 && s.rows(shown) > left {
		shown--
	}
	if out := len(s.Steps) - shown; out > 0 {
		s.Steps, s.More = s.Steps[:shown], append(s.More, more(out, noun{"step", "steps"}))
	}
}

// cut leaves the texts that there is room for and says how high they come out.
func (s *sheet) cut(texts *[]string, most float64, what noun) float64 {
	if len(*texts) == 0 {
		return 0
	}
	used := line + 2
	for i, text := range *texts {
		high := height(text, inColumn) + .6
		if used+high > most {
			s.More = append(s.More, more(len(*texts)-i, what))
			if *texts = (*texts)[:i]; i == 0 {
				return 0
			}
			break
		}
		used += high
	}
	return used
}

func (s *sheet) cutLooks(looks *[]plain.Look, most float64, what noun) float64 {
	texts := looked(*looks)
	used := s.cut(&texts, most, what)
	if out := (*looks)[len(texts):]; len(out) > 0 && s.Decision == verdict.Go { // it counts as a caution, and none is left out unnamed
		var items []string
		for _, l := range out {
			items = append(items, l.Items...)
		}
		s.More[len(s.More)-1] += " (" + plain.Called(items) + ")"
	}
	*looks = (*looks)[:len(texts)]
	return used
}

func looked(looks []plain.Look) []string {
	var texts []string
	for _, l := range looks {
		texts = append(texts, l.Name+" ("+l.Place+"): "+plain.Questions(l))
	}
	return texts
}

// noun is a thing that is counted.
type noun struct{ one, many string }

// more counts what is left out.
func more(n int, what noun) string { return plain.Count(n, what.one, what.many) }

// How much is said of the cure of a fault.
const (
	bare = iota
	brief
	full
)

// newStop is a fault with its cure in full, in few words, or without.
func newStop(o plain.Stop, words int) stop {
	st := stop{Stop: o, Head: plain.Capital(o.Name()) + ": " + o.Gist(), Boxes: o.Items[:min(boxes, len(o.Items))]}
	switch words {
	case full:
		st.Fix = o.Fix
	case brief:
		st.Fix = plain.Gist(o.Fix)
	}
	return st
}

func (s stop) height() float64 {
	return max(height(s.Head, inHead)+height(s.Fix, inFix), 5.2*math.Ceil(float64(len(s.Boxes))/2)) + gap
}

// faults says all faults, and their cures as far as there is room: in few words from the
// worst on, then in full.
func (s *sheet) faults(room float64) {
	s.Stops = nil
	for _, o := range s.Sheet.Stops {
		st := newStop(o, bare)
		if room -= st.height(); room < 0 {
			s.More = append(s.More, more(len(s.Sheet.Stops)-len(s.Stops), noun{"fault", "faults"}))
			return
		}
		s.Stops = append(s.Stops, st)
	}
	for _, words := range []int{brief, full} {
		for i, o := range s.Sheet.Stops {
			st := newStop(o, words)
			if left := room + s.Stops[i].height() - st.height(); left >= 0 {
				s.Stops[i], room = st, left
			}
		}
	}
}
