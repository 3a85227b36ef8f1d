package main

import (
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/require"
)

// TestMain makes the program a command of the scripts.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"setdown": main})
}

// TestScripts runs the command line as a person does: arguments and files in,
// text and an exit code out.
func TestScripts(t *testing.T) {
	builds, err := filepath.Abs("../../testdata/builds")
	require.NoError(t, err)
	testscript.Run(t, testscript.Params{
		Dir:                 "../../testdata/scripts",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("BUILDS", builds)
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits,
		},
	})
}

// exits runs a command and demands its exit code: exits CODE COMMAND ARGS...
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND ARGS...")
	}
	err := ts.Exec(args[1], args[2:]...)
	got := "0"
	if err != nil {
		got = exitCode(err)
	}
	if got != args[0] {
		ts.Fatalf("%v exits with %s, wanted %s", args[1:], got, args[0])
	}
}

func exitCode(err error) string {
	type coder interface{ ExitCode() int }
	if c, ok := err.(coder); ok {
		return string(rune('0' + c.ExitCode()))
	}
	return err.Error()
}
