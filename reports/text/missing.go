package text

import (
	"fmt"

	"setdown/reports/plain"
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
	place := "\x00"
	for _, item := range plain.ToLook(list) {
		if item.Place != place {
			place = item.Place
			p.sub(placeName(place))
		}
		p.wrap("  "+p.mark(verdict.NotRecorded)+" ", "    ", fmt.Sprintf("%s (%s)  [%s]", clean(item.ID), clean(item.Span.String()), cleanAll(item.Rules)))
		for _, l := range plain.Facts(item.Facts, len(item.Facts)) {
			p.wrap("      ", "        ", clean(l))
		}
		if len(item.Facts) == 0 {
			p.wrap("      ", "        ", clean(item.Say))
		}
	}
}
