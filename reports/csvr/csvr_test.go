package csvr

import (
	"testing"

	"github.com/stretchr/testify/assert"

	_ "setdown/reports/golden" // for -update
)

func TestHarmless(t *testing.T) {
	for in, want := range map[string]string{
		"weld it full":     "weld it full",
		"12 mm":            "12 mm",
		"=cmd()":           "'=cmd()",
		"+1":               "'+1",
		"-1":               "'-1",
		"@sum":             "'@sum",
		"\t=cmd()":         "'=cmd()",
		"\x1b\u200b=cmd()": `\x1b\u200b=cmd()`,
		"＝cmd()":           "'＝cmd()",
		"two\nlines":       "two lines",
		"":                 "",
	} {
		assert.Equal(t, want, harmless(in))
	}
}
