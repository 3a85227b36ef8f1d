package html

import (
	"slices"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// workings is everything behind the verdict on a move, to be retraced by hand.
type workings struct {
	Move        *verdict.Move
	Figures     plain.Figures
	Stopping    []group
	Missing     []toLook
	Soft, Notes []plain.Brief
	Waived      []verdict.Finding
	Comparisons []comparison
	Methods     []method
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

func newWorkings(r *verdict.Report, m *verdict.Move) *workings {
	w := &workings{Move: m, Figures: plain.Figures(r.Units), Stopping: byPlace(m.Stopping()), Missing: lookByPlace(m.Unrecorded()),
		Soft: plain.Briefly(plain.Soft(m)), Notes: plain.Briefly(m.Of(verdict.Note)), Waived: m.Of(verdict.Waived)}
	w.compare(m)
	return w
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

// compare lists each comparison of a move once, in the step in which it is tightest, and
// numbers the methods.
func (w *workings) compare(m *verdict.Move) {
	type key struct{ item, check string }
	at := map[key]int{}
	for _, st := range m.Steps {
		for _, strength := range st.Strengths {
			k := key{strength.Item, strength.Check}
			i, seen := at[k]
			if !seen {
				at[k] = len(w.Comparisons)
				w.Comparisons = append(w.Comparisons, comparison{strength, w.method(strength)})
				continue
			}
			if w.Comparisons[i].Of.NotComputed == "" && (strength.NotComputed != "" || strength.Utilisation > w.Comparisons[i].Of.Utilisation) {
				w.Comparisons[i] = comparison{strength, w.method(strength)}
			}
		}
	}
}

// method is the number of a strength's method in the list of methods.
func (w *workings) method(st verdict.Strength) int {
	for _, m := range w.Methods {
		if m.Method == st.Method && m.Source == st.Source && slices.Equal(m.Assumptions, st.Assumptions) {
			return m.Number
		}
	}
	n := len(w.Methods) + 1
	w.Methods = append(w.Methods, method{n, st.Method, st.Source, st.Assumptions})
	return n
}
