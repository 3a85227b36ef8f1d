package check_test

import (
	"context"
	"slices"
	"testing"

	"setdown/rules/facts"
)

// BenchmarkCheck judges all moves of the four-corner car, rules compiled.
func BenchmarkCheck(b *testing.B) {
	e := rules(b)
	build := load(b, "special-mended")
	judge(b, e, build)
	for b.Loop() {
		judge(b, e, build)
	}
}

// BenchmarkTypicalRule judges the steps of one move of the four-corner car by every
// rule, facts derived beforehand, and counts a verdict for each item that a rule is
// asked of.
func BenchmarkTypicalRule(b *testing.B) {
	e := rules(b)
	build := load(b, "special-mended")
	var sets []*facts.Set
	asked := 0
	for _, s := range setsOf(build, e.Policy(), "onto-hub-stands") {
		sets = append(sets, s)
		for _, p := range e.Packs() {
			for _, r := range p.Rules {
				switch {
				case len(r.In) > 0 && !slices.Contains(r.In, "lower"):
				case len(r.Each) == 0:
					asked++
				default:
					for _, kind := range r.Each {
						asked += len(s.Items[kind])
					}
				}
			}
		}
	}
	judge := func() {
		for _, set := range sets {
			e.Judge(context.Background(), set)
		}
	}
	judge() // compiles
	for b.Loop() {
		judge()
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(asked), "ns/verdict")
}
