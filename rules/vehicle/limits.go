package vehicle

import (
	"slices"

	"setdown/model"
	"setdown/model/statics"
)

// Limit is the pull of a droop strap, or the push of a stop, in a solved step, N; on is false for
// other restraints. A strut that is drawn short of full droop pulls nothing and pushes with its spring,
// so that a strap drawn taut beside it bears what hangs and that push: by is set where one does.
func (s *Step) Limit(restraint *model.Item) (newtons float64, by, on bool, unknown *Unknown) {
	i, on := s.stance.assembly.limitOn[restraint.ID]
	if !on || !s.Solved() {
		return 0, false, on, nil
	}
	newtons = s.stance.step.Tie(i).Most
	t := s.setting.limits[slices.IndexFunc(s.setting.limits, func(t tie) bool { return t.item == restraint })]
	springs, unknown := s.Vehicle.pressedBeside(t, s.setting)
	if unknown != nil {
		return 0, false, true, unknown
	}
	loose := s.setting // with those that the load presses shorter in some case and not in another
	for _, spring := range springs {
		if _, pressed := s.setting.presses(spring.Link); pressed {
			by = true
		} else {
			loose = loose.with(spring)
		}
	}
	if len(loose.pressed) > len(s.setting.pressed) {
		loose.stiff = true
		if on := s.Vehicle.standing(loose, s.Texts("supports"), s.stance.situation); on != nil {
			bar := on.step.Link(on.assembly.links[restraint.ID])
			pull := bar.Most
			if kind, _ := restraint.Text("kind"); kind == "stop" {
				pull = -bar.Least
			}
			newtons, by = max(newtons, pull), by || pull > newtons
		}
	}
	return newtons, by, true, nil
}

// pressed is a coil whose link is drawn shorter than it opens, what it pushes there, N, and by how much more or
// less that may be.
type pressed struct {
	*Spring
	push, more float64
}

// most is the same where it pushes as much as it may.
func (p pressed) most() pressed { return pressed{p.Spring, p.push + p.more, 0} }

// withPressed puts the springs of what hangs in straps or rests against stops in the place of their links
// where the vehicle stands so: as far as the strap lets them, they push as they are drawn, or at most as hard as
// they may. Where what hangs is pressed up harder than that, the strap is slack and the link a bar. A strap with its points that ties
// up one arm is such a strap as well. What is tied up as one lump is pressed in it as it is drawn; and so is a coil
// by itself whose damper beside it is pulled.
func (v *Vehicle) withPressed(s setting, supports []string, in situation) setting {
	beside := func(t tie, more setting) {
		springs, _ := v.pressedBeside(t, more) // what is not recorded of them is asked for with the strap
		for _, spring := range springs {
			if _, on := s.presses(spring.Link); on {
				continue
			}
			for _, as := range []pressed{spring, spring.most()} {
				if with := more.with(as); v.standing(with, supports, in) != nil {
					s, more = with, with
					break
				}
			}
		}
	}
	for _, t := range s.limits {
		beside(t, s)
	}
	for _, t := range s.ties {
		if t.single() && v.hinged(t.parts[0], s) {
			beside(t, s.asLimits(t.parts[0]))
		}
	}
	for _, spring := range v.springs {
		damper := v.damperOf(spring)
		if damper == nil || s.isOff(v.Ends(spring.Link)[0]) {
			continue
		}
		fitted, known := spring.Bool("found.fitted")
		if push, _, unknown := v.presses(spring); unknown == nil && (fitted || !known) {
			with := s.with(push)
			if on := v.standing(with, supports, in); on != nil && on.pulled(damper) {
				s = with
			}
		}
	}
	a := v.assemble(s)
	for _, spring := range v.springs {
		if !spring.Coil() || a.rigid {
			continue
		}
		ends := v.Ends(spring.Link)
		from, to := ends[0].Parts[0], ends[1].Parts[0]
		in, known := spring.Bool("found.fitted")
		if known && !in || s.isOff(ends[0]) || a.body[from] != a.body[to] || !a.tied[from] && !a.tied[to] {
			continue
		}
		// Where nobody wrote how far it opens it may be pressed as it is drawn.
		if p, short, _ := v.presses(spring); short && p.push+p.more > 0 {
			s = s.with(p)
		}
	}
	return s
}

