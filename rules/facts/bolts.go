package facts

import (
	"errors"
	"math"
	"slices"

	"setdown/model/quantity"
	"setdown/model/strength"
	"setdown/rules/vehicle"
)

// ofBolts compare what a fastener carries with what it bears: shear across it, pull along it
// with what a moment adds, the thread of its hole, and bending across a gap that missing
// spacers leave.
var ofBolts = []fact{
	measured("shear_utilisation", quantity.Number, "shear on one fastener × design factor ÷ shear strength", use(boltSheared)),
	measured("tension_utilisation", quantity.Number, "pull on one fastener × design factor ÷ strength of bolt and engaged thread", use(boltPulled, boltBoth, threadStrips)),
	measured("pin_utilisation", quantity.Number, "load on a clevis pin × design factor ÷ what it bears in shear, bending and bearing; nothing of a bolt", use(pinBears)),
	measured("pin_along_utilisation", quantity.Number, "force along a clevis pin × design factor ÷ the share of what it bears across that may act along it; nothing of a bolt", use(pinAlong)),
	measured("bending_utilisation", quantity.Number, "bolt bending across the gap that missing spacers leave × design factor ÷ yield", use(boltBends)),
	working(bolt, onBolt),
	working(boltSheared, func(it item) *Comparison {
		b, t, c := loadedBolt(it)
		if b.idle || it.open() {
			return nil
		}
		g := b.taken()
		n := planes(it, &g)
		inThread, known := threadSheared.ifStated(it)
		r, err := strength.BoltShear(t.Diameter, t.Pitch, c, int(n), !known || inThread)
		if !known {
			best, _ := planesWritten(it)
			one := guess{words: "not recorded whether the thread is in the shear plane: assumed that it is"}
			if shank, _ := strength.BoltShear(t.Diameter, t.Pitch, c, int(best), false); b.across*designFactor.of(it.policy()) <= shank.Value {
				one.path = it.Path + ".thread_in_shear"
			}
			g = append(g, one)
		}
		return it.orAsk(it.compare("bolt in "+map[int64]string{1: "single", 2: "double"}[n]+" shear", b.across, b.noted(r), err), g)
	}),
	working(boltPulled, func(it item) *Comparison {
		b, t, c := loadedBolt(it)
		if b.idle || it.open() {
			return nil
		}
		r, err := strength.BoltTension(t.Diameter, t.Pitch, t.Metric, c)
		return it.orAsk(it.compare("bolt in tension", b.along, b.noted(r), err), b.guesses)
	}),
	working(boltBoth, func(it item) *Comparison {
		sheared, unknown := boltSheared.why(it)
		pulled := boltPulled.of(it)
		if unknown != nil || sheared == nil || pulled == nil || sheared.NotComputed != "" || pulled.NotComputed != "" {
			return nil
		}
		b := bolt.of(it)
		if b.across <= 0 || b.along <= 0 {
			return nil
		}
		load, both, err := b.combined(sheared.Bears, pulled.Bears)
		g := b.taken()
		planes(it, &g)
		return it.orAsk(it.compare("bolt in shear and tension", load, both, err), g)
	}),
	working(threadStrips, func(it item) *Comparison {
		b, t, _ := loadedBolt(it)
		if b.idle || it.open() {
			return nil
		}
		// Without a hole, or a length of thread in it, there is nothing to compare: other
		// rules ask for that length.
		engaged, measured := engagedIn.ifStated(it)
		into, written := tappedInto.ifStated(it)
		switch {
		case !measured || into == "nothing":
			return nil
		case !written:
			it.lacks("tapped_into")
			return nil
		}
		wall, _ := tappedWall.ifStated(it) // the thickest where nobody measured
		yield, err := strength.TappedYield(into, wall)
		var r strength.Result
		if err == nil {
			r, err = strength.ThreadStrip(t.Diameter, t.Pitch, engaged, yield)
		}
		return it.orAsk(it.compare("stripping of the thread in the tapped hole", b.along, r, err), b.guesses)
	}),
	working(pinBears, pinInFork),
	working(pinAlong, alongPin),
	working(boltBends, func(it item) *Comparison {
		b := bolt.of(it)
		if b.idle || it.open() || pin.there(it) {
			return nil
		}
		g := b.taken()
		n := planes(it, &g)
		between := n == 2
		arm := it.bareArm(n)
		for _, set := range it.spacers() {
			arm = max(arm, spacerArm(it.of(set.Item), between))
			if it.open() {
				return nil
			}
		}
		if arm == 0 {
			return nil
		}
		c := classOf.of(it)
		if it.open() {
			return nil
		}
		t := threadThere(it)
		if between {
			r, err := strength.BoltBending(t.Diameter, t.Pitch, arm, c.Yield)
			return it.orAsk(it.compare("bolt bending across the open gap", b.across, r, err), g)
		}
		inThread, known := threadSheared.ifStated(it)
		r, err := strength.BoltOverhang(t.Diameter, t.Pitch, arm, c.Yield, !known || inThread)
		return it.orAsk(it.compare("bolt bending out of its one tab", b.across, r, err), g)
	}),
}

