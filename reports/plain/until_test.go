package plain

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"setdown/model/quantity"
	"setdown/rules/verdict"
)

var firstOfMonth = quantity.Date{Year: 2026, Month: 12, Day: 1}

func TestUntil(t *testing.T) {
	look, waiver, other := verdict.EndsLook, verdict.EndsWaiver, verdict.EndsOther
	for _, c := range []struct {
		until *verdict.Until
		want  string
	}{
		{nil, ""},
		{&verdict.Until{Last: firstOfMonth, Soon: true, Ends: []verdict.Ending{{Item: "a", What: look}}}, ""},
		{&verdict.Until{Last: firstOfMonth, Ends: []verdict.Ending{{Item: "a", What: look}}},
			"It stays so until 2026-12-01, with floor, people and supports looked at again on the day: then the look at a is too old."},
		{&verdict.Until{Last: firstOfMonth, Ends: []verdict.Ending{{Item: "a", What: look}, {Item: "a", What: look}, {Item: "b", What: look}, {Item: "c", What: waiver}, {Item: "d", What: other, Say: "its examination lapsed"}}},
			"It stays so until 2026-12-01, with floor, people and supports looked at again on the day: then the look at a and 1 more is too old; the waiver for c runs out; its examination lapsed."},
	} {
		assert.Equal(t, c.want, Until(&verdict.Move{Until: c.until}))
	}
}

func TestOrdersInWords(t *testing.T) {
	day := firstOfMonth
	for want, o := range map[string]verdict.Order{
		"nuts: on order": {ID: "nuts", State: verdict.OnOrder},
		"2 × castle nut: on order, not before 2026-12-01":                          {ID: "nuts", What: "castle nut", Ordered: 2, Expected: &day, State: verdict.OnOrder},
		"2 × castle nut: overdue since 2026-12-01, 1 here":                         {ID: "nuts", What: "castle nut", Ordered: 2, Arrived: 1, Expected: &day, State: verdict.Overdue},
		"castle nut: here; is it what was ordered, right thread, right taper?":     {ID: "nuts", What: "castle nut", Ordered: 1, Arrived: 1, State: verdict.Unchecked},
		"castle nut: here, and not what was ordered":                               {ID: "nuts", What: "castle nut", Ordered: 1, Arrived: 1, State: verdict.WrongPart},
		"castle nut: here, to be fitted; here, fitted and looked at it frees down": {ID: "nuts", What: "castle nut", Ordered: 1, Arrived: 1, State: verdict.Here},
	} {
		r := &verdict.Report{Orders: []verdict.Order{o}}
		if o.State == verdict.Here {
			r.Moves = []verdict.Move{{ID: "down", Awaits: []verdict.Awaited{{Orders: []string{"nuts"}}}}, {ID: "up", Awaits: []verdict.Awaited{{Orders: []string{"nuts"}, Stops: 2}}}}
		}
		assert.Equal(t, []string{want}, Orders(r))
	}
	r := &verdict.Report{Orders: []verdict.Order{{ID: "nuts", State: verdict.OnOrder}}}
	assert.Equal(t, "nuts: on order. Here, fitted and looked at (fl-nut): then this move goes", Awaited(r, verdict.Awaited{Orders: []string{"nuts"}, For: []string{"fl-nut"}}))
	assert.Equal(t, "all 2 of them here, fitted and looked at: then 1 stop is left", Awaited(r, verdict.Awaited{Orders: []string{"nuts", "bars"}, Stops: 1}))
}

// Of a thing whose loads wait for facts these come first, and the work list shows them alone.
func TestWhatComesFirst(t *testing.T) {
	cg, seen := verdict.Missing{Path: "parts.arm.cg", Doc: "where it is"}, verdict.Missing{Path: "welds.w.found.made", Doc: "how far it is made"}
	m := &verdict.Move{ID: "down", First: []verdict.Missing{cg}, Findings: []verdict.Finding{finding("a", verdict.NotRecorded, "w", cg, seen)}}
	for i := range m.Findings {
		m.Findings[i].Blocking = true
	}
	first, rest := firstOf(m)
	assert.Equal(t, []Look{{Name: "arm", Items: []string{"arm"}, Questions: []string{"where it is"}}}, looks(first, Names))
	assert.Equal(t, []string{"how far it is made"}, looks(rest, Names)[0].Questions)

	p := verdict.Punch{Jobs: []verdict.Job{{Phase: "record", Item: "arm", First: true}, {Phase: "record", Item: "w"}, {Phase: "weld", Item: "w"}}}
	now, later := Now(p)
	assert.Len(t, now, 1)
	assert.Equal(t, 2, later)
	now, later = Now(verdict.Punch{Jobs: p.Jobs[1:]})
	assert.Len(t, now, 2)
	assert.Zero(t, later)
	weld, record := verdict.Job{Phase: "weld", Do: "x"}, verdict.Job{Phase: "record", Do: "x"}
	at := func(j verdict.Job, item, place string) verdict.Job {
		j.Item, j.Place = item, place
		return j
	}
	var said []string
	var boxes []int
	own := verdict.Job{Phase: "weld", Item: "fl-a", Place: "front-left", Do: "turn fl-a"}
	for _, task := range Tasks([]verdict.Job{at(record, "fl-a", "front-left"), at(weld, "fl-a", "front-left"), at(record, "fr-a", "front-right"), at(weld, "fr-a", "front-right"), own, own}) {
		said, boxes = append(said, task.Says(task.Do)), append(boxes, task.Boxes())
	}
	assert.Equal(t, []string{"fl-, fr-a: x", "fl-, fr-a: x", "turn fl-a (front left)", "turn fl-a (front left)"}, said)
	assert.Equal(t, []int{1, 2, 1, 1}, boxes)
}
