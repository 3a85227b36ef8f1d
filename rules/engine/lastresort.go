package engine

import (
	"slices"

	"github.com/google/cel-go/common/ast"

	"setdown/rules/facts"
	"setdown/rules/verdict"
)

// The rule of last resort: what is recorded and bad is always spoken of. A rule speaks of
// something that was found if it was asked of that item in that step and its 'must' read
// it, itself or through a computed fact. A rule that says which kinds of move it is about
// has spoken of the others; and of people, floor and the vehicle as a whole it is enough
// that a rule asks, since chocks, straps and brakes matter in some moves alone. What then
// is left is told to the rules that read facts.PassedOver, which are asked last.

// reads lists the facts that stand in a checked expression.
func reads(tree *ast.AST) []*slot {
	var list []*slot
	ast.PreOrderVisit(tree.Expr(), ast.NewExprVisitor(func(n ast.Expr) {
		if s, ok := slotOf(tree, n); ok {
			list = append(list, s)
		}
	}))
	return list
}

// fact finds the object that holds the fact of a slot, and the number of the fact in it.
func (s *slot) fact(r *roots) (*facts.Object, int) {
	o := r.item
	if s.of != nil {
		o = s.of(r)
	}
	for _, i := range s.path[:len(s.path)-1] {
		o = o.field(i).(*object)
	}
	return o.facts, o.kind.at[s.path[len(s.path)-1]]
}

// isLast reports whether the rule is about what no other rule judged.
func (u *unit) isLast() bool {
	must, errs := u.must.ready()
	return len(errs) == 0 && slices.ContainsFunc(must.reads(), func(s *slot) bool { return s.name == facts.PassedOver })
}

// last puts the questions about what no other rule judged behind all others.
func (m *scratch) last() {
	slices.SortStableFunc(m.asked, func(a, b question) int {
		switch last := a.unit.isLast(); {
		case last == b.unit.isLast():
			return 0
		case last:
			return 1
		}
		return -1
	})
}

// passOver gives every object the fact of what no rule judged.
func (e *Engine) passOver(set *facts.Set, r *roots, asked []question, results []Result) {
	about := map[*facts.Object][]int{}
	for i, q := range asked {
		if q.item != nil {
			about[q.item.facts] = append(about[q.item.facts], i)
		}
	}
	for kind, items := range set.Items {
		for _, o := range items {
			doubts := o.Doubts()
			if len(doubts) > 0 {
				s := speaking{found: o.Block("found"), spoke: map[string]bool{}, asked: map[string]bool{}}
				for _, i := range about[o] {
					r.item = asked[i].item
					s.listen(asked[i].unit, r, results[i].Outcome != verdict.NotRecorded)
				}
				r.item = newObject(o, kindOf()[kind])
				e.eachRule(func(u *unit) {
					if u.scope.kind == kind && !isAbout(u.rule, set.Move) {
						s.listen(u, r, true)
					}
				})
				doubts = s.unspoken(doubts)
			}
			o.PassOver(doubts)
		}
	}
	r.item = nil
	for _, o := range []*facts.Object{set.Vehicle, set.Site, set.Move} {
		doubts := o.Doubts()
		if len(doubts) > 0 {
			s := speaking{found: o.Block("found"), spoke: map[string]bool{}, asked: map[string]bool{}}
			e.eachRule(func(u *unit) { s.listen(u, r, true) })
			doubts = s.unspoken(doubts)
		}
		o.PassOver(doubts)
	}
}

// eachRule calls back for every rule in force, for each of its kinds.
func (e *Engine) eachRule(do func(*unit)) {
	for _, p := range e.packs {
		for _, rule := range p.Rules {
			for _, kind := range kindsOf(rule) {
				if !e.off[rule.ID] {
					do(e.unit(rule, kind))
				}
			}
		}
	}
}

// speaking is what the rules read of what was found at one object.
type speaking struct {
	found        *facts.Object
	spoke, asked map[string]bool // by field: judged; at least asked for
}

// listen notes what a rule reads. One that could not be judged only asks.
func (s *speaking) listen(u *unit, r *roots, judged bool) {
	must, errs := u.must.ready()
	if len(errs) > 0 {
		return
	}
	for _, slot := range must.reads() {
		if slot.of == nil && r.item == nil {
			continue // a fact of an item; asked is what was found at no item
		}
		o, i := slot.fact(r)
		for _, field := range o.Reads(i, s.found) {
			s.asked[field] = true
			s.spoke[field] = s.spoke[field] || judged
		}
	}
}

// unspoken leaves the doubts that no rule spoke of. What was seen on a make that is bad
// itself, and spoken of, goes with it.
func (s *speaking) unspoken(doubts []facts.Doubt) []facts.Doubt {
	left := slices.DeleteFunc(slices.Clone(doubts), func(d facts.Doubt) bool { return s.spoke[d.Name] || !d.Bad && s.asked[d.Name] })
	for _, d := range doubts {
		if d.Bad && s.spoke[d.Name] && d.Remakes != nil {
			left = slices.DeleteFunc(left, func(other facts.Doubt) bool { return len(d.Remakes) == 0 || slices.Contains(d.Remakes, other.Name) })
		}
	}
	return left
}