// boltLoad is what one bolt of an entry carries.
type boltLoad struct {
	idle          bool    // nothing rests on it
	across, along float64 // N
	whole         float64 // N, the resultant, whichever way the bolt points
	split         bool    // the direction of the bolt is known
	guesses       guesses // what was taken of what nobody recorded
	working       []strength.Step
}

// taken is a copy of the guesses, to add to.
func (b boltLoad) taken() guesses { return slices.Clone(b.guesses) }

// noted adds to a strength how the load on one bolt came about.
func (b boltLoad) noted(r strength.Result) strength.Result {
	r.Working = append(r.Working, b.working...)
	return r
}

// onBolt shares what the held joints, link ends and supports pass among the bolts.
func onBolt(it item) boltLoad {
	held := names.of(it)
	if it.idle() {
		return boltLoad{idle: true}
	}
	if !it.onlySupports() {
		it.because(it.step().NoLoads)
	}
	if it.open() {
		return boltLoad{}
	}
	b, most, places := it.passed(held)
	// What holds several joints is spread over them, also over one that is off in this
	// step: two bolts listed together for two joints are one each. One bolt through two
	// joints bears those that are on.
	listed := needed.of(it)
	if all := float64(len(held)); float64(listed) >= all {
		places = all
	}
	n := float64(listed+it.beside()) / max(1, places)
	b.across, b.along, b.whole = most.Across/n, most.Along/n, most.Whole/n
	b.working = []strength.Step{{Name: "bolts that share the load", Value: n}}
	if most.Twist+most.Bend+most.hinge > 1 {
		it.turned(&b, most, n)
	}
	return b
}

// passedMost is the most of each that passes at what a bolt holds; of the pin of a hinge its bending by
// itself, N·m.
type passedMost struct {
	vehicle.Pass
	hinge float64
}

// passed is what passes at the places that a bolt holds, and at how many of them something does.
func (it item) passed(held []any) (b boltLoad, most passedMost, places float64) {
	b.split = true
	for _, name := range held {
		p, on := it.step().Pass(name.(string))
		if !on {
			continue
		}
		places++
		most.Across, most.Along, most.Whole = max(most.Across, p.Across), max(most.Along, p.Along), max(most.Whole, p.Whole)
		if p.Hinge {
			most.hinge = max(most.hinge, p.Bend)
		} else {
			most.Twist, most.Bend = max(most.Twist, p.Twist), max(most.Bend, p.Bend)
		}
		b.split = b.split && p.Split
		if m := it.mechanism().Meet(name.(string)); m != nil && m.Axis == nil {
			b.guesses = append(b.guesses, guess{path: m.Path("axis")})
		}
	}
	if !b.split {
		b.guesses = append(b.guesses, guess{words: "direction of the bolt not recorded: the whole force is taken both across and along it"})
	}
	return b, most, places
}

