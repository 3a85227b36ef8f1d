package html

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"setdown/reports/svg"
	"setdown/rules/verdict"
)

// sheet is a report as the page shows it.
type sheet struct {
	*verdict.Report
	Name    string
	Several bool // moves
	Moves   []move
	Methods []method
}

// move is a move with its findings in the groups of the page.
type move struct {
	*verdict.Move
	Title    string
	Counts   string
	First    *verdict.Job
	Holding  []group
	Missing  []group
	Waived   []verdict.Finding
	Soft     []brief
	Notes    []brief
	Steps    []step
	Corners  []corner
	Workings []comparison
	Assumed  bool
	Usual    []string
}

// step is a step with its pictures.
type step struct {
	verdict.Step
	Number     int
	Plan, Side svg.Picture
}

// corner is the view of one place in the step in which it bears the most.
type corner struct {
	Place, Step string
	View        svg.Picture
	Members     []verdict.OutlineMember
	Joints      []verdict.OutlineJoint
}

// group is the findings of one place.
type group struct {
	Place string
	List  []verdict.Finding
}

// brief is the findings of one rule that do not block: the first in full.
type brief struct {
	Mark, Text, Rule string
	Also             []string
}

// method is how strengths were computed, told once for all that share it.
type method struct {
	Number      int
	Method      string
	Source      string
	Assumptions []string
}

// comparison is a strength with the number of its method.
type comparison struct {
	Of     verdict.Strength
	Number int
}

func newSheet(r *verdict.Report) sheet {
	s := sheet{Report: r, Name: name(r), Several: len(r.Moves) > 1}
	for i := range r.Moves {
		s.Moves = append(s.Moves, s.newMove(r, &r.Moves[i]))
	}
	return s
}

func (s *sheet) newMove(r *verdict.Report, m *verdict.Move) move {
	v := move{Move: m, Title: cmp.Or(m.Title, m.Kind), Waived: m.Of(verdict.Waived), Notes: briefly(m.Of(verdict.Note)), Assumed: len(r.Assumed) > 0, Usual: r.Cautions}
	var holds, missing, soft []verdict.Finding
	for _, f := range m.Findings {
		switch {
		case f.Blocks() && f.Outcome == verdict.NotRecorded:
			missing = append(missing, f)
		case f.Blocks():
			holds = append(holds, f)
		case f.Outcome == verdict.Caution || f.Outcome == verdict.NotRecorded:
			soft = append(soft, f)
		}
	}
	v.Holding, v.Missing = byPlace(holds), byPlace(missing)
	v.Soft = briefly(soft)
	v.Counts = counts(len(holds), len(missing))
	if jobs := r.Punch(m.ID).Jobs; len(jobs) > 0 {
		v.First = &jobs[0]
	}
	for i := range m.Steps {
		st := &m.Steps[i]
		v.Steps = append(v.Steps, step{Step: *st, Number: i + 1, Plan: svg.Plan(st), Side: svg.Side(st)})
	}
	v.Corners = corners(m)
	v.Workings = s.workings(m)
	return v
}

func counts(holds, missing int) string {
	var list []string
	for _, c := range []struct {
		n         int
		one, many string
	}{{holds, "finding holds it", "findings hold it"}, {missing, "fact is not recorded", "facts are not recorded"}} {
		switch {
		case c.n == 1:
			list = append(list, "1 "+c.one)
		case c.n > 1:
			list = append(list, fmt.Sprintf("%d %s", c.n, c.many))
		}
	}
	return strings.Join(list, ", ")
}

// byPlace groups findings by place, in the order in which places come up.
func byPlace(list []verdict.Finding) []group {
	var groups []group
	for _, f := range list {
		i := slices.IndexFunc(groups, func(g group) bool { return g.Place == f.Place })
		if i < 0 {
			i = len(groups)
			groups = append(groups, group{Place: f.Place})
		}
		groups[i].List = append(groups[i].List, f)
	}
	return groups
}

// briefly puts the findings of one rule and outcome together.
func briefly(list []verdict.Finding) []brief {
	type key struct {
		rule    string
		outcome verdict.Outcome
	}
	at := map[key]int{}
	var briefs []brief
	for _, f := range list {
		k := key{f.Rule, f.Outcome}
		if i, seen := at[k]; seen {
			briefs[i].Also = append(briefs[i].Also, f.Item)
			continue
		}
		at[k] = len(briefs)
		b := brief{Text: f.Say, Rule: f.Rule}
		switch f.Outcome {
		case verdict.Caution:
			b.Mark = "!"
		case verdict.NotRecorded:
			b.Mark, b.Text = "?", f.Item+": not recorded: "+strings.Join(facts(f), "; ")
		}
		briefs = append(briefs, b)
	}
	return briefs
}

// facts names the facts that a finding needs.
func facts(f verdict.Finding) []string {
	var list []string
	for _, m := range f.Missing {
		list = append(list, cmp.Or(m.Path, m.Reason))
	}
	return list
}

// corners draws every place once, in the step in which a member or joint of it
// passes the most.
func corners(m *verdict.Move) []corner {
	var places []string
	most := map[string]float64{}
	where := map[string]*verdict.Step{}
	for i := range m.Steps {
		s := &m.Steps[i]
		for _, place := range svg.Places(s) {
			if !slices.Contains(places, place) {
				places = append(places, place)
			}
			if f := hardest(s.Outline, place); where[place] == nil || f > most[place] {
				most[place], where[place] = f, s
			}
		}
	}
	var list []corner
	for _, place := range places {
		s := where[place]
		c := corner{Place: place, Step: s.Name, View: svg.Corner(s, place)}
		for _, member := range s.Outline.Members {
			if member.Place == place {
				c.Members = append(c.Members, member)
			}
		}
		for _, joint := range s.Outline.Joints {
			if joint.Place == place {
				c.Joints = append(c.Joints, joint)
			}
		}
		list = append(list, c)
	}
	return list
}

// hardest is the greatest force at a place; 0 when none was computed.
func hardest(o *verdict.Outline, place string) float64 {
	most := 0.0
	for _, m := range o.Members {
		if m.Place == place && m.Force != nil {
			most = max(most, math.Abs(m.Force.Value))
		}
	}
	for _, j := range o.Joints {
		if j.Place == place && j.Force != nil {
			most = max(most, math.Abs(j.Force.Value))
		}
	}
	return most
}

// workings lists each comparison of a move once, in the step in which it is
// tightest, and numbers the methods.
func (s *sheet) workings(m *verdict.Move) []comparison {
	type key struct{ item, check string }
	at := map[key]int{}
	var list []comparison
	for _, st := range m.Steps {
		for _, strength := range st.Strengths {
			k := key{strength.Item, strength.Check}
			i, seen := at[k]
			if !seen {
				at[k] = len(list)
				list = append(list, comparison{strength, s.method(strength)})
				continue
			}
			if list[i].Of.NotComputed == "" && (strength.NotComputed != "" || strength.Utilisation > list[i].Of.Utilisation) {
				list[i] = comparison{strength, s.method(strength)}
			}
		}
	}
	return list
}

// method is the number of a strength's method in the list of methods.
func (s *sheet) method(st verdict.Strength) int {
	for _, m := range s.Methods {
		if m.Method == st.Method && m.Source == st.Source && slices.Equal(m.Assumptions, st.Assumptions) {
			return m.Number
		}
	}
	n := len(s.Methods) + 1
	s.Methods = append(s.Methods, method{n, st.Method, st.Source, st.Assumptions})
	return n
}
