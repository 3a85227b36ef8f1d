// Package jsonr writes verdicts as JSON and reads them back, without loss.
//
// The document is one object: format ("setdown-report/1"), decision ("GO" only
// when every report is), and reports, one a build file. The fields of a report
// are those of verdict.Report and documented there. New fields may be added under
// the same format name; a field that changes its meaning changes the name.
//
// What cannot be told in JSON, such as a figure that is no number, is an error
// and nothing is written: half a verdict is none. What is read back is not
// believed: its verdicts must follow from its findings.
package jsonr

import (
	"encoding/json"
	"errors"
	"fmt"
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

// Read reads what Write wrote, so that a stored verdict can be written in
// another format. A field it does not know, anything after the document, and a
// verdict that its own findings do not bear out are errors.
func Read(r io.Reader) ([]*verdict.Report, error) {
	var d document
	dec := json.NewDecoder(r)
	dec.DisallowUnknownFields()
	if err := dec.Decode(&d); err != nil {
		return nil, fmt.Errorf("no verdict of this program: %w", err)
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return nil, errors.New("no verdict of this program: there is more after its end; give one document at a time")
	}
	if d.Format != verdict.Format {
		return nil, fmt.Errorf("format %q is not %q; check the build file again with this program", d.Format, verdict.Format)
	}
	for _, report := range d.Reports {
		if report == nil {
			return nil, errors.New("no verdict of this program: one of its reports is empty")
		}
		if err := follows(report); err != nil {
			return nil, err
		}
	}
	if d.Decision != decision(d.Reports) {
		return nil, fmt.Errorf("the document says %q and its reports do not; check the build files again", d.Decision)
	}
	return d.Reports, nil
}

// follows decides a report anew and compares: somebody may have changed the one
// word that matters and left the findings.
func follows(r *verdict.Report) error {
	said := []verdict.Decision{r.Decision}
	for i := range r.Moves {
		said = append(said, r.Moves[i].Decision)
	}
	r.Decide()
	if said[0] != r.Decision {
		return fmt.Errorf("the report on %s says %q and its findings say %s; check the build file again", r.File, said[0], r.Decision)
	}
	for i := range r.Moves {
		if m := &r.Moves[i]; said[i+1] != m.Decision {
			return fmt.Errorf("the report on %s says %q of %s and its findings say %s; check the build file again", r.File, said[i+1], m.ID, m.Decision)
		}
	}
	return nil
}

// Cards writes the cards of kinds of items.
func Cards(w io.Writer, c []verdict.Card) error { return encode(w, c) }

// History writes what was seen, and what stands of it.
func History(w io.Writer, h *verdict.History) error { return encode(w, h) }

// Walk writes the questions of a walk-round.
func Walk(w io.Writer, r *verdict.Round) error { return encode(w, r) }
