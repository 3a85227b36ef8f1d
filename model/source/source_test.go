package source

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSpanString(t *testing.T) {
	assert.Equal(t, "special.yaml:12:5", Span{File: "special.yaml", Start: Pos{12, 5}}.String())
	assert.Equal(t, "special.yaml", Span{File: "special.yaml"}.String())
	assert.Equal(t, "", Span{}.String())
}

func TestFileNameHasSlashes(t *testing.T) {
	assert.Equal(t, "builds/special.yaml", Name(`builds\special.yaml`))
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
