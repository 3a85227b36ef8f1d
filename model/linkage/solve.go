package linkage

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Drive sets one freedom of a linkage.
type Drive struct {
	kind   driveKind
	index  int
	normal Vec
	value  float64
}

type driveKind uint8

const (
	byHeight driveKind = iota
	byMean
	byPlane
	byLength
	byHeading
)

// Height lifts a wheel by so much above where it is drawn.
func Height(wheel int, bump float64) Drive { return Drive{kind: byHeight, index: wheel, value: bump} }

// Together lifts the wheels so that their middle height is so much above the drawn
// one: the one freedom of an axle that cannot lean.
func Together(bump float64) Drive { return Drive{kind: byMean, value: bump} }

// Plane keeps the lowest point of a wheel, in the sense of the unit normal, at a
// distance from the origin along that normal.
func Plane(wheel int, normal Vec, distance float64) Drive {
	return Drive{kind: byPlane, index: wheel, normal: normal, value: distance}
}

// Length sets a strut to a length.
func Length(strut int, length float64) Drive {
	return Drive{kind: byLength, index: strut, value: length}
}

// straight keeps a wheel pointing where it is drawn to point.
func straight(wheel int) Drive { return Drive{kind: byHeading, index: wheel} }

// same reports whether two drives set the same freedom, whatever to.
func same(a, b Drive) bool {
	return a.kind == b.kind && a.index == b.index && a.normal == b.normal
}

func (l *Linkage) constraintOf(d Drive) constraint {
	switch d.kind {
	case byHeight:
		w := l.sys.Wheels[d.index]
		return level{w.Body, w.Centre, w.Axis, 0, axes[2], w.Centre.Z + d.value}
	case byMean:
		return mean{l.sys.Wheels, d.value}
	case byPlane:
		w := l.sys.Wheels[d.index]
		return level{w.Body, w.Tyre, w.Axis, w.Radius, d.normal, d.value - r3.Dot(d.normal, l.origin)}
	case byLength:
		return distance{l.sys.Struts[d.index], d.value}
	default:
		w := l.sys.Wheels[d.index]
		return heading{w, r3.Unit(Vec{X: w.Axis.Y, Y: -w.Axis.X}), 0}
	}
}

// State is a solved pose. Its velocities are worked out when they are first asked
// for: a state is for one goroutine at a time.
type State struct {
	*pose
	drives []Drive
	near   *factors // of this pose, or of one so near that it was solved with them
}

// factors are the velocities of one pose.
type factors struct {
	pose *pose
	rank int
	inv  *mat.Dense // step for residuals: columns are the rows of constraints, then of drives

	// The weakest singular value that counts, as a share of the largest, with its
	// rows and its step. It is nought at a dead centre, and below nought where one
	// was passed since the drawn pose.
	tight, largest float64
	rows, step     []float64
}

// Thresholds, as shares of the largest singular value of the scaled equations.
// Below free a singular value is rounding, and the motion is free. Below dead the
// pose is where parts stand in one line: on a corner about a tenth of a degree.
const (
	free = 1e-9
	dead = 1e-3
)

// exact is how far an equation may be off in a solved pose, as a share of the
// size: on a corner a millionth of a micrometre.
// Steps go on while they better it, down to what rounding leaves.
const (
	exact    = 1e-12
	rounding = 1e-16
)

// FreeError says that the drives do not hold a wheel or a strut: something turns or slides.
type FreeError struct {
	Wheel string // or strut
	Body  string // what moves most
}

func (e *FreeError) Error() string {
	return fmt.Sprintf("%s moves freely and takes %s with it", e.Body, e.Wheel)
}

// LockedError says that a linkage cannot move as drawn.
type LockedError struct{ Drive int }

func (e *LockedError) Error() string { return "nothing is left to move" }

// Why says why a linkage goes no further.
type Why uint8

// The reasons.
const (
	Reach   Why = iota // parts stand in one line and reach no further
	TwoWays            // parts stand in one line and may go on in two ways
	Against            // members contradict each other
)

// BindsError says that a linkage cannot be brought to where the drives ask.
type BindsError struct {
	Last  *State  // the last pose that was reached
	Share float64 // how much of the way that is
	Why   Why
}

func (e *BindsError) Error() string {
	return [...]string{"it binds", "the parts stand in one line and may go on in two ways", "its members work against each other"}[e.Why]
}

// Drawn returns the drawn pose with those drives in place of its own freedoms. It
// fails with a FreeError or a LockedError.
func (l *Linkage) Drawn(drives ...Drive) (*State, error) {
	p := l.drawnPose()
	drives = slices.Clone(drives)
	r := l.residual(p, drives)
	for i := range drives { // as drawn
		drives[i].value += r[l.rows+i]
	}
	f, err := l.factor(p, drives, nil)
	if err != nil {
		return nil, err
	}
	s := &State{p, drives, f}
	for i := range drives {
		step := s.velocity(l.rows + i)
		if rate := l.rates(p, drives, step)[l.rows+i]; math.Abs(rate-1) > 1e-6 {
			return nil, &LockedError{i}
		}
	}
	return s, l.held(s)
}

