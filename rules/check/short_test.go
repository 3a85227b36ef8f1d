package check_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"setdown/model"
	"setdown/model/layouts"
	"setdown/model/looks"
	"setdown/rules/verdict"
)

// A short file says the same as its long form: the same verdicts, findings and
// figures, but for where they stand in the file.
func TestShortFilesSayTheSame(t *testing.T) {
	files, err := filepath.Glob("../../testdata/short/*.looks.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	e := rules(t)
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".looks.yaml")
		t.Run(name, func(t *testing.T) {
			build := strings.Replace(file, ".looks.yaml", ".yaml", 1)
			if flag.Lookup("update").Value.String() == "true" {
				stamp(t, build, file)
			}
			short, err := model.Load(build)
			require.NoError(t, err)
			require.NoError(t, short.CheckLog(looks.Moment{Day: today}))
			got, want := judge(t, e, short), judge(t, e, load(t, name))
			for i, move := range want.Moves {
				assert.Equal(t, move.Decision, got.Moves[i].Decision, move.ID)
				assert.ElementsMatch(t, gist(move), gist(got.Moves[i]), move.ID)
				figures(t, move, got.Moves[i])
			}
		})
	}
}

var saidGood = regexp.MustCompile(`of: \[([^\]]*)\], good: yes(?:, card: 1, fp: \{[^}]*\})?`)

// stamp writes into the log of a short file the fingerprints of its designs, as
// the program does that asks the questions.
func stamp(t *testing.T, build, log string) {
	t.Helper()
	b, err := model.Load(build)
	require.NoError(t, err)
	text, err := os.ReadFile(log)
	require.NoError(t, err)
	text = saidGood.ReplaceAllFunc(text, func(look []byte) []byte {
		ids := string(saidGood.FindSubmatch(look)[1])
		var prints []string
		for _, id := range strings.Split(ids, ", ") {
			if thing := b.Things[id]; thing != nil && thing.Print() != "" {
				prints = append(prints, id+": "+thing.Print())
			}
		}
		if prints == nil {
			return look
		}
		return fmt.Appendf(nil, "of: [%s], good: yes, card: 1, fp: {%s}", ids, strings.Join(prints, ", "))
	})
	require.NoError(t, os.WriteFile(log, text, 0o644))
}

// A move has no fingerprint: a look that says 'good' of it says nothing of the people, who
// may be too few for what the file asks today.
func TestPeopleAreNamed(t *testing.T) {
	n := &net{engine: rules(t)}
	d := short(t, shorts[1])
	named := slices.IndexFunc(d, func(l line) bool { return l.kind == "looks" && l.path == "found.people" })
	more := d.with(d.find("moves", "onto-stands", "people_needed"), "3")
	for want, d := range map[string]document{"GO": d, "NO-GO": more, "NO-GO ": more.without(named), " NO-GO": d.without(named)} {
		assert.Equal(t, strings.TrimSpace(want), string(n.judge(d, "onto-stands").Decision))
	}
}

// How much a builder types: the values of the design, each list as one, the points, and what
// is said in looks; not what 'new' writes. The aims are 900 for the four corners and 60 for the
// checklist, of which no looks count.
func TestShortFilesAreShort(t *testing.T) {
	layout, err := layouts.Find("double wishbone")
	require.NoError(t, err)
	long, _ := layouts.Write(layout, layout, "points.csv")
	points, err := os.ReadFile("../../testdata/short/points.csv")
	require.NoError(t, err)
	log, err := os.ReadFile("../../testdata/short/special-mended.looks.yaml")
	require.NoError(t, err)
	seen := strings.Count(string(points), "\n") - 1
	for line := range strings.Lines(string(log)) {
		_, found, _ := strings.Cut(line, "found: {")
		seen += strings.Count(found, ": ") + strings.Count(line, "good: yes")
	}
	corners := typed(t, "special-mended", long) + seen
	checklist := typed(t, "checklist-mended", layouts.WriteShort(layout, layout))
	t.Logf("four corners: %d typed; checklist: %d", corners, checklist)
	assert.LessOrEqual(t, corners, 640)
	assert.LessOrEqual(t, checklist, 60)
	for _, demo := range []string{"special-mended", "special-asfound", "buggy-mended", "buggy-asfound", "liveaxle-mended", "liveaxle-asfound"} {
		short := len(leaves(t, "../../testdata/short/"+demo+".yaml"))
		assert.Greater(t, len(leaves(t, "../../testdata/builds/"+demo+".yaml")), 3*short, "%s: said once", demo)
	}
}

