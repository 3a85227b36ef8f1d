package check

import "setdown/rules/verdict"

// orders lists what is still to come, and what came and is not on the vehicle yet.
func (c *checker) orders() []verdict.Order {
	var list []verdict.Order
	for _, item := range c.build.Orders {
		o := verdict.Order{ID: item.ID, For: item.Texts("for"), Span: item.Span}
		o.What, _ = item.Text("what")
		o.Ordered, _ = item.Count("ordered")
		o.Arrived, _ = item.Count("arrived")
		if day, ok := item.Date("expected"); ok {
			o.Expected = &day
		}
		checked, said := item.Bool("checked")
		switch all := o.Arrived > 0 && o.Arrived >= o.Ordered; {
		case said && !checked:
			o.State = verdict.WrongPart
		case all && checked:
			o.State = verdict.Here
		case all:
			o.State = verdict.Unchecked
		case o.Expected != nil && o.Expected.Compare(c.today) < 0:
			o.State = verdict.Overdue
		default:
			o.State = verdict.OnOrder
		}
		list = append(list, o)
	}
	return list
}
