package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/cmd/setdown/internal/app"
	"setdown/reports/golden"
)

// TestReadmeShowsWhatItSays holds the reports that the README prints, and the picture with
// which it opens, to what the demo says today.
func TestReadmeShowsWhatItSays(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	t.Chdir("../..") // the reports name the file as it was named
	for _, args := range [][]string{nil, {"--move", "onto-hub-stands"}} {
		var out, errs bytes.Buffer
		code := app.Run(context.Background(), append([]string{"check", "testdata/builds/special-asfound.yaml", "--on", "2026-11-25"}, args...), &out, &errs)
		require.Equal(t, 1, code, errs.String())
		require.Contains(t, string(readme), "```\n"+out.String()+"```\n")
	}
	picture := filepath.Join("testdata", "golden", "readme.svg")
	require.Contains(t, string(readme), "]("+filepath.ToSlash(picture)+")")
	var out, errs bytes.Buffer
	code := app.Run(context.Background(), []string{"check", "testdata/builds/special-asfound.yaml", "--on", "2026-11-25", "--move", "onto-hub-stands", "--format", "svg"}, &out, &errs)
	require.Equal(t, 1, code, errs.String())
	golden.Equal(t, picture, out.String())
}
