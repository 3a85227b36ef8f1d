package strength

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// Filler is a weld metal with its classified strength.
type Filler struct {
	Name     string
	Ultimate float64 // Pa: tensile, F_EXX; of one for aluminium the least shear strength of a fillet
	Shear    float64 // Pa, at which a fillet of it surely yields on its throat
	Light    bool    // for aluminium
}

const (
	// steelYield is the share of its tensile strength at which the weld metal of every
	// carbon steel filler listed surely yields: AWS A5.18 asks for 58 of 70 ksi,
	// ISO 14341 for 420 of 500 MPa (from memory).
	steelYield = 0.75
	// stainlessYield is where stainless weld metal yields, earlier: ISO 14343-A, 19 9 L and
	// 19 12 3 L (from memory).
	stainlessYield = 320e6
	// lightYield is the share of its strength at which weld metal in aluminium yields: groove
	// joints in 6061-T6 yield at 18 of 27 ksi with 4043 and at 19 of 30 with 5356 (AlcoTec
	// technical guide, opened); the less is taken.
	lightYield = 19.0 / 30
)

// fillers by the number in their AWS designation (A5.1, A5.18, A5.28, A5.9; from
// memory): ER70S-6 has 70 ksi. Those for aluminium by A5.10 have the lesser of the Aluminum
// Design Manual's shear strength of fillets (4043 11.5, 5356 17, 5183 18.5 ksi; from memory,
// their ratio agrees with what was opened) and f_w/√3 of EN 1999-1-1 table 8.8 on 6061
// (4043 170, 5356 190 MPa; from memory).
var fillers = []Filler{
	forSteel("E60", 60*ksi), forSteel("E70", 70*ksi), forSteel("E7018", 70*ksi), forSteel("E6013", 60*ksi),
	forSteel("ER70S-2", 70*ksi), forSteel("ER70S-3", 70*ksi), forSteel("ER70S-6", 70*ksi),
	forSteel("ER80S-D2", 80*ksi), forSteel("ER80S-Ni1", 80*ksi), forSteel("G3Si1", 500e6), forSteel("G4Si1", 500e6),
	stainless("ER308L", 75*ksi), stainless("ER309L", 75*ksi), stainless("ER316L", 70*ksi),
	forAluminium("ER4043", 11.5*ksi), forAluminium("ER5356", 190e6/math.Sqrt(3)), forAluminium("ER5183", 190e6/math.Sqrt(3)),
}

func forSteel(name string, tensile float64) Filler {
	return Filler{Name: name, Ultimate: tensile, Shear: steelYield * tensile / math.Sqrt(3)}
}

func stainless(name string, tensile float64) Filler {
	return Filler{Name: name, Ultimate: tensile, Shear: stainlessYield / math.Sqrt(3)}
}

func forAluminium(name string, shear float64) Filler {
	return Filler{Name: name, Ultimate: shear, Shear: lightYield * shear, Light: true}
}

// FillerOf returns the filler that a builder wrote; the ER of a wire may be left out.
func FillerOf(text string) (Filler, error) {
	var names []string
	for _, f := range fillers {
		if wanted := strings.TrimSpace(text); strings.EqualFold(f.Name, wanted) || strings.EqualFold(f.Name, "ER"+wanted) {
			return f, nil
		}
		names = append(names, f.Name)
	}
	return Filler{}, fmt.Errorf("%q is no filler known here; known are %s", text, strings.Join(names, ", "))
}

// ForSteel reports whether a builder named a filler for steel.
func ForSteel(text string) bool {
	f, err := FillerOf(text)
	return err == nil && !f.Light
}

// FillersFor are the fillers for such a metal, the weakest first.
func FillersFor(m Material) []Filler {
	light := m.E < leastSteelE
	fit := slices.DeleteFunc(slices.Clone(fillers), func(f Filler) bool { return f.Light != light })
	slices.SortStableFunc(fit, func(a, b Filler) int { return cmp.Compare(a.Shear, b.Shear) })
	return fit
}

// FilletGroup is a group of fillets drawn as lines in a plane: the weld's own
// frame has its first axis along the lines, the second across them in the face
// that the weld lies on, the third at right angles to that face.
type FilletGroup struct {
	Layout string  // "one line", "two lines", "rectangle" or "circle"
	Leg    float64 // m
	Length float64 // m, of all lines together
	Width  float64 // m, distance of two lines, or the short side of a rectangle
}

