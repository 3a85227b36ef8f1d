package model

import (
	"fmt"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"setdown/model/schema"
	"setdown/model/source"
)

// likeKey is the key with which an item says that it is what another one is.
const likeKey = "like"

// likeness is one such saying.
type likeness struct {
	base string
	span source.Span
}

// likes fills in what items take over from others: what a thing is, never where
// it is or what was found on it. What is written counts, and null takes a field
// away.
func (r *reader) likes() {
	done := map[*Item]bool{}
	for _, kind := range schema.Kinds() {
		for _, item := range r.build.Of(kind.Name) {
			r.resolveLike(item, nil, done)
		}
	}
}

// resolveLike completes one item after its base. trail is the way to it.
func (r *reader) resolveLike(item *Item, trail []string, done map[*Item]bool) {
	like, ok := r.like[item]
	if !ok || done[item] {
		return
	}
	path := item.Path() + "." + likeKey
	if i := slices.Index(trail, item.ID); i >= 0 {
		r.failAt(like.span, path, "these are like each other in a ring: "+strings.Join(append(trail[i:], item.ID), " → "), "write one of them out")
		done[item] = true
		return
	}
	base := r.build.byID[like.base]
	switch {
	case base == nil && r.madeByMirror(like.base):
		r.failAt(like.span, path, fmt.Sprintf("%s is made by mirror", shown(like.base)), "write like: and the item that it is the mirror of")
	case base == nil:
		r.failAt(like.span, path, fmt.Sprintf("there is no item %s", shown(like.base)), meant(like.base, r.build.ids(), "the items are "))
	case base.Kind != item.Kind:
		r.failAt(like.span, path, fmt.Sprintf("%s is a %s, and a %s cannot be like it", base.ID, base.Kind.Item, item.Kind.Item), "")
	case r.madeByMirror(item.ID):
		r.failAt(like.span, path, fmt.Sprintf("%s is the mirror of another item already", item.ID), "write like or let mirror make it, not both")
	default:
		r.resolveLike(base, append(trail, item.ID), done)
		if !done[item] {
			r.inherit(item.Record, base.Record, nil)
			item.Base = base.ID
		}
	}
	done[item] = true
}

// madeByMirror says whether a mirror entry makes or completes the item.
func (r *reader) madeByMirror(id string) bool {
	return slices.ContainsFunc(r.build.Of("mirror"), func(entry *Item) bool {
		from, _ := entry.Text("from")
		to, _ := entry.Text("to")
		rest, ok := strings.CutPrefix(id, to)
		return ok && to != "" && r.build.byID[from+rest] != nil
	})
}

// inherit takes over the fields that are not written, block by block. elem
// describes the values of a block whose keys the file chose.
func (r *reader) inherit(written, base *schema.Record, elem *schema.Field) {
	for _, name := range base.Names() {
		field := described(base, name, elem)
		v, _ := base.Lookup(name)
		if field.Own || name == schema.Found {
			continue
		}
		if r.left[slot{written, name}] != 0 {
			r.takenAway(written, name)
			continue
		}
		inner, isBlock := v.V.(*schema.Record)
		own, there := written.Lookup(name)
		switch {
		case there && field.Type == schema.Map:
			// The ends of a link are its own; what they are like goes by their names.
			ends := own.V.(*schema.Record)
			for _, end := range ends.Names() {
				e, _ := ends.Lookup(end)
				if b, ok := inner.Lookup(end); ok {
					r.inherit(e.V.(*schema.Record), b.V.(*schema.Record), nil)
				}
			}
		case there && isBlock:
			r.inherit(own.V.(*schema.Record), inner, field.Elem)
		case !there && isBlock:
			block := schema.NewRecord(inner.Fields, v.Span)
			r.inherit(block, inner, field.Elem)
			written.Set(name, schema.Value{V: block, Span: v.Span})
		case !there:
			written.Set(name, schema.CloneValue(v))
		}
	}
}

// takenAway notes that a null took away something that was there.
func (r *reader) takenAway(record *schema.Record, name string) {
	at := slot{record, name}
	if t, ok := r.taken[at]; ok {
		t.done = true
		r.taken[at] = t
	}
}

