package check_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"setdown/model"
	"setdown/model/schema"
	"setdown/rules/verdict"
)

// everything is the generated state: one small vehicle in which every field of the
// table stands, made from testdata/proof/everything.yaml and the table.
func everything(t testing.TB) document { return fromTable(t, generated) }

// fromTable is a state made from the table: the items of a file of testdata/proof, each with every
// field that it does not write as everything.yaml says.
func fromTable(t testing.TB, name string) document {
	t.Helper()
	const proof = "../../testdata/proof"
	f := &filler{fine: child(parse(t, file(t, proof, generated+".yaml")), "fine"), vehicle: child(parse(t, file(t, proof, name+".yaml")), "vehicle")}
	f.mirror()
	for top, node := range pairs(f.vehicle) {
		kind := schema.KindOf(top)
		switch {
		case kind == nil:
		case kind.Single:
			f.fill(node, kind.Fields, child(f.fine, top))
		case kind.Listed:
			for _, entry := range node.Content {
				f.fill(entry, kind.Fields, child(f.fine, top))
			}
		default:
			for id, entry := range pairs(node) {
				fields := kind.Fields
				if f.mirrored(id) {
					fields = []schema.Field{*kind.Found()}
				}
				f.fill(entry, fields, child(f.fine, top))
			}
		}
	}
	return documentOf(t, f.vehicle)
}

// second is the document in the second format, in which a second pair of eyes is a look of its own.
func (d document) second() document {
	d = slices.DeleteFunc(slices.Clone(d), func(l line) bool { return l.path == "found.seen_by" })
	return d.with(d.find("format", "format", ""), "setdown/2")
}

type filler struct{ fine, vehicle *yaml.Node }

// mirror adds the entries of the other side, with nothing in them.
func (f *filler) mirror() {
	for top, node := range pairs(f.vehicle) {
		kind := schema.KindOf(top)
		if kind == nil || kind.Single || kind.Listed || kind.Found() == nil {
			continue
		}
		for id, entry := range pairs(node) {
			for _, m := range list(f.vehicle, "mirror") {
				if rest, ok := strings.CutPrefix(id, child(m, "from").Value); ok {
					twin := &yaml.Node{Kind: yaml.MappingNode}
					if found := child(entry, "found"); found != nil {
						twin.Content = append(twin.Content, scalar("found"), &yaml.Node{Kind: found.Kind, Tag: found.Tag, Value: found.Value, Content: append([]*yaml.Node(nil), found.Content...)})
					}
					node.Content = append(node.Content, scalar(child(m, "to").Value+rest), twin)
				}
			}
		}
	}
}

func (f *filler) mirrored(id string) bool {
	for _, m := range list(f.vehicle, "mirror") {
		if strings.HasPrefix(id, child(m, "to").Value) {
			return true
		}
	}
	return false
}

// fill adds to a block every field of the table that it does not write.
func (f *filler) fill(node *yaml.Node, fields []schema.Field, fine *yaml.Node) {
	for i := range fields {
		field := &fields[i]
		if field.Second {
			continue // a way to write that the reader turns into the first format's
		}
		value, given := child(node, field.Name), child(fine, field.Name)
		switch {
		case value == nil && given != nil && given.Kind != yaml.MappingNode:
			value = given
		case value == nil && (given != nil || field.Type == schema.Object):
			value = &yaml.Node{Kind: yaml.MappingNode}
		case value == nil:
			value = parseFlow(generic(field, f.first))
		}
		put(node, field.Name, value)
		switch {
		case value.Tag == "!!null":
			drop(node, field.Name)
		case field.Type == schema.Object:
			f.fill(value, field.Fields, given)
		case field.Type == schema.Map:
			for _, end := range pairs(value) {
				f.fill(end, field.Elem.Fields, child(given, "any"))
			}
		case field.Type == schema.List && field.Elem.Type == schema.Object:
			for _, entry := range value.Content {
				f.fill(entry, field.Elem.Fields, given.Content[0])
			}
		}
	}
}

// first is the first item of a kind.
func (f *filler) first(kind string) string {
	for id := range pairs(child(f.vehicle, kind)) {
		return id
	}
	return ""
}

// list is what stands under a key, entry by entry.
func list(n *yaml.Node, name string) []*yaml.Node {
	if at := child(n, name); at != nil {
		return at.Content
	}
	return nil
}

func child(n *yaml.Node, name string) *yaml.Node {
	for key, value := range pairs(n) {
		if key == name {
			return value
		}
	}
	return nil
}

func put(n *yaml.Node, name string, value *yaml.Node) {
	for i := 0; i < len(n.Content); i += 2 {
		if n.Content[i].Value == name {
			n.Content[i+1] = value
			return
		}
	}
	n.Content = append(n.Content, scalar(name), value)
}

func drop(n *yaml.Node, name string) {
	for i := 0; i < len(n.Content); i += 2 {
		if n.Content[i].Value == name {
			n.Content = append(n.Content[:i:i], n.Content[i+2:]...)
			return
		}
	}
}

func scalar(text string) *yaml.Node { return &yaml.Node{Kind: yaml.ScalarNode, Value: text} }

func parseFlow(text string) *yaml.Node {
	var doc yaml.Node
	if err := yaml.Unmarshal([]byte(text), &doc); err != nil {
		panic(err) // our own text
	}
	return doc.Content[0]
}

// TestEverythingStands reads the generated state, looks for every field of the table in
// it, and has every move of it judged: it is fine.
func TestEverythingStands(t *testing.T) {
	d := everything(t)
	b, err := model.Read("everything.yaml", []byte(d.String()), model.Companions{})
	require.NoError(t, err, "%s", d)
	stand := map[string]bool{}
	for _, l := range d {
		stand[l.name()] = true
	}
	for _, kind := range schema.Kinds() {
		for _, path := range paths(kind.Fields, kind.Name) {
			assert.True(t, stand[path], "%s stands nowhere in the generated state", path)
		}
	}
	for _, m := range judge(t, rules(t), b).Moves {
		assert.Equal(t, verdict.Go, m.Decision, "%s: %v", m.ID, said(m.Findings))
	}
}

// said are the findings that block, in words.
func said(list []verdict.Finding) []string {
	var words []string
	for _, f := range list {
		if f.Blocks() {
			words = append(words, f.Rule+": "+f.Say)
		}
	}
	return words
}

// paths lists the fields of the table below a path, blocks and what is in them.
func paths(fields []schema.Field, under string) []string {
	var list []string
	for i := range fields {
		f := &fields[i]
		if f.Second {
			continue
		}
		path := under + "." + f.Name
		list = append(list, path)
		switch {
		case f.Type == schema.Object:
			list = append(list, paths(f.Fields, path)...)
		case f.Elem != nil && f.Elem.Type == schema.Object:
			list = append(list, paths(f.Elem.Fields, path+".any")...)
		}
	}
	return list
}
