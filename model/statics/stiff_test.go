package statics

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// lamp hangs a lamp of 10 kg that is guided straight up and down from a frame on three stands, on as
// many bars in line with each other as said.
func lamp(t *testing.T, bars int) *Step {
	t.Helper()
	sys := System{Bodies: []Body{{Name: "frame", Masses: []Mass{{Name: "frame", M: 100, CG: Vec{Z: 1}}}}, {Name: "lamp", Masses: []Mass{{Name: "lamp", M: 10, CG: Vec{Z: 1}}}}},
		Joints: []Joint{{Name: "of the frame with itself", A: 0, B: 0}, {Name: "guide", Kind: Rack, A: 0, B: 1, At: Vec{Z: 1}, Axis: Vec{Z: 1}},
			{Name: "hinge of a shade", A: 0, B: 2, At: Vec{X: .5, Y: .3, Z: 1}}, {Name: "its other bearing", A: 0, B: 2, At: Vec{X: .5, Y: .6, Z: 1}}}}
	sys.Bodies = append(sys.Bodies, Body{Name: "shade"})
	for i := range bars {
		sys.Links = append(sys.Links, Link{Name: "bar", A: 0, B: 1, PA: Vec{Z: 2}, PB: Vec{Z: 1.1 + .1*float64(i)}})
	}
	sys.Links = append(sys.Links, Link{Name: "stay of the shade", A: 0, B: 2, PA: Vec{X: .9, Y: .4, Z: 2}, PB: Vec{X: .9, Y: .4, Z: 1}})
	m, err := New(sys)
	require.NoError(t, err)
	s, err := m.Stand(Stance{Supports: []Support{{Name: "a", At: Vec{X: 1, Y: 1}}, {Name: "b", At: Vec{X: 1, Y: -1}}, {Name: "c", At: Vec{X: -1}}}})
	require.NoError(t, err)
	require.Nil(t, s.Failure)
	return s
}

// Of n bars in line one that is ten times as stiff as each other takes 10/(n + 9), by hand; a single
// one is determinate. On an even floor, and where all is split alike, each takes its n-th.
func TestStiffOneOfSeveral(t *testing.T) {
	const weight = 10 * Gravity
	for bars, takes := range map[int]float64{1: 1, 2: 10. / 11, 3: 10. / 12, 5: 10. / 14} {
		s := lamp(t, bars)
		for i := range bars {
			got := s.Link(i)
			assert.InDelta(t, weight*takes, got.Most, 1e-9, "%d bars", bars)
			assert.InDelta(t, weight/float64(bars), got.Nominal, 1e-9)
			assert.Equal(t, bars > 1, s.Shares(4+i))
		}
		// A newton in one is held by the others alike, and by nothing where there is no other.
		assert.InDelta(t, 1/float64(bars-1), s.m.Beside(0), 1e-9)
		assert.True(t, math.IsInf(s.m.Beside(bars), 1), "the stay of the shade")
		assert.False(t, s.Shares(0))
		assert.False(t, s.Shares(1), "nothing pushes the guide")
		s.split = true
		assert.InDelta(t, weight/float64(bars), s.Link(0).Most, 1e-9)
		assert.False(t, s.Shares(4))
	}
}

// What holds a bar by a short lever passes many times as much: by hand, on a hinged beam the one at 1 m is held by one
// at 0.05 m that passes 20 N for each of its newtons.
func TestBesideByALever(t *testing.T) {
	sys := System{Bodies: []Body{{Name: "frame", Masses: []Mass{{Name: "frame", M: 100, CG: Vec{Z: 1}}}}, {Name: "beam"}},
		Joints: []Joint{{Name: "hinge", Kind: Pivot, A: 0, B: 1, At: Vec{Z: 1}, Axis: Vec{Y: 1}}},
		Links: []Link{
			{Name: "far", A: 0, B: 1, PA: Vec{X: 1, Z: 2}, PB: Vec{X: 1, Z: 1}},
			{Name: "near", A: 0, B: 1, PA: Vec{X: .05, Z: 2}, PB: Vec{X: .05, Z: 1}},
		}}
	m, err := New(sys)
	require.NoError(t, err)
	assert.InDelta(t, 20, m.Beside(0), 1e-9)
	assert.InDelta(t, .95, m.Beside(1), 1e-9, "the hinge passes the rest")
}

