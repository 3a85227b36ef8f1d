package signoff

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/quantity"
)

func TestDir(t *testing.T) {
	for file, want := range map[string]string{
		"car.yaml": "car.signoffs", "car.yml": "car.yml.signoffs", "builds/car.v2.yml": "builds/car.v2.yml.signoffs", "car.v2.yaml": "car.v2.signoffs",
	} {
		assert.Equal(t, want, Dir(file))
	}
}

// folder is the build file of a test and its folder of records.
func folder(t *testing.T) (file, dir string) {
	file = filepath.Join(t.TempDir(), "car.yaml")
	return file, Dir(file)
}

func signed(t *testing.T, dir string, change func(r *Record)) string {
	t.Helper()
	r := record(t)
	if change != nil {
		change(&r)
	}
	path, err := Write(dir, r)
	require.NoError(t, err)
	return path
}

var today = quantity.Date{Year: 2026, Month: 11, Day: 21}

func TestWriteThenLatest(t *testing.T) {
	file, dir := folder(t)
	none, path, remarks := Latest(file, "onto-stands", today)
	require.Empty(t, remarks)
	assert.Nil(t, none)
	assert.Empty(t, path)

	path = signed(t, dir, nil)
	assert.Equal(t, filepath.ToSlash(filepath.Join(dir, "0001-onto-stands-2026-11-20.yaml")), path)
	// An id that looks like a date and a longer id.
	path = signed(t, dir, func(r *Record) { r.Move = "onto-stands-2026-11-19" })
	assert.Equal(t, "0002-onto-stands-2026-11-19-2026-11-20.yaml", filepath.Base(path))

	second := record(t)
	second.By, second.Waivers = "Ünal: \"k\" # é", nil
	want, err := Write(dir, second)
	require.NoError(t, err)

	got, path, remarks := Latest(file, "onto-stands", today)
	require.Empty(t, remarks)
	assert.Equal(t, want, path)
	second.Format, second.Number = Format, 3
	assert.True(t, got.equal(&second), "%+v", got)

	got, _, remarks = Latest(file, "onto-stands-2026-11-19", today)
	require.Empty(t, remarks)
	assert.Equal(t, "onto-stands-2026-11-19", got.Move)
	got, _, _ = Latest(file, "stands", today)
	assert.Nil(t, got, "the end of another id")
	assertNoTemp(t, dir)
}

// A record of a day to come hides none of today, and counts for nothing itself.
func TestARecordOfADayToCome(t *testing.T) {
	file, dir := folder(t)
	ahead := signed(t, dir, func(r *Record) { r.On = today; r.On.Year++ })
	r, path, remarks := Latest(file, "onto-stands", today)
	require.Empty(t, remarks)
	require.Equal(t, ahead, path)
	stands, why := r.Stands(today, 7, r.StateHash, r.RulesHash, r.Version, r.State)
	assert.False(t, stands)
	assert.Equal(t, []string{"it is dated 2027-11-21, which is later than 2026-11-21"}, why)

	now := signed(t, dir, nil)
	signed(t, dir, func(r *Record) { r.On = today; r.On.Day++ })
	_, path, _ = Latest(file, "onto-stands", today)
	assert.Equal(t, now, path)
}

// A record counts for the file that was signed, not for another beside it nor for
// a copy of it by another name.
func TestARecordIsForItsFile(t *testing.T) {
	file, dir := folder(t)
	path := signed(t, dir, nil)
	for _, other := range []string{"copy.yaml", "car.yml"} {
		other = filepath.Join(filepath.Dir(file), other)
		require.NoError(t, os.CopyFS(Dir(other), os.DirFS(dir)))
		r, _, remarks := Latest(other, "onto-stands", today)
		assert.Nil(t, r)
		require.Len(t, remarks, 1)
		assert.Contains(t, remarks[0].Message, "the record is for car.yaml and not for "+filepath.Base(other))
	}
	// The folder may be moved with its file.
	moved := filepath.Join(t.TempDir(), "car.yaml")
	require.NoError(t, os.CopyFS(Dir(moved), os.DirFS(dir)))
	r, _, remarks := Latest(moved, "onto-stands", today)
	assert.Empty(t, remarks)
	assert.NotNil(t, r)
	// Renamed to be the last one, it is none.
	require.NoError(t, os.Rename(path, filepath.Join(dir, "0009-onto-stands-2026-11-20.yaml")))
	r, _, remarks = Latest(file, "onto-stands", today)
	assert.Nil(t, r)
	assert.ErrorContains(t, remarks.Err(), "number 1, for onto-stands on 2026-11-20, which its name does not say")
}

