package text

import (
	"fmt"
	"io"
	"strings"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// Compare writes what changed between two states, so that it fits a screen.
func Compare(w io.Writer, c verdict.Comparison, o Options) error {
	p := newPage(w, o)
	changed := p.changed(c)
	if len(c.Items) == 0 {
		changed = section{levels: [][][]string{{{"Nothing recorded has changed"}}}}
	}
	p.screenful(func(p *page) { p.para("", "Compared: "+clean(c.New)+" with the earlier "+clean(c.Old)) }, p.verdicts(c), changed)
	return p.err
}

// verdicts is how the verdict of each move changed: with every finding that came or went, with
// those that came, or with how many.
func (p *page) verdicts(c verdict.Comparison) section {
	sec := section{head: "Verdicts", one: "more move", what: "more moves", levels: make([][][]string, 3)}
	for _, m := range c.Moves {
		var text string
		switch {
		case m.Before == "":
			text = fmt.Sprintf("%s: new move, %s", m.ID, m.After)
		case m.After == "":
			text = fmt.Sprintf("%s: this move was removed; it was %s", m.ID, m.Before)
		case m.Before == m.After:
			text = fmt.Sprintf("%s: %s as before", m.ID, m.After)
		default:
			text = fmt.Sprintf("%s: was %s, is %s", m.ID, m.Before, m.After)
		}
		entry := func(text string, stops, cleared []string) []string {
			return p.block(func(p *page) {
				p.item("", clean(text))
				for _, s := range stops {
					p.wrap("      now stops it: ", "        ", clean(s))
				}
				for _, s := range cleared {
					p.wrap("      cleared: ", "        ", clean(s))
				}
			})
		}
		sec.levels[0] = append(sec.levels[0], entry(text, m.NewStops, m.Cleared))
		if n := len(m.Cleared); n > 0 {
			text += "; " + count(n, "finding", "findings") + " cleared"
		}
		sec.levels[1] = append(sec.levels[1], entry(text, m.NewStops, nil))
		if n := len(m.NewStops); n > 0 {
			text += "; " + count(n, "finding stops it that did not", "findings stop it that did not")
		}
		sec.levels[2] = append(sec.levels[2], entry(text, nil, nil))
	}
	return sec
}

// changed is what is recorded otherwise of each item: fact by fact, or how many facts. What got
// worse stands first.
func (p *page) changed(c verdict.Comparison) section {
	sec := section{head: "What has changed, as the files have it", one: "more item", what: "more items", levels: make([][][]string, 2)}
	for _, i := range c.Items {
		if i.Kind == verdict.Log {
			for _, ch := range i.Changes {
				head, look := "  new in the log: ", ch.New
				if look == "" {
					head, look = "  gone from the log: ", ch.Old
				}
				line := p.block(func(p *page) { p.wrap(head, "    ", clean(look)) })
				sec.levels[0], sec.levels[1] = append(sec.levels[0], line), append(sec.levels[1], line)
			}
			continue
		}
		name := "  " + clean(i.Direction) + ": "
		sec.levels[0] = append(sec.levels[0], p.block(func(p *page) {
			p.wrap(name, "    ", clean(i.Item))
			for _, ch := range i.Changes {
				p.wrap("      ", "        ", fmt.Sprintf("%s: %s, was %s", clean(plain.FieldName(strings.TrimPrefix(ch.Path, i.Kind+"."+i.Item+"."))), orNothing(ch.New), orNothing(ch.Old)))
			}
		}))
		sec.levels[1] = append(sec.levels[1], p.block(func(p *page) {
			p.wrap(name, "    ", clean(i.Item)+" ("+count(len(i.Changes), "fact", "facts")+")")
		}))
	}
	return sec
}

func orNothing(s string) string {
	if s == "" {
		return "not recorded"
	}
	return clean(s)
}
