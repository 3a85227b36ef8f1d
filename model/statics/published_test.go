package statics_test

import (
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/statics"
)

// reference is testdata/published/statics/reference.json and layouts.json; reference.py and layouts.py
// beside them say how their answers were worked out. Lengths in mm, forces in N.
type reference struct {
	Gravity  float64
	Vehicles []vehicle
}

type vehicle struct {
	Name   string
	Push   float64
	Bodies []struct {
		Name      string
		Mass, Tol float64
		CG        [3]float64
		CGTol     [3]float64
	}
	Joints []struct {
		Name, Kind, A, B string
		At, Axis         [3]float64
	}
	Links []struct {
		Name, A, B string
		PA, PB     [3]float64
	}
	Supports []struct {
		Name, Body string
		At         [3]float64
	}
	Answers struct {
		Even    map[string]float64
		Forces  map[string][]*float64
		Ways    []map[string]float64
		Nominal map[string][]float64
		Worst   map[string][]float64
		Losses  []loss
	}
}

type loss struct {
	Gone, Drops  []string
	Why          string
	Holds, Other bool
}

func readReference(t testing.TB) reference {
	t.Helper()
	var all reference
	for _, name := range []string{"reference", "layouts"} {
		text, err := os.ReadFile("../../testdata/published/statics/" + name + ".json")
		require.NoError(t, err)
		var r reference
		require.NoError(t, json.Unmarshal(text, &r))
		require.NotEmpty(t, r.Vehicles)
		require.Equal(t, r.Gravity, statics.Gravity)
		all.Vehicles = append(all.Vehicles, r.Vehicles...)
	}
	return all
}

func metres(p [3]float64) statics.Vec {
	return statics.Vec{X: p[0] / 1000, Y: p[1] / 1000, Z: p[2] / 1000}
}

// find returns the place of a name in a list.
func find[T any](t testing.TB, list []T, want string, name func(T) string) int {
	t.Helper()
	i := slices.IndexFunc(list, func(v T) bool { return name(v) == want })
	require.GreaterOrEqual(t, i, 0, want)
	return i
}

// system builds the vehicle, with or without its ±.
func (v vehicle) system(t testing.TB, exact bool) (statics.System, []statics.Support) {
	t.Helper()
	var sys statics.System
	for _, b := range v.Bodies {
		mass := statics.Mass{Name: b.Name, M: b.Mass, CG: metres(b.CG)}
		if !exact {
			mass.Tol, mass.CGTol = b.Tol, metres(b.CGTol)
		}
		sys.Bodies = append(sys.Bodies, statics.Body{Name: b.Name, Masses: []statics.Mass{mass}})
	}
	body := func(want string) int {
		return find(t, sys.Bodies, want, func(b statics.Body) string { return b.Name })
	}
	kinds := map[string]statics.JointKind{"ball": statics.Ball, "pivot": statics.Pivot, "fixed": statics.Fixed}
	for _, j := range v.Joints {
		kind, known := kinds[j.Kind]
		require.True(t, known, j.Kind)
		sys.Joints = append(sys.Joints, statics.Joint{Name: j.Name, Kind: kind, A: body(j.A), B: body(j.B), At: metres(j.At), Axis: metres(j.Axis)})
	}
	for _, l := range v.Links {
		sys.Links = append(sys.Links, statics.Link{Name: l.Name, A: body(l.A), B: body(l.B), PA: metres(l.PA), PB: metres(l.PB)})
	}
	var supports []statics.Support
	for _, p := range v.Supports {
		supports = append(supports, statics.Support{Name: p.Name, Body: body(p.Body), At: metres(p.At)})
	}
	return sys, supports
}

func (v vehicle) step(t *testing.T, exact bool) (statics.System, *statics.Step) {
	t.Helper()
	sys, supports := v.system(t, exact)
	m, err := statics.New(sys)
	require.NoError(t, err)
	s, err := m.Step(supports, statics.Attitude{Push: v.Push})
	require.NoError(t, err)
	require.Nil(t, s.Failure)
	return sys, s
}

func TestReference(t *testing.T) {
	for _, v := range readReference(t).Vehicles {
		t.Run(v.Name, func(t *testing.T) {
			sys, s := v.step(t, true)
			near := 1e-6 * s.Weight() // of the weight: a member that carries little has no better relative answer
			for i, p := range v.Supports {
				assert.InDelta(t, v.Answers.Even[p.Name], s.Reaction(i).Nominal, near, "%s, even floor", p.Name)
			}
			for i, l := range sys.Links {
				if want := v.Answers.Forces[l.Name][0]; want != nil {
					assert.InDelta(t, *want, s.Link(i).Nominal, near, l.Name)
				}
			}
			for i, j := range sys.Joints {
				got := s.Joint(i).Nominal
				for k, g := range []float64{got.X, got.Y, got.Z} {
					if want := v.Answers.Forces[j.Name][k]; want != nil {
						assert.InDelta(t, *want, g, near, "%s, axis %d", j.Name, k)
					}
				}
			}
		})
	}
}

