package pack

import (
	"strings"

	"setdown/model/source"
)

// Expr is an expression as it stands in the file.
type Expr struct {
	Text string
	Span source.Span // of its first character

	Places Places // of each character of Text and of its end
}

// Empty reports whether there is no expression.
func (e *Expr) Empty() bool { return strings.TrimSpace(e.Text) == "" }

// At returns the place in the file of the expression's character with that
// number, counted in code points from 0. Outside the text it is the place of
// the expression.
func (e *Expr) At(n int) source.Span {
	if n < 0 || n >= e.Places.Size {
		return e.Span
	}
	return source.Span{File: e.Span.File, Start: e.Places.at(n)}
}

// Places says where the characters of a text stand in a file. Those that follow
// one another in a line are one run. The zero value says nothing.
type Places struct {
	Runs  []Run
	First int // number of the first character in the runs
	Size  int // how many characters
}

// Run begins with the character of that number.
type Run struct {
	From int
	At   source.Pos
}

// add appends the place of the next character.
func (p *Places) add(at source.Pos) {
	if k := len(p.Runs) - 1; k < 0 || p.Runs[k].At.Line != at.Line || p.Runs[k].At.Column+p.Size-p.Runs[k].From != at.Column {
		p.Runs = append(p.Runs, Run{p.Size, at})
	}
	p.Size++
}

// at is the place of a character that has one.
func (p Places) at(n int) source.Pos {
	n += p.First
	k := len(p.Runs) - 1
	for p.Runs[k].From > n {
		k--
	}
	at := p.Runs[k].At
	at.Column += n - p.Runs[k].From
	return at
}

// part is the places of the characters from one number to before another.
func (p Places) part(from, to int) Places {
	return Places{Runs: p.Runs, First: p.First + from, Size: to - from}
}

// Template is a text with expressions in braces. {{ and }} stand for braces.
type Template struct {
	Parts  []Part
	Span   source.Span
	Source string // as the file says it
}

// Part is a piece of plain text, or an expression when Expr is not nil.
type Part struct {
	Text string
	Expr *Expr
}

// String returns the template as the file says it.
func (t Template) String() string { return t.Source }

// Plain reports whether the template holds no expression.
func (t Template) Plain() bool {
	for _, p := range t.Parts {
		if p.Expr != nil {
			return false
		}
	}
	return true
}

// template takes a text apart. Where the places of its characters cannot be
// told, every mistake in it is reported at its beginning.
func (p *parser) template(n *Node) Template {
	t := Template{Span: n.Span, Source: n.Text}
	text := []rune(n.Text)
	var all Places
	if strings.ContainsAny(n.Text, "{}") {
		all = p.places(n)
	}
	place := func(from, to int) (source.Span, Places) {
		if all.Size == 0 {
			return n.Span, Places{}
		}
		return source.Span{File: n.Span.File, Start: all.at(from)}, all.part(from, to+1)
	}
	var plain []rune
	flush := func() {
		if len(plain) > 0 {
			t.Parts = append(t.Parts, Part{Text: string(plain)})
			plain = nil
		}
	}
	for i := 0; i < len(text); i++ {
		c := text[i]
		doubled := i+1 < len(text) && text[i+1] == c
		switch {
		case (c == '{' || c == '}') && doubled:
			plain = append(plain, c)
			i++
		case c == '}':
			span, _ := place(i, i)
			p.fail(span, "write }} for a brace in the text", "this closing brace has no opening one")
		case c == '{':
			end := closing(text, i+1)
			span, places := place(i+1, max(end, i+1))
			if end < 0 {
				span, _ = place(i, i)
				p.fail(span, "write {{ for a brace in the text", "this brace is not closed")
				return t
			}
			e := &Expr{Text: string(text[i+1 : end]), Span: span, Places: places}
			if e.Empty() {
				p.fail(span, "write the fact to print here, or {{ for a brace", "there is nothing between these braces")
			}
			flush()
			t.Parts = append(t.Parts, Part{Expr: e})
			i = end
		default:
			plain = append(plain, c)
		}
	}
	flush()
	return t
}

// closing finds the brace that closes an expression; braces in its quoted words
// do not. It is -1 when there is none.
func closing(text []rune, from int) int {
	var quote rune
	for i := from; i < len(text); i++ {
		switch c := text[i]; {
		case quote != 0 && c == '\\':
			i++
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '"' || c == '\'':
			quote = c
		case c == '}':
			return i
		case c == '{':
			return -1
		}
	}
	return -1
}
