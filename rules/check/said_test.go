package check_test

import (
	"fmt"
	"iter"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/engine"
	"setdown/rules/verdict"
)

// tolerated are the answers that the table does not call good and of which a move may say nothing,
// each group with the reason that a reviewer gave.
var tolerated = []struct {
	why  string
	keys []string
}{
	{"grave only together with another: fuel with hot work, brakes with a roll", []string{"vehicle.brake_works", "vehicle.fuel", "vehicle.hot_work"}},
	{"floors that a rule lets pass, where it reads them and knows what stands there", []string{"supports (*).floor"}},
	{"a bolt with a nut has no tapped hole; half a turn leaves the thread engaged; a link that is a spring has no adapters", []string{
		"fasteners.engaged", "links.turns_planned", "links.adapters",
	}},
	{"a dolly is strapped where it is rolled", []string{"dollies.strapped"}},
	{"the strength counts what is made, and it bears", []string{"welds*.made"}},
}

// TestNotGoodIsSaid writes, of an item of every sort that is in use in a move that is GO, each fact
// that the table has a good answer to, recorded before or not, with an answer that is not good: the
// move then says what it did not say. With -kinds it does so in every move of every short demo, else
// once, in a move that goes by the seed.
func TestNotGoodIsSaid(t *testing.T) {
	spoken(t, 3, tolerated, func(b *model.Build, thing *looks.Thing) (list []altered) {
		kind, record := thing.Kind, recordNamed(b, thing.Kind, thing.ID)
		for i := range kind.Found().Fields {
			f := &kind.Found().Fields[i]
			one := altered{fact: f.Name}
			for _, value := range notGood(thing, record, f) {
				one.answers = append(one.answers, answer{fmt.Sprint(value), func(r *schema.Record) {
					if inner(r) == nil {
						r.Set(schema.Found, schema.Value{V: schema.NewRecord(kind.Found().Fields, r.Span)})
					}
					inner(r).Set(f.Name, schema.Value{V: value})
				}})
			}
			list = append(list, one)
		}
		return list
	})
}

// altered is a fact of an item with the answers that are put in place of what stands.
type altered struct {
	fact    string
	stops   bool // without it the move has to stop, not only to say something
	answers []answer
}

type answer struct {
	words string
	put   func(*schema.Record)
}

// spoken alters facts of an item of every sort that is in use in a move that is GO: the move then stops
// or says what it did not say, or the fact stands in the list that a reviewer gave.
func spoken(t *testing.T, stream uint64, reviewed []struct {
	why  string
	keys []string
}, alter func(*model.Build, *looks.Thing) []altered) {
	e := rules(t)
	files := logged(t)
	r := rand.New(rand.NewPCG(*firstSeed, stream))
	tried, used := map[string]bool{}, map[string]bool{}
	var mu sync.Mutex
	for _, file := range shuffled(r, slices.Sorted(maps.Keys(files))) {
		b := files[file]
		for _, before := range shuffled(r, judge(t, e, b).Moves) {
			if before.Decision != verdict.Go {
				continue
			}
			was, here := allSaid(before), map[string]bool{}
			var tasks []func()
			for thing := range inUse(b, e, before.ID) {
				kind := thing.Kind
				sort := ofSort(kind.Name, sortOf(kind.Name, recordNamed(b, kind, thing.ID)))
				if here[sort] {
					continue
				}
				for _, one := range alter(b, thing) {
					here[sort] = true
					fact := sort + "." + one.fact
					if len(one.answers) == 0 || tried[fact] && !*kinds {
						continue
					}
					tried[fact] = true
					if !*kinds {
						one.answers = sample(r, one.answers, 1)
					}
					for _, say := range one.answers {
						tasks = append(tasks, func() {
							c := b.Clone()
							say.put(recordNamed(c, kind, thing.ID))
							m := judge(t, e, c, before.ID).Moves[0]
							if m.Decision == verdict.NoGo || !one.stops && slices.ContainsFunc(allSaid(m), func(line string) bool { return !slices.Contains(was, line) }) {
								return
							}
							pattern := listed(reviewed, fact)
							assert.NotEmpty(t, pattern, "%s, %s: %s, %s: %s", file, before.ID, thing.ID, fact, say.words)
							mu.Lock()
							defer mu.Unlock()
							used[pattern] = true
						})
					}
				}
			}
			parallel(tasks)
		}
	}
	require.Greater(t, len(tried), 100)
	if *kinds {
		assert.Empty(t, idle(reviewed, used), "these are spoken of after all: take them off the list")
	}
}

