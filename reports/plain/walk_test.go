package plain

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/rules/verdict"
)

// Two words about the same things are one row of boxes on paper; a figure, what is critical and what
// was found wrong are not.
func TestOnPaper(t *testing.T) {
	bolts := []verdict.Asked{{ID: "a", Members: 1}, {ID: "b", Members: 1}}
	in := verdict.Question{Of: bolts, Fact: "fitted", Lines: []verdict.Line{{Fact: "fitted", Words: []string{"yes", "no"}}}}
	tight := verdict.Question{Of: bolts, Fact: "tightness", Lines: []verdict.Line{{Fact: "tightness", Words: []string{"loose", "torqued"}}}}
	count := verdict.Question{Of: bolts, Fact: "count", Lines: []verdict.Line{{Fact: "count"}}}
	locked, wrong, other, around := tight, tight, tight, tight
	locked.Each, around.Around = true, true
	wrong.Was = []verdict.HistoryFact{{Item: "a"}}
	other.Of = bolts[:1]
	for _, second := range []verdict.Question{count, locked, wrong, other, around} {
		assert.Len(t, OnPaper(&verdict.Screen{Questions: []verdict.Question{in, second}}), 2, "%+v", second)
	}
	screen := verdict.Screen{Questions: []verdict.Question{in, tight}}
	rows := OnPaper(&screen)
	require.Len(t, rows, 1)
	assert.Equal(t, []verdict.Line{in.Lines[0], tight.Lines[0]}, rows[0].Lines)
	assert.Len(t, screen.Questions[0].Lines, 1, "the round is as it was")

	screen = verdict.Screen{Questions: []verdict.Question{wrong, wrong}}
	rows = OnPaper(&screen)
	require.Len(t, rows, 2)
	assert.Len(t, rows[0].Was, 1)
	assert.Empty(t, rows[1].Was, "a fault is said once")
	assert.Len(t, screen.Questions[1].Was, 1, "the round is as it was")
}
