package check_test

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/rules/verdict"
)

// text reads a demo as it stands in its file.
func text(t *testing.T, name string) string {
	t.Helper()
	file, err := os.ReadFile(filepath.Join(builds, name+".yaml"))
	require.NoError(t, err)
	return string(file)
}

// heads are where the headings of a build file begin.
var heads = regexp.MustCompile(`(?m)^[a-z_]+:`)

// section finds a heading and all that stands under it.
func section(t *testing.T, file, name string) string {
	t.Helper()
	all := heads.FindAllStringIndex(file, -1)
	for i, at := range all {
		if file[at[0]:at[1]] != name+":" {
			continue
		}
		if i+1 < len(all) {
			return file[at[0]:all[i+1][0]]
		}
		return file[at[0]:]
	}
	t.Fatalf("%s is no heading of the file", name)
	return ""
}

// stoppers are the rules that stop the moves of a text: many tests begin with the same one.
var stoppers = map[string][]string{}

// stopped judges a text and lists the rules that stop its moves; none means GO.
func stopped(t *testing.T, file string) []string {
	t.Helper()
	if list, known := stoppers[file]; known {
		return list
	}
	b, err := model.Read("b.yaml", []byte(file), model.Companions{})
	require.NoError(t, err)
	var list []string
	for _, m := range judge(t, rules(t), b).Moves {
		for _, f := range m.Findings {
			if f.Blocks() && !slices.Contains(list, f.Rule) {
				list = append(list, f.Rule)
			}
		}
	}
	stoppers[file] = list
	return list
}

// TestWhatTheListLeavesOut takes whole items out of a file that is GO, as a merge, a slip
// or a hurry does: what nobody wrote down is never asked for by itself.
func TestWhatTheListLeavesOut(t *testing.T) {
	file := text(t, "checklist-mended")
	require.Empty(t, stopped(t, file))
	for name, c := range map[string]struct{ old, new, rule string }{
		"all spacers":            {section(t, file, "spacers"), "", "pieces-counted"},
		"all welds":              {section(t, file, "welds"), "", "pieces-counted"},
		"all stud nuts":          {section(t, file, "stud_nuts"), "", "pieces-counted"},
		"one of four bolts":      {"needed: 4, thread: M10x1.5", "needed: 3, thread: M10x1.5", "pieces-counted"},
		"the count itself":       {section(t, file, "listed"), "", "pieces-counted"},
		"a kind of the count":    {"welds: 2, ", "", "pieces-counted"},
		"who counted":            {", by: TN}\n  rear:", "}\n  rear:", "pieces-counted"},
		"counted on a day ahead": {"day: 2026-11-24", "day: 2031-01-02", "pieces-counted"},
	} {
		t.Run(name, func(t *testing.T) {
			require.Contains(t, file, c.old)
			changed := strings.ReplaceAll(strings.ReplaceAll(file, c.old, c.new), "count: 4", "count: 3")
			assert.Contains(t, stopped(t, changed), c.rule)
		})
	}
	t.Run("nothing listed, and counted so", func(t *testing.T) {
		bare := file
		for _, name := range []string{"fasteners", "stud_nuts", "spacers", "welds"} {
			bare = strings.Replace(bare, section(t, bare, name), "", 1)
		}
		bare = regexp.MustCompile(`(bolts|stud nuts|spacers|welds): \d`).ReplaceAllString(bare, "$1: 0")
		assert.ElementsMatch(t, []string{"something-listed", "frame-nodes-listed"}, stopped(t, bare))
	})
	t.Run("no node of the frame, and counted so", func(t *testing.T) {
		bare := strings.Replace(file, "role: frame node", "role: mount", 1)
		assert.Equal(t, []string{"frame-nodes-listed"}, stopped(t, bare))
		bolted := strings.Replace(bare, "checklist: yes,", "checklist: yes, frame: bolted,", 1)
		assert.Equal(t, []string{"frame-nodes-listed"}, stopped(t, bolted))
		const bolt = "  frame-bolts: {place: body, role: frame, thread: M10x1.5, class: \"8.8\", torque: 45 N·m, surface: plain, lock: nylon-insert nut, turns: no, tapped_into: nothing, stand_in: no, hole: 10.2 mm, hollow_section: no, found: {fitted: yes, tightness: torqued, torqued: 45 N·m, marked: yes, threads_past: 2, class_mark: \"8.8\", lock_fitted: yes, lock_reused: no, on: 2026-11-24, by: TN}}\n"
		listed := strings.NewReplacer("\nfasteners:\n", "\nfasteners:\n"+bolt, "body: {bolts: 0", "body: {bolts: 1").Replace(bolted)
		assert.Empty(t, stopped(t, listed))
		assert.Equal(t, []string{"frame-nodes-listed"}, stopped(t, strings.Replace(file, "checklist: yes,", "checklist: yes, frame: bolted,", 1)), "one weld of a bolted one")
		assert.Contains(t, stopped(t, strings.Replace(listed, bolt, strings.ReplaceAll(bolt, "8.8", "5.8"), 1)), "fastener-class")
		assert.Contains(t, stopped(t, strings.Replace(listed, bolt, strings.Replace(bolt, "tightness: torqued, torqued: 45 N·m, marked: yes", "tightness: loose", 1), 1)), "fastener-tight")
		assert.Empty(t, stopped(t, strings.Replace(bare, "checklist: yes,", "checklist: yes, frame: one piece,", 1)))
	})
}

