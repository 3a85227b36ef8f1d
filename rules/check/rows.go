package check

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/statics"
	"setdown/rules/facts"
	"setdown/rules/vehicle"
	"setdown/rules/verdict"
)

// step is one step of a move: its facts, and what reports show of it.
type step struct {
	facts     *facts.Set
	now       *vehicle.Step
	report    verdict.Step
	strengths map[string]*verdict.Strength // the tightest of each item, by its id
}

// newStep is a step of which it is known whether it was solved.
func newStep(set *facts.Set) *step {
	s := &step{facts: set, now: set.Now, strengths: map[string]*verdict.Strength{}}
	s.report.Name = s.now.Name
	s.solved()
	return s
}

// show makes the rows of the report from the facts of the step.
func (s *step) show() {
	if watch := s.facts.Step.Text("watch"); watch != "" {
		s.report.Watch = append(s.report.Watch, watch)
	}
	if s.now.Unsolved == nil {
		c, spread, m := s.now.Centre()
		s.report.Mass = &verdict.Figure{Value: m, Unit: "kg"}
		s.report.CG = &verdict.Point{X: c.X * 1e3, Y: c.Y * 1e3, Z: c.Z * 1e3, Tol: [3]float64{spread.X * 1e3, spread.Y * 1e3, spread.Z * 1e3}}
	}
	s.compare()
	s.supports()
	s.stability()
	s.loads()
	s.bends()
	s.ways()
	s.report.Outline = s.outline()
}

// compare lists what was compared with a load, tightest first; what is the same but for rounding
// keeps its order.
func (s *step) compare() {
	var list []*facts.Object
	for _, kind := range []string{"restraints", "parts", "joints", "links", "fasteners", "stud_nuts", "welds", "springs"} {
		list = append(list, s.facts.Items[kind]...)
	}
	list = slices.DeleteFunc(list, func(o *facts.Object) bool { return o.Apart() != nil }) // a row is of an item
	for _, support := range s.now.Supports {
		list = append(list, s.facts.Of(support))
	}
	type compared struct {
		of *facts.Object
		*facts.Comparison
	}
	all := make([]compared, 0, len(list))
	for _, o := range list {
		for _, c := range facts.Comparisons(o) {
			all = append(all, compared{o, c})
		}
	}
	slices.SortStableFunc(all, func(a, b compared) int { return cmp.Compare(float32(b.Utilisation), float32(a.Utilisation)) })
	s.report.Strengths = make([]verdict.Strength, len(all))
	for i, c := range all {
		row := &s.report.Strengths[i]
		*row = verdict.Strength{
			Item: c.of.Text("id"), Kind: c.of.Kind, Place: c.of.Text("at_place"), Step: s.now.Name,
			Check: c.Check, Load: verdict.Figure{Value: c.Load, Unit: c.Unit}, Factor: c.Factor, Strength: verdict.Figure{Value: c.Bears.Value, Unit: c.Unit},
			Utilisation: c.Utilisation, NotComputed: c.NotComputed,
			Method: c.Bears.Method, Source: c.Bears.Source, Assumptions: c.Bears.Assumptions,
		}
		row.Working = slices.Grow(row.Working, len(c.Bears.Working))
		for _, w := range c.Bears.Working {
			row.Working = append(row.Working, verdict.Amount{Name: w.Name, Figure: verdict.Figure{Value: w.Value, Unit: w.Unit}})
		}
		if s.strengths[row.Item] == nil {
			s.strengths[row.Item] = row
		}
	}
}

// inKilograms shows a force as the mass it carries: people read scales and plates
// in kilograms.
func inKilograms(newtons float64) *verdict.Figure {
	return &verdict.Figure{Value: math.Round(newtons/vehicle.Gravity*10) / 10, Unit: "kg"}
}

func (s *step) supports() {
	springs := s.facts.OnSprings()
	if springs != nil {
		if cross, four := springs.Cross(); four {
			s.report.Cross = &verdict.Figure{Value: math.Round(cross*1e4) / 100, Unit: "%"}
		}
	}
	for i, item := range s.now.Supports {
		o := s.facts.Of(item)
		row := verdict.Reaction{ID: item.ID, Kind: o.Text("kind"), Under: o.Text("under"), Span: item.Span}
		if at, ok := item.Vec("at"); ok {
			row.At = &verdict.Point{X: at.X * 1e3, Y: at.Y * 1e3, Z: at.Z * 1e3}
		}
		if q, ok := item.Quantity("height"); ok {
			row.Height = &verdict.Figure{Value: math.Round(q.Value * 1e3), Unit: "mm"}
		}
		if q, unknown := o.Quantity("rating"); unknown == nil {
			row.Rated = inKilograms(q.Value)
		}
		if read, weighed := item.Quantity("found.scale"); weighed && row.Kind == "wheel" {
			row.Scale = inKilograms(read.Value)
		}
		if springs != nil {
			if load, on := springs.Load(row.Under); on {
				row.Sprung = inKilograms(load)
			}
		}
		if s.now.Solved() {
			re := s.now.Reaction(i)
			even, _ := o.Quantity("reaction")
			row.Even, row.Least, row.Worst = inKilograms(even.Value), inKilograms(re.Least), inKilograms(re.Most)
			row.Case = re.Case
			row.LetsGo, row.Goes = o.Text("lets_go"), o.Text("goes")
		} else if q, unknown := o.Quantity("load"); unknown == nil {
			row.Worst = inKilograms(q.Value)
		}
		s.report.Supports = append(s.report.Supports, row)
	}
}

