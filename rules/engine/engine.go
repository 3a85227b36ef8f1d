// Package engine compiles the rules and judges facts by them.
//
// A rule is judged once for every item of its kinds, in one step of one move.
// Expressions are typed: a field that does not exist, a word that a fact never
// has, or a length compared with a torque is a mistake when the rule is
// compiled, with its place in the rule file. A fact that nobody recorded is
// unknown, and stays so through and, or and not; a rule cannot ask whether a fact
// is there. Whatever goes wrong while a rule is judged is an outcome that blocks.
//
// The package is the only one that knows the expression language. It reads no
// files, computes no facts and decides no move.
//
// The files, in the order in which they build on one another:
//
//   - values.go: quantities, dates and threads as the language has them
//   - operators.go: what may be done with them
//   - objects.go: items as the language sees them, and those of one evaluation
//   - words.go: the functions that make words in texts
//   - env.go: all that an expression may read and call
//   - tree.go: what an expression says
//   - mistakes.go: what is wrong with one
//   - slots.go: the facts that stand in one, each read at once
//   - work.go: what a rule is about, and the work it asks for
//   - compile.go: expressions and rules made ready
//   - explain.go: why a condition is false, and what is missing
//   - say.go: what a result says
//   - engine.go: the rules and the policy in force
//   - lastresort.go: what no rule judged
//   - kept.go: what rules said before an answer and say again
//   - judge.go: a step judged
//   - later.go: and judged anew on a later day
//   - probe.go: a rule looked into
package engine

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
	"sync"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
	"setdown/rules/facts"
	"setdown/rules/pack"
	"setdown/rules/verdict"
)

// Engine holds the rules and the policy in force. It is safe for concurrent use.
type Engine struct {
	packs    []*pack.Pack // those with rules
	byID     map[string]*pack.Rule
	ids      []string // sorted
	off      map[string]bool
	policy   *facts.Object
	settings []verdict.Policy
	set      verdict.RuleSet
	hash     string

	lang  *language
	mu    sync.Mutex
	units map[unitKey]*unit
	all   func() []*unit // of every rule in force, for each of its kinds
}

type unitKey struct {
	rule *pack.Rule
	kind string
}

// New puts packs together. Policy values of later packs replace those of earlier
// ones; rules that a pack switches off are not judged, and one that stops a move is
// never switched off. The builder's own rules are compiled at once, the built-in ones
// when they are first needed. The error lists every mistake as source.Errors.
func New(packs []*pack.Pack) (*Engine, error) {
	e := &Engine{byID: map[string]*pack.Rule{}, off: map[string]bool{}, units: map[unitKey]*unit{}, lang: newLanguage()}
	e.all = sync.OnceValue(e.inForce)
	errs := pack.Unique(packs)
	for _, p := range packs {
		if len(p.Rules) == 0 {
			continue
		}
		e.packs = append(e.packs, p)
		e.set.Packs = append(e.set.Packs, p.Name)
		for _, r := range p.Rules {
			if e.byID[r.ID] == nil {
				e.byID[r.ID] = r
				e.ids = append(e.ids, r.ID)
			}
			if p.Own {
				e.set.Added = append(e.set.Added, r.ID)
				errs = append(errs, e.CompileRule(r)...)
			}
		}
	}
	slices.Sort(e.ids)
	e.setPolicy(packs, &errs)
	e.switchOff(packs, &errs)
	e.set.Count = len(e.byID) - len(e.off)
	if e.set.Count == 0 && len(errs) == 0 {
		errs.Add(&source.Error{Message: "no rules are in force", Hint: "without rules everything would pass"})
	}
	e.hash = e.fingerprint()
	if err := errs.Err(); err != nil {
		return nil, err
	}
	return e, nil
}

func (e *Engine) setPolicy(packs []*pack.Pack, errs *source.Errors) {
	record := schema.NewRecord(facts.Policy.Fields, source.Span{})
	own := map[string]bool{}
	for _, p := range packs {
		for name, s := range p.Policy {
			f := record.Spelled(name)
			if f == nil {
				known := schema.Names(facts.Policy.Fields)
				errs.Add(&source.Error{Span: s.Span, Message: fmt.Sprintf("no policy value is called %q", name), Hint: source.DidYouMean(name, known, "they are "+strings.Join(known, ", "))})
				continue
			}
			v, err := facts.Parse(f, s.Text)
			if err != nil {
				errs.Add(&source.Error{Span: s.Span, Message: fmt.Sprintf("%s: %v", name, err)})
				continue
			}
			if err := facts.CheckPolicy(f.Name, v.(quantity.Quantity)); err != nil {
				errs.Add(&source.Error{Span: s.Span, Message: err.Error()})
				continue
			}
			record.Set(f.Name, schema.Value{V: v, Span: s.Span})
			own[f.Name] = p.Own
		}
	}
	for _, f := range facts.Policy.Fields {
		q, known := record.Quantity(f.Name)
		if !known {
			if len(*errs) == 0 {
				errs.Add(&source.Error{Message: fmt.Sprintf("the policy says nothing of %q", f.Name), Hint: f.Doc})
			}
			continue
		}
		e.settings = append(e.settings, verdict.Policy{Name: f.Name, Value: q.String(), Doc: f.Doc, Changed: own[f.Name]})
	}
	e.policy = facts.NewObject(facts.Policy, facts.Policy.Name, record)
}

