package plain

import (
	"fmt"
	"strings"

	"setdown/rules/verdict"
)

// Solved says why the loads of a step were not computed, or not all of them; nothing where
// they were.
func Solved(s *verdict.Step) string {
	switch s.Solved {
	case verdict.Solved:
		return ""
	case verdict.Checklist:
		return "a checklist: no loads and no stability are computed"
	case verdict.Unrecorded:
		words := "no loads computed: not recorded " + strings.Join(s.Lacks[:min(1, len(s.Lacks))], "")
		if more := len(s.Lacks) - 1; more > 0 {
			words += fmt.Sprintf(" and %d more", more)
		}
		return words
	case verdict.NoEquilibrium:
		return "it does not stand: " + s.Reason
	case verdict.LumpWithoutJoints:
		return "taken as one solid lump: the file lists no joints, so forces inside it are not computed"
	case verdict.LumpWithoutPlaces:
		return "taken as one solid lump: the positions of joints are not recorded, so forces inside it are not computed"
	}
	return s.Reason
}
