package schema

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	q "setdown/model/quantity"
	"setdown/model/source"
)

// Condition is what must be so of an item: one of its cases. An empty one says
// nothing. It is data, so that the reader of looks can answer it and the rules
// can read it as an expression of their language (Text).
type Condition []Case

// Case holds where all of its tests do.
type Case []Test

// Test compares one fact of the item.
type Test struct {
	// Path is the fact, from the item down; empty is the field the condition
	// stands at, and in a list each of its elements.
	Path string
	Op   Op
	// Values are the answers that an OneOf takes, or the one measure that a
	// bound is. They are bool, string, int64 or quantity.Quantity.
	Values []any
	// Than is the fact of the same item that the bound is, times Share.
	Than  string
	Share float64
	// Per multiplies the fact before it is compared: turns by the pitch.
	Per string
}

// Op is how a test compares.
type Op uint8

// The comparisons.
const (
	OneOf Op = iota
	AtLeast
	AtMost
	Same // as drawn
)

// The tests of the table; those without a path are of the field they stand at.
func is(values ...any) Test { return when("", values...) }
func least(n int) Test      { return Test{Op: AtLeast, Values: []any{int64(n)}} }
func from(text string, d q.Dimension) Test {
	return Test{Op: AtLeast, Values: []any{measured(text, d)}}
}
func upTo(text string, d q.Dimension) Test { return Test{Op: AtMost, Values: []any{measured(text, d)}} }
func atLeast(share float64, path string) Test {
	return Test{Op: AtLeast, Than: path, Share: share}
}
func atMost(share float64, path string) Test {
	return Test{Op: AtMost, Than: path, Share: share}
}
func per(factor, than string) Test { return Test{Op: AtLeast, Per: factor, Than: than, Share: 1} }
func same(path string) Test        { return Test{Op: Same, Than: path} }

// when is a test of another fact of the item: it is one of the values.
func when(path string, values ...any) Test {
	for i, v := range values {
		if n, ok := v.(int); ok {
			values[i] = int64(n)
		}
	}
	return Test{Path: path, Op: OneOf, Values: values}
}

// Holds says whether the condition holds for a field, going by what lookup knows
// of the item, and whether that can be said at all: what nobody recorded is
// unknown, and unknown only matters where the rest does not decide. A measure
// counts at the worse end of its ±.
func (c Condition) Holds(field string, lookup func(path string) (any, bool)) (holds, known bool) {
	known = true
	for _, all := range c {
		switch holds, certain := all.hold(field, lookup); {
		case holds:
			return true, true
		case !certain:
			known = false
		}
	}
	return false, known
}

// Paths lists the facts of the item that the condition hangs on, beside the one it stands at.
func (c Condition) Paths() []string {
	var paths []string
	for _, all := range c {
		for _, t := range all {
			for _, path := range []string{t.Path, t.Than, t.Per} {
				if path != "" {
					paths = append(paths, path)
				}
			}
		}
	}
	return paths
}

// Drawn reports whether the condition holds the fact against another figure of the item.
func (c Condition) Drawn() bool {
	return slices.ContainsFunc(c, func(all Case) bool {
		return slices.ContainsFunc(all, func(t Test) bool { return t.Than != "" })
	})
}

// ByAnother reports whether the case leaves the fact free: another one that was found decides.
func (c Case) ByAnother() bool {
	return len(c) > 0 && !slices.ContainsFunc(c, func(t Test) bool { return t.Path == "" }) &&
		slices.ContainsFunc(c, func(t Test) bool { return strings.HasPrefix(t.Path, Found+".") })
}

// hold is true where every test holds, and not certain where none fails and one
// cannot be answered.
func (c Case) hold(field string, lookup func(path string) (any, bool)) (holds, certain bool) {
	holds, certain = true, true
	for _, t := range c {
		ok, known := t.holds(field, lookup)
		if known && !ok {
			return false, true
		}
		if !known {
			holds, certain = false, false
		}
	}
	return holds, certain
}

