package facts

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/strength"
	"setdown/rules/vehicle"
	"setdown/rules/verdict"
)

var ofWelds = append(fixed(
	// What was measured and is far too small is bad, whatever the weld is called; nobody has
	// to measure it.
	measured("undercut_seen", quantity.Length, "depth of undercut; none where nobody measured it", func(it item) float64 { return it.holder().Size.Undercut }),
	measured("leg_lost", quantity.Length, "leg as drawn less leg as measured; none where nobody measured it", func(it item) float64 { return it.holder().Size.LegLost }),
	measured("leg_share", quantity.Number, "leg as measured ÷ as drawn; 1 where nobody measured it", func(it item) float64 { return it.holder().Size.LegShare }),
	measured("length_share", quantity.Number, "length made ÷ as drawn; 1 where nobody measured it", func(it item) float64 { return it.holder().Size.Length }),
	measured("sides_share", quantity.Number, "sides made ÷ as drawn; 1 where nobody counted them", func(it item) float64 { return it.holder().Size.Sides }),
	yesNo("bracket", "it joins a bracket, whatever that holds", func(it item) bool { return it.is(schema.Bracket) }),
	text("size_words", "what was measured and counted of its undercut, leg, length and sides, each where somebody did", func(it item) string {
		var words []string
		say := func(depth float64) string {
			return it.set.Units.Say(quantity.Of(depth, quantity.Length, "mm"))
		}
		size := it.holder().Size
		if depth, measured := foundUndercut.ifStated(it); measured {
			words = append(words, "undercut "+say(depth))
		}
		if laid, measured := foundLeg.ifStated(it); measured {
			words = append(words, fmt.Sprintf("leg %s, %.0f %% of the drawn one", say(laid), 100*size.LegShare))
		}
		if _, measured := madeLength.ifStated(it); measured {
			words = append(words, fmt.Sprintf("%.0f %% of its length made", 100*size.Length))
		}
		if sides, counted := madeSides.ifStated(it); counted && size.Sides < 1 {
			words = append(words, fmt.Sprintf("sides made: %d", sides))
		}
		return strings.Join(words, ", ")
	}),
	yesNo("on_locating", "it keeps a link that locates a wheel: as recorded; where nobody did, by what the links that it holds do", onLocating),
	yesNo("by_contact", "what it holds bears by contact: as recorded; where nobody did, no weld does but a perch and what is of no known role", func(it item) bool {
		contact, stated := byContact.ifStated(it)
		if does, named := role.ifStated(it); !stated && (!named || does == "perch" || does == "support point") {
			it.lacks("bears_by_contact")
		}
		return contact
	}),
	yesNo("one_line", "no more than one of its two drawn lines is made", oneLine),
	measured("leg_short", quantity.Length, "leg as drawn less leg as measured", func(it item) float64 {
		drawn := leg.of(it)
		if it.open() {
			return 0
		}
		return max(0, drawn-foundLeg.of(it))
	}),
	text("toe_words", "of a bracket that is not made full and holds the frame's end of a toe link, what it does to the toe as it stands; else nothing", func(it item) string {
		if link, waits := it.bracket(); waits {
			return " (" + link.Stands(it.set.Units) + ")"
		}
		return ""
	}),
	text("toe_where", "of such a bracket, where it may be finished; else nothing", func(it item) string {
		if link, waits := it.bracket(); waits {
			return " " + link.Where(it.set.Units)
		}
		return ""
	}),
	yesNo("one_sided", "fewer sides are made than drawn", func(it item) bool {
		drawn, stated := drawnSides.ifStated(it)
		return stated && madeSides.of(it) < drawn
	}),
),
	yesNo("pulled", "what it holds is pulled apart up and down in some load case, and no bolt is there that holds it", pulled),
	// Where nobody says that it bears by contact it has to bear by itself.
	yesNo("only_places", "it only places what bears by contact: the move does not roll, and nothing pulls it off in this step; a tack does for that", func(it item) bool {
		contact, _ := byContact.ifStated(it)
		kind, _ := it.step().Move.Text("kind")
		return contact && kind != "roll" && !pulled(it)
	}),
	measured("would_bear", quantity.Force, "what the tacks or the made part would bear by the numbers, for information", func(it item) float64 {
		w := weldMade.of(it)
		if it.idle() {
			it.not("nothing rests on it in this step")
		}
		if w.err != nil {
			it.not("%v", w.err)
		}
		return w.value
	}),
	working(weldMade, weldInStep),
	working(weldHolds, func(it item) *Comparison { return weldMade.of(it).compared }),
)

