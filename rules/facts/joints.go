package facts

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model/quantity"
	"setdown/model/strength"
	"setdown/rules/vehicle"
)

var ofJoints = append(fixed(
	quoted("misalignment", quantity.Angle, "angle between its bolt and the square position, as measured; nothing is computed for it", foundAngle.field.of),
	measured("mirror_offset", quantity.Length, "distance between its place and the mirrored place of its twin; unknown without a twin", mirrorOffset),
	yesNo("has_twin", "a mirrored twin stands in the file", hasTwin),
	yesNo("has_rating", "the file gives a rating for it, or the axle load that it is proven at", func(it item) bool {
		_, stated := ratedRadial.ifStated(it)
		return stated || isProven(it)
	}),
	yesNo("rated", "a rating is recorded for it, or it is proven as it is on a production vehicle; not recorded while nobody wrote down either. A rating is of a part that nobody has altered", func(it item) bool {
		_, stated := ratedRadial.ifStated(it)
		if !proven.there(it) {
			ratedRadial.of(it)
			return stated
		}
		if !stated {
			provenOn.of(it)
			provenAxle.of(it)
		}
		return !provenCut.of(it)
	}),
	yesNo("bush_out", "somebody saw that its bush or bearing is out; false when nobody looked", bushIn.denied),
	measured("proven_times", quantity.Number, provenTimes, item.provenTimes),
	yesNo("held", "the file lists a fastener, nut or wheel that holds it, at a welded face a weld: the weld of a bracket holds no bolt in it", func(it item) bool { return it.mechanism().Held(it.meet()) }),
	yesNo("has_rod_ends", "it is a rod end, screwed into a part", func(it item) bool { return kindOfIt.of(it) == "rod end" }),
	count("jam_nut_count", "how many jam nuts it has to have", func(item) int64 { return 1 }),
	// Nobody has to look at its hand; what was seen is held against the thread.
	yesNo("jam_nut_differs", "its jam nut has another hand than its thread; false when nobody recorded the nut's", func(it item) bool {
		nut, seen := jamNutHand.ifStated(it)
		return seen && kindOfIt.of(it) == "rod end" && shankHand.of(it) != nut
	}),
	yesNo("fouls", "the angle measured on it is past its bearing's limit; false when it was not measured, for nobody has to, and of a face, which has no bearing, unless a limit is written", func(it item) bool {
		found, measured := foundAngle.ifStated(it)
		if !measured {
			return false
		}
		if _, stated := limitAngle.ifStated(it); !stated && strings.HasSuffix(kindOfIt.of(it), "face") {
			return false
		}
		return found > limitAngle.of(it)
	}),
),
	measured("pose_angle", quantity.Angle, "how far out of square it is in the pose of the step: at full droop where a spring of its suspension hangs, on its wheels as the springs carry it; nothing without springs", func(it item) float64 {
		return it.poseAngle(it.meet())
	}),
	yesNo("pose_fouls", "that is past the limit of its bearing; of a bush or ball joint only where a limit is written", func(it item) bool {
		angle := poseAngle.of(it)
		if it.open() || angle == 0 {
			return false
		}
		limit, stated := limitAngle.ifStated(it)
		if kind := kindOfIt.of(it); !stated && (kind == "spherical bearing" || kind == "rod end") {
			limitAngle.of(it)
		}
		return stated && angle > limit
	}),
	measured("axial", quantity.Force, "worst force along its bolt, the whole where nobody recorded its direction and so much would do", func(it item) float64 {
		p := it.passes()
		if !p.Split && p.Along > 0 {
			if allowed, unknown := axialAllowed.why(it); unknown == nil && p.Along*designFactor.of(it.policy()) > allowed.Value {
				it.lacks("axis")
			}
		}
		return p.Along
	}),
	measured("radial", quantity.Force, "worst force across its bolt", func(it item) float64 { return it.passes().Across }),
	measured("axial_allowed", quantity.Force, "axial rating of its bearing, or the policy's share of the radial rating when the maker gives none", axialRating),
	measured("shank_utilisation", quantity.Number, "load × design factor ÷ what the shank of a rod end bears that is screwed into a part; nothing of another joint", use(shankBends)),
	working(jointBears, jointRating),
	working(shankBends, shankOfJoint),
)

