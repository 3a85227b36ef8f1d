package linkage

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// constraint is what a joint, bar or drive asks of a pose: residuals, in metres,
// that are zero when it is kept, and their derivatives.
type constraint interface {
	rows() int
	// write puts the residuals into r and, unless j is nil, their derivatives into
	// the rows of j from row on.
	write(p *pose, r []float64, j *jacobian, row int)
}

// jacobian has a row for each residual and six columns for each body, as a step
// has.
type jacobian struct {
	*mat.Dense
	p *pose
}

// point adds the derivative of f·x, x a point that is at now on a body.
func (j *jacobian) point(row, body int, now, f Vec) {
	if body == Ground {
		return
	}
	arm := r3.Sub(now, r3.Add(j.p.l.centre[body], j.p.at[body].shift))
	j.add(row, 6*body, f)
	j.add(row, 6*body+3, r3.Scale(1/j.p.l.size, r3.Cross(arm, f)))
}

// direction adds the derivative of f·d, d a direction that is now on a body.
func (j *jacobian) direction(row, body int, now, f Vec) {
	if body != Ground {
		j.add(row, 6*body+3, r3.Scale(1/j.p.l.size, r3.Cross(now, f)))
	}
}

func (j *jacobian) add(row, col int, v Vec) {
	data := j.RawRowView(row)
	data[col] += v.X
	data[col+1] += v.Y
	data[col+2] += v.Z
}

var axes = [3]Vec{{X: 1}, {Y: 1}, {Z: 1}}

func component(v Vec, i int) float64 { return [3]float64{v.X, v.Y, v.Z}[i] }

// ball keeps a point of two bodies together.
type ball struct {
	a, b int
	at   Vec
}

func (ball) rows() int { return 3 }

func (c ball) write(p *pose, r []float64, j *jacobian, row int) {
	xa, xb := p.point(c.a, c.at), p.point(c.b, c.at)
	d := r3.Sub(xa, xb)
	r[0], r[1], r[2] = d.X, d.Y, d.Z
	if j == nil {
		return
	}
	for i, e := range axes {
		j.point(row+i, c.a, xa, e)
		j.point(row+i, c.b, xb, r3.Scale(-1, e))
	}
}

// aligned keeps an axis of body b along the same axis of body a: square to two
// directions across it.
type aligned struct {
	a, b   int
	axis   Vec
	across [2]Vec
}

func parallel(j Joint) aligned {
	u := r3.Unit(j.Axis)
	e, f := square(u)
	return aligned{j.A, j.B, u, [2]Vec{e, f}}
}

// square returns two directions square to a unit vector and to each other.
func square(u Vec) (e, f Vec) {
	other := Vec{X: 1}
	if math.Abs(u.X) > 0.8 {
		other = Vec{Y: 1}
	}
	e = r3.Unit(r3.Cross(u, other))
	return e, r3.Cross(u, e)
}

func (aligned) rows() int { return 2 }

func (c aligned) write(p *pose, r []float64, j *jacobian, row int) {
	u := p.direction(c.b, c.axis)
	for i := range c.across {
		e := p.direction(c.a, c.across[i])
		r[i] = p.l.size * r3.Dot(e, u)
		if j != nil {
			j.direction(row+i, c.b, u, r3.Scale(p.l.size, e))
			j.direction(row+i, c.a, e, r3.Scale(p.l.size, u))
		}
	}
}

// onLine keeps a point of body b on a line of body a.
type onLine struct {
	a, b   int
	at     Vec
	across [2]Vec
}

func inLine(j Joint) onLine {
	e, f := square(r3.Unit(j.Axis))
	return onLine{j.A, j.B, j.At, [2]Vec{e, f}}
}

func (onLine) rows() int { return 2 }

func (c onLine) write(p *pose, r []float64, j *jacobian, row int) {
	xa, xb := p.point(c.a, c.at), p.point(c.b, c.at)
	d := r3.Sub(xb, xa)
	for i := range c.across {
		e := p.direction(c.a, c.across[i])
		r[i] = r3.Dot(e, d)
		if j != nil {
			j.point(row+i, c.b, xb, e)
			j.point(row+i, c.a, xa, r3.Scale(-1, e))
			j.direction(row+i, c.a, e, d)
		}
	}
}

// distance keeps the ends of a bar apart.
type distance struct {
	Bar
	length float64
}

func bar(b Bar) distance {
	if b.Length > 0 {
		return distance{b, b.Length}
	}
	return distance{b, r3.Norm(r3.Sub(b.PA, b.PB))}
}

func (distance) rows() int { return 1 }

func (c distance) write(p *pose, r []float64, j *jacobian, row int) {
	xa, xb := p.ends(&c.Bar)
	d := r3.Sub(xa, xb)
	n := r3.Norm(d)
	r[0] = n - c.length
	if j != nil && n > 0 {
		u := r3.Scale(1/n, d)
		j.point(row, c.A, xa, u)
		j.point(row, c.B, xb, r3.Scale(-1, u))
	}
}

// level keeps the lowest point of a disc at a distance along a direction; with no
// radius, its middle. The lowest point of a disc lies its radius times the sine of
// the angle between axis and normal below its middle.
type level struct {
	body   int
	at     Vec // the middle
	axis   Vec
	radius float64
	normal Vec // unit
	value  float64
}

func (level) rows() int { return 1 }

func (c level) write(p *pose, r []float64, j *jacobian, row int) {
	x, a := p.point(c.body, c.at), p.direction(c.body, c.axis)
	s := r3.Dot(c.normal, a)
	sine := math.Sqrt(max(0, 1-s*s))
	r[0] = r3.Dot(c.normal, x) - c.radius*sine - c.value
	if j == nil {
		return
	}
	j.point(row, c.body, x, c.normal)
	if sine > 0 {
		j.direction(row, c.body, a, r3.Scale(c.radius*s/sine, c.normal))
	}
}

// mean keeps the middle of the heights of wheels at a height above the drawn one.
type mean struct {
	wheels []Wheel
	value  float64
}

func (mean) rows() int { return 1 }

func (c mean) write(p *pose, r []float64, j *jacobian, row int) {
	share := 1 / float64(len(c.wheels))
	r[0] = -c.value
	for _, w := range c.wheels {
		x := p.point(w.Body, w.Centre)
		r[0] += share * (x.Z - w.Centre.Z)
		if j != nil {
			j.point(row, w.Body, x, r3.Scale(share, axes[2]))
		}
	}
}

// heading keeps the axis of a wheel square to a direction of the frame.
type heading struct {
	wheel Wheel
	to    Vec
	value float64
}

func (heading) rows() int { return 1 }

func (c heading) write(p *pose, r []float64, j *jacobian, row int) {
	a := p.direction(c.wheel.Body, c.wheel.Axis)
	r[0] = p.l.size*r3.Dot(c.to, a) - c.value
	if j != nil {
		j.direction(row, c.wheel.Body, a, r3.Scale(p.l.size, c.to))
	}
}
