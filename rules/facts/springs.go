package facts

import (
	"slices"

	"setdown/model/quantity"
	"setdown/model/strength"
	"setdown/rules/vehicle"
	"setdown/rules/verdict"
)

var ofSprings = append(fixed(
	yesNo("anchored", "the file names the face by which the socket of a torsion bar's far end is held, or says that it is one piece with its part", func(it item) bool {
		if integral, stated := integralSocket.ifStated(it); stated && integral {
			return true
		}
		s := it.spring()
		return !it.open() && s.Anchor != nil
	}),
	measured("loose", quantity.Length, "how far it is off its seat at full droop; nothing where it still pushes there, and of a leaf or torsion bar", func(it item) float64 {
		s := it.spring()
		if !it.coil(s) {
			return 0
		}
		free, unknown := s.Free()
		it.because(unknown)
		open, unknown := s.Open()
		it.because(unknown)
		return max(0, open-free)
	}),
	measured("drawn_past", quantity.Length, "by how much further apart its ends are drawn than they are at full droop; nothing of a leaf or torsion bar", func(it item) float64 {
		s := it.spring()
		if !it.coil(s) {
			return 0
		}
		open, unknown := s.Open()
		it.because(unknown)
		return max(0, it.of(s.Link).span()-open)
	}),
),
	yesNo("hangs", "nothing presses it under the weight straight down: it is at full droop", func(it item) bool {
		s := it.spring()
		if !it.coil(s) || it.of(s.Link).linkOff() {
			return false
		}
		it.because(it.step().NoLoads)
		return !it.open() && it.step().Droops(s.Link)
	}),
	measured("stands_at", quantity.Length, "between the centres of its ends, by its rate and seats under the weight straight down; nothing of a leaf or torsion bar", springLength),
	measured("off_drawing", quantity.Length, "by how much longer that is than drawn, and so how far the pose is from the one that the loads are worked out in; shorter is negative", func(it item) float64 {
		length, s := springLength(it), it.spring()
		if it.open() || !it.coil(s) || it.of(s.Link).linkOff() {
			return 0
		}
		ends := it.of(s.Link).ends()
		return length - distance(*ends[0].At, *ends[1].At)
	}),
	yesNo("on_stop", "it is pressed together as far as its bump stop or its closed damper", func(it item) bool {
		length, s := springLength(it), it.spring()
		if !it.coil(s) || s.Kind == "coil" {
			return false
		}
		return length <= closedLength.of(it)
	}),
	measured("bind_utilisation", quantity.Number, "push ÷ what shuts its coils, or ÷ its rated load", use(springBears)),
	working(springBears, func(it item) *Comparison {
		if s := it.spring(); kindOfIt.of(it) == "torsion bar" && s.Joint != nil {
			return it.twisted(s)
		}
		push := it.pushOn()
		if it.open() || push == 0 {
			return nil
		}
		if most, stated := rated.ifStated(it); stated {
			return against("spring against its rating", push, 1, strength.Result{Value: most, Method: "rated load of the spring", Source: "the maker's rating"}, nil)
		}
		if !it.coil(it.spring()) {
			rated.of(it)
			return nil
		}
		rate, free, solid := springRate.of(it), freeLength.of(it), solidLength.of(it)
		if it.open() {
			return nil
		}
		r, err := strength.CoilBind(rate, free, solid)
		return against("spring against coil bind", push, 1, r, err)
	}),
)

// twisted holds what a torsion bar passes against its maker's rating.
func (it item) twisted(s *vehicle.Spring) *Comparison {
	if it.because(it.step().NoLoads); it.open() {
		return nil
	}
	torque, unknown := it.step().Torque(s)
	if it.because(unknown); torque == 0 {
		return nil
	}
	rated := ratedTorque.of(it)
	c := against("torsion bar against its rating", torque, 1, strength.Result{Value: rated, Method: "rated torque of the torsion bar", Source: "the maker's rating"}, nil)
	c.Unit = units[quantity.Torque]
	return c
}

// pushOn is the worst push on a spring, N: of a coil along its link, else what passes where it is
// held.
func (it item) pushOn() float64 {
	s := it.spring()
	if !it.coil(s) {
		return loadOn.of(it)
	}
	_, push := it.of(s.Link).force()
	return push
}

// unsprung says why it does not stand by its springs; "nothing" where it does, where it has none,
// or where the suspension is of a kind that is not moved here.
func unsprung(it item) string {
	if !it.step().OnWheels() {
		return "nothing"
	}
	_, trouble := it.set.state.standing()
	switch {
	case trouble == nil:
	case trouble.Kind == verdict.TravelNotRecorded:
		it.because(vehicle.NotRecorded(slices.Clone(trouble.Fields)...))
	case trouble.Kind == verdict.TravelImpossible:
		return trouble.Words
	}
	return "nothing"
}
