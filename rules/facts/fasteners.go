package facts

import (
	"slices"
	"strings"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/strength"
	"setdown/rules/vehicle"
)

// What bolts, stud nuts and wheel nuts have in common.
var (
	// The usual torque brings three quarters of the proof load; half as much again passes
	// it, and the thread is taken to have yielded. Two torques that are written and do not
	// fit are bad; while either is not recorded nothing is.
	stretched = yesNo("stretched", "torqued to more than one and a half times what it is to have; false when either was not recorded", func(it item) bool {
		return it.overdone(torqued, wantedTorque)
	})
	threaded = yesNo("threaded", "a thread does it up: it is no plain clevis pin", func(it item) bool { return !pin.has(it) || !pin.there(it) })
	// What is only loose, finger tight or snug has reached none that counts, whatever was
	// once reached on it. In a file of the first format, which keeps no log, the word is asked
	// beside the torque: a 'loose' that was written there and taken out again leaves no trace.
	torqueShare = measured("torque_share", quantity.Number, "torque reached ÷ torque it is to have", func(it item) float64 {
		if _, said := tightness.ifStated(it); !said && it.mechanism().Build.Log == nil {
			it.lacks(paths[tightness])
		}
		if word := it.holder().Tight; word != "" && word != "torqued" {
			return 0
		}
		return share(it, torqued, wantedTorque)
	})
)

// share is one size as a share of another.
func share(it item, over, under amount) float64 {
	a, b := over.of(it), under.of(it)
	if b == 0 && !it.open() {
		it.not("%s.%s is zero", it.Path, paths[under.field])
	}
	return a / b
}

// Keeps is what a kind of lock keeps in place even when the clamp is lost: a bolt or its nut,
// the nut of a tapered stud, a plain clevis pin.
type Keeps struct{ Bolt, Stud, Pin bool }

// Locks says of each kind of lock what it keeps: AC 43.13-1B, 7-63 and 7-64, and the positive
// locking of student racing rules. Spring washers, patches and thread compound do not count.
var Locks = map[string]Keeps{
	"split pin": {Bolt: true, Stud: true, Pin: true}, "wire": {Bolt: true, Stud: true, Pin: true},
	"nylon-insert nut": {Bolt: true, Stud: true}, "all-metal nut": {Bolt: true, Stud: true}, "tab washer": {Bolt: true, Stud: true},
	"jam nut": {Bolt: true}, "circlip": {Pin: true},
}

