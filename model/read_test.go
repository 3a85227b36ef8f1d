package model_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/schema"
	"setdown/model/source"
)

// read reads a sound build file that begins with the format line.
func read(t *testing.T, text string, assume ...model.Assumption) *model.Build {
	t.Helper()
	build, err := model.Read("b.yaml", []byte(head+text), model.Companions{}, assume...)
	require.NoError(t, err)
	return build
}

// refused reads a build file that must be refused, and returns the errors.
func refused(t *testing.T, text string, assume ...model.Assumption) source.Errors {
	t.Helper()
	_, err := model.Read("b.yaml", []byte(text), model.Companions{}, assume...)
	var errs source.Errors
	require.ErrorAs(t, err, &errs)
	return errs
}

func TestValuesAndTheirPlaces(t *testing.T) {
	b := read(t, `parts: {chassis: {mass: 420 kg ± 15 kg, cg: [50 ± 1, 12 in, 1e1]}, arm: {}}
vehicle:
  coordinates: cm
  name: |
    two
    lines
links:
  bar:
    ends: {top: {on: chassis}, bottom: {on: arm, axis: [0, -1, 0.5]}}
    temporary: true
    rod_ends: {thread: 1/2-20 UNF LH, static_rating: 500 kg}
    found: {fitted: no, engaged: [22 mm, 20 mm], on: 2026-11-20, by: 007}
welds:
  m: {holds: [bar/top], base: 1 1/2 in mild steel plate, found: {made: "tack", tacks: 6}}
wheels:
  w: {found: {toe: -0.5 deg}}
`)
	chassis := b.Item("chassis")
	mass, _ := chassis.Quantity("mass")
	assert.Equal(t, 15.0, mass.Tol)
	v, _ := chassis.Lookup("mass")
	assert.Equal(t, "b.yaml:2:25", v.Span.String())
	cg, _ := chassis.Vec("cg")
	// 50 cm, 12 in = 304.8 mm exactly, 10 cm.
	assert.InDelta(t, 0.5, cg.X, 1e-12)
	assert.InDelta(t, 0.3048, cg.Y, 1e-12)
	assert.InDelta(t, 0.1, cg.Z, 1e-12)
	assert.InDelta(t, 0.01, cg.Tol[0], 1e-12)
	assert.Equal(t, "parts.chassis", chassis.Path())
	assert.Equal(t, "b.yaml:2:9", chassis.Span.String())
	name, _ := b.Vehicle.Text("name")
	assert.Equal(t, "two lines", name)

	link := b.Item("bar")
	temporary, known := link.Bool("temporary")
	assert.True(t, temporary && known)
	fitted, known := link.Bool("found.fitted")
	assert.True(t, !fitted && known)
	_, known = link.Bool("found.tagged")
	assert.False(t, known, "what nobody wrote is not recorded")
	rating, _ := link.Quantity("rod_ends.static_rating")
	assert.InDelta(t, 500*9.80665, rating.Value, 1e-9)
	thread, _ := link.Thread("rod_ends.thread")
	assert.True(t, thread.Left)
	on, _ := link.Date("found.on")
	assert.Equal(t, "2026-11-20", on.String())
	by, _ := link.Text("found.by")
	assert.Equal(t, "007", by, "a text stays as it was typed")
	axis, _ := link.Vec("ends.bottom.axis")
	assert.Equal(t, schema.Vec{Y: -1, Z: 0.5}, axis)

	weld := b.Item("m")
	assert.Equal(t, []string{"bar/top"}, weld.Texts("holds"))
	thickness, _ := weld.Quantity("base.thickness")
	assert.InDelta(t, 38.1e-3, thickness.Value, 1e-12)
	material, _ := weld.Text("base.material")
	assert.Equal(t, "mild steel", material)
	toe, _ := b.Item("w").Quantity("found.toe")
	assert.Negative(t, toe.Value)
}

// 'on' is a yes to programs that read YAML as of version 1.1; day says the same.
func TestDayIsOn(t *testing.T) {
	b := read(t, "welds: {m: {found: {made: full, day: 2026-11-20}}, n: {found: {made: full, on: 2026-11-20}}}\n")
	for _, id := range []string{"m", "n"} {
		on, known := b.Item(id).Date("found.on")
		assert.True(t, known)
		assert.Equal(t, "2026-11-20", on.String())
	}
	b = read(t, "welds: {m: {found: {made: full}}}\n", model.Assumption{Path: "m.found.day", Value: "2026-11-20"})
	_, known := b.Item("m").Date("found.on")
	assert.True(t, known)
}

func TestWhatIsNotSureIsNotRecorded(t *testing.T) {
	b := read(t, `welds:
  m: {waits_for: ~, found: {made: not sure, tacks: "?", crack: , inspected: null}}
  n:
site: ~
fasteners:
`)
	assert.Equal(t, []string{"found"}, b.Item("m").Names())
	found, _ := b.Item("m").Record.Record("found")
	assert.Empty(t, found.Names())
	assert.NotNil(t, b.Item("n"))
	assert.NotNil(t, b.Site)
	assert.Empty(t, b.Of("fasteners"))
}

