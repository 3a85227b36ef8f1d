package derive

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/statics"
	"setdown/rules/facts"
	"setdown/rules/verdict"
)

// How reports and facts begin to say that a step has no equilibrium.
const (
	DoesNotStand  = "it does not stand: "
	NoEquilibrium = "no equilibrium: "
)

// Steps derives the facts of every step of a move, in order. What is to be done with
// each as soon as it is derived is done side by side.
func (d *Deriver) Steps(move *model.Item, each func(*Step)) []*Step {
	list, _ := move.List("steps")
	records := make([]*schema.Record, len(list))
	for i, v := range list {
		records[i] = v.V.(*schema.Record)
	}
	steps := make([]*Step, len(records))
	panics := make([]any, len(records))
	var wait sync.WaitGroup
	for i := range records {
		wait.Go(func() {
			defer func() {
				if p := recover(); p != nil {
					panics[i] = p
				}
			}()
			steps[i] = d.oneStep(move, records, i)
			each(steps[i])
		})
	}
	wait.Wait()
	for _, p := range panics {
		if p != nil {
			panic(p) // where the caller can recover it
		}
	}
	return steps
}

func (d *Deriver) oneStep(move *model.Item, records []*schema.Record, i int) *Step {
	record := records[i]
	name, _ := record.Text("name")
	out := &Step{Strengths: map[string][]verdict.Strength{}}
	out.Report = verdict.Step{Name: name, Solved: "yes"}
	if watch, ok := record.Text("watch"); ok {
		out.Report.Watch = append(out.Report.Watch, watch)
	}
	kind, _ := move.Text("kind")
	push := d.number("side_push")
	if kind == "roll" {
		push = d.number("side_push_roll")
	}
	pitch, _ := record.Quantity("pitch")
	set := d.setting(record)
	a := d.assemble(set)
	f := &floor{Deriver: d, setting: set, all: d.fresh(), split: map[*meet]passes{}, uses: map[*facts.Object]facts.Fact{}, out: out}
	f.stand = d.stand(a, record.Texts("supports"), statics.Attitude{Pitch: pitch.Value, Push: push})
	f.none = d.noLoads(f.stand, set)
	if err := f.passAll(); err != nil {
		none := facts.NotComputed("%v", err)
		f.none, f.unknown = &none, &none
	}
	f.carryAll()
	f.strengths()
	f.supportFacts()
	f.gear(records, i)

	out.Facts = &facts.Set{
		Move: d.moveObject(move, records), Step: f.stepObject(move.Path(), records, i), Vehicle: f.vehicleObject(),
		Site: facts.NewObject(facts.KindOf("site"), "site", d.build.Site), Policy: d.policy, Items: f.all, Today: d.today,
	}
	f.report(pitch.Value)
	return out
}

func (d *Deriver) moveObject(move *model.Item, records []*schema.Record) *facts.Object {
	o := facts.NewObject(facts.KindOf("moves"), move.Path(), move.Record)
	o.Derive("id", facts.Known(move.ID))
	o.Derive("step_count", facts.Known(int64(len(records))))
	o.Derive("part_off", facts.Known(slices.ContainsFunc(records, func(r *schema.Record) bool { return len(r.Texts("off")) > 0 })))
	leaves := false
	for _, r := range records[:max(0, len(records)-1)] {
		leaves = leaves || d.anySupport(r, "table", "dolly")
	}
	o.Derive("leaves_table", facts.Known(leaves && !d.anySupport(records[len(records)-1], "table", "dolly")))
	return o
}

// anySupport reports whether a step rests on a support of one of the kinds.
func (d *Deriver) anySupport(step *schema.Record, kinds ...string) bool {
	return slices.ContainsFunc(step.Texts("supports"), func(id string) bool {
		kind, _ := d.build.Item(id).Text("kind")
		return slices.Contains(kinds, kind)
	})
}

func (f *floor) vehicleObject() *facts.Object {
	o := facts.NewObject(facts.KindOf("vehicle"), "vehicle", f.build.Vehicle)
	weight, missing := f.wholeWeight()
	o.Derive("mass", known(mass(weight/statics.Gravity)))
	if len(missing) > 0 {
		o.Derive("mass", facts.NotRecorded(missing...))
	}
	o.Derive("masses_known", facts.Known(len(f.assembly.missing) == 0))
	o.Derive("geometry_known", facts.Known(len(f.meets) > 0))
	return o
}

