package engine

import (
	"fmt"
	"slices"
	"strings"

	"setdown/model/schema"
	"setdown/model/source"
	"setdown/rules/facts"
	"setdown/rules/pack"
	"setdown/rules/verdict"
)

// checkWork reports what is wrong with the work of a rule: a phase that the
// punch list does not have, and values that a build file does not hold.
func (u *unit) checkWork(w *pack.Work) {
	if w == nil {
		return
	}
	fail := func(span source.Span, hint, format string, args ...any) {
		u.textErrs.Add(&source.Error{Span: span, Message: fmt.Sprintf(format, args...), Hint: hint})
	}
	if !slices.Contains(verdict.Phases, w.Phase) {
		fail(w.Span, source.DidYouMean(w.Phase, verdict.Phases, "phases: "+strings.Join(verdict.Phases, ", ")), "%q is not a phase of work", w.Phase)
	}
	for _, s := range w.Sets {
		f := u.recorded(s.Path)
		if f == nil {
			fail(s.Span, "", "a build file holds no %q here", s.Path)
			continue
		}
		if s.Value.Plain() {
			if _, err := facts.Parse(f, s.Value.String()); err != nil {
				fail(s.Value.Span, "", "%s: %v", s.Path, err)
			}
		}
	}
}

// recorded finds the field of the build file that a path of sets names, or nil.
func (u *unit) recorded(path string) *schema.Field {
	kind, rest := u.scope.kind, path
	if head, below, nested := strings.Cut(path, "."); nested && (head == "move" || head == "site" || head == "vehicle") {
		kind, rest = shared[head], below
	} else if kind == "" {
		kind = shared["move"]
	}
	fields := facts.KindOf(kind).Fields
	var found *schema.Field
	for name := range strings.SplitSeq(rest, ".") {
		i := slices.IndexFunc(fields, func(f schema.Field) bool { return f.Name == name && !f.Derived })
		if i < 0 {
			return nil
		}
		found = &fields[i]
		fields = found.Fields
	}
	return found
}

// pathOf is the path in the build file of what a path of sets names.
func (r *roots) pathOf(path string) string {
	head, rest, nested := strings.Cut(path, ".")
	switch {
	case nested && (head == "site" || head == "vehicle"):
		return path
	case nested && head == "move":
		return r.move.facts.Path + "." + rest
	case r.item == nil:
		return r.move.facts.Path + "." + path
	}
	return r.item.facts.Path + "." + path
}

// kindsOf lists the kinds that a rule is asked of; one empty kind for a rule
// that is asked once a step.
func kindsOf(r *pack.Rule) []string {
	if len(r.Each) == 0 {
		return []string{""}
	}
	return r.Each
}

// isAbout reports whether a rule is asked in moves of this kind. A kind that is
// not known may be any.
func isAbout(r *pack.Rule, move *facts.Object) bool {
	kind, unknown := move.Get("kind")
	return len(r.In) == 0 || unknown != nil || slices.Contains(r.In, kind.(string))
}
