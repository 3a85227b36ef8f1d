// Package jsonr writes verdicts as JSON and reads them back, without loss.
//
// The document is one object: format ("setdown-report/1"), decision ("GO" only
// when every report is), and reports, one a build file. The fields of a report
// are those of verdict.Report and documented there. New fields may be added under
// the same format name; a field that changes its meaning changes the name.
package jsonr

import (
	"encoding/json"
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
	d := document{Format: verdict.Format, Decision: verdict.NoGo, Reports: reports}
	if verdict.ExitCode(reports...) == 0 {
		d.Decision = verdict.Go
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(d)
}

// Read reads what Write wrote, so that a stored verdict can be written in
// another format.
func Read(r io.Reader) ([]*verdict.Report, error) {
	var d document
	dec := json.NewDecoder(r)
	dec.DisallowUnknownFields()
	if err := dec.Decode(&d); err != nil {
		return nil, fmt.Errorf("no verdict of this program: %w", err)
	}
	if d.Format != verdict.Format {
		return nil, fmt.Errorf("format %q is not %q", d.Format, verdict.Format)
	}
	return d.Reports, nil
}
