package model

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"setdown/model/source"
)

// parse turns the text into a tree that is safe to walk, or returns nil after
// it reported why not.
func (r *reader) parse(text []byte) *yaml.Node {
	at := func(line, column int, message, hint string) *yaml.Node {
		r.failAt(source.Span{File: r.file, Start: source.Pos{Line: line, Column: column}}, "", message, hint)
		return nil
	}
	if len(text) > maxBytes {
		return at(1, 1, fmt.Sprintf("the text is over %d MiB; that is no build file", maxBytes>>20), "")
	}
	if line, column, message, hint := badCharacter(text); message != "" {
		return at(line, column, message, hint)
	}
	root, second, err := decodeTree(text)
	if err != nil {
		return at(explain(text, err.Error()))
	}
	if root == nil {
		return at(1, 1, "the file is empty", `begin with "format: `+formatName+`"`)
	}
	if second != nil {
		r.fail(second, "", "a second document begins here", "one file holds one vehicle; take out the line of three dashes")
		return nil
	}
	if !r.vet(root) {
		return nil
	}
	return root
}

// badCharacter finds the first character that no build file may hold. Looking
// before the parser does gives every one of them a place and plain words.
func badCharacter(text []byte) (line, column int, message, hint string) {
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
			return line, column, "the file holds a byte order mark", "save it again as UTF-8 without a mark (BOM)"
		case c == '\t' && indent && !blankLine(text[i:]):
			return line, column, "a tab stands before the first word of this line", "indent with spaces"
		case c == '\r' && (i+1 == len(text) || text[i+1] != '\n'):
			return line, column, "a line ends in a lone carriage return", "save the file again with ordinary line ends"
		case c == '\u2028' || c == '\u2029' || c == '\u0085':
			return line, column, "this invisible character would break the line", "delete it and type the line again"
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

// decodeTree parses the text. second is the start of a second document, which
// is one too many. A panic of the parser becomes an error: no text of a file
// may stop the program.
func decodeTree(text []byte) (root, second *yaml.Node, err error) {
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

// syntax gives the parser's messages in the words of the shop. The parser's own
// checks (as against its scanner's) count lines from 0, and some name the line
// where the surrounding block begins instead of the one that is wrong.
var syntax = []struct {
	has       string // part of the parser's message
	fromZero  bool   // its line counts from 0
	blockLine bool   // its line is where the block begins
	message   string
	hint      string
}{
	{"mapping values are not allowed", false, false, "a colon stands where none can stand", "put the text in quotes when it holds a colon, and check that the line above is finished"},
	{"could not find expected ':'", false, false, "a key without its colon, or a line that is indented wrongly", "write key: value"},
	{"mapping keys are not allowed", false, false, "a question mark or key stands where none can stand", "for what is not known write 'not sure', or leave the key out"},
	{"block sequence entries are not allowed", false, false, "a dash stands where no list can begin", "begin the list on a line of its own"},
	{"did not find expected key", true, true, "this line does not fit in with the lines above it", "check its indentation, its quotes and brackets"},
	{"did not find expected '-' indicator", true, true, "this line does not fit into the list above it", "begin it with a dash, or check its indentation"},
	{"did not find expected <document start>", true, true, "this line does not fit in with the lines above it", "check its indentation"},
	{"did not find expected ',' or ']'", true, false, "a bracket [ that opens here is not closed, or a comma is missing in it", ""},
	{"did not find expected ',' or '}'", true, false, "a brace { that opens here is not closed, or a comma is missing in it", ""},
	{"did not find expected node content", true, false, "a value is missing here", ""},
	{"found unexpected end of stream", false, false, "a quote that opens here is not closed", ""},
	{"found unknown escape character", false, false, "a backslash in double quotes means something else", "write it in single quotes"},
	{"cannot start any token", false, false, "a value cannot begin with this character", "put the value in quotes"},
	{"found a tab character", false, false, "a tab stands where spaces are needed", "indent with spaces"},
	{"exceeded max depth", false, false, "blocks lie too deep inside each other", ""},
}

// maxSearched is the size of a file, in bytes, in which the wrong line is searched
// for. The search parses the file some twenty times over.
const maxSearched = 512 << 10

var lineNumber = regexp.MustCompile(`line (\d+): `)
var anchorName = regexp.MustCompile(`unknown anchor '(.*)' referenced`)

// explain finds the place and the plain words for a message of the parser.
func explain(text []byte, problem string) (line, column int, message, hint string) {
	lines := strings.Split(string(text), "\n")
	line = 1
	if m := lineNumber.FindStringSubmatch(problem); m != nil {
		line, _ = strconv.Atoi(m[1])
	}
	message = "this cannot be read as YAML"
	if m := anchorName.FindStringSubmatch(problem); m != nil {
		message = fmt.Sprintf("the alias *%s stands for nothing", m[1])
		hint = "the value it repeats must come first, marked &" + m[1]
		line = 1 + max(0, strings.Count(before(string(text), "*"+m[1]), "\n"))
	}
	for _, s := range syntax {
		if !strings.Contains(problem, s.has) {
			continue
		}
		message, hint = s.message, s.hint
		if s.fromZero && lineNumber.MatchString(problem) {
			line++
		}
		if s.blockLine && len(text) <= maxSearched {
			line = firstLine(lines, s.has)
		}
		break
	}
	line = min(max(line, 1), len(lines))
	shown := lines[line-1]
	return line, 1 + len(shown) - len(strings.TrimLeft(shown, " ")), message, hint
}

func before(text, mark string) string {
	start, _, _ := strings.Cut(text, mark)
	return start
}

// firstLine finds the line that brings a message about: the last line of the
// shortest beginning of the file that has it.
func firstLine(lines []string, problem string) int {
	return 1 + sort.Search(len(lines)-1, func(i int) bool {
		_, _, err := decodeTree([]byte(strings.Join(lines[:i+1], "\n")))
		return err != nil && strings.Contains(err.Error(), problem)
	})
}

// vet walks the whole tree once and refuses what YAML allows and a build file
// has no use for: tags, merge keys, double keys, aliases that lead back to
// themselves or blow the file up, and blocks without end. It is false when the
// tree is not safe to walk.
func (r *reader) vet(root *yaml.Node) bool {
	v := vetting{reader: r, open: map[*yaml.Node]bool{}}
	v.node(root, 1, false)
	return !v.unsafe
}

type vetting struct {
	*reader
	open    map[*yaml.Node]bool // the nodes on the way down to this one
	aliased int                 // nodes visited by way of an alias
	items   int
	unsafe  bool
}

func (v *vetting) stop(n *yaml.Node, message, hint string) {
	v.fail(n, "", message, hint)
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
	case depth > maxDepth:
		v.stop(n, fmt.Sprintf("blocks lie more than %d deep inside each other", maxDepth), "")
		return
	case v.open[n]:
		v.stop(n, "an alias leads back to itself", "write the value out")
		return
	case v.aliased > maxAliased:
		v.stop(n, fmt.Sprintf("the aliases of this file stand for more than %d values", maxAliased), "write the values out")
		return
	case n.Style&yaml.TaggedStyle != 0:
		v.fail(n, "", "a build file has no tags", "take out the word that begins with an exclamation mark")
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
	if v.items += items; v.items > maxItems {
		v.stop(n, fmt.Sprintf("the file holds more than %d items", maxItems), "")
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
		key = resolved(key)
		switch first := seen[key.Value]; {
		case key.Kind != yaml.ScalarNode:
			v.stop(key, "a key must be a plain word", "")
		case key.Tag == "!!merge":
			v.stop(key, "merge keys (<<) are not read", "write the keys out, or use mirror for the other side")
		case first != nil:
			v.failAt(v.span(key), "", fmt.Sprintf("%s stands here a second time", shown(key.Value)), "keep one of the two",
				source.Related{Span: v.span(first), Message: "first here"})
		default:
			seen[key.Value] = key
		}
		v.node(value, depth+1, aliased)
	}
}
