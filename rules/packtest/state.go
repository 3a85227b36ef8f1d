package packtest

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
	"setdown/rules/engine"
	"setdown/rules/facts"
	"setdown/rules/pack"
	"setdown/rules/verdict"
)

// exampleID is the id of the item of every example.
const exampleID = "example"

// exampleDay is the day of every example that gives none.
var exampleDay = quantity.Date{Year: 2026, Month: 11, Day: 25}

// given is one fact that an example states.
type given struct {
	root  string   // the variable, such as "nut" or "step"
	path  []string // below it
	value any
	field *schema.Field
}

func (g given) name() string { return g.root + "." + strings.Join(g.path, ".") }

// state is what an example knows.
type state struct {
	kind  string // of the item; empty for a rule about the step
	root  string // the variable of the item
	facts []given
	base  *facts.Object // policy values in force
	today quantity.Date
}

func newState(e *engine.Engine, r *pack.Rule, kind string) *state {
	return &state{kind: kind, root: r.Var, base: e.Policy(), today: exampleDay}
}

// roots are the variables besides the item, with their kinds.
var roots = []struct{ name, kind string }{{"step", "steps"}, {"move", "moves"}, {"vehicle", "vehicle"}, {"site", "site"}, {"policy", "policy"}}

// read reads the facts of an example.
func read(e *engine.Engine, r *pack.Rule, x *pack.Example) (*state, source.Errors) {
	var errs source.Errors
	fail := func(span source.Span, hint, format string, args ...any) {
		errs.Add(&source.Error{Span: span, Message: fmt.Sprintf(format, args...), Hint: hint})
	}
	kind := ""
	switch {
	case len(r.Each) == 0 && x.Given != nil && len(x.Given.Keys) > 0:
		fail(x.Given.Span, "give the facts under with: step, move, vehicle, site", "the rule is about the step and has no item")
	case len(r.Each) == 1:
		kind = r.Each[0]
	}
	if len(r.Each) > 1 && !slices.Contains(r.Each, x.Of) {
		fail(x.Span, "write of: "+strings.Join(r.Each, " or of: "), "the rule is about several kinds, and the example does not say which")
		return nil, errs
	}
	if x.Of != "" {
		kind = x.Of
		if !slices.Contains(r.Each, x.Of) {
			fail(x.Span, "", "the rule is not about %q", x.Of)
			return nil, errs
		}
	}
	s := newState(e, r, kind)
	if x.Given != nil && kind != "" {
		s.read(given{root: r.Var}, facts.KindOf(kind).Fields, x.Given, &errs)
	}
	if x.With == nil {
		return s, errs
	}
	for _, k := range x.With.Keys {
		i := slices.IndexFunc(roots, func(r struct{ name, kind string }) bool { return r.name == k.Name })
		switch {
		case k.Name == "today":
			day, err := quantity.ParseDate(k.Value.Text)
			if err != nil {
				fail(k.Value.Span, "", "%v", err)
			}
			s.today = day
		case i < 0:
			fail(k.Span, "with holds step, move, vehicle, site, policy and today", "with has no %q", k.Name)
		default:
			s.read(given{root: k.Name}, kindOf(roots[i].kind).Fields, k.Value, &errs)
		}
	}
	return s, errs
}

func kindOf(name string) *schema.Kind {
	if name == facts.Policy.Name {
		return facts.Policy
	}
	return facts.KindOf(name)
}

// read reads the facts of a block below at.
func (s *state) read(at given, fields []schema.Field, n *pack.Node, errs *source.Errors) {
	if n.Shape != pack.Block {
		errs.Add(&source.Error{Span: n.Span, Message: "facts are given as a block", Hint: "{field: value}"})
		return
	}
	for _, k := range n.Keys {
		i := slices.IndexFunc(fields, func(f schema.Field) bool { return f.Name == k.Name })
		if i < 0 {
			names := schema.Names(fields)
			hint := source.DidYouMean(k.Name, names, "its facts: "+strings.Join(names, ", "))
			errs.Add(&source.Error{Span: k.Span, Message: fmt.Sprintf("%s has no fact %q", strings.Join(append([]string{at.root}, at.path...), "."), k.Name), Hint: hint})
			continue
		}
		f := &fields[i]
		g := given{root: at.root, path: append(slices.Clone(at.path), k.Name), field: f}
		if f.Type == schema.Object {
			s.read(g, f.Fields, k.Value, errs)
			continue
		}
		v, err := value(f, k.Value)
		switch {
		case err != nil:
			errs.Add(&source.Error{Span: k.Value.Span, Message: fmt.Sprintf("%s: %v", g.name(), err)})
		case v != nil:
			g.value = v
			s.facts = append(s.facts, g)
		}
	}
}

