package linkage

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// gravity is the standard acceleration of free fall, m/s², as in model/quantity:
// this package imports nothing of the module.
const gravity = 9.80665

// Spring acts along a strut: it pushes by its rate from the length at which it is
// free, and never pulls. Stops come in beyond the least and the most length of the
// strut.
type Spring struct {
	Strut int
	Rate  float64 // N/m
	Free  float64 // length of the strut at which the spring just pushes no more, m
	Least float64 // length at which the bump stop comes in; zero is none
	Most  float64 // open length, at which the droop stop holds; zero is none
	Stop  float64 // rate of the stops, N/m
}

// Force is the push of a spring with its stops at a length, N; a droop stop pulls.
func (s Spring) Force(length float64) float64 {
	f := s.Rate * max(0, s.Free-length)
	if s.Least > 0 {
		f += s.Stop * max(0, s.Least-length)
	}
	if s.Most > 0 {
		f -= s.Stop * max(0, length-s.Most)
	}
	return f
}

// Weight is a mass of a body of a corner.
type Weight struct {
	Body int
	M    float64 // kg
	CG   Vec     // as drawn
}

// Sprung is a corner or axle with its springs and the masses that it carries.
type Sprung struct {
	Drawn   *State
	Springs []Spring
	Masses  []Weight
}

// Vehicle is a frame on corners and axles. The body of its own masses is Ground.
type Vehicle struct {
	Masses  []Weight
	Corners []Sprung
}

// Stand is a vehicle that stands on its wheels on a flat floor.
type Stand struct {
	// Normal and Distance are the floor in the frame's coordinates: the points x
	// with Normal·x = Distance, the normal upward.
	Normal   Vec
	Distance float64
	Wheels   []WheelStand // corner by corner, wheel by wheel
	States   []*State     // of each corner
}

// WheelStand is one wheel on the floor.
type WheelStand struct {
	Corner, Wheel int
	At            Vec     // where it meets the floor, in the frame's coordinates
	Load          float64 // N
}

// LiftsError says that a wheel would have to be pulled down.
type LiftsError struct{ Corner, Wheel int }

func (e *LiftsError) Error() string { return "a wheel lifts off the floor" }

// plane is a floor z = a + b·x + c·y in the frame's coordinates.
type plane [3]float64

func (p plane) normal() Vec       { return r3.Unit(Vec{X: -p[1], Y: -p[2], Z: 1}) }
func (p plane) distance() float64 { return p[0] * p.normal().Z }

// Settle finds how the vehicle stands: where the floor lies under the frame so that
// the springs carry it. Wheels are free to creep sideways as on slip plates: the
// floor pushes square to itself. What each wheel carries is the derivative of the
// energy of springs and weights of its corner by the height of the floor under it;
// the three equations of the whole are solved by Newton's steps, each as far down the energy as
// it goes, for springs that come free and stops that are met make its slope bend.
func (v *Vehicle) Settle() (*Stand, error) {
	p, err := v.drawnFloor()
	if err != nil {
		return nil, err
	}
	states := make([]*State, len(v.Corners))
	for i, c := range v.Corners {
		states[i] = c.Drawn
	}
	here, err := v.at(p, states)
	if err != nil {
		return nil, err
	}
	weight, size := v.weight(), v.size(here)
	p, here = v.pressed(p, here)
	off := v.balance(here, size)
	const most = 60 // steps; a car takes five
	for range most {
		j, err := v.slope(p, here, off, size)
		if err != nil {
			return nil, err
		}
		// What rounding leaves of stiff springs is no push.
		if norm3(off) < max(balanced*weight, rounded*v.stiffest()) {
			return here, v.settled(here, j)
		}
		p, here = v.along(p, here, off, size, newton(j, off))
		off = v.balance(here, size)
	}
	return nil, errors.New("no height was found at which the springs carry it")
}

