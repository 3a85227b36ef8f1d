package peers

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

const car = "../builds/special-mended.yaml"

// BenchmarkColdStart runs whole processes on the four-corner car: the program up to
// the verdict on one move, and a program that only starts, reads the same file and
// parses its YAML. 'cpu-ms' is the processor time of the process.
func BenchmarkColdStart(b *testing.B) {
	dir := b.TempDir()
	build := func(name, module, pkg string) string {
		out := filepath.Join(dir, name)
		if text, err := exec.Command("go", "build", "-C", module, "-o", out, pkg).CombinedOutput(); err != nil {
			b.Fatalf("%v: %s", err, text)
		}
		return out
	}
	ours, parser := build("setdown", "../..", "./cmd/setdown"), build("parser", ".", "./parser")
	runs := []struct {
		name string
		args []string
	}{
		{"parse-only", []string{parser, car}},
		{"verdict-one-move", []string{ours, "check", "--on", "2026-11-25", car, "--move", "onto-hub-stands"}},
		{"verdict-all-moves", []string{ours, "check", "--on", "2026-11-25", car}},
	}
	for _, r := range runs {
		b.Run(r.name, func(b *testing.B) {
			var used time.Duration
			for b.Loop() {
				used += process(b, r.args...)
			}
			b.ReportMetric(float64(used.Microseconds())/1000/float64(b.N), "cpu-ms")
		})
	}
}

// process runs a program to its end and returns the processor time it took. GO and
// NO-GO both count as an end.
func process(b *testing.B, args ...string) time.Duration {
	c := exec.Command(args[0], args[1:]...)
	var out bytes.Buffer
	c.Stdout, c.Stderr = &out, &out
	if err := c.Run(); err != nil && c.ProcessState.ExitCode() != 1 {
		b.Fatalf("%v: %s", err, out.String())
	}
	u := c.ProcessState.SysUsage().(*syscall.Rusage)
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// BenchmarkThousandFiles checks a thousand generated build files in one process.
func BenchmarkThousandFiles(b *testing.B) {
	text, err := os.ReadFile("../builds/checklist-mended.yaml")
	if err != nil {
		b.Fatal(err)
	}
	dir := b.TempDir()
	for i := range 1000 {
		changed := strings.Replace(string(text), "name: ", fmt.Sprintf("name: number-%d-", i), 1)
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("build-%04d.yaml", i)), []byte(changed), 0o600); err != nil {
			b.Fatal(err)
		}
	}
	b.ResetTimer()
	before := cpu()
	n := 0
	for b.Loop() {
		n += checkAll(b, dir)
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "files/s")
	b.ReportMetric(float64(n)/(cpu()-before).Seconds(), "files/cpu-s")
}
