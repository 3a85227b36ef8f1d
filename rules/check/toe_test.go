package check_test

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/rules/verdict"
)

// TestToeBracketCleared does what the report says of the tacked toe brackets of the as-found demo:
// it moves them, sets the links, welds them and looks. Nothing is said of them any more.
func TestToeBracketCleared(t *testing.T) {
	const as = "/special-asfound.yaml"
	e := rules(t)
	text, err := os.ReadFile(builds + as)
	require.NoError(t, err)
	about := func(text string) (*verdict.Report, []string) {
		b, err := model.Read("special.yaml", []byte(text), model.Companions{})
		require.NoError(t, err)
		r := judge(t, e, b, "onto-hub-stands")
		var list []string
		for _, f := range r.Moves[0].Findings {
			if strings.HasSuffix(f.Item, "-toe-mount") || strings.HasSuffix(f.Item, "-toe") {
				list = append(list, f.Rule+": "+f.Say)
			}
		}
		return r, list
	}
	r, list := about(string(text))
	require.Contains(t, list, "weld-tacked: rl-toe-mount: only tacked, waits for toe check, and it carries")
	var place *verdict.ToeLink
	for _, tack := range r.Tacks {
		if tack.ID == "rl-toe-mount" {
			place = tack.Toe
		} else if tack.ID == "rl-strut-upper-mount" {
			require.Nil(t, tack.Toe)
		}
	}
	require.Equal(t, "as it stands 0.09° of toe change at 40 mm; finish it if that will do, or move it 7.5 mm outward and 2.1 mm down for none, with rl-toe set to 355.5 mm", place.Waits(""))
	var do string
	for _, job := range r.Punch.Jobs {
		if job.Item == "rl-toe-mount" {
			do = job.Do
		}
	}
	require.Contains(t, do, "weld it fully here (0.09° of toe) or 7.5 mm outward and 2.1 mm down, let it cool")

	moved := strings.NewReplacer(
		"inner: {on: frame, at: [-165, 225, 190]", "inner: {on: frame, at: [-165, 232.5, 187.9]",
		"centre: [-165, 197, 190]", "centre: [-165, 204.5, 187.9]",
		"length: 363.1 mm", "length: 355.5 mm", "length: 363.0 mm", "length: 355.5 mm",
	).Replace(string(text))
	r, list = about(moved)
	for _, tack := range r.Tacks {
		if tack.ID == "rl-toe-mount" {
			require.Equal(t, "as it stands less than 0.01° of toe change, which is good enough: finish it", tack.Toe.Waits(""))
		}
	}
	require.Contains(t, list, "weld-tacked: rl-toe-mount: only tacked, waits for toe check, and it carries")

	tacked := regexp.MustCompile(`(-toe-mount:[^#]*?found: )\{made: tack[^}]*\}`)
	welded := tacked.ReplaceAllString(moved, "${1}{made: full, made_length: 160 mm, sides: 2, inspected: yes, cold: yes, crack: no, undercut: 0.3 mm, leg: 4 mm, toes: wetted in, surface: bright, dressed: no, on: 2026-11-24, by: MK, seen_by: RT}")
	require.NotEqual(t, moved, welded)
	r, list = about(welded)
	require.Empty(t, list)
	for _, tack := range r.Tacks {
		require.NotContains(t, tack.ID, "toe-mount")
	}
}
