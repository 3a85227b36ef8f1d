// Package statics computes where the weight of a vehicle goes: what every
// support, link and joint carries, what happens when one of them lets go, and how
// far the vehicle is from tipping.
//
// Parts are rigid bodies. A ball joint passes three forces, a pivot three forces
// and two moments, a fixed joint all six; a link passes a force along its length.
// A support pushes and never pulls, a tie pulls and never pushes. Six equations a
// body; supports beyond what equilibrium needs depend on the floor, so every way of
// standing on few supports is followed (the vertices of the set of admissible
// reactions), each at the attitude that its own supports give it. A sideways push
// goes wholly to every set of supports that can take it by friction, and to any other as
// far as it grips. Self-stress
// inside the vehicle takes the least-norm solution, but each joint and link counts with the worst
// that it takes when one of those that share its load, itself or another, is ten times as stiff, and the axial force of a hinge goes
// wholly to either of its two bearings.
//
// Numbers in, numbers and errors out, all in SI units: m, kg, N, N·m. The frame is
// that of ISO 8855: x forward, y left, z up. The package knows no build file and
// judges nothing. Results do not depend on the order of the items, the unit of
// length or the origin: forces are divided by the weight and moments by the weight
// times a length of the geometry before anything is compared with a threshold.
package statics

import (
	"fmt"
	"math"
	"sync"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Vec is a point in m, a force in N or a direction.
type Vec = r3.Vec

// Gravity is the standard acceleration of free fall, m/s², as in model/quantity:
// this package imports nothing of the module.
const Gravity = 9.80665

// Mass is one mass of a body with its centre of gravity and the half-widths of
// their uncertainty.
type Mass struct {
	Name  string
	M     float64    // kg, not negative
	Tol   float64    // kg
	CG    Vec        // m
	CGTol Vec        // m, each component not negative
	Doubt [2]float64 // m, what nobody wrote of the ± of CG, along and across; of tipping alone
}

// Body is a rigid body: one part, or several that are held together.
type Body struct {
	Name   string
	Masses []Mass
}

// JointKind says what a joint passes.
type JointKind uint8

// The kinds of joint.
const (
	Ball    JointKind = iota // three forces: a ball joint, a rod end, a bush
	Pivot                    // three forces, and moments about the two directions across Axis: a long bearing
	Fixed                    // three forces and three moments
	Slider                   // forces and moments across Axis, two each: it slides along it and turns about it
	Rack                     // two forces across Axis and three moments: it slides and does not turn
	Torsion                  // three forces, and the moment about Axis: a bush that a torsion bar turns in
)

// Joint is a place where bodies A and B meet. A joint between a body and itself
// passes nothing.
type Joint struct {
	Name string
	Kind JointKind
	A, B int // indexes of the bodies
	At   Vec
	Tol  float64 // m, of each coordinate of At
	Axis Vec     // for a Pivot, Slider or Rack: the direction about or along which it is free, for a Torsion that of its moment, for a Ball that swings that of its hinge, any length
	// Swings says that a Pivot, or a Ball with an axis, may turn about it: that freedom is no lack
	// of equilibrium as long as nothing but the weight of what swings drives it.
	Swings bool
}

// Link is a bar between two bodies that passes a force along its length.
type Link struct {
	Name   string
	A, B   int
	PA, PB Vec     // its ends, m
	Tol    float64 // m, of each coordinate of its ends
}

// Spring pushes two bodies apart along its line, as hard as it is pressed where they are, whatever they
// carry.
type Spring struct {
	Name   string
	A, B   int     // indexes of the bodies
	PA, PB Vec     // its ends, m
	Tol    float64 // m, of each coordinate of its ends
	Push   float64 // N, on either
	More   float64 // N, by how much more or less that may be; never less than nothing
}

// on is the force on its body B, N; on A acts the opposite.
func (p Spring) on() Vec { return r3.Scale(p.Push, p.line()) }

// line is the direction of that.
func (p Spring) line() Vec { return r3.Unit(r3.Sub(p.PB, p.PA)) }

// Held is a link that is a spring of which it is known how hard it is pressed on its supports; see Share.
type Held struct {
	Link int
	Push float64 // N
	More float64 // N, by how much more or less that may be
}

// System is a vehicle without its supports.
type System struct {
	Bodies  []Body
	Joints  []Joint
	Links   []Link
	Springs []Spring
	Held    []Held
	Eased   [][]float64 // sums of unknowns, each so many times, that come to nothing; see Ease
	Base    int         // the body that the vehicle is built on
	// Say prints a distance, m, in words about the vehicle; millimetres without it.
	Say func(metres float64) string
}

// Thresholds of the rank decision, relative to the largest singular value of the
// scaled equilibrium matrix. Below rankZero a singular value is rounding: double
// precision leaves about 1e-15 times the size of the matrix. Above rankFirm it is
// geometry: it takes an offset of about a hundredth of a millimetre on a car to
// make one, finer than any tape measure. Between them lies geometry that is
// singular to a builder and regular to a computer; it is refused.
const (
	rankZero = 1e-10
	rankFirm = 1e-5
)

// Widths over which joints pass moments, as shares of the size of the geometry. The
// least-norm split weighs a moment as the pair of forces it takes at that width, so
// that what forces can carry is not put on the moments of narrow bearings: 5 % is
// 65 mm on a car, the length of a bush, and 15 % is 200 mm, the width of a bolted
// face.
const (
	bushWidth = 0.05
	faceWidth = 0.15
)

// balance is how far an equation may be out of balance, as a share of the weight
// (or of weight times length), and still count as balanced.
const balance = 1e-8

// Model is a vehicle made ready: one factorisation that serves all its supports,
// load cases and removals. It remembers what it worked out for a removal. It is safe for
// concurrent use.
type Model struct {
	sys    System
	weight float64 // N, nominal; scales forces
	size   float64 // m; scales moments
	origin Vec     // nominal centre of gravity of the whole
	centre []Vec   // nominal centre of gravity of each body
	cols   [][]int // unknowns of each joint, then of each link
	swings []swing // what may swing
	hinge  []hinge // of every joint: the other bearing of its hinge
	rows   int
	n      int // unknowns

	asks   *mat.Dense         // rows × n, the least-norm inverse turned over: what each equation asks of every unknown
	null   *mat.Dense         // rows × q, motions that the joints and links leave free, and then what the eased and held ones keep from happening
	stress *mat.Dense         // n × p, self-stress; nil when there is none
	stiff  []map[int][]weight // of every joint and link: what is added to each unknown where it is stiff; nil when there is no self-stress
	basis  []column           // of every unknown: force and moment on its two bodies

	frees *mat.Dense // n × rows, the motion that every unknown keeps from happening, the base held still where the rest lets it be; nil without unknowns
	mu    sync.Mutex
	lost  map[string]*mat.Dense // what self-stress cannot take over, by removed unknowns

	loads  []load // nominal, then one for each uncertain direction of each mass
	slips  []load // what masses without ± ask for: weight, and moment about where they are drawn
	params []param
	pull   [3]pull // gravity along x, y and z; gravity along any direction is their sum
	alone  []Vec   // of every unknown: what it is under each of the three without any support or tie
	doubts []doubt // of springs and held links
	press  press
}

// pull is a unit of gravity along one direction.
type pull struct {
	w *mat.Dense // rows × loads, what must be carried
	d *mat.Dense // nullᵀ·w
	x *mat.Dense // asksᵀ·w; nil without unknowns

	slips *mat.Dense // nullᵀ·(what the slips ask for); nil without any
	slipX *mat.Dense // asksᵀ·(what the slips ask for)
}

// press is what springs ask for, whichever way gravity pulls: all of them as they are drawn, then a newton
// more of each that may push more.
type press struct {
	w *mat.Dense // rows × (1 + doubts), what must be carried; nil without springs and held links
	d *mat.Dense // nullᵀ·w, and the push of held links
	x *mat.Dense // asksᵀ·w; nil without unknowns
}

// doubt is a spring or held link that may push more or less, and where a newton more of it stands in Model.loads.
type doubt struct {
	push, more float64 // N
	of         int     // among the springs, and then the held links
	load       int
}

// column is one unknown: a unit force or moment on body B and its opposite on A.
type column struct {
	a, b   int
	force  Vec // on B
	moment Vec // on B, a free moment
	at     Vec
}

// ErrNearlySingular says that geometry is singular within measuring accuracy.
type ErrNearlySingular struct {
	Value float64 // the singular value relative to the largest
	Words string  // the motion that is nearly free
}

func (e *ErrNearlySingular) Error() string {
	return fmt.Sprintf("by the points in the file it is only just held (%.1e): %s; measure the points again or add the member that is missing", e.Value, e.Words)
}

// New makes a vehicle ready. It fails when the data is not finite, a joint or
// link names no body, a link has no length, a pivot no axis, the vehicle no mass,
// or the geometry is nearly singular.
func New(sys System) (m *Model, err error) {
	defer recoverTo(&err)
	if err := validate(sys); err != nil {
		return nil, err
	}
	m = &Model{sys: sys, rows: 6 * len(sys.Bodies)}
	m.scale()
	m.unknowns()
	m.hinges()
	if err := m.factor(); err != nil {
		return nil, err
	}
	if m.holdSwings() {
		if err := m.factor(); err != nil {
			return nil, err
		}
	}
	m.free()
	m.hold()
	m.lost = map[string]*mat.Dense{}
	m.stiffen()
	m.parameters()
	for i, e := range []Vec{{X: 1}, {Y: 1}, {Z: 1}} {
		m.pull[i] = m.pullAlong(e)
	}
	for c := range m.n {
		m.alone = append(m.alone, Vec{X: m.pull[0].x.At(c, 0), Y: m.pull[1].x.At(c, 0), Z: m.pull[2].x.At(c, 0)})
	}
	m.pressed()
	return m, nil
}

// recoverTo turns a panic of the matrix library into an error. Panics of ours
// are errors here as well: no file may stop the program.
func recoverTo(err *error) {
	if p := recover(); p != nil {
		*err = fmt.Errorf("statics: %v", p)
	}
}

func validate(sys System) error {
	finite := func(v Vec) bool { return !math.IsNaN(v.X+v.Y+v.Z) && !math.IsInf(v.X+v.Y+v.Z, 0) }
	if len(sys.Bodies) == 0 || sys.Base < 0 || sys.Base >= len(sys.Bodies) {
		return fmt.Errorf("no bodies, or the base is none of them")
	}
	total := 0.0
	for _, b := range sys.Bodies {
		for _, w := range b.Masses {
			ok := w.M >= 0 && w.Tol >= 0 && w.CGTol.X >= 0 && w.CGTol.Y >= 0 && w.CGTol.Z >= 0
			if !ok || math.IsInf(w.M+w.Tol, 0) || !finite(w.CG) || !finite(w.CGTol) {
				return fmt.Errorf("%s: mass or centre of gravity is negative or not a number", w.Name)
			}
			total += w.M
		}
	}
	if total <= 0 {
		return fmt.Errorf("the vehicle has no mass")
	}
	inside := func(i int) bool { return i >= 0 && i < len(sys.Bodies) }
	for _, j := range sys.Joints {
		switch {
		case !inside(j.A) || !inside(j.B):
			return fmt.Errorf("%s joins no body", j.Name)
		case !finite(j.At) || !finite(j.Axis):
			return fmt.Errorf("%s: its place is not a number", j.Name)
		case (j.Kind == Pivot || j.Kind == Slider || j.Kind == Rack || j.Kind == Torsion) && r3.Norm(j.Axis) == 0,
			j.Swings && r3.Norm(j.Axis) == 0:
			return fmt.Errorf("%s turns or slides without an axis", j.Name)
		case !(j.Tol >= 0) || math.IsInf(j.Tol, 0):
			return fmt.Errorf("%s: the ± of its place is not a length", j.Name)
		}
	}
	for _, l := range sys.Links {
		switch {
		case !inside(l.A) || !inside(l.B):
			return fmt.Errorf("%s joins no body", l.Name)
		case !finite(l.PA) || !finite(l.PB):
			return fmt.Errorf("%s: its ends are not numbers", l.Name)
		case r3.Norm(r3.Sub(l.PA, l.PB)) < 1e-6:
			return fmt.Errorf("%s has no length", l.Name)
		case !(l.Tol >= 0) || math.IsInf(l.Tol, 0):
			return fmt.Errorf("%s: the ± of its ends is not a length", l.Name)
		}
	}
	for _, h := range sys.Held {
		if h.Link < 0 || h.Link >= len(sys.Links) || sys.Links[h.Link].A == sys.Links[h.Link].B || !(h.Push >= 0) || math.IsInf(h.Push, 0) || !(h.More >= 0) || math.IsInf(h.More, 0) {
			return fmt.Errorf("a held spring is no link, or its push or its ± is no force")
		}
	}
	for _, p := range sys.Springs {
		switch {
		case !inside(p.A) || !inside(p.B):
			return fmt.Errorf("%s joins no body", p.Name)
		case !finite(p.PA) || !finite(p.PB) || r3.Norm(r3.Sub(p.PA, p.PB)) < 1e-6:
			return fmt.Errorf("%s has no length, or its ends are not numbers", p.Name)
		case !(p.Push >= 0) || math.IsInf(p.Push, 0) || !(p.Tol >= 0) || math.IsInf(p.Tol, 0) || !(p.More >= 0) || math.IsInf(p.More, 0):
			return fmt.Errorf("%s: its push is not a force, or the ± of that or of its ends is none", p.Name)
		}
	}
	return nil
}

// scale finds the weight, the centres of gravity and a length of the geometry:
// the root mean square distance of all places where force passes from their
// middle.
func (m *Model) scale() {
	var sum Vec
	total := 0.0
	m.centre = make([]Vec, len(m.sys.Bodies))
	for i, b := range m.sys.Bodies {
		var s Vec
		mass := 0.0
		for _, w := range b.Masses {
			s = r3.Add(s, r3.Scale(w.M, w.CG))
			mass += w.M
		}
		sum, total = r3.Add(sum, s), total+mass
		if mass > 0 {
			m.centre[i] = r3.Scale(1/mass, s)
		} else if len(b.Masses) > 0 {
			m.centre[i] = b.Masses[0].CG
		}
	}
	m.weight, m.origin = total*Gravity, r3.Scale(1/total, sum)
	var points []Vec
	for _, j := range m.sys.Joints {
		points = append(points, j.At)
	}
	for _, l := range m.sys.Links {
		points = append(points, l.PA, l.PB)
	}
	for _, p := range m.sys.Springs {
		points = append(points, p.PA, p.PB)
	}
	points = append(points, m.centre...)
	var mid Vec
	for _, p := range points {
		mid = r3.Add(mid, r3.Scale(1/float64(len(points)), p))
	}
	square := 0.0
	for _, p := range points {
		square += r3.Norm2(r3.Sub(p, mid)) / float64(len(points))
	}
	m.size = math.Sqrt(square)
	if m.size < 1e-3 {
		m.size = 1 // one lump; any length does
	}
}

// unknowns lists the unit forces and moments of all joints and links.
func (m *Model) unknowns() {
	add := func(c column) int {
		m.basis = append(m.basis, c)
		return len(m.basis) - 1
	}
	axes := []Vec{{X: 1}, {Y: 1}, {Z: 1}}
	for _, j := range m.sys.Joints {
		var cols []int
		if j.A != j.B {
			along, about := axes, []Vec(nil)
			width := bushWidth
			var sideways []Vec
			if j.Kind == Pivot || j.Kind == Slider || j.Kind == Rack {
				u, v := across(j.Axis)
				sideways = []Vec{u, v}
			}
			switch j.Kind {
			case Pivot:
				about = sideways
			case Fixed:
				about, width = axes, faceWidth
			case Slider:
				along, about = sideways, sideways
			case Rack:
				along, about = sideways, axes
			case Torsion:
				about = []Vec{r3.Unit(j.Axis)}
			}
			for _, e := range along {
				cols = append(cols, add(column{a: j.A, b: j.B, force: e, at: j.At}))
			}
			for _, e := range about {
				cols = append(cols, add(column{a: j.A, b: j.B, moment: r3.Scale(width*m.size, e), at: j.At}))
			}
		}
		m.cols = append(m.cols, cols)
	}
	for _, l := range m.sys.Links {
		var cols []int
		if l.A != l.B {
			// Pull is positive: a pulling link draws B towards A.
			u := r3.Unit(r3.Sub(l.PA, l.PB))
			cols = append(cols, add(column{a: l.A, b: l.B, force: u, at: l.PB}))
		}
		m.cols = append(m.cols, cols)
	}
	m.n = len(m.basis)
}

// across returns two directions at right angles to an axis and to each other.
func across(axis Vec) (u, v Vec) {
	axis = r3.Unit(axis)
	pick := Vec{X: 1}
	if math.Abs(axis.X) > 0.6 {
		pick = Vec{Y: 1}
	}
	u = r3.Unit(r3.Cross(axis, pick))
	return u, r3.Cross(axis, u)
}

// wrench writes a force and a free moment on a body at a point into the six
// scaled equations of that body.
func (m *Model) wrench(into []float64, body int, force, moment, at Vec) {
	t := r3.Scale(1/m.size, r3.Add(moment, r3.Cross(r3.Sub(at, m.centre[body]), force)))
	row := 6 * body
	into[row] += force.X
	into[row+1] += force.Y
	into[row+2] += force.Z
	into[row+3] += t.X
	into[row+4] += t.Y
	into[row+5] += t.Z
}

// factor decides the rank of the equilibrium matrix and keeps its least-norm
// inverse, the free motions and the self-stress.
func (m *Model) factor() error {
	if m.n == 0 {
		m.null = identity(m.rows)
		return nil
	}
	a := mat.NewDense(m.rows, m.n, nil)
	col := make([]float64, m.rows)
	for j, c := range m.basis {
		clear(col)
		m.wrench(col, c.b, c.force, c.moment, c.at)
		m.wrench(col, c.a, r3.Scale(-1, c.force), r3.Scale(-1, c.moment), c.at)
		a.SetCol(j, col)
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDFull) {
		return fmt.Errorf("the equilibrium equations could not be factorised")
	}
	values := svd.Values(nil)
	var u, v mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	rank := 0
	for _, s := range values {
		if s > rankFirm*values[0] {
			rank++
		}
	}
	if rank < len(values) && values[rank] > rankZero*values[0] {
		return &ErrNearlySingular{Value: values[rank] / values[0], Words: m.describe(mat.Col(nil, rank, &u), nil, m.how)}
	}
	scaled := mat.NewDense(m.n, rank, nil)
	for i := range m.n {
		for k := range rank {
			scaled.Set(i, k, v.At(i, k)/values[k])
		}
	}
	m.asks = product(u.Slice(0, m.rows, 0, rank), scaled.T())
	m.null = mat.DenseCopyOf(u.Slice(0, m.rows, rank, m.rows))
	if rank < m.n {
		m.stress = mat.DenseCopyOf(v.Slice(0, m.n, rank, m.n))
	}
	return nil
}

// free works out the motions that the unknowns keep from happening. To each it adds the free motion that
// undoes what it does to the base.
func (m *Model) free() {
	if m.n == 0 {
		return
	}
	_, q := m.null.Dims()
	at := 6 * m.sys.Base
	undoes := pseudoInverse(mat.DenseCopyOf(m.null.Slice(at, at+6, 0, q)))
	base := product(m.asks.Slice(at, at+6, 0, m.n).T(), undoes.T())
	m.frees = product(base, m.null.T())
	m.frees.Sub(m.frees, m.asks.T())
}

// hold takes sums of unknowns, and after these held links, for known: each is one more equation for what the
// supports carry. What must be balanced along the motion that an unknown alone keeps from happening is what it bears.
func (m *Model) hold() {
	knows := func(along []float64) {
		_, q := m.null.Dims()
		m.null = m.null.Grow(0, 1).(*mat.Dense)
		m.null.SetCol(q, along)
	}
	for _, times := range m.sys.Eased {
		knows(product(m.asks, mat.NewVecDense(m.n, times)).RawMatrix().Data)
	}
	for _, h := range m.sys.Held {
		knows(mat.Col(nil, m.cols[len(m.sys.Joints)+h.Link][0], m.asks))
	}
}

// product is a·b in room of its own.
func product(a, b mat.Matrix) *mat.Dense {
	c := new(mat.Dense)
	c.Mul(a, b)
	return c
}

func identity(n int) *mat.Dense {
	d := mat.NewDense(n, n, nil)
	for i := range n {
		d.Set(i, i, 1)
	}
	return d
}