// turned adds what a moment puts on each of n bolts.
func (it item) turned(b *boltLoad, most passedMost, n float64) {
	if most.Twist+most.Bend > 1 && n <= 1 {
		it.not("one bolt alone cannot take a moment of %s", it.set.Units.Say(quantity.Of(max(most.Twist, most.Bend), quantity.Torque, "N·m")))
		return
	}
	apart := it.apart(&b.guesses)
	if it.open() {
		return
	}
	// The bolts of a group stand in two rows, as far apart as the spread: bending pulls
	// one row against the other, twisting pushes them past each other. The odd one of
	// three stands alone in its row. The pin of a hinge bears on its two tabs, one push
	// each, that far apart.
	row := max(1, math.Floor(n/2))
	across, along := most.Twist/apart/row+2*most.hinge/apart, most.Bend/apart/row
	b.across, b.along, b.whole = b.across+across, b.along+along, b.whole+math.Hypot(across, along)
	b.working = append(b.working,
		strength.Step{Name: "moment about the bolts", Value: most.Twist, Unit: "N·m"},
		strength.Step{Name: "moment that bends the group", Value: most.Bend, Unit: "N·m"},
		strength.Step{Name: "moment on the pin of a hinge", Value: most.hinge, Unit: "N·m"},
		strength.Step{Name: "spread", Value: 1e3 * apart, Unit: "mm"},
		strength.Step{Name: "bolts in a row", Value: row})
}

// apart is over what distance a moment becomes forces on the bolts of a group, or on the tabs of a
// hinge, m. The centres of bolts are no nearer than their thickness, and a hinge is as wide as the
// gap between its tabs.
func (it item) apart(g *guesses) float64 {
	least := diameter(it)
	for _, set := range it.spacers() {
		if gap, stated := bracketGap.ifStated(it.of(set.Item)); stated && needed.of(it) == 1 {
			least = max(least, gap)
		}
	}
	return orWorst(it, spread.field, quantity.Of(least, quantity.Length, "mm"), quantity.Of(least, quantity.Length, "mm").String()+", the least there is", g).Value
}

// onlySupports reports whether all that an item holds are supports of a step that has
// reactions.
func (it item) onlySupports() bool {
	return it.step().Solved() && !slices.ContainsFunc(it.holds(), func(name string) bool { return it.mechanism().Meet(name) != nil })
}

// beside counts the fasteners that other entries list for the same face: a face
// that is bolted together by several entries is shared by all of them.
func (it item) beside() int64 {
	held := it.holds()
	m := it.mechanism().Meet(held[0])
	if len(held) != 1 || m == nil || !m.Face() {
		return 0
	}
	n := int64(0)
	for _, h := range it.holders(m.Name) {
		if other := it.of(h.Item); h.Item != it.item && h.Kind.Name == "fasteners" && len(other.holds()) == 1 {
			n += needed.of(other)
		}
	}
	return n
}

// loadedBolt is the load on one bolt with the thread and class that bear it.
func loadedBolt(it item) (b boltLoad, t quantity.Thread, c strength.Class) {
	if pin.there(it) {
		return boltLoad{idle: true}, t, c // it is no bolt
	}
	b = bolt.of(it)
	if b.idle || it.open() {
		return b, t, c
	}
	c = classOf.of(it)
	if it.open() {
		return b, t, c
	}
	return b, threadThere(it), c
}

// pinInFork holds what a clevis pin passes against shear, bending and bearing in the fork of its
// tab.
func pinInFork(it item) *Comparison {
	if !pin.there(it) {
		return nil
	}
	b := bolt.of(it)
	if b.idle || it.open() {
		return nil
	}
	p := strength.Pin{D: pinDiameter.of(it), Eye: pinEye.of(it), Fork: tabThickness.of(it), Gap: pinGap.of(it)}
	name, plates := pinMaterial.of(it), tabMaterial.of(it)
	for _, one := range b.guesses { // what acts along a pin is no small thing
		if one.path != "" {
			it.because(vehicle.NotRecorded(one.path))
		}
	}
	if it.open() {
		return nil
	}
	metal, err := strength.MaterialOf(name, p.D)
	var fork strength.Material
	if err == nil {
		fork, err = strength.MaterialOf(plates, p.Fork)
	}
	var r strength.Result
	if err == nil {
		r, err = strength.ClevisPin(p, metal, fork)
	}
	if n, known := planesWritten(it); err == nil && known && n == 1 {
		err = errors.New("a pin held on one side alone is no clevis")
	}
	r.Working = append(r.Working, b.working...)
	return it.compare("clevis pin in its fork", b.across, r, err)
}

