package text

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// screen is how many lines a verdict may have: what fits a terminal and one look.
const screen = 40

// section is a part of a sheet that may be said in fewer words or cut short.
type section struct {
	head   string       // none: the entries stand under an empty line
	levels [][][]string // the entries as lines, in full words first
	foot   []string     // lines under the entries
	one    string       // one that is left out, such as 'more fault'
	what   string       // several of them
	keep   int          // how many entries are never left out
	short  bool         // an entry in its shortest words is cut
}

// Lines at most, whatever there is to say: of the shortest words of an entry, of what stands under
// the entries, and of what stands between the verdict and the sections.
const (
	tallest   = 6
	footLines = 7
	topLines  = 6
)

// cut leaves so many lines of a text, unless everything is to be printed.
func (p *page) cut(lines []string, most int) []string {
	if p.o.Detail || len(lines) <= most {
		return lines
	}
	last := lines[most-1]
	for width(last)+len(" ...") > p.o.Width {
		i := strings.LastIndex(last, " ")
		if i <= 0 {
			break
		}
		last = last[:i]
	}
	last += " ..."
	if p.o.Color {
		last += "\x1b[0m"
	}
	return append(slices.Clone(lines[:most-1]), last)
}

// size is how many lines a section takes with so many entries of a level.
func (s section) size(level, shown int) int {
	n := 1 + len(s.foot)
	if s.head != "" {
		n++
	}
	for _, e := range s.levels[level][:shown] {
		n += len(e)
	}
	if shown < len(s.levels[level]) {
		n++
	}
	return n
}

// sections prints what fits into the room, in the order given. Every section keeps a
// line at least, or what it is to keep; each before the next is said in the fullest words in which all of it
// fits, and is cut where none does. Where there is no room for that either, the last sections are
// one line each.
// It tells whether anything is said in fewer words or left out.
func (p *page) sections(room int, list []section) (short bool) {
	list = slices.DeleteFunc(list, func(s section) bool { return len(s.levels) == 0 || len(s.levels[0]) == 0 })
	for i := range list {
		s := &list[i]
		last := slices.Clone(s.levels[len(s.levels)-1])
		for k := range last {
			in := len(last[k])
			last[k] = p.cut(last[k], tallest)
			s.short = s.short || len(last[k]) < in
		}
		s.levels = append(slices.Clone(s.levels[:len(s.levels)-1]), last)
		s.foot = p.cut(s.foot, footLines)
		room -= s.size(len(s.levels)-1, s.keep)
	}
	whole := len(list)
	for room < 0 && whole > 0 && !p.o.Detail {
		whole--
		s := list[whole]
		room += s.size(len(s.levels)-1, s.keep) - 1
	}
	for _, s := range list[:whole] {
		last := len(s.levels) - 1
		room += s.size(last, s.keep)
		level := 0
		for level < last && s.size(level, len(s.levels[level])) > room && !p.o.Detail {
			level++
		}
		shown := len(s.levels[level])
		for shown > s.keep && s.size(level, shown) > room && !p.o.Detail {
			shown--
		}
		room -= s.size(level, shown)
		short = short || level > 0 || shown < len(s.levels[level]) || s.short && level == last
		p.line("")
		if shown == 0 {
			p.all(p.counted(s))
			p.all(s.foot)
			continue
		}
		if s.head != "" {
			p.wrap("", "  ", p.style(bold, s.head))
		}
		for _, e := range s.levels[level][:shown] {
			p.all(e)
		}
		if more := len(s.levels[level]) - shown; more > 0 {
			p.para("   ", "and "+count(more, s.one, s.what)+" (--all prints them)")
		}
		p.all(s.foot)
	}
	for _, s := range list[whole:] {
		p.all(p.counted(s))
	}
	return short || whole < len(list)
}

// counted is a section of which there is room for no entry, in one line.
func (p *page) counted(s section) []string {
	entries := s.levels[len(s.levels)-1]
	line := entries[0]
	if s.head != "" {
		line = p.block(func(p *page) { p.wrap("", "  ", fmt.Sprintf("%s: %d (--all prints them)", s.head, len(entries))) })
	}
	return p.cut(line, 1)
}

