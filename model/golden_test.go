package model_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
)

var update = flag.Bool("update", false, "write the golden files anew")

// TestBrokenFiles keeps testdata/broken/errors.golden: what each broken file is
// refused with. The command-line tests read the same files.
func TestBrokenFiles(t *testing.T) {
	const golden = "../testdata/broken/errors.golden"
	files, err := filepath.Glob("../testdata/broken/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	var got strings.Builder
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		_, err = model.Read(filepath.Base(file), text, model.Companions{})
		require.Error(t, err, file)
		got.WriteString(err.Error() + "\n")
	}
	if *update {
		require.NoError(t, os.WriteFile(golden, []byte(got.String()), 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, string(want), got.String())
}
