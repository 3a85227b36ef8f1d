package facts

import (
	"errors"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/strength"
	"setdown/rules/vehicle"
)

// Age is the fact that says how long ago an item was looked at: what grows too old ends with its
// look.
const Age = "age"

// ofEvery are the facts of every item.
var ofEvery = fixed(
	text("id", "its id in the build file", item.id),
	text("at_place", "the place it belongs to, worked out where the file does not say", func(it item) string { return it.mechanism().Place(it.item) }),
	measured(Age, quantity.Duration, "how long ago it was seen", func(it item) float64 { return it.since(seenOn) }),
)

// ofOrdered are the facts of the items that stand on the vehicle or under it and can be ordered.
var ofOrdered = fixed(
	text("came_wrong", "the order for it of which what came is not what was ordered, while nobody saw that it is not on the vehicle; 'nothing' when there is none", func(it item) string {
		var wrong []string
		for _, order := range it.mechanism().Build.Orders {
			right, checked := order.Bool("checked")
			if checked && !right && slices.Contains(order.Texts("for"), it.id()) && !it.knownOff() {
				wrong = append(wrong, order.ID)
			}
		}
		return orNothing(wrong)
	}),
)

// knownOff reports whether somebody saw that the item is not on the vehicle, in no piece.
func (it item) knownOff() bool {
	if slices.Contains(vehicle.HolderKinds, it.Kind) {
		h := it.holder()
		return len(h.Missing) == 0 && h.Short >= h.Needed()
	}
	on, seen := partFitted.ifStated(it)
	return seen && !on
}

// since is how long ago a recorded day was, s. A day in the future is no age.
func (it item) since(day field[quantity.Date]) float64 {
	on := day.of(it)
	days := on.DaysUntil(it.today())
	if days < 0 && !it.open() {
		it.not("%s.%s is %s, after today (%s)", it.Path, paths[day], on, it.today())
	}
	return float64(days) * quantity.Day
}

// ofCarrying are the facts of the items that can pass force: joints, links,
// supports, restraints and whatever holds one of these.
var ofCarrying = []fact{
	word("carries", vehicle.Carries, "what rests on it in this step, worst load case: the vehicle, a hanging part or nothing", func(it item) string {
		r := it.resting()
		it.because(r.NoCarries)
		return r.Carries
	}),
	yesNo("carrying", "it carries the vehicle or a part in this step", func(it item) bool { return carries.of(it) != "nothing" }),
	word("lets_go", vehicle.LetsGo, "what happens if it fails now", func(it item) string {
		r := it.resting()
		it.because(r.NoLetsGo)
		return r.LetsGo
	}),
	text("goes", "the parts that would go and how, in words", func(it item) string {
		r := it.resting()
		it.because(r.NoGoes)
		return r.Goes
	}),
	measured("load", quantity.Force, "force on it, worst over load cases, rocking cases and the ± of masses", func(it item) float64 {
		r := it.resting()
		it.because(r.NoLoad)
		return r.Load
	}),
}

// ofStrong are the facts of the kinds with checks.
var ofStrong = []fact{
	measured("utilisation", quantity.Number, "worst load × design factor ÷ strength over its methods; above 1 is a stop", func(it item) float64 {
		if c := tightest(it); c != nil {
			return c.Utilisation
		}
		return 0
	}),
}

// part reads the part with that id.
func (it item) part(id string) item { return it.of(it.mechanism().Build.Item(id)) }

// past is how far a place at which it is attached to a part is drawn past the points of that part.
// What reaches further than its points, such as a frame, is drawn far enough within the overhang.
func (it item) past(at schema.Vec, part string) float64 {
	by := it.mechanism().Past(at, part, it.item)
	if by < overhang.of(it.policy()) && !it.part(part).is(schema.Rigid) {
		return 0
	}
	return by
}

// resting is what rests on the item in the step.
func (it item) resting() vehicle.Resting { return it.step().Resting(it.item) }

// idle reports whether nothing rests on the item. While nobody knows, something may.
func (it item) idle() bool {
	what, _ := carries.ifStated(it)
	return what == "nothing"
}

// Comparison is one comparison of a load with what bears it.
type Comparison struct {
	Check       string
	Load        float64 // N, or N·m where Unit says so
	Unit        string
	Factor      float64
	Bears       strength.Result
	Utilisation float64 // load × factor ÷ strength; nothing where NotComputed says why
	NotComputed string
}

// compare holds a load against a method's result, with the design factor. An error of the
// method means not computed.
func (it item) compare(check string, load float64, bears strength.Result, err error) *Comparison {
	return against(check, load, designFactor.of(it.policy()), bears, err)
}

// sharing says of a joint or link whose load equilibrium leaves open what it counts with.
func (it item) sharing() []string {
	if !it.step().Shares(it.item) {
		return nil
	}
	return []string{"equilibrium leaves open how much it takes: the worst of it or another that shares the load being ten times as stiff as the rest"}
}

