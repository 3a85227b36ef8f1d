package check

import (
	"fmt"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/source"
	"setdown/rules/engine"
	"setdown/rules/verdict"
)

// waiver is one entry of the file's waivers, with the rule it names.
type waiver struct {
	rule, item, move, reason, by string
	until                        quantity.Date
	span                         source.Span
}

// readWaivers reads the waivers. One that names no rule is a mistake in the
// file: it would let nothing pass and look as if it did.
func readWaivers(b *model.Build, e *engine.Engine) ([]waiver, error) {
	var list []waiver
	var errs source.Errors
	for _, item := range b.Of("waivers") {
		w := waiver{span: item.Span}
		w.rule, _ = item.Text("rule")
		w.item, _ = item.Text("item")
		w.move, _ = item.Text("move")
		w.reason, _ = item.Text("reason")
		w.by, _ = item.Text("by")
		w.until, _ = item.Date("until")
		if e.Rule(w.rule) == nil {
			hint := source.DidYouMean(w.rule, e.RuleIDs(), "'setdown rules list' shows the rules")
			v, _ := item.Lookup("rule")
			errs = append(errs, &source.Error{Span: v.Span, Message: fmt.Sprintf("no rule is called %q", w.rule), Hint: hint})
		}
		list = append(list, w)
	}
	return list, errs.Err()
}

// policy is a policy value. None is unknown: a name that no policy has is a mistake of ours, and
// no limit of nothing.
func (c *checker) policy(name string) quantity.Quantity {
	q, unknown := c.engine.Policy().Quantity(name)
	if unknown != nil {
		panic("no policy is called " + name)
	}
	return q
}

// waive applies the waiver for a finding, if there is one. Only a stop or a fact
// not recorded of a rule that may be waived is let pass, and only until its day,
// which is no further off than the age at which a finding has to be looked at again.
// A waiver that does not count is shown beside the stop, with the reason.
func (c *checker) waive(f *verdict.Finding, move string) {
	age := c.policy("age_limit")
	for _, w := range c.waivers {
		if w.rule != f.Rule || w.item != f.Item || w.move != "" && w.move != move {
			continue
		}
		v := &verdict.Waiver{By: w.by, Reason: w.reason, Until: w.until, Span: w.span}
		f.Waiver = v
		switch {
		case !f.Blocking:
			v.Refused = "there is nothing to waive"
		case f.Outcome == verdict.Error:
			v.Refused = "a rule that could not be applied cannot be waived"
		case !c.build.Known(w.by):
			v.Refused = fmt.Sprintf("%s is none of the people of the file", w.by)
		case !f.Waivable:
			v.Refused = "this rule protects a life and cannot be waived"
		case w.until.Compare(c.today) < 0:
			v.Refused = fmt.Sprintf("it ended on %s", w.until)
		case float64(c.today.DaysUntil(w.until))*quantity.Day > age.Value:
			v.Refused = fmt.Sprintf("it ends on %s; a waiver ends within the age of a finding, %s", w.until, age)
		default:
			v.Counts = true
			f.Outcome, f.Blocking = verdict.Waived, false
			return
		}
	}
}