var ofFasteners = fixed(
	stretched,
	yesNo("alone", "it holds no joint, link end or support that the file names, as the bolt of a steering column", func(it item) bool { return len(it.holds()) == 0 }),
	// The word 'torqued' is a memory; the number beside it says what was reached.
	yesNo("slack", "both torques are written, and too little was reached; false when either was not recorded", func(it item) bool { return it.slack(torqued, wantedTorque) }),
	// A small bolt with its small nut mates, and is not the bolt that was asked for. Threads
	// that were gauged and do not mate are bad; one that nobody gauged says nothing.
	yesNo("mismatched", "threads were gauged, and bolt, nut and the thread asked for do not all mate; false until gauged", func(it item) bool {
		read, readOK := threadRead.ifStated(it)
		nut, nutOK := nutThread.ifStated(it)
		asked, askedOK := threadOf.ifStated(it)
		return readOK && nutOK && !read.Mates(nut) || askedOK && (readOK && !read.Mates(asked) || nutOK && !nut.Mates(asked))
	}),
	yesNo("beside_groove", "somebody saw the pinch bolt pass beside its groove; false when nobody looked", inGroove.denied),
	yesNo("all_fitted", "as many are there as are needed", func(it item) bool { return it.short() == 0 }),
	count("short_by", "how many are missing", item.short),
	text("grade", "class or grade that counts: the mark that was read, else nothing", func(it item) string { return classOf.of(it).Name }),
	yesNo("unmarked", "somebody looked at the head and found no class or grade on it; false until somebody did", unmarked),
	measured("yield", quantity.Stress, "yield strength of that class or grade", func(it item) float64 { return classOf.of(it).Yield }),
	yesNo("class_below", "the mark read on the head is of a lower class than the one drawn; false while either is not recorded", classBelow),
	torqueShare,
	measured("preload_share", quantity.Number, "preload from the torque reached ÷ proof load, by T = K·d·F", preloadShare),
	measured("edge_ratio", quantity.Number, "hole centre to edge ÷ hole diameter", func(it item) float64 { return share(it, tabEdge, hole) }),
	measured("hole_clearance", quantity.Length, "hole less bolt", func(it item) float64 {
		return hole.of(it) - diameter(it)
	}),
	yesNo("tab_welded", "a weld is listed for every joint and link end that it holds, so that who looks at it looks at the tab", tabWelded),
	yesNo("may_turn", "bolt or nut may turn with the part: as recorded; where nobody did, not in what is clamped, as a face, the ball of a bearing or a bonded bush", mayTurn),
	yesNo("tab_held", "the file says what holds the tab it bears in: a weld that holds the same joint, or that the tab is one with its part", tabHeld),
	yesNo("spacers_in", "all spacers of what it holds are known to be in", func(it item) bool {
		return !slices.ContainsFunc(it.spacers(), func(set *vehicle.Holder) bool { return !set.There() })
	}),
	// Whether torque is asked for, and size and class with it, is for the rules that ask for
	// them: here silence passes.
	yesNo("past_proof", "the torque reached pulls it past its proof load, by T = K·d·F; false where nobody recorded what that needs", func(it item) bool {
		share, known := preloadOf.ifStated(it)
		return known && share > 1
	}),
	// An edge or thickness that no tab has is bad once it is measured; nobody has to measure it.
	yesNo("tab_absurd", "measured: its tab is thinner than 1.5 mm, or less than 1 mm of it is left between hole and edge; false when nobody measured", func(it item) bool {
		thickness, thick := tabThickness.ifStated(it)
		edge, edged := tabEdge.ifStated(it)
		drilled, measured := hole.ifStated(it)
		return thick && thickness < 0.0015 || edged && measured && edge < drilled/2+0.001
	}),
	// A hole far too large is bad once it is measured; nobody has to measure it.
	yesNo("hole_much_too_large", "measured: its hole is larger than the bolt by more than 2 mm, for one of 27 mm or more by more than 3 mm; false when nobody measured", func(it item) bool {
		drilled, measured := hole.ifStated(it)
		t, stated := threadOf.ifStated(it)
		return measured && stated && drilled-t.Diameter > mostClearance(t.Diameter)
	}),
	yesNo("threads_mate", "the threads of bolt and nut as gauged are the same", func(it item) bool {
		read := threadRead.of(it)
		if it.open() {
			return false
		}
		return read.Mates(nutThread.of(it))
	}),
	measured("engagement_ratio", quantity.Number, "engaged thread ÷ diameter in the tapped hole", func(it item) float64 {
		t := threadOf.of(it)
		if it.open() {
			return 0
		}
		return engagedIn.of(it) / t.Diameter
	}),
	measured("engagement_needed", quantity.Number, "engaged thread ÷ diameter that the material asks for, in aluminium more where the torque uses more than half of the proof load", func(it item) float64 {
		into := tappedInto.of(it)
		if it.open() {
			return 0
		}
		used, known := preloadOf.ifStated(it)
		if !known {
			used = 1 // a screw whose preload nobody knows may be done up as far as it bears
		}
		n, err := strength.EngagementNeeded(into, used)
		if err != nil {
			it.not("%v", err)
		}
		return n
	}),
	measured("threads_past", quantity.Number, "full threads past the nut, counted or from what protrudes, the fewer of the two", func(it item) float64 {
		t := threadOf.of(it)
		if it.open() {
			return 0
		}
		n, counted := threadsPast.ifStated(it)
		past, seen := protruding.ifStated(it)
		switch {
		case counted && seen:
			return min(float64(n), past/t.Pitch)
		case counted:
			return float64(n)
		case seen:
			return past / t.Pitch
		}
		it.lacks("found.threads_past")
		return 0
	}),
	threaded,
	yesNo("tapped", "it goes into a tapped hole; false with a nut", func(it item) bool {
		into, stated := tappedInto.ifStated(it)
		return stated && into != "nothing"
	}),
	yesNo("lock_counts", "its kind of lock still works when the clamp is lost; of a clevis pin, its kind of lock keeps it in", func(it item) bool {
		keeps := Locks[lockKind.of(it)]
		if pin.there(it) {
			return keeps.Pin
		}
		return keeps.Bolt
	}),
	yesNo("clamps_bonded_bush", "every joint it holds has a bonded bush", func(it item) bool {
		held := it.holds()
		return len(held) > 0 && !slices.ContainsFunc(held, func(name string) bool {
			m := it.mechanism().Meet(name)
			if m == nil || m.Link {
				return true
			}
			kind, _ := bush.ifStated(it.of(m.Item))
			return kind != "bonded"
		})
	}),
	yesNo("suspension", "it holds a joint, a link end or is marked critical; in a checklist, which says what it holds of none, not recorded until somebody marks it or says that it holds a bolted frame together or an engine", func(it item) bool {
		if len(it.holds()) > 0 { // also what holds a support: the vehicle stands on it
			return true
		}
		if it.isStated(schema.OfFrame) && it.mechanism().Checklist() {
			return true
		}
		what, _ := role.ifStated(it)
		marked, stated := critical.ifStated(it)
		if !stated && it.mechanism().Checklist() && what != "engine mount" { // which says what it holds
			it.lacks("critical")
		}
		return marked
	}),
	working(classOf, classThatCounts),
)

