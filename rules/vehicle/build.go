package vehicle

import (
	"slices"
	"strings"
	"sync"

	"setdown/model"
)

// New reads a build state.
func New(b *model.Build, policy Policy) *Vehicle {
	v := &Vehicle{
		Build: b, policy: policy, base: base(b), twins: twins(b), springs: springs(b),
		meets: map[string]*Meet{}, ends: map[string][]*Meet{},
		holds: map[string][]*Holder{}, holder: map[*model.Item]*Holder{},
		vehicles: map[string]*assembly{}, Cache: new(Cache),
	}
	v.findMeets()
	v.findRigid()
	v.findHolders()
	return v
}

// Move reads a move, with the states between its steps that a jack makes and nobody wrote down.
func (v *Vehicle) Move(item *model.Item) *Move {
	m := &Move{Item: item, Steps: v.withBetween(item.Steps())}
	for i := range m.Steps {
		m.step = append(m.step, sync.OnceValue(func() *Step { return v.step(m, i) }))
	}
	return m
}

// Step works out the i-th step.
func (m *Move) Step(i int) *Step { return m.step[i]() }

func (v *Vehicle) step(move *Move, i int) *Step {
	s := &Step{Vehicle: v, Move: move, Index: i, Record: move.Steps[i]}
	s.Name, _ = s.Text("name")
	supports, in := s.Texts("supports"), v.situation(s)
	s.setting = v.setting(move.Steps[:i+1])
	for _, more := range []func(setting, []string, situation) setting{v.withoutUndone, v.withPressed, v.withEased, v.withShared} {
		s.setting = more(s.setting, supports, in)
	}
	a := v.assemble(s.setting)
	s.stance = v.stand(a, supports, in)
	s.Supports, s.Parts, s.Rigid = s.stance.supports, a.parts, a.rigid
	s.Unsolved, s.Failure = s.stance.unknown, s.stance.failure
	s.NoLoads = s.noLoads()
	if s.NoLoads == nil {
		s.entries = s.pushedAt()
	}
	s.putsOn = s.putOn()
	s.rest()
	return s
}

// noLoads says why there are no forces in joints and links. They are unknown as well when
// the vehicle was taken as one lump.
func (s *Step) noLoads() *Unknown {
	switch {
	case s.Unsolved != nil:
		return s.Unsolved
	case len(s.setting.unpressed) > 0:
		return NotRecorded(slices.Clone(s.setting.unpressed)...)
	case s.Failure != "":
		return &Unknown{Reason: "no equilibrium: " + s.Failure, Falls: true}
	case s.Rigid && len(s.Vehicle.Meets) == 0:
		return NotRecorded("joints")
	case s.Rigid:
		return NotRecorded(slices.Clone(s.stance.assembly.members)...)
	}
	return nil
}

// Unlifted names the supports that a step takes over from the one before although the
// vehicle could not stay up in between: on the supports of both steps and on the jacks, cranes
// and hoist pads of either. Where nobody can work out whether it stands, any such gear will do.
func (s *Step) Unlifted() string {
	if s.Index == 0 {
		return "nothing"
	}
	before, now := s.Move.Steps[s.Index-1].Texts("supports"), s.Texts("supports")
	taken := slices.DeleteFunc(slices.Clone(now), func(id string) bool { return slices.Contains(before, id) })
	if len(taken) == 0 {
		return "nothing"
	}
	_, between := s.Vehicle.lifting(before, now)
	stiff := s.setting
	stiff.shared, stiff.eased = nil, nil // that is how it is on these supports
	if between != nil && s.Vehicle.stand(s.Vehicle.assemble(stiff), between, s.stance.situation).mayHold() {
		return "nothing"
	}
	if set := slices.DeleteFunc(slices.Clone(taken), func(id string) bool { return slices.Contains(between, id) }); len(set) > 0 {
		taken = set
	}
	return strings.Join(taken, ", ")
}

// GivenUp is the mass that the supports which the step before rested on, and this one does
// not, bore there: what people lift when they lift it over, kg. A checklist has no loads: there it
// is the share of the vehicle that those supports are by their number.
func (s *Step) GivenUp() (kg float64, unknown *Unknown) {
	if s.Index == 0 {
		return 0, nil
	}
	before := s.Move.Step(s.Index - 1)
	stays := func(support *model.Item) bool { return s.SupportIndex(support.ID) >= 0 }
	if s.Vehicle.Checklist() && !before.Solved() {
		taken, all := int64(0), int64(0)
		for _, support := range before.Supports {
			all += Pieces(support)
			if !stays(support) {
				taken += Pieces(support)
			}
		}
		if taken == 0 {
			return 0, nil
		}
		whole, unknown := before.WholeWeight()
		return whole / Gravity * float64(taken) / float64(all), unknown
	}
	if !before.Solved() {
		return 0, before.NoLoads
	}
	for i, support := range before.Supports {
		if !stays(support) {
			kg += before.Reaction(i).Nominal / Gravity
		}
	}
	return kg, nil
}
