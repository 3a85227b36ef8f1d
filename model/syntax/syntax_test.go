package syntax

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"setdown/model/source"
)

// note is a kind of file with small limits.
var note = Kind{
	Name: "note", MaxBytes: 1 << 20, MaxDepth: 4, MaxAliased: 3, MaxItems: 3,
	Tag: Words{"a note has no tags", "take it out"}, Empty: "write something", One: "one file holds one note", Repeat: "write the keys out",
}

// slip is a kind of file without aliases.
var slip = Kind{Name: "slip", MaxBytes: 100, MaxDepth: 4, Tag: Words{Message: "a slip has no tags"}}

func TestParse(t *testing.T) {
	for _, c := range []struct {
		kind       *Kind
		text, want string
	}{
		{&note, "a: 1\nb: [2, 3]\n", ""},
		{&note, "a: &x 1\nb: *x\n", ""},
		{&note, "# nothing\n", "f:1:1: the file is empty (write something)"},
		{&note, "a: 1\n---\nb: 2\n", "f:2:1: a second document begins here (one file holds one note; delete the line of three dashes)"},
		{&note, "a: 1\n\tb: 2\n", "f:2:1: this line begins with a tab (indent with spaces)"},
		{&note, "a: \xff\n", "f:1:4: this character is not UTF-8 (save the file again as UTF-8)"},
		{&note, "\xff\xfe", "f:1:1: the file is not plain UTF-8 text (save it again as UTF-8)"},
		{&note, "\uFEFFa: 1\n", "f:1:1: the file begins with a byte order mark (save it again as UTF-8 without a mark (BOM))"},
		{&note, "a: b: c\n", "f:1:1: unexpected colon (put the text in quotes when it holds a colon, and check that the line above is finished)"},
		{&note, "a: *x\n", "f:1:1: the alias *x refers to nothing (the value it repeats must come first, marked &x)"},
		{&note, "a: !b c\n", "f:1:4: a note has no tags (take it out)"},
		{&note, "a: 1\na: 2\n", `f:2:1: "a" appears twice here (keep one of the two)`},
		{&note, "[a]: 1\n", "f:1:1: a key must be a plain word"},
		{&note, "<<: {a: 1}\n", "f:1:1: merge keys (<<) are not allowed (write the keys out)"},
		{&note, "a: &x [*x]\n", "f:1:4: an alias refers to itself (write the value out)"},
		{&note, "a: &x 1\nb: *x\nc: *x\nd: *x\ne: *x\n", "f:1:4: the aliases in this file expand to more than 3 values (write the values out)"},
		{&note, "a: [[[[1]]]]\n", "f:1:7: blocks are nested more than 4 deep"},
		{&note, "a: {b: 1, c: 2}\nd: [1, 2]\n", "f:2:4: the file has more than 3 items"},
		{&slip, "a: &x 1\nb: *x\n", "f:1:4: a slip has no anchors or aliases (write the value out)\nf:2:4: a slip has no anchors or aliases (write the value out)"},
		{&slip, strings.Repeat("#", 101), "f:1:1: the file is over 0 MiB; that is no slip"},
	} {
		var errs source.Errors
		root := c.kind.Parse("f", []byte(c.text), &errs)
		if c.want == "" {
			assert.NoError(t, errs.Err(), c.text)
			assert.NotNil(t, root, c.text)
			continue
		}
		assert.EqualError(t, errs, c.want, c.text)
	}
}

// FuzzParse holds the reader to plain errors: no text may bring it down, every mistake
// has a place, and what it returns can be walked to its end.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"a: 1\n", "a: &x [*x]\n", "- [a, {b: c}]\n", "a: |\n  b\n", "\ta", "a: *b", "? a\n: b\n", "%YAML 1.1\n---\na: 1\n", "a: \"\\x41\"\n", "\uFEFF", "a: !!binary x\n"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, k := range []*Kind{&note, &slip} {
			var errs source.Errors
			root := k.Parse("f", []byte(text), &errs)
			require.False(t, root == nil && len(errs) == 0)
			for _, err := range errs {
				require.Positive(t, err.Span.Start.Line)
				require.Positive(t, err.Span.Start.Column)
				require.NotEmpty(t, err.Message)
			}
			if root != nil {
				count(t, root, 0)
			}
		}
	})
}

func count(t *testing.T, n *yaml.Node, depth int) {
	require.LessOrEqual(t, depth, note.MaxDepth)
	for _, e := range Resolved(n).Content {
		count(t, e, depth+1)
	}
}
