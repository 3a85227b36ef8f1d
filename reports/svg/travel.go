package svg

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// WriteTravel writes the curves of every wheel that could be moved, one below the
// other; a mirror image is not drawn again.
func WriteTravel(w io.Writer, t *verdict.Travel) error {
	c := &canvas{}
	name := t.Vehicle
	if name == "" {
		name = t.File
	}
	c.text("b", xy{8, 20}, short(name, 38))
	floor := 34.0
	var descs []string
	for _, wheel := range t.Wheels {
		if wheel.Like != "" {
			continue
		}
		p := Curves(wheel, t.Good, plain.Figures(t.Units))
		c.text("b", xy{8, floor + 12}, p.Title)
		c.b.WriteString(p.element(fmt.Sprintf(`x="0" y="%s"`, num(floor+18))) + "\n")
		floor += p.H + 28
		descs = append(descs, p.Title+": "+p.Desc)
	}
	return c.picture("Travel of "+name, strings.Join(descs, " "), floor, width).Write(w)
}

// box is the frame of one panel.
type box struct{ x, y, w, h float64 }

// curve is one figure over travel, with what the ± of the points leaves open at
// some heights.
type curve struct {
	name, unit, space string
	places            int
	limit             float64 // drawn on both sides of the drawn value; zero is none
	at                func(verdict.CurvePoint) float64
	band              func(verdict.TravelRow) float64
}

// Curves draws toe, camber and half-track of one wheel, bump up and droop down.
func Curves(w verdict.WheelTravel, good float64, u plain.Figures) Picture {
	c := &canvas{}
	title := short(w.Place, 30)
	if w.Trouble != nil {
		return c.nothing(title, short(plain.Trouble(w.Trouble), 52))
	}
	curves := []curve{
		{"toe", "°", "", 2, good, func(p verdict.CurvePoint) float64 { return p.Toe }, func(r verdict.TravelRow) float64 { return r.ToeBand }},
		{"camber", "°", "", 1, 0, func(p verdict.CurvePoint) float64 { return p.Camber }, func(r verdict.TravelRow) float64 { return r.CamberBand }},
		{"track/2", "mm", " ", 1, 0, func(p verdict.CurvePoint) float64 { return p.HalfTrack }, func(r verdict.TravelRow) float64 { return r.TrackBand }},
	}
	const (
		left   = 44.0
		top    = 24.0
		gap    = 14.0
		height = 150.0
	)
	low, high := w.Curve[0].Travel, w.Curve[len(w.Curve)-1].Travel
	y := func(travel float64) float64 { return top + height*(high-travel)/max(high-low, 1) }
	for _, t := range []float64{low, 0, high} {
		c.text("q", xy{4, y(t) + 4}, u.Cell(&t, "mm", 0))
	}
	c.text("q", xy{4, top + height + 18}, u.In("mm"))
	panel := (width - left - 8 - 2*gap) / 3
	var said []string
	for i, k := range curves {
		x0 := left + float64(i)*(panel+gap)
		said = append(said, c.curve(k, w, u, box{x0, top, panel, height}, y))
	}
	return c.picture(title, strings.Join(said, "; "), top+height+30, width)
}

// curve draws one panel and says what is to be seen.
func (c *canvas) curve(k curve, w verdict.WheelTravel, u plain.Figures, r box, y func(float64) float64) string {
	reach := k.limit * 1.2
	for _, p := range w.Curve {
		reach = max(reach, math.Abs(k.at(p)))
	}
	for _, row := range w.Rows {
		reach = max(reach, math.Abs(k.at(row.CurvePoint))+k.band(row))
	}
	reach = max(reach, math.Pow(10, -float64(k.places)))
	x := func(v float64) float64 { return r.x + r.w/2 + v/reach*r.w/2 }

	shown := func(v float64) string { return u.Cell(&v, k.unit, k.places) + k.space + u.In(k.unit) }
	c.text("b", xy{r.x, r.y - 6}, k.name)
	c.line("thin", false, xy{x(0), r.y}, xy{x(0), r.y + r.h})
	c.line("thin", false, xy{r.x, y(0)}, xy{r.x + r.w, y(0)})
	if k.limit > 0 {
		for _, v := range []float64{-k.limit, k.limit} {
			c.line("thin dash", false, xy{x(v), r.y}, xy{x(v), r.y + r.h})
		}
	}
	var out, back []xy
	for _, row := range w.Rows {
		v, b := k.at(row.CurvePoint), k.band(row)
		out = append(out, xy{x(v + b), y(row.Travel)})
		back = append(back, xy{x(v - b), y(row.Travel)})
	}
	slices.Reverse(back)
	c.line("band", true, append(out, back...)...)
	for i := range w.Curve[1:] {
		p, q := w.Curve[i], w.Curve[i+1]
		c.line("pen", false, xy{x(k.at(p)), y(p.Travel)}, xy{x(k.at(q)), y(q.Travel)})
	}
	c.text("q", xy{r.x, r.y + r.h + 18}, "±"+shown(reach))
	first, last := w.Curve[0], w.Curve[len(w.Curve)-1]
	return fmt.Sprintf("%s from %s in droop to %s in bump", k.name, shown(k.at(first)), shown(k.at(last)))
}
