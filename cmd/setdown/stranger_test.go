package main

import (
	"crypto/sha256"
	"flag"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var long = flag.Bool("long", false, "run the commands of the stranger's change")

// addition is what a stranger adds to the program, after DEVELOPERS.md alone.
type addition struct {
	what  string // as the table of DEVELOPERS.md calls it
	edits []edit
	shows []string // arguments of the program that show it
	says  string   // what it then prints
}

// edit is a new file, or lines put after the first line of a file that matches.
type edit struct{ file, after, text string }

// additions are made one after the other, in one copy.
var additions = []addition{
	{
		what: "a fact to record",
		edits: []edit{{"model/schema/kinds.go", `^\t+yes\("outdoors"`, `
			yes("lit", "there is light enough to see a crack", ask("Light enough to see a crack?"), good(is(true)), setting),`}},
		shows: []string{"schema", "build"}, says: `"lit"`,
	},
	{
		what: "a rule",
		edits: []edit{{"rules/packs/floor/light.yaml", "", `id: light
when: step.on_stands
must: |
  site.found.lit
else: caution
say: "{move.id}: too dark to see a crack"
fix: "bring a lamp"
why: |
  What nobody sees nobody looks at.
basis: common practice
waivable: true
since: 0.1.0
work: {phase: support, do: "bring a lamp"}
examples:
  - {why: a lamp, given: {}, with: {step: {on_stands: true}, site: {found: {lit: true}}}, expect: pass}
  - {why: at night, given: {}, with: {step: {on_stands: true}, site: {found: {lit: false}}}, expect: caution}
  - {why: not written down, given: {}, with: {step: {on_stands: true}}, expect: not recorded, missing: [site.found.lit]}
  - {why: not on stands, given: {}, with: {step: {on_stands: false}, site: {found: {lit: false}}}, expect: does not apply}
`}},
		shows: []string{"rules", "show", "light"}, says: "too dark to see a crack",
	},
	{
		what: "a computed fact",
		edits: []edit{{"rules/facts/gear.go", `^\tyesNo\("used", "the step rests on it", func\(it item\) bool \{ return it.supports\("hoist"`, `
	yesNo("rests", "the step does not rest on it", func(it item) bool { return !used.of(it) }),`},
			{"rules/packs/hoists/rests.yaml", "", `id: rests
each: hoists as hoist
must: hoist.rests
else: note
say: "{hoist.id}: the vehicle is on it"
fix: "nothing"
why: |
  It is good to know.
basis: common practice
waivable: true
since: 0.1.0
examples:
  - {why: beside it, given: {rests: true}, expect: pass}
  - {why: on it, given: {rests: false}, expect: note}
  - {why: nobody knows, given: {}, expect: not recorded}
`}},
	},
	{
		what: "a strength method",
		edits: []edit{
			{"model/strength/wire_rope.go", "", `package strength

// WireRope is the least breaking force of a wire rope, N.
//
//	F = K · d² · R
//
// d is its diameter, R the grade of its wires, K a factor of its make. Source: EN
// 12385-4, least breaking force factor (arithmetic).
func WireRope(diameter, grade, factor float64) (Result, error) {
	if err := positive("wire rope", diameter, grade, factor); err != nil {
		return Result{}, err
	}
	return Result{Value: factor * diameter * diameter * grade, Method: "wire rope, F = K × d² × grade", Source: "EN 12385-4"}, nil
}
`},
			{"model/strength/published_test.go", `^var methods = map`, `
	"wire rope": func(p published) (float64, error) {
		r, err := WireRope(p.D/1e3, p.Mpa*1e6, p.K)
		return r.Value, err
	},`},
			{"model/strength/published_test.go", `^var covers = map`, "\n\t\"WireRope\": {\"wire rope\"},"},
			{"testdata/published/strength.yaml", `^# source itself`, `
- {method: wire rope, d: 10, mpa: 1770, k: 0.330, want: 58410, within: 0.001, source: "EN 12385-4, by its formula", seen: arithmetic}
- {method: wire rope, d: 8, mpa: 1960, k: 0.356, want: 44657, within: 0.001, source: "EN 12385-4, by its formula", seen: arithmetic}`},
		},
	},
	{
		what: "a format",
		edits: []edit{
			{"reports/oneword/oneword.go", "", `// Package oneword writes the verdict and nothing else.
package oneword

import (
	"fmt"
	"io"

	"setdown/rules/verdict"
)

// Write writes the verdict on each move, a line each.
func Write(w io.Writer, reports []*verdict.Report) error {
	for _, r := range reports {
		for i := range r.Moves {
			if _, err := fmt.Fprintln(w, "oneword:", r.Moves[i].Decision, r.Moves[i].ID); err != nil {
				return err
			}
		}
	}
	return nil
}
`},
			{"reports/reports.go", `"setdown/reports/markdown"`, "\n\t\"setdown/reports/oneword\""},
			{"reports/reports.go", `^\t\{name: "junit"`, `
	{name: "oneword", doc: "for a light over the door", check: as(oneword.Write)},`},
		},
		shows: []string{"check", "testdata/builds/checklist-mended.yaml", "--on", "2026-11-25", "--format", "oneword"}, says: "oneword: GO",
	},
}

// TestTheStrangersChange adds one of each thing to a copy of the program, touching the
// files that DEVELOPERS.md names for it and running the one command that stands there:
// that is all it takes, and nothing else changes. The commands build the program five
// times over and run with -long alone; without it the files and the places in them must
// still be there.
func TestTheStrangersChange(t *testing.T) {
	table := developersTable(t)
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, noGit{os.DirFS("../..")}))
	for _, a := range additions {
		row, ok := table[a.what]
		require.True(t, ok, "DEVELOPERS.md does not say how to add %s", a.what)
		before := sums(t, dir)
		for _, e := range a.edits {
			e.make(t, dir)
		}
		if *long {
			out, err := in(dir, strings.Fields(row.command)...)
			require.NoError(t, err, "%s: %s", a.what, out)
		}
		for file, sum := range sums(t, dir) {
			if before[file] != sum {
				require.True(t, slices.ContainsFunc(row.touch, func(p string) bool { ok, _ := path.Match(p, file); return ok }),
					"%s touches %s, and DEVELOPERS.md names %v", a.what, file, row.touch)
			}
		}
		require.Len(t, files(a.edits), len(row.touch), "DEVELOPERS.md names %v for %s", row.touch, a.what)
		if a.shows != nil && *long {
			out, err := in(dir, append([]string{"go", "run", "./cmd/setdown"}, a.shows...)...)
			require.NoError(t, err, "%s", out)
			require.Contains(t, out, a.says)
		}
	}
}

