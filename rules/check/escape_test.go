package check_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/schema"
	"setdown/rules/verdict"
)

// pair is a change that stops a move, and another one after it: a line that is forgotten, or
// something of an item that is found worse or forgotten.
type pair struct {
	proof *proof
	first change
	by    cause // what stopped the move after the first
	line  int   // that is forgotten; -1: the fault
	fault fault
	// whole: the second takes with it all that the first said. What is left is the fine vehicle
	// without the second thing.
	whole bool
}

// name says what the second change is of, the same for all items alike.
func (two *pair) name() string {
	switch f := two.fault; {
	case two.line >= 0:
		return two.proof.name(two.line)
	case f.what == notRecorded:
		return ofSort(f.kind, f.of) + "." + f.path
	default:
		return f.key()
	}
}

func (two *pair) kind() string { return two.name() + " frees " + two.proof.key(two.first) }

func (two *pair) String() string {
	second := two.fault.String()
	if two.line >= 0 {
		second = strings.TrimSpace(two.proof.d[two.line].id+" "+two.proof.d[two.line].path) + " forgotten"
	}
	return two.proof.d.say(two.first) + "; " + second + ", in " + two.proof.move
}

// forgets reports whether the second change says less, and nothing else.
func (two *pair) forgets() bool { return two.line >= 0 || two.fault.what == notRecorded }

// firsts are the things that the first change is of, seconds those of the second.
func (two *pair) firsts() []string { return two.proof.d.subjects(two.first.line) }
func (two *pair) seconds() []string {
	if two.line < 0 {
		return []string{two.fault.item}
	}
	return two.proof.d.subjects(two.line)
}

// retakes reports whether a fault is of what a line says, or of the block that it stands in: in the
// item, or in the log where the line is of that item alone.
func (p *proof) retakes(i int, f fault) bool {
	l := p.d[i]
	of := l.kind == f.kind && l.id == f.item || l.kind == "looks" && slices.Equal(p.d.subjects(i), []string{f.item})
	return of && strings.HasPrefix(l.path+".", f.path+".")
}

// reasons are why a pair that ends in GO is no wrong GO: by what the two changes are of in the table,
// in the log and in the facts of the steps, and never by their names. TestWrongGOsEscape holds each to
// a wrong GO that it must not excuse.
var reasons = []struct {
	why   string
	holds func(n *net, two *pair, after *model.Build) bool
}{
	{"a move begins and ends with the steps that are written down, and each of them is judged", func(_ *net, two *pair, _ *model.Build) bool {
		d := two.proof.d
		return two.line >= 0 && d[two.line].path == "steps.any" && !d.amid(two.line)
	}},
	{"a fault that one look saw and another of the same thing did not stands as long as its line stands in the log, and nobody takes out a line or what it says", func(_ *net, two *pair, _ *model.Build) bool {
		return two.line >= 0 && two.proof.d.retold(two.first.line, two.line)
	}},
	{"what somebody said by name without a fingerprint is of what the file says; with one it is held against what was drawn then", func(_ *net, two *pair, _ *model.Build) bool {
		first := two.proof.d[two.first.line]
		return two.line >= 0 && two.proof.d[two.line].print() && two.ofOne() && (first.print() || first.kind != "looks" && !strings.HasPrefix(first.path, "found"))
	}},
	{"a look that calls the rest of a card good says yes of what it does not name, as somebody who says it outright", func(n *net, two *pair, _ *model.Build) bool {
		d := two.proof.d
		if two.line < 0 || d[two.line].kind != "looks" || d[two.line].value != "no" {
			return false
		}
		good := d.find("looks", d[two.line].id, "good")
		return good >= 0 && d[good].value == "yes" && n.goes(d.apply(two.first).with(two.line, "yes"), two.proof.move)
	}},
	{"nothing rests on what the first is of: not before it, not after it and not after the second", (*net).idle},
	{"the second takes the first with it, and nobody has to look at it", func(n *net, two *pair, after *model.Build) bool {
		return two.whole && two.forgets() && n.voluntary(two, after)
	}},
	{"the second takes the first with it, and without what it drew nothing is worked out as bearing less", func(n *net, two *pair, after *model.Build) bool {
		return two.whole && two.forgets() && !two.seenOnly() && !two.word() && !n.takesWhatCarries(two) && n.easesNothing(two, after)
	}},
	{"what nobody has to measure is held against the drawing where it was measured", func(n *net, two *pair, after *model.Build) bool {
		return two.forgets() && two.heldAgainst() && n.voluntary(two, after)
	}},
}

// reason is why a pair that ends in GO is no wrong GO; "" where there is none.
func (n *net) reason(two *pair, after *model.Build) string {
	for _, r := range reasons {
		if r.holds(n, two, after) {
			return r.why
		}
	}
	return ""
}

// print reports whether a line is what a look recorded of how its things were drawn.
func (l line) print() bool { return l.kind == "looks" && (l.path == "fp" || l.path == "fp.any") }

