package source

import (
	"cmp"
	"slices"
	"strings"
)

// Error is one mistake at one place.
type Error struct {
	Span    Span
	Path    string // of the data, such as welds.fl-mount.found.made
	Message string
	Hint    string // the way out
	Related []Related
}

// Related is another place that has to do with an error.
type Related struct {
	Span    Span
	Message string
}

// Error prints file:line:column: message (hint).
func (e *Error) Error() string {
	text := e.Message
	if where := e.Span.String(); where != "" {
		text = where + ": " + text
	}
	if e.Hint != "" {
		text += " (" + e.Hint + ")"
	}
	return text
}

// Errors are all the mistakes of one input.
type Errors []*Error

// Error prints one mistake a line.
func (l Errors) Error() string {
	lines := make([]string, len(l))
	for i, e := range l {
		lines[i] = e.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap gives the mistakes one by one to errors.Is and errors.As.
func (l Errors) Unwrap() []error {
	list := make([]error, len(l))
	for i, e := range l {
		list[i] = e
	}
	return list
}

// Add appends a mistake.
func (l *Errors) Add(e *Error) { *l = append(*l, e) }

// Sorted returns the mistakes by file, line, column and message. What says the
// same at the same place is said once.
func (l Errors) Sorted() Errors {
	sorted := slices.Clone(l)
	slices.SortStableFunc(sorted, func(a, b *Error) int {
		return cmp.Or(
			cmp.Compare(a.Span.File, b.Span.File),
			a.Span.Start.Compare(b.Span.Start),
			cmp.Compare(a.Message, b.Message),
			cmp.Compare(a.Hint, b.Hint),
		)
	})
	return slices.CompactFunc(sorted, func(a, b *Error) bool {
		return a.Span.File == b.Span.File && a.Span.Start == b.Span.Start && a.Message == b.Message && a.Hint == b.Hint
	})
}

// Err returns the sorted mistakes as an error, or nil when there are none.
func (l Errors) Err() error {
	if len(l) == 0 {
		return nil
	}
	return l.Sorted()
}
