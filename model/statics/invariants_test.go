package statics_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/quantity"
	"setdown/model/statics"
)

// statics imports nothing of the module, so it has a gravity of its own.
func TestOneGravity(t *testing.T) {
	assert.Equal(t, quantity.Gravity, statics.Gravity)
}

// example is a vehicle with its supports.
type example struct {
	sys      statics.System
	supports []statics.Support
}

// invented makes a vehicle of a frame and two to five hanging or standing parts.
// Each hangs on two ball joints and one bar, so ball joints and bars are all there
// is and every body's balance can be taken from the exported forces.
func invented(rng *rand.Rand) example {
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	mass := func(name string, low, high float64, cg statics.Vec) []statics.Mass {
		return []statics.Mass{{Name: name, M: between(low, high), Tol: between(0, 5), CG: cg, CGTol: statics.Vec{X: between(0, .01), Y: between(0, .01)}}}
	}
	var e example
	e.sys.Bodies = []statics.Body{{Name: "frame", Masses: mass("frame", 200, 500, statics.Vec{X: between(.9, 1.4), Y: between(-.05, .05), Z: between(.3, .6)})}}
	for i, at := range []statics.Vec{{X: 2.3, Y: .6, Z: .2}, {X: 2.3, Y: -.6, Z: .2}, {Y: .6, Z: .2}, {Y: -.6, Z: .2}} {
		name := fmt.Sprintf("arm-%d", i)
		side := math.Copysign(1, at.Y)
		e.sys.Bodies = append(e.sys.Bodies, statics.Body{Name: name, Masses: mass(name, 10, 30, at)})
		b := len(e.sys.Bodies) - 1
		inner := func(x float64) statics.Vec {
			return statics.Vec{X: at.X + x + between(-.03, .03), Y: side * between(.2, .3), Z: between(.15, .25)}
		}
		e.sys.Joints = append(e.sys.Joints,
			statics.Joint{Name: name + "-front", A: 0, B: b, At: inner(.15)},
			statics.Joint{Name: name + "-rear", A: b, B: 0, At: inner(-.15)})
		e.sys.Links = append(e.sys.Links, statics.Link{Name: name + "-bar", A: 0, B: b,
			PA: statics.Vec{X: at.X, Y: side * .25, Z: between(.5, .7)}, PB: statics.Vec{X: at.X, Y: side * between(.45, .5), Z: .2}})
		e.supports = append(e.supports, statics.Support{Name: "stand-" + name, Body: b, At: statics.Vec{X: at.X + between(-.1, .1), Y: side * between(.55, .65), Z: .1}})
	}
	return e
}

func (e example) step(t *testing.T, push float64) (*statics.Model, *statics.Step) {
	t.Helper()
	m, err := statics.New(e.sys)
	require.NoError(t, err)
	s, err := m.Step(e.supports, statics.Attitude{Push: push})
	require.NoError(t, err)
	require.Nil(t, s.Failure)
	return m, s
}

// moved returns the vehicle with every point p at f(p) and every direction and
// size at g: the same vehicle in another frame or of another size.
func (e example) moved(point, direction func(statics.Vec) statics.Vec) example {
	out := example{supports: append([]statics.Support(nil), e.supports...)}
	out.sys.Base = e.sys.Base
	for _, b := range e.sys.Bodies {
		masses := append([]statics.Mass(nil), b.Masses...)
		for i := range masses {
			masses[i].CG = point(masses[i].CG)
			tol := direction(masses[i].CGTol)
			masses[i].CGTol = statics.Vec{X: math.Abs(tol.X), Y: math.Abs(tol.Y), Z: math.Abs(tol.Z)}
		}
		out.sys.Bodies = append(out.sys.Bodies, statics.Body{Name: b.Name, Masses: masses})
	}
	for _, j := range e.sys.Joints {
		j.At, j.Axis = point(j.At), direction(j.Axis)
		out.sys.Joints = append(out.sys.Joints, j)
	}
	for _, l := range e.sys.Links {
		l.PA, l.PB = point(l.PA), point(l.PB)
		out.sys.Links = append(out.sys.Links, l)
	}
	for i := range out.supports {
		out.supports[i].At = point(out.supports[i].At)
	}
	return out
}

