package check_test

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
)

// document is the text of a build file, a line for every value, with what the table
// says of each; at its end stand the rows of its table of points. The nets change the file
// as a person would, and not what the reader made of it: what the reader refuses is no GO.
type document []line

// line is one line of the file: a value, or the head of the block that follows it.
type line struct {
	depth int
	text  string // as it stands in the file
	value string // what follows the colon
	kind  string // the kind of item it belongs to, "" at the top
	id    string // the item; of a single kind its name
	path  string // the field inside the item, such as "found.torqued"; "" for the item itself
	field *schema.Field
	row   bool // of the table of points, and not of the build file
}

// name says which line of which kind of item it is, the same for all items alike.
func (l line) name() string {
	if l.path == "" {
		return l.kind + " item"
	}
	return l.kind + "." + l.path
}

// sorts are what every item is among those of its kind, by its id: "supports (stand)"; a look
// is one of all that it is of: "looks of wheels"; a part may be off in every step of the move.
func (d document) sorts(b *model.Build, move string) map[string]string {
	sorts := map[string]string{}
	for _, kind := range schema.Kinds() {
		for _, item := range b.Of(kind.Name) {
			sorts[item.ID] = ofSort(kind.Name, sortOf(kind.Name, item.Record))
		}
	}
	for _, part := range b.Of("parts") {
		if !slices.ContainsFunc(stepsOf(b, move), func(step *schema.Record) bool { return !slices.Contains(step.Texts("off"), part.ID) }) {
			sorts[part.ID] = ofSort("parts", "off")
		}
	}
	for _, l := range d {
		if l.kind == "looks" && l.path == "of" {
			var of []string
			for _, target := range elements(l.value) {
				of = append(of, cmp.Or(sorts[itemOf(target)], target))
			}
			slices.Sort(of)
			sorts[l.id] = "looks of " + strings.Join(slices.Compact(of), ", ")
		}
	}
	return sorts
}

// foreign are the lines whose forgetting is no silence: they say what was found of an item that
// has no such part by its design, or what the item that theirs is like says for it.
func (d document) foreign(b *model.Build) map[int]bool {
	lines, like := map[int]bool{}, map[string]string{}
	for _, l := range d {
		if l.path == "like" {
			like[l.id] = l.value
		}
	}
	for i, l := range d {
		item := b.Item(l.id)
		if item == nil || l.field == nil {
			continue
		}
		if strings.HasPrefix(l.path, "found.") {
			lines[i] = !has(item.Record, l.field)
		} else if model := b.Item(like[l.id]); model != nil {
			_, lines[i] = model.Lookup(l.path)
		}
	}
	return lines
}

// documentOf writes a YAML tree as a document.
func documentOf(t testing.TB, root *yaml.Node) document {
	t.Helper()
	var d document
	for top, node := range pairs(root) {
		kind := schema.KindOf(top)
		head := line{text: top + ":", kind: top, id: top}
		switch {
		case top == "listed":
			d = append(d, head)
			d = d.counts(1, node, head)
		case top == "looks":
			d = append(d, line{text: top + ":"})
			for i, entry := range node.Content {
				d = d.look(entry, "look "+strconv.Itoa(i+1))
			}
		case kind == nil:
			d = append(d, line{text: top + ": " + flow(node), value: flow(node), kind: top, id: top})
		case kind.Single:
			d = append(d, head)
			d = d.block(1, node, kind.Fields, head)
		case kind.Listed:
			d = append(d, line{text: top + ":"})
			for i, entry := range node.Content {
				item := line{depth: 1, text: "-", kind: top, id: top + " " + strconv.Itoa(i+1)}
				d = append(d, item)
				d = d.block(2, entry, kind.Fields, item)
			}
		default:
			d = append(d, line{text: top + ":"})
			for id, entry := range pairs(node) {
				item := line{depth: 1, text: id + ":", kind: top, id: id}
				if len(entry.Content) == 0 {
					item.text += " {}"
				}
				d = append(d, item)
				d = d.block(2, entry, kind.Fields, item)
			}
		}
	}
	return d
}

// What stands in a build file beside the items of the table.
var (
	countOf = schema.Field{Type: schema.Count}
	sights  = []schema.Field{
		{Name: "of", Type: schema.List, Elem: &schema.Field{Type: schema.Ref}},
		{Name: "good", Type: schema.Bool}, {Name: "day", Type: schema.Date}, {Name: "by", Type: schema.Text},
		{Name: "fp", Type: schema.Map, Elem: &schema.Field{Type: schema.Text}},
	}
)

