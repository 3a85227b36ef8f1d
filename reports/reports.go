// Package reports is the one list of formats. A format is one folder and one line
// here, which says what it can write; the flags of every command, their help, their
// completion and their errors follow from it.
package reports

import (
	"fmt"
	"io"
	"strings"

	"setdown/model/source"
	"setdown/reports/csvr"
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

// Write writes one document.
type Write[T any] func(w io.Writer, document T, o Options) error

// format is one way of writing. What it cannot write is nil.
type format struct {
	name, doc string
	check     Write[[]*verdict.Report]
	loads     Write[*verdict.Report]
	tacks     Write[*verdict.Report]
	punch     Write[verdict.Punch]
	compare   Write[verdict.Comparison]
	travel    Write[*verdict.Travel]
	height    Write[*verdict.Height]
	cards     Write[[]verdict.Card]
	history   Write[*verdict.History]
	walk      Write[*verdict.Round]
}

// formats in the order in which help lists them.
var formats = []format{
	{name: "text", doc: "for the screen", check: asText(text.Write), loads: asText(text.Loads), tacks: asText(text.Tacks), punch: asText(text.Punch), compare: asText(text.Compare), travel: asText(text.Travel), height: asText(text.Height), cards: asText(text.Cards), history: asText(text.History), walk: asText(text.Walk)},
	{name: "json", doc: "for programs: everything, stable and versioned", check: as(jsonr.Write), loads: as(jsonr.Loads), tacks: as(jsonr.Tacks), punch: as(jsonr.Punch), compare: as(jsonr.Compare), travel: as(jsonr.Travel), height: as(jsonr.Height), cards: as(jsonr.Cards), history: as(jsonr.History), walk: as(jsonr.Walk)},
	{name: "csv", doc: "for a spreadsheet", loads: as(csvr.Loads), punch: as(csvr.Punch), travel: as(csvr.Travel), height: as(csvr.Height)},
	{name: "markdown", doc: "for an issue or a build log", check: as(markdown.Write), punch: as(markdown.Punch), cards: as(markdown.Cards)},
	{name: "html", doc: "one page for wall, phone and paper, with pictures", check: as(html.Write), travel: as(html.Travel), cards: as(html.Cards), walk: as(html.Walk)},
	{name: "svg", doc: "plan, side and corners of the step that matters, or one view of it", check: func(w io.Writer, r []*verdict.Report, o Options) error { return svg.Write(w, r, o.View) }, travel: as(svg.WriteTravel)},
	{name: "sarif", doc: "for editors and code hosts: findings at their lines", check: as(sarif.Write)},
	{name: "junit", doc: "for build servers: a suite a move, a case a rule and item", check: as(junit.Write)},
}

// as makes a Write of a function that has no choice to make.
func as[T any](write func(io.Writer, T) error) Write[T] {
	return func(w io.Writer, document T, _ Options) error { return write(w, document) }
}

func asText[T any](write func(io.Writer, T, text.Options) error) Write[T] {
	return func(w io.Writer, document T, o Options) error {
		return write(w, document, text.Options{Color: o.Color, Width: o.Width, Detail: o.Detail})
	}
}

// Document is one kind of thing that a command writes.
type Document[T any] struct {
	name string
	in   func(format) Write[T] // nil where the format cannot write it
}

// What the commands write.
var (
	Check   = Document[[]*verdict.Report]{"a verdict", func(f format) Write[[]*verdict.Report] { return f.check }}
	Loads   = Document[*verdict.Report]{"loads", func(f format) Write[*verdict.Report] { return f.loads }}
	Tacks   = Document[*verdict.Report]{"tacks", func(f format) Write[*verdict.Report] { return f.tacks }}
	Punch   = Document[verdict.Punch]{"a punch list", func(f format) Write[verdict.Punch] { return f.punch }}
	Compare = Document[verdict.Comparison]{"a comparison", func(f format) Write[verdict.Comparison] { return f.compare }}
	Travel  = Document[*verdict.Travel]{"travel", func(f format) Write[*verdict.Travel] { return f.travel }}
	Height  = Document[*verdict.Height]{"heights", func(f format) Write[*verdict.Height] { return f.height }}
	Cards   = Document[[]verdict.Card]{"a card", func(f format) Write[[]verdict.Card] { return f.cards }}
	History = Document[*verdict.History]{"a history", func(f format) Write[*verdict.History] { return f.history }}
	Walk    = Document[*verdict.Round]{"a walk-round", func(f format) Write[*verdict.Round] { return f.walk }}
)

// Format is the name of a format and what it is for.
type Format struct{ Name, Doc string }

// Formats lists the formats that can write the document.
func (d Document[T]) Formats() []Format {
	var list []Format
	for _, f := range formats {
		if d.in(f) != nil {
			list = append(list, Format{f.name, f.doc})
		}
	}
	return list
}

// As returns what writes the document in the named format.
func (d Document[T]) As(name string) (Write[T], error) {
	var names []string
	for _, f := range formats {
		write := d.in(f)
		switch {
		case write == nil:
		case f.name == name:
			return write, nil
		default:
			names = append(names, f.name)
		}
	}
	if near := source.Suggest(name, names); near != "" {
		return nil, fmt.Errorf("there is no format %q for %s; did you mean %q?", name, d.name, near)
	}
	return nil, fmt.Errorf("there is no format %q for %s; there are %s", name, d.name, strings.Join(names, ", "))
}
