package vehicle

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
)

// Pull is a pull by a person at one place of a vehicle that stands.
type Pull struct {
	Force float64 // N, from which on the vehicle moves; +Inf where no pull moves it
	Way   string  // across, up or down
	At    string  // the part that is pulled at
	Bar   float64 // m, of the bar that it is pulled by; 0 without one
}

// Where says in words which way and where somebody pulls.
func (p Pull) Where(u quantity.System) string {
	if p.Bar > 0 {
		return p.Way + " on a bar of " + u.Say(quantity.Of(p.Bar, quantity.Length, "mm")) + " at " + p.At
	}
	return p.Way + " at " + p.At
}

// usualBar is the length of the bar that counts where nobody says otherwise, m: a breaker bar
// on a wheel nut.
const usualBar = 0.6

// bar is the length of the longest bar that somebody pulls by while the vehicle stands so: as
// written, none where nobody pulls hard, else the usual one.
func (s *Step) bar() float64 {
	if long, written := s.Move.Quantity("bar"); written {
		return long.Value
	}
	if hard, said := s.Move.Bool("hard_pull"); said && !hard {
		return 0
	}
	return usualBar
}

// Works reports whether somebody works on the vehicle while it stands so: it is what the move
// ends in or a rest, or people are under it.
func (s *Step) Works() bool { return s.stance.works }

// Pulls are the least pulls by which a person moves the vehicle of a solved step: one that tips
// it, of those across at the sills and across, up and down at the hubs and on a bar there; one
// across at the sills that makes it slide; and one across at the hubs and on a bar that
// stands on them that slews it round on its supports. Doubtful is the least that tips it over what
// nobody wrote as well, and Over the edge that it tips over then.
type Pulls struct {
	Tips, Slides, Slews, Doubtful Pull
	Over                          Edge
}

// Pulls works them out, once. Those at hubs are not known while nobody says where one is.
func (s *Step) Pulls() (Pulls, *Unknown) {
	s.stance.pullOnce.Do(func() { s.stance.pulls, s.stance.pullUnknown = s.leastPulls() })
	return s.stance.pulls, s.stance.pullUnknown
}

// PullSlides is the least pull of a person across at the sill that makes the vehicle slide, N. Where that
// is what somebody pulls and the width of a stand decides, it is asked for.
func (s *Step) PullSlides() (newtons float64, unknown *Unknown) {
	pulls, _ := s.Pulls() // across at the sills
	pull, least := pulls.Slides.Force, min(s.Vehicle.policy.Pull, s.Vehicle.policy.PullShare*s.Weight())
	if missing := s.bases(); missing != nil && pull < least {
		if wide := s.onWideStands(); wide.stance.step != nil {
			if pulls, _ := wide.Pulls(); pulls.Slides.Force >= least {
				return 0, NotRecorded(missing...)
			}
		}
	}
	return pull, nil
}

func (s *Step) leastPulls() (Pulls, *Unknown) {
	none := Pull{Force: math.Inf(1)}
	out := Pulls{Tips: none, Slides: none, Slews: none, Doubtful: none}
	floor := s.floor()
	try := func(p Pull, at r3.Vec, slides *Pull, ways ...r3.Vec) {
		for _, way := range ways {
			p.Way = map[float64]string{1: "up", -1: "down", 0: "across"}[way.Z]
			got := s.stance.step.PullAt(at, way, slides.Force)
			if floor != nil {
				under := floor.PullAt(at, way, 0)
				got.Tips = min(got.Tips, under.Tips)
				if under.Doubtful < got.Doubtful {
					got.Doubtful, got.Over = under.Doubtful, under.Over
				}
			}
			if p.Force = got.Tips; p.Force < out.Tips.Force*(1-alike) {
				out.Tips = p
			}
			if p.Force = got.Doubtful; p.Force < out.Doubtful.Force*(1-alike) {
				out.Doubtful, out.Over = p, got.Over
			}
			if p.Force = got.Slides; p.Force < slides.Force*(1-alike) {
				*slides = p
			}
		}
	}
	left, right, up, down := r3.Vec{Y: 1}, r3.Vec{Y: -1}, r3.Vec{Z: 1}, r3.Vec{Z: -1}
	centre, _, _ := s.Centre()
	for _, at := range s.outermost(s.Vehicle.base) {
		at.X = centre.X
		try(Pull{At: s.Vehicle.base}, at, &out.Slides, left, right)
	}
	long := s.bar()
	hubs, missing := s.hubs()
	for _, hub := range hubs {
		try(Pull{At: hub.part}, hub.at, &out.Slews, left, right)
		if !hub.idle {
			try(Pull{At: hub.part}, hub.at, &none, up, down)
		}
		if long == 0 {
			continue
		}
		// A nut on the hub is turned in the plane of the wheel; on a bar that lies outwards
		// somebody stands.
		on := Pull{At: hub.part, Bar: long}
		outwards := r3.Vec{Y: math.Copysign(long, hub.at.Y-centre.Y)}
		try(on, r3.Add(hub.at, outwards), &none, down)
		for _, side := range []float64{long, -long} {
			try(on, r3.Add(hub.at, r3.Vec{X: side}), &none, up, down)
			try(on, r3.Add(hub.at, r3.Vec{Z: side}), &out.Slews, left, right)
		}
	}
	if len(missing) > 0 {
		return out, NotRecorded(missing...)
	}
	return out, nil
}

