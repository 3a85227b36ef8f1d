package pack

import (
	"flag"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/source"
)

var update = flag.Bool("update", false, "write the expected files anew")

const samples = "../../testdata/packs"

func TestLoadFile(t *testing.T) {
	t.Chdir(samples)
	p, err := LoadFile("good.yaml")
	require.NoError(t, err)
	assert.Equal(t, "our-shop", p.Name)
	assert.Equal(t, "Our shop", p.Title)
	assert.Equal(t, "Our floor is old.", p.Caution)
	assert.True(t, p.Own)
	assert.Equal(t, "4", p.Policy["design_factor"].Text)
	assert.Equal(t, "good.yaml:5:25", p.Policy["design_factor"].Span.String())
	require.Len(t, p.Disable, 1)
	assert.Equal(t, Disable{ID: "stage-note", By: "A. Person", Reason: "our hoist moves in small steps by itself", Span: p.Disable[0].Span}, p.Disable[0])
	require.Len(t, p.Rules, 2)
	r := p.Rules[0]
	words, errs := r.Words()
	require.Empty(t, errs)
	assert.Equal(t, "nut-marked", r.ID)
	assert.Equal(t, "our-shop", r.Pack)
	assert.True(t, r.Own)
	assert.Equal(t, []string{"stud_nuts", "fasteners"}, r.Each)
	assert.Equal(t, "nut", r.Var)
	assert.Equal(t, []string{"lower", "lift"}, r.In)
	assert.Equal(t, "nut.carrying", r.When.Text)
	assert.Equal(t, "nut.found.marked\n\n&& !nut.disturbed", r.Must.Text)
	assert.Equal(t, "caution", r.Else)
	assert.Equal(t, []string{"common practice", "our own"}, words.Basis)
	assert.True(t, r.Waivable)
	assert.False(t, r.Root)
	assert.Equal(t, "0.1.0", r.Since)
	assert.Equal(t, "A line of paint shows in a second what a wrench shows in a minute.", words.Why)
	assert.Equal(t, "good.yaml:10:11", r.At("each").String())
	assert.Equal(t, r.Span, r.At("nothing"))
	assert.Equal(t, "mark", words.Work.Phase)
	assert.Equal(t, "found.marked", words.Work.Sets[0].Path)
	assert.True(t, words.Work.Sets[0].Value.Plain())
	require.Len(t, r.Examples, 2)
	assert.Equal(t, []string{"nut.found.marked"}, r.Examples[1].Missing)
	assert.Equal(t, "stud_nuts", r.Examples[1].Of)
	assert.Equal(t, "true", r.Examples[0].Given.Find("found").Find("marked").Text)
	assert.Nil(t, r.Examples[0].With)
	assert.Nil(t, r.Examples[0].With.Find("step"), "what is not there holds nothing")
}

func TestPlacesInExpressionsAndTemplates(t *testing.T) {
	t.Chdir(samples)
	p, err := LoadFile("good.yaml")
	require.NoError(t, err)
	r := p.Rules[0]
	words, _ := r.Words()
	at := func(e *Expr, part string) string {
		i := strings.Index(e.Text, part)
		require.GreaterOrEqual(t, i, 0)
		return e.At(len([]rune(e.Text[:i]))).String()
	}
	assert.Equal(t, "good.yaml:12:15", at(&r.When, "carrying"))
	assert.Equal(t, "good.yaml:14:7", at(&r.Must, "nut"))
	assert.Equal(t, "good.yaml:16:10", at(&r.Must, "!nut"))
	assert.Equal(t, r.Must.Span, r.Must.At(-1))
	assert.Equal(t, r.Must.Span, r.Must.At(1000))
	require.Len(t, words.Say.Parts, 3)
	assert.Equal(t, ": no {paint} on it, torqued ", words.Say.Parts[1].Text)
	assert.Equal(t, "good.yaml:18:60", at(words.Say.Parts[2].Expr, "torqued"))
	assert.Equal(t, `nut.carries == "part" ? "a part" : "the vehicle"`, words.Fix.Parts[1].Expr.Text)
	assert.Equal(t, "good.yaml:19:27", at(words.Fix.Parts[1].Expr, "nut"))
	assert.Equal(t, "{nut.id}: no {{paint}} on it, torqued {nut.found.torqued}", words.Say.String())
	assert.Equal(t, "good.yaml:25:69", words.Work.Count.Span.String())
}

