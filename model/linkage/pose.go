package linkage

import (
	"gonum.org/v1/gonum/num/quat"
	"gonum.org/v1/gonum/spatial/r3"
)

// pose is where every body is: turned about its centre and shifted, from the
// drawn pose.
type pose struct {
	l    *Linkage
	at   []placed
	rack float64 // travel of the steering rack, m
}

type placed struct {
	turn  r3.Rotation
	shift Vec
}

func (l *Linkage) drawnPose() *pose {
	p := &pose{l: l, at: make([]placed, len(l.sys.Bodies))}
	for i := range p.at {
		p.at[i].turn = r3.Rotation(quat.Number{Real: 1})
	}
	return p
}

func (p *pose) clone() *pose {
	c := *p
	c.at = append([]placed(nil), p.at...)
	return &c
}

// point is where a point of a body has come to.
func (p *pose) point(body int, at Vec) Vec {
	if body == Ground {
		return at
	}
	c := p.l.centre[body]
	return r3.Add(r3.Add(c, p.at[body].shift), p.at[body].turn.Rotate(r3.Sub(at, c)))
}

// direction is how a direction of a body has turned.
func (p *pose) direction(body int, d Vec) Vec {
	if body == Ground {
		return d
	}
	return p.at[body].turn.Rotate(d)
}

// ends are where the ends of a bar have come to.
func (p *pose) ends(b *Bar) (a, c Vec) {
	return r3.Add(p.point(b.A, b.PA), r3.Scale(p.rack, b.Steer)), p.point(b.B, b.PB)
}

// A step of all bodies is a vector with six numbers a body: how far its centre
// goes, and how far it turns, in radians times the size of the linkage.

func (l *Linkage) shift(step []float64, body int) Vec {
	return Vec{X: step[6*body], Y: step[6*body+1], Z: step[6*body+2]}
}

func (l *Linkage) turn(step []float64, body int) Vec {
	return r3.Scale(1/l.size, Vec{X: step[6*body+3], Y: step[6*body+4], Z: step[6*body+5]})
}

// move carries out a step.
func (p *pose) move(step []float64) {
	for i := range p.at {
		b := &p.at[i]
		b.shift = r3.Add(b.shift, p.l.shift(step, i))
		w := p.l.turn(step, i)
		if angle := r3.Norm(w); angle > 0 {
			q := quat.Mul(quat.Number(r3.NewRotation(angle, w)), quat.Number(b.turn))
			b.turn = r3.Rotation(quat.Scale(1/quat.Abs(q), q))
		}
	}
}

// pointRate is how fast a point, where it is now, moves in a step.
func (p *pose) pointRate(body int, now Vec, step []float64) Vec {
	if body == Ground {
		return Vec{}
	}
	arm := r3.Sub(now, r3.Add(p.l.centre[body], p.at[body].shift))
	return r3.Add(p.l.shift(step, body), r3.Cross(p.l.turn(step, body), arm))
}

// directionRate is how fast a direction, as it is now, turns in a step.
func (p *pose) directionRate(body int, now Vec, step []float64) Vec {
	if body == Ground {
		return Vec{}
	}
	return r3.Cross(p.l.turn(step, body), now)
}
