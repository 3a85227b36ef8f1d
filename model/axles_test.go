package model_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/layouts"
)

// TestHoldersOfEachEnd moves what holds the front of a checklist to its rear by the word of its place: the
// vehicle has as many as before, and its front too few. What is of no end by its place may be of either.
func TestHoldersOfEachEnd(t *testing.T) {
	front, err := layouts.Find("double wishbone")
	require.NoError(t, err)
	rear, err := layouts.Find("trailing arm")
	require.NoError(t, err)
	text := string(layouts.WriteShort(front, rear))
	for _, c := range []struct{ id, place, says string }{
		{"front-arm-bolts", "front", ""},
		{"front-arm-bolts", "body", ""},
		{"front-arm-bolts", "rear", "bolts of its arms, springs and steering at its front: 14; listed: 6 (front-arm-bolts is of another end by its place)"},
		{"front-upright-nuts", "rear", "stud nuts at its front: 6; listed: 2 (front-upright-nuts is of another end by its place)"},
		{"front-arm-brackets", "rear", "brackets at its front: 12; listed: 4 (front-arm-brackets is of another end by its place)"},
		{"rear-trailing-arm-bolts", "front", "bolts of its arms, springs and steering at its rear: 8; listed: 4 (rear-trailing-arm-bolts is of another end by its place)"},
	} {
		at := strings.Index(text, "  "+c.id+":")
		require.Positive(t, at, c.id)
		line, rest, _ := strings.Cut(text[at:], "\n")
		end := strings.SplitN(c.id, "-", 2)[0]
		require.Contains(t, line, "place: "+end)
		moved := text[:at] + strings.Replace(line, "place: "+end, "place: "+c.place, 1) + "\n" + rest
		b, err := model.Read("b.yaml", []byte(moved), model.Companions{})
		require.NoError(t, err)
		var said []string
		for _, trouble := range b.Troubles {
			if strings.Contains(trouble.Message, "; listed: ") {
				said = append(said, trouble.Message)
			}
		}
		if c.says == "" {
			assert.Empty(t, said, "%s at %s", c.id, c.place)
		} else {
			assert.Contains(t, strings.Join(said, "\n"), c.says)
		}
	}
}

// TestNoAxleHasNoWheels says of an end that it has no axle: with a wheel listed there, or the bolts of a pivot,
// that is no reason to ask for nothing.
func TestNoAxleHasNoWheels(t *testing.T) {
	for lines, stops := range map[string]string{
		"":                               "",
		"wheels: {nose: {place: front}}": "no axle at its front, and lists nose there",
		"fasteners: {a: {place: front, role: pivot}, b: {place: front, role: engine mount}}": "lists a there",
		"fasteners: {a: {place: body, role: pivot}, b: {place: front, role: engine mount}}":  "",
	} {
		for _, checklist := range []string{"yes", "no"} {
			b, err := model.Read("b.yaml", []byte("format: setdown/2\nvehicle: {checklist: "+checklist+"}\nplaces: [front, body]\naxles: {front: none, rear: other}\nparts: {car: {role: frame}}\n"+lines+"\nsupports: {s: {kind: stand, under: car, place: body}}\nmoves: {down: {kind: lower, steps: [{name: a, supports: [s]}]}}\n"), model.Companions{})
			require.NoError(t, err, lines)
			var said string
			for _, trouble := range b.Troubles {
				said += trouble.Message + "\n"
			}
			if stops == "" {
				assert.NotContains(t, said, "no axle at its", lines)
			} else {
				assert.Contains(t, said, stops, lines)
			}
		}
	}
}
