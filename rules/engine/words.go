package engine

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/google/cel-go/cel"
	"github.com/google/cel-go/common/functions"
	"github.com/google/cel-go/common/types"
	"github.com/google/cel-go/common/types/ref"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/facts"
)

// The functions for words say in a text what of an item is recorded, and in general
// words what is not, so that no line of work asks for a torque of 'not recorded'. They
// always print something, and that is why the conditions of a rule, and what it says a
// build file will hold, cannot use them: what must be recorded is the business of the
// rules.

// wordings are the functions over a whole item, by their names and its kind.
var wordings = map[string]map[string]func(*facts.Object) string{
	"size": {
		"fasteners": func(o *facts.Object) string {
			if pin := shown(o, "pin.diameter"); pin != "" {
				return and(pin, shown(o, "pin.material"))
			}
			return either(and(thread(o), around("class ", shown(o, "class"), "")), "of the size and class drawn")
		},
		"stud_nuts": func(o *facts.Object) string { return either(thread(o), "for the stud's thread") },
		"wheels": func(o *facts.Object) string {
			return either(and(thread(o), around("with a ", shown(o, "seat"), " seat")), "of the wheel maker's kind")
		},
		"spacers": func(o *facts.Object) string {
			return either(and(around("", shown(o, "stack.each"), " high"), around("for a ", shown(o, "bore.bolt"), " bolt")), "like the ones fitted")
		},
		"links":  func(o *facts.Object) string { return either(thread(o), "for its rod ends") },
		"joints": func(o *facts.Object) string { return either(thread(o), "for its rod end") },
	},
	"thread": {"fasteners": thread, "stud_nuts": thread, "wheels": thread, "links": thread, "joints": thread},
	"lock": {
		"fasteners": func(o *facts.Object) string {
			if tapped(o) {
				return lock(o, "lock wire", onScrew)
			}
			if shown(o, "pin.diameter") != "" {
				return lock(o, "split pin", onPin)
			}
			return lock(o, "lock nut", onBolt)
		},
		"stud_nuts": func(o *facts.Object) string { return lock(o, "new split pin", onStud) },
	},
	// The locks that may be fitted: a bolt in a tapped hole has no nut.
	"locks": {"fasteners": func(o *facts.Object) string {
		if tapped(o) {
			return "lock wire or a tab washer"
		}
		if shown(o, "pin.diameter") != "" {
			return "a circlip or a split pin"
		}
		return "a lock nut, split pin or lock wire"
	}},
	"nut":     {"stud_nuts": studNut},
	"pin":     {"stud_nuts": pin},
	"secure":  {"stud_nuts": secure},
	"reached": {"fasteners": reached, "stud_nuts": reached, "wheels": reached},
	"made":    {"welds": made},
}

// unwritten are the general words for a fact that nobody recorded, by its name; for any
// other there is nothing to say but that.
var unwritten = map[string]string{"torque": "the maker's torque"}

// wording declares the functions for words.
func wording() []cel.EnvOption {
	var options []cel.EnvOption
	for name, kinds := range wordings {
		o := &overloads{name: name}
		for kind, say := range kinds {
			o.add(types.StringType, functions.UnaryOp(func(v ref.Val) ref.Val { return types.String(say(v.(*object).facts)) }), kindOf()[kind].Type)
		}
		options = append(options, cel.Function(name, o.opts...))
	}
	var forms []cel.FunctionOpt
	printed := []*cel.Type{types.BoolType, types.IntType, types.DoubleType, types.StringType, threadType, dateType}
	for _, d := range dimensions {
		printed = append(printed, typeOf[d])
	}
	for _, t := range printed {
		forms = append(forms, cel.Overload("words_"+t.TypeName(), []*cel.Type{t}, types.DynType, cel.OverloadIsNonStrict(), cel.UnaryBinding(words)))
	}
	return append(options, cel.Function("words", forms...),
		cel.Function("percent", cel.Overload("percent_double", []*cel.Type{types.DoubleType}, types.StringType, cel.UnaryBinding(percent))),
		cel.Function("weight", cel.Overload("weight_force", []*cel.Type{typeOf[quantity.Force]}, typeOf[quantity.Mass], cel.UnaryBinding(weight))),
		cel.Function("fall", cel.Overload("fall_double", []*cel.Type{types.DoubleType}, types.DynType, cel.UnaryBinding(fall))),
		cel.Function("nose", cel.Overload("nose_angle", []*cel.Type{typeOf[quantity.Angle]}, types.StringType, cel.UnaryBinding(leans("nose up", "nose down", "level front to back")))),
		cel.Function("side", cel.Overload("side_angle", []*cel.Type{typeOf[quantity.Angle]}, types.StringType, cel.UnaryBinding(leans("left side up", "right side up", "level side to side")))))
}

// levelled is the angle below which a vehicle is level: what a spirit level shows.
const levelled = 0.05 * math.Pi / 180

// leans words an angle by the end that is up, for nobody reads a sign under a vehicle.
func leans(above, below, level string) functions.UnaryOp {
	return func(v ref.Val) ref.Val {
		text := quantity.Metric.Say(quantity.Of(math.Abs(plain(v)), quantity.Angle, "°"))
		switch {
		case math.Abs(plain(v)) < levelled:
			return types.String(level)
		case plain(v) < 0:
			return types.String(text + " " + below)
		}
		return types.String(text + " " + above)
	}
}

// weight is a force as the mass that weighs so much, as plates and scales have it.
func weight(v ref.Val) ref.Val {
	return &amount{q: quantity.Of(plain(v)/quantity.Gravity, quantity.Mass, "kg")}
}