func (f *floor) stepObject(move string, records []*schema.Record, i int) *facts.Object {
	record := records[i]
	path := fmt.Sprintf("%s.steps[%s].", move, f.out.Report.Name)
	o := facts.NewObject(facts.KindOf("steps"), "step", nil)
	set := func(name string, v any) { o.Derive(name, facts.Known(v)) }
	set("name", f.out.Report.Name)
	set("first", i == 0)
	set("last", i == len(records)-1)
	pitch, ok := record.Quantity("pitch")
	if !ok {
		pitch = angle(0)
	}
	set("pitch", pitch)
	f.heightFacts(o, pitch)
	set("unlifted", f.unlifted(records, i))
	o.Derive("stage", facts.NotRecorded(path+"stage"))
	if q, ok := record.Quantity("stage"); ok {
		set("stage", q)
	}
	o.Derive("people", facts.NotRecorded(path+"people"))
	if n, ok := record.Count("people"); ok {
		set("people", n)
	}
	watch, _ := record.Text("watch")
	set("watch", watch)
	set("support_count", int64(len(f.items)))
	for name, kinds := range map[string][]string{
		"on_hoist": {"hoist pad"}, "on_stands": {"stand", "crib", "trestle"}, "on_wheels": {"wheel"},
		"on_dolly": {"dolly", "table"}, "on_jack": {"jack"}, "on_crane": {"crane"},
	} {
		set(name, f.anySupport(record, kinds...))
	}
	later := slices.ContainsFunc(records[i+1:], func(r *schema.Record) bool { return len(r.Texts("off")) > 0 })
	set("part_off_later", later)
	f.stepEquilibrium(o, pitch.Value)
	f.stepParts(o)
	return o
}

// unlifted names the supports that a step takes over from the one before although the
// vehicle could not stay up in between: on the supports of both steps and on the jacks, cranes
// and hoist pads of either. Where nobody can work out whether it stands, any such gear will do.
func (f *floor) unlifted(records []*schema.Record, i int) string {
	if i == 0 {
		return "nothing"
	}
	before, now := records[i-1].Texts("supports"), records[i].Texts("supports")
	taken := slices.DeleteFunc(slices.Clone(now), func(id string) bool { return slices.Contains(before, id) })
	if len(taken) == 0 {
		return "nothing"
	}
	var between []string
	lifted := false
	for _, id := range slices.Concat(now, before) {
		kind, _ := f.build.Item(id).Text("kind")
		gear := kind == "jack" || kind == "crane" || kind == "hoist pad"
		lifted = lifted || gear
		if (gear || slices.Contains(now, id) && slices.Contains(before, id)) && !slices.Contains(between, id) {
			between = append(between, id)
		}
	}
	if lifted {
		if s := f.Deriver.stand(f.assembly, between, f.attitude); s.unknown != nil || s.solved() {
			return "nothing"
		}
	}
	return strings.Join(slices.DeleteFunc(taken, func(id string) bool { return slices.Contains(between, id) }), ", ")
}

// mostContradiction is how far set heights may tilt the vehicle otherwise than the step
// says, rad: they are read to some millimetres and supports have play.
const mostContradiction = 3 * math.Pi / 180

// setHeights are the supports that are set to a height. Where one of a step has it recorded,
// the others are asked for theirs.
var setHeights = []string{"stand", "crib", "trestle", "table", "hoist pad"}

// heightFacts compares the attitude that follows from the set heights of the supports
// with the step's own. A wheel without a height stands on the floor.
func (f *floor) heightFacts(o *facts.Object, pitch quantity.Quantity) {
	var floor []statics.Vec
	var missing []string
	heights := false
	for _, s := range f.items {
		at, placed := s.Vec("at")
		height, set := s.Quantity("height")
		kind, _ := s.Text("kind")
		switch {
		case placed && (set || kind == "wheel"):
			p := point(at)
			p.Z -= height.Value
			floor = append(floor, p)
		case !set && slices.Contains(setHeights, kind):
			missing = append(missing, s.Path()+".height")
		}
		heights = heights || set && slices.Contains(setHeights, kind)
	}
	tenth := func(rad float64) float64 { return math.Round(rad*1800/math.Pi) * math.Pi / 1800 }
	nose, left, ok := statics.Lean(floor)
	o.Derive("tilt", known(angle(tenth(max(math.Abs(pitch.Value), math.Abs(nose), math.Abs(left))))))
	switch {
	case ok:
		o.Derive("height_pitch", known(angle(tenth(nose))))
		o.Derive("height_roll", known(angle(tenth(left))))
	default:
		why := facts.NotComputed("fewer than three of its supports have a height and a place")
		o.Derive("height_pitch", why)
		o.Derive("height_roll", why)
	}
	switch {
	case ok && (math.Abs(nose-pitch.Value) > mostContradiction || math.Abs(left) > mostContradiction):
		o.Derive("heights_contradict", facts.Known(true))
	case heights && len(missing) > 0:
		o.Derive("heights_contradict", facts.NotRecorded(missing...))
	default:
		o.Derive("heights_contradict", facts.Known(false))
	}
}

