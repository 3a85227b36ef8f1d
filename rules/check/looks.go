package check

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/verdict"
)

// logFindings are what in the log of looks, or in what the file lists, stops every
// move until somebody mends it: a line that was torn off, a look at what the file
// does not have. No rule stands behind them, and nothing waives them. What was found not good of
// something that is idle in all steps, as of a wheel that is off, is a note as that of any other fault.
// A note that nobody followed with a look cautions with its words.
func (c *checker) logFindings(move *verdict.Move, judged []*step) []verdict.Finding {
	var steps []string
	for _, s := range move.Steps {
		steps = append(steps, s.Name)
	}
	var list []verdict.Finding
	for _, t := range c.build.Troubles {
		item, kind := t.Item, "moves"
		if item == "" {
			item = move.ID
		} else if of := c.build.Item(item); of != nil {
			kind = of.Kind.Name
		}
		outcome := verdict.Stop
		if t.Found && idle(judged, c.build.Item(t.Item)) {
			outcome = verdict.Note
		}
		list = append(list, verdict.Finding{
			Rule: "log", Pack: "records", Outcome: outcome, Severity: outcome, KnownBad: outcome == verdict.Note, Item: item, Kind: kind, Say: t.Message, Fix: t.Hint,
			Why: "The log says what was seen. What it leaves open may be the one fault that somebody saw.", Basis: "common practice",
			Steps: steps, Span: t.Span, Blocking: outcome == verdict.Stop, Work: &verdict.Work{Phase: "record", Do: t.Hint},
		})
	}
	for _, thing := range slices.Sorted(maps.Keys(c.build.Standing)) {
		words, kind := c.build.Standing[thing].Words, c.build.Things[thing].Kind.Name
		if len(words) == 0 || kind == "moves" && thing != move.ID || idle(judged, c.build.Item(thing)) {
			continue
		}
		for _, look := range words {
			fix := "look at it and say what it is by its fact, or good"
			list = append(list, verdict.Finding{
				Rule: "log", Pack: "records", Outcome: verdict.Caution, Severity: verdict.Caution, Item: thing, Kind: kind,
				Say: fmt.Sprintf("%s: %s wrote %q on %s, and nobody looked at it since", thing, look.By, look.Note, look.Moment), Fix: fix,
				Why: "No rule reads what somebody wrote in words, and it may be the one fault that nobody else saw.", Basis: "common practice",
				Steps: steps, Span: look.Span, Work: &verdict.Work{Phase: "record", Do: fix},
			})
		}
	}
	return list
}

// idle reports whether it is known that nothing rests on an item in any step, and that none uses it.
func idle(judged []*step, item *model.Item) bool {
	if item == nil || item.Kind.Name == "moves" || len(judged) == 0 {
		return false
	}
	return !slices.ContainsFunc(judged, func(s *step) bool { return !s.facts.Of(item).Idle() })
}

// Cards returns the card of each kind of item that is looked at, or of those kinds.
func Cards(units quantity.System, kinds ...string) []verdict.Card {
	var cards []verdict.Card
	for _, kind := range schema.Kinds() {
		found := kind.Found()
		if found == nil || len(kinds) > 0 && !slices.Contains(kinds, kind.Name) {
			continue
		}
		round := verdict.CardPart{Name: "on every round"}
		fitted := verdict.CardPart{Name: "when it is fitted, made or set"}
		card := verdict.Card{Kind: kind.Name, Item: kind.Item, Version: looks.CardVersion(kind)}
		for i := range found.Fields {
			f := &found.Fields[i]
			if len(f.Good) == 0 && f.NoGood != "a name" || f.Name == "disturbed" || f.Life == schema.OfLook {
				continue
			}
			line := verdict.CardLine{Fact: f.Name, Question: f.Question, Good: f.Good.Words(units), OnlyFor: f.OnlyFor.Words(units), Critical: f.Critical}
			if line.Good == "" {
				line.Good = f.NoGood
			}
			part := &fitted
			if f.Round {
				part = &round
			}
			part.Lines = append(part.Lines, line)
		}
		for _, part := range []verdict.CardPart{round, fitted} {
			if len(part.Lines) > 0 {
				card.Parts = append(card.Parts, part)
			}
		}
		if len(card.Parts) > 0 {
			cards = append(cards, card)
		}
	}
	return cards
}

