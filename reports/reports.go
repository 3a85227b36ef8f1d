// Package reports lists the ways in which a verdict can be written. A format is
// one folder and one line here; the command line, its help and its errors follow
// from the list.
package reports

import (
	"fmt"
	"io"
	"strings"

	"setdown/model/source"
	"setdown/reports/html"
	"setdown/reports/jsonr"
	"setdown/reports/junit"
	"setdown/reports/markdown"
	"setdown/reports/sarif"
	"setdown/reports/svg"
	"setdown/reports/text"
	"setdown/rules/verdict"
)

// Options says how to write, where a format leaves a choice.
type Options struct {
	Color  bool
	Width  int  // columns of a terminal
	Detail bool // everything: what passed, every move in full
	// View picks one picture where a format has several: plan, side, or the name
	// of a place.
	View string
}

// Writer is one format.
type Writer struct {
	Name  string // as the command line names it
	Doc   string
	Write func(w io.Writer, reports []*verdict.Report, o Options) error
}

// writers are the formats in the order in which help lists them.
var writers = []Writer{
	{"text", "for the terminal", func(w io.Writer, r []*verdict.Report, o Options) error {
		return text.Write(w, r, text.Options{Color: o.Color, Width: o.Width, Detail: o.Detail})
	}},
	{"json", "for programs: everything, stable and versioned", plain(jsonr.Write)},
	{"markdown", "for an issue or a build log", plain(markdown.Write)},
	{"html", "one page for the wall, a telephone and paper, with pictures", plain(html.Write)},
	{"svg", "plan, side and corners of the step that matters, or one view of it", func(w io.Writer, r []*verdict.Report, o Options) error {
		if o.View != "" {
			return svg.WriteView(w, r, o.View)
		}
		return svg.Write(w, r)
	}},
	{"sarif", "for editors and code hosts: findings at their lines", plain(sarif.Write)},
	{"junit", "for build servers: a suite a move, a case a rule and item", plain(junit.Write)},
}

func plain(write func(io.Writer, []*verdict.Report) error) func(io.Writer, []*verdict.Report, Options) error {
	return func(w io.Writer, r []*verdict.Report, _ Options) error { return write(w, r) }
}

// Writers lists the formats.
func Writers() []Writer { return writers }

// Named returns a format by its name.
func Named(name string) (Writer, error) {
	var names []string
	for _, w := range writers {
		if w.Name == name {
			return w, nil
		}
		names = append(names, w.Name)
	}
	if near := source.Suggest(name, names); near != "" {
		return Writer{}, fmt.Errorf("there is no format %q; did you mean %q?", name, near)
	}
	return Writer{}, fmt.Errorf("there is no format %q; there are %s", name, strings.Join(names, ", "))
}
