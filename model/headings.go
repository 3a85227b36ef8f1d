package model

import (
	"cmp"
	"fmt"
	"slices"

	"gopkg.in/yaml.v3"

	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
)

// headings are those of the second format that hold no items.
var headings = map[string]func(*reader, *yaml.Node){
	"people": (*reader).people,
	"axles":  (*reader).axles,
	"listed": (*reader).listedPieces,
	"orders": (*reader).orders,
	"looks":  func(r *reader, n *yaml.Node) { r.looksNode = n },
	"points": func(r *reader, n *yaml.Node) { r.pointsNode = n },
}

// inBoth are those of them that the first format has as well: without a count nobody
// notices what a list leaves out.
var inBoth = []string{"listed"}

// heading reads one of them; it is false when the heading is none.
func (r *reader) heading(name string, n *yaml.Node) bool {
	if !r.second && !slices.Contains(inBoth, name) {
		return false
	}
	read := headings[name]
	if read != nil && !unsure(n) {
		read(r, n)
	}
	return read != nil
}

func (r *reader) people(n *yaml.Node) {
	v, ok := r.value(&schema.Field{Name: "people", Type: schema.List, Elem: &schema.Field{Type: schema.Text}}, n, "people")
	if !ok {
		return
	}
	for _, e := range v.([]schema.Value) {
		name := e.V.(string)
		if i := slices.IndexFunc(r.build.People, func(other string) bool { return looks.SamePerson(other, name) }); i >= 0 {
			as := ""
			if other := r.build.People[i]; other != name {
				as = ", as " + shown(other) + " too"
			}
			r.failAt(e.Span, "people", fmt.Sprintf("%s stands in the list twice%s", shown(name), as), "two people need two names")
		}
		r.build.People = append(r.build.People, name)
	}
}

func (r *reader) axles(n *yaml.Node) {
	if n.Kind != yaml.MappingNode {
		r.fail(n, "axles", "axles needs a layout for each axle", "write it as {front: double wishbone, rear: leaves}")
		return
	}
	for key, value := range pairs(n) {
		layout, ok := r.text(resolved(value), join("axles", key.Value))
		if ok && !slices.Contains(schema.NotKnown, layout.(string)) {
			r.build.Axles = append(r.build.Axles, Axle{Name: key.Value, Layout: layout.(string), Span: r.span(key)})
		}
	}
}

// Elsewhere is where what belongs to no place of the walk round is counted.
const Elsewhere = "vehicle"

func (r *reader) listedPieces(n *yaml.Node) {
	var pieces []string
	for _, p := range schema.Pieces {
		pieces = append(pieces, p.Name)
	}
	if n.Kind != yaml.MappingNode {
		r.fail(n, "listed", "listed needs a count for each place", "write it as {front-left: {bolts: 8, welds: 6}}")
		return
	}
	var all Listed // what is said once for all places
	for key, value := range pairs(n) {
		path := join("listed", key.Value)
		if r.whoCounted(&all, key.Value, resolved(value), path) {
			continue
		}
		if len(r.build.Places) > 0 && key.Value != Elsewhere && !slices.Contains(r.build.Places, key.Value) {
			r.fail(key, path, fmt.Sprintf("this vehicle has no place %s", shown(key.Value)), meant(key.Value, r.build.Places, "the places are "))
			continue
		}
		one := Listed{Place: key.Value, Pieces: map[string]int64{}, Span: r.span(key)}
		value = resolved(value)
		if unsure(value) {
			continue
		}
		if value.Kind != yaml.MappingNode {
			r.fail(value, path, "a count must be a block of keys", "the keys are bolts, stud nuts, spacers, welds, links, wheel nuts")
			continue
		}
		for what, number := range pairs(value) {
			number = resolved(number)
			inner := join(path, what.Value)
			switch {
			case r.whoCounted(&one, what.Value, number, inner):
			case !slices.Contains(pieces, what.Value):
				r.fail(what, inner, fmt.Sprintf("%s is not counted", shown(what.Value)), meant(what.Value, pieces, "what is counted: "))
			case unsure(number):
			default:
				if count, ok := r.count(number, inner); ok {
					one.Pieces[what.Value] = count.(int64)
				}
			}
		}
		r.build.Listed = append(r.build.Listed, one)
	}
	for i := range r.build.Listed {
		one := &r.build.Listed[i]
		one.Day, one.By = cmp.Or(one.Day, all.Day), cmp.Or(one.By, all.By)
	}
}

// whoCounted reads who counted and when; it is false for another key.
func (r *reader) whoCounted(one *Listed, key string, n *yaml.Node, path string) bool {
	switch {
	case key != "by" && key != "day":
		return false
	case unsure(n):
	case key == "by":
		if v, ok := r.text(n, path); ok {
			one.By = v.(string)
		}
	default:
		day, err := quantity.ParseDate(n.Value)
		if err != nil {
			r.fail(n, path, err.Error(), "")
		}
		one.Day = day
	}
	return true
}

