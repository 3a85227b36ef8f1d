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

// stopped judges a text and lists the rules that stop its moves; none means GO.
func stopped(t *testing.T, file string) []string {
	t.Helper()
	b, err := model.Read("b.yaml", []byte(file))
	require.NoError(t, err)
	var list []string
	for _, m := range judge(t, rules(t), b).Moves {
		for _, f := range m.Findings {
			if f.Blocks() && !slices.Contains(list, f.Rule) {
				list = append(list, f.Rule)
			}
		}
	}
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
		assert.Empty(t, stopped(t, bolted))
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
			b, err := model.Read("b.yaml", []byte(whole[:n]))
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
