package strength

import (
	"fmt"
	"math"
	"strings"
)

// columnCurves are the imperfection factors α of EN 1993-1-1, table 6.1; tube that was
// finished hot takes curve a, tube formed cold curve c (table 6.2).
var columnCurves = map[string]float64{"a0": 0.13, "a": 0.21, "b": 0.34, "c": 0.49, "d": 0.76}

// ColumnByCode is the push at which a straight bar with pinned ends fails by the curve of a
// code, N. Against Column it counts what a bar has of bends and of stresses locked in: cold
// formed tube bears up to a third less.
//
//	EN 1993-1-1, 6.3.1.2, "curve c" and the others:
//	  λ = √(A·S_y/N_cr),  N_cr = π²·E·I/L²,  φ = ½·(1 + α·(λ − 0.2) + λ²)
//	  P = A·S_y / (φ + √(φ² − λ²)), and no more than A·S_y
//	AISC 360-16, E3, "AISC":
//	  P = 0.658^(S_y/F_e)·A·S_y where S_y/F_e ≤ 2.25, else 0.877·A·F_e,  F_e = N_cr/A
//
// Both without the code's partial or safety factor. Domain and welded ends as Column.
// Sources: worked examples of both opened, see testdata/published; the clauses from memory.
func ColumnByCode(s Section, length float64, m Material, curve string) (Result, error) {
	own, err := columnDomain(s, length, m)
	if err != nil {
		return Result{}, err
	}
	critical := math.Pi * math.Pi * m.E * s.Second / (length * length)
	squash := s.Area * m.Yield
	r := Result{
		Assumptions: []string{"straight bar, pinned at both ends, load along its axis"},
		Working: []Step{
			{"length", mm(length), "mm"}, {"area", mm2(s.Area), "mm²"}, {"second moment", s.Second * 1e12, "mm⁴"},
			{"yield", mpa(m.Yield), "MPa"}, {"E", m.E * 1e-9, "GPa"}, {"Euler's load", critical, "N"}, {"bending by own weight", mpa(own), "MPa"},
		},
	}
	if curve == "AISC" {
		r.Method, r.Source = "column, AISC 360-16 E3", "AISC 360-16, E3; "+m.Source
		if ratio := squash / critical; ratio <= 2.25 {
			r.Value = math.Pow(0.658, ratio) * squash
		} else {
			r.Value = 0.877 * critical
		}
		return r.softened(s, m), nil
	}
	alpha, known := columnCurves[strings.TrimPrefix(curve, "curve ")]
	if !known {
		return Result{}, fmt.Errorf("column: %q is no curve known here; known are curve a0, a, b, c, d and AISC", curve)
	}
	lambda := math.Sqrt(squash / critical)
	phi := (1 + alpha*(lambda-0.2) + lambda*lambda) / 2
	chi := math.Min(1, 1/(phi+math.Sqrt(phi*phi-lambda*lambda)))
	r.Method, r.Source = "column, EN 1993-1-1 "+curve, "EN 1993-1-1, 6.3.1.2; "+m.Source
	r.Value = chi * squash
	r.Working = append(r.Working, Step{"slenderness λ", lambda, ""}, Step{"reduction χ", chi, ""})
	return r.softened(s, m), nil
}
