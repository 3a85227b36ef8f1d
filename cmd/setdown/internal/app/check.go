package app

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/source"
	"setdown/reports"
	"setdown/rules/check"
	"setdown/rules/engine"
	"setdown/rules/pack"
	"setdown/rules/packs"
	"setdown/rules/vehicle"
	"setdown/rules/verdict"
	"setdown/rules/ways"
)

// checkFlags are the flags of the commands that check a build file.
type checkFlags struct {
	moves  []string
	rules  []string
	assume []string
	on     string
	units  measures
	ways   bool // another way, where one move was asked for or the file has one
}

// measures is the flag for the measures of the answers; none are those of the file.
type measures struct{ quantity.System }

func (m *measures) register(cmd *cobra.Command, otherwise string) {
	cmd.Flags().Var(m, "units", "answers in `metric` or inch (default "+otherwise+")")
	_ = cmd.RegisterFlagCompletionFunc("units", cobra.FixedCompletions([]cobra.Completion{string(quantity.Metric), string(quantity.Inch)}, cobra.ShellCompDirectiveNoFileComp))
}

func (m *measures) String() string { return string(m.System) }

// Type is what the help calls a value of it.
func (m *measures) Type() string { return "metric" }

func (m *measures) Set(text string) error {
	m.System = quantity.System(text)
	if m.System != quantity.Metric && m.System != quantity.Inch {
		return fmt.Errorf("there is no %q; there are metric and inch", text)
	}
	return nil
}

// everything gives a command the flag for what does not fit a screen.
func everything(cmd *cobra.Command, o *reports.Options) {
	cmd.Flags().BoolVar(&o.Detail, "all", false, "print everything, however long")
}

func (f *checkFlags) register(cmd *cobra.Command) {
	cmd.Flags().StringSliceVarP(&f.moves, "move", "m", nil, "only this `move` (repeat for more)")
	cmd.Flags().StringArrayVar(&f.rules, "rules", nil, "your own rule `file`, added to the built-in rules")
	cmd.Flags().StringArrayVar(&f.assume, "assume", nil, "what if `item.field=value`, such as fl-mount.found.made=full")
	f.units.register(cmd, "what the file says")
	cmd.Flags().StringVar(&f.on, "on", "", "`date` of the move, such as 2026-11-28, or with its hour, 2026-11-28 16:00 (default: now)")
}

func (a *app) checkCmd() *cobra.Command {
	var f checkFlags
	var o reports.Options
	cmd := &cobra.Command{
		Use:   "check FILE...",
		Short: "Say GO or NO-GO for each move in a build file",
		Long: `check reads build files and says for each move whether everything that will
carry weight is shown to be fit. Without --move it shows every move of the file
side by side: what is stopped, and what each waits for.

Exit code: 0 every move checked is GO, 1 at least one is NO-GO, 2 the input is
wrong, 3 the program failed.`,
		Example: `  setdown check car.yaml
  setdown check car.yaml --move onto-stands
  setdown check car.yaml -m onto-stands --assume fl-mount.found.made=full
  setdown check car.yaml -m onto-stands -f html -o onto-stands.html
  setdown check 'builds/*.yaml' -f junit -o setdown.xml`,
		Args:              arguments(1, -1, "the build file"),
		ValidArgsFunction: buildFiles,
	}
	f.register(cmd)
	out := writes(a, cmd, reports.Check)
	cmd.Flags().StringVar(&o.View, "view", "", "with --format svg: only this `picture`: plan, side, or a place such as front-left")
	everything(cmd, &o)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if o.View != "" && out.format != "svg" {
			return wrong("--view is for --format svg")
		}
		f.ways = len(args) == 1
		results, err := a.checkAll(cmd.Context(), args, &f)
		if err != nil {
			return err
		}
		// One file that cannot be judged stops them all: an answer about the
		// others alone would look like an answer about all.
		if err := a.mistakes(results); err != nil {
			return err
		}
		all := verdicts(results)
		for i := range results {
			if err := results[i].judged.Ahead(cmd.Context()); err != nil {
				return err
			}
		}
		a.exit = verdict.ExitCode(all...)
		return out.write(all, o)
	}
	return cmd
}

// result is what became of one file.
type result struct {
	file    string
	build   *model.Build
	judged  *check.Judged
	report  *verdict.Report // of judged
	remarks source.Errors   // on sign-offs that do not count
	err     error
}

func verdicts(results []result) []*verdict.Report {
	var list []*verdict.Report
	for _, r := range results {
		list = append(list, r.report)
	}
	return list
}

// mistakes puts the errors of all files together; a failure of the program goes
// before mistakes in the input. What is only to be remarked is printed.
func (a *app) mistakes(results []result) error {
	var located source.Errors
	for _, r := range results {
		for _, remark := range r.remarks {
			a.complain("%v", remark)
		}
		var many source.Errors
		var one *source.Error
		switch {
		case r.err == nil:
		case errors.As(r.err, &many):
			located = append(located, many...)
		case errors.As(r.err, &one):
			located = append(located, one)
		default:
			return fmt.Errorf("%s: %w", r.file, r.err)
		}
	}
	return located.Err()
}