// onLocating reports whether a weld holds a link that locates a wheel. What holds no link keeps none.
func onLocating(it item) bool {
	if locates, stated := locatesIt.ifStated(it); stated {
		return locates
	}
	meets := it.meets()
	if does, _ := role.ifStated(it); does != "bracket" && does != "" {
		return does == "track rod"
	}
	if len(meets) == 0 {
		return locatesIt.of(it)
	}
	for _, m := range meets {
		if m.Link && it.of(m.Item).is(schema.Locating) {
			return true
		}
	}
	return false
}

// pulled reports whether what a weld holds is pulled apart up and down with no bolt to hold it.
func pulled(it item) bool {
	s := it.step()
	return slices.ContainsFunc(it.meets(), func(m *vehicle.Meet) bool {
		if s.Off(m) || slices.ContainsFunc(it.holders(m.Name), func(h *vehicle.Holder) bool { return h.Kind.Name == "fasteners" && h.There() }) {
			return false
		}
		it.because(s.NoLoads)
		return s.NoLoads == nil && s.PulledOpen(m)
	})
}

// lengthMade is the length of weld that is there, m.
func lengthMade(it item) float64 {
	drawn, isDrawn := drawnLength.ifStated(it)
	seen, measured := madeLength.ifStated(it)
	switch how := made.of(it); {
	case how == "none" || it.open():
		return 0
	case how == "full" && !isDrawn:
		return drawnLength.of(it)
	case how == "full":
		l := drawn * min(1, it.holder().Size.Sides) // a side that nobody counted is made: the word full says so
		if measured {
			l = min(l, seen) // what was measured counts, whatever it is called
		}
		return l
	case measured:
		return seen
	}
	n, okN := tacks.ifStated(it)
	l, okL := tackLength.ifStated(it)
	switch {
	case okN && okL:
	case made.of(it) == "tack":
		it.lacks("found.tacks", "found.tack_length")
	default:
		it.lacks("found.made_length")
	}
	return float64(n) * l
}

// oneLine reports whether no more than one of two drawn lines is made: by the sides that
// were counted, or else because no more than half of the length is. What is drawn on two sides
// or more and not how is reckoned as two lines (drawnAs).
func oneLine(it item) bool {
	layout, stated := layoutOfIt.ifStated(it)
	if drawn, counted := drawnSides.ifStated(it); !stated && counted && drawn >= 2 {
		layout = asLines
	}
	if how := it.holder().Made; layout != asLines || how != "part" && how != "full" {
		return false
	}
	if sides, counted := madeSides.ifStated(it); counted {
		return sides < 2
	}
	seen, measured := madeLength.ifStated(it)
	drawn, stated := drawnLength.ifStated(it)
	return measured && stated && seen <= drawn/2
}

// weldBears is what a weld bears of the forces that the held joints put on it. Tacks count for
// what the policy says, by default nothing; what they would bear is kept for information.
type weldBears struct {
	compared *Comparison
	value    float64 // N
	err      error
}

