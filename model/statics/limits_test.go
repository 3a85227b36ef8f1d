package statics_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/statics"
)

// passed lists what everything passes in a stance, N, and by how far its members are located.
func passed(t *testing.T, sys statics.System, st statics.Stance) map[string]float64 {
	t.Helper()
	m, err := statics.New(sys)
	require.NoError(t, err)
	s := stand(t, m, st)
	require.Nil(t, s.Failure, "%+v", s.Failure)
	out := map[string]float64{}
	put := func(name string, r statics.Range) {
		out[name+" nominal"], out[name+" least"], out[name+" most"] = r.Nominal, r.Least, r.Most
	}
	for i, p := range st.Supports {
		put(p.Name, s.Reaction(i))
	}
	for i, t := range st.Ties {
		put(t.Name, s.Tie(i))
	}
	located := s.Members()
	for i, j := range sys.Joints {
		f := s.Joint(i)
		out[j.Name+" nominal"], out[j.Name+" worst"], out[j.Name+" moment"] = norm(f.Nominal), f.Worst, f.Moment
		out[j.Name+" gain"], out[j.Name+" change"] = located[i].Gain, located[i].Change
	}
	for i, l := range sys.Links {
		put(l.Name, s.Link(i))
		out[l.Name+" gain"], out[l.Name+" change"] = located[len(sys.Joints)+i].Gain, located[len(sys.Joints)+i].Change
	}
	return out
}

// asBefore holds everything that was passed before to what is passed now.
func asBefore(t *testing.T, was, is map[string]float64, by float64, why string) {
	t.Helper()
	for name, v := range was {
		now, there := is[name]
		assert.True(t, there, "%s: %s", why, name)
		assert.InDelta(t, v, now, by*(1000+math.Abs(v)), "%s: %s", why, name)
	}
}

// What is added to a vehicle and is next to nothing changes next to nothing: each refinement of how it really stands
// falls back to the plain answer where it fades, and with it fades at least in proportion. Only what may act at all
// takes part: a strap that is slack, a spring that does not push.
func TestWhatFadesGivesThePlainAnswer(t *testing.T) {
	type vehicle struct {
		sys statics.System
		statics.Stance
	}
	heights := func(v *vehicle, tol float64) {
		for i := range v.Supports {
			v.Supports[i].Height = &statics.Height{Z: v.Supports[i].At.Z + .2, Tol: tol}
		}
	}
	spring := func(push, more float64) statics.Spring {
		return statics.Spring{Name: "spring", A: 0, B: 1, PA: statics.Vec{X: 2.3, Y: .3, Z: .7}, PB: statics.Vec{X: 2.3, Y: .5, Z: .2}, Tol: .003, Push: push, More: more}
	}
	for name, c := range map[string]struct {
		plain func(*vehicle)               // what both have
		fades func(v *vehicle, by float64) // what fades with by, from 1 to 0
	}{
		"slope":              {fades: func(v *vehicle, by float64) { v.Slope = .02 * by }},
		"slope of who grips": {plain: func(v *vehicle) { v.Supports = rubbing(v.Supports, .5) }, fades: func(v *vehicle, by float64) { v.Slope = .02 * by }},
		"± of heights":       {plain: func(v *vehicle) { heights(v, 0) }, fades: func(v *vehicle, by float64) { heights(v, .005*by) }},
		"push":               {plain: func(v *vehicle) { v.Push = 0 }, fades: func(v *vehicle, by float64) { v.Push = .05 * by }},
		"push of who grips":  {plain: func(v *vehicle) { v.Push, v.Supports = 0, rubbing(v.Supports, .5) }, fades: func(v *vehicle, by float64) { v.Push = .05 * by }},
		"pull beside a push": {plain: func(v *vehicle) { v.Push = 0 }, fades: func(v *vehicle, by float64) { v.Pull = .1 * by }},
		"pitch and roll":     {fades: func(v *vehicle, by float64) { v.Pitch, v.Roll = .05*by, -.03*by }},
		"push of a spring":   {fades: func(v *vehicle, by float64) { v.sys.Springs = append(v.sys.Springs, spring(500*by, 0)) }},
		"± of a spring":      {plain: func(v *vehicle) { v.sys.Springs = append(v.sys.Springs, spring(500, 0)) }, fades: func(v *vehicle, by float64) { v.sys.Springs[0].More = 50 * by }},
		"± of masses": {
			plain: func(v *vehicle) {
				for i := range v.sys.Bodies {
					v.sys.Bodies[i].Masses[0].Tol, v.sys.Bodies[i].Masses[0].CGTol = 0, statics.Vec{}
				}
			},
			fades: func(v *vehicle, by float64) {
				for i := range v.sys.Bodies {
					v.sys.Bodies[i].Masses[0].Tol, v.sys.Bodies[i].Masses[0].CGTol = 4*by, statics.Vec{X: .01 * by, Y: .01 * by, Z: .02 * by}
				}
			}},
		"mass on the frame": {fades: func(v *vehicle, by float64) {
			v.sys.Bodies[0].Masses = append(v.sys.Bodies[0].Masses, statics.Mass{Name: "tools", M: 30 * by, Tol: 3 * by, CG: statics.Vec{X: 2, Z: .5}})
		}},
		"part bolted on": {fades: func(v *vehicle, by float64) {
			v.sys.Bodies = append(v.sys.Bodies, statics.Body{Name: "box", Masses: []statics.Mass{{Name: "box", M: 30 * by, Tol: 3 * by, CG: statics.Vec{X: 2, Z: .5}}}})
			v.sys.Joints = append(v.sys.Joints, statics.Joint{Name: "bolted", Kind: statics.Fixed, A: 0, B: len(v.sys.Bodies) - 1, At: statics.Vec{X: 1.2, Z: .5}, Tol: .003 * by})
		}},
		"place of a link": {fades: func(v *vehicle, by float64) { v.sys.Links[2].PB.Z += .02 * by }},
		"strap that is slack": {fades: func(v *vehicle, by float64) {
			v.Ties = []statics.Tie{{Name: "slack", A: 0, B: 1, PA: statics.Vec{X: 2.3, Y: .5, Z: -.4}, PB: statics.Vec{X: 2.3, Y: .5, Z: .2}}}
		}},
	} {
		for seed := range uint64(4) {
			made := func() *vehicle {
				e := invented(rand.New(rand.NewPCG(seed, 61)))
				for i := range e.sys.Joints {
					e.sys.Joints[i].Tol = .003
				}
				v := &vehicle{e.sys, statics.Stance{Supports: e.supports, Attitude: statics.Attitude{Push: .05}}}
				if c.plain != nil {
					c.plain(v)
				}
				return v
			}
			faded := func(by float64) map[string]float64 {
				v := made()
				c.fades(v, by)
				return passed(t, v.sys, v.Stance)
			}
			v := made()
			was := passed(t, v.sys, v.Stance)
			asBefore(t, was, faded(1e-9), 1e-7, fmt.Sprintf("%s, seed %d", name, seed))
		}
	}
}