// fall is a slope as a level and a rule show it.
func fall(v ref.Val) ref.Val {
	return &amount{q: quantity.Of(plain(v), quantity.Number, "mm/m")}
}

// percent prints a share per cent; one that is past a whole is never printed as 100 %,
// nor one that is there as none.
func percent(v ref.Val) ref.Val {
	share := plain(v)
	switch text := fmt.Sprintf("%.0f %%", 100*share); {
	case share > 1 && text == "100 %":
		return types.String(">100 %")
	case share > 0 && text == "0 %":
		return types.String("<1 %")
	default:
		return types.String(text)
	}
}

// words is a fact as a text says it, and general words for one that nobody recorded.
func words(v ref.Val) ref.Val {
	if u, ok := v.(*types.Unknown); ok {
		for _, id := range u.IDs() {
			trails, _ := u.GetAttributeTrails(id)
			for _, t := range trails {
				path := t.Variable()
				if general := unwritten[path[strings.LastIndex(path, ".")+1:]]; general != "" {
					return types.String(general)
				}
			}
		}
		return types.String(show(v))
	}
	return v
}

// shown prints a recorded fact of an item or of a block in it; "" when nobody wrote it.
func shown(o *facts.Object, path string) string {
	v, f := lookUp(o, path)
	if f == nil {
		return ""
	}
	known := value(v, f)
	if a, ok := known.(*amount); ok {
		return a.in(o.Units())
	}
	return show(known)
}

// lookUp finds a known fact; the field is nil when it is not known, or when items of
// this kind have none such.
func lookUp(o *facts.Object, path string) (any, *schema.Field) {
	head, rest, nested := strings.Cut(path, ".")
	i := slices.IndexFunc(o.Fields(), func(f schema.Field) bool { return f.Name == head })
	if i < 0 {
		return nil, nil
	}
	v, unknown := o.At(i)
	switch {
	case unknown != nil:
		return nil, nil
	case nested:
		return lookUp(v.(*facts.Object), rest)
	}
	return v, &o.Fields()[i]
}

func either(text, general string) string {
	if text == "" {
		return general
	}
	return text
}

func and(a, b string) string { return strings.TrimSpace(a + " " + b) }

// around puts words around a text that there is.
func around(before, text, after string) string {
	if text == "" {
		return ""
	}
	return before + text + after
}

// tapped says that a bolt goes into a tapped hole.
func tapped(o *facts.Object) bool {
	into := shown(o, "tapped_into")
	return into != "" && into != "nothing"
}

// studNut is the nut to buy for a stud, which follows from how it is locked.
func studNut(o *facts.Object) string {
	thread := either(shown(o, "thread"), "for the stud's thread")
	switch asked := shown(o, "lock"); asked {
	case "nylon-insert nut", "all-metal nut":
		return asked + " " + thread
	case "tab washer", "wire":
		return "nut " + thread
	}
	return "castle nut " + thread
}

// pin is what keeps a stud's nut from turning back and is bought beside it; nothing
// where the nut does so itself.
func pin(o *facts.Object) string {
	switch asked := shown(o, "lock"); asked {
	case "nylon-insert nut", "all-metal nut":
		return ""
	case "tab washer", "wire":
		return lock(o, "", onStud)
	}
	return "new split pin"
}

// thread is the thread of a thing as shops list it; empty where it has none or nobody wrote it.
func thread(o *facts.Object) string {
	for _, field := range []string{"thread", "stud", "rod_ends.thread", "rod_end.thread"} {
		if text := shown(o, field); text != "" {
			return text
		}
	}
	return ""
}

// secure says how a stud's nut is kept from turning back once it is torqued: only a pin
// has a hole to line up.
func secure(o *facts.Object) string {
	switch asked := shown(o, "lock"); asked {
	case "nylon-insert nut", "all-metal nut":
		return "fit a new " + asked
	case "tab washer":
		return "fit a new tab washer and bend it"
	case "wire":
		return "fit lock wire"
	}
	return "tighten on until a slot lines up with the pin hole, fit a new split pin and bend its legs"
}

func onBolt(lock string) bool { return facts.Locks[lock].Bolt }
func onStud(lock string) bool { return facts.Locks[lock].Stud }
func onPin(lock string) bool  { return facts.Locks[lock].Pin }

// onScrew reports whether a lock keeps a bolt in a tapped hole, which has no nut.
func onScrew(lock string) bool { return facts.Locks[lock].Bolt && !strings.HasSuffix(lock, "nut") }

// lock is the lock that the file asks for where it is one that keeps the thing, else the usual one.
func lock(o *facts.Object, usual string, keeps func(string) bool) string {
	switch asked := shown(o, "lock"); {
	case !keeps(asked):
		return usual
	case asked == "wire":
		return "lock wire"
	default:
		return "new " + asked
	}
}

// reached says how tight a bolt or nut was found.
func reached(o *facts.Object) string {
	tightness := shown(o, "found.tightness")
	switch tightness { // before a figure: of a group that was torqued one may be slack
	case "loose":
		return "loose"
	case "finger":
		return "only finger tight"
	case "snug":
		return "only snug"
	}
	if torque := shown(o, "found.torqued"); torque != "" {
		return torque + " reached"
	}
	if tightness == "torqued" {
		return "torqued, but no figure is written down"
	}
	return "tightness not recorded"
}

// made says how far a weld is made and what it waits for.
func made(o *facts.Object) string {
	is := shown(o, "found.made")
	text := map[string]string{"none": "not welded", "tack": "only tacked", "part": "only part welded", "full": "welded full"}[is]
	text = either(text, "state not recorded")
	if waits := shown(o, "waits_for"); waits != "" && is != "full" {
		text += ", waits for " + waits
	}
	return text
}
