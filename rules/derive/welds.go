package derive

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/statics"
	"setdown/model/strength"
	"setdown/rules/facts"
)

// tooSmall reports whether a weld was measured to have undercut deeper than 1 mm, a leg
// more than 2 mm shorter than drawn, or not half of its length.
func tooSmall(item *model.Item) bool {
	undercut, _ := look[quantity.Quantity](item, "found.undercut")
	legs, unknown := need(item, "fillet.leg", "found.leg")
	lengths, unmeasured := need(item, "fillet.length", "found.made_length")
	return undercut.Value > 0.001 || unknown == nil && legs[0]-legs[1] > 0.002 ||
		unmeasured == nil && lengths[1] < lengths[0]/2
}

// weldFit derives what follows from sizes alone.
func (d *Deriver) weldFit(item *model.Item, o *facts.Object) {
	o.Derive("made_share", madeShare(item))
	o.Derive("too_small", facts.Known(tooSmall(item)))
	leg, ok := look[quantity.Quantity](item, "fillet.leg")
	found, seen := look[quantity.Quantity](item, "found.leg")
	switch {
	case !ok:
		o.Derive("leg_short", facts.NotRecorded(item.Path()+".fillet.leg"))
	case !seen:
		o.Derive("leg_short", facts.NotRecorded(item.Path()+".found.leg"))
	default:
		o.Derive("leg_short", known(length(max(0, leg.Value-found.Value))))
	}
	drawn, ok := look[int64](item, "fillet.sides")
	made, seen := look[int64](item, "found.sides")
	switch {
	case !ok:
		o.Derive("one_sided", facts.Known(false))
	case !seen:
		o.Derive("one_sided", facts.NotRecorded(item.Path()+".found.sides"))
	default:
		o.Derive("one_sided", facts.Known(made < drawn))
	}
}

// madeShare is how much of the drawn length is made.
func madeShare(item *model.Item) facts.Fact {
	made, ok := item.Text("found.made")
	if !ok {
		return facts.NotRecorded(item.Path() + ".found.made")
	}
	switch made {
	case "full":
		return known(number(1))
	case "none":
		return known(number(0))
	}
	l, unknown := madeLength(item)
	drawn, ok := look[quantity.Quantity](item, "fillet.length")
	switch {
	case unknown != nil:
		return *unknown
	case !ok:
		return facts.NotRecorded(item.Path() + ".fillet.length")
	}
	return known(number(min(1, l/drawn.Value)))
}

// madeLength is the length of weld that is there, m.
func madeLength(item *model.Item) (float64, *facts.Fact) {
	made, ok := item.Text("found.made")
	path := item.Path()
	var none facts.Fact
	switch {
	case !ok:
		none = facts.NotRecorded(path + ".found.made")
	case made == "none":
		return 0, nil
	case made == "full":
		if l, ok := look[quantity.Quantity](item, "fillet.length"); ok {
			made := l.Value * sidesShare(item)
			if seen, ok := look[quantity.Quantity](item, "found.made_length"); ok {
				made = min(made, seen.Value) // what was measured counts, whatever it is called
			}
			return made, nil
		}
		none = facts.NotRecorded(path + ".fillet.length")
	default:
		if l, ok := look[quantity.Quantity](item, "found.made_length"); ok {
			return l.Value, nil
		}
		n, okN := look[int64](item, "found.tacks")
		l, okL := look[quantity.Quantity](item, "found.tack_length")
		if okN && okL {
			return float64(n) * l.Value, nil
		}
		none = facts.NotRecorded(path + ".found.made_length")
		if made == "tack" {
			none = facts.NotRecorded(path+".found.tacks", path+".found.tack_length")
		}
	}
	return 0, &none
}

// sidesShare is the share of the drawn sides that are made. A side that nobody
// counted is taken as made: the word full says so.
func sidesShare(item *model.Item) float64 {
	drawn, okD := look[int64](item, "fillet.sides")
	made, okM := look[int64](item, "found.sides")
	if !okD || !okM || made >= drawn {
		return 1
	}
	return float64(made) / float64(drawn)
}