func (t Test) holds(field string, lookup func(path string) (any, bool)) (holds, known bool) {
	path := t.Path
	if path == "" {
		path = field
	}
	v, known := lookup(path)
	if !known {
		return false, false
	}
	var than any
	if len(t.Values) == 1 {
		than = t.Values[0]
	}
	if t.Than != "" {
		if than, known = lookup(t.Than); !known {
			return false, t.Op == AtLeast && nothing(v) // which is less than any size
		}
	}
	factor := 1.0
	if t.Per != "" {
		per, ok := lookup(t.Per)
		if !ok {
			return false, false
		}
		factor = per.(q.Quantity).Value
	}
	if list, ok := v.([]Value); ok && t.Op != Same {
		for _, e := range list {
			if !t.compare(e.V, than, factor) {
				return false, true
			}
		}
		return true, true
	}
	return t.compare(v, than, factor), true
}

// nothing reports whether a number or measure, or one of a list, is none at all.
func nothing(v any) bool {
	if list, ok := v.([]Value); ok {
		return slices.ContainsFunc(list, func(e Value) bool { return nothing(e.V) })
	}
	value, _ := size(v)
	return value == 0
}

// compare is one comparison of two known values.
func (t Test) compare(v, than any, factor float64) bool {
	switch t.Op {
	case OneOf:
		return slices.Contains(t.Values, v)
	case Same:
		return fmt.Sprint(Bare(v)) == fmt.Sprint(Bare(than))
	}
	share := t.Share
	if share == 0 {
		share = 1
	}
	value, tol := size(v)
	limit, slack := size(than)
	if t.Op == AtLeast {
		least := share * (limit + slack)
		return (value-tol)*factor >= least-math.Abs(least)*rounding
	}
	most := share * (limit - slack)
	return (value+tol)*factor <= most+math.Abs(most)*rounding
}

// rounding is the error that the units of two equal measures may leave.
const rounding = 1e-9

// size is a number or measure as a number, with its ±.
func size(v any) (value, tol float64) {
	switch v := v.(type) {
	case int64:
		return float64(v), 0
	case q.Quantity:
		return v.Value, v.Tol
	}
	panic(fmt.Sprintf("schema: %T in the table is no measure", v))
}

// Bare leaves the places in the file out of a list, so that lists compare.
func Bare(v any) any {
	list, ok := v.([]Value)
	if !ok {
		return v
	}
	values := make([]any, len(list))
	for i, e := range list {
		values[i] = Bare(e.V)
	}
	return values
}

// Text writes the condition in the expression language of the rules, for the
// field with that path of the item that a variable stands for.
func (c Condition) Text(variable string, f *Field, path string) string {
	cases := make([]string, len(c))
	for i, all := range c {
		var tests []string
		for _, t := range all {
			tests = append(tests, t.texts(variable, f, path)...)
		}
		cases[i] = strings.Join(tests, " && ")
		if len(c) > 1 && len(tests) > 1 {
			cases[i] = "(" + cases[i] + ")"
		}
	}
	return strings.Join(cases, " || ")
}

// texts writes the test, once for each element of a list of known size.
func (t Test) texts(variable string, f *Field, path string) []string {
	subject := variable + "." + t.Path
	if t.Path != "" {
		return []string{t.text(subject, variable)}
	}
	subject = variable + "." + path
	if f.Type != List || t.Op == Same {
		return []string{t.text(subject, variable)}
	}
	var texts []string
	for i := range f.Size {
		texts = append(texts, t.text(fmt.Sprintf("%s[%d]", subject, i), variable))
	}
	return texts
}

func (t Test) text(subject, variable string) string {
	if t.Per != "" {
		subject += " * " + variable + "." + t.Per
	}
	var than string
	switch {
	case t.Than != "" && t.Share != 0 && t.Share != 1:
		than = decimal(t.Share) + " * " + variable + "." + t.Than
	case t.Than != "":
		than = variable + "." + t.Than
	case len(t.Values) == 1:
		than = literal(t.Values[0])
	}
	switch t.Op {
	case AtLeast:
		return subject + " >= " + than
	case AtMost:
		return subject + " <= " + than
	case Same:
		return subject + " == " + than
	}
	switch {
	case len(t.Values) == 1 && t.Values[0] == true:
		return subject
	case len(t.Values) == 1 && t.Values[0] == false:
		return "!" + subject
	case len(t.Values) == 1:
		return subject + " == " + than
	}
	words := make([]string, len(t.Values))
	for i, v := range t.Values {
		words[i] = literal(v)
	}
	return subject + " in [" + strings.Join(words, ", ") + "]"
}

