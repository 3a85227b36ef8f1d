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
// least and at most so many times the second; 0 is no limit. The limits are wide, as the
// bounds of single sizes are, and there to notice a slip that makes a thing stronger than it
// is. Nothing stands behind a figure but common practice.
var neighbours = []struct {
	kind, path, to string
	least, most    float64
	says           string
}{
	{"parts", "section.wall", "section.od", 0, 0.49, "a wall is less than half of the tube"},
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
	{"fasteners", "tab.edge", "hole", 0.52, 0, "the hole would break out of its tab"},
	{"fasteners", "tab.width", "hole", 1.2, 0, "the hole would be wider than its tab"},
	{"fasteners", "tab.edge", "thread.diameter", 0, 20, "no tab reaches that far past its bolt"},
	{"fasteners", "found.engaged", "thread.diameter", 0, 8, "no hole is tapped that deep"},
	{"stud_nuts", "torque_max", "torque", 1, 3, "it is the torque, and a little more to line up the pin"},
	{"spacers", "bore.bolt", "bolt.thread.diameter", 0.95, 1.05, "it is the bolt that holds this joint"},
	{"welds", "fillet.leg", "base.thickness", 0, 3, "nobody lays a fillet that large on such a plate"},
	{"welds", "found.leg", "base.thickness", 0, 3, "nobody lays a fillet that large on such a plate"},
	{"welds", "found.made_length", "fillet.length", 0, 2, "drawn is less than half of it"},
	{"springs", "closed_length", "open_length", 0, 0.99, "a damper is shorter when it is closed"},
	{"springs", "solid_length", "free_length", 0, 0.99, "a coil is shorter when it is bound"},
	{"supports", "height", "closed_height", 1, 0, "it does not go lower than that"},
	{"hoists", "arm_rated", "rated", 0, 1, "one arm bears no more than the hoist"},
}

// checkNeighbours refuses sizes of one item that contradict each other.
func (r *reader) checkNeighbours() {
	for _, pair := range neighbours {
		for _, item := range r.build.Of(pair.kind) {
			other, to, ok := r.sizes(item, pair.to)
			if !ok {
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

// slip is what rounding may take, as a share.
const slip = 1e-9

// spoken names a size in a message by the last words of its path.
func spoken(path string) string {
	path = strings.TrimSuffix(strings.Replace(path, "thread.diameter", "thread", 1), ".steel")
	return strings.TrimPrefix(strings.TrimPrefix(path, "found."), "bolt.")
}

// sizes are the value at a path with its sizes in SI units, of a list each. Of a thread they
// are its diameter, or what the best steel of it bears; of the bolt of a joint those of the
// one bolt that holds it.
func (r *reader) sizes(item *Item, path string) (schema.Value, []float64, bool) {
	if rest, ok := strings.CutPrefix(path, "bolt."); ok {
		if item = r.boltOf(item); item == nil {
			return schema.Value{}, nil, false
		}
		path = rest
	}
	path, steel := strings.CutSuffix(path, ".steel")
	if thread, ok := strings.CutSuffix(path, "thread.diameter"); ok {
		path = thread + "thread"
	}
	v, ok := item.Lookup(path)
	if !ok {
		return v, nil, false
	}
	switch value := v.V.(type) {
	case quantity.Quantity:
		return v, []float64{value.Value}, true
	case quantity.Thread:
		if steel {
			return v, []float64{math.Pi / 4 * value.Diameter * value.Diameter * bestSteel}, true
		}
		return v, []float64{value.Diameter}, true
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

// bestSteel is more than any rod end is made of bears, Pa: hardened alloy steel.
const bestSteel = 1.3e9

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