// weldStrength compares the forces that the held joints put on a weld with what
// the length made bears. Tacks count for what the policy says, by default
// nothing; what they would bear is kept for information.
func (f *floor) weldStrength(item *model.Item, o *facts.Object) {
	o.Derive("under_support", facts.Known(slices.ContainsFunc(f.items, func(s *model.Item) bool {
		return slices.Contains(item.Texts("holds"), s.ID)
	})))
	if len(item.Texts("holds")) == 0 {
		return
	}
	if f.none != nil && !f.onlySupports(item) {
		unknownStrength(o, *f.none, "would_bear")
		return
	}
	carries, unknown := o.Get("carries")
	if unknown == nil && carries == "nothing" {
		o.Derive("utilisation", known(number(0)))
		return
	}
	line, whole, missing, err := weldLine(item)
	if missing != nil {
		unknownStrength(o, *missing, "would_bear")
		return
	}
	if err != nil {
		f.compare(item, o, "fillet weld", 0, strength.Result{}, err)
		return
	}
	peak, load, working, missing, err := f.weldPeak(item, whole)
	if missing != nil {
		unknownStrength(o, *missing, "would_bear")
		return
	}
	full := line
	if err == nil && peak > 0 {
		full.Value = line.Value / peak * load
		full.Assumptions = append(slices.Clone(full.Assumptions), "strength of the whole weld against a force placed and directed like this one: what a millimetre bears ÷ peak × load")
	} else if err == nil {
		full.Value = line.Value * whole.Length
	}
	full.Working = append(slices.Clone(line.Working), working...)
	made, missing := madeLength(item)
	if missing != nil {
		unknownStrength(o, *missing, "would_bear")
		return
	}
	share := made / whole.Length
	o.Derive("would_bear", known(force(full.Value*min(1, share))))
	kind, _ := item.Text("found.made")
	switch {
	case kind == "tack" || share < 1:
		counts := share
		if kind == "tack" {
			counts *= f.number("tack_strength")
			full.Assumptions = append(slices.Clone(full.Assumptions), fmt.Sprintf("tacks count for %s of what they would bear", quantity.Format(f.number("tack_strength"))))
		}
		full.Assumptions = append(slices.Clone(full.Assumptions), "strength in proportion to the length made")
		full.Value *= counts
	}
	if err == nil && full.Value <= 0 {
		err = errors.New("what is made of it counts for nothing")
	}
	f.compare(item, o, "fillet weld, "+kind, load, full, err)
}

func (f *floor) onlySupports(item *model.Item) bool {
	return f.solved() && !slices.ContainsFunc(item.Texts("holds"), func(n string) bool { return f.byName[n] != nil })
}

// weldLine reads a fillet and says what a metre of it bears.
func weldLine(item *model.Item) (strength.Result, strength.FilletGroup, *facts.Fact, error) {
	var g strength.FilletGroup
	v, unknown := need(item, "fillet.leg", "fillet.length", "base.thickness")
	var missing []string
	if unknown != nil {
		missing = unknown.Unknown.Missing
	}
	for _, name := range []string{"fillet.filler", "fillet.layout", "base.material"} {
		if _, ok := look[string](item, name); !ok {
			missing = append(missing, item.Path()+"."+name)
		}
	}
	if len(missing) > 0 {
		none := facts.NotRecorded(missing...)
		return strength.Result{}, g, &none, nil
	}
	g.Leg, g.Length = v[0], v[1]
	if laid, ok := look[quantity.Quantity](item, "found.leg"); ok {
		g.Leg = min(g.Leg, laid.Value) // the drawing asks, what was laid bears
	}
	g.Layout, _ = look[string](item, "fillet.layout")
	if w, ok := look[quantity.Quantity](item, "fillet.width"); ok {
		g.Width = w.Value
	}
	fillerName, _ := look[string](item, "fillet.filler")
	materialName, _ := look[string](item, "base.material")
	filler, err := strength.FillerOf(fillerName)
	if err != nil {
		return strength.Result{}, g, nil, err
	}
	material, err := strength.MaterialOf(materialName)
	if err != nil {
		return strength.Result{}, g, nil, err
	}
	r, err := strength.FilletLine(g.Leg, filler, v[2], material)
	return r, g, nil, err
}