// stepEquilibrium writes whether the vehicle stands and how far it is from
// tipping.
func (f *floor) stepEquilibrium(o *facts.Object, pitch float64) {
	switch {
	case f.unknown != nil:
		o.Derive("solved", *f.unknown)
		o.Derive("motion", *f.unknown)
	default:
		o.Derive("solved", facts.Known(f.failure == ""))
		o.Derive("motion", facts.Known(f.failure))
	}
	o.Derive("checklist_tips", facts.Known(f.checklist() && f.unknown == nil && f.failure != ""))
	names := []string{"stands", "tip_margin", "tip_span", "tip_angle", "tip_push", "triangle"}
	if f.unknown != nil {
		for _, n := range names {
			o.Derive(n, *f.unknown)
		}
		return
	}
	st := f.model.Stability(f.places, pitch)
	if st == nil {
		o.Derive("stands", facts.Known(false))
		o.Derive("triangle", facts.Known(false))
		for _, n := range names[1:5] {
			o.Derive(n, facts.NotComputed("the supports do not span a polygon"))
		}
		return
	}
	e := st.Edges[st.Nearest]
	o.Derive("stands", facts.Known(e.Worst > 0))
	o.Derive("tip_margin", known(length(e.Worst)))
	o.Derive("tip_span", known(length(e.Span)))
	o.Derive("tip_angle", known(angle(e.Angle)))
	o.Derive("tip_push", known(force(min(e.Push, 1e9))))
	o.Derive("triangle", facts.Known(len(st.Corners) == 3))
}

// stepParts writes what hangs, what stands under suspension, and whether a rigid
// stand-in carries the vehicle.
func (f *floor) stepParts(o *facts.Object) {
	under := facts.Known(false)
	for _, item := range f.items {
		v, unknown := f.object(item).Get("on_suspension")
		switch {
		case unknown != nil:
			under = facts.Fact{Unknown: unknown}
		case v == true:
			under = facts.Known(true)
		}
		if v == true {
			break
		}
	}
	o.Derive("under_suspension", under)
	hangs, rigid := facts.Known(false), facts.Known(false)
	for _, item := range f.build.Of("links") {
		link := f.object(item)
		carries, unknown := link.Get("carries")
		temporary, _ := item.Bool("temporary")
		switch {
		case unknown != nil:
			hangs = facts.Fact{Unknown: unknown}
			if temporary {
				rigid = facts.Fact{Unknown: unknown}
			}
		case carries == "vehicle" && temporary:
			rigid = facts.Known(true)
		}
		if fate, unknown := link.Get("lets_go"); unknown == nil && fate == "drops" {
			hangs = facts.Known(true)
		}
	}
	o.Derive("part_hangs", hangs)
	o.Derive("rigid_corner", rigid)
}

// report fills in what reports show of the step.
func (f *floor) report(pitch float64) {
	r := &f.out.Report
	switch {
	case f.checklist() && f.unknown != nil:
		r.Solved = "a checklist: no loads and no stability are computed"
	case f.unknown != nil && f.unknown.Unknown.Reason != "":
		r.Solved = f.unknown.Unknown.Reason
	case f.unknown != nil:
		n := len(f.unknown.Unknown.Missing)
		r.Solved = fmt.Sprintf("no loads computed: not recorded %s", f.unknown.Unknown.Missing[0])
		if n > 1 {
			r.Solved += fmt.Sprintf(" and %d more", n-1)
		}
	case f.failure != "":
		r.Solved = DoesNotStand + f.failure
	case f.rigid && len(f.meets) == 0:
		r.Solved = "taken as one rigid lump: the file lists no joints, so no forces inside are computed"
	case f.rigid:
		r.Solved = "taken as one rigid lump for its supports: places of joints are not recorded, so no forces inside are computed"
	}
	if f.unknown == nil {
		c, m := f.model.Centre()
		spread := f.model.CentreSpread()
		r.Mass = &verdict.Figure{Value: m, Unit: "kg"}
		r.CG = &verdict.Point{X: c.X * 1e3, Y: c.Y * 1e3, Z: c.Z * 1e3, Tol: [3]float64{spread.X * 1e3, spread.Y * 1e3, spread.Z * 1e3}}
	}
	f.reportSupports()
	f.reportStability(pitch)
	f.reportLoads()
	f.reportWays()
	r.Outline = f.outline()
}