// unit properties of the lines, per metre of throat: total length, second moments
// about the axis along and the axis across, and the distances of the farthest
// point from them and from the middle.
type lines struct {
	length, iAlong, iAcross, cAlong, cAcross, far float64
}

// lines are the unit second moments of the layouts. Two lines of length d at
// distance b: I_along = b²d/2, I_across = d³/6, J = d(3b² + d²)/6. Rectangle b × d:
// I_across = d²(3b + d)/6, I_along = b²(3d + b)/6, J = (b + d)³/6. Circle r:
// I = πr³, J = 2πr³. Source: Shigley, Mechanical Engineering Design, tables 9-1
// and 9-2 (from memory).
func (g FilletGroup) lines() (lines, error) {
	if err := positive("weld", g.Leg, g.Length); err != nil {
		return lines{}, err
	}
	switch g.Layout {
	case "one line":
		d := g.Length
		return lines{d, 0, d * d * d / 12, 0, d / 2, d / 2}, nil
	case "two lines":
		d, b := g.Length/2, g.Width
		if err := positive("weld: distance of the two lines", b); err != nil {
			return lines{}, err
		}
		return lines{g.Length, b * b * d / 2, d * d * d / 6, b / 2, d / 2, math.Hypot(b, d) / 2}, nil
	case "rectangle":
		b := g.Width
		d := g.Length/2 - b
		if err := positive("weld: sides of the rectangle", b, d); err != nil {
			return lines{}, err
		}
		return lines{g.Length, b * b * (3*d + b) / 6, d * d * (3*b + d) / 6, b / 2, d / 2, math.Hypot(b, d) / 2}, nil
	case "circle":
		r := g.Length / (2 * math.Pi)
		return lines{g.Length, math.Pi * r * r * r, math.Pi * r * r * r, r, r, r}, nil
	}
	return lines{}, fmt.Errorf("%q is no layout of a weld known here", g.Layout)
}

// bending is the greatest force on a metre of the lines from moments about the axes
// along and across them, N/m. A circle has no corner, and bends about one axis.
func (g FilletGroup) bending(l lines, along, across float64) float64 {
	a, c := 0.0, math.Abs(across)/l.iAcross*l.cAcross
	if l.iAlong > 0 {
		a = math.Abs(along) / l.iAlong * l.cAlong
	}
	if g.Layout == "circle" {
		return math.Hypot(a, c)
	}
	return a + c
}

// opens is the error for a moment that one line of weld has nothing against.
func opens(moment float64) error {
	return outside("one line of weld", "a moment of %.3g N·m opens it at the root", moment)
}

// Peak is the greatest force on a metre of the lines, N/m, for a force
// and a moment on the group's middle, in the weld's own frame: direct force spread
// evenly, plus the part of the moment in the face as torsion and the parts out of
// it as bending, each where it is worst and added without regard to direction. Where
// they meet at an angle the sum is some per cent above the textbook's vector sum.
// Source: Shigley, Mechanical Engineering Design, 9-3 and 9-4, the weld as lines
// (table 9-2 and the solutions of problems 9-5 and 9-6 opened).
func (g FilletGroup) Peak(force, moment r3.Vec) (perMetre float64, working []Step, err error) {
	l, err := g.lines()
	if err != nil {
		return 0, nil, err
	}
	if err := finite("weld", force.X, force.Y, force.Z, moment.X, moment.Y, moment.Z); err != nil {
		return 0, nil, err
	}
	if l.iAlong == 0 && math.Abs(moment.X) > 1e-3*math.Abs(force.X*l.length)+1e-9 {
		return 0, nil, opens(math.Abs(moment.X))
	}
	inFace, outOf := math.Hypot(force.X, force.Y)/l.length, math.Abs(force.Z)/l.length
	torsion := math.Abs(moment.Z) / (l.iAlong + l.iAcross) * l.far
	bend := g.bending(l, moment.X, moment.Y)
	peak := math.Hypot(inFace+torsion, outOf+bend)
	return peak, []Step{
		{"direct in the face", inFace / 1e3, "N/mm"}, {"torsion", torsion / 1e3, "N/mm"},
		{"direct out of the face", outOf / 1e3, "N/mm"}, {"bending", bend / 1e3, "N/mm"}, {"peak", peak / 1e3, "N/mm"},
	}, nil
}

