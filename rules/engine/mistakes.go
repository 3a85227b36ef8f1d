package engine

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"github.com/google/cel-go/cel"
	"github.com/google/cel-go/common/ast"
	"github.com/google/cel-go/common/operators"
	"github.com/google/cel-go/common/types"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
	"setdown/rules/pack"
)

// mistakes collects what is wrong with one expression, in plain words, each with
// its place in the rule file.
type mistakes struct {
	scope scope
	src   *pack.Expr
	env   *cel.Env
	info  *ast.SourceInfo
	skip  map[int64]bool // parts of something that is told to be wrong as a whole
	errs  source.Errors
}

// fail reports a mistake at the character of the expression with that number.
func (m *mistakes) fail(at int, hint, format string, args ...any) {
	m.errs.Add(&source.Error{Span: m.src.At(at), Message: fmt.Sprintf(format, args...), Hint: hint})
}

// failNode reports a mistake at a part of the expression; for a field, at its
// name and not at the dot before it.
func (m *mistakes) failNode(n ast.Expr, hint, format string, args ...any) {
	at := 0
	if r, ok := m.info.GetOffsetRange(n.ID()); ok {
		at = int(r.Start)
	}
	m.fail(m.pastDot(at), hint, format, args...)
}

// pastDot moves from the dot before a field to its name.
func (m *mistakes) pastDot(at int) int {
	if text := []rune(m.src.Text); at < len(text) && text[at] == '.' {
		return at + 1
	}
	return at
}

// lint finds what is wrong by our own rules: names that do not exist, words that
// an enumeration does not have, and forms that rules do not use.
func (m *mistakes) lint(root ast.Expr) {
	m.skip = map[int64]bool{}
	ast.PreOrderVisit(root, ast.NewExprVisitor(func(n ast.Expr) {
		if m.skip[n.ID()] {
			return
		}
		switch n.Kind() {
		case ast.MapKind, ast.StructKind:
			m.failNode(n, "", "a rule makes no blocks")
		case ast.LiteralKind:
			switch n.AsLiteral().(type) {
			case types.Bool, types.Double, types.Int, types.String:
			default:
				m.failNode(n, "a fact that nobody recorded is unknown by itself and never null", "a rule has no such value as this")
			}
		case ast.IdentKind:
			if name := n.AsIdent(); !m.scope.knows(name) {
				known := m.scope.variables()
				m.failNode(n, source.DidYouMean(name, known, "known here: "+strings.Join(known, ", ")), "%q is not known here", name)
			}
		case ast.SelectKind:
			m.lintField(n)
		case ast.CallKind:
			m.lintCall(n)
		}
	}))
}

func (m *mistakes) lintField(n ast.Expr) {
	s := n.AsSelect()
	of, ok := m.scope.resolve(s.Operand())
	if !ok || of.fields == nil {
		return
	}
	name := s.FieldName()
	i := slices.IndexFunc(of.fields, func(f schema.Field) bool { return f.Name == name })
	if i < 0 {
		m.failNode(n, source.DidYouMean(name, schema.Names(of.fields), "its fields: "+strings.Join(schema.Names(of.fields), ", ")), "%s has no field %q", of.name, name)
		return
	}
	if f := of.fields[i]; !readable(&f) {
		m.failNode(n, "", "rules do not read %q: it is a place, a direction or a block with names of its own", name)
	}
}

func readable(f *schema.Field) bool {
	switch f.Type {
	case schema.Point, schema.Vector, schema.Map:
		return false
	case schema.List:
		return f.Elem.Type != schema.Object && readable(f.Elem)
	}
	return true
}

// term is what a part of an expression stands for: an item or a block with its
// fields, or one field.
type term struct {
	name   string
	fields []schema.Field // nil: it has none
	field  *schema.Field  // nil: a whole item
}

var screwTerms = []schema.Field{
	{Name: "diameter", Type: schema.Quantity, Dim: quantity.Length, Doc: "nominal diameter of the thread"},
	{Name: "pitch", Type: schema.Quantity, Dim: quantity.Length, Doc: "pitch of the thread"},
	{Name: "left", Type: schema.Bool, Doc: "left-hand thread"},
}