// TestBadFiles compares the mistakes of every bad sample with what stands
// beside it.
func TestBadFiles(t *testing.T) {
	t.Chdir(samples)
	files, err := filepath.Glob("*.bad.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		t.Run(file, func(t *testing.T) {
			_, err := LoadFile(file)
			require.Error(t, err)
			var errs source.Errors
			require.ErrorAs(t, err, &errs)
			for _, e := range errs {
				assert.Equal(t, file, e.Span.File)
				assert.NotZero(t, e.Span.Start.Line)
			}
			golden := strings.TrimSuffix(file, ".yaml") + ".want"
			if *update {
				require.NoError(t, os.WriteFile(golden, []byte(err.Error()+"\n"), 0o644))
			}
			want, readErr := os.ReadFile(golden)
			require.NoError(t, readErr)
			assert.Equal(t, string(want), err.Error()+"\n")
		})
	}
}

func TestFilesThatAreTooLargeOrAbsent(t *testing.T) {
	t.Chdir(t.TempDir())
	_, err := LoadFile("none.yaml")
	require.EqualError(t, err, "none.yaml: there is no such file")
	require.NoError(t, os.WriteFile("big.yaml", []byte("title: "+strings.Repeat("x", maxBytes)), 0o600))
	_, err = LoadFile("big.yaml")
	require.ErrorContains(t, err, "over 1 MiB")
	rule := "  - {id: r, must: site.found.clear, else: stop, say: s, fix: f, why: w, basis: b}\n"
	require.NoError(t, os.WriteFile("many.yaml", []byte("rules:\n"+strings.Repeat(rule, maxRules+1)), 0o600))
	_, err = LoadFile("many.yaml")
	require.ErrorContains(t, err, "more than 2000 rules")
	require.NoError(t, os.WriteFile("deep.yaml", []byte(strings.Repeat("[", 30)+strings.Repeat("]", 30)), 0o600))
	_, err = LoadFile("deep.yaml")
	require.ErrorContains(t, err, "20 deep")
}

const goodRule = "must: site.found.clear\nelse: hold\nsay: s\nfix: f\nwhy: w\nbasis: b\n"

func TestLoadFS(t *testing.T) {
	file := func(text string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(text)} }
	packs, err := LoadFS(fstest.MapFS{
		"x/b/pack.yaml": file("pack: b\ntitle: B\norder: 2\n"), "x/b/z.yaml": file("id: z\n" + goodRule), "x/b/y.yaml": file("id: y\n" + goodRule),
		"x/a/pack.yaml": file("pack: a\ntitle: A\norder: 10\n"), "x/a/w.yaml": file("id: w\n" + goodRule), "x/a/README.md": file("#"),
		"x/policy.yaml": file("policy: {stage: 1 m}\n"),
	}, "x")
	require.NoError(t, err)
	var got []string
	for _, p := range packs {
		assert.False(t, p.Own)
		for _, r := range p.Rules {
			got = append(got, p.Name+"/"+r.ID+" "+r.Span.String())
		}
	}
	assert.Equal(t, []string{"b/y x/b/y.yaml:1:1", "b/z x/b/z.yaml:1:1", "a/w x/a/w.yaml:1:1"}, got)
	assert.Equal(t, "1 m", packs[0].Policy["stage"].Text)

	for name, c := range map[string]struct {
		fsys fstest.MapFS
		want string
	}{
		"a rule in the file of another": {fstest.MapFS{"a/pack.yaml": file("pack: a\n"), "a/x.yaml": file("id: y\n" + goodRule)}, `a/x.yaml:1:5: the rule "y" stands in the file of "x" (give the file the name y.yaml)`},
		"the same id in two packs": {fstest.MapFS{"a/pack.yaml": file("pack: a\n"), "a/x.yaml": file("id: x\n" + goodRule), "b/pack.yaml": file("pack: b\n"), "b/x.yaml": file("id: x\n" + goodRule)},
			`b/x.yaml:1:5: a second rule is called "x" (give one of them another id)`},
		"no description":           {fstest.MapFS{"a/x.yaml": file("id: x\n" + goodRule)}, `a: the pack has no pack.yaml`},
		"no rules":                 {fstest.MapFS{"a/pack.yaml": file("pack: a\n")}, `a: the pack holds no rules`},
		"no packs":                 {fstest.MapFS{"readme": file("")}, `no rule packs here`},
		"a folder of another name": {fstest.MapFS{"a/pack.yaml": file("pack: b\n"), "a/x.yaml": file("id: x\n" + goodRule)}, `the pack "b" stands in the folder "a"`},
		"rules in a description":   {fstest.MapFS{"a/pack.yaml": file("pack: a\nrules: []\n"), "a/x.yaml": file("id: x\n" + goodRule)}, `a/pack.yaml:2:1: "rules" is no key of this file`},
		"mistakes of two files":    {fstest.MapFS{"a/pack.yaml": file("pack: a\n"), "a/x.yaml": file("id: x\nelses: 1\n" + goodRule), "a/y.yaml": file("id: y\nsays: 1\n" + goodRule)}, "a/x.yaml:2:1: \"elses\" is no key of a rule (did you mean \"else\"?)\na/y.yaml:2:1: \"says\" is no key of a rule (did you mean \"say\"?)"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := LoadFS(c.fsys, ".")
			assert.ErrorContains(t, err, c.want)
		})
	}
	_, err = LoadFS(fstest.MapFS{}, "none")
	require.Error(t, err)
}

