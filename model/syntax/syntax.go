// Package syntax reads the text of a YAML file into a tree that is safe to walk, with
// the position of every value: build files and rule files alike. What YAML allows and
// such a file has no use for is refused in plain words, each with its place.
//
// The package knows nothing of what the keys of a file mean.
package syntax

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"

	"gopkg.in/yaml.v3"

	"setdown/model/source"
)

// Kind is a kind of file: what messages call it, and what it may hold.
type Kind struct {
	Name     string // such as 'build file'
	MaxBytes int
	MaxDepth int // blocks inside blocks
	// MaxAliased is how many values may come in through aliases; 0 refuses anchors
	// and aliases altogether.
	MaxAliased int
	MaxItems   int // entries of the blocks and lists below the top level; 0 is any number

	Tag Words // refuses a value that begins with !
	// Ways out, for hints.
	Empty  string // where the file is empty
	One    string // where a second document begins: what one file holds
	Repeat string // in place of merge keys
}

// Words are a message and its way out.
type Words struct{ Message, Hint string }

// Parse returns the root of a file, or nil after it reported why there is none. A tree
// that it returns is safe to walk, also when it reported mistakes.
func (k *Kind) Parse(file string, text []byte, errs *source.Errors) *yaml.Node {
	at := func(line, column int, message, hint string) *yaml.Node {
		errs.Add(&source.Error{Span: source.Span{File: file, Start: source.Pos{Line: line, Column: column}}, Message: message, Hint: hint})
		return nil
	}
	if len(text) > k.MaxBytes {
		return at(1, 1, fmt.Sprintf("the file is over %d MiB; that is no %s", k.MaxBytes>>20, k.Name), "")
	}
	if line, column, message, hint := BadCharacter(text); message != "" {
		return at(line, column, message, hint)
	}
	root, second, err := Decode(text)
	switch {
	case err != nil:
		return at(explain(text, err.Error()))
	case root == nil:
		return at(1, 1, "the file is empty", k.Empty)
	case second != nil:
		return at(second.Line, second.Column, "a second document begins here", k.One+"; delete the line of three dashes")
	}
	span := func(n *yaml.Node) source.Span {
		return source.Span{File: file, Start: source.Pos{Line: n.Line, Column: n.Column}}
	}
	if !k.Vet(root, span, errs) {
		return nil
	}
	return root
}

// Decode parses the text. The root is nil when there is nothing in it; second is the start of a second document, which
// is one too many. A panic of the parser becomes an error: no text of a file
// may stop the program.
func Decode(text []byte) (root, second *yaml.Node, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = errors.New("the parser failed")
		}
	}()
	decoder := yaml.NewDecoder(bytes.NewReader(text))
	var documents []*yaml.Node
	for len(documents) < 2 {
		var document yaml.Node
		err := decoder.Decode(&document)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, nil, err
		}
		documents = append(documents, &document)
	}
	if len(documents) == 0 || len(documents[0].Content) == 0 || documents[0].Content[0].Tag == "!!null" {
		return nil, nil, nil
	}
	root = documents[0].Content[0]
	if len(documents) == 2 {
		second = documents[1]
	}
	return root, second, nil
}

// Resolved follows an alias to what it stands for, in a tree that was vetted.
func Resolved(n *yaml.Node) *yaml.Node {
	for n.Kind == yaml.AliasNode {
		n = n.Alias
	}
	return n
}

// Vet walks a whole tree once and refuses what YAML allows and such a file has no use
// for: tags, merge keys, double keys, aliases that lead back to themselves or blow the
// file up, and blocks without end. It is false when the tree is not safe to walk. span
// is the place of a node.
func (k *Kind) Vet(root *yaml.Node, span func(*yaml.Node) source.Span, errs *source.Errors) bool {
	v := vetting{Kind: k, span: span, errs: errs, open: map[*yaml.Node]bool{}}
	v.node(root, 1, false)
	return !v.unsafe && !v.refused
}

type vetting struct {
	*Kind
	span    func(*yaml.Node) source.Span
	errs    *source.Errors
	open    map[*yaml.Node]bool // the blocks and lists on the way down to this one
	aliased int                 // nodes visited by way of an alias
	items   int
	unsafe  bool // it cannot be walked on
	refused bool // it holds what may lead back to itself
}

func (v *vetting) fail(n *yaml.Node, message, hint string, related ...source.Related) {
	v.errs.Add(&source.Error{Span: v.span(n), Message: message, Hint: hint, Related: related})
}

func (v *vetting) stop(n *yaml.Node, message, hint string) {
	v.fail(n, message, hint)
	v.unsafe = true
}

func (v *vetting) node(n *yaml.Node, depth int, aliased bool) {
	if v.unsafe {
		return
	}
	if aliased {
		v.aliased++
	}
	switch {
	case depth > v.MaxDepth:
		v.stop(n, fmt.Sprintf("blocks are nested more than %d deep", v.MaxDepth), "")
		return
	case v.open[n]:
		v.stop(n, "an alias refers to itself", "write the value out")
		return
	case v.aliased > v.MaxAliased:
		v.stop(n, fmt.Sprintf("the aliases in this file expand to more than %d values", v.MaxAliased), "write the values out")
		return
	case n.Style&yaml.TaggedStyle != 0:
		v.fail(n, v.Tag.Message, v.Tag.Hint)
	}
	if v.MaxAliased == 0 && (n.Kind == yaml.AliasNode || n.Anchor != "") {
		v.fail(n, "a "+v.Name+" has no anchors or aliases", "write the value out")
		v.refused = true
		return
	}
	if n.Kind == yaml.ScalarNode {
		return
	}
	v.open[n] = true
	defer delete(v.open, n)
	switch n.Kind {
	case yaml.AliasNode:
		v.node(n.Alias, depth, true)
	case yaml.MappingNode:
		v.mapping(n, depth, aliased)
	case yaml.SequenceNode:
		if depth == itemDepth && !v.count(n, len(n.Content)) {
			return
		}
		for _, e := range n.Content {
			v.node(e, depth+1, aliased)
		}
	}
}

// itemDepth is the depth of the maps from id to item, and of the lists of blocks.
const itemDepth = 2

// count adds to the items of the file and is false when they are too many.
func (v *vetting) count(n *yaml.Node, items int) bool {
	if v.items += items; v.MaxItems > 0 && v.items > v.MaxItems {
		v.stop(n, fmt.Sprintf("the file has more than %d items", v.MaxItems), "")
		return false
	}
	return true
}

func (v *vetting) mapping(n *yaml.Node, depth int, aliased bool) {
	if depth == itemDepth && !v.count(n, len(n.Content)/2) {
		return
	}
	seen := map[string]*yaml.Node{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		v.node(key, depth+1, aliased)
		if v.unsafe {
			return
		}
		key = Resolved(key)
		switch first := seen[key.Value]; {
		case key.Kind != yaml.ScalarNode:
			v.stop(key, "a key must be a plain word", "")
		case key.Tag == "!!merge":
			v.stop(key, "merge keys (<<) are not allowed", v.Repeat)
		case first != nil:
			v.fail(key, fmt.Sprintf("%s appears twice here", Shown(key.Value)), "keep one of the two",
				source.Related{Span: v.span(first), Message: "first here"})
		default:
			seen[key.Value] = key
		}
		v.node(value, depth+1, aliased)
	}
}

// Shown quotes what a file says, short enough for a message.
func Shown(text string) string { return strconv.Quote(Clipped(text)) }

// Clipped cuts a text short enough for a message.
func Clipped(text string) string {
	const most = 40
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most]) + "…"
	}
	return text
}
