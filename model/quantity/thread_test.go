package quantity

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseThread(t *testing.T) {
	tests := []struct {
		text, want      string
		diameter, pitch float64 // mm, or inches and threads an inch
		left            bool
	}{
		{"M12x1.75", "M12x1.75", 12, 1.75, false},
		{"M12×1.75", "M12x1.75", 12, 1.75, false},
		{"M12 x 1.75", "M12x1.75", 12, 1.75, false},
		{"M12-1.75", "M12x1.75", 12, 1.75, false},
		{"m12X1.75", "M12x1.75", 12, 1.75, false},
		{"M12", "M12x1.75", 12, 1.75, false},
		{"M8", "M8x1.25", 8, 1.25, false},
		{"M2.5", "M2.5x0.45", 2.5, 0.45, false},
		{"M10x1.25 LH", "M10x1.25 LH", 10, 1.25, true},
		{"M10x1.25LH", "M10x1.25 LH", 10, 1.25, true},
		{"M10x1.25-LH", "M10x1.25 LH", 10, 1.25, true},
		{"M10x1.25 left-hand", "M10x1.25 LH", 10, 1.25, true},
		{"M10x1.25 RH", "M10x1.25", 10, 1.25, false},
		{"M10x1.25-6g", "M10x1.25", 10, 1.25, false},
		{"M10x1.25-6H/6g", "M10x1.25", 10, 1.25, false},
		{"M10 6g", "M10x1.5", 10, 1.5, false},
		{"M10x1.25-5g6g-LH", "M10x1.25 LH", 10, 1.25, true},
		{"M25x1.5", "M25x1.5", 25, 1.5, false},

		{"1/2-20 UNF", "1/2-20 UNF", 0.5, 20, false},
		{"1/2-20 UNF LH", "1/2-20 UNF LH", 0.5, 20, true},
		{"1/2-20UNF-2A-LH", "1/2-20 UNF LH", 0.5, 20, true},
		{"1/2-20", "1/2-20 UNF", 0.5, 20, false},
		{"1/2 UNF", "1/2-20 UNF", 0.5, 20, false},
		{`1/2"-20 unf`, "1/2-20 UNF", 0.5, 20, false},
		{"1/2 - 20 UNF 2B", "1/2-20 UNF", 0.5, 20, false},
		{"0.5-20 UNF", "1/2-20 UNF", 0.5, 20, false},
		{".500-20 UNF", "1/2-20 UNF", 0.5, 20, false},
		{".437-20", "7/16-20 UNF", 0.4375, 20, false},
		{"3/8-16", "3/8-16 UNC", 0.375, 16, false},
		{"5/8-24", "5/8-24 UNEF", 0.625, 24, false},
		{"5/8-16 UN", "5/8-16 UN", 0.625, 16, false},
		{"#10-32 UNF", "#10-32 UNF", 0.190, 32, false},
		{"# 10-32", "#10-32 UNF", 0.190, 32, false},
		{"10-32", "#10-32 UNF", 0.190, 32, false},
		{"#1-64 UNC", "#1-64 UNC", 0.073, 64, false},
		{"1-8 UNC", "1-8 UNC", 1, 8, false},
		{"1-14 UNS", "1-14 UNS", 1, 14, false},
		{"1 1/4-12 UNF", "1 1/4-12 UNF", 1.25, 12, false},
		{"1-1/4-12 UNF", "1 1/4-12 UNF", 1.25, 12, false},
	}
	for _, test := range tests {
		t.Run(test.text, func(t *testing.T) {
			thread, err := ParseThread(test.text)
			require.NoError(t, err)
			assert.Equal(t, test.want, thread.String())
			assert.Equal(t, strings.HasPrefix(test.want, "M"), thread.Metric)
			assert.Equal(t, test.left, thread.Left)
			if thread.Metric {
				closeTo(t, test.diameter/1000, thread.Diameter)
				closeTo(t, test.pitch/1000, thread.Pitch)
				assert.Empty(t, thread.Series)
			} else {
				closeTo(t, test.diameter*0.0254, thread.Diameter)
				closeTo(t, 0.0254/test.pitch, thread.Pitch)
				assert.Contains(t, thread.Text, thread.Series)
			}
		})
	}
}