// screenful prints sections under their first lines so that they fit a screen, and says how to
// get the rest.
func (p *page) screenful(top func(*page), list ...section) {
	lines := p.cut(p.block(top), topLines)
	p.all(lines)
	if p.sections(screen-len(lines)-1, list) {
		p.para("   ", "Everything in full: --all")
	}
}

func (p *page) all(lines []string) {
	for _, l := range lines {
		p.line("%s", l)
	}
}

// block collects the lines that are printed.
func (p *page) block(print func(*page)) []string {
	var b bytes.Buffer
	print(&page{w: &b, o: p.o, figures: p.figures})
	text := strings.TrimSuffix(b.String(), "\n")
	if text == "" {
		return nil
	}
	return strings.Split(text, "\n")
}

// sheet prints one move so that it fits a screen.
func (p *page) sheet(r *verdict.Report, m *verdict.Move) {
	s := plain.NewSheet(r, m, plain.Names)
	top := p.verdict(s.Decision, []string{clean(m.ID) + ": " + clean(s.Title) + ".", clean(s.Source)}, p.style(bold, clean(s.Bold))+" "+clean(s.Rest), func(p *page) {
		if s.Until != "" {
			p.para(under, clean(s.Until))
		}
		if so := m.SignOff; so != nil {
			word := "Signed off by %s on %s; nothing changed since."
			if !so.Stands {
				word = "The sign-off by %s on %s is no longer valid."
			}
			p.para(under, fmt.Sprintf(word, clean(so.By), so.On))
		}
		if len(s.Stops) == 0 && len(s.Waits) > 0 {
			p.para(under, clean(strings.Join(s.Waits, "; "))+".")
		}
		for _, a := range s.Assumed {
			p.para(under, "Assumed: "+clean(a))
		}
		p.own(r)
	})
	bottom := p.block(func(p *page) { p.usual() })
	p.all(top)
	list := []section{p.stops(s, r, m), p.first(s.First), p.looks(s.Looks)}
	if len(s.First) > 0 {
		list[2] = p.then(s.Looks)
	}
	if m.Decision == verdict.Go {
		list = append(list, p.cautions(s), p.idle(s), p.rows(s))
	} else {
		list = append(list, p.rest(s))
	}
	p.sections(screen-len(top)-len(bottom), list)
	p.all(bottom)
}

// verdict is what stands first, and is never left out: the decision on what, in sentences. What else
// there is to say of it follows in a few lines.
func (p *page) verdict(d verdict.Decision, on []string, sentences string, further func(*page)) []string {
	const most = 3 // lines of each of them
	lines := p.block(func(p *page) { p.wrap(p.decision(d)+"  ", under, strings.Join(on, " ")) })
	if len(lines) > most+1 {
		// The file stands on a line of its own where the title is too long for it.
		lines = p.cut(p.block(func(p *page) { p.wrap(p.decision(d)+"  ", under, on[0]) }), most)
		for _, text := range on[1:] {
			lines = append(lines, p.cut(p.block(func(p *page) { p.para(under, text) }), most)...)
		}
	}
	lines = append(lines, p.block(func(p *page) { p.para(under, sentences) })...)
	return append(lines, p.cut(p.block(further), topLines)...)
}