// withShared lets a vehicle with springs of known rate between its supports stand on all of these, each as its springs
// share the weight, where a stiff one would rock on some of them. Where something of a spring is not recorded, or one
// would open or close as far as it goes, it rocks as a stiff one does, which is the worse.
func (v *Vehicle) withShared(s setting, supports []string, in situation) setting {
	if !slices.ContainsFunc(v.springs, (*Spring).Coil) {
		return s
	}
	on := v.standing(s, supports, in)
	if on == nil || on.assembly.rigid {
		return s
	}
	var springs []*Spring
	var list []statics.Rated
	for _, spring := range v.springs {
		if !spring.Coil() {
			continue
		}
		if i, between := on.assembly.links[spring.Link.ID]; between {
			rated, unknown := v.rated(spring)
			if unknown != nil {
				return s
			}
			rated.Link = i
			springs, list = append(springs, spring), append(list, rated)
		}
	}
	shares, hold := on.step.Share(list)
	for i, p := range shares {
		if !springs[i].travels(p) {
			return s
		}
	}
	with := s
	for _, i := range hold {
		with.shared = append(with.shared, pressed{springs[i], shares[i].Push, shares[i].More})
	}
	if hold == nil || v.standing(with, supports, in) == nil {
		return s
	}
	return with
}

// withEased hangs what several droop straps hold on all of them, where a slack one would leave geometry to hold it that hardly does.
func (v *Vehicle) withEased(s setting, supports []string, in situation) setting {
	if len(s.limits) < 2 {
		return s
	}
	on := v.standing(s, supports, in)
	if on == nil || on.assembly.rigid {
		return s
	}
	with := s
	if with.eased = on.step.Ease(v.policy.GainMost); with.eased == nil || v.standing(with, supports, in) == nil {
		return s
	}
	return with
}

// damperOf is the link beside a coil between the same two parts, in which what hangs there hangs: a coil by
// itself pulls in no pose. It is nil of other springs, and where there is none.
func (v *Vehicle) damperOf(spring *Spring) *model.Item {
	if spring.Kind != "coil" || spring.Link == nil {
		return nil
	}
	parts := func(link *model.Item) [2]string {
		ends := v.Ends(link)
		return [2]string{min(ends[0].Parts[0], ends[1].Parts[0]), max(ends[0].Parts[0], ends[1].Parts[0])}
	}
	for _, link := range v.Build.Of("links") {
		if role, _ := link.Text("role"); role == "strut" && v.SpringOf(link) == nil && len(v.Ends(link)) > 0 && parts(link) == parts(spring.Link) {
			return link
		}
	}
	return nil
}

// pulled reports whether a link is pulled, or bears nothing, in every case.
func (s *stance) pulled(link *model.Item) bool {
	i, on := s.assembly.links[link.ID]
	return on && s.step.Link(i).Least >= 0
}

// pressedBeside are the coils that push between what hangs with a strap or stop and other parts. A coil by
// itself hangs from nothing: it pulls in no pose.
func (v *Vehicle) pressedBeside(t tie, s setting) (list []pressed, unknown *Unknown) {
	var hangs map[string]bool
	body := v.assemble(s).body
	for _, spring := range v.springs {
		if spring.Link == nil {
			continue
		}
		if hangs == nil {
			hangs = v.hangingWith(t, s)
		}
		ends := v.Ends(spring.Link)
		from, to := ends[0].Parts[0], ends[1].Parts[0]
		in, known := spring.Bool("found.fitted")
		if known && !in || s.isOff(ends[0]) || body[from] == body[to] || !hangs[from] && !hangs[to] {
			continue
		}
		if spring.Kind == "" {
			return nil, NotRecorded(spring.Path() + ".kind")
		}
		if !spring.Coil() {
			continue
		}
		p, short, unknown := v.presses(spring)
		if unknown != nil {
			return nil, unknown
		}
		if short {
			list = append(list, p)
		}
	}
	return list, nil
}

// presses is a coil with what it pushes at the length that is drawn; short is false where that is its damper's
// stop, in which it hangs, and true where only that is not recorded.
func (v *Vehicle) presses(spring *Spring) (p pressed, short bool, unknown *Unknown) {
	p, unknown = v.drawnPush(spring)
	if unknown != nil {
		return p, false, unknown
	}
	open, unknown := spring.Open()
	return p, unknown != nil || spring.Kind == "coil" || v.drawn(spring) < open, unknown
}
