package vehicle

import (
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/quantity"
)

// Tying is how what a restraint ties up hangs in a step.
type Tying struct {
	Loose  string  // why it is not held; "" where it is
	Swings bool    // straps alone hold it
	Load   float64 // N, the most on this restraint
}

// steepest is how far from the plumb line a strap may stand, rad: beyond it the pull is more
// than twice what it lifts, and sling makers forbid it.
const steepest = 60 * math.Pi / 180

// lump is what restraints hold together: its parts, the restraints, and the joints and link
// ends to other parts that are shown to be sound.
type lump struct {
	parts []string
	ties  []tie
	kept  []*Meet
	// doubtful is what nobody recorded of the other joints and links to other parts; they may be
	// sound as well.
	doubtful []string
	unsure   []*Meet
}

// Tying is how what a restraint ties up hangs in the step. A strap is no hook: what it ties has
// to keep joints to the rest, or hang on several straps. Whatever nobody recorded that may
// decide is asked.
func (s *Step) Tying(restraint *model.Item) (Tying, *Unknown) {
	if load, on := s.Rest(restraint); on {
		return Tying{Load: load}, s.NoLoads
	}
	if slices.Contains(s.setting.places, restraint) {
		m, known := restraint.Quantity("mass")
		if !known {
			return Tying{}, NotRecorded(restraint.Path() + ".mass")
		}
		return Tying{Load: (m.Value + m.Tol) * Gravity / math.Cos(steepest)}, nil
	}
	i := s.tie(restraint)
	if i < 0 {
		return Tying{}, s.NoLoads // not used, or a stop between parts that are tied together
	}
	if _, known := restraint.Text("kind"); !known {
		return Tying{}, NotRecorded(restraint.Path() + ".kind")
	}
	t := s.setting.ties[i]
	weight, unknown := s.hangsOn(t, nil)
	if unknown != nil {
		return Tying{}, unknown
	}
	l := s.lump(t)
	if slices.ContainsFunc(l.ties, func(t tie) bool { return !t.pointed() }) {
		return l.upOnly(t, weight)
	}
	for _, t := range l.ties {
		if lean := t.lean(); lean > steepest {
			return Tying{Loose: t.item.ID + " stands " + quantity.Format(math.Round(lean*180/math.Pi)) + "° from the plumb line; 60° is the most"}, nil
		}
	}
	out := Tying{Load: weight / math.Cos(t.lean())}
	if len(l.kept) == 0 {
		out.Swings = true
		if out.Loose, unknown = s.astride(l); unknown != nil {
			return Tying{}, unknown
		}
		return out, l.orAsk(out.Loose)
	}
	if slices.ContainsFunc(l.kept, func(m *Meet) bool {
		return m.At == nil || m.axial() && m.Axis == nil || m.Link && s.Vehicle.Far(m).At == nil
	}) {
		return l.upOnly(t, weight)
	}
	loose, pull, err := s.hung(l, t)
	if err != nil {
		return out, NotComputed("%v", err)
	}
	out.Loose, out.Load = loose, max(out.Load, pull)
	return out, l.orAsk(out.Loose)
}

// orAsk is what nobody recorded of the joints that might hold it all the same.
func (l *lump) orAsk(loose string) *Unknown {
	if loose != "" && len(l.doubtful) > 0 {
		return NotRecorded(slices.Clone(l.doubtful)...)
	}
	return nil
}

// upOnly is for straps whose points nobody wrote: they only hold up, at up to 60 degrees, so
// that the joints that are left have to do the rest.
func (l *lump) upOnly(t tie, weight float64) (Tying, *Unknown) {
	out := Tying{Load: weight / math.Cos(steepest)}
	if t.block() {
		out.Load = weight
	}
	if guided(l.kept) {
		return out, nil
	}
	out.Loose = "without its points it only holds up, and what it ties keeps no two sound joints to one part, nor two and a link"
	if guided(slices.Concat(l.kept, l.unsure)) {
		return out, l.orAsk(out.Loose)
	}
	return out, nil
}

