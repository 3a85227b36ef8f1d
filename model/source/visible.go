package source

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Visible writes a text so that it is harmless on a line, and so that no other text
// looks like it: what moves a cursor, breaks the line, or hides or turns the text
// around it is written as an escape, \u202e. What a build server would read as a
// command to itself is pulled apart: '::' where a word begins, '##' anywhere.
func Visible(text string) string {
	if !strings.ContainsFunc(text, risky) && utf8.ValidString(text) {
		return text
	}
	var b strings.Builder
	before, last := ' ', ' ' // the two characters before this one
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		switch {
		case r == '#' && last == '#', r == ':' && last == ':' && unicode.IsSpace(before):
			b.WriteByte(' ')
			last = ' ' // so that a third colon is pulled off as well
			fallthrough
		case strconv.IsPrint(r) && r != utf8.RuneError:
			b.WriteRune(r)
		default:
			quoted := strconv.QuoteToASCII(text[i : i+size])
			b.WriteString(quoted[1 : len(quoted)-1])
			r = 'x' // no space in print
		}
		before, last = last, r
		i += size
	}
	return b.String()
}

func risky(r rune) bool { return r == '#' || r == ':' || !strconv.IsPrint(r) }
