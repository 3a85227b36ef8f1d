package plain

import (
	"regexp"
	"slices"
	"strings"

	"setdown/model/quantity"
	"setdown/rules/verdict"
)

// compares splits a condition of two sides. What joins conditions never stands
// in it: the report lists the parts one by one.
var compares = regexp.MustCompile(`^(.+?) (>=|<=|==|!=|>|<|in) ([^&|?]+)$`)

// wants puts an operator into words.
var wants = map[string]string{
	">=": "at least ", "<=": "at most ", ">": "more than ", "<": "less than ",
	"==": "", "!=": "anything but ", "in": "",
}

// because words one false part of a rule with its values, as far as it has a
// plain form: what is, and what was wanted.
func because(b verdict.Because) string {
	values := map[string]string{}
	for _, v := range b.Values {
		values[v.Name] = v.Value
	}
	if v, known := values[b.Expr]; known {
		return name(b.Expr) + " is " + v + "; wanted yes"
	}
	if v, known := values[strings.TrimPrefix(b.Expr, "!")]; known {
		return name(b.Expr[1:]) + " is " + v + "; wanted no"
	}
	if m := compares.FindStringSubmatch(b.Expr); m != nil {
		left, op, right := m[1], m[2], m[3]
		if v, known := values[left]; known {
			return name(left) + " is " + v + "; wanted " + wants[op] + wanted(right, values)
		}
	}
	var all []string
	for _, v := range b.Values {
		all = append(all, name(v.Name)+" is "+v.Value)
	}
	return strings.Join(append(all, "wanted: "+b.Expr), "; ")
}

// wanted words the right side of a comparison: the value with its name, or what
// the rule itself says.
func wanted(side string, values map[string]string) string {
	v, known := values[side]
	switch {
	case !known:
		return literal(side)
	case strings.HasPrefix(side, "policy."):
		return v + " (policy)"
	}
	return v + " (" + name(side) + ")"
}

var (
	ofUnit = regexp.MustCompile(`\b([a-z]+)\(([0-9.]+)\)`)
	tail   = regexp.MustCompile(`\.0\b`)
	path   = regexp.MustCompile(`[a-z_]+(\.[a-z_]+)+`)
)

// literal prints what is written out in a rule without the marks of its
// language: mm(5.0) is 5 mm, "tight" is tight, a list is its words.
func literal(s string) string {
	s = ofUnit.ReplaceAllString(s, "$2 $1")
	s = tail.ReplaceAllString(s, "")
	if strings.HasPrefix(s, "[") {
		s = strings.ReplaceAll(strings.Trim(s, "[]"), ", ", " or ")
	}
	return strings.ReplaceAll(s, `"`, "")
}

// name prints the name of a fact as words: without the kind of item, which the
// finding names, and without 'found', which every fact of a vehicle is.
func name(fact string) string {
	fact = path.ReplaceAllStringFunc(fact, func(p string) string {
		_, p, _ = strings.Cut(p, ".")
		p = strings.TrimPrefix(p, "found.")
		return strings.NewReplacer(".", " ", "_", " ").Replace(p)
	})
	return literal(strings.ReplaceAll(fact, " * ", " × "))
}

// Reasons are the false parts of a rule that are worth a line, or all of them.
// What is measured against several limits is one line.
func Reasons(f *verdict.Finding, all bool) []string {
	var lines []string
	for _, b := range f.Because {
		if !all && !tells(f, b) {
			continue
		}
		line := because(b)
		subject, limit, _ := strings.Cut(line, "; wanted ")
		i := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, subject+"; wanted ") })
		if i < 0 {
			lines = append(lines, line)
		} else if !strings.Contains(lines[i], limit) {
			lines[i] += ", and " + limit
		}
	}
	return lines
}

// tells reports whether a false part says more than the finding and its other
// lines do: a comparison of figures does, unless one of them is a choice of
// policy alone or the utilisation that is printed with the load.
func tells(f *verdict.Finding, b verdict.Because) bool {
	if !strings.ContainsAny(b.Expr, "<>") {
		return false
	}
	for _, v := range b.Values {
		if strings.Contains(v.Name, "utilisation") && f.Load != nil && v.Value == quantity.Format(f.Load.Utilisation) {
			return false
		}
	}
	for _, v := range b.Values {
		if !strings.HasPrefix(v.Name, "policy.") {
			return true
		}
	}
	return false
}
