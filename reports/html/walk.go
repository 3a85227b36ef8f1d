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
	"rows":     func(s verdict.Screen) []verdict.Question { return plain.OnPaper(&s) },
	"asked":    func(l verdict.Line) string { return plain.Line(plain.CardLine(l)) },
	"was":      func(f verdict.HistoryFact) string { return plain.Line(plain.Was(f)) },
	"line":     plain.Line,
	"standing": plain.Standing,
	"holds":    func(u *verdict.Until) string { return plain.Line(plain.Holds(u)) },
	"members":  func(q verdict.Question) []string { return plain.Members(&q) },
	"blank":    func(q verdict.Question) bool { return q.Fact != "" && len(q.Lines[0].Words) == 0 },
	"first":    first,
	"towrite":  plain.ToWrite,
	"usual":    func() []string { return plain.UsualShort },
}).Parse(walkText))

// first is what the loads wait for, one line each, and what may follow.
func first(r *verdict.Round) []string {
	list, then := plain.First(r)
	var lines []string
	for _, l := range list {
		lines = append(lines, plain.Line(l.Name+": "+plain.Questions(l)))
	}
	return append(lines, then)
}

// Walk writes the sheet of a walk-round, for a pencil.
func Walk(w io.Writer, r *verdict.Round) error { return walkPage.Execute(w, r) }
