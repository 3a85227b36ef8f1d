package jsonschema_test

import (
	"bytes"
	"fmt"
	"math/rand"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	validator "github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"setdown/model"
	"setdown/model/jsonschema"
	"setdown/model/layouts"
	"setdown/model/source"
)

// inexpressible are parts of messages of the reader about what no schema of ours
// can say. Anything else that the reader refuses the schema must refuse too.
var inexpressible = []string{
	// one key in two spellings
	"are two spellings of one key", "nobody is sure of",
	// references and ids
	"there is no ", " has no end ", ", but ", "the id ", "has no place", " names ", "appears twice here", "is listed twice",
	// facts that contradict each other
	"both ends are on the same part", " beside ", "contradict each other", "not started has no tacks", "there should be only",
	"a checklist has no", "only a spring perch can carry by contact", "a frame node fastens no joint", "weighs something", "is not built on its", "cannot be off", "is not rated per pair",
	"castors_at names", "only what rolls", "sizes of two shapes", "nothing presses it on", "that it is pressed on", "draws a taper in",
	"has no bush", "is screwed into no part", "a bush without a bush", "it is said to be ", "it is bolted to ", "it bears on ",
	// the mirror
	"round in a circle", "mirror", "an id cannot begin with",
	// values inside their form
	"cannot be zero", "is larger than the mass", "standard", "from the origin", "has no such day", "has zero as the bottom", "of 1 or more after",
	"is too large; check", "is too small; check", "two ways", "on such a vehicle it is", "is no production vehicle",
	// how a value is spelled in YAML, which is gone once it is read
	"must be a whole number, not", "must be yes or no, not", "cannot be read as YAML", "a second document",
}

// leftToTheOtherSide is what the schema does not ask for in a file with mirror,
// because the other side may have it.
var leftToTheOtherSide = []string{" needs the key ", "must have 2 entries"}

func compile(t testing.TB, text []byte) *validator.Schema {
	t.Helper()
	doc, err := validator.UnmarshalJSON(bytes.NewReader(text))
	require.NoError(t, err)
	c := validator.NewCompiler()
	require.NoError(t, c.AddResource("schema.json", doc))
	s, err := c.Compile("schema.json")
	require.NoError(t, err)
	return s
}

// instance is what an editor sees of a file.
func instance(n *yaml.Node) any {
	switch n.Kind {
	case yaml.AliasNode:
		return instance(n.Alias)
	case yaml.MappingNode:
		m := map[string]any{}
		for i := 0; i+1 < len(n.Content); i += 2 {
			m[n.Content[i].Value] = instance(n.Content[i+1])
		}
		return m
	case yaml.SequenceNode:
		list := []any{}
		for _, e := range n.Content {
			list = append(list, instance(e))
		}
		return list
	}
	var v any
	switch n.ShortTag() {
	case "!!null":
		return nil
	case "!!bool", "!!int", "!!float":
		if n.Decode(&v) == nil {
			return v
		}
	}
	return n.Value
}

func tree(t testing.TB, text []byte) *yaml.Node {
	t.Helper()
	var document yaml.Node
	require.NoError(t, yaml.Unmarshal(text, &document))
	return document.Content[0]
}

// agree holds the schema against the reader on one text.
func agree(t testing.TB, s *validator.Schema, text []byte, what string) {
	t.Helper()
	var document yaml.Node
	if yaml.Unmarshal(text, &document) != nil || len(document.Content) == 0 {
		return // no editor gets as far as the schema
	}
	refused := s.Validate(instance(document.Content[0]))
	_, err := model.Read("test.yaml", text, model.Companions{})
	if err == nil {
		assert.NoError(t, refused, "%s: the reader takes this, the schema must too\n", what)
		return
	}
	if refused != nil {
		return
	}
	var errs source.Errors
	require.ErrorAs(t, err, &errs)
	mirrors := bytes.Contains(text, []byte("\nmirror:"))
	for _, e := range errs {
		if !contains(e.Message, inexpressible) && !(mirrors && contains(e.Message, leftToTheOtherSide)) {
			t.Errorf("%s: the schema takes what the reader refuses: %v", what, e)
		}
	}
}

func contains(text string, parts []string) bool {
	for _, p := range parts {
		if strings.Contains(text, p) {
			return true
		}
	}
	return false
}

func files(t testing.TB, patterns ...string) map[string][]byte {
	t.Helper()
	all := map[string][]byte{}
	for _, p := range patterns {
		names, err := filepath.Glob("../../" + p)
		require.NoError(t, err)
		for _, name := range names {
			if strings.HasSuffix(name, ".expect.yaml") {
				continue
			}
			text, err := os.ReadFile(name)
			require.NoError(t, err)
			all[filepath.Base(name)] = text
		}
	}
	require.NotEmpty(t, all)
	return all
}

func TestBuildsFollowTheSchema(t *testing.T) {
	s := compile(t, jsonschema.Build())
	for name, text := range files(t, "testdata/builds/*.yaml", "cmd/setdown/internal/app/starter*.yaml") {
		_, err := model.Read(name, text, model.Companions{})
		require.NoError(t, err)
		assert.NoError(t, s.Validate(instance(tree(t, text))), name)
	}
}

