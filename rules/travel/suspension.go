package travel

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/linkage"
	"setdown/model/schema"
	"setdown/rules/vehicle"
	"setdown/rules/verdict"
)

// guessed is the ± of a point that has none written, m: what a tape and a plumb
// bob leave open.
const guessed = 0.003

// suspension is one linkage of a vehicle: a corner, or an axle with both wheels.
type suspension struct {
	build   *model.Build
	sys     linkage.System
	link    *linkage.Linkage
	drawn   *linkage.State // driven by the heights of its wheels
	wheels  []wheel
	joints  []jointAt
	bars    []barAt        // those of sys.Bars
	struts  []barAt        // those of sys.Struts
	bodyOf  map[string]int // of its parts
	trouble *verdict.TravelTrouble
	// together: rigid members let the wheels of an axle go up only together.
	together bool
}

type wheel struct {
	part  *model.Item
	place string
}

// jointAt is a joint whose angle is of interest.
type jointAt struct {
	item  *model.Item
	a, b  int
	axis  linkage.Vec
	limit *float64 // rad
}

// barAt is a link of the build file.
type barAt struct {
	item   *model.Item
	ends   [2]string // names of its ends, as in linkage.Bar
	on     [2]int
	part   [2]string       // that its ends are on
	axis   [2]*linkage.Vec // of the bolts
	square [2]bool         // a bolt is square to the link, whichever way it points
	steers bool
}

func (b barAt) end(i int) string { return b.item.ID + "/" + b.ends[i] }

// steering are the roles of links that keep a wheel from turning.
var steering = []string{"toe link", "track rod"}

// reader makes linkages of a build state.
type reader struct {
	build     *model.Build
	mechanism *vehicle.Vehicle
	body      map[string]int // of each part; linkage.Ground is the frame and what is bolted to it
	names     []string       // of each body: its heaviest part
	meets     []meet
	links     []barAt
}

// meet is a joint between two bodies.
type meet struct {
	item  *model.Item
	a, b  int
	wheel *model.Item // that it bolts on
}

// largest is how many bodies a linkage may have. A corner with a rocker has four, an
// axle with everything a dozen; the work grows with the third power.
const largest = 40

// suspensions finds the linkages that carry a wheel.
func suspensions(build *model.Build) []*suspension {
	r := &reader{build: build, mechanism: vehicle.New(build, vehicle.Policy{})}
	r.bodies()
	r.joined()
	group, n := r.groups()
	all := make([]*suspension, n)
	for i := range all {
		all[i] = &suspension{build: build, bodyOf: map[string]int{}}
	}
	r.fill(all, group)
	var list []*suspension
	for _, s := range all {
		if len(s.wheels) > 0 {
			r.rack(s)
			s.solve()
			list = append(list, s)
		}
	}
	return list
}

// faces are the kinds of joint that keep two parts together as one body.
var faces = []string{"bolted face", "welded face"}

// moving are the kinds of joint that are more than a point.
var moving = map[string]linkage.Kind{"long bearing": linkage.Hinge, "slider": linkage.Slider}

// bodies puts parts that are bolted or welded face to face together. So are a wheel
// and what its hub turns on, and a steering rack and its housing: the wheel's own turning
// and the rack's sliding are no travel.
func (r *reader) bodies() {
	parts := r.build.Of("parts")
	same := map[string]string{}
	var root func(id string) string
	root = func(id string) string {
		if up, ok := same[id]; ok && up != id {
			return root(up)
		}
		return id
	}
	for _, j := range r.build.Of("joints") {
		kind, _ := j.Text("kind")
		if between := j.Texts("between"); slices.Contains(faces, kind) || kind == "rack" || r.partOf("wheel", between) != nil {
			same[root(between[0])] = root(between[1])
		}
	}
	r.body = map[string]int{}
	ground := root(r.mechanism.Base())
	index := map[string]int{}
	heaviest := map[string]float64{}
	for _, p := range parts {
		at := root(p.ID)
		if at == ground {
			r.body[p.ID] = linkage.Ground
			continue
		}
		n, known := index[at]
		if !known {
			n = len(r.names)
			index[at] = n
			r.names = append(r.names, p.ID)
		}
		if m, ok := p.Quantity("mass"); ok && m.Value > heaviest[at] {
			heaviest[at], r.names[n] = m.Value, p.ID
		}
		r.body[p.ID] = n
	}
}

