package html

import (
	_ "embed"
	"html/template"
	"io"

	"setdown/rules/verdict"
)

//go:embed cards.gohtml
var cardsText string

var cardsPage = template.Must(template.New("cards").Parse(cardsText))

// Cards writes cards for the wall, one a sheet.
func Cards(w io.Writer, cards []verdict.Card) error { return cardsPage.Execute(w, cards) }
