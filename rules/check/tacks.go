package check

import (
	"cmp"
	"fmt"
	"slices"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/rules/vehicle"
	"setdown/rules/verdict"
)

// weldInMove is the worst of one weld over the steps of one move.
type weldInMove struct {
	carries         string
	load, wouldBear *verdict.Figure
}

func (c *checker) noteWelds(move string, step *step) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.welds == nil {
		c.welds = map[string]map[string]weldInMove{}
	}
	for _, o := range step.facts.Items["welds"] {
		id := o.Text("id")
		if c.welds[id] == nil {
			c.welds[id] = map[string]weldInMove{}
		}
		w, seen := c.welds[id][move]
		carries := o.Text("carries")
		if !seen || vehicle.Grave(carries, "") > vehicle.Grave(w.carries, "") {
			w.carries = carries
		}
		if q, unknown := o.Quantity("load"); unknown == nil && (w.load == nil || q.Value > w.load.Value) {
			w.load = &verdict.Figure{Value: q.Value, Unit: "N"}
		}
		if q, unknown := o.Quantity("would_bear"); unknown == nil && (w.wouldBear == nil || q.Value < w.wouldBear.Value) {
			w.wouldBear = &verdict.Figure{Value: q.Value, Unit: "N"}
		}
		c.welds[id][move] = w
	}
}

// tacks lists every weld that is not known to be made full, in walk-round
// order, and what it does in each move.
func (c *checker) tacks(moves []verdict.Move) []verdict.Tack {
	var list []verdict.Tack
	for _, item := range c.build.Of("welds") {
		made, known := item.Text("found.made")
		if made == "full" {
			continue
		}
		if !known {
			made = string(verdict.NotRecorded)
		}
		t := verdict.Tack{ID: item.ID, Place: c.facts.Vehicle.Place(item), Made: made, What: tackWords(item, c.facts.Vehicle.Units), Span: item.Span}
		t.WaitsFor, _ = item.Text("waits_for")
		if link, waits := c.facts.Bracket(item.ID); waits {
			t.Toe = &link
		}
		if on, ok := item.Date("found.on"); ok {
			t.Since = &on
		}
		for _, m := range moves {
			w := c.welds[item.ID][m.ID]
			tm := verdict.TackMove{Move: m.ID, Carries: w.carries, Load: w.load, WouldBear: w.wouldBear}
			tm.Blocks = slices.ContainsFunc(m.Findings, func(f verdict.Finding) bool { return f.Item == item.ID && f.Blocking })
			t.Moves = append(t.Moves, tm)
		}
		list = append(list, t)
	}
	slices.SortStableFunc(list, func(a, b verdict.Tack) int {
		return cmp.Compare(c.placed(a.Place), c.placed(b.Place))
	})
	return list
}

func tackWords(weld *model.Item, units quantity.System) string {
	words := ""
	if n, ok := weld.Count("found.tacks"); ok {
		words = fmt.Sprintf("%d tacks", n)
		if l, ok := weld.Quantity("found.tack_length"); ok {
			words += " × " + units.Written(l)
		}
	}
	if l, ok := weld.Quantity("found.made_length"); ok {
		words = units.Say(quantity.Of(l.Value, quantity.Length, "mm")) + " made"
	}
	return words
}