func TestAShortChecklist(t *testing.T) {
	b := read(t, `welds: {left-mount: {found: {made: tack}}}
supports: {stand-a: {kind: stand}, stand-b: {kind: stand}}
moves: {down: {kind: lower, steps: [{name: down, supports: [stand-a, stand-b]}]}}
`)
	assert.Len(t, b.Of("supports"), 2)
	assert.Empty(t, b.Of("joints"))
}

func TestAliasesAreRead(t *testing.T) {
	b := read(t, "fasteners:\n  a: {tab: &tab {thickness: 5 mm}}\n  b: {tab: *tab}\n")
	for _, id := range []string{"a", "b"} {
		thickness, ok := b.Item(id).Quantity("tab.thickness")
		assert.True(t, ok)
		assert.Equal(t, 5e-3, thickness.Value)
	}
}

func TestACloneIsAnotherState(t *testing.T) {
	b := read(t, parts+bar+"welds: {m: {holds: [bar/top], found: {made: tack}}}\nwaivers: [{rule: r, item: m, reason: why, by: RT, until: 2026-12-01}]\n")
	before := string(b.Canonical())
	c := b.Clone()
	assert.Equal(t, before, string(c.Canonical()))
	found, _ := c.Item("m").Record.Record("found")
	found.Set("made", schema.Value{V: "full"})
	ends, _ := c.Item("bar").Record.Record("ends.top")
	ends.Delete("on")
	c.Vehicle.Set("name", schema.Value{V: "another"})
	assert.Equal(t, before, string(b.Canonical()))
	assert.Same(t, c.Item("m"), c.Of("welds")[0])
	assert.NotEqual(t, before, string(c.Canonical()))
}

func TestLimits(t *testing.T) {
	var bomb, many, errs strings.Builder
	bomb.WriteString(head + "places: &a0 [x, x, x, x, x, x, x, x, x, x]\n")
	bomb.WriteString("parts:\n")
	for i := 1; i < 8; i++ {
		fmt.Fprintf(&bomb, "  p%d: {cg: &a%d [%s]}\n", i, i, strings.Repeat(fmt.Sprintf("*a%d,", i-1), 10))
	}
	many.WriteString(head + "parts:\n")
	errs.WriteString(head + "parts:\n")
	for i := range 100_000 {
		fmt.Fprintf(&many, "  p%d: {}\n", i)
		if i < 500 {
			fmt.Fprintf(&errs, "  p%d: {mass: heavy}\n", i)
		}
	}
	for _, c := range []struct{ name, text, want string }{
		{"alias bomb", bomb.String(), "expand to more than 10000 values"},
		{"100,000 items", many.String(), "more than 20000 items"},
		{"100,000 waivers", head + "waivers:\n" + strings.Repeat("  - {}\n", 100_000), "more than 20000 items"},
		{"deep blocks", head + "parts: " + strings.Repeat("{a: ", 40) + strings.Repeat("}", 40), "more than 32 deep"},
		{"very deep blocks", head + "parts: " + strings.Repeat("[", 100_000), "b.yaml:"},
		{"too many bytes", head + strings.Repeat("# comment\n", 1_000_000), "over 8 MiB"},
		{"too many mirrors", head + "parts: {fl-a: {}}\nmirror:\n" + strings.Repeat("  - {from: fl-, to: fr-, across: y}\n", 101), "more than 100 mirror entries"},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Contains(t, refused(t, c.text).Error(), c.want)
		})
	}
	t.Run("500 errors", func(t *testing.T) {
		list := refused(t, errs.String())
		assert.Len(t, list, 101)
		assert.Equal(t, "b.yaml:103:3: and 401 more from here on (correct the first ones and check again)", list[100].Error())
	})
	t.Run("mirrors that breed", func(t *testing.T) {
		var text strings.Builder
		text.WriteString(head + "parts:\n")
		for i := range 6_000 {
			fmt.Fprintf(&text, "  aa%d: {}\n", i)
		}
		text.WriteString("mirror: [{from: aa, to: ab, across: y}, {from: a, to: b, across: y}]\n")
		assert.Contains(t, refused(t, text.String()).Error(), "make more than 20000")
	})
}

func TestLoad(t *testing.T) {
	dir := t.TempDir()
	good := filepath.Join(dir, "good.yaml")
	require.NoError(t, os.WriteFile(good, []byte(head+parts), 0o600))
	b, err := model.Load(good)
	require.NoError(t, err)
	assert.Equal(t, filepath.ToSlash(good), b.File)

	// A sparse file: 100 MB that take no room, and no time when nobody reads them.
	huge := filepath.Join(dir, "huge.yaml")
	require.NoError(t, os.WriteFile(huge, nil, 0o600))
	require.NoError(t, os.Truncate(huge, 100<<20))
	for path, want := range map[string]string{
		huge:                       "the file is over 8 MiB; that is no build file",
		dir:                        "this is a folder, not a build file",
		filepath.Join(dir, "none"): "there is no such file",
	} {
		_, err := model.Load(path)
		var errs source.Errors
		require.ErrorAs(t, err, &errs)
		assert.Equal(t, filepath.ToSlash(path)+": "+want, err.Error())
	}
}

