package derive

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/statics"
	"setdown/model/strength"
	"setdown/rules/facts"
)

// tooSmall says in what a weld was measured to be too small: undercut deeper than 1 mm, a
// leg more than 2 mm shorter than drawn, or not half of its length; nothing where nobody
// measured.
func tooSmall(item *model.Item) string {
	var words []string
	if undercut, _ := look[quantity.Quantity](item, "found.undercut"); undercut.Value > 0.001 {
		words = append(words, fmt.Sprintf("undercut of %s, 1 mm is the most", undercut))
	}
	if legs, unknown := need(item, "fillet.leg", "found.leg"); unknown == nil && legs[0]-legs[1] > 0.002 {
		words = append(words, fmt.Sprintf("a leg of %s where %s is drawn", length(legs[1]), length(legs[0])))
	}
	if lengths, unknown := need(item, "fillet.length", "found.made_length"); unknown == nil && lengths[1] < lengths[0]/2 {
		words = append(words, fmt.Sprintf("%s of %s made, half is the least", length(lengths[1]), length(lengths[0])))
	}
	return strings.Join(words, "; ")
}

// weldFit derives what follows from sizes alone.
func (d *Deriver) weldFit(item *model.Item, o *facts.Object) {
	o.Derive("made_share", madeShare(item))
	small := tooSmall(item)
	o.Derive("too_small", facts.Known(small != ""))
	o.Derive("too_small_words", facts.Known(small))
	o.Derive("one_line", facts.Known(oneLine(item)))
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
		f.unknownStrength(o, *f.none, "would_bear")
		return
	}
	carries, unknown := o.Get("carries")
	if unknown == nil && carries == "nothing" {
		o.Derive("utilisation", known(number(0)))
		return
	}
	weld, missing, err := readFillet(item)
	if missing != nil {
		f.unknownStrength(o, *missing, "would_bear")
		return
	}
	if err != nil {
		o.Derive("would_bear", facts.NotComputed("%v", err))
		f.compare(item, o, "fillet weld", 0, strength.Result{}, err)
		return
	}
	made, missing := madeLength(item)
	if missing != nil {
		f.unknownStrength(o, *missing, "would_bear")
		return
	}
	w, err := f.weldLoad(item, weld.group)
	kind, _ := item.Text("found.made")
	full := weld.bears
	full.Assumptions = append(slices.Clone(full.Assumptions), w.assumed...)
	full.Working = append(slices.Clone(full.Working), w.working...)
	if err != nil {
		o.Derive("would_bear", facts.NotComputed("%v", err))
		f.compare(item, o, "fillet weld, "+kind, w.sum, full, err)
		return
	}
	if full.Value *= weld.group.Length; w.peak > 0 {
		full.Value = weld.bears.Value / w.peak * w.sum
		full.Assumptions = append(full.Assumptions, "strength of the whole weld against a force placed and directed like this one: what a millimetre bears ÷ peak × load")
	}
	share := min(1, made/weld.group.Length)
	o.Derive("would_bear", known(force(full.Value*share)))
	if share < 1 || kind == "tack" {
		full.Value *= share
		full.Assumptions = append(full.Assumptions, "strength in proportion to the length made")
	}
	if kind == "tack" {
		full.Value *= f.number("tack_strength")
		full.Assumptions = append(full.Assumptions, fmt.Sprintf("tacks count for %s of what they would bear", quantity.Format(f.number("tack_strength"))))
	}
	if full.Value <= 0 {
		err = errors.New("what is made of it counts for nothing")
	}
	f.compare(item, o, "fillet weld, "+kind, w.sum, full, err)
}

func (f *floor) onlySupports(item *model.Item) bool {
	return f.solved() && !slices.ContainsFunc(item.Texts("holds"), func(n string) bool { return f.byName[n] != nil })
}

// fillet is a weld as it counts: its lines, and what a metre of them bears.
type fillet struct {
	group strength.FilletGroup
	bears strength.Result
}

// readFillet reads a fillet, as drawn or, where less was laid, as laid.
func readFillet(item *model.Item) (w fillet, unknown *facts.Fact, err error) {
	names := []string{"fillet.leg", "fillet.length", "base.thickness"}
	layout, _ := look[string](item, "fillet.layout")
	between := layout == "two lines" || layout == "rectangle"
	if between {
		names = append(names, "fillet.width")
	}
	v, unknown := need(item, names...)
	var missing []string
	if unknown != nil {
		missing = unknown.Unknown.Missing
	}
	for _, name := range []string{"fillet.filler", "fillet.layout", "base.material"} {
		if _, ok := look[string](item, name); !ok {
			missing = append(missing, item.Path()+"."+name)
		}
	}
	if _, ok := look[schema.Vec](item, "fillet.centre"); !ok {
		missing = append(missing, item.Path()+".fillet.centre")
	}
	if len(missing) > 0 {
		none := facts.NotRecorded(missing...)
		return w, &none, nil
	}
	if oneLine(item) {
		return w, nil, errors.New("only one of its two lines is made, and a moment peels it")
	}
	w.group = strength.FilletGroup{Layout: layout, Leg: v[0], Length: v[1]}
	if laid, ok := look[quantity.Quantity](item, "found.leg"); ok {
		w.group.Leg = min(w.group.Leg, laid.Value) // the drawing asks, what was laid bears
	}
	plate := v[2]
	var assumed []string
	if between {
		w.group.Width = v[3]
		if w.group.Width <= plate+2.5*v[0] { // between the middles of the fillets as drawn
			// Both lines lie on the two faces of one plate, which shears once.
			plate /= 2
			assumed = append(assumed, "both lines lie on one plate: half its thickness stands behind each")
		}
	}
	fillerName, _ := look[string](item, "fillet.filler")
	materialName, _ := look[string](item, "base.material")
	filler, err := strength.FillerOf(fillerName)
	if err != nil {
		return w, nil, err
	}
	material, err := strength.MaterialOf(materialName)
	if err != nil {
		return w, nil, err
	}
	w.bears, err = strength.FilletLine(w.group.Leg, filler, plate, material)
	w.bears.Assumptions = append(w.bears.Assumptions, assumed...)
	return w, nil, err
}

