package text

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// Cards writes what a look at each kind of item covers.
func Cards(w io.Writer, cards []verdict.Card, o Options) error {
	p := newPage(w, o)
	for i, c := range cards {
		if i > 0 {
			p.line("")
		}
		p.head("Card of a " + c.Item)
		for _, part := range c.Parts {
			p.line("%s", part.Name)
			for _, l := range part.Lines {
				text := l.Question + " " + l.Good
				if l.OnlyFor != "" {
					text += " (" + l.OnlyFor + ")"
				}
				if l.Critical {
					text += " *"
				}
				p.wrap("  [ ] ", "      ", text)
			}
		}
	}
	p.line("")
	p.para("", "'good: yes' in a look says the whole card, but for the lines with *: they are named in the look, one by one. An answer that is not the good one ends by a later look at that one thing alone.")
	return p.err
}

// History writes what was seen, the newest first, and what stands of it today, so that it fits a
// screen. What stops every move stands before all else.
func History(w io.Writer, h *verdict.History, o Options) error {
	p := newPage(w, o)
	what := h.File
	if h.Item != "" {
		what = h.Item
	}
	stops := section{head: "What stops every move", one: "more", what: "more", keep: min(len(h.Troubles), nearest), levels: make([][][]string, 1)}
	for _, t := range h.Troubles {
		stops.levels[0] = append(stops.levels[0], p.block(func(p *page) { p.wrap("  - ", "    ", clean(t)) }))
	}
	now := section{head: "What stands today", one: "more fact", what: "more facts", levels: make([][][]string, 1)}
	for _, f := range h.Now {
		mark := "  "
		if f.Fault {
			mark = "! "
		}
		text := clean(f.Item) + " " + clean(plain.FieldName(f.Fact)) + ": " + clean(f.Value) + ", " + clean(f.By) + " " + f.When
		if f.Second != "" {
			text += ", and " + clean(f.Second)
		}
		now.levels[0] = append(now.levels[0], p.block(func(p *page) { p.wrap("  "+mark, "      ", text) }))
	}
	unknown := section{head: "Nobody knows today", one: "more", what: "more", levels: make([][][]string, 1)}
	if len(h.Unknown) > 0 {
		unknown.levels[0] = [][]string{p.block(func(p *page) { p.para("  ", clean(strings.ReplaceAll(strings.Join(h.Unknown, ", "), "_", " "))) })}
	}
	seen := section{head: "Looks, the newest first", one: "earlier look", what: "earlier looks", levels: make([][][]string, 2)}
	for _, l := range slices.Backward(h.Lines) {
		for level, says := range [][]string{l.Says, few(l.Says)} {
			text := clean(plain.AllNames(l.Items)) + ": " + clean(strings.ReplaceAll(strings.Join(says, ", "), "_", " "))
			if l.Note != "" {
				text += " (" + clean(l.Note) + ")"
			}
			seen.levels[level] = append(seen.levels[level], p.block(func(p *page) { p.wrap("  "+clean(l.When)+" "+clean(l.By)+"  ", "      ", text) }))
		}
	}
	p.screenful(func(p *page) {
		p.wrap("", "  ", p.style(bold, "Looks at "+clean(what)))
		if len(h.Lines) == 0 {
			p.line("Nobody has looked yet.")
		}
	}, stops, now, unknown, seen)
	return p.err
}

// few are the first facts of a look, and how many there are besides.
func few(says []string) []string {
	const most = 3
	if len(says) <= most+1 {
		return says
	}
	return append(slices.Clone(says[:most]), fmt.Sprintf("and %d more", len(says)-most))
}
