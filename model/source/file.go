package source

import (
	"strings"
	"unicode"
)

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

// snippetWidth is how many code points of a line a snippet shows.
const snippetWidth = 76

// cut stands where a snippet leaves out the rest of a long line.
const cut = '…'

// Snippet returns the line at a position with a caret below the column, or ""
// when the position is outside the file. The column after the last character is
// inside. Tabs and control characters show as one space, so that the caret stands
// right and a file cannot steer the terminal. Of a long line it shows the part
// around the caret.
func (f *File) Snippet(p Pos) string {
	if p.Line < 1 || p.Line > len(f.lines) {
		return ""
	}
	line := []rune(strings.TrimSuffix(f.lines[p.Line-1], "\r"))
	if p.Column < 1 || p.Column > len(line)+1 {
		return ""
	}
	for i, r := range line {
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) {
			line[i] = ' '
		}
	}
	from := 0
	if length := len(line); length > snippetWidth {
		from = min(max(0, p.Column-1-snippetWidth/2), length-snippetWidth)
		line = line[from : from+snippetWidth]
		if from > 0 {
			line[0] = cut
		}
		if from+snippetWidth < length {
			line[snippetWidth-1] = cut
		}
	}
	return string(line) + "\n" + strings.Repeat(" ", p.Column-1-from) + "^"
}