// TestACutFileIsNoGo cuts a checklist with its moves first after every byte: an upload that
// broke off, a merge that lost the end. What is left is an error or NO-GO.
func TestACutFileIsNoGo(t *testing.T) {
	file := text(t, "checklist-mended")
	moves := section(t, file, "moves")
	head := section(t, file, "format")
	supports := section(t, file, "supports")
	for name, order := range map[string]string{
		"count first": head + moves + section(t, file, "listed"),
		"count last":  head + moves,
	} {
		whole := order
		for _, one := range []string{"vehicle", "site", "places", "parts"} {
			whole += section(t, file, one)
		}
		whole += supports
		for _, one := range []string{"fasteners", "stud_nuts", "spacers", "welds"} {
			whole += section(t, file, one)
		}
		if name == "count last" {
			whole += section(t, file, "listed")
		}
		require.Empty(t, stopped(t, whole), name)
		e := rules(t)
		read := 0
		last := strings.TrimRight(whole, "\n }")
		for n := range len(last) {
			b, err := model.Read("b.yaml", []byte(whole[:n]), model.Companions{})
			if err != nil {
				continue
			}
			read++
			r, err := run(e, b)
			if err == nil && r.Decision == verdict.Go {
				t.Errorf("%s: cut after byte %d, %q, it is GO", name, n, whole[max(0, n-40):n])
			}
		}
		assert.Greater(t, read, 20, "%s: cuts that can be read", name)
	}
}

// TestCountedBefore holds what the log says happened after somebody counted against the count.
func TestCountedBefore(t *testing.T) {
	const short, counted = "../../testdata/short/checklist-mended", "day: 2026-11-24\n"
	build, err := os.ReadFile(short + ".yaml")
	require.NoError(t, err)
	log, err := os.ReadFile(short + ".looks.yaml")
	require.NoError(t, err)
	earlier := func(file string) string {
		require.Contains(t, file, counted)
		return strings.Replace(file, counted, "day: 2026-11-20\n", 1)
	}
	const (
		added   = "- {day: 2026-11-22, by: TN, added: left-taper-nut}\n"
		another = "- {day: 2026-11-23, by: TN, of: [left-taper-nut], good: yes, card: 1, fp: {left-taper-nut: 00000000}}\n"
	)
	for name, c := range map[string]struct {
		file, line string
		says       string
	}{
		"counted last":                         {string(build), "", ""},
		"counted before it was looked at":      {earlier(string(build)), "", ""},
		"one added since, and not in the file": {earlier(string(build)), added, "front: 2 stud nuts counted and 1 added since, 2 in the file"},
		"one added since":                      {strings.Replace(earlier(string(build)), "stud nuts: 2", "stud nuts: 1", 1), added, ""},
		"one added before":                     {string(build), added, ""},
		"another thing after the count":        {earlier(string(build)), another, "front: counted on 2026-11-20, and drawn otherwise since: left-taper-nut"},
		"another thing, and counted since":     {string(build), another, ""},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "b.yaml")
			require.NoError(t, os.WriteFile(path, []byte(c.file), 0o600))
			require.NoError(t, os.WriteFile(strings.Replace(path, ".yaml", ".looks.yaml", 1), []byte(string(log)+c.line), 0o600))
			b, err := model.Load(path)
			require.NoError(t, err)
			says := ""
			for _, f := range judge(t, rules(t), b).Moves[0].Findings {
				if f.Rule == "pieces-counted" && f.Blocks() {
					says = f.Say
				}
			}
			if c.says == "" {
				assert.Empty(t, says)
			} else {
				assert.Contains(t, says, c.says)
			}
		})
	}
}
