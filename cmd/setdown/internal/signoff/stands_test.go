package signoff

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/quantity"
)

func day(t testing.TB, text string) quantity.Date {
	t.Helper()
	d, err := quantity.ParseDate(text)
	require.NoError(t, err)
	return d
}

var state = []string{
	"moves.onto-stands = move",
	"moves.onto-stands.kind = lower",
	"places = [front-left, body]",
	"vehicle.found.fuel = drained",
	"waivers.1 = waiver",
	"waivers.1.reason = the strap = enough: it holds",
	"welds.fl-mount = weld",
	"welds.fl-mount.found.made = full",
	"welds.fl.mount = weld",
	"welds.fl.mount.found.made = tack",
	"welds.fl.mount.found.tacks = 6",
}

func record(t testing.TB) Record {
	return Record{
		Move: "onto-stands", By: "R. T.", On: day(t, "2026-11-20"), File: "car.yaml",
		StateHash: "sha256:aa", RulesHash: "sha256:bb", Version: "0.1.0",
		Waivers: []string{"weld-full for fl.mount by R. T. until 2026-12-01: the strap: it \"holds\""},
		State:   slices.Clone(state),
	}
}

func TestStands(t *testing.T) {
	r := record(t)
	for name, c := range map[string]struct {
		today        string
		age          int
		state, rules string
		version      string
		lines        []string
		want         []string
	}{
		"the same day":  {today: "2026-11-20"},
		"the last day":  {today: "2026-11-27"},
		"a day too old": {today: "2026-11-28", want: []string{"it is 8 days old; a sign-off counts for 7"}},
		"dated ahead":   {today: "2026-11-19", want: []string{"it is dated 2026-11-20, which is later than 2026-11-19"}},
		"other rules":   {rules: "sha256:cc", want: []string{"the rules or limits have changed since"}},
		"other program": {version: "0.2.0", want: []string{"it was signed with setdown 0.1.0; this is setdown 0.2.0"}},
		"other hash, same lines": {state: "sha256:cc",
			want: []string{"the file is not as it was when it was signed"}},
		"one fact is worse": {lines: swap("welds.fl-mount.found.made = full", "welds.fl-mount.found.made = tack"),
			want: []string{"fl-mount: found.made was full, is tack"}},
		"an id with a dot": {lines: swap("welds.fl.mount.found.tacks = 6", "welds.fl.mount.found.tacks = 5"),
			want: []string{"fl.mount: found.tacks was 6, is 5"}},
		"a value with an equals sign": {lines: swap("waivers.1.reason = the strap = enough: it holds", "waivers.1.reason = the strap = torn"),
			want: []string{"waivers.1: reason was the strap = enough: it holds, is the strap = torn"}},
		"a fact is gone": {lines: swap("welds.fl.mount.found.made = tack"),
			want: []string{"fl.mount: found.made was tack, is not recorded"}},
		"a fact is new": {lines: swap("vehicle.found.fuel = drained", "vehicle.found.battery = out", "vehicle.found.fuel = drained"),
			want: []string{"vehicle: found.battery was not recorded, is out"}},
		"the places": {lines: swap("places = [front-left, body]", "places = [body]"),
			want: []string{"places: was [front-left, body], is [body]"}},
		"an item is gone": {lines: slices.DeleteFunc(slices.Clone(state), func(l string) bool { return strings.HasPrefix(l, "welds.fl.mount") }),
			want: []string{"fl.mount: this weld is gone"}},
		"an item is new": {lines: append(slices.Clone(state), "welds.rr = weld", "welds.rr.found.made = none"),
			want: []string{"rr: this weld is new"}},
		"a line stands twice": {lines: append(slices.Clone(state), state[0]),
			want: []string{"the build state is not listed as it was when it was signed"}},
	} {
		t.Run(name, func(t *testing.T) {
			if c.today == "" {
				c.today = "2026-11-21"
			}
			if c.lines == nil {
				c.lines = state
			}
			stands, why := r.Stands(day(t, c.today), 7, or(c.state, "sha256:aa"), or(c.rules, "sha256:bb"), or(c.version, "0.1.0"), c.lines)
			assert.Equal(t, c.want, why)
			assert.Equal(t, len(c.want) == 0, stands)
		})
	}
}

func or(a, b string) string {
	if a == "" {
		return b
	}
	return a
}

// swap puts other lines in the place of one.
func swap(line string, with ...string) []string {
	i := slices.Index(state, line)
	return slices.Replace(slices.Clone(state), i, i+1, with...)
}

// The hash is left as it was on purpose: the lines alone must show the change.
func TestEveryChangedLineEndsASignOff(t *testing.T) {
	r := record(t)
	today := day(t, "2026-11-20")
	for i, line := range state {
		for what, changed := range map[string][]string{
			"changed": slices.Replace(slices.Clone(state), i, i+1, line+"x"),
			"gone":    slices.Delete(slices.Clone(state), i, i+1),
			"twice":   slices.Insert(slices.Clone(state), i, line),
		} {
			stands, why := r.Stands(today, 7, r.StateHash, r.RulesHash, r.Version, changed)
			assert.False(t, stands, "%s: %s", line, what)
			assert.NotEmpty(t, why)
		}
	}
}

func TestManyChangesAreCounted(t *testing.T) {
	r := record(t)
	var lines []string
	for _, c := range "abcdefghijklmnop" {
		lines = append(lines, "welds.x.found."+string(c)+" = yes")
	}
	r.State = nil
	_, why := r.Stands(r.On, 7, "other", r.RulesHash, "9", lines)
	require.Len(t, why, maxChanges+2)
	assert.Equal(t, "and 4 more facts changed", why[maxChanges])
	assert.Contains(t, why[maxChanges+1], "setdown 9")
}