func (f *floor) reportSupports() {
	for i, item := range f.items {
		o := f.object(item)
		kind, _ := item.Text("kind")
		under, _ := item.Text("under")
		row := verdict.Reaction{ID: item.ID, Kind: kind, Under: under, Span: item.Span}
		if at, ok := item.Vec("at"); ok {
			row.At = &verdict.Point{X: at.X * 1e3, Y: at.Y * 1e3, Z: at.Z * 1e3}
		}
		if q, unknown := o.Quantity("rating"); unknown == nil {
			row.Rated = inKilograms(q.Value)
		}
		if f.solved() {
			re := f.step.Reaction(i)
			row.Even, row.Least, row.Worst = inKilograms(re.Nominal), inKilograms(re.Least), inKilograms(re.Most)
			row.Case = re.Case
			row.LetsGo, row.Goes = f.rests[item.ID].fate.String(), f.rests[item.ID].goes
		} else if q, unknown := o.Quantity("load"); unknown == nil {
			row.Worst = inKilograms(q.Value)
		}
		f.out.Report.Supports = append(f.out.Report.Supports, row)
	}
}

// inKilograms shows a force as the mass it carries: people read scales and plates
// in kilograms.
func inKilograms(newtons float64) *verdict.Figure {
	return &verdict.Figure{Value: math.Round(newtons/statics.Gravity*10) / 10, Unit: "kg"}
}

func (f *floor) reportStability(pitch float64) {
	if f.unknown != nil {
		return
	}
	st := f.model.Stability(f.places, pitch)
	if st == nil {
		return
	}
	mm := func(v float64) verdict.Figure { return verdict.Figure{Value: math.Round(v * 1e3), Unit: "mm"} }
	s := &verdict.Stability{}
	for _, i := range st.Corners {
		at := f.places[i].At
		s.Polygon = append(s.Polygon, verdict.Point{X: at.X * 1e3, Y: at.Y * 1e3, Z: at.Z * 1e3})
	}
	for _, e := range st.Edges {
		s.Edges = append(s.Edges, verdict.Edge{From: f.places[e.From].Name, To: f.places[e.To].Name, Nominal: mm(e.Nominal), Worst: mm(e.Worst)})
	}
	e := st.Edges[st.Nearest]
	s.Margin = mm(e.Worst)
	s.TipAngle = verdict.Figure{Value: math.Round(e.Angle * 180 / math.Pi), Unit: "°"}
	s.Words = fmt.Sprintf("centre of gravity %s inside the line %s to %s, worst over the ±", s.Margin, f.places[e.From].Name, f.places[e.To].Name)
	if e.Worst <= 0 {
		s.Words = fmt.Sprintf("centre of gravity may be %s OUTSIDE the line %s to %s", mm(-e.Worst), f.places[e.From].Name, f.places[e.To].Name)
	} else if !math.IsInf(e.Push, 1) {
		s.TipPush = verdict.Figure{Value: math.Round(e.Push), Unit: "N"}
	}
	if len(st.Corners) == 3 {
		s.Words = "three supports are a triangle: " + s.Words
	}
	f.out.Report.Stability = s
}

func (f *floor) reportWays() {
	if !f.solved() || len(f.items) <= 3 {
		return
	}
	for _, w := range f.step.Ways() {
		var row verdict.Rocking
		for k, j := range w.Supports {
			row.Supports = append(row.Supports, f.items[j].ID)
			row.Carry = append(row.Carry, *inKilograms(w.Carry[k]))
		}
		f.out.Report.Rocking = append(f.out.Report.Rocking, row)
	}
}

func (f *floor) reportLoads() {
	if f.none != nil {
		return
	}
	round := func(v float64) *verdict.Figure { return &verdict.Figure{Value: math.Round(v*10) / 10, Unit: "N"} }
	for _, item := range f.build.Of("links") {
		i, on := f.assembly.links[item.ID]
		if !on {
			continue
		}
		r, p := f.step.Link(i), f.links[item.ID]
		f.out.Report.Loads = append(f.out.Report.Loads, verdict.Load{
			Item: item.ID, Kind: "link", Place: f.Place(item), Nominal: *round(r.Nominal), Tension: round(max(0, r.Most)), Compression: round(max(0, -r.Least)),
			Worst: *round(p.load), Case: r.Case, Carries: p.carries, LetsGo: p.fate.String(), Goes: p.goes,
		})
	}
	for _, item := range f.build.Of("joints") {
		i, on := f.assembly.joints[item.ID]
		if !on {
			continue
		}
		j, p, m := f.step.Joint(i), f.joints[item.ID], f.byName[item.ID]
		row := verdict.Load{
			Item: item.ID, Kind: "joint", Place: f.Place(item), Nominal: *round(r3.Norm(j.Nominal)), Worst: *round(j.Worst), Case: j.Case,
			Carries: p.carries, LetsGo: p.fate.String(), Goes: p.goes,
		}
		if m.axis != nil {
			split := f.pass(m)
			row.Axial, row.Radial = round(split.axial), round(split.radial)
		}
		f.out.Report.Loads = append(f.out.Report.Loads, row)
	}
}
