package strength

import "math"

// Sling is how a load hangs in a sling.
type Sling struct {
	Legs   int     // 1 to 4, all of one working load limit
	Angle  float64 // rad, of the steepest leg from the plumb line
	Choked bool
}

// Limit is the load that a sling of legs with one working load limit bears, N: the limit
// times a factor for legs and angle,
//
//	one leg 1; two legs 1.4 up to 45° and 1.0 up to 60°; three and four 2.1 and 1.5;
//	choked 0.8 of it
//
// A fourth leg counts for nothing. Nothing hangs at more than 60° from the plumb line. A
// single leg that is not plumb is one of two. Source: EN 13414-1 table 4, EN 818-4 and
// EN 1492-1 as makers print them (copies). The factors are rounded down from
// legs·cos(angle), so the limit holds its maker's safety factor and no design factor goes on
// top.
func (s Sling) Limit(working float64) (Result, error) {
	if err := positive("sling", working); err != nil {
		return Result{}, err
	}
	if s.Legs < 1 || s.Legs > 4 {
		return Result{}, outside("sling", "a sling has one to four legs, not %d", s.Legs)
	}
	const degree = math.Pi / 180
	if !(s.Angle >= 0) || s.Angle > 60*degree*(1+1e-9) {
		return Result{}, outside("sling", "a leg at %.0f° from the plumb line", s.Angle/degree)
	}
	flat := s.Angle > 45*degree*(1+1e-9)
	factor := 1.0
	switch {
	case s.Legs == 1 && s.Angle > 0:
		factor = math.Cos(s.Angle)
	case s.Legs == 2 && !flat:
		factor = 1.4
	case s.Legs > 2 && flat:
		factor = 1.5
	case s.Legs > 2:
		factor = 2.1
	}
	r := Result{
		Method: "sling, working load limit × factor for legs and angle", Source: "EN 13414-1, table 4; EN 818-4; EN 1492-1",
		Working: []Step{{"limit of one leg", working, "N"}, {"legs", float64(s.Legs), ""}, {"angle from the plumb line", s.Angle / degree, "°"}, {"factor", factor, ""}},
	}
	if s.Choked {
		factor *= 0.8
		r.Working = append(r.Working, Step{"choked", 0.8, ""})
	}
	r.Value = factor * working
	return r, nil
}
