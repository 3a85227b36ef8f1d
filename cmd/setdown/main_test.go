package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

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
			e.Setenv("TODAY", time.Now().Format(time.DateOnly))
			e.Setenv("TOMORROW", time.Now().AddDate(0, 0, 1).Format(time.DateOnly))
			e.Setenv("IN_FIVE_DAYS", time.Now().AddDate(0, 0, 5).Format(time.DateOnly))
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits,
			"fresh": fresh,
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

// fresh copies a build file of 25 November 2026 so that it is one of today:
// fresh FILE COPY. What is signed is signed today.
func fresh(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: fresh FILE COPY")
	}
	now := time.Now()
	days := int(time.Date(now.Year(), now.Month(), now.Day(), 0, 0, 0, 0, time.UTC).Sub(time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)).Hours() / 24)
	text := regexp.MustCompile(`\b20\d\d-\d\d-\d\d\b`).ReplaceAllStringFunc(ts.ReadFile(args[0]), func(day string) string {
		then, err := time.Parse(time.DateOnly, day)
		ts.Check(err)
		if day = then.AddDate(0, 0, days).Format(time.DateOnly); day == now.Format(time.DateOnly) && strings.HasSuffix(args[0], ".looks.yaml") {
			day = now.Format(time.DateTime) // who stands where holds for an hour
		}
		return day
	})
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), []byte(text), 0o644))
}

func exitCode(err error) string {
	type coder interface{ ExitCode() int }
	if c, ok := err.(coder); ok {
		return string(rune('0' + c.ExitCode()))
	}
	return err.Error()
}
