package app

import (
	"github.com/spf13/cobra"

	"setdown/cmd/setdown/internal/signoff"
	"setdown/model"
	"setdown/reports"
	"setdown/rules/verdict"
)

// table finishes a command that writes one part of what a check of one file says.
func table[T any](a *app, cmd *cobra.Command, written reports.Document[T], part func(*verdict.Report) T) *cobra.Command {
	var f checkFlags
	var o reports.Options
	cmd.Args, cmd.ValidArgsFunction = arguments(1, 1, "the build file"), buildFiles
	f.register(cmd)
	everything(cmd, &o)
	out := writes(a, cmd, written)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		r, err := a.one(cmd.Context(), args[0], &f)
		if err != nil {
			return err
		}
		return out.write(part(r.report), o)
	}
	return cmd
}

func (a *app) loadsCmd() *cobra.Command {
	return table(a, &cobra.Command{
		Use:   "loads FILE",
		Short: "Show where the weight goes and what each part can take",
		Long: `loads prints what every support carries at most, step by step, and what is nearest
to its limit: worst over the ways the vehicle can rock, over a sideways push and over
the ± of its masses. --all adds every link, joint and part, what happens if it lets
go, and every strength with its method, source and working.`,
		Example: `  setdown loads car.yaml --move onto-stands
  setdown loads car.yaml -m onto-stands -f json -o loads.json`,
	}, reports.Loads, whole)
}

func (a *app) tacksCmd() *cobra.Command {
	return table(a, &cobra.Command{
		Use:   "tacks FILE",
		Short: "List unfinished welds and the moves in which they carry",
		Long: `tacks lists every weld that is not made full: what it is made of now, what it
waits for, in which moves it carries and how hard. What tacks would bear is
shown for information; the rules count it as the policy says, by default as
nothing.`,
		Example: `  setdown tacks car.yaml`,
	}, reports.Tacks, whole)
}

func (a *app) punchCmd() *cobra.Command {
	return table(a, &cobra.Command{
		Use:   "punch FILE",
		Short: "List the work and parts a move still needs, in working order",
		Long: `punch lists what is left to do for a move (without --move, for every move): parts to buy first with how many and which size, then what to
fit, weld, look at, torque, lock, mark and write down, place by place. Each line
names the moves it stops.`,
		Example: `  setdown punch car.yaml --move onto-stands
  setdown punch car.yaml -f csv -o punch.csv`,
	}, reports.Punch, func(r *verdict.Report) verdict.Punch { return r.Punch })
}

func whole(r *verdict.Report) *verdict.Report { return r }

func (a *app) compareCmd() *cobra.Command {
	var f checkFlags
	cmd := &cobra.Command{
		Use:   "compare OLD NEW | compare FILE",
		Short: "Show what changed between two build files, or since the last sign-off",
		Example: `  setdown compare monday.yaml tuesday.yaml
  setdown compare car.yaml                  since the last sign-off
  git show HEAD:car.yaml > before.yaml; setdown compare before.yaml car.yaml`,
		Long: `compare reads two states of a vehicle and says what changed: which items are
worse, better, new or gone, and whether the verdict of a move changed with them.
With one file it compares it with the state that was last signed off.

Exit code: that of checking the newer file.`,
		Args:              arguments(1, 2, "the build file"),
		ValidArgsFunction: buildFiles,
	}
	var o reports.Options
	f.register(cmd)
	everything(cmd, &o)
	out := writes(a, cmd, reports.Compare)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		results, err := a.checkAll(cmd.Context(), args, &f)
		if err != nil {
			return err
		}
		if err := a.mistakes(results); err != nil {
			return err
		}
		if len(results) != len(args) {
			return wrong("compare takes two different files")
		}
		newer := results[len(results)-1]
		var c verdict.Comparison
		if len(results) == 1 {
			c, err = sinceSigned(newer)
		} else {
			c = verdict.Compare(results[0].report, newer.report, changes(results[0].build.Facts(), newer.build.Facts()))
		}
		if err != nil {
			return err
		}
		a.exit = verdict.ExitCode(newer.report)
		return out.write(c, o)
	}
	return cmd
}

// sinceSigned compares a file with the state of the newest of its sign-offs: that
// with the highest number, for several may be of one day. The moves that were signed were GO then.
func sinceSigned(newer result) (verdict.Comparison, error) {
	signed := verdict.Report{}
	var last *signoff.Record
	for _, m := range newer.report.Moves {
		record, path, _ := signoff.Latest(newer.file, m.ID, newer.report.Today) // the check has printed the remarks
		if record == nil {
			continue
		}
		signed.Moves = append(signed.Moves, verdict.Move{ID: m.ID, Decision: verdict.Go})
		if last == nil || record.Number > last.Number {
			last, signed.File = record, path
		}
	}
	if last == nil {
		return verdict.Comparison{}, wrong("%s has no sign-off to compare with; give an older file", newer.file)
	}
	return verdict.Compare(&signed, newer.report, changes(model.FactsIn(last.State), newer.build.Facts())), nil
}

// changes lists what differs between two states in the words of the verdict.
func changes(was, is map[string]string) []verdict.PathChange {
	var list []verdict.PathChange
	for _, c := range model.Differences(was, is) {
		list = append(list, verdict.PathChange{Path: c.Path, Old: c.Old, New: c.New})
	}
	return list
}
