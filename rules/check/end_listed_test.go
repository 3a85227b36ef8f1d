package check_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/layouts"
	"setdown/rules/verdict"
)

// TestEachEndIsListed: what one end of a checklist lists says nothing of the other. All layouts join
// their wheels to the frame by something; with its pivots called something else an end has nothing.
func TestEachEndIsListed(t *testing.T) {
	stopped := func(text string) string {
		path := filepath.Join(t.TempDir(), "b.yaml")
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		b, err := model.Load(path)
		require.NoError(t, err)
		all := judge(t, rules(t), b).Moves[0].Findings
		if i := slices.IndexFunc(all, func(f verdict.Finding) bool { return f.Rule == "end-listed" }); i >= 0 {
			return all[i].Say
		}
		return ""
	}
	wishbone, err := layouts.Find("double wishbone")
	require.NoError(t, err)
	for _, one := range layouts.All() {
		front, rear := one, wishbone
		if one.Only == "rear" {
			front, rear = wishbone, one
		}
		assert.Empty(t, stopped(string(layouts.WriteShort(front, rear))), one.Name)
	}
	text := string(layouts.WriteShort(wishbone, wishbone))
	text = strings.Replace(text, `{front: "double wishbone", rear: "double wishbone"}`, "{front: other, rear: other}", 1)
	for _, place := range []string{"front", "rear"} {
		bare := strings.Replace(text, "place: "+place+", role: pivot", "place: "+place+", role: brake mount", 1)
		require.NotEqual(t, text, bare)
		assert.Contains(t, stopped(bare), place+": the file lists no pivot")
	}
}
