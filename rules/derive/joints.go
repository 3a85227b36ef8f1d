package derive

import (
	"fmt"
	"math"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/strength"
	"setdown/rules/facts"
)

// passes is what a joint or link end passes across and along its bolt.
type passes struct {
	radial, axial, resultant float64 // N
	twist, bend              float64 // N·m, about the bolt and at right angles to it
	split                    bool    // the direction of the bolt is known
	hinge                    bool    // the moment is that of a hinge, which its one pin takes
}

// pass splits what a joint or link end passes. Where the direction of the bolt is
// not recorded, the whole may act across it and the whole along it, and its moment may
// twist and bend.
func (f *floor) pass(m *meet) passes {
	p, known := f.split[m]
	if !known {
		p = f.splitAt(m)
		f.split[m] = p
	}
	return p
}

func (f *floor) splitAt(m *meet) passes {
	var p passes
	if m.link {
		r := f.step.Link(f.assembly.links[m.item.ID])
		p.resultant = max(r.Most, -r.Least)
		p.radial, p.axial = p.resultant, p.resultant
		if m.axis != nil {
			along := alongBolt(m, f.far(m))
			p.axial = p.resultant * along
			p.radial = p.resultant * math.Sqrt(1-along*along)
			p.split = true
		}
		return p
	}
	i := f.assembly.joints[m.name]
	joint := f.step.Joint(i)
	p.resultant = joint.Worst
	p.radial, p.axial = p.resultant, p.resultant
	p.twist, p.bend = joint.Moment, joint.Moment
	if m.axis != nil {
		along := f.step.Along(i, point(*m.axis))
		p.axial = max(along.Most, -along.Least)
		p.radial = f.step.Across(i, point(*m.axis))
		p.twist, p.bend = f.step.Turns(i, point(*m.axis))
		p.split = true
	}
	return p
}

func (f *floor) jointStrength(item *model.Item, o *facts.Object) {
	m := f.byName[item.ID]
	rated, ratedOK := item.Quantity("static_rating")
	axialRated, axialOK := item.Quantity("axial_rating")
	everyWay := m.kind != "spherical bearing" && m.kind != "rod end"
	if !axialOK {
		axialRated.Value = rated.Value * f.number("axial_share")
	}
	o.Derive("has_rating", facts.Known(ratedOK))
	switch {
	case ratedOK || axialOK:
		o.Derive("axial_allowed", known(force(axialRated.Value)))
	default:
		o.Derive("axial_allowed", facts.NotRecorded(item.Path()+".static_rating"))
	}
	switch {
	case f.setting.isOff(m):
		for _, n := range []string{"axial", "radial"} {
			o.Derive(n, known(force(0)))
		}
		o.Derive("utilisation", known(number(0)))
		return
	case f.none != nil:
		f.unknownStrength(o, *f.none, "axial", "radial")
		return
	}
	p := f.pass(m)
	o.Derive("axial", known(force(p.axial)))
	o.Derive("radial", known(force(p.radial)))
	if !ratedOK {
		f.unknownStrength(o, facts.NotRecorded(item.Path()+".static_rating"))
		return
	}
	r, err := strength.RodEnd(p.radial, p.axial, rated.Value, axialRated.Value)
	if everyWay && !axialOK && (p.radial+p.axial)*f.number("design_factor") > r.Value {
		// A bush or ball joint may bear far more along its axis than a bearing of the
		// same rating: its own figure decides.
		why := facts.NotRecorded(item.Path() + ".axial_rating")
		f.unknownStrength(o, why, "axial_allowed")
		return
	}
	if !p.split {
		r.Assumptions = append(r.Assumptions, "direction of the bolt not recorded: the whole force taken across it and along it")
	}
	if !axialOK {
		r.Assumptions = append(r.Assumptions, fmt.Sprintf("no rating along the bolt recorded: taken as %s of the one across", quantity.Format(f.number("axial_share"))))
	}
	check := "bearing against its rating"
	if everyWay {
		check = "joint against its rating"
	}
	f.compare(item, o, check, p.radial+p.axial, r, err)
}