// joined reads the joints and links between bodies. A drive shaft that hangs on two
// joints is left out: it slides in itself and holds nothing.
func (r *reader) joined() {
	hangs := map[string]int{}
	for _, item := range r.build.Of("joints") {
		between := item.Texts("between")
		hangs[between[0]]++
		hangs[between[1]]++
	}
	for _, item := range r.build.Of("joints") {
		between := item.Texts("between")
		m := meet{item: item, a: r.body[between[0]], b: r.body[between[1]], wheel: r.partOf("wheel", between)}
		if shaft := r.partOf("drivetrain", between); shaft == nil || r.body[shaft.ID] == linkage.Ground || hangs[shaft.ID] > 2 {
			r.meets = append(r.meets, m)
		}
	}
	for _, item := range r.build.Of("links") {
		if role, _ := item.Text("role"); role != "anti-roll" { // a bar between two wheels lets both go up together
			r.links = append(r.links, r.ends(item))
		}
	}
}

// groups numbers the bodies that hang together otherwise than over the frame, with
// springs, dampers and their stand-ins off.
func (r *reader) groups() (of []int, n int) {
	next := make([][]int, len(r.names))
	join := func(a, b int) {
		if a != linkage.Ground && b != linkage.Ground {
			next[a], next[b] = append(next[a], b), append(next[b], a)
		}
	}
	for _, m := range r.meets {
		join(m.a, m.b)
	}
	for _, b := range r.links {
		join(b.on[0], b.on[1]) // a strut ends on the frame and joins nothing
	}
	of = make([]int, len(r.names))
	for i := range of {
		of[i] = -1
	}
	for i := range of {
		if of[i] >= 0 {
			continue
		}
		for queue := []int{i}; len(queue) > 0; queue = queue[1:] {
			if b := queue[0]; of[b] < 0 {
				of[b] = n
				queue = append(queue, next[b]...)
			}
		}
		n++
	}
	return of, n
}

// fill gives each suspension its bodies, joints, wheels and links.
func (r *reader) fill(all []*suspension, group []int) {
	number := make([]int, len(r.names)) // of each body in its suspension
	for b, g := range group {
		number[b] = len(all[g].sys.Bodies)
		all[g].sys.Bodies = append(all[g].sys.Bodies, r.names[b])
	}
	in := func(a, b int) (*suspension, int, int) {
		own := func(b int) int {
			if b == linkage.Ground {
				return linkage.Ground
			}
			return number[b]
		}
		if g := max(a, b); g != linkage.Ground {
			return all[group[g]], own(a), own(b)
		}
		return nil, 0, 0
	}
	for part, b := range r.body {
		if b != linkage.Ground {
			all[group[b]].bodyOf[part] = number[b]
		}
	}
	for _, m := range r.meets {
		s, a, b := in(m.a, m.b)
		switch {
		case s == nil:
		case m.wheel != nil:
			s.addWheel(m.item, m.wheel, a, r.mechanism.Place(m.wheel))
		case a != b:
			s.addJoint(m, a, b)
		}
	}
	for _, l := range r.links {
		s, a, b := in(l.on[0], l.on[1])
		if s == nil || a == b {
			continue
		}
		l.on = [2]int{a, b}
		s.addLink(l)
	}
}

// partOf is the part of a role among those of a joint.
func (r *reader) partOf(role string, between []string) *model.Item {
	for _, id := range between {
		part := r.build.Item(id)
		if is, _ := part.Text("role"); is == role {
			return part
		}
	}
	return nil
}

// ends reads which bodies a link joins, an end on the frame first.
func (r *reader) ends(link *model.Item) barAt {
	b := barAt{item: link}
	ends, _ := link.Record.Record("ends")
	for i, name := range ends.Names() {
		end, _ := ends.Record(name)
		on, _ := end.Text("on")
		b.ends[i], b.on[i], b.part[i] = name, r.body[on], on
		if axis, ok := end.Vec("axis"); ok {
			v := vec(axis)
			b.axis[i] = &v
		} else {
			b.square[i], _ = end.Bool("square")
		}
	}
	if b.on[1] == linkage.Ground {
		slices.Reverse(b.ends[:])
		slices.Reverse(b.on[:])
		slices.Reverse(b.part[:])
		slices.Reverse(b.axis[:])
		slices.Reverse(b.square[:])
	}
	role, _ := link.Text("role")
	b.steers = slices.Contains(steering, role)
	return b
}

