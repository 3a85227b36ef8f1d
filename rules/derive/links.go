package derive

import (
	"fmt"
	"math"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/strength"
	"setdown/rules/facts"
)

func (f *floor) linkStrength(item *model.Item, o *facts.Object) {
	names := []string{"tension", "compression", "buckling_utilisation", "rod_end_utilisation", "axial_utilisation"}
	o.Derive("tube_words", facts.Known("a tube that bears its push"))
	switch {
	case f.setting.isOff(f.ends(item)[0]):
		o.Derive("tension", known(force(0)))
		o.Derive("compression", known(force(0)))
		for _, n := range []string{"buckling_utilisation", "rod_end_utilisation", "axial_utilisation", "utilisation"} {
			o.Derive(n, known(number(0)))
		}
		return
	case f.none != nil:
		f.unknownStrength(o, *f.none, names...)
		return
	}
	r := f.step.Link(f.assembly.links[item.ID])
	push, pull := max(0, -r.Least), max(0, r.Most)
	o.Derive("tension", known(force(pull)))
	o.Derive("compression", known(force(push)))
	o.Derive("buckling_utilisation", f.barStrength(item, o, push, pull))
	f.tubeFor(item, o, push)
	f.rodEndStrength(item, o, max(push, pull))
}

// section reads the cross-section and material of a link.
func section(item *model.Item) (s strength.Section, m strength.Material, unknown *facts.Fact, err error) {
	_, tube := item.Record.Record("tube")
	_, bar := item.Record.Record("bar")
	block := "tube"
	var v []float64
	switch {
	case tube:
		if v, unknown = need(item, "tube.od", "tube.wall"); unknown != nil {
			return s, m, unknown, nil
		}
		s, err = strength.Tube(v[0], v[1])
	case bar:
		block = "bar"
		thread, threaded := look[quantity.Thread](item, "bar.thread")
		d, given := look[quantity.Quantity](item, "bar.diameter")
		switch {
		case threaded:
			var root float64
			if root, err = strength.RootDiameter(thread.Diameter, thread.Pitch); err == nil {
				s, err = strength.Round(root)
			}
		case given:
			s, err = strength.Round(d.Value)
		default:
			none := facts.NotRecorded(item.Path() + ".bar.diameter")
			return s, m, &none, nil
		}
	default:
		none := facts.NotRecorded(item.Path() + ".tube")
		return s, m, &none, nil
	}
	if err != nil {
		return s, m, nil, err
	}
	name, ok := look[string](item, block+".material")
	if !ok {
		none := facts.NotRecorded(item.Path() + "." + block + ".material")
		return s, m, &none, nil
	}
	m, err = strength.MaterialOf(name)
	return s, m, nil, err
}

// barStrength compares the push in a link with its column strength and the pull
// with its yield. A link that only pulls does not buckle.
func (f *floor) barStrength(item *model.Item, o *facts.Object, push, pull float64) facts.Fact {
	s, m, unknown, err := section(item)
	if unknown != nil {
		if push < 1 && pull < 1 {
			return known(number(0))
		}
		f.unknownStrength(o, *unknown)
		return *unknown
	}
	var r strength.Result
	if err == nil {
		r, err = strength.Column(s, f.barLength(item), m)
	}
	use := f.compare(item, o, "bar in compression", push, r, err)
	if err == nil && pull > 0 {
		r, err = strength.BarTension(s, m)
		f.compare(item, o, "bar in tension", pull, r, err)
	}
	return use
}

// barLength is the length over which a link may buckle, m: between its ends as drawn, or
// as it was measured where that is more.
func (f *floor) barLength(item *model.Item) float64 {
	ends := f.ends(item)
	measured, _ := look[quantity.Quantity](item, "found.length")
	return max(distance(*ends[0].at, *ends[1].at), measured.Value)
}

// Tubes that a stand-in bar is made of: the common outside diameters, with one wall
// and the weaker of the usual steels, so that whatever the shop has is not weaker.
var (
	tubeSizes    = []float64{0.020, 0.025, 0.028, 0.030, 0.032, 0.035, 0.038, 0.042, 0.045, 0.050, 0.060}
	tubeWall     = 0.0025 // m
	tubeMaterial = "E235"
)

// tubeFor names the smallest of the common tubes that bears the push in a link
// with the design factor over its length.
func (f *floor) tubeFor(item *model.Item, o *facts.Object, push float64) {
	m, err := strength.MaterialOf(tubeMaterial)
	for _, od := range tubeSizes {
		var s strength.Section
		if err == nil {
			s, err = strength.Tube(od, tubeWall)
		}
		var r strength.Result
		if err == nil {
			r, err = strength.Column(s, f.barLength(item), m)
		}
		if err == nil && push*f.number("design_factor") <= r.Value {
			o.Derive("tube_od", known(length(od)))
			o.Derive("tube_words", facts.Known(fmt.Sprintf("%s tube %s × %s", tubeMaterial, quantity.Format(od*1000), length(tubeWall))))
			return
		}
	}
	o.Derive("tube_od", facts.NotComputed("none of the usual tubes bears this push over this length"))
	o.Derive("tube_words", facts.Known("a tube that an engineer has chosen"))
}

func (f *floor) rodEndStrength(item *model.Item, o *facts.Object, load float64) {
	if _, has := item.Record.Record("rod_ends"); !has {
		o.Derive("rod_end_utilisation", facts.NotRecorded(item.Path()+".rod_ends"))
		o.Derive("axial_utilisation", facts.NotRecorded(item.Path()+".rod_ends"))
		return
	}
	rated, ok := look[quantity.Quantity](item, "rod_ends.static_rating")
	if !ok {
		why := facts.NotRecorded(item.Path() + ".rod_ends.static_rating")
		f.unknownStrength(o, why, "rod_end_utilisation", "axial_utilisation")
		return
	}
	axialRated, ok := look[quantity.Quantity](item, "rod_ends.axial_rating")
	if !ok {
		axialRated.Value = rated.Value * f.number("axial_share")
	}
	worst, worstAxial := strength.Result{}, 0.0
	use, split, where := -1.0, true, ""
	var failure error
	for _, e := range f.ends(item) {
		p := f.pass(e)
		if !p.split {
			// A link pulls on the ball along itself, at an angle to the bolt that nobody
			// knows: the worst is where both shares together are most.
			across, along := 1/rated.Value, 1/axialRated.Value
			slant := math.Hypot(across, along)
			if p.resultant*slant*f.number("design_factor") > 1 {
				f.unknownStrength(o, facts.NotRecorded(e.path("axis")), "rod_end_utilisation", "axial_utilisation")
				return
			}
			p.radial, p.axial, split = p.resultant*across/slant, p.resultant*along/slant, false
		}
		r, err := strength.RodEnd(p.radial, p.axial, rated.Value, axialRated.Value)
		if err != nil {
			failure = err
			continue
		}
		if u := (p.radial + p.axial) / r.Value; u > use {
			use, worst, where = u, r, e.name
			worst.Value = load / max(u, 1e-12)
			if u == 0 {
				worst.Value = rated.Value
			}
		}
		worstAxial = max(worstAxial, p.axial*f.number("design_factor")/axialRated.Value)
	}
	if !split {
		worst.Assumptions = append(worst.Assumptions, "direction of a bolt not recorded: taken as slanted the worst way")
	}
	worst.Assumptions = append(worst.Assumptions, "the worse end is "+where)
	o.Derive("rod_end_utilisation", f.compare(item, o, "rod ends against their rating", load, worst, failure))
	o.Derive("axial_utilisation", known(number(worstAxial)))
}