// What holds all the harder, or is there over and over, comes to one answer: friction that never gives, supports beside
// supports, straps beside straps, a stop that is a bar.
func TestWhatGrowsComesToOneAnswer(t *testing.T) {
	tied := 0
	for seed := range uint64(4) {
		e := invented(rand.New(rand.NewPCG(seed, 67)))
		st := statics.Stance{Supports: rubbing(e.supports, 1), Attitude: statics.Attitude{Push: .05, Slope: .005}}
		was := passed(t, e.sys, st)
		why := fmt.Sprintf("seed %d", seed)

		// As long as it holds what it has to, friction up to that of rubber decides nothing, and past all that any set
		// needs it decides nothing either; in between more of it loads no less.
		gripping := func(mu float64) map[string]float64 {
			firm := st
			firm.Supports = rubbing(e.supports, mu)
			return passed(t, e.sys, firm)
		}
		asBefore(t, was, gripping(.4), 1e-9, why+", friction of 0.4")
		infinite := gripping(1e9)
		asBefore(t, infinite, gripping(1e4), 1e-9, why+", friction of 10,000")
		for _, j := range e.sys.Joints {
			assert.GreaterOrEqual(t, infinite[j.Name+" worst"]+1e-6, was[j.Name+" worst"], "%s: %s", why, j.Name)
		}

		// Two stands in one place carry between them what one did.
		double := st
		double.Supports = append(slices.Clone(st.Supports), st.Supports[0])
		double.Supports[4].Name = "its double"
		m, err := statics.New(e.sys)
		require.NoError(t, err)
		s := stand(t, m, double)
		require.Nil(t, s.Failure, "%+v", s.Failure)
		one := st.Supports[0].Name
		assert.InDelta(t, was[one+" most"], s.Together([]int{0, 4}).Most, 1e-6, why)
		assert.InDelta(t, was[one+" most"], s.Reaction(4).Most, 1e-6, "%s: either may carry all of it", why)
		assert.GreaterOrEqual(t, s.Reaction(0).Nominal, 0.0)
		for i, l := range e.sys.Links {
			if i > 0 {
				assert.InDelta(t, was[l.Name+" most"], s.Link(i).Most, 1e-6*(1000+was[l.Name+" most"]), "%s: %s", why, l.Name)
			}
		}

		// A strap in place of a bar that is pulled, and a stop in place of one that is pushed, pass what the bar did;
		// more straps in its line pass it between them. On three stands none of which ever hangs free.
		under := statics.Support{Name: "under the frame", At: statics.Vec{X: .1, Z: .1}}
		st = statics.Stance{Supports: []statics.Support{e.supports[0], e.supports[1], under}, Attitude: statics.Attitude{Push: .02}}
		was = passed(t, e.sys, st)
		for i, l := range e.sys.Links {
			r := was[l.Name+" least"]
			pulled := r > 0
			if !pulled && was[l.Name+" most"] > 0 {
				continue
			}
			sys := e.sys
			sys.Links = slices.Delete(slices.Clone(e.sys.Links), i, i+1)
			strapped := st
			tied++
			for n := range 3 {
				strapped.Ties = append(strapped.Ties, statics.Tie{Name: fmt.Sprintf("tie %d", n), A: l.A, B: l.B, PA: l.PA, PB: l.PB, Pushes: !pulled})
				is := passed(t, sys, strapped)
				m, err := statics.New(sys)
				require.NoError(t, err)
				s := stand(t, m, strapped)
				all := make([]int, n+1)
				for k := range all {
					all[k] = len(st.Supports) + k
				}
				together := s.Together(all)
				most := math.Max(math.Abs(was[l.Name+" least"]), math.Abs(was[l.Name+" most"]))
				assert.InDelta(t, most, together.Most, 1e-6*most, "%s: %s", why, l.Name)
				assert.InDelta(t, most, is[fmt.Sprintf("tie %d most", n)], 1e-6*most, "%s: either may take all", why)
				for k, p := range st.Supports {
					assert.InDelta(t, was[p.Name+" most"], s.Reaction(k).Most, 1e-6*(1000+was[p.Name+" most"]), why)
				}
			}
		}
	}
	assert.Greater(t, tied, 8)
}
