package schema_test

import (
	"maps"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/quantity"
	"setdown/model/schema"
)

// each gives every field of the table with its path, such as
// "welds.found.made" or "links.ends.*.on".
func each(give func(kind *schema.Kind, path string, f *schema.Field)) {
	for _, kind := range schema.Kinds() {
		var walk func(prefix string, fields []schema.Field)
		walk = func(prefix string, fields []schema.Field) {
			for i := range fields {
				f := &fields[i]
				give(kind, prefix+f.Name, f)
				walk(prefix+f.Name+".", f.Fields)
				if f.Elem != nil {
					walk(prefix+f.Name+".*.", f.Elem.Fields)
				}
			}
		}
		walk("", kind.Fields)
	}
}

// at finds the field with that path, or nil.
func at(kind *schema.Kind, path string) *schema.Field {
	fields, name := kind.Fields, path
	for {
		head, rest, nested := strings.Cut(name, ".")
		i := slices.IndexFunc(fields, func(f schema.Field) bool { return f.Name == head })
		if i < 0 {
			return nil
		}
		if !nested {
			return &fields[i]
		}
		fields, name = fields[i].Fields, rest
	}
}

// computed are the facts that conditions read and no file holds, with their types.
var computed = map[string]schema.Type{
	"fasteners.clamps_bonded_bush": schema.Bool,
	"fasteners.thread.diameter":    schema.Quantity,
	"fasteners.threaded":           schema.Bool,
	"links.solid":                  schema.Bool,
	"wheels.stud.pitch":            schema.Quantity,
	"wheels.stud.diameter":         schema.Quantity,
}

func TestEveryFactFoundHasItsColumns(t *testing.T) {
	facts := 0
	each(func(kind *schema.Kind, path string, f *schema.Field) {
		name := kind.Name + "." + path
		if v := f.Vouched; v != nil {
			assert.True(t, f.Identity, "%s: only what a fingerprint keeps is known to have been drawn by then", name)
			assert.NotNil(t, at(kind, "found."+v.By), name)
			assert.True(t, v.Measure == "" || at(kind, "found."+v.Measure) != nil, name)
		}
		if !strings.HasPrefix(path, "found.") {
			assert.Equal(t, f.Event != "", len(f.Good) > 0, "%s: of a design only what is written down when it is seen is good or not", name)
			assert.Zero(t, f.Life, "%s: design has no life", name)
			assert.False(t, f.Critical || f.Remakes != nil || f.Undoes != nil || f.Witness != nil || f.Reopens || f.Parts || f.Says != nil, "%s: a column of what was found", name)
			return
		}
		facts++
		assert.True(t, (len(f.Good) > 0) != (f.NoGood != ""), "%s: a good answer, or why there is none", name)
		assert.NotEmpty(t, f.Question, name)
		assert.NotZero(t, f.Life, name)
		assert.False(t, f.Identity, "%s: what was found says nothing of what it should be", name)
		if f.Critical {
			assert.NotEmpty(t, f.Good, "%s: what is critical has a good answer", name)
		}
		assert.True(t, !f.Reopens || f.Undoes != nil && len(f.Undoes) == 0, "%s: a joint that is opened is seen again as a whole", name)
		for _, ended := range slices.Concat(f.Remakes, f.Witness, f.Undoes) {
			assert.NotEqual(t, "found."+ended, path, "%s: ends itself", name)
			assert.NotNil(t, at(kind, "found."+ended), "%s ends %s, which is nothing", name, ended)
		}
		if f.Says != nil {
			said := at(kind, "found."+f.Says.Field)
			require.NotNil(t, said, name)
			assert.Contains(t, said.Enum, f.Says.Value, name)
		}
	})
	assert.Greater(t, facts, 150)
}

