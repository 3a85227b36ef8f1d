package statics

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// stiffest is how many times as stiff as everything that shares its load a joint or link may be.
// What equilibrium leaves open is split by least norm, as if all were alike; a bush, a bar and a
// bolted bracket are not, and nobody measures them.
const stiffest = 10

// weight is by how much an unknown counts.
type weight struct {
	col int
	by  float64
}

// stiffen works out what each joint and link takes of what equilibrium leaves open when it is
// stiffer than the rest. The least of Σ x² + (1/k − 1)·|x_i|² over all splits x = x* + N·y, x* that of
// least norm and N orthonormal self-stress, gives the unknowns x_i of one member in closed form:
//
//	x_i = (1 − (1 − 1/k)·N_i·N_iᵀ)⁻¹ · x*_i
//
// k times as stiff as the others: what is determinate (N_i zero) stays as it is, and one of two
// that are parallel takes F·k/(k + 1). The two bearings of a hinge are one member.
func (m *Model) stiffen() {
	if m.stress == nil {
		return
	}
	m.stiff = make([][]weight, m.n)
	for i, own := range m.cols {
		member := slices.Clone(own)
		if i < len(m.hinge) && m.hinge[i].other >= 0 {
			member = append(member, m.cols[m.hinge[i].other]...)
		}
		if len(member) == 0 {
			continue
		}
		shared := mat.NewSymDense(len(member), nil)
		for a, c := range member {
			for b := range a + 1 {
				shared.SetSym(a, b, dot(m.stress.RawRowView(c), m.stress.RawRowView(member[b])))
			}
		}
		takes := whenStiff(shared)
		for a, c := range own {
			for b, other := range member {
				if by := takes.At(a, b); math.Abs(by) > noise {
					m.stiff[c] = append(m.stiff[c], weight{other, by})
				}
			}
		}
	}
}

// whenStiff is (1 − (1 − 1/k)·N·Nᵀ)⁻¹ by its principal directions. One whose share is whole is
// a stress of the two bearings of a hinge against each other, which no load asks for.
func whenStiff(shared *mat.SymDense) *mat.Dense {
	var eigen mat.EigenSym
	if !eigen.Factorize(shared, true) {
		panic("the self-stress of a member could not be factorised")
	}
	n := shared.SymmetricDim()
	takes := identity(n)
	var directions mat.Dense
	eigen.VectorsTo(&directions)
	for k, share := range eigen.Values(nil) {
		if share > 1-rankFirm {
			continue
		}
		more := 1/(1-(1-1./stiffest)*share) - 1
		for a := range n {
			for b := range n {
				takes.Set(a, b, takes.At(a, b)+more*directions.At(a, k)*directions.At(b, k))
			}
		}
	}
	return takes
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i, x := range a {
		sum += x * b[i]
	}
	return sum
}

// stiffened are parts of a joint or link with all that it takes when it is stiffer than what
// shares its load.
func (s *Step) stiffened(parts []part) []part {
	if s.split || s.m.stiff == nil {
		return parts
	}
	var list []part
	for _, p := range parts {
		for _, w := range s.m.stiff[p.col] {
			list = append(list, part{w.col, r3.Scale(w.by, p.by)})
		}
	}
	return list
}

// Shares reports whether equilibrium leaves open how much of its load a joint, or after the joints a
// link, takes, by more than a hundredth; its worst is that of a stiff one.
func (s *Step) Shares(member int) bool {
	return !s.split && s.m.stiff != nil && slices.ContainsFunc(s.m.cols[member], func(c int) bool {
		return slices.ContainsFunc(s.m.stiff[c], func(w weight) bool { return w.col == c && w.by > 1.01 })
	})
}
