package vehicle

import (
	"slices"
	"strings"

	"setdown/model"
	"setdown/model/schema"
)

// Move is one transfer of weight with its steps in order.
type Move struct {
	*model.Item
	Steps []*schema.Record
}

// Move reads a move.
func (v *Vehicle) Move(item *model.Item) *Move {
	list, _ := item.List("steps")
	m := &Move{Item: item}
	for _, s := range list {
		m.Steps = append(m.Steps, s.V.(*schema.Record))
	}
	return m
}

// Step is one step of a move, worked out: it does not change any more.
type Step struct {
	Vehicle *Vehicle
	Move    *Move
	Index   int // in the move
	*schema.Record
	Name     string
	Pitch    float64 // nose up, rad
	Supports []*model.Item
	Parts    []*model.Item // on the vehicle

	// Unsolved is why nothing was computed; nil when something was.
	Unsolved *Unknown
	// Failure says what moves where there is no equilibrium.
	Failure string
	// NoLoads is why there are no forces in joints and links; nil when there are.
	NoLoads *Unknown
	// Rigid is set where the vehicle was taken as one lump, for its reactions alone.
	Rigid bool

	setting setting
	stance  *stance
	passes  map[*Meet]Pass
	resting map[*model.Item]Resting
}

// Step works out the i-th step of a move.
func (v *Vehicle) Step(move *Move, i int) *Step {
	s := &Step{Vehicle: v, Move: move, Index: i, Record: move.Steps[i]}
	s.Name, _ = s.Text("name")
	pitch, _ := s.Quantity("pitch")
	s.Pitch = pitch.Value
	push := v.policy.SidePush
	if kind, _ := move.Text("kind"); kind == "roll" {
		push = v.policy.SidePushRoll
	}
	s.setting = v.setting(s.Record)
	a := v.assemble(s.setting)
	s.stance = v.stand(a, s.Texts("supports"), attitude(s.Pitch, push))
	s.Supports, s.Parts, s.Rigid = s.stance.supports, a.parts, a.rigid
	s.Unsolved, s.Failure = s.stance.unknown, s.stance.failure
	s.NoLoads = s.noLoads()
	s.rest()
	return s
}

// noLoads says why there are no forces in joints and links. They are unknown as well when
// the vehicle was taken as one lump.
func (s *Step) noLoads() *Unknown {
	switch {
	case s.Unsolved != nil:
		return s.Unsolved
	case s.Failure != "":
		return &Unknown{Reason: "no equilibrium: " + s.Failure, Falls: true}
	case s.Rigid && len(s.Vehicle.Meets) == 0:
		return NotRecorded("joints")
	case s.Rigid:
		return NotRecorded(slices.Clone(s.stance.assembly.members)...)
	}
	return nil
}

// Solved reports whether reactions are at hand: equilibrium was found.
func (s *Step) Solved() bool { return s.Unsolved == nil && s.Failure == "" }

// Off reports whether a meet is off the vehicle because a part of it is.
func (s *Step) Off(m *Meet) bool { return s.setting.isOff(m) }

// inside reports whether a meet lies inside one body: its parts are tied together.
func (s *Step) inside(m *Meet) bool {
	body := s.stance.assembly.body
	return body[m.Parts[0]] == body[m.Parts[1]]
}

// Tied reports whether a restraint holds a part to another in the step.
func (s *Step) Tied(part string) bool { return s.stance.assembly.tied[part] }

// Uses reports whether a restraint holds something in the step.
func (s *Step) Uses(restraint *model.Item) bool { return s.tie(restraint) >= 0 }

func (s *Step) tie(restraint *model.Item) int {
	return slices.IndexFunc(s.setting.ties, func(t tie) bool { return t.item == restraint })
}

// SupportIndex is the place of a support among those of the step, or -1.
func (s *Step) SupportIndex(id string) int {
	return slices.IndexFunc(s.Supports, func(item *model.Item) bool { return item.ID == id })
}

// On lists the places of the supports of the step that name an item in one of their fields:
// wheel, hoist or dolly.
func (s *Step) On(field, id string) []int {
	var list []int
	for i, support := range s.Supports {
		if name, ok := support.Text(field); ok && name == id {
			list = append(list, i)
		}
	}
	return list
}

// AnySupport reports whether a step of a move rests on a support that is so.
func (v *Vehicle) AnySupport(step *schema.Record, so func(*model.Item) bool) bool {
	return slices.ContainsFunc(step.Texts("supports"), func(id string) bool { return so(v.Build.Item(id)) })
}

// OfKind is for AnySupport: a support of one of the kinds.
func OfKind(kinds ...string) func(*model.Item) bool {
	return func(support *model.Item) bool {
		kind, _ := support.Text("kind")
		return slices.Contains(kinds, kind)
	}
}

// WholeWeight is the weight of all parts on the vehicle with the upper end of
// their ±, N, or the masses that are missing.
func (s *Step) WholeWeight() (newtons float64, unknown *Unknown) {
	var missing []string
	for _, p := range s.Parts {
		m, ok := p.Quantity("mass")
		if !ok {
			missing = append(missing, p.Path()+".mass")
		}
		newtons += (m.Value + m.Tol) * Gravity
	}
	if len(s.Parts) == 0 {
		missing = append(missing, "parts")
	}
	if len(missing) > 0 {
		return 0, NotRecorded(missing...)
	}
	return newtons, nil
}

// MassesKnown reports whether every part on the vehicle is known to be on it, with its mass
// and centre of gravity.
func (s *Step) MassesKnown() bool { return len(s.stance.assembly.missing) == 0 }

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
	var between []string
	lifted := false
	for _, id := range slices.Concat(now, before) {
		gear := OfKind("jack", "crane", "hoist pad")(s.Vehicle.Build.Item(id))
		lifted = lifted || gear
		if (gear || slices.Contains(now, id) && slices.Contains(before, id)) && !slices.Contains(between, id) {
			between = append(between, id)
		}
	}
	if lifted {
		if st := s.Vehicle.stand(s.stance.assembly, between, s.stance.attitude); st.unknown != nil || st.solved() {
			return "nothing"
		}
	}
	return strings.Join(slices.DeleteFunc(taken, func(id string) bool { return slices.Contains(between, id) }), ", ")
}
