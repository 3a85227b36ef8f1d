package vehicle

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/hull"
	"setdown/model/schema"
	"setdown/model/statics"
)

// Edge is one edge of the supports in plan.
type Edge = statics.Edge

// Stability is how far a vehicle is from tipping, and what the corners and edges of its polygon
// count by: its supports, or what bears on the floor under them.
type Stability struct {
	*statics.Stability
	Feet []statics.Support
}

// Stability is how far the vehicle is from tipping, on its supports or with the dollies under them on
// their castors, whichever is less; nil where that spans nothing, or nothing was computed.
func (s *Step) Stability() *Stability {
	if s.Unsolved != nil {
		return nil
	}
	least := &Stability{s.stance.step.Stability(), s.stance.step.Supports}
	if floor := s.floor(); floor != nil && least.Stability != nil {
		under := floor.Stability() // nil of castors so narrow that they swivel into one line
		if under == nil || under.Edges[under.Nearest].Worst < least.Edges[least.Nearest].Worst {
			least = &Stability{under, floor.Supports}
		}
	}
	if least.Stability == nil {
		return nil
	}
	return least
}

// castorTrail is how far the wheel of a swivelling castor may touch the floor from where the castor stands,
// m: the offset of the usual ones of 100 to 125 mm (from memory).
const castorTrail = 0.04

// floor is the vehicle on what bears on the floor under it, with castors swivelled inwards; nil where
// none of its supports stands on a dolly, or something of that is not recorded, which WorstCastor asks for.
func (s *Step) floor() *statics.Step {
	s.stance.floorOnce.Do(func() {
		dollies, all := s.dollies()
		switch {
		case len(dollies) == 1 && all:
			s.stance.floor, _ = s.onCastors(dollies[0], castorTrail)
		case len(dollies) > 0:
			s.stance.floor, _ = s.onFloor(dollies)
		}
	})
	return s.stance.floor
}

// dollies are those that supports of the vehicle stand on, and whether all of these do.
func (s *Step) dollies() (list []*model.Item, all bool) {
	all = true
	for _, support := range s.stance.supports[:len(s.stance.places)] {
		name, named := support.Text("dolly")
		dolly := s.Vehicle.Build.Item(name)
		if all = all && named; named && !slices.Contains(list, dolly) {
			list = append(list, dolly)
		}
	}
	return list, all
}

// bearers are the supports of the vehicle that stand on a dolly, by their number.
func (s *Step) bearers(dolly *model.Item) (list []int) {
	for i, support := range s.stance.supports[:len(s.stance.places)] {
		if name, _ := support.Text("dolly"); name == dolly.ID {
			list = append(list, i)
		}
	}
	return list
}

// OnDolly is the most that a dolly bears beside itself, N: the whole vehicle, or where others bear some
// of that, what its own supports do together.
func (s *Step) OnDolly(dolly *model.Item) (newtons float64, unknown *Unknown) {
	whole, unknown := s.WholeWeight()
	on := s.bearers(dolly)
	if unknown != nil || !s.Solved() || len(on) == 0 || len(on) == len(s.stance.places) {
		return whole, unknown
	}
	return min(whole, s.stance.step.Together(on).Most), nil
}

// WorstCastor is the most that one castor of a dolly carries, N, over every set of three that
// can stand: under the whole vehicle, or where others bear some of that, under what its own supports do.
func (s *Step) WorstCastor(dolly *model.Item) (float64, *Unknown) {
	on := s.bearers(dolly)
	if len(on) > 0 && len(on) < len(s.stance.places) {
		return s.underBearers(dolly, on)
	}
	step, unknown := s.onCastors(dolly, 0)
	if unknown != nil {
		return 0, unknown
	}
	return mostOn(step)
}

// mostOn is the most on one support of a step, N.
func mostOn(step *statics.Step) (worst float64, unknown *Unknown) {
	if step.Failure != nil {
		return 0, NotComputed("%s", step.Failure.Words)
	}
	for i := range step.Supports {
		worst = max(worst, step.Reaction(i).Most)
	}
	return worst, nil
}

// onCastors is the vehicle and its dolly as one rigid lump on the castors, the edges between them so much
// further in, m, pushed as the step is.
func (s *Step) onCastors(dolly *model.Item, further float64) (*statics.Step, *Unknown) {
	places, table, unknown := s.castors(dolly, further)
	missing := slices.Clone(s.stance.assembly.missing)
	if unknown != nil {
		missing = append(missing, unknown.Missing...)
	}
	if len(missing) > 0 {
		return nil, NotRecorded(missing...)
	}
	return s.lumped("vehicle and dolly", append(s.lumpMasses(), table), places)
}

