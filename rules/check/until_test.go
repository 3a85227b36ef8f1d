package check_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/check"
	"setdown/rules/verdict"
)

// ahead judges some moves of a build file text on a day, with what lies ahead.
func ahead(t *testing.T, b *model.Build, on quantity.Date, moves ...string) *verdict.Report {
	t.Helper()
	j, err := check.Judge(t.Context(), b, rules(t), check.Options{Today: on, Moves: moves})
	require.NoError(t, err)
	require.NoError(t, j.Ahead(t.Context()))
	return j.Report
}

// A GO says until when the same file would be one: day by day the same rules agree.
func TestUntilIsTheLastDay(t *testing.T) {
	b := load(t, "special-mended")
	r := ahead(t, b, today, "off-table-tied", "engine-out")
	for _, m := range r.Moves {
		require.NotNil(t, m.Until, m.ID)
		assert.Equal(t, "2026-11-28", m.Until.Last.String(), m.ID)
		assert.Equal(t, 3, m.Until.Left)
		assert.False(t, m.Until.Soon)
		assert.NotEmpty(t, m.Until.Ends)
		for _, end := range m.Until.Ends {
			assert.Equal(t, verdict.EndsLook, end.What)
			on, _ := b.Item(end.Item).Date("found.on")
			assert.Equal(t, "2026-11-14", on.String(), end.Item)
		}
	}
	e := rules(t)
	for days := range 20 {
		day := today.AddDays(days)
		then, err := check.Run(t.Context(), b.LookedAgain(day), e, check.Options{Today: day, Moves: []string{"engine-out"}})
		require.NoError(t, err)
		assert.Equal(t, day.Compare(r.Moves[1].Until.Last) <= 0, then.Decision == verdict.Go, day)
	}
}

// Two days before it ends a GO is a caution, and three days before it is not.
func TestTheCliffIsAnnounced(t *testing.T) {
	for left, soon := range map[int]bool{3: false, 2: true, 1: true, 0: true} {
		day := quantity.Date{Year: 2026, Month: 11, Day: 28 - left}
		r := ahead(t, load(t, "special-mended").LookedAgain(day), day, "engine-out")
		m := r.Moves[0]
		require.NotNil(t, m.Until)
		assert.Equal(t, left, m.Until.Left)
		assert.Equal(t, soon, m.Until.Soon)
		said := false
		for _, f := range m.Of(verdict.Caution) {
			said = said || f.Rule == "until" && f.Say == "engine-out: GO until 2026-11-28 and no longer: "+m.Until.Ends[0].Say+", and 11 more"
		}
		assert.Equal(t, soon, said, "%d days left", left)
		assert.Equal(t, verdict.Go, m.Decision, "a caution stops nothing")
	}
}

const ordered = `
orders:
  nuts: {what: castle nut M12x1.25, for: [fr-lower-nut], ordered: 2, expected: 2026-12-01}
  bars: {what: bar, for: [fl-strut], ordered: 1, expected: 2026-11-20}
  tyres: {what: tyre, ordered: 4}
`

// Which delivery frees which move is what the rules say with it fitted, and no guess.
func TestOrdersFreeMoves(t *testing.T) {
	short := func(t *testing.T, log string) *model.Build { return withMore(t, "special-mended", ordered, log) }
	awaits := func(t *testing.T, b *model.Build) []verdict.Awaited {
		t.Helper()
		return ahead(t, b, today, "onto-hub-stands").Moves[0].Awaits
	}
	nut := "- {day: 2026-11-25 10:00, by: RT, of: [fr-lower-nut], found: {fitted: no}}\n"
	bent := "- {day: 2026-11-25 10:00, by: RT, of: [fl-strut], found: {bent: yes}}\n"

	assert.Empty(t, awaits(t, short(t, "")), "a GO waits for nothing")
	assert.Equal(t, []verdict.Awaited{{Orders: []string{"nuts"}, For: []string{"fr-lower-nut"}}}, awaits(t, short(t, nut)), "the nut alone frees it")
	both := awaits(t, short(t, nut+bent))
	require.Len(t, both, 3)
	assert.Positive(t, both[0].Stops)
	assert.Positive(t, both[1].Stops)
	assert.Equal(t, verdict.Awaited{Orders: []string{"nuts", "bars"}, For: []string{"fr-lower-nut", "fl-strut"}}, both[2])

	// What is here frees nothing by itself.
	r := ahead(t, short(t, nut+"- {arrived: nuts, count: 2, checked: yes, day: 2026-11-25, by: RT}\n"), today, "onto-hub-stands")
	assert.Equal(t, verdict.NoGo, r.Decision)
	assert.Equal(t, verdict.Here, r.Orders[0].State)
}