// FuzzLoad holds the reader to plain errors: no text of a file may bring it
// down, every mistake has a place, and what it accepts has all its parts.
func FuzzLoad(f *testing.F) {
	files, err := filepath.Glob(samples + "/*.yaml")
	require.NoError(f, err)
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(f, err)
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		p, err := loadOwn("x.yaml", text)
		if err != nil {
			var errs source.Errors
			require.ErrorAs(t, err, &errs)
			for _, e := range errs {
				require.Equal(t, "x.yaml", e.Span.File)
				require.NotEmpty(t, e.Message)
			}
			return
		}
		for _, r := range p.Rules {
			require.NotEmpty(t, r.ID)
			require.False(t, r.Must.Empty())
			require.Equal(t, len([]rune(r.Must.Text))+1, r.Must.Places.Size)
			for i := range r.Must.Places.Size {
				require.NotZero(t, r.Must.At(i).Start.Column)
			}
		}
	})
}

// TestLoadRules loads the same rules without their examples, their words when they
// are asked for, and nothing else less.
func TestLoadRules(t *testing.T) {
	fsys := fstest.MapFS{
		"p/pack.yaml": {Data: []byte("pack: p\ntitle: P\norder: 1\n")},
		"p/a.yaml":    {Data: []byte("id: a\nmust: true\nelse: note\nsay: s\nfix: f\nwhy: w\nbasis: b\nexamples:\n  - {why: x, expect: pass}\n")},
		"p/b.yaml":    {Data: []byte("# as it comes\nid: b\nbasis: b\nexamples:\n  - {why: x, expect: pass}\nsay: \"{s}\"\nmust: |\n  true\nfix: f\n\nwhy: |\n  it: is\n\n  so\nelse: note\nwork: {phase: fit}")},
		"p/d.yaml":    {Data: []byte("must: true\nid: d\nelse: note\nsay: s\nfix: f\nwhy: w\nbasis: b\n")},
		"p/c.yaml":    {Data: []byte("id: c\n\"must\": true\nelse: note\nsay: s\nfix: f\nwhy: w\nbasis: b\n")},
	}
	with, err := LoadFS(fsys, ".")
	require.NoError(t, err)
	without, err := LoadRules(fsys, ".")
	require.NoError(t, err)
	require.Len(t, with[0].Rules[1].Examples, 1)
	for i, r := range without[0].Rules {
		same(t, with[0].Rules[i], r)
	}
}

// same holds a rule that was read in parts to the rule read as a whole.
func same(t *testing.T, whole, parts *Rule) {
	t.Helper()
	require.Empty(t, parts.Examples)
	want, _ := whole.Words()
	got, errs := parts.Words()
	require.Empty(t, errs)
	require.Equal(t, want, got)
	a, b := *whole, *parts
	for _, r := range []*Rule{&a, &b} {
		r.Examples, r.words, r.Spans = nil, nil, maps.Clone(r.Spans)
		maps.DeleteFunc(r.Spans, func(key string, _ source.Span) bool { return !slices.Contains(judgeKeys, key) })
	}
	require.Equal(t, a, b)
}

// TestWordsThatCannotBeRead puts off the mistakes in the words with the words.
func TestWordsThatCannotBeRead(t *testing.T) {
	for name, text := range map[string]string{
		"p/r.yaml:4:8: this brace is not closed": "id: r\nmust: true\nelse: note\nsay: s {\nfix: f\nwhy: w\nbasis: b\n",
		`p/r.yaml:4:1: the rule has no "why"`:    "id: r\nmust: true\nelse: note\nsay: s\nfix: f\nbasis: b\n",
		"a bracket [ that opens here":            "id: r\nmust: true\nelse: note\nsay: [\nfix: f\n",
		"the file is empty":                      "id: r\nmust: true\nelse: note\n",
	} {
		fsys := fstest.MapFS{"p/pack.yaml": {Data: []byte("pack: p\ntitle: P\n")}, "p/r.yaml": {Data: []byte(text)}}
		packs, err := LoadRules(fsys, ".")
		require.NoError(t, err)
		words, errs := packs[0].Rules[0].Words()
		require.NotNil(t, words)
		require.ErrorContains(t, errs.Err(), name)
		_, err = LoadFS(fsys, ".")
		require.Error(t, err)
	}
}
