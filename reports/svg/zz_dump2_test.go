package svg_test

import (
	"os"
	"testing"
	"fmt"

	"setdown/reports/jsonr"
	"setdown/reports/svg"
	"setdown/rules/verdict"
)

func TestDraw(t *testing.T) {
	for _, n := range []string{"special-asfound", "liveaxle-asfound", "buggy-asfound", "checklist-asfound"} {
		f, err := os.Open("/tmp/" + n + ".json")
		if err != nil {
			t.Fatal(err)
		}
		rs, err := jsonr.Read(f)
		if err != nil {
			t.Fatal(err)
		}
		for i := range rs[0].Moves {
			m := &rs[0].Moves[i]
			fmt.Println(n, m.ID, m.Decision, len(m.Findings), m.Holds(), len(m.Steps))
			for j := range m.Steps { s := &m.Steps[j]
				fmt.Println("   ", s.Name, s.Decision, len(s.Loads), len(s.Strengths), len(s.Rocking), svg.Places(s), s.Outline!=nil)
				o, _ := os.Create(fmt.Sprintf("/tmp/%s-%s-%d.svg", n, m.ID, j))
				svg.Sheet(rs[0], m, s).Write(o)
				o.Close()
			}
		}
		_ = verdict.Go
	}
}
