package quantity

import (
	"encoding/json"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseDate(t *testing.T) {
	d, err := ParseDate("2026-11-20")
	require.NoError(t, err)
	assert.Equal(t, Date{2026, 11, 20}, d)
	assert.Equal(t, "2026-11-20", d.String())
	_, err = ParseDate("2028-02-29")
	assert.NoError(t, err)

	refused := map[string]string{
		"":                     "empty; a date is wanted, for example 2026-11-20",
		"20/11/2026":           `"20/11/2026" is not a date; write it as 2026-11-20`,
		"2026-11-2":            `"2026-11-2" is not a date; write it as 2026-11-20`,
		"2026-11-20T10:00:00Z": `"2026-11-20T10:00:00Z" is not a date; write it as 2026-11-20`,
		"2026-02-29":           `"2026-02-29": February 2026 has no such day`,
		"2026-11-31":           `"2026-11-31": November 2026 has no such day`,
		"2026-11-00":           `"2026-11-00": November 2026 has no such day`,
		"2026-13-01":           `"2026-13-01" has a month that does not exist; write year-month-day as 2026-11-20`,
		"2026-00-01":           `"2026-00-01" has a month that does not exist; write year-month-day as 2026-11-20`,
		"0026-11-20":           `"0026-11-20" is before the year 1900; write year, month and day as 2026-11-20`,
	}
	for text, message := range refused {
		d, err := ParseDate(text)
		assert.EqualError(t, err, message)
		assert.Zero(t, d)
	}
}

func TestDaysUntil(t *testing.T) {
	tests := []struct {
		from, to string
		days     int
	}{
		{"2026-11-20", "2026-11-20", 0},
		{"2026-11-20", "2026-12-01", 11},
		{"2026-12-01", "2026-11-20", -11},
		{"2028-02-28", "2028-03-01", 2},
		{"2026-03-28", "2026-03-30", 2}, // summer time begins in between
		{"1900-01-01", "2000-01-01", 36524},
		{"1900-01-01", "9999-12-31", 2958463}, // beyond what time.Duration holds
	}
	for _, test := range tests {
		from, err := ParseDate(test.from)
		require.NoError(t, err)
		to, err := ParseDate(test.to)
		require.NoError(t, err)
		assert.Equal(t, test.days, from.DaysUntil(to), "%s to %s", test.from, test.to)
	}
}

func TestCompareAgreesWithDays(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	date := func() Date { return ofTime(Date{1900 + random.IntN(300), 1, 1 + random.IntN(3650)}.utc()) }
	for range 2000 {
		a, b := date(), date()
		days := a.DaysUntil(b)
		assert.Equal(t, -days, b.DaysUntil(a))
		assert.Equal(t, days > 0, a.Compare(b) < 0)
		assert.Equal(t, days == 0, a.Compare(b) == 0)
	}
}

func TestDateInJSON(t *testing.T) {
	text, err := json.Marshal(Date{2026, 11, 20})
	require.NoError(t, err)
	assert.Equal(t, `"2026-11-20"`, string(text))
	var d Date
	require.NoError(t, json.Unmarshal(text, &d))
	assert.Equal(t, Date{2026, 11, 20}, d)
	assert.Error(t, json.Unmarshal([]byte(`"2026-02-30"`), &d))
}

func FuzzParseDate(f *testing.F) {
	for _, s := range []string{"2026-11-20", "2026-02-30", "0000-00-00", "2026–11–20", "99999-01-01", " 2026-11-20 "} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		d, err := ParseDate(text)
		if err != nil {
			require.Zero(t, d)
			return
		}
		again, err := ParseDate(d.String())
		require.NoError(t, err)
		require.Equal(t, d, again)
	})
}
