package vehicle

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/schema"
	"setdown/model/statics"
)

// situation is what an assembly stands in: how it stands, and what is done while it does.
type situation struct {
	statics.Attitude
	works  bool     // somebody works on it
	rolls  bool     // it is rolled
	lowers bool     // it is let down
	level  bool     // how it stands is known by a level on the frame, whatever each support is set to
	wide   bool     // stands whose width nobody wrote do not tip before they slip
	unread []string // what of that nobody wrote down
}

// stance is an assembly on its supports.
type stance struct {
	assembly *assembly
	situation
	supports []*model.Item     // those of the vehicle, then the hooks on which parts hang by themselves
	places   []statics.Support // of the vehicle
	step     *solvedStance     // nil when nothing was computed
	unknown  *Unknown          // why step is nil
	failure  string            // why the vehicle does not stand
	slides   string            // how it slides or rolls away under the push; its loads are those without

	pullOnce sync.Once
	pulls    Pulls

	castorsOnce sync.Once
	castors     *statics.Step // on the castors of the dolly under all of it; else nil
}

// levelReads is the ± of an angle that somebody read off a level, rad: one of a pocket instrument on
// a welded frame.
const levelReads = 0.3 * math.Pi / 180

// Level is what a level on the frame said while the vehicle stood so. It counts on the day on which it
// was read: what stands in the shop overnight, and what is set anew, no longer stands as it did.
func (v *Vehicle) Level(step *schema.Record) (reading *schema.Record, counts bool) {
	reading, read := step.Record("found")
	if !read {
		return nil, false
	}
	on, dated := reading.Date("on")
	return reading, dated && on == v.Today
}

// attitude is how a step stands by what the step and the floor say, where the heights of its supports
// say nothing else; and the push.
func (v *Vehicle) attitude(step *schema.Record) statics.Attitude {
	pitch, _ := step.Quantity("pitch")
	roll, _ := step.Quantity("roll")
	at := statics.Attitude{Pitch: pitch.Value, Roll: roll.Value, Push: v.policy.SidePush}
	if fall, ok := v.Build.Site.Quantity("found.slope"); ok {
		at.Slope = math.Atan(fall.Value)
	}
	return at
}

// byLevel takes how a step stands from a level on its frame. The heights of its supports are left
// alone where the floor may be why they say otherwise; else both count, the worse of them: it stands
// between the two, and may lean as far as either.
func (in *situation) byLevel(reading *schema.Record, supports []*model.Item) {
	pitch, _ := reading.Quantity("pitch")
	roll, _ := reading.Quantity("roll")
	in.Pitch, in.Roll = pitch.Value, roll.Value
	read := math.Hypot(levelReads, levelReads)
	nose, left, known := HeightsLean(supports)
	in.level = true
	if apart := math.Hypot(nose-in.Pitch, left-in.Roll); known && apart > in.Slope+read {
		in.Pitch, in.Roll, in.Slope = (nose+in.Pitch)/2, (left+in.Roll)/2, apart/2+in.Slope+read
	} else {
		in.Slope = read
	}
}

// items are those of some ids.
func (v *Vehicle) items(ids []string) []*model.Item {
	list := make([]*model.Item, len(ids))
	for i, id := range ids {
		list[i] = v.Build.Item(id)
	}
	return list
}

// HeightsLean is how the set heights of supports put the vehicle, rad, nose and left side up. A wheel
// without one stands on the floor. It is known of three places that are not in one line.
func HeightsLean(supports []*model.Item) (nose, left float64, known bool) {
	var floor []r3.Vec
	for _, support := range supports {
		at, placed := support.Vec("at")
		h, set := support.Quantity("height")
		if placed && (set || OfKind("wheel")(support)) {
			p := Point(at)
			p.Z -= h.Value
			floor = append(floor, p)
		}
	}
	return statics.Lean(floor)
}

// situation is that of a step. Somebody works in the state in which a move ends, in every step of
// a rest, and where people are under it.
func (v *Vehicle) situation(s *Step) situation {
	in := situation{Attitude: v.attitude(s.Record)}
	supports := v.items(s.Texts("supports"))
	level, counts := v.Level(s.Record)
	if _, _, known := HeightsLean(supports); !known && !counts {
		for k, way := range []string{"pitch", "roll"} {
			if _, written := s.Quantity(way); !written {
				in.Doubt[k] = v.policy.LevelWithin
			}
		}
	}
	if counts {
		in.byLevel(level, supports)
		for _, way := range []string{"pitch", "roll"} {
			if _, known := level.Quantity(way); !known {
				in.unread = append(in.unread, s.Move.Path()+".steps["+s.Name+"].found."+way)
			}
		}
	}
	kind, _ := s.Move.Text("kind")
	under, _ := s.Move.Bool("people_under")
	in.works = kind == "rest" || under || s.Index == len(s.Move.Steps)-1
	in.lowers = kind == "lower"
	if in.rolls = kind == "roll"; in.rolls {
		in.Push = v.policy.SidePushRoll
	}
	return in
}