// alongPin holds what acts along a clevis pin against the share of what it bears across that a bearing
// may have along its bolt. It does not pass through the pin: the eye pushes one plate of the fork over,
// which nothing clamps to the other, and no method here bends that plate. Where it is not known what the
// pin bears across, that is what is asked.
func alongPin(it item) *Comparison {
	across, unknown := pinBears.why(it)
	if unknown != nil || across == nil || across.NotComputed != "" {
		return nil
	}
	share := axialShare.of(it.policy())
	return it.compare("clevis pin pushed along", bolt.of(it).along, strength.Result{
		Value: share * across.Bears.Value, Method: "along a clevis pin a share of what it bears across", Source: "policy axial_share",
		Working: []strength.Step{{Name: "bears across", Value: across.Bears.Value, Unit: "N"}, {Name: "share", Value: share}},
	}, nil)
}

// planesWritten is in how many planes a bolt is sheared: no more than one where a link end that it
// holds is recorded as held on one side, else as recorded, else two where all ends are recorded as
// held on both, or the clear width between two tabs is.
func planesWritten(it item) (n int64, stated bool) {
	both := len(it.holds()) > 0
	for _, name := range it.holds() {
		m := it.mechanism().Meet(name)
		if m != nil && m.Shear == "single" {
			return 1, true
		}
		both = both && m != nil && m.Shear == "double"
	}
	if n, stated := shearPlanes.ifStated(it); stated {
		return n, true
	}
	both = both || slices.ContainsFunc(it.spacers(), func(set *vehicle.Holder) bool {
		_, gap := bracketGap.ifStated(it.of(set.Item))
		return gap
	})
	return 2, both
}

// planes is planesWritten, or the one plane that every bolt has.
func planes(it item, g *guesses) int64 {
	if n, stated := planesWritten(it); stated {
		return n
	}
	ask := it.Path + "." + paths[shearPlanes]
	for _, m := range it.meets() {
		if m.Link && m.Shear == "" {
			ask = m.Path("shear") // the same, said of the end that it holds
		}
	}
	*g = append(*g, guess{path: ask, words: "not recorded in how many planes it is sheared: one taken"})
	return 1
}

// usualBall is half the width of the ball of a rod end or bush eye as a share of its bolt:
// those of metric rod ends are 1.4 bolts wide (common practice; M10: 14 mm).
const usualBall = 0.7

// bareArm is how far from its one tab a bolt carries whatever spacers are listed, m: to the
// middle of the ball. Two faces that are clamped together have no arm.
func (it item) bareArm(planes int64) float64 {
	if planes != 1 || !slices.ContainsFunc(it.meets(), func(m *vehicle.Meet) bool { return !m.Face() }) {
		return 0
	}
	return usualBall * threadThere(it).Diameter
}

// combined is what a bolt bears in shear and pull together, and the load to hold against
// it. What acts across and along may each be worst in a case of its own: where the
// whole, at the worst angle, asks for less than both together, it counts.
func (b boltLoad) combined(shear, tension strength.Result) (float64, strength.Result, error) {
	anyWay, err := strength.BoltCombinedAnyWay(shear, tension)
	if err != nil || !b.split {
		return b.whole, anyWay, err
	}
	load := math.Hypot(b.across, b.along)
	both, err := strength.BoltCombined(b.across, b.along, shear, tension)
	if err == nil && b.whole/anyWay.Value < load/both.Value {
		return b.whole, anyWay, nil
	}
	return load, both, err
}

// spacerArm is over what length a bolt bends for a set of spacers, m: the gap between
// two tabs if one is missing, or from the one tab over all of them to the middle of the
// ball. Without the thickness of each, a missing spacer leaves the gap of the bracket.
func spacerArm(set item, between bool) float64 {
	missing := missingCount.of(set)
	n, _ := needed.ifStated(set)
	if set.open() || between && missing == 0 || n == 0 {
		return 0
	}
	if !between {
		_, width := ballWidth.ifStated(set)
		_, each := eachSpacer.ifStated(set)
		if width && each || missing == 0 {
			return ballWidth.of(set)/2 + float64(n)*eachSpacer.of(set)
		}
	}
	return bracketGap.of(set)
}
