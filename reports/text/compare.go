package text

import (
	"fmt"
	"io"

	"setdown/rules/verdict"
)

// Compare writes what changed between two states.
func Compare(w io.Writer, c verdict.Comparison, o Options) error {
	p := newPage(w, o)
	p.para("", "Compared: "+clean(c.New)+" with the earlier "+clean(c.Old))
	p.head("Verdicts")
	for _, m := range c.Moves {
		switch {
		case m.Before == "":
			p.item("", fmt.Sprintf("%s: new move, %s", clean(m.ID), m.After))
		case m.After == "":
			p.item("", fmt.Sprintf("%s: this move was removed; it was %s", clean(m.ID), m.Before))
		case m.Before == m.After:
			p.item("", fmt.Sprintf("%s: %s as before", clean(m.ID), m.After))
		default:
			p.item("", fmt.Sprintf("%s: was %s, is %s", clean(m.ID), m.Before, m.After))
		}
		for _, s := range m.NewStops {
			p.wrap("      now stops it: ", "        ", clean(s))
		}
		for _, s := range m.Cleared {
			p.wrap("      cleared: ", "        ", clean(s))
		}
	}
	if len(c.Items) == 0 {
		p.head("Nothing recorded has changed")
		return p.err
	}
	p.head("What has changed")
	for _, i := range c.Items {
		if i.Kind == verdict.Log {
			for _, ch := range i.Changes {
				head, look := "  new in the log: ", ch.New
				if look == "" {
					head, look = "  gone from the log: ", ch.Old
				}
				p.wrap(head, "    ", clean(look))
			}
			continue
		}
		p.wrap("  "+clean(i.Direction)+": ", "    ", clean(i.Item))
		for _, ch := range i.Changes {
			p.wrap("      ", "        ", fmt.Sprintf("%s: %s, was %s", clean(ch.Path), orNothing(ch.New), orNothing(ch.Old)))
		}
	}
	return p.err
}

func orNothing(s string) string {
	if s == "" {
		return "not recorded"
	}
	return clean(s)
}