// resolve finds the fact that a chain of names stands for.
func (s scope) resolve(n ast.Expr) (term, bool) {
	switch n.Kind() {
	case ast.IdentKind:
		name := n.AsIdent()
		kind := shared[name]
		if s.kind != "" && name == s.variable {
			kind = s.kind
		}
		if k := kinds()[kind]; k != nil {
			return term{name: name, fields: k.Fields}, true
		}
	case ast.SelectKind:
		sel := n.AsSelect()
		of, ok := s.resolve(sel.Operand())
		if !ok {
			return term{}, false
		}
		i := slices.IndexFunc(of.fields, func(f schema.Field) bool { return f.Name == sel.FieldName() })
		if i < 0 {
			return term{}, false
		}
		f := &of.fields[i]
		t := term{name: of.name + "." + f.Name, field: f, fields: f.Fields}
		if f.Type == schema.Thread {
			t.fields = screwTerms
		}
		return t, true
	}
	return term{}, false
}

func (m *mistakes) lintCall(n ast.Expr) {
	call := n.AsCall()
	name := call.FunctionName()
	switch name {
	case operators.Equals, operators.NotEquals, operators.In:
		args := call.Args()
		m.lintWords(args[0], args[1])
		m.lintWords(args[1], args[0])
		return
	}
	if name == stated && len(call.Args()) == 1 {
		m.lintStated(call.Args()[0])
		return
	}
	if m.env.HasFunction(name) {
		return
	}
	if _, isOperator := operators.FindReverse(name); isOperator {
		m.failNode(n, "", "rules do not use this operator")
		return
	}
	known := m.functionNames()
	hint := source.DidYouMean(name, known, "functions: "+strings.Join(known, ", "))
	switch name {
	case "has", "orValue":
		hint = "never ask whether a fact is recorded: leave the question out, and a missing fact comes out as not recorded"
	case "all", "exists", "exists_one", "filter", "map":
		hint = "a rule is asked of one item at a time; name the kind under each"
	}
	m.failNode(n, hint, "there is no function %q", name)
	for _, a := range call.Args() {
		ast.PreOrderVisit(a, ast.NewExprVisitor(func(e ast.Expr) { m.skip[e.ID()] = true }))
	}
}

// functionNames lists the functions that the expression may call by name.
func (m *mistakes) functionNames() []string {
	names := slices.Sorted(maps.Keys(m.env.Functions()))
	return slices.DeleteFunc(names, func(n string) bool { return strings.ContainsAny(n, "_@!-") && n != "newton_metre" })
}

// lintStated refuses to let silence pass for anything but an event, or the negation of
// one that is written down when it is not so.
func (m *mistakes) lintStated(arg ast.Expr) {
	if fact := called(arg, operators.LogicalNot); fact != nil {
		arg = fact
	}
	t, ok := m.scope.resolve(arg)
	switch {
	case !ok || t.field == nil:
		m.failNode(arg, "name the fact itself, such as stated(bolt.found.hole_egged), or its negation", "stated takes one fact and nothing made of facts")
	case t.field.Event == "":
		m.failNode(arg, "leave stated out: what nobody wrote down then comes out as not recorded", "%s is no event, so silence about it does not mean no", t.name)
	}
}

// lintWords checks words that are compared with an enumeration: a misspelt one
// would never be equal, and the rule would be silent for ever.
func (m *mistakes) lintWords(fact, words ast.Expr) {
	t, ok := m.scope.resolve(fact)
	if !ok || t.field == nil {
		return
	}
	f := t.field
	if f.Type == schema.List && f.Elem.Type == schema.Enum {
		f = f.Elem
	}
	if f.Type != schema.Enum {
		return
	}
	list := []ast.Expr{words}
	if words.Kind() == ast.ListKind {
		list = words.AsList().Elements()
	}
	for _, w := range list {
		if w.Kind() != ast.LiteralKind {
			continue
		}
		if word, isText := w.AsLiteral().(types.String); isText && !slices.Contains(f.Enum, string(word)) {
			m.failNode(w, source.DidYouMean(string(word), f.Enum, "its words: "+strings.Join(f.Enum, ", ")), "%s is never %q", t.name, string(word))
		}
	}
}

// syntax reports why the text is no expression. One mistake brings others about
// that are none, so only the first is told.
func (m *mistakes) syntax(issues *cel.Issues) {
	first := issues.Errors()[0]
	message, _, _ := strings.Cut(strings.TrimPrefix(first.Message, "Syntax error: "), "\n")
	hint := "join conditions by && and ||, compare by ==, != < <= > >=, write words in double quotes"
	switch {
	case strings.Contains(message, "'.?'") || strings.Contains(message, "optional"):
		hint = "never ask whether a fact is recorded: a missing fact comes out as not recorded by itself"
	case strings.Contains(message, "'= '") || strings.Contains(message, "'='"):
		message, hint = "a single = stands here", "compare by =="
	case strings.Contains(message, "size exceeds limit"):
		message, hint = fmt.Sprintf("the expression is longer than %d characters", maxCharacters), "split the rule in two"
	case strings.Contains(message, "recursion limit"):
		message, hint = fmt.Sprintf("brackets lie more than %d deep inside each other", maxDepth), "split the rule in two"
	}
	m.fail(m.offset(first.Location.Line(), first.Location.Column()), hint, "this is not an expression: %s", message)
}

