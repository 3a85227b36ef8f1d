package check_test

import "testing"

// BenchmarkCheck judges all moves of the four-corner car, rules compiled.
func BenchmarkCheck(b *testing.B) {
	e := rules(b)
	build := load(b, "special-mended")
	judge(b, e, build)
	for b.Loop() {
		judge(b, e, build)
	}
}
