package model

import (
	"fmt"
	"math"
	"strings"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
)

// neighbours are pairs of sizes of one item that are made for one another: the first is at
// least and at most so many times the second; 0 is no limit. Some are of one role of their kind
// alone. The limits are wide, as the bounds of single sizes are, and there to notice a slip that
// makes a thing stronger than it is. Nothing stands behind a figure but common practice.
var neighbours = []struct {
	kind, path, to string
	least, most    float64
	says           string
}{
	{"parts", "section.wall", "section.od", 0, 0.49, "a wall is less than half of the tube"},
	{"parts", "section.cross_wall", "section.cross_od", 0, 0.49, "a wall is less than half of the tube"},
	{"links", "tube.wall", "tube.od", 0, 0.49, "a wall is less than half of the tube; a solid bar is written as bar: {diameter: ...}"},
	{"links", "rod_ends.thread.diameter", "tube.od", 0, 0.95, "the shank screws into the tube"},
	{"links", "rod_ends.thread.diameter", "bar.diameter", 0, 0.95, "the shank screws into the bar"},
	{"links", "rod_ends.engagement_needed", "rod_ends.thread.diameter", 0.6, 6, "makers ask for one to two diameters"},
	{"links", "rod_ends.axial_rating", "rod_ends.static_rating", 0, 1, "a bearing bears less along its bolt than across it"},
	{"links", "rod_ends.static_rating", "rod_ends.thread.steel", 0, 1, "the best steel of that shank tears before"},
	{"links", "found.engaged", "rod_ends.thread.diameter", 0, 8, "no shank is that long"},
	{"links", "found.engaged", "found.length", 0, 0.5, "the ends do not meet inside the bar"},
	{"joints", "axial_rating", "static_rating", 0, 1, "a bearing bears less along its bolt than across it"},
	{"fasteners", "hole", "thread.diameter", 0.95, 0, "the bolt does not pass"},
	{"fasteners", "length", "thread.diameter", 1.2, 0, "no bolt is that short: its nut alone is 0.8 diameters high"},
	{"fasteners", "tab.edge", "hole", 0.52, 0, "the hole would break out of its tab"},
	{"fasteners", "tab.width", "hole", 1.2, 0, "the hole would be wider than its tab"},
	{"fasteners", "tab.edge", "thread.diameter", 0, 20, "no tab reaches that far past its bolt"},
	{"fasteners", "spread", "thread.diameter", 0, 80, "no mount is that wide across its narrower side"},
	{"fasteners: U-bolt", "spread", "thread.diameter", 0, 30, "its legs pass round an axle and the leaves on it"},
	{"fasteners", "found.engaged", "thread.diameter", 0, 8, "no hole is tapped that deep"},
	{"fasteners", "found.protruding", "thread.diameter", 0, 15, "no bolt sticks out that far"},
	{"fasteners", "torque", "thread.usual", 0.1, 5, offTorque},
	{"stud_nuts", "torque", "thread.usual", 0.1, 5, offTorque},
	{"wheels", "torque", "stud.usual", 0.1, 5, offTorque},
	{"stud_nuts", "torque_max", "torque", 1, 3, "it is the torque, and a little more to line up the pin"},
	{"spacers", "bore.bolt", "bolt.thread.diameter", 0.95, 1.05, "it is the bolt that holds this joint"},
	{"welds", "fillet.leg", "base.thickness", 0, 3, "nobody lays a fillet that large on such a plate"},
	{"welds", "found.leg", "base.thickness", 0, 3, "nobody lays a fillet that large on such a plate"},
	{"welds", "found.made_length", "fillet.length", 0, 2, "drawn is less than half of it"},
	{"springs", "closed_length", "open_length", 0, 0.99, "a damper is shorter when it is closed"},
	{"springs", "solid_length", "free_length", 0, 0.99, "a coil is shorter when it is bound"},
	{"supports", "height", "closed_height", 1, 0, "it does not go lower than that"},
	{"supports", "base", "height", 0, 3, "no stand or trestle is that much wider than it is high"},
	{"supports", "clearance_after", "closed_height", 0, 8, "no jack has that much room under a vehicle that is down"},
	{"hoists", "arm_rated", "rated", 0, 1, "one arm bears no more than the hoist"},
}

// offTorque is of both sides: a tenth of the usual torque only turns the nut home, and five times
// as much tears what the best class bears dry.
const offTorque = "that is no torque for this thread"

