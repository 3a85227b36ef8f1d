package vehicle

import (
	"fmt"
	"reflect"
	"slices"
	"sync"

	"setdown/model/quantity"
	"setdown/model/statics"
)

// Cache keeps what statics worked out, of one build state or of several one after another, such
// as before and after an answer. What is asked again is taken from there only for the very same
// system and stance, number by number, so that nobody has to say what changed. It is safe for
// concurrent use.
type Cache struct {
	mu      sync.Mutex
	systems []*solvedSystem
}

// How many systems are kept, and how many stances of each: of a dozen settings and moves, before and
// after an answer.
const (
	mostSystems = 24
	mostStances = 48
)

// recall finds what was kept, or makes it, and puts it last. Of too many the first is forgotten.
func recall[T any](list *[]T, most int, same func(T) bool, fresh func() T) T {
	i := slices.IndexFunc(*list, same)
	var it T
	switch {
	case i >= 0:
		it = (*list)[i]
		*list = slices.Delete(*list, i, i+1)
	default:
		it = fresh()
		if len(*list) == most {
			*list = slices.Delete(*list, 0, 1)
		}
	}
	*list = append(*list, it)
	return it
}

// solvedSystem is one system with the stances that it was put in.
type solvedSystem struct {
	system statics.System // without its words
	units  quantity.System
	model  func() (*statics.Model, error)

	mu     sync.Mutex
	stands []*solvedStance
}

// system builds a system, in whose words distances are in those units, or takes it from an earlier time.
func (s *Cache) system(system statics.System, units quantity.System) *solvedSystem {
	asked := system
	asked.Say = nil
	s.mu.Lock()
	defer s.mu.Unlock()
	return recall(&s.systems, mostSystems,
		func(k *solvedSystem) bool { return k.units == units && reflect.DeepEqual(k.system, asked) },
		func() *solvedSystem {
			return &solvedSystem{system: asked, units: units, model: sync.OnceValues(func() (*statics.Model, error) { return statics.New(system) })}
		})
}

// stand puts the system in a stance.
func (k *solvedSystem) stand(stance statics.Stance) (*solvedStance, error) {
	stance.Supports = slices.Clone(stance.Supports)
	k.mu.Lock()
	s := recall(&k.stands, mostStances,
		func(s *solvedStance) bool { return reflect.DeepEqual(s.stance, stance) },
		func() *solvedStance { return &solvedStance{stance: stance, answers: map[question]any{}} })
	k.mu.Unlock()
	s.once.Do(func() {
		model, err := k.model()
		if err == nil {
			s.Step, err = model.Stand(stance)
		}
		s.err = err
	})
	return s, s.err
}

// solvedStance is a step of statics that keeps its answers.
type solvedStance struct {
	*statics.Step
	stance statics.Stance
	once   sync.Once
	err    error

	mu      sync.Mutex
	answers map[question]any
}

// question is what a step was asked: of which joint or body, along which directions, and the like.
type question struct {
	what   string
	of     int
	a, b   statics.Vec
	enough float64
}

// answered is an answer with its error.
type answered[T any] struct {
	is  T
	err error
}

// once answers a question the first time by work, then from memory.
func once[T any](s *solvedStance, q question, work func() (T, error)) (T, error) {
	s.mu.Lock()
	known, is := s.answers[q].(answered[T])
	s.mu.Unlock()
	if !is {
		known.is, known.err = work()
		s.mu.Lock()
		s.answers[q] = known
		s.mu.Unlock()
	}
	return known.is, known.err
}

// Joint is the force that a joint passes.
func (s *solvedStance) Joint(i int) statics.Force {
	f, _ := once(s, question{what: "joint", of: i}, func() (statics.Force, error) { return s.Step.Joint(i), nil })
	return f
}

// Wrenches are what a joint passes without the moment about a direction. They are shared: nobody changes
// them.
func (s *solvedStance) Wrenches(i int, taken statics.Vec) []statics.Wrench {
	list, _ := once(s, question{what: "wrenches", of: i, a: taken}, func() ([]statics.Wrench, error) { return s.Step.Wrenches(i, taken), nil })
	return list
}

// Swinging is what may turn freely about a bearing.
func (s *solvedStance) Swinging() []statics.Swinging {
	list, _ := once(s, question{what: "swinging"}, func() ([]statics.Swinging, error) { return s.Step.Swinging(), nil })
	return list
}

// Link is the force in a link.
func (s *solvedStance) Link(i int) statics.Range {
	r, _ := once(s, question{what: "link", of: i}, func() (statics.Range, error) { return s.Step.Link(i), nil })
	return r
}

// Along is the force of a joint along a direction.
func (s *solvedStance) Along(i int, direction statics.Vec) statics.Range {
	r, _ := once(s, question{what: "along", of: i, a: direction}, func() (statics.Range, error) { return s.Step.Along(i, direction), nil })
	return r
}

// Across is the force of a joint across a direction.
func (s *solvedStance) Across(i int, direction statics.Vec) float64 {
	f, _ := once(s, question{what: "across", of: i, a: direction}, func() (float64, error) { return s.Step.Across(i, direction), nil })
	return f
}

// Turns are the moments of a joint about a direction and across it, without that about another.
func (s *solvedStance) Turns(i int, direction, taken statics.Vec) (about, bends float64) {
	both, _ := once(s, question{what: "turns", of: i, a: direction, b: taken}, func() ([2]float64, error) {
		about, bends := s.Step.Turns(i, direction, taken)
		return [2]float64{about, bends}, nil
	})
	return both[0], both[1]
}

// Bending is how a body bends along a line.
func (s *solvedStance) Bending(body int, from, to statics.Vec, root float64) (statics.Bend, error) {
	q := question{what: "bending", of: body, a: from, b: to, enough: root}
	return once(s, q, func() (statics.Bend, error) { return s.Step.Bending(body, from, to, root) })
}

// Legs is how a body bends that is two legs.
func (s *solvedStance) Legs(body int, pivots [2]int, apex statics.Vec) (statics.Leg, error) {
	q := question{what: "legs", of: body, a: apex, b: statics.Vec{X: float64(pivots[0]), Y: float64(pivots[1])}}
	return once(s, q, func() (statics.Leg, error) { return s.Step.Legs(body, pivots, apex) })
}

// Members are how surely the members are located. They are shared: nobody changes them.
func (s *solvedStance) Members() []statics.Located {
	list, _ := once(s, question{what: "members"}, func() ([]statics.Located, error) { return s.Step.Members(), nil })
	return list
}

// SpringsHold is how many times over springs hold up what stands on them.
func (s *solvedStance) SpringsHold(list []statics.Rated) float64 {
	times, _ := once(s, question{what: fmt.Sprint("springs hold ", list)}, func() (float64, error) { return s.Step.SpringsHold(list), nil })
	return times
}

// LetGo is what happens when something lets go.
func (s *solvedStance) LetGo(r statics.Removal) (statics.Outcome, error) {
	return once(s, question{what: fmt.Sprint("let go ", r)}, func() (statics.Outcome, error) { return s.Step.LetGo(r) })
}

// PullAt is the pull at a place that moves the vehicle.
func (s *solvedStance) PullAt(at, direction statics.Vec, enough float64) statics.Pull {
	p, _ := once(s, question{what: "pull", a: at, b: direction, enough: enough}, func() (statics.Pull, error) { return s.Step.PullAt(at, direction, enough), nil })
	return p
}
