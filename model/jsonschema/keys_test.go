package jsonschema_test

import (
	"slices"
	"strings"

	"setdown/model/schema"
)

// rest stands beside the item x, so that references have something to lead to.
const rest = `
parts: {a: {}, b: {}}
supports: {st: {kind: stand}}
`

// least is what an item of a kind cannot do without.
var least = map[string][][2]string{
	"joints":     {{"kind", "pivot"}, {"between", "[a, b]"}},
	"links":      {{"ends", "{top: {on: a}, bottom: {on: b}}"}},
	"supports":   {{"kind", "stand"}},
	"restraints": {{"ties", "[a]"}, {"to", "b"}},
	"moves":      {{"kind", "lower"}, {"steps", "[{name: down, supports: [st]}]"}},
	"mirror":     {{"from", "q-"}, {"to", "r-"}, {"across", "y"}},
	"waivers":    {{"rule", "r"}, {"item", "vehicle"}, {"reason", "it is so"}, {"by", "RT"}, {"until", "2026-12-01"}},
}

// everyKey writes small files that give each key of the table each of the values.
func everyKey(values []string) []string {
	var texts []string
	for _, kind := range schema.Kinds() {
		for _, path := range paths(kind.Fields, nil) {
			for _, v := range values {
				texts = append(texts, file(kind, path[0], strings.Join(path, ": {")+": "+v+strings.Repeat("}", len(path)-1)))
			}
		}
	}
	ends := schema.KindOf("links").Field("ends").Elem.Fields
	steps := schema.KindOf("moves").Field("steps").Elem.Fields
	for _, v := range values {
		for _, f := range ends {
			on := "on: a, "
			if f.Name == "on" {
				on = ""
			}
			texts = append(texts, file(schema.KindOf("links"), "ends", "ends: {top: {"+on+f.Name+": "+v+"}, bottom: {on: b}}"))
		}
		for _, f := range steps {
			text := ""
			for _, need := range []string{"name: down", "supports: [st]"} {
				if !strings.HasPrefix(need, f.Name+":") {
					text += need + ", "
				}
			}
			texts = append(texts, file(schema.KindOf("moves"), "steps", "steps: [{"+text+f.Name+": "+v+"}]"))
		}
		texts = append(texts,
			file(schema.KindOf("links"), "ends", "ends: {top: {on: a}, bottom: "+v+"}"),
			file(schema.KindOf("moves"), "steps", "steps: [{name: down, supports: [st]}, "+v+"]"),
			"format: setdown/1\nplaces: "+v+"\n", "format: "+v+"\n", "format: setdown/1\nwelds: "+v+"\n", "format: setdown/1\nwelds: {x: "+v+"}\n")
	}
	return texts
}

// paths lists the keys of a block, those of the blocks inside it included.
func paths(fields []schema.Field, above []string) [][]string {
	var list [][]string
	for _, f := range fields {
		path := append(above[:len(above):len(above)], f.Name)
		list = append(list, path)
		if f.Type == schema.Object {
			list = append(list, paths(f.Fields, path)...)
		}
	}
	return list
}

// file has one item of the kind with what it needs and one key more, which is
// given as text.
func file(kind *schema.Kind, key, text string) string {
	var keys []string
	for _, need := range least[kind.Name] {
		if need[0] != key {
			keys = append(keys, need[0]+": "+need[1])
		}
	}
	item := "{" + strings.Join(slices.Concat(keys, []string{text}), ", ") + "}"
	around := rest
	switch {
	case kind.Listed:
		item = "[" + item + "]"
	case kind.Single:
	case kind.Name == "parts":
		around = ""
		item = "{x: " + item + "}"
	case kind.Name == "supports":
		around = strings.Replace(rest, "\nsupports: {st: {kind: stand}}", "", 1)
		item = "{x: " + item + "}"
	default:
		item = "{x: " + item + "}"
	}
	return "format: setdown/1\n" + kind.Name + ": " + item + around
}
