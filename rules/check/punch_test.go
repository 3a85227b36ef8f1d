package check_test

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/rules/engine"
	"setdown/rules/verdict"
)

// cannotFree lists the moves that no work on a part frees, with the reason.
var cannotFree = map[string]string{
	"liveaxle-asfound/hoist-old-marks": "the pads stand in the wrong place: they have to move, and the file has no other marks for this move",
	"buggy-asfound/engine-out-near":    "the front stands are behind the weight once the engine is out: they have to move",
}

// seen is what a person who looks finds in order, by the last word of the path:
// a line that says 'write down' sets what was seen, which the list cannot know.
var seen = map[string]string{"locked": "yes", "own_pin": "yes"}

// done reads a demo again with lines of its punch list done: what each line says
// the file holds then is laid over it, read as what a person would type.
func done(t *testing.T, name string, jobs []verdict.Job) *model.Build {
	t.Helper()
	var typed []model.Assumption
	for _, j := range jobs {
		for _, s := range j.Sets {
			a := model.Assumption{Path: s.Name, Value: s.Value}
			if a.Value == "" {
				a.Value = seen[s.Name[strings.LastIndexByte(s.Name, '.')+1:]]
				require.NotEmpty(t, a.Value, "what is seen at %s?", s.Name)
			}
			typed = append(typed, a)
		}
	}
	b, err := model.Load(filepath.Join(builds, name+".yaml"), typed...)
	require.NoError(t, err)
	return b
}

// rounds is how often a list is made again at most: what is fitted may then have
// to be torqued.
const rounds = 3

// work does the list of a move until it is GO, and returns every line that it
// took.
func work(t *testing.T, e *engine.Engine, name string, moves ...string) []verdict.Job {
	t.Helper()
	var jobs []verdict.Job
	for range rounds {
		r := judge(t, e, done(t, name, jobs), moves...)
		if r.Decision == verdict.Go {
			return jobs
		}
		jobs = append(jobs, r.Punch.Jobs...)
	}
	r := judge(t, e, done(t, name, jobs), moves...)
	require.Equal(t, verdict.Go, r.Decision, "still held: %v", lines(r.Punch.Jobs))
	return jobs
}

func lines(jobs []verdict.Job) []string {
	var list []string
	for _, j := range jobs {
		list = append(list, j.Phase+" "+j.Item+": "+j.Do)
	}
	return list
}

// TestPunchFrees does the punch list of every held move of the demos line by
// line. It must end in GO, and no line may be one that could have been left out;
// with -long every line is left out in turn, else every fifth.
func TestPunchFrees(t *testing.T) {
	e := rules(t)
	freed := 0
	for _, name := range []string{"special-asfound", "liveaxle-asfound", "buggy-asfound", "checklist-asfound"} {
		before := judge(t, e, load(t, name))
		for i := range before.Moves {
			m := &before.Moves[i]
			if m.Decision == verdict.Go {
				assert.Empty(t, m.Punch.Jobs, "%s is GO", m.ID)
				continue
			}
			if why := cannotFree[name+"/"+m.ID]; why != "" {
				r := judge(t, e, done(t, name, m.Punch.Jobs), m.ID)
				assert.Equal(t, verdict.NoGo, r.Decision, "%s is freed after all, and is said not to be: %s", m.ID, why)
				continue
			}
			t.Run(name+"/"+m.ID, func(t *testing.T) {
				jobs := work(t, e, name, m.ID)
				require.NotEmpty(t, jobs)
				stride := 1
				if !*long {
					stride = 5
				}
				for k := 0; k < len(jobs); k += stride {
					rest := slices.Delete(slices.Clone(jobs), k, k+1)
					r := judge(t, e, done(t, name, rest), m.ID)
					assert.Equal(t, verdict.NoGo, r.Decision, "not needed: %s", lines(jobs[k:k+1]))
				}
			})
			freed++
		}
	}
	require.Equal(t, 13, freed)
}

// TestPunchOfAllMoves does one list for all moves of a demo that work can free.
func TestPunchOfAllMoves(t *testing.T) {
	e := rules(t)
	for _, name := range []string{"special-asfound", "liveaxle-asfound", "buggy-asfound"} {
		var moves []string
		for _, m := range load(t, name).Of("moves") {
			if cannotFree[name+"/"+m.ID] == "" {
				moves = append(moves, m.ID)
			}
		}
		jobs := work(t, e, name, moves...)
		seen := map[string]bool{}
		for _, l := range lines(jobs) {
			assert.False(t, seen[l], "twice: %s", l)
			seen[l] = true
		}
	}
}

// TestPunchOfABareFile takes what the file says of sizes, torques and locks away.
// No line of work may then ask for a torque of 'not recorded', and none names its
// item a second time.
func TestPunchOfABareFile(t *testing.T) {
	e := rules(t)
	sizes := map[string][]string{
		"fasteners": {"thread", "class", "torque", "lock"}, "stud_nuts": {"thread", "torque", "lock"},
		"spacers": {"stack", "bore"}, "wheels": {"torque", "stud", "seat"}, "welds": {"fillet", "waits_for"},
	}
	for _, name := range []string{"special-asfound", "liveaxle-asfound", "buggy-asfound", "checklist-asfound"} {
		b := load(t, name).Clone()
		for kind, fields := range sizes {
			for _, item := range b.Of(kind) {
				for _, f := range fields {
					item.Record.Delete(f)
				}
			}
		}
		p := judge(t, e, b).Punch
		require.NotEmpty(t, p.Jobs)
		for _, part := range p.Buy {
			assert.NotRegexp(t, "not recorded|not computed", part.Part)
		}
		for _, j := range p.Jobs {
			assert.NotRegexp(t, "not recorded|not computed", j.Do, j.Item)
			assert.NotContains(t, strings.Fields(j.Do), j.Item)
		}
	}
}

// TestPunchSaysWorkOnce checks that what two rules ask of one item is one line.
func TestPunchSaysWorkOnce(t *testing.T) {
	p := judge(t, rules(t), load(t, "buggy-asfound"), "onto-wheels").Punch
	i := slices.IndexFunc(p.Jobs, func(j verdict.Job) bool { return j.Item == "fl-strut" && j.Phase == "lock" })
	require.GreaterOrEqual(t, i, 0)
	assert.Equal(t, []string{"jam-nut-hand", "jam-nut-tight"}, p.Jobs[i].Rules)
	phase, place, seen := "", "", map[string]bool{}
	for _, j := range judge(t, rules(t), load(t, "special-asfound")).Punch.Jobs {
		if j.Phase != phase {
			phase, place, seen = j.Phase, "", map[string]bool{}
		}
		if j.Place != place {
			assert.False(t, seen[j.Place], "%s comes twice in %s", j.Place, phase)
			place, seen[j.Place] = j.Place, true
		}
	}
}
