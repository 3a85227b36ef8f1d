package check_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/check"
	"setdown/rules/verdict"
)

// A state that is judged after an answer, of which the facts and passes of the state before are kept where
// nothing changed that they hang on, comes out to the last figure as if it were judged alone: whatever
// is said of whatever, good or bad, one thing after another, whatever is replaced, and who takes back what
// they said. So is what the reader keeps of the log.
func TestKeptIsJudgedAnew(t *testing.T) {
	e := rules(t)
	r := rand.New(rand.NewPCG(*firstSeed, 31))
	demos := append(slices.Clone(mended), "special-asfound", "liveaxle-asfound", "buggy-asfound", "checklist-asfound")
	for _, name := range demos {
		folder := t.TempDir()
		put := func(name string) []byte {
			text, err := os.ReadFile(filepath.Join("../../testdata/short", name))
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(filepath.Join(folder, name), text, 0o600))
			return text
		}
		put("points.csv")
		put(name + ".yaml")
		log := put(name + ".looks.yaml")
		file := filepath.Join(folder, name+".yaml")
		b, err := model.Load(file)
		require.NoError(t, err)
		var reader model.Reader
		moves := b.Of("moves")
		o := check.Options{Today: today, Timed: true, Moves: []string{moves[r.IntN(len(moves))].ID}}
		said := ""
		for n := range 1 + *states/len(demos) {
			o.Clock = 13*3600 + n
			before := o.Before
			o.Before = nil
			alone, err := check.Run(t.Context(), b, e, o)
			require.NoError(t, err)
			o.Before = before
			again, err := reader.Load(file)
			require.NoError(t, err)
			judged, err := check.Judge(t.Context(), again, e, o)
			require.NoError(t, err)
			require.Equal(t, alone, judged.Report, "%s, %s: %s", name, o.Moves, said)
			o.Before = judged
			at := looks.Moment{Day: today, Clock: o.Clock, Timed: true}
			for next := (*model.Build)(nil); next == nil; {
				line := anything(r, b, at)
				require.NoError(t, os.WriteFile(model.LogName(file), append(slices.Clip(log), line...), 0o600))
				next, err = model.Load(file)
				if err == nil { // else it is no look
					b, log, said = next, append(log, line...), said+line
				}
			}
		}
	}
}

// units are those of what somebody may measure.
var units = map[quantity.Dimension]string{quantity.Length: "mm", quantity.Mass: "kg", quantity.Load: "kg", quantity.Force: "N", quantity.Torque: "N·m", quantity.Angle: "deg", quantity.Duration: "days"}

// anything is a look at anything, at which something is found, or all is good, or something was done to it, or a look taken back, as
// a line of the log.
func anything(r *rand.Rand, b *model.Build, at looks.Moment) string {
	ids := slices.Sorted(maps.Keys(b.Things))
	thing := b.Things[ids[r.IntN(len(ids))]]
	of := thing.ID
	if thing.Members > 1 && r.IntN(2) == 0 {
		of = looks.Member(thing.ID, 1+r.IntN(thing.Members))
	}
	if r.IntN(8) == 0 {
		return fmt.Sprintf("- {day: %q, by: TN, of: [%q], found: {%s: yes}}\n", at, of, [2]string{"disturbed", "replaced"}[r.IntN(2)])
	}
	if r.IntN(8) == 0 {
		return fmt.Sprintf("- {day: %q, by: TN, of: [%q], good: yes, card: 1}\n", at, of)
	}
	if r.IntN(8) == 0 && len(b.Log.Looks) > 0 {
		look := b.Log.Looks[r.IntN(len(b.Log.Looks))]
		return fmt.Sprintf("- {withdraw: {day: %q, by: %q, of: %q}, day: %q, by: %q, why: a slip}\n", look.Moment, look.By, look.Of[0].ID, at, look.By)
	}
	fields := thing.Kind.Found().Fields
	f := &fields[r.IntN(len(fields))]
	word := ""
	switch f.Type {
	case schema.Bool:
		word = [2]string{"yes", "no"}[r.IntN(2)]
	case schema.Enum:
		word = f.Enum[r.IntN(len(f.Enum))]
	case schema.Count:
		word = fmt.Sprint(r.IntN(4))
	case schema.Text:
		word = [3]string{"RT", "A4-70", "other"}[r.IntN(3)]
	case schema.Thread:
		word = [2]string{"M12x1.5", "M10x1.5"}[r.IntN(2)]
	case schema.Date:
		word = [2]string{"2026-11-20", "2025-01-03"}[r.IntN(2)]
	case schema.Quantity:
		stands, known := b.Standing[thing.ID].Group[f.Name]
		if word = fmt.Sprint(1+r.IntN(400), " ", units[f.Dim]); known {
			word = model.Written(stands.V)
		}
		digit := strings.IndexAny(word, "123456789")
		if digit >= 0 && r.IntN(2) == 0 {
			word = word[:digit] + fmt.Sprint(1+r.IntN(9)) + word[digit+1:]
		}
	}
	return fmt.Sprintf("- {day: %q, by: TN, of: [%q], found: {%s: %s}}\n", at, of, f.Name, word)
}

// After a line that is no look, after one that was corrected where it stands, after an event, a card that is good and a
// look taken back, all comes out as if it were judged alone, and so does what lies ahead.
func TestKeptAfterAnyLine(t *testing.T) {
	const (
		came     = "- {arrived: nuts, count: 2, checked: yes, day: 2026-11-25 10:00, by: RT}\n"
		wrong    = "- {arrived: nuts, count: 2, checked: no, day: 2026-11-25 10:00, by: RT}\n"
		broken   = "- {day: 2026-11-25 11:00, by: RT, of: [fr-lower-front-bolt], found: {mark_broken: yes}}\n"
		again    = "- {day: 2026-11-25 11:10, by: RT, of: [fr-lower-front-bolt], good: yes, card: 1}\n"
		bent     = "- {day: 2026-11-25 11:20, by: RT, of: [fl-strut], found: {bent: yes}}\n"
		slip     = "- {withdraw: {day: 2026-11-25 11:20, by: RT, of: fl-strut}, day: 2026-11-25 11:30, by: RT, why: a slip}\n"
		replaced = "- {day: 2026-11-25 11:40, by: RT, of: [fr-lower-nut], found: {replaced: yes}}\n"
	)
	e := rules(t)
	for _, move := range []string{"onto-hub-stands", "onto-wheels"} {
		o := check.Options{Today: today, Moves: []string{move}}
		decided := map[verdict.Decision]int{}
		for _, log := range []string{
			"", came, wrong, came, came + broken, came + broken + again, came + broken + again + bent, wrong + broken + again + bent,
			wrong + broken + again + bent + slip, came + broken + again + bent + slip, came + broken + again + bent + slip + replaced, "",
		} {
			b := withMore(t, "special-mended", ordered, log)
			before := o.Before
			o.Before = nil
			alone, err := check.Judge(t.Context(), b, e, o)
			require.NoError(t, err)
			require.NoError(t, alone.Ahead(t.Context()))
			o.Before = before
			kept, err := check.Judge(t.Context(), b, e, o)
			require.NoError(t, err)
			require.NoError(t, kept.Ahead(t.Context()))
			require.Equal(t, alone.Report, kept.Report, "%s: %s", move, log)
			decided[kept.Report.Decision]++
			o.Before = kept
		}
		require.Len(t, decided, 2, "%s: %v", move, decided)
	}
}