func TestTheRecordIsPlainText(t *testing.T) {
	dir := t.TempDir()
	path, err := Write(dir, record(t))
	require.NoError(t, err)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.True(t, strings.HasPrefix(string(text), "format: setdown-signoff/2\nnumber: 1\nmove: onto-stands\nby: R. T.\ndate: \"2026-11-20\"\n"), "%s", text)
	assert.Contains(t, string(text), "\n  - welds.fl-mount.found.made = full\n")
	info, err := os.Stat(path)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o644), info.Mode().Perm())
}

func TestWriteRefusesHalfARecord(t *testing.T) {
	for want, spoil := range map[string]func(*Record){
		"has no move":         func(r *Record) { r.Move = "" },
		"has no by":           func(r *Record) { r.By = "  " },
		"has no date":         func(r *Record) { r.On.Year, r.On.Month, r.On.Day = 0, 0, 0 },
		"has no file":         func(r *Record) { r.File = "" },
		"has no state_hash":   func(r *Record) { r.StateHash = "" },
		"has no rules_hash":   func(r *Record) { r.RulesHash = "" },
		"has no version":      func(r *Record) { r.Version = "" },
		"has no state":        func(r *Record) { r.State = nil },
		"part of a file name": func(r *Record) { r.Move = "../x" },
		"cannot be read back": func(r *Record) { r.By = "\n\nR. T." },
	} {
		r := record(t)
		spoil(&r)
		dir := t.TempDir()
		_, err := Write(dir, r)
		assert.ErrorContains(t, err, want)
		assertEmpty(t, dir)
	}
}

// What only looks like a record takes no number away.
func TestNumbersGoOn(t *testing.T) {
	file, dir := folder(t)
	signed(t, dir, nil)
	for _, name := range []string{"999999999-onto-stands-2026-11-20.yaml", "0002-onto-stands-2026-11-20.yaml", ".unfinished-123", "notes.txt", "0007-x.yaml", "12345678901-onto-stands-2026-11-20.yaml"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), nil, 0o644))
	}
	path := signed(t, dir, nil)
	assert.Equal(t, "0003-onto-stands-2026-11-20.yaml", filepath.Base(path))
	got, latest, remarks := Latest(file, "onto-stands", today)
	require.NotNil(t, got)
	assert.Equal(t, path, latest)
	require.Len(t, remarks, 1)
	assert.Contains(t, remarks[0].Span.File, "999999999-onto-stands")
}

func TestADamagedRecordIsRemarked(t *testing.T) {
	file, dir := folder(t)
	older := signed(t, dir, nil)
	path := signed(t, dir, nil)
	good, err := os.ReadFile(path)
	require.NoError(t, err)
	reseal := func(text string) string {
		body, _, _ := strings.Cut(text, sealKey)
		sum := sha256.Sum256([]byte(body))
		return body + sealKey + hex.EncodeToString(sum[:]) + "\n"
	}
	for name, c := range map[string]struct {
		text string
		want string
	}{
		"empty":                  {"", "not complete"},
		"half":                   {string(good[:len(good)/2]), "not complete"},
		"last character cut off": {string(good[:len(good)-1]), "seal does not match"},
		"a fact made better":     {strings.Replace(string(good), "made = tack", "made = full", 1), "changed after signing"},
		"a comment added":        {"# fine\n" + string(good), "changed after signing"},
		"more behind the seal":   {string(good) + "by: X\n", "changed after signing"},
		"a key unknown":          {reseal("colour: red\n" + string(good)), "cannot be read"},
		"a key twice":            {reseal("by: X\n" + string(good)), "cannot be read"},
		"a key missing":          {reseal(strings.Replace(string(good), "by: R. T.\n", "", 1)), "has no by"},
		"another format":         {reseal(strings.Replace(string(good), Format, "setdown-signoff/1", 1)), "has format"},
		"a day that is none":     {reseal(strings.Replace(string(good), "2026-11-20", "2026-11-31", 1)), "cannot be read"},
		"two documents":          {reseal(strings.Replace(string(good), sealKey, "---\nby: X\n"+sealKey, 1)), "added after the end"},
		"another move":           {reseal(strings.Replace(string(good), "move: onto", "move: off", 1)), "its name does not say"},
	} {
		t.Run(name, func(t *testing.T) {
			require.NoError(t, os.WriteFile(path, []byte(c.text), 0o644))
			_, latest, remarks := Latest(file, "onto-stands", today)
			assert.Equal(t, older, latest, "a sound one is not hidden")
			require.Len(t, remarks, 1)
			assert.Contains(t, remarks[0].Message, c.want)
			assert.Equal(t, path, remarks[0].Span.File)
			assert.NotContains(t, remarks[0].Error(), "\n")
		})
	}
	t.Run("other line ends", func(t *testing.T) {
		require.NoError(t, os.WriteFile(path, []byte(strings.ReplaceAll(string(good), "\n", "\r\n")), 0o644))
		r, latest, remarks := Latest(file, "onto-stands", today)
		require.Empty(t, remarks)
		assert.Equal(t, path, latest)
		assert.Equal(t, "R. T.", r.By)
	})
	t.Run("every single byte", func(t *testing.T) {
		for i := range good {
			bad := append([]byte(nil), good...)
			bad[i] ^= 1
			_, err := decode(bad)
			require.Error(t, err, "byte %d", i)
		}
	})
}

