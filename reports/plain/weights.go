package plain

import (
	"strings"

	"setdown/rules/verdict"
)

// Weights says what the springs put on each wheel, and what scales read there; it is empty where
// neither is known.
func (u Figures) Weights(s *verdict.Step) string {
	var by, read []string
	for _, r := range s.Supports {
		if r.Sprung != nil {
			by = append(by, Line(r.ID)+" "+u.Shown(*r.Sprung))
		}
		if r.Scale != nil {
			read = append(read, Line(r.ID)+" "+u.Shown(*r.Scale))
		}
	}
	var words []string
	if by != nil {
		words = append(words, "on its springs: "+strings.Join(by, ", "))
	}
	if s.Cross != nil {
		words = append(words, "cross weight "+s.Cross.String())
	}
	if read != nil {
		words = append(words, "scales read "+strings.Join(read, ", "))
	}
	return strings.Join(words, "; ")
}
