package text

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"setdown/model/quantity"
	"setdown/rules/verdict"
)

// page writes lines and keeps the first error.
type page struct {
	w   io.Writer
	o   Options
	err error
}

func newPage(w io.Writer, o Options) *page {
	if o.Width <= 0 {
		o.Width = 80
	}
	return &page{w: w, o: o}
}

func (p *page) line(format string, args ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintln(p.w, strings.TrimRight(fmt.Sprintf(format, args...), " "))
	}
}

// head opens a section.
func (p *page) head(title string) {
	p.line("")
	p.line("%s", p.style(bold, title))
}

// sub opens a place inside a section.
func (p *page) sub(title string) { p.line("%s", p.style(underline, " "+title)) }

func (p *page) rule() { p.line("%s", strings.Repeat("-", p.o.Width)) }

// item prints a paragraph after a dash.
func (p *page) item(indent, text string) { p.wrap(indent+"  - ", indent+"    ", text) }

// para prints a paragraph.
func (p *page) para(indent, text string) { p.wrap(indent, indent, text) }

// wrap prints a text within the width: the first line after first, the others
// after rest.
func (p *page) wrap(first, rest, text string) {
	line, room := first, p.o.Width
	empty := true
	for word := range strings.FieldsSeq(text) {
		if !empty && width(line)+1+width(word) > room {
			p.line("%s", line)
			line, empty = rest, true
		}
		if !empty {
			line += " "
		}
		line += word
		empty = false
	}
	p.line("%s", line)
}

// width counts the columns of a text without its escape sequences.
func width(s string) int {
	n, inside := 0, false
	for _, r := range s {
		switch {
		case r == '\x1b':
			inside = true
		case inside:
			inside = r != 'm'
		default:
			n++
		}
	}
	return n
}

// Styles of a terminal.
const (
	bold      = "1"
	underline = "4"
	red       = "1;31"
	green     = "1;32"
	yellow    = "33"
)

func (p *page) style(code, s string) string {
	if !p.o.Color {
		return s
	}
	return "\x1b[" + code + "m" + s + "\x1b[0m"
}

func (p *page) decision(d verdict.Decision) string {
	if d == verdict.Go {
		return p.style(green, "GO   ")
	}
	return p.style(red, "NO-GO")
}

// mark is the sign before a finding; it can be read without colour.
func (p *page) mark(o verdict.Outcome) string {
	switch o {
	case verdict.Hold, verdict.Error:
		return p.style(red, "X")
	case verdict.NotRecorded:
		return p.style(yellow, "?")
	case verdict.Caution:
		return p.style(yellow, "!")
	}
	return "-"
}

// clean makes text from a file harmless for a terminal: no control or format
// characters, nothing that is not valid.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t':
			return ' '
		case unicode.IsControl(r), unicode.Is(unicode.Cf, r), r == utf8.RuneError:
			return -1
		}
		return r
	}, s)
}

func count(n int, one, many, after string) string {
	if n == 1 {
		return "1 " + one + after
	}
	return fmt.Sprintf("%d %s%s", n, many, after)
}

func figure(v float64) string { return quantity.Format(v) }

// use prints a utilisation with two places, so that columns can be compared.
func use(v float64) string { return fmt.Sprintf("%.2f", v) }

// table prints columns. The cells of the last column are wrapped.
func (p *page) table(indent string, head []string, rows [][]string) {
	widths := make([]int, len(head))
	for _, row := range append([][]string{head}, rows...) {
		for i, cell := range row {
			widths[i] = max(widths[i], width(cell))
		}
	}
	for n, row := range append([][]string{head}, rows...) {
		line := indent
		for i, cell := range row[:len(row)-1] {
			line += cell + strings.Repeat(" ", widths[i]-width(cell)+2)
		}
		last := row[len(row)-1]
		if n == 0 {
			p.line("%s", p.style(underline, line+last))
			continue
		}
		if last == "" {
			p.line("%s", line)
			continue
		}
		if width(line)+20 > p.o.Width {
			p.line("%s", line)
			line = indent + "    "
		}
		p.wrap(line, strings.Repeat(" ", width(line)), last)
	}
}
