package plain

import (
	"slices"
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
var signs = map[string]string{"*": "×", "/": "÷", "+": "+", "-": "-"}

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
	is := func(t *verdict.Term) string { return name(t) + " is " + t.Value }
	facts := b.Left.Facts()
	switch words, compared := wants[b.Op]; {
	case b.Op == "" && b.Left.Fact != "":
		return reason{is(&b.Left), " yes"}
	case b.Op == "!" && b.Left.Fact != "":
		return reason{is(&b.Left), " no"}
	case compared && len(facts) > 0:
		return reason{is(&b.Left), " " + words + wanted(&b.Right)}
	}
	var all []string
	for _, t := range append(facts, b.Right.Facts()...) {
		all = append(all, is(t))
	}
	return reason{strings.Join(all, "; "), ": " + b.Expr}
}

// wanted words what a comparison asks for: the value with its name, or what the
// rule itself says.
func wanted(t *verdict.Term) string {
	switch facts := t.Facts(); {
	case len(facts) == 0:
		return name(t)
	case slices.ContainsFunc(facts, isPolicy):
		return t.Value + " (policy)"
	}
	return t.Value + " (" + name(t) + ")"
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
