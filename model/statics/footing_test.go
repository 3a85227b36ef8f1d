package statics

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// mixed is an arm on two bearings with a strap and springs of which two may push more, under a frame on four stands of
// unlike heights, with places and ± at random, half of the time with a fifth stand under the arm's end.
func mixed(t *testing.T, rng *rand.Rand) *Step {
	t.Helper()
	near := func(x, y, z float64) Vec {
		by := func() float64 { return .2 * (rng.Float64() - .5) }
		return Vec{X: x + by(), Y: y + by(), Z: z + by()}
	}
	mass := func(name string, kg float64, cg Vec) []Mass {
		return []Mass{{Name: name, M: kg, Tol: kg * rng.Float64() / 10, CG: cg, CGTol: Vec{X: .01 * rng.Float64(), Z: .01}}}
	}
	m, err := New(System{
		Bodies: []Body{{Name: "frame", Masses: mass("frame", 300, near(0, 0, 1))}, {Name: "arm", Masses: mass("arm", 10, near(-.5, 0, .3))}},
		Joints: []Joint{{Name: "left", A: 0, B: 1, At: near(0, .4, .3)}, {Name: "right", A: 0, B: 1, At: near(0, -.4, .3)}},
		Springs: []Spring{
			{Name: "spring", A: 0, B: 1, PA: near(-.5, 0, .8), PB: near(-.5, 0, .3), Push: 900, More: 100},
			{Name: "exact", A: 0, B: 1, PA: near(-.3, 0, .8), PB: near(-.4, 0, .3), Push: 50},
			{Name: "helper", A: 1, B: 0, PA: near(-.7, .1, .3), PB: near(-.7, .1, .8), Push: 200, More: 150},
		},
	})
	require.NoError(t, err)
	st := Stance{
		Ties:     []Tie{{Name: "strap", A: 0, B: 1, PA: near(-1, 0, 1), PB: near(-1, 0, .3)}},
		Attitude: Attitude{Push: .05, Pull: .12, Slope: .01},
	}
	for _, at := range []Vec{near(1, 1, .1), near(1, -1, .1), near(-1, 1, .1), near(-1, -1, .1), near(-1.4, 0, .2)}[:4+rng.IntN(2)] {
		st.Supports = append(st.Supports, Support{Name: "stand", At: at, Height: &Height{Z: at.Z + .02*rng.Float64(), Tol: .003}, Contact: &Contact{Mu: .4, Floor: rng.IntN(2) == 0}})
	}
	if len(st.Supports) == 5 {
		st.Supports[4].Body = 1
	}
	s, err := m.Stand(st)
	require.NoError(t, err)
	require.Nil(t, s.Failure, "%+v", s.Failure)
	return s
}

// Whatever a step combines from what it worked out before is what the equations of all bodies give when they are
// solved anew: reactions that share the push in proportion, and every unknown, for the nominal loads, each ± and each
// slip; and what the sets of supports pass that take it.
func TestCasesAsSolvedAnew(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 7))
	tried := 0
	for range 12 {
		s := mixed(t, rng)
		m := s.m
		for i := range s.cases {
			lc := &s.cases[i]
			equations := mat.NewDense(m.rows, m.n+len(lc.on), nil)
			put := func(j int, write func(col []float64)) {
				col := make([]float64, m.rows)
				write(col)
				equations.SetCol(j, col)
			}
			for j, c := range m.basis {
				put(j, func(col []float64) {
					m.wrench(col, c.b, c.force, c.moment, c.at)
					m.wrench(col, c.a, r3.Scale(-1, c.force), r3.Scale(-1, c.moment), c.at)
				})
			}
			for k, j := range lc.on {
				put(m.n+k, func(col []float64) {
					if j < len(s.Supports) {
						m.wrench(col, s.Supports[j].Body, r3.Scale(-1, lc.g), Vec{}, s.Supports[j].At)
					} else {
						m.pulled(col, s.Ties[j-len(s.Supports)], 1)
					}
				})
			}
			solved := pseudoInverse(equations)
			of := func(need []float64) []float64 {
				var answer mat.VecDense
				answer.MulVec(solved, mat.NewVecDense(m.rows, need))
				return answer.RawVector().Data
			}
			for load, is := range m.loads {
				need := mat.Col(nil, load, m.weights(lc.g, m.loads))
				for _, p := range m.sys.Springs {
					newtons := p.Push
					if load > 0 {
						newtons = 0
						if is.spring && m.sys.Springs[m.doubts[slices.IndexFunc(m.doubts, func(d doubt) bool { return d.load == load })].of].Name == p.Name {
							newtons = 1
						}
					}
					push := r3.Scale(-newtons/m.weight, p.line())
					m.wrench(need, p.B, push, Vec{}, p.PB)
					m.wrench(need, p.A, r3.Scale(-1, push), Vec{}, p.PA)
				}
				want := of(need)
				for k := range lc.on {
					assert.InDelta(t, want[m.n+k], lc.r.At(k, load), 1e-9, "%s, load %d", lc.name, load)
					tried++
				}
				for c := range m.n {
					got := s.at(lc, c, load)
					if load == 0 {
						got += m.pressedIn(c)
					}
					assert.InDelta(t, want[c], got, 1e-9, "%s, load %d", lc.name, load)
				}
			}
			for slip := range m.slips {
				want := of(mat.Col(nil, slip, m.weights(lc.g, m.slips)))
				for k := range lc.on {
					assert.InDelta(t, want[m.n+k], lc.slip.At(k, slip), 1e-9, "%s, slip %d", lc.name, slip)
				}
			}
			for k := range lc.shares {
				alone := *s
				alone.cases = []loadCase{*lc}
				alone.cases[0].shares = lc.shares[k : k+1]
				assert.NoError(t, alone.check())
			}
		}
	}
	assert.Greater(t, tried, 5000)
}

// The side through some columns is square to all of them and one long; there is none where they lie in less than a plane.
func TestSideThrough(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 8))
	for rank := 1; rank <= 6; rank++ {
		for range 50 {
			c := mat.NewDense(rank, rank+2, nil)
			for i := range rank {
				for j := range rank + 2 {
					c.Set(i, j, rng.NormFloat64()*map[bool]float64{true: 1, false: 1e-6}[j%2 == 0])
				}
			}
			var on []int
			for j := range rank - 1 {
				on = append(on, j)
			}
			normal := sideThrough(c, on)
			require.NotNil(t, normal)
			assert.InDelta(t, 1, norm(normal), 1e-12)
			sides := make([]float64, rank+2)
			addRows(sides, normal, c)
			for _, j := range on {
				assert.InDelta(t, 0, sides[j], 1e-12*mat.Norm(c.ColView(j), 2))
			}
			if rank < 3 {
				continue
			}
			// One that is the sum of two others, but for rounding.
			c.SetCol(on[rank-2], mat.Col(nil, on[0], c))
			assert.Nil(t, sideThrough(c, on))
		}
	}
	assert.Nil(t, sideThrough(mat.NewDense(2, 2, nil), []int{0}), "nothing bears at all")
}
