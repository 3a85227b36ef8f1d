package text

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	_ "setdown/reports/golden" // for -update
)

// A table that is wider than the page becomes a list, and no cell is lost.
func TestTableWiderThanThePage(t *testing.T) {
	var b strings.Builder
	p := newPage(&b, Options{Width: 40})
	p.table("  ", []string{"support", "even", "none", "what"}, [][]string{{"a-support-with-a-very-long-name", "12 kg", "-", "it falls"}})
	assert.Equal(t, "  a-support-with-a-very-long-name: even\n    12 kg, what it falls\n", b.String())
}

// FuzzClean: what comes from a file never steers the terminal.
func FuzzClean(f *testing.F) {
	f.Add("\x1b[2J\r\n\u202e\x00\xff")
	f.Fuzz(func(t *testing.T, s string) {
		var b strings.Builder
		newPage(&b, Options{}).para("", clean(s))
		for _, r := range strings.ReplaceAll(b.String(), "\n", "") {
			if r < ' ' || r == 0x7f || r >= 0x80 && r < 0xa0 {
				t.Fatalf("%q lets %U through", s, r)
			}
		}
	})
}