// mirrorOffset compares the place of a joint with the mirrored place of its
// twin, across the plane of their mirror entry.
func mirrorOffset(it item) float64 {
	twin, ok := it.twin()
	if !ok {
		return 0
	}
	a := placedAt.of(it)
	if it.open() {
		return 0
	}
	return distance(a, placedAt.of(twin).Mirrored(cmp.Or(it.item.Across, twin.item.Across)))
}

// passes is what the joint passes in the step; nothing when it is off.
func (it item) passes() vehicle.Pass {
	s := it.step()
	if s.Off(it.meet()) {
		return vehicle.Pass{}
	}
	it.because(s.NoLoads)
	p, _ := s.Pass(it.id())
	return p
}

// axialRating is what a joint bears along its bolt, N. Where the policy's share of the rating
// across would not do, its own figure decides.
func axialRating(it item) float64 {
	if own, stated := ratedAxial.ifStated(it); stated {
		return own
	}
	rated := ratedRadial.of(it)
	allowed := rated * axialShare.of(it.policy())
	p, on := it.step().Pass(it.id())
	if _, stated := spread.ifStated(it); stated {
		p, _ = it.bent(p, &guesses{})
	}
	if on && !it.open() {
		if r, _ := strength.RodEnd(p.Across, p.Along, rated, allowed); (p.Across+p.Along)*designFactor.of(it.policy()) > r.Value {
			it.lacks("axial_rating")
		}
	}
	return allowed
}

// jointRating compares what a joint passes with its rating.
func jointRating(it item) *Comparison {
	p := it.passes()
	if it.open() || it.step().Off(it.meet()) {
		return nil
	}
	if _, stated := ratedRadial.ifStated(it); !stated && isProven(it) {
		_, passed, _ := it.step().Forces(it.id())
		return provenAgainst("joint against the axle load it is proven at", p.Whole, passed, provenAxle.of(it), nil)
	}
	rated := ratedRadial.of(it)
	if it.open() {
		return nil
	}
	allowed := axialAllowed.of(it)
	var g guesses
	bent, steps := it.bent(p, &g)
	r, err := strength.RodEnd(bent.Across, bent.Along, rated, allowed)
	r.Working = append(r.Working, steps...)
	if _, own := ratedAxial.ifStated(it); !own {
		r.Assumptions = append(r.Assumptions, fmt.Sprintf("no rating along the bolt recorded: %s of the rating across it is used", quantity.Format(axialShare.of(it.policy()))))
	}
	r.Assumptions = append(r.Assumptions, it.sharing()...)
	name := "joint against its rating"
	if kind := kindOfIt.of(it); kind == "spherical bearing" || kind == "rod end" {
		name = "bearing against its rating"
	}
	if !p.Split {
		g = append(g, guess{path: it.Path + ".axis", words: "direction of the bolt not recorded: the whole force is taken both across and along it"})
	}
	return it.orAsk(it.compare(name, bent.Across+bent.Along, r, err), g)
}

// bent adds to what a joint passes across what a moment in it puts on each of its two bearings: M/spread, one
// push this way and one that. One bearing alone gives way under F + 4·M/L, each half of it pressed one way
// (limit of an evenly pressed length L), and has L/4 for its spread. Where nobody recorded it, it is the least that
// a file may say.
func (it item) bent(p vehicle.Pass, g *guesses) (vehicle.Pass, []strength.Step) {
	if p.Bend <= 1 || it.meet().Face() {
		return p, nil // the bolts or the weld of a face bear its moment
	}
	least := quantity.Of(leastSpread, quantity.Length, "mm")
	apart := orWorst(it, spread.field, least, least.String()+", the least there is", g).Value
	more := p.Bend / apart
	p.Across += more
	return p, []strength.Step{{Name: "moment in it", Value: p.Bend, Unit: "N·m"}, {Name: "spread", Value: 1e3 * apart, Unit: "mm"}, {Name: "of that moment across", Value: more, Unit: "N"}}
}

