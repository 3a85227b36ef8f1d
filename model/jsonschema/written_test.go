package jsonschema_test

import (
	"bytes"
	"encoding/json"
	"os"
	"regexp"
	"strings"
	"testing"

	validator "github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/jsonschema"
	"setdown/model/quantity"
	"setdown/model/schema"
)

// definition compiles one definition of the schema of build files.
func definition(t *testing.T, name string) *validator.Schema {
	t.Helper()
	doc, err := validator.UnmarshalJSON(bytes.NewReader(jsonschema.Build()))
	require.NoError(t, err)
	c := validator.NewCompiler()
	require.NoError(t, c.AddResource("schema.json", doc))
	s, err := c.Compile("schema.json#/$defs/" + name)
	require.NoError(t, err)
	return s
}

// The units that the reader knows stand in one table; each way to write them
// must be one that the schema knows too.
func TestEveryUnitOfTheReader(t *testing.T) {
	table, err := os.ReadFile("../quantity/units.go")
	require.NoError(t, err)
	rows := regexp.MustCompile("(?m)^\t\\{\"([^\"]*)\", ([A-Z][a-z]+), [^,]+, (?:\"([^\"]*)\"|`([^`]*)`)\\}").FindAllStringSubmatch(string(table), -1)
	require.Greater(t, len(rows), 35, "the table has another form now")
	defs := map[string]*validator.Schema{
		"Number": definition(t, "plain-number"), "Length": definition(t, "length"), "Mass": definition(t, "mass"), "Torque": definition(t, "torque"), "Angle": definition(t, "angle"),
		"Force": definition(t, "load"), // no key asks for a force, but a rating may be written as one
	}
	tried := 0
	for _, row := range rows {
		s := defs[row[2]]
		if s == nil {
			continue // no key measures a stress or a duration
		}
		for _, name := range strings.Split(row[1]+","+row[3]+row[4], ",") {
			if name == "" {
				continue
			}
			forms := []string{"1 " + name, "1" + name, " 2.5 " + name + " ", "1 1/2 " + name}
			if strings.Contains(name, "·") {
				for _, sign := range []string{".", " ", "-", "*", "⋅"} {
					forms = append(forms, "1 "+strings.ReplaceAll(name, "·", sign))
				}
			}
			for _, text := range forms {
				assert.NoError(t, s.Validate(text), "%q as %s", text, row[2])
				tried++
			}
		}
	}
	assert.Greater(t, tried, 400)
}

// The same text, to the reader of quantities and to the schema.
func TestQuantitiesAgree(t *testing.T) {
	numbers := []string{"0", "5", "1.5", ".5", "5.", "1e3", "1.5E-3", "5/32", "1 1/2", "1-1/2", "5⁄32", "+4", "-4", "−4", "- 4", "4,5", "1 500", "", "x", "½", "0x10", "1.2.3", "4/", "/4", "NaN", "Inf"}
	units := []string{"", " mm", "mm", " MM", " Mm", " in.", " \"", "'", " ft", " µm", " um", " kg", " KG", " lb", " t", " T", " ton", " short ton", " SHORT-TON", " N", " kN", " KN", " lbf", " kp",
		" N·m", " N.m", " Nm", " n m", " ft-lb", " ft lbf", " foot pounds", " in·lbs.", " MPa", " mPa", " deg", "°", " rad", " %", " percent", " mm/m", " N/mm²", " days", " furlong", " mm mm", " kg/m", " . mm"}
	tails := []string{"", " ± 2", " ±2 mm", " +/- 5 %", "±5 kg", " ± ", " ± -1", " ± 1 ± 1", " + 2"}
	for def, dim := range map[string]quantity.Dimension{
		"length": quantity.Length, "length-plus-minus": quantity.Length, "signed-length-plus-minus": quantity.Length, "mass": quantity.Mass, "mass-plus-minus": quantity.Mass, "torque": quantity.Torque, "angle": quantity.Angle, "signed-angle": quantity.Angle, "load": quantity.Load, "plain-number": quantity.Number,
	} {
		s := definition(t, def)
		for _, n := range numbers {
			for _, u := range units {
				for _, tail := range tails {
					text := n + u + tail
					q, err := quantity.Parse(text, dim)
					takes := err == nil && (q.Value >= 0 || strings.HasPrefix(def, "signed")) && (q.Tol == 0 || strings.HasSuffix(def, "plus-minus"))
					refused := s.Validate(text)
					if err == nil && q.Value == 0 && strings.HasSuffix(tail, "%") { // a share of nothing is no ± to the reader
						continue
					}
					if strings.HasPrefix(strings.TrimLeft(n, " "), "-") && q.Value == 0 || strings.HasPrefix(n, "−") && q.Value == 0 {
						continue
					}
					if takes != (refused == nil) && !(err != nil && contains(err.Error(), inexpressible)) {
						t.Errorf("%q as %s: the reader says %v, the schema %v", text, def, err, refused)
					}
				}
			}
		}
	}
}

func TestThreadsAndDatesAgree(t *testing.T) {
	threads := []string{"M12x1.75", "M12", "m12 X 1.75", "M12×1.75 LH", "M12-6g", "M12x1.75-6H/6g", "1/2-20 UNF", "1/2-20", "1/2 UNF", "#10-32", "10-32 UNF LH", "1/2-20 UNF-2A", "1 1/8-12 UNF left hand",
		".500-20", "M10*1.5", "M10 1.5", "M", "12", "1/2", "1/2\"-20", "Tr20x4", "M12x1.75 LHX", "", " ", "M12x", "1/2-20 UNQ", "M10 x 1.5 links", "M12x1.75 RH", "7/16-20left", "-4-40"}
	s := definition(t, "thread")
	for _, text := range threads {
		_, err := quantity.ParseThread(text)
		refused := s.Validate(text)
		if (err == nil) != (refused == nil) && !(err != nil && contains(err.Error(), inexpressible)) {
			t.Errorf("%q: the reader says %v, the schema %v", text, err, refused)
		}
	}
	s = definition(t, "date")
	for _, text := range []string{"2026-11-20", " 2026-11-20 ", "2026–11–20", "2024-02-29", "2026-02-30", "2026-04-31", "2026-12-31", "2026-00-10", "2026-13-01", "2026-01-00", "1899-12-31", "1900-01-01", "20.11.2026", "2026-1-2", "2026-11-20T10:00:00Z", ""} {
		_, err := quantity.ParseDate(text)
		assert.Equal(t, err == nil, s.Validate(text) == nil, text)
	}
	assert.NoError(t, s.Validate("2026-02-29"), "leap years are the reader's business")
}

// An editor shows what the table says of a key.
func TestEveryKeyIsExplained(t *testing.T) {
	text := string(jsonschema.Build())
	var walk func(fields []schema.Field)
	walk = func(fields []schema.Field) {
		for _, f := range fields {
			if f.Derived || f.Second {
				continue
			}
			doc, err := json.Marshal(f.Doc)
			require.NoError(t, err)
			if f.Name != "" && f.Doc != "" {
				assert.Contains(t, text, `"`+f.Name+`": {`)
				assert.True(t, strings.Contains(text, string(doc)) || strings.ContainsAny(f.Doc, "<>&"), "%s: %s", f.Name, f.Doc)
			}
			walk(f.Fields)
			if f.Elem != nil {
				walk([]schema.Field{*f.Elem})
			}
		}
	}
	for _, kind := range schema.Kinds() {
		walk(kind.Fields)
	}
	assert.Equal(t, text, string(jsonschema.Build()), "the same bytes every time")
}
