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

// stiffen works out what every joint and link takes of what equilibrium leaves open when one of them,
// itself or another, is stiffer than the rest. The least of Σ x² + (1/k − 1)·|x_j|² over all splits
// x = x* + N·y, x* that of least norm and N orthonormal self-stress, gives the unknowns x_i of each in
// closed form:
//
//	x_i = x*_i + (1 − 1/k)·N_i·N_jᵀ·(1 − (1 − 1/k)·N_j·N_jᵀ)⁻¹·x*_j
//
// k times as stiff as the others: what is determinate (N_i zero) stays as it is, and one of two
// that are parallel takes F·k/(k + 1). What another takes may turn round what one passes: of three
// hangers in a row the first is pushed when the middle one is stiff. The two bearings of a hinge are
// one member.
func (m *Model) stiffen() {
	if m.stress == nil {
		return
	}
	m.stiff = make([]map[int][]weight, len(m.cols))
	for j, own := range m.cols {
		member := slices.Clone(own)
		if j < len(m.hinge) {
			if other := m.hinge[j].other; other >= 0 && other < j {
				continue // as of its fellow
			} else if other >= 0 {
				member = append(member, m.cols[other]...)
			}
		}
		if len(member) == 0 {
			continue
		}
		_, p := m.stress.Dims()
		part := mat.NewDense(len(member), p, nil)
		for a, c := range member {
			part.SetRow(a, m.stress.RawRowView(c))
		}
		shared := mat.NewSymDense(len(member), nil)
		shared.SymOuterK(1, part)
		var of, gives mat.Dense // NᵀN_j, and by how much each of x*_j changes every unknown
		of.Mul(m.stress, part.T())
		gives.Mul(&of, whenStiff(shared))
		m.stiff[j] = map[int][]weight{}
		for c := range m.n {
			var list []weight
			for b, other := range member {
				if by := (1 - 1./stiffest) * gives.At(c, b); math.Abs(by) > noise {
					list = append(list, weight{other, by})
				}
			}
			if list != nil {
				m.stiff[j][c] = list
			}
		}
	}
}

// whenStiff is (1 − (1 − 1/k)·N·Nᵀ)⁻¹ by its principal directions. One whose share is whole is
// a stress of the two bearings of a hinge against each other, which no load asks for: left out.
func whenStiff(shared *mat.SymDense) *mat.Dense {
	var eigen mat.EigenSym
	if !eigen.Factorize(shared, true) {
		panic("the self-stress of a member could not be factorised")
	}
	n := shared.SymmetricDim()
	takes := mat.NewDense(n, n, nil)
	var directions mat.Dense
	eigen.VectorsTo(&directions)
	for k, share := range eigen.Values(nil) {
		if share > 1-rankFirm {
			continue
		}
		more := 1 / (1 - (1-1./stiffest)*share)
		for a := range n {
			for b := range n {
				takes.Set(a, b, takes.At(a, b)+more*directions.At(a, k)*directions.At(b, k))
			}
		}
	}
	return takes
}

// stiffened are parts of a joint or link as they are, and with all that it takes, once for each joint or
// link that may be stiffer than what it shares its load with, or than what shares the load of the parts
// beside them.
func (s *Step) stiffened(parts []part, beside ...part) [][]part {
	list := [][]part{parts}
	if s.split {
		return list
	}
	either := slices.Concat(parts, beside)
	for _, changes := range s.m.stiff {
		if !slices.ContainsFunc(either, func(p part) bool { return changes[p.col] != nil }) {
			continue
		}
		all := slices.Clone(parts)
		for _, p := range parts {
			for _, w := range changes[p.col] {
				all = with(all, w.col, r3.Scale(w.by, p.by))
			}
		}
		list = append(list, all)
	}
	return list
}

// with adds what an unknown contributes to parts, of which each unknown is one.
func with(parts []part, col int, by Vec) []part {
	if i := slices.IndexFunc(parts, func(p part) bool { return p.col == col }); i >= 0 {
		parts[i].by = r3.Add(parts[i].by, by)
		return parts
	}
	return append(parts, part{col, by})
}

// Shares reports whether equilibrium leaves open how much of its load a joint, or after the joints a
// link, takes, by more than a hundredth; its worst is that where it or another of them is stiff.
func (s *Step) Shares(member int) bool {
	if s.split || s.m.stiff == nil {
		return false
	}
	return slices.ContainsFunc(s.m.cols[member], func(c int) bool {
		return slices.ContainsFunc(s.m.stiff, func(changes map[int][]weight) bool {
			return slices.ContainsFunc(changes[c], func(w weight) bool { return math.Abs(w.by) > 1e-2 })
		})
	})
}

// Beside is the most that another joint or link passes, N, for each newton by which a link is pressed that
// equilibrium leaves open; +Inf where it leaves nothing open of it. What takes it with little more than that
// newton stands beside it, as a bar beside a spring does, or a push rod behind its rocker; what needs many times as
// much, as links that are nearly parallel, holds it by a lever no longer than the tape's error.
func (m *Model) Beside(link int) float64 {
	if m.stress == nil {
		return math.Inf(1)
	}
	own := m.cols[len(m.sys.Joints)+link]
	if len(own) == 0 {
		return math.Inf(1)
	}
	row := mat.NewVecDense(m.stress.RawMatrix().Cols, m.stress.RawRowView(own[0]))
	share := mat.Dot(row, row)
	if share < rankFirm {
		return math.Inf(1)
	}
	var x mat.VecDense // the least self-stress with a newton in the link
	x.MulVec(m.stress, row)
	most := 0.0
	for k, cols := range m.cols {
		var force Vec
		for _, c := range cols {
			force = r3.Add(force, r3.Scale(x.AtVec(c)/share, m.basis[c].force))
		}
		if k != len(m.sys.Joints)+link {
			most = max(most, r3.Norm(force))
		}
	}
	return most
}