// undoesNothing are the facts of what holds or carries whose faults are mended without undoing
// anything else that was seen of the thing.
var undoesNothing = map[string]string{
	"joints.misalignment": "it is of the travel of a move, and another move has another",
	"links.tagged":        "a tag is tied on",
	"links.mid_span_load": "what bears on it is taken away",
	"welds.inspected":     "it is looked at",
	"wheels.torqued":      "the wrench is put on again, and no mark, pin or lock is seen of its nuts",
	"wheels.clear":        "a hose is tied away or an edge trimmed; a stop of the steering is moved",
	"wheels.toe":          "it is set at the link, which says so itself",
	"springs.kept_by":     "a strap or plate goes on from outside",
	"springs.tightness":   "nothing else is seen of its bolts",
	"joints.disturbed":    "an event",
	"links.disturbed":     "an event",
	"fasteners.disturbed": "an event",
	"stud_nuts.disturbed": "an event",
	"spacers.disturbed":   "an event",
	"welds.disturbed":     "an event",
	"wheels.disturbed":    "an event",
	"springs.disturbed":   "an event",
}

// A fault is gone when somebody says so, and what was seen while it was there may be gone with it:
// whoever exchanges a bolt of the wrong class undoes its torque.
func TestWhatMendingUndoes(t *testing.T) {
	reasons := maps.Clone(undoesNothing)
	each(func(kind *schema.Kind, path string, f *schema.Field) {
		holds := kind.Field("holds") != nil || kind.Name == "joints" || kind.Name == "links"
		if !holds || !strings.HasPrefix(path, "found.") || len(f.Good) == 0 || f.Life != schema.Seen && f.Life != schema.Made {
			return
		}
		name := kind.Name + "." + f.Name
		says := f.Undoes != nil || f.Remakes != nil || f.Witness != nil
		assert.True(t, says != (reasons[name] != ""), "%s: what mending it undoes, or why nothing", name)
		delete(reasons, name)
	})
	assert.Empty(t, reasons, "of facts that there are not")
}

func TestQuestionsAreShort(t *testing.T) {
	const most = 60
	each(func(kind *schema.Kind, path string, f *schema.Field) {
		for _, q := range []string{f.Question, f.Short} {
			assert.LessOrEqual(t, utf8.RuneCountInString(q), most, "%s.%s: %s", kind.Name, path, q)
			if q != "" && !strings.HasPrefix(q, "Second check") {
				assert.True(t, strings.HasSuffix(q, "?") || strings.HasSuffix(q, ")"), "%s.%s: %s", kind.Name, path, q)
			}
		}
		if f.Short != "" {
			assert.NotEmpty(t, f.Enum, "%s.%s: a short form without words to choose from", kind.Name, path)
		}
	})
}

func TestEverySizeHasBounds(t *testing.T) {
	each(func(kind *schema.Kind, path string, f *schema.Field) {
		if f.Elem != nil && f.Elem.Type != schema.Object {
			f = f.Elem
		}
		counted := f.Type == schema.Count && !strings.HasPrefix(path, "found.")
		if f.Type == schema.Count && !counted && f.Bounds == nil {
			return // pieces that are found are held against those that there should be
		}
		if f.Type != schema.Quantity && f.Type != schema.Count {
			assert.Nil(t, f.Bounds, "%s.%s", kind.Name, path)
			return
		}
		if assert.NotNil(t, f.Bounds, "%s.%s", kind.Name, path) {
			assert.Less(t, f.Bounds.Least.Value, f.Bounds.Most.Value, "%s.%s", kind.Name, path)
			assert.Equal(t, f.Signed, f.Bounds.Least.Value < 0, "%s.%s: only what may be signed goes below zero", kind.Name, path)
		}
	})
}

// Conditions read facts that there are, of the right type, and words that can
// be written.
func TestConditionsFitTheTable(t *testing.T) {
	each(func(kind *schema.Kind, path string, f *schema.Field) {
		for _, condition := range []schema.Condition{f.Good, f.OnlyFor, f.Lasts} {
			for _, tests := range condition {
				assert.NotEmpty(t, tests, "%s.%s", kind.Name, path)
				for _, test := range tests {
					for _, read := range []string{test.Path, test.Than, test.Per} {
						_, known := computed[kind.Name+"."+read]
						assert.True(t, read == "" || known || at(kind, read) != nil, "%s.%s reads %s, which is nothing", kind.Name, path, read)
					}
					subject := f
					if test.Path != "" {
						if subject = at(kind, test.Path); subject == nil {
							continue
						}
					}
					for _, v := range test.Values {
						assert.True(t, fits(subject, v, test.Op), "%s.%s: %v is no answer to %s", kind.Name, path, v, subject.Name)
					}
				}
			}
		}
		for _, test := range slices.Concat(slices.Concat(f.OnlyFor, f.Lasts)...) {
			assert.False(t, test.Path == "" || strings.HasPrefix(test.Path, "found."), "%s.%s: what it is for, and of what it lasts, is said by the design", kind.Name, path)
		}
	})
}

