package strength

import "math"

// Box is a square or rectangular tube of two outside sides and wall, m, with the corners of
// tube that is formed cold: outside radius 2·t, inside t. It is taken as bending about its weaker
// axis, h the side along it and b the other:
//
//	A   = 2t(b + h − 2t) − (4 − π)(r_o² − r_i²)
//	I   = [h·b³ − (h − 2t)(b − 2t)³]/12 − 4·c(r_o, b/2) + 4·c(r_i, b/2 − t)
//	W_t = I_t/(t + K/t),  I_t = t³·U/3 + 2·K·A_h,  K = 2·A_h·t/U
//
// c(r, e) is the second moment of what a corner of radius r, its edge at e, leaves out of the
// square; U and A_h are length and area of the middle line. Source: EN 10219-2, annex A (from
// memory; its tables come out).
func Box(one, other, wall float64) (Section, error) {
	if err := positive("box", one, other, wall); err != nil {
		return Section{}, err
	}
	b, h := math.Min(one, other), math.Max(one, other)
	if 4*wall >= b {
		return Section{}, outside("box", "its wall is so thick that no side of it is straight")
	}
	outer, inner := 2*wall, wall
	corner := func(r, edge float64) float64 {
		area := (1 - math.Pi/4) * r * r
		arm := edge - (10-3*math.Pi)/(12-3*math.Pi)*r
		return (1.0/3-math.Pi/16-1/(3*(12-3*math.Pi)))*math.Pow(r, 4) + area*arm*arm
	}
	middle := (outer + inner) / 2
	around := 2*(b+h-2*wall) - 2*middle*(4-math.Pi)
	inside := (b-wall)*(h-wall) - middle*middle*(4-math.Pi)
	k := 2 * inside * wall / around
	return Section{
		Area:   2*wall*(b+h-2*wall) - (4-math.Pi)*(outer*outer-inner*inner),
		Second: (h*b*b*b-(h-2*wall)*math.Pow(b-2*wall, 3))/12 - 4*corner(outer, b/2) + 4*corner(inner, b/2-wall),
		Far:    b / 2,
		Twist:  (wall*wall*wall*around/3 + 2*k*inside) / (wall + k/wall),
	}, nil
}
