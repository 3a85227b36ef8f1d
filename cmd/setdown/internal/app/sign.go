package app

import (
	"cmp"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"setdown/cmd/setdown/internal/looklog"
	"setdown/cmd/setdown/internal/signoff"
	"setdown/model"
	"setdown/model/source"
	"setdown/reports/plain"
	"setdown/rules/ask"
	"setdown/rules/engine"
	"setdown/rules/verdict"
)

func (a *app) signCmd() *cobra.Command {
	var f checkFlags
	var by string
	cmd := &cobra.Command{
		Use:   "sign FILE --move MOVE --by NAME",
		Short: "Record a GO: who, when, and for exactly which state",
		Long: `sign checks one move and, when it is GO, writes a record beside the build file:
who signed, the day, the move, and the fingerprint of the build state and of the
rules. A NO-GO is not signed, nor is a what-if. The next check says when the
record is no longer valid, because something changed or because it is too old.

A line goes into the log of the looks as well: once the move is made, its stands,
straps and hoists are not as they were, and another move asks for them again.

A record is never written over. A name here replaces no inspection that your
authority asks for.`,
		Example:           `  setdown sign car.yaml --move onto-stands --by "R. T."`,
		Args:              arguments(1, 1, "the build file"),
		ValidArgsFunction: buildFiles,
		RunE: func(cmd *cobra.Command, args []string) error {
			switch {
			case len(f.assume) > 0:
				return wrong("a what-if cannot be signed: leave out --assume")
			case len(f.moves) != 1:
				return wrong("say which move to sign with --move")
			case strings.TrimSpace(by) == "":
				return wrong("say who is signing with --by")
			case by != source.Visible(by):
				return wrong("--by: a name has letters that can be seen, not %s", source.Visible(by))
			case f.on != "":
				return wrong("sign takes today alone: leave out --on")
			}
			if files, err := expand(args); err == nil && len(files) == 1 {
				if _, err := noteEnded(files[0], by, moment()); err != nil {
					return err
				}
			}
			r, err := a.one(cmd.Context(), args[0], &f)
			if err != nil {
				return err
			}
			a.exit = verdict.ExitCode(r.report)
			if r.report.Decision != verdict.Go {
				a.say("NO-GO: nothing signed for %s. %s; see: setdown check %s --move %s",
					f.moves[0], cmp.Or(plain.Tally(&r.report.Moves[0]), "nothing was checked"), r.file, f.moves[0])
				return nil
			}
			if set := r.build.SetFor(r.build.Item(f.moves[0])); r.build.Log != nil && len(set) > 0 {
				if err := looklog.Append(model.LogName(r.file), ask.Signed(f.moves[0], set, moment(), by)); err != nil {
					return inputError{fmt.Errorf("not signed: %w", err)}
				}
			}
			// The argument may be a pattern; the record belongs to the file it found.
			path, err := signoff.Write(signoff.Dir(r.file), signoff.Record{
				Move: f.moves[0], By: by, On: r.report.Today, File: r.file,
				StateHash: r.report.State, RulesHash: r.report.Rules, Version: Version,
				Waivers: waivedIn(r.report.Moves[0]), State: lines(r.build),
			})
			if err != nil {
				return fmt.Errorf("not signed: %w", err)
			}
			a.say("signed: the GO for %s, by %s on %s (a record, not permission): %s", f.moves[0], by, r.report.Today, path)
			if err := r.judged.Ahead(cmd.Context()); err != nil {
				return fmt.Errorf("signed, but not worked out until when it counts: %w", err)
			}
			if holds := plain.Holds(r.report.Moves[0].Until); holds != "" {
				a.say("%s", holds)
			}
			return nil
		},
	}
	f.register(cmd)
	cmd.Flags().StringVar(&by, "by", "", "`name` of the person signing")
	return cmd
}

func waivedIn(m verdict.Move) []string {
	var list []string
	for _, f := range m.Of(verdict.Waived) {
		list = append(list, fmt.Sprintf("%s for %s by %s until %s: %s", f.Rule, f.Item, f.Waiver.By, f.Waiver.Until, f.Waiver.Reason))
	}
	return list
}

func lines(b *model.Build) []string {
	return strings.Split(strings.TrimSuffix(string(b.Canonical()), "\n"), "\n")
}

// addSignOffs puts the last sign-off of each move into the report, and whether
// it still stands.
func (r *result) addSignOffs(e *engine.Engine) error {
	age, unknown := e.Policy().Quantity("signoff_age")
	if unknown != nil {
		return fmt.Errorf("the policy has no signoff_age")
	}
	for i := range r.report.Moves {
		m := &r.report.Moves[i]
		record, path, remarks := signoff.Latest(r.file, m.ID, r.report.Today)
		r.remarks = append(r.remarks, remarks...)
		if record == nil {
			continue
		}
		days, _ := age.In("days")
		stands, why := record.Stands(r.report.Today, int(days), r.report.State, r.report.Rules, Version, lines(r.build))
		if m.Decision == verdict.NoGo {
			// A waiver may have run out, or a finding grown old, in the same state.
			stands, why = false, append(why, "the move is NO-GO now")
		}
		m.SignOff = &verdict.SignOff{By: record.By, On: record.On, File: path, Stands: stands, Why: why}
	}
	return nil
}
