package syntax

import (
	"bytes"
	"fmt"
	"unicode/utf8"
)

// BadCharacter finds the first character that no file may hold; the message is empty
// when there is none. Looking before the parser does gives every one of them a place and plain words.
func BadCharacter(text []byte) (line, column int, message, hint string) {
	line, column = 1, 1
	indent := true
	for i := 0; i < len(text); {
		c, size := utf8.DecodeRune(text[i:])
		switch {
		case c == utf8.RuneError && size == 1:
			if line == 1 && column == 1 {
				return line, column, "the file is not plain UTF-8 text", "save it again as UTF-8"
			}
			return line, column, "this character is not UTF-8", "save the file again as UTF-8"
		case c == '\uFEFF':
			return line, column, "the file begins with a byte order mark", "save it again as UTF-8 without a mark (BOM)"
		case c == '\t' && indent && !blankLine(text[i:]):
			return line, column, "this line begins with a tab", "indent with spaces"
		case c == '\r' && (i+1 == len(text) || text[i+1] != '\n'):
			return line, column, "a line ends with a carriage return only", "save the file again with normal line ends"
		case c == '\u2028' || c == '\u2029' || c == '\u0085':
			return line, column, "an invisible character here breaks the line", "delete it and type the line again"
		case c < ' ' && c != '\t' && c != '\n' && c != '\r', c >= 0x7f && c < 0xa0, c == '\uFFFE', c == '\uFFFF':
			return line, column, fmt.Sprintf("a control character (%U) stands here", c), "delete it"
		}
		i += size
		column++
		if c != ' ' && c != '\t' {
			indent = false
		}
		if c == '\n' {
			line, column, indent = line+1, 1, true
		}
	}
	return 0, 0, "", ""
}

func blankLine(rest []byte) bool {
	line, _, _ := bytes.Cut(rest, []byte("\n"))
	return len(bytes.TrimSpace(line)) == 0
}
