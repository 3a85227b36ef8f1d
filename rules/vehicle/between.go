package vehicle

import (
	"slices"

	"setdown/model/schema"
)

// withBetween adds to the steps of a move the states that nobody wrote down and that a jack
// makes which is listed a step too early or too late: while what the step before rested on
// goes and what the next rests on is not there yet, the vehicle is on what both share and
// on the jacks, cranes and hoist pads of either. Such a state is judged as a step of its own.
func (v *Vehicle) withBetween(steps []*schema.Record) []*schema.Record {
	var all []*schema.Record
	for i, now := range steps {
		if i > 0 {
			if between := v.between(steps[:i], now); between != nil {
				all = append(all, between)
			}
		}
		all = append(all, now)
	}
	return all
}

// between is the state between the last of the steps before and this one; nil where one of them is that state, or where no
// gear makes it or it does not stay up there: then another rule asks how it gets over.
func (v *Vehicle) between(steps []*schema.Record, now *schema.Record) *schema.Record {
	before := steps[len(steps)-1]
	left, ids := v.lifting(before.Texts("supports"), now.Texts("supports"))
	switch {
	case ids == nil, same(ids, before.Texts("supports")), same(ids, now.Texts("supports")), len(left) == 0:
		return nil
	}
	step := now.Clone()
	step.Delete("found") // the level was read with the others under it
	was, _ := before.Text("name")
	is, _ := now.Text("name")
	step.Set("name", schema.Value{V: "between " + was + " and " + is, Span: now.Span})
	var supports []schema.Value
	for _, id := range ids {
		supports = append(supports, schema.Value{V: id, Span: now.Span})
	}
	step.Set("supports", schema.Value{V: supports, Span: now.Span})
	in := situation{Attitude: v.attitude(step)}
	if !v.stand(v.assemble(v.withoutUndone(v.setting(append(slices.Clip(steps), step)), ids, in)), ids, in).mayHold() {
		return nil
	}
	return step
}

// lifting finds what a vehicle rests on while it changes its supports: those that stay, and
// the jacks, cranes and hoist pads of either state. It also gives the supports that it leaves or
// takes over. There is no gear where ids is nil.
func (v *Vehicle) lifting(before, now []string) (changed, ids []string) {
	lifted := false
	for _, id := range slices.Concat(now, before) {
		gear := OfKind("jack", "crane", "hoist pad")(v.Build.Item(id))
		stays := slices.Contains(now, id) && slices.Contains(before, id)
		lifted = lifted || gear
		if (gear || stays) && !slices.Contains(ids, id) {
			ids = append(ids, id)
		}
		if !stays {
			changed = append(changed, id)
		}
	}
	if !lifted {
		return changed, nil
	}
	return changed, ids
}

// ChangesAt reports whether a step rests on other supports than the one before it.
func (m *Move) ChangesAt(step int) bool {
	return step > 0 && !same(m.Steps[step-1].Texts("supports"), m.Steps[step].Texts("supports"))
}

// Changes reports whether the supports change on the way.
func (m *Move) Changes() bool {
	for i := range m.Steps {
		if m.ChangesAt(i) {
			return true
		}
	}
	return false
}

func same(a, b []string) bool {
	a, b = slices.Clone(a), slices.Clone(b)
	slices.Sort(a)
	slices.Sort(b)
	return slices.Equal(a, b)
}
