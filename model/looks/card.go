package looks

import (
	"fmt"
	"slices"

	"setdown/model/quantity"
	"setdown/model/schema"
)

// byCard is the value that 'good' states of a fact: the worst that the condition
// allows. What is critical, what does not apply, what came to the card later and
// what cannot be said without the drawing is not stated; nor what is held against a figure of
// the file that no fingerprint keeps: how many people a move needs may be more by now.
func (t *Thing) byCard(f *schema.Field, s seen) (any, bool) {
	if f.Critical || f.Since > max(s.Card, 1) || !t.Kind.Identified() && f.Good.Drawn() || s.Print == "" && f.OfWeights {
		return nil, false
	}
	return best(f, t.as(s.print))
}

// needless says whether the fact may be anything where a look says 'good', for another one
// makes it good, such as a concrete floor the plates under the stands: unless the look
// names that one and it does not.
func (t *Thing) needless(f *schema.Field, s seen) bool {
	return slices.ContainsFunc(f.Good, func(c schema.Case) bool {
		if !c.ByAnother() {
			return false
		}
		holds, known := schema.Condition{c}.Holds("", func(path string) (any, bool) { return t.named(s, path) })
		return holds || !known
	})
}

// named is what a look says of a fact by name, or what the file says of the thing.
func (t *Thing) named(s seen, path string) (any, bool) {
	name, own := cutFound(path)
	if !own {
		return t.Lookup(path)
	}
	if s.Found == nil || t.Kind.Found().Field(name) == nil {
		return nil, false
	}
	v, ok := s.Found.Lookup(name)
	return v.V, ok
}

// Best is what is known of a fact of the thing when it is good: the worst value that its
// good answer allows. It is false where nothing follows: the thing has no such fact, it
// needs a drawn value that nobody wrote, or nobody has to measure it.
func (t *Thing) Best(f *schema.Field) (any, bool) { return best(f, t.Lookup) }

func best(f *schema.Field, lookup func(path string) (any, bool)) (any, bool) {
	if f.Life == schema.OfLook {
		return nil, false
	}
	if f.Event != "" && f.Type == schema.Quantity {
		return nil, false // nobody has to measure it, and no figure comes from 'good'
	}
	if len(f.OnlyFor) > 0 {
		if is, known := f.OnlyFor.Holds("", lookup); !known || !is {
			return nil, false
		}
	}
	if f.Name == "disturbed" {
		return nil, false // an event, not a state
	}
	var value any
	for _, c := range f.Good {
		if v, ok := allowed(f, c, lookup); ok && (value == nil || worse(f, v, value)) {
			value = v
		}
	}
	return value, value != nil
}

// States is what a look that says 'good' of the card as it is today states of a
// fact of the thing; false where it states nothing of it.
func (t *Thing) States(f *schema.Field) (any, bool) {
	now := t.Print()
	return t.byCard(f, seen{Look: &Look{Card: CardVersion(t.Kind)}, Target: &Target{Print: now}, print: readPrint(now)})
}

// CardVersion is the version of the card of a kind: it changes when a line comes to it.
func CardVersion(kind *schema.Kind) int {
	version := 1
	for _, f := range kind.Found().Fields {
		version = max(version, f.Since)
	}
	return version
}

// Life is how long a look at a fact counts of this thing.
func (t *Thing) Life(f *schema.Field) schema.Life {
	if is, known := f.Lasts.Holds("", t.Lookup); known && is {
		return schema.Made
	}
	return f.Life
}

// Has says whether the thing has the fact at all, as far as its design says: of a
// solid bar nobody says how far its adapters are welded.
func (t *Thing) Has(f *schema.Field) bool {
	is, known := f.OnlyFor.Holds("", t.Lookup)
	return len(f.OnlyFor) == 0 || is || !known
}

