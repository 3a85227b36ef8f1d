package facts_test

import (
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/facts"
	"setdown/rules/packs"
)

// demos are the builds that the program is shown with.
func demos(t *testing.T) map[string]*model.Build {
	t.Helper()
	files, err := filepath.Glob("../../testdata/builds/*.yaml")
	require.NoError(t, err)
	builds := map[string]*model.Build{}
	for _, file := range files {
		if strings.HasSuffix(file, ".expect.yaml") {
			continue
		}
		b, err := model.Load(file)
		require.NoError(t, err)
		builds[filepath.Base(file)] = b
	}
	require.GreaterOrEqual(t, len(builds), 8)
	return builds
}

// setsOf are the facts of every step of every move, or of the first ones.
func setsOf(t *testing.T, b *model.Build, most int) []*facts.Set {
	t.Helper()
	p, err := policy()
	require.NoError(t, err)
	state := facts.New(b, p, looks.Moment{Day: quantity.Date{Year: 2026, Month: 11, Day: 25}})
	var sets []*facts.Set
	for _, m := range b.Of("moves") {
		move := state.Vehicle.Move(m)
		for i := range move.Steps {
			if len(sets) < most {
				sets = append(sets, state.Step(move, i))
			}
		}
	}
	return sets
}

// objects are all objects of a step.
func objects(s *facts.Set) []*facts.Object {
	list := []*facts.Object{s.Move, s.Step, s.Vehicle, s.Site}
	for _, k := range facts.Kinds() {
		list = append(list, s.Items[k.Name]...)
	}
	return list
}

// readByRules are the facts that the built-in rules read, but for their examples.
func readByRules(t *testing.T) map[facts.Entry]bool {
	t.Helper()
	read := map[facts.Entry]bool{}
	each := regexp.MustCompile(`(?m)^each: (.*) as (\w+)`)
	field := regexp.MustCompile(`\b([a-z_]+)\.([a-z_]+)`)
	rules := 0
	require.NoError(t, fs.WalkDir(packs.FS, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".yaml") {
			return err
		}
		data, err := fs.ReadFile(packs.FS, path)
		if err != nil {
			return err
		}
		rules++
		text, _, _ := strings.Cut(string(data), "\nexamples:")
		kinds := map[string][]string{"step": {"steps"}, "move": {"moves"}, "vehicle": {"vehicle"}}
		if m := each.FindStringSubmatch(text); m != nil {
			kinds[m[2]] = strings.FieldsFunc(m[1], func(r rune) bool { return r != '_' && (r < 'a' || r > 'z') })
		}
		for _, m := range field.FindAllStringSubmatch(text, -1) {
			for _, k := range kinds[m[1]] {
				read[facts.Entry{Kind: k, Name: m[2]}] = true
			}
		}
		return nil
	}))
	require.Greater(t, rules, 150)
	return read
}

// shown are the facts that the rows of a report are made from, besides those of
// strength, which are of every kind.
var shown = []string{"id", "at_place", "carries", "lets_go", "goes", "load", "utilisation", "watch", "rating", "reaction", "would_bear"}

// whole is the trailer with what no demo has.
func whole(t *testing.T) *model.Build {
	t.Helper()
	text := strings.Replace(trailer, "RESTRAINTS", "", 1)
	for old, add := range map[string]string{
		"role: arm}":         "role: arm, found: {fitted: yes, on: 2026-11-20}}\n  box: {mass: 20 kg, cg: [500, 0, 700]}",
		", supports: [left,": ", supports: [hook, left,",
		"rated: 1 t, rated_per: each}\nrestraints:": "rated: 1 t, rated_per: each, height: 300 mm, block_length: 200 mm}\n  hook: {kind: crane, under: box, at: [500, 0, 1200]}\nrestraints:",
		"supports:\n": "fasteners:\n  stud: {holds: [pivot-left], thread: M10x1.5, tapped_into: steel, found: {fitted: yes, engaged: 12 mm}}\n" +
			"springs:\n  coil: {holds: [bar], place: left, kind: coil-over, rate: 20 N/mm, free_length: 450 mm, solid_length: 150 mm, open_length: 520 mm, closed_length: 350 mm, found: {fitted: yes, seats: 80 mm, tightness: torqued, on: 2026-11-20}}\nsupports:\n",
	} {
		require.Contains(t, text, old)
		text = strings.Replace(text, old, add, 1)
	}
	b, err := model.Read("trailer.yaml", []byte("places: [left]\n"+text), model.Companions{})
	require.NoError(t, err)
	return b
}

// entriesOf lists the table by kind.
func entriesOf() map[string][]facts.Entry {
	kinds := map[string][]facts.Entry{}
	for _, e := range facts.Entries() {
		kinds[e.Kind] = append(kinds[e.Kind], e)
	}
	return kinds
}

