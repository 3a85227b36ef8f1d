package model

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"setdown/model/looks"
	"setdown/model/schema"
	"setdown/model/source"
	"setdown/model/syntax"
)

// The limits of a build file. A car described down to the last split pin takes
// a few hundred kilobytes; what is far larger is something else, or an attack.
const (
	maxBytes   = 8 << 20 // bytes of the file
	maxDepth   = 32      // blocks inside blocks
	maxItems   = 20_000  // items in the file, and again once mirrored
	maxMirrors = 100     // mirror entries
	maxAliased = 10_000  // values that come in through aliases
	maxErrors  = 100     // errors printed in one run
)

// The formats this reader knows.
const (
	formatName   = "setdown/1"
	secondFormat = "setdown/2"
)

// Companions are the files that belong to a build file of the second format.
type Companions struct {
	Looks []byte                            // of NAME.looks.yaml; nil when there is none
	Table func(name string) ([]byte, error) // a table of points, by the name that the build file gives
}

// Load reads the build file at path and what belongs to it. The error is
// source.Errors.
func Load(path string, assume ...Assumption) (*Build, error) {
	t, err := textsOf(path)
	if err != nil {
		return nil, err
	}
	b, err := Read(t.name, t.text, t.Companions, assume...)
	if err != nil {
		return nil, err
	}
	b.Files = t.files
	return b, nil
}

// texts are a build file and what belongs to it, as they are on the disk.
type texts struct {
	name string
	text []byte
	Companions
	files []string // that were read, or would have been
}

func textsOf(path string) (*texts, error) {
	t := &texts{name: filepath.ToSlash(path)}
	var err error
	if t.text, err = source.ReadFile(path, maxBytes, "build file"); err != nil {
		return nil, source.Errors{{Span: source.Span{File: t.name}, Message: err.Error()}}
	}
	log := LogName(path)
	t.files = []string{path, log}
	t.Table = func(table string) ([]byte, error) {
		beside := filepath.Join(filepath.Dir(path), table)
		t.files = append(t.files, beside)
		return source.ReadFile(beside, maxBytes, "table of points")
	}
	if t.Looks, err = source.ReadFile(log, maxBytes, "log of looks"); errors.Is(err, source.ErrAbsent) {
		t.Looks = nil
	} else if err != nil {
		return nil, source.Errors{{Span: source.Span{File: filepath.ToSlash(log)}, Message: err.Error()}}
	}
	return t, nil
}

// buildFile is what a build file may hold.
var buildFile = syntax.Kind{
	Name: "build file", MaxBytes: maxBytes, MaxDepth: maxDepth, MaxAliased: maxAliased, MaxItems: maxItems,
	Tag:    syntax.Words{Message: "tags are not allowed in a build file", Hint: "delete the word that begins with !"},
	Empty:  `begin with "format: ` + formatName + `"`,
	One:    "one file holds one vehicle",
	Repeat: "write the keys out, or use mirror for the other side",
}

// Read reads a build file from its text, with the files that belong to it; name is what
// messages call it. The assumptions are laid over what the file records, as if they stood in
// it. The error is source.Errors with every problem found, in the order of the file.
func Read(name string, text []byte, with Companions, assume ...Assumption) (*Build, error) {
	r := newReader(name)
	if root := r.draw(text, with.Table); root != nil {
		r.see(root, with.Looks)
		r.assume(assume)
		r.check()
	}
	if len(r.errs) > 0 {
		return nil, capped(r.errs.Sorted())
	}
	if len(assume) > 0 {
		r.build.Source = sha256.Sum256(fmt.Append(r.build.Source[:], assume))
	}
	return r.build, nil
}

func newReader(name string) *reader {
	return &reader{
		build: &Build{
			File:    name,
			Vehicle: schema.NewRecord(schema.KindOf("vehicle").Fields, source.Span{File: name}),
			Site:    schema.NewRecord(schema.KindOf("site").Fields, source.Span{File: name}),
			Items:   map[string][]*Item{},
			byID:    map[string]*Item{},
		},
		decoder:   decoder{file: name, unit: "mm", left: map[slot]omission{}, taken: map[slot]removal{}},
		like:      map[*Item]likeness{},
		brackets:  map[string]bool{},
		blank:     map[*Item]bool{},
		badKinds:  map[string]bool{},
		placeSpan: map[string]source.Span{},
		badRefs:   map[source.Span]bool{},
		before:    newHeard(),
		heard:     newHeard(),
	}
}

