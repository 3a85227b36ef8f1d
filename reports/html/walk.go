package html

import (
	_ "embed"
	"html/template"
	"io"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

//go:embed walk.gohtml
var walkText string

var walkPage = template.Must(template.New("walk").Funcs(template.FuncMap{
	"where":    func(s verdict.Screen) string { return plain.Where(&s) },
	"asked":    func(l verdict.Line) string { return plain.Line(plain.CardLine(l)) },
	"was":      func(f verdict.HistoryFact) string { return plain.Line(plain.Was(f)) },
	"line":     plain.Line,
	"standing": plain.Standing,
	"holds":    func(u *verdict.Until) string { return plain.Line(plain.Holds(u)) },
	"members":  func(q verdict.Question) []string { return plain.Members(&q) },
	"blank":    func(q verdict.Question) bool { return q.Fact != "" && len(q.Lines[0].Words) == 0 },
	"usual":    func() []string { return plain.UsualShort },
}).Parse(walkText))

// Walk writes the sheet of a walk-round, for a pencil.
func Walk(w io.Writer, r *verdict.Round) error { return walkPage.Execute(w, r) }
