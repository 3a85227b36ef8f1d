package looklog_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/cmd/setdown/internal/looklog"
	"setdown/model"
	"setdown/model/looks"
)

func moment(t *testing.T) looks.Moment {
	t.Helper()
	m, err := looks.ParseMoment("2026-11-25 10:00:00")
	require.NoError(t, err)
	return m
}

func TestAppend(t *testing.T) {
	file := filepath.Join(t.TempDir(), "car.looks.yaml")
	require.NoError(t, looklog.Append(file, "- {a}"))
	require.NoError(t, looklog.Append(file, "- {b}", "- {c}"))
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, "looks:\n- {a}\n- {b}\n- {c}\n", string(text))
	for _, line := range []string{"", "- {a}\n- {b}", "- {a}\r"} {
		assert.Error(t, looklog.Append(file, line))
	}
	assert.ErrorContains(t, looklog.Append(filepath.Join(t.TempDir(), "no", "car.looks.yaml"), "- {a}"), "cannot be written")
}

// Many writers at once: every line is there once and whole.
func TestWritersWaitForEachOther(t *testing.T) {
	const writers, lines = 8, 25
	file := filepath.Join(t.TempDir(), "car.looks.yaml")
	var wait sync.WaitGroup
	for w := range writers {
		wait.Go(func() {
			for i := range lines {
				assert.NoError(t, looklog.Append(file, fmt.Sprintf("- {writer: %d, line: %d, filler: %s}", w, i, strings.Repeat("x", 2000))))
			}
		})
	}
	wait.Wait()
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	all := strings.Split(strings.TrimSuffix(string(text), "\n"), "\n")
	require.Len(t, all, 1+writers*lines)
	seen := map[string]bool{}
	for _, line := range all[1:] {
		assert.True(t, strings.HasPrefix(line, "- {writer: ") && strings.HasSuffix(line, "x}") && !seen[line])
		seen[line] = true
	}
}

// A log cut at any byte is not written to until somebody mends it, and then the
// torn text stops everything until somebody says what it said.
func TestTornAndMended(t *testing.T) {
	const build = "format: setdown/2\nwelds: {mount: {}}\n"
	const log = "looks:\n- {day: 2026-11-20, by: TN, of: [mount], found: {made: full}}\n- {day: 2026-11-21, by: \"Jürgen\", of: [mount], found: {crack: yes}}\n"
	for cut := 1; cut < len(log); cut++ {
		file := filepath.Join(t.TempDir(), "car.looks.yaml")
		require.NoError(t, os.WriteFile(file, []byte(log[:cut]), 0o644))
		err := looklog.Append(file, "- {day: 2026-11-22, by: TN, of: [mount], good: yes}")
		mended, errMend := looklog.Mend(file, moment(t), "TN")
		require.NoError(t, errMend)
		if log[cut-1] == '\n' {
			assert.NoError(t, err)
			assert.False(t, mended)
			continue
		}
		var torn *looklog.TornError
		require.True(t, errors.As(err, &torn), "cut at %d: %v", cut, err)
		assert.True(t, mended)
		assert.Equal(t, 1+strings.Count(log[:cut], "\n"), torn.Line)
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		b, err := model.Read("car.yaml", []byte(build), model.Companions{Looks: text})
		require.NoError(t, err, "%s", text)
		require.Len(t, b.Troubles, 1, "%s", text)
		note := b.Log.Notes[0]
		assert.Equal(t, looks.Torn, note.Word)
		require.NoError(t, looklog.Append(file, fmt.Sprintf("- {answered: {torn: %q, why: the look is written anew}, by: TN, day: 2026-11-25}", note.Item)))
		text, err = os.ReadFile(file)
		require.NoError(t, err)
		b, err = model.Read("car.yaml", []byte(build), model.Companions{Looks: text})
		require.NoError(t, err)
		assert.Empty(t, b.Troubles, "%s", text)
	}
}
