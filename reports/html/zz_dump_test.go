package html_test

import (
	"os"
	"testing"

	"setdown/reports/html"
	"setdown/reports/jsonr"
)

func TestDump(t *testing.T) {
	for _, n := range []string{"special-asfound", "special-mended", "liveaxle-asfound", "buggy-asfound", "checklist-asfound"} {
		f, err := os.Open("/tmp/" + n + ".json")
		if err != nil {
			t.Fatal(err)
		}
		rs, err := jsonr.Read(f)
		if err != nil {
			t.Fatal(err)
		}
		o, _ := os.Create("/tmp/" + n + ".html")
		if err := html.Write(o, rs); err != nil {
			t.Fatal(err)
		}
		rs[0].Moves = rs[0].Moves[min(2, len(rs[0].Moves)-1):][:1]
		o, _ = os.Create("/tmp/" + n + "-1.html")
		html.Write(o, rs)
	}
}
