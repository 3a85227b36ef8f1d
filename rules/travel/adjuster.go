package travel

import (
	"math"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/rules/verdict"
)

// threads reads how a link is set and returns how much a turn makes it longer, zero
// where that is not known: two ends of opposite hands give twice the pitch.
func threads(item *model.Item, a *verdict.Adjustment) float64 {
	thread, ok := item.Thread("rod_ends.thread")
	if !ok {
		if _, studding := item.Thread("bar.thread"); studding {
			a.Kind = verdict.ByNuts
			return 0
		}
		a.Kind, a.Fields = verdict.NoThread, []string{item.Path() + ".rod_ends.thread"}
		return 0
	}
	hands := item.Texts("rod_ends.hands")
	switch {
	case len(hands) < 2:
		a.Kind, a.Fields = verdict.NoThread, []string{item.Path() + ".rod_ends.hands"}
		return 0
	case hands[0] != hands[1]:
		a.Kind = verdict.TurnInPlace
		return 2 * thread.Pitch
	default:
		a.Kind = verdict.OneEndOff
		return thread.Pitch
	}
}

// engagement works out how many turns longer leave both ends the engagement that
// their maker asks for. Each turn takes a pitch from each end that turns.
func engagement(item *model.Item, a *verdict.Adjustment, turns float64) {
	needed, ok := item.Quantity("rod_ends.engagement_needed")
	if !ok {
		a.Fields = append(a.Fields, item.Path()+".rod_ends.engagement_needed")
	}
	engaged, both := item.List("found.engaged")
	if !both {
		a.Fields = append(a.Fields, item.Path()+".found.engaged")
	}
	thread, _ := item.Thread("rod_ends.thread")
	if !ok || !both {
		return
	}
	left := math.Inf(1)
	for _, e := range engaged {
		left = min(left, (e.V.(quantity.Quantity).Value-needed.Value)/thread.Pitch)
	}
	left = tidy(left - turns)
	a.OutLeft, a.Short = &left, left < 0
}
