package main

import (
	"bytes"
	"context"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/cmd/setdown/internal/app"
)

// TestReadmeShowsWhatItSays holds the reports that the README prints to what the demo
// says today, up to the dots that cut them off.
func TestReadmeShowsWhatItSays(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	t.Chdir("../..") // the reports name the file as it was named
	for opening, args := range map[string][]string{
		"```\nNO-GO  Hill-climb special": {},
		"```\nNO-GO  onto-hub-stands":    {"--move", "onto-hub-stands"},
	} {
		_, shown, found := strings.Cut(string(readme), opening)
		require.True(t, found, opening)
		shown, _, found = strings.Cut(shown, "...\n```")
		require.True(t, found, "%s is not cut off with dots", opening)
		var out, errs bytes.Buffer
		code := app.Run(context.Background(), append([]string{"check", "testdata/builds/special-asfound.yaml", "--on", "2026-11-25"}, args...), &out, &errs)
		require.Equal(t, 1, code, errs.String())
		says := strings.TrimPrefix(opening, "```\n") + shown
		require.Equal(t, says, out.String()[:min(len(says), out.Len())])
	}
}