// all lists the scalars that must be the same in any frame, by name.
func (e example) all(t *testing.T, push float64) map[string]float64 {
	t.Helper()
	_, s := e.step(t, push)
	out := map[string]float64{}
	put := func(name string, r statics.Range) {
		out[name+" nominal"], out[name+" least"], out[name+" most"] = r.Nominal, r.Least, r.Most
	}
	for i, p := range e.supports {
		put(p.Name, s.Reaction(i))
	}
	for i, l := range e.sys.Links {
		put(l.Name, s.Link(i))
		lost, err := s.LetGo(statics.Removal{Links: []int{i}})
		require.NoError(t, err)
		out[l.Name+" fate"], out[l.Name+" mass"] = float64(lost.Fate), lost.Mass
	}
	for i, j := range e.sys.Joints {
		f := s.Joint(i)
		out[j.Name+" force"], out[j.Name+" worst"] = norm(f.Nominal), f.Worst
	}
	return out
}

func norm(v statics.Vec) float64 { return math.Sqrt(v.X*v.X + v.Y*v.Y + v.Z*v.Z) }

func TestSameInAnyFrame(t *testing.T) {
	keep := func(v statics.Vec) statics.Vec { return v }
	for seed := range uint64(20) {
		e := invented(rand.New(rand.NewPCG(seed, 7)))
		want := e.all(t, 0.05)
		frames := map[string]example{
			"moved away": e.moved(func(v statics.Vec) statics.Vec { return statics.Vec{X: v.X + 41, Y: v.Y - 17, Z: v.Z + 5} }, keep),
			"mirrored": e.moved(func(v statics.Vec) statics.Vec { return statics.Vec{X: v.X, Y: -v.Y, Z: v.Z} },
				func(v statics.Vec) statics.Vec { return statics.Vec{X: v.X, Y: -v.Y, Z: v.Z} }),
			"thrice as large": e.moved(func(v statics.Vec) statics.Vec { return statics.Vec{X: 3 * v.X, Y: 3 * v.Y, Z: 3 * v.Z} },
				func(v statics.Vec) statics.Vec { return statics.Vec{X: 3 * v.X, Y: 3 * v.Y, Z: 3 * v.Z} }),
			"turned a quarter": e.moved(func(v statics.Vec) statics.Vec { return statics.Vec{X: -v.Y, Y: v.X, Z: v.Z} },
				func(v statics.Vec) statics.Vec { return statics.Vec{X: -v.Y, Y: v.X, Z: v.Z} }),
			"listed backwards": e.backwards(),
		}
		for name, other := range frames {
			got := other.all(t, 0.05)
			for k, v := range want {
				assert.InDelta(t, v, got[k], 1e-6*math.Max(1000, math.Abs(v)), "seed %d, %s: %s", seed, name, k)
			}
		}
	}
}

// gripping gives every support a tyre's friction.
func (e example) gripping() example {
	for i := range e.supports {
		e.supports[i].Contact = &statics.Contact{Mu: 0.6, Floor: true}
	}
	return e
}

// TestMirroredPush mirrors a vehicle whose supports take a push by friction, each set as far as it
// grips: left carries what right carried.
func TestMirroredPush(t *testing.T) {
	over := func(v statics.Vec) statics.Vec { return statics.Vec{X: v.X, Y: -v.Y, Z: v.Z} }
	for seed := range uint64(10) {
		e := invented(rand.New(rand.NewPCG(seed, 41))).gripping()
		want, got := e.all(t, 0.2), e.moved(over, over).all(t, 0.2)
		for k, v := range want {
			assert.InDelta(t, v, got[k], 1e-6*math.Max(1000, math.Abs(v)), "seed %d: %s", seed, k)
		}
	}
}

// TestLoadsFollowTheGeometry moves one support out in steps of 2 mm: what joints and bars carry
// hardly jumps, whichever set of supports takes the push: by half with sets that take all of it or
// nothing. Its masses are exact: where a ± just lets a
// vehicle rock on to other supports, the whole of that way counts at once.
func TestLoadsFollowTheGeometry(t *testing.T) {
	const step, most = 2e-3, 0.1 // m, and the greatest change as a share
	for seed := range uint64(6) {
		e := invented(rand.New(rand.NewPCG(seed, 43))).gripping()
		for i := range e.sys.Bodies {
			m := &e.sys.Bodies[i].Masses[0]
			m.Tol, m.CGTol = 0, statics.Vec{}
		}
		was := map[string]float64{}
		for n := range 150 {
			e.supports[0].At.Y += step
			_, s := e.step(t, 0.2)
			now := map[string]float64{}
			for i, j := range e.sys.Joints {
				now[j.Name] = s.Joint(i).Worst
			}
			for i, l := range e.sys.Links {
				r := s.Link(i)
				now[l.Name] = math.Max(-r.Least, r.Most)
			}
			for k, v := range now {
				if n > 0 {
					assert.InEpsilon(t, was[k], v, most, "seed %d, %d mm: %s", seed, 2*n, k)
				}
			}
			was = now
		}
	}
}