func TestManyWritersAtOnce(t *testing.T) {
	for name, link := range map[string]func(string, string) error{
		"with links":    os.Link,
		"without links": func(string, string) error { return errors.New("no links on this file system") },
	} {
		t.Run(name, func(t *testing.T) {
			const writers = 40
			dir := filepath.Join(t.TempDir(), "car.signoffs")
			paths := make(chan string, writers)
			var wait sync.WaitGroup
			for range writers {
				wait.Go(func() {
					path, err := write(dir, record(t), link)
					assert.NoError(t, err)
					paths <- path
				})
			}
			wait.Wait()
			close(paths)
			seen := map[string]bool{}
			for p := range paths {
				assert.False(t, seen[p], "%s was written twice", p)
				seen[p] = true
			}
			assert.Equal(t, writers, countSound(t, dir))
			assertNoTemp(t, dir)
		})
	}
}

// countSound reads every record of the folder and fails on one that is not whole.
func countSound(t *testing.T, dir string) int {
	t.Helper()
	all, err := entries(dir)
	require.NoError(t, err)
	for _, e := range all {
		_, err := e.read()
		assert.NoError(t, err, e.path)
	}
	return len(all)
}

func assertNoTemp(t *testing.T, dir string) {
	t.Helper()
	left, err := filepath.Glob(filepath.Join(dir, ".unfinished-*"))
	require.NoError(t, err)
	assert.Empty(t, left)
}

func assertEmpty(t *testing.T, dir string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, entries)
}

func TestAFileInThePlaceOfTheFolder(t *testing.T) {
	file, dir := folder(t)
	require.NoError(t, os.WriteFile(dir, nil, 0o644))
	_, err := Write(dir, record(t))
	assert.ErrorContains(t, err, "cannot be written into")
	_, _, remarks := Latest(file, "onto-stands", today)
	assert.ErrorContains(t, remarks.Err(), "cannot be listed: not a directory")
}

func FuzzDecode(f *testing.F) {
	text, err := record(f).withFormat().encode()
	require.NoError(f, err)
	f.Add(string(text))
	body, _, _ := strings.Cut(string(text), sealKey)
	f.Add(strings.TrimSuffix(body, "\n")) // the target seals it
	f.Add("by: X\n" + sealKey + "00\n")
	f.Fuzz(func(t *testing.T, text string) {
		for _, text := range []string{text, text + "\n" + sealKey + seal([]byte(text+"\n")) + "\n"} {
			r, err := decode([]byte(text))
			if err != nil {
				require.Nil(t, r)
				continue
			}
			require.NoError(t, r.complete())
			require.Equal(t, Format, r.Format)
			// What is read can be written again, or is refused; it never reads
			// back as something else.
			if again, err := r.encode(); err == nil {
				back, err := decode(again)
				require.NoError(t, err)
				require.True(t, back.equal(r))
			}
		}
	})
}

func (r Record) withFormat() Record { r.Format, r.Number = Format, 1; return r }
