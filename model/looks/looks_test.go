package looks_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/looks"
	"setdown/model/schema"
)

func TestMoments(t *testing.T) {
	for text, want := range map[string]string{
		"2026-11-24":          "2026-11-24",
		"2026-11-24 17:05":    "2026-11-24 17:05:00",
		"2026-11-24 17:05:10": "2026-11-24 17:05:10",
	} {
		m, err := looks.ParseMoment(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, m.String())
	}
	for _, text := range []string{"", "today", "now", "Today 10:00", "2026-11-24 5:00", "2026-11-24 24:00", "2026-11-24 17:60", "2026-11-24 17", "2026-11-24 17:05:10:1", "2026-13-01", "2026-11-24 1a:00", "2026-11-24 -1:00"} {
		_, err := looks.ParseMoment(text)
		assert.Error(t, err, text)
	}
	assert.Empty(t, looks.Moment{}.String())
}

func FuzzMoment(f *testing.F) {
	f.Add("2026-11-24 17:05:10")
	f.Add("today")
	f.Fuzz(func(t *testing.T, text string) {
		m, err := looks.ParseMoment(text)
		if err != nil {
			return
		}
		again, err := looks.ParseMoment(m.String())
		if err != nil || again != m {
			t.Fatalf("%q reads as %s and that as %s, %v", text, m, again, err)
		}
	})
}

func TestAfter(t *testing.T) {
	at := func(text, by, log string, line int) looks.Stamp {
		m, err := looks.ParseMoment(text)
		require.NoError(t, err)
		return looks.Stamp{Moment: m, By: by, Log: log, Line: line}
	}
	for _, c := range []struct {
		a, b  looks.Stamp
		after bool
		why   string
	}{
		{at("2026-11-25", "TN", "a", 1), at("2026-11-24 18:00", "EA", "b", 9), true, "a later day"},
		{at("2026-11-24 18:00", "TN", "a", 1), at("2026-11-24 17:00", "TN", "a", 2), true, "a later time, though written above"},
		{at("2026-11-24", "TN", "a", 2), at("2026-11-24", "TN", "a", 1), true, "one person, one log, a later line"},
		{at("2026-11-24", "TN", "a", 2), at("2026-11-24 17:00", "TN", "a", 1), true, "no time, so the line"},
		{at("2026-11-24", "TN", "a", 2), at("2026-11-24", "EA", "a", 1), false, "two people"},
		{at("2026-11-24", "TN", "a", 2), at("2026-11-24", "TN", "b", 1), false, "two logs"},
		{at("2026-11-24", "", "a", 2), at("2026-11-24", "", "a", 1), false, "nobody and nobody are not one person"},
		{at("2026-11-24", "TN", "a", 1), looks.Stamp{By: "TN", Log: "a", Line: 0}, false, "a day that nobody wrote"},
	} {
		assert.Equal(t, c.after, c.a.After(c.b), c.why)
		if c.after {
			assert.False(t, c.b.After(c.a), c.why)
		}
	}
}

func TestMembers(t *testing.T) {
	id, n := looks.SplitMember("rack-bolts{3}")
	assert.Equal(t, "rack-bolts 3", id+" "+string(rune('0'+n)))
	for _, name := range []string{"a", "a{", "a{}", "a{x}", "a{3", ""} {
		id, n := looks.SplitMember(name)
		assert.Equal(t, name, id)
		assert.Zero(t, n)
	}
	assert.Equal(t, "a{2}", looks.Member("a", 2))
}

// A line that moves in the table of facts, or comes to it, makes no other thing of what was looked at.
func TestPrintOutlivesTheOrderOfTheTable(t *testing.T) {
	a, b, c := looks.Drawn{Path: "thread", Text: "M10"}, looks.Drawn{Path: "class", Text: "8.8"}, looks.Drawn{Path: "needed", Text: "2"}
	thing := func(design ...looks.Drawn) *looks.Thing {
		return &looks.Thing{Kind: schema.KindOf("fasteners"), Design: design}
	}
	print := thing(a, b).Print()
	assert.True(t, thing(b, c, a).Fits(print))
	assert.False(t, thing(b, c, looks.Drawn{Path: "thread", Text: "M12"}).Fits(print))
	assert.False(t, thing(b, c).Fits(print))
}
