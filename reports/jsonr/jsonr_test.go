package jsonr_test

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/quantity"
	"setdown/reports/golden"
	"setdown/reports/jsonr"
	"setdown/rules/verdict"
)

const folder = "../../testdata/golden"

var day = quantity.Date{Year: 2026, Month: 11, Day: 25}

// TestNothingIsLost reads every stored report and writes it again: the bytes
// are the same.
func TestNothingIsLost(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(folder, "*.report.json"))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 5)
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			reports, err := golden.Verdicts(bytes.NewReader(text))
			require.NoError(t, err)
			var again bytes.Buffer
			require.NoError(t, jsonr.Write(&again, reports))
			assert.True(t, bytes.Equal(text, again.Bytes()), "what was read is not what was written")
			second, err := golden.Verdicts(&again)
			require.NoError(t, err)
			assert.Equal(t, reports, second)
		})
	}
}

func TestDecisionOfTheDocument(t *testing.T) {
	ok := func() *verdict.Report {
		r := &verdict.Report{Today: day, Moves: []verdict.Move{{ID: "down", Steps: []verdict.Step{{Name: "one"}}}}}
		r.Decide()
		return r
	}
	held := ok()
	held.Moves[0].Findings = []verdict.Finding{{Blocking: true}}
	held.Decide()
	for name, c := range map[string]struct {
		reports []*verdict.Report
		want    string
	}{
		"nothing checked": {nil, `"decision": "NO-GO"`},
		"one go":          {[]*verdict.Report{ok()}, `"decision": "GO"`},
		"one of two":      {[]*verdict.Report{ok(), held}, `"decision": "NO-GO"`},
	} {
		t.Run(name, func(t *testing.T) {
			var b bytes.Buffer
			require.NoError(t, jsonr.Write(&b, c.reports))
			assert.Equal(t, c.want, strings.Trim(strings.Split(b.String(), "\n")[2], " ,"))
			assert.Contains(t, b.String(), `"reports": [`)
			_, err := golden.Verdicts(&b)
			assert.NoError(t, err)
		})
	}
}

// A figure that is no number must not leave half a file behind.
func TestNoNumberIsAnErrorAndNothingIsWritten(t *testing.T) {
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		r := &verdict.Report{Today: day, Moves: []verdict.Move{{Steps: []verdict.Step{{Mass: &verdict.Figure{Value: bad, Unit: "kg"}}}}}}
		var b bytes.Buffer
		require.Error(t, jsonr.Write(&b, []*verdict.Report{r}))
		assert.Empty(t, b.String())
	}
}
