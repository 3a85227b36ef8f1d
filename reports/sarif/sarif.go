// Package sarif writes verdicts as a SARIF 2.1.0 log, for editors and build
// servers that show findings beside the lines of a file.
//
// What blocks a move is an error, a caution a warning, a note a note. A waived
// stop is an error that is suppressed, with who answers for it. What passed is
// not listed. A verdict of NO-GO always has an error in the log, also where
// nothing was checked: a log without errors is never more than the verdict.
package sarif

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"net/url"
	"regexp"
	"slices"
	"strings"

	"setdown/model/source"
	"setdown/reports/plain"
	"setdown/rules/verdict"
)

const (
	schemaURI = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
	// builtIn is the base of the places of rules that come with the program: they
	// stand in no folder of the user.
	builtIn = "BUILT_IN_RULES"
	// fingerprint names the way in which a finding is told from others: by rule,
	// item, move and outcome, so that it stays the same while lines move.
	fingerprint = "setdownRuleItemMove/v1"
	// unchecked is the id of the rule for a NO-GO that no finding explains.
	unchecked = "nothing-checked"
)

// Write writes one log with one run for all reports.
func Write(w io.Writer, reports []*verdict.Report) error {
	l := &writer{rules: map[string]*rule{}}
	r := run{
		Tool:               tool{driver{Name: "setdown"}},
		OriginalURIBaseIDs: map[string]artifactLocation{builtIn: {Description: &message{"the rules that come with the program"}}},
		ColumnKind:         "unicodeCodePoints",
		Properties:         runProperties{Decisions: []decision{}},
	}
	if len(reports) == 0 {
		l.unexplained("", "", source.Span{})
	}
	for _, report := range reports {
		r.Tool.Driver.Version = report.Version
		for i := range report.Moves {
			m := &report.Moves[i]
			r.Properties.Decisions = append(r.Properties.Decisions, decision{report.File, m.ID, string(m.Decision), report.State, report.Rules})
		}
		l.report(report)
	}
	r.Invocations = []invocation{{ExecutionSuccessful: true, Notifications: l.notes}}
	r.Tool.Driver.Rules, r.Results = l.indexed()
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(log{Schema: schemaURI, Version: "2.1.0", Runs: []run{r}})
}

// writer collects what the run consists of.
type writer struct {
	rules   map[string]*rule
	results []result
	notes   []notification
}

func (l *writer) report(r *verdict.Report) {
	here := source.Span{File: r.File}
	for _, a := range r.Assumed {
		l.note("warning", here, "assumed, not found on the vehicle: "+a)
	}
	for _, id := range r.RuleSet.Disabled {
		l.note("warning", here, "rule switched off: "+id)
	}
	for _, p := range r.Policy {
		if p.Changed {
			l.note("warning", here, "policy changed: "+p.Name+" is "+p.Value)
		}
	}
	for _, c := range append(slices.Clone(plain.Usual), r.Cautions...) {
		l.note("note", here, c)
	}
	if len(r.Moves) == 0 {
		l.unexplained(r.File, "", here)
	}
	for i := range r.Moves {
		m := &r.Moves[i]
		for j := range m.Findings {
			l.finding(r, m, &m.Findings[j])
		}
		if m.Decision != verdict.Go && m.Stops() == 0 {
			l.unexplained(r.File, m.ID, m.Span)
		}
	}
}

func (l *writer) note(level string, span source.Span, text string) {
	l.notes = append(l.notes, notification{Level: level, Message: literal(text), Locations: []location{{PhysicalLocation: physical(span, "")}}})
}

// unexplained is the error for a NO-GO without a finding that blocks.
func (l *writer) unexplained(file, move string, span source.Span) {
	l.rule(unchecked, "", "error", "Nothing was checked, so it is NO-GO.")
	text := "NO-GO: nothing was checked."
	if move != "" {
		text = "NO-GO for " + move + ": nothing was checked."
	}
	res := result{
		RuleID: unchecked, Level: "error", Message: literal(text),
		PartialFingerprints: fingerprints(unchecked, file, move),
		Properties:          resultProperties{Move: move},
	}
	if file != "" {
		res.Locations = []location{{PhysicalLocation: physical(span, "")}}
	}
	l.results = append(l.results, res)
}

