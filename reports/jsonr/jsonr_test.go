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
	"setdown/reports/jsonr"
	"setdown/rules/verdict"

	_ "setdown/reports/golden" // for -update
)

const golden = "../../testdata/golden"

var day = quantity.Date{Year: 2026, Month: 11, Day: 25}

func stored(t testing.TB, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(golden, name+".report.json"))
	require.NoError(t, err)
	return text
}

// TestNothingIsLost reads every stored report and writes it again: the bytes
// are the same.
func TestNothingIsLost(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(golden, "*.report.json"))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 5)
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			reports, err := jsonr.Read(bytes.NewReader(text))
			require.NoError(t, err)
			var again bytes.Buffer
			require.NoError(t, jsonr.Write(&again, reports))
			assert.True(t, bytes.Equal(text, again.Bytes()), "what was read is not what was written")
			second, err := jsonr.Read(&again)
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
			_, err := jsonr.Read(&b)
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

func TestReadRefuses(t *testing.T) {
	held := string(stored(t, "checklist-asfound"))
	require.Contains(t, held, "\n      \"decision\": \"NO-GO\"")
	for name, c := range map[string]struct{ text, want string }{
		"nothing":                      {"", "no verdict of this program"},
		"half":                         {held[:len(held)/2], "no verdict of this program"},
		"another thing":                {`{"format": "other/1", "decision": "NO-GO", "reports": []}`, `format "other/1" is not "setdown-report/1"`},
		"an unknown field":             {`{"format": "setdown-report/1", "decision": "NO-GO", "reports": [], "extra": 1}`, "unknown field"},
		"no report":                    {`{"format": "setdown-report/1", "decision": "NO-GO", "reports": [null]}`, "one of its reports is empty"},
		"two documents":                {held + held, "more after its end"},
		"a word changed in the head":   {strings.Replace(held, `"NO-GO"`, `"GO"`, 1), "its reports do not"},
		"a word changed in the report": {strings.Replace(held, "\n      \"decision\": \"NO-GO\"", "\n      \"decision\": \"GO\"", 1), "its findings say NO-GO"},
		"a word changed in the move":   {strings.Replace(held, "\n          \"decision\": \"NO-GO\"", "\n          \"decision\": \"GO\"", 1), "of onto-stands and its findings say NO-GO"},
		"every word changed":           {strings.ReplaceAll(held, `"decision": "NO-GO"`, `"decision": "GO"`), "its findings say NO-GO"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := jsonr.Read(strings.NewReader(c.text))
			require.ErrorContains(t, err, c.want)
		})
	}
}

// FuzzRead: whatever is read without an error can be written and read again, and
// is GO only when nothing in it blocks.
func FuzzRead(f *testing.F) {
	f.Add(stored(f, "checklist-asfound"))
	f.Add([]byte(`{"format": "setdown-report/1", "decision": "NO-GO", "reports": [{}]}`))
	f.Add([]byte(`{"format": "setdown-report/1", "decision": "NO-GO", "reports": [null]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		reports, err := jsonr.Read(bytes.NewReader(text))
		if err != nil {
			return
		}
		for _, r := range reports {
			for _, m := range r.Moves {
				if m.Stops() > 0 {
					require.Equal(t, verdict.NoGo, r.Decision)
				}
			}
		}
		var again bytes.Buffer
		require.NoError(t, jsonr.Write(&again, reports))
		_, err = jsonr.Read(&again)
		require.NoError(t, err)
	})
}
