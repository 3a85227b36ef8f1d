package derive

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/strength"
	"setdown/rules/facts"
	"setdown/rules/verdict"
)

// strength records one comparison of a load with what bears it, and keeps the
// tightest in the facts strength and utilisation of the item.
func (f *floor) strength(item *model.Item, o *facts.Object, s verdict.Strength) facts.Fact {
	s.Item, s.Kind, s.Place, s.Step = item.ID, item.Kind.Name, f.Place(item), f.out.Report.Name
	if s.Utilisation = s.Load.Value * s.Factor / s.Strength.Value; s.NotComputed == "" && math.IsNaN(s.Utilisation) {
		s.NotComputed = "load or strength came out as no number"
	}
	use, bears := known(number(s.Utilisation)), known(force(s.Strength.Value))
	if s.NotComputed != "" {
		s.Utilisation = 0
		use = facts.NotComputed("%s", s.NotComputed)
		bears = use
	}
	f.out.Strengths[item.ID] = append(f.out.Strengths[item.ID], s)
	f.out.Report.Strengths = append(f.out.Report.Strengths, s)
	f.tightest(o, use, bears)
	return use
}

// tightest keeps the highest utilisation of an item and the strength it belongs to.
// One that is not known stays: a comparison that could be made says nothing of one that
// could not.
func (f *floor) tightest(o *facts.Object, use, bears facts.Fact) {
	old, derived := f.uses[o]
	switch {
	case derived && old.Unknown != nil:
		return
	case derived && use.Unknown == nil && use.V.(quantity.Quantity).Value <= old.V.(quantity.Quantity).Value:
		return
	}
	f.uses[o] = use
	o.Derive("utilisation", use)
	o.Derive("strength", bears)
}

// compare makes a comparison from a method's result. An error of the method
// means not computed.
func (f *floor) compare(item *model.Item, o *facts.Object, check string, load float64, r strength.Result, err error) facts.Fact {
	s := verdict.Strength{
		Check: check, Load: newtons(load), Factor: f.number("design_factor"), Strength: newtons(r.Value),
		Method: r.Method, Source: r.Source, Assumptions: r.Assumptions,
	}
	for _, w := range r.Working {
		s.Working = append(s.Working, verdict.Amount{Name: w.Name, Figure: verdict.Figure{Value: w.Value, Unit: w.Unit}})
	}
	if err == nil && !(r.Value > 0) {
		err = errors.New("the strength came out as nothing")
	}
	if err != nil {
		s.NotComputed = err.Error()
	}
	return f.strength(item, o, s)
}

// unknownStrength leaves the utilisation of an item unknown, and what else is named.
func (f *floor) unknownStrength(o *facts.Object, why facts.Fact, names ...string) {
	for _, n := range names {
		o.Derive(n, why)
	}
	f.tightest(o, why, why)
}

// strengths compares the load of every item of the step with what it bears.
func (f *floor) strengths() {
	for _, item := range f.build.Of("joints") {
		f.jointStrength(item, f.object(item))
	}
	for _, item := range f.build.Of("links") {
		f.linkStrength(item, f.object(item))
	}
	for _, item := range f.build.Of("fasteners") {
		f.fastenerStrength(item, f.object(item))
	}
	for _, item := range f.build.Of("ball_joints") {
		f.nutStrength(item, f.object(item))
	}
	for _, item := range f.build.Of("welds") {
		f.weldStrength(item, f.object(item))
	}
	for _, item := range f.items {
		f.supportStrength(item, f.object(item))
	}
	f.out.Report.Strengths = tightestFirst(f.out.Report.Strengths)
	for id, list := range f.out.Strengths {
		f.out.Strengths[id] = tightestFirst(list)
	}
}

// tightestFirst sorts by utilisation, highest first; what is the same but for
// rounding keeps its order. The comparisons are large: their places are sorted and
// each is copied once.
func tightestFirst(list []verdict.Strength) []verdict.Strength {
	if len(list) < 2 {
		return list
	}
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(float32(list[b].Utilisation), float32(list[a].Utilisation)) })
	sorted := make([]verdict.Strength, len(list))
	for i, k := range order {
		sorted[i] = list[k]
	}
	return sorted
}

func (f *floor) supportStrength(item *model.Item, o *facts.Object) {
	rating, unknown := o.Quantity("rating")
	load, noLoad := o.Quantity("load")
	if unknown != nil || noLoad != nil {
		return
	}
	f.strength(item, o, verdict.Strength{
		Check: "support against its plate", Load: newtons(load.Value), Factor: 1, Strength: newtons(rating.Value),
		Method: "worst load against the rated load", Source: "the maker's plate",
		Assumptions: []string{"the plate's rating holds the maker's own factor"},
	})
}
