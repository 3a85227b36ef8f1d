package check_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/verdict"
)

// TestNotGoodIsSaid writes into the short demos, of one item of every sort in every move, each fact
// that the table has a good answer to, recorded before or not, with an answer that is not good: the
// move then says something that it did not say.
func TestNotGoodIsSaid(t *testing.T) {
	e := rules(t)
	for _, file := range []string{sprung, shortDemo("special"), shortDemo("liveaxle"), shortDemo("checklist"), shortDemo("buggy")} {
		b, err := model.Load(file)
		require.NoError(t, err)
		for _, before := range judge(t, e, b).Moves {
			if before.Decision != verdict.Go {
				continue
			}
			was := words2(before)
			seen := map[string]bool{}
			var tasks []func()
			for _, kind := range schema.Kinds() {
				items := b.Of(kind.Name)
				if kind.Single {
					items = []*model.Item{nil}
				}
				for _, item := range items {
					if kind.Found() == nil || kind.Name == "moves" && item.ID != before.ID || item != nil && !works(b, e.Policy(), item, before.ID) {
						continue
					}
					id := kind.Name
					if item != nil {
						id = item.ID
					}
					key := ofSort(kind.Name, sortOf(kind.Name, recordNamed(b, kind, id)))
					if seen[key] {
						continue
					}
					seen[key] = true
					for i := range kind.Found().Fields {
						f := &kind.Found().Fields[i]
						for _, value := range notGood(b.Things[id], recordNamed(b, kind, id), f) {
							tasks = append(tasks, func() {
								c := b.Clone()
								record := recordNamed(c, kind, id)
								if inner(record) == nil {
									record.Set(schema.Found, schema.Value{V: schema.NewRecord(kind.Found().Fields, record.Span)})
								}
								inner(record).Set(f.Name, schema.Value{V: value})
								m := judge(t, e, c, before.ID).Moves[0]
								assert.True(t, m.Decision == verdict.NoGo || slices.ContainsFunc(words2(m), func(line string) bool { return !slices.Contains(was, line) }),
									"%s: %s of %s: %s.found.%s=%v", file, before.ID, key, id, f.Name, value)
							})
						}
					}
				}
			}
			fmt.Println(file, before.ID, len(tasks))
			parallel(tasks)
		}
	}
}

func shortDemo(name string) string { return "../../testdata/short/" + name + "-mended.yaml" }

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

func words2(m verdict.Move) []string {
	var list []string
	for _, f := range m.Findings {
		list = append(list, fmt.Sprint(f.Rule, " ", f.Item, " ", f.Outcome, " ", f.Say))
	}
	return list
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
		for _, kind := range schema.Kinds() {
			for _, item := range b.Of(kind.Name) {
				sort := ofSort(kind.Name, sortOf(kind.Name, item.Record))
				if kind.Name == "parts" {
					role, _ := item.Text("role")
					sort = ofSort(kind.Name, role)
				}
				if kind.Found() == nil || seen[sort] || !works(b, e.Policy(), item, move) || kind.Name == "moves" && item.ID != move {
					continue
				}
				seen[sort] = true
				tasks = append(tasks, func() {
					c := withMore(t, name, "", fmt.Sprintf("- {day: 2026-11-25 23:00, by: TN, of: [%s], found: {disturbed: yes}}\n", item.ID))
					assert.Equal(t, verdict.NoGo, judge(t, e, c, move).Moves[0].Decision, "%s: %s of %s", name, item.ID, move)
				})
			}
		}
		require.NotEmpty(t, tasks)
		parallel(tasks)
	}
}