// typed counts the values of a short file of which 'new' writes no such field.
func typed(t *testing.T, name string, fresh []byte) int {
	t.Helper()
	field := func(path []string) string {
		switch {
		case len(path) < 3:
			return strings.Join(path, ".")
		case path[0] == "listed":
			return "listed " + path[len(path)-1]
		}
		return path[0] + " " + path[len(path)-1]
	}
	written := map[string]bool{}
	for _, leaf := range leavesOf(t, fresh) {
		if leaf.value != "?" {
			written[field(leaf.path)] = true
		}
	}
	n := 0
	for _, leaf := range leaves(t, "../../testdata/short/"+name+".yaml") {
		if !written[field(leaf.path)] {
			n++
		}
	}
	return n
}

type leaf struct {
	path  []string
	value string
}

func leaves(t *testing.T, file string) []leaf {
	t.Helper()
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	return leavesOf(t, text)
}

// leavesOf lists the values of a file; a list of words or numbers is one.
func leavesOf(t *testing.T, text []byte) []leaf {
	t.Helper()
	var root yaml.Node
	require.NoError(t, yaml.Unmarshal(text, &root))
	var list []leaf
	var walk func(n *yaml.Node, path []string)
	walk = func(n *yaml.Node, path []string) {
		scalars := func(n *yaml.Node) bool { return n.Kind == yaml.ScalarNode }
		switch {
		case n.Kind == yaml.ScalarNode || n.Kind == yaml.SequenceNode && !slices.ContainsFunc(n.Content, func(e *yaml.Node) bool { return !scalars(e) }):
			list = append(list, leaf{slices.Clone(path), n.Value})
		case n.Kind == yaml.MappingNode:
			for i := 0; i+1 < len(n.Content); i += 2 {
				walk(n.Content[i+1], append(path, n.Content[i].Value))
			}
		default:
			for _, e := range n.Content {
				walk(e, path)
			}
		}
	}
	walk(&root, nil)
	return list
}

// gist is what the findings of a move say.
func gist(move verdict.Move) []string {
	var list []string
	for _, f := range move.Findings {
		list = append(list, fmt.Sprint(f.Rule, " ", f.Item, " ", f.Outcome, " ", f.Blocking, " ", f.Steps, " ", f.Missing))
	}
	return list
}

// figures compares every load and strength.
func figures(t *testing.T, want, got verdict.Move) {
	t.Helper()
	const rounding = 1e-6
	compared := 0
	for i, step := range want.Steps {
		values := map[string]float64{}
		for _, load := range got.Steps[i].Loads {
			values[load.Item] = load.Worst.Value
		}
		for _, s := range got.Steps[i].Strengths {
			values[s.Item+" "+s.Check] = s.Utilisation
		}
		for _, load := range step.Loads {
			assert.InDelta(t, load.Worst.Value, values[load.Item], rounding*(1+load.Worst.Value), "%s %s %s", want.ID, step.Name, load.Item)
			compared++
		}
		for _, s := range step.Strengths {
			assert.InDelta(t, s.Utilisation, values[s.Item+" "+s.Check], rounding*(1+s.Utilisation), "%s %s %s %s", want.ID, step.Name, s.Item, s.Check)
			compared++
		}
	}
	require.True(t, compared > 0 || len(want.Steps[0].Loads) == 0)
}
