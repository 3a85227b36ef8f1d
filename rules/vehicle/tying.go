package vehicle

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/layouts"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/statics"
)

// Tying is how what a restraint ties up hangs in a step.
type Tying struct {
	Loose  string  // why it is not held; "" where it is
	Swings bool    // straps alone hold it
	Load   float64 // N, the most on this restraint
	Lean   float64 // rad, from the plumb line, at which what hangs on it pulls so
	// Doubled is set where its points are not written: it may stand at 60 degrees, and then pulls
	// twice what hangs on it.
	Doubled bool
	Limits  bool // it is a droop strap or stop, whose pull is worked out along its line
	Sprung  bool // springs that push beside it are in its load
	// Apart is what may be all that joins one part of a place of a checklist; "" where each piece is
	// known to be in a strap, or enough is left that joins them.
	Apart string
}

// steepest is how far from the plumb line a strap may stand, rad: beyond it the pull is more
// than twice what it lifts, and sling makers forbid it.
const steepest = 60 * math.Pi / 180

// Tying is how what a restraint ties up hangs in the step. A strap is no hook: what it ties has
// to keep joints to the rest, or hang on several straps. Whatever nobody recorded that may
// decide is asked.
func (s *Step) Tying(restraint *model.Item) (Tying, *Unknown) {
	if load, sprung, on, unknown := s.Limit(restraint); on {
		t := s.setting.limits[slices.IndexFunc(s.setting.limits, func(t tie) bool { return t.item == restraint })]
		lean := t.lean()
		if t.pushes {
			lean = math.Pi - lean
		}
		return Tying{Load: load, Lean: lean, Limits: true, Sprung: sprung}, cmp.Or(s.NoLoads, unknown)
	}
	if slices.Contains(s.setting.places, restraint) {
		return s.tiedPlaces(restraint)
	}
	i := s.tie(restraint)
	if i < 0 {
		return Tying{}, s.NoLoads // not used, or a stop between parts that are tied together
	}
	if _, known := restraint.Text("kind"); !known {
		return Tying{}, NotRecorded(restraint.Path() + ".kind")
	}
	t := s.setting.ties[i]
	weight, unknown := s.mostHeld(t, nil)
	if unknown != nil {
		return Tying{}, unknown
	}
	out := Tying{}
	for _, p := range s.lump(t).pieces() {
		if !slices.ContainsFunc(t.parts, p.has) {
			continue // other straps hold it
		}
		hangs, unknown := s.strapped(p, t, weight)
		if unknown != nil {
			return Tying{}, unknown
		}
		if hangs.Loose != "" && len(p.others) > 0 {
			hangs.Loose = "nothing sound joins " + strings.Join(p.parts, ", ") + " to " + strings.Join(p.others, ", ") + "; " + hangs.Loose
		}
		out.Load, out.Swings, out.Doubled = max(out.Load, hangs.Load), out.Swings || hangs.Swings, out.Doubled || hangs.Doubled
		out.Lean = max(out.Lean, hangs.Lean)
		if out.Loose == "" {
			out.Loose = hangs.Loose
		}
	}
	return out, nil
}

// strapped is how one piece hangs of what a restraint ties.
func (s *Step) strapped(p *piece, t tie, weight float64) (out Tying, unknown *Unknown) {
	if slices.ContainsFunc(p.ties, func(t tie) bool { return !t.pointed() || !p.all(t.parts) }) {
		return p.upOnly(t, weight)
	}
	for _, t := range p.ties {
		if lean := t.lean(); lean > steepest {
			return Tying{Loose: t.item.ID + " stands " + quantity.Format(math.Round(lean*180/math.Pi)) + "° from the plumb line; 60° is the most"}, nil
		}
	}
	out.Lean = t.lean()
	out.Load = weight / math.Cos(out.Lean)
	if len(p.kept) == 0 {
		out.Swings = true
		if out.Loose, unknown = s.astride(p); unknown != nil {
			return Tying{}, unknown
		}
		return out, p.orAsk(out.Loose)
	}
	if slices.ContainsFunc(p.kept, func(m *Meet) bool {
		return m.At == nil || m.axial() && m.Axis == nil || m.Link && s.Vehicle.Far(m).At == nil
	}) {
		return p.upOnly(t, weight)
	}
	loose, pull, err := s.comesLoose(p, t)
	if err != nil {
		return out, NotComputed("%v", err)
	}
	out.Loose, out.Load = loose, max(out.Load, pull)
	return out, p.orAsk(out.Loose)
}