// checkTaken refuses a null on what was never there: it reads as if it said
// something.
func (r *reader) checkTaken() {
	for _, t := range r.taken {
		if !t.done {
			r.failAt(t.span, t.path, fmt.Sprintf("null takes %s away, but nothing gives it", lastName(t.path)), "take the line out, or write 'not sure'")
		}
	}
}

// holdsByName fills in what an item holds where its id says it:
// rl-lower-front-bolt holds rl-lower-front, and rl-toe-inner-bolt holds
// rl-toe/inner.
func (r *reader) holdsByName() {
	for _, kind := range schema.Kinds() {
		if kind.Field("holds") == nil {
			continue
		}
		for _, item := range r.build.Of(kind.Name) {
			if _, written := item.Lookup("holds"); written || r.left[slot{item.Record, "holds"}] != 0 {
				continue
			}
			if item.Field("role") != nil {
				if role, _ := item.Text("role"); role == "frame node" {
					continue
				}
			}
			if target := r.named(item.ID); target != "" {
				item.Set("holds", schema.Value{V: []schema.Value{{V: target, Span: item.Span}}, Span: item.Span})
				item.HoldsByName = true
			}
		}
	}
}

// named is the joint or link end whose name an id begins with, up to its last
// word.
func (r *reader) named(id string) string {
	cut := strings.LastIndexByte(id, '-')
	if cut < 0 {
		return ""
	}
	name := id[:cut]
	if joint := r.build.byID[name]; joint != nil && joint.Kind.Name == "joints" {
		return name
	}
	for i := range name {
		if name[i] != '-' {
			continue
		}
		link := r.build.byID[name[:i]]
		if link != nil && link.Kind.Name == "links" && slices.Contains(endNames(link), name[i+1:]) {
			return name[:i] + "/" + name[i+1:]
		}
	}
	return ""
}

// takeOut takes the keys of the second format that are not facts out of an item:
// what it is like, and what was found, which is a look of its own day.
func (r *reader) takeOut(item *Item, n *yaml.Node) *yaml.Node {
	n = resolved(n)
	if n.Kind != yaml.MappingNode {
		return n
	}
	rest := *n
	rest.Content = nil
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := resolved(n.Content[i]), n.Content[i+1]
		switch {
		case key.Value == likeKey && !item.Kind.Single && !item.Kind.Listed:
			v, ok := r.value(&schema.Field{Name: likeKey, Type: schema.Ref}, value, item.Path()+"."+likeKey)
			if ok {
				r.like[item] = likeness{base: v.(string), span: r.span(resolved(value))}
			}
		case key.Value == schema.Found && item.Kind.Found() != nil:
			r.foundLooks = append(r.foundLooks, foundLook{item: item, node: resolved(value), span: r.span(key)})
		default:
			rest.Content = append(rest.Content, n.Content[i], value)
		}
	}
	return &rest
}

// refuseCopies refuses an alias that brings what was found to a second item, or a
// look into a second line: nobody saw that there.
func (r *reader) refuseCopies(n *yaml.Node, seen bool) {
	if n.Kind == yaml.AliasNode {
		if seen || holdsFindings(n.Alias) {
			r.fail(n, "", "an alias copies what was found", "look at each thing; what it is like is written as like: and its id")
		}
		return // what it stands for is walked where it stands
	}
	for i, e := range n.Content {
		isSeen := seen
		if n.Kind == yaml.MappingNode && i%2 == 1 {
			key := n.Content[i-1].Value
			isSeen = seen || key == schema.Found || key == "looks"
		}
		r.refuseCopies(e, isSeen)
	}
}

// holdsFindings says whether a found block stands anywhere in it.
func holdsFindings(n *yaml.Node) bool {
	if n.Kind == yaml.AliasNode {
		return false // refused where it stands
	}
	for i, e := range n.Content {
		if n.Kind == yaml.MappingNode && i%2 == 0 && e.Value == schema.Found || holdsFindings(e) {
			return true
		}
	}
	return false
}
