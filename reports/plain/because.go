package plain

import (
	"slices"
	"strconv"
	"strings"

	"setdown/model/quantity"
	"setdown/rules/verdict"
)

// wants puts a comparison into words.
var wants = map[string]string{
	">=": "at least ", "<=": "at most ", ">": "more than ", "<": "less than ",
	"==": "", "!=": "anything but ", "in": "",
}

// signs are the operators that stand between their two sides, as people write them.
var signs = map[string]string{"*": "×", "/": "÷", "+": "+", "-": "less"}

// saying is how a fact is said in a reason: its spoken name, and how its figure is
// put where people have it otherwise than the rules do.
type saying struct {
	name string
	as   func(string) string
}

// spoken are the facts whose names do not tell a mechanic what they are.
var spoken = map[string]saying{
	"utilisation":          {"load times design factor", perCent("its strength")},
	"bend_utilisation":     {"bending times design factor", perCent("its strength")},
	"buckling_utilisation": {"push times design factor", perCent("its strength in compression")},
	"rod_end_utilisation":  {"load times design factor", perCent("its rod ends' rating")},
	"axial_utilisation":    {"load along its bolts times design factor", perCent("what they can take")},
	"shear_utilisation":    {"shear times design factor", perCent("its strength")},
	"tension_utilisation":  {"pull times design factor", perCent("its strength")},
	"bearing_utilisation":  {"load times design factor", perCent("the tab's strength at the hole")},
	"tear_out_utilisation": {"load times design factor", perCent("the tab's strength towards its edge")},
	"bending_utilisation":  {"bending times design factor", perCent("the bolt's strength")},
	"torque_share":         {"torque reached", perCent("the torque asked for")},
	"preload_share":        {"bolt tension from its torque", perCent("its proof load")},
	"share":                {"what it carries", perCent("the whole weight")},
	"tack_strength":        {"what a tack counts for", perCent("its strength")},
	"age":                  {name: "time since it was looked at"},
	"examined_ago":         {name: "time since its last examination"},
	"load":                 {name: "worst load"},
	"worst_arm":            {"worst load on one arm", inWeight},
	"worst_castor":         {"worst load on one castor", inWeight},
	"pull_tips":            {"pull that tips it", inWeight},
	"axial":                {name: "load along its bolt"},
	"radial":               {name: "load across its bolt"},
	"axial_allowed":        {name: "load allowed along its bolt"},
	"misalignment":         {name: "angle out of square"},
	"mirror_offset":        {name: "distance from the mirror image of its twin"},
	"on":                   {name: "the day it was seen"},
	"engaged_min":          {name: "thread in the bar at the shorter end"},
	"engaged_after":        {name: "thread left in the bar after the planned turns"},
	"engaged_ratio":        {name: "thread engaged, in stud diameters"},
	"engagement_ratio":     {name: "thread in the tapped hole, in bolt diameters"},
	"engagement_needed":    {name: "thread needed in the tapped hole, in bolt diameters"},
	"span":                 {name: "length between centres by the file"},
	"twin_length":          {name: "length of the bar on the other side"},
	"yield":                {name: "yield strength of its class"},
	"edge_ratio":           {name: "hole centre to edge, in hole diameters"},
	"hole_clearance":       {name: "play of the bolt in its hole"},
	"threads_past":         {name: "full threads past the nut"},
	"missing":              {name: "number missing"},
	"stack_error":          {name: "stack longer or shorter than its gap"},
	"bore_clearance":       {name: "play between bearing, spacer and bolt"},
	"leg_short":            {name: "leg shorter than drawn by"},
	"leg_lost":             {name: "leg shorter than drawn by"},
	"leg_share":            {"leg", perCent("the drawn one")},
	"length_share":         {"length made", perCent("the drawn one")},
	"undercut_seen":        {name: "undercut"},
	"rating":               {name: "rated load of this one"},
	"crib_ratio":           {name: "height of the crib, in block lengths"},
	"height_difference":    {name: "difference in height to its partner at the same end"},
	"third":                {"a third of the weight", inWeight},
	"tip_margin":           {name: "distance of the centre of gravity inside the supports"},
	"tip_span":             {name: "distance across the supports"},
	"unlocated_by":         {name: "what leaves it loose"},
	"stands":               {name: "it stands by itself"},
}

// perCent puts a share per cent, and says of what.
func perCent(of string) func(string) string {
	return func(value string) string {
		share, err := strconv.ParseFloat(value, 64)
		if err != nil {
			return value
		}
		return Percent(share) + " of " + of
	}
}