func against(check string, load, factor float64, bears strength.Result, err error) *Comparison {
	c := &Comparison{Check: check, Load: load, Unit: units[quantity.Force], Factor: factor, Bears: bears}
	if err == nil && !(bears.Value > 0) {
		err = errors.New("the strength came out as zero")
	}
	use := load * factor / bears.Value
	if err == nil && math.IsNaN(use) {
		err = errors.New("load or strength could not be computed")
	}
	if err != nil {
		c.NotComputed = err.Error()
		return c
	}
	c.Utilisation = use
	return c
}

// check is a comparison that is made for items of a kind. A check that decides leaves the
// utilisation unknown where it is not known itself; of the others a rule asks by itself.
type check struct {
	field[*Comparison]
	decides bool
}

// checks lists the comparisons of each kind in the order of the report. For a kind that is
// not in it no strength is computed.
var checks = map[string][]check{
	"restraints": {{strapBears, true}},
	"parts":      {{partBends, true}, {partProven, true}},
	"joints":     {{jointBears, true}, {shankBends, false}},
	"links":      {{barPushed, true}, {barPulled, false}, {rodEndsBear, true}},
	"fasteners":  {{boltSheared, true}, {boltPulled, true}, {boltBoth, false}, {threadStrips, false}, {tabBears, false}, {tabTears, false}, {tabNet, false}, {boltBends, false}, {pinBears, true}, {pinAlong, false}},
	"stud_nuts":  {{nutBears, true}},
	"welds":      {{weldHolds, true}},
	"springs":    {{springBears, true}},
	"supports":   {{plateBears, true}},
}

var (
	strapBears   = at[*Comparison]("strap against its label")
	partBends    = at[*Comparison]("part against its section")
	partProven   = at[*Comparison]("part against its proof")
	jointBears   = at[*Comparison]("joint against its rating")
	shankBends   = at[*Comparison]("shank bends")
	barPushed    = at[*Comparison]("bar pushed")
	barPulled    = at[*Comparison]("bar pulled")
	rodEndsBear  = at[*Comparison]("rod ends against their rating")
	boltSheared  = at[*Comparison]("bolt sheared")
	boltPulled   = at[*Comparison]("bolt pulled")
	boltBoth     = at[*Comparison]("bolt sheared and pulled")
	threadStrips = at[*Comparison]("thread strips")
	tabBears     = at[*Comparison]("tab bears")
	tabTears     = at[*Comparison]("tab tears out")
	tabNet       = at[*Comparison]("tab tears across")
	pinBears     = at[*Comparison]("pin bears")
	pinAlong     = at[*Comparison]("pin pushed along")
	boltBends    = at[*Comparison]("bolt bends")
	nutBears     = at[*Comparison]("nut against the pull")
	weldHolds    = at[*Comparison]("weld against the forces on it")
	plateBears   = at[*Comparison]("support against its plate")
	springBears  = at[*Comparison]("spring against coil bind")
)

// Comparisons lists what was compared for an item in its step.
func Comparisons(o *Object) []*Comparison {
	var list []*Comparison
	for _, check := range checks[o.Kind] {
		v, unknown := o.At(o.layout.slots[check.field].at)
		if c, _ := v.(*Comparison); unknown == nil && c != nil {
			list = append(list, c)
		}
	}
	return list
}

// tightest is the comparison with the highest utilisation; nil where nothing is compared
// because nothing rests on the item. One that is not known leaves it unknown which it is.
func tightest(it item) *Comparison {
	var most *Comparison
	var waits *Unknown
	for _, check := range checks[it.Kind] {
		c, unknown := check.why(it)
		switch {
		case unknown != nil && check.decides:
			it.because(unknown)
			return nil
		case unknown != nil:
			waits = unknown
		case c == nil:
		case c.NotComputed != "":
			it.not("%s", c.NotComputed)
			return nil
		case most == nil || c.Utilisation > most.Utilisation:
			most = c
		}
	}
	if most == nil {
		it.because(waits)
	}
	return most
}

// use is the utilisation of one comparison, or the highest of several; nothing where none
// is made.
func use(of ...field[*Comparison]) func(item) float64 {
	return func(it item) float64 {
		most := 0.0
		for _, f := range of {
			switch c := f.of(it); {
			case it.open():
				return 0
			case c == nil:
			case c.NotComputed != "":
				it.not("%s", c.NotComputed)
				return 0
			default:
				most = max(most, c.Utilisation)
			}
		}
		return most
	}
}

// orNothing lists names in a sentence.
func orNothing(list []string) string {
	if len(list) == 0 {
		return "nothing"
	}
	return strings.Join(list, ", ")
}

func hasTwin(it item) bool { return it.mechanism().Twin(it.item) != nil }

// twin reads the mirrored twin of an item; ok is false without one.
func (it item) twin() (twin item, ok bool) {
	other := it.mechanism().Twin(it.item)
	if other == nil {
		it.not("the file has no matching item on the other side")
		return it, false
	}
	return it.of(other), true
}

func distance(a, b schema.Vec) float64 {
	return r3.Norm(r3.Sub(vehicle.Point(a), vehicle.Point(b)))
}
