package model_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
)

// TestReadAgain: what is read again while the log grows, shrinks, is torn or says what is wrong, and after
// the file or its table of points was written anew, is what is read at once.
func TestReadAgain(t *testing.T) {
	const short = "../testdata/short"
	for _, name := range []string{"special-mended", "liveaxle-asfound", "buggy-asfound", "checklist-mended"} {
		folder := t.TempDir()
		file := filepath.Join(folder, name+".yaml")
		put := func(path string, text []byte) { require.NoError(t, os.WriteFile(path, text, 0o600)) }
		get := func(name string) []byte {
			text, err := os.ReadFile(filepath.Join(short, name))
			require.NoError(t, err)
			return text
		}
		text, table := get(name+".yaml"), get("points.csv")
		put(file, text)
		put(filepath.Join(folder, "points.csv"), table)
		var reader model.Reader
		same := func(what string) {
			t.Helper()
			want, wrong := model.Load(file)
			got, err := reader.Load(file)
			require.Equal(t, wrong, err, what)
			if err != nil {
				return
			}
			assert.Equal(t, string(want.Canonical()), string(got.Canonical()), what)
			assert.Equal(t, want.Standing, got.Standing, what)
			assert.Equal(t, want.Troubles, got.Troubles, what)
			assert.Equal(t, want.Orders, got.Orders, what)
			assert.Equal(t, want.Log, got.Log, what)
			assert.Equal(t, want.Files, got.Files, what)
			assert.Equal(t, want.Source, got.Source, what)
		}
		same("no log")
		lines := bytes.SplitAfter(get(name+".looks.yaml"), []byte("\n"))
		for _, n := range []int{1, 2, 3, len(lines) / 2, len(lines) - 1, 4, len(lines)} {
			put(model.LogName(file), bytes.Join(lines[:n], nil))
			same("lines of the log")
		}
		log := bytes.Join(lines, nil)
		for _, line := range []string{
			"- {day: 2026-11-25 18:00, by: TN, of: [vehicle], note: again}\n",
			"- {day: 2026-11-25 18:00, by: TN, of: [nobody has this]}\n",
			"- {day: 2026-11-25 18:00, by: TN, of: [vehicle], found: {nonsense: yes}}\n",
			"- {day: 2026-11-25 18:00, by: TN, of: [veh",
		} {
			put(model.LogName(file), append(bytes.Clone(log), line...))
			same(line)
		}
		put(model.LogName(file), log)
		same("as it was")
		put(filepath.Join(folder, "points.csv"), bytes.Replace(table, []byte("0,"), []byte("1,"), 1))
		same("another table")
		put(file, bytes.Replace(text, []byte("mass: 4 kg"), []byte("mass: 5 kg"), 1))
		same("another file")
		put(file, []byte("format: setdown/2\nnonsense: 1\n"))
		same("no build file")
		put(file, text)
		same("mended")
	}
}

// TestReadAgainByPlace: a strap that ties a place names no parts, however often the file is read.
func TestReadAgainByPlace(t *testing.T) {
	file := filepath.Join(t.TempDir(), "kit.yaml")
	require.NoError(t, os.WriteFile(file, []byte(`format: setdown/2
vehicle: {checklist: yes}
places: [front, body]
parts: {car: {role: frame, place: body, mass: 400 kg}}
restraints: {straps: {ties: [front], to: car}}
`), 0o600))
	var reader model.Reader
	for range 2 {
		b, err := reader.Load(file)
		require.NoError(t, err)
		assert.Equal(t, []string{"front"}, b.Item("straps").TiedPlaces)
	}
}
