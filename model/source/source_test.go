package source

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSpanString(t *testing.T) {
	assert.Equal(t, "special.yaml:12:5", Span{File: "special.yaml", Start: Pos{12, 5}}.String())
	assert.Equal(t, "special.yaml", Span{File: "special.yaml"}.String())
	assert.Equal(t, "", Span{}.String())
}

func TestSnippet(t *testing.T) {
	long := strings.Repeat("a", 100) + "X" + strings.Repeat("b", 100)
	tests := []struct {
		name, text string
		at         Pos
		want       string
	}{
		{"first column", "welds:\n  fl: 3", Pos{1, 1}, "welds:\n^"},
		{"second line", "welds:\n  fl: 3", Pos{2, 7}, "  fl: 3\n      ^"},
		{"after the last character", "ab", Pos{1, 3}, "ab\n  ^"},
		{"too far right", "ab", Pos{1, 4}, ""},
		{"no column", "ab", Pos{1, 0}, ""},
		{"no position", "ab", Pos{}, ""},
		{"below the file", "ab", Pos{2, 1}, ""},
		{"empty file", "", Pos{1, 1}, "\n^"},
		{"columns are code points", "größe: 3", Pos{1, 8}, "größe: 3\n       ^"},
		{"a tab is one column", "\tfl: 3", Pos{1, 2}, " fl: 3\n ^"},
		{"line end of Windows", "ab\r\ncd", Pos{1, 3}, "ab\n  ^"},
		{"no escape reaches the terminal", "a\x1b[31mb\u202e", Pos{1, 2}, "a [31mb \n ^"},
		{"long line, left", long, Pos{1, 1}, strings.Repeat("a", 75) + "…\n^"},
		{"long line, middle", long, Pos{1, 101}, "…" + strings.Repeat("a", 37) + "X" + strings.Repeat("b", 36) + "…\n" + strings.Repeat(" ", 38) + "^"},
		{"long line, right", long, Pos{1, 202}, "…" + strings.Repeat("b", 75) + "\n" + strings.Repeat(" ", 76) + "^"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			assert.Equal(t, test.want, NewFile("f", []byte(test.text)).Snippet(test.at))
		})
	}
}

func TestFileNameHasSlashes(t *testing.T) {
	assert.Equal(t, "builds/special.yaml", NewFile(`builds\special.yaml`, nil).Name())
}

func at(line, column int, message string) *Error {
	return &Error{Span: Span{File: "f", Start: Pos{line, column}}, Message: message}
}

func TestErrorsAreSortedAndSaidOnce(t *testing.T) {
	var list Errors
	require.NoError(t, list.Err())
	other := &Error{Span: Span{File: "e"}, Message: "z"}
	again := at(2, 1, "b")
	again.Span.End = Pos{2, 9}
	for _, e := range []*Error{at(10, 1, "a"), again, at(2, 3, "a"), at(2, 1, "c"), at(2, 1, "b"), other} {
		list.Add(e)
	}
	assert.EqualError(t, list.Err(), "e: z\nf:2:1: b\nf:2:1: c\nf:2:3: a\nf:10:1: a")
	assert.Equal(t, "a", list[0].Message, "Sorted leaves the list as it is")
}

func TestErrorsUnwrap(t *testing.T) {
	err := fmt.Errorf("reading: %w", Errors{at(1, 1, "a"), at(2, 1, "b")}.Err())
	var one *Error
	require.True(t, errors.As(err, &one))
	assert.Equal(t, "a", one.Message)
	var all Errors
	require.True(t, errors.As(err, &all))
	assert.Len(t, all, 2)
}

func TestErrorString(t *testing.T) {
	e := at(3, 4, "no such part")
	e.Hint = "did you mean chassis?"
	assert.EqualError(t, e, "f:3:4: no such part (did you mean chassis?)")
	assert.EqualError(t, &Error{Message: "no rules"}, "no rules")
}

func TestSuggest(t *testing.T) {
	tests := []struct {
		word  string
		known []string
		want  string
	}{
		{"chasis", []string{"chassis", "engine"}, "chassis"},
		{"CHASSIS", []string{"chassis"}, "chassis"},
		{"torqeud", []string{"torqued"}, "torqued"},
		{"protuding", []string{"protruding", "fitted"}, "protruding"},
		{"wheel", []string{"engine"}, ""},
		{"fl-arn", []string{"fr-arm", "fl-arm"}, "fl-arm"},
		{"bat", []string{"mat", "cat"}, "cat"}, // as near: the first by alphabet
		{"x", []string{"m", "t"}, ""},
		{"T", []string{"m", "t"}, "t"},
		{"ab", []string{"c", "b"}, ""}, // all of b replaced
		{"", []string{"a"}, ""},
		{"a", nil, ""},
		{strings.Repeat("a", 101), []string{strings.Repeat("a", 101)}, ""},
	}
	for _, test := range tests {
		assert.Equal(t, test.want, Suggest(test.word, test.known), "%q", test.word)
	}
}

func FuzzSnippet(f *testing.F) {
	f.Add("welds:\n  fl: 3", 2, 7)
	f.Add(strings.Repeat("ä", 200), 1, 150)
	f.Add("\xff\t\r\n", 1, 2)
	f.Fuzz(func(t *testing.T, text string, line, column int) {
		s := NewFile("f", []byte(text)).Snippet(Pos{line, column})
		if s == "" {
			return
		}
		shown, caret, ok := strings.Cut(s, "\n")
		require.True(t, ok)
		require.LessOrEqual(t, utf8.RuneCountInString(shown), snippetWidth)
		require.LessOrEqual(t, len(caret), utf8.RuneCountInString(shown)+1)
		require.Equal(t, strings.Repeat(" ", len(caret)-1)+"^", caret)
	})
}

func ExampleFile_Snippet() {
	f := NewFile("special.yaml", []byte("welds:\n  fl-mount: {fillet: {leg: 4}}\n"))
	fmt.Println(f.Snippet(Pos{Line: 2, Column: 28}))
	// Output:
	//   fl-mount: {fillet: {leg: 4}}
	//                            ^
}