func (r *reader) orders(n *yaml.Node) {
	if n.Kind != yaml.MappingNode {
		r.fail(n, "orders", "orders needs an id for each order", "write it as {castle-nuts: {what: castle nuts M12x1.25, ordered: 2}}")
		return
	}
	for key, value := range pairs(n) {
		path := join("orders", key.Value)
		if !r.goodID(key, path) {
			continue
		}
		order := &Item{Kind: schema.Orders, ID: key.Value, Span: r.span(key), Record: schema.NewRecord(schema.Orders.Fields, r.span(key))}
		if !unsure(value) {
			r.record(order.Record, "order "+order.ID, value, path)
		}
		r.build.Orders = append(r.build.Orders, order)
	}
}

// tiedPlaces lets a strap tie up a place: everything outboard of the frame there. Where the
// file lists the parts of that place it ties these; a checklist has none.
func (r *reader) tiedPlaces() {
	checklist, _ := r.build.Vehicle.Bool("checklist")
	for _, restraint := range r.build.Of("restraints") {
		v, ok := restraint.Lookup("ties")
		if !ok {
			continue
		}
		var parts []schema.Value
		for _, e := range v.V.([]schema.Value) {
			id := e.V.(string)
			if r.build.byID[id] == nil && slices.Contains(r.build.Places, id) {
				restraint.TiedPlaces = append(restraint.TiedPlaces, id)
				if to, _ := restraint.Text("to"); r.build.byID[to] != nil {
					if p, _ := r.build.byID[to].Text("place"); p == id {
						r.failAt(e.Span, restraint.Path()+".ties", fmt.Sprintf("%s itself stands in %s: a place is not tied up to what is in it", to, id), "name the places of the corners or axles")
					}
				}
				if !checklist {
					parts = append(parts, r.outboard(id, e.Span)...)
				}
				continue
			}
			parts = append(parts, e)
		}
		if len(restraint.TiedPlaces) == 0 {
			continue
		}
		restraint.Delete("ties")
		if len(parts) > 0 {
			restraint.Set("ties", schema.Value{V: parts, Span: v.Span})
		} else {
			r.left[slot{restraint.Record, "ties"}] = isBad // it is there, by place
		}
	}
}

// outboard lists the parts at a place that hang on the frame.
func (r *reader) outboard(place string, at source.Span) []schema.Value {
	var parts []schema.Value
	for _, part := range r.build.Of("parts") {
		role, _ := part.Text("role")
		if p, _ := part.Text("place"); p == place && (part.Is(schema.Suspension) || role == "other") {
			parts = append(parts, schema.Value{V: part.ID, Span: at})
		}
	}
	return parts
}

// inEveryStep carries what a move says once into its steps. An empty list there
// says that it is not so in that step.
func (r *reader) inEveryStep() {
	for _, move := range r.build.Of("moves") {
		for _, said := range []struct{ move, step string }{{"restraints", "restraints"}, {"off", "off"}, {"stage", "stage"}, {"people_needed", "people"}} {
			v, ok := move.Lookup(said.move)
			if !ok {
				continue
			}
			if move.Field(said.move).Second {
				move.Delete(said.move)
			}
			for _, record := range move.Steps() {
				if _, own := record.Lookup(said.step); !own && r.left[slot{record, said.step}] == 0 {
					record.Set(said.step, schema.CloneValue(v))
				}
			}
		}
	}
}

// middles gives an arm whose centre of gravity nobody wrote the middle of its
// joints, with half their spread as its ±: it is light, lies between them, and
// moves the loads little. It is the one stand-in for a measure.
func (r *reader) middles() {
	on := map[string][]schema.Vec{}
	for _, joint := range r.build.Of("joints") {
		if at, ok := joint.Vec("at"); ok {
			for _, part := range joint.Texts("between") {
				on[part] = append(on[part], at)
			}
		}
	}
	for _, link := range r.build.Of("links") {
		for _, end := range endNames(link) {
			part, known := link.Text("ends." + end + ".on")
			if at, ok := link.Vec("ends." + end + ".at"); ok && known {
				on[part] = append(on[part], at)
			}
		}
	}
	for _, part := range r.build.Of("parts") {
		_, written := part.Lookup("cg")
		role, _ := part.Text("role")
		if points := on[part.ID]; role == "arm" && !written && r.left[slot{part.Record, "cg"}] == 0 && len(points) > 1 {
			part.Set("cg", schema.Value{V: middle(points), Span: part.Span})
			part.MiddleOfJoints = true
		}
	}
}

// middle is the middle of the box around points, with half its sides as ±.
func middle(points []schema.Vec) schema.Vec {
	least, most := points[0], points[0]
	for _, p := range points[1:] {
		least = schema.Vec{X: min(least.X, p.X), Y: min(least.Y, p.Y), Z: min(least.Z, p.Z)}
		most = schema.Vec{X: max(most.X, p.X), Y: max(most.Y, p.Y), Z: max(most.Z, p.Z)}
	}
	return schema.Vec{X: (least.X + most.X) / 2, Y: (least.Y + most.Y) / 2, Z: (least.Z + most.Z) / 2,
		Tol: [3]float64{(most.X - least.X) / 2, (most.Y - least.Y) / 2, (most.Z - least.Z) / 2}}
}
