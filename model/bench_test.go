package model_test

import (
	"os"
	"testing"

	"setdown/model"
)

// BenchmarkRead reads the four-corner car.
func BenchmarkRead(b *testing.B) {
	text, err := os.ReadFile("../testdata/builds/special-mended.yaml")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := model.Read("special-mended.yaml", text, model.Companions{}); err != nil {
			b.Fatal(err)
		}
	}
}