func (s *suspension) missing(path string) {
	if s.trouble == nil {
		s.trouble = &verdict.TravelTrouble{Kind: verdict.TravelNotRecorded}
	}
	if s.trouble.Kind == verdict.TravelNotRecorded && !slices.Contains(s.trouble.Fields, path) {
		s.trouble.Fields = append(s.trouble.Fields, path)
	}
}

// point reads a place with its ±.
func (s *suspension) point(r *schema.Record, path string) (at, tol linkage.Vec, ok bool) {
	v, ok := r.Vec("at")
	if !ok {
		s.missing(path + ".at")
		return at, tol, false
	}
	for i, t := range v.Tol {
		if t == 0 {
			v.Tol[i] = guessed
		}
	}
	return vec(v), linkage.Vec{X: v.Tol[0], Y: v.Tol[1], Z: v.Tol[2]}, true
}

func vec(v schema.Vec) linkage.Vec { return linkage.Vec{X: v.X, Y: v.Y, Z: v.Z} }

// addJoint adds a joint. Two joints between the same parts make a hinge, each as a ball; a pivot
// alone is a ball as well, as it is to the statics: what holds a moment is called a long bearing.
func (s *suspension) addJoint(m meet, a, b int) {
	item := m.item
	at, tol, ok := s.point(item.Record, item.Path())
	if !ok {
		return
	}
	j := linkage.Joint{Name: item.ID, A: a, B: b, At: at, Tol: tol}
	axis, hasAxis := item.Vec("axis")
	kind, _ := item.Text("kind")
	if how, moves := moving[kind]; moves {
		if !hasAxis {
			s.missing(item.Path() + ".axis")
			return
		}
		j.Kind, j.Axis = how, vec(axis)
	}
	s.sys.Joints = append(s.sys.Joints, j)
	if hasAxis {
		s.joints = append(s.joints, jointAt{item, a, b, vec(axis), angle(item.Record, "misalignment_limit")})
	}
}

func angle(r *schema.Record, path string) *float64 {
	q, ok := r.Quantity(path)
	if !ok {
		return nil
	}
	return &q.Value
}

// addLink adds a link. A spring, a damper or a bar in place of one, from the frame,
// is a strut; a pushrod has that role too, between two parts that move, and stays.
func (s *suspension) addLink(b barAt) {
	bar := linkage.Bar{Name: b.item.ID, Ends: b.ends, A: b.on[0], B: b.on[1]}
	both := true
	for i, p := range []*linkage.Vec{&bar.PA, &bar.PB} {
		end, _ := b.item.Record.Record("ends." + b.ends[i])
		at, tol, ok := s.point(end, b.item.Path()+".ends."+b.ends[i])
		*p, bar.Tol[i] = at, tol
		both = both && ok
	}
	if !both {
		return
	}
	if role, _ := b.item.Text("role"); (role == "strut" || role == "spring") && b.on[0] == linkage.Ground {
		s.sys.Struts, s.struts = append(s.sys.Struts, bar), append(s.struts, b)
		return
	}
	s.sys.Bars, s.bars = append(s.sys.Bars, bar), append(s.bars, b)
}

// addWheel reads a wheel: its centre is where its face is, its tyre stands where
// its support does.
func (s *suspension) addWheel(face, part *model.Item, body int, place string) {
	if slices.ContainsFunc(s.wheels, func(w wheel) bool { return w.part == part }) {
		return
	}
	s.wheels = append(s.wheels, wheel{part, place})
	at, _, ok := s.point(face.Record, face.Path())
	axis, hasAxis := face.Vec("axis")
	if !hasAxis {
		s.missing(face.Path() + ".axis")
	}
	if !ok || !hasAxis || axis.Y == 0 {
		if hasAxis && axis.Y == 0 {
			s.trouble = &verdict.TravelTrouble{Kind: verdict.TravelImpossible, Words: face.ID + ": the axis of a wheel points across the vehicle"}
		}
		return
	}
	out := r3.Unit(vec(axis))
	if out.Y*at.Y < 0 || at.Y == 0 && out.Y < 0 {
		out = r3.Scale(-1, out)
	}
	lw := linkage.Wheel{Name: part.ID, Body: body, Centre: at, Tyre: at, Axis: out}
	for _, support := range s.build.Of("supports") {
		kind, _ := support.Text("kind")
		under, _ := support.Text("under")
		ground, ok := support.Vec("at")
		if kind == "wheel" && under == part.ID && ok {
			lw.Tyre = r3.Add(at, r3.Scale((ground.Y-at.Y)/out.Y, out))
			lw.Radius = max(0, lw.Tyre.Z-ground.Z)
			break
		}
	}
	s.sys.Wheels = append(s.sys.Wheels, lw)
}

