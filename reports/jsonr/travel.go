package jsonr

import (
	"encoding/json"
	"io"

	"setdown/rules/verdict"
)

// Travel writes what the suspension does; the fields are those of verdict.Travel.
func Travel(w io.Writer, t *verdict.Travel) error { return indented(w, t) }

// Height writes how the vehicle stands; the fields are those of verdict.Height.
func Height(w io.Writer, h *verdict.Height) error { return indented(w, h) }

func indented(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}