// upOnly is for straps whose points nobody wrote, and for one round pieces that are no longer
// joined, of which its one point holds nobody knows which: they only hold up, at up to 60
// degrees, so that the joints that are left have to do the rest.
func (p *piece) upOnly(t tie, weight float64) (Tying, *Unknown) {
	out := Tying{Load: weight / math.Cos(steepest), Lean: steepest, Doubled: t.at == nil || t.end == nil}
	if t.block() {
		out.Load, out.Lean, out.Doubled = weight, 0, false
		if missing := t.unplaced(); missing != nil {
			return Tying{}, NotRecorded(missing...)
		}
		if t.at.Z <= t.end.Z {
			out.Loose = t.item.ID + " stands beside or above what it is to hold: a block only pushes"
			return out, nil
		}
	}
	if guided(p.kept) {
		return out, nil
	}
	out.Loose = "where nobody wrote at which points the strap is attached it only holds up, and what it ties has not enough sound joints left to keep it from swinging out of it"
	if guided(p.hopes) {
		return out, p.orAsk(out.Loose)
	}
	return out, nil
}

// comesLoose reports how a piece comes loose that hangs on straps and on the joints it keeps, and how hard
// a strap pulls, N. The rest of the vehicle is held still for it.
func (s *Step) comesLoose(p *piece, on tie) (loose string, pull float64, err error) {
	const rest, hangs = 0, 1
	bodies := []statics.Body{{Name: "the rest"}, {Name: p.parts[0]}}
	centre, heavier := Point(*on.end), 0.0
	masses, _ := massesOf(s.Parts)
	for _, w := range masses {
		if slices.Contains(p.parts, w.Name) {
			bodies[hangs].Masses, heavier = append(bodies[hangs].Masses, w), heavier+10*w.M
		}
	}
	bodies[rest].Masses = []statics.Mass{{Name: "the rest", M: heavier, CG: centre}}
	sys := statics.System{Bodies: bodies}
	side := func(part string) int {
		if slices.Contains(p.parts, part) {
			return hangs
		}
		return rest
	}
	for _, m := range p.kept {
		if m.Link {
			ends := s.Vehicle.Ends(m.Item)
			sys.Links = append(sys.Links, s.Vehicle.link(m.Item, side(ends[0].Parts[0]), side(ends[1].Parts[0])))
		} else {
			sys.Joints = append(sys.Joints, m.joint(side(m.Parts[0]), side(m.Parts[1])))
		}
	}
	stance := statics.Stance{Attitude: s.stance.Attitude}
	stance.Pitch, stance.Roll = s.Tilt()
	for _, corner := range []r3.Vec{{X: 5, Y: 5}, {X: 5, Y: -5}, {X: -5}} {
		stance.Supports = append(stance.Supports, statics.Support{Name: "the rest", Body: rest, At: r3.Add(centre, corner)})
	}
	which := 0
	for i, t := range p.ties {
		stance.Ties = append(stance.Ties, statics.Tie{Name: t.item.ID, A: rest, B: hangs, PA: Point(*t.end), PB: Point(*t.at)})
		if t.item == on.item {
			which = i
		}
	}
	built, err := statics.New(sys)
	if err != nil {
		return err.Error(), 0, nil
	}
	step, err := built.Stand(stance)
	switch {
	case err != nil:
		return "", 0, err
	case step.Failure != nil:
		return step.Failure.Words, 0, nil
	}
	return "", step.Tie(which).Most, nil
}