func (l *writer) finding(r *verdict.Report, m *verdict.Move, f *verdict.Finding) {
	help := strings.TrimSpace(f.Why)
	if f.Basis != "" {
		help = strings.TrimSpace(help + "\n\nBasis: " + f.Basis)
	}
	l.rule(f.Rule, f.Pack, level(f.Severity), help)
	base := builtIn
	if slices.Contains(r.RuleSet.Added, f.Rule) {
		base = ""
	}
	res := result{
		RuleID: f.Rule, Level: level(f.Severity), Message: literal(text(m, f)),
		Locations: []location{{
			PhysicalLocation: physical(f.Span, ""),
			LogicalLocations: []logicalLocation{{Name: f.Item, FullyQualifiedName: f.Kind + "." + f.Item}},
		}},
		PartialFingerprints: fingerprints(f.Rule, f.Item, m.ID, string(f.Outcome)),
		Properties:          resultProperties{Move: m.ID, Outcome: string(f.Outcome), Place: f.Place, Steps: f.Steps},
	}
	if f.RuleSpan.File != "" {
		rule := literal("the rule " + f.Rule)
		res.RelatedLocations = []location{{ID: 1, PhysicalLocation: physical(f.RuleSpan, base), Message: &rule}}
	}
	if f.Blocks() {
		res.Level = "error"
	}
	if f.Outcome == verdict.Waived && f.Waiver != nil && !f.Blocks() {
		res.Suppressions = []suppression{{
			Kind: "external", Status: "accepted",
			Justification: fmt.Sprintf("waived by %s until %s: %s", f.Waiver.By, f.Waiver.Until, f.Waiver.Reason),
			Location:      &location{PhysicalLocation: physical(f.Waiver.Span, "")},
		}}
	}
	l.results = append(l.results, res)
}

func (l *writer) rule(id, pack, level, help string) {
	if l.rules[id] != nil {
		return
	}
	r := &rule{
		ID: id, ShortDescription: message{strings.ReplaceAll(id, "-", " ")},
		DefaultConfiguration: configuration{level}, Properties: ruleProperties{pack},
	}
	if help != "" {
		m := literal(help)
		r.FullDescription, r.Help = &m, &m
	}
	l.rules[id] = r
}

// indexed sorts the rules and gives each result the place of its own.
func (l *writer) indexed() ([]rule, []result) {
	rules := make([]rule, 0, len(l.rules))
	for _, r := range l.rules {
		rules = append(rules, *r)
	}
	slices.SortFunc(rules, func(a, b rule) int { return cmp.Compare(a.ID, b.ID) })
	results := make([]result, 0, len(l.results))
	for _, res := range l.results {
		res.RuleIndex, _ = slices.BinarySearchFunc(rules, res.RuleID, func(r rule, id string) int { return cmp.Compare(r.ID, id) })
		results = append(results, res)
	}
	return rules, results
}

// level is what a failure of a rule means. What is neither a caution nor a note
// is as grave as can be.
func level(severity verdict.Outcome) string {
	switch severity {
	case verdict.Caution:
		return "warning"
	case verdict.Note:
		return "note"
	}
	return "error"
}

// text is the whole message: what is wrong, what to do, and which move it is
// about.
func text(m *verdict.Move, f *verdict.Finding) string {
	var parts []string
	add := func(text string) {
		if text = strings.TrimSpace(text); text != "" {
			parts = append(parts, strings.TrimRight(text, ".")+".")
		}
	}
	if plain.Open(f) {
		add(f.Item + ": not recorded, so nobody can say. Look and write down: " + strings.Join(plain.Facts(f.Missing, len(f.Missing)), "; "))
	} else {
		add(plain.Say(f))
		add(prefixed("Fix: ", f.Fix))
	}
	if f.LetsGo != "holds" {
		add(prefixed("If it lets go: ", f.Goes))
	}
	if f.Waiver != nil && !f.Waiver.Counts {
		add(prefixed("The waiver does not count: ", f.Waiver.Refused))
	}
	about := "Move: " + m.ID
	if f.Blocks() {
		about = "Stops the move " + m.ID
	}
	if len(f.Steps) > 0 {
		about += " (" + strings.Join(f.Steps, ", ") + ")"
	}
	add(about)
	return strings.Join(parts, " ")
}

func prefixed(prefix, text string) string {
	if text == "" {
		return ""
	}
	return prefix + text
}

var placeholder = regexp.MustCompile(`\{(\d+)\}`)

// literal is a text that no reader takes for a link or a gap to be filled in, both
// of which SARIF writes with brackets inside a message.
func literal(text string) message {
	text = strings.ReplaceAll(text, "](", `\](`)
	return message{placeholder.ReplaceAllString(text, "{{$1}}")}
}

// physical is a place in a file. Without a line it is the file.
func physical(span source.Span, base string) *physicalLocation {
	p := &physicalLocation{ArtifactLocation: artifactLocation{URI: uri(span.File), URIBaseID: base}}
	if span.Start.Line > 0 {
		p.Region = &region{StartLine: span.Start.Line, StartColumn: max(span.Start.Column, 1), EndLine: span.End.Line, EndColumn: span.End.Column}
	}
	return p
}

var drive = regexp.MustCompile(`^[A-Za-z]:/`)

// uri names a file as the user named it: relative when that was relative.
func uri(file string) string {
	switch {
	case drive.MatchString(file):
		return (&url.URL{Scheme: "file", Path: "/" + file}).String()
	case strings.HasPrefix(file, "/"):
		return (&url.URL{Scheme: "file", Path: file}).String()
	}
	return (&url.URL{Path: file}).String()
}

func fingerprints(parts ...string) map[string]string {
	sum := sha256.Sum256([]byte(strings.Join(parts, "\x00")))
	return map[string]string{fingerprint: hex.EncodeToString(sum[:16])}
}
