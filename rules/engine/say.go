package engine

import (
	"fmt"
	"slices"
	"strings"

	"github.com/google/cel-go/common/types"
	"github.com/google/cel-go/common/types/ref"

	"setdown/model/quantity"
	"setdown/rules/pack"
	"setdown/rules/verdict"
)

// words fills the texts of a result that is no pass.
func (u *unit) words(res *Result, r *roots) {
	if errs := u.readyTexts(); len(errs) > 0 {
		res.Outcome, res.Err = verdict.Error, errs.Err()
		return
	}
	if res.Outcome == verdict.NotRecorded {
		u.askFor(res, r)
		return
	}
	words, _ := u.rule.Words()
	res.Say, res.Fix = u.fill(words.Say.Parts, r), u.fill(words.Fix.Parts, r)
	w := words.Work
	if w == nil {
		return
	}
	res.Work = &verdict.Work{Phase: w.Phase, Do: res.Fix}
	if w.Do != nil {
		res.Work.Do = u.fill(w.Do.Parts, r)
	}
	if w.Buy != nil {
		res.Work.Part, res.Work.Quantity = u.fill(w.Buy.Parts, r), 1
		if w.Count != nil {
			if n, ok := u.eval(w.Count, r).(types.Int); ok {
				res.Work.Quantity = int(n)
			}
		}
		res.Work.With, res.Work.Thread, res.Work.Class = u.known(w.With, r), u.known(w.Thread, r), u.known(w.Class, r)
		if res.Work.Quantity <= 0 {
			res.Work.Part, res.Work.Quantity, res.Work.With = "", 0, ""
		}
	}
	for _, s := range w.Sets {
		// A value that is not known cannot be what the file will say.
		if value, known := u.value(s.Value.Parts, r, r.show); known {
			res.Work.Set = append(res.Work.Set, verdict.Value{Name: r.pathOf(s.Path), Value: value})
		}
	}
}

// mostAsked is how many facts a line asks for; reports list them all.
const mostAsked = 3

// askFor words a result that waits for facts: what to write down, not what
// would be wrong.
func (u *unit) askFor(res *Result, r *roots) {
	subject := r.move.facts.Path
	if r.item != nil {
		subject = r.item.facts.Path
	}
	_, id, _ := strings.Cut(subject, ".")
	var asked, reasons []string
	for _, m := range res.Missing {
		what := m.Doc
		if what == "" {
			what = m.Path
		}
		switch {
		case m.Path == "":
			reasons = append(reasons, m.Reason)
		case !strings.HasPrefix(m.Path, subject+"."):
			asked = append(asked, what+" ("+m.Path+")")
		default:
			asked = append(asked, what)
		}
	}
	asked = slices.Compact(asked)
	if more := len(asked) - mostAsked; more > 0 {
		asked = append(asked[:mostAsked], fmt.Sprintf("and %d more", more))
	}
	if len(asked) == 0 {
		res.Say = id + ": not known: " + strings.Join(reasons, "; ")
		res.Fix = "find out another way, or change what prevents the computation: " + strings.Join(reasons, "; ")
	} else {
		res.Say = id + ": not recorded: " + strings.Join(asked, "; ")
		res.Fix = "look or measure, and write down: " + strings.Join(asked, "; ")
	}
	res.Work = &verdict.Work{Phase: "record", Do: res.Fix}
}

// fill prints a template.
func (u *unit) fill(parts []pack.Part, r *roots) string {
	text, _ := u.value(parts, r, r.say)
	return text
}

// known prints a template of which everything is known, and nothing of another or none.
func (u *unit) known(t *pack.Template, r *roots) string {
	if t == nil {
		return ""
	}
	text, known := u.value(t.Parts, r, r.say)
	if !known {
		return ""
	}
	return text
}

// value prints a template and says whether everything in it is known. Two values of a text
// that differ are never printed alike.
func (u *unit) value(parts []pack.Part, r *roots, print func(ref.Val) string) (text string, known bool) {
	known = true
	values := make([]ref.Val, len(parts))
	printed := map[string]ref.Val{}
	for i, p := range parts {
		if p.Expr == nil {
			continue
		}
		v := u.eval(p.Expr, r)
		values[i] = v
		known = known && !types.IsUnknownOrError(v)
		if other, seen := printed[print(v)]; seen && !types.IsUnknownOrError(v) && v.Equal(other) != types.True {
			print = r.exactly
		}
		printed[print(v)] = v
	}
	var b strings.Builder
	for i, p := range parts {
		if p.Expr == nil {
			b.WriteString(p.Text)
		} else {
			b.WriteString(print(values[i]))
		}
	}
	return b.String(), known
}

// say prints a value in a text.
func (r *roots) say(v ref.Val) string {
	if a, ok := v.(*amount); ok {
		return a.in(r.units)
	}
	return r.show(v)
}

// in prints a quantity: what is computed in the builder's measures, no finer than anybody
// measures it; what is written as it is written.
func (a *amount) in(units quantity.System) string {
	if a.written {
		return units.Written(a.q)
	}
	return units.Say(a.q)
}

// eval evaluates an expression of a text. An error only shows in the text: the
// outcome is settled by then.
func (u *unit) eval(e *pack.Expr, r *roots) ref.Val { return run(u.texts[e].plain, r) }
