package engine

import (
	"math/rand/v2"
	"testing"

	"github.com/google/cel-go/cel"
	"github.com/google/cel-go/common/types"
	"github.com/google/cel-go/common/types/ref"
	"github.com/stretchr/testify/require"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
	"setdown/rules/facts"
	"setdown/rules/pack"
	"setdown/rules/packs"
)

// TestConditionsAnswerAsTheLanguageDoes evaluates every condition of the built-in
// rules on random states, known, unknown and failing, and once more by the
// interpreter as it comes, without our slots. Both must say the same, and for what is
// unknown wait for the same facts.
func TestConditionsAnswerAsTheLanguageDoes(t *testing.T) {
	all, err := pack.LoadRules(packs.FS, ".")
	require.NoError(t, err)
	e, err := New(all)
	require.NoError(t, err)
	require.NoError(t, e.CompileAll())
	rnd := rand.New(rand.NewPCG(3, 5))
	outcomes := map[string]int{}
	for _, p := range all {
		for _, r := range p.Rules {
			for _, kind := range kindsOf(r) {
				u := e.unit(r, kind)
				programs, errs := u.conditions()
				require.Empty(t, errs)
				for _, program := range programs {
					whole := alone(t, e, u.scope, program)
					for range 40 {
						roots := randomRoots(rnd, e, u)
						here, there := run(program.plain, roots), run(whole, roots)
						require.Equal(t, said(roots, there), said(roots, here), "%s: %s", r.ID, program.src.Text)
						outcomes[here.Type().TypeName()]++
					}
				}
			}
		}
	}
	t.Log(outcomes)
	for _, kind := range []string{"bool", "unknown", "error"} {
		require.Greater(t, outcomes[kind], 20, "too few answers of this kind")
	}
}

// TestRandomConditionsAnswerAsTheLanguageDoes does the same with conditions written at
// random out of everything that rules use.
func TestRandomConditionsAnswerAsTheLanguageDoes(t *testing.T) {
	e := newEngine(t, "must: site.found.clear")
	rnd := rand.New(rand.NewPCG(13, 17))
	outcomes := map[string]int{}
	for range 450 {
		must := pack.Expr{Text: randomRule(rnd, 1+rnd.IntN(3)), Span: source.Span{File: "x", Start: source.Pos{Line: 1, Column: 1}}}
		u := newUnit(e.lang, &pack.Rule{ID: "random", Each: []string{"stud_nuts"}, Var: "nut", Must: must, Else: "stop"}, "stud_nuts")
		p, errs := u.must.ready()
		require.Empty(t, errs, must.Text)
		whole := alone(t, e, u.scope, p)
		for range 100 {
			roots := randomRoots(rnd, e, u)
			here, there := run(p.plain, roots), run(whole, roots)
			require.Equal(t, said(roots, there), said(roots, here), must.Text)
			outcomes[here.Type().TypeName()]++
		}
	}
	t.Log(outcomes)
	for _, kind := range []string{"bool", "unknown", "error"} {
		require.Greater(t, outcomes[kind], 1_000, "too few answers of this kind")
	}
}

// alone evaluates an expression by the interpreter as it comes.
func alone(t *testing.T, e *Engine, s scope, p *program) cel.Program {
	t.Helper()
	env, err := e.lang.envs[s]()
	require.NoError(t, err)
	whole, err := env.PlanProgram(p.tree, cel.EvalOptions(cel.OptOptimize))
	require.NoError(t, err)
	return whole
}

// said is what an answer says, in a form that can be compared.
func said(r *roots, v ref.Val) any {
	switch v := v.(type) {
	case *types.Unknown:
		return r.missing(v)
	case *types.Err:
		return v.Error()
	}
	return v
}

func randomRoots(rnd *rand.Rand, e *Engine, u *unit) *roots {
	set := &facts.Set{
		Move: randomObject(rnd, "moves"), Step: randomObject(rnd, "steps"), Vehicle: randomObject(rnd, "vehicle"), Site: randomObject(rnd, "site"),
		Policy: e.Policy(), Today: quantity.Date{Year: 2026, Month: 11, Day: 25}, Items: map[string][]*facts.Object{},
	}
	if u.scope.kind != "" {
		set.Items[u.scope.kind] = []*facts.Object{randomObject(rnd, u.scope.kind)}
	}
	return e.rootsFor(u.rule, u.scope.kind, set)
}

func randomObject(rnd *rand.Rand, kind string) *facts.Object {
	def := facts.KindOf(kind)
	o := facts.NewObject(def, kind+".x", randomRecord(rnd, def.Fields))
	for i := range def.Fields {
		f := &def.Fields[i]
		if v := randomValue(rnd, f); f.Derived && v != nil {
			o.Derive(f.Name, facts.Known(v))
		} else if f.Derived && rnd.IntN(2) == 0 {
			o.Derive(f.Name, facts.NotComputed("nobody knows"))
		}
	}
	return o
}

func randomRecord(rnd *rand.Rand, fields []schema.Field) *schema.Record {
	record := schema.NewRecord(fields, source.Span{})
	for i := range fields {
		if v := randomValue(rnd, &fields[i]); v != nil && !fields[i].Derived {
			record.Set(fields[i].Name, schema.Value{V: v})
		}
	}
	return record
}

// randomValue is nil for one fact in four, and now and then what the field cannot hold.
func randomValue(rnd *rand.Rand, f *schema.Field) any {
	switch n := rnd.IntN(40); {
	case n < 10:
		return nil
	case n == 10 && f.Type != schema.Object && f.Type != schema.List:
		return struct{}{}
	}
	switch f.Type {
	case schema.Bool:
		return rnd.IntN(2) == 0
	case schema.Count:
		return rnd.Int64N(4)
	case schema.Text, schema.Ref:
		return "x"
	case schema.Enum:
		return f.Enum[rnd.IntN(len(f.Enum))]
	case schema.Quantity:
		return quantity.Of(float64(rnd.IntN(4))/2, f.Dim, "")
	case schema.Date:
		return quantity.Date{Year: 2026, Month: 11, Day: 20 + rnd.IntN(10)}
	case schema.Thread:
		thread, _ := quantity.ParseThread([]string{"M10x1.5", "1/2-20 UNF LH"}[rnd.IntN(2)])
		return thread
	case schema.Object:
		return randomRecord(rnd, f.Fields)
	}
	return nil
}