// offset turns a line, from 1, and a column, from 0, into the number of a
// character.
func (m *mistakes) offset(line, column int) int {
	n := column
	for i, l := range strings.Split(m.src.Text, "\n") {
		if i+1 >= line {
			break
		}
		n += len([]rune(l)) + 1
	}
	return n
}

var (
	noOverload = regexp.MustCompile(`^found no matching overload for '(.*)' applied to '\(?(.*)\)'$`)
	noMatch    = regexp.MustCompile(`^expected type '(.*)' but found '(.*)'$`)
)

// types reports the checker's findings in plain words, but for those that lint
// has told better.
func (m *mistakes) types(issues *cel.Issues) {
	for _, i := range issues.Errors() {
		at := m.pastDot(m.offset(i.Location.Line(), i.Location.Column()))
		message, _, _ := strings.Cut(i.Message, "\n")
		overload, match := noOverload.FindStringSubmatch(message), noMatch.FindStringSubmatch(message)
		switch {
		case len(m.errs) > 0 && (strings.HasPrefix(message, "undefined field") || strings.HasPrefix(message, "undeclared reference") || strings.Contains(message, "null")):
		case overload != nil:
			// A function called behind a dot names what stands before the dot first.
			text, hint := mixed(overload[1], strings.Split(strings.Replace(overload[2], ".(", ", ", 1), ", "))
			m.fail(at, hint, "%s", text)
		case match != nil && match[1] == "bool":
			m.fail(at, "compare it with something", "this must be a condition, but it is %s", inWords(match[2]))
		default:
			m.fail(at, "", "%s", message)
		}
	}
}

// inWords names a type as people do.
func inWords(t string) string {
	switch t {
	case "int", "double":
		return "a plain number"
	case "bool":
		return "a yes or no"
	case "string":
		return "a word"
	case "angle":
		return "an angle"
	}
	switch {
	case strings.HasPrefix(t, "item:"):
		return "a whole item"
	case strings.HasPrefix(t, "list"):
		return "a list"
	}
	return "a " + t
}

// joins says what an operator does with its two sides, in the negative.
var joins = map[string]string{
	operators.Less: "does not compare with", operators.LessEquals: "does not compare with",
	operators.Greater: "does not compare with", operators.GreaterEquals: "does not compare with",
	operators.Equals: "does not compare with", operators.NotEquals: "does not compare with",
	operators.Add: "does not add to", operators.Subtract: "does not go with, in a difference,",
	operators.Multiply: "is not multiplied by", operators.Divide: "is not divided by",
	operators.In: "is not to be found in", operators.Index: "is not read by",
	"min": "does not compare with", "max": "does not compare with",
}

// mixed words an operator or function between things that do not go together.
func mixed(operator string, args []string) (text, hint string) {
	isNumber := func(t string) bool { return t == "int" || t == "double" }
	if operator == operators.Conditional {
		return "the two sides of a choice are of different kinds", ""
	}
	verb, known := joins[operator]
	if !known || len(args) != 2 {
		words := make([]string, len(args))
		for i, a := range args {
			words[i] = inWords(a)
		}
		return fmt.Sprintf("%s does not take %s", sign(operator), strings.Join(words, " and ")), ""
	}
	if isNumber(args[0]) && isNumber(args[1]) {
		return "a whole number is not compared by == with one that has a decimal point", "write both with a point, such as 2.0"
	}
	text = fmt.Sprintf("%s %s %s", inWords(args[0]), verb, inWords(args[1]))
	for i, a := range args {
		for _, l := range literals {
			if isNumber(args[1-i]) && a == l.dim.String() {
				return text, fmt.Sprintf("write %s(5)", l.name)
			}
		}
	}
	return text, hint
}

// kindOfType reports whether a type is an item or a block of one.
func kindOfType(t *cel.Type) bool { return strings.HasPrefix(t.TypeName(), "item:") }

func (m *mistakes) wrongResult(got, want *cel.Type) {
	wanted := "a single value"
	switch want {
	case types.BoolType:
		wanted = "a condition"
	case types.IntType:
		wanted = "a whole number"
	}
	m.fail(0, "", "the expression gives %s, but %s is needed", inWords(got.TypeName()), wanted)
}
