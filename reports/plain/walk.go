package plain

import (
	"fmt"
	"slices"
	"strings"

	"setdown/rules/verdict"
)

// Where names a screen of a walk-round, such as 'Front left' or 'Body: frame node'.
func Where(s *verdict.Screen) string {
	names := slices.DeleteFunc([]string{Spoken(Line(s.Place)), Line(s.Spot)}, func(name string) bool { return name == "" })
	return Capital(strings.Join(names, ": "))
}

// CardLine is one question with its good answer, or the words to choose from.
func CardLine(l verdict.Line) string {
	text := l.Ask
	if l.Good != "" {
		text += " " + l.Good
	} else if len(l.Words) > 0 {
		text += " " + strings.Join(l.Words, ", ")
	}
	if l.Drawn != "" && l.Drawn != l.Good {
		text += " (drawn " + l.Drawn + ")"
	}
	return text
}

// Was is what was found wrong and stands.
func Was(f verdict.HistoryFact) string {
	return fmt.Sprintf("%s: %s found %s %s on %s. Mended?", f.Item, f.By, Spoken(f.Fact), f.Value, f.When)
}

// Standing says how a move stands on the round, in one line.
func Standing(r *verdict.Round) string {
	if r.Decision == verdict.Go {
		return "nothing recorded stops it. " + Count(r.Cautions, "caution", "cautions") + ". This is not permission."
	}
	var parts []string
	if r.Stops > 0 {
		parts = append(parts, Count(r.Stops, "stop", "stops"))
	}
	if r.Facts > 0 {
		parts = append(parts, Count(r.Facts, "fact", "facts")+" to look at or write down")
	}
	return strings.Join(parts, ", ") + ". Do not make it."
}

// Strip says how a move stands in a few words, to be read beside its decision.
func Strip(r *verdict.Round) string {
	if r.Decision == verdict.Go {
		if r.Cautions == 0 {
			return "nothing recorded stops it"
		}
		return "read the " + Count(r.Cautions, "caution", "cautions") + " first"
	}
	var parts []string
	if r.Stops > 0 {
		parts = append(parts, Count(r.Stops, "stops it", "stop it"))
	}
	if n := r.Questions(); n > 0 {
		parts = append(parts, fmt.Sprintf("%d to look at", n))
	}
	if n := len(r.Written); n > 0 {
		parts = append(parts, fmt.Sprintf("%d to write down", n))
	}
	return strings.Join(parts, ", ")
}

// Cautions counts the cautions of a move as its sheet lists them.
func Cautions(m *verdict.Move) int {
	stated, asked := cautions(m)
	return len(stated) + len(asked)
}

// Members names the things of a question, a group by its members where they are asked
// one by one.
func Members(q *verdict.Question) []string {
	var names []string
	for _, of := range q.Of {
		if of.Members == 1 {
			names = append(names, of.ID)
			continue
		}
		for n := 1; n <= of.Members; n++ {
			names = append(names, fmt.Sprintf("%s{%d}", of.ID, n))
		}
	}
	return names
}

// Defect is one way of not being good.
type Defect struct {
	Fact, Words string
	Say         string // the value; empty where a figure is asked for
}

// Faults turns the lines of a card round, in the order of the card.
func Faults(q *verdict.Question) []Defect {
	var list []Defect
	for _, l := range q.Lines {
		for _, bad := range l.Bad {
			list = append(list, Defect{l.Fact, l.Ask + " " + bad, bad})
		}
		if len(l.Words) == 0 {
			list = append(list, Defect{l.Fact, l.Ask + " (the figure behind the number)", ""})
		}
	}
	return list
}
