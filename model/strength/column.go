package strength

import (
	"fmt"
	"math"

	"setdown/model/quantity"
)

// Section is the cross-section of a bar.
type Section struct {
	Area   float64 // m²
	Second float64 // m⁴, second moment of area
	Far    float64 // m, from the middle to the outermost fibre
	Twist  float64 // m³, torque for a unit of shear stress
	thin   float64 // diameter over wall of a tube; 0 of a solid bar
}

// Tube is a round tube of outside diameter od and wall, m.
//
//	A = π/4·(D² − d²),  I = π/64·(D⁴ − d⁴)
func Tube(od, wall float64) (Section, error) {
	if err := positive("tube", od, wall); err != nil {
		return Section{}, err
	}
	if 2*wall >= od {
		return Section{}, outside("tube", "the wall is half of the diameter or more")
	}
	in := od - 2*wall
	return Section{
		Area:   math.Pi / 4 * (od*od - in*in),
		Second: math.Pi / 64 * (math.Pow(od, 4) - math.Pow(in, 4)),
		Far:    od / 2,
		Twist:  math.Pi / 16 * (math.Pow(od, 4) - math.Pow(in, 4)) / od,
		thin:   od / wall,
	}, nil
}

// Round is a solid round bar of diameter d, m; of studding at the thread's root.
func Round(d float64) (Section, error) {
	if err := positive("bar", d); err != nil {
		return Section{}, err
	}
	return Section{Area: math.Pi / 4 * d * d, Second: math.Pi / 64 * math.Pow(d, 4), Far: d / 2, Twist: math.Pi / 16 * d * d * d}, nil
}

// Flat is a rectangular bar of two sides, m, taken as bending about its weaker axis; the
// torque for a unit of stress by h·b²/(3 + 1.8·b/h), b ≤ h (Shigley, Mechanical Engineering
// Design, eq. 3-40; from memory).
func Flat(one, other float64) (Section, error) {
	if err := positive("flat bar", one, other); err != nil {
		return Section{}, err
	}
	b, h := math.Min(one, other), math.Max(one, other)
	return Section{Area: b * h, Second: h * b * b * b / 12, Far: b / 2, Twist: h * b * b / (3 + 1.8*b/h)}, nil
}

// slenderest is the greatest slenderness for which a strength is given. AISC
// 360-16, E2, user note, recommends 200 (from memory) and a bar above it is too
// whippy to be good practice; the formula of Euler holds on, and up to here it
// gives the number that shows how far the bar is from enough.
const slenderest = 250

// steelDensity weighs a bar for the check that its own weight is negligible,
// kg/m³; lighter metals weigh less.
const steelDensity = 7850

// Column is the push at which a straight bar with pinned ends buckles or yields,
// N.
//
//	slenderness L/k ≥ (L/k)₁:  P = P_e = π²·E·I / L²                      (Euler)
//	below:                     P = P_y·(1 − P_y/(4·P_e)),  P_y = A·S_y     (Johnson)
//	(L/k)₁ = √(2π²·E/S_y),  k = √(I/A)
//
// With an imperfection factor α above 0 it is no more than the curve of EN 1993-1-1,
// 6.3.1.2, which counts what a bar has of bends and of stresses locked in: 0.21 (curve a) for
// tube finished hot, 0.49 (curve c) for tube formed cold, which bears up to a third less.
//
//	λ = √(P_y/P_e),  φ = ½·(1 + α·(λ − 0.2) + λ²),  P = P_y / (φ + √(φ² − λ²))
//
// Nor is it ever more than A·S_w, S_w the yield strength beside a weld: nobody records
// whether an end piece is welded in, so that it is taken as welded. Sources: Shigley,
// Mechanical Engineering Design, eq. 4-43 and 4-48 with end condition C = 1 (from
// memory; examples 4-17 and 4-18 opened); worked examples of the curve opened, the clause from
// memory. It applies up to a slenderness of 250,
// and where the bending stress of the bar's own weight, lying flat, is below a tenth
// of the yield strength. Whether a wall thinner than diameter/wall = 0.11·E/S_y
// (AISC 360-16, table B4.1a; from memory) dents before the bar buckles it does not
// know, and says so.
func Column(s Section, length, imperfection float64, m Material) (Result, error) {
	own, err := columnDomain(s, length, m)
	if err != nil {
		return Result{}, err
	}
	k := math.Sqrt(s.Second / s.Area)
	r := Result{
		Source:      "Shigley, Mechanical Engineering Design, eq. 4-43 and 4-48; " + m.Source,
		Assumptions: []string{"straight bar, pinned at both ends, load along its axis"},
		Working: []Step{
			{"length", mm(length), "mm"}, {"area", mm2(s.Area), "mm²"}, {"second moment", s.Second * 1e12, "mm⁴"},
			{"radius of gyration", mm(k), "mm"}, {"slenderness", length / k, ""}, {"Euler above", math.Sqrt(2 * math.Pi * math.Pi * m.E / m.Yield), ""},
			{"yield", mpa(m.Yield), "MPa"}, {"E", m.E * 1e-9, "GPa"}, {"bending by own weight", mpa(own), "MPa"},
		},
	}
	if s.thin > 0.11*m.E/m.Yield {
		r.Assumptions = append(r.Assumptions, fmt.Sprintf("the wall, 1/%.0f of the diameter, does not dent first", s.thin))
	}
	b, err := buckles(math.Pi*math.Pi*m.E*s.Second/(length*length), s.Area*m.Yield, imperfection)
	if err != nil {
		return Result{}, err
	}
	r.Value, r.Method, r.Source, r.Working = b.Value, b.Method, b.Source+r.Source, append(r.Working, b.Working...)
	return r.softened(s, m), nil
}

