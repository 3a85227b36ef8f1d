package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/rules/verdict"
)

// Every method that a strength may name stands in the page of methods, word for word: a field Method of a
// literal, or what is assigned to one.
func TestMethodsStandInTheirPage(t *testing.T) {
	page, err := os.ReadFile("../../testdata/proof/methods.md")
	require.NoError(t, err)
	named := 0
	for _, room := range []string{"model/strength", "rules/facts"} {
		files, err := filepath.Glob("../../" + room + "/*.go")
		require.NoError(t, err)
		for _, name := range files {
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.SkipObjectResolution)
			require.NoError(t, err)
			for _, method := range methodsIn(file) {
				named++
				assert.True(t, strings.Contains(string(page), "`"+method+"`"), "%s: %q", name, method)
			}
		}
	}
	assert.Greater(t, named, 30)
}

// Every figure of a report and of a table of travel is in the table of figures of that page, with the method that it is
// of: a row of the page, or what the file says.
func TestEveryFigureHasItsMethod(t *testing.T) {
	page, err := os.ReadFile("../../testdata/proof/methods.md")
	require.NoError(t, err)
	text := string(page)
	_, table, there := strings.Cut(text, "| figure | method |")
	require.True(t, there)
	methods, listed := map[string]string{}, 0
	for line := range strings.Lines(table) {
		cells := strings.Split(strings.Trim(strings.TrimSpace(line), "|"), "|")
		if len(cells) != 2 {
			if listed > 0 {
				break
			}
			continue
		}
		method := strings.TrimSpace(cells[1])
		for name := range strings.SplitSeq(method, "; ") {
			assert.True(t, name == "---" || name == "as written" || name == "as printed beside it" || strings.Contains(text, "\n| "+name+" |"), "no row of the page: %s", name)
		}
		for figure := range strings.SplitSeq(cells[0], ",") {
			methods[strings.Trim(figure, " `")] = method
			listed++
		}
	}
	fields := map[string]bool{}
	figures(reflect.TypeFor[verdict.Report](), fields, map[reflect.Type]bool{})
	figures(reflect.TypeFor[verdict.Height](), fields, map[reflect.Type]bool{})
	figures(reflect.TypeFor[verdict.Travel](), fields, map[reflect.Type]bool{})
	for field := range fields {
		assert.NotEmpty(t, methods[field], field)
	}
	for field := range methods {
		assert.True(t, fields[field] || field == "---", "no such figure: %s", field)
	}
	assert.Greater(t, len(fields), 60)
}

// figures lists the fields of a type, and of what it holds, that are figures, as Type.Field. Places are as drawn.
func figures(of reflect.Type, list map[string]bool, seen map[reflect.Type]bool) {
	for slices.Contains([]reflect.Kind{reflect.Pointer, reflect.Slice, reflect.Array, reflect.Map}, of.Kind()) {
		of = of.Elem()
	}
	if of.Kind() != reflect.Struct || seen[of] || of == reflect.TypeFor[verdict.Point]() || of == reflect.TypeFor[verdict.Figure]() {
		return
	}
	seen[of] = true
	for i := range of.NumField() {
		field := of.Field(i)
		kind := field.Type
		for slices.Contains([]reflect.Kind{reflect.Pointer, reflect.Slice, reflect.Array}, kind.Kind()) {
			kind = kind.Elem()
		}
		if kind == reflect.TypeFor[verdict.Figure]() || kind.Kind() == reflect.Float64 {
			list[of.Name()+"."+field.Name] = true
		}
		figures(kind, list, seen)
	}
}

// methodsIn lists the texts that a file gives to fields called Method.
func methodsIn(file *ast.File) (list []string) {
	text := func(e ast.Expr) {
		if lit, is := e.(*ast.BasicLit); is && lit.Kind == token.STRING {
			s, _ := strconv.Unquote(lit.Value)
			list = append(list, s)
		}
	}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.KeyValueExpr:
			if key, is := n.Key.(*ast.Ident); is && key.Name == "Method" {
				text(n.Value)
			}
		case *ast.AssignStmt:
			for i, left := range n.Lhs {
				if field, is := left.(*ast.SelectorExpr); is && field.Sel.Name == "Method" && len(n.Rhs) == len(n.Lhs) {
					text(n.Rhs[i])
				}
			}
		}
		return true
	})
	return list
}

// TestProofNamesTests: every test that a page of proof names is there.
func TestProofNamesTests(t *testing.T) {
	pages, err := filepath.Glob("../../testdata/proof/*.md")
	require.NoError(t, err)
	require.NotEmpty(t, pages)
	var tests strings.Builder
	require.NoError(t, filepath.WalkDir("../..", func(path string, _ os.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(path, "_test.go") {
			text, err := os.ReadFile(path)
			tests.Write(text)
			return err
		}
		return err
	}))
	for _, name := range pages {
		page, err := os.ReadFile(name)
		require.NoError(t, err)
		for _, test := range regexp.MustCompile(`\bTest[A-Z]\w+`).FindAllString(string(page), -1) {
			assert.Contains(t, tests.String(), "func "+test, name)
		}
	}
}