func weldInStep(it item) (w weldBears) {
	if len(it.holds()) == 0 {
		it.lacks("holds")
	}
	if !it.onlySupports() {
		it.because(it.step().NoLoads)
	}
	if it.open() || it.idle() {
		return w
	}
	drawn := readFillet(it)
	if it.open() {
		return w
	}
	if w.err = drawn.err; w.err != nil {
		w.compared = it.compare("fillet weld", 0, strength.Result{}, w.err)
		return w
	}
	length := lengthMade(it)
	if it.open() {
		return w
	}
	load, err := loadOnWeld(it, drawn.group, &drawn.guesses)
	how := made.of(it)
	name := "fillet weld, " + how
	full := drawn.bears
	full.Assumptions = append(slices.Clone(full.Assumptions), load.assumed...)
	full.Working = append(slices.Clone(full.Working), load.working...)
	if err != nil {
		w.err = err
		w.compared = it.orAsk(it.compare(name, load.sum, full, err), drawn.guesses)
		return w
	}
	if full.Value *= drawn.group.Length; load.peak > 0 {
		full.Value = drawn.bears.Value / load.peak * load.sum
		full.Assumptions = append(full.Assumptions, "strength of the whole weld against a force placed and directed like this one: what a unit of its length bears ÷ peak × load")
	}
	share := min(1, length/drawn.group.Length)
	w.value = full.Value * share
	if share < 1 || how == "tack" {
		full.Value *= share
		full.Assumptions = append(full.Assumptions, "strength in proportion to the length welded")
	}
	if how == "tack" {
		counts := tackStrength.of(it.policy())
		full.Value *= counts
		full.Assumptions = append(full.Assumptions, fmt.Sprintf("tacks count for %s of their computed strength", quantity.Format(counts)))
	}
	if full.Value <= 0 {
		err = errors.New("what is welded so far counts for nothing")
	}
	w.compared = it.orAsk(it.compare(name, load.sum, full, err), drawn.guesses)
	return w
}

// fillet is a weld as it counts: its lines, and what a metre of them bears.
type fillet struct {
	group   strength.FilletGroup
	bears   strength.Result
	guesses guesses
	err     error
}

// readFillet reads a fillet, as drawn or, where less was laid, as laid.
func readFillet(it item) (w fillet) {
	drawnLeg, thickness := leg.of(it), plate.of(it)
	w.group = strength.FilletGroup{Layout: it.drawnAs(&w.guesses), Leg: drawnLeg, Length: drawnLength.of(it)}
	if it.open() {
		return w
	}
	between := w.group.Layout == "two lines" || w.group.Layout == "rectangle"
	if between {
		w.group.Width = it.betweenLines(thickness+drawnLeg, &w.guesses)
	}
	if oneLine(it) {
		w.err = errors.New("only one of its two lines is welded, and bending peels it")
		return w
	}
	if laid, measured := foundLeg.ifStated(it); measured {
		w.group.Leg = min(w.group.Leg, laid) // the drawing asks, what was laid bears
	}
	var assumed []string
	if between && w.group.Width <= thickness+2.5*drawnLeg { // between the middles of the fillets as drawn
		// Both lines lie on the two faces of one plate, which shears once.
		thickness /= 2
		assumed = append(assumed, "both lines lie on one plate: half its thickness stands behind each")
	}
	welded, _ := parent.ifStated(it)
	wire, _ := filler.ifStated(it)
	steel := slices.Contains([]string{"mild steel", "alloy tube", "stainless"}, welded) || strength.ForSteel(wire)
	m, err := it.metal(plateMaterial, plate.of(it), steel, &w.guesses)
	if err != nil {
		w.err = err
		return w
	}
	f, err := it.wire(m, &w.guesses)
	if err != nil {
		w.err = err
		return w
	}
	w.bears, w.err = strength.FilletLine(w.group.Leg, f, thickness, m)
	w.bears.Assumptions = append(w.bears.Assumptions, assumed...)
	return w
}

// drawnAs are the lines that a fillet is made of. Of two sides or more nothing is weaker than two
// lines; one line has nothing against a moment about it.
func (it item) drawnAs(g *guesses) string {
	const otherwise = 2 // a circle or rectangle bears hardly twice as much
	_, stated := layoutOfIt.ifStated(it)
	if sides, counted := drawnSides.ifStated(it); stated || !counted || sides < 2 {
		return layoutOfIt.of(it)
	}
	g.add(it, paths[layoutOfIt], guess{words: "fillet.layout not recorded: two lines taken, one on each side", gain: otherwise})
	return asLines
}

// asLines is the layout of a fillet on two sides of a plate.
const asLines = "two lines"

