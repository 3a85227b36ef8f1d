package svg_test

import (
	"context"
	"os"
	"testing"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/reports/jsonr"
	"setdown/rules/check"
	"setdown/rules/pack"
	"setdown/rules/packs"
	"setdown/rules/verdict"
	engine "setdown/rules/xengine"
)

func TestDump(t *testing.T) {
	all, err := pack.LoadFS(packs.FS, ".")
	if err != nil {
		t.Fatal(err)
	}
	e, err := engine.New(all)
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range []string{"special-asfound", "special-mended", "liveaxle-asfound", "buggy-asfound", "checklist-asfound"} {
		b, err := model.Load("../../testdata/builds/" + n + ".yaml")
		if err != nil {
			t.Error(n, err)
			continue
		}
		r, err := check.Run(context.Background(), b, e, check.Options{Today: quantity.Date{Year: 2026, Month: 11, Day: 25}, Version: "0"})
		if err != nil {
			t.Error(n, err)
			continue
		}
		f, _ := os.Create("/tmp/" + n + ".json")
		jsonr.Write(f, []*verdict.Report{r})
		f.Close()
	}
}