// weldPeak is the greatest force on a metre of the whole weld from all that it
// holds, N/m, and their forces added up, N. The forces of several joints are
// added as if they were worst at the same point. Without the direction of the
// lines the worst of the directions is taken.
func (f *floor) weldPeak(item *model.Item, g strength.FilletGroup) (peak, load float64, working []strength.Step, missing *facts.Fact, err error) {
	centre, ok := look[schema.Vec](item, "fillet.centre")
	if !ok {
		none := facts.NotRecorded(item.Path() + ".fillet.centre")
		return 0, 0, nil, &none, nil
	}
	frames, assumed := weldFrames(item)
	for _, name := range item.Texts("holds") {
		at, vectors, moment, on := f.forcesOn(name)
		if !on {
			continue
		}
		arm := statics.Vec{X: at.X - centre.X, Y: at.Y - centre.Y, Z: at.Z - centre.Z}
		worst, size := 0.0, 0.0
		var force, turn strength.Vec3 // the worst, in the weld's own frame
		var steps []strength.Step
		for _, vector := range vectors {
			size = max(size, math.Sqrt(sq(vector.X)+sq(vector.Y)+sq(vector.Z)))
			m := cross(arm, vector)
			for _, fr := range frames {
				p, w, e := g.Peak(fr.in(vector), fr.in(m))
				if e != nil {
					return 0, 0, nil, nil, e
				}
				if p >= worst {
					worst, force, turn, steps = p, fr.in(vector), fr.in(m), w
				}
			}
		}
		if len(vectors) > 0 {
			steps = append(components(force, turn), steps...)
		}
		if moment > 0 {
			// Its direction is not kept: it may open the lines as well as turn them.
			p, _, e := g.Peak(strength.Vec3{}, strength.Vec3{moment, moment, moment})
			if e != nil {
				return 0, 0, nil, nil, e
			}
			worst += p
		}
		peak += worst
		load += size
		working = append(working, strength.Step{Name: "lever arm of " + name, Value: 1e3 * math.Sqrt(sq(arm.X)+sq(arm.Y)+sq(arm.Z)), Unit: "mm"})
		working = append(working, steps...)
	}
	if assumed {
		working = append(working, strength.Step{Name: "directions tried", Value: float64(len(frames))})
	}
	working = append(working, strength.Step{Name: "length of the lines", Value: g.Length * 1e3, Unit: "mm"})
	if g.Width > 0 {
		working = append(working, strength.Step{Name: "width between the lines", Value: g.Width * 1e3, Unit: "mm"})
	}
	return peak, load, working, nil, nil
}

// components lists a force and a moment in the weld's own frame.
func components(force, moment strength.Vec3) []strength.Step {
	var steps []strength.Step
	for i, axis := range []string{"along the lines", "across the lines", "out of the face"} {
		steps = append(steps, strength.Step{Name: "force " + axis, Value: force[i], Unit: "N"}, strength.Step{Name: "moment about " + axis, Value: moment[i], Unit: "N·m"})
	}
	return steps
}

// forcesOn are the forces that a joint, link end or support puts on what holds it,
// one a load case, and the worst moment of a joint.
func (f *floor) forcesOn(name string) (at statics.Vec, vectors []statics.Vec, moment float64, on bool) {
	m := f.byName[name]
	switch {
	case m == nil:
		i := slices.IndexFunc(f.items, func(s *model.Item) bool { return s.ID == name })
		if i < 0 {
			return at, nil, 0, false
		}
		return f.places[i].At, []statics.Vec{{Z: f.step.Reaction(i).Most}}, 0, true
	case f.setting.isOff(m):
		return at, nil, 0, false
	case m.link:
		ends := f.ends(m.item)
		other := ends[0]
		if other == m {
			other = ends[1]
		}
		r := f.step.Link(f.assembly.links[m.item.ID])
		l := distance(*m.at, *other.at)
		for _, size := range []float64{r.Most, r.Least} {
			vectors = append(vectors, statics.Vec{X: size * (other.at.X - m.at.X) / l, Y: size * (other.at.Y - m.at.Y) / l, Z: size * (other.at.Z - m.at.Z) / l})
		}
		return point(*m.at), vectors, 0, true
	}
	i := f.assembly.joints[name]
	return point(*m.at), f.step.Forces(i), f.step.Joint(i).Moment, true
}

// frame is the weld's own frame: along the lines, across them, out of the face.
type frame [3]statics.Vec

func (fr frame) in(v statics.Vec) strength.Vec3 {
	var out strength.Vec3
	for i, e := range fr {
		out[i] = e.X*v.X + e.Y*v.Y + e.Z*v.Z
	}
	return out
}

// weldFrames gives the weld's frame as recorded, or where it is not, the frames
// along the axes of the vehicle, of which the worst counts.
func weldFrames(item *model.Item) ([]frame, bool) {
	along, okA := look[schema.Vec](item, "fillet.along")
	normal, okN := look[schema.Vec](item, "fillet.normal")
	if okA && okN {
		a, n := unit(point(along)), unit(point(normal))
		across := unit(cross(n, a))
		return []frame{{a, across, cross(a, across)}}, false
	}
	x, y, z := statics.Vec{X: 1}, statics.Vec{Y: 1}, statics.Vec{Z: 1}
	return []frame{{x, y, z}, {x, z, y}, {y, x, z}, {y, z, x}, {z, x, y}, {z, y, x}}, true
}

func cross(a, b statics.Vec) statics.Vec {
	return statics.Vec{X: a.Y*b.Z - a.Z*b.Y, Y: a.Z*b.X - a.X*b.Z, Z: a.X*b.Y - a.Y*b.X}
}

func unit(v statics.Vec) statics.Vec {
	n := math.Sqrt(sq(v.X) + sq(v.Y) + sq(v.Z))
	return statics.Vec{X: v.X / n, Y: v.Y / n, Z: v.Z / n}
}
