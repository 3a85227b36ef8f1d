package vehicle

import (
	"encoding/json"
	"flag"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/schema"
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
	for _, support := range b.Of("supports") {
		support.Delete("height") // the reference stands level
	}
	v := New(b, Policy{SidePush: 0.05, SmallLoad: 0.05})
	move := v.Move(b.Item("onto-hub-stands"))
	s := move.Step(len(move.Steps) - 1)
	require.True(t, s.Solved())
	require.Empty(t, s.setting.ties)

	inputs := refVehicle{Name: "special-mended", About: "the demo on four uprights, as the program hands it to its statics", Push: 0.05}
	for _, p := range s.Parts {
		m, _ := p.Quantity("mass")
		cg, _ := p.Vec("cg")
		inputs.Bodies = append(inputs.Bodies, refBody{Name: p.ID, Mass: m.Value, CG: inMM(&cg)})
	}
	kinds := map[motion]string{turns: "ball", hinge: "pivot", face: "fixed"} // the demo has no others
	for _, m := range v.Meets {
		if m.Link || s.Off(m) {
			continue
		}
		j := refJoint{Name: m.Name, Kind: kinds[m.motion], A: m.Parts[0], B: m.Parts[1], At: inMM(m.At)}
		if m.Axis != nil {
			j.Axis = [3]float64{m.Axis.X, m.Axis.Y, m.Axis.Z}
		}
		inputs.Joints = append(inputs.Joints, j)
	}
	for _, item := range b.Of("links") {
		ends := v.Ends(item)
		if !s.Off(ends[0]) {
			inputs.Links = append(inputs.Links, refLink{Name: item.ID, A: ends[0].Parts[0], B: ends[1].Parts[0], PA: inMM(ends[0].At), PB: inMM(ends[1].At)})
		}
	}
	for _, item := range s.Supports {
		under, _ := item.Text("under")
		at, _ := item.Vec("at")
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
	close := 1e-6 * s.Weight()
	for i, item := range s.Supports {
		require.InDelta(t, want.Even[item.ID], s.Reaction(i).Nominal, close, item.ID)
	}
	compared := 0
	for m := range s.passes {
		switch {
		case m.Link:
			require.InDelta(t, want.Forces[m.Item.ID][0], s.Link(m.Item).Nominal, close, m.Name)
		case m.Kind == "taper ball joint":
			f := s.Joint(m.Item).Nominal
			for k, got := range []float64{f.X, f.Y, f.Z} {
				require.InDelta(t, want.Forces[m.Name][k], got, close, "%s, component %d", m.Name, k)
			}
		default:
			continue
		}
		compared++
	}
	require.GreaterOrEqual(t, compared, 12)
}
