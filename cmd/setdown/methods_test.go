package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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