func (s *step) stability() {
	st := s.now.Stability()
	if st == nil {
		return
	}
	mm := func(v float64) verdict.Figure { return verdict.Figure{Value: math.Round(v * 1e3), Unit: "mm"} }
	row := &verdict.Stability{}
	for _, i := range st.Corners {
		at := st.Feet[i].At
		row.Polygon = append(row.Polygon, verdict.Point{X: at.X * 1e3, Y: at.Y * 1e3, Z: at.Z * 1e3})
	}
	for _, e := range st.Edges {
		row.Edges = append(row.Edges, verdict.Edge{From: st.Feet[e.From].Name, To: st.Feet[e.To].Name, Nominal: mm(e.Nominal), Worst: mm(e.Worst)})
	}
	e := st.Edges[st.Nearest]
	row.Margin = mm(e.Worst)
	row.TipAngle = verdict.Figure{Value: math.Round(e.Angle * 180 / math.Pi), Unit: "°"}
	if e.Worst > 0 && !math.IsInf(e.Push, 1) {
		row.TipPush = verdict.Figure{Value: math.Round(e.Push), Unit: "N"}
	}
	row.Words = row.In(quantity.Metric)
	if s.now.Works() && s.now.Solved() {
		p, unknown := s.now.Pulls() // at what is known of the hubs; a rule asks for the rest
		row.Pulls = &verdict.Pulls{Tips: pull(p.Tips), Slides: pull(p.Slides), Slews: pull(p.Slews), Partial: unknown != nil}
	}
	s.report.Stability = row
}

func pull(p vehicle.Pull) *verdict.Pull {
	if math.IsInf(p.Force, 1) {
		return nil
	}
	row := &verdict.Pull{Force: verdict.Figure{Value: math.Round(p.Force), Unit: "N"}, Way: p.Way, At: p.At}
	if p.Bar > 0 {
		row.Bar = &verdict.Figure{Value: math.Round(p.Bar * 1e3), Unit: "mm"}
	}
	return row
}

func (s *step) ways() {
	if !s.now.Solved() || len(s.now.Supports) <= 3 {
		return
	}
	for _, w := range s.now.Ways() {
		if len(w.Supports) == len(s.now.Supports) {
			continue // on all of them, as its springs share it
		}
		var row verdict.Rocking
		for k, j := range w.Supports {
			row.Supports = append(row.Supports, s.now.Supports[j].ID)
			row.Carry = append(row.Carry, *inKilograms(w.Carry[k]))
		}
		s.report.Rocking = append(s.report.Rocking, row)
	}
}

func (s *step) loads() {
	if s.now.NoLoads != nil {
		return
	}
	round := func(v float64) *verdict.Figure { return &verdict.Figure{Value: math.Round(v*10) / 10, Unit: "N"} }
	row := func(item *model.Item, kind string, nominal float64, worst string) verdict.Load {
		o, r := s.facts.Of(item), s.now.Resting(item)
		return verdict.Load{
			Item: item.ID, Kind: kind, Place: o.Text("at_place"), Nominal: *round(nominal), Worst: *round(r.Load), Case: worst,
			Carries: r.Carries, LetsGo: r.LetsGo, Goes: r.Goes,
		}
	}
	for _, item := range s.now.Vehicle.Build.Of("links") {
		if ends := s.now.Vehicle.Ends(item); len(ends) == 0 || s.now.Off(ends[0]) {
			continue
		}
		r := s.now.Link(item)
		l := row(item, "link", r.Nominal, r.Case)
		l.Tension, l.Compression = round(max(0, r.Most)), round(max(0, -r.Least))
		s.report.Loads = append(s.report.Loads, l)
	}
	for _, item := range s.now.Vehicle.Build.Of("joints") {
		m := s.now.Vehicle.Meet(item.ID)
		if s.now.Off(m) {
			continue
		}
		j := s.now.Joint(item)
		l := row(item, "joint", r3.Norm(j.Nominal), j.Case)
		if m.Axis != nil {
			p, _ := s.now.Pass(item.ID)
			l.Axial, l.Radial = round(p.Along), round(p.Across)
		}
		s.report.Loads = append(s.report.Loads, l)
	}
}