// stops lists the faults with their cures.
func (p *page) stops(s plain.Sheet, r *verdict.Report, m *verdict.Move) section {
	sec := section{head: "What stops it", one: "more fault", what: "more faults"}
	if s.Jobs != "" {
		sec.head += ": " + s.Jobs
	}
	wide := 0
	for _, stop := range s.Stops {
		wide = max(wide, min(24, width(clean(stop.Name()))))
	}
	entry := func(number int, name, fault, fix string) []string {
		return p.block(func(p *page) {
			first, text := fmt.Sprintf("%2d %s%s", number, p.style(bold, name), strings.Repeat(" ", max(0, wide-width(name))+2)), fault
			if width(name) > wide {
				first, text = fmt.Sprintf("%2d ", number), p.style(bold, name)+": "+fault
			}
			p.wrap(first, "     ", text)
			if fix != "" {
				p.wrap("     ", "     ", fix)
			}
		})
	}
	sec.levels = make([][][]string, 3)
	for _, stop := range s.Stops {
		name, fault, fix := clean(stop.Name()), clean(stop.Fault), clean(stop.Fix)
		sec.levels[0] = append(sec.levels[0], entry(stop.Number, name, fault, fix))
		sec.levels[1] = append(sec.levels[1], entry(stop.Number, name, clean(stop.Gist()), plain.Gist(fix)))
		sec.levels[2] = append(sec.levels[2], entry(stop.Number, name, clean(stop.Gist()), ""))
	}
	sec.foot = p.block(func(p *page) {
		var words []string
		if len(s.Waits) > 0 {
			words = append(words, strings.Join(s.Waits, "; ")+".")
		}
		if s.Fails != "" {
			words = append(words, s.Fails)
		}
		if s.After != "" {
			words = append(words, s.After)
		}
		if len(words) > 0 {
			p.wrap("   ", "   ", clean(strings.Join(words, " ")))
		}
		p.wrap("   ", "   ", "In full: --all. Work list: setdown punch "+clean(r.File)+" -m "+clean(m.ID))
	})
	return sec
}

// first lists what the loads wait for.
func (p *page) first(list []plain.Look) section {
	sec := p.looks(list)
	sec.head = "First, for without it no loads are computed and nobody knows what else matters"
	return sec
}

// then counts what else is asked before that is known.
func (p *page) then(list []plain.Look) section {
	sec := section{one: "more", what: "more", levels: make([][][]string, 1)}
	items := 0
	for _, l := range list {
		items += len(l.Items)
	}
	if items > 0 {
		sec.levels[0] = [][]string{p.block(func(p *page) {
			p.wrap("", "  ", "Then what carries is known, and what is asked of it. So far that may be "+count(items, "more item", "more items")+"; setdown check --all prints them.")
		})}
	}
	return sec
}

// looks lists the items with questions that stop the move until they are answered.
func (p *page) looks(list []plain.Look) section {
	sec := section{head: "What to look at and write down: it stops the move until then", one: "more to look at", what: "more to look at", levels: make([][][]string, 3)}
	for _, l := range list {
		name, questions := lookWords(l)
		sec.levels[0] = append(sec.levels[0], p.block(func(p *page) {
			p.wrap("   ", "     ", p.style(bold, name)+": "+questions+clean(l.All()))
		}))
		sec.levels[1] = append(sec.levels[1], p.block(func(p *page) { p.wrap("   ", "     ", p.style(bold, name)+": "+clean(plain.Questions(l))) }))
		if questions == "" {
			questions = clean(plain.Gist(l.Questions[0]))
		}
		sec.levels[2] = append(sec.levels[2], p.block(func(p *page) { p.wrap("   ", "     ", p.style(bold, name)+": "+strings.TrimSuffix(questions, ": ")) }))
	}
	return sec
}

// lookWords names the items of a look and counts its questions, if they are several.
func lookWords(l plain.Look) (name, questions string) {
	name = clean(l.Name)
	if l.Place != "" {
		name += " (" + clean(plain.Spoken(l.Place)) + ")"
	}
	if n := len(l.Questions); n > 1 {
		questions = fmt.Sprintf("%d questions: ", n)
		if len(l.Items) > 1 {
			questions = fmt.Sprintf("%d questions each: ", n)
		}
	}
	return name, questions
}

// cautions lists what a move that is GO has still to be careful with.
func (p *page) cautions(s plain.Sheet) section {
	sec := section{head: "Cautions: " + fmt.Sprint(len(s.Cautions)+len(s.Soft)), one: "more caution", what: "more cautions", levels: make([][][]string, 2)}
	add := func(full, gist string) {
		for level, text := range []string{full, gist} {
			sec.levels[level] = append(sec.levels[level], p.block(func(p *page) { p.wrap(" - ", "   ", clean(text)) }))
		}
	}
	for _, t := range s.Waived {
		add("waived: "+t, "waived: "+t)
	}
	for _, t := range s.Cautions {
		add(t, plain.GistOf(t))
	}
	for _, l := range s.Soft {
		name, questions := lookWords(l)
		text := name + ": not recorded: " + questions
		gist := strings.TrimSuffix(text, ": ")
		if questions == "" {
			gist = text + plain.Gist(l.Questions[0])
		}
		add(text+l.All(), gist)
	}
	return sec
}

