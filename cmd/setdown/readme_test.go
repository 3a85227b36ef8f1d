package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
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

// TestReadmeListsTheCommands: the table of commands leaves out none that the help lists.
func TestReadmeListsTheCommands(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	_, table, found := strings.Cut(string(readme), "| command | what it does |")
	require.True(t, found)
	table, _, _ = strings.Cut(table, "\n\n")
	var out, errs bytes.Buffer
	require.Equal(t, 0, app.Run(context.Background(), []string{"--help"}, &out, &errs))
	_, list, found := strings.Cut(out.String(), "Available Commands:\n")
	require.True(t, found)
	list, _, _ = strings.Cut(list, "\n\n")
	for line := range strings.Lines(list) {
		if name := strings.Fields(line)[0]; name != "help" {
			require.Contains(t, table, "`"+name, "the table of commands")
		}
	}
}

var (
	fenced = regexp.MustCompile("(?s)```(yaml|console)\n(.*?)```\n")
	words  = regexp.MustCompile(`"[^"]*"|\S+`)
)

// TestReadmeWritesABuildFile does what the section on writing a file does: it writes the
// files that stand there and runs the commands, and each says what the README prints.
func TestReadmeWritesABuildFile(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	_, section, ok := strings.Cut(string(readme), "## Writing a build file\n")
	require.True(t, ok)
	section, _, _ = strings.Cut(section, "\n## ")
	t.Chdir(t.TempDir())
	files := []string{"special.yaml", "special.looks.yaml"}
	ran := 0
	for _, block := range fenced.FindAllStringSubmatch(section, -1) {
		if block[1] == "yaml" {
			require.NotEmpty(t, files)
			require.NoError(t, os.WriteFile(files[0], []byte(block[2]), 0o644))
			files = files[1:]
			continue
		}
		line, want, _ := strings.Cut(strings.TrimPrefix(block[2], "$ setdown "), "\n")
		args := words.FindAllString(line, -1)
		for i := range args {
			args[i] = strings.Trim(args[i], `"`)
		}
		var out, errs bytes.Buffer
		exit := 0
		if strings.HasPrefix(want, "NO-GO") {
			exit = 1
		}
		require.Equal(t, exit, app.Run(context.Background(), args, &out, &errs), errs.String())
		require.True(t, strings.HasPrefix(out.String(), want), "%s prints\n%s", line, out.String())
		ran++
	}
	require.Equal(t, 4, ran)
}
