package plain

import (
	"strings"

	"setdown/rules/verdict"
)

// anotherWay words the way that has less left to do than a move that is stopped; it is
// empty where none was found.
func anotherWay(m *verdict.Move, called Naming) string {
	w := m.Another
	if w == nil {
		return ""
	}
	var how []string
	add := func(list []string, text string) {
		if len(list) > 0 {
			how = append(how, strings.ReplaceAll(text, "%s", called(list)))
		}
	}
	add(w.Stands, "on %s under the frame")
	var tied, bare []string
	for _, s := range w.Straps {
		if s.With != "" {
			tied = append(tied, s.With)
		} else {
			bare = append(bare, Spoken(s.Up))
		}
	}
	add(tied, "tied up with %s")
	if len(bare) > 0 {
		how = append(how, strings.Join(bare, ", ")+" tied up to the frame with a strap"+each(bare)+" that the file does not have yet")
	}
	add(w.Off, "%s taken off first")
	text := strings.Join(how, ", ")
	switch {
	case len(how) == 0:
		text = w.As
		if w.Title != "" {
			text += ", " + w.Title
		}
	case w.As != "":
		text += ", as in " + w.As
	}
	return text + ": " + remains(w)
}

// onceDone says what is left of a move when its work list is done as it says; it is empty
// where that was not tried.
func onceDone(m *verdict.Move) string {
	if m.Done == nil {
		return ""
	}
	if m.Done.Decision == verdict.Go {
		return "Once that is done: " + remains(m.Done) + "."
	}
	return "Once that is done, still left: " + left(m.Done) + "."
}

func each(list []string) string {
	if len(list) > 1 {
		return " each"
	}
	return ""
}

// remains says what of a way is left to do.
func remains(w *verdict.Way) string {
	if w.Decision == verdict.Go {
		text := "GO"
		if w.Jobs > 0 {
			text = "GO after " + Count(w.Jobs, "job", "jobs")
		}
		if w.Cautions > 0 {
			text += ", " + Count(w.Cautions, "caution", "cautions")
		}
		return text
	}
	return "it waits for " + left(w) + ", as far as is known"
}

// left counts what of a way is left to do and to look at.
func left(w *verdict.Way) string {
	var parts []string
	if w.Jobs > 0 {
		parts = append(parts, Count(w.Jobs, "job", "jobs"))
	}
	if w.Facts > 0 {
		parts = append(parts, Count(w.Facts, "answer", "answers"))
	}
	return strings.Join(parts, " and ")
}