// guided reports whether joints leave a part little to do but to go up and down: a face, a long
// bearing or slide, two joints to one other part, or two and a link.
func guided(meets []*Meet) bool {
	joints, links := 0, 0
	to := map[string]int{}
	for _, m := range meets {
		switch {
		case m.Link:
			links++
		case m.motion != turns:
			return true
		default:
			joints++
			pair := []string{m.Parts[0], m.Parts[1]}
			slices.Sort(pair)
			key := strings.Join(pair, " ")
			if to[key]++; to[key] == 2 {
				return true
			}
		}
	}
	return joints >= 2 && links > 0
}

// astride says what is wrong with how straps alone hold a lump: they have to be attached no lower
// than its centre of gravity, on either side of it.
func (s *Step) astride(l *lump) (string, *Unknown) {
	centre, mass := r3.Vec{}, 0.0
	var missing []string
	for _, id := range l.parts {
		part := s.Vehicle.Build.Item(id)
		m, weighed := part.Quantity("mass")
		cg, placed := part.Vec("cg")
		if !weighed {
			missing = append(missing, part.Path()+".mass")
		}
		if !placed {
			missing = append(missing, part.Path()+".cg")
		}
		centre, mass = r3.Add(centre, r3.Scale(m.Value, Point(cg))), mass+m.Value
	}
	if len(missing) > 0 {
		return "", NotRecorded(missing...)
	}
	centre = r3.Scale(1/mass, centre)
	either := false
	for i, a := range l.ties {
		from := r3.Sub(Point(*a.at), centre)
		if from.Z < -tape {
			return a.item.ID + " is attached below the centre of gravity: it turns over", nil
		}
		for _, b := range l.ties[:i] {
			to := r3.Sub(Point(*b.at), centre)
			either = either || from.X*to.X+from.Y*to.Y < 0
		}
	}
	if !either {
		return "no joint of it is left, and no two straps are attached on either side of its centre of gravity", nil
	}
	return "", nil
}

// lump finds what hangs together on a restraint.
func (s *Step) lump(t tie) *lump {
	l := &lump{parts: slices.Clone(t.parts), ties: []tie{t}}
	for grown := true; grown; {
		grown = false
		for _, other := range s.setting.ties {
			has := func(part string) bool { return slices.Contains(l.parts, part) }
			if slices.ContainsFunc(l.ties, func(t tie) bool { return t.item == other.item }) || !slices.ContainsFunc(other.parts, has) {
				continue
			}
			l.ties, grown = append(l.ties, other), true
			for _, p := range other.parts {
				if !has(p) {
					l.parts = append(l.parts, p)
				}
			}
		}
	}
	for _, m := range s.Vehicle.Meets {
		first, second := slices.Contains(l.parts, m.Parts[0]), slices.Contains(l.parts, m.Parts[1])
		if s.Off(m) || first == second || m.Link && !first {
			continue // a link is there by its end on the lump
		}
		sound, missing := s.Vehicle.shown(m)
		switch {
		case sound:
			l.kept = append(l.kept, m)
		case len(missing) > 0:
			l.doubtful, l.unsure = append(l.doubtful, missing...), append(l.unsure, m)
		}
	}
	return l
}

// shown reports whether a joint, or a link with both its ends, is known to be there and sound, and
// what nobody recorded of it that may make it so; nothing where something of it is known to be
// wrong.
func (v *Vehicle) shown(m *Meet) (sound bool, missing []string) {
	ends := []*Meet{m}
	if m.Link {
		ends = v.Ends(m.Item)
		if fitted, known := m.Item.Bool("found.fitted"); !known {
			missing = append(missing, m.Item.Path()+".found.fitted")
		} else if !fitted {
			return false, nil
		}
	}
	sound = true
	for _, e := range ends {
		if !v.sound(e) {
			sound = false
		}
		for _, h := range v.holds[e.Name] {
			switch {
			case h.Sound():
			case h.Short > 0 || h.cracked || h.TooSmall != "" || h.Made != "" && h.Made != "full" || h.Tight == "loose" || h.Tight == "finger":
				return false, nil
			case len(h.Missing) > 0:
				missing = append(missing, h.Missing...)
			default:
				missing = append(missing, h.Path()+".found.tightness")
			}
		}
	}
	return sound && len(missing) == 0, missing
}

