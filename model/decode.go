package model

import (
	"fmt"
	"iter"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
	"setdown/model/syntax"
)

const (
	maxText  = 2_000     // characters of a text
	maxID    = 100       // characters of an id
	maxCount = 1_000_000 // of anything in a shop
	maxCoord = 100.0     // metres from the origin to anything on a vehicle
)

// slot is one field of one record.
type slot struct {
	record *schema.Record
	name   string
}

// omission is why a field that stands in the file is not in its record.
type omission uint8

const (
	isUnsure omission = iota + 1 // written as not known
	isBad                        // written wrongly; reported already
)

// removal is a null that takes a field away, and whether there was one.
type removal struct {
	span source.Span
	path string
	done bool
}

// decoder turns the nodes of a file, or of an assumption, into values as the
// schema describes them.
type decoder struct {
	file         string
	line, column int    // what to add to the positions of the nodes
	unit         string // of bare coordinates
	second       bool   // the file is of the second format
	errs         source.Errors
	left         map[slot]omission
	taken        map[slot]removal // what the second format takes away with null
}

func (d *decoder) span(n *yaml.Node) source.Span {
	line, column := n.Line+d.line, n.Column
	if n.Line == 1 {
		column += d.column
	}
	return source.Span{File: d.file, Start: source.Pos{Line: max(line, 1), Column: max(column, 1)}}
}

func (d *decoder) fail(n *yaml.Node, path, message, hint string) {
	d.failAt(d.span(n), path, message, hint)
}

func (d *decoder) failAt(span source.Span, path, message, hint string, related ...source.Related) {
	d.errs = append(d.errs, &source.Error{Span: span, Path: path, Message: message, Hint: hint, Related: related})
}

// pairs walks over the keys and values of a mapping.
func pairs(n *yaml.Node) iter.Seq2[*yaml.Node, *yaml.Node] {
	return func(yield func(k, v *yaml.Node) bool) {
		for i := 0; i+1 < len(n.Content); i += 2 {
			if !yield(resolved(n.Content[i]), n.Content[i+1]) {
				return
			}
		}
	}
}

// resolved follows an alias to what it stands for. The tree was vetted, so no
// alias leads back to itself.
func resolved(n *yaml.Node) *yaml.Node { return syntax.Resolved(n) }

// unsure says whether somebody wrote down that a value is not known.
func unsure(n *yaml.Node) bool {
	n = resolved(n)
	return n.Kind == yaml.ScalarNode && (n.Tag == "!!null" || slices.Contains(schema.NotKnown, n.Value))
}

// notInID says whether a character cannot stand in an id.
func notInID(c rune) bool {
	return !unicode.IsLetter(c) && !unicode.IsDigit(c) && !strings.ContainsRune("-_.", c)
}

// goodID refuses ids that could be taken for a path or cannot be typed.
func (d *decoder) goodID(key *yaml.Node, path string) bool {
	switch {
	case key.Kind != yaml.ScalarNode || key.Value == "" || key.Tag == "!!null":
		d.fail(key, path, "an id is missing here", "write the id, a colon, and what is known about it")
	case strings.ContainsFunc(key.Value, notInID):
		d.fail(key, path, fmt.Sprintf("%s cannot be used as an id", shown(key.Value)), "use only letters, digits, - _ and .")
	case key.Value == "vehicle" || key.Value == "site":
		d.fail(key, path, fmt.Sprintf("%s cannot be used as an id", shown(key.Value)), "in a look it means the "+key.Value+" itself; call this thing by another name")
	case utf8.RuneCountInString(key.Value) > maxID:
		d.fail(key, path, fmt.Sprintf("this id is longer than %d characters", maxID), "")
	default:
		return true
	}
	return false
}

// fewKeys are as many as a hint names.
const fewKeys = 8

