package check_test

import (
	"fmt"
	"slices"
	"strings"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
)

// fault is one thing that goes wrong with an item, or one fact less about it.
type fault struct {
	kind, item, fact string
	path             string // the fact in the item, such as found.torqued
	of               string // its sort (sortOf)
	what             string // the value it takes, or "not recorded"
	spoil            func(*model.Build)
}

// key names the kind of fault, for the reviewed list.
func (f fault) key() string { return ofSort(f.kind, f.of) + "." + f.fact + " " + f.what }

// sortOf is what an item is among those of its kind, where another is asked other things: the
// kind of a support or joint, a weld of what bears by contact; else nothing.
func sortOf(kind string, item *schema.Record) string {
	switch kind {
	case "supports", "joints":
		sort, _ := item.Text("kind")
		return sort
	case "welds":
		if contact, _ := item.Bool("bears_by_contact"); contact {
			return "by contact"
		}
	}
	return ""
}

// ofSort names a kind and its sort.
func ofSort(kind, sort string) string {
	if sort == "" {
		return kind
	}
	return kind + " (" + sort + ")"
}

// fits reports whether a state has what the fault is of.
func (f fault) fits(b *model.Build) bool {
	kind := schema.KindOf(f.kind)
	if !kind.Single && b.Item(f.item) == nil {
		return false
	}
	block := recordNamed(b, kind, f.item)
	for name := range strings.SplitSeq(f.path, ".") {
		if block == nil || !slices.Contains(block.Names(), name) {
			return false
		}
		v, _ := block.Lookup(name)
		block, _ = v.V.(*schema.Record)
	}
	return true
}

func (f fault) String() string { return f.item + ": " + f.fact + " " + f.what }

const notRecorded = "not recorded"

// faults lists every single fault of what was found that the file can express:
// every found fact deleted, every found fact made worse, and every found block gone.
func faults(b *model.Build) []fault {
	var list []fault
	for _, kind := range schema.Kinds() {
		field := kind.Found()
		if field == nil {
			continue
		}
		ids := []string{kind.Name}
		if !kind.Single {
			ids = nil
			for _, item := range b.Of(kind.Name) {
				ids = append(ids, item.ID)
			}
		}
		for _, id := range ids {
			of := func(c *model.Build) *schema.Record { return recordNamed(c, kind, id) }
			found, ok := of(b).Record("found")
			if !ok {
				continue
			}
			sort := sortOf(kind.Name, of(b))
			list = append(list, fault{kind.Name, id, "found", "found", sort, notRecorded, func(c *model.Build) { of(c).Delete("found") }})
			for _, name := range found.Names() {
				if !has(of(b), field.Field(name)) {
					continue
				}
				if field.Field(name).Event == "" { // silence about an event is no, by the table
					list = append(list, fault{kind.Name, id, name, "found." + name, sort, notRecorded, func(c *model.Build) { inner(of(c)).Delete(name) }})
				}
				v, _ := found.Lookup(name)
				for _, w := range worse(kind.Name, field.Field(name), v.V) {
					list = append(list, fault{kind.Name, id, name, "found." + name, sort, w.name, func(c *model.Build) { inner(of(c)).Set(name, schema.Value{V: w.v}) }})
				}
			}
		}
	}
	return list
}

// has reports whether an item has a fact at all, by its own design: of a stand nobody says
// how a crib is built.
func has(item *schema.Record, f *schema.Field) bool {
	is, known := f.OnlyFor.Holds("", func(path string) (any, bool) {
		if path == "threaded" {
			_, pin := item.Lookup("pin")
			return !pin, true
		}
		v, ok := item.Lookup(path)
		return v.V, ok
	})
	return len(f.OnlyFor) == 0 || is || !known
}

func recordNamed(b *model.Build, kind *schema.Kind, id string) *schema.Record {
	switch kind.Name {
	case "vehicle":
		return b.Vehicle
	case "site":
		return b.Site
	}
	return b.Item(id).Record
}

func inner(r *schema.Record) *schema.Record {
	found, _ := r.Record("found")
	return found
}

// bad is a worse value and what to call it.
type bad struct {
	name string
	v    any
}

// good are the facts of yes and no of which yes is good; of the others no is.
var good = []string{
	"fitted", "lock_fitted", "marked", "inspected", "cold", "seated", "large_end_right", "body_held", "locked", "own_pin", "level", "contact",
	"padded", "bush_fitted", "kept", "bolt_slides", "sound", "in_groove", "retaining_washer", "witness_blocked", "tagged", "clear", "seats_match",
	"shaft_in", "hub_nut", "holds", "tied", "chocked", "held", "strapped", "arm_locks", "locks_down", "legs_locked", "slings_rated", "eye_sound",
	"rolls_free", "grain_flat", "plates", "extinguisher", "brake_works", "masses_current", "area_clear", "stop_word", "phone", "way_back", "catch",
	"stop_means", "order_read", "strapped_on_frame",
}