// backwards lists every item in the opposite order.
func (e example) backwards() example {
	out := e.moved(func(v statics.Vec) statics.Vec { return v }, func(v statics.Vec) statics.Vec { return v })
	last := len(out.sys.Bodies) - 1
	flip(out.sys.Bodies)
	flip(out.sys.Joints)
	flip(out.sys.Links)
	flip(out.supports)
	for i := range out.sys.Joints {
		out.sys.Joints[i].A, out.sys.Joints[i].B = last-out.sys.Joints[i].A, last-out.sys.Joints[i].B
	}
	for i := range out.sys.Links {
		out.sys.Links[i].A, out.sys.Links[i].B = last-out.sys.Links[i].A, last-out.sys.Links[i].B
	}
	for i := range out.supports {
		out.supports[i].Body = last - out.supports[i].Body
	}
	out.sys.Base = last - out.sys.Base
	return out
}

func flip[T any](s []T) {
	for i, j := 0, len(s)-1; i < j; i, j = i+1, j-1 {
		s[i], s[j] = s[j], s[i]
	}
}

// TestPitchTurnsTheVehicle compares a pitched vehicle with one drawn nose up.
func TestPitchTurnsTheVehicle(t *testing.T) {
	for seed := range uint64(20) {
		e := invented(rand.New(rand.NewPCG(seed, 17)))
		for i := range e.sys.Bodies {
			e.sys.Bodies[i].Masses[0].CGTol = statics.Vec{} // a box of ± does not turn with the vehicle
		}
		for _, pitch := range []float64{-.1, .07, .2} {
			sin, cos := math.Sincos(pitch)
			turn := func(v statics.Vec) statics.Vec {
				return statics.Vec{X: v.X*cos - v.Z*sin, Y: v.Y, Z: v.X*sin + v.Z*cos}
			}
			drawn := e.moved(turn, turn)
			m, err := statics.New(e.sys)
			require.NoError(t, err)
			got, err := m.Step(e.supports, statics.Attitude{Pitch: pitch, Push: .03})
			require.NoError(t, err)
			turned, want := drawn.step(t, .03)
			for i, p := range e.supports {
				assert.InDelta(t, want.Reaction(i).Nominal, got.Reaction(i).Nominal, 1e-6*want.Weight(), p.Name)
				assert.InDelta(t, want.Reaction(i).Most, got.Reaction(i).Most, 1e-6*want.Weight(), p.Name)
			}
			for i, l := range e.sys.Links {
				assert.InDelta(t, want.Link(i).Nominal, got.Link(i).Nominal, 1e-6*want.Weight(), l.Name)
				assert.InDelta(t, want.Link(i).Least, got.Link(i).Least, 1e-6*want.Weight(), l.Name)
			}
			a, b := turned.Stability(drawn.supports, 0), m.Stability(e.supports, pitch)
			require.Len(t, b.Edges, len(a.Edges))
			for i := range a.Edges {
				assert.InDelta(t, a.Edges[i].Worst, b.Edges[i].Worst, 1e-9)
				assert.InDelta(t, a.Edges[i].Height, b.Edges[i].Height, 1e-9)
				assert.InDelta(t, a.Edges[i].Push, b.Edges[i].Push, 1e-6*want.Weight())
			}
		}
	}
}

