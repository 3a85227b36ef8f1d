package travel

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/linkage"
	"setdown/model/schema"
	"setdown/rules/vehicle"
)

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

// Find finds the suspensions of a vehicle.
func Find(v *vehicle.Vehicle) *Suspensions {
	r := &reader{build: v.Build, mechanism: v}
	r.bodies()
	r.joined()
	group, n := r.groups()
	linkages := make([]*suspension, n)
	for i := range linkages {
		linkages[i] = &suspension{build: v.Build, bodyOf: map[string]int{}}
	}
	r.fill(linkages, group)
	found := &Suspensions{build: v.Build, coils: map[string]*vehicle.Spring{}}
	for _, s := range linkages {
		if len(s.wheels) > 0 {
			r.rack(s)
			s.solve()
			found.list = append(found.list, s)
		}
	}
	for _, s := range v.Springs() {
		if s.Coil() {
			found.coils[s.Link.ID] = s
		}
	}
	return found
}

// of finds the suspensions of a build state by itself.
func of(build *model.Build) *Suspensions { return Find(vehicle.New(build, vehicle.Policy{})) }

// faces are the kinds of joint that keep two parts together as one body.
var faces = []string{"bolted face", "welded face"}

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
		_, drawn := item.Lookup("ends")                                 // a checklist may say of a bar only that it is there
		if role, _ := item.Text("role"); drawn && role != "anti-roll" { // a bar between two wheels lets both go up together
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
			v := vehicle.Point(axis)
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
	b.steers = link.Is(schema.Steering)
	return b
}

// rack gives the ends of track rods on the frame their direction: that of the rack they are on, where
// it is a part of its own; else across the vehicle where another one ends there too, as on a rack;
// along the rod where it is the only one, as on a drop arm.
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
		along := r3.Unit(vehicle.Point(axis))
		if along.Y < 0 {
			along = r3.Scale(-1, along)
		}
		return along, true
	}
	return linkage.Vec{}, false
}