// along goes down a step as far as the floor is still pushed down on the way: springs that come
// free and stops that are met make the way bend.
func (v *Vehicle) along(p plane, here *Stand, off [3]float64, size float64, step [3]float64) (plane, *Stand) {
	work := func(b [3]float64) float64 { return b[0]*step[0] + b[1]*step[1] + b[2]*step[2] }
	low, high := 0.0, min(1, 0.02/(math.Abs(step[0])+math.Hypot(step[1], step[2])))
	at, best := p, here
	for t := high; high-low > 1e-9*high; t = (low + high) / 2 {
		q := p
		for k, unit := range units(size) {
			q[k] -= t * step[k] * unit
		}
		s, err := v.at(q, best.States)
		if err != nil {
			high = t
			continue
		}
		left := work(v.balance(s, size)) / work(off)
		if left < -0.1 {
			high = t
			continue
		}
		at, best, low = q, s, t
		if left < 0.5 || t == high {
			break
		}
	}
	return at, best
}

// units are those in which a floor moves: a height, and two tilts by what they raise over the size.
func units(size float64) [3]float64 { return [3]float64{1, 1 / size, 1 / size} }

// slope is how the balance changes as the floor moves.
func (v *Vehicle) slope(p plane, here *Stand, off [3]float64, size float64) (*mat.Dense, error) {
	j := mat.NewDense(3, 3, nil)
	d := min(1e-7, v.weight()/v.stiffest()/100) // m, within what the stiffest gives
	for k, unit := range units(size) {
		q := p
		q[k] += d * unit
		s, err := v.at(q, here.States)
		if err != nil {
			return nil, err
		}
		for i, b := range v.balance(s, size) {
			j.Set(i, k, (b-off[i])/d)
		}
	}
	return j, nil
}

// newton is the step J⁻¹·b, held small where J says nothing: where only springs in one line push.
func newton(j *mat.Dense, off [3]float64) [3]float64 {
	a := symmetric(j)
	least := 1e-9 * max(mat.Norm(a, 2), 1)
	for k := range 3 {
		a.SetSym(k, k, a.At(k, k)+least)
	}
	var step mat.VecDense
	if err := step.SolveVec(a, mat.NewVecDense(3, off[:])); err != nil {
		return off // down the slope itself
	}
	return [3]float64{step.AtVec(0), step.AtVec(1), step.AtVec(2)}
}

func symmetric(j *mat.Dense) *mat.SymDense {
	sym := mat.NewSymDense(3, nil)
	for i := range 3 {
		for k := range i + 1 {
			sym.SetSym(i, k, (j.At(i, k)+j.At(k, i))/2)
		}
	}
	return sym
}

// settled fails where a wheel would have to be pulled down, or where the frame would not stay: as
// the floor rises it has to push more, wherever it rises.
func (v *Vehicle) settled(s *Stand, j *mat.Dense) error {
	if err := v.lifted(s); err != nil {
		return err
	}
	var c mat.Cholesky
	if !c.Factorize(symmetric(j)) {
		return errors.New("the springs do not hold the frame: it sinks, rolls or pitches by itself")
	}
	return nil
}

// pressed raises a floor until it carries something: where all springs are free nothing says which
// way to go. Where that is not reached the floor stays.
func (v *Vehicle) pressed(p plane, s *Stand) (plane, *Stand) {
	q, up := p, s
	for d := 1e-4; d < 0.2; d *= 2 {
		load := 0.0
		for _, w := range up.Wheels {
			load += w.Load
		}
		if load > v.weight()/2 {
			return q, up
		}
		q[0] += d
		next, err := v.at(q, up.States)
		if err != nil {
			break
		}
		up = next
	}
	return p, s
}

// balanced is how far the floor's push may be off the weight, as a share of it; rounded is how
// exactly a pose is solved, m.
const (
	balanced = 1e-9
	rounded  = 1e-12
)

// stiffest is the highest rate, N/m.
func (v *Vehicle) stiffest() float64 {
	most := 1.0
	for _, c := range v.Corners {
		for _, s := range c.Springs {
			most = max(most, s.Rate, s.Stop)
		}
	}
	return most
}

func norm3(b [3]float64) float64 { return math.Abs(b[0]) + math.Hypot(b[1], b[2]) }