// TestTipsAtItsAngle: a stiff body on four level stands tips when the push, as a
// share of the weight, passes e/h; just below it stands.
func TestTipsAtItsAngle(t *testing.T) {
	for _, c := range []statics.Vec{{Z: .5}, {X: .3, Z: .4}, {X: -.2, Y: .35, Z: .9}} {
		m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "slab", Masses: []statics.Mass{{Name: "slab", M: 80, CG: c}}}}})
		require.NoError(t, err)
		var stands []statics.Support
		for _, at := range []statics.Vec{{X: 1, Y: .6, Z: .1}, {X: 1, Y: -.6, Z: .1}, {X: -1, Y: .6, Z: .1}, {X: -1, Y: -.6, Z: .1}} {
			stands = append(stands, statics.Support{Name: "stand", At: at})
		}
		st := m.Stability(stands, 0)
		require.NotNil(t, st)
		least := math.Inf(1)
		for _, e := range st.Edges {
			least = math.Min(least, e.Worst/e.Height)
			assert.InDelta(t, 80*statics.Gravity*e.Worst/e.Height, e.Push, 1e-6)
			assert.InDelta(t, math.Atan(e.Worst/e.Height), e.Angle, 1e-9)
		}
		near := math.Min(math.Min(1-c.X, 1+c.X), math.Min(.6-c.Y, .6+c.Y))
		assert.InDelta(t, near/(c.Z-.1), least, 1e-9)
		for _, share := range []float64{.98, 1.02} {
			if share*least > 1 {
				continue
			}
			s, err := m.Step(stands, statics.Attitude{Push: share * least})
			require.NoError(t, err)
			assert.Equal(t, share > 1, s.Failure != nil, "%v at %g of its tipping push", c, share)
		}
	}
}

// TestWorstEdgeIsReached tries every corner of the ± of two masses.
func TestWorstEdgeIsReached(t *testing.T) {
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 19))
		var masses []statics.Mass
		for range 2 {
			masses = append(masses, statics.Mass{Name: "m", M: 20 + 80*rng.Float64(), Tol: 15 * rng.Float64(),
				CG: statics.Vec{X: rng.Float64() - .5, Y: rng.Float64() - .5, Z: rng.Float64()}, CGTol: statics.Vec{X: .1 * rng.Float64(), Y: .1 * rng.Float64(), Z: .1 * rng.Float64()}})
		}
		supports := []statics.Support{{Name: "a", At: statics.Vec{X: 1}}, {Name: "b", At: statics.Vec{X: -.8, Y: .9}}, {Name: "c", At: statics.Vec{X: -.8, Y: -.9}}}
		m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "slab", Masses: masses}}})
		require.NoError(t, err)
		edges := m.Stability(supports, 0).Edges
		require.Len(t, edges, len(supports))
		for _, e := range edges {
			p, q := supports[e.From].At, supports[e.To].At
			long := math.Hypot(q.X-p.X, q.Y-p.Y)
			least := math.Inf(1)
			for corner := range 1 << 6 {
				end := func(bit int) float64 { return float64(corner>>bit&1)*2 - 1 }
				sum, total := 0.0, 0.0
				for i, w := range masses {
					mass := w.M + end(3*i)*w.Tol
					x, y := w.CG.X+end(3*i+1)*w.CGTol.X, w.CG.Y+end(3*i+2)*w.CGTol.Y
					sum += mass * ((q.X-p.X)*(y-p.Y) - (q.Y-p.Y)*(x-p.X)) / long
					total += mass
				}
				least = math.Min(least, sum/total)
			}
			assert.InDelta(t, least, e.Worst, 1e-9)
		}
	}
}

// TestEveryBodyBalances takes the even-floor answer from the exported results and
// adds up force and moment on each body.
func TestEveryBodyBalances(t *testing.T) {
	for seed := range uint64(50) {
		e := invented(rand.New(rand.NewPCG(seed, 11)))
		_, s := e.step(t, 0.05)
		force := make([]statics.Vec, len(e.sys.Bodies))
		moment := make([]statics.Vec, len(e.sys.Bodies))
		push := func(body int, at, f statics.Vec) {
			force[body] = statics.Vec{X: force[body].X + f.X, Y: force[body].Y + f.Y, Z: force[body].Z + f.Z}
			moment[body] = statics.Vec{
				X: moment[body].X + at.Y*f.Z - at.Z*f.Y,
				Y: moment[body].Y + at.Z*f.X - at.X*f.Z,
				Z: moment[body].Z + at.X*f.Y - at.Y*f.X,
			}
		}
		times := func(k float64, v statics.Vec) statics.Vec { return statics.Vec{X: k * v.X, Y: k * v.Y, Z: k * v.Z} }
		for i, b := range e.sys.Bodies {
			for _, m := range b.Masses {
				push(i, m.CG, statics.Vec{Z: -m.M * statics.Gravity})
			}
		}
		for i, j := range e.sys.Joints {
			f := s.Joint(i).Nominal
			push(j.B, j.At, f)
			push(j.A, j.At, times(-1, f))
		}
		for i, l := range e.sys.Links {
			u := statics.Vec{X: l.PA.X - l.PB.X, Y: l.PA.Y - l.PB.Y, Z: l.PA.Z - l.PB.Z}
			f := times(s.Link(i).Nominal/norm(u), u) // a pulling link draws B towards A
			push(l.B, l.PB, f)
			push(l.A, l.PA, times(-1, f))
		}
		total := 0.0
		for i, p := range e.supports {
			r := s.Reaction(i).Nominal
			assert.GreaterOrEqual(t, r, 0.0)
			total += r
			push(p.Body, p.At, statics.Vec{Z: r})
		}
		assert.InDelta(t, s.Weight(), total, 1e-8*s.Weight(), "seed %d: reactions add up to the weight", seed)
		for i, b := range e.sys.Bodies {
			assert.Less(t, norm(force[i]), 1e-8*s.Weight(), "seed %d: forces on %s", seed, b.Name)
			assert.Less(t, norm(moment[i]), 1e-8*s.Weight(), "seed %d: moments on %s", seed, b.Name)
		}
	}
}

