package strength

import (
	"fmt"
	"math"
	"strings"
)

// aluminiumFillers are the least shear strengths of fillets in aluminium, Pa: the lesser of
// the Aluminum Design Manual's ultimate shear (4043 11.5, 5356 17, 5183 18.5 ksi; from
// memory, their ratio agrees with what was opened) and f_w/√3 of EN 1999-1-1 table 8.8 on
// 6061 (4043 170, 5356 190 MPa; from memory).
var aluminiumFillers = map[string]float64{"4043": 11.5 * ksi, "5356": 190e6 / 1.7320508075688772, "5183": 190e6 / 1.7320508075688772}

// aluminiumYield is the share of its strength at which weld metal of these fillers yields:
// groove joints in 6061-T6 yield at 18 of 27 ksi with 4043 and at 19 of 30 with 5356 (AlcoTec
// technical guide, opened); the less is taken.
const aluminiumYield = 19.0 / 30

// FilletLineAluminium is what a metre of fillet in aluminium bears at yield, N/m, the less of
//
//	throat  0.707·leg · 0.63 · τ_filler
//	plate   t · 0.577 · S_w
//
// S_w is the yield strength in the softened zone, which reaches 25 mm and more to both sides
// of a weld (EN 1999-1-1, table 3.2b); it counts for the plate whatever filler is taken.
func FilletLineAluminium(leg float64, filler string, thickness float64, m Material) (Result, error) {
	if err := positive("fillet", leg, thickness, m.Welded, m.E); err != nil {
		return Result{}, err
	}
	if m.E >= leastSteelE {
		return Result{}, outside("aluminium fillet", "%s is no aluminium", m.Name)
	}
	shear, known := aluminiumFillers[strings.TrimPrefix(strings.ToUpper(strings.TrimSpace(filler)), "ER")]
	if !known {
		return Result{}, fmt.Errorf("%q is no filler for aluminium known here; known are 4043, 5183, 5356", filler)
	}
	throat := leg / math.Sqrt2
	weld, plate := throat*aluminiumYield*shear, thickness*m.Welded/math.Sqrt(3)
	r := Result{
		Value: weld, Method: "aluminium fillet on its throat: 0.707·leg × 0.63 × shear strength of the filler", Source: "Aluminum Design Manual, EN 1999-1-1 table 8.8",
		Assumptions: []string{"whole along the length, fused, no crack or undercut", "the heat has softened the plate beside it"},
		Working: []Step{
			{"throat", mm(throat), "mm"}, {"shear strength of the filler", mpa(shear), "MPa"}, {"weld bears", weld / 1e3, "N/mm"},
			{"yield beside the weld", mpa(m.Welded), "MPa"}, {"plate bears", plate / 1e3, "N/mm"},
		},
	}
	if plate < weld {
		r.Value, r.Method, r.Source = plate, "softened plate beside the fillet: thickness × 0.577 × yield", m.Source
	}
	return r, nil
}