// oneLine reports whether no more than one of two drawn lines is made: by the sides that
// were counted, or else because no more than half of the length is.
func oneLine(item *model.Item) bool {
	layout, _ := look[string](item, "fillet.layout")
	if made, _ := item.Text("found.made"); layout != "two lines" || made != "part" && made != "full" {
		return false
	}
	if sides, counted := look[int64](item, "found.sides"); counted {
		return sides < 2
	}
	made, measured := look[quantity.Quantity](item, "found.made_length")
	drawn, ok := look[quantity.Quantity](item, "fillet.length")
	return measured && ok && made.Value <= drawn.Value/2
}

// weldLoad is what a weld has to pass.
type weldLoad struct {
	peak    float64 // the greatest force on a metre of the whole weld, N/m
	sum     float64 // the forces added up, N
	working []strength.Step
	assumed []string
}

// weldLoad adds what all that a weld holds puts on it, as if each were worst at the
// same point.
func (f *floor) weldLoad(item *model.Item, g strength.FilletGroup) (w weldLoad, err error) {
	centre, _ := look[schema.Vec](item, "fillet.centre")
	fr, framed := weldFrame(item)
	if !framed {
		w.assumed = append(w.assumed, "fillet.along and fillet.normal not recorded: the lines taken as turned the worst way")
	}
	peak := func(force, moment statics.Vec) (float64, []strength.Step, error) {
		if !framed {
			return g.PeakAnyWay(r3.Norm(force), r3.Norm(moment))
		}
		force, moment = fr.in(force), fr.in(moment)
		p, steps, err := g.Peak(force, moment)
		return p, append(components(force, moment), steps...), err
	}
	for _, name := range item.Texts("holds") {
		at, vectors, moment, on := f.forcesOn(name)
		if !on {
			continue
		}
		arm := r3.Sub(at, point(centre))
		worst, size := 0.0, 0.0
		var steps []strength.Step
		for _, force := range vectors {
			size = max(size, r3.Norm(force))
			p, s, err := peak(force, r3.Cross(arm, force))
			if err != nil {
				return w, err
			}
			if p >= worst {
				worst, steps = p, s
			}
		}
		if moment > 0 {
			p, _, err := g.PeakAnyWay(0, moment) // its direction is not kept
			if err != nil {
				return w, err
			}
			worst += p
		}
		w.peak += worst
		w.sum += size
		w.working = append(w.working, strength.Step{Name: "lever arm of " + name, Value: 1e3 * r3.Norm(arm), Unit: "mm"})
		w.working = append(w.working, steps...)
	}
	w.working = append(w.working, strength.Step{Name: "length of the lines", Value: g.Length * 1e3, Unit: "mm"})
	if g.Width > 0 {
		w.working = append(w.working, strength.Step{Name: "width between the lines", Value: g.Width * 1e3, Unit: "mm"})
	}
	return w, nil
}

// components lists a force and a moment in the weld's own frame.
func components(force, moment statics.Vec) []strength.Step {
	var steps []strength.Step
	along := func(axis string, force, moment float64) {
		steps = append(steps, strength.Step{Name: "force " + axis, Value: force, Unit: "N"}, strength.Step{Name: "moment about " + axis, Value: moment, Unit: "N·m"})
	}
	along("along the lines", force.X, moment.X)
	along("across the lines", force.Y, moment.Y)
	along("out of the face", force.Z, moment.Z)
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
		return f.places[i].At, f.step.Pushes(i), 0, true
	case f.setting.isOff(m):
		return at, nil, 0, false
	case m.link:
		r := f.step.Link(f.assembly.links[m.item.ID])
		along := r3.Unit(r3.Sub(point(*f.far(m).at), point(*m.at)))
		for _, size := range []float64{r.Most, r.Least} {
			vectors = append(vectors, r3.Scale(size, along))
		}
		return point(*m.at), vectors, 0, true
	}
	i := f.assembly.joints[name]
	return point(*m.at), f.step.Forces(i), f.step.Joint(i).Moment, true
}

// frame is the weld's own frame: along the lines, across them, out of the face.
type frame [3]statics.Vec

func (fr frame) in(v statics.Vec) statics.Vec {
	return statics.Vec{X: r3.Dot(fr[0], v), Y: r3.Dot(fr[1], v), Z: r3.Dot(fr[2], v)}
}

// weldFrame is the weld's frame as recorded.
func weldFrame(item *model.Item) (frame, bool) {
	along, okA := look[schema.Vec](item, "fillet.along")
	normal, okN := look[schema.Vec](item, "fillet.normal")
	a := r3.Unit(point(along))
	across := r3.Unit(r3.Cross(point(normal), a))
	return frame{a, across, r3.Cross(a, across)}, okA && okN
}
