package travel

import (
	"cmp"
	"errors"
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/linkage"
	"setdown/model/schema"
	"setdown/rules/vehicle"
	"setdown/rules/verdict"
)

// lowest is how many of the lowest points are listed.
const lowest = 5

// standing is a wheel of a suspension in the pose that the found lengths or its springs give
// it; found is nil where there is none.
type standing struct {
	*suspension
	wheel int
	found *linkage.State
	out   *verdict.WheelHeight
	want  float64
}

// Heights works out how the vehicle stands by the lengths that were found, or where it has
// springs by these, and what brings the frame over each wheel to so much above where it is
// drawn, in m by place. Of four wheels on springs the share of the weight that front right and
// rear left are to carry may be asked for; nought leaves it as it is. It fails when a place has no
// wheel or nothing carries one.
func Heights(build *model.Build, want map[string]float64, cross float64) (*verdict.Height, error) {
	h := &verdict.Height{Format: verdict.HeightFormat, File: build.File}
	h.Vehicle, _ = build.Vehicle.Text("name")
	all := of(build)
	if err := known(build, all.list, slices.Sorted(maps.Keys(want))); err != nil {
		return nil, err
	}
	st, troubled := all.Stand()
	h.Sprung = st != nil || troubled != nil
	if cross != 0 && (st == nil || st.order() == nil) {
		return nil, errors.New("a cross weight is that of four wheels on springs, two in front and two behind")
	}
	var wheels []standing
	for c, s := range all.list {
		found, unmeasured, trouble := (*linkage.State)(nil), []string(nil), cmp.Or(s.trouble, troubled)
		switch {
		case st != nil:
			found = st.stand.States[c]
		case !h.Sprung:
			var t *verdict.TravelTrouble
			found, unmeasured, t = s.asFound()
			trouble = cmp.Or(trouble, t)
		}
		for i, w := range s.wheels {
			out := &verdict.WheelHeight{Place: w.place, Wheel: w.part.ID, Trouble: trouble, Unmeasured: unmeasured, Want: mm(want[w.place])}
			wheels = append(wheels, standing{s, i, found, out, want[w.place]})
		}
	}
	var feet, wanted []linkage.Vec
	for _, w := range wheels {
		if w.found != nil {
			w.fill()
			feet = append(feet, w.found.Ground(w.wheel, up))
			level := w.drawn.Ground(w.wheel, up)
			wanted = append(wanted, r3.Sub(level, r3.Scale(w.want, up)))
		}
	}
	if f, ok := floorUnder(feet); ok && len(feet) == len(wheels) {
		goal, _ := floorUnder(wanted)
		twist := mm(goal.twist)
		h.WantedTwist = &twist
		if st != nil {
			f = st.floor()
			st.weigh(h, wheels)
			st.adjust(h, wheels, goal, cross)
		} else {
			twist := mm(f.twist)
			h.Twist = &twist
		}
		for _, w := range wheels {
			drawn, now := w.drawn.Ground(w.wheel, up), w.found.Ground(w.wheel, up)
			height := mm(drawn.Z - f.at(now))
			w.out.Height = &height
		}
		h.Lowest = clearances(build, wheels, f)
	}
	if st == nil {
		for _, w := range wheels {
			if w.found != nil {
				w.out.Adjust = w.adjust(w.strutOf(w.wheel))
			}
		}
	}
	sortByPlace(build, wheels, func(w standing) string { return w.out.Place })
	for _, w := range wheels {
		h.Wheels = append(h.Wheels, *w.out)
	}
	return h, nil
}

var up = linkage.Vec{Z: 1}

// asFound moves a suspension to the lengths of its links as they were found. Links
// that nobody measured are as drawn, and named; a strut has to be measured.
func (s *suspension) asFound() (*linkage.State, []string, *verdict.TravelTrouble) {
	if s.trouble != nil {
		return nil, nil, nil
	}
	if s.together {
		return nil, nil, &verdict.TravelTrouble{Kind: verdict.TravelTogether}
	}
	sys := s.link.System()
	var unmeasured []string
	for i, b := range s.bars {
		if q, ok := b.item.Quantity("found.length"); ok {
			sys.Bars[i].Length = q.Value
		} else {
			unmeasured = append(unmeasured, b.item.ID)
		}
	}
	var drives []linkage.Drive
	missing := &verdict.TravelTrouble{Kind: verdict.TravelNotRecorded}
	for i := range s.wheels {
		if len(s.struts) == 0 {
			return nil, nil, &verdict.TravelTrouble{Kind: verdict.TravelFree, Parts: []string{s.wheels[i].part.ID}}
		}
		strut := s.strutOf(i)
		q, ok := s.struts[strut].item.Quantity("found.length")
		if !ok {
			missing.Fields = append(missing.Fields, s.struts[strut].item.Path()+".found.length")
		}
		drives = append(drives, linkage.Length(strut, q.Value))
	}
	if len(missing.Fields) > 0 {
		return nil, nil, missing
	}
	impossible := func(err error) (*linkage.State, []string, *verdict.TravelTrouble) {
		return nil, nil, &verdict.TravelTrouble{Kind: verdict.TravelImpossible, Words: "with the lengths that were found: " + err.Error()}
	}
	link, err := linkage.New(sys)
	if err != nil {
		return impossible(err)
	}
	drawn, err := link.Drawn(drives...)
	if err != nil {
		return impossible(err)
	}
	found, err := link.Move(drawn, 0, drives...)
	if err != nil {
		return impossible(err)
	}
	return found, unmeasured, nil
}

