package facts

import (
	"slices"

	"setdown/rules/travel"
	"setdown/rules/vehicle"
	"setdown/rules/verdict"
)

// OnSprings is how the vehicle stands by its springs where the step has it on all of its wheels
// and on nothing else; nil where it has none, or where that was not found.
func (s *Set) OnSprings() *travel.Standing {
	if !s.Now.OnWheels() {
		return nil
	}
	if st, _ := s.state.standing(); st != nil && st.Wheels() == len(s.Now.Supports) {
		return st
	}
	return nil
}

// poseAngle is how far the worst of some joints and link ends is out of square in the pose in which
// springs put it, rad. A bolt that is square to its link, whichever way it points, goes no further
// out of square than the link tilts: that counts as long as it is within the limit.
func (it item) poseAngle(meets ...*vehicle.Meet) float64 {
	worst := 0.0
	it.mechanism() // as it hangs down
	for _, m := range meets {
		droop := it.set.state.droops()[m.Name]
		if droop == nil || it.step().Off(m) {
			continue
		}
		it.because(it.step().NoLoads)
		if it.open() {
			return 0
		}
		angles, atMost := droop.Angles, droop.AtMost
		switch st := it.set.OnSprings(); {
		case st != nil:
			angles, atMost = st.Angles, st.AtMost
		case !slices.ContainsFunc(droop.Springs, it.step().Droops): // as drawn: on what pushes, in its strap, or in the strap that stands in for a strut that is out
			continue
		case droop.Trouble != nil && droop.Trouble.Kind == verdict.TravelNotRecorded:
			it.because(vehicle.NotRecorded(slices.Clone(droop.Trouble.Fields)...))
			return 0
		case slices.ContainsFunc(droop.Springs, it.step().Undone):
			it.not("one of the struts of its suspension is out, so that nobody knows how far it hangs down")
			return 0
		case droop.Trouble != nil:
			it.not("its suspension could not be let down to full droop: %s %s", droop.Trouble.Kind, droop.Trouble.Words)
			return 0
		}
		angle, directed := angles[m.Name]
		if !directed {
			most, square := atMost[m.Name]
			if limit, stated := rodLimit.ifStated(it); !square || stated && most > limit {
				it.because(vehicle.NotRecorded(m.Path("axis")))
			}
			angle = most
		}
		worst = max(worst, angle)
	}
	return worst
}