// rack gives the ends of track rods on the frame their direction: that of the rack they are
// on, where it is a part of its own; else across the vehicle where another one ends there too, as on a rack; along the rod where it is
// the only one, as on a drop arm.
func (r *reader) rack(s *suspension) {
	var racks []string
	for _, b := range r.links {
		if role, _ := b.item.Text("role"); role == "track rod" && b.on[0] == linkage.Ground {
			racks = append(racks, b.item.ID)
		}
	}
	for i, b := range s.bars {
		if !slices.Contains(racks, b.item.ID) {
			continue
		}
		bar := &s.sys.Bars[i]
		if along, ok := r.slides(b.part[0]); ok {
			bar.Steer = along
			continue
		}
		bar.Steer = linkage.Vec{Y: 1}
		if flat := r3.Sub(bar.PA, bar.PB); len(racks) == 1 && math.Hypot(flat.X, flat.Y) > 0 {
			flat.Z = 0
			bar.Steer = r3.Unit(flat)
		}
	}
}

// slides is the direction in which a part slides as a steering rack, to the left.
func (r *reader) slides(part string) (linkage.Vec, bool) {
	for _, j := range r.build.Of("joints") {
		kind, _ := j.Text("kind")
		axis, directed := j.Vec("axis")
		if kind != "rack" || !directed || !slices.Contains(j.Texts("between"), part) {
			continue
		}
		along := r3.Unit(vec(axis))
		if along.Y < 0 {
			along = r3.Scale(-1, along)
		}
		return along, true
	}
	return linkage.Vec{}, false
}

// solve makes the linkage ready in its drawn pose.
func (s *suspension) solve() {
	if n := len(s.sys.Bodies); n > largest {
		s.trouble = &verdict.TravelTrouble{Kind: verdict.TravelImpossible, Words: fmt.Sprintf("%d parts move together, and %d are the most that are worked out", n, largest)}
	}
	if s.trouble != nil {
		return
	}
	var err error
	if s.link, err = linkage.New(s.sys); err != nil {
		s.trouble = &verdict.TravelTrouble{Kind: verdict.TravelImpossible, Words: err.Error()}
		return
	}
	var free *linkage.FreeError
	var locked *linkage.LockedError
	s.drawn, err = s.link.Drawn(s.heights(0)...)
	if errors.As(err, &locked) && len(s.wheels) > 1 {
		s.together = true
		s.drawn, err = s.link.Drawn(s.heights(0)...)
	}
	switch {
	case errors.As(err, &free):
		s.trouble = &verdict.TravelTrouble{Kind: verdict.TravelFree, Parts: []string{free.Body, free.Wheel}}
	case errors.As(err, &locked):
		s.trouble = &verdict.TravelTrouble{Kind: verdict.TravelLocked}
	case err != nil:
		s.trouble = &verdict.TravelTrouble{Kind: verdict.TravelImpossible, Words: err.Error()}
	}
}

// heights drives every wheel to the same height.
func (s *suspension) heights(bump float64) []linkage.Drive {
	if s.together {
		return []linkage.Drive{linkage.Together(bump)}
	}
	var list []linkage.Drive
	for i := range s.wheels {
		list = append(list, linkage.Height(i, bump))
	}
	return list
}

func degrees(rad float64) float64 { return tidy(rad * 180 / math.Pi) }
func mm(m float64) float64        { return tidy(m * 1000) }

// tidy rounds a figure of a document to what is no rounding of the solution, a
// millionth of a millimetre or degree, so that a zero is one.
func tidy(v float64) float64 {
	const places = 1e6
	return math.Round(v*places)/places + 0
}
