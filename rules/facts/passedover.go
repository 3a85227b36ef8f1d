package facts

import (
	"fmt"
	"slices"
	"strings"

	"setdown/model/quantity"
	"setdown/model/schema"
)

// PassedOver is the fact that says what was found bad and judged by no rule. It hangs on what
// the rules read, so whoever asks them gives it, after all others (Object.PassOver).
const PassedOver = "passed_over"

// ofFound are the facts of everything at which something is found.
var ofFound = []fact{
	text(PassedOver, "what was found of it that is not good and that no rule judged in this step, in words; 'nothing' when there is none", func(it item) string {
		it.not("it is known when all other rules were asked")
		return ""
	}),
}

// ofUsed are the facts of the items that stand on the vehicle or under it.
var ofUsed = []fact{
	yesNo("idle", "it is known that nothing rests on it in this step and that the step does not use it", func(it item) bool {
		for _, works := range []field[bool]{onFloor, used, carrying} {
			if works.has(it) {
				at, known := works.ifStated(it)
				return known && !at
			}
		}
		return true
	}),
}

// Doubt is something that was found and is not good, or of which that cannot be said.
type Doubt struct {
	*schema.Field
	Bad     bool
	unknown *Unknown // where it is not known to be bad: why not
	value   any
}

// Doubts lists what was found of an object and is not known to be good by the table. Of what
// is idle only that which is known to be bad counts: nothing more is asked of it.
func (o *Object) Doubts() []Doubt {
	found := o.Block("found")
	if found == nil {
		return nil
	}
	idle := false
	if o.Has("idle") {
		is, _ := o.Get("idle")
		idle = is == true
	}
	var list []Doubt
	for i := range found.layout.fields {
		f := &found.layout.fields[i]
		if found.values[i] == nil || len(f.Good) == 0 {
			continue
		}
		var why Unknown
		look := func(path string) (any, bool) { return o.lookUp(path, &why) }
		if is, known := f.OnlyFor.Holds("", look); len(f.OnlyFor) > 0 && known && !is {
			continue
		}
		why = Unknown{}
		if good, known := f.Good.Holds("found."+f.Name, look); !good && (known || !idle) {
			list = append(list, Doubt{f, known, &why, found.values[i]})
		}
	}
	return list
}

// lookUp finds a fact by its path for a condition of the table, and notes why it is not known.
func (o *Object) lookUp(path string, why *Unknown) (any, bool) {
	name, rest, _ := strings.Cut(path, ".")
	v, unknown := o.Get(name)
	if block, nested := v.(*Object); nested && unknown == nil {
		return block.lookUp(rest, why)
	}
	if unknown != nil {
		why.Missing = append(why.Missing, unknown.Missing...)
		why.Reason = unknown.Reason
		return nil, false
	}
	if t, ok := v.(quantity.Thread); ok {
		switch rest {
		case "diameter":
			return quantity.Of(t.Diameter, quantity.Length, "mm"), true
		case "pitch":
			return quantity.Of(t.Pitch, quantity.Length, "mm"), true
		}
	}
	if list, ok := v.([]any); ok {
		values := make([]schema.Value, len(list))
		for i, e := range list {
			values[i].V = e
		}
		return values, true
	}
	return v, true
}

// PassOver gives the fact PassedOver: the doubts that no rule spoke of. What is known to be
// bad is said before anything is asked.
func (o *Object) PassOver(doubts []Doubt) {
	var words []string
	var open Unknown
	for _, d := range doubts {
		if d.Bad {
			words = append(words, strings.ReplaceAll(d.Name, "_", " ")+": "+inWords(d.value))
			continue
		}
		open.Missing = append(open.Missing, d.unknown.Missing...)
		open.Reason = d.unknown.Reason
	}
	switch {
	case words != nil:
		o.Derive(PassedOver, Known(strings.Join(words, "; ")))
	case open.Missing != nil:
		o.Derive(PassedOver, NotRecorded(open.Missing...))
	case open.Reason != "":
		o.Derive(PassedOver, NotComputed("%s", open.Reason))
	default:
		o.Derive(PassedOver, Known("nothing"))
	}
}

func inWords(v any) string {
	switch v := v.(type) {
	case bool:
		if v {
			return "yes"
		}
		return "no"
	case []any:
		words := make([]string, len(v))
		for i, e := range v {
			words[i] = inWords(e)
		}
		return strings.Join(words, ", ")
	}
	return fmt.Sprint(v)
}

// asHolder are the recorded fields by which an item counts as there and tight.
var asHolder = []string{"fitted", "count", "nuts", "made", "tightness", "torqued"}

// Reads lists what was found at an object, by field, that its i-th field, or one of the
// object that is in the same set, was worked out from in its step.
func (o *Object) Reads(i int, found *Object) []string {
	var list []string
	seen := map[read]bool{}
	var follow func(read)
	follow = func(r read) {
		switch {
		case r.object == nil || seen[r]:
			return
		case r.field == allFields:
			if r.object.Block("found") == found {
				list = append(list, asHolder...)
			}
			return
		}
		seen[r] = true
		if n := r.object.layout.cell[r.field]; n != nowhere {
			for _, next := range r.object.result(n).reads {
				follow(next)
			}
		} else if r.object == found {
			list = append(list, found.layout.fields[r.field].Name)
		}
	}
	follow(read{o, i})
	slices.Sort(list)
	return slices.Compact(list)
}