// record reads a block into target. what names the block in messages.
func (d *decoder) record(target *schema.Record, what string, n *yaml.Node, path string) {
	n = resolved(n)
	if n.Kind != yaml.MappingNode {
		hint := "write {key: value}, or one key per line"
		if keys := d.writable(target.Fields); len(keys) <= fewKeys {
			hint += "; the keys are " + strings.Join(keys, ", ")
		}
		d.fail(n, path, fmt.Sprintf("%s must be a block of 'key: value' lines", what), hint)
		return
	}
	first := map[string]*yaml.Node{}
	for key, value := range pairs(n) {
		field := target.Spelled(key.Value)
		if field == nil || field.Derived || field.Second && !d.second {
			d.fail(key, join(path, key.Value), fmt.Sprintf("%s is no key of %s", shown(key.Value), what), meant(key.Value, d.writable(target.Fields), "the keys are "))
			continue
		}
		if other := first[field.Name]; other != nil && other.Value != key.Value {
			d.failAt(d.span(key), join(path, key.Value), fmt.Sprintf("%s and %s are two spellings of one key", other.Value, key.Value), "delete one of them",
				source.Related{Span: d.span(other), Message: "first here"})
			continue
		}
		first[field.Name] = key
		d.set(target, field, field.Name, value, join(path, key.Value))
	}
}

// set reads one value and records it under name.
func (d *decoder) set(target *schema.Record, field *schema.Field, name string, n *yaml.Node, path string) {
	at := slot{target, name}
	delete(d.left, at)
	if unsure(n) {
		if field.Default != nil && resolved(n).Tag != "!!null" {
			d.fail(n, path, fmt.Sprintf("nobody is sure of %s, and without it %s is taken", name, shown(fmt.Sprint(field.Default))), "find it out; a preset answers no question mark")
			return
		}
		target.Delete(name)
		d.left[at] = isUnsure
		if d.second && resolved(n).Tag == "!!null" {
			d.taken[at] = removal{span: d.span(n), path: path}
		}
		return
	}
	if square := target.Field("square"); d.second && field.Type == schema.Vector && square != nil && resolved(n).Value == "square" {
		// Which way the bolt points is not measured: it is drawn square to the link.
		target.Set(square.Name, schema.Value{V: true, Span: d.span(resolved(n))})
		d.left[at] = isUnsure // and what it is like does not say otherwise
		return
	}
	before := len(d.errs)
	v, ok := d.value(field, n, path)
	switch {
	case ok:
		target.Set(name, schema.Value{V: v, Span: d.span(resolved(n))})
	case len(d.errs) > before:
		d.left[at] = isBad
	case d.second:
		d.left[at] = isUnsure // an empty list
	}
}

