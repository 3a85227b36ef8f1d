package html

import (
	"bytes"
	_ "embed" // the page
	"html/template"
	"io"
	"strings"

	"setdown/reports/plain"
	"setdown/reports/svg"
	"setdown/rules/verdict"
)

//go:embed travel.gohtml
var travelText string

// Travel writes what the suspension does as one page that stands alone: curves,
// tables and what they say of each toe link.
func Travel(w io.Writer, t *verdict.Travel) error {
	name := t.Vehicle
	if name == "" {
		name = t.File
	}
	u := plain.Figures(t.Units)
	page, err := template.New("travel").Funcs(template.FuncMap{
		"fixed":    plain.Fixed,
		"mm":       u.Millimetres,
		"join":     func(list []string) string { return strings.Join(list, ", ") },
		"trouble":  plain.Trouble,
		"curves":   func(w verdict.WheelTravel) template.HTML { return template.HTML(svg.Curves(w, t.Good, u).Inline()) },
		"heads":    func() []string { return plain.TravelHeads },
		"together": func() string { return plain.Together },
		"cells":    u.TravelCells,
		"stop":     u.TravelEnd,
		"toe":      func(l verdict.ToeLink) []string { return u.ToeLink(l, t.Good, true) },
		"unsure":   func(w verdict.WheelTravel) string { return plain.Unsure(&w, t.Good) },
		"angle":    plain.Angle,
	}).Parse(travelText)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	err = page.Execute(&b, struct {
		*verdict.Travel
		Name, Note, Caution string
		Style               template.CSS
	}{t, name, u.TravelNote(t), plain.TravelCaution, template.CSS(styleText + svg.Colours() + svg.Style)})
	if err != nil {
		return err
	}
	_, err = io.WriteString(w, plain.Lines(b.String()))
	return err
}
