package main

import (
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// allowed says what each package may import of this module, by prefix. Data
// flows one way: cmd → reports → rules → model.
var allowed = map[string][]string{
	"model/source":     {},
	"model/syntax":     {"model/source"},
	"model/quantity":   {"model/source"},
	"model/schema":     {"model/source", "model/quantity"},
	"model/hull":       {},
	"model/layouts":    {"model/source"},
	"model/looks":      {"model/schema", "model/quantity", "model/source"},
	"model/statics":    {"model/hull"},
	"model/linkage":    {},
	"model/strength":   {"model/quantity"},
	"model/jsonschema": {"model/schema", "model/quantity", "model/source"},
	"model":            {"model/layouts", "model/looks", "model/schema", "model/quantity", "model/source", "model/syntax"},
	"rules/verdict":    {"model/source", "model/quantity"},
	"rules/vehicle":    {"model"},
	"rules/facts":      {"rules/vehicle", "rules/travel", "rules/verdict", "model"},
	"rules/pack":       {"model/source", "model/syntax"},
	"rules/packs":      {},
	"rules/engine":     {"rules/pack", "rules/facts", "rules/verdict", "model/schema", "model/source", "model/quantity"},
	"rules/punch":      {"rules/verdict"},
	"rules/ask":        {"rules/verdict", "model"},
	"rules/travel":     {"rules/vehicle", "rules/verdict", "model"},
	"rules/packtest":   {"rules/engine", "rules/pack", "rules/packs", "rules/facts", "rules/verdict", "model/schema", "model/source", "model/quantity"},
	"rules/check":      {"rules/vehicle", "rules/engine", "rules/facts", "rules/punch", "rules/verdict", "model"},
	"rules/ways":       {"rules/check", "rules/engine", "rules/vehicle", "rules/verdict", "model"},
	"reports/plain":    {"rules/verdict", "model/source", "model/quantity"},
	"reports":          {"reports", "rules/verdict", "model/source", "model/quantity", "model/hull"},
	"cmd":              {"cmd", "reports", "rules", "model"},
}

// doors are the big dependencies and the one place that may import each.
var doors = map[string][]string{
	"github.com/google/cel-go":      {"rules/engine"},
	"gonum.org/v1/gonum/mat":        {"model/statics", "model/linkage"},
	"gonum.org/v1/gonum/spatial/r3": {"model/statics", "model/linkage", "model/strength", "rules/vehicle", "rules/travel", "rules/facts", "rules/check"}, // vectors only
	"gopkg.in/yaml.v3":              {"model", "model/layouts", "model/syntax", "rules/pack", "cmd/setdown/internal/signoff"},
	"github.com/spf13/cobra":        {"cmd/setdown/internal/app"},
}

func TestImportsPointOneWay(t *testing.T) {
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}} {{join .Imports " "}}`, "setdown/...").Output()
	require.NoError(t, err)
	packages := 0
	for line := range strings.Lines(string(out)) {
		fields := strings.Fields(line)
		self := strings.TrimPrefix(fields[0], "setdown/")
		if self == "setdown" {
			continue
		}
		packages++
		may, known := rule(self)
		require.True(t, known, "%s stands in no room of the house: add it to this table and say what it may import", self)
		for _, path := range fields[1:] {
			if inner, ours := strings.CutPrefix(path, "setdown/"); ours {
				if !slices.ContainsFunc(may, func(m string) bool { return within(inner, m) }) {
					t.Errorf("%s imports %s, which it may not", self, inner)
				}
				continue
			}
			for door, rooms := range doors {
				if strings.HasPrefix(path, door) && !slices.Contains(rooms, self) {
					t.Errorf("%s imports %s; its one door is %v", self, path, rooms)
				}
			}
		}
	}
	require.Greater(t, packages, 10, "the list of packages looks wrong")
}

// TestEveryRoomIsInTheTable: what DEVELOPERS.md says of the rooms is of those that there are, and of
// every one; the writers share a line.
func TestEveryRoomIsInTheTable(t *testing.T) {
	text, err := os.ReadFile("../../DEVELOPERS.md")
	require.NoError(t, err)
	_, table, _ := strings.Cut(string(text), "| room | job |\n| --- | --- |\n")
	table, _, _ = strings.Cut(table, "\n\n")
	var told []string
	for line := range strings.Lines(table) {
		first, _, _ := strings.Cut(strings.TrimPrefix(line, "| "), " |")
		for room := range strings.SplitSeq(first, ", ") {
			told = append(told, strings.Trim(room, "`"))
		}
	}
	out, err := exec.Command("go", "list", "setdown/...").Output()
	require.NoError(t, err)
	for path := range strings.FieldsSeq(string(out)) {
		room := strings.TrimPrefix(path, "setdown/")
		i := slices.Index(told, room)
		if i < 0 && strings.HasPrefix(room, "reports") {
			continue // a writer, in the line of all
		}
		require.NotEqual(t, -1, i, "DEVELOPERS.md does not say what %s is for", room)
		told = slices.Delete(told, i, i+1)
	}
	require.ElementsMatch(t, []string{"reports/…"}, told, "rooms that are not there")
}

// rule finds the entry for a package: its own, else that of the nearest room
// around it.
func rule(self string) ([]string, bool) {
	for room := self; room != ""; {
		if may, ok := allowed[room]; ok {
			return may, true
		}
		i := strings.LastIndex(room, "/")
		if i < 0 {
			break
		}
		room = room[:i]
	}
	return nil, false
}

// within reports whether a package is the room or inside it. The room "model"
// stands for every package below it as well.
func within(inner, room string) bool {
	return inner == room || strings.HasPrefix(inner, room+"/")
}
