package text

import (
	"io"
	"strings"

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

// History writes what was seen, and what stands of it today.
func History(w io.Writer, h *verdict.History, o Options) error {
	p := newPage(w, o)
	what := h.File
	if h.Item != "" {
		what = h.Item
	}
	p.head("Looks at " + clean(what))
	if len(h.Lines) == 0 {
		p.line("Nobody has looked yet.")
	}
	for _, l := range h.Lines {
		text := clean(strings.Join(l.Items, ", ")) + ": " + clean(strings.Join(l.Says, ", "))
		if l.Note != "" {
			text += " (" + clean(l.Note) + ")"
		}
		p.wrap("  "+clean(l.When)+" "+clean(l.By)+"  ", "      ", text)
	}
	if len(h.Now) > 0 {
		p.head("What stands today")
		for _, f := range h.Now {
			mark := "  "
			if f.Fault {
				mark = "! "
			}
			text := clean(f.Item) + " " + f.Fact + ": " + clean(f.Value) + ", " + clean(f.By) + " " + f.When
			if f.Second != "" {
				text += ", and " + clean(f.Second)
			}
			p.wrap("  "+mark, "      ", text)
		}
	}
	if len(h.Unknown) > 0 {
		p.head("Nobody knows today")
		p.para("  ", clean(strings.Join(h.Unknown, ", ")))
	}
	if len(h.Troubles) > 0 {
		p.head("What stops every move")
		for _, t := range h.Troubles {
			p.wrap("  - ", "    ", clean(t))
		}
	}
	return p.err
}
