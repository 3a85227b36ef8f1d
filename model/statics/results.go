package statics

import (
	"fmt"
	"iter"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// check recomputes the balance of every body in every case from the forces
// themselves. An answer that does not balance is no answer. The other sets of supports
// of a case differ by forces whose balance was looked at already.
func (s *Step) check() error {
	col := make([]float64, s.m.rows)
	for i := range s.cases {
		lc := &s.cases[i]
		sh := &lc.shares[0]
		clear(col)
		for row := range s.m.rows {
			for i, size := range []float64{lc.g.X, lc.g.Y, lc.g.Z} {
				col[row] -= size * s.m.pull[i].w.At(row, 0)
			}
			if s.m.press.w != nil {
				col[row] -= s.m.press.w.At(row, 0)
			}
		}
		for j, c := range s.m.basis {
			f := sh.x[j]
			s.m.wrench(col, c.b, r3.Scale(f, c.force), r3.Scale(f, c.moment), c.at)
			s.m.wrench(col, c.a, r3.Scale(-f, c.force), r3.Scale(-f, c.moment), c.at)
		}
		for i, p := range s.Supports {
			s.m.wrench(col, p.Body, sh.force[i], Vec{}, p.At)
		}
		for i := range s.Ties {
			s.m.pulled(col, s.Ties[i], sh.v[len(s.Supports)+i])
		}
		if out := norm(col); math.IsNaN(out) || out > 1e-6 {
			return fmt.Errorf("case %q is out of balance by %.1e of the weight", lc.name, out)
		}
	}
	return nil
}

// pulled writes the pull of a tie into the equations of its two bodies.
func (m *Model) pulled(into []float64, t Tie, pull float64) {
	u := r3.Scale(pull, r3.Unit(r3.Sub(t.PA, t.PB))) // a pulling tie draws B towards A
	if t.Pushes {
		u = r3.Scale(-1, u)
	}
	m.wrench(into, t.B, u, Vec{}, t.PB)
	m.wrench(into, t.A, r3.Scale(-1, u), Vec{}, t.PA)
}

// noise is by how much, as a share, a case must exceed another to be the worst: of
// two that are the same the first is named, not the one that rounding favours.
const noise = 1e-9

// Range is a result over all load cases.
type Range struct {
	Nominal     float64 // straight down, even floor, nominal masses
	Least, Most float64 // over every case and the ± of the masses
	Case        string  // the case of the value that is larger in size
}

// Weight is the nominal weight of the vehicle, N.
func (s *Step) Weight() float64 { return s.m.weight }

// result is a number that is linear in the unknowns, or what holders carry together.
type result struct {
	parts   []part
	along   Vec   // the component of the parts that is meant
	holders []int // where there are no parts
}

// part is one unknown's contribution to a vector.
type part struct {
	col int
	by  Vec
}

// nominal is a result for one set of supports that takes the push, a share of the weight.
func (r result) nominal(sh *share) float64 {
	if r.parts == nil {
		sum := 0.0
		for _, h := range r.holders {
			sum += sh.v[h]
		}
		return sum
	}
	return r3.Dot(sumOf(r.parts, sh.x), r.along)
}

// factors fills in what each load of the model adds to a result in a case.
func (s *Step) factors(into []float64, lc *loadCase, r result) {
	clear(into)
	if r.parts == nil {
		for i, h := range lc.on {
			if slices.Contains(r.holders, h) {
				for k, by := range lc.r.RawRowView(i) {
					into[k] += by
				}
			}
		}
		return
	}
	for _, p := range r.parts {
		if by := r3.Dot(p.by, r.along); by != 0 {
			s.addRow(into, lc, p.col, by)
		}
	}
}

// addRow adds a multiple of what an unknown is under each load in a case.
func (s *Step) addRow(into []float64, lc *loadCase, col int, by float64) {
	x, y, z := s.m.pull[0].x.RawRowView(col), s.m.pull[1].x.RawRowView(col), s.m.pull[2].x.RawRowView(col)
	for k := range into {
		into[k] += by * (lc.g.X*x[k] + lc.g.Y*y[k] + lc.g.Z*z[k])
	}
	for i, d := range s.m.doubts {
		into[d.load] += by * s.m.press.x.At(col, 1+i)
	}
	for i, j := range lc.on {
		b, row := by*s.xb(lc.g, col, j), lc.r.RawRowView(i)
		for k := range into {
			into[k] -= b * row[k]
		}
	}
}

// at is one unknown in a case under one of the model's loads.
func (s *Step) at(lc *loadCase, col, load int) float64 {
	x := lc.g.X*s.m.pull[0].x.At(col, load) + lc.g.Y*s.m.pull[1].x.At(col, load) + lc.g.Z*s.m.pull[2].x.At(col, load)
	for i, d := range s.m.doubts {
		if d.load == load {
			x += s.m.press.x.At(col, 1+i)
		}
	}
	for i, j := range lc.on {
		x -= s.xb(lc.g, col, j) * lc.r.At(i, load)
	}
	return x
}

// leans is by how much a result of a footing changes for a unit lean of gravity forward
// and to the left: as much as for a push, for each newton of it, that the supports share in
// proportion to their loads.
func (s *Step) leans(w *footing, r result) (lean [2]float64) {
	for i := range lean {
		if r.parts == nil {
			for k, h := range w.on {
				if slices.Contains(r.holders, h) {
					lean[i] += w.r[i+1][k]
				}
			}
			continue
		}
		for _, p := range r.parts {
			if by := r3.Dot(p.by, r.along); by != 0 {
				lean[i] += by * w.gain[i][p.col]
			}
		}
	}
	return lean
}

// gains is by how much every unknown changes for each newton of a push along e, forward (0) or to the
// left (1), that the supports of a footing share in proportion to their loads.
func (s *Step) gains(w *footing, e Vec, way int) []float64 {
	list := make([]float64, s.m.n)
	for col := range list {
		list[col] = s.x0(e, col)
	}
	for i, j := range w.on {
		s.relieve(list, w.down, j, -w.r[way+1][i])
		if j < len(s.Supports) {
			s.relieve(list, e, j, -w.r[0][i])
		}
	}
	return list
}

// over collects a result over all cases.
func (s *Step) over(even float64, r result) Range {
	out := Range{Nominal: even, Least: math.Inf(1), Most: math.Inf(-1)}
	size := -1.0
	factors := make([]float64, len(s.m.loads))
	for i := range s.cases {
		lc := &s.cases[i]
		down, up := s.around(factors, lc, r)
		for k := range lc.shares {
			at := r.nominal(&lc.shares[k])
			least, most := (at+down)*s.m.weight, (at+up)*s.m.weight
			if big := max(math.Abs(least), math.Abs(most)); big > size*(1+noise) {
				size, out.Case = big, lc.name
			}
			out.Least, out.Most = min(out.Least, least), max(out.Most, most)
		}
	}
	return out
}

// around is how far below and above its nominal value a result may be in a case over the
// ± of masses and attitude; factors is room to work in.
func (s *Step) around(factors []float64, lc *loadCase, r result) (down, up float64) {
	s.factors(factors, lc, r)
	factors[0] = 0
	down, up = s.m.extremes(factors)
	if lc.leansFurther() {
		lean := s.leans(lc.footing, r)
		more := lc.spread(lean[0], lean[1])
		down, up = down-more, up+more
	}
	return down, up
}

// Reaction returns what a support carries, straight up, N.
func (s *Step) Reaction(i int) Range {
	out := s.Together([]int{i})
	out.Least = max(0, out.Least)
	return out
}

// Together returns what supports carry between them in one and the same case, straight up, N.
func (s *Step) Together(supports []int) Range {
	even := 0.0
	for _, i := range supports {
		even += s.even[i]
	}
	return s.over(even, result{holders: supports})
}

// Tie returns the pull of a tie, or the push of a stop, N.
func (s *Step) Tie(i int) Range { return s.Reaction(len(s.Supports) + i) }

// Pushes returns what a support passes to its body in each load case, N: against
// gravity and the sideways push together, lengthened to its bound over the ± of the masses.
func (s *Step) Pushes(i int) []Vec {
	var list []Vec
	factors := make([]float64, len(s.m.loads))
	for k := range s.cases {
		lc := &s.cases[k]
		_, up := s.around(factors, lc, result{holders: []int{i}})
		for n := range lc.shares {
			sh := &lc.shares[n]
			v, most := sh.v[i], max(0, sh.v[i]+up)*s.m.weight
			if v > balance {
				list = append(list, r3.Scale(most/v, sh.force[i]))
			} else {
				list = append(list, r3.Scale(-most, lc.g))
			}
		}
	}
	return list
}

// forces is what a joint passes to its body B by its unknowns.
func (s *Step) forces(joint int) []part {
	m := s.m
	var list []part
	for _, c := range m.cols[joint] {
		if f := m.basis[c].force; f != (Vec{}) {
			list = append(list, part{c, f})
		}
	}
	return list
}

// worst is the same where one member is stiff, once for each that may be.
func (s *Step) worst(joint int) [][]part { return s.stiffened(s.alone(joint)) }

// alone is what a joint passes with all of the axial force of a hinge on this one of its two bearings:
// with any end float one of them takes it all.
func (s *Step) alone(joint int) []part {
	list := s.forces(joint)
	if h := s.m.hinge[joint]; !s.split && h.other >= 0 {
		for _, p := range s.forces(h.other) {
			if along := r3.Dot(p.by, h.axis); along != 0 {
				list = append(list, part{p.col, r3.Scale(h.sign*along, h.axis)})
			}
		}
	}
	return list
}

// moments is the moment that a joint passes to its body B by its unknowns, without the part about a
// direction that something else takes; the whole where that is zero.
func (m *Model) moments(joint int, taken Vec) []part {
	var list []part
	for _, c := range m.cols[joint] {
		t := m.basis[c].moment
		if taken != (Vec{}) {
			t = offAxis(t, r3.Unit(taken))
		}
		if r3.Norm(t) > noise {
			list = append(list, part{c, t})
		}
	}
	return list
}

// offAxis is the part of a vector at right angles to a unit vector.
func offAxis(v, u Vec) Vec { return r3.Sub(v, r3.Scale(r3.Dot(u, v), u)) }

// hinge is the other of two bearings between the same two bodies.
type hinge struct {
	other int // the joint; −1 of a joint that is none of two
	axis  Vec
	sign  float64 // −1 where the other lists its bodies the other way round
}

// slides reports whether a joint is one of two bearings of a hinge where it has a fellow.
func (j *Joint) slides() bool { return j.Kind == Ball || j.Kind == Pivot || j.Kind == Torsion }

// hinges finds the pairs of bearings.
func (m *Model) hinges() {
	m.hinge = make([]hinge, len(m.sys.Joints))
	for i, a := range m.sys.Joints {
		count := 0
		for k, b := range m.sys.Joints {
			same, turned := a.A == b.A && a.B == b.B, a.A == b.B && a.B == b.A
			if i == k || a.A == a.B || !same && !turned {
				continue
			}
			line := r3.Sub(b.At, a.At)
			if count++; a.slides() && b.slides() && r3.Norm(line) > 1e-6 {
				m.hinge[i] = hinge{other: k, axis: r3.Unit(line), sign: map[bool]float64{true: 1, false: -1}[same]}
			} else {
				count = 2
			}
		}
		if count != 1 {
			m.hinge[i].other = -1
		}
	}
}

// sumOf is the nominal vector of some parts, as a share of the weight.
func sumOf(parts []part, x []float64) Vec {
	var v Vec
	for _, p := range parts {
		v = r3.Add(v, r3.Scale(x[p.col], p.by))
	}
	return v
}

// Link returns the force in a link, N; pull is positive.
func (s *Step) Link(i int) Range {
	cols := s.m.cols[len(s.m.sys.Joints)+i]
	if len(cols) == 0 {
		return Range{}
	}
	u := s.m.basis[cols[0]].force
	return s.overAll(s.atEven(cols[0]), s.stiffened([]part{{cols[0], u}}), u)
}

// Along returns the force that a joint passes along a direction, on its body B.
func (s *Step) Along(joint int, direction Vec) Range {
	if len(s.m.cols[joint]) == 0 {
		return Range{}
	}
	u := r3.Unit(direction)
	return s.overAll(r3.Dot(s.evenVec(s.forces(joint)), u), s.worst(joint), u)
}

// overAll collects a component over all cases and whichever member is stiff.
func (s *Step) overAll(even float64, stiff [][]part, along Vec) Range {
	out := s.over(even, result{parts: stiff[0], along: along})
	for _, parts := range stiff[1:] {
		r := s.over(even, result{parts: parts, along: along})
		if max(r.Most, -r.Least) > max(out.Most, -out.Least)*(1+noise) {
			out.Case = r.Case
		}
		out.Least, out.Most = min(out.Least, r.Least), max(out.Most, r.Most)
	}
	return out
}

// atEven is one unknown, straight down on an even floor, N.
func (s *Step) atEven(col int) float64 {
	g := s.dirs[0].g
	f := (s.x0(g, col) + s.m.pressedIn(col)) * s.m.weight
	for j, r := range s.even {
		f -= s.xb(g, col, j) * r
	}
	return f
}

func (s *Step) evenVec(parts []part) Vec {
	var v Vec
	for _, p := range parts {
		v = r3.Add(v, r3.Scale(s.atEven(p.col), p.by))
	}
	return v
}

// vector is what parts come to in a case, and by how much its length may grow over the ± of masses and
// attitude, and of springs, shares of the weight.
type vector struct {
	in            *loadCase
	is            Vec
	more, pressed float64
}

// most is how long it may be.
func (v vector) most() float64 { return length(v.is) + v.more + v.pressed }

// vectors yields what parts come to in every case, for each set of supports that takes the push and
// whichever member is stiff.
func (s *Step) vectors(stiff [][]part) iter.Seq[vector] {
	return func(yield func(vector) bool) {
		var moves responses
		for _, parts := range stiff {
			for _, p := range parts {
				if moves.of(p.col) == nil {
					moves = append(moves, response{col: p.col, loads: make([]float64, len(s.m.loads))})
				}
			}
		}
		changes := make([]Vec, len(s.m.loads))
		for i := range s.cases {
			lc := &s.cases[i]
			for m := range moves {
				s.respond(&moves[m], lc)
			}
			for _, parts := range stiff {
				more := s.bound(changes, lc, parts, moves)
				pressed := s.m.pressed3(changes)
				for k := range lc.shares {
					if !yield(vector{lc, sumOf(parts, lc.shares[k].x), more, pressed}) {
						return
					}
				}
			}
		}
	}
}

// response is by how much an unknown changes in a case with each load, and with a lean of gravity forward
// and to the left.
type response struct {
	col   int
	loads []float64
	lean  [2]float64
}

// responses are those of the few unknowns that make up one vector.
type responses []response

// of is the response of an unknown, or nil.
func (list responses) of(col int) *response {
	for i := range list {
		if list[i].col == col {
			return &list[i]
		}
	}
	return nil
}

func (s *Step) respond(to *response, lc *loadCase) {
	clear(to.loads)
	s.addRow(to.loads, lc, to.col, 1)
	for way := range to.lean {
		if lc.leansFurther() {
			to.lean[way] = lc.gain[way][to.col]
		}
	}
}

// bound is by how much the length of a vector may grow over the ± of masses and attitude
// in a case, a share of the weight: the lengths of all changes, added as if they pointed
// the same way. It uses the memory of changes.
func (s *Step) bound(changes []Vec, lc *loadCase, parts []part, moves responses) float64 {
	clear(changes)
	var lean [2]Vec
	for _, p := range parts {
		of := moves.of(p.col)
		for k, by := range of.loads[1:] {
			changes[k+1] = r3.Add(changes[k+1], r3.Scale(by, p.by))
		}
		for way, by := range of.lean {
			lean[way] = r3.Add(lean[way], r3.Scale(by, p.by))
		}
	}
	return s.m.norm3(changes) + lc.spreadOf(lean[0], lean[1])
}

// Force is what a joint passes to its body B.
type Force struct {
	Nominal Vec     // N, straight down on an even floor
	At      Vec     // N, the nominal vector of the worst case
	Worst   float64 // N, length over every case; the ± of the masses are added as if all pointed the same way
	Moment  float64 // N·m, the same for the moment; zero for a ball joint
	Case    string
}

// Joint returns the force that a joint passes. The worst of a bearing that is one of two
// of a hinge holds all of their axial force.
func (s *Step) Joint(i int) Force {
	if len(s.m.cols[i]) == 0 {
		return Force{}
	}
	out := Force{Nominal: s.evenVec(s.forces(i))}
	for v := range s.vectors(s.worst(i)) {
		f := v.most() * s.m.weight
		if f > out.Worst*(1+noise) {
			out.Case, out.At = v.in.name, r3.Scale(s.m.weight, v.is)
		}
		out.Worst = max(out.Worst, f)
	}
	out.Moment = s.longest(s.stiffened(s.m.moments(i, Vec{})), func(v Vec) Vec { return v })
	return out
}

// Wrench is a force, N, and the moment with it, N·m, which may be longer by some more, whichever way
// that points.
type Wrench struct {
	Force, Moment Vec
	More          float64
}

// Wrenches returns what a joint passes to its body B in each load case: the nominal force, lengthened
// to its bound over the ± of the masses, and the moment of that case about the joint, without the part about a
// direction that something else takes; the whole where that is zero.
func (s *Step) Wrenches(i int, taken Vec) []Wrench {
	if len(s.m.cols[i]) == 0 {
		return nil
	}
	forces, moments := s.alone(i), s.m.moments(i, taken)
	turns := slices.Collect(s.vectors(s.stiffened(moments, forces...)))
	var list []Wrench
	n := 0
	for v := range s.vectors(s.stiffened(forces, moments...)) {
		with := Wrench{Moment: r3.Scale(s.m.weight, turns[n].is), More: (turns[n].more + turns[n].pressed) * s.m.weight}
		n++
		ways := []Vec{v.is}
		if r3.Norm(v.is) <= 1e-9 {
			ways = []Vec{{X: 1}, {Y: 1}, {Z: 1}} // without a nominal direction it may point along any axis
		}
		for _, way := range ways {
			with.Force = r3.Scale(v.most()*s.m.weight/r3.Norm(way), way)
			list = append(list, with)
		}
	}
	return list
}

// Across returns the length of a joint's force at right angles to a direction,
// worst over every case.
func (s *Step) Across(joint int, direction Vec) float64 {
	u := r3.Unit(direction)
	return s.longest(s.worst(joint), func(v Vec) Vec { return offAxis(v, u) })
}

// Turns returns the moment that a joint passes about a direction and the moment at right angles to it,
// N·m, each worst over every case, without the part about another direction that something else takes; the
// whole where that is zero.
func (s *Step) Turns(joint int, direction, taken Vec) (about, bends float64) {
	u, parts := r3.Unit(direction), s.stiffened(s.m.moments(joint, taken))
	about = s.longest(parts, func(v Vec) Vec { return r3.Scale(r3.Dot(u, v), u) })
	bends = s.longest(parts, func(v Vec) Vec { return offAxis(v, u) })
	return about, bends
}

// longest is the greatest length of a vector result, as far as of takes it, over every
// case.
func (s *Step) longest(stiff [][]part, of func(Vec) Vec) float64 {
	taken := make([][]part, len(stiff))
	for i, parts := range stiff {
		for _, p := range parts {
			taken[i] = append(taken[i], part{p.col, of(p.by)})
		}
	}
	worst := 0.0
	for v := range s.vectors(taken) {
		worst = max(worst, v.most()*s.m.weight)
	}
	return worst
}

// Way is one way in which the vehicle stands on few supports.
type Way struct {
	Supports []int
	Carry    []float64 // N
}

// Ways lists every way of standing straight down on as few supports as can carry
// everything, with nominal masses. Ties are numbered after the supports.
func (s *Step) Ways() []Way {
	var list []Way
	for i := range s.cases {
		lc := &s.cases[i]
		if lc.dir != 0 || !lc.nominal || slices.ContainsFunc(list, func(w Way) bool { return slices.Equal(w.Supports, lc.loaded) }) {
			continue
		}
		w := Way{Supports: lc.loaded}
		for _, j := range lc.loaded {
			w.Carry = append(w.Carry, lc.shares[0].v[j]*s.m.weight)
		}
		list = append(list, w)
	}
	return list
}