// holds names the joints, link ends and supports that an item holds.
func (it item) holds() []string {
	list, _ := names.ifStated(it)
	held := make([]string, len(list))
	for i, name := range list {
		held[i] = name.(string)
	}
	return held
}

// spacers lists the sets of spacers on a bolt.
func (it item) spacers() []*vehicle.Holder {
	var sets []*vehicle.Holder
	for _, name := range it.holds() {
		for _, h := range it.holders(name) {
			if h.Kind.Name == "spacers" {
				it.of(h.Item).holder()
				sets = append(sets, h)
			}
		}
	}
	return sets
}

// mostClearance is by how much a hole may be larger than its bolt, m: the larger of the normal
// clearances, EN 1090-2 table 11 (from memory), and a thousandth of a millimetre for rounding.
func mostClearance(d float64) float64 {
	if d >= 0.027 {
		return 0.003 + 1e-6
	}
	return 0.002 + 1e-6
}

// tabHeld reports whether the file says what holds the tab that a bolt bears in: a weld for
// every joint and link end that it holds, or that it is one with its part. A bolt without
// a described tab leaves that to the rules that ask for its strength.
func tabHeld(it item) bool {
	integral, _ := tabIntegral.ifStated(it)
	return !tab.there(it) || integral || tabWelded(it)
}

func tabWelded(it item) bool {
	return !slices.ContainsFunc(it.holds(), func(name string) bool {
		return !slices.ContainsFunc(it.holders(name), func(h *vehicle.Holder) bool { return h.Kind.Name == "welds" })
	})
}

// clamped are the joints in which bolt and nut stand still: what moves there moves in its ball.
var clamped = []string{"bolted face", "welded face", "ball joint", "taper ball joint", "spherical bearing", "rod end"}

func mayTurn(it item) bool {
	if turns, stated := turnsIn.ifStated(it); stated {
		return turns
	}
	if it.isStated(schema.Clamped) {
		return false
	}
	still := func(m *vehicle.Meet) bool {
		part := it.of(m.Item)
		if m.Link {
			return rodEnds.there(part)
		}
		kind, _ := kindOfIt.ifStated(part)
		in, _ := bush.ifStated(part)
		return slices.Contains(clamped, kind) || in == "bonded"
	}
	meets := it.meets()
	if len(meets) > 0 && !slices.ContainsFunc(meets, func(m *vehicle.Meet) bool { return !still(m) }) {
		return false
	}
	it.lacks("turns")
	return false
}