// rounding is the share by which a place may seem further out than it is.
const rounding = 1e-6

// underBearers is the most on one castor of a dolly that stands by itself under what its supports carry, N: all
// that they do together, wherever that may stand between them. Where one stands beyond the castors, what it
// carries lifts the dolly until all, and the dolly itself, stand over one edge of these, pushed.
func (s *Step) underBearers(dolly *model.Item, on []int) (worst float64, unknown *Unknown) {
	places, table, unknown := s.castors(dolly, 0)
	switch {
	case unknown != nil || s.Unsolved != nil:
		return 0, cmp.Or(unknown, s.Unsolved)
	case s.Failure != "":
		return 0, NotComputed("%s", s.Failure)
	}
	all := s.stance.step.Together(on).Most
	castors, middle := inPlan(places), hull.Point{}
	for _, c := range castors {
		middle.X, middle.Y = middle.X+c.X/float64(len(castors)), middle.Y+c.Y/float64(len(castors))
	}
	for i, c := range castors { // what stands over an edge of them is not beyond it by rounding
		castors[i] = hull.Point{X: c.X + rounding*(c.X-middle.X), Y: c.Y + rounding*(c.Y-middle.Y)}
	}
	over := hull.Common(s.middles(on, all, castors), castors)
	if len(over) == 0 {
		return 0, NotComputed("what stands on %s stands beyond its castors", dolly.ID)
	}
	for _, p := range over {
		at := r3.Vec{X: p.X, Y: p.Y, Z: s.SupportAt(on[0]).Z}
		if share := s.onEdge(at, places); share > 0 {
			worst = max(worst, share*(all+(table.M+table.Tol)*Gravity))
			continue
		}
		step, unknown := s.lumped(dolly.ID, []statics.Mass{table, {Name: "what stands on it", M: all / Gravity, CG: at}}, places)
		if unknown != nil {
			return 0, unknown
		}
		most, unknown := mostOn(step)
		if unknown != nil {
			return 0, unknown
		}
		worst = max(worst, most)
	}
	return worst, nil
}

// middles are the corners of where the middle of what supports carry together may be: of those some carry their
// most, one the rest and the others nothing. Where one stands beyond the castors it may be anywhere between
// them.
func (s *Step) middles(on []int, all float64, castors []hull.Point) (list []hull.Point) {
	var places []hull.Point
	for _, i := range on {
		at := s.SupportAt(i)
		places = append(places, hull.Point{X: at.X, Y: at.Y})
	}
	if slices.ContainsFunc(places, func(p hull.Point) bool { return len(hull.Common([]hull.Point{p}, castors)) == 0 }) {
		return places
	}
	for some := range 1 << len(on) {
		var full hull.Point
		rest := all
		add := func(k int, newtons float64) hull.Point {
			return hull.Point{X: full.X + places[k].X*newtons/all, Y: full.Y + places[k].Y*newtons/all}
		}
		for k, i := range on {
			if some>>k&1 == 1 {
				most := s.Reaction(i).Most
				full, rest = add(k, most), rest-most
			}
		}
		for k, i := range on {
			if some>>k&1 == 0 && rest > -rounding*all && rest < s.Reaction(i).Most+rounding*all {
				list = append(list, add(k, rest))
			}
		}
	}
	return list
}

// onEdge is the share of what stands over an edge of the castors that one of its two bears, pushed along it; 0
// where it stands over none.
func (s *Step) onEdge(at r3.Vec, castors []statics.Support) (share float64) {
	pitch, roll := s.Tilt()
	lean := math.Hypot(pitch, roll) + max(s.stance.Push, s.stance.Pull)
	corners := hull.Corners(inPlan(castors), 0)
	for k, i := range corners {
		from, to := castors[i].At, castors[corners[(k+1)%len(corners)]].At
		edge := line{from: from, to: to}
		foot := edge.foot(r3.Vec{X: at.X, Y: at.Y, Z: from.Z})
		if math.Hypot(foot.X-at.X, foot.Y-at.Y) > Tape {
			continue
		}
		long := r3.Norm(r3.Sub(to, from))
		far := max(r3.Norm(r3.Sub(foot, from)), r3.Norm(r3.Sub(foot, to)))
		share = max(share, min(1, (far+lean*(at.Z-from.Z))/long))
	}
	return share
}