// counts writes what somebody counted at the vehicle.
func (d document) counts(depth int, node *yaml.Node, of line) document {
	for name, value := range pairs(node) {
		l := line{depth: depth, text: name + ":", kind: of.kind, id: of.id, path: join(of.path, name)}
		switch {
		case value.Kind == yaml.MappingNode:
			l.path = join(of.path, "any")
			d = append(d, l)
			d = d.counts(depth+1, value, l)
			continue
		case name != "day" && name != "by":
			l.field = &countOf
		}
		l.value = flow(value)
		l.text += " " + l.value
		d = append(d, l)
	}
	return d
}

// look writes one line of the log. What it says was found belongs to the kind of the first
// item that it is of.
func (d document) look(entry *yaml.Node, id string) document {
	head := line{depth: 1, text: "-", kind: "looks", id: id}
	d = append(d, head)
	fields := slices.Clone(sights)
	if of := child(entry, "of"); of != nil {
		first, _, _ := strings.Cut(of.Content[0].Value, "{")
		if kind := schema.KindOf(first); kind != nil {
			fields = append(fields, *kind.Found())
		}
		for _, l := range d {
			if l.id == first && l.path == "" && schema.KindOf(l.kind) != nil {
				fields = append(fields, *schema.KindOf(l.kind).Found())
				break
			}
		}
	}
	return d.block(2, entry, fields, head)
}

// block writes the fields of an item, or of a block in it.
func (d document) block(depth int, node *yaml.Node, fields []schema.Field, of line) document {
	for name, value := range pairs(node) {
		f := fieldNamed(fields, name)
		l := line{depth: depth, kind: of.kind, id: of.id, path: join(of.path, name), field: f}
		if of.field != nil && of.field.Type == schema.Map {
			l.path = join(of.path, "any") // the file chooses the name
		}
		switch {
		case value.Kind == yaml.MappingNode:
			l.text = name + ":"
			if len(value.Content) == 0 {
				l.text += " {}"
			}
			d = append(d, l)
			d = d.block(depth+1, value, inside(f), l)
		case value.Kind == yaml.SequenceNode && f != nil && f.Elem != nil && f.Elem.Type == schema.Object:
			l.text = name + ":"
			d = append(d, l)
			for _, entry := range value.Content {
				e := line{depth: depth + 1, text: "-", kind: of.kind, id: of.id, path: l.path + ".any", field: f.Elem}
				d = append(d, e)
				d = d.block(depth+2, entry, f.Elem.Fields, e)
			}
		default:
			l.value = flow(value)
			l.text = name + ": " + l.value
			d = append(d, l)
		}
	}
	return d
}

// inside are the fields of a block; of a map every name has the same.
func inside(f *schema.Field) []schema.Field {
	switch {
	case f == nil:
		return nil
	case f.Type == schema.Map:
		return []schema.Field{*f.Elem}
	}
	return f.Fields
}

func fieldNamed(fields []schema.Field, name string) *schema.Field {
	for i := range fields {
		if fields[i].Name == name || fields[i].Name == "" {
			return &fields[i]
		}
	}
	return nil
}

func join(path, name string) string { return strings.TrimPrefix(path+"."+name, ".") }

// pairs runs over the keys and values of a YAML mapping.
func pairs(n *yaml.Node) func(func(string, *yaml.Node) bool) {
	return func(yield func(string, *yaml.Node) bool) {
		for i := 0; n != nil && n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
			value := n.Content[i+1]
			if value.Kind == yaml.AliasNode {
				value = value.Alias
			}
			if !yield(n.Content[i].Value, value) {
				return
			}
		}
	}
}

// flow writes a value on one line.
func flow(n *yaml.Node) string {
	if n.Kind == yaml.SequenceNode {
		list := make([]string, len(n.Content))
		for i, e := range n.Content {
			list[i] = flow(e)
		}
		return "[" + strings.Join(list, ", ") + "]"
	}
	if n.Kind == yaml.MappingNode {
		var list []string
		for key, value := range pairs(n) {
			list = append(list, key+": "+flow(value))
		}
		return "{" + strings.Join(list, ", ") + "}"
	}
	if n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0 || strings.ContainsAny(n.Value, ",:#[]{}&*!|>'\"%@`") {
		return strconv.Quote(n.Value)
	}
	return n.Value
}

