package engine

import (
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
	"setdown/rules/facts"
	"setdown/rules/pack"
)

// ruleText is a rule with the lines that matter to the test.
func ruleText(lines ...string) string {
	rest := "else: stop\nsay: \"it is wrong\"\nfix: mend it\nwhy: because\nbasis: common practice\n"
	text := "id: r\n"
	for _, l := range lines {
		key, _, _ := strings.Cut(l, ":")
		kept := ""
		for r := range strings.Lines(rest) {
			if !strings.HasPrefix(r, key+":") {
				kept += r
			}
		}
		rest = kept
		text += l + "\n"
	}
	return text + rest
}

// loadRules reads packs as they stand embedded: one rule a file, in the pack p.
func loadRules(t testing.TB, rules map[string]string) []*pack.Pack {
	t.Helper()
	policy, err := os.ReadFile("../packs/policy.yaml")
	require.NoError(t, err)
	fsys := fstest.MapFS{
		"policy.yaml":    {Data: policy},
		"p/pack.yaml":    {Data: []byte("pack: p\ntitle: The pack\norder: 1\ncaution: Mind your fingers.\n")},
		"p/unused.yaml":  {Data: []byte(strings.Replace(ruleText("must: \"\""), "id: r\nmust: \"\"", "id: unused\nin: [roll]\nmust: site.found.clear", 1))},
		"p/ignored.text": {},
	}
	for id, text := range rules {
		fsys["p/"+id+".yaml"] = &fstest.MapFile{Data: []byte(text)}
	}
	all, err := pack.LoadFS(fsys, ".")
	require.NoError(t, err)
	return all
}

// newEngine makes an engine with the rule r.
func newEngine(t testing.TB, lines ...string) *Engine {
	t.Helper()
	e, err := New(loadRules(t, map[string]string{"r": ruleText(lines...)}))
	require.NoError(t, err)
	return e
}

// known is what a test knows of an item: values as Go values, or as texts of a
// build file, by dotted path.
type known map[string]string

// item makes an item of a kind with what is known of it.
func item(t testing.TB, kind, path string, k known) *facts.Object {
	t.Helper()
	def := facts.KindOf(kind)
	record := schema.NewRecord(def.Fields, source.Span{})
	derived := map[string]any{}
	for name, text := range k {
		head, rest, nested := strings.Cut(name, ".")
		f := def.Field(head)
		require.NotNil(t, f, name)
		if nested {
			inner, ok := record.Record(head)
			if !ok {
				inner = schema.NewRecord(f.Fields, source.Span{})
				record.Set(head, schema.Value{V: inner})
			}
			g := f.Field(rest)
			require.NotNil(t, g, name)
			inner.Set(rest, schema.Value{V: parse(t, g, text)})
			continue
		}
		if v := parse(t, f, text); f.Derived {
			derived[head] = v
		} else {
			record.Set(head, schema.Value{V: v})
		}
	}
	o := facts.NewObject(def, path, record)
	for name, v := range derived {
		o.Derive(name, facts.Known(v))
	}
	return o
}

func parse(t testing.TB, f *schema.Field, text string) any {
	t.Helper()
	if f.Type == schema.List {
		var list []schema.Value
		for e := range strings.SplitSeq(text, ",") {
			list = append(list, schema.Value{V: parse(t, f.Elem, strings.TrimSpace(e))})
		}
		return list
	}
	v, err := facts.Parse(f, text)
	require.NoError(t, err)
	return v
}

// setOf makes what the rules read in a test, with some items of one kind.
func setOf(t testing.TB, e *Engine, items ...*facts.Object) *facts.Set {
	t.Helper()
	set := &facts.Set{
		Move: item(t, "moves", "moves.down", known{"kind": "lower", "id": "down"}), Step: item(t, "steps", "moves.down.steps.1", known{"on_wheels": "no"}),
		Vehicle: item(t, "vehicle", "vehicle", nil), Site: item(t, "site", "site", nil), Policy: e.Policy(),
		Today: quantity.Date{Year: 2026, Month: 11, Day: 25}, Items: map[string][]*facts.Object{},
	}
	for _, o := range items {
		set.Items[o.Kind] = append(set.Items[o.Kind], o)
	}
	return set
}

func quantityOf(v float64, dim quantity.Dimension) quantity.Quantity { return quantity.Of(v, dim, "") }

// CompileAll compiles every rule, texts and all, and returns what is wrong with
// them as source.Errors.
func (e *Engine) CompileAll() error {
	var errs source.Errors
	for _, p := range e.packs {
		for _, r := range p.Rules {
			errs = append(errs, e.CompileRule(r)...)
		}
	}
	return errs.Err()
}