// A bracket held by two bolted faces at one place, by hand: either takes 10/11 of its weight of 98 N and
// of the moment of that weight, 0.3 m beside them. The axial force of a hinge goes wholly to one bearing
// whatever its stiffness, and its other forces are determinate.
func TestStiffFaceTakesForceAndMoment(t *testing.T) {
	frame := Body{Name: "frame", Masses: []Mass{{Name: "frame", M: 100, CG: Vec{Z: 1}}}}
	stands := Stance{Supports: []Support{{Name: "a", At: Vec{X: 1, Y: 1}}, {Name: "b", At: Vec{X: 1, Y: -1}}, {Name: "c", At: Vec{X: -1}}}}
	bracket := Body{Name: "bracket", Masses: []Mass{{Name: "bracket", M: 10, CG: Vec{X: .3, Z: 1}}}}
	m, err := New(System{Bodies: []Body{frame, bracket}, Joints: []Joint{{Name: "one", Kind: Fixed, A: 0, B: 1, At: Vec{Z: 1}}, {Name: "two", Kind: Fixed, A: 1, B: 0, At: Vec{Z: 1}}}})
	require.NoError(t, err)
	s, err := m.Stand(stands)
	require.NoError(t, err)
	for i := range 2 {
		f := s.Joint(i)
		assert.InDelta(t, 10*Gravity*10/11, f.Worst, 1e-9)
		assert.InDelta(t, 3*Gravity*10/11, f.Moment, 1e-9)
		assert.InDelta(t, 10*Gravity/2, r3.Norm(f.Nominal), 1e-9)
		about, bends := s.Turns(i, Vec{Y: 1}, Vec{})
		assert.InDelta(t, 3*Gravity*10/11, about, 1e-9)
		assert.InDelta(t, 0, bends, 1e-9)
		assert.InDelta(t, 10*Gravity*10/11, s.Across(i, Vec{Y: 1}), 1e-9)
		assert.InDelta(t, 10*Gravity*10/11, longest(s.Wrenches(i, Vec{})), 1e-9)
	}

	hinge := []Joint{{Name: "left", A: 0, B: 1, At: Vec{Y: .1, Z: 1}}, {Name: "right", A: 0, B: 1, At: Vec{Y: -.1, Z: 1}}}
	m, err = New(System{Bodies: []Body{frame, bracket}, Joints: hinge, Links: []Link{{Name: "stay", A: 0, B: 1, PA: Vec{Z: 1.3}, PB: Vec{X: .3, Y: .1, Z: 1}}}})
	require.NoError(t, err)
	s, err = m.Stand(stands)
	require.NoError(t, err)
	// The stay pulls with W·√(0.3² + 0.1² + 0.3²)/0.3 and along the hinge with W/3, wholly on either.
	assert.InDelta(t, 10*Gravity*math.Sqrt(.19)/.3, s.Link(0).Most, 1e-9)
	for i := range 2 {
		assert.InDelta(t, 10*Gravity/3, s.Along(i, Vec{Y: 1}).Most, 1e-9)
		assert.False(t, s.Shares(i))
	}
}

// The closed form against the split worked out anew with one member made ten times as stiff: the
// least-norm inverse of the equations with that member's columns √10 as long.
func TestStiffAsSolvedAnew(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	at := func() Vec { return Vec{X: rng.Float64() * 2, Y: rng.Float64() - .5, Z: rng.Float64()} }
	for range 20 {
		sys := System{Bodies: []Body{{Name: "a", Masses: []Mass{{M: 100, CG: at()}}}, {Name: "b", Masses: []Mass{{M: 50, CG: at()}}}}}
		for kind := range Torsion {
			sys.Joints = append(sys.Joints, Joint{Kind: kind, A: 0, B: 1, At: at(), Axis: at()})
		}
		for range 3 {
			sys.Links = append(sys.Links, Link{A: 0, B: 1, PA: at(), PB: at()})
		}
		m, err := New(sys)
		require.NoError(t, err)
		a := mat.NewDense(m.rows, m.n, nil)
		for j, c := range m.basis {
			col := make([]float64, m.rows)
			m.wrench(col, c.b, c.force, c.moment, c.at)
			m.wrench(col, c.a, r3.Scale(-1, c.force), r3.Scale(-1, c.moment), c.at)
			a.SetCol(j, col)
		}
		any := make([]float64, m.n)
		for i := range any {
			any[i] = rng.NormFloat64()
		}
		var need, least mat.VecDense
		need.MulVec(a, mat.NewVecDense(m.n, any))
		least.MulVec(m.asks.T(), &need)
		for j, member := range m.cols {
			longer := mat.DenseCopyOf(a)
			for _, c := range member {
				for row := range m.rows {
					longer.Set(row, c, a.At(row, c)*math.Sqrt(stiffest))
				}
			}
			var anew mat.VecDense
			anew.MulVec(pseudoInverse(longer), &need)
			for c := range m.n {
				want, got := anew.AtVec(c), least.AtVec(c)
				if slices.Contains(member, c) {
					want *= math.Sqrt(stiffest)
				}
				for _, w := range m.stiff[j][c] {
					got += w.by * least.AtVec(w.col)
				}
				assert.InDelta(t, want, got, 1e-7)
			}
		}
	}
}