func fits(f *schema.Field, v any, op schema.Op) bool {
	switch v := v.(type) {
	case bool:
		return f.Type == schema.Bool && op == schema.OneOf
	case string:
		return slices.Contains(f.Enum, v) && op == schema.OneOf
	case int64:
		return f.Type == schema.Count
	case quantity.Quantity:
		return f.Type == schema.Quantity && f.Dim == v.Dim && op != schema.OneOf
	}
	return false
}

// Every round asks at most five lines of a kind.
func TestARoundIsShort(t *testing.T) {
	const most = 5
	lines := map[string]int{}
	each(func(kind *schema.Kind, path string, f *schema.Field) {
		if f.Round {
			lines[kind.Name]++
			assert.True(t, strings.HasPrefix(path, "found."), path)
		}
	})
	for _, kind := range schema.Kinds() {
		if kind.Found() == nil || kind.Name == "parts" {
			continue
		}
		assert.True(t, lines[kind.Name] > 0 && lines[kind.Name] <= most, "%s: %d", kind.Name, lines[kind.Name])
	}
}

// format-2, section 4: how far a weld is made, torque and lock of a bolt or stud
// nut, thread engaged, pawl or pin of a stand, locks of a hoist.
func TestWhatIsCritical(t *testing.T) {
	var critical []string
	each(func(kind *schema.Kind, path string, f *schema.Field) {
		if f.Critical {
			critical = append(critical, kind.Name+"."+strings.TrimPrefix(path, "found."))
		}
	})
	assert.Equal(t, []string{"joints.engaged", "links.engaged", "fasteners.torqued", "fasteners.lock_fitted", "stud_nuts.torqued", "stud_nuts.lock_fitted", "welds.made", "springs.tightness",
		"supports.locked", "hoists.arm_locks", "hoists.locks_down"}, critical)
}

func TestTextOfConditions(t *testing.T) {
	for path, want := range map[string]string{
		"fasteners.found.tightness":   `it.found.tightness == "torqued" || (it.found.tightness == "snug" && it.clamps_bonded_bush)`,
		"fasteners.found.torqued":     `it.found.torqued >= 0.9 * it.torque && it.found.torqued <= 1.5 * it.torque`,
		"fasteners.found.mark_broken": `!it.found.mark_broken`,
		"fasteners.found.thread_read": `it.found.thread_read == it.thread`,
		"spacers.found.gap_left":      `it.found.gap_left <= mm(0.1)`,
		"vehicle.found.fuel":          `it.found.fuel in ["none", "drained"]`,
		"site.found.plates":           `it.found.plates || it.found.floor in ["concrete", "steel plate"]`,
		"site.found.slope":            `it.found.slope <= 0.01`,
		"wheels.found.turns":          `it.found.turns * it.stud.pitch >= it.stud.diameter`,
		"wheels.found.toe":            `it.found.toe >= degrees(-1.0) && it.found.toe <= degrees(1.0)`,
		"links.found.engaged":         `it.found.engaged[0] >= it.rod_ends.engagement_needed && it.found.engaged[1] >= it.rod_ends.engagement_needed`,
		"dollies.found.ties_left":     `it.found.ties_left == 0`,
	} {
		name, rest, _ := strings.Cut(path, ".")
		f := at(schema.KindOf(name), rest)
		assert.Equal(t, want, f.Good.Text("it", f, rest), path)
	}
}

