package pack

import (
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"setdown/model/source"
)

// The keys of a rule: what it judges by, what it has to say, and its examples.
var (
	judgeKeys = []string{"id", "each", "in", "when", "must", "else", "waivable", "root", "known_bad", "since"}
	wordKeys  = []string{"say", "fix", "why", "basis", "work"}
	ruleKeys  = slices.Concat(judgeKeys, wordKeys, []string{"examples"})
)

// rule reads one rule; nil when there is nothing to read.
func (l *loader) rule(n *Node) *Rule {
	if !l.isBlock(n, "a rule") {
		return nil
	}
	l.strict(n, "a rule", ruleKeys...)
	l.need(n, "the rule", "id", "must", "else")
	r := l.judges(n)
	words := l.words(n)
	r.words = func() (*Words, source.Errors) { return words, nil }
	if v := n.Find("examples"); v != nil {
		if v.Shape != List {
			l.fail(v.Span, "begin each example with a dash", "%q must be a list", "examples")
		}
		for _, e := range v.Items {
			if l.isBlock(e, "an example") {
				r.Examples = append(r.Examples, l.example(e))
			}
		}
	}
	return r
}

// words reads what a rule has to say.
func (l *loader) words(n *Node) *Words {
	l.need(n, "the rule", "say", "fix", "why", "basis")
	w := &Words{Say: l.templateOf(n, "say"), Fix: l.templateOf(n, "fix"), Why: l.text(n, "why"), Basis: l.texts(n, "basis")}
	if v := n.Find("work"); l.isBlock(v, "work") {
		w.Work = l.work(v)
	}
	return w
}

// judges reads what a rule judges by.
func (l *loader) judges(n *Node) *Rule {
	r := &Rule{Span: n.Span, Spans: map[string]source.Span{}}
	for _, k := range n.Keys {
		r.Spans[k.Name] = k.Value.Span
	}
	r.ID = l.text(n, "id")
	if r.ID != "" && !goodName(r.ID) {
		l.fail(r.At("id"), "use small letters, digits and -", "%q cannot be the id of a rule", r.ID)
	}
	l.each(r, n)
	r.In = l.texts(n, "in")
	if r.In != nil && len(r.In) == 0 {
		l.fail(r.At("in"), "leave it out for all moves", "no kind of move is given here")
	}
	if v := n.Find("when"); v != nil {
		r.When = l.expression(v, "when")
	}
	if v := n.Find("must"); v != nil {
		r.Must = l.expression(v, "must")
	}
	r.Else = l.outcome(n, "else", Severities)
	r.Waivable = l.yes(n, "waivable")
	r.Root = l.yes(n, "root")
	r.KnownBad = l.yes(n, "known_bad")
	r.Since = l.text(n, "since")
	return r
}

var eachForm = regexp.MustCompile(`^([a-z_]+(?: *, *[a-z_]+)*) +as +([a-z][a-z0-9_]*)$`)

// taken are words that cannot name the item: the other variables, and the
// words that the expressions keep for themselves.
var taken = []string{"step", "move", "vehicle", "site", "policy", "today", "true", "false", "null", "in", "as", "break", "const", "continue", "else", "for", "function", "if", "import", "let", "loop", "package", "namespace", "return", "var", "void", "while"}

func (l *loader) each(r *Rule, n *Node) {
	text := l.text(n, "each")
	if text == "" {
		return
	}
	m := eachForm.FindStringSubmatch(text)
	if m == nil {
		l.fail(r.At("each"), "write it as: fasteners as bolt", "%q does not say which kind of item and how the rule calls it", text)
		return
	}
	for kind := range strings.SplitSeq(m[1], ",") {
		kind = strings.TrimSpace(kind)
		if slices.Contains(r.Each, kind) {
			l.fail(r.At("each"), "", "%q appears twice here", kind)
			continue
		}
		r.Each = append(r.Each, kind)
	}
	r.Var = m[2]
	if slices.Contains(taken, r.Var) {
		l.fail(r.At("each"), "choose another word", "%q already means something else in a rule", r.Var)
	}
}

// expression reads an expression whose characters all have their place.
func (l *loader) expression(n *Node, key string) Expr {
	e := Expr{Span: n.Span, Text: trimEnd(n.Text)}
	if n.Shape == Scalar && !n.refused {
		e.Places = l.places(n)
	}
	e.Places.Size = min(e.Places.Size, utf8.RuneCountInString(e.Text)+1)
	switch {
	case n.refused:
	case n.Shape != Scalar || n.Null || e.Empty():
		l.fail(n.Span, "", "%q must be an expression", key)
	case n.quoted || n.folded || e.Places.Size == 0:
		l.fail(n.Span, "write it without quotes on one line, or as a block after |", "the expression of %q is in quotes or folded, so mistakes in it would have no place", key)
	}
	if e.Places.Size > 0 {
		e.Span.Start = e.Places.at(0)
	}
	return e
}

func (l *loader) templateOf(n *Node, key string) Template {
	v := n.Find(key)
	if v == nil {
		return Template{}
	}
	if l.text(n, key) == "" {
		return Template{Span: v.Span}
	}
	v.Text = trimEnd(v.Text)
	return l.template(v)
}

// trimEnd takes the line break off the end of a text written as a block.
func trimEnd(text string) string { return strings.TrimRight(text, "\n ") }

func (l *loader) work(n *Node) *Work {
	l.strict(n, "work", "phase", "do", "buy", "count", "with", "thread", "class", "sets")
	l.need(n, "work", "phase")
	w := &Work{Span: n.Span, Phase: l.text(n, "phase")}
	if n.Find("do") != nil {
		t := l.templateOf(n, "do")
		w.Do = &t
	}
	if n.Find("buy") != nil {
		t := l.templateOf(n, "buy")
		w.Buy = &t
	}
	for _, more := range []struct {
		key string
		to  **Template
	}{{"with", &w.With}, {"thread", &w.Thread}, {"class", &w.Class}} {
		if v := n.Find(more.key); v != nil {
			t := l.templateOf(n, more.key)
			*more.to = &t
			if w.Buy == nil {
				l.fail(v.Span, "", "%s without anything to buy", more.key)
			}
		}
	}
	if v := n.Find("count"); v != nil {
		if l.text(n, "count") != "" {
			w.Count = &Expr{Text: v.Text, Span: v.Span, Places: l.places(v)}
		}
		if w.Buy == nil {
			l.fail(v.Span, "", "a count without anything to buy")
		}
	}
	if v := n.Find("sets"); l.isBlock(v, "sets") {
		for _, k := range v.Keys {
			if l.text(v, k.Name) == "" {
				continue
			}
			w.Sets = append(w.Sets, Set{Path: k.Name, Value: l.template(k.Value), Span: k.Span})
		}
	}
	return w
}

func (l *loader) example(n *Node) Example {
	l.strict(n, "an example", "why", "of", "given", "with", "expect", "missing")
	l.need(n, "the example", "why", "expect")
	x := Example{Span: n.Span, Why: l.text(n, "why"), Of: l.text(n, "of"), Expect: l.outcome(n, "expect", Expected), Missing: l.texts(n, "missing")}
	if v := n.Find("given"); l.isBlock(v, "given") {
		x.Given = v
	}
	if v := n.Find("with"); l.isBlock(v, "with") {
		x.With = v
	}
	return x
}
