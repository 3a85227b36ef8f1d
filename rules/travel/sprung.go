package travel

import (
	"cmp"
	"errors"
	"maps"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/linkage"
	"setdown/rules/vehicle"
	"setdown/rules/verdict"
)

// stiff stands in for a bar and for a stop, N/m: a hundred times the stiffest spring of a car, so
// that it gives some tenths of a millimetre under a corner.
const stiff = 1e7

// Standing is how a vehicle stands on its wheels by its springs, on a flat floor, its wheels free
// to creep sideways. Anti-roll bars are taken as undone.
type Standing struct {
	vehicle linkage.Vehicle
	stand   *linkage.Stand
	wheels  []onFloor // in the order of stand.Wheels
	springs [][]spring
	// Angles are how far each joint and link end with a direction is out of square as it stands,
	// rad, by joint or link/end; AtMost is the most of those whose bolt is square whichever way it
	// points.
	Angles, AtMost map[string]float64
}

// onFloor is a wheel of a suspension.
type onFloor struct {
	*suspension
	wheel int
	state *linkage.State
	load  float64 // N
}

// spring is what is in a strut; a bar has none.
type spring struct {
	*vehicle.Spring
	free float64 // m
}

// Stand finds how a vehicle stands by its springs. Both are nil where none of its struts is a
// spring.
func (f *Suspensions) Stand() (*Standing, *verdict.TravelTrouble) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if !slices.ContainsFunc(f.list, func(s *suspension) bool {
		return slices.ContainsFunc(s.struts, func(b barAt) bool { return f.coils[b.item.ID] != nil })
	}) {
		return nil, nil
	}
	return f.stand()
}

func (f *Suspensions) stand() (*Standing, *verdict.TravelTrouble) {
	st := &Standing{Angles: map[string]float64{}, AtMost: map[string]float64{}}
	var missing lacking
	moves := map[string]*suspension{}
	for _, s := range f.list {
		switch {
		case s.trouble != nil:
			return nil, s.trouble
		case s.together:
			return nil, &verdict.TravelTrouble{Kind: verdict.TravelTogether}
		}
		in := make([]spring, len(s.struts))
		sprung := linkage.Sprung{Drawn: s.drawn}
		for i, strut := range s.struts {
			acts := linkage.Spring{Strut: i}
			in[i].Spring = f.coils[strut.item.ID]
			if in[i].out(strut.item) {
				return nil, &verdict.TravelTrouble{Kind: verdict.TravelImpossible, Words: "on its springs: " + strut.item.ID + " is out"}
			}
			if in[i].Spring == nil {
				length, measured := strut.item.Quantity("found.length")
				if !measured {
					missing = append(missing, strut.item.Path()+".found.length")
				}
				acts.Rate, acts.Free, acts.Most, acts.Stop = stiff, length.Value, length.Value, stiff
			} else {
				acts = in[i].acts(i, &missing)
			}
			in[i].free = acts.Free
			sprung.Springs = append(sprung.Springs, acts)
		}
		for i, w := range s.wheels {
			if len(s.struts) == 0 {
				return nil, &verdict.TravelTrouble{Kind: verdict.TravelFree, Parts: []string{w.part.ID, w.part.ID}}
			}
			if s.sys.Wheels[i].Radius == 0 {
				return nil, &verdict.TravelTrouble{Kind: verdict.TravelImpossible, Words: "no support of kind wheel under " + w.part.ID + " says where it meets the floor"}
			}
		}
		for part := range s.bodyOf {
			moves[part] = s
		}
		st.vehicle.Corners = append(st.vehicle.Corners, sprung)
		st.springs = append(st.springs, in)
	}
	wheels := 0
	for _, part := range f.build.Of("parts") {
		if fitted, known := part.Bool("found.fitted"); known && !fitted {
			continue
		}
		if role, _ := part.Text("role"); role == "wheel" {
			wheels++
		}
		at, lacks := vehicle.Weight(part)
		missing = append(missing, lacks...)
		w := linkage.Weight{Body: linkage.Ground, M: at.M, CG: at.CG}
		if s := moves[part.ID]; s != nil {
			corner := &st.vehicle.Corners[slices.Index(f.list, s)]
			w.Body = s.bodyOf[part.ID]
			corner.Masses = append(corner.Masses, w)
		} else {
			st.vehicle.Masses = append(st.vehicle.Masses, w)
		}
	}
	if len(missing) > 0 {
		return nil, &verdict.TravelTrouble{Kind: verdict.TravelNotRecorded, Fields: missing}
	}
	for _, s := range f.list {
		wheels -= len(s.wheels)
	}
	if wheels > 0 { // a wheel without a suspension: the frame is on its axle
		return nil, &verdict.TravelTrouble{Kind: verdict.TravelLocked}
	}
	var err error
	if st.stand, err = st.vehicle.Settle(); err != nil {
		words := "on its springs: " + err.Error()
		var lifts *linkage.LiftsError
		if errors.As(err, &lifts) {
			words = "on its springs " + f.list[lifts.Corner].wheels[lifts.Wheel].part.ID + " lifts off the floor"
		}
		return nil, &verdict.TravelTrouble{Kind: verdict.TravelImpossible, Words: words}
	}
	for _, w := range st.stand.Wheels {
		st.wheels = append(st.wheels, onFloor{f.list[w.Corner], w.Wheel, st.stand.States[w.Corner], w.Load})
	}
	for i, s := range f.list {
		angles, atMost := s.outOfSquare(st.stand.States[i])
		maps.Copy(st.Angles, angles)
		maps.Copy(st.AtMost, atMost)
	}
	return st, nil
}