// idle is what is known to be bad, in one line that is never cut.
func (p *page) idle(s plain.Sheet) section {
	sec := section{keep: 1, levels: make([][][]string, 1)}
	if s.Idle != "" {
		sec.levels[0] = [][]string{p.block(func(p *page) { p.wrap("", "  ", clean(s.Idle)) })}
	}
	return sec
}

// rest is what else there is to a move that is stopped: in full, a line each, or all that is
// counted in one line. The other way stands first and is not cut.
func (p *page) rest(s plain.Sheet) section {
	sec := section{one: "more", what: "more", levels: make([][][]string, 3)}
	say := func(level int, text string) {
		sec.levels[level] = append(sec.levels[level], p.block(func(p *page) { p.wrap("", "  ", text) }))
	}
	var counts []string
	add := func(full, gist string) {
		say(0, clean(full))
		say(1, clean(gist))
		counts = append(counts, gist)
	}
	if s.Another != "" {
		for level := range sec.levels {
			say(level, p.style(bold, "Another way:")+" "+clean(s.Another))
		}
	}
	for _, a := range s.Awaits {
		add(plain.Capital(a)+".", "Waits for "+plain.Gist(a))
	}
	if len(s.Buy) > 0 {
		add("To buy or make: "+strings.Join(s.Buy, "; "), "To buy or make: "+count(len(s.Buy), "part", "parts"))
	}
	if n := len(s.Soft); n > 0 {
		name, _ := lookWords(s.Soft[0])
		text := "To look at (it does not stop the move): " + name
		if n > 1 {
			text += "; " + count(n-1, "other line", "other lines")
		}
		add(text, "To look at: "+count(n, "item", "items"))
	}
	if n := len(s.Cautions); n > 0 {
		text := "Caution: " + s.Cautions[0]
		if n > 1 {
			text = fmt.Sprintf("Cautions: %d. The first: %s", n, s.Cautions[0])
		}
		add(text, "Cautions: "+fmt.Sprint(n))
	}
	if n := len(s.Waived); n > 0 {
		add("Waived: "+strings.Join(s.Waived, "; "), "Waived: "+count(n, "stop", "stops"))
	}
	if len(counts) > 0 {
		say(2, clean(strings.Join(counts, ". ")))
	}
	sec.keep = len(sec.levels[2])
	return sec
}

// stepRows are how many lines of the table of steps are never cut, its head among them: whoever
// works the jack needs them more than a caution for want of a fact.
const stepRows = 7

// rows are the steps of a move that is GO, in figures.
func (p *page) rows(s plain.Sheet) section {
	sec := section{head: "Step by step: stop and look after each", one: "more step", what: "more steps"}
	if len(s.Steps) == 0 {
		return sec
	}
	lines := p.block(func(p *page) {
		var rows [][]string
		for i, r := range s.Steps {
			orDash := func(s string) string {
				if s == "" {
					return dash
				}
				return clean(s)
			}
			rows = append(rows, []string{fmt.Sprintf("%d %s", i+1, clean(r.Name)), orDash(r.Support), orDash(r.Carries), orDash(r.Plate), orDash(r.Inside), orDash(r.Watch)})
		}
		p.table(" ", []string{"step", "most loaded", "at most", "plate", "c.g. inside", "watch"}, rows)
	})
	sec.levels = make([][][]string, 1)
	for _, l := range lines {
		sec.levels[0] = append(sec.levels[0], []string{l})
	}
	sec.keep = min(len(lines), stepRows)
	sec.foot = p.block(func(p *page) {
		if s.Nearest != "" {
			p.wrap("   ", "   ", "Nearest to its limit: "+clean(s.Nearest)+".")
		}
	})
	return sec
}

// own says what of the rules is the builder's own choice.
func (p *page) own(r *verdict.Report) {
	if own := plain.Own(r); own != "" {
		p.para(under, clean(own))
	}
}

// usual prints the six cautions of every report.
func (p *page) usual() {
	p.head("Before weight moves")
	for i, c := range plain.UsualShort {
		p.wrap(fmt.Sprintf("%2d ", i+1), "   ", c)
	}
}
