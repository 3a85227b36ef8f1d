// Package ways looks for another way to make a move that is stopped: the ways that a
// builder would try with what is there. Each is a copy of the build state in which the move
// is made otherwise, judged in full by the same judgement as the move itself; nothing is
// guessed, and what nobody recorded of a strap that the file does not have is asked. A bar to
// be fitted or a tack to be finished is on the work list of the move, and no other way.
//
// It judges nothing and changes nothing of the state that it was given.
package ways

import (
	"cmp"
	"context"
	"slices"

	"setdown/model"
	"setdown/model/schema"
	"setdown/rules/check"
	"setdown/rules/engine"
	"setdown/rules/vehicle"
	"setdown/rules/verdict"
)

// asAnswers is how many answers a job is counted as: it takes a tool, often a part and a
// day, where an answer takes a look.
const asAnswers = 4

// most is how many other moves of the file are tried: each costs as much as the question
// that was asked.
const most = 4

// Find puts into the report of a single move that is NO-GO what is left once its work list
// is done, and the way with the least left to do, if one has less left than the move itself.
// A report that is GO, or of several moves, stays as it is. The state with the work done is
// read with load, which lays what it is given over what the file says.
func Find(ctx context.Context, b *model.Build, load func([]model.Assumption) (*model.Build, error), e *engine.Engine, o check.Options, r *verdict.Report) error {
	if len(r.Moves) != 1 || r.Moves[0].Decision == verdict.Go || len(b.Troubles) > 0 {
		return nil
	}
	f := finder{build: b, vehicle: vehicle.New(b, vehicle.Policy{}), move: &r.Moves[0]}
	judge := func(w *verdict.Way, b *model.Build) error {
		o.Moves = []string{w.Move}
		judged, err := check.Run(ctx, b, e, o)
		if err != nil {
			return err
		}
		m := &judged.Moves[0]
		w.Title, w.Decision, w.Unsolved = m.Title, m.Decision, m.Unsolved
		w.Jobs += work(m)
		w.Facts, w.Cautions = m.FactsMissing(), cautions(m)
		return nil
	}
	if sets := f.done(); sets != nil {
		done, err := load(sets)
		if err != nil {
			return err
		}
		f.move.Done = &verdict.Way{Move: f.move.ID}
		if err := judge(f.move.Done, done); err != nil {
			return err
		}
	}
	var best *verdict.Way
	least := leftOf(f.move)
	least.answers = least.answers * 2 / 3 // another way is a bother: it has to save a third
	for _, t := range append(f.otherwise(), f.others()...) {
		if err := judge(&t.way, t.build); err != nil {
			return err
		}
		if l := left(t.way); l.less(least) {
			best, least = &t.way, l
		}
		if least == (remains{}) {
			break // nothing has less left
		}
	}
	f.move.Another = best
	return nil
}

// remains is what is left to do of a move, in the order of its weight.
type remains struct {
	noLoads, stopped bool
	answers          int // that its jobs and facts count as
}

func (a remains) less(b remains) bool {
	switch {
	case a.noLoads != b.noLoads:
		return b.noLoads
	case a.stopped != b.stopped:
		return b.stopped
	}
	return a.answers < b.answers
}

func left(w verdict.Way) remains {
	return remains{w.Unsolved, w.Decision != verdict.Go, asAnswers*w.Jobs + w.Facts}
}

func leftOf(m *verdict.Move) remains {
	return left(verdict.Way{Decision: m.Decision, Unsolved: m.Unsolved, Jobs: work(m), Facts: m.FactsMissing()})
}

// cautions counts what a move is to be done with care for: a rule once, of however many items.
func cautions(m *verdict.Move) int {
	rules := map[string]bool{}
	for _, f := range m.Of(verdict.Caution) {
		rules[f.Rule] = true
	}
	return len(rules)
}

// work counts the jobs of a move; facts to be written down are counted apart.
func work(m *verdict.Move) int {
	n := 0
	for _, j := range m.Punch.Jobs {
		if j.Phase != "record" {
			n++
		}
	}
	return n
}

// try is one way with the build state in which the move is made so.
type try struct {
	way   verdict.Way
	build *model.Build
}

type finder struct {
	build   *model.Build
	vehicle *vehicle.Vehicle
	move    *verdict.Move
}

// done is what the file says once the work list of the move is done; nil where a line of
// it does not say what that is. What is only to be looked at stays as it is.
func (f *finder) done() []model.Assumption {
	var sets []model.Assumption
	for _, j := range f.move.Punch.Jobs {
		said := j.Phase == "record"
		for _, s := range j.Sets {
			if s.Value != "" {
				sets = append(sets, model.Assumption{Path: s.Name, Value: s.Value})
				said = true
			}
		}
		if !said {
			return nil
		}
	}
	return sets
}