// buckles is the push at which a bar fails whose elastic load and whose yield load are known,
// N, as Column says.
func buckles(elastic, yields, imperfection float64) (r Result, err error) {
	if !(imperfection >= 0 && imperfection <= 1) {
		return r, outside("column formula", "an imperfection factor of %g", imperfection)
	}
	r.Value, r.Method = yields*(1-yields/(4*elastic)), "column, Johnson: P = A·(yield − (yield·L/2πk)²/E)"
	if elastic <= yields/2 {
		r.Value, r.Method = elastic, "column, Euler: P = π²·E·I/L²"
	}
	if imperfection == 0 {
		return r, nil
	}
	lambda := math.Sqrt(yields / elastic)
	phi := (1 + imperfection*(lambda-0.2) + lambda*lambda) / 2
	chi := math.Min(1, 1/(phi+math.Sqrt(phi*phi-lambda*lambda)))
	r.Working = []Step{{"imperfection factor", imperfection, ""}, {"slenderness λ", lambda, ""}, {"reduction χ", chi, ""}}
	if curve := chi * yields; curve < r.Value {
		r.Value, r.Method, r.Source = curve, "column, EN 1993-1-1: P = χ·A·yield", "EN 1993-1-1, 6.3.1.2; "
	}
	return r, nil
}

// columnDomain is where columns are computed: up to a slenderness of 250, and where the bar's
// own weight, lying flat, bends it with less than a tenth of its yield strength. It returns
// that stress, Pa.
func columnDomain(s Section, length float64, m Material) (own float64, err error) {
	if err := positive("column", s.Area, s.Second, length, m.Yield, m.Welded, m.E); err != nil {
		return 0, err
	}
	k := math.Sqrt(s.Second / s.Area)
	if slender := length / k; slender > slenderest {
		return 0, outside("column formula", "slenderness %.0f is above %d", slender, slenderest)
	}
	// Own weight w a metre: M = w·L²/8, stress M·c/I with c ≈ √2·k for a round bar
	// taken as 2k, which is the solid bar's and the larger.
	own = steelDensity * quantity.Gravity * s.Area * length * length / 8 * 2 * k / s.Second
	if own > 0.1*m.Yield {
		return 0, outside("column formula", "its own weight alone bends it with more than a tenth of its yield strength")
	}
	return own, nil
}

// softened limits what a bar bears to what it yields at beside a weld, where its
// metal loses strength by welding.
func (r Result) softened(s Section, m Material) Result {
	if m.Welded >= m.Yield {
		return r
	}
	r.Assumptions = append(r.Assumptions, "taken as welded at its ends, where the heat has softened it")
	r.Working = append(r.Working, Step{"yield beside a weld", mpa(m.Welded), "MPa"})
	if most := s.Area * m.Welded; most < r.Value {
		r.Value, r.Method = most, "bar at its welded ends, P = yield beside a weld × area"
	}
	return r
}

// BarTension is the pull at which a bar yields, N: F = S_y·A, and beside a weld at
// its ends no more than the heat has left of S_y.
func BarTension(s Section, m Material) (Result, error) {
	if err := positive("bar", s.Area, m.Yield, m.Welded); err != nil {
		return Result{}, err
	}
	r := Result{
		Value: s.Area * m.Yield, Method: "bar in tension, F = yield × area", Source: m.Source,
		Working: []Step{{"area", mm2(s.Area), "mm²"}, {"yield", mpa(m.Yield), "MPa"}},
	}
	return r.softened(s, m), nil
}