func TestOrdersStand(t *testing.T) {
	for log, want := range map[string][]verdict.OrderState{
		"": {verdict.OnOrder, verdict.Overdue, verdict.OnOrder},
		"- {arrived: nuts, count: 1, day: 2026-11-25, by: RT}\n":              {verdict.OnOrder, verdict.Overdue, verdict.OnOrder},
		"- {arrived: nuts, day: 2026-11-25, by: RT}\n":                        {verdict.Unchecked, verdict.Overdue, verdict.OnOrder},
		"- {arrived: nuts, count: 2, checked: no, day: 2026-11-25, by: RT}\n": {verdict.WrongPart, verdict.Overdue, verdict.OnOrder},
		// The one that was wrong is not the other one, which was right.
		"- {arrived: nuts, count: 1, checked: no, day: 2026-11-25, by: RT}\n- {arrived: nuts, count: 1, checked: yes, day: 2026-11-25, by: RT}\n":                                                                     {verdict.WrongPart, verdict.Overdue, verdict.OnOrder},
		"- {arrived: nuts, count: 1, checked: no, day: 2026-11-25, by: RT}\n- {arrived: nuts, count: 1, checked: yes, day: 2026-11-25, by: RT}\n- {arrived: nuts, count: 1, checked: yes, day: 2026-11-25, by: TN}\n": {verdict.Here, verdict.Overdue, verdict.OnOrder},
		"- {arrived: nuts, checked: no, day: 2026-11-25, by: RT}\n- {arrived: nuts, checked: yes, day: 2026-11-25, by: RT}\n":                                                                                         {verdict.Here, verdict.Overdue, verdict.OnOrder},
		"- {arrived: nuts, count: 1, day: 2026-11-25, by: RT}\n- {arrived: nuts, count: 1, checked: yes, day: 2026-11-25, by: RT}\n":                                                                                  {verdict.Unchecked, verdict.Overdue, verdict.OnOrder},
		"- {arrived: {item: bars, checked: yes}, day: 2026-11-25, by: RT}\n":                                                                                                                                          {verdict.OnOrder, verdict.Here, verdict.OnOrder},
		"- {arrived: tyres, count: 2, checked: yes, day: 2026-11-25, by: RT}\n":                                                                                                                                       {verdict.OnOrder, verdict.Overdue, verdict.OnOrder},
		// A line that a merge doubled is one delivery.
		"- {arrived: tyres, count: 2, day: 2026-11-25, by: RT}\n- {arrived: tyres, count: 2, day: 2026-11-25, by: RT}\n": {verdict.OnOrder, verdict.Overdue, verdict.OnOrder},
		"- {arrived: tyres, count: 2, day: 2026-11-24, by: RT}\n- {arrived: tyres, count: 2, day: 2026-11-25, by: RT}\n": {verdict.OnOrder, verdict.Overdue, verdict.Unchecked},
	} {
		var got []verdict.OrderState
		r, err := check.Run(t.Context(), withMore(t, "special-mended", ordered, log), rules(t), check.Options{Today: today, Moves: []string{"engine-out"}})
		require.NoError(t, err)
		for _, o := range r.Orders {
			got = append(got, o.State)
		}
		assert.Equal(t, want, got, log)
	}
}

// withMore reads a short demo with more at the end of the build file and of its log.
func withMore(t testing.TB, name, build, log string) *model.Build {
	t.Helper()
	b, err := edited(t, "../short/"+name, func(text string) string { return text + build }, log)
	require.NoError(t, err)
	return b
}