// astride says what is wrong with how straps alone hold a piece: they have to be attached no lower
// than its centre of gravity, on either side of it.
func (s *Step) astride(p *piece) (string, *Unknown) {
	centre, mass := r3.Vec{}, 0.0
	var missing []string
	for _, id := range p.parts {
		w, lacks := Weight(s.Vehicle.Build.Item(id))
		missing = append(missing, lacks...)
		centre, mass = r3.Add(centre, r3.Scale(w.M, w.CG)), mass+w.M
	}
	if len(missing) > 0 {
		return "", NotRecorded(missing...)
	}
	centre = r3.Scale(1/mass, centre)
	either := false
	for i, a := range p.ties {
		from := r3.Sub(Point(*a.at), centre)
		if from.Z < -Tape {
			return a.item.ID + " is attached below the centre of gravity: it turns over", nil
		}
		for _, b := range p.ties[:i] {
			to := r3.Sub(Point(*b.at), centre)
			either = either || from.X*to.X+from.Y*to.Y < 0
		}
	}
	if !either {
		return "no joint of it is left, and no two straps are attached on either side of its centre of gravity", nil
	}
	return "", nil
}

// tiedPlaces is how straps hold a place of a checklist, in which nothing says what joins what. Its
// groups are of both sides, so that nobody knows of which part a piece is that is out: two of one
// place may be all that joined an arm, and so may half of a group, as one bolt of two, or one where
// the axle has no more than two pivots a side. Where each piece is in a strap of its own it does not
// matter what joins them.
func (s *Step) tiedPlaces(restraint *model.Item) (Tying, *Unknown) {
	var missing, out []string
	kind, stated := restraint.Text("kind") // a droop strap ties up nothing
	if !stated {
		missing = append(missing, restraint.Path()+".kind")
	}
	m, known := restraint.Quantity("mass")
	if !known {
		missing = append(missing, restraint.Path()+".mass")
	}
	each, answered := Lookup[bool](restraint, "found.each_piece")
	loose := false
	gone := map[string]int64{} // pieces that join nothing, by place
	for _, item := range slices.Concat(s.Vehicle.Build.Of("fasteners"), s.Vehicle.Build.Of("stud_nuts"), s.Vehicle.Build.Of("welds")) {
		place := s.Vehicle.Place(item)
		steers, _ := Lookup[bool](item, "steering")
		if each || !s.tiedUp(item) || !slices.Contains(restraint.TiedPlaces, place) || steers || item.Is(schema.Spare) {
			continue // without its strut, track rod or brake a part hangs as it did
		}
		h := s.Vehicle.holder[item]
		wrong := h.parted()
		switch {
		case wrong == "" && !h.Joins():
			missing = append(missing, h.wanting()...)
		case wrong != "":
			short := s.Vehicle.apart(h)
			out = append(out, item.ID+" ("+wrong+")")
			gone[place] += short
			loose = loose || 2*short >= h.Needed() || gone[place] > 1 || s.Vehicle.onTwoPivots(place)
		}
	}
	t := Tying{Load: (m.Value + m.Tol) * Gravity / math.Cos(steepest), Lean: steepest}
	to, _ := restraint.Text("to")
	straps, sides := s.strapsAt(restraint)
	switch {
	case !s.Vehicle.isRole(to, "frame"):
		t.Loose = "it is tied to " + to + ", which is not written down as the frame"
	case kind == "block":
		t.Loose = "a block only pushes, and nothing says under what of a whole place it stands"
	case straps < sides:
		t.Loose = fmt.Sprintf("straps at %s: %d; %d are needed, one on each side", strings.Join(restraint.TiedPlaces, ", "), straps, sides)
	case loose:
		t.Apart = strings.Join(out, ", ")
		if !answered { // what is wrong is said while that is asked
			t.Loose = t.Apart + " may be all that joins one part, which then slips out of its strap"
		}
	case len(missing) > 0:
		return Tying{}, NotRecorded(missing...)
	}
	return t, nil
}

// apart is how many pieces of a group are known to keep nothing together: those that are out, and
// those that the log has as loose, cracked, not welded in full or not as what joins parts has to be.
// Where it says so of none of them alone, the whole group is.
func (v *Vehicle) apart(h *Holder) int64 {
	if cracked, _ := Lookup[bool](h.Item, "tab.cracked"); cracked {
		return h.Needed()
	}
	n := int64(0)
	of := h.Kind.Found()
	if state := v.Build.Standing[h.ID]; state != nil && !h.small {
		for _, piece := range state.Members {
			made, welded := piece["made"].V.(string)
			cracked, _ := piece["crack"].V.(bool)
			comes := slices.ContainsFunc(of.Fields, func(f schema.Field) bool { return f.Parts && piece[f.Name].Fault })
			if tight := piece["tightness"].V; welded && made != "full" || cracked || comes || tight == "loose" || tight == "finger" && h.grips() {
				n++
			}
		}
	}
	if n += h.Short; n == 0 {
		n = h.Needed()
	}
	return min(n, h.Needed())
}

