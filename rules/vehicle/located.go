package vehicle

import (
	"slices"
	"strings"

	"setdown/model"
	"setdown/model/statics"
)

// Located says how surely the points hold what passes at the joints and links of a step in
// place.
type Located struct {
	Gain   float64 // N for each newton of push from the side; the most of any member that is asked about
	GainIn string  // the joint or link
	Change float64 // share of the weight by which the ± of the points may change a load by more than itself
	In     string  // the joint or link with that load
	Points string  // the points that matter most for it, each with what it changes
	Rough  bool    // one of these is known no better than to roughly
}

// roughly is the ± above which a point is measured again before anything is concluded from
// it, m.
const roughly = 5e-3

// Located looks at the joints and links of a solved step that carry the vehicle, or at those
// that only hold up what hangs.
func (s *Step) Located(vehicle bool) Located {
	var l Located
	members := s.stance.members()
	look := func(item *model.Item, at statics.Located) {
		r := s.resting[item]
		if r.Carries == "nothing" || (r.Carries == "vehicle" || r.NoCarries != nil) != vehicle {
			return
		}
		if at.Gain > l.Gain*(1+alike) {
			l.Gain, l.GainIn = at.Gain, item.ID
		}
		share := at.Change / s.Weight()
		if at.Change <= at.Load || share <= l.Change*(1+alike) {
			return
		}
		l.Change, l.In, l.Rough = share, item.ID, false
		var words []string
		for _, p := range at.Points {
			words = append(words, s.Vehicle.pointName(p.Name))
			l.Rough = l.Rough || p.Tol > roughly
		}
		l.Points = strings.Join(words, ", ")
	}
	joints := s.stance.assembly.joints
	for _, item := range s.Vehicle.Build.Of("joints") {
		if i, on := joints[item.ID]; on {
			look(item, members[i])
		}
	}
	for _, item := range s.Vehicle.Build.Of("links") {
		if i, on := s.stance.assembly.links[item.ID]; on {
			look(item, members[len(joints)+i])
		}
	}
	return l
}

// members says how surely every joint, then every link is located, worked out once.
func (s *stance) members() []statics.Located {
	s.once.Do(func() { s.located = s.step.Members() })
	return s.located
}

// pointName is the name in the file of a point that statics names: an end of a link has its
// own.
func (v *Vehicle) pointName(name string) string {
	link, end, of := strings.Cut(name, "/")
	if ends := v.ends[link]; of {
		return ends[strings.Index("ab", end)].Name
	}
	return name
}

// Swinging is what may turn freely about a bearing, and how far the plumb line of its centre of gravity
// passes beside the axis, m.
type Swinging struct {
	Parts  []string
	Beside float64
}

// Swinging lists what may turn freely in a solved step and bears on no support.
func (s *Step) Swinging() []Swinging {
	var list []Swinging
	for _, w := range s.stance.step.Swinging() {
		out := Swinging{Beside: w.Beside}
		for _, p := range s.Parts {
			if slices.Contains(w.Bodies, s.stance.assembly.body[p.ID]) {
				out.Parts = append(out.Parts, p.ID)
			}
		}
		list = append(list, out)
	}
	return list
}