// draw reads all that hangs on no log; nil is returned of what is no build file.
func (r *reader) draw(text []byte, table func(name string) ([]byte, error)) *yaml.Node {
	root := buildFile.Parse(r.build.File, text, &r.errs)
	if root == nil {
		return nil
	}
	digest := sha256.New()
	digest.Write(text)
	r.refuseCopies(root, false)
	r.top(root)
	var rows []pointRow
	if r.second {
		r.likes()
		r.inEveryStep()
		r.holdsByName()
		rows = r.points(func(name string) ([]byte, error) {
			text, err := table(name)
			r.tables = append(r.tables, name)
			digest.Write(text)
			return text, err
		})
		rows = r.place(rows)
	}
	r.mirror()
	if r.second {
		r.noPlace(r.place(rows))
		r.middles()
		r.checkTaken()
		r.tiedPlaces()
		r.drawDesigns()
	}
	r.build.Source = [sha256.Size]byte(digest.Sum(nil))
	return root
}

// see reads the log and lays what it says into what is drawn.
func (r *reader) see(root *yaml.Node, beside []byte) {
	if r.second {
		log := r.readLog(beside)
		r.arrivals(log)
		r.stand(log)
		r.checkAxles(log)
		r.checkFamilies(log)
		r.checkGroups()
	} else if beside != nil && len(r.errs) == 0 {
		r.fail(root, "format", fmt.Sprintf("%s lies beside this file, but looks are read in the second format only", filepath.Base(LogName(r.build.File))), "write format: "+secondFormat)
	}
}

// capped keeps the list short enough to be read.
func capped(errs source.Errors) source.Errors {
	if len(errs) <= maxErrors {
		return errs
	}
	rest := &source.Error{
		Span:    errs[maxErrors].Span,
		Message: fmt.Sprintf("and %d more from here on", len(errs)-maxErrors),
		Hint:    "correct the first ones and check again",
	}
	return append(slices.Clone(errs[:maxErrors]), rest)
}

// reader builds one Build from the tree of a file.
type reader struct {
	decoder
	build     *Build
	blank     map[*Item]bool  // of which the file holds an id and nothing, or a null
	badKinds  map[string]bool // sections that could not be read: references into them are not judged
	placeSpan map[string]source.Span
	badRefs   map[source.Span]bool // where references that lead nowhere were reported

	// Of the second format.
	like       map[*Item]likeness
	brackets   map[string]bool // the joints that stand in one by the layout of their axle
	foundLooks []foundLook
	looksNode  *yaml.Node
	pointsNode *yaml.Node
	tables     []string                 // of points, that were read
	designs    map[string][]looks.Drawn // by the id of what looks are at
	// What was read of the log, in an earlier reading of the same file and in this one.
	before, heard *heard
}

// top reads the top level of the file.
func (r *reader) top(root *yaml.Node) {
	if root.Kind != yaml.MappingNode {
		r.fail(root, "", "the file needs keys such as format, welds and moves", `begin with "format: `+formatName+`"`)
		return
	}
	if !r.format(root) {
		return
	}
	// Bare coordinates take their unit from the vehicle, wherever it stands.
	for key, value := range pairs(root) {
		if key.Value == "vehicle" {
			r.single(schema.KindOf("vehicle"), key, value)
			r.unit = "mm"
			if unit, ok := r.build.Vehicle.Text("coordinates"); ok {
				r.unit = unit
			}
		}
	}
	first := map[*schema.Kind]*yaml.Node{}
	for key, value := range pairs(root) {
		kind := schema.KindOf(key.Value)
		if other := first[kind]; kind != nil && other != nil && other.Value != key.Value {
			r.failAt(r.span(key), key.Value, fmt.Sprintf("%s and %s are two spellings of one heading", other.Value, key.Value), "put all of it under "+kind.Name,
				source.Related{Span: r.span(other), Message: "first here"})
			continue
		}
		first[kind] = key
		switch {
		case key.Value == "format", key.Value == "vehicle":
		case key.Value == "places":
			r.places(value)
		case r.heading(key.Value, resolved(value)):
		case kind == nil:
			known := append([]string{"format", "places"}, inBoth...)
			if r.second {
				known = append([]string{"format", "places"}, slices.Sorted(maps.Keys(headings))...)
			}
			for _, k := range schema.Kinds() {
				known = append(known, k.Name)
			}
			hint := meant(key.Value, known, "the headings are ")
			if heading := headingOf(key.Value); heading != "" {
				hint = "write them under " + heading
			}
			r.fail(key, "", fmt.Sprintf("a build file has no heading %s", shown(key.Value)), hint)
		case unsure(value):
		case kind.Single:
			r.single(kind, key, value)
		case kind.Listed:
			r.listed(kind, value)
		default:
			r.items(kind, value)
		}
	}
}