// literal writes a value as the rules do.
func literal(v any) string {
	switch v := v.(type) {
	case string:
		return strconv.Quote(v)
	case q.Quantity:
		in := map[q.Dimension][2]string{q.Length: {"mm", "mm"}, q.Angle: {"degrees", "°"}}[v.Dim]
		if in[0] == "" {
			return decimal(v.Value)
		}
		number, err := v.In(in[1])
		if err != nil {
			panic(fmt.Sprintf("schema: %s in the table: %v", v, err))
		}
		return in[0] + "(" + decimal(number) + ")"
	}
	return fmt.Sprint(v)
}

// decimal writes a number that is no whole number to the language.
func decimal(x float64) string {
	text := strconv.FormatFloat(x, 'f', -1, 64)
	if !strings.Contains(text, ".") {
		text += ".0"
	}
	return text
}

// Words puts the condition into the words of a card, in the measures of who reads it.
func (c Condition) Words(units q.System) string {
	var cases []string
	for _, all := range c {
		var own, others []string
		for _, t := range all {
			if t.Path == "" {
				own = append(own, t.words(units))
			} else {
				others = append(others, t.other(units))
			}
		}
		text := strings.Join(own, " and ")
		switch {
		case text == "":
			text = strings.Join(others, ", ")
		case len(others) > 0:
			text += " where " + strings.Join(others, ", ")
		}
		cases = append(cases, text)
	}
	return strings.Join(cases, ", or ")
}

// other words what is asked of another fact.
func (t Test) other(units q.System) string {
	if len(t.Values) == 1 && t.Values[0] == true {
		return spoken(t.Path)
	}
	return spoken(t.Path) + " " + t.words(units)
}

func (t Test) words(units q.System) string {
	switch {
	case t.Op == Same:
		return "as drawn"
	case t.Per != "":
		return "at least one diameter deep"
	case t.Than == "needed" || t.Than == "nuts":
		return "all of them"
	case t.Than == "people_needed":
		return "as many as the move needs"
	case t.Op == AtLeast && t.Than != "" && t.Share != 1:
		return fmt.Sprintf("at least %g × the %s", t.Share, wanted(t.Than))
	case t.Op == AtLeast && t.Than != "":
		return "at least the " + wanted(t.Than)
	case t.Op == AtMost && t.Than != "" && t.Share != 1:
		return fmt.Sprintf("at most %g × of it", t.Share)
	case t.Op == AtMost && t.Than != "":
		return "at most the " + wanted(t.Than)
	}
	var words []string
	for _, v := range t.Values {
		switch v := v.(type) {
		case bool:
			words = append(words, map[bool]string{true: "yes", false: "no"}[v])
		case q.Quantity:
			words = append(words, units.Say(v))
		default:
			words = append(words, fmt.Sprint(v))
		}
	}
	text := source.Either(words)
	switch t.Op {
	case AtLeast:
		return text + " or more"
	case AtMost:
		return text + " or less"
	}
	return text
}

// asked are the figures of a design that are no drawing's, but a maker's.
var asked = map[string]string{
	"torque": "torque it is to have", "hub_torque": "torque it is to have", "misalignment_limit": "angle at which it fouls",
	"rod_end.engagement_needed": "thread its maker asks for", "rod_ends.engagement_needed": "thread its maker asks for",
}

// wanted is a figure of the design as people say it.
func wanted(path string) string {
	if words, ok := asked[path]; ok {
		return words
	}
	return spoken(path) + " drawn"
}

// spoken is a path as people say it.
func spoken(path string) string {
	path = strings.TrimPrefix(path, "found.")
	return strings.NewReplacer("_", " ", ".", " ").Replace(path)
}