// unasked are the facts that the table has a good answer to and of which a move may not ask, each
// group with the reason that a reviewer gave.
var unasked = []struct {
	why  string
	keys []string
}{
	{"another fact answers: how many there are, the torque by wrench, how far the bolt shows past its nut, that the weld is full", []string{
		"fasteners.fitted", "*.tightness", "fasteners.threads_past", "welds*.made_length",
	}},
	{"grave only together with another, which is asked; hot work and the battery, the gear and the brakes where they matter", []string{
		"vehicle.battery", "vehicle.brake_works", "vehicle.cleaner", "vehicle.fuel", "vehicle.gear", "vehicle.hot_work", "site.extinguisher", "site.plates",
	}},
	{"a measure that nobody has to take: the level says how the supports stand", []string{"site.flatness"}},
	{"the floor of the shop is asked of what stands on it; wheels and pads stand on the floor or on their arms", []string{
		"site.floor", "supports (dolly).floor", "supports (table).floor", "supports (crane).floor", "supports (hoist pad).floor",
	}},
	{"of gear of its kind nobody asks it, and what was seen wrong with it counts", []string{
		"supports (*).contact", "supports (*).level", "supports (*).padded", "supports (*).stacked", "supports (wheel).condition", "supports (crane).condition",
	}},
	{"a pad rests on an arm: the locks of the arms are asked", []string{"supports (hoist pad).locked"}},
	{"wheels are chocked where they bear or roll; a dolly is strapped and held where it is rolled, and its ties are counted when it is left", []string{
		"supports (wheel).chocked", "dollies.held", "dollies.strapped", "dollies.ties_left",
	}},
	{"what a move asks of its people and order goes by its kind (tolerated)", []string{
		"moves.catch", "moves.chocked", "moves.order_read", "moves.phone", "moves.stop_means", "moves.way_back",
	}},
	{"a bolt that holds a face, a stud or a clamped ball draws it in when it is torqued", []string{
		"joints (*face).bolt_slides", "joints (*ball joint).bolt_slides",
	}},
	{"between two tabs the washer only backs up the tabs; a spring on its damper has neither jam nuts nor adapters", []string{
		"links.retaining_washer", "links.jam_nuts", "links.adapters",
	}},
	{"what presses on its perch may be placed by a tack, of which nobody asks whether it was looked at", []string{"welds (by contact).inspected", "welds (by contact).toes"}},
}

// TestNotRecordedIsAsked takes away, of an item of every sort that is in use in a move that is GO,
// each fact that the table has a good answer to or calls critical, events apart: a rule asks for
// it, and of what is critical one that stops.
func TestNotRecordedIsAsked(t *testing.T) {
	spoken(t, 4, unasked, func(b *model.Build, thing *looks.Thing) (list []altered) {
		record := recordNamed(b, thing.Kind, thing.ID)
		found := inner(record)
		if found == nil {
			return nil
		}
		for _, name := range found.Names() {
			one, f := altered{fact: name}, thing.Kind.Found().Field(name)
			if (len(f.Good) > 0 || f.Critical) && f.Event == "" && has(record, f) {
				one.stops, one.answers = f.Critical, []answer{{"taken away", func(r *schema.Record) { inner(r).Delete(name) }}}
			}
			list = append(list, one)
		}
		return list
	})
}

