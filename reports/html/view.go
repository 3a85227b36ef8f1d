package html

import (
	"cmp"
	"math"
	"slices"

	"setdown/reports/plain"
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
	Stopping []group
	Missing  []toLook
	Lead     string
	Waived   []verdict.Finding
	Soft     []plain.Brief
	Notes    []plain.Brief
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

// toLook is the items of one place of which facts are not recorded.
type toLook struct {
	Place string
	Items []plain.Item
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
	v := move{Move: m, Title: cmp.Or(m.Title, m.Kind), Waived: m.Of(verdict.Waived), Assumed: len(r.Assumed) > 0, Usual: r.Cautions}
	v.Stopping, v.Missing = byPlace(m.Stopping()), lookByPlace(m.Unrecorded())
	v.Soft, v.Notes = plain.Briefly(plain.Soft(m)), plain.Briefly(m.Of(verdict.Note))
	v.Counts, v.Lead = plain.Tally(m), plain.Lead(m)
	for i := range m.Steps {
		st := &m.Steps[i]
		v.Steps = append(v.Steps, step{Step: *st, Number: i + 1, Plan: svg.Plan(st), Side: svg.Side(st)})
	}
	v.Corners = corners(m)
	v.Workings = s.workings(m)
	return v
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

// lookByPlace groups the items to be looked at by place.
func lookByPlace(list []verdict.Finding) []toLook {
	var groups []toLook
	for _, item := range plain.ToLook(list) {
		i := len(groups) - 1
		if i < 0 || groups[i].Place != item.Place {
			i++
			groups = append(groups, toLook{Place: item.Place})
		}
		groups[i].Items = append(groups[i].Items, item)
	}
	return groups
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