// TestWaysCarryEverything: each way of standing pushes only and adds up.
func TestWaysCarryEverything(t *testing.T) {
	for seed := range uint64(50) {
		e := invented(rand.New(rand.NewPCG(seed, 13)))
		_, s := e.step(t, 0.05)
		require.NotEmpty(t, s.Ways())
		for _, w := range s.Ways() {
			assert.LessOrEqual(t, len(w.Supports), 3, "a stiff vehicle stands on three at most")
			total := 0.0
			for _, f := range w.Carry {
				assert.Greater(t, f, 0.0)
				total += f
			}
			assert.InDelta(t, s.Weight(), total, 1e-8*s.Weight())
		}
	}
}

// TestBentOutOfLine bends a bar from pointing at the hinge line of its arm, where
// it holds nothing, to well off it. Between what a computer calls zero and what a
// tape measure can see, the geometry must be refused; and as the offset is a share
// of the size, a toy and a crane get the same answer.
func TestBentOutOfLine(t *testing.T) {
	const (
		falls = iota
		refused
		stands
	)
	for _, c := range []struct {
		offset float64
		want   int
	}{{0, falls}, {1e-12, falls}, {1e-8, refused}, {1e-7, refused}, {1e-6, refused}, {1e-5, refused}, {1e-3, stands}, {1e-2, stands}, {1e-1, stands}} {
		for _, size := range []float64{1e-2, 1, 1e3} {
			at := func(x, y, z float64) statics.Vec { return statics.Vec{X: size * x, Y: size * y, Z: size * z} }
			sys := statics.System{Bodies: []statics.Body{
				{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 100, CG: at(-1, 0, .5)}}},
				{Name: "arm", Masses: []statics.Mass{{Name: "arm", M: 5, CG: at(.3, 0, .5)}}},
			}, Joints: []statics.Joint{
				{Name: "left", A: 0, B: 1, At: at(0, .2, .5)}, {Name: "right", A: 0, B: 1, At: at(0, -.2, .5)},
			}, Links: []statics.Link{{Name: "bar", A: 0, B: 1, PA: at(-.5, 0, .5+c.offset), PB: at(.4, 0, .5)}}}
			supports := []statics.Support{{Name: "a", At: at(0, .5, 0)}, {Name: "b", At: at(0, -.5, 0)}, {Name: "c", At: at(-2, 0, 0)}}
			got := falls
			if m, err := statics.New(sys); err != nil {
				var near *statics.ErrNearlySingular
				require.ErrorAs(t, err, &near)
				got = refused
			} else {
				s, err := m.Step(supports, statics.Attitude{Push: .05})
				require.NoError(t, err)
				if s.Failure == nil {
					got = stands
				}
			}
			assert.Equal(t, c.want, got, "offset %g, size %g", c.offset, size)
		}
	}
}

