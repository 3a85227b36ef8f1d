package check

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/facts"
	"setdown/rules/verdict"
)

// soon is how many days before its end a GO is a caution: whoever plans the move for the
// weekend has to know it on Friday.
const soon = 2

// on is a checker of another build state on another day, by the same rules. It is asked for
// what stops a move and makes no rows for a report.
func (c *checker) on(b *model.Build, day quantity.Date) *checker {
	f := facts.New(b, c.engine.Policy(), looks.Moment{Day: day})
	f.Speak(c.facts.Vehicle.Units)
	f.Vehicle.Cache = c.facts.Vehicle.Cache
	return c.as(f, day)
}

func (c *checker) as(f *facts.State, day quantity.Date) *checker {
	return &checker{build: f.Vehicle.Build, engine: c.engine, facts: f, waivers: c.waivers, today: day, order: c.order, bare: true}
}

// later is a checker of the same vehicle that many days from now; one serves all moves. It judges
// what hangs on the day and takes over the rest. A rule of the builder's own may read the day
// together with what was found, and then all is judged.
func (c *checker) later(days int) *checker {
	if c.days[days] == nil {
		day := c.today.AddDays(days)
		if len(c.engine.RuleSet().Added) > 0 {
			c.days[days] = c.on(c.build.LookedAgain(day), day)
		} else {
			l := c.as(c.facts.Later(day), day)
			l.first = c
			c.days[days] = l
		}
	}
	return c.days[days]
}

// blocking judges a move and returns what stops it.
func (c *checker) blocking(ctx context.Context, move string) ([]verdict.Finding, error) {
	then, err := c.move(ctx, c.build.Item(move))
	return then.Blocking(), err
}

// until finds the last day on which a move that is GO stays so. Ages only grow, and waivers only
// run out, so the days are halved; the day found and the one after it were both judged.
// Past the age limit of a look nothing on the vehicle counts any more: what is GO on that
// day has no end that anybody could tell. Most moves end on one day, so that of the move
// before, in days from today, is tried first; of the first move that on which the oldest
// look is too old.
func (c *checker) until(ctx context.Context, move *verdict.Move, last *int) error {
	limit := int(c.policy("age_limit").Value / quantity.Day)
	free, stopped := 0, limit+2 // the last day known to be GO; the first one after it that is not
	var ends []verdict.Finding  // what stops it on that day
	if *last == 0 {
		*last = limit - c.oldest()
	}
	next := []int{*last + 1, *last}
	for free+1 < stopped {
		days := (free + stopped) / 2
		if len(next) > 0 {
			days, next = next[0], next[1:]
		}
		if days <= free || days >= stopped {
			continue
		}
		then, err := c.later(days).blocking(ctx, move.ID)
		if err != nil {
			return err
		}
		if len(then) == 0 {
			free = days
		} else {
			stopped, ends = days, then
		}
	}
	if len(ends) == 0 {
		return nil
	}
	*last = free
	move.Until = &verdict.Until{Last: c.today.AddDays(free), Left: free, Soon: free <= soon}
	for _, f := range ends {
		move.Until.Ends = append(move.Until.Ends, verdict.Ending{Item: f.Item, Kind: f.Kind, What: ending(&f), Rule: f.Rule, Say: f.Say})
	}
	if move.Until.Soon {
		at := slices.IndexFunc(move.Findings, func(f verdict.Finding) bool { return rank(f.Outcome) > rank(verdict.Caution) })
		if at < 0 {
			at = len(move.Findings)
		}
		move.Findings = slices.Insert(move.Findings, at, endsSoon(move))
	}
	return nil
}

// oldest is how many days ago the oldest look was taken that is not taken again on the day
// of a move.
func (c *checker) oldest() int {
	days := 0
	for _, kind := range schema.Kinds() {
		if kind.Daily() || kind.Found() == nil || kind.Found().Field("on") == nil {
			continue
		}
		for _, item := range c.build.Of(kind.Name) {
			if day, known := item.Date(schema.Found + ".on"); known {
				days = max(days, day.DaysUntil(c.today))
			}
		}
	}
	return days
}

// ending tells what of an item runs out, by what the rule compares.
func ending(f *verdict.Finding) verdict.EndingWhat {
	if f.Waiver != nil {
		return verdict.EndsWaiver
	}
	for i := range f.Because {
		for _, fact := range f.Because[i].Left.Facts() {
			if _, name, _ := strings.Cut(fact.Fact, "."); name == facts.Age {
				return verdict.EndsLook
			}
		}
	}
	return verdict.EndsOther
}

// awaits finds the orders that a move waits for, and judges it as if what each of them is
// for were fitted and found good; of several also all of them together.
func (c *checker) awaits(ctx context.Context, move *verdict.Move, orders []verdict.Order) error {
	var all verdict.Awaited
	add := func(a verdict.Awaited) error {
		by := "when it has come: " + strings.Join(a.Orders, ", ")
		then, err := c.on(c.build.Fitted(c.today, by, a.For...), c.today).blocking(ctx, move.ID)
		a.Stops = len(then)
		move.Awaits = append(move.Awaits, a)
		return err
	}
	for _, o := range orders {
		one := verdict.Awaited{Orders: []string{o.ID}}
		for _, id := range o.For {
			if slices.ContainsFunc(move.Findings, func(f verdict.Finding) bool { return f.Item == id && f.Blocks() }) {
				one.For = append(one.For, id)
			}
		}
		if len(one.For) == 0 {
			continue
		}
		if err := add(one); err != nil {
			return err
		}
		all.Orders, all.For = append(all.Orders, o.ID), append(all.For, one.For...)
	}
	if len(all.Orders) < 2 {
		return nil
	}
	return add(all)
}

// Ahead adds to the report what lies ahead of the build state: how long a GO stays one, for which
// what hangs on the day is judged again, and which order frees a NO-GO, for which it is judged as
// if that had come.
func (j *Judged) Ahead(ctx context.Context) (err error) {
	last := 0
	for i := range j.Report.Moves {
		m := &j.Report.Moves[i]
		switch {
		case len(m.Steps) == 0:
		case m.Decision == verdict.Go:
			err = j.until(ctx, m, &last)
		default:
			err = j.awaits(ctx, m, j.Report.Orders)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// endsSoon is the caution of a GO that ends within days. No rule stands behind it: it says what the
// rules will say then.
func endsSoon(m *verdict.Move) verdict.Finding {
	var steps []string
	for _, s := range m.Steps {
		steps = append(steps, s.Name)
	}
	first := m.Until.Ends[0]
	more := ""
	if n := len(m.Until.Ends) - 1; n > 0 {
		more = fmt.Sprintf(", and %d more", n)
	}
	return verdict.Finding{
		Rule: "until", Pack: "records", Outcome: verdict.Caution, Severity: verdict.Caution, Item: m.ID, Kind: "moves",
		Say:   fmt.Sprintf("%s: GO until %s and no longer: %s%s", m.ID, m.Until.Last, cmp.Or(first.Say, first.Item), more),
		Fix:   "look at it again before then",
		Why:   "A look counts for days, and what was seen on one day runs out on one day.",
		Basis: "common practice", Steps: steps, Span: m.Span,
	}
}
