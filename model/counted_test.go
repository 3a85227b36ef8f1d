package model_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
)

// Another way of counting made the number of a cracked weld that of a sound one.
func TestCountedOtherwise(t *testing.T) {
	read := func(counted, log string) *model.Build {
		file := "format: setdown/2\npeople: [AB]\nwelds: {mounts: {needed: 4, " + counted + "role: mount}}\n"
		b, err := model.Read("mounts.yaml", []byte(file), model.Companions{Looks: []byte(log)})
		require.NoError(t, err)
		return b
	}
	const front, rear = "counted: from the front, ", "counted: from the rear, "
	fp := func(counted string) string {
		return ", fp: {mounts: \"" + read(counted, "").Things["mounts"].Print() + "\"}"
	}
	line := func(hour, of, counted, found string) string {
		return "- {day: 2026-11-25 " + hour + ":00, by: AB, of: [\"" + of + "\"]" + fp(counted) + ", found: {" + found + "}}\n"
	}
	for name, c := range map[string]struct {
		now, log string
		crack    any // nil: not known
	}{
		"the same one, mended":                   {front, line("10", "mounts{2}", front, "crack: yes") + line("11", "mounts{2}", front, "crack: no"), false},
		"counted from the rear since":            {rear, line("10", "mounts{2}", front, "crack: yes") + line("11", "mounts{2}", rear, "crack: no"), true},
		"nobody had said how":                    {rear, line("10", "mounts{2}", "", "crack: yes") + line("11", "mounts{2}", rear, "crack: no"), true},
		"nobody says how any more":               {"", line("10", "mounts{2}", front, "crack: yes") + line("11", "mounts{2}", "", "crack: no"), true},
		"all of them seen since, by name":        {rear, line("10", "mounts{2}", front, "crack: yes") + line("11", "mounts", rear, "crack: no"), false},
		"one seen sound is no longer known":      {rear, line("10", "mounts{2}", front, "crack: no"), nil},
		"all seen sound, however they counted":   {rear, line("10", "mounts", front, "crack: no"), false},
		"one seen sound, counted as it is today": {front, line("10", "mounts{2}", front, "crack: no"), false},
	} {
		fact, known := read(c.now, c.log).Standing["mounts"].Members[1]["crack"]
		if c.crack == nil {
			assert.False(t, known, name)
			continue
		}
		assert.Equal(t, c.crack, fact.V, name)
	}
}
