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
// the three equations of the whole are solved by damped Newton steps.
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
	off := v.balance(here)
	for range 60 {
		weight, size := v.weight(), v.size(here)
		if math.Abs(off[0]) < balanced*weight && math.Hypot(off[1], off[2]) < balanced*weight*size {
			return here, v.lifted(here)
		}
		j := mat.NewDense(3, 3, nil)
		for k := range 3 {
			q := p
			d := 1e-7 * [3]float64{1, 1 / size, 1 / size}[k]
			q[k] += d
			s, err := v.at(q, here.States)
			if err != nil {
				return nil, err
			}
			for i, b := range v.balance(s) {
				j.Set(i, k, (b-off[i])/d)
			}
		}
		var step mat.VecDense
		if err := step.SolveVec(j, mat.NewVecDense(3, off[:])); err != nil {
			return nil, errors.New("the springs do not hold the frame: it sinks, rolls or pitches by itself")
		}
		scale := min(1, 0.02/(math.Abs(step.AtVec(0))+size*math.Hypot(step.AtVec(1), step.AtVec(2))))
		better := false
		for range 12 {
			q := p
			for k := range q {
				q[k] -= scale * step.AtVec(k)
			}
			s, err := v.at(q, here.States)
			if err == nil {
				if b := v.balance(s); norm3(b, size) < norm3(off, size) {
					p, here, off, better = q, s, b, true
					break
				}
			}
			scale /= 2
		}
		if !better {
			break
		}
	}
	if weight, size := v.weight(), v.size(here); norm3(off, size) < 100*balanced*weight {
		return here, v.lifted(here) // springs so stiff that rounding is left
	}
	return nil, errors.New("no height was found at which the springs carry it")
}

// balanced is how far the floor's push may be off the weight, as a share of it.
const balanced = 1e-9

func norm3(b [3]float64, size float64) float64 {
	return math.Abs(b[0]) + math.Hypot(b[1], b[2])/size
}

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
// two axes in the floor.
func (v *Vehicle) balance(s *Stand) [3]float64 {
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
	return [3]float64{force, r3.Dot(e, moment), r3.Dot(f, moment)}
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
