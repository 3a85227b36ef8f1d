package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
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