// logged are vehicles of the second format by name: the short demos, the one on its springs, and
// those made from the table, the short kind among them.
func logged(t *testing.T) map[string]*model.Build {
	t.Helper()
	list := map[string]*model.Build{}
	for _, name := range mended {
		list[name] = load(t, "../short/"+name)
	}
	list["sprung"] = load(t, "../sprung/special")
	for _, name := range []string{generated, "short"} {
		b, err := model.Read(name, []byte(fromTable(t, name).second().String()), model.Companions{})
		require.NoError(t, err)
		list["made of the table: "+name] = b
	}
	return list
}

func shuffled[T any](r *rand.Rand, list []T) []T { return sample(r, list, len(list)) }

// inUse are the things that are in use in a move: what carries or is used, the move itself and what
// is around it.
func inUse(b *model.Build, e *engine.Engine, move string) iter.Seq[*looks.Thing] {
	return func(yield func(*looks.Thing) bool) {
		for _, id := range slices.Sorted(maps.Keys(b.Things)) {
			thing, item := b.Things[id], b.Item(id)
			used := item == nil || id == move || thing.Kind.Name != "moves" && works(b, e.Policy(), item, move)
			if used && !yield(thing) {
				return
			}
		}
	}
}

// allSaid is all that a move says.
func allSaid(m verdict.Move) []string {
	var list []string
	for _, f := range m.Findings {
		list = append(list, fmt.Sprint(f.Rule, " ", f.Item, " ", f.Outcome, " ", f.Say))
	}
	return list
}

// notGood are the answers to a question that the table does not call good, of an item.
func notGood(thing *looks.Thing, record *schema.Record, f *schema.Field) []any {
	var tried []any
	switch f.Type {
	case schema.Bool:
		tried = []any{true, false}
	case schema.Enum:
		for _, word := range f.Enum {
			tried = append(tried, word)
		}
	case schema.Count:
		tried = []any{int64(0), int64(4)}
	case schema.Text:
		tried = []any{"4.6"}
	case schema.Thread:
		tried = []any{quantity.Thread{Diameter: 0.007, Pitch: 0.001}}
	case schema.Quantity:
		tried = []any{quantity.Quantity{Dim: f.Dim}, quantity.Quantity{Value: 0.5, Dim: f.Dim}}
	}
	return slices.DeleteFunc(tried, func(value any) bool {
		good, known := f.Good.Holds("found."+f.Name, func(path string) (any, bool) {
			if path == "found."+f.Name {
				return value, true
			}
			if strings.HasPrefix(path, "found.") {
				v, ok := record.Lookup(path)
				return v.V, ok
			}
			return thing.Lookup(path)
		})
		return len(f.Good) == 0 || good || !known
	})
}

// TestDisturbedIsSaid has one thing of every sort that carries worked on after everything was looked
// at, a part of every role: what was seen before says nothing any more, of a part of what is on it.
func TestDisturbedIsSaid(t *testing.T) {
	e := rules(t)
	for name, move := range map[string]string{"special-mended": "onto-wheels", "liveaxle-mended": "onto-wheels", "checklist-mended": "onto-stands", "buggy-mended": "onto-wheels"} {
		b := withMore(t, name, "", "")
		require.Equal(t, verdict.Go, judge(t, e, b, move).Moves[0].Decision, name)
		seen := map[string]bool{}
		var tasks []func()
		for thing := range inUse(b, e, move) {
			kind, record := thing.Kind.Name, recordNamed(b, thing.Kind, thing.ID)
			sort := ofSort(kind, sortOf(kind, record))
			if kind == "parts" {
				role, _ := record.Text("role")
				sort = ofSort(kind, role)
			}
			if seen[sort] {
				continue
			}
			seen[sort] = true
			tasks = append(tasks, func() {
				c := withMore(t, name, "", fmt.Sprintf("- {day: 2026-11-25 23:00, by: TN, of: [%s], found: {disturbed: yes}}\n", thing.ID))
				assert.Equal(t, verdict.NoGo, judge(t, e, c, move).Moves[0].Decision, "%s: %s of %s", name, thing.ID, move)
			})
		}
		require.NotEmpty(t, tasks)
		parallel(tasks)
	}
}