// residual of all equations, then of all drives.
func (l *Linkage) residual(p *pose, drives []Drive) []float64 {
	r := make([]float64, l.rows+len(drives))
	l.write(p, drives, r, nil)
	return r
}

func (l *Linkage) write(p *pose, drives []Drive, r []float64, j *jacobian) {
	for i, c := range l.parts {
		c.write(p, r[l.first[i]:], j, l.first[i])
	}
	for i, d := range drives {
		l.constraintOf(d).write(p, r[l.rows+i:], j, l.rows+i)
	}
}

func (l *Linkage) jacobian(p *pose, drives []Drive) *jacobian {
	j := &jacobian{mat.NewDense(l.rows+len(drives), 6*len(l.sys.Bodies), nil), p}
	l.write(p, drives, make([]float64, l.rows+len(drives)), j)
	return j
}

// rates of all residuals in a step.
func (l *Linkage) rates(p *pose, drives []Drive, step []float64) []float64 {
	var v mat.VecDense
	v.MulVec(l.jacobian(p, drives), mat.NewVecDense(len(step), step))
	return v.RawVector().Data
}

// factor works out the velocities of a pose. The rank is that of the pose before;
// without one it is decided by the singular values.
func (l *Linkage) factor(p *pose, drives []Drive, before *factors) (*factors, error) {
	j := l.jacobian(p, drives)
	rows, cols := j.Dims()
	var svd mat.SVD
	if !svd.Factorize(j, mat.SVDThin) {
		return nil, errors.New("the equations could not be solved")
	}
	values := svd.Values(nil)
	f := &factors{pose: p, inv: mat.NewDense(cols, rows, nil), largest: values[0]}
	f.rank = svd.Rank(free)
	if before != nil {
		f.rank = before.rank
	}
	var u, v mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	f.tight = values[f.rank-1] / values[0]
	f.rows, f.step = mat.Col(nil, f.rank-1, &u), mat.Col(nil, f.rank-1, &v)
	if before != nil {
		sign := math.Copysign(1, before.tight*floats.Dot(f.rows, before.rows)*floats.Dot(f.step, before.step))
		f.tight *= sign
	}
	for k := range f.rank {
		if values[k] <= free*values[0] {
			break
		}
		for i := range cols {
			by := v.At(i, k) / values[k]
			row := f.inv.RawRowView(i)
			for m := range row {
				row[m] += by * u.At(m, k)
			}
		}
	}
	return f, nil
}

// own are the velocities of the state's own pose.
func (s *State) own() *factors {
	if s.near.pose != s.pose {
		f, err := s.l.factor(s.pose, s.drives, s.near)
		if err != nil {
			panic("linkage: a pose that was solved: " + err.Error())
		}
		s.near = f
	}
	return s.near
}

// held fails when a motion that the drives leave free moves a wheel otherwise than
// about its own axis, or changes the length of a strut. A link that spins about its own length
// is left alone.
func (l *Linkage) held(s *State) error {
	j := l.jacobian(s.pose, s.drives)
	_, n := j.Dims()
	// What no equation sees of a motion: t less its part in the rows of j.
	unseen := func(target func(*jacobian)) []float64 {
		t := &jacobian{mat.NewDense(1, n, nil), s.pose}
		target(t)
		var seen, left mat.Dense
		seen.Mul(t, s.near.inv)
		left.Mul(&seen, j)
		left.Sub(t, &left)
		if row := left.RawRowView(0); floats.Norm(row, 2) > 1e-6 {
			return row
		}
		return nil
	}
	for i, w := range l.sys.Wheels {
		x, a := s.point(w.Body, w.Centre), s.direction(w.Body, w.Axis)
		for _, e := range axes {
			for _, target := range []func(*jacobian){
				func(t *jacobian) { t.point(0, w.Body, x, e) },
				func(t *jacobian) { t.direction(0, w.Body, a, r3.Scale(l.size, e)) },
			} {
				if row := unseen(target); row != nil {
					return &FreeError{l.sys.Wheels[i].Name, l.sys.Bodies[l.mostMoved(row)]}
				}
			}
		}
	}
	for _, b := range l.sys.Struts {
		length := distance{b, 0}
		if row := unseen(func(t *jacobian) { length.write(s.pose, make([]float64, 1), t, 0) }); row != nil {
			return &FreeError{b.Name, l.sys.Bodies[l.mostMoved(row)]}
		}
	}
	return nil
}

