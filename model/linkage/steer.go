package linkage

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// SteerAxis is the line about which a wheel steers.
type SteerAxis struct {
	At  Vec // its point nearest to the wheel's centre
	Dir Vec // unit, upward
}

// Caster is the angle of the axis in the side view, by ISO 8855; positive with
// the top rearward.
func (a SteerAxis) Caster() float64 { return math.Atan2(-a.Dir.X, a.Dir.Z) }

// Inclination is the angle of the axis in the front view, by ISO 8855, for a wheel
// on that side, 1 left and −1 right; positive with the top inward.
func (a SteerAxis) Inclination(side float64) float64 { return math.Atan2(-side*a.Dir.Y, a.Dir.Z) }

// SteerAxis finds the axis about which a wheel turns when the bars that steer it
// are taken off and every strut keeps its length: through both ball joints of an
// upright on two arms, along a kingpin, and where links meet in space. It fails
// when the struts do not hold the wheel's height or the wheel can turn in more
// than one way.
func (s *State) SteerAxis(wheel int, off []int) (SteerAxis, error) {
	l := s.l
	drives := make([]Drive, len(l.sys.Struts))
	for i := range drives {
		drives[i] = Length(i, s.StrutLength(i))
	}
	j := l.jacobian(s.pose, drives)
	for _, i := range off {
		clear(j.RawRowView(l.barRow(i)))
	}
	rows, n := j.Dims()
	square := mat.NewDense(max(rows, n), n, nil) // so that V is whole
	square.Copy(j)
	var svd mat.SVD
	if !svd.Factorize(square, mat.SVDThin) {
		return SteerAxis{}, errors.New("the equations could not be solved")
	}
	var v mat.Dense
	svd.VTo(&v)
	values := svd.Values(nil)

	// Of all free motions the one that turns the wheel's axis most.
	w := l.sys.Wheels[wheel]
	a := s.direction(w.Body, w.Axis)
	x := s.point(w.Body, w.Centre)
	var motions [][]float64
	for k := range n {
		if values[k] <= free*values[0] {
			motions = append(motions, mat.Col(nil, k, &v))
		}
	}
	if len(motions) == 0 {
		return SteerAxis{}, errors.New("it does not steer")
	}
	seen := mat.NewDense(6, len(motions), nil)
	for k, m := range motions {
		da := r3.Scale(l.size, s.directionRate(w.Body, a, m))
		dx := s.pointRate(w.Body, x, m)
		seen.SetCol(k, []float64{da.X, da.Y, da.Z, dx.X, dx.Y, dx.Z})
	}
	var small mat.SVD
	if !small.Factorize(seen, mat.SVDThin) {
		return SteerAxis{}, errors.New("the equations could not be solved")
	}
	sizes := small.Values(nil)
	if sizes[0] < 1e-6 {
		return SteerAxis{}, errors.New("it does not steer")
	}
	if len(sizes) > 1 && sizes[1] > 1e-6*sizes[0] {
		return SteerAxis{}, errors.New("it is free in more than one way with the steering off")
	}
	var mix mat.Dense
	small.VTo(&mix)
	combined := func(col int) []float64 {
		step := make([]float64, n)
		for k, m := range motions {
			floats.AddScaled(step, mix.At(k, col), m)
		}
		return step
	}
	for k := 1; k < len(motions) && k < len(sizes); k++ {
		if r3.Norm(l.turn(combined(k), w.Body)) > 1e-6 {
			return SteerAxis{}, errors.New("the wheel spins as a body of its own")
		}
	}
	step := combined(0)
	turn, shift := l.turn(step, w.Body), s.pointRate(w.Body, x, step)
	rate := r3.Norm(turn)
	if rate < 1e-6 || turn.Z == 0 {
		return SteerAxis{}, errors.New("it does not steer about an axis")
	}
	at := r3.Add(x, r3.Scale(1/(rate*rate), r3.Cross(turn, shift)))
	return SteerAxis{At: r3.Add(at, l.origin), Dir: r3.Scale(math.Copysign(1/rate, turn.Z), turn)}, nil
}
