package ask_test

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/ask"
	"setdown/rules/check"
)

// BenchmarkAnswer is what a person at the four-corner car waits for after an answer: what changed of the
// files read again, what hangs on the answer judged again and the questions made, with a log of 77 looks.
// One of them is new each time. The write itself is not in it. Beside a state that is judged by itself stand those that come
// after one that differs by what was said of a bolt, by the length of a bar, and by the height of
// a stand, by which the whole vehicle leans otherwise. Garbage is collected as on the page; in the terminal it lies longer.
func BenchmarkAnswer(b *testing.B) {
	defer debug.SetGCPercent(debug.SetGCPercent(300))
	e := rules(b)
	o := check.Options{Moves: []string{"onto-hub-stands"}, Today: day}
	for _, c := range []struct {
		name       string
		after      bool
		item, path string
		value      func(n int) any // the n-th that is said
	}{
		{"alone", false, "fl-lower-front-bolt", "found.lock_fitted", func(n int) any { return n%2 == 0 }},
		{"lock", true, "fl-lower-front-bolt", "found.lock_fitted", func(n int) any { return n%2 == 0 }},
		{"tightness", true, "fl-lower-front-bolt", "found.tightness", func(n int) any { return [2]string{"torqued", "finger"}[n%2] }},
		{"length", true, "fl-strut", "found.length", func(n int) any { return mm(367.5 + float64(n)/1e3) }},
		{"height", true, "fl-hub-stand", "height", func(n int) any { return mm(340 + float64(n)/1e3) }},
	} {
		b.Run(c.name, func(b *testing.B) {
			var reading, judging time.Duration
			var before *check.Judged
			var reader model.Reader
			file, log := copied(b, "../../testdata/short", "special-mended", "points.csv")
			n := 0
			answer := func() {
				n++
				look := fmt.Sprintf("- {day: 2026-11-25, by: TN, of: [%s], note: \"%d\"}\n", c.item, n)
				require.NoError(b, os.WriteFile(model.LogName(file), append(log, look...), 0o600))
				start := time.Now()
				build, err := reader.Load(file)
				require.NoError(b, err)
				reading += time.Since(start)
				set(build.Item(c.item).Record, c.path, c.value(n))
				start = time.Now()
				if o.Before = nil; c.after {
					o.Before = before
				}
				before, err = check.Judge(b.Context(), build, e, o)
				require.NoError(b, err)
				_, err = ask.Round(build, before.Report, "onto-hub-stands")
				require.NoError(b, err)
				judging += time.Since(start)
			}
			answer() // compiles the rules
			reading, judging = 0, 0
			for b.Loop() {
				answer()
			}
			b.ReportMetric(float64(reading.Microseconds())/1e3/float64(b.N), "ms-reading/op")
			b.ReportMetric(float64(judging.Microseconds())/1e3/float64(b.N), "ms-judging/op")
		})
	}
}

// copied copies a build file with its log and what belongs to it into a folder of its own.
func copied(b *testing.B, from, name string, with ...string) (file string, log []byte) {
	folder := b.TempDir()
	for _, one := range append(with, name+".yaml", name+".looks.yaml") {
		text, err := os.ReadFile(filepath.Join(from, one))
		require.NoError(b, err)
		require.NoError(b, os.WriteFile(filepath.Join(folder, one), text, 0o600))
		log = text // the last
	}
	return filepath.Join(folder, name+".yaml"), slices.Clip(log)
}

func mm(f float64) quantity.Quantity { return quantity.Of(f/1e3, quantity.Length, "mm") }

func set(r *schema.Record, path string, v any) {
	if name, nested := strings.CutPrefix(path, "found."); nested {
		found, _ := r.Record("found")
		found.Set(name, schema.Value{V: v})
		return
	}
	r.Set(path, schema.Value{V: v})
}
