package derive

import (
	"encoding/json"
	"flag"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
	"setdown/model/statics"
	"setdown/rules/facts"
)

var update = flag.Bool("update", false, "rewrite demo-inputs.json")

const published = "../../testdata/published/statics"

// Inputs as reference.py reads them: places in mm.
type (
	refBody struct {
		Name  string     `json:"name"`
		Mass  float64    `json:"mass"`
		Tol   float64    `json:"tol"`
		CG    [3]float64 `json:"cg"`
		CGTol [3]float64 `json:"cgtol"`
	}
	refJoint struct {
		Name string     `json:"name"`
		Kind string     `json:"kind"`
		A    string     `json:"a"`
		B    string     `json:"b"`
		At   [3]float64 `json:"at"`
		Axis [3]float64 `json:"axis"`
	}
	refLink struct {
		Name string     `json:"name"`
		A    string     `json:"a"`
		B    string     `json:"b"`
		PA   [3]float64 `json:"pa"`
		PB   [3]float64 `json:"pb"`
	}
	refSupport struct {
		Name string     `json:"name"`
		Body string     `json:"body"`
		At   [3]float64 `json:"at"`
	}
	refVehicle struct {
		Name     string       `json:"name"`
		About    string       `json:"about"`
		Push     float64      `json:"push"`
		Bodies   []refBody    `json:"bodies"`
		Joints   []refJoint   `json:"joints"`
		Links    []refLink    `json:"links"`
		Supports []refSupport `json:"supports"`
	}
)

func inMM(v *schema.Vec) [3]float64 {
	round := func(m float64) float64 { return math.Round(m*1e9) / 1e6 }
	return [3]float64{round(v.X), round(v.Y), round(v.Z)}
}

// TestDemoAgainstReference compares the reactions and the forces of links and ball
// joints of the double-wishbone demo on its uprights with testdata/published/
// statics/demo-answers.json, which reference.py made with numpy and scipy from
// demo-inputs.json in a formulation of its own. Agreement: 1e-6 of the weight.
// Joints whose force self-stress leaves open are compared by what does not depend
// on it: the links and the ball joints of the uprights.
func TestDemoAgainstReference(t *testing.T) {
	b, err := model.Load("../../testdata/builds/special-mended.yaml")
	require.NoError(t, err)
	policy := schema.NewRecord(facts.Policy.Fields, source.Span{})
	for _, f := range facts.Policy.Fields {
		policy.Set(f.Name, schema.Value{V: quantity.Quantity{Dim: f.Dim, Value: 0.05}})
	}
	d := New(b, facts.NewObject(facts.Policy, "policy", policy), quantity.Date{Year: 2026, Month: 11, Day: 25})
	list, _ := b.Item("onto-hub-stands").List("steps")
	step := list[len(list)-1].V.(*schema.Record)
	set := d.setting(step)
	require.Empty(t, set.ties)
	a := d.assemble(set)
	st := d.stand(a, step.Texts("supports"), statics.Attitude{Push: 0.05})
	require.True(t, st.solved())

	inputs := refVehicle{Name: "special-mended", About: "the demo on four uprights, as the program hands it to its statics", Push: 0.05}
	for _, p := range a.parts {
		m, _ := p.Quantity("mass")
		cg, _ := p.Vec("cg")
		inputs.Bodies = append(inputs.Bodies, refBody{Name: p.ID, Mass: m.Value, CG: inMM(&cg)})
	}
	kinds := map[statics.JointKind]string{statics.Ball: "ball", statics.Pivot: "pivot", statics.Fixed: "fixed"}
	for _, m := range d.meets {
		if m.link || set.isOff(m) {
			continue
		}
		kind, _ := d.jointKind(m)
		j := refJoint{Name: m.name, Kind: kinds[kind], A: m.parts[0], B: m.parts[1], At: inMM(m.at)}
		if m.axis != nil {
			j.Axis = [3]float64{m.axis.X, m.axis.Y, m.axis.Z}
		}
		inputs.Joints = append(inputs.Joints, j)
	}
	for _, item := range b.Of("links") {
		ends := d.ends(item)
		if !set.isOff(ends[0]) {
			inputs.Links = append(inputs.Links, refLink{Name: item.ID, A: ends[0].parts[0], B: ends[1].parts[0], PA: inMM(ends[0].at), PB: inMM(ends[1].at)})
		}
	}
	for i, item := range st.items {
		under, _ := item.Text("under")
		at, _ := st.items[i].Vec("at")
		inputs.Supports = append(inputs.Supports, refSupport{Name: item.ID, Body: under, At: inMM(&at)})
	}
	text, err := json.MarshalIndent(inputs, "", " ")
	require.NoError(t, err)
	text = append(text, '\n')
	file := filepath.Join(published, "demo-inputs.json")
	if *update {
		require.NoError(t, os.WriteFile(file, text, 0o644))
	}
	stored, err := os.ReadFile(file)
	require.NoError(t, err)
	require.JSONEq(t, string(stored), string(text), "the demo changed: run with -update, then python3 reference.py demo")

	var want struct {
		Even   map[string]float64
		Forces map[string][]float64
	}
	answers, err := os.ReadFile(filepath.Join(published, "demo-answers.json"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(answers, &want))
	close := 1e-6 * st.step.Weight()
	for i, item := range st.items {
		require.InDelta(t, want.Even[item.ID], st.step.Reaction(i).Nominal, close, item.ID)
	}
	compared := 0
	for id, i := range a.links {
		require.InDelta(t, want.Forces[id][0], st.step.Link(i).Nominal, close, id)
		compared++
	}
	for id, i := range a.joints {
		if d.byName[id].kind != "taper ball joint" {
			continue
		}
		f := st.step.Joint(i).Nominal
		for k, got := range []float64{f.X, f.Y, f.Z} {
			require.InDelta(t, want.Forces[id][k], got, close, "%s, component %d", id, k)
		}
		compared++
	}
	require.GreaterOrEqual(t, compared, 12)
}
