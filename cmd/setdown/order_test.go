package main

import (
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestFilesBuildOnOneAnother: where the documentation of a package says in which order its files
// build on one another, it names them all, and none calls a function of a later one.
func TestFilesBuildOnOneAnother(t *testing.T) {
	ordered := 0
	dirs, err := filepath.Glob("../../rules/*")
	require.NoError(t, err)
	for _, dir := range dirs {
		fset := token.NewFileSet()
		var files []*ast.File
		var names, order []string
		paths, err := filepath.Glob(filepath.Join(dir, "*.go"))
		require.NoError(t, err)
		for _, path := range paths {
			if strings.HasSuffix(path, "_test.go") {
				continue
			}
			f, err := parser.ParseFile(fset, path, nil, parser.ParseComments)
			require.NoError(t, err)
			files, names = append(files, f), append(names, filepath.Base(path))
			if _, text, found := strings.Cut(strings.Join(strings.Fields(f.Doc.Text()), " "), "in the order in which they build on one another"); found {
				order = regexp.MustCompile(`\b\w+\.go\b`).FindAllString(text, -1)
			}
		}
		if order == nil {
			continue
		}
		ordered++
		for _, name := range names {
			declares := name == "facts.go" // the documentation alone
			require.True(t, declares || slices.Contains(order, name), "%s: the documentation of the package does not say where %s stands", dir, name)
		}
		info := &types.Info{Uses: map[*ast.Ident]types.Object{}}
		conf := types.Config{Importer: importer.Default(), Error: func(error) {}} // what others declare does not matter here
		pkg, _ := conf.Check(dir, fset, files, info)
		calls := 0
		for id, used := range info.Uses {
			if _, function := used.(*types.Func); !function || used.Pkg() != pkg {
				continue
			}
			calls++
			from, to := filepath.Base(fset.Position(id.Pos()).Filename), filepath.Base(fset.Position(used.Pos()).Filename)
			if slices.Index(order, from) < slices.Index(order, to) {
				t.Errorf("%s calls %s of %s, which stands after it", fset.Position(id.Pos()), used.Name(), to)
			}
		}
		require.Greater(t, calls, 100, "%s: the calls were not found", dir)
	}
	require.GreaterOrEqual(t, ordered, 5)
}