func TestTheDemonstrationFilesAreSound(t *testing.T) {
	files, err := filepath.Glob("../testdata/builds/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		if strings.HasSuffix(file, ".expect.yaml") {
			continue
		}
		_, err := model.Load(file)
		assert.NoError(t, err, file)
	}
}

// Every field of the table can be written: a fact that the reader cannot take
// is a fact that nobody can record.
func TestEveryFieldOfTheTableCanBeRead(t *testing.T) {
	for _, kind := range schema.Kinds() {
		for _, f := range kind.Fields {
			if f.Derived {
				continue
			}
			text := kind.Name + ": {x: {" + f.Name + ": " + sample(f) + "}}\n"
			if kind.Single {
				text = kind.Name + ": {" + f.Name + ": " + sample(f) + "}\n"
			}
			if kind.Listed {
				text = kind.Name + ": [{" + f.Name + ": " + sample(f) + "}]\n"
			}
			format := head
			if f.Second {
				format = "format: setdown/2\n"
			}
			_, err := model.Read("b.yaml", []byte(format+text), model.Companions{})
			var errs source.Errors
			if !errors.As(err, &errs) {
				continue
			}
			for _, e := range errs {
				ofOthers := strings.Contains(e.Message, "needs the key") || strings.Contains(e.Message, "there is no") ||
					strings.Contains(e.Message, "twice") || strings.Contains(e.Message, "is mirrored") || strings.Contains(e.Message, "same part") || strings.Contains(e.Message, "only a spring perch") || strings.Contains(e.Message, "only in a checklist") || strings.Contains(e.Hint, "the one or the other")
				assert.True(t, ofOthers, "%s.%s = %s: %s", kind.Name, f.Name, sample(f), e)
			}
		}
	}
}

// sample is a value that a field can have.
func sample(f schema.Field) string {
	switch f.Type {
	case schema.Bool:
		return "yes"
	case schema.Count:
		if f.Bounds != nil {
			return f.Bounds.Least.String()
		}
		return "0"
	case schema.Text, schema.Ref:
		return "nowhere"
	case schema.Enum:
		return f.Enum[0]
	case schema.Quantity:
		return f.Bounds.Most.String()
	case schema.Thread:
		return "M10x1.5"
	case schema.Date:
		return "2026-11-20"
	case schema.Point, schema.Vector:
		return "[1, 2, 3]"
	case schema.List:
		return "[" + strings.TrimSuffix(strings.Repeat(sample(*f.Elem)+", ", max(1, f.Size)), ", ") + "]"
	case schema.Map:
		return "{a: " + sample(*f.Elem) + ", b: " + sample(*f.Elem) + "}"
	}
	var fields []string
	for _, inner := range f.Fields {
		if !inner.Second {
			fields = append(fields, inner.Name+": "+sample(inner))
		}
	}
	text := "{" + strings.Join(fields, ", ") + "}"
	// The first words and numbers contradict each other in this block.
	return strings.Replace(text, "fitted: yes, count: 0", "fitted: yes, count: 1", 1)
}

// TestTheOlderHeading: the nuts of ball joints are read under the name that files of old
// have for them.
func TestTheOlderHeading(t *testing.T) {
	const nut = ": {n: {torque: 75 N·m, found: {fitted: yes}}}\n"
	older, newer := read(t, "ball_joints"+nut), read(t, "stud_nuts"+nut) // the old key
	assert.Equal(t, string(newer.Canonical()), string(older.Canonical()))
	assert.Equal(t, string(read(t, "stud_nuts"+nut, assumption(t, "n.found.fitted=no")).Canonical()),
		string(read(t, "ball_joints"+nut, assumption(t, "ball_joints.n.found.fitted=no")).Canonical())) // the old key
}

func FuzzRead(f *testing.F) {
	for _, c := range broken {
		f.Add(c.text)
	}
	f.Add(head + parts + ball + bar + "welds: {m: {holds: [bar/top], base: 4 mm S355 plate, found: {made: tack}}}\nmirror: [{from: b, to: c, across: y}]\n")
	f.Fuzz(func(t *testing.T, text string) {
		b, err := model.Read("b.yaml", []byte(text), model.Companions{})
		if err == nil {
			again := b.Clone()
			if string(again.Canonical()) != string(b.Canonical()) || len(model.Differences(b.Facts(), again.Facts())) > 0 {
				t.Fatal("a copy differs")
			}
			return
		}
		var errs source.Errors
		if !errors.As(err, &errs) || len(errs) == 0 || len(errs) > 101 {
			t.Fatalf("%T", err)
		}
		lines := strings.Count(text, "\n") + 1
		for _, e := range errs {
			if p := e.Span.Start; p.Line < 1 || p.Line > lines || p.Column < 1 || e.Message == "" || strings.ContainsAny(e.Error(), "\n\x00") {
				t.Fatalf("no proper place or message: %q", e)
			}
		}
	})
}