// value reads one fact; nil when the example says that it is not known.
func value(f *schema.Field, n *pack.Node) (any, error) {
	switch {
	case n.Shape == pack.Scalar && (n.Null || slices.Contains(schema.NotKnown, n.Text)):
		return nil, nil
	case n.Shape == pack.Scalar:
		return facts.Parse(f, n.Text)
	case n.Shape != pack.List || f.Type != schema.List:
		return nil, fmt.Errorf("it is written as a single value")
	}
	list := make([]schema.Value, len(n.Items))
	for i, item := range n.Items {
		v, err := value(f.Elem, item)
		if err != nil {
			return nil, err
		}
		if v == nil {
			return nil, fmt.Errorf("one entry is not known: leave out the whole list")
		}
		list[i] = schema.Value{V: v, Span: item.Span}
	}
	return list, nil
}

// known lists the facts that may also not be known. The policy always is, and silence
// about an event is no.
func (s *state) known() []string {
	var names []string
	for _, g := range s.facts {
		if g.root != facts.Policy.Name && g.field.Event == "" {
			names = append(names, g.name())
		}
	}
	return names
}

// set makes what the rules read, but for one fact that is left out.
func (s *state) set(without string) *facts.Set {
	set := &facts.Set{
		Step: s.object("step", "steps", "step", without), Move: s.object("move", "moves", "moves."+exampleID, without),
		Vehicle: s.object("vehicle", "vehicle", "vehicle", without), Site: s.object("site", "site", "site", without),
		Policy: s.object("policy", "policy", "policy", without),
		Items:  map[string][]*facts.Object{}, Today: s.today,
	}
	if s.kind != "" {
		set.Items[s.kind] = []*facts.Object{s.object(s.root, s.kind, s.kind+"."+exampleID, without)}
	}
	return set
}

func (s *state) object(root, kind, path, without string) *facts.Object {
	k := kindOf(kind)
	record := schema.NewRecord(k.Fields, source.Span{})
	if kind == facts.Policy.Name {
		for _, f := range k.Fields {
			q, _ := s.base.Quantity(f.Name)
			record.Set(f.Name, schema.Value{V: q})
		}
	}
	var derived []given
	for _, g := range s.facts {
		switch {
		case g.root != root || g.name() == without:
		case g.field.Derived:
			derived = append(derived, g)
		default:
			set(record, g.path, g.value)
		}
	}
	o := facts.NewObject(k, path, record)
	if f := k.Field("id"); f != nil && f.Derived {
		o.Derive("id", facts.Known(exampleID))
	}
	for _, g := range derived {
		v := g.value
		if list, ok := v.([]schema.Value); ok {
			plain := make([]any, len(list))
			for i, e := range list {
				plain[i] = e.V
			}
			v = plain
		}
		o.Derive(g.path[0], facts.Known(v))
	}
	return o
}

// set records a value below a record, with the blocks on the way.
func set(r *schema.Record, path []string, v any) {
	if len(path) == 1 {
		r.Set(path[0], schema.Value{V: v})
		return
	}
	inner, ok := r.Record(path[0])
	if !ok {
		inner = schema.NewRecord(r.Field(path[0]).Fields, source.Span{})
		r.Set(path[0], schema.Value{V: inner})
	}
	set(inner, path[1:], v)
}

// missing names what a result asks for as the rule does: nut.found.torqued.
func (s *state) missing(r *pack.Rule, list []verdict.Missing) []string {
	var names []string
	for _, m := range list {
		name := cmp.Or(m.Path, m.Fact)
		if rest, ok := strings.CutPrefix(name, s.kind+"."+exampleID+"."); ok && s.kind != "" {
			name = r.Var + "." + rest
		} else if rest, ok := strings.CutPrefix(name, "moves."+exampleID+"."); ok {
			name = "move." + rest
		}
		names = append(names, name)
	}
	slices.Sort(names)
	return slices.Compact(names)
}