func TestConditionHolds(t *testing.T) {
	for _, c := range []struct {
		field       string
		item        map[string]any
		good, known bool
	}{
		{"fasteners.found.tightness", map[string]any{"found.tightness": "torqued"}, true, true},
		{"fasteners.found.tightness", map[string]any{"found.tightness": "finger"}, false, true},
		{"fasteners.found.tightness", map[string]any{"found.tightness": "snug"}, false, false},
		{"fasteners.found.tightness", map[string]any{"found.tightness": "snug", "clamps_bonded_bush": true}, true, true},
		{"fasteners.found.tightness", map[string]any{"found.tightness": "snug", "clamps_bonded_bush": false}, false, true},
		{"fasteners.found.tightness", map[string]any{}, false, false},
		{"fasteners.found.torqued", map[string]any{"found.torqued": torque("54 N·m"), "torque": torque("60 N·m")}, true, true},
		{"fasteners.found.torqued", map[string]any{"found.torqued": torque("53 N·m"), "torque": torque("60 N·m")}, false, true},
		{"fasteners.found.torqued", map[string]any{"found.torqued": torque("60 N·m ± 10 N·m"), "torque": torque("60 N·m")}, false, true},
		{"fasteners.found.torqued", map[string]any{"found.torqued": torque("54 N·m")}, false, false},
		{"links.found.engaged", map[string]any{"found.engaged": []schema.Value{{V: length("19 mm")}, {V: length("20 mm")}}, "rod_ends.engagement_needed": length("19 mm")}, true, true},
		{"links.found.engaged", map[string]any{"found.engaged": []schema.Value{{V: length("2 mm")}, {V: length("20 mm")}}, "rod_ends.engagement_needed": length("19 mm")}, false, true},
		{"spacers.found.fitted", map[string]any{"found.fitted": int64(1), "needed": int64(2)}, false, true},
		// Nothing is less than any size, also than one that nobody wrote.
		{"fasteners.found.torqued", map[string]any{"found.torqued": torque("0 N·m")}, false, true},
		{"welds.found.made_length", map[string]any{"found.made_length": length("0 mm")}, false, true},
		{"welds.found.made_length", map[string]any{"found.made_length": length("1 mm")}, false, false},
		{"links.found.engaged", map[string]any{"found.engaged": []schema.Value{{V: length("0 mm")}, {V: length("20 mm")}}}, false, true},
		{"links.found.engaged", map[string]any{"found.engaged": []schema.Value{{V: length("1 mm")}, {V: length("20 mm")}}}, false, false},
		{"joints.found.misalignment", map[string]any{"found.misalignment": angle("0 deg")}, false, false},
		{"wheels.found.toe", map[string]any{"found.toe": angle("2 deg")}, false, true},
		{"links.found.jam_nut_hands", map[string]any{"found.jam_nut_hands": []schema.Value{{V: "right"}, {V: "left"}}, "rod_ends.hands": []schema.Value{{V: "right"}, {V: "left"}}}, true, true},
	} {
		name, path, _ := strings.Cut(c.field, ".")
		good, known := at(schema.KindOf(name), path).Good.Holds(path, func(path string) (any, bool) { v, ok := c.item[path]; return v, ok })
		assert.Equal(t, [2]bool{c.good, c.known}, [2]bool{good, known}, "%s %v", c.field, c.item)
	}
}

func measure(dim quantity.Dimension) func(text string) quantity.Quantity {
	return func(text string) quantity.Quantity {
		q, err := quantity.Parse(text, dim)
		if err != nil {
			panic(err)
		}
		return q
	}
}

var torque, length, angle = measure(quantity.Torque), measure(quantity.Length), measure(quantity.Angle)

// What judgement takes together is spelled as the table spells it.
func TestSortsAreWordsOfTheirField(t *testing.T) {
	sorts := map[schema.Sort]bool{}
	each(func(kind *schema.Kind, path string, f *schema.Field) {
		for sort, words := range f.Sorts {
			sorts[sort] = true
			assert.Subset(t, f.Enum, words, "%s.%s", kind.Name, path)
		}
	})
	assert.Len(t, sorts, int(schema.Locating)+1)
}