// Sample problem 4.8 of Beer and Johnston, Vector Mechanics for Engineers:
// Statics (from memory). A sign of 270 lb hangs on a ball and two cables.
func TestSignOnTwoCables(t *testing.T) {
	const ft, lb = 0.3048, 4.4482216152605
	at := func(x, y, z float64) statics.Vec {
		// The book's y is up: (x, y, z) there is (x, −z, y) here.
		return statics.Vec{X: x * ft, Y: -z * ft, Z: y * ft}
	}
	sys := statics.System{Bodies: []statics.Body{
		{Name: "wall", Masses: []statics.Mass{{Name: "wall", M: 1e4, CG: at(4, -2, 0)}}},
		{Name: "sign", Masses: []statics.Mass{{Name: "sign", M: 270 * lb / statics.Gravity, CG: at(4, -2.5, 0)}}},
	}, Joints: []statics.Joint{{Name: "A", A: 0, B: 1, At: at(0, 0, 0)}},
		Links: []statics.Link{
			{Name: "BD", A: 0, B: 1, PA: at(0, 4, -8), PB: at(8, 0, 0)},
			{Name: "EC", A: 0, B: 1, PA: at(0, 3, 2), PB: at(6, 0, 0)},
			{Name: "stay", A: 0, B: 1, PA: at(4, -5, 3), PB: at(4, -5, 0)},
		}}
	m, err := statics.New(sys)
	require.NoError(t, err)
	// The book's sign can swing about the line from A through B. Straight down
	// nothing drives that, so a stay against it, which the book does not have,
	// carries nothing. The book prints whole pounds where it says 315 and 338.
	s, err := m.Step([]statics.Support{{Name: "a", At: at(-9, -9, -9)}, {Name: "b", At: at(-9, -9, 9)}, {Name: "c", At: at(40, -9, 0)}}, statics.Attitude{})
	require.NoError(t, err)
	require.Nil(t, s.Failure)
	assert.InDelta(t, 101.3, s.Link(0).Nominal/lb, 0.1)
	assert.InDelta(t, 315, s.Link(1).Nominal/lb, 0.5)
	assert.InDelta(t, 0, s.Link(2).Nominal/lb, 1e-9)
	a := s.Joint(0).Nominal
	assert.InDelta(t, 338, a.X/lb, 0.51) // 337.5 before the book rounds it
	assert.InDelta(t, 101.2, a.Z/lb, 0.1)
	assert.InDelta(t, 22.5, a.Y/lb, 0.1)
}

// Two pans on a parallelogram of two beams balance wherever they are when their
// masses are equal, which no builder can know: with or without a word of how
// uncertain mass and place are, nothing holds such a balance.
func TestCounterbalanceIsNotHeld(t *testing.T) {
	y := statics.Vec{Y: 1}
	for name, pan := range map[string]statics.Mass{
		"nothing said of either": {},
		"of a heavy base":        {},
		"mass":                   {Tol: 1},
		"place, along":           {CGTol: statics.Vec{X: .02}},
		"place, across":          {CGTol: statics.Vec{Y: .02}},
		"place, upward":          {CGTol: statics.Vec{Z: .02}},
		"both":                   {Tol: 1, CGTol: statics.Vec{X: .02, Y: .02, Z: .02}},
	} {
		pan.Name, pan.M, pan.CG = "pan", 10, statics.Vec{X: -1, Z: 1.1}
		base := 100.
		if name == "both" || name == "of a heavy base" {
			base = 100000 // what it stands on is no measure of it
		}
		sys := statics.System{
			Bodies: []statics.Body{
				{Name: "base", Masses: []statics.Mass{{Name: "base", M: base, CG: statics.Vec{Z: .3}}}},
				{Name: "upper beam"}, {Name: "lower beam"},
				{Name: "pan", Masses: []statics.Mass{pan}},
				{Name: "other pan", Masses: []statics.Mass{{Name: "other pan", M: 10, Tol: pan.Tol, CG: statics.Vec{X: 1, Z: 1.1}, CGTol: pan.CGTol}}},
			},
			Joints: []statics.Joint{
				{Name: "upper", Kind: statics.Pivot, A: 0, B: 1, At: statics.Vec{Z: 1}, Axis: y},
				{Name: "lower", Kind: statics.Pivot, A: 0, B: 2, At: statics.Vec{Z: .5}, Axis: y},
				{Name: "pan, upper", Kind: statics.Pivot, A: 1, B: 3, At: statics.Vec{X: -1, Z: 1}, Axis: y},
				{Name: "pan, lower", Kind: statics.Pivot, A: 2, B: 3, At: statics.Vec{X: -1, Z: .5}, Axis: y},
				{Name: "other pan, upper", Kind: statics.Pivot, A: 1, B: 4, At: statics.Vec{X: 1, Z: 1}, Axis: y},
				{Name: "other pan, lower", Kind: statics.Pivot, A: 2, B: 4, At: statics.Vec{X: 1, Z: .5}, Axis: y},
			},
		}
		m, err := statics.New(sys)
		require.NoError(t, err, name)
		s, err := m.Step([]statics.Support{
			{Name: "1", At: statics.Vec{X: 1, Y: 1}}, {Name: "2", At: statics.Vec{X: 1, Y: -1}},
			{Name: "3", At: statics.Vec{X: -1, Y: 1}}, {Name: "4", At: statics.Vec{X: -1, Y: -1}},
		}, statics.Attitude{})
		require.NoError(t, err, name)
		require.NotNil(t, s.Failure, name)
		assert.Contains(t, s.Failure.Words, "beam", name)
	}
}

