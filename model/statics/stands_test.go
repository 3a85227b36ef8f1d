package statics_test

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/statics"
)

// standing is a vehicle of testdata/published/statics/stands.json; stands.py beside it says
// how its answers were worked out. Lengths in mm, forces in N, angles in rad.
type standing struct {
	vehicle
	Pitch, Roll float64
	Supports    []struct {
		Name, Body string
		At         [3]float64
		Height, Mu *float64
		Rolls      *[3]float64
		Floor      bool
	}
	Ties []struct {
		Name, A, B string
		PA, PB     [3]float64
		Pushes     bool
	}
	Scrubs []struct {
		Left, Right int
		Mu          float64
	}
	Pulls []struct{ At, Direction [3]float64 }
	Bends []struct {
		Body     string
		From, To [3]float64
	}
	Answers struct {
		Span    map[string][]float64
		Pulls   []struct{ Tips, Slides *float64 }
		Bends   map[string]float64
		Gains   map[string]float64
		Changes map[string]float64
	}
}

func standings(t testing.TB) []standing {
	t.Helper()
	text, err := os.ReadFile("../../testdata/published/statics/stands.json")
	require.NoError(t, err)
	var doc struct{ Vehicles []standing }
	require.NoError(t, json.Unmarshal(text, &doc))
	require.NotEmpty(t, doc.Vehicles)
	return doc.Vehicles
}

// stand builds a vehicle and its stance; every joint and end of a link is measured to 1 mm.
func (v standing) stand(t testing.TB) (statics.System, statics.Stance) {
	t.Helper()
	v.vehicle.Supports = nil
	sys, _ := v.system(t, true)
	for i := range sys.Joints {
		sys.Joints[i].Tol = 0.001
	}
	for i := range sys.Links {
		sys.Links[i].Tol = 0.001
	}
	body := func(want string) int {
		return find(t, sys.Bodies, want, func(b statics.Body) string { return b.Name })
	}
	st := statics.Stance{Attitude: statics.Attitude{Pitch: v.Pitch, Roll: v.Roll, Push: v.Push}}
	for _, p := range v.Supports {
		s := statics.Support{Name: p.Name, Body: body(p.Body), At: metres(p.At)}
		if p.Height != nil {
			s.Height = &statics.Height{Z: *p.Height / 1000}
		}
		if p.Mu != nil {
			s.Contact = &statics.Contact{Mu: *p.Mu, Floor: p.Floor}
			if p.Rolls != nil {
				s.Contact.Rolls = metres(*p.Rolls)
			}
		}
		st.Supports = append(st.Supports, s)
	}
	for _, tie := range v.Ties {
		st.Ties = append(st.Ties, statics.Tie{Name: tie.Name, A: body(tie.A), B: body(tie.B), PA: metres(tie.PA), PB: metres(tie.PB), Pushes: tie.Pushes})
	}
	for _, c := range v.Scrubs {
		st.Scrubs = append(st.Scrubs, statics.Scrub{Left: c.Left, Right: c.Right, Mu: c.Mu})
	}
	return sys, st
}

func TestStandsAsWorkedOutAnotherWay(t *testing.T) {
	for _, v := range standings(t) {
		t.Run(v.Name, func(t *testing.T) {
			sys, st := v.stand(t)
			m, err := statics.New(sys)
			require.NoError(t, err)
			s, err := m.Stand(st)
			require.NoError(t, err)
			require.Nil(t, s.Failure, "%+v", s.Failure)
			near := 2e-6 * s.Weight()
			check := func(name string, got statics.Range) {
				want := v.Answers.Span[name]
				require.Len(t, want, 2, name)
				assert.InDelta(t, want[0], got.Least, near, name)
				assert.InDelta(t, want[1], got.Most, near, name)
			}
			for i, p := range v.Supports {
				check(p.Name, s.Reaction(i))
			}
			for i, tie := range v.Ties {
				check(tie.Name, s.Tie(i))
			}
			members := s.Members()
			for i, l := range sys.Links {
				check(l.Name, s.Link(i))
				k := len(sys.Joints) + i
				assert.InDelta(t, v.Answers.Gains[l.Name], members[k].Gain, 1e-4, "%s: gain", l.Name)
				assert.InDelta(t, v.Answers.Changes[l.Name], members[k].Change, 2e-3*math.Max(1, v.Answers.Changes[l.Name]), "%s: 1 mm of every point", l.Name)
			}
			for i, p := range v.Pulls {
				got := s.PullAt(metres(p.At), metres(p.Direction), math.Inf(1))
				same := func(want *float64, got float64, what string) {
					if want == nil {
						assert.True(t, math.IsInf(got, 1), "pull %d: %s at %g", i, what, got)
						return
					}
					assert.InDelta(t, *want, got, 1e-5*s.Weight(), "pull %d: %s", i, what)
				}
				same(v.Answers.Pulls[i].Tips, got.Tips, "tips")
				same(v.Answers.Pulls[i].Slides, got.Slides, "slides")
			}
			for _, b := range v.Bends {
				got, err := s.Bending(find(t, sys.Bodies, b.Body, func(b statics.Body) string { return b.Name }), metres(b.From), metres(b.To), 0)
				require.NoError(t, err)
				// The other solution has the greatest moment; the cut that counts is where moment and
				// torsion together are greatest.
				most := v.Answers.Bends[b.Body]
				assert.LessOrEqual(t, got.Moment, most*(1+1e-3), "bending of %s", b.Body)
				assert.GreaterOrEqual(t, math.Hypot(got.Moment, math.Sqrt(0.75)*got.Torsion), most*(1-1e-3), "bending of %s", b.Body)
			}
		})
	}
}