// allowed is the worst value of one case of a condition.
func allowed(f *schema.Field, c schema.Case, lookup func(path string) (any, bool)) (any, bool) {
	var value any
	for _, test := range c {
		if test.Path != "" {
			if is, known := (schema.Condition{{test}}).Holds("", lookup); !known || !is {
				return nil, false
			}
			continue
		}
		var limits []any
		if test.Than == "" {
			limits = test.Values
		} else if v, ok := drawn(test, lookup); ok {
			limits = []any{v}
		}
		if len(limits) == 0 {
			return nil, false
		}
		for _, v := range limits {
			if f.Type == schema.List && test.Op != schema.Same {
				v = slices.Repeat([]schema.Value{{V: v}}, f.Size)
			}
			if value == nil || worse(f, v, value) {
				value = v
			}
		}
	}
	return value, value != nil
}

// drawn is the limit that the drawing sets.
func drawn(test schema.Test, lookup func(path string) (any, bool)) (any, bool) {
	v, ok := lookup(test.Than)
	if !ok || test.Op == schema.Same {
		return v, ok
	}
	q, isMeasure := v.(quantity.Quantity)
	if !isMeasure {
		return v, true
	}
	share := test.Share
	if test.Per != "" {
		per, ok := lookup(test.Per)
		if !ok {
			return nil, false
		}
		return quantity.Of(q.Value/per.(quantity.Quantity).Value, quantity.Number, ""), true
	}
	if test.Op == schema.AtLeast {
		return quantity.Of(share*(q.Value+q.Tol), q.Dim, q.Unit), true
	}
	return quantity.Of(share*(q.Value-q.Tol), q.Dim, q.Unit), true
}

// same says whether two values are one, whatever the units they are written in.
func same(a, b any) bool {
	switch a := a.(type) {
	case quantity.Quantity:
		b, ok := b.(quantity.Quantity)
		return ok && a.Value == b.Value && a.Tol == b.Tol
	case quantity.Thread:
		b, ok := b.(quantity.Thread)
		return ok && a.Text == b.Text
	case []schema.Value:
		b, ok := b.([]schema.Value)
		return ok && slices.EqualFunc(a, b, func(x, y schema.Value) bool { return same(x.V, y.V) })
	}
	return a == b
}

// worse says whether one of two values is the worse answer: further from the
// good end of the words, or on the wrong side of a limit. Where nothing tells,
// the order of their texts decides, so that it is always the same one.
func worse(f *schema.Field, a, b any) bool {
	if same(a, b) {
		return false
	}
	goodA, knownA := f.Good.Holds("", func(path string) (any, bool) { return a, path == "" })
	goodB, knownB := f.Good.Holds("", func(path string) (any, bool) { return b, path == "" })
	if knownA && knownB && goodA != goodB {
		return !goodA
	}
	if wordA, ok := a.(string); ok {
		wordB, _ := b.(string)
		first := len(f.Enum) > 0 && len(f.Good) > 0 && f.Good[0][0].Path == "" && slices.Contains(f.Good[0][0].Values, any(f.Enum[0]))
		i, j := slices.Index(f.Enum, wordA), slices.Index(f.Enum, wordB)
		if i != j {
			return (i > j) == first
		}
	}
	if x, ok := size(a, f); ok {
		y, _ := size(b, f)
		if x != y {
			return (x < y) == !upwards(f)
		}
	}
	return fmt.Sprint(a) < fmt.Sprint(b)
}

// upwards says whether more of a fact is worse.
func upwards(f *schema.Field) bool {
	for _, c := range f.Good {
		for _, test := range c {
			if test.Path == "" {
				return test.Op == schema.AtMost
			}
		}
	}
	return false
}

// size is a value as a number, of a list the least of its elements.
func size(v any, f *schema.Field) (float64, bool) {
	switch v := v.(type) {
	case int64:
		return float64(v), true
	case quantity.Quantity:
		if upwards(f) {
			return v.Value + v.Tol, true
		}
		return v.Value - v.Tol, true
	case []schema.Value:
		least, any := 0.0, false
		for _, e := range v {
			x, ok := size(e.V, f)
			if !ok {
				return 0, false
			}
			if !any || x < least {
				least, any = x, true
			}
		}
		return least, any
	}
	return 0, false
}
