package text

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"setdown/model/quantity"
	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// page writes lines and keeps the first error.
type page struct {
	w       io.Writer
	o       Options
	figures plain.Figures
	err     error
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
	p.wrap("", "  ", p.style(bold, title))
}

// sub opens a place inside a section.
func (p *page) sub(title string) { p.wrap(" ", "   ", p.style(underline, title)) }

func (p *page) rule() { p.line("%s", strings.Repeat("-", p.o.Width)) }

// item prints a paragraph after a dash.
func (p *page) item(indent, text string) { p.wrap(indent+"  - ", indent+"    ", text) }

// para prints a paragraph. Its later lines never begin at the edge, where
// verdicts stand.
func (p *page) para(indent, text string) {
	rest := indent
	if rest == "" {
		rest = "  "
	}
	p.wrap(indent, rest, text)
}

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

// under is the indent of what stands below a decision. Only decisions and heads
// start a line, so that no wrapped word can be taken for a decision.
const under = "       "

// mark is the sign before a finding; it can be read without colour.
func (p *page) mark(o verdict.Outcome) string {
	switch o {
	case verdict.Stop, verdict.Error:
		return p.style(red, "X")
	case verdict.NotRecorded:
		return p.style(yellow, "?")
	case verdict.Caution:
		return p.style(yellow, "!")
	}
	return "-"
}

// clean makes text from a file harmless for a terminal.
func clean(s string) string { return plain.Line(s) }

func cleanAll(list []string) string {
	var parts []string
	for _, s := range list {
		parts = append(parts, clean(s))
	}
	return strings.Join(parts, ", ")
}

func count(n int, one, many string) string { return plain.Count(n, one, many) }

func number(v float64) string { return quantity.Format(v) }

// full prints a figure with all its digits, where it is worked with.
func (p *page) full(f verdict.Figure) string { return clean(p.figures.Full(f)) }

func (p *page) shown(f verdict.Figure) string { return clean(p.figures.Shown(f)) }

func (p *page) orDash(f *verdict.Figure) string {
	if f == nil {
		return dash
	}
	return p.shown(*f)
}

// dash stands in a table where there is nothing to print.
const dash = "-"

// besides is the least room in which the last cell of a row is wrapped beside
// the others; with less it gets lines of its own.
const besides = 40

// table prints columns. Columns with nothing in them are left out, figures stand
// to the right, the cells of the last column are wrapped. A row that does not fit
// across the page is written as a list.
func (p *page) table(indent string, head []string, rows [][]string) {
	var keep []int
	for i := range head {
		if i == 0 || slices.ContainsFunc(rows, func(row []string) bool { return row[i] != dash }) {
			keep = append(keep, i)
		}
	}
	head = picked(head, keep)
	widths, right := make([]int, len(head)), make([]bool, len(head))
	for i := range head {
		widths[i], right[i] = width(head[i]), i > 0
	}
	for n := range rows {
		rows[n] = picked(rows[n], keep)
		for i, cell := range rows[n] {
			widths[i] = max(widths[i], width(cell))
			right[i] = right[i] && (cell == dash || figureLike(cell))
		}
	}
	last := len(head) - 1
	lead := width(indent)
	for i := range last {
		lead += widths[i] + 2
	}
	if lead+width(head[last]) > p.o.Width || right[last] && lead+widths[last] > p.o.Width {
		p.list(indent, head, rows)
		return
	}
	for n, row := range append([][]string{head}, rows...) {
		line := indent
		for i, cell := range row {
			space := strings.Repeat(" ", widths[i]-width(cell))
			switch {
			case right[i]:
				line += space + cell + "  "
			case i < last:
				line += cell + space + "  "
			}
		}
		line = strings.TrimRight(line, " ")
		cell := row[last]
		switch {
		case n == 0:
			if !right[last] {
				line += strings.Repeat(" ", max(0, lead-width(line))) + cell
			}
			p.line("%s%s", indent, p.style(underline, strings.TrimPrefix(line, indent)))
		case right[last] || cell == "":
			p.line("%s", line)
		case lead+width(cell) <= p.o.Width || p.o.Width-lead >= besides:
			p.wrap(line+strings.Repeat(" ", max(0, lead-width(line))), strings.Repeat(" ", lead), cell)
		default:
			p.line("%s", line)
			p.wrap(indent+"    ", indent+"    ", cell)
		}
	}
}

func picked(row []string, keep []int) []string {
	var some []string
	for _, i := range keep {
		some = append(some, row[i])
	}
	return some
}

// figureLike reports whether a cell is a figure with at most a unit.
func figureLike(s string) bool {
	s = strings.TrimLeft(s, "-<>")
	return s != "" && s[0] >= '0' && s[0] <= '9' && strings.Count(s, " ") <= 1
}

// list prints the rows of a table that is wider than the page.
func (p *page) list(indent string, head []string, rows [][]string) {
	for _, row := range rows {
		var cells []string
		for i, cell := range row[1:] {
			if cell != dash && cell != "" {
				cells = append(cells, strings.TrimSpace(head[i+1]+" "+cell))
			}
		}
		p.wrap(indent, indent+"  ", row[0]+": "+strings.Join(cells, ", "))
	}
}
