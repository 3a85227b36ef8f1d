package derive

import (
	"strings"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/rules/facts"
)

// worded lists the kinds that lines of work name with their size.
var worded = []string{"fasteners", "ball_joints", "wheels", "spacers", "links"}

// words derives what a line of work says of a part: its size, torque and lock as
// far as the file gives them, and in general words where it does not. They are
// always known, so that no line of work asks for a torque of 'not recorded'; what
// must be recorded is the business of the rules.
func words(item *model.Item, o *facts.Object) {
	size := threadWords(item, "thread")
	switch item.Kind.Name {
	case "fasteners":
		if class, ok := item.Text("class"); ok {
			size += " class " + class
		}
		if size == "" {
			size = " of the size and class drawn"
		}
		o.Derive("lock_words", lockWords(item, "lock nut"))
	case "ball_joints":
		if size == "" {
			size = " for the stud's thread"
		}
		o.Derive("lock_words", lockWords(item, "split pin"))
	case "wheels":
		size = threadWords(item, "stud")
		if seat, ok := item.Text("seat"); ok {
			size += " with a " + seat + " seat"
		}
		if size == "" {
			size = " of the wheel maker's kind"
		}
	case "spacers":
		o.Derive("size_words", facts.Known(spacerWords(item)))
		return
	case "links":
		if size = threadWords(item, "rod_ends.thread"); size == "" {
			size = " for its rod ends"
		}
		o.Derive("size_words", facts.Known(strings.TrimSpace(size)))
		return
	}
	o.Derive("size_words", facts.Known(strings.TrimSpace(size)))
	torque := "the maker's torque"
	if t, ok := item.Quantity("torque"); ok {
		torque = t.String()
	}
	o.Derive("torque_words", facts.Known(torque))
}

func threadWords(item *model.Item, path string) string {
	t, ok := look[quantity.Thread](item, path)
	if !ok {
		return ""
	}
	return " " + t.String()
}

// lockWords is the lock that the file asks for where it is one that works, else
// the usual one.
func lockWords(item *model.Item, usual string) facts.Fact {
	if lock, ok := item.Text("lock"); ok && lockWorks[lock] {
		if lock == "wire" {
			return facts.Known("lock wire")
		}
		return facts.Known("new " + lock)
	}
	return facts.Known(usual)
}

func spacerWords(item *model.Item) string {
	var parts []string
	if each, ok := look[quantity.Quantity](item, "stack.each"); ok {
		parts = append(parts, each.String()+" high")
	}
	if bolt, ok := look[quantity.Quantity](item, "bore.bolt"); ok {
		parts = append(parts, "for a "+bolt.String()+" bolt")
	}
	if len(parts) == 0 {
		return "like the ones that are in"
	}
	return strings.Join(parts, " ")
}