// goes reports whether a move of a file is GO.
func (n *net) goes(d document, move string) bool {
	m := n.judge(d, move)
	return m != nil && m.Decision == verdict.Go
}

// ofOne reports whether both changes are of one thing.
func (two *pair) ofOne() bool {
	return slices.ContainsFunc(two.firsts(), func(id string) bool { return slices.Contains(two.seconds(), id) })
}

// seenOnly reports whether the second change is of what was seen, and of nothing that is drawn.
func (two *pair) seenOnly() bool {
	if two.line < 0 {
		return two.fault.path == schema.Found || strings.HasPrefix(two.fault.path, "found.")
	}
	l := two.proof.d[two.line]
	return l.kind == "looks" || l.path == schema.Found || strings.HasPrefix(l.path, "found.")
}

// word reports whether the second change forgets a yes or no, or a word, whose absence could be read as the
// one or the other, and no reviewer let it pass (hushed).
func (two *pair) word() bool {
	var f *schema.Field
	if two.line >= 0 {
		f = two.proof.d[two.line].field
	} else {
		fields := schema.KindOf(two.fault.kind).Fields
		for name := range strings.SplitSeq(two.fault.path, ".") {
			f = fieldNamed(fields, name)
			fields = inside(f)
		}
	}
	return f != nil && (f.Type == schema.Bool || f.Type == schema.Enum) && listed(hushed, two.name()) == ""
}

// takesWhatCarries reports whether the second change takes out a whole thing on which something rests in
// the fine vehicle.
func (n *net) takesWhatCarries(two *pair) bool {
	if two.line < 0 || two.proof.d[two.line].path != "" {
		return false
	}
	l := two.proof.d[two.line]
	return !unloaded(setsOf(two.proof.fine, n.engine.Policy(), two.proof.move), fault{kind: l.kind, item: l.id})
}

// heldAgainst reports whether the second change forgets what was found of the item, and the table
// holds that against what the first is of.
func (two *pair) heldAgainst() bool {
	first := two.proof.d[two.first.line]
	for id, names := range two.seen() {
		kind, _ := two.kindOf(id)
		for _, name := range names {
			if f := kind.Found().Field(name); id == first.id && f != nil && slices.ContainsFunc(f.Good.Paths(), func(path string) bool { return path == first.path || strings.HasPrefix(path, first.path+".") }) {
				return true
			}
		}
	}
	return false
}

// kindOf is the kind of a thing and its sort.
func (two *pair) kindOf(id string) (*schema.Kind, string) {
	b := two.proof.fine
	if item := b.Item(id); item != nil {
		return item.Kind, sortOf(item.Kind.Name, item.Record)
	}
	return schema.KindOf(id), ""
}

// seen are the facts that the second change forgets of what was found, by the thing.
func (two *pair) seen() map[string][]string {
	all := map[string][]string{}
	for _, id := range two.seconds() {
		kind, _ := two.kindOf(id)
		if kind == nil || kind.Found() == nil || !two.seenOnly() {
			continue
		}
		var names []string
		add := func(path string) {
			if name, ok := strings.CutPrefix(path, "found."); ok {
				names = append(names, name)
			}
		}
		if d := two.proof.d; two.line >= 0 {
			for k := two.line; k < d.end(two.line); k++ {
				add(d[k].path)
			}
		} else if add(two.fault.path); two.fault.path == schema.Found {
			names = inner(recordNamed(two.proof.fine, kind, id)).Names()
		}
		all[id] = names
	}
	return all
}

// voluntary reports whether nobody has to look at what the second change forgets: the table has no good
// answer to it, a reviewer said so of a single fault (lenient, unasked), or nothing rests on it.
func (n *net) voluntary(two *pair, after *model.Build) bool {
	seen := two.seen()
	for id, names := range seen {
		kind, sort := two.kindOf(id)
		f := fault{kind: kind.Name, item: id, of: sort, what: notRecorded}
		if unloaded(setsOf(after, n.engine.Policy(), two.proof.move), f) {
			continue
		}
		for _, name := range names {
			f.fact = name
			field := kind.Found().Field(name)
			free := field == nil || field.Event != "" || !field.Critical && len(field.Good) == 0
			if !free && leniency(f) == "" && listed(unasked, ofSort(kind.Name, sort)+"."+name) == "" {
				return false
			}
		}
	}
	return len(seen) > 0
}

// easesNothing reports whether nothing is worked out as loaded less after both changes than in the fine
// vehicle, and nothing can no longer be worked out on which something rests.
func (n *net) easesNothing(two *pair, after *model.Build) bool {
	before, now := uses(two.proof.fine, n.engine.Policy(), two.proof.move), uses(after, n.engine.Policy(), two.proof.move)
	steps := setsOf(after, n.engine.Policy(), two.proof.move)
	for where, was := range before {
		kind, item, _ := strings.Cut(pathIn(where), ".")
		is, known := now[where]
		switch {
		case known && is < was*(1-1e-9)-1e-12:
			return false
		case !known && after.Item(item) != nil && !unloaded(steps, fault{kind: kind, item: item}):
			return false
		}
	}
	return true
}

