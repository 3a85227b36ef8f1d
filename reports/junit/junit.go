// Package junit writes verdicts as a JUnit result file, which most build servers
// read: a suite for each move and a test case for each rule and item.
//
// What blocks a move is a failure, a rule that could not be evaluated an error, a
// waived stop is skipped with who answers for it. Cautions and notes pass and
// stand in the output of their case. A verdict of NO-GO always has a failure,
// also where nothing was checked. The only time in the file is the day of the
// check; nothing is timed.
package junit

import (
	"cmp"
	"encoding/xml"
	"fmt"
	"io"
	"slices"
	"strings"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

type suites struct {
	XMLName  xml.Name `xml:"testsuites"`
	Name     string   `xml:"name,attr"`
	Tests    int      `xml:"tests,attr"`
	Failures int      `xml:"failures,attr"`
	Errors   int      `xml:"errors,attr"`
	Suites   []suite  `xml:"testsuite"`
}

type suite struct {
	Name       string      `xml:"name,attr"`
	Package    string      `xml:"package,attr"`
	ID         int         `xml:"id,attr"`
	Timestamp  string      `xml:"timestamp,attr,omitempty"`
	Tests      int         `xml:"tests,attr"`
	Failures   int         `xml:"failures,attr"`
	Errors     int         `xml:"errors,attr"`
	Skipped    int         `xml:"skipped,attr"`
	Properties *properties `xml:"properties"`
	Cases      []*testCase `xml:"testcase"`
	Out        *lines      `xml:"system-out"`
}

// lines is text whose line breaks stay readable in the file.
type lines struct {
	Text string `xml:",cdata"`
}

// more puts text at the end; where there is nothing to say there is no element.
func (l *lines) more(text string) *lines {
	if l == nil {
		l = &lines{}
	}
	l.Text += text
	return l
}

type properties struct {
	List []property `xml:"property"`
}

type property struct {
	Name  string `xml:"name,attr"`
	Value string `xml:"value,attr"`
}

// testCase keeps the order in which its parts must stand.
type testCase struct {
	Class   string  `xml:"classname,attr"` // the rule
	Name    string  `xml:"name,attr"`      // the item
	Skipped *lines  `xml:"skipped"`
	Errors  []cause `xml:"error"`
	Fails   []cause `xml:"failure"`
	Out     *lines  `xml:"system-out"`
}

type cause struct {
	Type    string `xml:"type,attr"`
	Message string `xml:"message,attr"`
	Text    string `xml:",cdata"`
}

// Write writes one result file for all reports.
func Write(w io.Writer, reports []*verdict.Report) error {
	all := suites{Name: "setdown"}
	for _, r := range reports {
		for i := range r.Moves {
			all.add(move(r, &r.Moves[i]))
		}
		if len(r.Moves) == 0 {
			all.add(unchecked(suite{Name: r.File, Package: r.File, Timestamp: r.Today.String() + "T00:00:00"}))
		}
	}
	if len(reports) == 0 {
		all.add(unchecked(suite{Name: "setdown", Package: "setdown"}))
	}
	text, err := xml.MarshalIndent(all, "", "  ")
	if err != nil {
		return fmt.Errorf("write the result file: %w", err)
	}
	_, err = io.WriteString(w, xml.Header+string(text)+"\n")
	return err
}

// add counts a suite and puts it at the end.
func (all *suites) add(s suite) {
	s.ID = len(all.Suites)
	for _, c := range s.Cases {
		s.Tests++
		switch {
		case len(c.Errors) > 0:
			s.Errors++
		case len(c.Fails) > 0:
			s.Failures++
		case c.Skipped != nil:
			s.Skipped++
		}
	}
	all.Tests += s.Tests
	all.Failures += s.Failures
	all.Errors += s.Errors
	all.Suites = append(all.Suites, s)
}

// unchecked gives a suite the failure for a NO-GO that no finding explains.
func unchecked(s suite) suite {
	const text = "NO-GO: nothing was checked"
	s.Name, s.Package = clean(s.Name), clean(s.Package)
	s.Cases = append(s.Cases, &testCase{Class: "nothing-checked", Name: "decision", Fails: []cause{{Type: string(verdict.Stop), Message: text, Text: text}}})
	return s
}

func move(r *verdict.Report, m *verdict.Move) suite {
	s := suite{
		Name: clean(r.File + ": " + m.ID), Package: clean(r.File), Timestamp: r.Today.String() + "T00:00:00",
		Properties: &properties{[]property{
			{"decision", string(m.Decision)}, {"version", clean(r.Version)}, {"state", clean(r.State)}, {"rules", clean(r.Rules)},
		}},
		Out: about(r, m),
	}
	cases := map[[2]string]*testCase{}
	get := func(rule, item string) *testCase {
		key := [2]string{rule, item}
		if cases[key] == nil {
			cases[key] = &testCase{Class: clean(rule), Name: clean(item)}
			s.Cases = append(s.Cases, cases[key])
		}
		return cases[key]
	}
	for i := range m.Findings {
		f := &m.Findings[i]
		get(f.Rule, f.Item).add(f)
	}
	for _, p := range m.Passed {
		for _, item := range p.Items {
			get(p.Rule, item) // passed in every step unless a finding says otherwise
		}
	}
	for _, c := range s.Cases {
		if c.Skipped != nil && len(c.Errors)+len(c.Fails) > 0 {
			// Waived in one step, it still blocks in another.
			c.Out, c.Skipped = c.Out.more(c.Skipped.Text), nil
		}
	}
	if m.Decision != verdict.Go && m.Stops() == 0 {
		return unchecked(s)
	}
	return s
}

// about is what concerns the move as a whole.
func about(r *verdict.Report, m *verdict.Move) *lines {
	list := []string{string(m.Decision) + " for " + m.ID + ", judged for " + r.Today.String()}
	for _, a := range r.Assumed {
		list = append(list, "assumed, not found on the vehicle: "+a)
	}
	if s := m.SignOff; s != nil {
		state := "it stands"
		if !s.Stands {
			state = "it is no longer valid: " + strings.Join(s.Why, "; ")
		}
		list = append(list, fmt.Sprintf("signed off by %s on %s; %s", s.By, s.On, state))
	}
	for _, id := range r.RuleSet.Disabled {
		list = append(list, "rule switched off: "+id)
	}
	return &lines{clean(strings.Join(slices.Concat(list, plain.Usual, r.Cautions), "\n"))}
}

func (c *testCase) add(f *verdict.Finding) {
	text := clean(details(f))
	first, _, _ := strings.Cut(text, "\n")
	why := cause{Type: string(f.Outcome), Message: first, Text: text}
	switch {
	case f.Blocks() && f.Outcome == verdict.Error:
		c.Errors = append(c.Errors, why)
	case f.Blocks():
		c.Fails = append(c.Fails, why)
	case f.Outcome == verdict.Waived:
		c.Skipped = c.Skipped.more(text)
	default:
		c.Out = c.Out.more(string(f.Outcome) + ": " + text)
	}
}

// details says everything about a finding, one thing a line.
func details(f *verdict.Finding) string {
	var list []string
	add := func(label, text string) {
		if text != "" {
			list = append(list, label+text)
		}
	}
	if plain.Open(f) {
		add("", f.Item+": not recorded, so nobody can say")
	} else {
		add("", cmp.Or(plain.Say(f), f.Rule+" did not pass for "+f.Item))
		add("fix: ", f.Fix)
	}
	for _, m := range f.Missing {
		if m.Path != "" {
			add("look and write down: ", plain.Fact(m))
		} else {
			add("missing: ", plain.Fact(m))
		}
	}
	for _, b := range f.Because {
		var values []string
		for _, v := range b.Values {
			values = append(values, v.Name+" is "+v.Value)
		}
		add("because: ", strings.TrimSpace(b.Expr)+" is not so; "+strings.Join(values, ", "))
	}
	if f.LetsGo != "holds" {
		add("if it lets go: ", f.Goes)
	}
	if w := f.Waiver; w != nil {
		said := fmt.Sprintf("waived by %s until %s: %s", w.By, w.Until, w.Reason)
		if !w.Counts {
			said = "the waiver does not count: " + w.Refused
		}
		add("", said)
	}
	add("steps: ", strings.Join(f.Steps, ", "))
	add("place: ", f.Place)
	add("why: ", strings.TrimSpace(f.Why))
	add("at ", f.Span.String())
	add("rule at ", f.RuleSpan.String())
	return strings.Join(list, "\n") + "\n"
}

// clean keeps the line breaks, and nothing that XML cannot hold or that hides text.
func clean(text string) string { return plain.Lines(text) }