// History returns what the log of a build file says of one item, or of all when id
// is empty, and what stands of the item today.
func History(b *model.Build, id string) (*verdict.History, error) {
	if b.Log == nil {
		return nil, fmt.Errorf("%s is of the first format, which keeps no log of looks", b.File)
	}
	h := &verdict.History{File: b.File, Item: id}
	id, _ = looks.SplitMember(id)
	type line struct {
		looks.Stamp
		verdict.HistoryLine
	}
	var lines []line
	add := func(s looks.Stamp, items, says []string, note string) {
		if id == "" || slices.ContainsFunc(items, func(item string) bool { name, _ := looks.SplitMember(item); return name == id }) {
			lines = append(lines, line{s, verdict.HistoryLine{When: s.Moment.String(), By: s.By, Items: items, Says: says, Note: note}})
		}
	}
	for _, look := range b.Log.Looks {
		items, says := lookSays(look)
		add(look.Stamp, items, says, look.Note)
	}
	for _, n := range b.Log.Notes {
		says := []string{string(n.Word)}
		if n.To != "" {
			says = append(says, "→ "+n.To)
		}
		add(n.Stamp, []string{n.Item}, says, n.Why)
	}
	slices.SortStableFunc(lines, func(a, b line) int {
		return cmp.Or(a.Day.Compare(b.Day), cmp.Compare(a.Clock, b.Clock))
	})
	for _, l := range lines {
		h.Lines = append(h.Lines, l.HistoryLine)
	}
	for _, t := range b.Troubles {
		if id == "" || t.Item == id {
			h.Troubles = append(h.Troubles, t.Message+" ("+t.Hint+")")
		}
	}
	if id == "" {
		return h, nil
	}
	state := b.Standing[id]
	if state == nil {
		return nil, fmt.Errorf("%s has no item %q that anybody looks at", b.File, id)
	}
	kind := schema.KindOf(id)
	design := func(string) (any, bool) { return nil, false }
	if item := b.Item(id); item != nil {
		kind = item.Kind
	}
	if thing := b.Things[id]; thing != nil {
		design = thing.Lookup
	}
	stands(h, kind, id, state, design)
	return h, nil
}

// lookSays puts what a look says into words.
func lookSays(look *looks.Look) (items, says []string) {
	switch look.Good {
	case looks.Good:
		says = append(says, "good")
	case looks.NotGood:
		says = append(says, "not good")
	}
	for _, target := range look.Of {
		name := target.ID
		if target.Members != nil {
			name += "{" + strings.Trim(strings.ReplaceAll(fmt.Sprint(target.Members), " ", ","), "[]") + "}"
		}
		items = append(items, name)
	}
	if len(look.Of) == 0 {
		return items, says
	}
	first := look.Of[0]
	switch first.Event {
	case looks.Disturbed:
		says = append(says, "disturbed")
	case looks.Replaced:
		says = append(says, "replaced")
	}
	if first.Found != nil {
		for _, name := range first.Found.Names() {
			v, _ := first.Found.Lookup(name)
			says = append(says, name+" "+model.Written(v.V))
		}
	}
	return items, says
}

// stands lists what stands of an item, faults first, and what nobody knows.
func stands(h *verdict.History, kind *schema.Kind, id string, state *looks.State, design func(path string) (any, bool)) {
	for i, facts := range state.Members {
		name := id
		if len(state.Members) > 1 {
			name = looks.Member(id, i+1)
		}
		for _, f := range kind.Found().Fields {
			fact, known := facts[f.Name]
			switch {
			case known:
				value := model.Written(fact.V)
				if fact.ByCard && f.Type == schema.Enum {
					value = f.Good.Words(quantity.Metric) // 'good' says none of several good words
				}
				h.Now = append(h.Now, verdict.HistoryFact{Item: name, Fact: f.Name, Value: value, When: fact.Moment.String(), By: fact.By, Second: fact.Second, Fault: fact.Fault})
			case len(f.OnlyFor) > 0 && isNot(f.OnlyFor.Holds("", design)):
			case len(f.Good) > 0 && f.Event == "":
				h.Unknown = append(h.Unknown, name+" "+f.Name)
			}
		}
	}
	slices.SortStableFunc(h.Now, func(a, b verdict.HistoryFact) int {
		rank := map[bool]int{true: 0, false: 1}
		return cmp.Compare(rank[a.Fault], rank[b.Fault])
	})
}

func isNot(holds, known bool) bool { return known && !holds }