func TestReferenceWays(t *testing.T) {
	for _, v := range readReference(t).Vehicles {
		t.Run(v.Name, func(t *testing.T) {
			_, s := v.step(t, true)
			key := func(names []string) string { slices.Sort(names); return strings.Join(names, " ") }
			got := map[string]map[string]float64{}
			for _, w := range s.Ways() {
				carry := map[string]float64{}
				var names []string
				for k, i := range w.Supports {
					carry[v.Supports[i].Name] = w.Carry[k]
					names = append(names, v.Supports[i].Name)
				}
				got[key(names)] = carry
			}
			require.Len(t, got, len(v.Answers.Ways))
			for _, want := range v.Answers.Ways {
				var names []string
				for n := range want {
					names = append(names, n)
				}
				carry, ok := got[key(names)]
				require.True(t, ok, "%v is a way of standing", want)
				for n, f := range want {
					assert.InDelta(t, f, carry[n], 1e-6*s.Weight(), n)
				}
			}
		})
	}
}

// TestReferenceExtremes compares the least and the greatest over all directions
// and admissible reactions with linear programs. Without ± both are exact. With ±
// the reference tries the corners of the box one vehicle at a time; the program
// may only be wider, because it takes each way of standing over the whole box.
func TestReferenceExtremes(t *testing.T) {
	for _, v := range readReference(t).Vehicles {
		for _, exact := range []bool{true, false} {
			name, answers := v.Name+"/with ±", v.Answers.Worst
			if exact {
				name, answers = v.Name+"/without ±", v.Answers.Nominal
			}
			t.Run(name, func(t *testing.T) {
				require.NotEmpty(t, answers)
				sys, s := v.step(t, exact)
				near := 2e-6 * s.Weight() // the linear programs stop at 1e-7 of a load
				answered, checked := 0, 0
				for _, answer := range answers {
					if answer != nil {
						answered++
					}
				}
				check := func(name string, got statics.Range) {
					want := answers[name]
					if want == nil {
						return // left open by self-stress
					}
					checked++
					if exact {
						assert.InDelta(t, want[0], got.Least, near, name)
						assert.InDelta(t, want[1], got.Most, near, name)
						return
					}
					assert.LessOrEqual(t, got.Least, want[0]+near, "%s: a corner of the ± is worse", name)
					assert.GreaterOrEqual(t, got.Most, want[1]-near, "%s: a corner of the ± is worse", name)
				}
				for i, p := range v.Supports {
					check(p.Name, s.Reaction(i))
				}
				for i, l := range sys.Links {
					check(l.Name, s.Link(i))
				}
				assert.Equal(t, answered, checked)
			})
		}
	}
}

// TestReferenceLosses: what holds, what could still stand some other way, and
// what only drops. The reference says the first two by linear programs; what
// drops was reasoned for the vehicle whose frame stands on its own stands.
func TestReferenceLosses(t *testing.T) {
	for _, v := range readReference(t).Vehicles {
		sys, s := v.step(t, true)
		for _, l := range v.Answers.Losses {
			t.Run(v.Name+"/"+strings.Join(l.Gone, "+"), func(t *testing.T) {
				var r statics.Removal
				for _, gone := range l.Gone {
					if i := slices.IndexFunc(sys.Joints, func(j statics.Joint) bool { return j.Name == gone }); i >= 0 {
						r.Joints = append(r.Joints, i)
					} else if i := slices.IndexFunc(sys.Links, func(k statics.Link) bool { return k.Name == gone }); i >= 0 {
						r.Links = append(r.Links, i)
					} else {
						i := slices.IndexFunc(v.Supports, func(p struct {
							Name, Body string
							At         [3]float64
						}) bool {
							return p.Name == gone
						})
						require.GreaterOrEqual(t, i, 0, gone)
						r.Supports = append(r.Supports, i)
					}
				}
				out, err := s.LetGo(r)
				require.NoError(t, err)
				want := statics.Falls
				switch {
				case l.Holds:
					want = statics.Holds
				case len(l.Drops) > 0:
					want = statics.Drops
				case l.Other:
					want = statics.Rocks
				}
				assert.Equal(t, want, out.Fate, "%s: %s", l.Why, out.Words)
				if want == statics.Drops {
					var names []string
					for _, b := range out.Bodies {
						names = append(names, sys.Bodies[b].Name)
					}
					assert.ElementsMatch(t, l.Drops, names, out.Words)
				}
			})
		}
	}
}
