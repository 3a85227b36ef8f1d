package jsonr

import (
	"io"

	"setdown/rules/verdict"
)

// Travel writes what the suspension does; the fields are those of verdict.Travel.
func Travel(w io.Writer, t *verdict.Travel) error { return encode(w, t) }

// Height writes how the vehicle stands; the fields are those of verdict.Height.
func Height(w io.Writer, h *verdict.Height) error { return encode(w, h) }