// stand puts an assembly on supports.
func (v *Vehicle) stand(a *assembly, ids []string, in situation) *stance {
	s := &stance{assembly: a, situation: in}
	missing := slices.Concat(a.missing, in.unread, v.setOn(s, ids))
	switch {
	case len(missing) > 0:
		s.unknown = NotRecorded(missing...)
	case s.failure != "":
		s.unknown = NotComputed("%s", s.failure)
	case a.trouble != "":
		s.unknown = NotComputed("%s", a.trouble)
	default:
		v.solve(s)
	}
	return s
}

// setOn finds the places of the supports of a stance, and says what of them nobody recorded.
func (v *Vehicle) setOn(s *stance, ids []string) (missing []string) {
	a := s.assembly
	var hooks []*model.Item
	for _, h := range a.hung {
		if slices.Contains(ids, h.item.ID) {
			hooks, missing = append(hooks, h.item), append(missing, h.missing...)
		}
	}
	for _, id := range ids {
		item := v.Build.Item(id)
		if slices.Contains(hooks, item) {
			continue
		}
		s.supports = append(s.supports, item)
		at, ok := item.Vec("at")
		if !ok {
			missing = append(missing, item.Path()+".at")
		}
		under, ok := item.Text("under")
		i, on := a.body[under]
		switch {
		case !ok && !a.rigid:
			missing = append(missing, item.Path()+".under")
		case ok && !on:
			s.failure = fmt.Sprintf("%s bears on %s, which is off the vehicle in this step", id, under)
		}
		s.places = append(s.places, statics.Support{Name: id, Body: i, At: Point(at), Tol: within(at), Height: s.height(item), Spins: v.spins(item, s.situation), Contact: v.contact(item, s.situation)})
	}
	s.supports = append(s.supports, hooks...)
	return missing
}

// solve finds the equilibrium of a stance of which all is recorded. What slides away is solved once more
// as if it did not slide, for what it would carry then is still of use: first without a person's pull,
// then without friction.
func (v *Vehicle) solve(s *stance) {
	a := s.assembly
	if s.works {
		s.Pull = v.pullThrough(a, s.Push)
	}
	on := func() (*solvedStance, error) {
		return a.system.stand(statics.Stance{Supports: s.places, Ties: a.limits, Scrubs: v.scrubs(s), Attitude: s.Attitude})
	}
	sliding := func(step *solvedStance, err error) bool {
		return err == nil && step.Failure != nil && step.Failure.Needs > 0
	}
	step, err := on()
	if sliding(step, err) {
		s.slides, s.Pull = step.Failure.Words, 0
		step, err = on()
	}
	if sliding(step, err) {
		for i := range s.places {
			s.places[i].Contact = nil
		}
		step, err = on()
	}
	if err != nil {
		s.unknown = NotComputed("%v", err)
		return
	}
	s.step = step
	if step.Failure != nil {
		s.failure = step.Failure.Words
		if len(a.idle) > 0 {
			s.failure += "; " + strings.Join(a.idle, ", ") + ": an anti-roll bar lets both its wheels up together and holds nothing up; one that is drawn is a part of role other"
		}
	}
}

// pullThrough is the pull of a person who works on a vehicle, as a share of its weight; nothing
// where it is pushed harder anyway.
func (v *Vehicle) pullThrough(a *assembly, push float64) float64 {
	_, kg := a.model.Centre()
	if pull := min(v.policy.Pull/(kg*Gravity), v.policy.PullShare); pull > push {
		return pull
	}
	return 0
}

// SameEnd is how far apart along the vehicle two supports of one end of it may be, m.
const SameEnd = 0.3

// scrubs are the pairs of tyres that hold each other across while a vehicle is let down on its
// springs: they want to move apart as these give. On rigid bars nothing gives.
func (v *Vehicle) scrubs(s *stance) []statics.Scrub {
	sprung := slices.ContainsFunc(v.springs, func(spring *Spring) bool {
		if spring.Link == nil {
			return false
		}
		_, on := s.assembly.links[spring.Link.ID]
		return on
	})
	if !s.lowers || !sprung {
		return nil
	}
	var pairs []statics.Scrub
	for i, left := range s.places {
		for k, right := range s.places {
			across := r3.Sub(left.At, right.At)
			if OfKind("wheel")(s.supports[i]) && OfKind("wheel")(s.supports[k]) && math.Abs(across.X) < SameEnd && across.Y > math.Abs(across.X) {
				pairs = append(pairs, statics.Scrub{Left: i, Right: k, Mu: tyreHolds})
			}
		}
	}
	return pairs
}

// mayHold reports whether a vehicle stays up so. Where nobody can work it out, it may.
func (s *stance) mayHold() bool { return s.unknown != nil || s.failure == "" }

// standing puts a setting on its supports; nil where it does not stand, or nobody knows.
func (v *Vehicle) standing(s setting, supports []string, in situation) *stance {
	on := v.stand(v.assemble(s), supports, in)
	if on.unknown != nil || on.failure != "" {
		return nil
	}
	return on
}