// PeakAnyWay bounds what Peak gives for a force, N, and a moment, N·m, of these sizes
// however the group is turned to them. The moment divides between torsion and bending,
// and the bending between its two axes, like a vector between its components; torsion and
// bending act at right angles, so that the worst is all of the one or all of the
// other, and the direct force may lie along it.
func (g FilletGroup) PeakAnyWay(force, moment float64) (perMetre float64, working []Step, err error) {
	l, err := g.lines()
	if err != nil {
		return 0, nil, err
	}
	if err := finite("weld", force, moment); err != nil {
		return 0, nil, err
	}
	if l.iAlong == 0 && math.Abs(moment) > 1e-9 {
		return 0, nil, opens(math.Abs(moment))
	}
	direct := math.Abs(force) / l.length
	torsion := math.Abs(moment) / (l.iAlong + l.iAcross) * l.far
	bend := math.Hypot(g.bending(l, moment, 0), g.bending(l, 0, moment))
	if g.Layout == "circle" {
		bend = g.bending(l, moment, 0)
	}
	peak := direct + max(torsion, bend)
	return peak, []Step{
		{"direct", direct / 1e3, "N/mm"}, {"torsion if it twists", torsion / 1e3, "N/mm"},
		{"bending if it bends", bend / 1e3, "N/mm"}, {"peak", peak / 1e3, "N/mm"},
	}, nil
}

// FilletLine is what a metre of fillet bears at yield, N/m, the less of two:
//
//	throat  0.707·leg · τ_weld
//	plate   t · 0.577 · S_w
//
// τ_weld is 0.577 of the yield strength of the weld metal, three quarters of the classified
// tensile strength F_EXX for carbon steel; in aluminium 0.63 of the shear strength of its
// fillets. S_w is the yield strength of the thinner plate beside the weld: aluminium is
// softened there for 25 mm and more to both sides (EN 1999-1-1, table 3.2b), whatever filler
// is taken. The code's own allowable for steel, 0.30·F_EXX on the throat (AWS D1.1 table 2.5,
// AISC ASD; from memory), holds a factor of safety already and stands in the working for
// comparison. A filler for steel does not apply to aluminium, nor the other way round.
func FilletLine(leg float64, f Filler, thickness float64, m Material) (Result, error) {
	if err := positive("fillet", leg, thickness, f.Ultimate, f.Shear, m.Welded, m.E); err != nil {
		return Result{}, err
	}
	switch light := m.E < leastSteelE; {
	case light && !f.Light:
		return Result{}, outside("fillet formula", "%s is a filler for steel, and %s is none", f.Name, m.Name)
	case f.Light && !light:
		return Result{}, outside("fillet formula", "%s is a filler for aluminium, and %s is none", f.Name, m.Name)
	}
	throat := leg / math.Sqrt2
	weld := throat * f.Shear
	plate := thickness * m.Welded / math.Sqrt(3)
	r := Result{
		Value: weld, Method: "fillet on its throat: 0.707·leg × 0.577 × 0.75·F_EXX", Source: "Shigley, Mechanical Engineering Design, ch. 9; AWS D1.1 for the allowable",
		Assumptions: []string{"whole along the length, fused, no crack or undercut"},
		Working: []Step{
			{"throat", mm(throat), "mm"}, {"filler tensile", mpa(f.Ultimate), "MPa"}, {"weld bears", weld / 1e3, "N/mm"},
			{"plate bears", plate / 1e3, "N/mm"}, {"allowable by 0.30·F_EXX", 0.30 * f.Ultimate * throat / 1e3, "N/mm"},
		},
	}
	switch {
	case f.Light:
		r.Method, r.Source = "aluminium fillet on its throat: 0.707·leg × 0.63 × shear strength of the filler", "Aluminum Design Manual; EN 1999-1-1, table 8.8"
		r.Assumptions = append(r.Assumptions, "the heat has softened the plate beside it")
		r.Working[1].Name = "shear strength of the filler"
		r.Working[4] = Step{"yield beside the weld", mpa(m.Welded), "MPa"}
	case f.Shear < steelYield*f.Ultimate/math.Sqrt(3):
		r.Method = "fillet on its throat: 0.707·leg × 0.577 × yield of stainless weld metal"
		r.Working = append(r.Working, Step{"weld metal yield", mpa(f.Shear * math.Sqrt(3)), "MPa"})
	}
	if plate < weld {
		r.Value, r.Method = plate, "plate beside the fillet: thickness × 0.577 × yield"
		r.Source = "AISC 360-16, J4.2 (shear yielding), at 0.577; " + m.Source
	}
	return r, nil
}