// words are the values of a word that are worse than the good ones, by field.
var words = map[string][]string{
	"made": {"none", "tack", "part"}, "tightness": {"loose", "finger", "snug"}, "jam_nuts": {"loose", "none"}, "lined_up": {"backed off"},
	"condition": {"bent", "cracked", "repaired", "worn", "recalled"}, "toes": {"rolled over"}, "adapters": {"none", "tack"},
	"floor": {"earth", "gravel"}, "stack": {"bricks", "logs", "column"}, "kept_by": {"a tack", "nothing"}, "fuel": {"in tank"},
	"cleaner": {"chlorinated"}, "battery": {"connected"}, "gear": {"in gear"}, "high_voltage": {"live"}, "air_springs": {"holding height"},
	"surface": {"painted", "rust", "zinc"},
}

// worse lists worse values of a recorded fact: the other side of a yes or no that is
// good, a word further down, a figure on the wrong side.
func worse(kind string, f *schema.Field, v any) []bad {
	switch f.Type {
	case schema.Bool:
		if isGood := slices.Contains(good, f.Name); v == isGood {
			return []bad{{fmt.Sprint("is ", !isGood), !isGood}}
		}
	case schema.Enum:
		var list []bad
		for _, w := range words[f.Name] {
			if w != v && !(f.Name == "adapters" && v == "none") {
				list = append(list, bad{"is " + w, w})
			}
		}
		return list
	case schema.Count:
		n := v.(int64)
		switch {
		case f.Name == "ties_left":
			return []bad{{"is 4", int64(4)}}
		case n > 0 && (f.Name == "threads_past" || f.Name == "people"):
			return []bad{{"is 0", int64(0)}}
		case n > 0 && f.Name != "tacks":
			return []bad{{"is one less", n - 1}}
		}
	case schema.Text:
		if f.Name == "class_mark" {
			return []bad{{"is 4.6", "4.6"}}
		}
	case schema.Thread:
		return []bad{{"is another", quantity.Thread{Diameter: 0.007, Pitch: 0.001}}}
	case schema.Date:
		return []bad{{"is long ago", quantity.Date{Year: 2019, Month: 1, Day: 2}}, {"is to come", quantity.Date{Year: 2027, Month: 1, Day: 2}}}
	case schema.Quantity:
		return worseFigure(f.Name, v.(quantity.Quantity))
	case schema.List:
		return worseOfPair(f, v.([]schema.Value))
	}
	return nil
}

func worseFigure(name string, q quantity.Quantity) []bad {
	is := func(what string, v float64) bad {
		w := q
		w.Value = v
		return bad{what, w}
	}
	switch name {
	case "torqued", "hub_torqued":
		return []bad{is("is half", q.Value/2), is("is double", q.Value*2)}
	case "engaged", "made_length", "leg", "protruding", "turns":
		return []bad{is("is a third", q.Value/3)}
	case "undercut", "gap_left":
		return []bad{is("is 3 mm more", q.Value+0.003)}
	case "misalignment":
		return []bad{is("is 40 deg", 0.7)}
	case "slope":
		return []bad{is("is 20 %", 0.2)}
	case "flatness":
		return []bad{is("is 50 mm", 0.05)}
	case "headroom":
		return []bad{is("is 0.5 m", 0.5)}
	case "length":
		return []bad{is("is 12 mm more", q.Value+0.012)}
	case "turns_planned":
		return []bad{is("is 12 more", q.Value+12)}
	case "toe":
		return []bad{is("is 6 deg", 0.1)}
	}
	return nil
}

func worseOfPair(f *schema.Field, pair []schema.Value) []bad {
	var list []bad
	for i := range pair {
		c := slices.Clone(pair)
		name := fmt.Sprintf("at end %d is ", i+1)
		switch f.Name {
		case "engaged":
			q := pair[i].V.(quantity.Quantity)
			q.Value /= 3
			c[i].V = q
			name += "a third"
		case "jam_nut_hands":
			c[i].V = map[any]string{"left": "right", "right": "left"}[pair[i].V]
			name += "of the other hand"
		default:
			return nil
		}
		list = append(list, bad{name, c})
	}
	return list
}

// scale multiplies a recorded quantity; false when nobody recorded it.
func scale(r *schema.Record, name string, by float64) bool {
	v, ok := r.Lookup(name)
	if !ok {
		return false
	}
	q := v.V.(quantity.Quantity)
	q.Value *= by
	r.Set(name, schema.Value{V: q, Span: v.Span})
	return true
}

// stepsOf are the steps of a move.
func stepsOf(b *model.Build, move string) []*schema.Record {
	list, _ := b.Item(move).List("steps")
	steps := make([]*schema.Record, len(list))
	for i, v := range list {
		steps[i] = v.V.(*schema.Record)
	}
	return steps
}

// takeSupport takes the k-th support out of a step.
func takeSupport(b *model.Build, move string, step, k int) {
	r := stepsOf(b, move)[step]
	list, _ := r.List("supports")
	r.Set("supports", schema.Value{V: slices.Delete(slices.Clone(list), k, k+1)})
}
