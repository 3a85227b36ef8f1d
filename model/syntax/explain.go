package syntax

import (
	"fmt"
	"regexp"
	"sort"
	"strconv"
	"strings"
)

// messages give the parser's messages in the words of the shop. The parser's own
// checks (as against its scanner's) count lines from 0, and some name the line
// where the surrounding block begins instead of the one that is wrong.
var messages = []struct {
	has       string // part of the parser's message
	fromZero  bool   // its line counts from 0
	blockLine bool   // its line is where the block begins
	message   string
	hint      string
}{
	{"mapping values are not allowed", false, false, "unexpected colon", "put the text in quotes when it holds a colon, and check that the line above is finished"},
	{"could not find expected ':'", false, false, "a key without its colon, or a line that is indented wrongly", "write key: value"},
	{"mapping keys are not allowed", false, false, "unexpected question mark or key", "for what is not known write 'not sure', or leave the key out"},
	{"block sequence entries are not allowed", false, false, "unexpected dash: no list can begin here", "begin the list on a line of its own"},
	{"did not find expected key", true, true, "this line does not match the lines above it", "check its indentation, its quotes and brackets"},
	{"did not find expected '-' indicator", true, true, "this line does not match the list above it", "begin it with a dash, or check its indentation"},
	{"did not find expected <document start>", true, true, "this line does not match the lines above it", "check its indentation"},
	{"did not find expected ',' or ']'", true, false, "a bracket [ that opens here is not closed, or a comma is missing in it", ""},
	{"did not find expected ',' or '}'", true, false, "a brace { that opens here is not closed, or a comma is missing in it", ""},
	{"did not find expected node content", true, false, "a value is missing here", ""},
	{"found unexpected end of stream", false, false, "a quote that opens here is not closed", ""},
	{"found unknown escape character", false, false, "a backslash in double quotes means something else", "write it in single quotes"},
	{"cannot start any token", false, false, "a value cannot begin with this character", "put the value in quotes"},
	{"found a tab character", false, false, "a tab is used where spaces are needed", "indent with spaces"},
	{"exceeded max depth", false, false, "too many blocks inside each other", ""},
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
		message = fmt.Sprintf("the alias *%s refers to nothing", m[1])
		hint = "the value it repeats must come first, marked &" + m[1]
		line = 1 + max(0, strings.Count(before(string(text), "*"+m[1]), "\n"))
	}
	for _, s := range messages {
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
		_, _, err := Decode([]byte(strings.Join(lines[:i+1], "\n")))
		return err != nil && strings.Contains(err.Error(), problem)
	})
}