func TestParseThreadRefuses(t *testing.T) {
	tests := []struct{ text, err string }{
		{"", "empty; a thread is wanted, for example M12x1.75, 1/2-20 UNF or M12x1.75 LH"},
		{strings.Repeat("M", 65), "too long for a thread; write it as M12x1.75, 1/2-20 UNF or M12x1.75 LH"},
		{"12", `"12" is not a metric or unified thread; write it as M12x1.75, 1/2-20 UNF or M12x1.75 LH`},
		{"M12x1,75", `"M12x1,75" is not a metric or unified thread; write it as M12x1.75, 1/2-20 UNF or M12x1.75 LH`},
		{"1/2-20 BSF", `"1/2-20 BSF" is a British thread, and BSW, BSF, BSP and BA are not known here; leave it out and have the joint looked at by somebody who knows it`},
		{"LH", `"LH" is not a metric or unified thread; write it as M12x1.75, 1/2-20 UNF or M12x1.75 LH`},
		{"M12x1.75 foo", `"M12x1.75 foo" is not a metric or unified thread; write it as M12x1.75, 1/2-20 UNF or M12x1.75 LH`},
		{"M10x1.75", `"M10x1.75" has a pitch that is not standard; there is M10x1.5, M10x1.25, M10x1 or M10x0.75`},
		{"M10x0", `"M10x0" has a pitch that is not standard; there is M10x1.5, M10x1.25, M10x1 or M10x0.75`},
		{"M25x0", `"M25x0" has a pitch that is not standard; there is M25x2, M25x1.5 or M25x1`},
		{"M25", `"M25" has no coarse pitch; write it as M25x2`},
		{"M13", `"M13" has no standard diameter; near it are M12 and M14`},
		{"M100", `"M100" has no standard diameter; near it are M60 and M64`},
		{"M1", `"M1" has no standard diameter; near it are M2 and M2.5`},
		{"1/2-21", `"1/2-21" is not in the standard; for that size there is 1/2-13 UNC, 1/2-20 UNF, 1/2-28 UNEF, 1/2-16 UN or 1/2-32 UN`},
		{"1/2-20 UNC", `"1/2-20 UNC" is not in the standard; for that size there is 1/2-13 UNC, 1/2-20 UNF, 1/2-28 UNEF, 1/2-16 UN or 1/2-32 UN`},
		{"1/2 UN", `"1/2 UN" is not in the standard; for that size there is 1/2-13 UNC, 1/2-20 UNF, 1/2-28 UNEF, 1/2-16 UN or 1/2-32 UN`},
		{"11/32-20", `"11/32-20" has no standard size; near it are 5/16 and 3/8`},
		{"2-8", `"2-8" is not in the standard; for that size there is #2-56 UNC or #2-64 UNF`},
		{"1/0-20", `"1/0-20" has no standard size; write it as 1/2-20 UNF or #10-32 UNF`},
		{"#7-32", `"#7-32" has no standard size; write it as 1/2-20 UNF or #10-32 UNF`},
	}
	for _, test := range tests {
		t.Run(test.text, func(t *testing.T) {
			thread, err := ParseThread(test.text)
			assert.EqualError(t, err, test.err)
			assert.Zero(t, thread)
		})
	}
}

// Each standard thread is read as itself, and no two of them mate.
func TestEveryStandardThread(t *testing.T) {
	var texts []string
	for _, s := range metricSizes {
		for _, p := range append([]float64{s.coarse}, s.fine...) {
			if p != 0 {
				texts = append(texts, "M"+Format(s.diameter)+"x"+Format(p))
			}
		}
	}
	for _, s := range unifiedSizes {
		for _, p := range s.pitches() {
			texts = append(texts, s.name+"-"+Format(p.perInch)+" "+p.series)
		}
	}
	var all []Thread
	for _, text := range texts {
		for _, hand := range []string{"", " LH"} {
			thread, err := ParseThread(text + hand)
			require.NoError(t, err)
			require.Equal(t, text+hand, thread.String())
			all = append(all, thread)
		}
	}
	for i, a := range all {
		for j, b := range all {
			if a.Mates(b) != (i == j) {
				t.Errorf("%s and %s: mates is %v", a, b, a.Mates(b))
			}
		}
	}
}

// A size written as a rounded decimal must not be near two sizes of the table,
// and a numbered size follows 0.060 in + 0.013 in a number (ASME B1.1).
func TestThreadTables(t *testing.T) {
	for i, s := range unifiedSizes {
		if i > 0 {
			assert.Greater(t, s.diameter-unifiedSizes[i-1].diameter, 2*sizeRounding, s.name)
		}
		if number, ok := strings.CutPrefix(s.name, "#"); ok {
			n, err := decimal(number)
			require.NoError(t, err)
			assert.InDelta(t, 0.060+0.013*n, s.diameter, 1e-9, s.name)
		} else {
			d, err := decimal(s.name)
			require.NoError(t, err)
			assert.Equal(t, d, s.diameter, s.name)
		}
	}
	for i, s := range metricSizes {
		if i > 0 {
			assert.Greater(t, s.diameter, metricSizes[i-1].diameter)
		}
		pitches := append([]float64{s.coarse}, s.fine...)
		if s.coarse == 0 {
			pitches = s.fine
		}
		for k := 1; k < len(pitches); k++ {
			assert.Less(t, pitches[k], pitches[k-1], "M%v: coarse first, then finer and finer", s.diameter)
		}
	}
}

func TestMates(t *testing.T) {
	parse := func(text string) Thread {
		thread, err := ParseThread(text)
		require.NoError(t, err)
		return thread
	}
	tests := []struct {
		a, b string
		want bool
	}{
		{"M12", "M12x1.75-6g", true},
		{"1/2-20 UNF", "0.5-20", true},
		{"M12x1.75", "M12x1.5", false},
		{"M12x1.75", "M12x1.75 LH", false},
		{"M12x1.75", "M10x1.5", false},
		{"M8x1", "5/16-24 UNF", false},
		{"5/8-16 UN", "5/8-18 UNF", false},
	}
	for _, test := range tests {
		assert.Equal(t, test.want, parse(test.a).Mates(parse(test.b)), "%s and %s", test.a, test.b)
		assert.Equal(t, test.want, parse(test.b).Mates(parse(test.a)), "%s and %s", test.b, test.a)
	}
	assert.False(t, Thread{}.Mates(Thread{}), "what is no thread mates with nothing")
}

func FuzzParseThread(f *testing.F) {
	for _, s := range []string{"M12x1.75", "M12 LH", "1/2-20 UNF LH", "#10-32", "0.5-20 UNF-2A", "1-1/4-12", "M10x1.25-6g", "1/0-20", "M", "½-20"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		thread, err := ParseThread(text)
		if err != nil {
			require.Zero(t, thread)
			return
		}
		again, err := ParseThread(thread.String())
		require.NoError(t, err)
		require.Equal(t, thread, again)
		require.True(t, thread.Mates(again))
	})
}