// betweenLines is the distance of two lines of fillet, m. The middles of fillets on both sides of a
// plate are no nearer than that, nor are those of two tabs nearer than the gap between these.
func (it item) betweenLines(onPlate float64, g *guesses) float64 {
	if width, stated := lineWidth.ifStated(it); stated {
		return width
	}
	least, gain := onPlate, 0.0
	for _, set := range it.spacers() {
		if gap, stated := bracketGap.ifStated(it.of(set.Item)); stated && gap > least {
			least, gain = gap, 2
		}
	}
	g.add(it, paths[lineWidth.field], guess{words: "fillet.width not recorded: " + quantity.Of(least, quantity.Length, "mm").String() + ", the least there is", gain: gain})
	return least
}

// wire is the filler, or the weakest for such a metal.
func (it item) wire(m strength.Material, g *guesses) (strength.Filler, error) {
	if name, stated := filler.ifStated(it); stated {
		return strength.FillerOf(name)
	}
	fit := strength.FillersFor(m)
	weakest, strongest := fit[0], fit[len(fit)-1]
	g.add(it, paths[filler], guess{words: "fillet.filler not recorded: " + weakest.Name + " taken, the weakest", gain: strongest.Shear / weakest.Shear})
	return weakest, nil
}

// weldLoad is what a weld has to pass.
type weldLoad struct {
	peak    float64 // the greatest force on a metre of the whole weld, N/m
	sum     float64 // the forces added up, N
	working []strength.Step
	assumed []string
}

// onLines is how forces come on the lines of a weld.
type onLines struct {
	strength.FilletGroup
	middle r3.Vec  // of the lines, m
	placed bool    // that is recorded
	reach  float64 // from what it holds to there, m, where it is not
	frame          // of the lines
	framed bool    // that is recorded
}

// about is the moment of a wrench about the middle of the lines, which is an arm from where it acts, N·m.
func (l onLines) about(arm r3.Vec, w vehicle.Wrench) r3.Vec {
	return r3.Add(w.Moment, r3.Cross(arm, w.Force))
}

// peak is the greatest force on a metre of the lines, N/m, under a wrench, an arm from their middle;
// whichever way it acts where that is not known. What its moment may be more acts whichever way.
func (l onLines) peak(arm r3.Vec, w vehicle.Wrench) (float64, []strength.Step, error) {
	force := r3.Norm(w.Force)
	switch {
	case !l.placed:
		return l.PeakAnyWay(force, force*l.reach+r3.Norm(w.Moment)+w.More)
	case !l.framed:
		return l.PeakAnyWay(force, r3.Norm(l.about(arm, w))+w.More)
	}
	peak, steps, err := l.Peak(l.in(w.Force), l.in(l.about(arm, w)))
	if err != nil || w.More == 0 {
		return peak, steps, err
	}
	more, _, err := l.PeakAnyWay(0, w.More)
	return peak + more, append(steps, strength.Step{Name: "of the ± of the moment, any way", Value: more / 1e3, Unit: "N/mm"}), err
}

// worst is that peak under the worst of some wrenches at one place, and the size of the largest force, N.
func (l onLines) worst(at r3.Vec, passed []vehicle.Wrench) (peak, size float64, steps []strength.Step, err error) {
	arm := r3.Sub(at, l.middle)
	most := -1 // which of them that is
	for i, w := range passed {
		size = max(size, r3.Norm(w.Force))
		p, s, err := l.peak(arm, w)
		if err != nil {
			return 0, 0, nil, err
		}
		if p >= peak {
			peak, steps, most = p, s, i
		}
	}
	if l.framed && l.placed && most >= 0 {
		steps = append(components(l.in(passed[most].Force), l.in(l.about(arm, passed[most]))), steps...)
	}
	return peak, size, steps, nil
}

