package facts

import (
	"slices"

	"setdown/model/quantity"
	"setdown/model/schema"
)

// fact is one entry of the table: what is computed, what it means, and the function that
// reads what it needs and computes it. Nothing is declared without its function.
type fact struct {
	schema.Field
	compute func(item) any
	fixed   bool // the same in every step
	hidden  bool // not for rules: what several facts are computed from
}

func computes[T any](name string, t schema.Type, doc string, f func(item) T) fact {
	return fact{Field: schema.Field{Name: name, Type: t, Derived: true, Doc: doc}, compute: func(it item) any { return f(it) }}
}

func yesNo(name, doc string, f func(item) bool) fact  { return computes(name, schema.Bool, doc, f) }
func count(name, doc string, f func(item) int64) fact { return computes(name, schema.Count, doc, f) }
func text(name, doc string, f func(item) string) fact { return computes(name, schema.Text, doc, f) }
func word(name string, words []string, doc string, f func(item) string) fact {
	e := computes(name, schema.Enum, doc, f)
	e.Enum = words
	return e
}

// units are those in which computed quantities are shown.
var units = map[quantity.Dimension]string{
	quantity.Length: "mm", quantity.Force: "N", quantity.Angle: "°", quantity.Number: "", quantity.Mass: "kg", quantity.Stress: "MPa", quantity.Duration: "days",
}

// measured is a quantity whose function returns it in SI units.
func measured(name string, dim quantity.Dimension, doc string, f func(item) float64) fact {
	return quoted(name, dim, doc, func(it item) quantity.Quantity { return quantity.Of(f(it), dim, units[dim]) })
}

// quoted is a quantity whose function returns it as somebody wrote it.
func quoted(name string, dim quantity.Dimension, doc string, f func(item) quantity.Quantity) fact {
	e := computes(name, schema.Quantity, doc, f)
	e.Dim, e.Signed = dim, true
	return e
}

// fixed marks facts that are the same in every step. Their functions ask for no step.
func fixed(facts ...fact) []fact {
	for i := range facts {
		facts[i].fixed = true
	}
	return facts
}

// working is what several facts are computed from. Rules do not see it.
func working[T any](f field[T], compute func(item) T) fact {
	e := computes(paths[f], 0, "", compute)
	e.hidden = true
	return e
}

// table lists the computed facts of each kind beside those of every kind. One of the same
// name as a fact of every kind, or as a recorded field, stands in its place.
var table = map[string][]fact{
	"vehicle":     ofVehicle,
	"parts":       ofParts,
	"joints":      ofJoints,
	"links":       ofLinks,
	"fasteners":   slices.Concat(ofFasteners, ofBolts, ofTabs),
	"ball_joints": ofTaperNuts,
	"spacers":     ofSpacers,
	"welds":       ofWelds,
	"wheels":      ofWheels,
	"supports":    ofSupports,
	"hoists":      ofHoists,
	"dollies":     ofDollies,
	"cranes":      ofCranes,
	"restraints":  ofRestraints,
	"moves":       ofMoves,
	"steps":       ofSteps,
}

// carrying lists the kinds that can pass force.
var carrying = []string{"joints", "links", "fasteners", "ball_joints", "spacers", "welds", "wheels", "springs", "supports", "restraints"}

// computed lists the facts of a kind, in order.
func computed(kind string) []*fact {
	var all []*fact
	add := func(facts []fact) {
		for i := range facts {
			f := &facts[i]
			if k := slices.IndexFunc(all, func(g *fact) bool { return g.Name == f.Name }); k >= 0 {
				all[k] = f
				continue
			}
			all = append(all, f)
		}
	}
	if k := schema.KindOf(kind); k != nil && !k.Single && kind != "moves" {
		add(ofEvery)
	}
	if slices.Contains(carrying, kind) {
		add(ofCarrying)
	}
	if checks[kind] != nil {
		add(ofStrong)
	}
	add(table[kind])
	return all
}

// kinds is the table of the build file's kinds with the computed facts added.
var kinds = func() []*schema.Kind {
	var all []*schema.Kind
	for _, k := range schema.Kinds() {
		if k.Name != "mirror" && k.Name != "waivers" {
			all = append(all, withComputed(*k))
		}
	}
	return append(all, withComputed(schema.Kind{Name: "steps", Item: "step", Doc: "one step of a move, with what was computed for it"}))
}()

func withComputed(k schema.Kind) *schema.Kind {
	k.Fields = slices.Clone(k.Fields)
	for _, f := range computed(k.Name) {
		if f.hidden {
			continue
		}
		if i := slices.IndexFunc(k.Fields, func(g schema.Field) bool { return g.Name == f.Name }); i >= 0 {
			k.Fields[i] = f.Field
			continue
		}
		k.Fields = append(k.Fields, f.Field)
	}
	return &k
}

// Kinds lists the kinds that rules may name, each with all its facts: the
// build file's kinds, then "steps". The table is shared: callers do not change
// it.
func Kinds() []*schema.Kind { return kinds }

// KindOf returns the kind with that name, or nil.
func KindOf(name string) *schema.Kind {
	i := slices.IndexFunc(kinds, func(k *schema.Kind) bool { return k.Name == name })
	if i < 0 {
		return nil
	}
	return kinds[i]
}
