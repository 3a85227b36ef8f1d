// Package golden compares what a test wrote with a file that somebody looked at.
// Only tests import it. A test package below reports that has no such file imports it
// for the flag alone, so that 'go test ./reports/... -update' is understood everywhere.
package golden

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/rules/verdict"
)

var update = flag.Bool("update", false, "write the golden files anew")

// shown is how many lines of a difference are printed of each side.
const shown = 20

// Equal fails where got is not what the file holds, and shows where the two part.
// With -update it writes the file instead.
func Equal(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	if text := difference(string(want), got); text != "" {
		t.Errorf("%s is not what is written today; look at what changed, then run the test with -update\n%s", file, text)
	}
}

// difference shows the lines between the first and the last that differ.
func difference(want, got string) string {
	if want == got {
		return ""
	}
	a, b := strings.SplitAfter(want, "\n"), strings.SplitAfter(got, "\n")
	line := 1
	for len(a) > 0 && len(b) > 0 && a[0] == b[0] {
		a, b = a[1:], b[1:]
		line++
	}
	for len(a) > 0 && len(b) > 0 && a[len(a)-1] == b[len(b)-1] {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	var text strings.Builder
	fmt.Fprintf(&text, "from line %d on:\n", line)
	for _, side := range []struct {
		mark  string
		lines []string
	}{{"- ", a}, {"+ ", b}} {
		for _, l := range side.lines[:min(shown, len(side.lines))] {
			text.WriteString(side.mark + strings.TrimSuffix(l, "\n") + "\n")
		}
		if more := len(side.lines) - shown; more > 0 {
			fmt.Fprintf(&text, "%sand %d more lines\n", side.mark, more)
		}
	}
	return text.String()
}

// Verdicts reads a stored verdict in its JSON form. A field that it does not know, anything
// after the document and another format are errors.
func Verdicts(r io.Reader) ([]*verdict.Report, error) {
	var d struct {
		Format   string            `json:"format"`
		Decision verdict.Decision  `json:"decision"`
		Reports  []*verdict.Report `json:"reports"`
	}
	dec := json.NewDecoder(r)
	dec.DisallowUnknownFields()
	if err := dec.Decode(&d); err != nil {
		return nil, fmt.Errorf("no verdict of this program: %w", err)
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return nil, errors.New("no verdict of this program: there is more after its end")
	}
	if d.Format != verdict.Format {
		return nil, fmt.Errorf("format %q is not %q", d.Format, verdict.Format)
	}
	return d.Reports, nil
}
