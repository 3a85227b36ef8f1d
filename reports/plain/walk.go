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
	if len(l.Of) > 0 {
		text = Names(l.Of) + ": " + text
	}
	if l.Still != "" {
		text += " still"
	}
	if l.Good != "" {
		text += " " + l.Good
	} else if len(l.Words) > 0 {
		text += " " + strings.Join(l.Words, ", ")
	}
	if l.Drawn != "" && l.Drawn != l.Good {
		text += " (drawn " + l.Drawn + strings.TrimSuffix(" = "+l.Own, " = ") + ")"
	}
	return text
}

// Was is what was found wrong and stands.
func Was(f verdict.HistoryFact) string {
	return fmt.Sprintf("%s, %s: %s (%s, %s). Mended?", f.Item, Spoken(f.Fact), f.Value, f.By, f.When)
}

// StillOpen says of faults that answers did not end what would.
func StillOpen(faults []verdict.HistoryFact) string {
	var said []string
	for _, f := range faults {
		said = append(said, fmt.Sprintf("%s %s: %s, %s %s", f.Item, Spoken(f.Fact), f.Value, f.By, f.When))
	}
	return "Still open, for a fault ends by a later look at that one alone: " + strings.Join(said, "; ")
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
	switch first := len(r.First); {
	case first > 0:
		parts = append(parts, firstFacts(first, r.Facts))
	case r.Facts > 0:
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
		return readFirst(r.Cautions)
	}
	var parts []string
	if r.Stops > 0 {
		parts = append(parts, Count(r.Stops, "stops it", "stop it"))
	}
	if n := len(r.First); n > 0 {
		parts = append(parts, fmt.Sprintf("%d to write down first", n))
	}
	if n, _ := r.Questions(); n > 0 {
		parts = append(parts, fmt.Sprintf("%d to look at", n))
	}
	if n := len(r.Written); n > 0 && len(r.First) == 0 {
		parts = append(parts, fmt.Sprintf("%d to write down", n))
	}
	return strings.Join(parts, ", ")
}

// First lists what the loads wait for, alike things together, and in one line what may follow.
func First(r *verdict.Round) (list []Look, then string) {
	if len(r.First) == 0 {
		return nil, ""
	}
	_, may := r.Questions()
	return looks(firstFindings(r.Move, r.First, nil), Names), fmt.Sprintf("Then it is known what carries, and what else is asked: so far that may be %s and %d more to write down.", Count(may, "question", "questions"), max(0, len(r.Written)-len(r.First)))
}

// ToWrite lists what no look answers, all of one thing in one line.
func ToWrite(r *verdict.Round) []string {
	var lines []string
	for from := 0; from < len(r.Written); {
		of, to := writtenAt(r.Written[from].Path), from
		same := true
		var keys, all []string
		for ; to < len(r.Written) && writtenAt(r.Written[to].Path) == of; to++ {
			m := r.Written[to]
			key := strings.TrimPrefix(m.Path, of+".")
			same = same && question(m) == question(r.Written[from])
			keys, all = append(keys, key), append(all, key+" ("+question(m)+")")
		}
		if same && len(keys) > 1 {
			all = []string{strings.Join(keys, ", ") + " (" + question(r.Written[from]) + ")"}
		}
		lines, from = append(lines, of+": "+strings.Join(all, "; ")), to
	}
	return lines
}

// writtenAt is the item of a path with its heading, or the heading alone where it has no items.
func writtenAt(path string) string {
	parts := strings.SplitN(path, ".", 3)
	return strings.Join(parts[:min(len(parts)-1, 2)], ".")
}

// Cautions counts the cautions of a move as its sheet lists them.
func Cautions(m *verdict.Move) int {
	stated, asked := cautions(m, Names)
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

// OnPaper are the questions of a screen as a sheet asks them: several words about the same things
// stand under one row of boxes. What is critical has boxes of its own, and so has a figure; of the
// vehicle, the floor and the people each answer is written. What was found wrong is said once, over the
// boxes of what asks whether it is mended.
func OnPaper(s *verdict.Screen) []verdict.Question {
	word := func(q *verdict.Question) bool {
		return q.Fact != "" && len(q.Lines[0].Words) > 0 && !q.Each && !q.Around && len(q.Was) == 0
	}
	var rows []verdict.Question
	said := map[verdict.HistoryFact]bool{}
	for _, q := range s.Questions {
		if last := len(rows) - 1; last >= 0 && word(&q) && word(&rows[last]) && slices.Equal(q.Of, rows[last].Of) {
			rows[last].Lines = append(slices.Clip(rows[last].Lines), q.Lines...)
			continue
		}
		q.Was = slices.DeleteFunc(slices.Clone(q.Was), func(f verdict.HistoryFact) bool { return said[f] || q.Line(f.Fact) == nil && asks(s, f) })
		for _, f := range q.Was {
			said[f] = true
		}
		rows = append(rows, q)
	}
	return rows
}

// asks reports whether a question of a screen asks again what was found wrong.
func asks(s *verdict.Screen, was verdict.HistoryFact) bool {
	return slices.ContainsFunc(s.Questions, func(q verdict.Question) bool { return slices.Contains(q.Was, was) && q.Line(was.Fact) != nil })
}

// Defect is one way of not being good.
type Defect struct {
	Fact, Words string
	Say         string   // the value; empty where a figure is asked for
	Of          []string // the items that can have it; empty where all of the question can
}

// Faults turns the lines of a card round, in the order of the card, and after them those that
// are not asked again. Of a word that is no more what it was any other is one.
func Faults(q *verdict.Question) []Defect {
	var list []Defect
	for _, l := range slices.Concat(q.Lines, q.Kept) {
		for _, word := range l.Words {
			if slices.Contains(l.Bad, word) || l.Still != "" && word != l.Still {
				list = append(list, Defect{l.Fact, l.Ask + " " + word, word, l.Of})
			}
		}
		if len(l.Words) == 0 {
			list = append(list, Defect{l.Fact, l.Ask + " (the figure behind the number)", "", l.Of})
		}
	}
	return list
}