// outermost are the outermost known places of a part on the left and the right of the centre of
// gravity; of two that are as far out the one that is farther ahead or behind.
func (s *Step) outermost(part string) []r3.Vec {
	var places []r3.Vec
	for _, m := range s.Vehicle.Meets {
		if m.Of(part) && m.At != nil && !s.Off(m) {
			places = append(places, Point(*m.At))
		}
	}
	for i, support := range s.Supports {
		if under, named := support.Text("under"); under == part || !named && part == s.Vehicle.base {
			places = append(places, s.SupportAt(i))
		}
	}
	centre, _, _ := s.Centre()
	var outer []r3.Vec
	for _, side := range []float64{1, -1} {
		best := centre
		for _, p := range places {
			more := side * (p.Y - best.Y)
			if more > Tape || more > -Tape && math.Abs(p.X-centre.X) > math.Abs(best.X-centre.X) {
				best = p
			}
		}
		if best != centre {
			outer = append(outer, best)
		}
	}
	return outer
}

// hub is a place where a wheel is or goes.
type hub struct {
	part string
	at   r3.Vec
	idle bool // nobody lifts or presses there
}

// hubs are the wheels on the vehicle and, of what has none on it, the places where its wheels go; of one
// of which no wheel is drawn its own hub, else of an upright its centre of gravity
// and of an axle both of its ends. Of an arm nothing else says how far out that is: its hub is asked for.
// Nobody lifts a bare hub that is tied up where nobody pulls hard.
func (s *Step) hubs() (list []hub, missing []string) {
	hard, said := s.Move.Bool("hard_pull")
	for _, p := range s.Parts {
		role, _ := p.Text("role")
		if role == "wheel" {
			cg, _ := p.Vec("cg")
			list = append(list, hub{part: p.ID, at: Point(cg)})
			continue
		}
		idle := s.Tied(p.ID) && said && !hard
		places, known := s.bareHubs(p.ID), true
		if len(places) == 0 && s.Vehicle.takesWheel(p) && !s.wheeled(p.ID) {
			places, known = s.ownHubs(p)
		}
		for _, at := range places {
			list = append(list, hub{p.ID, at, idle})
		}
		switch {
		case known || idle:
		case role == "":
			missing = append(missing, p.Path()+".role")
		default:
			missing = append(missing, p.Path()+".hub")
		}
	}
	return list, missing
}

// ownHubs are the places on a part of which no wheel is drawn where its wheels go.
func (s *Step) ownHubs(part *model.Item) (places []r3.Vec, known bool) {
	if at, written := part.Vec("hub"); written {
		return []r3.Vec{Point(at)}, true
	}
	switch role, _ := part.Text("role"); role {
	case "axle":
		return s.outermost(part.ID), true
	case "upright":
		cg, _ := part.Vec("cg")
		return []r3.Vec{Point(cg)}, true
	}
	return nil, false
}

// takesWheel reports whether a wheel goes on a part: it is an upright or axle, a brake or the nuts of a wheel are
// said to be on it, or it is an arm, or may be one, and nothing that is hung from the frame with it is one of
// those or a wheel.
func (v *Vehicle) takesWheel(part *model.Item) bool {
	if v.Rigid(part.ID) {
		return false
	}
	switch role, written := part.Text("role"); role {
	case "upright", "axle":
		return true
	case "arm", "":
		alone := !slices.ContainsFunc(spread(part.ID, v.outboardOf), func(id string) bool {
			role, _ := v.Build.Item(id).Text("role")
			return slices.Contains([]string{"upright", "axle", "wheel"}, role)
		})
		if alone || written {
			return alone
		}
	}
	return slices.ContainsFunc(slices.Concat(v.Build.Of("wheels"), v.Build.Of("brakes")), func(item *model.Item) bool {
		on, _ := item.Text("on")
		return on == part.ID
	})
}

// outboardOf are the parts that meet a part and hang with it, on the vehicle or off it. An anti-roll bar, a track rod
// and what these go to may be of the other side.
func (v *Vehicle) outboardOf(part string) (list []string) {
	for _, m := range v.Meets {
		if other, joined := m.Other(part); joined && !m.Item.Is(schema.Across) && !v.Rigid(other) {
			list = append(list, other)
		}
	}
	return list
}

// bareHubs are the places on a part where wheels go that are off.
func (s *Step) bareHubs(part string) (places []r3.Vec) {
	for _, m := range s.Vehicle.Meets {
		k := slices.Index(m.Parts[:], part)
		if k < 0 || m.Link || m.At == nil {
			continue
		}
		wheel := s.Vehicle.Build.Item(m.Parts[1-k])
		if role, _ := wheel.Text("role"); role == "wheel" && !slices.Contains(s.Parts, wheel) {
			places = append(places, Point(*m.At))
		}
	}
	return places
}

// wheeled reports whether a wheel is on a part.
func (s *Step) wheeled(part string) bool {
	return slices.ContainsFunc(s.Vehicle.neighbours(part, s.setting, false), func(id string) bool {
		role, _ := s.Vehicle.Build.Item(id).Text("role")
		return role == "wheel"
	})
}