// inWeight puts a force as the mass that weighs so much, as plates and scales have it.
func inWeight(value string) string {
	units := quantity.Metric
	if strings.HasSuffix(value, " lbf") {
		units = quantity.Inch
	}
	force, err := quantity.Parse(value, quantity.Force)
	if err != nil {
		return value
	}
	return units.Say(quantity.Of(force.Value/quantity.Gravity, quantity.Mass, "kg"))
}

// sayingOf is how a fact is said, by its last name.
func sayingOf(t *verdict.Term) saying {
	said := spoken[t.Fact[strings.LastIndex(t.Fact, ".")+1:]]
	if said.as == nil {
		said.as = func(value string) string { return value }
	}
	return said
}

// reason is one false part of a rule in words: what is, and what was wanted.
type reason struct{ is, wanted string }

func (r reason) String() string {
	if r.is == "" {
		return "wanted" + r.wanted
	}
	return r.is + "; wanted" + r.wanted
}

// because words one false part of a rule with its values, as far as it has a
// plain form.
func because(b verdict.Because) reason {
	is := func(t *verdict.Term) string { return name(t) + " is " + sayingOf(t).as(t.Value) }
	facts := b.Left.Facts()
	switch words, compared := wants[b.Op]; {
	case b.Op == "" && b.Left.Fact != "":
		return reason{is(&b.Left), " yes"}
	case b.Op == "!" && b.Left.Fact != "":
		return reason{is(&b.Left), " no"}
	case compared && len(facts) > 0:
		return reason{is(&b.Left), " " + words + wanted(&b.Right, sayingOf(&b.Left).as)}
	}
	var all []string
	for _, t := range append(facts, b.Right.Facts()...) {
		all = append(all, is(t))
	}
	return reason{strings.Join(all, "; "), ": " + b.Expr}
}

// wanted words what a comparison asks for: the value with its name, or what the
// rule itself says. Its figures are put as those that it is compared with.
func wanted(t *verdict.Term, as func(string) string) string {
	switch facts := t.Facts(); {
	case len(facts) == 0:
		return as(name(t))
	case slices.ContainsFunc(facts, isPolicy):
		return as(t.Value) + " (policy)"
	}
	return as(t.Value) + " (" + name(t) + ")"
}

// isPolicy reports whether a fact is a choice of policy.
func isPolicy(fact *verdict.Term) bool { return strings.HasPrefix(fact.Fact, "policy.") }

// name prints what a term is in words: a fact without the kind of item, which the
// finding names, and without 'found', which every fact of a vehicle is.
func name(t *verdict.Term) string {
	of := make([]string, len(t.Of))
	for i := range t.Of {
		of[i] = name(&t.Of[i])
	}
	switch {
	case t.Fact != "":
		if said := sayingOf(t).name; said != "" {
			return said
		}
		path := t.Fact[strings.Index(t.Fact, ".")+1:]
		return strings.NewReplacer(".", " ", "_", " ").Replace(strings.TrimPrefix(path, "found."))
	case t.Op == "":
		return t.Value
	case t.Op == verdict.List:
		return strings.Join(of, " or ")
	case signs[t.Op] != "" && len(of) == 2:
		return of[0] + " " + signs[t.Op] + " " + of[1]
	}
	return t.Op + "(" + strings.Join(of, ", ") + ")"
}

// Reasons are the false parts of a rule that are worth a line, or all of them.
// What is measured against several limits is one line.
func Reasons(f *verdict.Finding, all bool) []string {
	var list []reason
	for _, b := range f.Because {
		if !all && !tells(f, b) {
			continue
		}
		next := because(b)
		i := slices.IndexFunc(list, func(r reason) bool { return r.is == next.is })
		if i < 0 {
			list = append(list, next)
		} else if !strings.Contains(list[i].wanted, next.wanted) {
			list[i].wanted += ", and" + next.wanted
		}
	}
	lines := make([]string, len(list))
	for i, r := range list {
		lines[i] = r.String()
	}
	return lines
}

// tells reports whether a false part says more than the finding and its other
// lines do: a comparison of figures does, unless one of them is a choice of
// policy alone or the utilisation that is printed with the load.
func tells(f *verdict.Finding, b verdict.Because) bool {
	if !strings.ContainsAny(b.Op+b.Left.Op, "<>") { // also !(a > b)
		return false
	}
	for _, side := range []*verdict.Term{&b.Left, &b.Right} {
		if strings.HasSuffix(side.Fact, "utilisation") && f.Load != nil && side.Value == quantity.Format(f.Load.Utilisation) {
			return false
		}
	}
	return slices.ContainsFunc(append(b.Left.Facts(), b.Right.Facts()...), func(t *verdict.Term) bool { return !isPolicy(t) })
}
