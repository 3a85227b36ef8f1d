package vehicle

import (
	"slices"

	"setdown/model"
)

// bothSides reports whether a place of the walk round is of both sides of the vehicle, for all that
// its name says.
func bothSides(place string) bool { return model.WhereIs(place).Side == "" }

// stood is one support of a step by its place.
type stood struct {
	model.Where
	at    string // its end, else its place; "" where the place is that of the vehicle as a whole
	lifts bool   // a jack or a crane
}

// Bare says where nothing stands under the vehicle, by the places that are written of its
// supports, and how three of them are no triangle round its weight; "" where it stands on both
// ends. It is asked where nothing says more exactly where it stands: of a checklist without
// measured places.
func (s *Step) Bare() (how string, unknown *Unknown) {
	if !s.Vehicle.Checklist() || s.Unsolved == nil {
		return "", nil
	}
	whole := ""
	if base := s.Vehicle.Build.Item(s.Vehicle.base); base != nil {
		whole, _ = base.Text("place")
	}
	var all []stood
	var missing []string
	pieces := 0
	for _, support := range s.Supports {
		alike := Pieces(support)
		pieces += int(alike)
		place := s.Vehicle.standsIn(support)
		if place == "" {
			missing = append(missing, support.Path()+".place")
			continue
		}
		one := stood{Where: model.WhereIs(place), lifts: OfKind("jack", "crane")(support)}
		if one.at = one.End; one.at == "" && place != whole {
			one.at = place
		}
		for range alike {
			all = append(all, one)
		}
	}
	how = bare(all)
	three := pieces == 3 && slices.ContainsFunc(s.Supports, OfKind("jack", "crane"))
	switch {
	case missing != nil && (three || how != ""):
		return "", NotRecorded(missing...)
	case three && how == "":
		how = noTriangle(all)
	}
	return how, nil
}

// standsIn is the place of a support: its own, else that of the wheel it names. That of the part
// that it is under is where the part is and not where it stands.
func (v *Vehicle) standsIn(support *model.Item) string {
	if place := v.Build.Place(support); place != "" {
		return place
	}
	if wheel, named := support.Text("wheel"); named {
		return v.Place(v.Build.Item(wheel))
	}
	return ""
}

// StandsAt is the end and the side of the vehicle at which a support stands by its place.
func (v *Vehicle) StandsAt(support *model.Item) model.Where {
	return model.WhereIs(v.standsIn(support))
}

// bare says at which end or side none of the supports stands.
func bare(all []stood) string {
	ends, sides, corners := map[string]bool{}, map[string]bool{}, map[model.Where]bool{}
	for _, one := range all {
		if one.at != "" {
			ends[one.at] = true
		}
		sides[one.Side] = true
		corners[one.Where] = true
	}
	other := map[string]string{"front": "rear", "rear": "front", "left": "right", "right": "left"}
	switch {
	case len(ends) == 0:
		return "no support has a place at an end of it"
	case len(ends) == 1:
		for at := range ends {
			if o := other[at]; o != "" {
				return "nothing stands under its " + o
			}
			return "all that has a place at an end of it stands in " + at
		}
	case len(sides) == 1 && !sides[""]:
		for side := range sides {
			return "nothing stands under its " + other[side]
		}
	case len(corners) == 2 && !slices.ContainsFunc(all, func(one stood) bool { return one.End == "" || one.Side == "" }):
		return "all its supports stand in two corners, in one line across it"
	}
	return ""
}

// noTriangle says why three supports of which one lifts are none round the weight: two belong under
// one end, one on each side, and what lifts in the middle of the other.
func noTriangle(all []stood) string {
	for i, one := range all {
		var others []stood
		others = append(append(others, all[:i]...), all[i+1:]...)
		if one.lifts && one.Side == "" && others[0].at == others[1].at && others[0].at != one.at && (others[0].Side == "" || others[0].Side != others[1].Side) {
			return ""
		}
	}
	return "its three supports are no triangle round the weight: two belong under one end, one on each side, and the jack in the middle of the other"
}