// otherwise lists the ways to make the move itself otherwise, those that take least first.
func (f *finder) otherwise() []try {
	var tries []try
	add := func(changes ...func(*try) bool) {
		t := try{way: verdict.Way{Move: f.move.ID}, build: f.build.Clone()}
		for _, change := range changes {
			if !change(&t) {
				return // there is nothing to change
			}
		}
		t.way.As = f.as(&t)
		tries = append(tries, t)
	}
	add(f.tied)
	add(f.underFrame)
	add(f.underFrame, f.tied)
	add(f.off)
	return tries
}

// others lists the other moves of the file that do the same: of the same kind, and one that
// sets the vehicle on its wheels for one that does.
func (f *finder) others() []try {
	var tries []try
	this := f.build.Item(f.move.ID)
	for _, m := range f.build.Of("moves") {
		kind, _ := m.Text("kind")
		if m == this || kind != f.move.Kind || kind != "roll" && f.onWheels(m) != f.onWheels(this) || len(tries) == most {
			continue
		}
		tries = append(tries, try{way: verdict.Way{Move: m.ID, As: m.ID}, build: f.build})
	}
	return tries
}

// onWheels reports whether the vehicle stands on a wheel in the end.
func (f *finder) onWheels(move *model.Item) bool {
	list := move.Steps()
	return f.vehicle.AnySupport(list[len(list)-1], vehicle.OfKind("wheel"))
}

// as names the move of the file that is made just so.
func (f *finder) as(t *try) string {
	made := t.build.Item(f.move.ID)
	for _, m := range f.build.Of("moves") {
		if m.ID != f.move.ID && slices.EqualFunc(m.Steps(), made.Steps(), alike) {
			return m.ID
		}
	}
	return ""
}

// alike reports whether the vehicle rests in the same way in two steps.
func alike(a, b *schema.Record) bool {
	for _, field := range []string{"supports", "restraints", "off"} {
		x, y := a.Texts(field), b.Texts(field)
		slices.Sort(x)
		slices.Sort(y)
		if !slices.Equal(x, y) {
			return false
		}
	}
	return true
}

// hanging is what one strap, or a pair, holds up: the suspension of a corner, or an axle.
type hanging struct {
	name  string // of the place or the axle
	parts []string
}

// tied ties up the corners and axles at which something stops the move, all that there are
// where it names none: with what the file has for it, else with a strap that nobody has
// looked at yet.
func (f *finder) tied(t *try) bool {
	list := f.stoppedAt(f.suspension())
	for _, h := range list {
		strap := f.strap(h.parts)
		id := ""
		for _, step := range t.build.Item(f.move.ID).Steps() {
			if !hangs(t.build, step, h.parts) {
				continue
			}
			if id == "" {
				if id = strap; id == "" {
					id = f.newStrap(t.build, h)
				}
				t.way.Straps = append(t.way.Straps, verdict.Strap{Up: h.name, With: strap})
			}
			add(step, "restraints", id)
		}
	}
	return len(t.way.Straps) > 0
}

// suspension lists the axles of the vehicle, then its corners in walk-round order.
func (f *finder) suspension() []hanging {
	var list []hanging
	for _, p := range f.build.Of("parts") {
		name := f.vehicle.Place(p)
		switch role, _ := p.Text("role"); role {
		case "arm", "upright":
		case "axle":
			name = p.ID
		default:
			continue
		}
		i := slices.IndexFunc(list, func(h hanging) bool { return h.name == name })
		if i < 0 {
			i = len(list)
			list = append(list, hanging{name: name})
		}
		list[i].parts = append(list[i].parts, p.ID)
	}
	slices.SortStableFunc(list, func(a, b hanging) int {
		return cmp.Compare(slices.Index(f.build.Places, a.name), slices.Index(f.build.Places, b.name))
	})
	return list
}

// stoppedAt picks what something hangs on that stops the move; all where the vehicle as a
// whole does not stay as it is.
func (f *finder) stoppedAt(list []hanging) []hanging {
	var stopped []hanging
	for _, h := range list {
		if slices.ContainsFunc(h.parts, f.stops) {
			stopped = append(stopped, h)
		}
	}
	if len(stopped) == 0 || slices.ContainsFunc(f.move.Findings, func(x verdict.Finding) bool { return x.Root() && x.Kind == "moves" }) {
		return list
	}
	return stopped
}

// hangs reports whether parts hang in a step: they are on the vehicle, none bears a
// support, and nothing ties them up.
func hangs(b *model.Build, step *schema.Record, parts []string) bool {
	off := step.Texts("off")
	for _, id := range step.Texts("supports") {
		if under, _ := b.Item(id).Text("under"); slices.Contains(parts, under) {
			return false
		}
	}
	for _, id := range step.Texts("restraints") {
		if meet(b.Item(id).Texts("ties"), parts) {
			return false
		}
	}
	return slices.ContainsFunc(parts, func(p string) bool { return !slices.Contains(off, p) })
}