// fill says where a wheel stands in its frame.
func (w standing) fill() {
	strut := w.strutOf(w.wheel)
	a, drawn := w.found.Wheel(w.wheel), w.drawn.Wheel(w.wheel)
	o := w.out
	o.Strut = w.struts[strut].item.ID
	o.Drawn, o.Found = mm(w.drawn.StrutLength(strut)), mm(w.found.StrutLength(strut))
	o.Up, o.Toe, o.Camber = mm(a.Up-drawn.Up), degrees(a.Toe), degrees(a.Camber)
}

// adjust is what brings the wheel to where the frame over it has the height that is
// wanted: the length of its strut in that pose.
func (w standing) adjust(strut int) *verdict.Adjustment {
	link := w.found.Linkage()
	var drives []linkage.Drive
	for i := range w.wheels {
		// The other wheel of an axle is taken to its own drawn height.
		h := w.drawn.Ground(i, up).Z
		if i == w.wheel {
			h -= w.want
		}
		drives = append(drives, linkage.Plane(i, up, h))
	}
	there, err := link.Move(w.found, 0, drives...)
	if err != nil {
		return nil
	}
	item := w.struts[strut].item
	a := &verdict.Adjustment{
		Link: item.ID, Length: mm(there.StrutLength(strut)), Longer: mm(there.StrutLength(strut) - w.found.StrutLength(strut)),
	}
	turn := threads(item, a)
	if turn == 0 {
		return a
	}
	a.PerTurn = mm(turn)
	turns := tidy(a.Longer / a.PerTurn)
	a.Turns = &turns
	a.UpLonger, a.UpShorter = w.nextTurn(there, strut, turn), w.nextTurn(there, strut, -turn)
	engagement(item, a, turns)
	return a
}

// nextTurn is what one turn more does to the height of the wheel.
func (w standing) nextTurn(there *linkage.State, strut int, turn float64) *float64 {
	var drives []linkage.Drive
	for i := range w.wheels {
		at := w.strutOf(i)
		length := there.StrutLength(at)
		if at == strut {
			length += turn
		}
		drives = append(drives, linkage.Length(at, length))
	}
	next, err := there.Linkage().Move(there, 0, drives...)
	if err != nil {
		return nil
	}
	rise := mm(next.Wheel(w.wheel).Up - there.Wheel(w.wheel).Up)
	return &rise
}

// floor is the plane z = a + b·x + c·y under the wheels, in the frame's
// coordinates.
type floor struct {
	a, b, c float64
	twist   float64
}

func (f floor) at(p linkage.Vec) float64 { return f.a + f.b*p.X + f.c*p.Y }

// floorUnder lays the floor under wheels where they meet the ground, as near to all
// as it goes. The twist is how far the rest leaves one of four off it when the
// others stand.
func floorUnder(points []linkage.Vec) (floor, bool) {
	if len(points) < 3 {
		return floor{}, false
	}
	var middle linkage.Vec
	for _, p := range points {
		middle = r3.Add(middle, r3.Scale(1/float64(len(points)), p))
	}
	var xx, xy, yy, xz, yz float64
	for _, p := range points {
		d := r3.Sub(p, middle)
		xx, xy, yy, xz, yz = xx+d.X*d.X, xy+d.X*d.Y, yy+d.Y*d.Y, xz+d.X*d.Z, yz+d.Y*d.Z
	}
	det := xx*yy - xy*xy
	if det <= 1e-9*xx*yy {
		return floor{}, false // all in one line
	}
	f := floor{b: (xz*yy - yz*xy) / det, c: (yz*xx - xz*xy) / det}
	f.a = middle.Z - f.b*middle.X - f.c*middle.Y
	for _, p := range points {
		f.twist += math.Abs(p.Z - f.at(p))
	}
	if len(points) == 3 {
		f.twist = 0
	}
	return f, true
}

// clearances lists what hangs lowest: of all joints and link ends that have a place,
// those nearest to the floor. What is on a corner is where the corner has come to.
func clearances(build *model.Build, wheels []standing, f floor) []verdict.Clearance {
	var list []verdict.Clearance
	add := func(name, part string, r *schema.Record) {
		v, ok := r.Vec("at")
		if !ok {
			return
		}
		p := vehicle.Point(v)
		for _, w := range wheels {
			if body, moves := w.bodyOf[part]; moves {
				p = w.found.Point(body, p)
				break
			}
		}
		list = append(list, verdict.Clearance{Point: name, Above: mm(p.Z - f.at(p))})
	}
	for _, j := range build.Of("joints") {
		add(j.ID, j.Texts("between")[0], j.Record)
	}
	for _, l := range build.Of("links") {
		ends, _ := l.Record.Record("ends")
		for _, name := range ends.Names() {
			end, _ := ends.Record(name)
			on, _ := end.Text("on")
			add(l.ID+"/"+name, on, end)
		}
	}
	slices.SortStableFunc(list, func(a, b verdict.Clearance) int { return cmp.Compare(a.Above, b.Above) })
	return list[:min(lowest, len(list))]
}