// leastSpread is the least spread that a long bearing may have in a file, m.
const leastSpread = 5e-3

const provenTimes = "how many times all recorded mass the axle load is that it is proven at; nothing where the file lacks either"

// provenTimes holds the axle load that something is proven at against the vehicle that it is on now: what comes
// off a lorry has another size, and a figure that large is a slip.
func (it item) provenTimes() float64 {
	axle, stated := provenAxle.ifStated(it) // asked for with its rating
	all := allMass.of(it.whole())
	if !stated || all == 0 {
		return 0
	}
	return axle / (all * vehicle.Gravity)
}

// isProven reports whether the joint comes unaltered off a production vehicle whose axle load
// is recorded.
func isProven(it item) bool {
	_, named := provenOn.ifStated(it)
	_, loaded := provenAxle.ifStated(it)
	cut, stated := provenCut.ifStated(it)
	return named && loaded && stated && !cut
}

// provenAgainst holds forces, the largest of them a load, against a permitted axle load: the
// whole of it up and down, for kerbs and braking are in it, half of it level, and the two
// shares added. It has no design factor.
func provenAgainst(check string, load float64, forces []vehicle.Wrench, axle float64, err error) *Comparison {
	use, most := 0.0, 0.0
	for _, w := range forces {
		f := w.Force
		use = max(use, math.Abs(f.Z)/axle+math.Hypot(f.X, f.Y)/(axle/2))
		most = max(most, r3.Norm(f))
	}
	bears := axle / 2 // nothing passes, whichever way
	if use > 0 {
		bears = most / use
	}
	return against(check, load, 1, strength.Result{
		Value: bears, Method: "force up and down ÷ permitted axle load + level force ÷ half of it", Source: "policy: what a part bore on its production vehicle",
		Assumptions: []string{"unaltered, and used as on the vehicle that it comes off"},
	}, err)
}

// shankOfJoint holds what a rod end that is screwed into a part passes against the bending of its
// shank: a maker's rating is for a pull along it. What nobody wrote down is taken at its
// worst, and asked for where that would not do.
func shankOfJoint(it item) *Comparison {
	p := it.passes()
	if it.open() || kindOfIt.of(it) != "rod end" || p.Whole == 0 {
		return nil
	}
	t := shankThread.of(it)
	if it.open() {
		return nil
	}
	s := it.shank(shankExposed, shankYield, longestShank)
	way, directed := shankAlong.ifStated(it)
	if !directed {
		s.guesses.add(it, paths[shankAlong], guess{words: "direction of the shank not recorded: the whole force taken across it"})
	}
	_, passed, _ := it.step().Forces(it.id())
	var bears strength.Result
	var failure error
	most, use := 0.0, 0.0
	for _, w := range passed {
		f := w.Force
		size := r3.Norm(f)
		across, along := size, 0.0
		if directed {
			unit := r3.Unit(vehicle.Point(way))
			along = r3.Dot(f, unit)
			across = r3.Norm(r3.Sub(f, r3.Scale(along, unit)))
		}
		if most = max(most, size); size == 0 {
			continue
		}
		r, err := strength.RodEndShank(across, along, t.Diameter, t.Pitch, s.exposed, s.yield)
		if err != nil {
			failure = err
		} else if u := size / r.Value; u > use {
			bears, use = r, u
		}
	}
	bears.Value = most / use // of the largest force, if all that is worst were in it
	return it.orAsk(it.compare("shank of the rod end in bending", p.Whole, bears, failure), s.guesses)
}
