package vehicle

import (
	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
)

// Limit is the pull of a droop strap, or the push of a stop, in a solved step, N; on is false for
// other restraints. A strut that is drawn short of full droop pulls nothing and pushes with its spring,
// so that a strap drawn taut beside it bears what hangs and that push: by is set where that is more
// than equilibrium with the strut as a bar has on it.
func (s *Step) Limit(restraint *model.Item) (newtons float64, by, on bool, unknown *Unknown) {
	i, on := s.stance.assembly.limitOn[restraint.ID]
	if !on || !s.Solved() {
		return 0, false, on, nil
	}
	newtons = s.stance.step.Tie(i).Most
	sprung := s.sprung[restraint]
	return max(newtons, sprung.load), sprung.load > newtons, true, sprung.unknown
}

// sprung is what a droop strap or stop that is taut as drawn bears with the coils that push beside it.
type sprung struct {
	load    float64  // N; nothing without such coils
	unknown *Unknown // what of that is not recorded: it is asked for with the strap
}

// findSprung works that out for each droop strap and stop of a step with loads.
func (s *Step) findSprung() {
	s.sprung, s.pushes = map[*model.Item]sprung{}, map[*model.Item]float64{}
	if s.NoLoads != nil {
		return
	}
	for _, t := range s.setting.limits {
		bars, coils, unknown := s.beside(t)
		s.sprung[t.item] = sprung{s.besideSprings(t, bars, coils), unknown}
		for _, coil := range coils {
			s.pushes[coil.Link] = coil.push
		}
	}
}

// pressed is a coil whose link is drawn shorter than it opens, and what it pushes there, N.
type pressed struct {
	*Spring
	push float64
}

// besideSprings is what a droop strap or stop bears where the springs of what hangs with it push as they
// are drawn, N, by the setting without their links; nothing without such springs. Forces of bars being
// linear in each other, a spring that as a bar in place of the strap passes N, where the strap without it
// bears T, adds T·push ÷ N to T.
func (s *Step) besideSprings(t tie, bars setting, out []pressed) float64 {
	if len(out) == 0 {
		return 0
	}
	on := s.standing(bars)
	if on == nil {
		return 0
	}
	pull := on.step.Link(on.assembly.links[t.item.ID])
	load, nominal := pull.Most, pull.Nominal
	if kind, _ := t.item.Text("kind"); kind == "stop" {
		load, nominal = -pull.Least, -pull.Nominal
	}
	for _, spring := range out {
		instead := bars.withoutLimit(t)
		instead.caught = s.setting.caught
		for _, o := range out {
			if o != spring {
				instead = instead.withoutLink(o.Link)
			}
		}
		if on := s.standing(instead); on != nil {
			if bar := on.step.Link(on.assembly.links[spring.Link.ID]).Nominal; bar != 0 {
				load += nominal / bar * spring.push
			}
		}
	}
	return max(0, load)
}

// beside are the coils that push beside a droop strap or stop: without their links, and without what else
// of its kind may go, the vehicle stands in the setting that is returned.
func (s *Step) beside(t tie) (bars setting, out []pressed, unknown *Unknown) {
	bars = s.setting
	springs, unknown := s.pressed(s.Vehicle.hangingWith(t, s.setting))
	if len(springs) == 0 || unknown != nil {
		return bars, nil, unknown
	}
	bars.stiff = true
	for _, spring := range springs {
		if less := bars.withoutLink(spring.Link); s.standing(less) != nil {
			bars, out = less, append(out, spring)
		}
	}
	for _, other := range s.setting.limits {
		if less := bars.withoutLimit(other); other.item != t.item && s.standing(less) != nil {
			bars = less
		}
	}
	return bars, out, nil
}

// pressed are the coils that push between parts that hang and others. A coil by itself hangs from
// nothing: it pulls in no pose.
func (s *Step) pressed(hangs map[string]bool) (list []pressed, unknown *Unknown) {
	for _, spring := range s.Vehicle.springs {
		if spring.Link == nil {
			continue
		}
		ends := s.Vehicle.Ends(spring.Link)
		in, known := spring.Bool("found.fitted")
		if known && !in || s.Undone(spring.Link) || s.Off(ends[0]) || s.inside(ends[0]) || !hangs[ends[0].Parts[0]] && !hangs[ends[0].Parts[1]] {
			continue
		}
		if spring.Kind == "" {
			return nil, NotRecorded(spring.Path() + ".kind")
		}
		if !spring.Coil() {
			continue
		}
		open, unknown := spring.Open()
		if unknown != nil {
			return nil, unknown
		}
		drawn := r3.Norm(r3.Sub(Point(*ends[0].At), Point(*ends[1].At)))
		if spring.Kind == "coil-over" && drawn >= open {
			continue // it hangs in its own stop
		}
		push, unknown := s.Vehicle.drawnPush(spring)
		if unknown != nil {
			return nil, unknown
		}
		list = append(list, pressed{spring, push})
	}
	return list, nil
}

// standing is the step in another setting, on the same supports; nil where it does not stand.
func (s *Step) standing(in setting) *stance {
	return s.Vehicle.standing(in, s.Texts("supports"), s.stance.situation)
}