// Three hangers in a row, an engine between the second and the third, 2 m and its c.g. at 1.6 m. By hand: all
// alike the outer ones take W·(1/3 ∓ 0.3), and with N = (1, −2, 1)/√6 a stiff middle one adds
// 0.9·N_1·N_2/(1 − 0.9·2/3)·W/3 = −W/4 to each, so that the first is pushed with W·(1/12 − 0.3). Least
// squares weighted anew, in exact fractions by a script of its own: −0.21667, 0.83333, 0.38333 of W.
func TestAnotherThatIsStiffTurnsItRound(t *testing.T) {
	sys := System{Bodies: []Body{{Name: "frame", Masses: []Mass{{Name: "frame", M: 1000, CG: Vec{X: 1, Z: 2}}}}, {Name: "engine", Masses: []Mass{{Name: "engine", M: 200, CG: Vec{X: 1.6, Z: .5}}}}}}
	for i := range 3 {
		x := float64(i)
		sys.Links = append(sys.Links, Link{Name: "hanger", A: 0, B: 1, PA: Vec{X: x, Z: 2}, PB: Vec{X: x, Z: 1}})
	}
	sys.Links = append(sys.Links, Link{A: 0, B: 1, PA: Vec{X: -1, Z: 1}, PB: Vec{Z: 1}},
		Link{A: 0, B: 1, PA: Vec{Y: 1, Z: 1}, PB: Vec{Z: 1}}, Link{A: 0, B: 1, PA: Vec{X: 2, Y: 1, Z: 1}, PB: Vec{X: 2, Z: 1}}, Link{A: 0, B: 1, PA: Vec{X: 1, Y: 1, Z: .5}, PB: Vec{X: 1, Z: .5}})
	m, err := New(sys)
	require.NoError(t, err)
	s, err := m.Stand(Stance{Supports: []Support{{Name: "a", At: Vec{X: 2, Y: 1}}, {Name: "b", At: Vec{X: 2, Y: -1}}, {Name: "c", At: Vec{X: -1}}}})
	require.NoError(t, err)
	require.Nil(t, s.Failure)
	const weight = 200 * Gravity
	assert.InDelta(t, (1./12-.3)*weight, s.Link(0).Least, 1e-6)
	assert.InDelta(t, 5./6*weight, s.Link(1).Most, 1e-6)
}

// What is split by least norm does not hang on the size of what is drawn: a bracket on a bolted face and a
// strut, ten times as large.
func TestSplitWhateverItsSize(t *testing.T) {
	strut := func(size float64) float64 {
		m, err := New(System{Bodies: []Body{{Name: "frame", Masses: []Mass{{Name: "frame", M: 100, CG: Vec{Z: size}}}}, {Name: "bracket", Masses: []Mass{{Name: "bracket", M: 10, CG: Vec{X: .3 * size, Z: size}}}}},
			Joints: []Joint{{Name: "face", Kind: Fixed, A: 0, B: 1, At: Vec{Z: size}}},
			Links:  []Link{{Name: "strut", A: 0, B: 1, PA: Vec{Z: 1.3 * size}, PB: Vec{X: .3 * size, Z: size}}}})
		require.NoError(t, err)
		s, err := m.Stand(Stance{Supports: []Support{{Name: "a", At: Vec{X: size, Y: size}}, {Name: "b", At: Vec{X: size, Y: -size}}, {Name: "c", At: Vec{X: -size}}}})
		require.NoError(t, err)
		return s.Link(0).Nominal
	}
	assert.InDelta(t, strut(1), strut(10), 1e-9)
	assert.Greater(t, strut(1), 10*Gravity, "the strut takes more than the narrow face")
}

// Three equations of which two say the same have an answer where these agree, whatever their size.
func TestLeastOfThree(t *testing.T) {
	k := [3][3]float64{{1, 2, 0}, {2, 4, 0}, {0, 0, 1}}
	for _, want := range [][3]float64{{1, 2, 0}, {1, 2, 5}, {-3, -6, 1}} {
		x, ok := leastOf3(k, want)
		require.True(t, ok, "%v", want)
		for r := range 3 {
			assert.InDelta(t, want[r], floats.Dot(k[r][:], x[:]), 1e-12)
		}
	}
	_, ok := leastOf3(k, [3]float64{1, 1, 0})
	assert.False(t, ok)
}

// The least-norm inverse leaves out what is less than a thousandth of a millionth of the largest,
// whatever the largest is.
func TestPseudoInverseLeavesOutRounding(t *testing.T) {
	for _, c := range []struct{ large, small, want float64 }{{1e3, 1e-7, 0}, {1e3, 1e-5, 1e5}, {1e-3, 1e-13, 0}, {1e-3, 1e-11, 1e11}} {
		p := pseudoInverse(mat.NewDense(2, 2, []float64{c.large, 0, 0, c.small}))
		assert.InEpsilon(t, 1/c.large, p.At(0, 0), 1e-9)
		assert.InDelta(t, c.want, p.At(1, 1), 1e-3*c.want, "%+v", c)
	}
}

