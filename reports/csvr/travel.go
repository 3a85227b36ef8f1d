package csvr

import (
	"encoding/csv"
	"io"
	"strconv"

	"setdown/rules/verdict"
)

// Travel writes the curves of all wheels, a line a height: lengths in mm, angles in
// degrees.
func Travel(w io.Writer, t *verdict.Travel) error {
	rows := [][]string{{"place", "wheel", "travel_mm", "toe_deg", "camber_deg", "half_track_change_mm", "recession_mm", "strut_mm"}}
	for _, wheel := range t.Wheels {
		for _, p := range wheel.Curve {
			rows = append(rows, []string{harmless(wheel.Place), harmless(wheel.Wheel), decimal(p.Travel), decimal(p.Toe), decimal(p.Camber), decimal(p.HalfTrack), decimal(p.Recession), optional(p.Strut)})
		}
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// Height writes how each wheel stands and what adjusts it, a line a wheel.
func Height(w io.Writer, h *verdict.Height) error {
	rows := [][]string{{"place", "wheel", "strut", "drawn_mm", "found_mm", "wheel_up_mm", "height_mm", "wanted_mm", "set_to_mm", "longer_mm", "turns", "mm_per_turn", "turns_out_left", "load_kg", "scale_kg"}}
	for _, wheel := range h.Wheels {
		if wheel.Trouble != nil {
			continue
		}
		row := []string{harmless(wheel.Place), harmless(wheel.Wheel), harmless(wheel.Strut), decimal(wheel.Drawn), decimal(wheel.Found), decimal(wheel.Up), optional(wheel.Height), decimal(wheel.Want)}
		if a := wheel.Adjust; a != nil {
			row = append(row, decimal(a.Length), decimal(a.Longer), optional(a.Turns), decimal(a.PerTurn), optional(a.OutLeft))
		} else {
			row = append(row, "", "", "", "", "")
		}
		rows = append(rows, append(row, optional(wheel.Load), optional(wheel.Scale)))
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// decimal prints a figure with four places, for a program or a spreadsheet.
func decimal(v float64) string { return strconv.FormatFloat(v, 'f', 4, 64) }

func optional(v *float64) string {
	if v == nil {
		return ""
	}
	return decimal(*v)
}