// Two facts of one name in one list: the later would stand in the place of the other in silence.
func TestEveryFactIsDeclaredOnce(t *testing.T) {
	for _, k := range facts.Kinds() {
		names := facts.Declared(k.Name)
		slices.Sort(names)
		require.Equal(t, slices.Compact(slices.Clone(names)), names, k.Name)
	}
}

// TestEveryFactIsComputedAndRead: what is declared is known for some item of the demos, and
// somebody asks for it: a rule, another fact or the report.
func TestEveryFactIsComputedAndRead(t *testing.T) {
	kinds, read, known := entriesOf(), readByRules(t), map[facts.Entry]bool{}
	builds := demos(t)
	builds["trailer"] = whole(t)
	for _, b := range builds {
		for _, s := range setsOf(t, b, math.MaxInt) {
			for _, o := range objects(s) {
				if o.Has(facts.PassedOver) {
					o.PassOver(o.Doubts(), nil) // as the engine does when it has asked the rules
				}
				for _, e := range kinds[o.Kind] {
					if _, unknown := facts.Result(o, e.Name); unknown == nil {
						known[e] = true
					}
					for from := range facts.SourcesOf(o, e.Name).Facts {
						read[from] = true
					}
				}
			}
		}
	}
	// A fact of every kind, or of every kind that carries, is read where one kind's is.
	times := map[string]int{}
	readOf := map[string]bool{}
	for _, e := range facts.Entries() {
		times[e.Name]++
		readOf[e.Name] = readOf[e.Name] || read[facts.Entry{Kind: e.Kind, Name: e.Name}]
	}
	for _, e := range facts.Entries() {
		if !known[e] {
			t.Errorf("%s.%s is known for no item", e.Kind, e.Name)
		}
		used := read[facts.Entry{Kind: e.Kind, Name: e.Name}] || times[e.Name] > 5 && readOf[e.Name]
		if !used && !e.Hidden && !slices.Contains(shown, e.Name) {
			t.Errorf("%s.%s is read by nothing: take it off the table", e.Kind, e.Name)
		}
	}
}

// inWords is the value of a fact, or why it is not known, in words.
func inWords(o *facts.Object, e facts.Entry) string {
	v, unknown := facts.Result(o, e.Name)
	return fmt.Sprint(v, unknown)
}

// TestReadsAreRemembered forgets recorded values: a fact that comes out otherwise was
// read from the very field, from the item as a whole or from the mechanism.
func TestReadsAreRemembered(t *testing.T) {
	kinds := entriesOf()
	rnd := rand.New(rand.NewPCG(7, 11))
	b, err := model.Load("../../testdata/builds/special-asfound.yaml")
	require.NoError(t, err)
	const steps = 2
	before := setsOf(t, b, steps)
	was := [steps]map[facts.Entry]string{} // what is said of each fact, by the path of its item
	for i, set := range before {
		was[i] = map[facts.Entry]string{}
		for _, o := range objects(set) {
			for _, e := range kinds[o.Kind] {
				was[i][facts.Entry{Kind: o.Path, Name: e.Name}] = inWords(o, e)
			}
		}
	}
	changed, precise := 0, 0
	for range 40 {
		kind := schema.Kinds()[2+rnd.IntN(len(schema.Kinds())-2)]
		if kind.Listed || kind.Name == "moves" || len(b.Of(kind.Name)) == 0 {
			continue
		}
		c := b.Clone()
		items := c.Of(kind.Name)
		item := items[rnd.IntN(len(items))]
		record, path := item.Record, item.Path()
		if found, ok := record.Record("found"); ok && rnd.IntN(3) > 0 {
			record, path = found, path+".found"
		}
		names := slices.DeleteFunc(record.Names(), func(n string) bool {
			f := record.Field(n)
			return f.Need || f.Type == schema.Object || f.Type == schema.Ref
		})
		if len(names) == 0 {
			continue
		}
		field := names[rnd.IntN(len(names))]
		record.Delete(field)
		path += "." + field
		for i, after := range setsOf(t, c, steps) {
			old := objects(before[i])
			for k, o := range objects(after) {
				for _, e := range kinds[o.Kind] {
					if e.Hidden || inWords(o, e) == was[i][facts.Entry{Kind: o.Path, Name: e.Name}] {
						continue
					}
					changed++
					from := facts.SourcesOf(old[k], e.Name)
					if from.Paths[path] {
						precise++
					}
					require.True(t, from.Mechanism || from.Paths[path] || from.Items[item.Path()],
						"without %s, %s.%s is another, and nobody knew that it was read", path, o.Path, e.Name)
				}
			}
		}
	}
	require.Greater(t, changed, 20)
	require.Greater(t, precise, 5)
}