// What the reader takes of the second format, the schema takes.
func TestSecondFormatFollowsTheSchema(t *testing.T) {
	s := compile(t, jsonschema.Build())
	all := files(t, "testdata/short/*-mended.yaml")
	car, _ := layouts.Write(layouts.All()[0], layouts.All()[1], "points.csv")
	all["car.yaml"] = car
	all["words.yaml"] = []byte(`format: setdown/2
vehicle: {found: {fuel: None, hot_work: n, day: 2026-11-20 17:05, by: TN}}
people: [TN, EA]
parts: {a: {mass: 3 kg}, b: {like: a, mass: null}}
joints: {j: {kind: heim joint, between: [a, b]}}
stud_nuts: {n: {needed: 2, lock: cotter pin, found: {fitted: Ok}}}
orders: {o: {what: castle nuts, ordered: 2, expected: 2026-12-01}}
listed: {front: {stud nuts: 2}}
looks: [{day: 2026-11-20, by: TN, of: [n], good: yes}]
`)
	for name, text := range all {
		_, err := model.Read(name, text, model.Companions{Table: func(string) ([]byte, error) { return []byte("point,x,y,z\n"), nil }})
		require.NoError(t, err, name)
		assert.NoError(t, s.Validate(instance(tree(t, text))), name)
	}
	for _, text := range []string{"format: setdown/2\nweld: {}\n", "format: setdown/2\nwelds: {a: {mode: x}}\n", "format: setdown/2\nwelds: {a: {found: {inspected: perhaps}}}\n", "format: setdown/1\nwelds: {a: {like: b}}\n", "format: setdown/3\n"} {
		assert.Error(t, s.Validate(instance(tree(t, []byte(text)))), text)
	}
}

func TestBrokenFiles(t *testing.T) {
	s := compile(t, jsonschema.Build())
	for name, text := range files(t, "testdata/broken/*.yaml") {
		_, err := model.Read(name, text, model.Companions{})
		require.Error(t, err)
		agree(t, s, text, name)
	}
	for _, name := range []string{"below-zero", "bare-number", "no-format", "no-steps", "unknown-heading", "unknown-key", "wrong-dimension", "wrong-word"} {
		text, err := os.ReadFile("../../testdata/broken/" + name + ".yaml")
		require.NoError(t, err)
		assert.Error(t, s.Validate(instance(tree(t, text))), "the schema must see what is wrong in %s", name)
	}
}

// wrong are values put in the place of others.
var wrong = []string{
	"", "~", "\"?\"", "not sure", "yes", "no", "true", "maybe", "none", "0", "3", "-3", "2.5", "1e9", "12 mm", "-12 mm", "5/32 in", "70 ft·lbf", "60 Nm", "4 kg ± 5 %", "5 %", "2 deg",
	"-2 deg", "14 days", "2 t", "20 kN", "M10x1.5", "1/2-20 UNF LH", "M10x9", "2026-11-20", "2026-13-20", "2026-02-30", "4 mm S355 plate", "[]", "[1, 2, 3]", "[0, 0, 0]", "[1, 2]", "[1 m, 2 in, 3 ± 1]",
	"{}", "{a: 1}", "[a, b]", "[a, a]", "{top: {on: chassis}}", "\"\"", "right", "[right, left]", "[22 mm, 20 mm]", "x/y", "x y",
}

func TestMutationsAgree(t *testing.T) {
	s := compile(t, jsonschema.Build())
	rounds := 10
	for name, text := range files(t, "testdata/builds/*.yaml") {
		random := rand.New(rand.NewSource(1))
		n := rounds
		if len(text) < 10_000 {
			n *= 8
		}
		for i := range n {
			root := tree(t, text)
			what := name + " " + strconv.Itoa(i) + ": " + mutate(t, random, root)
			changed, err := yaml.Marshal(root)
			require.NoError(t, err)
			agree(t, s, changed, what)
			if t.Failed() {
				t.FailNow()
			}
		}
	}
}

// mutate changes one thing anywhere in the tree and says what.
func mutate(t testing.TB, random *rand.Rand, root *yaml.Node) string {
	var nodes []*yaml.Node
	var walk func(*yaml.Node)
	walk = func(n *yaml.Node) {
		if len(n.Content) > 0 && n.Kind != yaml.AliasNode {
			nodes = append(nodes, n)
		}
		for _, e := range n.Content {
			walk(e)
		}
	}
	walk(root)
	n := nodes[random.Intn(len(nodes))]
	step := 1
	if n.Kind == yaml.MappingNode {
		step = 2
	}
	i := random.Intn(len(n.Content)/step) * step
	last := i + step - 1
	was := fmt.Sprintf("line %d, %s", n.Content[i].Line, n.Content[i].Value)
	switch random.Intn(6) {
	case 0:
		n.Content = append(n.Content[:i:i], n.Content[i+step:]...)
		return was + " taken out"
	case 1:
		if step == 2 {
			n.Content[i].Value += "x"
			return was + " renamed"
		}
		n.Content = append(n.Content, n.Content[i])
		return was + " doubled"
	case 2:
		old := *n.Content[last]
		n.Content[last] = &yaml.Node{Kind: yaml.SequenceNode, Content: []*yaml.Node{&old}}
		return was + " put in a list"
	}
	value := wrong[random.Intn(len(wrong))]
	var document yaml.Node
	require.NoError(t, yaml.Unmarshal([]byte("v: "+value), &document))
	n.Content[last] = document.Content[0].Content[1]
	return was + " set to " + value
}

// Every key of the table, given every value: the reader and the schema read the
// same forms.
func TestEveryKeyAgrees(t *testing.T) {
	s := compile(t, jsonschema.Build())
	for _, text := range everyKey(wrong) {
		agree(t, s, []byte(text), text)
	}
}