// mostMoved is the body that moves most in a step.
func (l *Linkage) mostMoved(step []float64) int {
	most, which := -1.0, 0
	for b := range l.sys.Bodies {
		if n := floats.Norm(step[6*b:6*b+6], 2); n > most*(1+1e-9) {
			most, which = n, b
		}
	}
	return which
}

// velocity is the step per unit of one residual.
func (s *State) velocity(row int) []float64 { return mat.Col(nil, row, s.own().inv) }

// Step is a motion from a state: how fast everything goes for each unit of what
// drives it.
type Step struct {
	s    *State
	step []float64
}

// PerDrive is the motion for each metre of a drive, the others held.
func (s *State) PerDrive(drive int) Step { return Step{s, s.velocity(s.l.rows + drive)} }

// PerLength is the motion for each metre that a bar is made longer.
func (s *State) PerLength(bar int) Step { return Step{s, s.velocity(s.l.barRow(bar))} }

// Limits of one step of a solution, as shares of the size: further than that from
// a known pose a solution may be another way of putting the parts together.
const (
	stride   = 0.35
	smallest = 1.0 / 512 // of the way to a goal
)

// Move brings the linkage from a solved pose to where the drives ask, with the
// rack at a travel. It fails with a BindsError.
func (l *Linkage) Move(from *State, rack float64, drives ...Drive) (*State, error) {
	here := from
	if !slices.EqualFunc(from.drives, drives, same) {
		f, err := l.factor(from.pose, drives, nil)
		if err != nil {
			return nil, err
		}
		here = &State{from.pose, drives, f}
	}
	start := l.residual(from.pose, drives)[l.rows:] // how far each drive is from its goal
	done, way := 0.0, 1.0
	for done < 1 {
		next := min(1, done+way)
		goal := slices.Clone(drives)
		for i := range goal {
			goal[i].value += (1 - next) * start[i]
		}
		s := l.step(here, from.rack+next*(rack-from.rack), goal)
		switch {
		case s != nil:
			here, done = s, next
			way *= 2
		case way > smallest:
			way /= 2
		default:
			return nil, l.binds(here, done)
		}
	}
	return here, nil
}

func (l *Linkage) binds(last *State, share float64) *BindsError {
	f := last.own()
	switch {
	case f.tight >= 30*dead:
		return &BindsError{last, share, Against}
	case floats.Norm(f.rows[l.rows:], 2) < 0.1:
		// The equations that fail are those of the linkage itself and not the drive's.
		return &BindsError{last, share, TwoWays}
	}
	return &BindsError{last, share, Reach}
}

// step solves one pose near a known one, by Newton steps with the known pose's
// velocities as long as they close in, else with its own. It returns nil when there is
// no pose near, or none on this side of a dead centre.
func (l *Linkage) step(from *State, rack float64, drives []Drive) *State {
	p := from.clone()
	p.rack = rack
	f := from.near
	r := l.residual(p, drives)
	off := floats.Norm(r, math.Inf(1))
	moved := 0.0
	for range 40 {
		d := f.newton(r)
		moved += floats.Norm(d, math.Inf(1))
		if moved > stride*l.size {
			return nil
		}
		try, next, n := l.after(p, drives, d)
		switch {
		case n < off/3 && off > rounding*l.size:
		case off <= exact*l.size:
			if n < off { // the last that rounding leaves
				p = try
			}
			return l.solved(p, drives, f)
		case f.pose != p:
			var err error
			if n < off {
				p, r, off = try, next, n
			}
			if f, err = l.factor(p, drives, f); err != nil {
				return nil
			}
			continue
		default: // its own velocities, and yet not nearer: damp
			for range 6 {
				if n < 0.9*off {
					break
				}
				floats.Scale(0.5, d)
				try, next, n = l.after(p, drives, d)
			}
			if n >= 0.9*off {
				return nil
			}
		}
		p, r, off = try, next, n
	}
	return nil
}

func (f *factors) newton(r []float64) []float64 {
	var step mat.VecDense
	step.MulVec(f.inv, mat.NewVecDense(len(r), r))
	step.ScaleVec(-1, &step)
	return step.RawVector().Data
}

// after is the pose after a step, with its residuals and the largest of them.
func (l *Linkage) after(p *pose, drives []Drive, step []float64) (*pose, []float64, float64) {
	next := p.clone()
	next.move(step)
	r := l.residual(next, drives)
	return next, r, floats.Norm(r, math.Inf(1))
}

// solved is the state of a solved pose, nil when a dead centre lies between it and
// the pose that it was solved from: what those velocities say of the weakest motion
// has become weaker by half, so it is looked at.
func (l *Linkage) solved(p *pose, drives []Drive, f *factors) *State {
	s := &State{p, drives, f}
	rates := l.rates(p, drives, f.step)
	if floats.Dot(rates, f.rows)/f.largest < f.tight/2 && s.own().tight <= free {
		return nil
	}
	return s
}
