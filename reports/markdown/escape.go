package markdown

import (
	"regexp"
	"strings"

	"setdown/reports/plain"
)

// harmless is a text on one line, without control and format characters.
func harmless(s string) string { return strings.TrimSpace(plain.Line(s)) }

// marks are the characters that Markdown, with its tables and formulas, gives a
// meaning anywhere in a line.
const marks = "\\`*_{}[]|~!$"

var (
	// opens matches what makes a list, a quote or a heading at the start of a text.
	opens = regexp.MustCompile(`^([-+=]|\d+[.)])(\s|$)`)
	// address matches what is made a link without being asked.
	address = regexp.MustCompile(`(?i)\b(https?|ftp|xmpp|mailto):|\bwww\.`)
)

// esc makes a text of the build file plain text in Markdown, wherever it stands.
func esc(s string) string {
	s = harmless(s)
	starts, links := map[int]bool{}, map[int]bool{}
	if m := opens.FindStringSubmatchIndex(s); m != nil {
		starts[m[3]-1] = true
	}
	for _, m := range address.FindAllStringIndex(s, -1) {
		links[m[1]-1] = true
	}
	var b strings.Builder
	for i, r := range s {
		switch {
		case r == '<':
			b.WriteString("&lt;")
		case r == '>':
			b.WriteString("&gt;")
		case r == '&':
			b.WriteString("&amp;")
		case r == '@', r == '#':
			// A host of issues looks for names and numbers after Markdown is done, so
			// that a backslash does not keep it from calling someone.
			b.WriteByte('\\')
			b.WriteRune(r)
			b.WriteString("&#8203;")
		case starts[i], links[i], strings.ContainsRune(marks, r):
			b.WriteByte('\\')
			b.WriteRune(r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// code makes a text safe between backticks, also in a table.
func code(s string) string {
	s = strings.NewReplacer("`", "'", "|", "'").Replace(harmless(s))
	if s == "" {
		return "-"
	}
	return s
}