func (v *Vehicle) lifted(s *Stand) error {
	for _, w := range s.Wheels {
		if w.Load < 0 {
			return &LiftsError{w.Corner, w.Wheel}
		}
	}
	return nil
}

// drawnFloor is the floor that lies nearest to all wheels as drawn.
func (v *Vehicle) drawnFloor() (plane, error) {
	var points []Vec
	for _, c := range v.Corners {
		for i := range c.Drawn.l.sys.Wheels {
			points = append(points, c.Drawn.Ground(i, axes[2]))
		}
	}
	if len(points) < 3 {
		return plane{}, fmt.Errorf("it stands on %d wheels, and takes three to stand", len(points))
	}
	a, b := mat.NewDense(len(points), 3, nil), mat.NewVecDense(len(points), nil)
	for i, p := range points {
		a.SetRow(i, []float64{1, p.X, p.Y})
		b.SetVec(i, p.Z)
	}
	var x mat.VecDense
	if err := x.SolveVec(a, b); err != nil {
		return plane{}, errors.New("its wheels stand in one line")
	}
	return plane{x.AtVec(0), x.AtVec(1), x.AtVec(2)}, nil
}

// at stands every wheel on a floor.
func (v *Vehicle) at(p plane, from []*State) (*Stand, error) {
	s := &Stand{Normal: p.normal(), Distance: p.distance()}
	for i, c := range v.Corners {
		var drives []Drive
		wheels := c.Drawn.l.sys.Wheels
		for w := range wheels {
			drives = append(drives, Plane(w, s.Normal, s.Distance))
		}
		state, err := c.Drawn.l.Move(from[i], 0, drives...)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", wheels[0].Name, err)
		}
		s.States = append(s.States, state)
		for w := range wheels {
			s.Wheels = append(s.Wheels, WheelStand{i, w, state.Ground(w, s.Normal), c.load(state, w, s.Normal)})
		}
	}
	return s, nil
}

// load is what the floor carries of a corner under a wheel: dV/dh, V the energy of
// its weights and springs, h the height of the floor under that wheel.
func (c *Sprung) load(s *State, wheel int, normal Vec) float64 {
	step := s.PerDrive(wheel)
	load := c.dead(step, normal)
	for _, spring := range c.Springs {
		load -= spring.Force(s.StrutLength(spring.Strut)) * step.StrutLength(spring.Strut)
	}
	return load
}

// dead is the share of the corner's own weight.
func (c *Sprung) dead(step Step, normal Vec) float64 {
	load := 0.0
	for _, m := range c.Masses {
		load += gravity * m.M * r3.Dot(normal, step.Point(m.Body, m.CG))
	}
	return load
}

// each visits every weight and where it is.
func (v *Vehicle) each(s *Stand, visit func(newtons float64, at Vec)) {
	for _, m := range v.Masses {
		visit(gravity*m.M, m.CG)
	}
	for i, c := range v.Corners {
		for _, m := range c.Masses {
			visit(gravity*m.M, s.States[i].Point(m.Body, m.CG))
		}
	}
}

// balance is what the floor pushes less the weight, and the moment of that about
// two axes in the floor, over the size, N.
func (v *Vehicle) balance(s *Stand, size float64) [3]float64 {
	var force float64
	var moment Vec
	add := func(n float64, at Vec) {
		force += n
		moment = r3.Add(moment, r3.Scale(n, at))
	}
	for _, w := range s.Wheels {
		add(w.Load, w.At)
	}
	v.each(s, func(n float64, at Vec) { add(-n, at) })
	e := r3.Unit(r3.Cross(axes[1], s.Normal))
	f := r3.Cross(s.Normal, e)
	return [3]float64{force, r3.Dot(e, moment) / size, r3.Dot(f, moment) / size}
}

func (v *Vehicle) weight() float64 {
	sum := 0.0
	for _, m := range v.Masses {
		sum += gravity * m.M
	}
	for _, c := range v.Corners {
		for _, m := range c.Masses {
			sum += gravity * m.M
		}
	}
	return sum
}

