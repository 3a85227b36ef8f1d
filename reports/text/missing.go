package text

import (
	"fmt"
	"slices"
	"strings"

	"setdown/rules/verdict"
)

// missing lists what is to be looked at and written down: an item once, with
// every fact that some rule needs of it, and where in the build file each
// belongs.
func (p *page) missing(title string, list []verdict.Finding) {
	if len(list) == 0 {
		return
	}
	p.head(title)
	list = grouped(list)
	type item struct{ place, id string }
	done := map[item]bool{}
	place := "\x00"
	for _, f := range list {
		this := item{f.Place, f.Item}
		if done[this] {
			continue
		}
		done[this] = true
		if f.Place != place {
			place = f.Place
			p.sub(placeName(place))
		}
		var rules []string
		var needs []verdict.Missing
		for _, other := range list {
			if other.Place != f.Place || other.Item != f.Item {
				continue
			}
			if !slices.Contains(rules, other.Rule) {
				rules = append(rules, other.Rule)
			}
			for _, need := range other.Missing {
				if !slices.Contains(needs, need) {
					needs = append(needs, need)
				}
			}
		}
		p.wrap("  "+p.mark(verdict.NotRecorded)+" ", "    ", fmt.Sprintf("%s (%s)  [%s]", clean(f.Item), clean(f.Span.String()), cleanAll(rules)))
		for _, l := range facts(needs, len(needs)) {
			p.wrap("      ", "        ", l)
		}
		if len(needs) == 0 {
			p.wrap("      ", "        ", clean(f.Say))
		}
	}
}

// facts words what is missing, up to a limit: what to look at, then the place in
// the build file.
func facts(needs []verdict.Missing, limit int) []string {
	var lines []string
	for i, m := range needs {
		if i == limit {
			lines = append(lines, fmt.Sprintf("and %s more", count(len(needs)-i, "fact", "facts")))
			break
		}
		text := clean(m.Doc)
		switch {
		case m.Path == "":
			text = clean(m.Reason)
		case m.Doc == "":
			text = clean(m.Path)
		default:
			text += " (" + clean(m.Path) + ")"
		}
		if text = strings.TrimSpace(text); !slices.Contains(lines, text) {
			lines = append(lines, text)
		}
	}
	return lines
}
