// Package source holds positions, snippets and located errors, shared by build
// files, rule files and the expressions inside them.
//
// Lines and columns are 1-based and columns count code points, as people count
// them. The package reads no files.
package source

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/agnivade/levenshtein"
)

// Pos is a place in a text. The zero value is no position.
type Pos struct {
	Line   int `json:"line"`
	Column int `json:"column"`
}

// Compare orders positions as they are read.
func (p Pos) Compare(o Pos) int {
	return cmp.Or(cmp.Compare(p.Line, o.Line), cmp.Compare(p.Column, o.Column))
}

// Span is a stretch of a file. End may be the zero value: a place, not a stretch.
type Span struct {
	File  string `json:"file"` // as the user gave it, with slashes
	Start Pos    `json:"start"`
	End   Pos    `json:"end,omitzero"`
}

// String prints file:line:column, or the file alone when there is no position.
func (s Span) String() string {
	if s.Start.Line == 0 {
		return s.File
	}
	return fmt.Sprintf("%s:%d:%d", s.File, s.Start.Line, s.Start.Column)
}

// File is a named text.
type File struct {
	name  string
	lines []string
}

// NewFile returns a file with that name, as the user gave it, and text.
func NewFile(name string, text []byte) *File {
	return &File{name: strings.ReplaceAll(name, "\\", "/"), lines: strings.Split(string(text), "\n")}
}

// Name returns the file's name with slashes.
func (f *File) Name() string { return f.name }

// snippetWidth is how much of a line a snippet shows.
const snippetWidth = 76

// Snippet returns the line at a position with a caret below the column, or ""
// when the position is outside the file. Of a long line it shows the part around
// the caret.
func (f *File) Snippet(p Pos) string {
	if p.Line < 1 || p.Line > len(f.lines) {
		return ""
	}
	line := []rune(strings.ReplaceAll(strings.TrimRight(f.lines[p.Line-1], "\r"), "\t", " "))
	if p.Column < 1 || p.Column > len(line)+1 {
		return ""
	}
	from := 0
	if len(line) > snippetWidth {
		from = min(max(0, p.Column-1-snippetWidth/2), len(line)-snippetWidth)
		line = line[from : from+snippetWidth]
	}
	return string(line) + "\n" + strings.Repeat(" ", p.Column-1-from) + "^"
}

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

// Sorted returns the mistakes in reading order without repetitions.
func (l Errors) Sorted() Errors {
	sorted := slices.Clone(l)
	slices.SortStableFunc(sorted, func(a, b *Error) int {
		return cmp.Or(
			cmp.Compare(a.Span.File, b.Span.File),
			a.Span.Start.Compare(b.Span.Start),
			cmp.Compare(a.Message, b.Message),
		)
	})
	return slices.CompactFunc(sorted, func(a, b *Error) bool {
		return a.Span == b.Span && a.Message == b.Message
	})
}

// Err returns the sorted mistakes as an error, or nil when there are none.
func (l Errors) Err() error {
	if len(l) == 0 {
		return nil
	}
	return l.Sorted()
}

// Suggest returns the known name nearest to a word, for 'did you mean', or ""
// when none is near. Among equals the first in alphabetical order wins.
func Suggest(word string, known []string) string {
	if word == "" || len(word) > 100 {
		return ""
	}
	low := strings.ToLower(word)
	near, least := "", max(1, min(3, len([]rune(word))/3))+1
	for _, k := range slices.Sorted(slices.Values(known)) {
		if d := levenshtein.ComputeDistance(low, strings.ToLower(k)); d < least {
			near, least = k, d
		}
	}
	return near
}
