package markdown

import (
	"testing"

	"github.com/stretchr/testify/assert"

	_ "setdown/reports/golden" // for -update
)

func TestEsc(t *testing.T) {
	for in, want := range map[string]string{
		"fl-arm":                  "fl-arm",
		"0.42 kg":                 "0.42 kg",
		"1. look":                 `1\. look`,
		"12) look":                `12\) look`,
		"- [x] done":              `\- \[x\] done`,
		"a | b":                   `a \| b`,
		"<b> & `x` *y* _z_ ~w~":   "&lt;b&gt; &amp; \\`x\\` \\*y\\* \\_z\\_ \\~w\\~",
		"$x$":                     `\$x\$`,
		"![a](b)":                 `\!\[a\](b)`,
		"see https://b.example":   `see https\://b.example`,
		"WWW.b.example":           `WWW\.b.example`,
		"@all #12":                `\@&#8203;all \#&#8203;12`,
		"two\r\nlines\u2028three": "two  lines three",
		"\u202eback\x1b[2J\x00":   `\\u202eback\\x1b\[2J\\x00`,
		"# head":                  `\#&#8203; head`,
	} {
		assert.Equal(t, want, esc(in))
	}
}

func TestCode(t *testing.T) {
	for in, want := range map[string]string{
		"a`b|c": "a'b'c",
		"a\nb":  "a b",
		"":      "-",
		"\x1b":  `\x1b`,
	} {
		assert.Equal(t, want, code(in))
	}
}
