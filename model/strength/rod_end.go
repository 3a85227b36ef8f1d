package strength

import "fmt"

// RodEnd is the load at which a rod end or spherical bearing reaches its static
// rating, N, for a force across its bolt and a force along it together.
//
//	utilisation = radial/rated + axial/axial rating ≤ 1
//
// The straight-line sum is on the safe side of makers' combined-load diagrams. The
// axial rating is the maker's, or a share of the radial rating where there is
// none: makers give 10 to 20 % (from memory; common practice). Value is the sum of
// both forces that reaches the rating in the same proportion; with no force at all
// it is the radial rating.
func RodEnd(radial, axial, rated, axialRated float64) (Result, error) {
	if err := positive("rod end", rated, axialRated); err != nil {
		return Result{}, err
	}
	if err := finite("rod end", radial, axial); err != nil {
		return Result{}, err
	}
	if radial < 0 || axial < 0 {
		return Result{}, fmt.Errorf("rod end: a force is below zero; give its size, whichever way it points")
	}
	if radial+axial == 0 {
		return Result{Value: rated, Method: "static rating of the rod end", Source: "the maker's rating"}, nil
	}
	use := radial/rated + axial/axialRated
	return Result{
		Value:  (radial + axial) / use,
		Method: "static rating of the rod end, radial/rated + axial/axial rated", Source: "the maker's rating; straight-line sum, common practice",
		Working: []Step{{"across the bolt", radial, "N"}, {"along the bolt", axial, "N"}, {"rated", rated, "N"}, {"axial rated", axialRated, "N"}},
	}, nil
}
