package facts

import (
	"slices"

	"setdown/model/schema"
)

// table lists the computed facts of each kind beside those of every kind. One of the same
// name as a fact of every kind, or as a recorded field, stands in its place.
var table = map[string][]fact{
	"vehicle":    slices.Concat(ofVehicle, ofListed),
	"parts":      ofParts,
	"joints":     ofJoints,
	"links":      ofLinks,
	"fasteners":  slices.Concat(ofFasteners, ofBolts, ofTabs),
	"stud_nuts":  ofStudNuts,
	"spacers":    ofSpacers,
	"welds":      ofWelds,
	"wheels":     ofWheels,
	"springs":    ofSprings,
	"supports":   ofSupports,
	"hoists":     ofHoists,
	"dollies":    ofDollies,
	"cranes":     ofCranes,
	"restraints": ofRestraints,
	"moves":      ofMoves,
	"steps":      ofSteps,
}

// passesForce lists the kinds that can pass force.
var passesForce = []string{"joints", "links", "fasteners", "stud_nuts", "spacers", "welds", "wheels", "springs", "supports", "restraints"}

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
	if k := schema.KindOf(kind); k != nil && k.Found() != nil {
		add(ofFound)
		if !k.Single && kind != "moves" {
			add(ofUsed)
			add(ofOrdered)
			if k.Daily() {
				add(ofSet)
			}
		}
	}
	if slices.Contains(passesForce, kind) {
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