// A square table on four equal springs, and a round table on three legs: the
// formulas are in every book on statics.
func TestTables(t *testing.T) {
	top := func(x, y float64) statics.System {
		return statics.System{Bodies: []statics.Body{{Name: "top", Masses: []statics.Mass{{Name: "load", M: 100, CG: statics.Vec{X: x, Y: y, Z: .7}}}}}}
	}
	load := 100 * statics.Gravity
	corners := [][2]float64{{1, 1}, {1, -1}, {-1, 1}, {-1, -1}}
	var square []statics.Support
	for _, c := range corners {
		square = append(square, statics.Support{Name: "leg", At: statics.Vec{X: c[0], Y: c[1]}})
	}
	for _, p := range []struct{ x, y float64 }{{0, 0}, {.2, .1}, {-.4, .3}, {.5, -.4}} {
		m, err := statics.New(top(p.x, p.y))
		require.NoError(t, err)
		s, err := m.Step(square, statics.Attitude{})
		require.NoError(t, err)
		for i, c := range square {
			assert.InDelta(t, load/4*(1+p.x*c.At.X+p.y*c.At.Y), s.Reaction(i).Nominal, 1e-8*load)
		}
	}
	// Near a corner the leg across from it lifts; by hand the other three carry 0.1, 0.1 and 0.8.
	for lifts, c := range corners {
		m, err := statics.New(top(-.8*c[0], -.8*c[1]))
		require.NoError(t, err)
		s, err := m.Step(square, statics.Attitude{})
		require.NoError(t, err)
		for i := range square {
			want := .1
			switch i {
			case lifts:
				want = 0
			case 3 - lifts:
				want = .8
			}
			assert.InDelta(t, want*load, s.Reaction(i).Nominal, 1e-8*load, "leg %d of those without %d", i, lifts)
		}
	}
	// Six legs in two rows, loaded near one end, 0.1 m to the left: the two at the other end lift, and by
	// hand four springs carry 0.25 ± 0.15 ± 0.025.
	m, err := statics.New(top(-.8, .1))
	require.NoError(t, err)
	var legs []statics.Support
	for _, x := range []float64{1, 0, -1} {
		legs = append(legs, statics.Support{Name: "left", At: statics.Vec{X: x, Y: 1}}, statics.Support{Name: "right", At: statics.Vec{X: x, Y: -1}})
	}
	s, err := m.Step(legs, statics.Attitude{})
	require.NoError(t, err)
	for i, want := range []float64{0, 0, .125, .075, .425, .375} {
		assert.InDelta(t, want*load, s.Reaction(i).Nominal, 1e-8*load, "leg %d of six", i)
	}
	for _, e := range []float64{0, .1, .25} {
		m, err := statics.New(top(e, 0))
		require.NoError(t, err)
		r, h := 0.6, 0.6*math.Sqrt(3)/2
		s, err := m.Step([]statics.Support{{Name: "1", At: statics.Vec{X: r}}, {Name: "2", At: statics.Vec{X: -r / 2, Y: h}}, {Name: "3", At: statics.Vec{X: -r / 2, Y: -h}}}, statics.Attitude{})
		require.NoError(t, err)
		assert.InDelta(t, load/3*(1+2*e/r), s.Reaction(0).Nominal, 1e-8*load)
		assert.InDelta(t, load/3*(1-e/r), s.Reaction(1).Nominal, 1e-8*load)
		assert.InDelta(t, load/3*(1-e/r), s.Reaction(2).Nominal, 1e-8*load)
	}
}