// diameter is that of the bolt as drawn, or of the clevis pin, m.
func diameter(it item) float64 {
	if pin.there(it) {
		return pinDiameter.of(it)
	}
	return threadOf.of(it).Diameter
}

// threadThere is the thread that counts for strength: the one written on the box,
// or the one gauged on the bolt where that is the thinner.
func threadThere(it item) quantity.Thread {
	t := threadOf.of(it)
	if read, gauged := threadRead.ifStated(it); gauged && read.Diameter < t.Diameter {
		return read
	}
	return t
}

// classThatCounts is the mark that somebody read on the head. What the file asks for is no
// proof of what is fitted. Grades of SAE J429 are of inch bolts: one that is read where a metric
// thread is drawn may be a 3/8 in a hole for M10, so the thread is gauged.
func classThatCounts(it item) strength.Class {
	mark := classMark.of(it)
	if it.open() {
		return strength.Class{}
	}
	t := threadThere(it)
	if it.open() {
		return strength.Class{}
	}
	length, _ := boltLength.ifStated(it)
	c, err := strength.ClassOf(mark, t.Diameter, length)
	switch {
	case unmarked(it):
		it.not("no class is marked on its head")
	case err != nil:
		it.not("class read on the head: %v", err)
	}
	if _, gauged := threadRead.ifStated(it); !gauged && t.Metric && strings.HasPrefix(c.Name, "grade ") {
		it.lacks("found.thread_read")
	}
	return c
}

// unmarked reports whether somebody looked at the head and found no mark on it.
func unmarked(it item) bool {
	mark, read := classMark.ifStated(it)
	return read && slices.Contains([]string{"none", "no", "no mark", "not marked", "unmarked", "nothing", "blank", "plain"}, strings.ToLower(strings.TrimSpace(mark)))
}

// classBelow reports whether the mark on the head says less than the drawing. Grades by the
// inch and metric classes stand in for each other, SAE J429 grade 5 for 8.8 and grade 8 for
// 10.9, although their tensile strengths are a few MPa apart: the next class down is a tenth
// weaker or more.
func classBelow(it item) bool {
	const alike = 0.95
	drawn, stated := drawnClass.ifStated(it)
	mark, read := classMark.ifStated(it)
	t, sized := threadOf.ifStated(it)
	if !stated || !read || !sized {
		return false
	}
	length, _ := boltLength.ifStated(it)
	wanted, err := strength.ClassOf(drawn, t.Diameter, length)
	if err != nil {
		return false // no class that we know: nothing to be below
	}
	there, err := strength.ClassOf(mark, t.Diameter, length)
	return err == nil && there.Tensile < alike*wanted.Tensile
}

// preloadShare is the preload from the torque reached as a share of the proof
// load.
func preloadShare(it item) float64 {
	c := classOf.of(it)
	if it.open() {
		return 0
	}
	reached, t := torqued.of(it), threadThere(it)
	if it.open() {
		return 0
	}
	state, stated := surface.ifStated(it)
	if !stated {
		state = "plain"
	}
	f, err := strength.Preload(reached, nutFactors[state].of(it.policy()), t.Diameter)
	if err != nil {
		it.not("%v", err)
		return 0
	}
	proof, err := strength.BoltTension(t.Diameter, t.Pitch, t.Metric, c)
	if err != nil {
		it.not("%v", err)
	}
	return f / proof.Value
}

// meets lists the joints and link ends that an item holds.
func (it item) meets() []*vehicle.Meet {
	var list []*vehicle.Meet
	for _, name := range it.holds() {
		if m := it.mechanism().Meet(name); m != nil {
			list = append(list, m)
		}
	}
	return list
}

// slack reports whether two torques are both written, and too little was reached.
func (it item) slack(reached, wanted amount) bool {
	torque, read := reached.ifStated(it)
	asked, stated := wanted.ifStated(it)
	return read && stated && torque < torqueLeast.of(it.policy())*asked
}

// overdone reports whether two torques are both written, and far too much was reached.
func (it item) overdone(reached, wanted amount) bool {
	const tooFar = 1.5
	torque, read := reached.ifStated(it)
	asked, stated := wanted.ifStated(it)
	return read && stated && torque > tooFar*asked
}