// strapsAt counts the straps of the step at the places that one of them ties up, and the sides of
// the vehicle there: a place that names none has both, unless the axle there has a single wheel.
func (s *Step) strapsAt(restraint *model.Item) (straps, sides int64) {
	for _, place := range restraint.TiedPlaces {
		sides++
		if bothSides(place) && !s.Vehicle.oneWheel(place) {
			sides++
		}
	}
	for _, r := range s.setting.places {
		if slices.ContainsFunc(r.TiedPlaces, func(place string) bool { return slices.Contains(restraint.TiedPlaces, place) }) {
			straps += Pieces(r)
		}
	}
	return straps, sides
}

// mostHeld is the most that a restraint may have to hold, N: the weight of the parts that
// it ties, what every joint and link of theirs passes on from parts that it does not, and
// what is tied to them in turn. above are the restraints that this one hangs on.
func (s *Step) mostHeld(t tie, above []*model.Item) (float64, *Unknown) {
	if slices.Contains(above, t.item) {
		return 0, NotComputed("%s is tied to something that hangs on itself", t.item.ID)
	}
	load, missing := 0.0, []string(nil)
	for _, id := range t.parts {
		load += heaviest(s.Vehicle.Build.Item(id), &missing)
	}
	if len(missing) > 0 {
		return 0, NotRecorded(missing...)
	}
	tied := func(m *Meet) bool {
		return slices.Contains(t.parts, m.Parts[0]) || slices.Contains(t.parts, m.Parts[1])
	}
	for _, p := range s.Parts {
		if isSpring(p) && slices.ContainsFunc(s.Vehicle.Meets, func(m *Meet) bool { return slices.Contains(m.Parts[:], p.ID) && !s.Off(m) && tied(m) }) {
			switch unknown := hangsFree(p); {
			case unknown == nil:
			case len(unknown.Missing) == 0:
				return 0, unknown
			default:
				missing = append(missing, unknown.Missing...)
			}
		}
	}
	if len(missing) > 0 {
		return 0, NotRecorded(missing...)
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
		case s.besides(t, m):
			return 0, NotComputed("%s is tied to %s beside %s, on which it hangs as well: what passes between these two goes partly through the strap, and no share of it is worked out; tie it to %s",
				strings.Join(t.parts, ", "), t.to, s.Vehicle.Base(), s.Vehicle.Base())
		default:
			load += s.passes[m].Whole
		}
	}
	for _, below := range s.setting.ties {
		if !slices.Contains(t.parts, below.to) {
			continue
		}
		more, unknown := s.mostHeld(below, append(slices.Clone(above), t.item))
		if unknown != nil {
			return 0, unknown
		}
		load += more
	}
	return load, nil
}

// besides reports whether a joint is of what a restraint ties and of the base, and the restraint goes to something
// else that is not one with the base.
func (s *Step) besides(t tie, m *Meet) bool {
	base, body := s.Vehicle.Base(), s.stance.assembly.body
	return body[t.to] != body[base] && slices.Contains(m.Parts[:], base)
}

// oneWheel reports whether a place is the end of a vehicle whose axle there has one wheel.
func (v *Vehicle) oneWheel(place string) bool { return v.laidOut(place, (*layouts.Layout).Single) }

// onTwoPivots reports whether a place is of the end of a vehicle whose wheels there hang on two pivots each.
func (v *Vehicle) onTwoPivots(place string) bool {
	return v.laidOut(model.WhereIs(place).End, (*layouts.Layout).TwoPivots)
}

// laidOut reports whether the axle of an end is laid out in a way.
func (v *Vehicle) laidOut(end string, way func(*layouts.Layout) bool) bool {
	return slices.ContainsFunc(v.Build.Axles, func(a model.Axle) bool {
		layout, err := layouts.Find(a.Layout)
		return a.Name == end && err == nil && way(layout)
	})
}