// checkNeighbours refuses sizes of one item that contradict each other.
func (r *reader) checkNeighbours() {
	for _, pair := range neighbours {
		kind, only, _ := strings.Cut(pair.kind, ": ")
		for _, item := range r.withMembers(kind, pair.path) {
			other, to, ok := r.sizes(item, pair.to)
			if !ok || pair.says == offTorque && isRole(item, "hub nut") || only != "" && !isRole(item, only) {
				continue
			}
			least, most := math.Inf(-1), math.Inf(1)
			if pair.least > 0 {
				least = pair.least * to[0]
			}
			if pair.most > 0 {
				most = pair.most * to[0]
			}
			v, values, _ := r.sizes(item, pair.path)
			for _, value := range values {
				if value < least*(1-slip) || value > most*(1+slip) {
					r.failAt(v.Span, item.Path()+"."+pair.path, fmt.Sprintf("%s is %s beside %s %s: %s", spoken(pair.path), Written(v.V), spoken(pair.to), Written(other.V), pair.says),
						"correct the one or the other", source.Related{Span: other.Span, Message: spoken(pair.to) + " is written here"})
					break
				}
			}
		}
	}
}

// withMembers are the items of a kind, and where a size is found, the members of groups that stand out.
func (r *reader) withMembers(kind, path string) []*Item {
	items := r.build.Of(kind)
	if !strings.HasPrefix(path, schema.Found+".") {
		return items
	}
	var all []*Item
	for _, item := range items {
		all = append(all, item)
		for _, apart := range r.build.StandOut(item) {
			one := *item
			one.Record = apart.Record
			all = append(all, &one)
		}
	}
	return all
}

// isRole reports whether an item is said to have a role. A hub nut is done up for the end float of a bearing
// and not to clamp.
func isRole(item *Item, is string) bool {
	if item.Kind.Field("role") == nil {
		return false
	}
	role, _ := item.Text("role")
	return role == is
}

// slip is what rounding may take, as a share.
const slip = 1e-9

// spoken names a size in a message by the last words of its path.
func spoken(path string) string {
	path, _ = cutThreadSize(path)
	return strings.TrimPrefix(strings.TrimPrefix(path, "found."), "bolt.")
}

// threadSizes are what may be held against a thread: its diameter, m; what the best steel of
// that shank bears, N; and the torque that pulls an ordinary bolt of it to 400 MPa, N·m, by
// T = K·d·F with K = 0.2 and the stress area by ISO 898-1, π/4 · (d − 0.9382 p)².
var threadSizes = map[string]func(quantity.Thread) float64{
	"diameter": func(t quantity.Thread) float64 { return t.Diameter },
	"steel":    func(t quantity.Thread) float64 { return math.Pi / 4 * t.Diameter * t.Diameter * bestSteel },
	"usual": func(t quantity.Thread) float64 {
		across := t.Diameter - 0.9382*t.Pitch
		return 0.2 * t.Diameter * math.Pi / 4 * across * across * 400e6
	},
}

// bestSteel is more than any rod end is made of bears, Pa: hardened alloy steel.
const bestSteel = 1.3e9

// cutThreadSize takes the size of a thread off the path of the thread; size is nil on another path.
func cutThreadSize(path string) (thread string, size func(quantity.Thread) float64) {
	i := strings.LastIndex(path, ".")
	if i < 0 || !strings.HasSuffix(path[:i], "thread") && path[:i] != "stud" {
		return path, nil
	}
	return path[:i], threadSizes[path[i+1:]]
}

// sizes are the value at a path with its sizes in SI units, of a list each; of the bolt of a
// joint those of the one bolt that holds it.
func (r *reader) sizes(item *Item, path string) (schema.Value, []float64, bool) {
	if rest, ok := strings.CutPrefix(path, "bolt."); ok {
		if item = r.boltOf(item); item == nil {
			return schema.Value{}, nil, false
		}
		path = rest
	}
	path, ofThread := cutThreadSize(path)
	v, ok := item.Lookup(path)
	if !ok {
		return v, nil, false
	}
	switch value := v.V.(type) {
	case quantity.Quantity:
		return v, []float64{value.Value}, true
	case quantity.Thread:
		return v, []float64{ofThread(value)}, true
	case []schema.Value:
		var all []float64
		for _, e := range value {
			q, _ := e.V.(quantity.Quantity)
			all = append(all, q.Value)
		}
		return v, all, true
	}
	return v, nil, false
}

// boltOf is the one bolt that holds what an item holds; nil without one, or with several.
func (r *reader) boltOf(item *Item) *Item {
	var bolt *Item
	for _, name := range item.Texts("holds") {
		for _, fastener := range r.build.Of("fasteners") {
			for _, held := range fastener.Texts("holds") {
				if held != name || fastener == bolt {
					continue
				}
				if bolt != nil {
					return nil
				}
				bolt = fastener
			}
		}
	}
	return bolt
}