// bends lists what bends the single pieces, those that are hardly bent too: nobody has to
// write down a section to see where it would count.
func (s *step) bends() {
	for _, o := range s.facts.Items["parts"] {
		b, known := facts.BendOf(o)
		if !known || b.Felt() == 0 {
			continue
		}
		round := func(v float64, unit string) verdict.Figure {
			return verdict.Figure{Value: math.Round(v*10) / 10, Unit: unit}
		}
		s.report.Bends = append(s.report.Bends, verdict.Bend{
			Item: o.Text("id"), Place: o.Text("at_place"), Moment: round(b.Moment, "N·m"), Thrust: round(b.Thrust, "N"), Torsion: round(b.Torsion, "N·m"),
		})
	}
}

// solved says how far the loads were computed, or why not.
func (s *step) solved() {
	n, r := s.now, &s.report
	switch {
	case n.Unsolved != nil && n.Vehicle.Checklist():
		r.Solved = verdict.Checklist
	case n.Unsolved != nil && n.Unsolved.Reason != "":
		r.Solved, r.Reason = verdict.NotSolved, n.Unsolved.Reason
	case n.Unsolved != nil:
		r.Solved, r.Lacks = verdict.Unrecorded, writtenOnce(n.Vehicle.Build, n.Unsolved.Missing, n.Unplaced())
	case n.Failure != "":
		r.Solved, r.Reason = verdict.NoEquilibrium, n.Failure
	case n.Rigid && len(n.Vehicle.Meets) == 0:
		r.Solved = verdict.LumpWithoutJoints
	case n.Rigid:
		r.Solved, r.Lacks = verdict.LumpWithoutPlaces, writtenOnce(n.Vehicle.Build, n.Unplaced())
	default:
		r.Solved = verdict.Solved
	}
}

// writtenOnce lists where what is missing is to be written, each place once.
func writtenOnce(b *model.Build, missing ...[]string) []string {
	var list []string
	for _, path := range slices.Concat(missing...) {
		if at := b.WrittenAt(path); !slices.Contains(list, at) {
			list = append(list, at)
		}
	}
	return list
}

// tightest lists the highest utilisation of each item over the steps, highest
// first, and how much heavier the vehicle may get. All loads grow in proportion
// when every mass does, so the item with the highest utilisation gives first. Where a
// strength could not be computed nobody knows which gives first. A part whose section nobody wrote
// because it is hardly bent may be bent no further than up to where it is asked for, N·m.
func tightest(steps []verdict.Step, asked float64) ([]verdict.Strength, *verdict.Heavier) {
	best := map[string]*verdict.Strength{}
	complete := true
	for _, s := range steps {
		for i := range s.Strengths {
			st := &s.Strengths[i]
			if st.NotComputed != "" {
				complete = false
				continue
			}
			if old := best[st.Item]; old == nil || st.Utilisation > old.Utilisation {
				best[st.Item] = st
			}
		}
	}
	list := make([]verdict.Strength, 0, len(best))
	for _, st := range best {
		list = append(list, *st)
	}
	slices.SortFunc(list, func(a, b verdict.Strength) int {
		return cmp.Or(cmp.Compare(float32(b.Utilisation), float32(a.Utilisation)), cmp.Compare(a.Item, b.Item)) // rounding decides nothing
	})
	if len(list) == 0 || list[0].Utilisation <= 0 || !complete {
		return list, nil
	}
	h := &verdict.Heavier{Share: 1/list[0].Utilisation - 1, Item: list[0].Item}
	first := list[0].Step
	for _, s := range steps {
		for _, b := range s.Bends {
			more := asked/statics.Bend{Moment: b.Moment.Value, Torsion: b.Torsion.Value}.Felt() - 1
			switch _, compared := best[b.Item]; {
			case compared || more >= h.Share:
			case more < 0:
				return list, nil
			default:
				h.Share, h.Item, first = more, b.Item, s.Name
			}
		}
	}
	for _, s := range steps {
		if s.Name == first && s.Mass != nil {
			h.Mass = verdict.Figure{Value: s.Mass.Value * h.Share, Unit: s.Mass.Unit}
		}
	}
	return list, h
}

// lacking lists what the loads of any step wait for, each once.
func lacking(steps []verdict.Step) []string {
	var list []string
	for _, s := range steps {
		for _, path := range s.Lacks {
			if !slices.Contains(list, path) {
				list = append(list, path)
			}
		}
	}
	return list
}

// markSupports writes the gravest outcome on each support beside its reaction.
func (c *checker) markSupports(m *verdict.Move) {
	type at struct{ item, step string }
	worst := map[at]verdict.Outcome{}
	for _, f := range m.Findings {
		for _, step := range f.Steps {
			if was, seen := worst[at{f.Item, step}]; !seen || rank(f.Outcome) < rank(was) {
				worst[at{f.Item, step}] = f.Outcome
			}
		}
	}
	for i := range m.Steps {
		for j := range m.Steps[i].Supports {
			s := &m.Steps[i].Supports[j]
			s.Outcome = cmp.Or(worst[at{s.ID, m.Steps[i].Name}], verdict.Pass)
		}
	}
}
