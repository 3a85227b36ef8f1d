package vehicle

import (
	"slices"

	"setdown/model"
	"setdown/model/schema"
)

// Move is one transfer of weight with its steps in order.
type Move struct {
	*model.Item
	Steps []*schema.Record
	step  []func() *Step // each worked out once
}

// Step is one step of a move, worked out: it does not change any more.
type Step struct {
	Vehicle *Vehicle
	Move    *Move
	Index   int // in the move
	*schema.Record
	Name     string
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
	putsOn  []PutOn
	stance  *stance
	entries []entry
	passes  map[*Meet]Pass
	resting map[*model.Item]Resting
}

// Solved reports whether reactions are at hand: equilibrium was found.
func (s *Step) Solved() bool { return s.Unsolved == nil && s.Failure == "" }

// Caught are the joints and links that are undone and not missed, for what they held hangs in straps or
// rests against stops.
func (s *Step) Caught() []Caught { return s.setting.caught }

// Undone reports whether an item is one of those.
func (s *Step) Undone(item *model.Item) bool {
	return slices.ContainsFunc(s.setting.caught, func(c Caught) bool { return slices.Contains(c.Undone, item) })
}

// Off reports whether a meet is off the vehicle because a part of it is.
func (s *Step) Off(m *Meet) bool { return s.setting.isOff(m) }

// inside reports whether a meet lies inside one body: its parts are tied together.
func (s *Step) inside(m *Meet) bool {
	body := s.stance.assembly.body
	return body[m.Parts[0]] == body[m.Parts[1]]
}

// Unplaced lists what is not recorded of joints and links, so that no force in them is
// computed.
func (s *Step) Unplaced() []string { return s.stance.assembly.members }

// Tied reports whether a restraint holds a part to another in the step.
func (s *Step) Tied(part string) bool { return s.stance.assembly.tied[part] }

// Uses reports whether a restraint holds something in the step.
func (s *Step) Uses(restraint *model.Item) bool {
	return s.tie(restraint) >= 0 || slices.Contains(s.setting.places, restraint) ||
		slices.ContainsFunc(s.setting.limits, func(t tie) bool { return t.item == restraint })
}

// onFrame are the roles of parts that do not hang on the frame: they are it, or stand on it.
var onFrame = []string{"frame", "body", "drivetrain"}

// onSuspension are what a support may bear on so that what hangs on the frame carries.
var onSuspension = []string{"axle", "arm", "upright", "tyre", "moving arm"}

// tiedUp reports whether something of a checklist holds what a strap ties up to the frame as a
// whole, and nothing of the step bears on what hangs there, by what it touches and by the part it
// is under; what bears on the suspension of the other end loads none of this one. Where nobody wrote
// these, or the role of the thing, it is not known to be so.
func (s *Step) tiedUp(item *model.Item) bool {
	if !slices.Contains([]string{"stud_nuts", "spacers", "links"}, item.Kind.Name) && !item.Is(schema.Outboard) {
		return false
	}
	if part, named := Lookup[string](item, "part"); named && s.Vehicle.isRole(part, onFrame...) {
		return false // it holds the frame itself together, or what stands on it
	}
	place := s.Vehicle.Place(item)
	if place == "" || !slices.ContainsFunc(s.setting.places, func(r *model.Item) bool { return slices.Contains(r.TiedPlaces, place) }) {
		return false
	}
	return !s.bearsAt(place)
}

// bearsAt reports whether something of a checklist may bear on what hangs at a place, by what it touches and
// by the part it is under.
func (s *Step) bearsAt(place string) bool {
	return slices.ContainsFunc(s.Supports, func(support *model.Item) bool {
		on, known := support.Text("bears_on")
		under, _ := support.Text("under")
		clear := known && !slices.Contains(onSuspension, on) && s.Vehicle.isRole(under, onFrame...)
		return !clear && !(known && s.Vehicle.otherEnd(support, place))
	})
}

// mayBear reports whether something of a checklist may bear on a part: a support that is said to be under it,
// a wheel on the floor that is not said to be another one, and on what hangs at a place whatever may
// bear there.
func (s *Step) mayBear(part string) bool {
	item := s.Vehicle.Build.Item(part)
	role, _ := item.Text("role")
	place := s.Vehicle.Place(item)
	return slices.ContainsFunc(s.Supports, func(support *model.Item) bool {
		under, _ := support.Text("under")
		return under == part || role == "wheel" && OfKind("wheel")(support) && !s.Vehicle.onOtherWheel(support, part)
	}) || role != "wheel" && !s.Vehicle.isRole(part, onFrame...) && (place == "" || s.bearsAt(place))
}

// onOtherWheel reports whether a wheel on the floor is known to be another one than a part.
func (v *Vehicle) onOtherWheel(support *model.Item, part string) bool {
	named, _ := support.Text("wheel")
	wheel := v.Build.Item(named)
	if wheel == nil {
		return false
	}
	other, known := wheel.Text("part")
	return known && other != part
}

// otherEnd reports whether a support stands at the other end of the vehicle than a place, by its own
// place and by that of the part it is under.
func (v *Vehicle) otherEnd(support *model.Item, place string) bool {
	at, _ := support.Text("place")
	places := []string{at}
	if under, _ := support.Text("under"); !v.isRole(under, "frame") {
		of := ""
		if part := v.Build.Item(under); part != nil {
			of, _ = part.Text("place")
		}
		places = append(places, of)
	}
	here := model.WhereIs(place).End
	return here != "" && !slices.ContainsFunc(places, func(p string) bool {
		end := model.WhereIs(p).End
		return end == "" || end == here
	})
}

// isRole reports whether a part is known to have one of the roles, or is what the vehicle is built
// on and not said to be of its suspension.
func (v *Vehicle) isRole(part string, roles ...string) bool {
	item := v.Build.Item(part)
	if item == nil {
		return false
	}
	role, _ := item.Text("role")
	return slices.Contains(roles, role) || part == v.base && !item.Is(schema.Suspension)
}

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

// OnWheels reports whether a step has the vehicle whole and on wheels alone, with nothing tied up.
func (s *Step) OnWheels() bool {
	wheel := OfKind("wheel")
	return len(s.Supports) > 0 && len(s.setting.ties) == 0 && len(s.Texts("off")) == 0 &&
		!slices.ContainsFunc(s.Supports, func(support *model.Item) bool { return !wheel(support) })
}

// heaviest is what a part weighs with the upper end of its ±, N; a mass that nobody recorded is
// missing.
func heaviest(part *model.Item, missing *[]string) float64 {
	m, weighed := part.Quantity("mass")
	if !weighed {
		*missing = append(*missing, part.Path()+".mass")
	}
	return (m.Value + m.Tol) * Gravity
}

// WholeWeight is the weight of all parts on the vehicle with the upper end of
// their ±, N, or the masses that are missing.
func (s *Step) WholeWeight() (newtons float64, unknown *Unknown) {
	var missing []string
	for _, p := range s.Parts {
		newtons += heaviest(p, &missing)
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
