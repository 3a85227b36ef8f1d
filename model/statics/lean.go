package statics

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Lean is how far a vehicle leans on a flat floor, rad, that touches it at these points
// of its own frame: nose up and left side up. Of more than three points the plane with
// the least squares counts. ok is false where they lie on a line or are fewer.
func Lean(floor []Vec) (pitch, roll float64, ok bool) {
	if len(floor) < 3 {
		return 0, 0, false
	}
	a, z := mat.NewDense(len(floor), 3, nil), mat.NewVecDense(len(floor), nil)
	for i, p := range floor {
		a.SetRow(i, []float64{1, p.X, p.Y})
		z.SetVec(i, p.Z)
	}
	var qr mat.QR
	qr.Factorize(a)
	var plane mat.VecDense
	if qr.Cond() > 1e6 || qr.SolveVecTo(&plane, false, z) != nil {
		return 0, 0, false
	}
	return math.Atan(-plane.AtVec(1)), math.Atan(-plane.AtVec(2)), true
}
