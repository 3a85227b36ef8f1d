// Package app is the command line: flags, files and exit codes. It reads files,
// hands them to the packages that judge, and hands what they say to a writer. It
// judges nothing itself.
package app

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"

	"github.com/spf13/cobra"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/source"
	"setdown/reports/plain"
)

// Exit codes of the program.
const (
	exitGo     = 0
	exitNoGo   = 1
	exitInput  = 2 // the input or the command is wrong
	exitFailed = 3 // the program failed
)

// Version is the version of the program, as it stands in reports and sign-offs.
const Version = "0.2.0"

// app is one run of the program.
type app struct {
	out, err io.Writer
	exit     int      // set by the command that ran; errors override it
	started  bool     // a command was found and its flags and arguments were right
	read     []string // the files that were read
	color    bool
	width    int
}

// inputError is a mistake of the person at the keyboard: it exits with 2.
type inputError struct{ err error }

func (e inputError) Error() string { return e.err.Error() }
func (e inputError) Unwrap() error { return e.err }

func wrong(format string, args ...any) error { return inputError{fmt.Errorf(format, args...)} }

// Run runs the program with the arguments after its name and returns its exit
// code: 0 go, 1 no-go, 2 the input or the command is wrong, 3 the program
// failed. A panic is a failure of the program, never an answer.
func Run(ctx context.Context, args []string, out, errOut io.Writer) (code int) {
	defer func() {
		if p := recover(); p != nil {
			fmt.Fprintf(errOut, "setdown failed; this is not an answer: %v\n%s", p, debug.Stack())
			code = exitFailed
		}
	}()
	to := &output{Writer: out}
	a := &app{out: to, err: errOut, width: 80}
	if f, ok := out.(*os.File); ok {
		if info, err := f.Stat(); err == nil && info.Mode()&os.ModeCharDevice != 0 {
			_, no := os.LookupEnv("NO_COLOR")
			a.color = !no && os.Getenv("TERM") != "dumb"
		}
	}
	root := a.root()
	root.SetArgs(args)
	root.SetOut(to)
	root.SetErr(errOut)
	err := root.ExecuteContext(ctx)
	switch {
	case to.err != nil:
		return a.fail(to.err)
	case err != nil && !a.started:
		return a.fail(inputError{err})
	case err != nil:
		return a.fail(err)
	}
	return a.exit
}

// fail prints an error and says which exit code it means.
func (a *app) fail(err error) int {
	var located source.Errors
	var one *source.Error
	var input inputError
	switch {
	case errors.As(err, &located):
		a.printErrors(located)
		return exitInput
	case errors.As(err, &one):
		a.printErrors(source.Errors{one})
		return exitInput
	case errors.As(err, &input):
		a.complain("setdown: %v", input.err)
		return exitInput
	default:
		a.complain("setdown failed, and this is no answer: %v", err)
		return exitFailed
	}
}

func (a *app) printErrors(list source.Errors) {
	for _, e := range list {
		a.complain("%v", e)
		for _, r := range e.Related {
			a.complain("    %s: %s", r.Span, r.Message)
		}
	}
	n := "1 error"
	if len(list) != 1 {
		n = fmt.Sprintf("%d errors", len(list))
	}
	a.complain("%s in the input: nothing was judged, and nothing here says GO", n)
}

// complain prints what is wrong. Whatever names and words of a file or of the command line stand in it
// does nothing to the terminal, nor to a build server that reads along.
func (a *app) complain(format string, args ...any) {
	fmt.Fprintln(a.err, plain.Lines(fmt.Sprintf(format, args...)))
}

// say prints an answer that is no report, just as harmless.
func (a *app) say(format string, args ...any) {
	fmt.Fprintln(a.out, plain.Lines(fmt.Sprintf(format, args...)))
}

func (a *app) root() *cobra.Command {
	root := &cobra.Command{
		Use:   "setdown",
		Short: "Is anything recorded that stops this half-built vehicle from taking weight?",
		Long: `setdown reads the state of a half-built vehicle from one file and says, before
weight moves, whether everything that will carry it is shown to be fit: GO, or
NO-GO with what stops it and what to do.

It gives no permission. Makers' instructions, local codes and qualified people
come first.`,
		Example: `  setdown new car.yaml                      a starter build file
  setdown check car.yaml                    every move: what stops which
  setdown check car.yaml --move onto-stands one move in full
  setdown punch car.yaml --move onto-stands what is left to do for it`,
		Version:       Version,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          arguments(0, 0, ""),
		RunE:          func(cmd *cobra.Command, _ []string) error { return cmd.Help() },

		PersistentPreRun: func(*cobra.Command, []string) { a.started = true },
	}
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		return fmt.Errorf("%w\nsee '%s --help'", err, cmd.CommandPath())
	})
	root.SetVersionTemplate("setdown {{.Version}}\n")
	root.AddCommand(a.checkCmd(), a.loadsCmd(), a.tacksCmd(), a.travelCmd(), a.heightCmd(), a.punchCmd(), a.compareCmd(), a.rulesCmd(), a.newCmd(), a.signCmd(), a.looksCmd(), a.walkCmd(), a.cardCmd(), a.schemaCmd())
	return root
}

// arguments asks for so many arguments, each of which is what the word says; at
// most −1 is any number.
func arguments(least, most int, word string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		switch {
		case len(args) < least:
			return fmt.Errorf("%s is missing\nusage: %s", word, cmd.UseLine())
		case most == 0 && len(args) > 0:
			return fmt.Errorf("%q is not known here%s\nsee '%s --help'", args[0], nearest(cmd, args[0]), cmd.CommandPath())
		case most >= 0 && len(args) > most:
			return fmt.Errorf("%q is one too many\nusage: %s", args[most], cmd.UseLine())
		}
		return nil
	}
}

// nearest is the command that a person may have meant.
func nearest(cmd *cobra.Command, word string) string {
	var names []string
	for _, c := range cmd.Commands() {
		names = append(names, c.Name())
	}
	if hint := source.DidYouMean(word, names, ""); hint != "" {
		return "; " + hint
	}
	return ""
}

// today is when the move is made: the day as given, with or without its hour, else now. This very day
// without an hour is now as well: what is still to come of it nobody has seen.
func today(flag string) (looks.Moment, error) {
	if flag == "" {
		return moment(), nil
	}
	at, err := looks.ParseMoment(flag)
	if err != nil {
		return at, wrong("--on: %w", err)
	}
	if now := moment(); !at.Timed && at.Day == now.Day {
		return now, nil
	}
	return at, nil
}

func parseAssumptions(texts []string) ([]model.Assumption, error) {
	var list []model.Assumption
	for _, text := range texts {
		one, err := model.ParseAssumption(text)
		if err != nil {
			return nil, wrong("--assume: %w", err)
		}
		list = append(list, one)
	}
	return list, nil
}