// format says whether the file is one that this reader can read on.
func (r *reader) format(root *yaml.Node) bool {
	for key, value := range pairs(root) {
		if key.Value != "format" {
			continue
		}
		if value.Kind == yaml.ScalarNode && (value.Value == formatName || value.Value == secondFormat) {
			r.second = value.Value == secondFormat
			return true
		}
		r.fail(value, "format", "this format is not known", "write format: "+formatName)
		return false
	}
	r.fail(root, "format", "the first line must say the format", `write "format: `+formatName+`" on the first line`)
	return true
}

func (r *reader) single(kind *schema.Kind, key, value *yaml.Node) {
	if unsure(value) {
		return
	}
	target := r.build.Vehicle
	if kind.Name == "site" {
		target = r.build.Site
	}
	target.Span = r.span(key)
	if r.second {
		value = r.takeOut(&Item{Kind: kind, ID: kind.Name, Record: target}, value)
	}
	r.record(target, kind.Name, value, kind.Name)
}

func (r *reader) places(n *yaml.Node) {
	n = resolved(n)
	if unsure(n) {
		return
	}
	if n.Kind != yaml.SequenceNode {
		r.fail(n, "places", "places must be a list", "write it as [front-left, front-right, body]")
		return
	}
	field := &schema.Field{Name: "places", Type: schema.Text}
	for _, e := range n.Content {
		v, ok := r.value(field, e, "places")
		if !ok {
			continue
		}
		place := v.(string)
		if first, twice := r.placeSpan[place]; twice {
			r.failAt(r.span(e), "places", fmt.Sprintf("the place %s is listed twice", shown(place)), "", source.Related{Span: first, Message: "first here"})
			continue
		}
		r.placeSpan[place] = r.span(e)
		r.build.Places = append(r.build.Places, place)
	}
}

// listed reads a list of blocks that have no ids.
func (r *reader) listed(kind *schema.Kind, n *yaml.Node) {
	n = resolved(n)
	if n.Kind != yaml.SequenceNode {
		r.fail(n, kind.Name, kind.Name+" must be a list", "begin each entry with a dash")
		return
	}
	for i, e := range n.Content {
		item := &Item{Kind: kind, ID: strconv.Itoa(i + 1), Span: r.span(e), Record: schema.NewRecord(kind.Fields, r.span(e))}
		if unsure(e) {
			r.fail(e, item.Path(), "this entry is empty", "fill it in or delete it")
			continue
		}
		r.record(item.Record, kind.Item, e, item.Path())
		r.build.Items[kind.Name] = append(r.build.Items[kind.Name], item)
	}
}

// items reads a map from id to item.
func (r *reader) items(kind *schema.Kind, n *yaml.Node) {
	n = resolved(n)
	if n.Kind != yaml.MappingNode {
		r.fail(n, kind.Name, kind.Name+" needs an id for each "+kind.Item, "write the id, a colon, and what is known about it")
		r.badKinds[kind.Name] = true
		return
	}
	for key, value := range pairs(n) {
		id, span := key.Value, r.span(key)
		path := kind.Name + "." + id
		if !r.goodID(key, path) {
			continue
		}
		if first := r.build.byID[id]; first != nil {
			// The same id twice under one heading was reported as a double key.
			if first.Kind != kind {
				r.failAt(span, path, fmt.Sprintf("the id %q is already used, for a %s", id, first.Kind.Item), "use each id for one thing only in the whole file",
					source.Related{Span: first.Span, Message: "first here"})
			}
			continue
		}
		item := &Item{Kind: kind, ID: id, Span: span, Record: schema.NewRecord(kind.Fields, span)}
		if unsure(value) {
			r.blank[item] = true
		} else {
			if r.second {
				value = r.takeOut(item, value)
			}
			r.record(item.Record, kind.Item+" "+id, value, path)
		}
		r.add(item)
	}
}

func (r *reader) add(item *Item) {
	r.build.byID[item.ID] = item
	r.build.Items[item.Kind.Name] = append(r.build.Items[item.Kind.Name], item)
}

// meant is the hint after a word that is not known: the nearest known word, or
// the whole list when that is short enough to be read.
func meant(word string, known []string, intro string) string {
	const short = 12
	otherwise := ""
	if len(known) > 0 && len(known) <= short {
		otherwise = intro + strings.Join(known, ", ")
	}
	return source.DidYouMean(word, known, otherwise)
}