func longest(list []Wrench) float64 {
	most := 0.0
	for _, w := range list {
		most = max(most, r3.Norm(w.Force))
	}
	return most
}

// What the pushes of supports balance best is known by what is left: nothing that pushes would
// balance more of it by pushing more, nor what pushes at all by pushing less (Karush, Kuhn and Tucker).
func TestPushesThatBalanceBest(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 9))
	for range 300 {
		c, d := mat.NewDense(5, 6, nil), make([]float64, 5)
		for i := range 5 {
			d[i] = rng.NormFloat64()
			for j := range 6 {
				c.Set(i, j, rng.NormFloat64()+.5)
			}
		}
		x, left := nnls(c, d)
		for j := range 6 {
			require.GreaterOrEqual(t, x[j], 0.0)
			more := mat.Dot(c.ColView(j), mat.NewVecDense(5, left))
			require.LessOrEqual(t, more, 1e-9)
			if x[j] > 0 {
				require.InDelta(t, 0, more, 1e-9)
			}
		}
	}
}

// What is less than a ten-millionth of the largest says nothing by itself, whatever the largest is.
func TestIndependentWhateverItsSize(t *testing.T) {
	for _, c := range []struct {
		large, small float64
		rank         int
	}{{1e3, 1e-5, 1}, {1e3, 1e-3, 2}, {1e-3, 1e-9, 2}, {1e-3, 1e-11, 1}} {
		rank, _ := independent(mat.NewDense(2, 2, []float64{c.large, 0, 0, c.small})).Dims()
		assert.Equal(t, c.rank, rank, "%+v", c)
	}
}

// Of points that matter alike the first of the file stands first.
func TestForemostOfPointsAlike(t *testing.T) {
	a, b, c := Point{Name: "a", Change: 1}, Point{Name: "b", Change: 1}, Point{Name: "c", Change: 2}
	assert.Equal(t, []Point{c, a, b}, foremost([]Point{a, b, c}))
}

// Three stands in a row give no attitude across it, along the vehicle as little as across.
func TestNoAttitudeFromARow(t *testing.T) {
	for _, at := range [][]Vec{{{}, {X: .01, Y: 1}, {Y: 2}}, {{}, {X: 1, Y: .01}, {X: 2}}} {
		var supports []Support
		for _, p := range at {
			supports = append(supports, Support{At: p, Height: &Height{Z: .1}})
		}
		_, _, _, ok := tilt(supports, []int{0, 1, 2})
		assert.False(t, ok, "%v", at)
	}
	near := []Support{{At: Vec{}, Height: &Height{}}, {At: Vec{X: .1}, Height: &Height{Z: .01}}, {At: Vec{Y: .1}, Height: &Height{}}}
	x, y, _, ok := tilt(near, []int{0, 1, 2})
	require.True(t, ok, "however near they stand")
	assert.InDelta(t, .1, x, 1e-12)
	assert.InDelta(t, 0, y, 1e-12)
}

// What an even split asks of a joint along any direction is never more than its worst: of some joints
// that is more than where any one is stiff.
func TestStiffIsNoLessThanEven(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 1))
	at := func() Vec { return Vec{X: rng.Float64() * 2, Y: rng.Float64() - .5, Z: 1 + rng.Float64()} }
	even := 0
	for range 200 {
		sys := System{Bodies: []Body{{Name: "frame", Masses: []Mass{{M: 100, CG: Vec{Z: 1}}}}, {Name: "part", Masses: []Mass{{M: 50, CG: at()}}}}}
		for range 3 {
			sys.Joints = append(sys.Joints, Joint{Kind: Fixed, A: 0, B: 1, At: at()})
		}
		m, err := New(sys)
		require.NoError(t, err)
		s, err := m.Stand(Stance{Supports: []Support{{Name: "a", At: Vec{X: 3, Y: 3}}, {Name: "b", At: Vec{X: 3, Y: -3}}, {Name: "c", At: Vec{X: -3}}}})
		require.NoError(t, err)
		alike := *s
		alike.split = true
		for i := range sys.Joints {
			for _, along := range []Vec{{X: 1}, {Y: 1}, {Z: 1}} {
				worst, of := s.Along(i, along).Most, alike.Along(i, along).Most
				assert.GreaterOrEqual(t, worst, of-1e-9)
				if worst < of+1e-9 {
					even++
				}
			}
		}
	}
	assert.Positive(t, even, "an even split was nowhere the worst: nothing is shown")
}