// onFloor is the vehicle as one lump on its supports that stand on the floor and, of each dolly, on the
// area that lies within both the supports on it and its castors: beyond the ones the vehicle tips off the
// dolly, beyond the others the dolly tips under it. What a dolly weighs, w, draws what stands on it
// inwards, so that this may bear R further out from the dolly's centre of gravity than the castors are
// by 1 + w/R: the moments of both about a line of castors.
func (s *Step) onFloor(dollies []*model.Item) (*statics.Step, *Unknown) {
	if missing := s.stance.assembly.missing; len(missing) > 0 {
		return nil, NotRecorded(slices.Clone(missing)...)
	}
	var places []statics.Support
	for i, place := range s.stance.places {
		if _, on := s.stance.supports[i].Text("dolly"); !on {
			places = append(places, statics.Support{Name: place.Name, At: place.At})
		}
	}
	for _, dolly := range dollies {
		castors, table, unknown := s.castors(dolly, castorTrail)
		if unknown != nil {
			return nil, unknown
		}
		most := 0.0 // of each saddle by itself: as it tips they may come together
		for _, i := range s.bearers(dolly) {
			most += s.Reaction(i).Most
		}
		if most > 0 {
			for i := range castors {
				out := r3.Scale((table.M-table.Tol)*Gravity/most, r3.Sub(castors[i].At, table.CG))
				castors[i].At.X, castors[i].At.Y = castors[i].At.X+out.X, castors[i].At.Y+out.Y
			}
		}
		var saddles []statics.Support
		for _, i := range s.bearers(dolly) {
			saddles = append(saddles, s.stance.places[i])
		}
		for _, p := range hull.Common(inPlan(saddles), inPlan(castors)) {
			at := statics.Support{Name: "the castors of " + dolly.ID, At: r3.Vec{X: p.X, Y: p.Y, Z: castors[0].At.Z}}
			if i := slices.IndexFunc(saddles, func(s statics.Support) bool { return s.At.X == p.X && s.At.Y == p.Y }); i >= 0 {
				at = statics.Support{Name: saddles[i].Name, At: saddles[i].At}
			}
			places = append(places, at)
		}
	}
	return s.lumped("vehicle", s.lumpMasses(), places)
}

func inPlan(supports []statics.Support) (list []hull.Point) {
	for _, s := range supports {
		list = append(list, hull.Point{X: s.At.X, Y: s.At.Y})
	}
	return list
}

// castors are where the castors of a dolly stand, each edge between them so much further in, m, and what the dolly
// weighs.
func (s *Step) castors(dolly *model.Item, further float64) (places []statics.Support, table statics.Mass, unknown *Unknown) {
	var missing []string
	castors, ok := dolly.List("castors_at")
	if !ok {
		missing = append(missing, dolly.Path()+".castors_at")
	}
	cg, ok := dolly.Vec("cg")
	if !ok {
		missing = append(missing, dolly.Path()+".cg")
	}
	if len(missing) > 0 {
		return nil, table, NotRecorded(missing...)
	}
	own, _ := dolly.Quantity("mass")
	table = mass(dolly.ID, own, cg)
	table.Doubt = s.Vehicle.unwritten(dolly)
	for i, c := range castors {
		places = append(places, statics.Support{Name: fmt.Sprintf("castor %d of %s", i+1, dolly.ID), At: Point(c.V.(schema.Vec))})
	}
	if further == 0 {
		return places, table, nil
	}
	var swivelled []statics.Support
	for _, p := range hull.Inset(inPlan(places), further) {
		off := func(s statics.Support) float64 { return math.Hypot(s.At.X-p.X, s.At.Y-p.Y) }
		near := slices.MinFunc(places, func(a, b statics.Support) int { return cmp.Compare(off(a), off(b)) })
		near.At.X, near.At.Y = p.X, p.Y
		swivelled = append(swivelled, near)
	}
	if len(swivelled) < 3 { // so narrow that they swivel into one line
		swivelled = places[:min(2, len(places))]
	}
	return swivelled, table, nil
}

// lumpMasses are the masses of the parts on the vehicle, with the doubt about each.
func (s *Step) lumpMasses() []statics.Mass {
	masses, _ := massesOf(s.Parts)
	for i, p := range s.Parts {
		masses[i].Doubt = s.Vehicle.unwritten(p)
	}
	slices.SortFunc(masses, func(a, b statics.Mass) int { return cmp.Compare(a.Name, b.Name) })
	return masses
}

// lumped is one rigid lump on supports, as the step stands and is pushed.
func (s *Step) lumped(name string, masses []statics.Mass, places []statics.Support) (*statics.Step, *Unknown) {
	built, err := statics.New(statics.System{Bodies: []statics.Body{{Name: name, Masses: masses}}})
	if err != nil {
		return nil, NotComputed("%v", err)
	}
	on := statics.Stance{Supports: places, Attitude: s.stance.Attitude}
	on.Pitch, on.Roll = s.Tilt()
	step, err := built.Stand(on)
	if err != nil {
		return nil, NotComputed("%v", err)
	}
	return step, nil
}