// strap names the restraint of the file that ties those parts up; empty without one.
func (f *finder) strap(parts []string) string {
	for _, r := range f.build.Of("restraints") {
		if to, _ := r.Text("to"); to == f.vehicle.Base() && meet(r.Texts("ties"), parts) {
			return r.ID
		}
	}
	return ""
}

// newStrap puts a strap of which nothing was seen into the build state.
func (f *finder) newStrap(b *model.Build, h hanging) string {
	kind := schema.KindOf("restraints")
	record := schema.NewRecord(kind.Fields, f.move.Span)
	record.Set("ties", texts(h.parts))
	record.Set("to", schema.Value{V: f.vehicle.Base()})
	record.Set("kind", schema.Value{V: "ratchet strap"})
	return b.Add(kind, "strap at "+h.name, record).ID // no id of a file has a space
}

// underFrame puts supports of the file that stand under the frame in the place of those
// under the suspension. A vehicle that would rest in the end as in the beginning was not
// moved.
func (f *finder) underFrame(t *try) bool {
	suspension := f.suspension()
	list := t.build.Item(f.move.ID).Steps()
	for _, step := range list {
		supports := step.Texts("supports")
		for i, id := range supports {
			support := f.build.Item(id)
			kind, _ := support.Text("kind")
			under, _ := support.Text("under")
			if kind == "wheel" || !slices.ContainsFunc(suspension, func(h hanging) bool { return slices.Contains(h.parts, under) }) {
				continue
			}
			instead := f.instead(support, supports)
			if instead == "" {
				return false
			}
			supports[i] = instead
			if !slices.Contains(t.way.Stands, instead) {
				t.way.Stands = append(t.way.Stands, instead)
			}
		}
		step.Set("supports", texts(supports))
	}
	return len(t.way.Stands) > 0 && !alike(list[0], list[len(list)-1])
}

// instead names the support of the same kind under the frame that is nearest to another, of
// those that a step does not have; empty where the file has none or no places.
func (f *finder) instead(support *model.Item, taken []string) string {
	kind, _ := support.Text("kind")
	at, known := support.Vec("at")
	best, nearest := "", 0.0
	for _, s := range f.build.Of("supports") {
		under, _ := s.Text("under")
		other, _ := s.Text("kind")
		p, placed := s.Vec("at")
		if under != f.vehicle.Base() || other != kind || !known || !placed || slices.Contains(taken, s.ID) {
			continue
		}
		if away := (p.X-at.X)*(p.X-at.X) + (p.Y-at.Y)*(p.Y-at.Y); best == "" || away < nearest {
			best, nearest = s.ID, away
		}
	}
	return best
}

// off takes off what can come off whole and at which something stops the move: an engine,
// a seat, a wheel that does not stand on the floor.
func (f *finder) off(t *try) bool {
	list := t.build.Item(f.move.ID).Steps()
	for _, p := range t.build.Of("parts") {
		switch role, _ := p.Text("role"); role {
		case "drivetrain", "body", "other", "wheel":
		default:
			continue
		}
		if p.ID == f.vehicle.Base() || !f.stops(p.ID) || slices.ContainsFunc(list, func(s *schema.Record) bool {
			return slices.Contains(s.Texts("off"), p.ID) || slices.ContainsFunc(s.Texts("supports"), func(id string) bool { under, _ := f.build.Item(id).Text("under"); return under == p.ID })
		}) {
			continue
		}
		for _, step := range list {
			add(step, "off", p.ID)
		}
		set(p, "fitted", false)
		for _, bolt := range t.build.Of("fasteners") {
			if slices.Contains(f.vehicle.Touches(bolt), p.ID) {
				set(bolt, "fitted", false) // it comes off with its bolts
			}
		}
		t.way.Off = append(t.way.Off, p.ID)
		t.way.Jobs++
	}
	return len(t.way.Off) > 0
}

// stops reports whether something that holds a part stops the move.
func (f *finder) stops(part string) bool {
	return slices.ContainsFunc(f.move.Findings, func(x verdict.Finding) bool {
		item := f.build.Item(x.Item)
		return x.Blocks() && item != nil && (item.ID == part || slices.Contains(f.vehicle.Touches(item), part))
	})
}

// set records what would be found on an item.
func set(item *model.Item, fact string, value any) {
	found, ok := item.Record.Record("found")
	if !ok {
		found = schema.NewRecord(item.Kind.Found().Fields, item.Span)
		item.Set("found", schema.Value{V: found})
	}
	found.Set(fact, schema.Value{V: value})
}

// add puts an id at the end of a list of a step.
func add(step *schema.Record, field, id string) {
	step.Set(field, texts(append(step.Texts(field), id)))
}

func texts(list []string) schema.Value {
	values := make([]schema.Value, len(list))
	for i, s := range list {
		values[i] = schema.Value{V: s}
	}
	return schema.Value{V: values}
}

// meet reports whether two lists have something in common.
func meet(a, b []string) bool {
	return slices.ContainsFunc(a, func(s string) bool { return slices.Contains(b, s) })
}