// The wishbone car of the reference: 13 bodies. What a whole check costs.
func BenchmarkNew(b *testing.B) {
	e := wishboneCar(b)
	for b.Loop() {
		if _, err := statics.New(e.sys); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkStep(b *testing.B) {
	e := wishboneCar(b)
	m, err := statics.New(e.sys)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := m.Step(e.supports, statics.Attitude{Push: 0.05}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkStand is a step as it really stands: heights, friction, a slope and a second size
// of push; BenchmarkStandResults with every result of it, BenchmarkStepResults the same of
// the plain step.
func BenchmarkStand(b *testing.B)        { benchmarkStand(b, true, false) }
func BenchmarkStandResults(b *testing.B) { benchmarkStand(b, true, true) }
func BenchmarkStepResults(b *testing.B)  { benchmarkStand(b, false, true) }

func benchmarkStand(b *testing.B, really, results bool) {
	e := wishboneCar(b)
	for i := range e.sys.Joints {
		e.sys.Joints[i].Tol = 0.003
	}
	for i := range e.sys.Links {
		e.sys.Links[i].Tol = 0.003
	}
	m, err := statics.New(e.sys)
	if err != nil {
		b.Fatal(err)
	}
	st := statics.Stance{Supports: e.supports, Attitude: statics.Attitude{Push: 0.05}}
	if really {
		st.Supports = rubbing(e.supports, 0.3)
		for i := range st.Supports {
			st.Supports[i].Height = &statics.Height{Z: st.Supports[i].At.Z + 0.3 + 0.001*float64(i), Tol: 0.003}
		}
		st.Slope, st.Pull = 0.005, 0.1
	}
	for b.Loop() {
		s, err := m.Stand(st)
		if err != nil || s.Failure != nil {
			b.Fatal(err, s.Failure)
		}
		if !results {
			continue
		}
		for i := range e.supports {
			s.Reaction(i)
		}
		for i := range e.sys.Joints {
			s.Joint(i)
		}
		for i := range e.sys.Links {
			s.Link(i)
		}
		if really {
			s.Members()
		}
	}
}

// BenchmarkPull is the pull of one person at one place.
func BenchmarkPull(b *testing.B) {
	e := wishboneCar(b)
	m, err := statics.New(e.sys)
	if err != nil {
		b.Fatal(err)
	}
	s, err := m.Stand(statics.Stance{Supports: rubbing(e.supports, 0.2)})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		s.PullAt(statics.Vec{X: 1, Y: .8, Z: .4}, statics.Vec{Y: 1}, math.Inf(1))
	}
}

// BenchmarkLetGoTable is every joint, link and support on one factorisation;
// BenchmarkFreshSolves is the same number of factorisations from the start.
func BenchmarkLetGoTable(b *testing.B) {
	e := wishboneCar(b)
	m, err := statics.New(e.sys)
	if err != nil {
		b.Fatal(err)
	}
	s, err := m.Step(e.supports, statics.Attitude{Push: 0.05})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		for i := range e.sys.Joints {
			_, err = s.LetGo(statics.Removal{Joints: []int{i}})
		}
		for i := range e.sys.Links {
			_, err = s.LetGo(statics.Removal{Links: []int{i}})
		}
		for i := range e.supports {
			_, err = s.LetGo(statics.Removal{Supports: []int{i}})
		}
	}
	if err != nil {
		b.Fatal(err)
	}
}

func BenchmarkFreshSolves(b *testing.B) {
	e := wishboneCar(b)
	for b.Loop() {
		for range len(e.sys.Joints) + len(e.sys.Links) + len(e.supports) {
			if _, err := statics.New(e.sys); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// wishboneCar is the first vehicle of the reference.
func wishboneCar(b testing.TB) example {
	sys, supports := readReference(b).Vehicles[0].system(b, false)
	return example{sys: sys, supports: supports}
}

// A support counts as a corner when it stands a tenth of a millimetre or more
// outside the line of its neighbours, however far these are apart.
func TestSupportsOnALineAreNoCorners(t *testing.T) {
	for _, half := range []float64{0.15, 2} { // m, half the distance of the neighbours
		m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: "frame", Masses: []statics.Mass{{Name: "frame", M: 400, CG: statics.Vec{X: half, Y: 0.3, Z: 0.4}}}}}})
		require.NoError(t, err)
		for out, corners := range map[float64]int{0: 3, 0.00009: 3, 0.00011: 4, 0.01: 4, -0.01: 3} {
			st := m.Stability([]statics.Support{
				{Name: "rear", At: statics.Vec{}}, {Name: "middle", At: statics.Vec{X: half, Y: -out}}, {Name: "front", At: statics.Vec{X: 2 * half}},
				{Name: "left", At: statics.Vec{X: half, Y: 1}}, {Name: "on the left one", At: statics.Vec{X: half, Y: 1, Z: 0.1}},
			}, 0)
			require.NotNil(t, st)
			assert.Len(t, st.Corners, corners, "%g m out of %g m", out, 2*half)
		}
	}
}
