// Package html writes a verdict as one page that stands alone: for the wall of
// the shop, for a telephone under the car, and to be signed on paper.
//
// The page asks nothing of the network and holds no script; its content policy
// forbids both. Everything that the build file says is text in it, whatever
// characters it is made of. It reads on a screen of 360 px, in light and dark,
// and prints on A4 and Letter: a move begins a new sheet. What a colour says is
// also said by a word or a mark.
//
// It formats and does not judge: decisions, order and figures are those of the
// report. Two choices are its own, and the page says so: a place is drawn in the
// step in which its members pass the most, and the workings list each comparison
// once, at its highest.
package html

import (
	"bytes"
	"cmp"
	_ "embed" // the page and its style sheet
	"html/template"
	"io"
	"math"
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
	"short":    short,
	"factor":   quantity.Format,
	"use":      plain.Use,
	"shown":    plain.Shown,
	"force":    force,
	"percent":  func(v float64) string { return quantity.Format(math.Round(v*100)) + " %" },
	"join":     func(list []string) string { return strings.Join(list, ", ") },
	"because":  because,
	"fact":     plain.Fact,
	"solved":   func(s verdict.Step) string { return plain.Solved(&s) },
	"say":      func(f verdict.Finding) string { return plain.Say(&f) },
	"reasons":  reasons,
	"tone":     tone,
	"picture":  func(p svg.Picture) template.HTML { return template.HTML(p.Inline()) },
	"reaction": reaction,
	"fate":     letsGo,
	"forces":   forces,
	"tackLoad": tackLoad,
}).Parse(pageText))

// Write writes the verdicts of one or more build files as one page.
func Write(w io.Writer, reports []*verdict.Report) error {
	data := struct {
		Title   string
		Style   template.CSS
		Reports []sheet
	}{"NO-GO", template.CSS(styleText + colours() + svg.Style), nil}
	if verdict.ExitCode(reports...) == 0 {
		data.Title = "GO"
	}
	for _, r := range reports {
		data.Title += ": " + name(r)
		data.Reports = append(data.Reports, newSheet(r))
	}
	var b bytes.Buffer
	if err := page.Execute(&b, data); err != nil {
		return err
	}
	_, err := io.WriteString(w, plain.Lines(b.String()))
	return err
}

// colours is the style sheet's palette, that of the pictures.
func colours() string {
	root := func(p svg.Palette) string {
		return ":root{--paper:" + p.Paper + ";--ink:" + p.Ink + ";--quiet:" + p.Quiet + ";--bad:" + p.Bad + ";--warn:" + p.Warn + ";--good:" + p.Good + ";--line:" + p.Line + "}"
	}
	return root(svg.Light) + "\n@media screen and (prefers-color-scheme:dark){" + root(svg.Dark) + "}\n"
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

// force prints the force in a link, if there is one.
func force(f *verdict.Figure) string {
	if f == nil {
		return "not computed"
	}
	return svg.Force(*f)
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

// tone is the class of an outcome.
func tone(o verdict.Outcome) string {
	switch o {
	case verdict.Stop, verdict.Error:
		return "bad"
	case verdict.NotRecorded, verdict.Caution:
		return "warn"
	}
	return ""
}

// reaction prints a figure that may not have been computed.
func reaction(f *verdict.Figure) string {
	if f == nil {
		return "not computed"
	}
	return plain.Shown(*f)
}

// letsGo words what happens when an item lets go. What goes where says how it
// comes out as well.
func letsGo(fate, goes string) string {
	return cmp.Or(goes, fate, "not computed")
}

// forces words the range of a load and its parts.
func forces(l verdict.Load) string {
	var text []string
	for _, part := range []struct {
		name string
		f    *verdict.Figure
	}{{"pull", l.Tension}, {"push", l.Compression}, {"along", l.Axial}, {"across", l.Radial}} {
		if part.f != nil {
			text = append(text, part.name+" "+plain.Shown(*part.f))
		}
	}
	return strings.Join(text, ", ")
}

// tackLoad words what a weld does in a move.
func tackLoad(t verdict.TackMove) string {
	text := "carries " + t.Carries
	if t.Carries == "" {
		text = "nobody can say yet"
	}
	if t.Load != nil {
		text += ", " + plain.Shown(*t.Load)
	}
	if t.WouldBear != nil {
		text += "; by the numbers it would bear " + plain.Shown(*t.WouldBear)
	}
	if t.Blocks {
		text += "; HOLDS THE MOVE"
	}
	return text
}
