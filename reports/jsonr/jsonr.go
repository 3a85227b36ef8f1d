// Package jsonr writes verdicts as JSON, without loss.
//
// The document is one object: format ("setdown-report/1"), decision ("GO" only
// when every report is), and reports, one a build file. The fields of a report
// are those of verdict.Report and documented there. New fields may be added under
// the same format name; a field that changes its meaning changes the name.
//
// What cannot be told in JSON, such as a figure that is no number, is an error
// and nothing is written: half a verdict is none.
package jsonr

import (
	"encoding/json"
	"io"

	"setdown/rules/verdict"
)

// document is the whole output.
type document struct {
	Format   string            `json:"format"`
	Decision verdict.Decision  `json:"decision"`
	Reports  []*verdict.Report `json:"reports"`
}

// Write writes the reports, indented, with a newline at the end.
func Write(w io.Writer, reports []*verdict.Report) error {
	if reports == nil {
		reports = []*verdict.Report{}
	}
	return encode(w, document{Format: verdict.Format, Decision: decision(reports), Reports: reports})
}

// Loads writes the whole report, for its loads mean nothing without the rest.
func Loads(w io.Writer, r *verdict.Report) error { return Write(w, []*verdict.Report{r}) }

// Tacks writes the list of welds that are not made full.
func Tacks(w io.Writer, r *verdict.Report) error { return encode(w, r.Tacks) }

// Punch writes a punch list.
func Punch(w io.Writer, p verdict.Punch) error { return encode(w, p) }

// Compare writes what changed between two states.
func Compare(w io.Writer, c verdict.Comparison) error { return encode(w, c) }

func encode(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

func decision(reports []*verdict.Report) verdict.Decision {
	if verdict.ExitCode(reports...) == 0 {
		return verdict.Go
	}
	return verdict.NoGo
}

// Cards writes the cards of kinds of items.
func Cards(w io.Writer, c []verdict.Card) error { return encode(w, c) }

// History writes what was seen, and what stands of it.
func History(w io.Writer, h *verdict.History) error { return encode(w, h) }

// Walk writes the questions of a walk-round.
func Walk(w io.Writer, r *verdict.Round) error { return encode(w, r) }