// Area clear at ten to eight, move at four: a moment holds for an hour and this move.
func TestAMomentHoldsForAnHour(t *testing.T) {
	at := func(hour, minute int) check.Options {
		return check.Options{Today: today, Clock: 3600*hour + 60*minute, Timed: true, Moves: []string{"engine-out"}}
	}
	whole := check.Options{Today: today, Moves: []string{"engine-out"}}
	again := func(clock string) string {
		return "- {day: 2026-11-25 " + clock + ", by: RT, of: [engine-out], good: yes, found: {area_clear: yes, people: 2, in_charge: RT, stop_word: yes, phone: yes, way_back: yes, stop_means: yes, order_read: yes}}\n" +
			"- {day: 2026-11-25 " + clock + ", by: RT, of: [site], found: {clear: yes}}\n"
	}
	for _, c := range []struct {
		name, log string
		options   check.Options
		want      verdict.Decision
	}{
		{"a day without hours, read as a whole", "", whole, verdict.Go},
		{"no hour written, and the move at four", "", at(16, 0), verdict.NoGo},
		{"ten to eight, and the move at four", again("07:50"), at(16, 0), verdict.NoGo},
		{"ten to eight, and the move at half past", again("07:50"), at(8, 30), verdict.Go},
		{"ten to eight, and the move at ten to nine", again("07:50"), at(8, 50), verdict.Go},
		{"ten to eight, and a second later", again("07:50"), check.Options{Today: today, Clock: 3600*8 + 60*50 + 1, Timed: true, Moves: whole.Moves}, verdict.NoGo},
		{"read as a whole: all at one time", again("07:50"), whole, verdict.Go},
		{"read as a whole: who is in charge was said hours later", again("07:50") + "- {day: 2026-11-25 16:00, by: RT, of: [engine-out], found: {in_charge: EA}}\n", whole, verdict.NoGo},
		{"looked at again at four", again("07:50") + again("15:55"), at(16, 0), verdict.Go},
		{"at a time to come", again("16:10"), at(16, 0), verdict.NoGo},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := check.Run(t.Context(), withMore(t, "special-mended", "", c.log), rules(t), c.options)
			require.NoError(t, err)
			assert.Equal(t, c.want, r.Decision)
			for _, f := range r.Moves[0].Blocking() {
				assert.Equal(t, "moment-seen", f.Rule)
			}
		})
	}
}

// The day that a report names is the one that a full judgement of each day gives, whatever was
// seen when, waived or counted: only what hangs on the day is judged again for it.
func TestUntilIsWhatEachDaySays(t *testing.T) {
	e := rules(t)
	random := rand.New(rand.NewPCG(*firstSeed, 12))
	counts := map[verdict.EndingWhat]int{}
	for range 6 {
		for _, name := range []string{"special-mended", "liveaxle-mended", "buggy-mended", "checklist-mended"} {
			b := aged(load(t, name), random)
			moves := b.Of("moves")
			move := moves[random.IntN(len(moves))].ID
			m := ahead(t, b, today, move).Moves[0]
			if m.Decision != verdict.Go || m.Until == nil {
				continue
			}
			blocking := func(left int) []verdict.Finding {
				day := today.AddDays(left)
				r, err := check.Run(t.Context(), b.LookedAgain(day), e, check.Options{Today: day, Moves: []string{move}})
				require.NoError(t, err)
				return r.Moves[0].Blocking()
			}
			require.Empty(t, blocking(m.Until.Left), "%s of %s, %s", move, name, m.Until.Last)
			require.Empty(t, blocking(random.IntN(m.Until.Left+1)))
			var ends []verdict.Ending
			for _, f := range blocking(m.Until.Left + 1) {
				ends = append(ends, verdict.Ending{Item: f.Item, Kind: f.Kind, Rule: f.Rule, Say: f.Say})
			}
			for i := range m.Until.Ends {
				counts[m.Until.Ends[i].What]++
				m.Until.Ends[i].What = ""
			}
			require.Equal(t, ends, m.Until.Ends, "%s of %s, %s", move, name, m.Until.Last)
		}
	}
	t.Log(counts)
	assert.Positive(t, counts[verdict.EndsLook])
	assert.Positive(t, counts[verdict.EndsWaiver])
	assert.Positive(t, counts[verdict.EndsOther])
}

// aged gives a build state as on today that was looked at and counted on random days, and has one
// bolt of a class that is waived for some days.
func aged(b *model.Build, random *rand.Rand) *model.Build {
	b = b.LookedAgain(today)
	oldest := random.IntN(15)
	for i := range b.Listed {
		b.Listed[i].Day = today.AddDays(-40 - random.IntN(17))
	}
	bolts := b.Of("fasteners")
	bolt := bolts[random.IntN(len(bolts))]
	if found, ok := bolt.Record.Record("found"); ok && found.Field("class_mark") != nil {
		found.Set("class_mark", schema.Value{V: "5.8"})
		waiver := schema.NewRecord(schema.KindOf("waivers").Fields, bolt.Span)
		for name, v := range map[string]any{"rule": "fastener-class", "item": bolt.ID, "reason": "seen", "by": "AB", "until": today.AddDays(random.IntN(6))} {
			waiver.Set(name, schema.Value{V: v})
		}
		b.Items["waivers"] = append(b.Items["waivers"], &model.Item{Kind: schema.KindOf("waivers"), ID: "1", Record: waiver})
	}
	for _, kind := range schema.Kinds() {
		if kind.Daily() || kind.Field("found") == nil {
			continue
		}
		for _, item := range b.Of(kind.Name) {
			if found, ok := item.Record.Record("found"); ok {
				found.Set("on", schema.Value{V: today.AddDays(-random.IntN(oldest + 1))})
			}
		}
	}
	return b
}
