// Package source holds positions and located errors, shared by build
// files, rule files and the expressions inside them.
//
// Lines and columns are 1-based and columns count code points, as people count
// them. What is read comes in through one door, ReadFile, and what is printed of a
// name or a text goes out through another, Visible.
package source

import (
	"cmp"
	"fmt"
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
		return Visible(s.File)
	}
	return fmt.Sprintf("%s:%d:%d", Visible(s.File), s.Start.Line, s.Start.Column)
}