// noGit leaves out the history, which is large and no part of the program.
type noGit struct{ fs.FS }

func (n noGit) ReadDir(name string) ([]fs.DirEntry, error) {
	list, err := fs.ReadDir(n.FS, name)
	return slices.DeleteFunc(list, func(e fs.DirEntry) bool { return e.Name() == ".git" }), err
}

// make makes the edit in a copy of the program.
func (e edit) make(t *testing.T, dir string) {
	t.Helper()
	file := filepath.Join(dir, e.file)
	if e.after == "" {
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(t, os.WriteFile(file, []byte(e.text), 0o600))
		return
	}
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	at := regexp.MustCompile("(?m)" + e.after + ".*$").FindIndex(text)
	require.NotNil(t, at, "%s has no line %s", e.file, e.after)
	require.NoError(t, os.WriteFile(file, slices.Concat(text[:at[1]], []byte(e.text), text[at[1]:]), 0o600))
}

func files(edits []edit) map[string]bool {
	list := map[string]bool{}
	for _, e := range edits {
		list[e.file] = true
	}
	return list
}

// in runs a command in a folder.
func in(dir string, args ...string) (string, error) {
	c := exec.Command(args[0], args[1:]...)
	c.Dir = dir
	c.Env = append(os.Environ(), "GOFLAGS=-trimpath") // what was built of another copy is used again
	out, err := c.CombinedOutput()
	return string(out), err
}

// sums are the sums of all files below a folder.
func sums(t *testing.T, dir string) map[string][32]byte {
	t.Helper()
	all := map[string][32]byte{}
	require.NoError(t, filepath.WalkDir(dir, func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := os.ReadFile(file)
		name, _ := filepath.Rel(dir, file)
		all[filepath.ToSlash(name)] = sha256.Sum256(text)
		return err
	}))
	return all
}

// row is what DEVELOPERS.md says of one thing to add.
type row struct {
	touch   []string // patterns of files
	command string
}

var (
	tableRow = regexp.MustCompile(`(?m)^\| (a [^|]+?) \| ([^|]+?) \| ` + "`([^`]+)`" + ` \|$`)
	quoted   = regexp.MustCompile("`([^`]+)`")
	chosen   = regexp.MustCompile(`<[a-z ]+>`)
)

// developersTable reads the table under 'Adding things'.
func developersTable(t *testing.T) map[string]row {
	t.Helper()
	text, err := os.ReadFile("../../DEVELOPERS.md")
	require.NoError(t, err)
	table := map[string]row{}
	for _, m := range tableRow.FindAllStringSubmatch(string(text), -1) {
		r := row{command: m[3]}
		for _, q := range quoted.FindAllStringSubmatch(m[2], -1) {
			r.touch = append(r.touch, chosen.ReplaceAllString(q[1], "*"))
		}
		table[m[1]] = r
	}
	return table
}
