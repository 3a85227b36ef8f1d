package pack

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"setdown/model/source"
	"setdown/model/syntax"
)

// Limits of one file.
const (
	maxBytes = 1 << 20
	maxDepth = 20
	maxRules = 2_000
)

// Shape is what a node of a file is.
type Shape uint8

// The shapes of a node.
const (
	Scalar Shape = iota
	Block
	List
)

// Node is one value of a file with its place.
type Node struct {
	Shape Shape
	Text  string // of a scalar
	Null  bool   // a scalar that says nothing: empty, ~ or null
	Keys  []Key  // of a block, in file order, without repetitions
	Items []*Node
	Span  source.Span

	refused bool // it cannot be used, and that was said already
	quoted  bool
	folded  bool
	raw     *yaml.Node
}

// Key is one key of a block with its value.
type Key struct {
	Name  string
	Span  source.Span
	Value *Node
}

// Find returns the value under a key, or nil.
func (n *Node) Find(name string) *Node {
	if n == nil {
		return nil
	}
	for _, k := range n.Keys {
		if k.Name == name {
			return k.Value
		}
	}
	return nil
}

// parser turns the text of one file into nodes.
type parser struct {
	name  string
	lines []string
	errs  *source.Errors
}

// ruleFile is what a file of rules may hold.
var ruleFile = syntax.Kind{
	Name: "rule file", MaxBytes: maxBytes, MaxDepth: maxDepth,
	Tag:    syntax.Words{Message: "a value cannot begin with ! here", Hint: "write an expression that begins with ! as a block after |, other text in quotes"},
	Empty:  "it holds a rule, or policy, disable and rules",
	One:    "one file holds one rule, or a list of them under rules",
	Repeat: "write the keys out",
}

func (p *parser) fail(span source.Span, hint, format string, args ...any) {
	p.errs.Add(&source.Error{Span: span, Message: fmt.Sprintf(format, args...), Hint: hint})
}

func (p *parser) at(line, column int) source.Span {
	return source.Span{File: p.name, Start: source.Pos{Line: line, Column: column}}
}

// parse returns the tree of a file, or nil after it reported why there is none.
func (p *parser) parse(text []byte) *Node {
	root := ruleFile.Parse(p.name, text, p.errs)
	if root == nil {
		return nil
	}
	p.lines = strings.Split(string(text), "\n")
	return p.node(root)
}

// node copies a node of the YAML reader.
func (p *parser) node(y *yaml.Node) *Node {
	n := &Node{Span: p.at(y.Line, y.Column), raw: y}
	switch y.Kind {
	case yaml.MappingNode:
		n.Shape = Block
		for i := 0; i+1 < len(y.Content); i += 2 {
			p.key(n, y.Content[i], y.Content[i+1])
		}
	case yaml.SequenceNode:
		n.Shape = List
		for _, e := range y.Content {
			n.Items = append(n.Items, p.node(e))
		}
	default:
		n.Text = y.Value
		n.Null = y.Tag == "!!null"
		n.quoted = y.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0
		n.folded = y.Style&yaml.FoldedStyle != 0
		// That it cannot be used was said when the file was vetted.
		n.refused = y.Style&yaml.TaggedStyle != 0
	}
	return n
}

func (p *parser) key(n *Node, key, value *yaml.Node) {
	span := p.at(key.Line, key.Column)
	switch {
	case key.Value == "":
		p.fail(span, "", "a key must be a plain word")
	case n.Find(key.Value) == nil: // a second one was refused when the file was vetted
		n.Keys = append(n.Keys, Key{Name: key.Value, Span: span, Value: p.node(value)})
	}
}

// places finds where each character of a scalar stands in the file, and the end
// of it. They are unknown where that cannot be told: folded text, and text in quotes
// or plain that goes over several lines.
func (p *parser) places(n *Node) Places {
	y := n.raw
	value := []rune(n.Text)
	var all Places
	switch {
	case n.folded:
		return Places{}
	case y.Style&yaml.LiteralStyle != 0:
		line := y.Line // the text begins on the line after the |
		for part := range strings.SplitSeq(n.Text, "\n") {
			raw := p.line(line + 1)
			if all.Size == len(value) && part == "" {
				raw = "" // the end of the block, not a line of it
			}
			indent, found := strings.CutSuffix(raw, part)
			if !found || strings.Trim(indent, " ") != "" {
				return Places{}
			}
			for i := range utf8.RuneCountInString(part) + 1 {
				all.add(source.Pos{Line: line + 1, Column: len(indent) + i + 1})
			}
			line++
		}
		return all
	}
	raw := []rune(p.line(y.Line))
	i := y.Column - 1
	var close rune
	if n.quoted {
		if i >= len(raw) {
			return Places{}
		}
		close = raw[i]
		i++
	}
	for _, want := range value {
		got, width := character(raw[min(i, len(raw)):], close)
		if width == 0 || got != want {
			return Places{}
		}
		all.add(source.Pos{Line: y.Line, Column: i + 1})
		i += width
	}
	all.add(source.Pos{Line: y.Line, Column: i + 1})
	return all
}

func (p *parser) line(n int) string {
	if n < 1 || n > len(p.lines) {
		return ""
	}
	return strings.TrimSuffix(p.lines[n-1], "\r")
}

// character reads one character of a scalar in those quotes (0: none) and how
// many characters of the file it takes; none when it cannot be told.
func character(raw []rune, quote rune) (rune, int) {
	switch {
	case len(raw) == 0:
		return 0, 0
	case quote == '\'' && raw[0] == '\'':
		if len(raw) > 1 && raw[1] == '\'' {
			return '\'', 2
		}
		return 0, 0
	case quote != '"' || raw[0] != '\\':
		return raw[0], 1
	case len(raw) == 1:
		return 0, 0
	}
	if digits := map[rune]int{'x': 2, 'u': 4, 'U': 8}[raw[1]]; digits > 0 {
		if len(raw) < 2+digits {
			return 0, 0
		}
		c, err := strconv.ParseUint(string(raw[2:2+digits]), 16, 32)
		if err != nil {
			return 0, 0
		}
		return rune(c), 2 + digits
	}
	switch raw[1] {
	case 'n':
		return '\n', 2
	case 't':
		return '\t', 2
	}
	return raw[1], 2
}