// size is the spread of the wheels.
func (v *Vehicle) size(s *Stand) float64 {
	most := 0.0
	for _, w := range s.Wheels {
		most = max(most, r3.Norm(r3.Sub(w.At, s.Wheels[0].At)))
	}
	return most
}

// Seats finds how long each spring has to be when free, seats included, so that the
// vehicle stands with its wheels on that floor. Of four wheels, given front left, front
// right, rear left, rear right, one load is open: front right and rear left together
// take the share cross of the weight, the cross weight. Three wheels leave none open.
// Each wheel has to have one spring of its own; the answer is in the order of the
// wheels.
func (v *Vehicle) Seats(normal Vec, distance float64, wheels []WheelStand, cross float64) ([]float64, error) {
	states := make([]*State, len(v.Corners))
	for i, c := range v.Corners {
		if len(c.Springs) != len(c.Drawn.l.sys.Wheels) {
			return nil, errors.New("a wheel has no spring of its own")
		}
		states[i] = c.Drawn
	}
	s, err := v.at(plane{distance / normal.Z, -normal.X / normal.Z, -normal.Y / normal.Z}, states)
	if err != nil {
		return nil, err
	}
	number := make([]int, len(s.Wheels)) // of each wheel in the order that was given
	for k, w := range s.Wheels {
		number[k] = slices.IndexFunc(wheels, func(x WheelStand) bool { return x.Corner == w.Corner && x.Wheel == w.Wheel })
		if number[k] < 0 || len(wheels) != len(s.Wheels) {
			return nil, errors.New("a wheel is left out")
		}
	}
	if err := v.share(s, number, cross); err != nil {
		return nil, err
	}
	free := make([]float64, len(wheels))
	first := 0
	for i, c := range v.Corners {
		// What its springs have to push: the loads of its wheels less its own weight.
		n := len(c.Springs)
		g, r := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
		for w := range n {
			step := s.States[i].PerDrive(w)
			r.SetVec(w, c.dead(step, s.Normal)-s.Wheels[first+w].Load)
			for j, spring := range c.Springs {
				g.Set(w, j, step.StrutLength(spring.Strut))
			}
		}
		var push mat.VecDense
		if err := push.SolveVec(g, r); err != nil {
			return nil, errors.New("a spring does not work on its wheel")
		}
		for j, spring := range c.Springs {
			if push.AtVec(j) <= 0 {
				return nil, errors.New("a spring would have to pull")
			}
			free[number[first+j]] = s.States[i].StrutLength(spring.Strut) + push.AtVec(j)/spring.Rate
		}
		first += n
	}
	return free, nil
}

// share gives the wheels the loads that balance the weight, and of four the one that
// is open by the share of the second and third in the order given.
func (v *Vehicle) share(s *Stand, number []int, cross float64) error {
	n := len(s.Wheels)
	if n != 3 && n != 4 {
		return fmt.Errorf("it stands on %d wheels; loads follow for three and four", n)
	}
	e := r3.Unit(r3.Cross(axes[1], s.Normal))
	f := r3.Cross(s.Normal, e)
	a, b := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
	v.each(s, func(newtons float64, at Vec) {
		b.SetVec(0, b.AtVec(0)+newtons)
		b.SetVec(1, b.AtVec(1)+newtons*r3.Dot(e, at))
		b.SetVec(2, b.AtVec(2)+newtons*r3.Dot(f, at))
	})
	for k, w := range s.Wheels {
		a.Set(0, k, 1)
		a.Set(1, k, r3.Dot(e, w.At))
		a.Set(2, k, r3.Dot(f, w.At))
		if n == 4 && (number[k] == 1 || number[k] == 2) {
			a.Set(3, k, 1)
		}
	}
	if n == 4 {
		b.SetVec(3, cross*b.AtVec(0))
	}
	var loads mat.VecDense
	if err := loads.SolveVec(a, b); err != nil {
		return errors.New("its wheels do not span an area")
	}
	for k := range s.Wheels {
		s.Wheels[k].Load = loads.AtVec(k)
	}
	return v.lifted(s)
}