// lines are the lines of a weld as recorded, and what was taken of them.
func (it item) lines(g strength.FilletGroup, taken *guesses) (l onLines, assumed []string) {
	middle, placed := centre.ifStated(it)
	l = onLines{FilletGroup: g, middle: vehicle.Point(middle), placed: placed, reach: bracketReach.of(it.policy())}
	if !placed {
		taken.add(it, paths[centre], guess{likely: true,
			words: fmt.Sprintf("fillet.centre not recorded: %s from what it holds taken, whichever way", quantity.Of(l.reach, quantity.Length, "mm"))})
	}
	if l.frame, l.framed = weldFrame(it); !l.framed {
		assumed = []string{"fillet.along and fillet.normal not recorded: the lines taken as turned the worst way"}
	}
	return l, assumed
}

// loadOnWeld adds what all that a weld holds puts on it, as if each were worst at the
// same point.
func loadOnWeld(it item, g strength.FilletGroup, taken *guesses) (w weldLoad, err error) {
	l, assumed := it.lines(g, taken)
	w.assumed = assumed
	for _, name := range it.holds() {
		at, passed, on := it.step().Forces(name)
		if !on {
			continue
		}
		// Each of the brackets of a face bears its share; that of a moment, which pushes one against
		// the other, is less than it would be on the lines of each.
		share := 1.0
		if m := it.mechanism().Meet(name); m != nil && m.Face() && len(it.holds()) == 1 {
			pieces, _ := needed.ifStated(it)
			share = 1 / float64(max(1, pieces))
		}
		shared := make([]vehicle.Wrench, len(passed))
		for i, one := range passed {
			shared[i] = vehicle.Wrench{Force: r3.Scale(share, one.Force), Moment: r3.Scale(share, one.Moment), More: share * one.More}
		}
		worst, size, steps, err := l.worst(at, shared)
		if err != nil {
			return w, err
		}
		if size == 0 {
			size = worst * g.Length // a moment alone, as what would press all of the lines as hard
		}
		w.peak += worst
		w.sum += size
		arm := l.reach
		if l.placed {
			arm = r3.Norm(r3.Sub(at, l.middle))
		}
		w.working = append(w.working, strength.Step{Name: "lever arm of " + name, Value: 1e3 * arm, Unit: "mm"})
		w.working = append(w.working, steps...)
	}
	w.working = append(w.working, strength.Step{Name: "length of the lines", Value: g.Length * 1e3, Unit: "mm"})
	if g.Width > 0 {
		w.working = append(w.working, strength.Step{Name: "width between the lines", Value: g.Width * 1e3, Unit: "mm"})
	}
	return w, nil
}

// components lists a force and a moment in the weld's own frame.
func components(force, moment r3.Vec) []strength.Step {
	var steps []strength.Step
	along := func(axis string, force, moment float64) {
		steps = append(steps, strength.Step{Name: "force " + axis, Value: force, Unit: "N"}, strength.Step{Name: "moment about " + axis, Value: moment, Unit: "N·m"})
	}
	along("along the lines", force.X, moment.X)
	along("across the lines", force.Y, moment.Y)
	along("out of the face", force.Z, moment.Z)
	return steps
}

// frame is the weld's own frame: along the lines, across them, out of the face.
type frame [3]r3.Vec

func (fr frame) in(v r3.Vec) r3.Vec {
	return r3.Vec{X: r3.Dot(fr[0], v), Y: r3.Dot(fr[1], v), Z: r3.Dot(fr[2], v)}
}

// weldFrame is the weld's frame as recorded.
func weldFrame(it item) (frame, bool) {
	along, okA := linesAlong.ifStated(it)
	normal, okN := faceNormal.ifStated(it)
	a := r3.Unit(vehicle.Point(along))
	across := r3.Unit(r3.Cross(vehicle.Point(normal), a))
	return frame{a, across, r3.Cross(a, across)}, okA && okN
}

// bracket is what a weld that waits does to the toe.
func (it item) bracket() (verdict.ToeLink, bool) {
	it.r.note(read{outside, theLog})
	return it.set.state.Bracket(it.id())
}

// Bracket says what a weld that holds the frame's end of a toe link and is not made full does to
// the toe; false for any other.
func (s *State) Bracket(weld string) (verdict.ToeLink, bool) {
	link, waits := s.toes()[weld]
	return link, waits
}