func (e *Engine) switchOff(packs []*pack.Pack, errs *source.Errors) {
	for _, p := range packs {
		for _, d := range p.Disable {
			r := e.byID[d.ID]
			switch {
			case r == nil:
				errs.Add(&source.Error{Span: d.Span, Message: fmt.Sprintf("no rule is called %q", d.ID), Hint: source.DidYouMean(d.ID, e.ids, "'setdown rules list' shows the rules")})
			case verdict.Outcome(r.Else) == verdict.Stop || !r.Waivable:
				hint := "answer what it asks, or waive it for one item, with a name and a last day"
				if !r.Waivable {
					hint = "it protects a life: correct what it stops"
				}
				errs.Add(&source.Error{Span: d.Span, Message: fmt.Sprintf("the rule %q cannot be switched off", d.ID), Hint: hint,
					Related: []source.Related{{Span: r.Span, Message: "the rule"}}})
			case e.off[d.ID]:
				errs.Add(&source.Error{Span: d.Span, Message: fmt.Sprintf("the rule %q is switched off twice", d.ID), Hint: "keep one of the two"})
			default:
				e.off[d.ID] = true
				e.set.Disabled = append(e.set.Disabled, fmt.Sprintf("%s: %s (%s)", d.ID, d.Reason, d.By))
			}
		}
	}
}

// Packs lists the packs that hold rules, in order.
func (e *Engine) Packs() []*pack.Pack { return e.packs }

// Rule returns the rule with that id, also one that is switched off, or nil.
func (e *Engine) Rule(id string) *pack.Rule { return e.byID[id] }

// RuleIDs lists the ids of all rules, sorted.
func (e *Engine) RuleIDs() []string { return e.ids }

// Policy is the block of the policy values in force. None of them is unknown.
func (e *Engine) Policy() *facts.Object { return e.policy }

// PolicyList lists the policy values for a report.
func (e *Engine) PolicyList() []verdict.Policy { return e.settings }

// RuleSet says which rules are in force.
func (e *Engine) RuleSet() verdict.RuleSet { return e.set }

// Hash is the fingerprint of the rules and the policy in force. Two have the
// same one only when they judge alike; words and examples do not count.
func (e *Engine) Hash() string { return e.hash }

func (e *Engine) fingerprint() string {
	h := sha256.New()
	for _, id := range e.ids {
		if r := e.byID[id]; !e.off[id] {
			fmt.Fprintf(h, "rule %q %q %q %q %q %q %q %t\n", r.ID, r.Each, r.Var, r.In, strings.TrimSpace(r.When.Text), strings.TrimSpace(r.Must.Text), r.Else, r.Waivable)
		}
	}
	for _, s := range e.settings {
		fmt.Fprintf(h, "policy %q %q\n", s.Name, s.Value)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// Cautions are the words of caution of the packs in found, in order.
func (e *Engine) Cautions(found map[string]bool) []string {
	var list []string
	for _, p := range e.packs {
		if found[p.Name] && p.Caution != "" {
			list = append(list, p.Caution)
		}
	}
	return list
}

// unit returns the compiled form of a rule for a kind, which may not be compiled
// yet.
func (e *Engine) unit(r *pack.Rule, kind string) *unit {
	e.mu.Lock()
	defer e.mu.Unlock()
	key := unitKey{r, kind}
	u := e.units[key]
	if u == nil {
		u = newUnit(e.lang, r, kind)
		e.units[key] = u
	}
	return u
}

// inForce lists every rule in force, for each of its kinds.
func (e *Engine) inForce() []*unit {
	var units []*unit
	for _, p := range e.packs {
		for _, rule := range p.Rules {
			for _, kind := range kindsOf(rule) {
				if !e.off[rule.ID] {
					units = append(units, e.unit(rule, kind))
				}
			}
		}
	}
	return units
}

// CompileRule compiles one rule for all of its kinds and tells what is wrong
// with it. The rule need not be one of the engine's.
func (e *Engine) CompileRule(r *pack.Rule) source.Errors {
	errs := checkKinds(r)
	if len(errs) > 0 {
		return errs
	}
	for _, kind := range kindsOf(r) {
		u := e.unit(r, kind)
		_, of := u.conditions()
		of = append(of, u.readyTexts()...)
		if len(r.Each) > 1 {
			for i, err := range of {
				c := *err
				c.Message = "for " + kind + ": " + c.Message
				of[i] = &c
			}
		}
		errs = append(errs, of...)
	}
	return errs.Sorted()
}

// checkKinds reports kinds of item and of move that do not exist.
func checkKinds(r *pack.Rule) source.Errors {
	var errs source.Errors
	var kinds []string
	for _, k := range facts.Kinds() {
		if !k.Single && k.Name != "moves" && k.Name != "steps" {
			kinds = append(kinds, k.Name)
		}
	}
	for _, k := range r.Each {
		if slices.Contains(kinds, k) {
			continue
		}
		hint := source.DidYouMean(k, kinds, "kinds: "+strings.Join(kinds, ", "))
		if facts.KindOf(k) != nil {
			hint = "there is only one at a time: leave out each and read it as step, move, vehicle or site"
		}
		errs.Add(&source.Error{Span: r.At("each"), Message: fmt.Sprintf("%q is no kind of item that a rule is asked of", k), Hint: hint})
	}
	moves := facts.KindOf("moves").Field("kind").Enum
	for _, m := range r.In {
		if !slices.Contains(moves, m) {
			errs.Add(&source.Error{Span: r.At("in"), Message: fmt.Sprintf("%q is no kind of move", m), Hint: source.DidYouMean(m, moves, "kinds: "+strings.Join(moves, ", "))})
		}
	}
	return errs
}
