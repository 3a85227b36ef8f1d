// Package packtest runs the examples of rules, which are their tests and their
// documentation.
//
// It checks that each example comes out as it says, that the examples of a rule
// show every condition in it both true and false, and that taking away any known
// fact of any example never lets a rule pass. The package prints nothing.
package packtest

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"setdown/model/source"
	"setdown/rules/engine"
	"setdown/rules/pack"
	"setdown/rules/verdict"
)

// Failure is one thing that is wrong with a rule or with one of its examples.
type Failure struct {
	Rule    string
	Example string // its why; empty: the rule as a whole
	Span    source.Span
	Message string
}

// String prints file:line:column: rule, example: message.
func (f Failure) String() string {
	if f.Example == "" {
		return fmt.Sprintf("%s: %s: %s", f.Span, f.Rule, f.Message)
	}
	return fmt.Sprintf("%s: %s, example %q: %s", f.Span, f.Rule, f.Example, f.Message)
}

// Run tests every rule of the packs and returns what is wrong, in the order of
// packs, rules and places. No rules at all is a failure.
func Run(e *engine.Engine, packs []*pack.Pack) []Failure {
	var failures []Failure
	rules := 0
	for _, p := range packs {
		for _, r := range p.Rules {
			rules++
			failures = append(failures, test(e, r)...)
		}
	}
	if rules == 0 {
		failures = append(failures, Failure{Message: "there are no rules to test"})
	}
	return failures
}

// tester tests one rule.
type tester struct {
	e        *engine.Engine
	rule     *pack.Rule
	failures []Failure
}

func (t *tester) fail(x *pack.Example, span source.Span, format string, args ...any) {
	f := Failure{Rule: t.rule.ID, Span: span, Message: fmt.Sprintf(format, args...)}
	if x != nil {
		f.Example = x.Why
	}
	t.failures = append(t.failures, f)
}

func (t *tester) mistakes(x *pack.Example, errs source.Errors) {
	for _, err := range errs {
		message := err.Message
		if err.Hint != "" {
			message += " (" + err.Hint + ")"
		}
		t.fail(x, err.Span, "%s", message)
	}
}

func test(e *engine.Engine, r *pack.Rule) []Failure {
	t := &tester{e: e, rule: r}
	t.mistakes(nil, e.CompileRule(r))
	if len(t.failures) > 0 {
		return t.failures
	}
	shown := &coverage{}
	for i := range r.Examples {
		x := &r.Examples[i]
		s, errs := read(e, r, x)
		t.mistakes(x, errs)
		if len(errs) == 0 {
			t.example(x, s)
			shown.add(e.Parts(r, s.kind, s.set("")))
		}
	}
	t.kindsOfExamples()
	shown.report(t)
	slices.SortStableFunc(t.failures, func(a, b Failure) int { return a.Span.Start.Compare(b.Span.Start) })
	return t.failures
}

// example checks one example, and that knowing less never makes it pass.
func (t *tester) example(x *pack.Example, s *state) {
	got, res := t.outcome(s, "")
	if got != x.Expect {
		t.fail(x, x.Span, "comes out as %q, not as %q%s", got, x.Expect, reason(res))
		return
	}
	if x.Missing != nil {
		want := slices.Sorted(slices.Values(x.Missing))
		if is := s.missing(t.rule, res.Missing); !slices.Equal(is, want) {
			t.fail(x, x.Span, "asks for [%s], not for [%s]", strings.Join(is, ", "), strings.Join(want, ", "))
		}
	}
	if got == string(verdict.Pass) || got == pack.DoesNotApply {
		return
	}
	for _, fact := range s.known() {
		if after, _ := t.outcome(s, fact); after == string(verdict.Pass) || after == pack.DoesNotApply {
			t.fail(x, x.Span, "becomes %q when %s is not known", after, fact)
		}
	}
}

func (t *tester) outcome(s *state, without string) (string, engine.Result) {
	res, applies := t.e.JudgeRule(t.rule, s.kind, s.set(without))
	if !applies {
		return pack.DoesNotApply, res
	}
	return string(res.Outcome), res
}

func reason(r engine.Result) string {
	switch {
	case r.Err != nil:
		return ": " + r.Err.Error()
	case r.Outcome == verdict.NotRecorded:
		var facts []string
		for _, m := range r.Missing {
			facts = append(facts, cmp.Or(m.Path, m.Fact))
		}
		return ": it asks for " + strings.Join(facts, ", ")
	}
	var parts []string
	for _, b := range r.Because {
		for _, v := range b.Values {
			b.Expr += fmt.Sprintf(" [%s = %s]", v.Name, v.Value)
		}
		parts = append(parts, b.Expr)
	}
	if len(parts) == 0 {
		return ""
	}
	return ": false is " + strings.Join(parts, "; ")
}

// kindsOfExamples checks that the rule shows every way in which it can come out.
func (t *tester) kindsOfExamples() {
	expected := map[string]bool{}
	for _, x := range t.rule.Examples {
		expected[x.Expect] = true
	}
	wanted := []string{string(verdict.Pass), t.rule.Else}
	if !t.rule.When.Empty() {
		wanted = append(wanted, pack.DoesNotApply)
	}
	if t.canBeOpen() {
		wanted = append(wanted, pack.NotRecorded)
	}
	for _, w := range wanted {
		if !expected[w] {
			t.fail(nil, t.rule.Span, "no example is expected to come out as %q", w)
		}
	}
}

// canBeOpen reports whether the rule asks for facts when nothing is known.
func (t *tester) canBeOpen() bool {
	kind := ""
	if len(t.rule.Each) > 0 {
		kind = t.rule.Each[0]
	}
	s := newState(t.e, t.rule, kind)
	got, _ := t.outcome(s, "")
	return got == pack.NotRecorded
}

// coverage notes for every condition whether it was seen true and seen false.
type coverage struct {
	order []source.Span
	seen  map[source.Span]*sighting
}

type sighting struct {
	text    string
	yes, no bool
}

func (c *coverage) add(parts []engine.Part) {
	if c.seen == nil {
		c.seen = map[source.Span]*sighting{}
	}
	for _, p := range parts {
		s := c.seen[p.Span]
		if s == nil {
			s = &sighting{text: p.Text}
			c.seen[p.Span] = s
			c.order = append(c.order, p.Span)
		}
		s.yes = s.yes || p.Known && p.Value
		s.no = s.no || p.Known && !p.Value
	}
}

func (c *coverage) report(t *tester) {
	for _, span := range c.order {
		s := c.seen[span]
		for _, w := range []struct {
			seen bool
			word string
		}{{s.yes, "true"}, {s.no, "false"}} {
			if !w.seen {
				t.fail(nil, span, "no example shows %q %s", s.text, w.word)
			}
		}
	}
}
