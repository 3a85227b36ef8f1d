package peers

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/rules/check"
	"setdown/rules/engine"
	"setdown/rules/pack"
	"setdown/rules/packs"
)

var today = quantity.Date{Year: 2026, Month: 11, Day: 25}

func rules(b *testing.B) *engine.Engine {
	all, err := pack.LoadFS(packs.FS, ".")
	if err != nil {
		b.Fatal(err)
	}
	e, err := engine.New(all)
	if err != nil {
		b.Fatal(err)
	}
	return e
}

func checkAll(b *testing.B, dir string) int {
	files, err := filepath.Glob(filepath.Join(dir, "*.yaml"))
	if err != nil {
		b.Fatal(err)
	}
	e := rules(b)
	for _, f := range files {
		build, err := model.Load(f)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := check.Run(context.Background(), build, e, check.Options{Today: today}); err != nil {
			b.Fatal(err)
		}
	}
	return len(files)
}

// BenchmarkParts shows how a whole check grows with the number of parts: a frame on
// four stands with boxes bolted to it.
func BenchmarkParts(b *testing.B) {
	e := rules(b)
	for _, n := range []int{8, 16, 32, 64} {
		build, err := model.Read("boxes.yaml", []byte(boxes(n)), model.Companions{})
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			before := cpu()
			for b.Loop() {
				if _, err := check.Run(context.Background(), build, e, check.Options{Today: today}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric((cpu()-before).Seconds()*1e6/float64(b.N)/float64(n), "cpu-µs/part")
		})
	}
}

func boxes(n int) string {
	var parts, joints, bolts strings.Builder
	for i := range n {
		x := 100 + 2000*i/n
		fmt.Fprintf(&parts, "  box-%d: {mass: 5 kg, cg: [%d, 0, 400]}\n", i, x)
		fmt.Fprintf(&joints, "  mount-%d: {kind: bolted face, between: [box-%d, frame], at: [%d, 0, 350], axis: [0, 0, 1]}\n", i, i, x)
		fmt.Fprintf(&bolts, "  bolt-%d: {holds: [mount-%d], thread: M8x1.25, class: \"8.8\", torque: 22 N·m, found: {fitted: yes, torqued: 22 N·m, on: 2026-11-24, by: RT}}\n", i, i)
	}
	stands := ""
	for i, at := range []string{"0, 300", "0, -300", "2200, 300", "2200, -300"} {
		stands += fmt.Sprintf("  s%d: {kind: stand, under: frame, at: [%s, 300], rated: 2 t, rated_per: each}\n", i, at)
	}
	return "format: setdown/1\nvehicle: {name: boxes, built_on: frame}\nparts:\n  frame: {mass: 200 kg, cg: [1100, 0, 350]}\n" + parts.String() +
		"joints:\n" + joints.String() + "fasteners:\n" + bolts.String() + "supports:\n" + stands +
		"moves:\n  m: {kind: rest, steps: [{name: on stands, supports: [s0, s1, s2, s3]}]}\n"
}