// checkAll checks every file, several at a time, and keeps their order.
func (a *app) checkAll(ctx context.Context, patterns []string, f *checkFlags) ([]result, error) {
	files, err := expand(patterns)
	if err != nil {
		return nil, err
	}
	a.read = append(slices.Clone(f.rules), files...)
	assume, err := parseAssumptions(f.assume)
	if err != nil {
		return nil, err
	}
	at, err := today(f.on)
	if err != nil {
		return nil, err
	}
	// Rules and build files are read side by side.
	rules := sync.OnceValues(func() (e *engine.Engine, err error) {
		defer recovered(&err)
		return loadRules(f.rules, pack.LoadRules)
	})
	reading, stop := context.WithCancel(ctx)
	defer stop()
	go func() {
		if e, err := rules(); err == nil {
			e.Prepare(reading)
		}
	}()
	results := make([]result, len(files))
	next := make(chan int, len(files))
	for i := range files {
		next <- i
	}
	close(next)
	var wait sync.WaitGroup
	for range min(len(files), runtime.GOMAXPROCS(0)) {
		wait.Go(func() {
			for i := range next {
				if ctx.Err() != nil {
					return
				}
				r := &results[i]
				r.file = files[i]
				r.err = f.checkFile(ctx, stop, r, rules, assume, at)
			}
		})
	}
	done := make(chan struct{})
	go func() { wait.Wait(); close(done) }()
	select {
	case <-done:
	case <-ctx.Done():
	}
	if ctx.Err() != nil {
		return nil, errors.New("it was interrupted before it was finished")
	}
	for _, r := range results {
		a.wasRead(r.build)
	}
	_, err = rules()
	return results, err
}

// checkFile checks one file, and says when it was read. A panic is an error here: in a goroutine of its own
// it would end the program with the exit code of wrong input.
func (f *checkFlags) checkFile(ctx context.Context, wasRead func(), r *result, rules func() (*engine.Engine, error), assume []model.Assumption, at looks.Moment) (err error) {
	defer recovered(&err)
	if r.build, err = model.Load(r.file, assume...); err != nil {
		return err
	}
	if err := r.build.CheckLog(at); err != nil {
		return err
	}
	wasRead()
	if err := idle(r.file, r.build, assume); err != nil {
		return err
	}
	e, err := rules()
	if err != nil {
		return err
	}
	o := check.Options{Moves: f.moves, Today: at.Day, Clock: at.Clock, Timed: at.Timed, Version: Version, Units: f.units.System, Assumed: f.assume, Cache: new(vehicle.Cache)}
	if r.judged, err = check.Judge(ctx, r.build, e, o); err != nil {
		return err
	}
	r.report = r.judged.Report
	r.report.State = check.StateHash(r.build)
	if f.ways {
		with := func(done []model.Assumption) (*model.Build, error) {
			return model.Load(r.file, append(assume[:len(assume):len(assume)], done...)...)
		}
		if err := ways.Find(ctx, r.build, with, e, o, r.report); err != nil {
			return err
		}
	}
	if len(f.assume) > 0 {
		return nil
	}
	return r.addSignOffs(e)
}

// idle refuses a what-if without which the build state would be the same: its answer
// would look like one to another question.
func idle(file string, b *model.Build, assume []model.Assumption) error {
	var errs source.Errors
	for i, a := range assume {
		without, err := model.Load(file, slices.Delete(slices.Clone(assume), i, i+1)...)
		if err == nil && bytes.Equal(without.Canonical(), b.Canonical()) {
			errs.Add(&source.Error{
				Span:    source.Span{File: model.AssumptionFile, Start: source.Pos{Line: i + 1, Column: 1}},
				Message: fmt.Sprintf("%q: this changes nothing", a.String()),
				Hint:    "the build state is so already, or the value is empty: leave it out",
			})
		}
	}
	return errs.Err()
}

// recovered turns a panic into an error.
func recovered(err *error) {
	if p := recover(); p != nil {
		*err = fmt.Errorf("%v\n%s", p, debug.Stack())
	}
}

// one checks a single file for the commands that take one.
func (a *app) one(ctx context.Context, file string, f *checkFlags) (*result, error) {
	results, err := a.checkAll(ctx, []string{file}, f)
	if err != nil {
		return nil, err
	}
	if len(results) != 1 {
		return nil, wrong("%s matches %d files; this command takes one", file, len(results))
	}
	return &results[0], a.mistakes(results)
}

// loadRules loads the built-in rules, with or without their examples, and the
// builder's own.
func loadRules(files []string, load func(fs.FS, string) ([]*pack.Pack, error)) (*engine.Engine, error) {
	all, err := load(packs.FS, ".")
	if err != nil {
		return nil, fmt.Errorf("built-in rules: %w", err)
	}
	var errs source.Errors
	for _, file := range files {
		own, err := pack.LoadFile(file)
		var many source.Errors
		switch {
		case err == nil:
			all = append(all, own)
		case errors.As(err, &many):
			errs = append(errs, many...)
		default:
			return nil, err
		}
	}
	if len(errs) > 0 {
		return nil, errs
	}
	return engine.New(all)
}

// expand turns patterns into files, each once, in order. What there is by that very
// name is that file, whatever its name would mean as a pattern. A pattern that
// matches nothing is a mistake: silence would look like a pass.
func expand(patterns []string) ([]string, error) {
	var files []string
	for _, p := range patterns {
		found := []string{p}
		if _, err := os.Lstat(p); err != nil && strings.ContainsAny(p, "*?[") {
			if found, err = filepath.Glob(p); err != nil {
				return nil, wrong("%s: %w", p, err)
			}
			if len(found) == 0 {
				return nil, wrong("no file matches %s", p)
			}
		}
		for _, file := range found {
			if file = filepath.ToSlash(file); !slices.Contains(files, file) {
				files = append(files, file)
			}
		}
	}
	return files, nil
}

func buildFiles(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return []string{"yaml", "yml"}, cobra.ShellCompDirectiveFilterFileExt
}