// out reports whether a strut, or the spring in it, is known to be out.
func (s spring) out(strut *model.Item) bool {
	in, known := strut.Bool("found.fitted")
	if s.Spring != nil && (!known || in) {
		in, known = s.Bool("found.fitted")
	}
	return known && !in
}

// acts is a spring along its strut, with its stops.
func (s spring) acts(strut int, missing *lacking) linkage.Spring {
	free, unknown := s.Free()
	missing.because(unknown)
	rate, unknown := s.Rate()
	missing.because(unknown)
	acts := linkage.Spring{Strut: strut, Rate: rate, Free: free, Stop: stiff}
	if closed, written := s.Quantity("closed_length"); written {
		acts.Least = closed.Value
	}
	if open, written := s.Quantity("open_length"); written {
		acts.Most = open.Value
	}
	return acts
}

// Wheels is how many wheels it stands on.
func (st *Standing) Wheels() int { return len(st.wheels) }

// Load is what a wheel carries, N, by its part; false for what is no wheel of it.
func (st *Standing) Load(wheel string) (float64, bool) {
	for _, w := range st.wheels {
		if w.wheels[w.wheel].part.ID == wheel {
			return w.load, true
		}
	}
	return 0, false
}

// Cross is the cross weight, what front right and rear left carry as a share of the whole; false
// for other than four wheels.
func (st *Standing) Cross() (float64, bool) {
	order := st.order()
	if order == nil {
		return 0, false
	}
	total := 0.0
	for _, w := range st.wheels {
		total += w.load
	}
	return (st.wheels[order[1]].load + st.wheels[order[2]].load) / total, true
}

// order lists the wheels front left, front right, rear left, rear right; nil for other than four
// that stand so.
func (st *Standing) order() []int {
	order := make([]int, len(st.wheels))
	for i := range order {
		order[i] = i
	}
	at := func(i int) linkage.Vec { return st.stand.Wheels[i].At }
	slices.SortFunc(order, func(i, k int) int { return cmp.Compare(at(k).X, at(i).X) })
	if len(order) != 4 {
		return nil
	}
	for _, pair := range [][]int{order[:2], order[2:]} {
		slices.SortFunc(pair, func(i, k int) int { return cmp.Compare(at(k).Y, at(i).Y) })
		if at(pair[0]).Y <= 0 || at(pair[1]).Y >= 0 {
			return nil
		}
	}
	return order
}

// Length is how long a strut stands, m; false for what is no strut of it.
func (st *Standing) Length(link string) (float64, bool) {
	for _, w := range st.wheels {
		for i, b := range w.struts {
			if b.item.ID == link {
				return w.state.StrutLength(i), true
			}
		}
	}
	return 0, false
}

