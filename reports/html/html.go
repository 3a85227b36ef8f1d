// Package html writes a verdict as one page that stands alone: for the wall of
// the shop, for a telephone under the car, and for paper.
//
// The page asks nothing of the network and holds no script; its content policy
// forbids both. Everything that the build file says is text in it, whatever
// characters it is made of. It reads on a screen of 360 px, in light and dark. On A4 and
// Letter every move is one sheet in black and white: what does not find room on it is
// counted there. Ink is warning: NO-GO is a filled plate, GO an empty frame. With one
// move the workings follow the sheet, printed where they are open; with several the
// board comes first.
//
// It formats and does not judge: decisions, order and figures are those of the report.
package html

import (
	"bytes"
	"cmp"
	_ "embed" // the page and its style sheet
	"html/template"
	"io"
	"strings"

	"setdown/model/quantity"
	"setdown/reports/plain"
	"setdown/reports/svg"
	"setdown/rules/verdict"
)

var (
	//go:embed page.gohtml
	pageText string
	//go:embed page.css
	styleText string
)

var page = template.Must(template.New("page").Funcs(template.FuncMap{
	"short":     short,
	"factor":    quantity.Format,
	"percent":   plain.Percent,
	"join":      func(list []string) string { return strings.Join(list, ", ") },
	"because":   because,
	"fact":      plain.Fact,
	"say":       func(f verdict.Finding) string { return plain.Say(&f) },
	"state":     plain.State,
	"taken":     plain.Taken,
	"takenHead": func() string { return plain.TakenHead },
	"spoken":    plain.Spoken,
	"solved":    func(s verdict.Step) string { return plain.Solved(&s) },
	"weights":   func(u plain.Figures, s verdict.Step) string { return u.Weights(&s) },
	"reasons":   reasons,
	"picture":   func(p svg.Picture) template.HTML { return template.HTML(p.Inline()) },
	"balance":   func(u plain.Figures, s verdict.Step) string { return s.Balance(quantity.System(u)) },
	"figure":    figure,
	"load":      load,
	"fate":      letsGo,
	"forces":    forces,
	"tackLoad":  tackLoad,
	"usual":     func() []string { return plain.Usual },
	"inc":       func(i int) int { return i + 1 },
	"numbered":  func(n int, s sheet) numbered { return numbered{n, s} },
	"questions": func(l plain.Look) string { return plain.Questions(l) },
}).Parse(pageText))

// numbered is a sheet with its number on the page, to which the board leads.
type numbered struct {
	Number int
	Sheet  sheet
}

// Write writes the verdicts of one or more build files as one page.
func Write(w io.Writer, reports []*verdict.Report) error {
	data := struct {
		Title string
		Style template.CSS
		Files []file
	}{"NO-GO", template.CSS(styleText + svg.Colours() + svg.Style), nil}
	if verdict.ExitCode(reports...) == 0 {
		data.Title = "GO"
	}
	for _, r := range reports {
		data.Title += ": " + name(r)
		data.Files = append(data.Files, newFile(r))
	}
	var b bytes.Buffer
	if err := page.Execute(&b, data); err != nil {
		return err
	}
	_, err := io.WriteString(w, plain.Lines(b.String()))
	return err
}

func name(r *verdict.Report) string {
	if r.Vehicle != "" {
		return r.Vehicle
	}
	return r.File
}

func short(hash string) string {
	if len(hash) > 12 {
		return hash[:12]
	}
	return hash
}

// reasons words the false parts of a rule that are worth a sentence. Which those
// are hangs on their text, so the page has one paragraph for them, if an empty one.
func reasons(f verdict.Finding) string {
	var text []string
	for _, reason := range plain.Reasons(&f, false) {
		text = append(text, "Because "+reason+".")
	}
	return strings.Join(text, " ")
}

// because gives one false part of a rule in the language of the rules, with its
// values.
func because(b verdict.Because) string {
	var values []string
	for _, v := range b.Values {
		values = append(values, v.Name+" is "+v.Value)
	}
	if len(values) == 0 {
		return "not: " + b.Expr
	}
	return strings.Join(values, ", ") + "; wanted " + b.Expr
}

// figure prints a figure that may not have been computed.
func figure(u plain.Figures, f *verdict.Figure) string {
	if f == nil {
		return "not computed"
	}
	return u.Shown(*f)
}

// load prints a load of a strength, that of a support as the mass that its plate is
// marked with.
func load(s *verdict.Strength, u plain.Figures, f verdict.Figure) string {
	return u.Shown(plain.OnPlate(s, f))
}

// letsGo words what happens when an item lets go. What goes where says how it
// comes out as well.
func letsGo(fate, goes string) string {
	return cmp.Or(goes, fate, "not computed")
}

// forces words the range of a load and its parts.
func forces(u plain.Figures, l verdict.Load) string {
	var text []string
	for _, part := range []struct {
		name string
		f    *verdict.Figure
	}{{"pull", l.Tension}, {"push", l.Compression}, {"along", l.Axial}, {"across", l.Radial}} {
		if part.f != nil {
			text = append(text, part.name+" "+u.Shown(*part.f))
		}
	}
	return strings.Join(text, ", ")
}

// tackLoad words what a weld does in a move.
func tackLoad(units quantity.System, t verdict.TackMove) string {
	text := "carries " + t.Carries
	if t.Carries == "" {
		text = "not known yet"
	}
	if t.Load != nil {
		text += ", " + plain.Figures(units).Shown(*t.Load)
	}
	if t.WouldBear != nil {
		text += "; its computed strength is " + plain.Figures(units).Shown(*t.WouldBear)
	}
	if t.Blocks {
		text += "; STOPS THE MOVE"
	}
	return text
}
