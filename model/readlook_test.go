package model_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
)

// One line by itself is read as it is read at the end of the log.
func TestReadLook(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"special-mended.yaml", "special-mended.looks.yaml", "points.csv"} {
		text, err := os.ReadFile(filepath.Join("../testdata/short", name))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), text, 0o644))
	}
	file := filepath.Join(dir, "special-mended.yaml")
	log, err := os.ReadFile(model.LogName(file))
	require.NoError(t, err)
	b, err := model.Load(file)
	require.NoError(t, err)
	good, bad := 0, 0
	for _, line := range []string{
		`- {day: 2026-11-25 10:00:00, by: "TN", via: phone-1, of: [fl-lower-front-bolt], found: {torqued: "45 N·m"}, note: "so"}`,
		`- {day: 2026-11-25 10:00:00, by: TN, of: [fl-lower-front-bolt, fl-lower-rear-bolt], good: yes, card: 1, fp: {fl-lower-front-bolt: "0"}, unseen: [marked]}`,
		`- {day: 2026-11-25 10:00:00, by: TN, of: [fl-strut], found: {engaged: ["18 mm", "3/4 in"]}}`,
		`- {day: 2026-11-25 10:00:00, by: TN, of: [gone], found: {made: full}}`,
		`- {day: 2026-11-25 10:00:00, by: TN, of: [front-left], good: yes}`,
		`- {day: 2026-11-25 10:00:00, by: TN, of: [fl-strut, fr-strut], found: {length: 300 mm}}`,
		`- {day: 2026-11-25 10:00:00, by: TN, of: [fl-strut], found: {length: 300 N·m}}`,
		`- {day: 2026-11-25 10:00:00, by: TN, of: [fl-lower-front-bolt], found: {made: full}}`,
		`- {day: 2026-11-25 10:00:00, by: TN, of: [fl-lower-front-bolt], found: {torqued: 9000000 N·m}}`,
		`- {day: today, by: TN, of: [fl-strut], good: yes}`,
		`- {by: TN, of: [fl-strut], good: yes}`,
		`- {day: 2026-11-25, by: TN, good: yes}`,
		`- {day: 2026-11-25, by: TN, of: [fl-strut], good: perhaps}`,
		`- {day: 2026-11-25, by: TN, of: ["node-dash-left{9}"], good: yes}`,
		`- day: 2026-11-25`, `nonsense`, `- {`, "", `- {day: 2026-11-25, by: TN, of: [fl-strut], good: yes, other: 1}`,
		`- {day: 2026-11-25, by: TN, of: [site], found: {slope: 2 mm/m}}`,
	} {
		require.NoError(t, os.WriteFile(model.LogName(file), append(append([]byte{}, log...), line+"\n"...), 0o644))
		with, whole := model.Load(file)
		look, alone := b.ReadLook(line)
		if line == "" {
			assert.Error(t, alone, "no look")
			continue
		}
		assert.Equal(t, whole == nil, alone == nil, "%s: %v, %v", line, whole, alone)
		if whole == nil {
			good++
			last := with.Log.Looks[len(with.Log.Looks)-1]
			assert.Equal(t, last.Digest, look.Digest)
			assert.Equal(t, last.Moment, look.Moment)
			assert.Equal(t, last.By, look.By)
			assert.Equal(t, last.Via, look.Via)
			assert.Len(t, look.Of, len(last.Of))
		} else {
			bad++
		}
	}
	assert.Greater(t, good, 4)
	assert.Greater(t, bad, 8)
}
