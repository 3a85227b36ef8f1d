package source

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
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
	assert.Equal(t, `: :set\u202e.yaml:1:1`, Span{File: "::set\u202e.yaml", Start: Pos{1, 1}}.String())
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

func TestVisible(t *testing.T) {
	for text, want := range map[string]string{
		"":                          "",
		"fl-lower-ball: M12×1.75 ü": "fl-lower-ball: M12×1.75 ü",
		"car\u202elmay.yaml":        `car\u202elmay.yaml`,
		"a\x1b[2Jb\x00\x7f":         `a\x1b[2Jb\x00\x7f`,
		"a\nb\tc\rd":                `a\nb\tc\rd`,
		"soft\u00adhyphen\u00a0":    `soft\u00adhyphen\u00a0`,
		"not \xff UTF-8, \ufffd":    `not \xff UTF-8, \ufffd`,
		"\U0001f600\U000e0001":      "\U0001f600\\U000e0001",
		"::set-output name=x::y":    ": :set-output name=x::y",
		"so ::error:: and a::b":     "so : :error:: and a::b",
		":::":                       ": : :",
		"##[group]x##vso[y]":        "# #[group]x# #vso[y]",
		"### x":                     "# # # x",
	} {
		assert.Equal(t, want, Visible(text))
	}
}

func FuzzVisible(f *testing.F) {
	f.Add(":::")
	f.Add("::x##[y]\u202e\n\xff")
	f.Fuzz(func(t *testing.T, text string) {
		got := Visible(text)
		assert.True(t, utf8.ValidString(got))
		assert.False(t, strings.ContainsFunc(got, func(r rune) bool { return !strconv.IsPrint(r) }), "%q", got)
		assert.False(t, strings.HasPrefix(strings.TrimSpace(got), "::") || strings.Contains(got, " ::") || strings.Contains(got, "##"), "%q", got)
		assert.Equal(t, got, Visible(got), "twice is once")
	})
}

func TestReadFile(t *testing.T) {
	dir := t.TempDir()
	file := func(name string) string { return filepath.Join(dir, name) }
	require.NoError(t, os.WriteFile(file("whole"), []byte("abc"), 0o600))
	require.NoError(t, os.Symlink("whole", file("link")))
	require.NoError(t, os.Symlink("link-2", file("link-2")))
	for name, c := range map[string]struct{ path, want string }{
		"a file":          {file("whole"), ""},
		"a link to it":    {file("link"), ""},
		"a folder":        {dir, "this is a folder, not a record"},
		"a device":        {os.DevNull, "this is a device, not a record"},
		"nothing":         {file("none"), "there is no such file"},
		"a link to self":  {file("link-2"), "the file cannot be opened: too many levels of symbolic links"},
		"not in a folder": {file("whole/x"), "the file cannot be opened: not a directory"},
	} {
		text, err := ReadFile(c.path, 1<<20, "record")
		if c.want == "" {
			require.NoError(t, err, name)
			assert.Equal(t, "abc", string(text))
			continue
		}
		assert.EqualError(t, err, c.want, name)
	}
	require.NoError(t, os.WriteFile(file("large"), make([]byte, 1<<20+1), 0o600))
	_, err := ReadFile(file("large"), 1<<20, "record")
	assert.EqualError(t, err, "the file is over 1 MiB; that is no record")
}