// pointed reports whether it is known where a strap pulls: a block has no line.
func (t tie) pointed() bool { return t.at != nil && t.end != nil && !t.block() }

func (t tie) block() bool {
	kind, _ := t.item.Text("kind")
	return kind == "block"
}

// lean is how far a strap stands from the plumb line, rad; more than a right angle where it pulls
// down.
func (t tie) lean() float64 {
	up := r3.Sub(Point(*t.end), Point(*t.at))
	return math.Acos(up.Z / r3.Norm(up))
}

// hangsOn is the most that a restraint may have to hold, N: the weight of the parts that
// it ties, what every joint and link of theirs passes on from parts that it does not, and
// what is tied to them in turn. above are the restraints that this one hangs on.
func (s *Step) hangsOn(t tie, above []*model.Item) (float64, *Unknown) {
	if slices.Contains(above, t.item) {
		return 0, NotComputed("%s is tied to something that hangs on itself", t.item.ID)
	}
	load, missing := 0.0, []string(nil)
	for _, id := range t.parts {
		m, ok := s.Vehicle.Build.Item(id).Quantity("mass")
		if !ok {
			missing = append(missing, "parts."+id+".mass")
		}
		load += (m.Value + m.Tol) * Gravity
	}
	if len(missing) > 0 {
		return 0, NotRecorded(missing...)
	}
	tied := func(m *Meet) bool {
		return slices.Contains(t.parts, m.Parts[0]) || slices.Contains(t.parts, m.Parts[1])
	}
	for _, spring := range s.Vehicle.springs {
		push, unknown := s.pushesOn(spring, tied)
		if unknown != nil {
			return 0, unknown
		}
		load += push
	}
	for _, m := range s.Vehicle.Meets {
		switch {
		case s.Off(m) || !tied(m) || s.inside(m):
		case s.NoLoads != nil:
			return 0, s.NoLoads
		case m.Link && !slices.Contains(t.parts, m.Parts[0]):
			// Both its ends are meets; the one on the tied part passes its force.
		default:
			load += s.passes[m].Whole
		}
	}
	for _, below := range s.setting.ties {
		if !slices.Contains(t.parts, below.to) {
			continue
		}
		more, unknown := s.hangsOn(below, append(slices.Clone(above), t.item))
		if unknown != nil {
			return 0, unknown
		}
		load += more
	}
	return load, nil
}

// pushesOn is what a spring pushes on parts that are tied, N: drawn is where they are tied.
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
		case !spring.Coil():
			return 0, NotComputed("%s pushes on what it ties, and its force is not computed", spring.ID)
		default:
			return s.Vehicle.drawnPush(spring)
		}
	}
	return 0, nil
}

// drawnPush is what a coil pushes where its link is as long as it is drawn, N.
func (v *Vehicle) drawnPush(spring *Spring) (float64, *Unknown) {
	free, unknown := spring.Free()
	if unknown != nil {
		return 0, unknown
	}
	rate, unknown := spring.Rate()
	if unknown != nil {
		return 0, unknown
	}
	ends := v.Ends(spring.Link)
	for _, e := range ends {
		if e.At == nil {
			return 0, NotRecorded(e.Path("at"))
		}
	}
	return rate * max(0, free-r3.Norm(r3.Sub(Point(*ends[0].At), Point(*ends[1].At)))), nil
}