// String is the build file.
func (d document) String() string {
	var b strings.Builder
	for _, l := range d {
		if l.row {
			break
		}
		if l.text != "" {
			for range l.depth {
				b.WriteString("  ")
			}
			b.WriteString(l.text)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// withTable is the document with the rows of its table of points; each is an item of its own
// that the item mentions.
func (d document) withTable(text string) document {
	for row := range strings.Lines(text) {
		row = strings.TrimSpace(row)
		name, _, _ := strings.Cut(row, ",")
		l := line{text: row, row: true}
		if name != "point" {
			l.kind, l.id = "points", "point "+name
		}
		d = append(d, l)
	}
	return d
}

// table is the table of points.
func (d document) table() string {
	var b strings.Builder
	for _, l := range d {
		if l.row && l.text != "" {
			b.WriteString(l.text)
			b.WriteByte('\n')
		}
	}
	return b.String()
}

// end is the line after the block of line i.
func (d document) end(i int) int {
	for k := i + 1; k < len(d); k++ {
		if d[k].depth <= d[i].depth {
			return k
		}
	}
	return len(d)
}

// with is the document with another value in line i.
func (d document) with(i int, value string) document {
	c := slices.Clone(d)
	name, _, _ := strings.Cut(c[i].text, ":")
	c[i].text, c[i].value = name+": "+value, value
	return c
}

// without is the document without line i and its block. With an item goes every mention
// of it, and what the other side was found to be; but nobody takes a line out of the log.
func (d document) without(i int) document {
	c := d.cut(i)
	if d[i].path != "" || d[i].id == "" {
		return c
	}
	for _, id := range []string{d[i].id, d.twin(d[i].id)} {
		for k := 0; k < len(c) && id != ""; k++ {
			switch l := c[k]; {
			case l.kind == "looks":
			case l.path == "" && l.id == id && l.kind == d[i].kind, mentions(l, id) && l.value[0] != '[':
				c = c.cut(k)
			case mentions(l, id):
				c = c.with(k, dropped(l.value, id))
			}
		}
	}
	return c
}

// never is the document as if an item had never been: not in the log either, nor in the table
// of points.
func (d document) never(i int) document {
	c := d.without(i)
	for _, id := range []string{d[i].id, d.twin(d[i].id)} {
		for k := 0; k < len(c) && id != ""; k++ {
			switch l := c[k]; {
			case l.kind == "looks" && mentions(l, id) && dropped(l.value, id) == "[]":
				c = c.cut(c.find(l.kind, l.id, ""))
			case l.kind == "looks" && mentions(l, id):
				c = c.with(k, dropped(l.value, id))
			case l.path == "fp.any" && strings.HasPrefix(l.text, id+":"), l.row && itemOf(l.id) == "point "+id:
				c = c.cut(k)
			}
		}
	}
	return c
}

// cut leaves empty lines, so that everything else keeps its place.
func (d document) cut(i int) document {
	c := slices.Clone(d)
	for k := i; k < d.end(i); k++ {
		c[k] = line{depth: math.MaxInt, row: d[k].row}
	}
	return c
}

// twin is the id that a mirror entry makes of an id, or "".
func (d document) twin(id string) string {
	from, to := "", ""
	for _, l := range d {
		if l.kind != "mirror" {
			continue
		}
		switch l.path {
		case "from":
			from = l.value
		case "to":
			to = l.value
		}
		if rest, ok := strings.CutPrefix(id, from); ok && from != "" && l.path == "to" {
			return to + rest
		}
	}
	return ""
}

// mentions reports whether a line refers to an item, or to an end of it.
func mentions(l line, id string) bool {
	if l.field == nil || l.field.Type != schema.Ref && (l.field.Elem == nil || l.field.Elem.Type != schema.Ref) {
		return false
	}
	return slices.ContainsFunc(elements(l.value), func(e string) bool { return itemOf(e) == id })
}

// itemOf is the item of which a reference names an end, a point or a member.
func itemOf(reference string) string {
	reference = strings.Trim(reference, `"`)
	if end := strings.IndexAny(reference, "/{"); end >= 0 {
		return reference[:end]
	}
	return reference
}

func dropped(list, id string) string {
	rest := slices.DeleteFunc(elements(list), func(e string) bool { return itemOf(e) == id })
	return "[" + strings.Join(rest, ", ") + "]"
}

// elements are those of a list on one line, or the value itself.
func elements(value string) []string {
	inner, isList := strings.CutPrefix(value, "[")
	if !isList {
		return []string{value}
	}
	if inner = strings.TrimSuffix(inner, "]"); inner == "" {
		return nil
	}
	return strings.Split(inner, ", ")
}

// change is one change of one line of a document.
type change struct {
	line int
	what string // "÷50", "is earth", "forgotten"
	to   string // the value it takes; unused when the line is forgotten
}

const forgotten = "forgotten"

func (d document) apply(c change) document {
	if c.what == forgotten {
		return d.without(c.line)
	}
	return d.with(c.line, c.to)
}

func (d document) say(c change) string {
	return d[c.line].id + ": " + d[c.line].name() + " " + c.what
}

// changes lists everything that can be said otherwise in one line: every quantity a
// fiftieth, a fifth, five and fifty times, every other word, the other of yes and no, one more and one
// less, another day, text or item, a list with one element less; and that nobody says it.
func (d document) changes(i int) []change {
	l := d[i]
	if l.kind == "" {
		return nil
	}
	var list []change
	add := func(what, to string) { list = append(list, change{i, what, to}) }
	if l.field == nil || !l.field.Need || l.path == "" {
		list = append(list, change{line: i, what: forgotten})
	}
	if l.field == nil || l.value == "" {
		return list
	}
	for what, to := range otherwise(l.field, l.value) {
		add(what, to)
	}
	if l.field.Type == schema.Ref {
		other := slices.IndexFunc(d, func(o line) bool { return o.path == "" && slices.Contains(l.field.Refs, o.kind) && o.id != l.value })
		if other >= 0 {
			add("is another", d[other].id)
		}
	}
	return list
}

// otherwise runs over the other values of a field and what to call them.
func otherwise(f *schema.Field, value string) func(func(string, string) bool) {
	return func(yield func(string, string) bool) {
		switch f.Type {
		case schema.Bool:
			to := map[string]string{"yes": "no", "no": "yes"}[value]
			yield("is "+to, to)
		case schema.Enum:
			for _, word := range f.Enum {
				if word != value && !yield("is "+word, word) {
					return
				}
			}
		case schema.Quantity:
			_ = yield("÷50", scaled(value, 0.02)) && yield("÷5", scaled(value, 0.2)) && yield("×5", scaled(value, 5)) && yield("×50", scaled(value, 50))
		case schema.Count:
			n, err := strconv.Atoi(value)
			if err != nil {
				return
			}
			_ = (n == 0 || yield("is one less", strconv.Itoa(n-1))) && yield("is one more", strconv.Itoa(n+1))
		case schema.Date:
			_ = yield("is long ago", "2019-01-02") && yield("is to come", "2031-01-02")
		case schema.Thread:
			yield("is another", "M7x1")
		case schema.Text:
			yield("is another", "another "+strings.Trim(value, `"`))
		case schema.List:
			all := elements(value)
			if f.Elem.Type == schema.Ref {
				for k := range all {
					if !yield("names one less", "["+strings.Join(slices.Delete(slices.Clone(all), k, k+1), ", ")+"]") {
						return
					}
				}
				return
			}
			for k := range all {
				for what, to := range otherwise(f.Elem, all[k]) {
					c := slices.Clone(all)
					c[k] = to
					if !yield("at one end "+what, "["+strings.Join(c, ", ")+"]") {
						return
					}
				}
			}
		}
	}
}

var figure1 = regexp.MustCompile(`\d+(\.\d+)?`)

// scaled multiplies the figures of a quantity, and its ±.
func scaled(value string, by float64) string {
	return figure1.ReplaceAllStringFunc(value, func(s string) string {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			return s
		}
		return strconv.FormatFloat(v*by, 'f', -1, 64)
	})
}

// all lists the changes of every line.
func (d document) all() []change {
	var list []change
	for i := range d {
		list = append(list, d.changes(i)...)
	}
	return list
}

// generic is a value that a field can take, by its type alone.
func generic(f *schema.Field, first func(kind string) string) string {
	switch f.Type {
	case schema.Bool:
		if slices.Contains(good, f.Name) {
			return "yes"
		}
		return "no"
	case schema.Count:
		return "1"
	case schema.Text:
		return f.Name // a word of its own: who saw it is not who looked again
	case schema.Enum:
		return f.Enum[0]
	case schema.Quantity:
		if f.Dim == quantity.Number {
			return "1"
		}
		return "10 " + f.Dim.Units()[0]
	case schema.Thread:
		return "M10x1.5"
	case schema.Date:
		return "2026-11-25"
	case schema.Point, schema.Vector:
		return "[1, 0, 0]"
	case schema.Ref:
		for _, kind := range f.Refs {
			if id := first(kind); id != "" {
				return id
			}
		}
	case schema.List:
		list := slices.Repeat([]string{generic(f.Elem, first)}, max(1, f.Size))
		return "[" + strings.Join(list, ", ") + "]"
	}
	panic(fmt.Sprintf("no fine value for %q", f.Name))
}

// sample draws n of a list, the same ones for the same seed.
func sample[T any](r *rand.Rand, list []T, n int) []T {
	list = slices.Clone(list)
	r.Shuffle(len(list), func(i, k int) { list[i], list[k] = list[k], list[i] })
	return list[:min(n, len(list))]
}

// parse reads YAML into a tree.
func parse(t testing.TB, text []byte) *yaml.Node {
	t.Helper()
	var doc yaml.Node
	require.NoError(t, yaml.Unmarshal(text, &doc))
	return doc.Content[0]
}

// find is the line of a field of an item; -1 when it does not stand there.
func (d document) find(kind, id, path string) int {
	return slices.IndexFunc(d, func(l line) bool { return l.kind == kind && l.id == id && l.path == path })
}
