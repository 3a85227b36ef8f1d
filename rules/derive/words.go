package derive

import (
	"strings"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/rules/facts"
)

// worded lists the kinds that lines of work name with their size.
var worded = []string{"fasteners", "ball_joints", "wheels", "spacers", "links", "welds"}

// words derives what findings and lines of work say of a part: its size, torque and
// lock as far as the file gives them, and in general words where it does not. They
// are always known, so that no line of work asks for a torque of 'not recorded';
// what must be recorded is the business of the rules.
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
	case "welds":
		o.Derive("made_words", facts.Known(madeWords(item)))
		return
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
	o.Derive("reached_words", facts.Known(reachedWords(item)))
}

// reachedWords says how tight a bolt or nut was found.
func reachedWords(item *model.Item) string {
	if t, ok := look[quantity.Quantity](item, "found.torqued"); ok {
		return t.String() + " reached"
	}
	word, _ := look[string](item, "found.tightness")
	switch word {
	case "loose":
		return "loose"
	case "finger":
		return "only finger tight"
	case "snug":
		return "only snug"
	case "torqued":
		return "torqued to nobody knows what"
	}
	return "nobody knows how tight"
}

// madeWords says how far a weld is made and what it waits for.
func madeWords(item *model.Item) string {
	made, _ := look[string](item, "found.made")
	words := map[string]string{"none": "not welded", "tack": "only tacked", "part": "only part welded", "full": "welded full", "": "nobody knows how far it is welded"}[made]
	if waits, ok := item.Text("waits_for"); ok && made != "full" {
		words += ", waits for " + waits
	}
	return words
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