// pathIn is the path of the item in the name of a utilisation.
func pathIn(where string) string {
	words := strings.Fields(where)
	return words[len(words)-2]
}

// idle reports whether nothing rests on what the first change is of: in the fine vehicle, after the
// change and after the second one.
func (n *net) idle(two *pair, after *model.Build) bool {
	p := two.proof
	for _, b := range []*model.Build{p.fine, n.read(p.d.apply(two.first)), after} {
		if b == nil || b.Item(p.move) == nil {
			return false
		}
		steps := setsOf(b, n.engine.Policy(), p.move)
		for _, id := range two.firsts() {
			if kind, _ := two.kindOf(id); kind == nil || !unloaded(steps, fault{kind: kind.Name, item: id}) {
				return false
			}
		}
	}
	return true
}

// TestWrongGOsEscape plants a wrong GO close to what each reason excuses: where one fact is missing the
// program takes it, and another that stops the move, for fine. The nets find that all the same, and
// nothing where it is not planted.
func TestWrongGOsEscape(t *testing.T) {
	vehicles := map[string]document{generated: everything(t), "short": short(t, shorts[0])}
	for name, c := range map[string]struct {
		vehicle, move string
		first, what   string // the line that is said otherwise, and how
		second, taken string // the line that is forgotten, and what it is taken for; "": as it was
	}{
		"a step between two":                    {generated, "off-the-table", "site site found.floor", "is earth", "moves off-the-table steps.any", ""},
		"the only look":                         {"short", "onto-wheels", "looks site found.slope", "×50", "looks site", ""},
		"a fingerprint, and what was seen":      {"short", "onto-wheels", "looks fl-wheel-nuts found.nuts", "is one less", "looks fl-wheel-nuts fp", ""},
		"what a good look names, and more":      {"short", "onto-wheels", "looks site found.slope", "×50", "looks site found.plates", ""},
		"a stand that carries":                  {generated, "off-the-table", "supports rl-stand found.locked", "is no", "vehicle vehicle name", ""},
		"a torque that is asked for":            {generated, "off-the-table", "fasteners engine-bolts found.torqued", "÷50", "fasteners engine-bolts found.torqued", ""},
		"a plate taken for a larger one":        {generated, "off-the-table", "supports rl-stand rated", "÷50", "supports rl-stand rated", "10 t"},
		"a bolt that carries":                   {generated, "off-the-table", "fasteners engine-bolts found.torqued", "÷50", "fasteners engine-bolts", ""},
		"a yes that is taken for a no":          {generated, "off-the-table", "moves off-the-table by_hand", "is yes", "moves off-the-table by_hand", ""},
		"a measure that has to be taken":        {generated, "off-the-table", "fasteners engine-bolts torque", "×5", "fasteners engine-bolts found.torqued", ""},
		"a measure that is held against others": {generated, "under-the-axles", "welds fl-strut-bracket found.crack", "is yes", "welds fl-strut-bracket found.leg", ""},
	} {
		t.Run(name, func(t *testing.T) {
			for _, planted := range []bool{false, true} {
				n := &net{engine: rules(t)}
				proofs := n.proofs(vehicles[c.vehicle], c.move)
				require.Len(t, proofs, 1, "it is GO")
				p := proofs[0]
				first, second := p.d.at(t, c.first), p.d.at(t, c.second)
				if planted {
					n.sees = func(d document) document {
						switch {
						case len(d) != len(p.d) || d[second].text != "":
							return d
						case c.taken != "":
							return p.d.with(second, c.taken)
						}
						return p.d
					}
				}
				i := slices.IndexFunc(p.d.changes(first), func(one change) bool { return one.what == c.what })
				require.GreaterOrEqual(t, i, 0, c.what)
				require.True(t, n.noGo(p, p.d.changes(first)[i], []int{second}, nil), "it stops")
				require.Equal(t, 1, n.pairs)
				assert.Equal(t, planted, len(n.caught) == 1, "%v %v", n.caught, n.excused)
			}
		})
	}
}

// at is the line of a field by kind, item and path, of a look by the first thing that it is of; of several
// steps the second.
func (d document) at(t *testing.T, of string) int {
	t.Helper()
	words := append(strings.Fields(of), "")
	found := -1
	for i, l := range d {
		if l.kind == words[0] && l.path == words[2] && d.subjects(i)[0] == words[1] {
			if found = i; !slices.ContainsFunc(d[:i], func(o line) bool { return o.id == l.id && o.path == l.path }) == (l.path != "steps.any") {
				return i
			}
		}
	}
	require.GreaterOrEqual(t, found, 0, of)
	return found
}