// floor is the floor under it, in the frame's coordinates.
func (st *Standing) floor() floor {
	n := st.stand.Normal
	return floor{a: st.stand.Distance / n.Z, b: -n.X / n.Z, c: -n.Y / n.Z}
}

// weigh says what each wheel carries, and what a scale said of it.
func (st *Standing) weigh(h *verdict.Height, wheels []standing) {
	for i, w := range wheels {
		load := tidy(st.wheels[i].load / vehicle.Gravity)
		w.out.Load = &load
		for _, support := range w.build.Of("supports") {
			under, _ := support.Text("under")
			if read, weighed := support.Quantity("found.scale"); weighed && under == w.out.Wheel {
				scale := tidy(read.Value / vehicle.Gravity)
				w.out.Scale = &scale
			}
		}
	}
	if share, four := st.Cross(); four {
		share = tidy(share)
		h.Cross = &share
	}
}

// adjust finds how far each seat has to go for a floor under the drawn frame and a cross weight.
func (st *Standing) adjust(h *verdict.Height, wheels []standing, goal floor, cross float64) {
	order := st.order()
	if now, four := st.Cross(); four && cross == 0 {
		cross = now
	}
	var list []linkage.WheelStand
	for i := range st.wheels {
		if order != nil {
			i = order[i]
		}
		list = append(list, st.stand.Wheels[i])
	}
	normal := r3.Unit(linkage.Vec{X: -goal.b, Y: -goal.c, Z: 1})
	frees, err := st.vehicle.Seats(normal, goal.a*normal.Z, list, cross)
	if err != nil {
		h.NoSeats = err.Error()
		return
	}
	for k, free := range frees {
		i := k
		if order != nil {
			i = order[k]
		}
		wheels[i].out.Adjust = st.setting(i, free)
	}
	if order != nil {
		cross = tidy(cross)
		h.WantedCross = &cross
	}
}

// setting is what brings the spring of a wheel to another free length, its seat included.
func (st *Standing) setting(wheel int, free float64) *verdict.Adjustment {
	w := st.wheels[wheel]
	strut := w.strutOf(w.wheel)
	corner := st.stand.Wheels[wheel].Corner
	in := st.springs[corner][strut]
	longer := free - in.free
	if in.Spring == nil {
		item := w.struts[strut].item
		a := &verdict.Adjustment{Link: item.ID, Length: mm(free), Longer: mm(longer)}
		if turn := threads(item, a); turn != 0 {
			a.PerTurn = mm(turn)
			turns := tidy(a.Longer / a.PerTurn)
			a.Turns = &turns
			engagement(item, a, turns)
		}
		return a
	}
	seats, _ := in.Quantity("found.seats")
	a := &verdict.Adjustment{Link: in.ID, Kind: verdict.ByCollar, Length: mm(seats.Value + longer), Longer: mm(longer)}
	if acts := st.vehicle.Corners[corner].Springs[strut]; w.state.StrutLength(strut) < acts.Least {
		a.OnStop = true
		return a
	}
	pitch, written := in.Quantity("collar_pitch")
	if !written {
		a.Fields = []string{in.Path() + ".collar_pitch"}
		return a
	}
	a.PerTurn = mm(pitch.Value)
	turns := tidy(a.Longer / a.PerTurn)
	a.Turns = &turns
	a.FrameUp, a.LoadMore = st.turned(wheel, strut, pitch.Value)
	return a
}

// turned is what the next turn of a collar does: the frame over its wheel, mm, and the load on it,
// kg; nil where it then does not stand.
func (st *Standing) turned(wheel, strut int, pitch float64) (up, more *float64) {
	corner := st.stand.Wheels[wheel].Corner
	springs := st.vehicle.Corners[corner].Springs
	next := st.vehicle
	next.Corners = slices.Clone(next.Corners)
	next.Corners[corner].Springs = slices.Clone(springs)
	next.Corners[corner].Springs[strut].Free += pitch
	stand, err := next.Settle()
	if err != nil {
		return nil, nil
	}
	was, is := st.stand.Wheels[wheel], stand.Wheels[wheel]
	rise, load := mm(was.At.Z-is.At.Z), tidy((is.Load-was.Load)/vehicle.Gravity)
	return &rise, &load
}
