package packs

import (
	"bytes"
	"flag"
	"os"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/rules/engine"
	"setdown/rules/pack"
	"setdown/rules/packtest"
)

func load(t *testing.T) (*engine.Engine, []*pack.Pack) {
	t.Helper()
	all, err := pack.LoadFS(FS, ".")
	require.NoError(t, err)
	e, err := engine.New(all)
	require.NoError(t, err)
	return e, all
}

// TestPacks runs the examples of every built-in rule. With -v it is what the
// writer of a rule looks at: every line names the file and the line.
func TestPacks(t *testing.T) {
	e, all := load(t)
	for _, f := range packtest.Run(e, all) {
		t.Errorf("\n%s", f)
	}
}

var update = flag.Bool("update", false, "make stored.bin and checked.bin anew")

const stale = "a rule, its reader or the table of facts changed; run: go test ./rules/packs -run TestMadeBeforehand -update"

// TestMadeBeforehand holds the rules and expressions that were read and checked
// beforehand to what the files give now, and judges every example by them.
func TestMadeBeforehand(t *testing.T) {
	e, all := load(t)
	checked, err := e.Checked()
	require.NoError(t, err)
	read, err := pack.LoadRules(FS, ".")
	require.NoError(t, err)
	if *update {
		// What gives the same packs is left as it is: two runs need not write the same bytes.
		if kept, err := pack.Restore(FS, ".", Stored); err != nil || !reflect.DeepEqual(read, kept) {
			Stored, err = pack.Store(FS, ".")
			require.NoError(t, err)
			require.NoError(t, os.WriteFile("stored.bin", Stored, 0o644))
		}
		Checked = checked
		require.NoError(t, os.WriteFile("checked.bin", Checked, 0o644))
	}
	restored, err := pack.Restore(FS, ".", Stored)
	require.NoError(t, err, stale)
	require.Equal(t, read, restored, stale)
	require.True(t, bytes.Equal(checked, Checked), stale)

	e, err = engine.NewChecked(all, Checked)
	require.NoError(t, err)
	for _, f := range packtest.Run(e, all) {
		t.Errorf("\n%s", f)
	}
}

// TestMadeBeforehandIsPassedOver holds rules and expressions that cannot be read to
// what the files give: neither may stop a check, and neither may change it.
func TestMadeBeforehandIsPassedOver(t *testing.T) {
	e, all := load(t)
	torn := Checked[:len(Checked)/2]
	for name, checked := range map[string][]byte{"empty": nil, "torn": torn, "another thing": []byte("no gob"), "the rules": Stored} {
		read, err := pack.LoadStored(FS, ".", checked)
		if name != "the rules" {
			require.NoError(t, err, name)
			assert.Len(t, read, len(all), name)
		}
		other, err := engine.NewChecked(all, checked)
		require.NoError(t, err, name)
		assert.Equal(t, e.Hash(), other.Hash(), name)
		again, err := other.Checked()
		require.NoError(t, err, name)
		assert.True(t, bytes.Equal(again, Checked), name)
	}
}

// leastCaught is the share of faults put into rules that their examples notice.
const leastCaught = 0.95

func TestExamplesNoticeFaultsInRules(t *testing.T) {
	e, all := load(t)
	score := packtest.Mutate(e, all)
	t.Logf("%d of %d faults noticed (%.1f %%)", score.Caught, score.Mutants, 100*score.Share())
	for _, s := range score.Survivors {
		t.Logf("\n%s", s)
	}
	assert.GreaterOrEqual(t, score.Share(), leastCaught)
}