// writable lists the keys that may stand in the file.
func (d *decoder) writable(fields []schema.Field) []string {
	var names []string
	for _, f := range fields {
		if !f.Derived && (d.second || !f.Second) {
			names = append(names, f.Name)
		}
	}
	return names
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// value reads one value as its field describes it. It is false when the value
// was refused (and reported) or says nothing, as an empty list does.
func (d *decoder) value(f *schema.Field, n *yaml.Node, path string) (any, bool) {
	n = resolved(n)
	switch f.Type {
	case schema.Point:
		return d.point(n, path)
	case schema.Vector:
		return d.vector(n, path)
	case schema.List:
		return d.list(f, n, path)
	case schema.Map:
		return d.mapping(f, n, path)
	case schema.Object:
		if f.Shorthand != "" && n.Kind == yaml.ScalarNode {
			return d.plate(f, n, path)
		}
		inner := schema.NewRecord(f.Fields, d.span(n))
		d.record(inner, lastName(path), n, path)
		return inner, n.Kind == yaml.MappingNode
	}
	if n.Kind != yaml.ScalarNode {
		d.fail(n, path, fmt.Sprintf("%s must be a single value", lastName(path)), wanted(f))
		return nil, false
	}
	return d.scalar(f, n, path)
}

func (d *decoder) scalar(f *schema.Field, n *yaml.Node, path string) (any, bool) {
	switch f.Type {
	case schema.Bool:
		if yes, ok := d.yes(n.Value); ok {
			return yes, true
		}
		d.fail(n, path, fmt.Sprintf("%s must be yes or no, not %s", lastName(path), shown(n.Value)), "")
	case schema.Count:
		number, ok := d.count(n, path)
		if b := f.Bounds; ok && b != nil && !b.Hold(float64(number.(int64))) {
			d.outOfBounds(n, path, n.Value, b)
			return nil, false
		}
		return number, ok
	case schema.Text:
		return d.text(n, path)
	case schema.Enum:
		for _, word := range f.Enum {
			if n.Value == word {
				return word, true
			}
		}
		if word, ok := d.synonym(f, n.Value); ok {
			return word, true
		}
		if why, hint := which(f, n.Value); why != "" {
			d.fail(n, path, fmt.Sprintf("%s is doubtful for %s: %s", shown(n.Value), lastName(path), why), hint)
			return nil, false
		}
		// A slip seldom hits the first letter, and 'done' is far from 'none'.
		near := slices.DeleteFunc(slices.Clone(f.Enum), func(word string) bool {
			return n.Value == "" || !strings.EqualFold(word[:1], n.Value[:1])
		})
		d.fail(n, path, fmt.Sprintf("%s is not an answer for %s", shown(n.Value), lastName(path)), source.DidYouMean(n.Value, near, meant("", f.Enum, "write one of: ")))
	case schema.Quantity:
		return d.quantity(f, n, path)
	case schema.Thread:
		thread, err := quantity.ParseThread(n.Value)
		if err == nil {
			return thread, true
		}
		d.fail(n, path, err.Error(), "")
	case schema.Date:
		date, err := quantity.ParseDate(n.Value)
		if err == nil {
			return date, true
		}
		d.fail(n, path, err.Error(), "")
	case schema.Ref:
		if n.Value != "" {
			return n.Value, true
		}
		d.fail(n, path, "an id is missing here", "")
	}
	return nil, false
}

func (d *decoder) count(n *yaml.Node, path string) (any, bool) {
	digits := n.Value != "" && strings.Trim(n.Value, "0123456789") == ""
	if !digits {
		d.fail(n, path, fmt.Sprintf("%s must be a whole number, not %s", lastName(path), shown(n.Value)), "count them: 0, 1, 2 and so on")
		return nil, false
	}
	number, err := strconv.ParseInt(n.Value, 10, 64)
	if err != nil || number > maxCount {
		d.fail(n, path, fmt.Sprintf("%s is too large", shown(n.Value)), "")
		return nil, false
	}
	return number, true
}

// outOfBounds refuses what no vehicle made by hand has.
func (d *decoder) outOfBounds(n *yaml.Node, path, value string, b *schema.Bounds) {
	d.fail(n, path, fmt.Sprintf("%s is %s, but on such a vehicle it is %s to %s", lastName(path), value, b.Least, b.Most), "check the figure and its unit")
}

// text reads free text. Line breaks become spaces, because a message is one line.
func (d *decoder) text(n *yaml.Node, path string) (any, bool) {
	text := strings.Join(strings.FieldsFunc(d.material(path, n.Value), func(c rune) bool { return c == '\n' || c == '\r' || c == '\t' }), " ")
	text = strings.TrimSpace(text)
	switch {
	case text == "":
		d.fail(n, path, fmt.Sprintf("%s is empty", lastName(path)), "fill it in or delete it")
	case utf8.RuneCountInString(text) > maxText:
		d.fail(n, path, fmt.Sprintf("this text is longer than %d characters", maxText), "")
	case strings.ContainsFunc(text, func(c rune) bool { return unicode.IsControl(c) || unicode.Is(unicode.Cf, c) }):
		d.fail(n, path, "this text contains a control character", "retype it")
	default:
		return text, true
	}
	return nil, false
}

func (d *decoder) quantity(f *schema.Field, n *yaml.Node, path string) (any, bool) {
	q, err := quantity.Parse(n.Value, f.Dim)
	if err != nil {
		d.fail(n, path, err.Error(), "")
		return nil, false
	}
	name := lastName(path)
	switch b := f.Bounds; {
	case !f.Signed && q.Value < 0:
		d.fail(n, path, fmt.Sprintf("%s cannot be below zero", name), "")
	case b != nil && b.Least.Value > 0 && q.Value == 0:
		d.fail(n, path, fmt.Sprintf("%s cannot be zero", name), "if it is not known, leave it out")
	case !f.Band && (q.Tol != 0 || strings.Contains(n.Value, "±") || strings.Contains(n.Value, "+/-")):
		d.fail(n, path, fmt.Sprintf("%s takes no ±: it is judged as one figure", name), "write its bad end: the least that it may be of what holds, the most of what loads or gapes")
	case f.Dim == quantity.Mass && q.Value < q.Tol:
		d.fail(n, path, fmt.Sprintf("the ± of %s is larger than the mass", name), "")
	case b != nil && !b.Hold(q.Value):
		d.outOfBounds(n, path, q.String(), b)
	default:
		return q, true
	}
	return nil, false
}

// plate reads the short form of a plate, '4 mm S355 plate': a thickness, then a
// material, then perhaps the word plate or sheet.
func (d *decoder) plate(f *schema.Field, n *yaml.Node, path string) (any, bool) {
	words := strings.Fields(n.Value)
	if last := len(words) - 1; last >= 0 && (words[last] == "plate" || words[last] == "sheet") {
		words = words[:last]
	}
	// The longest start that is a length is the thickness: '1 1/2 in' has three words.
	for k := len(words); k > 0; k-- {
		start := strings.Join(words[:k], " ")
		if _, err := quantity.Parse(start, quantity.Length); err != nil {
			continue
		}
		plate := schema.NewRecord(f.Fields, d.span(n))
		part := *n
		part.Value = start
		d.set(plate, f.Field("thickness"), "thickness", &part, join(path, "thickness"))
		if k < len(words) {
			part.Value = strings.Join(words[k:], " ")
			d.set(plate, f.Field("material"), "material", &part, join(path, "material"))
		}
		return plate, true
	}
	d.fail(n, path, fmt.Sprintf("%s must begin with a thickness", shown(n.Value)), "write it as 4 mm S355 plate, or as {thickness: 4 mm, material: S355}")
	return nil, false
}

// list reads a list. An empty one is taken as not recorded: nobody can tell
// whether it means 'nothing' or 'to be filled in'. What holds nothing is a slip: it is
// fitted for something.
func (d *decoder) list(f *schema.Field, n *yaml.Node, path string) (any, bool) {
	if n.Kind != yaml.SequenceNode {
		hint := "write it in [brackets]"
		if n.Kind == yaml.ScalarNode && n.Value != "" {
			hint = "write it in [brackets]: [" + syntax.Clipped(n.Value) + "]"
		}
		d.fail(n, path, fmt.Sprintf("%s must be a list", lastName(path)), hint)
		return nil, false
	}
	if f.Size > 0 && len(n.Content) > 0 && len(n.Content) != f.Size {
		d.fail(n, path, fmt.Sprintf("%s must have %d entries, not %d", lastName(path), f.Size, len(n.Content)), "")
		return nil, false
	}
	if len(n.Content) == 0 && f.Name == "holds" {
		d.fail(n, path, "holds names nothing", "name what it holds, or leave holds out")
		return nil, false
	}
	var list []schema.Value
	before := len(d.errs)
	for i, e := range n.Content {
		if unsure(e) {
			d.fail(e, path, fmt.Sprintf("%s has an unknown entry", lastName(path)), "leave the list out until all of it is known")
			continue
		}
		inner := path
		if f.Elem.Type == schema.Object {
			inner = join(path, strconv.Itoa(i+1))
		}
		if v, ok := d.value(f.Elem, e, inner); ok {
			list = append(list, schema.Value{V: v, Span: d.span(resolved(e))})
		}
	}
	// A list of blocks keeps the good ones, so that their references are checked too.
	return list, len(list) > 0 && (len(d.errs) == before || f.Elem.Type == schema.Object)
}

// mapping reads a block whose keys the file chooses. How many there must be is
// checked once mirrored entries are filled in.
func (d *decoder) mapping(f *schema.Field, n *yaml.Node, path string) (any, bool) {
	if n.Kind != yaml.MappingNode {
		d.fail(n, path, fmt.Sprintf("%s needs a name for each entry", lastName(path)), "write it as {top: {...}, bottom: {...}}")
		return nil, false
	}
	inner := schema.NewRecord(nil, d.span(n))
	for key, value := range pairs(n) {
		if strings.Contains(key.Value, ".") {
			// A dot parts the names of a path, so what it names would not be found.
			d.fail(key, join(path, key.Value), fmt.Sprintf("%s cannot be used as a name in %s", shown(key.Value), lastName(path)), "write it without a dot")
			continue
		}
		if d.goodID(key, join(path, key.Value)) {
			d.set(inner, f.Elem, key.Value, value, join(path, key.Value))
		}
	}
	return inner, true
}

// coordinates returns the three nodes of a point or direction.
func (d *decoder) coordinates(n *yaml.Node, path, example string) ([]*yaml.Node, bool) {
	if n.Kind != yaml.SequenceNode || len(n.Content) != 3 {
		d.fail(n, path, fmt.Sprintf("%s must be three numbers in brackets", lastName(path)), "x forward, y left, z up: "+example)
		return nil, false
	}
	nodes := make([]*yaml.Node, 3)
	for i, e := range n.Content {
		nodes[i] = resolved(e)
		if nodes[i].Kind != yaml.ScalarNode || unsure(nodes[i]) {
			d.fail(e, path, fmt.Sprintf("%s of %s must be a number", axes[i], lastName(path)), "leave the point out until all of it is known")
			return nil, false
		}
	}
	return nodes, true
}

var axes = [3]string{"x", "y", "z"}

// point reads [x, y, z]. A coordinate is a bare number in the unit of the
// vehicle's coordinates, or a length with its own unit, each with ± if need be.
func (d *decoder) point(n *yaml.Node, path string) (any, bool) {
	nodes, ok := d.coordinates(n, path, "[1250, 20, 350]")
	if !ok {
		return nil, false
	}
	var at, tol [3]float64
	for i, e := range nodes {
		text := strings.TrimSpace(e.Value)
		if text != "" && strings.ContainsRune("0123456789.", rune(text[len(text)-1])) {
			text += " " + d.unit
		}
		q, err := quantity.Parse(text, quantity.Length)
		switch {
		case err != nil:
			d.fail(e, path, err.Error(), "")
			return nil, false
		case math.Abs(q.Value)+q.Tol > maxCoord:
			d.fail(e, path, fmt.Sprintf("%s of %s is more than %g m from the origin", axes[i], lastName(path), maxCoord), "bare numbers are in "+d.unit)
			return nil, false
		}
		at[i], tol[i] = q.Value, q.Tol
	}
	return schema.Vec{X: at[0], Y: at[1], Z: at[2], Tol: tol}, true
}

// vector reads a direction: three plain numbers of which only the ratio counts.
func (d *decoder) vector(n *yaml.Node, path string) (any, bool) {
	nodes, ok := d.coordinates(n, path, "[0, 1, 0]")
	if !ok {
		return nil, false
	}
	var dir [3]float64
	for i, e := range nodes {
		number, err := strconv.ParseFloat(e.Value, 64)
		if err != nil || math.IsNaN(number) || math.IsInf(number, 0) {
			d.fail(e, path, fmt.Sprintf("%s is not a plain number", shown(e.Value)), "a direction takes no unit and no ±")
			return nil, false
		}
		dir[i] = number
	}
	if dir == [3]float64{} {
		d.fail(n, path, fmt.Sprintf("%s is zero in all three directions", lastName(path)), "at least one must differ from zero")
		return nil, false
	}
	return schema.Vec{X: dir[0], Y: dir[1], Z: dir[2]}, true
}

// lastName is what messages call the field at the end of a path.
func lastName(path string) string {
	cut := strings.LastIndexByte(path, '.')
	name := path[cut+1:]
	if cut > 0 && strings.Trim(name, "0123456789") == "" {
		return "entry " + name + " of " + lastName(path[:cut])
	}
	return name
}

// shown quotes what the file says, short enough for a message.
func shown(text string) string { return syntax.Shown(text) }

// wanted is the hint for a field that was given a list or a block.
func wanted(f *schema.Field) string {
	switch f.Type {
	case schema.Bool:
		return "write yes or no"
	case schema.Quantity:
		return "write a " + f.Dim.String() + " with its unit"
	case schema.Enum:
		return "write one of: " + strings.Join(f.Enum, ", ")
	}
	return ""
}
