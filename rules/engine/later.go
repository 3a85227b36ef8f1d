package engine

import (
	"context"
	"slices"

	"github.com/google/cel-go/common/ast"

	"setdown/rules/facts"
	"setdown/rules/verdict"
)

// Later judges a step anew on a later day by the rules that read something that hangs on the day,
// as the facts of today tell, and by no others. It returns what does not pass then, with what did
// not pass today and hangs on no day. What no rule spoke of is taken to be the same on both days:
// the one built-in rule that is no longer asked as days pass reads nothing but ages.
func (e *Engine) Later(ctx context.Context, today, later *facts.Set, judged []Result) []Result {
	r := newRoots(today)
	units := slices.DeleteFunc(e.wanted(today), func(u *unit) bool { return !u.ages(today, r) })
	again := map[unitKey]bool{}
	for _, u := range units {
		again[unitKey{u.rule, u.scope.kind}] = true
	}
	var results []Result
	for _, j := range judged {
		key := unitKey{rule: j.Rule}
		if j.Item != nil {
			key.kind = j.Item.Kind
		}
		if j.Outcome != verdict.Pass && !again[key] {
			results = append(results, j)
		}
	}
	for _, j := range e.judge(ctx, units, later) {
		if j.Outcome != verdict.Pass {
			results = append(results, j)
		}
	}
	return results
}

// ages reports whether, of any item, the rule was judged by something that hangs on the day.
func (u *unit) ages(set *facts.Set, r *roots) bool {
	var conditions []*program
	for _, p := range []*part{&u.when, &u.must} {
		if p.isReady.Load() { // else nothing was judged by it
			condition, _ := p.ready()
			conditions = append(conditions, condition)
		}
	}
	if u.scope.kind == "" {
		return agesFor(conditions, r)
	}
	r.item = &object{kind: kindOf()[u.scope.kind]}
	return slices.ContainsFunc(set.Items[u.scope.kind], func(o *facts.Object) bool {
		r.item.facts = o
		return agesFor(conditions, r)
	})
}

func agesFor(conditions []*program, r *roots) bool {
	return slices.ContainsFunc(conditions, func(p *program) bool {
		return p != nil && (p.today() || slices.ContainsFunc(p.reads(), func(s *slot) bool {
			o, i := s.fact(r)
			return o.Ages(i)
		}))
	})
}

// names reports whether a variable stands in a checked expression.
func names(tree *ast.AST, variable string) bool {
	found := false
	ast.PreOrderVisit(tree.Expr(), ast.NewExprVisitor(func(n ast.Expr) {
		found = found || n.Kind() == ast.IdentKind && n.AsIdent() == variable
	}))
	return found
}
