package vehicle

import (
	"cmp"
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
	if unknown = cmp.Or(unknown, s.woundBeside(t)); unknown != nil {
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
			if t.pushes {
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
// up one arm is such a strap as well. What is tied up as one lump is pressed in it as it is drawn; and so is one that
// a bar keeps as short.
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
	s = v.withBarred(s, supports, in)
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

// levered is how many newtons of other joints and links hold one of a spring at the most so that it counts as
// held where it is. Rockers have levers of up to three to one; links of an axle that are 20 mm out of parallel need more.
const levered = 10

// withBarred puts the springs in the place of their links that something rigid keeps as short as they are drawn,
// whatever they push: a bar beside them, a push rod behind whose rocker the corner is tied up. Equilibrium
// leaves open what such a link passes, and its spring does not. Of several on what hangs together all are kept
// so, or none is.
func (v *Vehicle) withBarred(s setting, supports []string, in situation) setting {
	var shared []*Spring
	a := v.assemble(s)
	for _, spring := range v.springs {
		if a.model == nil || spring.Link == nil || spring.Kind != "" && !spring.Coil() {
			continue
		}
		fitted, known := spring.Bool("found.fitted")
		i, on := a.links[spring.Link.ID]
		if on && (fitted || !known) && a.model.Beside(i) <= levered {
			shared = append(shared, spring)
		}
	}
	for len(shared) > 0 {
		ends := v.Ends(shared[0].Link)
		hangs := v.hangingWith(tie{parts: []string{ends[0].Parts[0]}, to: ends[1].Parts[0]}, s)
		first := shared[0] // by itself where both of its ends are on what hangs from nothing
		together := func(spring *Spring) bool {
			return spring == first || slices.ContainsFunc(v.Ends(spring.Link), func(m *Meet) bool { return hangs[m.Parts[0]] })
		}
		nominal, most := s, s
		for _, spring := range shared {
			if !together(spring) {
				continue
			}
			if spring.Kind == "" {
				nominal.unpressed = append(slices.Clone(nominal.unpressed), spring.Path()+".kind")
				continue
			}
			p, short, unknown := v.presses(spring)
			switch {
			case unknown != nil && p.Spring == nil:
				nominal.unpressed = append(slices.Clone(nominal.unpressed), unknown.Missing...)
			case short:
				nominal, most = nominal.with(p), most.with(p.most())
			}
		}
		shared = slices.DeleteFunc(shared, together)
		switch {
		case len(nominal.unpressed) > len(s.unpressed):
			s = nominal
		case v.standing(nominal, supports, in) != nil:
			s = nominal
		case v.standing(most, supports, in) != nil:
			s = most
		}
	}
	return s
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

// woundBeside is why it is not known that the leaves and torsion bars of what hangs with a strap or stop push
// nothing on it: what one is wound up with is not computed. On what a support bears they carry, and the strap
// is slack.
func (s *Step) woundBeside(t tie) *Unknown {
	hangs := s.Vehicle.hangingWith(t, s.setting)
	with := func(m *Meet) bool { return !s.Off(m) && (hangs[m.Parts[0]] || hangs[m.Parts[1]]) }
	if slices.ContainsFunc(s.Supports, func(support *model.Item) bool {
		under, _ := support.Text("under")
		return hangs[under]
	}) {
		return nil
	}
	for _, p := range s.Parts {
		if isSpring(p) && hangs[p.ID] {
			if unknown := hangsFree(p); unknown != nil {
				return unknown
			}
		}
	}
	for _, spring := range s.Vehicle.springs {
		if spring.Link == nil {
			if _, unknown := s.pushesOn(spring, with); unknown != nil {
				return unknown
			}
		}
	}
	return nil
}

// isSpring reports whether a part is a leaf or torsion bar.
func isSpring(part *model.Item) bool {
	role, _ := part.Text("role")
	return role == "spring"
}

// hangsFree is why it is not known that a leaf or torsion bar, a part or one of the springs, pushes nothing on
// what is tied up: its force is not computed.
func hangsFree(spring *model.Item) *Unknown {
	free, known := spring.Bool("found.hangs_free")
	switch {
	case !known:
		return NotRecorded(spring.Path() + ".found.hangs_free")
	case !free:
		return NotComputed("%s pushes on what is tied up, and its force is not computed: let it down until it hangs free, then tie it up", spring.ID)
	}
	return nil
}

// pushesOn is the most that a spring pushes on parts that are tied, N: drawn is where they are tied.
func (s *Step) pushesOn(spring *Spring, tied func(*Meet) bool) (float64, *Unknown) {
	if in, known := spring.Bool("found.fitted"); known && !in {
		return 0, nil
	}
	for _, name := range spring.Texts("holds") {
		ends := s.Vehicle.ends[name]
		if m := s.Vehicle.meets[name]; m != nil {
			ends = []*Meet{m}
		}
		switch {
		case !slices.ContainsFunc(ends, tied):
		case spring.Kind == "":
			return 0, NotRecorded(spring.Path() + ".kind")
		case !spring.Coil() && slices.ContainsFunc(ends, func(m *Meet) bool {
			return isSpring(s.Vehicle.Build.Item(m.Parts[0])) || isSpring(s.Vehicle.Build.Item(m.Parts[1]))
		}): // the part is asked
		case !spring.Coil():
			return 0, hangsFree(spring.Item)
		default:
			p, unknown := s.Vehicle.drawnPush(spring)
			return p.push + p.more, unknown
		}
	}
	return 0, nil
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
